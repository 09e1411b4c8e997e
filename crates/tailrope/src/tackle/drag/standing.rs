//! Which readings count together.
//!
//! Two readings are one figure only if the scale hung at the same place and the preset stood the same. Nothing is lost:
//! a reading that does not count stays where it is, and why is told.

use super::context::ReadingContext;
use super::reading::{Reading, ScalePlace};
use super::{DragPlan, Preset};
use crate::facts::Known;
use crate::{Error, Result};
use jiff::civil::Date;
use serde::Serialize;

/// A reading that the curve does not use.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Its index among the outfit's readings.
    pub reading: usize,
    /// Why, in words.
    pub why: String,
}

/// Readings of one place and one preset.
pub(super) struct Standing {
    /// Indices of those that count.
    pub used: Vec<usize>,
    /// The others.
    pub left_out: Vec<LeftOut>,
    /// Where the scale hung.
    pub place: ScalePlace,
}

/// `readings[0], readings[2]`.
pub(super) fn list(indices: &[usize]) -> String {
    let names: Vec<String> = indices.iter().map(|i| format!("readings[{i}]")).collect();
    names.join(", ")
}

/// Sorts the readings. Refuses readings none of which stands, of mixed presets while nobody says where the preset stands
/// now, of mixed places unless `only` picks one, and one that does not say where the scale hung.
pub(super) fn standing(
    readings: &[Reading],
    only: Option<ScalePlace>,
    ctx: &ReadingContext<'_>,
) -> Result<Standing> {
    if readings.is_empty() {
        return Err(Error::new(
            "no scale reading",
            "at least one",
            "pull on a scale over the bent rod, three or four times, at each mark",
        ));
    }
    let mut left_out = Vec::new();
    let mut used = Vec::new();
    let mut turned_away = false;
    for (i, r) in readings.iter().enumerate() {
        let stale = stale(r, ctx.preset, ctx.preset_turned);
        turned_away |= stale.is_some();
        match (r.doubtful.is_empty(), stale) {
            (false, _) => left_out.push(LeftOut { reading: i, why: format!("doubtful: {}", r.doubtful) }),
            (true, Some(why)) => left_out.push(LeftOut { reading: i, why }),
            (true, None) => used.push(i),
        }
    }
    if used.is_empty() {
        return Err(none_stands(&left_out, turned_away));
    }
    one_preset(readings, &used)?;
    let place = one_place(readings, &used, only)?;
    used.retain(|i| {
        let here = readings[*i].at == Known::Known(place);
        if !here {
            left_out.push(LeftOut { reading: *i, why: format!("not {}: kept apart", place.words()) });
        }
        here
    });
    if used.is_empty() {
        return Err(Error::new(
            format!("no reading {}", place.words()),
            "at least one",
            "hook the scale there",
        ));
    }
    left_out.sort_by_key(|l| l.reading);
    Ok(Standing { used, left_out, place })
}

impl Reading {
    /// Whether it counts under this plan: not doubtful, and taken as the preset stands now.
    pub fn stands(&self, plan: &DragPlan) -> bool {
        self.doubtful.is_empty() && stale(self, plan.preset, plan.preset_turned).is_none()
    }
}

/// Why a reading no longer stands, if the preset was turned since.
fn stale(r: &Reading, preset: Known<Preset>, turned: Known<Date>) -> Option<String> {
    match (r.preset, preset) {
        (Known::Known(then), Known::Known(now)) if then == now => None,
        (Known::Known(then), Known::Known(now)) => {
            Some(format!("taken with the preset at {then}; it stands at {now} now"))
        }
        _ => match (r.date, turned) {
            (Known::Known(read), Known::Known(turned)) if read < turned => {
                Some(format!("read on {read}; the preset was turned on {turned}"))
            }
            // Nobody can say that it was taken after the turn.
            (Known::Unknown, Known::Known(turned)) => {
                Some(format!("it carries no date, and the preset was turned on {turned}"))
            }
            _ => None,
        },
    }
}

fn none_stands(left_out: &[LeftOut], turned_away: bool) -> Error {
    let why = left_out.first().map_or("", |l| l.why.as_str());
    let remedy = if turned_away {
        "pull on the scale again with the preset as it stands, or with the lever in FREE turn it back"
    } else {
        "pull on the scale again"
    };
    let all: Vec<usize> = left_out.iter().map(|l| l.reading).collect();
    Error::new(format!("no reading counts: {why}"), "a reading that was taken as the reel stands now", remedy)
        .within(list(&all))
}

fn one_preset(readings: &[Reading], used: &[usize]) -> Result<()> {
    let said: Vec<usize> = used.iter().copied().filter(|i| !readings[*i].preset.is_unknown()).collect();
    let Some(first) = said.first() else { return Ok(()) };
    let Some(other) = said.iter().find(|i| readings[**i].preset != readings[*first].preset) else {
        return Ok(());
    };
    let at = |i: usize| readings[i].preset.get().map_or_else(String::new, |p| p.to_string());
    Err(Error::new(
        format!(
            "readings with the preset at {} (readings[{first}]) mixed with readings at {} (readings[{other}])",
            at(*first),
            at(*other)
        ),
        "readings of one preset",
        "write where it stands now as drag.preset of the outfit: only readings at that preset are used",
    )
    .within("readings"))
}

fn one_place(readings: &[Reading], used: &[usize], only: Option<ScalePlace>) -> Result<ScalePlace> {
    if let Some(i) = used.iter().find(|i| readings[**i].at.is_unknown()) {
        return Err(Error::new(
            "a reading that does not say where the scale was hooked",
            "at = \"reel\" or at = \"tip\"",
            "ask who took it; a reading at the tip holds the guides, one off the reel does not",
        )
        .within(format!("readings[{i}].at")));
    }
    if let Some(place) = only {
        return Ok(place);
    }
    let at =
        |p| -> Vec<usize> { used.iter().copied().filter(|i| readings[*i].at == Known::Known(p)).collect() };
    let (reel, tip) = (at(ScalePlace::Reel), at(ScalePlace::Tip));
    match (reel.is_empty(), tip.is_empty()) {
        (false, false) => Err(Error::new(
            format!(
                "readings off the reel ({}) mixed with readings at the tip ({})",
                list(&reel),
                list(&tip)
            ),
            "readings of one place",
            "use those of one place; the others are kept apart and compared, not averaged",
        )
        .within("readings")),
        (false, true) => Ok(ScalePlace::Reel),
        _ => Ok(ScalePlace::Tip),
    }
}
