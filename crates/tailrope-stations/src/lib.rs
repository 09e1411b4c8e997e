//! From the lines of `dump.mjs` to records of the world pack: what is kept, what is left out and why.

use jiff::civil::Date;
use serde::Deserialize;
use std::collections::BTreeMap;
use tailrope::facts::Grade;
use tailrope::quantity::{Angle, Length, Place};
use tailrope::sea::tide::world::{Card, Constants, Origin, Record};
use tailrope::sea::tide::{HeightRule, NodeRule};
use tailrope::{Error, Result};

/// One line of the dump.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    id: String,
    name: String,
    country: String,
    region: String,
    latitude: f64,
    longitude: f64,
    zone: String,
    datum: Option<String>,
    mean_level: Option<f64>,
    datum_derived: bool,
    epoch: Option<(String, String)>,
    source: String,
    source_id: String,
    source_url: String,
    licence: String,
    licence_url: String,
    attribution: String,
    disclaimers: Option<String>,
    set_aside: Option<SetAside>,
    offsets: Option<Offsets>,
    constituents: Vec<(String, f64, f64)>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SetAside {
    reason: String,
    issues: Vec<String>,
    instead: Option<String>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Offsets {
    reference: String,
    time: Pair,
    height: Heights,
}

#[derive(Clone, Copy, Debug, Deserialize)]
struct Pair {
    high: f64,
    low: f64,
}

#[derive(Clone, Debug, Deserialize)]
struct Heights {
    high: f64,
    low: f64,
    #[serde(rename = "type")]
    kind: String,
}

/// What became of the lines.
#[derive(Debug, Default)]
pub struct Packed {
    /// Kept, by id.
    pub records: Vec<Record>,
    /// Left out: ids by reason.
    pub left_out: BTreeMap<&'static str, Vec<String>>,
}

/// Most findings of the review that are kept with a record.
const MOST_ISSUES: usize = 2;

/// Reads the dump: one JSON object a line.
///
/// # Errors
/// A line that is not of the dump's form, or a value that no station can have.
pub fn read(text: &str) -> Result<Packed> {
    let mut packed = Packed::default();
    for (i, line) in text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
        let place = format!("line {}", i + 1);
        let line: Line = serde_json::from_str(line).map_err(|e| {
            Error::new(e.to_string(), "a line of dump.mjs", "make the dump again with the pinned package")
                .within(&place)
        })?;
        if line.offsets.is_none() && line.constituents.is_empty() {
            packed.left_out.entry("no constants").or_default().push(line.id);
            continue;
        }
        packed.records.push(record(line).map_err(|e| e.within(&place))?);
    }
    let known: std::collections::BTreeSet<String> =
        packed.records.iter().filter(|r| !r.card.follows).map(|r| r.card.id.clone()).collect();
    let (kept, orphans) = packed.records.into_iter().partition(|r| match &r.tide {
        Constants::Follows { reference, .. } => known.contains(reference),
        Constants::Own { .. } => true,
    });
    packed.records = kept;
    packed.records.sort_by(|a, b| a.card.id.cmp(&b.card.id));
    for r in orphans {
        packed.left_out.entry("its reference is left out").or_default().push(r.card.id);
    }
    Ok(packed)
}

fn record(line: Line) -> Result<Record> {
    let zone = jiff::tz::TimeZone::get(&line.zone);
    if zone.is_err() {
        return Err(Error::new(format!("no time zone `{}`", line.zone), "an IANA name", "see the database")
            .within(&line.id));
    }
    let mut notes = notes(&line);
    let origin = origin(&line)?;
    let set_aside = misplaced(&line).or_else(|| line.set_aside.as_ref().map(why));
    let follows = line.offsets.is_some();
    let tide = if let Some(o) = &line.offsets {
        let rule = |v: f64| match &*o.height.kind {
            "ratio" => Ok(HeightRule::Ratio(v)),
            "fixed" => Ok(HeightRule::Add(Length::of_m(v))),
            other => Err(Error::new(
                format!("height offsets of the kind `{other}`"),
                "ratio, fixed",
                "teach this tool",
            )),
        };
        Constants::Follows {
            reference: o.reference.clone(),
            high_later_min: o.time.high,
            low_later_min: o.time.low,
            high: rule(o.height.high)?,
            low: rule(o.height.low)?,
        }
    } else {
        // Constants stand on the record's own mean: without a datum that is all there is.
        let (datum, mean) = match (line.datum.as_deref(), line.mean_level) {
            (Some("CD"), Some(mean)) => ("chart datum", mean),
            (Some(datum), Some(mean)) if datum != "STND" => (datum, mean),
            _ => {
                notes.push(NO_DATUM.into());
                ("MSL", 0.0)
            }
        };
        let mut constituents: Vec<(String, Length, Angle)> = line
            .constituents
            .iter()
            .map(|(name, amplitude, lag)| (name.clone(), Length::of_m(*amplitude), Angle::of_deg(*lag)))
            .collect();
        constituents.sort_by(|a, b| a.0.cmp(&b.0));
        Constants::Own { datum: datum.into(), mean_level: Length::of_m(mean), constituents }
    };
    Ok(Record {
        card: Card {
            place: Place::of_deg(line.latitude, line.longitude)?,
            id: line.id,
            name: line.name,
            country: line.country,
            region: line.region,
            zone: line.zone,
            follows,
            set_aside,
        },
        origin,
        number: line.source_id,
        epoch: line.epoch.and_then(|(a, b)| epoch(&a, &b)),
        notes,
        tide,
    })
}

const NO_DATUM: &str = "The source gives no chart datum: heights are about the mean level of its record, not above a chart's zero.";
const DERIVED_DATUM: &str = "The datum was reckoned from the constants; the record is too short to read it off: \
    heights are less certain.";

/// The database writes the year 0 where it knows none.
fn epoch(from: &str, to: &str) -> Option<(Date, Date)> {
    let (from, to): (Date, Date) = (from.parse().ok()?, to.parse().ok()?);
    (from.year() >= 1700 && from <= to).then_some((from, to))
}

/// Stations whose place cannot be right, with why: seen against the place that the name is known by, another station
/// of the same name, or the station that is followed. They are set aside, not moved: nobody here knows the true figure.
const MISPLACED: [(&str, &str); 8] = [
    ("noaa/TPT2871", "Nandi Waters is in Fiji, west of the 180th degree"),
    ("noaa/TPT2891", "Niue lies east of the 180th degree"),
    ("noaa/TPT2893", "Neiafu is in Tonga, not off Africa"),
    ("noaa/TPT2897", "Nomuka is in Tonga, east of the 180th degree"),
    ("noaa/TWC0279", "San Lorenzo is in Ecuador, not in the Indian Ocean"),
    ("ticon/boat_cove-rbct-nzl-ttw", "Boat Cove is on Raoul Island, east of the 180th degree"),
    ("ticon/fishing_rock-rfrt-nzl-ttw", "Fishing Rock is off Raoul Island, east of the 180th degree"),
    ("ticon/owenga-chit-nzl-ttw", "Owenga is on Chatham Island, east of the 180th degree"),
];

fn misplaced(line: &Line) -> Option<String> {
    let known = MISPLACED.iter().find(|(id, _)| *id == line.id).map(|(_, why)| *why);
    // A longitude that is the latitude was copied into the wrong field.
    let copied = (line.latitude - line.longitude).abs() < 1e-9;
    let why = known.or(copied.then_some("its longitude is its latitude"))?;
    Some(format!("its place cannot be right: {why}"))
}

fn why(s: &SetAside) -> String {
    let issues: Vec<&str> =
        s.issues.iter().filter(|i| !i.starts_with("Superseded")).take(MOST_ISSUES).map(|i| &**i).collect();
    let head = match &*s.reason {
        "duplicate" => match &s.instead {
            Some(other) => format!("the same gauge as {other}"),
            None => "the same gauge as another".into(),
        },
        "superseded" => match s.issues.iter().find_map(|i| i.strip_prefix("Superseded source: ")) {
            Some("noaa") => "the same gauge as one of NOAA's own, which is newer".into(),
            _ => "the same gauge as a newer record".into(),
        },
        "datum" => "its datums contradict each other".into(),
        "range" => "hardly any tide".into(),
        "constituents" => "its constituents are doubtful".into(),
        "seasonal" => "mostly the season's change, hardly any tide".into(),
        other => other.to_owned(),
    };
    if issues.is_empty() { head } else { format!("{head} ({})", issues.join("; ")) }
}

fn notes(line: &Line) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(text) = &line.disclaimers {
        // Licence and source stand beside every height anyway.
        let plain = without_tags(text).replace("No obvious issues", "");
        let (plain, derived) = match plain.split_once("Datums derived from harmonic prediction") {
            Some((before, _)) => (before.to_owned(), true),
            None => (plain, false),
        };
        let plain = plain.trim();
        if !plain.is_empty() && !plain.contains("Kartverket") {
            let said = if plain.starts_with("Possible") {
                format!("The collection says: {}.", plain.to_lowercase())
            } else {
                plain.to_owned()
            };
            notes.push(said);
        }
        if derived || line.datum_derived {
            notes.push(DERIVED_DATUM.into());
        }
    } else if line.datum_derived {
        notes.push(DERIVED_DATUM.into());
    }
    notes
}

fn without_tags(text: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in text.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            _ if !inside => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn origin(line: &Line) -> Result<Origin> {
    // Claims: NOAA's against its own printed predictions (8 mm and 3.5 min at three stations, rounded up); for the
    // others there are no printed predictions to check against, and the numbers are our judgement.
    let (source, licence, error_m, error_min) = match (&*line.source, &*line.licence) {
        ("US National Oceanic and Atmospheric Administration", "public domain") => {
            ("NOAA CO-OPS, station {}", "public domain", 0.01, 4.0)
        }
        ("TICON-4", "cc-by-4.0") => ("TICON-4, station {}", "CC BY 4.0", 0.03, 10.0),
        ("Kartverket / Norwegian Mapping Authority, Hydrographic Service", "cc-by-4.0") => {
            ("Kartverket (Norwegian Mapping Authority), station {}", "CC BY 4.0", 0.03, 10.0)
        }
        (source, licence) => {
            return Err(Error::new(
                format!("`{}` is of `{source}` under `{licence}`", line.id),
                "sources and licences that were looked at",
                "read the licence, then teach this tool",
            ));
        }
    };
    let mut attribution = line.attribution.clone();
    if line.licence == "public domain" {
        attribution = format!("Public domain ({}). {attribution}", line.licence_url);
    }
    Ok(Origin {
        source: source.into(),
        url: line.source_url.replace(&line.source_id, "{}"),
        licence: licence.into(),
        attribution,
        nodes: NodeRule::MidYear,
        level_error: Length::of_m(error_m),
        time_error_min: error_min,
        grade: Grade::Published,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(id: &str, latitude: f64, longitude: f64) -> String {
        format!(
            r#"{{"id":"{id}","name":"A","country":"B","region":"C","latitude":{latitude},"longitude":{longitude},"zone":"Etc/GMT","datum":"MSL","mean_level":0.0,"datum_derived":false,"epoch":null,"source":"TICON-4","source_id":"a","source_url":"","licence":"cc-by-4.0","licence_url":"","attribution":"TICON-4","disclaimers":null,"set_aside":null,"offsets":null,"constituents":[["M2",0.5,10.0]]}}"#
        )
    }

    #[test]
    fn stations_that_cannot_stand_where_they_are_said_to_are_set_aside() {
        let set = |id: &str, lat: f64, lon: f64| {
            read(&line(id, lat, lon)).unwrap().records[0].card.set_aside.clone()
        };
        assert!(set("noaa/TPT2893", -18.65, 6.017).unwrap().contains("Tonga"));
        assert!(set("ticon/x", -23.341_768, -23.341_768).unwrap().contains("its longitude is its latitude"));
        assert_eq!(set("ticon/x", -23.34, -149.48), None);
    }
}
