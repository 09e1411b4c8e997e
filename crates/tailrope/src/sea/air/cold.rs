//! Cold air on skin, and cold water.

use crate::math::pow;
use crate::quantity::{Speed, Temperature};
use serde::Serialize;

/// Wind chill of the US and Canadian weather services (2001, recalled): what still air would feel like on a dry
/// face. None above 10 C or below 4.8 km/h of wind, for which it is not made. Wet clothing is worse than it says.
pub fn wind_chill(air: Temperature, wind: Speed) -> Option<Temperature> {
    let (t, v) = (air.c(), wind.mps() * 3.6);
    if !(t <= 10.0 && v > 4.8) {
        return None;
    }
    let p = pow(v, 0.16);
    Some(Temperature::of_c(13.12 + 0.6215 * t - 11.37 * p + 0.3965 * t * p))
}

/// Minutes, least and most; no most where the table gives none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Minutes {
    /// Least.
    pub least: f64,
    /// Most.
    pub most: Option<f64>,
}

/// What cold water does to somebody afloat in it (US Search and Rescue Task Force table, read in three copies).
/// Without a float expect failure when useful movement goes, long before.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Immersion {
    /// Time to exhaustion or unconsciousness; none: not from cold.
    pub exhaustion: Option<Minutes>,
    /// Time of survival; none: not limited by cold.
    pub survival: Option<Minutes>,
    /// Gasping at the first contact is likely (below about 15 C).
    pub cold_shock: bool,
}

const fn minutes(least: f64, most: f64) -> Minutes {
    Minutes { least, most: Some(most) }
}

/// Rows of the table, warmest first: above which temperature (C), exhaustion, survival.
const TABLE: [(f64, Option<Minutes>, Option<Minutes>); 6] = [
    (26.7, None, None),
    (21.0, Some(minutes(180.0, 720.0)), Some(Minutes { least: 180.0, most: None })),
    (15.6, Some(minutes(120.0, 420.0)), Some(minutes(120.0, 2400.0))),
    (10.0, Some(minutes(60.0, 120.0)), Some(minutes(60.0, 360.0))),
    (4.4, Some(minutes(30.0, 60.0)), Some(minutes(60.0, 180.0))),
    (0.3, Some(minutes(15.0, 30.0)), Some(minutes(30.0, 90.0))),
];

/// The row for a water temperature. On a boundary the colder row counts.
pub fn immersion(water: Temperature) -> Immersion {
    let t = water.c();
    let coldest = (f64::NEG_INFINITY, Some(minutes(0.0, 15.0)), Some(minutes(15.0, 45.0)));
    let (_, exhaustion, survival) = TABLE.iter().copied().find(|row| t > row.0).unwrap_or(coldest);
    Immersion { exhaustion, survival, cold_shock: t < 15.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_table_s_rows() {
        let at = |c| immersion(Temperature::of_c(c));
        assert_eq!(at(10.6).survival, Some(minutes(60.0, 360.0)));
        assert_eq!(at(4.4).exhaustion, Some(minutes(15.0, 30.0)));
        assert_eq!(at(-1.0).survival, Some(minutes(15.0, 45.0)));
        assert_eq!(at(24.0).survival.unwrap().most, None);
        assert!(at(14.0).cold_shock && !at(16.0).cold_shock);
        assert_eq!(at(28.0).exhaustion, None);
    }

    proptest! {
        #[test]
        fn wind_and_cold_chill(t in -30.0..10.0f64, v in 1.4..30.0f64, more in 0.1..5.0f64) {
            let chill = |t, v| wind_chill(Temperature::of_c(t), Speed::of_mps(v)).unwrap().c();
            prop_assert!(chill(t, v + more) < chill(t, v) && chill(t - more, v) < chill(t, v));
        }

        #[test]
        fn colder_water_never_leaves_more_time(t in -2.0..35.0f64, less in 0.0..10.0f64) {
            let (a, b) = (immersion(Temperature::of_c(t)), immersion(Temperature::of_c(t - less)));
            let least = |m: Option<Minutes>| m.map_or(f64::INFINITY, |m| m.least);
            prop_assert!(least(b.exhaustion) <= least(a.exhaustion) && least(b.survival) <= least(a.survival));
        }
    }
}
