//! What a crew measures on the sand with its feet and a watch, and how far to trust it.
//!
//! A float timed over ten paces gives the current, waves counted in a minute the period, paces to the highest wash the
//! run-up. The errors are ours (estimate): a pace is known to 10 % unless stepped off along a tape, a watch started and
//! stopped by eye errs a second, a count errs one wave, a slope judged by eye 20 %.

use super::random::mean_period;
use crate::facts::Band;
use crate::math::ln;
use crate::quantity::{Length, Quantity, Slope, Span, Speed};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// A pace nobody has measured.
const PACE_M: f64 = 0.75;
/// Error of such a pace, share.
const PACE_ERROR: f64 = 0.10;
/// Error of a pace stepped off along a tape, share.
const TAPED_ERROR: f64 = 0.03;
/// Error of a time taken by eye, s.
const WATCH_S: f64 = 1.0;
/// Error of a slope judged by eye, share.
const SLOPE_ERROR: f64 = 0.20;
/// Waves of which one passes R2.
const ONE_IN: f64 = 50.0;

/// A distance in paces.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Paces {
    /// How many.
    pub paces: f64,
    /// Length of one, if stepped off along a tape.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pace: Option<Length>,
}

impl Paces {
    /// The distance and its error. Refuses none and more than 2000 paces, and paces outside 0.3 to 1.2 m.
    pub fn distance(self) -> Result<Band<Length>> {
        if !(self.paces > 0.0 && self.paces <= 2000.0) {
            return Err(Error::new(
                format!("{} paces", self.paces),
                "more than 0, at most 2000 paces",
                "step it off again",
            ));
        }
        let (pace, error) = match self.pace {
            Some(p) => (p.within("the pace", Length::of_m(0.3), Length::of_m(1.2))?.m(), TAPED_ERROR),
            None => (PACE_M, PACE_ERROR),
        };
        let d = self.paces * pace;
        Ok(Band { low: d * (1.0 - error), central: d, high: d * (1.0 + error) }.map(Length::of_m))
    }
}

/// One run of a float along the beach.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FloatRun {
    /// How far it drifted.
    pub drifted: Paces,
    /// In what time.
    pub time: Span,
}

/// Current from one or more runs of a float (an orange, a half-full bottle: nothing the wind drives).
///
/// The band takes in the error of each run and the spread between runs; plan with its high end.
pub fn current_from_floats(runs: &[FloatRun]) -> Result<Band<Speed>> {
    if runs.is_empty() {
        return Err(Error::new(
            "no float was timed",
            "one run or more, three are better",
            "throw a float in and time it",
        ));
    }
    let (mut low, mut high, mut sum) = (f64::INFINITY, 0.0_f64, 0.0);
    for run in runs {
        let d = run.drifted.distance()?;
        let t = run.time.within("the float's time", Span::of_s(3.0), Span::of_h(1.0))?.s();
        low = low.min(d.low.m() / (t + WATCH_S));
        high = high.max(d.high.m() / (t - WATCH_S));
        sum += d.central.m() / t;
    }
    let central = sum / runs.len() as f64;
    Ok(Band { low, central, high }.map(Speed::of_mps))
}

/// Mean period from waves counted over a stretch: `waves` crests passing one point.
///
/// At least 5 waves: fewer say nothing. The peak period of the swell, which run-up and breakers ask for, is 1 to 1.4
/// times that: see [`peak_from_count`].
pub fn mean_period_from_count(waves: u32, over: Span) -> Result<Band<Span>> {
    let t = over.within("the time of counting", Span::of_s(20.0), Span::of_h(1.0))?.s();
    if waves < 5 {
        return Err(Error::new(
            format!("{waves} waves were counted"),
            "at least 5 waves",
            "count on for two or three minutes",
        ));
    }
    let n = f64::from(waves);
    let band = Band { low: t / (n + 1.0), central: t / n, high: t / (n - 1.0) };
    if !(1.0..=30.0).contains(&band.central) {
        return Err(Error::new(
            format!("{waves} waves in {t:.0} s is a period of {:.1} s", band.central),
            "1 to 30 s",
            "count whole waves, crest to crest, at one point",
        ));
    }
    Ok(band.map(Span::of_s))
}

/// Peak period from a count: low end as if only the swell's own waves were counted, centre and high end as if all
/// were (1.28 and 1.4 times the mean period; recalled). Longer is the safe side for run-up and breakers.
pub fn peak_from_count(waves: u32, over: Span) -> Result<Band<Span>> {
    let mean = mean_period_from_count(waves, over)?;
    // The inverse of the rule by which a peak period gives its mean one.
    let young = Span::of_s(1.0) / mean_period(Span::of_s(1.0));
    Ok(Band { low: mean.low, central: mean.central * young, high: mean.high * 1.4 })
}

/// Run-up R2 from the highest wash seen: paces up the beach from the mean water's edge to the wet mark.
///
/// The highest of few waves lies below R2 (one in fifty), so a short watch is scaled up by Rayleigh's rule; a long one
/// is never scaled down. The error takes in pace and slope.
pub fn run_up_from_wash(
    reach: Paces,
    foreshore: Slope,
    slope_was_measured: bool,
    watched: Span,
    period: Span,
) -> Result<Band<Length>> {
    let d = reach.distance()?;
    let t = period.within("the wave period", Span::of_s(1.0), Span::of_s(30.0))?;
    let watched = watched.within("the time of watching", Span::of_min(2.0), Span::of_h(6.0))?;
    let waves = (watched / t).max(2.0);
    let scale = if waves < ONE_IN { (ln(ONE_IN) / ln(waves)).sqrt() } else { 1.0 };
    let error = if slope_was_measured { 0.0 } else { SLOPE_ERROR };
    let tan = foreshore.tan();
    Ok(Band {
        low: d.low * tan * (1.0 - error),
        central: d.central * tan * scale,
        high: d.high * tan * (1.0 + error) * scale,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn run(paces: f64, s: f64) -> FloatRun {
        FloatRun { drifted: Paces { paces, pace: None }, time: Span::of_s(s) }
    }

    #[test]
    fn ten_paces_in_fifteen_seconds_is_half_a_metre_a_second() {
        let b = current_from_floats(&[run(10.0, 15.0)]).unwrap();
        assert!((b.central.mps() - 0.5).abs() < 1e-9);
        assert!((b.low.mps() - 0.421875).abs() < 1e-6 && (b.high.mps() - 0.589286).abs() < 1e-6, "{b:?}");
        // A taped pace narrows the band; a second, faster run widens it.
        let taped = FloatRun {
            drifted: Paces { paces: 10.0, pace: Some(Length::of_m(0.75)) },
            time: Span::of_s(15.0),
        };
        assert!(current_from_floats(&[taped]).unwrap().high.mps() < b.high.mps());
        assert!(current_from_floats(&[run(10.0, 15.0), run(10.0, 11.0)]).unwrap().high.mps() > b.high.mps());
    }

    #[test]
    fn seven_waves_a_minute_are_a_swell_of_about_eleven_seconds() {
        let mean = mean_period_from_count(7, Span::of_min(1.0)).unwrap();
        assert!(
            (mean.central.s() - 8.571).abs() < 0.001
                && (mean.low.s() - 7.5).abs() < 1e-9
                && (mean.high.s() - 10.0).abs() < 1e-9
        );
        assert!((peak_from_count(7, Span::of_min(1.0)).unwrap().central.s() - 10.97).abs() < 0.01);
        assert!(mean_period_from_count(3, Span::of_min(1.0)).unwrap_err().remedy.contains("count on"));
        assert!(mean_period_from_count(50, Span::of_s(20.0)).is_err());
    }

    #[test]
    fn a_short_watch_is_scaled_up() {
        let slope = Slope::of_rise_over_run(0.05).unwrap();
        let seen = |minutes| {
            run_up_from_wash(
                Paces { paces: 20.0, pace: None },
                slope,
                false,
                Span::of_min(minutes),
                Span::of_s(10.0),
            )
            .unwrap()
        };
        assert!((seen(60.0).central.m() - 0.75).abs() < 1e-9);
        assert!(seen(2.0).central.m() > 1.2 * seen(60.0).central.m());
        assert!(seen(60.0).high.m() > 1.3 * seen(60.0).central.m());
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(current_from_floats(&[]).is_err());
        assert!(
            current_from_floats(&[run(10.0, 1.0)]).is_err()
                && current_from_floats(&[run(0.0, 10.0)]).is_err()
        );
        assert!(current_from_floats(&[run(f64::NAN, 10.0)]).is_err());
        let giant = Paces { paces: 10.0, pace: Some(Length::of_m(3.0)) };
        assert!(giant.distance().is_err());
        let r: FloatRun = toml::from_str("drifted = { paces = 10.0 }\ntime = '14s'").unwrap();
        assert_eq!(r, run(10.0, 14.0));
    }

    proptest! {
        #[test]
        fn bands_hold_their_centre(paces in 1.0..200.0f64, s in 3.5..600.0f64, n in 5u32..40, m in 0.0..0.2f64, min in 2.0..90.0f64) {
            let b = current_from_floats(&[run(paces, s), run(paces, s * 1.3)]).unwrap();
            prop_assert!(b.low.mps() < b.central.mps() && b.central.mps() < b.high.mps());
            if let Ok(p) = peak_from_count(n, Span::of_min(2.0)) {
                prop_assert!(p.low.s() < p.central.s() && p.central.s() < p.high.s());
            }
            let slope = Slope::of_rise_over_run(m).unwrap();
            let r = run_up_from_wash(Paces { paces, pace: None }, slope, false, Span::of_min(min), Span::of_s(9.0)).unwrap();
            prop_assert!(r.low.m() <= r.central.m() && r.central.m() <= r.high.m());
        }
    }
}
