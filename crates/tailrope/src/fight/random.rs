//! Random numbers with the same bits on every machine: a counter-based stream for each fight, and inverse
//! distribution functions that go through [`crate::math`] only.
//!
//! Sources: ChaCha with 8 rounds (D. J. Bernstein 2008) by `rand_chacha`; normal quantile: M. J. Wichura,
//! Algorithm AS 241 (PPND16), Applied Statistics 37:477-484, 1988 (relative error about 1e-16).

#![allow(clippy::excessive_precision)] // the constants of AS 241 stand as published

use crate::math::{exp, ln};
use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// 95 % point of the standard normal distribution.
const Z95: f64 = 1.644_853_626_951_472_7;

/// A stream of random numbers, fixed by seed and stream number.
pub(super) struct Stream(ChaCha8Rng);

impl Stream {
    /// Stream `stream` of `seed`.
    pub fn new(seed: u64, stream: u64) -> Self {
        // The key is spelt out here, not left to a library's seeding rule that may change with its version.
        let mut key = [0u8; 32];
        let mut x = seed;
        for eight in key.chunks_exact_mut(8) {
            x = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = x;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            eight.copy_from_slice(&(z ^ (z >> 31)).to_le_bytes());
        }
        let mut rng = ChaCha8Rng::from_seed(key);
        rng.set_stream(stream);
        Self(rng)
    }

    /// Uniform in (0, 1): neither end is ever returned.
    pub fn uniform(&mut self) -> f64 {
        ((self.0.next_u64() >> 12) as f64 + 0.5) * (1.0 / 4_503_599_627_370_496.0)
    }

    /// Standard normal.
    pub fn normal(&mut self) -> f64 {
        normal(self.uniform())
    }
}

/// Inverse of the triangular distribution with ends `low`, `high` and mode `mid`.
pub(super) fn triangular(u: f64, low: f64, mid: f64, high: f64) -> f64 {
    let width = high - low;
    if width <= 0.0 {
        return mid;
    }
    if u * width < mid - low {
        low + (u * width * (mid - low)).sqrt()
    } else {
        high - ((1.0 - u) * width * (high - mid)).sqrt()
    }
}

/// Lognormal value `z` standard deviations from its median, with 5-95 % spread `low`-`high`.
pub(super) fn lognormal(z: f64, low: f64, median: f64, high: f64) -> f64 {
    if low <= 0.0 || high <= low {
        return median;
    }
    median * exp(z * ln(high / low) / (2.0 * Z95))
}

/// Quantile of the standard normal distribution, `0 < p < 1`.
pub(super) fn normal(p: f64) -> f64 {
    let ratio = |x: f64, top: &[f64; 8], low: &[f64; 8]| {
        let poly = |c: &[f64; 8]| c.iter().fold(0.0, |s, a| s * x + a);
        poly(top) / poly(low)
    };
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        return q * ratio(0.180_625 - q * q, &A, &B);
    }
    let tail = (-ln(if q < 0.0 { p } else { 1.0 - p })).sqrt();
    let z = if tail <= 5.0 { ratio(tail - 1.6, &C, &D) } else { ratio(tail - 5.0, &E, &F) };
    if q < 0.0 { -z } else { z }
}

const A: [f64; 8] = [
    2509.0809287301226727,
    33430.575583588128105,
    67265.770927008700853,
    45921.953931549871457,
    13731.693765509461125,
    1971.5909503065514427,
    133.14166789178437745,
    3.387132872796366608,
];
const B: [f64; 8] = [
    5226.495278852545925,
    28729.085735721942674,
    39307.89580009271061,
    21213.794301586595867,
    5394.1960214247511077,
    687.1870074920579083,
    42.313330701600911252,
    1.0,
];
const C: [f64; 8] = [
    7.7454501427834140764e-4,
    0.0227238449892691845833,
    0.24178072517745061177,
    1.27045825245236838258,
    3.64784832476320460504,
    5.7694972214606914055,
    4.6303378461565452959,
    1.42343711074968357734,
];
const D: [f64; 8] = [
    1.05075007164441684324e-9,
    5.475938084995344946e-4,
    0.0151986665636164571966,
    0.14810397642748007459,
    0.68976733498510000455,
    1.6763848301838038494,
    2.05319162663775882187,
    1.0,
];
const E: [f64; 8] = [
    2.01033439929228813265e-7,
    2.71155556874348757815e-5,
    0.0012426609473880784386,
    0.026532189526576123093,
    0.29656057182850489123,
    1.7848265399172913358,
    5.4637849111641143699,
    6.6579046435011037772,
];
const F: [f64; 8] = [
    2.04426310338993978564e-15,
    1.4215117583164458887e-7,
    1.8463183175100546818e-5,
    7.868691311456132591e-4,
    0.0148753612908506148525,
    0.13692988092273580531,
    0.59983220655588793769,
    1.0,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_normal_quantile_meets_tables() {
        for (p, z) in [
            (0.5, 0.0),
            (0.95, Z95),
            (0.025, -1.959_963_984_540_054),
            (0.999, 3.090_232_306_167_813),
            (1e-9, -5.997_807_015_007_7),
            (1e-12, -7.034_483_825_301_2),
        ] {
            assert!((normal(p) - z).abs() < 2e-12, "{p}: {}", normal(p));
        }
    }

    #[test]
    fn a_stream_is_its_own_and_uniform() {
        let mut a = Stream::new(7, 0);
        let mut b = Stream::new(7, 1);
        let mut c = Stream::new(8, 0);
        let (x, y, z) = (a.uniform(), b.uniform(), c.uniform());
        assert!(x != y && x != z);
        assert_eq!(Stream::new(7, 0).uniform(), x);
        let n = 20_000;
        let (mut s, mut s2) = (0.0, 0.0);
        for _ in 0..n {
            let g = a.normal();
            s += g;
            s2 += g * g;
        }
        let n = f64::from(n);
        assert!((s / n).abs() < 4.0 / n.sqrt());
        assert!((s2 / n - 1.0).abs() < 4.0 * (2.0 / n).sqrt());
    }

    #[test]
    fn the_triangle_has_its_mean() {
        let n = 10_000;
        let mean =
            (0..n).map(|i| triangular((f64::from(i) + 0.5) / f64::from(n), 1.0, 2.0, 6.0)).sum::<f64>()
                / f64::from(n);
        assert!((mean - 3.0).abs() < 1e-3);
    }
}
