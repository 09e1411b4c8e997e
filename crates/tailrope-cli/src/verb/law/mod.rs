//! `tailrope law`: what the rule packs say.

mod check;
mod show;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::night::facts_without_tide;
use clap::{Args, Subcommand};
use tailrope::law::LawPacks;

/// What the rule packs say. A reading aid: the agency's own text and the officer on the beach decide
#[derive(Args, Debug)]
pub struct Law {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// An outing against the packs of its beach
    #[command(after_help = "Example:\n  tailrope law check --demo\n\n\
                            The exit code is the verdict: 0 go, 1 caution, 2 stop.")]
    Check(check::Check),
    /// Rules, coverage and sources of a pack and of those above it
    #[command(
        after_help = "Examples:\n  tailrope law show us-tx-padre-island\n  tailrope law show    # names the packs"
    )]
    Show(show::Show),
}

impl Law {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match &self.what {
            What::Check(c) => c.run(desk),
            What::Show(s) => s.run(desk),
        }
    }
}

/// The rule packs alone, the crew's own before the shipped.
pub fn packs(desk: &Desk) -> Result<LawPacks, Failure> {
    Ok(facts_without_tide(desk)?.law)
}
