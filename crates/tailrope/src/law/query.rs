//! What to check, and what the crew was told when it asked.

use super::words::{Level, Stage};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What to check.
#[derive(Clone, Debug)]
pub struct Query {
    /// The place, as the crew calls it.
    pub place: String,
    /// Packs of the place; their parents come with them, and so do packs whose zones the facts name.
    pub packs: Vec<String>,
    /// How far the night has gone.
    pub stage: Stage,
    /// Day of the trip; sets `trip.date` where the facts leave it open.
    pub trip_date: Option<Date>,
    /// Day on which packs are read: after its review day a pack no longer says *comply*.
    pub read_on: Date,
    /// Levels in which the place lies (a city, a park): one without a pack is to be asked about.
    pub lies_in: Vec<Level>,
    /// What the crew asked and was told.
    pub confirmations: Vec<Confirmation>,
}

impl Query {
    /// A plan for these packs, read on this day.
    pub fn plan(packs: &[&str], read_on: Date) -> Self {
        Self {
            place: String::new(),
            packs: packs.iter().map(|s| (*s).to_owned()).collect(),
            stage: Stage::Plan,
            trip_date: None,
            read_on,
            lies_in: Vec::new(),
            confirmations: Vec::new(),
        }
    }

    /// The answer that counts for a rule or `pack#kind`: given on the day of reading or of the trip, and the
    /// stricter of two.
    pub(super) fn answer(&self, about: &str, trip: Option<Date>) -> Option<&Confirmation> {
        self.confirmations
            .iter()
            .filter(|c| c.about == about && c.on <= self.read_on)
            .filter(|c| c.on == self.read_on || Some(c.on) == trip)
            .min_by_key(|c| c.lawful)
    }
}

/// An agency's answer. It counts on the day it was given and for a trip on that day, not longer.
///
/// A *lawful* answer turns what was only probably unlawful, stale or to be asked; it never turns a breach of a
/// rule that was read. An *unlawful* one makes a breach of any of them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Confirmation {
    /// Id of the rule, or `pack#kind` for a kind the pack is silent about.
    pub about: String,
    /// Day of the answer.
    #[schemars(with = "String")]
    pub on: Date,
    /// Whether what is planned is lawful.
    pub lawful: bool,
    /// Who said it, in what words.
    pub said: String,
}
