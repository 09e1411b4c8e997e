//! What the law asks of the hands on the fish: its standing and the words of the landing drill.

use super::check::standing;
use super::clause::Test;
use super::fact_set::FactSet;
use super::pack::{Atom, Rule};
use super::packs::LawPacks;
use super::query::Query;
use super::value::Tri;
use super::words::{Stage, Status};
use crate::Result;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// One thing the drill must keep to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Duty {
    /// What.
    pub atom: Atom,
    /// In the words of the drill.
    pub says: &'static str,
    /// The rules that ask for it.
    pub rules: Vec<String>,
}

/// How the law stands to a fish, and what it asks of whoever handles it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FishLaw {
    /// The strictest standing any rule gives it; none if no list names it, which is no permission to keep it.
    pub status: Option<Status>,
    /// The rules that give it that standing.
    pub status_rules: Vec<String>,
    /// Whether it has that standing only because nobody can name it.
    pub assumed: bool,
    /// What the drill keeps to: the union over all rules that bite or may bite.
    pub duties: Vec<Duty>,
    /// Whom to report to.
    pub report_to: Vec<String>,
}

impl FishLaw {
    /// Whether the drill must keep to this.
    pub fn has(&self, atom: Atom) -> bool {
        self.duties.iter().any(|d| d.atom == atom)
    }

    /// Whether the fish may not be taken out of the water, not even its head.
    pub fn in_water(&self) -> bool {
        self.has(Atom::InWater)
    }
}

/// The law of the fish of these facts (`fish.species`, or `fish.candidates` while it has no name).
///
/// Statuses join by the ladder, duties by union, over every rule that bites or may bite whatever its stage: a
/// fish nobody can name has the duties of every kind it may be. Refuses what [`check`](super::check()) refuses.
pub fn fish_law(law: &LawPacks, facts: &FactSet, query: &Query) -> Result<FishLaw> {
    let mut duties: BTreeMap<Atom, BTreeSet<String>> = BTreeMap::new();
    let mut report_to = BTreeSet::new();
    let mut statuses: BTreeMap<Status, BTreeMap<String, Tri>> = BTreeMap::new();
    for (rule, bites, named) in standing(law, facts, query)? {
        if bites == Tri::No {
            continue;
        }
        if let Some(status) = rule.status
            && named != Tri::No
        {
            statuses.entry(status).or_default().insert(rule.id.clone(), named);
        }
        if rule.stage >= Stage::Hooked {
            for atom in atoms(rule) {
                duties.entry(atom).or_default().insert(rule.id.clone());
            }
            report_to.extend(rule.report_to.clone());
        }
    }
    if duties.contains_key(&Atom::InWater) {
        duties.remove(&Atom::HeadLiftOnly);
    }
    let strictest = statuses.into_iter().next();
    Ok(FishLaw {
        status: strictest.as_ref().map(|(s, _)| *s),
        assumed: strictest.as_ref().is_some_and(|(_, r)| r.values().all(|t| *t == Tri::Unknown)),
        status_rules: strictest.map(|(_, r)| r.into_keys().collect()).unwrap_or_default(),
        duties: duties
            .into_iter()
            .map(|(atom, rules)| Duty { atom, says: atom.says(), rules: rules.into_iter().collect() })
            .collect(),
        report_to: report_to.into_iter().collect(),
    })
}

/// What a rule asks of the drill, from its checks and from its drill words.
fn atoms(rule: &Rule) -> BTreeSet<Atom> {
    let mut out: BTreeSet<Atom> = rule.drill.iter().copied().collect();
    for c in &rule.check {
        match (c.fact.as_str(), &c.test) {
            ("fish.out_of_water", Test::Word { of, not: false }) if !of.contains("yes") => {
                out.insert(if of.contains("head-only") { Atom::HeadLiftOnly } else { Atom::InWater });
            }
            ("fish.delay_reason", Test::Word { of, not: false }) if of.contains("none") && of.len() == 1 => {
                out.extend([Atom::NoDelay, Atom::NoPhotoDelay]);
            }
            ("fish.retain", Test::Flag(false)) => {
                out.insert(Atom::NotKept);
            }
            ("fish.handling", Test::List { of, not: true, .. }) => {
                out.extend(of.iter().filter_map(|w| match w.as_str() {
                    "dry-sand" => Some(Atom::NoDrySand),
                    "deck" => Some(Atom::NoDeck),
                    "gaff" => Some(Atom::NoGaff),
                    "sit-on" => Some(Atom::NoSitting),
                    "mouth-held-open" => Some(Atom::NoMouthHeld),
                    "hand-in-gills" => Some(Atom::NoHandInGills),
                    "tail-rope" => Some(Atom::NoRope),
                    _ => None,
                }));
            }
            _ => {}
        }
    }
    out
}
