//! One clause of a rule: a fact, an operator, and what it is held against; typed when the pack is read.

use super::raw::RawClause;
use super::value::minutes;
use super::vocab::{FactKind, FactSpec, Vocabulary, nearest};
use super::words::Level;
use crate::{Error, Result};
use jiff::civil::{Date, Time};
use std::collections::BTreeSet;

/// How two numbers or dates compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cmp {
    Eq,
    Ne,
    Lt,
    Le,
    Gt,
    Ge,
}

/// An end of a window of the day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Hour {
    /// Minutes after midnight.
    At(u16),
    /// Minutes after sunrise.
    Sunrise(i32),
    /// Minutes after sunset.
    Sunset(i32),
}

/// What a clause tests.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Test {
    /// The flag has this value.
    Flag(bool),
    /// The number compares so with the limit.
    Number(Cmp, f64),
    /// The word is one of these (or none of them).
    Word { of: BTreeSet<String>, not: bool },
    /// The list holds any (or all) of these, or none of them.
    List { of: BTreeSet<String>, all: bool, not: bool },
    /// The fact is given.
    Exists,
    /// The hour lies in the window, both ends included (or outside it).
    Hours { from: Hour, to: Hour, not: bool },
    /// The month and day lie in the window, both ends included.
    Months { from: (i8, i8), to: (i8, i8) },
    /// The date compares so.
    Day(Cmp, Date),
    /// The date lies in the window, both ends included.
    Days(Date, Date),
    /// The fish is in the rule's list.
    InRuleSpecies,
    /// No member of the list is in the rule's list.
    NoneInRuleSpecies,
    /// A pack of one of these levels is loaded.
    PackLevel(BTreeSet<Level>),
    /// This term is met.
    Defined(String),
    /// Always so.
    Always(bool),
}

/// A clause of a rule.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Clause {
    pub fact: String,
    pub test: Test,
}

/// The operators of the format.
const OPERATORS: &[&str] = &[
    "eq",
    "ne",
    "in",
    "not_in",
    "lt",
    "le",
    "gt",
    "ge",
    "has",
    "lacks",
    "exists",
    "any_of",
    "all_of",
    "between",
    "not_between",
    "between_md",
    "in_rule_species",
    "none_in_rule_species",
    "has_pack_level",
];

impl Clause {
    /// Types a clause. Refuses an unknown fact or operator, an operator that does not fit the fact, and a
    /// value the fact cannot have.
    pub fn of(raw: &RawClause, vocab: &Vocabulary) -> Result<Self> {
        if !OPERATORS.contains(&raw.op.as_str()) {
            return Err(Error::new(
                format!("no operator `{}`", raw.op),
                OPERATORS.join(", "),
                "use one of the operators of the pack format",
            ));
        }
        let test = match raw.fact.as_str() {
            "never" => match (raw.op.as_str(), &raw.value) {
                // A fact that is always false: `never eq true` can never hold.
                ("eq", Some(toml::Value::Boolean(b))) => Test::Always(!b),
                ("ne", Some(toml::Value::Boolean(b))) => Test::Always(*b),
                _ => return Err(misfit(raw, "never eq true")),
            },
            "defined" => match (raw.op.as_str(), &raw.value) {
                ("has", Some(toml::Value::String(term))) => Test::Defined(term.clone()),
                _ => return Err(misfit(raw, "defined has \"a.term\"")),
            },
            id => Self::test(raw, vocab, vocab.fact(id)?)?,
        };
        Ok(Self { fact: raw.fact.clone(), test })
    }

    fn test(raw: &RawClause, vocab: &Vocabulary, spec: &FactSpec) -> Result<Test> {
        let value = || raw.value.as_ref().ok_or_else(|| misfit(raw, "a value"));
        let words = || -> Result<BTreeSet<String>> {
            let all: BTreeSet<String> = match value()? {
                toml::Value::String(s) => BTreeSet::from([s.clone()]),
                toml::Value::Array(a) => a
                    .iter()
                    .map(|v| v.as_str().map(str::to_owned).ok_or_else(|| misfit(raw, "a list of words")))
                    .collect::<Result<_>>()?,
                _ => return Err(misfit(raw, "a word or a list of words")),
            };
            if all.is_empty() {
                return Err(misfit(raw, "a list that is not empty"));
            }
            for w in &all {
                if spec.kind == FactKind::Species && w == "unknown" {
                    return Err(misfit(raw, "named species only: what is unknown is asked, not matched"));
                }
                vocab.allow(&raw.fact, spec, w)?;
            }
            Ok(all)
        };
        let many = matches!(raw.value, Some(toml::Value::Array(_)));
        let pair = || match value()? {
            toml::Value::Array(a) if a.len() == 2 => Ok((text(&a[0]), text(&a[1]))),
            _ => Err(misfit(raw, "a list of two")),
        };
        let op = raw.op.as_str();
        let kind = spec.kind;
        let simple = matches!(kind, FactKind::Code | FactKind::Species);
        Ok(match op {
            "exists" if raw.value.is_none() => Test::Exists,
            "eq" | "ne" if kind == FactKind::Bool => match value()? {
                toml::Value::Boolean(b) => Test::Flag(*b == (op == "eq")),
                _ => return Err(misfit(raw, "true or false")),
            },
            "eq" | "ne" if simple && !many => Test::Word { of: words()?, not: op == "ne" },
            "in" | "not_in" if simple && many => Test::Word { of: words()?, not: op == "not_in" },
            "eq" | "ne" | "lt" | "le" | "gt" | "ge" if kind == FactKind::Number => {
                let limit = match value()? {
                    toml::Value::Integer(i) => {
                        f64::from(i32::try_from(*i).map_err(|_| misfit(raw, "a sane number"))?)
                    }
                    toml::Value::Float(x) => *x,
                    _ => {
                        return Err(misfit(raw, "a number without quotes, in the unit the fact's name says"));
                    }
                };
                if !(0.0..1e9).contains(&limit) {
                    return Err(misfit(raw, "a number from 0 on"));
                }
                Test::Number(cmp(op), limit)
            }
            "eq" | "ne" | "lt" | "le" | "gt" | "ge" if kind == FactKind::Date => {
                Test::Day(cmp(op), day(raw, &text(value()?))?)
            }
            "between" if kind == FactKind::Date => {
                let (a, b) = pair()?;
                let (a, b) = (day(raw, &a)?, day(raw, &b)?);
                if a > b {
                    return Err(misfit(raw, "the earlier date first"));
                }
                Test::Days(a, b)
            }
            "between_md" if kind == FactKind::Date => {
                let (a, b) = pair()?;
                Test::Months { from: month_day(raw, &a)?, to: month_day(raw, &b)? }
            }
            "between" | "not_between" if kind == FactKind::Clock => {
                let (a, b) = pair()?;
                Test::Hours { from: hour(raw, &a)?, to: hour(raw, &b)?, not: op == "not_between" }
            }
            "has_pack_level" if kind == FactKind::Places => {
                let mut levels = BTreeSet::new();
                for w in text(value()?).split('|') {
                    levels.insert(
                        Level::of_word(w.trim())
                            .ok_or_else(|| misfit(raw, "levels like city|county|park"))?,
                    );
                }
                Test::PackLevel(levels)
            }
            "has" | "lacks" if kind.is_list() && !many => {
                Test::List { of: words()?, all: false, not: op == "lacks" }
            }
            "any_of" | "all_of" if kind.is_list() && many => {
                Test::List { of: words()?, all: op == "all_of", not: false }
            }
            "in_rule_species" if kind == FactKind::Species && raw.value.is_none() => Test::InRuleSpecies,
            "none_in_rule_species" if kind == FactKind::SpeciesList && raw.value.is_none() => {
                Test::NoneInRuleSpecies
            }
            _ => return Err(misfit(raw, "an operator that fits the kind of fact")),
        })
    }
}

fn misfit(raw: &RawClause, allowed: &str) -> Error {
    let value = raw.value.as_ref().map_or(String::new(), |v| {
        let shown: String = v.to_string().chars().take(60).collect();
        format!(" {shown}")
    });
    Error::new(format!("`{} {}{value}` cannot be tested", raw.fact, raw.op), allowed, "correct this clause")
}

fn text(v: &toml::Value) -> String {
    match v {
        toml::Value::String(s) => s.clone(),
        other => other.to_string(),
    }
}

fn cmp(op: &str) -> Cmp {
    match op {
        "eq" => Cmp::Eq,
        "ne" => Cmp::Ne,
        "lt" => Cmp::Lt,
        "le" => Cmp::Le,
        "gt" => Cmp::Gt,
        _ => Cmp::Ge,
    }
}

fn day(raw: &RawClause, s: &str) -> Result<Date> {
    s.parse().map_err(|_| misfit(raw, "a date like 2026-05-01"))
}

fn month_day(raw: &RawClause, s: &str) -> Result<(i8, i8)> {
    let bad = || misfit(raw, "month and day like \"03-01\"");
    let (m, d) = s.split_once('-').ok_or_else(bad)?;
    let (m, d): (i8, i8) = (m.parse().map_err(|_| bad())?, d.parse().map_err(|_| bad())?);
    // 2024 is a leap year, so the 29th of February is a day of it.
    Date::new(2024, m, d).map_err(|_| bad())?;
    Ok((m, d))
}

fn hour(raw: &RawClause, s: &str) -> Result<Hour> {
    let bad = || misfit(raw, "\"HH:MM\", or sunrise / sunset with minutes added (\"sunset+30\")");
    let offset = |rest: &str| -> Result<i32> {
        if rest.is_empty() {
            return Ok(0);
        }
        let n: i32 = rest.parse().map_err(|_| bad())?;
        if n.abs() <= 720 && rest.starts_with(['+', '-']) { Ok(n) } else { Err(bad()) }
    };
    if let Some(rest) = s.strip_prefix("sunrise") {
        return Ok(Hour::Sunrise(offset(rest)?));
    }
    if let Some(rest) = s.strip_prefix("sunset") {
        return Ok(Hour::Sunset(offset(rest)?));
    }
    Ok(Hour::At(clock(s).ok_or_else(bad)?))
}

/// Minutes after midnight of `HH:MM`.
pub(super) fn clock(s: &str) -> Option<u16> {
    let (h, m) = s.split_once(':')?;
    if h.len() != 2 || m.len() != 2 {
        return None;
    }
    Time::new(h.parse().ok()?, m.parse().ok()?, 0, 0).ok().map(minutes)
}

/// Refuses a kind word, naming those allowed.
pub(super) fn word<T>(what: &str, got: &str, found: Option<T>, all: &[&str]) -> Result<T> {
    found.ok_or_else(|| {
        let all: Vec<String> = all.iter().map(|s| (*s).to_owned()).collect();
        Error::new(
            format!("no {what} `{}`", got.chars().take(40).collect::<String>()),
            nearest(got, &all),
            format!("use a {what} of the pack format"),
        )
    })
}
