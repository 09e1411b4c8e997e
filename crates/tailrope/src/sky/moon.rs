//! The Moon: altitude, phase, light, risings and passages.
//!
//! Position by [`super::lunar`]; parallax on the flattened Earth. Rising and setting: upper limb of the Moon's
//! true radius (1737.4 km at its distance from the observer) with 34' of refraction on a level sea horizon.

use super::clock::{Instant, turn_deg};
use super::earth::{hour_angle_deg, seen};
use super::event::{Event, What};
use super::lunar::apparent;
use super::sun;
use crate::Result;
use crate::math::{acos, asin, atan2, cos, sin};
use crate::quantity::{Angle, Interval, Place, shift};
use crate::sea::root::crossings;
use jiff::Timestamp;
use serde::Serialize;

/// Radius of the Moon, km.
const RADIUS_KM: f64 = 1737.4;
/// Refraction at the horizon, degrees.
const REFRACTION_DEG: f64 = 34.0 / 60.0;
/// The Moon's altitude changes by a degree in four minutes at most; ten keep every arc in several samples.
const STEP_S: f64 = 600.0;
/// Instants are given to the millisecond; the theory is good to a second.
const TOLERANCE_S: f64 = 0.01;

/// Altitude of the Moon's centre above the level horizon, with parallax, without refraction.
pub fn moon_altitude(place: Place, at: Timestamp) -> Result<Angle> {
    Ok(Angle::of_deg(altitude(Instant::of(at)?, place).0))
}

/// Altitude of the centre (degrees) and that of the upper limb, refracted at the horizon.
fn altitude(at: Instant, place: Place) -> (f64, f64) {
    let m = apparent(at);
    let s = seen(at, place, m.right_ascension, m.declination, m.distance_km);
    let radius_deg = asin((RADIUS_KM / s.distance_km).clamp(0.0, 1.0)).to_degrees();
    (s.altitude_deg, s.altitude_deg + radius_deg + REFRACTION_DEG)
}

/// How the Moon looks at an instant, from anywhere on Earth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MoonLight {
    /// Angle from the Sun along the ecliptic, 0 to 360 degrees: 0 new, 90 first quarter, 180 full.
    pub elongation_deg: f64,
    /// Share of the disc that is lit, 0 to 1.
    pub illuminated: f64,
    /// Distance of the centres of Earth and Moon, km.
    pub distance_km: f64,
}

/// Phase and lit share of the Moon (Meeus 1998, chapter 48). The lit share is good to 0.001, the angle to 0.02
/// degrees.
pub fn moon_light(at: Timestamp) -> Result<MoonLight> {
    Ok(light(Instant::of(at)?))
}

pub(super) fn light(at: Instant) -> MoonLight {
    let m = apparent(at);
    let (sun_deg, sun_km) = sun::longitude(at);
    let apart = acos(
        (cos(m.latitude_deg.to_radians()) * cos((m.longitude_deg - sun_deg).to_radians())).clamp(-1.0, 1.0),
    );
    let phase_angle = atan2(sun_km * sin(apart), m.distance_km - sun_km * cos(apart));
    MoonLight {
        elongation_deg: turn_deg(m.longitude_deg - sun_deg),
        illuminated: f64::midpoint(1.0, cos(phase_angle)),
        distance_km: m.distance_km,
    }
}

/// Appends risings and settings of the Moon in `when`.
pub(super) fn push_risings(events: &mut Vec<Event>, place: Place, when: Interval) -> Result<()> {
    let start = Instant::of(when.from())?;
    Instant::of(when.to())?;
    let found = crossings(|s| altitude(start.after_s(s), place).1, 0.0, when.seconds(), STEP_S, TOLERANCE_S);
    events.extend(found.into_iter().map(|c| Event {
        at: shift(when.from(), c.at_s),
        what: if c.rising { What::Moonrise } else { What::Moonset },
    }));
    Ok(())
}

/// Appends the Moon's passages of the meridian, overhead and underfoot.
pub(super) fn push_passages(events: &mut Vec<Event>, place: Place, when: Interval) -> Result<()> {
    let start = Instant::of(when.from())?;
    Instant::of(when.to())?;
    let hour_angle = |s: f64| {
        let at = start.after_s(s);
        hour_angle_deg(at, place, apparent(at).right_ascension)
    };
    // The sine of the hour angle passes zero upwards overhead and downwards underfoot, without a jump.
    let found = crossings(|s| sin(hour_angle(s).to_radians()), 0.0, when.seconds(), STEP_S, TOLERANCE_S);
    events.extend(found.into_iter().map(|c| Event {
        at: shift(when.from(), c.at_s),
        what: if c.rising { What::MoonTransit } else { What::MoonLowerTransit },
    }));
    Ok(())
}

/// When the Moon's upper limb stands above the sea horizon within `when`.
pub fn moon_above(place: Place, when: Interval) -> Result<Vec<Interval>> {
    let mut events = Vec::new();
    push_risings(&mut events, place, when)?;
    let up_at_start = altitude(Instant::of(when.from())?, place).1 >= 0.0;
    let mut since = match events.first() {
        Some(first) => (first.what == What::Moonset).then_some(when.from()),
        None => up_at_start.then_some(when.from()),
    };
    let mut stretches = Vec::new();
    for event in &events {
        match (event.what == What::Moonrise, since) {
            (true, None) => since = Some(event.at),
            (false, Some(from)) => {
                stretches.push(Interval::new(from, event.at)?);
                since = None;
            }
            _ => {}
        }
    }
    if let Some(from) = since
        && from < when.to()
    {
        stretches.push(Interval::new(from, when.to())?);
    }
    Ok(stretches)
}
