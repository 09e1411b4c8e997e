//! What forbids and warns at each moment of the wanted hours.

use super::hourly::Hourly;
use super::{Ctx, Moment, law};
use crate::facts::Grade;
use crate::facts::Known;
use crate::outing::bathers::{Guess, counted, days_of_none};
use crate::outing::finding::{Finding, Findings, Reason};
use crate::outing::windows::Step;
use crate::outing::{Severity, Topic, Verdict};
use crate::people::{Assignment, Place, RoleRules};
use crate::quantity::{Length, Span};
use jiff::{SignedDuration, Timestamp};

/// Rows that are judged anew at each step and so are left out of what holds all night.
const BY_STEP: [&str; 3] = ["way_out.h", "crew.awake_h", "kayak.light"];

/// Whether people bathe there at this moment, the hour before their first included.
fn bathing(ctx: &Ctx<'_>, at: Timestamp) -> Known<bool> {
    let b = &ctx.outing.beach;
    let (Known::Known(first), Known::Known(last)) = (b.bathers_from, b.bathers_until) else {
        return Known::Unknown;
    };
    #[allow(clippy::cast_possible_truncation)] // a few hours in minutes
    let before = SignedDuration::from_mins((ctx.limits.figure("bathers.before_h") * 60.0) as i64);
    let today = ctx.hours.civil(at).date();
    // The stretch of the day before may reach past midnight, and that of the next begin before it.
    let days = [today.yesterday(), Ok(today), today.tomorrow()];
    Known::Known(days.into_iter().flatten().any(|day| {
        let until = if last.0 > first.0 { Ok(day) } else { day.tomorrow() };
        let Ok(until) = until else { return false };
        let (Ok(from), Ok(until)) =
            (ctx.hours.instant(day.to_datetime(first.0)), ctx.hours.instant(until.to_datetime(last.0)))
        else {
            return false;
        };
        from.checked_sub(before).is_ok_and(|from| from <= at) && at < until
    }))
}

/// State word of the bathers at a moment, and the words for it.
fn bathers(ctx: &Ctx<'_>, at: Timestamp) -> (Known<&'static str>, String) {
    let local = ctx.hours.civil(at);
    let l = &ctx.limits;
    let count = counted(
        &ctx.outing.beach.bather_counts,
        ctx.hours.date(),
        local.time(),
        l.figure("bathers.count_days"),
        l.figure("bathers.count_min"),
    );
    if let Some(c) = count.filter(|c| c.people > 0) {
        return (
            Known::Known("counted"),
            format!("the crew counted {} in the water about this hour", c.people),
        );
    }
    let hours = bathing(ctx, at);
    if hours == Known::Known(true) {
        return (Known::Known("there"), "bathers or lifeguards are there".to_owned());
    }
    if hours == Known::Known(false) || far_from_bathers(ctx) {
        return (Known::Known("away"), String::new());
    }
    if count.is_some() {
        let days = days_of_none(
            &ctx.outing.beach.bather_counts,
            ctx.hours.date(),
            local,
            l.figure("bathers.count_days"),
            l.figure("bathers.count_min"),
        );
        if days as f64 >= l.figure("bathers.none_days") {
            return (Known::Known("counted-none"), String::new());
        }
        let so_few = match days {
            0 => "no day of this kind".to_owned(),
            1 => "one day of this kind only".to_owned(),
            n => format!("{n} days of this kind only"),
        };
        return (
            Known::Known("counted-none-few-days"),
            format!("nobody was counted in the water about this hour, on {so_few}"),
        );
    }
    let unknown = "not known when people bathe there";
    let (word, words) = match ctx.facts.bathers.guess(ctx.outing.beach.latitude, local) {
        Guess::Likely => ("likely", "people are likely to bathe at this hour (our guess)".to_owned()),
        Guess::Some => ("some", format!("{unknown}; some may at this hour (our guess)")),
        Guess::Few => ("few", format!("{unknown}; few do at this hour (our guess)")),
    };
    (Known::Known(word), words)
}

/// Whether anything is open before the last bait, and what closes some of it.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, steps: &[Step], f: &mut Findings) {
    // A look back: that the night is over is said once, as a row of its own.
    if ctx.over() {
        return;
    }
    let wanted: Vec<&Step> = steps.iter().filter(|s| s.at < ctx.hours.last_bait_in).collect();
    let shut: Vec<&&Step> = wanted.iter().filter(|s| !s.stops.is_empty()).collect();
    let state = match (shut.len(), wanted.len()) {
        (_, 0) => Known::Unknown,
        (0, _) => Known::Known("open"),
        (n, all) if n == all => Known::Known("none"),
        _ => Known::Known("part"),
    };
    let mut why: Vec<&str> = shut.iter().flat_map(|s| s.stops.iter().map(String::as_str)).collect();
    why.sort_unstable();
    why.dedup();
    let share = if wanted.is_empty() { 0.0 } else { shut.len() as f64 / wanted.len() as f64 };
    let sentence = if state == Known::Known("none") {
        format!("Nothing is open before the last bait: {}.", why.join("; "))
    } else {
        format!("Some of the wanted hours are closed: {}.", why.join("; "))
    };
    f.judged(
        &ctx.limits.word("windows", state),
        sentence,
        vec![Reason::new(
            "share of the wanted moments that is closed",
            share,
            "-",
            Grade::Derived,
            "steps of the night",
        )],
    );
}

/// Whether bathers are so far off that their hours need not be known.
fn far_from_bathers(ctx: &Ctx<'_>) -> bool {
    let distance = ctx.outing.beach.bathers.get().map(Length::m);
    ctx.limits.number("bathers.distance_m", distance.into()).verdict == Verdict::Go
}

/// Sentences of a severity that hold all night, of sea, sky and site.
fn all_night(findings: &[Finding], hourly: &Hourly, severity: Severity) -> Vec<String> {
    findings
        .iter()
        .filter(|f| f.severity == severity && matches!(f.topic, Topic::Sea | Topic::Sky | Topic::Site))
        .filter(|f| f.rule.as_deref().is_none_or(|r| !BY_STEP.contains(&r)))
        .filter(|f| !(hourly.varies() && f.rule.as_deref().is_some_and(|r| hourly.has(r))))
        .map(|f| f.sentence.trim_end_matches('.').to_owned())
        .collect()
}

/// All steps.
pub(in crate::outing) fn steps(
    ctx: &Ctx<'_>,
    findings: &[Finding],
    law: &law::Judged,
    rules: &RoleRules,
    roles: &Assignment,
    hourly: &Hourly,
) -> Vec<Step> {
    let of = |severity| all_night(findings, hourly, severity);
    let (stops, cautions) = (of(Severity::Stop), of(Severity::Caution));
    ctx.moments
        .iter()
        .enumerate()
        .map(|(i, m)| {
            let mut step = Step { at: m.at, stops: stops.clone(), cautions: cautions.clone() };
            // A step holds until the next moment: the water that stands there then counts already now.
            let next = ctx.moments.get(i + 1).and_then(|n| n.high);
            hourly.at(m.at, &mut step);
            one(ctx, m, next, &mut step, rules, roles);
            law.at(i, &mut step);
            step
        })
        .collect()
}

fn one(
    ctx: &Ctx<'_>,
    m: &Moment,
    next: Option<Length>,
    step: &mut Step,
    rules: &RoleRules,
    roles: &Assignment,
) {
    if ctx.over() {
        step.stops.push("this night is over".to_owned());
    }
    if m.at >= ctx.hours.last_bait_in {
        step.stops.push("last bait in".to_owned());
    }
    let level = m.high.map(|l| next.map_or(l, |n| l.max(n)));
    match (ctx.here.cut_off, level) {
        (Known::Known(level), Some(now)) if now >= level => {
            step.stops.push("the way out is under water".to_owned());
        }
        (Known::Known(level), Some(now)) if now >= level - Length::of_m(0.1) => {
            step.cautions.push("the way out is nearly under water".to_owned());
        }
        _ => {}
    }
    let (word, words) = bathers(ctx, m.at);
    match ctx.limits.word("bathers.hour", word).verdict {
        Verdict::Stop => step.stops.push(words),
        Verdict::Caution => step.cautions.push(words),
        Verdict::Go => {}
    }
    if super::bait::paddles(ctx.outing.bait.delivery) {
        paddler_light(ctx, m, step);
    }
    awake(ctx, m, step, rules, roles);
}

/// The light for whoever goes afloat at this moment.
fn paddler_light(ctx: &Ctx<'_>, m: &Moment, step: &mut Step) {
    let state = super::bait::light(ctx, ctx.conditions_at(m.at), &[*m]);
    let judged = ctx.limits.word("kayak.light", state);
    let words = match state.get() {
        Some("no-moon") => "no moonlight for the paddler".to_owned(),
        Some(_) => super::bait::light_words(state).trim_end_matches('.').to_owned(),
        None => "not known what light the paddler has".to_owned(),
    };
    match judged.verdict {
        Verdict::Stop => step.stops.push(words),
        Verdict::Caution => step.cautions.push(words),
        Verdict::Go => {}
    }
}

fn awake(ctx: &Ctx<'_>, m: &Moment, step: &mut Step, rules: &RoleRules, roles: &Assignment) {
    let mut longest: Option<f64> = None;
    for r in &roles.roles {
        let worn =
            rules.role(r.role).is_ok_and(|row| row.clips_in || matches!(row.place, Place::Wash | Place::Sea));
        if !worn {
            continue;
        }
        let hours = super::crew::person(ctx, &r.person)
            .and_then(|p| p.awake_since.get())
            .and_then(|s| s.until(ctx.hours.date(), &ctx.hours.zone, m.at).ok())
            .map(Span::h);
        longest = match (longest, hours) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
    }
    match longest.map(|h| ctx.limits.number("crew.awake_h", Known::Known(h)).verdict) {
        Some(Verdict::Stop) => step.stops.push("the crew is awake too long".to_owned()),
        Some(Verdict::Caution) => step.cautions.push("the crew is long awake".to_owned()),
        _ => {}
    }
}
