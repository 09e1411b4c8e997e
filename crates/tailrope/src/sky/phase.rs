//! New moon, quarters and full moon.

use super::clock::{Instant, turn_deg};
use super::lunar::apparent;
use super::sun::{elongation_deg, longitude};
use crate::Result;
use crate::quantity::{Interval, shift};
use jiff::Timestamp;
use serde::Serialize;

/// The four named phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// The Moon before the Sun: no moonlight all night.
    New,
    /// Half lit, sets about midnight.
    FirstQuarter,
    /// Opposite the Sun: moonlight all night.
    Full,
    /// Half lit, rises about midnight.
    LastQuarter,
}

impl Phase {
    const IN_ORDER: [Self; 4] = [Self::New, Self::FirstQuarter, Self::Full, Self::LastQuarter];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "new moon",
            Self::FirstQuarter => "first quarter",
            Self::Full => "full moon",
            Self::LastQuarter => "last quarter",
        }
    }
}

/// Mean motion of the Moon away from the Sun, degrees a second.
const MEAN_DEG_S: f64 = 12.190749 / 86400.0;

/// Instants of the named phases within `when`, in order: when Moon and Sun stand 0, 90, 180, 270 degrees apart
/// in ecliptic longitude, to about a minute.
pub fn moon_phases(when: Interval) -> Result<Vec<(Timestamp, Phase)>> {
    let start = Instant::of(when.from())?;
    Instant::of(when.to())?;
    let ahead = |s: f64| {
        let at = start.after_s(s);
        turn_deg(apparent(at).longitude_deg - longitude(at).0)
    };
    // From one day before, so that a phase at the very beginning is not stepped over.
    let mut t = -86400.0;
    let mut quarter = ((ahead(t) / 90.0).floor() + 1.0) % 4.0;
    let mut found = Vec::new();
    while t < when.seconds() {
        let target = 90.0 * quarter;
        t += turn_deg(target - ahead(t)) / MEAN_DEG_S;
        // The true motion is within 18 % of the mean, so each round leaves less than a fifth of the error.
        for _ in 0..14 {
            t += elongation_deg(target, ahead(t)) / MEAN_DEG_S;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0, 1, 2 or 3
        let phase = Phase::IN_ORDER[quarter as usize % 4];
        if t >= 0.0 && t < when.seconds() {
            found.push((shift(when.from(), t), phase));
        }
        quarter = (quarter + 1.0) % 4.0;
        t += 3.0 * 86400.0;
    }
    Ok(found)
}
