//! A bait that the current walks: whether it goes, where it comes to rest, how far it may get.
//!
//! Model: the lever is locked with the line that was out. Sand rubs against the way it goes, so the bait creeps the way of
//! the whole pull on it, line and water together, until the line has turned so far down-current that the pull is no more
//! than the hold: there it rests ([`Drift`], the greatest current of the soak all the while). How fast it goes nobody
//! measured. Two things bound it whatever it does: it cannot outrun the water, and it cannot leave the circle of its line
//! about the rod ([`Reach`]). Whether a bather, a surfer or the next rod is reached is asked of the bound.
//!
//! Limits: a level bed; line that runs off the reel meanwhile lengthens the circle by as much.

use super::bits::most_stretch;
use super::grip::Grip;
use super::lie::Ask;
use super::through::Flow;
use super::waves::pulled;
use crate::Result;
use crate::facts::{Band, Known};
use crate::quantity::{Force, Length, Span, Speed};
use crate::tackle::Tables;
use crate::water::{Keep, Place, Pull, Shape};
use serde::Serialize;

/// Steps of the creep over the length of the line.
const STRIDES: f64 = 60.0;
/// Most of them.
const MOST: usize = 240;

/// Whether a load is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// The least hold bears the greatest load.
    Holds,
    /// The bands overlap.
    Doubtful,
    /// The greatest hold is below the least load, or the line streams away.
    Walks,
    /// Nobody knows the sinker.
    Unknown,
}

/// Holds the load against the hold.
pub fn answer(load: Band<Known<Force>>, grip: Option<&Grip>) -> Answer {
    let Some(grip) = grip else { return Answer::Unknown };
    let Known::Known(low) = load.low else { return Answer::Walks };
    match load.high {
        Known::Known(high) if grip.hold.low >= high => Answer::Holds,
        _ if grip.hold.high < low => Answer::Walks,
        _ => Answer::Doubtful,
    }
}

/// What lies along the beach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Zone {
    /// Bathers.
    Bathers,
    /// The next rod.
    NextRod,
}

/// Where a bait comes to rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Along the beach from where it was put, positive down-current.
    pub along: Length,
    /// How far off the beach's line through the rod it then lies.
    pub off: Length,
    /// Way it crept.
    pub way: Length,
    /// Least time that takes: as fast as the water.
    pub least: Span,
    /// Whether it came to rest; else the line pointed down-current and it still crept, or it was at the edge.
    pub rests: bool,
}

/// How far it may get by the end of the soak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// The circle of the line about the rod; infinite where nobody knows how much is out.
    pub circle: Length,
    /// What the water runs along the beach in the soak from when the bait may walk, down-current.
    pub water_runs: Length,
    /// The same up-current, where the current turns.
    pub water_back: Length,
    /// The smaller of circle and run, down-current.
    pub along: Length,
    /// The same up-current.
    pub back: Length,
}

impl Reach {
    /// Whether it may get to within `clear` of something this far along the beach from the rod, negative up-current.
    pub fn reaches(&self, at: Length, clear: Length) -> bool {
        let far = if at.m() < 0.0 { self.back } else { self.along };
        far + clear >= Length::of_m(at.m().abs())
    }
}

/// A bait that may walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Walked {
    /// Where it rests with the middle load and hold; nothing if it stays where it is.
    pub middle: Option<Drift>,
    /// Where it rests with the greatest load and the least hold.
    pub worst: Option<Drift>,
    /// How far it may get.
    pub reach: Reach,
}

/// What the water runs along the beach from a time to the end of the soak, each way, m.
fn runs(flows: &[Flow], from: Span) -> (f64, f64) {
    let (mut down, mut back) = (0.0, 0.0);
    for pair in flows.windows(2) {
        let [a, b] = pair else { continue };
        if b.at <= from {
            continue;
        }
        let part = ((b.at - a.at.max(from)) / (b.at - a.at)).clamp(0.0, 1.0);
        let t = (b.at - a.at).s() * part;
        // The faster of both ends all the while: a bound. Water that runs out carries along as well.
        let fast = |u: [f64; 2], v: [f64; 2]| {
            let along = u[0].max(u[1]);
            let out = v[0].abs().max(v[1].abs());
            if along > 0.0 { (along * along + out * out).sqrt() } else { 0.0 }
        };
        let (u, v) = ([a.along.mps(), b.along.mps()], [a.out.mps(), b.out.mps()]);
        down += t * fast(u, v);
        back += t * fast(u.map(|x| -x), v);
    }
    (down, back)
}

impl Ask {
    /// Where a bait ends that may walk from a time of the soak on. `line_out` is what was out when it lay, `most_out` the
    /// most that may have been: of the loudest line, or what the reel holds; unknown, the water alone bounds it. `waves` is the
    /// orbital speed that waves add, with the share the line feels.
    ///
    /// # Errors
    /// A line that cannot be asked of any current.
    pub fn walk(
        &self,
        grip: Option<&Grip>,
        (line_out, most_out): (Length, Known<Length>),
        (flows, from): (&[Flow], Span),
        waves: Option<(Speed, f64)>,
        tables: &Tables,
    ) -> Result<Walked> {
        let pull = match self.keep {
            Keep::Tension(t) => t,
            Keep::Length(_) => Force::of_n(50.0),
        };
        let most_out = most_out.get().unwrap_or(Length::of_m(f64::INFINITY));
        let circle = most_out * (1.0 + most_stretch(&self.line, tables, pull));
        let sign = if self.along.mps() < 0.0 { -1.0 } else { 1.0 };
        let turned: Vec<Flow> = flows.iter().map(|f| Flow { along: f.along * sign, ..*f }).collect();
        let (down, back) = runs(&turned, from);
        let (down, back) = (Length::of_m(down), Length::of_m(back));
        let reach = Reach {
            circle,
            water_runs: down,
            water_back: back,
            along: circle.min(down),
            back: circle.min(back),
        };
        let drift = |which: usize, hold: Force| self.creep(which, hold, line_out, waves, tables).transpose();
        let (middle, worst) = match grip {
            Some(g) => (drift(1, g.hold.central).transpose()?, drift(2, g.hold.low).transpose()?),
            None => (None, None),
        };
        Ok(Walked { middle, worst, reach })
    }

    /// Creeps with the pull until it is held; nothing if it is held where it lies.
    fn creep(
        &self,
        which: usize,
        hold: Force,
        line_out: Length,
        waves: Option<(Speed, f64)>,
        tables: &Tables,
    ) -> Result<Option<Drift>> {
        let locked = Self { keep: Keep::Length(line_out), ..self.clone() };
        let mut soak = locked.soak(tables, which)?;
        let stream = locked.stream(locked.along, locked.out)?;
        let start = soak.bait;
        let stride_m = line_out.m() / STRIDES;
        let (mut at, mut way_m, mut rests) = ([start.x.m(), start.y.m()], 0.0, false);
        let mut near: Option<Shape> = None;
        for _ in 0..MOST {
            soak.bait = Place::new(Length::of_m(at[0]), Length::of_m(at[1]), start.z);
            let Ok(load) = soak.load_near(&stream, near.as_ref()) else { break };
            let steady =
                Pull { x: load.line.at_a.x + load.bait.x, y: load.line.at_a.y + load.bait.y, z: Force::ZERO };
            let under = match waves {
                Some(w) => pulled(&locked, &soak, Some(&load.line), w)?.map(|(_, pull)| pull),
                None => None,
            };
            // It moves by the greater of the two: at a wave's peak, or between two of them.
            let pull = under.filter(|u| u.size() > steady.size()).unwrap_or(steady);
            if pull.size() <= hold {
                rests = true;
                break;
            }
            let (fx, fy, size) = (pull.x.n(), pull.y.n(), pull.size().n());
            at = [at[0] + stride_m * fx / size, at[1] + stride_m * fy / size];
            way_m += stride_m;
            near = Some(load.line);
            // On the beach itself, or under the rod.
            if at[0] <= 0.02 * line_out.m() {
                break;
            }
        }
        if way_m == 0.0 {
            return Ok(None);
        }
        let (along, out) = (self.along.mps(), self.out.mps());
        let speed = (along * along + out * out).sqrt().max(1e-3);
        Ok(Some(Drift {
            along: Length::of_m((at[1] - start.y.m()) * if along < 0.0 { -1.0 } else { 1.0 }),
            off: Length::of_m(at[0].max(0.0)),
            way: Length::of_m(way_m),
            least: Span::of_s(way_m / speed),
            rests,
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::super::lie::tests::{ask, tables};
    use super::super::pack::tests::shipped;
    use super::super::through::steady;
    use super::super::{Sinker, SinkerSet};
    use super::*;
    use crate::tackle::Material;
    use proptest::prelude::*;

    fn pulled(n: f64) -> Grip {
        let sinker = Sinker { pull_test: Known::Known(Force::of_n(n)), ..Sinker::default() };
        sinker.grip(Force::ZERO, &shipped()).get().unwrap()
    }

    fn walked(a: &Ask, grip: Option<&Grip>, hours: f64) -> Walked {
        let out = a.lie(&tables()).unwrap().central().unwrap().line_out;
        let flows = steady(a.along, a.out, Span::of_h(hours)).unwrap();
        a.walk(grip, (out, Known::Known(out)), (&flows, Span::ZERO), None, &tables()).unwrap()
    }

    #[test]
    fn the_answer_is_of_bands() {
        let k = |n: f64| Known::Known(Force::of_n(n));
        let grip = Grip {
            hold: Band { low: Force::of_n(8.0), central: Force::of_n(10.0), high: Force::of_n(15.0) },
            ..pulled(10.0)
        };
        let of = |l, c, h| answer(Band { low: l, central: c, high: h }, Some(&grip));
        assert_eq!(of(k(5.0), k(6.0), k(7.9)), Answer::Holds);
        assert_eq!(of(k(5.0), k(6.0), k(9.0)), Answer::Doubtful);
        assert_eq!(of(k(16.0), k(17.0), k(18.0)), Answer::Walks);
        assert_eq!(of(k(14.0), Known::Unknown, Known::Unknown), Answer::Doubtful);
        assert_eq!(of(Known::Unknown, Known::Unknown, Known::Unknown), Answer::Walks);
        assert_eq!(answer(Band { low: k(1.0), central: k(1.0), high: k(1.0) }, None), Answer::Unknown);
    }

    /// Three hundred yards of 0.9 mm in half a metre a second on a well set sinker: it goes far down-current, and rests
    /// where line and bait pull no more than the sand holds.
    #[test]
    fn a_thick_line_walks_its_bait_down_the_beach() {
        let a = ask(274.0, 0.9, Material::Nylon, 0.5, 25.0);
        let sinker =
            Sinker { wires: Known::Known(4), set: Known::Known(SinkerSet::Well), ..Sinker::default() };
        let grip = sinker.grip(Force::ZERO, &shipped()).get().unwrap();
        let w = walked(&a, Some(&grip), 4.0);
        let rest = w.middle.unwrap();
        assert!(rest.rests && rest.along.m() > 50.0 && rest.off < a.distance, "{rest:?}");
        // The line was out 354 m (nylon stretches a little): no further than that.
        assert!(w.reach.circle.m() > 345.0 && w.reach.circle.m() < 360.0, "{:?}", w.reach);
        assert!(rest.along <= w.reach.circle && rest.way >= rest.along);
        assert!(w.reach.reaches(Length::of_m(300.0), Length::ZERO));
        assert!(!w.reach.reaches(Length::of_m(500.0), Length::ZERO));
        assert!(w.reach.reaches(Length::of_m(500.0), Length::of_m(300.0)), "within 300 m of it");
        assert!(!w.reach.reaches(Length::of_m(-10.0), Length::ZERO), "nothing runs back");
        // A soak of five minutes carries it no further than the water runs.
        let brief = walked(&a, Some(&grip), 5.0 / 60.0).reach;
        assert!((brief.along.m() - 150.0).abs() < 1e-6, "{brief:?}");
        let west = Ask { along: Speed::of_mps(-0.5), ..a };
        assert!((walked(&west, Some(&grip), 4.0).middle.unwrap().along / rest.along - 1.0).abs() < 1e-3);
    }

    #[test]
    fn what_holds_stays_and_an_unknown_sinker_has_its_bound() {
        let a = ask(150.0, 0.4, Material::HmpeBraid, 0.1, 4.0);
        let w = walked(&a, Some(&pulled(40.0)), 2.0);
        assert_eq!((w.middle, w.worst), (None, None));
        let nobody = walked(&a, None, 2.0);
        assert!(nobody.reach.along.m() > 100.0 && nobody.middle.is_none());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(8))]
        /// A longer soak never shortens the walk; more hold never lengthens the creep.
        #[test]
        fn longer_soaks_and_weaker_holds_go_further(
            b in 80.0..220.0f64, u in 0.2..0.5f64, n in 6.0..18.0f64, more in 1.05..1.8f64, hours in 0.2..5.0f64,
        ) {
            let a = ask(b, 0.7, Material::Nylon, u, 22.0);
            let (short, long) = (walked(&a, Some(&pulled(n)), hours), walked(&a, Some(&pulled(n)), hours * more));
            prop_assert!(long.reach.along >= short.reach.along);
            let strong = walked(&a, Some(&pulled(n * more)), hours);
            let way = |w: &Walked| w.middle.map_or(0.0, |d| d.way.m());
            prop_assert!(way(&strong) <= way(&short) + 1e-6);
        }
    }
}
