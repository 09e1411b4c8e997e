//! Texts of the US buoy centre (NDBC): standard meteorological files of every era, and spectral wave summaries.
//!
//! Columns in blanks, universal time, newest or oldest first, known by the header's names. To 1998 years have two
//! digits; 1999 four; from 2000 a tide column, from 2005 minutes, from 2007 headers behind `#` with a line of units
//! (and WD, BAR became WDIR, PRES). A second header within the text (years put behind each other) counts from there on.
//! Missing is `MM` in real time, and in the yearly files as many nines as fill *that* column: 999 is no direction, but
//! 999.0 hPa is a pressure.

use super::draft::{Draft, believable};
use super::field::{COMPASS_WITHIN_DEG, Field, M_PER_FT, M_PER_MI, M_PER_NMI, Unit, compass_deg, number};
use super::model::{Format, Kind, Report, Steepness};
use super::series::Reading;
use super::told::{Told, clip};
use crate::Result;
use crate::facts::Known;
use crate::quantity::Angle;
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

/// What a column means.
#[derive(Clone, Copy)]
enum Means {
    Year,
    Month,
    Day,
    Hour,
    Minute,
    /// A number: its quantity, the units its header may name (the first where none is named), its missing code.
    Number(Field, &'static [Unit], f64),
    Compass(Field),
    Steepness,
    Unknown,
}

const DEGREES: &[Unit] = &[Unit::degrees("degT"), Unit::degrees("deg")];
const METRES: &[Unit] = &[Unit::of("m", 1.0)];
const SECONDS: &[Unit] = &[Unit::of("sec", 1.0), Unit::of("s", 1.0)];
const SPEED: &[Unit] = &[Unit::of("m/s", 1.0)];
const CELSIUS: &[Unit] = &[Unit::of("degC", 1.0)];
const HPA: &[Unit] = &[Unit::of("hPa", 100.0)];
const FEET: &[Unit] = &[Unit::of("ft", M_PER_FT)];
/// Headers of some years say `mi`, others `nmi`. Where none says anything the shorter is taken: less sight is safer.
const MILES: &[Unit] = &[Unit::of("mi", M_PER_MI), Unit::of("nmi", M_PER_NMI)];

/// Meaning of a header's word.
fn means(name: &str) -> Means {
    use Means::Number;
    match name {
        "YY" | "YYYY" => Means::Year,
        "MM" => Means::Month,
        "DD" => Means::Day,
        "hh" => Means::Hour,
        "mm" => Means::Minute,
        "WDIR" | "WD" => Number(Field::WindFrom, DEGREES, 999.0),
        "WSPD" => Number(Field::Wind, SPEED, 99.0),
        "GST" => Number(Field::Gust, SPEED, 99.0),
        "WVHT" => Number(Field::WaveHeight, METRES, 99.0),
        "DPD" => Number(Field::PeakPeriod, SECONDS, 99.0),
        "APD" => Number(Field::MeanPeriod, SECONDS, 99.0),
        "MWD" => Number(Field::WaveFrom, DEGREES, 999.0),
        "PRES" | "BAR" => Number(Field::Pressure, HPA, 9999.0),
        "ATMP" => Number(Field::Air, CELSIUS, 999.0),
        "WTMP" => Number(Field::Water, CELSIUS, 999.0),
        "DEWP" => Number(Field::Dew, CELSIUS, 999.0),
        "VIS" => Number(Field::Visibility, MILES, 99.0),
        "PTDY" => Number(Field::PressureChange, HPA, 99.0),
        "TIDE" => Number(Field::WaterLevel, FEET, 99.0),
        "SwH" => Number(Field::SwellHeight, METRES, 99.0),
        "SwP" => Number(Field::SwellPeriod, SECONDS, 99.0),
        "WWH" => Number(Field::WindSeaHeight, METRES, 99.0),
        "WWP" => Number(Field::WindSeaPeriod, SECONDS, 99.0),
        "SwD" => Means::Compass(Field::SwellFrom),
        "WWD" => Means::Compass(Field::WindSeaFrom),
        "STEEPNESS" => Means::Steepness,
        _ => Means::Unknown,
    }
}

/// Most columns of a header. The agency's widest has nineteen; each is held against all others.
const MOST_COLUMNS: usize = 64;

/// One column of the header in force.
struct Column<'a> {
    name: &'a str,
    means: Means,
    unit: Option<Unit>,
}

/// Words of a line that may begin with `#`.
fn words(line: &str) -> Vec<&str> {
    line.trim_start_matches('#').split_whitespace().collect()
}

/// Whether the words are a header: they begin with the year's name.
fn is_header(words: &[&str]) -> bool {
    matches!(words, ["YY" | "YYYY", "MM", "DD", ..])
}

/// Which of the two formats a text is, by its first header.
pub(super) fn recognise(text: &str) -> Option<Format> {
    let first = text.lines().find(|l| !l.trim().is_empty())?;
    let words = words(first);
    is_header(&words).then(|| {
        if words.contains(&"SwH") || words.contains(&"STEEPNESS") {
            Format::NdbcSpectral
        } else {
            Format::NdbcText
        }
    })
}

/// Reads a text of either format.
pub(super) fn read(name: &str, text: &str, format: Format, told: &Told) -> Result<Report> {
    let source = if format == Format::NdbcSpectral {
        "NDBC spectral wave summary"
    } else {
        "NDBC standard meteorological data"
    };
    let mut draft = Draft::new(format, name, source, Kind::Observed, told);
    // The agency's own heights are above mean lower low water (its page on measurements).
    draft.datum = Known::Known("MLLW".into());
    name_station(&mut draft)?;
    let mut reader = Reader { columns: Vec::new(), units_due: false, no_miles: false, unknown: Vec::new() };
    for (i, line) in text.lines().enumerate() {
        reader.line(&mut draft, i + 1, line)?;
    }
    if reader.columns.is_empty() {
        return Err(draft.refuse(
            "it has no header",
            "a first line beginning with YY or YYYY",
            "fetch the whole file, head and all",
        ));
    }
    if reader.no_miles && draft.has(Field::Visibility) {
        draft
            .notes
            .push("visibility: the header names no unit; read as statute miles, the shorter ones".into());
    }
    if !reader.unknown.is_empty() {
        draft.notes.push(format!("columns left out, unknown here: {}", reader.unknown.join(", ")));
    }
    draft.without_bare_zeros();
    if !matches!(draft.swell_within, Known::Unknown) || !matches!(draft.wind_sea_within, Known::Unknown) {
        draft.notes.push("directions of swell and wind sea are compass words: ±11.25°".into());
    }
    let report = draft.finish(told)?;
    Ok(energy_checked(report))
}

/// The agency names its files by station: `46253.txt`, `46253_5day.txt`, `42040h2005.txt`, `46029.spec`. What is told
/// goes before, but not against such a name: told of all files it may be meant for another.
fn name_station(draft: &mut Draft) -> Result<()> {
    let stem = draft.origin.name.split('.').next().unwrap_or_default();
    let bytes = stem.as_bytes();
    let id = |b: &[u8]| b.iter().all(u8::is_ascii_alphanumeric) && b.iter().any(u8::is_ascii_digit);
    let year =
        |b: &[u8]| b.first() == Some(&b'h') && b.len() == 5 && b.iter().skip(1).all(u8::is_ascii_digit);
    let named = bytes
        .split_at_checked(5)
        .is_some_and(|(station, rest)| id(station) && (rest.is_empty() || rest == b"_5day" || year(rest)));
    let station = named.then(|| stem.chars().take(5).collect::<String>().to_ascii_uppercase());
    match (&draft.origin.station, station) {
        (Known::Known(told), Some(station)) if !told.eq_ignore_ascii_case(&station) => Err(draft.refuse(
            format!("it is told to be of station {}, and its name is that of {station}", clip(told)),
            &format!("station={station}"),
            "name the file before what is told, as FILE: station=..., or give the file its right name",
        )),
        (Known::Known(_), _) => Ok(()),
        (Known::Unknown, Some(station)) => {
            draft.notes.push(format!("station {station}: by the file's name, not by its content"));
            draft.origin.station = Known::Known(station);
            Ok(())
        }
        (Known::Unknown, None) => {
            draft.questions.push("which buoy is this? the file does not name it: tell station=...".into());
            Ok(())
        }
    }
}

struct Reader<'a> {
    columns: Vec<Column<'a>>,
    /// The line behind a `#` header may hold its units.
    units_due: bool,
    no_miles: bool,
    unknown: Vec<&'a str>,
}

impl<'a> Reader<'a> {
    fn line(&mut self, draft: &mut Draft, at: usize, line: &'a str) -> Result<()> {
        let trimmed = line.trim();
        if trimmed.is_empty() {
            return Ok(());
        }
        let words = words(trimmed);
        if is_header(&words) {
            self.units_due = trimmed.starts_with('#');
            return self.header(draft, at, &words);
        }
        if trimmed.starts_with('#') {
            let units = core::mem::take(&mut self.units_due) && matches!(words.first(), Some(&("yr" | "yy")));
            return if units { self.units(draft, at, &words) } else { Ok(()) };
        }
        self.units_due = false;
        if self.columns.is_empty() {
            return Err(draft.refuse(
                format!("line {at} comes before any header"),
                "a first line beginning with YY or YYYY",
                "fetch the whole file, head and all",
            ));
        }
        self.no_miles |= self.columns.iter().any(|c| c.name == "VIS" && c.unit.is_none());
        self.row(draft, at, &words);
        Ok(())
    }

    fn header(&mut self, draft: &Draft, at: usize, words: &[&'a str]) -> Result<()> {
        if words.len() > MOST_COLUMNS {
            return Err(draft.refuse(
                format!("line {at}: the header names {} columns", words.len()),
                &format!("at most {MOST_COLUMNS}"),
                "fetch the file again: its lines have run together",
            ));
        }
        self.columns = words.iter().map(|name| Column { name, means: means(name), unit: None }).collect();
        for (i, c) in self.columns.iter().enumerate() {
            if self.columns.iter().take(i).any(|other| other.name == c.name) {
                return Err(draft.refuse(
                    format!("line {at}: the header names {} twice", clip(c.name)),
                    "each column once",
                    "fetch the file again",
                ));
            }
            if matches!(c.means, Means::Unknown) && !self.unknown.contains(&c.name) && self.unknown.len() < 20
            {
                self.unknown.push(c.name);
            }
        }
        if self.columns.iter().any(|c| matches!(c.name, "PTIME" | "WTIME")) {
            return Err(draft.refuse(
                format!("line {at}: these are the hour's highest wind and lowest pressure, not its readings"),
                "standard meteorological text or a spectral summary",
                "fetch the station's .txt or .spec file",
            ));
        }
        let has = |wanted: fn(&Means) -> bool| self.columns.iter().any(|c| wanted(&c.means));
        if has(|m| matches!(m, Means::Hour)) && has(|m| matches!(m, Means::Year)) {
            return Ok(());
        }
        Err(draft.refuse(
            format!("line {at}: the header names no hour"),
            "YY MM DD hh (mm) and the measurements",
            "fetch the whole file, head and all",
        ))
    }

    fn units(&mut self, draft: &Draft, at: usize, words: &[&str]) -> Result<()> {
        if words.len() != self.columns.len() {
            return Err(draft.refuse(
                format!("line {at}: {} units under {} columns", words.len(), self.columns.len()),
                "one unit, or a dash, under each column",
                "fetch the file again: its head has been cut or joined",
            ));
        }
        for (column, unit) in self.columns.iter_mut().zip(words) {
            let Means::Number(_, allowed, _) = column.means else { continue };
            let Some(known) = allowed.iter().find(|u| u.text == *unit) else {
                let names: Vec<_> = allowed.iter().map(|u| u.text).collect();
                return Err(draft.refuse(
                    format!("line {at}: {} is in `{}`", column.name, clip(unit)),
                    &names.join(" or "),
                    "this file has another unit than the agency's: do not use it unconverted",
                ));
            };
            column.unit = Some(*known);
        }
        Ok(())
    }

    /// Reads one row whole, or notes why not.
    fn row(&self, draft: &mut Draft, line: usize, words: &[&str]) {
        if words.len() != self.columns.len() {
            let why = format!("{} fields under {} columns", words.len(), self.columns.len());
            let text: String = words.join(" ").chars().take(60).collect();
            return draft.bad(line, "row", &text, why);
        }
        let at = match self.time(words) {
            Ok(at) => at,
            Err((column, text, why)) => return draft.bad(line, column, text, why),
        };
        let mut values = Vec::with_capacity(words.len());
        let mut steepness = None;
        let (mut swell_word, mut wind_sea_word) = (false, false);
        for (column, word) in self.columns.iter().zip(words) {
            let read = match column.means {
                Means::Number(field, units, missing) => {
                    let unit = column.unit.or(units.first().copied());
                    let there = |x: &f64| *x != missing && !field.filled(*x);
                    number(word).and_then(|x| match (x.filter(there), unit) {
                        (Some(x), Some(unit)) => field.believe(unit.si(x)).map(|si| Some((field, si))),
                        _ => Ok(None),
                    })
                }
                Means::Compass(field) => compass(word).and_then(|found| match found {
                    Some((deg, by_word)) => {
                        swell_word |= by_word && field == Field::SwellFrom;
                        wind_sea_word |= by_word && field == Field::WindSeaFrom;
                        field.believe(Unit::degrees("").si(deg)).map(|si| Some((field, si)))
                    }
                    None => Ok(None),
                }),
                Means::Steepness => steep(word).map(|s| {
                    steepness = s;
                    None
                }),
                _ => Ok(None),
            };
            match read {
                Ok(Some(value)) => values.push(value),
                Ok(None) => {}
                Err(why) => return draft.bad(line, column.name, word, why),
            }
        }
        draft.row_read();
        for (field, si) in values {
            draft.put(field, at, at, si, line);
        }
        if let Some(value) = steepness {
            draft.steepness.push(Reading { value, from: at, to: at });
        }
        let within = Known::Known(Angle::of_deg(COMPASS_WITHIN_DEG));
        if swell_word {
            draft.swell_within = within;
        }
        if wind_sea_word {
            draft.wind_sea_within = within;
        }
    }

    fn time<'b>(&self, words: &[&'b str]) -> Result<Timestamp, (&'a str, &'b str, String)> {
        let (mut year, mut month, mut day, mut hour, mut minute) = (0_i16, 1_i8, 1_i8, 0_i8, 0_i8);
        let mut last = ("row", "");
        for (column, word) in self.columns.iter().zip(words) {
            let digits = word.len() <= 4 && !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
            let read = || -> Result<i16, (&'a str, &'b str, String)> {
                let value = if digits { word.parse().ok() } else { None };
                value.ok_or((column.name, *word, "this is no part of a time".to_owned()))
            };
            let small = |x: i16| i8::try_from(x).unwrap_or(i8::MAX);
            match column.means {
                Means::Year => {
                    year = match (word.len(), read()?) {
                        // The agency's first buoys lay in the 1970s; two digits ended with 1998.
                        (2, y @ 70..=98) => 1900 + y,
                        (4, y) => y,
                        _ => {
                            return Err((
                                column.name,
                                *word,
                                "a year has four digits, or two up to 98".into(),
                            ));
                        }
                    };
                    last = (column.name, *word);
                }
                Means::Month => month = small(read()?),
                Means::Day => day = small(read()?),
                Means::Hour => hour = small(read()?),
                Means::Minute => minute = small(read()?),
                _ => {}
            }
        }
        let fail = |why: String| (last.0, last.1, why);
        let local = DateTime::new(year, month, day, hour, minute, 0, 0)
            .map_err(|_| fail("there is no such day or hour".into()))?;
        let at = TimeZone::UTC.to_timestamp(local).map_err(|e| fail(e.to_string()))?;
        believable(at).map_err(fail)
    }
}

/// A direction: a compass word, or degrees. Whether it was a word.
fn compass(word: &str) -> Result<Option<(f64, bool)>, String> {
    if let Some(deg) = compass_deg(word) {
        return Ok(Some((deg, true)));
    }
    match number(word) {
        Ok(x) => Ok(x.filter(|x| *x != 999.0).map(|x| (x, false))),
        Err(_) => Err("this is no direction like WNW".into()),
    }
}

fn steep(word: &str) -> Result<Option<Steepness>, String> {
    match word {
        "SWELL" => Ok(Some(Steepness::Swell)),
        "AVERAGE" => Ok(Some(Steepness::Average)),
        "STEEP" => Ok(Some(Steepness::Steep)),
        "VERY_STEEP" => Ok(Some(Steepness::VerySteep)),
        "MM" | "N/A" => Ok(None),
        _ => Err("no word of steepness: SWELL, AVERAGE, STEEP, VERY_STEEP".into()),
    }
}

/// How far the root of the parts' squares may be from the whole: each is rounded to 0.1 m, m.
const ENERGY_WITHIN_M: f64 = 0.15;
/// The same as a share of the whole.
const ENERGY_WITHIN: f64 = 0.1;

/// Compares the energy of swell and wind sea with that of the whole sea, and says where they differ.
fn energy_checked(mut report: Report) -> Report {
    let mut off: Option<(Timestamp, f64, f64)> = None;
    let mut count = 0;
    for whole in &report.wave_height {
        let part = |s: &super::Series<crate::quantity::Length>| s.holding(whole.from).map(|r| r.value.m());
        if let (Some(swell), Some(wind)) = (part(&report.swell.height), part(&report.wind_sea.height)) {
            let sum = (swell * swell + wind * wind).sqrt();
            let h = whole.value.m();
            if (sum - h).abs() > ENERGY_WITHIN_M.max(ENERGY_WITHIN * h) {
                count += 1;
                off = Some((whole.from, sum, h));
            }
        }
    }
    if let Some((at, sum, h)) = off {
        report.notes.push(format!(
            "swell and wind sea do not make up the whole sea in {count} rows; last {at}: {sum:.2} m against {h:.2} m"
        ));
    }
    report
}
