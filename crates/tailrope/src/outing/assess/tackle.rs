//! Can the tackle bear it: load path, drag card, what was measured, leader length.

use super::Ctx;
use super::fight::{Gear, Told};
use super::footing::{Standing, TipDrag, arms};
use super::site::said;
use crate::Result;
use crate::facts::{Grade, Known};
use crate::fight::CardPoint;
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::{CardRow, DragSetting, PartView, PathView};
use crate::outing::text::capital;
use crate::outing::{Finding, Severity, Topic};
use crate::quantity::{Force, Length, Speed};
use crate::tackle::LoadPath;
use crate::tackle::drag::{CardAsk, CheckPull, DragCard, DragCurve, ReadingContext, ScalePlace, drag_card};
use crate::tackle::path::{PathAsk, PathReport};

/// Speed of a run against which parts are checked: the middle of the bursts of whalers and hammerheads.
pub(in crate::outing) const RUN: Speed = Speed::of_mps(5.0);

/// The card stays this little under the cap, so that a last bit of rounding never counts as beyond it.
const A_HAIR_UNDER: f64 = 0.999;

/// The tackle laid out, ready for fights and judgement.
pub(in crate::outing) struct Laid<'a> {
    /// What the fights need.
    pub gear: Gear<'a>,
    /// The card.
    pub card: DragCard,
    /// Margin that the card keeps.
    pub factor: f64,
}

/// Greatest margin that still warns: the card is made to keep it.
fn factor(ctx: &Ctx<'_>) -> f64 {
    ctx.limits
        .row("path.margin")
        .and_then(|r| r.caution)
        .map_or(1.5, super::super::limits::Border::at)
        .clamp(1.0, 10.0)
}

/// Lays out the load path once; `None`, with a finding, when it cannot be told.
pub(in crate::outing) fn path(ctx: &Ctx<'_>, f: &mut Findings) -> Option<LoadPath> {
    match LoadPath::new(ctx.main_outfit(), Some(&ctx.outing.rig), &ctx.facts.tackle) {
        Ok(path) => Some(path),
        Err(e) => {
            f.push(Finding {
                severity: Severity::Stop,
                topic: Topic::Tackle,
                sentence: format!("The load path cannot be worked out: {}.", e.error),
                because: vec![],
                remedy: format!("{} ({})", e.remedy, e.place),
                rule: Some("path.margin".into()),
                rule_grade: ctx.limits.row("path.margin").map(|r| r.grade),
                rule_source: ctx.limits.row("path.margin").map(|r| r.source.clone()),
            });
            None
        }
    }
}

/// The back-off card of a fight setting as the fights take it.
fn points(card: &DragCard) -> Vec<CardPoint> {
    let mut all: Vec<CardPoint> = Vec::new();
    for r in &card.rows {
        if all.last().is_none_or(|p| r.line_out > p.line_out) {
            all.push(CardPoint { line_out: r.line_out, share: r.back_off_to.clamp(0.0, 1.0) });
        }
    }
    all
}

/// The card of a fight setting, by margin and footing.
pub(in crate::outing) fn card_of(
    ctx: &Ctx<'_>,
    path: &LoadPath,
    curve: Option<&DragCurve>,
    drag: Force,
    at: ScalePlace,
    standing: Option<&Standing>,
) -> Result<DragCard> {
    let ask = CardAsk {
        drag,
        at,
        run: RUN,
        factor: factor(ctx),
        // What the feet meet is the start-up value: the running drag is kept so far below the cap.
        tip_cap: standing.map(|s| {
            let feet = s.alone().limit * s.caps.worst;
            arms(ctx).map_or(feet, |a| a.min(feet)) * A_HAIR_UNDER / start_up(ctx, curve)
        }),
        step: Length::of_m(100.0),
        least_share: Known::Unknown,
        upper: 1.0,
    };
    drag_card(path, ctx.main_outfit(), &ctx.facts.tackle, curve, &ask).map_err(|e| e.within("outfit[0].drag"))
}

/// Everything the fights need of the tackle. `None` when spool, line or fight setting are not known.
pub(in crate::outing) fn gear<'a>(
    ctx: &'a Ctx<'_>,
    path: Option<&'a LoadPath>,
    standing: Option<&Standing>,
) -> Result<Option<Laid<'a>>> {
    let outfit = ctx.main_outfit();
    let Some(path) = path else { return Ok(None) };
    let Known::Known(fight_set) = outfit.drag.fight else { return Ok(None) };
    let tables = &ctx.facts.tackle;
    let fight = path.at_reel_full(fight_set, outfit.drag.at, Length::ZERO);
    let curve = curve(ctx, path)?;
    let card = card_of(ctx, path, curve.as_ref(), fight, ScalePlace::Reel, standing)?;
    let strike_share = outfit.drag.strike_force().get().map(|s| {
        let s = path.at_reel_full(s, outfit.drag.at, Length::ZERO);
        (s / fight).clamp(0.05, 1.5)
    });
    let max_drag =
        outfit.reel.max_drag(tables).get().map_or(fight, |m| m.value.central).max(Force::of_n(1.0));
    let gears = match outfit.reel.gears(tables) {
        g if g.is_empty() => vec![2.0],
        g => g,
    };
    let factor = factor(ctx);
    let far = path.spool().line_length() * 0.8;
    let wet = |out: Length| (out - crate::tackle::path::DRY_LINE).max(Length::ZERO);
    let guide = path.guide_factor();
    let by_parts = |out: Length| path.greatest_drag(factor, out, wet(out), RUN).get().unwrap_or(Force::ZERO);
    let arms_cap = arms(ctx).map(|a| a / guide);
    let (footing_cap, far_cap) = standing.map_or((Force::ZERO, Force::ZERO), |s| {
        let limit = s.alone().limit;
        let strike = limit * s.caps.strike / (guide * strike_share.unwrap_or(1.0));
        let worst = limit * s.caps.worst / guide;
        let far_worst = arms_cap.map_or(worst, |a| a.min(worst));
        (strike.min(worst), far_worst / path.spool().growth(far))
    });
    let start_up =
        curve.as_ref().and_then(|c| c.start_up().get()).unwrap_or(tables.drag.start_up.value.central);
    Ok(Some(Laid {
        gear: Gear {
            path,
            fight,
            strike_share,
            max_drag,
            gears,
            start_up,
            card: points(&card),
            // More drag late in a fight only where people and parts would still bear it with the spool nearly empty.
            drag_cap: fight.max(far_cap.min(by_parts(far))),
            footing_cap,
            arms_cap,
            parts_cap: by_parts(Length::ZERO),
            landing_factor: 1.0,
        },
        card,
        factor,
    }))
}

/// Breakaway over running drag: the crew's own, else the pack's.
fn start_up(ctx: &Ctx<'_>, curve: Option<&DragCurve>) -> f64 {
    curve.and_then(|c| c.start_up().get()).unwrap_or(ctx.facts.tackle.drag.start_up.value.central).max(1.0)
}

fn curve(ctx: &Ctx<'_>, path: &LoadPath) -> Result<Option<DragCurve>> {
    let outfit = ctx.main_outfit();
    // Readings none of which stands are no readings: the plan says that nothing of this drag was measured.
    if !outfit.readings.iter().any(|r| r.stands(&outfit.drag)) {
        return Ok(None);
    }
    let context = ReadingContext::of(outfit, path.spool(), &ctx.facts.tackle);
    DragCurve::fit(&outfit.readings, None, &context).map(Some).map_err(|e| e.within("outfit[0].readings"))
}

/// What the assessment of the tackle gives to the plan.
#[derive(Default)]
pub(in crate::outing) struct Tackled {
    pub path: PathView,
    pub card: Vec<CardRow>,
    pub settings: Vec<DragSetting>,
    pub stop_from_m: Option<f64>,
    pub tip: Option<TipDrag>,
}

/// Judges the tackle.
pub(in crate::outing) fn assess(
    ctx: &Ctx<'_>,
    path: Option<&LoadPath>,
    laid: Option<&Laid<'_>>,
    told: Option<&Told>,
    f: &mut Findings,
) -> Result<Tackled> {
    measured(ctx, f);
    leader(ctx, f);
    clashes(ctx, f);
    let (Some(path), Some(laid)) = (path, laid) else {
        // A path that cannot be laid out has its own finding.
        check_pull(ctx, None, f);
        if path.is_some() {
            f.judged(&ctx.limits.number("path.margin", Known::Unknown), "", vec![]);
        }
        return Ok(Tackled { path: PathView::unknown(), ..Tackled::default() });
    };
    let line = path.spool().line_length();
    let p90 = told.map_or(Length::ZERO, |t| Length::of_m(t.forecast.line_out_m.p90));
    let worst = (line * 0.8).max(p90).min(line);
    let ask = |drag, out| PathAsk { factor: laid.factor, ..PathAsk::at_reel(drag, out, RUN) };
    let full = path.at(&ask(laid.gear.fight, Length::ZERO))?;
    let set_worst = laid.card.set_at(worst);
    let at_worst = path.at(&ask(set_worst, worst))?;
    let left_alone = path.at(&ask(laid.gear.fight, worst))?;
    margin(ctx, laid, &full, &at_worst, &left_alone, worst, f);
    let strike = laid.gear.fight * laid.gear.strike_share.unwrap_or(1.0) * path.guide_factor();
    soak(ctx, laid, f);
    let high = path.at(&ask(set_worst * ctx.facts.tackle.drag.drift.value.high, worst))?;
    check_pull(ctx, Some((laid.gear.fight, &high)), f);
    Ok(Tackled {
        path: view(laid, &full, &at_worst, &left_alone, worst),
        card: laid
            .card
            .rows
            .iter()
            .map(|r| CardRow {
                line_out_m: r.line_out.m(),
                spool_depth_mm: r.depth.mm().max(0.0),
                seen: if r.seen.is_empty() {
                    format!("line {:.0} mm below the rim", r.depth.mm().max(0.0))
                } else {
                    r.seen.clone()
                },
                drag_tip_n: r.tip.n(),
                drag_hook_n: r.hook.n(),
                back_off_to: r.back_off_to,
            })
            .collect(),
        settings: laid
            .card
            .settings
            .iter()
            .map(|s| DragSetting {
                what: s.what.to_owned(),
                drag_n: s.drag.n(),
                lever: match &s.setting {
                    Known::Known(place) => format!("{place}; {}", s.note),
                    Known::Unknown => s.note.clone(),
                },
            })
            .collect(),
        stop_from_m: laid.card.not_enough_from.map(Length::m),
        tip: Some(TipDrag {
            // A run begins against the start-up value.
            strike: strike * laid.gear.start_up,
            fight: laid.gear.fight * path.guide_factor() * laid.gear.start_up,
            worst: at_worst.tip * laid.gear.start_up,
            worst_unbacked: left_alone.tip * laid.gear.start_up,
        }),
    })
}

fn measured(ctx: &Ctx<'_>, f: &mut Findings) {
    let outfit = ctx.main_outfit();
    let e = outfit.drag_evidence(&ctx.facts.tackle);
    let l = &ctx.limits;
    let age = e.age_days(ctx.options.read_on);
    let recent = age.is_some_and(|d| d >= 0 && f64::from(d) <= l.figure("drag.reading_days"))
        && e.opened_since == Known::Known(false);
    let large = ctx.fish.judged_length().m() >= l.figure("drag.fish_m");
    let state = match (e.is_measured(), e.class_band.is_some()) {
        (true, _) if recent => "recent",
        (true, _) => "older",
        (false, true) => "class-band",
        (false, false) if large => "nothing-known",
        (false, false) => "nothing-known-small-fish",
    };
    let sentence = match state {
        "older" => match age {
            Some(d) if d < 0 => "The drag readings are dated after the day of reading.".to_owned(),
            Some(d) if e.opened_since == Known::Known(true) => {
                format!("The reel was opened after the drag was read, {d} days ago.")
            }
            Some(d) => format!(
                "The drag was read by scale {d} days ago, or nobody said whether the reel was opened since."
            ),
            None => "The drag readings carry no date.".to_owned(),
        },
        "class-band" | "nothing-known" | "nothing-known-small-fish" if !outfit.readings.is_empty() => {
            "None of the drag readings counts: they are doubtful, or the preset was turned since.".to_owned()
        }
        "class-band" => "Nothing of this drag was measured: only what reels of its class give.".to_owned(),
        _ => "Nothing is known of this drag.".to_owned(),
    };
    let because = age.map(|d| said("days since the reading", f64::from(d), "d")).into_iter().collect();
    f.judged(&l.word("drag.measured", Known::Known(state)), sentence, because);
}

/// What the crew says of its tackle and cannot be, or hardly can.
fn clashes(ctx: &Ctx<'_>, f: &mut Findings) {
    let outing = ctx.outing;
    for c in ctx.main_outfit().clashes(Some(&outing.rig), &ctx.facts.tackle, ctx.options.units) {
        let state = if c.impossible { "impossible" } else { "doubtful" };
        f.judged(
            &ctx.limits.word("tackle.contradiction", Known::Known(state)),
            format!("What is said of the tackle contradicts itself ({}): {}.", c.field, c.sentence),
            vec![],
        );
        f.advise("tackle.contradiction", c.remedy);
    }
}

/// Asks for a pull on the beach where the night is much colder or warmer than the readings. `fight` is the fight setting
/// and the load path with the upper end of its band, at the worst line out.
fn check_pull(ctx: &Ctx<'_>, fight: Option<(Force, &PathReport)>, f: &mut Findings) {
    let outfit = ctx.main_outfit();
    let (c, u) = (&ctx.conditions, ctx.options.units);
    // An unmeasured drag has its own finding, and of weather beyond all forecasts nothing is asked.
    if !outfit.readings.iter().any(|r| r.stands(&outfit.drag)) || (!c.weather_judged && c.air.is_unknown()) {
        return;
    }
    // The warmest or the coldest voice, whichever lies farther from the reading.
    let farther = |a: &CheckPull, b: &CheckPull| {
        let off = |p: &CheckPull| p.warmer_k().get().map_or(0.0, f64::abs);
        off(a).total_cmp(&off(b))
    };
    let asked = [c.air, c.air_cold].map(|air| CheckPull::of(&outfit.readings, &outfit.drag, air));
    let Some(check) = asked.into_iter().max_by(farther) else { return };
    let warmer = check.warmer_k();
    let off: Known<f64> = warmer.get().map(f64::abs).into();
    let temperature =
        |t: Known<crate::quantity::Temperature>| t.get().map_or_else(String::new, |t| u.temperature(t));
    let drift_band = ctx.facts.tackle.drag.drift.value;
    let band = fight.map_or_else(String::new, |(set, high)| {
        let kept = match (&high.weakest, high.margin) {
            (Some(weakest), Known::Known(m)) => format!(", and {weakest} keeps {m:.2} at the upper end"),
            _ => String::new(),
        };
        format!(
            " Until it is pulled once on the beach, {} may be {} to {}{kept}.",
            u.force(set),
            u.force(set * drift_band.low),
            u.force(set * drift_band.high)
        )
    });
    let sentence = format!(
        "The drag was read at {}, and the night has {}: {}.{band}",
        temperature(check.read_at),
        temperature(check.air),
        check.expect()
    );
    let because = warmer.get().map(|k| {
        let air = c.reason("air", "night warmer than the reading by", k, "C");
        let drift = |name: &str, share| {
            Reason::new(
                name,
                share,
                "-",
                ctx.facts.tackle.drag.drift.grade,
                &ctx.facts.tackle.drag.drift.source,
            )
        };
        vec![
            air,
            drift("drag over its reading, low", drift_band.low),
            drift("drag over its reading, high", drift_band.high),
        ]
    });
    f.judged(&ctx.limits.number("drag.check_pull_c", off), sentence, because.unwrap_or_default());
}

fn leader(ctx: &Ctx<'_>, f: &mut Findings) {
    let fish = ctx.fish.judged_length();
    let share = ctx.outing.rig.leader_over_fish(fish).unwrap_or(Known::Unknown);
    let length = ctx.outing.rig.leader_length().get();
    let u = ctx.options.units;
    f.judged(
        &ctx.limits.number("leader.length", share),
        format!(
            "The leader ({}) is shorter than the largest likely fish ({}): its tail can part the main line.",
            length.map_or_else(String::new, |l| u.size(l)),
            u.size(fish)
        ),
        length.map(|l| said("leader", l.m(), "m")).into_iter().collect(),
    );
}

fn margin(
    ctx: &Ctx<'_>,
    laid: &Laid<'_>,
    full: &PathReport,
    worst: &PathReport,
    left: &PathReport,
    out: Length,
    f: &mut Findings,
) {
    let u = ctx.options.units;
    let least = match (full.margin, worst.margin) {
        (Known::Known(a), Known::Known(b)) => Known::Known(a.min(b)),
        _ => Known::Unknown,
    };
    let weakest = if worst.margin.get() <= full.margin.get() { &worst.weakest } else { &full.weakest };
    let weakest = weakest.clone().unwrap_or_else(|| "a part".to_owned());
    let alone = left.margin.get();
    let sentence = format!(
        "{} bears {:.2} times what it feels at the worst ({} out, card followed; {} with the lever left alone).",
        capital(&weakest),
        least.get().unwrap_or(0.0),
        u.line(out),
        alone.map_or_else(|| "unknown".to_owned(), |m| format!("{m:.2}")),
    );
    let mut because = Vec::new();
    if let Some(part) = worst.parts.iter().find(|p| p.name == weakest) {
        if let Known::Known(c) = part.capacity {
            because.push(Reason::new(
                format!("{weakest} bears"),
                c.n(),
                "N",
                part.grade,
                "tackle tables; own breaks where given",
            ));
        }
        if let Some(d) = part.demand {
            because.push(Reason::new(format!("{weakest} feels"), d.n(), "N", worst.grade, "load path"));
        }
    }
    because.push(Reason::new(
        "fight setting at the reel",
        laid.gear.fight.n(),
        "N",
        Grade::Measured,
        "outing file",
    ));
    let judged = ctx.limits.number("path.margin", least);
    let sentence = if judged.unknown { String::new() } else { sentence };
    f.judged(&judged, sentence, because);
    if judged.unknown {
        f.note(
            Topic::Tackle,
            format!("Strength not known: {}.", worst.unknown.join(", ")),
            vec![],
            Some("path.margin"),
        );
    } else if judged.severity().is_none()
        && alone.is_some_and(|m| ctx.limits.number("path.margin", Known::Known(m)).severity().is_some())
    {
        // Kept only because the lever is backed off: that is a caution by the paragraph above the table.
        f.push(Finding {
            severity: Severity::Caution,
            topic: Topic::Tackle,
            sentence: format!(
                "The margin is kept only by backing off as the card says: with the lever left alone {} has {:.2} at {} out.",
                left.weakest.clone().unwrap_or_default(),
                alone.unwrap_or(0.0),
                u.line(out)
            ),
            because: vec![Reason::new("margin with the lever left alone", alone.unwrap_or(0.0), "-", left.grade, "load path")],
            remedy: "follow the card, or fish with less drag".into(),
            rule: Some("path.margin".into()),
            rule_grade: ctx.limits.row("path.margin").map(|r| r.grade),
            rule_source: ctx.limits.row("path.margin").map(|r| r.source.clone()),
        });
    }
}

fn soak(ctx: &Ctx<'_>, laid: &Laid<'_>, f: &mut Findings) {
    let state = laid.card.soak.map(|s| if s.gives_line { "can" } else { "cannot" });
    let u = ctx.options.units;
    f.judged(
        &ctx.limits.word("soak.line", state.into()),
        laid.card.soak.map_or_else(String::new, |s| {
            format!("At the soak setting the reel may not give line before {}.", u.force(s.start_high))
        }),
        laid.card
            .soak
            .map(|s| {
                Reason::new(
                    "start-up drag in the soak, at the most",
                    s.start_high.n(),
                    "N",
                    Grade::Derived,
                    "drag curve, start-up",
                )
            })
            .into_iter()
            .collect(),
    );
}

fn view(laid: &Laid<'_>, full: &PathReport, worst: &PathReport, left: &PathReport, out: Length) -> PathView {
    let number = |k: Known<f64>| k.get().unwrap_or(f64::NAN);
    let parts = worst
        .parts
        .iter()
        .map(|w| {
            let at_full = full.parts.iter().find(|p| p.name == w.name);
            PartView {
                name: w.name.clone(),
                capacity_n: w.capacity.get().map_or(f64::NAN, Force::n),
                demand_full_n: at_full.and_then(|p| p.demand).map_or(0.0, Force::n),
                margin_full: at_full.map_or(f64::NAN, |p| number(p.margin)),
                demand_worst_n: w.demand.map_or(0.0, Force::n),
                margin_worst: number(w.margin),
                trailing_m: w.trails_most.get().map_or(0.0, Length::m),
                grade: w.grade,
            }
        })
        .collect();
    PathView {
        weakest: worst.weakest.clone().unwrap_or_default(),
        margin_full: number(full.margin),
        margin_low_spool: number(worst.margin),
        margin_low_spool_unbacked: number(left.margin),
        worst_line_out_m: out.m(),
        greatest_drag_n: worst.limits.last_fifth.get().map_or(f64::NAN, Force::n),
        parts: if laid.card.rows.is_empty() { Vec::new() } else { parts },
    }
}
