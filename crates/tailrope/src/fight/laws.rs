//! What must hold of any fight, whatever the figures.

use super::*;
use crate::facts::{Band, PackText};
use crate::math::{hypot, sq};
use crate::quantity::{Force, Length, Mass, Span};
use proptest::prelude::*;

fn pack() -> Pack {
    Pack::read(&PackText::new("fight.toml", include_str!("../../../../data/fight.toml"))).unwrap()
}

/// A bull of 1.8 to 2.6 m on an 80-wide with 850 m of HMPE and 100 m of monofilament, bait 250 m out.
fn scenario() -> Setup {
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
            behaviour: pack().behaviour("bull"),
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
            card: Vec::new(),
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
            end: Span::of_h(3.0),
            cut_at_once: false,
            drag_cap: Force::of_lbf(32.0),
        },
        at_hand: AtHand { always_cut: false, unhook_within: Span::of_min(3.0) },
        step: Setup::STEP,
        only: None,
    }
}

/// The largest kind of tiger on a small reel at a light drag: empties the spool now and then.
fn too_much() -> Setup {
    let mut s = scenario();
    s.fish = Fish {
        length: Band::exact(Length::of_m(2.5)),
        mass: Mass::of_kg(165.0),
        mass_exponent: 3.0,
        mass_factor: 1.2,
        behaviour: pack().behaviour("tiger"),
    };
    s.outfit.radius = Length::of_mm(47.0);
    s.outfit.arbor = Length::of_mm(18.0);
    s.outfit.width = Length::of_mm(60.0);
    s.outfit.line = vec![LinePiece {
        name: "mono".into(),
        length: None,
        diameter: Length::of_mm(0.9),
        packing: core::f64::consts::FRAC_PI_4,
        skin_factor: 1.0,
        strength: Strength::Unbreakable,
    }];
    s.outfit.drag = Force::of_lbf(14.0);
    s
}

fn fights(s: Setup, seed: u64) -> Fights {
    Fights::new(&pack(), s, seed).unwrap()
}

fn no_death(_: &Ending) -> Band<f64> {
    Band::exact(0.0)
}

fn forecast(s: Setup, n: u64, seed: u64) -> Forecast {
    fights(s, seed).run(n, no_death)
}

#[test]
fn the_bits_do_not_depend_on_who_ran_them() {
    let f = fights(scenario(), 7);
    let serial = f.chunk(0..600);
    let mut parts: Vec<Part> = chunks(600).map(|r| f.chunk(r)).collect();
    parts.reverse();
    assert_eq!(Part::merge(parts), serial);
    let odd: Vec<Part> = [300..600, 0..17, 17..300].into_iter().map(|r| f.chunk(r)).collect();
    let merged = Part::merge(odd);
    assert_eq!(merged, serial);
    assert_eq!(f.forecast(&merged, no_death), f.forecast(&serial, no_death));
    assert_ne!(fights(scenario(), 8).chunk(0..600), serial);
}

#[test]
fn a_powerless_fish_comes_straight_in_at_the_human_limit() {
    let mut p = pack().at_mid();
    for (par, x) in [
        (Par::StoreJKg, 1e-9),
        (Par::BurstWKg, 1e-12),
        (Par::AerobicW1kg, 1e-12),
        (Par::ThrustCeilingN, 1e-12),
        (Par::AnglerB, 0.0),
        (Par::HandleForce, 1e9),
        (Par::CrankHz, 1e6),
        (Par::PumpSpeed, 1e6),
        (Par::HookBaseMin, 0.0),
        (Par::HookSlackMin, 0.0),
        (Par::HookTensionMin, 0.0),
    ] {
        p = p.fixed(par, x).unwrap();
    }
    let mut s = scenario();
    s.fish.length = Band::exact(s.fish.length.central);
    s.fish.mass_factor = 1.0;
    let f = Fights::new(&p, s, 3).unwrap();
    let part = f.chunk(0..20);
    let power = human_power(0.35, 0.0, 1.0) * 0.5 * 0.7;
    let body = swim_drag(93.5, 1.85, 2.0, 1025.0);
    let (mut seconds, h) = (0.0, 0.01);
    let mut r = 250.0;
    while r > 6.0 {
        let wet: f64 = r - 20.0;
        let wet = wet.max(0.0);
        let area = wet.min(100.0) * 1.45e-3 + (wet - 100.0).max(0.0) * 0.72e-3 * 1.5;
        let k = body + 0.5 * 1025.0 * 0.004 * core::f64::consts::PI * area;
        seconds += h / tow_speed(k, 0.0, power);
        r -= h;
    }
    for e in &part.endings {
        assert!(e.ended.to_hand(), "{e:?}");
        assert!((e.minutes * 60.0 - seconds).abs() < 0.01 * seconds, "{} {}", e.minutes * 60.0, seconds);
        assert_eq!(e.line_out_m, 250.0);
    }
}

#[test]
fn infinite_strength_never_breaks() {
    let mut s = scenario();
    s.outfit.drag = Force::of_lbf(60.0);
    for l in &mut s.outfit.line {
        l.strength = Strength::Label { label: Force::of_lbf(80.0), wet: true };
    }
    let weak = forecast(s.clone(), 300, 1);
    assert!(weak.outcomes.parted.p > 0.05, "{:?}", weak.outcomes);
    for l in &mut s.outfit.line {
        l.strength = Strength::Unbreakable;
    }
    s.ends.clear();
    assert_eq!(forecast(s, 300, 1).outcomes.parted.p, 0.0);
}

#[test]
fn the_work_is_accounted_for() {
    let f = fights(scenario(), 11);
    let g = fights(too_much(), 12);
    for i in 0..60 {
        for a in [f.story(i, Span::of_s(60.0)).account, g.story(i, Span::of_s(60.0)).account] {
            let paid = a.stores_j + a.aerobic_j;
            let done = a.line_j + a.body_j + a.slip_j;
            // What aerobic power puts back into the store is paid, not done: it is in neither sum.
            assert!((paid - done).abs() < 0.01 * done, "fish {i}: {paid} {done}");
            let people = a.tow_j + a.skin_j + a.against_j;
            assert!((a.angler_j - people).abs() <= 0.01 * a.angler_j.max(1.0), "people {i}: {a:?}");
            assert!(done > 1000.0);
        }
    }
}

#[test]
fn the_error_falls_as_one_over_root_n() {
    let f = fights(scenario(), 1);
    let all = f.chunk(0..6144);
    let p = |n: usize| -> (f64, f64) {
        let groups: Vec<Forecast> = all
            .endings
            .chunks_exact(n)
            .map(|e| f.forecast(&Part { first: 0, endings: e.to_vec() }, no_death))
            .collect();
        let m = groups.len() as f64;
        let mean = groups.iter().map(|g| g.outcomes.to_hand.p).sum::<f64>() / m;
        let var = groups.iter().map(|g| sq(g.outcomes.to_hand.p - mean)).sum::<f64>() / (m - 1.0);
        let said = groups.iter().map(|g| g.outcomes.to_hand.error).sum::<f64>() / m;
        (var.sqrt(), said)
    };
    let (wide, said_wide) = p(32);
    let (narrow, said_narrow) = p(128);
    assert!((said_wide / said_narrow - 2.0).abs() < 0.25, "{said_wide} {said_narrow}");
    assert!((wide / said_wide - 1.0).abs() < 0.3, "{wide} {said_wide}");
    assert!((narrow / said_narrow - 1.0).abs() < 0.45, "{narrow} {said_narrow}");
}

#[test]
fn another_seed_moves_every_chance_within_its_error() {
    let (a, b) = (forecast(scenario(), 2000, 1), forecast(scenario(), 2000, 2));
    let chances = |f: &Forecast| {
        let o = &f.outcomes;
        [o.to_hand, o.spooled, o.parted, o.hook_pulled, o.cut_at_rod, f.angler_moved, f.at_hand.unhooked]
    };
    for (x, y) in chances(&a).iter().zip(chances(&b)) {
        assert!((x.p - y.p).abs() < 4.0 * hypot(x.error, y.error), "{x:?} {y:?}");
    }
}

#[test]
fn less_drag_lengthens_the_middle_fight() {
    let at = |lbf| {
        let f = forecast(with_drag(&scenario(), Force::of_lbf(lbf)), 600, 1);
        f.minutes.unwrap()
    };
    let (hard, soft) = (at(28.0), at(20.0));
    assert!(soft.p50 > hard.p50 + 3.0 * (hard.error50 + soft.error50), "{hard:?} {soft:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn more_line_never_raises_the_chance_of_an_empty_spool(
        grow in 1.05..1.6f64, seed in 0u64..1000, lbf in 8.0..20.0f64
    ) {
        let small = with_drag(&too_much(), Force::of_lbf(lbf));
        let mut large = small.clone();
        large.outfit.width = large.outfit.width * grow;
        let (a, b) = (forecast(small, 300, seed).outcomes.spooled, forecast(large, 300, seed).outcomes.spooled);
        prop_assert!(b.p <= a.p + 3.0 * a.error, "{a:?} {b:?}");
    }

    #[test]
    fn more_drag_never_raises_it_either(more in 1.05..2.0f64, seed in 0u64..1000, lbf in 8.0..25.0f64) {
        let light = with_drag(&too_much(), Force::of_lbf(lbf));
        let heavy = with_drag(&too_much(), Force::of_lbf(lbf * more));
        let (a, b) = (forecast(light, 300, seed).outcomes.spooled, forecast(heavy, 300, seed).outcomes.spooled);
        prop_assert!(b.p <= a.p + 3.0 * a.error, "{a:?} {b:?}");
    }

    #[test]
    fn every_fight_ends_and_says_how(
        lbf in 2.0..80.0f64, bait in 10.0..900.0f64, kg in 2.0..900.0f64, seed in any::<u64>()
    ) {
        let mut s = scenario();
        s.outfit.drag = Force::of_lbf(lbf);
        s.bait = Length::of_m(bait);
        s.fish.mass = Mass::of_kg(kg);
        let f = forecast(s, 40, seed);
        let o = &f.outcomes;
        let sum = o.to_hand.p + o.spooled.p + o.parted.p + o.hook_pulled.p + o.cut_at_rod.p;
        prop_assert!((sum - 1.0).abs() < 1e-12);
        prop_assert!((f.at_hand.unhooked.p + f.at_hand.cut_at_fish.p - o.to_hand.p).abs() < 1e-12);
        prop_assert!(f.minutes_any.p90 <= 180.0 + 1e-9 && f.minutes_any.p10 > 0.0);
        prop_assert!(f.line_out_m.p90 <= 950.0);
    }
}

#[test]
fn a_stronger_stance_is_moved_less_and_a_sticky_drag_more() {
    let moved = |hold: f64, start_up: f64| {
        let mut s = scenario();
        s.people.angler.hold = Some(Band::exact(Force::of_n(hold)));
        s.outfit.start_up = start_up;
        forecast(s, 300, 1).angler_moved.p
    };
    let (weak, strong, sticky) = (moved(180.0, 1.0), moved(240.0, 1.0), moved(240.0, 1.4));
    assert!(weak > strong + 0.1, "{weak} {strong}");
    assert!(sticky > strong + 0.1, "{sticky} {strong}");
}

#[test]
fn backing_off_by_the_card_lowers_the_peak_and_lengthens_the_fight() {
    let plain = forecast(scenario(), 300, 1);
    let mut s = scenario();
    s.outfit.card = vec![
        CardPoint { line_out: Length::of_m(250.0), share: 1.0 },
        CardPoint { line_out: Length::of_m(500.0), share: 0.6 },
    ];
    let carded = forecast(s, 300, 1);
    assert!(carded.peak_n.p90 < plain.peak_n.p90, "{:?} {:?}", carded.peak_n, plain.peak_n);
    assert!(carded.line_out_m.p90 > plain.line_out_m.p90);
}

#[test]
fn a_relief_angler_shortens_a_long_fight() {
    let mut s = scenario();
    s.bait = Length::of_m(600.0);
    s.limits.fight = Span::of_h(3.0);
    // Strong hands and quick turning, so that power is what limits; and it fades fast.
    let p = pack().fixed(Par::HandleForce, 400.0).unwrap().fixed(Par::CrankHz, 3.0).unwrap();
    let p = p.fixed(Par::PumpSpeed, 3.0).unwrap().fixed(Par::AnglerB, 0.17).unwrap();
    let run = |s: Setup| Fights::new(&p, s, 1).unwrap().run(300, no_death).minutes.unwrap();
    let alone = run(s.clone());
    s.people.relief = Some(Relief { angler: s.people.angler, every: Span::of_min(6.0) });
    let two = run(s);
    assert!(two.p50 + two.error50 < alone.p50, "{two:?} {alone:?}");
}

#[test]
fn the_limit_asks_and_does_not_cut_by_itself() {
    let mut s = scenario();
    s.limits.fight = Span::of_min(8.0);
    let asked = forecast(s.clone(), 300, 1);
    // A fish that comes in goes on, but is cut at the leader.
    assert!(asked.outcomes.to_hand.p > 0.5, "{:?}", asked.outcomes);
    assert!(asked.at_hand.unhooked.p < 0.1);
    s.limits.cut_at_once = true;
    let cut = forecast(s.clone(), 300, 1);
    assert!(cut.outcomes.cut_at_rod.p > 0.5 && cut.minutes_any.p90 <= 8.01);
    assert!(cut.trailing_m.unwrap().p50 > 50.0);
    // Nothing gained for long at a hopeless drag: cut at the rod, not before ten minutes past.
    s.limits.cut_at_once = false;
    s.outfit.drag = Force::of_lbf(3.0);
    s.limits.drag_cap = Force::of_lbf(3.0);
    let hopeless = forecast(s, 100, 1);
    assert!(hopeless.outcomes.cut_at_rod.p > 0.3, "{:?}", hopeless.outcomes);
}

#[test]
fn the_part_that_parts_is_the_weak_one_and_sets_the_trailing_line() {
    let mut s = scenario();
    s.outfit.line[0].strength = Strength::Band(Band::exact(Force::of_n(150.0)));
    let f = forecast(s.clone(), 200, 1);
    assert_eq!(f.parted_by[0].part, "topshot");
    assert!(f.trailing_m.unwrap().p90 <= 100.0 + 1e-9);
    s.outfit.line[0].strength = Strength::Unbreakable;
    s.outfit.line[1].strength = Strength::Band(Band::exact(Force::of_n(150.0)));
    let f = forecast(s.clone(), 200, 1);
    assert_eq!(f.parted_by[0].part, "main");
    assert!(f.trailing_m.unwrap().p50 > 200.0);
    s.outfit.line[1].strength = Strength::Unbreakable;
    s.ends[0].strength = Strength::Band(Band::exact(Force::of_n(150.0)));
    let f = forecast(s, 200, 1);
    assert_eq!(f.parted_by[0].part, "crimp");
    assert_eq!(f.trailing_m.unwrap().p90, 4.0);
}

#[test]
fn alive_counts_every_ending() {
    let f = fights(scenario(), 1).run(400, |e| {
        let d = if e.ended.to_hand() { 0.1 } else { 0.4 };
        Band { low: d / 2.0, central: d, high: 2.0 * d }
    });
    let hand = f.outcomes.to_hand.p;
    assert!((f.alive.central - (1.0 - 0.1 * hand - 0.4 * (1.0 - hand))).abs() < 1e-12);
    assert!((f.to_hand_alive.central - 0.9 * hand).abs() < 1e-12);
    let d = f.death_after_release.unwrap();
    assert!((d.central - 0.1).abs() < 1e-12 && d.low < d.central && d.central < d.high);
    assert!(f.alive.low < f.alive.central && f.alive.central < f.alive.high);
}

#[test]
fn what_is_unknown_is_told_from_luck() {
    let mut s = scenario();
    s.fish.length = Band::exact(s.fish.length.central);
    s.fish.mass_factor = 1.0;
    let of = |p: Pack| Fights::new(&p, s.clone(), 1).unwrap().run(1000, no_death).doubt_minutes.unwrap();
    let (all, known) = (of(pack()), of(pack().at_mid()));
    assert!(all.unknown > 0.5 * all.luck, "{all:?}");
    assert!(known.unknown < 0.4 * known.luck, "{known:?}");
    // With everything known but luck, a fight varies less than with what differs from fight to fight.
    assert!(known.luck < all.luck, "{known:?} {all:?}");
}

#[test]
fn the_sweep_finds_a_drag_or_says_that_none_is_enough() {
    let sweep = |s: &Setup, limits: &DragLimits| {
        let rows: Vec<(Force, Forecast)> =
            drags_to_try(s).into_iter().map(|d| (d, forecast(with_drag(s, d), 200, 1))).collect();
        choose_drag(&rows, limits)
    };
    let free = DragLimits { moved_at_most: 1.0, spooled_at_most: 0.2, ..DragLimits::default() };
    let choice = sweep(&scenario(), &free);
    let best = choice.best_drag_n.unwrap();
    assert!(!choice.none_enough && choice.rows.iter().any(|r| r.frontier));
    let row = choice.rows.iter().find(|r| r.drag_n == best).unwrap();
    assert!(row.against.is_empty());
    for r in choice.rows.iter().filter(|r| r.against.is_empty()) {
        assert!(r.score <= row.score);
    }
    let capped = sweep(&scenario(), &DragLimits { footing_cap: Force::of_n(best * 0.8), ..free });
    assert!(capped.best_drag_n.is_none_or(|d| d <= best * 0.8));
    let none = sweep(&too_much(), &DragLimits { footing_cap: Force::of_lbf(10.0), ..DragLimits::default() });
    assert!(none.none_enough && none.best_drag_n.is_none());
}

#[test]
fn a_story_tells_the_fight_it_is_about() {
    let f = fights(scenario(), 5);
    let s = f.story(4, Span::of_s(5.0));
    assert_eq!(s.ending, f.one(4));
    assert!(s.moments.len() > 20);
    assert!(s.moments.windows(2).all(|w| w[0].t_s < w[1].t_s));
    let most = s.moments.iter().map(|m| m.line_out_m).fold(0.0, f64::max);
    assert!(most <= s.ending.line_out_m + 1e-9);
    assert!(s.moments.iter().all(|m| m.out_m >= 0.0 && hypot(m.out_m, m.along_m) <= m.line_out_m + 1e-6));
}

#[test]
fn a_set_up_without_sense_is_refused_by_name() {
    let say = |change: &dyn Fn(&mut Setup)| {
        let mut s = scenario();
        change(&mut s);
        Fights::new(&pack(), s, 1).unwrap_err()
    };
    assert!(say(&|s| s.outfit.arbor = Length::of_mm(60.0)).place.contains("arbor"));
    assert!(say(&|s| s.fish.mass = Mass::of_kg(f64::NAN)).place.contains("mass"));
    assert!(say(&|s| s.outfit.line[0].length = None).error.contains("topshot"));
    assert!(say(&|s| s.outfit.line.clear()).place.contains("line"));
    assert!(say(&|s| s.step = Span::of_s(10.0)).place.contains("step"));
    assert!(say(&|s| s.outfit.gear_low = 3.0).place.contains("gear_low"));
    assert!(
        say(&|s| s.outfit.card = vec![CardPoint { line_out: Length::of_m(5.0), share: 2.0 }])
            .place
            .contains("card")
    );
}
