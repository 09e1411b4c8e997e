use super::super::angler::Wash;
use super::super::statics::RodTip;
use super::*;
use crate::facts::PackText;
use crate::picture::Theme;
use crate::quantity::{Angle, Mass, Speed};
use proptest::prelude::*;

fn pack() -> FootingPack {
    let text = include_str!("../../../../../data/footing.toml");
    FootingPack::read(PackText::new("footing.toml", text)).unwrap()
}
fn view(drag: Option<f64>, dry: Option<f64>) -> SideView {
    SideView { drag: drag.map(Force::of_n), dry_sand: dry.map(Length::of_m), units: Units::Si }
}
fn drawn(p: &Picture) -> String {
    p.svg(Theme::Day)
}

#[test]
fn shows_and_says_the_numbers_of_the_sums() {
    let pack = pack();
    let a = AnglerStand {
        stance: Stance::Lean,
        slope: Angle::of_deg(2.0),
        ..AnglerStand::new(Mass::of_kg(85.0))
    };
    let hand = [HarnessHand::drilled(Mass::of_kg(80.0))];
    let p = side_view(&pack, &a, &hand, &view(Some(125.0), Some(8.0))).unwrap();
    let svg = drawn(&p);
    for words in [
        "weight 834 N",
        "line 125 N",
        "hands 150 N",
        "lean 0.5 m",
        "dry sand, toes to the highest wash: 8 m, wanted 6 m: enough",
        "harness hand",
    ] {
        assert!(svg.contains(words), "no `{words}` in {svg}");
    }
    let said = p.words();
    for words in ["85 kg", "leaning back", "125 N", "pull, never mass", "834 N"] {
        assert!(said.contains(words), "no `{words}` in {said}");
    }
    assert!(svg.contains("<title") && svg.contains("<desc"));
}

#[test]
fn warns_where_the_sums_do() {
    let pack = pack();
    let wash = Wash { depth: Length::of_m(0.4), flow: Speed::of_mps(1.0) };
    let a = AnglerStand { wash: Some(wash), ..AnglerStand::new(Mass::of_kg(85.0)) };
    let p = side_view(&pack, &a, &[], &view(None, None)).unwrap();
    assert!(
        drawn(&p).contains("STOP: water moves about the feet") && p.words().contains("Stop: water moves")
    );
    assert!(drawn(&p).contains("backwash"));
    let far = AnglerStand { lean: Some(Length::of_m(0.9)), ..AnglerStand::new(Mass::of_kg(85.0)) };
    let p = side_view(&pack, &far, &[], &view(None, Some(-1.0))).unwrap();
    assert!(drawn(&p).contains("beyond the rear foot") && p.words().contains("falls backward"));
    assert!(drawn(&p).contains("the wash runs 1 m"));
}

proptest! {
    #[test]
    fn labels_keep_off_each_other_and_on_the_page(
        kg in 45.0..130.0f64, up in 0.3..2.6f64, ahead in 0.3..2.5f64, a in 0.0..80.0f64, slope in 0.0..12.0f64,
        stance in 0usize..3, n in 0usize..3, dry in -3.0..30.0f64, wet: bool,
    ) {
        let stand = AnglerStand {
            stance: Stance::ALL[stance],
            tip: Some(RodTip { up: Length::of_m(up), ahead: Length::of_m(ahead) }),
            line_angle: Some(Angle::of_deg(a)),
            slope: Angle::of_deg(slope),
            wash: wet.then(|| Wash { depth: Length::of_m(0.3), flow: Speed::of_mps(0.5) }),
            ..AnglerStand::new(Mass::of_kg(kg))
        };
        let hands = vec![HarnessHand::drilled(Mass::of_kg(70.0)); n];
        let p = side_view(&pack(), &stand, &hands, &view(None, Some(dry))).unwrap();
        let boxes = p.label_boxes();
        prop_assert!(boxes.len() >= 3);
        for (i, one) in boxes.iter().enumerate() {
            prop_assert!(p.page().holds(one), "{one:?}");
            for other in &boxes[..i] {
                prop_assert!(!one.meets(other), "{one:?} {other:?}");
            }
        }
    }
}
