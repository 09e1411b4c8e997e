//! The rig: everything between the main line and the hook, in order, and what the law asks of it.
//!
//! | module | answers |
//! |---|---|
//! | [`Section`], [`Connector`], [`Sinker`] | the parts as the crew describes them; anything may be unknown |
//! | [`Made`] | what each part bears, the weakest, the margin under a load |
//! | [`CutList`] | what to cut, which sleeves, how heavy, how dear, in which order |
//! | [`MetalLength`] | how long the metal is, between its joints and from eye to eye |
//! | [`questions`] | what the law asks of a rig: value, how it is measured, or *unknown* |
//! | [`Fit`] | leader against fish, against the cast, the hand at the swivel, what flies back |
//! | [`draw`] | the rig as a picture, to scale along its length |
//! | [`piece`] | parts from a few words: `1.5m cable 480lb` |
//!
//! Model: parts in series; strengths as in [`super::strength`], joints as in [`super::Joint`]. Limit: a rig is one
//! line; a sinker hangs beside it. Sources stand in the tackle pack.

mod connector;
mod cut;
mod drawing;
mod fit;
mod made;
pub(super) mod making;
mod metal;
pub mod piece;
mod questions;
mod section;
mod sinker;

pub use connector::{Connector, ConnectorKind};
pub use cut::{Cut, CutList, SleeveLine};
pub use drawing::draw;
pub use fit::{Fit, FitAsk, Flier, HandAt, casting_leader};
pub use made::{Made, MadePart, leader_load};
pub use making::RigTables;
pub use metal::MetalLength;
pub use questions::{Asked, Question, questions};
pub use section::{Section, SectionRole};
pub use sinker::{Arm, Sinker, SinkerHang};

use super::hook::{Hook, HookStyle};
use super::tables::Tables;
use crate::facts::{Known, PackText};
use crate::quantity::Length;
use crate::tackle::Material;
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// A rig: sections in order from the main line to the hook.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rig {
    /// What the crew calls it.
    pub name: String,
    /// Sections, the one at the main line first.
    #[serde(default)]
    pub sections: Vec<Section>,
    /// Hook.
    #[serde(default)]
    pub hook: Hook,
    /// Sinker, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sinker: Option<Sinker>,
}

/// Most sections that a rig may have.
const MOST_SECTIONS: usize = 12;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Under {
    rig: Rig,
}

impl Rig {
    /// Reads a rig file: the keys of a rig, at the top or under `[rig]`. Refuses what [`Rig::check`] does, naming
    /// file and line.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let under = text.text.lines().any(|l| {
            let l = l.trim_start();
            l.starts_with("[rig]") || l.starts_with("[[rig.") || l.starts_with("[rig.")
        });
        let (rig, prefix): (Self, _) =
            if under { (text.read::<Under>()?.rig, "rig.") } else { (text.read()?, "") };
        rig.check().map_err(|e| {
            let place = format!("{prefix}{}", e.place.replace(", ", "."));
            text.place(&place, Error { place: String::new(), ..e })
        })?;
        Ok(rig)
    }

    /// Refuses sizes that no rig has, naming the field.
    pub fn check(&self) -> Result<()> {
        if self.sections.len() > MOST_SECTIONS {
            return Err(Error::new(
                format!("{} sections", self.sections.len()),
                format!("at most {MOST_SECTIONS}"),
                "join what is one piece",
            )
            .within("sections"));
        }
        for (i, s) in self.sections.iter().enumerate() {
            s.check().map_err(|e| e.within(format!("sections[{i}]")))?;
        }
        self.hook.check().map_err(|e| e.within("hook"))?;
        if let Some(s) = self.sinker {
            s.check().map_err(|e| e.within("sinker"))?;
        }
        Ok(())
    }

    fn sum(&self, counts: impl Fn(&Section) -> Known<bool>) -> Known<Length> {
        let mut sum = Length::ZERO;
        for s in &self.sections {
            match counts(s) {
                Known::Known(false) => {}
                Known::Known(true) => match s.length {
                    Known::Known(l) => sum = sum + l,
                    Known::Unknown => return Known::Unknown,
                },
                Known::Unknown => return Known::Unknown,
            }
        }
        Known::Known(sum)
    }

    /// Length of the whole leader, hook not counted; unknown if a section's is.
    pub fn leader_length(&self) -> Known<Length> {
        self.sum(|_| Known::Known(true))
    }

    /// Length of metal between the joints; 0 if none; unknown while a material or such a length is. What a law may
    /// read is [`Rig::metal_read`].
    pub fn metal_length(&self) -> Known<Length> {
        self.sum(|s| s.material.get().map(Material::is_metal).into())
    }

    fn widest(&self, tables: &Tables, of: fn(Material) -> bool) -> Known<Length> {
        let mut widest = Length::ZERO;
        for s in &self.sections {
            match s.material {
                Known::Known(m) if !of(m) => {}
                Known::Known(_) => match s.diameter(tables) {
                    Known::Known(d) => widest = widest.max(d),
                    Known::Unknown => return Known::Unknown,
                },
                Known::Unknown => return Known::Unknown,
            }
        }
        Known::Known(widest)
    }

    /// Diameter of the thickest metal section; 0 if none; unknown while a material or such a diameter is.
    pub fn metal_diameter(&self, tables: &Tables) -> Known<Length> {
        self.widest(tables, Material::is_metal)
    }

    /// Diameter of the thickest single-filament section; 0 if none.
    pub fn mono_diameter(&self, tables: &Tables) -> Known<Length> {
        self.widest(tables, Material::is_mono)
    }

    /// Shape of the hook.
    pub fn hook_style(&self) -> Known<HookStyle> {
        self.hook.style
    }
    /// Whether the hook is offset.
    pub fn hook_offset(&self) -> Known<bool> {
        self.hook.offset
    }
    /// Whether the hook is stainless.
    pub fn hook_stainless(&self) -> Known<bool> {
        self.hook.is_stainless()
    }
    /// Widest inside gap of the hook.
    pub fn hook_gap(&self) -> Known<Length> {
        self.hook.gap
    }
    /// Point to shank of the hook.
    pub fn hook_point_to_shank(&self) -> Known<Length> {
        self.hook.point_to_shank
    }
    /// Hooks on the line.
    pub fn hook_count(&self) -> Known<u8> {
        self.hook.count
    }

    /// Whether a lead or swivel could fly back with the loaded path: a fixed sinker, or one of unknown hang.
    pub fn weight_in_path(&self) -> Known<bool> {
        match self.sinker {
            None => Known::Known(false),
            Some(s) => s.hang.get().map(|h| h == SinkerHang::Fixed).into(),
        }
    }

    /// Leader longer than the fish: length of leader over length of fish; unknown if the leader's is. `None`
    /// for a fish without length.
    pub fn leader_over_fish(&self, fish: Length) -> Option<Known<f64>> {
        (fish.m() > 0.0).then(|| self.leader_length().get().map(|l| l / fish).into())
    }
}

#[cfg(test)]
mod laws;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Force, Mass};
    use crate::tackle::tables::tests::shipped;

    fn rig() -> Rig {
        Rig {
            name: "wire".into(),
            sections: vec![
                Section::new(SectionRole::Rubbing, Material::Nylon, Force::of_lbf(400.0), Length::of_m(5.0)),
                Section::new(SectionRole::Bite, Material::Cable, Force::of_lbf(480.0), Length::of_m(1.5)),
            ],
            hook: Hook::default(),
            sinker: None,
        }
    }

    #[test]
    fn answers_what_the_law_asks_or_says_unknown() {
        let t = shipped();
        let r = rig();
        assert_eq!(r.leader_length(), Known::Known(Length::of_m(6.5)));
        assert_eq!(r.metal_length(), Known::Known(Length::of_m(1.5)));
        assert!((r.metal_diameter(&t).get().unwrap().mm() - 1.59).abs() < 1e-9);
        assert!((r.mono_diameter(&t).get().unwrap().mm() - 2.05).abs() < 1e-9);
        assert_eq!(r.hook_stainless(), Known::Unknown);
        let mut unknown = r.clone();
        unknown.sections[0].material = Known::Unknown;
        assert_eq!(unknown.metal_length(), Known::Unknown);
        assert_eq!(unknown.leader_length(), Known::Known(Length::of_m(6.5)));
        unknown = r.clone();
        unknown.sections[1].length = Known::Unknown;
        assert_eq!(unknown.metal_length(), Known::Unknown);
        unknown = r;
        unknown.sections.pop();
        assert_eq!(unknown.metal_length(), Known::Known(Length::ZERO));
        assert_eq!(unknown.metal_diameter(&t), Known::Known(Length::ZERO));
        assert!((casting_leader(&t, Mass::of_g(150.0)).lbf() - 52.9).abs() < 0.1);
    }

    #[test]
    fn reads_the_crews_words_and_refuses_others() {
        let text = "
            name = 'wire'
            sinker = { mass = '150g', hang = 'sliding' }
            [hook]
            style = 'circle'
            size = 18.0
            offset = false
            metal = 'carbon-steel'
            wire = '5.2mm'
            gap = '42mm'
            count = 1
            [[sections]]
            role = 'rubbing'
            material = 'mono'
            strength = '400lb'
            length = '5.0m'
            top = { kind = 'crimp' }
            connector = { strength = '800lb' }
        ";
        let r: Rig = toml::from_str(text).unwrap();
        r.check().unwrap();
        assert_eq!(r.weight_in_path(), Known::Known(false));
        assert_eq!(r.hook_offset(), Known::Known(false));
        assert!(toml::from_str::<Rig>(&text.replace("wire =", "wires =")).is_err());
        let e = toml::from_str::<Rig>(&text.replace("5.0m", "500m")).unwrap().check().unwrap_err();
        assert_eq!(e.place, "sections[0], length");
    }
}
