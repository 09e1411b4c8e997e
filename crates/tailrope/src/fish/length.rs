//! How long is the fish, and how was it measured?
//!
//! Total, fork, precaudal length and disc width of one fish differ by up to a third, and laws, weight lines and
//! records each use their own. A [`FishLength`] therefore carries its kind, has no order and refuses to be
//! compared across kinds: convert first ([`super::Species::convert`]), and know that a converted length
//! decides nothing in law.
//!
//! Source of the definitions: state law texts (straight line from the tip of the snout to the fork, to the tip
//! of the stretched tail, to the notch before the tail); rays are measured across the disc.

use crate::quantity::{Length, Quantity, Units};
use crate::{Error, Result};
use core::cmp::Ordering;
use core::fmt;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Between which points a fish is measured, in a straight line.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LengthKind {
    /// Snout to the tip of the tail's upper lobe, tail stretched.
    #[serde(alias = "TL")]
    Total,
    /// Snout to the fork of the tail.
    #[serde(alias = "FL")]
    Fork,
    /// Snout to the notch before the tail.
    #[serde(alias = "PCL")]
    Precaudal,
    /// Across the wings of a ray.
    #[serde(alias = "DW")]
    DiscWidth,
}

impl LengthKind {
    /// The words shown behind a length.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Total => "total length",
            Self::Fork => "fork length",
            Self::Precaudal => "precaudal length",
            Self::DiscWidth => "disc width",
        }
    }

    /// The abbreviation of the papers.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Total => "TL",
            Self::Fork => "FL",
            Self::Precaudal => "PCL",
            Self::DiscWidth => "DW",
        }
    }

    /// Reads a word or abbreviation, in any case; `None` for anything else.
    pub fn read(text: &str) -> Option<Self> {
        let word: String = text.chars().filter(|c| c.is_alphabetic()).flat_map(char::to_lowercase).collect();
        Some(match word.as_str() {
            "total" | "totallength" | "tl" => Self::Total,
            "fork" | "forklength" | "fl" => Self::Fork,
            "precaudal" | "precaudallength" | "pcl" => Self::Precaudal,
            "disc" | "discwidth" | "disk" | "diskwidth" | "dw" => Self::DiscWidth,
            _ => return None,
        })
    }
}

/// A length of a fish with the way it was measured. Written and read as text: `2.4m fork`, `8ft 2in total`.
///
/// It has no order: [`FishLength::compare`] refuses lengths of different kinds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FishLength {
    /// How it was measured.
    pub kind: LengthKind,
    /// How long.
    pub length: Length,
}

impl FishLength {
    /// Shortest length accepted from a person.
    pub const MIN: Length = Length::of_m(0.1);
    /// Longest length accepted from a person: above the largest fish of the pack.
    pub const MAX: Length = Length::of_m(8.0);

    /// A length of a kind.
    pub const fn new(kind: LengthKind, length: Length) -> Self {
        Self { kind, length }
    }
    /// Total length.
    pub const fn total(length: Length) -> Self {
        Self::new(LengthKind::Total, length)
    }
    /// Fork length.
    pub const fn fork(length: Length) -> Self {
        Self::new(LengthKind::Fork, length)
    }

    /// Compares two lengths of one kind; refuses two kinds, naming them.
    pub fn compare(self, other: Self) -> Result<Ordering> {
        if self.kind != other.kind {
            return Err(Error::new(
                format!("a {} cannot be compared with a {}", self.kind.word(), other.kind.word()),
                "two lengths of one kind",
                "measure the other length, or convert it and treat the answer as an estimate",
            ));
        }
        self.length.partial_cmp(&other.length).ok_or_else(|| {
            Error::new("a length is no number", "a finite length", "check the number and its unit")
        })
    }

    /// Refuses a length outside 0.1 to 8 m.
    pub fn sensible(self, name: &str) -> Result<Self> {
        self.length.within(name, Self::MIN, Self::MAX)?;
        Ok(self)
    }

    /// As the crew reads it: `8 ft 2 in total length`.
    pub fn show(self, units: Units) -> String {
        format!("{} {}", units.size(self.length), self.kind.word())
    }
}

impl fmt::Display for FishLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.show(Units::Metric).fmt(f)
    }
}

const EXAMPLE: &str = "2.4m fork, 8ft 2in total";

impl core::str::FromStr for FishLength {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let text = text.trim();
        // The kind is the tail of the text: one word (`fork`) or two (`fork length`).
        let cuts = text.char_indices().rev().filter(|(_, c)| c.is_whitespace()).take(2);
        let found = cuts
            .map(|(i, _)| text.split_at(i))
            .fold(None, |best, (head, tail)| LengthKind::read(tail).map(|kind| (head, kind)).or(best));
        let Some((head, kind)) = found else {
            let shown: String = text.chars().take(40).collect();
            return Err(Error::new(
                format!("`{shown}` does not say how the fish is measured"),
                "a length followed by total, fork, precaudal or disc-width",
                format!("write it like {EXAMPLE}"),
            ));
        };
        Ok(Self::new(kind, head.parse()?))
    }
}

impl Serialize for FishLength {
    fn serialize<S: Serializer>(&self, s: S) -> core::result::Result<S::Ok, S::Error> {
        s.serialize_str(&format!(
            "{}m {}",
            self.length.m(),
            match self.kind {
                LengthKind::Total => "total",
                LengthKind::Fork => "fork",
                LengthKind::Precaudal => "precaudal",
                LengthKind::DiscWidth => "disc-width",
            }
        ))
    }
}

impl<'de> Deserialize<'de> for FishLength {
    fn deserialize<D: Deserializer<'de>>(d: D) -> core::result::Result<Self, D::Error> {
        String::deserialize(d)?.parse().map_err(de::Error::custom)
    }
}

impl schemars::JsonSchema for FishLength {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "FishLength".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": format!("a length with its unit and how it was measured, like {EXAMPLE}"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_the_kind_with_the_length() {
        for (text, kind, m) in [
            ("2.4m fork", LengthKind::Fork, 2.4),
            ("8ft 2in total", LengthKind::Total, 2.4892),
            ("64 in TL", LengthKind::Total, 1.6256),
            ("210cm pre-caudal length", LengthKind::Precaudal, 2.1),
            ("1.5 m disc width", LengthKind::DiscWidth, 1.5),
            ("1.5 m disc-width", LengthKind::DiscWidth, 1.5),
        ] {
            let got: FishLength = text.parse().unwrap();
            assert_eq!(got.kind, kind, "{text}");
            assert!((got.length.m() - m).abs() < 1e-12, "{text}");
            let back: FishLength = serde_json::from_str(&serde_json::to_string(&got).unwrap()).unwrap();
            assert_eq!(back, got);
        }
        let e = "2.4m".parse::<FishLength>().unwrap_err();
        assert!(e.error.contains("how the fish is measured"), "{e}");
        assert!("2.4 fork".parse::<FishLength>().is_err());
        assert!("fork".parse::<FishLength>().is_err());
    }

    #[test]
    fn refuses_to_compare_two_kinds() {
        let (a, b) = (FishLength::total(Length::of_in(64.0)), FishLength::fork(Length::of_in(54.0)));
        let e = a.compare(b).unwrap_err();
        assert!(e.error.contains("total length") && e.error.contains("fork length"), "{e}");
        assert_eq!(a.compare(FishLength::total(Length::of_in(60.0))).unwrap(), Ordering::Greater);
        assert!(FishLength::total(Length::of_m(9.0)).sensible("size").is_err());
    }
}
