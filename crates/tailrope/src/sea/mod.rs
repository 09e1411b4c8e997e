//! Tide, waves, current, run-up, wading limit.

pub(crate) mod root;
pub mod tide;
