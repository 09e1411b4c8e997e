//! The fish as a body that pushes: what pushing costs, how fast it can run against a pull, how it tows.
//!
//! Model: thrust F at speed v on a disc of area A costs F (v + w), w = sqrt(v^2/4 + F/K) - v/2, K = 2 rho A
//! (ideal actuator disc: momentum theory, Rankine 1865, Froude 1889). Swimming drag: wetted area and friction
//! line of a streamlined body (ITTC-57 form 0.455/(log10 Re)^2.58 after Prandtl and Schlichting; form factor
//! after Hoerner 1965), times a factor for a beating body. All bands are estimates but the drag.

use crate::math::{cbrt, log10, pow};

/// Kinematic viscosity of sea water near 20 C, m2/s.
const NU: f64 = 1.05e-6;
/// Density of a shark used for its diameter, kg/m3.
const BODY_DENSITY: f64 = 1060.0;
/// Speed at which the friction coefficient is taken, m/s.
const DRAG_SPEED: f64 = 2.0;

/// Slip of the disc, m/s: what the water behind the tail gains at thrust `f` N and speed `v` m/s;
/// `k_disc` = 2 rho A in kg/m.
pub fn slip_speed(f: f64, v: f64, k_disc: f64) -> f64 {
    (0.25 * v * v + f / k_disc).sqrt() - 0.5 * v
}

/// Power in W that thrust `f` N costs at speed `v` m/s.
pub fn thrust_power(f: f64, v: f64, k_disc: f64) -> f64 {
    f * (v + slip_speed(f, v, k_disc))
}

/// Greatest thrust in N that power `p` W pays while standing still.
pub fn static_thrust(p: f64, k_disc: f64) -> f64 {
    cbrt(k_disc * p * p)
}

/// Swimming drag over speed squared, N s2/m2, of a fish of `mass` kg and `length` m (fork length), with
/// `multiplier` for the beating body (1.5 to 3).
pub fn swim_drag(mass: f64, length: f64, multiplier: f64, rho: f64) -> f64 {
    let wetted = 0.09 * pow(mass, 2.0 / 3.0);
    let diameter = (6.0 * mass / (BODY_DENSITY * core::f64::consts::PI * length)).sqrt();
    let slim = diameter / length;
    let form = 1.0 + 1.5 * slim * slim.sqrt() + 7.0 * slim * slim * slim;
    let friction = 0.455 / pow(log10(DRAG_SPEED * length / NU), 2.58);
    0.5 * rho * wetted * friction * form * multiplier
}

/// Load of a swept line at the fish over its speed squared, N s2/m2: `share` of the rigid bar's D L/4, with
/// `area` = diameter x length in m2. An upper bound that a flexible line cannot carry: checks only.
pub fn sweep_drag(rho: f64, cn: f64, share: f64, area: f64) -> f64 {
    share * 0.5 * rho * cn * area / 4.0
}

/// Power in W that refills the fast store over a step of `dt` s with `spare` W of aerobic power, a deficit of
/// `deficit` J and time constant `tau` s (mean of the exponential over the step, to third order in dt/tau). The
/// slow store never comes back within a fight.
pub fn refill_power(spare: f64, deficit: f64, tau: f64, dt: f64) -> f64 {
    spare.min(deficit / (tau + 0.5 * dt)).max(0.0)
}

/// What limits a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    /// Pull to be overcome whatever the speed, N.
    pub pull: f64,
    /// Drag over speed squared, N s2/m2.
    pub drag: f64,
    /// Thrust ceiling, N.
    pub ceiling: f64,
    /// Power on call, W.
    pub power: f64,
    /// 2 rho A, kg/m.
    pub k_disc: f64,
}

impl Running {
    /// Largest speed not above `wanted` (m/s) that ceiling and power allow; `None` if not even standing
    /// against the pull is possible.
    pub fn speed(&self, wanted: f64) -> Option<f64> {
        let Self { pull, drag, ceiling, power, k_disc } = *self;
        if pull > ceiling || pull * (pull / k_disc).sqrt() > power {
            return None;
        }
        let mut v = wanted;
        if pull + drag * v * v > ceiling {
            v = ((ceiling - pull) / drag).sqrt();
        }
        // The price is convex and rising in v, so Newton from above falls to the root without crossing it.
        for _ in 0..20 {
            let f = pull + drag * v * v;
            let root = (0.25 * v * v + f / k_disc).sqrt();
            let over = f * (0.5 * v + root) - power;
            if over <= power * 1e-9 {
                break;
            }
            let df = 2.0 * drag * v;
            let slope = df * (0.5 * v + root) + f * (0.5 + (0.25 * v + 0.5 * df / k_disc) / root);
            v -= over / slope;
        }
        Some(v.max(0.0))
    }
}

/// Root v of `k v^3 + f v = p`: the speed (m/s) at which power `p` W tows drag `k v^2` against a thrust `f` N.
pub fn tow_speed(k: f64, f: f64, p: f64) -> f64 {
    if p <= 0.0 {
        return 0.0;
    }
    tow_speed_from(k, f, p, cbrt(p / k.max(1e-12)))
}

/// The same root, sought from a guess (the root of the step before).
pub(super) fn tow_speed_from(k: f64, f: f64, p: f64, guess: f64) -> f64 {
    let mut v = guess;
    // Convex and rising: Newton from below lands above the root once, from above it does not cross it.
    for _ in 0..60 {
        let over = (k * v * v + f) * v - p;
        if over.abs() <= p * 1e-9 {
            break;
        }
        v -= over / (3.0 * k * v * v + f);
    }
    v.max(0.0)
}
