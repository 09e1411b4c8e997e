//! The sea offshore: one train of waves in deep water.

use crate::quantity::{Angle, Length, Quantity, Span};
use crate::{Error, Result};
use serde::Serialize;

/// A wave train as a buoy or a forecast gives it: significant height, peak period, direction against the beach.
///
/// Bounds: height 0 to 20 m, period 1 to 30 s, direction within 90 degrees of the line square to the beach
/// (waves from behind the beach do not arrive). Two trains at once are two of these: plan on the worse, never on
/// a mean of the periods.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Swell {
    height: Length,
    period: Span,
    off_normal: Angle,
}

impl Swell {
    /// From significant height and peak period in deep water and the angle between the waves' way and the line
    /// square to the beach (positive or negative, by the crew's own convention of left and right).
    pub fn new(height: Length, period: Span, off_normal: Angle) -> Result<Self> {
        height.within("the wave height", Length::ZERO, Length::of_m(20.0))?;
        period.within("the wave period", Span::of_s(1.0), Span::of_s(30.0))?;
        if off_normal.deg().is_nan() || off_normal.deg().abs() > 90.0 {
            return Err(Error::new(
                format!("the waves come {:.0} degrees off the line square to the beach", off_normal.deg()),
                "-90 to 90 degrees",
                "beyond that they run along the beach or off it: plan with the refracted rest, or with none",
            ));
        }
        Ok(Self { height, period, off_normal })
    }

    /// Waves square to the beach.
    pub fn square_on(height: Length, period: Span) -> Result<Self> {
        Self::new(height, period, Angle::ZERO)
    }

    /// Significant height in deep water.
    pub fn height(self) -> Length {
        self.height
    }

    /// Peak period.
    pub fn period(self) -> Span {
        self.period
    }

    /// Angle off the line square to the beach.
    pub fn off_normal(self) -> Angle {
        self.off_normal
    }

    /// Greatest height that waves of a period can have in deep water before they break there: a seventh of their length
    /// (Michell 1893, any coastal manual).
    pub fn steepest(period: Span) -> Length {
        Length::of_m(super::linear::deep_length_m(period.s()) / 7.0)
    }

    /// Refuses waves steeper than water can stand.
    pub(super) fn stands(self) -> Result<()> {
        let most = Self::steepest(self.period);
        if self.height <= most {
            return Ok(());
        }
        Err(Error::new(
            format!(
                "waves {:.1} m high every {:.1} s are steeper than 1 in 7: no such waves stand",
                self.height.m(),
                self.period.s()
            ),
            format!("at most {:.2} m at that period", most.m()),
            "check height and period: one of them is misread, or in another unit",
        ))
    }

    /// The same waves, square to the beach.
    #[must_use]
    pub fn squared(self) -> Self {
        Self { off_normal: Angle::ZERO, ..self }
    }

    /// The same waves from another angle (within 90 degrees).
    pub(super) fn turned(self, off_normal: Angle) -> Self {
        Self { off_normal, ..self }
    }

    /// The same waves with another height, at most 20 m.
    pub(super) fn as_high_as(self, height: Length) -> Self {
        Self { height: height.max(Length::ZERO).min(Length::of_m(20.0)), ..self }
    }

    pub(super) fn h0_m(self) -> f64 {
        self.height.m()
    }

    pub(super) fn deep_length_m(self) -> f64 {
        super::linear::deep_length_m(self.period.s())
    }
}

/// Angle of waves off the line square to a beach, from the compass directions that buoys and charts give:
/// where waves come *from*, and where the beach *faces* (its seaward normal), both degrees true.
pub fn off_normal(waves_from: Angle, beach_faces: Angle) -> Angle {
    let d = waves_from.deg() - beach_faces.deg();
    Angle::of_deg(d - 360.0 * (d / 360.0).round())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_no_sea() {
        let new = |h, t, a| Swell::new(Length::of_m(h), Span::of_s(t), Angle::of_deg(a));
        assert!(new(1.0, 8.0, 10.0).is_ok());
        assert!(new(-0.1, 8.0, 0.0).is_err() && new(1.0, 0.5, 0.0).is_err() && new(1.0, 8.0, 91.0).is_err());
        assert!(new(f64::NAN, 8.0, 0.0).is_err() && new(1.0, 8.0, f64::NAN).is_err());
    }

    #[test]
    fn no_wave_is_steeper_than_one_in_seven() {
        // 9.80665 x 36 / 2 pi / 7 = 8.027 m at 6 s.
        assert!((Swell::steepest(Span::of_s(6.0)).m() - 8.027).abs() < 0.001);
        let of = |h| Swell::square_on(Length::of_m(h), Span::of_s(6.0)).unwrap().stands();
        assert!(of(8.0).is_ok());
        let e = of(8.1).unwrap_err();
        assert!(e.error.contains("1 in 7") && e.allowed.contains("8.03 m"), "{e}");
    }

    #[test]
    fn directions_wrap() {
        let off = |from, faces| off_normal(Angle::of_deg(from), Angle::of_deg(faces)).deg();
        assert!((off(350.0, 10.0) + 20.0).abs() < 1e-9 && (off(95.0, 90.0) - 5.0).abs() < 1e-9);
    }
}
