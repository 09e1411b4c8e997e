//! The whole answer of one soak: how the line lies, whether the sinker holds it, what would, where a bait goes that walks.
//!
//! One place where the parts meet, for every face alike. The answer is of bands: *holds* only if the least hold bears the
//! greatest load of the whole soak, waves and loudest line counted.

use super::doubt::Doubt;
use super::grip::{Grip, Sinker};
use super::lie::{Ask, Lying, WalkAt};
use super::need::Needs;
use super::pack::HoldPack;
use super::through::{Flow, Through, steady, through, worse};
use super::walk::{Answer, Walked, answer};
use super::waves::{Bed, UnderWaves, Waves, inside_the_break};
use crate::Result;
use crate::facts::{Band, Known};
use crate::quantity::{Force, Length, Span, Speed};
use crate::sea::surf;
use crate::tackle::Tables;

/// Soak for which a bait of unknown soak is followed: beyond it the circle of the line bounds every walk.
const LONG: Span = Span::of_h(12.0);

/// One soak.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Line, bait and the strongest current of the soak.
    pub ask: Ask,
    /// The sinker.
    pub sinker: Sinker,
    /// Waves, where they are to be reckoned with; the depth at the bait must then be known.
    pub waves: Option<Waves>,
    /// Whether waves run of which height, period or the depth at the bait is not known: then nothing surely holds.
    pub waves_unknown: bool,
    /// The current through the soak; nothing if it stays as asked.
    pub flows: Option<Vec<Flow>>,
    /// How long the bait lies.
    pub soak: Known<Span>,
    /// All line on the reel: no bait walks further.
    pub line_on_reel: Known<Length>,
    /// Nearest bathers along the beach from the rod, positive down-current.
    pub bathers_at: Known<Length>,
    /// Whether nobody said on which side they are: then either counts.
    pub either_side: bool,
    /// How far from bathers a bait must stay.
    pub clear: Length,
    /// The next rod, counted the same way.
    pub next_rod_at: Known<Length>,
}

/// The packs it is answered from.
#[derive(Clone, Copy, Debug)]
pub struct Packs<'a> {
    /// Materials.
    pub tackle: &'a Tables,
    /// Sinkers, baits, bed.
    pub hold: &'a HoldPack,
    /// Waves at the bed.
    pub surf: &'a surf::BaitRows,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// How the line lies in the strongest current.
    pub lying: Lying,
    /// What waves add.
    pub waves: Option<UnderWaves>,
    /// Greatest load of the soak: of the current alone, or with the waves' peak.
    pub load: Band<Known<Force>>,
    /// What the sinker holds.
    pub grip: Known<Grip>,
    /// Whether it holds to the end of the soak.
    pub answer: Answer,
    /// Why a hold is not to be believed, whatever the numbers.
    pub doubts: Vec<Doubt>,
    /// Hold over load: least over greatest, middle over middle, greatest over least.
    pub margin: Band<Known<f64>>,
    /// Whether the line lifts the sinker: pulls up by more than its weight in the water.
    pub lifted: bool,
    /// Current at which it walks without waves: at the worst of the bands, in the middle, at the best.
    pub walks_at: Option<[WalkAt; 3]>,
    /// Through the soak, where the current changes.
    pub through: Option<Through>,
    /// Where it goes if it walks; nothing where it holds.
    pub walked: Option<Walked>,
    /// Whether bathers are, or the bait may get, nearer than [`Question::clear`] to one another along the beach.
    pub reaches_bathers: Known<bool>,
    /// Whether it may get to the next rod.
    pub reaches_next_rod: Known<bool>,
    /// What would hold.
    pub needs: Needs,
}

impl Question {
    /// Answers.
    ///
    /// # Errors
    /// What no line, beach or soak is; a line that streams away even if it does not strum; waves without a depth.
    pub fn report(&self, packs: Packs<'_>) -> Result<Report> {
        let (ask, tables) = (&self.ask, packs.tackle);
        let lying = ask.lie(tables)?;
        let uplift =
            lying.held.iter().filter_map(Known::as_ref).map(|h| h.uplift).fold(Force::ZERO, Force::max);
        let grip = self.sinker.grip(uplift, packs.hold);
        let grip = grip.as_ref();
        let (waves, shoreward) = match &self.waves {
            Some(w) => {
                let under = ask.under_waves(w, &lying, tables, packs.hold, packs.surf)?;
                let add = (under.speeds.hold, under.line_share);
                (Some(under), Some(add))
            }
            None => (None, None),
        };
        let through = match &self.flows {
            Some(flows) => Some(through(ask, flows, grip, shoreward, tables)?),
            None => None,
        };
        let now = waves.as_ref().map_or_else(|| lying.load(), |w| w.peak);
        let load = through
            .as_ref()
            .into_iter()
            .flat_map(|t| t.steps.iter())
            .fold(now, |worst, step| worse(worst, step.load));
        let lifted = grip.is_some_and(|g| g.wet_weight.get().is_some_and(|w| uplift > w));
        let doubts = self.doubts(waves.as_ref(), grip, lifted);
        let answer = match answer(load, grip) {
            Answer::Holds if !doubts.is_empty() => Answer::Doubtful,
            other => other,
        };
        let margin = margin(load, grip);
        let walks_at = match grip {
            Some(g) => Some([
                ask.walks_at(tables, 2, g.hold.low)?,
                ask.walks_at(tables, 1, g.hold.central)?,
                ask.walks_at(tables, 0, g.hold.high)?,
            ]),
            None => None,
        };
        let walked = match (answer, lying.central()) {
            (Answer::Holds, _) | (_, None) => None,
            (_, Some(held)) => {
                let flows = match &self.flows {
                    Some(flows) => flows.clone(),
                    None => steady(ask.along, ask.out, self.soak.get().unwrap_or(LONG))?,
                };
                // What is in doubt may walk from the first minute.
                let later = through.as_ref().filter(|_| doubts.is_empty()).and_then(|t| t.walks_from.0);
                let from = later.unwrap_or(Span::ZERO);
                let outs = (held.line_out, self.most_out(&lying));
                Some(ask.walk(grip, outs, (&flows, from), shoreward, tables)?)
            }
        };
        let reaches = |at: Known<Length>, clear: Length, either: bool| -> Known<bool> {
            let near = |at: Length| match &walked {
                Some(w) => w.reach.reaches(at, clear),
                // It stays off the rod.
                None => Length::of_m(at.m().abs()) <= clear,
            };
            at.get().map(|at| near(at) || (either && near(at * -1.0))).into()
        };
        let held_at_least = grip.map(|g| g.hold.low);
        let needs = ask.needs(load, uplift, (held_at_least, shoreward), tables, packs.hold)?;
        Ok(Report {
            reaches_bathers: reaches(self.bathers_at, self.clear, self.either_side),
            reaches_next_rod: match &walked {
                Some(_) => reaches(self.next_rod_at, Length::ZERO, false),
                None => self.next_rod_at.get().map(|_| false).into(),
            },
            lifted,
            doubts,
            grip: grip.copied().into(),
            lying,
            waves,
            load,
            answer,
            margin,
            walks_at,
            through,
            walked,
            needs,
        })
    }

    /// Why a hold is not to be believed.
    fn doubts(&self, waves: Option<&UnderWaves>, grip: Option<&Grip>, lifted: bool) -> Vec<Doubt> {
        let inside =
            self.waves.zip(self.ask.depth.get()).is_some_and(|(w, depth)| inside_the_break(depth, w.swell));
        let all = [
            (Doubt::Waves, self.waves_unknown),
            (Doubt::Lift, grip.is_some_and(|g| g.wet_weight.is_unknown())),
            (Doubt::Lifted, lifted),
            (Doubt::InsideTheBreak, inside),
            (Doubt::Sheet, waves.is_some_and(|w| w.bed == Bed::Sheet)),
        ];
        all.into_iter().filter(|(_, there)| *there).map(|(doubt, _)| doubt).collect()
    }

    /// The most line that may be out: that of the loudest line, and no more than the reel holds.
    fn most_out(&self, lying: &Lying) -> Known<Length> {
        let outs: Vec<Length> = lying.held.iter().filter_map(Known::as_ref).map(|h| h.line_out).collect();
        // A line that streams away takes all that the reel gives.
        let bounded = outs.len() == lying.held.len();
        let most = outs.into_iter().reduce(Length::max).filter(|_| bounded);
        match (most, self.line_on_reel.get()) {
            (Some(out), Some(reel)) => Known::Known(out.min(reel)),
            (one, other) => one.or(other).into(),
        }
    }

    /// The strongest current of a run of them: what the line is drawn and asked for.
    pub fn strongest(flows: &[Flow]) -> (Speed, Speed) {
        let size = |f: &&Flow| {
            let (a, o) = (f.along.mps(), f.out.mps());
            a * a + o * o
        };
        let most = flows.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
        most.map_or((Speed::ZERO, Speed::ZERO), |f| (f.along, f.out))
    }
}

fn margin(load: Band<Known<Force>>, grip: Option<&Grip>) -> Band<Known<f64>> {
    let over = |hold: Option<Force>, load: Known<Force>| -> Known<f64> {
        match (hold, load) {
            (Some(h), Known::Known(l)) if l > Force::ZERO => Known::Known(h / l),
            _ => Known::Unknown,
        }
    };
    Band {
        low: over(grip.map(|g| g.hold.low), load.high),
        central: over(grip.map(|g| g.hold.central), load.central),
        high: over(grip.map(|g| g.hold.high), load.low),
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::lie::tests::{ask, tables};
    use super::super::pack::tests::shipped;
    use super::super::{BaitLies, SinkerSet, Typed};
    use super::*;
    use crate::facts::PackText;
    use crate::quantity::Mass;
    use crate::sea::surf::{SurfPack, Swell};
    use crate::tackle::Material;
    use crate::water::Keep;

    pub fn answered(q: &Question) -> Report {
        let surf = PackText::new("surf.toml", include_str!("../../../../data/surf.toml"));
        let surf = SurfPack::read(&surf).unwrap().bait;
        q.report(Packs { tackle: &tables(), hold: &shipped(), surf: &surf }).unwrap()
    }

    /// Five ounces on wires, 150 m of thin braid, half a metre a second.
    pub fn five_ounces(t: f64) -> Question {
        let mut ask = ask(150.0, 0.40, Material::HmpeBraid, 0.5, t);
        ask.bait.lies = BaitLies::NoseOn;
        Question {
            ask,
            sinker: Sinker {
                mass: Known::Known(Mass::of_g(141.7)),
                wires: Known::Known(4),
                set: Known::Known(SinkerSet::Well),
                pull_test: Known::Unknown,
            },
            waves: None,
            waves_unknown: false,
            flows: None,
            soak: Known::Known(Span::of_h(3.0)),
            line_on_reel: Known::Unknown,
            either_side: false,
            clear: Length::of_m(300.0),
            bathers_at: Known::Known(Length::of_m(120.0)),
            next_rod_at: Known::Known(Length::of_m(-40.0)),
        }
    }

    #[test]
    fn twenty_newtons_walk_and_ten_hold_only_when_well_buried() {
        let r = answered(&five_ounces(20.0));
        assert_eq!(r.answer, Answer::Walks);
        assert_eq!(r.walks_at.unwrap()[1], WalkAt::Already, "the rod alone pulls it");
        assert!(r.needs.ease.get().unwrap().tension < Force::of_n(13.0));
        assert_eq!(r.reaches_next_rod, Known::Known(false));
        let eased = answered(&five_ounces(9.4));
        assert_ne!(eased.answer, Answer::Walks);
        assert!(eased.margin.low.get().unwrap() < eased.margin.high.get().unwrap());
        let mut half = five_ounces(10.0);
        half.sinker.set = Known::Known(SinkerSet::Half);
        assert_eq!(answered(&half).answer, Answer::Walks);
        half.sinker = Sinker::default();
        let nobody = answered(&half);
        assert_eq!(nobody.answer, Answer::Unknown);
        assert!(nobody.walked.is_some(), "an unknown sinker may walk");
    }

    #[test]
    fn waves_and_tide_count_in_the_load_of_the_soak() {
        let mut q = five_ounces(9.0);
        q.ask.depth = Known::Known(Length::of_m(5.0));
        let calm = answered(&q);
        let swell = Swell::square_on(Length::of_m(0.8), Span::of_s(8.0)).unwrap();
        q.waves = Some(Waves { swell, soak: Span::of_h(3.0) });
        q.ask.bait.lies = BaitLies::Broadside;
        let rough = answered(&q);
        assert!(rough.load.low.get() > calm.load.low.get());
        assert!(rough.answer >= calm.answer);
        let run: Typed = "0h:0.1m/s,3h:0.3m/s".parse().unwrap();
        q.flows = Some(run.over(Span::of_h(3.0)).unwrap());
        (q.ask.along, q.ask.out) = Question::strongest(q.flows.as_ref().unwrap());
        assert!((q.ask.along.mps() - 0.3).abs() < 1e-12);
        let tide = answered(&q);
        assert!(tide.through.is_some() && tide.load.low.get() < rough.load.low.get());
    }

    /// Nothing holds for sure of which waves, weight or bed are not known, or known to be bad.
    #[test]
    fn doubts_keep_it_from_holding() {
        let strong = |mass: Option<f64>| {
            let mut q = five_ounces(9.0);
            q.sinker.pull_test = Known::Known(Force::of_n(100.0));
            q.sinker.mass = mass.map(Mass::of_g).into();
            q
        };
        let of = |q: &Question| {
            let r = answered(q);
            (r.answer, r.doubts)
        };
        assert_eq!(of(&strong(Some(141.7))), (Answer::Holds, vec![]));
        assert_eq!(of(&strong(None)), (Answer::Doubtful, vec![Doubt::Lift]));
        let unknown = Question { waves_unknown: true, ..strong(Some(141.7)) };
        assert_eq!(of(&unknown), (Answer::Doubtful, vec![Doubt::Waves]));
        // A steep line on a light sinker.
        let mut steep = strong(Some(141.0));
        steep.ask = ask(15.0, 0.4, Material::HmpeBraid, 0.1, 20.0);
        (steep.ask.depth, steep.ask.tip) = (Known::Known(Length::of_m(5.0)), Known::Known(Length::of_m(5.0)));
        assert_eq!(of(&steep), (Answer::Doubtful, vec![Doubt::Lifted]));
        // A metre of water under waves that break in two.
        let mut shallow = strong(Some(141.7));
        shallow.ask.depth = Known::Known(Length::of_m(1.0));
        let swell = Swell::square_on(Length::of_m(1.5), Span::of_s(8.0)).unwrap();
        shallow.waves = Some(Waves { swell, soak: Span::of_h(3.0) });
        let (answer, doubts) = of(&shallow);
        assert_eq!(answer, Answer::Doubtful);
        assert!(doubts.contains(&Doubt::InsideTheBreak), "{doubts:?}");
    }

    /// What it says to ease to holds when asked again, waves and all, and a walking bait is followed under them.
    #[test]
    fn eased_as_told_it_holds_under_the_waves() {
        let mut q = five_ounces(25.0);
        q.sinker.pull_test = Known::Known(Force::of_n(24.0));
        q.ask.along = Speed::of_mps(0.2);
        q.ask.depth = Known::Known(Length::of_m(8.0));
        let swell = Swell::square_on(Length::of_m(0.5), Span::of_s(7.0)).unwrap();
        q.waves = Some(Waves { swell, soak: Span::of_h(3.0) });
        let r = answered(&q);
        assert_ne!(r.answer, Answer::Holds);
        let ease = r.needs.ease.get().unwrap();
        let still =
            q.ask.ease_to(r.grip.get().unwrap().hold.low, Force::of_n(25.0), None, &tables()).unwrap();
        assert!(ease.tension < still.unwrap().tension, "waves take their part of the hold");
        q.ask.keep = Keep::Tension(ease.tension);
        let eased = answered(&q);
        assert!(eased.load.high.get().unwrap() <= eased.grip.get().unwrap().hold.low * 1.001);
        assert!(eased.needs.ease.is_unknown(), "what is set is not advised");
        // Held between the waves, not under them: it creeps.
        q.ask.keep = Keep::Tension(Force::of_n(19.0));
        let rough = answered(&q);
        let calm = answered(&Question { waves: None, ..q.clone() });
        let way = |r: &Report| r.walked.as_ref().and_then(|w| w.worst).map_or(0.0, |d| d.way.m());
        assert!(way(&rough) > way(&calm), "{:?} {:?}", rough.walked, calm.walked);
    }

    /// Nobody is told to be safe whom the bait lies nearer than the row asks.
    #[test]
    fn bathers_are_asked_for_with_their_distance() {
        let of = |at: f64, hold: f64, either: bool| {
            let mut q = five_ounces(9.0);
            q.sinker.pull_test = Known::Known(Force::of_n(hold));
            (q.bathers_at, q.either_side) = (Known::Known(Length::of_m(at)), either);
            answered(&q).reaches_bathers
        };
        for at in [5.0, -1.0, 300.0] {
            assert_eq!(of(at, 100.0, false), Known::Known(true), "{at}");
        }
        assert_eq!(of(301.0, 100.0, false), Known::Known(false));
        // A walking bait comes nearer down-current by as much as it may walk, and the other way where nobody says.
        assert_eq!(of(400.0, 5.0, false), Known::Known(true));
        assert_eq!(of(-400.0, 5.0, false), Known::Known(false));
        assert_eq!(of(-400.0, 5.0, true), Known::Known(true));
    }
}
