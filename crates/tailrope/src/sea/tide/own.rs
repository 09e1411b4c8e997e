//! A crew's own pack of tide stations, in TOML: `stations.toml` in its data folder.
//!
//! A station with constants of its own (amplitude and Greenwich phase lag of each constituent, as agencies list them),
//! or one that follows another of this pack or the shipped one by offsets of time and height:
//!
//! ```toml
//! schema = "tailrope.stations/1"
//!
//! [[station]]
//! id = "our_jetty"
//! name = "Our Jetty"
//! country = "Namibia"
//! place = { latitude_deg = -22.95, longitude_deg = 14.5 }
//! zone = "Africa/Windhoek"
//! datum = "LAT"                 # what heights are above
//! mean_level = "0.92m"          # mean sea level above it
//! nodes = "mid-year"            # or "daily"
//! level_error = "0.05m"
//! time_error_min = 10
//! grade = "published"
//! source = "port authority, table of 2026"
//! url = "https://example.org"
//! licence = "ours to use"
//! attribution = "Port authority"
//! [station.constituents]
//! M2 = { amplitude = "0.51m", lag = "84deg" }
//! S2 = { amplitude = "0.22m", lag = "105deg" }
//!
//! [[subordinate]]
//! id = "our_bar"
//! name = "Our Bar"
//! place = { latitude_deg = 26.6, longitude_deg = -97.3 }
//! zone = "America/Chicago"
//! reference = "noaa/8779750"
//! high_later_min = 30
//! low_later_min = 40
//! high = { ratio = 1.1 }        # or { add = "0.1m" }
//! low = { ratio = 1.1 }
//! grade = "estimate"
//! source = "our own watch"
//! licence = "ours"
//! attribution = "the crew"
//! ```

use super::constituent;
use super::harmonic::NodeRule;
use super::station::{HeightRule, Station, Subordinate, sort_out};
use crate::Result;
use crate::facts::{Grade, PackText};
use crate::quantity::{Angle, Length, Place, Quantity};
use jiff::tz::TimeZone;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Schema that a pack of stations must name.
const SCHEMA: &str = "tailrope.stations/1";
/// Largest amplitude of one constituent anywhere, with room to spare.
const MAX_AMPLITUDE_M: f64 = 10.0;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPack {
    schema: String,
    #[serde(default)]
    station: Vec<RawStation>,
    #[serde(default)]
    subordinate: Vec<RawSubordinate>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStation {
    id: String,
    name: String,
    country: String,
    #[serde(default)]
    region: String,
    place: Place,
    zone: String,
    datum: String,
    mean_level: Length,
    #[serde(default)]
    nodes: NodeRule,
    level_error: Length,
    time_error_min: f64,
    grade: Grade,
    source: String,
    url: String,
    licence: String,
    attribution: String,
    #[serde(default)]
    epoch: Option<String>,
    #[serde(default)]
    notes: Vec<String>,
    constituents: BTreeMap<String, RawConstant>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawConstant {
    amplitude: Length,
    lag: Angle,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSubordinate {
    id: String,
    name: String,
    #[serde(default)]
    country: String,
    #[serde(default)]
    region: String,
    place: Place,
    zone: String,
    reference: String,
    high_later_min: f64,
    low_later_min: f64,
    high: HeightRule,
    low: HeightRule,
    grade: Grade,
    source: String,
    #[serde(default)]
    url: String,
    licence: String,
    attribution: String,
    #[serde(default)]
    notes: Vec<String>,
}

/// Reads and checks a pack by itself: its stations, and those that follow one of these or of the world pack.
pub(super) fn read(pack: &PackText<'_>) -> Result<(Vec<Station>, Vec<Subordinate>)> {
    let raw: RawPack = pack.read()?;
    if raw.schema != SCHEMA {
        return Err(pack.refuse(
            "schema",
            format!("the pack says `{}`", raw.schema),
            SCHEMA,
            "give a pack of tide stations, or bring this one up to date",
        ));
    }
    let stations: Vec<Station> = raw
        .station
        .into_iter()
        .enumerate()
        .map(|(i, s)| s.check(pack, &format!("station[{i}]")))
        .collect::<Result<_>>()?;
    let subordinates: Vec<Subordinate> = raw
        .subordinate
        .into_iter()
        .enumerate()
        .map(|(i, s)| s.check(pack, &format!("subordinate[{i}]")))
        .collect::<Result<_>>()?;
    let ids = (stations.iter().enumerate().map(|(i, s)| (format!("station[{i}].id"), &s.id)))
        .chain(subordinates.iter().enumerate().map(|(i, s)| (format!("subordinate[{i}].id"), &s.id)));
    let mut seen = std::collections::BTreeSet::new();
    for (path, id) in ids {
        if !seen.insert(id) {
            return Err(pack.refuse(
                &path,
                format!("`{id}` is there twice"),
                "one entry for each id",
                "rename one of them",
            ));
        }
    }
    Ok((stations, subordinates))
}

fn check_words(pack: &PackText<'_>, path: &str, words: &[(&str, &str)]) -> Result<()> {
    for (key, word) in words {
        if word.trim().is_empty() {
            return Err(pack.refuse(
                &format!("{path}.{key}"),
                "it is empty",
                "words",
                "say it: heights without datum, source and licence are not shown",
            ));
        }
    }
    Ok(())
}

fn check_zone(pack: &PackText<'_>, path: &str, zone: &str) -> Result<()> {
    TimeZone::get(zone).map(|_| ()).map_err(|_| {
        pack.refuse(
            &format!("{path}.zone"),
            format!("no time zone `{zone}`"),
            "an IANA name like America/Chicago",
            "look up the zone of the nearest large town",
        )
    })
}

impl RawStation {
    fn check(self, pack: &PackText<'_>, path: &str) -> Result<Station> {
        check_words(
            pack,
            path,
            &[
                ("id", &self.id),
                ("name", &self.name),
                ("datum", &self.datum),
                ("source", &self.source),
                ("licence", &self.licence),
                ("attribution", &self.attribution),
            ],
        )?;
        check_zone(pack, path, &self.zone)?;
        let limit = Length::of_m(20.0);
        self.mean_level
            .within("mean sea level above the datum", -limit, limit)
            .map_err(|e| pack.place(&format!("{path}.mean_level"), e))?;
        if self.constituents.is_empty() {
            return Err(pack.refuse(
                &format!("{path}.constituents"),
                "the station has no constituents",
                "at least one",
                "copy them from the agency's table",
            ));
        }
        let mut seen = Vec::new();
        for (name, k) in &self.constituents {
            let at = format!("{path}.constituents.{name}");
            k.amplitude
                .within("the amplitude", Length::ZERO, Length::of_m(MAX_AMPLITUDE_M))
                .map_err(|e| pack.place(&at, e))?;
            k.lag
                .within("the phase lag", Angle::of_deg(-360.0), Angle::of_deg(360.0))
                .map_err(|e| pack.place(&at, e))?;
            let Some(index) = constituent::find(name) else { continue };
            if seen.contains(&index) {
                return Err(pack.refuse(
                    &at,
                    format!("`{name}` is there twice under two spellings"),
                    "each constituent once",
                    "take one out",
                ));
            }
            seen.push(index);
        }
        let (constants, left_out) =
            sort_out(self.constituents.iter().map(|(name, k)| (&**name, k.amplitude, k.lag)));
        Ok(Station {
            id: self.id,
            name: self.name,
            country: self.country,
            region: self.region,
            place: self.place,
            zone: self.zone,
            datum: self.datum,
            mean_level: self.mean_level,
            nodes: self.nodes,
            level_error: self.level_error,
            time_error_min: self.time_error_min,
            grade: self.grade,
            source: self.source,
            url: self.url,
            licence: self.licence,
            attribution: self.attribution,
            epoch: self.epoch,
            notes: self.notes,
            set_aside: None,
            left_out,
            constants,
        })
    }
}

impl RawSubordinate {
    fn check(self, pack: &PackText<'_>, path: &str) -> Result<Subordinate> {
        check_words(
            pack,
            path,
            &[
                ("id", &self.id),
                ("name", &self.name),
                ("source", &self.source),
                ("licence", &self.licence),
                ("attribution", &self.attribution),
            ],
        )?;
        check_zone(pack, path, &self.zone)?;
        for (key, minutes) in [("high_later_min", self.high_later_min), ("low_later_min", self.low_later_min)]
        {
            if minutes.is_nan() || minutes.abs() > 720.0 {
                return Err(pack.refuse(
                    &format!("{path}.{key}"),
                    format!("the offset is {minutes} minutes"),
                    "-720 to 720",
                    "check hours against minutes",
                ));
            }
        }
        for (key, rule) in [("high", self.high), ("low", self.low)] {
            let good = match rule {
                HeightRule::Ratio(k) => (0.0..=5.0).contains(&k),
                HeightRule::Add(l) => l.m().abs() <= 5.0,
            };
            if !good {
                return Err(pack.refuse(
                    &format!("{path}.{key}"),
                    "the height offset is out of range",
                    "a ratio of 0 to 5, or -5m to 5m to add",
                    "check whether the agency gives a ratio or a height",
                ));
            }
        }
        Ok(Subordinate {
            id: self.id,
            name: self.name,
            country: self.country,
            region: self.region,
            place: self.place,
            zone: self.zone,
            reference: self.reference,
            high_later_min: self.high_later_min,
            low_later_min: self.low_later_min,
            high: self.high,
            low: self.low,
            grade: self.grade,
            source: self.source,
            url: self.url,
            licence: self.licence,
            attribution: self.attribution,
            notes: self.notes,
            set_aside: None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_above_is_a_pack() {
        let text: Vec<&str> = include_str!("own.rs")
            .lines()
            .skip_while(|l| *l != "//! ```toml")
            .skip(1)
            .take_while(|l| *l != "//! ```")
            .map(|l| l.trim_start_matches("//!").trim_start())
            .collect();
        let (stations, subordinates) = read(&PackText::new("stations.toml", &text.join("\n"))).unwrap();
        assert_eq!((stations.len(), subordinates.len()), (1, 1));
        assert_eq!(stations[0].constituents().count(), 2);
    }
}
