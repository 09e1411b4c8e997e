//! Sea and weather as the plan understands them: what the crew measured before what was forecast, of several voices
//! the worse for safety, old figures as unknown, each with where it comes from and how old it is.
//!
//! Model: [`mod@voices`] says what speaks of a stretch of hours; here the worse of them is taken quantity by quantity, and
//! what follows from waves (breakers, run-up, current) is worked out. [`mixed`] knows a sea of two trains, [`warned`] what
//! agencies warn of and forecast in words, [`gauge`] the
//! weather's share of the water level, [`sift`] what of an agency's file bears on a night.
//!
//! Limits: one value for a whole stretch of hours; a plan cuts its night where forecasts change and looks at each piece
//! ([`Conditions::of`] takes the hours). On a foreshore of one slope the depth in which people stand does not hang on
//! the tide, since they go up and down with it: troughs and bars are not in it.

pub mod gauge;
mod heard;
pub mod mixed;
mod sift;
pub mod turns;
pub mod voices;
pub mod warned;
mod waves;

pub use sift::sift;

use super::file::{Outing, RipRisk, Thunder, WindFrom};
use super::finding::Reason;
use super::limits::Limits;
use super::make::Options;
use super::plan::ConditionView;
use crate::Result;
use crate::facts::{Grade, Known};
use crate::quantity::{Angle, Interval, Length, Speed, Temperature};
use crate::sea::surf::{self, Swell};
use crate::sea::tide::Stations;
use gauge::{Share, Shares};
use heard::{Heard, Part, with};
use mixed::Mixed;
use voices::{ReadAt, Typed, Voice, Voices, worst};
use warned::Hazard;
pub use waves::ShoreBreak;
use waves::{current, waves};

/// Sea and weather of a stretch of hours, understood.
#[derive(Clone, Debug)]
#[allow(clippy::struct_excessive_bools)] // sea and weather, each heard and judged: four plain answers
pub struct Conditions {
    /// Age of the oldest figure of the sea that counts, h; unknown when nobody said when it was read.
    pub sea_age_h: Known<f64>,
    /// The same of the weather.
    pub weather_age_h: Known<f64>,
    /// Whether anything at all speaks of the sea in these hours.
    pub sea_speaks: bool,
    /// Whether anything at all speaks of the weather.
    pub weather_speaks: bool,
    /// Whether the sea is judged: something speaks of it, or the night is so near that something should.
    pub sea_judged: bool,
    /// The same of the weather.
    pub weather_judged: bool,
    /// Waves offshore.
    pub swell: Known<Swell>,
    /// Two trains at once.
    pub mixed: Option<Mixed>,
    /// Height of the breakers.
    pub breaker: Known<Length>,
    /// The same of one train alone, where nobody tells the others: they are that high at least.
    pub breaker_at_least: Known<Length>,
    /// How the worst waves come down on the foreshore.
    pub shore_break: Known<ShoreBreak>,
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
    /// What weather adds to the tide, moment by moment.
    pub level: Shares,
    /// Wind.
    pub wind: Known<Speed>,
    /// Whence.
    pub wind_from: Known<WindFrom>,
    /// Gusts.
    pub gust: Known<Speed>,
    /// Air temperature, the warmest said: what heat is judged by.
    pub air: Known<Temperature>,
    /// The same, the coldest said: what stiffens a drag.
    pub air_cold: Known<Temperature>,
    /// Relative humidity, per cent.
    pub humidity: Known<f64>,
    /// Storms.
    pub thunder: Known<Thunder>,
    /// In which words storms are forecast, each once.
    pub storms: Vec<String>,
    /// What is warned of, the strongest first.
    pub hazards: Vec<Hazard>,
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
    stations: &'a Stations,
    limits: &Limits,
    read: ReadAt,
    night: Interval,
) -> Voices<'a> {
    let border = limits.row("conditions.age_h").and_then(|r| r.caution);
    Voices {
        outing,
        surf,
        stations,
        report_km: voices::distances(outing, stations),
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
    /// Understands what speaks of these hours. `residual` is what gauges give ([`gauge`]), `near` whether the night is so
    /// near that what is not known is asked for.
    pub fn of(
        v: &Voices<'_>,
        limits: &Limits,
        hours: Interval,
        residual: &[Voice<Share>],
        near: bool,
    ) -> Result<Self> {
        let mut heard = Heard::default();
        let waves = waves(v, hours, &mut heard)?;
        let along = current(v, hours, &waves, &mut heard)?;
        let water = with(
            v.typed(Typed::Sea, v.outing.sea.water_temperature),
            v.reported(hours, |r| &r.water_temperature),
        );
        let cold = heard.pick(Part::Sea, "water", &water, |t| -t.c());
        let warm = worst(&water, Temperature::c).map(|v| v.value);
        let typed = v.typed(Typed::Sea, v.outing.sea.residual);
        let spread = Length::of_m(limits.figure("level.typed_m"));
        let typed = typed.map(|t| t.map(|value| Share { value, spread, apart: false, elsewhere: false }));
        let residual = with(typed, residual.to_vec());
        let level = Shares::of(&residual, limits);
        // The higher water: it cuts off the way out. (Low water makes rips: their word comes from the outlook.)
        let read: Vec<Voice<Length>> =
            residual.iter().filter(|r| !r.value.apart).map(|r| r.map(|s| s.value)).collect();
        let residual = worst(&read, Length::m).cloned();
        heard.used(Part::Sea, residual.as_ref().map(|r| &r.whence));
        let hazards = warned::hazards(v, hours);
        let rip = v.typed(Typed::Sea, v.outing.sea.rip_outlook);
        heard.used(Part::Sea, rip.as_ref().map(|r| &r.whence));
        let rip = match rip.map(|r| r.value) {
            _ if hazards.iter().any(|h| h.rips) => Some(RipRisk::High),
            // What such a statement is for stands in its text: a low word of another hour does not outweigh it.
            Some(RipRisk::Low) if hazards.iter().any(|h| h.beach) => Some(RipRisk::Moderate),
            word => word,
        };
        let air = weather(v, hours, limits, &hazards, &mut heard);
        if let Some(r) = residual.as_ref().filter(|r| r.whence.kind != "typed") {
            heard.show("residual", Some(r), &read);
        }
        let (sea_age_h, weather_age_h) =
            (heard.age(Part::Sea, v, Typed::Sea), heard.age(Part::Weather, v, Typed::Weather));
        let animals = v.typed(Typed::Sea, v.outing.sea.animals).is_some();
        let sea_speaks = heard.speaks(Part::Sea) || animals;
        Ok(Self {
            sea_age_h,
            weather_age_h,
            sea_speaks,
            weather_speaks: heard.speaks(Part::Weather),
            sea_judged: sea_speaks || near,
            weather_judged: heard.speaks(Part::Weather) || near,
            swell: waves.swell.into(),
            mixed: waves.mixed,
            breaker: waves.breaker.into(),
            breaker_at_least: waves.breaker_at_least.into(),
            shore_break: waves.shore_break.into(),
            run_up: waves.run_up,
            along: along.into(),
            water: cold.into(),
            water_of_fish: warm.into(),
            rip: rip.into(),
            residual: residual.map(|r| r.value).into(),
            level,
            wind: air.wind.into(),
            wind_from: air.from,
            gust: air.gust.into(),
            air: air.temperature.into(),
            air_cold: air.cold.into(),
            humidity: air.humidity.into(),
            thunder: air.thunder,
            storms: air.storms,
            hazards,
            visibility: air.visibility.into(),
            view: heard.view(v),
        })
    }
}

impl Conditions {
    /// What may stand above the predicted tide at a moment: the high end of the weather's share, and the run-up as far
    /// as it is known. A gauge stands in still water and says nothing of the wash.
    pub fn above_tide(&self, at: jiff::Timestamp) -> Length {
        self.level.high(at) + self.run_up.get().unwrap_or(Length::ZERO)
    }

    /// Whether the run-up is that of the whole sea: where one train alone is known there may be more.
    pub fn run_up_is_whole(&self) -> bool {
        !self.run_up.is_unknown() && !self.swell.is_unknown()
    }

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

/// The weather.
struct Air {
    wind: Option<Speed>,
    from: Known<WindFrom>,
    gust: Option<Speed>,
    temperature: Option<Temperature>,
    cold: Option<Temperature>,
    humidity: Option<f64>,
    thunder: Known<Thunder>,
    storms: Vec<String>,
    visibility: Option<Length>,
}

fn weather(v: &Voices<'_>, hours: Interval, limits: &Limits, hazards: &[Hazard], heard: &mut Heard) -> Air {
    let w = &v.outing.weather;
    let winds = with(v.typed(Typed::Weather, w.wind), v.reported(hours, |r| &r.wind));
    let wind = heard.pick(Part::Weather, "wind", &winds, Speed::mps);
    let gusts = with(v.typed(Typed::Weather, w.gust), v.reported(hours, |r| &r.gust));
    let gust = if gusts.is_empty() { None } else { heard.pick(Part::Weather, "gusts", &gusts, Speed::mps) };
    let off_shore = Angle::of_deg(limits.figure("kayak.offshore_deg"));
    let mut from = with(v.typed(Typed::Weather, w.wind_from), Vec::new());
    if let Known::Known(faces) = v.outing.beach.faces {
        let blown = |r| v.directions(r, &r.wind_from, &r.wind, hours);
        from.extend(v.reports().flat_map(blown).map(|d| d.map(|a| wind_side(a, faces, off_shore))));
    }
    // Off the shore is the worst for whoever goes afloat, along it takes swimmers and floats away.
    let from = worst(&from, |f| match f {
        WindFrom::Offshore => 2.0,
        WindFrom::Along => 1.0,
        WindFrom::Onshore => 0.0,
    });
    heard.used(Part::Weather, from.map(|f| &f.whence));
    let airs = with(v.typed(Typed::Weather, w.air_temperature), v.reported(hours, |r| &r.air_temperature));
    let temperature =
        if airs.is_empty() { None } else { heard.pick(Part::Weather, "air", &airs, Temperature::c) };
    let cold = worst(&airs, |t| -t.c()).map(|v| v.value);
    let humid = with(v.typed(Typed::Weather, w.humidity), v.reported(hours, |r| &r.humidity));
    let humid = worst(&humid, |h| h);
    heard.used(Part::Weather, humid.map(|h| &h.whence));
    let storm = limits.figure("weather.thunder_percent");
    // No chance at all is no thunder; a slight one is not none.
    let word = |p: f64| match p {
        p if p >= storm => Thunder::Storm,
        p if p > 0.0 => Thunder::Slight,
        _ => Thunder::None,
    };
    let chances = v.reported(hours, |r| &r.thunder_chance);
    let mut storms: Vec<Voice<Thunder>> =
        with(v.typed(Typed::Weather, w.thunder), chances.iter().map(|c| c.map(word)).collect());
    let words = warned::words(v, hours, limits, hazards);
    storms.extend(words.storms.iter().map(|(_, w)| Voice { value: Thunder::Storm, whence: w.clone() }));
    let thunder = worst(&storms, |t| match t {
        Thunder::None => 0.0,
        Thunder::Slight => 1.0,
        Thunder::Storm => 2.0,
        Thunder::Lightning => 3.0,
        Thunder::Heard => 4.0,
    });
    // A hazard counts however old its file is; the age of what is known hangs on what is not dead.
    heard.used(Part::Weather, thunder.map(|t| &t.whence).filter(|w| !v.dead(w.age_h)));
    let mut said: Vec<String> = Vec::new();
    for (text, _) in words.storms {
        if !said.contains(&text) {
            said.push(text);
        }
    }
    let mut sights = with(v.typed(Typed::Weather, w.visibility), v.reported(hours, |r| &r.visibility));
    sights.extend(words.sight);
    let visibility = heard.pick(Part::Weather, "visibility", &sights, |l| -l.m());
    Air {
        wind,
        from: from.map(|f| f.value).into(),
        gust,
        temperature,
        cold,
        humidity: humid.map(|h| h.value),
        thunder: thunder.map(|t| t.value).into(),
        storms: said,
        visibility,
    }
}

/// Wind less than this off the line square to the beach has a share on it that holds (ours: half a compass point of
/// eight short of along).
const ON_SHORE_DEG: f64 = 67.5;

/// Whence a wind blows, seen from a beach that faces there; `off_shore` off the line square to the beach, or more, it
/// has a share off the shore that takes a paddler out, or may have.
pub fn wind_side(from: Angle, faces: Angle, off_shore: Angle) -> WindFrom {
    let off = surf::off_normal(from, faces).deg().abs();
    if off >= off_shore.deg() {
        WindFrom::Offshore
    } else if off > ON_SHORE_DEG {
        WindFrom::Along
    } else {
        WindFrom::Onshore
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wind_past_square_blows_off_the_shore_whichever_way_the_beach_faces() {
        let d = Angle::of_deg;
        let of = |from: f64, faces: f64| wind_side(d(from), d(faces), d(80.0));
        for faces in [0.0, 100.0, 270.0, 350.0] {
            for off in [90.0, 91.0, 111.0, 180.0, 269.0, 270.0, 80.0, 280.0] {
                assert_eq!(of(faces + off, faces), WindFrom::Offshore, "{off} off {faces}");
            }
            for off in [75.0, 285.0] {
                assert_eq!(of(faces + off, faces), WindFrom::Along, "{off} off {faces}");
            }
            for off in [0.0, 60.0, 300.0] {
                assert_eq!(of(faces + off, faces), WindFrom::Onshore, "{off} off {faces}");
            }
        }
    }
}
