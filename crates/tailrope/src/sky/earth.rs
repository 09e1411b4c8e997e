//! The turning, nodding, flattened Earth under the observer.
//!
//! Sources: Meeus, *Astronomical Algorithms* (1998): sidereal time eq. 12.4, nutation chapter 22 (four main
//! terms, 0.5" in longitude, 0.1" in obliquity), the flattened Earth chapter 11 (IAU 1976: a = 6378.14 km,
//! f = 1/298.257).

use super::clock::{Instant, turn_deg};
use crate::math::{asin, atan, cos, sin, sq, tan};
use crate::quantity::Place;

/// Equatorial radius of the Earth, km.
const RADIUS_KM: f64 = 6378.14;
/// Polar over equatorial radius.
const POLAR: f64 = 1.0 - 1.0 / 298.257;

/// Nodding of the Earth's axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Nutation {
    /// In longitude, degrees.
    pub longitude_deg: f64,
    /// True obliquity of the ecliptic, degrees.
    pub obliquity_deg: f64,
}

impl Nutation {
    /// At an instant.
    pub fn at(at: Instant) -> Self {
        let t = at.century_tt();
        let rad = |degrees: f64| turn_deg(degrees).to_radians();
        let node = rad(125.04452 - 1934.136261 * t);
        let sun = rad(280.4665 + 36000.7698 * t);
        let moon = rad(218.3165 + 481267.8813 * t);
        let longitude =
            -17.2 * sin(node) - 1.32 * sin(2.0 * sun) - 0.23 * sin(2.0 * moon) + 0.21 * sin(2.0 * node);
        let obliquity =
            9.2 * cos(node) + 0.57 * cos(2.0 * sun) + 0.1 * cos(2.0 * moon) - 0.09 * cos(2.0 * node);
        let mean = 23.4392911 - t * (46.815 + t * (0.00059 - t * 0.001813)) / 3600.0;
        Self { longitude_deg: longitude / 3600.0, obliquity_deg: mean + obliquity / 3600.0 }
    }
}

/// Apparent sidereal time at Greenwich, degrees.
fn sidereal_deg(at: Instant) -> f64 {
    let t = at.days_ut() / 36525.0;
    let nutation = Nutation::at(at);
    turn_deg(
        280.46061837
            + 360.98564736629 * at.days_ut()
            + t * t * (0.000387933 - t / 38710000.0)
            + nutation.longitude_deg * cos(nutation.obliquity_deg.to_radians()),
    )
}

/// A body as seen from a place at sea level, without refraction.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    /// Altitude of its centre, degrees.
    pub altitude_deg: f64,
    /// Distance from the observer, km.
    pub distance_km: f64,
}

/// Local hour angle (west of the meridian, degrees, 0 to 360) of a right ascension in radians.
pub(super) fn hour_angle_deg(at: Instant, place: Place, right_ascension: f64) -> f64 {
    turn_deg(sidereal_deg(at) + place.longitude_deg() - right_ascension.to_degrees())
}

/// Where a body of the given geocentric place stands for an observer: parallax taken as a difference of vectors.
pub(super) fn seen(
    at: Instant,
    place: Place,
    right_ascension: f64,
    declination: f64,
    distance_km: f64,
) -> Seen {
    let h = hour_angle_deg(at, place, right_ascension).to_radians();
    let latitude = place.latitude_deg().to_radians();
    let reduced = atan(POLAR * tan(latitude));
    // Axes: meridian towards the equator, west, pole.
    let body = [
        distance_km * cos(declination) * cos(h),
        distance_km * cos(declination) * sin(h),
        distance_km * sin(declination),
    ];
    let eye = [RADIUS_KM * cos(reduced), 0.0, RADIUS_KM * POLAR * sin(reduced)];
    let [x, y, z] = [body[0] - eye[0], body[1] - eye[1], body[2] - eye[2]];
    let distance = (sq(x) + sq(y) + sq(z)).sqrt();
    let up = (x * cos(latitude) + z * sin(latitude)) / distance;
    Seen { altitude_deg: asin(up.clamp(-1.0, 1.0)).to_degrees(), distance_km: distance }
}
