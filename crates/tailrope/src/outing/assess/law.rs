//! What the rule packs say of this night, at every moment of the wanted hours.
//!
//! The facts are read off the outing: the law is triggered by gear, place and hour, not by what a crew says it
//! is after. What the outing does not say stays unknown, and the engine asks for it.

use super::Ctx;
use crate::Error;
use crate::Result;
use crate::facts::{Grade, Known, Source};
use crate::fish::Group;
use crate::law::{self, Evidence, FactSet, Given, LawReport, Level, Query, Spot, Stage, Verdict as Said};
use crate::outing::file::{BaitKind, Clip, Delivery, Manner};
use crate::outing::finding::{Finding, Findings, Reason};
use crate::outing::rig::rig_facts;
use crate::outing::text::capital;
use crate::outing::windows::Step;
use crate::outing::{Severity, Topic};
use crate::people::Person;
use crate::quantity::Interval;
use crate::sky::{What, sun_events};
use std::collections::{BTreeMap, BTreeSet};

/// What the law gives to the rest of the plan.
pub(in crate::outing) struct Judged {
    /// Rules cited by stops and cautions.
    pub sources: Vec<Source>,
    /// Fish that stay in the water, by name.
    pub in_water_only: Vec<String>,
    /// Rules barred at each moment beside those barred all night.
    barred: Vec<Vec<String>>,
    /// Rules barred all night.
    all_night: Vec<String>,
}

impl Judged {
    /// What the law adds to a step.
    pub fn at(&self, step: usize, to: &mut Step) {
        for rule in self.all_night.iter().chain(self.barred.get(step).into_iter().flatten()) {
            to.stops.push(format!("the law: {rule}"));
        }
    }
}

/// The question put to the packs.
pub(in crate::outing) fn query(ctx: &Ctx<'_>) -> Result<Query> {
    let b = &ctx.outing.beach;
    let mut lies_in = Vec::new();
    for word in &b.law_levels {
        lies_in.push(Level::of_word(word).ok_or_else(|| {
            Error::new(
                format!("`{word}` is no level of rule-making"),
                "federal, state, county, city, park, site",
                "write the levels in which the beach lies",
            )
            .within("beach.law_levels")
        })?);
    }
    Ok(Query {
        place: b.name.clone(),
        packs: b.law_packs.clone(),
        stage: Stage::Plan,
        trip_date: Some(ctx.hours.date()),
        read_on: ctx.options.read_on,
        lies_in,
        confirmations: Vec::new(),
    })
}

/// Everything the outing says that a rule may ask.
pub(in crate::outing) fn facts(ctx: &Ctx<'_>) -> Result<FactSet> {
    let o = ctx.outing;
    let vocabulary = ctx.facts.law.vocabulary();
    let mut f = FactSet::new(vocabulary);
    let in_states = o.beach.law_packs.iter().any(|p| p.starts_with("us-"));
    f.set("trip.mode", "shore")?;
    f.set("trip.water", if in_states { "state" } else { "foreign" })?;
    f.set("trip.targets_sharks", ctx.fish.target.species.group == Group::Shark)?;
    if let Some(code) = ctx.fish.target.species.law.first() {
        f.set("trip.intent_species", vec![code.clone()])?;
    }
    f.set("trip.keeps_sharks", false)?;
    f.set("fish.retain", false)?;
    f.set_known("trip.tournament", o.law.tournament.get())?;
    f.set_known("trip.bait_position.dist_from_shore_m", o.bait.distance.get())?;
    gear(ctx, &mut f)?;
    bait(ctx, &mut f)?;
    f.set_known("vehicle.on_beach", o.law.vehicle_on_beach.get())?;
    f.set_known("vehicle.road_registered", o.law.vehicle_road_registered.get())?;
    f.set_known("gear.lines_per_person", o.law.lines_per_person.get().map(u32::from))?;
    if let Known::Known(d) = o.beach.bathers {
        f.set("site.nearest_bather_m", d)?;
        let near =
            ctx.limits.row("bathers.distance_m").and_then(|r| r.stop).is_some_and(|b| b.crossed(d.m()));
        f.set("site.bathers_near", near)?;
    }
    if o.landing.manner == Known::Known(Manner::LeaderOnly)
        && o.landing.air.get().is_some_and(|a| a.s() == 0.0)
    {
        f.set("fish.out_of_water", "no")?;
    }
    if o.landing.manner == Known::Known(Manner::Roped) {
        f.set("fish.handling", Given::AtLeast(vec!["tail-rope".to_owned()]))?;
    }
    if let Known::Known(zones) = &o.beach.law_zones {
        let mut places = o.beach.law_packs.clone();
        places.extend(zones.iter().cloned());
        for spot in [Spot::Stand, Spot::Bait, Spot::Vehicle] {
            f.set_place(spot, places.clone())?;
        }
    }
    for p in &o.person {
        person(ctx, p, &mut f)?;
    }
    for (id, value) in &o.law.facts {
        f.set_json(id, value).map_err(|e| e.within("law.facts"))?;
    }
    Ok(f)
}

fn person(ctx: &Ctx<'_>, p: &Person, f: &mut FactSet) -> Result<()> {
    if p.onlooker {
        return Ok(());
    }
    f.add_person(&p.name);
    if let Known::Known(age) = p.age {
        f.set_for(&p.name, "person.age", u32::from(age))?;
    }
    let Known::Known(papers) = &p.papers else { return Ok(()) };
    let last = ctx.hours.civil(ctx.hours.until).date();
    let good: Vec<String> =
        papers.iter().filter(|q| q.good_on(last) == Known::Known(true)).map(|q| q.kind.clone()).collect();
    // A paper whose expiry nobody knows leaves the list open: its absence is a question then, not a breach.
    let open = papers.iter().any(|q| q.good_on(last).is_unknown());
    f.set_for(&p.name, "person.documents", if open { Given::AtLeast(good) } else { Given::List(good) })
        .map_err(|e| e.within(format!("papers of {}", p.name)))?;
    Ok(())
}

fn gear(ctx: &Ctx<'_>, f: &mut FactSet) -> Result<()> {
    let (o, tables) = (ctx.outing, &ctx.facts.tackle);
    let rig = &o.rig;
    f.set("gear.kind", "rod-and-reel")?;
    f.set_known("gear.reel_powered", ctx.main_outfit().reel.powered.get())?;
    rig_facts(f, rig, tables)?;
    if let (Known::Known(hooks), Known::Known(lines)) = (rig.hook_count(), o.law.lines_per_person) {
        f.set("gear.hook.count_total", u32::from(hooks) * u32::from(lines))?;
    }
    f.set_known("gear.harness", o.safety.clip.get().map(|c| c != Clip::NotClipped))?;
    if let Known::Known(have) = &o.kit.have {
        let has = |id: &str| have.iter().any(|h| h == id);
        let mut codes: Vec<String> = Vec::new();
        for (ours, code) in [
            ("bolt-cutter", "bolt-cutter"),
            ("bolt-cutter", "hook-cutter"),
            ("wire-cutter", "wire-cutter-rated-for-leader"),
            ("turtle-card", "stranding-number-card"),
        ] {
            if has(ours) && !codes.iter().any(|c| c == code) {
                codes.push(code.to_owned());
            }
        }
        if o.bait.white_light.get() == Some(true) {
            codes.push("white-light".to_owned());
        }
        if o.bait.float.get() == Some(true) {
            codes.push("pfd-per-paddler".to_owned());
        }
        f.set("kit", codes)?;
    }
    Ok(())
}

fn bait(ctx: &Ctx<'_>, f: &mut FactSet) -> Result<()> {
    let o = ctx.outing;
    let kind = o.bait.kind.get().map(|k| match k {
        BaitKind::LiveNatural => "live-natural",
        BaitKind::DeadNatural => "dead-natural",
        BaitKind::ArtificialLure => "artificial-lure",
        BaitKind::Fly => "fly",
    });
    f.set_known("bait.kind", kind)?;
    f.set_known("bait.is_game_fish", o.law.bait_is_game_fish.get())?;
    let delivery = o.bait.delivery.get();
    f.set_known(
        "bait.delivery",
        delivery.map(|d| match d {
            Delivery::Cast => "cast",
            Delivery::Kayak => "kayak",
            Delivery::Board => "board",
            Delivery::Swim => "swim",
            Delivery::Drone => "drone",
            Delivery::RcCraft => "rc-craft",
            Delivery::Boat => "motor-vessel",
            Delivery::Launcher => "launcher",
        }),
    )?;
    f.set_known(
        "craft.launches",
        delivery.map(|d| match d {
            Delivery::Kayak => vec!["kayak".to_owned()],
            Delivery::Board => vec!["board".to_owned()],
            Delivery::Boat => vec!["motor-hard-hull".to_owned()],
            _ => Vec::new(),
        }),
    )?;
    f.set_known("chum.used", o.bait.chum.get())?;
    if o.bait.chum == Known::Known(false) {
        f.set("chum.kind", "none")?;
    }
    Ok(())
}

/// A refusal without a place is about a pack that the outing names.
fn named(e: crate::Error) -> crate::Error {
    if e.place.is_empty() { e.within("beach.law_packs") } else { e }
}

/// The same facts at each moment of the wanted hours.
fn at_moments(ctx: &Ctx<'_>, base: &FactSet, query: &Query) -> Result<Vec<LawReport>> {
    let place = crate::quantity::Place::of_deg(ctx.outing.beach.latitude, ctx.outing.beach.longitude)?;
    let day = sun_events(place, Interval::civil_day(ctx.hours.date(), &ctx.hours.zone)?)?;
    let time = |what| day.iter().find(|e| e.what == what).map(|e| ctx.hours.civil(e.at).time());
    let mut f = base.clone();
    if let (Some(rise), Some(set)) = (time(What::Sunrise), time(What::Sunset)) {
        f.set_sun(rise, set)?;
    }
    ctx.moments
        .iter()
        .map(|m| {
            f.set_moment(ctx.hours.civil(m.at))?;
            law::check(&ctx.facts.law, &f, query).map_err(named)
        })
        .collect()
}

/// Identity of a finding from one moment to the next.
type Key = (String, Option<String>);

fn key(f: &law::Finding) -> Key {
    (f.rule.clone(), f.person.clone())
}

fn stops(r: &LawReport) -> BTreeSet<Key> {
    r.of(law::Severity::Stop).map(key).collect()
}

/// The report at the moment of the wanted hours at which the law leaves most: what bars that bars the night.
pub(in crate::outing) fn at_best(ctx: &Ctx<'_>) -> Result<LawReport> {
    let query = query(ctx)?;
    let base = facts(ctx)?;
    let reports = at_moments(ctx, &base, &query)?;
    let used = ctx.bait_moments().count().clamp(1, reports.len().max(1));
    match reports.into_iter().take(used).min_by_key(|r| stops(r).len()) {
        Some(best) => Ok(best),
        None => law::check(&ctx.facts.law, &base, &query).map_err(named),
    }
}

/// Judges the law.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) -> Result<Judged> {
    let query = query(ctx)?;
    let base = facts(ctx)?;
    let reports = at_moments(ctx, &base, &query)?;
    let used = ctx.bait_moments().count().clamp(1, reports.len().max(1));
    let during = &reports[..used.min(reports.len())];
    // The plan is judged at the moment at which the law leaves most: what bars that bars the night.
    let Some(best) = during.iter().min_by_key(|r| stops(r).len()) else {
        return Ok(Judged { sources: vec![], in_water_only: vec![], barred: vec![], all_night: vec![] });
    };
    let all_night = stops(best);
    let barred: Vec<Vec<String>> = reports
        .iter()
        .map(|r| stops(r).difference(&all_night).map(|(rule, _)| rule.clone()).collect())
        .collect();
    let mut sources = Vec::new();
    findings(ctx, best, f, &mut sources);
    // Questions that only another moment asks: a rule by the hour may be silent at the best one.
    let mut told: BTreeSet<Key> =
        best.findings.iter().filter(|x| x.severity != law::Severity::Note).map(key).collect();
    for x in during.iter().flat_map(|r| r.of(law::Severity::Caution)) {
        if !matches!(x.verdict, Said::AskAgency | Said::Stale) && told.insert(key(x)) {
            f.push(one(
                ctx,
                x,
                severity(ctx, law::Severity::Caution),
                format!("At some of the wanted hours: {}", x.summary),
            ));
            sources.push(source(x));
        }
    }
    for rule in barred.iter().take(used).flatten().collect::<BTreeSet<_>>() {
        let told = during.iter().flat_map(|r| r.findings.iter()).find(|x| &x.rule == rule);
        if let Some(x) = told {
            let sentence = format!("At some of the wanted hours the law bars it: {}", x.summary);
            f.push(one(ctx, x, Severity::Caution, sentence));
            sources.push(source(x));
        }
    }
    Ok(Judged {
        sources,
        in_water_only: in_water(ctx, &query)?,
        barred,
        all_night: all_night.into_iter().map(|(rule, _)| rule).collect::<BTreeSet<_>>().into_iter().collect(),
    })
}

fn severity(ctx: &Ctx<'_>, of: law::Severity) -> Severity {
    let word = match of {
        law::Severity::Stop => "breach",
        law::Severity::Caution => "open",
        law::Severity::Note => "none",
    };
    ctx.limits.word("law.breach", Known::Known(word)).severity().unwrap_or(Severity::Note)
}

fn grade(e: Evidence) -> Grade {
    match e {
        Evidence::Seen => Grade::Published,
        Evidence::SeenSecondary => Grade::SecondHand,
        Evidence::Recalled => Grade::Recalled,
    }
}

fn source(x: &law::Finding) -> Source {
    let c = &x.cite;
    let day = |d: Option<jiff::civil::Date>| d.map_or_else(|| "undated".to_owned(), |d| d.to_string());
    let section = if c.section.is_empty() { String::new() } else { format!("{}, ", c.section) };
    Source {
        id: x.rule.clone(),
        cite: format!("{section}{} (read {}, evidence {})", c.title, day(c.as_of), grade(c.evidence).word()),
        url: c.url.clone(),
    }
}

fn one(_: &Ctx<'_>, x: &law::Finding, severity: Severity, sentence: String) -> Finding {
    let because = vec![Reason::new(
        format!("confidence in {}", x.rule),
        x.cite.confidence,
        "-",
        grade(x.cite.evidence),
        x.rule.clone(),
    )];
    let remedy = match (&x.change, severity) {
        (Some(change), _) => change.clone(),
        (None, Severity::Note) => String::new(),
        (None, _) => format!("ask {}: {}", x.authority, x.contact),
    };
    Finding {
        severity,
        topic: Topic::Law,
        sentence,
        because,
        remedy,
        rule: Some(x.rule.clone()),
        rule_grade: Some(grade(x.cite.evidence)),
        rule_source: Some(source(x).cite),
    }
}

fn findings(ctx: &Ctx<'_>, report: &LawReport, f: &mut Findings, sources: &mut Vec<Source>) {
    let mut stale: BTreeMap<&str, Vec<&law::Finding>> = BTreeMap::new();
    let mut kept: Vec<&str> = Vec::new();
    for x in &report.findings {
        let who = x.person.as_ref().map(|p| format!(" ({p})")).unwrap_or_default();
        match x.verdict {
            Said::Comply => kept.push(&x.rule),
            // Joined below: one finding for an authority, one for a pack past its review.
            Said::AskAgency => {}
            Said::Stale if x.conflict.is_none() => stale.entry(&x.pack).or_default().push(x),
            verdict => {
                let severity = severity(ctx, x.severity);
                let words = match verdict {
                    Said::Breach => "Unlawful".to_owned(),
                    Said::LikelyBreach => "Probably unlawful, ask first".to_owned(),
                    Said::NeedFact => {
                        let asks: Vec<&str> = x
                            .missing
                            .iter()
                            .map(|id| {
                                ctx.facts
                                    .law
                                    .vocabulary()
                                    .fact(id)
                                    .map_or(id.as_str(), |spec| spec.ask.as_str())
                            })
                            .collect();
                        format!("The law must know: {}", asks.join(" "))
                    }
                    Said::Stale => "Kept, but the pack is past its review and two texts differ".to_owned(),
                    Said::Pending => "A rule may change".to_owned(),
                    Said::Reminder => "The law asks later".to_owned(),
                    Said::Inform => "To know".to_owned(),
                    other => capital(other.word()),
                };
                f.push(one(ctx, x, severity, format!("{words}{who}: {}", x.summary)));
                if severity > Severity::Note {
                    sources.push(source(x));
                }
            }
        }
    }
    for (pack, list) in stale {
        let Some(first) = list.first() else { continue };
        let review =
            report.packs.iter().find(|p| p.id == pack).map(|p| p.review_by.to_string()).unwrap_or_default();
        let rules: BTreeSet<&str> =
            list.iter().map(|x| x.rule.rsplit('/').next().unwrap_or(&x.rule)).collect();
        let rules: Vec<&str> = rules.into_iter().collect();
        f.push(Finding {
            severity: severity(ctx, law::Severity::Caution),
            topic: Topic::Law,
            sentence: format!(
                "Kept as far as pack {pack} was read, but it is past its review day {review}: {}.",
                rules.join(", ")
            ),
            because: list
                .iter()
                .map(|x| {
                    Reason::new(
                        x.rule.clone(),
                        x.cite.confidence,
                        "-",
                        grade(x.cite.evidence),
                        x.rule.clone(),
                    )
                })
                .collect(),
            remedy: format!("read the agency's page again, or ask {}: {}", first.authority, first.contact),
            rule: Some(pack.to_owned()),
            rule_grade: None,
            rule_source: None,
        });
        sources.extend(list.iter().map(|x| source(x)));
    }
    for ask in &report.ask_joined {
        f.push(Finding {
            severity: severity(ctx, law::Severity::Caution),
            topic: Topic::Law,
            sentence: ask.sentence.clone(),
            because: vec![],
            remedy: "ask before the night, and keep the answer with its day and name".to_owned(),
            rule: Some("law.ask".to_owned()),
            rule_grade: None,
            rule_source: None,
        });
    }
    if !kept.is_empty() {
        kept.dedup();
        f.note(Topic::Law, format!("Kept: {}.", kept.join(", ")), vec![], Some("law.kept"));
    }
    if report.packs.is_empty() {
        f.judged(&ctx.limits.word("law.breach", Known::Unknown), "", vec![]);
    }
}

/// Fish that may take the bait and must stay in the water here, by name: any that a loaded rule prohibits or
/// handles apart.
fn in_water(ctx: &Ctx<'_>, query: &Query) -> Result<Vec<String>> {
    let packs = ctx.facts.law.with_parents(query.packs.iter().map(String::as_str))?;
    let named = |code: &String| {
        packs.iter().flat_map(|p| p.rules.iter()).any(|r| {
            r.species.contains(code)
                && (r.kind == law::Kind::Handling || r.status.is_some_and(|s| s <= law::Status::Prohibited))
        })
    };
    let mut names: Vec<String> = core::iter::once(&ctx.fish.target)
        .chain(&ctx.fish.also)
        .filter(|fish| fish.species.presumed_protected() || fish.species.law.iter().any(named))
        .map(|fish| fish.species.name.clone())
        .collect();
    names.dedup();
    Ok(names)
}
