//! What the hold costs: the shape of a line in a current, once and through a tide.

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use tailrope::facts::{Known, PackText};
use tailrope::hold::{Ask, Bait, Bit, Flow, HoldPack, Profile, Sinker, through};
use tailrope::math::sin;
use tailrope::quantity::{Density, Force, Length, Pressure, Span, Speed};
use tailrope::tackle::{Material, Tables};
use tailrope::water::{CT_MONO, Cable, Keep, NormalLaw, Pieces, Place, Strand, Stream, Velocity, Water};

fn place(x: f64, z: f64) -> Place {
    Place::new(Length::of_m(x), Length::ZERO, Length::of_m(z))
}

fn current(mps: f64) -> Stream {
    Stream::uniform(Water::SEA, Velocity::level(Speed::ZERO, Speed::of_mps(mps)))
}

fn nylon() -> Cable {
    let strand = Strand::new(Length::of_mm(0.9), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0)).unwrap();
    Cable { strand, normal: NormalLaw::Current { strum: 1.7 }, ct: CT_MONO }
}

fn lines(c: &mut Criterion) {
    let (far, rod, wet_rod) = (place(200.0, -6.0), place(0.0, 3.0), place(0.0, -0.01));
    let t = Force::of_n(25.0);
    c.bench_function("200 m at 25 N, all in the water", |b| {
        b.iter(|| nylon().kept_at(black_box(far), wet_rod, t, &current(0.5)).unwrap());
    });
    c.bench_function("200 m at 25 N, tip 3 m up", |b| {
        b.iter(|| nylon().kept_at(black_box(far), rod, t, &current(0.5)).unwrap());
    });
    let layered =
        Stream::slackening(Water::SEA, Velocity::level(Speed::ZERO, Speed::of_mps(0.5)), Length::of_m(6.0))
            .unwrap();
    c.bench_function("200 m at 25 N, a current that slackens", |b| {
        b.iter(|| nylon().kept_at(black_box(far), rod, t, &layered).unwrap());
    });
    c.bench_function("210 m locked", |b| {
        b.iter(|| nylon().fixed(black_box(far), rod, Length::of_m(210.0), &current(0.5)).unwrap());
    });
    c.bench_function("a tide of 75 steps, each from the one before", |b| {
        b.iter(|| {
            let line = Pieces::one(nylon());
            let mut near = None;
            for i in 0..75 {
                let u = 0.6 * sin(f64::from(i) / 75.0 * core::f64::consts::TAU);
                near = Some(line.kept_at(black_box(far), rod, t, &current(u), near.as_ref()).unwrap());
            }
            near
        });
    });
    c.bench_function("a tide of 75 steps", |b| {
        b.iter(|| {
            for i in 0..75 {
                let u = 0.6 * sin(f64::from(i) / 75.0 * core::f64::consts::TAU);
                black_box(nylon().kept_at(black_box(far), rod, t, &current(u)).unwrap());
            }
        });
    });
}

/// A tide cycle as the product asks it: three strumming factors a step, and what the sinker holds.
fn cycle(c: &mut Criterion) {
    let tables = PackText::new("tackle.toml", include_str!("../../../data/tackle.toml"));
    let rows = PackText::new("hold.toml", include_str!("../../../data/hold.toml"));
    let (tables, rows) = (Tables::read(&tables).unwrap(), HoldPack::read(&rows).unwrap());
    let line = Bit { material: Material::Nylon, diameter: Length::of_mm(0.9), length: Length::of_m(200.0) };
    let ask = Ask {
        distance: Length::of_m(200.0),
        depth: Known::Known(Length::of_m(6.0)),
        tip: Known::Known(Length::of_m(3.0)),
        keep: Keep::Tension(Force::of_n(25.0)),
        line: vec![line],
        bait: Bait::of(Known::Unknown, Known::Unknown, &rows),
        along: Speed::of_mps(0.5),
        out: Speed::ZERO,
        profile: Profile::Uniform,
        strum: Known::Unknown,
        water: Water::SEA,
    };
    let sinker = Sinker { pull_test: Known::Known(Force::of_n(30.0)), ..Sinker::default() };
    let grip = sinker.grip(Force::ZERO, &rows);
    let flows: Vec<Flow> = (0..75)
        .map(|i| Flow {
            at: Span::of_min(10.0 * f64::from(i)),
            along: Speed::of_mps(0.5 * sin(f64::from(i) / 75.0 * core::f64::consts::TAU)),
            out: Speed::ZERO,
        })
        .collect();
    c.bench_function("the hold through a tide of 75 steps, three strumming factors", |b| {
        b.iter(|| through(black_box(&ask), &flows, grip.as_ref(), None, &tables).unwrap());
    });
}

criterion_group!(benches, lines, cycle);
criterion_main!(benches);
