//! What weather adds to the tide: a gauge's reading less the prediction, carried forward.
//!
//! Water above the prediction is expected to stay: nobody loses a way out by it. Water below it is expected back within a
//! day ([`held`]), since what the wind pushed out it lets in again, and a level that is told too low cuts people off.

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

/// Readings are compared by another clock from this stretch on, h, and from so many on.
const COMPARED_H: f64 = 3.0;
const COMPARED: usize = 6;
/// A clock is doubted when another leaves less than this share of the departure, and the departure is above this, m.
const BETTER: f64 = 0.5;
const DEPARTS_M: f64 = 0.03;

/// What is left of a residual when the share `faded` (0 to 1) of a reading's worth is gone: high water stays, low water
/// goes back to the prediction.
pub fn held(value: Length, faded: f64) -> Length {
    if value.m() < 0.0 { value * (1.0 - faded.clamp(0.0, 1.0)) } else { value }
}

/// A quantity in metres with its change, m/s.
pub(super) type Moving = (f64, f64);

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

    /// What is expected of it at an instant: all of it until the reading; then water above the prediction stays, water
    /// below it is back at it after a day.
    pub fn carried(&self, at: Timestamp) -> Length {
        Length::of_m(self.carried_m(super::unix_s(at)).0)
    }

    /// Half-width of the level's weather share: the spread at first, growing to 0.3 m in a day.
    pub fn error(&self, at: Timestamp) -> Length {
        Length::of_m(self.error_m(super::unix_s(at)).0)
    }

    /// Whether it is so large that a wrong clock, zone or datum is as likely as weather: above `most` either way (the
    /// limits' `level.doubt_m`).
    pub fn is_doubted(&self, most: Length) -> bool {
        let within = self.value.m().abs() <= most.m();
        !within
    }

    /// Whether it may be used: not where the water is doubted to stand so low, since a level told too low cuts people
    /// off.
    pub fn is_usable(&self, most: Length) -> bool {
        !(self.is_doubted(most) && self.value.m() < 0.0)
    }

    /// From when to when it fades, Unix s.
    pub(super) fn fading(&self) -> (f64, f64) {
        let from = super::unix_s(self.at);
        (from, from + FADES_H * 3600.0)
    }

    /// Share of a reading's worth that is gone at a moment, and how much goes in a second.
    fn faded(&self, unix_s: f64) -> Moving {
        let (from, to) = self.fading();
        let runs = (from..to).contains(&unix_s);
        (((unix_s - from) / (to - from)).clamp(0.0, 1.0), if runs { 1.0 / (to - from) } else { 0.0 })
    }

    pub(super) fn carried_m(&self, unix_s: f64) -> Moving {
        let (faded, pace) = self.faded(unix_s);
        (held(self.value, faded).m(), (-self.value.m()).max(0.0) * pace)
    }

    pub(super) fn error_m(&self, unix_s: f64) -> Moving {
        let (faded, pace) = self.faded(unix_s);
        let fresh = self.spread.m().min(UNREAD_M);
        (fresh + (UNREAD_M - fresh) * faded, (UNREAD_M - fresh) * pace)
    }
}

/// By how much a gauge's clock must be wrong for its readings to fit the tide clearly better than as they were read: that
/// of the `shifts`, to be added to their times, which leaves least and less than half of their departure from their own
/// middle. Nothing where none does, or where fewer than three hours or six readings tell nothing.
///
/// A wrong zone moves a semidiurnal tide far; a small diurnal one hardly, so silence proves nothing.
///
/// # Errors
/// A reading, as it is or shifted, outside the stretch of the tide.
pub fn better_clock(tide: &Tide, readings: &[(Timestamp, Length)], shifts: &[Span]) -> Result<Option<Span>> {
    let (Some(first), Some(last)) = (readings.iter().map(|r| r.0).min(), readings.iter().map(|r| r.0).max())
    else {
        return Ok(None);
    };
    if readings.len() < COMPARED || last.duration_since(first).as_secs_f64() < COMPARED_H * 3600.0 {
        return Ok(None);
    }
    let departs = |shift: Span| -> Result<f64> {
        let mut off = Vec::with_capacity(readings.len());
        for (at, level) in readings {
            off.push(level.m() - tide.predicted(crate::quantity::shift(*at, shift.s()))?.m());
        }
        let count = off.len() as f64;
        let middle = off.iter().sum::<f64>() / count;
        Ok((off.iter().map(|d| (d - middle) * (d - middle)).sum::<f64>() / count).sqrt())
    };
    let as_read = departs(Span::of_s(0.0))?;
    if as_read <= DEPARTS_M {
        return Ok(None);
    }
    let mut best: Option<(f64, Span)> = None;
    for shift in shifts.iter().filter(|s| s.s() != 0.0) {
        let left = departs(*shift)?;
        if left < BETTER * as_read && best.is_none_or(|(least, _)| left < least) {
            best = Some((left, *shift));
        }
    }
    Ok(best.map(|(_, shift)| shift))
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

    #[test]
    fn high_water_stays_and_low_water_is_back_after_a_day() {
        let at: Timestamp = "2026-10-17T06:00Z".parse().unwrap();
        let carried = |m: f64, h: f64| {
            let r = Residual::said(Length::of_m(m), at).unwrap();
            r.carried(crate::quantity::shift(at, 3600.0 * h)).m()
        };
        for (m, h, left) in [
            (0.5, -9.0, 0.5),
            (0.5, 0.0, 0.5),
            (0.5, 12.0, 0.5),
            (0.5, 90.0, 0.5),
            (-0.4, -9.0, -0.4),
            (-0.4, 0.0, -0.4),
            (-0.4, 12.0, -0.2),
            (-0.4, 24.0, 0.0),
            (-0.4, 90.0, 0.0),
        ] {
            assert!((carried(m, h) - left).abs() < 1e-9, "{m} {h}: {}", carried(m, h));
        }
        let of = |m: f64| Residual::said(Length::of_m(m), at).unwrap();
        let most = Length::of_m(0.4);
        assert!(of(0.41).is_doubted(most) && of(0.41).is_usable(most) && !of(-0.39).is_doubted(most));
        assert!(of(-0.41).is_doubted(most) && !of(-0.41).is_usable(most) && of(-0.39).is_usable(most));
        assert!(of(-0.41).is_usable(Length::of_m(0.5)));
    }

    #[test]
    fn a_gauge_read_by_a_wrong_clock_is_found_out() {
        let pack = include_str!("../../../tests/reference/fixtures/stations.toml");
        let all = super::super::Stations::read(&crate::facts::PackText::new("s", pack)).unwrap();
        let when = crate::quantity::Interval::new(
            "2026-10-15T00:00Z".parse().unwrap(),
            "2026-10-19T00:00Z".parse().unwrap(),
        );
        let tide = Tide::of_found(&all.get("boston_ma").unwrap(), when.unwrap()).unwrap();
        let newest: Timestamp = "2026-10-17T06:00Z".parse().unwrap();
        let shifts = [-4.0, 4.0].map(|h| Span::of_s(3600.0 * h));
        let read = |wrong_h: f64, count: i32| -> Vec<(Timestamp, Length)> {
            (0..count)
                .map(|i| {
                    let at = crate::quantity::shift(newest, -360.0 * f64::from(i));
                    let level = tide.predicted(crate::quantity::shift(at, 3600.0 * wrong_h)).unwrap();
                    (at, level + Length::of_m(0.2))
                })
                .collect()
        };
        let ask = |wrong_h: f64, count| better_clock(&tide, &read(wrong_h, count), &shifts).unwrap();
        assert_eq!(ask(0.0, 60), None);
        assert_eq!(ask(4.0, 60), Some(shifts[1]));
        assert_eq!(ask(-4.0, 60), Some(shifts[0]));
        // Two hours of readings tell nothing.
        assert_eq!(ask(4.0, 21), None);
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
