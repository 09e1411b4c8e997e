//! A station's table of datums (NOAA CO-OPS metadata): how high each lies above the station's own zero.

use super::field::M_PER_FT;
use super::told::clip;
use crate::quantity::Length;
use crate::{Error, Result};
use serde_json::Value;

/// Heights of a station's datums above its own zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Datums {
    heights: Vec<(String, Length)>,
}

impl Datums {
    /// Reads the agency's JSON. Refuses another answer, another unit than metres or feet, and heights beyond 100 m.
    pub fn read(name: &str, text: &str) -> Result<Self> {
        let top = super::json(text).map_err(|e| e.within(name))?;
        let refuse = |error: String| {
            Error::new(error, "the agency's datums of a station", "fetch datums.json of the station")
                .within(name)
        };
        let factor = match top.get("units").and_then(Value::as_str) {
            Some("meters") => 1.0,
            Some("feet") => M_PER_FT,
            other => return Err(refuse(format!("its unit is `{}`", clip(other.unwrap_or("not said"))))),
        };
        let list =
            top.get("datums").and_then(Value::as_array).ok_or_else(|| refuse("it has no datums".into()))?;
        let mut heights = Vec::new();
        for entry in list {
            let key = entry.get("name").and_then(Value::as_str).map(clip);
            let value = entry.get("value").and_then(Value::as_f64).map(|v| v * factor);
            match (key, value) {
                // Ranges and inequalities stand in the same list; they are no levels.
                (Some(k), Some(_)) if matches!(k.as_str(), "GT" | "MN" | "DHQ" | "DLQ" | "HWI" | "LWI") => {}
                (Some(k), Some(v)) if v.abs() <= 100.0 => heights.push((k, Length::of_m(v))),
                (Some(_), None) => {}
                _ => return Err(refuse("an entry has no name, or a height beyond 100 m".into())),
            }
        }
        Ok(Self { heights })
    }

    /// How high `datum` lies above `other`; nothing when either is not in the table.
    pub fn above(&self, datum: &str, other: &str) -> Option<Length> {
        let of = |name: &str| self.heights.iter().find(|(n, _)| n == name).map(|(_, h)| *h);
        Some(of(datum)? - of(other)?)
    }

    /// All datums with their heights above `other`, as [`super::Fits`] wants them; none when it is not in the table.
    pub fn all_above(&self, other: &str) -> Vec<(String, Length)> {
        self.heights.iter().filter_map(|(n, _)| Some((n.clone(), self.above(n, other)?))).collect()
    }
}
