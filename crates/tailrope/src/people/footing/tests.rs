use super::super::angler::Wash;
use super::super::margin::{Caps, Demand, HandsNeeded, Margin, hands_needed};
use super::*;
use crate::facts::PackText;
use crate::quantity::{Mass, Speed};
use proptest::prelude::*;

fn pack() -> FootingPack {
    let text = include_str!("../../../../../data/footing.toml");
    FootingPack::read(PackText::new("footing.toml", text)).unwrap()
}
fn tip(up: f64) -> RodTip {
    RodTip { up: Length::of_m(up), ahead: Length::of_m(1.3) }
}
fn near(a: Force, n: f64) -> bool {
    (a.n() - n).abs() <= 5e-4 * n
}
/// A deep lean on firm dry sand falling 1 in 50.
fn deep_lean(kg: f64, up: f64) -> AnglerStand {
    AnglerStand {
        stance: Stance::Lean,
        lean: Some(Length::of_m(0.5)),
        base: Some(Length::of_m(0.7)),
        tip: Some(tip(up)),
        line_angle: Some(Angle::of_deg(10.0)),
        slope: Angle::of_rad(crate::math::atan(1.0 / 50.0)),
        friction: Some(Band::exact(0.5)),
        ..AnglerStand::new(Mass::of_kg(kg))
    }
}

#[test]
fn seventy_kilograms_bear_thirty_pounds() {
    let p = pack();
    let mut a = AnglerStand::new(Mass::of_kg(70.0));
    a.lean = Some(Length::of_m(0.35));
    a.tip = Some(tip(1.6));
    let f = footing(&p, &a, &[]).unwrap();
    let b = &f.planned.alone;
    assert_eq!(b.governs, Governs::Tip);
    assert!((b.limit.lbf() - 30.0).abs() < 0.05, "{}", b.limit.lbf());
    let caps = Caps::new(0.5, 0.8).unwrap();
    let m = Margin::of(b, Demand { strike: Force::of_lbf(25.0), worst: Force::of_lbf(25.0) }, caps);
    assert_eq!((m.cap_strike.lbf().round(), m.cap_worst.lbf().round()), (15.0, 24.0));
    assert!(!m.strike_met && !m.worst_met);
    a.lean = Some(Length::of_m(0.30));
    let upright = footing(&p, &a, &[]).unwrap().planned.alone.limit;
    assert_eq!((upright * 0.5).lbf().round(), 13.0);
}

#[test]
fn a_low_rod_and_a_deep_lean_bear_what_a_high_rod_does_not() {
    let p = pack();
    let caps = Caps::new(0.5, 0.8).unwrap();
    let strike = Force::of_lbf(28.0) * 0.75;
    let demand = Demand { strike, worst: Force::of_lbf(28.0) };
    for (kg, limit, governs) in [(92.0, 310.3, Governs::Back), (78.0, 292.2, Governs::Tip)] {
        let b = footing(&p, &deep_lean(kg, 1.1), &[]).unwrap().planned.alone;
        assert_eq!(b.governs, governs);
        assert!(near(b.limit, limit), "{}", b.limit.n());
        assert!(Margin::of(&b, demand, caps).met());
        let high = footing(&p, &deep_lean(kg, 1.6), &[]).unwrap().planned.alone;
        assert_eq!(high.governs, Governs::Back);
        assert!(near(high.limit, 153.7), "{}", high.limit.n());
        assert!(!Margin::of(&high, demand, caps).strike_met);
    }
    // The slope counts: 475 N against 484 on the level.
    let b = footing(&p, &deep_lean(92.0, 1.1), &[]).unwrap().planned.alone;
    assert!(near(b.limits.slip.unwrap(), 475.2), "{:?}", b.limits.slip);
    assert!(near(b.limits.tip.unwrap(), 344.6), "{:?}", b.limits.tip);
}

#[test]
fn no_hand_helps_the_back() {
    let p = pack();
    let a = deep_lean(92.0, 1.6);
    let caps = Caps::new(0.5, 0.8).unwrap();
    let hands = vec![HarnessHand::drilled(Mass::of_kg(80.0)); 6];
    let demand = Demand { strike: Force::of_n(100.0), worst: Force::of_n(100.0) };
    let needed = hands_needed(&p, &a, &hands, demand, caps).unwrap();
    assert_eq!(needed, HandsNeeded::NoneSuffices(Governs::Back));
    // With a low rod the back is spared and 78 kg of tipping is what one hand mends.
    let a = deep_lean(60.0, 1.1);
    let demand = Demand { strike: Force::of_n(140.0), worst: Force::of_n(200.0) };
    assert_eq!(hands_needed(&p, &a, &hands, demand, caps).unwrap(), HandsNeeded::Hands(1));
    assert_eq!(hands_needed(&p, &a, &[], demand, caps).unwrap(), HandsNeeded::NoneSuffices(Governs::Tip));
    let little = Demand { strike: Force::of_n(50.0), worst: Force::of_n(90.0) };
    assert_eq!(hands_needed(&p, &a, &hands, little, caps).unwrap(), HandsNeeded::None);
}

#[test]
fn eighty_kilograms_without_a_grip_add_nothing() {
    let p = pack();
    let a = deep_lean(70.0, 1.1);
    let no_grip = HarnessHand { grip: Some(Force::ZERO), ..HarnessHand::drilled(Mass::of_kg(80.0)) };
    let undrilled = HarnessHand { drilled: false, ..HarnessHand::drilled(Mass::of_kg(80.0)) };
    let away = HarnessHand { in_reach: false, ..HarnessHand::drilled(Mass::of_kg(80.0)) };
    for hand in [no_grip, undrilled, away] {
        let f = footing(&p, &a, &[hand]).unwrap().planned;
        assert_eq!(f.hands_pull, Force::ZERO);
        assert_eq!(f.with_hands.as_ref().unwrap().limits, f.alone.limits);
    }
}

#[test]
fn a_pull_on_dry_sand_promises_nothing_in_moving_wash() {
    let p = pack();
    let of = |friction: Option<Band<f64>>, sand| {
        let a = AnglerStand { friction, sand, ..AnglerStand::new(Mass::of_kg(80.0)) };
        let planned = footing(&p, &a, &[]).unwrap().planned.alone;
        (planned.limits.slip.unwrap(), planned.band, planned.grade)
    };
    let good = Some(Band { low: 0.5, central: 0.56, high: 0.6 });
    assert!(of(good, Sand::Dry).0 > of(None, Sand::MovingWash).0);
    assert_eq!(of(good, Sand::MovingWash), of(None, Sand::MovingWash));
    // What slides more than scoured sand stays as it was found.
    let bad = Some(Band { low: 0.05, central: 0.3, high: 0.5 });
    let (slip, band, _) = of(bad, Sand::MovingWash);
    assert!(slip < of(None, Sand::MovingWash).0 && band.high == of(None, Sand::MovingWash).1.high);
}

#[test]
fn moving_wash_is_flagged_and_scours() {
    let p = pack();
    let mut a = deep_lean(85.0, 1.1);
    a.friction = None;
    assert!(!footing(&p, &a, &[]).unwrap().stop_if_harnessed);
    a.wash = Some(Wash { depth: Length::of_m(0.5), flow: Speed::of_mps(1.0) });
    let f = footing(&p, &a, &[]).unwrap();
    assert!(f.stop_if_harnessed);
    assert_eq!(f.planned.alone.governs, Governs::Slip);
    a.wash = Some(Wash { depth: Length::of_m(0.5), flow: Speed::of_mps(2.0) });
    assert_eq!(footing(&p, &a, &[]).unwrap().planned.alone.limit, Force::ZERO);
}

#[test]
fn a_lean_beyond_the_base_counts_only_with_clear_ground_behind() {
    let p = pack();
    let mut a = deep_lean(85.0, 1.1);
    a.lean = Some(Length::of_m(0.9));
    a.back_moment = Some(Torque::of_nm(900.0));
    let within = footing(&p, &a, &[]).unwrap().planned;
    assert!(within.falls_if_parted());
    assert!((within.unsupported_lean.m() - 0.2).abs() < 1e-12);
    a.clear_behind = true;
    let beyond = footing(&p, &a, &[]).unwrap().planned;
    assert!(beyond.alone.limits.tip > within.alone.limits.tip);
    a.lean = Some(Length::of_m(0.7));
    assert_eq!(footing(&p, &a, &[]).unwrap().planned.alone.limits.tip, within.alone.limits.tip);
}

#[test]
fn sitting_cures_tipping_but_not_the_back() {
    let p = pack();
    let f = footing(&p, &deep_lean(92.0, 1.1), &[]).unwrap();
    let seat = f.others.iter().find(|s| s.stance == Stance::Sitting).unwrap();
    assert!(seat.alone.limits.tip.unwrap() > f.planned.alone.limits.tip.unwrap() * 2.0);
    assert!(near(seat.alone.limits.back.unwrap(), f.planned.alone.limits.back.unwrap().n()));
    assert!(seat.dry_only && f.dry_distance == Length::of_m(6.0));
}

#[test]
fn sand_is_planned_at_its_low_end_and_the_band_shows_the_rest() {
    let p = pack();
    let mut a = deep_lean(85.0, 1.1);
    (a.friction, a.slope) = (None, Angle::ZERO);
    let planned = footing(&p, &a, &[]).unwrap().planned.alone.limits.slip.unwrap();
    let at = |mu| {
        footing(&p, &AnglerStand { friction: Some(Band::exact(mu)), ..a }, &[])
            .unwrap()
            .planned
            .alone
            .limits
            .slip
            .unwrap()
    };
    assert_eq!(planned, at(0.5));
    assert!(planned < at(0.6));
    // Slippery wet sand with a strong back and a deep lean: sliding governs, and the band is that of friction.
    a.sand = Sand::FirmWet;
    (a.lean, a.back_moment) = (Some(Length::of_m(0.7)), Some(Torque::of_nm(900.0)));
    a.mass = Mass::of_kg(60.0);
    a.tip = Some(tip(0.5));
    let b = footing(&p, &a, &[]).unwrap().planned.alone;
    assert_eq!((b.governs, b.grade), (Governs::Slip, Grade::Estimate));
    assert_eq!(b.limit, b.band.low);
    assert!(b.band.low < b.band.central && b.band.central < b.band.high);
    // Measured by the crew: the band closes and the grade says so.
    a.friction = Some(Band::exact(0.45));
    let b = footing(&p, &a, &[]).unwrap().planned.alone;
    assert_eq!((b.grade, b.band.low, b.band.high), (Grade::Measured, b.limit, b.limit));
}

#[test]
fn a_sitting_angler_is_held_by_the_better_of_sand_and_step() {
    let p = pack();
    let slip = |kg, mu| {
        let a = AnglerStand {
            stance: Stance::Sitting,
            friction: Some(Band::exact(mu)),
            ..AnglerStand::new(Mass::of_kg(kg))
        };
        footing(&p, &a, &[]).unwrap().planned.alone.limits.slip.unwrap()
    };
    // The step bears 332.4 N level, 337.5 N along a line 10 degrees down.
    assert!(near(slip(60.0, 0.3), 337.5), "{}", slip(60.0, 0.3).n());
    // 120 kg at 0.6 slide at 801.8 N by friction alone.
    assert!(near(slip(120.0, 0.6), 801.8), "{}", slip(120.0, 0.6).n());
}

#[test]
fn the_heel_step_bears_what_the_passive_rule_says() {
    // Kp(28 deg) = 2.770; 1.5 x 2.770 x 16000 x 0.25 x 0.04 / 2
    let held = step_holds(&pack().step, Angle::of_deg(28.0));
    assert!(near(held, 332.4), "{}", held.n());
}

#[test]
fn refuses_what_nobody_is() {
    let p = pack();
    let say = |a: AnglerStand| footing(&p, &a, &[]).unwrap_err().to_string();
    assert!(say(AnglerStand::new(Mass::of_kg(5.0))).contains("mass of the angler"));
    let ok = AnglerStand::new(Mass::of_kg(80.0));
    assert!(say(AnglerStand { friction: Some(Band::exact(f64::NAN)), ..ok }).contains("friction"));
    assert!(say(AnglerStand { slope: Angle::of_deg(60.0), ..ok }).contains("slope"));
    assert!(say(AnglerStand { line_angle: Some(Angle::of_deg(-5.0)), ..ok }).contains("line angle"));
}

fn limit(p: &FootingPack, a: &AnglerStand, hands: &[HarnessHand]) -> f64 {
    footing(p, a, hands).unwrap().planned.best().limit.n()
}

proptest! {
    #[test]
    fn laws_of_footing(
        kg in 45.0..120.0f64, lean in 0.1..0.6f64, up in 0.95..1.8f64, a in 0.0..70.0f64, slope in 0.0..8.0f64,
        depth in 0.0..0.7f64, flow in 0.0..1.5f64, hand_kg in 40.0..110.0f64, more in 0.0..1.0f64, sitting: bool, dry: bool,
    ) {
        let p = pack();
        let it = AnglerStand {
            stance: if sitting { Stance::Sitting } else { Stance::Lean },
            lean: Some(Length::of_m(lean)),
            tip: Some(tip(up)),
            line_angle: Some(Angle::of_deg(a)),
            slope: Angle::of_deg(slope),
            wash: (!dry).then(|| Wash { depth: Length::of_m(depth), flow: Speed::of_mps(flow) }),
            ..AnglerStand::new(Mass::of_kg(kg))
        };
        let base = limit(&p, &it, &[]);
        let eps = 1e-9;
        let heavier = AnglerStand { mass: Mass::of_kg(kg * (1.0 + more)), ..it };
        prop_assert!(limit(&p, &heavier, &[]) >= base - eps);
        let deeper = AnglerStand { lean: Some(Length::of_m(lean + more * (0.7 - lean))), ..it };
        prop_assert!(limit(&p, &deeper, &[]) >= base - eps);
        let steeper = AnglerStand { slope: Angle::of_deg(slope + 5.0 * more), ..it };
        prop_assert!(limit(&p, &steeper, &[]) <= base + eps);
        if let Some(w) = it.wash {
            let faster = Wash { flow: Speed::of_mps(flow * (1.0 + more) + 0.01), ..w };
            let faster = AnglerStand { wash: Some(faster), ..it };
            prop_assert!(limit(&p, &faster, &[]) <= base + eps);
        }
        let hand = HarnessHand::drilled(Mass::of_kg(hand_kg));
        let one = limit(&p, &it, &[hand]);
        prop_assert!(one >= base - eps);
        let held = footing(&p, &it, &[hand]).unwrap().planned;
        let with = held.best().limits;
        prop_assert!(with.back == held.alone.limits.back, "no hand ever helps the back");
        prop_assert!(with.tip >= held.alone.limits.tip && with.slip >= held.alone.limits.slip);
        let weak = HarnessHand { grip: Some(Force::of_n(5.0 * more)), ..hand };
        prop_assert!(limit(&p, &it, &[hand, weak]) >= one - eps);
        let b = footing(&p, &it, &[hand]).unwrap().planned.best().band;
        prop_assert!(b.low <= b.central && b.central <= b.high);
    }
}
