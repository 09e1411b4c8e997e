//! The picture itself.

use super::frame::{Frame, ticks};
use super::label::{ANYWHERE, Anchor, CLOSE, NEAR, PageBox, Voice, box_of, room};
use super::text::{clean, wrap};
use super::theme::Token;

/// A point on the page, in its units (one is a CSS pixel at full size); y grows downward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct At {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl At {
    /// A point.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
    fn sound(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

/// How a line is drawn. Colour and width change together, so that neither is the only sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// 1.5: the thing itself.
    Thing,
    /// 3: what carries the answer.
    Strong,
    /// 1, quiet: axes, dimensions, ground lines.
    Thin,
    /// 1.5, dashed: what is not there now, a bound, a wish.
    Dashed,
    /// 1.5, in the sea's colour.
    Sea,
    /// 2.5, long dashes: a caution.
    Caution,
    /// 4: a stop.
    Stop,
}

impl Pen {
    pub(super) const fn token(self) -> Token {
        match self {
            Self::Thing | Self::Strong | Self::Dashed => Token::Ink,
            Self::Thin => Token::Quiet,
            Self::Sea => Token::Sea,
            Self::Caution => Token::Caution,
            Self::Stop => Token::Stop,
        }
    }
    pub(super) const fn width(self) -> f64 {
        match self {
            Self::Thing | Self::Dashed | Self::Sea => 1.5,
            Self::Strong => 3.0,
            Self::Thin => 1.0,
            Self::Caution => 2.5,
            Self::Stop => 4.0,
        }
    }
    pub(super) const fn dashes(self) -> Option<&'static str> {
        match self {
            Self::Dashed => Some("4 4"),
            Self::Caution => Some("10 4"),
            _ => None,
        }
    }
}

/// What a region is filled with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    None,
    /// The ground's colour: hides what lies behind.
    Ground,
    /// Plain fill: sand, a body.
    Plain,
    /// Lines rising to the right: a band of what is not known.
    Hatch,
    /// Lines falling to the right: where it must not be.
    Cross,
    /// Level lines: water.
    Water,
    /// Full ink: heads of arrows, marks.
    Ink,
}

#[derive(Clone, Debug)]
pub(super) enum Item {
    Line(Vec<At>, Pen),
    Shape(Vec<At>, Fill, Option<Pen>),
    Disc(At, f64, Fill, Option<Pen>),
    Text(Vec<String>, At, Anchor, Voice),
}

/// Voice of the words that stand below the picture.
pub(super) const NOTE: Voice = Voice::Label;

/// A picture being drawn. Later things cover earlier ones. Points that are not finite draw nothing.
#[derive(Clone, Debug)]
pub struct Picture {
    pub(super) id: String,
    pub(super) title: String,
    story: Vec<String>,
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) items: Vec<Item>,
    taken: Vec<PageBox>,
    labels: Vec<PageBox>,
    pub(super) notes: Vec<String>,
}

impl Picture {
    /// An empty picture of `width` by `height`. `id` must be unique on the page that it comes to stand in (letters,
    /// digits and dashes are kept); `title` says in a few words what is shown.
    pub fn new(id: &str, title: &str, width: f64, height: f64) -> Self {
        let id: String = id.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        let size = |x: f64| if x.is_finite() { x.clamp(40.0, 4000.0) } else { 400.0 };
        Self {
            id,
            title: clean(title),
            story: Vec::new(),
            width: size(width),
            height: size(height),
            items: Vec::new(),
            taken: Vec::new(),
            labels: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Adds a sentence to what the picture says in words.
    pub fn say(&mut self, sentence: &str) -> &mut Self {
        // Sentences are ours and may be long; names in them are cleaned by their writers' labels as well.
        self.story.push(sentence.chars().filter(|c| !c.is_control()).collect());
        self
    }

    /// Everything that is shown, in sentences.
    pub fn words(&self) -> String {
        self.story.join(" ")
    }

    /// What it is.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The whole page.
    pub fn page(&self) -> PageBox {
        PageBox { left: 0.0, top: 0.0, width: self.width, height: self.height }
    }

    /// Boxes of all labels, for checks that none lies on another.
    pub fn label_boxes(&self) -> &[PageBox] {
        &self.labels
    }

    /// Keeps labels out of a box.
    pub fn keep_clear(&mut self, area: PageBox) -> &mut Self {
        self.taken.push(area);
        self
    }

    /// A line through points.
    pub fn line(&mut self, points: &[At], pen: Pen) -> &mut Self {
        let points: Vec<At> = points.iter().copied().filter(|p| p.sound()).collect();
        if points.len() > 1 {
            self.items.push(Item::Line(points, pen));
        }
        self
    }

    /// A closed region.
    pub fn shape(&mut self, points: &[At], fill: Fill, pen: Option<Pen>) -> &mut Self {
        if points.len() > 2 && points.iter().all(|p| p.sound()) {
            self.items.push(Item::Shape(points.to_vec(), fill, pen));
        }
        self
    }

    /// A box with edges along the page.
    pub fn rect(&mut self, b: PageBox, fill: Fill, pen: Option<Pen>) -> &mut Self {
        let (right, bottom) = (b.left + b.width, b.top + b.height);
        let corners = [(b.left, b.top), (right, b.top), (right, bottom), (b.left, bottom)];
        self.shape(&corners.map(|(x, y)| At::new(x, y)), fill, pen)
    }

    /// A disc.
    pub fn disc(&mut self, at: At, radius: f64, fill: Fill, pen: Option<Pen>) -> &mut Self {
        if at.sound() && radius.is_finite() && radius > 0.0 {
            self.items.push(Item::Disc(at, radius, fill, pen));
        }
        self
    }

    /// An arrow with its head at `to`.
    pub fn arrow(&mut self, from: At, to: At, pen: Pen) -> &mut Self {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let length = (dx * dx + dy * dy).sqrt();
        if !(length.is_finite() && length > 1e-6) {
            return self;
        }
        let head = (4.0 + 3.0 * pen.width()).min(length);
        let (ux, uy) = (dx / length, dy / length);
        let base = At::new(to.x - ux * head, to.y - uy * head);
        let side = |s: f64| At::new(base.x - uy * s * head * 0.4, base.y + ux * s * head * 0.4);
        self.line(&[from, base], pen);
        self.items.push(Item::Shape(vec![to, side(1.0), side(-1.0)], Fill::Ink, None));
        self
    }

    /// A measure between two points: a thin line with a bar at either end and its words in the middle.
    pub fn dimension(&mut self, a: At, b: At, words: &str) -> &mut Self {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let length = (dx * dx + dy * dy).sqrt();
        if !(length.is_finite() && length > 1e-6) {
            return self;
        }
        let (nx, ny) = (-dy / length * 5.0, dx / length * 5.0);
        self.line(&[a, b], Pen::Thin);
        for end in [a, b] {
            self.line(&[At::new(end.x - nx, end.y - ny), At::new(end.x + nx, end.y + ny)], Pen::Thin);
        }
        self.tag(At::new(0.5 * (a.x + b.x), 0.5 * (a.y + b.y)), words, Voice::Small)
    }

    /// A text exactly there, `at` being its base line. For words whose place the drawer answers for: heads, ticks.
    pub fn text(&mut self, at: At, anchor: Anchor, words: &str, voice: Voice) -> &mut Self {
        let words = clean(words);
        if at.sound() && !words.is_empty() {
            self.write(vec![words], at, anchor, voice);
        }
        self
    }

    fn write(&mut self, lines: Vec<String>, at: At, anchor: Anchor, voice: Voice) {
        let area = box_of(&lines, at, anchor, voice);
        self.taken.push(area);
        self.labels.push(area);
        self.items.push(Item::Text(lines, at, anchor, voice));
    }

    /// A label at a thing: beside it where there is room, else farther off with a thin line to it, else as a number at
    /// the thing and the words below the picture (without the number where even that finds no room). Nothing is lost
    /// and no label lies on another.
    pub fn tag(&mut self, at: At, words: &str, voice: Voice) -> &mut Self {
        let words = clean(words);
        if !at.sound() || words.is_empty() {
            return self;
        }
        let lines = wrap(
            &words,
            (self.width * 0.38).clamp(110.0, 240.0),
            voice.size() * if voice.bold() { 1.1 } else { 1.0 },
        );
        if self.place(at, lines, voice, &NEAR) {
            return self;
        }
        self.notes.push(words);
        let number = vec![format!("({})", self.notes.len())];
        self.place(at, number, Voice::Strong, &ANYWHERE);
        self
    }

    /// Writes lines near a point where there is room, with a thin line to it if that is not close by.
    fn place(&mut self, at: At, lines: Vec<String>, voice: Voice, distances: &[f64]) -> bool {
        let page = PageBox { left: 2.0, top: 2.0, width: self.width - 4.0, height: self.height - 4.0 };
        let free = |b: &PageBox| page.holds(b) && !self.taken.iter().any(|t| t.meets(b));
        let strokes = self.strokes();
        let clear = |b: &PageBox| free(b) && !strokes.iter().any(|(p, q)| b.is_crossed(*p, *q));
        let found =
            room(&lines, at, voice, &CLOSE, clear).or_else(|| room(&lines, at, voice, distances, free));
        let Some((base, anchor, far)) = found else { return false };
        if far > 10.0 {
            let area = box_of(&lines, base, anchor, voice);
            let near = At::new(
                at.x.clamp(area.left, area.left + area.width),
                at.y.clamp(area.top, area.top + area.height),
            );
            self.line(&[at, near], Pen::Thin);
        }
        self.write(lines, base, anchor, voice);
        true
    }

    /// Every drawn stretch so far.
    fn strokes(&self) -> Vec<(At, At)> {
        let mut all = Vec::new();
        for item in &self.items {
            match item {
                Item::Line(points, _) => all.extend(points.windows(2).map(|w| (w[0], w[1]))),
                Item::Shape(points, _, Some(_)) => {
                    let next = points.iter().cycle().skip(1);
                    all.extend(points.iter().copied().zip(next.copied()));
                }
                _ => {}
            }
        }
        all
    }

    /// An axis along the lower edge of a frame: ticks at round numbers with `write` as their words, `unit` at the end.
    pub fn axis_below(
        &mut self,
        frame: &Frame,
        wanted: usize,
        unit: &str,
        write: impl Fn(f64) -> String,
    ) -> &mut Self {
        let ((from, to), (floor, _)) = frame.ranges();
        self.line(&[frame.at(from, floor), frame.at(to, floor)], Pen::Thin);
        for t in ticks(from, to, wanted) {
            let foot = frame.at(t, floor);
            self.line(&[foot, At::new(foot.x, foot.y + 5.0)], Pen::Thin);
            self.text(At::new(foot.x, foot.y + 19.0), Anchor::Middle, &write(t), Voice::Small);
        }
        let end = frame.at(to, floor);
        self.text(At::new(end.x, end.y + 35.0), Anchor::End, unit, Voice::Small)
    }

    /// An axis along the left edge of a frame.
    pub fn axis_left(
        &mut self,
        frame: &Frame,
        wanted: usize,
        unit: &str,
        write: impl Fn(f64) -> String,
    ) -> &mut Self {
        let ((left, _), (from, to)) = frame.ranges();
        self.line(&[frame.at(left, from), frame.at(left, to)], Pen::Thin);
        for t in ticks(from, to, wanted) {
            let foot = frame.at(left, t);
            self.line(&[At::new(foot.x - 5.0, foot.y), foot], Pen::Thin);
            self.text(At::new(foot.x - 8.0, foot.y + 4.0), Anchor::End, &write(t), Voice::Small);
        }
        let top = frame.at(left, to);
        self.text(At::new(top.x, top.y - 8.0), Anchor::Start, unit, Voice::Small)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Theme;
    use super::*;
    use proptest::prelude::*;

    fn picture() -> Picture {
        let mut p = Picture::new("test", "A <test> & more", 400.0, 300.0);
        p.say("A line and a box.");
        p
    }

    #[test]
    fn says_in_words_what_it_shows() {
        let mut p = picture();
        p.line(&[At::new(0.0, 0.0), At::new(100.0, 50.0)], Pen::Stop);
        let file = p.svg(Theme::Day);
        assert!(file.contains("<title id=\"test-title\">A &lt;test&gt; &amp; more</title>"), "{file}");
        assert!(file.contains("A line and a box.") && file.contains("role=\"img\""));
        assert!(file.contains("aria-labelledby=\"test-title test-desc\""));
        assert!(file.contains("points=\"0,0 100,50\""));
        assert_eq!(file, p.svg(Theme::Day), "the same picture gives the same bytes");
    }

    #[test]
    fn hostile_names_stay_words() {
        let mut p = picture();
        p.tag(
            At::new(50.0, 50.0),
            "</text><script>alert(1)</script>\u{202e}\u{0}\" onload='x'",
            Voice::Label,
        );
        let file = p.svg(Theme::Night);
        assert!(!file.contains("<script") && !file.contains('\u{202e}') && !file.contains('\u{0}'), "{file}");
        assert!(svg::read(&file).unwrap().all(|e| !matches!(e, svg::parser::Event::Error(_))));
    }

    #[test]
    fn what_finds_no_room_goes_below_and_is_counted() {
        let mut p = Picture::new("small", "small", 120.0, 60.0);
        for i in 0..12 {
            p.tag(At::new(60.0, 30.0), &format!("label number {i} with many words"), Voice::Label);
        }
        let file = p.svg(Theme::Print);
        assert!(
            (0..12).all(|i| file.contains(&format!("number {i}"))
                || file.replace("</text>", "").contains(&i.to_string()))
        );
        assert!(p.notes.len() > 6 && file.contains(&format!("({})", p.notes.len())));
        assert!(!file.contains("viewBox=\"0 0 120 60\""), "the page grows by its notes");
    }

    #[test]
    fn hatches_are_only_written_where_used_and_under_the_pictures_own_name() {
        let mut p = picture();
        assert!(!p.svg(Theme::Day).contains("<pattern"));
        p.rect(PageBox { left: 5.0, top: 5.0, width: 50.0, height: 20.0 }, Fill::Hatch, Some(Pen::Thin));
        let file = p.svg(Theme::Day);
        assert!(file.contains("id=\"test-hatch\"") && file.contains("url(#test-hatch)"));
        assert_eq!(file.matches("<pattern").count(), 1);
    }

    #[test]
    fn what_is_not_finite_draws_nothing() {
        let mut p = picture();
        let bad = At::new(f64::NAN, f64::INFINITY);
        p.line(&[bad, bad], Pen::Thing).shape(&[bad, bad, bad], Fill::Plain, None).disc(
            bad,
            3.0,
            Fill::Ink,
            None,
        );
        p.arrow(bad, At::new(1.0, 1.0), Pen::Thing).tag(bad, "x", Voice::Label).dimension(bad, bad, "y");
        assert!(p.items.is_empty());
        assert!(!p.svg(Theme::Day).contains("NaN"));
    }

    #[test]
    fn a_label_keeps_off_lines_where_it_can() {
        let mut p = picture();
        let line = [At::new(20.0, 150.0), At::new(380.0, 150.0)];
        p.line(&line, Pen::Strong).tag(At::new(200.0, 150.0), "on the line", Voice::Label);
        assert!(!p.label_boxes()[0].is_crossed(line[0], line[1]));
    }

    proptest! {
        #[test]
        fn tags_never_lie_on_each_other(
            tags in prop::collection::vec((0.0..600.0f64, 0.0..400.0f64, "[a-zA-Z0-9 .%]{1,60}"), 1..25),
        ) {
            let mut p = Picture::new("t", "t", 600.0, 400.0);
            for (x, y, words) in &tags {
                p.tag(At::new(*x, *y), words, Voice::Label);
            }
            let boxes = p.label_boxes();
            for (i, a) in boxes.iter().enumerate() {
                for b in &boxes[i + 1..] {
                    prop_assert!(!a.meets(b), "{a:?} {b:?}");
                }
            }
            prop_assert!(boxes.iter().all(|b| p.page().holds(b)));
            prop_assert!(svg::read(&p.svg(Theme::Day)).unwrap().all(|e| !matches!(e, svg::parser::Event::Error(_))));
        }
    }
}
