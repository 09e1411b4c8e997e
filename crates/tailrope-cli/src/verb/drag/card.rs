//! `tailrope drag card`.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::layout::Page;
use crate::verb::drag::view::ReadingLimits;
use crate::verb::path::{drag_of, factor_of};
use crate::verb::source::{FromFile, tables};
use clap::Args;
use serde::Serialize;
use tailrope::facts::Known;
use tailrope::quantity::{Force, Length, Speed, Temperature, Units, significant};
use tailrope::tackle::drag::{
    BackOff, CardAsk, CardRow, CardSetting, CheckPull, ClassDrag, DragCard, ReadingContext, SoakCheck,
    class_drag,
};
use tailrope::tackle::tables::DragRow;
use tailrope::tackle::{DragCurve, LoadPath, ScalePlace, drag_card};

/// What the setting becomes with line out, told by what can be seen on the spool
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope drag card --demo\n  \
                        tailrope drag card night.toml --drag 26lbf --tip-cap 55lbf --step 50yd\n\n\
                        Where the night is much colder or warmer than the readings (--air), one check pull is asked for and the\n\
                        margins are kept at the upper end of the drag's band until then.\n\
                        Without scale readings only the band of the reel's class is known, and the card says so.")]
pub struct Card {
    #[command(flatten)]
    from: FromFile,
    /// Drag wanted in the fight [default: that of the outfit]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    drag: Option<Force>,
    /// The drag is meant beyond the tip of the bent rod
    #[arg(long)]
    at_tip: bool,
    /// Greatest pull beyond the tip that the people bear (`tailrope footing` tells it)
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    tip_cap: Option<Force>,
    /// Speed of the runs
    #[arg(long, allow_hyphen_values = true, default_value = "5m/s", value_name = "SPEED")]
    run: Speed,
    /// Line between rows
    #[arg(long, allow_hyphen_values = true, default_value = "100m", value_name = "LENGTH")]
    step: Length,
    /// Margin wanted of the weakest part [default: where the limits begin to warn]
    #[arg(long, value_name = "RATIO")]
    factor: Option<f64>,
    /// Air of the night [default: that of the outing]
    #[arg(long, allow_hyphen_values = true, value_name = "TEMPERATURE")]
    air: Option<Temperature>,
    /// Only the rows at which something is seen or the lever is eased
    #[arg(long)]
    short: bool,
    /// Where the scale was hooked, if there are readings from both places: reel or tip
    #[arg(long, value_parser = crate::word::word::<ScalePlace>, value_name = "PLACE")]
    readings_at: Option<ScalePlace>,
}

impl Card {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let tables = tables(desk)?;
        let (outfit, rig, air) = self.from.read_with_air(desk)?;
        let path = LoadPath::new(&outfit, rig.as_ref(), &tables)?;
        let (drag, at, _) = drag_of(self.drag, self.at_tip, &outfit)?;
        let check = (!outfit.readings.is_empty())
            .then(|| CheckPull::of(&outfit.readings, &outfit.drag, self.air.map_or(air, Known::Known)));
        let off = check.and_then(|c| c.warmer_k().get()).map(f64::abs);
        let limits = ReadingLimits::read(desk)?;
        let asked = off.is_some_and(|k| k >= limits.check_k);
        let upper = if asked { tables.drag.drift.value.high } else { 1.0 };
        let ask = CardAsk {
            upper,
            at,
            run: self.run,
            factor: factor_of(self.factor, desk)?,
            tip_cap: self.tip_cap,
            step: self.step,
            ..CardAsk::at_reel(drag)
        };
        let context = ReadingContext::of(&outfit, path.spool(), &tables);
        let curve = if outfit.readings.is_empty() {
            None
        } else {
            let fitted = DragCurve::fit(&outfit.readings, self.readings_at, &context);
            Some(fitted.map_err(|e| e.within(format!("outfit {}", outfit.name)))?)
        };
        let mut card = drag_card(&path, &outfit, &tables, curve.as_ref(), &ask)?;
        if self.short {
            shorten(&mut card);
        }
        let class = curve.is_none().then(|| class_drag(&outfit, &tables));
        let json = Json {
            schema: "tailrope.drag-card/1",
            outfit: &outfit.name,
            rig: rig.as_ref().map(|r| r.name.as_str()),
            drag_n: drag.n(),
            drag_at: at,
            run_mps: self.run.mps(),
            factor: ask.factor,
            tip_cap_n: self.tip_cap.map(Force::n),
            measured: card.measured,
            class_drag: class.as_ref(),
            settings: &card.settings,
            drag_card: &card.rows,
            back_offs: &card.back_offs,
            soak: card.soak,
            upper,
            check_pull: CheckJson::of(check, asked),
            paint_m: card.paint.iter().map(|l| l.m()).collect(),
            not_enough_from_m: card.not_enough_from.map(Length::m),
        };
        let u = desk.units;
        let mut page = desk.page();
        page.say(&format!("{}: drag card for {} {}, full spool.", outfit.name, u.force(drag), at.words()));
        if let Some(class) = &class {
            page.say(&super::nothing_measured(class, u));
        }
        if let Some(check) = &check {
            page.points(check_words(check, asked, drag, &tables.drag, u));
        }
        page.head("Settings");
        page.pairs(&card.settings.iter().map(|s| (s.what, setting(s, u))).collect::<Vec<_>>());
        let mut notes: Vec<&str> =
            card.settings.iter().map(|s| s.note.as_str()).filter(|n| !n.is_empty()).collect();
        notes.dedup();
        page.points(notes);
        if let Some(soak) = card.soak {
            page.points(soak_words(soak));
        }
        line_out(&mut page, &card, self.tip_cap.is_some(), u);
        page.head("Ease the lever");
        if card.back_offs.is_empty() {
            page.say("  nowhere: the setting may stay to the end of the line");
        } else {
            page.points(card.back_offs.iter().map(|b| back_off(b, u)));
        }
        if !card.paint.is_empty() {
            let at: Vec<String> =
                card.paint.iter().map(|l| format!("{} ({:.0} m)", u.line(*l), l.m())).collect();
            page.say(&format!(
                "Nothing but the depth shows there. By day strip the line off and paint a mark of its own colour where it leaves the spool at {}, and write it into the outfit (marks).",
                at.join(", ")
            ));
        }
        if let Some(m) = card.not_enough_from {
            page.say(&format!(
                "STOP before {} are out: from there no setting keeps the margin{}.",
                u.line(m),
                if self.tip_cap.is_some() { " and the cap" } else { "" }
            ));
        }
        Answer::new(page.into_text(), &json)
    }
}

/// The rows of the card; `capped`: whether the people's cap is in it.
fn line_out(page: &mut Page, card: &DragCard, capped: bool, u: Units) {
    page.head("Line out, as it shows");
    let rows: Vec<Vec<String>> = card.rows.iter().map(|r| row(r, u)).collect();
    page.table(&["out", "below rim", "at tip", "at hook", "set", "margin", "seen"], &rows, &[6]);
    page.say(
        "Set: the drag off the reel with a full spool at which the lever should now stand. At tip, at hook: with it \
         there. Margin: as the fish arrives, before the lever is eased.",
    );
    if !capped {
        page.say(
            "What the people bear is not in this card: give --tip-cap from `tailrope footing`, or take the card of \
             `tailrope plan`, which holds both.",
        );
    }
}

/// Leaves the first row, the last, and those at which something is seen or the setting falls.
fn shorten(card: &mut DragCard) {
    let last = card.rows.len().saturating_sub(1);
    let mut set = Force::of_n(f64::INFINITY);
    let mut i = 0;
    card.rows.retain(|r| {
        let keep = i == 0 || i == last || !r.seen.is_empty() || r.set < set;
        i += 1;
        set = r.set;
        keep
    });
}

/// What the night's air means for this drag.
fn check_words(c: &CheckPull, asked: bool, drag: Force, row: &DragRow, u: Units) -> Vec<String> {
    let (Some(read), Some(air)) = (c.read_at.get(), c.air.get()) else {
        let lacks = if c.read_at.is_unknown() {
            "the newest readings carry no temperature"
        } else {
            "the air of the night is not known (--air)"
        };
        return vec![format!(
            "{lacks}: whether a check pull is needed cannot be told, so pull once on the beach"
        )];
    };
    if !asked {
        return Vec::new();
    }
    vec![
        format!(
            "CAUTION: read at {}, fished at {}; {}. Pull once on the beach, over the bent rod, before the first bait.",
            u.temperature(read),
            u.temperature(air),
            c.expect()
        ),
        format!(
            "Until then {} may be {} to {}, and the margins below are those of the upper end. Five tested reels each changed by {} or more over 25 F; after a run add {} to {}.",
            u.force(drag),
            u.force(drag * row.drift.value.low),
            u.force(drag * row.drift.value.high),
            u.force(row.cold_gain.value),
            u.force(row.after_run.value.low),
            u.force(row.after_run.value.high)
        ),
    ]
}

fn setting(s: &CardSetting, u: Units) -> String {
    let place = s.setting.as_ref().map_or_else(|| "no mark known".to_owned(), String::clone);
    format!("{} off the reel, {} at the tip: {place}", u.force(s.drag), u.force(s.tip))
}

fn soak_words(s: SoakCheck) -> Vec<&'static str> {
    let mut words = Vec::new();
    if !s.gives_line {
        words.push("soak: too tight, or not known to be light enough: a fish that takes may meet the rod before the drag gives; read where it starts");
    }
    if s.too_loose {
        words.push("soak: so light that current and waves may pull line");
    }
    words
}

fn row(r: &CardRow, u: Units) -> Vec<String> {
    vec![
        u.line(r.line_out),
        u.diameter(r.depth),
        u.force(r.tip),
        u.force(r.hook),
        u.force(r.set),
        r.margin.get().map_or_else(|| "unknown".to_owned(), |m| significant(m, 3)),
        r.seen.clone(),
    ]
}

fn back_off(b: &BackOff, u: Units) -> String {
    let seen = if b.seen.is_empty() { String::new() } else { format!(", {}", b.seen) };
    let mark = match &b.setting {
        Known::Known(s) => format!(", {s}"),
        Known::Unknown => String::new(),
    };
    format!(
        "at {} out (line {} below the rim{seen}): to {}{mark}, {:.0} % of the fight setting",
        u.line(b.line_out),
        u.diameter(b.depth),
        u.force(b.set),
        b.share * 100.0
    )
}

#[derive(Serialize)]
struct CheckJson {
    asked: Known<bool>,
    read_at_c: Known<f64>,
    air_c: Known<f64>,
    warmer_k: Known<f64>,
}

impl CheckJson {
    fn of(check: Option<CheckPull>, asked: bool) -> Option<Self> {
        let c = check?;
        Some(Self {
            asked: c.warmer_k().get().map(|_| asked).into(),
            read_at_c: c.read_at.get().map(Temperature::c).into(),
            air_c: c.air.get().map(Temperature::c).into(),
            warmer_k: c.warmer_k(),
        })
    }
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    outfit: &'a str,
    rig: Option<&'a str>,
    drag_n: f64,
    drag_at: ScalePlace,
    run_mps: f64,
    factor: f64,
    tip_cap_n: Option<f64>,
    measured: bool,
    class_drag: Option<&'a ClassDrag>,
    settings: &'a [CardSetting],
    drag_card: &'a [CardRow],
    back_offs: &'a [BackOff],
    soak: Option<SoakCheck>,
    upper: f64,
    check_pull: Option<CheckJson>,
    paint_m: Vec<f64>,
    not_enough_from_m: Option<f64>,
}
