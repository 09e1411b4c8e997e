//! Will the bait stay where it is put: line, bait and sinker in the strongest current of the night.
//!
//! The outfit's own line lies between rod and bait; the tension is the one said, else the drag set for the soak, the most
//! that the reel lets the line pull. What is not known of sinker, current or bait makes a question, never a hold. A bait
//! that may walk as far as the nearest person in the water is a stop.

use super::Ctx;
use super::site::said;
use crate::facts::{Grade, Known};
use crate::hold::{Answer, Ask, Bait, Packs, Profile, Question, Report, Sinker, Waves, of_outfit};
use crate::outing::finding::{Findings, Reason};
use crate::outing::limits::Limits;
use crate::outing::plan::HoldView;
use crate::quantity::{Length, Span, Speed};
use crate::water::{Keep, Water};

/// The current as the conditions name it.
const CURRENT: &str = "current along";
/// Whence the numbers of this file.
pub(super) const SOURCE: &str =
    "hold: cable in the current, strumming band, soil theory halved (data/hold.toml)";

/// Line out between rod and bait: a still line, the middle of the strumming, the loudest. Unstretched, as it leaves the
/// spool. What is unknown has no bound: there the line streams away, and all the reel holds may be out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::outing) struct LineOut {
    /// Of a still line, the least.
    pub low: Known<Length>,
    /// In the middle.
    pub central: Known<Length>,
    /// Of the loudest, the most.
    pub high: Known<Length>,
}

/// How the bait lies: asked once, for every part of the plan.
#[derive(Clone, Debug, Default)]
pub(in crate::outing) struct Lies {
    /// The question; nothing where the outing leaves too much open.
    question: Option<Question>,
    /// Its answer.
    answered: Option<crate::Result<Report>>,
    /// Line out, belly and all; nothing where nothing could be asked.
    pub line_out: Option<LineOut>,
}

/// Asks how the bait lies.
pub(in crate::outing) fn lies(ctx: &Ctx<'_>) -> Lies {
    let packs = Packs { tackle: &ctx.facts.tackle, hold: &ctx.facts.hold, surf: &ctx.facts.surf.bait };
    let question = question(ctx);
    let answered = question.as_ref().map(|q| q.report(packs));
    let line_out = answered.as_ref().map(|a| {
        let of = |which: usize| -> Known<Length> {
            let held = a.as_ref().ok().and_then(|r| r.lying.held.get(which)).and_then(Known::as_ref);
            held.map(|h| h.line_out).into()
        };
        LineOut { low: of(0), central: of(1), high: of(2) }
    });
    Lies { question, answered, line_out }
}

/// The question that the outing puts; nothing where it leaves too much open.
fn question(ctx: &Ctx<'_>) -> Option<Question> {
    let (o, outfit) = (ctx.outing, ctx.main_outfit());
    let distance = o.bait.distance.get()?;
    let current = ctx.conditions.along.get()?;
    let tension = o.bait.rod_tension.get().or(outfit.drag.soak.get())?;
    let line = of_outfit(outfit, &ctx.facts.tackle, distance).ok()?;
    let pack = &ctx.facts.hold;
    let soak = o.bait.soak.get().unwrap_or_else(|| Span::of_h(ctx.limits.figure("hold.soak_h")));
    let of = o.rig.sinker.as_ref();
    let wires = of.and_then(|s| s.wired.get()).map(|w| if w { pack.sinker.wires.value } else { 0 });
    let depth = o.bait.depth;
    let waves = ctx.conditions.swell.get().filter(|_| !depth.is_unknown()).map(|swell| Waves { swell, soak });
    let waves_unknown = waves.is_none();
    Some(Question {
        ask: Ask {
            distance,
            depth,
            // Above the sand, which lies above the water: the line hangs lower than this, the safe side.
            tip: o.stand.tip_up,
            keep: Keep::Tension(tension),
            line,
            bait: Bait::of(o.bait.size, o.bait.lies, pack),
            along: current,
            out: Speed::ZERO,
            profile: Profile::Uniform,
            strum: Known::Unknown,
            water: Water::SEA,
        },
        sinker: Sinker {
            mass: of.map_or(Known::Unknown, |s| s.mass),
            wires: wires.into(),
            set: o.bait.sinker_set,
            pull_test: of.map_or(Known::Unknown, |s| s.hold_measured),
        },
        waves,
        waves_unknown,
        flows: None,
        soak: Known::Known(soak),
        line_on_reel: Known::Known(on_reel(ctx)),
        bathers_at: o.beach.bathers,
        either_side: true,
        clear: clear(&ctx.limits),
        next_rod_at: Known::Unknown,
    })
}

/// How far from people in the water a bait must stay.
pub(in crate::outing) fn clear(limits: &Limits) -> Length {
    let stop = limits.row("bathers.distance_m").and_then(|r| r.stop);
    Length::of_m(stop.map_or(0.0, crate::outing::limits::Border::at))
}

/// All line on the reel.
pub(super) fn on_reel(ctx: &Ctx<'_>) -> Length {
    ctx.main_outfit().line.iter().fold(Length::ZERO, |all, piece| all + piece.length)
}

/// Judges it; what the plan shows of it, where it can be reckoned.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) -> Option<HoldView> {
    // A line that streams away even if it is still walks its bait whatever the sinker.
    let Lies { question: q, answered, .. } = &ctx.lies;
    let row = |state| ctx.limits.word("hold.bait", state);
    let (q, r) = match (q, answered) {
        (Some(q), Some(Ok(r))) => (q, r),
        (Some(q), Some(Err(e))) => {
            // All line may be out then: that, and what the water runs in the soak, bound the bait.
            let runs = Length::of_m(q.ask.along.mps().abs() * q.soak.get().map_or(f64::INFINITY, Span::s));
            let far = runs.min(on_reel(ctx));
            let bathers = ctx.outing.beach.bathers.get().is_some_and(|at| far + q.clear >= at);
            let mut sentence =
                format!("The bait cannot lie {} out: {}.", ctx.options.units.line(q.ask.distance), e.error);
            if bathers {
                sentence += " Where it goes nothing holds it back from people in the water.";
            }
            let state = if bathers { "to-bathers" } else { "streams-away" };
            f.judged(&row(Known::Known(state)), sentence, vec![current(ctx, q.ask.along)]);
            return None;
        }
        _ => {
            f.judged(&row(Known::Unknown), "", vec![]);
            return None;
        }
    };
    let u = ctx.options.units;
    let load_words = match (r.load.high.get(), r.load.central.get().or(r.load.low.get())) {
        (Some(high), _) => u.force(high),
        (_, Some(some)) => {
            format!("{}, without bound where the line strums loudest and streams away", u.force(some))
        }
        _ => "more than any sinker holds".to_owned(),
    };
    let reach = r.walked.as_ref().map(|w| w.reach.along.max(w.reach.back));
    // The nearest person in the water may be on either side.
    let bathers = r.walked.is_some() && r.reaches_bathers == Known::Known(true);
    let near = if bathers {
        format!(" to within {} of people in the water", u.line(q.clear))
    } else {
        String::new()
    };
    let far = reach.map_or_else(String::new, |l| u.line(l));
    let doubts: Vec<&str> = r.doubts.iter().map(|d| d.words()).collect();
    let why = if doubts.is_empty() { String::new() } else { format!(" ({})", doubts.join("; ")) };
    let (state, sentence) = match r.answer {
        Answer::Holds => (Known::Known("holds"), String::new()),
        Answer::Doubtful | Answer::Walks if bathers => {
            (Known::Known("to-bathers"), format!("The bait may walk {far} along the beach,{near}{why}."))
        }
        Answer::Unknown if bathers => (
            Known::Known("to-bathers"),
            format!(
                "Nobody knows whether the sinker holds, and a walked bait may get {far} along the beach,{near}."
            ),
        ),
        Answer::Doubtful => (
            Known::Known("doubt"),
            format!(
                "The sinker must bear up to {load_words} and may not hold: the bait may walk up to {far} along the beach{why}."
            ),
        ),
        Answer::Walks => (
            Known::Known("walks"),
            format!(
                "The sinker must bear {load_words} and does not hold: the bait walks, up to {far} along the beach."
            ),
        ),
        Answer::Unknown => (Known::Unknown, String::new()),
    };
    f.judged(&row(state), sentence, reasons(ctx, q, r));
    if let (Answer::Doubtful | Answer::Walks, Known::Known(e)) = (r.answer, r.needs.ease)
        && e.line_out < on_reel(ctx)
    {
        f.advise(
            "hold.bait",
            format!(
                "ease the line to {} at the rod (then {} of it is out), put the bait nearer, or fish thinner line",
                u.force(e.tension),
                u.line(e.line_out)
            ),
        );
    }
    Some(view(q, r, ctx.lies.line_out))
}

/// The current, and whose voice it is: of what is typed, reported and driven by the waves the worst counts.
fn current(ctx: &Ctx<'_>, v: Speed) -> Reason {
    let view = ctx.conditions.view.iter().find(|c| c.name == CURRENT);
    let source = view.map_or_else(
        || "conditions of the night".to_owned(),
        |c| {
            let milder: Vec<String> = c
                .also
                .iter()
                .map(|o| format!("{} said {}", o.source, ctx.options.units.current(Speed::of_mps(o.value))))
                .collect();
            let beside = if milder.is_empty() { String::new() } else { format!("; {}", milder.join(", ")) };
            format!("the worst voice of the night: {}{beside}", c.source)
        },
    );
    Reason::new("current along the beach", v.mps(), "m/s", Grade::Derived, source)
}

fn reasons(ctx: &Ctx<'_>, q: &Question, r: &Report) -> Vec<Reason> {
    let mut all = vec![current(ctx, q.ask.along), said("distance to the bait", q.ask.distance.m(), "m")];
    if let Keep::Tension(t) = q.ask.keep {
        all.push(said("tension at the rod", t.n(), "N"));
    }
    let mut computed = |name: &str, value: Option<f64>, unit: &str, grade| {
        all.extend(value.map(|v| Reason::new(name, v, unit, grade, SOURCE)));
    };
    computed(
        "greatest load on the sinker",
        r.load.high.get().map(crate::quantity::Force::n),
        "N",
        Grade::Estimate,
    );
    if let Some(g) = r.grip.as_ref() {
        computed("least hold of the sinker", Some(g.hold.low.n()), "N", g.grade);
    }
    let reach = r.walked.as_ref().map(|w| w.reach.along.m());
    computed("a walked bait gets at most", reach, "m", Grade::Derived);
    all
}

fn view(q: &Question, r: &Report, out: Option<LineOut>) -> HoldView {
    let of_out = |pick: fn(LineOut) -> Known<Length>| out.and_then(|l| pick(l).get()).map(Length::m);
    let n = |k: Known<crate::quantity::Force>| k.get().map(crate::quantity::Force::n);
    let held = r.lying.central();
    let grip = r.grip.as_ref();
    HoldView {
        answer: r.answer,
        distance_m: q.ask.distance.m(),
        current_mps: q.ask.along.mps(),
        sinker_load_low_n: n(r.load.low),
        sinker_load_central_n: n(r.load.central),
        sinker_load_high_n: n(r.load.high),
        hold_low_n: grip.map(|g| g.hold.low.n()),
        hold_central_n: grip.map(|g| g.hold.central.n()),
        hold_high_n: grip.map(|g| g.hold.high.n()),
        hold_by: grip.map(|g| g.by),
        belly_m: held.map(|h| h.belly.m()),
        arrival_deg: held.map(|h| h.arrives.deg()),
        line_out_m: held.map(|h| h.line_out.m()),
        line_out_low_m: of_out(|l| l.low),
        line_out_central_m: of_out(|l| l.central),
        line_out_high_m: of_out(|l| l.high),
        walk_bound_m: r.walked.as_ref().map(|w| w.reach.along.m()),
        pull_test_n: n(r.needs.pull),
        ease_to_n: r.needs.ease.get().map(|e| e.tension.n()),
        line_xy_m: held.map_or_else(Vec::new, |h| {
            let m = |l: Length| (l.m() * 10.0).round() / 10.0;
            h.load.line.points.iter().step_by(8).map(|p| [m(p.place.x), m(p.place.y)]).collect()
        }),
    }
}
