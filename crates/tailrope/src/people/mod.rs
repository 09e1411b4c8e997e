//! Roles, papers, footing: what a person can bear.
//!
//! | module | answers |
//! |---|---|
//! | [`footing`] | the largest pull at the rod tip a person bears, by stance, alone and with harness hands |
//! | [`margin`] | a drag against that limit; how many harness hands it needs |
//! | [`hands`] | what harness hands really add |
//! | [`statics`] | the formulas: tipping, sliding, back, wash |
//! | [`power`] | power over minutes, the reel as a winch, the rod as a lever |
//! | [`pack`] | friction of sand, stances, back, grip, each with grade and source |
pub mod angler;
pub mod footing;
pub mod hands;
pub mod limits;
pub mod margin;
pub mod pack;
pub mod power;
pub mod statics;

pub use angler::{AnglerStand, Wash};
pub use footing::{Borne, Footing, StanceFooting};
pub use hands::HarnessHand;
pub use limits::{Governs, Limits, Resolved};
pub use margin::{Caps, Demand, HandsNeeded, Margin};
pub use pack::{FootingPack, Sand, Stance};
pub use statics::{Pin, RodTip, Stand};
