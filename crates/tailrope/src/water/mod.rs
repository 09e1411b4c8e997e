//! Drag on lines, baits and bodies; the shape of a line in a stream; what it does when it lets go; the hold
//! of an anchor in sand.
//!
//! | question | here |
//! |---|---|
//! | What does the water cost a line that runs? | [`skin_drag`], [`skin_ct`] |
//! | What does a current across a line cost? | [`normal_drag_per_m`], [`cylinder_cn`], [`strum_band`] |
//! | What load may a strength check add for a sweep? | [`sweep_bound`] |
//!
//! The module knows diameters, lengths, densities and speeds, no tackle: it does not know what a line is
//! called or how strong it is. It is a static model: lines stand still in steady water. A published static
//! model of a fishing line kept within 5 % of its flume shapes; the coefficients are far less certain than
//! that, so bands stand beside the centres.
//!
//! Where no other is named, the source of a formula is the cross-flow principle and the cable equations as
//! in Berteaux, *Buoy Engineering* (1976), and Faltinsen, *Sea Loads* (1990).

mod cylinder;
mod load;
mod medium;
mod skin;
mod sweep;

pub use cylinder::{cylinder_cn, normal_drag_per_m, reynolds, strum_band, strum_frequency_hz, strummed_cn};
pub use load::LineLoad;
pub use medium::{Viscosity, Water};
pub use skin::{CT_BRAID, CT_MONO, SKIN_K, SKIN_K_BAND, skin_ct, skin_drag, skin_drag_per_m};
pub use sweep::{Sweep, sweep_bodily, sweep_bound, with_sweep_bound};
