//! `tailrope drag card`.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::path::{drag_of, factor_of};
use crate::verb::source::{FromFile, tables};
use clap::Args;
use serde::Serialize;
use tailrope::facts::Known;
use tailrope::quantity::{Force, Length, Speed, Units, significant};
use tailrope::tackle::drag::{
    BackOff, CardAsk, CardRow, CardSetting, ClassDrag, ReadingContext, SoakCheck, class_drag,
};
use tailrope::tackle::{DragCurve, LoadPath, ScalePlace, drag_card};

/// What the setting becomes with line out, told by what can be seen on the spool
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope drag card --demo\n  \
                        tailrope drag card night.toml --drag 26lbf --tip-cap 55lbf --step 50yd\n\n\
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
    /// Where the scale was hooked, if there are readings from both places: reel or tip
    #[arg(long, value_parser = crate::word::word::<ScalePlace>, value_name = "PLACE")]
    readings_at: Option<ScalePlace>,
}

impl Card {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let tables = tables(desk)?;
        let (outfit, rig) = self.from.read(desk)?;
        let path = LoadPath::new(&outfit, rig.as_ref(), &tables)?;
        let (drag, at, _) = drag_of(self.drag, self.at_tip, &outfit)?;
        let ask = CardAsk {
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
        let card = drag_card(&path, &outfit, &tables, curve.as_ref(), &ask)?;
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
            not_enough_from_m: card.not_enough_from.map(Length::m),
        };
        let u = desk.units;
        let mut page = desk.page();
        page.say(&format!("{}: drag card for {} {}, full spool.", outfit.name, u.force(drag), at.words()));
        if let Some(class) = &class {
            page.say(&super::nothing_measured(class, u));
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
        page.head("Line out, as it shows");
        let rows: Vec<Vec<String>> = card.rows.iter().map(|r| row(r, u)).collect();
        page.table(&["out", "below rim", "at tip", "at hook", "set", "margin", "seen"], &rows, &[6]);
        page.say("Set: the drag off the reel with a full spool at which the lever should now stand.");
        page.head("Ease the lever");
        if card.back_offs.is_empty() {
            page.say("  nowhere: the setting may stay to the end of the line");
        } else {
            page.points(card.back_offs.iter().map(|b| back_off(b, u)));
        }
        if let Some(m) = card.not_enough_from {
            page.say(&format!(
                "STOP before {} are out: from there no setting keeps the margin and the cap.",
                u.line(m)
            ));
        }
        Answer::new(page.into_text(), &json)
    }
}

fn setting(s: &CardSetting, u: Units) -> String {
    let place = s.setting.as_ref().map_or_else(|| "no mark known".to_owned(), String::clone);
    format!("{} off the reel, {} at the tip: {place}", u.force(s.drag), u.force(s.tip))
}

fn soak_words(s: SoakCheck) -> Vec<&'static str> {
    let mut words = Vec::new();
    if !s.gives_line {
        words.push("soak: too tight, a fish that takes meets the rod before the drag gives");
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
    not_enough_from_m: Option<f64>,
}
