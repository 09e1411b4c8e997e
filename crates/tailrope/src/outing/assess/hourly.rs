//! Rows that hang on sea and weather, judged for each piece of the night in which no forecast changes.
//!
//! Where nothing changes there is one piece, and its rows are those of the night. Where a forecast changes, a row may
//! forbid one piece and leave another open: then the night is not stopped by it, the hours are, and the row warns with
//! the hours it closes. Of hours that nothing speaks of a row asks, and says which they are: what is known of the others
//! says nothing of them. A bait in the water means a fight that may last: each moment takes the worst of what is
//! forecast until a fish hooked then is landed.

use super::{Ctx, bait, sea, site};
use crate::outing::Severity;
use crate::outing::conditions::Conditions;
use crate::outing::finding::{Finding, Findings};
use crate::outing::windows::{self, Step};
use crate::people::Assignment;
use crate::quantity::{Interval, Span};
use jiff::{SignedDuration, Timestamp};

/// A piece of the night in which no forecast changes.
#[derive(Clone, Debug)]
pub(in crate::outing) struct Spell {
    /// Its hours.
    pub hours: Interval,
    /// Sea and weather in them.
    pub conditions: Conditions,
}

/// A piece, what was found in it, and the rules whose answer is not known there.
struct Piece {
    hours: Interval,
    found: Vec<Finding>,
    unknown: Vec<String>,
}

/// The rows, of the whole night and piece by piece.
pub(in crate::outing) struct Hourly {
    night: Vec<Finding>,
    /// Nothing where the night is of one piece.
    pieces: Vec<Piece>,
    long: SignedDuration,
}

fn rows(ctx: &Ctx<'_>, c: &Conditions, roles: &Assignment) -> Findings {
    let mut f = Findings::default();
    sea::of_hours(ctx, c, roles, &mut f);
    site::of_hours(ctx, c, &mut f);
    bait::of_hours(ctx, c, &mut f);
    f
}

impl Hourly {
    /// Judges every piece. `long`: the long fight after a bait is taken.
    pub fn of(ctx: &Ctx<'_>, roles: &Assignment, long: Span) -> Self {
        let pieces = if ctx.spells.len() > 1 {
            let piece = |s: &Spell| {
                let f = rows(ctx, &s.conditions, roles);
                Piece { hours: s.hours, unknown: f.unknown().to_vec(), found: f.into_list() }
            };
            ctx.spells.iter().map(piece).collect()
        } else {
            Vec::new()
        };
        #[allow(clippy::cast_possible_truncation)] // hours in seconds
        let long = SignedDuration::from_secs(long.s() as i64);
        Self { night: rows(ctx, &ctx.conditions, roles).into_list(), pieces, long }
    }

    /// Whether rows differ from hour to hour.
    pub fn varies(&self) -> bool {
        !self.pieces.is_empty()
    }

    /// Whether a rule is judged here.
    pub fn has(&self, rule: &str) -> bool {
        let of = |f: &Finding| f.rule.as_deref() == Some(rule);
        self.night.iter().any(of) || self.pieces.iter().any(|p| p.found.iter().any(of))
    }

    /// What is found from a moment until a fish hooked then is landed.
    fn from(&self, at: Timestamp) -> impl Iterator<Item = &Finding> {
        let until = at.checked_add(self.long).unwrap_or(at);
        self.pieces
            .iter()
            .filter(move |p| p.hours.from() <= until && p.hours.to() > at)
            .flat_map(|p| &p.found)
    }

    fn severity(&self, rule: Option<&str>, at: Timestamp) -> Option<Severity> {
        self.from(at).filter(|f| f.rule.as_deref() == rule).map(|f| f.severity).max()
    }

    /// What forbids and warns at a moment.
    pub fn at(&self, at: Timestamp, step: &mut Step) {
        for f in self.from(at) {
            let words = f.sentence.trim_end_matches('.').to_owned();
            let to = match f.severity {
                Severity::Stop => &mut step.stops,
                Severity::Caution => &mut step.cautions,
                Severity::Note => continue,
            };
            if !to.contains(&words) {
                to.push(words);
            }
        }
    }

    /// Pieces that a fish hooked before the last bait may still meet.
    fn met(&self, ctx: &Ctx<'_>) -> impl Iterator<Item = &Finding> {
        let last = ctx.hours.last_bait_in.checked_add(self.long).unwrap_or(ctx.hours.last_bait_in);
        self.pieces.iter().filter(move |p| p.hours.from() < last).flat_map(|p| &p.found)
    }

    /// The hours in which a rule's answer is not known, in clocks; nothing where it is known in all or in none.
    fn unknown(&self, ctx: &Ctx<'_>, rule: Option<&str>) -> Option<String> {
        let rule = rule?;
        let open = |p: &Piece| p.unknown.iter().any(|u| u == rule);
        if self.pieces.iter().all(open) || !self.pieces.iter().any(open) {
            return None;
        }
        let clock = |at: Timestamp| windows::clock(at, &ctx.hours.zone);
        let mut all: Vec<(Timestamp, Timestamp)> = Vec::new();
        for p in self.pieces.iter().filter(|p| open(p)) {
            match all.last_mut() {
                Some(last) if last.1 == p.hours.from() => last.1 = p.hours.to(),
                _ => all.push((p.hours.from(), p.hours.to())),
            }
        }
        let all: Vec<String> =
            all.into_iter().map(|(a, b)| format!("{} to {}", clock(a), clock(b))).collect();
        Some(all.join(" and "))
    }

    /// The finding with the hours in which its rule asks.
    fn dated(&self, ctx: &Ctx<'_>, mut found: Finding) -> Finding {
        if let Some(hours) = self.unknown(ctx, found.rule.as_deref()) {
            found.sentence = match found.sentence.strip_prefix("Not known: ") {
                Some(asked) => format!("Not known from {hours}: {asked}"),
                None => format!("{}; not known from {hours}.", found.sentence.trim_end_matches('.')),
            };
        }
        found
    }

    /// The rows as findings: a row that forbids only some of the hours warns, and says which.
    pub fn assess(&self, ctx: &Ctx<'_>, f: &mut Findings) {
        if !self.varies() {
            for found in &self.night {
                f.push(found.clone());
            }
            return;
        }
        let wanted: Vec<Timestamp> =
            ctx.moments.iter().map(|m| m.at).filter(|at| *at < ctx.hours.last_bait_in).collect();
        let mut told: Vec<Option<&str>> = Vec::new();
        for first in self.met(ctx) {
            let rule = first.rule.as_deref();
            if told.contains(&rule) {
                continue;
            }
            told.push(rule);
            let of_rule = |found: &&Finding| found.rule.as_deref() == rule;
            let severity = self.met(ctx).filter(of_rule).map(|x| x.severity).max().unwrap_or(first.severity);
            // The night's own finding holds the worst number of all hours; where it mixes what never comes together
            // (one hour's wind, another's direction) it is worse than any piece, and the piece speaks.
            let same = |found: &&Finding| of_rule(found) && found.severity == severity;
            let found = self.night.iter().find(same).or_else(|| self.met(ctx).find(same)).unwrap_or(first);
            let shut: Vec<bool> =
                wanted.iter().map(|at| self.severity(rule, *at) == Some(Severity::Stop)).collect();
            if severity != Severity::Stop || shut.iter().all(|s| *s) {
                f.push(self.dated(ctx, found.clone()));
                continue;
            }
            let mut capped = found.clone();
            capped.severity = Severity::Caution;
            let when = stretches(ctx, &wanted, &shut);
            capped.sentence =
                format!("{}: closes {when}, a fight reckoned in.", found.sentence.trim_end_matches('.'));
            f.push(self.dated(ctx, capped));
        }
    }
}

/// The stretches that are shut, in clocks.
fn stretches(ctx: &Ctx<'_>, wanted: &[Timestamp], shut: &[bool]) -> String {
    let clock =
        |i: usize| windows::clock(wanted.get(i).copied().unwrap_or(ctx.hours.last_bait_in), &ctx.hours.zone);
    let mut all = Vec::new();
    let mut i = 0;
    while let Some(now) = shut.get(i) {
        let run = shut.iter().skip(i).take_while(|s| *s == now).count();
        if *now {
            all.push(format!("{} to {}", clock(i), clock(i + run)));
        }
        i += run;
    }
    all.join(" and ")
}
