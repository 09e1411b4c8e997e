//! Water along a line: the skin friction that a running line pays and the rod never feels.
//!
//! F = (1/2) rho Ct pi d L V^2 on the wetted surface. Tow tests on cylinders of 0.89 and 2.5 mm, 30 to 150 m
//! long, at 2.4 to 17.4 m/s in sea water found Ct to be two to three times that of a flat plate, fully
//! turbulent (Cipolla and Keith 2002, ASME FEDSM; published): the right size, length and speed for this job.
//! The plate is Schlichting's 0.455 / (log10 Re_L)^2.58. Nothing was found for a *braided* line; its default
//! is an estimate for its rougher skin.

use super::LineLoad;
use crate::facts::Band;
use crate::math::{log10, pow, sq};
use crate::quantity::{Density, Force, Length, Speed};

/// Factor over the flat plate (published: 2 to 3).
pub const SKIN_K: f64 = 2.5;
/// Its measured range (published).
pub const SKIN_K_BAND: Band<f64> = Band { low: 2.0, central: SKIN_K, high: 3.0 };
/// Default skin coefficient of smooth nylon or fluorocarbon, on wetted area (derived).
pub const CT_MONO: f64 = 0.004;
/// Default skin coefficient of braid, on wetted area (estimate: roughness).
pub const CT_BRAID: f64 = 0.006;

/// Least length Reynolds number for which the law is used: turbulent from here on.
const RE_TURBULENT: f64 = 5.0e5;

/// Skin coefficient of a long thin line from its *length* Reynolds number: k 0.455 / (log10 Re_L)^2.58, with
/// `k` in [`SKIN_K_BAND`]. Valid above 5e5 (turbulent); below that the value at 5e5 is given.
///
/// ```
/// use tailrope::water::{SKIN_K, skin_ct};
/// assert!((skin_ct(SKIN_K, 1.4286e9) - 0.003757).abs() < 1e-6);
/// ```
pub fn skin_ct(k: f64, reynolds_of_length: f64) -> f64 {
    k * 0.455 / pow(log10(reynolds_of_length.max(RE_TURBULENT)), 2.58)
}

/// Skin friction on each metre of a line that moves lengthwise through the water.
pub fn skin_drag_per_m(ct: f64, diameter: Length, speed: Speed, density: Density) -> LineLoad {
    LineLoad::of_n_per_m(0.5 * density.kg_m3() * ct * core::f64::consts::PI * diameter.m() * sq(speed.mps()))
}

/// What a line costs that is pulled lengthwise through the water: (1/2) rho Ct pi d L V^2.
///
/// The fish feels it on top of the tension at the rod tip, whatever the bend of the line between them.
///
/// ```
/// use tailrope::{quantity::{Density, Length, Speed}, water::skin_drag};
/// let f = skin_drag(0.004, Length::of_mm(1.0), Length::of_m(300.0), Speed::of_mps(5.0), Density::of_kg_m3(1025.0));
/// assert!((f.n() - 48.3).abs() < 0.01);
/// ```
pub fn skin_drag(ct: f64, diameter: Length, wet_length: Length, speed: Speed, density: Density) -> Force {
    skin_drag_per_m(ct, diameter, speed, density).over(wet_length.max(Length::ZERO))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn faster_longer_thicker_never_costs_less(
            d in 0.2..3.0f64, l in 0.0..900.0f64, v in 0.0..12.0f64, more in 1.0..2.0f64,
        ) {
            let f = |d, l, v| {
                let nu = crate::water::Water::SEA.viscosity;
                let ct = skin_ct(SKIN_K, crate::water::reynolds(Speed::of_mps(v), Length::of_m(l), nu));
                skin_drag(ct, Length::of_mm(d), Length::of_m(l), Speed::of_mps(v), Density::of_kg_m3(1025.0)).n()
            };
            prop_assert!(f(d * more, l, v) >= f(d, l, v));
            prop_assert!(f(d, l * more, v) >= f(d, l, v));
            prop_assert!(f(d, l, v * more) >= f(d, l, v));
        }

        #[test]
        fn the_coefficient_falls_with_length_and_grows_with_k(re in 1.0..1e11f64, more in 1.0..9.0f64) {
            prop_assert!(skin_ct(2.5, re * more) <= skin_ct(2.5, re));
            prop_assert!(skin_ct(3.0, re) > skin_ct(2.0, re));
        }
    }
}
