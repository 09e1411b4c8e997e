//! The current along the beach that waves drive, when the way they come is known only roughly or not at all.
//!
//! Answers how fast the water may run along the beach: for a sea whose angle has an error the worst within it, for a
//! sea of unknown angle the worst of all. The worst is not next to 45 degrees offshore: waves turn to the beach before
//! they break, so it lies near 60.
//!
//! Model: Komar (1979), see [`super::longshore`], from the larger of two breakers: Komar & Gaughan's (1972) with the
//! deep-water height lessened by refraction, and McCowan's; the angle at the break by Snell. Planning takes the high
//! end, and that is never below what counts when nobody knows anything (the pack's): tide, wind and bars drive water
//! along a beach too.

use super::breaker::{Breaking, MCCOWAN, Rule, breaker_height, breaking};
use super::current::longshore_band;
use super::pack::SurfPack;
use super::swell::Swell;
use crate::facts::{Band, Known};
use crate::math::cos;
use crate::quantity::{Angle, Length, Speed};
use core::f64::consts::SQRT_2;
use serde::Serialize;

/// Waves of unknown angle come within so much of the line square to the beach; beyond that hardly any height arrives.
const ALL_ROUND_DEG: f64 = 80.0;
/// First step of the search, degrees.
const COARSE_DEG: f64 = 5.0;

/// The wind's push along the beach.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind", content = "speed")]
pub enum Drift {
    /// Nobody knows the wind: its share is not in the figure.
    #[default]
    Unknown,
    /// Its part along the beach, positive the way the angle of the waves is counted.
    Along(Speed),
    /// Its speed alone: it may all blow along, either way.
    EitherWay(Speed),
}

/// What waves drive along a beach.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct AlongShore {
    /// Size of the current; planning takes the high end.
    pub size: Band<Speed>,
    /// Deep-water angle at which the high end is met.
    pub worst_angle: Angle,
    /// The breakers there.
    pub worst: Breaking,
}

/// How a swell breaks for the current along the beach: where, under which angle, and with the larger of the two
/// heights.
pub fn driving_breaker(swell: Swell) -> Breaking {
    let b = breaking(swell, Rule::Fixed(MCCOWAN));
    let turned = (cos(swell.off_normal().rad()).max(0.0) / cos(b.angle.rad()).max(1e-9)).sqrt();
    let arriving = Swell::new(swell.height() * turned.min(1.0), swell.period(), Angle::ZERO);
    let gaughan = arriving.map_or(Length::ZERO, breaker_height);
    Breaking { height: b.height.max(gaughan), ..b }
}

/// The current along the beach that a swell drives, when its angle is known to within `angle_error` either way, or,
/// with that unknown, not at all (the swell's own angle then counts for nothing).
///
/// The low end is zero where the waves may come square on. The high end is at least the pack's for an unknown current.
pub fn along_by_waves(swell: Swell, angle_error: Known<Angle>, drift: Drift, pack: &SurfPack) -> AlongShore {
    let at = |deg: f64| {
        let turned = swell.turned(Angle::of_deg(deg.clamp(-90.0, 90.0)));
        let b = driving_breaker(turned);
        (b, size(b, drift, pack))
    };
    let said = swell.off_normal().deg();
    let (from, to) = match angle_error {
        Known::Known(e) => {
            let e = e.deg().abs();
            ((said - e).max(-90.0), (said + e).min(90.0))
        }
        // Both sides are alike but for a wind that blows one way.
        Known::Unknown if matches!(drift, Drift::Along(_)) => (-ALL_ROUND_DEG, ALL_ROUND_DEG),
        Known::Unknown => (0.0, ALL_ROUND_DEG),
    };
    let mut tried: Vec<(f64, (Breaking, Band<Speed>))> =
        degrees(from, to, COARSE_DEG).map(|d| (d, at(d))).collect();
    let about = fastest(&tried).map_or(from, |t| t.0);
    let near = degrees((about - COARSE_DEG).max(from), (about + COARSE_DEG).min(to), 1.0);
    tried.extend(near.map(|d| (d, at(d))));
    let low = tried.iter().map(|t| t.1.1.low).fold(at(to).1.low, Speed::min);
    let worst = fastest(&tried).unwrap_or_else(|| (to, at(to)));
    let unknown = pack.unknown.along.value;
    let (central, low) = match angle_error {
        Known::Known(_) => (at(said).1.central, if from <= 0.0 && to >= 0.0 { Speed::ZERO } else { low }),
        Known::Unknown => (unknown.central, Speed::ZERO),
    };
    let (worst_angle, (worst, found)) = worst;
    let high = found.high.max(unknown.high);
    let size = Band { low: low.min(central), central, high: high.max(central) };
    AlongShore { size, worst_angle: Angle::of_deg(worst_angle), worst }
}

/// From one angle to another by steps, both ends in.
fn degrees(from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 720
    let count = ((to - from) / step).ceil().clamp(0.0, 720.0) as u32;
    (0..=count).map(move |i| (from + f64::from(i) * step).min(to))
}

fn fastest(tried: &[(f64, (Breaking, Band<Speed>))]) -> Option<(f64, (Breaking, Band<Speed>))> {
    tried.iter().max_by(|a, b| a.1.1.high.mps().total_cmp(&b.1.1.high.mps())).copied()
}

/// Size of the current of one breaker, with the wind.
fn size(b: Breaking, drift: Drift, pack: &SurfPack) -> Band<Speed> {
    let rms = b.height / SQRT_2;
    // Past 45 degrees the equation falls again; the safe side does not follow it.
    let angle = Angle::of_deg(b.angle.deg().clamp(-45.0, 45.0));
    let with = |wind: Speed| {
        let band = longshore_band(rms, angle, wind, &pack.current);
        Band {
            low: band.low.max(Speed::ZERO),
            central: band.central,
            // Where wind and waves push against each other either may win.
            high: band.high.max(band.low * -1.0),
        }
    };
    match drift {
        Drift::Unknown => with(Speed::ZERO),
        Drift::Along(wind) => with(wind),
        Drift::EitherWay(wind) => {
            let calm = with(Speed::ZERO);
            let share = wind.mps().abs() * pack.current.wind_share.value.high;
            let share = Speed::of_mps(share);
            Band { low: (calm.low - share).max(Speed::ZERO), central: calm.central, high: calm.high + share }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::quantity::Span;
    use proptest::prelude::*;

    fn swell(h: f64, t: f64, deg: f64) -> Swell {
        Swell::new(Length::of_m(h), Span::of_s(t), Angle::of_deg(deg)).unwrap()
    }

    fn within(deg: f64) -> Known<Angle> {
        Known::Known(Angle::of_deg(deg))
    }

    /// Every quarter of a degree.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held to what a turn can have
    fn highest(h: f64, t: f64, from: f64, to: f64) -> f64 {
        let pack = shipped();
        let one = |deg| size(driving_breaker(swell(h, t, deg)), Drift::Unknown, &pack).high.mps();
        degrees(from, to, 0.25).map(one).fold(0.0, f64::max)
    }

    #[test]
    fn the_worst_angle_is_not_next_to_45_degrees() {
        let pack = shipped();
        let all = along_by_waves(swell(3.0, 10.0, 0.0), Known::Unknown, Drift::Unknown, &pack);
        let at_45 = along_by_waves(swell(3.0, 10.0, 45.0), within(0.0), Drift::Unknown, &pack);
        assert!(
            (52.0..66.0).contains(&all.worst_angle.deg())
                && all.size.high.mps() > 1.05 * at_45.size.high.mps(),
            "{all:?}"
        );
        let by_hand = highest(3.0, 10.0, 0.0, 80.0);
        assert!((all.size.high.mps() - by_hand).abs() < 2e-3 * by_hand, "{all:?} {by_hand}");
    }

    #[test]
    fn square_on_is_known_to_ten_degrees_and_that_is_a_current() {
        let pack = shipped();
        let a = along_by_waves(swell(3.0, 10.0, 0.0), within(10.0), Drift::Unknown, &pack);
        assert_eq!((a.size.low, a.size.central), (Speed::ZERO, Speed::ZERO));
        assert!((a.size.high.mps() - highest(3.0, 10.0, 0.0, 10.0)).abs() < 1e-9);
        assert!(a.size.high.mps() > 0.6, "{a:?}");
        // A small sea square on: tide and bars still drive the water.
        let small = along_by_waves(swell(0.2, 5.0, 0.0), within(10.0), Drift::Unknown, &pack);
        assert_eq!(small.size.high, pack.unknown.along.value.high);
    }

    #[test]
    fn a_wind_of_unknown_side_counts_whole_and_one_along_can_only_help_one_way() {
        let pack = shipped();
        let sea = swell(1.5, 8.0, 20.0);
        let calm = along_by_waves(sea, within(10.0), Drift::Unknown, &pack).size;
        let wind = Speed::of_mps(10.0);
        let either = along_by_waves(sea, within(10.0), Drift::EitherWay(wind), &pack).size;
        assert!((either.high.mps() - calm.high.mps() - 0.3).abs() < 1e-9);
        let along = along_by_waves(sea, within(10.0), Drift::Along(wind), &pack).size;
        assert!((along.high.mps() - either.high.mps()).abs() < 1e-9);
        let against = along_by_waves(sea, within(10.0), Drift::Along(wind * -1.0), &pack).size;
        assert!(against.high < calm.high);
        // Waves of any side: the wind finds those that run with it.
        let any = along_by_waves(sea, Known::Unknown, Drift::Along(wind * -1.0), &pack);
        assert!(any.worst_angle.deg() < -45.0 && any.size.high.mps() > calm.high.mps());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn knowing_less_is_never_kinder(
            steep in 0.001..0.14f64, t in 2.0..20.0f64, deg in -80.0..80.0f64, error in 0.0..30.0f64, wind in -15.0..15.0f64,
        ) {
            let pack = shipped();
            let h = (steep * 1.5608 * t * t).min(10.0);
            let sea = swell(h, t, deg);
            let drift = Drift::Along(Speed::of_mps(wind));
            let a = along_by_waves(sea, within(error), drift, &pack).size;
            prop_assert!(a.low.mps() >= 0.0 && a.low <= a.central && a.central <= a.high, "{:?}", a);
            prop_assert!(a.high >= pack.unknown.along.value.high);
            // The search by whole degrees may miss a thousandth.
            let more = 1.002;
            let wider = along_by_waves(sea, within(error + 10.0), drift, &pack).size;
            prop_assert!(wider.high.mps() * more >= a.high.mps());
            let either = along_by_waves(sea, within(error), Drift::EitherWay(Speed::of_mps(wind)), &pack).size;
            prop_assert!(either.high.mps() * more >= a.high.mps());
            let unknown = along_by_waves(sea, Known::Unknown, drift, &pack).size;
            prop_assert!(unknown.high.mps() * 1.005 >= along_by_waves(sea, within(0.0), drift, &pack).size.high.mps());
        }

        #[test]
        fn more_sea_never_drives_less(
            steep in 0.001..0.1f64, t in 2.0..20.0f64, more in 1.0..1.4f64, deg in -80.0..80.0f64, known: bool,
        ) {
            let pack = shipped();
            let h = (steep * 1.5608 * t * t).min(10.0);
            let error = if known { within(10.0) } else { Known::Unknown };
            let high = |h, t| along_by_waves(swell(h, t, deg), error, Drift::Unknown, &pack).size.high.mps();
            prop_assert!(high(h * more, t) * 1.002 >= high(h, t));
        }
    }
}
