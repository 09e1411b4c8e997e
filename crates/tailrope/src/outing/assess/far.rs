//! A line far out: lookout, mark, boats over the line, and how far out is wise.

use super::fight::Told;
use super::site::said;
use super::tackle::Laid;
use super::{Ctx, hold};
use crate::Result;
use crate::facts::{Band, Grade, Known};
use crate::outing::file::BaitMark;
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::{FarBoundView, FarView};
use crate::outing::{Severity, Topic, Verdict};
use crate::quantity::{Force, Interval, Length, RHO_SEA_KG_M3, Span, Speed};
use crate::tackle::boats::{BoatCount, Crossing, LineLie, crossing};
use crate::tackle::far_out::{FarAsk, FarOut, strike_reaches, stripped};
use jiff::Unit;

/// Hours for which a count counts when nobody said for how long they watched.
const WATCHED: Span = Span::of_h(1.0);
/// Line that an angler takes in with a strike: a sweep of the rod and a step back (judgement).
const STROKE: Length = Length::of_m(2.0);

/// Judges what belongs to a bait far out; gives the view where the bait is far, or boats were counted.
pub(in crate::outing) fn assess(
    ctx: &Ctx<'_>,
    laid: Option<&Laid<'_>>,
    told: Option<&Told>,
    no_margin_from_m: Option<f64>,
    f: &mut Findings,
) -> Result<Option<FarView>> {
    let (b, l, u) = (&ctx.outing.bait, &ctx.limits, ctx.options.units);
    let Known::Known(distance) = b.distance else {
        f.judged(&l.number("far.wise", Known::Unknown), "", vec![]);
        return Ok(None);
    };
    let line_out = spooled(ctx, distance, f);
    let far = distance.m() >= l.figure("far.line_m");
    if !far && b.boats_per_hour.is_unknown() {
        return Ok(None);
    }
    let crossed = boats(ctx, distance, f)?;
    let empty = no_boats(ctx, crossed.as_ref());
    if far {
        lookout(ctx, distance, empty, f);
    }
    let kn = |id| Speed::of_kn(l.figure(id));
    let (slow, fast) = (kn("far.boat_slow_kn").min(kn("far.boat_fast_kn")), kn("far.boat_fast_kn"));
    let boat = Band { low: slow, central: (slow + fast) / 2.0, high: fast };
    let mut view = FarView {
        distance_m: distance.m(),
        line_out_m: line_out.m(),
        wise_m: None,
        because: None,
        bounds: Vec::new(),
        boats_per_h: crossed.map(|c| c.rate_per_h),
        soak_h: crossed.map(|c| c.soak.h()),
        shallow_m: crossed.map(|c| c.shallow.map(Length::m)),
        boat_chance: crossed.map(|c| c.chance),
        wind_in_min: None,
        warning_s: None,
        stripped_s: None,
        strike_at_hook_n: strike_reaches(&ctx.main_outfit().line, &ctx.facts.tackle, distance, STROKE)
            .map(Force::n),
    };
    let Some(gear) = laid.map(|l| &l.gear) else {
        f.judged(&l.number("far.wise", Known::Unknown), "", vec![]);
        return Ok(Some(view));
    };
    let spool = gear.path.spool();
    let fastest = gear.gears.iter().copied().fold(0.0, f64::max);
    let ask = FarAsk {
        distance,
        line_out: Known::Known(line_out),
        on_spool: spool.line_length(),
        fight_out: told.map(|t| Length::of_m(t.forecast.line_out_m.p90)).into(),
        no_margin_from: no_margin_from_m.map(Length::of_m).into(),
        winding: Speed::of_mps(
            spool.retrieve_per_crank(line_out.min(spool.line_length()), fastest).m()
                * l.figure("far.turns_s"),
        ),
        patience: Span::of_min(l.figure("far.wind_in_min")),
        sight: match b.lookout {
            Known::Known(true) => Known::Known(Length::of_m(l.figure("far.sight_m"))),
            _ => Known::Unknown,
        },
        boat,
        react: Span::of_s(l.figure("far.react_s")),
        boats: !empty,
    };
    let out = FarOut::of(&ask);
    let wise = out.wise();
    let share = wise.map(|w| if w.most > Length::ZERO { distance / w.most } else { f64::INFINITY });
    let because = wise.map_or_else(Vec::new, |w| {
        vec![
            said("distance of the bait", distance.m(), "m"),
            Reason::new(
                format!("farthest that is wise: {}", w.by.words()),
                w.most.m(),
                "m",
                Grade::Estimate,
                "spool, winding, sight of lights, speed of boats",
            ),
        ]
    });
    let belly = if line_out > distance {
        format!(" With its belly {} of line is out.", u.line(line_out))
    } else {
        String::new()
    };
    f.judged(
        &l.number("far.wise", share.filter(|s| s.is_finite()).or(share.map(|_| f64::MAX)).into()),
        wise.map_or_else(String::new, |w| {
            let bound = if w.most > Length::ZERO {
                format!("beyond {} {}", u.line(w.most), w.by.words())
            } else {
                w.by.words().to_owned()
            };
            format!(
                "The bait lies {} out; {bound}.{belly} Winding it in takes {}.",
                u.line(distance),
                u.span(out.wind_in)
            )
        }),
        because,
    );
    view.wise_m = wise.map(|w| w.most.m());
    view.because = wise.map(|w| w.by.words().to_owned());
    view.bounds = out.bounds.iter().map(|b| FarBoundView { by: b.by, most_m: b.most.m() }).collect();
    view.wind_in_min = Some(out.wind_in.min_());
    view.warning_s = Some(out.warning.map(Span::s));
    view.stripped_s = Some(stripped(spool.line_length(), line_out, boat.central).s());
    Ok(Some(view))
}

/// Line out with its belly against the spool; gives what is reckoned as out: the most that it may be.
fn spooled(ctx: &Ctx<'_>, distance: Length, f: &mut Findings) -> Length {
    let (l, u) = (&ctx.limits, ctx.options.units);
    let on_spool = hold::on_reel(ctx);
    if on_spool <= Length::ZERO {
        return distance;
    }
    // Not asked: straight. A line that streams away takes all that the spool gives.
    let of = |pick: fn(hold::LineOut) -> Known<Length>| {
        ctx.lies.line_out.map_or(distance, |out| pick(out).get().unwrap_or(on_spool).max(distance))
    };
    let middle = of(|out| out.central);
    let most = of(|out| out.high).max(middle);
    let because = |out: Length| {
        vec![
            said("distance of the bait", distance.m(), "m"),
            said("line on the spool", on_spool.m(), "m"),
            Reason::new("line out with its belly", out.m(), "m", Grade::Estimate, hold::SOURCE),
        ]
    };
    let share = |out: Length| l.number("far.spool", Known::Known(out / on_spool));
    // The middle stops, the most only warns: nobody measured how loudly fishing line strums.
    if share(middle).verdict == Verdict::Go {
        let sentence = format!(
            "With its belly in the current as much as all {} on the spool may be out.",
            u.line(on_spool)
        );
        f.judged_capped(&share(most), Severity::Caution, sentence, because(most));
    } else {
        let sentence = if middle > on_spool {
            format!("{} of line would be out, and the spool holds {}.", u.line(middle), u.line(on_spool))
        } else {
            format!("The line streams away in the current until all {} of it is out.", u.line(on_spool))
        };
        f.judged(&share(middle), sentence, because(middle));
    }
    most
}

/// No boat runs there: none was counted, and in a watch long enough to say so.
fn no_boats(ctx: &Ctx<'_>, crossed: Option<&Crossing>) -> bool {
    let b = &ctx.outing.bait;
    let chance = crossed.map(|c| c.chance.high);
    b.boats_per_hour == Known::Known(0.0)
        && !b.boats_watched.is_unknown()
        && ctx.limits.number("far.boats", chance.into()).verdict == Verdict::Go
}

/// Somebody looks seaward; the bait is marked or no boat runs.
fn lookout(ctx: &Ctx<'_>, distance: Length, no_boats: bool, f: &mut Findings) {
    let (b, l, u) = (&ctx.outing.bait, &ctx.limits, ctx.options.units);
    let boats = b.boats_per_hour.get();
    let state = match b.lookout {
        Known::Known(true) => Known::Known("kept"),
        Known::Known(false) if boats.is_some_and(|n| n > 0.0) => Known::Known("none-and-boats"),
        Known::Known(false) => Known::Known("none"),
        Known::Unknown => Known::Unknown,
    };
    let sentence = if state.get() == Some("none-and-boats") {
        format!("Boats run there, the bait lies {} out, and nobody looks seaward.", u.line(distance))
    } else {
        format!("The bait lies {} out and nobody looks seaward for boats.", u.line(distance))
    };
    let because = vec![said("distance of the bait", distance.m(), "m")];
    f.judged(&l.word("far.lookout", state), sentence, because);
    let marked = match b.marked {
        Known::Known(BaitMark::FloatWithLight) => Known::Known("lit"),
        Known::Known(BaitMark::Float) => Known::Known("unlit"),
        Known::Known(BaitMark::None) if no_boats => Known::Known("none-no-boats"),
        Known::Known(BaitMark::None) => Known::Known("none"),
        Known::Unknown => Known::Unknown,
    };
    let sentence = if marked.get() == Some("unlit") {
        "The bait far out hangs on a float without a light: no boat sees it."
    } else {
        "The bait far out carries no mark, and boats may run there."
    };
    f.judged(&l.word("far.marked", marked), sentence, vec![]);
}

/// Chance of a boat over the line, judged; nothing where boats were not counted.
fn boats(ctx: &Ctx<'_>, distance: Length, f: &mut Findings) -> Result<Option<Crossing>> {
    let (b, l, u) = (&ctx.outing.bait, &ctx.limits, ctx.options.units);
    let Known::Known(per_hour) = b.boats_per_hour else {
        f.judged(&l.number("far.boats", Known::Unknown), "", vec![]);
        return Ok(None);
    };
    let count = BoatCount {
        per_hour,
        watched: b.boats_watched.get().unwrap_or(WATCHED),
        width: distance.max(Length::of_m(10.0)),
    };
    // Line that floats comes up when it slackens: a sinker keeps it tight, and then it lies as it is led.
    let buoyant = ctx.main_outfit().line.iter().any(|p| {
        let row = p.material.get().map(|m| ctx.facts.tackle.material(m));
        row.is_none_or(|r| r.density.value.central.kg_m3() < RHO_SEA_KG_M3)
    });
    let lie = LineLie {
        tip_up: ctx.outing.stand.tip_up.get().unwrap_or(Length::of_m(2.0)),
        distance,
        bait_depth: b.depth,
        floats: buoyant && ctx.outing.rig.sinker.is_none(),
    };
    let soak = Interval::new(ctx.hours.from, ctx.hours.last_bait_in.max(ctx.hours.from))?;
    let soak =
        Span::of_h(soak.to().since(soak.from()).ok().and_then(|s| s.total(Unit::Hour).ok()).unwrap_or(16.0));
    let c =
        crossing(&lie, &count, soak, Length::of_m(l.figure("far.keel_m"))).map_err(|e| e.within("bait"))?;
    let percent = |p: f64| format!("{:.0} %", 100.0 * p);
    let watched = if b.boats_watched.is_unknown() { "as if counted in one hour" } else { "as counted" };
    let sentence = format!(
        "{:.2} boats an hour over that water ({:.2} to {:.2}, {watched}), {} of soak, {} of line shallower than a propeller: chance of a boat over the line {} ({} to {}).",
        c.rate_per_h.central,
        c.rate_per_h.low,
        c.rate_per_h.high,
        u.span(c.soak),
        u.line(c.shallow.central),
        percent(c.chance.central),
        percent(c.chance.low),
        percent(c.chance.high),
    );
    let mut because = vec![
        said("boats an hour as counted", per_hour, "1/h"),
        Reason::new(
            "line shallower than a propeller",
            c.shallow.central.m(),
            "m",
            Grade::Estimate,
            "line led straight to the bait",
        ),
    ];
    for (name, p) in [("low", c.chance.low), ("middle", c.chance.central), ("high", c.chance.high)] {
        because.push(Reason::new(
            format!("chance of a boat over the line, {name}"),
            p,
            "-",
            Grade::Derived,
            "Poisson count, Byar's 90 % band",
        ));
    }
    let middle = l.number("far.boats", Known::Known(c.chance.central));
    // The high end warns, only the middle stops: a short watch without a boat is not a promise, nor a boat.
    if middle.verdict == Verdict::Go {
        f.judged_capped(
            &l.number("far.boats", Known::Known(c.chance.high)),
            Severity::Caution,
            sentence,
            because,
        );
    } else {
        f.judged(&middle, sentence, because);
    }
    if middle.verdict != Verdict::Go {
        f.note(
            Topic::Site,
            "A boat that takes the line strips the spool or parts the line, and a fish on it trails what is left. \
             Nobody clips in while a boat passes; rods high or lines in when an engine is heard; a line that is taken \
             is cut at the rod at once.",
            vec![],
            Some("far.boats"),
        );
    }
    Ok(Some(c))
}
