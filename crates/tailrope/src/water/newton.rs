//! Newton's method for a few unknowns, damped, with differences for the slopes.

/// How much coarser than wanted a result may be if no step makes it finer.
const ROUGH: f64 = 100.0;

/// Solves `a x = b` by elimination with pivoting; `None` if singular.
#[allow(clippy::needless_range_loop)] // rows and columns of the same matrix
pub(super) fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    for col in 0..N {
        let pivot = (col..N).max_by(|&i, &j| a[i][col].abs().total_cmp(&a[j][col].abs()))?;
        if a[pivot][col] == 0.0 || !a[pivot][col].is_finite() {
            return None;
        }
        a.swap(col, pivot);
        b.swap(col, pivot);
        for row in col + 1..N {
            let m = a[row][col] / a[col][col];
            for k in col..N {
                a[row][k] -= m * a[col][k];
            }
            b[row] -= m * b[col];
        }
    }
    for row in (0..N).rev() {
        for k in row + 1..N {
            b[row] -= a[row][k] * b[k];
        }
        b[row] /= a[row][row];
    }
    b.iter().all(|x| x.is_finite()).then_some(b)
}

fn size<const N: usize>(f: &[f64; N]) -> f64 {
    f.iter().fold(0.0_f64, |m, x| m.max(x.abs()))
}

/// Slopes by differences of `step`.
fn slopes<const N: usize>(
    f: impl Fn(&[f64; N]) -> Option<[f64; N]>,
    x: &[f64; N],
    fx: &[f64; N],
    step: &[f64; N],
) -> Option<[[f64; N]; N]> {
    let mut jacobian = [[0.0; N]; N];
    for col in 0..N {
        let mut near = *x;
        near[col] += step[col];
        let moved = f(&near)?;
        for row in 0..N {
            jacobian[row][col] = (moved[row] - fx[row]) / step[col];
        }
    }
    Some(jacobian)
}

/// Broyden's update: the slopes that also explain the step just made, changed as little as that allows. `x` is
/// weighed by `step`, so that unlike units do not mix.
fn updated<const N: usize>(
    jacobian: &mut [[f64; N]; N],
    dx: &[f64; N],
    fx: &[f64; N],
    moved: &[f64; N],
    step: &[f64; N],
) {
    let weight: f64 = dx.iter().zip(step).map(|(d, s)| (d / s) * (d / s)).sum();
    if weight <= 0.0 {
        return;
    }
    for (row, slopes) in jacobian.iter_mut().enumerate() {
        let said: f64 = slopes.iter().zip(dx).map(|(j, d)| j * d).sum();
        let missed = moved[row] - fx[row] - said;
        for (col, j) in slopes.iter_mut().enumerate() {
            *j += missed * dx[col] / (step[col] * step[col] * weight);
        }
    }
}

/// Finds `x` with all of `f(x)` within `tolerance`, starting near it; `step` is the size of the differences.
/// Where rounding and the inner integration allow no further gain, [`ROUGH`] times the tolerance will do.
///
/// Slopes are taken by differences once and updated from the steps made (Broyden 1965, Math Comp 19:577); they are
/// taken anew where a step gains too little.
pub(super) fn root<const N: usize>(
    f: impl Fn(&[f64; N]) -> Option<[f64; N]>,
    mut x: [f64; N],
    step: &[f64; N],
    tolerance: f64,
) -> Option<[f64; N]> {
    let mut fx = f(&x)?;
    let mut known: Option<[[f64; N]; N]> = None;
    for _ in 0..60 {
        if size(&fx) <= tolerance {
            return Some(x);
        }
        let fresh = known.is_none();
        let mut jacobian = match known {
            Some(j) => j,
            None => slopes(&f, &x, &fx, step)?,
        };
        let Some(full) = solve(jacobian, fx) else {
            if fresh {
                return (size(&fx) <= ROUGH * tolerance).then_some(x);
            }
            known = None;
            continue;
        };
        let mut share = 1.0;
        let next = loop {
            let mut trial = x;
            for (t, d) in trial.iter_mut().zip(&full) {
                *t -= share * d;
            }
            match f(&trial) {
                Some(ft) if size(&ft) < size(&fx) * (1.0 - 0.1 * share) => break Some((trial, ft)),
                // Old slopes that do not serve are taken anew before they are followed less far.
                _ if !fresh || share < 1e-3 => break None,
                _ => share *= 0.5,
            }
        };
        match next {
            Some((better, moved)) => {
                let gained = size(&moved) < 0.3 * size(&fx);
                let mut dx = better;
                for (d, old) in dx.iter_mut().zip(&x) {
                    *d -= old;
                }
                updated(&mut jacobian, &dx, &fx, &moved, step);
                known = gained.then_some(jacobian);
                (x, fx) = (better, moved);
            }
            None if fresh => return (size(&fx) <= ROUGH * tolerance).then_some(x),
            None => known = None,
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_root_and_says_when_there_is_none() {
        let f = |x: &[f64; 2]| Some([x[0] * x[0] + x[1] - 3.0, x[0] - x[1] + 1.0]);
        let x = root(f, [5.0, 5.0], &[1e-6; 2], 1e-12).unwrap();
        assert!((x[0] - 1.0).abs() < 1e-9 && (x[1] - 2.0).abs() < 1e-9, "{x:?}");
        assert!(root(|x: &[f64; 1]| Some([x[0] * x[0] + 1.0]), [3.0], &[1e-6], 1e-9).is_none());
        assert!(solve([[1.0, 2.0], [2.0, 4.0]], [1.0, 1.0]).is_none());
    }
}
