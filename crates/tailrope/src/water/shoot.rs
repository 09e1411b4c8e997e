//! The search for the tension that brings a line to its other end.

use super::cable::{Cable, NormalLaw};
use super::hanging::free_ends;
use super::newton::root;
use super::ode::integrate;
use super::shape::{LinePoint, Place, Pull, Shape};
use super::stream::Stream;
use super::vector::{V3, dot, minus, norm, plus, times};
use crate::quantity::{Force, Length};
use crate::{Error, Result};
use core::cell::Cell;

/// Relative tolerance of the integration along the line.
const RTOL: f64 = 1e-10;
/// How near the line must come to its other end, against its length. Kinks in the current leave noise of the
/// order of 1e-7 in the integration; a hundred times this much is accepted where nothing better is found.
const MISS: f64 = 1e-8;
/// Shots after which a search gives up: a hundred times what an ordinary line takes.
const MAX_SHOTS: u32 = 3_000;
/// Parts into which a solved line is cut for display.
const PARTS: usize = 96;

/// One line to be solved: its ends, and the mean load along the straight line between them.
pub(super) struct Task<'a> {
    cable: &'a Cable,
    stream: &'a Stream,
    a: V3,
    pub(super) b: V3,
    pub(super) mean: V3,
    ea: f64,
}

impl<'a> Task<'a> {
    pub(super) fn new(cable: &'a Cable, a: Place, b: Place, stream: &'a Stream) -> Result<Self> {
        let (a, b) = (a.m(), b.m());
        let chord = minus(b, a);
        let length = norm(chord);
        let coefficient = match cable.normal {
            NormalLaw::Fixed(x) | NormalLaw::Cylinder { strum: x } => x,
        };
        let ok = [coefficient, cable.ct].iter().all(|x| x.is_finite() && *x >= 0.0);
        if !(length.is_finite() && length > 0.0 && ok) {
            return Err(Error::new(
                format!("a line between ends {length} m apart"),
                "ends apart, drag coefficients not below zero",
                "check the places of rod and bait",
            ));
        }
        let mut task = Self { cable, stream, a, b, mean: [0.0; 3], ea: cable.strand.stiffness().n() };
        let t = times(chord, 1.0 / length);
        for i in 0..20 {
            let k = (f64::from(i) + 0.5) / 20.0;
            let r = plus(a, times(chord, k));
            task.mean = plus(task.mean, times(cable.load(stream, r, t, 0.0), 1.0 / 20.0));
        }
        Ok(task)
    }

    pub(super) fn chord(&self) -> f64 {
        norm(minus(self.b, self.a))
    }

    pub(super) fn no_shape(&self, l_m: f64) -> Error {
        let chord = self.chord();
        Error::new(
            format!("no shape found for {l_m} m of line between ends {chord} m apart in this water"),
            "a line that water or weight pulls into a shape, or one that is stretched",
            "check length, distance and current; a slack line in still water has no one shape",
        )
    }

    /// Along the line from A with tension vector `f`; `share` of the true load, the rest the mean one. Gives
    /// place and tension vector at the end.
    pub(super) fn shoot(&self, f: V3, l_m: f64, share: f64) -> Option<(V3, V3)> {
        let y = [self.a[0], self.a[1], self.a[2], f[0], f[1], f[2]];
        self.along(y, l_m, l_m / 30.0, share).map(|y| ([y[0], y[1], y[2]], [y[3], y[4], y[5]]))
    }

    fn along(&self, y: [f64; 6], l_m: f64, first_m: f64, share: f64) -> Option<[f64; 6]> {
        let slope = |y: &[f64; 6]| {
            let f = [y[3], y[4], y[5]];
            let tension = norm(f);
            // Without tension the line has no direction: let the step fail.
            let t = times(f, 1.0 / if tension > 0.0 { tension } else { f64::NAN });
            let e = tension / self.ea;
            let q = self.cable.load(self.stream, [y[0], y[1], y[2]], t, e);
            let q = [0, 1, 2].map(|i| share * q[i] + (1.0 - share) * self.mean[i]);
            let dr = times(t, 1.0 + e);
            [dr[0], dr[1], dr[2], -q[0], -q[1], -q[2]]
        };
        let size = norm([y[3], y[4], y[5]]).max(1e-6);
        let chord = self.chord();
        integrate(slope, y, l_m, first_m, RTOL, &[chord, chord, chord, size, size, size], |_, _| {})
    }

    /// Tension at A and length of the exact line under the mean load that has tension `t_n` at B.
    pub(super) fn mean_load_length(&self, t_n: f64) -> Option<(V3, f64)> {
        let chord = self.chord();
        // Tension at B; a line that nothing pulls into a shape is slack.
        let at =
            |l_m: f64| self.mean_load_tension(l_m).map_or(0.0, |f| norm(minus(f, times(self.mean, l_m))));
        // The tension falls as line is given; find the first length at which it is below the wanted one.
        let mut low = chord / (1.0 + 1.5 * t_n / self.ea + norm(self.mean) * chord / self.ea);
        let mut high = low;
        let mut grow = 0.01;
        loop {
            high += grow * chord;
            if at(high) <= t_n {
                break;
            }
            if high > 20.0 * chord {
                return None;
            }
            low = high;
            grow *= 1.3;
        }
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if at(mid) > t_n { low = mid } else { high = mid }
        }
        self.mean_load_tension(low).map(|f| (f, low))
    }

    /// Tension at A of the exact elastic catenary of `l_m` under the mean load.
    pub(super) fn mean_load_tension(&self, l_m: f64) -> Option<V3> {
        let chord = minus(self.b, self.a);
        let length = norm(chord);
        let w = norm(self.mean);
        if w * l_m < 1e-9 * self.ea.min(1.0) {
            let t = self.ea * (length / l_m - 1.0);
            return (t > 0.0).then(|| times(chord, t / length));
        }
        let up = times(self.mean, -1.0 / w);
        let rise = dot(chord, up);
        let mut side = minus(chord, times(up, rise));
        if norm(side) < 1e-6 * length {
            // The line points along its load: lean it a hair to one side.
            let any = if up[2].abs() < 0.9 { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] };
            let across = minus(any, times(up, dot(any, up)));
            side = times(across, 1e-6 * length / norm(across));
        }
        let span = norm(side);
        let (h, v) = free_ends(span, rise, l_m, self.ea, w)?;
        Some(plus(times(side, h / span), times(up, v - w * l_m)))
    }

    pub(super) fn shape(&self, f: V3, l_m: f64) -> Option<Shape> {
        let mut y = [self.a[0], self.a[1], self.a[2], f[0], f[1], f[2]];
        let part_m = l_m / PARTS as f64;
        let point = |i: usize, y: &[f64; 6]| LinePoint {
            along: Length::of_m(part_m * i as f64),
            place: Place::of([y[0], y[1], y[2]]),
            tension: Force::of_n(norm([y[3], y[4], y[5]])),
        };
        let mut points = vec![point(0, &y)];
        for i in 1..=PARTS {
            y = self.along(y, part_m, part_m, 1.0)?;
            points.push(point(i, &y));
        }
        Some(Shape {
            points,
            at_a: Pull::of(f),
            at_b: Pull::of([-y[3], -y[4], -y[5]]),
            length: Length::of_m(l_m),
        })
    }
}

/// From the solution `x` at share 0 to that at share 1, by as few steps as will do, each begun where the last
/// two point.
pub(super) fn by_steps<const N: usize>(
    miss: impl Fn(f64, &[f64; N]) -> Option<[f64; N]>,
    mut x: [f64; N],
    step: &[f64; N],
) -> Option<[f64; N]> {
    let shots = Cell::new(0);
    let miss = |share: f64, x: &[f64; N]| {
        shots.set(shots.get() + 1);
        if shots.get() > MAX_SHOTS { None } else { miss(share, x) }
    };
    let (mut share, mut stride) = (0.0, 1.0);
    let mut slope = [0.0; N];
    while share < 1.0 {
        let next = f64::min(share + stride, 1.0);
        let mut guess = x;
        for (g, s) in guess.iter_mut().zip(&slope) {
            *g += s * (next - share);
        }
        if let Some(found) = root(|x| miss(next, x), guess, step, MISS) {
            for ((s, new), old) in slope.iter_mut().zip(&found).zip(&x) {
                *s = (new - old) / (next - share);
            }
            (x, share) = (found, next);
            stride *= 2.0;
        } else {
            stride *= 0.5;
            if stride < 1.0 / 256.0 {
                return None;
            }
        }
    }
    Some(x)
}
