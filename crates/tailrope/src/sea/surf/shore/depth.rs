//! Waves and moving water at the depths asked about: where a hand stands, where a bait lies.

use super::super::breaker::{MCCOWAN, Rule, breaking};
use super::super::current::{Bore, bore, undertow};
use super::super::linear::Linear;
use super::super::pack::SurfPack;
use super::super::random::{Local, local_waves};
use super::super::soak::{BedWaves, bed_waves, mean_signed_square, peak_speed};
use super::super::swell::Swell;
use super::Shore;
use crate::Result;
use crate::facts::{Band, Figure, Grade, Known};
use crate::quantity::{Angle, Length, Quantity, Span, Speed};
use core::f64::consts::SQRT_2;
use serde::Serialize;

/// Linear theory understates the forward peak of steep waves by 20 to 50 %: the upper end.
const STEEP: f64 = 1.5;

/// Waves and water at one still-water depth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AtDepth {
    /// Still-water depth.
    pub depth: Length,
    /// Whether waves of the sea's height break here or farther out.
    pub inside_the_break: bool,
    /// Significant height.
    pub significant: Figure<Band<Length>>,
    /// Highest (mean of one in 250).
    pub highest: Figure<Band<Length>>,
    /// Largest speed to and fro at the bed under the highest wave; the high end near the break, where linear theory
    /// understates it.
    pub orbital: Figure<Band<Speed>>,
    /// Return current near the bed, out to sea.
    pub undertow: Figure<Band<Speed>>,
    /// Inside the break: a broken significant wave running in.
    pub bore: Option<Bore>,
    /// What a bait must hold against there, if a soak was said.
    pub hold: Known<Hold>,
}

/// Water speeds to design a bait's hold with.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hold {
    /// Soak.
    pub soak: Span,
    /// Current taken: the high end of the one along the beach.
    pub current: Speed,
    /// Wave speeds at the bed.
    pub bed: BedWaves,
    /// Angle between the waves' way there and the beach.
    pub waves_to_current: Angle,
    /// *Will the sinker hold?* Peak under the highest wave of the soak.
    pub hold: Speed,
    /// *Will it creep?* Peak under the mean of the highest tenth.
    pub creep: Speed,
    /// *How hard does the line belly?* Mean of V|V|, m2/s2: low the current alone, central waves square to it, high
    /// waves along it.
    pub belly_m2_s2: Band<f64>,
    /// The steady current that bellies the line as much as the centre of that.
    pub belly_as: Speed,
}

impl Shore {
    pub(super) fn at_depths(&self, pack: &SurfPack, along: Band<Speed>) -> Result<Vec<AtDepth>> {
        let candidates = self.sea.candidates();
        if candidates.is_empty() {
            return Ok(Vec::new());
        }
        self.depths.iter().map(|d| self.at_depth(*d, &candidates, pack, along)).collect()
    }

    fn at_depth(
        &self,
        depth: Length,
        candidates: &[Swell],
        pack: &SurfPack,
        along: Band<Speed>,
    ) -> Result<AtDepth> {
        depth.within("the depth asked about", Length::of_cm(1.0), Length::of_m(200.0))?;
        let slope = self.steeper();
        let locals: Vec<(Swell, Local)> =
            candidates.iter().map(|s| (*s, local_waves(*s, depth, slope))).collect();
        let most = |f: &dyn Fn(&(Swell, Local)) -> f64| locals.iter().map(f).fold(0.0, f64::max);
        let breaks_at = most(&|(s, _)| breaking(*s, Rule::Fixed(MCCOWAN)).depth.m());
        let inside = depth.m() <= breaks_at;
        let significant = most(&|(_, l)| l.significant.m());
        let highest = most(&|(_, l)| l.maximum.m());
        let error = pack.waves.local_error.value;
        let heights = |x: f64| {
            let band = Band { low: x * (1.0 - error), central: x, high: x * (1.0 + error) };
            Figure::new(band.map(Length::of_m), Grade::Recalled, "Goda 1975, 2000; band: judgement")
        };
        let orbital =
            most(&|(s, l)| Linear::solve(s.period().s(), depth.m()).orbital(l.maximum, Length::ZERO).mps());
        let steep = if depth.m() < 1.5 * breaks_at { STEEP } else { 1.0 };
        let share = if inside { 1.0 } else { 0.0 };
        let mut out = [0.0_f64; 2];
        for (s, l) in &locals {
            let rms = (l.significant / SQRT_2).min(Length::of_m(20.0));
            for (i, broken) in [0.0, share].into_iter().enumerate() {
                out[i] = out[i].max(-undertow(rms, s.period(), depth, broken)?.current.mps());
            }
        }
        Ok(AtDepth {
            depth,
            inside_the_break: inside,
            significant: heights(significant),
            highest: heights(highest),
            orbital: Figure::new(
                Band { low: orbital, central: orbital, high: orbital * steep }.map(Speed::of_mps),
                Grade::Recalled,
                "linear waves; steep waves push 20 to 50 % harder",
            ),
            undertow: Figure::new(
                Band {
                    low: out[0],
                    central: out[1],
                    high: out[1].max(pack.unknown.undertow.value.high.mps()),
                }
                .map(Speed::of_mps),
                Grade::Recalled,
                "volume balance, roller of Svendsen 1984; high: what is usual",
            ),
            bore: inside.then(|| bore(Length::of_m(significant), depth)),
            hold: match self.soak {
                Known::Known(soak) => Known::Known(hold(depth, soak, candidates, pack, along)?),
                Known::Unknown => Known::Unknown,
            },
        })
    }
}

fn hold(
    depth: Length,
    soak: Span,
    candidates: &[Swell],
    pack: &SurfPack,
    along: Band<Speed>,
) -> Result<Hold> {
    let current = along.high;
    let mut worst: Option<Hold> = None;
    for swell in candidates {
        let bed = bed_waves(*swell, depth, soak, &pack.bait)?;
        let turned = Linear::solve(swell.period().s(), depth.m()).refracted(swell.off_normal());
        // The current runs along the beach, the waves come in across it.
        let between = Angle::of_deg(90.0 - turned.deg().abs());
        let (u, a) = (current.mps().abs(), bed.significant.mps());
        let square_on = u * (u * u + a * a / 2.0).sqrt();
        let in_line = mean_signed_square(Speed::of_mps(u), bed.significant);
        let one = Hold {
            soak,
            current,
            bed,
            waves_to_current: between,
            hold: peak_speed(current, bed.hold, between),
            creep: peak_speed(current, bed.creep, between),
            belly_m2_s2: Band { low: u * u, central: square_on, high: in_line.max(square_on) },
            belly_as: Speed::of_mps(square_on.sqrt()),
        };
        if worst.as_ref().is_none_or(|w| one.hold > w.hold) {
            worst = Some(one);
        }
    }
    worst.ok_or_else(|| {
        crate::Error::new("the sea is unknown", "one train of waves", "give height and period")
    })
}
