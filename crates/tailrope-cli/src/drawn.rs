//! A picture beside an answer.

use crate::answer::Failure;
use crate::output;
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use tailrope::picture::{Picture, Theme};

/// Where a picture goes and in which colours.
#[derive(Args, Debug)]
pub struct Drawn {
    /// Draw it into this file (SVG, with the same in words inside)
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Colours of the picture
    #[arg(long, value_enum, default_value_t = ThemeArg::Day, value_name = "COLOURS", requires = "svg")]
    theme: ThemeArg,
}

/// Colours of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ThemeArg {
    /// Ink on sand
    Day,
    /// Deep reds on near-black
    Night,
    /// Black on white
    Contrast,
    /// For paper
    Print,
}

impl Drawn {
    /// Whether one is wanted.
    pub fn wanted(&self) -> bool {
        self.svg.is_some()
    }

    /// Writes the picture if one is wanted.
    pub fn write(&self, picture: &Picture) -> Result<(), Failure> {
        let Some(path) = &self.svg else { return Ok(()) };
        let theme = match self.theme {
            ThemeArg::Day => Theme::Day,
            ThemeArg::Night => Theme::Night,
            ThemeArg::Contrast => Theme::Contrast,
            ThemeArg::Print => Theme::Print,
        };
        output::write(path, picture.svg(theme).as_bytes())
    }
}
