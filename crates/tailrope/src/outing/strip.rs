//! The night as a strip of text: one line a subject, one mark a stretch of minutes, under a ruler of hours.
//!
//! Shows at a glance when what is open, how light it is, whether the moon is up, whether the water rises, and where a
//! forecast changes, wind and breakers hour by hour. Every mark of a stretch is the worst in it. No colour; the legend
//! stands below. The ruler counts true hours: on a night on which clocks change an hour stands there twice or not at all,
//! and the offsets are told.

use super::plan::{Plan, StepView};
use super::text::wrap;
use crate::quantity::{Length, Speed, Units};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// Columns before the marks.
const LABEL: usize = 12;
/// Minutes that one mark may stand for, the finest that fits is taken.
const MINUTES: [i64; 6] = [10, 15, 20, 30, 60, 120];
/// Widest strip, whatever the page: beyond that the eye loses the ruler.
const WIDEST: usize = 100;

struct Strip<'a> {
    plan: &'a Plan,
    zone: TimeZone,
    steps: Vec<(Timestamp, &'a StepView)>,
    until: Timestamp,
    /// Begin of each mark's stretch.
    cells: Vec<Timestamp>,
    minutes: i64,
}

/// The strip, line by line; nothing for a plan without steps.
pub fn strip(plan: &Plan, units: Units, width: usize) -> Vec<String> {
    let Some(s) = Strip::of(plan, width.min(WIDEST)) else { return Vec::new() };
    let mut lines = vec![s.ruler()];
    lines.push(
        s.row("fishing", |c| s.worst(c, |v| RANK.iter().position(|r| r.0 == v.state)).map(|i| RANK[i].1)),
    );
    lines.push(
        s.row("light", |c| s.worst(c, |v| LIGHT.iter().position(|r| r.0 == v.light)).map(|i| LIGHT[i].1)),
    );
    lines.push(s.row("moon", |c| s.at(c).map(|v| if v.moon_up { 'o' } else { '-' })));
    let mut legend = vec![
        "= open".to_owned(),
        "~ open with cautions".to_owned(),
        "x closed".to_owned(),
        ". day".to_owned(),
        ": twilight".to_owned(),
        "# dark".to_owned(),
        "o moon up".to_owned(),
    ];
    if s.steps.iter().any(|(_, v)| v.level_m.is_some()) {
        lines.push(s.row("water", |c| s.water(c)));
        legend.push("/ rises".to_owned());
        legend.push("\\ falls".to_owned());
        legend.push("H high L low water".to_owned());
    }
    let wind = |v: &StepView| v.wind_mps.map(|w| if units == Units::Si { w } else { Speed::of_mps(w).kn() });
    let breakers =
        |v: &StepView| v.breaker_m.map(|h| if units == Units::Us { Length::of_m(h).ft() } else { h });
    if s.varies(wind) {
        lines.push(s.numbers(if units == Units::Si { "wind m/s" } else { "wind kn" }, 0, wind));
    }
    if s.varies(breakers) {
        lines.push(s.numbers(if units == Units::Us { "surf ft" } else { "surf m" }, 1, breakers));
    }
    let text = format!("{}; a mark is {} min, {}", legend.join(", "), s.minutes, s.zone_words());
    lines.extend(wrap(&text, width.min(WIDEST), &" ".repeat(LABEL)).lines().map(str::to_owned));
    lines
}

/// States from the best to the worst, with their marks.
const RANK: [(&str, char); 3] = [("open", '='), ("caution", '~'), ("closed", 'x')];
/// Light from the brightest to the darkest.
const LIGHT: [(&str, char); 3] = [("day", '.'), ("twilight", ':'), ("dark", '#')];

impl<'a> Strip<'a> {
    fn of(plan: &'a Plan, width: usize) -> Option<Self> {
        let zone = TimeZone::get(&plan.night.zone).ok()?;
        let steps: Vec<(Timestamp, &StepView)> =
            plan.steps.iter().filter_map(|v| Some((v.at.parse().ok()?, v))).collect();
        let (from, until) = (steps.first()?.0, steps.last()?.0);
        let long = until.duration_since(from).as_secs();
        let room = i64::try_from(width.saturating_sub(LABEL).max(12)).ok()?;
        let minutes = MINUTES.into_iter().find(|m| long <= room * m * 60).unwrap_or(MINUTES[5]);
        let mut cells = Vec::new();
        let mut at = from;
        while at < until {
            cells.push(at);
            at = at.checked_add(SignedDuration::from_mins(minutes)).ok()?;
        }
        Some(Self { plan, zone, steps, until, cells, minutes })
    }

    fn end(&self, cell: usize) -> Timestamp {
        self.cells.get(cell + 1).copied().unwrap_or(self.until)
    }

    /// Steps that hold in the stretch of a mark. The last step has no stretch of its own.
    fn over(&self, cell: usize) -> impl Iterator<Item = &StepView> {
        let (from, to) = (self.cells.get(cell).copied().unwrap_or(self.until), self.end(cell));
        let ends = self.steps.iter().skip(1).map(|s| s.0);
        self.steps
            .iter()
            .zip(ends)
            .filter(move |((at, _), end)| *at < to && *end > from)
            .map(|((_, v), _)| *v)
    }

    fn at(&self, cell: usize) -> Option<&StepView> {
        self.over(cell).next()
    }

    fn worst(&self, cell: usize, rank: impl Fn(&StepView) -> Option<usize>) -> Option<usize> {
        self.over(cell).filter_map(rank).max()
    }

    fn row(&self, name: &str, mark: impl Fn(usize) -> Option<char>) -> String {
        let marks: String = (0..self.cells.len()).map(|c| mark(c).unwrap_or(' ')).collect();
        format!("  {name:<width$}{marks}", width = LABEL - 2).trim_end().to_owned()
    }

    /// Marks at which an hour of the local clock begins, with that hour.
    fn hours(&self) -> Vec<(usize, i8)> {
        let mut all = Vec::new();
        for c in 0..self.cells.len() {
            let (from, to) = (self.cells[c], self.end(c));
            // The first whole hour of the clock within the stretch, by steps of a minute: zones differ by odd minutes.
            let mut at = from;
            while at < to {
                let local = self.zone.to_datetime(at);
                if local.minute() == 0 {
                    all.push((c, local.hour()));
                    break;
                }
                let Ok(next) = at.checked_add(SignedDuration::from_mins(1)) else { break };
                at = next;
            }
        }
        all
    }

    /// The hours that have room for their digits.
    fn spaced(&self) -> Vec<(usize, i8)> {
        let mut kept: Vec<(usize, i8)> = Vec::new();
        for hour in self.hours() {
            if kept.last().is_none_or(|last| hour.0 >= last.0 + 4) {
                kept.push(hour);
            }
        }
        kept
    }

    fn ruler(&self) -> String {
        let mut line = vec![' '; self.cells.len() + 2];
        for (c, hour) in self.spaced() {
            put(&mut line, c, &format!("{hour:02}"));
        }
        format!("  {:<width$}{}", "hour", line.iter().collect::<String>(), width = LABEL - 2)
            .trim_end()
            .to_owned()
    }

    /// Whether the water rises or falls in a stretch, or turns.
    fn water(&self, cell: usize) -> Option<char> {
        let (from, to) = (self.cells.get(cell).copied()?, self.end(cell));
        for turn in &self.plan.tide {
            if turn.at.parse::<Timestamp>().is_ok_and(|at| from <= at && at < to) {
                return Some(if turn.what == "high" { 'H' } else { 'L' });
            }
        }
        let level = |at: Timestamp| {
            let after = self.steps.iter().find(|(t, _)| *t >= at)?;
            after.1.level_m
        };
        let (a, b) = (level(from)?, level(to)?);
        Some(if b >= a { '/' } else { '\\' })
    }

    fn varies(&self, number: impl Fn(&StepView) -> Option<f64>) -> bool {
        let mut all = self.steps.iter().filter_map(|(_, v)| number(v));
        all.next().is_some_and(|first| all.any(|x| x != first))
    }

    /// The greatest number from each hour of the ruler to the next.
    fn numbers(&self, name: &str, decimals: usize, number: impl Fn(&StepView) -> Option<f64>) -> String {
        let mut line = vec![' '; self.cells.len() + 4];
        let hours = self.spaced();
        let starts: Vec<usize> = core::iter::once(0)
            .filter(|_| hours.first().is_some_and(|h| h.0 >= 4))
            .chain(hours.iter().map(|h| h.0))
            .collect();
        for (i, from) in starts.iter().enumerate() {
            let to = starts.get(i + 1).copied().unwrap_or(self.cells.len());
            let most = (*from..to).flat_map(|c| self.over(c)).filter_map(&number).reduce(f64::max);
            if let Some(x) = most {
                put(&mut line, *from, &format!("{x:.decimals$}"));
            }
        }
        format!("  {name:<width$}{}", line.iter().collect::<String>(), width = LABEL - 2)
            .trim_end()
            .to_owned()
    }

    fn zone_words(&self) -> String {
        let name = &self.plan.night.zone;
        let offset =
            |at: Timestamp| jiff::ZonedDateTime::new(at, self.zone.clone()).strftime("%:z").to_string();
        let first = self.cells.first().copied().unwrap_or(self.until);
        let (a, b) = (offset(first), offset(self.until));
        if a == b {
            return format!("{name} (UTC{a})");
        }
        let change = self.zone.following(first).next().map(|t| t.timestamp());
        let at = change.map_or_else(String::new, |at| {
            // By the clock that ends there.
            let last = at.checked_sub(SignedDuration::from_secs(1)).unwrap_or(at);
            let end = jiff::ZonedDateTime::new(last, self.zone.clone()).datetime();
            let end = end.checked_add(SignedDuration::from_secs(1)).unwrap_or(end);
            format!(" at {}", end.strftime("%H:%M"))
        });
        format!("{name} (UTC{a}, from the change{at} on UTC{b})")
    }
}

/// Writes a text into a line of marks, from a column on.
fn put(line: &mut [char], column: usize, text: &str) {
    for (i, c) in text.chars().enumerate() {
        if let Some(place) = line.get_mut(column + i) {
            *place = c;
        }
    }
}
