//! A picture as a file.

use super::canvas::{At, Fill, Item, NOTE, Picture};
use super::label::{Anchor, LEADING};
use super::text::wrap;
use super::theme::{Theme, Token};
use svg::Document;
use svg::node::element::{
    Circle, Definitions, Description, Group, Line, Pattern, Polygon, Polyline, Rectangle, Text, Title,
};

/// Room left around notes.
const EDGE: f64 = 12.0;

impl Picture {
    /// The file.
    pub fn svg(&self, theme: Theme) -> String {
        let mut height = self.height;
        let mut items = self.items.clone();
        if !self.notes.is_empty() {
            let size = NOTE.size();
            let mut base = height + EDGE + size;
            for (i, note) in self.notes.iter().enumerate() {
                let lines = wrap(&format!("({}) {note}", i + 1), self.width - 2.0 * EDGE, size);
                let taken = size * LEADING * lines.len() as f64;
                items.push(Item::Text(lines, At::new(EDGE, base), Anchor::Start, NOTE));
                base += taken;
            }
            height = base - size + EDGE;
        }
        let (title, story) = (format!("{}-title", self.id), format!("{}-desc", self.id));
        let mut doc = Document::new()
            .set("viewBox", format!("0 0 {} {}", px(self.width), px(height)))
            .set("width", px(self.width))
            .set("height", px(height))
            .set("role", "img")
            .set("aria-labelledby", format!("{title} {story}"))
            .set("font-family", "system-ui, sans-serif")
            .set("stroke-linecap", "round")
            .set("stroke-linejoin", "round")
            .add(Title::new(self.title.as_str()).set("id", title))
            .add(Description::new().set("id", story).add(svg::node::Text::new(self.words())))
            .add(self.hatches(theme))
            .add(
                Rectangle::new()
                    .set("width", px(self.width))
                    .set("height", px(height))
                    .set("fill", theme.value(Token::Ground)),
            );
        // Words last: no line may cross them out.
        let (texts, things): (Vec<_>, Vec<_>) = items.iter().partition(|i| matches!(i, Item::Text(..)));
        for item in things.into_iter().chain(texts) {
            doc = self.draw(doc, item, theme);
        }
        let mut file = doc.to_string();
        file.push('\n');
        file
    }

    fn hatches(&self, theme: Theme) -> Definitions {
        let mut defs = Definitions::new();
        for (fill, marks) in [
            (Fill::Hatch, vec![[0.0, 8.0, 8.0, 0.0], [-1.0, 1.0, 1.0, -1.0], [7.0, 9.0, 9.0, 7.0]]),
            (Fill::Cross, vec![[0.0, 0.0, 8.0, 8.0], [-1.0, 7.0, 1.0, 9.0], [7.0, -1.0, 9.0, 1.0]]),
            (Fill::Water, vec![[0.0, 4.0, 5.0, 4.0]]),
        ] {
            if !self
                .items
                .iter()
                .any(|i| matches!(i, Item::Shape(_, f, _) | Item::Disc(_, _, f, _) if *f == fill))
            {
                continue;
            }
            let mut pattern = Pattern::new()
                .set("id", self.pattern(fill))
                .set("width", 8)
                .set("height", 8)
                .set("patternUnits", "userSpaceOnUse");
            for [x1, y1, x2, y2] in marks {
                pattern = pattern.add(
                    Line::new()
                        .set("x1", px(x1))
                        .set("y1", px(y1))
                        .set("x2", px(x2))
                        .set("y2", px(y2))
                        .set(
                            "stroke",
                            theme.value(if fill == Fill::Water { Token::Sea } else { Token::Quiet }),
                        )
                        .set("stroke-width", "0.8"),
                );
            }
            defs = defs.add(pattern);
        }
        defs
    }

    fn pattern(&self, fill: Fill) -> String {
        let word = match fill {
            Fill::Hatch => "hatch",
            Fill::Cross => "cross",
            _ => "water",
        };
        format!("{}-{word}", self.id)
    }

    fn paint(&self, fill: Fill, theme: Theme) -> String {
        match fill {
            Fill::None => "none".to_owned(),
            Fill::Ground => theme.value(Token::Ground),
            Fill::Plain => theme.value(Token::Fill),
            Fill::Ink => theme.value(Token::Ink),
            Fill::Hatch | Fill::Cross | Fill::Water => format!("url(#{})", self.pattern(fill)),
        }
    }

    fn draw(&self, doc: Document, item: &Item, theme: Theme) -> Document {
        // Every element takes the same three attributes of its pen.
        macro_rules! penned {
            ($element:expr, $pen:expr) => {{
                let mut e = $element;
                if let Some(pen) = $pen {
                    e = e.set("stroke", theme.value(pen.token())).set("stroke-width", px(pen.width()));
                    if let Some(d) = pen.dashes() {
                        e = e.set("stroke-dasharray", d);
                    }
                }
                e
            }};
        }
        match item {
            Item::Line(points, pen) => {
                doc.add(penned!(Polyline::new().set("points", path(points)).set("fill", "none"), Some(*pen)))
            }
            Item::Shape(points, fill, pen) => doc.add(penned!(
                Polygon::new().set("points", path(points)).set("fill", self.paint(*fill, theme)),
                *pen
            )),
            Item::Disc(at, radius, fill, pen) => doc.add(penned!(
                Circle::new()
                    .set("cx", px(at.x))
                    .set("cy", px(at.y))
                    .set("r", px(*radius))
                    .set("fill", self.paint(*fill, theme)),
                *pen
            )),
            Item::Text(lines, at, anchor, voice) => {
                let mut group = Group::new()
                    .set("font-size", px(voice.size()))
                    .set("text-anchor", anchor.word())
                    .set("fill", theme.value(Token::Ink));
                if voice.bold() {
                    group = group.set("font-weight", "bold");
                }
                for (i, line) in lines.iter().enumerate() {
                    let y = at.y + i as f64 * voice.size() * LEADING;
                    let word = || Text::new(line.as_str()).set("x", px(at.x)).set("y", px(y));
                    // The ground around a word keeps lines from crossing it out. A text of its own, since not every
                    // viewer paints the edge of letters first when asked to.
                    let halo = word()
                        .set("fill", theme.value(Token::Ground))
                        .set("stroke", theme.value(Token::Ground))
                        .set("stroke-width", "4")
                        .set("aria-hidden", "true");
                    group = group.add(halo).add(word());
                }
                doc.add(group)
            }
        }
    }
}

/// A number of the file: tenths, the shortest form.
fn px(x: f64) -> String {
    let tenths = (x * 10.0).round() / 10.0 + 0.0;
    if tenths.is_finite() { format!("{tenths}") } else { "0".to_owned() }
}

fn path(points: &[At]) -> String {
    points.iter().map(|p| format!("{},{}", px(p.x), px(p.y))).collect::<Vec<_>>().join(" ")
}
