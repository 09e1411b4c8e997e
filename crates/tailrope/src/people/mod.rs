//! Roles, papers, footing: what a person can bear.
//!
//! | module | answers |
//! |---|---|
//! | [`footing`] | the largest pull at the rod tip a person bears, by stance, alone and with harness hands |
//! | [`margin`] | a drag against that limit; how many harness hands it needs |
//! | [`hands`] | what harness hands really add |
//! | [`statics`] | the formulas: tipping, sliding, back, wash |
//! | [`power`] | power over minutes, the reel as a winch, the rod as a lever |
//! | [`person`], [`role`] | a person as the outing file tells of them; the nine roles |
//! | [`rules`] | the role pack: doubling, least crew, ages, hours |
//! | [`bars`] | what forbids a person a role, warns of it, or must be asked |
//! | [`assign`](mod@assign) | who does what, by an exact search |
//! | [`crew`] | how many people a fish asks for; hands to float it |
//! | [`pack`] | friction of sand, stances, back, grip, each with grade and source |
pub mod angler;
pub mod assign;
pub mod bars;
pub mod crew;
pub mod footing;
pub mod hands;
pub mod limits;
pub mod margin;
pub mod pack;
pub mod person;
pub mod power;
pub mod role;
pub mod rules;
pub mod statics;

pub use angler::{AnglerStand, Wash};
pub use assign::{Assigned, Assignment, Needs, OuterBar, Unfilled, assign};
pub use bars::{Bar, Counts, Ends, Tonight, Weight};
pub use crew::{CrewNeed, Landing, crew_needed, float_hands};
pub use footing::{Borne, Footing, StanceFooting};
pub use hands::HarnessHand;
pub use limits::{Governs, Limits, Resolved};
pub use margin::{Caps, Demand, HandsNeeded, Margin};
pub use pack::{FootingPack, Sand, Stance};
pub use person::{AwakeSince, Drill, Paper, Person, Skill};
pub use role::{Phase, Place, Role};
pub use rules::RoleRules;
pub use statics::{Pin, RodTip, Stand};
