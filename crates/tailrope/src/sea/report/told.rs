//! What a person says about a file that the file does not say itself.

use super::Format;
use crate::quantity::Place;
use crate::{Error, Result};
use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, Dst, TimeZone};
use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

/// What the request for a file asked for, as far as the answer does not repeat it.
///
/// As text, parts with commas between them: `datum=MLLW, units=metric, zone=lst_ldt America/Chicago`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Told {
    /// The format, where the content alone is not to decide it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub format: Option<Format>,
    /// What a CO-OPS answer holds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub product: Option<Product>,
    /// The station asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station: Option<String>,
    /// What levels are above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub datum: Option<String>,
    /// Metric or English units.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub units: Option<UnitSystem>,
    /// The clock of its times.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<Clock>,
    /// Where it was measured, where the file does not say it: degrees north and east.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
    /// Whether rows that cannot be read are left out and listed, instead of the file being refused.
    #[serde(skip_serializing_if = "core::ops::Not::not")]
    pub skip_bad_rows: bool,
}

/// A place as told: `27.58 -97.22`, degrees north and east. Thousandths of a degree are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct At {
    north: i32,
    east: i32,
}

impl At {
    /// As a place; none of a place that is not on Earth is ever told.
    pub fn place(self) -> Option<Place> {
        Place::of_deg(f64::from(self.north) / 1000.0, f64::from(self.east) / 1000.0).ok()
    }
}

impl core::str::FromStr for At {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        if let Ok(place) = text.parse::<Place>() {
            #[allow(clippy::cast_possible_truncation)] // within a circle
            let thousandths = |deg: f64| (deg * 1000.0).round() as i32;
            return Ok(Self {
                north: thousandths(place.latitude_deg()),
                east: thousandths(place.longitude_deg()),
            });
        }
        Err(Error::new(
            format!("`{}` is no place", clip(text)),
            "degrees north, a blank, degrees east; south and west with a minus, or N, S, E, W behind the number",
            "write it like at=27.58 -97.22",
        ))
    }
}

impl core::fmt::Display for At {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} {}", f64::from(self.north) / 1000.0, f64::from(self.east) / 1000.0)
    }
}

impl TryFrom<String> for At {
    type Error = Error;
    fn try_from(text: String) -> Result<Self> {
        text.parse()
    }
}

impl From<At> for String {
    fn from(at: At) -> Self {
        at.to_string()
    }
}

impl schemars::JsonSchema for At {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "At".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "degrees north and east, like 27.58 -97.22" })
    }
}

impl Told {
    /// What this says and, where it says nothing, what `other` says.
    #[must_use]
    pub fn or(self, other: &Self) -> Self {
        Self {
            format: self.format.or(other.format),
            product: self.product.or(other.product),
            station: self.station.or_else(|| other.station.clone()),
            datum: self.datum.or_else(|| other.datum.clone()),
            units: self.units.or(other.units),
            zone: self.zone.or_else(|| other.zone.clone()),
            at: self.at.or(other.at),
            skip_bad_rows: self.skip_bad_rows || other.skip_bad_rows,
        }
    }
}

/// What a CO-OPS answer holds; several answers look alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Product {
    /// Observed water level.
    WaterLevel,
    /// Predicted water level, every few minutes or high and low.
    Predictions,
    /// Wind and gusts.
    Wind,
    /// Air temperature.
    AirTemperature,
    /// Water temperature.
    WaterTemperature,
    /// Air pressure.
    AirPressure,
}

impl Product {
    const ALL: [(Self, &'static str, &'static str); 6] = [
        (Self::WaterLevel, "water_level", "observed water level"),
        (Self::Predictions, "predictions", "predicted tide"),
        (Self::Wind, "wind", "wind"),
        (Self::AirTemperature, "air_temperature", "air temperature"),
        (Self::WaterTemperature, "water_temperature", "water temperature"),
        (Self::AirPressure, "air_pressure", "air pressure"),
    ];

    fn row(self) -> &'static (Self, &'static str, &'static str) {
        Self::ALL.iter().find(|p| p.0 == self).unwrap_or(&Self::ALL[0])
    }

    /// The agency's own word, as told.
    pub fn key(self) -> &'static str {
        self.row().1
    }

    /// In words.
    pub fn words(self) -> &'static str {
        self.row().2
    }
}

/// The two unit systems of a CO-OPS request.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// Metres, metres a second, Celsius.
    Metric,
    /// Feet, knots, Fahrenheit.
    English,
}

impl UnitSystem {
    /// The agency's own word.
    pub fn key(self) -> &'static str {
        match self {
            Self::Metric => "metric",
            Self::English => "english",
        }
    }
}

/// The clock by which a file's times are written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Clock {
    /// Universal time.
    Gmt,
    /// Standard time of a zone, the year round.
    Standard(String),
    /// Local time of a zone, with its clock changes.
    Local(String),
}

/// An instant read from a local time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Instant {
    pub at: Timestamp,
    /// The clock showed this time twice, and nothing says which was meant.
    pub twice: bool,
}

impl Clock {
    /// As told and shown: `gmt`, `lst America/Chicago`, `lst_ldt America/Chicago`.
    pub fn words(&self) -> String {
        match self {
            Self::Gmt => "gmt".into(),
            Self::Standard(zone) => format!("lst {zone}"),
            Self::Local(zone) => format!("lst_ldt {zone}"),
        }
    }

    /// The instant of a local time. `after` is the instant of the row before it in a file that runs forward: of
    /// an hour that the clock shows twice it tells which. Refuses a time that the clock leaves out.
    pub(super) fn instant(&self, local: DateTime, after: Option<Timestamp>) -> Result<Instant, String> {
        let beyond = |e: jiff::Error| format!("the time {local} cannot be placed: {e}");
        let plain = |at| Instant { at, twice: false };
        match self {
            Self::Gmt => TimeZone::UTC.to_timestamp(local).map(plain).map_err(beyond),
            Self::Standard(zone) => {
                let tz = TimeZone::get(zone).map_err(beyond)?;
                let near = tz.to_timestamp(local).map_err(beyond)?;
                TimeZone::fixed(standard_offset(&tz, near)).to_timestamp(local).map(plain).map_err(beyond)
            }
            Self::Local(zone) => {
                let tz = TimeZone::get(zone).map_err(beyond)?;
                match tz.to_ambiguous_timestamp(local).offset() {
                    AmbiguousOffset::Unambiguous { offset } => {
                        offset.to_timestamp(local).map(plain).map_err(beyond)
                    }
                    AmbiguousOffset::Gap { .. } => {
                        Err(format!("the clock of {zone} leaves out {local} (it goes forward then)"))
                    }
                    AmbiguousOffset::Fold { before, after: later } => {
                        let (first, second) = (
                            before.to_timestamp(local).map_err(beyond)?,
                            later.to_timestamp(local).map_err(beyond)?,
                        );
                        // Rows six minutes apart: the row before shows whether the first turn is over. With a
                        // longer gap either may be meant.
                        match after {
                            Some(last) if last >= first => Ok(plain(second)),
                            Some(last) if first.duration_since(last) < SignedDuration::from_mins(61) => {
                                Ok(plain(first))
                            }
                            _ => Ok(Instant { at: first, twice: true }),
                        }
                    }
                }
            }
        }
    }
}

/// Offset of a zone's standard time around an instant: that of the nearest time before it without summer time.
fn standard_offset(tz: &TimeZone, at: Timestamp) -> jiff::tz::Offset {
    let now = tz.to_offset_info(at);
    if now.dst() == Dst::No {
        return now.offset();
    }
    tz.preceding(at).take(4).find(|t| t.dst() == Dst::No).map_or(now.offset(), |t| t.offset())
}

impl TryFrom<String> for Clock {
    type Error = Error;
    fn try_from(text: String) -> Result<Self> {
        text.parse()
    }
}

impl From<Clock> for String {
    fn from(c: Clock) -> Self {
        c.words()
    }
}

impl core::str::FromStr for Clock {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let text = text.trim();
        let refuse = |why: String| {
            Error::new(
                why,
                "gmt, lst ZONE or lst_ldt ZONE, like lst_ldt America/Chicago",
                "say which clock the request asked for, and the station's time zone",
            )
        };
        let (word, zone) = text.split_once([' ', ':']).unwrap_or((text, ""));
        let zone = zone.trim();
        let word = word.trim().to_ascii_lowercase();
        if word == "gmt" || word == "utc" {
            return if zone.is_empty() {
                Ok(Self::Gmt)
            } else {
                Err(refuse(format!("`{}` says gmt and a zone", clip(text))))
            };
        }
        if word != "lst" && word != "lst_ldt" {
            return Err(refuse(format!("`{}` is no clock", clip(text))));
        }
        if zone.is_empty() {
            return Err(refuse(format!("`{word}` is the station's local time, and its zone is not said")));
        }
        if TimeZone::get(zone).is_err() {
            return Err(refuse(format!("`{}` is no time zone", clip(zone))));
        }
        Ok(if word == "lst" { Self::Standard(zone.into()) } else { Self::Local(zone.into()) })
    }
}

impl schemars::JsonSchema for Clock {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Clock".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "gmt, lst ZONE or lst_ldt ZONE" })
    }
}

/// At most forty characters of a text, to be shown in a refusal.
pub(super) fn clip(text: &str) -> String {
    let mut shown: String = text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(40).is_some() {
        shown.push('…');
    }
    shown
}

impl core::str::FromStr for Told {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let mut told = Self::default();
        let mut parts = text.split(',').map(str::trim).filter(|p| !p.is_empty()).peekable();
        while let Some(part) = parts.next() {
            // `at=28.32,-80.60`: the comma stands within the place.
            let half = part.strip_prefix("at").map(str::trim_start).filter(|p| p.starts_with('='));
            let other = half.and_then(|_| {
                parts.next_if(|p| p.starts_with(|c: char| c == '-' || c == '+' || c.is_ascii_digit()))
            });
            let whole = other.map(|o| format!("{part} {o}"));
            let part = whole.as_deref().unwrap_or(part);
            let (key, value) = part.split_once('=').map_or((part, ""), |(k, v)| (k.trim(), v.trim()));
            let refuse = |allowed: &str| {
                Error::new(
                    format!("`{}` says nothing that is known", clip(part)),
                    allowed.to_owned(),
                    "write it like datum=MLLW, units=metric, zone=gmt",
                )
            };
            let word =
                || (!value.is_empty()).then(|| value.to_owned()).ok_or_else(|| refuse("a word behind `=`"));
            match key {
                "station" => told.station = Some(word()?),
                "datum" => told.datum = Some(word()?),
                "zone" => told.zone = Some(value.parse()?),
                "at" => told.at = Some(value.parse()?),
                "units" => {
                    told.units = Some(match value {
                        "metric" => UnitSystem::Metric,
                        "english" => UnitSystem::English,
                        _ => return Err(refuse("units=metric or units=english")),
                    });
                }
                "product" => {
                    let names: Vec<_> = Product::ALL.iter().map(|p| p.1).collect();
                    let found = Product::ALL.iter().find(|p| p.1 == value);
                    told.product =
                        Some(found.ok_or_else(|| refuse(&format!("product={}", names.join(", "))))?.0);
                }
                "format" => {
                    let names: Vec<_> = Format::ALL.iter().map(|f| f.key()).collect();
                    let found = Format::ALL.into_iter().find(|f| f.key() == value);
                    told.format = Some(found.ok_or_else(|| refuse(&format!("format={}", names.join(", "))))?);
                }
                "skip_bad_rows" if value.is_empty() || value == "true" => told.skip_bad_rows = true,
                "skip_bad_rows" if value == "false" => told.skip_bad_rows = false,
                _ => return Err(refuse("station, datum, units, zone, at, product, format, skip_bad_rows")),
            }
        }
        Ok(told)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn local(text: &str) -> DateTime {
        text.parse().unwrap()
    }

    #[test]
    fn says_what_was_asked_in_one_line() {
        let t: Told =
            "station=8638596, datum=MLLW,units=english, zone=lst_ldt America/New_York".parse().unwrap();
        assert_eq!(t.station.as_deref(), Some("8638596"));
        assert_eq!((t.units, t.skip_bad_rows), (Some(UnitSystem::English), false));
        assert_eq!(t.zone, Some(Clock::Local("America/New_York".into())));
        let t: Told = "product=air_temperature,format=coops-json,skip_bad_rows,zone=gmt".parse().unwrap();
        assert_eq!((t.product, t.format), (Some(Product::AirTemperature), Some(Format::CoopsJson)));
        assert!(t.skip_bad_rows && t.zone == Some(Clock::Gmt));
        for text in ["at=28.32 -80.60", "at=28.32,-80.60, datum=MLLW", "datum=MLLW,at = 28.32N 80.60W"] {
            let t: Told = text.parse().unwrap();
            assert_eq!(t.at.and_then(At::place), Place::of_deg(28.32, -80.60).ok(), "{text}");
            assert_eq!(t.datum.is_some(), text.contains("datum"), "{text}");
        }
        for bad in [
            "at=28.32",
            "at=28.32,80,60",
            "zone=lst",
            "zone=lst_ldt Mars/North",
            "units=imperial",
            "product=x",
            "format=x",
            "datum=",
            "x=1",
        ] {
            assert!(bad.parse::<Told>().is_err(), "{bad}");
        }
        let back: Told = serde_json::from_str(&serde_json::to_string(&t).unwrap()).unwrap();
        assert_eq!(back, t);
    }

    #[test]
    fn standard_time_stays_standard_in_summer() {
        let at = |clock: &str, t: &str| {
            clock.parse::<Clock>().unwrap().instant(local(t), None).unwrap().at.to_string()
        };
        assert_eq!(at("lst America/New_York", "2026-07-01T00:00"), "2026-07-01T05:00:00Z");
        assert_eq!(at("lst America/New_York", "2026-01-01T00:00"), "2026-01-01T05:00:00Z");
        assert_eq!(at("lst_ldt America/New_York", "2026-07-01T00:00"), "2026-07-01T04:00:00Z");
        assert_eq!(at("lst Pacific/Honolulu", "2026-07-01T00:00"), "2026-07-01T10:00:00Z");
        assert_eq!(at("gmt", "2026-07-01T00:00"), "2026-07-01T00:00:00Z");
    }

    #[test]
    fn an_hour_shown_twice_is_told_by_the_row_before() {
        let clock = Clock::Local("America/New_York".into());
        let before = clock.instant(local("2026-11-01T00:54"), None).unwrap().at;
        let first = clock.instant(local("2026-11-01T01:00"), Some(before)).unwrap();
        assert_eq!((first.at.to_string().as_str(), first.twice), ("2026-11-01T05:00:00Z", false));
        let last = clock.instant(local("2026-11-01T01:54"), Some(first.at)).unwrap();
        let second = clock.instant(local("2026-11-01T01:00"), Some(last.at)).unwrap();
        assert_eq!((second.at.to_string().as_str(), second.twice), ("2026-11-01T06:00:00Z", false));
        assert!(clock.instant(local("2026-11-01T01:12"), None).unwrap().twice);
        assert!(clock.instant(local("2026-03-08T02:30"), None).unwrap_err().contains("leaves out"));
    }
}
