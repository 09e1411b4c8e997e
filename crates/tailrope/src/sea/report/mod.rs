//! Files that agencies publish about sea and weather, read into readings that keep source, unit, datum, zone and age.
//!
//! Answers what a buoy, a tide gauge, a forecast grid or an hourly-array server said, each quantity by itself: the
//! newest wind may be ten minutes old and the newest wave an hour. Columns are found by their names, never by their
//! position. A missing code (`MM`, the nines of that column, null, an empty text) is no value. A row that cannot be
//! read refuses the file, unless the person says that bad rows may be left out: then they are listed. What the answer
//! does not state (CO-OPS: station, datum, unit, clock) must be told and is never guessed.
//!
//! Limits: times of 1900 to 2100; values within what the sea and air can do (`field`); sixteen megabytes a file. The
//! work is a pass over the text and a sort.
//!
//! Sources: NDBC's pages on its measurements and file changes, the CO-OPS data interface, the NWS gridpoint interface
//! (read 2026-10); `.spec` files by the agency's header and a genuine file.

mod model;
mod series;
mod told;

pub use model::{BadRow, Format, Kind, Levels, ListedWaters, Origin, Report, Steepness, Train};
pub use series::{Reading, Series};
pub use told::{Clock, Product, Told, UnitSystem};
