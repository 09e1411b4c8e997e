//! `tailrope drag set`.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::drag::view::{self, CurveJson, ReadingLimits};
use crate::verb::source::{FromFile, tables};
use clap::Args;
use serde::Serialize;
use tailrope::facts::{Band, Grade, Known};
use tailrope::quantity::{Force, Units};
use tailrope::tackle::drag::{
    ClassDrag, Placed, ReadNext, ReadingContext, SetAsk, SetFor, SoakCheck, WithLineOut, class_drag,
    drag_set, read_next,
};
use tailrope::tackle::{DragCurve, LoadPath, ScalePlace};

/// Where to put lever or clicks for a drag, what it really gives, and how to find it again
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope drag set 24lbf --demo\n  \
                        tailrope drag set 24lbf night.toml --at-tip\n  \
                        tailrope drag set 5lbf night.toml --for soak --pull 3lbf\n\n\
                        Without --for the drag is that of the fight; strike and soak follow from the outfit.\n\
                        Only what lies between scale readings is answered: `tailrope drag read` adds them.")]
pub struct Set {
    /// Drag wanted, off the reel with a full spool
    #[arg(allow_hyphen_values = true)]
    wanted: Force,
    #[command(flatten)]
    from: FromFile,
    /// The drag is meant beyond the tip of the bent rod
    #[arg(long)]
    at_tip: bool,
    /// For what it is wanted, alone: soak, strike or fight
    #[arg(long = "for", value_parser = crate::word::word::<SetFor>, value_name = "WHAT")]
    only: Option<SetFor>,
    /// What current and surf pull on the line (`tailrope hold` tells it)
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    pull: Option<Force>,
    /// Where the scale was hooked, if there are readings from both places: reel or tip
    #[arg(long, value_parser = crate::word::word::<ScalePlace>, value_name = "PLACE")]
    readings_at: Option<ScalePlace>,
}

impl Set {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let tables = tables(desk)?;
        let (outfit, rig, air) = self.from.read_with_air(desk)?;
        let path = LoadPath::new(&outfit, rig.as_ref(), &tables)?;
        let context = ReadingContext::of(&outfit, path.spool(), &tables);
        let curve = if outfit.readings.is_empty() {
            None
        } else {
            let fitted = DragCurve::fit(&outfit.readings, self.readings_at, &context);
            Some(fitted.map_err(|e| e.within(format!("outfit {}", outfit.name)))?)
        };
        let at = if self.at_tip { ScalePlace::Tip } else { ScalePlace::Reel };
        let ask = SetAsk { drag: self.wanted, at, only: self.only, pull: self.pull.into() };
        let answer = drag_set(&path, &outfit, &tables, curve.as_ref(), &ask)?;
        let wanted: Vec<(&'static str, Force)> =
            answer.placed.iter().map(|p| (p.what.word(), p.drag)).collect();
        let limits = ReadingLimits::read(desk)?;
        let next = read_next(&outfit, curve.as_ref(), &tables, &limits.ask(&wanted, air, desk));
        let class = curve.is_none().then(|| class_drag(&outfit, &tables));
        let guides = path.guide_factor();
        let json = Json {
            schema: "tailrope.drag-set/1",
            outfit: &outfit.name,
            wanted_n: self.wanted.n(),
            wanted_at: at,
            measured: answer.measured,
            class_drag: class.as_ref(),
            settings: answer.placed.iter().map(placed_json).collect(),
            soak: answer.soak,
            curve: curve.as_ref().map(|c| view::json(c, guides)),
            read_next: &next,
        };
        let u = desk.units;
        let mut page = desk.page();
        let what = self.only.map_or_else(String::new, |o| format!(" for the {}", o.word()));
        page.say(&format!("{}: {} {}{what}, full spool.", outfit.name, u.force(self.wanted), at.words()));
        if let Some(class) = &class {
            page.say(&super::nothing_measured(class, u));
        }
        for p in &answer.placed {
            page.head(&heading(p, u));
            let rows = rows(p, u);
            page.pairs(&rows.iter().map(|(k, v)| (*k, v.clone())).collect::<Vec<_>>());
        }
        if let Some(soak) = answer.soak {
            page.head("A fish on the soak setting").points(soak_words(soak, u));
        }
        let mut notes: Vec<&str> = Vec::new();
        for note in answer.placed.iter().flat_map(|p| &p.notes) {
            if !notes.contains(&note.as_str()) {
                notes.push(note);
            }
        }
        page.head("To find it again").points(notes);
        view::next_text(&next, &mut page);
        Answer::new(page.into_text(), &json)
    }
}

fn heading(p: &Placed, u: Units) -> String {
    let name = match p.what {
        SetFor::Soak => "Soak",
        SetFor::Strike => "Strike",
        SetFor::Fight => "Fight",
    };
    let wish = if p.wish == Grade::Measured { "" } else { " (a default: write drag.soak of the outfit)" };
    format!("{name}: {} off the reel, {} at the tip{wish}", u.force(p.drag), u.force(p.tip))
}

fn rows(p: &Placed, u: Units) -> Vec<(&'static str, String)> {
    let setting = match p.setting {
        Known::Known(s) if p.between.is_empty() => format!("{s}, where it was read"),
        Known::Known(s) => format!("{s}: {}", p.between),
        Known::Unknown => "no mark known".to_owned(),
    };
    let mut rows = vec![("put it at", setting)];
    let band = |b: Band<Force>| format!("{} to {}", u.force(b.low), u.force(b.high));
    if let (Known::Known(read), Known::Known(night)) = (p.as_read, p.band) {
        let pulls =
            if p.pulls == 1 { "one pull a mark".to_owned() } else { format!("{} pulls a mark", p.pulls) };
        rows.push(("gives at the tip", format!("{} as it was read ({pulls})", band(read))));
        rows.push(("", format!("{} some other night, until a check pull", band(night))));
    }
    rows.push(("starts at", format!("{} at the tip", u.force(p.start))));
    let out: Vec<String> = p
        .with_line_out
        .iter()
        .map(|w| format!("{} with {} out", u.force(w.tip), u.line(w.line_out)))
        .collect();
    rows.push(("over the bent rod", out.join(", ")));
    rows
}

fn soak_words(s: SoakCheck, u: Units) -> Vec<String> {
    let mut words = vec![if s.gives_line {
        format!(
            "can take line: the reel starts to give at {}, at most {}",
            u.force(s.start),
            u.force(s.start_high)
        )
    } else {
        format!(
            "CAUTION: too tight, a fish that takes may meet the rod before the drag gives, at {} or as much as {}",
            u.force(s.start),
            u.force(s.start_high)
        )
    }];
    words.push(match s.sea_takes_line {
        Known::Known(true) => "CAUTION: current and surf pull as much: they will take line".to_owned(),
        Known::Known(false) => "current and surf pull less: they take none".to_owned(),
        Known::Unknown if s.too_loose => "CAUTION: so light that current and surf may take line".to_owned(),
        Known::Unknown => {
            "whether current and surf take line was not asked: --pull, from `tailrope hold`".to_owned()
        }
    });
    words
}

fn placed_json(p: &Placed) -> PlacedJson<'_> {
    let band = |b: Known<Band<Force>>| b.get().map(|b| [b.low.n(), b.central.n(), b.high.n()]).into();
    PlacedJson {
        what: p.what.word(),
        drag_n: p.drag.n(),
        tip_n: p.tip.n(),
        wish_grade: p.wish,
        setting: p.setting.as_ref().map_or_else(|| "unknown".to_owned(), ToString::to_string),
        between: &p.between,
        pulls: p.pulls,
        tip_as_read_n: band(p.as_read),
        tip_band_n: band(p.band),
        start_tip_n: p.start.n(),
        with_line_out: &p.with_line_out,
        notes: &p.notes,
    }
}

#[derive(Serialize)]
struct PlacedJson<'a> {
    what: &'static str,
    drag_n: f64,
    tip_n: f64,
    wish_grade: Grade,
    setting: String,
    between: &'a str,
    pulls: usize,
    tip_as_read_n: Known<[f64; 3]>,
    tip_band_n: Known<[f64; 3]>,
    start_tip_n: f64,
    with_line_out: &'a [WithLineOut],
    notes: &'a [String],
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    outfit: &'a str,
    wanted_n: f64,
    wanted_at: ScalePlace,
    measured: bool,
    class_drag: Option<&'a ClassDrag>,
    settings: Vec<PlacedJson<'a>>,
    soak: Option<SoakCheck>,
    curve: Option<CurveJson<'a>>,
    read_next: &'a [ReadNext],
}
