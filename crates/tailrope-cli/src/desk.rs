//! What every verb has before it: units, width, seed, the day, the packs.

use crate::answer::Failure;
use crate::args::Common;
use crate::layout::{Page, terminal_width};
use crate::packs::Packs;
use crate::when::Now;
use jiff::civil::Date;
use tailrope::Error;
use tailrope::quantity::Units;

/// The state of the machine, looked up once, and what was typed about it.
#[derive(Debug)]
pub struct Desk {
    /// Units shown in text.
    pub units: Units,
    /// Columns of the text.
    pub width: usize,
    /// Seed.
    pub seed: u64,
    /// A shipped scenario in place of an outing file; empty: the first one.
    pub demo: Option<String>,
    /// Shipped packs and the folder that shadows them.
    pub packs: Packs,
    read_on: Option<Date>,
    now: Option<Now>,
}

impl Desk {
    /// Looks up what the flags leave open.
    pub fn new(common: &Common) -> Result<Self, Failure> {
        if common.book.is_some() {
            return Err(Error::new(
                "no verb of this version reads a book",
                "",
                "give the night as an outing file: `tailrope plan OUTING.toml`",
            )
            .within("--book")
            .into());
        }
        Ok(Self {
            units: common.units.into(),
            width: terminal_width(),
            seed: common.seed.unwrap_or(1),
            demo: common.demo.clone(),
            packs: Packs::open(common.data.clone())?,
            read_on: common.read_on,
            now: common.now,
        })
    }

    /// The day on which things are read, if it was said.
    pub fn read_on_said(&self) -> Option<Date> {
        self.read_on
    }

    /// The moment of reading, if it was said.
    pub fn now_said(&self) -> Option<Now> {
        self.now
    }

    /// The day on which things are read: as said, else the machine's.
    pub fn read_on(&self) -> Date {
        self.read_on.unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }

    /// An empty page of the terminal's width.
    pub fn page(&self) -> Page {
        Page::new(self.width)
    }
}
