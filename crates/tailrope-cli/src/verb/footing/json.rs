//! JSON of `tailrope footing`: the inputs as understood, and the results.

use super::Told;
use serde::Serialize;
use tailrope::facts::Grade;
use tailrope::people::rod::Lowering;
use tailrope::people::{Borne, Governs, HandsNeeded, Sand, Stance, StanceFooting};
use tailrope::quantity::{Force, Length, Span};

pub fn json(t: &Told) -> Json {
    let best = t.footing.planned.best();
    let held = t.held.as_ref();
    Json {
        schema: "tailrope.footing/1",
        who: t.who.clone(),
        mass_kg: t.stand.mass.kg(),
        stance: t.stand.stance,
        lean_m: t.used.lean.m(),
        tip_height_m: t.used.tip.up.m(),
        tip_ahead_m: t.used.tip.ahead.m(),
        line_angle_deg: t.used.line_angle.deg(),
        slope: t.slope,
        sand: if t.stand.in_moving_wash() { Sand::MovingWash } else { t.stand.sand },
        friction: t.used.friction,
        wash_n: t.used.wash.n(),
        minutes: t.stand.after.min_(),
        hands_kg: t.hands.iter().map(|h| h.mass.kg()).collect(),
        drag_n: held.map(|h| h.demand.strike.n()),
        worst_drag_n: held.map(|h| h.demand.worst.n()),
        limit_tip_n: best.limits.tip.map(Force::n),
        limit_slip_n: best.limits.slip.map(Force::n),
        limit_back_n: best.limits.back.map(Force::n),
        limit_n: best.limit.n(),
        governs: best.governs,
        limit_low_n: best.band.low.n(),
        limit_central_n: best.band.central.n(),
        limit_high_n: best.band.high.n(),
        grade: best.grade,
        sources: best.sources.clone(),
        hands_pull_n: t.footing.planned.hands_pull.n(),
        alone: one(&t.footing.planned, &t.footing.planned.alone),
        other_stances: t.footing.others.iter().map(|s| one(s, s.best())).collect(),
        unsupported_lean_m: t.footing.planned.unsupported_lean.m(),
        cap_strike_n: best.limit.n() * t.caps.strike,
        cap_worst_n: best.limit.n() * t.caps.worst,
        met: held.map(|h| h.margin.met()),
        needed_harness_hands: held.and_then(|h| match h.needed {
            HandsNeeded::None => Some(0),
            HandsNeeded::Hands(n) => Some(n),
            HandsNeeded::NoneSuffices(_) => None,
        }),
        none_suffices: held.map(|h| matches!(h.needed, HandsNeeded::NoneSuffices(_))),
        stop_if_harnessed: t.footing.stop_if_harnessed,
        dry_distance_m: t.dry_wanted.m(),
        dry_there_m: t.dry.as_ref().map(|d| d.there.m()),
        dry_rise_left_m: t.dry.as_ref().and_then(|d| d.rise_left).map(Length::m),
        start_up: held.map(|h| h.start_up),
        running_n: held.map(|h| h.surge.running.n()),
        jammed_n: held.map(|h| h.surge.jammed.n()),
        jam_moves: held.map(|h| h.surge.jam_moves(best)),
        relief_after_min: held.map(|h| h.lasts.relief.min_()),
        // Null: borne as long as it takes.
        with_rests_min: held.and_then(|h| h.lasts.rests).map(Span::min_),
        held_without_rest_min: held.and_then(|h| h.lasts.held).map(Span::min_),
        to_the_limit_min: held.and_then(|h| h.lasts.bare).map(Span::min_),
        toe_arm_m: t.used.arm().m(),
        pin_arm_m: t.rod.pin_arm.m(),
        back_nm: t.rod.moment.nm(),
        strap_n: t.rod.strap.n(),
        pin_n: t.rod.pin.n(),
        lowering: t.lowering.map(|l| match l {
            Lowering::Helps => "helps",
            Lowering::WorseFirst { .. } => "worse-first",
            Lowering::NeverHelps { .. } => "never-helps",
        }),
        lowering_worst_deg: t.lowering.and_then(|l| match l {
            Lowering::Helps => None,
            Lowering::WorseFirst { worst, .. } | Lowering::NeverHelps { worst } => Some(worst.deg()),
        }),
        lowering_even_deg: t.lowering.and_then(|l| match l {
            Lowering::WorseFirst { even, .. } => Some(even.deg()),
            _ => None,
        }),
        elevations: t
            .elevations
            .iter()
            .map(|e| ElevationJson {
                rod_angle_deg: e.elevation.deg(),
                tip_height_m: e.tip.up.m(),
                limit_n: e.limit.n(),
                governs: e.governs,
            })
            .collect(),
        slip_test: t.slip.as_ref().map(|s| SlipJson {
            pulls: s.pulls,
            median_n: s.median.n(),
            friction_low: s.friction.low,
            friction_central: s.friction.central,
            friction_high: s.friction.high,
            lean_asked_m: s.lean_asked.map(Length::m),
            tipped_rather: s.tipped_rather,
            like: s.like.clone(),
            grade: s.grade,
        }),
    }
}

fn one(stance: &StanceFooting, borne: &Borne) -> StanceJson {
    StanceJson {
        stance: stance.stance,
        lean_m: stance.lean.m(),
        tip_height_m: stance.tip.up.m(),
        tip_ahead_m: stance.tip.ahead.m(),
        limit_tip_n: borne.limits.tip.map(Force::n),
        limit_slip_n: borne.limits.slip.map(Force::n),
        limit_back_n: borne.limits.back.map(Force::n),
        limit_n: borne.limit.n(),
        governs: borne.governs,
        dry_only: stance.dry_only,
        step_n: stance.step.n(),
        dry_distance_m: stance.dry_distance.m(),
    }
}

#[derive(Serialize)]
struct StanceJson {
    stance: Stance,
    lean_m: f64,
    tip_height_m: f64,
    tip_ahead_m: f64,
    limit_tip_n: Option<f64>,
    limit_slip_n: Option<f64>,
    limit_back_n: Option<f64>,
    limit_n: f64,
    governs: Governs,
    dry_only: bool,
    step_n: f64,
    dry_distance_m: f64,
}

#[derive(Serialize)]
struct ElevationJson {
    rod_angle_deg: f64,
    tip_height_m: f64,
    limit_n: f64,
    governs: Governs,
}

#[derive(Serialize)]
struct SlipJson {
    pulls: usize,
    median_n: f64,
    friction_low: f64,
    friction_central: f64,
    friction_high: f64,
    lean_asked_m: Option<f64>,
    tipped_rather: bool,
    like: Vec<Sand>,
    grade: Grade,
}

#[derive(Serialize)]
pub struct Json {
    schema: &'static str,
    who: Option<String>,
    mass_kg: f64,
    stance: Stance,
    lean_m: f64,
    tip_height_m: f64,
    tip_ahead_m: f64,
    line_angle_deg: f64,
    slope: f64,
    sand: Sand,
    friction: f64,
    wash_n: f64,
    minutes: f64,
    hands_kg: Vec<f64>,
    drag_n: Option<f64>,
    worst_drag_n: Option<f64>,
    limit_tip_n: Option<f64>,
    limit_slip_n: Option<f64>,
    limit_back_n: Option<f64>,
    limit_n: f64,
    governs: Governs,
    limit_low_n: f64,
    limit_central_n: f64,
    limit_high_n: f64,
    grade: Grade,
    sources: Vec<String>,
    hands_pull_n: f64,
    alone: StanceJson,
    other_stances: Vec<StanceJson>,
    unsupported_lean_m: f64,
    cap_strike_n: f64,
    cap_worst_n: f64,
    met: Option<bool>,
    needed_harness_hands: Option<usize>,
    none_suffices: Option<bool>,
    stop_if_harnessed: bool,
    dry_distance_m: f64,
    dry_there_m: Option<f64>,
    dry_rise_left_m: Option<f64>,
    start_up: Option<f64>,
    running_n: Option<f64>,
    jammed_n: Option<f64>,
    jam_moves: Option<bool>,
    relief_after_min: Option<f64>,
    with_rests_min: Option<f64>,
    held_without_rest_min: Option<f64>,
    to_the_limit_min: Option<f64>,
    toe_arm_m: f64,
    pin_arm_m: f64,
    back_nm: f64,
    strap_n: f64,
    pin_n: f64,
    lowering: Option<&'static str>,
    lowering_worst_deg: Option<f64>,
    lowering_even_deg: Option<f64>,
    elevations: Vec<ElevationJson>,
    slip_test: Option<SlipJson>,
}
