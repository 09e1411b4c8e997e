//! Laws of a rig, and the shipped examples.

use super::*;
use crate::quantity::{Angle, Density, Force, Mass, Pressure};
use crate::tackle::tables::tests::shipped;
use crate::tackle::{Joint, JointKind, LinePiece, LineRole};
use crate::water::{Strand, fly_back};
use proptest::prelude::*;
use std::sync::LazyLock;

static TABLES: LazyLock<Tables> = LazyLock::new(shipped);

const EXAMPLES: [(&str, &str); 5] = [
    ("long-rub.toml", include_str!("../../../../../data/rigs/long-rub.toml")),
    ("short-cast.toml", include_str!("../../../../../data/rigs/short-cast.toml")),
    ("plain-bite.toml", include_str!("../../../../../data/rigs/plain-bite.toml")),
    ("ray-low.toml", include_str!("../../../../../data/rigs/ray-low.toml")),
    ("kayak-drop.toml", include_str!("../../../../../data/rigs/kayak-drop.toml")),
];

fn example(name: &str) -> Rig {
    let (file, text) = EXAMPLES.iter().find(|(n, _)| *n == name).unwrap();
    Rig::read(&PackText::new(file, text)).unwrap()
}

fn lb(f: f64) -> Force {
    Force::of_lbf(f)
}

/// A rig of one section with both ends made alike.
fn one(words: &str) -> Rig {
    Rig {
        name: "bench".into(),
        sections: vec![piece::section(SectionRole::Rubbing, words).unwrap()],
        hook: piece::hook("circle 5.2mm x1").unwrap(),
        sinker: None,
    }
}

#[test]
fn every_example_reads_is_whole_and_says_what_it_lacks() {
    for (file, text) in EXAMPLES {
        let rig = example(file);
        let made = rig.made(&TABLES, Known::Known(lb(30.0))).unwrap();
        assert!(made.unknown.is_empty(), "{file}: {:?}", made.unknown);
        assert!(made.margin.get().unwrap() > 1.5, "{file}");
        let list = rig.cut_list(&TABLES);
        assert!(list.mass.get().unwrap().kg() > 0.01 && list.mass.get().unwrap().kg() < 1.5, "{file}");
        let price = list.price.unwrap();
        assert!(price.low > 1.0 && price.high < 250.0 && list.price_grade == crate::facts::Grade::Estimate);
        assert!(list.steps.len() >= 4 && list.cuts.iter().all(|c| !c.cut.is_unknown()), "{file}");
        assert!(text.contains("Why:") && text.contains("What it lacks:"), "{file}");
        // Nothing that only a caliper tells is made up.
        assert!(rig.hook.gap.is_unknown() && rig.hook.point_to_shank.is_unknown(), "{file}");
        let under = format!("[rig]\n{}", text.replace("[[sections]]", "[[rig.sections]]"))
            .replace("[hook]", "[rig.hook]")
            .replace("[sinker]", "[rig.sinker]");
        assert_eq!(Rig::read(&PackText::new(file, &under)).unwrap(), rig, "{file}");
    }
    assert_eq!(example("plain-bite.toml").has_metal(), Known::Known(false));
    assert!(example("kayak-drop.toml").metal_length().get().unwrap() < Length::of_in(18.0));
}

#[test]
fn a_rig_file_is_refused_with_file_and_line() {
    let (_, text) = EXAMPLES[0];
    let e = Rig::read(&PackText::new("mine.toml", &text.replace("length = \"4.2m\"", "length = \"420m\"")))
        .unwrap_err();
    assert!(e.place.starts_with("mine.toml, line ") && e.place.contains("sections[1]"), "{e}");
    let e = Rig::read(&PackText::new("mine.toml", &text.replace("role = \"bite\"", "rule = \"bite\"")))
        .unwrap_err();
    assert!(e.place.contains("mine.toml") && e.error.contains("rule"), "{e}");
}

/// Case Q22: a sleeve that keeps two fifths.
#[test]
fn a_bad_sleeve_shows_at_the_leader() {
    let crimped = |label: &str| one(&format!("5m mono {label} crimp"));
    let pull = lb(24.0);
    let made = crimped("400lb").made(&TABLES, Known::Known(leader_load(&TABLES, pull))).unwrap();
    let bad = made.margin_if_bad_sleeves.get().unwrap();
    assert!(bad < made.margin.get().unwrap() / 2.0);
    // The crew's own break of 160 lbf replaces nominal, wet and joint together.
    let mut tested = crimped("400lb");
    let own = Joint { measured_break: Known::Known(lb(400.0 * 0.40)), ..Joint::of(JointKind::Crimp) };
    (tested.sections[0].top, tested.sections[0].bottom) = (own, own);
    let load = leader_load(&TABLES, pull);
    let own = tested.made(&TABLES, Known::Known(load)).unwrap();
    assert!((own.capacity.get().unwrap().n() - 711.7).abs() < 0.1, "{:?}", own.capacity);
    assert!((own.margin.get().unwrap() - 160.0 / load.lbf()).abs() < 1e-9);
    assert_eq!(own.margin, own.margin_if_bad_sleeves, "a tested batch is not doubted");
    // Two hands hold 90 lbf beside the line's 24: above an 80 lb main line the sleeve still shows first.
    assert!((load.lbf() - (24.0 + 2.0 * 200.0 / 4.4482216)).abs() < 1e-3);
    // By the table, nominal x joint is 160 and 120 lbf before wet.
    for (label, bears) in [(400.0, 160.0), (300.0, 120.0)] {
        let rig = one(&format!("5m mono {label}lb crimp-bad"));
        let made = rig.made(&TABLES, Known::Unknown).unwrap();
        let joint = made.parts.iter().find(|p| p.weakest).unwrap();
        let of = |name: &str| joint.because.iter().find(|f| f.name == name).unwrap().value;
        assert!((of("label strength") * of("joint") / 4.448_221_615 - bears).abs() < 0.01);
    }
}

/// Case Q34: the packet says 1.3 mm for 150 to 200 lb, the line measures 1.48 mm.
#[test]
fn a_sleeve_goes_by_the_measured_diameter() {
    let list = one("5m mono 200lb 1.48mm crimp").cut_list(&TABLES);
    // By hand: 5 m, at each end a loop of 80 mm and twenty diameters, and 30 mm to trim.
    assert!(
        (list.cuts[0].cut.get().unwrap().m() - (5.0 + 2.0 * (0.080 + 20.0 * 0.00148 + 0.030))).abs() < 1e-9
    );
    let s = &list.sleeves[0];
    assert_eq!((s.inside, s.measured, s.count), (Known::Known(Length::of_mm(1.6)), true, 4));
    assert_eq!(s.label_would_not_pass, Some(Length::of_mm(1.3)));
    assert!(list.heed.iter().any(|h| h.contains("1.3 mm does not pass")), "{:?}", list.heed);
    let thin = one("5m mono 200lb 1.29mm crimp").cut_list(&TABLES);
    assert_eq!(thin.sleeves[0].inside, Known::Known(Length::of_mm(1.3)));
    assert_eq!(thin.sleeves[0].label_would_not_pass, None);
    let thick = one("5m mono 1800lb 5.2mm crimp").cut_list(&TABLES);
    assert!(thick.sleeves[0].inside.is_unknown() && thick.heed.iter().any(|h| h.contains("No sleeve")));
    assert!(thick.mass.is_unknown() && thick.mass_unknown == ["sleeves"]);
    let unknown = one("5m mono crimp").cut_list(&TABLES);
    assert!(unknown.cuts[0].cut.is_unknown() && unknown.price.is_none());
}

#[test]
fn aluminium_on_steel_and_a_pressed_edge_on_nylon_are_told() {
    let text = "name = 'x'
        [[sections]]
        role = 'rubbing'
        material = 'nylon'
        strength = '400lb'
        diameter = '2.05mm'
        length = '4m'
        top = { kind = 'crimp', sleeve = { metal = 'aluminium', inside = '1.9mm', flared = false } }
        [[sections]]
        role = 'bite'
        material = 'cable'
        strength = '480lb'
        length = '1m'
        bottom = { kind = 'crimp', sleeve = { metal = 'aluminium' } }
    ";
    let rig = Rig::read(&PackText::new("x", text)).unwrap();
    let heed = rig.cut_list(&TABLES).heed.join(" ");
    assert!(heed.contains("Aluminium at the lower end of the bite section"), "{heed}");
    assert!(!heed.contains("Aluminium at the upper end of the rubbing"), "{heed}");
    assert!(heed.contains("pressed to its edges"), "{heed}");
    assert!(heed.contains("1.90 mm at the upper end of the rubbing section does not pass"), "{heed}");
}

/// Nylon of 2.05 mm and 1140 kg/m3, 1 m: 1140 pi/4 0.00205^2 = 3.763 g. Cable of 1.59 mm: seven strands of seven
/// wires of d/9 each: 49 x pi/4 (0.00159/9)^2 x 7900 = 9.489 g.
#[test]
fn mass_is_density_times_section() {
    for (words, g) in [("1m mono 400lb 2.05mm", 3.7627), ("1m cable 480lb 1.59mm", 9.4890)] {
        let s = piece::section(SectionRole::Rubbing, words).unwrap();
        let (m, _) = s.mass_of(Length::of_m(1.0), &TABLES).get().unwrap();
        assert!((m.g() - g).abs() < 1e-3, "{words}: {}", m.g());
    }
    // 5.2 mm wire and a gap of 34 mm: 7850 x pi/4 x 0.0052^2 x 4.7 x 0.034 = 26.64 g.
    let hook = piece::hook("circle 5.2mm gap 34mm").unwrap();
    assert!((hook.weight(&TABLES).get().unwrap().value.central.g() - 26.64).abs() < 0.01);
}

/// Tip 1.6 m up, hand 1.1 m up, leader 30 degrees down: 3.2 m of it in air, the hand 1.0 m from the swivel.
#[test]
fn the_hand_at_the_swivel() {
    let rig = example("long-rub.toml");
    let ask = FitAsk { angle: Some(Angle::of_deg(30.0)), ..FitAsk::default() };
    let fit = rig.fit(&TABLES, &ask).unwrap();
    let h = fit.hand[0];
    for (l, m) in
        [(h.in_air, 3.2), (h.to_hand, 1.0), (h.to_water, 1.1 * 3.0_f64.sqrt()), (h.along_to_water, 2.2)]
    {
        assert!((l.m() - m).abs() < 1e-9, "{l:?} {m}");
    }
    assert!(
        (h.in_water.get().unwrap().m() - 4.0).abs() < 1e-9
            && (h.to_hook.get().unwrap().m() - 6.2).abs() < 1e-9
    );
    assert_eq!((h.section, h.holds), (Some(SectionRole::Hand), Known::Known(true)));
    assert_eq!(rig.fit(&TABLES, &FitAsk::default()).unwrap().hand.len(), 3);
    // The short casting rig: at the tip its hook is out of the water, and thin nylon is no hand section.
    let short = example("short-cast.toml").fit(&TABLES, &ask).unwrap();
    assert!(short.hand[0].in_water.get().unwrap() < Length::ZERO);
    assert_eq!(short.hand[0].holds, Known::Known(false));
    // Metal in the hand is never held, however thick.
    let wire = one("9m cable 1200lb").fit(&TABLES, &ask).unwrap();
    assert_eq!(wire.hand[0].holds, Known::Known(false));
    assert_eq!(one("9m mono 400lb padded").fit(&TABLES, &ask).unwrap().hand[0].holds, Known::Known(true));
    assert_eq!(one("9m mono 150lb padded").fit(&TABLES, &ask).unwrap().hand[0].holds, Known::Known(true));
    assert_eq!(one("9m mono 150lb").fit(&TABLES, &ask).unwrap().hand[0].holds, Known::Known(false));
    assert_eq!(one("mono 400lb").fit(&TABLES, &ask).unwrap().hand[0].holds, Known::Unknown);
}

#[test]
fn a_cast_wants_ten_pounds_an_ounce() {
    let fit = example("short-cast.toml").fit(&TABLES, &FitAsk::default()).unwrap();
    // 150 g is 5.291 oz.
    assert!((fit.cast_wants.get().unwrap().lbf() - 52.91).abs() < 0.01);
    // The link is what the cast loads most, and still less than half of the rig.
    assert!((fit.cast_share.get().unwrap() - 55.0 / 52.91).abs() < 1e-3);
    assert!((fit.link_share.unwrap().get().unwrap() - 55.0 / (200.0 * 0.85 * 0.825 * 0.95)).abs() < 0.03);
    // Arm, link and sections: the least counts, and an unknown one is a question.
    let has = |sinker: &str| {
        let rig = Rig { sinker: Some(piece::sinker(sinker).unwrap()), ..one("3m mono 200lb") };
        rig.fit(&TABLES, &FitAsk::default()).unwrap().cast_has.get().map(|f| f.lbf().round())
    };
    assert_eq!(has("150g weak-link link 12lb"), Some(12.0));
    assert_eq!(has("150g weak-link"), None);
    assert_eq!(has("150g"), None);
    assert_eq!(has("150g sliding"), Some(200.0));
    let arm = |strength: Known<Force>| {
        let mut s = piece::sinker("150g sliding").unwrap();
        s.arm = Some(Arm { strength, ..Arm::default() });
        let rig = Rig { sinker: Some(s), ..one("3m mono 200lb") };
        rig.fit(&TABLES, &FitAsk::default()).unwrap().cast_has
    };
    assert_eq!(arm(Known::Known(lb(30.0))), Known::Known(lb(30.0)));
    assert!(arm(Known::Unknown).is_unknown());
    // What is taken out is not cast, unless a weight is typed.
    let out = FitAsk { carried: true, ..FitAsk::default() };
    assert!(example("kayak-drop.toml").fit(&TABLES, &out).unwrap().cast.is_unknown());
    let typed = FitAsk { cast: Some(Mass::of_g(100.0)), ..out };
    assert!(!example("kayak-drop.toml").fit(&TABLES, &typed).unwrap().cast.is_unknown());
    let heavier = FitAsk { cast: Some(Mass::of_g(300.0)), ..FitAsk::default() };
    let heavier = example("short-cast.toml").fit(&TABLES, &heavier).unwrap();
    assert!((heavier.cast_wants.get().unwrap() / fit.cast_wants.get().unwrap() - 2.0).abs() < 1e-9);
}

/// Fly-back is the water module's own law on the line given (SNAP-1: 150 g, 100 m of 0.9 mm nylon, 100 N: 312.2 J).
#[test]
fn a_lead_flies_back_as_the_wave_law_says() {
    let mut rig = one("5m mono 400lb crimp");
    rig.sinker = Some(piece::sinker("150g fixed").unwrap());
    let line = |m: f64| {
        vec![LinePiece::new(LineRole::Main, Length::of_m(m), Material::Nylon, lb(80.0), Length::of_mm(0.9))]
    };
    let ask = FitAsk { pull: Some(Force::of_n(100.0)), line: line(100.0), ..FitAsk::default() };
    let fit = rig.fit(&TABLES, &ask).unwrap();
    let lead = &fit.fliers[0];
    assert!((lead.snagged.get().unwrap().j() - 312.2).abs() < 0.1, "{:?}", lead.snagged);
    let strand = Strand::new(Length::of_mm(0.9), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0)).unwrap();
    let near = fly_back(&strand, Length::of_m(10.0), Force::of_n(100.0), Mass::of_g(150.0));
    assert_eq!(lead.near, Known::Known(near.energy));
    assert_eq!(lead.fixed, Known::Known(true));
    let hook = fit.fliers.last().unwrap();
    // A lighter end leaves faster; it never takes more than the line stored.
    assert!(hook.what == "hook" && hook.near_speed.get().unwrap() > near.speed);
    assert!(hook.near.get().unwrap() < near.store);
    let bare = rig.fit(&TABLES, &FitAsk { line: Vec::new(), ..ask }).unwrap();
    assert!(bare.fliers[0].near.is_unknown(), "without a line nobody knows");
}

#[test]
fn what_the_law_asks_is_answered_or_unknown() {
    let rig = example("long-rub.toml");
    let all = questions(&rig, &TABLES);
    let of = |fact: &str| all.iter().find(|q| q.fact == fact).unwrap();
    assert_eq!(of("gear.hook.style").value, Known::Known(Asked::Word("circle")));
    // Two sleeved eyes: (80 mm + 20 x 1.59 mm) / 2 each.
    let Known::Known(Asked::Length(eyes)) = of("gear.leader.metal_length_mm").value else { panic!() };
    assert!((eyes.m() - (1.2 + 0.080 + 20.0 * 0.00159)).abs() < 1e-9, "{eyes:?}");
    let between = all.iter().find(|q| q.what == "metal between its joints").unwrap();
    assert_eq!(between.value, Known::Known(Asked::Length(Length::of_m(1.2))));
    assert!(
        of("gear.hook.gap_mm").value.is_unknown() && of("gear.hook.point_to_shank_mm").value.is_unknown()
    );
    assert_eq!(of("gear.hook.ganged").value, Known::Known(Asked::Flag(false)));
    let empty = Rig { name: String::new(), sections: vec![], hook: Hook::default(), sinker: None };
    let unknown = questions(&empty, &TABLES).iter().filter(|q| q.value.is_unknown()).count();
    assert_eq!(unknown, 9, "only lengths of what is not there are known");
}

fn strength() -> impl Strategy<Value = f64> {
    50.0..1500.0_f64
}

prop_compose! {
    fn any_section()(m in 0_usize..5, f in strength(), l in 0.05..20.0_f64, k in 0_usize..15, con in any::<bool>())
        -> Section {
        // The trade table lists no fluorocarbon: its label tells no diameter.
        let material = if m == 2 { Material::Nylon } else { Material::ALL[m] };
        let mut s = Section::new(SectionRole::Rubbing, material, lb(f), Length::of_m(l));
        (s.top, s.bottom) = (Joint::of(JointKind::ALL[k]), Joint::of(JointKind::ALL[k]));
        s.connector = con.then(|| Connector { strength: Known::Known(lb(f)), ..Connector::default() });
        s
    }
}
prop_compose! {
    fn any_rig()(sections in proptest::collection::vec(any_section(), 1..6), wire in 2.0..8.0_f64) -> Rig {
        let hook = Hook {
            wire: Known::Known(Length::of_mm(wire)),
            count: Known::Known(1),
            ..Hook::default()
        };
        Rig { name: "any".into(), sections, hook, sinker: None }
    }
}

proptest! {
    #[test]
    fn a_stronger_section_never_lowers_the_margin(rig in any_rig(), i in 0_usize..6, more in 1.0..3.0_f64) {
        let mut stronger = rig.clone();
        let i = i % rig.sections.len();
        let s = &mut stronger.sections[i];
        s.strength = s.strength.get().map(|f| f * more).into();
        let of = |r: &Rig| r.made(&TABLES, Known::Known(lb(100.0))).unwrap();
        let (a, b) = (of(&rig), of(&stronger));
        prop_assert!(b.margin.get().unwrap() >= a.margin.get().unwrap() - 1e-12);
        prop_assert_eq!(a.parts.iter().filter(|p| p.weakest).count(), 1);
        let least = a.parts.iter().filter_map(|p| p.capacity.get()).reduce(Force::min).unwrap();
        prop_assert_eq!(a.capacity, Known::Known(least));
    }

    #[test]
    fn more_load_leaves_less_margin(rig in any_rig(), n in 10.0..2000.0_f64, more in 1.01..4.0_f64) {
        let of = |n: f64| rig.made(&TABLES, Known::Known(Force::of_n(n))).unwrap().margin.get().unwrap();
        let (a, b) = (of(n), of(n * more));
        prop_assert!(b <= a && (b * more - a).abs() <= 1e-9 * a.max(1.0));
    }

    #[test]
    fn a_cut_is_longer_than_its_section_and_mass_grows_with_length(rig in any_rig(), i in 0_usize..6, more in 0.01..5.0_f64) {
        let i = i % rig.sections.len();
        let mut longer = rig.clone();
        longer.sections[i].length = rig.sections[i].length.get().map(|l| l + Length::of_m(more)).into();
        let (a, b) = (rig.cut_list(&TABLES), longer.cut_list(&TABLES));
        for c in &a.cuts {
            prop_assert!(c.cut.get().unwrap() > c.between.get().unwrap());
        }
        prop_assert!(b.mass_of_known > a.mass_of_known);
        prop_assert!(((b.cuts[i].cut.get().unwrap() - a.cuts[i].cut.get().unwrap()).m() - more).abs() < 1e-9);
        prop_assert!(a.price.is_none() || b.price.unwrap().high > a.price.unwrap().high);
        prop_assert!(a.waste.m() > 0.0);
    }

    #[test]
    fn one_more_section_never_shortens_the_leader(rig in any_rig(), s in any_section(), at in 0_usize..6) {
        let mut more = rig.clone();
        more.sections.insert(at.min(rig.sections.len()), s.clone());
        let (a, b) = (rig.leader_length().get().unwrap(), more.leader_length().get().unwrap());
        prop_assert!(b > a && b.m() - a.m() - s.length.get().unwrap().m() < 1e-9);
        prop_assert!(more.metal_length().get().unwrap() >= rig.metal_length().get().unwrap());
        let load = Known::Known(lb(50.0));
        let margin = |r: &Rig| r.made(&TABLES, load).unwrap().margin.get().unwrap();
        if s.connector.is_some() && more.sections.iter().all(|s| s.connector.is_some()) {
            prop_assert!(margin(&more) <= margin(&rig) + 1e-12);
        }
    }

    #[test]
    fn a_steeper_leader_leaves_more_of_it_in_the_water(
        rig in any_rig(), low in 5.0..80.0_f64, more in 0.5..10.0_f64, up in 0.3..3.0_f64, hand in 0.2..3.0_f64,
    ) {
        let of = |deg: f64| {
            let ask = FitAsk {
                angle: Some(Angle::of_deg(deg)),
                tip_height: Some(Length::of_m(up)),
                hand_height: Some(Length::of_m(hand)),
                ..FitAsk::default()
            };
            rig.fit(&TABLES, &ask).unwrap().hand[0]
        };
        let (a, b) = (of(low), of(low + more));
        prop_assert!(b.in_air < a.in_air && b.in_water.get() > a.in_water.get());
        prop_assert!(b.to_water <= a.to_water && b.to_hand <= a.to_hand);
        // What is before the hand and what is behind it make the way to the water.
        prop_assert!((a.to_hand + a.along_to_water - a.in_air).m().abs() < 1e-9);
        prop_assert!(a.hand_height <= a.tip_height);
    }

    #[test]
    fn eyes_make_metal_no_shorter_and_never_longer_than_its_cuts(rig in any_rig()) {
        let metal = rig.metal_read(&TABLES);
        prop_assert!(metal.whole && metal.most >= metal.least);
        prop_assert_eq!(Known::Known(metal.least), rig.metal_length());
        let cut: f64 = rig
            .cut_list(&TABLES)
            .cuts
            .iter()
            .filter(|c| c.material.get().unwrap().is_metal())
            .map(|c| c.cut.get().unwrap().m())
            .sum();
        // Labels tell a diameter within a band: the cut goes by its middle, the law by its high end.
        prop_assert!(metal.most.m() <= cut * 1.5 + 1e-9 && (metal.most > metal.least) == (cut > 0.0));
    }

    #[test]
    fn an_unknown_part_hides_no_weak_one(rig in any_rig(), i in 0_usize..6, s in any_section()) {
        let of = |r: &Rig| r.made(&TABLES, Known::Known(lb(100.0))).unwrap();
        let whole = of(&rig);
        prop_assert_eq!(whole.margin, whole.margin_of_known);
        prop_assert_eq!(whole.margin_if_bad_sleeves, whole.margin_of_known_if_bad_sleeves);
        let mut more = rig.clone();
        more.sections.insert(i.min(rig.sections.len()), Section { strength: Known::Unknown, material: Known::Unknown, connector: None, ..s });
        let open = of(&more);
        prop_assert!(open.margin.is_unknown());
        // Parts keep their strength beside it; a joint to it may weaken, never strengthen, what was there.
        prop_assert!(open.margin_of_known.get().is_some());
    }

    #[test]
    fn unknown_parts_promise_no_margin_and_no_mass(rig in any_rig(), i in 0_usize..6) {
        let i = i % rig.sections.len();
        let mut r = rig;
        (r.sections[i].strength, r.sections[i].material) = (Known::Unknown, Known::Unknown);
        prop_assert!(r.made(&TABLES, Known::Known(lb(10.0))).unwrap().margin.is_unknown());
        let list = r.cut_list(&TABLES);
        prop_assert!(list.mass.is_unknown() && list.price.is_none() && list.cuts[i].cut.is_unknown());
        prop_assert!(r.metal_length().is_unknown());
    }
}
