//! The rig as a picture: from the main line at the top to the hook at the bottom.
//!
//! Lengths of sections are to one scale; a section too long for the page is broken, with a mark and its true length
//! in words. Thickness is drawn larger than life, joints and swivels at a size that can be seen: the picture says so.
//! The weakest part carries a frame and the word, never a colour alone.

use super::made::{Made, MadePart};
use super::{Rig, Section, SinkerHang};
use crate::facts::Known;
use crate::picture::{Anchor, At, Fill, PageBox, Pen, Picture, Voice, clean, wrap};
use crate::quantity::{Length, Units, significant};
use crate::tackle::path::PartKind;
use crate::tackle::tables::Tables;
use crate::tackle::{HookStyle, Material};

/// Width of the page.
const WIDTH: f64 = 720.0;
/// Where the rig hangs.
const MIDDLE: f64 = 360.0;
/// Width of a column of labels, and its distance from the rig.
const COLUMN: f64 = 250.0;
const AWAY: f64 = 70.0;
/// Shortest section drawn, and longest before it is broken.
const SHORTEST: f64 = 64.0;
const LONGEST: f64 = 200.0;
/// Heights of what has no length of its own.
const JOINT: f64 = 26.0;
const SWIVEL: f64 = 34.0;
const HOOK: f64 = 90.0;
/// Pixels of width for a millimetre of diameter.
const THICK: f64 = 4.0;
/// A line of a label: as high as the tallest letters.
const LINE: f64 = 18.0;
/// Above the rig: title and main line.
const TOP: f64 = 84.0;

/// A label and the height at which it wants to stand.
struct Label {
    lines: Vec<String>,
    heads: usize,
    wants: f64,
    y: f64,
    x: f64,
}

/// The rig drawn.
pub fn draw(rig: &Rig, made: &Made, tables: &Tables, units: Units) -> Picture {
    let parts = in_order(&made.parts);
    let lengths = || parts.iter().filter(|p| p.kind == PartKind::Leader).map(|p| p.length.m());
    let shortest = lengths().filter(|m| *m > 0.0).fold(f64::INFINITY, f64::min);
    let scale = if shortest.is_finite() { SHORTEST / shortest } else { SHORTEST };
    let height_of = |p: &MadePart| match p.kind {
        PartKind::Leader | PartKind::Line => (p.length.m() * scale).clamp(SHORTEST, LONGEST),
        PartKind::Joint => JOINT,
        PartKind::Connector => SWIVEL,
        PartKind::Hook => HOOK,
    };
    let mut sketch =
        Sketch { rig, made, tables, units, left: Vec::new(), right: Vec::new(), shapes: Vec::new() };
    let mut y = TOP;
    let mut section = 0_usize;
    let mut broken = false;
    let mut story = Vec::new();
    for p in &parts {
        let high = height_of(p);
        let this = rig.sections.get(section).filter(|_| p.kind == PartKind::Leader);
        if section_starts(&parts, p, section) {
            sketch.sinker(section, y);
        }
        let cut = this.is_some() && p.length.m() * scale > LONGEST + 1e-9;
        broken |= cut;
        story.push(sketch.part(p, this, y, high, cut));
        if p.kind == PartKind::Leader {
            section += 1;
        }
        y += high;
    }
    let (left, right) = (spread(sketch.left), spread(sketch.right));
    let lowest = |l: &[Label]| l.last().map_or(0.0, |l| l.y + LINE * count(l));
    // Room for the scale and its words below everything.
    let floor = y.max(lowest(&left)).max(lowest(&right)) + 24.0;
    let mut pic = Picture::new("rig", &format!("Rig: {}", rig.name), WIDTH, floor + 56.0);
    pic.text(At::new(12.0, 28.0), Anchor::Start, &rig.name, Voice::Head);
    pic.text(At::new(12.0, 48.0), Anchor::Start, &subtitle(rig, made, units), Voice::Small);
    pic.text(At::new(MIDDLE + 12.0, TOP - 10.0), Anchor::Start, "main line", Voice::Small);
    pic.line(&[At::new(MIDDLE, TOP - 24.0), At::new(MIDDLE, TOP)], Pen::Dashed);
    for shape in sketch.shapes {
        shape.draw(&mut pic);
    }
    for (column, side) in [(left, -1.0), (right, 1.0)] {
        for l in column {
            let x = MIDDLE + side * AWAY;
            let anchor = if side < 0.0 { Anchor::End } else { Anchor::Start };
            pic.line(&[At::new(l.x, l.wants), At::new(x - side * 6.0, l.y)], Pen::Thin);
            for (i, line) in l.lines.iter().enumerate() {
                let voice = if i < l.heads { Voice::Strong } else { Voice::Small };
                pic.text(At::new(x, l.y + 4.0 + LINE * number(i)), anchor, line, voice);
            }
        }
    }
    scale_bar(&mut pic, scale, floor, units, broken);
    tell(&mut pic, rig, made, units, story);
    pic
}

fn count(l: &Label) -> f64 {
    number(l.lines.len())
}

#[allow(clippy::cast_precision_loss)] // a handful
fn number(n: usize) -> f64 {
    n as f64
}

/// Whether `p` is the first part at the upper end of a section: the connector or joint before it, or itself.
fn section_starts(parts: &[&MadePart], p: &MadePart, section: usize) -> bool {
    let before = parts.iter().take_while(|q| !core::ptr::eq(**q, p));
    let leaders = before.clone().filter(|q| q.kind == PartKind::Leader).count();
    let after_leader = before.last().is_none_or(|q| q.kind == PartKind::Leader);
    leaders == section && after_leader && p.kind != PartKind::Hook
}

/// Parts as they hang: a swivel between the two joints to it.
fn in_order(parts: &[MadePart]) -> Vec<&MadePart> {
    let mut all: Vec<&MadePart> = parts.iter().collect();
    for i in 2..all.len() {
        let kinds = [all[i - 2].kind, all[i - 1].kind, all[i].kind];
        if kinds == [PartKind::Joint, PartKind::Joint, PartKind::Connector] {
            all.swap(i - 1, i);
        }
    }
    all
}

/// Labels of a column, none on another: each as near to its part as those above leave room.
fn spread(mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort_by(|a, b| a.y.total_cmp(&b.y));
    let mut free = TOP;
    for l in &mut labels {
        l.y = l.y.max(free + 10.0);
        free = l.y + LINE * count(l);
    }
    labels
}

/// Something to be drawn.
enum Shape {
    Box(PageBox, Fill, Option<Pen>),
    Disc(At, f64, Fill, Pen),
    Path(Vec<At>, Pen),
    Body(Vec<At>, Fill, Pen),
}

impl Shape {
    fn draw(self, pic: &mut Picture) {
        match self {
            Self::Box(b, fill, pen) => pic.rect(b, fill, pen),
            Self::Disc(at, r, fill, pen) => pic.disc(at, r, fill, Some(pen)),
            Self::Path(points, pen) => pic.line(&points, pen),
            Self::Body(points, fill, pen) => pic.shape(&points, fill, Some(pen)),
        };
    }
}

struct Sketch<'a> {
    rig: &'a Rig,
    made: &'a Made,
    tables: &'a Tables,
    units: Units,
    left: Vec<Label>,
    right: Vec<Label>,
    shapes: Vec<Shape>,
}

fn box_at(y: f64, wide: f64, high: f64) -> PageBox {
    PageBox { left: MIDDLE - wide / 2.0, top: y, width: wide, height: high }
}

impl Sketch<'_> {
    /// Draws a part from `y` down; gives what is said of it.
    fn part(&mut self, p: &MadePart, section: Option<&Section>, y: f64, high: f64, cut: bool) -> String {
        let middle = y + high / 2.0;
        match (p.kind, section) {
            (PartKind::Leader, Some(s)) => self.section(s, y, high, cut),
            (PartKind::Joint, _) => {
                self.strand_at(y, high);
                if p.untested_sleeve || p.name.contains("sleeve") {
                    self.shapes.push(Shape::Box(
                        box_at(y + 5.0, 14.0, high - 10.0),
                        Fill::Plain,
                        Some(Pen::Thing),
                    ));
                } else {
                    self.shapes.push(Shape::Disc(At::new(MIDDLE, middle), 6.0, Fill::Plain, Pen::Thing));
                }
            }
            (PartKind::Connector, _) => {
                for (dy, r) in [(7.0, 6.0), (17.0, 5.0), (27.0, 6.0)] {
                    let fill = if r < 6.0 { Fill::Ink } else { Fill::Ground };
                    self.shapes.push(Shape::Disc(At::new(MIDDLE, y + dy), r, fill, Pen::Thing));
                }
            }
            _ => self.hook(y),
        }
        if p.weakest {
            let right = if p.kind == PartKind::Hook { 42.0 } else { 16.0 };
            self.shapes.push(Shape::Path(frame(y, high, right), Pen::Strong));
        }
        let said = self.words(p, section, cut);
        let mut lines = wrap(&said.head, COLUMN, 15.5);
        let heads = lines.len();
        lines.extend(wrap(&said.rest, COLUMN, 12.0));
        let away = match p.kind {
            PartKind::Hook => 44.0,
            _ if p.weakest => 18.0,
            _ => 8.0,
        };
        let (column, side) =
            if p.kind == PartKind::Leader { (&mut self.left, -1.0) } else { (&mut self.right, 1.0) };
        column.push(Label { lines, heads, wants: middle, y: middle, x: MIDDLE + side * away });
        format!("{}: {}.", said.head, said.rest)
    }

    fn strand_at(&mut self, y: f64, high: f64) {
        self.shapes.push(Shape::Path(vec![At::new(MIDDLE, y), At::new(MIDDLE, y + high)], Pen::Thing));
    }

    fn section(&mut self, s: &Section, y: f64, high: f64, cut: bool) {
        let wide = s.diameter(self.tables).get().map_or(4.0, |d| (d.mm() * THICK).clamp(3.0, 24.0));
        let (fill, pen) = match s.material {
            Known::Known(Material::Cable) => (Fill::Hatch, Pen::Thing),
            Known::Known(Material::SingleStrand) => (Fill::Ink, Pen::Thing),
            Known::Known(Material::HmpeBraid) => (Fill::Cross, Pen::Thing),
            Known::Known(_) => (Fill::Ground, Pen::Thing),
            Known::Unknown => (Fill::Ground, Pen::Dashed),
        };
        self.shapes.push(Shape::Box(box_at(y, wide, high), fill, Some(pen)));
        if s.padded == Known::Known(true) {
            self.shapes.push(Shape::Box(
                box_at(y + 8.0, wide + 8.0, high * 0.6),
                Fill::None,
                Some(Pen::Thing),
            ));
        }
        if cut {
            // A gap in the ground's colour between two strokes.
            let at = y + high / 2.0;
            self.shapes.push(Shape::Box(box_at(at - 4.0, wide + 10.0, 8.0), Fill::Ground, None));
            for dy in [-4.0, 4.0] {
                let from = At::new(MIDDLE - wide / 2.0 - 8.0, at + dy + 4.0);
                self.shapes.push(Shape::Path(
                    vec![from, At::new(MIDDLE + wide / 2.0 + 8.0, at + dy - 4.0)],
                    Pen::Thing,
                ));
            }
        }
    }

    fn hook(&mut self, y: f64) {
        let at = |dx: f64, dy: f64| At::new(MIDDLE + dx, y + dy);
        self.shapes.push(Shape::Disc(at(0.0, 5.0), 5.0, Fill::Ground, Pen::Thing));
        let mut bend = vec![at(0.0, 10.0), at(0.0, 50.0)];
        // Half a circle of 18, flattened to strokes.
        for (dx, dy) in [(2.4, 59.0), (9.0, 65.6), (18.0, 68.0), (27.0, 65.6), (33.6, 59.0), (36.0, 50.0)] {
            bend.push(at(dx, dy));
        }
        let point = match self.rig.hook.style {
            Known::Known(HookStyle::Circle) => vec![at(34.0, 38.0), at(24.0, 32.0)],
            _ => vec![at(36.0, 30.0), at(30.0, 38.0)],
        };
        bend.extend(point);
        self.shapes.push(Shape::Path(bend, Pen::Strong));
    }

    /// The sinker, where it hangs at the upper end of this section.
    fn sinker(&mut self, section: usize, y: f64) {
        let Some(s) = self.rig.sinker else { return };
        let hangs =
            s.above.get().and_then(|r| self.rig.sections.iter().position(|x| x.role == r)).unwrap_or(0);
        if hangs != section {
            return;
        }
        let start = At::new(MIDDLE, y + 4.0);
        let body = At::new(MIDDLE - 44.0, y + 22.0);
        let pen = if s.hang == Known::Known(SinkerHang::WeakLink) { Pen::Dashed } else { Pen::Thing };
        self.shapes.push(Shape::Path(vec![start, body], pen));
        if s.hang == Known::Known(SinkerHang::Sliding) {
            self.shapes.push(Shape::Disc(start, 5.0, Fill::Ground, Pen::Thing));
        }
        let corner = |dx: f64, dy: f64| At::new(body.x + dx, body.y + dy);
        self.shapes.push(Shape::Body(
            vec![
                corner(-3.0, 0.0),
                corner(3.0, 0.0),
                corner(10.0, 20.0),
                corner(0.0, 28.0),
                corner(-10.0, 20.0),
            ],
            Fill::Plain,
            Pen::Thing,
        ));
        let rest = sinker_words(self.rig, self.units);
        let mut lines = vec!["sinker".to_owned()];
        lines.extend(wrap(&rest, COLUMN, 12.0));
        self.left.push(Label { lines, heads: 1, wants: y + 34.0, y: y + 34.0, x: body.x - 8.0 });
    }

    fn words(&self, p: &MadePart, section: Option<&Section>, cut: bool) -> Said {
        let u = self.units;
        let mut rest = Vec::new();
        if let Some(s) = section {
            rest.push(
                s.material.get().map_or_else(|| "material unknown".to_owned(), |m| m.word().to_owned()),
            );
            rest.push(
                s.diameter(self.tables)
                    .get()
                    .map_or_else(|| "thickness unknown".to_owned(), |d| u.diameter(d)),
            );
            let length = s.length.get().map_or_else(|| "length unknown".to_owned(), |l| u.size(l));
            rest.push(if cut { format!("{length} (drawn broken)") } else { length });
            if s.padded == Known::Known(true) {
                rest.push("padded".to_owned());
            }
        }
        if p.kind == PartKind::Hook {
            let h = &self.rig.hook;
            rest.push(h.style.get().map_or_else(|| "style unknown".to_owned(), |s| s.word().to_owned()));
            rest.push(
                h.wire.get().map_or_else(|| "wire unknown".to_owned(), |w| format!("wire {}", u.diameter(w))),
            );
            rest.push(
                h.gap.get().map_or_else(|| "gap unknown".to_owned(), |g| format!("gap {}", u.diameter(g))),
            );
        }
        if p.untested_sleeve {
            rest.push("untested sleeve".to_owned());
        }
        rest.push(
            p.capacity
                .get()
                .map_or_else(|| "strength unknown".to_owned(), |c| format!("bears {}", u.force(c))),
        );
        if let Known::Known(m) = p.margin {
            rest.push(format!("margin {}", significant(m, 3)));
        }
        let head = if p.weakest {
            let of = if self.made.unknown.is_empty() { "WEAKEST" } else { "WEAKEST KNOWN" };
            format!("{of}: {}", p.name)
        } else {
            p.name.clone()
        };
        Said { head, rest: rest.join(", ") }
    }
}

struct Said {
    head: String,
    rest: String,
}

fn sinker_words(rig: &Rig, u: Units) -> String {
    let Some(s) = rig.sinker else { return String::new() };
    let mass =
        s.mass.get().map_or_else(|| "mass unknown".to_owned(), |m| format!("{} g", significant(m.g(), 3)));
    let hang = s.hang.get().map_or("how it hangs is unknown", SinkerHang::words);
    let link = s.link.get().map_or_else(String::new, |f| format!(", link {}", u.force(f)));
    let arm = s.arm.and_then(|a| a.length.get()).map_or_else(String::new, |l| format!(", arm {}", u.size(l)));
    format!("{mass}, {hang}{link}{arm}")
}

/// A frame around a part, wider to the right for a hook.
fn frame(y: f64, high: f64, right: f64) -> Vec<At> {
    let (top, bottom) = (y + 1.0, y + high - 1.0);
    let at = |dx: f64, y: f64| At::new(MIDDLE + dx, y);
    vec![at(-16.0, top), at(right, top), at(right, bottom), at(-16.0, bottom), at(-16.0, top)]
}

fn subtitle(rig: &Rig, made: &Made, u: Units) -> String {
    let leader = rig.leader_length().get().map_or_else(|| "of unknown length".to_owned(), |l| u.size(l));
    let bears = match (made.capacity, made.unknown.is_empty()) {
        (Known::Known(c), true) => format!("bears {}", u.force(c)),
        (Known::Known(c), false) => format!("bears at most {}", u.force(c)),
        _ => "what it bears is unknown".to_owned(),
    };
    format!("leader {leader}, {bears}")
}

/// A bar of a round length at the foot, and what is not to scale.
fn scale_bar(pic: &mut Picture, scale: f64, floor: f64, u: Units, broken: bool) {
    let one = if u == Units::Us { Length::of_ft(1.0).m() } else { 1.0 };
    let whole = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0];
    let n = whole.into_iter().rev().find(|n| n * one * scale <= 170.0).unwrap_or(0.05);
    let m = n * one;
    let (from, to) = (At::new(12.0, floor + 8.0), At::new(12.0 + m * scale, floor + 8.0));
    pic.line(&[from, to], Pen::Thin);
    for end in [from, to] {
        pic.line(&[At::new(end.x, end.y - 5.0), At::new(end.x, end.y + 5.0)], Pen::Thin);
    }
    let size = format!("{n} {}", if u == Units::Us { "ft" } else { "m" });
    pic.text(At::new(to.x + 8.0, floor + 12.0), Anchor::Start, &size, Voice::Small);
    let breaks = if broken { "; broken where two strokes cross a section" } else { "" };
    let note =
        format!("Sections to one scale along their length{breaks}. Thickness, joints, hook not to scale.");
    for (i, line) in wrap(&note, WIDTH - 24.0, 12.0).iter().enumerate() {
        pic.text(At::new(12.0, floor + 32.0 + LINE * number(i)), Anchor::Start, line, Voice::Small);
    }
}

fn tell(pic: &mut Picture, rig: &Rig, made: &Made, u: Units, story: Vec<String>) {
    pic.say(&format!(
        "The rig {} from the main line down to the hook: {}.",
        clean(&rig.name),
        subtitle(rig, made, u)
    ));
    for s in story {
        pic.say(&s);
    }
    if rig.sinker.is_some() {
        pic.say(&format!("Sinker: {}.", sinker_words(rig, u)));
    }
}

#[cfg(test)]
mod tests;
