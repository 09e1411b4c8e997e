//! The drag: scale readings, what lies between them, and the card for the night.
//!
//! | part | answers |
//! |---|---|
//! | [`Reading`], [`DragPlan`], [`Setting`] | what the crew read, wants, and where it puts lever or clicks |
//! | [`DragCurve`] | drag at a setting, setting for a drag |
//! | [`drag_card`] | the same against line out, told by what can be seen |
//!
//! Every reading becomes a torque: a lever mark holds a torque, not a force. Procedure of the readings (S20,
//! S21): line through the guides, rod in its bend, a long steady pull, three or four times; the moving value
//! counts, the value at which it starts is kept apart.

mod card;
mod curve;
mod heat;
mod pchip;
mod plan;
mod reading;

pub use card::{BackOff, CardAsk, CardRow, CardSetting, DragCard, SoakCheck, drag_card};
pub use curve::{ClassDrag, DragCurve, Knot, ReadingContext, class_drag};
pub use heat::{DragHeat, drag_heat};
pub use pchip::Pchip;
pub use plan::{DragPlan, ShareOrForce};
pub use reading::{Reading, ScalePlace, Setting};
