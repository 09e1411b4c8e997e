//! A crew's own sheet of scale readings (CSV): every line is taken, or set aside with its number and why.
//!
//! Nothing is guessed. A number without unit takes one only from the head of its column, from a note that says *same
//! scale*, or from who asks; a date of which day and month could be exchanged only if another line of the sheet proves
//! the order; a place of the scale only from its own cell or from who asks. A line that was set aside is never lost: it
//! keeps its text, and if it can be read as a reading it can be stored as doubtful.
//!
//! Columns are known by the words at their head, in any order, parted by comma, semicolon or tab.

mod cells;
mod dates;
mod judge;

pub use dates::DateOrder;
pub use judge::{Apart, judge_sheet};

use super::reading::{Reading, ScalePlace};
use crate::{Error, Result};
use cells::{Columns, Whole};

/// What is known of the sheet beside its text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetAsk {
    /// Name in the column of reels whose lines are meant; without it the sheet must name one reel only.
    pub reel: Option<String>,
    /// Order of day and month, if no line proves it.
    pub dates: Option<DateOrder>,
    /// Unit of numbers without one (`lbf`, `kg`, `N`).
    pub unit: Option<String>,
    /// Where the scale hung, where a line does not say.
    pub at: Option<ScalePlace>,
}

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetLine {
    /// Its number in the file, the head being 1.
    pub line: u64,
    /// Its cells as they stand.
    pub text: String,
    /// The reading in it, as far as it could be understood.
    pub reading: Option<Reading>,
    /// Why it is set aside; empty if it is taken.
    pub aside: Vec<String>,
    /// What was understood and how, where that is not plain.
    pub notes: Vec<String>,
}

impl SheetLine {
    /// Whether it is taken.
    pub fn taken(&self) -> bool {
        self.aside.is_empty() && self.reading.is_some()
    }
}

/// A sheet, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Lines in their order, blank ones left out.
    pub lines: Vec<SheetLine>,
    /// What was understood of the sheet as a whole.
    pub notes: Vec<String>,
}

/// Most lines of a sheet.
const MOST_LINES: usize = 500;

impl Sheet {
    /// Reads a sheet. Refuses a text without the columns of setting and value, two columns for one thing, and more than
    /// 500 lines.
    pub fn read(file: &str, text: &str, ask: &SheetAsk) -> Result<Self> {
        let text = text.trim_start_matches('\u{feff}');
        if let Some(unit) = &ask.unit {
            format!("1{unit}").parse::<crate::quantity::Force>().map_err(|e| e.within("unit"))?;
        }
        let head_line = text.lines().find(|l| !l.trim().is_empty()).unwrap_or("");
        let count = |c: char| head_line.matches(c).count();
        let delimiter = [';', '\t', ','].into_iter().max_by_key(|c| count(*c)).unwrap_or(',');
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(u8::try_from(delimiter).unwrap_or(b','))
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut columns: Option<Columns> = None;
        let mut rows: Vec<(u64, csv::StringRecord)> = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|e| {
                Error::new(format!("it is no CSV ({e})"), "lines of cells", "save the sheet as CSV")
                    .within(file)
            })?;
            if record.iter().all(str::is_empty) {
                continue;
            }
            let line = record.position().map_or(0, csv::Position::line);
            if columns.is_none() {
                columns = Some(Columns::of(&record).map_err(|e| e.within(format!("{file}, line {line}")))?);
            } else if rows.len() < MOST_LINES {
                rows.push((line, record));
            } else {
                return Err(Error::new(
                    format!("more than {MOST_LINES} lines"),
                    format!("at most {MOST_LINES}"),
                    "give a sheet of one reel and season",
                )
                .within(file));
            }
        }
        let Some(columns) = columns else {
            return Err(Error::new(
                "the sheet is empty",
                "a head and a line a reading",
                "give the right file",
            )
            .within(file));
        };
        let known = Whole::of(&columns, &rows, ask);
        let mut lines: Vec<SheetLine> = Vec::with_capacity(rows.len());
        for (line, record) in &rows {
            let read = cells::line(&columns, *line, record, &known, ask, lines.last());
            lines.push(read);
        }
        Ok(Self { lines, notes: known.notes })
    }

    /// The readings that are taken, with their lines.
    pub fn taken(&self) -> impl Iterator<Item = (u64, &Reading)> {
        self.lines.iter().filter(|l| l.taken()).filter_map(|l| l.reading.as_ref().map(|r| (l.line, r)))
    }

    /// The lines that are set aside.
    pub fn aside(&self) -> impl Iterator<Item = &SheetLine> {
        self.lines.iter().filter(|l| !l.taken())
    }
}
