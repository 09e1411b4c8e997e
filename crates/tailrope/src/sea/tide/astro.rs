//! Where Moon, Sun and node stand, and what the node does to the tide.
//!
//! Source: Schureman, *Manual of Harmonic Analysis and Prediction of Tides*, US Coast & Geodetic Survey Special
//! Publication 98 (1940, public domain); mean longitudes after Meeus (1998). The formulas are recalled; that
//! they give all 37 published speeds and the agency's own predictions within its rounding stands in the tests.

use super::constituent::Constituent;
use crate::math::{acos, atan, atan2, cos, sin, sq, tan};

/// Seconds of Unix time at 2000-01-01 12:00 UT.
const J2000_S: f64 = 946_728_000.0;
/// Seconds in a Julian century.
const CENTURY_S: f64 = 36525.0 * 86400.0;

/// Mean longitudes at an instant, degrees, not wrapped.
#[derive(Clone, Copy, Debug)]
pub(super) struct Arguments {
    /// Hour angle of the mean Sun; zero at noon.
    hour: f64,
    /// Moon.
    s: f64,
    /// Sun.
    h: f64,
    /// Lunar perigee.
    p: f64,
    /// Solar perigee.
    p1: f64,
    /// Ascending node.
    n: f64,
    /// Obliquity of the ecliptic.
    obliquity: f64,
}

impl Arguments {
    /// At an instant of Unix time.
    pub fn at(unix_s: f64) -> Self {
        let t = (unix_s - J2000_S) / CENTURY_S;
        let day_s = unix_s - 86400.0 * (unix_s / 86400.0).floor();
        Self {
            // Without the half-turn every odd species would come out upside down.
            hour: 15.0 * day_s / 3600.0 + 180.0,
            s: 218.3164477 + t * (481267.88123421 + t * (-0.0015786 + t / 538841.0)),
            h: 280.46646 + t * (36000.76983 + t * 0.0003032),
            p: 83.3532465 + t * (4069.0137287 + t * (-0.01032 - t / 80053.0)),
            p1: 282.93735 + t * (1.71946 + t * 0.00046),
            n: 125.04452 + t * (-1934.136261 + t * (0.0020708 + t / 450000.0)),
            obliquity: 23.4392911 - t * 0.0130042,
        }
    }

    /// Equilibrium argument V of a constituent, degrees, not wrapped.
    pub fn v_deg(&self, c: &Constituent) -> f64 {
        let [t, s, h, p, p1] = c.v.map(f64::from);
        t * self.hour + s * self.s + h * self.h + p * self.p + p1 * self.p1 + c.constant_deg
    }
}

/// Speed of a constituent, degrees an hour, at the time of the arguments' epoch (it changes by 1e-7 in a
/// century).
pub(super) fn speed_deg_h(c: &Constituent) -> f64 {
    let [t, s, h, p, p1] = c.v.map(f64::from);
    let a_century = s * 481267.88123421 + h * 36000.76983 + p * 4069.0137287 + p1 * 1.71946;
    15.0 * t + a_century / (CENTURY_S / 3600.0)
}

/// Constituents that the node treats in a way of their own; all others are compounds of these.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Base {
    M2,
    O1,
    K1,
    K2,
    J1,
    Oo1,
    Mm,
    Mf,
    L2,
    M1,
    Eta2,
}

impl Base {
    /// In the order of their numbers.
    const ALL: [Self; 11] = [
        Self::M2,
        Self::O1,
        Self::K1,
        Self::K2,
        Self::J1,
        Self::Oo1,
        Self::Mm,
        Self::Mf,
        Self::L2,
        Self::M1,
        Self::Eta2,
    ];
}

/// The node triangle: inclination of the Moon's path to the equator and what hangs on it.
#[derive(Clone, Copy, Debug)]
struct Node {
    inclination: f64,
    xi: f64,
    nu: f64,
    nu1: f64,
    nu2: f64,
    p: f64,
}

/// Node factor f and node angle u (degrees) of every base at an instant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Factors([(f64, f64); Base::ALL.len()]);

impl Factors {
    /// At an instant of Unix time.
    pub fn at(unix_s: f64) -> Self {
        let node = Node::of(&Arguments::at(unix_s));
        Self(Base::ALL.map(|base| {
            let (f, u) = node.base(base);
            (f, half_turn(u).to_degrees())
        }))
    }

    /// Node factor f and node angle u (degrees) of a constituent.
    pub fn of(&self, c: &Constituent) -> (f64, f64) {
        c.node.iter().fold((1.0, 0.0), |(f, u), (base, power, multiple)| {
            let (bf, bu) = self.0.get(*base as usize).copied().unwrap_or((1.0, 0.0));
            (f * half_power(bf, *power), u + multiple * bu)
        })
    }
}

/// x to a power in halves, which is all that constituents need.
fn half_power(x: f64, power: f64) -> f64 {
    let (mut y, mut left) = (1.0, power);
    while left >= 1.0 {
        y *= x;
        left -= 1.0;
    }
    if left > 0.0 { y * x.sqrt() } else { y }
}

/// Wraps radians into -pi to pi.
fn half_turn(x: f64) -> f64 {
    let turn = 2.0 * core::f64::consts::PI;
    x - turn * (x / turn).round()
}

impl Node {
    /// From the arguments of an instant. Angles in radians.
    fn of(a: &Arguments) -> Self {
        let n = half_turn(a.n.to_radians());
        let w = a.obliquity.to_radians();
        let i = 5.145_f64.to_radians();
        let inclination = acos(cos(i) * cos(w) - sin(i) * sin(w) * cos(n));
        let (sin_half, cos_half) = (sin(n / 2.0), cos(n / 2.0));
        let a1 = atan2(cos((w - i) / 2.0) * sin_half, cos(f64::midpoint(w, i)) * cos_half);
        let b1 = atan2(sin((w - i) / 2.0) * sin_half, sin(f64::midpoint(w, i)) * cos_half);
        let nu = half_turn(a1 - b1);
        let xi = half_turn(n - a1 - b1);
        let nu1 = atan2(sin(2.0 * inclination) * sin(nu), sin(2.0 * inclination) * cos(nu) + 0.3347);
        let nu2 =
            0.5 * atan2(sq(sin(inclination)) * sin(2.0 * nu), sq(sin(inclination)) * cos(2.0 * nu) + 0.0727);
        Self { inclination, xi, nu, nu1, nu2, p: a.p.to_radians() - xi }
    }

    /// Node factor f and node angle u (radians) of a base.
    fn base(&self, base: Base) -> (f64, f64) {
        let i = self.inclination;
        let (sin_i, sin_2i) = (sin(i), sin(2.0 * i));
        let cos_half2 = sq(cos(i / 2.0));
        let f_m2 = sq(cos_half2) / 0.9154;
        let f_o1 = sin_i * cos_half2 / 0.3800;
        let u_m2 = 2.0 * (self.xi - self.nu);
        let two_p = 2.0 * self.p;
        match base {
            Base::M2 => (f_m2, u_m2),
            Base::O1 => (f_o1, 2.0 * self.xi - self.nu),
            Base::K1 => ((0.8965 * sq(sin_2i) + 0.6001 * sin_2i * cos(self.nu) + 0.1006).sqrt(), -self.nu1),
            Base::K2 => {
                let s2 = sq(sin_i);
                ((19.0444 * sq(s2) + 2.7702 * s2 * cos(2.0 * self.nu) + 0.0981).sqrt(), -2.0 * self.nu2)
            }
            Base::J1 => (sin_2i / 0.7214, -self.nu),
            Base::Oo1 => (sin_i * sq(sin(i / 2.0)) / 0.01640, -2.0 * self.xi - self.nu),
            Base::Mm => ((2.0 / 3.0 - sq(sin_i)) / 0.5021, 0.0),
            Base::Mf => (sq(sin_i) / 0.1578, -2.0 * self.xi),
            Base::Eta2 => (sq(sin_i) / 0.1565, -2.0 * self.nu),
            Base::L2 => {
                let tan2 = sq(tan(i / 2.0));
                let r = atan(sin(two_p) / (1.0 / (6.0 * tan2) - cos(two_p)));
                (f_m2 * (1.0 - 12.0 * tan2 * cos(two_p) + 36.0 * sq(tan2)).sqrt(), u_m2 - r)
            }
            Base::M1 => {
                let q = atan2(0.483 * sin(self.p), cos(self.p));
                (f_o1 * (2.310 + 1.435 * cos(two_p)).sqrt(), -self.nu - (self.p - q))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::constituent::CONSTITUENTS;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_node_stays_within_its_bounds(unix_s in -2.2e9..4.1e9f64) {
            let node = Node::of(&Arguments::at(unix_s));
            prop_assert!((18.2..28.7).contains(&node.inclination.to_degrees()));
            prop_assert!(node.nu.to_degrees().abs() < 13.1 && node.xi.to_degrees().abs() < 12.0);
            for c in &CONSTITUENTS {
                let (f, _) = Factors::at(unix_s).of(c);
                prop_assert!((0.35..2.5).contains(&f), "{} {f}", c.name);
            }
        }
    }

    #[test]
    fn the_hour_angle_turns_once_a_day() {
        let m2 = &CONSTITUENTS[0];
        let (a, b) = (Arguments::at(1.0e9), Arguments::at(1.0e9 + 3600.0));
        let moved = (b.v_deg(m2) - a.v_deg(m2)).rem_euclid(360.0);
        assert!((moved - speed_deg_h(m2)).abs() < 1e-5, "{moved}");
    }
}
