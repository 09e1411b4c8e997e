//! What is known of an outing, as the rules ask it.

use super::value::{Given, Value, fit};
use super::vocab::{FactKind, Vocabulary};
use crate::quantity::{Length, Speed};
use crate::{Error, Result};
use jiff::civil::{DateTime, Time};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What stands where: the stand, the bait and the vehicle route may lie in different packs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// Where the crew stands.
    Stand,
    /// Where the bait lies.
    Bait,
    /// Where the vehicle goes.
    Vehicle,
}

/// The facts of an outing. A fact that is not set is unknown: a question, never a permission.
///
/// Facts of one person (`person.age`, `person.documents`, what that person kept) are set by
/// [`set_for`](Self::set_for); rules about persons are then tested for each of them.
#[derive(Clone, Debug)]
pub struct FactSet {
    vocab: Arc<Vocabulary>,
    facts: BTreeMap<String, Value>,
    persons: Vec<Person>,
    spots: BTreeMap<Spot, Value>,
}

/// One person and what is known of that person alone.
#[derive(Clone, Debug)]
struct Person {
    name: String,
    facts: BTreeMap<String, Value>,
}

/// From this age a person counts as an adult who may answer for a minor (years).
const ADULT_YEARS: f64 = 18.0;

impl FactSet {
    /// Nothing known.
    pub fn new(vocab: &Arc<Vocabulary>) -> Self {
        Self { vocab: Arc::clone(vocab), facts: BTreeMap::new(), persons: Vec::new(), spots: BTreeMap::new() }
    }

    /// The vocabulary against which facts are checked.
    pub fn vocabulary(&self) -> &Arc<Vocabulary> {
        &self.vocab
    }

    /// Says what a fact is. Refuses an unknown fact, a value of another kind, unit or word.
    pub fn set(&mut self, fact: &str, value: impl Into<Given>) -> Result<&mut Self> {
        let value = fit(&self.vocab, fact, self.vocab.fact(fact)?, value.into())?;
        self.facts.insert(fact.to_owned(), value);
        Ok(self)
    }

    /// Says what a fact is, if it is known at all.
    pub fn set_known(&mut self, fact: &str, value: Option<impl Into<Given>>) -> Result<&mut Self> {
        match value {
            Some(v) => self.set(fact, v),
            None => self.vocab.fact(fact).map(|_| ()).map(|()| self),
        }
    }

    /// Makes a fact unknown again.
    pub fn unset(&mut self, fact: &str) -> &mut Self {
        self.facts.remove(fact);
        self
    }

    /// Sets the local date and time of day of the moment tested.
    pub fn set_moment(&mut self, local: DateTime) -> Result<&mut Self> {
        self.set("trip.date", local.date())?.set("trip.clock", local.time())
    }

    /// Sets sunrise and sunset, local time of day. Where the sun does not rise or set, leave them unknown.
    pub fn set_sun(&mut self, sunrise: Time, sunset: Time) -> Result<&mut Self> {
        self.set("sun.sunrise", sunrise)?.set("sun.sunset", sunset)
    }

    /// Says in which packs and zones the stand, the bait or the vehicle route lies; a rule about a place is
    /// then tested against each spot it concerns, and the worst counts.
    pub fn set_place(&mut self, spot: Spot, places: Vec<String>) -> Result<&mut Self> {
        let value = fit(&self.vocab, "trip.place", self.vocab.fact("trip.place")?, Given::List(places))?;
        self.spots.insert(spot, value);
        Ok(self)
    }

    /// Names a person of the crew, about whom nothing is known yet.
    pub fn add_person(&mut self, name: &str) -> &mut Self {
        if !self.persons.iter().any(|p| p.name == name) {
            self.persons.push(Person { name: name.to_owned(), facts: BTreeMap::new() });
        }
        self
    }

    /// Says what a fact of one person is. Refuses a fact that is not a person's.
    pub fn set_for(&mut self, person: &str, fact: &str, value: impl Into<Given>) -> Result<&mut Self> {
        let spec = self.vocab.fact(fact)?;
        if !spec.per_person {
            return Err(Error::new(
                format!("`{fact}` is not a fact of one person"),
                self.vocab
                    .facts()
                    .filter(|(_, s)| s.per_person)
                    .map(|(k, _)| k)
                    .collect::<Vec<_>>()
                    .join(", "),
                "set it for the outing",
            ));
        }
        let value = fit(&self.vocab, fact, spec, value.into())?;
        self.add_person(person);
        if let Some(p) = self.persons.iter_mut().find(|p| p.name == person) {
            p.facts.insert(fact.to_owned(), value);
        }
        Ok(self)
    }

    /// Sets a fact from JSON: numbers bare, in the fact's own unit; dates and clocks as text; `"unknown"` and
    /// `null` leave it unknown (a species may be `"unknown"`).
    pub fn set_json(&mut self, fact: &str, value: &serde_json::Value) -> Result<&mut Self> {
        let spec = self.vocab.fact(fact)?;
        let bad = || {
            Error::new(
                format!("`{fact}` cannot be `{value}`"),
                spec.means.clone(),
                "give it in the form of the fact, numbers in the unit of its name",
            )
        };
        let given = match (spec.kind, value) {
            (_, serde_json::Value::Null) => return Ok(self),
            (k, serde_json::Value::String(s)) if s == "unknown" && k != FactKind::Species => return Ok(self),
            (_, serde_json::Value::Bool(b)) => Given::Flag(*b),
            (_, serde_json::Value::Number(n)) => {
                let n = n.as_f64().ok_or_else(bad)?;
                match spec.unit.as_str() {
                    "mm" => Given::Length(Length::of_mm(n)),
                    "m" => Given::Length(Length::of_m(n)),
                    "km/h" => Given::Speed(Speed::of_mps(n / 3.6)),
                    _ => Given::Count(n),
                }
            }
            (FactKind::Date, serde_json::Value::String(s)) => Given::Date(s.parse().map_err(|_| bad())?),
            (FactKind::Clock, serde_json::Value::String(s)) => {
                let m = super::clause::clock(s).ok_or_else(bad)?;
                let part = |x: u16| i8::try_from(x).unwrap_or(0);
                Given::Clock(Time::new(part(m / 60), part(m % 60), 0, 0).map_err(|_| bad())?)
            }
            (_, serde_json::Value::String(s)) => Given::Code(s.clone()),
            (_, serde_json::Value::Array(a)) => Given::List(
                a.iter().map(|v| v.as_str().map(str::to_owned).ok_or_else(bad)).collect::<Result<_>>()?,
            ),
            (_, serde_json::Value::Object(_)) => return Err(bad()),
        };
        self.set(fact, given)
    }

    /// The value of a fact of the outing, if known.
    pub fn get(&self, fact: &str) -> Option<&Value> {
        self.facts.get(fact)
    }

    /// Names of the persons, in the order given.
    pub fn persons(&self) -> impl Iterator<Item = &str> {
        self.persons.iter().map(|p| p.name.as_str())
    }

    /// The value of a fact for one person (by position), falling back on the outing's.
    pub(super) fn of(&self, person: Option<usize>, fact: &str) -> Option<&Value> {
        person
            .and_then(|i| self.persons.get(i))
            .and_then(|p| p.facts.get(fact))
            .or_else(|| self.facts.get(fact))
    }

    /// Where a spot lies; the outing's place if no spots are told apart.
    pub(super) fn place(&self, spot: Spot) -> Option<&Value> {
        self.spots.get(&spot).or_else(|| self.facts.get("trip.place"))
    }

    /// Whether spots are told apart.
    pub(super) fn has_spots(&self) -> bool {
        !self.spots.is_empty()
    }

    /// Every place id named.
    pub(super) fn all_places(&self) -> BTreeSet<&str> {
        self.spots
            .values()
            .chain(self.facts.get("trip.place"))
            .filter_map(|v| match v {
                Value::Codes { items, .. } => Some(items.iter().map(String::as_str)),
                _ => None,
            })
            .flatten()
            .collect()
    }

    /// Fills in what follows from the rest: papers held by an adult, and the place of the packs chosen.
    ///
    /// Papers of a person whose age or papers are unknown may be there, so the list is then not whole.
    pub(super) fn completed(&self, chosen: &BTreeSet<&str>) -> Self {
        let mut all = self.clone();
        let papers = "crew.adult_with_documents";
        if !all.facts.contains_key(papers) && !all.persons.is_empty() {
            let (mut items, mut whole) = (BTreeSet::new(), true);
            for i in 0..all.persons.len() {
                let adult = match all.of(Some(i), "person.age") {
                    Some(Value::Number { low, .. }) if *low >= ADULT_YEARS => true,
                    Some(Value::Number { high, .. }) if *high < ADULT_YEARS => false,
                    _ => {
                        whole = false;
                        continue;
                    }
                };
                match all.of(Some(i), "person.documents") {
                    Some(Value::Codes { items: held, whole: w }) if adult => {
                        items.extend(held.iter().cloned());
                        whole &= w;
                    }
                    None if adult => whole = false,
                    _ => {}
                }
            }
            all.facts.insert(papers.to_owned(), Value::Codes { items, whole });
        }
        if all.spots.is_empty() {
            let place = all
                .facts
                .entry("trip.place".to_owned())
                .or_insert(Value::Codes { items: BTreeSet::new(), whole: false });
            if let Value::Codes { items, .. } = place {
                items.extend(chosen.iter().map(|s| (*s).to_owned()));
            }
        }
        all
    }
}
