//! Swivels, snaps, shackles: what joins two sections, how strong, how heavy.

use super::making::RigTables;
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Force, Mass};
use crate::tackle::strength::Strength;
use crate::tackle::tables::BandFigure;
use serde::{Deserialize, Serialize};

/// Kind of connector.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ConnectorKind {
    /// Swivel.
    Swivel,
    /// Swivel with a snap.
    SnapSwivel,
    /// Snap alone.
    Snap,
    /// Shackle with a pin.
    Shackle,
    /// Ring.
    Ring,
}

impl ConnectorKind {
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Swivel => "swivel",
            Self::SnapSwivel => "snap swivel",
            Self::Snap => "snap",
            Self::Shackle => "shackle",
            Self::Ring => "ring",
        }
    }
}

/// Swivel, snap or shackle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Connector {
    /// Swivel, snap, shackle or ring.
    #[serde(default)]
    pub kind: Known<ConnectorKind>,
    /// Strength on its label or by the crew's test.
    #[serde(default)]
    pub strength: Known<Force>,
    /// Whether the crew broke one of the batch.
    #[serde(default)]
    pub tested: bool,
    /// Mass of one.
    #[serde(default)]
    pub mass: Known<Mass>,
}

impl Connector {
    /// What it bears; unknown if nobody knows.
    pub fn strength(&self) -> Known<Strength> {
        let (grade, source) = if self.tested {
            (Grade::Measured, "the crew's own break of the batch")
        } else {
            (Grade::SecondHand, "label of the swivel or shackle")
        };
        let figure = |f| Figure::new(Band::exact(f), grade, source);
        self.strength.get().map(|f| Strength::of("strength", &figure(f))).into()
    }

    /// The word for it.
    pub fn word(&self) -> &'static str {
        self.kind.get().map_or("swivel", ConnectorKind::word)
    }

    /// Its mass: weighed, else by its strength; unknown without either.
    pub(super) fn mass(&self, making: &RigTables) -> Known<BandFigure<Mass>> {
        match (self.mass, self.strength) {
            (Known::Known(m), _) => {
                Known::Known(Figure::new(Band::exact(m), Grade::Measured, "weighed by the crew"))
            }
            (_, Known::Known(f)) => {
                let per = &making.swivel_per_kn;
                let kn = f.n() / 1000.0;
                Known::Known(Figure::new(per.value.map(|m| m * kn), per.grade, per.source.clone()))
            }
            _ => Known::Unknown,
        }
    }
}
