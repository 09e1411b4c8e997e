//! The plan of a night: from a written outing to *go*, *caution* or *stop*.
//!
//! [`limits`] is the only place where a number becomes a verdict.

pub mod limits;
mod verdict;

pub use verdict::{Severity, Topic, Verdict};
