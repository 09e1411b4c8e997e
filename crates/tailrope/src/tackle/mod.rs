//! Line, spool, drag, rod, leader, hook, joints; the load path.
//!
//! | module | answers |
//! |---|---|
//! | [`spool`] | how much line fits, what radius is left with so much line out, what drag that makes |
//! | [`guides`] | what the rod's guides add going out and take coming in |
pub mod guides;
pub mod spool;

pub use guides::{wrap_factor, wrap_product};
pub use spool::{LoadedSpool, Spool, Wound};
