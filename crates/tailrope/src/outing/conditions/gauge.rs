//! What gauges say of the water level: the weather's share of it, and how an agency's own prediction compares.
//!
//! A gauge's readings less the tide predicted *for that gauge* are the residual ([`Residual`]): it is carried to the
//! night and to the beach with its age: high water stays, low water fades ([`Share`]). Readings of three hours that
//! lie apart by more than the figure of the limits give none, since nobody knows what the water does next. A gauge that
//! does not say which station it is gives none, nor one further from the beach than the caution border of `station.km`,
//! nor one whose tide is of another type than that of the beach's own station or that seems to stand behind an inlet:
//! wind and pressure stand differently there. Water below the prediction at another station than the beach's own
//! promises no low water here, and water very far below it is a wrong clock, zone or datum until somebody looked. A reading above an unsaid or other datum gives none. An agency's predicted levels and its listed high and low
//! waters are no observation: they are compared with ours, and a difference is told.

use super::voices::{Voice, Voices, Whence, station_of};
use crate::facts::{Grade, Known};
use crate::outing::facts::Facts;
use crate::outing::file::{Report, ReportKind, Said};
use crate::outing::finding::Reason;
use crate::outing::hours::Hours;
use crate::outing::limits::Limits;
use crate::quantity::{Interval, Length, Place};
use crate::sea::tide::{Residual, Tide, Turning, TurningPoint, Water, held};
use jiff::{SignedDuration, Timestamp};

/// Difference of two predictions from which it is told, m (ours: what rounding and other constants explain is less).
const TOLD_FROM_M: f64 = 0.03;
/// The same of the time of a high or low water, min (ours: a flat high water is timed no better).
const TOLD_FROM_MIN: f64 = 15.0;
/// Two waters further apart than this are not the same, min.
const SAME_WATER_MIN: f64 = 180.0;
/// What to do about a difference.
const LOOK: &str = "Look at station, datum and clock of both; the higher is the safer.";
/// Readings this far back from the newest are taken for a residual, h.
const TAKEN_H: i64 = 3;

/// What weather adds to the tide, by one voice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Observed less predicted level.
    pub value: Length,
    /// How far readings of the last hours departed from it.
    pub spread: Length,
    /// Whether they lie too far apart for a value, or are not believed: then only its high end counts.
    pub apart: bool,
    /// Whether it was read at another station than the beach's own: there water below the prediction promises no low
    /// water here.
    pub elsewhere: bool,
}

/// What weather adds to the tide of a night, by all voices.
#[derive(Clone, Debug, PartialEq)]
pub struct Shares {
    voices: Vec<(Share, Known<Timestamp>)>,
    unread: Length,
    fades_h: f64,
}

impl Shares {
    /// From what was read and typed, with the figures of the limits.
    pub fn of(voices: &[Voice<Share>], limits: &Limits) -> Self {
        Self {
            voices: voices.iter().map(|v| (v.value, v.whence.at)).collect(),
            unread: Length::of_m(limits.figure("level.unread_m")),
            fades_h: limits.figure("level.fades_h").max(1e-3),
        }
    }

    /// Whether anybody read it.
    pub fn read(&self) -> bool {
        self.voices.iter().any(|(s, _)| !s.apart)
    }

    fn faded(&self, at: Timestamp, taken: Known<Timestamp>) -> f64 {
        let h = taken.get().map_or(self.fades_h, |taken| Hours::hours_between(taken, at).max(0.0));
        (h / self.fades_h).min(1.0)
    }

    /// The share expected at a moment, of several voices the highest; none where nobody read it. Water that stood below
    /// the prediction is back at it after the hours in which a reading fades; water above it is expected to stay.
    pub fn expected(&self, at: Timestamp) -> Option<Length> {
        let of = |(s, taken): &(Share, Known<Timestamp>)| held(s.value, self.faded(at, *taken));
        self.voices.iter().filter(|(s, _)| !s.apart).map(of).reduce(Length::max)
    }

    /// The highest that it may be at a moment: with the error of the reading, which grows to that of no reading at all;
    /// where nobody read it that error alone.
    pub fn high(&self, at: Timestamp) -> Length {
        let of = |(s, taken): &(Share, Known<Timestamp>)| {
            let faded = self.faded(at, *taken);
            let fresh = s.spread.min(self.unread);
            let error = s.spread.max(fresh + (self.unread - fresh) * faded);
            let value = if s.elsewhere { s.value.max(Length::ZERO) } else { s.value };
            held(value, faded) + error
        };
        let read = self.voices.iter().map(of).reduce(Length::max);
        match read {
            Some(high) if self.read() => high,
            other => other.map_or(self.unread, |high| high.max(self.unread)),
        }
    }
}

/// What gauges give.
#[derive(Clone, Debug, Default)]
pub struct Gauges {
    /// Residuals, one a gauge.
    pub residuals: Vec<Voice<Share>>,
    /// What must be said beside them.
    pub notes: Vec<(String, Vec<Reason>)>,
}

/// Reads all gauges of the outing for a night.
pub fn gauges(v: &Voices<'_>, facts: &Facts, limits: &Limits, hours: Interval) -> Gauges {
    let mut all = Gauges::default();
    all.notes.extend(v.too_far().map(|(r, km)| {
        let why = format!("{}: it is {km:.0} km from the beach and is not heard.", r.source);
        (why, vec![Reason::new("distance of the report", km, "km", Grade::Derived, "great circle")])
    }));
    for r in v.reports().filter(|r| !r.water_level.is_empty() || !r.listed_waters.is_empty()) {
        match r.kind {
            ReportKind::Observed => observed(v, facts, limits, hours, r, &mut all),
            ReportKind::Predicted | ReportKind::Forecast => compared(v, facts, r, &mut all),
        }
    }
    all
}

/// The tide at a gauge over its readings, by the gauge's own station.
fn tide_at(facts: &Facts, r: &Report, from: Timestamp, to: Timestamp) -> Result<Tide, String> {
    let Known::Known(name) = &r.station else {
        return Err(
            "which station it is is not said: tell it (station=), a gauge elsewhere is another water".into(),
        );
    };
    let Some(found) = station_of(name, &facts.stations) else {
        return Err(format!("we hold no tide for the gauge {name}"));
    };
    let hour = SignedDuration::from_hours(1);
    let (from, to) = (from.checked_sub(hour).unwrap_or(from), to.checked_add(hour).unwrap_or(to));
    let tide = Interval::new(from, to).and_then(|when| Tide::of_found(&found, when)).map_err(|e| e.error)?;
    match &r.datum {
        Known::Known(d) if *d == tide.about().datum => Ok(tide),
        Known::Known(d) => Err(format!("its levels are above {d}, our tide above {}", tide.about().datum)),
        Known::Unknown => Err("what its levels are above is not said".to_owned()),
    }
}

/// Whether a gauge's weather is the beach's: near enough, in a tide of one type, not behind an inlet; then whether it
/// is another station than the beach's own.
fn of_this_beach(v: &Voices<'_>, r: &Report) -> Result<bool, String> {
    // A gauge without a name, or without constants, is refused by the tide.
    let Some(found) = r.station.as_ref().and_then(|name| station_of(name, v.stations)) else {
        return Ok(true);
    };
    let beach = Place::of_deg(v.outing.beach.latitude, v.outing.beach.longitude).map_err(|e| e.error)?;
    let own = v.outing.beach.tide_station.as_ref().and_then(|id| v.stations.get(id).ok());
    v.stations.same_water(&found, beach, own.as_ref(), v.far_km)?;
    Ok(own.is_none_or(|own| own.id() != found.id()))
}

fn observed(v: &Voices<'_>, facts: &Facts, limits: &Limits, hours: Interval, r: &Report, all: &mut Gauges) {
    let seen: Vec<&Said<Length>> = r
        .water_level
        .iter()
        .filter(|s| s.from.0 <= hours.to() && !v.read.age_h(s.from.0).is_unknown())
        .collect();
    let Some(newest) = seen.last().map(|s| s.from.0) else { return };
    let age_h = v.seen_age_h(newest);
    if v.gone(newest, hours) {
        all.notes.push((format!("{}: the gauge's newest reading is too old to count.", r.source), vec![]));
        return;
    }
    let first = newest.checked_sub(SignedDuration::from_hours(TAKEN_H)).unwrap_or(newest);
    let taken: Vec<(Timestamp, Length)> =
        seen.iter().filter(|s| s.from.0 >= first).map(|s| (s.from.0, s.value)).collect();
    let residual = of_this_beach(v, r).and_then(|elsewhere| {
        let tide = tide_at(facts, r, first, newest)?;
        Ok((elsewhere, Residual::from_gauge(&tide, &taken).map_err(|e| e.error)?))
    });
    match residual {
        Ok((elsewhere, found)) => {
            let most = limits.figure("level.spread_m");
            let (apart, doubt) = (found.spread.m() > most, limits.figure("level.doubt_m"));
            let doubted = !found.is_usable(Length::of_m(doubt));
            if doubted {
                let why = format!(
                    "{}: its water stands {:.2} m below the prediction. Look at clock, zone and datum of the file: no low water is taken of it.",
                    r.source,
                    -found.value.m()
                );
                let of =
                    |name: &str, x: f64| Reason::new(name, x, "m", Grade::Derived, "gauge less prediction");
                let because =
                    vec![of("water below the prediction", -found.value.m()), of("believed to", doubt)];
                all.notes.push((why, because));
            }
            if apart {
                let why = format!(
                    "{}: no residual is taken of this gauge: its readings of {TAKEN_H} h lie up to {:.2} m from their middle, {:.2} m. The way out is reckoned with the highest.",
                    r.source,
                    found.spread.m(),
                    found.value.m()
                );
                let of =
                    |name: &str, x: f64| Reason::new(name, x, "m", Grade::Derived, "gauge less prediction");
                all.notes.push((
                    why,
                    vec![of("departure of the readings", found.spread.m()), of("at most", most)],
                ));
            }
            all.residuals.push(Voice {
                value: Share { value: found.value, spread: found.spread, apart: apart || doubted, elsewhere },
                whence: Whence {
                    source: r.source.clone(),
                    kind: r.kind.word(),
                    at: Known::Known(found.at),
                    age_h,
                },
            });
        }
        Err(why) => {
            all.notes.push((format!("{}: no residual is taken of this gauge: {why}.", r.source), vec![]));
        }
    }
}

fn compared(v: &Voices<'_>, facts: &Facts, r: &Report, all: &mut Gauges) {
    let ends = r.water_level.iter().map(|s| s.from.0).chain(r.listed_waters.iter().map(|w| w.at.0));
    let (Some(first), Some(last)) = (ends.clone().min(), ends.max()) else { return };
    let tide = match tide_at(facts, r, first, last) {
        Ok(tide) => tide,
        Err(why) => {
            let note = format!("{}: its predicted levels are not compared with ours: {why}.", r.source);
            all.notes.push((note, vec![]));
            return;
        }
    };
    all.notes.extend(levels_apart(v, r, &tide));
    all.notes.extend(waters_apart(v, r, &tide));
}

fn levels_apart(v: &Voices<'_>, r: &Report, tide: &Tide) -> Option<(String, Vec<Reason>)> {
    let mut most: Option<(f64, Timestamp)> = None;
    for s in &r.water_level {
        let Ok(ours) = tide.predicted(s.from.0) else { continue };
        let off = (s.value - ours).m();
        if most.is_none_or(|(m, _)| off.abs() > m.abs()) {
            most = Some((off, s.from.0));
        }
    }
    let (off, at) = most.filter(|(off, _)| off.abs() > TOLD_FROM_M)?;
    let clock = crate::outing::windows::local(at, &v.read.zone);
    Some((
        format!(
            "{}: its predicted level differs from ours by up to {:.0} cm (at {clock}). {LOOK}",
            r.source,
            off.abs() * 100.0
        ),
        vec![Reason::new("their level less ours", off, "m", Grade::Derived, "both predictions")],
    ))
}

/// Listed high and low waters against ours of the same kind.
fn waters_apart(v: &Voices<'_>, r: &Report, tide: &Tide) -> Option<(String, Vec<Reason>)> {
    let ours = tide.turning_points(Turning::Printed);
    let (mut height, mut minutes, mut lone) = (0.0_f64, 0.0_f64, None);
    for theirs in &r.listed_waters {
        let apart = |p: &TurningPoint| p.at.duration_since(theirs.at.0).as_secs_f64() / 60.0;
        let near = ours
            .iter()
            .filter(|p| p.water == theirs.water)
            .min_by(|a, b| apart(a).abs().total_cmp(&apart(b).abs()))
            .filter(|p| apart(p).abs() <= SAME_WATER_MIN);
        let Some(near) = near else {
            lone = lone.or(Some(theirs));
            continue;
        };
        let (dh, dt) = ((theirs.level - near.level).m(), -apart(near));
        height = if dh.abs() > height.abs() { dh } else { height };
        minutes = if dt.abs() > minutes.abs() { dt } else { minutes };
    }
    if let Some(w) = lone {
        let clock = crate::outing::windows::local(w.at.0, &v.read.zone);
        let word = match w.water {
            Water::High => "high",
            Water::Low => "low",
        };
        let note = format!("{}: we have no {word} water near that of {clock}. {LOOK}", r.source);
        return Some((note, vec![]));
    }
    if height.abs() <= TOLD_FROM_M && minutes.abs() <= TOLD_FROM_MIN {
        return None;
    }
    Some((
        format!(
            "{}: its high and low waters differ from ours by up to {:.0} cm and {:.0} min. {LOOK}",
            r.source,
            height.abs() * 100.0,
            minutes.abs()
        ),
        vec![
            Reason::new("their level less ours", height, "m", Grade::Derived, "both predictions"),
            Reason::new("their time less ours", minutes, "min", Grade::Derived, "both predictions"),
        ],
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shares(voices: &[(f64, f64, bool, &str)]) -> Shares {
        let voices = voices
            .iter()
            .map(|(value, spread, apart, at)| {
                let (value, spread) = (Length::of_m(*value), Length::of_m(*spread));
                (Share { value, spread, apart: *apart, elsewhere: false }, Known::Known(at.parse().unwrap()))
            })
            .collect();
        Shares { voices, unread: Length::of_m(0.3), fades_h: 24.0 }
    }

    fn at(t: &str) -> Timestamp {
        t.parse().unwrap()
    }

    #[test]
    fn high_water_stays_low_water_fades_and_the_error_grows_to_that_of_no_reading() {
        let near = |a: Length, b: f64| assert!((a.m() - b).abs() < 1e-9, "{a:?} is not {b}");
        let none = shares(&[]);
        near(none.high(at("2026-10-17T20:00Z")), 0.3);
        assert!(none.expected(at("2026-10-17T20:00Z")).is_none() && !none.read());
        let high = shares(&[(0.5, 0.04, false, "2026-10-17T20:00Z")]);
        near(high.high(at("2026-10-17T20:00Z")), 0.54);
        near(high.high(at("2026-10-18T08:00Z")), 0.5 + 0.17);
        near(high.high(at("2026-10-19T08:00Z")), 0.8);
        near(high.expected(at("2026-10-18T08:00Z")).unwrap(), 0.5);
        let low = shares(&[(-0.4, 0.0, false, "2026-10-17T20:00Z")]);
        near(low.expected(at("2026-10-18T08:00Z")).unwrap(), -0.2);
        near(low.high(at("2026-10-17T20:00Z")), -0.4);
        near(low.high(at("2026-10-18T20:00Z")), 0.3);
        // Readings that lie apart give no value, and their highest counts.
        let apart = shares(&[(-0.4, 1.3, true, "2026-10-17T20:00Z")]);
        assert!(!apart.read() && apart.expected(at("2026-10-17T20:00Z")).is_none());
        near(apart.high(at("2026-10-17T20:00Z")), 0.9);
        near(shares(&[(-1.0, 0.5, true, "2026-10-17T20:00Z")]).high(at("2026-10-17T20:00Z")), 0.3);
    }

    proptest! {
        #[test]
        fn a_second_gauge_or_a_later_hour_never_lowers_the_water(
            a in -0.5..1.0f64, b in -0.5..1.0f64, sa in 0.0..0.3f64, sb in 0.0..0.3f64, h in 0.0..40.0f64, later in 0.0..6.0f64,
        ) {
            let t = "2026-10-17T00:00Z";
            let when = |h: f64| crate::quantity::shift(at(t), 3600.0 * h);
            let one = shares(&[(a, sa, false, t)]);
            let two = shares(&[(a, sa, false, t), (b, sb, false, t)]);
            prop_assert!(two.high(when(h)) >= one.high(when(h)));
            prop_assert!(one.high(when(h + later)).m() >= one.high(when(h)).m() - 1e-12);
            prop_assert!(one.expected(when(h)).unwrap() <= one.high(when(h)));
        }
    }
}
