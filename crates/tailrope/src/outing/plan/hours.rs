//! Water, sky, sea and weather of a night, and its hours step by step.

use crate::sea::tide::About;
use serde::Serialize;

/// A turning point of the tide.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TideView {
    /// Local time with offset.
    pub at: String,
    /// `high` or `low`.
    pub what: String,
    /// Height above the station's datum, m.
    pub height_m: f64,
    /// The datum.
    pub datum: String,
}

/// Whose tide it is: what must stand beside every height.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TideSource {
    /// Name of the place.
    pub name: String,
    /// What heights are above.
    pub datum: String,
    /// Where constants or waters come from.
    pub source: String,
    /// Their licence.
    pub licence: String,
    /// Text that must be shown with them.
    pub attribution: String,
}

impl TideSource {
    /// Of a tide.
    pub fn of(about: &About) -> Self {
        Self {
            name: about.name.clone(),
            datum: about.datum.clone(),
            source: about.source.clone(),
            licence: about.licence.clone(),
            attribution: about.attribution.clone(),
        }
    }
}

/// A sun or moon event.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SkyView {
    /// Local time with offset.
    pub at: String,
    /// What.
    pub what: String,
}

/// A figure of sea or weather as understood.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ConditionView {
    /// What.
    pub name: String,
    /// Value in `unit`; nothing when unknown.
    pub value: Option<f64>,
    /// Unit.
    pub unit: String,
    /// Where it comes from; nothing when unknown.
    pub source: String,
    /// How it came to be: `measured`, `typed`, `observed`, `forecast`, `model`, `unknown`.
    pub kind: &'static str,
    /// When it was measured or issued, local time with offset.
    pub at: Option<String>,
    /// Its age at the reading, h.
    pub age_h: Option<f64>,
    /// What others say of the same hours; the worse for safety is planned on.
    pub also: Vec<ConditionSaid>,
}

/// A figure that was said and not planned on, since another is worse.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ConditionSaid {
    /// Value in the unit of the figure it stands beside.
    pub value: f64,
    /// Who said it.
    pub source: String,
    /// How it came to be.
    pub kind: &'static str,
    /// When it was measured or issued, local time with offset.
    pub at: Option<String>,
    /// Its age at the reading, h.
    pub age_h: Option<f64>,
}

/// The moon of a night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MoonView {
    /// `new moon`, `waxing crescent`, `first quarter` and so on, at the middle of the wanted hours.
    pub phase: &'static str,
    /// Share of its disc that is lit, 0 to 1.
    pub lit: f64,
    /// Share of the wanted hours for which it is up, 0 to 1.
    pub up: f64,
    /// The darkest of the wanted hours: light of sky and moon on level ground under a clear sky, lux.
    pub darkest_lux: f64,
    /// What is about as bright as that.
    pub darkest_like: &'static str,
    /// The most that the moon alone gives in the wanted hours, by its height and phase, lux.
    pub moonlight_lux: f64,
}

/// One step of the night: ten minutes, or less where something begins or ends.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepView {
    /// Its begin, local time with offset.
    pub at: String,
    /// `open`, `caution` or `closed`; the last step, at which the hours end, has none of its own.
    pub state: &'static str,
    /// `day`, `twilight` or `dark` (sun above the horizon, down to 6 degrees below, lower).
    pub light: &'static str,
    /// Whether the moon is up.
    pub moon_up: bool,
    /// Light of sky and moon on level ground under a clear sky, lux.
    pub light_lux: f64,
    /// Water level above the datum, weather's share included, m.
    pub level_m: Option<f64>,
    /// Breakers, m.
    pub breaker_m: Option<f64>,
    /// Wind, m/s.
    pub wind_mps: Option<f64>,
}
