//! What buoys, gauges and forecasts said of these nights, as it stands in an outing.
//!
//! An agency's file is read by the face, understood by [`crate::sea::report`] and sifted to the few readings that bear
//! on the nights; those stand in the outing, so that the outing stays whole in itself: the same bytes give the same plan
//! on any machine, with no file beside them. A crew may write such a section by hand.

use crate::facts::Known;
use crate::quantity::{Angle, Length, Place, Quantity, Span, Speed, Temperature};
use crate::sea::report::believed;
use crate::sea::tide::Water;
use crate::{Error, Result};
use jiff::Timestamp;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Most readings of one quantity in one report.
pub const MOST_READINGS: usize = 1000;

/// An instant in universal time: `2026-10-17T23:30Z`, or with any other offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Instant(pub Timestamp);

impl core::str::FromStr for Instant {
    type Err = Error;
    fn from_str(t: &str) -> Result<Self> {
        t.trim().parse::<Timestamp>().map(Self).map_err(|_| {
            let shown: String = t.chars().take(40).collect();
            Error::new(
                format!("`{shown}` is not an instant"),
                "a day, a clock time and an offset, like 2026-10-17T23:30Z or 2026-10-17T18:30-05:00",
                "write it with its offset from universal time",
            )
        })
    }
}
impl core::fmt::Display for Instant {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}", self.0)
    }
}
impl Serialize for Instant {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.to_string())
    }
}
impl<'de> Deserialize<'de> for Instant {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        String::deserialize(d)?.parse().map_err(de::Error::custom)
    }
}
impl schemars::JsonSchema for Instant {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Instant".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "an instant with its offset, like 2026-10-17T23:30Z" })
    }
}

/// One value and the time of which it speaks.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Said<Q> {
    /// The value.
    pub value: Q,
    /// When it was measured, or when it begins to hold.
    pub from: Instant,
    /// When it ceases to hold; a forecast without it holds until the next of its kind, an hour at least and three at
    /// most.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Instant>,
}

/// Whether it was measured or foretold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ReportKind {
    /// Measured by an instrument.
    Observed,
    /// Forecast by an agency or a model.
    Forecast,
    /// Predicted from the tide alone.
    Predicted,
}

impl ReportKind {
    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Observed => "observed",
            Self::Forecast => "forecast",
            Self::Predicted => "predicted",
        }
    }
}

/// A high or low water of an agency's list.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ListedWater {
    /// High or low.
    pub water: Water,
    /// Its level above the datum.
    pub level: Length,
    /// When.
    pub at: Instant,
}

/// What one source said.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Report {
    /// Who said it: agency, product, station.
    pub source: String,
    /// Measured or foretold.
    pub kind: ReportKind,
    /// When a forecast was issued.
    #[serde(default)]
    pub issued: Known<Instant>,
    /// Station of the agency that made it.
    #[serde(default)]
    pub station: Known<String>,
    /// Degrees north of the place it speaks of.
    #[serde(default)]
    pub latitude: Known<f64>,
    /// Degrees east.
    #[serde(default)]
    pub longitude: Known<f64>,
    /// Terms of use, shown among the sources.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub licence: String,
    /// Significant wave height.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wave_height: Vec<Said<Length>>,
    /// Peak period.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wave_period: Vec<Said<Span>>,
    /// Mean period.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mean_period: Vec<Said<Span>>,
    /// Where the waves come from, degrees true.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub waves_from: Vec<Said<Angle>>,
    /// Height of the swell alone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub swell_height: Vec<Said<Length>>,
    /// Its period.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub swell_period: Vec<Said<Span>>,
    /// Height of a second swell.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub second_swell_height: Vec<Said<Length>>,
    /// Its period.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub second_swell_period: Vec<Said<Span>>,
    /// Height of the wind sea alone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wind_sea_height: Vec<Said<Length>>,
    /// Its period.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wind_sea_period: Vec<Said<Span>>,
    /// Water temperature.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub water_temperature: Vec<Said<Temperature>>,
    /// Mean wind.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wind: Vec<Said<Speed>>,
    /// Gusts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gust: Vec<Said<Speed>>,
    /// Where the wind comes from, degrees true.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub wind_from: Vec<Said<Angle>>,
    /// Air temperature.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub air_temperature: Vec<Said<Temperature>>,
    /// How far one can see.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub visibility: Vec<Said<Length>>,
    /// Relative humidity, per cent.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub humidity: Vec<Said<f64>>,
    /// Chance of thunder, per cent.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub thunder_chance: Vec<Said<f64>>,
    /// Lightning activity level, 1 (none) to 6.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lightning_level: Vec<Said<f64>>,
    /// Current, whichever way it runs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub current: Vec<Said<Speed>>,
    /// Weather in the forecaster's words, parted by `;`: `likely heavy thunderstorms; dense fog`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weather: Vec<Said<String>>,
    /// Warnings, watches, advisories and statements in force, parted by `;`: `high surf warning (SU.W)`. One without an
    /// end is in force from its beginning on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<Said<String>>,
    /// Water level above `datum`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub water_level: Vec<Said<Length>>,
    /// High and low waters as the agency lists them, above `datum`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub listed_waters: Vec<ListedWater>,
    /// What the levels are above: `MLLW`.
    #[serde(default)]
    pub datum: Known<String>,
    /// What a reader must know about the numbers, and what is still to be asked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

impl Report {
    /// One with nothing in it.
    pub fn new(source: impl Into<String>, kind: ReportKind) -> Self {
        Self {
            source: source.into(),
            kind,
            issued: Known::Unknown,
            station: Known::Unknown,
            latitude: Known::Unknown,
            longitude: Known::Unknown,
            licence: String::new(),
            wave_height: Vec::new(),
            wave_period: Vec::new(),
            mean_period: Vec::new(),
            waves_from: Vec::new(),
            swell_height: Vec::new(),
            swell_period: Vec::new(),
            second_swell_height: Vec::new(),
            second_swell_period: Vec::new(),
            wind_sea_height: Vec::new(),
            wind_sea_period: Vec::new(),
            water_temperature: Vec::new(),
            wind: Vec::new(),
            gust: Vec::new(),
            wind_from: Vec::new(),
            air_temperature: Vec::new(),
            visibility: Vec::new(),
            humidity: Vec::new(),
            thunder_chance: Vec::new(),
            lightning_level: Vec::new(),
            current: Vec::new(),
            weather: Vec::new(),
            hazards: Vec::new(),
            water_level: Vec::new(),
            listed_waters: Vec::new(),
            datum: Known::Unknown,
            notes: Vec::new(),
        }
    }

    /// The place it speaks of, where that is said.
    pub fn place(&self) -> Option<Place> {
        let (Known::Known(latitude), Known::Known(longitude)) = (self.latitude, self.longitude) else {
            return None;
        };
        Place::of_deg(latitude, longitude).ok()
    }

    /// Whether it holds neither a reading nor a note.
    pub fn says_nothing(&self) -> bool {
        self.reads_nothing() && self.notes.is_empty()
    }

    /// Whether it holds no reading.
    pub fn reads_nothing(&self) -> bool {
        let levels = [
            self.wave_height.len(),
            self.wave_period.len(),
            self.mean_period.len(),
            self.waves_from.len(),
            self.swell_height.len(),
            self.swell_period.len(),
            self.second_swell_height.len(),
            self.second_swell_period.len(),
            self.wind_sea_height.len(),
            self.wind_sea_period.len(),
            self.water_temperature.len(),
            self.wind.len(),
            self.gust.len(),
            self.wind_from.len(),
            self.air_temperature.len(),
            self.visibility.len(),
            self.humidity.len(),
            self.thunder_chance.len(),
            self.lightning_level.len(),
            self.current.len(),
            self.weather.len(),
            self.hazards.len(),
            self.water_level.len(),
            self.listed_waters.len(),
        ];
        levels.iter().all(|n| *n == 0)
    }

    /// Checks bounds, order and number of the readings.
    pub(super) fn check(&self) -> Result<(), (String, Error)> {
        if let (Known::Known(latitude), Known::Known(longitude)) = (self.latitude, self.longitude) {
            Place::of_deg(latitude, longitude).map_err(|e| ("latitude".to_owned(), e))?;
        }
        column("wave_height", &self.wave_height, believed::wave_height())?;
        column("swell_height", &self.swell_height, believed::wave_height())?;
        column("second_swell_height", &self.second_swell_height, believed::wave_height())?;
        column("second_swell_period", &self.second_swell_period, believed::wave_period())?;
        column("wind_sea_height", &self.wind_sea_height, believed::wave_height())?;
        column("wave_period", &self.wave_period, believed::wave_period())?;
        column("mean_period", &self.mean_period, believed::wave_period())?;
        column("swell_period", &self.swell_period, believed::wave_period())?;
        column("wind_sea_period", &self.wind_sea_period, believed::wave_period())?;
        column("waves_from", &self.waves_from, TURN)?;
        column("wind_from", &self.wind_from, TURN)?;
        column("water_temperature", &self.water_temperature, believed::water_temperature())?;
        column("wind", &self.wind, believed::wind())?;
        column("gust", &self.gust, believed::wind())?;
        column("air_temperature", &self.air_temperature, believed::air_temperature())?;
        column("visibility", &self.visibility, believed::visibility())?;
        column("current", &self.current, believed::current())?;
        column("water_level", &self.water_level, believed::water_level())?;
        let waters: Vec<Said<Length>> =
            self.listed_waters.iter().map(|w| Said { value: w.level, from: w.at, to: None }).collect();
        column("listed_waters", &waters, believed::water_level())?;
        for (name, list, (min, max)) in [
            ("humidity", &self.humidity, believed::PERCENT),
            ("thunder_chance", &self.thunder_chance, believed::PERCENT),
            ("lightning_level", &self.lightning_level, believed::LIGHTNING_LEVEL),
        ] {
            times(name, list)?;
            for (i, s) in list.iter().enumerate() {
                super::check::number(&format!("{name}[{i}].value"), s.value, min, max)?;
            }
        }
        for (name, list) in [("weather", &self.weather), ("hazards", &self.hazards)] {
            times(name, list)?;
            for (i, s) in list.iter().enumerate() {
                words(&format!("{name}[{i}].value"), &s.value)?;
            }
        }
        Ok(())
    }
}

/// Directions may be written either way round.
const TURN: (Angle, Angle) = (Angle::of_deg(-360.0), Angle::of_deg(360.0));

fn column<Q: Quantity>(name: &str, list: &[Said<Q>], (min, max): (Q, Q)) -> Result<(), (String, Error)> {
    times(name, list)?;
    for (i, s) in list.iter().enumerate() {
        let path = format!("{name}[{i}].value");
        s.value.within(name, min, max).map_err(|e| (path, e))?;
    }
    Ok(())
}

/// Longest words of one reading: what an agency may put into one, eight kinds of weather of three words each.
const MOST_WORDS: usize = 2000;

fn words(path: &str, text: &str) -> Result<(), (String, Error)> {
    if text.trim().is_empty() || text.chars().count() > MOST_WORDS || text.chars().any(char::is_control) {
        let error = Error::new(
            "these words are empty, too long or hold control characters",
            format!("1 to {MOST_WORDS} characters"),
            "write them anew, or leave the reading out",
        );
        return Err((path.to_owned(), error));
    }
    Ok(())
}

fn times<Q>(name: &str, list: &[Said<Q>]) -> Result<(), (String, Error)> {
    if list.len() > MOST_READINGS {
        return Err((
            name.to_owned(),
            Error::new(
                format!("{} readings of {name}", list.len()),
                format!("at most {MOST_READINGS}"),
                "keep those of the nights that are planned",
            ),
        ));
    }
    let unordered = list.windows(2).position(|w| matches!(w, [a, b] if a.from > b.from));
    let backward = list.iter().position(|s| s.to.is_some_and(|to| to < s.from));
    match unordered.map(|i| i + 1).or(backward) {
        None => Ok(()),
        Some(i) => Err((
            format!("{name}[{i}]"),
            Error::new(
                "this reading begins before the one above it, or ends before it begins",
                "readings in order of time",
                "put the oldest first",
            ),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(value: f64, from: &str) -> Said<Length> {
        Said { value: Length::of_m(value), from: from.parse().unwrap(), to: None }
    }

    #[test]
    fn stands_in_toml_and_reads_back() {
        let mut r = Report::new("a buoy", ReportKind::Observed);
        r.wave_height = vec![said(0.7, "2026-09-26T04:26Z"), said(0.75, "2026-09-26T04:56Z")];
        r.humidity = vec![Said { value: 80.0, from: "2026-09-26T00:00-05:00".parse().unwrap(), to: None }];
        let text = toml::to_string(&r).unwrap();
        assert!(text.contains("2026-09-26T05:00:00Z"), "{text}");
        assert_eq!(toml::from_str::<Report>(&text).unwrap(), r);
        assert!(r.check().is_ok());
    }

    #[test]
    fn refuses_disorder_and_absurd_values() {
        let mut r = Report::new("a buoy", ReportKind::Observed);
        r.wave_height = vec![said(0.7, "2026-09-26T05:26Z"), said(0.7, "2026-09-26T04:56Z")];
        assert_eq!(r.check().unwrap_err().0, "wave_height[1]");
        r.wave_height = vec![said(99.0, "2026-09-26T05:26Z")];
        assert_eq!(r.check().unwrap_err().0, "wave_height[0].value");
        r.wave_height = vec![said(0.7, "2026-09-26T05:26Z"); MOST_READINGS + 1];
        assert!(r.check().unwrap_err().1.error.contains("readings"));
        r.wave_height.clear();
        r.thunder_chance =
            vec![Said { value: f64::NAN, from: "2026-09-26T00:00Z".parse().unwrap(), to: None }];
        assert!(r.check().is_err());
        assert!("2026-09-26T04:56".parse::<Instant>().is_err(), "no offset");
    }
}
