//! Answers of three values, and the values of facts.

use super::vocab::{FactKind, FactSpec, Vocabulary};
use crate::quantity::{Length, Speed};
use crate::{Error, Result};
use jiff::civil::{Date, Time};
use serde::{Serialize, Serializer};
use std::collections::BTreeSet;

/// Yes, no, or unknown. An unknown stays unknown until something settles it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tri {
    /// It holds.
    Yes,
    /// It does not.
    No,
    /// Not known.
    Unknown,
}

impl Tri {
    /// Yes for true, no for false.
    pub const fn of(b: bool) -> Self {
        if b { Self::Yes } else { Self::No }
    }
    /// The other way round; unknown stays.
    #[must_use]
    pub const fn not(self) -> Self {
        match self {
            Self::Yes => Self::No,
            Self::No => Self::Yes,
            Self::Unknown => Self::Unknown,
        }
    }
}

/// What a caller says a fact is; [`FactSet::set`](super::FactSet::set) checks it against the vocabulary.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// Yes or no.
    Flag(bool),
    /// A count, an age in years, a hook size: a number without unit.
    Count(f64),
    /// A length, for facts in mm or m.
    Length(Length),
    /// A length known only to lie between two: a limit inside it is neither kept nor broken.
    LengthBetween(Length, Length),
    /// A speed.
    Speed(Speed),
    /// A word.
    Code(String),
    /// A whole list: what is not in it is not there.
    List(Vec<String>),
    /// Part of a list: what is not in it may still be there.
    AtLeast(Vec<String>),
    /// A date.
    Date(Date),
    /// A local time of day; seconds are dropped.
    Clock(Time),
}

impl From<bool> for Given {
    fn from(v: bool) -> Self {
        Self::Flag(v)
    }
}
impl From<u32> for Given {
    fn from(v: u32) -> Self {
        Self::Count(f64::from(v))
    }
}
impl From<Length> for Given {
    fn from(v: Length) -> Self {
        Self::Length(v)
    }
}
impl From<Speed> for Given {
    fn from(v: Speed) -> Self {
        Self::Speed(v)
    }
}
impl From<&str> for Given {
    fn from(v: &str) -> Self {
        Self::Code(v.to_owned())
    }
}
impl From<String> for Given {
    fn from(v: String) -> Self {
        Self::Code(v)
    }
}
impl From<Vec<String>> for Given {
    fn from(v: Vec<String>) -> Self {
        Self::List(v)
    }
}
impl<const N: usize> From<[&str; N]> for Given {
    fn from(v: [&str; N]) -> Self {
        Self::List(v.iter().map(|s| (*s).to_owned()).collect())
    }
}
impl From<Date> for Given {
    fn from(v: Date) -> Self {
        Self::Date(v)
    }
}
impl From<Time> for Given {
    fn from(v: Time) -> Self {
        Self::Clock(v)
    }
}

/// The value of a fact as the rules see it: numbers in the fact's own unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Yes or no.
    Flag(bool),
    /// A number known to lie in `low..=high` (equal when it is known).
    Number {
        /// Low end.
        low: f64,
        /// High end.
        high: f64,
    },
    /// A word.
    Code(String),
    /// A list, and whether it is whole.
    Codes {
        /// What is surely in it.
        items: BTreeSet<String>,
        /// Whether nothing else is.
        whole: bool,
    },
    /// A date.
    Date(Date),
    /// Minutes after local midnight.
    Clock(u16),
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, s: S) -> core::result::Result<S::Ok, S::Error> {
        match self {
            Self::Flag(b) => b.serialize(s),
            Self::Number { low, high } if low == high => low.serialize(s),
            Self::Number { low, high } => s.collect_map([("low", low), ("high", high)]),
            Self::Code(c) => c.serialize(s),
            Self::Codes { items, .. } => items.serialize(s),
            Self::Date(d) => d.serialize(s),
            Self::Clock(_) => s.serialize_str(&self.to_string()),
        }
    }
}

impl core::fmt::Display for Value {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Flag(b) => f.write_str(if *b { "yes" } else { "no" }),
            Self::Number { low, high } if low == high => write!(f, "{}", number(*low)),
            Self::Number { low, high } => write!(f, "{} to {}", number(*low), number(*high)),
            Self::Code(c) => f.write_str(c),
            Self::Codes { items, whole } => {
                let list = items.iter().map(String::as_str).collect::<Vec<_>>().join(", ");
                match (items.is_empty(), whole) {
                    (true, true) => f.write_str("none"),
                    (true, false) => f.write_str("not known"),
                    (false, true) => f.write_str(&list),
                    (false, false) => write!(f, "{list} and perhaps more"),
                }
            }
            Self::Date(d) => write!(f, "{d}"),
            Self::Clock(m) => write!(f, "{:02}:{:02}", m / 60, m % 60),
        }
    }
}

/// A number without the dust of unit conversion (limits are exact to far more than a thousandth).
pub(super) fn number(x: f64) -> String {
    let text = format!("{x:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Minutes after midnight of a time of day.
pub(super) fn minutes(t: Time) -> u16 {
    u16::from(t.hour().unsigned_abs()) * 60 + u16::from(t.minute().unsigned_abs())
}

/// Turns what the caller said into the value of the fact, or refuses it.
pub(super) fn fit(vocab: &Vocabulary, id: &str, spec: &FactSpec, given: Given) -> Result<Value> {
    let wrong = |what: String| {
        let unit = if spec.unit.is_empty() { String::new() } else { format!(" ({})", spec.unit) };
        Err(Error::new(
            format!("`{id}` cannot be {what}"),
            format!("{}{unit}", spec.means),
            "give it in that form, or leave it out when unknown",
        ))
    };
    let inside = |low: f64, high: f64| {
        let least = if spec.unit == "years" { 0.0 } else { -1e-9 };
        if low.is_finite() && high.is_finite() && low <= high && low >= least && high < 1e9 {
            Ok(Value::Number { low, high })
        } else {
            Err(Error::new(
                format!("`{id}` is {low} to {high}"),
                format!("a number from 0, in {}", spec.unit),
                "check the number",
            ))
        }
    };
    let length = |l: Length| match spec.unit.as_str() {
        "mm" => Some(l.m() * 1000.0),
        "m" => Some(l.m()),
        _ => None,
    };
    match (spec.kind, given) {
        (FactKind::Bool, Given::Flag(b)) => Ok(Value::Flag(b)),
        (FactKind::Number, Given::Count(n)) if !matches!(spec.unit.as_str(), "mm" | "m" | "km/h") => {
            inside(n, n)
        }
        (FactKind::Number, Given::Length(l)) => match length(l) {
            Some(n) => inside(n, n),
            None => wrong("a length".into()),
        },
        (FactKind::Number, Given::LengthBetween(a, b)) => match (length(a), length(b)) {
            (Some(a), Some(b)) => inside(a, b),
            _ => wrong("a length".into()),
        },
        (FactKind::Number, Given::Speed(v)) if spec.unit == "km/h" => {
            let kmh = v.mps() * 3.6;
            inside(kmh, kmh)
        }
        (FactKind::Code | FactKind::Species, Given::Code(c)) => {
            vocab.allow(id, spec, &c)?;
            Ok(Value::Code(c))
        }
        (kind, Given::List(items)) if kind.is_list() => list(vocab, id, spec, items, true),
        (kind, Given::AtLeast(items)) if kind.is_list() => list(vocab, id, spec, items, false),
        (FactKind::Date, Given::Date(d)) => Ok(Value::Date(d)),
        (FactKind::Clock, Given::Clock(t)) => Ok(Value::Clock(minutes(t))),
        (_, other) => wrong(match other {
            Given::Flag(_) => "yes or no".into(),
            Given::Count(n) => format!("{n}, a bare number"),
            Given::Length(_) | Given::LengthBetween(..) => "a length".into(),
            Given::Speed(_) => "a speed".into(),
            Given::Code(c) => format!("the word `{c}`"),
            Given::List(_) | Given::AtLeast(_) => "a list".into(),
            Given::Date(_) => "a date".into(),
            Given::Clock(_) => "a time of day".into(),
        }),
    }
}

fn list(vocab: &Vocabulary, id: &str, spec: &FactSpec, items: Vec<String>, whole: bool) -> Result<Value> {
    // A fish nobody could name may be any fish: the list is then not whole.
    let open = spec.kind == FactKind::SpeciesList && items.iter().any(|i| i == "unknown");
    let items: BTreeSet<String> = items.into_iter().filter(|i| !(open && i == "unknown")).collect();
    for item in &items {
        vocab.allow(id, spec, item)?;
    }
    Ok(Value::Codes { items, whole: whole && !open })
}

/// Equal but for the dust of unit conversion: one part in 10^9, far below any measure and any limit.
pub(super) fn same(a: f64, b: f64) -> bool {
    // An unbounded end is near to nothing: infinity would be within any share of itself.
    a.is_finite() && b.is_finite() && (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0)
}
