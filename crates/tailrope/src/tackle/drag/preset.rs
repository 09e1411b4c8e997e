//! Where the preset of a lever drag stands.
//!
//! The preset moves the starting point of the cam, and so changes what every place of the lever gives (S21): a
//! reading counts for the preset at which it was taken and for no other. It is turned only with the lever in FREE.

use crate::{Error, Result};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;

/// A preset by count, from where it is backed off all the way: `"2 turns"`, `"9 clicks"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Preset {
    /// Turns of the knob, 0 to 100.
    Turns(f64),
    /// Clicks, 0 to 500.
    Clicks(f64),
}

impl core::fmt::Display for Preset {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let (n, word) = match self {
            Self::Turns(n) => (*n, "turn"),
            Self::Clicks(n) => (*n, "click"),
        };
        let many = if n == 1.0 { "" } else { "s" };
        write!(f, "{} {word}{many}", crate::quantity::significant(n, 3))
    }
}

impl core::str::FromStr for Preset {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let word = text.trim().to_ascii_lowercase();
        let number = |end: &str| {
            let n = word.strip_suffix(end)?.trim().parse::<f64>().ok();
            n.filter(|n| n.is_finite() && *n >= 0.0)
        };
        let turns = number("turns").or_else(|| number("turn")).filter(|n| *n <= 100.0).map(Self::Turns);
        let clicks = || number("clicks").or_else(|| number("click")).filter(|n| *n <= 500.0);
        turns.or_else(|| clicks().map(Self::Clicks)).ok_or_else(|| {
            Error::new(
                format!("`{}` is no place of a preset", text.chars().take(40).collect::<String>()),
                "turns (2 turns) or clicks (9 clicks) from where it is backed off all the way",
                "with the lever in FREE back it off and count how far it is turned in",
            )
        })
    }
}

impl Serialize for Preset {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Turns(n) => s.serialize_str(&format!("{n} turns")),
            Self::Clicks(n) => s.serialize_str(&format!("{n} clicks")),
        }
    }
}

impl<'de> Deserialize<'de> for Preset {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text: Cow<'de, str> = Cow::deserialize(d)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

impl schemars::JsonSchema for Preset {
    fn schema_name() -> Cow<'static, str> {
        "Preset".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "turns or clicks from backed off: 2 turns, 9 clicks" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_turns_and_clicks_and_writes_them_back() {
        for (text, preset, shown) in [
            ("2 turns", Preset::Turns(2.0), "2 turns"),
            (" 1.5TURNS", Preset::Turns(1.5), "1.5 turns"),
            ("1 turn", Preset::Turns(1.0), "1 turn"),
            ("9 clicks", Preset::Clicks(9.0), "9 clicks"),
        ] {
            assert_eq!(text.parse::<Preset>().unwrap(), preset);
            assert_eq!(preset.to_string(), shown);
            let back: Preset = serde_json::from_str(&serde_json::to_string(&preset).unwrap()).unwrap();
            assert_eq!(back, preset);
        }
        for text in ["", "2", "-1 turns", "nan turns", "101 turns", "a few clicks"] {
            assert!(text.parse::<Preset>().unwrap_err().remedy.contains("FREE"), "{text}");
        }
    }
}
