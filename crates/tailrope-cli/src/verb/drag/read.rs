//! `tailrope drag read`: scale readings into the crew's own file.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::input;
use crate::verb::drag::edit;
use crate::verb::drag::view::{self, CurveJson, ReadingLimits};
use crate::verb::source::{Tackle, tables};
use crate::write::replace;
use clap::Args;
use jiff::civil::Date;
use serde::Serialize;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::Known;
use tailrope::quantity::{Angle, Force, Length, Temperature};
use tailrope::tackle::drag::{
    Apart, DateOrder, Preset, ReadNext, ReadingContext, Sheet, SheetAsk, SheetLine, judge_sheet, read_next,
};
use tailrope::tackle::{DragCurve, LoadedSpool, Outfit, Reading, ScalePlace, Setting, ShareOrForce, Tables};

/// Adds scale readings to an outfit, shows the curve and what to read next
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope drag read night.toml --setting 60% --value 24lbf --value 25.5lbf --at tip --temperature 75F\n  \
                        tailrope drag read night.toml --setting strike --value 24lbf --start-up 26lbf --at reel --preset '2 turns'\n  \
                        tailrope drag read night.toml --sheet readings.csv --reel 'left 80'\n\n\
                        The moving value counts; several --value are several pulls at one setting. The file is written only if\n\
                        the curve still rises; --keep stores what does not fit as doubtful, and it does not count.")]
pub struct Read {
    /// The crew's file: an outing, or [[outfit]] tables alone; it is written
    file: PathBuf,
    /// Which outfit, by its name [default: the first]
    #[arg(long, value_name = "NAME")]
    outfit: Option<String>,
    /// Where lever, star or knob stood: strike, full, 60%, 3/4, 8clicks, 1.5turns from free
    #[arg(long, required_unless_present = "sheet", value_name = "SETTING")]
    setting: Option<Setting>,
    /// The moving value on the scale; once for each pull
    #[arg(long, required_unless_present = "sheet", allow_hyphen_values = true, value_name = "FORCE")]
    value: Vec<Force>,
    /// The value at which it started; once for each pull, or not at all
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    start_up: Vec<Force>,
    /// Where the scale was hooked: tip (beyond the bent rod) or reel (no guides in it)
    #[arg(long, required_unless_present = "sheet", value_parser = crate::word::word::<ScalePlace>, value_name = "PLACE")]
    at: Option<ScalePlace>,
    /// Turn of the line over the rod [default: the outfit's]
    #[arg(long, value_name = "ANGLE")]
    bend: Option<Angle>,
    /// Line that was off the spool [default: none told, counted as a full spool]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    line_out: Option<Length>,
    /// The same told by the depth of the line below the rim
    #[arg(long, allow_hyphen_values = true, conflicts_with = "line_out", value_name = "LENGTH")]
    depth: Option<Length>,
    /// Air
    #[arg(long, allow_hyphen_values = true, value_name = "TEMPERATURE")]
    temperature: Option<Temperature>,
    /// Where the preset stood: '2 turns', '9 clicks' from backed off
    #[arg(long, value_name = "PRESET")]
    preset: Option<Preset>,
    /// Day of the reading [default: the day of reading]
    #[arg(long, value_parser = crate::when::date, value_name = "DATE")]
    date: Option<Date>,
    /// Who pulled
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
    /// Anything else
    #[arg(long, default_value = "", value_name = "TEXT")]
    note: String,
    /// Store what does not fit as doubtful: kept, not counted
    #[arg(long)]
    keep: bool,
    /// Show what would be written, write nothing
    #[arg(long)]
    dry_run: bool,
    /// A sheet of readings (CSV) in place of the flags above
    #[arg(long, conflicts_with_all = ["setting", "value", "start_up", "bend", "line_out", "depth", "temperature", "preset", "date", "who", "note"], value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Which reel of the sheet
    #[arg(long, requires = "sheet", value_name = "NAME")]
    reel: Option<String>,
    /// Order of dates in the sheet, if no line proves it: day-first or month-first
    #[arg(long, requires = "sheet", value_parser = crate::word::word::<DateOrder>, value_name = "ORDER")]
    dates: Option<DateOrder>,
    /// Unit of bare numbers in the sheet
    #[arg(long, requires = "sheet", value_name = "UNIT")]
    unit: Option<String>,
}

/// Largest sheet.
const SHEET_BYTES: usize = 1024 * 1024;

impl Read {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        if desk.demo.is_some() || self.file.as_os_str() == "-" {
            let error = "readings go into a file of the crew";
            return Err(Error::new(
                error,
                "the name of a file",
                "write a scenario first: `tailrope demo --write DIR`",
            )
            .into());
        }
        let tables = tables(desk)?;
        let name = self.file.display().to_string();
        let text = input::read(&self.file)?;
        let before = Tackle::of(&name, &text)?;
        let index = before.index(self.outfit.as_ref())?;
        let outfit = &before.outfits[index];
        let place = |e: Error| e.within(format!("outfit {}", outfit.name));
        let spool = outfit.loaded_spool(&tables).map_err(place)?.value;

        let sheet = self.read_sheet(outfit, &spool, &tables)?;
        let new = match &sheet {
            Some((s, _)) => self.of_sheet(s),
            None => self.typed(desk)?,
        };
        let new = self.fitting(outfit, new, &spool, &tables).map_err(place)?;
        let after_text = if new.is_empty() {
            text.clone()
        } else {
            edit::append(&text, index, &new).map_err(|e| e.within(&name))?
        };
        // What is written must read back as what was meant, and as nothing else.
        let after = Tackle::of(&name, &after_text)?;
        proved(&before, &after, index, &new).map_err(|e| e.within(&name))?;
        let outfit = &after.outfits[index];
        let context = ReadingContext::of(outfit, &spool, &tables);
        let curve = DragCurve::fit(&outfit.readings, None, &context);
        let written = !self.dry_run && !new.is_empty();
        if written {
            replace(&self.file, &text, &after_text)?;
        }

        let guides = context.guide_factor();
        let wanted = wanted(outfit, guides);
        let limits = ReadingLimits::read(desk)?;
        let next = read_next(outfit, curve.as_ref().ok(), &tables, &limits.ask(&wanted, after.air, desk));
        let json = Json {
            schema: "tailrope.drag-read/1",
            outfit: &outfit.name,
            written,
            added: new.iter().map(reading_json).collect(),
            sheet: sheet.as_ref().map(|(s, apart)| sheet_json(s, apart)),
            curve: curve.as_ref().ok().map(|c| view::json(c, guides)),
            no_curve: curve.as_ref().err().map(ToString::to_string),
            read_next: &next,
        };
        let u = desk.units;
        let mut page = desk.page();
        let count = new.len();
        let readings = if count == 1 { "one reading".to_owned() } else { format!("{count} readings") };
        page.say(&match (written, count) {
            (true, _) => format!("{}: {readings} written to {name}.", outfit.name),
            (false, 0) => format!("{}: nothing to write.", outfit.name),
            (false, _) => format!("{}: {readings} would be written to {name}.", outfit.name),
        });
        page.points(new.iter().map(|r| {
            let doubt = if r.doubtful.is_empty() {
                String::new()
            } else {
                format!("; DOUBTFUL, does not count: {}", r.doubtful)
            };
            let at = r.at.get().map_or("place unknown", ScalePlace::words);
            format!("{}: {} {at}{doubt}", r.setting, u.force(r.value))
        }));
        if let Some((s, _)) = &sheet {
            sheet_text(s, self.keep, &mut page);
        }
        match &curve {
            Ok(c) => view::text(c, guides, u, &mut page),
            Err(e) => {
                page.head("The curve").say(&format!("  none: {e}"));
            }
        }
        view::next_text(&next, &mut page);
        Answer::new(page.into_text(), &json)
    }

    /// Readings from the flags.
    fn typed(&self, desk: &Desk) -> Result<Vec<Reading>, Failure> {
        let (Some(setting), Some(at)) = (self.setting, self.at) else {
            // The parser asks for both unless a sheet is given.
            return Err(Error::new(
                "no reading is given",
                "--setting, --value and --at, or --sheet",
                "give them",
            )
            .into());
        };
        if !self.start_up.is_empty() && self.start_up.len() != self.value.len() {
            return Err(Error::new(
                format!("{} start-up values for {} pulls", self.start_up.len(), self.value.len()),
                "one for each pull, or none",
                "leave out the pulls without one, and add them by themselves",
            )
            .within("--start-up")
            .into());
        }
        let mut all = Vec::with_capacity(self.value.len());
        for (i, value) in self.value.iter().enumerate() {
            let r = Reading {
                date: Known::Known(self.date.unwrap_or_else(|| desk.read_on())),
                start_up: self.start_up.get(i).copied().into(),
                bend: self.bend.into(),
                line_out: self.line_out.into(),
                depth: self.depth.into(),
                temperature: self.temperature.into(),
                preset: self.preset.into(),
                who: self.who.clone().into(),
                note: self.note.clone(),
                ..Reading::new(setting, *value, at)
            };
            r.check().map_err(|e| e.within(format!("pull {}", i + 1)))?;
            all.push(r);
        }
        Ok(all)
    }

    fn read_sheet(
        &self,
        outfit: &Outfit,
        spool: &LoadedSpool,
        tables: &Tables,
    ) -> Result<Option<(Sheet, Vec<Apart>)>, Failure> {
        let Some(file) = &self.sheet else { return Ok(None) };
        let text = input::read_up_to(file, SHEET_BYTES, "a sheet of readings")?;
        let ask =
            SheetAsk { reel: self.reel.clone(), dates: self.dates, unit: self.unit.clone(), at: self.at };
        let mut sheet = Sheet::read(&file.display().to_string(), &text, &ask)?;
        let apart = judge_sheet(&mut sheet, outfit, spool, tables);
        Ok(Some((sheet, apart)))
    }

    /// Readings of a sheet: what is taken, and with --keep what was set aside and can be read, as doubtful.
    fn of_sheet(&self, sheet: &Sheet) -> Vec<Reading> {
        let aside = |l: &SheetLine| {
            let doubtful = format!("line {} of a sheet: {}", l.line, l.aside.join("; "));
            l.reading.clone().map(|r| Reading { doubtful, ..r })
        };
        let all = sheet.lines.iter().filter_map(|l| match (l.taken(), self.keep) {
            (true, _) => l.reading.clone(),
            // Of another reel it is no reading of this one, doubtful or not.
            (false, true) if !l.aside.iter().any(|a| a.starts_with("another reel")) => aside(l),
            _ => None,
        });
        all.filter(|r| r.doubtful.is_empty() || r.check().is_ok()).collect()
    }

    /// The new readings, if the curve rises with them; with --keep they become doubtful if it does not.
    fn fitting(
        &self,
        outfit: &Outfit,
        new: Vec<Reading>,
        spool: &LoadedSpool,
        tables: &Tables,
    ) -> Result<Vec<Reading>, Error> {
        let all = |new: &[Reading]| [outfit.readings.as_slice(), new].concat();
        if new.iter().all(|r| !r.doubtful.is_empty()) {
            return Ok(new);
        }
        let context = ReadingContext::of(outfit, spool, tables);
        let Err(e) = DragCurve::fit(&all(&new), None, &context) else { return Ok(new) };
        if !self.keep {
            let remedy =
                format!("{}; or store it as doubtful with --keep: it is kept and does not count", e.remedy);
            return Err(Error { remedy, ..e });
        }
        let doubt =
            |r: Reading| if r.doubtful.is_empty() { Reading { doubtful: e.error.clone(), ..r } } else { r };
        Ok(new.into_iter().map(doubt).collect())
    }
}

/// Refuses to write what would not read back: only these readings are new, and all else is as it was.
fn proved(before: &Tackle, after: &Tackle, index: usize, new: &[Reading]) -> Result<(), Error> {
    let mut expected = before.outfits.clone();
    let mut got = after.outfits.clone();
    let (Some(was), Some(is)) = (expected.get_mut(index), got.get_mut(index)) else { return Err(lost()) };
    let added = is.readings.split_off(was.readings.len().min(is.readings.len()));
    let alike = |a: &Reading, b: &Reading| {
        // The last bit of a unit may differ.
        a.setting == b.setting
            && a.at == b.at
            && a.date == b.date
            && a.doubtful == b.doubtful
            && (a.value / b.value - 1.0).abs() < 1e-9
    };
    let same = added.len() == new.len() && added.iter().zip(new).all(|(a, b)| alike(a, b));
    if same && expected == got && before.rig == after.rig { Ok(()) } else { Err(lost()) }
}

fn lost() -> Error {
    Error::new(
        "the file would not read back as it is meant, and nothing was written",
        "",
        "write the readings by hand, as the outfit tables of a scenario do",
    )
}

/// Wanted drags off the reel with a full spool.
fn wanted(outfit: &Outfit, guides: f64) -> Vec<(&'static str, Force)> {
    let plan = &outfit.drag;
    let full = |f: Force| if plan.at == ScalePlace::Tip { f / guides } else { f };
    let mut all = Vec::new();
    all.extend(plan.soak.get().map(|f| ("soak", full(f))));
    all.extend(match (plan.strike, plan.fight) {
        (Known::Known(ShareOrForce::Force(f)), _) => Some(("strike", full(f))),
        (Known::Known(s), Known::Known(fight)) => Some(("strike", full(s.of(fight)))),
        _ => None,
    });
    all.extend(plan.fight.get().map(|f| ("fight", full(f))));
    all
}

fn sheet_text(s: &Sheet, keep: bool, page: &mut crate::layout::Page) {
    let taken: Vec<String> = s.taken().map(|t| t.0.to_string()).collect();
    page.head("The sheet");
    page.points(&s.notes);
    page.points([format!(
        "taken: {}",
        if taken.is_empty() { "no line".to_owned() } else { format!("line {}", taken.join(", ")) }
    )]);
    for l in &s.lines {
        for note in &l.notes {
            page.points([format!("line {}: {note}", l.line)]);
        }
    }
    let aside: Vec<&SheetLine> = s.aside().collect();
    if aside.is_empty() {
        return;
    }
    page.head(if keep {
        "Set aside, kept as doubtful where they can be read"
    } else {
        "Set aside (--keep stores them as doubtful)"
    });
    page.points(aside.iter().map(|l| format!("line {} ({}): {}", l.line, l.text, l.aside.join("; "))));
}

fn reading_json(r: &Reading) -> ReadingJson<'_> {
    ReadingJson {
        setting: r.setting.to_string(),
        value_n: r.value.n(),
        at: r.at,
        start_up_n: r.start_up.get().map(Force::n).into(),
        bend_deg: r.bend.get().map(Angle::deg).into(),
        line_out_m: r.line_out.get().map(Length::m).into(),
        depth_mm: r.depth.get().map(Length::mm).into(),
        temperature_c: r.temperature.get().map(Temperature::c).into(),
        preset: r.preset.get().map(|p| p.to_string()).into(),
        date: r.date.get().map(|d| d.to_string()).into(),
        doubtful: &r.doubtful,
        note: &r.note,
    }
}

fn sheet_json<'a>(s: &'a Sheet, apart: &'a [Apart]) -> SheetJson<'a> {
    let line = |l: &'a SheetLine| LineJson {
        line: l.line,
        taken: l.taken(),
        text: &l.text,
        reading: l.reading.as_ref().map(reading_json),
        aside: &l.aside,
        notes: &l.notes,
    };
    let carried = |a: &Apart| ApartJson {
        line: a.line,
        read_n: a.read.n(),
        would_be_n: [a.would_be.low.n(), a.would_be.central.n(), a.would_be.high.n()],
        mean_n: a.mean.get().map(Force::n).into(),
        out_of_line: a.out_of_line,
    };
    SheetJson {
        notes: &s.notes,
        lines: s.lines.iter().map(line).collect(),
        apart: apart.iter().map(carried).collect(),
    }
}

#[derive(Serialize)]
struct ReadingJson<'a> {
    setting: String,
    value_n: f64,
    at: Known<ScalePlace>,
    start_up_n: Known<f64>,
    bend_deg: Known<f64>,
    line_out_m: Known<f64>,
    depth_mm: Known<f64>,
    temperature_c: Known<f64>,
    preset: Known<String>,
    date: Known<String>,
    doubtful: &'a str,
    note: &'a str,
}

#[derive(Serialize)]
struct LineJson<'a> {
    line: u64,
    taken: bool,
    text: &'a str,
    reading: Option<ReadingJson<'a>>,
    aside: &'a [String],
    notes: &'a [String],
}

#[derive(Serialize)]
struct ApartJson {
    line: u64,
    read_n: f64,
    would_be_n: [f64; 3],
    mean_n: Known<f64>,
    out_of_line: Known<bool>,
}

#[derive(Serialize)]
struct SheetJson<'a> {
    notes: &'a [String],
    lines: Vec<LineJson<'a>>,
    apart: Vec<ApartJson>,
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    outfit: &'a str,
    written: bool,
    added: Vec<ReadingJson<'a>>,
    sheet: Option<SheetJson<'a>>,
    curve: Option<CurveJson<'a>>,
    no_curve: Option<String>,
    read_next: &'a [ReadNext],
}
