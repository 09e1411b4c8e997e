//! The nine roles, the phases in which they work, and how near the water.

use serde::{Deserialize, Serialize};

/// A role on the beach.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Decides go, stop, cut; watches people.
    SafetyLead,
    /// Rod, drag, harness.
    Angler,
    /// Takes over in a long fight.
    ReliefAngler,
    /// Beside the angler, watching waves and people.
    Spotter,
    /// Holds the harness strap.
    HarnessHand,
    /// Takes the leader.
    LeaderHand,
    /// Sets and holds the tail rope.
    TailRopeHand,
    /// Species call, unhooking or cutting.
    HookHand,
    /// Takes the bait out by kayak or board.
    BaitHand,
}

impl Role {
    /// All, in the order in which they are read out.
    pub const ALL: [Self; 9] = [
        Self::SafetyLead,
        Self::Angler,
        Self::ReliefAngler,
        Self::Spotter,
        Self::HarnessHand,
        Self::LeaderHand,
        Self::TailRopeHand,
        Self::HookHand,
        Self::BaitHand,
    ];

    /// The word in files and on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SafetyLead => "safety-lead",
            Self::Angler => "angler",
            Self::ReliefAngler => "relief-angler",
            Self::Spotter => "spotter",
            Self::HarnessHand => "harness-hand",
            Self::LeaderHand => "leader-hand",
            Self::TailRopeHand => "tail-rope-hand",
            Self::HookHand => "hook-hand",
            Self::BaitHand => "bait-hand",
        }
    }
}

/// A stretch of the night with its own set of roles.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// Someone takes a bait out by kayak or board.
    PaddleOut,
    /// Bait in the water, waiting.
    Soak,
    /// From hook-up until the leader is in reach.
    Fight,
    /// Leader, wash, unhooking or cutting, release.
    Landing,
}

impl Phase {
    /// The word in files and on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::PaddleOut => "paddle-out",
            Self::Soak => "soak",
            Self::Fight => "fight",
            Self::Landing => "landing",
        }
    }
}

/// How near the water a role is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    /// Above the dry line.
    Dry,
    /// At most ankle-deep.
    Ankle,
    /// In the wash, at most to the handlers' depth limit.
    Wash,
    /// Beyond the break.
    Sea,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_those_of_the_files() {
        for role in Role::ALL {
            assert_eq!(serde_json::to_value(role).unwrap(), role.word());
        }
        for phase in [Phase::PaddleOut, Phase::Soak, Phase::Fight, Phase::Landing] {
            assert_eq!(serde_json::to_value(phase).unwrap(), phase.word());
        }
    }
}
