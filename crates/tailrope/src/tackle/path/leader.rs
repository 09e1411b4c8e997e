//! The leader stage: the fish is near, and hands and drag together load the leader alone.
//!
//! In a run the main line goes first and spares the leader. At the leader it does not: the leader hand holds
//! what a hand can hold, on top of the start-up value of the drag, and a sleeve that looks good and holds two
//! fifths shows there. Hand force: momentary grip of a weak man, 200 to 208 N (S18, published).

use super::parts::{LoadPath, PartKind};
use super::serial::{as_n, known_si};
use crate::facts::Known;
use crate::quantity::{Force, Length};
use serde::Serialize;

/// A part of the rig at the leader stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeaderPart {
    /// What the crew calls it.
    pub name: String,
    /// What it bears.
    #[serde(rename = "capacity_n", serialize_with = "known_si")]
    pub capacity: Known<Force>,
    /// Capacity over the load.
    pub margin: Known<f64>,
    /// The same if it is a sleeve of an untested batch that was badly made.
    pub margin_if_bad_sleeve: Option<f64>,
}

/// The leader stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeaderStage {
    /// Start-up drag at the tip, spool full.
    #[serde(rename = "line_n", serialize_with = "as_n")]
    pub line: Force,
    /// What the hands hold.
    #[serde(rename = "hands_n", serialize_with = "as_n")]
    pub hands: Force,
    /// Both together.
    #[serde(rename = "load_n", serialize_with = "as_n")]
    pub load: Force,
    /// Parts below the top of the rig.
    pub parts: Vec<LeaderPart>,
    /// Smallest margin; unknown without a rig or with a part of unknown strength.
    pub margin: Known<f64>,
    /// Smallest margin if every untested sleeve were badly made.
    pub margin_if_bad_sleeves: Known<f64>,
}

impl LoadPath {
    /// The leader stage with `full` set off the reel at a full spool.
    pub fn leader_stage(&self, full: Force) -> LeaderStage {
        let line = full * (self.guides.value * self.start_up.value);
        let hands = self.stage.hand.value.central * f64::from(self.stage.hands);
        let load = line + hands;
        let parts: Vec<LeaderPart> = self
            .parts
            .iter()
            .filter(|p| p.outer < Length::ZERO || p.kind == PartKind::Hook)
            .map(|p| {
                let capacity: Known<Force> = p.strength.as_ref().map(|s| s.band.central).into();
                let margin: Known<f64> = capacity.get().map(|c| c / load).into();
                LeaderPart {
                    name: p.name.clone(),
                    capacity,
                    margin,
                    margin_if_bad_sleeve: margin
                        .get()
                        .filter(|_| p.untested_sleeve)
                        .map(|m| m * self.bad_sleeve),
                }
            })
            .collect();
        let least = |of: fn(&LeaderPart) -> Option<f64>| {
            let all: Option<Vec<f64>> = parts.iter().map(of).collect();
            all.and_then(|m| m.into_iter().min_by(f64::total_cmp)).into()
        };
        let margin = least(|p| p.margin.get());
        let margin_if_bad_sleeves = least(|p| p.margin_if_bad_sleeve.or(p.margin.get()));
        LeaderStage { line, hands, load, parts, margin, margin_if_bad_sleeves }
    }
}
