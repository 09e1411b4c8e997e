//! Harness hands: what a drilled person on the angler's harness strap really adds.
//!
//! A harness hand adds a level *pull* at the height of the strap, never mass: 80 kg "added" to an angler would
//! promise a third more than a real 150 N tug gives. The pull of one hand is the least of grip, own sliding and
//! own tipping; a team loses part of it to poor timing (8.8 % between two, 19.7 % between eight, straight line
//! between: Cayero and others 2022, published; the line between is an estimate). A hand who is not drilled or
//! cannot reach the strap adds nothing.

use super::pack::FootingPack;
use super::statics::{RodTip, Stand, weight_on_feet};
use crate::facts::Band;
use crate::quantity::{Angle, Force, Length, Mass, Span};
use serde::Serialize;

/// One person ready at the strap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HarnessHand {
    /// Body mass.
    pub mass: Mass,
    /// Has drilled the hold this season.
    pub drilled: bool,
    /// Stands within reach of the strap.
    pub in_reach: bool,
    /// Pull kept up on a scale, if measured; else the pack's band.
    pub grip: Option<Force>,
}

impl HarnessHand {
    /// A drilled hand within reach whose grip was not measured.
    pub fn drilled(mass: Mass) -> Self {
        Self { mass, drilled: true, in_reach: true, grip: None }
    }
}

/// What keeps one hand's pull from being larger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HandLimit {
    /// Strength of the grip.
    Grip,
    /// The hand would slide.
    Slip,
    /// The hand would tip.
    Tip,
    /// Not drilled: adds nothing.
    NotDrilled,
    /// Cannot reach the strap: adds nothing.
    OutOfReach,
}

/// The sand and water under the hands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Friction of feet.
    pub friction: f64,
    /// Fall of the beach seaward.
    pub slope: Angle,
    /// Backwash on one person's legs.
    pub wash: Force,
    /// Height at which it acts.
    pub wash_height: Length,
    /// Water displaced per kilogram of body mass (0 on the dry).
    pub displaced_share: f64,
}

/// Pull of one hand on this ground and what limits it.
///
/// `grip` is the grip to use when none was measured, `kept` the share of it that the minutes leave
/// ([`super::fade::Fade::kept`], 1 when fresh).
pub fn one_pull(
    pack: &FootingPack,
    hand: &HarnessHand,
    ground: Ground,
    grip: Force,
    kept: f64,
) -> (Force, HandLimit) {
    if !hand.drilled {
        return (Force::ZERO, HandLimit::NotDrilled);
    }
    if !hand.in_reach {
        return (Force::ZERO, HandLimit::OutOfReach);
    }
    let height = pack.harness.height.value;
    // The strap pulls the hand seaward, level, at its own height: the same statics as the angler's line.
    let stand = Stand {
        weight: weight_on_feet(hand.mass, hand.mass * ground.displaced_share),
        lean: pack.harness.lean.value,
        friction: ground.friction,
        tip: RodTip { up: height, ahead: Length::ZERO },
        line_angle: Angle::ZERO,
        slope: ground.slope,
        wash: ground.wash,
        wash_height: ground.wash_height,
        hands: Force::ZERO,
        hands_height: Length::ZERO,
    };
    let mut least = (hand.grip.unwrap_or(grip) * kept, HandLimit::Grip);
    for (limit, which) in [(stand.slip_limit(), HandLimit::Slip), (stand.tip_limit(), HandLimit::Tip)] {
        if let Some(limit) = limit
            && limit < least.0
        {
            least = (limit, which);
        }
    }
    (least.0.max(Force::ZERO), least.1)
}

/// Share of the pull that `n` people lose to poor timing; beyond eight the published range ends and the share
/// of eight is held.
pub fn timing_loss(pack: &FootingPack, n: usize) -> f64 {
    let (two, eight) = (pack.harness.loss_two.value, pack.harness.loss_eight.value);
    match n {
        0 | 1 => 0.0,
        2..=7 => two + (eight - two) * (n as f64 - 2.0) / 6.0,
        _ => eight,
    }
}

/// Joint pull of hands who each give what is in `pulls`, and how many of them are worth having: the strongest
/// ones whose timing loss does not eat what they add. More hands never pull less.
pub fn joint_pull(pack: &FootingPack, pulls: &[Force]) -> (Force, usize) {
    let mut sorted: Vec<Force> = pulls.to_vec();
    sorted.sort_by(|a, b| b.n().total_cmp(&a.n()));
    let mut best = (Force::ZERO, 0);
    let mut sum = Force::ZERO;
    for (i, pull) in sorted.iter().enumerate() {
        sum = sum + *pull;
        let joint = sum * (1.0 - timing_loss(pack, i + 1));
        if joint > best.0 {
            best = (joint, i + 1);
        }
    }
    best
}

/// Joint pull of these hands at the low, central and high end of grip, on the ground of each end.
pub(super) fn joint_band(
    pack: &FootingPack,
    hands: &[HarnessHand],
    ground: Band<Ground>,
    after: Span,
) -> Band<Force> {
    let (grip, kept) = (pack.harness.grip.value, pack.fade.kept(after));
    let at = |ground, grip, kept| {
        let pulls: Vec<Force> = hands.iter().map(|h| one_pull(pack, h, ground, grip, kept).0).collect();
        joint_pull(pack, &pulls).0
    };
    Band {
        low: at(ground.low, grip.low, kept.low),
        central: at(ground.central, grip.central, kept.central),
        high: at(ground.high, grip.high, kept.high),
    }
}
