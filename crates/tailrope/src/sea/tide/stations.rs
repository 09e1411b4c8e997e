//! Every tide station known to a run: the crew's own, and those of the world pack beside them.
//!
//! A station of the world pack is decoded each time it is asked for, which takes microseconds. A crew's own station of
//! the same id goes before it.

use super::own;
use super::station::{Station, Subordinate, sort_out};
use super::world::{Card, Constants, Record, World};
use crate::facts::PackText;
use crate::quantity::Place;
use crate::{Error, Result};
use std::sync::Arc;

/// Stations that a refusal suggests, at most.
const SUGGESTED: usize = 3;

/// Every tide station known to a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stations {
    /// The crew's own stations with constants of their own.
    pub stations: Vec<Arc<Station>>,
    /// The crew's own stations that follow another, be it in the world pack.
    pub subordinates: Vec<Arc<Subordinate>>,
    world: Option<World>,
}

/// What a search for a station finds.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// One with constants of its own.
    Station(Arc<Station>),
    /// One that follows another.
    Subordinate(Arc<Subordinate>, Arc<Station>),
}

impl Found {
    /// Short name in the pack.
    pub fn id(&self) -> &str {
        match self {
            Self::Station(s) => &s.id,
            Self::Subordinate(s, _) => &s.id,
        }
    }

    /// Name in words.
    pub fn name(&self) -> &str {
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
    pub fn zone(&self) -> &str {
        match self {
            Self::Station(s) => &s.zone,
            Self::Subordinate(s, _) => &s.zone,
        }
    }

    /// Address of the source; may be empty.
    pub fn url(&self) -> &str {
        match self {
            Self::Station(s) => &s.url,
            Self::Subordinate(s, _) => &s.url,
        }
    }

    /// Source, licence, and the text that must be shown with its data.
    pub fn credit(&self) -> (&str, &str, &str) {
        match self {
            Self::Station(s) => (&s.source, &s.licence, &s.attribution),
            Self::Subordinate(s, _) => (&s.source, &s.licence, &s.attribution),
        }
    }

    /// Where it stands.
    pub fn place(&self) -> Place {
        match self {
            Self::Station(s) => s.place,
            Self::Subordinate(s, _) => s.place,
        }
    }

    /// What a search knows of it.
    pub fn card(&self) -> Card {
        let (country, region) = match self {
            Self::Station(s) => (&s.country, &s.region),
            Self::Subordinate(s, _) => (&s.country, &s.region),
        };
        Card {
            id: self.id().into(),
            name: self.name().into(),
            country: country.clone(),
            region: region.clone(),
            place: self.place(),
            zone: self.zone().into(),
            follows: matches!(self, Self::Subordinate(..)),
            set_aside: self.set_aside().map(str::to_owned),
        }
    }

    /// The station whose constants are reckoned with.
    pub fn reference(&self) -> &Station {
        match self {
            Self::Station(s) | Self::Subordinate(_, s) => s,
        }
    }

    /// Why the collection's own review, or ours of its places, set it aside: such a station is never offered, only given when named.
    pub fn set_aside(&self) -> Option<&str> {
        match self {
            Self::Station(s) => s.set_aside.as_deref(),
            Self::Subordinate(s, _) => s.set_aside.as_deref(),
        }
    }

    /// Everything that must be said with its tide: that it was set aside, what its source says of it, which
    /// constituents are left out.
    pub fn cautions(&self) -> Vec<String> {
        let notes = match self {
            Self::Station(s) => &s.notes,
            Self::Subordinate(s, _) => &s.notes,
        };
        let mut all: Vec<String> = self
            .set_aside()
            .map(|why| format!("Set aside: {why}."))
            .into_iter()
            .chain(notes.iter().cloned())
            .collect();
        let reference = self.reference();
        if let Self::Subordinate(..) = self {
            all.extend(
                reference
                    .set_aside
                    .iter()
                    .map(|why| format!("{}, which it follows, is set aside: {why}.", reference.name)),
            );
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
}

/// A record of the world pack, ready for use.
enum Decoded {
    Station(Station),
    Subordinate(Subordinate),
}

impl Decoded {
    fn of(record: Record) -> Self {
        let Record { card, origin, number, epoch, notes, tide } = record;
        let numbered = |words: &str| words.replace("{}", &number);
        match tide {
            Constants::Own { datum, mean_level, constituents } => {
                let (constants, left_out) = sort_out(constituents.iter().map(|(n, a, l)| (&**n, *a, *l)));
                Self::Station(Station {
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
                })
            }
            Constants::Follows { reference, high_later_min, low_later_min, high, low } => {
                Self::Subordinate(Subordinate {
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
                })
            }
        }
    }
}

/// The station at a position of the world pack.
fn of_world(world: &World, i: usize) -> Result<Found> {
    let sub = match Decoded::of(world.record(i)?) {
        Decoded::Station(s) => return Ok(Found::Station(Arc::new(s))),
        Decoded::Subordinate(s) => s,
    };
    // The record gives the whole id of the station it follows.
    let reference = world.find(&sub.reference).map(|i| world.record(i)).transpose()?;
    match reference.map(Decoded::of) {
        Some(Decoded::Station(s)) => Ok(Found::Subordinate(Arc::new(sub), Arc::new(s))),
        _ => Err(Error::new(
            format!(
                "`{}` follows `{}`, which is no station with constants of its own",
                sub.id, sub.reference
            ),
            "the pack as it is shipped",
            "copy it again",
        )
        .within(world.file())),
    }
}

impl Stations {
    /// The world pack alone.
    pub fn of_world(world: World) -> Self {
        Self { world: Some(world), ..Self::default() }
    }

    /// Reads and checks a crew's own pack, without a world pack.
    pub fn read(pack: &PackText<'_>) -> Result<Self> {
        Self::read_beside(pack, None)
    }

    /// Reads and checks a crew's own pack, to stand before the world pack. Its subordinates may follow stations of
    /// either.
    pub fn read_beside(pack: &PackText<'_>, world: Option<World>) -> Result<Self> {
        let (stations, subordinates) = own::read(pack)?;
        let all = Self {
            stations: stations.into_iter().map(Arc::new).collect(),
            subordinates: subordinates.into_iter().map(Arc::new).collect(),
            world,
        };
        for (i, s) in all.subordinates.iter().enumerate() {
            if all.reference(&s.reference)?.is_none() {
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
        self.world.as_ref()
    }

    /// How many stations there are, the crew's own and those of the world pack.
    pub fn count(&self) -> usize {
        self.stations.len() + self.subordinates.len() + self.world().map_or(0, World::len)
    }

    /// A station with constants of its own.
    fn reference(&self, id: &str) -> Result<Option<Arc<Station>>> {
        if let Some(own) = self.stations.iter().find(|s| s.id == id) {
            return Ok(Some(own.clone()));
        }
        let Some((world, i)) = self.world().and_then(|w| Some((w, w.find(id)?))) else { return Ok(None) };
        Ok(match of_world(world, i)? {
            Found::Station(s) => Some(s),
            Found::Subordinate(..) => None,
        })
    }

    /// The crew's own stations.
    ///
    /// # Errors
    /// A broken record of the world pack that one of them follows.
    pub fn own(&self) -> Result<Vec<Found>> {
        let mut all: Vec<Found> = self.stations.iter().cloned().map(Found::Station).collect();
        for s in &self.subordinates {
            all.extend(self.reference(&s.reference)?.map(|r| Found::Subordinate(s.clone(), r)));
        }
        Ok(all)
    }

    /// Whether the crew has its own station of an id.
    pub(super) fn is_own(&self, id: &str) -> bool {
        self.stations.iter().any(|s| s.id == id) || self.subordinates.iter().any(|s| s.id == id)
    }

    /// The station of an id, or of its tail where that is unique (`8779750` for `noaa/8779750`).
    ///
    /// # Errors
    /// A tail that several stations share, with their ids; an unknown id, with those whose names hold it and the way
    /// on: a table of high and low waters.
    pub fn get(&self, id: &str) -> Result<Found> {
        let id = id.trim();
        if self.is_own(id)
            && let Some(own) = self.own()?.into_iter().find(|f| f.id() == id)
        {
            return Ok(own);
        }
        let Some(world) = self.world() else { return Err(self.unknown(id)) };
        if let Some(i) = world.find(id) {
            return of_world(world, i);
        }
        match world.with_tail(id).as_slice() {
            [] => Err(self.unknown(id)),
            [one] => of_world(world, *one),
            several => Err(Error::new(
                format!("`{id}` is the tail of {} tide stations", several.len()),
                several.iter().map(|i| world.id(*i)).collect::<Vec<_>>().join(", "),
                "write the whole id of the one that is meant",
            )),
        }
    }

    fn unknown(&self, id: &str) -> Error {
        let shown: String = id.chars().take(60).collect();
        let error = format!("no tide station `{shown}`");
        let own = self.stations.iter().map(|s| &s.id).chain(self.subordinates.iter().map(|s| &s.id));
        let own: Vec<&str> = own.map(|id| &**id).collect();
        let Some(world) = self.world() else {
            let remedy = "choose one of these, or type in the high and low waters of your own tide table";
            return Error::new(error, own.join(", "), remedy);
        };
        let mut allowed = Vec::new();
        let named =
            if shown.is_empty() { Vec::new() } else { self.search(&shown, false).unwrap_or_default() };
        allowed.extend(named.iter().take(SUGGESTED).map(|c| format!("{} ({})", c.id, c.name)));
        allowed.extend(own.iter().take(SUGGESTED).map(|id| (*id).to_owned()));
        let count = world.len();
        allowed.push(format!("the id of one of {count} stations like `noaa/8779750`, or its number alone"));
        Error::new(
            error,
            allowed.join(", "),
            "search by place or name, or type in the high and low waters of your own tide table",
        )
    }

    /// The station at a position of the world pack; the crew's own of the same id goes before it.
    pub(super) fn of_world_at(&self, i: usize) -> Result<Found> {
        match self.world() {
            Some(world) => of_world(world, i),
            None => Err(Error::new("there is no such station", "a station of the pack", "search again")),
        }
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

    fn shipped() -> Stations {
        let bytes: &'static [u8] = include_bytes!("../../../../../data/stations.bin");
        Stations::of_world(World::open("stations.bin", bytes).unwrap())
    }

    #[test]
    fn a_number_alone_is_enough_where_only_one_has_it() {
        let all = shipped();
        assert_eq!(all.get(" 8443970 ").unwrap().id(), "noaa/8443970");
        assert_eq!(all.get("WALVIS_BAY-220-NAM-UHSLC_FD").unwrap().name(), "Walvis Bay");
        let e = all.get("walvis").unwrap_err();
        assert!(e.allowed.starts_with("ticon/walvis_bay-220-nam-uhslc_fd (Walvis Bay), "), "{e}");
        // Two sources, one number: both are named, neither is taken.
        let world = all.world().unwrap();
        let record = |i: usize, id: &str| {
            let mut r = world.record(i).unwrap();
            r.card.id = id.into();
            r
        };
        let boston = world.find("noaa/8443970").unwrap();
        let two = [record(boston, "a/17"), record(boston, "b/17"), record(boston, "b/18")];
        let two = Stations::of_world(World::open("s", super::super::world::encode(&two).unwrap()).unwrap());
        let e = two.get("17").unwrap_err();
        assert!(e.error.contains("2 tide stations") && e.allowed == "a/17, b/17", "{e}");
        assert_eq!(
            (two.get("18").unwrap().id().to_owned(), two.get("b/17").unwrap().id()),
            ("b/18".into(), "b/17")
        );
    }

    #[test]
    fn every_shipped_source_is_one_whose_constants_are_understood() {
        let all = shipped();
        let world = all.world().unwrap();
        let mut counts = [0_usize; 3];
        for i in 0..world.len() {
            let r = world.record(i).unwrap();
            let which = match &*r.origin.source {
                s if s.starts_with("NOAA CO-OPS") => 0,
                s if s.starts_with("TICON") => 1,
                s if s.starts_with("Kartverket") => 2,
                other => panic!("{other}"),
            };
            counts[which] += 1;
            let free = ["public domain", "CC BY 4.0"].contains(&&*r.origin.licence);
            assert!(free && !r.origin.attribution.trim().is_empty(), "{}", r.card.id);
        }
        assert!(counts[0] > 3000 && counts[1] > 4000 && counts[2] > 20, "{counts:?}");
        // What is set aside is never offered.
        let near = all.nearest(Place::of_deg(42.35, -71.05).unwrap(), 50, false).unwrap();
        assert!(near.len() == 50 && near.iter().all(|n| n.found.set_aside().is_none()));
    }
}
