//! Enough people, fit, drilled, each with one role: the crew against the largest likely fish.

use super::Ctx;
use super::site::said;
use crate::Result;
use crate::facts::{Grade, Known};
use crate::outing::conditions::Conditions;
use crate::outing::file::Manner;
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::{PhaseView, RoleView};
use crate::outing::{Severity, Topic, Verdict};
use crate::people::bars::{Bar, Counts, Ends, Tonight, Weight, counts, driving};
use crate::people::crew::{CrewNeed, Landing, crew_needed};
use crate::people::{Assignment, Needs, OuterBar, Person, Phase, Place, Role, RoleRules, assign};
use crate::quantity::{Length, Span};
use jiff::{SignedDuration, Timestamp};

/// The roles pack with this night's limits put into it: limits are kept in one place.
pub(in crate::outing) fn rules(ctx: &Ctx<'_>) -> RoleRules {
    let l = &ctx.limits;
    let border = |id: &str, stop: bool| {
        l.row(id).and_then(|r| if stop { r.stop } else { r.caution }).map(super::super::limits::Border::at)
    };
    let mut rules = ctx.facts.roles.clone();
    if let Some(h) = border("crew.awake_h", false) {
        rules.limits.awake_caution.value = Span::of_h(h);
    }
    if let Some(h) = border("crew.awake_h", true) {
        rules.limits.awake_stop.value = Span::of_h(h);
    }
    rules.limits.relief_after.value = Span::of_min(l.figure("crew.relief_min"));
    rules.limits.night_landing_wave.value = Length::of_m(l.figure("landing.night_wave_m"));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held to 0 to 255
    let people = |id: &'static str| l.figure(id).clamp(0.0, 255.0).ceil() as u8;
    rules.limits.night_landing_crew.value = people("landing.night_crew");
    rules.limits.watchers_ashore.value = people("paddle.watchers");
    rules
}

/// What the night looks like to the bars.
pub(in crate::outing) fn tonight(ctx: &Ctx<'_>, long_fight: Span) -> Tonight {
    let h = &ctx.hours;
    let after = |from: Timestamp, t: Span| {
        #[allow(clippy::cast_possible_truncation)] // a span of hours in seconds
        from.checked_add(SignedDuration::from_secs(t.s() as i64)).unwrap_or(from)
    };
    let fight = after(h.last_bait_in, long_fight);
    let landing = after(fight, ctx.outing.landing.handling.get().unwrap_or(Span::of_min(5.0)));
    Tonight {
        date: h.date(),
        zone: h.zone.clone(),
        ends: Ends { paddle_out: h.last_bait_in, soak: h.last_bait_in, fight, landing },
        fish: ctx.fish.judged_length(),
        night: ctx.dark(),
    }
}

/// Whether the fish is roped; unknown counts as roped, which asks for more.
pub(in crate::outing) fn roped(ctx: &Ctx<'_>) -> bool {
    ctx.outing.landing.manner.get() != Some(Manner::LeaderOnly)
}

/// Assigns the roles.
pub(in crate::outing) fn assigned(
    ctx: &Ctx<'_>,
    rules: &RoleRules,
    long_fight: Span,
    likely_fight: Known<Span>,
    harness_hands: u8,
    outer: &[OuterBar],
) -> Result<Assignment> {
    let needs = Needs {
        paddled: super::bait::paddles(ctx.outing.bait.delivery),
        roped: roped(ctx),
        harness_hands: harness_hands.min(crate::people::assign::MAX_HARNESS_HANDS),
        likely_fight,
        length: ctx.fish.judged_length(),
        mass: ctx.fish.judged_mass(),
    };
    assign(rules, &ctx.outing.person, &needs, &tonight(ctx, long_fight), outer)
        .map_err(|e| e.within("person"))
}

/// The person of a name.
pub(in crate::outing) fn person<'a>(ctx: &'a Ctx<'_>, name: &str) -> Option<&'a Person> {
    ctx.outing.person.iter().find(|p| p.name == name)
}

/// Those who may hold the rod by this assignment: angler, then relief angler.
pub(in crate::outing) fn anglers<'a>(ctx: &'a Ctx<'_>, a: &Assignment) -> Vec<&'a Person> {
    [Role::Angler, Role::ReliefAngler]
        .iter()
        .filter_map(|role| a.roles.iter().find(|r| r.role == *role))
        .filter_map(|r| person(ctx, &r.person))
        .collect()
}

/// Bars that keep the rod with those who have it in an assignment.
pub(in crate::outing) fn pinned(ctx: &Ctx<'_>, a: &Assignment) -> Vec<OuterBar> {
    let mut bars = Vec::new();
    for role in [Role::Angler, Role::ReliefAngler] {
        let Some(holder) = a.roles.iter().find(|r| r.role == role) else { continue };
        for p in ctx.outing.person.iter().filter(|p| p.name != holder.person) {
            bars.push(OuterBar {
                person: p.name.clone(),
                role,
                because: format!("the footing was reckoned for {}", holder.person),
            });
        }
    }
    bars
}

/// People drilled at the harness strap who do not hold the rod.
pub(in crate::outing) fn harness_hands<'a>(
    ctx: &'a Ctx<'_>,
    rules: &RoleRules,
    a: &Assignment,
) -> Vec<&'a Person> {
    let rod: Vec<&str> = anglers(ctx, a).iter().map(|p| p.name.as_str()).collect();
    ctx.outing
        .person
        .iter()
        .filter(|p| !rod.contains(&p.name.as_str()) && !p.onlooker)
        .filter(|p| {
            p.drilled_in(Role::HarnessHand, ctx.hours.date(), rules.limits.drill_holds.value)
                == Known::Known(true)
        })
        .collect()
}

/// Who counts: how many surely do, who does not and why, what must be asked of whom.
struct Heads {
    sure: u32,
    out: Vec<String>,
    open: Vec<String>,
}

fn headcount(ctx: &Ctx<'_>, rules: &RoleRules) -> Heads {
    let mut heads = Heads { sure: 0, out: Vec::new(), open: Vec::new() };
    for p in &ctx.outing.person {
        match counts(rules, p, ctx.hours.date()) {
            Counts::Yes => heads.sure += 1,
            Counts::No(why) => heads.out.push(format!("{} {why}", p.name)),
            Counts::Open(question) => heads.open.push(question),
        }
    }
    heads
}

/// How many surely count.
pub(in crate::outing) fn counted(ctx: &Ctx<'_>, rules: &RoleRules) -> u32 {
    headcount(ctx, rules).sure
}

/// Least crew for the largest likely fish.
pub(in crate::outing) fn needed(ctx: &Ctx<'_>, rules: &RoleRules) -> CrewNeed {
    let landing = Landing {
        length: ctx.fish.judged_length(),
        mass: ctx.fish.judged_mass(),
        roped: roped(ctx),
        night: ctx.dark(),
        wave: wave(ctx, rules),
    };
    crew_needed(rules, &landing)
}

/// The highest breakers of the night. An unknown sea counts as waves at the landing place; beyond the forecast no wave is
/// assumed: what the sea asks of the crew is judged when it is known.
fn wave(ctx: &Ctx<'_>, rules: &RoleRules) -> Length {
    let of = |c: &Conditions| match c.breaker.get() {
        Some(wave) => wave,
        None if c.sea_judged => {
            rules.limits.night_landing_wave.value.max(c.breaker_at_least.get().unwrap_or(Length::ZERO))
        }
        None => Length::ZERO,
    };
    ctx.spells.iter().map(|s| of(&s.conditions)).fold(of(&ctx.conditions), Length::max)
}

/// Judges the crew.
pub(in crate::outing) fn assess(
    ctx: &Ctx<'_>,
    rules: &RoleRules,
    a: &Assignment,
    long_fight: Span,
    likely_fight: Known<Span>,
    off_sand: Timestamp,
    f: &mut Findings,
) {
    number(ctx, rules, f);
    roles(ctx, a, f);
    drilled(ctx, rules, a, f);
    sober(ctx, f);
    let night = tonight(ctx, long_fight);
    awake(ctx, rules, a, &night, f);
    driver(ctx, rules, &night, off_sand, f);
    relief(ctx, a, likely_fight, f);
}

fn number(ctx: &Ctx<'_>, rules: &RoleRules, f: &mut Findings) {
    let need = needed(ctx, rules);
    let heads = headcount(ctx, rules);
    let (sure, open) = (heads.sure, u32::try_from(heads.open.len()).unwrap_or(u32::MAX));
    let over = if sure >= need.count || sure + open < need.count {
        Known::Known(f64::from(sure) - f64::from(need.count))
    } else {
        Known::Unknown
    };
    let judged = ctx.limits.number("crew.count", over);
    let u = ctx.options.units;
    let sentence = format!(
        "{} are needed for a fish of this size ({}, {}), you are {sure}{}.",
        words(need.count),
        u.size(ctx.fish.judged_length()),
        u.mass(ctx.fish.judged_mass()),
        match (heads.out.is_empty(), sure == need.count) {
            (true, true) => ": none to spare".to_owned(),
            (true, false) => String::new(),
            (false, _) => format!(" (not counted: {})", heads.out.join("; ")),
        }
    );
    let mut because = vec![
        Reason::new("people needed", f64::from(need.count), "people", need.grade, need.sources.join(", ")),
        said("people who count", f64::from(sure), "people"),
    ];
    because.extend(need.float_hands.map(|n| {
        Reason::new(
            "hands to float it again",
            f64::from(n),
            "people",
            Grade::Derived,
            "half afloat, friction, pull of a person",
        )
    }));
    f.judged(&judged, sentence, because);
    if judged.unknown {
        f.note(
            Topic::Crew,
            format!("{open} of the people may or may not count: {}", heads.open.join(" ")),
            vec![said("people of whom it is not known", f64::from(open), "people")],
            Some("crew.count"),
        );
    }
    let baits = ctx.outing.night.baits_out.get();
    let crews = baits.filter(|n| *n > 0).map(|n| f64::from(sure) / (f64::from(need.count) * f64::from(n)));
    let sentence = format!(
        "{} baits out ask for {} full crews of {}; you are {sure}.",
        baits.unwrap_or(0),
        baits.unwrap_or(0),
        need.count
    );
    // One bait with too few people is told by the row above.
    if baits != Some(1) {
        let because = crews.map(|c| said("full crews for each bait", c, "-")).into_iter().collect();
        f.judged(&ctx.limits.number("baits.crews", crews.into()), sentence, because);
    }
}

fn words(n: u32) -> String {
    match n {
        2 => "Two".into(),
        3 => "Three".into(),
        4 => "Four".into(),
        5 => "Five".into(),
        6 => "Six".into(),
        7 => "Seven".into(),
        8 => "Eight".into(),
        _ => n.to_string(),
    }
}

fn roles(ctx: &Ctx<'_>, a: &Assignment, f: &mut Findings) {
    let open: Vec<_> = a.unfilled.iter().filter(|u| u.needed).collect();
    let state = if open.is_empty() { "filled" } else { "unfilled" };
    let said_open: Vec<String> = open
        .iter()
        .map(|u| {
            let why: Vec<String> = u
                .reasons
                .iter()
                .take(4)
                .map(|(who, why)| format!("{who}: {}", why.trim_end_matches('.')))
                .collect();
            if why.is_empty() {
                u.role.word().to_owned()
            } else {
                format!("{} ({})", u.role.word(), why.join("; "))
            }
        })
        .collect();
    f.judged(
        &ctx.limits.word("crew.roles", Known::Known(state)),
        format!("Nobody for: {}.", said_open.join(", ")),
        vec![said("open roles", open.len() as f64, "-")],
    );
    for asked in a.roles.iter().flat_map(|r| r.cautions.iter().map(move |b| (r, b))) {
        let (r, bar) = asked;
        // Drill and hours awake have rows of their own.
        if ["crew.drilled", "crew.newcomer", "crew.awake_h", "crew.sober"].contains(&bar.rule) {
            continue;
        }
        f.push(bar_finding(bar, Severity::Caution, r.role.word()));
    }
}

fn bar_finding(bar: &Bar, severity: Severity, role: &str) -> crate::outing::Finding {
    crate::outing::Finding {
        severity,
        topic: Topic::Crew,
        sentence: format!("As {role}: {}.", bar.sentence.trim_end_matches('.')),
        because: vec![],
        remedy: bar.remedy.clone(),
        rule: Some(bar.rule.to_owned()),
        rule_grade: Some(bar.grade),
        rule_source: Some(bar.source.clone()),
    }
}

fn drilled(ctx: &Ctx<'_>, rules: &RoleRules, a: &Assignment, f: &mut Findings) {
    let wet = a.undrilled_in_water(rules);
    let large = ctx.fish.judged_length().m() >= ctx.limits.figure("crew.newcomer_fish_m");
    let state = match wet.as_slice() {
        [] => "all",
        _ if large => "newcomer-large-fish",
        [one] => {
            let buddy = person(ctx, &one.person).is_some_and(|p| !p.buddy.is_unknown());
            if buddy { "one-with-buddy" } else { "one-alone" }
        }
        _ => "several",
    };
    let names: Vec<String> = wet.iter().map(|r| format!("{} as {}", r.person, r.role.word())).collect();
    let size = if large {
        format!(", and the fish may measure {}", ctx.options.units.size(ctx.fish.judged_length()))
    } else {
        String::new()
    };
    f.judged(
        &ctx.limits.word("crew.drilled", Known::Known(state)),
        format!("Not drilled this season for work in the water: {}{size}.", names.join(", ")),
        vec![said("not drilled", wet.len() as f64, "people")],
    );
}

fn sober(ctx: &Ctx<'_>, f: &mut Findings) {
    let crew = ctx.outing.person.iter().filter(|p| !p.onlooker);
    let (mut no, mut open) = (Vec::new(), Vec::new());
    for p in crew {
        match p.sober {
            Known::Known(true) => {}
            Known::Known(false) => no.push(p.name.as_str()),
            Known::Unknown => open.push(p.name.as_str()),
        }
    }
    let state = match (no.is_empty(), open.is_empty()) {
        (false, _) => Known::Known("no"),
        (true, false) => Known::Unknown,
        (true, true) => Known::Known("yes"),
    };
    let because =
        vec![said("people not sober, or of whom it is not known", (no.len() + open.len()) as f64, "people")];
    f.judged(&ctx.limits.word("crew.sober", state), format!("Not sober: {}.", no.join(", ")), because);
}

/// Hours awake of each person at the end of the last role that is worn or wet; dry roles are a caution at most.
fn awake(ctx: &Ctx<'_>, rules: &RoleRules, a: &Assignment, night: &Tonight, f: &mut Findings) {
    let hours = |p: &Person, phases: &[Phase]| -> Known<f64> {
        p.awake_since
            .get()
            .and_then(|s| s.until(night.date, &night.zone, night.end_of(phases)).ok())
            .map(Span::h)
            .into()
    };
    let mut told: Vec<&str> = Vec::new();
    let mut longest: Option<(f64, &str, Role)> = None;
    for r in &a.roles {
        let Ok(row) = rules.role(r.role) else { continue };
        let worn = row.clips_in || matches!(row.place, Place::Wash | Place::Sea);
        let Some(p) = person(ctx, &r.person) else { continue };
        match hours(p, &r.phases) {
            Known::Unknown if !told.contains(&p.name.as_str()) => {
                told.push(&p.name);
                f.judged(&ctx.limits.number("crew.awake_h", Known::Unknown), "", vec![]);
            }
            Known::Known(h) if worn && longest.is_none_or(|(most, _, _)| h > most) => {
                longest = Some((h, &p.name, r.role));
            }
            _ => {}
        }
    }
    if let Some((h, name, role)) = longest {
        f.judged(
            &ctx.limits.number("crew.awake_h", Known::Known(h)),
            format!("{name} will have been awake {h:.1} h at the end of the work as {}.", role.word()),
            vec![Reason::new(
                "hours awake",
                h,
                "h",
                Grade::Derived,
                "waking time; the role's end by the forecast",
            )],
        );
    }
    // Somebody kept from a role that stays open, by too long a day: say so by its own row.
    if a.complete() {
        return;
    }
    for p in ctx.outing.person.iter().filter(|p| !p.onlooker) {
        let all = [Phase::Landing];
        if let Known::Known(h) = hours(p, &all)
            && ctx.limits.number("crew.awake_h", Known::Known(h)).verdict == Verdict::Stop
        {
            f.judged(
                &ctx.limits.number("crew.awake_h", Known::Known(h)),
                format!(
                    "{} would be awake {h:.1} h at the end of the landing: no harness, wash, kayak or wheel.",
                    p.name
                ),
                vec![Reason::new(
                    "hours awake",
                    h,
                    "h",
                    Grade::Derived,
                    "waking time; the role's end by the forecast",
                )],
            );
        }
    }
}

fn driver(ctx: &Ctx<'_>, rules: &RoleRules, night: &Tonight, off_sand: Timestamp, f: &mut Findings) {
    let Known::Known(name) = &ctx.outing.safety.drives_home else {
        f.judged(&ctx.limits.word("driver.fit", Known::Unknown), "", vec![]);
        return;
    };
    let Some(p) = ctx.outing.person.iter().find(|p| p.name.trim().eq_ignore_ascii_case(name.trim())) else {
        return;
    };
    // At the wheel until home; where nobody said when that is, an hour from leaving the sand.
    #[allow(clippy::cast_possible_truncation)] // a few hours in minutes
    let drive = SignedDuration::from_mins((ctx.limits.figure("driver.drive_h") * 60.0) as i64);
    let home = match ctx.hours.home_by {
        Known::Known(by) => by.max(off_sand),
        Known::Unknown => off_sand.checked_add(drive).unwrap_or(off_sand),
    };
    let hours = p.awake_since.get().and_then(|s| s.until(night.date, &night.zone, home).ok()).map(Span::h);
    f.judged(
        &ctx.limits.number("crew.awake_h", hours.into()),
        format!("{} drives home and will have been awake {:.1} h by then.", p.name, hours.unwrap_or(0.0)),
        hours.map(|h| said("hours awake at the wheel", h, "h")).into_iter().collect(),
    );
    if ctx.hours.home_by.get().is_some_and(|by| by < off_sand) {
        f.judged(
            &ctx.limits.word("driver.fit", Known::Known("late")),
            format!(
                "Nobody is home by {}: the crew is off the sand at {} only.",
                ctx.hours
                    .home_by
                    .get()
                    .map_or_else(String::new, |t| crate::outing::windows::clock(t, &ctx.hours.zone)),
                crate::outing::windows::clock(off_sand, &ctx.hours.zone)
            ),
            vec![],
        );
    }
    if let Some(bar) = driving(rules, p, night, home)
        && bar.rule != "crew.driver"
    {
        let severity = if bar.weight == Weight::Forbids { Severity::Stop } else { Severity::Caution };
        f.push(bar_finding(&bar, severity, "driver"));
    }
}

fn relief(ctx: &Ctx<'_>, a: &Assignment, likely_fight: Known<Span>, f: &mut Findings) {
    let there = a.roles.iter().any(|r| r.role == Role::ReliefAngler);
    let long = match likely_fight {
        Known::Known(t) => t.min_() > ctx.limits.figure("crew.relief_min"),
        Known::Unknown => true,
    };
    let state = match (long, there) {
        (false, _) => "short-fight",
        (true, true) => "there",
        (true, false) => "none",
    };
    let shown = likely_fight
        .get()
        .map_or_else(|| "of unknown length".to_owned(), |t| format!("of {}", ctx.options.units.span(t)));
    f.judged(
        &ctx.limits.word("relief.angler", Known::Known(state)),
        format!("A fight {shown} is likely, and there is no relief angler."),
        likely_fight
            .get()
            .map(|t| Reason::new("likely fight", t.min_(), "min", Grade::Estimate, "forecast"))
            .into_iter()
            .collect(),
    );
}

/// Roles of all phases, and phase by phase.
pub(in crate::outing) fn views(ctx: &Ctx<'_>, a: &Assignment) -> (Vec<RoleView>, Vec<PhaseView>) {
    let mut all: Vec<(Role, Vec<Phase>, RoleView)> = Vec::new();
    for r in &a.roles {
        all.push((
            r.role,
            r.phases.clone(),
            RoleView {
                role: r.role.word().to_owned(),
                person: Some(r.person.clone()),
                alternates: r.alternates.clone(),
            },
        ));
    }
    for u in a.unfilled.iter().filter(|u| u.needed) {
        all.push((
            u.role,
            u.phases.clone(),
            RoleView { role: u.role.word().to_owned(), person: None, alternates: vec![] },
        ));
    }
    let paddled = super::bait::paddles(ctx.outing.bait.delivery);
    let phases = [Phase::PaddleOut, Phase::Soak, Phase::Fight, Phase::Landing]
        .into_iter()
        .filter(|p| *p != Phase::PaddleOut || paddled)
        .map(|p| PhaseView {
            phase: p.word().to_owned(),
            roles: all
                .iter()
                .filter(|(_, phases, _)| phases.contains(&p))
                .map(|(_, _, v)| v.clone())
                .collect(),
        })
        .collect();
    (all.into_iter().map(|(_, _, v)| v).collect(), phases)
}
