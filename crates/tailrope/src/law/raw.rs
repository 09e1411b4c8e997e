//! A pack file as it is written, before it is checked.

use jiff::civil::Date;
use serde::Deserialize;
use serde::de::{self, Deserializer};
use std::collections::BTreeMap;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawFile {
    pub format: String,
    pub format_version: String,
    pub pack: Vec<RawPack>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawPack {
    pub id: String,
    pub title: String,
    pub level: String,
    #[serde(default)]
    pub parents: Vec<String>,
    pub authority: String,
    pub contact: String,
    pub area: String,
    pub as_of: RawDate,
    pub review_by: RawDate,
    #[serde(default)]
    pub note: Option<String>,
    #[serde(default)]
    pub supersedes: Vec<String>,
    pub coverage: BTreeMap<String, String>,
    #[serde(default)]
    pub zones: BTreeMap<String, String>,
    #[serde(default)]
    pub rule: Vec<RawRule>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawRule {
    pub id: String,
    pub kind: String,
    pub effect: String,
    pub stage: String,
    pub summary: String,
    pub when: Vec<RawClause>,
    pub check: Vec<RawClause>,
    #[serde(default)]
    pub when_any: Vec<Vec<RawClause>>,
    #[serde(default)]
    pub check_any: Vec<Vec<RawClause>>,
    #[serde(default)]
    pub defines: Option<String>,
    #[serde(default)]
    pub species: Vec<String>,
    #[serde(default)]
    pub species_from: OneOrMore,
    #[serde(default)]
    pub status: Option<String>,
    #[serde(default)]
    pub measure: Option<String>,
    #[serde(default)]
    pub min_mm: Option<f64>,
    #[serde(default)]
    pub max_mm: Option<f64>,
    #[serde(default)]
    pub max_per_person_day: Option<u32>,
    #[serde(default)]
    pub max_per_vessel: Option<u32>,
    #[serde(default)]
    pub max_per_vessel_trip: Option<u32>,
    #[serde(default)]
    pub as_written: Option<String>,
    #[serde(default)]
    pub on_unknown: Option<String>,
    #[serde(default)]
    pub preempted_by: Option<String>,
    #[serde(default)]
    pub conflict: Option<String>,
    #[serde(default)]
    pub report_to: Option<String>,
    #[serde(default)]
    pub drill: Vec<String>,
    #[serde(default)]
    pub note: Option<String>,
    pub cite: RawCite,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawCite {
    pub section: String,
    pub title: String,
    pub url: String,
    pub effective: RawDate,
    #[serde(default)]
    pub effective_evidence: Option<String>,
    pub as_of: RawDate,
    pub evidence: String,
    pub confidence: f64,
    #[serde(default)]
    pub note: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawClause {
    pub fact: String,
    pub op: String,
    #[serde(default)]
    pub value: Option<toml::Value>,
}

/// One id or a list of ids.
#[derive(Debug, Default)]
pub(super) struct OneOrMore(pub Vec<String>);

impl<'de> Deserialize<'de> for OneOrMore {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Visit;
        impl<'de> de::Visitor<'de> for Visit {
            type Value = OneOrMore;
            fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.write_str("a rule id or a list of rule ids")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<OneOrMore, E> {
                Ok(OneOrMore(vec![v.to_owned()]))
            }
            fn visit_seq<A: de::SeqAccess<'de>>(self, a: A) -> Result<OneOrMore, A::Error> {
                Vec::deserialize(de::value::SeqAccessDeserializer::new(a)).map(OneOrMore)
            }
        }
        d.deserialize_any(Visit)
    }
}

/// A date, bare or in quotes; empty text is none.
#[derive(Clone, Copy, Debug)]
pub(super) struct RawDate(pub Option<Date>);

impl RawDate {
    fn read<E: de::Error>(text: &str) -> Result<Self, E> {
        if text.is_empty() {
            return Ok(Self(None));
        }
        text.parse().map(|d| Self(Some(d))).map_err(|_| {
            E::custom(format!(
                "`{}` is no date; allowed: a date like 2026-05-01, or \"\" where none was seen",
                text.chars().take(30).collect::<String>()
            ))
        })
    }
}

impl<'de> Deserialize<'de> for RawDate {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Visit;
        impl<'de> de::Visitor<'de> for Visit {
            type Value = RawDate;
            fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.write_str("a date like 2026-05-01, or \"\"")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<RawDate, E> {
                RawDate::read(v)
            }
            fn visit_map<A: de::MapAccess<'de>>(self, a: A) -> Result<RawDate, A::Error> {
                let when = toml::value::Datetime::deserialize(de::value::MapAccessDeserializer::new(a))?;
                RawDate::read(&when.to_string())
            }
        }
        d.deserialize_any(Visit)
    }
}
