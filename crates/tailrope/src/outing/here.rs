//! The tide at the beach around the night: of a typed table, of the station that is named, and what must be said of it.
//!
//! A typed table goes before the station on the nights that it covers without a gap ([`table`]). Typed levels of the
//! beach are held against the tide only where it is known what they are above.

mod table;

use super::facts::Facts;
use super::file::{Outing, WayOut};
use super::hours::Hours;
use super::limits::Limits;
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

/// A state word of a limit row, and its sentence.
pub type State = (&'static str, String);

/// The tide at the beach.
#[derive(Default)]
pub struct TideHere {
    /// From an hour before the night to a day after; of a table as far as it goes.
    pub tide: Option<Tide>,
    /// Distance to its station, or to the place of the table, km.
    pub km: Known<f64>,
    /// Whether it is that of a typed table.
    pub of_table: bool,
    /// What must be said with it.
    pub notes: Vec<String>,
    /// States of the row `tide.table`.
    pub table: Vec<State>,
    /// States of the row `station.doubt`.
    pub doubts: Vec<State>,
    /// Whether its station looks as if it stood behind an inlet.
    pub inner: bool,
    /// The nearest stations in words, where none is named and no table covers the night.
    pub nearest: Vec<String>,
    /// The level at which the way out is cut off, above the datum of the tide.
    pub cut_off: Known<Length>,
    /// Why that is not known, and what to write, where a level is typed.
    pub cut_off_asks: Option<String>,
}

impl TideHere {
    /// Looks it up.
    ///
    /// # Errors
    /// A station that is not known, a table that cannot be one.
    pub fn of(facts: &Facts, outing: &Outing, hours: &Hours, limits: &Limits, units: Units) -> Result<Self> {
        let hour = SignedDuration::from_hours(1);
        let from = hours.from.checked_sub(hour).unwrap_or(hours.from);
        let to = hours.until.checked_add(hour * 24).unwrap_or(hours.until);
        let around = Interval::new(from, to)?;
        let place = Place::of_deg(outing.beach.latitude, outing.beach.longitude)?;
        let mut here = Self::default();
        if let Some(typed) = &outing.beach.tide_table {
            table::look(&mut here, facts, outing, typed, hours, around, limits)?;
        }
        if here.tide.is_none() {
            here.station(facts, outing, place, around, limits, units)?;
        }
        here.cut_off(outing, hours);
        Ok(here)
    }

    /// The tide of the named station; the nearest in words where none is named.
    fn station(
        &mut self,
        facts: &Facts,
        outing: &Outing,
        place: Place,
        around: Interval,
        limits: &Limits,
        units: Units,
    ) -> Result<()> {
        let Known::Known(id) = &outing.beach.tide_station else {
            let near = facts.stations.nearest(place, NAMED, false)?;
            let word =
                |n: &Near| format!("{} ({}) {}", n.found.id(), n.found.name(), units.distance(n.distance));
            self.nearest = near.iter().map(word).collect();
            return Ok(());
        };
        let found = facts.stations.get(id).map_err(|e| e.within("beach.tide_station"))?;
        let km = found.place().distance(place).km();
        self.km = Known::Known(km);
        self.notes.extend(found.cautions().into_iter().map(|c| format!("{}: {c}", found.name())));
        self.doubt(facts, &found, place, km, limits, units)?;
        self.tide = Some(Tide::of_found(&found, around)?);
        Ok(())
    }

    /// What speaks against the named station, and a nearer one without doubt. That one is a caution only where the named
    /// one is so far off that another stretch of coast may be meant.
    fn doubt(
        &mut self,
        facts: &Facts,
        found: &Found,
        place: Place,
        km: f64,
        limits: &Limits,
        units: Units,
    ) -> Result<()> {
        let near = facts.stations.nearest(place, COMPARED, true)?;
        if let Some(this) = near.iter().find(|n| n.found.id() == found.id()) {
            self.inner = !this.is_fit();
            self.doubts.extend(this.doubts.iter().map(|d| {
                let state = if d.is_inner() { "inner" } else { "other-kind" };
                (state, format!("Tide station {}: {}", found.name(), lower(&d.sentence())))
            }));
        }
        let nearer = |n: &&Near| n.is_fit() && n.found.set_aside().is_none() && n.distance.km() < NEARER * km;
        if let Some(n) = near.iter().find(nearer).filter(|n| n.found.id() != found.id()) {
            let sentence = format!(
                "Tide station {} is {} away; {} ({}) is nearer, {}.",
                found.name(),
                units.distance(Length::of_km(km)),
                n.found.name(),
                n.found.id(),
                units.distance(n.distance)
            );
            if km > limits.figure("station.nearer_km") {
                self.doubts.push(("nearer", sentence));
            } else {
                self.notes.push(sentence);
            }
        }
        Ok(())
    }

    /// Holds the level of the way out against the datum of the tide. What was typed beside a table may be above the
    /// table's datum or the station's: that is asked, never guessed.
    fn cut_off(&mut self, outing: &Outing, hours: &Hours) {
        let (Known::Known(WayOut::CutOffAt(level)), Some(tide)) = (&outing.beach.way_out, &self.tide) else {
            return;
        };
        let own = &tide.about().datum;
        let Known::Known(datum) = &outing.beach.levels_above else {
            if outing.beach.tide_table.is_none() {
                self.cut_off = Known::Known(*level);
            } else {
                self.cut_off_asks = Some(format!(
                    "say what cut_off_at is above: write beach.levels_above (the tide of this night is above {own})"
                ));
            }
            return;
        };
        let turned = tide.clone().above_datum(datum);
        let shift = turned.and_then(|t| Ok(tide.predicted(hours.from)? - t.predicted(hours.from)?));
        if let Ok(shift) = shift {
            self.cut_off = Known::Known(*level + shift);
            return;
        }
        let shown: String = datum.chars().take(40).collect();
        self.cut_off_asks = Some(format!(
            "cut_off_at is above {shown}, the tide of this night above {own}, and how they lie to each other is not \
             known: write cut_off_at and beach.levels_above anew, above {own}"
        ));
    }
}

/// Its first letter small, to stand after a colon.
fn lower(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars.next().map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}
