//! What the release looked like, and what it does to the odds; the figure a plan is judged by.

use crate::facts::Band;
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// How the fish left, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// Kicked off strongly.
    Strong,
    /// Slow but upright.
    SlowButUpright,
    /// Rolled, or no tail beat.
    RolledOrNoTailBeat,
    /// No reflex of jaw or eyelid.
    NoJawOrEyelidReflex,
    /// Dead at release.
    Dead,
    /// Not seen.
    NotSeen,
}

/// Factors on the odds of death by condition at release.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ConditionFactors {
    pub(super) strong: f64,
    pub(super) slow: f64,
    pub(super) rolled: f64,
    pub(super) no_reflex: f64,
}

impl ConditionFactors {
    /// Chance of death after the release was seen: posterior odds = prior odds x factor (judgement, after Musyl &
    /// Gilman 2018 and Jerome 2018). `SlowButUpright` and `NotSeen` leave it as it was.
    pub fn update(&self, prior: Band<f64>, seen: Condition) -> Band<f64> {
        let factor = match seen {
            Condition::Strong => self.strong,
            Condition::SlowButUpright => self.slow,
            Condition::RolledOrNoTailBeat => self.rolled,
            Condition::NoJawOrEyelidReflex => self.no_reflex,
            Condition::NotSeen => 1.0,
            Condition::Dead => return Band::exact(1.0),
        };
        prior.map(|p| {
            let p = p.clamp(0.0, 1.0);
            p * factor / (1.0 - p + p * factor)
        })
    }
}

/// Chance that the hooked fish is alive whatever the ending: the sum over endings of chance x (1 - death). This
/// is the figure a plan is judged by; chances must sum to 1 within a thousandth.
pub fn alive_whatever_the_ending(endings: &[(f64, Band<f64>)]) -> Result<Band<f64>> {
    let total: f64 = endings.iter().map(|(chance, _)| chance).sum();
    if (total - 1.0).abs() > 1e-3 || endings.iter().any(|(c, _)| !(0.0..=1.001).contains(c)) {
        return Err(Error::new(
            format!("the chances of the endings sum to {total}"),
            "chances between 0 and 1 that sum to 1",
            "count every ending once",
        ));
    }
    let alive = |death: fn(&Band<f64>) -> f64| endings.iter().map(|(c, d)| c * (1.0 - death(d))).sum();
    Ok(Band { low: alive(|d| d.high), central: alive(|d| d.central), high: alive(|d| d.low) })
}
