//! From the cells of one line to a reading.

use super::dates::{self, DateOrder};
use super::{SheetAsk, SheetLine};
use crate::facts::Known;
use crate::quantity::{Angle, Force, Length, Temperature};
use crate::tackle::drag::{Preset, Reading, ScalePlace, Setting};
use crate::{Error, Result};
use csv::StringRecord;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Holds {
    Date,
    Reel,
    Setting,
    Clicks,
    Turns,
    Value,
    StartUp,
    Place,
    Bend,
    LineOut,
    Depth,
    Temperature,
    Preset,
    Who,
    Note,
}

/// Words at the head of a column.
const HEADS: &[(Holds, &[&str])] = &[
    (Holds::Date, &["date", "day", "when"]),
    (Holds::Reel, &["reel", "outfit", "rod"]),
    (Holds::Setting, &["lever", "setting", "mark", "position"]),
    (Holds::Clicks, &["clicks"]),
    (Holds::Turns, &["turns"]),
    (Holds::Value, &["reading", "value", "pull", "drag", "scale", "force"]),
    (Holds::StartUp, &["start-up", "start_up", "startup", "start", "breakaway"]),
    (Holds::Place, &["where", "place", "at", "hooked"]),
    (Holds::Bend, &["bend", "rod angle", "angle"]),
    (Holds::LineOut, &["line out", "line_out"]),
    (Holds::Depth, &["depth", "below rim", "below the rim"]),
    (Holds::Temperature, &["temperature", "temp", "air"]),
    (Holds::Preset, &["preset"]),
    (Holds::Who, &["who", "by", "name"]),
    (Holds::Note, &["note", "notes", "remark", "remarks", "comment", "comments"]),
];

/// The columns of a sheet.
pub(super) struct Columns {
    /// What each holds, with its head; none: kept with the note.
    heads: Vec<(String, Option<Holds>)>,
    /// Unit at the head of the values: `reading (lb)`.
    unit: Option<String>,
}

impl Columns {
    /// From the head. Refuses a sheet without setting or value, and two columns for one thing.
    pub(super) fn of(head: &StringRecord) -> Result<Self> {
        let mut heads: Vec<(String, Option<Holds>)> = Vec::new();
        let mut unit = None;
        for cell in head {
            let whole = cell.to_lowercase();
            let (word, inside) = match whole.split_once(['(', '[']) {
                Some((word, rest)) => {
                    (word.trim(), Some(rest.trim_end_matches([')', ']']).trim().to_owned()))
                }
                None => (whole.trim(), None),
            };
            let holds = HEADS.iter().find(|(_, words)| words.contains(&word)).map(|(h, _)| *h);
            if let Some(h) = holds
                && heads.iter().any(|(_, o)| *o == Some(h))
            {
                return Err(Error::new(
                    format!("two columns for one thing: `{cell}` is the second"),
                    "each once",
                    "rename the one that is something else to `note`",
                ));
            }
            if holds == Some(Holds::Value) {
                unit = inside.filter(|u| format!("1{u}").parse::<Force>().is_ok());
            }
            heads.push((cell.to_owned(), holds));
        }
        let has = |h| heads.iter().any(|(_, o)| *o == Some(h));
        let setting = has(Holds::Setting) || has(Holds::Clicks) || has(Holds::Turns);
        if !setting || !has(Holds::Value) {
            let missing = if setting { "value (reading)" } else { "setting (lever, clicks)" };
            return Err(Error::new(
                format!("no column of the head is the {missing}"),
                "a head such as date, reel, lever, reading, where, note",
                "write a head of such words above the lines",
            ));
        }
        Ok(Self { heads, unit })
    }

    fn cell<'a>(&self, record: &'a StringRecord, holds: Holds) -> &'a str {
        let at = self.heads.iter().position(|(_, h)| *h == Some(holds));
        at.and_then(|i| record.get(i)).unwrap_or("")
    }
}

/// What is known of the whole sheet before its lines are read.
pub(super) struct Whole {
    /// Order of day and month.
    order: Option<DateOrder>,
    /// Reel whose lines are meant.
    reel: Option<String>,
    /// Names in the column of reels, if there are several and none was chosen.
    reels: Vec<String>,
    /// What must be told.
    pub(super) notes: Vec<String>,
}

impl Whole {
    pub(super) fn of(columns: &Columns, rows: &[(u64, StringRecord)], ask: &SheetAsk) -> Self {
        let mut notes = Vec::new();
        let proofs: Vec<(u64, DateOrder)> = rows
            .iter()
            .filter_map(|(line, r)| dates::proves(columns.cell(r, Holds::Date)).map(|o| (*line, o)))
            .collect();
        let order = match (ask.dates, proofs.first()) {
            (Some(order), _) => Some(order),
            (None, Some((line, order))) if proofs.iter().all(|p| p.1 == *order) => {
                notes.push(format!("dates are read {}: line {line} proves it", order.words()));
                Some(*order)
            }
            _ => None,
        };
        let mut reels: Vec<String> = rows
            .iter()
            .map(|(_, r)| columns.cell(r, Holds::Reel).to_owned())
            .filter(|n| !n.is_empty())
            .collect();
        reels.sort();
        reels.dedup();
        let reel = ask.reel.clone().or_else(|| if reels.len() == 1 { reels.first().cloned() } else { None });
        let unread: Vec<&str> = columns
            .heads
            .iter()
            .filter(|h| h.1.is_none())
            .map(|h| h.0.as_str())
            .filter(|h| !h.is_empty())
            .collect();
        if !unread.is_empty() {
            notes.push(format!(
                "kept with the note, since their head says nothing known: {}",
                unread.join(", ")
            ));
        }
        Self { order, reel, reels, notes }
    }
}

/// Words of a note that speak of a spool that was not full.
const NOT_FULL: &[&str] =
    &["half full", "half-full", "half empty", "half-empty", "not full", "low spool", "line out"];

/// Reads one line. `before` is the line above it, for a note that says *same scale*.
pub(super) fn line(
    columns: &Columns,
    number: u64,
    record: &StringRecord,
    known: &Whole,
    ask: &SheetAsk,
    before: Option<&SheetLine>,
) -> SheetLine {
    let cell = |h| columns.cell(record, h);
    let (mut aside, mut notes) = (Vec::new(), Vec::new());
    if record.len() > columns.heads.len() {
        aside.push(format!(
            "{} cells under a head of {}: a decimal comma without quotes moves everything behind it",
            record.len(),
            columns.heads.len()
        ));
    }
    reel(cell(Holds::Reel), known, &mut aside);
    let note = cell(Holds::Note);
    let low = note.to_lowercase();
    let value = value(cell(Holds::Value), &low, columns, ask, before, &mut notes);
    let value = keep(value, "reading", &mut aside);
    let setting = keep(setting(columns, record), "setting", &mut aside);
    let text = record.iter().collect::<Vec<_>>().join(" | ");
    let (Some(value), Some(setting)) = (value, setting) else {
        return SheetLine { line: number, text, reading: None, aside, notes };
    };
    let mut r = Reading::new(setting, value, ScalePlace::Reel);
    r.at = place(cell(Holds::Place), &low, ask, &mut aside, &mut notes).into();
    r.date = optional(cell(Holds::Date), "date", |t| dates::read(t, known.order), &mut aside);
    let said = |e: Error| e.error;
    r.start_up = optional(cell(Holds::StartUp), "start-up", |t| t.parse::<Force>().map_err(said), &mut aside);
    r.bend = optional(cell(Holds::Bend), "bend", |t| t.parse::<Angle>().map_err(said), &mut aside);
    r.line_out =
        optional(cell(Holds::LineOut), "line out", |t| t.parse::<Length>().map_err(said), &mut aside);
    r.depth = optional(cell(Holds::Depth), "depth", |t| t.parse::<Length>().map_err(said), &mut aside);
    r.temperature = optional(
        cell(Holds::Temperature),
        "temperature",
        |t| t.parse::<Temperature>().map_err(said),
        &mut aside,
    );
    r.preset = optional(cell(Holds::Preset), "preset", |t| t.parse::<Preset>().map_err(said), &mut aside);
    r.who = optional(cell(Holds::Who), "who", |t| Ok(t.to_owned()), &mut aside);
    let extra = columns.heads.iter().zip(record).filter(|((_, h), c)| h.is_none() && !c.is_empty());
    let extra: Vec<String> = extra.map(|((head, _), c)| format!("{head}: {c}")).collect();
    r.note =
        [note.to_owned()].into_iter().chain(extra).filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ");
    if r.line_out.is_unknown() && r.depth.is_unknown() && NOT_FULL.iter().any(|w| low.contains(w)) {
        aside.push(format!("the spool was not full (`{note}`) and nothing says how much line was out"));
    }
    if low.contains("stuck") || low.contains("jerk") {
        notes.push(format!("it did not run smoothly (`{note}`): is this the moving value?"));
    }
    if let Err(e) = r.check() {
        aside.push(format!("{}: {}", e.place, e.error));
    }
    SheetLine { line: number, text, reading: Some(r), aside, notes }
}

fn keep<T>(found: Result<T, String>, what: &str, aside: &mut Vec<String>) -> Option<T> {
    found.map_err(|why| aside.push(format!("{what}: {why}"))).ok()
}

fn optional<T>(
    text: &str,
    what: &str,
    read: impl Fn(&str) -> Result<T, String>,
    aside: &mut Vec<String>,
) -> Known<T> {
    if text.is_empty() || text.eq_ignore_ascii_case("unknown") {
        return Known::Unknown;
    }
    keep(read(text), what, aside).into()
}

fn reel(name: &str, known: &Whole, aside: &mut Vec<String>) {
    match &known.reel {
        Some(reel) if name.is_empty() || name.eq_ignore_ascii_case(reel) => {}
        Some(reel) => aside.push(format!("another reel: `{name}`, not `{reel}`")),
        None if known.reels.is_empty() => {}
        None => aside.push(format!("of which reel? The sheet names {}", known.reels.join(", "))),
    }
}

fn value(
    text: &str,
    note: &str,
    columns: &Columns,
    ask: &SheetAsk,
    before: Option<&SheetLine>,
    notes: &mut Vec<String>,
) -> Result<Force, String> {
    if text.is_empty() {
        return Err("the cell is empty".into());
    }
    let bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    if !bare {
        return text.parse().map_err(|e: Error| e.error);
    }
    let with = |unit: &str| format!("{text} {unit}").parse::<Force>().map_err(|e| e.error);
    if let Some(unit) = &columns.unit {
        return with(unit);
    }
    if note.contains("same scale")
        && let Some(unit) = before.and_then(unit_of)
    {
        notes.push(format!("`{text}` is read in {unit}: the note says the same scale as the line above"));
        return with(&unit);
    }
    if let Some(unit) = &ask.unit {
        notes.push(format!("`{text}` is read in {unit}, as asked"));
        return with(unit);
    }
    Err(format!("`{text}` has no unit, and neither its column nor a note gives one"))
}

/// The unit that the line above was read in.
fn unit_of(before: &SheetLine) -> Option<String> {
    let said = before.notes.iter().find_map(|n| n.split_once(" is read in ").map(|(_, rest)| rest));
    if let Some(rest) = said {
        return rest.split([':', ',']).next().map(str::to_owned);
    }
    // The value's own cell: the first that a force can be read from.
    before.text.split(" | ").find(|c| c.parse::<Force>().is_ok()).map(|c| {
        c.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ')).trim().to_owned()
    })
}

fn setting(columns: &Columns, record: &StringRecord) -> Result<Setting, String> {
    for (holds, unit) in [(Holds::Setting, ""), (Holds::Clicks, "clicks"), (Holds::Turns, "turns")] {
        let text = columns.cell(record, holds);
        if text.is_empty() {
            continue;
        }
        let bare = text.parse::<f64>().is_ok();
        let whole = if bare && !unit.is_empty() { format!("{text} {unit}") } else { text.to_owned() };
        return whole.parse().map_err(|e: Error| e.error);
    }
    Err("the cell is empty".into())
}

fn place(
    text: &str,
    note: &str,
    ask: &SheetAsk,
    aside: &mut Vec<String>,
    notes: &mut Vec<String>,
) -> Option<ScalePlace> {
    let pointed = note.contains("pointed") || note.contains("straight line");
    let place = match text.trim().to_lowercase().as_str() {
        "tip" | "at tip" | "at the tip" | "rod tip" | "off the tip" | "beyond the tip" => {
            Some(ScalePlace::Tip)
        }
        "reel" | "off reel" | "off the reel" | "at the reel" | "spool" | "pointed" => Some(ScalePlace::Reel),
        "" => {
            match ask.at {
                Some(at) => notes.push(format!("the scale hung {}, as asked", at.words())),
                None => aside.push("nothing says where the scale was hooked".into()),
            }
            ask.at
        }
        other => {
            aside.push(format!("`{other}` is no place of a scale: tip or off reel"));
            None
        }
    };
    if place == Some(ScalePlace::Tip) && pointed {
        aside.push("the place says tip and the note that the rod was pointed: which?".into());
    }
    place
}
