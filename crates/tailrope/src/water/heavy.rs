//! The angle at which a long heavy line tows.

use super::LineLoad;
use crate::math::acos;
use crate::quantity::Angle;

/// Angle between the flow and a long line of `weight` (in the water) that trails from one end: the one at
/// which drag across it and weight balance, cos phi = (sqrt(k^2 + 4) - k)/2 with k = w/D (exact case of the
/// cable equations; Berteaux 1976).
///
/// `drag` is what a metre would feel square to the flow. 0 for a weightless line, 90 degrees at rest. A line
/// that floats trails upward at the same angle.
pub fn critical_angle(weight: LineLoad, drag: LineLoad) -> Angle {
    let w = weight.n_per_m().abs();
    if w == 0.0 {
        return Angle::ZERO;
    }
    let k = w / drag.n_per_m().abs();
    if !k.is_finite() {
        return Angle::of_deg(90.0);
    }
    // The same as (sqrt(k^2 + 4) - k)/2, without losing digits for a heavy line.
    Angle::of_rad(acos(2.0 / (k + (k * k + 4.0).sqrt())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::{cos, sin, sq};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn weight_and_drag_balance_across_the_line(w in 1e-4..5.0f64, d in 0.01..2.0f64) {
            let phi = critical_angle(LineLoad::of_n_per_m(w), LineLoad::of_n_per_m(d)).rad();
            prop_assert!((w * cos(phi) - d * sq(sin(phi))).abs() < 1e-9 * (w + d));
        }
    }

    #[test]
    fn ends_of_the_range() {
        assert_eq!(critical_angle(LineLoad::ZERO, LineLoad::of_n_per_m(1.0)).deg(), 0.0);
        assert_eq!(critical_angle(LineLoad::of_n_per_m(1.0), LineLoad::ZERO).deg(), 90.0);
    }
}
