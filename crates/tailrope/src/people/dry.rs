//! Dry sand: how far the toes must be from the highest wash, and how much higher the water may run before they are not.
//!
//! Wanted is the way an angler is pulled while he or she reacts and unclips: time times stumbling speed (project
//! default, 3 s at 2 m/s: 6 m). A sitting angler first has to get up: seconds more. What is there is told by pacing to
//! the highest wash, or worked out from the still-water line and the run-up of the waves: on a beach falling at beta the
//! wash reaches R / tan(beta) landward. A beach gives up dry sand at the same rate as the water rises.

use super::pack::{FootingPack, Stance};
use crate::quantity::{Length, Slope};
use serde::Serialize;

/// Dry sand wanted in this stance.
pub fn wanted(pack: &FootingPack, stance: Stance) -> Length {
    let dry = &pack.dry;
    let up = if stance == Stance::Sitting { dry.get_up.value.s() } else { 0.0 };
    Length::of_m((dry.react.value.s() + up) * dry.stumble.value.mps())
}

/// Dry sand between the toes and the highest wash, from the distance to the still-water line and the run-up that two
/// waves in a hundred exceed. Negative where the wash goes beyond the toes; `None` on a level beach, where it has no end.
pub fn above_wash(to_water: Length, run_up: Length, foreshore: Slope) -> Option<Length> {
    (foreshore.tan() > 0.0).then(|| to_water - run_up / foreshore.tan())
}

/// How the dry sand stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DrySand {
    /// Wanted.
    pub wanted: Length,
    /// There is.
    pub there: Length,
    /// How much higher the water may run before it is too little; negative: by how much it is too high already.
    /// `None` when the slope is not known.
    pub rise_left: Option<Length>,
}

impl DrySand {
    /// What is there against what is wanted.
    pub fn of(pack: &FootingPack, stance: Stance, there: Length, foreshore: Option<Slope>) -> Self {
        let wanted = wanted(pack, stance);
        Self { wanted, there, rise_left: foreshore.map(|s| (there - wanted) * s.tan()) }
    }

    /// Whether it is enough.
    pub fn enough(&self) -> bool {
        self.there >= self.wanted
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::PackText;
    use proptest::prelude::*;

    fn pack() -> FootingPack {
        let text = include_str!("../../../../data/footing.toml");
        FootingPack::read(PackText::new("footing.toml", text)).unwrap()
    }
    fn slope(x: f64) -> Slope {
        Slope::of_rise_over_run(x).unwrap()
    }

    #[test]
    fn six_metres_standing_and_more_sitting() {
        let p = pack();
        assert_eq!(wanted(&p, Stance::Lean), Length::of_m(6.0));
        assert_eq!(wanted(&p, Stance::Sitting), Length::of_m(12.0));
        // 30 m to the still water, half a metre of run-up on 1 in 25: the wash ends 17.5 m before the toes.
        let there = above_wash(Length::of_m(30.0), Length::of_m(0.5), slope(0.04)).unwrap();
        assert!((there.m() - 17.5).abs() < 1e-12);
        let d = DrySand::of(&p, Stance::Upright, there, Some(slope(0.04)));
        assert!(d.enough() && (d.rise_left.unwrap().m() - 0.46).abs() < 1e-12);
        assert!(!DrySand::of(&p, Stance::Upright, Length::of_m(5.9), None).enough());
        assert_eq!(above_wash(Length::of_m(30.0), Length::of_m(0.5), Slope::default()), None);
    }

    proptest! {
        #[test]
        fn more_run_up_never_leaves_more(to in 0.0..100.0f64, r in 0.0..3.0f64, more in 0.0..2.0f64, s in 0.005..0.3f64) {
            let at = |r| above_wash(Length::of_m(to), Length::of_m(r), slope(s)).unwrap();
            prop_assert!(at(r + more) <= at(r));
            // Raised by what is left, exactly what is wanted remains.
            let d = DrySand::of(&pack(), Stance::Lean, at(r), Some(slope(s)));
            let raised = at(r) - d.rise_left.unwrap() / s;
            prop_assert!((raised.m() - d.wanted.m()).abs() < 1e-6);
        }
    }
}
