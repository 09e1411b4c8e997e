//! Physical quantities: a type each, SI inside, units at the edge.
//!
//! Every quantity is a newtype over an `f64` in SI. Construct it from a number with a unit in the name
//! (`Force::of_lbf(28.0)`), read it the same way (`f.n()`), or parse what a person wrote (`"28lbf".parse()`).
//! The typed text is forgiving about spaces and case where that is safe (`8 ft 6 in`, `12,5kg`), and strict
//! where a guess could hurt somebody: a number without unit is refused, and so is a unit of another kind,
//! with the fix named. Display needs to know what the crew reads: [`Units`].
//!
//! Pounds and kilograms are masses on a person and forces on a line. A [`Force`] therefore accepts `lb` and
//! `kg` and reads them as pound-force and kilogram-force ("80lb" of breaking strength is 355.9 N); a
//! [`Mass`] refuses `lbf`, `kgf` and `N`.
//!
//! Sources: the foot, pound, nautical mile and standard gravity are exact by definition (international yard
//! and pound 1959; CGPM 1901).

mod interval;
mod kinds;
mod parse;
mod place;
mod show;
mod slope;

pub(crate) use interval::shift;
pub use interval::{Interval, to_the_minute};
pub use kinds::{
    Acceleration, Angle, Area, Current, Density, Energy, Force, Length, Mass, Power, Pressure, Span, Speed,
    Temperature, Torque,
};
pub use parse::Quantity;
pub use place::Place;
pub use show::{Units, significant};
pub use slope::Slope;

/// Standard gravity, m/s2 (exact by definition).
pub const G_M_S2: f64 = 9.80665;
/// Density of sea water used unless a crew sets its own, kg/m3.
pub const RHO_SEA_KG_M3: f64 = 1025.0;
/// Newtons in a pound-force (exact: 0.453 592 37 kg x 9.806 65 m/s2).
pub const N_PER_LBF: f64 = 0.45359237 * G_M_S2;
/// Metres in a foot (exact).
pub const M_PER_FT: f64 = 0.3048;
