//! A value that may be unknown: a legal answer everywhere, that leads to a question and never to a guess.

use serde::de::{self, IntoDeserializer, value};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// What the crew said: a value, or that it does not know.
///
/// In files an absent key (with `#[serde(default)]`) and the word `"unknown"` mean the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Known<T> {
    /// The crew gave it.
    Known(T),
    /// The crew does not know, or did not say.
    #[default]
    Unknown,
}

impl<T> Known<T> {
    /// The value, if known.
    pub fn get(self) -> Option<T> {
        match self {
            Self::Known(v) => Some(v),
            Self::Unknown => None,
        }
    }
    /// The value by reference, if known.
    pub fn as_ref(&self) -> Option<&T> {
        match self {
            Self::Known(v) => Some(v),
            Self::Unknown => None,
        }
    }
    /// Whether nothing is known.
    pub fn is_unknown(&self) -> bool {
        matches!(self, Self::Unknown)
    }
}

impl<T> From<Option<T>> for Known<T> {
    fn from(o: Option<T>) -> Self {
        o.map_or(Self::Unknown, Self::Known)
    }
}

impl<T: Serialize> Serialize for Known<T> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Known(v) => v.serialize(s),
            Self::Unknown => s.serialize_str("unknown"),
        }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Known<T> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Visit<T>(core::marker::PhantomData<T>);
        impl<'de, T: Deserialize<'de>> de::Visitor<'de> for Visit<T> {
            type Value = Known<T>;
            fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.write_str("a value or \"unknown\"")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Self::Value, E> {
                if v.trim().eq_ignore_ascii_case("unknown") {
                    return Ok(Known::Unknown);
                }
                T::deserialize(v.into_deserializer()).map(Known::Known)
            }
            fn visit_bool<E: de::Error>(self, v: bool) -> Result<Self::Value, E> {
                T::deserialize(v.into_deserializer()).map(Known::Known)
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Self::Value, E> {
                T::deserialize(v.into_deserializer()).map(Known::Known)
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Self::Value, E> {
                T::deserialize(v.into_deserializer()).map(Known::Known)
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Self::Value, E> {
                T::deserialize(v.into_deserializer()).map(Known::Known)
            }
            fn visit_seq<A: de::SeqAccess<'de>>(self, a: A) -> Result<Self::Value, A::Error> {
                T::deserialize(value::SeqAccessDeserializer::new(a)).map(Known::Known)
            }
            fn visit_map<A: de::MapAccess<'de>>(self, a: A) -> Result<Self::Value, A::Error> {
                T::deserialize(value::MapAccessDeserializer::new(a)).map(Known::Known)
            }
        }
        d.deserialize_any(Visit(core::marker::PhantomData))
    }
}

impl<T: schemars::JsonSchema> schemars::JsonSchema for Known<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("Known_{}", T::schema_name()).into()
    }
    fn json_schema(g: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let inner = g.subschema_for::<T>();
        schemars::json_schema!({ "anyOf": [inner, { "const": "unknown" }] })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    #[derive(Debug, PartialEq, Deserialize, Serialize)]
    struct T {
        #[serde(default)]
        depth: Known<Length>,
        #[serde(default)]
        sober: Known<bool>,
        #[serde(default)]
        list: Known<Vec<String>>,
    }

    #[test]
    fn absent_and_the_word_mean_the_same() {
        let t: T = toml::from_str("depth = 'unknown'\nsober = true\n").unwrap();
        assert_eq!(t, T { depth: Known::Unknown, sober: Known::Known(true), list: Known::Unknown });
        let back: T = serde_json::from_str(&serde_json::to_string(&t).unwrap()).unwrap();
        assert_eq!(back, t);
        let t: T = toml::from_str("depth = '2ft'\nlist = ['a']").unwrap();
        assert_eq!(t.depth, Known::Known(Length::of_ft(2.0)));
        assert!(toml::from_str::<T>("depth = '2 fathoms'").unwrap_err().to_string().contains("fathoms"));
    }
}
