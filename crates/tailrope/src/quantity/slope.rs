//! How steep a beach is, as people say it: `1:50`, `2%`, `1.1deg`, `0.02`.

use crate::{Error, Result};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// A slope: rise over run, 0 (level) to 1 (45 degrees).
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Slope(f64);

impl Slope {
    /// From rise over run. Refuses what no beach is.
    pub fn of_rise_over_run(tan: f64) -> Result<Self> {
        if (0.0..=1.0).contains(&tan) {
            return Ok(Self(tan));
        }
        Err(Error::new(
            format!("a slope of {tan} is no beach"),
            "0 to 1 (level to 45 degrees)",
            "write it like 1:50",
        ))
    }
    /// Rise over run.
    pub const fn tan(self) -> f64 {
        self.0
    }
    /// As an angle.
    pub fn angle(self) -> super::Angle {
        super::Angle::of_rad(crate::math::atan(self.0))
    }
    /// As a crew says it: `1 in 50`.
    pub fn words(self) -> String {
        if self.0 == 0.0 { "level".into() } else { format!("1 in {}", super::significant(1.0 / self.0, 2)) }
    }
}

impl core::str::FromStr for Slope {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let t = text.trim();
        let number = |s: &str| s.trim().parse::<f64>().ok().filter(|x| x.is_finite());
        let tan = if let Some((rise, run)) = t.split_once(':').or_else(|| t.split_once(" in ")) {
            match (number(rise), number(run)) {
                (Some(a), Some(b)) if b > 0.0 => Some(a / b),
                _ => None,
            }
        } else if let Some(p) = t.strip_suffix('%') {
            number(p).map(|p| p / 100.0)
        } else if let Some(tan) = number(t) {
            Some(tan)
        } else {
            t.parse::<super::Angle>()
                .ok()
                .filter(|a| (0.0..=60.0).contains(&a.deg()))
                .map(|a| crate::math::tan(a.rad()))
        };
        let shown: String = t.chars().take(20).collect();
        match tan {
            Some(tan) => Self::of_rise_over_run(tan),
            None => Err(Error::new(
                format!("`{shown}` is not a slope"),
                "1:50, 1 in 50, 2%, 1.1deg or 0.02",
                "write it like 1:50",
            )),
        }
    }
}

impl Serialize for Slope {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.0.to_string())
    }
}

impl<'de> Deserialize<'de> for Slope {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        String::deserialize(d)?.parse().map_err(de::Error::custom)
    }
}

impl schemars::JsonSchema for Slope {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Slope".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "how steep the beach is: 1:50, 2%, 1.1deg" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_way_of_saying_it() {
        for t in ["1:50", "1 in 50", "2%", "0.02", " 2 % "] {
            assert_eq!(t.parse::<Slope>().unwrap().tan(), 0.02, "{t}");
        }
        assert!(("10deg".parse::<Slope>().unwrap().tan() - 0.17632698).abs() < 1e-8);
        assert_eq!("1:50".parse::<Slope>().unwrap().words(), "1 in 50");
        for t in ["steep", "1:0", "-1:50", "3", "NaN", "1:x", "80deg"] {
            assert!(t.parse::<Slope>().is_err(), "{t}");
        }
    }
}
