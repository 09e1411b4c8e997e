//! Text for a terminal: wrapped to its width, aligned, no colour.

use std::fmt::Write as _;
use std::io::IsTerminal as _;
use tailrope::outing::text::{table, wrap};

/// Columns when nobody looks (a pipe, a file).
const PLAIN: usize = 80;

/// Columns of the terminal behind standard output, within what reads well; 80 elsewhere, so that what is piped
/// does not depend on the window.
pub fn terminal_width() -> usize {
    if !std::io::stdout().is_terminal() {
        return PLAIN;
    }
    terminal_size::terminal_size().map_or(PLAIN, |(w, _)| usize::from(w.0)).clamp(40, 120)
}

/// A page of text under construction.
#[derive(Debug)]
pub struct Page {
    width: usize,
    out: String,
}

impl Page {
    /// An empty page.
    pub fn new(width: usize) -> Self {
        Self { width, out: String::new() }
    }

    /// A paragraph.
    pub fn say(&mut self, text: &str) -> &mut Self {
        self.out.push_str(&wrap(text, self.width, ""));
        self
    }

    /// A line as it stands.
    pub fn line(&mut self, line: &str) -> &mut Self {
        self.out.push_str(line);
        self.out.push('\n');
        self
    }

    /// A paragraph behind an indent.
    pub fn under(&mut self, indent: &str, text: &str) -> &mut Self {
        self.out.push_str(&wrap(text, self.width, indent));
        self
    }

    /// A heading with a blank line before it.
    pub fn head(&mut self, text: &str) -> &mut Self {
        let _ = write!(self.out, "\n{text}\n");
        self
    }

    /// Points of a list, each wrapped behind its dash.
    pub fn points<T: AsRef<str>>(&mut self, points: impl IntoIterator<Item = T>) -> &mut Self {
        for point in points {
            self.out.push_str(&wrap(point.as_ref(), self.width, "  - "));
        }
        self
    }

    /// Names and values, the values in one column; a long value is wrapped under itself.
    pub fn pairs<N: AsRef<str>, V: AsRef<str>>(&mut self, pairs: &[(N, V)]) -> &mut Self {
        let widest = pairs.iter().map(|(n, _)| n.as_ref().chars().count()).max().unwrap_or(0);
        for (name, value) in pairs {
            let name = name.as_ref();
            let pad = " ".repeat(widest - name.chars().count());
            self.out.push_str(&wrap(value.as_ref(), self.width, &format!("  {name}{pad}  ")));
        }
        self
    }

    /// Columns under a head; those of `left` to the left, the others to the right. Where they do not fit, the
    /// widest column of words is wrapped within itself.
    pub fn table(&mut self, head: &[&str], rows: &[Vec<String>], left: &[usize]) -> &mut Self {
        let wide = |c: usize| {
            let cells = rows.iter().filter_map(|r| r.get(c)).map(|t| t.chars().count());
            cells.chain(head.get(c).map(|h| h.chars().count())).max().unwrap_or(0)
        };
        let whole: usize = (0..head.len()).map(|c| wide(c) + 2).sum();
        let widest = left.iter().copied().max_by_key(|c| wide(*c));
        let Some(words) = widest.filter(|_| whole > self.width) else {
            self.out.push_str(&table(head, rows, left));
            return self;
        };
        let room = self.width.saturating_sub(whole - wide(words)).max(20);
        let mut wrapped = Vec::new();
        for row in rows {
            let text = row.get(words).map_or("", String::as_str);
            let mut lines: Vec<String> = wrap(text, room, "").lines().map(str::to_owned).collect();
            if lines.is_empty() {
                lines.push(String::new());
            }
            for (i, line) in lines.into_iter().enumerate() {
                let mut cells = if i == 0 { row.clone() } else { vec![String::new(); head.len()] };
                if let Some(cell) = cells.get_mut(words) {
                    *cell = line;
                }
                wrapped.push(cells);
            }
        }
        self.out.push_str(&table(head, &wrapped, left));
        self
    }

    /// Short cells of one width, as many abreast as fit.
    pub fn grid(&mut self, cells: &[String]) -> &mut Self {
        let widest = cells.iter().map(|c| c.chars().count()).max().unwrap_or(0);
        let abreast = ((self.width.saturating_sub(2)) / (widest + 3)).clamp(1, 6);
        for line in cells.chunks(abreast) {
            let mut text = String::from(" ");
            for cell in line {
                let _ = write!(text, " {cell}{}  ", " ".repeat(widest - cell.chars().count()));
            }
            self.out.push_str(text.trim_end());
            self.out.push('\n');
        }
        self
    }

    /// The finished page.
    pub fn into_text(self) -> String {
        self.out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_the_widest_column_of_words_within_itself() {
        let mut page = Page::new(36);
        let row = |a: &str, b: &str| vec![a.to_owned(), b.to_owned()];
        page.table(
            &["out", "seen"],
            &[row("0 yd", ""), row("109 yd", "joint to the main line off the spool")],
            &[1],
        );
        assert_eq!(
            page.into_text(),
            "     out  seen\n    0 yd\n  109 yd  joint to the main line off\n          the spool\n"
        );
    }

    #[test]
    fn wraps_values_under_themselves() {
        let mut page = Page::new(40);
        page.say("a first line")
            .head("Part")
            .pairs(&[("lean", "0.5 m"), ("clip", "opened under load with both hands, twice")]);
        assert_eq!(
            page.into_text(),
            "a first line\n\nPart\n  lean  0.5 m\n  clip  opened under load with both\n        hands, twice\n"
        );
    }
}
