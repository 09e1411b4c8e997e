//! Windows: the stretches of the night in which nothing forbids fishing.
//!
//! Ten-minute steps through the wanted hours. Each step carries every limit that forbids or warns at that
//! moment, each in words; a window is a run of steps without a forbidding one. No scores.

use crate::quantity::to_the_minute;
use jiff::{SignedDuration, Timestamp, tz::TimeZone};
use serde::{Deserialize, Serialize};

/// Length of a step.
pub const STEP_MIN: i64 = 10;

/// One moment of the night and what holds at it.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The moment.
    pub at: Timestamp,
    /// What forbids.
    pub stops: Vec<String>,
    /// What warns.
    pub cautions: Vec<String>,
}

/// A stretch in which nothing forbids.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Window {
    /// Its begin, local time with offset.
    pub start: String,
    /// Its end.
    pub end: String,
    /// IANA zone of both.
    pub zone: String,
    /// What warns at some moment in it.
    pub cautions: Vec<String>,
}

/// A stretch in which something forbids, and what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Closed {
    /// Its begin, local time with offset.
    pub start: String,
    /// Its end.
    pub end: String,
    /// What forbids.
    pub stops: Vec<String>,
}

/// The moments from `from` to `until` (both included) in steps of ten minutes.
///
/// At most 48 hours are stepped through; a longer night is no night.
pub fn moments(from: Timestamp, until: Timestamp) -> Vec<Timestamp> {
    let step = SignedDuration::from_mins(STEP_MIN);
    let mut all = Vec::new();
    let mut at = from;
    while at < until && all.len() < 288 {
        all.push(at);
        match at.checked_add(step) {
            Ok(next) => at = next,
            Err(_) => break,
        }
    }
    all.push(until);
    all
}

/// Local text of a moment: `2026-10-17T19:40:00-05:00`.
pub fn local(at: Timestamp, zone: &TimeZone) -> String {
    jiff::ZonedDateTime::new(at, zone.clone()).strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

/// Clock of a moment, to the nearest minute: `19:40`.
pub fn clock(at: Timestamp, zone: &TimeZone) -> String {
    jiff::ZonedDateTime::new(to_the_minute(at), zone.clone()).strftime("%H:%M").to_string()
}

/// The same of a local text such as [`local`] writes; what is no such text stays as it is.
pub fn clock_of(local: &str) -> String {
    let civil = local.get(..19).and_then(|t| t.parse::<jiff::civil::DateTime>().ok());
    let shown = civil.and_then(|at| at.round(jiff::Unit::Minute).ok());
    shown.map_or_else(|| local.to_owned(), |at| at.strftime("%H:%M").to_string())
}

/// Cuts steps into windows and closed stretches. A step holds until the next one begins.
pub fn cut(steps: &[Step], zone_name: &str, zone: &TimeZone) -> (Vec<Window>, Vec<Closed>) {
    let mut windows = Vec::new();
    let mut closed = Vec::new();
    let mut i = 0;
    while i + 1 < steps.len() {
        let open = steps[i].stops.is_empty();
        let mut j = i;
        let mut said: Vec<String> = Vec::new();
        while j + 1 < steps.len() && steps[j].stops.is_empty() == open {
            for words in if open { &steps[j].cautions } else { &steps[j].stops } {
                if !said.contains(words) {
                    said.push(words.clone());
                }
            }
            j += 1;
        }
        let (start, end) = (local(steps[i].at, zone), local(steps[j].at, zone));
        if open {
            windows.push(Window { start, end, zone: zone_name.to_owned(), cautions: said });
        } else {
            closed.push(Closed { start, end, stops: said });
        }
        i = j;
    }
    (windows, closed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(marks: &[&str]) -> Vec<Step> {
        let from: Timestamp = "2026-10-17T23:40:00Z".parse().unwrap();
        let until = from + SignedDuration::from_mins(10 * i64::try_from(marks.len() - 1).unwrap());
        moments(from, until)
            .into_iter()
            .zip(marks)
            .map(|(at, m)| Step {
                at,
                stops: m.strip_prefix('!').map(|s| vec![s.to_owned()]).unwrap_or_default(),
                cautions: m.strip_prefix('?').map(|s| vec![s.to_owned()]).unwrap_or_default(),
            })
            .collect()
    }

    #[test]
    fn windows_are_runs_without_a_stop() {
        let zone = TimeZone::get("America/Chicago").unwrap();
        let s = steps(&["", "?dark", "", "!way out", "!way out", "", "?dark", ""]);
        let (open, shut) = cut(&s, "America/Chicago", &zone);
        assert_eq!(open.len(), 2);
        assert_eq!(open[0].start, "2026-10-17T18:40:00-05:00");
        assert_eq!(open[0].end, "2026-10-17T19:10:00-05:00");
        assert_eq!(open[0].cautions, ["dark"]);
        assert_eq!(shut[0].stops, ["way out"]);
        assert_eq!(
            (shut[0].start.as_str(), shut[0].end.as_str()),
            (open[0].end.as_str(), open[1].start.as_str())
        );
        assert_eq!(open[1].end, "2026-10-17T19:50:00-05:00");
        assert_eq!(cut(&steps(&["!a", "!b", ""]), "UTC", &TimeZone::UTC).0.len(), 0);
    }

    #[test]
    fn a_clock_reads_the_same_from_an_instant_and_from_its_text() {
        for zone in ["America/Chicago", "Asia/Kolkata"].map(|z| TimeZone::get(z).unwrap()) {
            for t in ["2026-10-17T23:40:29Z", "2026-10-17T23:40:30Z", "2026-10-17T23:59:45Z"] {
                let at: Timestamp = t.parse().unwrap();
                assert_eq!(clock(at, &zone), clock_of(&local(at, &zone)), "{t}");
            }
        }
        assert_eq!(clock_of("2026-10-17T19:40:31-05:00"), "19:41");
        assert_eq!(clock_of("no time"), "no time");
    }

    #[test]
    fn a_clock_change_inside_the_night_keeps_true_length() {
        let zone = TimeZone::get("America/Chicago").unwrap();
        let from: Timestamp = "2026-11-01T05:00:00Z".parse().unwrap();
        let all = moments(from, from + SignedDuration::from_hours(3));
        assert_eq!(all.len(), 19);
        assert_eq!(local(all[0], &zone), "2026-11-01T00:00:00-05:00");
        assert_eq!(local(all[18], &zone), "2026-11-01T02:00:00-06:00");
    }

    #[test]
    fn an_absurd_night_is_cut_short() {
        let from: Timestamp = "2026-11-01T05:00:00Z".parse().unwrap();
        assert_eq!(moments(from, from + SignedDuration::from_hours(9000)).len(), 289);
    }
}
