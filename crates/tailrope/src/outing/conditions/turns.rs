//! When a voice begins and ceases to speak: the moments at which a night is cut, and for how long a forecast holds.
//!
//! Model: a forecast's reading holds to its own end, or where it gives none until the next of its kind, an hour at least
//! and three at most; what was seen speaks until it is `conditions.dead_h` old. A night is cut at full ten minutes: of
//! what changes within ten minutes the worse counts for all ten, and a gap of less is none. So a forecast of many rows
//! never costs more than a piece for each ten minutes.

use super::voices::{Typed, Voices};
use crate::outing::file::{Instant, Outing, Report, ReportKind, Said};
use crate::quantity::{Interval, shift};
use jiff::{SignedDuration, Timestamp};

/// Does something with every column of a report that bears on sea and weather, levels apart.
macro_rules! each_column {
    ($r:expr, |$said:ident| $do:expr) => {
        each_column!(@ $r, $said, $do; wave_height wave_period mean_period waves_from swell_height swell_period
            second_swell_height second_swell_period wind_sea_height wind_sea_period water_temperature wind gust wind_from
            air_temperature visibility humidity thunder_chance lightning_level current weather)
    };
    (@ $r:expr, $said:ident, $do:expr; $($column:ident)*) => {
        {
            $(
                let $said = &$r.$column;
                $do;
            )*
        }
    };
}
pub(super) use each_column;

/// Hours before a night in which a peak of the waves may have jumped.
const BEFORE_H: f64 = 7.0;
/// Nothing is judged in shorter pieces: ten minutes, ns.
const STEP_NS: i128 = 600_000_000_000;
/// A forecast given for instants holds until the next, within these, h.
const HOLDS_H: [i64; 2] = [1, 3];

impl Voices<'_> {
    /// Moments of these hours at which one of these readings begins to hold, or holds already.
    pub fn begins<Q>(&self, said: &[Said<Q>], hours: Interval) -> Vec<Timestamp> {
        let mut all: Vec<Timestamp> = (0..said.len())
            .map(|i| holds(said, i))
            .filter(|(from, to)| *from < hours.to() && *to > hours.from())
            .map(|(from, _)| from.max(hours.from()))
            .collect();
        all.dedup();
        all
    }

    /// Moments within these hours at which a voice begins or ceases to speak.
    pub fn turns(&self, hours: Interval) -> Vec<Timestamp> {
        let mut all: Vec<Timestamp> =
            self.typed_at(Typed::Sea).get().map(|at| self.last(at)).into_iter().collect();
        for r in self.reports() {
            each_column!(r, |said| self.edges(r, said, &mut all));
            super::warned::edges(&r.hazards, &mut all);
        }
        let mut all: Vec<Timestamp> = all.into_iter().flat_map(around).collect();
        all.retain(|at| *at > hours.from() && *at < hours.to());
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The last moment of which what was seen then says anything.
    fn last(&self, seen: Timestamp) -> Timestamp {
        shift(seen, 3600.0 * self.dead_h)
    }

    fn edges<Q>(&self, r: &Report, said: &[Said<Q>], all: &mut Vec<Timestamp>) {
        match r.kind {
            ReportKind::Observed => {
                // Of an instrument the newest counts; those of the night itself each begin to.
                all.extend(said.last().map(|s| self.last(s.from.0)));
                all.extend(said.iter().map(|s| s.from.0).filter(|at| *at > self.night.from()));
            }
            ReportKind::Forecast => {
                for i in 0..said.len() {
                    let (from, to) = holds(said, i);
                    all.extend([from, to]);
                }
            }
            ReportKind::Predicted => {}
        }
    }
}

/// The full ten minutes before and after a moment, itself where it is one. A voice that begins or ends between them
/// speaks of all ten: of what does not last so long the worse counts.
fn around(at: Timestamp) -> [Timestamp; 2] {
    let ns = at.as_nanosecond();
    let before = ns.div_euclid(STEP_NS) * STEP_NS;
    let whole = |ns: i128| Timestamp::from_nanosecond(ns).unwrap_or(at);
    [whole(before), if before == ns { at } else { whole(before + STEP_NS) }]
}

/// The outing with of each forecast only what bears on a night and the hours before it, each reading with its own end.
pub fn trimmed(outing: &Outing, night: Interval) -> Outing {
    let from = shift(night.from(), -3600.0 * BEFORE_H);
    let mut outing = outing.clone();
    for r in outing.report.iter_mut().filter(|r| r.kind == ReportKind::Forecast) {
        let whole = r.clone();
        macro_rules! keep {
            ($($column:ident)*) => {
                $(r.$column = kept(&whole.$column, from, night.to());)*
            };
        }
        keep!(wave_height wave_period mean_period waves_from swell_height swell_period second_swell_height
            second_swell_period wind_sea_height wind_sea_period water_temperature wind gust wind_from air_temperature
            visibility humidity thunder_chance lightning_level current weather);
    }
    outing
}

fn kept<Q: Clone>(said: &[Said<Q>], first: Timestamp, last: Timestamp) -> Vec<Said<Q>> {
    said.iter()
        .enumerate()
        .map(|(i, s)| (s, holds(said, i)))
        .filter(|(_, (from, to))| *from < last && *to > first)
        .map(|(s, (_, to))| Said { to: Some(Instant(to)), ..s.clone() })
        .collect()
}

/// For which stretch a forecast's reading holds.
pub fn holds<Q>(said: &[Said<Q>], i: usize) -> (Timestamp, Timestamp) {
    let Some(s) = said.get(i) else { return (Timestamp::MAX, Timestamp::MAX) };
    let from = s.from.0;
    if let Some(to) = s.to.filter(|to| *to > s.from) {
        return (from, to.0);
    }
    let [least, most] = HOLDS_H.map(|h| from.checked_add(SignedDuration::from_hours(h)).unwrap_or(from));
    let next = said.iter().skip(i + 1).map(|n| n.from.0).find(|n| *n > from).unwrap_or(least);
    (from, next.clamp(least.min(next), most))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::hours::Hours;

    #[test]
    fn a_forecast_for_instants_holds_until_the_next_within_three_hours() {
        let said = |from: &str, to: Option<&str>| Said {
            value: 1.0,
            from: from.parse().unwrap(),
            to: to.map(|t| t.parse().unwrap()),
        };
        let list = [
            said("2026-10-17T00:00Z", None),
            said("2026-10-17T01:00Z", None),
            said("2026-10-17T09:00Z", None),
            said("2026-10-17T12:00Z", Some("2026-10-17T18:00Z")),
        ];
        let of = |i| {
            let (a, b) = holds(&list, i);
            Hours::hours_between(a, b)
        };
        assert_eq!([of(0), of(1), of(2), of(3)], [1.0, 3.0, 3.0, 6.0]);
        assert_eq!(Hours::hours_between(holds(&list[..1], 0).0, holds(&list[..1], 0).1), 1.0);
        assert_eq!(holds(&list, 9), (Timestamp::MAX, Timestamp::MAX));
    }

    #[test]
    fn cuts_lie_on_full_ten_minutes() {
        let t = |text: &str| text.parse::<Timestamp>().unwrap();
        let of = |at: &str| around(t(at));
        assert_eq!(of("2026-10-17T23:30:00Z"), [t("2026-10-17T23:30:00Z"); 2]);
        assert_eq!(of("2026-10-17T23:33:07Z"), [t("2026-10-17T23:30:00Z"), t("2026-10-17T23:40:00Z")]);
        assert_eq!(of("1969-12-31T23:59:59.5Z"), [t("1969-12-31T23:50:00Z"), t("1970-01-01T00:00:00Z")]);
    }
}
