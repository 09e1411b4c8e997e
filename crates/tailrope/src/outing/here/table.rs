//! A typed tide table for a night: whether it covers it without a gap, and whether it agrees with the named station.
//!
//! A curve drawn over a water that was left out may stand metres too low: between waters that lie too far apart for one
//! tide the table says nothing, unless the station's own waters show that none is missing there.

use super::{State, TideHere};
use crate::Result;
use crate::outing::facts::Facts;
use crate::outing::file::Outing;
use crate::outing::hours::Hours;
use crate::outing::limits::Limits;
use crate::outing::windows::local;
use crate::quantity::{Interval, Place};
use crate::sea::tide::{Found, Tide, TideTable, Turning, TurningPoint, TypedTable, Water};
use jiff::{SignedDuration, Timestamp};

/// Two waters further apart than this are not the same.
const SAME_WATER_H: i64 = 3;
/// Differences from which they are told, m and min: below, rounding and the places explain them (ours).
const TOLD_FROM: (f64, f64) = (0.03, 15.0);

/// The tide of the table, where it covers the night; else why it does not.
pub(super) fn look(
    here: &mut TideHere,
    facts: &Facts,
    outing: &Outing,
    typed: &TypedTable,
    hours: &Hours,
    around: Interval,
    limits: &Limits,
) -> Result<()> {
    let within = |e: crate::Error| e.within("beach.tide_table");
    let table = typed.table(Some(&hours.zone)).map_err(within)?;
    let beach = Place::of_deg(outing.beach.latitude, outing.beach.longitude)?;
    let named = outing.beach.tide_station.as_ref().and_then(|id| facts.stations.get(id).ok());
    let instead = named.as_ref().map_or_else(
        || "no tide is known for it".to_owned(),
        |s| format!("the tide of this night is that of {} ({})", s.name(), s.id()),
    );
    let Some(covers) = table.covers().filter(|c| c.from() <= hours.from && c.to() >= hours.until) else {
        let text = format!(
            "The typed tide table ({}) does not cover this night: {instead}. Type in the waters from before it to after it.",
            table.source
        );
        here.table.push(("short", text));
        return Ok(());
    };
    let nearest = facts.stations.nearest(beach, 1, true)?;
    let semidiurnal = nearest.first().is_some_and(|n| n.kind == "semidiurnal");
    let mut gaps = table.gaps(semidiurnal);
    gaps.retain(|g| semidiurnal || !none_missing(named.as_ref(), *g));
    if let Some(g) = gaps.iter().find(|g| g.from() < hours.until && g.to() > hours.from) {
        let at = |t| local(t, &hours.zone).get(..16).unwrap_or_default().replace('T', " ");
        let text = format!(
            "The typed tide table ({}) is not used this night: a water is missing between {} and {}; {instead}.",
            table.source,
            at(g.from()),
            at(g.to())
        );
        here.table.push(("gap", text));
        return Ok(());
    }
    // As far as its waters follow each other.
    let from = gaps.iter().map(|g| g.to()).filter(|at| *at <= hours.from).fold(covers.from(), Timestamp::max);
    let to = gaps.iter().map(|g| g.from()).filter(|at| *at >= hours.until).fold(covers.to(), Timestamp::min);
    let when = Interval::new(around.from().max(from), around.to().min(to))?;
    let tide = Tide::of_table(&table, when).map_err(within)?;
    here.notes.push(format!("The tide is that of the typed table ({}).", table.source));
    here.km = typed.place().map_err(within)?.map(|p| p.distance(beach).km()).into();
    here.of_table = true;
    if let Some(found) = &named {
        match apart(&table, found, when, hours, limits)? {
            Some(("whole", text)) => here.notes.push(text),
            Some(state) => here.table.push(state),
            None => {}
        }
    }
    here.tide = Some(tide);
    Ok(())
}

/// Whether the station's waters show that the tide of this coast may pause as long.
fn none_missing(named: Option<&Found>, gap: Interval) -> bool {
    let near = SignedDuration::from_hours(SAME_WATER_H);
    let (Ok(from), Ok(to)) = (gap.from().checked_add(near), gap.to().checked_sub(near)) else { return false };
    let tide = named.and_then(|s| Tide::of_found(s, Interval::new(from, to).ok()?).ok());
    tide.is_some_and(|t| t.turning_points(Turning::Printed).is_empty())
}

/// The table's waters against the station's. Heights are compared where both can be above one datum.
fn apart(
    table: &TideTable,
    found: &Found,
    when: Interval,
    hours: &Hours,
    limits: &Limits,
) -> Result<Option<State>> {
    let near = SignedDuration::from_hours(SAME_WATER_H);
    let wide = Interval::new(
        when.from().checked_sub(near).unwrap_or(when.from()),
        when.to().checked_add(near).unwrap_or(when.to()),
    )?;
    let own = Tide::of_found(found, wide)?;
    let (tide, heights) = match own.clone().above_datum(&table.datum) {
        Ok(tide) => (tide, true),
        Err(_) => (own, false),
    };
    let theirs = tide.turning_points(Turning::Printed);
    let minutes = |a: Timestamp, b: Timestamp| a.duration_since(b).as_secs_f64() / 60.0;
    let same = |a: (Timestamp, Water), b: (Timestamp, Water)| {
        a.1 == b.1 && minutes(a.0, b.0).abs() <= 60.0 * SAME_WATER_H as f64
    };
    let inside = |at: Timestamp| when.from() <= at && at <= when.to();
    let told = |water: Water, at: Timestamp| {
        let word = if water == Water::High { "high" } else { "low" };
        format!("{word} water of {}", crate::outing::windows::clock(at, &hours.zone))
    };
    let source = format!("The typed tide table ({})", table.source);
    let (mut height, mut time) = (0.0_f64, 0.0_f64);
    for w in table.waters.iter().filter(|w| inside(w.at)) {
        let nearest = |p: &&TurningPoint, q: &&TurningPoint| {
            minutes(p.at, w.at).abs().total_cmp(&minutes(q.at, w.at).abs())
        };
        let twin = theirs.iter().filter(|p| same((p.at, p.water), (w.at, w.water))).min_by(nearest);
        let Some(twin) = twin else {
            let text = format!("{source}: {} has none near its {}.", found.name(), told(w.water, w.at));
            return Ok(Some(("apart", text)));
        };
        let (dh, dt) = ((w.height - twin.level).m(), minutes(w.at, twin.at));
        height = if heights && dh.abs() > height.abs() { dh } else { height };
        time = if dt.abs() > time.abs() { dt } else { time };
    }
    let has = |p: &TurningPoint| table.waters.iter().any(|w| same((p.at, p.water), (w.at, w.water)));
    if let Some(p) = theirs.iter().find(|p| inside(p.at) && !has(p)) {
        let text = format!("{source} has none near the {} at {}.", told(p.water, p.at), found.name());
        return Ok(Some(("apart", text)));
    }
    if height.abs() <= TOLD_FROM.0 && time.abs() <= TOLD_FROM.1 {
        return Ok(None);
    }
    let far = height.abs() > limits.figure("tide.table_m") || time.abs() > limits.figure("tide.table_min");
    let cm = if heights { format!("{:.0} cm and ", height.abs() * 100.0) } else { String::new() };
    let text =
        format!("{source} differs from the tide of {} by up to {cm}{:.0} min.", found.name(), time.abs());
    Ok(Some((if far { "apart" } else { "whole" }, text)))
}
