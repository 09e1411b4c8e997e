//! Breakers, shore break, landing depth, cold water, way out, and the age of what is known of them.

use super::Ctx;
use super::bait::breaker_reason;
use super::site::said;
use crate::facts::{Grade, Known};
use crate::outing::conditions::Conditions;
use crate::outing::conditions::voices::place_of;
use crate::outing::file::{Report, WayOut};
use crate::outing::finding::{Findings, Reason};
use crate::outing::hours::age_words;
use crate::outing::limits::{Judgement, Limits};
use crate::outing::{Topic, Verdict};
use crate::people::{Assignment, Role};
use crate::quantity::{Length, Temperature};
use crate::sea::surf::{self, Footing, Form, RunUp, Swell, Wader, Wash};
use jiff::{SignedDuration, Timestamp};

/// Rows that hang on the sea of a stretch of hours.
pub(in crate::outing) fn of_hours(ctx: &Ctx<'_>, c: &Conditions, a: &Assignment, f: &mut Findings) {
    if c.sea_judged {
        breakers(ctx, c, f);
        landing_depth(ctx, c, a, f);
        cold(ctx, c, f);
    }
}

/// Rows of the whole night.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, off_sand: Timestamp, f: &mut Findings) {
    way_out(ctx, off_sand, f);
    station(ctx, f);
    high_water(ctx, f);
}

/// Dry sand left before the toes when the tide stands highest, if the stand never moves.
fn high_water(ctx: &Ctx<'_>, f: &mut Findings) {
    let (Known::Known(toes), Known::Known(slope)) =
        (ctx.outing.stand.toes_above_wash, ctx.outing.beach.foreshore_slope)
    else {
        return;
    };
    let levels: Vec<f64> = ctx.moments.iter().filter_map(|m| m.level).map(Length::m).collect();
    let (Some(first), Some(most)) = (levels.first(), levels.iter().copied().reduce(f64::max)) else { return };
    let rise = (most - first).max(0.0);
    let up_the_beach = Length::of_m(rise / slope.tan().max(1e-3));
    let left = toes - up_the_beach;
    f.judged(
        &ctx.limits.number("footing.high_water_m", Known::Known(left.m())),
        format!(
            "The water rises {} in these hours and comes {} up the beach: move back with it.",
            ctx.options.units.height(Length::of_m(rise)),
            ctx.options.units.size(up_the_beach)
        ),
        vec![Reason::new("rise of the tide", rise, "m", Grade::Derived, "tide, slope of the foreshore")],
    );
}

/// What must be said of the figures themselves: ages, mixed seas, places, notes of gauges.
pub(in crate::outing) fn of_the_figures(ctx: &Ctx<'_>, f: &mut Findings) {
    ages(ctx, f);
    mixed(ctx, f);
    places(ctx, f);
    notes(ctx, f);
}

/// How old what is known is, and what lies beyond any of it.
pub(in crate::outing) fn ages(ctx: &Ctx<'_>, f: &mut Findings) {
    beyond(ctx, f);
    for (source, at, h) in &ctx.silent {
        f.judged(
            &ctx.limits.number("conditions.age_h", Known::Known(*h)),
            format!(
                "{source}: its newest figure is of {}, {} before: too old to say anything of this night.",
                crate::outing::windows::local(*at, &ctx.hours.zone),
                age_words(*h)
            ),
            vec![said("age", *h, "h")],
        );
    }
    for (what, judged, age) in [
        ("sea", ctx.conditions.sea_judged, ctx.conditions.sea_age_h),
        ("weather", ctx.conditions.weather_judged, ctx.conditions.weather_age_h),
    ] {
        if !judged {
            continue;
        }
        let judged = ctx.limits.number("conditions.age_h", age);
        let h = age.get().unwrap_or(0.0);
        let dead = ctx.limits.figure("conditions.dead_h");
        let sentence = if h > dead {
            format!("The figures of the {what} are {} old: they count as unknown.", age_words(h))
        } else {
            format!("The figures of the {what} are up to {} old.", age_words(h))
        };
        f.judged(&judged, sentence, age.get().map(|h| said("age", h, "h")).into_iter().collect());
    }
}

/// What no forecast reaches is not judged, and that is said with the day from which it may be.
fn beyond(ctx: &Ctx<'_>, f: &mut Findings) {
    let first = |judged: fn(&Conditions) -> bool| {
        ctx.spells.iter().find(|s| !judged(&s.conditions)).map(|s| s.hours.from())
    };
    let (sea, weather) = (first(|c| c.sea_judged), first(|c| c.weather_judged));
    let (what, left) = match (sea, weather) {
        (None, None) => ("", ""),
        (Some(_), None) => ("The sea lies", "law, tide, moon, weather, crew and tackle only"),
        (None, Some(_)) => ("The weather lies", "law, tide, moon, sea, crew and tackle only"),
        (Some(_), Some(_)) => ("Sea and weather lie", "law, tide, moon, crew and tackle only"),
    };
    let state = if what.is_empty() { "within" } else { "beyond" };
    // Where a file ends within the night: from its end on.
    let begins = sea.into_iter().chain(weather).min().filter(|at| *at > ctx.hours.from);
    let since = begins.map_or_else(String::new, |at| {
        format!(" from {} on", crate::outing::windows::clock(at, &ctx.hours.zone))
    });
    let dead = ctx.limits.figure("conditions.dead_h");
    #[allow(clippy::cast_possible_truncation)] // hours in seconds, held to what a row may be
    let again = SignedDuration::from_secs((dead * 3600.0) as i64);
    let again = ctx.hours.from.checked_sub(again).unwrap_or(ctx.hours.from);
    let from = ctx.hours.civil(again).date();
    f.judged(
        &ctx.limits.word("conditions.reach", Known::Known(state)),
        format!("{what} beyond what was forecast{since}: this is {left}; plan again from {from}."),
        vec![Reason::new("hours ahead that figures may lie", dead, "h", Grade::Default, "conditions.dead_h")],
    );
}

/// A sea of two trains is said, with what each would do.
pub(in crate::outing) fn mixed(ctx: &Ctx<'_>, f: &mut Findings) {
    let Some(m) = ctx.conditions.mixed.as_ref().filter(|_| ctx.conditions.sea_judged) else { return };
    let u = ctx.options.units;
    let mut because = Vec::new();
    let mut told = Vec::new();
    for (i, (height, period)) in m.trains.iter().enumerate() {
        let name = |what: &str| format!("train {}: {what}", i + 1);
        because.push(Reason::new(name("period"), period.s(), "s", Grade::Published, &m.source));
        let Ok(swell) = Swell::square_on(*height, *period) else { continue };
        let breakers = surf::breaker_height(swell);
        because.push(Reason::new(
            name("breaker height"),
            breakers.m(),
            "m",
            Grade::Recalled,
            "Komar & Gaughan 1972",
        ));
        let mut words = format!("{} gives breakers of {}", u.span(*period), u.height(breakers));
        if let Known::Known(slope) = ctx.outing.beach.foreshore_slope {
            let up = RunUp::of(swell, slope).safe();
            because.push(Reason::new(name("run-up"), up.m(), "m", Grade::Recalled, "Stockdon 2006"));
            words.push_str(&format!(" and wash {} up", u.height(up)));
        }
        told.push(words);
    }
    f.note(
        Topic::Sea,
        format!("Mixed sea, two trains at once: {}. The first is planned on, never a mean.", told.join("; ")),
        because,
        Some("sea.mixed"),
    );
}

/// Reports that say neither where they are nor which station: whoever planned on them knows, or nobody does.
pub(in crate::outing) fn places(ctx: &Ctx<'_>, f: &mut Findings) {
    if ctx.spells.iter().all(|s| !s.conditions.sea_judged && !s.conditions.weather_judged) {
        return;
    }
    let placeless = |r: &&Report| !r.reads_nothing() && place_of(r, &ctx.facts.stations).is_none();
    let names: Vec<&str> = ctx.outing.report.iter().filter(placeless).map(|r| r.source.as_str()).collect();
    if names.is_empty() {
        return;
    }
    f.judged(
        &ctx.limits.word("report.place", Known::Known("unsaid")),
        format!("How far it is from this beach is not said: {}.", names.join("; ")),
        vec![],
    );
}

/// What gauges and files ask to be said beside their figures.
pub(in crate::outing) fn notes(ctx: &Ctx<'_>, f: &mut Findings) {
    for (text, because) in &ctx.gauge_notes {
        f.note(Topic::Sea, text.clone(), because.clone(), Some("report"));
    }
    for r in &ctx.outing.report {
        for note in &r.notes {
            f.note(Topic::Sea, format!("{}: {note}", r.source), vec![], Some("report"));
        }
    }
}

fn breakers(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let (l, u) = (&ctx.limits, ctx.options.units);
    let (judged, breaker, least) = breaker_row(l, "surf.height_m", c);
    f.judged(
        &judged,
        format!("Breakers of {least}{}.", breaker.map_or_else(String::new, |h| u.height(h))),
        breaker.map(|h| breaker_reason(h.m())).into_iter().collect(),
    );
    let most = l.figure("landing.shore_break_m");
    let state = c.shore_break.get().map(|b| match b.form {
        // The lower waves of a sea that spills still plunge; below the border of a stop they are not counted.
        Form::Spilling if b.plunging.m() < most => "spilling",
        _ if b.plunging.m() < most && c.breaker.get().is_none_or(|h| h.m() < most) => "plunging-small",
        _ => "plunging-high",
    });
    let height = |h: Length| u.height(h);
    let sentence = match (c.shore_break.get(), c.breaker.get()) {
        (Some(b), _) if b.form == Form::Spilling => {
            format!("The highest waves spill; those that plunge come down from {}.", height(b.plunging))
        }
        (Some(b), Some(h)) => format!("The shore break is {}, {}.", b.form.word(), height(h)),
        _ => String::new(),
    };
    f.judged(
        &l.word("landing.shore_break", state.into()),
        sentence,
        c.shore_break
            .get()
            .map(|b| {
                let xi = if b.similarity.is_finite() { b.similarity } else { 99.0 };
                Reason::new("surf similarity", xi, "-", Grade::Recalled, "Battjes 1974")
            })
            .into_iter()
            .collect(),
    );
}

/// What a row says of the breakers, their height, and `at least ` where only one train of the sea is told: then the row
/// asks, unless that train alone forbids.
pub(in crate::outing) fn breaker_row<'a>(
    l: &'a Limits,
    id: &'static str,
    c: &Conditions,
) -> (Judgement<'a>, Option<Length>, &'static str) {
    let of = |h: Option<Length>| l.number(id, h.map(Length::m).into());
    match (c.breaker.get(), c.breaker_at_least.get()) {
        (None, Some(h)) if of(Some(h)).verdict == Verdict::Stop => (of(Some(h)), Some(h), "at least "),
        (breaker, _) => (of(breaker), breaker, ""),
    }
}

/// Deepest still water in which every handler may stand; the least of the handlers assigned.
pub(in crate::outing) fn handlers_depth(ctx: &Ctx<'_>, c: &Conditions, a: &Assignment) -> Known<Length> {
    let (Known::Known(swell), Known::Known(slope)) = (c.swell, ctx.outing.beach.foreshore_slope) else {
        return Known::Unknown;
    };
    let rows = &ctx.facts.surf;
    let wash = Wash {
        swell,
        slope,
        // What nobody knows counts at the upper end of what is usual.
        along: c.along.get().unwrap_or(rows.unknown.along.value.high),
        out: rows.unknown.undertow.value.high,
    };
    let footing = if ctx.dark() { Footing::Poor } else { Footing::Normal };
    let mut least: Option<Length> = None;
    for role in [Role::LeaderHand, Role::HookHand, Role::TailRopeHand] {
        let Some(p) =
            a.roles.iter().find(|r| r.role == role).and_then(|r| super::crew::person(ctx, &r.person))
        else {
            continue;
        };
        let Known::Known(mass) = p.mass else { return Known::Unknown };
        let height = p.height.get().unwrap_or(Length::of_m(1.6));
        let Ok(who) = Wader::new(height, mass) else { return Known::Unknown };
        let depth = wash.deepest(who, footing, &rows.standing);
        least = Some(least.map_or(depth, |l| l.min(depth)));
    }
    least.into()
}

fn landing_depth(ctx: &Ctx<'_>, c: &Conditions, a: &Assignment, f: &mut Findings) {
    let (l, u) = (&ctx.limits, ctx.options.units);
    let heavy = &ctx.fish.heaviest;
    let body = ctx.facts.species.body.body(heavy.heavy, heavy.total, heavy.species.girth_constant().central);
    let allowed = handlers_depth(ctx, c, a);
    let from_sand = ctx.outing.landing.leader_from_sand;
    let state = match (allowed, from_sand) {
        (Known::Known(d), _) if d >= body.depth => Known::Known("enough"),
        (Known::Known(d), Known::Known(false)) if d.m() < 0.05 => Known::Known("none"),
        (Known::Known(_), _) => Known::Known("less"),
        (Known::Unknown, _) => Known::Unknown,
    };
    let sentence = format!(
        "Handlers may stand {} deep; the largest likely fish is {} deep in the body, so its gills are out there.",
        allowed.get().map_or_else(String::new, |d| u.size(d)),
        u.size(body.depth)
    );
    let mut because = vec![Reason::new("body depth", body.depth.m(), "m", Grade::Derived, "girth over pi")];
    because.extend(allowed.get().map(|d| {
        Reason::new(
            "handlers' depth limit",
            d.m(),
            "m",
            Grade::Recalled,
            "knee, flood guide and Karvonen 2000, poor at night",
        )
    }));
    f.judged(&l.word("landing.depth", state), sentence, because);
    if super::crew::roped(ctx) && state.get() == Some("less") {
        f.note(
            Topic::Sea,
            "With so little depth no tail rope is used: long tool, or cut at the leader.",
            vec![],
            Some("landing.depth"),
        );
    }
}

fn cold(ctx: &Ctx<'_>, c: &Conditions, f: &mut Findings) {
    let s = &ctx.outing.safety;
    let water = c.water.get();
    let covered = s.dry_change.get() == Some(true) || s.warm_place.get() == Some(true);
    let id = if covered { "handlers.water_c" } else { "handlers.water_bare_c" };
    let one_spell = water.is_some_and(|t| t.c() < ctx.limits.figure("handlers.one_spell_c"));
    let sentence = format!(
        "Water {} for the handlers{}{}.",
        water.map_or_else(String::new, |t| ctx.options.units.temperature(t)),
        if covered { "" } else { ", with neither dry change nor warm place" },
        if one_spell { ": one spell in the water each" } else { "" }
    );
    f.judged(
        &ctx.limits.number(id, water.map(Temperature::c).into()),
        sentence,
        water.map(|t| c.reason("water", "water temperature", t.c(), "C")).into_iter().collect(),
    );
}

/// What may stand above the predicted tide until the crew is off the sand: its error grows with the hours.
fn above_tide(ctx: &Ctx<'_>, off_sand: Timestamp) -> Length {
    ctx.conditions.above_tide(off_sand.max(ctx.hours.until))
}

/// A tide known for so long after the crew left, and below the level all the while, is good for a day.
const KNOWN_FOR_H: f64 = 12.0;

/// Hours between leaving the sand and the moment at which the way out is cut off; negative when it is cut off
/// earlier. A day when it never is.
pub(in crate::outing) fn way_out_h(ctx: &Ctx<'_>, off_sand: Timestamp) -> Known<f64> {
    match (&ctx.outing.beach.way_out, ctx.here.cut_off) {
        (Known::Known(WayOut::AlwaysDry(true)), _) => Known::Known(24.0),
        (_, Known::Unknown) => Known::Unknown,
        (_, Known::Known(level)) => {
            let Some(tide) = &ctx.here.tide else { return Known::Unknown };
            let above = above_tide(ctx, off_sand);
            // Cut off at the first stretch above the level that ends after the crew came.
            let first = tide.above(level - above).into_iter().find(|i| i.to() > ctx.hours.from);
            let after = |at| crate::outing::hours::Hours::hours_between(off_sand, at);
            match first {
                Some(i) => Known::Known(after(i.from())),
                // A typed table may end soon: beyond it nothing is known.
                None => match after(tide.when().to()) {
                    h if h >= KNOWN_FOR_H => Known::Known(24.0),
                    h if h > 0.0 => Known::Known(h),
                    _ => Known::Unknown,
                },
            }
        }
    }
}

fn way_out(ctx: &Ctx<'_>, off_sand: Timestamp, f: &mut Findings) {
    let h = way_out_h(ctx, off_sand);
    // Behind an inlet the water stands lower and comes later: such a station may forbid, and assures nothing.
    let forbids = ctx.limits.number("way_out.h", h).verdict == Verdict::Stop;
    let doubted = ctx.here.inner && !ctx.here.cut_off.is_unknown() && !h.is_unknown() && !forbids;
    let h = if doubted { Known::Unknown } else { h };
    let clock = crate::outing::windows::clock(off_sand, &ctx.hours.zone);
    let sentence = match h.get() {
        Some(h) if h < 0.0 => {
            format!("The way out is cut off {:.1} h before the crew is off the sand at {clock}.", -h)
        }
        Some(h) => format!(
            "The way out is known to stay dry for {h:.1} h only after the crew is off the sand at {clock}."
        ),
        None => String::new(),
    };
    let mut judged = ctx.limits.number("way_out.h", h);
    // A way out that is dry only as far as the wash is known is not known to be dry.
    let by_level = matches!(ctx.outing.beach.way_out, Known::Known(WayOut::CutOffAt(_)));
    if by_level
        && judged.verdict == Verdict::Go
        && ctx.conditions.sea_judged
        && !ctx.conditions.run_up_is_whole()
    {
        judged = ctx.limits.number("way_out.h", Known::Unknown);
    }
    f.judged(
        &judged,
        sentence,
        h.get()
            .map(|h| {
                Reason::new(
                    "hours the way out stays dry",
                    h,
                    "h",
                    Grade::Derived,
                    "tide, residual, long fight, pack-up",
                )
            })
            .into_iter()
            .collect(),
    );
    if doubted {
        f.advise(
            "way_out.h",
            "the tide station may stand behind an inlet, where the water comes later and stands lower: take a station \
             on the beach's own water, or a printed table",
        );
    } else if let Some(asks) = &ctx.here.cut_off_asks {
        f.advise("way_out.h", asks.clone());
    }
    if !ctx.here.cut_off.is_unknown() {
        above_the_tide(ctx, off_sand, f);
    }
}

/// With how much above the predicted tide the way out is reckoned, and what of that is not known.
fn above_the_tide(ctx: &Ctx<'_>, off_sand: Timestamp, f: &mut Findings) {
    let (c, above) = (&ctx.conditions, above_tide(ctx, off_sand));
    let read = if c.level.read() { "" } else { " The weather's share is not known: no gauge gave one." };
    let wash = match (c.run_up.get(), c.run_up_is_whole()) {
        (Some(_), true) => "",
        (Some(_), false) => " One train of waves alone is known: the wash may reach higher.",
        (None, _) => " The run-up is not known and not in it.",
    };
    f.note(
        Topic::Sea,
        format!(
            "The way out is reckoned with {} above the predicted tide, for weather and wash.{read}{wash}",
            ctx.options.units.height(above)
        ),
        vec![Reason::new(
            "above the predicted tide",
            above.m(),
            "m",
            Grade::Derived,
            "level.unread_m, run-up",
        )],
        Some("level.unread_m"),
    );
}

fn station(ctx: &Ctx<'_>, f: &mut Findings) {
    let km = ctx.here.km;
    let what = if ctx.here.of_table { "place of the tide table" } else { "tide station" };
    f.judged(
        &ctx.limits.number("station.km", km),
        format!(
            "The {what} is {} away: its times may be off by many minutes.",
            km.get().map_or_else(String::new, |k| ctx.options.units.distance(Length::of_km(k)))
        ),
        km.get()
            .map(|k| Reason::new(format!("distance to the {what}"), k, "km", Grade::Derived, "geodesic"))
            .into_iter()
            .collect(),
    );
    if km.is_unknown() && ctx.here.of_table {
        f.advise(
            "station.km",
            "write into beach.tide_table for which place it is: latitude and longitude, in degrees",
        );
    }
    if km.is_unknown() && !ctx.here.nearest.is_empty() {
        let near = ctx.here.nearest.join(", ");
        f.advise(
            "station.km",
            format!(
                "write one as beach.tide_station (nearest: {near}), or type the printed waters into beach.tide_table"
            ),
        );
    }
    for (row, states) in [("tide.table", &ctx.here.table), ("station.doubt", &ctx.here.doubts)] {
        for (state, sentence) in states {
            f.judged(&ctx.limits.word(row, Known::Known(*state)), sentence.clone(), vec![]);
        }
    }
    for note in &ctx.here.notes {
        f.note(Topic::Sea, note.clone(), vec![], Some("station"));
    }
}
