//! Where a smooth function of time crosses zero: what turning points, thresholds, risings and settings need.
//!
//! A plain scan misses a pair of crossings that both fall between two samples: a double high water, a moon
//! that barely clears the horizon. So wherever three samples come close to zero and turn away again, the
//! turning point between them is sought and looked at.

/// One crossing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Crossing {
    /// When, on the function's own clock (s).
    pub at_s: f64,
    /// From below to above.
    pub rising: bool,
}

/// All crossings of `f` in `from_s..to_s`, in order, each within `tolerance_s`.
///
/// `step_s` must be short against the wiggles of `f`: at most one turning point in two steps is found.
pub(crate) fn crossings(
    f: impl Fn(f64) -> f64,
    from_s: f64,
    to_s: f64,
    step_s: f64,
    tolerance_s: f64,
) -> Vec<Crossing> {
    let mut found = Vec::new();
    // One step more on either side, so that a grazing pair near an end is seen whole.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded by `Interval`
    let steps = ((to_s - from_s) / step_s).ceil().max(1.0) as usize + 2;
    let time = |i: usize| from_s + (i as f64 - 1.0) * step_s;
    let mut before: Option<(f64, f64)> = None;
    let mut last = (time(0), f(time(0)));
    for i in 1..=steps {
        let here = (time(i), f(time(i)));
        if (last.1 >= 0.0) != (here.1 >= 0.0) {
            found.push(bisect(&f, last, here, tolerance_s));
        } else if let Some(before) = before
            && (before.1 >= 0.0) == (last.1 >= 0.0)
            && last.1.abs() <= before.1.abs()
            && last.1.abs() <= here.1.abs()
        {
            let turn = nearest_zero(&f, before.0, here.0, tolerance_s);
            if (turn.1 >= 0.0) != (last.1 >= 0.0) {
                found.push(bisect(&f, before, turn, tolerance_s));
                found.push(bisect(&f, turn, here, tolerance_s));
            }
        }
        before = Some(last);
        last = here;
    }
    found.retain(|c| from_s <= c.at_s && c.at_s < to_s);
    found.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    found
}

/// Halves the bracket `a..b` until it is shorter than the tolerance.
fn bisect(f: impl Fn(f64) -> f64, mut a: (f64, f64), mut b: (f64, f64), tolerance_s: f64) -> Crossing {
    let rising = b.1 >= 0.0;
    // 60 halvings exhaust the bits of any bracket.
    for _ in 0..60 {
        if b.0 - a.0 <= tolerance_s {
            break;
        }
        let middle = f64::midpoint(a.0, b.0);
        let value = f(middle);
        if (value >= 0.0) == rising {
            b = (middle, value);
        } else {
            a = (middle, value);
        }
    }
    Crossing { at_s: f64::midpoint(a.0, b.0), rising }
}

/// The point between `a` and `b` where `f` comes nearest to zero or passes it, by thirds.
fn nearest_zero(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64, tolerance_s: f64) -> (f64, f64) {
    let sign = if f(f64::midpoint(a, b)) >= 0.0 { 1.0 } else { -1.0 };
    for _ in 0..100 {
        if b - a <= tolerance_s {
            break;
        }
        let (p, q) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
        if sign * f(p) < sign * f(q) {
            b = q;
        } else {
            a = p;
        }
    }
    let middle = f64::midpoint(a, b);
    (middle, f(middle))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn finds_a_pair_between_two_samples() {
        // Above zero only for 20 s around 3630 s, sampled every 600 s.
        let f = |t: f64| 100.0 - (t - 3630.0) * (t - 3630.0);
        let c = crossings(f, 0.0, 7200.0, 600.0, 1e-3);
        assert_eq!(c.len(), 2, "{c:?}");
        assert!((c[0].at_s - 3620.0).abs() < 1e-2 && c[0].rising && !c[1].rising);
    }

    #[test]
    fn keeps_to_its_window_and_order() {
        let f = |t: f64| crate::math::sin(t);
        let c = crossings(f, 0.5, 20.0, 0.3, 1e-9);
        let expected: Vec<f64> = (1..=6).map(|k| f64::from(k) * core::f64::consts::PI).collect();
        assert_eq!(c.len(), expected.len());
        for (c, e) in c.iter().zip(expected) {
            assert!((c.at_s - e).abs() < 1e-8);
        }
    }

    proptest! {
        #[test]
        fn crossings_alternate(shift in 0.0..6.0f64, level in -0.99..0.99f64) {
            let c = crossings(|t| crate::math::sin(t + shift) - level, 0.0, 50.0, 0.4, 1e-6);
            prop_assert!(c.windows(2).all(|w| w[0].rising != w[1].rising && w[0].at_s < w[1].at_s));
            prop_assert!((15..=17).contains(&c.len()), "{}", c.len());
        }
    }
}
