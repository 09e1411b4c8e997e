//! A spool that must start to turn: the jerk of its own inertia.
//!
//! Small beside belly and the stick-slip of the drag, until the line comes bar-tight with the lever locked.

use crate::math::sq;
use crate::quantity::{Acceleration, Force, Length, Mass};

/// A spool brought up to speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpoolStart {
    /// Moment of inertia, kilograms times square metres.
    pub inertia_kg_m2: f64,
    /// What the line feels beyond the drag, while the spool speeds up.
    pub force: Force,
}

/// Extra tension while the line leaves a spool with `acceleration`: I a / r^2 with the spool and its line a
/// full cylinder, I = m r^2/2, of `radius` where the line leaves.
pub fn spool_start_up(spool: Mass, radius: Length, acceleration: Acceleration) -> SpoolStart {
    let inertia_kg_m2 = 0.5 * spool.kg() * sq(radius.m());
    SpoolStart { inertia_kg_m2, force: Force::of_n(0.5 * spool.kg() * acceleration.mps2().abs()) }
}
