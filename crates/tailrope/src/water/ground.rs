//! What a sinker, its wires, a spike or a buried plank hold in sand.
//!
//! No measurement of wired surf sinkers was found, so this is soil theory: a leg or body resists with three
//! times the passive pressure, F = 1.5 Kp g' D z^2, Kp = tan^2(45 + phi/2) (Broms 1964; Rankine), and a leg cannot
//! hold more than bends its wire. Plasticity theory over-predicts uplift in dense sand by more than two, so a
//! plan takes half ([`PLANNING_DIVISOR`]; published for plate anchors). An upward pull lowers the hold further;
//! no figure for that was found. The body's burial matters more than the wires, so time to settle in rules, and
//! scour undoes it. A crew's own pull test replaces all of this. Never a person's anchor.

use crate::math::{pow, sq, tan};
use crate::quantity::{Angle, Density, Force, G_M_S2, Length, Mass, Pressure};

/// What theory is divided by for planning (published: upper-bound theory over-predicts by more than 2).
pub const PLANNING_DIVISOR: f64 = 2.0;

/// Sand round an anchor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sand {
    /// Angle of internal friction: 30 loose, 34-36 medium, 38-40 dense degrees.
    pub friction: Angle,
    /// Density that weighs: less the water's where the sand is under water.
    pub density: Density,
}

impl Sand {
    /// Sand under water: 9500 N/m3 (derived).
    pub fn under_water(friction: Angle) -> Self {
        Self { friction, density: Density::of_kg_m3(9500.0 / G_M_S2) }
    }
    /// Moist sand well above the water: 16 000 N/m3 (derived).
    pub fn moist(friction: Angle) -> Self {
        Self { friction, density: Density::of_kg_m3(16000.0 / G_M_S2) }
    }
    /// Coefficient of passive pressure.
    pub fn passive(&self) -> f64 {
        sq(tan(core::f64::consts::FRAC_PI_4 + self.friction.rad() / 2.0))
    }
    /// Coefficient of active pressure.
    pub fn active(&self) -> f64 {
        1.0 / self.passive()
    }
    fn n_m3(&self) -> f64 {
        self.density.kg_m3() * G_M_S2
    }
}

/// Theoretical hold of one upright leg, spike or buried body of `width`, down to `depth`, pulled level:
/// 1.5 Kp g' D z^2.
pub fn buried_hold(sand: Sand, width: Length, depth: Length) -> Force {
    Force::of_n(1.5 * sand.passive() * sand.n_m3() * width.m().max(0.0) * sq(depth.m().max(0.0)))
}

/// Greatest level pull that a wire of `diameter` bears before it bends for good, if the sand loads it down to
/// `depth`: Mp / (2z/3), Mp = sy d^3/6.
pub fn wire_bend_limit(yield_stress: Pressure, diameter: Length, depth: Length) -> Force {
    let plastic_nm = yield_stress.pa() * diameter.m() * sq(diameter.m()) / 6.0;
    Force::of_n(plastic_nm / (2.0 * depth.m() / 3.0))
}

/// A sinker with wire legs, as it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WiredSinker {
    /// Width of the body square to the pull.
    pub body_width: Length,
    /// How deep the body is buried.
    pub body_depth: Length,
    /// Wires that stand in the sand.
    pub legs: u8,
    /// Diameter of a wire.
    pub leg_diameter: Length,
    /// How deep a wire stands in the sand.
    pub leg_depth: Length,
    /// Yield stress of the wire: 200 MPa for soft stainless wire (estimate).
    pub leg_yield: Pressure,
}

impl WiredSinker {
    /// Half buried, soon after the cast: body of 40 mm 50 mm deep, four wires of 2.6 mm 80 mm deep (derived).
    pub const HALF_SET: Self = Self {
        body_width: Length::of_mm(40.0),
        body_depth: Length::of_mm(50.0),
        legs: 4,
        leg_diameter: Length::of_mm(2.6),
        leg_depth: Length::of_mm(80.0),
        leg_yield: Pressure::of_mpa(200.0),
    };
    /// Well worked in: body 90 mm deep, wires 120 mm deep (derived).
    pub const WELL_SET: Self =
        Self { body_depth: Length::of_mm(90.0), leg_depth: Length::of_mm(120.0), ..Self::HALF_SET };

    /// Theoretical hold: body and legs, no leg above its bending limit.
    pub fn theory(&self, sand: Sand) -> Force {
        let leg = buried_hold(sand, self.leg_diameter, self.leg_depth);
        let leg = if self.leg_depth.m() > 0.0 {
            leg.min(wire_bend_limit(self.leg_yield, self.leg_diameter, self.leg_depth))
        } else {
            Force::ZERO
        };
        buried_hold(sand, self.body_width, self.body_depth) + leg * f64::from(self.legs)
    }
}

/// Hold to plan with: theory halved.
pub fn planning_hold(theory: Force) -> Force {
    theory / PLANNING_DIVISOR
}

/// Hold of a plain lead that lies on the sand: friction on its weight in the water, less what lifts it.
///
/// `friction` is lead on sand, about 0.4 (estimate, two thirds of the sand's own angle).
pub fn sliding_hold(
    lead: Mass,
    lead_density: Density,
    water: Density,
    friction: f64,
    uplift: Force,
) -> Force {
    let wet = lead.kg() * G_M_S2 * (1.0 - water.kg_m3() / lead_density.kg_m3());
    Force::of_n((wet - uplift.n().max(0.0)).max(0.0) * friction.max(0.0))
}

/// Theoretical hold of a plank buried on edge with its top at the surface, `height` deep and `width` wide:
/// (1/2) g (Kp - Ka) H^2 B. In moist sand well above the water; halve it for planning, and use
/// [`Sand::under_water`] if the water reaches it. A short plank holds a little more than this strip value.
pub fn plank_hold(sand: Sand, height: Length, width: Length) -> Force {
    Force::of_n(0.5 * sand.n_m3() * (sand.passive() - sand.active()) * sq(height.m()) * width.m())
}

/// Hold of a dragging anchor of another mass, scaled from one whose hold was measured: it grows as W^0.8 in
/// sand (recalled, low).
pub fn scaled_drag_anchor(measured: Force, of: Mass, to: Mass) -> Force {
    Force::of_n(measured.n() * pow(to.kg() / of.kg(), 0.8))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn deeper_denser_more_legs_never_hold_less(
            phi in 28.0..42.0f64, zb in 0.0..0.12f64, zl in 0.01..0.14f64, legs in 0u8..5, more in 1.0..1.4f64,
        ) {
            let sinker = |zb: f64, legs| WiredSinker {
                body_depth: Length::of_m(zb), leg_depth: Length::of_m(zl), legs, ..WiredSinker::HALF_SET
            };
            let sand = |phi| Sand::under_water(Angle::of_deg(phi));
            let base = sinker(zb, legs).theory(sand(phi));
            prop_assert!(sinker(zb * more, legs).theory(sand(phi)) >= base);
            prop_assert!(sinker(zb, legs + 1).theory(sand(phi)) >= base);
            prop_assert!(sinker(zb, legs).theory(sand(phi * more)) >= base);
            prop_assert!(planning_hold(base).n() * 2.0 <= base.n() * (1.0 + 1e-12));
        }

        #[test]
        fn a_lifted_lead_holds_nothing(g in 10.0..400.0f64, lift in 0.0..9.0f64) {
            let rho = Density::of_kg_m3(11340.0);
            let hold = |up| sliding_hold(Mass::of_g(g), rho, Density::of_kg_m3(1025.0), 0.4, Force::of_n(up));
            prop_assert!(hold(lift) <= hold(0.0));
            prop_assert!(hold(g * 0.01).n() == 0.0);
        }
    }

    #[test]
    fn a_plain_lead_and_a_scaled_anchor() {
        // 0.150 kg x 9.80665 x (1 - 1025/11340) x 0.4, by hand.
        let (lead, water) = (Density::of_kg_m3(11340.0), Density::of_kg_m3(1025.0));
        let hold = sliding_hold(Mass::of_g(150.0), lead, water, 0.4, Force::ZERO);
        assert!((hold.n() - 0.535_214).abs() < 1e-5, "{}", hold.n());
        // Thirty-two times the mass: 2^(5 x 0.8) = 16 times the hold.
        let larger = scaled_drag_anchor(Force::of_n(10.0), Mass::of_kg(1.0), Mass::of_kg(32.0));
        assert!((larger.n() - 160.0).abs() < 1e-9);
    }

    #[test]
    fn a_thin_long_wire_is_held_back_by_its_own_bending() {
        let soft = WiredSinker {
            leg_yield: Pressure::of_mpa(5.0),
            body_depth: Length::ZERO,
            ..WiredSinker::HALF_SET
        };
        let sand = Sand::under_water(Angle::of_deg(38.0));
        let limit = wire_bend_limit(soft.leg_yield, soft.leg_diameter, soft.leg_depth);
        assert!((soft.theory(sand) / (limit * 4.0) - 1.0).abs() < 1e-12);
        assert!(soft.theory(sand) < buried_hold(sand, soft.leg_diameter, soft.leg_depth) * 4.0);
    }
}
