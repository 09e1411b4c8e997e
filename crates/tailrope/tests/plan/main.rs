//! Whole plans: the verdicts of the demo scenarios, single edits that must change them, bad input, determinism.

mod demos;
mod drag;
mod edits;
mod far;
mod heard;
mod input;
mod nights;
mod review;
mod rig;
mod support;
mod tables;
mod warned;
mod water;
mod whose;
mod worse;
