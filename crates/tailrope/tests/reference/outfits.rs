//! Questions of crews on what reel, label and joints bear, answered with the worked numbers of the case book
//! (computed apart from this code; spool sizes and labels recalled, see the fixture of `tackle`).

use tailrope::facts::{Grade, Known, PackText};
use tailrope::quantity::{Force, Length, Speed};
use tailrope::tackle::{
    Hook, Joint, JointKind, LinePiece, LineRole, LoadPath, Material, PathAsk, Rig, Section, SectionRole,
    Tables, brief,
};

const PACK: &str = include_str!("../../../../data/tackle.toml");

fn tables() -> Tables {
    Tables::read(&PackText::new("tackle.toml", PACK)).unwrap()
}
fn m(x: f64) -> Length {
    Length::of_m(x)
}
fn near(what: &str, got: f64, want: f64, share: f64) {
    assert!((got / want - 1.0).abs() <= share, "{what}: {got}, not {want}");
}

/// Question 1: a casting reel by its label, 17 lbf at most, 250 yd of 20-lb mono.
#[test]
fn a_label_gives_limits_and_a_band_and_says_what_to_measure() {
    let t = tables();
    let o = brief("casting, label 250yd of 20lb mono, 17lbf drag, 20lb mono, ring guides", &t).unwrap();
    let drag = o.reel.max_drag(&t).get().unwrap();
    near("greatest drag", drag.value.central.n(), 75.6, 1e-3);
    assert!(drag.grade >= Grade::Estimate && drag.value.low < drag.value.central);
    let band = o.loaded_band(&t).unwrap();
    let twenty = t.diameter_of(Material::Nylon, Force::of_lbf(20.0)).unwrap().value.central;
    let phi = t.material(Material::Nylon).packing.value.central;
    let holds = band.spool.capacity(twenty, phi);
    near("the label's own line", holds.central.m(), 228.6, 1e-6);
    assert!(holds.low.m() < 200.0 && holds.high.m() > 260.0, "{holds:?}");
    // Planned at the safe end: least line, greatest growth.
    assert!(band.planned.line_length() < m(200.0));
    let r = LoadPath::new(&o, None, &t).unwrap();
    let out = band.planned.line_length() * 0.8;
    let r = r.at(&PathAsk::at_reel(drag.value.central, out, Speed::of_mps(2.0))).unwrap();
    assert!(r.spool_fill.hook_n.high / r.spool_fill.hook_n.low > 1.2, "{:?}", r.spool_fill.hook_n);
    near("answer is the safe end", r.hook.n(), r.spool_fill.hook_n.high, 1e-9);
    // Depth and the line of a turn are bands too, and a mark by depth is seen too early rather than too late.
    let (depth, radius) = (r.spool_fill.depth_mm, r.spool_fill.radius_mm);
    assert!(depth.high > depth.low * 1.2 && radius.high > radius.low * 1.2, "{depth:?} {radius:?}");
    assert!(r.spool_fill.turn_m.is_none_or(|t| t.high > t.low * 1.2));
    let path = LoadPath::new(&o, None, &t).unwrap();
    near("mark", path.depth_mark(out).mm(), depth.low, 1e-9);
    assert!(r.spool_fill.measure_first.unwrap().contains("arbor"));
    assert!(r.spool_fill.grade >= Grade::Estimate);
}

/// Question 18: a label's 1000 yd of 130-lb mono on the model spool of the class.
#[test]
fn a_thousand_yards_of_130_do_not_fit_and_double_the_drag() {
    let t = tables();
    for (mm, holds, growth) in [(1.18, 782.0, 2.01), (1.10, 900.0, 1.70), (1.25, 697.0, 2.53)] {
        let o = brief(&format!("130, {mm}mm mono"), &t).unwrap();
        let s = o.loaded_spool(&t).unwrap().value;
        near("holds", s.line_length().m(), holds, 1e-3);
        near("growth at 640 m", s.growth(m(640.0)), growth, 3e-3);
    }
    let e = brief("130, 1.18mm mono 914m", &t).unwrap().loaded_spool(&t).unwrap_err();
    assert!(e.error.contains("914 m of line do not fit") && e.allowed.contains("m less of main line"), "{e}");
    let s = brief("130, 1.18mm mono", &t).unwrap().loaded_spool(&t).unwrap().value;
    near("left at 640 m", s.line_length().m() - 640.0, 142.0, 5e-3);
    near("growth at 457 m", s.growth(m(457.0)), 1.47, 3e-3);
    let e = brief("80W, 1.2mm mono 900m, 0.9mm mono topshot 50m", &t).unwrap().loaded_spool(&t).unwrap_err();
    assert!(e.error.contains("main line alone fills the spool") && e.error.contains("topshot"), "{e}");
    let e =
        brief("80W, 0.4mm braid 300m, 1.4mm mono topshot 800m", &t).unwrap().loaded_spool(&t).unwrap_err();
    assert!(e.allowed.contains("less of topshot"), "{e}");
}

/// Question 20: 25 lbf by the book on 80-lb nylon, read at the tip.
#[test]
fn a_third_of_the_line_by_the_book_is_not_always_safe() {
    let t = tables();
    let margin = |joint: f64, age: f64, at_tip: bool| {
        let mut o = brief("80W, 0.9mm mono 80lb, ring guides", &t).unwrap();
        o.line[0].age_kept = Known::Known(age);
        o.line[0].outer = Joint { kept: Known::Known(joint), ..Joint::default() };
        // A leader that is no weak link, so that the joint is the weakest.
        let leader = Section::new(SectionRole::Rubbing, Material::Nylon, Force::of_lbf(800.0), m(5.0));
        let rig = Rig { name: "r".into(), sections: vec![leader], hook: Hook::default(), sinker: None };
        let path = LoadPath::new(&o, Some(&rig), &t).unwrap();
        let ask = PathAsk::at_reel(Force::of_lbf(25.0), m(500.0), Speed::of_mps(4.0));
        let ask = PathAsk { wet: Known::Known(m(450.0)), ..if at_tip { ask.read_at_tip() } else { ask } };
        let r = path.at(&ask).unwrap();
        let joint = r.parts.iter().find(|p| p.name.starts_with("joint main line to")).unwrap();
        (joint.capacity.get().unwrap().n(), joint.margin.get().unwrap(), r)
    };
    let (bears, at_tip, r) = margin(0.88, 0.95, true);
    near("radius", r.radius.mm(), 39.95, 5e-4);
    near("spool", r.spool.n(), 134.2, 1e-3);
    near("beyond the guides", r.tip.n(), 158.7, 1e-3);
    near("at the joint", r.leader.n(), 200.0, 5e-3);
    near("joint bears", bears, 253.0, 2e-3);
    near("margin", at_tip, 1.26, 5e-3);
    near("weaker joint, older line", margin(0.75, 0.92, true).1, 1.04, 6e-3);
    let (_, at_reel, r) = margin(0.88, 0.95, false);
    near("had it been a reading at the reel", r.leader.n(), 229.0, 3e-3);
    near("margin", at_reel, 1.10, 6e-3);
}

/// Question 22: a crimp at two fifths is above the main line in a run and shows at the leader.
#[test]
fn a_bad_crimp_shows_at_the_leader_and_not_in_the_run() {
    let t = tables();
    let with = |leader_lb: f64, crimp: Joint| {
        let mut o = brief("80W, 0.9mm mono 80lb, ring guides", &t).unwrap();
        o.line[0].outer = Joint::of(JointKind::UniMono);
        let mut leader =
            Section::new(SectionRole::Rubbing, Material::Nylon, Force::of_lbf(leader_lb), m(5.0));
        (leader.top, leader.bottom) = (crimp, crimp);
        let hook = Hook { wire: Known::Known(Length::of_mm(5.2)), ..Hook::default() };
        let rig = Rig { name: "r".into(), sections: vec![leader], hook, sinker: None };
        let path = LoadPath::new(&o, Some(&rig), &t).unwrap();
        path.at(&PathAsk::at_reel(Force::of_n(100.0), m(200.0), Speed::of_mps(4.0))).unwrap()
    };
    let broke = |lbf: f64| Joint {
        kind: Known::Known(JointKind::Crimp),
        measured_break: Known::Known(Force::of_lbf(lbf)),
        ..Joint::default()
    };
    let r = with(400.0, broke(160.0));
    let crimp = r.parts.iter().filter(|p| p.name.starts_with("joint rubbing")).collect::<Vec<_>>();
    assert!(!crimp.is_empty());
    for c in crimp {
        near("the measured break replaces nominal x wet x joint", c.capacity.get().unwrap().n(), 712.0, 1e-3);
        assert!(c.because.iter().all(|f| f.name != "wet"));
    }
    assert!(r.weakest.as_deref().unwrap().contains("main line"), "{:?}", r.weakest);
    let stage = |r: &tailrope::tackle::PathReport| {
        let p = r.leader_stage.parts.iter().find(|p| p.name.contains("joint")).unwrap();
        p.margin.get().unwrap()
    };
    // 100 N, guides 1.182, start-up 1.15, two hands of 200 N: 536 N.
    near("load at the leader", r.leader_stage.load.n(), 536.0, 2e-3);
    near("margin at the leader", stage(&r), 712.0 / 536.0, 3e-3);
    assert!(stage(&with(300.0, broke(120.0))) < 1.0, "300-lb leader at two fifths does not hold two hands");
    // Not pulled to destruction: what a bad batch would leave is shown beside.
    let untested = with(400.0, Joint::of(JointKind::Crimp));
    assert!(untested.leader_stage.margin_if_bad_sleeves.get() < untested.leader_stage.margin.get());
}

/// Question 88: a large spinning reel is never guessed as a class.
#[test]
fn a_spinning_reel_is_measured_not_guessed() {
    let t = tables();
    let e = brief("8000, 0.6mm braid", &t).unwrap_err();
    assert!(e.remedy.contains("measure the spool") && e.remedy.contains("label"), "{e}");
    let e = brief("30W spinning, 0.6mm braid 300m", &t).unwrap().loaded_spool(&t).unwrap_err();
    assert!(e.error.contains("a spinning reel of class 30W"), "{e}");
    let o = brief(
        "spinning, label 340m of 65lb braid, label 300m of 0.5mm mono, 40lbf drag, 65lb braid 300m",
        &t,
    )
    .unwrap();
    let path = LoadPath::new(&o, None, &t).unwrap();
    let r = path.at(&PathAsk::at_reel(Force::of_n(60.0), m(200.0), Speed::of_mps(3.0))).unwrap();
    assert!(r.spool_fill.measure_first.is_some() && r.spool_fill.grade >= Grade::Estimate);
    assert!(r.spool_fill.growth.high > r.spool_fill.growth.low * 1.1);
    // Coming in, guides and (twice) the line roller stand against the winder.
    let roller = o.reel.line_roller(&t).get().unwrap().value;
    near("roller", roller, tailrope::math::exp(0.037 * std::f64::consts::FRAC_PI_2), 1e-9);
    near("won", r.winding.winnable.n(), r.spool.n() / (r.tip / r.spool) / (roller * roller), 1e-9);
    assert!((r.winding.per_turn_m[0] - std::f64::consts::TAU * r.radius.m() * 5.0).abs() < 1e-9);
    // Line that is on the spool proves room for it; more than the label allows is refused.
    let more = |length: f64| {
        let mut o = o.clone();
        o.line = vec![LinePiece::new(
            LineRole::Main,
            m(length),
            Material::HmpeBraid,
            Force::of_lbf(65.0),
            Length::of_mm(0.415),
        )];
        o.loaded_band(&t)
    };
    assert!(more(380.0).is_ok());
    let e = more(900.0).unwrap_err();
    assert!(e.error.contains("does not fit") && e.remedy.contains("width"), "{e}");
}
