//! Where the hook sits, and how likely each place is for a style of hook.
//!
//! The strongest single factor on one fish (fish.md 1). Mixes: circle hooks 94 jaw / 2 foul / 3 deep / 1 gill, J or
//! offset 67 / 2 / 30 / 1 until the crew counts its own (deep shares: Vecchio & Wenner 2007, red drum; DERIVED).

use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Where the hook sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HookPlace {
    /// Hinge of the jaw or lip.
    Jaw,
    /// Outside the mouth: fin, body, eye.
    Foul,
    /// Throat or gut.
    Deep,
    /// Gill arch, or a bleeding gill.
    Gill,
}

impl HookPlace {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Jaw => "in the jaw",
            Self::Foul => "outside the mouth",
            Self::Deep => "in throat or gut",
            Self::Gill => "in the gills",
        }
    }
}

/// Which hook is fished: it decides the chance of each place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HookStyle {
    /// Circle hook, not offset.
    Circle,
    /// J hook, or an offset circle hook.
    JOrOffset,
}

/// Chance of each hook place. Sums to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HookMix {
    pub(super) jaw: f64,
    pub(super) foul: f64,
    pub(super) deep: f64,
    pub(super) gill: f64,
}

impl HookMix {
    /// A crew's own counts of places. Refuses all zero.
    pub fn from_counts(jaw: u32, foul: u32, deep: u32, gill: u32) -> Result<Self> {
        let total = f64::from(jaw) + f64::from(foul) + f64::from(deep) + f64::from(gill);
        if total < 1.0 {
            return Err(Error::new("no hook place was counted", "at least one fish", "use the pack's mix"));
        }
        let share = |n: u32| f64::from(n) / total;
        Ok(Self { jaw: share(jaw), foul: share(foul), deep: share(deep), gill: share(gill) })
    }
    /// Chance of a place.
    pub const fn share(&self, place: HookPlace) -> f64 {
        match place {
            HookPlace::Jaw => self.jaw,
            HookPlace::Foul => self.foul,
            HookPlace::Deep => self.deep,
            HookPlace::Gill => self.gill,
        }
    }
}

/// What is known of the hook's place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hook {
    /// Seen.
    At(HookPlace),
    /// Not seen: the mix of the species for this style of hook.
    Style(HookStyle),
    /// Not seen: this mix, for instance the crew's own counts.
    Mix(HookMix),
}
