//! High and low waters.

use super::harmonic::{Epoch, Harmonic};
use super::sweep::{BLOCK, Local, Of, Steps, Sweep};
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

/// Scan step. The fastest compounds (M12: 2 h) turn once an hour; a pair of waters closer than a step is found all the
/// same, from the rate that comes near zero and leaves it.
const STEP_S: f64 = 900.0;
/// Closest pair that a table prints, s.
const CLOSEST_S: f64 = 7200.0;
/// Smallest range that a table prints, m.
const SMALLEST_M: f64 = 0.03;

/// All turning points in `from_s..to_s`, in order, high and low in turn.
///
/// Where the node is renewed the rate jumps a little. A tide that turns about then may be seen by neither side
/// (each has it just beyond the border) or by both; it is one tide, and is given once.
pub(super) fn all(h: &Harmonic, from_s: f64, to_s: f64) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    let mut before: Option<(Epoch<'_>, bool)> = None;
    let steps = h.steps(STEP_S);
    for (epoch, from, to) in h.epochs(from_s, to_s) {
        let mut run = scan(h, &steps, epoch, from, to);
        if let Some((old, rising)) = before
            && rising != run.rises_first
        {
            let water = if rising { Water::High } else { Water::Low };
            let same = |e, a, b| scan(h, &steps, e, a, b).points.iter().any(|p| p.water == water);
            // No further than the tide that follows or went before, nor than a quarter of a long day.
            let next = run.points.first().map_or(to, |p| p.at_s).min(from + NEAR_S);
            let last = points.last().map_or(from_s, |p| p.at_s).max(from - NEAR_S);
            let real = same(old, from, next) || same(epoch, last, from);
            let after = run.points.first().map(|p| p.at_s - from);
            let ago = points.last().map(|p| from - p.at_s);
            match (real, ago, after) {
                (false, Some(ago), Some(after)) if ago <= after => {
                    run.points.remove(0);
                }
                (false, Some(_), Some(_)) => {
                    points.pop();
                }
                _ => points.push(Point { at_s: from, level_m: h.mean_m + epoch.level_m(from), water }),
            }
        }
        let rising = run.rises_first != (run.found % 2 == 1);
        points.append(&mut run.points);
        before = Some((epoch, rising));
    }
    points
}

/// How far from a renewal of the node a tide is looked for that only one side sees, s.
const NEAR_S: f64 = 6.0 * 3600.0;

/// Turning points under one set of waves.
struct Run {
    points: Vec<Point>,
    /// How many there were.
    found: usize,
    /// Whether the water rises at the beginning.
    rises_first: bool,
}

fn scan(h: &Harmonic, steps: &Steps<'_>, epoch: Epoch<'_>, from_s: f64, to_s: f64) -> Run {
    // One step more on either side, so that a grazing pair near an end is seen whole.
    let first_s = from_s - STEP_S;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded by `Interval`
    let samples = ((to_s - from_s) / STEP_S).ceil().max(0.0) as usize + 3;
    let mut sweep = Sweep::new(steps, epoch.waves, Of::Rate, first_s - epoch.from_s);
    let mut points = Vec::new();
    let (mut before, mut last, mut rises_first) = (0.0_f64, 0.0_f64, false);
    for start in (0..samples).step_by(BLOCK) {
        let block = sweep.next_block();
        for (k, rate) in block.iter().copied().enumerate().take(samples - start) {
            let i = start + k;
            let mut push = |local: &Local, x: f64, rising: bool| {
                points.push(Point {
                    at_s: first_s + (i as f64 + x) * STEP_S,
                    level_m: h.mean_m + local.level_m(x),
                    water: if rising { Water::Low } else { Water::High },
                });
            };
            if i == 1 {
                rises_first = rate >= 0.0;
            } else if i > 1 && (last >= 0.0) != (rate >= 0.0) {
                let local = sweep.local(k);
                // Where a sample is zero but for rounding, it is the turning point.
                let x = local.turning(-1.0, 0.0).unwrap_or(if rate.abs() < last.abs() { 0.0 } else { -1.0 });
                push(&local, x, rate >= 0.0);
            } else if i > 1 && (before >= 0.0) == (last >= 0.0) && last.abs() <= before.abs().min(rate.abs())
            {
                // The rate comes near zero and leaves it: perhaps it passed it twice between samples.
                let local = sweep.local(k);
                if let Some(x) = local.steepest(-2.0, 0.0)
                    && local.rises(x) != (last >= 0.0)
                    && let (Some(a), Some(b)) = (local.turning(-2.0, x), local.turning(x, 0.0))
                {
                    push(&local, a, last < 0.0);
                    push(&local, b, last >= 0.0);
                }
            }
            (before, last) = (last, rate);
        }
    }
    // The first cell's crossings were left out, so what stands before the beginning comes in pairs.
    points.retain(|p| from_s <= p.at_s && p.at_s < to_s);
    Run { found: points.len(), points, rises_first }
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
