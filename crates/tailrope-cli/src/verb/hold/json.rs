//! The answer for programs.

use super::Shown;
use serde::Serialize;
use tailrope::facts::{Band, Grade, Known};
use tailrope::hold::{
    Answer, BaitLies, Bed, Doubt, Drift, GripBy, Held, SinkerNeeded, Step, UnderWaves, WalkAt, Walked,
};
use tailrope::quantity::{Force, Length, Mass, Span};
use tailrope::water::Keep;

/// Points of the line in JSON: every fourth of the solved ones.
const EACH: usize = 4;

#[derive(Serialize)]
pub struct Json<'a> {
    schema: &'static str,
    distance_m: f64,
    depth_m: Option<f64>,
    tip_height_m: Option<f64>,
    rod_tension_n: Option<f64>,
    locked_line_m: Option<f64>,
    current_along_mps: f64,
    current_out_mps: f64,
    bait_length_m: f64,
    bait_width_m: f64,
    bait_lies: BaitLies,
    line: Vec<Piece>,
    strum_fixed: bool,
    sinker_load_n: Option<f64>,
    sinker_load_low_n: Option<f64>,
    sinker_load_central_n: Option<f64>,
    sinker_load_high_n: Option<f64>,
    /// Why a hold is not to be believed whatever the numbers.
    doubts: Vec<Doubt>,
    /// Greatest of the soak, waves counted.
    soak_load_low_n: Option<f64>,
    soak_load_central_n: Option<f64>,
    soak_load_high_n: Option<f64>,
    down_current_n: Option<f64>,
    shoreward_n: Option<f64>,
    uplift_n: Option<f64>,
    bait_drag_n: Option<f64>,
    belly_m: Option<f64>,
    arrival_deg: Option<f64>,
    line_out_m: Option<f64>,
    line_in_water_m: Option<f64>,
    line_on_bed: Option<bool>,
    strums: Vec<Strummed>,
    hold_low_n: Option<f64>,
    hold_central_n: Option<f64>,
    hold_high_n: Option<f64>,
    hold_by: Option<GripBy>,
    hold_grade: Option<Grade>,
    own_weight_hold_n: Option<f64>,
    sinker_lifted: bool,
    answer: Answer,
    margin_low: Option<f64>,
    margin_central: Option<f64>,
    margin_high: Option<f64>,
    walks_at: Option<Currents>,
    waves: Option<WavesJson>,
    tide: Option<&'a str>,
    through: Option<ThroughJson>,
    walk: Option<WalkJson>,
    bathers_at_m: Option<f64>,
    reaches_bathers: Option<bool>,
    next_rod_at_m: Option<f64>,
    reaches_next_rod: Option<bool>,
    needs: NeedsJson,
    /// x out to sea, y along the beach, z up from the water, m; bait first.
    line_xyz_m: Vec<[f64; 3]>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Piece {
    material: &'static str,
    diameter_mm: f64,
    length_m: f64,
}

#[derive(Serialize)]
struct Strummed {
    strum: f64,
    streams_away: bool,
    load_n: Option<f64>,
    down_current_n: Option<f64>,
    shoreward_n: Option<f64>,
    uplift_n: Option<f64>,
    at_rod_n: Option<f64>,
    belly_m: Option<f64>,
    arrival_deg: Option<f64>,
    line_out_m: Option<f64>,
}

/// A current at which it walks: nothing with `already` false means that it holds in any current of a beach.
#[derive(Serialize)]
struct Currents {
    low_mps: Option<f64>,
    central_mps: Option<f64>,
    high_mps: Option<f64>,
    already_low: bool,
    already_central: bool,
    already_high: bool,
}

#[derive(Serialize)]
struct WavesJson {
    bed_significant_mps: f64,
    bed_tenth_mps: f64,
    bed_highest_mps: f64,
    line_share: f64,
    bed: Bed,
    peak_low_n: Option<f64>,
    peak_central_n: Option<f64>,
    peak_high_n: Option<f64>,
    rms_low_n: Option<f64>,
    rms_central_n: Option<f64>,
    rms_high_n: Option<f64>,
}

#[derive(Serialize)]
struct ThroughJson {
    holds_share_low: f64,
    holds_share_central: f64,
    holds_share_high: f64,
    walks_from_worst_s: Option<f64>,
    walks_from_central_s: Option<f64>,
    steps: Vec<StepJson>,
}

#[derive(Serialize)]
struct StepJson {
    at_s: f64,
    along_mps: f64,
    load_low_n: Option<f64>,
    load_central_n: Option<f64>,
    load_high_n: Option<f64>,
    holds_low: bool,
    holds_central: bool,
    holds_high: bool,
}

#[derive(Serialize)]
struct WalkJson {
    circle_m: Option<f64>,
    water_runs_m: f64,
    bound_along_m: f64,
    bound_back_m: f64,
    central: Option<DriftJson>,
    worst: Option<DriftJson>,
}

#[derive(Serialize)]
struct DriftJson {
    along_m: f64,
    off_m: f64,
    way_m: f64,
    least_s: f64,
    rests: bool,
}

#[derive(Serialize)]
struct NeedsJson {
    pull_test_n: Option<f64>,
    sinker: SinkerNeeded,
    mass_kg: Option<f64>,
    ease_to_n: Option<f64>,
    eased_line_out_m: Option<f64>,
    eased_belly_m: Option<f64>,
}

fn n(f: Known<Force>) -> Option<f64> {
    f.get().map(Force::n)
}

fn m(l: Known<Length>) -> Option<f64> {
    l.get().map(Length::m)
}

impl<'a> Json<'a> {
    pub fn of(shown: &'a Shown<'a>) -> Self {
        let (q, r) = (shown.question, shown.report);
        let ask = &q.ask;
        let held = r.lying.central();
        let load = r.lying.load();
        let grip = r.grip.as_ref();
        let of = |f: fn(&Held) -> f64| held.map(f);
        Self {
            schema: "tailrope.hold/1",
            distance_m: ask.distance.m(),
            depth_m: m(ask.depth),
            tip_height_m: m(ask.tip),
            rod_tension_n: match ask.keep {
                Keep::Tension(t) => Some(t.n()),
                Keep::Length(_) => None,
            },
            locked_line_m: match ask.keep {
                Keep::Tension(_) => None,
                Keep::Length(l) => Some(l.m()),
            },
            current_along_mps: ask.along.mps(),
            current_out_mps: ask.out.mps(),
            bait_length_m: ask.bait.size.length().m(),
            bait_width_m: ask.bait.size.width().m(),
            bait_lies: ask.bait.lies,
            line: ask
                .line
                .iter()
                .map(|b| Piece {
                    material: b.material.word(),
                    diameter_mm: b.diameter.mm(),
                    length_m: b.length.m(),
                })
                .collect(),
            strum_fixed: !ask.strum.is_unknown(),
            sinker_load_n: n(load.central),
            sinker_load_low_n: n(load.low),
            sinker_load_central_n: n(load.central),
            sinker_load_high_n: n(load.high),
            soak_load_low_n: n(r.load.low),
            soak_load_central_n: n(r.load.central),
            soak_load_high_n: n(r.load.high),
            down_current_n: of(|h| h.down_current.n()),
            shoreward_n: of(|h| h.shoreward.n()),
            uplift_n: of(|h| h.uplift.n()),
            bait_drag_n: of(|h| h.load.bait.size().n()),
            belly_m: of(|h| h.belly.m()),
            arrival_deg: of(|h| h.arrives.deg()),
            line_out_m: of(|h| h.line_out.m()),
            line_in_water_m: of(|h| h.load.line.wet().m()),
            line_on_bed: held.map(|h| h.on_bed),
            strums: strums(shown),
            hold_low_n: grip.map(|g| g.hold.low.n()),
            hold_central_n: grip.map(|g| g.hold.central.n()),
            hold_high_n: grip.map(|g| g.hold.high.n()),
            hold_by: grip.map(|g| g.by),
            hold_grade: grip.map(|g| g.grade),
            own_weight_hold_n: grip.and_then(|g| g.own_weight.get()).map(|w| w.high.n()),
            doubts: r.doubts.clone(),
            sinker_lifted: r.lifted,
            answer: r.answer,
            margin_low: r.margin.low.get(),
            margin_central: r.margin.central.get(),
            margin_high: r.margin.high.get(),
            walks_at: r.walks_at.map(currents),
            waves: r.waves.as_ref().map(waves),
            tide: shown.tide.as_deref(),
            through: r.through.as_ref().map(|t| ThroughJson {
                holds_share_low: t.share.low,
                holds_share_central: t.share.central,
                holds_share_high: t.share.high,
                walks_from_worst_s: t.walks_from.0.map(Span::s),
                walks_from_central_s: t.walks_from.1.map(Span::s),
                steps: t.steps.iter().map(step).collect(),
            }),
            walk: r.walked.as_ref().map(walk),
            bathers_at_m: m(q.bathers_at),
            reaches_bathers: r.reaches_bathers.get(),
            next_rod_at_m: m(q.next_rod_at),
            reaches_next_rod: r.reaches_next_rod.get(),
            needs: NeedsJson {
                pull_test_n: n(r.needs.pull),
                sinker: r.needs.sinker,
                mass_kg: r.needs.mass.get().map(Mass::kg),
                ease_to_n: r.needs.ease.get().map(|e| e.tension.n()),
                eased_line_out_m: r.needs.ease.get().map(|e| e.line_out.m()),
                eased_belly_m: r.needs.ease.get().map(|e| e.belly.m()),
            },
            line_xyz_m: held.map_or_else(Vec::new, |h| {
                let points = h.load.line.points.iter().step_by(EACH);
                points.map(|p| [p.place.x.m(), p.place.y.m(), p.place.z.m()]).collect()
            }),
            notes: shown.notes,
        }
    }
}

fn strums(shown: &Shown<'_>) -> Vec<Strummed> {
    let lying = &shown.report.lying;
    let factors = [lying.strum.low, lying.strum.central, lying.strum.high];
    factors
        .into_iter()
        .zip(&lying.held)
        .map(|(strum, held)| {
            let held = held.as_ref();
            let of = |f: fn(&Held) -> f64| held.map(f);
            Strummed {
                strum,
                streams_away: held.is_none(),
                load_n: of(|h| h.level.n()),
                down_current_n: of(|h| h.down_current.n()),
                shoreward_n: of(|h| h.shoreward.n()),
                uplift_n: of(|h| h.uplift.n()),
                at_rod_n: of(|h| h.at_rod.n()),
                belly_m: of(|h| h.belly.m()),
                arrival_deg: of(|h| h.arrives.deg()),
                line_out_m: of(|h| h.line_out.m()),
            }
        })
        .collect()
}

fn currents(all: [WalkAt; 3]) -> Currents {
    let at = |w: WalkAt| match w {
        WalkAt::At(v) => Some(v.mps()),
        WalkAt::Already => Some(0.0),
        WalkAt::Holds => None,
    };
    let already = |w: WalkAt| w == WalkAt::Already;
    let [low, central, high] = all;
    Currents {
        low_mps: at(low),
        central_mps: at(central),
        high_mps: at(high),
        already_low: already(low),
        already_central: already(central),
        already_high: already(high),
    }
}

fn three(band: Band<Known<Force>>) -> [Option<f64>; 3] {
    [n(band.low), n(band.central), n(band.high)]
}

fn waves(w: &UnderWaves) -> WavesJson {
    let ([peak_low_n, peak_central_n, peak_high_n], [rms_low_n, rms_central_n, rms_high_n]) =
        (three(w.peak), three(w.rms));
    WavesJson {
        bed_significant_mps: w.speeds.significant.mps(),
        bed_tenth_mps: w.speeds.creep.mps(),
        bed_highest_mps: w.speeds.hold.mps(),
        line_share: w.line_share,
        bed: w.bed,
        peak_low_n,
        peak_central_n,
        peak_high_n,
        rms_low_n,
        rms_central_n,
        rms_high_n,
    }
}

fn step(s: &Step) -> StepJson {
    let [load_low_n, load_central_n, load_high_n] = three(s.load);
    StepJson {
        at_s: s.flow.at.s(),
        along_mps: s.flow.along.mps(),
        load_low_n,
        load_central_n,
        load_high_n,
        holds_low: s.holds.low,
        holds_central: s.holds.central,
        holds_high: s.holds.high,
    }
}

fn walk(w: &Walked) -> WalkJson {
    let drift = |d: Drift| DriftJson {
        along_m: d.along.m(),
        off_m: d.off.m(),
        way_m: d.way.m(),
        least_s: d.least.s(),
        rests: d.rests,
    };
    WalkJson {
        circle_m: Some(w.reach.circle.m()).filter(|m| m.is_finite()),
        water_runs_m: w.reach.water_runs.m(),
        bound_along_m: w.reach.along.m(),
        bound_back_m: w.reach.back.m(),
        central: w.middle.map(drift),
        worst: w.worst.map(drift),
    }
}
