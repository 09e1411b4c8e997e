//! If such a fish takes this bait tonight, what happens?
//!
//! A seeded Monte Carlo of single fights. Each fight draws fish, people, drag error, friction and strengths
//! from the bands of the pack ([`Pack`]), then steps through time: the fish runs, holds or comes in and pays for
//! its thrust from a store that hardly comes back; the reel gives line at its drag (torque over radius); people
//! wind with a power that fades; parts let go, the hook pulls out, the spool empties, the crew's limit asks
//! for a decision, or a hand takes the leader.
//!
//! # Limits
//!
//! No measurement of a hooked shark's thrust, power, runs or modes was found. The bands are a calibrated guess:
//! good for comparing set-ups, poor for promising minutes; the model's long tail is too thin (rests, current,
//! tail-hooked fish are left out). Show bands, never a promise. Line tension is tip tension plus skin friction:
//! a flexible line carries no load across it, so the drawn `sweep_share` is not used in answers.
//!
//! # Chance
//!
//! Two fights in a row share what is unknown tonight (drawn once for both) and differ in luck, so a forecast
//! tells the two apart. Every fight has its own counter-based streams: its bits depend on set-up, pack, seed
//! and its number, not on who ran it. [`Fights::chunk`] runs some, [`Part::merge`] puts them in order.
//!
//! # Sources
//!
//! Actuator disc: Rankine 1865, Froude 1889. Human power: handbook line after Krendel (recalled). Store,
//! aerobic power and body drag: the derivations of the species pack. Everything else: estimates, each with its
//! reason in `data/fight.toml`. Checked against an independent array implementation (36 cases, two grids).

mod body;
mod drags;
mod draw;
mod ending;
mod forecast;
#[cfg(test)]
mod laws;
mod pack;
mod random;
mod setup;
mod spool;
mod step;
mod story;

pub use body::{
    Running, refill_power, slip_speed, static_thrust, sweep_drag, swim_drag, thrust_power, tow_speed,
};
pub use drags::{DragChoice, DragLimits, DragRow, choose_drag, drags_to_try, with_drag};
pub use ending::{Ended, Ending, Part};
pub use forecast::{AtHandChances, Chance, Doubt, Forecast, Outcomes, PartedBy, Spread, Trailing};
pub use pack::{Behaviour, From, Law, PARAMETERS, Pack, Par, Parameter};
pub use setup::{
    Angler, AtHand, CardPoint, EndPart, Fish, Limits, LinePiece, MAX_PARTS, Outfit, People, Relief, Setup,
    Strength, power_factor_of_age,
};
pub use step::{Mode, human_power};
pub use story::{Account, Moment, Story};

use crate::Result;
use crate::facts::Band;
use crate::quantity::Span;
use core::ops::Range;

/// Fights in a chunk: what one worker runs at a time.
pub const CHUNK: u64 = 256;

/// The chunks of `fights` fights, in order. An odd number is rounded up: fights come in pairs.
pub fn chunks(fights: u64) -> impl Iterator<Item = Range<u64>> {
    let all = fights.saturating_add(fights % 2);
    (0..all.div_ceil(CHUNK)).map(move |k| k * CHUNK..((k + 1) * CHUNK).min(all))
}

/// A prepared set of fights: set-up, bands and seed. The same three give the same bits whoever runs them.
#[derive(Clone, Debug)]
pub struct Fights {
    pack: Pack,
    setup: Setup,
    spool: spool::Spool,
    seed: u64,
}

impl Fights {
    /// Checks the set-up ([`Setup::check`]) and prepares it.
    pub fn new(pack: &Pack, setup: Setup, seed: u64) -> Result<Self> {
        setup.check()?;
        Ok(Self { spool: spool::Spool::new(&setup.outfit), pack: pack.clone(), setup, seed })
    }

    /// The set-up.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The seed.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Fight `i`.
    pub fn one(&self, i: u64) -> Ending {
        self.watched(i, |_| step::Blind).0
    }

    /// Fights of `range`, in order.
    pub fn chunk(&self, range: Range<u64>) -> Part {
        Part { first: range.start, endings: range.map(|i| self.one(i)).collect() }
    }

    /// Fight `i` told with a moment every `every`.
    pub fn story(&self, i: u64, every: Span) -> Story {
        self.story_until(i, every, Span::of_s(f64::INFINITY))
    }

    /// The same, with the account closed at `stop` (the fight itself runs to its end).
    pub fn story_until(&self, i: u64, every: Span, stop: Span) -> Story {
        let (ending, teller) =
            self.watched(i, |d| story::Teller::new(every.s().max(0.05), stop.s(), d.fast0 + d.slow0));
        teller.told(ending)
    }

    /// Sums up a merged part. `death` gives the chance of death after each ending (low, central, high), with
    /// the minutes, the ending and the fish in hand.
    pub fn forecast(&self, all: &Part, death: impl Fn(&Ending) -> Band<f64>) -> Forecast {
        let parts: Vec<&str> = self
            .setup
            .outfit
            .line
            .iter()
            .map(|l| l.name.as_str())
            .chain(self.setup.ends.iter().map(|e| e.name.as_str()))
            .collect();
        Forecast::new(&all.endings, &parts, death)
    }

    /// Runs `fights` fights one after another and sums them up: for tests and small numbers.
    pub fn run(&self, fights: u64, death: impl Fn(&Ending) -> Band<f64>) -> Forecast {
        self.forecast(&Part::merge(chunks(fights).map(|r| self.chunk(r))), death)
    }

    fn watched<W: step::Watch>(&self, i: u64, make: impl Fn(&draw::Draw) -> W) -> (Ending, W) {
        let draw = draw::Draw::new(&self.pack, &self.setup, &self.spool, self.seed, i);
        let mut watch = make(&draw);
        let chance = draw::Draw::within(self.seed, i);
        let ending = step::Fight::new(&draw, &self.setup, &self.spool, chance).run(&mut watch);
        (ending, watch)
    }
}
