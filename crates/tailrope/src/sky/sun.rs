//! The Sun: its altitude, and when it crosses the horizon and the twilights.
//!
//! Positions and crossings by the solar position algorithm (Reda & Andreas 2003, *Solar Energy* 76, 577-589;
//! 0.0003 degrees) as the `solar-positioning` crate carries it. Conventions: centre at -50' for rising and
//! setting (34' refraction, 16' radius), -6, -12 and -18 degrees for the twilights, a level sea horizon.
//! Refraction on the night itself moves a rising or setting by a minute or more.

use super::clock::{Instant, half_turn_deg, refused, turn_deg};
use super::earth::Nutation;
use super::event::{Event, What};
use crate::Result;
use crate::math::{cos, sin};
use crate::quantity::{Angle, Interval, Place, shift};
use jiff::Timestamp;
use serde::Serialize;
use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon as Target, Location, SolarEvents, SolarPositions};

/// A height of the Sun that law and eyes care about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Horizon {
    /// Its upper limb on the sea horizon: sunrise and sunset.
    Sea,
    /// 6 degrees below: faces and gear can still be told apart.
    Civil,
    /// 12 degrees below: the sea horizon goes.
    Nautical,
    /// 18 degrees below: full night.
    Astronomical,
}

impl Horizon {
    /// All four, from the highest Sun to the lowest.
    pub const ALL: [Self; 4] = [Self::Sea, Self::Civil, Self::Nautical, Self::Astronomical];

    /// Altitude of the Sun's centre at the crossing.
    pub fn altitude(self) -> Angle {
        Angle::of_deg(self.target().elevation_angle())
    }

    fn target(self) -> Target {
        match self {
            Self::Sea => Target::SunriseSunset,
            Self::Civil => Target::CivilTwilight,
            Self::Nautical => Target::NauticalTwilight,
            Self::Astronomical => Target::AstronomicalTwilight,
        }
    }

    fn events(self) -> (What, What) {
        match self {
            Self::Sea => (What::Sunrise, What::Sunset),
            Self::Civil => (What::CivilDawn, What::CivilDusk),
            Self::Nautical => (What::NauticalDawn, What::NauticalDusk),
            Self::Astronomical => (What::AstronomicalDawn, What::AstronomicalDusk),
        }
    }
}

fn location(place: Place) -> Location {
    Location { latitude: place.latitude_deg(), longitude: place.longitude_deg() }
}

/// Altitude of the Sun's centre above the level horizon, without refraction.
///
/// ```
/// use tailrope::{quantity::Place, sky::sun_altitude};
/// let padre = Place::of_deg(26.0683, -97.1567)?;
/// let noon = "2026-01-03T18:33:00Z".parse().unwrap();
/// assert!((sun_altitude(padre, noon)?.deg() - 41.1).abs() < 0.1);
/// # Ok::<(), tailrope::Error>(())
/// ```
pub fn sun_altitude(place: Place, at: Timestamp) -> Result<Angle> {
    let at = Instant::of(at)?;
    let julian = JulianDate::new(at.julian_ut(), at.delta_t_s()).map_err(|e| refused(&e))?;
    let sun =
        SolarPositions::new().at_from_julian(julian, location(place), 0.0, None).map_err(|e| refused(&e))?;
    Ok(Angle::of_deg(sun.elevation_angle()))
}

/// Appends the crossings of one horizon in `when` to `events`.
pub(super) fn push_crossings(
    events: &mut Vec<Event>,
    place: Place,
    when: Interval,
    horizon: Horizon,
) -> Result<()> {
    let (dawn, dusk) = horizon.events();
    for (what, rising) in [(dawn, true), (dusk, false)] {
        push_each(events, when, what, |from, to, delta_t| {
            let search = SolarEvents::new();
            if rising {
                search.next_rise_from_julian(from, to, location(place), delta_t, horizon.target())
            } else {
                search.next_set_from_julian(from, to, location(place), delta_t, horizon.target())
            }
        })?;
    }
    Ok(())
}

/// Appends the Sun's passages of the meridian (true noon).
pub(super) fn push_noons(events: &mut Vec<Event>, place: Place, when: Interval) -> Result<()> {
    push_each(events, when, What::SunTransit, |from, to, delta_t| {
        SolarEvents::new().next_transit_from_julian(from, to, place.longitude_deg(), delta_t)
    })
}

fn push_each(
    events: &mut Vec<Event>,
    when: Interval,
    what: What,
    next: impl Fn(f64, f64, f64) -> solar_positioning::Result<Option<f64>>,
) -> Result<()> {
    let start = Instant::of(when.from())?;
    Instant::of(when.to())?;
    // The search leaves out its start and takes in its end; ours is the other way round. One millisecond
    // earlier on both sides makes them agree to the millisecond in which instants are given.
    let (mut from, to) =
        (start.after_s(-0.001).julian_ut(), start.after_s(when.seconds() - 0.001).julian_ut());
    while from < to {
        let Some(found) = next(from, to, start.delta_t_s()).map_err(|e| refused(&e))? else { break };
        let at = shift(when.from(), (found - start.julian_ut()) * 86400.0);
        if when.contains(at) {
            events.push(Event { at, what });
        }
        // Two crossings of one kind lie most of a day apart; two seconds only keep the last from repeating.
        from = found + 2.0 / 86400.0;
    }
    Ok(())
}

/// When the Sun stands above `horizon` within `when`: no stretch in polar night, one whole stretch in
/// polar day, otherwise a stretch for each day.
pub fn sun_above(place: Place, horizon: Horizon, when: Interval) -> Result<Vec<Interval>> {
    let mut events = Vec::new();
    push_crossings(&mut events, place, when, horizon)?;
    events.sort_by_key(|e| e.at);
    let (dawn, _) = horizon.events();
    // The state before the first crossing follows from its kind; without crossings one look is enough.
    let mut since = match events.first() {
        Some(first) => (first.what != dawn).then_some(when.from()),
        None => (sun_altitude(place, when.from())?.deg() >= horizon.altitude().deg()).then_some(when.from()),
    };
    let mut stretches = Vec::new();
    for event in &events {
        match (event.what == dawn, since) {
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

/// Apparent geocentric longitude (degrees) and distance (km) of the Sun: Meeus (1998) chapter 25, 0.01
/// degrees. Only the phase and the light of the Moon stand on it.
pub(super) fn longitude(at: Instant) -> (f64, f64) {
    let t = at.century_tt();
    let mean = 280.46646 + t * (36000.76983 + t * 0.0003032);
    let anomaly_deg = turn_deg(357.52911 + t * (35999.05029 - t * 0.0001537));
    let m = anomaly_deg.to_radians();
    let centre = (1.914602 - t * (0.004817 + t * 0.000014)) * sin(m)
        + (0.019993 - t * 0.000101) * sin(2.0 * m)
        + 0.000289 * sin(3.0 * m);
    let eccentricity = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
    let true_anomaly = (anomaly_deg + centre).to_radians();
    let au = 1.000001018 * (1.0 - eccentricity * eccentricity) / (1.0 + eccentricity * cos(true_anomaly));
    // Aberration: the Sun is seen where it stood eight minutes ago.
    let longitude = mean + centre - 20.4898 / 3600.0 / au + Nutation::at(at).longitude_deg;
    (turn_deg(longitude), au * 149597870.7)
}

/// Angle from the Sun to the Moon along the ecliptic, -180 to 180 degrees, given both longitudes.
pub(super) fn elongation_deg(moon_deg: f64, sun_deg: f64) -> f64 {
    half_turn_deg(moon_deg - sun_deg)
}
