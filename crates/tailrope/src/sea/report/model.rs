//! What a file said, with all that must stay beside its numbers.

use super::series::Series;
use crate::facts::Known;
use crate::quantity::{Angle, Length, Place, Pressure, Span, Speed, Temperature};
use crate::sea::tide::{HighLow, TideTable, TurningPoint};
use crate::{Error, Result};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// The kinds of file that can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Format {
    /// NDBC standard meteorological text, real-time and all historical eras.
    NdbcText,
    /// NDBC spectral wave summary (`.spec`).
    NdbcSpectral,
    /// NOAA CO-OPS answer as JSON.
    CoopsJson,
    /// NOAA CO-OPS answer as CSV.
    CoopsCsv,
    /// NWS gridpoint forecast as JSON.
    NwsGridpoint,
    /// Parallel hourly arrays as JSON, from open weather servers.
    HourlyArrays,
}

impl Format {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::NdbcText,
        Self::NdbcSpectral,
        Self::CoopsJson,
        Self::CoopsCsv,
        Self::NwsGridpoint,
        Self::HourlyArrays,
    ];

    /// The word by which it is told.
    pub fn key(self) -> &'static str {
        match self {
            Self::NdbcText => "ndbc-text",
            Self::NdbcSpectral => "ndbc-spectral",
            Self::CoopsJson => "coops-json",
            Self::CoopsCsv => "coops-csv",
            Self::NwsGridpoint => "nws-gridpoint",
            Self::HourlyArrays => "hourly-arrays",
        }
    }
}

/// How a file's numbers came to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Measured.
    Observed,
    /// Forecast by an agency or a model.
    Forecast,
    /// Predicted tide.
    Predicted,
}

impl Kind {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Observed => "observed",
            Self::Forecast => "forecast",
            Self::Predicted => "predicted",
        }
    }
}

/// Where a file comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Origin {
    /// Its format.
    pub format: Format,
    /// File name as the person knows it.
    pub name: String,
    /// Agency and product, in words.
    pub source: String,
    /// Station by its agency's number or code, or grid cell.
    pub station: Known<String>,
    /// Name of the station, where the file gives one beside the number.
    #[serde(skip_serializing_if = "Known::is_unknown")]
    pub station_name: Known<String>,
    /// Where that is.
    pub place: Known<Place>,
    /// When the file or forecast was issued.
    pub issued: Known<Timestamp>,
    /// The clock of the times in the file.
    pub zone: String,
    /// Terms of use, as far as they are known.
    pub licence: String,
}

impl Origin {
    /// Source, station and file in one line, to stand beside a number.
    pub fn words(&self) -> String {
        match (&self.station, &self.station_name) {
            (Known::Known(id), Known::Known(name)) => format!("{}, {id} {name} ({})", self.source, self.name),
            (Known::Known(station), _) => format!("{}, {station} ({})", self.source, self.name),
            (Known::Unknown, _) => format!("{}, station not said ({})", self.source, self.name),
        }
    }
}

/// One train of waves.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Train {
    /// Significant height.
    pub height: Series<Length>,
    /// Peak period.
    pub period: Series<Span>,
    /// Where it comes from, degrees true.
    pub from: Series<Angle>,
    /// Half-width of the direction, where the file gives a compass word instead of degrees.
    pub from_within: Known<Angle>,
}

impl Train {
    /// Whether nothing of it was read.
    pub fn is_empty(&self) -> bool {
        self.height.is_empty() && self.period.is_empty() && self.from.is_empty()
    }
}

/// Water levels and what they are above.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Levels {
    /// What the levels are above.
    pub datum: Known<String>,
    /// The levels.
    pub series: Series<Length>,
}

/// High and low waters as an agency lists them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ListedWaters {
    /// What the levels are above.
    pub datum: Known<String>,
    /// In order of time.
    pub waters: Vec<TurningPoint>,
}

impl ListedWaters {
    /// The same as a tide table, for a tide between the waters. Refuses waters whose datum nobody said.
    pub fn table(&self, source: &str) -> Result<TideTable> {
        let Known::Known(datum) = &self.datum else {
            return Err(Error::new(
                "the listed waters do not say what they are above",
                "a datum, like MLLW",
                "tell the datum that the request asked for",
            ));
        };
        let water = |w: &TurningPoint| HighLow { at: w.at, water: w.water, height: w.level };
        Ok(TideTable {
            datum: datum.clone(),
            source: source.into(),
            mean_level: None,
            waters: self.waters.iter().map(water).collect(),
        })
    }
}

/// How steep the sea is, in the agency's word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Steepness {
    /// Long swell.
    Swell,
    /// Average.
    Average,
    /// Steep.
    Steep,
    /// Very steep.
    VerySteep,
}

impl Steepness {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Swell => "swell",
            Self::Average => "average",
            Self::Steep => "steep",
            Self::VerySteep => "very steep",
        }
    }
}

/// A row, entry or cell that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BadRow {
    /// Line of the text, or entry of the list, from 1.
    pub line: usize,
    /// Whether `line` counts lines of the text; else entries of a list in JSON.
    pub is_line: bool,
    /// Column or path.
    pub column: String,
    /// What stands there, clipped.
    pub text: String,
    /// What is wrong with it.
    pub why: String,
}

impl core::fmt::Display for BadRow {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let word = if self.is_line { "line" } else { "entry" };
        write!(f, "{word} {}, {} `{}`: {}", self.line, self.column, self.text, self.why)
    }
}

/// What a file said: newest value per quantity, each with its own time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Where it comes from.
    pub origin: Origin,
    /// Observed, forecast or predicted.
    pub kind: Kind,
    /// Significant height of the whole sea.
    pub wave_height: Series<Length>,
    /// Peak period of the whole sea.
    pub peak_period: Series<Span>,
    /// Mean period of the whole sea.
    pub mean_period: Series<Span>,
    /// Where the waves at the peak come from, degrees true.
    pub wave_from: Series<Angle>,
    /// The swell.
    pub swell: Train,
    /// A second swell.
    pub second_swell: Train,
    /// The wind sea.
    pub wind_sea: Train,
    /// The agency's word for the sea's steepness.
    pub steepness: Series<Steepness>,
    /// Wind.
    pub wind: Series<Speed>,
    /// Gusts.
    pub gust: Series<Speed>,
    /// Where the wind comes from, degrees true.
    pub wind_from: Series<Angle>,
    /// Air.
    pub air_temperature: Series<Temperature>,
    /// Water at the surface.
    pub water_temperature: Series<Temperature>,
    /// Dew point.
    pub dew_point: Series<Temperature>,
    /// Air pressure at sea level.
    pub pressure: Series<Pressure>,
    /// Change of the air pressure over three hours.
    pub pressure_change: Series<Pressure>,
    /// How far one sees.
    pub visibility: Series<Length>,
    /// Relative humidity, percent.
    pub humidity_percent: Series<f64>,
    /// Chance of thunder, percent.
    pub thunder_percent: Series<f64>,
    /// Lightning activity level, 1 (none) to 6.
    pub lightning_level: Series<f64>,
    /// Observed water level.
    pub water_level: Option<Levels>,
    /// Predicted or modelled water level.
    pub predicted_level: Option<Levels>,
    /// Listed high and low waters.
    pub listed_waters: Option<ListedWaters>,
    /// Current.
    pub current: Series<Speed>,
    /// Where the current runs to, degrees true.
    pub current_toward: Series<Angle>,
    /// Weather in the forecaster's words.
    pub weather: Series<String>,
    /// Watches, warnings and statements in force.
    pub hazards: Series<String>,
    /// What could not be read and was left out, since the person said so. The first hundred.
    pub bad_rows: Vec<BadRow>,
    /// How many were left out.
    pub bad_row_count: usize,
    /// What a reader must know about the numbers.
    pub notes: Vec<String>,
    /// What is still to be asked.
    pub questions: Vec<String>,
}

impl Report {
    /// One with nothing in it.
    pub fn empty(origin: Origin, kind: Kind) -> Self {
        Self {
            origin,
            kind,
            wave_height: Series::default(),
            peak_period: Series::default(),
            mean_period: Series::default(),
            wave_from: Series::default(),
            swell: Train::default(),
            second_swell: Train::default(),
            wind_sea: Train::default(),
            steepness: Series::default(),
            wind: Series::default(),
            gust: Series::default(),
            wind_from: Series::default(),
            air_temperature: Series::default(),
            water_temperature: Series::default(),
            dew_point: Series::default(),
            pressure: Series::default(),
            pressure_change: Series::default(),
            visibility: Series::default(),
            humidity_percent: Series::default(),
            thunder_percent: Series::default(),
            lightning_level: Series::default(),
            water_level: None,
            predicted_level: None,
            listed_waters: None,
            current: Series::default(),
            current_toward: Series::default(),
            weather: Series::default(),
            hazards: Series::default(),
            bad_rows: Vec::new(),
            bad_row_count: 0,
            notes: Vec::new(),
            questions: Vec::new(),
        }
    }
}
