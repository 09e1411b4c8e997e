//! Tailrope decides by calculation whether a beach crew can stop, land and release a very large fish
//! tonight, and says no when the answer is no.
//!
//! The library is pure. It opens no file, reads no clock, draws no entropy, starts no thread and keeps no
//! global state: data packs, times, seeds and parallelism come in as arguments, and the same arguments give
//! the same bits on every machine, wasm32 included.
//!
//! # Rooms, bottom to top (a module uses those above it in this list, none below)
//!
//! | module | answers |
//! |---|---|
//! | [`math`] | transcendental functions with the same bits on every machine |
//! | [`error`] | one refusal: what, where, what is allowed, what to do |
//! | [`quantity`] | lengths, masses, forces ... with units; parsing and display |
//! | [`picture`] | drawings as SVG: lines, labels that keep off each other, words beside them |
//! | [`facts`] | figures with grade and source; reading and validating data packs |
//! | [`water`] | drag on lines, baits and bodies; the shape of a cable in a stream |
//! | [`tackle`] | line, spool, drag, rod, leader, hook, joints; the load path |
//! | [`sea`] | tide, waves, current, run-up, wading limit |
//! | [`sky`] | sun, twilight, moon |
//! | [`hold`] | sinker, line and bait in the current: whether the bait stays, where it lies |
//! | [`fish`] | species, length and mass, survival after release |
//! | [`people`] | roles, papers, footing: what a person can bear |
//! | [`fight`] | the seeded stochastic fight and its forecast |
//! | [`law`] | rule packs, three-valued logic, stacking, citation |
//! | [`outing`] | the plan: limits, findings, windows, roles, kit, drag card, brief |
#![deny(missing_docs)]

pub mod error;
pub mod facts;
pub mod fight;
pub mod fish;
pub mod hold;
pub mod law;
pub mod math;
pub mod outing;
pub mod people;
pub mod picture;
pub mod quantity;
pub mod sea;
pub mod sky;
pub mod tackle;
pub mod water;

pub use error::{Error, Result};
pub use outing::Outing;
