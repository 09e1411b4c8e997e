//! Which drag serves the fish best, within what people, parts and spool allow.

use super::forecast::Forecast;
use super::setup::Setup;
use crate::quantity::Force;
use serde::Serialize;

/// What a drag must keep to be eligible. All are project defaults that the crew's limits replace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DragLimits {
    /// Greatest drag at the reel, full spool, that footing allows.
    pub footing_cap: Force,
    /// Greatest drag at the reel, full spool, that keeps the margin of the weakest part.
    pub parts_cap: Force,
    /// Chance of an empty spool at most.
    pub spooled_at_most: f64,
    /// Chance that a part lets go at most.
    pub parted_at_most: f64,
    /// Chance that the angler is moved at most.
    pub moved_at_most: f64,
    /// Chance to bring the fish to hand at least.
    pub to_hand_at_least: f64,
    /// What 100 m of line left on each hooked fish would weigh against the chance that one is brought to hand
    /// and lives.
    pub trailing_weight: f64,
}

impl Default for DragLimits {
    fn default() -> Self {
        Self {
            footing_cap: Force::of_n(1e6),
            parts_cap: Force::of_n(1e6),
            spooled_at_most: 0.1,
            parted_at_most: 0.1,
            moved_at_most: 0.1,
            to_hand_at_least: 0.5,
            trailing_weight: 0.2,
        }
    }
}

/// One drag of the sweep.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DragRow {
    /// Fight setting at the reel, full spool, N.
    pub drag_n: f64,
    /// Chance to bring it to hand.
    pub to_hand: f64,
    /// Chance that it is brought to hand and lives, central.
    pub to_hand_alive: f64,
    /// Chance that it lives, whatever the ending, central.
    pub alive: f64,
    /// Chance of an empty spool.
    pub spooled: f64,
    /// Chance that a part lets go.
    pub parted: f64,
    /// Chance that the angler is moved.
    pub moved: f64,
    /// Middle minutes of fish brought to hand.
    pub minutes_p50: Option<f64>,
    /// Mean line left on a hooked fish, m.
    pub trailing_mean_m: f64,
    /// What the choice maximises.
    pub score: f64,
    /// Why this drag is not eligible; empty if it is.
    pub against: Vec<&'static str>,
    /// Whether no other row is better in both chances (to hand, alive): the frontier.
    pub frontier: bool,
}

/// The answer of a sweep.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DragChoice {
    /// Every drag tried, rising.
    pub rows: Vec<DragRow>,
    /// The best eligible drag, N at the reel, full spool; none if none is enough.
    pub best_drag_n: Option<f64>,
    /// No drag of this outfit is enough for this fish.
    pub none_enough: bool,
}

/// Drags worth trying with this outfit: from a light one to its greatest, eight to fourteen steps.
pub fn drags_to_try(setup: &Setup) -> Vec<Force> {
    let top = setup.outfit.max_drag;
    let step = Force::of_n((top.n() / 12.0).max(Force::of_lbf(2.0).n()));
    let mut drags: Vec<Force> =
        (1..=12).map(|k| step * f64::from(k)).filter(|d| *d <= top && *d >= Force::of_lbf(4.0)).collect();
    drags.push(setup.outfit.drag.min(top));
    drags.sort_by(|a, b| a.n().total_cmp(&b.n()));
    drags.dedup();
    drags
}

/// The same set-up at another fight setting.
#[must_use]
pub fn with_drag(setup: &Setup, drag: Force) -> Setup {
    let mut s = setup.clone();
    s.outfit.drag = drag;
    s
}

/// Chooses among forecasts at different drags (one for each, made with the same seed).
///
/// Maximised: chance brought to hand and alive, less the line left on lost fish by its weight; then the chance
/// alive over every ending; then the lighter drag.
pub fn choose_drag(forecasts: &[(Force, Forecast)], limits: &DragLimits) -> DragChoice {
    let mut rows: Vec<DragRow> = forecasts.iter().map(|(d, f)| row(*d, f, limits)).collect();
    rows.sort_by(|a, b| a.drag_n.total_cmp(&b.drag_n));
    let points: Vec<(f64, f64)> = rows.iter().map(|r| (r.to_hand, r.alive)).collect();
    for r in &mut rows {
        r.frontier = !points.iter().any(|(hand, alive)| {
            *hand >= r.to_hand && *alive >= r.alive && (*hand > r.to_hand || *alive > r.alive)
        });
    }
    let best = rows
        .iter()
        .filter(|r| r.against.is_empty())
        .max_by(|a, b| {
            a.score.total_cmp(&b.score).then(a.alive.total_cmp(&b.alive)).then(b.drag_n.total_cmp(&a.drag_n))
        })
        .map(|r| r.drag_n);
    DragChoice { rows, best_drag_n: best, none_enough: best.is_none() }
}

fn row(drag: Force, f: &Forecast, limits: &DragLimits) -> DragRow {
    let o = &f.outcomes;
    let trailing = f.trailing_m.map_or(0.0, |t| t.mean);
    let against = [
        (drag > limits.footing_cap, "footing"),
        (drag > limits.parts_cap, "weakest part"),
        (o.spooled.p > limits.spooled_at_most, "empty spool"),
        (o.parted.p > limits.parted_at_most, "parts let go"),
        (f.angler_moved.p > limits.moved_at_most, "angler moved"),
        (o.to_hand.p < limits.to_hand_at_least, "too seldom to hand"),
    ];
    DragRow {
        drag_n: drag.n(),
        to_hand: o.to_hand.p,
        to_hand_alive: f.to_hand_alive.central,
        alive: f.alive.central,
        spooled: o.spooled.p,
        parted: o.parted.p,
        moved: f.angler_moved.p,
        minutes_p50: f.minutes.map(|m| m.p50),
        trailing_mean_m: trailing,
        score: f.to_hand_alive.central - limits.trailing_weight * trailing / 100.0,
        against: against.iter().filter(|(no, _)| *no).map(|(_, why)| *why).collect(),
        frontier: false,
    }
}
