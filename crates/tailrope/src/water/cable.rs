//! The shape of a line in three dimensions: its stretch, its weight, the current past it and the wind above.
//!
//! Cable equations with t the unit tangent from end A and e = T/(E A) (Berteaux 1976; cross-flow principle):
//!
//! ```text
//! dr/ds = t (1 + e)          d(T t)/ds = -[ w + (f_n + f_t)(1 + e) ]
//! f_n = (1/2) rho Cn d |Un| Un      f_t = (1/2) rho Ct pi d |Ut| Ut      w = -(rho_line - rho) A g zhat
//! ```
//!
//! Solved by shooting ([`super::Pieces`], for lines of several pieces too): the tension at A is sought that brings the
//! line to B. The search starts from the exact elastic catenary under the mean load, or from a line solved before, and
//! turns that load into the true one by steps.
//! Limits: a line at rest in steady water (waves are not followed), ends held, no bed under the line: read
//! [`Shape::lowest`]. Published skill of such a model on a fishing line: 5 % of the shape (flume).

use super::pieces::Pieces;
use super::shape::{Place, Shape};
use super::vector::{V3, dot, minus, norm, times};
use super::{Strand, Stream, cylinder_cn};
use crate::Result;
use crate::quantity::{Force, G_M_S2, Length};

/// How a line's normal drag coefficient is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NormalLaw {
    /// From the Reynolds number of the flow across it ([`cylinder_cn`]), times a strumming factor
    /// ([`super::strum_band`]).
    Cylinder {
        /// 1 for a still line.
        strum: f64,
    },
    /// From the Reynolds number of the whole current there, whatever the angle of the line, times a strumming factor.
    /// Below the other by the cube root of the sine squared of that angle, so by a tenth where the line trails at 60
    /// degrees; it is the law of the closed belly, and what worked cases of a bait's hold are reckoned with.
    Current {
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

impl Cable {
    /// The shape of `length` (unstretched) of line fixed at both ends: lever locked, anchor holding.
    ///
    /// Refuses ends or lengths that are no numbers, a slack line that nothing pulls into a shape, and says so
    /// if no shape was found.
    pub fn fixed(&self, a: Place, b: Place, length: Length, stream: &Stream) -> Result<Shape> {
        Pieces::one(*self).fixed(a, b, length, stream, None)
    }

    /// The shape of a line of whatever length keeps `tension` at end B: the rod, with the line running or the
    /// crew keeping it tight. Refuses a tension too small to hold the line against the water.
    pub fn kept_at(&self, a: Place, b: Place, tension: Force, stream: &Stream) -> Result<Shape> {
        Pieces::one(*self).kept_at(a, b, tension, stream, None)
    }

    /// Its drag coefficient, or the factor on it.
    pub(super) fn coefficient(&self) -> f64 {
        match self.normal {
            NormalLaw::Fixed(x) | NormalLaw::Cylinder { strum: x } | NormalLaw::Current { strum: x } => x,
        }
    }

    /// The same with one drag coefficient, where the water gives one: a uniform current and still air.
    pub(super) fn settled(mut self, stream: &Stream) -> Self {
        if let (NormalLaw::Current { strum }, Some((fluid, u))) = (self.normal, stream.one_speed()) {
            let cn = cylinder_cn(u * self.strand.diameter().m() / fluid.viscosity.m2_s()) * strum;
            self.normal = NormalLaw::Fixed(cn);
        }
        self
    }

    /// Weight less buoyancy and drag on a metre of unstretched line at `r` with direction `t` and stretch `e`, N/m.
    pub(super) fn load(&self, stream: &Stream, r: V3, t: V3, e: f64) -> V3 {
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
                NormalLaw::Current { strum } => cylinder_cn(norm(u) * d / fluid.viscosity.m2_s()) * strum,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Density, Pressure, Speed};
    use crate::water::vector::plus;
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
                // The search ends when the far end is met within 5e-8 of the line: four times that anywhere on it.
                let off = p.place.y.m() - belly.offset(span, p.place.x).m();
                prop_assert!(off.abs() <= 2e-7 * s.length.m(), "{off}");
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

    /// The kinks of a layered current once left a search without its last digit, and so without an answer.
    #[test]
    fn kinks_of_a_layered_current_do_not_stop_the_search() {
        let current = Velocity::level(Speed::of_mps(-0.278_247), Speed::of_mps(0.451_974));
        let stream = Stream::slackening(Water::SEA, current, Length::of_m(6.0)).unwrap();
        let (far, rod) = (place(213.301_355, 0.0, -6.0), place(0.0, 0.0, -0.4));
        let s = nylon(0.9, 1.7).kept_at(far, rod, Force::of_n(84.644_968), &stream).unwrap();
        assert!(near(s.at_b.size().n(), 84.644_968, 1e-5));
    }

    #[test]
    fn a_neutral_line_in_still_water_is_straight() {
        let (a, b) = (place(90.0, 30.0, -5.0), place(0.0, 0.0, -1.0));
        let s = bare(0.9, 1.0).kept_at(a, b, Force::of_n(12.0), &across(0.0)).unwrap();
        assert!(s.belly().m() < 1e-6 && near(s.at_a.size().n(), 12.0, 1e-6), "{:?}", s.at_a);
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
