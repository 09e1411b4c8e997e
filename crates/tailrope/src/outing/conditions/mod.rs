//! Sea and weather as the plan understands them: what the crew measured before what was forecast, of several voices
//! the worse for safety, old figures as unknown, each with where it comes from and how old it is.
//!
//! Model: [`voices`] says what speaks of a stretch of hours; here the worse of them is taken quantity by quantity, and
//! what follows from waves (breakers, run-up, current) is worked out. [`mixed`] knows a sea of two trains, [`gauge`] the
//! weather's share of the water level, [`sift`] what of an agency's file bears on a night.
//!
//! Limits: one value for a whole stretch of hours; a plan cuts its night where forecasts change and looks at each piece
//! ([`Conditions::of`] takes the hours). On a foreshore of one slope the depth in which people stand does not hang on
//! the tide, since they go up and down with it: troughs and bars are not in it.

pub mod gauge;
pub mod mixed;
mod sift;
pub mod voices;

pub use sift::sift;

use super::file::{Outing, ReportKind, RipRisk, Thunder, WashSeen, WindFrom};
use super::finding::Reason;
use super::limits::Limits;
use super::make::Options;
use super::plan::{ConditionSaid, ConditionView};
use crate::Result;
use crate::facts::{Grade, Known};
use crate::quantity::{Angle, Interval, Length, Quantity, Slope, Span, Speed, Temperature};
use crate::sea::surf::{self, Form, RunUp, Swell};
use mixed::Mixed;
use voices::{ReadAt, Typed, Voice, Voices, worst};

/// Sea and weather of a stretch of hours, understood.
#[derive(Clone, Debug)]
pub struct Conditions {
    /// Age of the oldest figure of the sea that counts, h; unknown when nobody said when it was read.
    pub sea_age_h: Known<f64>,
    /// The same of the weather.
    pub weather_age_h: Known<f64>,
    /// Whether anything at all speaks of the sea in these hours.
    pub sea_speaks: bool,
    /// Whether anything at all speaks of the weather.
    pub weather_speaks: bool,
    /// Waves offshore.
    pub swell: Known<Swell>,
    /// Two trains at once.
    pub mixed: Option<Mixed>,
    /// Height of the breakers.
    pub breaker: Known<Length>,
    /// Surf similarity on the foreshore and the form it stands for.
    pub form: Known<(f64, Form)>,
    /// Planning run-up (2 % of waves pass it).
    pub run_up: Known<Length>,
    /// Current along the beach, its high end.
    pub along: Known<Speed>,
    /// Water temperature, the coldest said: what people stand in.
    pub water: Known<Temperature>,
    /// Water temperature, the warmest said: what the fish fights in.
    pub water_of_fish: Known<Temperature>,
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
    /// Relative humidity, per cent.
    pub humidity: Known<f64>,
    /// Storms.
    pub thunder: Known<Thunder>,
    /// Visibility.
    pub visibility: Known<Length>,
    /// As shown.
    pub view: Vec<ConditionView>,
}

/// The latest moment at which a plan with these options may be read, at a beach in this zone.
pub fn latest(options: &Options, zone: &jiff::tz::TimeZone) -> jiff::Timestamp {
    ReadAt { now: options.now, day: options.read_on, zone: zone.clone() }.latest()
}

/// Everything that may speak of an outing's sea and weather.
pub fn voices<'a>(
    outing: &'a Outing,
    surf: &'a surf::SurfPack,
    limits: &Limits,
    read: ReadAt,
    night: Interval,
) -> Voices<'a> {
    let border = limits.row("conditions.age_h").and_then(|r| r.caution);
    Voices {
        outing,
        surf,
        read,
        night,
        dead_h: limits.figure("conditions.dead_h"),
        span_d: limits.figure("conditions.span_d"),
        fresh_h: border.map_or(12.0, super::limits::Border::at),
        far_km: limits
            .row("station.km")
            .and_then(|r| r.caution)
            .map_or(f64::INFINITY, super::limits::Border::at),
    }
}

impl Conditions {
    /// Understands what speaks of these hours. `residual` is what gauges give ([`gauge`]).
    pub fn of(v: &Voices<'_>, limits: &Limits, hours: Interval, residual: &[Voice<Length>]) -> Result<Self> {
        let mut heard = Heard::default();
        let waves = waves(v, hours, &mut heard)?;
        let along = current(v, hours, &waves, &mut heard)?;
        let water = with(
            v.typed(Typed::Sea, v.outing.sea.water_temperature, false),
            v.reported(hours, |r| &r.water_temperature),
        );
        let cold = heard.pick(Part::Sea, "water", &water, |t| -t.c());
        let warm = worst(&water, Temperature::c).map(|v| v.value);
        let residual = with(v.typed(Typed::Sea, v.outing.sea.residual, false), residual.to_vec());
        // The higher water: it cuts off the way out. (Low water makes rips: their word comes from the outlook.)
        let residual = worst(&residual, Length::m).cloned();
        let rip = v.typed(Typed::Sea, v.outing.sea.rip_outlook, false);
        heard.used(Part::Sea, rip.as_ref().map(|r| &r.whence));
        let air = weather(v, hours, limits, &mut heard);
        if let Some(r) = residual.as_ref().filter(|r| r.whence.kind != "typed") {
            heard.show("residual", Some(r), &[]);
        }
        let (sea_age_h, weather_age_h) =
            (heard.age(Part::Sea, v, Typed::Sea), heard.age(Part::Weather, v, Typed::Weather));
        let animals = v.typed(Typed::Sea, v.outing.sea.animals, false).is_some();
        let sea_speaks = heard.speaks(Part::Sea) || animals;
        Ok(Self {
            sea_age_h,
            weather_age_h,
            sea_speaks,
            weather_speaks: heard.speaks(Part::Weather),
            swell: waves.swell.into(),
            mixed: waves.mixed,
            breaker: waves.breaker.into(),
            form: waves.form.into(),
            run_up: waves.run_up,
            along: along.into(),
            water: cold.into(),
            water_of_fish: warm.into(),
            rip: rip.map(|r| r.value).into(),
            residual: residual.map(|r| r.value).into(),
            wind: air.wind.into(),
            wind_from: air.from,
            gust: air.gust.into(),
            air: air.temperature.into(),
            humidity: air.humidity.into(),
            thunder: air.thunder,
            visibility: air.visibility.into(),
            view: heard.view(v),
        })
    }
}

impl Conditions {
    /// A figure as evidence, under the name by which it is shown: with the source that said it.
    pub fn reason(&self, shown: &str, name: &str, value: f64, unit: &str) -> Reason {
        let from = self
            .view
            .iter()
            .find(|v| v.name == shown)
            .filter(|v| v.kind == "observed" || v.kind == "forecast");
        match from {
            Some(v) => Reason::new(name, value, unit, Grade::Published, &v.source),
            None => Reason::new(name, value, unit, Grade::Measured, "outing file"),
        }
    }
}

/// The two parts that are judged or left out as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    Sea,
    Weather,
}

/// What was picked of the voices, for the page and for the ages.
#[derive(Default)]
struct Heard {
    shown: Vec<(ConditionView, Known<jiff::Timestamp>, Vec<(ConditionSaid, Known<jiff::Timestamp>)>)>,
    ages: Vec<(Part, Known<f64>)>,
}

impl Heard {
    /// The worse of several voices by a key; shows it and the others.
    fn pick<Q: Quantity>(
        &mut self,
        part: Part,
        name: &str,
        all: &[Voice<Q>],
        key: impl Fn(Q) -> f64,
    ) -> Option<Q> {
        let chosen = worst(all, key);
        self.used(part, chosen.map(|c| &c.whence));
        self.show(name, chosen, all);
        chosen.map(|c| c.value)
    }

    fn used(&mut self, part: Part, whence: Option<&voices::Whence>) {
        self.ages.extend(whence.map(|w| (part, w.age_h)));
    }

    fn show<Q: Quantity>(&mut self, name: &str, chosen: Option<&Voice<Q>>, all: &[Voice<Q>]) {
        let mut others: Vec<(ConditionSaid, Known<jiff::Timestamp>)> = Vec::new();
        for o in all.iter().filter(|o| chosen.is_some_and(|c| c.whence != o.whence)) {
            let w = &o.whence;
            // Of one source that says several things in these hours its first is shown.
            if others.iter().any(|(s, at)| s.source == w.source && *at == w.at) {
                continue;
            }
            let said = ConditionSaid {
                value: o.value.si(),
                source: w.source.clone(),
                kind: w.kind,
                at: None,
                age_h: w.age_h.get(),
            };
            others.push((said, w.at));
        }
        let whence = chosen.map(|c| &c.whence);
        let view = ConditionView {
            name: name.to_owned(),
            value: chosen.map(|c| c.value.si()),
            unit: Q::SI.to_owned(),
            source: whence.map_or_else(String::new, |w| w.source.clone()),
            kind: whence.map_or("unknown", |w| w.kind),
            at: None,
            age_h: whence.and_then(|w| w.age_h.get()),
            also: Vec::new(),
        };
        self.shown.push((view, whence.map_or(Known::Unknown, |w| w.at), others));
    }

    /// A figure that follows from others, with the model's name.
    fn derive<Q: Quantity>(&mut self, name: &str, value: Option<Q>, model: &str) {
        let view = ConditionView {
            name: name.to_owned(),
            value: value.map(Quantity::si),
            unit: Q::SI.to_owned(),
            source: model.to_owned(),
            kind: "model",
            at: None,
            age_h: None,
            also: Vec::new(),
        };
        self.shown.push((view, Known::Unknown, Vec::new()));
    }

    fn speaks(&self, part: Part) -> bool {
        self.ages.iter().any(|(p, _)| *p == part)
    }

    /// Age of the oldest figure that counts. Where none does, that of what was typed and is too old.
    fn age(&self, part: Part, v: &Voices<'_>, section: Typed) -> Known<f64> {
        let mut oldest = None;
        for (_, age) in self.ages.iter().filter(|(p, _)| *p == part) {
            let Known::Known(h) = age else { return Known::Unknown };
            oldest = Some(f64::max(*h, oldest.unwrap_or(0.0)));
        }
        match oldest {
            Some(h) => Known::Known(h),
            None => v.typed_at(section).get().map_or(Known::Unknown, |at| v.too_old_h(at)),
        }
    }

    fn view(self, v: &Voices<'_>) -> Vec<ConditionView> {
        let local = |at: Known<jiff::Timestamp>| at.get().map(|at| super::windows::local(at, &v.read.zone));
        self.shown
            .into_iter()
            .map(|(mut view, at, others)| {
                view.at = local(at);
                view.also = others
                    .into_iter()
                    .map(|(mut said, at)| {
                        said.at = local(at);
                        said
                    })
                    .collect();
                view
            })
            .collect()
    }
}

/// The typed voice before the reported ones.
fn with<Q>(typed: Option<Voice<Q>>, reported: Vec<Voice<Q>>) -> Vec<Voice<Q>> {
    typed.into_iter().chain(reported).collect()
}

/// Waves and what follows from them.
struct Waves {
    swell: Option<Swell>,
    /// Whether anybody said how the waves stand to the beach.
    angle_said: bool,
    mixed: Option<Mixed>,
    breaker: Option<Length>,
    form: Option<(f64, Form)>,
    run_up: Known<Length>,
}

/// Peak over mean period at most: where a report gives the mean alone (recalled, as for waves counted).
const PEAK_OF_MEAN: f64 = 1.4;

fn waves(v: &Voices<'_>, hours: Interval, heard: &mut Heard) -> Result<Waves> {
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

fn current(v: &Voices<'_>, hours: Interval, waves: &Waves, heard: &mut Heard) -> Result<Option<Speed>> {
    let sea = &v.outing.sea;
    let mut all = with(v.typed(Typed::Sea, sea.current, false), Vec::new());
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
        heard.derive("current along", Some(high), "Komar 1979, its high end");
        return Ok(Some(high));
    }
    Ok(heard.pick(Part::Sea, "current along", &all, Speed::mps))
}

/// The weather.
struct Air {
    wind: Option<Speed>,
    from: Known<WindFrom>,
    gust: Option<Speed>,
    temperature: Option<Temperature>,
    humidity: Option<f64>,
    thunder: Known<Thunder>,
    visibility: Option<Length>,
}

fn weather(v: &Voices<'_>, hours: Interval, limits: &Limits, heard: &mut Heard) -> Air {
    let w = &v.outing.weather;
    let winds = with(v.typed(Typed::Weather, w.wind, false), v.reported(hours, |r| &r.wind));
    let wind = heard.pick(Part::Weather, "wind", &winds, Speed::mps);
    let gusts = with(v.typed(Typed::Weather, w.gust, false), v.reported(hours, |r| &r.gust));
    let gust = if gusts.is_empty() { None } else { heard.pick(Part::Weather, "gusts", &gusts, Speed::mps) };
    let mut from = with(v.typed(Typed::Weather, w.wind_from, false), Vec::new());
    if let Known::Known(faces) = v.outing.beach.faces {
        from.extend(v.reported(hours, |r| &r.wind_from).iter().map(|d| d.map(|a| wind_side(a, faces))));
    }
    // Off the shore is the worst for whoever goes afloat, along it takes swimmers and floats away.
    let from = worst(&from, |f| match f {
        WindFrom::Offshore => 2.0,
        WindFrom::Along => 1.0,
        WindFrom::Onshore => 0.0,
    });
    let airs =
        with(v.typed(Typed::Weather, w.air_temperature, false), v.reported(hours, |r| &r.air_temperature));
    let temperature =
        if airs.is_empty() { None } else { heard.pick(Part::Weather, "air", &airs, Temperature::c) };
    let humid = with(v.typed(Typed::Weather, w.humidity, false), v.reported(hours, |r| &r.humidity));
    let humid = worst(&humid, |h| h);
    heard.used(Part::Weather, humid.map(|h| &h.whence));
    let storm = limits.figure("weather.thunder_percent");
    let word = |p: f64| if p >= storm { Thunder::Storm } else { Thunder::None };
    let chances = v.reported(hours, |r| &r.thunder_chance);
    let storms: Vec<Voice<Thunder>> =
        with(v.typed(Typed::Weather, w.thunder, false), chances.iter().map(|c| c.map(word)).collect());
    let thunder = worst(&storms, |t| match t {
        Thunder::None => 0.0,
        Thunder::Storm => 1.0,
        Thunder::Lightning => 2.0,
        Thunder::Heard => 3.0,
    });
    heard.used(Part::Weather, thunder.map(|t| &t.whence));
    let sights = with(v.typed(Typed::Weather, w.visibility, false), v.reported(hours, |r| &r.visibility));
    let visibility = heard.pick(Part::Weather, "visibility", &sights, |l| -l.m());
    Air {
        wind,
        from: from.map(|f| f.value).into(),
        gust,
        temperature,
        humidity: humid.map(|h| h.value),
        thunder: thunder.map(|t| t.value).into(),
        visibility,
    }
}

/// Wind this far off the line square to the beach, or more, has a share off the shore that takes a paddler out; less
/// than the other has a share on it that holds. Between them it blows along (ours: half a compass point of four).
const OFF_SHORE_DEG: f64 = 112.5;
const ON_SHORE_DEG: f64 = 67.5;

/// Whence a wind blows, seen from a beach that faces there.
pub fn wind_side(from: Angle, faces: Angle) -> WindFrom {
    let off = surf::off_normal(from, faces).deg().abs();
    if off >= OFF_SHORE_DEG {
        WindFrom::Offshore
    } else if off > ON_SHORE_DEG {
        WindFrom::Along
    } else {
        WindFrom::Onshore
    }
}
