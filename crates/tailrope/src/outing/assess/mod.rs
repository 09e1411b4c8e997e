//! The assessment: each part of the night against its limits, one file a part.
//!
//! Every file takes the same [`Ctx`] and adds to the same findings; none gives a verdict by itself, the rows of
//! [`super::limits`] do.

pub(super) mod bait;
pub(super) mod crew;
pub(super) mod far;
pub(super) mod fight;
pub(super) mod fish;
pub(super) mod footing;
pub(super) mod hold;
pub(super) mod hourly;
pub(super) mod kit;
pub(super) mod law;
pub(super) mod rig;
pub(super) mod sea;
pub(super) mod site;
pub(super) mod steps;
pub(super) mod tackle;

use super::conditions::Conditions;
use super::facts::Facts;
use super::file::Outing;
use super::here::TideHere;
use super::hours::Hours;
use super::limits::Limits;
use super::make::Options;
use crate::facts::Known;
use crate::quantity::Length;
use crate::tackle::Outfit;
use jiff::Timestamp;

/// Sun below this is dark on the sand.
pub(super) const DARK_DEG: f64 = -6.0;

/// One moment of the night.
#[derive(Clone, Copy, Debug)]
pub(in crate::outing) struct Moment {
    /// When.
    pub at: Timestamp,
    /// Height of the sun, degrees.
    pub sun_deg: f64,
    /// Height of the moon, degrees.
    pub moon_deg: f64,
    /// Light of sky and moon on level ground, by height and phase, under a clear sky, lux.
    pub lux: f64,
    /// The moon's share of it, lux.
    pub moon_lux: f64,
    /// Water level above the station's datum, residual included; nothing without a station.
    pub level: Option<Length>,
    /// The highest that it may stand: with the error of the residual, or where nobody read one with what weather may add
    /// and the run-up.
    pub high: Option<Length>,
}

/// Everything the assessment reads.
pub(in crate::outing) struct Ctx<'a> {
    /// Data packs.
    pub facts: &'a Facts,
    /// The outing.
    pub outing: &'a Outing,
    /// Options.
    pub options: &'a Options,
    /// Limits, the crew's edits applied.
    pub limits: Limits,
    /// Hours.
    pub hours: Hours,
    /// Sea and weather, the worst of the wanted hours.
    pub conditions: Conditions,
    /// The same piece by piece where forecasts change; one piece where none does.
    pub spells: Vec<hourly::Spell>,
    /// What gauges ask to be said.
    pub gauge_notes: Vec<(String, Vec<super::finding::Reason>)>,
    /// Reports that are too old to say anything: source, newest time, age in hours.
    pub silent: Vec<(String, Timestamp, f64)>,
    /// The fish.
    pub fish: fish::FishSet<'a>,
    /// Moments of the wanted hours, ten minutes apart.
    pub moments: Vec<Moment>,
    /// Whether it is dark two hours after the last bait, when a fish may still be landed.
    pub dark_late: bool,
    /// The tide from an hour before to a day after, and what must be said of it.
    pub here: TideHere,
    /// How the bait lies, with the line out; nothing before it is asked.
    pub lies: hold::Lies,
    /// How fights are run.
    pub run: fight::RunFights<'a>,
}

impl Ctx<'_> {
    /// The outfit to be fished.
    pub fn main_outfit(&self) -> &Outfit {
        // The check of the outing file refuses an empty list.
        &self.outing.outfit[0]
    }

    /// Whether some of the wanted hours, or of the fight after them, are dark.
    pub fn dark(&self) -> bool {
        self.dark_late || self.moments.iter().any(|m| m.sun_deg < DARK_DEG)
    }

    /// Moments at which a bait may be taken out.
    pub fn bait_moments(&self) -> impl Iterator<Item = &Moment> {
        self.moments.iter().filter(|m| m.at <= self.hours.last_bait_in)
    }

    /// Sea and weather at a moment.
    pub fn conditions_at(&self, at: Timestamp) -> &Conditions {
        self.spells.iter().find(|s| s.hours.contains(at)).map_or(&self.conditions, |s| &s.conditions)
    }

    /// Whether the night is over when it is read; by the day alone where no moment is known.
    pub fn over(&self) -> bool {
        match self.options.now {
            Some(now) => self.hours.until <= now,
            None => self.hours.date() < self.options.read_on,
        }
    }

    /// What of sea and weather is known: in all hours, in some, in none.
    pub fn known(&self) -> &'static str {
        let of = |speaks: fn(&Conditions) -> bool| {
            let n = self.spells.iter().filter(|s| speaks(&s.conditions)).count();
            (n == self.spells.len(), n == 0)
        };
        // A water level, or a temperature, alone is no sea: the waves are.
        let waves = |c: &Conditions| {
            c.sea_speaks
                && !(c.swell.is_unknown() && c.breaker.is_unknown() && c.breaker_at_least.is_unknown())
        };
        match (of(waves), of(|c| c.weather_speaks)) {
            ((true, _), (true, _)) => "all",
            ((_, true), (true, _)) => "no sea",
            ((true, _), (_, true)) => "no weather",
            ((_, true), (_, true)) => "no sea, no weather",
            (_, (true, _)) => "sea in part",
            ((true, _), _) => "weather in part",
            ((_, true), _) => "no sea, weather in part",
            (_, (_, true)) => "sea in part, no weather",
            _ => "sea in part, weather in part",
        }
    }

    /// Whether the angler is clipped in; unknown counts as clipped.
    pub fn clipped(&self) -> bool {
        self.outing.safety.clip != Known::Known(super::file::Clip::NotClipped)
    }
}
