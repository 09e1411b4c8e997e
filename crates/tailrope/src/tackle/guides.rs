//! What guides do to the pull of a line that bends over them.
//!
//! Model: a cord that slides over fixed bars through a total angle `theta` with friction `mu` gains
//! `exp(mu theta)` towards the side to which it moves (Eytelwein; `theta` is the angle between the line that
//! leaves the reel and the line that leaves the tip). So a running fish feels more than the spool gives, and
//! whoever winds must pull more than the tip feels; at rest anything between is possible. Rollers are taken
//! as a small equivalent `mu` (bench test of a cord over a pulley, S26). Not modelled: the guides' own
//! bending of the line at very small loads, and a hot or grooved ring.

use crate::math::{exp, ln};
use crate::quantity::{Angle, Force};

/// Factor by which guides raise the tension on the side to which the line moves; 1 at no friction or no bend.
///
/// `mu` is dimensionless; negative, infinite or unknown values count as no friction.
pub fn wrap_factor(mu: f64, wrap: Angle) -> f64 {
    let product = mu * wrap.rad();
    if product.is_finite() && product > 0.0 { exp(product) } else { 1.0 }
}

/// `mu theta` from a measured ratio of the tighter to the slacker side (at least 1).
///
/// Also gives `mu` of a bench test: the friction of an efficiency `eff` over `theta` is
/// `wrap_product(1/eff)/theta`.
pub fn wrap_product(tight_over_slack: f64) -> f64 {
    if tight_over_slack > 1.0 { ln(tight_over_slack) } else { 0.0 }
}

/// Friction of a bench test in which `efficiency` (0 to 1) of the pull arrived after a bend of `wrap`.
pub fn mu_of_efficiency(efficiency: f64, wrap: Angle) -> f64 {
    if efficiency > 0.0 && wrap.rad() > 0.0 { wrap_product(1.0 / efficiency) / wrap.rad() } else { 0.0 }
}

/// Tension beyond the tip while line runs out against `at_spool`.
pub fn tip_running_out(at_spool: Force, mu: f64, wrap: Angle) -> Force {
    at_spool * wrap_factor(mu, wrap)
}

/// Tension at the spool while line with `at_tip` on it is wound in: the spool side pulls, so it is tighter.
pub fn spool_winding_in(at_tip: Force, mu: f64, wrap: Angle) -> Force {
    at_tip * wrap_factor(mu, wrap)
}

/// Greatest tension beyond the tip that can be wound in when the drag slips at `at_spool`.
pub fn tip_won_against(at_spool: Force, mu: f64, wrap: Angle) -> Force {
    at_spool / wrap_factor(mu, wrap)
}

/// Drag at the reel when a scale on the line beyond the tip read `at_tip` with line slipping out.
pub fn reel_of_tip_reading(at_tip: Force, mu: f64, wrap: Angle) -> Force {
    at_tip / wrap_factor(mu, wrap)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn winding_is_never_lighter_at_the_spool_than_at_the_tip(
            t in 0.0..2000.0_f64, mu in 0.0..0.5_f64, deg in 0.0..180.0_f64,
        ) {
            let (t, wrap) = (Force::of_n(t), Angle::of_deg(deg));
            prop_assert!(spool_winding_in(t, mu, wrap) >= t);
            prop_assert!(tip_running_out(t, mu, wrap) >= t);
            prop_assert!(tip_won_against(t, mu, wrap) <= t);
        }

        #[test]
        fn out_and_in_differ_in_sign(t in 1.0..2000.0_f64, mu in 0.01..0.5_f64, deg in 5.0..180.0_f64) {
            let (t, wrap) = (Force::of_n(t), Angle::of_deg(deg));
            let (out, back) = (tip_running_out(t, mu, wrap), tip_won_against(t, mu, wrap));
            prop_assert!(out > t && back < t);
            prop_assert!((out.n() * back.n() / (t.n() * t.n()) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn nonsense_counts_as_no_friction() {
        for mu in [-1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(wrap_factor(mu, Angle::of_deg(60.0)), 1.0);
        }
        assert_eq!(mu_of_efficiency(0.0, Angle::of_deg(180.0)), 0.0);
    }
}
