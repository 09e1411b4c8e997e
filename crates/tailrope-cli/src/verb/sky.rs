//! `tailrope sky`: sun, twilight, moon, light.

mod json;
mod page;
mod zone;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::when;
use clap::Args;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{RoundMode, Timestamp, Unit, ZonedDateTimeRound};
use tailrope::quantity::{Interval, Place};
use tailrope::sea::tide::Found as Station;
use tailrope::sky::{
    Darkness, Day, Missing, MoonLight, Phase, SkyLight, darkness, moon_light, moon_phases, sky_light,
};
use zone::Whence;

/// Sun, twilight, moon and how dark the night is
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope sky --at 69.65,18.96 --from 2026-12-10 --days 1\n  \
                        tailrope sky 8779750 --from 2026-10-17\n  \
                        tailrope sky --at -22.94,14.50 --zone Africa/Windhoek --from 2027-01-15 --days 3\n\n\
                        For a level sea horizon and a clear sky; clocks to the nearest minute. Real air moves a rising or\n  \
                        setting by a minute or more. Without --zone times are in the zone of the nearest tide station.")]
pub struct Sky {
    /// Tide station whose place and zone are meant
    #[arg(conflicts_with = "at")]
    station: Option<String>,
    /// Place in degrees north and east
    #[arg(long, visible_alias = "place", allow_hyphen_values = true, value_parser = when::place, value_name = "NORTH,EAST")]
    at: Option<Place>,
    /// Time zone of the place [default: the station's, or that of the nearest station]
    #[arg(long, value_parser = when::zone_name, value_name = "ZONE")]
    zone: Option<String>,
    /// First day, local [default: today, or --read-on]
    #[arg(long, visible_alias = "date", value_parser = when::date, value_name = "DATE")]
    from: Option<Date>,
    /// Days from the first on
    #[arg(long, default_value_t = 1, value_name = "N")]
    days: u16,
}

/// Where it is asked for, and in which zone times are shown.
struct Where {
    name: String,
    place: Place,
    zone_name: String,
    zone: TimeZone,
    whence: Whence,
    /// The station whose place or zone is shown.
    station: Option<Station>,
}

/// A change of the clocks within a day.
struct ClockChange {
    at: Timestamp,
    before: String,
    after: String,
    forward: bool,
    /// The clock that ends and the clock that begins at the change.
    from_clock: String,
    to_clock: String,
}

/// A day, what happens in it, and the night that begins in it.
struct OneDay {
    date: Date,
    sky: Day,
    offset: String,
    change: Option<ClockChange>,
    missing: Vec<Missing>,
    moon: MoonLight,
    night: Option<Night>,
}

/// The night that begins in a day.
struct Night {
    when: Interval,
    dark: Darkness,
    /// Whole local hours of it.
    hours: Vec<(Timestamp, SkyLight)>,
    /// Whether the sun rises again at its end.
    polar: bool,
}

/// All that page and JSON show.
struct Found {
    at: Where,
    first: Date,
    days: Vec<OneDay>,
    phases: Vec<(Timestamp, Phase)>,
}

impl Sky {
    fn place(&self, desk: &Desk) -> Result<Where, Failure> {
        let (name, place, own) = match (self.at, &self.station) {
            (Some(place), _) => (format!("{}, {}", place.latitude_deg(), place.longitude_deg()), place, None),
            (None, Some(id)) => {
                let own = zone::station(desk, id)?;
                (own.name().to_owned(), own.place(), Some(own))
            }
            (None, None) => {
                return Err(tailrope::Error::new(
                    "it is not said whose sky is asked for",
                    "a place --at 27.58,-97.22, or a tide station's id or number",
                    "give the beach with --at, or look a station up with `tailrope tide --find TEXT`",
                )
                .into());
            }
        };
        let (zone_name, whence, station) = match (&self.zone, own) {
            (Some(zone), own) => (zone.clone(), Whence::Said, own),
            (None, Some(own)) => (own.zone().to_owned(), Whence::Station, Some(own)),
            (None, None) => zone::nearest(desk, place)?,
        };
        let zone = when::zone(&zone_name)?;
        Ok(Where { name, place, zone_name, zone, whence, station })
    }

    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let at = self.place(desk)?;
        let first = self.from.unwrap_or_else(|| desk.read_on());
        let (dates, stretch) = when::days(first, self.days, &at.zone)?;
        let days =
            dates.iter().map(|d| one_day(at.place, *d, &at.zone)).collect::<Result<Vec<_>, Failure>>()?;
        let phases = moon_phases(stretch)?;
        let found = Found { at, first, days, phases };
        Answer::new(page::page(desk, &found), &json::Json::of(&found))
    }
}

fn one_day(place: Place, date: Date, zone: &TimeZone) -> Result<OneDay, Failure> {
    let sky = Day::of(place, date, zone)?;
    let night = match sky.night(place)? {
        Some(when) => Some(Night {
            dark: darkness(place, when)?,
            hours: whole_hours(when, zone)
                .into_iter()
                .map(|at| Ok((at, sky_light(place, at)?)))
                .collect::<Result<Vec<_>, Failure>>()?,
            polar: sky.is_polar_night(place)?,
            when,
        }),
        None => None,
    };
    Ok(OneDay {
        date,
        offset: offset(sky.when.from(), zone),
        change: change(sky.when, zone),
        missing: sky.missing(place)?,
        moon: moon_light(sky.when.to())?,
        night,
        sky,
    })
}

/// Offset of a zone at an instant: `UTC-05:00`.
fn offset(at: Timestamp, zone: &TimeZone) -> String {
    format!("UTC{}", at.to_zoned_datetime(zone.clone()).strftime("%:z"))
}

fn change(day: Interval, zone: &TimeZone) -> Option<ClockChange> {
    let at = zone.following(day.from()).next().map(|t| t.timestamp()).filter(|at| *at < day.to())?;
    let last = at.checked_sub(jiff::SignedDuration::from_secs(1)).ok()?;
    let (before, after) = (offset(last, zone), offset(at, zone));
    let ends = last.to_zoned_datetime(zone.clone()).datetime();
    let ends = ends.checked_add(jiff::SignedDuration::from_secs(1)).ok()?;
    let begins = at.to_zoned_datetime(zone.clone()).datetime();
    // A zone may change its name or its law and keep its clocks.
    (ends != begins).then(|| ClockChange {
        at,
        before,
        after,
        forward: begins > ends,
        from_clock: ends.strftime("%H:%M").to_string(),
        to_clock: begins.strftime("%H:%M").to_string(),
    })
}

/// The whole hours of the local clock within a stretch.
fn whole_hours(when: Interval, zone: &TimeZone) -> Vec<Timestamp> {
    let up = ZonedDateTimeRound::new().smallest(Unit::Hour).mode(RoundMode::Ceil);
    let first = when.from().to_zoned_datetime(zone.clone()).round(up).map(|z| z.timestamp());
    let mut all = Vec::new();
    let mut at = first.unwrap_or(when.from());
    while at < when.to() && all.len() < 30 {
        all.push(at);
        let Ok(next) = at.checked_add(jiff::SignedDuration::from_hours(1)) else { break };
        at = next;
    }
    all
}
