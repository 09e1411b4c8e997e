//! How a fight ends.

use serde::Serialize;

/// The ending of a fight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ended {
    /// Brought to hand and unhooked.
    Unhooked,
    /// Brought to hand and cut at the hook or leader.
    CutAtFish,
    /// The spool ran empty.
    Spooled,
    /// A part let go: pieces of line first (nearest the fish first), then the end parts.
    Parted {
        /// Index of the part.
        part: usize,
    },
    /// The hook pulled out.
    HookPulled,
    /// The crew cut the line at the rod.
    CutAtRod,
}

/// One fight's outcome.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ending {
    /// How it ended.
    pub ended: Ended,
    /// Minutes from hook-up to the end (to the leader in hand, if landed).
    pub minutes: f64,
    /// Minutes from the leader in hand to the fish secured; 0 if lost.
    pub landing_minutes: f64,
    /// Greatest line out, m.
    pub line_out_m: f64,
    /// Line the fish trails away, m.
    pub trailing_m: f64,
    /// Greatest tension at the hook, jerks not counted, N.
    pub peak_n: f64,
    /// Whether the pull moved the angler at least once.
    pub moved: bool,
    /// What the fish had left, 0 to 1.
    pub left: f64,
    /// Mass of this fish, kg.
    pub mass_kg: f64,
    /// Length of this fish, m (of the length type given).
    pub length_m: f64,
}

impl Ended {
    /// Whether the fish was brought to hand.
    pub fn to_hand(self) -> bool {
        matches!(self, Self::Unhooked | Self::CutAtFish)
    }
}

/// The outcomes of consecutive fights, mergeable in order.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Part {
    /// Number of the first fight.
    pub first: u64,
    /// Their endings, in order.
    pub endings: Vec<Ending>,
}

impl Part {
    /// Puts parts together in the order of their fights, whoever ran them and in whatever order they came.
    pub fn merge(parts: impl IntoIterator<Item = Self>) -> Self {
        let mut parts: Vec<Self> = parts.into_iter().collect();
        parts.sort_by_key(|p| p.first);
        let first = parts.first().map_or(0, |p| p.first);
        Self { first, endings: parts.into_iter().flat_map(|p| p.endings).collect() }
    }
}
