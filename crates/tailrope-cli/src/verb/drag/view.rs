//! The curve and what to read next, as text and JSON show them.

use crate::answer::Failure;
use crate::desk::Desk;
use crate::layout::Page;
use serde::Serialize;
use tailrope::facts::{Known, PackText};
use tailrope::outing::limits::{Border, Limits};
use tailrope::quantity::{Force, Temperature, Units, significant};
use tailrope::tackle::drag::{LeftOut, Mark, ReadFor, ReadNext};
use tailrope::tackle::{DragCurve, ScalePlace};

/// The two limits of a drag reading.
#[derive(Clone, Copy, Debug)]
pub struct ReadingLimits {
    /// Days for which a reading counts.
    pub days: f64,
    /// Degrees from which a check pull is asked for.
    pub check_k: f64,
}

impl ReadingLimits {
    /// From the limits pack.
    pub fn read(desk: &Desk) -> Result<Self, Failure> {
        let pack = desk.packs.get("limits.toml")?;
        let text: PackText<'_> = pack.text();
        let limits = Limits::read(&text)?;
        let check = limits.row("drag.check_pull_c").and_then(|r| r.caution).map_or(f64::INFINITY, Border::at);
        Ok(Self { days: limits.figure("drag.reading_days"), check_k: check })
    }

    /// What the readings are wanted for.
    pub fn ask<'a>(
        &self,
        wanted: &'a [(&'static str, Force)],
        air: Known<Temperature>,
        desk: &Desk,
    ) -> ReadFor<'a> {
        ReadFor {
            wanted,
            on: desk.read_on(),
            counts_days: self.days,
            air,
            check_k: self.check_k,
            units: desk.units,
        }
    }
}

/// One mark.
#[derive(Serialize)]
pub struct MarkJson {
    setting: String,
    drag_n: f64,
    tip_n: f64,
    readings: usize,
    spread: Known<f64>,
    start_up: Known<f64>,
}

/// A curve.
#[derive(Serialize)]
pub struct CurveJson<'a> {
    at: ScalePlace,
    marks: Vec<MarkJson>,
    spread_pooled: Known<f64>,
    spread_freedom: usize,
    start_up: Known<f64>,
    left_out: &'a [LeftOut],
}

/// The curve for programs; drags off the reel and beyond the tip, full spool.
pub fn json(c: &DragCurve, guides: f64) -> CurveJson<'_> {
    let mark = |m: Mark| MarkJson {
        setting: m.setting.to_string(),
        drag_n: m.drag.n(),
        tip_n: m.drag.n() * guides,
        readings: m.count,
        spread: m.spread,
        start_up: m.start_up,
    };
    let pooled = c.pooled();
    CurveJson {
        at: c.place,
        marks: c.marks().into_iter().map(mark).collect(),
        spread_pooled: pooled.get().map(|p| p.share).into(),
        spread_freedom: pooled.get().map_or(0, |p| p.freedom),
        start_up: c.start_up(),
        left_out: &c.left_out,
    }
}

/// The curve for people.
pub fn text(c: &DragCurve, guides: f64, u: Units, page: &mut Page) {
    page.head(&format!("The curve, full spool, from readings {}", c.place.words()));
    let share = |k: Known<f64>| {
        k.get().map_or_else(|| "-".to_owned(), |s| format!("{} %", significant(s * 100.0, 2)))
    };
    let rows: Vec<Vec<String>> = c
        .marks()
        .iter()
        .map(|m| {
            vec![
                m.setting.to_string(),
                u.force(m.drag),
                u.force(m.drag * guides),
                m.count.to_string(),
                m.spread.get().map_or_else(|| "-".to_owned(), |s| u.force(m.drag * guides * s)),
                share(m.start_up.get().map(|s| s - 1.0).into()),
            ]
        })
        .collect();
    page.table(&["setting", "off reel", "at tip", "pulls", "sd at tip", "start-up"], &rows, &[0]);
    match c.pooled() {
        Known::Known(p) => page.say(&format!(
            "Pulls scatter by {} % (standard deviation, pooled over {} beyond the first of each mark).",
            significant(p.share * 100.0, 2),
            p.freedom
        )),
        Known::Unknown => page.say("No mark was pulled twice: how far pulls scatter is not known."),
    };
    for l in &c.left_out {
        page.points([format!("readings[{}] does not count: {}", l.reading, l.why)]);
    }
}

/// What to read next, for people.
pub fn next_text(next: &[ReadNext], page: &mut Page) {
    page.head("Read next");
    if next.is_empty() {
        page.say("  nothing: what is wanted lies well between marks that were pulled often enough");
    } else {
        page.points(next.iter().map(|n| n.sentence.as_str()));
    }
}
