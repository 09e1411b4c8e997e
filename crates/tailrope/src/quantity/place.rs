//! A point on the Earth.

use super::Length;
use crate::math::{asin, cos, sin, sq};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// A position in degrees, north and east positive (WGS 84).
///
/// Refused when not finite, beyond 90 degrees of latitude or 180 degrees of longitude. In files:
/// `place = { latitude_deg = 26.07, longitude_deg = -97.16 }`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(try_from = "Written", into = "Written")]
#[schemars(with = "Written")]
pub struct Place {
    latitude_deg: f64,
    longitude_deg: f64,
}

#[derive(Clone, Copy, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
struct Written {
    latitude_deg: f64,
    longitude_deg: f64,
}

impl TryFrom<Written> for Place {
    type Error = Error;
    fn try_from(w: Written) -> Result<Self> {
        Self::of_deg(w.latitude_deg, w.longitude_deg)
    }
}

impl From<Place> for Written {
    fn from(p: Place) -> Self {
        Self { latitude_deg: p.latitude_deg, longitude_deg: p.longitude_deg }
    }
}

impl Place {
    /// From degrees north and east.
    ///
    /// ```
    /// use tailrope::quantity::Place;
    /// assert!(Place::of_deg(26.07, -97.16).is_ok());
    /// assert!(Place::of_deg(97.16, 26.07).unwrap_err().error.contains("latitude"));
    /// ```
    pub fn of_deg(latitude_deg: f64, longitude_deg: f64) -> Result<Self> {
        let check = |name: &str, value: f64, limit: f64| {
            if value.abs() <= limit {
                return Ok(());
            }
            Err(Error::new(
                format!("the {name} is {value} degrees"),
                format!("-{limit} to {limit} degrees, north and east positive"),
                "check that latitude and longitude are not exchanged and carry the right sign",
            ))
        };
        check("latitude", latitude_deg, 90.0)?;
        check("longitude", longitude_deg, 180.0)?;
        Ok(Self { latitude_deg, longitude_deg })
    }

    /// Degrees north of the equator.
    pub fn latitude_deg(self) -> f64 {
        self.latitude_deg
    }

    /// Degrees east of Greenwich.
    pub fn longitude_deg(self) -> f64 {
        self.longitude_deg
    }

    /// Distance along the surface to `other`, on a sphere of 6371.0 km (within 0.6 %), by the haversine rule.
    pub fn distance(self, other: Self) -> Length {
        let (a, b) = (self.latitude_deg.to_radians(), other.latitude_deg.to_radians());
        let half_turn = (other.longitude_deg - self.longitude_deg).to_radians() / 2.0;
        let h = sq(sin((b - a) / 2.0)) + cos(a) * cos(b) * sq(sin(half_turn));
        Length::of_km(2.0 * 6371.0 * asin(h.sqrt().min(1.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_no_place() {
        for (lat, lon) in [(90.1, 0.0), (0.0, -180.5), (f64::NAN, 0.0), (0.0, f64::INFINITY)] {
            assert!(Place::of_deg(lat, lon).is_err(), "{lat} {lon}");
        }
        let e = toml::from_str::<Place>("latitude_deg = 95\nlongitude_deg = 1").unwrap_err().to_string();
        assert!(e.contains("latitude is 95"), "{e}");
        assert!(toml::from_str::<Place>("latitude_deg = 5.0\nlongitude_deg = 1.0\nname = 'x'").is_err());
    }

    #[test]
    fn reads_back_what_it_writes() {
        let p = Place::of_deg(-33.8547, 151.2258).unwrap();
        let j = serde_json::to_string(&p).unwrap();
        assert_eq!(serde_json::from_str::<Place>(&j).unwrap(), p);
    }

    #[test]
    fn one_degree_of_latitude_is_sixty_nautical_miles() {
        let d = Place::of_deg(10.0, 179.9).unwrap().distance(Place::of_deg(11.0, 179.9).unwrap());
        assert!((d.km() - 111.19).abs() < 0.01, "{}", d.km());
        // Across the date line the short way counts.
        let d = Place::of_deg(0.0, 179.5).unwrap().distance(Place::of_deg(0.0, -179.5).unwrap());
        assert!((d.km() - 111.19).abs() < 0.01, "{}", d.km());
    }
}
