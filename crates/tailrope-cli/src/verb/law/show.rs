//! `tailrope law show`: rules, coverage and sources of a pack.

use super::packs;
use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::word::spelled;
use clap::Args;
use serde::Serialize;
use std::collections::BTreeMap;
use tailrope::law::{Cite, Cover, Effect, Kind, Level, Pack, READING_AID, Stage};

/// Rules, coverage and sources of a pack and of those above it
#[derive(Args, Debug)]
pub struct Show {
    /// Pack, by its id; without it the packs are named
    place: Option<String>,
}

impl Show {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let all = packs(desk)?;
        let Some(place) = &self.place else {
            let list: Vec<&Pack> = all.packs().collect();
            let rows: Vec<Vec<String>> =
                list.iter().map(|p| vec![p.id.clone(), p.review_by.to_string(), p.title.clone()]).collect();
            let mut page = desk.page();
            page.table(&["pack", "review by", "title"], &rows, &[0, 1, 2]);
            return Answer::new(page.into_text(), &json(&list, desk));
        };
        let id = place.trim().to_lowercase().replace('_', "-");
        let list = all.with_parents([all.pack(&id)?.id.as_str()])?;
        let mut page = desk.page();
        for pack in &list {
            one(&mut page, pack, desk);
        }
        page.say("").say(READING_AID);
        Answer::new(page.into_text(), &json(&list, desk))
    }
}

fn one(page: &mut crate::layout::Page, pack: &Pack, desk: &Desk) {
    let stale = if pack.stale(desk.read_on()) {
        "; PAST ITS REVIEW: a rule that is kept is only *stale*"
    } else {
        ""
    };
    let read = pack.as_of.map_or_else(|| "no dated page".to_owned(), |d| d.to_string());
    page.head(&format!("{}: {}", pack.id, pack.title)).pairs(&[
        ("where", pack.area.clone()),
        ("whose rules", format!("{} ({})", pack.authority, spelled(&pack.level))),
        ("ask", pack.contact.clone()),
        ("read", format!("{read}, review by {}{stale}", pack.review_by)),
    ]);
    page.points(pack.rules.iter().map(|r| {
        let section = if r.cite.section.is_empty() { &r.cite.title } else { &r.cite.section };
        format!("{} [{}; {section}; {}]", r.summary, r.id, spelled(&r.cite.evidence))
    }));
    let of = |cover| {
        let kinds: Vec<String> = Kind::ALL.iter().filter(|k| pack.cover(**k) == cover).map(spelled).collect();
        kinds.join(", ")
    };
    let covers: Vec<(&str, String)> =
        [("read in part", of(Cover::Partial)), ("not read: ask", of(Cover::None))]
            .into_iter()
            .filter(|(_, k)| !k.is_empty())
            .collect();
    page.pairs(&covers);
}

fn json<'a>(packs: &[&'a Pack], desk: &Desk) -> Json<'a> {
    let packs = packs
        .iter()
        .map(|p| PackJson {
            id: &p.id,
            title: &p.title,
            level: p.level,
            authority: &p.authority,
            contact: &p.contact,
            area: &p.area,
            as_of: p.as_of.map(|d| d.to_string()),
            review_by: p.review_by.to_string(),
            stale: p.stale(desk.read_on()),
            hash: &p.hash,
            own: p.own,
            note: p.note.as_deref(),
            coverage: Kind::ALL.iter().map(|k| (spelled(k), p.cover(*k))).collect(),
            rules: p
                .rules
                .iter()
                .map(|r| RuleJson {
                    id: &r.id,
                    kind: r.kind,
                    effect: r.effect,
                    stage: r.stage,
                    summary: &r.summary,
                    as_written: r.as_written.as_deref(),
                    conflict: r.conflict.as_deref(),
                    report_to: r.report_to.as_deref(),
                    note: r.note.as_deref(),
                    cite: &r.cite,
                })
                .collect(),
        })
        .collect();
    Json {
        schema: "tailrope.law-show/1",
        read_on: desk.read_on().to_string(),
        packs,
        reading_aid: READING_AID,
    }
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    read_on: String,
    packs: Vec<PackJson<'a>>,
    reading_aid: &'static str,
}

#[derive(Serialize)]
struct PackJson<'a> {
    id: &'a str,
    title: &'a str,
    level: Level,
    authority: &'a str,
    contact: &'a str,
    area: &'a str,
    as_of: Option<String>,
    review_by: String,
    stale: bool,
    hash: &'a str,
    own: bool,
    note: Option<&'a str>,
    coverage: BTreeMap<String, Cover>,
    rules: Vec<RuleJson<'a>>,
}

#[derive(Serialize)]
struct RuleJson<'a> {
    id: &'a str,
    kind: Kind,
    effect: Effect,
    stage: Stage,
    summary: &'a str,
    as_written: Option<&'a str>,
    conflict: Option<&'a str>,
    report_to: Option<&'a str>,
    note: Option<&'a str>,
    cite: &'a Cite,
}
