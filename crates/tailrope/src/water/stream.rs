//! The water and air that move past a line: a current that may change with depth, and the wind above.
//!
//! Axes of this module: x and y level, z upward, z = 0 at the surface.

use super::Water;
use super::vector::norm;
use crate::math::pow;
use crate::quantity::{Length, Speed};
use crate::{Error, Result};

/// A velocity by its three parts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Velocity {
    /// Along x.
    pub x: Speed,
    /// Along y.
    pub y: Speed,
    /// Upward.
    pub z: Speed,
}

impl Velocity {
    /// A level velocity.
    pub const fn level(x: Speed, y: Speed) -> Self {
        Self { x, y, z: Speed::ZERO }
    }
    pub(super) fn mps(self) -> [f64; 3] {
        [self.x.mps(), self.y.mps(), self.z.mps()]
    }
    fn times(self, k: f64) -> Self {
        Self { x: self.x * k, y: self.y * k, z: self.z * k }
    }
}

/// What surrounds a line.
///
/// Invariant: the layers are finite, at least one, and rise.
#[derive(Clone, Debug, PartialEq)]
pub struct Stream {
    water: Water,
    /// Heights above the surface (so mostly below zero), rising, and the velocity there.
    layers: Vec<(f64, [f64; 3])>,
    wind: [f64; 3],
}

impl Stream {
    /// The same current at all depths.
    pub fn uniform(water: Water, current: Velocity) -> Self {
        Self { water, layers: vec![(0.0, current.mps())], wind: [0.0; 3] }
    }

    /// A current given at several heights above the surface (below it: negative), linear between them and
    /// constant beyond. Refuses none, and heights that do not rise.
    pub fn layered(water: Water, layers: &[(Length, Velocity)]) -> Result<Self> {
        let layers: Vec<_> = layers.iter().map(|(z, v)| (z.m(), v.mps())).collect();
        let finite = layers.iter().all(|(z, v)| z.is_finite() && v.iter().all(|u| u.is_finite()));
        let rising = layers.windows(2).all(|w| w.first().map(|a| a.0) < w.last().map(|b| b.0));
        if layers.is_empty() || !finite || !rising {
            return Err(Error::new(
                format!("a current of {} layers whose heights do not rise", layers.len()),
                "at least one layer, heights rising towards the surface",
                "order the layers from the bed upward",
            ));
        }
        Ok(Self { water, layers, wind: [0.0; 3] })
    }

    /// A current that slackens towards a bed `depth` below the surface by the one-seventh power law
    /// (recalled; turbulent tidal stream). `surface` is the current at the top.
    pub fn slackening(water: Water, surface: Velocity, depth: Length) -> Result<Self> {
        let layers: Vec<_> = [0.0, 0.005, 0.02, 0.05, 0.1, 0.2, 0.35, 0.55, 0.75, 1.0]
            .iter()
            .map(|&up| (depth * (up - 1.0), surface.times(pow(up, 1.0 / 7.0))))
            .collect();
        Self::layered(water, &layers)
    }

    /// With wind on what is above the surface.
    #[must_use]
    pub fn with_wind(mut self, wind: Velocity) -> Self {
        self.wind = wind.mps();
        self
    }

    /// The whole current made stronger or weaker; the wind stays.
    #[must_use]
    pub fn scaled(mut self, k: f64) -> Self {
        for (_, v) in &mut self.layers {
            for u in v {
                *u *= k;
            }
        }
        self
    }

    /// The speed of a uniform current that runs under still air; nothing for any other.
    pub(super) fn one_speed(&self) -> Option<(Water, f64)> {
        let [(_, u)] = self.layers.as_slice() else { return None };
        let speed = norm(*u);
        (speed > 0.0 && self.wind == [0.0; 3]).then_some((self.water, speed))
    }

    /// Fluid and velocity at a height above the surface, m and m/s.
    pub(super) fn at(&self, z_m: f64) -> (Water, [f64; 3]) {
        if z_m > 0.0 {
            return (Water::AIR, self.wind);
        }
        let mut below: Option<&(f64, [f64; 3])> = None;
        for layer in &self.layers {
            if layer.0 >= z_m {
                let Some(b) = below else { return (self.water, layer.1) };
                let k = (z_m - b.0) / (layer.0 - b.0);
                let [x, y, z] = [0, 1, 2].map(|i| b.1[i] + k * (layer.1[i] - b.1[i]));
                return (self.water, [x, y, z]);
            }
            below = Some(layer);
        }
        (self.water, below.map_or([0.0; 3], |b| b.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_are_joined_and_held_beyond() {
        let v = |y| Velocity::level(Speed::ZERO, Speed::of_mps(y));
        let s = Stream::layered(Water::SEA, &[(Length::of_m(-4.0), v(0.2)), (Length::of_m(0.0), v(0.6))])
            .unwrap();
        let y = |z: f64| s.at(z).1[1];
        assert!(
            (y(-9.0) - 0.2).abs() < 1e-12 && (y(-1.0) - 0.5).abs() < 1e-12 && (y(0.0) - 0.6).abs() < 1e-12
        );
        assert_eq!(s.at(0.1), (Water::AIR, [0.0; 3]));
        assert!(Stream::layered(Water::SEA, &[]).is_err());
        assert!(
            Stream::layered(Water::SEA, &[(Length::ZERO, v(1.0)), (Length::of_m(-1.0), v(1.0))]).is_err()
        );
        assert!(Stream::slackening(Water::SEA, v(1.0), Length::of_m(f64::NAN)).is_err());
    }

    #[test]
    fn the_current_slackens_to_nothing_at_the_bed() {
        let top = Velocity::level(Speed::of_mps(0.7), Speed::ZERO);
        let s = Stream::slackening(Water::SEA, top, Length::of_m(5.0)).unwrap();
        let u = |z: f64| s.at(z).1[0];
        assert_eq!(u(-5.0), 0.0);
        // Half way up 2^(-1/7) of the surface current is left, within what the joined layers allow.
        assert!((u(-2.5) / 0.7 - 0.905_724).abs() < 2e-3, "{}", u(-2.5) / 0.7);
        assert!(u(-4.5) < u(-2.0) && u(-2.0) < u(0.0) && (u(0.0) - 0.7).abs() < 1e-12);
        assert!((s.scaled(2.0).at(0.0).1[0] - 1.4).abs() < 1e-12);
    }
}
