//! The sky as a page.

use super::zone::Whence;
use super::{ClockChange, Found, Night, OneDay, Where, offset};
use crate::desk::Desk;
use crate::layout::Page;
use crate::when;
use jiff::Timestamp;
use tailrope::facts::Grade;
use tailrope::quantity::{Units, significant};
use tailrope::sky::{LIGHT_SOURCE, What, as_bright_as, moon_shape};

/// For so many days the hours of the nights are written out.
const HOURS_FOR_DAYS: usize = 3;

/// The page.
pub fn page(desk: &Desk, found: &Found) -> String {
    let mut page = desk.page();
    page.say(&title(&found.at, desk.units));
    for day in &found.days {
        one_day(&mut page, day, found, found.days.len() <= HOURS_FOR_DAYS);
    }
    if !found.phases.is_empty() {
        page.head(&format!("Moon phases ({})", found.at.zone_name));
        page.points(found.phases.iter().map(|(at, phase)| {
            let shown = tailrope::quantity::to_the_minute(*at).to_zoned_datetime(found.at.zone.clone());
            format!("{} {} {}", when::day(shown.date()), when::clock(*at, &found.at.zone), phase.word())
        }));
    }
    page.head("Light");
    page.points([
        format!("[{}: {LIGHT_SOURCE}]", Grade::Recalled.word()),
        "Cloud takes away up to nine tenths; a lit town behind the beach can outshine the moon.".to_owned(),
    ]);
    if let Some(s) = &found.at.station {
        let (source, licence, attribution) = s.credit();
        let what = if matches!(found.at.whence, Whence::Nearest { .. }) { "Zone" } else { "Place and zone" };
        let url = if s.url().is_empty() { String::new() } else { format!(" {}", s.url()) };
        page.head("Station");
        page.points([format!(
            "{what} of {} ({}): {source} ({licence}). {attribution}{url}",
            s.name(),
            s.id()
        )]);
    }
    page.into_text()
}

fn title(at: &Where, u: Units) -> String {
    let zone = &at.zone_name;
    let whence = match &at.whence {
        Whence::Said | Whence::Station => String::new(),
        Whence::Nearest { name, away } => format!(
            " The zone is that of the nearest tide station, {name}, {} away: name the beach's own with --zone if it differs.",
            u.distance(*away)
        ),
        Whence::Nowhere => " No tide station near by says in which zone the place lies: times are UTC. Name the beach's own with --zone.".to_owned(),
    };
    format!("{}: local time ({zone}), level sea horizon, clear sky.{whence}", at.name)
}

fn one_day(page: &mut Page, day: &OneDay, found: &Found, hourly: bool) {
    let zone = &found.at.zone;
    let mixed = day.change.is_some();
    let clock = |t: Timestamp| {
        // Where the clocks change a time without its offset can be two.
        if mixed { format!("{} {}", when::clock(t, zone), offset(t, zone)) } else { when::clock(t, zone) }
    };
    let offsets =
        day.change.as_ref().map_or_else(|| day.offset.clone(), |c| format!("{}, then {}", c.before, c.after));
    page.head(&format!("{} ({offsets})", when::day(day.date)));
    if let Some(c) = &day.change {
        page.say(&change_words(c, day.sky.when.length().h()));
    }
    let row = |name: &str, whats: [What; 2]| {
        let say = |w| {
            let all: Vec<String> = day.sky.all(w).map(clock).collect();
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
    let highest = |what: What| {
        let all: Vec<String> = day.sky.all(what).map(clock).collect();
        if all.is_empty() { "none".to_owned() } else { all.join(", ") }
    };
    page.say(&format!(
        "Sun highest {}; moon highest {}.",
        highest(What::SunTransit),
        highest(What::MoonTransit)
    ));
    page.points(day.missing.iter().map(|m| m.words.clone()));
    let lit = significant(day.moon.illuminated * 100.0, 2);
    let moon = format!("{}, {lit} % lit at the end of the day", moon_shape(day.moon.elongation_deg));
    page.pairs(&[("moon", moon), ("night", night_words(day.night.as_ref(), &clock))]);
    if let Some(n) = day.night.as_ref().filter(|_| hourly) {
        hours(page, n, found);
    }
}

fn change_words(c: &ClockChange, hours: f64) -> String {
    format!(
        "The clocks go {} at {}, to {} ({} to {}): this day has {} h.",
        if c.forward { "forward" } else { "back" },
        c.from_clock,
        c.to_clock,
        c.before,
        c.after,
        significant(hours, 3)
    )
}

fn night_words(night: Option<&Night>, clock: &impl Fn(Timestamp) -> String) -> String {
    let Some(n) = night else { return "no night between this day and the next".to_owned() };
    let d = &n.dark;
    let from = if n.polar {
        "the sun is down from this noon to the next".to_owned()
    } else {
        format!("sunset {} to sunrise {}", clock(n.when.from()), clock(n.when.to()))
    };
    format!(
        "{from}: {}; darkest {} lux, like {}. The moon is up {} % of it, full night is {} % of it.",
        d.brightness.word(),
        lux(d.darkest_lux),
        as_bright_as(d.darkest_lux),
        significant(d.moon_up * 100.0, 2),
        significant(d.full_night * 100.0, 2)
    )
}

fn lux(x: f64) -> String {
    if x < 0.001 { "below 0.001".to_owned() } else { significant(x, if x < 100.0 { 1 } else { 2 }) }
}

fn hours(page: &mut Page, n: &Night, found: &Found) {
    let zone = &found.at.zone;
    let (first, last) = (offset(n.when.from(), zone), offset(n.when.to(), zone));
    let rows: Vec<Vec<String>> = n
        .hours
        .iter()
        .map(|(at, light)| {
            let clock = when::clock(*at, zone);
            let clock = if first == last { clock } else { format!("{clock} {}", offset(*at, zone)) };
            let moon = if light.moon_lux > 0.0 {
                format!("{:.0} deg", light.moon_altitude_deg)
            } else {
                "down".to_owned()
            };
            vec![clock, lux(light.clear_sky_lux), moon, as_bright_as(light.clear_sky_lux).to_owned()]
        })
        .collect();
    page.table(&["hour", "lux", "moon", "about as bright as"], &rows, &[0, 3]);
}
