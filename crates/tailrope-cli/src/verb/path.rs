//! `tailrope path`: the load path.

mod compare;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::layout::Page;
use crate::verb::source::{FromFile, tables};
use clap::{Args, Subcommand};
use serde::Serialize;
use tailrope::Error;
use tailrope::facts::{Grade, Known};
use tailrope::outing::limits::{Border, Limits};
use tailrope::quantity::{Force, Length, Speed, Units, significant};
use tailrope::tackle::drag::DragPlan;
use tailrope::tackle::path::{DRY_LINE, PartReport};
use tailrope::tackle::{Clash, Ends, LoadPath, PathAsk, PathReport, ScalePlace};

/// What each part from spool to hook feels, which gives way first, and what the fish would then trail
#[derive(Args, Debug)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  \
                        tailrope path --demo --line-out 400yd\n  \
                        tailrope path night.toml --drag 30lbf --line-out 300m --run 5m/s\n  \
                        tailrope path --outfit \"80W, 0.9 mm mono, ring guides\" --drag 120N --line-out 400m\n  \
                        tailrope path --outfit \"spinning, label 300m of 0.5mm mono, 22lbf drag, 0.5mm mono\" --drag 5lbf\n\n\
                        The drag is meant at the reel with a full spool unless --at-tip says otherwise."
)]
pub struct Path {
    #[command(subcommand)]
    how: Option<How>,
    #[command(flatten)]
    of: Of,
}

#[derive(Debug, Subcommand)]
enum How {
    /// Which set-ups are enough for a fish: the crew's own, and what a newcomer could buy
    Compare(compare::Compare),
}

#[derive(Args, Debug)]
struct Of {
    #[command(flatten)]
    from: FromFile,
    /// Drag as set [default: the fight drag of the outfit]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    drag: Option<Force>,
    /// The drag was read beyond the tip of the bent rod
    #[arg(long)]
    at_tip: bool,
    /// Line out
    #[arg(long, allow_hyphen_values = true, default_value = "0m", value_name = "LENGTH")]
    line_out: Length,
    /// Speed at which the fish runs
    #[arg(long, allow_hyphen_values = true, default_value = "5m/s", value_name = "SPEED")]
    run: Speed,
    /// Line in the water [default: all of it but 50 m]
    #[arg(long, visible_alias = "in-water", allow_hyphen_values = true, value_name = "LENGTH")]
    wet: Option<Length>,
    /// Margin wanted of every part [default: where the limits begin to warn]
    #[arg(long, value_name = "RATIO")]
    factor: Option<f64>,
    /// Add the rigid-bar bound of a sideways run (an upper bound, not what a line does)
    #[arg(long)]
    sweep_bound: bool,
}

/// The drag asked for: typed, else the outfit's own.
pub fn drag_of(
    typed: Option<Force>,
    at_tip: bool,
    outfit: &tailrope::tackle::Outfit,
) -> Result<(Force, ScalePlace, Grade), Failure> {
    let place = |tip| if tip { ScalePlace::Tip } else { ScalePlace::Reel };
    match (typed, outfit.drag.fight) {
        (Some(drag), _) => Ok((drag, place(at_tip), Grade::Estimate)),
        (None, Known::Known(drag)) => {
            let grade = if outfit.readings.is_empty() { Grade::Estimate } else { Grade::Measured };
            Ok((drag, outfit.drag.at, grade))
        }
        (None, Known::Unknown) => Err(Error::new(
            "no drag is known",
            "--drag, or drag.fight of the outfit",
            "write it like --drag 28lbf",
        )
        .within("--drag")
        .into()),
    }
}

/// The margin that is wanted: typed, else where the limits begin to warn.
pub fn factor_of(typed: Option<f64>, desk: &Desk) -> Result<f64, Failure> {
    if let Some(f) = typed {
        return Ok(f);
    }
    let pack = desk.packs.get("limits.toml")?;
    let limits = Limits::read(&pack.text())?;
    Ok(limits.row("path.margin").and_then(|r| r.caution).map_or(1.5, Border::at))
}

impl Path {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match &self.how {
            None => self.of.run(desk),
            Some(How::Compare(c)) => c.run(desk),
        }
    }

    /// Whether anything is drawn at random.
    pub fn draws(&self) -> bool {
        self.how.is_some()
    }
}

impl Of {
    fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let tables = tables(desk)?;
        let (outfit, rig) = self.from.read(desk)?;
        let path = LoadPath::new(&outfit, rig.as_ref(), &tables)?;
        let (drag, drag_at, drag_grade) = drag_of(self.drag, self.at_tip, &outfit)?;
        let factor = factor_of(self.factor, desk)?;
        let ask = PathAsk {
            drag,
            drag_at,
            drag_grade,
            wet: self.wet.into(),
            factor,
            sweep_bound: self.sweep_bound,
            ..PathAsk::at_reel(drag, self.line_out, self.run)
        };
        let report = path.at(&ask)?;
        let full = path.at(&ask.with_line_out(Length::ZERO))?;
        let low = path.at(&ask.with_line_out(path.spool().line_length() * 0.8))?;
        let mut clashes = outfit.clashes(rig.as_ref(), &tables, desk.units);
        if self.drag.is_some() {
            // A drag that is asked for must fit reel, rod and line as one written in the file must.
            let mut asked = outfit.clone();
            asked.drag = DragPlan { fight: Known::Known(drag), at: drag_at, ..DragPlan::default() };
            for mut c in asked.clashes(rig.as_ref(), &tables, desk.units) {
                if c.field == "outfit.drag.fight" {
                    c.field = "--drag".into();
                }
                if !clashes.contains(&c) {
                    clashes.push(c);
                }
            }
        }
        let json = Json {
            schema: "tailrope.path/1",
            outfit: &outfit.name,
            rig: rig.as_ref().map(|r| r.name.as_str()),
            drag_n: drag.n(),
            drag_at,
            factor,
            on_spool_m: path.spool().line_length().m(),
            margin_full: full.margin,
            margin_low_spool: low.margin,
            contradictions: &clashes,
            report: &report,
        };
        let u = desk.units;
        let mut page = desk.page();
        page.say(&headline(&outfit.name, drag, drag_at, &report, u));
        if !report.unknown.is_empty() {
            page.say(&format!(
                "Nobody knows what these bear, so no margin is promised: {}.",
                report.unknown.join(", ")
            ));
        }
        page.points(clashes.iter().map(|c| {
            let weight = if c.impossible { "CONTRADICTION" } else { "DOUBTFUL" };
            format!("{weight}: {}. {}: {}.", c.sentence, c.field, c.remedy)
        }));
        page.head("Tension, as a fish runs").pairs(&[
            ("at the spool", u.force(report.spool)),
            ("beyond the tip", u.force(report.tip)),
            ("at the rig", u.force(report.leader)),
            ("at the hook", u.force(report.hook)),
        ]);
        let s = &report.shares;
        page.say(&format!(
            "Of the pull at the hook: {} set, {} from the emptier spool, {} from the guides, {} from the water.",
            u.force(s.set),
            u.force(s.spool),
            u.force(s.guides),
            u.force(s.water)
        ));
        spool(&mut page, &report, u);
        page.head("Parts, reel to hook");
        let rows: Vec<Vec<String>> = report.parts.iter().map(|p| part(p, u)).collect();
        page.table(&["", "feels", "bears", "margin", "trails"], &rows, &[0]);
        page.head(&format!("Greatest drag that keeps a margin of {}", significant(factor, 3)));
        let say = |f: Known<Force>| f.get().map_or_else(|| "unknown".to_owned(), |f| u.force(f));
        page.pairs(&[
            ("full spool", say(report.limits.full)),
            ("half out", say(report.limits.half)),
            ("last fifth", say(report.limits.last_fifth)),
        ]);
        if let Known::Known(share) = report.rod.load_share {
            page.head("Rod").pairs(&[(
                "pull over what it is built for",
                format!("{} ({})", significant(share, 2), report.rod.grade.word()),
            )]);
        }
        let stage = &report.leader_stage;
        if let Known::Known(margin) = stage.margin {
            let bad = stage.margin_if_bad_sleeves.get().filter(|b| *b < margin);
            let bad = bad.map_or_else(String::new, |b| {
                format!("; {} if an untested sleeve is a bad one", significant(b, 3))
            });
            page.head("At the leader, hands and drag together").pairs(&[
                ("load", format!("{} ({} of it by hand)", u.force(stage.load), u.force(stage.hands))),
                ("margin", format!("{}{bad}", significant(margin, 3))),
            ]);
        }
        Answer::new(page.into_text(), &json)
    }
}

/// The spool: how full, over its band, what to measure first.
fn spool(page: &mut Page, r: &PathReport, u: Units) {
    let s = &r.spool_fill;
    let m = Length::of_m;
    let times = |e: &Ends| {
        if e.high / e.low < 1.005 {
            format!("x{}", significant(e.central, 3))
        } else {
            format!("x{} to x{}, by the spool's band", significant(e.low, 3), significant(e.high, 3))
        }
    };
    let mut pairs = vec![
        ("line on it", format!("{}, {} left", u.line(s.on_spool), u.line(s.left))),
        ("below the rim, all line on", format!("{:.1} mm", s.fill.depth.mm())),
        ("below the rim now", {
            let d = &s.depth_mm;
            if d.high - d.low < 0.1 {
                format!("{:.1} mm", d.central)
            } else {
                format!("{:.1} to {:.1} mm, by the spool's band", d.low, d.high)
            }
        }),
        ("room left for the outermost line", u.line(s.fill.room)),
        ("drag growth now", times(&s.growth)),
        (
            "drag growth with a fifth of the line left",
            format!("x{}", significant(s.fill.growth_last_fifth, 3)),
        ),
    ];
    if s.fill.drag_over_full > 1.005 {
        pairs.push((
            "one lever mark against a spool filled to the rim",
            format!("x{} drag from the first metre", significant(s.fill.drag_over_full, 3)),
        ));
        pairs.push((
            "drag growth there if it were filled to the rim",
            format!("x{}", significant(s.fill.growth_if_full, 3)),
        ));
        pairs.push((
            "handle, against a full spool",
            format!("x{} line a turn", significant(s.fill.retrieve_over_full, 3)),
        ));
    }
    if !r.winding.per_turn_m.is_empty() {
        let turns: Vec<String> = r.winding.per_turn_m.iter().map(|l| u.size(m(*l))).collect();
        let banded = s.turn_m.filter(|t| t.high > t.low * 1.005).map_or_else(String::new, |t| {
            format!(" ({} to {}, by the spool's band)", u.size(m(t.low)), u.size(m(t.high)))
        });
        pairs.push(("a turn of the handle wins now", format!("{}{banded}", turns.join(", in low gear "))));
    }
    pairs.push((
        "most that can be wound in against this drag",
        format!("{} at the tip", u.force(r.winding.winnable)),
    ));
    page.head("Spool").pairs(&pairs);
    page.points(&s.told);
    if let Some(first) = s.measure_first {
        page.points([format!("{} ({}). First {first}.", s.source, s.grade.word())]);
    }
}

fn headline(outfit: &str, drag: Force, at: ScalePlace, r: &PathReport, u: Units) -> String {
    let set = format!("{outfit}: {} {}, {} out", u.force(drag), at.words(), u.line(r.line_out));
    let margin = match (r.margin, r.margin_of_known) {
        (Known::Known(m), _) => format!("margin {}", significant(m, 3)),
        (Known::Unknown, Some(m)) => format!("margin at most {}", significant(m, 3)),
        (Known::Unknown, None) => "margin unknown".to_owned(),
    };
    match &r.weakest {
        Some(weakest) => {
            format!("{set}: the weakest part is {weakest}, {margin}; grade: {}.", r.grade.word())
        }
        None => format!("{set}: {margin}."),
    }
}

fn part(p: &PartReport, u: Units) -> Vec<String> {
    let known = |k: Option<String>| k.unwrap_or_else(|| "unknown".to_owned());
    vec![
        if p.untested_sleeve { format!("{} (untested sleeve)", p.name) } else { p.name.clone() },
        p.demand.map_or_else(|| "on the spool".to_owned(), |f| u.force(f)),
        known(p.capacity.get().map(|f| u.force(f))),
        p.demand.map_or_else(|| "-".to_owned(), |_| known(p.margin.get().map(|m| significant(m, 3)))),
        known(p.trails.get().map(|l| u.line(l))),
    ]
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    outfit: &'a str,
    rig: Option<&'a str>,
    drag_n: f64,
    drag_at: ScalePlace,
    factor: f64,
    on_spool_m: f64,
    margin_full: Known<f64>,
    margin_low_spool: Known<f64>,
    contradictions: &'a [Clash],
    #[serde(flatten)]
    report: &'a PathReport,
}

/// Line between tip and water, for the help text's sake checked here.
const _: () = assert!(DRY_LINE.m() == 50.0);
