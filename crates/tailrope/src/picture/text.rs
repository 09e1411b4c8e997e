//! What a text needs of room, and texts that cannot do harm.

/// Longest text that a label shows; a longer one ends in an ellipsis.
pub const LONGEST: usize = 120;

/// Width of `text` at a font size of `size`, an upper bound for the sans faces of usual systems (widths of the
/// widest common one). Same unit as `size`.
pub fn text_width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size
}

/// Advance of a character, in parts of the font size.
fn advance(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' => 0.34,
        ' ' | '.' | ',' | ':' | ';' | '!' | '(' | ')' | '[' | ']' | 'f' | 'r' | 't' | '-' | '/' => 0.42,
        'm' | 'M' | 'W' | '%' | '@' => 1.0,
        'w' | '+' | '=' | '<' | '>' | '~' => 0.84,
        'A'..='Z' => 0.79,
        '\u{2009}' => 0.25,
        // Latin with marks, Greek, Cyrillic.
        _ if (c as u32) < 0x0590 => 0.66,
        // Anything else may be as wide as it is high: ideographs, pictures.
        _ => 1.1,
    }
}

/// The text without characters that a picture must not hold (control characters, those that turn the direction
/// of writing, what XML forbids), white space made single, and not longer than 120 characters.
pub fn clean(text: &str) -> String {
    let harmless = |c: &char| {
        !(c.is_control()
            || matches!(*c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}'))
    };
    // A line's end is a space, not nothing: words must not run together.
    let spaced: String =
        text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).filter(harmless).collect();
    let single = spaced.split(' ').filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ");
    if single.chars().count() <= LONGEST {
        return single;
    }
    let mut cut: String = single.chars().take(LONGEST - 1).collect();
    cut.push('\u{2026}');
    cut
}

/// The text in lines no wider than `width` at a font size of `size`; a word that is wider is cut.
pub fn wrap(text: &str, width: f64, size: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if text_width(&longer, size) <= width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(core::mem::take(&mut line));
        }
        for c in word.chars() {
            if !line.is_empty() && text_width(&line, size) + advance(c) * size > width {
                lines.push(core::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn harmful_names_become_harmless() {
        assert_eq!(clean("a\u{202e}b\u{0}\n\tc"), "ab c");
        assert_eq!(clean(&"x".repeat(300)).chars().count(), LONGEST);
        assert!(clean(&"x".repeat(300)).ends_with('\u{2026}'));
        assert_eq!(clean("line\r\nend"), "line end");
    }

    #[test]
    fn long_lines_are_broken_and_long_words_cut() {
        assert_eq!(wrap("one two three", 65.0, 14.0), vec!["one two", "three"]);
        assert!(wrap("abcdefghijklmnop", 40.0, 14.0).len() > 2);
        assert!(wrap("", 40.0, 14.0).is_empty());
    }

    proptest! {
        #[test]
        fn wrapping_loses_no_letter_and_keeps_the_width(s in "[a-zA-Z0-9 ]{0,80}", width in 20.0..300.0f64) {
            let lines = wrap(&s, width, 12.0);
            let letters = |s: &str| s.chars().filter(|c| *c != ' ').collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&s));
            prop_assert!(lines.iter().all(|l| text_width(l, 12.0) <= width + 1e-9));
        }

        #[test]
        fn clean_is_clean(s in any::<String>()) {
            let c = clean(&s);
            prop_assert_eq!(clean(&c), c.clone());
            prop_assert!(c.chars().all(|c| !c.is_control()));
        }
    }
}
