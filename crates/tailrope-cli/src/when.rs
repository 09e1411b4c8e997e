//! Dates, zones and places as they are typed, and times as they are shown.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
pub use tailrope::outing::windows::local;
use tailrope::quantity::{Interval, Place};
use tailrope::{Error, Result};

/// Most days that one call answers.
const MOST_DAYS: u16 = 62;

/// The zone of an IANA name.
pub fn zone(name: &str) -> Result<TimeZone> {
    TimeZone::get(name).map_err(|_| {
        Error::new(
            format!("no time zone `{}`", name.chars().take(40).collect::<String>()),
            "an IANA name such as America/Chicago or Africa/Windhoek",
            "write the zone of the beach",
        )
    })
}

/// A zone's name as a flag value.
pub fn zone_name(text: &str) -> Result<String> {
    zone(text.trim()).map(|_| text.trim().to_owned())
}

/// A date as a flag value.
pub fn date(text: &str) -> Result<Date> {
    text.trim().parse().map_err(|_| {
        Error::new(
            format!("`{}` is not a date", text.chars().take(40).collect::<String>()),
            "year-month-day",
            "write it like 2026-10-17",
        )
    })
}

/// Degrees north and east as a flag value: `26.07,-97.16`, `26.07 -97.16`, `26.07N 97.16W`.
pub fn place(text: &str) -> Result<Place> {
    text.parse()
}

/// The days from `first` on, and the stretch they span in `zone`.
pub fn days(first: Date, n: u16, zone: &TimeZone) -> Result<(Vec<Date>, Interval)> {
    if !(1..=MOST_DAYS).contains(&n) {
        return Err(Error::new(format!("{n} days"), format!("1 to {MOST_DAYS}"), "ask for fewer days"));
    }
    let list: Vec<Date> = first.series(jiff::Span::new().days(1)).take(usize::from(n)).collect();
    let last = list.last().copied().unwrap_or(first);
    let from = Interval::civil_day(first, zone)?.from();
    let to = Interval::civil_day(last, zone)?.to();
    Ok((list, Interval::new(from, to)?))
}

/// A moment of reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Now {
    /// An instant.
    Instant(Timestamp),
    /// A clock time of the beach.
    Local(DateTime),
}

impl Now {
    /// The instant, for a beach in this zone. A clock that a change repeats is read the first time.
    pub fn at(self, zone: &TimeZone) -> Result<Timestamp> {
        match self {
            Self::Instant(at) => Ok(at),
            Self::Local(local) => zone.to_ambiguous_timestamp(local).compatible().map_err(|_| {
                Error::new(
                    format!("{local} lies outside the calendar"),
                    "years 1900 to 2100",
                    "check the date",
                )
            }),
        }
    }
}

/// A moment of reading as a flag value.
pub fn now(text: &str) -> Result<Now> {
    let text = text.trim();
    if let Ok(at) = text.parse::<Timestamp>() {
        return Ok(Now::Instant(at));
    }
    let local = (text.len() > 10).then(|| text.parse::<DateTime>().ok()).flatten();
    local.map(Now::Local).ok_or_else(|| {
        Error::new(
            format!("`{}` is not a moment", text.chars().take(40).collect::<String>()),
            "a day with its clock time, like 2026-10-17T15:00 or 2026-10-17T20:00Z",
            "write day and clock",
        )
    })
}

/// Local clock: `19:40`, rounded to the minute.
pub fn clock(at: Timestamp, zone: &TimeZone) -> String {
    tailrope::outing::windows::clock(at, zone)
}

/// Day as a heading: `Sat 2026-10-17`.
pub fn day(date: Date) -> String {
    date.strftime("%a %Y-%m-%d").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_no_date_place_or_zone() {
        assert!(date("17.10.2026").unwrap_err().remedy.contains("2026-10-17"));
        assert!(date("2026-02-30").is_err());
        assert!(place("26.07").is_err());
        assert!(place("126.07,-97.16").unwrap_err().error.contains("latitude"));
        assert!(zone("Texas").is_err());
    }

    #[test]
    fn a_moment_is_an_instant_or_the_clock_of_the_beach() {
        let zone = zone("America/Chicago").unwrap();
        let at = |t: &str| now(t).unwrap().at(&zone).unwrap().to_string();
        assert_eq!(at("2026-10-17T15:00"), "2026-10-17T20:00:00Z");
        assert_eq!(at("2026-10-17T15:00Z"), "2026-10-17T15:00:00Z");
        assert_eq!(at("2026-10-17T15:00-07:00"), "2026-10-17T22:00:00Z");
        for bad in ["2026-10-17", "15:00", "yesterday", ""] {
            assert!(now(bad).unwrap_err().allowed.contains("clock time"), "{bad}");
        }
    }

    #[test]
    fn a_day_with_a_clock_change_is_an_hour_longer_or_shorter() {
        let zone = zone("America/Chicago").unwrap();
        let hours = |d: &str| days(date(d).unwrap(), 1, &zone).unwrap().1.length().h();
        assert_eq!([hours("2026-11-01"), hours("2026-03-08"), hours("2026-10-17")], [25.0, 23.0, 24.0]);
        assert!(days(date("2026-10-17").unwrap(), 63, &zone).is_err());
    }
}
