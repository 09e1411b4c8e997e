//! Water moving along the beach, out along the bed, and in under the waves.
//!
//! Longshore: Komar (1979, *J. Waterway Port Coastal Ocean Div.* 105, 460-464; read on coastalwiki.org)
//! V = 1.17 sqrt(g Hb,rms) sin a cos a; the slope-dependent form of Longuet-Higgins in the *Shore Protection Manual*
//! V = 20.7 tan b sqrt(g Hb) sin 2a (recalled). Field tests found all such formulas rough: take +-50 %, and rather a
//! float. Undertow: volume balance with a roller of area 0.9 H2 (Svendsen 1984, recalled).

use super::linear::Linear;
use super::pack::CurrentRows;
use crate::Result;
use crate::facts::Band;
use crate::math::{cos, exp, pow, sin};
use crate::quantity::{Angle, G_M_S2, Length, Quantity, Slope, Span, Speed};
use serde::Serialize;

/// Mid-surf longshore current of breakers of rms height under an angle to the beach (signed like the angle).
pub fn longshore(breaker_rms: Length, breaker_angle: Angle) -> Speed {
    let a = breaker_angle.rad();
    Speed::of_mps(1.17 * (G_M_S2 * breaker_rms.m().max(0.0)).sqrt() * sin(a) * cos(a))
}

/// The older form that knows the slope; for comparison.
pub fn longshore_by_slope(breaker_rms: Length, breaker_angle: Angle, slope: Slope) -> Speed {
    let root = (G_M_S2 * breaker_rms.m().max(0.0)).sqrt();
    Speed::of_mps(20.7 * slope.tan() * root * sin(2.0 * breaker_angle.rad()))
}

/// Longshore current with its band: the breakers' with the error of the equation (+-50 % as shipped), and the
/// along-beach wind's share (1 to 3 %) on top. Speeds along the beach, positive one way; low and high are of the size,
/// in the direction of the centre.
pub fn longshore_band(
    breaker_rms: Length,
    breaker_angle: Angle,
    wind_along: Speed,
    rows: &CurrentRows,
) -> Band<Speed> {
    let waves = longshore(breaker_rms, breaker_angle).mps();
    let wind = wind_along.mps();
    let share = rows.wind_share.value;
    let error = rows.error.value;
    let central = waves + share.central * wind;
    // Signs can differ: spread both ways and sort by size along the centre's direction.
    let way = if central < 0.0 { -1.0 } else { 1.0 };
    let (w, a) = (way * waves, way * wind);
    let spread =
        |x: f64, low: f64, high: f64| if x < 0.0 { (x * high, x * low) } else { (x * low, x * high) };
    let (wl, wh) = spread(w, 1.0 - error, 1.0 + error);
    let (al, ah) = spread(a, share.low, share.high);
    Band { low: Speed::of_mps(wl + al), central: Speed::of_mps(central.abs()), high: Speed::of_mps(wh + ah) }
}

/// The seaward current near the bed and the two flows it returns.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Undertow {
    /// Flow carried shoreward by the waves, m2/s.
    pub stokes_m2_s: f64,
    /// Flow carried shoreward by the rollers, m2/s.
    pub roller_m2_s: f64,
    /// Depth-mean return current; negative: out to sea.
    pub current: Speed,
}

/// Undertow under waves of rms height, of which a share (0 to 1) is breaking. Typically 0.1 to 0.3 m/s out.
pub fn undertow(rms: Length, period: Span, depth: Length, breaking_share: f64) -> Result<Undertow> {
    let h = rms.within("the wave height", Length::ZERO, Length::of_m(20.0))?.m();
    let c = Linear::over(period, depth)?.speed().mps();
    let stokes = G_M_S2 * h * h / (8.0 * c);
    let roller = breaking_share.clamp(0.0, 1.0) * 0.9 * h * h / period.s();
    Ok(Undertow {
        stokes_m2_s: stokes,
        roller_m2_s: roller,
        current: Speed::of_mps(-(stokes + roller) / depth.m()),
    })
}

/// Largest orbital speed in shallow water, (H/2) sqrt(g/h): the upper limit of [`Linear::orbital`].
pub fn shallow_orbital(height: Length, depth: Length) -> Speed {
    Speed::of_mps(height.m() / 2.0 * (G_M_S2 / depth.m().max(1e-6)).sqrt())
}

/// Root mean square orbital speed at the bed of a whole sea (Soulsby 2006, recalled), from significant height and
/// mean period.
pub fn bed_orbital_rms(significant: Length, mean_period: Span, depth: Length) -> Speed {
    let h = depth.m().max(1e-6);
    let ratio = 3.65 / mean_period.s().max(0.1) * (h / G_M_S2).sqrt();
    Speed::of_mps(significant.m() / 4.0 * (G_M_S2 / h).sqrt() * exp(-pow(ratio, 2.1)))
}

/// A broken wave running on as a step of foam.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bore {
    /// Speed of its front.
    pub front: Speed,
    /// Speed of the water behind the front.
    pub behind: Speed,
}

/// A bore of a height running over still water of a depth (hydraulic jump; any textbook).
pub fn bore(height: Length, ahead: Length) -> Bore {
    let h1 = ahead.m().max(1e-6);
    let h2 = h1 + height.m().max(0.0);
    let c = (G_M_S2 * h2 * (h1 + h2) / (2.0 * h1)).sqrt();
    Bore { front: Speed::of_mps(c), behind: Speed::of_mps(c * (1.0 - h1 / h2)) }
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn more_wave_means_more_current(h in 0.1..3.0f64, more in 1.01..2.0f64, deg in 0.5..40.0f64) {
            let v = |h: f64, deg: f64| longshore(Length::of_m(h), Angle::of_deg(deg)).mps();
            prop_assert!(v(h * more, deg) > v(h, deg) && v(h, deg + 1.0) > v(h, deg));
            prop_assert!((v(h, -deg) + v(h, deg)).abs() < 1e-12);
            let u = |h: f64, q: f64| undertow(Length::of_m(h), Span::of_s(8.0), Length::of_m(2.0), q).unwrap().current.mps();
            prop_assert!(u(h * more, 0.5) < u(h, 0.5) && u(h, 1.0) < u(h, 0.5) && u(h, 0.0) < 0.0);
            let b = bore(Length::of_m(h), Length::of_m(1.0));
            prop_assert!(b.behind.mps() < b.front.mps() && bore(Length::of_m(h * more), Length::of_m(1.0)).behind.mps() > b.behind.mps());
        }

        #[test]
        fn the_band_holds_its_centre(h in 0.0..3.0f64, deg in -40.0..40.0f64, wind in -15.0..15.0f64) {
            let b = longshore_band(Length::of_m(h), Angle::of_deg(deg), Speed::of_mps(wind), &shipped().current);
            prop_assert!(b.low.mps() <= b.central.mps() + 1e-12 && b.central.mps() <= b.high.mps() + 1e-12);
            prop_assert!(b.central.mps() >= 0.0);
        }
    }
}
