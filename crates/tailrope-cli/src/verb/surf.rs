//! `tailrope surf`: breakers, current, run-up, wading.

mod asked;
mod files;
mod json;
mod page;

use crate::answer::{Answer, Failure};
use crate::conditions::Conditions;
use crate::desk::Desk;
use crate::when;
use asked::{EventSaid, WaderSaid};
use clap::{ArgGroup, Args};
use files::Files;
use tailrope::facts::{Band, Known};
use tailrope::outing::Verdict;
use tailrope::outing::limits::{Border, Judgement, Limits};
use tailrope::quantity::{Angle, Length, Slope, Span, Speed, Temperature, significant};
use tailrope::sea::air::{Immersion, come_back_at, heat_index, immersion, thunder_distance, wind_chill};
use tailrope::sea::surf::{
    FloatRun, Form, PeriodFrom, Reading, Shore, SurfPack, WashSeen, WaveCount, mean_period_from_count,
    peak_from_count,
};

/// Breakers, wash and dry line, currents, rips, and how deep each may stand
#[derive(Args, Clone, Debug)]
#[command(group(ArgGroup::new("sea").args(["hs", "breakers", "conditions"]).multiple(true)))]
#[command(group(ArgGroup::new("blow").args(["wind", "conditions"]).multiple(true)))]
#[command(group(ArgGroup::new("warmth").args(["air", "conditions"]).multiple(true)))]
#[command(after_help = "Examples:\n  \
    tailrope surf --hs 1.5m --period 9s --angle 15deg --slope 0.02\n  \
    tailrope surf --hs 0.7m --period 13s --or-period 4s --foreshore 1:10 --slope 1:50\n  \
    tailrope surf --breakers 0.8m --waves 16:2min --wash 12paces:10min --float 10paces:12s --float 10paces:14s --slope 1:40\n  \
    tailrope surf --conditions 42020.txt --faces 110deg --foreshore 1:10 --slope 1:50 --now 2026-10-17T20:00Z\n\n\
    Angles are off the line square to the beach, one sign to each side; of --faces the waves' own sign follows. What is\n  \
    typed counts before what a file says, and the page says so; a missing value is never a value. For open sand without bars, jetties and headlands:\n  \
    a crew's own look and float count more than any of these numbers. What was seen from the sand is enough: --breakers,\n  \
    --waves, --wash and --float each answer what they can, the rest is not known.\n\n\
    Exit code: that of the worst row that speaks against it, 0 none, 1 caution, 2 stop; breakers that nobody said are a\n  \
    caution. It is no plan of a night: 0 is no go.")]
#[allow(clippy::struct_excessive_bools)] // flags
pub struct Surf {
    /// Significant wave height in deep water
    #[arg(long, allow_hyphen_values = true, value_name = "HEIGHT")]
    hs: Option<Length>,
    /// Height of the breakers as you judge it by eye, in place of --hs
    #[arg(long, allow_hyphen_values = true, value_name = "HEIGHT", conflicts_with_all = ["hs", "hs2"])]
    breakers: Option<Length>,
    /// Peak period
    #[arg(long, allow_hyphen_values = true, value_name = "TIME", requires = "sea")]
    period: Option<Span>,
    /// Another peak period of the same sea, as reports give when the peak jumps (again for each)
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "TIME",
        requires = "period",
        conflicts_with = "hs2"
    )]
    or_period: Vec<Span>,
    /// Whence the waves, off the line square to the beach [default: not known]
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE", requires = "sea")]
    angle: Option<Angle>,
    /// Height of a second train that a forecast tells apart
    #[arg(long, allow_hyphen_values = true, value_name = "HEIGHT", requires_all = ["period", "period2"])]
    hs2: Option<Length>,
    /// Its peak period
    #[arg(long, allow_hyphen_values = true, value_name = "TIME", requires = "hs2")]
    period2: Option<Span>,
    /// Whence it comes
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE", requires = "hs2")]
    angle2: Option<Angle>,
    /// Height at the 5 m depth line, which the rip figure asks for
    #[arg(long, allow_hyphen_values = true, value_name = "HEIGHT")]
    hs_5m: Option<Length>,
    /// Slope of the bed out to the break, as 0.02, 1:50 or 2%
    #[arg(long, allow_hyphen_values = true, value_name = "SLOPE")]
    slope: Option<Slope>,
    /// Slope of the beach face [default: as --slope]
    #[arg(long, allow_hyphen_values = true, value_name = "SLOPE")]
    foreshore: Option<Slope>,
    /// Still-water depth to ask about: the leader hand's, the bait's (again for each)
    #[arg(long, allow_hyphen_values = true, value_name = "DEPTH")]
    depth: Vec<Length>,
    /// Water level above the tide's datum, residual included
    #[arg(long, allow_hyphen_values = true, value_name = "LEVEL")]
    level: Option<Length>,
    /// Mean sea level above the same datum
    #[arg(long, allow_hyphen_values = true, value_name = "LEVEL", requires = "level")]
    mean: Option<Length>,
    /// Whether a sea above 1 m peaked within the last 72 h
    #[arg(long, value_enum, num_args = 0..=1, default_missing_value = "yes", value_name = "ANSWER")]
    after_big_sea: Option<EventSaid>,
    /// Wind
    #[arg(long, allow_hyphen_values = true, value_name = "SPEED")]
    wind: Option<Speed>,
    /// Whence the wind, counted as the waves' angle [default: not known]
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE", requires = "blow")]
    wind_angle: Option<Angle>,
    /// Current along the beach
    #[arg(long, allow_hyphen_values = true, value_name = "SPEED", conflicts_with = "float")]
    current: Option<Speed>,
    /// Current out to sea along the bed
    #[arg(long, allow_hyphen_values = true, value_name = "SPEED")]
    undertow: Option<Speed>,
    /// Water temperature
    #[arg(long, allow_hyphen_values = true, value_name = "TEMPERATURE")]
    water: Option<Temperature>,
    /// Air temperature
    #[arg(long, allow_hyphen_values = true, value_name = "TEMPERATURE")]
    air: Option<Temperature>,
    /// A dry change or a warm place is at hand; without it the stricter row of the cold counts
    #[arg(long)]
    dry_change: bool,
    /// Shade and drinking water are at hand; without them the stricter row of the heat counts
    #[arg(long)]
    shade: bool,
    /// Relative humidity, per cent
    #[arg(long, value_parser = asked::percent, value_name = "PERCENT", requires = "warmth")]
    humidity: Option<f64>,
    /// Somebody who may stand in the water, as 1.80m,85kg or leader:1.80m,85kg (again for each)
    #[arg(long, value_parser = asked::wader, value_name = "HEIGHT,MASS")]
    wader: Vec<WaderSaid>,
    /// It is dark; so it counts as well when nobody says
    #[arg(long, conflicts_with = "day")]
    night: bool,
    /// Daylight
    #[arg(long)]
    day: bool,
    /// How long people stand in the water at a landing [default: the pack's]
    #[arg(long, allow_hyphen_values = true, value_name = "TIME")]
    landing: Option<Span>,
    /// How long a bait lies; the depths are then those at the lowest tide of the soak
    #[arg(long, allow_hyphen_values = true, value_name = "TIME", requires = "depth")]
    soak: Option<Span>,
    /// A float timed along the beach, as 10paces:12s (again for each run; three are better)
    #[arg(long, value_name = "PACES:TIME")]
    float: Vec<FloatRun>,
    /// Waves counted at one point, as 8:1min
    #[arg(long, value_name = "WAVES:TIME")]
    waves: Option<WaveCount>,
    /// The highest wash in a time, from the mean water's edge, as 12paces:10min
    #[arg(long, value_name = "PACES:TIME")]
    wash: Option<WashSeen>,
    /// The beach face was measured, not judged by eye
    #[arg(long, requires = "wash")]
    slope_measured: bool,
    /// Seconds from a flash to its thunder
    #[arg(long, allow_hyphen_values = true, value_name = "TIME")]
    flash_to_bang: Option<Span>,
    /// When the last thunder was heard, as 21:40 or 2026-10-17T21:40-05:00
    #[arg(long, value_parser = asked::heard, value_name = "CLOCK")]
    last_thunder: Option<asked::Heard>,
    /// Where the beach faces: the compass direction straight out to sea, which turns the directions of files to it
    #[arg(long, value_parser = asked::compass, value_name = "DIRECTION", requires = "conditions")]
    faces: Option<Angle>,
    /// Zone in which times of files are shown [default: UTC]
    #[arg(long, value_parser = when::zone_name, value_name = "ZONE", requires = "conditions")]
    zone: Option<String>,
    #[command(flatten)]
    conditions: Conditions,
    #[arg(skip)]
    files: Files,
}

/// What the air and the cold do.
struct Weather {
    immersion: Option<Immersion>,
    chill: Option<Temperature>,
    heat: Option<Temperature>,
    flash_away: Option<Length>,
    come_back: Option<String>,
    wait_min: f64,
}

/// All that the page and the JSON show.
struct Found<'a> {
    reading: Reading,
    period_from: Option<PeriodFrom>,
    /// What the crew counted: from crest to crest, and the peak period that stands for.
    counted: Option<(Band<Span>, Band<Span>)>,
    shore: &'a Shore,
    weather: Weather,
    verdicts: Vec<(Judgement<'a>, String)>,
    pack: &'a SurfPack,
}

impl Surf {
    /// Whether any slope of the beach was said.
    fn sloped(&self) -> bool {
        self.slope.is_some() || self.foreshore.is_some()
    }

    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let text = desk.packs.get("surf.toml")?;
        let pack = SurfPack::read(&text.text())?;
        let rows = desk.packs.get("limits.toml")?;
        let limits = Limits::read(&rows.text())?;
        self.filled(desk, &limits)?.answer(desk, &pack, &limits)
    }

    fn answer(&self, desk: &Desk, pack: &SurfPack, limits: &Limits) -> Result<Answer, Failure> {
        let (shore, period_from) = self.shore(pack)?;
        let reading = shore.read(pack)?;
        let weather = self.weather(limits);
        let verdicts = self.verdicts(limits, &reading, &weather, desk);
        let counted = match self.waves {
            Some(w) => {
                Some((mean_period_from_count(w, &pack.measured)?, peak_from_count(w, &pack.measured)?))
            }
            None => None,
        };
        let worst = verdicts.iter().map(|(j, _)| j.verdict).max().unwrap_or(Verdict::Caution);
        let found = Found { reading, period_from, counted, shore: &shore, weather, verdicts, pack };
        Ok(Answer::new(self.page(desk, &found), &self.json(&found))?.with_exit(worst.into()))
    }

    fn weather(&self, limits: &Limits) -> Weather {
        let wait_min =
            limits.number("weather.thunder_wait_min", Known::Unknown).row.stop.map_or(30.0, Border::at);
        let wait = Span::of_min(wait_min);
        Weather {
            immersion: self.water.map(immersion),
            chill: self.air.zip(self.wind).and_then(|(t, v)| wind_chill(t, v)),
            heat: self.air.zip(self.humidity).map(|(t, h)| heat_index(t, h)),
            flash_away: self.flash_to_bang.map(thunder_distance),
            come_back: self.last_thunder.as_ref().map(|h| h.after(|at| come_back_at(at, wait), wait)),
            wait_min,
        }
    }

    /// What the limits say of single figures; those that nobody gave are left out.
    fn verdicts<'a>(
        &self,
        limits: &'a Limits,
        reading: &Reading,
        weather: &Weather,
        desk: &Desk,
    ) -> Vec<(Judgement<'a>, String)> {
        let u = desk.units;
        let mut list = Vec::new();
        for (part, age) in [("sea", self.files.sea_age_h), ("weather", self.files.weather_age_h)] {
            let Some(age) = age else { continue };
            let words = match age {
                Known::Known(h) => format!("figures of the {part} {} h old", significant(h, 2)),
                Known::Unknown => format!("figures of the {part} of unknown age"),
            };
            list.push((limits.number("conditions.age_h", age), words));
        }
        if let Some(wind) = self.wind {
            list.push((limits.number("wind.kn", Known::Known(wind.kn())), format!("wind {}", u.wind(wind))));
        }
        let Some(b) = reading.breaker.as_ref() else {
            list.push((
                limits.number("surf.height_m", Known::Unknown),
                "breakers of a height not known: judge them, and say --breakers".into(),
            ));
            return self.rest(limits, weather, desk, list);
        };
        {
            let h = b.value.central;
            let eye = if self.breakers.is_some() { ", the high end of what was judged by eye" } else { "" };
            let words = format!("breakers {}{eye}", u.height(h));
            list.push((limits.number("surf.height_m", Known::Known(h.m())), words));
            if reading.trains.is_empty() {
                let row = limits.word("landing.shore_break", Known::Unknown);
                list.push((row, "how they come down on the beach is not known".into()));
                return self.rest(limits, weather, desk, list);
            }
            let forms = reading.trains.iter().map(|t| t.form);
            let state = if forms.clone().all(|f| f == Form::Spilling) {
                "spilling"
            } else if h.m() >= limits.figure("landing.shore_break_m") {
                "plunging-high"
            } else {
                "plunging-small"
            };
            let form = forms.max_by_key(|f| f.danger()).map_or("", Form::word);
            list.push((
                limits.word("landing.shore_break", Known::Known(state)),
                format!("{form} shore break of {}", u.height(h)),
            ));
        }
        self.rest(limits, weather, desk, list)
    }

    /// The rows of cold and heat.
    fn rest<'a>(
        &self,
        limits: &'a Limits,
        weather: &Weather,
        desk: &Desk,
        mut list: Vec<(Judgement<'a>, String)>,
    ) -> Vec<(Judgement<'a>, String)> {
        let u = desk.units;
        if let Some(water) = self.water {
            let (id, without) = if self.dry_change {
                ("handlers.water_c", "")
            } else {
                ("handlers.water_bare_c", ", and nobody said --dry-change: neither dry change nor warm place")
            };
            let words = format!("water {}{without}", u.temperature(water));
            list.push((limits.number(id, Known::Known(water.c())), words));
        }
        if let Some(heat) = weather.heat {
            let (id, without) = if self.shade {
                ("heat.index_c", "")
            } else {
                ("heat.index_no_shade_c", ", and nobody said --shade: neither shade nor water to drink")
            };
            let words = format!("heat index {}{without}", u.temperature(heat));
            list.push((limits.number(id, Known::Known(heat.c())), words));
        }
        list
    }
}

/// The numbers of a band.
fn three<T: Copy>(band: Band<T>, number: impl Fn(T) -> f64) -> [f64; 3] {
    [number(band.low), number(band.central), number(band.high)]
}
