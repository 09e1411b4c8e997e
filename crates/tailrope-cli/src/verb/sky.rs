//! `tailrope sky`: sun, twilight, moon, light.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::when;
use clap::Args;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;
use tailrope::quantity::{Interval, Place, significant};
use tailrope::sky::{Brightness, Day, What, darkness, moon_light, moon_phases};

/// Sun, twilight, moon and how dark the night is
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope sky 8779750 --date 2026-10-17\n  \
                        tailrope sky --place -22.94,14.50 --zone Africa/Windhoek --date 2027-01-15 --days 3\n\n\
                        For a level sea horizon and a clear sky. Real air moves a rising or setting by a minute or more.")]
pub struct Sky {
    /// Tide station whose place and zone are meant
    #[arg(required_unless_present = "place", conflicts_with = "place")]
    station: Option<String>,
    /// Place in degrees north and east
    #[arg(long, allow_hyphen_values = true, value_parser = when::place, value_name = "NORTH,EAST", requires = "zone")]
    place: Option<Place>,
    /// Time zone of the place
    #[arg(long, value_parser = when::zone_name, value_name = "ZONE")]
    zone: Option<String>,
    /// First day, local [default: today, or --read-on]
    #[arg(long, value_parser = when::date, value_name = "DATE")]
    date: Option<Date>,
    /// Days from the first on
    #[arg(long, default_value_t = 1, value_name = "N")]
    days: u16,
}

impl Sky {
    fn place(&self, desk: &Desk) -> Result<(String, Place, String), Failure> {
        if let (Some(place), Some(zone)) = (self.place, &self.zone) {
            let name = format!("{}, {}", place.latitude_deg(), place.longitude_deg());
            return Ok((name, place, zone.clone()));
        }
        let stations = desk.packs.stations()?;
        let found = stations.get(self.station.as_deref().unwrap_or_default())?;
        let zone = self.zone.clone().unwrap_or_else(|| found.zone().to_owned());
        Ok((found.name().to_owned(), found.place(), zone))
    }

    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let (name, place, zone_name) = self.place(desk)?;
        let zone = when::zone(&zone_name)?;
        let first = self.date.unwrap_or_else(|| desk.read_on());
        let (dates, stretch) = when::days(first, self.days, &zone)?;
        let days = dates.iter().map(|d| one_day(place, *d, &zone)).collect::<Result<Vec<_>, Failure>>()?;
        let phases = moon_phases(stretch)?;
        let mut page = desk.page();
        page.say(&format!("{name}: local time ({zone_name}), level sea horizon, clear sky."));
        for (date, day) in dates.iter().zip(&days) {
            page.head(&when::day(*date));
            let row = |name: &str, whats: [What; 2]| {
                let say = |w| {
                    let all: Vec<String> = day.sky.all(w).map(|t| when::clock(t, &zone)).collect();
                    if all.is_empty() { "none".to_owned() } else { all.join(", ") }
                };
                vec![name.to_owned(), say(whats[0]), say(whats[1])]
            };
            page.table(
                &["", "up", "down"],
                &[
                    row("Sun", [What::Sunrise, What::Sunset]),
                    row("civil twilight", [What::CivilDawn, What::CivilDusk]),
                    row("nautical twilight", [What::NauticalDawn, What::NauticalDusk]),
                    row("astronomical twilight", [What::AstronomicalDawn, What::AstronomicalDusk]),
                    row("Moon", [What::Moonrise, What::Moonset]),
                ],
                &[0],
            );
            let lit = significant(day.illuminated * 100.0, 2);
            let night = match &day.night {
                Some(n) => format!(
                    "Moon {lit} % lit; {}. From sunset to sunrise the moon is up {} % of the time.",
                    n.word.word(),
                    significant(n.moon_up * 100.0, 2)
                ),
                None => format!("Moon {lit} % lit; no night between this day and the next."),
            };
            page.pairs(&[("night", night)]);
        }
        if !phases.is_empty() {
            page.head("Moon phases");
            page.points(phases.iter().map(|(at, phase)| {
                let date = at.to_zoned_datetime(zone.clone()).date();
                format!("{} {} {}", when::day(date), when::clock(*at, &zone), phase.word())
            }));
        }
        let json = Json {
            schema: "tailrope.sky/1",
            name: &name,
            latitude_deg: place.latitude_deg(),
            longitude_deg: place.longitude_deg(),
            zone: &zone_name,
            date: first.to_string(),
            days: dates
                .iter()
                .zip(&days)
                .map(|(date, day)| DayJson {
                    date: date.to_string(),
                    events: day.sky.events.iter().map(|e| event(e.at, e.what, &zone)).collect(),
                    moon_illuminated: day.illuminated,
                    night: day.night,
                })
                .collect(),
            phases: phases
                .iter()
                .map(|(at, p)| PhaseJson {
                    phase: p.word(),
                    at: when::local(*at, &zone),
                    at_utc: at.to_string(),
                })
                .collect(),
        };
        Answer::new(page.into_text(), &json)
    }
}

struct OneDay {
    sky: Day,
    illuminated: f64,
    night: Option<NightJson>,
}

/// A day, and the night that begins in it.
fn one_day(place: Place, date: Date, zone: &TimeZone) -> Result<OneDay, Failure> {
    let sky = Day::of(place, date, zone)?;
    let illuminated = moon_light(sky.when.to())?.illuminated;
    let next = date.tomorrow().ok().map(|d| Day::of(place, d, zone)).transpose()?;
    let sunset = sky.all(What::Sunset).last();
    let sunrise = next.as_ref().and_then(|d| d.all(What::Sunrise).next());
    let night = match (sunset, sunrise) {
        (Some(a), Some(b)) if b > a => {
            let d = darkness(place, Interval::new(a, b)?)?;
            Some(NightJson {
                mean_lux: d.mean_lux,
                darkest_lux: d.darkest_lux,
                full_night: d.full_night,
                moon_up: d.moon_up,
                dark: d.dark,
                word: d.brightness,
            })
        }
        _ => None,
    };
    Ok(OneDay { sky, illuminated, night })
}

fn event(at: Timestamp, what: What, zone: &TimeZone) -> EventJson {
    EventJson { what, at: when::local(at, zone), at_utc: at.to_string() }
}

#[derive(Serialize)]
struct EventJson {
    what: What,
    at: String,
    at_utc: String,
}

#[derive(Clone, Copy, Serialize)]
struct NightJson {
    mean_lux: f64,
    darkest_lux: f64,
    full_night: f64,
    moon_up: f64,
    dark: f64,
    word: Brightness,
}

#[derive(Serialize)]
struct DayJson {
    date: String,
    events: Vec<EventJson>,
    moon_illuminated: f64,
    night: Option<NightJson>,
}

#[derive(Serialize)]
struct PhaseJson {
    phase: &'static str,
    at: String,
    at_utc: String,
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    name: &'a str,
    latitude_deg: f64,
    longitude_deg: f64,
    zone: &'a str,
    date: String,
    days: Vec<DayJson>,
    phases: Vec<PhaseJson>,
}
