//! Line, spool, drag, rod, leader, hook, joints; the load path.
//!
//! | module | answers |
//! |---|---|
//! | [`spool`] | how much line fits, what radius is left with so much line out, what drag that makes |
//! | [`SpoolBand`] | the spool behind a reel's label, its class or the crew's measures, as a band |
//! | [`UnderFill`] | how full it is, and what an under-filled one costs |
//! | [`guides`] | what the rod's guides add going out and take coming in |
//! | [`material`], [`strength`] | what a line bears: nominal x wet x age x wear, wet at most once |
//! | [`tables`] | the data pack: lines, joints, hooks, reels, guides, graded |
//! | [`rig`] | a rig proved: what it bears, what to cut, what the law asks, how it fits |
//! | [`Prices`] | what things cost new, as bands of judgement |
//! | [`Outfit`], [`Rig`] | what the crew says of its tackle; everything may be unknown |
//! | [`brief()`] | an outfit from one line of trade words |
//! | [`Clash`] | contradictions in what the crew says of its tackle |
//! | [`SetUpRow`] | whole set-ups that a newcomer could buy, and what they cost |
//! | [`path`] | what each part feels at its place, the weakest, the greatest drag |
//! | [`boats`], [`far_out`] | a line far out: boats over it, and how far is wise |
//! | [`drag`] | scale readings, settings, the drag card |
//!
//! Not here: what a person bears (`people`), the shape of a line in a current (`water`), what the law says.
//! A spool that nobody measured has the model size of its class, or the wide band of its label, planned at the
//! safe end; a reel without either is measured, not guessed. Sources stand with the functions and in the pack.
pub mod boats;
mod brief;
mod clash;
pub mod drag;
pub mod far_out;
mod fill;
pub mod guides;
pub mod hook;
mod joint;
mod label;
mod line;
pub mod material;
mod outfit;
pub mod path;
mod prices;
mod reel;
pub mod rig;
mod set_up;
pub mod spool;
pub mod strength;
pub mod tables;

pub use brief::brief;
pub use clash::Clash;
pub use drag::{DragCurve, DragPlan, Reading, ScalePlace, Setting, ShareOrForce, drag_card};
pub use fill::{Ends, LoadedBand, SpoolReport, UnderFill};
pub use guides::{wrap_factor, wrap_product};
pub use hook::{Hook, HookMetal, HookStyle};
pub use joint::{Eye, Joint, JointKind, Sleeve, SleeveMetal};
pub use label::{LabelCapacity, LabelRow, LineRoller, MEASURE_FIRST, ReelShape, SpoolBand};
pub use line::{LinePiece, LineRole};
pub use material::Material;
pub use outfit::{DragEvidence, LineMark, Outfit};
pub use path::{LoadPath, PathAsk, PathReport};
pub use prices::{PriceBand, PriceRow, Prices};
pub use reel::{GuideKind, Guides, Reel, ReelKind, Rod};
pub use rig::{Connector, Rig, Section, SectionRole, Sinker, SinkerHang, casting_leader};
pub use set_up::{LeaderRow, SetUpRow};
pub use spool::{LoadedSpool, Spool, Wound};
pub use strength::{Factor, Strength, Wear};
pub use tables::Tables;
