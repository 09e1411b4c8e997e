use super::super::measured::{Paces, WaveCount};
use super::super::pack::tests::shipped;
use super::super::swell::Swell;
use super::super::wading::{Footing, Governs};
use super::*;
use crate::facts::{Band, Grade};
use crate::quantity::{Angle, Mass};
use proptest::prelude::*;

fn m(x: f64) -> Length {
    Length::of_m(x)
}

fn slope(x: f64) -> Slope {
    Slope::of_rise_over_run(x).unwrap()
}

fn swell(h: f64, t: f64, deg: f64) -> Swell {
    Swell::new(m(h), Span::of_s(t), Angle::of_deg(deg)).unwrap()
}

fn shore(trains: Vec<Swell>) -> Shore {
    Shore::of(Sea::Apart(trains), slope(0.1), slope(0.02))
}

fn handler(height: f64, mass: f64) -> Handler {
    Handler { name: "hand".into(), body: Wader::new(m(height), Mass::of_kg(mass)).unwrap() }
}

fn read(s: &Shore) -> Reading {
    s.read(&shipped()).unwrap()
}

#[test]
fn a_peak_that_jumps_is_planned_on_the_worse_train() {
    let sea = Sea::Jumping(vec![swell(0.7, 4.0, 0.0), swell(0.7, 13.0, 0.0)]);
    let r = read(&Shore { sea, ..shore(vec![]) });
    assert!(r.mixed && r.governs == Some(1));
    let run_up = r.run_up.get().unwrap();
    assert!((run_up.value.central.m() - 1.26).abs() < 0.005, "{run_up:?}");
    assert!((r.trains[0].run_up.safe().m() - 0.39).abs() < 0.005);
    let breakers: Vec<f64> = r.trains.iter().map(|t| t.breaker.value.central.m()).collect();
    assert!((breakers[0] - 0.81).abs() < 0.005 && (breakers[1] - 1.29).abs() < 0.005, "{breakers:?}");
    assert!((r.breaker.get().unwrap().value.central.m() - breakers[1]).abs() < 1e-12);
    let dry = r.dry.get().unwrap();
    assert!((dry.wash_reach.central.m() - 12.6).abs() < 0.05);
    assert!((dry.dry_reach.central.m() - 1.5 * dry.wash_reach.central.m()).abs() < 1e-9);
    // The scatter of 0.35 m on one in ten.
    assert!((dry.dry_reach.high.m() - dry.dry_reach.central.m() - 3.5).abs() < 1e-9);
}

#[test]
fn trains_apart_add_their_energies() {
    let r = read(&shore(vec![swell(0.9, 13.0, 0.0), swell(1.2, 6.0, 0.0)]));
    let sea = Sea::Apart(vec![swell(0.9, 13.0, 0.0), swell(1.2, 6.0, 0.0)]);
    assert!((sea.height().get().unwrap().m() - 1.5).abs() < 1e-12);
    let (a, b) = (r.trains[0].run_up.safe().m(), r.trains[1].run_up.safe().m());
    let both = r.run_up.get().unwrap().value.central.m();
    assert!((both - (a * a + b * b).sqrt()).abs() < 1e-12 && both > a.max(b));
}

#[test]
fn a_night_caster_before_any_wave() {
    let s = Shore {
        sea: Sea::Unknown,
        dark: Known::Known(true),
        current: Known::Known(Speed::of_mps(0.6)),
        undertow: Known::Known(Speed::of_mps(0.2)),
        handlers: vec![handler(1.65, 60.0)],
        depths: vec![m(0.4)],
        ..shore(vec![])
    };
    let r = read(&s);
    let hand = &r.handlers[0];
    assert!((hand.limit_m2_s.value - 0.298).abs() < 1e-9 && hand.footing == Footing::Poor);
    // The waves are not known, so no depth is named; what is known is already too much.
    assert!(hand.deepest.is_unknown() && r.depths.is_empty() && r.breaker.is_unknown());
    let at = hand.at[0];
    assert!((at.bears.mps() - 0.745).abs() < 1e-9 && (at.speed.mps() - 0.8).abs() < 1e-9);
    assert_eq!(at.standing.governs, Governs::Flow);
    // With the daylight branch it would pass: that is the trap.
    let day = read(&Shore { dark: Known::Known(false), ..s.clone() });
    assert!(day.handlers[0].at[0].standing.within());
    // Nobody said: dark.
    assert_eq!(read(&Shore { dark: Known::Unknown, ..s }).handlers[0].footing, Footing::Poor);
}

#[test]
fn which_limit_governs() {
    let still = Shore {
        undertow: Known::Known(Speed::ZERO),
        current: Known::Known(Speed::ZERO),
        handlers: vec![handler(1.8, 85.0)],
        depths: vec![m(0.3), m(0.6)],
        ..shore(vec![swell(0.0, 8.0, 0.0)])
    };
    let hand = read(&still).handlers.remove(0);
    let deepest = hand.deepest.get().unwrap();
    assert_eq!((deepest.governs, deepest.depth), (Governs::Knee, hand.knee));
    assert!(hand.at[0].standing.within() && hand.at[1].standing.governs == Governs::Knee);
    let surf = Shore { sea: Sea::Apart(vec![swell(1.0, 9.0, 0.0)]), ..still.clone() };
    let deepest = read(&surf).handlers[0].deepest.get().unwrap();
    assert_eq!(deepest.governs, Governs::Flow);
    assert!(deepest.in_a_bore < deepest.depth && deepest.in_a_bore.m() > 0.05, "{deepest:?}");
    // A river of 3.5 m/s: too fast at any depth, and that is what is said of a film of it.
    let river = Shore { current: Known::Known(Speed::of_mps(3.5)), depths: vec![m(0.05)], ..still };
    let hand = read(&river).handlers.remove(0);
    assert_eq!(hand.at[0].standing.governs, Governs::Speed);
    assert!(hand.deepest.get().unwrap().depth.m() < 1e-6);
}

#[test]
fn what_the_crew_measured_counts_before_what_is_reckoned() {
    let base = shore(vec![swell(1.0, 8.0, 10.0)]);
    let reckoned = read(&base);
    assert!(reckoned.along_known && reckoned.along.grade == Grade::SecondHand);
    let run: FloatRun = "10paces in 12s".parse().unwrap();
    let floated = read(&Shore { floats: vec![run; 3], ..base.clone() });
    assert_eq!(floated.along.grade, Grade::Measured);
    assert!((floated.along.value.central.mps() - 0.625).abs() < 1e-9);
    assert!(floated.along_reckoned.as_ref().is_some_and(|f| *f == reckoned.along));
    // Paces to the wash raise the planning run-up, and never lower it.
    let wash = |paces: f64| {
        let seen = WashSeen {
            reach: Paces { paces, pace: None },
            watched: Span::of_min(10.0),
            slope_measured: true,
        };
        read(&Shore { wash: Known::Known(seen), ..base.clone() }).run_up.get().unwrap()
    };
    let equation = reckoned.run_up.get().unwrap();
    assert!((wash(2.0).value.central - equation.value.central).m().abs() < 1e-12);
    assert_eq!(wash(30.0).grade, Grade::Measured);
    assert!(wash(30.0).value.central > equation.value.central);
    // A wash seen says something even where the waves are not known.
    let blind = Shore { sea: Sea::Unknown, wash: Known::Known("12paces in 10min".parse().unwrap()), ..base };
    assert!(!read(&blind).dry.is_unknown());
}

#[test]
fn breakers_judged_by_eye_count_at_their_high_end_with_and_without_a_period() {
    let rows = shipped().measured;
    // Without a period: the break alone, and nothing that asks for the sea.
    let alone = Shore { breakers: Known::Known(m(1.2)), ..shore(vec![]) };
    let alone = read(&Shore { sea: Sea::Unknown, ..alone });
    let b = alone.breaker.get().unwrap();
    assert!((b.value.low.m() - 0.84).abs() < 1e-9 && (b.value.central.m() - 1.56).abs() < 1e-9);
    assert_eq!((b.grade, b.value.high), (Grade::Estimate, b.value.central));
    assert!(alone.trains.is_empty() && alone.run_up.is_unknown() && alone.set_wave.is_unknown());
    // With one: the sea whose breakers are so high, whatever the period.
    for said in [5.0, 9.0, 14.0] {
        let period = Known::Known(Span::of_s(said));
        let (sea, from) = Sea::judged(m(1.2), period, Known::Unknown, Angle::ZERO, &rows).unwrap();
        assert_eq!(from, Some(PeriodFrom::Said));
        let r = read(&Shore { sea, breakers: Known::Known(m(1.2)), ..shore(vec![]) });
        assert!((r.trains[0].breaker.value.central.m() - 1.56).abs() < 1e-9);
        assert!(!r.run_up.is_unknown() && !r.nearly_flat);
    }
    // Of a count both ends: the short one stands higher offshore, the long one runs farther up.
    let count = Known::Known("8 in 1min".parse().unwrap());
    let (sea, from) = Sea::judged(m(1.2), Known::Unknown, count, Angle::ZERO, &rows).unwrap();
    let [long, short] = sea.trains() else { panic!("{sea:?}") };
    assert!(from == Some(PeriodFrom::Counted) && long.period() > short.period());
    assert!(short.height() > long.height() && sea.height() == Known::Known(short.height()));
    let flat = Shore { sea: Sea::Unknown, breakers: Known::Known(m(0.05)), ..shore(vec![]) };
    assert!(read(&flat).nearly_flat, "calm now promises nothing of tonight");
    assert!(Sea::judged(m(12.0), Known::Known(Span::of_s(9.0)), Known::Unknown, Angle::ZERO, &rows).is_err());
}

#[test]
fn a_count_and_a_said_period() {
    let rows = shipped().measured;
    let count = |waves| Known::Known(WaveCount { waves, over: Span::of_min(2.0) });
    let seen = |said: Option<f64>, counted| {
        Sea::seen(m(1.0), said.map(Span::of_s).into(), counted, Angle::ZERO, &rows).unwrap()
    };
    let (sea, from) = seen(None, count(14));
    assert_eq!(from, Some(PeriodFrom::Counted));
    // 8.571 s, +- sqrt(1/14^2 + 0.16/14) = 0.1286: 9.836 x 1.4.
    assert!((sea.trains()[0].period().s() - 13.77).abs() < 0.01, "{sea:?}");
    // A period said beside the count never makes the sea milder than the count alone.
    let long = sea.trains()[0].period();
    let (sea, from) = seen(Some(11.0), count(14));
    assert_eq!(from, Some(PeriodFrom::Said));
    assert!(matches!(&sea, Sea::Between(t) if t[0].period().s() == 11.0 && t[1].period() == long), "{sea:?}");
    for said in [4.0, 18.0] {
        let (sea, from) = seen(Some(said), count(14));
        assert_eq!(from, Some(PeriodFrom::Both));
        assert!(matches!(&sea, Sea::Jumping(t) if t[0].period().s() == said && t[1].period() == long));
    }
    let with = |said: Option<f64>| {
        let r = read(&Shore { sea: seen(said, count(14)).0, ..shore(vec![]) });
        (r.run_up.get().unwrap().value.central, r.breaker.get().unwrap().value.central, r.mixed)
    };
    let alone = with(None);
    for said in [4.0, 9.0, 11.0, 13.0, 18.0] {
        let both = with(Some(said));
        assert!(both.0 >= alone.0 && both.1 >= alone.1, "{said} s: {both:?} {alone:?}");
        assert_eq!(both.2, !(9.0..=13.8).contains(&said));
    }
    assert_eq!(seen(None, Known::Unknown), (Sea::Unknown, None));
}

#[test]
fn rips_of_one_night_and_what_nobody_said() {
    let base = Shore {
        at_5_m: Known::Known(m(0.9)),
        after_big_sea: Known::Known(false),
        about_mean: Known::Known(m(-0.4)),
        ..shore(vec![swell(0.9, 8.0, 10.0)])
    };
    let p = |s: &Shore| read(s).rip.get().unwrap();
    let low = p(&base);
    assert!((low.chance.value.central - 0.75).abs() < 0.005 && !low.deep_water_used);
    assert_eq!(low.chance.value.low, low.chance.value.high);
    let high = p(&Shore { about_mean: Known::Known(m(0.4)), ..base.clone() });
    assert!((high.chance.value.central - 0.43).abs() < 0.005);
    let open = p(&Shore {
        at_5_m: Known::Unknown,
        after_big_sea: Known::Unknown,
        about_mean: Known::Unknown,
        ..base.clone()
    });
    assert!(open.deep_water_used && !open.level_known && !open.event_known);
    assert!(open.chance.value.low < high.chance.value.central);
    assert!(open.chance.value.high > low.chance.value.central);
    // Of an unknown angle square waves are taken.
    let square = p(&Shore { angle_known: false, ..base });
    assert!(square.chance.value.central > low.chance.value.central);
}

#[test]
fn the_landing_minutes() {
    // 1.5 m, Tz 7 s as 8.96 s peak, 20 min: 171 waves, chance of 1.5 Hs 0.8527 (recomputed case).
    let s = Shore { landing: Known::Known(Span::of_min(20.0)), ..shore(vec![swell(1.5, 8.96, 0.0)]) };
    let set = read(&s).set_wave.get().unwrap();
    assert!((set.waves - 171.43).abs() < 0.01 && (set.chance.central - 0.8527).abs() < 5e-5, "{set:?}");
    assert!((set.mean_highest.m() - 2.541).abs() < 0.002);
}

#[test]
fn what_a_bait_must_hold_against() {
    let s = Shore {
        current: Known::Known(Speed::of_mps(0.6)),
        soak: Known::Known(Span::of_h(1.0)),
        depths: vec![m(3.0), m(6.0)],
        ..shore(vec![swell(1.0, 9.0, 0.0)])
    };
    let r = read(&s);
    let hold: Vec<&Hold> = r.depths.iter().filter_map(|d| d.hold.as_ref()).collect();
    // The study's table: 1.02/1.88 in 3 m, 0.59/1.10 in 6 m; the current square to them.
    assert!((hold[0].hold.mps() - (0.36_f64 + 1.88 * 1.88).sqrt()).abs() < 0.03);
    assert!((hold[1].hold.mps() - (0.36_f64 + 1.10 * 1.10).sqrt()).abs() < 0.02);
    assert!(hold[1].creep < hold[1].hold && hold[1].creep.mps() > 0.6);
    let b = hold[1].belly_m2_s2;
    assert!((b.low - 0.36).abs() < 1e-9);
    assert!((b.central - 0.6 * (0.36_f64 + 0.59 * 0.59 / 2.0).sqrt()).abs() < 0.005, "{b:?}");
    // U 0.6, u 0.59, in line: U2 + u2/2 as long as the current is the faster.
    assert!((b.high - (0.36 + 0.59 * 0.59 / 2.0)).abs() < 0.01);
    assert!(r.depths[0].bore.is_none() && !r.depths[0].inside_the_break);
}

#[test]
fn nonsense_is_refused() {
    let none = Shore { sea: Sea::Apart(vec![]), ..shore(vec![]) };
    assert!(none.read(&shipped()).unwrap_err().error.contains("0 trains"));
    let deep = Shore { depths: vec![m(900.0)], ..shore(vec![swell(1.0, 9.0, 0.0)]) };
    assert!(deep.read(&shipped()).unwrap_err().error.contains("depth"));
    let long = Shore { landing: Known::Known(Span::of_h(9.0)), ..shore(vec![swell(1.0, 9.0, 0.0)]) };
    assert!(long.read(&shipped()).is_err());
    let wall = shore(vec![swell(20.0, 1.0, 0.0)]);
    assert!(wall.read(&shipped()).unwrap_err().error.contains("steeper than 1 in 7"));
    assert!(read(&shore(vec![swell(0.09, 6.0, 0.0)])).nearly_flat);
    assert!(!read(&shore(vec![swell(0.1, 6.0, 0.0)])).nearly_flat);
}

fn in_order<T: PartialOrd>(b: &Band<T>) -> bool {
    b.low <= b.central && b.central <= b.high
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn every_band_holds_its_centre_and_more_sea_is_never_kinder(
        h in 0.0..4.0f64, t in 3.0..18.0f64, deg in -60.0..60.0f64, h2 in 0.0..2.0f64, t2 in 3.0..18.0f64,
        face in 0.01..0.2f64, near in 0.005..0.1f64, wind in -15.0..15.0f64, depth in 0.05..8.0f64, jumping: bool,
    ) {
        let steepest = |t: f64| Swell::steepest(Span::of_s(t)).m();
        prop_assume!(h + 0.3 <= steepest(t) && h2 + 0.3 <= steepest(t2));
        let of = |more: f64| {
            let trains = vec![swell(h + more, t, deg), swell(h2 + more, t2, deg / 2.0)];
            let sea = if jumping { Sea::Jumping(trains) } else { Sea::Apart(trains) };
            let s = Shore {
                wind_along: Drift::Along(Speed::of_mps(wind)),
                handlers: vec![handler(1.7, 70.0)],
                depths: vec![m(depth), m(0.3)],
                soak: Known::Known(Span::of_h(2.0)),
                ..Shore::of(sea, slope(face), slope(near))
            };
            read(&s)
        };
        let (a, b) = (of(0.0), of(0.3));
        for r in [&a, &b] {
            let lengths = [r.breaker.as_ref(), r.surf_width.as_ref(), r.run_up.as_ref()];
            for f in lengths.into_iter().flatten() {
                prop_assert!(in_order(&f.value) && f.value.low.m() >= 0.0, "{:?}", f);
            }
            prop_assert!(in_order(&r.along.value) && r.along.value.low.mps() >= 0.0, "{:?}", r.along);
            prop_assert!(in_order(&r.set_wave.as_ref().unwrap().chance));
            let rip = &r.rip.as_ref().unwrap().chance.value;
            prop_assert!(in_order(rip) && rip.low >= 0.0 && rip.high <= 1.0);
            for d in &r.depths {
                prop_assert!(in_order(&d.significant.value) && in_order(&d.highest.value));
                prop_assert!(in_order(&d.orbital.value) && in_order(&d.undertow.value), "{:?}", d);
                let hold = d.hold.as_ref().unwrap();
                prop_assert!(in_order(&hold.belly_m2_s2) && hold.creep <= hold.hold, "{:?}", hold);
            }
            let dry = r.dry.as_ref().unwrap();
            prop_assert!(in_order(&dry.dry_reach) && in_order(&dry.wash_reach));
            prop_assert!(dry.dry_reach.central >= dry.wash_reach.central);
        }
        let deep = |r: &Reading| r.handlers[0].deepest.get().unwrap();
        // A wind against the waves' current can cancel it; with it or without wind more sea only pushes more.
        if deg * wind >= 0.0 {
            prop_assert!(deep(&b).depth.m() <= deep(&a).depth.m() + 1e-6);
            prop_assert!(deep(&b).in_a_bore.m() <= deep(&a).in_a_bore.m() + 1e-6);
        }
        let up = |r: &Reading| r.run_up.as_ref().unwrap().value.central;
        let breaker = |r: &Reading| r.breaker.as_ref().unwrap().value.central;
        prop_assert!(up(&b) > up(&a) && breaker(&b) > breaker(&a));
        prop_assert!(b.rip.as_ref().unwrap().chance.value.central >= a.rip.as_ref().unwrap().chance.value.central);
    }

    #[test]
    fn no_sea_that_can_be_typed_breaks_it(
        h in 0.0..20.0f64, t in 1.0..30.0f64, deg in -90.0..90.0f64, face in 0.0..1.0f64, near in 0.0..1.0f64,
        depth in 0.01..200.0f64, min in 0.5..100.0f64,
    ) {
        let s = Shore {
            handlers: vec![handler(1.0, 25.0), handler(2.3, 250.0)],
            depths: vec![m(depth)],
            soak: Known::Known(Span::of_h(min)),
            landing: Known::Known(Span::of_min(min)),
            ..Shore::of(Sea::Apart(vec![swell(h, t, deg)]), slope(face), slope(near))
        };
        // Answered or refused in words, never broken; every number that comes out is one.
        if let Ok(r) = s.read(&shipped()) {
            let text = serde_json::to_string(&r.depths).unwrap() + &serde_json::to_string(&r.handlers).unwrap();
            // Of the unbroken water there is no bore; anything else that is null was no number.
            prop_assert!(!text.replace("\"bore\":null", "").contains("null"), "{}", text);
        }
    }
}
