//! The US weather service's forecast for one grid cell, as JSON.
//!
//! Each layer is a list of values that hold over a span: an ISO instant, a slash, an ISO duration (`P2DT21H`). Null
//! and an empty list are no forecast. Marine layers stand in every cell: away from the sea they are empty, or a height
//! of zero without any period. Such a zero is no calm sea but no forecast, and the cell is the wrong one to ask.

use super::draft::{Draft, believable};
use super::field::{Field, Unit};
use super::model::{Format, Kind, Report};
use super::series::Reading;
use super::told::{Told, clip};
use crate::facts::Known;
use crate::quantity::Place;
use crate::{Error, Result};
use jiff::{SignedDuration, Timestamp};
use serde_json::{Map, Value};

const METRES: &[Unit] = &[Unit::of("m", 1.0)];
const SECONDS: &[Unit] = &[Unit::of("s", 1.0)];
const DEGREES: &[Unit] = &[Unit::degrees("degree_(angle)")];
const SPEED: &[Unit] = &[Unit::of("km_h-1", 1.0 / 3.6), Unit::of("m_s-1", 1.0)];
const CELSIUS: &[Unit] = &[Unit::of("degC", 1.0)];
const PASCAL: &[Unit] = &[Unit::of("Pa", 1.0), Unit::of("hPa", 100.0)];
const PERCENT: &[Unit] = &[Unit::of("percent", 1.0)];
/// Layers without unit: their names say what they count.
const NONE: &[Unit] = &[Unit::of("", 1.0)];
const PERCENT_OR_NONE: &[Unit] = &[Unit::of("percent", 1.0), Unit::of("", 1.0)];

/// Layers that are read, in the agency's names.
const LAYERS: [(&str, Field, &[Unit]); 20] = [
    ("waveHeight", Field::WaveHeight, METRES),
    ("wavePeriod", Field::PeakPeriod, SECONDS),
    ("waveDirection", Field::WaveFrom, DEGREES),
    ("primarySwellHeight", Field::SwellHeight, METRES),
    ("primarySwellDirection", Field::SwellFrom, DEGREES),
    ("secondarySwellHeight", Field::SecondSwellHeight, METRES),
    ("secondarySwellDirection", Field::SecondSwellFrom, DEGREES),
    ("wavePeriod2", Field::SecondSwellPeriod, SECONDS),
    ("windWaveHeight", Field::WindSeaHeight, METRES),
    ("windSpeed", Field::Wind, SPEED),
    ("windGust", Field::Gust, SPEED),
    ("windDirection", Field::WindFrom, DEGREES),
    ("temperature", Field::Air, CELSIUS),
    ("dewpoint", Field::Dew, CELSIUS),
    ("relativeHumidity", Field::Humidity, PERCENT),
    ("visibility", Field::Visibility, METRES),
    ("pressure", Field::Pressure, PASCAL),
    ("probabilityOfThunder", Field::Thunder, PERCENT_OR_NONE),
    ("lightningActivityLevel", Field::Lightning, NONE),
    ("waterTemperature", Field::Water, CELSIUS),
];

/// Most kinds of weather, or hazards, of one span: more than were ever in force at once.
const MOST_PARTS: usize = 24;

/// Longest span that a value may hold over.
const LONGEST_S: i64 = 31 * 86_400;

/// `2026-01-11T05:00:00+00:00/PT3H` as a span.
pub(super) fn valid_time(text: &str) -> Result<(Timestamp, Timestamp), String> {
    let (start, duration) =
        text.split_once('/').ok_or("a valid time has a beginning, a slash and a duration")?;
    let from: Timestamp =
        start.trim().parse().map_err(|_| "its beginning is no instant with an offset".to_owned())?;
    let seconds = duration_s(duration.trim()).ok_or("its duration is none like PT3H or P2DT21H")?;
    let to = from.checked_add(SignedDuration::from_secs(seconds)).map_err(|e| e.to_string())?;
    believable(from)?;
    believable(to)?;
    Ok((from, to))
}

/// Seconds of an ISO duration in weeks, days, hours, minutes and seconds; at most 31 days. Months and years have no
/// length of their own and are refused.
fn duration_s(text: &str) -> Option<i64> {
    let mut rest = text.strip_prefix('P')?;
    let (mut total, mut in_time, mut parts) = (0_i64, false, 0);
    while !rest.is_empty() {
        if let Some(after) = rest.strip_prefix('T') {
            if in_time {
                return None;
            }
            in_time = true;
            rest = after;
            continue;
        }
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        if digits == 0 || digits > 7 {
            return None;
        }
        let (number, after) = rest.split_at_checked(digits)?;
        let unit = after.chars().next()?;
        let seconds = match (unit, in_time) {
            ('W', false) => 7 * 86_400,
            ('D', false) => 86_400,
            ('H', true) => 3600,
            ('M', true) => 60,
            ('S', true) => 1,
            _ => return None,
        };
        total = total.checked_add(number.parse::<i64>().ok()?.checked_mul(seconds)?)?;
        parts += 1;
        rest = after.get(1..)?;
    }
    (parts > 0 && (1..=LONGEST_S).contains(&total)).then_some(total)
}

/// Reads the answer's `properties`.
pub(super) fn read(name: &str, top: &Map<String, Value>, told: &Told) -> Result<Report> {
    let mut draft = Draft::new(Format::NwsGridpoint, name, "NWS gridpoint forecast", Kind::Forecast, told);
    draft.rows_are_lines = false;
    let Some(properties) = top.get("properties").and_then(Value::as_object) else {
        return Err(draft.refuse(
            "it has no `properties`",
            "the agency's whole answer",
            "ask for the forecast grid data of the point, not for its words",
        ));
    };
    if !LAYERS.iter().any(|l| properties.contains_key(l.0)) {
        return Err(draft.refuse(
            "it holds no layer of a forecast grid",
            "layers like windSpeed and waveHeight, each with its values",
            "ask for the forecast grid data (forecastGridData) of the point",
        ));
    }
    head(&mut draft, top, properties);
    for (layer, field, units) in LAYERS {
        let Some(content) = properties.get(layer) else { continue };
        numbers(&mut draft, layer, field, units, content)?;
    }
    words(&mut draft, properties, "weather");
    words(&mut draft, properties, "hazards");
    no_sea(&mut draft);
    if draft.has(Field::SwellHeight) && draft.has(Field::PeakPeriod) {
        draft
            .notes
            .push("wavePeriod is the period of the main waves; the swell has none of its own here".into());
    }
    draft.finish(told)
}

fn head(draft: &mut Draft, top: &Map<String, Value>, properties: &Map<String, Value>) {
    let text = |key: &str| properties.get(key).and_then(Value::as_str);
    let whole = |key: &str| properties.get(key).and_then(Value::as_i64);
    if let (Some(office), Some(x), Some(y)) = (text("gridId"), whole("gridX"), whole("gridY")) {
        draft.origin.station = Known::Known(format!("cell {}/{x},{y}", clip(office)));
    }
    let issued = text("updateTime").and_then(|t| t.parse().ok()).filter(|t| believable(*t).is_ok());
    draft.origin.issued = issued.into();
    if issued.is_none() {
        draft
            .questions
            .push("the forecast does not say when it was issued (updateTime): its age is unknown".into());
    }
    if let Some(place) = middle(top) {
        draft.origin.place = Known::Known(place);
    }
}

/// Middle of the cell's corners.
fn middle(top: &Map<String, Value>) -> Option<Place> {
    let ring = top.get("geometry")?.get("coordinates")?.get(0)?.as_array()?;
    // The last corner repeats the first.
    let corners = ring.get(..ring.len().checked_sub(1)?)?;
    let (mut lon, mut lat) = (0.0, 0.0);
    for corner in corners {
        lon += corner.get(0)?.as_f64()?;
        lat += corner.get(1)?.as_f64()?;
    }
    let n = corners.len().max(1) as f64;
    Place::of_deg(lat / n, lon / n).ok()
}

/// Reads the values of a layer of numbers.
fn numbers(draft: &mut Draft, layer: &str, field: Field, units: &[Unit], content: &Value) -> Result<()> {
    let values = match content.get("values") {
        Some(Value::Array(list)) => list.as_slice(),
        None | Some(Value::Null) => &[],
        Some(_) => {
            return Err(draft.refuse(
                format!("`values` of {layer} is no list"),
                "a list of values with their times",
                "fetch the forecast again",
            ));
        }
    };
    if !values.iter().any(|v| v.get("value").is_some_and(|v| !v.is_null())) {
        for _ in values {
            draft.row_read();
        }
        return Ok(());
    }
    let uom = content.get("uom").map_or(Some(""), Value::as_str).unwrap_or("?");
    let bare = match uom.split_once(':') {
        Some(("wmoUnit" | "nwsUnit" | "unit", unit)) => unit,
        Some(_) => "?",
        None => uom,
    };
    let Some(unit) = units.iter().find(|u| u.text == bare) else {
        let names: Vec<_> = units.iter().map(|u| if u.text.is_empty() { "none" } else { u.text }).collect();
        let met = if uom.is_empty() { "no unit".to_owned() } else { format!("the unit `{}`", clip(uom)) };
        return Err(draft.refuse(
            format!("{layer} has {met}"),
            &format!("uom: {}", names.join(" or ")),
            "this is not the agency's answer as it is known: do not use the layer unconverted",
        ));
    };
    for (i, entry) in values.iter().enumerate() {
        let time = entry.get("validTime").and_then(Value::as_str).unwrap_or_default();
        let (from, to) = match valid_time(time) {
            Ok(span) => span,
            Err(why) => {
                draft.bad(i + 1, layer, time, why);
                continue;
            }
        };
        let value = match entry.get("value") {
            None | Some(Value::Null) => None,
            Some(Value::Number(n)) => n.as_f64(),
            Some(other) => {
                draft.bad(i + 1, layer, &clip(&other.to_string()), "this is no number");
                continue;
            }
        };
        match value.filter(|x| !field.filled(*x)).map(|x| field.believe(unit.si(x))).transpose() {
            Ok(read) => {
                draft.row_read();
                if let Some(si) = read {
                    draft.put(field, from, to, si, i + 1);
                }
            }
            Err(why) => draft.bad(i + 1, layer, &value.map_or(String::new(), |v| v.to_string()), why),
        }
    }
    Ok(())
}

/// Says when no sea is left.
fn no_sea(draft: &mut Draft) {
    draft.without_bare_zeros();
    if draft.has(Field::WaveHeight) {
        return;
    }
    let cell = draft.origin.station.clone().get().unwrap_or_else(|| "this cell".to_owned());
    draft.questions.push(format!(
        "{cell} has no forecast of waves: it does not lie on the sea; ask for the cell of a point on the water, \
         two to five kilometres straight off the beach (points/LATITUDE,LONGITUDE, then its forecastGridData)"
    ));
}

/// Weather in words, hazards by their codes.
fn words(draft: &mut Draft, properties: &Map<String, Value>, layer: &str) {
    let Some(values) = properties.get(layer).and_then(|l| l.get("values")).and_then(Value::as_array) else {
        return;
    };
    for (i, entry) in values.iter().enumerate() {
        let time = entry.get("validTime").and_then(Value::as_str).unwrap_or_default();
        let (from, to) = match valid_time(time) {
            Ok(span) => span,
            Err(why) => {
                draft.bad(i + 1, layer, time, why);
                continue;
            }
        };
        let parts: Vec<String> = entry
            .get("value")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .take(MOST_PARTS)
            .filter_map(|part| if layer == "weather" { weather(part) } else { hazard(part) })
            .collect();
        draft.row_read();
        if parts.is_empty() {
            continue;
        }
        let reading = Reading { value: parts.join("; "), from, to };
        if layer == "weather" { draft.weather.push(reading) } else { draft.hazards.push(reading) }
    }
}

fn weather(part: &Value) -> Option<String> {
    let get = |key: &str| part.get(key).and_then(Value::as_str).map(|s| clip(&s.replace('_', " ")));
    let what = get("weather")?;
    let words: Vec<String> = [get("coverage"), get("intensity"), Some(what)].into_iter().flatten().collect();
    Some(words.join(" "))
}

/// Hazards by the agency's codes of phenomenon and significance (its directive on event codes; recalled, high).
fn hazard(part: &Value) -> Option<String> {
    let get = |key: &str| part.get(key).and_then(Value::as_str);
    let code = get("phenomenon")?;
    let what = match code {
        "RP" => "rip currents",
        "BH" => "beach hazards",
        "SU" => "high surf",
        "CF" => "coastal flood",
        "LS" => "lakeshore flood",
        "SC" => "small craft",
        "GL" => "gale",
        "SR" => "storm",
        "HU" => "hurricane",
        "TR" => "tropical storm",
        "SS" => "storm surge",
        "TS" => "tsunami",
        "SV" => "severe thunderstorm",
        "TO" => "tornado",
        "MA" => "marine",
        "FG" | "MF" => "dense fog",
        "WI" => "wind",
        "HW" => "high wind",
        _ => "",
    };
    let degree = match get("significance") {
        Some("W") => "warning",
        Some("A") => "watch",
        Some("Y") => "advisory",
        Some("S") => "statement",
        _ => "",
    };
    let code = format!("{}.{}", clip(code), clip(get("significance").unwrap_or("?")));
    Some(if what.is_empty() { code } else { format!("{what} {degree} ({code})").replace("  ", " ") })
}

/// Problems that the agency reports as JSON.
pub(super) fn problem(top: &Map<String, Value>) -> Option<Error> {
    let text = |key: &str| top.get(key).and_then(Value::as_str);
    (top.contains_key("status") && !top.contains_key("properties")).then(|| {
        let said = text("detail").or(text("title")).unwrap_or("no text");
        Error::new(
            format!("the agency's answer is a refusal: `{}`", clip(said)),
            "a forecast",
            "ask again later, or for the cell of another point; without it the weather is unknown",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_have_a_length_or_are_refused() {
        assert_eq!(duration_s("PT3H"), Some(10_800));
        assert_eq!(duration_s("P2DT21H"), Some(248_400));
        assert_eq!(duration_s("P1W"), Some(604_800));
        assert_eq!(duration_s("PT1H30M5S"), Some(5405));
        for t in [
            "",
            "P",
            "PT",
            "P1M",
            "P1Y",
            "PT1D",
            "P1H",
            "PT-1H",
            "P0D",
            "P32D",
            "PTT1H",
            "PT1",
            "PT99999999S",
            "P1é",
        ] {
            assert_eq!(duration_s(t), None, "{t}");
        }
        let (from, to) = valid_time("2026-01-11T05:00:00-05:00/PT3H").unwrap();
        assert_eq!(
            (from.to_string().as_str(), to.to_string().as_str()),
            ("2026-01-11T10:00:00Z", "2026-01-11T13:00:00Z")
        );
        for t in ["2026-01-11T05:00:00/PT3H", "2026-01-11T05:00:00Z", "2099-12-31T23:00Z/PT3H", "x/PT1H"] {
            assert!(valid_time(t).is_err(), "{t}");
        }
    }

    #[test]
    fn hazards_say_their_code() {
        let h =
            |p: &str, s: &str| hazard(&serde_json::json!({ "phenomenon": p, "significance": s })).unwrap();
        assert_eq!(h("RP", "S"), "rip currents statement (RP.S)");
        assert_eq!(h("QQ", "Y"), "QQ.Y");
    }
}
