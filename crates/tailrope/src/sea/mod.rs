//! Tide, waves, current, run-up, wading limit, and the air over the beach.
//!
//! [`tide`] gives the water level; [`surf`] what the waves make of it on the beach; [`air`] cold, heat and thunder.
//! Each tells its model, its sources and its limits at its own head.

pub mod air;
pub(crate) mod root;
pub mod surf;
pub mod tide;
