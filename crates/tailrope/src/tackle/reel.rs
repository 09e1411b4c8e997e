//! Reel, guides and rod as the crew describes them.

use super::label::{LabelCapacity, MEASURE_FIRST, SpoolBand, label_drag};
use super::spool::Spool;
use super::strength::Factor;
use super::tables::{BandFigure, Tables};
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Angle, Force, Length, Quantity};
use crate::tackle::Material;
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Kind of reel by its drag.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ReelKind {
    /// Lever with FREE, STRIKE and FULL.
    Lever,
    /// Star wheel: no marks; clicks counted from free at best.
    Star,
    /// Fixed spool with a front or rear knob.
    Spinning,
    /// Low-profile or round casting reel.
    Casting,
    /// Anything else.
    Other,
}

impl ReelKind {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Lever, Self::Star, Self::Spinning, Self::Casting, Self::Other];

    /// In words, with the article.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lever => "a lever reel",
            Self::Star => "a star reel",
            Self::Spinning => "a spinning reel",
            Self::Casting => "a casting reel",
            Self::Other => "another kind of reel",
        }
    }
}

/// Most capacities that a label may give.
const MOST_LABELS: usize = 8;

/// A reel as the crew describes it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reel {
    /// Class of the trade (`80W`), for a spool that nobody measured.
    #[serde(default)]
    pub class: Known<String>,
    /// Kind of drag.
    #[serde(default)]
    pub kind: Known<ReelKind>,
    /// The crew's own three measures of the spool; they replace the class.
    #[serde(default)]
    pub spool: Known<Spool>,
    /// Capacities on its label, for a spool that nobody measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub label: Vec<LabelCapacity>,
    /// Greatest drag on its label.
    #[serde(default)]
    pub label_drag: Known<Force>,
    /// Greatest drag that this reel gives with a full spool, by maker or own scale.
    #[serde(default)]
    pub max_drag: Known<Force>,
    /// Turns of the spool for one of the handle, fastest first.
    #[serde(default)]
    pub gears: Vec<f64>,
    /// Length of the handle from its axis.
    #[serde(default)]
    pub handle: Known<Length>,
    /// Where STRIKE stands on the lever's travel: 0 is FREE, 1 is FULL.
    #[serde(default)]
    pub strike_at: Known<f64>,
    /// Whether a motor winds it.
    #[serde(default)]
    pub powered: Known<bool>,
}

impl Reel {
    /// Refuses measures that no reel has, naming the field.
    pub fn check(&self) -> Result<()> {
        if let Known::Known(s) = self.spool {
            s.check().map_err(|e| e.within("spool"))?;
        }
        if self.label.len() > MOST_LABELS {
            return Err(Error::new(
                format!("{} capacities on a label", self.label.len()),
                format!("at most {MOST_LABELS}"),
                "keep those for lines like yours",
            )
            .within("label"));
        }
        for (i, l) in self.label.iter().enumerate() {
            l.check().map_err(|e| e.within(format!("label[{i}]")))?;
        }
        for (field, f) in [("max_drag", self.max_drag), ("label_drag", self.label_drag)] {
            if let Known::Known(f) = f {
                f.within("greatest drag", Force::of_n(1.0), Force::of_n(2000.0))
                    .map_err(|e| e.within(field))?;
            }
        }
        if let Some(g) = self.gears.iter().find(|g| !(0.3..=10.0).contains(*g)) {
            return Err(Error::new(
                format!("a gear of {g}"),
                "0.3 to 10 turns of the spool for one of the handle",
                "turn the handle once and count the turns of the spool",
            )
            .within("gears"));
        }
        if let Known::Known(l) = self.handle {
            l.within("handle", Length::of_mm(20.0), Length::of_mm(400.0)).map_err(|e| e.within("handle"))?;
        }
        if let Known::Known(x) = self.strike_at {
            super::strength::share("strike_at", x)?;
        }
        Ok(())
    }

    /// The bare spool to plan with: the crew's own measures, else the safe end of what the label gives, else the
    /// model spool of the class. Refuses when nothing of it is known: no reel is guessed from its name.
    pub fn spool(&self, tables: &Tables) -> Result<Figure<Spool>> {
        self.spool_band(tables).map(|b| Figure::new(b.planned, b.grade, b.source))
    }

    /// The bare spool as a band: no band for the crew's own measures, wide for a label.
    ///
    /// A spinning or casting reel is never taken for a class of another kind: that is refused.
    pub fn spool_band(&self, tables: &Tables) -> Result<SpoolBand> {
        if let Known::Known(s) = self.spool {
            return Ok(SpoolBand::measured(s));
        }
        let row = match &self.class {
            Known::Known(c) => {
                let row = tables.reel(c)?;
                if let Known::Known(kind) = self.kind
                    && matches!(kind, ReelKind::Spinning | ReelKind::Casting)
                {
                    return Err(Error::new(
                        format!(
                            "{} of class {}: the class is one of {}",
                            kind.words(),
                            row.class,
                            row.kind.words()
                        ),
                        "a class of its own kind; the tables hold none for spinning and casting reels",
                        format!("leave the class out; write what the label says, or {MEASURE_FIRST}"),
                    )
                    .within("class"));
                }
                Some(row)
            }
            Known::Unknown => None,
        };
        if !self.label.is_empty() {
            let kind = self.kind.get().or(row.map(|r| r.kind)).into();
            return SpoolBand::of_label(&self.label, kind, tables);
        }
        let Some(row) = row else {
            return Err(Error::new(
                "neither the spool's measures nor the reel's class or label are known",
                "rim, arbor and width of the spool, what its label says it holds, or a class of the table",
                "measure the spool with a ruler: radius of the full spool, of the arbor, width",
            )
            .within("spool"));
        };
        let source = format!("model spool of class {}, {}", row.class, row.source);
        Ok(SpoolBand::of_class(row.spool, row.grade, source, tables))
    }

    /// Friction times turn of the line roller: none but on a spinning reel. Going out it is in every reading off
    /// the reel, since the scale hangs behind it; coming in it is one more bend to win against.
    pub fn line_roller(&self, tables: &Tables) -> Known<Factor> {
        if self.kind != Known::Known(ReelKind::Spinning) {
            return Known::Unknown;
        }
        let r = &tables.line_roller;
        Known::Known(Factor {
            name: "line roller".into(),
            value: super::guides::wrap_factor(r.friction.value.central, r.wrap.value.central),
            unit: "",
            grade: r.friction.grade.max(r.wrap.grade),
            source: r.friction.source.clone(),
        })
    }

    /// Greatest drag with a full spool: the crew's, else the label's, else the band of the class.
    pub fn max_drag(&self, tables: &Tables) -> Known<BandFigure<Force>> {
        match (&self.max_drag, &self.label_drag, &self.class) {
            (Known::Known(f), ..) => {
                Known::Known(Figure::new(Band::exact(*f), Grade::Measured, "given by the crew"))
            }
            (_, Known::Known(f), _) => Known::Known(label_drag(*f, tables)),
            (.., Known::Known(c)) => tables.reel(c).ok().map(|r| r.max_drag_full.clone()).into(),
            _ => Known::Unknown,
        }
    }

    /// Gears: the crew's, else those of the class, else the usual one of the kind, else none.
    pub fn gears(&self, tables: &Tables) -> Vec<f64> {
        if !self.gears.is_empty() {
            return self.gears.clone();
        }
        match &self.class {
            Known::Known(c) => tables.reel(c).map(|r| r.gears.clone()).unwrap_or_default(),
            Known::Unknown => match self.kind {
                Known::Known(kind) if !self.label.is_empty() => vec![tables.shape(kind).gear.value.central],
                _ => Vec::new(),
            },
        }
    }

    /// Where STRIKE stands on the lever's travel.
    pub fn strike_at(&self, tables: &Tables) -> Figure<f64> {
        match self.strike_at {
            Known::Known(x) => Figure::new(x, Grade::Measured, "given by the crew"),
            Known::Unknown => tables.drag.strike_at.clone(),
        }
    }
}

/// Kind of guides.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum GuideKind {
    /// Rollers.
    Roller,
    /// Rings.
    Ring,
}

/// Guides of a rod.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Guides {
    /// Rollers or rings; unknown counts as rings, which cost more.
    #[serde(default)]
    pub kind: Known<GuideKind>,
    /// The crew's own friction, from a reading at the tip and one off the reel.
    #[serde(default)]
    pub friction: Known<f64>,
    /// Turn of the line between reel and fish over the bent rod.
    #[serde(default)]
    pub wrap: Known<Angle>,
}

impl Guides {
    /// Refuses a friction outside 0 to 1 and a wrap outside 0 to 180 degrees.
    pub fn check(&self) -> Result<()> {
        if let Known::Known(mu) = self.friction {
            super::strength::share("friction", mu)?;
        }
        if let Known::Known(a) = self.wrap {
            a.within("turn of the line over the rod", Angle::ZERO, Angle::of_deg(180.0))
                .map_err(|e| e.within("wrap"))?;
        }
        Ok(())
    }

    /// Friction for the line that runs through them.
    pub fn friction(&self, tables: &Tables, line: Known<Material>) -> BandFigure<f64> {
        match self.friction {
            Known::Known(mu) => Figure::new(Band::exact(mu), Grade::Measured, "given by the crew"),
            Known::Unknown => tables.guide_friction(self.kind.get().unwrap_or(GuideKind::Ring), line),
        }
    }

    /// Turn of the line.
    pub fn wrap(&self, tables: &Tables) -> BandFigure<Angle> {
        match self.wrap {
            Known::Known(a) => Figure::new(Band::exact(a), Grade::Measured, "given by the crew"),
            Known::Unknown => tables.rod.wrap.clone(),
        }
    }

    /// Factor from reel to tip while line runs out, with what made it.
    pub fn factor(&self, tables: &Tables, line: Known<Material>) -> Factor {
        let (mu, wrap) = (self.friction(tables, line), self.wrap(tables));
        Factor {
            name: "guides".into(),
            value: super::guides::wrap_factor(mu.value.central, wrap.value.central),
            unit: "",
            grade: mu.grade.max(wrap.grade),
            source: format!("{}; {}", mu.source, wrap.source),
        }
    }
}

/// A rod as the crew describes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rod {
    /// Length over all.
    #[serde(default)]
    pub length: Known<Length>,
    /// Distance of the hands or the strap from the butt, where the crew measured it.
    #[serde(default)]
    pub butt: Known<Length>,
    /// Line class for which the blank is built.
    #[serde(default)]
    pub line_class: Known<Force>,
    /// Greatest drag for which it is rated, or to which the crew has pulled it.
    #[serde(default)]
    pub max_drag: Known<Force>,
}

impl Rod {
    /// Refuses sizes that no rod has.
    pub fn check(&self) -> Result<()> {
        if let Known::Known(l) = self.length {
            l.within("length of the rod", Length::of_m(0.8), Length::of_m(6.0))
                .map_err(|e| e.within("length"))?;
        }
        if let Known::Known(l) = self.butt {
            l.within("butt of the rod", Length::ZERO, Length::of_m(2.0)).map_err(|e| e.within("butt"))?;
        }
        for (field, f) in [("line_class", self.line_class), ("max_drag", self.max_drag)] {
            if let Known::Known(f) = f {
                f.within(field, Force::of_n(5.0), Force::of_n(3000.0)).map_err(|e| e.within(field))?;
            }
        }
        Ok(())
    }

    /// Drag that it is built to work at: what the crew gave as greatest, else about a third of its class.
    /// No standard rates rods.
    pub fn working_drag(&self, tables: &Tables) -> Known<BandFigure<Force>> {
        match (self.max_drag, self.line_class) {
            (Known::Known(f), _) => Known::Known(Figure::new(
                Band { low: f * 0.7, central: f * 0.8, high: f },
                Grade::Measured,
                "the rod's greatest drag; S39: best fished at 70 to 80 percent of it",
            )),
            (_, Known::Known(c)) => {
                let share = &tables.rod.working_share;
                Known::Known(Figure::new(share.value.map(|s| c * s), share.grade, share.source.clone()))
            }
            _ => Known::Unknown,
        }
    }
}
