//! The page of `tailrope rig`.

use super::Found;
use crate::desk::Desk;
use crate::layout::Page;
use crate::word::spelled;
use tailrope::facts::Known;
use tailrope::law::{LawReport, Severity};
use tailrope::quantity::{Energy, Length, Mass, Units, significant};
use tailrope::tackle::rig::{Asked, Cut, HandAt};
use tailrope::tackle::{Material, SectionRole};

const UNKNOWN: &str = "unknown";

fn known<T>(k: Known<T>, say: impl FnOnce(T) -> String) -> String {
    k.get().map_or_else(|| UNKNOWN.to_owned(), say)
}

/// A length to the centimetre, or to half an inch.
fn length(l: Length, u: Units) -> String {
    if u == Units::Us {
        format!("{:.1} in", (l.inches() * 2.0).round() / 2.0)
    } else {
        format!("{:.2} m", l.m())
    }
}

/// A length to cut: the same, never rounded down, since a piece cut short is lost.
fn to_cut(l: Length, u: Units) -> String {
    // Less than the dust of unit conversion is no more line.
    let up = |steps: f64| (steps - 1e-6).ceil();
    if u == Units::Us {
        format!("{:.1} in", up(l.inches() * 2.0) / 2.0)
    } else {
        format!("{:.2} m", up(l.m() * 100.0) / 100.0)
    }
}

/// Small masses in grams, or ounces.
fn small(m: Mass, u: Units) -> String {
    if u == Units::Us {
        format!("{} oz", significant(m.lb() * 16.0, 2))
    } else {
        format!("{} g", significant(m.g(), 2))
    }
}

/// The whole page.
pub fn page(desk: &Desk, f: &Found) -> String {
    let u = desk.units;
    let mut page = desk.page();
    headline(&mut page, f, u);
    if !f.findings.is_empty() {
        page.head("Heed").points(f.findings.iter().map(|x| {
            let change = if x.remedy.is_empty() {
                String::new()
            } else {
                format!(" Change: {}.", x.remedy.trim_end_matches('.'))
            };
            let grade = x.rule_grade.map_or_else(String::new, |g| format!(" [limit: {}]", g.word()));
            format!("{}: {}{change}{grade}", x.severity.word(), x.sentence)
        }));
    }
    parts(&mut page, f, u);
    cuts(&mut page, f, u);
    page.head("What the law asks");
    page.under("  ", "Measure what is unknown: it is to be asked, never allowed.");
    let rows: Vec<Vec<String>> =
        f.asks.iter().map(|q| vec![q.what.to_owned(), known(q.value, answer), q.how.to_owned()]).collect();
    page.table(&["", "", "how it is measured"], &rows, &[0, 1, 2]);
    match &f.law {
        Some(report) => law(&mut page, report),
        None => {
            page.head("The law").under(
                "  ",
                "Not read: nobody said where this rig is fished. Ask with --place PACK (`tailrope law show` names the packs), or plan an outing; until then no hook and no leader is allowed, only unknown.",
            );
        }
    }
    hand(&mut page, f, u);
    flies(&mut page, f, u);
    page.say("")
        .say("Strengths are as good as their grades: pull one of each batch apart. Local authority decides.");
    page.into_text()
}

fn headline(page: &mut Page, f: &Found, u: Units) {
    let verdict = f.verdict.map_or_else(String::new, |v| format!("{}. ", spelled(&v).to_uppercase()));
    let leader = known(f.fit.leader, |l| u.size(l));
    let weakest = match (&f.made.weakest, f.made.capacity) {
        (Some(w), Known::Known(c)) => {
            let grade = f.made.parts.iter().find(|p| p.weakest).map_or("", |p| p.grade.word());
            let but = if f.made.unknown.is_empty() { "" } else { " of what is known" };
            format!("the weakest part{but} is the {w}, which bears {} ({grade})", u.force(c))
        }
        _ => "nobody knows what it bears".to_owned(),
    };
    page.say(&format!("{verdict}{}: leader {leader}; {weakest}.", f.rig.name));
    if let Some(over) = f.fit.leader_over_fish {
        page.say(&format!("Leader over fish: {}.", known(over, |x| significant(x, 2))));
    }
}

fn parts(page: &mut Page, f: &Found, u: Units) {
    page.head("Parts, main line to hook");
    let load = known(f.made.load, |l| u.force(l));
    let rows: Vec<Vec<String>> = f
        .made
        .parts
        .iter()
        .map(|p| {
            let bad =
                p.margin_if_bad_sleeve.map_or_else(String::new, |m| format!(" ({})", significant(m, 2)));
            let mut name = p.name.clone();
            if p.untested_sleeve {
                name.push_str(" (untested sleeve)");
            }
            if p.weakest {
                name.push_str(" <- weakest");
            }
            let margin = if f.made.load.is_unknown() {
                "-".to_owned()
            } else {
                known(p.margin, |m| format!("{}{bad}", significant(m, 3)))
            };
            vec![
                name,
                known(p.capacity, |c| u.force(c)),
                known(p.capacity_low, |c| u.force(c)),
                margin,
                p.grade.word().to_owned(),
            ]
        })
        .collect();
    page.table(&["", "bears", "at least", "margin", "grade"], &rows, &[0, 4]);
    if f.made.load.is_unknown() {
        page.under("  ", "No load is known: give --pull, or an outing with a fight drag.");
    } else {
        page.under(
            "  ",
            &format!("Margin under {load}: the line's pull and two hands on the leader; in brackets if an untested sleeve is a bad one."),
        );
    }
}

fn made_of(c: &Cut, u: Units) -> String {
    let what = known(c.material, |m| Material::word(m).to_owned());
    let label = c.strength.get().map_or_else(String::new, |s| format!(" {}", u.force(s)));
    let d = c.diameter.get().map_or_else(String::new, |d| format!(", {}", u.diameter(d)));
    format!("{what}{label}{d}")
}

fn cuts(page: &mut Page, f: &Found, u: Units) {
    let l = &f.list;
    page.head("Cut list");
    let rows: Vec<Vec<String>> = l
        .cuts
        .iter()
        .map(|c| {
            vec![
                c.role.word().to_owned(),
                made_of(c, u),
                known(c.between, |x| length(x, u)),
                format!("{}, {}", c.top.word(), c.bottom.word()),
                known(c.cut, |x| to_cut(x, u)),
            ]
        })
        .collect();
    page.table(&["", "of", "finished", "ends", "cut"], &rows, &[0, 1, 3]);
    let mut pairs: Vec<(&str, String)> = Vec::new();
    for s in &l.sleeves {
        let size = known(s.inside, |d| format!("{} inside", u.diameter(d)));
        let flare = if s.flare { ", both ends flared" } else { "" };
        let by = known(s.passes, |d| {
            format!("{} {}", u.diameter(d), if s.measured { "measured" } else { "by label" })
        });
        pairs.push((
            "sleeves",
            format!(
                "{} of {size}, {}{flare}; for line of {by}; two of them on a piece to pull apart",
                s.count,
                spelled(&s.metal)
            ),
        ));
    }
    if l.connectors > 0 {
        pairs.push(("swivels", format!("{}, each at least as strong as what it joins", l.connectors)));
    }
    if l.thimbles > 0 {
        pairs.push(("thimbles", l.thimbles.to_string()));
    }
    pairs.push(("hooks", known(l.hooks, |n| n.to_string())));
    pairs.push((
        "mass in air",
        match l.mass {
            Known::Known(m) => format!("{} ({})", small(m, u), l.mass_grade.word()),
            Known::Unknown => {
                format!("unknown; {} without: {}", small(l.mass_of_known, u), l.mass_unknown.join(", "))
            }
        },
    ));
    pairs.push((
        "price",
        l.price.map_or_else(
            || UNKNOWN.to_owned(),
            |p| {
                format!(
                    "{} to {} {} of parts new ({}, no price of today; whole spools and packets cost more)",
                    significant(p.low, 2),
                    significant(p.high, 2),
                    l.currency,
                    l.price_grade.word()
                )
            },
        ),
    ));
    pairs.push(("waste", format!("{} of trimmed ends and test pieces", length(l.waste, u))));
    page.pairs(&pairs);
    page.points(&l.heed);
    page.head("Order of assembly");
    for (i, step) in l.steps.iter().enumerate() {
        page.under(&format!("  {}. ", i + 1), step);
    }
}

fn answer(a: Asked) -> String {
    match a {
        Asked::Word(w) => w.to_owned(),
        Asked::Flag(true) => "yes".to_owned(),
        Asked::Flag(false) => "no".to_owned(),
        // Both units: an officer asks in the one of the rule.
        Asked::Length(l) if l.m() == 0.0 => "none".to_owned(),
        Asked::Length(l) if l.mm() < 100.0 => {
            format!("{} mm, {} in", significant(l.mm(), 3), significant(l.inches(), 3))
        }
        Asked::Length(l) => format!("{} m, {} in", significant(l.m(), 3), significant(l.inches(), 3)),
        Asked::Count(n) => significant(n, 2),
    }
}

fn law(page: &mut Page, r: &LawReport) {
    let names: Vec<&str> = r.packs.iter().map(|p| p.id.as_str()).collect();
    page.head(&format!("The law on hook and leader: {}", spelled(&r.verdict)));
    page.under("  ", &format!("Packs {}, read on {}.", names.join(", "), r.read_on));
    for (severity, word) in
        [(Severity::Stop, "stop"), (Severity::Caution, "caution"), (Severity::Note, "note")]
    {
        let mut seen: Vec<&str> = Vec::new();
        for f in r.of(severity) {
            if seen.contains(&f.rule.as_str()) {
                continue;
            }
            seen.push(&f.rule);
            let missing = if f.missing.is_empty() {
                String::new()
            } else {
                format!(" Missing: {}.", f.missing.join(", "))
            };
            let section = if f.cite.section.is_empty() { &f.cite.title } else { &f.cite.section };
            page.points([format!(
                "{word}, {}: {}{missing} [{}; {section}; {}]",
                spelled(&f.verdict),
                f.summary,
                f.rule,
                spelled(&f.cite.evidence)
            )]);
        }
    }
    page.points(r.ask_joined.iter().map(|a| a.sentence.as_str()));
    page.under("  ", r.reading_aid);
}

fn first_word(role: SectionRole) -> &'static str {
    role.word().split(' ').next().unwrap_or_default()
}

fn hand(page: &mut Page, f: &Found, u: Units) {
    page.head("The hand, with the swivel at the rod tip");
    let Some(first) = f.fit.hand.first() else { return };
    page.under(
        "  ",
        &format!(
            "Tip {}, hand {} above the water; a taut leader.",
            u.height(first.tip_height),
            u.height(first.hand_height)
        ),
    );
    let size = |l: Length| {
        if u == Units::Us {
            format!("{} ft", significant(l.ft(), 2))
        } else {
            format!("{} m", significant(l.m(), 2))
        }
    };
    let rows: Vec<Vec<String>> = f
        .fit
        .hand
        .iter()
        .map(|h: &HandAt| {
            vec![
                u.angle(h.angle),
                size(h.in_air),
                known(h.in_water, size),
                size(h.to_hand),
                size(h.to_water),
                known(h.to_hook, size),
                format!(
                    "{}: {}",
                    h.section.map_or("nothing", first_word),
                    known(h.holds, |ok| if ok { "holds" } else { "no" }.to_owned())
                ),
            ]
        })
        .collect();
    page.table(
        &["below level", "in air", "in water", "to hand", "hand-water", "hand-hook", "in the hand"],
        &rows,
        &[6],
    );
    if f.fit.hand.iter().any(|h| h.in_water.get().is_some_and(|l| l < Length::ZERO)) {
        page.under(
            "  ",
            "Below zero in water: the hook and the head leave the water before the swivel meets the tip. Stop winding sooner.",
        );
    }
    page.under(
        "  ",
        "In the hand: the section that it takes, and whether a hand can hold that under load. Hand-water is level, to where the leader enters the water. Never wrap a leader round a hand.",
    );
}

fn flies(page: &mut Page, f: &Found, u: Units) {
    if f.fit.pull.is_unknown() {
        return;
    }
    page.head(&format!("What flies back at {}", known(f.fit.pull, |p| u.force(p))));
    let j = |k: Known<Energy>| known(k, |e| format!("{} J", significant(e.j(), 2)));
    let rows: Vec<Vec<String>> = f
        .fit
        .fliers
        .iter()
        .map(|w| {
            vec![
                w.what.clone(),
                known(w.mass, |m| small(m, u)),
                known(w.fixed, |x| if x { "fixed" } else { "slides or parts" }.to_owned()),
                known(w.near_speed, |v| format!("{} m/s", significant(v.mps(), 2))),
                j(w.near),
                j(w.snagged),
            ]
        })
        .collect();
    page.table(&["", "mass", "", "leader in", "", "all out, snagged"], &rows, &[0, 2]);
    page.under(
        "  ",
        "Upper bounds, in air, no loss in the line. Never break a snag over the rod: wrap it on a bar, walk back, faces turned.",
    );
}
