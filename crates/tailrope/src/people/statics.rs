//! The statics of a body that is pulled by a line: how much pull at the rod tip until it tips, slides, or the
//! back gives way.
//!
//! Angler and rod are one rigid body on a beach that falls seaward; everything is taken in the vertical plane
//! of the line. x points seaward from the pivot (front toes; heels when sitting), z up. Moments about the pivot
//! and forces along the beach give (exact statics):
//!
//! ```text
//! T_tip  = [W' b + P z_h - F_w z_w] / (h cos a + x sin a)
//! T_slip = [W'(mu cos beta - sin beta) + P(cos beta + mu sin beta) - F_w] / [cos(a - beta) - mu sin(a - beta)]
//! T_back = M / [(h - z_pin) cos a + (x - x_pin) sin a]
//! ```
//!
//! W' weight on the feet, b lean, P level pull of harness hands at z_h, F_w backwash at z_w (seaward, with the
//! fish), (x, h) rod tip, a line angle below level, beta slope, M moment the back bears about the rod butt.
//!
//! Limits: nothing moves (a jerk is not in it: the caps hold it), the whole foot grips, uprush counts as
//! nothing because it comes and goes. Sources: textbook statics; the inputs are graded in [`super::footing`].

use crate::math::{cos, sin};
use crate::quantity::{Angle, Area, Density, Force, G_M_S2, Length, Mass, Speed, Torque};
use crate::water::body_drag;
use serde::{Deserialize, Serialize};

/// Where the rod tip is, from the pivot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RodTip {
    /// Height above the sand at the pivot.
    pub up: Length,
    /// Distance seaward of the pivot.
    pub ahead: Length,
}

/// Where the rod butt sits in its pin (gimbal), from the pivot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    /// Height above the sand.
    pub up: Length,
    /// Distance landward of the pivot.
    pub behind: Length,
}

impl Pin {
    /// The tip of a rod of this length above the pin, raised by `elevation` above level.
    ///
    /// ```
    /// use tailrope::people::statics::Pin;
    /// use tailrope::quantity::{Angle, Length};
    /// let pin = Pin { up: Length::of_m(0.9), behind: Length::of_m(0.35) };
    /// let tip = pin.tip(Length::of_m(1.7), Angle::of_deg(0.0));
    /// assert!((tip.ahead.m() - 1.35).abs() < 1e-12 && tip.up == pin.up);
    /// ```
    pub fn tip(self, rod: Length, elevation: Angle) -> RodTip {
        RodTip { up: self.up + rod * sin(elevation.rad()), ahead: rod * cos(elevation.rad()) - self.behind }
    }

    /// Distance from the pin to the line's path: the arm with which the line works on the back. Negative when
    /// the line passes below the pin.
    pub fn arm(self, tip: RodTip, line_angle: Angle) -> Length {
        let a = line_angle.rad();
        (tip.up - self.up) * cos(a) + (tip.ahead + self.behind) * sin(a)
    }
}

/// Everything that pulls and presses on one standing or sitting person.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// Weight carried by the sand: the person's weight less buoyancy. At least 0.
    pub weight: Force,
    /// Level distance from the pivot back to the centre of mass.
    pub lean: Length,
    /// Friction of feet on sand, 0 to 2.
    pub friction: f64,
    /// The rod tip.
    pub tip: RodTip,
    /// Line at the tip below level, 0 to 90 degrees.
    pub line_angle: Angle,
    /// Fall of the beach seaward.
    pub slope: Angle,
    /// Backwash on the legs, seaward.
    pub wash: Force,
    /// Height at which the backwash acts.
    pub wash_height: Length,
    /// Level pull of harness hands, landward.
    pub hands: Force,
    /// Height at which they pull.
    pub hands_height: Length,
}

impl Stand {
    /// A dry, level, lone stand: what most questions start from.
    pub fn alone(mass: Mass, lean: Length, friction: f64, tip: RodTip, line_angle: Angle) -> Self {
        Self {
            weight: weight_on_feet(mass, Mass::ZERO),
            lean,
            friction,
            tip,
            line_angle,
            slope: Angle::ZERO,
            wash: Force::ZERO,
            wash_height: Length::ZERO,
            hands: Force::ZERO,
            hands_height: Length::ZERO,
        }
    }

    /// Arm of the line about the pivot.
    pub fn arm(&self) -> Length {
        let a = self.line_angle.rad();
        self.tip.up * cos(a) + self.tip.ahead * sin(a)
    }

    /// Pull at the rod tip that tips the person over the pivot; `None` if the line passes below the pivot and
    /// cannot tip. 0 if the water alone tips them.
    pub fn tip_limit(&self) -> Option<Force> {
        let arm = self.arm().m();
        (arm > 0.0).then(|| {
            let held = self.weight.n() * self.lean.m() + self.hands.n() * self.hands_height.m()
                - self.wash.n() * self.wash_height.m();
            Force::of_n((held / arm).max(0.0))
        })
    }

    /// Pull at the rod tip that makes the person slide seaward; `None` if no pull can (a steep line presses
    /// the feet down faster than it pulls them along: tan(a - beta) >= 1/mu). 0 if they slide unpulled.
    pub fn slip_limit(&self) -> Option<Force> {
        let (beta, mu) = (self.slope.rad(), self.friction);
        let turned = self.line_angle.rad() - beta;
        let held = self.weight.n() * (mu * cos(beta) - sin(beta))
            + self.hands.n() * (cos(beta) + mu * sin(beta))
            - self.wash.n();
        if held <= 0.0 {
            return Some(Force::ZERO);
        }
        let along = cos(turned) - mu * sin(turned);
        (along > 0.0).then(|| Force::of_n(held / along))
    }

    /// Lean that a drag at the rod tip asks for.
    pub fn lean_needed(&self, drag: Force) -> Length {
        let asked = drag.n() * self.arm().m() + self.wash.n() * self.wash_height.m()
            - self.hands.n() * self.hands_height.m();
        Length::of_m((asked / self.weight.n()).max(0.0))
    }
}

/// Pull at the rod tip that the back bears: moment over the line's arm about the pin. `None` if the line
/// passes at or below the pin (the rod points at the fish and only the reel holds).
pub fn back_limit(moment: Torque, pin: Pin, tip: RodTip, line_angle: Angle) -> Option<Force> {
    let arm = pin.arm(tip, line_angle).m();
    (arm > 0.0).then(|| Force::of_n(moment.nm() / arm))
}

/// Weight on the feet: the person's weight less that of the water displaced, at least 0.
pub fn weight_on_feet(mass: Mass, displaced: Mass) -> Force {
    Force::of_n(((mass - displaced).kg() * G_M_S2).max(0.0))
}

/// Load of flowing water on the legs: (1/2) rho Cd w d u^2 (blunt body, textbook).
pub fn wash_load(water: Density, drag_coefficient: f64, width: Length, depth: Length, flow: Speed) -> Force {
    body_drag(drag_coefficient, Area::of_m2(width.m() * depth.m()), flow, water)
}

/// How far the centre of mass hangs behind the rearmost support. Above 0 only the fish holds the person up,
/// and a parted line throws them backward; below 0 is the reserve.
pub fn unsupported_lean(lean: Length, base: Length) -> Length {
    lean - base
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stand(m: f64, b: f64, h: f64, a: f64) -> Stand {
        let tip = RodTip { up: Length::of_m(h), ahead: Length::of_m(1.3) };
        Stand::alone(Mass::of_kg(m), Length::of_m(b), 0.5, tip, Angle::of_deg(a))
    }
    fn n(f: Option<Force>) -> f64 {
        f.map_or(f64::INFINITY, Force::n)
    }

    #[test]
    fn a_steep_line_cannot_slide_the_feet() {
        // tan 60 = 1.732 > 1/0.6
        let mut s = stand(85.0, 0.35, 1.6, 60.0);
        s.friction = 0.6;
        assert_eq!(s.slip_limit(), None);
        s.line_angle = Angle::of_deg(58.0);
        assert!(s.slip_limit().is_some());
    }

    #[test]
    fn lean_needed_gives_back_the_drag() {
        let s = stand(85.0, 0.35, 1.6, 10.0);
        let t = s.tip_limit().unwrap();
        assert!((s.lean_needed(t).m() - 0.35).abs() < 1e-12);
    }

    #[test]
    fn lowering_a_high_rod_on_a_steep_line_first_makes_it_worse() {
        // Rod 1.7 m, line 60 degrees down: the arm is greatest at elevation 30.
        let pin = Pin { up: Length::of_m(0.9), behind: Length::of_m(0.35) };
        let at = |e: f64| {
            let mut s = stand(85.0, 0.35, 1.6, 60.0);
            s.tip = pin.tip(Length::of_m(1.7), Angle::of_deg(e));
            s.arm().m()
        };
        assert!(at(30.0) > at(80.0) && at(30.0) > at(0.0));
    }

    proptest! {
        #[test]
        fn more_of_what_helps_never_hurts(
            m in 40.0..130.0f64, b in 0.1..0.8f64, h in 0.5..2.2f64, a in 0.0..80.0f64,
            mu in 0.05..0.9f64, slope in 0.0..12.0f64, wash in 0.0..200.0f64, hands in 0.0..200.0f64, more in 0.0..1.0f64,
        ) {
            let mut s = stand(m, b, h, a);
            s.friction = mu;
            s.slope = Angle::of_deg(slope);
            s.wash = Force::of_n(wash);
            s.wash_height = Length::of_m(0.25);
            s.hands = Force::of_n(hands);
            s.hands_height = Length::of_m(1.0);
            let both = |x: &Stand| (n(x.tip_limit()), n(x.slip_limit()));
            let (tip, slip) = both(&s);
            let no_worse = |x: &Stand| { let (t, l) = both(x); t >= tip - 1e-9 && l >= slip - 1e-9 };
            let no_better = |x: &Stand| { let (t, l) = both(x); t <= tip + 1e-9 && l <= slip + 1e-9 };
            // A heavier body does not help where the slope alone is steeper than the friction: 0 stays 0.
            if mu > crate::math::tan(s.slope.rad()) {
                let changed = Stand { weight: s.weight * (1.0 + more), ..s };
                prop_assert!(no_worse(&changed), "weight");
            }
            let changed = Stand { lean: s.lean * (1.0 + more), ..s };
                prop_assert!(no_worse(&changed), "lean");
            let changed = Stand { hands: s.hands + Force::of_n(300.0 * more), ..s };
                prop_assert!(no_worse(&changed), "hands");
            let changed = Stand { friction: mu + more * 0.5, ..s };
                prop_assert!(no_worse(&changed), "friction");
            let changed = Stand { wash: s.wash + Force::of_n(200.0 * more), ..s };
                prop_assert!(no_better(&changed), "wash");
            let changed = Stand { slope: s.slope + Angle::of_deg(5.0 * more), ..s };
                prop_assert!(no_better(&changed), "slope");
        }

        #[test]
        fn a_lower_rod_never_hurts_while_elevation_and_line_stay_within_a_right_angle(
            rod in 1.2..2.6f64, e in 0.0..80.0f64, less in 0.0..1.0f64, part in 0.0..1.0f64,
        ) {
            let a = part * (90.0 - e);
            let pin = Pin { up: Length::of_m(0.9), behind: Length::of_m(0.35) };
            let at = |e: f64| {
                let tip = pin.tip(Length::of_m(rod), Angle::of_deg(e));
                let mut s = stand(80.0, 0.3, 1.6, a);
                s.tip = tip;
                (n(s.tip_limit()), n(back_limit(Torque::of_nm(150.0), pin, tip, s.line_angle)))
            };
            let (high, low) = (at(e), at(e * less));
            prop_assert!(low.0 >= high.0 - 1e-9 && low.1 >= high.1 - 1e-9, "{high:?} {low:?}");
        }
    }
}
