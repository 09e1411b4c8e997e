//! Water speeds to design a bait's hold with.
//!
//! Three questions, three speeds. *Will the sinker hold?* the peak of current and wave together under the highest wave
//! of the soak at its lowest tide. *Will it creep?* the same under the mean of the highest tenth. *How hard does the
//! line belly?* the mean of V|V|, which waves raise even though they average to zero. Loads follow from these in
//! `tackle` and `water`.

use super::linear::Linear;
use super::pack::BaitRows;
use super::random::{Waves, depth_cap, mean_period};
use super::swell::Swell;
use crate::Result;
use crate::math::{acos, cos, sin};
use crate::quantity::{Angle, Length, Span, Speed};
use core::f64::consts::PI;
use serde::Serialize;

/// Largest speed of a steady current and a wave's to-and-fro together, with the angle between them.
pub fn peak_speed(current: Speed, orbital: Speed, between: Angle) -> Speed {
    let (u, a) = (current.mps().abs(), orbital.mps().abs());
    // The wave swings both ways: its angle to the current counts within a right angle.
    Speed::of_mps((u * u + a * a + 2.0 * u * a * cos(between.rad()).abs()).max(0.0).sqrt())
}

/// Mean of V|V| over a wave for a current along the waves' way, m2/s2 (exact; U2 + a2/2 where the current is the
/// faster).
pub fn mean_signed_square(current: Speed, orbital: Speed) -> f64 {
    let (u, a) = (current.mps(), orbital.mps().abs());
    let whole = u * u + a * a / 2.0;
    if u.abs() >= a {
        return if u < 0.0 { -whole } else { whole };
    }
    // Forward for theta within +-turn; elsewhere the square counts backwards.
    let turn = acos((-u / a).clamp(-1.0, 1.0));
    let forward = whole * turn + 2.0 * u * a * sin(turn) + a * a * sin(2.0 * turn) / 4.0;
    (2.0 * forward - whole * PI) / PI
}

/// How much of a wave's peak a straight line feels along its whole length.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PhaseFactor {
    /// |sin x / x| with x = half the wave number times the line's length along the waves' way.
    pub factor: f64,
    /// The part square to the line.
    pub square_on: f64,
    /// Factor without the zeros of sin x / x: 1 or 1/x, for checks on the safe side.
    pub safe: f64,
}

/// Phase factor of a line of a length lying at an angle to the waves' way (0 along it, 90 degrees along the crests,
/// where the whole line is hit at once).
pub fn phase_factor(wave: Linear, line: Length, to_waves: Angle) -> PhaseFactor {
    let k = 2.0 * PI / wave.length().m();
    let x = (0.5 * k * line.m() * cos(to_waves.rad())).abs();
    let factor = if x < 1e-9 { 1.0 } else { (sin(x) / x).abs() };
    let safe = if x > 1.0 { 1.0 / x } else { 1.0 };
    PhaseFactor { factor, square_on: factor * sin(to_waves.rad()).abs(), safe }
}

/// Wave speeds at the bed where a bait lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BedWaves {
    /// Under the significant wave.
    pub significant: Speed,
    /// Under the mean of the highest tenth: decides whether a rig creeps.
    pub creep: Speed,
    /// Under the mean highest wave of the soak: decides whether it holds.
    pub hold: Speed,
}

/// Bed speeds at a depth (that of the lowest tide of the soak) over a soak. Heights are shoaled from deep water and
/// capped by the depth: 0.6 of it (the pack's) for significant, 0.78 for single waves.
pub fn bed_waves(swell: Swell, depth: Length, soak: Span, rows: &BaitRows) -> Result<BedWaves> {
    let wave = Linear::over(swell.period(), depth)?;
    let shoaled = swell.height() * wave.shoaling() * wave.refraction(swell.off_normal());
    let significant = shoaled.min(depth * rows.significant_cap.value);
    let waves = Waves::over(shoaled.min(Length::of_m(20.0)), mean_period(swell.period()), soak)?;
    let bed = |height: Length| wave.orbital(height, Length::ZERO);
    Ok(BedWaves {
        significant: bed(significant),
        creep: bed(depth_cap(waves.highest_tenth(), depth)),
        hold: bed(depth_cap(waves.mean_highest().max(waves.highest_tenth()), depth)),
    })
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_mean_square_is_the_integral(u in -2.0..2.0f64, a in 0.0..2.0f64) {
            let n = 20_000;
            let sum: f64 = (0..n).map(|i| {
                let v = u + a * cos(2.0 * PI * (f64::from(i) + 0.5) / f64::from(n));
                v * v.abs()
            }).sum();
            let exact = mean_signed_square(Speed::of_mps(u), Speed::of_mps(a));
            prop_assert!((sum / f64::from(n) - exact).abs() < 1e-6, "{} {exact}", sum / f64::from(n));
        }

        #[test]
        fn waves_never_lower_the_load(u in 0.0..2.0f64, a in 0.0..2.0f64, more in 0.01..1.0f64, deg in 0.0..180.0f64) {
            let peak = |u, a| peak_speed(Speed::of_mps(u), Speed::of_mps(a), Angle::of_deg(deg)).mps();
            prop_assert!(peak(u, a + more) >= peak(u, a) && peak(u + more, a) >= peak(u, a));
            let mean = |a| mean_signed_square(Speed::of_mps(u), Speed::of_mps(a));
            prop_assert!(mean(a + more) >= mean(a) - 1e-12);
        }

        #[test]
        fn the_safe_factor_bounds_the_true_one(t in 4.0..16.0f64, h in 1.0..10.0f64, line in 0.0..200.0f64, deg in 0.0..90.0f64) {
            let w = Linear::over(Span::of_s(t), Length::of_m(h)).unwrap();
            let f = phase_factor(w, Length::of_m(line), Angle::of_deg(deg));
            prop_assert!(f.factor <= f.safe + 1e-12 && f.safe <= 1.0 && f.square_on <= f.factor + 1e-12);
        }
    }

    #[test]
    fn depth_is_the_cure_outside_the_break() {
        let swell = Swell::square_on(Length::of_m(1.0), Span::of_s(9.0)).unwrap();
        let hold = |d: f64| bed_waves(swell, Length::of_m(d), Span::of_h(1.0), &shipped().bait).unwrap();
        // The study's table for Hs 1.0, Tp 9: 1.02/1.88 in 3 m, 0.59/1.10 in 6 m.
        assert!(
            (hold(3.0).significant.mps() - 1.02).abs() < 0.01 && (hold(3.0).hold.mps() - 1.88).abs() < 0.03
        );
        assert!(
            (hold(6.0).significant.mps() - 0.59).abs() < 0.01 && (hold(6.0).hold.mps() - 1.10).abs() < 0.02
        );
        assert!(hold(6.0).creep.mps() < hold(6.0).hold.mps());
    }
}
