//! What weather adds to the tide: a gauge's reading less the prediction, carried forward.

use super::Tide;
use crate::quantity::{Length, Pressure, Span};
use crate::{Error, Result};
use jiff::Timestamp;
use serde::Serialize;

/// Half-width of the weather's share of the level when no gauge was read, m: wind and pressure easily make
/// 0.3 m on an open coast (recalled); storms make more.
const UNREAD_M: f64 = 0.3;
/// How long a reading stays better than none (ours): its half-width grows evenly to the unread one.
const FADES_H: f64 = 24.0;
/// Readings older than this against the newest are not taken, h.
const TAKEN_H: f64 = 3.0;
/// A residual beyond this is more likely a wrong datum, unit or station than weather, m.
const BELIEVABLE_M: f64 = 3.0;

/// Observed less predicted level.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Residual {
    /// Median of the newest readings' differences.
    pub value: Length,
    /// Largest departure of one of them from the median.
    pub spread: Length,
    /// Time of the newest reading.
    pub at: Timestamp,
    /// How many readings were taken.
    pub readings: usize,
}

impl Residual {
    /// From gauge readings above the same datum as the tide: the newest three hours, at least one reading.
    ///
    /// Refuses a residual above 3 m, which is more likely a wrong datum or unit than weather.
    pub fn from_gauge(tide: &Tide, readings: &[(Timestamp, Length)]) -> Result<Self> {
        let Some(newest) = readings.iter().map(|r| r.0).max() else {
            return Err(Error::new(
                "there is no gauge reading",
                "at least one level with its time",
                "load a gauge file of today, or plan without",
            ));
        };
        let mut differences = Vec::new();
        for (at, level) in readings {
            if newest.duration_since(*at).as_secs_f64() <= TAKEN_H * 3600.0 {
                differences.push(level.m() - tide.predicted(*at)?.m());
            }
        }
        differences.sort_by(f64::total_cmp);
        let median = differences.get(differences.len() / 2).copied().unwrap_or_default();
        let spread = differences.iter().map(|d| (d - median).abs()).fold(0.0, f64::max);
        let spread = Length::of_m(spread);
        Ok(Self { spread, readings: differences.len(), ..Self::said(Length::of_m(median), newest)? })
    }

    /// As somebody says it of an instant: an agency's page, another crew. Refuses what [`Self::from_gauge`] refuses.
    pub fn said(value: Length, at: Timestamp) -> Result<Self> {
        let m = value.m();
        if m.is_nan() || m.abs() > BELIEVABLE_M {
            return Err(Error::new(
                format!("the gauge stands {m:.2} m from the predicted tide"),
                format!("at most {BELIEVABLE_M} m either way"),
                "check the gauge's datum, unit and station against the tide's",
            ));
        }
        Ok(Self { value, spread: Length::ZERO, at, readings: 1 })
    }

    /// Age at an instant; none before the reading.
    pub fn age(&self, at: Timestamp) -> Span {
        Span::of_s(at.duration_since(self.at).as_secs_f64().max(0.0))
    }

    /// Half-width of the level's weather share: the spread at first, growing to 0.3 m in a day.
    pub fn error(&self, at: Timestamp) -> Length {
        let fade = (self.age(at).h() / FADES_H).min(1.0);
        let fresh = self.spread.m().min(UNREAD_M);
        Length::of_m(fresh + (UNREAD_M - fresh) * fade)
    }
}

/// Half-width of the weather's share when no gauge was read.
pub(super) fn unread() -> Length {
    Length::of_m(UNREAD_M)
}

/// Rise of the sea under low air pressure: 1 cm for each hPa below 1013.25 (recalled, high). It is already in a
/// gauge's residual: use one or the other.
pub fn inverse_barometer(air: Pressure) -> Length {
    Length::of_cm((1013.25e2 - air.pa()) / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn low_pressure_lifts_the_sea_by_a_centimetre_each_hectopascal() {
        let rise = |hpa: f64| inverse_barometer(Pressure::of_pa(hpa * 100.0)).cm();
        assert!((rise(1013.25)).abs() < 1e-9 && (rise(983.25) - 30.0).abs() < 1e-9);
        assert!((rise(1033.25) + 20.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn the_error_grows_from_the_spread_to_that_of_no_gauge(
            spread in 0.0..1.0f64, h in 0.0..40.0f64, later in 0.0..10.0f64,
        ) {
            let at: Timestamp = "2026-10-17T06:00Z".parse().unwrap();
            let r = Residual { value: Length::of_m(0.4), spread: Length::of_m(spread), at, readings: 3 };
            let error = |h: f64| r.error(crate::quantity::shift(at, 3600.0 * h)).m();
            prop_assert!((error(0.0) - spread.min(UNREAD_M)).abs() < 1e-9);
            prop_assert!(error(-h) == error(0.0) && error(h) <= error(h + later) + 1e-12);
            prop_assert!((error(24.0 + h) - UNREAD_M).abs() < 1e-12);
        }
    }
}
