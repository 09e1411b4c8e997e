//! An outfit: rod, reel, line, guides, and what its drag was read to give.

use super::drag::{DragPlan, Reading};
use super::fill::LoadedBand;
use super::line::LinePiece;
use super::reel::{Guides, Reel, Rod};
use super::spool::{LoadedSpool, Wound};
use super::tables::Tables;
use crate::facts::{Figure, Grade, Known};
use crate::quantity::{Length, Quantity};
use crate::{Error, Result};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A mark that the crew put on its line to see it pass at night.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineMark {
    /// Line out when it leaves the spool.
    pub line_out: Length,
    /// What is seen: "red", "two white".
    pub seen: String,
}

/// An outfit as the crew describes it (`[[outfit]]` of an outing file).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Outfit {
    /// What the crew calls it.
    pub name: String,
    /// Reel.
    #[serde(default)]
    pub reel: Reel,
    /// Pieces of line in the order in which they were wound: the one on the arbor first.
    #[serde(default)]
    pub line: Vec<LinePiece>,
    /// Depth of the line below the rim with all line on, if the crew measured it.
    #[serde(default)]
    pub depth_below_rim: Known<Length>,
    /// Marks on the line.
    #[serde(default)]
    pub marks: Vec<LineMark>,
    /// Guides.
    #[serde(default)]
    pub guides: Guides,
    /// Rod.
    #[serde(default)]
    pub rod: Rod,
    /// Drag that the crew wants.
    #[serde(default)]
    pub drag: DragPlan,
    /// Scale readings.
    #[serde(default)]
    pub readings: Vec<Reading>,
    /// Day on which the reel was last opened.
    #[serde(default)]
    #[schemars(with = "Known<String>")]
    pub opened: Known<Date>,
}

/// Most pieces of line and most readings accepted.
const MOST_PIECES: usize = 12;
const MOST_READINGS: usize = 500;

impl Outfit {
    /// An outfit of which only its name is known.
    pub fn named(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            reel: Reel::default(),
            line: Vec::new(),
            depth_below_rim: Known::Unknown,
            marks: Vec::new(),
            guides: Guides::default(),
            rod: Rod::default(),
            drag: DragPlan::default(),
            readings: Vec::new(),
            opened: Known::Unknown,
        }
    }

    /// Refuses sizes that no outfit has, naming the field.
    pub fn check(&self) -> Result<()> {
        let many = |what: &str, n: usize, most: usize| {
            if n <= most {
                return Ok(());
            }
            Err(Error::new(format!("{n} entries"), format!("at most {most}"), "keep the newest").within(what))
        };
        many("line", self.line.len(), MOST_PIECES)?;
        many("readings", self.readings.len(), MOST_READINGS)?;
        many("marks", self.marks.len(), MOST_READINGS)?;
        self.reel.check().map_err(|e| e.within("reel"))?;
        for (i, piece) in self.line.iter().enumerate() {
            piece.check().map_err(|e| e.within(format!("line[{i}]")))?;
        }
        if let Known::Known(d) = self.depth_below_rim {
            d.within("depth of the line below the rim", Length::ZERO, Length::of_mm(150.0))
                .map_err(|e| e.within("depth_below_rim"))?;
        }
        for (i, mark) in self.marks.iter().enumerate() {
            mark.line_out
                .within("line out at the mark", Length::ZERO, Length::of_km(5.0))
                .map_err(|e| e.within(format!("marks[{i}].line_out")))?;
        }
        self.guides.check().map_err(|e| e.within("guides"))?;
        self.rod.check().map_err(|e| e.within("rod"))?;
        self.drag.check().map_err(|e| e.within("drag"))?;
        for (i, r) in self.readings.iter().enumerate() {
            r.check().map_err(|e| e.within(format!("readings[{i}]")))?;
        }
        Ok(())
    }

    /// The loaded spool to plan with. Refuses an outfit whose spool or line is not known, and line that does not
    /// fit.
    pub fn loaded_spool(&self, tables: &Tables) -> Result<Figure<LoadedSpool>> {
        self.loaded_band(tables).map(|b| Figure::new(b.planned, b.grade, b.source))
    }

    /// The loaded spool over the band of what is known of the bare one.
    ///
    /// A spool known by its label only has room at least for the line that is on it: the band is narrowed so.
    pub fn loaded_band(&self, tables: &Tables) -> Result<LoadedBand> {
        let band = self.reel.spool_band(tables).map_err(|e| e.within("reel"))?;
        let mut grade = band.grade;
        let mut pieces: Vec<Wound> = Vec::with_capacity(self.line.len());
        for (i, piece) in self.line.iter().enumerate() {
            let (wound, g) = piece.wound(tables).map_err(|e| e.within(format!("line[{i}]")))?;
            grade = grade.max(g);
            pieces.push(wound);
        }
        let needed: f64 =
            pieces.iter().map(|p| p.length.m() * crate::math::sq(p.diameter.m()) / (4.0 * p.packing)).sum();
        let mut spool = band.holding(needed).map_err(|e| e.within("line"))?;
        let planned = LoadedSpool::wind(spool.planned, pieces.clone()).map_err(|e| e.within("line"))?;
        let mut source = spool.source.clone();
        let depth = match self.depth_below_rim {
            Known::Known(_) if spool.by_label => {
                spool
                    .told
                    .push("the depth below the rim counts once rim, arbor and width are measured".to_owned());
                None
            }
            depth => depth.get(),
        };
        let at_depth = |loaded: LoadedSpool| match depth {
            // A measured fill makes the packing a measured one: the spool's own grade is left.
            Some(d) => loaded.with_measured_depth(d).map_err(|e| e.within("depth_below_rim")),
            None => Ok(loaded),
        };
        let planned = at_depth(planned)?;
        if depth.is_some() {
            grade = spool.grade;
            source = format!("{source}; fill measured");
        }
        // The ends of a class's band may be too small for the line that is on: then they tell nothing.
        let end = |s| {
            let wound = LoadedSpool::wind(s, pieces.clone()).and_then(at_depth);
            wound.unwrap_or_else(|_| planned.clone())
        };
        Ok(LoadedBand {
            least: end(spool.least),
            central: end(spool.central),
            most: end(spool.most),
            planned,
            spool,
            grade,
            source,
        })
    }

    /// Material of the line that runs through the guides at `line_out`.
    pub fn material_at(&self, spool: &LoadedSpool, line_out: Length) -> Known<super::Material> {
        let i = spool.leaving(line_out).unwrap_or(0);
        self.line.get(i).and_then(|p| p.material.get()).into()
    }

    /// What is known of this drag on a day, of readings that stand ([`Reading::stands`]): newest reading, and whether the reel was opened since.
    pub fn drag_evidence(&self, tables: &Tables) -> DragEvidence {
        let stand = || self.readings.iter().filter(|r| r.stands(&self.drag));
        let newest = stand().filter_map(|r| r.date.get()).max();
        let undated = stand().next().is_some() && newest.is_none();
        let opened_since = if let (Some(read), Known::Known(opened)) = (newest, self.opened) {
            Known::Known(opened > read)
        } else {
            let last = stand().filter(|r| r.date.get() == newest);
            last.filter_map(|r| r.opened_since.get()).max().into()
        };
        DragEvidence {
            newest,
            undated,
            opened_since,
            class_band: self.reel.max_drag(tables).get().map(|f| f.grade),
        }
    }
}

/// What is known of a drag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DragEvidence {
    /// Day of the newest reading.
    pub newest: Option<Date>,
    /// There are readings, but none with a date.
    pub undated: bool,
    /// Whether the reel was opened after it.
    pub opened_since: Known<bool>,
    /// Grade of a band for the greatest drag (class or maker), if there is one.
    pub class_band: Option<Grade>,
}

impl DragEvidence {
    /// Days between the newest reading and `today`; `None` without a dated reading, negative for one in the
    /// future.
    pub fn age_days(&self, today: Date) -> Option<i32> {
        self.newest.and_then(|d| (today - d).get_days().into())
    }
    /// Whether anything at all was read by scale.
    pub fn is_measured(&self) -> bool {
        self.newest.is_some() || self.undated
    }
}
