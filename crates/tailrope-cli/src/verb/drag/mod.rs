//! `tailrope drag`: the drag and its card.

mod card;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use clap::{Args, Subcommand};

/// The drag: what it becomes with line out
#[derive(Args, Debug)]
pub struct Drag {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// The card: drag against what shows on the spool, and where to ease the lever
    Card(card::Card),
}

impl Drag {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match &self.what {
            What::Card(c) => c.run(desk),
        }
    }
}
