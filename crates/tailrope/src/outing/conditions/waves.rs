//! Waves offshore and what follows from them on the beach: breakers, run-up, current along it.

use super::heard::{Heard, Part, with};
use super::mixed::{self, Mixed};
use super::voices::{Typed, Voices, worst};
use crate::Result;
use crate::facts::Known;
use crate::outing::file::{ReportKind, WashSeen};
use crate::quantity::{Angle, Interval, Length, Slope, Span, Speed};
use crate::sea::surf::{self, Form, RunUp, Swell};

/// Waves and what follows from them.
pub(super) struct Waves {
    pub(super) swell: Option<Swell>,
    /// Whether anybody said how the waves stand to the beach.
    angle_said: bool,
    pub(super) mixed: Option<Mixed>,
    pub(super) breaker: Option<Length>,
    pub(super) form: Option<(f64, Form)>,
    pub(super) run_up: Known<Length>,
}

/// Peak over mean period at most: where a report gives the mean alone (recalled, as for waves counted).
const PEAK_OF_MEAN: f64 = 1.4;

pub(super) fn waves(v: &Voices<'_>, hours: Interval, heard: &mut Heard) -> Result<Waves> {
    let sea = &v.outing.sea;
    let mut heights = with(v.typed(Typed::Sea, sea.wave_height, false), Vec::new());
    let mut periods = with(v.typed(Typed::Sea, sea.wave_period, false), Vec::new());
    let mut angles = with(v.typed(Typed::Sea, sea.wave_angle, false), Vec::new());
    let mut found: Option<Mixed> = None;
    for r in v.reports() {
        let h = v.of_report(r, &r.wave_height, hours);
        let moments: Vec<jiff::Timestamp> = match r.kind {
            ReportKind::Observed => h.iter().filter_map(|h| h.whence.at.get()).collect(),
            _ => v.begins(&r.wave_height, hours),
        };
        let (mixed, of_trains) = mixed::of_report(r, &moments);
        if h.is_empty() {
            let trains = [&r.swell_height, &r.second_swell_height, &r.wind_sea_height]
                .map(|said| worst(&v.of_report(r, said, hours), Length::m).cloned());
            let square: f64 = trains.iter().flatten().map(|t| t.value.m() * t.value.m()).sum();
            let first = trains.iter().flatten().next();
            heights.extend(first.map(|t| t.map(|_| Length::of_m(square.sqrt()))));
        }
        let mut t = v.of_report(r, &r.wave_period, hours);
        if t.is_empty()
            && let (Some(period), Some(first)) = (of_trains, h.first())
        {
            t = vec![first.map(|_| period)];
        }
        for said in [&r.swell_period, &r.second_swell_period, &r.wind_sea_period] {
            if t.is_empty() {
                t = v.of_report(r, said, hours);
            }
        }
        if t.is_empty() {
            let mean = v.of_report(r, &r.mean_period, hours);
            t = mean.iter().map(|m| m.map(|t| t * PEAK_OF_MEAN)).collect();
        }
        if let (Some(long), Some(first)) = (mixed.as_ref().and_then(Mixed::long), t.first()) {
            t = vec![first.map(|_| long)];
        }
        heights.extend(h);
        periods.extend(t);
        found = match (found, mixed) {
            (Some(a), Some(b)) if b.long() > a.long() => Some(b),
            (a, b) => a.or(b),
        };
        if let Known::Known(faces) = v.outing.beach.faces {
            let from = v.of_report(r, &r.waves_from, hours);
            // Waves from behind the beach do not arrive: their direction says nothing of the angle.
            angles.extend(
                from.iter()
                    .map(|f| f.map(|a| surf::off_normal(a, faces)))
                    .filter(|a| a.value.deg().abs() <= 90.0),
            );
        }
    }
    // Longer waves run further: of a count only the high end is planned on.
    let mut counted = None;
    if let Known::Known(c) = sea.wave_count {
        let band = surf::peak_from_count(c, &v.surf.measured)?;
        counted = v.typed(Typed::Sea, Known::Known(band.high), true);
    }
    if let Some(c) = counted {
        if v.fresh(Typed::Sea, hours) {
            periods.clear();
        }
        periods.insert(0, c);
    }
    let height = heard.pick(Part::Sea, "waves", &heights, Length::m);
    let period = heard.pick(Part::Sea, "period", &periods, Span::s);
    // The current along the beach goes with sin a cos a: the angle next to 45 degrees is the worse.
    let angle = worst(&angles, |a| -(a.deg().abs() - 45.0).abs()).map(|a| a.value);
    let swell = match (height, period) {
        (Some(h), Some(t)) => {
            let (h, t) = (h.min(Length::of_m(20.0)), t.min(Span::of_s(30.0)).max(Span::of_s(1.0)));
            Some(Swell::new(h, t, angle.unwrap_or(Angle::ZERO)).map_err(|e| e.within("sea"))?)
        }
        _ => None,
    };
    let breaker = swell.map(surf::breaker_height);
    heard.derive("breakers", breaker, "Komar & Gaughan 1972");
    let foreshore = v.outing.beach.foreshore_slope;
    let form = swell.zip(foreshore.get()).map(|(s, b)| surf::surf_similarity(s, b));
    let seen = v.typed(Typed::Sea, sea.wash_seen, true);
    heard.used(Part::Sea, seen.as_ref().map(|s| &s.whence));
    let (run_up, model) = run_up(
        seen.map(|s| s.value),
        v.fresh(Typed::Sea, hours),
        swell,
        period,
        foreshore,
        &v.surf.measured,
    )?;
    heard.derive("run-up", run_up.get(), model);
    let mixed = found.filter(|_| counted_out(v, hours));
    Ok(Waves { swell, angle_said: angle.is_some(), mixed, breaker, form, run_up })
}

/// Whether no fresh count of the crew's own overrules what instruments say of the period.
fn counted_out(v: &Voices<'_>, hours: Interval) -> bool {
    v.typed(Typed::Sea, v.outing.sea.wave_count, true).is_none() || !v.fresh(Typed::Sea, hours)
}

/// What the crew saw, at its planning end, while it is fresh; later the larger of that and what the equation gives.
fn run_up(
    seen: Option<WashSeen>,
    fresh: bool,
    swell: Option<Swell>,
    period: Option<Span>,
    foreshore: Known<Slope>,
    rows: &surf::MeasuredRows,
) -> Result<(Known<Length>, &'static str)> {
    const MODEL: &str = "Stockdon 2006";
    let Known::Known(slope) = foreshore else { return Ok((Known::Unknown, MODEL)) };
    let equation = swell.map(|s| RunUp::of(s, slope).two_percent);
    if let (Some(seen), Some(t)) = (seen, period) {
        let t = t.min(Span::of_s(30.0)).max(Span::of_s(1.0));
        let high = surf::run_up_from_wash(seen, slope, t, rows)?.high;
        if fresh || equation.is_none_or(|e| high > e) {
            return Ok((Known::Known(high), "paces to the highest wash"));
        }
    }
    Ok((equation.into(), MODEL))
}

/// Significant over rms height of a real sea (Rayleigh).
const SIGNIFICANT_OF_RMS: f64 = core::f64::consts::SQRT_2;

pub(super) fn current(
    v: &Voices<'_>,
    hours: Interval,
    waves: &Waves,
    heard: &mut Heard,
) -> Result<Option<Speed>> {
    let sea = &v.outing.sea;
    let mut all = with(v.typed(Typed::Sea, sea.current, false), Vec::new());
    // Of a current off the beach nobody knows how much of it runs along the sand: all of it counts.
    let offshore = v.reported(hours, |r| &r.current);
    if !sea.float_runs.is_empty() {
        let high = surf::current_from_floats(&sea.float_runs, &v.surf.measured)?.high;
        if let Some(measured) = v.typed(Typed::Sea, Known::Known(high), true) {
            if v.fresh(Typed::Sea, hours) {
                all.clear();
            }
            all.insert(0, measured);
        }
    }
    if all.is_empty()
        && waves.angle_said
        && let Some(swell) = waves.swell
    {
        let at = surf::breaking(swell, surf::Rule::Fixed(surf::MCCOWAN));
        let rms = Length::of_m(at.height.m() / SIGNIFICANT_OF_RMS);
        let high = surf::longshore_band(rms, at.angle, Speed::ZERO, &v.surf.current).high;
        let high = Speed::of_mps(high.mps().abs());
        if worst(&offshore, Speed::mps).is_none_or(|o| o.value <= high) {
            heard.derive("current along", Some(high), "Komar 1979, its high end");
            return Ok(Some(high));
        }
    }
    all.extend(offshore);
    Ok(heard.pick(Part::Sea, "current along", &all, Speed::mps))
}
