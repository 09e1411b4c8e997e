//! What each part of a rig bears, which is the weakest, and what margin is left under a load.
//!
//! Model: parts in series, the same load on each; the smallest strength is the rig's. At the leader hands and fish
//! load the rig alone, with nothing weaker before it: the margin there is the rig's own
//! (`capacity / (line + hands)`). A sleeve whose batch nobody pulled to destruction is shown twice, the second time
//! as the badly made one of S31 that kept two fifths.

use super::Rig;
use crate::facts::{Grade, Known};
use crate::quantity::{Force, Length};
use crate::tackle::JointKind;
use crate::tackle::path::{PartKind, as_m, known_si, rig_parts};
use crate::tackle::strength::Factor;
use crate::tackle::tables::Tables;
use crate::{Error, Result};
use serde::Serialize;

/// A part of the rig and what it bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MadePart {
    /// What the crew calls it.
    pub name: String,
    /// Kind.
    pub kind: PartKind,
    /// Length of it along the leader; zero for what is no section, and for a section of unknown length.
    #[serde(rename = "length_m", serialize_with = "as_m")]
    pub length: Length,
    /// What it bears.
    #[serde(rename = "capacity_n", serialize_with = "known_si")]
    pub capacity: Known<Force>,
    /// Low end of that.
    #[serde(rename = "capacity_low_n", serialize_with = "known_si")]
    pub capacity_low: Known<Force>,
    /// Capacity over the load; unknown without a load.
    pub margin: Known<f64>,
    /// The same if it is an untested sleeve that was badly made.
    pub margin_if_bad_sleeve: Option<f64>,
    /// A sleeve whose batch nobody pulled to destruction.
    pub untested_sleeve: bool,
    /// Whether nothing of the rig is known to bear less.
    pub weakest: bool,
    /// How far the capacity can be trusted.
    pub grade: Grade,
    /// Figures that made it.
    pub because: Vec<Factor>,
}

/// A rig as made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Made {
    /// Parts from the upper end to the hook.
    pub parts: Vec<MadePart>,
    /// Name of the weakest part of known strength.
    pub weakest: Option<String>,
    /// What that bears: the rig bears at most so much.
    #[serde(rename = "capacity_n", serialize_with = "known_si")]
    pub capacity: Known<Force>,
    /// Parts of unknown strength.
    pub unknown: Vec<String>,
    /// The load.
    #[serde(rename = "load_n", serialize_with = "known_si")]
    pub load: Known<Force>,
    /// Smallest margin under it; unknown while a part's strength or the load is.
    pub margin: Known<f64>,
    /// Smallest margin if every untested sleeve were badly made.
    pub margin_if_bad_sleeves: Known<f64>,
    /// Smallest margin of the parts of known strength: the rig's own is no larger. Unknown without a load.
    pub margin_of_known: Known<f64>,
    /// The same if every untested sleeve were badly made.
    pub margin_of_known_if_bad_sleeves: Known<f64>,
}

impl Rig {
    /// What each part bears, and its margin under a load (above zero). Refuses a rig that [`Rig::check`] refuses and
    /// a load that is none.
    pub fn made(&self, tables: &Tables, load: Known<Force>) -> Result<Made> {
        self.check()?;
        if let Known::Known(f) = load
            && (f.n().is_nan() || f <= Force::ZERO || f.n() > 20_000.0)
        {
            return Err(Error::new(
                format!("a load of {} N", f.n()),
                "more than 0 and at most 20000 N",
                "give the pull that the rig is to bear",
            )
            .within("load"));
        }
        let bad = tables.joint(JointKind::CrimpBad).kept.value.central
            / tables.joint(JointKind::Crimp).kept.value.central;
        let mut parts: Vec<MadePart> = rig_parts(self, tables)
            .into_iter()
            .map(|p| {
                let capacity: Known<Force> = p.strength.as_ref().map(|s| s.band.central).into();
                let margin: Known<f64> = match (capacity, load) {
                    (Known::Known(c), Known::Known(l)) => Known::Known(c / l),
                    _ => Known::Unknown,
                };
                MadePart {
                    name: p.name,
                    kind: p.kind,
                    length: p.inner - p.outer,
                    capacity,
                    capacity_low: p.strength.as_ref().map(|s| s.band.low).into(),
                    margin,
                    margin_if_bad_sleeve: margin.get().filter(|_| p.untested_sleeve).map(|m| m * bad),
                    untested_sleeve: p.untested_sleeve,
                    weakest: false,
                    grade: p.grade,
                    because: p.strength.as_ref().map(|s| s.factors.clone()).unwrap_or_default(),
                }
            })
            .collect();
        let least = parts
            .iter()
            .enumerate()
            .filter_map(|(i, p)| p.capacity.get().map(|c| (i, c)))
            .min_by(|a, b| a.1.n().total_cmp(&b.1.n()));
        if let Some(p) = least.and_then(|(i, _)| parts.get_mut(i)) {
            p.weakest = true;
        }
        let smallest = |of: fn(&MadePart) -> Option<f64>| -> Known<f64> {
            let all: Option<Vec<f64>> = parts.iter().map(of).collect();
            all.and_then(|m| m.into_iter().min_by(f64::total_cmp)).into()
        };
        let of_known = |of: fn(&MadePart) -> Option<f64>| -> Known<f64> {
            parts.iter().filter_map(of).min_by(f64::total_cmp).into()
        };
        Ok(Made {
            weakest: parts.iter().find(|p| p.weakest).map(|p| p.name.clone()),
            capacity: least.map(|l| l.1).into(),
            unknown: parts.iter().filter(|p| p.capacity.is_unknown()).map(|p| p.name.clone()).collect(),
            load,
            margin: smallest(|p| p.margin.get()),
            margin_if_bad_sleeves: smallest(|p| p.margin_if_bad_sleeve.or(p.margin.get())),
            margin_of_known: of_known(|p| p.margin.get()),
            margin_of_known_if_bad_sleeves: of_known(|p| p.margin_if_bad_sleeve.or(p.margin.get())),
            parts,
        })
    }
}

/// Load on the rig when the leader is taken: the line's pull and what the pack's hands hold.
pub fn leader_load(tables: &Tables, line: Force) -> Force {
    line.max(Force::ZERO) + tables.leader_stage.hand.value.central * f64::from(tables.leader_stage.hands)
}
