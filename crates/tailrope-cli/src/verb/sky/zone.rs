//! In which zone times are shown when nobody said: that of the nearest tide station.

use crate::answer::Failure;
use crate::desk::Desk;
use crate::when;
use tailrope::quantity::{Length, Place};
use tailrope::sea::tide::Found;

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

/// A station by its name.
pub fn station(desk: &Desk, id: &str) -> Result<Found, Failure> {
    Ok(desk.packs.stations()?.get(id)?)
}

/// The zone of the nearest station that has one.
pub fn nearest(desk: &Desk, place: Place) -> Result<(String, Whence, Option<Found>), Failure> {
    let near = desk.packs.stations()?.nearest(place, LOOKED_AT, true)?;
    let known = near.iter().find(|n| n.distance.km() <= FAR_KM && when::zone(n.found.zone()).is_ok());
    Ok(match known {
        Some(n) => {
            let whence = Whence::Nearest { name: n.found.name().to_owned(), away: n.distance };
            (n.found.zone().to_owned(), whence, Some(n.found.clone()))
        }
        None => ("UTC".to_owned(), Whence::Nowhere, None),
    })
}
