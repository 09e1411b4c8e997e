//! Tide, waves, current, run-up, wading limit, and the air over the beach.
//!
//! [`tide`] gives the water level; [`surf`] what the waves make of it on the beach; [`air`] cold, heat and thunder;
//! [`report`] reads the files that agencies publish about all of them. Each tells its model, its sources and its
//! limits at its own head.

pub mod air;
pub mod report;
pub(crate) mod root;
pub mod surf;
pub mod tide;
