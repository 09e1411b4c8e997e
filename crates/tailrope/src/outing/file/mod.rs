//! The outing file (`tailrope.outing/1`): everything a plan needs, whole in itself.
//!
//! TOML as the crew writes it, the same keys as JSON. Quantities are texts with units. An answer left out, or
//! `"unknown"`, is a legal value: it leads to a question and never to a guess. A misspelt key, a wrong unit or
//! an absurd value is refused with file, line, key and remedy, and nothing is planned.

mod check;
mod report;
mod sections;
mod when;

pub use report::{Instant, ListedWater, MOST_READINGS, Report, ReportKind, Said};
pub use sections::{
    Animals, Bait, BaitKind, BaitMark, BatherCount, Beach, Clip, Delivery, Landing, Law, LineSide, Manner,
    Night, Packed, RipRisk, Safety, Sea, Signal, Stand, Target, Thunder, WashSeen, WaveCount, WayOut,
    Weather, WindFrom,
};
pub use when::{Clock, Day, Moment};

use super::limits::LimitEdit;
use crate::facts::PackText;
use crate::people::Person;
use crate::tackle::{Outfit, Rig};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// The schema this library reads and writes.
pub const SCHEMA: &str = "tailrope.outing/1";

/// One night, whole in itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Outing {
    /// `tailrope.outing/1`.
    pub schema: String,
    /// What the crew calls it.
    pub name: String,
    /// The night.
    pub night: Night,
    /// The beach.
    pub beach: Beach,
    /// The sea.
    #[serde(default)]
    pub sea: Sea,
    /// The weather.
    #[serde(default)]
    pub weather: Weather,
    /// What buoys, gauges and forecasts said of these nights.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub report: Vec<Report>,
    /// The fish wished for.
    pub fish: Target,
    /// Outfits, the one to be fished first.
    pub outfit: Vec<Outfit>,
    /// The rig.
    pub rig: Rig,
    /// The bait.
    pub bait: Bait,
    /// The people.
    pub person: Vec<Person>,
    /// Where and how the angler stands.
    #[serde(default)]
    pub stand: Stand,
    /// The landing.
    #[serde(default)]
    pub landing: Landing,
    /// What keeps the crew safe.
    #[serde(default)]
    pub safety: Safety,
    /// What is packed.
    #[serde(default)]
    pub kit: Packed,
    /// What the rule packs ask beside that.
    #[serde(default)]
    pub law: Law,
    /// Limits the crew sets itself.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limit: Vec<LimitEdit>,
}

impl Outing {
    /// Reads and checks an outing file in TOML.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let outing: Self = text.read()?;
        check::check(&outing).map_err(|(path, e)| text.place(&path, e))?;
        Ok(outing)
    }

    /// Reads and checks the same in JSON.
    pub fn read_json(file: &str, text: &str) -> Result<Self> {
        if text.len() > crate::facts::MAX_BYTES {
            return Err(Error::new(
                format!("the file has {} bytes", text.len()),
                format!("at most {} bytes", crate::facts::MAX_BYTES),
                "give the right file: no outing is that large",
            )
            .within(file));
        }
        let outing: Self = serde_json::from_str(text).map_err(|e| {
            Error::new(e.to_string(), "an outing with the keys of tailrope.outing/1", "correct this place")
                .within(file)
        })?;
        check::check(&outing).map_err(|(path, e)| e.within(path).within(file))?;
        Ok(outing)
    }

    /// The same outing with what files say of its nights.
    ///
    /// # Errors
    /// More reports than an outing holds, or readings out of bounds.
    pub fn with_reports(mut self, reports: Vec<Report>) -> Result<Self> {
        self.report.extend(reports);
        check::check(&self).map_err(|(path, e)| e.within(path))?;
        Ok(self)
    }

    /// The outing as TOML, to be edited.
    pub fn to_toml(&self) -> Result<String> {
        toml::to_string(self)
            .map_err(|e| Error::new(e.to_string(), "an outing", "report this outing: it cannot be written"))
    }

    /// JSON Schema of the outing file, made from these types.
    pub fn schema() -> String {
        let schema = schemars::schema_for!(Outing);
        serde_json::to_string_pretty(&schema).unwrap_or_default()
    }
}
