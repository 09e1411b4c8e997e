//! Integration of a small system of ordinary differential equations: Dormand and Prince 5(4) with step control
//! (J Comput Appl Math 6:19, 1980). Pure and bounded: a step that cannot be made small enough gives `None`.

use crate::math::pow;

/// Steps after which the integration gives up.
const MAX_STEPS: u32 = 2_000;

const A: [[f64; 6]; 6] = [
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];
/// Fifth-order weights less fourth-order ones.
const E: [f64; 7] =
    [71.0 / 57600.0, 0.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339200.0, 22.0 / 525.0, -1.0 / 40.0];

/// From `y` at 0 to `end` > 0, beginning with a step of `first`, with relative tolerance `rtol` against `scale`; `seen` gets every accepted point.
pub(super) fn integrate<const N: usize>(
    slope: impl Fn(&[f64; N]) -> [f64; N],
    mut y: [f64; N],
    end: f64,
    first: f64,
    rtol: f64,
    scale: &[f64; N],
    mut seen: impl FnMut(f64, &[f64; N]),
) -> Option<[f64; N]> {
    let mut s = 0.0;
    let mut step = first;
    let mut k = [[0.0; N]; 7];
    k[0] = slope(&y);
    seen(s, &y);
    for _ in 0..MAX_STEPS {
        let last = s + step >= end * (1.0 - 1e-14);
        if last {
            step = end - s;
        }
        let mut next = y;
        for (stage, row) in A.iter().enumerate() {
            next = y;
            for (weight, kj) in row.iter().zip(&k).take(stage + 1) {
                for (n, kji) in next.iter_mut().zip(kj) {
                    *n += step * weight * kji;
                }
            }
            k[stage + 1] = slope(&next);
        }
        let mut error = 0.0_f64;
        for i in 0..N {
            let e: f64 = E.iter().zip(&k).map(|(w, kj)| w * kj[i]).sum();
            let allowed = rtol * (scale[i] + y[i].abs().max(next[i].abs()));
            error = error.max((step * e).abs() / allowed);
        }
        if !error.is_finite() || next.iter().any(|x| !x.is_finite()) {
            step *= 0.1;
        } else {
            if error <= 1.0 {
                s += step;
                y = next;
                k[0] = k[6];
                seen(s, &y);
                if last {
                    return Some(y);
                }
            }
            step *= (0.9 * pow(error.max(1e-10), -0.2)).clamp(0.2, 5.0);
        }
        if step < end * 1e-13 {
            return None;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::{cos, exp, sin};

    #[test]
    fn follows_known_solutions() {
        let end = integrate(|y| [y[1], -y[0]], [0.0, 1.0], 20.0, 0.4, 1e-11, &[1.0; 2], |_, _| {}).unwrap();
        assert!((end[0] - sin(20.0)).abs() < 1e-8 && (end[1] - cos(20.0)).abs() < 1e-8, "{end:?}");
        let end = integrate(|y| [-3.0 * y[0]], [2.0], 4.0, 0.1, 1e-11, &[1e-3], |_, _| {}).unwrap();
        assert!((end[0] / (2.0 * exp(-12.0)) - 1.0).abs() < 1e-6, "{end:?}");
    }

    #[test]
    fn gives_up_instead_of_running_on() {
        assert!(integrate(|y| [y[0] * y[0]], [1.0], 2.0, 0.1, 1e-9, &[1.0], |_, _| {}).is_none());
        assert!(integrate(|_| [f64::NAN], [1.0], 2.0, 0.1, 1e-9, &[1.0], |_, _| {}).is_none());
    }
}
