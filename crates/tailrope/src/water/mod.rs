//! Drag on lines, baits and bodies; the shape of a line in a stream; what it does when it lets go; the hold
//! of an anchor in sand.
//!
//! | question | here |
//! |---|---|
//! | What does the water cost a line that runs? | [`skin_drag`], [`skin_ct`] |
//! | What does a current across a line cost? | [`normal_drag_per_m`], [`cylinder_cn`], [`strum_band`] |
//! | How far does the line belly, and from where does it pull? | [`Belly`], [`run_in_plane`], [`Cable`] |
//! | What must the anchor of a bait resist, when does it walk? | [`Soak`] |
//! | What load may a strength check add for a sweep? | [`sweep_bound`] |
//! | How does a line hang, lie on the bed, stretch? | [`Hanging`], [`ElasticCatenary`] |
//! | At what angle does a heavy line tow? | [`critical_angle`] |
//! | What does a bait, a chunk, a fish weigh on the line? | [`body_drag`], [`bait_broadside`], [`bait_nose_on`] |
//! | How hard does a jerk hit, what flies back? | [`Strand::shock`], [`spool_start_up`], [`fly_back`] |
//! | What does a sinker, spike or plank hold? | [`WiredSinker`], [`planning_hold`], [`plank_hold`] |
//!
//! The module knows diameters, lengths, densities and speeds, no tackle: it does not know what a line is
//! called or how strong it is. It is a static model: lines stand still in steady water. A published static
//! model of a fishing line kept within 5 % of its flume shapes; the coefficients are far less certain than
//! that, so bands stand beside the centres.
//!
//! Where no other is named, the source of a formula is the cross-flow principle and the cable equations as
//! in Berteaux, *Buoy Engineering* (1976), and Faltinsen, *Sea Loads* (1990).

mod belly;
mod body;
mod cable;
mod cylinder;
mod fly_back;
mod ground;
mod hanging;
mod heavy;
mod load;
mod medium;
mod newton;
mod ode;
mod plane;
mod shape;
mod shock;
mod shoot;
mod skin;
mod soak;
mod strand;
mod stream;
mod sweep;
mod vector;

pub use belly::{AnchorLoad, Belly, bend_radius, small_sag};
pub use body::{CD_BROADSIDE, CD_CHUNK, bait_broadside, bait_nose_on, body_drag, cd_fish_wetted, cd_nose_on};
pub use cable::{Cable, NormalLaw};
pub use cylinder::{cylinder_cn, normal_drag_per_m, reynolds, strum_band, strum_frequency_hz, strummed_cn};
pub use fly_back::{FLY_BACK_CAUTION, FlyBack, fly_back};
pub use ground::{
    PLANNING_DIVISOR, Sand, WiredSinker, buried_hold, plank_hold, planning_hold, scaled_drag_anchor,
    sliding_hold, wire_bend_limit,
};
pub use hanging::{ElasticCatenary, EndPull, Hanging};
pub use heavy::critical_angle;
pub use load::LineLoad;
pub use medium::{Viscosity, Water};
pub use plane::{PlanePoint, run_in_plane};
pub use shape::{LinePoint, Place, Pull, Shape};
pub use shock::{SpoolStart, spool_start_up};
pub use skin::{CT_BRAID, CT_MONO, SKIN_K, SKIN_K_BAND, skin_ct, skin_drag, skin_drag_per_m};
pub use soak::{Keep, Soak, SoakLoad, Walk};
pub use strand::Strand;
pub use stream::{Stream, Velocity};
pub use sweep::{Sweep, sweep_bodily, sweep_bound, with_sweep_bound};
