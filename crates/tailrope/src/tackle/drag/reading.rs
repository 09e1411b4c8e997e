//! What a scale showed.

use super::Preset;
use crate::facts::Known;
use crate::quantity::{Angle, Force, Length, Quantity, Temperature};
use crate::{Error, Result};
use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::borrow::Cow;

/// Where a scale was hooked, or where a drag is meant.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ScalePlace {
    /// On the line off the reel, or with the rod pointed at it: no guides in it.
    #[default]
    Reel,
    /// Beyond the tip of the bent rod: the guides are in it already.
    Tip,
}

impl ScalePlace {
    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Reel => "off the reel",
            Self::Tip => "at the tip",
        }
    }
}

/// What a place of the drag is counted in. Places of two kinds have no common axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Counted {
    /// Travel of a lever.
    Travel,
    /// Clicks from free.
    Clicks,
    /// Turns from free.
    Turns,
}

/// Where lever, star or knob stands: `"strike"`, `"full"`, `"3/4"`, `0.6`, `"60%"`, `"7 clicks"`, `"1.5 turns"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Setting {
    /// The button STRIKE of a lever.
    Strike,
    /// Share of the travel from FREE (0) to FULL (1).
    Lever(f64),
    /// Clicks from free.
    Clicks(f64),
    /// Turns from free, of a star or knob without clicks.
    Turns(f64),
}

impl Setting {
    /// Place on the axis along which readings are interpolated, and what it is counted in.
    pub(super) fn axis(self, strike_at: f64) -> (f64, Counted) {
        match self {
            Self::Strike => (strike_at, Counted::Travel),
            Self::Lever(x) => (x, Counted::Travel),
            Self::Clicks(n) => (n, Counted::Clicks),
            Self::Turns(n) => (n, Counted::Turns),
        }
    }
    /// The setting of a place on an axis.
    pub(super) fn at(counted: Counted, x: f64) -> Self {
        match counted {
            Counted::Travel => Self::Lever(x),
            Counted::Clicks => Self::Clicks(x),
            Counted::Turns => Self::Turns(x),
        }
    }
    /// Whether it names a place of a lever: nothing that a star or knob has.
    pub fn is_of_lever(self) -> bool {
        matches!(self, Self::Strike | Self::Lever(_))
    }
}

impl core::fmt::Display for Setting {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Strike => f.write_str("strike"),
            Self::Lever(x) if *x == 0.0 => f.write_str("free"),
            Self::Lever(x) if *x == 1.0 => f.write_str("full"),
            Self::Lever(x) => write!(f, "{}%", crate::quantity::significant(x * 100.0, 3)),
            Self::Clicks(n) => write!(f, "{} clicks", crate::quantity::significant(*n, 3)),
            Self::Turns(n) => write!(f, "{} turns", crate::quantity::significant(*n, 3)),
        }
    }
}

impl core::str::FromStr for Setting {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let word = text.trim().to_ascii_lowercase();
        let no = || {
            Error::new(
                format!(
                    "`{}` is no place of a lever, star or knob",
                    text.chars().take(40).collect::<String>()
                ),
                "free, strike, full, a fraction (3/4, 60%, 0.6), or clicks or turns from free (7 clicks)",
                "write where it stood",
            )
        };
        let number = |t: &str| t.trim().parse::<f64>().ok().filter(|x| x.is_finite());
        let setting = match word.as_str() {
            "free" => Self::Lever(0.0),
            "strike" => Self::Strike,
            "full" => Self::Lever(1.0),
            w => {
                if let Some(n) = w.strip_suffix("clicks").or_else(|| w.strip_suffix("click")) {
                    Self::Clicks(number(n).ok_or_else(no)?)
                } else if let Some(n) = w.strip_suffix("turns").or_else(|| w.strip_suffix("turn")) {
                    Self::Turns(number(n).ok_or_else(no)?)
                } else if let Some(p) = w.strip_suffix('%') {
                    Self::Lever(number(p).ok_or_else(no)? / 100.0)
                } else if let Some((a, b)) = w.split_once('/') {
                    Self::Lever(number(a).ok_or_else(no)? / number(b).filter(|b| *b > 0.0).ok_or_else(no)?)
                } else {
                    Self::Lever(number(w).ok_or_else(no)?)
                }
            }
        };
        match setting {
            Self::Lever(x) if !(0.0..=1.0).contains(&x) => Err(no()),
            Self::Clicks(n) if !(0.0..=500.0).contains(&n) => Err(no()),
            Self::Turns(n) if !(0.0..=100.0).contains(&n) => Err(no()),
            s => Ok(s),
        }
    }
}

impl Serialize for Setting {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Strike => s.serialize_str("strike"),
            Self::Lever(x) => s.serialize_f64(*x),
            Self::Clicks(n) => s.serialize_str(&format!("{n} clicks")),
            Self::Turns(n) => s.serialize_str(&format!("{n} turns")),
        }
    }
}

impl<'de> Deserialize<'de> for Setting {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Visit;
        impl de::Visitor<'_> for Visit {
            type Value = Setting;
            fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.write_str(
                    "free, strike, full, a fraction (3/4, 60%, 0.6) or a count (\"7 clicks\", \"1.5 turns\")",
                )
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Setting, E> {
                v.parse().map_err(E::custom)
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Setting, E> {
                v.to_string().parse().map_err(E::custom)
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Setting, E> {
                v.to_string().parse().map_err(E::custom)
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Setting, E> {
                v.to_string().parse().map_err(E::custom)
            }
        }
        d.deserialize_any(Visit)
    }
}

impl schemars::JsonSchema for Setting {
    fn schema_name() -> Cow<'static, str> {
        "Setting".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": ["number", "string"], "description": "free, strike, full, 3/4, 60%, 0.6, 7 clicks, or 1.5 turns" })
    }
}

/// One pull on the scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Day (`"2026-06-14"`).
    #[serde(default)]
    #[schemars(with = "Known<String>")]
    pub date: Known<Date>,
    /// Where the lever, star or knob stood.
    pub setting: Setting,
    /// The moving value.
    pub value: Force,
    /// Where the scale was hooked. Without it a reading cannot be used.
    #[serde(default)]
    pub at: Known<ScalePlace>,
    /// The value at which it started to slip.
    #[serde(default)]
    pub start_up: Known<Force>,
    /// Turn of the line over the rod in this pull, if it was not the outfit's usual one.
    #[serde(default)]
    pub bend: Known<Angle>,
    /// Line that was off the spool; unknown counts as a full spool.
    #[serde(default)]
    pub line_out: Known<Length>,
    /// The same told by what was seen: depth of the line below the rim.
    #[serde(default)]
    pub depth: Known<Length>,
    /// Temperature of the air.
    #[serde(default)]
    pub temperature: Known<Temperature>,
    /// Where the preset stood.
    #[serde(default)]
    pub preset: Known<Preset>,
    /// Who pulled.
    #[serde(default)]
    pub who: Known<String>,
    /// Why this reading is kept but not used; empty if it is used.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub doubtful: String,
    /// Whether the reel has been opened since.
    #[serde(default)]
    pub opened_since: Known<bool>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Reading {
    /// A reading with a full spool.
    pub fn new(setting: Setting, value: Force, at: ScalePlace) -> Self {
        Self {
            date: Known::Unknown,
            setting,
            value,
            at: Known::Known(at),
            start_up: Known::Unknown,
            bend: Known::Unknown,
            line_out: Known::Unknown,
            depth: Known::Unknown,
            temperature: Known::Unknown,
            preset: Known::Unknown,
            who: Known::Unknown,
            doubtful: String::new(),
            opened_since: Known::Unknown,
            note: String::new(),
        }
    }

    /// Refuses what no scale shows.
    pub fn check(&self) -> Result<()> {
        self.value.within("reading", Force::of_n(0.1), Force::of_n(2000.0)).map_err(|e| e.within("value"))?;
        if let Known::Known(f) = self.start_up {
            f.within("start-up value", self.value * 0.5, self.value * 5.0)
                .map_err(|e| e.within("start_up"))?;
        }
        if let Known::Known(a) = self.bend {
            a.within("turn of the line", Angle::ZERO, Angle::of_deg(180.0)).map_err(|e| e.within("bend"))?;
        }
        if let Known::Known(l) = self.line_out {
            l.within("line off the spool", Length::ZERO, Length::of_km(5.0))
                .map_err(|e| e.within("line_out"))?;
        }
        if let Known::Known(d) = self.depth {
            d.within("depth of the line below the rim", Length::ZERO, Length::of_mm(150.0))
                .map_err(|e| e.within("depth"))?;
            if !self.line_out.is_unknown() {
                return Err(Error::new(
                    "both line_out and depth are given",
                    "one of them",
                    "leave out the one that was not looked at",
                )
                .within("depth"));
            }
        }
        if let Known::Known(t) = self.temperature {
            t.within("temperature", Temperature::of_c(-40.0), Temperature::of_c(60.0))
                .map_err(|e| e.within("temperature"))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_where_the_lever_stood() {
        for (text, setting) in [
            ("Strike", Setting::Strike),
            ("free", Setting::Lever(0.0)),
            (" 3/4 ", Setting::Lever(0.75)),
            ("60%", Setting::Lever(0.6)),
            ("7 clicks", Setting::Clicks(7.0)),
            ("8clicks", Setting::Clicks(8.0)),
            ("1.5 turns", Setting::Turns(1.5)),
        ] {
            assert_eq!(text.parse::<Setting>().unwrap(), setting, "{text}");
            let back: Setting = serde_json::from_str(&serde_json::to_string(&setting).unwrap()).unwrap();
            assert_eq!(back, setting);
        }
        for text in ["", "140%", "-1 clicks", "101 turns", "1/0", "about half", "nan"] {
            assert!(text.parse::<Setting>().is_err(), "{text}");
        }
    }
}
