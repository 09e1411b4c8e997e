//! Surge: the pull that the feet really meet when a run begins, beside the running drag, and when the spool jams.
//!
//! A slipping drag caps a jerk at its start-up value. A lever that is locked or a spool that jams no longer slips: a
//! load put on suddenly pulls about twice as hard as the same load put on slowly (textbook, elastic line and rod), up to
//! what the weakest part bears. Neither is a setting; both are compared with what is borne, once: the share allowed at
//! strike ([`super::Caps`]) holds the jerk already.

use super::footing::Borne;
use crate::facts::{Figure, PackText};
use crate::quantity::Force;
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Figures of a jerk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurgeRow {
    /// A jammed spool over the running drag.
    pub jam: Figure<f64>,
}

impl SurgeRow {
    pub(super) fn check(&self, text: PackText<'_>) -> Result<()> {
        if (1.0..=5.0).contains(&self.jam.value) {
            return Ok(());
        }
        Err(text.refuse(
            "surge.jam",
            format!("surge.jam is {}", self.jam.value),
            "1 to 5",
            "correct this figure",
        ))
    }
}

/// Pulls at the tip.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Surge {
    /// While line runs.
    pub running: Force,
    /// As it begins to run.
    pub start_up: Force,
    /// With the spool locked or jammed.
    pub jammed: Force,
}

impl Surge {
    /// From the running drag at the tip, the start-up factor of this drag (1 or more; readings or the pack's band), and
    /// what the weakest part bears, where known.
    ///
    /// # Errors
    /// A factor below 1 or above 4, a drag below 0.
    pub fn of(row: &SurgeRow, running: Force, start_up: f64, weakest: Option<Force>) -> Result<Self> {
        if !(1.0..=4.0).contains(&start_up) || running.n() < 0.0 || !running.n().is_finite() {
            return Err(Error::new(
                format!("a drag of {:.0} N that starts at {start_up} times itself", running.n()),
                "a drag of 0 N and more, a start-up of 1 to 4 times",
                "read the scale as the spool begins to turn, and while it turns",
            ));
        }
        let begins = running * start_up;
        let doubled = (running * row.jam.value).max(begins);
        let jammed = weakest.map_or(doubled, |most| doubled.min(most.max(begins)));
        Ok(Self { running, start_up: begins, jammed })
    }

    /// Whether a jam would move the angler.
    pub fn jam_moves(&self, borne: &Borne) -> bool {
        self.jammed > borne.limit
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Grade;

    #[test]
    fn a_jam_doubles_up_to_the_weakest_part() {
        let row = SurgeRow { jam: Figure::new(2.0, Grade::Recalled, "textbook") };
        let n = Force::of_n;
        let s = Surge::of(&row, n(125.0), 1.15, None).unwrap();
        assert_eq!((s.start_up, s.jammed), (n(125.0 * 1.15), n(250.0)));
        assert_eq!(Surge::of(&row, n(125.0), 1.15, Some(n(200.0))).unwrap().jammed, n(200.0));
        // A sticky drag that starts at three times itself is not mended by a jam.
        assert_eq!(Surge::of(&row, n(100.0), 3.0, Some(n(50.0))).unwrap().jammed, n(300.0));
        assert!(Surge::of(&row, n(100.0), 0.5, None).is_err());
        assert!(Surge::of(&row, n(-1.0), 1.1, None).is_err());
    }
}
