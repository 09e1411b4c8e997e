//! A stretch between two instants.

use super::Span;
use crate::{Error, Result};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

/// Longest stretch that tide and sky are reckoned over in one go.
const LONGEST_DAYS: f64 = 800.0;

/// From an instant (included) to a later or equal one (excluded).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Interval {
    from: Timestamp,
    to: Timestamp,
}

impl Interval {
    /// From `from` (included) to `to` (excluded). Refuses an end before its beginning and more than 800 days.
    pub fn new(from: Timestamp, to: Timestamp) -> Result<Self> {
        let days = to.duration_since(from).as_secs_f64() / 86400.0;
        if (0.0..=LONGEST_DAYS).contains(&days) {
            return Ok(Self { from, to });
        }
        Err(Error::new(
            format!("the stretch from {from} to {to} has {days:.1} days"),
            format!("0 to {LONGEST_DAYS} days"),
            "give the beginning before the end, and ask for a shorter stretch",
        ))
    }

    /// The local civil day `date` in `zone`: midnight to midnight, 23 to 25 hours where clocks change.
    pub fn civil_day(date: Date, zone: &TimeZone) -> Result<Self> {
        let midnight = |d: Date| {
            d.at(0, 0, 0, 0)
                .to_zoned_datetime(zone.clone())
                .and_then(|z| z.start_of_day())
                .map(|z| z.timestamp())
        };
        let day = date.tomorrow().and_then(|next| Ok((midnight(date)?, midnight(next)?)));
        let (from, to) = day.map_err(|e| {
            Error::new(
                format!("the day {date} cannot be placed: {e}"),
                "years 1900 to 2100",
                "check the date",
            )
        })?;
        Self::new(from, to)
    }

    /// First instant.
    pub fn from(self) -> Timestamp {
        self.from
    }

    /// First instant after it.
    pub fn to(self) -> Timestamp {
        self.to
    }

    /// Whether `at` lies in it.
    pub fn contains(self, at: Timestamp) -> bool {
        self.from <= at && at < self.to
    }

    /// How long it lasts.
    pub fn length(self) -> Span {
        Span::of_s(self.to.duration_since(self.from).as_secs_f64())
    }

    /// What both have in common, if they meet at all.
    pub fn overlap(self, other: Self) -> Option<Self> {
        let (from, to) = (self.from.max(other.from), self.to.min(other.to));
        (from < to).then_some(Self { from, to })
    }

    /// The instant `s` seconds after the first, to the millisecond.
    pub(crate) fn after_s(self, s: f64) -> Timestamp {
        shift(self.from, s)
    }

    /// Seconds from the first instant to the end.
    pub(crate) fn seconds(self) -> f64 {
        self.length().s()
    }
}

/// `at` moved by `s` seconds, rounded to the millisecond, kept within what a timestamp can hold.
pub(crate) fn shift(at: Timestamp, s: f64) -> Timestamp {
    #[allow(clippy::cast_possible_truncation)] // saturates, and `s` is below 800 days
    let ms = at.as_millisecond().saturating_add((s * 1000.0).round() as i64);
    Timestamp::from_millisecond(ms).unwrap_or(if s < 0.0 { Timestamp::MIN } else { Timestamp::MAX })
}

/// The minute in which an instant is shown: the nearest, half a minute up. Every face shows clocks through this.
pub fn to_the_minute(at: Timestamp) -> Timestamp {
    at.round(jiff::Unit::Minute).unwrap_or(at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_day_has_the_hours_the_clocks_give_it() {
        let zone = TimeZone::get("America/New_York").unwrap();
        let hours = |y, m, d| Interval::civil_day(date(y, m, d), &zone).unwrap().length().h();
        assert_eq!([hours(2026, 3, 8), hours(2026, 3, 9), hours(2026, 11, 1)], [23.0, 24.0, 25.0]);
    }

    #[test]
    fn clocks_are_rounded_to_the_nearest_minute() {
        let shown = |t: &str| to_the_minute(t.parse().unwrap()).to_string();
        assert_eq!(shown("2026-10-17T19:40:29.999Z"), "2026-10-17T19:40:00Z");
        assert_eq!(shown("2026-10-17T19:40:30Z"), "2026-10-17T19:41:00Z");
        assert_eq!(shown("2026-12-31T23:59:31Z"), "2027-01-01T00:00:00Z");
        let last = to_the_minute(Timestamp::MAX);
        assert!(Timestamp::MAX.duration_since(last).as_secs() < 60, "{last}");
    }

    #[test]
    fn refuses_backwards_and_endless() {
        let t = |s| Timestamp::from_second(s).unwrap();
        assert!(Interval::new(t(1), t(0)).is_err());
        assert!(Interval::new(t(0), t(801 * 86400)).is_err());
        assert!(Interval::new(Timestamp::MIN, Timestamp::MAX).is_err());
        let i = Interval::new(t(0), t(10)).unwrap();
        assert!(i.contains(t(0)) && !i.contains(t(10)));
        assert_eq!(i.overlap(Interval::new(t(10), t(20)).unwrap()), None);
        assert_eq!(i.overlap(Interval::new(t(4), t(20)).unwrap()).unwrap().length().s(), 6.0);
    }
}
