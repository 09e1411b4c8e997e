//! High and low waters that a crew types in, and the curve between them.

use super::turning::{Point, Water};
use crate::math::{cos, sin};
use crate::quantity::{Interval, Length, Quantity};
use crate::{Error, Result};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// Longest time between two turning points of any tide, with room for a vanishing one, h.
const LONGEST_GAP_H: f64 = 36.0;
/// A stretch longer than so many usual ones of its table is looked at.
const USUAL_TIMES: f64 = 1.6;
/// Two waters of a semidiurnal tide are never this far apart, h.
const SEMIDIURNAL_GAP_H: f64 = 9.0;
/// Shortest, h: below it something was mistyped.
const SHORTEST_GAP_H: f64 = 1.0;

/// One line of a tide table.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HighLow {
    /// When, with its offset: `2026-10-17T19:40-05:00`.
    #[schemars(with = "String")]
    pub at: Timestamp,
    /// High or low.
    pub water: Water,
    /// Height above the table's datum.
    pub height: Length,
}

/// A typed-in tide table with what its heights are above.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TideTable {
    /// What heights are above, as the table says (`MLLW`, `LAT`, `chart datum`).
    pub datum: String,
    /// Where the table is from; shown beside every height.
    pub source: String,
    /// Mean sea level above the datum, if the table gives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mean_level: Option<Length>,
    /// High and low waters in order of time.
    pub waters: Vec<HighLow>,
}

impl TideTable {
    /// Whether its waters can be a tide: in order of time, high and low in turn, none impossibly high.
    ///
    /// # Errors
    /// The line that cannot be right.
    pub fn check(&self) -> Result<()> {
        points(self).map(|_| ())
    }

    /// Stretches between neighbouring waters so long that some may be left out: longer than 1.6 times its usual one (of
    /// two in the middle the shorter), or beyond 9 h in a tide that is known to be semidiurnal. Ours; a mixed tide may
    /// have such stretches with nothing left out.
    pub fn gaps(&self, semidiurnal: bool) -> Vec<Interval> {
        let h = |i: &Interval| i.length().h();
        let pairs = self.waters.windows(2).filter_map(|p| Interval::new(p.first()?.at, p.last()?.at).ok());
        let all: Vec<Interval> = pairs.collect();
        let mut sorted: Vec<f64> = all.iter().map(h).collect();
        sorted.sort_by(f64::total_cmp);
        let usual = sorted.get(sorted.len().saturating_sub(1) / 2).copied().unwrap_or(LONGEST_GAP_H);
        let long = |i: &Interval| h(i) > USUAL_TIMES * usual || (semidiurnal && h(i) > SEMIDIURNAL_GAP_H);
        all.into_iter().filter(long).collect()
    }

    /// From its first water to its last; nothing for an empty table.
    pub fn covers(&self) -> Option<Interval> {
        Interval::new(self.waters.first()?.at, self.waters.last()?.at).ok()
    }
}

/// Checks a typed-in table and turns it into points.
pub(super) fn points(table: &TideTable) -> Result<Vec<Point>> {
    let place = |i: usize| format!("waters[{i}]");
    if table.datum.trim().is_empty() {
        return Err(Error::new(
            "the datum is empty",
            "the table's own words, like MLLW or LAT",
            "read it from the head of the tide table",
        )
        .within("datum"));
    }
    if table.waters.len() < 2 {
        return Err(Error::new(
            format!("the table has {} high or low waters", table.waters.len()),
            "at least two, around the whole night",
            "type in the high and low waters before, during and after the night",
        )
        .within("waters"));
    }
    for (i, w) in table.waters.iter().enumerate() {
        w.height
            .within("the height", Length::of_m(-10.0), Length::of_m(20.0))
            .map_err(|e| e.within(place(i)))?;
    }
    for (i, pair) in table.waters.windows(2).enumerate() {
        let [a, b] = pair else { continue };
        let gap_h = b.at.duration_since(a.at).as_secs_f64() / 3600.0;
        if !(SHORTEST_GAP_H..=LONGEST_GAP_H).contains(&gap_h) {
            return Err(Error::new(
                format!("{gap_h:.1} h lie between this water and the one before"),
                format!("{SHORTEST_GAP_H} to {LONGEST_GAP_H} h, in order of time"),
                "check date and time; type in the waters that are missing between them",
            )
            .within(place(i + 1)));
        }
        if a.water == b.water {
            return Err(Error::new(
                format!(
                    "two {} waters follow each other",
                    if a.water == Water::High { "high" } else { "low" }
                ),
                "high and low in turn",
                "type in the one between them, or correct its kind",
            )
            .within(place(i + 1)));
        }
        let (high, low) = if a.water == Water::High { (a, b) } else { (b, a) };
        if high.height.m() < low.height.m() {
            return Err(Error::new(
                format!(
                    "the high water ({} m) is below the low water ({} m)",
                    high.height.m(),
                    low.height.m()
                ),
                "a high water above the low waters beside it",
                "check heights, signs and kinds",
            )
            .within(place(i + 1)));
        }
    }
    Ok(table
        .waters
        .iter()
        .map(|w| Point { at_s: super::unix_s(w.at), level_m: w.height.m(), water: w.water })
        .collect())
}

/// Half a cosine between neighbouring turning points (the usual rule of tide tables).
#[derive(Clone, Debug)]
pub(super) struct Curve {
    pub points: Vec<Point>,
}

impl Curve {
    fn around(&self, unix_s: f64) -> Option<(&Point, &Point, f64)> {
        let after = self.points.partition_point(|p| p.at_s <= unix_s);
        // The very last turning point itself still belongs to the curve.
        let after =
            if after == self.points.len() && self.points.last()?.at_s == unix_s { after - 1 } else { after };
        let (a, b) = (self.points.get(after.checked_sub(1)?)?, self.points.get(after)?);
        Some((a, b, core::f64::consts::PI * (unix_s - a.at_s) / (b.at_s - a.at_s)))
    }

    /// Level above the datum; nothing outside the first and last turning point.
    pub fn level_m(&self, unix_s: f64) -> Option<f64> {
        let (a, b, phase) = self.around(unix_s)?;
        Some(f64::midpoint(a.level_m, b.level_m) + (a.level_m - b.level_m) / 2.0 * cos(phase))
    }

    /// Levels at equal steps; the nearest known one where there is none.
    pub fn levels_m(&self, from_s: f64, step_s: f64, count: usize) -> Vec<f64> {
        (0..count)
            .map(|i| from_s + step_s * i as f64)
            .map(|s| self.level_m(s).or_else(|| self.nearest_m(s)).unwrap_or(f64::NAN))
            .collect()
    }

    /// Level of the turning point nearest in time.
    pub fn nearest_m(&self, unix_s: f64) -> Option<f64> {
        let nearest = |a: &&Point, b: &&Point| (a.at_s - unix_s).abs().total_cmp(&(b.at_s - unix_s).abs());
        self.points.iter().min_by(nearest).map(|p| p.level_m)
    }

    /// How fast the level rises, m/s.
    pub fn rate_m_s(&self, unix_s: f64) -> Option<f64> {
        let (a, b, phase) = self.around(unix_s)?;
        let quickness = core::f64::consts::PI / (b.at_s - a.at_s);
        Some(-(a.level_m - b.level_m) / 2.0 * quickness * sin(phase))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = "datum = 'MLLW'\nsource = 'harbour office'\n\
        waters = [\n{ at = '2026-10-17T12:00-05:00', water = 'low', height = '0.1ft' },\n\
        { at = '2026-10-17T19:40-05:00', water = 'high', height = '1.5ft' },\n\
        { at = '2026-10-18T03:10-05:00', water = 'low', height = '0.3ft' }]";

    fn read(text: &str) -> Result<Vec<Point>> {
        crate::facts::PackText::new("t", text).read::<TideTable>().and_then(|t| points(&t))
    }

    #[test]
    fn the_curve_goes_through_its_waters() {
        let curve = Curve { points: read(TABLE).unwrap() };
        for p in &curve.points {
            assert!((curve.level_m(p.at_s).unwrap() - p.level_m).abs() < 1e-9);
            assert!(curve.rate_m_s(p.at_s).unwrap().abs() < 1e-9);
        }
        let (a, b) = (curve.points[0], curve.points[1]);
        let middle = curve.level_m(f64::midpoint(a.at_s, b.at_s)).unwrap();
        assert!((middle - 0.8 * 0.3048).abs() < 1e-9, "{middle}");
        assert_eq!(curve.level_m(a.at_s - 1.0), None);
        assert_eq!(curve.level_m(curve.points[2].at_s + 1.0), None);
    }

    #[test]
    fn a_pair_left_out_is_found_and_a_whole_table_has_no_gap() {
        let of = |hours: &[i64]| {
            let at = |h: &i64| Timestamp::UNIX_EPOCH + jiff::SignedDuration::from_hours(*h);
            let water = |i: usize| if i.is_multiple_of(2) { Water::Low } else { Water::High };
            let waters = hours.iter().enumerate();
            TideTable {
                datum: "MLLW".into(),
                source: "t".into(),
                mean_level: None,
                waters: waters
                    .map(|(i, h)| HighLow { at: at(h), water: water(i), height: Length::ZERO })
                    .collect(),
            }
        };
        assert!(of(&[0, 6, 12, 18, 25]).gaps(true).is_empty());
        assert_eq!(of(&[0, 6, 24]).gaps(false).len(), 1);
        assert_eq!(of(&[0, 6, 12, 30, 36]).gaps(false)[0].length().h(), 18.0);
        assert!(of(&[0, 13, 26]).gaps(false).is_empty());
        assert_eq!(of(&[0, 13, 26]).gaps(true).len(), 2);
        assert!(of(&[0]).gaps(true).is_empty() && of(&[]).gaps(true).is_empty());
    }

    #[test]
    fn mistyped_tables_are_refused_with_the_line() {
        let say = |from: &str, to: &str| {
            assert!(TABLE.contains(from));
            read(&TABLE.replacen(from, to, 1)).unwrap_err()
        };
        assert_eq!(say("19:40", "12:10").place, "waters[1]");
        assert!(say("'high'", "'low'").error.contains("two low waters"));
        assert!(say("1.5ft", "-1.5ft").error.contains("below the low water"));
        assert!(say("1.5ft", "150ft").error.contains("height"));
        assert!(say("2026-10-18", "2026-10-28").error.contains("h lie between"));
        assert!(say("'MLLW'", "''").place.contains("datum"));
        assert!(say("'0.1ft'", "0.1").error.contains("unit is missing"));
    }
}
