//! The rig: everything between the main line and the hook, in order, and what the law asks of it.

use super::hook::{Hook, HookStyle};
use super::joint::Joint;
use super::strength::{Stock, Strength, Wear};
use super::tables::Tables;
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Force, Length, Mass, Quantity};
use crate::tackle::Material;
use crate::{Error, Result};
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

/// Swivel, snap or shackle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Connector {
    /// Strength on its label or by the crew's test.
    #[serde(default)]
    pub strength: Known<Force>,
    /// Whether the crew broke one of the batch.
    #[serde(default)]
    pub tested: bool,
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
}

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
            connector: None,
            top: Joint::default(),
            bottom: Joint::default(),
        }
    }

    pub(super) fn stock(&self) -> Stock {
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

    fn check(&self) -> Result<()> {
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
        self.top.check().map_err(|e| e.within("top"))?;
        self.bottom.check().map_err(|e| e.within("bottom"))
    }
}

/// How a sinker hangs in the rig.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SinkerHang {
    /// In the loaded path: flies back with it.
    Fixed,
    /// Slides on the line.
    Sliding,
    /// On a weak link that parts first.
    WeakLink,
}

/// A sinker.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sinker {
    /// Mass.
    #[serde(default)]
    pub mass: Known<Mass>,
    /// How it hangs.
    #[serde(default)]
    pub hang: Known<SinkerHang>,
    /// Whether it has wires.
    #[serde(default)]
    pub wired: Known<bool>,
    /// Strength of the weak link.
    #[serde(default)]
    pub link: Known<Force>,
    /// Median pull that moved it in wet sand in the crew's own test.
    #[serde(default)]
    pub hold_measured: Known<Force>,
}

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

impl Rig {
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
            if let Known::Known(m) = s.mass {
                m.within("mass of the sinker", Mass::of_g(1.0), Mass::of_kg(5.0))
                    .map_err(|e| e.within("sinker.mass"))?;
            }
            for (field, f) in [("sinker.link", s.link), ("sinker.hold_measured", s.hold_measured)] {
                if let Known::Known(f) = f {
                    f.within(field, Force::ZERO, Force::of_n(2000.0)).map_err(|e| e.within(field))?;
                }
            }
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

    /// Length of leader that is made of metal; 0 if none; unknown while a material or such a length is.
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

/// Strength that the trade asks of a casting leader for a mass cast: 10 lb an ounce (second-hand).
pub fn casting_leader(tables: &Tables, cast: Mass) -> Force {
    tables.leader_stage.casting_leader_per_oz.value * (cast.lb() * 16.0)
}

#[cfg(test)]
mod tests {
    use super::*;
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
