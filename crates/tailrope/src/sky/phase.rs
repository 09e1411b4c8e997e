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

/// The Moon's shape in words, by its angle ahead of the Sun, 0 to 360 degrees. The four named phases get a day and a half
/// either side (ours).
pub fn moon_shape(elongation_deg: f64) -> &'static str {
    const NEAR_DEG: f64 = 18.0;
    let (quarter, off) = ((elongation_deg / 90.0).round(), elongation_deg % 90.0);
    if off <= NEAR_DEG || off >= 90.0 - NEAR_DEG {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 4
        return Phase::IN_ORDER[quarter.clamp(0.0, 4.0) as usize % 4].word();
    }
    match elongation_deg {
        e if e < 90.0 => "waxing crescent",
        e if e < 180.0 => "waxing gibbous",
        e if e < 270.0 => "waning gibbous",
        _ => "waning crescent",
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

#[cfg(test)]
mod shape_tests {
    use super::moon_shape;

    #[test]
    fn the_moon_has_eight_shapes() {
        let at = [0.0, 17.0, 45.0, 80.0, 120.0, 170.0, 190.0, 220.0, 262.0, 300.0, 350.0, 360.0];
        let words = at.map(moon_shape);
        assert_eq!(
            words,
            [
                "new moon",
                "new moon",
                "waxing crescent",
                "first quarter",
                "waxing gibbous",
                "full moon",
                "full moon",
                "waning gibbous",
                "last quarter",
                "waning crescent",
                "new moon",
                "new moon"
            ]
        );
    }
}
