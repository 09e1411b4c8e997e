//! Joints: knots, splices, sleeves, twists, and what they leave of the line's strength.

use super::tables::Tables;
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Force, Length, Quantity};
use crate::tackle::Material;
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Kind of a joint, as the data pack lists them.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum JointKind {
    /// Any common knot of nylon to terminal gear.
    MonoKnot,
    /// Any common knot of braid to terminal gear.
    BraidKnot,
    /// Palomar in doubled braid, twice through.
    PalomarDoubledBraid,
    /// FG, braid to leader.
    Fg,
    /// Bimini twist in nylon.
    BiminiMono,
    /// Bimini twist in braid.
    BiminiBraid,
    /// Uni knot in nylon.
    UniMono,
    /// Double uni, braid to nylon.
    DoubleUni,
    /// Snell on the hook, nylon.
    SnellMono,
    /// Bury or loop splice in hollow braid.
    BurySplice,
    /// Any knot in HMPE cord.
    HmpeCordKnot,
    /// Sleeve, right size and jaws.
    Crimp,
    /// Sleeve that looks good and is badly made.
    CrimpBad,
    /// Haywire twist with barrel wraps.
    Haywire,
    /// Kinked single strand.
    KinkedWire,
}

impl JointKind {
    /// All of them, in the order of the pack.
    pub const ALL: [Self; 15] = [
        Self::MonoKnot,
        Self::BraidKnot,
        Self::PalomarDoubledBraid,
        Self::Fg,
        Self::BiminiMono,
        Self::BiminiBraid,
        Self::UniMono,
        Self::DoubleUni,
        Self::SnellMono,
        Self::BurySplice,
        Self::HmpeCordKnot,
        Self::Crimp,
        Self::CrimpBad,
        Self::Haywire,
        Self::KinkedWire,
    ];

    /// The weak usual joint of two materials where nobody named one.
    pub fn usual(inner: Known<Material>, outer: Known<Material>) -> Self {
        let braid = |m| m == Known::Known(Material::HmpeBraid);
        let mono = |m: Known<Material>| m.get().is_some_and(Material::is_mono);
        let wire = |m| m == Known::Known(Material::SingleStrand);
        match () {
            () if (braid(inner) && mono(outer)) || (mono(inner) && braid(outer)) => Self::DoubleUni,
            () if braid(inner) || braid(outer) => Self::BraidKnot,
            () if wire(inner) || wire(outer) => Self::Haywire,
            () if mono(inner) || mono(outer) => Self::MonoKnot,
            () => Self::CrimpBad,
        }
    }

    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::MonoKnot | Self::BraidKnot => "knot",
            Self::PalomarDoubledBraid => "doubled palomar",
            Self::Fg => "FG knot",
            Self::BiminiMono | Self::BiminiBraid => "bimini twist",
            Self::UniMono => "uni knot",
            Self::DoubleUni => "double uni knot",
            Self::SnellMono => "snell",
            Self::BurySplice => "bury splice",
            Self::HmpeCordKnot => "knot in cord",
            Self::Crimp => "sleeved loop",
            Self::CrimpBad => "badly made sleeved loop",
            Self::Haywire => "haywire twist",
            Self::KinkedWire => "kinked wire",
        }
    }

    /// Reads a word as files spell it.
    pub fn from_word(word: &str) -> Result<Self> {
        use serde::de::IntoDeserializer;
        Self::deserialize(IntoDeserializer::<serde::de::value::Error>::into_deserializer(word)).map_err(|_| {
            Error::new(
                format!("`{word}` is no kind of joint"),
                "crimp, haywire, snell-mono, uni-mono, mono-knot, fg, bimini-mono, bury-splice and the others of the tackle pack",
                "name the joint",
            )
        })
    }
}

/// Metal of a sleeve.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SleeveMetal {
    /// Copper, tinned or bare: on wire, cable and nylon.
    Copper,
    /// Aluminium: on nylon only; on stainless it corrodes in salt water (S44).
    Aluminium,
}

/// What protects the eye of a loop.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Eye {
    /// Bare.
    Bare,
    /// Metal thimble.
    Thimble,
    /// Chafe tube or spring.
    ChafeTube,
}

/// A sleeve as the crew describes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sleeve {
    /// Its metal.
    #[serde(default)]
    pub metal: Known<SleeveMetal>,
    /// Inside of one bore.
    #[serde(default)]
    pub inside: Known<Length>,
    /// Whether both ends are left flared.
    #[serde(default)]
    pub flared: Known<bool>,
}

/// One joint as the crew describes it. Whatever it does not know is taken on the safe side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// Its kind; unknown takes the low end of the weakest usual joint of the material.
    #[serde(default)]
    pub kind: Known<JointKind>,
    /// Share of the weaker side's strength that it keeps, 0 to 1, if the crew knows better than the table.
    #[serde(default)]
    pub kept: Known<f64>,
    /// At what pull a joint of this batch broke, wet, in the crew's own test. It replaces strength, wet and joint
    /// together.
    #[serde(default)]
    pub measured_break: Known<Force>,
    /// Its sleeve, where it is one and the crew knows it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sleeve: Option<Sleeve>,
    /// What protects its eye.
    #[serde(default)]
    pub eye: Known<Eye>,
}

impl Joint {
    /// A joint of a kind.
    pub const fn of(kind: JointKind) -> Self {
        Self {
            kind: Known::Known(kind),
            kept: Known::Unknown,
            measured_break: Known::Unknown,
            sleeve: None,
            eye: Known::Unknown,
        }
    }

    /// Refuses a share outside 0 to 1 and a break outside 0 to 20 kN.
    pub fn check(&self) -> Result<()> {
        if let Known::Known(k) = self.kept
            && !(0.0..=1.0).contains(&k)
        {
            return Err(Error::new(
                format!("a joint that keeps {k}"),
                "a share from 0 to 1 (0.9 for nine tenths)",
                "give the share of the line's strength that the joint kept",
            )
            .within("kept"));
        }
        if let Known::Known(f) = self.measured_break {
            f.within("break of the joint", Force::ZERO, Force::of_n(20_000.0))
                .map_err(|e| e.within("measured_break"))?;
        }
        if let Some(Sleeve { inside: Known::Known(d), .. }) = self.sleeve {
            d.within("inside of the sleeve", Length::of_mm(0.2), Length::of_mm(12.0))
                .map_err(|e| e.within("sleeve.inside"))?;
        }
        Ok(())
    }

    /// Share kept between two materials: the crew's own figure, else the table's band of the kind, else the low
    /// end of the usual weak joint of the weaker material.
    pub fn kept(&self, tables: &Tables, inner: Known<Material>, outer: Known<Material>) -> Figure<Band<f64>> {
        if let Known::Known(k) = self.kept {
            return Figure::new(Band::exact(k), Grade::Measured, "the crew's own figure of this joint");
        }
        if let Known::Known(kind) = self.kind {
            return tables.joint(kind).kept.clone();
        }
        let row = tables.joint(JointKind::usual(inner, outer));
        Figure::new(
            Band::exact(row.kept.value.low),
            Grade::Default,
            format!("joint not given: the low end of {}", row.name),
        )
    }

    /// Whether it is a sleeve.
    pub fn is_sleeve(&self) -> bool {
        matches!(self.kind, Known::Known(JointKind::Crimp | JointKind::CrimpBad))
    }

    /// Whether it is a sleeve whose batch the crew has not pulled to destruction: such sleeves can look good
    /// and fail at two fifths.
    pub fn is_untested_sleeve(&self) -> bool {
        self.kind == Known::Known(JointKind::Crimp)
            && self.measured_break.is_unknown()
            && self.kept.is_unknown()
    }
}
