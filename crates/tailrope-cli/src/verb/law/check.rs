//! `tailrope law check`: an outing against the packs of its beach.

use crate::answer::{Answer, Exit, Failure};
use crate::desk::Desk;
use crate::verb::night::{Night, facts};
use crate::word::spelled;
use clap::Args;
use std::path::PathBuf;
use tailrope::law::{Call, Finding, LawReport, Severity};
use tailrope::outing::{Options, ask};

/// An outing against the rule packs of its beach
#[derive(Args, Debug)]
pub struct Check {
    /// Outing file, TOML or JSON; `-` reads standard input
    outing: Option<PathBuf>,
}

impl Check {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let night = Night::read(self.outing.as_ref(), desk)?;
        let options = night.options(desk, Options::FIGHTS)?;
        let report = ask::law(&facts(desk)?, &night.outing, &options).map_err(|e| night.place(e))?;
        let exit = match report.verdict {
            Call::Go => Exit::Done,
            Call::Caution => Exit::Caution,
            Call::Stop => Exit::Stop,
        };
        Ok(Answer::new(page(desk, &report), &report)?.with_exit(exit))
    }
}

fn page(desk: &Desk, r: &LawReport) -> String {
    let mut page = desk.page();
    let word = spelled(&r.verdict).to_uppercase();
    let day = r.trip_date.map_or_else(|| "no date".to_owned(), |d| d.to_string());
    page.say(&format!("{word} by law: {}, {day}, packs read on {}.", r.place, r.read_on));
    for (severity, title) in [
        (Severity::Stop, "Bars it"),
        (Severity::Caution, "Ask or check first"),
        (Severity::Note, "Kept, and to know"),
    ] {
        let list: Vec<&Finding> = r.of(severity).collect();
        if list.is_empty() {
            continue;
        }
        page.head(title);
        for (i, f) in list.iter().enumerate() {
            // One line for all persons of whom a rule says the same.
            let same = |g: &Finding| g.rule == f.rule && g.verdict == f.verdict && g.missing == f.missing;
            if list.iter().take(i).any(|g| same(g)) {
                continue;
            }
            let persons: Vec<&str> =
                list.iter().filter(|g| same(g)).filter_map(|g| g.person.as_deref()).collect();
            let who = if persons.is_empty() { String::new() } else { format!(" ({})", persons.join(", ")) };
            let mut text = format!("{}{who}: {}", spelled(&f.verdict), f.summary);
            if !f.missing.is_empty() {
                text = format!("{text} Missing: {}.", f.missing.join(", "));
            }
            if let Some(change) = f.change.as_ref().filter(|_| severity != Severity::Note) {
                text = format!("{text} Change: {change}");
            }
            let section = if f.cite.section.is_empty() { &f.cite.title } else { &f.cite.section };
            page.points([format!("{text} [{}; {section}; {}]", f.rule, spelled(&f.cite.evidence))]);
        }
    }
    if !r.ask_joined.is_empty() {
        page.head("Ask").points(r.ask_joined.iter().map(|a| a.sentence.as_str()));
    }
    page.head("Packs");
    let rows: Vec<Vec<String>> = r
        .packs
        .iter()
        .map(|p| {
            let state = if p.stale { "past its review" } else { "current" };
            let own = if p.own { ", own" } else { "" };
            vec![p.id.clone(), spelled(&p.level), p.review_by.to_string(), format!("{state}{own}")]
        })
        .collect();
    page.table(&["pack", "level", "review by", ""], &rows, &[0, 1, 2, 3]);
    page.say("").say(r.reading_aid);
    page.into_text()
}
