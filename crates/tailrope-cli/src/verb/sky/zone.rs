//! In which zone times are shown when nobody said: that of the nearest tide station.

use crate::answer::Failure;
use crate::desk::Desk;
use crate::when;
use tailrope::quantity::{Length, Place};
use tailrope::sea::tide::Stations;
use tailrope::sea::tide::world::World;

/// The shipped pack of tide stations.
static WORLD: &[u8] = include_bytes!("../../../../../data/stations.bin");

/// Beyond this a station says nothing of a beach's clocks.
const FAR_KM: f64 = 500.0;

/// Whence the zone is taken.
pub enum Whence {
    /// It was typed.
    Said,
    /// It is the named station's own.
    Station,
    /// That of the nearest station.
    Nearest {
        /// The station.
        name: String,
        /// How far it is.
        away: Length,
    },
    /// No station is near: UTC.
    Nowhere,
}

/// A station by its name: how it is called, where it stands, its zone.
pub fn station(desk: &Desk, id: &str) -> Result<(String, Place, Option<String>), Failure> {
    let pack = desk.packs.get("stations.toml")?;
    let stations = Stations::read(&pack.text())?;
    let found = stations.get(id)?;
    Ok((found.name().to_owned(), found.place(), Some(found.zone().to_owned())))
}

/// The zone of the nearest station of the world pack that has one.
pub fn nearest(_: &Desk, place: Place) -> Result<(String, Whence), Failure> {
    let world = World::open("data/stations.bin", WORLD)?;
    let mut near: Vec<(Length, usize)> = (0..world.len())
        .filter_map(|i| world.place(i).map(|p| (p.distance(place), i)))
        .filter(|(away, _)| away.km() <= FAR_KM)
        .collect();
    near.sort_by(|a, b| a.0.m().total_cmp(&b.0.m()));
    for (away, i) in near {
        let card = world.card(i)?;
        if when::zone(&card.zone).is_ok() {
            return Ok((card.zone, Whence::Nearest { name: card.name, away }));
        }
    }
    Ok(("UTC".to_owned(), Whence::Nowhere))
}
