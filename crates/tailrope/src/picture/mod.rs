//! Drawings: one pen for every picture of the project, written as SVG.
//!
//! | part | answers |
//! |---|---|
//! | [`Picture`] | lines, fills, arrows, dimensions, labels; the text alternative; the SVG |
//! | [`Frame`] | from metres to the page, ticks at round numbers |
//! | [`Theme`] | colours by day, by red night, in high contrast, on paper |
//! | [`text_width`], [`clean`], [`wrap`] | what a label needs of room; names that cannot do harm |
//!
//! A picture knows nothing of the trade: who draws a rig or a line in the current does so in its own room and
//! hands in points. Everything shown is also said: a picture has a title and a story in sentences, which become
//! `<title>` and `<desc>`. Labels stand at the thing and never on each other: [`Picture::tag`] looks for room and,
//! where there is none, puts a number at the thing and the words below the picture. Colour is never the only
//! sign: what matters differs in width, dash, hatching or word as well.
//!
//! The file needs nothing from elsewhere: no style sheet, no script, no font, no address. Plain attributes are
//! used instead of CSS, so that a strict content policy and simple viewers both show it. The same picture gives
//! the same bytes everywhere.

mod canvas;
mod file;
mod frame;
mod label;
mod text;
mod theme;

pub use canvas::{At, Fill, Pen, Picture};
pub use frame::{Frame, ticks};
pub use label::{Anchor, PageBox, Voice};
pub use text::{clean, text_width, wrap};
pub use theme::{Theme, Token, contrast};
