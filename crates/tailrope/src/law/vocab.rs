//! The words a rule may use: facts with their kinds and units, papers, kit, species codes and groups.

use crate::facts::PackText;
use crate::{Error, Result};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// What kind of value a fact has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FactKind {
    /// Yes or no.
    Bool,
    /// A number in the unit of the fact.
    Number,
    /// One of the allowed words.
    Code,
    /// Some of the allowed words.
    CodeList,
    /// A species code, or unknown.
    Species,
    /// Species codes and `*GROUPS`.
    SpeciesList,
    /// Codes of papers.
    Documents,
    /// Codes of kit.
    Kit,
    /// Ids of packs, sites and zones.
    Places,
    /// A calendar date.
    Date,
    /// A local time of day.
    Clock,
}

impl FactKind {
    /// Whether the value is a list.
    pub(super) const fn is_list(self) -> bool {
        matches!(self, Self::CodeList | Self::SpeciesList | Self::Documents | Self::Kit | Self::Places)
    }
}

/// One fact a rule may test.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactSpec {
    /// Kind of its value.
    pub kind: FactKind,
    /// Unit of a number: `mm`, `m`, `km/h`, `years`, or what is counted.
    #[serde(default)]
    pub unit: String,
    /// Words allowed, for `code` and `code-list`.
    #[serde(default)]
    pub allowed: Vec<String>,
    /// How a sentence calls it.
    pub says: String,
    /// The question to put while it is unknown.
    pub ask: String,
    /// What it means, for whoever writes a pack.
    pub means: String,
    /// Whether each person of the crew has its own.
    #[serde(default)]
    pub per_person: bool,
}

/// A bound of one fact by another.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Bound {
    /// The other fact is never less than this one.
    pub at_most: String,
}

/// A species a rule may name.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpeciesName {
    /// English name.
    pub name: String,
    /// Scientific name, where there is one.
    pub latin: String,
    /// Id of the same fish in the species pack.
    #[serde(default)]
    pub id: Option<String>,
}

/// All words rules may use, read from `law-facts.toml`.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vocabulary {
    format: String,
    format_version: String,
    pub(super) facts: BTreeMap<String, FactSpec>,
    pub(super) bounds: BTreeMap<String, Bound>,
    pub(super) documents: BTreeMap<String, String>,
    pub(super) kit: BTreeMap<String, String>,
    groups: BTreeMap<String, BTreeSet<String>>,
    species: BTreeMap<String, SpeciesName>,
}

impl Vocabulary {
    /// Reads the vocabulary. Refuses another format, a bound between facts that are no numbers of one unit,
    /// a group naming an unknown species, and a `code` fact without words.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let v: Self = text.read()?;
        if v.format != "law-facts" || v.format_version != "1" {
            return Err(text.refuse(
                "format",
                format!("format is `{} {}`", v.format, v.format_version),
                "law-facts 1",
                "give the file of law facts of this version",
            ));
        }
        for (name, spec) in &v.facts {
            let words = matches!(spec.kind, FactKind::Code | FactKind::CodeList);
            if words == spec.allowed.is_empty() {
                return Err(text.refuse(
                    &format!("facts.{name}"),
                    format!("`{name}` is of a kind that needs a list of allowed words, or must have none"),
                    "allowed = [...] for code and code-list only",
                    "correct this fact",
                ));
            }
        }
        for (name, bound) in &v.bounds {
            let unit =
                |f: &str| v.facts.get(f).filter(|s| s.kind == FactKind::Number).map(|s| s.unit.as_str());
            if unit(name).is_none() || unit(name) != unit(&bound.at_most) {
                return Err(text.refuse(
                    "bounds",
                    format!("`{name}` cannot be bounded by `{}`", bound.at_most),
                    "two number facts of the same unit",
                    "name two such facts",
                ));
            }
        }
        for (group, members) in &v.groups {
            if let Some(m) = members.iter().find(|m| !v.species.contains_key(*m)) {
                return Err(text.refuse(
                    &format!("groups.{group}"),
                    format!("group {group} names the unknown species `{m}`"),
                    "codes of [species]",
                    "add the species or correct the code",
                ));
            }
        }
        Ok(v)
    }

    /// The fact of this id.
    pub fn fact(&self, id: &str) -> Result<&FactSpec> {
        self.facts.get(id).ok_or_else(|| {
            Error::new(
                format!("no rule knows a fact `{id}`"),
                format!("one of {}", nearest(id, self.facts.keys())),
                "correct the name of the fact",
            )
        })
    }

    /// All facts with their ids, sorted.
    pub fn facts(&self) -> impl Iterator<Item = (&str, &FactSpec)> {
        self.facts.iter().map(|(k, v)| (k.as_str(), v))
    }

    /// Species codes named by one code or `*GROUP`; `None` for a word that is neither.
    pub fn expand(&self, code: &str) -> Option<BTreeSet<String>> {
        match code.strip_prefix('*') {
            Some(group) => self.groups.get(group).cloned(),
            None => self.species.contains_key(code).then(|| BTreeSet::from([code.to_owned()])),
        }
    }

    /// Name and Latin name of a species code.
    pub fn species(&self, code: &str) -> Option<&SpeciesName> {
        self.species.get(code)
    }

    /// Law code of a fish by its id in the species pack; `None` where the law packs have no code for it, and
    /// then the fish must be given as unknown, which the rules treat as protected.
    pub fn code_of(&self, species_id: &str) -> Option<&str> {
        self.species.iter().find(|(_, s)| s.id.as_deref() == Some(species_id)).map(|(code, _)| code.as_str())
    }

    /// What a code is called in a sentence.
    pub(super) fn called<'a>(&'a self, code: &'a str) -> &'a str {
        self.species
            .get(code)
            .map(|s| s.name.as_str())
            .or_else(|| self.documents.get(code).map(String::as_str))
            .or_else(|| self.kit.get(code).map(String::as_str))
            .unwrap_or(code)
    }

    /// Refuses a word that a fact of this kind cannot have.
    pub(super) fn allow(&self, id: &str, spec: &FactSpec, word: &str) -> Result<()> {
        let (known, allowed): (bool, Vec<&String>) = match spec.kind {
            FactKind::Code | FactKind::CodeList => {
                (spec.allowed.iter().any(|a| a == word), spec.allowed.iter().collect())
            }
            FactKind::Documents => (self.documents.contains_key(word), self.documents.keys().collect()),
            FactKind::Kit => (self.kit.contains_key(word), self.kit.keys().collect()),
            FactKind::Species => {
                (self.species.contains_key(word) || word == "unknown", self.species.keys().collect())
            }
            FactKind::SpeciesList => (self.expand(word).is_some(), self.species.keys().collect()),
            FactKind::Places => (!word.trim().is_empty(), Vec::new()),
            FactKind::Bool | FactKind::Number | FactKind::Date | FactKind::Clock => (false, Vec::new()),
        };
        if known {
            return Ok(());
        }
        Err(Error::new(
            format!("`{word}` is no value of `{id}`"),
            if allowed.is_empty() { spec.means.clone() } else { nearest(word, allowed) },
            "correct the code",
        ))
    }
}

/// The words most like `wanted`, at most eight of them.
pub(super) fn nearest<'a>(wanted: &str, all: impl IntoIterator<Item = &'a String>) -> String {
    let grams = |s: &str| -> BTreeSet<(char, char)> {
        let low: Vec<char> = s.to_lowercase().chars().collect();
        low.iter().copied().zip(low.iter().skip(1).copied()).collect()
    };
    let mine = grams(wanted);
    let mut all: Vec<(usize, &String)> =
        all.into_iter().map(|w| (grams(w).intersection(&mine).count(), w)).collect();
    all.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    let many = all.len() > 8;
    let mut text = all.iter().take(8).map(|(_, w)| w.as_str()).collect::<Vec<_>>().join(", ");
    if many {
        text.push_str(" ...");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::testing::vocabulary;

    #[test]
    fn reads_the_shipped_vocabulary() {
        let v = vocabulary();
        assert_eq!(v.facts().count(), 61);
        assert!(v.expand("*SHARK").unwrap().contains("BULL"));
        assert!(v.expand("*NOBODY").is_none());
        assert_eq!(v.code_of("mako"), Some("SHORTFIN_MAKO"));
        assert_eq!(v.code_of("whale of a time"), None);
    }

    #[test]
    fn a_misspelt_fact_is_refused_with_its_like() {
        let v = vocabulary();
        let e = v.fact("gear.hook.gap").unwrap_err();
        assert!(e.allowed.contains("gear.hook.gap_mm"), "{e}");
    }
}
