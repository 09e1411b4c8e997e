//! What lines and leaders are made of.

use crate::Error;
use crate::math::sq;
use crate::quantity::{Force, Length, Pressure};
use core::f64::consts::PI;
use serde::{Deserialize, Serialize};

/// Material of a line or of a section of leader.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Nylon monofilament: the only one that loses strength when wet.
    #[serde(alias = "mono", alias = "monofilament")]
    Nylon,
    /// Braided high-modulus polyethylene.
    #[serde(alias = "braid", alias = "hmpe")]
    HmpeBraid,
    /// Fluorocarbon (PVDF) monofilament.
    #[serde(alias = "pvdf")]
    Fluorocarbon,
    /// Single-strand stainless wire.
    #[serde(alias = "single-strand-wire", alias = "wire")]
    SingleStrand,
    /// Stranded stainless cable, 7x7.
    #[serde(alias = "cable-7x7", alias = "7x7", alias = "49-strand")]
    Cable,
}

impl Material {
    /// All of them.
    pub const ALL: [Self; 5] =
        [Self::Nylon, Self::HmpeBraid, Self::Fluorocarbon, Self::SingleStrand, Self::Cable];

    /// Whether the law counts it as metal.
    pub const fn is_metal(self) -> bool {
        matches!(self, Self::SingleStrand | Self::Cable)
    }
    /// Whether it is a single non-metal filament.
    pub const fn is_mono(self) -> bool {
        matches!(self, Self::Nylon | Self::Fluorocarbon)
    }
    /// The word in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Nylon => "nylon",
            Self::HmpeBraid => "hmpe-braid",
            Self::Fluorocarbon => "fluorocarbon",
            Self::SingleStrand => "single-strand",
            Self::Cable => "cable",
        }
    }
    /// Reads a word as files spell it, aliases included.
    pub fn from_word(word: &str) -> crate::Result<Self> {
        use serde::de::IntoDeserializer;
        Self::deserialize(IntoDeserializer::<serde::de::value::Error>::into_deserializer(word)).map_err(
            |_| {
                Error::new(
                    format!("`{word}` is no material of a line"),
                    Self::ALL.map(Self::word).join(", "),
                    "name what the line is made of",
                )
            },
        )
    }
}

/// Area of the circle of the nominal diameter, m2 (kernel).
pub(super) fn area_m2(diameter: Length) -> f64 {
    PI * sq(diameter.m()) / 4.0
}

/// Stress that a pull makes in a round line: `F/(pi d^2/4)`; zero for a line without diameter.
pub fn stress(pull: Force, diameter: Length) -> Pressure {
    let area = area_m2(diameter);
    Pressure::of_pa(if area > 0.0 { pull.n() / area } else { 0.0 })
}

/// Pull that makes a stress in a round line.
pub fn pull_at_stress(stress: Pressure, diameter: Length) -> Force {
    Force::of_n(stress.pa() * area_m2(diameter))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_aliases_read_back() {
        for m in Material::ALL {
            assert_eq!(Material::from_word(m.word()).unwrap(), m);
        }
        assert_eq!(Material::from_word("mono").unwrap(), Material::Nylon);
        assert_eq!(Material::from_word("49-strand").unwrap(), Material::Cable);
        assert!(Material::from_word("string").unwrap_err().allowed.contains("hmpe-braid"));
    }
}
