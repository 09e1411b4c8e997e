//! A weightless line in a uniform stream, followed in its plane from one end whose tension and angle are known.
//!
//! Flow along +x, phi the angle of the line from the flow: dx/ds = cos phi, dy/ds = sin phi,
//! T dphi/ds = D sin^2 phi, dT/ds = -Dt cos phi |cos phi| (cable equations, Berteaux 1976). Between two fixed
//! ends such a line bellies *down*-stream and its tension grows towards the up-stream end.

use super::LineLoad;
use super::ode::integrate;
use crate::math::{cos, sin, sq};
use crate::quantity::{Angle, Force, Length};
use crate::{Error, Result};

/// A place on the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanePoint {
    /// Line from the start.
    pub along: Length,
    /// Down the stream from the start.
    pub x: Length,
    /// Across the stream from the start.
    pub y: Length,
    /// Angle of the line from the flow.
    pub angle: Angle,
    /// Tension there.
    pub tension: Force,
}

/// Follows `length` of line from its start at `tension` and `angle` (0 to 180 degrees); the last point is its
/// end. `normal` is the drag a metre square to the stream, `skin` that along it ([`super::skin_drag_per_m`]).
///
/// Relative error of each point about 1e-9. Refuses a tension that skin friction uses up on the way.
pub fn run_in_plane(
    tension: Force,
    angle: Angle,
    length: Length,
    normal: LineLoad,
    skin: LineLoad,
) -> Result<Vec<PlanePoint>> {
    let (t0_n, phi0, l_m) = (tension.n(), angle.rad(), length.m());
    let (dn, dt) = (normal.n_per_m(), skin.n_per_m());
    let above_zero = [t0_n, l_m].iter().all(|x| x.is_finite() && *x > 0.0);
    let loads = [dn, dt].iter().all(|x| x.is_finite() && *x >= 0.0);
    let half_turn = (0.0..=core::f64::consts::PI).contains(&phi0);
    if !(above_zero && loads && half_turn) {
        return Err(Error::new(
            format!("{l_m} m of line at {t0_n} N and {} degrees", angle.deg()),
            "length and tension above zero, 0 to 180 degrees, no negative drag",
            "check the start of the line",
        ));
    }
    let mut points = Vec::new();
    let slope = |y: &[f64; 4]| {
        let [_, _, phi, t] = *y;
        // A line that has run out of tension has no direction: make the step fail.
        let t = if t > 0.0 { t } else { f64::NAN };
        let (c, s) = (cos(phi), sin(phi));
        [c, s, dn * sq(s) / t, -dt * c * c.abs()]
    };
    let seen = |s: f64, y: &[f64; 4]| {
        points.push(PlanePoint {
            along: Length::of_m(s),
            x: Length::of_m(y[0]),
            y: Length::of_m(y[1]),
            angle: Angle::of_rad(y[2]),
            tension: Force::of_n(y[3]),
        });
    };
    let scale = [l_m * 1e-3, l_m * 1e-3, 1.0, t0_n * 1e-3];
    integrate(slope, [0.0, 0.0, phi0, t0_n], l_m, l_m / 50.0, 1e-10, &scale, seen).ok_or_else(|| {
        Error::new(
            format!("a line at {t0_n} N is slack before its {l_m} m end"),
            "more tension at the start",
            "start at the up-stream end, or raise the tension",
        )
    })?;
    Ok(points)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water::Belly;
    use proptest::prelude::*;

    proptest! {
        /// Exact case 1: no friction, no weight: constant tension, the shape of `Belly`.
        #[test]
        fn without_friction_the_tension_is_constant_and_the_shape_a_catenary(
            b in 30.0..400.0f64, t in 20.0..300.0f64, d in 0.02..0.5f64,
        ) {
            prop_assume!(d * b / (2.0 * t) < 2.0);
            let (span, load) = (Length::of_m(b), LineLoad::of_n_per_m(d));
            let belly = Belly::at_tension(span, Force::of_n(t), load).unwrap();
            let start = Angle::of_deg(90.0) - belly.end_angle;
            let line = run_in_plane(Force::of_n(t), start, belly.length, load, LineLoad::ZERO).unwrap();
            let end = line.last().unwrap();
            prop_assert!((end.tension.n() / t - 1.0).abs() < 1e-6);
            prop_assert!(end.x.m().abs() < 1e-6 * b && (end.y.m() / b - 1.0).abs() < 1e-6);
            for p in &line {
                prop_assert!((p.x - belly.offset(span, p.y)).m().abs() < 1e-6 * b);
            }
        }

        /// Exact case 4: straight along the flow: the tension grows up-stream by the skin friction.
        #[test]
        fn along_the_flow_only_skin_friction_counts(l in 10.0..600.0f64, dt in 0.0..0.3f64) {
            let t0 = 20.0;
            let line = run_in_plane(
                Force::of_n(t0), Angle::of_deg(180.0), Length::of_m(l), LineLoad::of_n_per_m(0.5), LineLoad::of_n_per_m(dt),
            ).unwrap();
            prop_assert!((line.last().unwrap().tension.n() - (t0 + dt * l)).abs() < 1e-7 * (t0 + dt * l));
        }
    }

    #[test]
    fn refuses_a_line_that_goes_slack() {
        let e = run_in_plane(
            Force::of_n(1.0),
            Angle::of_deg(5.0),
            Length::of_m(100.0),
            LineLoad::of_n_per_m(0.0),
            LineLoad::of_n_per_m(0.5),
        );
        assert!(e.unwrap_err().error.contains("slack"));
    }
}
