//! High and low waters.

use super::harmonic::Harmonic;
use crate::sea::root::crossings;
use serde::{Deserialize, Serialize};

/// High or low water.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Water {
    /// High water.
    High,
    /// Low water.
    Low,
}

/// Which turning points are wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turning {
    /// All, however small: double highs and vanishing tides show as pairs close together.
    All,
    /// As tables print them: a high and low closer than two hours or less than 0.03 m apart are left out
    /// (NOAA's datum handbook, recalled).
    #[default]
    Printed,
}

/// A turning point on Unix seconds and metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Point {
    pub at_s: f64,
    pub level_m: f64,
    pub water: Water,
}

/// Scan step; the fastest constituent kept (S6, M8: 3 h) turns once in 90 min.
const STEP_S: f64 = 600.0;
/// Instants are refined to a tenth of a second, though no tide keeps time to a minute.
const TOLERANCE_S: f64 = 0.1;
/// Closest pair that a table prints, s.
const CLOSEST_S: f64 = 7200.0;
/// Smallest range that a table prints, m.
const SMALLEST_M: f64 = 0.03;

/// All turning points in `from_s..to_s`.
pub(super) fn all(h: &Harmonic, from_s: f64, to_s: f64) -> Vec<Point> {
    crossings(|s| h.rate_m_s(from_s + s), 0.0, to_s - from_s, STEP_S, TOLERANCE_S)
        .into_iter()
        .map(|c| Point {
            at_s: from_s + c.at_s,
            level_m: h.level_m(from_s + c.at_s),
            water: if c.rising { Water::Low } else { Water::High },
        })
        .collect()
}

/// Leaves out neighbouring pairs that no table prints, the smallest range first, so that what stays
/// alternates.
pub(super) fn printed(mut points: Vec<Point>) -> Vec<Point> {
    loop {
        let smallest = points
            .windows(2)
            .enumerate()
            .filter_map(|(i, w)| {
                let [a, b] = w else { return None };
                // Signed: a "high" left below its low by an earlier removal goes first.
                let range =
                    if a.water == Water::High { a.level_m - b.level_m } else { b.level_m - a.level_m };
                (b.at_s - a.at_s < CLOSEST_S || range < SMALLEST_M).then_some((i, range))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((i, _)) = smallest else { return points };
        points.drain(i..i + 2);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn point(at_s: f64, level_m: f64, high: bool) -> Point {
        Point { at_s, level_m, water: if high { Water::High } else { Water::Low } }
    }

    #[test]
    fn a_double_high_becomes_one() {
        let list = vec![
            point(0.0, 0.0, false),
            point(2.0e4, 1.0, true),
            point(2.4e4, 0.98, false),
            point(2.8e4, 0.99, true),
            point(4.5e4, 0.1, false),
        ];
        let kept = printed(list.clone());
        assert_eq!(kept, [list[0], list[1], list[4]]);
    }

    #[test]
    fn what_tables_print_stays() {
        // Four centimetres in three hours are printed; two are not, nor are ten in an hour and a half.
        let pair = |range: f64, h: f64| {
            printed(vec![
                point(0.0, 0.0, false),
                point(2.0e4, 1.0, true),
                point(2.0e4 + 3600.0 * h, 1.0 - range, false),
                point(5.0e4, 1.2, true),
            ])
            .len()
        };
        assert_eq!([pair(0.04, 3.0), pair(0.02, 3.0), pair(0.1, 1.5)], [4, 2, 2]);
    }

    proptest! {
        #[test]
        fn what_is_printed_alternates_and_stands_apart(
            steps in proptest::collection::vec((600.0..40000.0f64, 0.001..2.0f64), 0..30),
        ) {
            let (mut t, mut level, mut high) = (0.0, 0.0, false);
            let mut list = Vec::new();
            for (dt, range) in steps {
                t += dt;
                high = !high;
                level += if high { range } else { -range };
                list.push(point(t, level, high));
            }
            let kept = printed(list);
            for w in kept.windows(2) {
                prop_assert!(w[0].water != w[1].water);
                prop_assert!(w[1].at_s - w[0].at_s >= CLOSEST_S);
                prop_assert!((w[0].level_m - w[1].level_m).abs() >= SMALLEST_M);
                prop_assert_eq!(w[0].level_m > w[1].level_m, w[0].water == Water::High);
            }
        }
    }
}
