//! A line of several pieces, one after the other: leader, topshot, main line.
//!
//! The same equations as [`super::Cable`], followed from one piece into the next: the tension goes through the joint,
//! thickness, weight, stiffness and drag change there. A line solved before, in water a little different, is a start
//! from which the next is found in a third of the time: a tide is followed so.

use super::cable::Cable;
use super::shape::{Place, Shape};
use super::shoot::{MISS, Task, by_steps};
use super::stream::Stream;
use super::vector::{V3, minus, norm, times};
use crate::math::{exp, ln};
use crate::quantity::{Force, Length};
use crate::{Error, Result};

/// Size of the differences of the search, against tension and length.
const DIFFERENCE: f64 = 1e-5;
/// Line out over the straight distance at which the search gives up: such a line streams away.
const LONGEST: f64 = 4.0;
/// Half the mean load on the straight line over the tension beyond which no line that is not that long is left: across a
/// current the closed belly has sinh(x) / x of line over the distance, 4.1 at this much. Refused before it is sought.
const TOO_MUCH: f64 = 3.3;
/// Most pieces beside the last.
const MOST: usize = 16;

/// Pieces of line from end A to end B.
#[derive(Clone, Debug, PartialEq)]
pub struct Pieces {
    near: Vec<(Cable, Length)>,
    rest: Cable,
}

impl Pieces {
    /// A line of one piece.
    pub fn one(cable: Cable) -> Self {
        Self { near: Vec::new(), rest: cable }
    }

    /// A line that begins at end A with pieces of known (unstretched) length; the last piece is as long as the line
    /// asks. Refuses lengths that are not above zero, and more than 16 of them.
    pub fn new(near: Vec<(Cable, Length)>, rest: Cable) -> Result<Self> {
        if near.len() <= MOST && near.iter().all(|(_, l)| l.m().is_finite() && l.m() > 0.0) {
            return Ok(Self { near, rest });
        }
        Err(Error::new(
            format!("{} pieces of line, one of which has no length", near.len()),
            format!("at most {MOST} pieces, each longer than nothing"),
            "give the length of each piece from the bait to the rod",
        ))
    }

    fn task<'a>(&self, a: Place, b: Place, stream: &'a Stream) -> Result<Task<'a>> {
        let mut end = 0.0;
        let mut pieces = Vec::with_capacity(self.near.len() + 1);
        for (cable, length) in &self.near {
            end += length.m();
            pieces.push((cable.settled(stream), end));
        }
        pieces.push((self.rest.settled(stream), f64::INFINITY));
        Task::new(pieces, a, b, stream)
    }

    /// The shape of `length` (unstretched) of line fixed at both ends, as [`Cable::fixed`]; `near` is a shape of the
    /// same line in water not far from this.
    pub fn fixed(
        &self,
        a: Place,
        b: Place,
        length: Length,
        stream: &Stream,
        near: Option<&Shape>,
    ) -> Result<Shape> {
        let task = self.task(a, b, stream)?;
        let l_m = length.m();
        if !(l_m.is_finite() && l_m > 0.0) {
            return Err(Error::new(
                format!("{l_m} m of line"),
                "a length above zero",
                "give the line between the ends",
            ));
        }
        let miss = |share: f64, f: &V3| {
            let (r, _) = task.shoot(*f, l_m, share)?;
            Some(times(minus(r, task.b), 1.0 / l_m))
        };
        let step = |f: V3| [DIFFERENCE * (norm(f) + norm(task.mean) * l_m).max(1e-9); 3];
        let warm = near.and_then(|s| {
            let f = at_a(s);
            by_steps(|_, f| miss(1.0, f), f, &step(f))
        });
        let f = if let Some(f) = warm {
            f
        } else {
            let start = task.mean_load_tension(l_m).ok_or_else(|| task.no_shape(l_m))?;
            by_steps(miss, start, &step(start)).ok_or_else(|| task.no_shape(l_m))?
        };
        task.shape(f, l_m).ok_or_else(|| task.no_shape(l_m))
    }

    /// The shape of a line that keeps `tension` at end B, as [`Cable::kept_at`]; `near` is a shape of the same line in
    /// water not far from this.
    pub fn kept_at(
        &self,
        a: Place,
        b: Place,
        tension: Force,
        stream: &Stream,
        near: Option<&Shape>,
    ) -> Result<Shape> {
        let task = self.task(a, b, stream)?;
        let t_n = tension.n();
        let refusal = || {
            Error::new(
                format!("{t_n} N at the rod cannot hold {:.0} m of line against this water", task.chord()),
                "more tension, less current, thinner or shorter line",
                "raise the tension at the rod",
            )
        };
        if !(t_n.is_finite() && t_n > 0.0) {
            return Err(refusal());
        }
        let chord = task.chord();
        if norm(task.mean) * chord > 2.0 * TOO_MUCH * t_n {
            return Err(refusal());
        }
        let miss = |share: f64, t_n: f64, x: &[f64; 4]| {
            let [fx, fy, fz, l_m] = *x;
            if l_m < 0.2 * chord || l_m > LONGEST * chord {
                return None;
            }
            let (r, at_b) = task.shoot([fx, fy, fz], l_m, share)?;
            let d = times(minus(r, task.b), 1.0 / chord);
            Some([d[0], d[1], d[2], (norm(at_b) - t_n) / t_n])
        };
        let step = |f: V3, l_m: f64| {
            let df = DIFFERENCE * (norm(f) + norm(task.mean) * l_m).max(1e-9);
            [df, df, df, DIFFERENCE * chord]
        };
        let warm = near.and_then(|s| {
            let (f, l_m) = (at_a(s), s.length.m());
            super::newton::root(|x| miss(1.0, t_n, x), [f[0], f[1], f[2], l_m], &step(f, l_m), MISS)
        });
        let x = if let Some(x) = warm {
            x
        } else {
            // Under the mean load a line has a least tension that the true one has not: begin well above it.
            let t0_n = t_n.max(2.0 * norm(task.mean) * chord);
            let (f, l_m) = task.mean_load_length(t0_n).ok_or_else(refusal)?;
            let step = step(f, l_m);
            let start = [f[0], f[1], f[2], l_m];
            let x = by_steps(|share, x| miss(share, t0_n, x), start, &step).ok_or_else(refusal)?;
            if t0_n > t_n {
                let fall = ln(t_n / t0_n);
                by_steps(|share, x| miss(1.0, t0_n * exp(share * fall), x), x, &step).ok_or_else(refusal)?
            } else {
                x
            }
        };
        let [fx, fy, fz, l_m] = x;
        task.shape([fx, fy, fz], l_m).ok_or_else(refusal)
    }
}

/// The tension with which a shape leaves end A.
fn at_a(s: &Shape) -> V3 {
    [s.at_a.x.n(), s.at_a.y.n(), s.at_a.z.n()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Density, Pressure, Speed};
    use crate::water::{CT_BRAID, CT_MONO, NormalLaw, Strand, Velocity, Water};
    use proptest::prelude::*;

    fn place(x: f64, z: f64) -> Place {
        Place::new(Length::of_m(x), Length::ZERO, Length::of_m(z))
    }
    fn across(mps: f64) -> Stream {
        Stream::uniform(Water::SEA, Velocity::level(Speed::ZERO, Speed::of_mps(mps)))
    }
    fn nylon(mm: f64) -> Cable {
        let strand =
            Strand::new(Length::of_mm(mm), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0)).unwrap();
        Cable { strand, normal: NormalLaw::Current { strum: 1.7 }, ct: CT_MONO }
    }
    fn braid() -> Cable {
        let strand =
            Strand::new(Length::of_mm(0.4), Density::of_kg_m3(970.0), Pressure::of_gpa(40.0)).unwrap();
        Cable { strand, normal: NormalLaw::Current { strum: 1.7 }, ct: CT_BRAID }
    }

    /// What is given up at once is longer than four times the distance; what is shorter is found.
    #[test]
    fn only_a_line_that_streams_away_is_refused() {
        let strand =
            Strand::with_stiffness(Length::of_mm(0.9), Density::of_kg_m3(1025.0), Force::of_n(1e9)).unwrap();
        let bare = Cable { strand, normal: NormalLaw::Fixed(1.3), ct: 0.0 };
        let (far, rod) = (place(200.0, -5.0), place(0.0, -5.0));
        let drag_n_m = 0.5 * 1025.0 * 1.3 * 0.9e-3 * 0.25;
        let at = |x: f64| bare.kept_at(far, rod, Force::of_n(drag_n_m * 200.0 / (2.0 * x)), &across(0.5));
        let longer = |x: f64| (exp(x) - exp(-x)) / (2.0 * x);
        for x in [1.0, 2.0, 3.2] {
            let closed = longer(x);
            let found = at(x).unwrap().length.m() / 200.0;
            assert!((found / closed - 1.0).abs() < 1e-4, "{x}: {found} instead of {closed}");
        }
        assert!(longer(3.3) > LONGEST);
        for x in [3.31, 4.25, 6.0, 40.0] {
            assert!(at(x).is_err(), "{x}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]

        /// A line cut into pieces of the same stuff is the same line.
        #[test]
        fn a_cut_line_is_the_same_line(
            b in 60.0..250.0f64, t in 20.0..100.0f64, u in 0.05..0.7f64, first in 1.0..40.0f64, second in 1.0..500.0f64,
        ) {
            let (far, rod) = (place(b, -6.0), place(0.0, -0.2));
            let whole = nylon(0.9).kept_at(far, rod, Force::of_n(t), &across(u)).unwrap();
            let near = vec![(nylon(0.9), Length::of_m(first)), (nylon(0.9), Length::of_m(second))];
            let cut = Pieces::new(near, nylon(0.9)).unwrap();
            let pieces = cut.kept_at(far, rod, Force::of_n(t), &across(u), None).unwrap();
            prop_assert!((pieces.length.m() / whole.length.m() - 1.0).abs() < 1e-6);
            prop_assert!((pieces.at_a.y.n() - whole.at_a.y.n()).abs() < 1e-5 * t);
        }

        /// Begun from a neighbour or from nothing, the search ends at the same line.
        #[test]
        fn a_neighbour_leads_to_the_same_line(
            b in 60.0..250.0f64, t in 20.0..100.0f64, u in 0.05..0.6f64, other in 0.5..1.5f64, tip in -0.5..4.0f64,
        ) {
            let (far, rod, line) = (place(b, -6.0), place(0.0, tip), Pieces::one(nylon(0.9)));
            let neighbour = line.kept_at(far, rod, Force::of_n(t), &across(u * other), None).unwrap();
            let cold = line.kept_at(far, rod, Force::of_n(t), &across(u), None).unwrap();
            let warm = line.kept_at(far, rod, Force::of_n(t), &across(u), Some(&neighbour)).unwrap();
            prop_assert!((warm.length.m() / cold.length.m() - 1.0).abs() < 1e-5);
            prop_assert!((warm.at_a.y.n() - cold.at_a.y.n()).abs() < 1e-4 * t);
            let locked = line.fixed(far, rod, cold.length, &across(u), Some(&neighbour)).unwrap();
            prop_assert!((locked.at_b.size().n() / t - 1.0).abs() < 1e-3);
        }

        /// More of the thin piece in the water never lengthens the belly or raises the load down the current.
        #[test]
        fn thin_line_in_place_of_thick_never_drags_more(b in 80.0..250.0f64, u in 0.1..0.7f64, top in 5.0..60.0f64) {
            let (far, rod, t) = (place(b, -6.0), place(0.0, -0.2), Force::of_n(30.0));
            let of = |top: f64| {
                let line = Pieces::new(vec![(nylon(0.9), Length::of_m(top))], braid()).unwrap();
                line.kept_at(far, rod, t, &across(u), None).unwrap()
            };
            let (less, more) = (of(top), of(top * 1.3));
            prop_assert!(less.total().y.n() <= more.total().y.n() * (1.0 + 1e-9));
            prop_assert!(less.at_a.y.n() <= more.at_a.y.n() * (1.0 + 1e-9));
        }
    }

    #[test]
    fn refuses_pieces_without_length() {
        assert!(Pieces::new(vec![(braid(), Length::ZERO)], nylon(0.9)).is_err());
        assert!(Pieces::new(vec![(braid(), Length::of_m(1.0)); 17], nylon(0.9)).is_err());
    }
}
