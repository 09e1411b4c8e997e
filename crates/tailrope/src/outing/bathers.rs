//! When people bathe: the crew's own counts and hours first, else a plain guess by season and hour.
//!
//! Model: a table of months and clock hours (`data/bathers.toml`, graded *default*: ours). Limits: it knows no holiday,
//! no weather and no lifeguard's hours, and is never a reason to go: an hour in which few are guessed to bathe still
//! warns that nobody knows.

use super::file::{BatherCount, Clock};
use crate::facts::{Grade, PackText};
use crate::{Error, Result};
use jiff::civil::{Date, DateTime, Time, Weekday};
use serde::{Deserialize, Serialize};

/// How likely somebody is in the water.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Guess {
    /// Few bathe at such an hour.
    Few,
    /// Some may.
    Some,
    /// People are likely there.
    Likely,
}

/// One season.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Season {
    /// Its name.
    pub name: String,
    /// Months of the north.
    pub months: Vec<i8>,
    /// Hours in which people are likely in the water, begin and end.
    pub likely: Vec<[Clock; 2]>,
    /// Hours in which some may be.
    pub some: Vec<[Clock; 2]>,
}

/// The guess.
#[derive(Clone, Debug, PartialEq)]
pub struct Bathers {
    seasons: Vec<Season>,
    tropics_deg: f64,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pack {
    schema: String,
    tropics_deg: f64,
    grade: Grade,
    source: String,
    season: Vec<Season>,
}

impl Bathers {
    /// Reads the pack. Refuses one that leaves out a month or names it twice, lacks a season to hold all year in the
    /// tropics, or has hours that end before they begin.
    pub fn read(pack: &PackText<'_>) -> Result<Self> {
        let raw: Pack = pack.read()?;
        if raw.schema != "tailrope.bathers/1" {
            return Err(pack.refuse(
                "schema",
                format!("the schema is `{}`", raw.schema),
                "tailrope.bathers/1",
                "give the pack of bathers",
            ));
        }
        if !(0.0..=90.0).contains(&raw.tropics_deg) {
            let error = format!("tropics_deg is {}", raw.tropics_deg);
            return Err(pack.refuse("tropics_deg", error, "0 to 90", "correct the number"));
        }
        for month in 1..=12 {
            let named = raw.season.iter().flat_map(|s| &s.months).filter(|m| **m == month).count();
            if named != 1 {
                let error = format!("month {month} stands in {named} seasons");
                return Err(pack.refuse("season", error, "each month in one season", "correct the months"));
            }
        }
        for (i, s) in raw.season.iter().enumerate() {
            if s.likely.iter().chain(&s.some).any(|[from, until]| from >= until) {
                let path = format!("season[{i}]");
                let error = format!("hours of `{}` end before they begin", s.name);
                return Err(pack.refuse(&path, error, "begin before end, within a day", "correct the hours"));
            }
        }
        Ok(Self { seasons: raw.season, tropics_deg: raw.tropics_deg, grade: raw.grade, source: raw.source })
    }

    /// The guess for a local time at a latitude.
    pub fn guess(&self, latitude: f64, at: DateTime) -> Guess {
        // July stands for the middle of the warm months of the north.
        let month = if latitude.abs() <= self.tropics_deg {
            7
        } else if latitude < 0.0 {
            (at.month() + 5) % 12 + 1
        } else {
            at.month()
        };
        let Some(season) = self.seasons.iter().find(|s| s.months.contains(&month)) else {
            return Guess::Likely;
        };
        let within = |hours: &[[Clock; 2]]| {
            hours.iter().any(|[from, until]| from.0 <= at.time() && at.time() < until.0)
        };
        if within(&season.likely) {
            Guess::Likely
        } else if within(&season.some) {
            Guess::Some
        } else {
            Guess::Few
        }
    }
}

/// The crew's largest count about this hour of the clock: of the last `days` before the night, within `minutes`.
pub fn counted(
    counts: &[BatherCount],
    night: Date,
    at: Time,
    days: f64,
    minutes: f64,
) -> Option<&BatherCount> {
    let of_day = |t: Time| f64::from(t.hour()) * 60.0 + f64::from(t.minute());
    counts
        .iter()
        .filter(|c| {
            let ago = night.duration_since(c.at.0.date()).as_secs_f64() / 86_400.0;
            let apart = (of_day(c.at.0.time()) - of_day(at)).abs();
            (0.0..=days).contains(&ago) && apart.min(1440.0 - apart) <= minutes
        })
        .max_by_key(|c| c.people)
}

/// On how many days nobody was counted about this hour of the clock, of the kind of day that `at` is: working days for a
/// working day, Saturdays and Sundays for one of them. Days on which anybody was counted then are none of them.
pub fn days_of_none(counts: &[BatherCount], night: Date, at: DateTime, days: f64, minutes: f64) -> usize {
    let weekend = |d: Date| matches!(d.weekday(), Weekday::Saturday | Weekday::Sunday);
    let mut empty: Vec<Date> = counts.iter().map(|c| c.at.0.date()).collect();
    empty.sort_unstable();
    empty.dedup();
    empty.retain(|d| {
        let of_day: Vec<BatherCount> = counts.iter().filter(|c| c.at.0.date() == *d).copied().collect();
        weekend(*d) == weekend(at.date())
            && counted(&of_day, night, at.time(), days, minutes).is_some_and(|c| c.people == 0)
    });
    empty.len()
}

/// A count is no count of the future or of nonsense.
pub(super) fn check(counts: &[BatherCount]) -> Result<(), (String, Error)> {
    match counts.iter().position(|c| c.people > 10_000) {
        None if counts.len() <= 200 => Ok(()),
        None => Err((
            "beach.bather_counts".to_owned(),
            Error::new(format!("{} counts", counts.len()), "at most 200", "keep those of this season"),
        )),
        Some(i) => Err((
            format!("beach.bather_counts[{i}].people"),
            Error::new("so many cannot be counted", "0 to 10000", "write how many were in the water"),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    fn pack(text: &str) -> Result<Bathers> {
        Bathers::read(&PackText::new("bathers.toml", text))
    }

    const SHIPPED: &str = include_str!("../../../../data/bathers.toml");

    #[test]
    fn seasons_turn_with_the_hemisphere_and_never_in_the_tropics() {
        let b = pack(SHIPPED).unwrap();
        let at = |month, hour| date(2026, month, 15).at(hour, 0, 0, 0);
        assert_eq!(b.guess(40.0, at(7, 19)), Guess::Likely);
        assert_eq!(b.guess(40.0, at(1, 19)), Guess::Few);
        assert_eq!(b.guess(-34.0, at(1, 19)), Guess::Likely);
        assert_eq!(b.guess(-34.0, at(7, 19)), Guess::Few);
        for month in 1..=12 {
            assert_eq!(b.guess(10.0, at(month, 19)), Guess::Likely);
            assert_eq!(b.guess(-34.0, at(month, 13)), Guess::Likely);
            assert_eq!(b.guess(40.0, at(month, 2)), Guess::Few);
        }
        assert_eq!(b.guess(26.6, at(10, 19)), Guess::Some);
    }

    #[test]
    fn a_broken_table_is_refused() {
        let e = |from: &str, to: &str| {
            assert!(SHIPPED.contains(from));
            pack(&SHIPPED.replacen(from, to, 1)).unwrap_err().to_string()
        };
        assert!(e("[12, 1, 2]", "[12, 1]").contains("month 2"));
        assert!(e("[12, 1, 2]", "[12, 1, 2, 3]").contains("month 3"));
        assert!(e("\"08:00\", \"20:00\"", "\"20:00\", \"08:00\"").contains("end before they begin"));
        assert!(e("23.5", "99.0").contains("tropics_deg"));
        assert!(e("bathers/1", "bathers/2").contains("schema"));
    }

    #[test]
    fn a_count_holds_for_its_hour_and_its_season() {
        let count = |at: &str, people| BatherCount { at: at.parse().unwrap(), people };
        let all = [count("2026-10-10T18:30", 0), count("2026-10-12T18:10", 3), count("2026-10-11T23:50", 1)];
        let of = |h, m| counted(&all, date(2026, 10, 17), time(h, m, 0, 0), 30.0, 60.0).map(|c| c.people);
        assert_eq!([of(18, 0), of(19, 20), of(19, 40), of(0, 20)], [Some(3), Some(0), None, Some(1)]);
        assert_eq!(counted(&all, date(2027, 10, 17), time(18, 0, 0, 0), 30.0, 60.0), None);
        assert_eq!(counted(&all, date(2026, 10, 1), time(18, 0, 0, 0), 30.0, 60.0), None, "counted later");
    }

    #[test]
    fn nobody_is_counted_by_days_of_one_kind() {
        let count = |at: &str, people| BatherCount { at: at.parse().unwrap(), people };
        // Saturday, Sunday and Saturday, then a Monday; on the second Saturday somebody came later.
        let all = [
            count("2026-10-03T18:00", 0),
            count("2026-10-03T18:30", 0),
            count("2026-10-04T18:00", 0),
            count("2026-10-10T18:00", 0),
            count("2026-10-10T18:20", 1),
            count("2026-10-12T18:00", 0),
        ];
        let of = |day, hour| {
            let night = date(2026, 10, day);
            days_of_none(&all, night, night.at(hour, 0, 0, 0), 30.0, 60.0)
        };
        assert_eq!([of(17, 18), of(16, 18), of(17, 20), of(4, 18)], [2, 1, 0, 2]);
        assert_eq!(days_of_none(&all, date(2026, 12, 5), date(2026, 12, 5).at(18, 0, 0, 0), 30.0, 60.0), 0);
    }
}
