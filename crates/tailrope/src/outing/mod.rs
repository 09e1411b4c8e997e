//! The plan of a night: from a written outing to *go*, *caution* or *stop*.
//!
//! [`limits`] is the only place where a number becomes a verdict.

mod finding;
pub mod kit;
pub mod limits;
pub mod plan;
pub mod text;
mod verdict;
pub mod windows;

pub use finding::{Finding, Findings, Reason};
pub use verdict::{Severity, Topic, Verdict};
