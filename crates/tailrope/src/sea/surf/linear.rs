//! Small waves over a level bed.
//!
//! Linear theory (Airy 1845; any coastal manual): w2 = g k tanh kh, L0 = g T2 / 2 pi, n = (1 + 2kh/sinh 2kh)/2,
//! cg = n c, shoaling Ks = sqrt(c0 / 2 cg) = sqrt(g T / (4 pi cg)), refraction over straight contours by Snell.
//! Good outside the break; near-breaking waves are steeper, and their forward peak 20 to 50 % faster (recalled).

use crate::Result;
use crate::math::{asin, cos, cosh, sin, sinh, tanh};
use crate::quantity::{Angle, G_M_S2, Length, Quantity, Span, Speed};
use core::f64::consts::PI;

/// Length of a wave in deep water, m.
pub(super) fn deep_length_m(period_s: f64) -> f64 {
    G_M_S2 * period_s * period_s / (2.0 * PI)
}

/// A wave of one period over one depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Linear {
    period_s: f64,
    depth_m: f64,
    kh: f64,
}

impl Linear {
    /// Period 0.5 to 60 s over 1 mm to 11 km of water.
    ///
    /// ```
    /// use tailrope::{quantity::{Length, Span}, sea::surf::Linear};
    /// let w = Linear::over(Span::of_s(8.0), Length::of_m(3.0))?;
    /// assert!((w.length().m() - 42.02).abs() < 0.01 && (w.speed().mps() - 5.253).abs() < 0.001);
    /// # Ok::<(), tailrope::Error>(())
    /// ```
    pub fn over(period: Span, depth: Length) -> Result<Self> {
        period.within("the wave period", Span::of_s(0.5), Span::of_s(60.0))?;
        depth.within("the depth", Length::of_mm(1.0), Length::of_km(11.0))?;
        Ok(Self::solve(period.s(), depth.m()))
    }

    /// Solves the dispersion relation for positive period and depth.
    pub(super) fn solve(period_s: f64, depth_m: f64) -> Self {
        let w = 2.0 * PI / period_s;
        let x = w * w * depth_m / G_M_S2;
        // Start from the deep or the shallow limit; Newton on kh tanh kh = x then settles in a few steps.
        let mut kh = if x > 1.0 { x } else { x.sqrt() };
        for _ in 0..30 {
            let t = tanh(kh);
            let step = (kh * t - x) / (t + kh * (1.0 - t * t));
            kh = (kh - step).max(1e-12);
            if step.abs() <= 1e-15 * kh {
                break;
            }
        }
        Self { period_s, depth_m, kh }
    }

    /// Wave number times depth.
    pub fn kh(self) -> f64 {
        self.kh
    }

    /// Wave length.
    pub fn length(self) -> Length {
        Length::of_m(2.0 * PI * self.depth_m / self.kh)
    }

    /// Speed of the crests.
    pub fn speed(self) -> Speed {
        Speed::of_mps(self.length().m() / self.period_s)
    }

    /// Group speed over crest speed: 1/2 deep, 1 shallow.
    pub fn n(self) -> f64 {
        let two = 2.0 * self.kh;
        // Beyond this sinh overflows and the water is deep.
        if two > 700.0 { 0.5 } else { 0.5 * (1.0 + two / sinh(two)) }
    }

    /// Speed of the groups, and of the energy.
    pub fn group_speed(self) -> Speed {
        self.speed() * self.n()
    }

    /// Height here over height in deep water, square to the beach.
    pub fn shoaling(self) -> f64 {
        (G_M_S2 * self.period_s / (4.0 * PI * self.group_speed().mps())).sqrt()
    }

    /// Angle of the crests here, from their angle in deep water.
    pub fn refracted(self, deep: Angle) -> Angle {
        Angle::of_rad(asin((sin(deep.rad()) * tanh(self.kh)).clamp(-1.0, 1.0)))
    }

    /// Height here over height without turning.
    pub fn refraction(self, deep: Angle) -> f64 {
        (cos(deep.rad()).max(0.0) / cos(self.refracted(deep).rad()).max(1e-9)).sqrt()
    }

    /// Depth it was made for.
    pub fn depth(self) -> Length {
        Length::of_m(self.depth_m)
    }

    /// Largest orbital speed at a height above the bed, for a wave of `height`.
    pub fn orbital(self, height: Length, above_bed: Length) -> Speed {
        let z = above_bed.m().clamp(0.0, self.depth_m);
        let amplitude = PI * height.m() / self.period_s;
        let k = self.kh / self.depth_m;
        let decay = if self.kh > 350.0 {
            // cosh and sinh overflow; their ratio does not.
            crate::math::exp(k * z - self.kh)
        } else {
            cosh(k * z) / sinh(self.kh)
        };
        Speed::of_mps(amplitude * decay)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_dispersion_relation_holds(t in 0.5..60.0f64, h in 0.001..11000.0f64) {
            let w = Linear::over(Span::of_s(t), Length::of_m(h)).unwrap();
            let omega = 2.0 * PI / t;
            let x = omega * omega * h / G_M_S2;
            prop_assert!((w.kh() * tanh(w.kh()) / x - 1.0).abs() < 1e-12);
            prop_assert!((0.5..=1.0).contains(&w.n()));
            prop_assert!(w.orbital(Length::of_m(1.0), Length::ZERO).mps().is_finite());
        }

        #[test]
        fn deeper_water_means_longer_waves_and_slower_beds(t in 2.0..25.0f64, h in 0.1..200.0f64, more in 1.01..3.0f64) {
            let at = |h| Linear::over(Span::of_s(t), Length::of_m(h)).unwrap();
            prop_assert!(at(h * more).length().m() >= at(h).length().m() * (1.0 - 1e-12));
            let bed = |h| at(h).orbital(Length::of_m(1.0), Length::ZERO).mps();
            prop_assert!(bed(h * more) < bed(h));
        }
    }
}
