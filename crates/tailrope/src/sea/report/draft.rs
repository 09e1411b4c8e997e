//! A report in the making: cells by quantity, rows that could not be read, and the last check.

use super::field::{COUNT, Field};
use super::model::{BadRow, Format, Kind, Levels, ListedWaters, Origin, Report, Steepness, Train};
use super::series::{Reading, Series};
use super::told::{At, Told, clip};
use crate::facts::Known;
use crate::quantity::{Angle, Quantity};
use crate::sea::tide::TurningPoint;
use crate::{Error, Result};
use jiff::Timestamp;
use jiff::civil::DateTime;

/// How many bad rows are kept word for word.
const BAD_ROWS_KEPT: usize = 100;

/// Heights that are zero where there is no sea.
const WAVE_HEIGHTS: [Field; 4] =
    [Field::WaveHeight, Field::SwellHeight, Field::SecondSwellHeight, Field::WindSeaHeight];

/// Periods of which one stands beside any genuine height.
const WAVE_PERIODS: [Field; 5] = [
    Field::PeakPeriod,
    Field::MeanPeriod,
    Field::SwellPeriod,
    Field::SecondSwellPeriod,
    Field::WindSeaPeriod,
];

/// One value, SI, with its time and the row it stood in.
#[derive(Clone, Copy, Debug)]
struct Cell {
    from: Timestamp,
    to: Timestamp,
    si: f64,
    row: usize,
}

/// A report in the making.
pub(super) struct Draft {
    pub origin: Origin,
    pub kind: Kind,
    /// Whether bad rows are counted by lines of the text or by entries of a list.
    pub rows_are_lines: bool,
    pub datum: Known<String>,
    pub swell_within: Known<Angle>,
    pub wind_sea_within: Known<Angle>,
    pub notes: Vec<String>,
    pub questions: Vec<String>,
    pub steepness: Vec<Reading<Steepness>>,
    pub weather: Vec<Reading<String>>,
    pub hazards: Vec<Reading<String>>,
    pub waters: Vec<TurningPoint>,
    cells: [Vec<Cell>; COUNT],
    bad: Vec<BadRow>,
    bad_count: usize,
    rows: usize,
}

impl Draft {
    pub fn new(format: Format, name: &str, source: &str, kind: Kind, told: &Told) -> Self {
        Self {
            origin: Origin {
                format,
                name: name.into(),
                source: source.into(),
                station: told.station.clone().into(),
                station_name: Known::Unknown,
                place: told.at.and_then(At::place).into(),
                issued: Known::Unknown,
                zone: "UTC".into(),
                licence: "public domain: data of the United States government".into(),
            },
            kind,
            rows_are_lines: true,
            datum: Known::Unknown,
            swell_within: Known::Unknown,
            wind_sea_within: Known::Unknown,
            notes: Vec::new(),
            questions: Vec::new(),
            steepness: Vec::new(),
            weather: Vec::new(),
            hazards: Vec::new(),
            waters: Vec::new(),
            cells: core::array::from_fn(|_| Vec::new()),
            bad: Vec::new(),
            bad_count: 0,
            rows: 0,
        }
    }

    /// A row was read, whether or not a value stood in it.
    pub fn row_read(&mut self) {
        self.rows += 1;
    }

    /// A value that its quantity believes.
    pub fn put(&mut self, field: Field, from: Timestamp, to: Timestamp, si: f64, row: usize) {
        if let Some(cells) = self.cells.get_mut(field as usize) {
            cells.push(Cell { from, to, si, row });
        }
    }

    /// Whether anything was put under a quantity.
    pub fn has(&self, field: Field) -> bool {
        self.cells.get(field as usize).is_some_and(|c| !c.is_empty())
    }

    /// Keeps only those values of a quantity for which `keep` says so, given value and time. How many went.
    fn retain(&mut self, field: Field, keep: impl Fn(f64, Timestamp, Timestamp) -> bool) -> usize {
        let Some(cells) = self.cells.get_mut(field as usize) else { return 0 };
        let before = cells.len();
        cells.retain(|c| keep(c.si, c.from, c.to));
        before - cells.len()
    }

    /// Takes away heights of zero over any part of which no period holds: a forecast of flat water has periods, a place
    /// without waves in the model has none.
    pub fn without_bare_zeros(&mut self) {
        let mut periods: Vec<(Timestamp, Timestamp)> = WAVE_PERIODS
            .iter()
            .filter_map(|f| self.cells.get(*f as usize))
            .flatten()
            .map(|c| (c.from, c.to))
            .collect();
        periods.sort_unstable();
        // Stretches without a gap between them.
        let mut joined: Vec<(Timestamp, Timestamp)> = Vec::with_capacity(periods.len());
        for (from, to) in periods {
            match joined.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => joined.push((from, to)),
            }
        }
        let covered = |from: Timestamp, to: Timestamp| {
            let begun = joined.partition_point(|j| j.0 <= from);
            begun.checked_sub(1).and_then(|i| joined.get(i)).is_some_and(|j| j.1 >= to)
        };
        let gone: usize =
            WAVE_HEIGHTS.iter().map(|f| self.retain(*f, |si, from, to| si > 0.0 || covered(from, to))).sum();
        if gone > 0 {
            self.notes
                .push("wave heights of zero without a period are no forecast, and were left out".into());
        }
    }

    /// Notes a row that could not be read.
    pub fn bad(&mut self, line: usize, column: impl AsRef<str>, text: &str, why: impl Into<String>) {
        self.bad_count += 1;
        if self.bad.len() < BAD_ROWS_KEPT {
            self.bad.push(BadRow {
                line,
                is_line: self.rows_are_lines,
                column: clip(column.as_ref()),
                text: clip(text),
                why: why.into(),
            });
        }
    }

    /// A refusal of the whole file.
    pub fn refuse(&self, error: impl Into<String>, allowed: &str, remedy: &str) -> Error {
        Error::new(error, allowed, remedy).within(&self.origin.name)
    }

    /// Puts the cells in order and makes the report. Refuses bad rows unless told to leave them out, and a file in
    /// which nothing could be read.
    pub fn finish(mut self, told: &Told) -> Result<Report> {
        for field in 0..COUNT {
            self.settle(field);
        }
        self.waters.sort_by_key(|w| w.at);
        if self.bad_count > 0 && !told.skip_bad_rows {
            let first = self.bad.iter().min_by_key(|b| b.line).map_or(String::new(), ToString::to_string);
            return Err(self.refuse(
                format!("{} of its rows cannot be read; the first: {first}", self.bad_count),
                "rows as the agency sends them",
                "fetch the file again or correct it, or say that bad rows may be left out (they are then listed)",
            ));
        }
        if self.rows == 0 {
            return Err(self.refuse(
                "it holds no reading",
                "at least one row",
                "ask the agency again; no data is not calm water",
            ));
        }
        self.bad.sort_by_key(|b| b.line);
        if self.bad_count > 0 {
            self.notes.push(format!("{} rows could not be read and were left out", self.bad_count));
        }
        Ok(self.into_report())
    }

    /// Orders one quantity in time. The same time twice with the same value is one reading; with two values neither
    /// can be trusted, and both go.
    fn settle(&mut self, field: usize) {
        let Some(cells) = self.cells.get_mut(field) else { return };
        let mut cells = core::mem::take(cells);
        cells.sort_by_key(|c| (c.from, c.row));
        let mut kept: Vec<Cell> = Vec::with_capacity(cells.len());
        let mut twice = Vec::new();
        for group in cells.chunk_by(|a, b| a.from == b.from) {
            let [first, rest @ ..] = group else { continue };
            match rest.iter().find(|c| c.si != first.si) {
                None => kept.push(*first),
                Some(other) => twice.push((*first, *other)),
            }
        }
        let name = FIELDS.get(field).map_or("", |f| f.plausible().name);
        for (a, b) in twice {
            self.bad(
                b.row,
                name,
                &a.from.to_string(),
                format!("row {} gives another value for the same time", a.row),
            );
        }
        if let Some(place) = self.cells.get_mut(field) {
            *place = kept;
        }
    }

    fn take<Q: Quantity>(&mut self, field: Field) -> Series<Q> {
        self.take_with(field, Q::from_si)
    }

    fn take_with<Q>(&mut self, field: Field, of: impl Fn(f64) -> Q) -> Series<Q> {
        let cells = self.cells.get_mut(field as usize).map(core::mem::take).unwrap_or_default();
        Series::new(cells.into_iter().map(|c| Reading { value: of(c.si), from: c.from, to: c.to }).collect())
    }

    fn levels(&mut self, field: Field) -> Option<Levels> {
        let series = self.take(field);
        (!series.is_empty()).then(|| Levels { datum: self.datum.clone(), series })
    }

    fn into_report(mut self) -> Report {
        let waters = core::mem::take(&mut self.waters);
        let mut report = Report {
            wave_height: self.take(Field::WaveHeight),
            peak_period: self.take(Field::PeakPeriod),
            mean_period: self.take(Field::MeanPeriod),
            wave_from: self.take(Field::WaveFrom),
            swell: Train {
                height: self.take(Field::SwellHeight),
                period: self.take(Field::SwellPeriod),
                from: self.take(Field::SwellFrom),
                from_within: self.swell_within,
            },
            second_swell: Train {
                height: self.take(Field::SecondSwellHeight),
                period: self.take(Field::SecondSwellPeriod),
                from: self.take(Field::SecondSwellFrom),
                from_within: Known::Unknown,
            },
            wind_sea: Train {
                height: self.take(Field::WindSeaHeight),
                period: self.take(Field::WindSeaPeriod),
                from: self.take(Field::WindSeaFrom),
                from_within: self.wind_sea_within,
            },
            wind: self.take(Field::Wind),
            gust: self.take(Field::Gust),
            wind_from: self.take(Field::WindFrom),
            air_temperature: self.take(Field::Air),
            water_temperature: self.take(Field::Water),
            dew_point: self.take(Field::Dew),
            pressure: self.take(Field::Pressure),
            pressure_change: self.take(Field::PressureChange),
            visibility: self.take(Field::Visibility),
            humidity_percent: self.take_with(Field::Humidity, |x| x),
            thunder_percent: self.take_with(Field::Thunder, |x| x),
            lightning_level: self.take_with(Field::Lightning, |x| x),
            water_level: self.levels(Field::WaterLevel),
            predicted_level: self.levels(Field::PredictedLevel),
            listed_waters: (!waters.is_empty()).then(|| ListedWaters { datum: self.datum.clone(), waters }),
            current: self.take(Field::Current),
            current_toward: self.take(Field::CurrentToward),
            ..Report::empty(self.origin, self.kind)
        };
        report.steepness = Series::new(self.steepness);
        report.weather = Series::new(self.weather);
        report.hazards = Series::new(self.hazards);
        report.bad_rows = self.bad;
        report.bad_row_count = self.bad_count;
        report.notes = self.notes;
        report.questions = self.questions;
        report
    }
}

/// All quantities, each at its own place.
const FIELDS: [Field; COUNT] = [
    Field::WaveHeight,
    Field::PeakPeriod,
    Field::MeanPeriod,
    Field::WaveFrom,
    Field::SwellHeight,
    Field::SwellPeriod,
    Field::SwellFrom,
    Field::SecondSwellHeight,
    Field::SecondSwellPeriod,
    Field::SecondSwellFrom,
    Field::WindSeaHeight,
    Field::WindSeaPeriod,
    Field::WindSeaFrom,
    Field::Wind,
    Field::Gust,
    Field::WindFrom,
    Field::Air,
    Field::Water,
    Field::Dew,
    Field::Pressure,
    Field::PressureChange,
    Field::Visibility,
    Field::Humidity,
    Field::Thunder,
    Field::Lightning,
    Field::WaterLevel,
    Field::PredictedLevel,
    Field::Current,
    Field::CurrentToward,
];

/// Refuses a year in which no file of this kind can speak.
pub(super) fn believable(at: Timestamp) -> Result<Timestamp, String> {
    // 1900-01-01 and 2100-01-01.
    if (-2_208_988_800..4_102_444_800).contains(&at.as_second()) {
        return Ok(at);
    }
    Err(format!("{at} is outside the years 1900 to 2100"))
}

/// Reads `2026-10-01 00:06`, `2026-10-01T00:06` and the same with seconds: a local time, without offset.
pub(super) fn local_time(text: &str) -> Result<DateTime, String> {
    let t = text.trim();
    let shape = t.len() >= 16
        && t.bytes().enumerate().all(|(i, b)| match i {
            4 | 7 => b == b'-',
            10 => b == b' ' || b == b'T',
            13 | 16 => b == b':',
            _ => b.is_ascii_digit(),
        })
        && matches!(t.len(), 16 | 19);
    let read = || -> Option<DateTime> {
        let part = |a: usize, b: usize| t.get(a..b)?.parse::<i16>().ok();
        let small = |a: usize| part(a, a + 2).and_then(|x| i8::try_from(x).ok());
        let second = if t.len() == 19 { small(17)? } else { 0 };
        DateTime::new(part(0, 4)?, small(5)?, small(8)?, small(11)?, small(14)?, second, 0).ok()
    };
    if !shape {
        return Err("this is no time like 2026-10-01 00:06".into());
    }
    read().ok_or_else(|| "there is no such day or hour".into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_quantity_has_its_own_place() {
        assert!(FIELDS.iter().enumerate().all(|(i, f)| *f as usize == i));
    }

    #[test]
    fn times_are_read_strictly() {
        assert_eq!(local_time("2026-10-01 00:06").unwrap().to_string(), "2026-10-01T00:06:00");
        assert_eq!(local_time("2026-10-01T00:06:30").unwrap().to_string(), "2026-10-01T00:06:30");
        for t in [
            "2026-10-01",
            "2026-13-01 00:00",
            "2026-02-30 00:00",
            "2026-10-01 24:00",
            "2026-10-01 00:6",
            "é026-10-01 00:06",
            "2026-10-01 00:06Z",
        ] {
            assert!(local_time(t).is_err(), "{t}");
        }
        assert!(believable("2100-01-01T00:00Z".parse().unwrap()).is_err());
        assert!(believable("1899-12-31T23:59Z".parse().unwrap()).is_err());
    }
}
