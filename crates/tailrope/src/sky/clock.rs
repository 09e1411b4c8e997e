//! Astronomers' time from an instant.

use crate::{Error, Result};
use jiff::Timestamp;

/// Milliseconds of Unix time at J2000.0 (2000-01-01 12:00), read as UT.
const J2000_MS: i64 = 946_728_000_000;
/// Julian date of J2000.0.
const J2000_JD: f64 = 2451545.0;
/// First and last year in which the series here are good.
const YEARS: (f64, f64) = (1900.0, 2100.0);

/// An instant as the sky reckons it. UT1 is taken as UTC (they differ by less than 0.9 s).
#[derive(Clone, Copy, Debug)]
pub(super) struct Instant {
    days_ut: f64,
    delta_t_s: f64,
}

impl Instant {
    /// Refuses years outside 1900 to 2100.
    pub fn of(at: Timestamp) -> Result<Self> {
        // Milliseconds since J2000 stay below 2^53, so the day keeps its millisecond.
        let days_ut = (at.as_millisecond().saturating_sub(J2000_MS)) as f64 / 86_400_000.0;
        let year = 2000.0 + days_ut / 365.25;
        if !(YEARS.0..YEARS.1).contains(&year) {
            return Err(Error::new(
                format!("the sky is asked for in the year {year:.0}"),
                "years 1900 to 2099",
                "check the date",
            ));
        }
        let delta_t_s = solar_positioning::delta_t::estimate(year).map_err(|e| refused(&e))?;
        Ok(Self { days_ut, delta_t_s })
    }

    /// The same instant moved by `s` seconds.
    pub fn after_s(self, s: f64) -> Self {
        Self { days_ut: self.days_ut + s / 86400.0, ..self }
    }

    /// Julian date, UT.
    pub fn julian_ut(self) -> f64 {
        J2000_JD + self.days_ut
    }

    /// Terrestrial time less universal time, s.
    pub fn delta_t_s(self) -> f64 {
        self.delta_t_s
    }

    /// Days of UT since J2000.0.
    pub fn days_ut(self) -> f64 {
        self.days_ut
    }

    /// Julian centuries of terrestrial time since J2000.0.
    pub fn century_tt(self) -> f64 {
        (self.days_ut + self.delta_t_s / 86400.0) / 36525.0
    }
}

/// Wraps an angle into 0 to 360 degrees.
pub(super) fn turn_deg(degrees: f64) -> f64 {
    let wrapped = degrees - 360.0 * (degrees / 360.0).floor();
    if wrapped >= 360.0 { 0.0 } else { wrapped }
}

/// Wraps an angle into -180 to 180 degrees.
pub(super) fn half_turn_deg(degrees: f64) -> f64 {
    turn_deg(degrees + 180.0) - 180.0
}

/// A refusal of the Sun's own reckoning, in our words.
pub(super) fn refused(e: &solar_positioning::Error) -> Error {
    Error::new(format!("the Sun cannot be placed: {e}"), "years 1900 to 2099", "check date and place")
}
