//! The check of an outing: every loaded rule, for each person and spot it concerns.

use super::change::{ahead, change};
use super::clause::Test;
use super::eval::{Answer, Context};
use super::fact_set::{FactSet, Spot};
use super::pack::{Pack, Rule};
use super::packs::LawPacks;
use super::query::Query;
use super::report::{Ask, Call, Finding, Input, LawReport, PackUsed, READING_AID};
use super::value::{Given, Tri, Value};
use super::words::{Cover, Effect, Evidence, Kind, Level, Severity, Verdict};
use crate::Result;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// What a rule says for one person at one spot.
struct Outcome {
    verdict: Verdict,
    bites: Tri,
    assumed: bool,
    inputs: Vec<Input>,
    missing: BTreeSet<String>,
    change: Option<String>,
}

/// Packs chosen and facts completed, with the terms each person and spot meets.
struct Court<'a> {
    packs: Vec<&'a Pack>,
    chosen: BTreeSet<&'a str>,
    facts: FactSet,
    levels: BTreeSet<Level>,
    superseded: BTreeSet<&'a str>,
    of_person: BTreeSet<&'a str>,
    of_place: BTreeSet<&'a str>,
}

/// Checks an outing against the packs of its place.
///
/// Refuses an unknown pack and packs whose parents are out of order. Everything else is a finding: what the
/// packs do not say is in `ask`, what the facts do not say in `missing`, and neither is ever a permission.
pub fn check(law: &LawPacks, facts: &FactSet, query: &Query) -> Result<LawReport> {
    let court = Court::call(law, facts, query)?;
    let mut findings = Vec::new();
    let mut biting: BTreeSet<(&str, Kind)> = BTreeSet::new();
    let mut defined: BTreeSet<String> = BTreeSet::new();
    for pack in &court.packs {
        for rule in &pack.rules {
            if court.superseded.contains(rule.id.as_str()) {
                findings.push(finding(
                    pack,
                    rule,
                    None,
                    &Court::empty(Verdict::Superseded),
                    query,
                    court.date(),
                ));
                biting.insert((&pack.id, rule.kind));
                continue;
            }
            for person in court.persons(rule) {
                let outcome = court.worst(law, pack, rule, person, query, &mut defined);
                if outcome.bites == Tri::Yes {
                    biting.insert((&pack.id, rule.kind));
                }
                if outcome.verdict != Verdict::Silent {
                    let name = person.and_then(|i| court.facts.persons().nth(i));
                    findings.push(finding(pack, rule, name, &outcome, query, court.date()));
                }
            }
        }
    }
    findings.sort_by(|a, b| {
        (a.severity, a.level, &a.rule, &a.person).cmp(&(b.severity, b.level, &b.rule, &b.person))
    });
    let mut report = LawReport {
        schema: "tailrope.law/1",
        place: query.place.clone(),
        packs: court
            .packs
            .iter()
            .map(|p| PackUsed {
                id: p.id.clone(),
                level: p.level,
                as_of: p.as_of,
                review_by: p.review_by,
                stale: p.stale(query.read_on),
                hash: p.hash.clone(),
                own: p.own,
            })
            .collect(),
        trip_date: court.date(),
        read_on: query.read_on,
        stage: query.stage,
        verdict: Call::Caution,
        findings,
        ask: court.asks(query, &biting),
        defined: defined.into_iter().collect(),
        ask_joined: Vec::new(),
        reading_aid: READING_AID,
    };
    report.close();
    Ok(report)
}

/// Every rule that is neither replaced nor struck: whether it bites, and whether the fish is one it names.
pub(super) fn standing<'a>(
    law: &'a LawPacks,
    facts: &FactSet,
    query: &Query,
) -> Result<Vec<(&'a Rule, Tri, Tri)>> {
    let court = Court::call(law, facts, query)?;
    let no_terms = BTreeMap::new();
    let cx = Context {
        vocab: law.vocabulary(),
        facts: &court.facts,
        person: None,
        place: None,
        levels: &court.levels,
        terms: &no_terms,
    };
    let mut out = Vec::new();
    for pack in &court.packs {
        for rule in pack.rules.iter().filter(|r| !court.superseded.contains(r.id.as_str())) {
            for person in court.persons(rule) {
                let o = court.worst(law, pack, rule, person, query, &mut BTreeSet::new());
                if o.verdict != Verdict::Struck {
                    out.push((rule, o.bites, cx.names_fish(rule)));
                }
            }
        }
    }
    Ok(out)
}

impl<'a> Court<'a> {
    fn call(law: &'a LawPacks, facts: &FactSet, query: &Query) -> Result<Self> {
        let places: Vec<String> = facts.all_places().into_iter().map(str::to_owned).collect();
        let mut chosen: BTreeSet<&str> = law.at(&places).into_iter().collect();
        let mut named = BTreeSet::new();
        for id in &query.packs {
            named.insert(law.pack(id)?.id.as_str());
        }
        chosen.extend(&named);
        let packs = law.with_parents(chosen.iter().copied())?;
        let mut facts = facts.completed(&named);
        if let Some(day) = query.trip_date
            && facts.get("trip.date").is_none()
        {
            facts.set("trip.date", Given::Date(day))?;
        }
        let rules = || packs.iter().flat_map(|p| &p.rules);
        let touching = |fact: &dyn Fn(&str) -> bool| -> BTreeSet<&'a str> {
            let mut found: BTreeSet<&str> = BTreeSet::new();
            let mut terms: BTreeSet<&str> = BTreeSet::new();
            // Terms may hang on terms; every pass adds at least one rule or is the last.
            loop {
                let before = found.len();
                for rule in rules() {
                    let touches = rule.clauses().any(|c| {
                        fact(&c.fact) || matches!(&c.test, Test::Defined(t) if terms.contains(t.as_str()))
                    });
                    if touches && found.insert(&rule.id) {
                        terms.extend(rule.defines.as_deref());
                    }
                }
                if found.len() == before {
                    return found;
                }
            }
        };
        let of_person = touching(&|f| law.vocabulary().fact(f).is_ok_and(|s| s.per_person));
        let of_place = touching(&|f| f == "trip.place");
        Ok(Self {
            levels: packs.iter().map(|p| p.level).collect(),
            superseded: packs.iter().flat_map(|p| p.supersedes.iter().map(String::as_str)).collect(),
            chosen: packs.iter().map(|p| p.id.as_str()).collect(),
            of_person,
            of_place,
            packs,
            facts,
        })
    }

    fn date(&self) -> Option<Date> {
        match self.facts.get("trip.date") {
            Some(Value::Date(d)) => Some(*d),
            _ => None,
        }
    }

    fn empty(verdict: Verdict) -> Outcome {
        Outcome {
            verdict,
            bites: Tri::No,
            assumed: false,
            inputs: Vec::new(),
            missing: BTreeSet::new(),
            change: None,
        }
    }

    /// For whom a rule is tested: each person where it is about persons, else once.
    fn persons(&self, rule: &Rule) -> Vec<Option<usize>> {
        let n = self.facts.persons().count();
        if n == 0 || !self.of_person.contains(rule.id.as_str()) {
            return vec![None];
        }
        (0..n).map(Some).collect()
    }

    /// Which spots a rule concerns.
    fn places(&self, rule: &Rule) -> Vec<Option<&Value>> {
        if !self.facts.has_spots() || !self.of_place.contains(rule.id.as_str()) {
            return vec![self.facts.get("trip.place")];
        }
        let spots: &[Spot] = match rule.kind {
            Kind::Vehicle => &[Spot::Vehicle],
            Kind::AccessHours | Kind::FireCamp => &[Spot::Stand, Spot::Vehicle],
            _ => &[Spot::Stand, Spot::Bait],
        };
        spots.iter().map(|s| self.facts.place(*s)).collect()
    }

    fn worst(
        &self,
        law: &LawPacks,
        pack: &Pack,
        rule: &Rule,
        person: Option<usize>,
        query: &Query,
        defined: &mut BTreeSet<String>,
    ) -> Outcome {
        let mut worst = Self::empty(Verdict::Silent);
        let mut bites = Tri::No;
        for place in self.places(rule) {
            let terms = self.terms(law, person, place);
            defined.extend(terms.iter().filter(|(_, a)| a.tri == Tri::Yes).map(|(t, _)| (*t).to_owned()));
            let cx = Context {
                vocab: law.vocabulary(),
                facts: &self.facts,
                person,
                place,
                levels: &self.levels,
                terms: &terms,
            };
            let outcome = self.rule(pack, rule, &cx, query);
            bites = match (bites, outcome.bites) {
                (Tri::Yes, _) | (_, Tri::Yes) => Tri::Yes,
                (Tri::Unknown, _) | (_, Tri::Unknown) => Tri::Unknown,
                _ => Tri::No,
            };
            if outcome.verdict < worst.verdict {
                worst = outcome;
            }
        }
        worst.bites = bites;
        worst
    }

    /// Which terms are met, for one person at one spot. Definitions come first and may hang on each other.
    fn terms<'t>(
        &'t self,
        law: &LawPacks,
        person: Option<usize>,
        place: Option<&'t Value>,
    ) -> BTreeMap<&'t str, Answer> {
        let definers: Vec<(&str, &Rule)> = self
            .packs
            .iter()
            .flat_map(|p| &p.rules)
            .filter(|r| !self.superseded.contains(r.id.as_str()))
            .filter(|r| r.preempted_by.as_deref().is_none_or(|p| !self.chosen.contains(p)))
            .filter_map(|r| r.defines.as_deref().map(|t| (t, r)))
            .collect();
        let mut terms: BTreeMap<&str, Answer> = BTreeMap::new();
        for _ in 0..=definers.len() {
            let mut next: BTreeMap<&str, Vec<Answer>> = BTreeMap::new();
            for (term, rule) in &definers {
                let cx = Context {
                    vocab: law.vocabulary(),
                    facts: &self.facts,
                    person,
                    place,
                    levels: &self.levels,
                    terms: &terms,
                };
                let mut answer = cx.bites(rule);
                if answer.tri == Tri::Unknown && rule.assume_bites {
                    answer.tri = Tri::Yes;
                }
                answer.recalled |= rule.cite.evidence == Evidence::Recalled;
                next.entry(term).or_default().push(answer);
            }
            let next: BTreeMap<&str, Answer> = next
                .into_iter()
                .map(|(term, answers)| {
                    let yes: Vec<&Answer> = answers.iter().filter(|a| a.tri == Tri::Yes).collect();
                    let tri = if !yes.is_empty() {
                        Tri::Yes
                    } else if answers.iter().any(|a| a.tri == Tri::Unknown) {
                        Tri::Unknown
                    } else {
                        Tri::No
                    };
                    let recalled = !yes.is_empty() && yes.iter().all(|a| a.recalled);
                    (term, Answer { tri, recalled })
                })
                .collect();
            if next == terms {
                break;
            }
            terms = next;
        }
        terms
    }

    /// What one rule says.
    fn rule(&self, pack: &Pack, rule: &Rule, cx: &Context<'_>, query: &Query) -> Outcome {
        let bites = cx.bites(rule);
        let assumed = bites.tri == Tri::Unknown && rule.assume_bites;
        let late = ahead(rule.stage, query.stage);
        let open = if late { Verdict::Reminder } else { Verdict::NeedFact };
        let mut recalled = rule.cite.evidence == Evidence::Recalled || bites.recalled;
        let struck = rule.preempted_by.as_deref().is_some_and(|p| self.chosen.contains(p));
        let mut missing = BTreeSet::new();
        let checkless = rule.check.is_empty() && rule.check_any.is_empty();
        let verdict = match bites.tri {
            Tri::No => Verdict::Silent,
            _ if struck => Verdict::Struck,
            Tri::Unknown if !assumed => {
                missing = cx.missing(rule, rule.whens());
                open
            }
            _ if rule.kind == Kind::Pending => Verdict::Pending,
            _ if checkless && rule.effect == Effect::Inform => Verdict::Inform,
            _ if checkless => Verdict::Reminder,
            _ => {
                let kept = cx.kept(rule);
                match kept.tri {
                    Tri::Yes => Verdict::Comply,
                    Tri::No if rule.effect == Effect::Inform => Verdict::AskAgency,
                    Tri::No => {
                        recalled |= kept.recalled;
                        Verdict::Breach
                    }
                    Tri::Unknown => {
                        missing = cx.missing(rule, rule.checks());
                        open
                    }
                }
            }
        };
        // Gate first on evidence, then on the review day.
        let verdict = match verdict {
            Verdict::Comply if recalled => Verdict::AskAgency,
            Verdict::Breach if recalled => Verdict::LikelyBreach,
            Verdict::Comply if pack.stale(query.read_on) => Verdict::Stale,
            v => v,
        };
        let verdict = self.confirmed(verdict, &rule.id, query);
        Outcome {
            verdict,
            bites: if assumed { Tri::Yes } else { bites.tri },
            assumed: assumed && verdict != Verdict::Struck,
            inputs: cx
                .inputs(rule.clauses())
                .into_iter()
                .map(|(fact, value)| Input { fact, value })
                .collect(),
            change: change(verdict, rule, pack, cx, &missing),
            missing,
        }
    }

    /// What an agency's answer of the day makes of a verdict.
    fn confirmed(&self, verdict: Verdict, about: &str, query: &Query) -> Verdict {
        let Some(answer) = query.answer(about, self.date()) else { return verdict };
        match (verdict, answer.lawful) {
            (Verdict::LikelyBreach | Verdict::AskAgency | Verdict::Stale, true) => Verdict::Inform,
            (Verdict::LikelyBreach | Verdict::AskAgency | Verdict::Stale | Verdict::Comply, false) => {
                Verdict::Breach
            }
            (v, _) => v,
        }
    }

    /// What the packs are silent about.
    fn asks(&self, query: &Query, biting: &BTreeSet<(&str, Kind)>) -> Vec<Ask> {
        let mut out = Vec::new();
        let told = |about: &str| query.answer(about, self.date()).is_some_and(|c| c.lawful);
        for pack in &self.packs {
            for &kind in Kind::ALL {
                let silent = !matches!(kind, Kind::Info | Kind::Pending)
                    && pack.cover(kind) != Cover::Full
                    && !biting.contains(&(pack.id.as_str(), kind));
                if silent && !told(&format!("{}#{kind}", pack.id)) {
                    out.push(Ask {
                        pack: pack.id.clone(),
                        kind: kind.word().to_owned(),
                        contact: pack.contact.clone(),
                        authority: pack.authority.clone(),
                    });
                }
            }
        }
        let mut none = |what: String, who: String, kind: &str| {
            if !told(&format!("{what}#{kind}")) {
                out.push(Ask {
                    pack: what,
                    kind: kind.to_owned(),
                    contact: format!("no law pack at hand: ask {who}"),
                    authority: who,
                });
            }
        };
        if self.packs.is_empty() {
            none("none".into(), "the fisheries agency of this coast".into(), "every rule");
        }
        let lies: BTreeSet<Level> = query.lies_in.iter().copied().collect();
        for level in lies.difference(&self.levels) {
            none(level.word().to_owned(), format!("the {level} office here"), "every rule");
        }
        for place in self.facts.all_places() {
            let known = self.packs.iter().any(|p| p.id == place || p.zones.contains_key(place));
            if !known {
                none(place.to_owned(), format!("whoever rules over `{place}`"), "every rule");
            }
        }
        out
    }
}

fn finding(
    pack: &Pack,
    rule: &Rule,
    person: Option<&str>,
    o: &Outcome,
    query: &Query,
    date: Option<Date>,
) -> Finding {
    let conflict = rule.conflict.clone();
    let note = if o.verdict == Verdict::Struck {
        Some(format!(
            "struck through: {} pre-empts it; keep it as good manners{}",
            rule.preempted_by.as_deref().unwrap_or("a higher law"),
            rule.note.as_ref().map_or(String::new(), |n| format!(". {n}"))
        ))
    } else {
        let told = query
            .answer(&rule.id, date)
            .filter(|_| matches!(o.verdict, Verdict::Inform | Verdict::Breach))
            .map(|c| format!("Asked on {}: {}.", c.on, c.said));
        let parts: Vec<String> = told.into_iter().chain(rule.note.clone()).collect();
        (!parts.is_empty()).then(|| parts.join(" "))
    };
    Finding {
        rule: rule.id.clone(),
        pack: pack.id.clone(),
        kind: rule.kind,
        effect: rule.effect,
        stage: rule.stage,
        verdict: o.verdict,
        severity: o.verdict.severity(conflict.is_some()).unwrap_or(Severity::Note),
        conflict,
        person: person.map(str::to_owned),
        summary: rule.summary.clone(),
        inputs: o.inputs.clone(),
        missing: o.missing.iter().cloned().collect(),
        change: o.change.clone(),
        note,
        report_to: rule.report_to.clone(),
        cite: rule.cite.clone(),
        authority: pack.authority.clone(),
        contact: pack.contact.clone(),
        level: pack.level,
        assumed: o.assumed,
    }
}
