//! All packs at hand: loaded, checked against each other, chosen by place.

use super::clause::Test;
use super::lint;
use super::pack::{Pack, Rule};
use super::vocab::{Vocabulary, nearest};
use crate::facts::PackText;
use crate::{Error, Result};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The packs at hand and the words they use.
#[derive(Clone, Debug)]
pub struct LawPacks {
    vocab: Arc<Vocabulary>,
    packs: BTreeMap<String, Pack>,
}

impl LawPacks {
    /// Reads the vocabulary, the shipped packs and the crew's own; an own pack shadows a shipped one of the
    /// same id. Refuses the first thing wrong in any of them, with file, line and key ([`lint`](super::lint)
    /// tells all of one file), and references between packs that lead nowhere.
    pub fn load(facts: &PackText<'_>, shipped: &[PackText<'_>], own: &[PackText<'_>]) -> Result<Self> {
        let vocab = Vocabulary::read(facts)?;
        let mut packs: BTreeMap<String, Pack> = BTreeMap::new();
        for (texts, is_own) in [(shipped, false), (own, true)] {
            let mut seen = BTreeSet::new();
            for text in texts {
                let pack = lint::read(&vocab, text, is_own).map_err(|mut errors| errors.remove(0))?;
                if !seen.insert(pack.id.clone()) {
                    return Err(text.refuse(
                        "pack[0].id",
                        format!("a second pack `{}`", pack.id),
                        "each id once",
                        "leave one out",
                    ));
                }
                packs.insert(pack.id.clone(), pack);
            }
        }
        let mut all = Self { vocab: Arc::new(vocab), packs };
        let place = |id: &str, e: Error| {
            let name = format!("{id}.toml");
            let file = |t: &&PackText<'_>| t.file.rsplit(['/', '\\']).next() == Some(&name);
            e.within(own.iter().chain(shipped).find(file).map_or(name.as_str(), |t| t.file))
        };
        for pack in all.packs.values() {
            if let Some(parent) = pack.parents.iter().find(|p| !all.packs.contains_key(*p)) {
                let e = Error::new(
                    format!("the parent pack `{parent}` is not loaded"),
                    "ids of loaded packs",
                    "load it too: its rules bite together",
                );
                return Err(place(&pack.id, e));
            }
        }
        for pack in all.packs.values() {
            all.references(pack).map_err(|e| place(&pack.id, e))?;
        }
        let species = all.borrowed()?;
        for rule in all.packs.values_mut().flat_map(|p| p.rules.iter_mut()) {
            if let Some(s) = species.get(&rule.id) {
                rule.species.extend(s.iter().cloned());
            }
        }
        Ok(all)
    }

    /// Ids a pack names must exist.
    fn references(&self, pack: &Pack) -> Result<()> {
        let none = |what: &str, id: &str, remedy: &str| {
            Error::new(format!("{what} `{id}` is not loaded"), "ids of loaded packs and rules", remedy)
        };
        self.with_parents([pack.id.as_str()])?;
        for id in &pack.supersedes {
            let other = id.split('/').next().unwrap_or_default();
            if self.packs.get(other).is_some_and(|p| p.rule(id).is_none()) {
                return Err(none("the superseded rule", id, "correct its id"));
            }
        }
        let terms: BTreeSet<&str> =
            self.packs.values().flat_map(|p| &p.rules).filter_map(|r| r.defines.as_deref()).collect();
        for rule in &pack.rules {
            for clause in rule.clauses() {
                if let Test::Defined(term) = &clause.test
                    && !terms.contains(term.as_str())
                {
                    return Err(none(
                        &format!("rule {}: a definition of", rule.id),
                        term,
                        "define the term, or load the pack that does",
                    ));
                }
            }
        }
        Ok(())
    }

    /// Species lists that rules borrow from other rules.
    fn borrowed(&self) -> Result<BTreeMap<String, BTreeSet<String>>> {
        let mut out = BTreeMap::new();
        for rule in self.packs.values().flat_map(|p| &p.rules).filter(|r| !r.species_from.is_empty()) {
            let mut species = BTreeSet::new();
            let mut todo: Vec<&str> = rule.species_from.iter().map(String::as_str).collect();
            let mut seen = BTreeSet::from([rule.id.as_str()]);
            while let Some(id) = todo.pop() {
                let Some(from) = self.rule(id) else {
                    return Err(Error::new(
                        format!("rule {} borrows the species of `{id}`, which is not loaded", rule.id),
                        "the id of a loaded rule",
                        "correct the id, or load its pack",
                    )
                    .within(rule.id.split('/').next().unwrap_or_default()));
                };
                if seen.insert(id) {
                    species.extend(from.species.iter().cloned());
                    todo.extend(from.species_from.iter().map(String::as_str));
                }
            }
            out.insert(rule.id.clone(), species);
        }
        Ok(out)
    }

    /// The words rules may use.
    pub fn vocabulary(&self) -> &Arc<Vocabulary> {
        &self.vocab
    }

    /// All packs, by id.
    pub fn packs(&self) -> impl Iterator<Item = &Pack> {
        self.packs.values()
    }

    /// The pack of this id.
    pub fn pack(&self, id: &str) -> Result<&Pack> {
        self.packs.get(id).ok_or_else(|| {
            Error::new(
                format!("no law pack `{id}`"),
                nearest(id, self.packs.keys()),
                "correct the id, or write a pack for this place and ask its agency",
            )
        })
    }

    /// The rule of this id.
    pub fn rule(&self, id: &str) -> Option<&Rule> {
        self.packs.get(id.split('/').next()?)?.rule(id)
    }

    /// Ids of all rules that ask for a fact whose name starts with one of these, themselves or by a term that such a
    /// rule defines.
    pub fn asking(&self, facts: &[&str]) -> BTreeSet<&str> {
        let rules = || self.packs().flat_map(|p| &p.rules);
        let (mut found, mut terms): (BTreeSet<&str>, BTreeSet<&str>) = (BTreeSet::new(), BTreeSet::new());
        // Terms may hang on terms; every pass adds a rule or is the last.
        loop {
            let before = found.len();
            for rule in rules() {
                let asks = rule.clauses().any(|c| {
                    facts.iter().any(|f| c.fact.starts_with(f))
                        || matches!(&c.test, Test::Defined(t) if terms.contains(t.as_str()))
                });
                if asks && found.insert(&rule.id) {
                    terms.extend(rule.defines.as_deref());
                }
            }
            if found.len() == before {
                return found;
            }
        }
    }

    /// These packs with all their parents, in the order in which they are stacked: level, then id. Refuses an
    /// unknown id and parents that run in a ring.
    pub fn with_parents<'a>(&'a self, ids: impl IntoIterator<Item = &'a str>) -> Result<Vec<&'a Pack>> {
        let mut found: BTreeMap<&str, &Pack> = BTreeMap::new();
        let mut todo: Vec<&str> = ids.into_iter().collect();
        while let Some(id) = todo.pop() {
            let pack = self.pack(id)?;
            if found.insert(&pack.id, pack).is_none() {
                todo.extend(pack.parents.iter().map(String::as_str));
            }
        }
        for pack in found.values() {
            // A parent lies at the same level or above, so a ring can only lie within one level.
            if let Some(p) =
                pack.parents.iter().find_map(|p| found.get(p.as_str()).filter(|q| q.level > pack.level))
            {
                return Err(Error::new(
                    format!("pack `{}` ({}) names `{}` ({}) as parent", pack.id, pack.level, p.id, p.level),
                    "parents of the same level or above",
                    "turn the two round",
                ));
            }
        }
        let mut packs: Vec<&Pack> = found.into_values().collect();
        packs.sort_by(|a, b| a.level.cmp(&b.level).then_with(|| a.id.cmp(&b.id)));
        Ok(packs)
    }

    /// Ids of the packs that contain any of these places: a pack's own id, or a zone it declares.
    pub fn at(&self, places: &[String]) -> Vec<&str> {
        let here = |p: &&Pack| places.iter().any(|z| *z == p.id || p.zones.contains_key(z));
        self.packs.values().filter(here).map(|p| p.id.as_str()).collect()
    }
}
