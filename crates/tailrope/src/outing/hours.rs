//! The hours of a night as instants: clocks that cross midnight, and nights on which clocks change.

use super::file::{Clock, Night};
use crate::facts::Known;
use crate::{Error, Result};
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// The hours of one night.
#[derive(Clone, Debug)]
pub struct Hours {
    /// Zone of the beach.
    pub zone: TimeZone,
    /// Its IANA name.
    pub zone_name: String,
    /// Wanted begin.
    pub from: Timestamp,
    /// Wanted end.
    pub until: Timestamp,
    /// Last bait in; the wanted end when not said.
    pub last_bait_in: Timestamp,
    /// Whether the crew said when the last bait comes in.
    pub last_bait_said: bool,
    /// Home.
    pub home_by: Known<Timestamp>,
    /// Whether a clock change lies within the night or the day before it.
    pub clock_change: bool,
    date: Date,
    begin: Clock,
}

/// Longest stretch taken for one night, h.
const LONGEST_H: f64 = 16.0;

impl Hours {
    /// Reads the night in its zone.
    ///
    /// A clock at or before the begin belongs to the next day. A clock that a spring change skips is read
    /// after the change, one that an autumn change repeats is read the first time.
    pub fn of(night: &Night, zone_name: &str) -> Result<Self> {
        let zone = TimeZone::get(zone_name).map_err(|_| {
            Error::new(
                format!("there is no time zone `{zone_name}`"),
                "an IANA name",
                "write the zone of the beach",
            )
        })?;
        let date = night.date.0;
        let from = instant(&zone, date.to_datetime(night.from.0))?;
        let at = |clock: Clock| at_or_after(&zone, date, night.from, clock);
        let until = at(night.until)?;
        let last = match night.last_bait_in {
            Known::Known(clock) => at(clock)?,
            Known::Unknown => until,
        };
        let home_by = match night.home_by {
            Known::Known(clock) => Known::Known(at(clock)?),
            Known::Unknown => Known::Unknown,
        };
        if last > until {
            return Err(Error::new(
                format!(
                    "the last bait comes in at {}, after the wanted end {}",
                    clock_words(last, &zone),
                    night.until
                ),
                "a time between begin and end",
                "bring it in earlier, or stay longer",
            )
            .within("night.last_bait_in"));
        }
        let long = Self::hours_between(from, until);
        if long > LONGEST_H {
            return Err(Error::new(
                format!("from {} until {} are {long:.0} hours", night.from, night.until),
                format!("at most {LONGEST_H:.0} hours, the end after the begin"),
                "write the hours of one night; an end at or before the begin means the next day",
            )
            .within("night.until"));
        }
        let before = from.checked_sub(SignedDuration::from_hours(24)).unwrap_or(from);
        let clock_change = zone.to_offset(before) != zone.to_offset(until);
        Ok(Self {
            zone_name: zone_name.to_owned(),
            from,
            until,
            last_bait_in: last,
            last_bait_said: !night.last_bait_in.is_unknown(),
            home_by,
            clock_change,
            date,
            begin: night.from,
            zone,
        })
    }

    /// A clock of this night as an instant: at or after the begin.
    pub fn at(&self, clock: Clock) -> Result<Timestamp> {
        at_or_after(&self.zone, self.date, self.begin, clock)
    }

    /// A local date and time as an instant.
    pub fn instant(&self, at: DateTime) -> Result<Timestamp> {
        instant(&self.zone, at)
    }

    /// Local civil time of an instant.
    pub fn civil(&self, at: Timestamp) -> DateTime {
        self.zone.to_datetime(at)
    }

    /// Local date of the evening.
    pub fn date(&self) -> Date {
        self.date
    }

    /// Whole and part hours from one instant to another.
    pub fn hours_between(from: Timestamp, to: Timestamp) -> f64 {
        to.duration_since(from).as_secs_f64() / 3600.0
    }
}

/// An age as one says it: in hours, of more than a hundred days in days, of more than two years in years.
pub(in crate::outing) fn age_words(h: f64) -> String {
    match h {
        h if h < 2400.0 => format!("{h:.0} h"),
        h if h < 2.0 * 8766.0 => format!("{:.0} days", h / 24.0),
        h => format!("{:.0} years", h / 8766.0),
    }
}

fn clock_words(at: Timestamp, zone: &TimeZone) -> String {
    super::windows::clock(at, zone)
}

fn instant(zone: &TimeZone, at: DateTime) -> Result<Timestamp> {
    zone.to_ambiguous_timestamp(at).compatible().map_err(|_| {
        Error::new(format!("{at} lies outside the calendar"), "years 1900 to 2100", "check the date")
    })
}

fn at_or_after(zone: &TimeZone, date: Date, begin: Clock, clock: Clock) -> Result<Timestamp> {
    let day = if clock.0 <= begin.0 {
        date.tomorrow()
            .map_err(|_| Error::new("the date has no next day", "years 1900 to 2100", "check the date"))?
    } else {
        date
    };
    instant(zone, day.to_datetime(clock.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hours(date: &str, from: &str, until: &str, last: &str, zone: &str) -> Result<Hours> {
        let night = Night {
            date: date.parse()?,
            from: from.parse()?,
            until: until.parse()?,
            last_bait_in: Known::Known(last.parse()?),
            home_by: Known::Unknown,
            baits_out: Known::Unknown,
        };
        Hours::of(&night, zone)
    }

    #[test]
    fn hours_cross_midnight() {
        let h = hours("2026-10-17", "18:30", "01:30", "22:30", "America/Chicago").unwrap();
        assert_eq!(h.from.to_string(), "2026-10-17T23:30:00Z");
        assert_eq!(h.until.to_string(), "2026-10-18T06:30:00Z");
        assert_eq!(h.last_bait_in.to_string(), "2026-10-18T03:30:00Z");
        assert!(!h.clock_change);
    }

    #[test]
    fn hours_cross_a_clock_change() {
        let h = hours("2026-10-31", "20:00", "04:00", "01:30", "America/Chicago").unwrap();
        assert_eq!(Hours::hours_between(h.from, h.until), 9.0, "the night has one hour more");
        assert_eq!(Hours::hours_between(h.from, h.last_bait_in), 5.5, "01:30 is read the first time");
        assert!(h.clock_change);
        let h = hours("2026-03-07", "20:00", "04:00", "02:30", "America/Chicago").unwrap();
        assert_eq!(Hours::hours_between(h.from, h.until), 7.0);
        assert_eq!(
            h.civil(h.last_bait_in).to_string(),
            "2026-03-08T03:30:00",
            "a skipped clock is read after the change"
        );
    }

    #[test]
    fn refuses_a_bait_left_out() {
        let e = hours("2026-10-17", "18:30", "23:30", "01:30", "America/Chicago").unwrap_err();
        assert!(e.error.contains("after the wanted end"), "{e}");
        assert!(hours("2026-10-17", "18:30", "23:30", "20:00", "America/Nowhere").is_err());
    }
}
