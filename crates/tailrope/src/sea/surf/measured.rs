//! What a crew measures on the sand with its feet and a watch, and how far to trust it.
//!
//! A float timed over ten paces gives the current, waves counted in a minute the period, paces to the highest wash the
//! run-up. The errors are figures of the surf pack (estimates): a pace is known to 10 % unless stepped off along a tape,
//! a watch started and stopped by eye errs a second, a slope judged by eye 20 %. To them comes what few runs, few waves
//! or a short watch leave unseen. Each is typed as it is said: `10paces in 12s`, `8 in 1min`, `12paces in 10min`.

use super::pack::MeasuredRows;
use super::random::mean_period;
use super::typed;
use crate::facts::Band;
use crate::math::ln;
use crate::quantity::{Length, Quantity, Slope, Span, Speed};
use crate::{Error, Result};
use serde::Serialize;

/// Waves of which one passes R2.
const ONE_IN: f64 = 50.0;
/// Standard deviation of the highest of many waves over its mean, times twice the logarithm of their number: that of
/// Gumbel's law for the square of a Rayleigh height (pi / sqrt 6).
const HIGHEST_SPREAD: f64 = 1.282_549_8;

/// A distance in paces.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Paces {
    /// How many.
    pub paces: f64,
    /// Length of one, if stepped off along a tape.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pace: Option<Length>,
}

impl Paces {
    /// Refuses none and more than 2000 paces, and paces outside 0.3 to 1.2 m.
    pub fn check(self) -> Result<()> {
        if !(self.paces > 0.0 && self.paces <= 2000.0) {
            return Err(Error::new(
                format!("{} paces", self.paces),
                "more than 0, at most 2000 paces",
                "step it off again",
            ));
        }
        if let Some(pace) = self.pace {
            pace.within("the pace", Length::of_m(0.3), Length::of_m(1.2))?;
        }
        Ok(())
    }

    /// The distance and its error.
    pub fn distance(self, rows: &MeasuredRows) -> Result<Band<Length>> {
        self.check()?;
        let (pace, error) = match self.pace {
            Some(pace) => (pace, rows.taped_error.value),
            None => (rows.pace.value, rows.pace_error.value),
        };
        let d = pace * self.paces;
        Ok(Band { low: d * (1.0 - error), central: d, high: d * (1.0 + error) })
    }
}

/// One run of a float along the beach.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FloatRun {
    /// How far it drifted.
    pub drifted: Paces,
    /// In what time.
    pub time: Span,
}

impl FloatRun {
    /// Refuses a distance that is none, and a time below 3 s or above an hour.
    pub fn check(self) -> Result<()> {
        self.drifted.check()?;
        self.time.within("the float's time", Span::of_s(3.0), Span::of_h(1.0)).map(|_| ())
    }
}

/// Waves counted against a clock: crests passing one point.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WaveCount {
    /// Waves that passed one point.
    pub waves: u32,
    /// In this time.
    pub over: Span,
}

impl WaveCount {
    /// Refuses fewer than 5 waves, less than 20 s, more than an hour, and periods outside 1 to 30 s.
    pub fn check(self) -> Result<()> {
        let t = self.over.within("the time of counting", Span::of_s(20.0), Span::of_h(1.0))?.s();
        if self.waves < 5 {
            return Err(Error::new(
                format!("{} waves were counted", self.waves),
                "at least 5 waves",
                "count on for two or three minutes",
            ));
        }
        let mean = t / f64::from(self.waves);
        if !(1.0..=30.0).contains(&mean) {
            return Err(Error::new(
                format!("{} waves in {t:.0} s is a period of {mean:.1} s", self.waves),
                "1 to 30 s",
                "count whole waves, crest to crest, at one point",
            ));
        }
        Ok(())
    }
}

/// The highest wash seen, in paces from the mean water's edge.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WashSeen {
    /// Paces up the beach.
    pub reach: Paces,
    /// How long the crew watched.
    pub watched: Span,
    /// Whether the slope of the foreshore was measured, not judged by eye.
    pub slope_measured: bool,
}

impl WashSeen {
    /// Refuses a reach that is none, and a watch below 2 min or above 6 h.
    pub fn check(self) -> Result<()> {
        self.reach.check()?;
        self.watched.within("the time of watching", Span::of_min(2.0), Span::of_h(6.0)).map(|_| ())
    }
}

typed::typed!(Paces, "paces, like 10paces or 10paces of 0.8m; or a taped length, like 8m", {
    paces: f64,
    #[serde(default)]
    pace: Option<Length>,
});
typed::typed!(FloatRun, "a float's run, like 10paces in 12s", { drifted: Paces, time: Span });
typed::typed!(WaveCount, "counted waves, like 8 in 1min", { waves: u32, over: Span });
typed::typed!(WashSeen, "the highest wash, like 12paces in 10min", {
    reach: Paces,
    watched: Span,
    #[serde(default)]
    slope_measured: bool,
});

/// Current from one or more runs of a float (an orange, a half-full bottle: nothing the wind drives).
///
/// The band takes in the error of each run, the spread between runs and, for fewer than three, what so few leave
/// unseen of water that pulses with the sets. Plan with its high end.
///
/// ```
/// # use tailrope::{facts::PackText, sea::surf::{SurfPack, current_from_floats}};
/// # let text = include_str!("../../../../../data/surf.toml");
/// let pack = SurfPack::read(&PackText::new("surf.toml", text))?;
/// let runs = ["10paces in 12s".parse()?, "10paces in 14s".parse()?, "10paces in 13s".parse()?];
/// let current = current_from_floats(&runs, &pack.measured)?;
/// assert!((current.central.mps() - 0.579).abs() < 0.001 && current.high.mps() > 0.74);
/// # Ok::<(), tailrope::Error>(())
/// ```
pub fn current_from_floats(runs: &[FloatRun], rows: &MeasuredRows) -> Result<Band<Speed>> {
    let unseen = match runs.len() {
        0 => {
            return Err(Error::new(
                "no float was timed",
                "one run or more, three are better",
                "throw a float in and time it",
            ));
        }
        1 => rows.one_run.value,
        2 => rows.two_runs.value,
        _ => 0.0,
    };
    let (mut low, mut high, mut sum) = (f64::INFINITY, 0.0_f64, 0.0);
    for run in runs {
        run.check()?;
        let d = run.drifted.distance(rows)?;
        let (t, watch) = (run.time.s(), rows.watch.value.s());
        low = low.min(d.low.m() / (t + watch));
        high = high.max(d.high.m() / (t - watch));
        sum += d.central.m() / t;
    }
    let central = sum / runs.len() as f64;
    Ok(Band { low: low * (1.0 - unseen), central, high: high * (1.0 + unseen) }.map(Speed::of_mps))
}

/// Mean period from waves counted over a stretch.
///
/// The band: a count errs one wave, and few waves need not have the mean of all; the two added as independent errors.
/// The peak period of the swell, which run-up and breakers ask for, is 1 to 1.4 times that: see [`peak_from_count`].
pub fn mean_period_from_count(counted: WaveCount, rows: &MeasuredRows) -> Result<Band<Span>> {
    counted.check()?;
    let n = f64::from(counted.waves);
    let spread = rows.wave_spread.value;
    // At 5 waves and the largest spread that the pack allows this is 0.49.
    let error = (1.0 / (n * n) + spread * spread / n).sqrt();
    let t = counted.over / n;
    Ok(Band { low: t / (1.0 + error), central: t, high: t / (1.0 - error) })
}

/// Peak period from a count: low end as if only the swell's own waves were counted, centre and high end as if all
/// were (1.28 and 1.4 times the mean period; recalled). Longer is the safe side for run-up and breakers.
pub fn peak_from_count(counted: WaveCount, rows: &MeasuredRows) -> Result<Band<Span>> {
    let mean = mean_period_from_count(counted, rows)?;
    // The inverse of the rule by which a peak period gives its mean one.
    let young = Span::of_s(1.0) / mean_period(Span::of_s(1.0));
    Ok(Band { low: mean.low, central: mean.central * young, high: mean.high * 1.4 })
}

/// Height of the breakers from a look at them: against a person at the edge, a rod held upright, the horizon.
///
/// The band is the error of the pack. Plan with its high end: an eye on the sand looks down into no trough.
/// Refuses less than none and more than 10 m.
pub fn breakers_by_eye(judged: Length, rows: &MeasuredRows) -> Result<Band<Length>> {
    let h = judged.within("the height of the breakers", Length::ZERO, Length::of_m(10.0))?;
    let error = rows.breakers_error.value;
    Ok(Band { low: h * (1.0 - error), central: h, high: h * (1.0 + error) })
}

/// Run-up R2 from the highest wash seen: paces up the beach from the mean water's edge to the wet mark.
///
/// The highest of few waves lies below R2 (one in fifty), so a short watch is scaled up by Rayleigh's rule; a long one
/// is never scaled down. The error takes in pace, slope, and that the highest of so few waves may have been a low or a
/// high one (one standard deviation).
pub fn run_up_from_wash(
    seen: WashSeen,
    foreshore: Slope,
    period: Span,
    rows: &MeasuredRows,
) -> Result<Band<Length>> {
    seen.check()?;
    let d = seen.reach.distance(rows)?;
    let t = period.within("the wave period", Span::of_s(1.0), Span::of_s(30.0))?;
    let waves = (seen.watched / t).max(2.0);
    let scale = if waves < ONE_IN { (ln(ONE_IN) / ln(waves)).sqrt() } else { 1.0 };
    let chance = (HIGHEST_SPREAD / (2.0 * ln(waves))).min(0.9);
    let slope = if seen.slope_measured { 0.0 } else { rows.slope_error.value };
    let tan = foreshore.tan();
    Ok(Band {
        low: d.low * tan * (1.0 - slope) * (1.0 - chance),
        central: d.central * tan * scale,
        high: d.high * tan * (1.0 + slope) * (1.0 + chance) * scale,
    })
}

#[cfg(test)]
mod tests {
    use super::super::pack::tests::shipped;
    use super::*;
    use proptest::prelude::*;

    fn rows() -> MeasuredRows {
        shipped().measured
    }

    fn run(paces: f64, s: f64) -> FloatRun {
        FloatRun { drifted: Paces { paces, pace: None }, time: Span::of_s(s) }
    }

    fn count(waves: u32, over: Span) -> WaveCount {
        WaveCount { waves, over }
    }

    #[test]
    fn ten_paces_in_fifteen_seconds_is_half_a_metre_a_second() {
        let rows = rows();
        let of = |runs: &[FloatRun]| current_from_floats(runs, &rows).unwrap();
        // 7.5 m in 15 s; 6.75 m in 16 s and 8.25 m in 14 s at the ends, with nothing unseen from three runs on.
        let b = of(&[run(10.0, 15.0); 3]);
        assert!((b.central.mps() - 0.5).abs() < 1e-9);
        assert!((b.low.mps() - 0.421875).abs() < 1e-6 && (b.high.mps() - 0.589286).abs() < 1e-6, "{b:?}");
        let one = of(&[run(10.0, 15.0)]);
        assert!((one.high.mps() - 1.3 * b.high.mps()).abs() < 1e-9);
        assert!((one.low.mps() - 0.7 * b.low.mps()).abs() < 1e-9);
        assert!((of(&[run(10.0, 15.0); 2]).high.mps() - 1.15 * b.high.mps()).abs() < 1e-9);
        // A taped pace narrows the band; a faster run widens it.
        let taped = FloatRun {
            drifted: Paces { paces: 10.0, pace: Some(Length::of_m(0.75)) },
            time: Span::of_s(15.0),
        };
        assert!(of(&[taped; 3]).high.mps() < b.high.mps());
        assert!(of(&[run(10.0, 15.0), run(10.0, 15.0), run(10.0, 11.0)]).high.mps() > b.high.mps());
    }

    #[test]
    fn seven_waves_a_minute_are_a_swell_of_about_eleven_seconds() {
        let rows = rows();
        let mean = mean_period_from_count(count(7, Span::of_min(1.0)), &rows).unwrap();
        // sqrt(1/49 + 0.16/7) = 0.2080.
        assert!((mean.central.s() - 8.571).abs() < 0.001);
        assert!((mean.low.s() - 7.096).abs() < 0.002 && (mean.high.s() - 10.822).abs() < 0.002, "{mean:?}");
        let peak = peak_from_count(count(7, Span::of_min(1.0)), &rows).unwrap();
        assert!((peak.central.s() - 10.97).abs() < 0.01 && (peak.high.s() - 15.15).abs() < 0.01);
        // Counting on narrows it.
        let long = mean_period_from_count(count(35, Span::of_min(5.0)), &rows).unwrap();
        assert!(long.high.s() < 9.3 && (long.central.s() - mean.central.s()).abs() < 1e-9);
        let few = mean_period_from_count(count(3, Span::of_min(1.0)), &rows).unwrap_err();
        assert!(few.remedy.contains("count on"));
        assert!(mean_period_from_count(count(50, Span::of_s(20.0)), &rows).is_err());
    }

    #[test]
    fn breakers_by_eye_have_the_error_of_an_eye() {
        let b = breakers_by_eye(Length::of_m(1.2), &rows()).unwrap();
        assert!((b.low.m() - 0.84).abs() < 1e-9 && (b.high.m() - 1.56).abs() < 1e-9 && b.central.m() == 1.2);
        for bad in [-0.1, 11.0, f64::NAN] {
            assert!(breakers_by_eye(Length::of_m(bad), &rows()).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_short_watch_is_scaled_up() {
        let slope = Slope::of_rise_over_run(0.05).unwrap();
        let rows = rows();
        let seen = |minutes, slope_measured| {
            let seen = WashSeen {
                reach: Paces { paces: 20.0, pace: None },
                watched: Span::of_min(minutes),
                slope_measured,
            };
            run_up_from_wash(seen, slope, Span::of_s(10.0), &rows).unwrap()
        };
        let hour = seen(60.0, false);
        assert!((hour.central.m() - 0.75).abs() < 1e-9);
        // 10 % of pace, 20 % of slope, and 1.2825 / (2 ln 360) of chance: 1.1 x 1.2 x 1.10895.
        assert!((hour.high.m() / 0.75 - 1.4638).abs() < 1e-3, "{hour:?}");
        assert!(seen(60.0, true).high.m() < hour.high.m());
        // Twelve waves: sqrt(ln 50 / ln 12) = 1.2547.
        assert!((seen(2.0, false).central.m() / hour.central.m() - 1.2547).abs() < 1e-3);
        assert!(seen(2.0, false).high.m() / seen(2.0, false).central.m() > 1.46);
    }

    #[test]
    fn nonsense_is_refused() {
        let rows = rows();
        assert!(current_from_floats(&[], &rows).is_err());
        for bad in [run(10.0, 1.0), run(0.0, 10.0), run(f64::NAN, 10.0), run(10.0, f64::NAN)] {
            assert!(current_from_floats(&[bad], &rows).is_err() && bad.check().is_err());
        }
        let giant = Paces { paces: 10.0, pace: Some(Length::of_m(3.0)) };
        assert!(giant.distance(&rows).is_err());
    }

    proptest! {
        #[test]
        fn bands_hold_their_centre(paces in 1.0..200.0f64, s in 3.5..600.0f64, n in 5u32..40, m in 0.0..0.2f64, min in 2.0..90.0f64) {
            let rows = rows();
            let b = current_from_floats(&[run(paces, s), run(paces, s * 1.3)], &rows).unwrap();
            prop_assert!(b.low.mps() < b.central.mps() && b.central.mps() < b.high.mps());
            if let Ok(p) = peak_from_count(count(n, Span::of_min(2.0)), &rows) {
                prop_assert!(p.low.s() < p.central.s() && p.central.s() < p.high.s());
            }
            let slope = Slope::of_rise_over_run(m).unwrap();
            let seen = WashSeen { reach: Paces { paces, pace: None }, watched: Span::of_min(min), slope_measured: false };
            let r = run_up_from_wash(seen, slope, Span::of_s(9.0), &rows).unwrap();
            prop_assert!(r.low.m() <= r.central.m() && r.central.m() <= r.high.m());
        }

        #[test]
        fn more_looking_never_widens(paces in 5.0..50.0f64, s in 5.0..100.0f64, n in 5u32..20, min in 2.0..45.0f64) {
            let rows = rows();
            let of = |k: usize| current_from_floats(&vec![run(paces, s); k], &rows).unwrap().high.mps();
            prop_assert!(of(2) < of(1) && of(3) < of(2) && of(4) <= of(3));
            let mean = |k: u32| mean_period_from_count(count(n * k, Span::of_min(f64::from(k))), &rows).unwrap();
            prop_assert!(mean(3).high.s() < mean(1).high.s() && mean(3).low.s() > mean(1).low.s());
            let slope = Slope::of_rise_over_run(0.06).unwrap();
            let up = |minutes: f64| {
                let seen = WashSeen { reach: Paces { paces, pace: None }, watched: Span::of_min(minutes), slope_measured: false };
                let b = run_up_from_wash(seen, slope, Span::of_s(8.0), &rows).unwrap();
                b.high.m() / b.central.m()
            };
            prop_assert!(up(min * 2.0) < up(min));
        }
    }
}
