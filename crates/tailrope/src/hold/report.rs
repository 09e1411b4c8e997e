//! The whole answer of one soak: how the line lies, whether the sinker holds it, what would, where a bait goes that walks.
//!
//! One place where the parts meet, for every face alike. The answer is of bands: *holds* only if the least hold bears the
//! greatest load of the whole soak, waves and loudest line counted.

use super::grip::{Grip, Sinker};
use super::lie::{Ask, Lying, WalkAt};
use super::need::Needs;
use super::pack::HoldPack;
use super::through::{Flow, Through, steady, through, worse};
use super::walk::{Answer, Walked, answer};
use super::waves::{UnderWaves, Waves};
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
    /// The current through the soak; nothing if it stays as asked.
    pub flows: Option<Vec<Flow>>,
    /// How long the bait lies.
    pub soak: Known<Span>,
    /// All line on the reel: no bait walks further.
    pub line_on_reel: Known<Length>,
    /// Nearest bathers along the beach from the rod, positive down-current.
    pub bathers_at: Known<Length>,
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
    /// Whether it may get to the bathers.
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
        let answer = answer(load, grip);
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
                let from = through.as_ref().and_then(|t| t.walks_from.0).unwrap_or(Span::ZERO);
                Some(ask.walk(grip, (held.line_out, self.most_out(&lying)), &flows, from, tables)?)
            }
        };
        let reaches = |at: Known<Length>| match (at, &walked) {
            (Known::Known(at), Some(w)) => Known::Known(w.reach.reaches(at)),
            (Known::Known(_), None) => Known::Known(false),
            (Known::Unknown, _) => Known::Unknown,
        };
        let needs = ask.needs(load, uplift, grip.map(|g| g.hold.low), tables, packs.hold)?;
        Ok(Report {
            reaches_bathers: reaches(self.bathers_at),
            reaches_next_rod: reaches(self.next_rod_at),
            lifted: grip.is_some_and(|g| g.wet_weight.get().is_some_and(|w| uplift > w)),
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
            flows: None,
            soak: Known::Known(Span::of_h(3.0)),
            line_on_reel: Known::Unknown,
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
}
