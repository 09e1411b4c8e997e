//! What is asked of a load path.

use crate::facts::{Grade, Known};
use crate::quantity::{Force, Length, Quantity, Speed};
use crate::tackle::drag::ScalePlace;
use crate::{Error, Result};

/// Line between tip and water, if nobody says otherwise (default of this project).
pub const DRY_LINE: Length = Length::of_m(50.0);

/// One question to a load path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathAsk {
    /// Drag as it was set.
    pub drag: Force,
    /// Where that is meant: off the reel, or beyond the tip of the bent rod (guides in it already).
    pub drag_at: ScalePlace,
    /// Line that was out when it was set; zero for a full spool.
    pub set_with: Length,
    /// How far the drag can be trusted.
    pub drag_grade: Grade,
    /// Line out now.
    pub line_out: Length,
    /// Speed at which the line runs.
    pub run: Speed,
    /// Line in the water; unknown counts as all but [`DRY_LINE`].
    pub wet: Known<Length>,
    /// Margin that the crew wants of every part.
    pub factor: f64,
    /// Whether to add the rigid-bar bound of a sideways run, as a vector.
    pub sweep_bound: bool,
}

impl PathAsk {
    /// A drag set at the reel with a full spool, at a line out and run speed; margin 1.5, no sweep bound.
    pub fn at_reel(drag: Force, line_out: Length, run: Speed) -> Self {
        Self {
            drag,
            drag_at: ScalePlace::Reel,
            set_with: Length::ZERO,
            drag_grade: Grade::Estimate,
            line_out,
            run,
            wet: Known::Unknown,
            factor: 1.5,
            sweep_bound: false,
        }
    }

    /// The same with a drag read beyond the tip.
    #[must_use]
    pub fn read_at_tip(self) -> Self {
        Self { drag_at: ScalePlace::Tip, ..self }
    }
    /// The same at another line out; the wet length follows it again.
    #[must_use]
    pub fn with_line_out(self, line_out: Length) -> Self {
        Self { line_out, wet: Known::Unknown, ..self }
    }

    /// Line in the water.
    pub fn wet_length(&self) -> Length {
        match self.wet {
            Known::Known(w) => w.min(self.line_out),
            Known::Unknown => wet_of(self.line_out),
        }
    }

    /// Refuses what cannot be asked, naming the field.
    pub fn check(&self, on_spool: Length) -> Result<()> {
        self.drag.within("drag", Force::ZERO, Force::of_n(5000.0)).map_err(|e| e.within("drag"))?;
        for (field, l) in [("line_out", self.line_out), ("set_with", self.set_with)] {
            if l.m().is_nan() || l.m() < 0.0 || l > on_spool {
                return Err(Error::new(
                    format!("{} m of line out", l.m()),
                    format!("0 to the {:.0} m on the spool", on_spool.m()),
                    "give the line out as it can be",
                )
                .within(field));
            }
        }
        if let Known::Known(w) = self.wet {
            w.within("line in the water", Length::ZERO, self.line_out).map_err(|e| e.within("wet"))?;
        }
        self.run.within("speed of the run", Speed::ZERO, Speed::of_mps(30.0)).map_err(|e| e.within("run"))?;
        if !(1.0..=10.0).contains(&self.factor) {
            return Err(Error::new(
                format!("a margin of {}", self.factor),
                "1 to 10",
                "ask for a margin such as 1.5",
            )
            .within("factor"));
        }
        Ok(())
    }
}

/// Line in the water when `line_out` is out and nobody says otherwise.
pub(crate) fn wet_of(line_out: Length) -> Length {
    (line_out - DRY_LINE).max(Length::ZERO)
}
