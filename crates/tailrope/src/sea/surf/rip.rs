//! How likely rip currents are.
//!
//! The agency's operational figure after Dusek & Seim (2013, *J. Coastal Research* 29, 909-925), coefficients read in
//! its public code: logit p = 1.046 + 3.5108 ln Hs - 0.0272 |d| + 0.4164 E - 1.70 h. Fitted at one barred beach; fed
//! with deep-water waves it loses about half its gain. It knows bar rips, neither jetty nor flash rips. The words low,
//! moderate, high belong to the official outlook: this gives a number and none of them.

use crate::math::{exp, ln};
use crate::quantity::{Angle, Length};

/// Chance (0 to 1) of hazardous rips, from the significant height at the 5 m depth line, the waves' angle off the
/// line square to the beach, whether a sea above 1 m peaked within 72 h, and the water level about mean sea level.
/// Lower water and squarer waves make it worse.
pub fn rip_chance(at_5_m: Length, off_normal: Angle, after_big_sea: bool, about_mean: Length) -> f64 {
    let h = at_5_m.m();
    if h.is_nan() || h <= 0.0 {
        return 0.0;
    }
    let off = off_normal.deg().abs().min(90.0);
    let event = if after_big_sea { 1.0 } else { 0.0 };
    let logit = 1.046 + 3.5108 * ln(h) - 0.0272 * off + 0.4164 * event - 1.70 * about_mean.m();
    1.0 / (1.0 + exp(-logit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn low_water_is_worse_and_no_word_is_given() {
        let p = |level| rip_chance(Length::of_m(0.9), Angle::of_deg(10.0), false, Length::of_m(level));
        assert!((p(-0.4) - 0.75).abs() < 0.005 && (p(0.4) - 0.43).abs() < 0.005, "{} {}", p(-0.4), p(0.4));
        assert_eq!(rip_chance(Length::ZERO, Angle::ZERO, true, Length::ZERO), 0.0);
    }

    proptest! {
        #[test]
        fn each_input_pulls_its_way(h in 0.1..4.0f64, off in 0.0..80.0f64, level in -1.5..1.5f64) {
            let p = |h, off, e, level| rip_chance(Length::of_m(h), Angle::of_deg(off), e, Length::of_m(level));
            let here = p(h, off, false, level);
            prop_assert!(p(h + 0.1, off, false, level) > here && p(h, off + 5.0, false, level) < here);
            prop_assert!(p(h, off, true, level) > here && p(h, off, false, level - 0.1) > here);
            prop_assert!((0.0..=1.0).contains(&here));
        }
    }
}
