//! Dates and clocks of an outing file: `"2026-10-17"`, `"18:30"`, quoted or bare TOML.

use jiff::civil::{Date, DateTime, Time};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Reads what stands in quotes, or a bare TOML date or time, as text.
fn text<'de, D: Deserializer<'de>>(d: D, expecting: &'static str) -> Result<String, D::Error> {
    struct Visit(&'static str);
    impl<'de> de::Visitor<'de> for Visit {
        type Value = String;
        fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
            f.write_str(self.0)
        }
        fn visit_str<E: de::Error>(self, v: &str) -> Result<String, E> {
            Ok(v.trim().to_owned())
        }
        // A bare TOML date reaches us as a map with one private key.
        fn visit_map<A: de::MapAccess<'de>>(self, mut map: A) -> Result<String, A::Error> {
            match map.next_entry::<String, String>()? {
                Some((key, value)) if key.contains("datetime") => Ok(value),
                _ => Err(de::Error::custom(format!("a table stands here; allowed: {}", self.0))),
            }
        }
    }
    d.deserialize_any(Visit(expecting))
}

macro_rules! when {
    ($(#[$doc:meta])* $name:ident, $inner:ty, $what:literal, $example:literal, $format:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(pub $inner);

        impl core::str::FromStr for $name {
            type Err = crate::Error;
            fn from_str(t: &str) -> crate::Result<Self> {
                t.trim().parse::<$inner>().map(Self).map_err(|_| {
                    let shown: String = t.chars().take(30).collect();
                    crate::Error::new(format!("`{shown}` is not {}", $what), $example, concat!("write it like ", $example))
                })
            }
        }
        impl core::fmt::Display for $name {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                write!(f, "{}", self.0.strftime($format))
            }
        }
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.serialize_str(&self.to_string())
            }
        }
        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
                text(d, $example)?.parse().map_err(de::Error::custom)
            }
        }
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> { stringify!($name).into() }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "description": concat!($what, ", like ", $example) })
            }
        }
    };
}

when!(
    /// A local calendar day.
    Day, Date, "a day", "2026-10-17", "%Y-%m-%d"
);
when!(
    /// A local clock time.
    Clock, Time, "a clock time", "18:30", "%H:%M"
);
when!(
    /// A local day with its clock time.
    Moment, DateTime, "a day with its clock time", "2026-10-17T18:30", "%Y-%m-%dT%H:%M"
);

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    struct T {
        day: Day,
        clock: Clock,
        at: Moment,
    }

    #[test]
    fn quoted_and_bare_are_the_same() {
        let quoted: T = toml::from_str("day='2026-10-17'\nclock='18:30'\nat='2026-10-17T18:30'").unwrap();
        let bare: T = toml::from_str("day=2026-10-17\nclock=18:30:00\nat=2026-10-17T18:30:00").unwrap();
        assert_eq!(quoted, bare);
        let json = serde_json::to_string(&quoted).unwrap();
        assert_eq!(json, r#"{"day":"2026-10-17","clock":"18:30","at":"2026-10-17T18:30"}"#);
        assert_eq!(serde_json::from_str::<T>(&json).unwrap(), quoted);
        let e = toml::from_str::<T>("day='17.10.2026'\nclock='18:30'\nat='2026-10-17T18:30'").unwrap_err();
        assert!(e.message().contains("write it like 2026-10-17"), "{e}");
        assert!(toml::from_str::<T>("day={a='b'}").is_err());
        assert!("2026-02-30".parse::<Day>().is_err());
        assert!("25:00".parse::<Clock>().is_err());
    }
}
