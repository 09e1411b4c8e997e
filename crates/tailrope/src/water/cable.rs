//! The shape of a line in three dimensions: its stretch, its weight, the current past it and the wind above.
//!
//! Cable equations with t the unit tangent from end A and e = T/(E A) (Berteaux 1976; cross-flow principle):
//!
//! ```text
//! dr/ds = t (1 + e)          d(T t)/ds = -[ w + (f_n + f_t)(1 + e) ]
//! f_n = (1/2) rho Cn d |Un| Un      f_t = (1/2) rho Ct pi d |Ut| Ut      w = -(rho_line - rho) A g zhat
//! ```
//!
//! Solved by shooting: the tension at A is sought that brings the line to B. The search starts from the exact
//! elastic catenary under the mean load and turns that load into the true one by steps.
//! Limits: a line at rest in steady water (waves are not followed), ends held, no bed under the line: read
//! [`Shape::lowest`]. Published skill of such a model on a fishing line: 5 % of the shape (flume).

use super::hanging::free_ends;
use super::newton::root;
use super::ode::integrate;
use super::{Strand, Stream, cylinder_cn};
use crate::math::sq;
use crate::quantity::{Force, G_M_S2, Length};
use crate::{Error, Result};

/// Relative tolerance of the integration along the line.
const RTOL: f64 = 1e-10;
/// Parts into which a solved line is cut for display.
const PARTS: usize = 96;

type V3 = [f64; 3];

/// A place: x and y level, z above the surface.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// Along x.
    pub x: Length,
    /// Along y.
    pub y: Length,
    /// Height above the surface; below it negative.
    pub z: Length,
}

impl Place {
    /// A place by its coordinates.
    pub const fn new(x: Length, y: Length, z: Length) -> Self {
        Self { x, y, z }
    }
    fn m(self) -> V3 {
        [self.x.m(), self.y.m(), self.z.m()]
    }
    fn of(r: V3) -> Self {
        Self::new(Length::of_m(r[0]), Length::of_m(r[1]), Length::of_m(r[2]))
    }
}

/// A force by its three parts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pull {
    /// Along x.
    pub x: Force,
    /// Along y.
    pub y: Force,
    /// Upward.
    pub z: Force,
}

impl Pull {
    fn of(f: V3) -> Self {
        Self { x: Force::of_n(f[0]), y: Force::of_n(f[1]), z: Force::of_n(f[2]) }
    }
    /// Its size.
    pub fn size(&self) -> Force {
        Force::of_n(norm([self.x.n(), self.y.n(), self.z.n()]))
    }
    /// Size of its level part.
    pub fn level(&self) -> Force {
        Force::of_n(norm([self.x.n(), self.y.n(), 0.0]))
    }
}

/// How a line's normal drag coefficient is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NormalLaw {
    /// From the Reynolds number of the flow across it ([`cylinder_cn`]), times a strumming factor
    /// ([`super::strum_band`]).
    Cylinder {
        /// 1 for a still line.
        strum: f64,
    },
    /// One value everywhere.
    Fixed(f64),
}

/// A line and how the water takes hold of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cable {
    /// The strand.
    pub strand: Strand,
    /// Drag across it.
    pub normal: NormalLaw,
    /// Skin coefficient along it, on wetted area ([`super::CT_MONO`], [`super::CT_BRAID`]).
    pub ct: f64,
}

/// A place on a solved line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Unstretched line from end A.
    pub along: Length,
    /// Where it is.
    pub place: Place,
    /// Tension there.
    pub tension: Force,
}

/// A line at rest between its ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// From A to B, at even distances along the line.
    pub points: Vec<LinePoint>,
    /// What the line does to end A.
    pub at_a: Pull,
    /// What the line does to end B.
    pub at_b: Pull,
    /// Unstretched length of line between the ends.
    pub length: Length,
}

impl Shape {
    /// What current, wind and net weight put on the whole line: what both ends together carry.
    pub fn total(&self) -> Pull {
        Pull { x: self.at_a.x + self.at_b.x, y: self.at_a.y + self.at_b.y, z: self.at_a.z + self.at_b.z }
    }
    /// Greatest tension.
    pub fn greatest(&self) -> Force {
        self.points.iter().map(|p| p.tension).fold(Force::ZERO, Force::max)
    }
    /// Lowest height of the line: below the bed there, the line lies on it and the model does not hold.
    pub fn lowest(&self) -> Length {
        self.points.iter().map(|p| p.place.z).fold(Length::of_m(f64::INFINITY), Length::min)
    }
    /// Unstretched length under the surface.
    pub fn wet(&self) -> Length {
        let mut wet_m = 0.0;
        for pair in self.points.windows(2) {
            let [a, b] = pair else { continue };
            let (za, zb) = (a.place.z.m(), b.place.z.m());
            let share = if za <= 0.0 && zb <= 0.0 {
                1.0
            } else if za > 0.0 && zb > 0.0 {
                0.0
            } else {
                za.min(zb).abs() / (za - zb).abs()
            };
            wet_m += share * (b.along - a.along).m();
        }
        Length::of_m(wet_m)
    }
    /// Greatest distance of the line from the straight one between its ends.
    pub fn belly(&self) -> Length {
        let (Some(a), Some(b)) = (self.points.first(), self.points.last()) else { return Length::ZERO };
        let (a, b) = (a.place.m(), b.place.m());
        let chord = minus(b, a);
        let length = norm(chord);
        let off = |p: &LinePoint| {
            let d = minus(p.place.m(), a);
            let k = dot(d, chord) / sq(length);
            norm(minus(d, times(chord, k)))
        };
        Length::of_m(self.points.iter().map(off).fold(0.0, f64::max))
    }
}

impl Cable {
    /// The shape of `length` (unstretched) of line fixed at both ends: lever locked, anchor holding.
    ///
    /// Refuses ends or lengths that are no numbers, a slack line that nothing pulls into a shape, and says so
    /// if no shape was found.
    pub fn fixed(&self, a: Place, b: Place, length: Length, stream: &Stream) -> Result<Shape> {
        let task = Task::new(self, a, b, stream)?;
        let l_m = length.m();
        if !(l_m.is_finite() && l_m > 0.0) {
            return Err(Error::new(
                format!("{l_m} m of line"),
                "a length above zero",
                "give the line between the ends",
            ));
        }
        let start = task.mean_load_tension(l_m).ok_or_else(|| task.no_shape(l_m))?;
        let step = [1e-6 * (norm(start) + norm(task.mean) * l_m).max(1e-9); 3];
        let miss = |share: f64, f: &V3| {
            let (r, _) = task.shoot(*f, l_m, share)?;
            Some(times(minus(r, task.b), 1.0 / l_m))
        };
        let f = by_steps(miss, start, &step).ok_or_else(|| task.no_shape(l_m))?;
        task.shape(f, l_m).ok_or_else(|| task.no_shape(l_m))
    }

    /// The shape of a line of whatever length keeps `tension` at end B: the rod, with the line running or the
    /// crew keeping it tight. Refuses a tension too small to hold the line against the water.
    pub fn kept_at(&self, a: Place, b: Place, tension: Force, stream: &Stream) -> Result<Shape> {
        let task = Task::new(self, a, b, stream)?;
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
        let (f, l_m) = task.mean_load_length(t_n).ok_or_else(refusal)?;
        let chord = task.chord();
        let start = [f[0], f[1], f[2], l_m];
        let df = 1e-6 * (norm(f) + norm(task.mean) * l_m).max(1e-9);
        let step = [df, df, df, 1e-6 * chord];
        let miss = |share: f64, x: &[f64; 4]| {
            let [fx, fy, fz, l_m] = *x;
            if l_m < 0.2 * chord || l_m > 100.0 * chord {
                return None;
            }
            let (r, at_b) = task.shoot([fx, fy, fz], l_m, share)?;
            let d = times(minus(r, task.b), 1.0 / chord);
            Some([d[0], d[1], d[2], (norm(at_b) - t_n) / t_n])
        };
        let [fx, fy, fz, l_m] = by_steps(miss, start, &step).ok_or_else(refusal)?;
        task.shape([fx, fy, fz], l_m).ok_or_else(refusal)
    }

    /// Weight less buoyancy and drag on a metre of unstretched line at `r` with direction `t` and stretch `e`, N/m.
    fn load(&self, stream: &Stream, r: V3, t: V3, e: f64) -> V3 {
        let (fluid, u) = stream.at(r[2]);
        let rho = fluid.density.kg_m3();
        let d = self.strand.diameter().m();
        let along = dot(u, t);
        let across = minus(u, times(t, along));
        let speed = norm(across);
        let normal = if speed > 0.0 {
            let cn = match self.normal {
                NormalLaw::Fixed(cn) => cn,
                NormalLaw::Cylinder { strum } => cylinder_cn(speed * d / fluid.viscosity.m2_s()) * strum,
            };
            0.5 * rho * cn * d * speed * (1.0 + e)
        } else {
            0.0
        };
        let skin = 0.5 * rho * self.ct * core::f64::consts::PI * d * along.abs() * along * (1.0 + e);
        let weight = (rho - self.strand.density().kg_m3()) * self.strand.area().m2() * G_M_S2;
        let mut q = [0, 1, 2].map(|i| normal * across[i] + skin * t[i]);
        q[2] += weight;
        q
    }
}

/// One line to be solved: its ends, and the mean load along the straight line between them.
struct Task<'a> {
    cable: &'a Cable,
    stream: &'a Stream,
    a: V3,
    b: V3,
    mean: V3,
    ea: f64,
}

impl<'a> Task<'a> {
    fn new(cable: &'a Cable, a: Place, b: Place, stream: &'a Stream) -> Result<Self> {
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

    fn chord(&self) -> f64 {
        norm(minus(self.b, self.a))
    }

    fn no_shape(&self, l_m: f64) -> Error {
        let chord = self.chord();
        Error::new(
            format!("no shape found for {l_m} m of line between ends {chord} m apart in this water"),
            "a line that water or weight pulls into a shape, or one that is stretched",
            "check length, distance and current; a slack line in still water has no one shape",
        )
    }

    /// Along the line from A with tension vector `f`; `share` of the true load, the rest the mean one. Gives
    /// place and tension vector at the end.
    fn shoot(&self, f: V3, l_m: f64, share: f64) -> Option<(V3, V3)> {
        let y = [self.a[0], self.a[1], self.a[2], f[0], f[1], f[2]];
        self.along(y, l_m, share, |_, _| {}).map(|y| ([y[0], y[1], y[2]], [y[3], y[4], y[5]]))
    }

    fn along(&self, y: [f64; 6], l_m: f64, share: f64, seen: impl FnMut(f64, &[f64; 6])) -> Option<[f64; 6]> {
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
        integrate(slope, y, l_m, RTOL, &[chord, chord, chord, size, size, size], seen)
    }

    /// Tension at A and length of the exact line under the mean load that has tension `t_n` at B.
    fn mean_load_length(&self, t_n: f64) -> Option<(V3, f64)> {
        let chord = self.chord();
        let at = |l_m: f64| {
            let f = self.mean_load_tension(l_m)?;
            Some((f, norm(minus(f, times(self.mean, l_m)))))
        };
        // The tension falls as line is given; find the first length at which it is below the wanted one.
        let mut low = chord / (1.0 + 1.5 * t_n / self.ea + norm(self.mean) * chord / self.ea);
        let mut high = low;
        let mut grow = 0.01;
        loop {
            high += grow * chord;
            match at(high) {
                Some((_, t)) if t <= t_n => break,
                _ if high > 20.0 * chord => return None,
                _ => (low, grow) = (high, grow * 1.3),
            }
        }
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if at(mid).is_some_and(|(_, t)| t > t_n) { low = mid } else { high = mid }
        }
        at(high).map(|(f, _)| (f, high))
    }

    /// Tension at A of the exact elastic catenary of `l_m` under the mean load.
    fn mean_load_tension(&self, l_m: f64) -> Option<V3> {
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

    fn shape(&self, f: V3, l_m: f64) -> Option<Shape> {
        let mut y = [self.a[0], self.a[1], self.a[2], f[0], f[1], f[2]];
        let point = |i: usize, y: &[f64; 6]| LinePoint {
            along: Length::of_m(l_m * i as f64 / PARTS as f64),
            place: Place::of([y[0], y[1], y[2]]),
            tension: Force::of_n(norm([y[3], y[4], y[5]])),
        };
        let mut points = vec![point(0, &y)];
        for i in 1..=PARTS {
            y = self.along(y, l_m / PARTS as f64, 1.0, |_, _| {})?;
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

/// From the solution `x` at share 0 to that at share 1, by as few steps as will do.
fn by_steps<const N: usize>(
    miss: impl Fn(f64, &[f64; N]) -> Option<[f64; N]>,
    mut x: [f64; N],
    step: &[f64; N],
) -> Option<[f64; N]> {
    let (mut share, mut stride) = (0.0, 1.0);
    while share < 1.0 {
        let next = f64::min(share + stride, 1.0);
        if let Some(found) = root(|x| miss(next, x), x, step, 1e-9) {
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

fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
fn norm(a: V3) -> f64 {
    dot(a, a).sqrt()
}
fn plus(a: V3, b: V3) -> V3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}
fn minus(a: V3, b: V3) -> V3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}
fn times(a: V3, k: f64) -> V3 {
    [a[0] * k, a[1] * k, a[2] * k]
}
