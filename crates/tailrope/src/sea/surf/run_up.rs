//! How far up the beach the water comes, and where dry sand begins.
//!
//! Stockdon, Holman, Howd & Sallenger (2006, *Coastal Engineering* 53, 573-588; coefficients read in a public
//! research code): R2 = 1.1 {0.35 b sqrt(H0 L0) + 1/2 sqrt[H0 L0 (0.563 b2 + 0.004)]}, on very flat beaches
//! (surf similarity below 0.3) 0.043 sqrt(H0 L0). R2 is passed by one wave in fifty. Scatter 0.3 to 0.4 m rms
//! (recalled). H0 is the deep-water significant height, b the slope of the foreshore.

use super::breaker::surf_similarity;
use super::pack::RunUpRows;
use super::swell::Swell;
use crate::quantity::{Length, Slope};
use serde::Serialize;

/// Run-up above the still-water line, vertically.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RunUp {
    /// Rise of the mean water line by the breaking.
    pub set_up: Length,
    /// Swash at the waves' own period.
    pub incident: Length,
    /// Slow swash of the sets.
    pub infragravity: Length,
    /// R2 by the general equation.
    pub general: Length,
    /// R2 by the equation for very flat beaches.
    pub dissipative: Length,
    /// R2 as published: the one of the two that the surf similarity asks for.
    pub two_percent: Length,
}

impl RunUp {
    /// Run-up of a swell on a foreshore.
    ///
    /// ```
    /// use tailrope::{quantity::{Length, Slope, Span}, sea::surf::{RunUp, Swell}};
    /// let swell = Swell::square_on(Length::of_m(1.5), Span::of_s(10.0))?;
    /// let r = RunUp::of(swell, Slope::of_rise_over_run(0.1)?);
    /// assert!((r.two_percent.m() - 1.415).abs() < 0.001);
    /// # Ok::<(), tailrope::Error>(())
    /// ```
    pub fn of(swell: Swell, foreshore: Slope) -> Self {
        let b = foreshore.tan();
        let root = (swell.h0_m() * swell.deep_length_m()).sqrt();
        let general = 1.1 * root * (0.35 * b + 0.5 * (0.563 * b * b + 0.004).sqrt());
        let dissipative = 0.043 * root;
        let (xi, _) = surf_similarity(swell, foreshore);
        Self {
            set_up: Length::of_m(0.35 * b * root),
            incident: Length::of_m(0.75 * b * root),
            infragravity: Length::of_m(0.06 * root),
            general: Length::of_m(general),
            dissipative: Length::of_m(dissipative),
            two_percent: Length::of_m(if xi < 0.3 { dissipative } else { general }),
        }
    }

    /// The run-up to plan with: the larger of the two equations. The published switch between them would let a
    /// growing sea lower the run-up as it passes 0.3.
    pub fn safe(&self) -> Length {
        self.general.max(self.dissipative)
    }
}

/// The largest planning run-up of several wave trains: a mixed sea is planned on its worse train, never on a mean
/// of the periods.
pub fn worst_run_up(trains: &[Swell], foreshore: Slope) -> Option<(Swell, RunUp)> {
    trains
        .iter()
        .map(|s| (*s, RunUp::of(*s, foreshore)))
        .max_by(|a, b| a.1.safe().m().total_cmp(&b.1.safe().m()))
}

/// Where the water comes to, and where the beach stays dry.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DryLine {
    /// Level that one wave in fifty passes, above the tide's datum.
    pub wash: Length,
    /// Level above which gear and people stay dry: still water and the run-up with its spare (half as much again as
    /// shipped).
    pub dry: Length,
    /// Distance up the beach from the still-water line to the first.
    pub wash_reach: Length,
    /// Distance up the beach from the still-water line to the second.
    pub dry_reach: Length,
}

/// Wash and dry line over a still-water level (tide with its residual) for a run-up, with the spare of the pack.
///
/// On a level beach the reach has no end: it is reckoned on 1 in 1000.
pub fn dry_line(still_water: Length, run_up: Length, foreshore: Slope, rows: &RunUpRows) -> DryLine {
    let tan = foreshore.tan().max(1e-3);
    let spare = rows.spare.value;
    let run_up = run_up.max(Length::ZERO);
    DryLine {
        wash: still_water + run_up,
        dry: still_water + run_up * spare,
        wash_reach: run_up / tan,
        dry_reach: run_up * spare / tan,
    }
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use crate::quantity::Span;
    use proptest::prelude::*;

    fn run_up(h: f64, t: f64, b: f64) -> RunUp {
        RunUp::of(
            Swell::square_on(Length::of_m(h), Span::of_s(t)).unwrap(),
            Slope::of_rise_over_run(b).unwrap(),
        )
    }

    proptest! {
        #[test]
        fn more_wave_never_lowers_the_run_up(
            h in 0.0..6.0f64, t in 1.0..25.0f64, b in 0.0..0.2f64, dh in 0.0..2.0f64, dt in 0.0..4.0f64, db in 0.0..0.1f64,
        ) {
            let r = run_up(h, t, b).safe().m();
            prop_assert!(run_up(h + dh, t, b).safe().m() >= r);
            prop_assert!(run_up(h, t + dt, b).safe().m() >= r);
            prop_assert!(run_up(h, t, b + db).safe().m() >= r);
            prop_assert!(run_up(h, t, b).two_percent.m() <= r);
        }

        #[test]
        fn the_dry_line_lies_above_the_wash(still in -1.0..3.0f64, r in 0.0..4.0f64, b in 0.0..0.2f64) {
            let slope = Slope::of_rise_over_run(b).unwrap();
            let d = dry_line(Length::of_m(still), Length::of_m(r), slope, &shipped().run_up);
            prop_assert!(d.dry.m() >= d.wash.m() && d.wash.m() >= still && d.dry_reach.m() >= d.wash_reach.m());
        }
    }
}
