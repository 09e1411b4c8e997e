//! In which zone times are shown when nobody said: that of the nearest tide station.

use crate::answer::Failure;
use crate::desk::Desk;
use crate::when;
use tailrope::quantity::{Length, Place};

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

/// Stations looked at until one's zone is known.
const LOOKED_AT: usize = 8;

/// A station by its name: how it is called, where it stands, its zone.
pub fn station(desk: &Desk, id: &str) -> Result<(String, Place, Option<String>), Failure> {
    let found = desk.packs.stations()?.get(id)?;
    Ok((found.name().to_owned(), found.place(), Some(found.zone().to_owned())))
}

/// The zone of the nearest station that has one.
pub fn nearest(desk: &Desk, place: Place) -> Result<(String, Whence), Failure> {
    let near = desk.packs.stations()?.nearest(place, LOOKED_AT, true)?;
    let known = near.iter().find(|n| n.distance.km() <= FAR_KM && when::zone(n.found.zone()).is_ok());
    Ok(match known {
        Some(n) => {
            let whence = Whence::Nearest { name: n.found.name().to_owned(), away: n.distance };
            (n.found.zone().to_owned(), whence)
        }
        None => ("UTC".to_owned(), Whence::Nowhere),
    })
}
