//! The reading of a beach in JSON: SI, the unit in every key.

use super::files::FileFigure;
use super::{Found, Surf, three};
use serde::Serialize;
use tailrope::facts::{Band, Figure, Grade};
use tailrope::outing::Verdict;
use tailrope::quantity::{Length, Span, Speed, Temperature};
use tailrope::sea::air::Minutes;
use tailrope::sea::surf::{
    AtDepth, Drift, Dry, Footing, Form, Governs, Hold, PeriodFrom, Rip, SetWave, Stander, SurfPack, Train,
    breakers_by_eye,
};

/// A band with grade and source.
#[derive(Serialize)]
struct FigureJson {
    low: f64,
    central: f64,
    high: f64,
    grade: Grade,
    source: String,
}

fn figure<T: Copy>(f: &Figure<Band<T>>, number: impl Fn(T) -> f64) -> FigureJson {
    let [low, central, high] = three(f.value, number);
    FigureJson { low, central, high, grade: f.grade, source: f.source.clone() }
}

fn length(f: &Figure<Band<Length>>) -> FigureJson {
    figure(f, Length::m)
}

fn speed(f: &Figure<Band<Speed>>) -> FigureJson {
    figure(f, Speed::mps)
}

#[derive(Serialize)]
struct BandJson {
    low: f64,
    central: f64,
    high: f64,
}

fn band<T: Copy>(b: Band<T>, number: impl Fn(T) -> f64) -> BandJson {
    let [low, central, high] = three(b, number);
    BandJson { low, central, high }
}

#[derive(Serialize)]
struct TrainJson {
    height_m: f64,
    period_s: f64,
    angle_deg: f64,
    breaker_height_m: FigureJson,
    breaker_depth_m: f64,
    breaker_angle_deg: f64,
    surf_similarity: f64,
    form: Form,
    two_percent_m: f64,
    two_percent_reach_m: f64,
    planning_run_up_m: f64,
    set_up_m: f64,
}

#[derive(Serialize)]
struct DryJson {
    still_water_m: Option<f64>,
    wash_level_m: Option<f64>,
    dry_level_m: Option<f64>,
    /// Null where no slope says how high the paces go.
    wash_above_still_m: Option<f64>,
    dry_above_still_m: Option<f64>,
    wash_reach_m: BandJson,
    dry_reach_m: BandJson,
    dry_reach_paces: f64,
}

#[derive(Serialize)]
struct DepthJson {
    depth_m: f64,
    inside_the_break: bool,
    significant_height_m: FigureJson,
    highest_m: FigureJson,
    orbital_m_s: FigureJson,
    undertow_m_s: FigureJson,
    bore_front_m_s: Option<f64>,
    bore_behind_m_s: Option<f64>,
    hold: Option<HoldJson>,
}

#[derive(Serialize)]
struct HoldJson {
    soak_s: f64,
    current_m_s: f64,
    waves_to_current_deg: f64,
    bed_significant_m_s: f64,
    bed_creep_m_s: f64,
    bed_hold_m_s: f64,
    hold_peak_m_s: f64,
    creep_peak_m_s: f64,
    belly_m2_s2: BandJson,
    belly_as_m_s: f64,
}

#[derive(Serialize)]
struct StandJson {
    still_depth_m: f64,
    met_depth_m: f64,
    met_speed_m_s: f64,
    bears_speed_m_s: f64,
    flow_m2_s: f64,
    limit_m2_s: f64,
    within: bool,
    governs: Governs,
}

#[derive(Serialize)]
struct HandlerJson {
    name: String,
    height_m: f64,
    mass_kg: f64,
    footing: Footing,
    limit_m2_s: f64,
    karvonen_m2_s: f64,
    knee_m: f64,
    deepest_still_m: Option<f64>,
    deepest_in_a_bore_m: Option<f64>,
    governs: Option<Governs>,
    grade: Grade,
    source: String,
    at: Vec<StandJson>,
}

#[derive(Serialize)]
struct RipJson {
    chance: FigureJson,
    height_m: f64,
    deep_water_height_used: bool,
    level_known: bool,
    event_known: bool,
    /// Always null: the word comes from the official outlook.
    word: Option<&'static str>,
}

#[derive(Serialize)]
struct SetJson {
    landing_s: f64,
    waves: f64,
    share_of_significant: f64,
    height_m: f64,
    chance: BandJson,
    mean_highest_m: f64,
}

#[derive(Serialize)]
struct MinutesJson {
    least: f64,
    most: Option<f64>,
}

#[derive(Serialize)]
struct WeatherJson {
    wind_m_s: Option<f64>,
    wind_along_m_s: Option<f64>,
    air_c: Option<f64>,
    humidity_percent: Option<f64>,
    wind_chill_c: Option<f64>,
    heat_index_c: Option<f64>,
    water_c: Option<f64>,
    exhaustion_min: Option<MinutesJson>,
    survival_afloat_min: Option<MinutesJson>,
    cold_shock: Option<bool>,
    flash_distance_m: Option<f64>,
    thunder_wait_min: f64,
    come_back: Option<String>,
}

#[derive(Serialize)]
struct VerdictJson {
    limit: String,
    verdict: Verdict,
    says: String,
    remedy: String,
}

/// What files said, and what was made of it.
#[derive(Serialize)]
struct ConditionsJson {
    read_at: String,
    zone: String,
    figures: Vec<FileFigure>,
    unknown: Vec<&'static str>,
    remarks: Vec<String>,
    notes: Vec<String>,
}

#[derive(Serialize)]
#[allow(clippy::struct_excessive_bools)] // what is printed, not a state
pub struct Json {
    schema: &'static str,
    significant_height_m: Option<f64>,
    period_from: Option<PeriodFrom>,
    counted_period_s: Option<BandJson>,
    counted_peak_period_s: Option<BandJson>,
    breakers_judged_m: Option<BandJson>,
    angle_known: bool,
    mixed_sea: bool,
    nearly_flat: bool,
    nearshore_slope: Option<f64>,
    foreshore_slope: Option<f64>,
    dark: Option<bool>,
    handlers: Vec<HandlerJson>,
    dry: Option<DryJson>,
    run_up_m: Option<FigureJson>,
    run_up_seen_m: Option<BandJson>,
    governing_train: Option<usize>,
    breaker_height_m: Option<FigureJson>,
    surf_width_m: Option<FigureJson>,
    trains: Vec<TrainJson>,
    longshore_m_s: FigureJson,
    longshore_known: bool,
    longshore_reckoned_m_s: Option<FigureJson>,
    undertow_m_s: FigureJson,
    undertow_known: bool,
    rip: Option<RipJson>,
    set_wave: Option<SetJson>,
    depths: Vec<DepthJson>,
    weather: WeatherJson,
    verdicts: Vec<VerdictJson>,
    conditions: Option<ConditionsJson>,
}

fn train(t: &Train, tan: f64) -> TrainJson {
    TrainJson {
        height_m: t.swell.height().m(),
        period_s: t.swell.period().s(),
        angle_deg: t.swell.off_normal().deg(),
        breaker_height_m: length(&t.breaker),
        breaker_depth_m: t.breaking.depth.m(),
        breaker_angle_deg: t.breaking.angle.deg(),
        // A flat sea has an infinite number, which JSON cannot hold.
        surf_similarity: t.similarity.min(1e6),
        form: t.form,
        two_percent_m: t.run_up.two_percent.m(),
        two_percent_reach_m: t.run_up.two_percent.m() / tan.max(1e-3),
        planning_run_up_m: t.run_up.safe().m(),
        set_up_m: t.run_up.set_up.m(),
    }
}

fn dry(d: &Dry, pace: Length, sloped: bool) -> DryJson {
    let still = d.still_water.get().map(Length::m);
    let zero = still.unwrap_or(0.0);
    let level = still.filter(|_| sloped);
    DryJson {
        still_water_m: still,
        wash_level_m: level.map(|_| d.line.wash.m()),
        dry_level_m: level.map(|_| d.line.dry.m()),
        wash_above_still_m: sloped.then(|| d.line.wash.m() - zero),
        dry_above_still_m: sloped.then(|| d.line.dry.m() - zero),
        wash_reach_m: band(d.wash_reach, Length::m),
        dry_reach_m: band(d.dry_reach, Length::m),
        dry_reach_paces: d.dry_reach.central / pace,
    }
}

fn hold(h: &Hold) -> HoldJson {
    HoldJson {
        soak_s: h.soak.s(),
        current_m_s: h.current.mps(),
        waves_to_current_deg: h.waves_to_current.deg(),
        bed_significant_m_s: h.bed.significant.mps(),
        bed_creep_m_s: h.bed.creep.mps(),
        bed_hold_m_s: h.bed.hold.mps(),
        hold_peak_m_s: h.hold.mps(),
        creep_peak_m_s: h.creep.mps(),
        belly_m2_s2: band(h.belly_m2_s2, |x| x),
        belly_as_m_s: h.belly_as.mps(),
    }
}

fn depth(d: &AtDepth) -> DepthJson {
    DepthJson {
        depth_m: d.depth.m(),
        inside_the_break: d.inside_the_break,
        significant_height_m: length(&d.significant),
        highest_m: length(&d.highest),
        orbital_m_s: speed(&d.orbital),
        undertow_m_s: speed(&d.undertow),
        bore_front_m_s: d.bore.map(|b| b.front.mps()),
        bore_behind_m_s: d.bore.map(|b| b.behind.mps()),
        hold: d.hold.as_ref().map(hold),
    }
}

fn rip(r: &Rip) -> RipJson {
    RipJson {
        chance: figure(&r.chance, |x| x),
        height_m: r.height.m(),
        deep_water_height_used: r.deep_water_used,
        level_known: r.level_known,
        event_known: r.event_known,
        word: None,
    }
}

fn set_wave(s: &SetWave) -> SetJson {
    SetJson {
        landing_s: s.landing.s(),
        waves: s.waves,
        share_of_significant: s.share,
        height_m: s.height.m(),
        chance: band(s.chance, |x| x),
        mean_highest_m: s.mean_highest.m(),
    }
}

fn minutes(m: Minutes) -> MinutesJson {
    MinutesJson { least: m.least, most: m.most }
}

impl Surf {
    fn handler(&self, i: usize, s: &Stander, pack: &SurfPack) -> HandlerJson {
        let said = self.wader.get(i);
        let body = &pack.unknown;
        let deepest = s.deepest.get();
        HandlerJson {
            name: s.name.clone(),
            height_m: said.map_or(body.body_height.value, |w| w.height).m(),
            mass_kg: said.map_or(body.body_mass.value, |w| w.mass).kg(),
            footing: s.footing,
            limit_m2_s: s.limit_m2_s.value,
            karvonen_m2_s: s.karvonen_m2_s,
            knee_m: s.knee.m(),
            deepest_still_m: deepest.map(|d| d.depth.m()),
            deepest_in_a_bore_m: deepest.map(|d| d.in_a_bore.m()),
            governs: deepest.map(|d| d.governs),
            grade: s.limit_m2_s.grade,
            source: s.limit_m2_s.source.clone(),
            at: s
                .at
                .iter()
                .map(|a| StandJson {
                    still_depth_m: a.still.m(),
                    met_depth_m: a.depth.m(),
                    met_speed_m_s: a.speed.mps(),
                    bears_speed_m_s: a.bears.mps(),
                    flow_m2_s: a.standing.flow_m2_s,
                    limit_m2_s: a.standing.limit_m2_s,
                    within: a.standing.within(),
                    governs: a.standing.governs,
                })
                .collect(),
        }
    }

    pub(super) fn json(&self, found: &Found<'_>) -> Json {
        let (r, shore, w) = (&found.reading, found.shore, &found.weather);
        let sloped = self.sloped();
        let judged = self.breakers.and_then(|b| breakers_by_eye(b, &found.pack.measured).ok());
        let tan = shore.foreshore.tan();
        Json {
            schema: "tailrope.surf/1",
            significant_height_m: shore.sea.height().get().map(Length::m),
            period_from: found.period_from,
            counted_period_s: found.counted.map(|c| band(c.0, Span::s)),
            counted_peak_period_s: found.counted.map(|c| band(c.1, Span::s)),
            breakers_judged_m: judged.map(|b| band(b, Length::m)),
            angle_known: shore.angle_known,
            mixed_sea: r.mixed,
            nearly_flat: r.nearly_flat,
            nearshore_slope: sloped.then(|| shore.nearshore.tan()),
            foreshore_slope: sloped.then_some(tan),
            dark: shore.dark.get(),
            handlers: r.handlers.iter().enumerate().map(|(i, s)| self.handler(i, s, found.pack)).collect(),
            dry: r.dry.as_ref().map(|d| dry(d, found.pack.measured.pace.value, sloped)),
            run_up_m: r.run_up.as_ref().filter(|_| sloped).map(length),
            run_up_seen_m: r.run_up_seen.get().filter(|_| sloped).map(|b| band(b, Length::m)),
            governing_train: r.governs,
            breaker_height_m: r.breaker.as_ref().map(length),
            surf_width_m: r.surf_width.as_ref().map(length),
            trains: r.trains.iter().map(|t| train(t, tan)).collect(),
            longshore_m_s: speed(&r.along),
            longshore_known: r.along_known,
            longshore_reckoned_m_s: r.along_reckoned.as_ref().map(speed),
            undertow_m_s: speed(&r.out),
            undertow_known: r.out_known,
            rip: r.rip.as_ref().map(rip),
            set_wave: r.set_wave.as_ref().map(set_wave),
            depths: r.depths.iter().map(depth).collect(),
            weather: WeatherJson {
                wind_m_s: self.wind.map(Speed::mps),
                wind_along_m_s: match shore.wind_along {
                    Drift::Along(v) => Some(v.mps()),
                    Drift::Unknown | Drift::EitherWay(_) => None,
                },
                air_c: self.air.map(Temperature::c),
                humidity_percent: self.humidity,
                wind_chill_c: w.chill.map(Temperature::c),
                heat_index_c: w.heat.map(Temperature::c),
                water_c: self.water.map(Temperature::c),
                exhaustion_min: w.immersion.and_then(|i| i.exhaustion).map(minutes),
                survival_afloat_min: w.immersion.and_then(|i| i.survival).map(minutes),
                cold_shock: w.immersion.map(|i| i.cold_shock),
                flash_distance_m: w.flash_away.map(Length::m),
                thunder_wait_min: w.wait_min,
                come_back: w.come_back.clone(),
            },
            verdicts: found
                .verdicts
                .iter()
                .map(|(j, says)| VerdictJson {
                    limit: j.row.id.clone(),
                    verdict: j.verdict,
                    says: says.clone(),
                    remedy: j.row.remedy.clone(),
                })
                .collect(),
            conditions: self.files.read.then(|| ConditionsJson {
                read_at: self.files.at.clone(),
                zone: self.files.zone.clone(),
                figures: self.files.figures.clone(),
                unknown: self.files.unknown.clone(),
                remarks: self.files.remarks.clone(),
                notes: self.files.notes.clone(),
            }),
        }
    }
}
