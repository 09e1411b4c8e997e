//! `tailrope tide`: water level and turning points.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::when;
use clap::Args;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;
use tailrope::Error;
use tailrope::quantity::{Length, Place, Span};
use tailrope::sea::tide::{About, Found, Stations, Tide as Model, Turning, TurningPoint, Water};

/// High and low water, and the level by the hour, at a tide station
#[derive(Args, Debug)]
#[command(after_help = "Example, one night and the day after, and when the water stands above 1.2 ft:\n  \
                        tailrope tide padre_island_tx --date 2026-10-17 --days 2 --above 1.2ft\n\n\
                        Heights are above the station's own datum, without wind, pressure and run-up.")]
pub struct Tide {
    /// Station, by the id that --list shows
    #[arg(required_unless_present_any = ["list", "near"])]
    station: Option<String>,
    /// Names the stations
    #[arg(long)]
    list: bool,
    /// Names the stations nearest to a place, as 26.07,-97.16
    #[arg(long, allow_hyphen_values = true, value_parser = when::place, value_name = "NORTH,EAST")]
    near: Option<Place>,
    /// First day, local [default: today, or --read-on]
    #[arg(long, value_parser = when::date, value_name = "DATE")]
    date: Option<Date>,
    /// Days from the first on
    #[arg(long, default_value_t = 1, value_name = "N")]
    days: u16,
    /// Also say when the water stands above this level
    #[arg(long, allow_hyphen_values = true, value_name = "LEVEL")]
    above: Option<Length>,
    /// Every turning point, however small, not only those that tables print
    #[arg(long)]
    all: bool,
    /// Minutes between levels
    #[arg(long, default_value_t = 60, value_name = "MINUTES")]
    step: u16,
}

impl Tide {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let pack = desk.packs.get("stations.toml")?;
        let stations = Stations::read(&pack.text())?;
        let Some(id) = self.station.as_ref().filter(|_| !self.list && self.near.is_none()) else {
            return self.names(desk, &stations);
        };
        if !(1..=1440).contains(&self.step) {
            return Err(Error::new(format!("a step of {} min", self.step), "1 to 1440", "write --step 60")
                .within("--step")
                .into());
        }
        let found = stations.get(id)?;
        let zone_name = found.zone();
        let zone = when::zone(zone_name)?;
        let first = self.date.unwrap_or_else(|| desk.read_on());
        let (days, stretch) = when::days(first, self.days, &zone)?;
        let tide = Model::of_found(&found, stretch)?;
        let turning = tide.turning_points(if self.all { Turning::All } else { Turning::Printed });
        let step = jiff::Span::new().minutes(self.step);
        let times: Vec<_> = stretch.from().series(step).take_while(|t| *t < stretch.to()).collect();
        let heights = tide.levels(stretch.from(), Span::of_min(f64::from(self.step)), times.len())?;
        let levels: Vec<_> = times.into_iter().zip(heights).collect();
        let above = self.above.map(|level| tide.above(level));
        let about = tide.about();
        let json = Json {
            schema: "tailrope.tide/1",
            station: found.id().to_owned(),
            name: &about.name,
            zone: zone_name,
            date: first.to_string(),
            days: self.days,
            datum: &about.datum,
            mean_level_m: about.mean_level.map(Length::m),
            level_error_m: about.level_error.m(),
            time_error_min: about.time_error_min,
            turning_points: turning.iter().map(|t| point(&tide, t, &zone)).collect(),
            levels: levels
                .iter()
                .map(|(at, l)| LevelJson { at: when::local(*at, &zone), level_m: l.m() })
                .collect(),
            above_m: self.above.map(Length::m),
            above: above.as_ref().map(|list| {
                list.iter()
                    .map(|i| SpanJson {
                        start: when::local(i.from(), &zone),
                        end: when::local(i.to(), &zone),
                    })
                    .collect()
            }),
            source: &about.source,
            licence: &about.licence,
            attribution: &about.attribution,
        };
        let u = desk.units;
        let mut page = desk.page();
        page.say(&format!("{}: heights above {}, local time ({zone_name}).", about.name, about.datum));
        for date in &days {
            page.head(&when::day(*date));
            let rows: Vec<Vec<String>> = turning
                .iter()
                .filter(|t| t.at.to_zoned_datetime(zone.clone()).date() == *date)
                .map(|t| vec![water(t.water).to_owned(), when::clock(t.at, &zone), u.height(t.level)])
                .collect();
            if rows.is_empty() {
                page.say("  no high or low water on this day");
            } else {
                page.table(&["", "time", "height"], &rows, &[0]);
            }
            let hours: Vec<String> = levels
                .iter()
                .filter(|(at, _)| at.to_zoned_datetime(zone.clone()).date() == *date)
                .map(|(at, l)| format!("{} {}", when::clock(*at, &zone), u.height(*l)))
                .collect();
            page.say("").grid(&hours);
        }
        if let (Some(level), Some(list)) = (self.above, &above) {
            page.head(&format!("Above {}", u.height(level)));
            let spans: Vec<String> = list
                .iter()
                .map(|i| {
                    let (a, b) = (i.from(), i.to());
                    let date = a.to_zoned_datetime(zone.clone()).date();
                    format!("{} {} to {}", when::day(date), when::clock(a, &zone), when::clock(b, &zone))
                })
                .collect();
            if spans.is_empty() {
                page.say("  never in these days");
            }
            page.points(spans);
        }
        page.head("What it is worth").points(worth(about, &u.height(tide.error(stretch.from()))));
        Answer::new(page.into_text(), &json)
    }

    fn names(&self, desk: &Desk, stations: &Stations) -> Result<Answer, Failure> {
        let list: Vec<(Option<Length>, Found)> = if let Some(place) = self.near {
            stations.nearest(place, 99, false)?.into_iter().map(|n| (Some(n.distance), n.found)).collect()
        } else {
            let ids =
                stations.stations.iter().map(|s| &s.id).chain(stations.subordinates.iter().map(|s| &s.id));
            ids.map(|id| Ok((None, stations.get(id)?))).collect::<Result<_, Error>>()?
        };
        let json = ListJson {
            schema: "tailrope.tide/1",
            stations: list
                .iter()
                .map(|(d, f)| StationJson {
                    id: f.id().to_owned(),
                    name: f.name(),
                    latitude_deg: f.place().latitude_deg(),
                    longitude_deg: f.place().longitude_deg(),
                    zone: f.zone(),
                    distance_km: d.map(Length::km),
                })
                .collect(),
        };
        let mut head = vec!["station", "name", "zone"];
        if self.near.is_some() {
            head.push("away");
        }
        let rows: Vec<Vec<String>> = list
            .iter()
            .map(|(d, f)| {
                let mut row = vec![f.id().to_owned(), f.name().to_owned(), f.zone().to_owned()];
                row.extend(d.map(|d| desk.units.distance(d)));
                row
            })
            .collect();
        let mut page = desk.page();
        page.table(&head, &rows, &[0, 1, 2]);
        if self.near.is_some() {
            page.say("A near station behind a headland or inside a bay can be wrong: the crew confirms the choice.");
        }
        Answer::new(page.into_text(), &json)
    }
}

fn water(w: Water) -> &'static str {
    match w {
        Water::High => "high water",
        Water::Low => "low water",
    }
}

fn worth(about: &About, with_weather: &str) -> Vec<String> {
    vec![
        format!(
            "Prediction: within {} mm and {} min. With ordinary weather: within {with_weather}; storms more.",
            tailrope::quantity::significant(about.level_error.mm(), 2),
            about.time_error_min
        ),
        format!("{} ({}). {}", about.source, about.licence, about.attribution),
    ]
}

fn point(tide: &Model, t: &TurningPoint, zone: &TimeZone) -> PointJson {
    PointJson {
        water: t.water,
        at: when::local(t.at, zone),
        at_utc: t.at.to_string(),
        level_m: t.level.m(),
        error_m: tide.error(t.at).m(),
    }
}

#[derive(Serialize)]
struct PointJson {
    water: Water,
    at: String,
    at_utc: String,
    level_m: f64,
    error_m: f64,
}

#[derive(Serialize)]
struct LevelJson {
    at: String,
    level_m: f64,
}

#[derive(Serialize)]
struct SpanJson {
    start: String,
    end: String,
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    station: String,
    name: &'a str,
    zone: &'a str,
    date: String,
    days: u16,
    datum: &'a str,
    mean_level_m: Option<f64>,
    level_error_m: f64,
    time_error_min: f64,
    turning_points: Vec<PointJson>,
    levels: Vec<LevelJson>,
    above_m: Option<f64>,
    above: Option<Vec<SpanJson>>,
    source: &'a str,
    licence: &'a str,
    attribution: &'a str,
}

#[derive(Serialize)]
struct ListJson<'a> {
    schema: &'static str,
    stations: Vec<StationJson<'a>>,
}

#[derive(Serialize)]
struct StationJson<'a> {
    id: String,
    name: &'a str,
    latitude_deg: f64,
    longitude_deg: f64,
    zone: &'a str,
    distance_km: Option<f64>,
}
