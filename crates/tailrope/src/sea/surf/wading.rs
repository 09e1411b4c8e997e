//! How deep somebody may stand in moving water.
//!
//! Depth times speed that a standing person bears: Australian Rainfall & Runoff Project 10 (Cox, Shand & Blacka
//! 2010), Karvonen et al. (2000, RESCDAM) in three grades of footing, Abt et al. (1989) for comparison; all recalled.
//! At night, one hand on a leader, sand scouring under the feet, Karvonen's *poor* holds, and never more than 0.6 m2/s
//! nor deeper than the knee. These tests were made in steady flow on hard beds: they know no impact, no floating in a
//! passing wave, no pull of a fish. Treat the result as optimistic. The guide's numbers, the knee and the inner surf
//! stand in the surf pack.

use super::current::{Bore, bore};
use super::pack::StandingRows;
use super::random::local_waves;
use super::swell::Swell;
use crate::Result;
use crate::math::{cos, exp, sin};
use crate::quantity::{Angle, Force, G_M_S2, Length, Mass, Quantity, RHO_SEA_KG_M3, Slope, Speed};
use serde::Serialize;

/// How good the footing is (Karvonen's grades).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Footing {
    /// Dark, uneven, carrying things, bad footing: every handler at night.
    #[default]
    Poor,
    /// Between.
    Normal,
    /// Daylight, even bed, hands free.
    Good,
}

/// A person who may have to stand in the water.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Wader {
    height: Length,
    mass: Mass,
}

impl Wader {
    /// Height 1.0 to 2.3 m, mass 25 to 250 kg.
    pub fn new(height: Length, mass: Mass) -> Result<Self> {
        height.within("the person's height", Length::of_m(1.0), Length::of_m(2.3))?;
        mass.within("the person's mass", Mass::of_kg(25.0), Mass::of_kg(250.0))?;
        Ok(Self { height, mass })
    }

    fn height_mass(self) -> f64 {
        self.height.m() * self.mass.kg()
    }

    /// Depth times speed that this person bears by Karvonen's line for a footing, m2/s.
    pub fn karvonen_m2_s(self, footing: Footing) -> f64 {
        let lm = self.height_mass();
        match footing {
            Footing::Poor => 0.002 * lm + 0.1,
            Footing::Normal => 0.004 * lm + 0.2,
            Footing::Good => 0.006 * lm + 0.3,
        }
    }

    /// Depth times speed at which strong young adults fell in the laboratory (Abt et al. 1989), m2/s. No limit.
    pub fn abt_m2_s(self) -> f64 {
        let e = exp(0.001906 * self.height_mass() + 1.09);
        0.0929 * e * e
    }

    /// The limit of depth times speed used: the smaller of Karvonen's and the flood guide's, m2/s. Nothing below
    /// 25 m kg, where no safe value is known.
    pub fn limit_m2_s(self, footing: Footing, rules: &StandingRows) -> f64 {
        let guide = match self.height_mass() {
            x if x > 50.0 => rules.adult_m2_s.value,
            x if x >= 25.0 => rules.light_m2_s.value,
            _ => 0.0,
        };
        self.karvonen_m2_s(footing).min(guide)
    }

    /// The deepest still water for a handler whatever the current: the knee; half a metre for a light person.
    pub fn knee(self, rules: &StandingRows) -> Length {
        let knee = self.height * rules.knee.value;
        if self.height_mass() > 50.0 { knee } else { knee.min(rules.light_depth.value) }
    }

    /// Judges standing in a depth with a speed.
    pub fn standing(self, depth: Length, speed: Speed, footing: Footing, rules: &StandingRows) -> Standing {
        let hv = depth.m().max(0.0) * speed.mps().abs();
        let limit = self.limit_m2_s(footing, rules);
        // Written so that a number that is none passes no limit silently.
        let (deep, knee) = (depth.m(), self.knee(rules).m());
        let governs = if deep.is_nan() || deep > knee {
            Governs::Knee
        } else if hv.is_nan() || hv > limit {
            Governs::Flow
        } else if speed.mps().abs() > rules.fastest.value.mps() {
            Governs::Speed
        } else {
            Governs::Nothing
        };
        Standing { flow_m2_s: hv, limit_m2_s: limit, governs }
    }

    /// Balance of forces on a standing person in a steady stream; for understanding, not a limit.
    pub fn balance(self, depth: Length, speed: Speed, bed: Bed) -> Balance {
        let (h, v) = (depth.m().max(0.0), speed.mps());
        let density = 985.0;
        let wet = (h / self.height.m()).min(1.0);
        let normal = (self.mass.kg() * G_M_S2 * (1.0 - wet * RHO_SEA_KG_M3 / density)).max(0.0);
        let drag = 0.5 * RHO_SEA_KG_M3 * 1.1 * 0.30 * h * v * v;
        // A fish's pull seaward takes from the sliding reserve, and presses the feet down a little.
        let (pull, below) = (bed.pull.n(), bed.pull_below_level.rad());
        let taken = pull * (cos(below) - bed.friction * sin(below));
        let reserve = bed.friction * normal - taken;
        let slide = if reserve > 0.0 { drag / reserve } else { f64::INFINITY };
        let topple = if normal > 0.0 { drag * h / 2.0 / (normal * 0.25) } else { f64::INFINITY };
        let at_one = |ratio: f64| {
            Speed::of_mps(if ratio > 0.0 && ratio.is_finite() { v.abs() / ratio.sqrt() } else { 0.0 })
        };
        Balance {
            normal: Force::of_n(normal),
            drag: Force::of_n(drag),
            slide_ratio: slide,
            topple_ratio: topple,
            slides_at: at_one(slide),
            topples_at: at_one(topple),
        }
    }
}

/// What a person stands on, and what pulls at them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Friction of the feet: 0.2 on sand that scours (estimate), 0.45 on a firm bed.
    pub friction: f64,
    /// Pull of a leader or rope, seaward.
    pub pull: Force,
    /// Its angle below level.
    pub pull_below_level: Angle,
}

impl Bed {
    /// Scouring beach sand, nothing pulling.
    pub const SAND: Self = Self { friction: 0.2, pull: Force::ZERO, pull_below_level: Angle::ZERO };
    /// A firm bed, nothing pulling.
    pub const FIRM: Self = Self { friction: 0.45, ..Self::SAND };
}

/// Forces on a standing person (own estimate: breadth 0.30 m, drag coefficient 1.1, foot lever 0.25 m, body
/// 985 kg/m3).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Balance {
    /// Weight on the bed.
    pub normal: Force,
    /// Push of the stream.
    pub drag: Force,
    /// Push over what friction bears; above 1 the feet slide.
    pub slide_ratio: f64,
    /// Overturning over righting moment; above 1 the person falls.
    pub topple_ratio: f64,
    /// Speed at which the feet slide in this depth.
    pub slides_at: Speed,
    /// Speed at which the person falls.
    pub topples_at: Speed,
}

/// Which limit is passed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Governs {
    /// None.
    Nothing,
    /// Depth times speed.
    Flow,
    /// The knee.
    Knee,
    /// Speed alone.
    Speed,
}

/// Whether somebody can stand there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Standing {
    /// Depth times speed, m2/s.
    pub flow_m2_s: f64,
    /// Its limit for this person, m2/s.
    pub limit_m2_s: f64,
    /// What is passed.
    pub governs: Governs,
}

impl Standing {
    /// Whether no limit is passed.
    pub fn within(&self) -> bool {
        self.governs == Governs::Nothing
    }
}

/// The moving water in which handlers stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wash {
    /// Waves offshore.
    pub swell: Swell,
    /// Slope of the bed there.
    pub slope: Slope,
    /// Current along the beach (or of a rip), at its high end.
    pub along: Speed,
    /// Current out to sea.
    pub out: Speed,
}

impl Wash {
    /// The highest wave at a still-water depth: Goda's, held to what the inner surf lets stand.
    pub fn wave(&self, still: Length, rules: &StandingRows) -> Length {
        let most = still.max(Length::ZERO) * rules.inner_surf.value;
        local_waves(self.swell, still, self.slope).maximum.min(most)
    }

    /// The broken highest wave at a still-water depth, and the depth behind its front.
    pub fn bore_at(&self, still: Length, rules: &StandingRows) -> (Bore, Length) {
        let wave = self.wave(still, rules);
        (bore(wave, still), still.max(Length::ZERO) + wave)
    }

    /// Depth and speed that a person meets at a still-water depth: half the local wave on top, and currents and
    /// orbital speed added as if they pointed one way, which is right for a limit and too high for a forecast.
    pub fn at(&self, still: Length, rules: &StandingRows) -> (Length, Speed) {
        let d = still.m().max(0.0);
        if d <= 0.0 {
            return (Length::ZERO, Speed::ZERO);
        }
        let wave = self.wave(still, rules).m();
        let orbital = wave / 2.0 * (G_M_S2 / d).sqrt();
        (Length::of_m(d + wave / 2.0), self.currents() + Speed::of_mps(orbital))
    }

    /// The deepest still water in which this person may stand as a handler: the smaller of the knee and the depth
    /// at which the limit of depth times speed is reached. In broken surf that is often mid-shin.
    pub fn deepest(&self, who: Wader, footing: Footing, rules: &StandingRows) -> Length {
        deepest_by(who, footing, rules, |d| self.at(d, rules))
    }

    /// The same when the highest wave comes as a bore, with its whole height on top and the speed of the water behind
    /// it: what [`Wash::deepest`] leaves out. Standing deeper means that a broken set wave can take the feet away.
    pub fn deepest_in_a_bore(&self, who: Wader, footing: Footing, rules: &StandingRows) -> Length {
        deepest_by(who, footing, rules, |d| {
            let (bore, depth) = self.bore_at(d, rules);
            (depth, self.currents() + bore.behind)
        })
    }

    fn currents(&self) -> Speed {
        Speed::of_mps(self.along.mps().abs() + self.out.mps().abs())
    }
}

fn deepest_by(
    who: Wader,
    footing: Footing,
    rules: &StandingRows,
    met: impl Fn(Length) -> (Length, Speed),
) -> Length {
    let limit = who.limit_m2_s(footing, rules);
    let bears = |d: f64| {
        let (h, v) = met(Length::of_m(d));
        h.m() * v.mps() <= limit && v <= rules.fastest.value
    };
    let (mut good, mut bad) = (0.0, who.knee(rules).m());
    if bears(bad) {
        return Length::of_m(bad);
    }
    for _ in 0..50 {
        let middle = f64::midpoint(good, bad);
        if bears(middle) { good = middle } else { bad = middle }
    }
    Length::of_m(good)
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::quantity::Span;
    use proptest::prelude::*;

    fn rules() -> StandingRows {
        shipped().standing
    }

    fn wader(height: f64, mass: f64) -> Wader {
        Wader::new(Length::of_m(height), Mass::of_kg(mass)).unwrap()
    }

    fn wash(h: f64, along: f64) -> Wash {
        Wash {
            swell: Swell::square_on(Length::of_m(h), Span::of_s(9.0)).unwrap(),
            slope: Slope::of_rise_over_run(0.03).unwrap(),
            along: Speed::of_mps(along),
            out: Speed::of_mps(0.1),
        }
    }

    #[test]
    fn a_night_caster_of_sixty_kilograms() {
        // Waders, dark, hip-deep wish; 0.6 m/s along, 0.2 m/s out, before any wave.
        let who = wader(1.65, 60.0);
        assert!((who.karvonen_m2_s(Footing::Poor) - 0.298).abs() < 1e-9);
        assert!((who.limit_m2_s(Footing::Poor, &rules()) / 0.4 - 0.745).abs() < 1e-9);
        let s = who.standing(Length::of_m(0.4), Speed::of_mps(0.8), Footing::Poor, &rules());
        assert!(!s.within() && s.governs == Governs::Flow, "{s:?}");
        // By daylight the same would pass: the poor branch is what stops it.
        assert!(who.standing(Length::of_m(0.4), Speed::of_mps(0.8), Footing::Normal, &rules()).within());
        assert_eq!(
            who.standing(Length::of_m(0.9), Speed::ZERO, Footing::Good, &rules()).governs,
            Governs::Knee
        );
    }

    #[test]
    fn broken_surf_allows_the_shins_only() {
        let eighty = wash(1.0, 0.0).deepest(wader(1.78, 80.0), Footing::Poor, &rules()).m();
        assert!((0.22..0.35).contains(&eighty), "{eighty}");
        assert!(wash(1.0, 0.0).deepest(wader(1.65, 60.0), Footing::Poor, &rules()).m() < eighty);
        // A flat sea leaves the knee.
        let still = Wash { out: Speed::ZERO, ..wash(0.0, 0.0) };
        assert_eq!(
            still.deepest(wader(1.78, 80.0), Footing::Poor, &rules()),
            wader(1.78, 80.0).knee(&rules())
        );
    }

    #[test]
    fn below_fifty_metre_kilograms_the_limits_tighten() {
        assert!(wader(1.4, 34.0).limit_m2_s(Footing::Good, &rules()) <= 0.4);
        assert!(wader(1.4, 34.0).knee(&rules()).m() <= 0.5);
        assert!(Wader::new(Length::of_m(1.2), Mass::of_kg(19.0)).is_err());
    }

    proptest! {
        #[test]
        fn more_water_never_lets_anybody_deeper(
            h in 0.0..2.5f64, dh in 0.0..1.0f64, along in 0.0..1.5f64, dv in 0.0..0.5f64,
            tall in 1.5..2.0f64, kg in 45.0..120.0f64, more in 0.0..30.0f64,
        ) {
            let who = wader(tall, kg);
            let here = wash(h, along).deepest(who, Footing::Poor, &rules()).m();
            prop_assert!(wash(h + dh, along).deepest(who, Footing::Poor, &rules()).m() <= here + 1e-9);
            prop_assert!(wash(h, along + dv).deepest(who, Footing::Poor, &rules()).m() <= here + 1e-9);
            prop_assert!(wash(h, along).deepest(wader(tall, kg + more), Footing::Poor, &rules()).m() >= here - 1e-9);
            prop_assert!(wash(h, along).deepest(who, Footing::Normal, &rules()).m() >= here - 1e-9);
            prop_assert!(here <= who.knee(&rules()).m());
        }

        #[test]
        fn a_pull_seaward_never_helps(depth in 0.1..1.2f64, v in 0.1..2.0f64, pull in 1.0..200.0f64, deg in 0.0..60.0f64) {
            let who = wader(1.75, 75.0);
            let at = |pull| who.balance(
                Length::of_m(depth), Speed::of_mps(v),
                Bed { pull: Force::of_n(pull), pull_below_level: Angle::of_deg(deg), ..Bed::SAND },
            );
            prop_assert!(at(pull).slide_ratio >= at(0.0).slide_ratio);
        }
    }
}
