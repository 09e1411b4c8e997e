//! The drag that the crew wants.

use super::{Preset, ScalePlace};
use crate::facts::Known;
use crate::quantity::{Force, Quantity};
use crate::{Error, Result};
use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::borrow::Cow;

/// Drag at strike: a force (`"24lbf"`), or a share of the fight's (`0.9`, `"90%"`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShareOrForce {
    /// Share of the drag in the fight.
    Share(f64),
    /// Force.
    Force(Force),
}

impl ShareOrForce {
    /// The force that it means beside `fight`.
    pub fn of(self, fight: Force) -> Force {
        match self {
            Self::Share(s) => fight * s,
            Self::Force(f) => f,
        }
    }

    fn parse(text: &str) -> Result<Self> {
        match text.trim().strip_suffix('%') {
            Some(percent) => match percent.trim().parse::<f64>() {
                Ok(p) => Ok(Self::Share(p / 100.0)),
                Err(_) => Err(Error::new(
                    format!("`{text}` is no share"),
                    "a percentage (90%), a share (0.9) or a force (24lbf)",
                    "write it like 90%",
                )),
            },
            None => Ok(Self::Force(text.parse()?)),
        }
    }
}

impl Serialize for ShareOrForce {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Share(x) => s.serialize_f64(*x),
            Self::Force(f) => f.serialize(s),
        }
    }
}

impl<'de> Deserialize<'de> for ShareOrForce {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Visit;
        impl de::Visitor<'_> for Visit {
            type Value = ShareOrForce;
            fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.write_str("a share (0.9, \"90%\") or a force (\"24lbf\")")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<ShareOrForce, E> {
                ShareOrForce::parse(v).map_err(E::custom)
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<ShareOrForce, E> {
                Ok(ShareOrForce::Share(v))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<ShareOrForce, E> {
                Ok(ShareOrForce::Share(v as f64))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<ShareOrForce, E> {
                Ok(ShareOrForce::Share(v as f64))
            }
        }
        d.deserialize_any(Visit)
    }
}

impl schemars::JsonSchema for ShareOrForce {
    fn schema_name() -> Cow<'static, str> {
        "ShareOrForce".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": ["number", "string"], "description": "share of the fight's drag, or a force with its unit" })
    }
}

/// Drag that the crew wants. Forces are where [`DragPlan::at`] says, with a full spool.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DragPlan {
    /// In the fight.
    #[serde(default)]
    pub fight: Known<Force>,
    /// When the fish takes.
    #[serde(default, alias = "strike_share")]
    pub strike: Known<ShareOrForce>,
    /// While the bait lies out.
    #[serde(default)]
    pub soak: Known<Force>,
    /// Where these are meant: off the reel (default) or beyond the tip.
    #[serde(default)]
    pub at: ScalePlace,
    /// Where the preset stands now. Readings taken at another are not used.
    #[serde(default)]
    pub preset: Known<Preset>,
    /// Day on which the preset was last turned. Older readings are not used, unless they were taken at the preset that
    /// stands now.
    #[serde(default)]
    #[schemars(with = "Known<String>")]
    pub preset_turned: Known<Date>,
}

impl DragPlan {
    /// Refuses drags that no reel gives.
    pub fn check(&self) -> Result<()> {
        for (field, f) in [("fight", self.fight), ("soak", self.soak)] {
            if let Known::Known(f) = f {
                f.within(&format!("drag in {field}"), Force::ZERO, Force::of_n(2000.0))
                    .map_err(|e| e.within(field))?;
            }
        }
        match self.strike {
            Known::Known(ShareOrForce::Share(s)) if !(0.05..=1.5).contains(&s) => Err(Error::new(
                format!("strike at {s} of the fight's drag"),
                "0.05 to 1.5",
                "write a share such as 0.9, or a force such as 24lbf",
            )
            .within("strike")),
            Known::Known(ShareOrForce::Force(f)) => {
                f.within("drag at strike", Force::ZERO, Force::of_n(2000.0))
                    .map_err(|e| e.within("strike"))?;
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// Drag at strike as a force, if it and what it hangs on are known.
    pub fn strike_force(&self) -> Known<Force> {
        match (self.strike, self.fight) {
            (Known::Known(ShareOrForce::Force(f)), _) => Known::Known(f),
            (Known::Known(s), Known::Known(fight)) => Known::Known(s.of(fight)),
            _ => Known::Unknown,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strike_is_a_share_or_a_force() {
        let read = |t: &str| toml::from_str::<DragPlan>(t).unwrap();
        let p = read("fight = '28lbf'\nstrike = '90%'\n");
        assert!((p.strike_force().get().unwrap().lbf() - 25.2).abs() < 1e-9);
        assert!((read("strike = '24lbf'").strike_force().get().unwrap().lbf() - 24.0).abs() < 1e-9);
        assert!(read("strike = 0.9").strike_force().is_unknown());
        assert_eq!(read("strike = 9").check().unwrap_err().place, "strike");
        assert_eq!(read("fight = '-3lbf'").check().unwrap_err().place, "fight");
        assert!(toml::from_str::<DragPlan>("strike = 'hard'").is_err());
    }
}
