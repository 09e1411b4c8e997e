//! The drag: scale readings, what lies between them, and the card for the night.
//!
//! | part | answers |
//! |---|---|
//! | [`Reading`], [`DragPlan`], [`Setting`], [`Preset`] | what the crew read, wants, and where it puts lever or clicks |
//! | [`DragCurve`] | drag at a setting, setting for a drag, how far either can be trusted |
//! | [`CheckPull`] | whether the night is so much colder or warmer that the drag must be proved |
//! | [`drag_set`] | where to put it for soak, strike and fight, and how to find it again |
//! | [`read_next`] | which readings to take next |
//! | [`Sheet`] | a crew's sheet of readings: what of it can be taken, and why the rest not |
//! | [`drag_card`] | the same against line out, told by what can be seen |
//!
//! Every reading becomes a torque: a lever mark holds a torque, not a force. Procedure of the readings (S20,
//! S21): line through the guides, rod in its bend, a long steady pull, three or four times; the moving value
//! counts, the value at which it starts is kept apart.

mod advice;
mod band;
mod card;
mod check_pull;
mod class;
mod context;
mod curve;
mod heat;
mod knot;
mod pchip;
mod plan;
mod preset;
mod reading;
mod set;
mod sheet;
mod soak;
mod standing;

pub use advice::{ReadFor, ReadNext, ReadWhy, read_next};
pub use band::{Bracket, Mark};
pub use card::{BackOff, CardAsk, CardRow, CardSetting, DragCard, drag_card};
pub use check_pull::CheckPull;
pub use class::{ClassDrag, class_drag};
pub use context::ReadingContext;
pub use curve::DragCurve;
pub use heat::{DragHeat, drag_heat};
pub use knot::{Knot, Pooled};
pub use pchip::Pchip;
pub use plan::{DragPlan, ShareOrForce};
pub use preset::Preset;
pub use reading::{Reading, ScalePlace, Setting};
pub use set::{DragSet, Placed, SetAsk, SetFor, WithLineOut, drag_set};
pub use sheet::{Apart, DateOrder, Sheet, SheetAsk, SheetLine, judge_sheet};
pub use soak::SoakCheck;
pub use standing::LeftOut;
