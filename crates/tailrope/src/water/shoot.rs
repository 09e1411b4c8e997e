//! The search for the tension that brings a line to its other end.

use super::cable::Cable;
use super::hanging::free_ends;
use super::newton::root;
use super::ode::integrate;
use super::shape::{LinePoint, Place, Pull, Shape};
use super::stream::Stream;
use super::vector::{V3, dot, minus, norm, plus, times};
use crate::quantity::{Force, Length};
use crate::{Error, Result};
use core::cell::Cell;

/// Relative tolerance of the integration along the line: on 200 m of line a micrometre or so.
const RTOL: f64 = 1e-9;
/// Steps of the integration over the straight distance with which it begins.
const FIRST_STEPS: f64 = 8.0;
/// How near the line must come to its other end, against its length. Kinks in the current leave noise of the
/// order of 1e-7 in the integration; a hundred times this much is accepted where nothing better is found.
pub(super) const MISS: f64 = 5e-8;
/// Shots after which a search gives up: twenty times what an ordinary line takes.
const MAX_SHOTS: u32 = 600;
/// Parts into which a solved line is cut for display.
const PARTS: usize = 96;

/// One line to be solved: its ends, and the mean load along the straight line between them.
pub(super) struct Task<'a> {
    /// Pieces from A, each with the line at which it ends; the last goes on.
    pieces: Vec<(Cable, f64)>,
    stream: &'a Stream,
    a: V3,
    pub(super) b: V3,
    pub(super) mean: V3,
    ea: f64,
}

impl<'a> Task<'a> {
    /// `pieces`: each with the line at which it ends, counted from A, rising; the last without end.
    pub(super) fn new(pieces: Vec<(Cable, f64)>, a: Place, b: Place, stream: &'a Stream) -> Result<Self> {
        let (a, b) = (a.m(), b.m());
        let chord = minus(b, a);
        let length = norm(chord);
        let coefficients = pieces.iter().flat_map(|(c, _)| [c.coefficient(), c.ct]);
        let ok = coefficients.into_iter().all(|x| x.is_finite() && x >= 0.0);
        if !(length.is_finite() && length > 0.0 && ok) {
            return Err(Error::new(
                format!("a line between ends {length} m apart"),
                "ends apart, drag coefficients not below zero",
                "check the places of rod and bait",
            ));
        }
        let t = times(chord, 1.0 / length);
        let mut task = Self { pieces, stream, a, b, mean: [0.0; 3], ea: 0.0 };
        let mut stretch = 0.0;
        for i in 0..20 {
            let k = (f64::from(i) + 0.5) / 20.0;
            let r = plus(a, times(chord, k));
            let Some(cable) = task.at(k * length) else { continue };
            stretch += 1.0 / (20.0 * cable.strand.stiffness().n());
            task.mean = plus(task.mean, times(cable.load(stream, r, t, 0.0), 1.0 / 20.0));
        }
        task.ea = 1.0 / stretch;
        Ok(task)
    }

    /// The piece at so much line from A.
    fn at(&self, s_m: f64) -> Option<&Cable> {
        self.pieces.iter().find(|(_, end)| s_m < *end).or(self.pieces.last()).map(|(c, _)| c)
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
        self.along(y, 0.0, l_m, share).map(|y| ([y[0], y[1], y[2]], [y[3], y[4], y[5]]))
    }

    /// From place and tension at `from_m` of line to those at `to_m`, piece by piece.
    fn along(&self, mut y: [f64; 6], from_m: f64, to_m: f64, share: f64) -> Option<[f64; 6]> {
        let mut s = from_m;
        for (i, (cable, end)) in self.pieces.iter().enumerate() {
            let last = i + 1 == self.pieces.len();
            let end = if last { to_m } else { end.min(to_m) };
            // A hair of line is no line.
            if end - s > 1e-12 * to_m {
                y = self.piece(cable, y, end - s, share)?;
                s = end;
            }
        }
        Some(y)
    }

    fn piece(&self, cable: &Cable, y: [f64; 6], l_m: f64, share: f64) -> Option<[f64; 6]> {
        let ea = cable.strand.stiffness().n();
        let slope = |y: &[f64; 6]| {
            let f = [y[3], y[4], y[5]];
            let tension = norm(f);
            // Without tension the line has no direction: let the step fail.
            let t = times(f, 1.0 / if tension > 0.0 { tension } else { f64::NAN });
            let e = tension / ea;
            let mut q = cable.load(self.stream, [y[0], y[1], y[2]], t, e);
            if share < 1.0 {
                q = [0, 1, 2].map(|i| share * q[i] + (1.0 - share) * self.mean[i]);
            }
            let dr = times(t, 1.0 + e);
            [dr[0], dr[1], dr[2], -q[0], -q[1], -q[2]]
        };
        let size = norm([y[3], y[4], y[5]]).max(1e-6);
        let chord = self.chord();
        // The step control finds its own stride at once.
        let first_m = l_m.min(chord / FIRST_STEPS);
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
            y = self.along(y, part_m * (i - 1) as f64, part_m * i as f64, 1.0)?;
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
