//! Fading: what muscles still bear after minutes of a fight, and when a relief is due.
//!
//! Weight does not tire: tipping and sliding stay what they are. What fades is the back and the grip of a harness
//! hand. Two studies and one textbook curve give the share of the greatest effort that is left:
//!
//! ```text
//! held without rest:       0.50 at 1 min (Rohmert 1960, recalled), 0.079 at 60 min (Bjorksten & Jonsson 1977)
//! with rests between:      0.50 at 1 min,                         0.14  at 60 min (the same)
//! ```
//!
//! A straight line through each pair on log scales is `share = 0.50 t^-k` (k 0.45 held, 0.31 with rests); the first
//! gives 15 % at 15 min, where the textbook curve ends. The pack's back and grip are what is borne in the first minute,
//! so they are kept by `t^-k`. Low end: held without rest; middle: with rests, as a fight is pulled; high end: no loss,
//! since one skilled stand-up angler in plate and harness was seen to end a fight of 44 minutes with more drag than it
//! began with.
//!
//! Limits: none of these is a measurement of an angler; hour-long figures are carried to backs and hands by judgement.
//! Beyond the hour the line is drawn on. Legs are taken not to tire.

use super::angler::AnglerStand;
use super::footing::{Borne, footing};
use super::hands::HarnessHand;
use super::margin::{Caps, Demand, Margin};
use super::pack::FootingPack;
use crate::Result;
use crate::facts::{Band, Figure, Grade, PackText};
use crate::math::{exp, ln};
use crate::quantity::Span;
use serde::{Deserialize, Serialize};

/// The longest fight about which anything is said.
pub const LONGEST: Span = Span::of_min(480.0);

/// What is left of the greatest effort, by minutes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fade {
    /// Share held for one minute.
    pub minute: Figure<f64>,
    /// Share held for an hour without rest.
    pub hour_held: Figure<f64>,
    /// Share kept up for an hour with rests.
    pub hour_rests: Figure<f64>,
    /// Grade of the whole, carried to an angler's back.
    pub grade: Grade,
    /// Its source.
    pub source: String,
}

impl Fade {
    /// Share of what was borne in the first minute that is still borne after `effort`: 1 up to one minute, never rising,
    /// low <= central <= high.
    ///
    /// ```
    /// # use tailrope::{facts::PackText, people::FootingPack, quantity::Span};
    /// # let text = include_str!("../../../../data/footing.toml");
    /// # let pack = FootingPack::read(PackText::new("footing.toml", text))?;
    /// let kept = pack.fade.kept(Span::of_min(60.0));
    /// assert!((kept.low - 0.079 / 0.50).abs() < 1e-12);
    /// assert!((kept.central - 0.14 / 0.50).abs() < 1e-12);
    /// assert_eq!(kept.high, 1.0);
    /// # Ok::<(), tailrope::Error>(())
    /// ```
    pub fn kept(&self, effort: Span) -> Band<f64> {
        let minutes = effort.min_().clamp(1.0, LONGEST.min_());
        let share = |hour: f64| exp(ln(hour / self.minute.value) * ln(minutes) / ln(60.0)).min(1.0);
        let (low, central) = (share(self.hour_held.value), share(self.hour_rests.value));
        Band { low: low.min(central), central, high: 1.0 }
    }

    pub(super) fn check(&self, text: PackText<'_>) -> Result<()> {
        let (minute, rests, held) = (self.minute.value, self.hour_rests.value, self.hour_held.value);
        if held > 0.01 && held <= rests && rests <= minute && minute <= 1.0 {
            return Ok(());
        }
        Err(text.refuse(
            "fade",
            format!("shares left of {minute} after a minute, {rests} and {held} after an hour"),
            "0.01 < hour_held <= hour_rests <= minute <= 1",
            "correct these shares",
        ))
    }
}

/// How long a drag is borne in the planned stance, with these hands: `None` when nothing fades below it within
/// [`LONGEST`], zero when it is not borne in the first minute.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Lasts {
    /// Both shares of the limit kept ([`Caps`]), pulling with rests.
    pub rests: Option<Span>,
    /// The same held without rest: the low end of the fading.
    pub held: Option<Span>,
    /// Until the pull at strike is all that is borne, held without rest: beyond it the angler gives way.
    pub bare: Option<Span>,
    /// When to ease the lever or relieve the angler: at `held`, and never later than the crew relieves anybody.
    pub relief: Span,
}

/// How long `demand` at the tip is borne within the shares `caps`; `most` is the longest that anybody keeps the rod,
/// however light the drag.
///
/// # Errors
/// As [`footing`].
pub fn lasts(
    pack: &FootingPack,
    angler: &AnglerStand,
    hands: &[HarnessHand],
    demand: Demand,
    caps: Caps,
    most: Span,
) -> Result<Lasts> {
    // The same with the line that is held without rest in place of the one with rests.
    let mut unrested = pack.clone();
    unrested.fade.hour_rests = pack.fade.hour_held.clone();
    let within = |b: &Borne| Margin::of(b, demand, caps).met();
    let held = until(&unrested, angler, hands, within)?;
    Ok(Lasts {
        rests: until(pack, angler, hands, within)?,
        held,
        bare: until(&unrested, angler, hands, |b| demand.strike <= b.limit)?,
        relief: held.map_or(most, |h| h.min(most)),
    })
}

/// The last minute in which what is borne is still good.
fn until(
    pack: &FootingPack,
    angler: &AnglerStand,
    hands: &[HarnessHand],
    good: impl Fn(&Borne) -> bool,
) -> Result<Option<Span>> {
    let at = |minutes: f64| {
        let stand = AnglerStand { after: Span::of_min(minutes), ..*angler };
        footing(pack, &stand, hands).map(|f| good(f.planned.best()))
    };
    if at(LONGEST.min_())? {
        return Ok(None);
    }
    if !at(0.0)? {
        return Ok(Some(Span::ZERO));
    }
    // It never rises with the minutes: halve.
    let (mut borne, mut not) = (0.0, LONGEST.min_());
    for _ in 0..24 {
        let mid = 0.5 * (borne + not);
        if at(mid)? { borne = mid } else { not = mid }
    }
    Ok(Some(Span::of_min(borne)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Force, Length, Mass};
    use proptest::prelude::*;

    fn pack() -> FootingPack {
        let text = include_str!("../../../../data/footing.toml");
        FootingPack::read(PackText::new("footing.toml", text)).unwrap()
    }

    #[test]
    fn the_held_line_meets_the_textbook_where_its_curve_ends() {
        let p = pack();
        // 0.50 t^-0.4507 = 0.15 at t = (0.50/0.15)^(1/0.4507) = 14.5 min; the textbook says 15 % is borne long.
        let kept = p.fade.kept(Span::of_min(14.46));
        assert!((kept.low * 0.5 - 0.15).abs() < 5e-4, "{}", kept.low);
        assert_eq!(p.fade.kept(Span::ZERO), Band::exact(1.0));
        assert_eq!(p.fade.kept(Span::of_h(50.0)), p.fade.kept(LONGEST));
    }

    #[test]
    fn a_drag_that_the_back_bears_at_first_asks_for_relief_later() {
        let p = pack();
        let mut a = AnglerStand::new(Mass::of_kg(92.0));
        a.stance = super::super::pack::Stance::Lean;
        let first = footing(&p, &a, &[]).unwrap().planned.alone;
        assert_eq!(first.governs, super::super::limits::Governs::Back);
        let caps = Caps::new(0.5, 0.8).unwrap();
        let of = |strike: f64, worst: f64| {
            let demand = Demand { strike: Force::of_n(strike), worst: Force::of_n(worst) };
            lasts(&p, &a, &[], demand, caps, Span::of_min(20.0)).unwrap()
        };
        let l = of(125.0, 125.0);
        // kept = share x 125/310.3; minutes = (1/kept)^(1/k), k 0.3109 with rests, 0.4507 held.
        let after = |share: f64, k: f64| crate::math::pow(share * first.limit.n() / 125.0, 1.0 / k);
        for (got, want) in
            [(l.rests, after(0.5, 0.310_91)), (l.held, after(0.5, 0.450_67)), (l.bare, after(1.0, 0.450_67))]
        {
            assert!((got.unwrap().min_() - want).abs() < 0.02, "{l:?} {want}");
        }
        assert_eq!(Some(l.relief), l.held);
        // The worst place may ask for it earlier; beyond the shares it is due at once.
        assert!(of(125.0, 240.0).held.unwrap() < l.held.unwrap());
        let over = of(first.limit.n() * 0.51, first.limit.n() * 0.51);
        assert_eq!((over.held, over.relief), (Some(Span::ZERO), Span::ZERO));
        assert!(over.bare.unwrap() > Span::ZERO);
        // However light the drag, nobody keeps the rod longer than the crew says.
        let light = of(1.0, 1.0);
        assert_eq!((light.rests, light.held, light.relief), (None, None, Span::of_min(20.0)));
    }

    #[test]
    fn weight_does_not_tire() {
        let p = pack();
        let mut a = AnglerStand::new(Mass::of_kg(60.0));
        a.tip = Some(super::super::statics::RodTip { up: Length::of_m(0.95), ahead: Length::of_m(1.3) });
        let at =
            |min| footing(&p, &AnglerStand { after: Span::of_min(min), ..a }, &[]).unwrap().planned.alone;
        assert_eq!((at(0.0).limits.tip, at(0.0).limits.slip), (at(60.0).limits.tip, at(60.0).limits.slip));
        assert!(at(60.0).limits.back < at(0.0).limits.back);
        assert_eq!(at(60.0).grade, Grade::Estimate);
    }

    #[test]
    fn a_harness_hand_tires_as_well() {
        let p = pack();
        let a = AnglerStand { friction: Some(Band::exact(0.6)), ..AnglerStand::new(Mass::of_kg(85.0)) };
        let pull = |min| {
            let stand = AnglerStand { after: Span::of_min(min), ..a };
            footing(&p, &stand, &[HarnessHand::drilled(Mass::of_kg(80.0))]).unwrap().planned.hands_pull.n()
        };
        // 150 N fresh; 0.14/0.50 of it after an hour.
        assert!((pull(0.0) - 150.0).abs() < 1e-9 && (pull(60.0) - 42.0).abs() < 1e-9, "{}", pull(60.0));
        let measured =
            HarnessHand { grip: Some(Force::of_n(100.0)), ..HarnessHand::drilled(Mass::of_kg(80.0)) };
        let tired = AnglerStand { after: Span::of_min(60.0), ..a };
        let own = footing(&p, &tired, &[measured]).unwrap().planned.hands_pull.n();
        assert!((own - 28.0).abs() < 1e-9, "{own}");
    }

    proptest! {
        #[test]
        fn minutes_never_help(t in 0.0..600.0f64, more in 0.0..300.0f64, kg in 45.0..120.0f64, hand in 45.0..110.0f64) {
            let p = pack();
            let (a, b) = (p.fade.kept(Span::of_min(t)), p.fade.kept(Span::of_min(t + more)));
            prop_assert!(b.low <= a.low && b.central <= a.central && b.high <= a.high);
            prop_assert!(a.low > 0.0 && a.low <= a.central && a.central <= a.high);
            let stand = AnglerStand::new(Mass::of_kg(kg));
            let hands = [HarnessHand::drilled(Mass::of_kg(hand))];
            let at = |min| {
                let f = footing(&p, &AnglerStand { after: Span::of_min(min), ..stand }, &hands).unwrap();
                let b = f.planned.best().clone();
                (b.limit, b.band)
            };
            let (now, later) = (at(t), at(t + more));
            prop_assert!(later.0 <= now.0 && later.1.low <= now.1.low && later.1.central <= now.1.central);
            prop_assert!(later.1.low <= later.1.central && later.1.central <= later.1.high);
        }
    }
}
