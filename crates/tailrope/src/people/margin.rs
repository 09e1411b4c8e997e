//! A drag against what is borne: the shares of the limit at strike and at the worst place, and how many
//! harness hands would be needed.

use super::angler::AnglerStand;
use super::footing::{Borne, footing};
use super::hands::HarnessHand;
use super::limits::Governs;
use super::pack::FootingPack;
use crate::quantity::Force;
use crate::{Error, Result};
use serde::Serialize;

/// How much of the limit a drag at the tip may use. The plan's limits hold them (project default 0.5 at strike
/// with little line out, which already holds a jerk, and 0.8 anywhere on the card).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Caps {
    /// At strike, little line out.
    pub strike: f64,
    /// At the greatest tip drag anywhere.
    pub worst: f64,
}

impl Caps {
    /// Checks the two shares.
    pub fn new(strike: f64, worst: f64) -> Result<Self> {
        for (name, share) in [("strike", strike), ("worst", worst)] {
            if !(share > 0.0 && share <= 1.0) {
                return Err(Error::new(
                    format!("cap at {name} is {share}"),
                    "above 0, at most 1",
                    "write the share of the footing limit that the drag may use",
                ));
            }
        }
        Ok(Self { strike, worst })
    }
}

/// Drag at the rod tip that the plan asks for. The start-up value where a run begins; not doubled for jerks
/// when it is compared by [`Caps`], whose first share holds them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Demand {
    /// At strike, little line out.
    pub strike: Force,
    /// The greatest anywhere on the card, guides included.
    pub worst: Force,
}

impl Demand {
    /// The same with every pull multiplied by a surge: 2 for a lever that is locked or a spool that jams
    /// (suddenly applied load, textbook). For the bare limit only: [`Caps`] hold the jerk already, and both
    /// together would count it twice.
    #[must_use]
    pub fn surged(self, factor: f64) -> Self {
        Self { strike: self.strike * factor, worst: self.worst * factor }
    }
}

/// How a demand stands against a limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Margin {
    /// Tip drag allowed at strike.
    pub cap_strike: Force,
    /// Tip drag allowed at the worst place.
    pub cap_worst: Force,
    /// Demand at strike over the whole limit; infinite when nothing is borne.
    pub strike_share: f64,
    /// Demand at the worst place over the whole limit.
    pub worst_share: f64,
    /// Within the cap at strike.
    pub strike_met: bool,
    /// Within the cap at the worst place.
    pub worst_met: bool,
}

impl Margin {
    /// Compares a demand with what is borne.
    pub fn of(borne: &Borne, demand: Demand, caps: Caps) -> Self {
        let (cap_strike, cap_worst) = (borne.limit * caps.strike, borne.limit * caps.worst);
        let share = |f: Force| {
            if borne.limit > Force::ZERO {
                f / borne.limit
            } else if f > Force::ZERO {
                f64::INFINITY
            } else {
                0.0
            }
        };
        Self {
            cap_strike,
            cap_worst,
            strike_share: share(demand.strike),
            worst_share: share(demand.worst),
            strike_met: demand.strike <= cap_strike,
            worst_met: demand.worst <= cap_worst,
        }
    }

    /// Both caps kept.
    pub fn met(&self) -> bool {
        self.strike_met && self.worst_met
    }
}

/// How many harness hands the planned stance needs for a demand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HandsNeeded {
    /// The angler bears it alone.
    None,
    /// So many of those offered, the strongest first.
    Hands(usize),
    /// All of those offered together are not enough; this limit stands in the way. No hand ever helps the
    /// back.
    NoneSuffices(Governs),
}

/// Least number of the offered hands with which both caps are kept in the planned stance.
pub fn hands_needed(
    pack: &FootingPack,
    angler: &AnglerStand,
    offered: &[HarnessHand],
    demand: Demand,
    caps: Caps,
) -> Result<HandsNeeded> {
    let alone = footing(pack, angler, &[])?.planned;
    if Margin::of(&alone.alone, demand, caps).met() {
        return Ok(HandsNeeded::None);
    }
    // The strongest single hands first: tried one by one, so that slope, wash and grip count for each.
    let mut ranked = Vec::with_capacity(offered.len());
    for hand in offered {
        ranked.push((footing(pack, angler, &[*hand])?.planned.hands_pull, *hand));
    }
    ranked.sort_by(|a, b| b.0.n().total_cmp(&a.0.n()));
    let hands: Vec<HarnessHand> = ranked.into_iter().map(|(_, hand)| hand).collect();
    let mut governs = alone.alone.governs;
    for n in 1..=hands.len() {
        let team = hands.get(..n).unwrap_or(&hands);
        let planned = footing(pack, angler, team)?.planned;
        if Margin::of(planned.best(), demand, caps).met() {
            return Ok(HandsNeeded::Hands(n));
        }
        governs = planned.best().governs;
    }
    Ok(HandsNeeded::NoneSuffices(governs))
}
