//! The plan of a night: from a written outing to *go*, *caution* or *stop*.
//!
//! | file | answers |
//! |---|---|
//! | [`mod@file`] | what an outing file may hold |
//! | [`limits`] | the only place where a number becomes a verdict |
//! | [`conditions`] | sea and weather as understood |
//! | [`bathers`] | when people bathe, as far as nobody counted |
//! | [`enough`] | which set-ups are enough for a fish, what each lacks, the cheapest change |
//! | [`ask`] | one part of the plan alone: law, fight, drags |
//! | `assess` | each part of the night against its limits |
//! | [`make`] | the order in which one answer feeds another |
//! | [`mod@plan`] | the plan as data; [`text`] as words; [`brief`] to be read aloud |
//! | [`mod@plans`] | several nights and beaches beside one another |
//! | [`mod@strip`] | the night as lines of marks under a ruler of hours |
//! | [`rig`] | a rig alone: its findings against the limits, what the rule packs say of it |
//! | [`windows`] | the stretches in which nothing forbids |

pub mod ask;
mod assess;
pub mod bathers;
pub mod brief;
pub mod conditions;
pub mod enough;
pub mod facts;
pub mod file;
mod finding;
mod here;
pub mod hours;
pub mod kit;
pub mod limits;
pub mod make;
pub mod plan;
pub mod plans;
pub mod rig;
pub mod strip;
pub mod text;
mod verdict;
mod views;
pub mod windows;

pub use facts::Facts;
pub use file::Outing;
pub use finding::{Finding, Findings, Reason};
pub use make::{Options, RunFights, one_after_another, plan};
pub use plan::Plan;
pub use plans::{Nights, Plans};
pub use verdict::{Severity, Topic, Verdict};
