//! The sky in JSON.

use super::zone::Whence;
use super::{ClockChange, Found, Night, OneDay, offset};
use crate::when;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Serialize;
use tailrope::facts::Grade;
use tailrope::sky::{Brightness, LIGHT_SOURCE, SkyLight, What, as_bright_as, moon_shape};

#[derive(Serialize)]
struct EventJson {
    what: What,
    at: String,
    at_utc: String,
}

#[derive(Serialize)]
struct HourJson {
    at: String,
    at_utc: String,
    clear_sky_lux: f64,
    moonlight_lux: f64,
    like: &'static str,
    word: Brightness,
    sun_altitude_deg: f64,
    moon_altitude_deg: f64,
    moon_illuminated: f64,
}

#[derive(Serialize)]
struct NightJson {
    start: String,
    end: String,
    polar_night: bool,
    mean_lux: f64,
    darkest_lux: f64,
    darkest_like: &'static str,
    full_night: f64,
    moon_up: f64,
    dark: f64,
    word: Brightness,
    hours: Vec<HourJson>,
}

#[derive(Serialize)]
struct MissingJson {
    what: Vec<What>,
    says: String,
}

#[derive(Serialize)]
struct ChangeJson {
    at_utc: String,
    before: String,
    after: String,
    forward: bool,
}

#[derive(Serialize)]
struct DayJson {
    date: String,
    utc_offset: String,
    hours_in_day: f64,
    clock_change: Option<ChangeJson>,
    events: Vec<EventJson>,
    missing: Vec<MissingJson>,
    moon_illuminated: f64,
    moon_elongation_deg: f64,
    moon_shape: &'static str,
    night: Option<NightJson>,
}

#[derive(Serialize)]
struct PhaseJson {
    phase: &'static str,
    at: String,
    at_utc: String,
}

#[derive(Serialize)]
struct StationJson {
    name: String,
    distance_m: f64,
}

/// The station whose place or zone is shown, and what must be said with its data.
#[derive(Serialize)]
struct CreditJson {
    id: String,
    name: String,
    source: String,
    licence: String,
    attribution: String,
    url: String,
}

fn credit(s: &super::Station) -> CreditJson {
    let (source, licence, attribution) = s.credit();
    CreditJson {
        id: s.id().to_owned(),
        name: s.name().to_owned(),
        source: source.to_owned(),
        licence: licence.to_owned(),
        attribution: attribution.to_owned(),
        url: s.url().to_owned(),
    }
}

#[derive(Serialize)]
pub struct Json {
    schema: &'static str,
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
    zone: String,
    zone_from: &'static str,
    zone_station: Option<StationJson>,
    station: Option<CreditJson>,
    date: String,
    light_grade: Grade,
    light_source: &'static str,
    days: Vec<DayJson>,
    phases: Vec<PhaseJson>,
}

fn hour(at: Timestamp, light: &SkyLight, zone: &TimeZone) -> HourJson {
    HourJson {
        at: when::local(at, zone),
        at_utc: at.to_string(),
        clear_sky_lux: light.clear_sky_lux,
        moonlight_lux: light.moon_lux,
        like: as_bright_as(light.clear_sky_lux),
        word: light.brightness,
        sun_altitude_deg: light.sun_altitude_deg,
        moon_altitude_deg: light.moon_altitude_deg,
        moon_illuminated: light.moon_illuminated,
    }
}

fn night(n: &Night, zone: &TimeZone) -> NightJson {
    NightJson {
        start: when::local(n.when.from(), zone),
        end: when::local(n.when.to(), zone),
        polar_night: n.polar,
        mean_lux: n.dark.mean_lux,
        darkest_lux: n.dark.darkest_lux,
        darkest_like: as_bright_as(n.dark.darkest_lux),
        full_night: n.dark.full_night,
        moon_up: n.dark.moon_up,
        dark: n.dark.dark,
        word: n.dark.brightness,
        hours: n.hours.iter().map(|(at, light)| hour(*at, light, zone)).collect(),
    }
}

fn change(c: &ClockChange) -> ChangeJson {
    ChangeJson {
        at_utc: c.at.to_string(),
        before: c.before.clone(),
        after: c.after.clone(),
        forward: c.forward,
    }
}

fn day(d: &OneDay, zone: &TimeZone) -> DayJson {
    DayJson {
        date: d.date.to_string(),
        utc_offset: offset(d.sky.when.from(), zone),
        hours_in_day: d.sky.when.length().h(),
        clock_change: d.change.as_ref().map(change),
        events: d
            .sky
            .events
            .iter()
            .map(|e| EventJson { what: e.what, at: when::local(e.at, zone), at_utc: e.at.to_string() })
            .collect(),
        missing: d
            .missing
            .iter()
            .map(|m| MissingJson { what: m.what.clone(), says: m.words.clone() })
            .collect(),
        moon_illuminated: d.moon.illuminated,
        moon_elongation_deg: d.moon.elongation_deg,
        moon_shape: moon_shape(d.moon.elongation_deg),
        night: d.night.as_ref().map(|n| night(n, zone)),
    }
}

impl Json {
    pub fn of(found: &Found) -> Self {
        let at = &found.at;
        let (zone_from, zone_station) = match &at.whence {
            Whence::Said => ("said", None),
            Whence::Station => ("station", None),
            Whence::Nearest { name, away } => {
                ("nearest-station", Some(StationJson { name: name.clone(), distance_m: away.m() }))
            }
            Whence::Nowhere => ("none", None),
        };
        Self {
            schema: "tailrope.sky/1",
            name: at.name.clone(),
            latitude_deg: at.place.latitude_deg(),
            longitude_deg: at.place.longitude_deg(),
            zone: at.zone_name.clone(),
            zone_from,
            zone_station,
            station: at.station.as_ref().map(credit),
            date: found.first.to_string(),
            light_grade: Grade::Recalled,
            light_source: LIGHT_SOURCE,
            days: found.days.iter().map(|d| day(d, &at.zone)).collect(),
            phases: found
                .phases
                .iter()
                .map(|(t, p)| PhaseJson {
                    phase: p.word(),
                    at: when::local(*t, &at.zone),
                    at_utc: t.to_string(),
                })
                .collect(),
        }
    }
}
