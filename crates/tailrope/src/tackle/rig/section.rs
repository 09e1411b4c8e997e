//! Sections of the leader: hand, rubbing, bite.

use super::connector::Connector;
use crate::Result;
use crate::facts::{Grade, Known};
use crate::quantity::{Force, Length, Mass, Quantity};
use crate::tackle::joint::Joint;
use crate::tackle::strength::{Stock, Wear};
use crate::tackle::tables::{BandFigure, Tables};
use crate::tackle::{Material, material};
use serde::{Deserialize, Serialize};

/// What a section of the leader is for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SectionRole {
    /// Where the leader hand takes it.
    Hand,
    /// What the fish's side and tail rub on.
    Rubbing,
    /// What its teeth meet.
    Bite,
}

impl SectionRole {
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hand => "hand section",
            Self::Rubbing => "rubbing section",
            Self::Bite => "bite section",
        }
    }
}

/// Share of the circle around a cable that is metal: seven strands of seven in hexagonal lay fill (7/9)^2 of it
/// (geometry).
const CABLE_METAL: f64 = 49.0 / 81.0;

/// One section of the leader.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// What it is for.
    pub role: SectionRole,
    /// What it is made of.
    #[serde(default)]
    pub material: Known<Material>,
    /// Diameter.
    #[serde(default)]
    pub diameter: Known<Length>,
    /// Strength on its label.
    #[serde(default)]
    pub strength: Known<Force>,
    /// Length between its joints.
    #[serde(default)]
    pub length: Known<Length>,
    /// The crew's own break of the material, wet.
    #[serde(default)]
    pub wet_break: Known<Force>,
    /// Share of strength kept with age.
    #[serde(default)]
    pub age_kept: Known<f64>,
    /// State as fingers feel it.
    #[serde(default)]
    pub wear: Known<Wear>,
    /// Share of strength kept with wear, where the crew knows it.
    #[serde(default)]
    pub wear_kept: Known<f64>,
    /// Whether a hose or tube lies over it where a hand takes it.
    #[serde(default)]
    pub padded: Known<bool>,
    /// Swivel or shackle above it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub connector: Option<Connector>,
    /// Joint at its upper end.
    #[serde(default)]
    pub top: Joint,
    /// Joint at its lower end.
    #[serde(default)]
    pub bottom: Joint,
}

impl Section {
    /// A section of which only role, material, strength and length are known.
    pub fn new(role: SectionRole, material: Material, strength: Force, length: Length) -> Self {
        Self {
            role,
            material: Known::Known(material),
            diameter: Known::Unknown,
            strength: Known::Known(strength),
            length: Known::Known(length),
            wet_break: Known::Unknown,
            age_kept: Known::Unknown,
            wear: Known::Unknown,
            wear_kept: Known::Unknown,
            padded: Known::Unknown,
            connector: None,
            top: Joint::default(),
            bottom: Joint::default(),
        }
    }

    pub(in crate::tackle) fn stock(&self) -> Stock {
        Stock {
            material: self.material,
            diameter: self.diameter,
            strength: self.strength,
            class_line: false,
            wet_break: self.wet_break,
            age_kept: self.age_kept,
            wear: self.wear,
            wear_kept: self.wear_kept,
            rubs: false,
        }
    }

    /// Diameter, from the trade table where only the label is known.
    pub fn diameter(&self, tables: &Tables) -> Known<Length> {
        self.stock().diameter(tables).get().map(|d| d.value.central).into()
    }

    /// The same with its band, measured or by its label.
    pub fn diameter_band(&self, tables: &Tables) -> Known<BandFigure<Length>> {
        self.stock().diameter(tables)
    }

    /// Mass in air of a length of it, and how far that can be trusted; unknown while material or diameter is.
    pub fn mass_of(&self, length: Length, tables: &Tables) -> Known<(Mass, Grade)> {
        let (Known::Known(m), Known::Known(d)) = (self.material, self.stock().diameter(tables)) else {
            return Known::Unknown;
        };
        let row = &tables.material(m).density;
        let share = if m == Material::Cable { CABLE_METAL } else { 1.0 };
        let kg = row.value.central.kg_m3() * material::area_m2(d.value.central) * length.m().max(0.0) * share;
        Known::Known((Mass::of_kg(kg), row.grade.max(d.grade)))
    }

    pub(super) fn check(&self) -> Result<()> {
        self.stock().check()?;
        if let Known::Known(l) = self.length {
            l.within("length of the section", Length::of_m(0.01), Length::of_m(60.0))
                .map_err(|e| e.within("length"))?;
        }
        if let Some(c) = self.connector
            && let Known::Known(f) = c.strength
        {
            f.within("strength of the connector", Force::of_n(5.0), Force::of_n(30_000.0))
                .map_err(|e| e.within("connector.strength"))?;
        }
        if let Some(c) = self.connector
            && let Known::Known(m) = c.mass
        {
            m.within("mass of the connector", Mass::of_g(0.1), Mass::of_kg(2.0))
                .map_err(|e| e.within("connector.mass"))?;
        }
        self.top.check().map_err(|e| e.within("top"))?;
        self.bottom.check().map_err(|e| e.within("bottom"))
    }
}
