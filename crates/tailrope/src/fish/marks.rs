//! Marks by which a fish is named under a headlamp: loaded and checked here.
//!
//! A feature not listed for a species tells nothing about it. Of a listed feature, states that are not listed
//! share what the listed ones leave, never below the floor of the pack. All probabilities are judgement from
//! identification texts.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One feature that can be looked at.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Feature {
    /// How often a person with a headlamp sees it right, 0 to 1.
    #[serde(rename = "reliability_headlamp")]
    pub reliability: f64,
    /// Where to look.
    #[serde(rename = "where")]
    pub place: String,
    /// What it can be.
    pub states: Vec<String>,
}

/// Probability of each listed state of each listed feature.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Marks(pub(super) BTreeMap<String, BTreeMap<String, f64>>);

/// All features, and how a state nobody listed is treated.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Features {
    /// By name.
    pub all: BTreeMap<String, Feature>,
    /// Least probability of any state.
    pub floor: f64,
    /// Below this a name is not sure.
    pub trust: f64,
}

impl Features {
    /// Probability that a fish with these marks shows `state` of `feature`; `None` for a name that does not exist.
    pub fn likelihood(&self, marks: &Marks, feature: &str, state: &str) -> Option<f64> {
        let known = self.all.get(feature)?;
        if !known.states.iter().any(|s| s == state) {
            return None;
        }
        let count = known.states.len() as f64;
        let Some(listed) = marks.0.get(feature) else { return Some(1.0 / count) };
        if let Some(p) = listed.get(state) {
            return Some(p.max(self.floor));
        }
        let left = 1.0 - listed.values().sum::<f64>();
        let others = (count - listed.len() as f64).max(1.0);
        Some((left / others).max(self.floor))
    }
}

/// Two kinds that are taken for each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LookAlike {
    /// Their handles.
    pub pair: [String; 2],
    /// 1: cannot be told apart.
    pub overlap: f64,
    /// Where both are met.
    pub places: Vec<String>,
    /// What tells them apart.
    pub tell: String,
}
