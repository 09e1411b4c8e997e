//! The whole beach in one reading: what a crew asks of the surf before anybody walks into it.
//!
//! From the waves offshore, the slopes, the tide, the wind, the light and the people: breakers, surf zone, wash and dry
//! line, currents along and out, rips, set waves, how deep each may stand, and the water speeds a bait must hold against.
//! Every figure has its band, grade and source. What is not known is not guessed: it is left open, or counts at the upper
//! end of what is usual, and says so.
//!
//! Model: the parts of [`super`], put together on the safe side: of a mixed sea the worse train, of two equations the
//! larger, what a crew measured before what is reckoned, the high end of every current.

mod depth;
mod reading;
mod sea;
mod standing;

pub use depth::{AtDepth, Hold};
pub use reading::{Dry, Reading, Rip, SetWave, Train};
pub use sea::{PeriodFrom, Sea};
pub use standing::{Deepest, StandAt, Stander};

use super::along::Drift;
use super::measured::{FloatRun, WashSeen};
use super::wading::Wader;
use crate::facts::Known;
use crate::quantity::{Angle, Length, Slope, Span, Speed};

/// A person and what the crew calls them (a role or a name).
#[derive(Clone, Debug, PartialEq)]
pub struct Handler {
    /// As shown.
    pub name: String,
    /// Body.
    pub body: Wader,
}

/// A beach as a crew knows it. [`Shore::of`] leaves all unknown that can be.
#[derive(Clone, Debug)]
pub struct Shore {
    /// Waves offshore.
    pub sea: Sea,
    /// Whether the angle of the waves is known; if not they count as square on for breakers, wash and rips, and at their
    /// worst angle for the current along the beach.
    pub angle_known: bool,
    /// How far off the angles of the waves may be; not known counts as the pack says for a compass.
    pub angle_error: Known<Angle>,
    /// Slope of the beach face, over which the wash runs.
    pub foreshore: Slope,
    /// Slope of the bed outside, over which waves break.
    pub nearshore: Slope,
    /// Still-water level above the tide's datum: tide and residual.
    pub still_water: Known<Length>,
    /// Still-water level about mean sea level.
    pub about_mean: Known<Length>,
    /// Wind along the beach.
    pub wind_along: Drift,
    /// Whether it is dark. Not known counts as dark.
    pub dark: Known<bool>,
    /// Current along the beach, if somebody said it.
    pub current: Known<Speed>,
    /// Current out to sea, if somebody said it.
    pub undertow: Known<Speed>,
    /// Floats timed along the beach.
    pub floats: Vec<FloatRun>,
    /// The highest wash seen.
    pub wash: Known<WashSeen>,
    /// Height of the breakers as the crew judges it by eye.
    pub breakers: Known<Length>,
    /// Whether a sea above 1 m peaked within the last 72 h.
    pub after_big_sea: Known<bool>,
    /// Significant height at the 5 m depth line, where somebody gives it.
    pub at_5_m: Known<Length>,
    /// Those who may have to stand in the water.
    pub handlers: Vec<Handler>,
    /// Still-water depths asked about: the leader hand's, the bait's.
    pub depths: Vec<Length>,
    /// How long people stand there at a landing; not known counts as the pack says.
    pub landing: Known<Span>,
    /// How long a bait lies; the depths are then those at the lowest tide of the soak.
    pub soak: Known<Span>,
}

impl Shore {
    /// A beach of one slope inside and one outside, a sea, and nothing else known.
    pub fn of(sea: Sea, foreshore: Slope, nearshore: Slope) -> Self {
        Self {
            sea,
            angle_known: true,
            angle_error: Known::Unknown,
            foreshore,
            nearshore,
            still_water: Known::Unknown,
            about_mean: Known::Unknown,
            wind_along: Drift::Unknown,
            dark: Known::Unknown,
            current: Known::Unknown,
            undertow: Known::Unknown,
            floats: Vec::new(),
            wash: Known::Unknown,
            breakers: Known::Unknown,
            after_big_sea: Known::Unknown,
            at_5_m: Known::Unknown,
            handlers: Vec::new(),
            depths: Vec::new(),
            landing: Known::Unknown,
            soak: Known::Unknown,
        }
    }

    /// The steeper of the two slopes: over it waves stand higher before they break.
    fn steeper(&self) -> Slope {
        if self.foreshore.tan() > self.nearshore.tan() { self.foreshore } else { self.nearshore }
    }
}

#[cfg(test)]
mod tests;
