//! What speaks of a stretch of hours: everything typed, observed or forecast, each with its age.
//!
//! Rules (ours):
//! - a figure older than `conditions.dead_h` says nothing;
//! - what the crew typed was typed for its own night and for no more than `conditions.span_d` days ahead;
//! - of an instrument the newest reading of each quantity by itself counts, and it speaks of no hour later than
//!   `conditions.dead_h` after it was taken;
//! - a report that says where it is speaks of no beach further than the caution border of `station.km`;
//! - a forecast speaks of the hours it holds for; its age is counted from its issue;
//! - of several that speak the worse for safety is planned on. Nothing is averaged, nothing weighs more.

use crate::facts::Known;
use crate::outing::file::{Outing, Report, ReportKind, Said};
use crate::outing::hours::Hours;
use crate::quantity::{Interval, Place};
use crate::sea::surf::SurfPack;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// When the plan is read.
#[derive(Clone, Debug)]
pub struct ReadAt {
    /// The moment, where it is known.
    pub now: Option<Timestamp>,
    /// The day.
    pub day: Date,
    /// The beach's own time.
    pub zone: TimeZone,
}

/// A clock that runs ahead by so much is still a clock, h.
const CLOCKS_DIFFER_H: f64 = 1.0;
/// A forecast given for instants holds until the next, within these, h.
const HOLDS_H: [i64; 2] = [1, 3];

impl ReadAt {
    /// Age in hours: true hours where the moment of reading is known, else whole days. Unknown for what is dated after
    /// the reading.
    pub fn age_h(&self, at: Timestamp) -> Known<f64> {
        let age = match self.now {
            Some(now) => Hours::hours_between(at, now) + CLOCKS_DIFFER_H,
            None => {
                self.day.duration_since(self.zone.to_datetime(at).date()).as_secs_f64() / 3600.0
                    + CLOCKS_DIFFER_H
            }
        };
        if age < 0.0 { Known::Unknown } else { Known::Known((age - CLOCKS_DIFFER_H).max(0.0)) }
    }

    /// The latest moment that the reading may be: itself, or the end of its day.
    pub fn latest(&self) -> Timestamp {
        self.now.unwrap_or_else(|| {
            let end = self.day.tomorrow().unwrap_or(self.day);
            self.zone.to_timestamp(end.at(0, 0, 0, 0)).unwrap_or(Timestamp::MAX)
        })
    }
}

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Whence {
    /// Who said it.
    pub source: String,
    /// How it came to be: `measured` by the crew, `typed` by it, `observed` by an instrument, `forecast`.
    pub kind: &'static str,
    /// When it was measured or issued.
    pub at: Known<Timestamp>,
    /// Age at the reading, h.
    pub age_h: Known<f64>,
}

/// A figure and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Voice<Q> {
    /// The figure.
    pub value: Q,
    /// Whence.
    pub whence: Whence,
}

impl<Q: Copy> Voice<Q> {
    /// The same source for what follows from it.
    pub fn map<R>(&self, f: impl FnOnce(Q) -> R) -> Voice<R> {
        Voice { value: f(self.value), whence: self.whence.clone() }
    }
}

/// Which section of an outing a figure was typed into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typed {
    /// `[sea]`.
    Sea,
    /// `[weather]`.
    Weather,
}

/// Everything that may speak, and the rules by which it may.
pub struct Voices<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// What the surf's models take.
    pub surf: &'a SurfPack,
    /// When it is read.
    pub read: ReadAt,
    /// The wanted hours.
    pub night: Interval,
    /// Hours after which a figure says nothing.
    pub dead_h: f64,
    /// Days ahead for which what was typed counts.
    pub span_d: f64,
    /// Hours for which a crew's own measurement rules alone.
    pub fresh_h: f64,
    /// Distance from which a report speaks of another place.
    pub far_km: f64,
}

impl Voices<'_> {
    fn km(&self, r: &Report) -> Option<f64> {
        let beach = Place::of_deg(self.outing.beach.latitude, self.outing.beach.longitude).ok()?;
        Some(r.place()?.distance(beach).km())
    }

    /// Reports that are heard: of this stretch of coast, as far as they say where they are.
    pub fn reports(&self) -> impl Iterator<Item = &Report> {
        self.outing.report.iter().filter(|r| self.km(r).is_none_or(|km| km <= self.far_km))
    }

    /// Reports of another place, with their distance in km.
    pub fn too_far(&self) -> impl Iterator<Item = (&Report, f64)> {
        self.outing.report.iter().filter_map(|r| Some((r, self.km(r).filter(|km| *km > self.far_km)?)))
    }

    /// When a section was typed or issued.
    pub fn typed_at(&self, section: Typed) -> Known<Timestamp> {
        let as_of = match section {
            Typed::Sea => self.outing.sea.as_of,
            Typed::Weather => self.outing.weather.as_of,
        };
        let Known::Known(m) = as_of else { return Known::Unknown };
        self.read.zone.to_ambiguous_timestamp(m.0).compatible().ok().into()
    }

    fn whence(&self, section: Typed, measured: bool) -> Whence {
        let at = self.typed_at(section);
        let age_h = at.get().map_or(Known::Unknown, |at| self.read.age_h(at));
        let (kind, source) = if measured {
            ("measured", "measured by the crew")
        } else {
            ("typed", "forecast, typed by the crew")
        };
        Whence { source: source.to_owned(), kind, at, age_h }
    }

    /// Whether a moment lies so far ahead of a typed figure that it speaks of it no more, or the figure is dead: its age,
    /// or what is as good as dead.
    pub fn too_old_h(&self, at: Timestamp) -> Known<f64> {
        match self.read.age_h(at) {
            Known::Known(h) if self.typed_ahead(at) => Known::Known(h.max(self.dead_h + 1.0)),
            age => age,
        }
    }

    /// Whether the night lies further ahead of a typed figure than a forecast reaches.
    fn typed_ahead(&self, at: Timestamp) -> bool {
        let typed_on = self.read.zone.to_datetime(at).date();
        self.outing.night.date.0.duration_since(typed_on).as_secs_f64() / 86_400.0 > self.span_d
    }

    pub(super) fn dead(&self, age_h: Known<f64>) -> bool {
        age_h.get().is_some_and(|h| h > self.dead_h)
    }

    /// A typed figure, unless it is too old. Of figures whose age nobody knows the value stays, and the age is a
    /// question.
    pub fn typed<Q>(&self, section: Typed, value: Known<Q>, measured: bool) -> Option<Voice<Q>> {
        let whence = self.whence(section, measured);
        let ahead = whence.at.get().is_some_and(|at| self.typed_ahead(at));
        let Known::Known(value) = value else { return None };
        (!self.dead(whence.age_h) && !ahead).then_some(Voice { value, whence })
    }

    /// Whether what the crew measured rules alone for these hours: taken by the crew, and not long before them.
    pub fn fresh(&self, section: Typed, hours: Interval) -> bool {
        let Known::Known(at) = self.typed_at(section) else { return true };
        // Typed readings carry a day's clock at best; those after the hours begin are as fresh as can be.
        Hours::hours_between(at, hours.from()) <= self.fresh_h
    }

    /// What the reports say of these hours.
    pub fn reported<Q: Copy>(
        &self,
        hours: Interval,
        column: impl Fn(&Report) -> &[Said<Q>],
    ) -> Vec<Voice<Q>> {
        self.reports().flat_map(|r| self.of_report(r, column(r), hours)).collect()
    }

    /// What one report says of these hours in one of its columns; of hours that it leaves out, what it says of the
    /// night.
    pub fn of_report<Q: Copy>(&self, report: &Report, said: &[Said<Q>], hours: Interval) -> Vec<Voice<Q>> {
        let these = self.within(report, said, hours);
        if these.is_empty() && hours != self.night { self.within(report, said, self.night) } else { these }
    }

    fn within<Q: Copy>(&self, report: &Report, said: &[Said<Q>], hours: Interval) -> Vec<Voice<Q>> {
        let whence = |at: Known<Timestamp>, age_h| Whence {
            source: report.source.clone(),
            kind: report.kind.word(),
            at,
            age_h,
        };
        match report.kind {
            ReportKind::Observed => {
                let newest =
                    said.iter().rfind(|s| s.from.0 <= hours.to() && !self.read.age_h(s.from.0).is_unknown());
                let Some(s) = newest else { return Vec::new() };
                let age_h = self.read.age_h(s.from.0);
                let late = Hours::hours_between(s.from.0, hours.from()) > self.dead_h;
                if self.dead(age_h) || late {
                    return Vec::new();
                }
                vec![Voice { value: s.value, whence: whence(Known::Known(s.from.0), age_h) }]
            }
            ReportKind::Forecast => {
                let at: Known<Timestamp> = report.issued.get().map(|i| i.0).into();
                let age_h = at.get().map_or(Known::Unknown, |at| self.read.age_h(at));
                if self.dead(age_h) {
                    return Vec::new();
                }
                said.iter()
                    .enumerate()
                    .filter(|(i, _)| {
                        let (from, to) = holds(said, *i);
                        from < hours.to() && to > hours.from()
                    })
                    .map(|(_, s)| Voice { value: s.value, whence: whence(at, age_h) })
                    .collect()
            }
            ReportKind::Predicted => Vec::new(),
        }
    }

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

    /// Moments within these hours at which a forecast begins or ceases to hold.
    pub fn turns(&self, hours: Interval) -> Vec<Timestamp> {
        let mut all = Vec::new();
        for r in self.reports().filter(|r| r.kind == ReportKind::Forecast) {
            edges(&r.wave_height, &mut all);
            edges(&r.wave_period, &mut all);
            edges(&r.mean_period, &mut all);
            edges(&r.waves_from, &mut all);
            edges(&r.swell_height, &mut all);
            edges(&r.swell_period, &mut all);
            edges(&r.second_swell_height, &mut all);
            edges(&r.second_swell_period, &mut all);
            edges(&r.wind_sea_height, &mut all);
            edges(&r.wind_sea_period, &mut all);
            edges(&r.water_temperature, &mut all);
            edges(&r.wind, &mut all);
            edges(&r.gust, &mut all);
            edges(&r.wind_from, &mut all);
            edges(&r.air_temperature, &mut all);
            edges(&r.visibility, &mut all);
            edges(&r.humidity, &mut all);
            edges(&r.thunder_chance, &mut all);
            edges(&r.lightning_level, &mut all);
            edges(&r.current, &mut all);
            edges(&r.weather, &mut all);
            super::warned::edges(&r.hazards, &mut all);
        }
        all.retain(|at| *at > hours.from() && *at < hours.to());
        all.sort_unstable();
        all.dedup();
        all
    }
}

fn edges<Q>(said: &[Said<Q>], all: &mut Vec<Timestamp>) {
    for i in 0..said.len() {
        let (from, to) = holds(said, i);
        all.extend([from, to]);
    }
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

/// The voice whose key is greatest; of equals the first.
pub fn worst<Q: Copy>(voices: &[Voice<Q>], key: impl Fn(Q) -> f64) -> Option<&Voice<Q>> {
    let mut found: Option<&Voice<Q>> = None;
    for v in voices {
        if found.is_none_or(|f| key(v.value) > key(f.value)) {
            found = Some(v);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn t(text: &str) -> Timestamp {
        text.parse().unwrap()
    }

    #[test]
    fn ages_are_true_hours_where_the_moment_is_known_else_days() {
        let zone = TimeZone::get("America/Chicago").unwrap();
        let mut read =
            ReadAt { now: Some(t("2026-10-17T20:00:00Z")), day: jiff::civil::date(2026, 10, 17), zone };
        assert_eq!(read.age_h(t("2026-10-17T06:30:00Z")), Known::Known(13.5));
        assert_eq!(
            read.age_h(t("2026-10-17T20:40:00Z")),
            Known::Known(0.0),
            "a clock may run ahead a little"
        );
        assert_eq!(read.age_h(t("2026-10-17T21:10:00Z")), Known::Unknown, "from the future");
        read.now = None;
        // 03:00Z on the 17th is the evening of the 16th at the beach.
        assert_eq!(read.age_h(t("2026-10-17T03:00:00Z")), Known::Known(24.0));
        assert_eq!(read.age_h(t("2026-10-18T03:00:00Z")), Known::Known(0.0));
        assert_eq!(read.age_h(t("2026-10-18T06:00:00Z")), Known::Unknown);
        assert_eq!(read.latest(), t("2026-10-18T05:00:00Z"));
    }

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
    fn the_worst_of_equals_is_the_first() {
        let v = |value: f64, source: &str| Voice {
            value,
            whence: Whence {
                source: source.into(),
                kind: "observed",
                at: Known::Unknown,
                age_h: Known::Unknown,
            },
        };
        let all = [v(1.0, "a"), v(2.0, "b"), v(2.0, "c")];
        assert_eq!(worst(&all, |x| x).unwrap().whence.source, "b");
        assert_eq!(worst(&all, |x| -x).unwrap().whence.source, "a");
        assert!(worst::<f64>(&[], |x| x).is_none());
    }
}
