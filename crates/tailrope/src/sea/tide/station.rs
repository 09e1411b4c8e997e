//! Tide stations: the crew's own pack in TOML, and the world pack beside it.
//!
//! A station of the world pack is decoded when it is first asked for, and kept. A crew's own station of the same id
//! goes before it.

use super::constituent::{self, CONSTITUENTS};
use super::harmonic::{Constant, NodeRule};
use super::world::{Constants, Record, World};
use crate::facts::{Grade, PackText};
use crate::quantity::{Angle, Length, Place, Quantity};
use crate::{Error, Result};
use jiff::tz::TimeZone;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

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
    /// State or province, where known.
    pub region: String,
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
    /// First and last day of what constants and datums stand on, where known.
    pub epoch: Option<String>,
    /// What must be said with its tide.
    pub notes: Vec<String>,
    /// Why the collection's own review set it aside: such a station is never offered, only given when named.
    pub set_aside: Option<String>,
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
    /// Country, where known.
    pub country: String,
    /// State or province, where known.
    pub region: String,
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
    /// Address of the source, where known.
    pub url: String,
    /// Licence.
    pub licence: String,
    /// Text that must be shown.
    pub attribution: String,
    /// What must be said with its tide.
    pub notes: Vec<String>,
    /// Why the collection's own review set it aside.
    pub set_aside: Option<String>,
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

/// Every tide station known to a run.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Stations {
    /// The crew's own stations with constants of their own.
    pub stations: Vec<Station>,
    /// The crew's own stations that follow another, be it in the world pack.
    pub subordinates: Vec<Subordinate>,
    #[serde(skip)]
    shelf: Option<Shelf>,
}

/// The world pack, and what was decoded of it.
#[derive(Clone, Debug)]
struct Shelf {
    world: World,
    decoded: Arc<[OnceLock<Decoded>]>,
}

#[derive(Debug)]
enum Decoded {
    Station(Box<Station>),
    Subordinate(Box<Subordinate>),
}

impl PartialEq for Shelf {
    fn eq(&self, other: &Self) -> bool {
        self.world == other.world
    }
}

impl Shelf {
    fn new(world: World) -> Self {
        Self { decoded: (0..world.len()).map(|_| OnceLock::new()).collect(), world }
    }

    /// The station at a position, decoded now or before.
    fn at(&self, i: usize) -> Result<&Decoded> {
        let Some(cell) = self.decoded.get(i) else {
            return Err(self.world.record(i).err().unwrap_or_else(gone));
        };
        if let Some(known) = cell.get() {
            return Ok(known);
        }
        let record = self.world.record(i)?;
        Ok(cell.get_or_init(|| Decoded::of(record)))
    }

    fn found(&self, i: usize) -> Result<Found<'_>> {
        match self.at(i)? {
            Decoded::Station(s) => Ok(Found::Station(s)),
            Decoded::Subordinate(s) => match self.world.find(&s.reference).map(|i| self.at(i)).transpose()? {
                Some(Decoded::Station(reference)) => Ok(Found::Subordinate(s, reference)),
                _ => Err(Error::new(
                    format!(
                        "`{}` follows `{}`, which is no station with constants of its own",
                        s.id, s.reference
                    ),
                    "the pack as it is shipped",
                    "copy it again",
                )
                .within(self.world.file())),
            },
        }
    }
}

fn gone() -> Error {
    Error::new("there is no such station", "a station of the pack", "search again")
}

impl Decoded {
    fn of(record: Record) -> Self {
        let Record { card, origin, number, epoch, notes, tide } = record;
        let numbered = |words: &str| words.replace("{}", &number);
        match tide {
            Constants::Own { datum, mean_level, constituents } => {
                let (constants, left_out) = sort_out(constituents.iter().map(|(n, a, l)| (&**n, *a, *l)));
                Self::Station(Box::new(Station {
                    id: card.id,
                    name: card.name,
                    country: card.country,
                    region: card.region,
                    place: card.place,
                    zone: card.zone,
                    datum,
                    mean_level,
                    nodes: origin.nodes,
                    level_error: origin.level_error,
                    time_error_min: origin.time_error_min,
                    grade: origin.grade,
                    source: numbered(&origin.source),
                    url: numbered(&origin.url),
                    licence: origin.licence,
                    attribution: origin.attribution,
                    epoch: epoch.map(|(from, to)| format!("{from} to {to}")),
                    notes,
                    set_aside: card.set_aside,
                    left_out,
                    constants,
                }))
            }
            Constants::Follows { reference, high_later_min, low_later_min, high, low } => {
                Self::Subordinate(Box::new(Subordinate {
                    id: card.id,
                    name: card.name,
                    country: card.country,
                    region: card.region,
                    place: card.place,
                    zone: card.zone,
                    reference,
                    high_later_min,
                    low_later_min,
                    high,
                    low,
                    grade: origin.grade,
                    source: numbered(&origin.source),
                    url: numbered(&origin.url),
                    licence: origin.licence,
                    attribution: origin.attribution,
                    notes,
                    set_aside: card.set_aside,
                }))
            }
        }
    }
}

/// The constituents that are reckoned, in the order of the agency's table so that sums come out the same whatever the
/// order in the file, and those that are not: unknown here, or there already under another spelling.
fn sort_out<'a>(all: impl Iterator<Item = (&'a str, Length, Angle)>) -> (Vec<Constant>, LeftOut) {
    let mut constants: Vec<Constant> = Vec::new();
    let mut left_out = LeftOut::default();
    let mut half_squares = 0.0;
    for (name, amplitude, lag) in all {
        match constituent::find(name).filter(|index| constants.iter().all(|c| c.index != *index)) {
            Some(index) => {
                constants.push(Constant { index, amplitude_m: amplitude.m(), lag_deg: lag.deg() });
            }
            None => {
                left_out.names.push(name.to_owned());
                half_squares += amplitude.m() * amplitude.m() / 2.0;
            }
        }
    }
    constants.sort_by_key(|c| c.index);
    left_out.rms = Length::of_m(half_squares.sqrt());
    (constants, left_out)
}

/// What a search for a station finds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found<'a> {
    /// One with constants of its own.
    Station(&'a Station),
    /// One that follows another.
    Subordinate(&'a Subordinate, &'a Station),
}

impl<'a> Found<'a> {
    /// Short name in the pack.
    pub fn id(&self) -> &'a str {
        match self {
            Self::Station(s) => &s.id,
            Self::Subordinate(s, _) => &s.id,
        }
    }

    /// Name in words.
    pub fn name(&self) -> &'a str {
        match self {
            Self::Station(s) => &s.name,
            Self::Subordinate(s, _) => &s.name,
        }
    }

    /// Region and country, as far as known.
    pub fn whereabouts(&self) -> String {
        let (region, country) = match self {
            Self::Station(s) => (&s.region, &s.country),
            Self::Subordinate(s, _) => (&s.region, &s.country),
        };
        [region, country].into_iter().filter(|w| !w.is_empty()).map(|w| &**w).collect::<Vec<_>>().join(", ")
    }

    /// IANA time zone.
    pub fn zone(&self) -> &'a str {
        match self {
            Self::Station(s) => &s.zone,
            Self::Subordinate(s, _) => &s.zone,
        }
    }

    /// Address of the source; may be empty.
    pub fn url(&self) -> &'a str {
        match self {
            Self::Station(s) => &s.url,
            Self::Subordinate(s, _) => &s.url,
        }
    }

    /// The station whose constants are reckoned with.
    pub fn reference(&self) -> &'a Station {
        match self {
            Self::Station(s) | Self::Subordinate(_, s) => s,
        }
    }

    /// Everything that must be said with its tide: that it was set aside, what its source says of it, which
    /// constituents are left out.
    pub fn cautions(&self) -> Vec<String> {
        let (aside, notes) = match self {
            Self::Station(s) => (&s.set_aside, &s.notes),
            Self::Subordinate(s, _) => (&s.set_aside, &s.notes),
        };
        let mut all: Vec<String> =
            aside.iter().map(|why| format!("Set aside by the database's own review: {why}.")).collect();
        all.extend(notes.iter().cloned());
        let reference = self.reference();
        if let Self::Subordinate(..) = self {
            all.extend(reference.notes.iter().map(|n| format!("{}: {n}", reference.name)));
        }
        if reference.left_out.rms.mm() >= 1.0 {
            all.push(format!(
                "Left out, as not carried here: {} (together {:.0} mm rms, reckoned into the error).",
                reference.left_out.names.join(", "),
                reference.left_out.rms.mm()
            ));
        }
        all
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
    /// The world pack alone.
    pub fn of_world(world: World) -> Self {
        Self { shelf: Some(Shelf::new(world)), ..Self::default() }
    }

    /// Reads and checks a crew's own pack, without a world pack.
    pub fn read(pack: &PackText<'_>) -> Result<Self> {
        Self::read_beside(pack, None)
    }

    /// Reads and checks a crew's own pack, to stand before the world pack. Its subordinates may follow stations of
    /// either.
    pub fn read_beside(pack: &PackText<'_>, world: Option<World>) -> Result<Self> {
        let raw: RawPack = pack.read()?;
        if raw.schema != SCHEMA {
            return Err(pack.refuse(
                "schema",
                format!("the pack says `{}`", raw.schema),
                SCHEMA,
                "give a pack of tide stations, or bring this one up to date",
            ));
        }
        let mut all = Self { shelf: world.map(Shelf::new), ..Self::default() };
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
            if all.reference(&s.reference).is_none() {
                return Err(pack.refuse(
                    &format!("subordinate[{i}].reference"),
                    format!("no station `{}` in this pack or the shipped one", s.reference),
                    "the id of a station with constants of its own",
                    "correct the id or add the station",
                ));
            }
        }
        Ok(all)
    }

    /// The world pack, if there is one.
    pub fn world(&self) -> Option<&World> {
        self.shelf.as_ref().map(|s| &s.world)
    }

    /// How many stations there are, the crew's own and those of the world pack.
    pub fn count(&self) -> usize {
        self.stations.len() + self.subordinates.len() + self.world().map_or(0, World::len)
    }

    /// A station with constants of its own.
    fn reference(&self, id: &str) -> Option<&Station> {
        if let Some(own) = self.stations.iter().find(|s| s.id == id) {
            return Some(own);
        }
        let shelf = self.shelf.as_ref()?;
        match shelf.at(shelf.world.find(id)?).ok()? {
            Decoded::Station(s) => Some(s),
            Decoded::Subordinate(_) => None,
        }
    }

    /// The crew's own stations.
    pub fn own(&self) -> impl Iterator<Item = Found<'_>> {
        let following = self
            .subordinates
            .iter()
            .filter_map(|s| self.reference(&s.reference).map(|r| Found::Subordinate(s, r)));
        self.stations.iter().map(Found::Station).chain(following)
    }

    /// The station of an id, or of its tail where that is unique (`8779750` for `noaa/8779750`). An unknown one is
    /// refused with the way on: a table of high and low waters.
    pub fn get(&self, id: &str) -> Result<Found<'_>> {
        if let Some(own) = self.own().find(|f| f.id() == id) {
            return Ok(own);
        }
        if let Some(shelf) = &self.shelf
            && let Some(i) = shelf.world.find(id)
        {
            return shelf.found(i);
        }
        let own: Vec<&str> = self.own().map(|f| f.id()).collect();
        let (allowed, remedy) = match &self.shelf {
            None => (
                own.join(", "),
                "choose one of these, or type in the high and low waters of your own tide table",
            ),
            Some(shelf) => {
                let mut allowed = vec![format!(
                    "one of {} ids like `noaa/8779750`, or its number alone",
                    shelf.world.len()
                )];
                allowed.extend(own.into_iter().map(str::to_owned));
                (
                    allowed.join(", "),
                    "search by place or name, or type in the high and low waters of your own tide table",
                )
            }
        };
        Err(Error::new(format!("no tide station `{id}`"), allowed, remedy))
    }

    /// The station at a position of the world pack.
    pub(super) fn of_world_at(&self, i: usize) -> Result<Found<'_>> {
        match &self.shelf {
            Some(shelf) => shelf.found(i),
            None => Err(gone()),
        }
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

impl Station {
    /// Amplitude of a constituent by any usual spelling; nothing if the station does not give it.
    pub fn amplitude(&self, name: &str) -> Length {
        let index = constituent::find(name);
        let found = self.constants.iter().find(|c| Some(c.index) == index);
        Length::of_m(found.map_or(0.0, |c| c.amplitude_m))
    }

    /// Greenwich phase lag of a constituent that is reckoned.
    pub fn lag(&self, name: &str) -> Option<Angle> {
        let index = constituent::find(name)?;
        self.constants.iter().find(|c| c.index == index).map(|c| Angle::of_deg(c.lag_deg))
    }

    /// Names of the constituents reckoned.
    pub fn constituents(&self) -> impl Iterator<Item = &'static str> {
        self.constants.iter().filter_map(|c| CONSTITUENTS.get(c.index)).map(|c| c.name)
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

    const PACK: &str = include_str!("../../../tests/reference/fixtures/stations.toml");

    #[test]
    fn a_crew_s_own_pack_is_read() {
        let all = Stations::read(&PackText::new("stations.toml", PACK)).unwrap();
        assert_eq!((all.stations.len(), all.subordinates.len()), (11, 1));
        let Ok(Found::Station(padre)) = all.get("padre_island_tx") else { panic!() };
        assert_eq!(padre.constituents().count(), 37);
        assert!((padre.form().0 - 3.351).abs() < 0.001 && padre.form().1 == "diurnal");
        let Ok(Found::Station(walvis)) = all.get("walvis_bay_na") else { panic!() };
        assert_eq!(walvis.left_out.names.len(), 16);
        // Over two months they add 10.2 mm rms there (an independent engine); close pairs beat over a year.
        assert!((walvis.left_out.rms.mm() - 10.2).abs() < 2.0, "{}", walvis.left_out.rms.mm());
        assert!(all.stations.iter().all(|s| !s.licence.to_lowercase().contains("nc")));
    }

    #[test]
    fn an_unknown_station_names_the_way_on() {
        let all = Stations::read(&PackText::new("stations.toml", PACK)).unwrap();
        let e = all.get("atlantis").unwrap_err();
        assert!(e.allowed.contains("padre_island_tx") && e.remedy.contains("high and low waters"), "{e}");
        let here = Place::of_deg(27.5, -97.3).unwrap();
        let near = all.nearest(here, 99, false).unwrap();
        assert_eq!((near.len(), near[0].found.id()), (12, "padre_island_tx"));
        assert!(near.windows(2).all(|w| w[0].distance.m() <= w[1].distance.m()));
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
