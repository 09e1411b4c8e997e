//! Whether the drag must be proved by a pull on the beach: a drag moves with temperature, and no formula was measured.
//!
//! Source: S19, five reels: all lost at least 1.5 lbf from 40 to 65 F, so on cooling expect more. What is known is a
//! band, not a correction.

use super::DragPlan;
use super::reading::Reading;
use crate::facts::Known;
use crate::quantity::Temperature;

/// The night beside the reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckPull {
    /// Air at the newest readings; of several the one farthest from the night's.
    pub read_at: Known<Temperature>,
    /// Air of the night.
    pub air: Known<Temperature>,
}

impl CheckPull {
    /// Compares the newest readings that count with the night's air. A reading without temperature, or without date
    /// beside dated ones, is not asked; a newest day of which no temperature is known leaves it unknown.
    pub fn of(readings: &[Reading], plan: &DragPlan, air: Known<Temperature>) -> Self {
        let counts = || readings.iter().filter(|r| r.stands(plan));
        let newest = counts().filter_map(|r| r.date.get()).max();
        let temperatures = counts().filter(|r| r.date.get() == newest).filter_map(|r| r.temperature.get());
        let off = |t: &Temperature| air.get().map_or(0.0, |a| (t.c() - a.c()).abs());
        let read_at = temperatures.max_by(|a, b| off(a).total_cmp(&off(b)));
        Self { read_at: read_at.into(), air }
    }

    /// Kelvins by which the night is warmer than the reading, negative when colder; unknown when either is.
    pub fn warmer_k(&self) -> Known<f64> {
        match (self.read_at, self.air) {
            (Known::Known(read), Known::Known(air)) => Known::Known(air.c() - read.c()),
            _ => Known::Unknown,
        }
    }

    /// The words for it: what to expect of the drag.
    pub fn expect(&self) -> &'static str {
        match self.warmer_k() {
            Known::Known(k) if k < 0.0 => "colder: expect more drag than was read",
            Known::Known(_) => "warmer: expect less drag than was read, and more after a run",
            Known::Unknown => "expect either",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Force;
    use crate::tackle::drag::{ScalePlace, Setting};

    fn read(date: Option<&str>, f: Option<f64>) -> Reading {
        let mut r = Reading::new(Setting::Strike, Force::of_lbf(25.0), ScalePlace::Tip);
        r.date = date.map(|d| d.parse().unwrap()).into();
        r.temperature = f.map(|f| Temperature::of_c((f - 32.0) / 1.8)).into();
        r
    }

    #[test]
    fn the_newest_reading_counts_and_a_check_pull_settles_it() {
        let cold = Known::Known(Temperature::of_c(8.0 / 1.8));
        let plan = DragPlan::default();
        let noon = read(Some("2026-10-11"), Some(65.0));
        let c = CheckPull::of(std::slice::from_ref(&noon), &plan, cold);
        assert!((c.warmer_k().get().unwrap() + 13.888_888).abs() < 1e-5);
        assert!(c.expect().contains("more drag"));
        let c = CheckPull::of(&[noon.clone(), read(Some("2026-10-17"), Some(41.0))], &plan, cold);
        assert!(c.warmer_k().get().unwrap().abs() < 1.0);
        // A newest day without temperature says nothing, and neither does an unknown night.
        assert!(
            CheckPull::of(&[noon.clone(), read(Some("2026-10-17"), None)], &plan, cold)
                .warmer_k()
                .is_unknown()
        );
        assert!(CheckPull::of(&[noon], &plan, Known::Unknown).warmer_k().is_unknown());
        assert!(CheckPull::of(&[], &plan, cold).warmer_k().is_unknown());
    }
}
