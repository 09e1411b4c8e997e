//! `tailrope drag`: the drag by scale, its settings and its card.

mod card;
mod edit;
mod read;
mod set;
mod view;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use clap::{Args, Subcommand};
use tailrope::quantity::{Force, Units};
use tailrope::tackle::drag::ClassDrag;

/// The drag by scale: read it, set it, and the card of what it becomes with line out
#[derive(Args, Debug)]
pub struct Drag {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Adds scale readings to an outfit in the crew's file
    Read(Box<read::Read>),
    /// Where to put lever or clicks for a drag, and how to find it again
    Set(set::Set),
    /// The card: drag against what shows on the spool, and where to ease the lever
    Card(card::Card),
}

impl Drag {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match &self.what {
            What::Read(r) => r.run(desk),
            What::Set(s) => s.run(desk),
            What::Card(c) => c.run(desk),
        }
    }
}

/// The caution where nothing was measured.
fn nothing_measured(class: &ClassDrag, u: Units) -> String {
    let band = class.max_n.get().map_or_else(
        || "nothing is known of this reel".to_owned(),
        |[a, _, c]| {
            let (a, c) = (u.force(Force::of_n(a)), u.force(Force::of_n(c)));
            if a == c {
                format!("on paper the reel gives at most {a}")
            } else {
                format!("reels of its class give at most {a} to {c}")
            }
        },
    );
    format!(
        "CAUTION: nothing was measured; {band}. Pull on a scale over the bent rod before trusting a mark."
    )
}
