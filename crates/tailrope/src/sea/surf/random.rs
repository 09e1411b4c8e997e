//! Wave heights inside a real surf zone, and the big ones.
//!
//! At a depth: Goda (1975, 2000, *Random Seas and Design of Maritime Structures*, recalled). Over a stretch of
//! minutes: Rayleigh statistics (Longuet-Higgins 1952, recalled). Waves come in groups: after one big set wave
//! expect several, so a quiet minute promises nothing.

use super::breaker::MCCOWAN;
use super::linear::Linear;
use super::swell::Swell;
use crate::Result;
use crate::math::{exp, expm1, ln, ln1p, pow};
use crate::quantity::{Length, Quantity, Slope, Span};
use serde::Serialize;

/// Wave heights at a depth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Local {
    /// Significant height there.
    pub significant: Length,
    /// Mean of the highest one in 250 there.
    pub maximum: Length,
}

/// Significant and maximum wave height at a still-water depth inside or outside the break.
///
/// Depth zero and dry sand give no waves, although wave set-up carries a little water there.
pub fn local_waves(swell: Swell, depth: Length, slope: Slope) -> Local {
    let (h0, h, m) = (swell.h0_m(), depth.m(), slope.tan());
    if h <= 0.0 || h0 <= 0.0 || h.is_nan() {
        return Local { significant: Length::ZERO, maximum: Length::ZERO };
    }
    let l0 = swell.deep_length_m();
    let w = Linear::solve(swell.period().s(), h);
    let shoaled = h0 * w.shoaling() * w.refraction(swell.off_normal());
    if h / l0 >= 0.2 {
        return Local { significant: Length::of_m(shoaled), maximum: Length::of_m(1.8 * shoaled) };
    }
    let steepness = h0 / l0;
    let tan15 = pow(m, 1.5);
    let least = |k0: f64, kt: f64, k1: f64, k1t: f64, floor: f64, top: f64, cap: f64| {
        let b0 = k0 * pow(steepness, -0.38) * exp(kt * tan15);
        let b1 = k1 * exp(k1t * m);
        let bmax = floor.max(top * pow(steepness, -0.29) * exp(2.4 * m));
        (b0 * h0 + b1 * h).min(bmax * h0).min(cap)
    };
    Local {
        significant: Length::of_m(least(0.028, 20.0, 0.52, 4.2, 0.92, 0.32, shoaled)),
        maximum: Length::of_m(least(0.052, 20.0, 0.63, 3.8, 1.65, 0.53, 1.8 * shoaled)),
    }
}

/// Root mean square height of the saturated inner surf: 0.42 of the depth (Thornton & Guza 1982, recalled).
pub fn saturated_rms(depth: Length) -> Length {
    depth.max(Length::ZERO) * 0.42
}

/// Mean period from the peak period: over 1.28 for a young sea, over 1.4 for a grown one (recalled). The shorter
/// mean period counts more waves and is the safe side for chances.
pub fn mean_period(peak: Span) -> Span {
    peak / 1.28
}

/// The waves of a stretch of minutes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Waves {
    significant: Length,
    count: f64,
}

impl Waves {
    /// Significant height, mean period, and how long one stands there.
    pub fn over(significant: Length, mean_period: Span, stretch: Span) -> Result<Self> {
        significant.within("the wave height", Length::ZERO, Length::of_m(20.0))?;
        mean_period.within("the mean period", Span::of_s(0.5), Span::of_s(30.0))?;
        stretch.within("the stretch of time", Span::ZERO, Span::of_d(3.0))?;
        Ok(Self { significant, count: stretch / mean_period })
    }

    /// How many waves that is.
    pub fn count(self) -> f64 {
        self.count
    }

    /// Most likely height of the highest.
    pub fn most_probable_highest(self) -> Length {
        self.significant * (ln(self.count.max(1.0)) / 2.0).sqrt()
    }

    /// Mean height of the highest. Below three waves the mean of all of them.
    pub fn mean_highest(self) -> Length {
        if self.count < 3.0 {
            return self.significant * 0.63;
        }
        let l = ln(self.count);
        self.most_probable_highest() * (1.0 + 0.2886 / l)
    }

    /// Height that the highest wave stays below with probability `p` (0 to 1).
    pub fn highest_below(self, p: f64) -> Length {
        let n = self.count.max(1.0);
        // 1 - p^(1/n) without losing the digits.
        let single = -expm1(ln(p.clamp(1e-12, 1.0 - 1e-12)) / n);
        self.significant * (-ln(single) / 2.0).sqrt()
    }

    /// Chance that at least one wave is higher than `height`: the chance of a set wave.
    pub fn chance_over(self, height: Length) -> f64 {
        if self.significant.m() <= 0.0 {
            return 0.0;
        }
        let x = (height.m() / self.significant.m()).max(0.0);
        let single = exp(-2.0 * x * x);
        if single >= 1.0 {
            return if self.count > 0.0 { 1.0 } else { 0.0 };
        }
        -expm1(self.count * ln1p(-single))
    }

    /// Mean of the highest tenth.
    pub fn highest_tenth(self) -> Length {
        self.significant * 1.27
    }

    /// Mean of the highest hundredth.
    pub fn highest_hundredth(self) -> Length {
        self.significant * 1.67
    }
}

/// The highest wave that a depth lets stand: 0.78 of it.
pub fn depth_cap(height: Length, depth: Length) -> Length {
    height.min(depth.max(Length::ZERO) * MCCOWAN)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Angle;
    use proptest::prelude::*;

    fn swell(h: f64, t: f64) -> Swell {
        Swell::new(Length::of_m(h), Span::of_s(t), Angle::ZERO).unwrap()
    }

    proptest! {
        #[test]
        fn local_waves_are_ordered(h in 0.0..4.0f64, t in 4.0..18.0f64, d in 0.0..60.0f64, m in 0.0..0.15f64) {
            let slope = Slope::of_rise_over_run(m).unwrap();
            let local = local_waves(swell(h, t), Length::of_m(d), slope);
            prop_assert!(local.significant.m() >= 0.0 && local.significant.m() <= local.maximum.m() + 1e-12);
            prop_assert!(local.maximum.m().is_finite());
        }

        #[test]
        fn longer_watch_and_lower_mark_mean_more_chance(
            hs in 0.1..4.0f64, tz in 3.0..12.0f64, minutes in 1.0..300.0f64, x in 0.1..3.0f64, more in 1.05..3.0f64,
        ) {
            let over = |m: f64| Waves::over(Length::of_m(hs), Span::of_s(tz), Span::of_min(m)).unwrap();
            let chance = |m: f64, x: f64| over(m).chance_over(Length::of_m(x * hs));
            prop_assert!(chance(minutes * more, x) >= chance(minutes, x));
            prop_assert!(chance(minutes, x * more) <= chance(minutes, x));
            prop_assert!((0.0..=1.0).contains(&chance(minutes, x)));
            // The two ways of asking agree.
            let top = over(minutes.max(2.0)).highest_below(0.9);
            prop_assert!((over(minutes.max(2.0)).chance_over(top) - 0.1).abs() < 1e-9);
        }
    }
}
