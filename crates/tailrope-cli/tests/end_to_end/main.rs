//! The command end to end, one file a feature.
#![allow(clippy::float_cmp)]

mod footing;
mod packs;
mod run;
mod using;
