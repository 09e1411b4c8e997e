//! Figures with grade and source, and the reading of the data packs that hold them.
//!
//! A pack is TOML text: shipped in `data/`, or the crew's own copy that shadows a shipped one of the same
//! file name. The library never opens it; a face hands over a [`PackText`]. Reading checks every key (an
//! unknown key is a misspelt one) and every refusal names file, line, key and what is allowed.

mod figure;
mod known;
mod pack;

pub use figure::{Band, Figure, Grade, Source};
pub use known::Known;
pub use pack::{MAX_BYTES, PackText, fnv1a64};
