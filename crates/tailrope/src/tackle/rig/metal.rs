//! How long the metal of a leader is, as a law may read it.
//!
//! A crew writes the length of a section between its joints; an officer lays a tape along the wire, and may lay it
//! from eye to eye. Model: an end of wire is at most half as long as the wire that its joint takes, for what goes out
//! to the tip of an eye comes back. So the metal is at least what lies between the joints, and at most that with an
//! eye at each end. A limit between the two is neither kept nor broken: measure the finished rig. Limit: what joints
//! take is an estimate of the tackle pack.

use super::{Rig, Section};
use crate::facts::Known;
use crate::quantity::Length;
use crate::tackle::Material;
use crate::tackle::tables::Tables;

/// As thick and as long as a section may be: what counts where nobody knows.
const THICKEST: Length = Length::of_m(0.01);
const LONGEST: Length = Length::of_m(60.0);

/// Length of metal by its two readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MetalLength {
    /// Between the joints, of the sections known to be metal.
    pub least: Length,
    /// With an eye at each end, of every section that may be metal.
    pub most: Length,
    /// Whether material and length of every section are known.
    pub whole: bool,
}

impl Rig {
    /// Length of metal as a law may read it: between the joints at least, from eye to eye at most. 0 and 0 without
    /// metal.
    pub fn metal_read(&self, tables: &Tables) -> MetalLength {
        let mut metal = MetalLength { least: Length::ZERO, most: Length::ZERO, whole: true };
        for (i, s) in self.sections.iter().enumerate() {
            let is = s.material.get().map(Material::is_metal);
            if is == Some(false) {
                continue;
            }
            metal.whole &= is.is_some() && !s.length.is_unknown();
            if is == Some(true) {
                metal.least = metal.least + s.length.get().unwrap_or(Length::ZERO);
            }
            metal.most = metal.most + s.length.get().unwrap_or(LONGEST) + self.eyes_of(i, s, tables);
        }
        metal
    }

    /// What the eyes at both ends of a section add to it, at most.
    fn eyes_of(&self, i: usize, s: &Section, tables: &Tables) -> Length {
        let thick = s.diameter_band(tables).get().map_or(THICKEST, |d| d.value.high);
        let eye = |kind| {
            let row = &tables.joint(kind).takes;
            (row.fixed + thick * row.diameters) * 0.5
        };
        self.ends(i).map_or(Length::ZERO, |(top, bottom)| eye(top) + eye(bottom))
    }

    /// The longest reading of the metal, from eye to eye; unknown while a material or a length is.
    pub fn metal_with_eyes(&self, tables: &Tables) -> Known<Length> {
        let metal = self.metal_read(tables);
        if metal.whole { Known::Known(metal.most) } else { Known::Unknown }
    }
}
