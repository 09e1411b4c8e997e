//! A force on each metre of line: weight in water, drag across, drag along.

use crate::quantity::{Force, Length};

/// A load spread along a line; newtons a metre inside.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct LineLoad(f64);

impl LineLoad {
    /// No load.
    pub const ZERO: Self = Self(0.0);

    /// From newtons a metre.
    pub const fn of_n_per_m(value: f64) -> Self {
        Self(value)
    }
    /// In newtons a metre.
    pub const fn n_per_m(self) -> f64 {
        self.0
    }
    /// The whole force on `length`, if each metre bears the same.
    pub fn over(self, length: Length) -> Force {
        Force::of_n(self.0 * length.m())
    }
}

impl core::ops::Mul<f64> for LineLoad {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self(self.0 * k)
    }
}
