//! Reading what a crew measured as it is said: `10paces in 12s`, `8 in 1min`, `12paces in 10min`.
//!
//! The same words stand on a command line and in an outing file, where a table with the single values does as well.
//! Between the parts stands `in` or a colon. A length in place of paces counts as taped.

use super::measured::{FloatRun, Paces, WashSeen, WaveCount};
use crate::quantity::Length;
use crate::{Error, Result};
use core::str::FromStr;

fn refuse(text: &str, what: &str) -> Error {
    let mut shown: String = text.chars().take(40).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    Error::new(format!("`{shown}` is not understood"), what, "write it as it is said")
}

/// The two parts about `in` or a colon.
fn parts<'a>(text: &'a str, what: &str) -> Result<(&'a str, &'a str)> {
    let text = text.trim();
    let cut = text.split_once(':').or_else(|| text.split_once(" in ")).ok_or_else(|| refuse(text, what))?;
    Ok((cut.0.trim(), cut.1.trim()))
}

impl FromStr for Paces {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let what = "paces, like 10paces or 10paces of 0.8m; or a taped length, like 8m";
        let whole = text.trim().to_lowercase();
        let Some((number, rest)) = whole.split_once("pace") else {
            // A taped distance: as that many taped metres.
            let length: Length = text.parse().map_err(|e: Error| Error { allowed: what.to_owned(), ..e })?;
            let paces = Self { paces: length.m(), pace: Some(Length::of_m(1.0)) };
            paces.check()?;
            return Ok(paces);
        };
        let n: f64 = number.trim().parse().map_err(|_| refuse(text, what))?;
        let rest = rest.strip_prefix('s').unwrap_or(rest).trim();
        let pace = match rest.strip_prefix("of") {
            Some(length) => Some(length.trim().parse()?),
            None if rest.is_empty() => None,
            None => return Err(refuse(text, what)),
        };
        let paces = Self { paces: n, pace };
        paces.check()?;
        Ok(paces)
    }
}

impl FromStr for FloatRun {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (far, time) = parts(text, "a float's run, like 10paces in 12s")?;
        let run = Self { drifted: far.parse()?, time: time.parse()? };
        run.check()?;
        Ok(run)
    }
}

impl FromStr for WaveCount {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let what = "counted waves, like 8 in 1min";
        let (waves, over) = parts(text, what)?;
        let number = waves.trim_end_matches("waves").trim();
        let count = Self { waves: number.parse().map_err(|_| refuse(text, what))?, over: over.parse()? };
        count.check()?;
        Ok(count)
    }
}

impl FromStr for WashSeen {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (far, watched) = parts(text, "the highest wash, like 12paces in 10min")?;
        let seen = Self { reach: far.parse()?, watched: watched.parse()?, slope_measured: false };
        seen.check()?;
        Ok(seen)
    }
}

/// Gives a measured thing its reading from a file: the words, or a table of its values.
macro_rules! typed {
    ($name:ident, $what:literal, { $($(#[$meta:meta])* $field:ident: $kind:ty),+ $(,)? }) => {
        const _: () = {
            #[derive(serde::Deserialize, schemars::JsonSchema)]
            #[serde(deny_unknown_fields)]
            #[allow(dead_code)] // read field by field below
            struct Table { $($(#[$meta])* $field: $kind),+ }

            struct Visit;
            impl<'de> serde::de::Visitor<'de> for Visit {
                type Value = $name;
                fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                    f.write_str($what)
                }
                fn visit_str<E: serde::de::Error>(self, text: &str) -> core::result::Result<$name, E> {
                    text.parse().map_err(E::custom)
                }
                fn visit_map<A: serde::de::MapAccess<'de>>(
                    self,
                    map: A,
                ) -> core::result::Result<$name, A::Error> {
                    let table: Table =
                        serde::Deserialize::deserialize(serde::de::value::MapAccessDeserializer::new(map))?;
                    Ok($name { $($field: table.$field),+ })
                }
            }

            impl<'de> serde::Deserialize<'de> for $name {
                fn deserialize<D: serde::Deserializer<'de>>(d: D) -> core::result::Result<Self, D::Error> {
                    d.deserialize_any(Visit)
                }
            }

            impl schemars::JsonSchema for $name {
                fn schema_name() -> std::borrow::Cow<'static, str> {
                    stringify!($name).into()
                }
                fn json_schema(g: &mut schemars::SchemaGenerator) -> schemars::Schema {
                    let table = <Table as schemars::JsonSchema>::json_schema(g);
                    schemars::json_schema!({ "anyOf": [table, { "type": "string", "description": $what }] })
                }
            }
        };
    };
}
pub(super) use typed;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Span;

    #[test]
    fn reads_what_a_crew_says() {
        let run = |t: &str| t.parse::<FloatRun>();
        let plain = FloatRun { drifted: Paces { paces: 10.0, pace: None }, time: Span::of_s(12.0) };
        for text in ["10paces in 12s", "10 paces in 12 s", "10paces:12s", " 10 PACES : 12s "] {
            assert_eq!(run(text).unwrap(), plain, "{text}");
        }
        let taped = run("10paces of 0.8m in 12s").unwrap();
        assert_eq!(taped.drifted.pace, Some(Length::of_m(0.8)));
        assert_eq!(run("8m:12s").unwrap().drifted, Paces { paces: 8.0, pace: Some(Length::of_m(1.0)) });
        assert_eq!("1pace".parse::<Paces>().unwrap().paces, 1.0);
        let eight = WaveCount { waves: 8, over: Span::of_min(1.0) };
        for text in ["8:1min", "8 in 1min", "8 waves in 1min", "8waves in 60s"] {
            assert_eq!(text.parse::<WaveCount>().unwrap(), eight, "{text}");
        }
        let wash: WashSeen = "12paces in 10min".parse().unwrap();
        assert_eq!((wash.reach.paces, wash.watched), (12.0, Span::of_min(10.0)));
    }

    #[test]
    fn refuses_the_rest_in_words() {
        for text in
            ["", "10paces", "ten paces in 12s", "10paces in 12", "10paces or so in 12s", "10paces in 1s", ":"]
        {
            let e = text.parse::<FloatRun>().unwrap_err();
            assert!(!e.error.is_empty() && !e.remedy.is_empty(), "{text}: {e}");
        }
        assert!("3 in 1min".parse::<WaveCount>().unwrap_err().remedy.contains("count on"));
        assert!("-3 in 1min".parse::<WaveCount>().is_err() && "8.5 in 1min".parse::<WaveCount>().is_err());
        assert!("12paces in 1min".parse::<WashSeen>().unwrap_err().error.contains("watching"));
        let e = "10 in 12s".parse::<FloatRun>().unwrap_err();
        assert!(e.allowed.contains("10paces") && e.allowed.contains("8m"), "{e}");
        assert!("-2m in 12s".parse::<FloatRun>().is_err());
    }

    #[derive(Debug, serde::Deserialize)]
    struct Sea {
        runs: Vec<FloatRun>,
        count: WaveCount,
        wash: WashSeen,
    }

    #[test]
    fn words_and_tables_in_a_file_mean_the_same() {
        let words: Sea =
            toml::from_str("runs = ['10paces in 14s']\ncount = '8 in 1min'\nwash = '12paces in 10min'\n")
                .unwrap();
        let tables: Sea = toml::from_str(
            "runs = [{ drifted = { paces = 10.0 }, time = '14s' }]\ncount = { waves = 8, over = '1min' }\n\
             wash = { reach = '12paces', watched = '10min' }\n",
        )
        .unwrap();
        assert_eq!((&words.runs, words.count, words.wash), (&tables.runs, tables.count, tables.wash));
        // What is written reads back.
        let json = serde_json::to_string(&words.wash).unwrap();
        assert_eq!(serde_json::from_str::<WashSeen>(&json).unwrap(), words.wash);
        let e = toml::from_str::<Sea>("runs = [{ drifted = '10paces', tme = '14s' }]\n").unwrap_err();
        assert!(e.to_string().contains("tme"), "{e}");
        assert!(toml::from_str::<Sea>("runs = [3]\n").unwrap_err().to_string().contains("10paces in 12s"));
    }
}
