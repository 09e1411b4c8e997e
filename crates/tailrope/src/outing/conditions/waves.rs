//! Waves offshore and what follows from them on the beach: breakers, run-up, current along it.
//!
//! Every height is put together with every period that anybody gives: the highest sea, the longest period, the worst
//! word for the shore break and the fastest current count, whichever voice they come from. Waves count as square on for
//! breakers, wash and standing: turned ones arrive lower.

use super::heard::{Heard, Part, with};
use super::mixed::{self, Mixed};
use super::voices::{Typed, Voice, Voices, Whence, worst};
use crate::Result;
use crate::facts::Known;
use crate::outing::file::{ReportKind, WashSeen};
use crate::quantity::{Angle, Interval, Length, Slope, Span, Speed, significant};
use crate::sea::surf::{self, Drift, Form, RunUp, Swell};

/// Waves and what follows from them.
pub(super) struct Waves {
    pub(super) swell: Option<Swell>,
    heights: Vec<Voice<Length>>,
    periods: Vec<Voice<Span>>,
    angles: Vec<Voice<Angle>>,
    pub(super) mixed: Option<Mixed>,
    pub(super) breaker: Option<Length>,
    pub(super) breaker_at_least: Option<Length>,
    pub(super) shore_break: Option<ShoreBreak>,
    pub(super) run_up: Known<Length>,
}

/// How the worst waves of a sea come down on the foreshore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShoreBreak {
    /// Surf similarity of the sea whose form is the worst.
    pub similarity: f64,
    /// Form of the significant wave: of several seas the worst.
    pub form: Form,
    /// Height of the highest breakers that do not spill. A high sea that spills has lower waves in it that plunge.
    pub plunging: Length,
}

/// Peak over mean period at most: where a report gives the mean alone (recalled, as for waves counted).
const PEAK_OF_MEAN: f64 = 1.4;
/// Surf similarity below which waves spill (Battjes 1974).
const SPILLS_BELOW: f64 = 0.5;

/// The sea as the reports tell it.
#[derive(Default)]
struct Told {
    heights: Vec<Voice<Length>>,
    /// Heights of one train of a sea whose other train is not told: the whole is that at least.
    at_least: Vec<Voice<Length>>,
    periods: Vec<Voice<Span>>,
    angles: Vec<Voice<Angle>>,
    /// Trains told apart, each list one sea.
    trains: Vec<Voice<Vec<(Length, Span)>>>,
    mixed: Option<(Mixed, Whence)>,
}

fn told(v: &Voices<'_>, hours: Interval) -> Told {
    let mut all = Told::default();
    for r in v.reports() {
        let h = v.of_report(r, &r.wave_height, hours);
        let of_trains = [&r.swell_height, &r.second_swell_height, &r.wind_sea_height]
            .map(|said| worst(&v.of_report(r, said, hours), Length::m).cloned());
        let first = h.first().or(of_trains.iter().flatten().next());
        let whence = first.map(|h| h.whence.clone());
        let moments: Vec<jiff::Timestamp> = match r.kind {
            ReportKind::Observed => whence.iter().filter_map(|w| w.at.get()).collect(),
            _ => v.begins(if h.is_empty() { &r.swell_height } else { &r.wave_height }, hours),
        };
        let seas = mixed::of_report(r, &moments);
        if h.is_empty()
            && let Some(whence) = &whence
        {
            let [swell, second, wind] = of_trains.each_ref().map(Option::as_ref);
            let square: f64 =
                [swell, second, wind].into_iter().flatten().map(|t| t.value.m() * t.value.m()).sum();
            let sum = Voice { value: Length::of_m(square.sqrt()), whence: whence.clone() };
            // One train is not the sea: the other may be the higher.
            if swell.is_some() && wind.is_some() { all.heights.push(sum) } else { all.at_least.push(sum) }
        }
        let mut t = v.of_report(r, &r.wave_period, hours);
        if t.is_empty() {
            t.extend(seas.strongest.zip(whence.clone()).map(|(value, whence)| Voice { value, whence }));
        }
        if t.is_empty() {
            for said in [&r.swell_period, &r.second_swell_period, &r.wind_sea_period] {
                t.extend(v.of_report(r, said, hours));
            }
        }
        if t.is_empty() {
            let mean = v.of_report(r, &r.mean_period, hours);
            t = mean.iter().map(|m| m.map(|t| t * PEAK_OF_MEAN)).collect();
        }
        if let Some(first) = t.first().map(|t| t.whence.clone()) {
            let longer = seas.longest_peak.into_iter().chain(seas.mixed.as_ref().and_then(Mixed::long));
            t.extend(longer.map(|value| Voice { value, whence: first.clone() }));
        }
        if let Some(whence) = whence {
            all.trains.extend(seas.trains.into_iter().map(|value| Voice { value, whence: whence.clone() }));
            all.mixed = match (all.mixed, seas.mixed) {
                (Some(a), Some(b)) if b.long() > a.0.long() => Some((b, whence)),
                (a, b) => a.or(b.map(|b| (b, whence))),
            };
        }
        all.heights.extend(h);
        all.periods.extend(t);
        if let Known::Known(faces) = v.outing.beach.faces {
            let mut from = v.directions(r, &r.waves_from, &r.wave_height, hours);
            if from.is_empty() {
                from = v.directions(r, &r.waves_from, &r.swell_height, hours);
            }
            // Waves from behind the beach do not arrive: their direction says nothing of the angle.
            all.angles.extend(
                from.iter()
                    .map(|f| f.map(|a| surf::off_normal(a, faces)))
                    .filter(|a| a.value.deg().abs() <= 90.0),
            );
        }
    }
    all
}

pub(super) fn waves(v: &Voices<'_>, hours: Interval, heard: &mut Heard) -> Result<Waves> {
    let sea = &v.outing.sea;
    let mut told = told(v, hours);
    let mut heights = with(v.typed(Typed::Sea, sea.wave_height), told.heights);
    if !heights.is_empty() {
        heights.append(&mut told.at_least);
    }
    let mut periods = with(v.typed(Typed::Sea, sea.wave_period), told.periods);
    let angles = with(v.typed(Typed::Sea, sea.wave_angle), told.angles);
    // Longer waves run further: of a count only the high end is planned on.
    if let Known::Known(c) = sea.wave_count {
        let band = surf::peak_from_count(c, &v.surf.measured)?;
        if let Some(counted) = v.measured(Known::Known(band.high), hours) {
            told.trains.retain(|t| !v.replaces(&counted.whence, &t.whence));
            told.mixed = told.mixed.filter(|(_, w)| !v.replaces(&counted.whence, w));
            periods = v.among(Some(counted), periods);
        }
    }
    let height = heard.pick(Part::Sea, "waves", &heights, Length::m);
    let period = heard.pick(Part::Sea, "period", &periods, Span::s);
    let swell = match (height, period) {
        (Some(h), Some(t)) => Some(square_on(h, t)?),
        _ => None,
    };
    let from = |a: Option<&Voice<Length>>, b: Option<&Voice<Span>>| -> Vec<Whence> {
        a.map(|v| v.whence.clone()).into_iter().chain(b.map(|v| v.whence.clone())).collect()
    };
    let inputs = from(worst(&heights, Length::m), worst(&periods, Span::s));
    let breaker = swell.map(surf::breaker_height);
    heard.derive("breakers", breaker, "Komar & Gaughan 1972", &inputs);
    let train = worst(&told.at_least, Length::m).map(|h| h.value);
    let breaker_at_least = match (train, period) {
        (Some(h), Some(t)) => Some(surf::breaker_height(square_on(h, t)?)),
        _ => None,
    };
    let foreshore = v.outing.beach.foreshore_slope;
    let shore_break = match foreshore {
        Known::Known(slope) => shore_break(&heights, &periods, slope)?,
        Known::Unknown => None,
    };
    let run_up = wash(v, hours, swell, period, &told.trains, &inputs, heard)?;
    Ok(Waves {
        swell,
        heights,
        periods,
        angles,
        mixed: told.mixed.map(|m| m.0),
        breaker,
        breaker_at_least,
        shore_break,
        run_up,
    })
}

/// A sea square on, held to what the equations take.
fn square_on(h: Length, t: Span) -> Result<Swell> {
    turned(h, t, Angle::ZERO)
}

/// The same under an angle to the beach.
fn turned(h: Length, t: Span, angle: Angle) -> Result<Swell> {
    let (h, t) = (h.min(Length::of_m(20.0)), t.min(Span::of_s(30.0)).max(Span::of_s(1.0)));
    Swell::new(h, t, angle).map_err(|e| e.within("sea"))
}

/// The worst form that any height with any period gives, and the highest waves in those seas that do not spill.
fn shore_break(
    heights: &[Voice<Length>],
    periods: &[Voice<Span>],
    slope: Slope,
) -> Result<Option<ShoreBreak>> {
    let mut found: Option<ShoreBreak> = None;
    for h in heights {
        for t in periods {
            let sea = square_on(h.value, t.value)?;
            let (similarity, form) = surf::surf_similarity(sea, slope);
            // The number falls with the root of the height: how high a wave of this period may be and not spill.
            let share = (similarity / SPILLS_BELOW).min(1.0);
            let plunges = sea.height() * (share * share);
            let top = surf::breaker_height(square_on(plunges, sea.period())?);
            let one = ShoreBreak { similarity, form, plunging: top };
            found = Some(match found {
                None => one,
                Some(f) => {
                    let milder = f.form == Form::Spilling && form != Form::Spilling;
                    ShoreBreak { plunging: f.plunging.max(top), ..if milder { one } else { f } }
                }
            });
        }
    }
    Ok(found)
}

/// Run-up to plan on: of the whole sea on its longest period, of trains told apart together, and of what the crew saw at
/// its planning end, the highest.
fn wash(
    v: &Voices<'_>,
    hours: Interval,
    swell: Option<Swell>,
    period: Option<Span>,
    trains: &[Voice<Vec<(Length, Span)>>],
    inputs: &[Whence],
    heard: &mut Heard,
) -> Result<Known<Length>> {
    const MODEL: &str = "Stockdon 2006";
    let seen: Option<Voice<WashSeen>> = v.measured(v.outing.sea.wash_seen, hours);
    heard.used(Part::Sea, seen.as_ref().map(|s| &s.whence));
    let Known::Known(slope) = v.outing.beach.foreshore_slope else {
        heard.derive::<Length>("run-up", None, MODEL, &[]);
        return Ok(Known::Unknown);
    };
    let mut best: Option<(Length, &'static str, Vec<Whence>)> =
        swell.map(|s| (RunUp::of(s, slope).safe(), MODEL, inputs.to_vec()));
    let mut worse = |up: Length, model: &'static str, from: Vec<Whence>| {
        if best.as_ref().is_none_or(|b| up > b.0) {
            best = Some((up, model, from));
        }
    };
    for t in trains {
        worse(run_up_of_trains(&t.value, slope)?, "Stockdon 2006, trains together", vec![t.whence.clone()]);
    }
    if let (Some(seen), Some(t)) = (seen, period) {
        let t = t.min(Span::of_s(30.0)).max(Span::of_s(1.0));
        let high = surf::run_up_from_wash(seen.value, slope, t, &v.surf.measured)?.high;
        worse(high, "paces to the highest wash", vec![seen.whence]);
    }
    let (up, model, from) =
        best.map_or((None, MODEL, Vec::new()), |(up, model, from)| (Some(up), model, from));
    heard.derive("run-up", up, model, &from);
    Ok(up.into())
}

/// Run-up of trains that run up together: each with its own height, added as their energies are.
fn run_up_of_trains(trains: &[(Length, Span)], slope: Slope) -> Result<Length> {
    let mut square = 0.0;
    for (h, t) in trains {
        let up = RunUp::of(square_on(*h, *t)?, slope).safe().m();
        square += up * up;
    }
    Ok(Length::of_m(square.sqrt()))
}

/// Current along the beach, its high end: of what was typed and what the waves drive the faster. Floats timed not long
/// before stand in the place of what was typed with them and of what the waves of that time would drive; against waves
/// forecast for these hours the faster counts.
pub(super) fn current(
    v: &Voices<'_>,
    hours: Interval,
    waves: &Waves,
    heard: &mut Heard,
) -> Result<Option<Speed>> {
    let sea = &v.outing.sea;
    let mut all = with(v.typed(Typed::Sea, sea.current), Vec::new());
    let mut float: Option<Whence> = None;
    if !sea.float_runs.is_empty() {
        let high = surf::current_from_floats(&sea.float_runs, &v.surf.measured)?.high;
        if let Some(measured) = v.measured(Known::Known(high), hours) {
            float = Some(measured.whence.clone()).filter(|w| v.fresh(w));
            all.retain(|o| !settled(float.as_ref(), &o.whence));
            all.insert(0, measured);
        }
    }
    let heights: Vec<Voice<Length>> =
        waves.heights.iter().filter(|h| !settled(float.as_ref(), &h.whence)).cloned().collect();
    // Longer waves run further up the beach, but come in straighter: both ends of what is said of their period count.
    let shortest = waves.periods.iter().min_by(|a, b| a.value.s().total_cmp(&b.value.s()));
    let mut fastest: Option<Driven> = None;
    for t in worst(&waves.periods, Span::s).into_iter().chain(shortest) {
        let Some(h) = worst(&heights, Length::m) else { break };
        let this = driven(v, hours, h, t, &waves.angles)?;
        if fastest.as_ref().is_none_or(|f| this.high > f.high) {
            fastest = Some(this);
        }
    }
    // Of a current off the beach nobody knows how much of it runs along the sand: all of it counts.
    all.extend(v.reported(hours, |r| &r.current));
    let said = worst(&all, Speed::mps);
    match fastest {
        Some(d) if said.is_none_or(|s| d.high > s.value) => {
            for w in said.map(|s| &s.whence).into_iter().chain(&d.from) {
                heard.used(Part::Sea, Some(w));
            }
            heard.derive_beside("current along", d.high, &d.model, &d.from, &all);
            Ok(Some(d.high))
        }
        _ => Ok(heard.pick(Part::Sea, "current along", &all, Speed::mps)),
    }
}

/// What waves and wind drive along the beach.
struct Driven {
    high: Speed,
    model: String,
    from: Vec<Whence>,
}

/// The high end of what these waves drive, at the worst of the angles that are said, each with its error, and all
/// between them; where nobody said one, at the worst of all. Wind along the beach, or of unknown side, adds its share.
fn driven(
    v: &Voices<'_>,
    hours: Interval,
    h: &Voice<Length>,
    t: &Voice<Span>,
    angles: &[Voice<Angle>],
) -> Result<Driven> {
    let rows = &v.surf.current;
    let mut from = vec![h.whence.clone(), t.whence.clone()];
    from.extend(angles.iter().map(|a| a.whence.clone()));
    let error = rows.angle_error.value.deg().max(rows.compass_error.value.deg());
    let off = angles.iter().map(|a| a.value.deg().abs());
    let ends = (off.clone().reduce(f64::min), off.reduce(f64::max));
    let (angle, wide, words) = match ends {
        (Some(low), Some(high)) => (
            Angle::of_deg(f64::midpoint(low, high)),
            Known::Known(Angle::of_deg((high - low) / 2.0 + error)),
            format!("the waves' angle +-{} deg", significant(error, 3)),
        ),
        _ => (Angle::ZERO, Known::Unknown, "the worst angle of the waves, which nobody said".to_owned()),
    };
    let blows = with(v.typed(Typed::Weather, v.outing.weather.wind), v.reported(hours, |r| &r.wind));
    let (drift, wind) = match worst(&blows, Speed::mps) {
        Some(wind) => {
            let share = v.wind_along(hours);
            from.push(wind.whence.clone());
            (Drift::EitherWay(wind.value * share), "3 % of the wind along the beach")
        }
        None => (Drift::Unknown, "wind not known"),
    };
    let size = surf::along_by_waves(turned(h.value, t.value, angle)?, wide, drift, v.surf).size;
    Ok(Driven { high: size.high, model: format!("Komar 1979, high end of +-50 %, {words}; {wind}"), from })
}

/// Whether a float in the water settled what somebody says: an older reading, or what was typed with it.
fn settled(float: Option<&Whence>, other: &Whence) -> bool {
    let Some(Whence { at: Known::Known(taken), .. }) = float else { return false };
    other.kind != ReportKind::Forecast.word() && other.at.get().is_some_and(|at| at <= *taken)
}
