//! Levels and rates at equal steps, without a cosine for each: the fast way through a sum of harmonics.
//!
//! About the middle of a block of samples each wave is split into an even and an odd part: A cos(p + x) =
//! C cos x - S sin x with C = A cos p, S = A sin p. The cosines and sines of the offsets x are the same in
//! every block, so they are made once; from block to block the pair (C, S) is turned by a fixed angle. A sample
//! then costs one multiplication and one addition for each wave, and neighbouring samples are reckoned side by
//! side. The pairs are made anew from true cosines before rounding can gather.
//!
//! Only multiplications and additions in a fixed order: the bits are the same on every machine. Against the
//! plain sum the levels differ by less than 1e-9 m (tests).

use super::harmonic::Waves;
use crate::math::{cos, sin};

/// Samples on either side of a block's middle.
const HALF: usize = 8;
/// Samples in a block.
pub(super) const BLOCK: usize = 2 * HALF;
/// Blocks after which the pairs are made from true cosines again. The rounding of a turn is 1e-16, so after so
/// many it is about 1e-14 of an amplitude.
const SEED_EVERY: usize = 64;
/// Coefficients of a [`Local`] expansion. With ten, and a step of 15 min away, M12 is cut off at 2e-8 of its amplitude,
/// M2 at the last bit.
const TERMS: usize = 10;

/// What is swept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// The level, m.
    Level,
    /// How fast it rises, m/s.
    Rate,
}

/// What depends on the speeds and the step alone.
pub(super) struct Steps<'a> {
    step_s: f64,
    speed_rad_s: &'a [f64],
    /// cos and sin of the offsets k + 1/2 steps, by wave.
    offsets: Vec<([f64; HALF], [f64; HALF])>,
    /// cos and sin of a block's turn, by wave.
    turns: Vec<(f64, f64)>,
}

impl<'a> Steps<'a> {
    /// For waves of these speeds and steps of `step_s`.
    pub fn new(speed_rad_s: &'a [f64], step_s: f64) -> Self {
        let turn = |c: f64, s: f64, (tc, ts): (f64, f64)| (c * tc - s * ts, s * tc + c * ts);
        let mut offsets = Vec::with_capacity(speed_rad_s.len());
        let mut turns = Vec::with_capacity(speed_rad_s.len());
        for speed in speed_rad_s {
            let (mut c, mut s) = (cos(speed * step_s * 0.5), sin(speed * step_s * 0.5));
            let one = turn(c, s, (c, s));
            let (mut cs, mut ss) = ([0.0; HALF], [0.0; HALF]);
            for (ck, sk) in cs.iter_mut().zip(&mut ss) {
                (*ck, *sk) = (c, s);
                (c, s) = turn(c, s, one);
            }
            offsets.push((cs, ss));
            let block = speed * step_s * BLOCK as f64;
            turns.push((cos(block), sin(block)));
        }
        Self { step_s, speed_rad_s, offsets, turns }
    }
}

/// A sweep over one epoch's waves, block by block.
pub(super) struct Sweep<'a> {
    steps: &'a Steps<'a>,
    waves: Waves<'a>,
    of: Of,
    from_s: f64,
    /// A cos p and A sin p at the middle of the block at hand.
    cosines: Vec<f64>,
    sines: Vec<f64>,
    /// Blocks done.
    done: usize,
}

impl<'a> Sweep<'a> {
    /// From `from_s` (seconds on the waves' own clock) on.
    pub fn new(steps: &'a Steps<'a>, waves: Waves<'a>, of: Of, from_s: f64) -> Self {
        let room = || vec![0.0; steps.speed_rad_s.len()];
        Self { steps, waves, of, from_s, cosines: room(), sines: room(), done: 0 }
    }

    /// The next block's samples.
    pub fn next_block(&mut self) -> [f64; BLOCK] {
        if self.done.is_multiple_of(SEED_EVERY) {
            self.seed();
        } else {
            self.turn();
        }
        self.done += 1;
        let (mut even, mut odd) = ([0.0; HALF], [0.0; HALF]);
        for (((cs, ss), c), s) in self.steps.offsets.iter().zip(&self.cosines).zip(&self.sines) {
            for k in 0..HALF {
                even[k] += c * cs[k];
                odd[k] += s * ss[k];
            }
        }
        let mut out = [0.0; BLOCK];
        for k in 0..HALF {
            out[HALF + k] = even[k] - odd[k];
            out[HALF - 1 - k] = even[k] + odd[k];
        }
        out
    }

    /// Seconds (on the waves' clock) of the middle of block `i`.
    fn middle_s(&self, i: usize) -> f64 {
        self.from_s + self.steps.step_s * ((i * BLOCK + HALF) as f64 - 0.5)
    }

    fn seed(&mut self) {
        let t = self.middle_s(self.done);
        let Waves { amplitude_m, speed_rad_s, phase_rad } = self.waves;
        let pairs = self.cosines.iter_mut().zip(&mut self.sines);
        for (((pair, a), w), p) in pairs.zip(amplitude_m).zip(speed_rad_s).zip(phase_rad) {
            let (c, s) = (a * cos(p + w * t), a * sin(p + w * t));
            (*pair.0, *pair.1) = match self.of {
                Of::Level => (c, s),
                // A derivative is a quarter turn ahead.
                Of::Rate => (-w * s, w * c),
            };
        }
    }

    fn turn(&mut self) {
        for ((c, s), (tc, ts)) in self.cosines.iter_mut().zip(&mut self.sines).zip(&self.steps.turns) {
            (*c, *s) = (*c * tc - *s * ts, *s * tc + *c * ts);
        }
    }

    /// Taylor expansion of the level about a sample of the block made last. Only for a sweep of the rate.
    pub fn local(&self, sample: usize) -> Local {
        let k = if sample < HALF { HALF - 1 - sample } else { sample - HALF };
        let side = if sample < HALF { -1.0 } else { 1.0 };
        let step_s = self.steps.step_s;
        let (mut level_m, mut terms) = (0.0, [0.0; TERMS]);
        let pairs = self.cosines.iter().zip(&self.sines).zip(&self.steps.offsets);
        for (((c, s), (cs, ss)), w) in pairs.zip(self.steps.speed_rad_s) {
            let (cs, ss) = (cs[k.min(HALF - 1)], side * ss[k.min(HALF - 1)]);
            // First and second derivative of this wave, on a clock that counts in steps.
            let angle = w * step_s;
            level_m += (s * cs + c * ss) / w;
            let (mut first, mut second) = ((c * cs - s * ss) * step_s, -(s * cs + c * ss) * step_s * angle);
            let minus = -angle * angle;
            for pair in terms.chunks_exact_mut(2) {
                pair[0] += first;
                pair[1] += second;
                first *= minus;
                second *= minus;
            }
        }
        let mut factorial = 1.0;
        for (n, t) in terms.iter_mut().enumerate() {
            factorial *= (n + 1) as f64;
            *t /= factorial;
        }
        Local { step_s, level_m, terms }
    }
}

/// The level near a sample, as a power series in steps.
#[derive(Clone, Copy, Debug)]
pub(super) struct Local {
    step_s: f64,
    level_m: f64,
    /// Coefficients of x, x^2, ...
    terms: [f64; TERMS],
}

impl Local {
    /// Rate (m a step) and its own rate at `x` steps from the sample.
    fn rate(&self, x: f64) -> (f64, f64) {
        let (mut rate, mut bend) = (0.0, 0.0);
        for (n, t) in self.terms.iter().enumerate().rev() {
            bend = bend * x + rate;
            rate = rate * x + (n + 1) as f64 * t;
        }
        (rate, bend)
    }

    /// Bend and its rate.
    fn bend(&self, x: f64) -> (f64, f64) {
        let (mut bend, mut twist) = (0.0, 0.0);
        for (n, t) in self.terms.iter().enumerate().skip(1).rev() {
            twist = twist * x + bend;
            bend = bend * x + ((n + 1) * n) as f64 * t;
        }
        (bend, twist)
    }

    /// Where between `a` and `b` (steps from the sample) the rate passes zero, if it has two signs there.
    pub fn turning(&self, a: f64, b: f64) -> Option<f64> {
        zero(|x| self.rate(x), a, b, 0.02 / self.step_s)
    }

    /// Where between `a` and `b` the rate itself turns.
    pub fn steepest(&self, a: f64, b: f64) -> Option<f64> {
        zero(|x| self.bend(x), a, b, 0.02 / self.step_s)
    }

    /// Whether the water rises at `x` steps from the sample.
    pub fn rises(&self, x: f64) -> bool {
        self.rate(x).0 >= 0.0
    }

    /// Level about the mean, m.
    pub fn level_m(&self, x: f64) -> f64 {
        self.terms.iter().rev().fold(0.0, |sum, t| (sum + t) * x) + self.level_m
    }
}

/// Zero of a function that has two signs at `a` and `b`: Newton's step where it stays within the bracket, else
/// half of it.
pub(super) fn zero(f: impl Fn(f64) -> (f64, f64), mut a: f64, mut b: f64, tolerance: f64) -> Option<f64> {
    let rising = f(b).0 >= 0.0;
    if (f(a).0 >= 0.0) == rising {
        return None;
    }
    let mut x = f64::midpoint(a, b);
    // Halvings alone reach the last bit of any bracket in 60.
    for _ in 0..80 {
        let (value, slope) = f(x);
        if (value >= 0.0) == rising {
            b = x;
        } else {
            a = x;
        }
        let newton = x - value / slope;
        let next = if a < newton && newton < b { newton } else { f64::midpoint(a, b) };
        if (next - x).abs() <= tolerance || b - a <= tolerance {
            return Some(next);
        }
        x = next;
    }
    Some(x)
}
