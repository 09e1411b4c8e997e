//! The load of a line swept sideways: a bound for strength checks, never a tension.
//!
//! A line has no stiffness: drag across it can only turn it, never tighten it, so the tension at the hook is
//! that at the tip plus skin friction, whatever the bend. What is given here belongs to a straight *rigid*
//! bar of the same size, whose ends a real line could not even load so. A strength check may show it as the
//! upper bound; the fight must not add it, because a load that is not there would tire the fish too soon.

use crate::math::hypot;
use crate::quantity::{Force, Length, Speed};
use crate::water::{LineLoad, Water, normal_drag_per_m};

/// Transverse loads on the ends of a straight rigid bar swept through the water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sweep {
    /// Drag on each metre at the full speed.
    pub drag: LineLoad,
    /// At the fish's end.
    pub at_fish: Force,
    /// At the rod's end.
    pub at_rod: Force,
}

impl Sweep {
    /// Both ends together.
    pub fn total(&self) -> Force {
        self.at_fish + self.at_rod
    }
}

/// Upper bound of the load across the line when the fish runs sideways at `speed` and the line swings about
/// the rod: D L/4 at the fish, D L/12 at the rod, with D the drag a metre at full speed (moments of a load
/// that grows with the square of the distance from the pivot).
pub fn sweep_bound(diameter: Length, wet_length: Length, speed: Speed, strum: f64, water: Water) -> Sweep {
    let drag = normal_drag_per_m(diameter, speed, strum, water);
    let whole = drag.over(wet_length.max(Length::ZERO));
    Sweep { drag, at_fish: whole / 4.0, at_rod: whole / 12.0 }
}

/// The same bar carried bodily sideways at `speed`: each end bears half.
pub fn sweep_bodily(diameter: Length, wet_length: Length, speed: Speed, strum: f64, water: Water) -> Sweep {
    let drag = normal_drag_per_m(diameter, speed, strum, water);
    let whole = drag.over(wet_length.max(Length::ZERO));
    Sweep { drag, at_fish: whole / 2.0, at_rod: whole / 2.0 }
}

/// Tension of a strength check with the bound added square across: sqrt((tip + skin)^2 + sweep^2).
pub fn with_sweep_bound(tip: Force, skin: Force, sweep: Force) -> Force {
    Force::of_n(hypot((tip + skin).n(), sweep.n()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn ends_of_a_pivoting_bar_balance_force_and_moment() {
        let (d, l, v) = (Length::of_mm(0.9), 250.0, Speed::of_mps(2.0));
        let s = sweep_bound(d, Length::of_m(l), v, 1.0, Water::SEA);
        // Load D (x/L)^2 a metre: integrate force and moment about the rod by slices.
        let n = 20_000;
        let (mut force, mut moment) = (0.0, 0.0);
        for i in 0..n {
            let x = (f64::from(i) + 0.5) / f64::from(n) * l;
            let q = s.drag.n_per_m() * (x / l) * (x / l) * l / f64::from(n);
            force += q;
            moment += q * x;
        }
        assert!((s.total().n() / force - 1.0).abs() < 1e-6);
        assert!((s.at_fish.n() * l / moment - 1.0).abs() < 1e-6);
    }

    proptest! {
        #[test]
        fn the_bound_never_lowers_a_load(tip in 0.0..900.0f64, skin in 0.0..200.0f64, sweep in 0.0..900.0f64) {
            let (a, b, c) = (Force::of_n(tip), Force::of_n(skin), Force::of_n(sweep));
            let t = with_sweep_bound(a, b, c);
            prop_assert!(t.n() >= (tip + skin) * (1.0 - 1e-12) && t.n() >= sweep * (1.0 - 1e-12));
        }
    }
}
