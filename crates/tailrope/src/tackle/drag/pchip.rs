//! Shape-preserving cubic interpolation.
//!
//! Piecewise cubic Hermite with the slopes of Fritsch and Carlson (1980), in the weighted harmonic form of
//! Fritsch and Butland (1984): it passes through every knot, is monotone wherever the knots are, and never
//! overshoots. The inverse is found between the knots that bracket the value, by bisection.

/// A monotone piecewise cubic. Invariants: at least two knots, `x` strictly rising, `y` strictly rising.
#[derive(Clone, Debug, PartialEq)]
pub struct Pchip {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl Pchip {
    /// Through the knots; `None` unless there are at least two, all finite, rising in `x` and in `y`.
    pub fn rising(knots: &[(f64, f64)]) -> Option<Self> {
        let fine = knots.len() >= 2
            && knots.iter().all(|k| k.0.is_finite() && k.1.is_finite())
            && knots.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 < w[1].1);
        if !fine {
            return None;
        }
        let x: Vec<f64> = knots.iter().map(|k| k.0).collect();
        let y: Vec<f64> = knots.iter().map(|k| k.1).collect();
        let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
        let delta: Vec<f64> = y.windows(2).zip(&h).map(|(w, h)| (w[1] - w[0]) / h).collect();
        let last = delta.len() - 1;
        let mut slope = Vec::with_capacity(x.len());
        slope.push(end_slope(h[0], delta[0], h.get(1), delta.get(1)));
        for k in 1..=last {
            let (w1, w2) = (2.0 * h[k] + h[k - 1], h[k] + 2.0 * h[k - 1]);
            slope.push((w1 + w2) / (w1 / delta[k - 1] + w2 / delta[k]));
        }
        let before = last.checked_sub(1);
        slope.push(end_slope(
            h[last],
            delta[last],
            before.and_then(|k| h.get(k)),
            before.and_then(|k| delta.get(k)),
        ));
        Some(Self { x, y, slope })
    }

    /// Least and greatest `x`.
    pub fn domain(&self) -> (f64, f64) {
        (self.x[0], self.x[self.x.len() - 1])
    }
    /// Least and greatest `y`.
    pub fn range(&self) -> (f64, f64) {
        (self.y[0], self.y[self.y.len() - 1])
    }

    /// Value at `x`; `None` outside the domain.
    pub fn at(&self, x: f64) -> Option<f64> {
        let (low, high) = self.domain();
        if x.is_nan() || x < low || x > high {
            return None;
        }
        let k = self.x.partition_point(|knot| *knot <= x).clamp(1, self.x.len() - 1) - 1;
        Some(self.in_piece(k, x))
    }

    fn in_piece(&self, k: usize, x: f64) -> f64 {
        let h = self.x[k + 1] - self.x[k];
        let t = (x - self.x[k]) / h;
        if t >= 1.0 {
            return self.y[k + 1];
        }
        let s = 1.0 - t;
        let value = self.y[k] * (1.0 + 2.0 * t) * s * s
            + self.y[k + 1] * t * t * (3.0 - 2.0 * t)
            + h * (self.slope[k] * t * s * s - self.slope[k + 1] * t * t * s);
        // Rounding alone could leave the piece's range by a last bit.
        value.clamp(self.y[k], self.y[k + 1])
    }

    /// The `x` whose value is `y`; `None` outside the range. Exact to the last bits of `x`.
    pub fn inverse(&self, y: f64) -> Option<f64> {
        let (low, high) = self.range();
        if y.is_nan() || y < low || y > high {
            return None;
        }
        let k = self.y.partition_point(|knot| *knot <= y).clamp(1, self.y.len() - 1) - 1;
        if y >= self.y[k + 1] {
            return Some(self.x[k + 1]);
        }
        let (mut a, mut b) = (self.x[k], self.x[k + 1]);
        // A double has 53 bits: after 100 halvings the bracket no longer shrinks.
        for _ in 0..100 {
            let middle = f64::midpoint(a, b);
            if middle <= a || middle >= b {
                break;
            }
            if self.in_piece(k, middle) <= y {
                a = middle;
            } else {
                b = middle;
            }
        }
        Some(a)
    }
}

/// One-sided three-point slope at an end, kept within what monotony allows.
fn end_slope(h0: f64, d0: f64, h1: Option<&f64>, d1: Option<&f64>) -> f64 {
    let (Some(h1), Some(d1)) = (h1, d1) else { return d0 };
    let slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    slope.clamp(0.0, 3.0 * d0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn knots() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((0.01..1.0_f64, 0.01..50.0_f64), 2..9).prop_map(|steps| {
            let (mut x, mut y) = (0.0, 0.0);
            steps
                .into_iter()
                .map(|(dx, dy)| {
                    x += dx;
                    y += dy;
                    (x, y)
                })
                .collect()
        })
    }

    proptest! {
        #[test]
        fn passes_through_every_knot(k in knots()) {
            let p = Pchip::rising(&k).unwrap();
            for (x, y) in &k {
                prop_assert!((p.at(*x).unwrap() - y).abs() <= 1e-12 * y.abs());
            }
        }

        #[test]
        fn is_monotone_and_never_overshoots(k in knots(), a in 0.0..=1.0_f64, b in 0.0..=1.0_f64) {
            let p = Pchip::rising(&k).unwrap();
            let (low, high) = p.domain();
            let at = |s: f64| (low + s * (high - low)).clamp(low, high);
            let (near, far) = (p.at(at(a.min(b))).unwrap(), p.at(at(a.max(b))).unwrap());
            prop_assert!(near <= far * (1.0 + 1e-12));
            prop_assert!(near >= p.range().0 && far <= p.range().1);
            for w in k.windows(2) {
                let y = p.at(f64::midpoint(w[0].0, w[1].0)).unwrap();
                prop_assert!(y >= w[0].1 && y <= w[1].1);
            }
        }

        #[test]
        fn the_inverse_undoes_it(k in knots(), s in 0.0..=1.0_f64) {
            let p = Pchip::rising(&k).unwrap();
            let (low, high) = p.domain();
            let x = (low + s * (high - low)).clamp(low, high);
            let y = p.at(x).unwrap();
            let back = p.inverse(y).unwrap();
            // Where the curve is flat, x is only as sure as y is.
            prop_assert!((p.at(back).unwrap() - y).abs() <= 1e-12 * y.abs().max(1.0));
            let (y_low, y_high) = p.range();
            let y = y_low + s * (y_high - y_low);
            let y = y.clamp(y_low, y_high);
            prop_assert!((p.at(p.inverse(y).unwrap()).unwrap() - y).abs() <= 1e-12 * y.abs().max(1.0));
        }
    }

    #[test]
    fn two_knots_make_a_straight_line_and_bad_knots_none() {
        let p = Pchip::rising(&[(0.0, 0.0), (2.0, 8.0)]).unwrap();
        assert!((p.at(0.5).unwrap() - 2.0).abs() < 1e-12);
        assert!((p.inverse(6.0).unwrap() - 1.5).abs() < 1e-12);
        assert_eq!(p.at(2.1), None);
        assert_eq!(p.inverse(-0.1), None);
        assert!(Pchip::rising(&[(0.0, 1.0)]).is_none());
        assert!(Pchip::rising(&[(0.0, 1.0), (1.0, 1.0)]).is_none());
        assert!(Pchip::rising(&[(0.0, 1.0), (1.0, f64::NAN)]).is_none());
    }

    #[test]
    fn agrees_with_published_slopes() {
        // Knots (0,0) (1,1) (3,9): h 1,2; delta 1,4. Interior slope (5+4)/(5/1+4/4) = 1.5 by hand.
        let p = Pchip::rising(&[(0.0, 0.0), (1.0, 1.0), (3.0, 9.0)]).unwrap();
        assert!((p.slope[1] - 1.5).abs() < 1e-12);
    }
}
