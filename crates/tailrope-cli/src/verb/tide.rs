//! `tailrope tide`: water level and turning points.

mod asked;
mod gauge;
mod json;
mod list;
mod page;

use crate::answer::{Answer, Failure};
use crate::conditions::Conditions;
use crate::desk::Desk;
use crate::when::{self, Now};
use asked::{Reading, Source};
use clap::{Args, ValueEnum};
use jiff::Timestamp;
use jiff::civil::Date;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::quantity::{Interval, Length, Place, Span, Speed};
use tailrope::sea::tide::{End, NodeRule, Tide as Model, Turning, TurningPoint};

/// High and low water, the level at any time, and when the water stands above or below a level, anywhere
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
    tailrope tide --at 27.58,-97.22 --from 2026-12-05 --days 2\n  \
    tailrope tide --station 8443970 --from 2026-09-15 --days 2 --above 9ft --level-at 2026-09-15T19:00\n  \
    tailrope tide --find walvis\n  \
    tailrope tide 9414290 --conditions w.csv --told 'station=9414290, datum=MLLW, units=metric, zone=gmt'\n  \
    tailrope tide --table my-table.toml --above 1.1m\n\n\
    Heights are above the station's own datum, without wind, pressure and run-up. A printed table is a TOML file:\n  \
    datum = \"MLLW\"\n  source = \"harbour office\"\n  zone = \"America/Chicago\"\n  \
    waters = [{ at = \"2026-10-17T12:00\", water = \"low\", height = \"0.1ft\" }, ...]")]
#[allow(clippy::struct_excessive_bools)] // flags
pub struct Tide {
    /// Station, by the id that --find shows, or its number alone
    station: Option<String>,
    /// The same as a flag
    #[arg(id = "named", long = "station", conflicts_with = "station", value_name = "STATION")]
    named: Option<String>,
    /// The beach: the nearest fit station is taken, and what speaks against it is said
    #[arg(long, allow_hyphen_values = true, value_parser = when::place, value_name = "NORTH,EAST",
          conflicts_with_all = ["station", "named"])]
    at: Option<Place>,
    /// A tide table in place of a station: typed into a TOML file, or an agency's own answer of high and low waters;
    /// `-` reads standard input
    #[arg(long, value_name = "FILE", conflicts_with_all = ["station", "named", "at"])]
    table: Option<PathBuf>,
    /// Names stations
    #[arg(long)]
    list: bool,
    /// Names the stations whose id, name, region or country holds these words
    #[arg(long, value_name = "TEXT")]
    find: Option<String>,
    /// Names the stations nearest to a place, as 26.07,-97.16
    #[arg(long, allow_hyphen_values = true, value_parser = when::place, value_name = "NORTH,EAST")]
    near: Option<Place>,
    /// Stations named at most
    #[arg(long, default_value_t = 20, value_name = "N")]
    limit: u16,
    /// Name those too that the database's own review set aside
    #[arg(long)]
    aside: bool,
    /// First day, local [default: today, or --read-on; of a table its own]
    #[arg(long, visible_alias = "from", value_parser = when::date, value_name = "DATE")]
    date: Option<Date>,
    /// Days from the first on
    #[arg(long, default_value_t = 1, value_name = "N")]
    days: u16,
    /// Show times in this zone [default: the station's]
    #[arg(long, value_parser = when::zone_name, value_name = "ZONE")]
    zone: Option<String>,
    /// Say when the water stands above this level: the way out is cut, the bar can be crossed
    #[arg(long, allow_hyphen_values = true, value_name = "LEVEL")]
    above: Option<Length>,
    /// Say when it stands below this level: the ledge is dry
    #[arg(long, allow_hyphen_values = true, value_name = "LEVEL")]
    below: Option<Length>,
    /// Say the level at this time (again for each)
    #[arg(long, value_parser = when::now, value_name = "TIME")]
    level_at: Vec<Now>,
    /// What heights are above: the station's own datum, or MSL
    #[arg(long, value_name = "DATUM")]
    datum: Option<String>,
    /// How much higher than predicted the water stands, as 0.16m or 0.16m@2026-10-17T15:00; carried forward, below zero
    /// for a day at most
    #[arg(long, allow_hyphen_values = true, value_parser = asked::reading, value_name = "LEVEL[@TIME]",
          conflicts_with_all = ["observed", "conditions"])]
    residual: Option<Reading>,
    /// A level that was read off a gauge, as 1.25m@2026-10-17T15:00 (again for each)
    #[arg(long, allow_hyphen_values = true, value_parser = asked::observed, value_name = "LEVEL@TIME",
          conflicts_with = "conditions")]
    observed: Vec<Reading>,
    #[command(flatten)]
    conditions: Conditions,
    /// When node factors are renewed [default: as the station's agency does]
    #[arg(long, value_enum, value_name = "RULE")]
    nodes: Option<Nodes>,
    /// Every turning point, however small, not only those that tables print
    #[arg(long)]
    all: bool,
    /// Minutes between levels
    #[arg(long, default_value_t = 60, value_name = "MINUTES")]
    step: u16,
}

/// When node factors are renewed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Nodes {
    /// Once a calendar year, from its middle
    #[value(alias = "middle", alias = "yearly")]
    MidYear,
    /// Every day
    Daily,
}

impl From<Nodes> for NodeRule {
    fn from(n: Nodes) -> Self {
        match n {
            Nodes::MidYear => Self::MidYear,
            Nodes::Daily => Self::Daily,
        }
    }
}

/// The level at one time.
struct LevelAt {
    at: Timestamp,
    level: Length,
    error: Length,
    rate: Speed,
}

/// Everything the page and the JSON say.
struct Water {
    source: Source,
    tide: Model,
    /// First day.
    first: Date,
    /// Days shown.
    dates: Vec<Date>,
    stretch: Interval,
    turning: Vec<TurningPoint>,
    /// Turning points that tables leave out and that are not shown.
    small: Vec<TurningPoint>,
    levels: Vec<(Timestamp, Length)>,
    level_at: Vec<LevelAt>,
    above: Option<Side>,
    below: Option<Side>,
    nodes: Option<NodeRule>,
    /// What was said or read of the water.
    heard: Option<gauge::Heard>,
    /// How far the tide alone moves the water in these days.
    moves: Length,
}

/// When the water stands on a side of a level: as it is told, and at either end of its error.
struct Side {
    level: Length,
    expected: Vec<Interval>,
    high: Vec<Interval>,
    low: Vec<Interval>,
}

impl Side {
    fn of(level: Length, at: impl Fn(Length, End) -> Vec<Interval>) -> Self {
        let [expected, high, low] = [End::Expected, End::High, End::Low].map(|end| at(level, end));
        Self { level, expected, high, low }
    }
}

impl Tide {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        if self.list || self.near.is_some() || self.find.is_some() {
            let what = list::What {
                near: self.near,
                find: self.find.as_deref(),
                limit: usize::from(self.limit),
                aside: self.aside,
            };
            return list::answer(&what, desk);
        }
        if !(1..=1440).contains(&self.step) {
            return Err(Error::new(format!("a step of {} min", self.step), "1 to 1440", "write --step 60")
                .within("--step")
                .into());
        }
        let water = self.water(desk)?;
        Answer::new(page::text(&water, desk), &json::Json::of(&water, self.days))
    }

    fn water(&self, desk: &Desk) -> Result<Water, Failure> {
        let source = self.source(desk)?;
        let zone = &source.zone;
        let (dates, stretch) = self.stretch(&source, desk)?;
        let nodes = source.found.as_ref().map(|f| self.nodes.map_or(f.reference().nodes, NodeRule::from));
        let mut tide = source.tide(stretch, nodes)?;
        if let Some(datum) = &self.datum {
            tide = tide.above_datum(datum).map_err(|e| e.within("--datum"))?;
        }
        let heard = self.heard(&tide, &source, desk)?;
        if let Some(h) = heard.as_ref().filter(|h| h.used) {
            tide = tide.with_residual(h.residual);
        }
        let every = tide.turning_points(Turning::All);
        let printed = tide.turning_points(Turning::Printed);
        let (turning, small) = if self.all {
            (every, Vec::new())
        } else {
            let small = every.into_iter().filter(|p| !printed.iter().any(|q| q.at == p.at)).collect();
            (printed, small)
        };
        let level_at = self
            .level_at
            .iter()
            .map(|at| {
                let at = at.at(zone)?;
                let level = tide.level(at).map_err(|e| Error {
                    error: format!("the tide is not known at {}", when::local(at, zone)),
                    allowed: format!(
                        "{} to {}",
                        when::local(stretch.from(), zone),
                        when::local(stretch.to(), zone)
                    ),
                    ..e
                })?;
                Ok(LevelAt { at, level, error: tide.error(at), rate: tide.rate(at)? })
            })
            .collect::<tailrope::Result<_>>()
            .map_err(|e| e.within("--level-at"))?;
        let from = source.first_step(stretch);
        let step = jiff::Span::new().minutes(self.step);
        let times: Vec<_> = from.series(step).take_while(|t| *t < stretch.to()).collect();
        let heights = tide.levels(from, Span::of_min(f64::from(self.step)), times.len())?;
        Ok(Water {
            first: dates.first().copied().unwrap_or_default(),
            dates,
            stretch,
            turning,
            small,
            levels: times.into_iter().zip(heights).collect(),
            level_at,
            above: self.above.map(|l| Side::of(l, |l, end| tide.above_at(l, end))),
            below: self.below.map(|l| Side::of(l, |l, end| tide.below_at(l, end))),
            moves: moves(&tide)?,
            nodes,
            heard,
            tide,
            source,
        })
    }

    /// The days shown and the stretch they span.
    fn stretch(&self, source: &Source, desk: &Desk) -> Result<(Vec<Date>, Interval), Failure> {
        let zone = &source.zone;
        let wanted = match (self.date, self.level_at.first()) {
            (Some(date), _) => Some(date),
            (None, Some(at)) => Some(zone.to_datetime(at.at(zone)?).date()),
            (None, None) if source.table.is_some() => None,
            (None, None) => {
                Some(desk.read_on_said().unwrap_or_else(|| zone.to_datetime(now(desk, zone)).date()))
            }
        };
        match source.covers() {
            Some(covers) => Ok(asked::days_of_table(covers, wanted, self.days, zone)?),
            None => Ok(when::days(wanted.unwrap_or_default(), self.days, zone)?),
        }
    }
}

/// How far the tide alone moves the water in its stretch.
fn moves(tide: &Model) -> Result<Length, Failure> {
    let when = tide.when();
    let turns = tide.turning_points(Turning::All);
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for at in turns.iter().map(|p| p.at).chain([when.from(), when.to()]) {
        let level = tide.predicted(at)?.m();
        (low, high) = (low.min(level), high.max(level));
    }
    Ok(Length::of_m(high - low))
}

/// The moment of reading: as said, else the machine's.
fn now(desk: &Desk, zone: &jiff::tz::TimeZone) -> Timestamp {
    desk.now_said().and_then(|n| n.at(zone).ok()).unwrap_or_else(Timestamp::now)
}
