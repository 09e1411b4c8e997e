//! Reading one pack file: everything wrong with it, each with file, line and key.

use super::clause::{Clause, Test, word};
use super::pack::{Atom, Cite, Pack, Rule};
use super::raw::{RawCite, RawClause, RawFile, RawPack, RawRule};
use super::vocab::Vocabulary;
use super::words::{Cover, Effect, Evidence, Kind, Level, Stage, Status};
use crate::Error;
use crate::facts::PackText;
use crate::quantity::Length;
use std::collections::{BTreeMap, BTreeSet};

/// Everything wrong with one pack file, each refusal with file, line and key; empty when it is sound.
///
/// Refused: another format, missing cite fields, unknown facts, species, documents, kit or zones, operators
/// that do not fit, numbers without their unit or with a rounded conversion, `review_by` before `as_of`, SEEN
/// without an address, a file name unlike the id, an id without the pack's prefix, two rules of one id, a kind
/// that has rules but coverage `none`, a kind covered in full by recalled rules only, and a size rule whose
/// measure is not the fact tested. References to other packs are checked when packs are loaded together.
pub fn lint(vocab: &Vocabulary, text: &PackText<'_>) -> Vec<Error> {
    match read(vocab, text, false) {
        Ok(_) => Vec::new(),
        Err(errors) => errors,
    }
}

/// Collects refusals while a pack is read.
struct Reader<'a> {
    vocab: &'a Vocabulary,
    text: &'a PackText<'a>,
    errors: Vec<Error>,
}

/// Most refusals one file can earn: beyond these a reader learns nothing.
const MOST: usize = 40;

impl Reader<'_> {
    fn refuse(&mut self, path: &str, error: Error) {
        if self.errors.len() < MOST {
            self.errors.push(self.text.place(path, error));
        }
    }
    fn say(&mut self, path: &str, error: impl Into<String>, allowed: &str, remedy: &str) {
        self.refuse(path, Error::new(error, allowed, remedy));
    }
    fn word<T: Copy>(
        &mut self,
        path: &str,
        what: &str,
        got: &str,
        all: &[T],
        say: fn(T) -> &'static str,
    ) -> Option<T> {
        let words: Vec<&str> = all.iter().map(|t| say(*t)).collect();
        let found = all.iter().copied().find(|t| say(*t) == got);
        word(what, got, found, &words).map_err(|e| self.refuse(path, e)).ok()
    }
}

/// Reads and checks one pack file.
pub(super) fn read(vocab: &Vocabulary, text: &PackText<'_>, own: bool) -> Result<Pack, Vec<Error>> {
    let raw: RawFile = text.read().map_err(|e| vec![e])?;
    let mut r = Reader { vocab, text, errors: Vec::new() };
    if raw.format != "rule-packs" || raw.format_version != "0.2" {
        let got = format!("format is `{} {}`", raw.format, raw.format_version);
        r.say("format", got, "rule-packs 0.2", "bring the file to this version of the format");
    }
    let pack = match raw.pack.as_slice() {
        [one] => r.pack(one, own),
        many => {
            let got = format!("the file holds {} packs", many.len());
            r.say("pack", got, "one pack a file", "put each pack in a file of its own name");
            None
        }
    };
    match pack {
        Some(pack) if r.errors.is_empty() => Ok(pack),
        _ => Err(r.errors),
    }
}

impl Reader<'_> {
    fn pack(&mut self, raw: &RawPack, own: bool) -> Option<Pack> {
        let name = self.text.file.rsplit(['/', '\\']).next().unwrap_or_default();
        if name.strip_suffix(".toml") != Some(raw.id.as_str()) || raw.id.is_empty() {
            let got = format!("pack `{}` lies in the file `{name}`", raw.id);
            self.say("pack[0].id", got, "the id, with .toml behind it", "rename the file or the pack");
        }
        let level = self.word("pack[0].level", "level", &raw.level, Level::ALL, Level::word);
        let review_by = raw.review_by.0;
        if review_by.is_none() {
            self.say(
                "pack[0].review_by",
                "review_by is empty",
                "a date",
                "say until when the pack may be trusted",
            );
        } else if raw.as_of.0 > review_by {
            self.say(
                "pack[0].review_by",
                "review_by lies before as_of",
                "a day after as_of",
                "correct the dates",
            );
        }
        if raw.parents.contains(&raw.id) {
            self.say("pack[0].parents", "a pack cannot be its own parent", "other packs", "take it out");
        }
        let mut coverage = BTreeMap::new();
        for (k, c) in &raw.coverage {
            let path = format!("pack[0].coverage.{k}");
            let kind = self.word(&path, "kind", k, Kind::ALL, Kind::word);
            let cover = self.word(&path, "coverage", c, Cover::ALL, Cover::word);
            if let (Some(k), Some(c)) = (kind, cover) {
                coverage.insert(k, c);
            }
        }
        let zones: BTreeSet<&str> = raw.zones.keys().map(String::as_str).chain([raw.id.as_str()]).collect();
        let mut ids = BTreeSet::new();
        let mut rules = Vec::with_capacity(raw.rule.len());
        for (i, rule) in raw.rule.iter().enumerate() {
            let path = format!("pack[0].rule[{i}]");
            if !ids.insert(rule.id.as_str()) {
                let got = format!("a second rule `{}`", rule.id);
                self.say(&format!("{path}.id"), got, "each id once", "rename one of them");
            }
            if rule.id.strip_prefix(&format!("{}/", raw.id)).is_none_or(str::is_empty) {
                let got = format!("rule id `{}` does not begin with the pack's id", rule.id);
                self.say(
                    &format!("{path}.id"),
                    got,
                    &format!("{}/...", raw.id),
                    "put the pack's id before it",
                );
            }
            if let Some(rule) = self.rule(rule, &path, &zones) {
                rules.push(rule);
            }
        }
        self.coverage(&coverage, &rules);
        Some(Pack {
            id: raw.id.clone(),
            title: raw.title.clone(),
            level: level?,
            parents: raw.parents.clone(),
            authority: raw.authority.clone(),
            contact: raw.contact.clone(),
            area: raw.area.clone(),
            as_of: raw.as_of.0,
            review_by: review_by?,
            note: raw.note.clone(),
            supersedes: raw.supersedes.clone(),
            coverage,
            zones: raw.zones.clone(),
            rules,
            hash: self.text.hash(),
            own,
        })
    }

    /// Silence is asked about by kind, so the table must not promise what the rules do not hold.
    fn coverage(&mut self, coverage: &BTreeMap<Kind, Cover>, rules: &[Rule]) {
        for &kind in Kind::ALL {
            if matches!(kind, Kind::Info | Kind::Pending) {
                continue;
            }
            let cover = coverage.get(&kind).copied().unwrap_or(Cover::None);
            let mut of_kind = rules.iter().filter(|r| r.kind == kind);
            let path = format!("pack[0].coverage.{kind}");
            if cover == Cover::None && of_kind.clone().next().is_some() {
                let got = format!("there are rules of kind {kind}, but its coverage is none");
                self.say(&path, got, "full or partial", "say how far the rules cover it");
            }
            if cover == Cover::Full && !of_kind.any(|r| r.cite.evidence != Evidence::Recalled) {
                let got = format!("{kind} is covered in full without a rule that was read");
                self.say(&path, got, "partial or none", "lower the coverage, or cite what was read");
            }
        }
    }

    fn rule(&mut self, raw: &RawRule, path: &str, zones: &BTreeSet<&str>) -> Option<Rule> {
        let at = |key: &str| format!("{path}.{key}");
        let kind = self.word(&at("kind"), "kind", &raw.kind, Kind::ALL, Kind::word);
        let effect = self.word(&at("effect"), "effect", &raw.effect, Effect::ALL, Effect::word);
        let stage = self.word(&at("stage"), "stage", &raw.stage, Stage::ALL, Stage::word);
        let status = raw
            .status
            .as_ref()
            .and_then(|s| self.word(&at("status"), "status", s, Status::ALL, Status::word));
        let assume_bites = match raw.on_unknown.as_deref() {
            None | Some("ask") => false,
            Some("assume-bites") => true,
            Some(other) => {
                self.say(
                    &at("on_unknown"),
                    format!("no on_unknown `{other}`"),
                    "ask, assume-bites",
                    "use one of these",
                );
                false
            }
        };
        if raw.summary.trim().is_empty() {
            self.say(&at("summary"), "the summary is empty", "the rule in own words", "write it");
        }
        let mut species = BTreeSet::new();
        for (i, code) in raw.species.iter().enumerate() {
            match self.vocab.expand(code) {
                Some(some) => species.extend(some),
                None => self.say(
                    &format!("{path}.species[{i}]"),
                    format!("no species or group `{code}`"),
                    "codes of the law facts, or *GROUP",
                    "correct the code, or add the species",
                ),
            }
        }
        let mut drill = Vec::new();
        for d in &raw.drill {
            if let Some((_, atom)) = Atom::DRILL.iter().find(|(w, _)| w == d) {
                drill.push(*atom);
            } else {
                let all = Atom::DRILL.iter().map(|(w, _)| *w).collect::<Vec<_>>().join(", ");
                self.say(&at("drill"), format!("no drill word `{d}`"), &all, "use one of these");
            }
        }
        let when = self.clauses(&raw.when, &at("when"), zones);
        let check = self.clauses(&raw.check, &at("check"), zones);
        let when_any = self.any(&raw.when_any, &at("when_any"), zones);
        let check_any = self.any(&raw.check_any, &at("check_any"), zones);
        let cite = self.cite(&raw.cite, &at("cite"));
        let rule = Rule {
            id: raw.id.clone(),
            kind: kind?,
            effect: effect?,
            stage: stage?,
            summary: raw.summary.clone(),
            species,
            status,
            as_written: raw.as_written.clone(),
            conflict: raw.conflict.clone(),
            report_to: raw.report_to.clone(),
            note: raw.note.clone(),
            cite: cite?,
            preempted_by: raw.preempted_by.clone(),
            species_from: raw.species_from.0.clone(),
            defines: raw.defines.clone(),
            assume_bites,
            drill,
            when,
            when_any,
            check,
            check_any,
        };
        let tests_species =
            rule.clauses().any(|c| matches!(c.test, Test::InRuleSpecies | Test::NoneInRuleSpecies));
        if tests_species && rule.species.is_empty() && rule.species_from.is_empty() {
            self.say(
                &at("species"),
                "the rule tests its species but names none",
                "species or species_from",
                "name them",
            );
        }
        self.size(raw, &rule, path);
        self.counts(raw, &rule, path);
        Some(rule)
    }

    fn clauses(&mut self, raw: &[RawClause], path: &str, zones: &BTreeSet<&str>) -> Vec<Clause> {
        let mut out = Vec::with_capacity(raw.len());
        for (i, c) in raw.iter().enumerate() {
            let path = format!("{path}[{i}]");
            match Clause::of(c, self.vocab) {
                Err(e) => self.refuse(&path, e),
                Ok(clause) => {
                    if let ("trip.place", Test::List { of, .. }) = (clause.fact.as_str(), &clause.test)
                        && let Some(z) = of.iter().find(|z| !zones.contains(z.as_str()))
                    {
                        self.say(
                            &path,
                            format!("the zone `{z}` is not declared"),
                            "the pack's id or a zone of [pack.zones]",
                            "declare it with its bounds",
                        );
                    }
                    out.push(clause);
                }
            }
        }
        out
    }

    fn any(&mut self, raw: &[Vec<RawClause>], path: &str, zones: &BTreeSet<&str>) -> Vec<Vec<Clause>> {
        let mut out = Vec::with_capacity(raw.len());
        for (i, list) in raw.iter().enumerate() {
            if list.is_empty() {
                self.say(
                    path,
                    "an empty list of clauses would always hold",
                    "clauses",
                    "fill it or take it out",
                );
            }
            out.push(self.clauses(list, &format!("{path}[{i}]"), zones));
        }
        out
    }

    fn cite(&mut self, raw: &RawCite, path: &str) -> Option<Cite> {
        let evidence =
            self.word(&format!("{path}.evidence"), "evidence", &raw.evidence, Evidence::ALL, Evidence::word);
        if evidence.is_some_and(|e| e != Evidence::Recalled) && raw.url.trim().is_empty() {
            let got = format!("{} without an address", raw.evidence);
            self.say(
                &format!("{path}.url"),
                got,
                "the address of the page read",
                "give it, or mark the rule RECALLED",
            );
        }
        if !(0.0..=1.0).contains(&raw.confidence) {
            let got = format!("confidence is {}", raw.confidence);
            self.say(&format!("{path}.confidence"), got, "0 to 1", "correct it");
        }
        let note = match (&raw.note, &raw.effective_evidence) {
            (Some(n), Some(e)) => Some(format!("{n} Effective date: {e}.")),
            (None, Some(e)) => Some(format!("Effective date: {e}.")),
            (n, None) => n.clone(),
        };
        Some(Cite {
            section: raw.section.clone(),
            title: raw.title.clone(),
            url: raw.url.clone(),
            effective: raw.effective.0,
            as_of: raw.as_of.0,
            evidence: evidence?,
            confidence: raw.confidence,
            note,
        })
    }

    /// A size rule names its measure, tests that very measure, and its limit is the printed one unrounded.
    fn size(&mut self, raw: &RawRule, rule: &Rule, path: &str) {
        let at = |key: &str| format!("{path}.{key}");
        if raw.min_mm.is_none() && raw.max_mm.is_none() {
            if let Some(m) = &raw.measure {
                self.say(
                    &at("measure"),
                    format!("measure {m} without min_mm or max_mm"),
                    "both",
                    "give the limit",
                );
            }
            return;
        }
        let fact = match raw.measure.as_deref() {
            Some("fork") => "fish.fork_length_mm",
            Some("total") => "fish.total_length_mm",
            Some("interdorsal") => "fish.interdorsal_mm",
            _ => {
                self.say(
                    &at("measure"),
                    "a length limit needs its measure named",
                    "fork, total, interdorsal",
                    "say how the fish is measured",
                );
                return;
            }
        };
        for (limit, least) in [(raw.min_mm, true), (raw.max_mm, false)] {
            let Some(limit) = limit else { continue };
            let key = if least { "min_mm" } else { "max_mm" };
            let tested = rule.checks().any(|c| {
                c.fact == fact
                    && matches!(&c.test, Test::Number(cmp, x)
                        if super::value::same(*x, limit) && matches!((cmp, least),
                            (super::clause::Cmp::Ge | super::clause::Cmp::Gt, true)
                            | (super::clause::Cmp::Le | super::clause::Cmp::Lt, false)))
            });
            if !tested {
                let got = format!("the limit of {limit} mm is not tested on `{fact}`");
                self.say(
                    &at(key),
                    got,
                    "a check of that fact against that number",
                    "let check and limit agree",
                );
            }
            match raw.as_written.as_deref().map(printed) {
                Some(Some(l)) if super::value::same(l.m() * 1000.0, limit) => {}
                Some(Some(l)) => {
                    let got = format!("{limit} mm is not the printed limit ({} mm)", l.m() * 1000.0);
                    self.say(&at(key), got, "the exact conversion", "never round a limit");
                }
                _ => self.say(
                    &at("as_written"),
                    "a length limit needs the printed figure with its unit",
                    "as_written = \"54 in fork length\"",
                    "copy the figure as the law prints it",
                ),
            }
        }
    }

    /// A number kept is tested, and with that number.
    fn counts(&mut self, raw: &RawRule, rule: &Rule, path: &str) {
        let limits = [
            ("max_per_person_day", raw.max_per_person_day, "count.kept_sharks_person_day"),
            ("max_per_vessel", raw.max_per_vessel, "count.kept_sharks_vessel_trip"),
            ("max_per_vessel_trip", raw.max_per_vessel_trip, "count.kept_sharks_vessel_trip"),
        ];
        for (key, limit, fact) in limits {
            let Some(limit) = limit.map(f64::from) else { continue };
            let tested = rule.checks().any(|c| {
                c.fact == fact && matches!(c.test, Test::Number(super::clause::Cmp::Le, x) if x == limit)
            });
            if !tested {
                let got = format!("{key} = {limit} is not tested");
                self.say(
                    &format!("{path}.{key}"),
                    got,
                    &format!("check {fact} le {limit}"),
                    "let check and limit agree",
                );
            }
        }
    }
}

/// The first length in a printed limit.
fn printed(text: &str) -> Option<Length> {
    let words: Vec<&str> = text.split_whitespace().collect();
    words.windows(2).find_map(|w| match w {
        [number, unit] if number.starts_with(|c: char| c.is_ascii_digit()) => {
            format!("{number}{unit}").parse().ok()
        }
        _ => None,
    })
}
