//! What would change a verdict, in words.

use super::clause::{Clause, Cmp, Hour, Test};
use super::eval::Context;
use super::pack::{Pack, Rule};
use super::value::{Tri, number};
use super::words::{Stage, Verdict};
use std::collections::BTreeSet;

/// Facts that a crew can alter tonight. Others (age, the fish's kind, bathers) it can only wait for.
const ALTERABLE: &[&str] = &[
    "gear.",
    "bait.",
    "chum.",
    "craft.",
    "vehicle.",
    "trip.targets_sharks",
    "trip.keeps_sharks",
    "trip.intent_species",
    "trip.tournament",
    "trip.clock",
    "trip.date",
    "trip.place",
    "fish.retain",
];

/// The sentence for a finding, if something can be done about it.
pub(super) fn change(
    verdict: Verdict,
    rule: &Rule,
    pack: &Pack,
    cx: &Context<'_>,
    missing: &BTreeSet<String>,
) -> Option<String> {
    match verdict {
        Verdict::Breach => Some(mend(rule, cx)),
        Verdict::LikelyBreach => Some(format!(
            "probably unlawful, read only from memory: ask {} first; or {}",
            pack.contact,
            mend(rule, cx)
        )),
        Verdict::NeedFact => {
            let asks: Vec<&str> =
                missing.iter().filter_map(|f| cx.vocab.fact(f).ok()).map(|s| s.ask.as_str()).collect();
            Some(if asks.is_empty() { "answer what the definition needs".to_owned() } else { asks.join(" ") })
        }
        Verdict::AskAgency => Some(format!("ask {} ({})", pack.authority, pack.contact)),
        Verdict::Stale => Some(format!(
            "read the page of {} again and move the pack's review day (it was {})",
            pack.authority, pack.review_by
        )),
        Verdict::Pending => Some(format!("see before the night what became of it: {}", pack.contact)),
        _ => None,
    }
}

/// How to keep the rule, or to get out of its way.
fn mend(rule: &Rule, cx: &Context<'_>) -> String {
    let broken = |list: &[Clause]| -> Vec<String> {
        list.iter()
            .filter(|c| cx.clause(rule, c).tri == Tri::No)
            .filter_map(|c| want(rule, c, cx, true))
            .collect()
    };
    let mut ways: Vec<String> = Vec::new();
    let plain = broken(&rule.check);
    // `never` cannot be mended: only the ways round it are left.
    let hopeless = rule.check.iter().any(|c| matches!(c.test, Test::Always(false)));
    if !hopeless {
        let any: Vec<String> = if cx.any(rule, &rule.check_any).tri == Tri::No {
            rule.check_any.iter().map(|l| broken(l).join(" and ")).filter(|s| !s.is_empty()).collect()
        } else {
            Vec::new()
        };
        let mut all = plain;
        if !any.is_empty() {
            all.push(any.join(", or "));
        }
        if !all.is_empty() {
            ways.push(all.join(", and "));
        }
    }
    for c in rule.whens() {
        let alterable = ALTERABLE.iter().any(|a| c.fact.starts_with(a));
        if let Test::Defined(term) = &c.test {
            ways.push(format!("stay outside the meaning of `{term}` by every one of its triggers"));
        } else if alterable
            && cx.clause(rule, c).tri == Tri::Yes
            && let Some(way) = want(rule, c, cx, false)
            && !ways.contains(&way)
        {
            ways.push(way);
        }
    }
    if ways.is_empty() {
        return "nothing you can alter makes it lawful here".to_owned();
    }
    ways.join(", or ")
}

/// What it takes for a clause to hold (or not to).
fn want(rule: &Rule, c: &Clause, cx: &Context<'_>, hold: bool) -> Option<String> {
    let spec = cx.vocab.fact(&c.fact).ok()?;
    let says = spec.says.as_str();
    let now = cx.get(&c.fact);
    let list = |codes: &BTreeSet<String>, with: &str| {
        codes.iter().map(|w| cx.vocab.called(w)).collect::<Vec<_>>().join(with)
    };
    Some(match &c.test {
        Test::Flag(b) => {
            let with = *b == hold;
            format!("{} {says}", if with { "with" } else { "without" })
        }
        Test::Number(cmp, limit) => {
            let unit = &spec.unit;
            let was = now.map_or(String::new(), |v| format!(" from {v} {unit}"));
            let limit = number(*limit);
            match (cmp, hold) {
                (Cmp::Le, true) | (Cmp::Gt, false) => {
                    format!("bring {says}{was} down to {limit} {unit} or less")
                }
                (Cmp::Lt, true) | (Cmp::Ge, false) => format!("bring {says}{was} below {limit} {unit}"),
                (Cmp::Ge, true) | (Cmp::Lt, false) => {
                    format!("bring {says}{was} up to {limit} {unit} or more")
                }
                (Cmp::Gt, true) | (Cmp::Le, false) => format!("bring {says}{was} above {limit} {unit}"),
                (Cmp::Eq, true) | (Cmp::Ne, false) => format!("bring {says}{was} to {limit} {unit}"),
                (Cmp::Ne, true) | (Cmp::Eq, false) => {
                    format!("bring {says}{was} to anything but {limit} {unit}")
                }
            }
        }
        Test::Word { of, not } => {
            // Where few words are left, name those instead of the ones that are barred.
            let left: BTreeSet<String> = spec.allowed.iter().filter(|w| !of.contains(*w)).cloned().collect();
            match (*not == hold, left.len()) {
                (true, 1..=3) => format!("{says}: {}", list(&left, " or ")),
                (true, _) => format!("{says}: not {}", list(of, ", not ")),
                (false, _) => format!("{says}: {}", list(of, " or ")),
            }
        }
        Test::List { of, all, not } => {
            let join = if *all { " and " } else { " or " };
            match (*not == hold, c.fact.as_str()) {
                (true, "trip.place") => format!("go outside {}", list(of, ", ")),
                (false, "trip.place") => format!("go inside {}", list(of, join)),
                (true, "fish.handling") => format!("handle the fish without {}", list(of, ", ")),
                (true, _) => format!("leave out {}", list(of, ", ")),
                (false, _) => format!("have {}", list(of, join)),
            }
        }
        Test::Hours { from, to, not } => {
            let inside = *not != hold;
            format!("fish {} {} to {}", if inside { "between" } else { "outside" }, hour(*from), hour(*to))
        }
        Test::Months { from, to } => format!(
            "fish {} {:02}-{:02} to {:02}-{:02} (month-day)",
            if hold { "between" } else { "outside" },
            from.0,
            from.1,
            to.0,
            to.1
        ),
        Test::Day(..) | Test::Days(..) => "choose another date".to_owned(),
        Test::NoneInRuleSpecies if hold => {
            let mine: BTreeSet<String> = match now {
                Some(super::Value::Codes { items, .. }) => items
                    .iter()
                    .filter(|i| {
                        cx.vocab.expand(i).is_some_and(|s| s.iter().any(|c| rule.species.contains(c)))
                    })
                    .cloned()
                    .collect(),
                _ => BTreeSet::new(),
            };
            format!("do not fish for {}", list(&mine, ", "))
        }
        _ => return None,
    })
}

fn hour(h: Hour) -> String {
    let sun = |name: &str, o: i32| if o == 0 { name.to_owned() } else { format!("{name} {o:+} min") };
    match h {
        Hour::At(m) => format!("{:02}:{:02}", m / 60, m % 60),
        Hour::Sunrise(o) => sun("sunrise", o),
        Hour::Sunset(o) => sun("sunset", o),
    }
}

/// Whether a rule of this stage lies ahead of where the night stands.
pub(super) fn ahead(rule: Stage, now: Stage) -> bool {
    rule > now
}
