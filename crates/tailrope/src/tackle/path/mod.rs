//! The load path: what every part from spool to hook feels, and which gives way first.
//!
//! Model, outward while a fish runs: torque law and radius give the tension at the spool; the guides multiply
//! it; beyond the tip it stays as it is until the water, where skin friction adds to it along the wet length
//! (line and leader, each by its own diameter). A bend of the line in the water only turns the tension
//! (`water`), so a sideways run adds nothing here; a rigid-bar bound can be asked for, as a vector, and is off
//! by default. Each part is then held against the tension at *its* place:
//! `margin = nominal x wet x joint x age x wear / demand`. The weight of the line in air (some tenths of a
//! newton) is left out.
//!
//! Limits: one friction for all guides (the greatest of the pieces on the reel); steady running, start-up
//! values apart; a joint counts as breaking on its weaker side. Sources: capstan law, angling scale rules and
//! tow tests as in [`super::guides`], [`super::spool`], [`crate::water`].

mod ask;
#[cfg(test)]
pub(crate) mod demo;
mod leader;
mod parts;
mod report;
mod serial;
#[cfg(test)]
mod tests;

pub(crate) use ask::wet_of;
pub use ask::{DRY_LINE, PathAsk};
pub use leader::{LeaderPart, LeaderStage};
pub(in crate::tackle) use parts::rig_parts;
pub use parts::{LoadPath, PartKind, PathPart, Tensions};
pub use report::{DragLimits, PartReport, PathReport, RodReport, Shares, Winding};
pub(crate) use serial::{as_m, as_mm, as_n, known_si, option_m};
