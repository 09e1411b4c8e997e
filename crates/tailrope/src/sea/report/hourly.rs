//! Parallel hourly arrays as JSON, as open weather servers answer.
//!
//! `hourly.time` and one array a variable, all of one length; `hourly_units` names each unit and must name one that
//! is expected. Times carry no offset: `utc_offset_seconds` gives it. Waves come *from* a direction, currents run
//! *toward* one (recalled, fair). A mean period is not taken for a peak.

use super::draft::{Draft, believable, local_time};
use super::field::{Field, M_PER_FT, M_PER_MI, MPS_PER_KN, Unit};
use super::model::{Format, Kind, Report};
use super::told::{Told, clip};
use crate::Result;
use crate::facts::Known;
use crate::quantity::Place;
use jiff::Timestamp;
use jiff::tz::Offset;
use serde_json::{Map, Value};

const LENGTH: &[Unit] = &[Unit::of("m", 1.0), Unit::of("ft", M_PER_FT)];
const SECONDS: &[Unit] = &[Unit::of("s", 1.0)];
const DEGREES: &[Unit] = &[Unit::degrees("°")];
const SPEED: &[Unit] = &[
    Unit::of("km/h", 1.0 / 3.6),
    Unit::of("m/s", 1.0),
    Unit::of("kn", MPS_PER_KN),
    Unit::of("mp/h", M_PER_MI / 3600.0),
    Unit::of("mph", M_PER_MI / 3600.0),
];
const TEMPERATURE: &[Unit] = &[Unit::of("°C", 1.0), Unit::fahrenheit("°F")];
const HPA: &[Unit] = &[Unit::of("hPa", 100.0)];
const PERCENT: &[Unit] = &[Unit::of("%", 1.0)];

/// Variables that are read.
fn means(name: &str) -> Option<(Field, &'static [Unit])> {
    Some(match name {
        "wave_height" => (Field::WaveHeight, LENGTH),
        "wave_peak_period" => (Field::PeakPeriod, SECONDS),
        "wave_period" => (Field::MeanPeriod, SECONDS),
        "wave_direction" => (Field::WaveFrom, DEGREES),
        "swell_wave_height" => (Field::SwellHeight, LENGTH),
        "swell_wave_peak_period" => (Field::SwellPeriod, SECONDS),
        "swell_wave_direction" => (Field::SwellFrom, DEGREES),
        "secondary_swell_wave_height" => (Field::SecondSwellHeight, LENGTH),
        "secondary_swell_wave_direction" => (Field::SecondSwellFrom, DEGREES),
        "wind_wave_height" => (Field::WindSeaHeight, LENGTH),
        "wind_wave_peak_period" => (Field::WindSeaPeriod, SECONDS),
        "wind_wave_direction" => (Field::WindSeaFrom, DEGREES),
        "sea_surface_temperature" => (Field::Water, TEMPERATURE),
        "ocean_current_velocity" => (Field::Current, SPEED),
        "ocean_current_direction" => (Field::CurrentToward, DEGREES),
        "sea_level_height_msl" => (Field::PredictedLevel, LENGTH),
        "wind_speed_10m" => (Field::Wind, SPEED),
        "wind_gusts_10m" => (Field::Gust, SPEED),
        "wind_direction_10m" => (Field::WindFrom, DEGREES),
        "temperature_2m" => (Field::Air, TEMPERATURE),
        "dew_point_2m" => (Field::Dew, TEMPERATURE),
        "relative_humidity_2m" => (Field::Humidity, PERCENT),
        "pressure_msl" => (Field::Pressure, HPA),
        "visibility" => (Field::Visibility, LENGTH),
        _ => return None,
    })
}

/// Reads the arrays.
pub(super) fn read(name: &str, top: &Map<String, Value>, told: &Told) -> Result<Report> {
    let mut draft =
        Draft::new(Format::HourlyArrays, name, "hourly arrays of a weather server", Kind::Forecast, told);
    draft.rows_are_lines = false;
    draft.origin.licence = "not said by the answer: see the server's terms".into();
    draft.datum = Known::Known("mean sea level of the model".into());
    let Some(hourly) = top.get("hourly").and_then(Value::as_object) else {
        return Err(draft.refuse(
            "it has no `hourly`",
            "hourly.time and arrays beside it",
            "ask the server for hourly values",
        ));
    };
    let units = top.get("hourly_units").and_then(Value::as_object);
    let unit_of = |key: &str| units.and_then(|u| u.get(key)).and_then(Value::as_str);
    let Some(time) = hourly.get("time").and_then(Value::as_array) else {
        return Err(draft.refuse("it has no `hourly.time`", "a list of times", "fetch the whole answer"));
    };
    if let Some(unit) = unit_of("time")
        && unit != "iso8601"
    {
        return Err(draft.refuse(
            format!("its times are in `{}`", clip(unit)),
            "iso8601",
            "ask the server for times in iso8601",
        ));
    }
    let times = times(&mut draft, top, time, told)?;
    if let (Some(lat), Some(lon)) =
        (top.get("latitude").and_then(Value::as_f64), top.get("longitude").and_then(Value::as_f64))
    {
        draft.origin.place = Place::of_deg(lat, lon).ok().into();
    }
    let mut unknown = Vec::new();
    for (variable, content) in hourly {
        if variable == "time" {
            continue;
        }
        let Some((field, allowed)) = means(variable) else {
            if unknown.len() < 20 {
                unknown.push(clip(variable));
            }
            continue;
        };
        array(&mut draft, variable, field, allowed, unit_of(variable), content, &times)?;
    }
    if !unknown.is_empty() {
        draft
            .notes
            .push(format!("variables left out, unknown here or no peak period: {}", unknown.join(", ")));
    }
    draft.without_bare_zeros();
    if draft.has(Field::WaveHeight) && !draft.has(Field::PeakPeriod) {
        draft
            .questions
            .push("it holds wave heights without a peak period: ask the server for wave_peak_period".into());
    }
    if !draft.has(Field::WaveHeight)
        && ["wave_height", "swell_wave_height"].iter().any(|k| hourly.contains_key(*k))
    {
        draft.questions.push("its wave heights are empty: the point does not lie on the model's sea; ask for one off the beach".into());
    }
    draft.questions.push("the answer does not say when the forecast was made: its age is unknown".into());
    draft.finish(told)
}

/// Instants of `hourly.time`; nothing where one cannot be read.
fn times(
    draft: &mut Draft,
    top: &Map<String, Value>,
    list: &[Value],
    told: &Told,
) -> Result<Vec<Option<Timestamp>>> {
    let offset = match top.get("utc_offset_seconds") {
        Some(value) => {
            let seconds = value.as_i64().and_then(|s| i32::try_from(s).ok());
            // No clock on Earth is further from universal time than fourteen hours.
            let offset = seconds.filter(|s| s.abs() <= 14 * 3600).and_then(|s| Offset::from_seconds(s).ok());
            let Some(offset) = offset else {
                return Err(draft.refuse(
                    format!("utc_offset_seconds is `{}`", clip(&value.to_string())),
                    "whole seconds, at most 50400 either way",
                    "fetch the answer again",
                ));
            };
            Some(offset)
        }
        None => None,
    };
    let zone = top.get("timezone").and_then(Value::as_str);
    draft.origin.zone = match (offset, &told.zone) {
        (Some(offset), _) => {
            format!("UTC{offset}{}", zone.map_or(String::new(), |z| format!(" ({})", clip(z))))
        }
        (None, Some(clock)) => clock.words(),
        (None, None) => {
            return Err(draft.refuse(
                "it does not say the clock of its times (no utc_offset_seconds)",
                "zone=gmt, lst ZONE or lst_ldt ZONE",
                "tell the clock that the request asked for",
            ));
        }
    };
    let (mut before, mut twice) = (None, false);
    let mut times = Vec::with_capacity(list.len());
    for (i, value) in list.iter().enumerate() {
        let text = value.as_str().unwrap_or_default();
        let read = local_time(text).and_then(|local| match (offset, &told.zone) {
            (Some(offset), _) => offset.to_timestamp(local).map_err(|e| e.to_string()),
            (None, Some(clock)) => clock.instant(local, before).map(|i| {
                twice |= i.twice;
                i.at
            }),
            (None, None) => Err("no clock".into()),
        });
        match read.and_then(believable) {
            Ok(at) => {
                before = Some(at);
                draft.row_read();
                times.push(Some(at));
            }
            Err(why) => {
                draft.bad(i + 1, "hourly.time", text, why);
                times.push(None);
            }
        }
    }
    if twice {
        draft.notes.push("its first hour is one that the clock shows twice; taken as the first".into());
    }
    Ok(times)
}

fn array(
    draft: &mut Draft,
    variable: &str,
    field: Field,
    allowed: &[Unit],
    unit: Option<&str>,
    content: &Value,
    times: &[Option<Timestamp>],
) -> Result<()> {
    let path = format!("hourly.{variable}");
    let Some(list) = content.as_array() else {
        return Err(draft.refuse(
            format!("{path} is no list"),
            "a list of numbers and nulls",
            "fetch the answer again",
        ));
    };
    if list.len() != times.len() {
        return Err(draft.refuse(
            format!("{path} has {} values for {} times", list.len(), times.len()),
            "as many values as times",
            "fetch the answer again: its values cannot be told to their hours",
        ));
    }
    let Some(unit) = unit.and_then(|u| allowed.iter().find(|a| a.text == u)) else {
        let names: Vec<_> = allowed.iter().map(|u| u.text).collect();
        return Err(draft.refuse(
            format!("{path} is in `{}`", clip(unit.unwrap_or("no unit"))),
            &names.join(", "),
            "ask the server for one of these units",
        ));
    };
    for (i, (value, at)) in list.iter().zip(times).enumerate() {
        let Some(at) = *at else { continue };
        let number = match value {
            Value::Null => continue,
            Value::Number(n) if n.as_f64().is_some_and(|x| field.filled(x)) => continue,
            Value::Number(n) => n.as_f64().ok_or("this is no number"),
            _ => Err("this is no number"),
        };
        match number.map_err(str::to_owned).and_then(|x| field.believe(unit.si(x))) {
            Ok(si) => draft.put(field, at, at, si, i + 1),
            Err(why) => draft.bad(i + 1, &path, &value.to_string(), why),
        }
    }
    Ok(())
}
