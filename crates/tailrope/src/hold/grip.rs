//! What the sinker holds: by the crew's own pull test, by its wires in the sand, by its weight on it.
//!
//! A crew's own pull test goes before everything, less at the low end for water that stirs the sand. Without one a wired
//! sinker holds by soil theory ([`WiredSinker`]), halved for planning, between the pack's depths of burial; a plain one by
//! friction on its weight in the water. A wired sinker of which nobody knows how it sits counts from half set to well set,
//! and as half set in the middle: that is how it lies soon after the cast. An upward pull lowers the hold of a plain lead;
//! for wires no figure was found, so it is told apart.

use super::pack::{HoldPack, SetRows};
use crate::facts::{Band, Grade, Known};
use crate::quantity::{Density, Force, G_M_S2, Mass, RHO_SEA_KG_M3};
use crate::water::{Sand, WiredSinker, sliding_hold};
use serde::{Deserialize, Serialize};

/// How a wired sinker sits in the sand.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SinkerSet {
    /// Half buried, soon after the cast.
    Half,
    /// Well worked in.
    Well,
}

/// What is known of a sinker.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sinker {
    /// Its mass.
    pub mass: Known<Mass>,
    /// Its wires; none is a plain one.
    pub wires: Known<u8>,
    /// How it sits.
    pub set: Known<SinkerSet>,
    /// Pull that moved it in the crew's own test.
    pub pull_test: Known<Force>,
}

/// Whence a hold is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum GripBy {
    /// The crew's own pull.
    PullTest,
    /// Friction of a plain lead.
    Weight,
    /// Wires and body, half buried.
    HalfSet,
    /// Wires and body, well worked in.
    WellSet,
    /// Wires and body, nobody knows how deep.
    SetUnknown,
}

impl GripBy {
    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::PullTest => "the crew's own pull test",
            Self::Weight => "a plain sinker, by its weight on the sand",
            Self::HalfSet => "wires and body half set, theory halved",
            Self::WellSet => "wires and body well set, theory halved",
            Self::SetUnknown => "wires, set as luck has it, theory halved",
        }
    }
}

/// What a sinker holds against a level pull.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Grip {
    /// The hold to plan with.
    #[serde(skip)]
    pub hold: Band<Force>,
    /// Friction of its own weight alone, where the mass is known.
    #[serde(skip)]
    pub own_weight: Known<Band<Force>>,
    /// Weight in the water: an upward pull beyond it lifts the sinker.
    #[serde(skip)]
    pub wet_weight: Known<Force>,
    /// Whence.
    pub by: GripBy,
    /// How far it can be trusted.
    pub grade: Grade,
}

/// Theory of a set, over the divisor.
fn planned(rows: &SetRows, legs: u8, pack: &HoldPack) -> Band<Force> {
    let s = &pack.sinker;
    let of = |sand, body_depth, leg_depth| {
        let sinker = WiredSinker {
            body_width: s.body_width.value,
            body_depth,
            legs,
            leg_diameter: s.wire_diameter.value,
            leg_depth,
            leg_yield: s.wire_yield.value,
        };
        sinker.theory(Sand::under_water(sand)) / s.divisor.value
    };
    let (a, b, w) = (rows.sand.value, rows.body_depth.value, rows.wire_depth.value);
    Band {
        low: of(a.low, b.low, w.low),
        central: of(a.central, b.central, w.central),
        high: of(a.high, b.high, w.high),
    }
}

impl Sinker {
    /// What it holds while the line pulls `uplift` upward; unknown where nobody says what sinker it is.
    pub fn grip(&self, uplift: Force, pack: &HoldPack) -> Known<Grip> {
        let s = &pack.sinker;
        let water = Density::of_kg_m3(RHO_SEA_KG_M3);
        let sliding = |mass: Mass, up: Force| {
            s.slides.value.map(|friction| sliding_hold(mass, s.lead.value, water, friction, up))
        };
        let own_weight: Known<Band<Force>> = self.mass.get().map(|m| sliding(m, Force::ZERO)).into();
        let wet_weight: Known<Force> = self
            .mass
            .get()
            .map(|m| Force::of_n(m.kg() * G_M_S2 * (1.0 - RHO_SEA_KG_M3 / s.lead.value.kg_m3())))
            .into();
        let grip = |hold, by, grade| Known::Known(Grip { hold, own_weight, wet_weight, by, grade });
        if let Known::Known(pull) = self.pull_test {
            let kept = s.pull_test_kept.value;
            return grip(kept.map(|k| pull * k), GripBy::PullTest, Grade::Measured);
        }
        let legs = match self.wires {
            Known::Unknown => return Known::Unknown,
            Known::Known(0) => {
                let Known::Known(mass) = self.mass else { return Known::Unknown };
                return grip(sliding(mass, uplift), GripBy::Weight, Grade::Estimate);
            }
            Known::Known(n) => n.min(12),
        };
        let (half, well) = (planned(&pack.half_set, legs, pack), planned(&pack.well_set, legs, pack));
        match self.set {
            Known::Known(SinkerSet::Half) => grip(half, GripBy::HalfSet, Grade::Estimate),
            Known::Known(SinkerSet::Well) => grip(well, GripBy::WellSet, Grade::Estimate),
            Known::Unknown => {
                let hold = Band { low: half.low, central: half.central, high: well.high.max(half.high) };
                grip(hold, GripBy::SetUnknown, Grade::Estimate)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::quantity::{Angle, Length};
    use proptest::prelude::*;

    fn wired(set: Known<SinkerSet>) -> Sinker {
        Sinker {
            wires: Known::Known(4),
            set,
            mass: Known::Known(Mass::of_g(5.0 * 28.349_523_125)),
            ..Sinker::default()
        }
    }

    #[test]
    fn the_planning_holds_of_the_worked_cases() {
        let pack = shipped();
        let of = |set| wired(Known::Known(set)).grip(Force::ZERO, &pack).get().unwrap().hold;
        // ANCH-6: half of 31.05 N for a well-set sinker at 40 degrees.
        assert!((of(SinkerSet::Well).high.n() - 15.53).abs() < 0.01);
        // 5 to 15 N of theory for a half-buried one, so 3 to 8 N to plan with.
        let half = of(SinkerSet::Half);
        assert!(half.low.n() > 2.0 && half.low.n() < 3.5 && half.high.n() > 7.0 && half.high.n() < 8.5);
        // ANCH-1 and ANCH-3 together: 3.987 + 5.99 N at 38 degrees.
        let theory = WiredSinker::HALF_SET.theory(Sand::under_water(Angle::of_deg(38.0)));
        assert!((theory.n() - 9.977).abs() < 0.005, "{}", theory.n());
        // Five ounces alone hold 0.8 N at most.
        let own = wired(Known::Unknown).grip(Force::ZERO, &pack).get().unwrap().own_weight.get().unwrap();
        assert!((own.high.n() - 0.8).abs() < 0.01, "{}", own.high.n());
    }

    #[test]
    fn a_pull_test_replaces_theory_and_nothing_known_stays_unknown() {
        let pack = shipped();
        let test =
            Sinker { pull_test: Known::Known(Force::of_n(12.0)), ..wired(Known::Known(SinkerSet::Well)) };
        let grip = test.grip(Force::ZERO, &pack).get().unwrap();
        assert_eq!((grip.by, grip.grade), (GripBy::PullTest, Grade::Measured));
        assert!((grip.hold.low.n() - 9.6).abs() < 1e-9 && (grip.hold.high.n() - 12.0).abs() < 1e-9);
        assert!(Sinker::default().grip(Force::ZERO, &pack).is_unknown());
        let plain = Sinker { wires: Known::Known(0), ..Sinker::default() };
        assert!(plain.grip(Force::ZERO, &pack).is_unknown(), "a plain lead of unknown mass");
        let plain = Sinker { mass: Known::Known(Mass::of_g(150.0)), ..plain };
        assert_eq!(plain.grip(Force::of_n(5.0), &pack).get().unwrap().hold.high, Force::ZERO);
    }

    proptest! {
        #[test]
        fn bands_are_ordered_and_deeper_never_holds_less(legs in 0u8..13, g in 10.0..500.0f64, deeper in 1.0..1.5f64) {
            let mut pack = shipped();
            let sinker = Sinker { wires: Known::Known(legs), mass: Known::Known(Mass::of_g(g)), ..Sinker::default() };
            let sets = [Known::Unknown, Known::Known(SinkerSet::Half), Known::Known(SinkerSet::Well)];
            let of = |pack: &HoldPack| sets.map(|set| Sinker { set, ..sinker }.grip(Force::ZERO, pack).get().unwrap().hold);
            let before = of(&pack);
            for rows in [&mut pack.half_set, &mut pack.well_set] {
                rows.body_depth.value = rows.body_depth.value.map(|d: Length| d * deeper);
            }
            for (now, then) in of(&pack).iter().zip(before) {
                prop_assert!(then.low <= then.central && then.central <= then.high);
                prop_assert!(now.low >= then.low && now.central >= then.central && now.high >= then.high);
            }
        }
    }
}
