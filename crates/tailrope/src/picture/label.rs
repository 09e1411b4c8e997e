//! Boxes of labels, and where a label finds room.

use super::canvas::At;
use super::text::text_width;

/// A box on the page: y grows downward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PageBox {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl PageBox {
    /// Whether two boxes share area.
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.left + other.width
            && other.left < self.left + self.width
            && self.top < other.top + other.height
            && other.top < self.top + self.height
    }
    /// Whether the stretch from `a` to `b` runs through it.
    pub fn is_crossed(&self, a: At, b: At) -> bool {
        // The share of the stretch that lies within the box along each axis; both must overlap (slab method).
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (p, d, low, high) in [
            (a.x, b.x - a.x, self.left, self.left + self.width),
            (a.y, b.y - a.y, self.top, self.top + self.height),
        ] {
            if d.abs() < 1e-9 {
                if p <= low || p >= high {
                    return false;
                }
                continue;
            }
            let (s, t) = ((low - p) / d, (high - p) / d);
            from = from.max(s.min(t));
            to = to.min(s.max(t));
        }
        from < to
    }
    /// Whether `other` lies inside.
    pub fn holds(&self, other: &Self) -> bool {
        other.left >= self.left
            && other.top >= self.top
            && other.left + other.width <= self.left + self.width
            && other.top + other.height <= self.top + self.height
    }
}

/// Where a text lies beside its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Begins at it.
    Start,
    /// Has its middle at it.
    Middle,
    /// Ends at it.
    End,
}

impl Anchor {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// How a text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Voice {
    /// Ordinary label, 14.
    Label,
    /// The thing that matters, 14 bold.
    Strong,
    /// Ticks and dimensions, 12.
    Small,
    /// Heading of a part, 18 bold.
    Head,
}

impl Voice {
    /// Font size.
    pub const fn size(self) -> f64 {
        match self {
            Self::Label | Self::Strong => 14.0,
            Self::Small => 12.0,
            Self::Head => 18.0,
        }
    }
    /// Whether it is bold.
    pub const fn bold(self) -> bool {
        matches!(self, Self::Strong | Self::Head)
    }
    /// Width of a text in it.
    pub fn width(self, text: &str) -> f64 {
        text_width(text, self.size()) * if self.bold() { 1.1 } else { 1.0 }
    }
}

/// Height of a line of text over its font size.
pub(super) const LEADING: f64 = 1.25;
/// Share of it that stands above the base line.
pub(super) const RISE: f64 = 0.95;

/// The box of lines of text whose first base line is at `at`.
pub(super) fn box_of(lines: &[String], at: At, anchor: Anchor, voice: Voice) -> PageBox {
    let width = lines.iter().map(|l| voice.width(l)).fold(0.0, f64::max);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - 0.5 * width,
        Anchor::End => at.x - width,
    };
    PageBox {
        left,
        top: at.y - voice.size() * RISE,
        width,
        height: voice.size() * LEADING * lines.len() as f64,
    }
}

/// Distances at which a label is tried.
pub(super) const NEAR: [f64; 6] = [8.0, 20.0, 36.0, 56.0, 80.0, 110.0];
/// Distances at which the number of a note is tried: it is small, and must stand somewhere.
pub(super) const ANYWHERE: [f64; 12] =
    [8.0, 20.0, 36.0, 56.0, 80.0, 110.0, 140.0, 170.0, 200.0, 240.0, 280.0, 320.0];

/// Distances at which a label is tried so that no line crosses it: rather a crossed label than a far one.
pub(super) const CLOSE: [f64; 4] = [8.0, 14.0, 22.0, 36.0];

/// Place for lines of text near `at`: the base line's point, the anchor and how far off. Tries the eight directions,
/// nearer before farther; `None` if no box is `free`.
pub(super) fn room(
    lines: &[String],
    at: At,
    voice: Voice,
    distances: &[f64],
    free: impl Fn(&PageBox) -> bool,
) -> Option<(At, Anchor, f64)> {
    let size = voice.size();
    let height = size * LEADING * lines.len() as f64;
    // Right, left, above, below, then the corners: horizontal text reads best beside its point.
    let ways: [(f64, f64, Anchor); 8] = [
        (1.0, 0.0, Anchor::Start),
        (-1.0, 0.0, Anchor::End),
        (0.0, -1.0, Anchor::Middle),
        (0.0, 1.0, Anchor::Middle),
        (0.8, -0.8, Anchor::Start),
        (0.8, 0.8, Anchor::Start),
        (-0.8, -0.8, Anchor::End),
        (-0.8, 0.8, Anchor::End),
    ];
    for &far in distances {
        for (x, y, anchor) in ways {
            // The middle of the box stands `far` from the point, its edge for a label above or below.
            let middle = at.y + y * (far + 0.5 * height);
            let base = At { x: at.x + x * far, y: middle - 0.5 * height + size * RISE };
            let wanted = box_of(lines, base, anchor, voice);
            if free(&wanted) {
                return Some((base, anchor, far));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_crosses_a_box_or_passes_it() {
        let b = PageBox { left: 10.0, top: 10.0, width: 20.0, height: 10.0 };
        let crossed = |x1, y1, x2, y2| b.is_crossed(At::new(x1, y1), At::new(x2, y2));
        assert!(
            crossed(0.0, 15.0, 40.0, 15.0)
                && crossed(12.0, 12.0, 13.0, 13.0)
                && crossed(5.0, 5.0, 20.0, 20.0)
        );
        assert!(
            !crossed(0.0, 9.0, 40.0, 9.0)
                && !crossed(0.0, 15.0, 9.0, 15.0)
                && !crossed(5.0, 15.0, 15.0, 30.0)
        );
        assert!(!crossed(10.0, 0.0, 10.0, 40.0), "along an edge is not through");
    }
}
