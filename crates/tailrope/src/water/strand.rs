//! A bare strand: how thick, how heavy, how stiff; how far it stretches and how it carries a jerk.
//!
//! Stretch is taken linear, x = T L / (E A). A jerk travels along the strand at sqrt(E/rho) and raises the
//! tension by Z times the jump of speed, with the impedance Z = sqrt(E A m'), m' the mass of a metre (theory of
//! the elastic bar; exact up to the first reflection). A swing travels at sqrt(T/m').

use super::LineLoad;
use crate::math::sq;
use crate::quantity::{Area, Density, Energy, Force, G_M_S2, Length, Mass, Pressure, Speed};
use crate::{Error, Result};

/// A strand of one material.
///
/// Invariant: diameter, density and stiffness are finite and above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strand {
    diameter: Length,
    density: Density,
    stiffness: Force,
}

impl Strand {
    /// From diameter, density and elastic modulus (nylon 1140 kg/m3 and 1.5-2.5 GPa, braid of HMPE 970 kg/m3 and
    /// 25-60 GPa; recalled). Refuses what is not above zero.
    pub fn new(diameter: Length, density: Density, modulus: Pressure) -> Result<Self> {
        let area = core::f64::consts::PI / 4.0 * sq(diameter.m());
        Self::with_stiffness(diameter, density, Force::of_n(modulus.pa() * area))
    }

    /// From diameter, density and axial stiffness E A: the force that would double its length.
    pub fn with_stiffness(diameter: Length, density: Density, stiffness: Force) -> Result<Self> {
        let above_zero = |x: f64| x.is_finite() && x > 0.0;
        if above_zero(diameter.m()) && above_zero(density.kg_m3()) && above_zero(stiffness.n()) {
            return Ok(Self { diameter, density, stiffness });
        }
        Err(Error::new(
            format!(
                "a strand of {} mm, {} kg/m3 and {} N of stiffness",
                diameter.mm(),
                density.kg_m3(),
                stiffness.n()
            ),
            "diameter, density and stiffness above zero",
            "give the strand its diameter, density and modulus",
        ))
    }

    /// Its diameter.
    pub fn diameter(&self) -> Length {
        self.diameter
    }
    /// Its density.
    pub fn density(&self) -> Density {
        self.density
    }
    /// Its axial stiffness E A.
    pub fn stiffness(&self) -> Force {
        self.stiffness
    }
    /// Its cross section, pi d^2/4.
    pub fn area(&self) -> Area {
        Area::of_m2(core::f64::consts::PI / 4.0 * sq(self.diameter.m()))
    }
    pub(super) fn kg_per_m(&self) -> f64 {
        self.density.kg_m3() * self.area().m2()
    }
    /// Mass of a length of it.
    pub fn mass(&self, length: Length) -> Mass {
        Mass::of_kg(self.kg_per_m() * length.m().max(0.0))
    }
    /// Weight of a metre (unstretched) less the buoyancy in a fluid; below zero if it floats.
    pub fn weight_in(&self, fluid: Density) -> LineLoad {
        LineLoad::of_n_per_m((self.density.kg_m3() - fluid.kg_m3()) * G_M_S2 * self.area().m2())
    }
    /// How far `length` of it stretches under `tension`: T L / (E A).
    pub fn stretch(&self, length: Length, tension: Force) -> Length {
        Length::of_m(tension.n().max(0.0) * length.m() / self.stiffness.n())
    }
    /// Energy stored by that stretch: T^2 L / (2 E A).
    pub fn stored(&self, length: Length, tension: Force) -> Energy {
        Energy::of_j(0.5 * tension.n().max(0.0) * self.stretch(length, tension).m())
    }
    /// Speed of a jerk along the strand: sqrt(E/rho).
    pub fn jerk_speed(&self) -> Speed {
        Speed::of_mps((self.stiffness.n() / self.kg_per_m()).sqrt())
    }
    /// Speed of a swing along the strand in air: sqrt(T/m').
    pub fn swing_speed(&self, tension: Force) -> Speed {
        Speed::of_mps((tension.n().max(0.0) / self.kg_per_m()).sqrt())
    }
    /// Newtons for each metre a second of a jerk: sqrt(E A m').
    pub fn impedance_n_s_m(&self) -> f64 {
        (self.stiffness.n() * self.kg_per_m()).sqrt()
    }
    /// How much a sudden change of speed at one end raises the tension, until the jerk comes back.
    pub fn shock(&self, jump: Speed) -> Force {
        Force::of_n(self.impedance_n_s_m() * jump.mps().abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn refuses_nothing_and_no_number() {
        for d in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let made = Strand::new(Length::of_mm(d), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0));
            assert!(made.unwrap_err().error.contains("strand"), "{d}");
        }
    }

    proptest! {
        /// A jerk of speed v carries as much energy as it puts in: T v t = T^2 L/(2EA) + m' L v^2/2, L = c t.
        #[test]
        fn a_jerk_keeps_energy(d in 0.2..3.0f64, gpa in 1.0..60.0f64, rho in 900.0..1800.0f64, v in 0.1..9.0f64) {
            let s = Strand::new(Length::of_mm(d), Density::of_kg_m3(rho), Pressure::of_gpa(gpa)).unwrap();
            let (t, c) = (s.shock(Speed::of_mps(v)), s.jerk_speed().mps());
            let work = t.n() * v;
            let kept = s.stored(Length::of_m(c), t).j() + 0.5 * s.mass(Length::of_m(c)).kg() * v * v;
            prop_assert!((kept / work - 1.0).abs() < 1e-9);
        }

        #[test]
        fn weight_changes_sign_at_the_density_of_the_fluid(rho in 900.0..1200.0f64) {
            let s = Strand::new(Length::of_mm(0.5), Density::of_kg_m3(rho), Pressure::of_gpa(2.0)).unwrap();
            let w = s.weight_in(Density::of_kg_m3(1025.0)).n_per_m();
            prop_assert_eq!(w > 0.0, rho > 1025.0);
        }
    }
}
