//! The three verdicts, the three severities and the topics they speak about.

use serde::{Deserialize, Serialize};

/// What the plan says: the worst of its findings, nothing averaged away.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Nothing forbids and nothing warns.
    Go,
    /// Something warns: read the cautions first.
    Caution,
    /// Something forbids.
    Stop,
}

impl Verdict {
    /// The word on screen and paper.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Go => "go",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
}

/// How much a finding weighs.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Warns.
    Caution,
    /// Forbids.
    Stop,
}

impl Severity {
    /// The word on screen and paper.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
    /// The verdict that a finding of this severity forces.
    pub const fn verdict(self) -> Verdict {
        match self {
            Self::Note => Verdict::Go,
            Self::Caution => Verdict::Caution,
            Self::Stop => Verdict::Stop,
        }
    }
}

/// What a finding is about.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Topic {
    /// People: number, fitness, drill, contact.
    Crew,
    /// What the angler bears.
    Footing,
    /// Rules.
    Law,
    /// Tide, surf, current, water temperature.
    Sea,
    /// Wind, thunder, light.
    Sky,
    /// The place and who else is there.
    Site,
    /// Load path and drag.
    Tackle,
    /// The forecast.
    Fight,
    /// Survival and handling.
    Fish,
    /// Sinker and bait.
    Hold,
    /// Things to bring.
    Kit,
}
