//! What comes back when a loaded line lets go: the hook pulls out, the leader parts, the snag frees.
//!
//! For an elastic line held at its other end, up to the first reflection (after it the line is slack and cannot
//! pull): v = (T/Z)(1 - exp(-2 m_l/m_p)), exact wave result with impedance Z = sqrt(E A m'), line mass m_l and
//! end mass m_p. In air; water stops a lead within about a metre, so the danger is a lead at or above the
//! surface, at the tip or in the shallows. No loss in the line is counted: an upper bound.
//!
//! Public record: longliners' 60 g weights on 12 m at 80 kgf are predicted at 140 m/s; such fly-backs caused at
//! least 10 reported injuries and 3 deaths in 1994-2014 (published; reporting known to be low). An angler was
//! killed by his own 3-oz lead (published).

use super::Strand;
use crate::math::{expm1, sq};
use crate::quantity::{Energy, Force, Length, Mass, Speed};

/// Energy from which a lead that can fly back deserves a caution (default of this project; no injury
/// threshold for a lead was read).
pub const FLY_BACK_CAUTION: Energy = Energy::of_j(5.0);

/// Speed and energy of what flies back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlyBack {
    /// Speed of the end and what hangs on it.
    pub speed: Speed,
    /// Energy of what hangs on the end (zero for a bare end).
    pub energy: Energy,
    /// Energy that was stored in the line: more than `energy`, always.
    pub store: Energy,
    /// Mass of the line that pulls.
    pub line: Mass,
}

/// What flies back when `length` of `strand` at `tension` lets go of everything but `end` (lead, swivel,
/// hook).
pub fn fly_back(strand: &Strand, length: Length, tension: Force, end: Mass) -> FlyBack {
    let line = strand.mass(length);
    let bare_mps = tension.n().max(0.0) / strand.impedance_n_s_m();
    let share = if end.kg() > 0.0 { -expm1(-2.0 * line.kg() / end.kg()) } else { 1.0 };
    let speed_mps = bare_mps * share;
    FlyBack {
        speed: Speed::of_mps(speed_mps),
        energy: Energy::of_j(0.5 * end.kg().max(0.0) * sq(speed_mps)),
        store: strand.stored(length.max(Length::ZERO), tension),
        line,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Density, Pressure};
    use proptest::prelude::*;

    fn nylon(mm: f64) -> Strand {
        Strand::new(Length::of_mm(mm), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0)).unwrap()
    }

    proptest! {
        #[test]
        fn never_more_than_was_stored_and_more_tension_never_less(
            mm in 0.3..3.0f64, l in 0.5..600.0f64, t in 1.0..900.0f64, g in 0.0..500.0f64, more in 1.0..3.0f64,
        ) {
            let s = nylon(mm);
            let f = |t| fly_back(&s, Length::of_m(l), Force::of_n(t), Mass::of_g(g));
            let (less, much) = (f(t), f(t * more));
            prop_assert!(less.energy.j() <= less.store.j() * (1.0 + 1e-12));
            prop_assert!(much.speed >= less.speed && much.energy >= less.energy);
            let bare = fly_back(&s, Length::of_m(l), Force::of_n(t), Mass::ZERO);
            prop_assert!(bare.speed >= less.speed && bare.energy.j() == 0.0);
        }
    }

    /// The wave law against a chain of masses and springs let go at one end: an independent computation.
    #[test]
    fn a_chain_of_masses_and_springs_flies_back_as_fast() {
        let (s, l, t, m_end) = (nylon(0.9), 20.0, 100.0, 0.02);
        let n = 400_usize;
        let h = l / 400.0;
        let k = s.stiffness().n() / h;
        let m = s.kg_per_m() * h;
        // Springs stretched by t/k; the last mass carries the end; the first spring's far end is fixed.
        let mut x: Vec<f64> = (1..=n).map(|i| f64::from(u32::try_from(i).unwrap()) * t / k).collect();
        let mut v = vec![0.0; n];
        let dt = 0.2 * (m / k).sqrt();
        let (mut time, mut fastest) = (0.0, 0.0_f64);
        let back = 2.0 * l / s.jerk_speed().mps();
        while time < back {
            for i in 0..n {
                let left = if i == 0 { x[0] } else { x[i] - x[i - 1] };
                let pull_right = if i + 1 < n { (k * (x[i + 1] - x[i])).max(0.0) } else { 0.0 };
                let mass = if i + 1 < n { m } else { m / 2.0 + m_end };
                v[i] += dt * (pull_right - (k * left).max(0.0)) / mass;
            }
            for i in 0..n {
                x[i] += dt * v[i];
            }
            fastest = fastest.max(-v[n - 1]);
            time += dt;
        }
        let ours = fly_back(&s, Length::of_m(l), Force::of_n(t), Mass::of_kg(m_end)).speed.mps();
        assert!((fastest / ours - 1.0).abs() < 0.01, "chain {fastest}, law {ours}");
    }
}
