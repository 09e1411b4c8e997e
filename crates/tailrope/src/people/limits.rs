//! The three limits of one stand with every number filled in, and which comes first.

use super::statics::{Pin, Stand, back_limit};
use crate::math::cos;
use crate::quantity::{Force, Torque};
use serde::{Deserialize, Serialize};

/// Which limit comes first.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Governs {
    /// The person goes over the toes.
    Tip,
    /// The feet slide.
    Slip,
    /// The back gives way.
    Back,
}

/// The three limits of one stand; `None` where that limit cannot be reached.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// Going over the toes.
    pub tip: Option<Force>,
    /// Sliding.
    pub slip: Option<Force>,
    /// The back.
    pub back: Option<Force>,
}

impl Limits {
    /// The smallest, and which it is; `None` if nothing limits (a line straight down on the feet).
    pub fn least(&self) -> Option<(Force, Governs)> {
        let mut least: Option<(Force, Governs)> = None;
        for (limit, which) in
            [(self.tip, Governs::Tip), (self.slip, Governs::Slip), (self.back, Governs::Back)]
        {
            if let Some(limit) = limit
                && least.is_none_or(|(l, _)| limit < l)
            {
                least = Some((limit, which));
            }
        }
        least
    }
}

/// A stand with every number filled in. The fight draws lean, friction and back from their bands, sets them
/// here and asks [`Resolved::limits`] at each step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resolved {
    /// Loads and arms.
    pub stand: Stand,
    /// Where the rod butt sits.
    pub pin: Pin,
    /// What the back bears.
    pub moment: Torque,
    /// What a heel step bears, level; nothing when standing.
    pub step: Force,
}

impl Resolved {
    /// The three limits. A sitting angler is held by friction or by the heel step, whichever bears more;
    /// they are not added, since the one gives way before the other is full.
    pub fn limits(&self) -> Limits {
        Limits {
            tip: self.stand.tip_limit(),
            slip: self.slip().0,
            back: back_limit(self.moment, self.pin, self.stand.tip, self.stand.line_angle),
        }
    }

    /// The sliding limit, and whether it is the heel step that bears it.
    pub(super) fn slip(&self) -> (Option<Force>, bool) {
        let friction = self.stand.slip_limit();
        let along = cos(self.stand.line_angle.rad());
        let by_step = (self.step > Force::ZERO && along > 0.0)
            .then(|| (self.step + self.stand.hands - self.stand.wash) / along);
        match (friction, by_step) {
            (Some(f), Some(s)) if s > f => (Some(s), true),
            _ => (friction, false),
        }
    }
}
