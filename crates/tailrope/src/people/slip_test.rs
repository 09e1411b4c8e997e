//! How a crew measures its own foot-slip load: the angler stands in the harness, a friend walks out with the drag
//! scale on a level rope and pulls until the feet slip.
//!
//! With the pull T level at the height of the strap, on a beach that falls seaward at beta, the statics of
//! [`super::statics`] turned round give
//!
//! ```text
//! friction = (T cos beta + W sin beta) / (W cos beta - T sin beta)
//! ```
//!
//! The middle is that of the median pull, the ends those of the least and the greatest, no closer than a scale is read;
//! with fewer than three pulls the band is wider. A pull that would have tipped the angler first is told, since then
//! nothing slid: the lean it asked for is T z / W.
//!
//! Limits: sand differs from one place and hour to the next; the answer holds for these shoes on this sand. Source of
//! the statics: textbook; the two widths of the band are judgement (`data/footing.toml`).

use super::pack::{FootingPack, Sand, Stance};
use super::statics::weight_on_feet;
use crate::facts::{Band, Figure, Grade, Known, PackText};
use crate::math::{cos, sin};
use crate::quantity::{Force, Length, Mass, Quantity, Slope};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Pulls at which the feet slipped.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SlipTest {
    /// Scale at the slip, one a pull.
    pub pulls: Vec<Force>,
    /// Mass of the person pulled, with all that he or she wore.
    pub mass: Mass,
    /// Height of the rope at the harness.
    #[serde(default)]
    pub scale_height: Known<Length>,
    /// Fall of the sand towards the friend who pulled.
    #[serde(default)]
    pub slope: Known<Slope>,
}

/// How closely such pulls are known.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlipSpread {
    /// Half width, as a share, with fewer than three pulls.
    pub few: Figure<f64>,
    /// Least half width with three and more: how closely a hand-held scale is read.
    pub read: Figure<f64>,
}

impl SlipSpread {
    pub(super) fn check(&self, text: PackText<'_>) -> Result<()> {
        let (few, read) = (self.few.value, self.read.value);
        if read >= 0.0 && read <= few && few < 0.9 {
            return Ok(());
        }
        Err(text.refuse(
            "slip_test",
            format!("half widths of {few} with few pulls and {read} with many"),
            "0 <= read <= few < 0.9",
            "correct these shares",
        ))
    }
}

/// What the pulls say.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SlipFound {
    /// Friction of these feet on this sand; planning takes the low end.
    pub friction: Band<f64>,
    /// Median pull.
    pub median: Force,
    /// How many pulls.
    pub pulls: usize,
    /// Lean that the median pull asked for, where its height is known.
    pub lean_asked: Option<Length>,
    /// That lean is more than any stance of the pack has: the angler tipped, or was held by a step, and did not slide.
    pub tipped_rather: bool,
    /// The sands whose bands hold the middle.
    pub like: Vec<Sand>,
    /// Measured by the crew.
    pub grade: Grade,
}

impl SlipFound {
    /// Whether three pulls or more were made.
    pub fn enough(&self) -> bool {
        self.pulls >= 3
    }
}

impl SlipTest {
    /// Friction out of the pulls.
    ///
    /// ```
    /// use tailrope::{facts::{Known, PackText}, people::{FootingPack, SlipTest}, quantity::{Force, Length, Mass}};
    /// # let text = include_str!("../../../../data/footing.toml");
    /// let pack = FootingPack::read(PackText::new("footing.toml", text))?;
    /// let pulls = [85.0, 92.0, 88.0].map(Force::of_lbf).to_vec();
    /// let test = SlipTest { pulls, mass: Mass::of_kg(80.0), scale_height: Known::Unknown, slope: Known::Unknown };
    /// // On the level friction is pull over weight: 88 lbf over 80 kg.
    /// assert!((test.found(&pack)?.friction.central - 391.4 / 784.5).abs() < 1e-4);
    /// # Ok::<(), tailrope::Error>(())
    /// ```
    ///
    /// # Errors
    /// No pull or more than twenty; a pull, mass or height that nobody has; a pull that no foot on sand bears.
    pub fn found(&self, pack: &FootingPack) -> Result<SlipFound> {
        self.check()?;
        let mut sorted = self.pulls.clone();
        sorted.sort_by(|a, b| a.n().total_cmp(&b.n()));
        let at = |i: usize| sorted.get(i).copied().unwrap_or(Force::ZERO);
        let n = sorted.len();
        let median = if n % 2 == 1 { at(n / 2) } else { (at(n / 2 - 1) + at(n / 2)) / 2.0 };
        let width = if n < 3 { pack.slip_test.few.value } else { pack.slip_test.read.value };
        let central = self.friction(median)?;
        let friction = Band {
            low: self.friction(at(0).min(median * (1.0 - width)))?,
            central,
            high: self.friction(at(n - 1).max(median * (1.0 + width)))?,
        };
        let weight = weight_on_feet(self.mass, Mass::ZERO);
        let lean_asked = self.scale_height.get().map(|z| z * (median / weight));
        let most = pack.stance(Stance::Lean)?.base;
        let mut like = Vec::new();
        for sand in [Sand::Dry, Sand::FirmWet, Sand::MovingWash] {
            let band = pack.friction(sand)?.value;
            if (band.low..=band.high).contains(&friction.central) {
                like.push(sand);
            }
        }
        Ok(SlipFound {
            friction,
            median,
            pulls: n,
            lean_asked,
            tipped_rather: lean_asked.is_some_and(|b| b > most),
            like,
            grade: Grade::Measured,
        })
    }

    /// Refuses no pull or more than twenty, and a pull, mass or height that nobody has.
    pub fn check(&self) -> Result<()> {
        self.mass.within("mass of the person pulled", Mass::of_kg(25.0), Mass::of_kg(250.0))?;
        if self.pulls.is_empty() || self.pulls.len() > 20 {
            return Err(Error::new(
                format!("there are {} pulls", self.pulls.len()),
                "1 to 20",
                "give the scale at the slip, once a pull; three or more are worth having",
            ));
        }
        for pull in &self.pulls {
            pull.within("pull at the slip", Force::of_n(10.0), Force::of_n(3000.0))?;
        }
        if let Known::Known(z) = self.scale_height {
            z.within("height of the scale", Length::ZERO, Length::of_m(2.0))?;
        }
        Ok(())
    }

    fn friction(&self, pull: Force) -> Result<f64> {
        let weight = weight_on_feet(self.mass, Mass::ZERO).n();
        let beta = self.slope.get().unwrap_or_default().angle().rad();
        let pressed = weight * cos(beta) - pull.n() * sin(beta);
        let mu = (pull.n() * cos(beta) + weight * sin(beta)) / pressed;
        if pressed > 0.0 && mu <= 1.5 {
            return Ok(mu);
        }
        Err(Error::new(
            format!("a pull of {:.0} N on {:.0} kg would be a friction of {mu:.2}", pull.n(), self.mass.kg()),
            "at most 1.5: no foot on sand holds more",
            "look at the unit of the scale, and that nobody stood in a hole",
        ))
    }
}

/// How it is done, step by step.
pub const DRILL: [&str; 8] = [
    "By day, on the sand you will stand on, ten steps above the wash, nobody in the water.",
    "Angler in harness, boots or bare feet as at night, no rod; stand as you would fight, feet flat, no step dug.",
    "Rope from the harness to the drag scale, level, as low as it will go: high ropes tip before the feet slide.",
    "A spotter stands beside, not behind, hands ready. Both call STOP; at STOP the pull ends at once.",
    "A friend walks slowly seaward with the scale, no jerk, and reads it at the moment the feet begin to slide.",
    "Three to five pulls, a fresh patch of sand for each. Weigh the angler with all that was worn.",
    "Again on firm wet sand, if you will ever stand there. Never in moving water: that is a stop by itself.",
    "Give the pulls: tailrope footing --mass 85kg --slipped-at 85lbf --slipped-at 92lbf --slipped-at 88lbf --scale-height 0.4m",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::people::statics::{RodTip, Stand};
    use crate::quantity::Angle;
    use proptest::prelude::*;

    fn pack() -> FootingPack {
        let text = include_str!("../../../../data/footing.toml");
        FootingPack::read(PackText::new("footing.toml", text)).unwrap()
    }
    fn test(pulls: &[f64], kg: f64) -> SlipTest {
        SlipTest {
            pulls: pulls.iter().map(|n| Force::of_n(*n)).collect(),
            mass: Mass::of_kg(kg),
            scale_height: Known::Unknown,
            slope: Known::Unknown,
        }
    }

    #[test]
    fn the_median_rules_and_the_ends_are_the_pulls() {
        let p = pack();
        let f = test(&[400.0, 500.0, 430.0, 420.0, 350.0], 80.0).found(&p).unwrap();
        let w = 80.0 * 9.80665;
        assert_eq!((f.median, f.pulls, f.enough()), (Force::of_n(420.0), 5, true));
        assert!((f.friction.central - 420.0 / w).abs() < 1e-12);
        assert!((f.friction.low - 350.0 / w).abs() < 1e-12 && (f.friction.high - 500.0 / w).abs() < 1e-12);
        assert_eq!(f.like, [Sand::Dry, Sand::FirmWet]);
        // Two pulls that agree are no measurement of a spread.
        let two = test(&[420.0, 420.0], 80.0).found(&p).unwrap();
        assert!((two.friction.low - 0.85 * 420.0 / w).abs() < 1e-12 && !two.enough());
        assert_eq!(test(&[100.0; 3], 80.0).found(&p).unwrap().like, [Sand::MovingWash]);
    }

    #[test]
    fn a_high_rope_tips_before_it_slides() {
        let p = pack();
        let mut t = test(&[560.0; 3], 80.0);
        t.scale_height = Known::Known(Length::of_m(1.0));
        let f = t.found(&p).unwrap();
        assert!((f.lean_asked.unwrap().m() - 560.0 / (80.0 * 9.80665)).abs() < 1e-12 && f.tipped_rather);
        t.scale_height = Known::Known(Length::of_m(0.4));
        assert!(!t.found(&p).unwrap().tipped_rather);
    }

    #[test]
    fn refuses_pulls_that_nobody_can_mean() {
        let p = pack();
        let say = |t: SlipTest| t.found(&p).unwrap_err().to_string();
        assert!(say(test(&[], 80.0)).contains("there are 0 pulls"));
        assert!(say(test(&[1600.0], 80.0)).contains("friction of 2.04"));
        assert!(say(test(&[4.0], 80.0)).contains("pull at the slip"));
        assert!(say(test(&[400.0], 8.0)).contains("mass of the person pulled"));
    }

    proptest! {
        /// What the statics slide at, the test reads back.
        #[test]
        fn gives_back_the_friction_that_slid(kg in 40.0..130.0f64, mu in 0.15..0.9f64, slope in 0.0..0.14f64) {
            let p = pack();
            let slope = Slope::of_rise_over_run(slope).unwrap();
            let tip = RodTip { up: Length::of_m(0.4), ahead: Length::of_m(1.0) };
            let mut stand = Stand::alone(Mass::of_kg(kg), Length::of_m(0.3), mu, tip, Angle::ZERO);
            stand.slope = slope.angle();
            let pull = stand.slip_limit().unwrap();
            prop_assume!(pull.n() > 20.0);
            let mut t = test(&[pull.n(); 3], kg);
            t.slope = Known::Known(slope);
            prop_assert!((t.found(&p).unwrap().friction.central - mu).abs() < 1e-9);
        }

        #[test]
        fn a_greater_pull_is_never_less_friction(pull in 60.0..500.0f64, more in 0.0..0.5f64, kg in 60.0..120.0f64) {
            let p = pack();
            let at = |x: f64| test(&[x, x * 1.02, x * 0.9], kg).found(&p).unwrap().friction;
            let (a, b) = (at(pull), at(pull * (1.0 + more)));
            prop_assert!(a.low <= b.low && a.central <= b.central && a.high <= b.high);
            prop_assert!(a.low <= a.central && a.central <= a.high);
        }
    }
}
