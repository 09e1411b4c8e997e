//! The belly of a line across a uniform current, and the load it puts on what holds its far end.
//!
//! Exact case of the cable equations without weight and skin friction: the tension is the same everywhere,
//! cot of the angle grows linearly, and the shape is a catenary with a = T/D. Its limits: uniform current square
//! to the straight line between the ends; real currents turn and fade, for those use [`super::Cable`].

use super::LineLoad;
use crate::math::{atan, cos, cosh, hypot, sin, sinh, tanh};
use crate::quantity::{Angle, Force, Length};
use crate::{Error, Result};

/// Half span over a: beyond this the line streams away with the current (end angle 89.7 degrees).
const STREAMS_AWAY: f64 = 6.0;

/// A line across a uniform current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Belly {
    /// Tension, the same along the whole line.
    pub tension: Force,
    /// T/D, the radius of the bend where the line is square to the current; infinite without current.
    pub a: Length,
    /// Greatest distance of the line from the straight one.
    pub sag: Length,
    /// Length of line between the ends.
    pub length: Length,
    /// Angle at the ends between the line and the straight one.
    pub end_angle: Angle,
    /// Whole pull down the current, both ends together.
    pub down_pull: Force,
}

/// What the far end must resist.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnchorLoad {
    /// Down the current.
    pub downstream: Force,
    /// Along the straight line to the rod.
    pub shoreward: Force,
    /// Both together.
    pub resultant: Force,
}

impl Belly {
    /// From the tension at which the line is kept. Refuses one too small to hold the line across the current.
    ///
    /// ```
    /// use tailrope::{quantity::{Force, Length}, water::{Belly, LineLoad}};
    /// let b = Belly::at_tension(Length::of_m(200.0), Force::of_n(60.0), LineLoad::of_n_per_m(0.2)).unwrap();
    /// assert!((b.sag.m() - 16.82).abs() < 0.005);
    /// ```
    pub fn at_tension(span: Length, tension: Force, drag: LineLoad) -> Result<Self> {
        let (b_m, t_n, d_n_m) = (span.m(), tension.n(), drag.n_per_m());
        check(b_m, d_n_m)?;
        let least_n = d_n_m * b_m / (2.0 * STREAMS_AWAY);
        if !(t_n.is_finite() && t_n > 0.0 && t_n >= least_n) {
            return Err(Error::new(
                format!("{t_n} N cannot hold {b_m} m of line across a current of {d_n_m} N/m"),
                format!("at least {least_n} N"),
                "take thinner line, less of it, or more tension",
            ));
        }
        Ok(Self::of(b_m, t_n, d_n_m))
    }

    /// From the length of line between the ends. Refuses one not longer than the span (it would have to
    /// stretch: see [`super::ElasticCatenary`]) or that streams away.
    pub fn of_length(span: Length, length: Length, drag: LineLoad) -> Result<Self> {
        let (b_m, l_m, d_n_m) = (span.m(), length.m(), drag.n_per_m());
        check(b_m, d_n_m)?;
        let ratio = l_m / b_m;
        let longest = sinh(STREAMS_AWAY) / STREAMS_AWAY;
        if !(ratio > 1.0 && ratio <= longest && d_n_m > 0.0) {
            return Err(Error::new(
                format!("{l_m} m of line over {b_m} m in a current of {d_n_m} N/m has no belly to reckon"),
                format!("more than {b_m} m and at most {} m of line, in a current", longest * b_m),
                "check the length of line out and the distance",
            ));
        }
        // sinh(x)/x grows with x: bisect.
        let (mut low, mut high) = (0.0, STREAMS_AWAY);
        for _ in 0..100 {
            let mid = 0.5 * (low + high);
            if sinh(mid) < ratio * mid { low = mid } else { high = mid }
        }
        let half = 0.5 * (low + high);
        Ok(Self::of(b_m, d_n_m * b_m / (2.0 * half), d_n_m))
    }

    fn of(b_m: f64, t_n: f64, d_n_m: f64) -> Self {
        let half = d_n_m * b_m / (2.0 * t_n);
        let a_m = t_n / d_n_m;
        let (sag_m, length_m) = if half == 0.0 {
            (0.0, b_m)
        } else {
            // cosh(x) - 1 = 2 sinh(x/2)^2 keeps its digits for a small belly.
            (2.0 * a_m * sinh(half / 2.0) * sinh(half / 2.0), 2.0 * a_m * sinh(half))
        };
        Self {
            tension: Force::of_n(t_n),
            a: Length::of_m(a_m),
            sag: Length::of_m(sag_m),
            length: Length::of_m(length_m),
            end_angle: Angle::of_rad(atan(sinh(half))),
            down_pull: Force::of_n(2.0 * t_n * tanh(half)),
        }
    }

    /// A point of the line at `along` from one end on the straight line: its distance from it down the
    /// current. Beyond the ends the shape goes on; `span` as given.
    pub fn offset(&self, span: Length, along: Length) -> Length {
        if !self.a.m().is_finite() {
            return Length::ZERO;
        }
        let x = (along.m() - span.m() / 2.0) / self.a.m();
        self.sag - self.a * (cosh(x) - 1.0)
    }

    /// What an anchor at the far end must resist: the tension along the arriving line, and the drag of the
    /// bait down the current.
    pub fn anchor_load(&self, bait: Force) -> AnchorLoad {
        let angle = self.end_angle.rad();
        let downstream = self.tension * sin(angle) + bait;
        let shoreward = self.tension * cos(angle);
        AnchorLoad { downstream, shoreward, resultant: Force::of_n(hypot(downstream.n(), shoreward.n())) }
    }
}

/// Sag of a small belly, D B^2/(8T): within 1 % while it is less than an eleventh of the span.
pub fn small_sag(span: Length, tension: Force, drag: LineLoad) -> Length {
    Length::of_m(drag.n_per_m() * span.m() * span.m() / (8.0 * tension.n()))
}

/// Radius of the bend of a line of `tension` where water of `drag` crosses it square: T/D.
pub fn bend_radius(tension: Force, drag: LineLoad) -> Length {
    Length::of_m(tension.n() / drag.n_per_m())
}

fn check(b_m: f64, d_n_m: f64) -> Result<()> {
    if b_m.is_finite() && b_m > 0.0 && d_n_m.is_finite() && d_n_m >= 0.0 {
        return Ok(());
    }
    Err(Error::new(
        format!("a span of {b_m} m in a current of {d_n_m} N/m"),
        "a span above zero, a drag of zero or more",
        "give the distance between rod and bait and the speed of the current",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn length_and_tension_are_inverse(b in 20.0..400.0f64, t in 10.0..300.0f64, d in 0.02..0.5f64) {
            let span = Length::of_m(b);
            prop_assume!(d * b / (2.0 * t) > 0.02 && d * b / (2.0 * t) < 4.0);
            let there = Belly::at_tension(span, Force::of_n(t), LineLoad::of_n_per_m(d)).unwrap();
            let back = Belly::of_length(span, there.length, LineLoad::of_n_per_m(d)).unwrap();
            prop_assert!((back.tension.n() / t - 1.0).abs() < 1e-8);
            prop_assert!((there.offset(span, span / 2.0) - there.sag).m().abs() < 1e-9);
            prop_assert!(there.offset(span, span).m().abs() < 1e-6);
        }

        #[test]
        fn more_current_on_the_same_line_never_lowers_load_or_tension(
            b in 20.0..400.0f64, slack in 1.002..1.6f64, d in 0.01..0.5f64, more in 1.0..3.0f64,
        ) {
            let load = |d| {
                let belly = Belly::of_length(Length::of_m(b), Length::of_m(b * slack), LineLoad::of_n_per_m(d));
                belly.unwrap().anchor_load(Force::of_n(3.0))
            };
            prop_assert!(load(d * more).resultant.n() >= load(d).resultant.n());
            prop_assert!(load(d * more).downstream.n() >= load(d).downstream.n());
        }

        #[test]
        fn more_current_at_the_same_tension_bends_more(
            b in 20.0..400.0f64, t in 30.0..300.0f64, d in 0.01..0.2f64, more in 1.0..3.0f64,
        ) {
            let at = |d| Belly::at_tension(Length::of_m(b), Force::of_n(t), LineLoad::of_n_per_m(d)).unwrap();
            let (less, more) = (at(d), at(d * more));
            prop_assert!(more.sag >= less.sag && more.down_pull >= less.down_pull);
            prop_assert!(more.anchor_load(Force::ZERO).downstream >= less.anchor_load(Force::ZERO).downstream);
        }
    }

    #[test]
    fn without_current_the_line_is_straight() {
        let b = Belly::at_tension(Length::of_m(100.0), Force::of_n(20.0), LineLoad::ZERO).unwrap();
        assert_eq!((b.sag.m(), b.length.m(), b.end_angle.rad(), b.down_pull.n()), (0.0, 100.0, 0.0, 0.0));
        assert_eq!(b.offset(Length::of_m(100.0), Length::of_m(50.0)), Length::ZERO);
    }

    #[test]
    fn refuses_a_tension_that_lets_the_line_stream_away() {
        let e =
            Belly::at_tension(Length::of_m(200.0), Force::of_n(1.0), LineLoad::of_n_per_m(0.2)).unwrap_err();
        assert!(e.error.contains("cannot hold") && e.allowed.contains("3.33"), "{e}");
        assert!(Belly::at_tension(Length::of_m(f64::NAN), Force::of_n(1.0), LineLoad::ZERO).is_err());
        assert!(
            Belly::of_length(Length::of_m(200.0), Length::of_m(199.0), LineLoad::of_n_per_m(0.2)).is_err()
        );
    }
}
