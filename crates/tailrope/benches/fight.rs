//! How long ten thousand fights take: a bull of 1.8 to 2.6 m on an 80-wide, bait 250 m out.

use criterion::{Criterion, criterion_group, criterion_main};
use std::time::Duration;
use tailrope::facts::{Band, PackText};
use tailrope::fight::{
    Angler, AtHand, CardPoint, EndPart, Fights, Fish, Limits, LinePiece, Outfit, Pack, Part, People, Setup,
    Strength, chunks,
};
use tailrope::quantity::{Force, Length, Mass, Span};

const FIGHTS: u64 = 10_000;

fn scenario(pack: &Pack) -> Setup {
    let line = |name: &str, m: f64, mm: f64, packing, skin_factor, wet| LinePiece {
        name: name.into(),
        length: Some(Length::of_m(m)),
        diameter: Length::of_mm(mm),
        packing,
        skin_factor,
        strength: Strength::Label { label: Force::of_lbf(200.0), wet },
    };
    Setup {
        fish: Fish {
            length: Band { low: Length::of_m(1.51), central: Length::of_m(1.85), high: Length::of_m(2.2) },
            mass: Mass::of_kg(93.5),
            mass_exponent: 2.93,
            mass_factor: 1.25,
            behaviour: pack.behaviour("bull"),
        },
        outfit: Outfit {
            radius: Length::of_mm(56.0),
            arbor: Length::of_mm(19.0),
            width: Length::of_mm(78.0),
            line: vec![
                line("topshot", 100.0, 1.45, 0.785, 1.0, true),
                line("main", 850.0, 0.72, 0.70, 1.5, false),
            ],
            max_drag: Force::of_lbf(80.0),
            drag: Force::of_lbf(28.0),
            strike_share: Some(0.75),
            start_up: 1.1,
            guide: Some(0.037),
            gear_high: 2.5,
            gear_low: 1.2,
            card: vec![
                CardPoint { line_out: Length::of_m(300.0), share: 1.0 },
                CardPoint { line_out: Length::of_m(900.0), share: 0.6 },
            ],
        },
        ends: vec![EndPart { name: "crimp".into(), strength: Strength::Usual, trailing: Length::of_m(4.0) }],
        bait: Length::of_m(250.0),
        people: People {
            angler: Angler {
                power_factor: 1.0,
                hold: Some(Band {
                    low: Force::of_n(200.0),
                    central: Force::of_n(260.0),
                    high: Force::of_n(320.0),
                }),
            },
            relief: None,
            lever_delay: Span::of_s(3.0),
            crew_hold: None,
            landing_factor: 1.0,
        },
        limits: Limits {
            fight: Span::of_min(45.0),
            no_gain: Span::of_min(10.0),
            end: Span::of_h(2.0),
            cut_at_once: false,
            drag_cap: Force::of_lbf(32.0),
        },
        at_hand: AtHand { always_cut: false, unhook_within: Span::of_min(3.0) },
        step: Setup::STEP,
        only: None,
    }
}

fn two_threads(fights: &Fights) -> Part {
    let ranges: Vec<_> = chunks(FIGHTS).collect();
    let half = |odd: usize| -> Vec<Part> {
        ranges
            .iter()
            .enumerate()
            .filter(|(k, _)| k % 2 == odd)
            .map(|(_, r)| fights.chunk(r.clone()))
            .collect()
    };
    std::thread::scope(|s| {
        let other = s.spawn(|| half(1));
        let mut parts = half(0);
        parts.extend(other.join().unwrap());
        Part::merge(parts)
    })
}

fn ten_thousand(c: &mut Criterion) {
    let text = include_str!("../../../data/fight.toml");
    let pack = Pack::read(&PackText::new("fight.toml", text)).unwrap();
    let fights = Fights::new(&pack, scenario(&pack), 1).unwrap();
    let mut group = c.benchmark_group("fight");
    group.sample_size(10).measurement_time(Duration::from_secs(10));
    group.bench_function("10000 fights, one thread", |b| b.iter(|| fights.chunk(0..FIGHTS)));
    group.bench_function("10000 fights, two threads", |b| b.iter(|| two_threads(&fights)));
    let all = fights.chunk(0..FIGHTS);
    group.bench_function("forecast of 10000 endings", |b| {
        b.iter(|| fights.forecast(&all, |e| Band::exact(e.minutes / 1000.0)));
    });
    group.finish();
}

criterion_group!(benches, ten_thousand);
criterion_main!(benches);
