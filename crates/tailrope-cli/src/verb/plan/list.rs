//! Several nights as a table: verdict, windows, water, moon, first reason; in order of date.

use crate::desk::Desk;
use crate::layout::Page;
use tailrope::outing::plans::{NightLine, NightOf, TideOf};
use tailrope::outing::text::table;
use tailrope::outing::windows::Window;
use tailrope::outing::{Plan, Plans, Severity};
use tailrope::quantity::Length;

/// The page.
pub fn page(plans: &Plans, made: &[Plan], desk: &Desk) -> String {
    let mut page = desk.page();
    let read = made
        .first()
        .map_or_else(String::new, |p| p.options.now.clone().unwrap_or_else(|| p.options.read_on.clone()));
    let mut beaches: Vec<&str> = Vec::new();
    let mut zones: Vec<&str> = Vec::new();
    for p in made {
        if !beaches.contains(&p.night.beach.as_str()) {
            beaches.push(&p.night.beach);
        }
        if !zones.contains(&p.night.zone.as_str()) {
            zones.push(&p.night.zone);
        }
    }
    page.say(&format!(
        "{} nights, read {read}. By date, nothing is ranked; clocks are {}.",
        plans.nights.len(),
        zones.join(", ")
    ));
    let many = beaches.len() > 1;
    if many {
        page.say("");
        page.pairs(&beaches.iter().enumerate().map(|(i, b)| (letter(i), *b)).collect::<Vec<_>>());
    } else if let Some(b) = beaches.first() {
        page.say(b);
    }
    if let Some(first) = plans.in_every_night.first() {
        let count = |w| plans.in_every_night.iter().filter(|s| s.severity == w).count();
        page.say("");
        page.say(&format!(
            "In every night {} stop and {} caution, first: {} What follows tells the nights apart.",
            count(Severity::Stop),
            count(Severity::Caution),
            first.sentence
        ));
    }
    page.say("");
    let rows: Vec<Vec<String>> = plans
        .nights
        .iter()
        .map(|n| {
            let at = beaches.iter().position(|b| *b == n.beach).map_or_else(String::new, letter);
            let night = n.date.get(5..).unwrap_or(&n.date);
            let mark = if n.beyond_forecast { " *" } else { "" };
            vec![
                if many { format!("{night} {at}") } else { night.to_owned() },
                format!("{}{mark}", n.verdict.word()),
                windows(&n.windows),
                water(plans, n, desk),
                format!("{}, up {:.0} %", n.moon.phase, n.moon.up * 100.0),
            ]
        })
        .collect();
    // The reason stands below its night: it is too long for a column.
    let lines = table(&["night", "verdict", "open", "water", "moon"], &rows, &[0, 1, 2, 3, 4]);
    for (i, line) in lines.lines().enumerate() {
        page.line(line);
        if let Some(n) = i.checked_sub(1).and_then(|i| plans.nights.get(i)) {
            page.under("      ", &reason(n));
        }
    }
    if plans.nights.iter().any(|n| n.beyond_forecast) {
        page.say("");
        page.say("* beyond what was forecast: law, tide, moon, crew and tackle only; not to be held against the others.");
    }
    sources(&mut page, plans, &beaches);
    page.into_text()
}

/// Whose tides stand in the column of waters, above which datum, under which licence.
fn sources(page: &mut Page, plans: &Plans, beaches: &[&str]) {
    if plans.tide_sources.is_empty() {
        return;
    }
    page.say("").say("Sources");
    for t in &plans.tide_sources {
        let of = |n: &NightOf| {
            let at = beaches.iter().position(|b| *b == n.beach).map_or_else(String::new, letter);
            let night = n.date.get(5..).unwrap_or(&n.date);
            if beaches.len() > 1 { format!("{night} {at}") } else { night.to_owned() }
        };
        let nights = match t.nights.as_slice() {
            all if all.len() == plans.nights.len() => String::new(),
            all => format!(" of {}", all.iter().map(of).collect::<Vec<_>>().join(", ")),
        };
        let s = &t.tide;
        page.say(&format!(
            "  Water{nights}: {}, heights above {}. {}; licence {}; {}",
            s.name, s.datum, s.source, s.licence, s.attribution
        ));
    }
}

/// `A`, `B`, ...
fn letter(i: usize) -> String {
    char::from_u32(u32::from('A') + u32::try_from(i).unwrap_or(0)).map_or_else(String::new, String::from)
}

/// The worst that is this night's own, and how much was found in all. Of a night that no forecast reaches first that it
/// is not known, then what forbids it all the same: a short list of cautions is no better night.
fn reason(n: &NightLine) -> String {
    if n.beyond_forecast {
        let own = n.own_reasons.iter().filter(|s| s.severity == Severity::Stop);
        let stops: Vec<&str> = own.map(|s| s.sentence.as_str()).collect();
        let stops = if stops.is_empty() { String::new() } else { format!(" {}", stops.join(" ")) };
        let reach = if n.not_known.contains("all hours") { "all of this night" } else { "this night" };
        return format!("{}: no forecast reaches {reach}.{stops}", n.not_known);
    }
    let counts = format!("[{} stop, {} caution]", n.counts.stop, n.counts.caution);
    let own = n.own_reasons.first().map_or("nothing beyond every night's", |s| s.sentence.as_str());
    // So near that something should speak, and nothing does: judged, and worse for it.
    let unknown = if n.not_known.is_empty() { String::new() } else { format!("{}. ", n.not_known) };
    format!("{unknown}{own} {counts}")
}

fn clock(local: &str) -> String {
    tailrope::outing::windows::clock_of(local)
}

fn windows(all: &[Window]) -> String {
    match all {
        [] => "none".to_owned(),
        many => many
            .iter()
            .map(|w| format!("{}-{}", clock(&w.start), clock(&w.end)))
            .collect::<Vec<_>>()
            .join(" "),
    }
}

/// High and low waters of the night; a night without one is no night without a tide.
fn water(plans: &Plans, n: &NightLine, desk: &Desk) -> String {
    let known = |t: &TideOf| t.nights.iter().any(|of| of.beach == n.beach && of.date == n.date);
    if n.tide.is_empty() && plans.tide_sources.iter().any(known) {
        return "no turn".to_owned();
    }
    let each = n
        .tide
        .iter()
        .map(|t| format!("{} {} {}", t.what, clock(&t.at), desk.units.height(Length::of_m(t.height_m))));
    each.collect::<Vec<_>>().join(" ")
}
