//! What gauges say of the water level: the weather's share of it, and how an agency's own prediction compares.
//!
//! A gauge's readings less the tide predicted *for that gauge* are the residual ([`Residual`]): it is carried to the
//! night and to the beach as it stands, with its age. A reading above an unsaid or other datum gives none. An agency's
//! predicted levels are no observation: they are compared with ours, and a difference is told.

use super::voices::{Voice, Voices, Whence};
use crate::facts::{Grade, Known};
use crate::outing::facts::Facts;
use crate::outing::file::{Report, ReportKind, Said};
use crate::outing::finding::Reason;
use crate::outing::hours::Hours;
use crate::quantity::{Interval, Length, Place};
use crate::sea::tide::{Found, Residual, Tide};
use jiff::{SignedDuration, Timestamp};

/// Difference of two predictions from which it is told, m (ours: what rounding and other constants explain is less).
const TOLD_FROM_M: f64 = 0.03;
/// Readings this far back from the newest are taken for a residual, h.
const TAKEN_H: i64 = 3;

/// What gauges give.
#[derive(Clone, Debug, Default)]
pub struct Gauges {
    /// Residuals, one a gauge.
    pub residuals: Vec<Voice<Length>>,
    /// What must be said beside them.
    pub notes: Vec<(String, Vec<Reason>)>,
}

/// Reads all gauges of the outing for a night.
pub fn gauges(v: &Voices<'_>, facts: &Facts, hours: Interval) -> Gauges {
    let mut all = Gauges::default();
    all.notes.extend(v.too_far().map(|(r, km)| {
        let why = format!("{}: it is {km:.0} km from the beach and is not heard.", r.source);
        (why, vec![Reason::new("distance of the report", km, "km", Grade::Derived, "great circle")])
    }));
    for r in v.reports().filter(|r| !r.water_level.is_empty()) {
        match r.kind {
            ReportKind::Observed => observed(v, facts, hours, r, &mut all),
            ReportKind::Predicted | ReportKind::Forecast => compared(v, facts, r, &mut all),
        }
    }
    all
}

/// The tide at a gauge over its readings: by the gauge's own station where we have it, else by the beach's.
fn tide_at(
    v: &Voices<'_>,
    facts: &Facts,
    r: &Report,
    from: Timestamp,
    to: Timestamp,
) -> Result<Tide, String> {
    let own = r.station.as_ref().and_then(|id| facts.stations.get(id).ok());
    // The weather's share of a level is not the same along a whole coast.
    if let (Some(found), Ok(beach)) = (&own, Place::of_deg(v.outing.beach.latitude, v.outing.beach.longitude))
    {
        let km = found.place().distance(beach).km();
        if km > v.far_km {
            return Err(format!("the gauge {} stands {km:.0} km from the beach", found.id()));
        }
    }
    let beach = || {
        let found = facts.stations.get(v.outing.beach.tide_station.as_ref()?).ok()?;
        // A gauge whose station is said and is not ours is another place: the beach's tide is not its tide.
        let same = match (&r.station, &found) {
            (Known::Unknown, _) => true,
            (Known::Known(id), Found::Station(s)) => {
                s.source.split(|c: char| !c.is_alphanumeric()).any(|w| w == id)
            }
            (Known::Known(_), Found::Subordinate(..)) => false,
        };
        same.then_some(found)
    };
    let Some(found) = own.or_else(beach) else {
        return Err(match &r.station {
            Known::Known(id) => format!("we hold no tide for the gauge {id}"),
            Known::Unknown => "its station is not said, and neither is one of the beach".to_owned(),
        });
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

fn observed(v: &Voices<'_>, facts: &Facts, hours: Interval, r: &Report, all: &mut Gauges) {
    let seen: Vec<&Said<Length>> = r
        .water_level
        .iter()
        .filter(|s| s.from.0 <= hours.to() && !v.read.age_h(s.from.0).is_unknown())
        .collect();
    let Some(newest) = seen.last().map(|s| s.from.0) else { return };
    let age_h = v.read.age_h(newest);
    let late = Hours::hours_between(newest, hours.from()) > v.dead_h;
    if late || age_h.get().is_some_and(|h| h > v.dead_h) {
        all.notes.push((format!("{}: the gauge's newest reading is too old to count.", r.source), vec![]));
        return;
    }
    let first = newest.checked_sub(SignedDuration::from_hours(TAKEN_H)).unwrap_or(newest);
    let taken: Vec<(Timestamp, Length)> =
        seen.iter().filter(|s| s.from.0 >= first).map(|s| (s.from.0, s.value)).collect();
    let residual = tide_at(v, facts, r, first, newest)
        .and_then(|tide| Residual::from_gauge(&tide, &taken).map_err(|e| e.error));
    match residual {
        Ok(found) => all.residuals.push(Voice {
            value: found.value,
            whence: Whence {
                source: r.source.clone(),
                kind: r.kind.word(),
                at: Known::Known(found.at),
                age_h,
            },
        }),
        Err(why) => {
            all.notes.push((format!("{}: no residual is taken of this gauge: {why}.", r.source), vec![]));
        }
    }
}

fn compared(v: &Voices<'_>, facts: &Facts, r: &Report, all: &mut Gauges) {
    let (Some(first), Some(last)) = (r.water_level.first(), r.water_level.last()) else { return };
    let tide = match tide_at(v, facts, r, first.from.0, last.from.0) {
        Ok(tide) => tide,
        Err(why) => {
            let note = format!("{}: its predicted levels are not compared with ours: {why}.", r.source);
            all.notes.push((note, vec![]));
            return;
        }
    };
    let mut most: Option<(f64, Timestamp)> = None;
    for s in &r.water_level {
        let Ok(ours) = tide.predicted(s.from.0) else { continue };
        let off = (s.value - ours).m();
        if most.is_none_or(|(m, _)| off.abs() > m.abs()) {
            most = Some((off, s.from.0));
        }
    }
    if let Some((off, at)) = most.filter(|(off, _)| off.abs() > TOLD_FROM_M) {
        let clock = crate::outing::windows::local(at, &v.read.zone);
        all.notes.push((
            format!(
                "{}: its predicted level differs from ours by up to {:.0} cm (at {clock}). Look at station, datum and clock of both; the higher is the safer.",
                r.source,
                off.abs() * 100.0
            ),
            vec![Reason::new("their level less ours", off, "m", Grade::Derived, "both predictions")],
        ));
    }
}
