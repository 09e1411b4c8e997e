//! Line on the reel: backing, main line, topshot, as the crew describes them.

use super::joint::Joint;
use super::prices::PriceBand;
use super::spool::Wound;
use super::strength::{Stock, Strength, Wear};
use super::tables::{BandFigure, Tables};
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Force, Length, Quantity};
use crate::tackle::Material;
use crate::{Error, Result};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What a piece of line is for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LineRole {
    /// Under the main line, to fill the spool.
    Backing,
    /// Main line.
    Main,
    /// Thicker piece in front that rubs.
    Topshot,
}

impl LineRole {
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Backing => "backing",
            Self::Main => "main line",
            Self::Topshot => "topshot",
        }
    }
}

/// One piece of line on the spool.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LinePiece {
    /// What the crew calls it; the role's word if left out.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// What it is for; see [`LinePiece::role`].
    #[serde(default)]
    pub role: Known<LineRole>,
    /// Its length.
    pub length: Length,
    /// What it is made of.
    #[serde(default)]
    pub material: Known<Material>,
    /// Diameter; a label alone gives only the trade's usual one.
    #[serde(default)]
    pub diameter: Known<Length>,
    /// Strength on its label.
    #[serde(default)]
    pub strength: Known<Force>,
    /// Whether it is class line: tested wet, its strength a ceiling.
    #[serde(default)]
    pub class_line: bool,
    /// The crew's own break of the line, wet, without a joint.
    #[serde(default)]
    pub wet_break: Known<Force>,
    /// Share of strength kept with age (1 when new).
    #[serde(default)]
    pub age_kept: Known<f64>,
    /// Day on which it was wound.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    #[schemars(with = "Known<String>")]
    pub wound_on: Known<Date>,
    /// Nights on which it was fished since.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub nights: Known<u32>,
    /// State as fingers feel it.
    #[serde(default)]
    pub wear: Known<Wear>,
    /// Share of strength kept with wear, where the crew knows it.
    #[serde(default)]
    pub wear_kept: Known<f64>,
    /// Share of the lay on the spool that is line, if the crew measured it.
    #[serde(default)]
    pub packing: Known<f64>,
    /// Joint at its outer end: to the next piece, or to the rig.
    #[serde(default)]
    pub outer: Joint,
}

impl LinePiece {
    /// A piece of which only role, length, material, strength and diameter are known.
    pub fn new(
        role: LineRole,
        length: Length,
        material: Material,
        strength: Force,
        diameter: Length,
    ) -> Self {
        Self {
            name: String::new(),
            role: Known::Known(role),
            length,
            material: Known::Known(material),
            diameter: Known::Known(diameter),
            strength: Known::Known(strength),
            class_line: false,
            wet_break: Known::Unknown,
            age_kept: Known::Unknown,
            wound_on: Known::Unknown,
            nights: Known::Unknown,
            wear: Known::Unknown,
            wear_kept: Known::Unknown,
            packing: Known::Unknown,
            outer: Joint::default(),
        }
    }

    /// What it is for: as given, else read from its name, else main line.
    pub fn role(&self) -> LineRole {
        let named = self.name.to_ascii_lowercase();
        match self.role {
            Known::Known(role) => role,
            Known::Unknown if named.contains("topshot") || named.contains("top shot") => LineRole::Topshot,
            Known::Unknown if named.contains("backing") => LineRole::Backing,
            Known::Unknown => LineRole::Main,
        }
    }

    /// What the crew calls it.
    pub fn title(&self) -> &str {
        if self.name.is_empty() { self.role().word() } else { &self.name }
    }

    fn stock(&self) -> Stock {
        Stock {
            material: self.material,
            diameter: self.diameter,
            strength: self.strength,
            class_line: self.class_line,
            wet_break: self.wet_break,
            age_kept: self.age_kept,
            wear: self.wear,
            wear_kept: self.wear_kept,
            rubs: self.role() == LineRole::Topshot,
        }
    }

    /// Strength of the line itself, without joints.
    ///
    /// Its age counts by the crew's own share, else by one season's default of the material: no interval is known
    /// after which a line is old, so date and nights are told beside the figure and change nothing.
    pub fn strength(&self, tables: &Tables) -> Known<Strength> {
        let mut strength = self.stock().strength(tables);
        if let Known::Known(s) = &mut strength
            && let Some(age) = s.factors.iter_mut().find(|f| f.name == "age")
            && let Some(said) = self.age_said()
        {
            age.source = format!("{}; {said}", age.source);
        }
        strength
    }

    /// What the crew said of its age, in words.
    pub fn age_said(&self) -> Option<String> {
        let wound = self.wound_on.get().map(|d| format!("wound on {d}"));
        let nights = self.nights.get().map(|n| format!("{n} nights since"));
        let said: Vec<String> = wound.into_iter().chain(nights).collect();
        (!said.is_empty()).then(|| said.join(", "))
    }

    /// Strength at the joint that ends it, as if the other side were stronger: nominal x wet x joint x age x
    /// wear, or the measured break of the joint in their place.
    pub fn strength_at_joint(&self, tables: &Tables) -> Known<Strength> {
        joined(tables, &self.outer, (self.material, self.strength(tables)), None)
    }

    /// Diameter, measured or by its label.
    pub fn diameter(&self, tables: &Tables) -> Known<BandFigure<Length>> {
        self.stock().diameter(tables)
    }

    /// What spools of such a line cost, whole ones; `None` where label and material, or a price, are not known.
    pub fn price(&self, tables: &Tables) -> Option<PriceBand> {
        let material = self.material.get()?;
        let label = match (self.strength, self.diameter) {
            (Known::Known(f), _) => f,
            (_, Known::Known(d)) => tables.strength_of(material, d).value.central,
            _ => return None,
        };
        tables.prices.line_bought(material, label, self.length)
    }

    /// As it lies on the spool. Refuses a piece whose diameter cannot be told.
    pub fn wound(&self, tables: &Tables) -> Result<(Wound, Grade)> {
        let Known::Known(diameter) = self.diameter(tables) else {
            return Err(Error::new(
                format!("the diameter of the {} is not known", self.title()),
                "a diameter, or material and label",
                "measure it with a caliper, or over ten tight turns on a pencil",
            )
            .within("diameter"));
        };
        let packing = match (self.packing, self.material) {
            (Known::Known(p), _) => Figure::new(Band::exact(p), Grade::Measured, "given by the crew"),
            (_, m) => tables.material(m.get().unwrap_or(Material::Nylon)).packing.clone(),
        };
        let wound = Wound::new(self.title(), self.length, diameter.value.central, packing.value.central);
        Ok((wound, diameter.grade.max(packing.grade)))
    }

    /// Refuses sizes that no line has.
    pub fn check(&self) -> Result<()> {
        self.stock().check()?;
        self.length
            .within("length of the piece", Length::of_m(0.1), Length::of_km(5.0))
            .map_err(|e| e.within("length"))?;
        if let Known::Known(p) = self.packing
            && !(0.3..=super::spool::PACKING_MOST).contains(&p)
        {
            return Err(Error::new(
                format!("packing {p}"),
                format!("0.3 to {}", super::spool::PACKING_MOST),
                "leave it out, or measure the depth of the line below the rim",
            )
            .within("packing"));
        }
        self.outer.check().map_err(|e| e.within("outer"))
    }
}

/// Strength of a joint between two sides; the second may be missing (a hook's eye, a swivel). A measured break
/// of the joint replaces both sides and the table.
pub(super) fn joined(
    tables: &Tables,
    joint: &Joint,
    inner: (Known<Material>, Known<Strength>),
    outer: Option<(Known<Material>, Known<Strength>)>,
) -> Known<Strength> {
    if let Known::Known(f) = joint.measured_break {
        let own = Figure::new(Band::exact(f), Grade::Measured, "the crew's own break of such a joint");
        return Known::Known(Strength::of("own break of the joint", &own));
    }
    let other = outer.as_ref().map_or(inner.0, |o| o.0);
    let kept = joint.kept(tables, inner.0, other);
    let weaker = match outer {
        None => inner.1,
        Some((_, o)) => match (inner.1, o) {
            (Known::Known(a), Known::Known(b)) => {
                Known::Known(if a.band.central <= b.band.central { a } else { b })
            }
            _ => Known::Unknown,
        },
    };
    match weaker {
        Known::Known(s) => Known::Known(s.times("joint", &kept)),
        Known::Unknown => Known::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::tables::tests::shipped;

    fn mono() -> LinePiece {
        let (m, mm) = (Length::of_m(300.0), Length::of_mm(0.9));
        LinePiece::new(LineRole::Main, m, Material::Nylon, Force::of_lbf(80.0), mm)
    }

    #[test]
    fn no_interval_makes_a_line_old() {
        // Question 84: a season's default, told with what is known, then the crew's own break; no calendar.
        let t = shipped();
        let of = |p: &LinePiece| p.strength(&t).get().unwrap();
        let plain = of(&mono());
        for year in [1990, 2026] {
            let mut p = mono();
            p.wound_on = Known::Known(jiff::civil::date(year, 3, 14));
            p.nights = Known::Known(12);
            let s = of(&p);
            assert_eq!(s.band, plain.band, "{year}");
            let age = s.factors.iter().find(|f| f.name == "age").unwrap();
            assert!((age.value - 0.95).abs() < 1e-12 && age.grade == Grade::Estimate);
            assert!(
                age.source.contains("one season")
                    && age.source.contains(&format!("wound on {year}-03-14, 12 nights"))
            );
        }
        let mut p = mono();
        p.wet_break = Known::Known(Force::of_lbf(61.0));
        p.age_kept = Known::Known(1.0);
        assert!((of(&p).band.central.lbf() - 61.0).abs() < 1e-9);
        p.material = Known::Known(Material::HmpeBraid);
        p.age_kept = Known::Unknown;
        assert!((of(&p).band.central.lbf() - 61.0 * 0.9).abs() < 1e-9);
        let text = toml::to_string(&mono()).unwrap();
        assert!(!text.contains("wound_on") && !text.contains("nights"), "{text}");
    }
}
