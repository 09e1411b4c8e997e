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
use crate::math::{exp, ln, sq};
use crate::quantity::{Force, G_M_S2, Length};
use crate::{Error, Result};

/// Relative tolerance of the integration along the line.
const RTOL: f64 = 1e-9;
/// Size of the differences of the search, against tension and length.
const DIFFERENCE: f64 = 1e-5;
/// Line out over the straight distance at which the search gives up: such a line streams away.
const LONGEST: f64 = 30.0;
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
        let step = [DIFFERENCE * (norm(start) + norm(task.mean) * l_m).max(1e-9); 3];
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
        // Under the mean load a line has a least tension that the true one has not: begin well above it.
        let chord = task.chord();
        let t0_n = t_n.max(2.0 * norm(task.mean) * chord);
        let (f, l_m) = task.mean_load_length(t0_n).ok_or_else(refusal)?;
        let df = DIFFERENCE * (norm(f) + norm(task.mean) * l_m).max(1e-9);
        let step = [df, df, df, DIFFERENCE * chord];
        let miss = |share: f64, t_n: f64, x: &[f64; 4]| {
            let [fx, fy, fz, l_m] = *x;
            if l_m < 0.2 * chord || l_m > LONGEST * chord {
                return None;
            }
            let (r, at_b) = task.shoot([fx, fy, fz], l_m, share)?;
            let d = times(minus(r, task.b), 1.0 / chord);
            Some([d[0], d[1], d[2], (norm(at_b) - t_n) / t_n])
        };
        let start = [f[0], f[1], f[2], l_m];
        let x = by_steps(|share, x| miss(share, t0_n, x), start, &step).ok_or_else(refusal)?;
        let fall = ln(t_n / t0_n);
        let [fx, fy, fz, l_m] =
            by_steps(|share, x| miss(1.0, t0_n * exp(share * fall), x), x, &step).ok_or_else(refusal)?;
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
fn by_steps<const N: usize>(
    miss: impl Fn(f64, &[f64; N]) -> Option<[f64; N]>,
    mut x: [f64; N],
    step: &[f64; N],
) -> Option<[f64; N]> {
    let (mut share, mut stride) = (0.0, 1.0);
    let mut slope = [0.0; N];
    while share < 1.0 {
        let next = f64::min(share + stride, 1.0);
        let mut guess = x;
        for (g, s) in guess.iter_mut().zip(&slope) {
            *g += s * (next - share);
        }
        if let Some(found) = root(|x| miss(next, x), guess, step, 1e-9) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Density, Pressure, Speed};
    use crate::water::{Belly, CT_MONO, Velocity, Water, normal_drag_per_m};
    use proptest::prelude::*;

    fn place(x: f64, y: f64, z: f64) -> Place {
        Place::new(Length::of_m(x), Length::of_m(y), Length::of_m(z))
    }
    fn across(mps: f64) -> Stream {
        Stream::uniform(Water::SEA, Velocity::level(Speed::ZERO, Speed::of_mps(mps)))
    }
    fn nylon(mm: f64, strum: f64) -> Cable {
        let strand =
            Strand::new(Length::of_mm(mm), Density::of_kg_m3(1140.0), Pressure::of_gpa(2.0)).unwrap();
        Cable { strand, normal: NormalLaw::Cylinder { strum }, ct: CT_MONO }
    }
    /// A line of no weight, no stretch and no skin friction, and one drag coefficient.
    fn bare(mm: f64, cn: f64) -> Cable {
        let strand =
            Strand::with_stiffness(Length::of_mm(mm), Density::of_kg_m3(1025.0), Force::of_n(1e9)).unwrap();
        Cable { strand, normal: NormalLaw::Fixed(cn), ct: 0.0 }
    }

    fn near(a: f64, b: f64, tolerance: f64) -> bool {
        (a - b).abs() <= tolerance * (1.0 + b.abs())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        /// Exact case 1: constant tension and the closed belly.
        #[test]
        fn across_a_uniform_current_it_is_the_belly(
            b in 40.0..300.0f64, t in 15.0..200.0f64, u in 0.1..1.0f64, mm in 0.3..1.2f64,
        ) {
            let cable = bare(mm, 1.3);
            let drag = 0.5 * 1025.0 * 1.3 * mm * 1e-3 * u * u;
            prop_assume!(drag * b / (2.0 * t) < 1.5 && drag * b / (2.0 * t) > 0.005);
            let span = Length::of_m(b);
            let belly = Belly::at_tension(span, Force::of_n(t), crate::water::LineLoad::of_n_per_m(drag)).unwrap();
            let s = cable.kept_at(place(0.0, 0.0, -5.0), place(b, 0.0, -5.0), Force::of_n(t), &across(u)).unwrap();
            for p in &s.points {
                prop_assert!(near(p.tension.n(), t, 1e-6));
                prop_assert!(near(p.place.y.m(), belly.offset(span, p.place.x).m(), 1e-5));
            }
            prop_assert!(near(s.length.m(), belly.length.m(), 1e-6));
            prop_assert!(near(s.total().y.n(), belly.down_pull.n(), 1e-6));
        }

        /// Exact case 2: still water, the closed elastic catenary.
        #[test]
        fn in_still_water_it_is_the_catenary(
            xf in 20.0..200.0f64, zf in 0.0..20.0f64, slack in 0.98..1.1f64, w in 0.05..1.5f64, ea in 2e3..1e5f64,
        ) {
            let l = crate::math::hypot(xf, zf) * slack;
            let d = 2e-3;
            let density = 1025.0 + w / (G_M_S2 * core::f64::consts::PI / 4.0 * d * d);
            let strand = Strand::with_stiffness(Length::of_m(d), Density::of_kg_m3(density), Force::of_n(ea)).unwrap();
            let cable = Cable { strand, normal: NormalLaw::Cylinder { strum: 1.0 }, ct: CT_MONO };
            let s = cable.fixed(place(0.0, 0.0, -90.0), place(0.0, xf, zf - 90.0), Length::of_m(l), &across(0.0)).unwrap();
            let closed = crate::water::ElasticCatenary::free(
                Length::of_m(xf), Length::of_m(zf), Length::of_m(l), Force::of_n(ea), strand.weight_in(Density::of_kg_m3(1025.0)),
            ).unwrap();
            prop_assert!(near(s.at_a.y.n(), closed.at_a.level.n(), 1e-5));
            prop_assert!(near(s.at_b.z.n(), closed.at_b.upright.n(), 1e-5));
        }

        /// Exact case 3: at the critical angle drag across balances weight, so the line stays straight.
        #[test]
        fn at_the_critical_angle_it_is_straight(w in 0.01..1.0f64, u in 0.3..1.5f64, t in 20.0..200.0f64) {
            let d = 2e-3;
            let density = 1025.0 + w / (G_M_S2 * core::f64::consts::PI / 4.0 * d * d);
            let strand = Strand::with_stiffness(Length::of_m(d), Density::of_kg_m3(density), Force::of_n(1e5)).unwrap();
            let cable = Cable { strand, normal: NormalLaw::Fixed(1.2), ct: 0.0 };
            let drag = 0.5 * 1025.0 * 1.2 * d * u * u;
            let load = crate::water::LineLoad::of_n_per_m;
            let phi = crate::water::critical_angle(load(w), load(drag)).rad();
            // Towed towards -y: the water runs along +y, and the line trails down from B.
            let (run, fall) = (50.0 * crate::math::cos(phi), 50.0 * crate::math::sin(phi));
            let s = cable.kept_at(place(0.0, run, -60.0 - fall), place(0.0, 0.0, -60.0), Force::of_n(t + w * 50.0), &across(u)).unwrap();
            // Stretch gives the water a little more line than weight is counted on.
            prop_assert!(s.belly().m() < 0.02, "{}", s.belly().m());
        }

        /// Exact case 4: straight along the flow the tension differs by the skin friction.
        #[test]
        fn along_the_flow_skin_friction_adds(u in 0.2..4.0f64, t in 30.0..200.0f64, l in 20.0..200.0f64) {
            let cable = Cable { ct: 0.004, ..bare(0.9, 1.2) };
            let skin = crate::water::skin_drag(0.004, Length::of_mm(0.9), Length::of_m(l), Speed::of_mps(u), Density::of_kg_m3(1025.0));
            let s = cable.kept_at(place(0.0, l, -3.0), place(0.0, 0.0, -3.0), Force::of_n(t + skin.n()), &across(u)).unwrap();
            prop_assert!(near(s.at_a.size().n(), t, 1e-5));
        }

        /// More current across, a thicker line or more strumming never lowers load, pull or belly. (Along the
        /// line it may: skin friction unloads the down-stream end.)
        #[test]
        fn more_water_never_lowers_the_load(
            b in 60.0..250.0f64, slack in 0.995..1.1f64, u in 0.15..0.9f64, mm in 0.4..1.2f64, more in 1.02..1.6f64,
        ) {
            let (a, rod) = (place(b, 0.0, -5.0), place(0.0, 0.0, -0.5));
            let load = |u: f64, mm: f64, strum: f64| {
                // The same stiffness, so that thickness alone is compared.
                let strand = Strand::with_stiffness(Length::of_mm(mm), Density::of_kg_m3(1140.0), Force::of_n(1300.0)).unwrap();
                let cable = Cable { strand, ..nylon(mm, strum) };
                cable.fixed(a, rod, Length::of_m(b * slack), &across(u)).unwrap()
            };
            let base = load(u, mm, 1.0);
            for greater in [load(u * more, mm, 1.0), load(u, mm * more, 1.0), load(u, mm, more)] {
                prop_assert!(greater.at_a.size().n() >= base.at_a.size().n() * (1.0 - 1e-6));
                prop_assert!(greater.at_b.size().n() >= base.at_b.size().n() * (1.0 - 1e-6));
                prop_assert!(greater.total().y.n() >= base.total().y.n() * (1.0 - 1e-6));
            }
        }

        /// What both ends carry is what the water and the weight put on: the loads summed along the shape.
        #[test]
        fn the_ends_carry_all_the_load(
            b in 60.0..250.0f64, t in 20.0..120.0f64, u in 0.1..0.8f64, way in 0.4..2.7f64,
        ) {
            let current = Velocity::level(Speed::of_mps(u * crate::math::cos(way)), Speed::of_mps(u * crate::math::sin(way)));
            let stream = Stream::slackening(Water::SEA, current, Length::of_m(6.0)).unwrap();
            let cable = nylon(0.9, 1.7);
            let s = cable.kept_at(place(b, 0.0, -6.0), place(0.0, 0.0, -0.4), Force::of_n(t), &stream).unwrap();
            let mut sum = [0.0; 3];
            for pair in s.points.windows(2) {
                let (p, q) = (pair[0].place.m(), pair[1].place.m());
                let (dr, ds) = (minus(q, p), (pair[1].along - pair[0].along).m());
                let e = norm(dr) / ds - 1.0;
                let load = cable.load(&stream, times(plus(p, q), 0.5), times(dr, 1.0 / norm(dr)), e);
                sum = plus(sum, times(load, ds));
            }
            let total = s.total();
            for (ours, summed) in [total.x, total.y, total.z].iter().zip(sum) {
                prop_assert!((ours.n() - summed).abs() < 2e-3 * norm(sum) + 1e-3, "{ours:?} {summed}");
            }
        }

        /// The other way round, mirrored, and solved by length instead of by tension: the same line.
        #[test]
        fn the_same_line_from_every_side(b in 60.0..250.0f64, t in 20.0..120.0f64, u in 0.1..0.7f64) {
            let (far, rod, cable) = (place(b, 0.0, -5.0), place(0.0, 0.0, -0.5), nylon(0.9, 1.0));
            let one = cable.kept_at(far, rod, Force::of_n(t), &across(u)).unwrap();
            let by_length = cable.fixed(far, rod, one.length, &across(u)).unwrap();
            prop_assert!(near(by_length.at_b.size().n(), t, 1e-4));
            let turned = cable.fixed(rod, far, one.length, &across(u)).unwrap();
            prop_assert!(near(turned.at_a.size().n(), t, 1e-4) && near(turned.at_b.y.n(), one.at_a.y.n(), 1e-4));
            let mirrored = cable.kept_at(far, rod, Force::of_n(t), &across(-u)).unwrap();
            prop_assert!(near(mirrored.at_a.y.n(), -one.at_a.y.n(), 1e-5) && near(mirrored.at_a.x.n(), one.at_a.x.n(), 1e-5));
        }
    }

    #[test]
    fn the_dry_part_feels_the_wind_and_not_the_current() {
        let cable = nylon(0.9, 1.0);
        let (far, rod) = (place(120.0, 0.0, -4.0), place(0.0, 0.0, 4.0));
        let t = Force::of_n(40.0);
        let calm = cable.kept_at(far, rod, t, &across(0.5)).unwrap();
        let wind = Velocity::level(Speed::ZERO, Speed::of_mps(15.0));
        let windy = cable.kept_at(far, rod, t, &across(0.5).with_wind(wind)).unwrap();
        assert!(windy.total().y > calm.total().y);
        // The line sags in air by its weight and bends in the water: it dips below the straight line's middle.
        assert!(calm.wet().m() > 0.5 * calm.length.m() && calm.wet() < calm.length);
        assert!(calm.lowest().m() <= -4.0);
        let full =
            normal_drag_per_m(Length::of_mm(0.9), Speed::of_mps(0.5), 1.0, Water::SEA).over(calm.wet());
        // Nearly square to the current, and stretched by a thirtieth.
        let share = calm.total().y / full;
        assert!(share > 0.95 && share < 1.04, "{share}");
    }

    #[test]
    fn refuses_what_has_no_shape() {
        let (a, b, cable) = (place(100.0, 0.0, -5.0), place(0.0, 0.0, -1.0), nylon(0.9, 1.0));
        let no = |r: Result<Shape>| r.unwrap_err().error;
        assert!(no(bare(0.9, 1.0).fixed(a, b, Length::of_m(110.0), &across(0.0))).contains("no shape"));
        assert!(no(cable.fixed(a, a, Length::of_m(110.0), &across(0.5))).contains("0 m apart"));
        assert!(no(cable.fixed(a, b, Length::of_m(-1.0), &across(0.5))).contains("-1 m of line"));
        assert!(no(cable.kept_at(a, b, Force::ZERO, &across(0.5))).contains("0 N at the rod"));
        assert!(cable.fixed(a, b, Length::of_m(f64::NAN), &across(0.5)).is_err());
        assert!(cable.fixed(a, b, Length::of_m(101.0), &across(f64::NAN)).is_err());
    }
}
