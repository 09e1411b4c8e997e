//! The rod as the angler holds it: what harness strap and pin feel at a drag, and what lowering the rod does.
//!
//! For a rod of length L in its pin, raised by e above level, with the line a below level, the arm of the line about
//! the pin is `L sin(e + a)`, and the arm about the toes is that and a constant. Both are greatest at e + a = 90 degrees:
//! lowering the rod spares feet and back **only while e + a is at most 90 degrees**. With the fish close under a high
//! rod it is worse first, and as good as before only below `180 - 2a - e`; where that lies under the level, never.
//!
//! Strap and pin: moments about the pin, no hand on the rod (`tackle` notes 5, exact statics). Limits: a straight rod;
//! a bent one brings its tip in and down, which shortens the arm, so this is the safe side.

use super::angler::AnglerStand;
use super::footing::{footing, resolve};
use super::hands::HarnessHand;
use super::limits::Governs;
use super::pack::FootingPack;
use super::power::RodLever;
use super::statics::RodTip;
use crate::Result;
use crate::quantity::{Angle, Force, Length, Quantity, Torque};
use serde::Serialize;

/// What the rod does to the body at a drag.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RodHeld {
    /// Arm of the line about the pin: what the back feels. Nothing when the rod points at the fish.
    pub pin_arm: Length,
    /// Arm of the line about the toes: what tips.
    pub toe_arm: Length,
    /// Moment on the body.
    pub moment: Torque,
    /// Pull of the harness strap.
    pub strap: Force,
    /// Push of the pin (its size).
    pub pin: Force,
}

/// Strap, pin and moment at a drag at the tip, in the planned stance.
///
/// # Errors
/// As [`footing`].
pub fn rod_held(pack: &FootingPack, angler: &AnglerStand, drag: Force) -> Result<RodHeld> {
    let r = resolve(pack, angler, &[])?;
    let pin_arm = r.pin.arm(r.stand.tip, r.stand.line_angle).max(Length::ZERO);
    let lever = RodLever { line_arm: pin_arm, strap_arm: pack.rod.strap.value };
    Ok(RodHeld {
        pin_arm,
        toe_arm: r.stand.arm(),
        moment: lever.moment(drag),
        strap: lever.strap(drag),
        pin: lever.pin_reaction(drag, r.stand.line_angle).2,
    })
}

/// What is borne with the rod at one elevation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RodAt {
    /// Rod above level.
    pub elevation: Angle,
    /// Where its tip is.
    pub tip: RodTip,
    /// Borne at the tip.
    pub limit: Force,
    /// What gives way first.
    pub governs: Governs,
}

/// What is borne with this rod at each elevation from level to 80 degrees, in the planned stance.
///
/// # Errors
/// A rod outside 0.5 to 5.5 m; as [`footing`].
pub fn elevations(
    pack: &FootingPack,
    angler: &AnglerStand,
    hands: &[HarnessHand],
    rod: Length,
) -> Result<Vec<RodAt>> {
    (0..=8).map(|i| rod_at(pack, angler, hands, rod, Angle::of_deg(10.0 * f64::from(i)))).collect()
}

/// What is borne with this rod at this elevation.
///
/// # Errors
/// A rod outside 0.5 to 5.5 m, an elevation outside 0 to 90 degrees; as [`footing`].
pub fn rod_at(
    pack: &FootingPack,
    angler: &AnglerStand,
    hands: &[HarnessHand],
    rod: Length,
    elevation: Angle,
) -> Result<RodAt> {
    let tip = rod_tip(pack, angler, rod, elevation)?;
    let stand = AnglerStand { tip: Some(tip), ..*angler };
    let planned = footing(pack, &stand, hands)?.planned;
    let best = planned.best();
    Ok(RodAt { elevation, tip, limit: best.limit, governs: best.governs })
}

/// Where the tip of this rod is, its butt in the pin of the planned stance.
///
/// # Errors
/// A rod outside 0.5 to 5.5 m, an elevation outside 0 to 90 degrees.
pub fn rod_tip(pack: &FootingPack, angler: &AnglerStand, rod: Length, elevation: Angle) -> Result<RodTip> {
    rod.within("length of the rod above the pin", Length::of_m(0.5), Length::of_m(5.5))?;
    elevation.within("rod above level", Angle::ZERO, Angle::of_deg(90.0))?;
    let tip = pack.stance(angler.stance)?.pin().tip(rod, elevation);
    // The tip of a short rod held upright stands behind the toes: taken above them, which is the safe side.
    Ok(RodTip { up: tip.up, ahead: tip.ahead.max(Length::ZERO) })
}

/// What lowering a rod does from where it is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lowering {
    /// It helps at once: elevation and line angle are at most 90 degrees together.
    Helps,
    /// It is worse first: the arm is greatest at `worst`, and as long as now again at `even`.
    WorseFirst {
        /// Elevation of the longest arm.
        worst: Angle,
        /// Below this it helps.
        even: Angle,
    },
    /// It never helps above the level: point the rod at the fish or leave it where it is.
    NeverHelps {
        /// Elevation of the longest arm.
        worst: Angle,
    },
}

/// What lowering the rod from `elevation` does with the line `line_angle` below level.
///
/// ```
/// use tailrope::{people::rod::{Lowering, lowering}, quantity::Angle};
/// let deg = Angle::of_deg;
/// assert_eq!(lowering(deg(60.0), deg(10.0)), Lowering::Helps);
/// assert!(matches!(lowering(deg(80.0), deg(60.0)), Lowering::NeverHelps { .. }));
/// ```
pub fn lowering(elevation: Angle, line_angle: Angle) -> Lowering {
    let square = Angle::of_deg(90.0);
    // A hair of rounding at the border itself is no worse than the border.
    if (elevation + line_angle).deg() <= square.deg() + 1e-9 {
        return Lowering::Helps;
    }
    let worst = (square - line_angle).max(Angle::ZERO);
    let even = square * 2.0 - line_angle * 2.0 - elevation;
    if even > Angle::ZERO { Lowering::WorseFirst { worst, even } } else { Lowering::NeverHelps { worst } }
}

#[cfg(test)]
mod tests {
    use super::super::pack::Stance;
    use super::*;
    use crate::facts::PackText;
    use crate::quantity::Mass;
    use proptest::prelude::*;

    fn pack() -> FootingPack {
        let text = include_str!("../../../../data/footing.toml");
        FootingPack::read(PackText::new("footing.toml", text)).unwrap()
    }
    fn deg(x: f64) -> Angle {
        Angle::of_deg(x)
    }

    #[test]
    fn a_long_rod_costs_more_than_half_the_pull() {
        // Rod square to the line, so that the whole rod is the arm: 150 N m over 2.6 m and over 1.1 m.
        let p = pack();
        let a = AnglerStand { line_angle: Some(deg(30.0)), ..AnglerStand::new(Mass::of_kg(95.0)) };
        let back = |rod| {
            let tip = rod_tip(&p, &a, Length::of_m(rod), deg(60.0)).unwrap();
            let stand = AnglerStand { tip: Some(tip), ..a };
            let held = rod_held(&p, &stand, Force::of_n(100.0)).unwrap();
            assert!((held.pin_arm.m() - rod).abs() < 1e-9);
            footing(&p, &stand, &[]).unwrap().planned.alone.limits.back.unwrap()
        };
        assert!((back(2.6).n() - 57.69).abs() < 0.01 && (back(1.1).n() - 136.4).abs() < 0.05);
        assert_eq!((back(2.6).lbf().round(), back(1.1).lbf().round()), (13.0, 31.0));
    }

    #[test]
    fn strap_and_pin_as_worked() {
        // An arm of 1.10 m about the pin, 0.50 m to the strap, 180 N, line 10 degrees down: 396 N and 221 N.
        let p = pack();
        let pin = p.stance(Stance::Upright).unwrap().pin();
        let a = deg(10.0);
        let up = pin.up + Length::of_m(1.10 / crate::math::cos(a.rad()) - 1.35 * crate::math::tan(a.rad()));
        let stand = AnglerStand {
            tip: Some(RodTip { up, ahead: Length::of_m(1.0) }),
            line_angle: Some(a),
            ..AnglerStand::new(Mass::of_kg(85.0))
        };
        let held = rod_held(&p, &stand, Force::of_n(180.0)).unwrap();
        assert!((held.strap.n() - 396.0).abs() < 0.2 && (held.pin.n() - 221.0).abs() < 0.2, "{held:?}");
        assert!((held.moment.nm() - 198.0).abs() < 0.1);
    }

    #[test]
    fn close_under_a_high_rod_lowering_is_worse_first() {
        assert_eq!(lowering(deg(40.0), deg(50.0)), Lowering::Helps);
        let Lowering::WorseFirst { worst, even } = lowering(deg(70.0), deg(40.0)) else { panic!() };
        assert!((worst.deg() - 50.0).abs() < 1e-9 && (even.deg() - 30.0).abs() < 1e-9);
        let Lowering::NeverHelps { worst } = lowering(deg(80.0), deg(60.0)) else { panic!() };
        assert!((worst.deg() - 30.0).abs() < 1e-9);
        // And the whole answer agrees: with the line 40 degrees down a 1.7 m rod bears least at 50.
        let p = pack();
        let a = AnglerStand { line_angle: Some(deg(40.0)), ..AnglerStand::new(Mass::of_kg(85.0)) };
        let at = |e| rod_at(&p, &a, &[], Length::of_m(1.7), deg(e)).unwrap().limit;
        assert!(at(50.0) < at(70.0) && at(50.0) < at(30.0) && at(20.0) > at(70.0));
        assert!((at(30.0).n() - at(70.0).n()).abs() < 1e-6);
    }

    #[test]
    fn refuses_a_rod_that_nobody_holds() {
        let p = pack();
        let a = AnglerStand::new(Mass::of_kg(85.0));
        let e = rod_tip(&p, &a, Length::of_m(9.0), deg(20.0)).unwrap_err().to_string();
        assert!(e.contains("length of the rod"), "{e}");
        assert!(rod_tip(&p, &a, Length::of_m(2.0), deg(120.0)).is_err());
        assert_eq!(elevations(&p, &a, &[], Length::of_m(1.7)).unwrap().len(), 9);
    }

    proptest! {
        /// The word on lowering is what the limits do.
        #[test]
        fn lowering_says_what_happens(e in 1.0..85.0f64, a in 0.0..70.0f64, rod in 1.0..2.6f64, less in 0.01..0.99f64) {
            let p = pack();
            let stand = AnglerStand { line_angle: Some(deg(a)), ..AnglerStand::new(Mass::of_kg(80.0)) };
            let at = |e: f64| rod_at(&p, &stand, &[], Length::of_m(rod), deg(e)).unwrap();
            // Where a short rod's tip would stand behind the toes it is moved: not this law's ground.
            prop_assume!(rod * crate::math::cos(deg(e).rad()) >= 0.4);
            let (now, lower) = (at(e).limit.n(), at(e * less).limit.n());
            match lowering(deg(e), deg(a)) {
                Lowering::Helps => prop_assert!(lower >= now - 1e-9),
                Lowering::WorseFirst { even, .. } => {
                    if e * less > even.deg() + 1e-6 { prop_assert!(lower <= now + 1e-6) } else { prop_assert!(lower >= now - 1e-6) }
                }
                Lowering::NeverHelps { .. } => prop_assert!(lower <= now + 1e-6),
            }
        }
    }
}
