//! What speaks of a stretch of hours: everything typed, observed or forecast, each with its age.
//!
//! Rules (ours):
//! - a figure older than `conditions.dead_h` says nothing;
//! - what was seen (by an instrument, or measured by the crew) ages until the night begins, not until the plan is read:
//!   a buoy of noon says less of the night after next than of this one. It speaks of no hour later than
//!   `conditions.dead_h` after it was taken;
//! - a forecast that the crew typed was typed for its own night and for no more than `conditions.span_d` days ahead;
//! - of an instrument the newest reading of each quantity by itself counts;
//! - a report that says where it is, or names a tide station that we hold, speaks of no beach further than the caution
//!   border of `station.km`; how far one is that says neither is asked;
//! - a forecast speaks of the hours it holds for and of no others; its age is counted from its issue;
//! - of several that speak the worse for safety is planned on. Nothing is averaged, nothing weighs more.
//!
//! The one exception: what the crew measured itself, at a known time and no longer than the caution border of
//! `conditions.age_h` before the night, takes the place of what instruments read of the same quantity *up to that time*
//! ([`Voices::replaces`]). It never silences a forecast, nor a reading taken after it.

use super::turns::{each_column, holds};
use crate::facts::Known;
use crate::math::cos;
use crate::outing::file::{Outing, Report, ReportKind, Said};
use crate::outing::hours::Hours;
use crate::quantity::{Angle, Interval, Place};
use crate::sea::surf::SurfPack;
use crate::sea::tide::{Found, Stations};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

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
/// Half of the angle between two of sixteen compass words, degrees.
const HALF_POINT_DEG: f64 = 11.25;
/// A direction belongs to the speed or height read within these, h.
const PAIRED_H: f64 = 3.0;
impl ReadAt {
    /// Age in hours at the moment of reading; where only its day is known at the end of that day, the latest it may be.
    /// Unknown for what is dated after the reading.
    pub fn age_h(&self, at: Timestamp) -> Known<f64> {
        let age = Hours::hours_between(at, self.latest()) + CLOCKS_DIFFER_H;
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
    /// Age that counts, h: of what was seen when the night begins or when the plan is read, whichever is later; of a
    /// forecast when the plan is read.
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
    /// Tide stations: where a report stands that names one.
    pub stations: &'a Stations,
    /// Distance of each report of the outing to the beach, km.
    pub report_km: Vec<Option<f64>>,
    /// When it is read.
    pub read: ReadAt,
    /// The wanted hours.
    pub night: Interval,
    /// Hours after which a figure says nothing.
    pub dead_h: f64,
    /// Days ahead for which what was typed counts.
    pub span_d: f64,
    /// Hours for which a crew's own measurement takes the place of older readings.
    pub fresh_h: f64,
    /// Distance from which a report speaks of another place.
    pub far_km: f64,
}

impl Voices<'_> {
    /// Reports with their distance to the beach, as far as it is known where they stand.
    fn with_km(&self) -> impl Iterator<Item = (&Report, Option<f64>)> {
        self.outing.report.iter().zip(self.report_km.iter().copied().chain(core::iter::repeat(None)))
    }

    /// Reports that are heard: of this stretch of coast, as far as they say where they are.
    pub fn reports(&self) -> impl Iterator<Item = &Report> {
        self.with_km().filter(|(_, km)| km.is_none_or(|km| km <= self.far_km)).map(|(r, _)| r)
    }

    /// Reports of another place, with their distance in km.
    pub fn too_far(&self) -> impl Iterator<Item = (&Report, f64)> {
        self.with_km().filter_map(|(r, km)| Some((r, km.filter(|km| *km > self.far_km)?)))
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

    /// Age of what was seen at a moment, h: when the night begins, if that is after the reading of the plan.
    pub fn seen_age_h(&self, at: Timestamp) -> Known<f64> {
        match self.read.age_h(at) {
            Known::Known(h) => Known::Known(h.max(Hours::hours_between(at, self.night.from()))),
            Known::Unknown => Known::Unknown,
        }
    }

    /// Whether what was seen at a moment says nothing of these hours any more.
    pub fn gone(&self, at: Timestamp, hours: Interval) -> bool {
        self.dead(self.seen_age_h(at)) || Hours::hours_between(at, hours.from()) > self.dead_h
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

    /// A forecast that the crew typed, unless it is too old. Of figures whose age nobody knows the value stays, and the
    /// age is a question.
    pub fn typed<Q>(&self, section: Typed, value: Known<Q>) -> Option<Voice<Q>> {
        let at = self.typed_at(section);
        let age_h = at.get().map_or(Known::Unknown, |at| self.read.age_h(at));
        let ahead = at.get().is_some_and(|at| self.typed_ahead(at));
        let Known::Known(value) = value else { return None };
        let source = "forecast, typed by the crew".to_owned();
        (!self.dead(age_h) && !ahead)
            .then_some(Voice { value, whence: Whence { source, kind: "typed", at, age_h } })
    }

    /// What the crew measured at the time of `[sea]`, unless that is too long before these hours.
    pub fn measured<Q>(&self, value: Known<Q>, hours: Interval) -> Option<Voice<Q>> {
        let at = self.typed_at(Typed::Sea);
        let age_h = at.get().map_or(Known::Unknown, |at| self.seen_age_h(at));
        let Known::Known(value) = value else { return None };
        let source = "measured by the crew".to_owned();
        (!at.get().is_some_and(|at| self.gone(at, hours)))
            .then_some(Voice { value, whence: Whence { source, kind: "measured", at, age_h } })
    }

    /// Whether what the crew measured takes the place of what somebody else says: of an instrument's reading of the same
    /// quantity, taken no later than the measurement, when that was taken at a known time and not long before the night.
    pub fn replaces(&self, measured: &Whence, other: &Whence) -> bool {
        let (Known::Known(taken), Known::Known(before)) = (measured.at, other.at) else { return false };
        other.kind == ReportKind::Observed.word() && before <= taken && self.fresh(measured)
    }

    /// Whether a measurement was taken at a known time, before the reading, and not long before the night.
    pub fn fresh(&self, measured: &Whence) -> bool {
        measured.age_h.get().is_some_and(|_| {
            measured.at.get().is_some_and(|at| Hours::hours_between(at, self.night.from()) <= self.fresh_h)
        })
    }

    /// A measurement among what others say: before them, and in the place of those that it replaces.
    pub fn among<Q>(&self, measured: Option<Voice<Q>>, mut others: Vec<Voice<Q>>) -> Vec<Voice<Q>> {
        if let Some(m) = measured {
            others.retain(|o| !self.replaces(&m.whence, &o.whence));
            others.insert(0, m);
        }
        others
    }

    /// What the reports say of these hours.
    pub fn reported<Q: Copy>(
        &self,
        hours: Interval,
        column: impl Fn(&Report) -> &[Said<Q>],
    ) -> Vec<Voice<Q>> {
        self.reports().flat_map(|r| self.of_report(r, column(r), hours)).collect()
    }

    /// Where wind or waves come from, by a report: with the speed or height that was read with it, else not at all. An
    /// instrument whose newest row leaves the direction out does not know that of a day before.
    pub fn directions<Q: Copy>(
        &self,
        report: &Report,
        from: &[Said<Angle>],
        of: &[Said<Q>],
        hours: Interval,
    ) -> Vec<Voice<Angle>> {
        let mut from = self.of_report(report, from, hours);
        if report.kind == ReportKind::Observed {
            let with = self.of_report(report, of, hours);
            from.retain(|d| {
                with.iter().any(|w| match (d.whence.at, w.whence.at) {
                    (Known::Known(a), Known::Known(b)) => Hours::hours_between(a, b).abs() <= PAIRED_H,
                    _ => false,
                })
            });
        }
        from
    }

    /// How much of the wind may blow along the beach, as a share: of each direction that is said its part along with an
    /// error of half a compass point, all of it where the side is only a word or nobody said it.
    pub fn wind_along(&self, hours: Interval) -> f64 {
        let Known::Known(faces) = self.outing.beach.faces else { return 1.0 };
        if self.typed(Typed::Weather, self.outing.weather.wind_from).is_some() {
            return 1.0;
        }
        let said = self.reports().flat_map(|r| self.directions(r, &r.wind_from, &r.wind, hours));
        let along = said.map(|d| {
            let off = crate::sea::surf::off_normal(d.value, faces).deg().abs();
            let to_the_side = ((off - 90.0).abs() - HALF_POINT_DEG).max(0.0);
            cos(Angle::of_deg(to_the_side).rad())
        });
        along.reduce(f64::max).unwrap_or(1.0)
    }

    /// Reports of this coast that say nothing any more: their newest figure is too old to count. With its time and age.
    /// One that warns of something still speaks.
    pub fn silent(&self) -> Vec<(&Report, Timestamp, f64)> {
        let mut all = Vec::new();
        for r in self.reports().filter(|r| r.kind != ReportKind::Predicted && r.hazards.is_empty()) {
            // A forecast is as old as its issue when it is read, what was seen as old as it will be that night.
            let mut newest: Option<Timestamp> = None;
            each_column!(r, |said| newest = newest.max(said.last().map(|s| s.from.0)));
            let forecast = r.kind == ReportKind::Forecast;
            let Some(at) = (if forecast { r.issued.get().map(|i| i.0) } else { newest }) else { continue };
            let age_h = if forecast { self.read.age_h(at) } else { self.seen_age_h(at) };
            if let Known::Known(h) = age_h
                && self.dead(age_h)
            {
                all.push((r, at, h));
            }
        }
        all
    }

    /// What one report says of these hours in one of its columns.
    pub fn of_report<Q: Copy>(&self, report: &Report, said: &[Said<Q>], hours: Interval) -> Vec<Voice<Q>> {
        let whence = |at: Known<Timestamp>, age_h| Whence {
            source: report.source.clone(),
            kind: report.kind.word(),
            at,
            age_h,
        };
        match report.kind {
            ReportKind::Observed => {
                let newest =
                    said.iter().rfind(|s| s.from.0 < hours.to() && !self.read.age_h(s.from.0).is_unknown());
                let Some(s) = newest.filter(|s| !self.gone(s.from.0, hours)) else { return Vec::new() };
                let age_h = self.seen_age_h(s.from.0);
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
}

fn km_between(outing: &Outing, place: Place) -> f64 {
    let beach = Place::of_deg(outing.beach.latitude, outing.beach.longitude);
    beach.map_or(f64::INFINITY, |b| place.distance(b).km())
}

/// How far the reports of an outing stand from its beach, km, in their order.
pub(super) fn distances(outing: &Outing, stations: &Stations) -> Vec<Option<f64>> {
    outing.report.iter().map(|r| place_of(r, stations).map(|p| km_between(outing, p))).collect()
}

/// Where a report speaks of: as it says itself, else where the tide station stands that it names.
pub fn place_of(report: &Report, stations: &Stations) -> Option<Place> {
    let named = || station_of(report.station.as_ref()?, stations).map(|s| s.place());
    report.place().or_else(named)
}

/// The tide station that is meant by a name: its id in the pack, or the agency's own number, which stands in its source.
pub(super) fn station_of(name: &str, stations: &Stations) -> Option<Found> {
    let name = name.trim();
    let of_id = || stations.get(name).ok();
    // The agency's own number stands in the source; a shorter word could stand there by chance.
    let number = name.len() >= 5 && name.bytes().any(|b| b.is_ascii_digit());
    let says = |source: &str| number && source.split(|c: char| !c.is_alphanumeric()).any(|word| word == name);
    let own = || stations.stations.iter().find(|s| says(&s.source)).map(|s| s.id.as_str());
    let follows = || stations.subordinates.iter().find(|s| says(&s.source)).map(|s| s.id.as_str());
    of_id().or_else(|| stations.get(own().or_else(follows)?).ok())
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
    fn ages_are_hours_and_without_a_moment_those_at_the_end_of_the_day() {
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
        assert_eq!(read.age_h(t("2026-10-17T03:00:00Z")), Known::Known(26.0));
        assert_eq!(read.age_h(t("2026-10-18T03:00:00Z")), Known::Known(2.0));
        assert_eq!(read.age_h(t("2026-10-18T06:01:00Z")), Known::Unknown);
        assert_eq!(read.latest(), t("2026-10-18T05:00:00Z"));
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
