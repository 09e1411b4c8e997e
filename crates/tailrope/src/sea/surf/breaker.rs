//! Where waves break, and how high.
//!
//! For words on a screen: Komar & Gaughan (1972, *Proc. 13th Coastal Engineering Conf.*, recalled),
//! Hb = 0.39 g^0.2 (T H0^2)^0.4. Beside it, three ways of following a wave in until it breaks, H0 Ks Kr = Hb(h):
//! a fixed ratio 0.78 (McCowan 1894), Weggel's (1972) that knows the slope, and Goda's (2010, *Coastal Eng. J.*
//! 52, 71-106) that knows slope and depth (0.17 regular waves, 0.12 significant waves). All recalled but checked
//! against recomputed cases; real bars make all of them rough (20 %).

use super::linear::Linear;
use super::swell::Swell;
use crate::math::{exp, pow};
use crate::quantity::{Angle, G_M_S2, Length, Slope, Span};
use core::f64::consts::PI;
use serde::Serialize;

/// Height over depth of a single breaking wave.
pub const MCCOWAN: f64 = 0.78;

/// A wave at the point of breaking.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Breaking {
    /// Depth in which it breaks.
    pub depth: Length,
    /// Its height there.
    pub height: Length,
    /// Angle of its crest to the beach.
    pub angle: Angle,
    /// Height over depth.
    pub index: f64,
}

/// How a wave breaks: which rule limits its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rule {
    /// A fixed share of the depth, usually [`MCCOWAN`].
    Fixed(f64),
    /// Weggel's index, from the slope and the wave's own height.
    Weggel(Slope),
    /// Goda's index; the number is 0.17 for regular waves, 0.12 for significant waves of a real sea.
    Goda(Slope, f64),
}

/// Breaker height for words and for the landing: Komar & Gaughan, from unrefracted height (the safe side).
pub fn breaker_height(swell: Swell) -> Length {
    let h = swell.h0_m();
    Length::of_m(0.39 * pow(G_M_S2, 0.2) * pow(swell.period().s() * h * h, 0.4))
}

/// The deep-water height of a square sea of this period whose breakers are so high: [`breaker_height`] turned round.
///
/// A flat break comes of a flat sea. Of one height of the break, longer waves were lower in deep water.
pub fn deep_water_height(breaker: Length, period: Span) -> Length {
    let share = breaker.m().max(0.0) / (0.39 * pow(G_M_S2, 0.2));
    Length::of_m((pow(share, 2.5) / period.s().max(1e-3)).sqrt())
}

/// Weggel's index for a breaker of `height` and the swell's period.
pub fn weggel_index(slope: Slope, height: Length, swell: Swell) -> f64 {
    let m = slope.tan();
    let a = 43.75 * (1.0 - exp(-19.0 * m));
    let b = 1.56 / (1.0 + exp(-19.5 * m));
    let t = swell.period().s();
    // Far beyond his data the line would fall through zero.
    (b - a * height.m() / (G_M_S2 * t * t)).max(0.1)
}

/// Largest height that a rule lets stand in a depth, for a wave that would be `arriving_m` high there.
fn limit_m(rule: Rule, swell: Swell, depth_m: f64, arriving_m: f64) -> f64 {
    match rule {
        Rule::Fixed(share) => share * depth_m,
        Rule::Weggel(slope) => weggel_index(slope, Length::of_m(arriving_m), swell) * depth_m,
        Rule::Goda(slope, a) => {
            let l0 = swell.deep_length_m();
            let steepening = 1.0 + 11.0 * pow(slope.tan(), 4.0 / 3.0);
            a * l0 * (1.0 - exp(-1.5 * PI * depth_m / l0 * steepening))
        }
    }
}

/// Follows a swell in over straight contours until the rule breaks it.
///
/// A flat sea breaks nowhere: depth and height zero. A sea too steep for deep water breaks at once: the depth is
/// then half its length.
pub fn breaking(swell: Swell, rule: Rule) -> Breaking {
    let h0 = swell.h0_m();
    if h0 <= 0.0 {
        return Breaking { depth: Length::ZERO, height: Length::ZERO, angle: Angle::ZERO, index: 0.0 };
    }
    let t = swell.period().s();
    let arriving = |depth: f64| {
        let w = Linear::solve(t, depth);
        h0 * w.shoaling() * w.refraction(swell.off_normal())
    };
    let still_stands = |depth: f64| {
        let a = arriving(depth);
        a < limit_m(rule, swell, depth, a)
    };
    // From the depth in which the wave begins to feel the bed to a film of water.
    let (mut shallow, mut deep) = (1e-6 * h0, 0.5 * swell.deep_length_m());
    if still_stands(deep) {
        for _ in 0..100 {
            let middle = f64::midpoint(shallow, deep);
            if middle <= shallow || middle >= deep {
                break;
            }
            if still_stands(middle) { deep = middle } else { shallow = middle }
        }
    }
    let w = Linear::solve(t, deep);
    let a = arriving(deep);
    let height = a.min(limit_m(rule, swell, deep, a));
    Breaking {
        depth: Length::of_m(deep),
        height: Length::of_m(height),
        angle: w.refracted(swell.off_normal()),
        index: height / deep,
    }
}

/// How waves come down on a beach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// Foam runs down the front: much warning, wide surf.
    Spilling,
    /// The lip falls: on a steep beach this is the shore break that injures hands and necks.
    Plunging,
    /// The foot of the wave runs up without breaking: fast, strong backwash.
    Surging,
}

impl Form {
    /// Order in which the forms hurt hands and necks: spilling 0, surging 1, plunging 2.
    pub const fn danger(self) -> u8 {
        match self {
            Self::Spilling => 0,
            Self::Surging => 1,
            Self::Plunging => 2,
        }
    }

    /// As shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Spilling => "spilling",
            Self::Plunging => "plunging",
            Self::Surging => "surging",
        }
    }
}

/// Surf similarity tan b / sqrt(H0 / L0) and the form it stands for (Battjes 1974: 0.5 and 3.3; recalled). A flat
/// sea has an infinite number and surges.
pub fn surf_similarity(swell: Swell, slope: Slope) -> (f64, Form) {
    let steepness = swell.h0_m() / swell.deep_length_m();
    let xi = if steepness > 0.0 { slope.tan() / steepness.sqrt() } else { f64::INFINITY };
    let form = match xi {
        x if x < 0.5 => Form::Spilling,
        x if x <= 3.3 => Form::Plunging,
        _ => Form::Surging,
    };
    (xi, form)
}

/// The worst form of several seas that may come, with its surf similarity: a lower or longer one of them can plunge
/// where the highest spills. None of no sea.
pub fn worst_form(seas: &[Swell], slope: Slope) -> Option<(f64, Form)> {
    seas.iter().map(|s| surf_similarity(*s, slope)).max_by_key(|(_, form)| form.danger())
}

/// Distance from the water's edge to the break, over an even slope.
pub fn surf_width(breaking: Breaking, slope: Slope) -> Length {
    Length::of_m(breaking.depth.m() / slope.tan().max(1e-3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn swell(h: f64, t: f64, deg: f64) -> Swell {
        Swell::new(Length::of_m(h), Span::of_s(t), Angle::of_deg(deg)).unwrap()
    }

    #[test]
    fn extremes_do_not_break_the_reckoning() {
        let slope = Slope::of_rise_over_run(0.05).unwrap();
        for rule in [Rule::Fixed(MCCOWAN), Rule::Weggel(slope), Rule::Goda(slope, 0.17)] {
            assert_eq!(breaking(swell(0.0, 8.0, 0.0), rule).height, Length::ZERO);
            // Six metres at three seconds cannot stand anywhere.
            let b = breaking(swell(6.0, 3.0, 30.0), rule);
            assert!(b.depth.m().is_finite() && b.height.m() > 0.0, "{rule:?} {b:?}");
            // Along the beach nothing arrives.
            assert!(breaking(swell(2.0, 10.0, 90.0), rule).height.m() < 0.01);
        }
    }

    #[test]
    fn the_worst_form_of_several_is_not_that_of_the_highest() {
        let slope = Slope::of_rise_over_run(0.1).unwrap();
        let (high, low) = (swell(2.5, 5.0, 0.0), swell(0.8, 5.0, 0.0));
        assert_eq!(surf_similarity(high, slope).1, Form::Spilling);
        let (xi, form) = worst_form(&[high, low], slope).unwrap();
        assert_eq!((form, xi), (Form::Plunging, surf_similarity(low, slope).0));
        assert_eq!(worst_form(&[swell(0.0, 5.0, 0.0), low], slope).unwrap().1, Form::Plunging);
        assert!(worst_form(&[], slope).is_none());
    }

    #[test]
    fn a_break_seen_gives_back_the_sea_that_makes_it() {
        // By hand: 1.5 m at 9 s break 2.0508 m high.
        let h = deep_water_height(Length::of_m(2.0508), Span::of_s(9.0));
        assert!((h.m() - 1.5).abs() < 1e-3, "{h:?}");
        assert_eq!(deep_water_height(Length::ZERO, Span::of_s(9.0)), Length::ZERO);
    }

    proptest! {
        #[test]
        fn a_breaker_and_its_sea_are_one(h in 0.05..6.0f64, t in 2.0..25.0f64) {
            let back = deep_water_height(breaker_height(swell(h, t, 0.0)), Span::of_s(t)).m();
            prop_assert!((back / h - 1.0).abs() < 1e-9, "{} {}", back, h);
        }

        #[test]
        fn higher_and_longer_waves_break_higher_and_farther_out(
            h in 0.1..3.0f64, t in 6.0..18.0f64, deg in -60.0..60.0f64, more in 1.02..1.5f64, tan in 0.01..0.12f64,
        ) {
            let slope = Slope::of_rise_over_run(tan).unwrap();
            prop_assert!(breaker_height(swell(h * more, t, deg)).m() > breaker_height(swell(h, t, deg)).m());
            prop_assert!(breaker_height(swell(h, t * more, deg)).m() > breaker_height(swell(h, t, deg)).m());
            for rule in [Rule::Fixed(MCCOWAN), Rule::Weggel(slope), Rule::Goda(slope, 0.17)] {
                let (a, b) = (breaking(swell(h, t, deg), rule), breaking(swell(h * more, t, deg), rule));
                prop_assert!(b.height.m() > a.height.m() && b.depth.m() > a.depth.m(), "{:?}", rule);
                prop_assert!(a.angle.deg().abs() <= deg.abs() + 1e-9);
            }
        }
    }
}
