//! The verbs, one a file: flags, call into the library, text, JSON.

mod footing;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use clap::Subcommand;

/// A question.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// What a person bears, by stance, harness hand, sand
    Footing(footing::Footing),
}

impl Verb {
    /// Answers it.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self {
            Self::Footing(v) => v.run(desk),
        }
    }
}
