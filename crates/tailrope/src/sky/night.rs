//! How much light a clear night leaves on the beach.
//!
//! Illuminance on level ground in lux, clear sky, no towns: polynomials of the Sun's and the Moon's altitude
//! and the Moon's phase law by Janiczek & DeYoung, *Computer Programs for Sun and Moon Illuminance*, US Naval
//! Observatory Circular 171 (1987). Coefficients recalled; that neighbouring pieces join to 2 % and that the
//! full moon overhead gives 0.27 lux speaks for them. Cloud takes away up to nine tenths, a lit town behind
//! the beach can outshine the moon. Expect a factor of two either way.

use super::clock::Instant;
use super::moon::{light, moon_altitude};
use super::sun::sun_altitude;
use crate::Result;
use crate::math::pow;
use crate::quantity::{Angle, Interval, Place};
use jiff::Timestamp;
use serde::Serialize;

/// A word for the light outside. The bounds are ours: what a person without a lamp can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Brightness {
    /// Below 0.003 lux: starlight; the water's edge cannot be seen.
    Dark,
    /// Below 0.02 lux: shapes of people close by.
    Dim,
    /// Below 0.1 lux: breakers and people are seen, faces are not.
    Moonlit,
    /// Below 3 lux: high full moon or the end of civil twilight.
    BrightMoonOrDusk,
    /// 3 lux and more.
    Day,
}

impl Brightness {
    /// The word for an illuminance in lux.
    pub fn of_lux(lux: f64) -> Self {
        match lux {
            x if x < 0.003 => Self::Dark,
            x if x < 0.02 => Self::Dim,
            x if x < 0.1 => Self::Moonlit,
            x if x < 3.0 => Self::BrightMoonOrDusk,
            _ => Self::Day,
        }
    }

    /// As shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dark => "dark",
            Self::Dim => "dim",
            Self::Moonlit => "moonlit",
            Self::BrightMoonOrDusk => "bright moon or dusk",
            Self::Day => "day",
        }
    }
}

/// Where figures of light come from, and how good they are.
pub const LIGHT_SOURCE: &str = "Janiczek & DeYoung 1987, US Naval Observatory Circular 171, clear sky and no towns: a factor of two either way";

/// What is about as bright as an illuminance in lux. The steps are usual figures, recalled; they are a help to
/// imagination, not a measure.
pub const fn as_bright_as(lux: f64) -> &'static str {
    match lux {
        x if x < 0.0015 => "starlight alone: no edge of the water, no faces",
        x if x < 0.008 => "a thin crescent moon: shapes of people close by",
        x if x < 0.03 => "a low half moon: people and the nearest foam",
        x if x < 0.1 => "a high half moon: breakers are seen, faces are not",
        x if x < 0.4 => "a high full moon: the beach is seen, knots still need a lamp",
        x if x < 3.4 => "the last of civil twilight: a fish's head is seen, hooks need a lamp",
        x if x < 40.0 => "a lit street",
        x if x < 400.0 => "a lit room, just after sunset",
        _ => "daylight",
    }
}

/// Light of the Moon alone on level ground under a clear sky, lux: by its height, its phase and its distance.
pub fn moonlight(place: Place, at: Timestamp) -> Result<f64> {
    let phase = light(Instant::of(at)?);
    Ok(moon_lux(moon_altitude(place, at)?, phase.elongation_deg, phase.distance_km))
}

/// The light at one instant.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SkyLight {
    /// Sun's centre above the horizon, degrees.
    pub sun_altitude_deg: f64,
    /// Moon's centre above the horizon, degrees.
    pub moon_altitude_deg: f64,
    /// Lit share of the Moon, 0 to 1.
    pub moon_illuminated: f64,
    /// Illuminance of level ground under a clear sky, lux.
    pub clear_sky_lux: f64,
    /// The Moon's share of it, lux.
    pub moon_lux: f64,
    /// The word for it.
    pub brightness: Brightness,
}

/// Light at an instant.
pub fn sky_light(place: Place, at: Timestamp) -> Result<SkyLight> {
    let sun = sun_altitude(place, at)?;
    let moon = moon_altitude(place, at)?;
    let phase = light(Instant::of(at)?);
    let moon_lux = moon_lux(moon, phase.elongation_deg, phase.distance_km);
    let lux = sun_lux(sun) + moon_lux;
    Ok(SkyLight {
        sun_altitude_deg: sun.deg(),
        moon_altitude_deg: moon.deg(),
        moon_illuminated: phase.illuminated,
        clear_sky_lux: lux,
        moon_lux,
        brightness: Brightness::of_lux(lux),
    })
}

/// 10 to a cubic in altitude over 90 degrees.
fn decade(altitude_deg: f64, [a, b, c, d]: [f64; 4]) -> f64 {
    let x = altitude_deg / 90.0;
    pow(10.0, a + x * (b + x * (c + x * d)))
}

/// Sun, twilight and, below -18 degrees, the night sky itself.
fn sun_lux(altitude: Angle) -> f64 {
    let h = altitude.deg().max(-18.0);
    let piece = match h {
        h if h >= 20.0 => [3.74, 3.97, -4.07, 1.47],
        h if h >= 5.0 => [3.05, 13.28, -45.98, 64.33],
        h if h >= -0.8 => [2.88, 22.26, -207.64, 1034.30],
        h if h >= -5.0 => [2.88, 21.81, -258.11, -858.36],
        h if h >= -12.0 => [2.70, 12.17, -431.69, -1899.83],
        _ => [13.84, 262.72, 1447.42, 2797.93],
    };
    decade(h, piece)
}

/// Moonlight; nothing from a moon below -0.8 degrees.
fn moon_lux(altitude: Angle, elongation_deg: f64, distance_km: f64) -> f64 {
    let h = altitude.deg();
    let piece = match h {
        h if h >= 20.0 => [-1.95, 4.06, -4.24, 1.56],
        h if h >= 5.0 => [-2.58, 12.58, -42.58, 59.06],
        h if h >= -0.8 => [-2.79, 24.27, -252.95, 1321.29],
        _ => return 0.0,
    };
    let from_full = (180.0 - elongation_deg).abs();
    let phase = -8.68e-3 * from_full - 2.2e-9 * from_full * from_full * from_full * from_full;
    // The circular's constant is for a horizontal parallax of 0.951 degrees; light goes with its square.
    let nearness = 6378.14 / distance_km / 0.951_f64.to_radians();
    decade(h, piece) * pow(10.0, phase) * nearness * nearness
}

/// How dark a stretch is, sampled every ten minutes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Darkness {
    /// Mean clear-sky illuminance, lux.
    pub mean_lux: f64,
    /// Lowest clear-sky illuminance, lux.
    pub darkest_lux: f64,
    /// Share of the stretch with the Sun more than 18 degrees down, 0 to 1.
    pub full_night: f64,
    /// Share of the stretch with the Moon up, 0 to 1.
    pub moon_up: f64,
    /// Share of the stretch below 0.003 lux, 0 to 1.
    pub dark: f64,
    /// Word for the median sample.
    pub brightness: Brightness,
}

/// Darkness of a night (or any stretch). A stretch below ten minutes is judged by its first instant.
pub fn darkness(place: Place, when: Interval) -> Result<Darkness> {
    let mut samples = Vec::new();
    let mut s = 0.0;
    while s < when.seconds() || samples.is_empty() {
        samples.push(sky_light(place, when.after_s(s))?);
        s += 600.0;
    }
    let n = samples.len() as f64;
    let share = |f: &dyn Fn(&SkyLight) -> bool| samples.iter().filter(|l| f(l)).count() as f64 / n;
    let mut lux: Vec<f64> = samples.iter().map(|l| l.clear_sky_lux).collect();
    lux.sort_by(f64::total_cmp);
    Ok(Darkness {
        mean_lux: lux.iter().sum::<f64>() / n,
        darkest_lux: lux.first().copied().unwrap_or_default(),
        full_night: share(&|l| l.sun_altitude_deg < -18.0),
        moon_up: share(&|l| l.moon_altitude_deg > -0.8),
        dark: share(&|l| l.clear_sky_lux < 0.003),
        brightness: Brightness::of_lux(lux.get(lux.len() / 2).copied().unwrap_or_default()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_pieces_join() {
        for at in [20.0, 5.0, -0.8, -5.0, -12.0] {
            let (a, b) = (sun_lux(Angle::of_deg(at + 1e-9)), sun_lux(Angle::of_deg(at - 1e-9)));
            assert!((a / b - 1.0).abs() < 0.015, "sun at {at}: {a} {b}");
        }
        for at in [20.0, 5.0] {
            let lux = |h| moon_lux(Angle::of_deg(h), 180.0, 384400.0);
            assert!((lux(at + 1e-9) / lux(at - 1e-9) - 1.0).abs() < 0.02, "moon at {at}");
        }
        assert!((moon_lux(Angle::of_deg(90.0), 180.0, 384400.0) - 0.27).abs() < 0.01);
    }

    #[test]
    fn a_full_moon_night_is_brighter_than_a_new_moon_night() {
        let padre = Place::of_deg(26.0683, -97.1567).unwrap();
        let night = |from: &str, to: &str| {
            darkness(padre, Interval::new(from.parse().unwrap(), to.parse().unwrap()).unwrap()).unwrap()
        };
        // New 2026-12-09, full 2026-12-24 by the reference list.
        let dark = night("2026-12-09T02:00Z", "2026-12-09T10:00Z");
        let light = night("2026-12-24T02:00Z", "2026-12-24T10:00Z");
        assert_eq!((dark.brightness, dark.full_night, dark.dark), (Brightness::Dark, 1.0, 1.0));
        assert!(light.brightness >= Brightness::BrightMoonOrDusk && light.moon_up == 1.0, "{light:?}");
        assert!(light.mean_lux > 50.0 * dark.mean_lux);
    }

    #[test]
    fn moonlight_goes_with_height_and_phase_and_brighter_is_said_brighter() {
        let padre = Place::of_deg(26.0683, -97.1567).unwrap();
        let at = |t: &str| moonlight(padre, t.parse().unwrap()).unwrap();
        // Full on 2026-12-24: high at local midnight, low at its rise; new on 2026-12-09; down at noon.
        let (high, low) = (at("2026-12-24T06:20Z"), at("2026-12-24T00:30Z"));
        assert!(high > 0.2 && low < 0.5 * high && low > 0.0, "{high} {low}");
        assert!(at("2026-12-10T18:00Z") < 0.002 && at("2026-12-24T18:00Z") == 0.0);
        let said: Vec<&str> =
            [0.0007, 0.005, 0.02, 0.06, 0.27, 2.0, 10.0, 200.0, 9000.0].map(as_bright_as).to_vec();
        let mut once = said.clone();
        once.dedup();
        assert_eq!(once.len(), 9, "{said:?}");
    }

    proptest! {
        #[test]
        fn a_higher_body_gives_more_light(h in -17.9..80.0f64, up in 1.0..9.0f64) {
            prop_assert!(sun_lux(Angle::of_deg(h + up)) > sun_lux(Angle::of_deg(h)));
            if h > -0.8 {
                let lux = |h| moon_lux(Angle::of_deg(h), 150.0, 384400.0);
                prop_assert!(lux(h + up) > lux(h));
            }
        }

        #[test]
        fn a_fuller_moon_gives_more_light(e in 0.0..178.0f64, more in 0.1..2.0f64) {
            let lux = |e| moon_lux(Angle::of_deg(40.0), e, 384400.0);
            prop_assert!(lux(e + more) > lux(e));
            prop_assert!((lux(e) / lux(360.0 - e) - 1.0).abs() < 1e-9);
        }
    }
}
