//! What keeps a hold from being believed though the numbers say it holds.
//!
//! A hold that rests on something nobody knows, or on sand that does not stay, is in doubt: never *holds*. The load is
//! told all the same.

use serde::Serialize;

/// A reason for doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Doubt {
    /// Height or period of the waves, or the depth in which they move the bait, is not known.
    Waves,
    /// How heavy the sinker is, is not known: whether the line lifts it, nobody can say.
    Lift,
    /// The line pulls up by more than the sinker weighs in the water.
    Lifted,
    /// The bait lies where the waves break.
    InsideTheBreak,
    /// The sand runs as a sheet.
    Sheet,
}

impl Doubt {
    /// The words shown, a clause.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Waves => "what the waves add is not known (height, period, depth at the bait)",
            Self::Lift => "the sinker's mass is not known, nor so whether the line lifts it",
            Self::Lifted => {
                "the line lifts by more than the sinker weighs: it stands on its nose and comes out"
            }
            Self::InsideTheBreak => "the bait lies inside the break, where waves fall on line and sinker",
            Self::Sheet => "the sand runs as a sheet, in which no wire keeps its hold for long",
        }
    }
}
