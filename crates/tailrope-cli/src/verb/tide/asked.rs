//! Whose tide is meant: a station by its id, the nearest to a beach, or a typed table.

use super::Tide;
use crate::answer::Failure;
use crate::desk::Desk;
use crate::input;
use crate::when::{self, Now};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, Unit, ZonedDateTimeRound};
use std::path::Path;
use tailrope::facts::PackText;
use tailrope::outing::limits::{Border, Limits};
use tailrope::quantity::{Interval, Length, Place};
use tailrope::sea::report::{self, Clock};
use tailrope::sea::tide::{Choice, Found, NodeRule, Stations, Tide as Model, TideTable, TypedTable};
use tailrope::{Error, Result};

/// Whose tide it is.
pub struct Source {
    /// The station, unless a table is read.
    pub found: Option<Found>,
    /// The typed table.
    pub table: Option<TideTable>,
    /// How the station was chosen for a beach.
    pub chosen: Option<Chosen>,
    /// Zone of all shown times, by name.
    pub zone_name: String,
    /// The same.
    pub zone: TimeZone,
    /// All stations, for gauges.
    pub stations: Option<Stations>,
}

/// How a station was chosen for a beach.
pub struct Chosen {
    /// The beach.
    pub place: Place,
    /// The stations near by.
    pub choice: Choice,
    /// Beyond this a station is called far.
    pub far: Length,
}

impl Source {
    /// The tide over a stretch.
    pub fn tide(&self, when: Interval, nodes: Option<NodeRule>) -> Result<Model> {
        match (&self.table, &self.found) {
            (Some(table), _) => Model::of_table(table, when).map_err(|e| e.within("--table")),
            (None, Some(found)) => Model::of_found_with(found, when, nodes.unwrap_or_default()),
            (None, None) => Err(Error::new("no tide is named", "a station, a place or a table", "name one")),
        }
    }

    /// The place the tide is for; nothing of a table, which does not say.
    pub fn place(&self) -> Option<Place> {
        self.chosen.as_ref().map(|c| c.place).or_else(|| self.found.as_ref().map(Found::place))
    }

    /// What a table covers.
    pub fn covers(&self) -> Option<(Timestamp, Timestamp)> {
        let waters = &self.table.as_ref()?.waters;
        Some((waters.first()?.at, waters.last()?.at))
    }

    /// The first full hour of a stretch.
    pub fn first_step(&self, stretch: Interval) -> Timestamp {
        let round = ZonedDateTimeRound::new().smallest(Unit::Hour).mode(jiff::RoundMode::Ceil);
        let full = stretch.from().to_zoned_datetime(self.zone.clone()).round(round);
        full.map_or(stretch.from(), |z| z.timestamp())
    }
}

impl Tide {
    pub(super) fn source(&self, desk: &Desk) -> Result<Source, Failure> {
        if let Some(file) = &self.table {
            return self.typed(file, desk);
        }
        let stations = desk.packs.stations()?;
        let (found, chosen) = match (&self.named.as_ref().or(self.station.as_ref()), self.at) {
            (Some(id), _) => (stations.get(id)?, None),
            (None, Some(place)) => {
                let chosen = choose(&stations, place, desk)?;
                let taken = chosen.choice.station().map(|n| n.found.clone());
                (taken.ok_or_else(|| no_station(place))?, Some(chosen))
            }
            (None, None) => return Err(no_name().into()),
        };
        let zone_name = self.zone.clone().unwrap_or_else(|| found.zone().to_owned());
        let zone = when::zone(&zone_name)?;
        Ok(Source { found: Some(found), table: None, chosen, zone_name, zone, stations: Some(stations) })
    }

    /// A table typed into a file, or the high and low waters of an agency's answer.
    fn typed(&self, file: &Path, desk: &Desk) -> Result<Source, Failure> {
        let text = input::read(file)?;
        let place = file.display().to_string();
        let said = self.zone.as_deref().map(when::zone).transpose()?;
        let start = text.trim_start();
        let agency = start.starts_with('{') || start.lines().next().is_some_and(|l| l.starts_with("Date"));
        let (table, own) = if agency {
            let report = report::read(&place, &text, &self.conditions.told_of(file)?)?;
            let Some(waters) = &report.listed_waters else {
                return Err(Error::new(
                    "the file holds no high and low waters",
                    "an answer of the kind high/low, or a typed table",
                    "ask the agency for high and low waters",
                )
                .within(&place)
                .into());
            };
            (waters.table(&report.origin.words()).map_err(|e| e.within(&place))?, None)
        } else {
            let pack = PackText::new(&place, &text);
            let typed: TypedTable = pack.read()?;
            let table = typed.table(said.as_ref());
            let own = typed.zone.clone();
            (table.map_err(|e| pack.place(&e.place.clone(), Error { place: String::new(), ..e }))?, own)
        };
        let told = self.conditions.told_of(file)?.zone.map(|clock| match clock {
            Clock::Gmt => "UTC".to_owned(),
            Clock::Standard(zone) | Clock::Local(zone) => zone,
        });
        let Some(zone_name) = self.zone.clone().or(own).or(told) else {
            return Err(Error::new(
                "it is not said in which zone the times are to be shown",
                "an IANA name such as America/Chicago",
                "give --zone",
            )
            .within(&place)
            .into());
        };
        let _ = desk;
        let zone = when::zone(&zone_name)?;
        Ok(Source { found: None, table: Some(table), chosen: None, zone_name, zone, stations: None })
    }
}

/// Distances to a station beyond which a plan warns, and beyond which it stops, km.
pub fn borders_km(limits: &Limits) -> (f64, f64) {
    let row = limits.row("station.km");
    let border = |b: Option<Border>| b.map_or(f64::INFINITY, Border::at);
    (border(row.and_then(|r| r.caution)), border(row.and_then(|r| r.stop)))
}

/// The limits that are in force.
pub fn limits(desk: &Desk) -> Result<Limits, Failure> {
    let pack = desk.packs.get("limits.toml")?;
    Ok(Limits::read(&pack.text())?)
}

/// The station for a beach. Beyond the distance at which a plan stops none is taken.
fn choose(stations: &Stations, place: Place, desk: &Desk) -> Result<Chosen, Failure> {
    let (far, most) = borders_km(&limits(desk)?);
    let choice = stations.choose(place)?;
    let Some(taken) = choice.station() else { return Err(no_station(place).into()) };
    if taken.distance.km() > most {
        let near: Vec<String> = choice
            .near
            .iter()
            .take(3)
            .map(|n| format!("{} ({}, {})", n.found.id(), n.found.name(), desk.units.distance(n.distance)))
            .collect();
        return Err(Error::new(
            format!("no tide station lies within {} of there", desk.units.distance(Length::of_km(most))),
            format!("the nearest are {}", near.join(", ")),
            "give the printed high and low waters of the place with --table; --station takes one of these all the same",
        )
        .within("--at")
        .into());
    }
    Ok(Chosen { place, far: Length::of_km(far.min(1.0e5)), choice })
}

fn no_station(place: Place) -> Error {
    Error::new(
        format!("no tide station is known near {}, {}", place.latitude_deg(), place.longitude_deg()),
        "",
        "give the printed high and low waters of the place with --table",
    )
}

fn no_name() -> Error {
    Error::new(
        "it is not said whose tide is asked for",
        "a place --at 27.58,-97.22, a station's id or number, or a printed table --table FILE",
        "give the beach with --at, or look a station up with --find TEXT",
    )
}

/// Days of a table: all it covers, or those wanted as far as it covers them.
pub fn days_of_table(
    covers: (Timestamp, Timestamp),
    wanted: Option<Date>,
    days: u16,
    zone: &TimeZone,
) -> Result<(Vec<Date>, Interval)> {
    let date = |at: Timestamp| zone.to_datetime(at).date();
    let (first, last) = (date(covers.0), date(covers.1));
    let Some(from) = wanted else {
        let list: Vec<Date> = first.series(jiff::Span::new().days(1)).take_while(|d| *d <= last).collect();
        return Ok((list, Interval::new(covers.0, covers.1)?));
    };
    let (list, asked) = when::days(from, days, zone)?;
    let (a, b) = (asked.from().max(covers.0), asked.to().min(covers.1));
    if a >= b {
        return Err(Error::new(
            format!("the table says nothing of {from}"),
            format!("{first} to {last}"),
            "ask for a day of the table, or type in more of it",
        )
        .within("--date"));
    }
    Ok((list.into_iter().filter(|d| (first..=last).contains(d)).collect(), Interval::new(a, b)?))
}

/// A level with its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The level.
    pub level: Length,
    /// When; nothing where it was not said.
    pub at: Option<Now>,
}

/// A level with its time, if it is said: `0.16m`, `0.16m@2026-10-17T15:00`.
pub fn reading(text: &str) -> Result<Reading> {
    let (level, at) = match text.split_once('@') {
        Some((level, at)) => (level, Some(when::now(at)?)),
        None => (text, None),
    };
    Ok(Reading { level: level.trim().parse()?, at })
}

/// A level with its time: `1.25m@2026-10-17T15:00`.
pub fn observed(text: &str) -> Result<Reading> {
    let said = reading(text)?;
    if said.at.is_none() {
        return Err(Error::new(
            "the reading has no time",
            "level, @ and time, like 1.25m@2026-10-17T15:00",
            "write when it was read",
        ));
    }
    Ok(said)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_a_level_and_perhaps_its_time() {
        let r = reading("-0.2ft@2026-10-17T15:00Z").unwrap();
        assert!((r.level.ft() + 0.2).abs() < 1e-9 && r.at.is_some());
        assert_eq!(reading("16cm").unwrap().at, None);
        assert!(observed("16cm").unwrap_err().error.contains("no time"));
        assert!(reading("16").unwrap_err().error.contains("unit is missing"));
        assert!(reading("1m@noon").unwrap_err().error.contains("not a moment"));
    }

    #[test]
    fn days_of_a_table_are_those_it_covers() {
        let zone = when::zone("America/Chicago").unwrap();
        let at = |t: &str| t.parse::<Timestamp>().unwrap();
        let covers = (at("2026-10-17T17:00Z"), at("2026-10-18T08:10Z"));
        let (all, stretch) = days_of_table(covers, None, 1, &zone).unwrap();
        assert_eq!((all.len(), stretch.from(), stretch.to()), (2, covers.0, covers.1));
        let day = |d: &str, n| days_of_table(covers, Some(when::date(d).unwrap()), n, &zone);
        let (all, stretch) = day("2026-10-17", 1).unwrap();
        assert_eq!((all.len(), stretch.from(), stretch.to()), (1, covers.0, at("2026-10-18T05:00Z")));
        assert_eq!(day("2026-10-16", 9).unwrap().0.len(), 2);
        assert!(day("2026-10-19", 1).unwrap_err().allowed.contains("2026-10-17 to 2026-10-18"));
    }
}
