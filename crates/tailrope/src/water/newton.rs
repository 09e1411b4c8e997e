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

/// Finds `x` with all of `f(x)` within `tolerance`, starting near it; `step` is the size of the differences.
/// Where rounding and the inner integration allow no further gain, [`ROUGH`] times the tolerance will do.
pub(super) fn root<const N: usize>(
    f: impl Fn(&[f64; N]) -> Option<[f64; N]>,
    mut x: [f64; N],
    step: &[f64; N],
    tolerance: f64,
) -> Option<[f64; N]> {
    let mut fx = f(&x)?;
    for _ in 0..40 {
        if size(&fx) <= tolerance {
            return Some(x);
        }
        let mut jacobian = [[0.0; N]; N];
        for col in 0..N {
            let mut near = x;
            near[col] += step[col];
            let moved = f(&near)?;
            for row in 0..N {
                jacobian[row][col] = (moved[row] - fx[row]) / step[col];
            }
        }
        let Some(full) = solve(jacobian, fx) else {
            return (size(&fx) <= ROUGH * tolerance).then_some(x);
        };
        let mut share = 1.0;
        let next = loop {
            let mut trial = x;
            for (t, d) in trial.iter_mut().zip(&full) {
                *t -= share * d;
            }
            match f(&trial) {
                Some(ft) if size(&ft) < size(&fx) * (1.0 - 0.1 * share) => break Some((trial, ft)),
                _ if share < 1e-3 => break None,
                _ => share *= 0.5,
            }
        };
        let Some(better) = next else { return (size(&fx) <= ROUGH * tolerance).then_some(x) };
        (x, fx) = better;
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
