//! The verbs, one a file: flags, call into the library, text, JSON.

mod demo;
mod drag;
mod fight;
mod fish;
mod footing;
mod hold;
mod law;
mod night;
mod path;
mod plan;
mod rig;
mod sky;
mod source;
mod surf;
mod survival;
mod tide;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use clap::Subcommand;

/// A question.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Plans a shipped scenario end to end
    Demo(demo::Demo),
    /// The whole plan of a night, or of the next nights
    Plan(plan::Plan),
    /// Load path of an outfit and rig
    Path(path::Path),
    /// The drag card
    Drag(drag::Drag),
    /// A rig proved: parts, strengths, cut list, what the law asks, a drawing
    Rig(Box<rig::Rig>),
    /// What a person bears, by stance, harness hand, sand
    Footing(Box<footing::Footing>),
    /// Sinker, line and bait in the current
    Hold(Box<hold::Hold>),
    /// Forecast of the fight
    Fight(fight::Fight),
    /// Chance of death after release
    Survival(survival::Survival),
    /// Species: list, show, size
    Fish(fish::Fish),
    /// What the rule packs say
    Law(law::Law),
    /// Water level and turning points
    Tide(Box<tide::Tide>),
    /// Sun, moon, light
    Sky(sky::Sky),
    /// Breakers, current, run-up, wading
    Surf(Box<surf::Surf>),
}

impl Verb {
    /// Whether it takes an outing, or a scenario in its place.
    pub fn takes_outing(&self) -> bool {
        matches!(
            self,
            Self::Demo(_)
                | Self::Plan(_)
                | Self::Path(_)
                | Self::Drag(_)
                | Self::Rig(_)
                | Self::Footing(_)
                | Self::Hold(_)
                | Self::Fight(_)
                | Self::Survival(_)
                | Self::Law(_)
        )
    }

    /// Whether anything in it is drawn at random.
    pub fn draws(&self) -> bool {
        match self {
            Self::Path(v) => v.draws(),
            _ => matches!(self, Self::Demo(_) | Self::Plan(_) | Self::Fight(_)),
        }
    }

    /// Answers it.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self {
            Self::Demo(v) => v.run(desk),
            Self::Plan(v) => v.run(desk),
            Self::Path(v) => v.run(desk),
            Self::Drag(v) => v.run(desk),
            Self::Rig(v) => v.run(desk),
            Self::Footing(v) => v.run(desk),
            Self::Hold(v) => v.run(desk),
            Self::Fight(v) => v.run(desk),
            Self::Survival(v) => v.run(desk),
            Self::Fish(v) => v.run(desk),
            Self::Law(v) => v.run(desk),
            Self::Tide(v) => v.run(desk),
            Self::Sky(v) => v.run(desk),
            Self::Surf(v) => v.run(desk),
        }
    }
}
