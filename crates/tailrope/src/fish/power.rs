//! The body of a fish in water: its size from its mass, its drag, and what its muscles can do.
//!
//! Drag `D = 1/2 rho v^2 S Cf k m` with wetted area `S = 0.09 M^(2/3)` m2, skin friction
//! `Cf = 0.455 / (log10 Re)^2.58`, form factor `k = 1 + 1.5 (d/L)^1.5 + 7 (d/L)^3`, and m = 1.5 to 3 for a beating
//! body (1 for a rigid one). Girth `G = sqrt(W / (34.6 L))`, depth G/pi, frontal area G^2/4pi.
//! Pull at zero speed `T0 = (2 rho A P^2)^(1/3)` (ideal actuator disc); at speed v a thrust T costs `T (v + w)`,
//! `w = sqrt(v^2/4 + T/(2 rho A)) - v/2`.
//!
//! Limits: areas, store and powers are DERIVED, a factor of two wide; the disc is ideal, so its pull is an upper
//! figure for its power. The fight's own parameter file governs the fight. Sources: the 1/7 power turbulent
//! friction line of Schlichting; Hoerner's form factor; Lowe 2001 and Curtin & Woledge for muscle.

use super::{FishLength, Species};
use crate::Result;
use crate::facts::{Band, Figure};
use crate::math;
use crate::quantity::{Area, Density, Energy, Force, Length, Mass, Power, Quantity, Speed};
use std::collections::BTreeMap;

/// Kinematic viscosity of sea water near 20 C, m2/s.
pub const NU_SEA_M2_S: f64 = 1.05e-6;

/// The figures of the pack's `[body]` and `[power]`.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyFigures {
    /// The figures by their key in the pack, with grade and what the source adds, for showing.
    pub figures: BTreeMap<&'static str, Figure<Band<f64>>>,
    pub(super) wetted_m2: Band<f64>,
    pub(super) wetted_exponent: f64,
    pub(super) side_m2: f64,
    pub(super) side_exponent: f64,
    pub(super) broadside_cd: Band<f64>,
    pub(super) swimming: Band<f64>,
    pub(super) submerged_weight: Band<f64>,
    pub(super) store_j_per_kg: Band<f64>,
    pub(super) burst_w_per_kg: Band<f64>,
    pub(super) aerobic_w_per_kg_at_1kg: Band<f64>,
    pub(super) aerobic_mass_exponent: f64,
    pub(super) endotherm: f64,
    pub(super) tail_span_over_l: f64,
    pub(super) tail_sweep_over_l: f64,
}

/// One fish in the water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Its mass.
    pub mass: Mass,
    /// Fork length (total length for species without a fork to speak of).
    pub length: Length,
    /// Largest girth.
    pub girth: Length,
    /// Depth of the body, girth over pi: the water that covers it.
    pub depth: Length,
    /// Area seen from ahead.
    pub frontal: Area,
    /// Skin in the water.
    pub wetted: Band<Area>,
    /// Area seen from the side.
    pub side: Area,
}

fn area(m2: f64) -> Area {
    Area::from_si(m2)
}

/// Girth of a fish of a mass and body length by the girth constant `c`: `sqrt(W / (c L))`.
pub fn girth(mass: Mass, length: Length, c: Density) -> Length {
    let (w, l, c) = (mass.kg().max(0.0), length.m(), c.kg_m3());
    if l > 0.0 && c > 0.0 { Length::of_m((w / (c * l)).sqrt()) } else { Length::ZERO }
}

/// Turbulent skin friction `0.455 / (log10 Re)^2.58` at Reynolds number `re`; below 10^4, where the line was never
/// meant to hold, the value there.
pub fn skin_friction(re: f64) -> f64 {
    0.455 / math::pow(math::log10(re.max(1.0e4)), 2.58)
}

/// Form factor of a spindle of depth over length `d_over_l`: `1 + 1.5 x^1.5 + 7 x^3`.
pub fn form_factor(d_over_l: f64) -> f64 {
    let x = d_over_l.max(0.0);
    1.0 + 1.5 * x * x.sqrt() + 7.0 * x * x * x
}

impl BodyFigures {
    /// The body of a fish of a mass and body length (fork length).
    pub fn body(&self, mass: Mass, length: Length, girth_const: Density) -> Body {
        let kg = mass.kg().max(0.0);
        let girth = girth(mass, length, girth_const);
        let pi = core::f64::consts::PI;
        Body {
            mass,
            length,
            girth,
            depth: girth / pi,
            frontal: area(math::sq(girth.m()) / (4.0 * pi)),
            wetted: self.wetted_m2.map(|c| area(c * math::pow(kg, self.wetted_exponent))),
            side: area(self.side_m2 * math::pow(kg, self.side_exponent)),
        }
    }

    /// The body of a species at a length: central mass, or the heavy end. Depth for landing water wants the heavy end.
    pub fn of_species(&self, species: &Species, length: FishLength, heavy: bool) -> Result<Body> {
        let mass = species.mass_at(length)?;
        let body_length = species.body_length(length)?;
        let mass = if heavy { mass.heavy } else { mass.central };
        Ok(self.body(mass, body_length.value.length, species.girth_constant().central))
    }

    /// How much more drag a beating body has than a rigid one.
    pub fn swimming_multiplier(&self) -> Band<f64> {
        self.swimming
    }

    /// Weight of a fish in the water: 2 to 6 % of its weight in air (sharks; RECALLED).
    pub fn submerged_weight(&self, mass: Mass) -> Band<Force> {
        self.submerged_weight.map(|s| Force::of_n(s * mass.kg() * crate::quantity::G_M_S2))
    }

    /// Work its muscles can give from their store, before it is spent (500 to 1500 J/kg).
    pub fn store(&self, mass: Mass) -> Band<Energy> {
        self.store_j_per_kg.map(|j| Energy::of_j(j * mass.kg()))
    }

    /// Thrust power of a fresh fish (4 to 15 W/kg).
    pub fn burst_power(&self, mass: Mass) -> Band<Power> {
        self.burst_w_per_kg.map(|w| Power::of_w(w * mass.kg()))
    }

    /// Thrust power it can keep up all night: 0.3 W/kg at 1 kg, falling with mass^0.2; doubled in warm-bodied kinds.
    pub fn aerobic_power(&self, mass: Mass, endotherm: bool) -> Band<Power> {
        let kg = mass.kg().max(0.0);
        let warm = if endotherm { self.endotherm } else { 1.0 };
        let scale = if kg > 0.0 { math::pow(kg, 1.0 + self.aerobic_mass_exponent) } else { 0.0 };
        self.aerobic_w_per_kg_at_1kg.map(|w| Power::of_w(w * warm * scale))
    }

    /// The most it can pull standing still on its burst power.
    pub fn static_thrust(&self, mass: Mass, length: Length, rho: Density) -> Band<Force> {
        let disc = self.tail_disc(length);
        self.burst_power(mass).map(|p| static_thrust(p, disc, rho))
    }

    /// Area its tail sweeps.
    pub fn tail_disc(&self, length: Length) -> Area {
        area(self.tail_span_over_l * self.tail_sweep_over_l * math::sq(length.m()))
    }

    /// Water force on a beaten fish towed side-on at a speed: never winch it sideways.
    pub fn broadside_drag(&self, body: &Body, v: Speed, rho: Density) -> Band<Force> {
        let q = 0.5 * rho.kg_m3() * math::sq(v.mps());
        self.broadside_cd.map(|cd| Force::of_n(q * cd * body.side.si()))
    }

    /// Drag of a swimming fish: low, central and high wetted area and multiplier.
    pub fn swimming_drag(&self, body: &Body, v: Speed, rho: Density) -> Band<Force> {
        let at = |wetted: Area, m: f64| body.drag_of(wetted, v, rho, m);
        Band {
            low: at(body.wetted.low, self.swimming.low),
            central: at(body.wetted.central, self.swimming.central),
            high: at(body.wetted.high, self.swimming.high),
        }
    }
}

/// Pull at zero speed on power `p` over a tail disc: `(2 rho A P^2)^(1/3)`.
pub fn static_thrust(p: Power, disc: Area, rho: Density) -> Force {
    Force::of_n((2.0 * rho.kg_m3() * disc.si() * math::sq(p.w())).cbrt())
}

/// Power a thrust costs at a speed through the water: `T (v + w)`.
pub fn thrust_power(thrust: Force, v: Speed, disc: Area, rho: Density) -> Power {
    let (t, v) = (thrust.n().max(0.0), v.mps().max(0.0));
    let disc_load = 2.0 * rho.kg_m3() * disc.si();
    if disc_load <= 0.0 {
        return Power::of_w(t * v);
    }
    let w = (v * v / 4.0 + t / disc_load).sqrt() - v / 2.0;
    Power::of_w(t * (v + w))
}

impl Body {
    /// Drag at a speed, wetted area as given, `multiplier` 1 for a rigid body, about 2 for a beating one.
    fn drag_of(&self, wetted: Area, v: Speed, rho: Density, multiplier: f64) -> Force {
        let (l, speed) = (self.length.m(), v.mps().abs());
        if l <= 0.0 || speed == 0.0 {
            return Force::ZERO;
        }
        let cf = skin_friction(speed * l / NU_SEA_M2_S);
        let k = form_factor(self.depth.m() / l);
        Force::of_n(0.5 * rho.kg_m3() * speed * speed * wetted.si() * cf * k * multiplier)
    }

    /// Drag head first at a speed; `multiplier` 1 for a rigid body, about 2 for a beating one.
    pub fn drag(&self, v: Speed, rho: Density, multiplier: f64) -> Force {
        self.drag_of(self.wetted.central, v, rho, multiplier)
    }
}
