//! Water across a line: normal drag by the cross-flow principle, and the strumming that raises it.
//!
//! Only the component of the water's speed normal to the line counts: D = (1/2) rho Cn d Un |Un|. A smooth
//! cylinder has Cn = 1 + 10 Re^(-2/3) for 1 < Re < 2e5 (White, *Viscous Fluid Flow*; recalled). Fishing line
//! works at Re 100 to 5000. A taut line sings at St U/d with St = 0.2, and then its mean Cn is measured at 2.2
//! to 2.5 (long vertical tow cable, J Offshore Mech Arct Eng 113:117, 1991) and 2.4 to 3.2 (with attached
//! masses, J Energy Resour Technol 106:458, 1984). Above Re 2e5 the true drag falls and ours does not: the
//! safe side. Below Re 1 the loads are too small to matter.

use super::{LineLoad, Viscosity, Water};
use crate::facts::{Band, Figure, Grade};
use crate::math::{pow, sq};
use crate::quantity::{Length, Speed};

/// Strouhal number of a cylinder, 300 < Re < 1e5 (recalled).
const STROUHAL: f64 = 0.2;

/// Reynolds number of a flow at `speed` past something of size `size`.
pub fn reynolds(speed: Speed, size: Length, viscosity: Viscosity) -> f64 {
    (speed.mps() * size.m()).abs() / viscosity.m2_s()
}

/// Normal drag coefficient of a smooth cylinder, 1 < `reynolds` < 2e5 (White; recalled). Infinite at rest.
///
/// ```
/// assert!((tailrope::water::cylinder_cn(1000.0) - 1.1).abs() < 1e-9);
/// ```
pub fn cylinder_cn(reynolds: f64) -> f64 {
    1.0 + 10.0 * pow(reynolds.max(0.0), -2.0 / 3.0)
}

/// How much strumming multiplies the drag of a singing line: 1.0 (still) to 2.3, middle 1.7 (estimate, from
/// the two measurements named at the head of this file).
pub fn strum_band() -> Figure<Band<f64>> {
    Figure::new(
        Band { low: 1.0, central: 1.7, high: 2.3 },
        Grade::Estimate,
        "between a still cylinder and the mean Cn of 2.2-3.2 measured on strumming cables \
         (J Offshore Mech Arct Eng 113:117, 1991; J Energy Resour Technol 106:458, 1984)",
    )
}

/// Drag coefficient of a cylinder that vibrates across the flow: `cn` (1 + 2.1 A/d), `amplitude_over_d` being
/// half the peak-to-peak swing in diameters, 0 to about 1 (recalled).
pub fn strummed_cn(cn: f64, amplitude_over_d: f64) -> f64 {
    cn * (1.0 + 2.1 * amplitude_over_d.max(0.0))
}

/// How often a taut line in a current swings, hertz: 0.2 U/d.
pub fn strum_frequency_hz(speed: Speed, diameter: Length) -> f64 {
    STROUHAL * speed.mps().abs() / diameter.m()
}

/// Drag on each metre of a line square across the water: (1/2) rho Cn d U^2, times `strum` (1 for a still
/// line, [`strum_band`] for a singing one). `speed` is the component normal to the line.
///
/// ```
/// use tailrope::{quantity::{Length, Speed}, water::{Water, normal_drag_per_m}};
/// let d = normal_drag_per_m(Length::of_mm(0.9), Speed::of_mps(0.5), 1.0, Water::SEA);
/// assert!((d.n_per_m() - 0.1356).abs() < 1e-4);
/// ```
pub fn normal_drag_per_m(diameter: Length, speed: Speed, strum: f64, water: Water) -> LineLoad {
    let u_mps = speed.mps().abs();
    if u_mps == 0.0 || diameter.m() <= 0.0 {
        return LineLoad::ZERO;
    }
    let cn = cylinder_cn(reynolds(speed, diameter, water.viscosity));
    LineLoad::of_n_per_m(0.5 * water.density.kg_m3() * cn * strum * diameter.m() * sq(u_mps))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn more_water_thicker_line_more_strum_never_less_drag(
            d_mm in 0.1..4.0f64, u in 0.0..12.0f64, k in 1.0..2.3f64, more in 1.0..3.0f64,
        ) {
            let drag = |d, u, k| normal_drag_per_m(Length::of_mm(d), Speed::of_mps(u), k, Water::SEA).n_per_m();
            let base = drag(d_mm, u, k);
            prop_assert!(base >= 0.0);
            prop_assert!(drag(d_mm * more, u, k) >= base);
            prop_assert!(drag(d_mm, u * more, k) >= base);
            prop_assert!(drag(d_mm, u, k * more) >= base);
            prop_assert_eq!(drag(d_mm, -u, k), base);
        }
    }

    #[test]
    fn the_strum_band_covers_what_was_measured() {
        let band = strum_band().value;
        let still = cylinder_cn(1000.0);
        assert!(band.low <= band.central && band.central <= band.high);
        assert!(still * band.high >= 2.4 && still * band.central <= 2.2);
    }
}
