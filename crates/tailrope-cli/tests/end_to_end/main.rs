//! The command end to end, one file a feature.
#![allow(clippy::float_cmp)]

mod documents;
mod drag;
mod fight;
mod fish;
mod footing;
mod hold;
mod law;
mod nights;
mod packs;
mod path;
mod plan;
mod rig;
mod run;
mod sky;
mod surf;
mod surf_files;
mod survival;
mod tide;
mod using;
