//! Sea and weather as the plan understands them: what the crew measured before what was forecast, old figures
//! as unknown, each with where it comes from.

use super::file::{Outing, RipRisk, Thunder, WashSeen, WindFrom};
use super::limits::Limits;
use super::plan::ConditionView;
use crate::Result;
use crate::facts::Known;
use crate::quantity::{Angle, Length, Quantity, Slope, Span, Speed, Temperature};
use crate::sea::surf::{self, Form, RunUp, SurfPack, Swell};
use jiff::civil::Date;

/// Sea and weather, understood.
#[derive(Clone, Debug)]
pub struct Conditions {
    /// Age of the sea's figures in hours; unknown when nobody said when they were read.
    pub sea_age_h: Known<f64>,
    /// Age of the weather's figures.
    pub weather_age_h: Known<f64>,
    /// Waves offshore.
    pub swell: Known<Swell>,
    /// Height of the breakers.
    pub breaker: Known<Length>,
    /// Surf similarity on the foreshore and the form it stands for.
    pub form: Known<(f64, Form)>,
    /// Planning run-up (2 % of waves pass it).
    pub run_up: Known<Length>,
    /// Current along the beach, its high end.
    pub along: Known<Speed>,
    /// Water temperature.
    pub water: Known<Temperature>,
    /// Rip current word.
    pub rip: Known<RipRisk>,
    /// Observed minus predicted level.
    pub residual: Known<Length>,
    /// Wind.
    pub wind: Known<Speed>,
    /// Whence.
    pub wind_from: Known<WindFrom>,
    /// Gusts.
    pub gust: Known<Speed>,
    /// Air temperature.
    pub air: Known<Temperature>,
    /// Storms.
    pub thunder: Known<Thunder>,
    /// Visibility.
    pub visibility: Known<Length>,
    /// As shown.
    pub view: Vec<ConditionView>,
}

/// Age in hours by whole days, since the plan is read on a day. Unknown when nobody said, and for figures dated after
/// the day of reading. A night beyond a forecast's span makes any forecast as good as dead.
fn age_h(as_of: Known<super::file::Moment>, read_on: Date, night: Date, limits: &Limits) -> Known<f64> {
    let Known::Known(m) = as_of else { return Known::Unknown };
    let days = |from: Date, to: Date| to.duration_since(from).as_secs_f64() / 86_400.0;
    let age = days(m.0.date(), read_on);
    if age < 0.0 {
        return Known::Unknown;
    }
    if days(m.0.date(), night) > limits.figure("conditions.span_d") {
        return Known::Known((limits.figure("conditions.dead_h") + 1.0).max(age * 24.0));
    }
    Known::Known(age * 24.0)
}

/// A value that is not too old. Of figures whose age nobody knows the value stays, and the age is a question.
fn fresh<T>(value: Known<T>, age_h: Known<f64>, dead_h: f64) -> Known<T> {
    match age_h {
        Known::Known(h) if h > dead_h => Known::Unknown,
        _ => value,
    }
}

impl Conditions {
    /// Understands the sea and weather of an outing as read on a day.
    pub fn of(outing: &Outing, limits: &Limits, rows: &SurfPack, read_on: Date) -> Result<Self> {
        let (sea, w) = (&outing.sea, &outing.weather);
        let dead = limits.figure("conditions.dead_h");
        let sea_age_h = age_h(sea.as_of, read_on, outing.night.date.0, limits);
        let weather_age_h = age_h(w.as_of, read_on, outing.night.date.0, limits);
        let mut view = Vec::new();

        let counted = match fresh(sea.wave_count, sea_age_h, dead) {
            Known::Known(c) => Some(surf::peak_from_count(c, &rows.measured)?),
            Known::Unknown => None,
        };
        // Longer waves run further: of a count only the high end is planned on.
        let period =
            counted.map_or_else(|| fresh(sea.wave_period, sea_age_h, dead), |b| Known::Known(b.high));
        let height = fresh(sea.wave_height, sea_age_h, dead);
        let angle = fresh(sea.wave_angle, sea_age_h, dead).get().unwrap_or(Angle::ZERO);
        let swell = match (height, period) {
            (Known::Known(h), Known::Known(t)) => {
                Known::Known(Swell::new(h, t, angle).map_err(|e| e.within("sea"))?)
            }
            _ => Known::Unknown,
        };
        let breaker = match swell {
            Known::Known(s) => Known::Known(surf::breaker_height(s)),
            Known::Unknown => Known::Unknown,
        };
        let foreshore = outing.beach.foreshore_slope;
        let form = match (swell, foreshore) {
            (Known::Known(s), Known::Known(b)) => Known::Known(surf::surf_similarity(s, b)),
            _ => Known::Unknown,
        };
        let seen = fresh(sea.wash_seen, sea_age_h, dead);
        let run_up = run_up(seen, swell, period, foreshore, rows)?;
        let too_old = sea_age_h.get().is_some_and(|h| h > dead);
        let along = if sea.float_runs.is_empty() || too_old {
            fresh(sea.current, sea_age_h, dead)
        } else {
            Known::Known(surf::current_from_floats(&sea.float_runs, &rows.measured)?.high)
        };
        let from =
            |measured: bool| if measured { "measured by the crew" } else { "forecast, typed by the crew" };
        show(&mut view, "waves", height, from(false));
        show(&mut view, "period", period, from(counted.is_some()));
        show(&mut view, "breakers", breaker, "Komar & Gaughan 1972");
        show(
            &mut view,
            "run-up",
            run_up,
            if seen.is_unknown() { "Stockdon 2006" } else { "paces to the highest wash" },
        );
        show(&mut view, "current along", along, from(!sea.float_runs.is_empty()));
        let water = fresh(sea.water_temperature, sea_age_h, dead);
        show(&mut view, "water", water, from(false));
        let wind = fresh(w.wind, weather_age_h, dead);
        show(&mut view, "wind", wind, from(false));
        let visibility = fresh(w.visibility, weather_age_h, dead);
        show(&mut view, "visibility", visibility, from(false));
        Ok(Self {
            sea_age_h,
            weather_age_h,
            swell,
            breaker,
            form,
            run_up,
            along,
            water,
            rip: fresh(sea.rip_outlook, sea_age_h, dead),
            residual: fresh(sea.residual, sea_age_h, dead),
            wind,
            wind_from: fresh(w.wind_from, weather_age_h, dead),
            gust: fresh(w.gust, weather_age_h, dead),
            air: fresh(w.air_temperature, weather_age_h, dead),
            thunder: fresh(w.thunder, weather_age_h, dead),
            visibility,
            view,
        })
    }
}

/// The larger of what the equation gives and what the crew saw, each at its planning end.
fn run_up(
    seen: Known<WashSeen>,
    swell: Known<Swell>,
    period: Known<Span>,
    foreshore: Known<Slope>,
    rows: &SurfPack,
) -> Result<Known<Length>> {
    let Known::Known(slope) = foreshore else { return Ok(Known::Unknown) };
    if let (Known::Known(seen), Known::Known(t)) = (seen, period) {
        let band = surf::run_up_from_wash(seen, slope, t, &rows.measured)?;
        return Ok(Known::Known(band.high));
    }
    Ok(match swell {
        Known::Known(s) => Known::Known(RunUp::of(s, slope).two_percent),
        Known::Unknown => Known::Unknown,
    })
}

fn show<Q: Quantity>(view: &mut Vec<ConditionView>, name: &str, q: Known<Q>, source: &str) {
    view.push(ConditionView {
        name: name.to_owned(),
        value: q.get().map(Quantity::si),
        unit: Q::SI.to_owned(),
        source: source.to_owned(),
    });
}
