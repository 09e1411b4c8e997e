//! A point on the Earth.

use super::Length;
use crate::math::{asin, atan2, cos, sin, sq};
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

    /// From two words, north first: degrees with a sign, or without one and with N, S, E or W behind.
    fn of_words(words: &[&str]) -> Option<Result<Self>> {
        let degrees = |word: &str, plus: char, minus: char| -> Option<f64> {
            let last = word.chars().last()?.to_ascii_uppercase();
            let (number, sign) = match last {
                c if c == plus => (word.get(..word.len() - 1)?, 1.0),
                c if c == minus => (word.get(..word.len() - 1)?, -1.0),
                _ => return word.parse().ok(),
            };
            let number: f64 = number.trim_end_matches('°').trim().parse().ok()?;
            // `-80 W` says west twice, or means east: nobody can tell.
            (number >= 0.0).then_some(number * sign)
        };
        match words {
            [north, east] => Some(Self::of_deg(degrees(north, 'N', 'S')?, degrees(east, 'E', 'W')?)),
            _ => None,
        }
    }

    /// Degrees north of the equator.
    pub fn latitude_deg(self) -> f64 {
        self.latitude_deg
    }

    /// Degrees east of Greenwich.
    pub fn longitude_deg(self) -> f64 {
        self.longitude_deg
    }

    /// Length of the shortest line along the WGS 84 ellipsoid to `other`: Vincenty's inverse solution (Survey Review
    /// 23, 1975, 88-93; recalled, checked against an independent implementation of Karney's method to 0.1 mm). Where
    /// it does not settle, within half a degree of the point opposite, the sphere's distance, within 0.6 %.
    pub fn distance(self, other: Self) -> Length {
        self.on_ellipsoid(other).unwrap_or_else(|| self.on_sphere(other))
    }

    fn on_ellipsoid(self, other: Self) -> Option<Length> {
        const A_M: f64 = 6_378_137.0;
        const F: f64 = 1.0 / 298.257_223_563;
        const B_M: f64 = A_M * (1.0 - F);
        let reduced = |deg: f64| atan2((1.0 - F) * sin(deg.to_radians()), cos(deg.to_radians()));
        let (u1, u2) = (reduced(self.latitude_deg), reduced(other.latitude_deg));
        let (sin1, cos1, sin2, cos2) = (sin(u1), cos(u1), sin(u2), cos(u2));
        let east = (other.longitude_deg - self.longitude_deg).to_radians();
        let mut lambda = east;
        for _ in 0..60 {
            let (sin_l, cos_l) = (sin(lambda), cos(lambda));
            let sin_s = (sq(cos2 * sin_l) + sq(cos1 * sin2 - sin1 * cos2 * cos_l)).sqrt();
            if sin_s == 0.0 {
                return Some(Length::ZERO);
            }
            let cos_s = sin1 * sin2 + cos1 * cos2 * cos_l;
            let sigma = atan2(sin_s, cos_s);
            let sin_alpha = cos1 * cos2 * sin_l / sin_s;
            let cos2_alpha = 1.0 - sq(sin_alpha);
            // Along the equator there is no such angle, and its factor is nought.
            let cos_2m = if cos2_alpha > 0.0 { cos_s - 2.0 * sin1 * sin2 / cos2_alpha } else { 0.0 };
            let c = F / 16.0 * cos2_alpha * (4.0 + F * (4.0 - 3.0 * cos2_alpha));
            let last = lambda;
            lambda = east
                + (1.0 - c)
                    * F
                    * sin_alpha
                    * (sigma + c * sin_s * (cos_2m + c * cos_s * (2.0 * sq(cos_2m) - 1.0)));
            if (lambda - last).abs() < 1e-12 {
                let k = cos2_alpha * (sq(A_M) - sq(B_M)) / sq(B_M);
                let a = 1.0 + k / 16384.0 * (4096.0 + k * (-768.0 + k * (320.0 - 175.0 * k)));
                let b = k / 1024.0 * (256.0 + k * (-128.0 + k * (74.0 - 47.0 * k)));
                let d = b
                    * sin_s
                    * (cos_2m
                        + b / 4.0
                            * (cos_s * (2.0 * sq(cos_2m) - 1.0)
                                - b / 6.0 * cos_2m * (4.0 * sq(sin_s) - 3.0) * (4.0 * sq(cos_2m) - 3.0)));
                return Some(Length::of_m(B_M * a * (sigma - d)));
            }
        }
        None
    }

    /// On a sphere of 6371.0 km, by the haversine rule: within 0.6 % of the ellipsoid's.
    pub(crate) fn on_sphere(self, other: Self) -> Length {
        let (a, b) = (self.latitude_deg.to_radians(), other.latitude_deg.to_radians());
        let half_turn = (other.longitude_deg - self.longitude_deg).to_radians() / 2.0;
        let h = sq(sin((b - a) / 2.0)) + cos(a) * cos(b) * sq(sin(half_turn));
        Length::of_km(2.0 * 6371.0 * asin(h.sqrt().min(1.0)))
    }
}

/// `28.32,-80.60`, `28.32 -80.60`, `28.32N 80.60W`: degrees north, then degrees east.
impl core::str::FromStr for Place {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let words: Vec<&str> = text.split([',', ' ', '\t']).filter(|w| !w.is_empty()).collect();
        Self::of_words(&words).unwrap_or_else(|| {
            Err(Error::new(
                format!("`{}` is not a place", text.chars().take(40).collect::<String>()),
                "degrees north, a comma or a blank, degrees east; south and west negative, or N, S, E, W behind the number",
                "write it like 26.07,-97.16 or 26.07N 97.16W",
            ))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_place_is_written_in_several_ways() {
        let want = at(28.32, -80.60);
        for text in ["28.32,-80.60", "28.32 -80.60", "28.32, -80.60", "28.32N 80.60W", "28.32n,80.60w"] {
            assert_eq!(text.parse::<Place>().unwrap(), want, "{text}");
        }
        assert_eq!("22.94S 14.50E".parse::<Place>().unwrap(), at(-22.94, 14.5));
        for bad in ["", "28.32", "80.60W 28.32N", "28.32N -80.60W", "a b", "1 2 3", "28.32E 80.60W", "°N 1"]
        {
            assert!(bad.parse::<Place>().is_err(), "{bad}");
        }
        assert!("128.32N 80.60W".parse::<Place>().unwrap_err().error.contains("latitude"));
    }

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

    fn at(lat: f64, lon: f64) -> Place {
        Place::of_deg(lat, lon).unwrap()
    }

    #[test]
    fn distances_are_those_along_the_ellipsoid() {
        // By geographiclib 2 (Karney's method), m.
        for (a, b, m) in [
            ((27.58, -97.22), (27.5805, -97.2167), 330.520_317_1),
            ((27.58, -97.22), (26.0683, -97.1567), 167_615.713_904_96),
            ((-22.95, 14.5), (-33.8547, 151.2258), 12_234_430.733_537),
            ((0.0, 0.0), (0.0, 1.0), 111_319.490_793_27),
            ((0.0, 0.0), (1.0, 0.0), 110_574.388_557_8),
            // Across the date line the short way counts.
            ((10.0, 179.9), (11.0, -179.9), 112_757.028_537_17),
            ((69.65, 18.96), (-54.8, -68.3), 15_450_153.635_310),
            ((90.0, 0.0), (45.0, 10.0), 5_017_021.351_335),
        ] {
            let ours = at(a.0, a.1).distance(at(b.0, b.1)).m();
            assert!((ours - m).abs() < 1e-3, "{a:?} {b:?} {ours} {m}");
        }
        assert_eq!(at(5.0, 6.0).distance(at(5.0, 6.0)).m(), 0.0);
        // Nearly opposite points.
        for (a, b, m) in [((0.0, 0.0), (0.5, 179.5), 19_936_288.6), ((0.0, 0.0), (0.0, 180.0), 20_003_931.5)]
        {
            let ours = at(a.0, a.1).distance(at(b.0, b.1)).m();
            assert!((ours / m - 1.0).abs() < 0.006, "{a:?} {b:?} {ours} {m}");
        }
    }

    proptest::proptest! {
        #[test]
        fn distance_is_even_and_near_the_sphere_s(
            (a, b) in (-90.0..90.0f64, -180.0..180.0f64), (c, d) in (-90.0..90.0f64, -180.0..180.0f64),
        ) {
            let (p, q) = (at(a, b), at(c, d));
            let there = p.distance(q).m();
            proptest::prop_assert!((there - q.distance(p).m()).abs() < 1e-3);
            let sphere = p.on_sphere(q).m();
            proptest::prop_assert!((there - sphere).abs() <= 0.006 * sphere + 1e-6, "{there} {sphere}");
        }
    }
}
