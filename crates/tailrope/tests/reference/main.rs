//! Reference checks: our functions against values computed independently of this code.
//!
//! One binary, one module an area; fixtures lie beside it. Each fixture says where its values come from.

mod fight;
mod fish;
mod law;
mod outfits;
mod people;
mod report;
mod sky;
mod surf;
mod tackle;
mod tide;
mod water;
