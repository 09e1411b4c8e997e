//! Roles, papers, footing: what a person can bear.
//!
//! | module | answers |
//! |---|---|
//! | [`footing`] | the largest pull at the rod tip a person bears, by stance, alone and with harness hands |
//! | [`fade`] | what back and hands still bear after minutes, and when a relief is due |
//! | [`rod`] | what strap and pin feel, and what lowering the rod does |
//! | [`surge`] | the pull as a run begins, and when the spool jams |
//! | [`dry`] | dry sand between toes and wash |
//! | [`drawing`] | the stand from the side, to scale, with its forces |
//! | [`slip_test`] | how a crew measures its own foot-slip load |
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
pub mod drawing;
pub mod dry;
pub mod fade;
pub mod footing;
pub mod hands;
pub mod limits;
pub mod margin;
pub mod pack;
pub mod person;
pub mod power;
pub mod rod;
pub mod role;
pub mod rules;
pub mod slip_test;
pub mod statics;
pub mod surge;

pub use angler::{AnglerStand, Wash};
pub use assign::{Assigned, Assignment, Needs, OuterBar, Unfilled, assign};
pub use bars::{Bar, Counts, Ends, Tonight, Weight};
pub use crew::{CrewNeed, Landing, crew_needed, float_hands};
pub use dry::DrySand;
pub use fade::{Fade, Lasts};
pub use footing::{Borne, Footing, StanceFooting};
pub use hands::HarnessHand;
pub use limits::{Governs, Limits, Resolved};
pub use margin::{Caps, Demand, HandsNeeded, Margin};
pub use pack::{FootingPack, Sand, Stance};
pub use person::{AwakeSince, Drill, Paper, Person, Skill};
pub use rod::RodHeld;
pub use role::{Phase, Place, Role};
pub use rules::RoleRules;
pub use slip_test::{SlipFound, SlipTest};
pub use statics::{Pin, RodTip, Stand};
pub use surge::Surge;
