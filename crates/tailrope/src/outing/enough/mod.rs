//! Which set-ups are enough for this fish, what each lacks, and the cheapest change that mends it.
//!
//! The crew's own outfits, or the set-ups of the tackle pack, are each held against one fish on one night with the
//! plan's own judgement: the same load path, card, footing, fights and rows of [`super::limits`], nothing of its
//! own. Every set-up is fished at the greatest drag that its reel, its parts and these people allow, with margin
//! as the limits ask; all of them fight the same drawn fish (common random numbers). *Enough* means that none of
//! the rows in [`RULES`] stops and the fish is brought to hand in at least half of the fights, each with its error of few
//! fights on the wrong side.
//!
//! Limits: few fights (errors are told), prices are judgement, and a change is looked for singly: two changes
//! together may do what none does alone. Whether law, sea, crew and kit allow the night is the plan's question.

mod change;
mod judge;

use crate::Result;
use crate::facts::Grade;
use crate::outing::{Facts, Finding, Options, Outing, RunFights};
use crate::people::Stance;
use crate::quantity::Length;
use crate::tackle::{Outfit, PriceBand, Rig};
use serde::Serialize;

pub use change::Change;

/// Rows of the limits that decide whether a set-up is enough.
pub const RULES: [&str; 10] = [
    "path.margin",
    "leader.length",
    "tackle.contradiction",
    "footing.drag",
    "footing.arms",
    "forecast.spooled",
    "forecast.parted",
    "forecast.cut_at_rod",
    "forecast.angler_moved",
    "fish.death",
];

/// What is not asked here, but by the plan.
pub const NOT_JUDGED: [&str; 8] =
    ["law", "crew", "sea", "tide", "weather", "place", "measured drag", "safety kit"];

/// Least chance to bring the fish to hand (that of the choice of drags in [`crate::fight::DragLimits`]).
pub(super) fn to_hand_at_least() -> f64 {
    crate::fight::DragLimits::default().to_hand_at_least
}

/// One set-up to be judged.
#[derive(Clone, Debug, PartialEq)]
pub struct SetUp {
    /// What it is called.
    pub name: String,
    /// Outfit.
    pub outfit: Outfit,
    /// Rig.
    pub rig: Rig,
    /// Fought from plate and harness.
    pub harness: bool,
    /// Rod tip while fighting (up, ahead), where it differs from what the outing says.
    pub tip: Option<(Length, Length)>,
    /// Stance, where it differs from that of the outing.
    pub stance: Option<Stance>,
    /// Harness hands beyond those of the outing.
    pub more_hands: u8,
    /// What it costs; nothing for what the crew owns.
    pub price: Option<PriceBand>,
}

/// Which set-ups.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// The outfits of the outing.
    Own,
    /// The set-ups of the tackle pack.
    Table,
    /// Both, the crew's own first.
    Both,
}

/// What the drag may be, and what holds it down.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DragCaps {
    /// Off the reel, full spool: the greatest that may be used, N.
    pub may_n: f64,
    /// What the reel gives steadily, safe end, N.
    pub reel_n: f64,
    /// What keeps the margin of the parts with a full spool, N.
    pub parts_n: f64,
    /// What these people bear, N.
    pub people_n: f64,
    /// Which of them it is: `reel`, `parts`, `people` or `arms`.
    pub held_by: &'static str,
    /// About the least drag with which this spool is not emptied too often and the fish is brought to hand in half of
    /// the fights if nothing broke, N; `None` if no drag up to 570 N does. The least that is tried (20 N) means: so much
    /// or less.
    pub needed_n: Option<f64>,
}

impl DragCaps {
    /// Whether the drag needed is the least that is tried: it may be less.
    pub fn needed_at_most(&self) -> bool {
        self.needed_n.is_some_and(|n| n <= judge::rung(0))
    }
}

/// One set-up, judged.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// What it is called.
    pub name: String,
    /// The crew's own, or of the table.
    pub own: bool,
    /// Enough for this fish and these people.
    pub enough: bool,
    /// Reel and line in words.
    pub reel: String,
    /// Line on the spool, m.
    pub line_m: f64,
    /// Drags.
    #[serde(flatten)]
    pub drags: DragCaps,
    /// Smallest margin with a full spool.
    pub margin_full: f64,
    /// Smallest margin with half of the line out, card followed.
    pub margin_half: f64,
    /// Smallest margin at the worst line out, card followed.
    pub margin_low_spool: f64,
    /// Leader over the fish's length.
    pub leader_over_fish: Option<f64>,
    /// Chance of an empty spool.
    pub spooled: f64,
    /// Chance to bring it to hand.
    pub to_hand: f64,
    /// One standard error of the larger of the two.
    pub error: f64,
    /// Chance that the angler is moved.
    pub moved: f64,
    /// Central chance of death after release, for the 80 % fight.
    pub death: f64,
    /// Middle minutes of fish brought to hand.
    pub minutes: Option<f64>,
    /// Largest shark that the drag can stop by the fish's store alone with four fifths of the line, kg: low, central,
    /// high. Of this order only: swimming drag shortens it, a second wind lengthens it.
    pub stops_kg: [f64; 3],
    /// What it lacks: stops of the rows, and what else keeps it from being enough.
    pub lacks: Vec<String>,
    /// All findings of the rows, worst first.
    pub findings: Vec<Finding>,
    /// What it costs.
    pub price: Option<PriceBand>,
    /// The cheapest single change that makes it enough.
    pub change: Option<ChangeRow>,
}

/// A change that makes a set-up enough.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangeRow {
    /// What to change.
    pub what: String,
    /// What it costs.
    pub price: PriceBand,
    /// Drag that may then be used, N.
    pub may_n: f64,
    /// Chance of an empty spool then.
    pub spooled: f64,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// Name of the fish.
    pub fish: String,
    /// Its total length, m.
    pub fish_length_m: f64,
    /// Its mass at the heavy end, kg: what parts and spool are judged by.
    pub fish_heavy_kg: f64,
    /// Who holds the rod, the weaker.
    pub angler: String,
    /// What the angler bears at the tip in the stance of the outing, N.
    pub angler_bears_n: f64,
    /// That stance: `upright`, `lean` or `sitting`.
    pub stance: &'static str,
    /// People of the outing who count.
    pub people: u32,
    /// People whom a fish of this size asks for.
    pub people_needed: u32,
    /// Rows of the limits that were asked.
    pub judged: [&'static str; 10],
    /// What was not asked here.
    pub not_judged: [&'static str; 8],
    /// Fights of each forecast.
    pub fights: u32,
    /// Seed.
    pub seed: u64,
    /// Currency of the prices.
    pub currency: String,
    /// How far the prices can be trusted.
    pub price_grade: Grade,
    /// Where they come from.
    pub price_source: String,
    /// No set-up is enough.
    pub none_enough: bool,
    /// Index of the cheapest set-up of the table that is enough (within the budget, if one was given).
    pub cheapest: Option<usize>,
    /// Set-ups in the order given: the crew's own, then the table's.
    pub set_ups: Vec<Row>,
}

/// Compares set-ups for the target of the outing.
///
/// `budget` is the most that may be spent, in the pack's currency: changes and set-ups whose middle price is above
/// it are not recommended.
///
/// # Errors
/// As the plan: an unknown species, an outing that no model can take.
pub fn compare(
    facts: &Facts,
    outing: &Outing,
    options: &Options,
    over: Over,
    budget: Option<f64>,
    run: RunFights<'_>,
) -> Result<Comparison> {
    let own = |rows: &mut Vec<(SetUp, bool)>| {
        for o in &outing.outfit {
            rows.push((
                SetUp {
                    name: o.name.clone(),
                    outfit: o.clone(),
                    rig: outing.rig.clone(),
                    // An unknown clip is no harness: arms hold less.
                    harness: outing.safety.clip.get().is_some_and(|c| c != super::file::Clip::NotClipped),
                    tip: None,
                    stance: None,
                    more_hands: 0,
                    price: None,
                },
                true,
            ));
        }
    };
    let mut set_ups = Vec::new();
    if over != Over::Table {
        own(&mut set_ups);
    }
    if over != Over::Own {
        for row in &facts.tackle.set_ups {
            let (outfit, rig) = row.outfit(&facts.tackle)?;
            set_ups.push((
                SetUp {
                    name: row.name.clone(),
                    outfit,
                    rig,
                    harness: row.harness,
                    tip: Some((row.tip_up, row.tip_ahead)),
                    stance: None,
                    more_hands: 0,
                    price: row.price(&facts.tackle)?,
                },
                false,
            ));
        }
    }
    let judge = judge::Judge { facts, outing, options, run };
    let within = |p: PriceBand| budget.is_none_or(|b| p.middle() <= b);
    let mut rows = Vec::with_capacity(set_ups.len());
    for (s, own) in &set_ups {
        let mut row = judge.row(s, *own)?;
        if !row.enough {
            row.change = change::cheapest(&judge, s, &row, &within)?;
        }
        rows.push(row);
    }
    let cheapest = rows
        .iter()
        .enumerate()
        .filter(|(_, r)| r.enough)
        .filter_map(|(i, r)| r.price.map(|p| (i, p)))
        .filter(|(_, p)| within(*p))
        .min_by(|a, b| a.1.middle().total_cmp(&b.1.middle()))
        .map(|(i, _)| i);
    let who = judge.who()?;
    let prices = &facts.tackle.prices;
    Ok(Comparison {
        fish: who.fish,
        fish_length_m: who.length.m(),
        fish_heavy_kg: who.heavy.kg(),
        angler: who.angler,
        angler_bears_n: who.bears.n(),
        stance: who.stance.word(),
        people: who.people,
        people_needed: who.people_needed,
        judged: RULES,
        not_judged: NOT_JUDGED,
        fights: options.fights,
        seed: options.seed,
        currency: prices.currency.clone(),
        price_grade: prices.grade,
        price_source: prices.source.clone(),
        none_enough: !rows.iter().any(|r| r.enough),
        cheapest,
        set_ups: rows,
    })
}

#[cfg(test)]
mod tests;
