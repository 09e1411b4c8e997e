//! The pack of tide stations.

use super::constituent;
use super::harmonic::{Constant, NodeRule};
use crate::facts::{Grade, PackText};
use crate::quantity::{Angle, Length, Place, Quantity};
use crate::{Error, Result};
use jiff::tz::TimeZone;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Schema that a pack of stations must name.
const SCHEMA: &str = "tailrope.stations/1";
/// Largest amplitude of one constituent anywhere, with room to spare.
const MAX_AMPLITUDE_M: f64 = 10.0;

/// A station with harmonic constants of its own.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Station {
    /// Short name in the pack.
    pub id: String,
    /// Name in words.
    pub name: String,
    /// Country.
    pub country: String,
    /// Where the gauge stands.
    pub place: Place,
    /// IANA time zone of the beach.
    pub zone: String,
    /// What heights are above (`MLLW`, `LAT`). Shown beside every height.
    pub datum: String,
    /// Mean sea level above the datum.
    pub mean_level: Length,
    /// When node factors are renewed.
    pub nodes: NodeRule,
    /// Claimed error of level and time of a predicted high or low, without weather.
    pub level_error: Length,
    /// The same in time, minutes.
    pub time_error_min: f64,
    /// Grade of the constants.
    pub grade: Grade,
    /// Whose constants, with their own number.
    pub source: String,
    /// Address of the source.
    pub url: String,
    /// Licence of the constants.
    pub licence: String,
    /// Text that must be shown with them.
    pub attribution: String,
    /// Constituents in the pack that are not reckoned here, with the sum of their amplitudes.
    pub left_out: LeftOut,
    #[serde(skip)]
    pub(super) constants: Vec<Constant>,
}

/// Constituents that a station gives and this model does not carry.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct LeftOut {
    /// Their names.
    pub names: Vec<String>,
    /// Root of half the sum of their squared amplitudes: the rms error of leaving them out.
    pub rms: Length,
}

/// A place whose high and low waters are those of a station, moved and stretched.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Subordinate {
    /// Short name in the pack.
    pub id: String,
    /// Name in words.
    pub name: String,
    /// Where.
    pub place: Place,
    /// IANA time zone of the beach.
    pub zone: String,
    /// The station it follows.
    pub reference: String,
    /// Minutes by which its high water comes later than the reference's.
    pub high_later_min: f64,
    /// Minutes by which its low water comes later.
    pub low_later_min: f64,
    /// How its high water's height follows from the reference's, both above chart datum.
    pub high: HeightRule,
    /// The same for low water.
    pub low: HeightRule,
    /// Grade of the offsets.
    pub grade: Grade,
    /// Whose offsets.
    pub source: String,
    /// Licence.
    pub licence: String,
    /// Text that must be shown.
    pub attribution: String,
}

/// Height at a subordinate from the height at its reference.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum HeightRule {
    /// Times this.
    Ratio(f64),
    /// Plus this.
    Add(Length),
}

impl HeightRule {
    pub(super) fn apply_m(self, level_m: f64) -> f64 {
        match self {
            Self::Ratio(k) => level_m * k,
            Self::Add(l) => level_m + l.m(),
        }
    }
}

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
    place: Place,
    zone: String,
    reference: String,
    high_later_min: f64,
    low_later_min: f64,
    high: HeightRule,
    low: HeightRule,
    grade: Grade,
    source: String,
    licence: String,
    attribution: String,
}

/// Every tide station known to a run.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Stations {
    /// Stations with constants of their own.
    pub stations: Vec<Station>,
    /// Stations that follow one of them.
    pub subordinates: Vec<Subordinate>,
}

/// What a search for a station finds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found<'a> {
    /// One with constants of its own.
    Station(&'a Station),
    /// One that follows another.
    Subordinate(&'a Subordinate, &'a Station),
}

impl Found<'_> {
    /// Short name in the pack.
    pub fn id(&self) -> &str {
        match self {
            Self::Station(s) => &s.id,
            Self::Subordinate(s, _) => &s.id,
        }
    }

    /// Where it stands.
    pub fn place(&self) -> Place {
        match self {
            Self::Station(s) => s.place,
            Self::Subordinate(s, _) => s.place,
        }
    }
}

impl Stations {
    /// Reads and checks one pack.
    pub fn read(pack: &PackText<'_>) -> Result<Self> {
        let raw: RawPack = pack.read()?;
        if raw.schema != SCHEMA {
            return Err(pack.refuse(
                "schema",
                format!("the pack says `{}`", raw.schema),
                SCHEMA,
                "give a pack of tide stations, or bring this one up to date",
            ));
        }
        let mut all = Self::default();
        for (i, s) in raw.station.into_iter().enumerate() {
            all.stations.push(s.check(pack, &format!("station[{i}]"))?);
        }
        for (i, s) in raw.subordinate.into_iter().enumerate() {
            all.subordinates.push(s.check(pack, &format!("subordinate[{i}]"))?);
        }
        let mut seen = std::collections::BTreeSet::new();
        let ids =
            all.stations.iter().enumerate().map(|(i, s)| (format!("station[{i}].id"), &s.id)).chain(
                all.subordinates.iter().enumerate().map(|(i, s)| (format!("subordinate[{i}].id"), &s.id)),
            );
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
        for (i, s) in all.subordinates.iter().enumerate() {
            if !all.stations.iter().any(|r| r.id == s.reference) {
                return Err(pack.refuse(
                    &format!("subordinate[{i}].reference"),
                    format!("no station `{}` in this pack", s.reference),
                    "the id of a station with constants of its own",
                    "correct the id or add the station",
                ));
            }
        }
        Ok(all)
    }

    /// The station of an id. An unknown one is refused with the way on: a table of high and low waters.
    pub fn get(&self, id: &str) -> Result<Found<'_>> {
        let station = |id: &str| self.stations.iter().find(|s| s.id == id);
        if let Some(s) = station(id) {
            return Ok(Found::Station(s));
        }
        if let Some(s) = self.subordinates.iter().find(|s| s.id == id)
            && let Some(reference) = station(&s.reference)
        {
            return Ok(Found::Subordinate(s, reference));
        }
        let known: Vec<&str> =
            self.stations.iter().map(|s| &*s.id).chain(self.subordinates.iter().map(|s| &*s.id)).collect();
        Err(Error::new(
            format!("no tide station `{id}`"),
            known.join(", "),
            "choose one of these, or type in the high and low waters of your own tide table",
        ))
    }

    /// All stations by distance from `place`, nearest first. A station beyond a headland or inside a bay can
    /// be near and wrong: the crew confirms the choice.
    pub fn nearest(&self, place: Place) -> Vec<(Length, Found<'_>)> {
        let mut list: Vec<_> = self
            .stations
            .iter()
            .map(Found::Station)
            .chain(self.subordinates.iter().filter_map(|s| self.get(&s.id).ok()))
            .map(|f| (f.place().distance(place), f))
            .collect();
        list.sort_by(|a, b| a.0.m().total_cmp(&b.0.m()));
        list
    }
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
        let mut constants: Vec<Constant> = Vec::new();
        let mut left_out = LeftOut::default();
        let mut half_squares = 0.0;
        for (name, k) in &self.constituents {
            let at = format!("{path}.constituents.{name}");
            k.amplitude
                .within("the amplitude", Length::ZERO, Length::of_m(MAX_AMPLITUDE_M))
                .map_err(|e| pack.place(&at, e))?;
            k.lag
                .within("the phase lag", Angle::of_deg(-360.0), Angle::of_deg(360.0))
                .map_err(|e| pack.place(&at, e))?;
            let Some(index) = constituent::find(name) else {
                left_out.names.push(name.clone());
                half_squares += k.amplitude.m() * k.amplitude.m() / 2.0;
                continue;
            };
            if constants.iter().any(|c| c.index == index) {
                return Err(pack.refuse(
                    &at,
                    format!("`{name}` is there twice under two spellings"),
                    "each constituent once",
                    "take one out",
                ));
            }
            constants.push(Constant { index, amplitude_m: k.amplitude.m(), lag_deg: k.lag.deg() });
        }
        // The order of the agency's table, so that sums come out the same whatever the file's order.
        constants.sort_by_key(|c| c.index);
        left_out.rms = Length::of_m(half_squares.sqrt());
        Ok(Station {
            id: self.id,
            name: self.name,
            country: self.country,
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
            place: self.place,
            zone: self.zone,
            reference: self.reference,
            high_later_min: self.high_later_min,
            low_later_min: self.low_later_min,
            high: self.high,
            low: self.low,
            grade: self.grade,
            source: self.source,
            licence: self.licence,
            attribution: self.attribution,
        })
    }
}

impl Station {
    /// Amplitude of a constituent by any usual spelling; nothing if the station does not give it.
    pub fn amplitude(&self, name: &str) -> Length {
        let index = constituent::find(name);
        let found = self.constants.iter().find(|c| Some(c.index) == index);
        Length::of_m(found.map_or(0.0, |c| c.amplitude_m))
    }

    /// Names of the constituents reckoned.
    pub fn constituents(&self) -> impl Iterator<Item = &'static str> {
        self.constants.iter().filter_map(|c| constituent::name(c.index))
    }

    /// Form number (K1 + O1) / (M2 + S2) and its word (recalled, in every tide manual). Without M2 and S2 the
    /// number is infinite and the tide diurnal.
    pub fn form(&self) -> (f64, &'static str) {
        let a = |name| self.amplitude(name).m();
        let semi = a("M2") + a("S2");
        let form = if semi > 0.0 { (a("K1") + a("O1")) / semi } else { f64::INFINITY };
        let word = match form {
            f if f < 0.25 => "semidiurnal",
            f if f < 1.5 => "mixed, mainly semidiurnal",
            f if f < 3.0 => "mixed, mainly diurnal",
            _ => "diurnal",
        };
        (form, word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PACK: &str = include_str!("../../../../../data/stations.toml");

    #[test]
    fn the_shipped_pack_is_sound() {
        let all = Stations::read(&PackText::new("stations.toml", PACK)).unwrap();
        assert_eq!((all.stations.len(), all.subordinates.len()), (11, 1));
        let Ok(Found::Station(padre)) = all.get("padre_island_tx") else { panic!() };
        assert_eq!(padre.constituents().count(), 37);
        assert!((padre.form().0 - 3.351).abs() < 0.001 && padre.form().1 == "diurnal");
        let Ok(Found::Station(walvis)) = all.get("walvis_bay_na") else { panic!() };
        // Its sixteen beyond the agency's table are all read.
        assert_eq!((walvis.constituents().count(), walvis.left_out.names.len()), (50, 0));
        assert!(all.stations.iter().all(|s| !s.licence.to_lowercase().contains("nc")));
    }

    #[test]
    fn an_unknown_station_names_the_way_on() {
        let all = Stations::read(&PackText::new("stations.toml", PACK)).unwrap();
        let e = all.get("atlantis").unwrap_err();
        assert!(e.allowed.contains("padre_island_tx") && e.remedy.contains("high and low waters"), "{e}");
        let here = Place::of_deg(27.5, -97.3).unwrap();
        let near = all.nearest(here);
        assert_eq!(near[0].1.id(), "padre_island_tx");
        assert!(near.windows(2).all(|w| w[0].0.m() <= w[1].0.m()));
    }

    #[test]
    fn refusals_name_line_and_key() {
        let read = |text: &str| Stations::read(&PackText::new("s.toml", text)).unwrap_err();
        let swap = |from: &str, to: &str| {
            assert!(PACK.contains(from), "{from}");
            read(&PACK.replacen(from, to, 1))
        };
        let e = swap("America/Chicago", "America/Gulf");
        assert!(e.place.contains("line") && e.place.ends_with("station[0].zone"), "{e}");
        assert!(swap("id = \"duck_nc\"", "id = \"padre_island_tx\"").error.contains("twice"));
        assert!(swap("amplitude = \"0.074m\"", "amplitude = \"74m\"").error.contains("amplitude"));
        assert!(swap("amplitude = \"0.074m\"", "amplitude = 0.074").error.contains("unit is missing"));
        assert!(
            swap("reference = \"sewells_point_va\"", "reference = \"nowhere\"").error.contains("nowhere")
        );
        assert!(swap("datum = \"MLLW\"", "datum = \" \"").place.ends_with("station[0].datum"));
        assert!(swap("stations/1", "stations/9").error.contains("stations/9"));
        assert!(swap("datum =", "dattum =").error.contains("dattum"));
    }
}
