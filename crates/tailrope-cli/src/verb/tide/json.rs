//! The tide in JSON: SI, the unit in every key.

use super::{LevelAt, Side, Water};
use crate::when;
use jiff::tz::TimeZone;
use serde::Serialize;
use tailrope::facts::Grade;
use tailrope::quantity::{Interval, Length, Span};
use tailrope::sea::tide::{Found, Near, NodeRule, TurningPoint, Water as Kind};

#[derive(Serialize)]
struct PointJson {
    water: Kind,
    at: String,
    at_utc: String,
    level_m: f64,
    error_m: f64,
}

#[derive(Serialize)]
struct LevelJson {
    at: String,
    level_m: f64,
}

#[derive(Serialize)]
struct LevelAtJson {
    at: String,
    at_utc: String,
    level_m: f64,
    error_m: f64,
    rate_m_per_h: f64,
}

#[derive(Serialize)]
struct SpanJson {
    start: String,
    end: String,
}

#[derive(Serialize)]
struct ResidualJson<'a> {
    value_m: f64,
    spread_m: f64,
    at: String,
    readings: usize,
    source: &'a str,
    used: bool,
    doubted: bool,
    clock_off_h: Option<f64>,
}

/// The station whose constants are reckoned with.
#[derive(Serialize)]
struct StationJson<'a> {
    latitude_deg: f64,
    longitude_deg: f64,
    whereabouts: String,
    zone: &'a str,
    kind: &'static str,
    form: Option<f64>,
    follows: Option<&'a str>,
    constituents: usize,
    left_out: &'a [String],
    grade: Grade,
    epoch: Option<&'a str>,
    url: &'a str,
    set_aside: Option<&'a str>,
}

#[derive(Serialize)]
struct AskedJson {
    latitude_deg: f64,
    longitude_deg: f64,
}

#[derive(Serialize)]
struct NearJson<'a> {
    id: &'a str,
    name: &'a str,
    distance_km: f64,
    kind: &'static str,
    form: Option<f64>,
    range_m: f64,
    doubts: Vec<String>,
    taken: bool,
}

/// The whole answer.
#[derive(Serialize)]
pub struct Json<'a> {
    schema: &'static str,
    station: &'a str,
    name: &'a str,
    zone: &'a str,
    date: String,
    days: u16,
    from: String,
    to: String,
    datum: &'a str,
    mean_level_m: Option<f64>,
    level_error_m: f64,
    /// The largest of the stretch, weather included.
    largest_error_m: f64,
    time_error_min: f64,
    nodes: Option<NodeRule>,
    turning_points: Vec<PointJson>,
    left_out_points: Vec<PointJson>,
    levels: Vec<LevelJson>,
    level_at: Vec<LevelAtJson>,
    above_m: Option<f64>,
    above: Option<Vec<SpanJson>>,
    above_h: Option<f64>,
    above_at_high_end: Option<Vec<SpanJson>>,
    above_at_high_end_h: Option<f64>,
    above_at_low_end: Option<Vec<SpanJson>>,
    above_at_low_end_h: Option<f64>,
    below_m: Option<f64>,
    below: Option<Vec<SpanJson>>,
    below_h: Option<f64>,
    below_at_high_end: Option<Vec<SpanJson>>,
    below_at_high_end_h: Option<f64>,
    below_at_low_end: Option<Vec<SpanJson>>,
    below_at_low_end_h: Option<f64>,
    residual: Option<ResidualJson<'a>>,
    asked: Option<AskedJson>,
    distance_km: Option<f64>,
    warnings: Vec<String>,
    near: Vec<NearJson<'a>>,
    station_is: Option<StationJson<'a>>,
    cautions: Vec<String>,
    source: &'a str,
    licence: &'a str,
    attribution: &'a str,
}

impl<'a> Json<'a> {
    /// Of an answer.
    pub fn of(w: &'a Water, days: u16) -> Self {
        let (about, zone) = (w.tide.about(), &w.source.zone);
        let chosen = w.source.chosen.as_ref();
        let spans = |list: &[Interval]| -> Vec<SpanJson> {
            list.iter()
                .map(|i| SpanJson { start: when::local(i.from(), zone), end: when::local(i.to(), zone) })
                .collect()
        };
        let hours = super::page::hours;
        let (above, below): (Option<&Side>, Option<&Side>) = (w.above.as_ref(), w.below.as_ref());
        // In metres and kilometres, whatever the text is in.
        let metric = tailrope::quantity::Units::Metric;
        let mut warnings = super::page::warnings(w, metric);
        warnings.extend(super::page::doubts(w, metric));
        Self {
            schema: "tailrope.tide/1",
            station: w.source.found.as_ref().map_or("table", Found::id),
            name: &about.name,
            zone: &w.source.zone_name,
            date: w.first.to_string(),
            days: if w.source.table.is_some() {
                u16::try_from(w.dates.len()).unwrap_or(u16::MAX)
            } else {
                days
            },
            from: when::local(w.stretch.from(), zone),
            to: when::local(w.stretch.to(), zone),
            datum: &about.datum,
            mean_level_m: about.mean_level.map(Length::m),
            level_error_m: about.level_error.m(),
            largest_error_m: w.tide.error(w.stretch.from()).max(w.tide.error(w.stretch.to())).m(),
            time_error_min: about.time_error_min,
            nodes: w.nodes,
            turning_points: w.turning.iter().map(|t| point(w, t, zone)).collect(),
            left_out_points: w.small.iter().map(|t| point(w, t, zone)).collect(),
            levels: w
                .levels
                .iter()
                .map(|(at, l)| LevelJson { at: when::local(*at, zone), level_m: l.m() })
                .collect(),
            level_at: w.level_at.iter().map(|l| level_at(l, zone)).collect(),
            above_m: above.map(|s| s.level.m()),
            above: above.map(|s| spans(&s.expected)),
            above_h: above.map(|s| hours(&s.expected)),
            above_at_high_end: above.map(|s| spans(&s.high)),
            above_at_high_end_h: above.map(|s| hours(&s.high)),
            above_at_low_end: above.map(|s| spans(&s.low)),
            above_at_low_end_h: above.map(|s| hours(&s.low)),
            below_m: below.map(|s| s.level.m()),
            below: below.map(|s| spans(&s.expected)),
            below_h: below.map(|s| hours(&s.expected)),
            below_at_high_end: below.map(|s| spans(&s.high)),
            below_at_high_end_h: below.map(|s| hours(&s.high)),
            below_at_low_end: below.map(|s| spans(&s.low)),
            below_at_low_end_h: below.map(|s| hours(&s.low)),
            residual: w.heard.as_ref().map(|h| ResidualJson {
                value_m: h.residual.value.m(),
                spread_m: h.residual.spread.m(),
                at: when::local(h.residual.at, zone),
                readings: h.residual.readings,
                source: &h.whence,
                used: h.used,
                doubted: h.doubted,
                clock_off_h: h.clock.map(Span::h),
            }),
            asked: chosen.map(|c| AskedJson {
                latitude_deg: c.place.latitude_deg(),
                longitude_deg: c.place.longitude_deg(),
            }),
            distance_km: chosen.and_then(|c| c.choice.station()).map(|n| n.distance.km()),
            warnings,
            near: chosen.map_or_else(Vec::new, |c| {
                let list = c.choice.near.iter().enumerate();
                list.map(|(i, n)| near(n, i == c.choice.taken)).collect()
            }),
            station_is: w.source.found.as_ref().map(station),
            cautions: w.source.found.as_ref().map_or_else(Vec::new, Found::cautions),
            source: &about.source,
            licence: &about.licence,
            attribution: &about.attribution,
        }
    }
}

/// JSON knows no infinity: a tide without semidiurnal waves has no form number.
fn finite(form: f64) -> Option<f64> {
    form.is_finite().then_some(form)
}

fn near(n: &Near, taken: bool) -> NearJson<'_> {
    NearJson {
        id: n.found.id(),
        name: n.found.name(),
        distance_km: n.distance.km(),
        kind: n.kind,
        form: finite(n.form),
        range_m: n.range.m(),
        doubts: n.doubts.iter().map(tailrope::sea::tide::Doubt::sentence).collect(),
        taken,
    }
}

fn station(found: &Found) -> StationJson<'_> {
    let reference = found.reference();
    let (form, kind) = reference.form();
    let follows = match found {
        Found::Station(_) => None,
        Found::Subordinate(_, reference) => Some(reference.id.as_str()),
    };
    StationJson {
        latitude_deg: found.place().latitude_deg(),
        longitude_deg: found.place().longitude_deg(),
        whereabouts: found.whereabouts(),
        zone: found.zone(),
        kind,
        form: finite(form),
        follows,
        constituents: reference.constituents().count(),
        left_out: &reference.left_out.names,
        grade: reference.grade,
        epoch: reference.epoch.as_deref(),
        url: found.url(),
        set_aside: found.set_aside(),
    }
}

fn level_at(l: &LevelAt, zone: &TimeZone) -> LevelAtJson {
    LevelAtJson {
        at: when::local(l.at, zone),
        at_utc: l.at.to_string(),
        level_m: l.level.m(),
        error_m: l.error.m(),
        rate_m_per_h: l.rate.mps() * 3600.0,
    }
}

fn point(w: &Water, t: &TurningPoint, zone: &TimeZone) -> PointJson {
    PointJson {
        water: t.water,
        at: when::local(t.at, zone),
        at_utc: t.at.to_string(),
        level_m: t.level.m(),
        error_m: w.tide.error(t.at).m(),
    }
}
