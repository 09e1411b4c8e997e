//! What a part can bear: nominal strength times everything that lessens it, each with its grade.
//!
//! `capacity = nominal x wet x age x wear (x joint)`. The wet factor belongs to a dry nominal strength of nylon
//! and to nothing else; class line is tested wet, and a break that the crew measured wet already holds it.

use super::material::Material;
use super::tables::{BandFigure, Tables};
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Force, Length, Quantity};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// One figure that went into a result.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Factor {
    /// What it is.
    pub name: String,
    /// Central value.
    pub value: f64,
    /// Its unit; `""` for a share.
    pub unit: &'static str,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
}

impl Factor {
    /// A share or factor.
    pub fn share(name: impl Into<String>, f: &BandFigure<f64>) -> Self {
        Self { name: name.into(), value: f.value.central, unit: "", grade: f.grade, source: f.source.clone() }
    }
    /// Whether the result would move by more than a tenth without it. A force always does.
    pub fn moves_result(&self) -> bool {
        !self.unit.is_empty() || (self.value - 1.0).abs() > 0.1
    }
}

/// Weakest grade among the figures that move a result by more than a tenth; `Measured` if there are none.
pub fn weakest_grade<'a>(factors: impl IntoIterator<Item = &'a Factor>) -> Grade {
    factors.into_iter().filter(|f| f.moves_result()).map(|f| f.grade).fold(Grade::Measured, Ord::max)
}

/// Breaking strength of a part, with what made it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Strength {
    /// Low, central, high.
    #[serde(skip)]
    pub band: Band<Force>,
    /// Figures that made it.
    pub factors: Vec<Factor>,
}

impl Strength {
    /// Starts from a nominal or measured strength.
    pub fn of(name: &str, figure: &BandFigure<Force>) -> Self {
        Self {
            band: figure.value,
            factors: vec![Factor {
                name: name.into(),
                value: figure.value.central.n(),
                unit: "N",
                grade: figure.grade,
                source: figure.source.clone(),
            }],
        }
    }

    /// Lessens it by a share.
    #[must_use]
    pub fn times(mut self, name: &str, share: &BandFigure<f64>) -> Self {
        self.band = Band {
            low: self.band.low * share.value.low,
            central: self.band.central * share.value.central,
            high: self.band.high * share.value.high,
        };
        self.factors.push(Factor::share(name, share));
        self
    }

    /// Weakest grade among the figures that move it by more than a tenth.
    pub fn grade(&self) -> Grade {
        weakest_grade(&self.factors)
    }
}

/// State of a line or leader as fingers feel it.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Wear {
    /// New or cut back, smooth all along.
    Sound,
    /// Smooth, used some nights.
    Used,
    /// A nick or a rough place.
    Nicked,
    /// Braid that ran on a bare sinker.
    RanOnSinker,
    /// Braid that ran on a slider.
    RanOnSlider,
}

impl Wear {
    /// Share of strength that is left.
    pub fn kept(self, tables: &Tables) -> BandFigure<f64> {
        let w = &tables.wear;
        match self {
            Self::Sound => Figure::new(Band::exact(1.0), Grade::Measured, "felt by the crew: sound"),
            Self::Used => w.used.clone(),
            Self::Nicked => w.nicked.clone(),
            Self::RanOnSinker => w.braid_on_bare_sinker.clone(),
            Self::RanOnSlider => w.braid_on_slider.clone(),
        }
    }
}

/// What is known of a length of line or leader, gathered from the crew's words.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stock {
    pub material: Known<Material>,
    pub diameter: Known<Length>,
    pub strength: Known<Force>,
    pub class_line: bool,
    pub wet_break: Known<Force>,
    pub age_kept: Known<f64>,
    pub wear: Known<Wear>,
    pub wear_kept: Known<f64>,
    /// Whether a state that nobody gave counts as that of a used topshot.
    pub rubs: bool,
}

impl Stock {
    /// Strength of the body without joints; unknown if neither strength nor material and diameter are known.
    pub fn strength(&self, tables: &Tables) -> Known<Strength> {
        // A material that nobody gave loses what nylon loses: the safe side.
        let row = tables.material(self.material.get().unwrap_or(Material::Nylon));
        let strength = match (self.wet_break, self.strength, self.material, self.diameter) {
            (Known::Known(f), ..) => Strength::of(
                "own wet break",
                &Figure::new(Band::exact(f), Grade::Measured, "the crew's own break, wet"),
            ),
            (_, Known::Known(f), ..) if self.class_line => Strength::of(
                "line class",
                &Figure::new(Band::exact(f), Grade::Published, "S35: breaks under its class when wet"),
            ),
            (_, Known::Known(f), ..) => Strength::of(
                "label strength",
                &Figure::new(Band::exact(f), Grade::SecondHand, "label of the line"),
            )
            .times("wet", &row.wet_kept),
            (_, _, Known::Known(m), Known::Known(d)) => {
                Strength::of("strength by diameter", &tables.strength_of(m, d)).times("wet", &row.wet_kept)
            }
            _ => return Known::Unknown,
        };
        let own = |v: f64, what: &str| {
            Figure::new(Band::exact(v), Grade::Measured, format!("the crew's own {what}"))
        };
        let age = self.age_kept.get().map_or_else(|| row.age_kept.clone(), |v| own(v, "figure of age"));
        let wear = match (self.wear_kept, self.wear) {
            (Known::Known(v), _) => Some(own(v, "figure of wear")),
            (_, Known::Known(w)) => Some(w.kept(tables)),
            _ if self.rubs => Some(tables.wear.topshot_unseen.clone()),
            _ => None,
        };
        let strength = strength.times("age", &age);
        Known::Known(match wear {
            Some(w) => strength.times("wear", &w),
            None => strength,
        })
    }

    /// Diameter; from the trade table where the crew gave only the label.
    pub fn diameter(&self, tables: &Tables) -> Known<BandFigure<Length>> {
        match (self.diameter, self.material, self.strength) {
            (Known::Known(d), ..) => {
                Known::Known(Figure::new(Band::exact(d), Grade::Measured, "given by the crew"))
            }
            (_, Known::Known(m), Known::Known(f)) => tables.diameter_of(m, f).into(),
            _ => Known::Unknown,
        }
    }

    /// Refuses sizes that no line has.
    pub fn check(&self) -> Result<()> {
        if let Known::Known(d) = self.diameter {
            d.within("diameter", Length::of_mm(0.05), Length::of_mm(10.0))
                .map_err(|e| e.within("diameter"))?;
        }
        for (field, f) in [("strength", self.strength), ("wet_break", self.wet_break)] {
            if let Known::Known(f) = f {
                f.within("strength", Force::of_n(5.0), Force::of_n(20_000.0)).map_err(|e| e.within(field))?;
            }
        }
        for (field, k) in [("age_kept", self.age_kept), ("wear_kept", self.wear_kept)] {
            if let Known::Known(k) = k {
                share(field, k)?;
            }
        }
        Ok(())
    }
}

/// Refuses a share outside 0 to 1.
pub(super) fn share(field: &str, value: f64) -> Result<()> {
    if (0.0..=1.0).contains(&value) {
        return Ok(());
    }
    Err(Error::new(format!("{field} is {value}"), "a share from 0 to 1", "write nine tenths as 0.9")
        .within(field))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::tables::tests::shipped;
    use proptest::prelude::*;

    fn mono() -> Stock {
        Stock {
            material: Known::Known(Material::Nylon),
            strength: Known::Known(Force::of_lbf(100.0)),
            wear: Known::Known(Wear::Sound),
            age_kept: Known::Known(1.0),
            ..Stock::default()
        }
    }

    fn central(s: Stock) -> f64 {
        s.strength(&shipped()).get().unwrap().band.central.lbf()
    }

    #[test]
    fn wet_counts_once_and_only_for_dry_nylon() {
        assert!((central(mono()) - 85.0).abs() < 1e-9);
        assert!((central(Stock { class_line: true, ..mono() }) - 100.0).abs() < 1e-9);
        let own = Stock { wet_break: Known::Known(Force::of_lbf(91.0)), ..mono() };
        assert!((central(own) - 91.0).abs() < 1e-9);
        for m in [Material::HmpeBraid, Material::Fluorocarbon, Material::SingleStrand, Material::Cable] {
            assert!((central(Stock { material: Known::Known(m), ..mono() }) - 100.0).abs() < 1e-9);
        }
        // Nobody said what it is: it loses what nylon loses.
        assert!((central(Stock { material: Known::Unknown, ..mono() }) - 85.0).abs() < 1e-9);
        for s in [mono(), Stock { class_line: true, ..mono() }, own] {
            let factors = s.strength(&shipped()).get().unwrap().factors;
            assert!(factors.iter().filter(|f| f.name == "wet").count() <= 1);
        }
    }

    #[test]
    fn carries_the_weakest_grade_that_matters() {
        let t = shipped();
        // Wet 0.85 moves it by more than a tenth and is an estimate.
        assert_eq!(mono().strength(&t).get().unwrap().grade(), Grade::Estimate);
        let own = Stock { wet_break: Known::Known(Force::of_n(300.0)), ..mono() };
        assert_eq!(own.strength(&t).get().unwrap().grade(), Grade::Measured);
        // An age share of 0.95 does not move it by a tenth.
        let aged = Stock { age_kept: Known::Unknown, ..own };
        assert_eq!(aged.strength(&t).get().unwrap().grade(), Grade::Measured);
        assert!(Stock::default().strength(&t).is_unknown());
    }

    proptest! {
        #[test]
        fn nothing_makes_a_line_stronger_than_its_label(age in 0.0..=1.0_f64, wear in 0.0..=1.0_f64, n in 10.0..5000.0_f64) {
            let s = Stock {
                strength: Known::Known(Force::of_n(n)),
                age_kept: Known::Known(age),
                wear_kept: Known::Known(wear),
                ..mono()
            };
            let b = s.strength(&shipped()).get().unwrap().band;
            prop_assert!(b.low <= b.central && b.central <= b.high && b.high.n() <= n);
        }
    }
}
