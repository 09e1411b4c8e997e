//! Transcendental functions with the same bits on every machine.
//!
//! The standard library's versions come from the platform and differ between native and wasm32 in up to a
//! seventh of all results (last bits). A fight of thousands of steps turns a last bit into another fight, so
//! everything here goes through the portable `libm`. `sqrt`, `cbrt`, `abs` and the four operations are equal
//! everywhere and may be used as methods.
pub use libm::{
    acos, asin, asinh, atan, atan2, cbrt, cos, cosh, exp, expm1, hypot, log as ln, log1p as ln1p, log10, pow,
    sin, sinh, tan, tanh,
};

/// Square of `x`.
#[inline]
pub fn sq(x: f64) -> f64 {
    x * x
}
