//! What turns a scale reading into a torque.

use super::Preset;
use super::reading::{Reading, ScalePlace};
use crate::facts::Known;
use crate::quantity::{Angle, Force, Length, Torque};
use crate::tackle::guides::wrap_factor;
use crate::tackle::tables::Tables;
use crate::tackle::{LoadedSpool, Outfit, ReelKind};
use crate::{Error, Result};
use jiff::civil::Date;

/// Line that stands proud of the full spool by less than this is a matter of measuring.
const SLACK: Length = Length::of_mm(0.5);

/// What turns a reading into a torque, and what stands since it was taken.
#[derive(Clone, Copy, Debug)]
pub struct ReadingContext<'a> {
    /// The spool as it was loaded.
    pub spool: &'a LoadedSpool,
    /// Friction of the guides.
    pub friction: f64,
    /// Turn of the line over the bent rod.
    pub wrap: Angle,
    /// Where STRIKE stands on the lever's travel.
    pub strike_at: f64,
    /// Kind of drag.
    pub kind: Known<ReelKind>,
    /// Where the preset stands now.
    pub preset: Known<Preset>,
    /// When it was last turned.
    pub preset_turned: Known<Date>,
}

impl<'a> ReadingContext<'a> {
    /// The context of an outfit.
    pub fn of(outfit: &Outfit, spool: &'a LoadedSpool, tables: &Tables) -> Self {
        let material = outfit.material_at(spool, Length::ZERO);
        Self {
            spool,
            friction: outfit.guides.friction(tables, material).value.central,
            wrap: outfit.guides.wrap(tables).value.central,
            strike_at: outfit.reel.strike_at(tables).value,
            kind: outfit.reel.kind,
            preset: outfit.drag.preset,
            preset_turned: outfit.drag.preset_turned,
        }
    }

    /// Factor from the reel to the tip while line runs out.
    pub fn guide_factor(&self) -> f64 {
        wrap_factor(self.friction, self.wrap)
    }

    /// Torque of a force that a scale showed in this reading. Refuses a depth below the rim that this spool has not got.
    pub fn torque(&self, r: &Reading, place: ScalePlace, value: Force) -> Result<Torque> {
        let at_reel = match place {
            ScalePlace::Reel => value,
            // A reading at the tip holds the guides already: take them out once.
            ScalePlace::Tip => value / wrap_factor(self.friction, r.bend.get().unwrap_or(self.wrap)),
        };
        Ok(Torque::of_nm(at_reel.n() * self.radius(r)?.m()))
    }

    /// Radius of the line on the spool in this reading; a full spool where nothing is said.
    fn radius(&self, r: &Reading) -> Result<Length> {
        let Known::Known(depth) = r.depth else {
            return Ok(self.spool.radius(r.line_out.get().unwrap_or(Length::ZERO)));
        };
        let (bare, full) = (self.spool.spool(), self.spool.full_radius());
        let radius = bare.rim - depth;
        if radius < bare.arbor - SLACK || radius > full + SLACK {
            return Err(Error::new(
                format!("line {:.1} mm below the rim", depth.mm()),
                format!(
                    "{:.1} to {:.1} mm on this spool",
                    (bare.rim - full).mm(),
                    (bare.rim - bare.arbor).mm()
                ),
                "measure again from the rim down to the line, or correct what is wound",
            )
            .within("depth"));
        }
        Ok(radius.max(bare.arbor).min(full))
    }
}
