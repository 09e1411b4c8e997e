use super::demo::{demo, thin};
use super::*;
use crate::facts::{Grade, Known};
use crate::quantity::{Angle, Force, Length, Speed};
use crate::tackle::tables::tests::shipped;
use crate::tackle::{
    GuideKind, Joint, JointKind, LinePiece, LineRole, Material, Outfit, Section, SectionRole, Wear,
};
use proptest::prelude::*;

fn nylon_80(m: f64, d: f64) -> Outfit {
    let mut o = Outfit::named("o");
    o.reel.class = Known::Known("80W".into());
    o.line = vec![LinePiece::new(
        LineRole::Main,
        Length::of_m(m),
        Material::Nylon,
        Force::of_lbf(80.0),
        Length::of_mm(d),
    )];
    o.guides.friction = Known::Known(0.16);
    o.guides.wrap = Known::Known(Angle::of_deg(60.0));
    o
}

fn at(o: &Outfit, ask: &PathAsk) -> PathReport {
    LoadPath::new(o, None, &shipped()).unwrap().at(ask).unwrap()
}

#[test]
fn twenty_five_pounds_by_the_book() {
    // Question 20: 25 lbf at the tip, 500 m out at 4 m/s, 450 m wet: 200 N at the hook, margin 1.26; a worse
    // joint and older line 1.04; and 25 lbf at the reel 229 N and 1.10.
    let mut o = nylon_80(873.0, 0.9);
    let rig = crate::tackle::Rig {
        name: "swivel only".into(),
        sections: vec![],
        hook: crate::tackle::Hook {
            straightens_at: Known::Known(Force::of_kgf(138.0)),
            ..crate::tackle::Hook::default()
        },
        sinker: None,
    };
    o.line[0].age_kept = Known::Known(0.95);
    o.line[0].outer.kept = Known::Known(0.88);
    let ask = PathAsk {
        wet: Known::Known(Length::of_m(450.0)),
        ..PathAsk::at_reel(Force::of_lbf(25.0), Length::of_m(500.0), Speed::of_mps(4.0)).read_at_tip()
    };
    let run = |o: &Outfit, ask: &PathAsk| LoadPath::new(o, Some(&rig), &shipped()).unwrap().at(ask).unwrap();
    let r = run(&o, &ask);
    // The facts give the full radius as the rim's 57 mm; 873 m fill it to a hair.
    assert!((r.shares.set.n() - 94.05).abs() < 0.01, "{:?}", r.shares);
    assert!((r.radius.mm() - 39.95).abs() < 0.05, "{:?}", r.radius);
    assert!((r.spool.n() - 134.2).abs() < 0.2 && (r.tip.n() - 158.7).abs() < 0.2);
    assert!((r.shares.water.n() - 41.73).abs() < 0.01);
    assert!((r.hook.lbf() - 45.0).abs() < 0.1, "{}", r.hook.lbf());
    assert!((r.margin.get().unwrap() - 1.26).abs() < 0.005, "{:?}", r.margin);
    assert!(r.weakest.as_deref().unwrap().starts_with("joint"), "{:?}", r.weakest);
    let reel = run(&o, &PathAsk { drag_at: crate::tackle::ScalePlace::Reel, ..ask });
    assert!((reel.hook.n() - 229.0).abs() < 1.0 && (reel.margin.get().unwrap() - 1.10).abs() < 0.006);
    o.line[0].age_kept = Known::Known(0.92);
    o.line[0].outer.kept = Known::Known(0.75);
    let worse = run(&o, &ask);
    assert!((worse.margin.get().unwrap() - 1.04).abs() < 0.005, "{:?}", worse.margin);
}

#[test]
fn the_heavy_outfit_is_enough_and_the_thin_line_is_not() {
    let t = shipped();
    // Worst line out of the forecast is not known here: four fifths of the line, at each speed of a run.
    let worst = |(outfit, rig): (Outfit, crate::tackle::Rig), v: f64| {
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let out = path.spool().line_length() * 0.8;
        let full = Force::of_lbf(28.0);
        let ask = crate::tackle::drag::CardAsk {
            run: Speed::of_mps(v),
            ..crate::tackle::drag::CardAsk::at_reel(full)
        };
        let card = crate::tackle::drag_card(&path, &outfit, &t, None, &ask).unwrap();
        let margin = |set| path.weakest(set, out, wet_of(out), ask.run).unwrap().1.get().unwrap();
        (margin(full), margin(card.set_at(out)))
    };
    for v in [4.0, 5.0, 6.0] {
        let (unbacked, followed) = worst(demo(), v);
        assert!(unbacked >= 1.2 && followed >= 1.2, "heavy at {v}: {unbacked} {followed}");
        let (unbacked, followed) = worst(thin(), v);
        assert!(unbacked < 1.0 && followed < 1.2, "thin at {v}: {unbacked} {followed}");
    }
}

#[test]
fn a_crimp_at_forty_per_cent_shows_at_the_leader_and_not_in_the_run() {
    // Question 22: 80-lb main line, leader of 400 or 300 lb with a bad sleeve.
    let t = shipped();
    let bad = |lb: f64| {
        let (mut outfit, mut rig) = thin();
        outfit.line[0].outer = Joint::of(JointKind::MonoKnot);
        let mut s = Section::new(SectionRole::Rubbing, Material::Nylon, Force::of_lbf(lb), Length::of_m(5.0));
        s.age_kept = Known::Known(1.0);
        s.bottom = Joint::of(JointKind::CrimpBad);
        s.top = Joint::of(JointKind::Crimp);
        rig.sections = vec![s];
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        path.at(&PathAsk::at_reel(Force::of_lbf(25.0), Length::of_m(400.0), Speed::of_mps(4.0))).unwrap()
    };
    let (four, three) = (bad(400.0), bad(300.0));
    let sleeve = four.parts.iter().find(|p| p.name.contains("rubbing section to hook")).unwrap();
    // 160 lbf dry, 136 wet.
    assert!((sleeve.capacity.get().unwrap().lbf() - 136.0).abs() < 0.01);
    assert!(four.weakest.as_deref().unwrap().contains("main line"), "{:?}", four.weakest);
    assert!(four.leader_stage.margin.get().unwrap() < 1.2);
    assert!(three.leader_stage.margin.get().unwrap() < 1.0);
    // A sleeve that the crew has not pulled says what it would be if it were such a one.
    let (outfit, rig) = demo();
    let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
    let stage = path.leader_stage(Force::of_lbf(28.0));
    assert!(stage.margin.get().unwrap() > 2.0, "{stage:?}");
    assert!(stage.margin_if_bad_sleeves.get().unwrap() < 1.2, "{stage:?}");
    // A measured break replaces nominal, wet and joint.
    let (outfit, mut rig) = demo();
    for s in &mut rig.sections {
        for j in [&mut s.top, &mut s.bottom] {
            j.measured_break = Known::Known(Force::of_lbf(333.0));
        }
    }
    let stage = LoadPath::new(&outfit, Some(&rig), &t).unwrap().leader_stage(Force::of_lbf(28.0));
    assert_eq!(stage.margin, stage.margin_if_bad_sleeves);
    let sleeve = stage.parts.iter().find(|p| p.name.contains("rubbing section to")).unwrap();
    assert!((sleeve.capacity.get().unwrap().lbf() - 333.0).abs() < 1e-9);
}

#[test]
fn unknown_strength_is_unknown_margin() {
    let t = shipped();
    let (outfit, mut rig) = demo();
    rig.hook.wire = Known::Unknown;
    let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
    let r = path.at(&PathAsk::at_reel(Force::of_lbf(28.0), Length::of_m(300.0), Speed::of_mps(5.0))).unwrap();
    assert_eq!(r.margin, Known::Unknown);
    assert_eq!(r.unknown, vec!["hook".to_owned()]);
    assert!(r.margin_of_known.unwrap() > 1.0 && r.limits.full == Known::Unknown);
    assert!(LoadPath::new(&Outfit::named("bare"), None, &t).unwrap_err().remedy.contains("ruler"));
}

#[test]
fn the_weakest_grade_that_matters_travels() {
    let mut o = nylon_80(800.0, 0.9);
    o.reel.spool = Known::Known(
        crate::tackle::Spool::new(Length::of_mm(57.0), Length::of_mm(19.0), Length::of_mm(78.0)).unwrap(),
    );
    o.line[0].packing = Known::Known(0.785);
    o.line[0].wet_break = Known::Known(Force::of_lbf(75.0));
    o.line[0].wear = Known::Known(Wear::Sound);
    let near = PathAsk {
        drag_grade: Grade::Measured,
        ..PathAsk::at_reel(Force::of_lbf(20.0), Length::of_m(60.0), Speed::of_mps(1.0))
    };
    assert_eq!(at(&o, &near).grade, Grade::Measured);
    // Far out and fast, the skin matters; it is derived.
    let far = PathAsk {
        line_out: Length::of_m(600.0),
        run: Speed::of_mps(8.0),
        drag_grade: Grade::Measured,
        ..near
    };
    assert_eq!(at(&o, &far).grade, Grade::Derived);
    // A class spool is recalled.
    o.reel.spool = Known::Unknown;
    assert_eq!(at(&o, &far).grade, Grade::Recalled);
    assert_eq!(at(&o, &PathAsk { drag_grade: Grade::Default, ..near }).grade, Grade::Default);
}

#[test]
fn what_trails_is_what_lies_outward() {
    let t = shipped();
    let (outfit, rig) = demo();
    let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
    let r = path.at(&PathAsk::at_reel(Force::of_lbf(28.0), Length::of_m(400.0), Speed::of_mps(5.0))).unwrap();
    let trails = |name: &str| {
        let p = r.parts.iter().find(|p| p.name == name).unwrap();
        (p.trails.get().unwrap().m(), p.trails_most.get().unwrap().m())
    };
    assert_eq!(trails("main line"), (106.5, 406.5));
    assert_eq!(trails("topshot"), (6.5, 106.5));
    assert_eq!(trails("joint main line to topshot"), (106.5, 106.5));
    assert_eq!(trails("bite section"), (0.0, 1.5));
    assert_eq!(trails("hook"), (0.0, 0.0));
    // Each part is held against the tension at its own place: that at its end towards the hook.
    let felt = |name: &str| r.parts.iter().find(|p| p.name == name).unwrap().demand.unwrap();
    assert_eq!(felt("topshot"), r.leader);
    assert_eq!(felt("main line"), felt("joint main line to topshot"));
    assert_eq!(felt("hook"), r.hook);
    assert!(r.tip < felt("main line") && felt("main line") < felt("topshot") && r.leader < r.hook);
    // While the topshot is not yet out, nothing pulls on main line or its joint.
    let r = path.at(&PathAsk::at_reel(Force::of_lbf(28.0), Length::of_m(60.0), Speed::of_mps(5.0))).unwrap();
    assert!(r.parts.iter().filter(|p| p.name.contains("main line")).all(|p| p.demand.is_none()));
}

#[test]
fn the_sweep_bound_is_off_unless_asked_and_a_vector() {
    let o = nylon_80(800.0, 0.9);
    let ask = PathAsk::at_reel(Force::of_n(150.0), Length::of_m(300.0), Speed::of_mps(2.0));
    let plain = at(&o, &ask);
    assert_eq!(plain.sweep_bound, None);
    let bound = at(&o, &PathAsk { sweep_bound: true, ..ask });
    let sweep = bound.sweep_bound.unwrap();
    // Facts, SWEEP-1: 250 m of 0.9 mm at 2 m/s is 123.4 N at the fish.
    assert!((sweep.n() - 123.4).abs() < 0.05, "{}", sweep.n());
    let expected = (plain.hook.n().mul_add(plain.hook.n(), sweep.n() * sweep.n())).sqrt();
    assert!((bound.hook.n() - expected).abs() < 1e-9);
    assert_eq!(bound.tip, plain.tip);
}

#[test]
fn refuses_what_cannot_be_asked() {
    let o = nylon_80(800.0, 0.9);
    let path = LoadPath::new(&o, None, &shipped()).unwrap();
    let good = PathAsk::at_reel(Force::of_n(100.0), Length::of_m(100.0), Speed::of_mps(4.0));
    let place = |ask: &PathAsk| path.at(ask).unwrap_err().place;
    assert_eq!(place(&PathAsk { drag: Force::of_n(-1.0), ..good }), "drag");
    assert_eq!(place(&PathAsk { line_out: Length::of_m(801.0), ..good }), "line_out");
    assert_eq!(place(&PathAsk { line_out: Length::of_m(f64::NAN), ..good }), "line_out");
    assert_eq!(place(&PathAsk { wet: Known::Known(Length::of_m(200.0)), ..good }), "wet");
    assert_eq!(place(&PathAsk { run: Speed::of_mps(99.0), ..good }), "run");
    assert_eq!(place(&PathAsk { factor: 0.0, ..good }), "factor");
}

proptest! {
    #[test]
    fn tension_never_falls_outward_and_every_limit_holds(
        lbf in 5.0..40.0_f64, share in 0.0..=1.0_f64, v in 0.0..10.0_f64, heavy: bool, roller: bool,
    ) {
        let t = shipped();
        let (mut outfit, rig) = if heavy { demo() } else { thin() };
        outfit.guides.kind = Known::Known(if roller { GuideKind::Roller } else { GuideKind::Ring });
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let out = path.spool().line_length() * share;
        let ask = PathAsk::at_reel(Force::of_lbf(lbf), out, Speed::of_mps(v));
        let r = path.at(&ask).unwrap();
        prop_assert!(r.spool >= r.shares.set && r.tip >= r.spool);
        prop_assert!(r.leader >= r.tip && r.hook >= r.leader);
        let felt: Vec<Force> = r.parts.iter().filter_map(|p| p.demand).collect();
        prop_assert!(felt.windows(2).all(|w| w[1] >= w[0]));
        prop_assert!((r.shares.of_hook.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        // At the greatest drag the weakest margin is the factor.
        let most = path.greatest_drag(1.5, out, ask.wet_length(), ask.run).get().unwrap();
        if most > Force::ZERO {
            let m = path.weakest(most, out, ask.wet_length(), ask.run).unwrap().1.get().unwrap();
            prop_assert!((m - 1.5).abs() < 1e-9);
        }
    }

    #[test]
    fn the_margin_falls_with_line_out(lbf in 5.0..40.0_f64, a in 0.0..=1.0_f64, b in 0.0..=1.0_f64, v in 0.0..8.0_f64) {
        let t = shipped();
        let (outfit, rig) = demo();
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let margin = |share: f64| {
            let out = path.spool().line_length() * share;
            path.weakest(Force::of_lbf(lbf), out, wet_of(out), Speed::of_mps(v)).unwrap().1.get().unwrap()
        };
        prop_assert!(margin(a.max(b)) <= margin(a.min(b)) * (1.0 + 1e-12));
    }

    #[test]
    fn a_stronger_part_never_lowers_the_margin(
        which in 0_usize..4, more in 1.0..3.0_f64, share in 0.05..=1.0_f64, v in 0.0..8.0_f64,
    ) {
        let t = shipped();
        let (mut outfit, mut rig) = demo();
        // The same diameters, so that only strength changes.
        for s in &mut rig.sections { s.diameter = Known::Known(Length::of_mm(1.8)); }
        let margin = |outfit: &Outfit, rig: &crate::tackle::Rig| {
            let path = LoadPath::new(outfit, Some(rig), &t).unwrap();
            let out = path.spool().line_length() * share;
            path.weakest(Force::of_lbf(28.0), out, wet_of(out), Speed::of_mps(v)).unwrap().1.get().unwrap()
        };
        let before = margin(&outfit, &rig);
        let strength = match which {
            0 | 1 => &mut outfit.line[which].strength,
            _ => &mut rig.sections[which - 2].strength,
        };
        *strength = Known::Known(strength.get().unwrap() * more);
        prop_assert!(margin(&outfit, &rig) >= before * (1.0 - 1e-12));
    }

    #[test]
    fn no_line_out_is_the_setting_exactly(n in 1.0..500.0_f64, v in 0.0..8.0_f64) {
        let t = shipped();
        let (outfit, rig) = demo();
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let r = path.at(&PathAsk::at_reel(Force::of_n(n), Length::ZERO, Speed::of_mps(v))).unwrap();
        prop_assert_eq!(r.spool, Force::of_n(n));
        prop_assert_eq!(r.hook, r.tip);
    }

    #[test]
    fn where_the_scale_was_hooked_is_counted_once(n in 5.0..400.0_f64, out in 0.0..=1.0_f64) {
        let t = shipped();
        let (outfit, rig) = demo();
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let out = path.spool().line_length() * out;
        let ask = PathAsk { set_with: out, ..PathAsk::at_reel(Force::of_n(n), out, Speed::ZERO) };
        // Read at the tip with this line out, it is this at the tip with this line out.
        prop_assert!((path.at(&ask.read_at_tip()).unwrap().tip.n() / n - 1.0).abs() < 1e-12);
        prop_assert!((path.at(&ask).unwrap().spool.n() / n - 1.0).abs() < 1e-12);
    }
}
