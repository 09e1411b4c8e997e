//! The tide at the beach around the night: of a typed table, of the station that is named, and what must be said of it.

use super::facts::Facts;
use super::file::Outing;
use super::hours::Hours;
use crate::Result;
use crate::facts::Known;
use crate::quantity::{Interval, Length, Place, Units};
use crate::sea::tide::{Found, Near, Tide};
use jiff::SignedDuration;

/// Stations named where the outing names none.
const NAMED: usize = 3;
/// Stations among which the named one is compared with its neighbours.
const COMPARED: usize = 12;
/// A nearer station without doubt is told of when it is less than half as far.
const NEARER: f64 = 0.5;

/// The tide at the beach.
pub struct TideHere {
    /// From an hour before the night to a day after; of a table as far as it goes.
    pub tide: Option<Tide>,
    /// Distance to its station, km; 0 of a table.
    pub km: Known<f64>,
    /// What must be said with it.
    pub notes: Vec<String>,
    /// The nearest stations in words, where none is named and no table covers the night.
    pub nearest: Vec<String>,
}

impl TideHere {
    /// Looks it up.
    ///
    /// # Errors
    /// A station that is not known, a table that cannot be one.
    pub fn of(facts: &Facts, outing: &Outing, hours: &Hours, units: Units) -> Result<Self> {
        let hour = SignedDuration::from_hours(1);
        let from = hours.from.checked_sub(hour).unwrap_or(hours.from);
        let to = hours.until.checked_add(hour * 24).unwrap_or(hours.until);
        let mut notes = Vec::new();
        if let Some(typed) = &outing.beach.tide_table {
            let table = typed.table(Some(&hours.zone)).map_err(|e| e.within("beach.tide_table"))?;
            let covers = table.covers().filter(|c| c.from() <= hours.from && c.to() >= hours.until);
            if let Some(covers) = covers {
                let when = Interval::new(from.max(covers.from()), to.min(covers.to()))?;
                let tide = Tide::of_table(&table, when).map_err(|e| e.within("beach.tide_table"))?;
                notes.push(format!("The tide is that of the typed table ({}).", table.source));
                return Ok(Self { tide: Some(tide), km: Known::Known(0.0), notes, nearest: Vec::new() });
            }
            notes.push(format!(
                "The typed tide table ({}) does not cover this night: type in the waters from before it to after it.",
                table.source
            ));
        }
        let place = Place::of_deg(outing.beach.latitude, outing.beach.longitude)?;
        let Known::Known(id) = &outing.beach.tide_station else {
            let near = facts.stations.nearest(place, NAMED, false)?;
            let nearest = near
                .iter()
                .map(|n| format!("{} ({}) {}", n.found.id(), n.found.name(), units.distance(n.distance)))
                .collect();
            return Ok(Self { tide: None, km: Known::Unknown, notes, nearest });
        };
        let found = facts.stations.get(id).map_err(|e| e.within("beach.tide_station"))?;
        let km = found.place().distance(place).km();
        notes.extend(found.cautions().into_iter().map(|c| format!("{}: {c}", found.name())));
        notes.extend(doubts(facts, &found, place, km, units)?);
        let tide = Tide::of_found(&found, Interval::new(from, to)?)?;
        Ok(Self { tide: Some(tide), km: Known::Known(km), notes, nearest: Vec::new() })
    }
}

/// What speaks against the named station, and a nearer one without doubt.
fn doubts(facts: &Facts, found: &Found, place: Place, km: f64, units: Units) -> Result<Vec<String>> {
    let near = facts.stations.nearest(place, COMPARED, true)?;
    let mut all = Vec::new();
    if let Some(this) = near.iter().find(|n| n.found.id() == found.id()) {
        all.extend(
            this.doubts.iter().map(|d| format!("Tide station {}: {}", found.name(), lower(&d.sentence()))),
        );
    }
    let nearer = |n: &&Near| n.is_fit() && n.found.set_aside().is_none() && n.distance.km() < NEARER * km;
    if let Some(n) = near.iter().find(nearer).filter(|n| n.found.id() != found.id()) {
        all.push(format!(
            "Tide station {} is {} away; {} ({}) is nearer, {}.",
            found.name(),
            units.distance(Length::of_km(km)),
            n.found.name(),
            n.found.id(),
            units.distance(n.distance)
        ));
    }
    Ok(all)
}

/// Its first letter small, to stand after a colon.
fn lower(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars.next().map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}
