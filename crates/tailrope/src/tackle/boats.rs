//! Boats over the line: how likely it is that one crosses a line that lies shallower than its propeller while the bait
//! soaks.
//!
//! Boats come one by one, not in step (a Poisson process, textbook); one that crosses the strip of water that the crew
//! watched does so anywhere in it with equal chance. The line goes straight from the rod tip to the bait: real line
//! hangs a little deeper, a line that floats lies at the surface and is reckoned so over its whole length. So
//!
//! ```text
//! chance = 1 - exp(-rate x hours x shallow length / width watched)
//! ```
//!
//! The rate is the crew's own count; its 90 % band is Byar's approximation to the exact Poisson limits (Breslow & Day
//! 1987, recalled): with nothing seen in H hours up to 3/H an hour is still possible. Propellers and hulls reach 0.5 to
//! 1.5 m down (estimate). Limits: no count of boats over a beach at night was found; a count from daylight or another
//! season says little of tonight.

use crate::facts::{Band, Known};
use crate::math::exp;
use crate::quantity::{Length, Quantity, Span};
use crate::{Error, Result};
use serde::Serialize;

/// What the crew counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoatCount {
    /// Boats an hour across the strip watched.
    pub per_hour: f64,
    /// How long they watched in all.
    pub watched: Span,
    /// Width of the strip, from the water's edge seaward.
    pub width: Length,
}

/// 95 % point of the normal law: both ends of a 90 % band.
const Z90: f64 = 1.645;

impl BoatCount {
    /// Boats an hour: 90 % band about the count; the middle of an empty count is that of the chance that would show
    /// none half the time, ln 2 over the hours.
    ///
    /// # Errors
    /// A rate outside 0 to 1000 an hour, a watch outside 1 min to 1000 h, a strip outside 10 m to 20 km.
    pub fn rate(&self) -> Result<Band<f64>> {
        if !(0.0..=1000.0).contains(&self.per_hour) {
            return Err(Error::new(
                format!("{} boats an hour", self.per_hour),
                "0 to 1000",
                "count the boats that cross the water in front, and divide by the hours",
            ));
        }
        self.watched.within("hours of watching boats", Span::of_min(1.0), Span::of_h(1000.0))?;
        self.width.within("width of the water watched", Length::of_m(10.0), Length::of_km(20.0))?;
        let hours = self.watched.h();
        let n = self.per_hour * hours;
        let low = if n > 0.0 { n * cube(1.0 - 1.0 / (9.0 * n) - Z90 / (3.0 * n.sqrt())) } else { 0.0 };
        let m = n + 1.0;
        let high = m * cube(1.0 - 1.0 / (9.0 * m) + Z90 / (3.0 * m.sqrt()));
        let central = if n > 0.0 { n } else { core::f64::consts::LN_2 };
        Ok(Band {
            low: low.clamp(0.0, central) / hours,
            central: central / hours,
            high: high.max(central) / hours,
        })
    }
}

fn cube(x: f64) -> f64 {
    let x = x.max(0.0);
    x * x * x
}

/// How the line lies between rod and bait.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineLie {
    /// Rod tip above the water.
    pub tip_up: Length,
    /// Rod to bait, along the water.
    pub distance: Length,
    /// Depth of the bait.
    pub bait_depth: Known<Length>,
    /// The line floats.
    pub floats: bool,
}

impl LineLie {
    /// Depth of the line at `out` from the rod; negative in the air. `None` where the depth of the bait is not known.
    pub fn depth(&self, out: Length) -> Option<Length> {
        let bait = self.bait_depth.get()?;
        let part = if self.distance > Length::ZERO { (out / self.distance).clamp(0.0, 1.0) } else { 1.0 };
        let straight = (self.tip_up + bait) * part - self.tip_up;
        // Floating line comes up as soon as it slackens.
        Some(if self.floats { straight.min(Length::ZERO) } else { straight })
    }

    /// Length along the water over which the line lies above this depth: all of it when the depth of the bait is not
    /// known or the line floats.
    pub fn shallower_than(&self, keel: Length) -> Length {
        match self.bait_depth {
            Known::Known(bait) if !self.floats && bait > keel => {
                self.distance * ((self.tip_up + keel) / (self.tip_up + bait)).clamp(0.0, 1.0)
            }
            _ => self.distance,
        }
    }
}

/// Chance that a boat crosses the line where it can take it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Crossing {
    /// Boats an hour over the strip.
    pub rate_per_h: Band<f64>,
    /// Hours of soak.
    pub soak: Span,
    /// Length of line shallower than a propeller.
    pub shallow: Band<Length>,
    /// Chance of one boat or more over it in the soak.
    pub chance: Band<f64>,
}

/// The chance in a soak; `keel` is the deepest propeller reckoned with (two thirds and a third of it for the middle and
/// the low end).
///
/// ```
/// use tailrope::{facts::Known, quantity::{Length, Span}, tackle::boats::{BoatCount, LineLie, crossing}};
/// let m = Length::of_m;
/// let lie = LineLie { tip_up: m(2.0), distance: m(400.0), bait_depth: Known::Known(m(8.0)), floats: false };
/// let count = BoatCount { per_hour: 0.5, watched: Span::of_h(10.0), width: m(400.0) };
/// let c = crossing(&lie, &count, Span::of_h(4.0), m(1.5))?;
/// // Shallower than 1 m over 400 x 3/10 = 120 m: 0.5 x 4 x 0.3 = 0.6 boats.
/// assert!((c.chance.central - (1.0 - (-0.6f64).exp())).abs() < 1e-12);
/// # Ok::<(), tailrope::Error>(())
/// ```
///
/// # Errors
/// As [`BoatCount::rate`].
pub fn crossing(lie: &LineLie, count: &BoatCount, soak: Span, keel: Length) -> Result<Crossing> {
    let rate = count.rate()?;
    let shallow =
        Band { low: keel / 3.0, central: keel * (2.0 / 3.0), high: keel }.map(|k| lie.shallower_than(k));
    let chance = |rate: f64, length: Length| {
        let boats = rate * soak.h().max(0.0) * (length / count.width).clamp(0.0, 1.0);
        1.0 - exp(-boats)
    };
    Ok(Crossing {
        rate_per_h: rate,
        soak,
        shallow,
        chance: Band {
            low: chance(rate.low, shallow.low),
            central: chance(rate.central, shallow.central),
            high: chance(rate.high, shallow.high),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn m(x: f64) -> Length {
        Length::of_m(x)
    }
    fn lie(distance: f64, depth: f64) -> LineLie {
        LineLie { tip_up: m(2.0), distance: m(distance), bait_depth: Known::Known(m(depth)), floats: false }
    }
    fn count(per_hour: f64, hours: f64) -> BoatCount {
        BoatCount { per_hour, watched: Span::of_h(hours), width: m(500.0) }
    }

    #[test]
    fn the_band_of_a_count_is_the_exact_one() {
        // Exact 90 % Poisson limits (Garwood): n = 0: 0 to 2.996; n = 5: 1.970 to 10.513; n = 20: 13.255 to 29.062.
        for (n, low, high) in [(5.0, 1.970, 10.513), (20.0, 13.255, 29.062)] {
            let r = count(n, 1.0).rate().unwrap();
            assert!((r.low - low).abs() < 0.02 && (r.high - high).abs() < 0.02, "{n}: {r:?}");
            assert_eq!(r.central, n);
        }
        let none = count(0.0, 1.0).rate().unwrap();
        assert!((none.high - 2.996).abs() < 0.04 && none.low == 0.0, "{none:?}");
        assert!((none.central - 0.693).abs() < 1e-3);
        // Ten times as long without a boat: a tenth.
        assert!((count(0.0, 10.0).rate().unwrap().high - none.high / 10.0).abs() < 1e-12);
    }

    #[test]
    fn a_deep_bait_takes_the_line_out_of_reach_and_a_floating_line_never() {
        assert_eq!(lie(400.0, 1.0).shallower_than(m(1.5)), m(400.0));
        assert!((lie(400.0, 8.0).shallower_than(m(1.0)).m() - 120.0).abs() < 1e-9);
        assert!((lie(400.0, 8.0).depth(m(120.0)).unwrap().m() - 1.0).abs() < 1e-9);
        let floating = LineLie { floats: true, ..lie(400.0, 8.0) };
        assert_eq!(floating.shallower_than(m(1.0)), m(400.0));
        assert_eq!(floating.depth(m(390.0)), Some(Length::ZERO));
        let nobody_knows = LineLie { bait_depth: Known::Unknown, ..lie(400.0, 8.0) };
        assert_eq!(nobody_knows.shallower_than(m(1.0)), m(400.0));
        assert_eq!(nobody_knows.depth(m(100.0)), None);
    }

    #[test]
    fn refuses_counts_that_nobody_made() {
        let say = |c: BoatCount| c.rate().unwrap_err().to_string();
        assert!(say(count(-1.0, 1.0)).contains("boats an hour"));
        assert!(say(count(f64::NAN, 1.0)).contains("boats an hour"));
        assert!(say(count(1.0, 0.0)).contains("hours of watching"));
        assert!(say(BoatCount { width: m(1.0), ..count(1.0, 1.0) }).contains("width of the water"));
    }

    proptest! {
        #[test]
        fn more_boats_longer_soak_more_line_never_less_chance(
            d in 50.0..700.0f64, depth in 0.5..15.0f64, per in 0.0..10.0f64, hours in 0.5..40.0f64,
            soak in 0.0..10.0f64, keel in 0.5..3.0f64, more in 0.0..1.0f64,
        ) {
            let of = |l: LineLie, c: BoatCount, s: f64, k: f64| crossing(&l, &c, Span::of_h(s), m(k)).unwrap().chance;
            let base = of(lie(d, depth), count(per, hours), soak, keel);
            prop_assert!(base.low >= 0.0 && base.low <= base.central && base.central <= base.high && base.high <= 1.0);
            let no_less = |c: Band<f64>| c.central >= base.central - 1e-12 && c.high >= base.high - 1e-12;
            prop_assert!(no_less(of(lie(d, depth), count(per, hours), soak * (1.0 + more), keel)));
            prop_assert!(no_less(of(lie(d, depth), count(per, hours), soak, keel * (1.0 + more))));
            prop_assert!(no_less(of(lie(d * (1.0 + more), depth), count(per, hours), soak, keel)));
            let floating = LineLie { floats: true, ..lie(d, depth) };
            prop_assert!(no_less(of(floating, count(per, hours), soak, keel)));
            prop_assert!(of(lie(d, depth * (1.0 + more)), count(per, hours), soak, keel).central <= base.central + 1e-12);
            if per > 0.0 {
                prop_assert!(no_less(of(lie(d, depth), count(per * (1.0 + more), hours), soak, keel)));
            }
        }
    }
}
