//! A number that knows how far it can be trusted and where it was read.

use serde::{Deserialize, Serialize};

/// How far a figure can be trusted. `Measured` (the crew's own) is the strongest, `Default` the weakest.
///
/// The order of the variants is the order of strength, strongest first, so `max` is the weaker of two.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// The crew measured it on its own tackle, people or beach.
    Measured,
    /// Read in a paper, a law or an agency's page.
    Published,
    /// Read in somebody else's account of it.
    SecondHand,
    /// Computed from other figures.
    Derived,
    /// From memory of the trade's charts and texts: confirm it.
    Recalled,
    /// Judgement.
    Estimate,
    /// A default of this project, editable.
    Default,
}

impl Grade {
    /// The word shown beside the number.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Published => "published",
            Self::SecondHand => "second-hand",
            Self::Derived => "derived",
            Self::Recalled => "recalled",
            Self::Estimate => "estimate",
            Self::Default => "default",
        }
    }

    /// Reads a mark as the research files write it (`SEEN`, `SEEN-2`, `REC`, `DERIVED` ...) or as we show it.
    ///
    /// A mixed mark (`SEEN / DERIVED`) counts as its weakest; an unknown word gives `None`.
    pub fn from_mark(mark: &str) -> Option<Self> {
        mark.split(['/', ',', ';', '+'])
            .map(|part| {
                let word = part
                    .split_whitespace()
                    .next()
                    .unwrap_or("")
                    .trim_matches(|c: char| !c.is_alphanumeric() && c != '-');
                Some(match word.to_ascii_uppercase().as_str() {
                    "MEASURED" => Self::Measured,
                    "SEEN" | "PUBLISHED" => Self::Published,
                    "SEEN-2" | "SEEN-SECONDARY" | "SECOND-HAND" | "PRESS" | "FORUM" => Self::SecondHand,
                    "DERIVED" | "COMPUTED" => Self::Derived,
                    "RECALLED" | "REC" => Self::Recalled,
                    "ESTIMATE" | "JUDGEMENT" | "MIXED" => Self::Estimate,
                    "PD" | "DEFAULT" => Self::Default,
                    _ => return None,
                })
            })
            .try_fold(Self::Measured, |weakest, grade| grade.map(|g| weakest.max(g)))
    }
}

/// Where a figure was read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Short handle used beside numbers (`S19`).
    pub id: String,
    /// Author, year, title, section.
    pub cite: String,
    /// Address, where there is one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub url: String,
}

/// Low, central and high value of something known only roughly.
///
/// Invariant: `low <= central <= high`, all finite.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Band<T> {
    /// Low end (what it means stands with the figure; usually the 5 % point).
    pub low: T,
    /// Middle.
    pub central: T,
    /// High end.
    pub high: T,
}

impl<T: Copy> Band<T> {
    /// A band without width.
    pub fn exact(value: T) -> Self {
        Self { low: value, central: value, high: value }
    }
    /// Applies a non-decreasing function to all three.
    pub fn map<U>(self, f: impl Fn(T) -> U) -> Band<U> {
        Band { low: f(self.low), central: f(self.central), high: f(self.high) }
    }
}

/// A value with its grade and the handle of its source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Figure<T> {
    /// The value.
    pub value: T,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Handle or words of its source.
    pub source: String,
}

impl<T> Figure<T> {
    /// A figure from its parts.
    pub fn new(value: T, grade: Grade, source: impl Into<String>) -> Self {
        Self { value, grade, source: source.into() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mixed_mark_counts_as_its_weakest() {
        assert_eq!(Grade::from_mark("SEEN / DERIVED"), Some(Grade::Derived));
        assert_eq!(Grade::from_mark("RECALLED low"), Some(Grade::Recalled));
        assert_eq!(Grade::from_mark("(PD)"), Some(Grade::Default));
        assert_eq!(Grade::from_mark("hearsay"), None);
        assert!(Grade::Measured < Grade::Default);
    }
}
