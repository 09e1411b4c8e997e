//! What is written down: a sweep through each model, chosen to pass through its branches.

use crate::models;
use core::fmt::Write as _;
use tailrope::math;
use tailrope::quantity::{Force, Length, Quantity, Temperature};

/// Collects lines.
#[derive(Default)]
pub struct Lines(String);

impl Lines {
    /// One number.
    pub fn put(&mut self, name: &str, x: f64) {
        // Writing to a String cannot fail.
        let _ = writeln!(self.0, "{name} {x:?} {:016x}", x.to_bits());
    }
    /// Many numbers as one line: the sum as people read it, and a hash over all bits in order.
    pub fn put_all(&mut self, name: &str, xs: impl IntoIterator<Item = f64>) {
        let (mut sum, mut hash, mut count) = (0.0, 0xcbf2_9ce4_8422_2325_u64, 0_u32);
        for x in xs {
            sum += x;
            hash = (hash ^ x.to_bits()).wrapping_mul(0x0100_0000_01b3);
            count += 1;
        }
        let _ = writeln!(self.0, "{name} x{count} sum {sum:?} {hash:016x}");
    }
    /// A line of words.
    pub fn say(&mut self, words: &str) {
        self.0.push_str(words);
        self.0.push('\n');
    }
    /// The whole text.
    pub fn into_text(self) -> String {
        self.0
    }
}

/// Everything, bottom to top as the rooms of the library lie.
pub fn all(out: &mut Lines) {
    functions(out);
    quantities(out);
    models::all(out);
}

fn functions(out: &mut Lines) {
    let xs = || (1..=2000).map(|i| f64::from(i) * 0.01);
    out.put_all("math.sin", xs().map(math::sin));
    out.put_all("math.exp", xs().map(|x| math::exp(-x)));
    out.put_all("math.ln", xs().map(math::ln));
    out.put_all("math.pow", xs().map(|x| math::pow(x, 0.7)));
    out.put_all("math.tanh", xs().map(|x| math::tanh(x / 7.0)));
    out.put_all("math.atan2", xs().map(|x| math::atan2(x, 3.0)));
    out.put_all("math.hypot", xs().map(|x| math::hypot(x, 1.5)));
}

fn quantities(out: &mut Lines) {
    fn si<Q: Quantity + core::str::FromStr>(text: &str) -> f64 {
        text.parse::<Q>().map_or(f64::NAN, Quantity::si)
    }
    out.put("quantity.length", si::<Length>("8ft 6in"));
    out.put("quantity.force", si::<Force>("28lbf"));
    out.put("quantity.temperature", si::<Temperature>("78F"));
}
