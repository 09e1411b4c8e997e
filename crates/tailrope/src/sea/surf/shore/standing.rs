//! How deep each of a crew may stand.

use super::super::pack::{StandingRows, SurfPack};
use super::super::swell::Swell;
use super::super::wading::{Footing, Governs, Standing, Wash};
use super::{Handler, Shore};
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Angle, Length, Span, Speed};
use serde::Serialize;

/// The deepest still water in which somebody may stand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Deepest {
    /// By the rule: half the highest local wave on top of the still depth, currents and orbital speed added up.
    pub depth: Length,
    /// When the highest wave comes as a bore: its whole height, and the water behind it. Here the feet go.
    pub in_a_bore: Length,
    /// What governs the first: the knee, the flow, or the speed alone.
    pub governs: Governs,
}

/// Standing at one still-water depth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct StandAt {
    /// Still-water depth.
    pub still: Length,
    /// Depth met: half the highest local wave on top; of an unknown sea none.
    pub depth: Length,
    /// Speed met: currents and orbital speed added up; of an unknown sea the currents alone.
    pub speed: Speed,
    /// The speed that this person bears in that depth.
    pub bears: Speed,
    /// Flow and limit.
    pub standing: Standing,
}

/// What one person may do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stander {
    /// As the crew calls them.
    pub name: String,
    /// Footing taken: poor when it is dark or nobody said.
    pub footing: Footing,
    /// Depth times speed borne, m2/s: the smaller of Karvonen's line and the flood guide's.
    pub limit_m2_s: Figure<f64>,
    /// Karvonen's line alone, m2/s.
    pub karvonen_m2_s: f64,
    /// Height of the knee: the deepest still water whatever the flow.
    pub knee: Length,
    /// How deep; not known while the waves are not.
    pub deepest: Known<Deepest>,
    /// At the depths asked about.
    pub at: Vec<StandAt>,
}

impl Shore {
    /// Footing of a handler: never good with a leader in the hand; poor in the dark and when nobody said.
    pub(super) fn footing(&self) -> Footing {
        if self.dark == Known::Known(false) { Footing::Normal } else { Footing::Poor }
    }

    pub(super) fn standers(&self, pack: &SurfPack, along: Band<Speed>, out: Band<Speed>) -> Vec<Stander> {
        let wash = |swell: Swell| Wash { swell, slope: self.steeper(), along: along.high, out: out.high };
        let candidates: Vec<Wash> = self.sea.candidates().into_iter().map(wash).collect();
        let known = !candidates.is_empty();
        let washes = if known { candidates } else { flat().map(wash).collect() };
        self.handlers.iter().map(|h| self.stander(h, &washes, known, &pack.standing)).collect()
    }

    fn stander(&self, h: &Handler, washes: &[Wash], known: bool, rows: &StandingRows) -> Stander {
        let footing = self.footing();
        let limit = h.body.limit_m2_s(footing, rows);
        let knee = h.body.knee(rows);
        let least = |f: &dyn Fn(&Wash) -> Length| washes.iter().map(f).reduce(Length::min);
        let depth = least(&|w| w.deepest(h.body, footing, rows));
        let bore = least(&|w| w.deepest_in_a_bore(h.body, footing, rows));
        let deepest = match (depth, bore) {
            (Some(depth), Some(bore)) if known => {
                let too_fast = washes.iter().any(|w| {
                    let (d, v) = w.at(depth + Length::of_mm(1.0), rows);
                    v > rows.fastest.value && d.m() * v.mps() <= limit
                });
                let governs = if depth >= knee {
                    Governs::Knee
                } else if too_fast {
                    Governs::Speed
                } else {
                    Governs::Flow
                };
                Known::Known(Deepest { depth, in_a_bore: bore.min(depth), governs })
            }
            _ => Known::Unknown,
        };
        let at = self
            .depths
            .iter()
            .filter_map(|still| {
                // The worst of the trains.
                let met = washes.iter().map(|w| w.at(*still, rows));
                let (depth, speed) =
                    met.max_by(|a, b| (a.0.m() * a.1.mps()).total_cmp(&(b.0.m() * b.1.mps())))?;
                let mut standing = h.body.standing(depth, speed, footing, rows);
                // The knee counts in still water; waves on top are in the flow.
                let flow =
                    if standing.flow_m2_s <= standing.limit_m2_s { Governs::Nothing } else { Governs::Flow };
                standing.governs = match () {
                    () if *still > knee => Governs::Knee,
                    () if flow == Governs::Nothing && speed > rows.fastest.value => Governs::Speed,
                    () => flow,
                };
                let bears = Speed::of_mps(limit / depth.m().max(1e-6)).min(rows.fastest.value);
                Some(StandAt { still: *still, depth, speed, bears, standing })
            })
            .collect();
        Stander {
            name: h.name.clone(),
            footing,
            limit_m2_s: Figure::new(
                limit,
                Grade::Recalled,
                "Karvonen 2000 and the flood guide (Cox 2010), the smaller; steady flow on hard beds: optimistic",
            ),
            karvonen_m2_s: h.body.karvonen_m2_s(footing),
            knee,
            deepest,
            at,
        }
    }
}

/// A flat sea, for what can be said before any wave.
fn flat() -> impl Iterator<Item = Swell> {
    Swell::new(Length::ZERO, Span::of_s(10.0), Angle::ZERO).into_iter()
}
