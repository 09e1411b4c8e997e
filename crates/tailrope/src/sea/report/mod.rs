//! Files that agencies publish about sea and weather, read into readings that keep source, unit, datum, zone and age.
//!
//! Answers what a buoy, a tide gauge, a forecast grid or an hourly-array server said, each quantity by itself: the
//! newest wind may be ten minutes old and the newest wave an hour. Columns are found by their names, never by their
//! position. A missing code (`MM`, the nines of that column, null, an empty text) is no value. A row that cannot be
//! read refuses the file, unless the person says that bad rows may be left out: then they are listed. What the answer
//! does not state (CO-OPS: station, datum, unit, clock) must be told and is never guessed; [`Fits`] compares such a
//! file with the station's own tide and says what it looks like.
//!
//! Limits: times of 1900 to 2100; values within what sea and air can do (`field.rs`); [`MAX_BYTES`] a file. The work
//! is a pass over the text and a sort.
//!
//! Sources: NDBC's pages on its measurements and file changes, the CO-OPS data interface, the NWS gridpoint interface
//! (read 2026-10); `.spec` files by the agency's header and a genuine file.

mod coops;
mod datums;
mod draft;
mod field;
mod fits;
mod gridpoint;
mod hourly;
mod mixed;
mod model;
mod ndbc;
mod now;
mod series;
mod told;
mod view;

pub use datums::Datums;
pub use field::believed;
pub use fits::{Fit, Fits};
pub use mixed::{MixedSea, SeaTrain};
pub use model::{BadRow, Format, Kind, Levels, ListedWaters, Origin, Report, Steepness, Train};
pub use now::{Now, SeaNow, TrainNow};
pub use series::{Reading, Series};
pub use told::{At, Clock, Product, Told, UnitSystem};
pub use view::Row;

use crate::{Error, Result};
use serde_json::{Map, Value};
use told::clip;

/// Largest file that is read. A year of a buoy's ten-minute rows has about five megabytes.
pub const MAX_BYTES: usize = 16 * 1024 * 1024;
/// Largest file of JSON: taken apart it needs many times its size.
const MAX_JSON_BYTES: usize = 8 * 1024 * 1024;

/// Text that some servers send, with status 200, for a file that is not there.
const NO_FILE: &str = "Unable to access data file";

/// Reads a file that an agency published. `name` is the file's name as the person knows it.
///
/// The format is found by the content unless `told` names it. Refuses: another kind of file, an answer that is an
/// error (its text is shown), rows that cannot be read (unless told to leave them out), a file without any reading,
/// and one that does not say what its numbers mean until that is told.
///
/// ```
/// use tailrope::sea::report::{Told, read};
/// let text = "#YY  MM DD hh mm WDIR WSPD GST  WVHT   DPD   APD MWD   PRES  ATMP  WTMP\n\
///     #yr  mo dy hr mn degT m/s  m/s     m   sec   sec degT   hPa  degC  degC\n\
///     2026 10 07 02 30 300  3.0   MM   0.6     9   4.2 134 1015.5  20.7    MM\n";
/// let report = read("41001.txt", text, &Told::default()).unwrap();
/// let at = "2026-10-07T03:00Z".parse().unwrap();
/// assert_eq!(report.wave_height.newest(at).unwrap().value.m(), 0.6);
/// assert!(report.gust.is_empty() && report.water_temperature.is_empty());
/// ```
pub fn read(name: &str, text: &str, told: &Told) -> Result<Report> {
    let text = text.trim_start_matches('\u{feff}');
    let place = |e: Error| if e.place.starts_with(name) { e } else { e.within(name) };
    match taken_apart(text).map_err(place)? {
        Content::Table(found) => {
            agrees(told, found).map_err(place)?;
            ndbc::read(name, text, found, told)
        }
        Content::Csv => {
            agrees(told, Format::CoopsCsv).map_err(place)?;
            coops::report(name, &coops::of_csv(text).map_err(place)?, told)
        }
        Content::Json(top) => {
            let found = of_json(&top).map_err(place)?;
            agrees(told, found).map_err(place)?;
            match found {
                Format::NwsGridpoint => gridpoint::read(name, &top, told),
                Format::HourlyArrays => hourly::read(name, &top, told),
                _ => coops::report(name, &coops::of_json(&top).map_err(place)?, told),
            }
        }
    }
}

/// What a text turned out to be.
enum Content {
    Table(Format),
    Csv,
    Json(Map<String, Value>),
}

const FORMATS: &str = "NDBC standard meteorological text or spectral summary, CO-OPS JSON or CSV, NWS gridpoint JSON, \
     hourly-array marine JSON";

/// Finds what a text is, and refuses what is no data at all.
fn taken_apart(text: &str) -> Result<Content> {
    if text.len() > MAX_BYTES {
        return Err(Error::new(
            format!("the file has {} bytes", text.len()),
            format!("at most {MAX_BYTES}"),
            "fetch fewer days",
        ));
    }
    let start = text.trim_start();
    if start.is_empty() {
        return Err(Error::new(
            "the file is empty",
            FORMATS,
            "ask the agency again; no data is not calm water",
        ));
    }
    if start.get(..200).unwrap_or(start).contains(NO_FILE) {
        return Err(Error::new(
            format!("the agency's answer is an error: `{NO_FILE}`"),
            FORMATS,
            "the year or station asked for is not there: check both; its status may say that all is well",
        ));
    }
    if let Some(format) = ndbc::recognise(start) {
        return Ok(Content::Table(format));
    }
    if coops::is_csv(start) {
        return Ok(Content::Csv);
    }
    if start.starts_with(['{', '[']) {
        return json(text).map(Content::Json);
    }
    let first = clip(start.lines().next().unwrap_or_default().trim());
    let head = start.get(..200).unwrap_or(start).to_ascii_lowercase();
    if head.starts_with("<?xml") || head.contains("<gpx") || head.contains("<kml") {
        let what = if head.contains("<gpx") { "a track or waypoints (GPX)" } else { "XML" };
        return Err(Error::new(
            format!("this is {what} (`{first}`): it holds no waves, levels or weather that are read here"),
            FORMATS,
            "give the file of a buoy, gauge or forecast; a place goes into --at or the outing's beach.place",
        ));
    }
    if start.starts_with('<') {
        return Err(Error::new(
            format!("this is a web page (`{first}`), no data"),
            FORMATS,
            "save the data file itself, not the page that shows it",
        ));
    }
    if start.starts_with('\u{1f}') || start.starts_with('\u{fffd}') {
        return Err(Error::new("the file is compressed", FORMATS, "unpack it first (gunzip)"));
    }
    if start.get(..6).is_some_and(|s| s.eq_ignore_ascii_case("error:"))
        || start.starts_with("No data was found")
    {
        return Err(Error::new(
            format!("the agency's answer is an error: `{first}`"),
            FORMATS,
            coops::SERVICE_REMEDY,
        ));
    }
    Err(Error::new(
        format!("`{first}` begins no file that is known"),
        FORMATS,
        "fetch one of these, from its first line on",
    ))
}

fn json(text: &str) -> Result<Map<String, Value>> {
    if text.len() > MAX_JSON_BYTES {
        return Err(Error::new(
            format!("the file has {} bytes", text.len()),
            format!("at most {MAX_JSON_BYTES} of JSON"),
            "fetch fewer days",
        ));
    }
    match serde_json::from_str(text) {
        Ok(Value::Object(top)) => Ok(top),
        Ok(_) => Err(Error::new("it is a list, no answer of an agency", FORMATS, "fetch the whole answer")),
        Err(e) => Err(Error::new(
            format!("it is no JSON: {e}"),
            "JSON to its end (a bare NaN is none)",
            "fetch it again: it may have been cut short",
        )),
    }
}

/// Which JSON answer this is; refuses those that are errors.
fn of_json(top: &Map<String, Value>) -> Result<Format> {
    if let Some(error) = top.get("error") {
        let said = error.get("message").or(top.get("reason")).unwrap_or(error);
        let said = said.as_str().map_or_else(|| said.to_string(), str::to_owned);
        let said: String = said.chars().take(200).map(|c| if c.is_control() { ' ' } else { c }).collect();
        return Err(Error::new(
            format!("the answer is an error, whatever its status says: `{}`", said.trim()),
            "an answer with data",
            coops::SERVICE_REMEDY,
        ));
    }
    if let Some(problem) = gridpoint::problem(top) {
        return Err(problem);
    }
    let has = |key: &str| top.contains_key(key);
    if has("datums") {
        return Err(Error::new(
            "this is a station's table of datums: heights, no readings",
            FORMATS,
            "give it where datums are compared, and a file of readings here",
        ));
    }
    if has("properties") {
        Ok(Format::NwsGridpoint)
    } else if has("hourly") {
        Ok(Format::HourlyArrays)
    } else if has("predictions") || has("data") {
        Ok(Format::CoopsJson)
    } else {
        let keys: Vec<_> = top.keys().take(6).map(|k| clip(k)).collect();
        Err(Error::new(
            format!("its keys ({}) are of no answer that is known", keys.join(", ")),
            FORMATS,
            "fetch one of these",
        ))
    }
}

/// Refuses a file whose content is not of the format told.
fn agrees(told: &Told, found: Format) -> Result<()> {
    match told.format {
        Some(format) if format != found => Err(Error::new(
            format!("it is told to be {}, and is {}", format.key(), found.key()),
            found.key(),
            "give the right file, or leave the format out",
        )),
        _ => Ok(()),
    }
}
