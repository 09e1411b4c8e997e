//! What would hold it: the sinker needed, or the tension to ease to.
//!
//! A sinker is enough if its least hold bears the greatest load. Asked in the order of what a crew has: a plain lead of the
//! trade's weights, wires half set, wires well set; if none will do, none is sold that does, and the load must come down:
//! ease the line, put the bait nearer, fish thinner line. The pull test that would prove any sinker is always told.

use super::grip::{Sinker, SinkerSet};
use super::lie::Ask;
use super::pack::HoldPack;
use super::waves::pulled;
use crate::Result;
use crate::facts::{Band, Known};
use crate::math::sq;
use crate::quantity::{Angle, Force, G_M_S2, Length, Mass, RHO_SEA_KG_M3, Speed};
use crate::tackle::Tables;
use crate::water::{Keep, Shape};
use serde::Serialize;

/// Steps down in the search for a tension.
const EASE: f64 = 0.88;
/// Least tension worth telling: below it nobody feels a bite, and wind moves the line.
const LEAST: Force = Force::of_n(1.0);

/// The least sinker that bears a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SinkerNeeded {
    /// A plain lead.
    Plain,
    /// Wires, half set.
    WiredHalfSet,
    /// Wires, well worked in.
    WiredWellSet,
    /// None that is sold.
    None,
}

/// A tension at which it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ease {
    /// Greatest tension at the rod.
    pub tension: Force,
    /// Line out then.
    pub line_out: Length,
    /// Belly then.
    pub belly: Length,
    /// Angle of arrival then.
    pub arrives: Angle,
}

/// What would hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needs {
    /// What the sinker must bear: the greatest load; unknown if the line streams away.
    pub pull: Known<Force>,
    /// The least kind of sinker.
    pub sinker: SinkerNeeded,
    /// Its mass, of a plain lead.
    pub mass: Known<Mass>,
    /// Tension to ease to with the sinker there is; unknown where easing does not help, or is not needed.
    pub ease: Known<Ease>,
}

impl Ask {
    /// What would hold a load. `hold` is what the sinker there is holds at least, where it is known; `waves` the orbital
    /// speed that waves add, with the share the line feels.
    ///
    /// # Errors
    /// A line that cannot be asked of any current.
    pub fn needs(
        &self,
        load: Band<Known<Force>>,
        uplift: Force,
        (hold, waves): (Option<Force>, Option<(Speed, f64)>),
        tables: &Tables,
        pack: &HoldPack,
    ) -> Result<Needs> {
        let (mut sinker, mut mass) = (SinkerNeeded::None, Known::Unknown);
        if let Known::Known(pull) = load.high {
            let plain = plain_lead(pull, uplift, pack);
            if plain <= pack.sinker.usual_most.value {
                (sinker, mass) = (SinkerNeeded::Plain, Known::Known(plain));
            } else {
                let wired = |set| {
                    let wires = Known::Known(pack.sinker.wires.value);
                    let s = Sinker { wires, set: Known::Known(set), ..Sinker::default() };
                    s.grip(uplift, pack).get().is_some_and(|g| g.hold.low >= pull)
                };
                if wired(SinkerSet::Half) {
                    sinker = SinkerNeeded::WiredHalfSet;
                } else if wired(SinkerSet::Well) {
                    sinker = SinkerNeeded::WiredWellSet;
                }
            }
        }
        let short = |h: &Force| load.high.get().is_none_or(|l| l > *h);
        let ease = match (hold.filter(short), self.keep) {
            (Some(hold), Keep::Tension(t)) => self.ease_to(hold, t, waves, tables)?.into(),
            _ => Known::Unknown,
        };
        Ok(Needs { pull: load.high, sinker, mass, ease })
    }

    /// The greatest tension below `now` at which the loudest line, waves and all, loads the sinker by no more than `hold`;
    /// nothing if the line streams away first, or if `now` is no more than that.
    pub fn ease_to(
        &self,
        hold: Force,
        now: Force,
        waves: Option<(Speed, f64)>,
        tables: &Tables,
    ) -> Result<Option<Ease>> {
        let stream = self.stream(self.along, self.out)?;
        let soak = self.soak(tables, 2)?;
        let mut near: Option<Shape> = None;
        let mut at = |t: Force| {
            let soak = crate::water::Soak { keep: Keep::Tension(t), ..soak.clone() };
            let mut held = soak.load_near(&stream, near.as_ref()).ok().map(|l| self.held(2, l))?;
            near = Some(held.load.line.clone());
            if let Some(w) = waves {
                // Between two waves the steady load is there: the greater counts.
                let (_, pull) = pulled(self, &soak, near.as_ref(), w).ok()??;
                held.level = held.level.max(pull.size());
            }
            Some(held)
        };
        // The sinker bears the line's own tension at least: begin where that alone is the hold.
        let (mut high, mut low) = (now.min(hold * 1.1), None);
        let mut t = high;
        while t >= LEAST {
            let Some(held) = at(t) else { break };
            if held.level <= hold {
                low = Some((t, held));
                break;
            }
            high = t;
            t = t * EASE;
        }
        // What is set already is no advice.
        let Some((mut low, mut best)) = low.filter(|(t, _)| *t < now) else { return Ok(None) };
        while sq((high - low).n()) > sq(0.02 * low.n()) {
            let mid = (low + high) * 0.5;
            match at(mid) {
                Some(held) if held.level <= hold => (low, best) = (mid, held),
                _ => high = mid,
            }
        }
        Ok(Some(Ease { tension: low, line_out: best.line_out, belly: best.belly, arrives: best.arrives }))
    }
}

/// Mass of a plain lead that holds a pull by the least friction.
fn plain_lead(pull: Force, uplift: Force, pack: &HoldPack) -> Mass {
    let s = &pack.sinker;
    let wet_share = 1.0 - RHO_SEA_KG_M3 / s.lead.value.kg_m3();
    let wet_n = pull.n() / s.slides.value.low.max(1e-6) + uplift.n().max(0.0);
    Mass::of_kg(wet_n / (G_M_S2 * wet_share.max(1e-6)))
}

#[cfg(test)]
mod tests {
    use super::super::lie::tests::{ask, tables};
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::tackle::Material;
    use proptest::prelude::*;

    #[test]
    fn the_least_sinker_that_will_do_and_none_where_none_does() {
        let (t, pack) = (tables(), shipped());
        let of = |u: f64, n: f64| {
            let a = ask(100.0, 0.4, Material::HmpeBraid, u, n);
            let l = a.lie(&t).unwrap();
            a.needs(l.load(), Force::ZERO, (None, None), &t, &pack).unwrap()
        };
        let still = of(0.01, 0.6);
        assert_eq!(still.sinker, SinkerNeeded::Plain);
        assert!(still.mass.get().unwrap() <= pack.sinker.usual_most.value);
        assert_eq!(of(0.1, 1.5).sinker, SinkerNeeded::WiredHalfSet);
        assert_eq!(of(0.1, 8.0).sinker, SinkerNeeded::WiredWellSet);
        assert_eq!(of(0.3, 30.0).sinker, SinkerNeeded::None);
    }

    /// Q38: eased to about the hold it holds, with more belly.
    #[test]
    fn easing_holds_and_bellies_more() {
        let (t, pack) = (tables(), shipped());
        let mut a = ask(150.0, 0.40, Material::HmpeBraid, 0.5, 20.0);
        a.bait.lies = crate::hold::BaitLies::NoseOn;
        let l = a.lie(&t).unwrap();
        let hold = Force::of_n(13.0);
        let ease = a.needs(l.load(), Force::ZERO, (Some(hold), None), &t, &pack).unwrap().ease.get().unwrap();
        assert!(ease.tension < hold && ease.tension.n() > 9.0, "{ease:?}");
        assert!(ease.belly > l.central().unwrap().belly);
        let eased = Ask { keep: Keep::Tension(ease.tension), ..a.clone() }.lie(&t).unwrap();
        assert!(eased.load().high.get().unwrap() <= hold * 1.001);
        assert!(eased.load().high.get().unwrap() >= hold * 0.95, "no slacker than need be");
        let enough = a.needs(l.load(), Force::ZERO, (Some(Force::of_n(50.0)), None), &t, &pack).unwrap();
        assert!(enough.ease.is_unknown());
        // In a hard current the line streams away before it pulls so little.
        let hard = ask(250.0, 0.9, Material::Nylon, 0.6, 40.0);
        assert!(hard.ease_to(Force::of_n(6.0), Force::of_n(40.0), None, &t).unwrap().is_none());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(8))]
        #[test]
        fn more_hold_never_asks_for_a_slacker_line(b in 60.0..180.0f64, u in 0.1..0.4f64, n in 8.0..20.0f64, more in 1.05..1.5f64) {
            let t = tables();
            let a = ask(b, 0.4, Material::HmpeBraid, u, 40.0);
            let of = |n: f64| a.ease_to(Force::of_n(n), Force::of_n(40.0), None, &t).unwrap().map_or(0.0, |e| e.tension.n());
            prop_assert!(of(n * more) >= of(n) * 0.98);
        }
    }
}
