//! Will the bait stay where it was put, and where does it really lie?
//!
//! | question | here |
//! |---|---|
//! | How does the line lie, and what must the sinker bear? | [`Ask::lie`] |
//! | What does the sinker hold? | [`Sinker::grip`] |
//! | What do waves add, what does the bed do? | [`Ask::under_waves`] |
//! | Does it hold through the tide? | [`through`] |
//! | Where does a bait end that walks? | [`Ask::walk`] |
//! | What sinker, what tension would do? | [`Ask::needs`] |
//! | All of it at once? | [`Question::report`], drawn by [`draw`] |
//!
//! Model: the static cable of [`crate::water`] from bait to rod tip, with the strumming of a taut line as a band (still,
//! middle, loudest), the drag of the bait, waves by linear theory ([`crate::sea::surf`]), and soil theory halved for the
//! sinker until the crew has pulled one. Sources stand with each part; the pack is `data/hold.toml`.
//!
//! Limits: steady water, a straight level bed, no weed on the line, no breakers across it. A bait that walks is followed
//! slowly, from rest to rest, with the lever locked: how fast it goes nobody knows, so where it may get to is a bound.
//! The safe side throughout: the greatest load against the least hold.

mod bait;
mod bits;
mod doubt;
mod grip;
mod lie;
mod need;
mod pack;
mod picture;
mod report;
mod through;
mod walk;
mod waves;

pub use bait::{Bait, BaitLies, BaitSize};
pub use bits::{Bit, of_outfit, pieces};
pub use doubt::Doubt;
pub use grip::{Grip, GripBy, Sinker, SinkerSet};
pub use lie::{Ask, FASTEST, Held, Lying, Profile, WalkAt};
pub use need::{Ease, Needs, SinkerNeeded};
pub use pack::{BaitRows, BedRows, HoldPack, Meta, SetRows, SinkerRows};
pub use picture::draw;
pub use report::{Packs, Question, Report};
pub use through::{Flow, STEP, Step, Through, Typed, by_tide, steady, through};
pub use walk::{Answer, Drift, Reach, Walked, Zone, answer};
pub use waves::{Bed, UnderWaves, Waves, inside_the_break};
