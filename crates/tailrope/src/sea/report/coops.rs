//! Answers of the US tide service (NOAA CO-OPS), JSON and CSV.
//!
//! An answer repeats little of the request: predictions name neither station, datum, unit nor clock; observations
//! name the station, and air and water temperature look alike. What is missing is asked for, all at once. An answer
//! of status 200 may be an error; its text can blame what is in order.
//!
//! Readings that carry the agency's mark of doubt are counted and left out. Its currents and air gaps look like wind and
//! water levels and are told from them by their columns.
//!
//! Units by the agency's request pages: metric is m, m/s, °C; english is ft, knots, °F; pressure is millibars in both
//! (recalled, high).

use super::draft::{Draft, believable, local_time};
use super::field::{Field, M_PER_FT, MPS_PER_KN, Unit, number};
use super::model::{Format, Kind, Report};
use super::told::{Clock, Product, Told, UnitSystem, clip};
use crate::facts::Known;
use crate::quantity::{Length, Place};
use crate::sea::tide::{TurningPoint, Water};
use crate::{Error, Result};
use jiff::Timestamp;
use jiff::civil::DateTime;
use serde_json::{Map, Value};

/// What to do when the service answers with an error.
pub(super) const SERVICE_REMEDY: &str = "the text may mislead (the service has blamed a valid datum while it was down): \
     ask again later; until then plan on the tide reckoned from the station's constants, the weather's share unknown";

/// One row of an answer, as far as any product has it.
#[derive(Debug, Default)]
pub(super) struct Row<'a> {
    /// Line of the text or entry of the list, from 1.
    pub number: usize,
    time: Option<&'a str>,
    /// Level, temperature, pressure.
    value: Cell<'a>,
    speed: Cell<'a>,
    direction: Cell<'a>,
    gust: Cell<'a>,
    water: Option<&'a str>,
    /// Marks of doubt: flat, rate of change, limits passed.
    doubted: bool,
    /// Not yet verified.
    preliminary: bool,
}

/// One value as it stands there.
#[derive(Clone, Copy, Debug, Default)]
enum Cell<'a> {
    #[default]
    Absent,
    Text(&'a str),
    Number(f64),
    Wrong,
}

impl<'a> Cell<'a> {
    fn of(value: Option<&'a Value>) -> Self {
        match value {
            None | Some(Value::Null) => Self::Absent,
            Some(Value::String(s)) => Self::Text(s),
            Some(Value::Number(n)) => n.as_f64().map_or(Self::Wrong, Self::Number),
            Some(_) => Self::Wrong,
        }
    }

    fn read(self) -> Result<Option<f64>, String> {
        match self {
            Self::Absent => Ok(None),
            Self::Text(t) => number(t),
            Self::Number(x) => Ok(Some(x)),
            Self::Wrong => Err("this is no number".into()),
        }
    }

    fn shown(self) -> String {
        match self {
            Self::Text(t) => t.into(),
            Self::Number(x) => x.to_string(),
            Self::Absent | Self::Wrong => String::new(),
        }
    }
}

/// An answer taken apart, before anything is known of unit and clock.
pub(super) struct Answer<'a> {
    pub rows: Vec<Row<'a>>,
    product: Option<Product>,
    station: Option<&'a str>,
    station_name: Option<&'a str>,
    place: Known<Place>,
    format: Format,
}

/// Takes a JSON answer apart.
pub(super) fn of_json<'a>(top: &'a Map<String, Value>) -> Result<Answer<'a>> {
    let text = |key: &str, from: &'a Map<String, Value>| from.get(key).and_then(Value::as_str);
    let (key, list) = match (top.get("predictions"), top.get("data")) {
        (Some(Value::Array(list)), _) => ("predictions", list),
        (_, Some(Value::Array(list))) => ("data", list),
        _ => {
            return Err(Error::new(
                "it has no list `predictions` or `data`",
                "the agency's whole answer",
                "fetch it again as JSON",
            ));
        }
    };
    let rows: Vec<Row<'a>> = list
        .iter()
        .enumerate()
        .map(|(i, entry)| {
            let get = |name: &str| entry.get(name);
            let flags = get("f").and_then(Value::as_str).unwrap_or_default();
            let verified = get("q").and_then(Value::as_str) == Some("v");
            Row {
                number: i + 1,
                time: get("t").and_then(Value::as_str),
                value: Cell::of(get("v")),
                speed: Cell::of(get("s")),
                direction: Cell::of(get("d")),
                gust: Cell::of(get("g")),
                water: get("type").and_then(Value::as_str),
                // The first of four flags counts outlying samples until the level is verified, and then says that it is
                // inferred; the rest are doubts.
                doubted: flags
                    .split(',')
                    .skip(usize::from(flags.split(',').count() == 4 && !verified))
                    .any(|f| f.trim() == "1"),
                preliminary: get("q").and_then(Value::as_str) == Some("p"),
            }
        })
        .collect();
    let first = list.first();
    let has = |name: &str| first.is_some_and(|e| e.get(name).is_some());
    let product = match key {
        "predictions" => Some(Product::Predictions),
        _ if has("dr") || has("g") => Some(Product::Wind),
        // Currents have speed and direction like the wind, at a depth of their own.
        _ if has("s") && has("d") => {
            return Err(Error::new(
                "its rows hold speeds and directions without gusts or compass words: currents, which are not read",
                "water_level, predictions, wind, air_temperature, water_temperature or air_pressure",
                "fetch one of these; count a float over ten paces for the current at the beach",
            ));
        }
        // The gap under a bridge has a spread too, and no mark of quality: it is no level.
        _ if has("q") => Some(Product::WaterLevel),
        _ => None,
    };
    let meta = top.get("metadata").and_then(Value::as_object);
    let degrees = |name: &str| meta.and_then(|m| Cell::of(m.get(name)).read().ok().flatten());
    let place = match (degrees("lat"), degrees("lon")) {
        (Some(lat), Some(lon)) => Place::of_deg(lat, lon).ok().into(),
        _ => Known::Unknown,
    };
    Ok(Answer {
        rows,
        product,
        station: meta.and_then(|m| text("id", m)),
        station_name: meta.and_then(|m| text("name", m)),
        place,
        format: Format::CoopsJson,
    })
}

/// Whether a text is a CSV answer.
pub(super) fn is_csv(text: &str) -> bool {
    text.trim_start().starts_with("Date Time,")
}

/// Takes a CSV answer apart. Header names carry blanks at either end.
pub(super) fn of_csv(text: &str) -> Result<Answer<'_>> {
    let mut lines = text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty());
    let header: Vec<&str> = lines.next().map(|l| l.1.split(',').map(str::trim).collect()).unwrap_or_default();
    let product = header.iter().find_map(|name| match *name {
        "Water Level" => Some(Product::WaterLevel),
        "Prediction" => Some(Product::Predictions),
        "Speed" if header.contains(&"Gust") => Some(Product::Wind),
        "Water Temperature" => Some(Product::WaterTemperature),
        "Air Temperature" => Some(Product::AirTemperature),
        "Pressure" => Some(Product::AirPressure),
        _ => None,
    });
    let Some(product) = product else {
        return Err(Error::new(
            format!("its header `{}` names no product that is known", clip(&header.join(","))),
            "Water Level, Prediction, Speed, Water Temperature, Air Temperature or Pressure",
            "fetch one of these, or the JSON answer",
        )
        .within("line 1"));
    };
    // Of the two columns `Direction` of the wind the first has degrees, the second a word.
    let at = |name: &str| header.iter().position(|h| *h == name);
    let value_at = ["Water Level", "Prediction", "Water Temperature", "Air Temperature", "Pressure"]
        .iter()
        .find_map(|n| at(n));
    let (speed_at, direction_at, gust_at) = (at("Speed"), at("Direction"), at("Gust"));
    let (time_at, type_at, quality_at) = (at("Date Time"), at("Type"), at("Quality"));
    let outliers_at = header.iter().position(|h| h.starts_with("O or I"));
    let doubts: Vec<usize> = ["F", "R", "L", "X", "N", "I"].iter().filter_map(|n| at(n)).collect();
    let mut rows = Vec::new();
    for (i, line) in lines {
        let cells: Vec<&str> = line.split(',').map(str::trim).collect();
        let get = |at: Option<usize>| at.and_then(|a| cells.get(a).copied());
        let cell = |at: Option<usize>| get(at).map_or(Cell::Absent, Cell::Text);
        // A row of another width has slipped: its values stand under wrong names.
        let whole =
            cells.len() == header.len() || (cells.len() == header.len() + 1 && cells.last() == Some(&""));
        rows.push(Row {
            number: i + 1,
            time: if whole { get(time_at) } else { None },
            value: cell(value_at),
            speed: cell(speed_at),
            direction: cell(direction_at),
            gust: cell(gust_at),
            water: get(type_at),
            doubted: doubts.iter().any(|d| get(Some(*d)) == Some("1"))
                || (get(quality_at) == Some("v") && get(outliers_at) == Some("1")),
            preliminary: get(quality_at) == Some("p"),
        });
    }
    Ok(Answer {
        rows,
        product: Some(product),
        station: None,
        station_name: None,
        place: Known::Unknown,
        format: Format::CoopsCsv,
    })
}

/// What is asked when the answer leaves it out: the key to tell, and in words.
fn missing(answer: &Answer<'_>, told: &Told) -> Vec<(&'static str, &'static str)> {
    let product = told.product.or(answer.product);
    let level = matches!(product, Some(Product::WaterLevel | Product::Predictions));
    let mut asked = Vec::new();
    if product.is_none() {
        asked.push(("product=water_temperature, air_temperature or air_pressure", "what it holds"));
    }
    if answer.station.is_none() && told.station.is_none() {
        asked.push(("station=...", "its station"));
    }
    if level && told.datum.is_none() {
        asked.push(("datum=...", "its datum"));
    }
    if told.units.is_none() && product != Some(Product::AirPressure) {
        asked.push(("units=metric or english", "its units"));
    }
    if told.zone.is_none() {
        asked.push(("zone=gmt, lst ZONE or lst_ldt ZONE", "the clock of its times"));
    }
    asked
}

/// What a file's name hints at, to be said but not believed.
fn hint(name: &str) -> &'static str {
    let lower = name.to_ascii_lowercase();
    if lower.contains("air") {
        "; the file's name speaks of air"
    } else if lower.contains("water") {
        "; the file's name speaks of water"
    } else {
        ""
    }
}

/// Makes a report of an answer, or asks for what it does not state.
pub(super) fn report(name: &str, answer: &Answer<'_>, told: &Told) -> Result<Report> {
    let asked = missing(answer, told);
    if !asked.is_empty() {
        let (keys, words): (Vec<_>, Vec<_>) = asked.iter().copied().unzip();
        return Err(Error::new(
            format!("this answer of the tide service does not say {}{}", words.join(", "), hint(name)),
            keys.join("; "),
            "tell what the request asked for; a comparison with the station's own tide shows what fits",
        )
        .within(name));
    }
    if let (Some(said), Some(told)) = (answer.station, &told.station)
        && said != told
    {
        return Err(Error::new(
            format!("the answer is of station {}, not of {}", clip(said), clip(told)),
            "one station",
            "give the right file, or leave the station out",
        )
        .within(name));
    }
    if let (Some(shown), Some(told)) = (answer.product, told.product)
        && shown != told
    {
        return Err(Error::new(
            format!("it is told to hold {}, and its columns are those of {}", told.words(), shown.words()),
            format!("product={}", shown.key()),
            "leave the product out, or say it of the file that holds it",
        )
        .within(name));
    }
    let product = answer.product.or(told.product).unwrap_or(Product::WaterLevel);
    let kind = if product == Product::Predictions { Kind::Predicted } else { Kind::Observed };
    let source = format!("NOAA CO-OPS {}", product.words());
    let mut draft = Draft::new(answer.format, name, &source, kind, told);
    draft.rows_are_lines = answer.format == Format::CoopsCsv;
    if let Some(id) = answer.station {
        draft.origin.station = Known::Known(id.to_owned());
        draft.origin.station_name = answer.station_name.map(clip).into();
    }
    if !answer.place.is_unknown() {
        draft.origin.place = answer.place;
    }
    draft.datum = told.datum.clone().into();
    let clock = told.zone.clone().unwrap_or(Clock::Gmt);
    draft.origin.zone = clock.words();
    let reader = Reader { product, english: told.units == Some(UnitSystem::English), clock };
    let (mut doubted, mut preliminary) = (0, 0);
    let mut before = None;
    for row in &answer.rows {
        if reader.row(&mut draft, row, &mut before) {
            doubted += usize::from(row.doubted);
            preliminary += usize::from(row.preliminary);
        }
    }
    if doubted > 0 {
        draft.notes.push(format!(
            "{doubted} readings carry the agency's mark of doubt (flat, too fast, beyond limits or inferred) and were \
             left out"
        ));
    }
    if preliminary > 0 {
        draft.notes.push(format!("{preliminary} readings are preliminary, not verified"));
    }
    draft.finish(told)
}

struct Reader {
    product: Product,
    english: bool,
    clock: Clock,
}

impl Reader {
    /// Reads one row whole, or notes why not. Whether it was read.
    fn row(&self, draft: &mut Draft, row: &Row<'_>, before: &mut Option<Timestamp>) -> bool {
        let Some(text) = row.time else {
            draft.bad(row.number, "row", "", "no time, or another number of fields than the header");
            return false;
        };
        let instant = local_time(text).and_then(|local| {
            let instant = self.clock.instant(local, *before)?;
            believable(instant.at).map(|_| instant)
        });
        let at = match instant {
            Ok(instant) => {
                if instant.twice {
                    draft.notes.push(format!("{text}: the clock shows this time twice; taken as the first"));
                    draft.notes.truncate(20);
                }
                instant.at
            }
            Err(why) => {
                draft.bad(row.number, "time", text, why);
                return false;
            }
        };
        *before = Some(at);
        let english = |unit: Unit, metric: Unit| if self.english { unit } else { metric };
        let length = english(Unit::of("ft", M_PER_FT), Unit::of("m", 1.0));
        let speed = english(Unit::of("kn", MPS_PER_KN), Unit::of("m/s", 1.0));
        let celsius = english(Unit::fahrenheit("F"), Unit::of("C", 1.0));
        let cells: &[(&str, Field, Unit, Cell<'_>)] = match self.product {
            Product::WaterLevel => &[("level", Field::WaterLevel, length, row.value)],
            Product::Predictions => &[("level", Field::PredictedLevel, length, row.value)],
            Product::Wind => &[
                ("speed", Field::Wind, speed, row.speed),
                ("direction", Field::WindFrom, Unit::degrees("deg"), row.direction),
                ("gust", Field::Gust, speed, row.gust),
            ],
            Product::AirTemperature => &[("temperature", Field::Air, celsius, row.value)],
            Product::WaterTemperature => &[("temperature", Field::Water, celsius, row.value)],
            Product::AirPressure => &[("pressure", Field::Pressure, Unit::of("mb", 100.0), row.value)],
        };
        let mut values = Vec::with_capacity(3);
        for (column, field, unit, cell) in cells {
            match cell.read().and_then(|x| x.map(|x| field.believe(unit.si(x))).transpose()) {
                Ok(Some(si)) => values.push((*field, si)),
                Ok(None) => {}
                Err(why) => {
                    draft.bad(row.number, column, &cell.shown(), why);
                    return false;
                }
            }
        }
        // High and low waters are turning points of the curve, no series of it.
        if let (Product::Predictions, Some(word)) = (self.product, row.water) {
            let water = match word {
                "H" | "HH" => Water::High,
                "L" | "LL" => Water::Low,
                _ => {
                    draft.bad(row.number, "type", word, "a water is H or L");
                    return false;
                }
            };
            draft.row_read();
            draft.waters.extend(values.first().map(|(_, si)| TurningPoint {
                at,
                level: Length::of_m(*si),
                water,
            }));
            return true;
        }
        draft.row_read();
        // A value that the agency itself doubts is none; what is left is older, and its age shows.
        if !row.doubted {
            for (field, si) in values {
                draft.put(field, at, at, si, row.number);
            }
        }
        true
    }
}

/// Levels as they stand in an answer: local time and number, without unit and clock. For comparing.
pub(super) fn bare_levels(answer: &Answer<'_>) -> Vec<(DateTime, f64, Option<Water>)> {
    answer
        .rows
        .iter()
        .filter(|row| !row.doubted)
        .filter_map(|row| {
            let water = match row.water {
                Some("H" | "HH") => Some(Water::High),
                Some("L" | "LL") => Some(Water::Low),
                _ => None,
            };
            Some((local_time(row.time?).ok()?, row.value.read().ok()??, water))
        })
        .collect()
}

impl Answer<'_> {
    /// What the answer holds, as far as its form shows.
    pub fn product(&self) -> Option<Product> {
        self.product
    }
}
