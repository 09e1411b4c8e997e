//! Species, length and mass, survival after release, what may come tonight.
//!
//! Facts live in the species pack (`data/species.toml`), read once by [`SpeciesPack::load`]; every figure keeps its
//! grade and source. A fish nobody can name is [`SpeciesPack::unknown_shark`]: treated as protected, at the
//! cautious end of everything.
//!
//! | question | answer |
//! |---|---|
//! | which fish is meant? | [`SpeciesPack::find`], [`SpeciesPack::find_or_unknown`] |
//! | how long, measured how? | [`FishLength`], [`Species::convert`] |
//! | how heavy? | [`Species::mass_at`], [`Species::mass_from_girth`] |
//! | does it live? | [`Survival::death`], [`Survival::fight_limit`], [`alive_whatever_the_ending`] |
//! | what else may come? | [`SpeciesPack::likely`], [`largest`] |
//! | how is it released? | [`Species::release_asks`], [`handling`] |
//! | what can be shown of it? | [`SpeciesPack::list`], [`SpeciesPack::card`] |
//! | how big and strong is its body? | [`power`] |

mod build;
mod check;
mod condition;
mod convert;
pub mod handling;
mod hazard;
mod hook;
mod length;
mod likely;
mod marks;
mod mass;
mod pack;
pub mod power;
mod raw;
mod region;
mod species;
mod summary;
mod survival;
#[cfg(test)]
mod tests;

pub use condition::{Condition, ConditionFactors, alive_whatever_the_ending};
pub use convert::{Conversion, Converted};
pub use hook::{Hook, HookMix, HookPlace, HookStyle};
pub use length::{FishLength, LengthKind};
pub use likely::{Largest, Likely, largest};
pub use marks::{Feature, Features, LookAlike, Marks};
pub use mass::{MassBasis, MassEstimate, MassLine};
pub use pack::SpeciesPack;
pub use power::{Body, BodyFigures};
pub use raw::Months;
pub use region::Region;
pub use species::{Group, Maturity, Season, Species, SurvivalClass, Ventilation, WaterRange};
pub use summary::{SpeciesCard, SpeciesLine};
pub use survival::{Event, FightLimit, Reference, Risk, Shares, Survival};
