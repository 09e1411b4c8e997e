//! Bounds of an outing: what no crew can mean is refused by name.

use super::{Outing, SCHEMA};
use crate::facts::Known;
use crate::quantity::{Angle, Force, Length, Place, Quantity, Span, Speed, Temperature, Torque};
use crate::{Error, Result};

/// An error and the path of the key it is about.
type Refusal = (String, Error);

fn at<T>(path: &str, r: Result<T>) -> Result<T, Refusal> {
    r.map_err(|e| (path.to_owned(), e))
}

fn known<Q: Quantity>(path: &str, q: Known<Q>, min: Q, max: Q) -> Result<(), Refusal> {
    match q {
        Known::Known(q) => at(path, q.within(path, min, max)).map(|_| ()),
        Known::Unknown => Ok(()),
    }
}

pub(super) fn number(path: &str, x: f64, min: f64, max: f64) -> Result<(), Refusal> {
    if x >= min && x <= max {
        return Ok(());
    }
    Err((
        path.to_owned(),
        Error::new(format!("{path} is {x}"), format!("{min} to {max}"), "check the number"),
    ))
}

fn text(path: &str, t: &str) -> Result<(), Refusal> {
    if t.trim().is_empty() || t.chars().count() > 200 || t.chars().any(char::is_control) {
        return Err((
            path.to_owned(),
            Error::new(
                format!("{path} is empty, too long or holds control characters"),
                "1 to 200 characters",
                "write it anew",
            ),
        ));
    }
    Ok(())
}

/// A typed tide table must be one, by its own clock or the beach's.
fn tide_table(o: &Outing) -> Result<(), Refusal> {
    let Some(typed) = &o.beach.tide_table else { return Ok(()) };
    let zone = jiff::tz::TimeZone::get(&o.beach.zone).ok();
    let good = typed.table(zone.as_ref()).and_then(|t| t.check());
    good.map_err(|e| (format!("beach.tide_table.{}", e.place), Error { place: String::new(), ..e }))
}

/// Where and how the angler stands.
fn stand(o: &Outing) -> Result<(), Refusal> {
    let m = Length::of_m;
    let s = &o.stand;
    known("stand.lean", s.lean, Length::ZERO, m(1.2))?;
    known("stand.feet_split", s.feet_split, Length::ZERO, m(1.5))?;
    known("stand.tip_up", s.tip_up, m(0.1), m(6.0))?;
    known("stand.tip_ahead", s.tip_ahead, Length::ZERO, m(6.0))?;
    known("stand.back_moment", s.back_moment, Torque::of_nm(20.0), Torque::of_nm(600.0))?;
    known("stand.toes_above_wash", s.toes_above_wash, m(-50.0), m(500.0))?;
    if let Known::Known(mu) = s.friction {
        number("stand.friction", mu, 0.05, 1.5)?;
    }
    if let Some(test) = &s.slip_test {
        at("stand.slip_test", test.check())?;
        if !s.friction.is_unknown() {
            let error = Error::new(
                "both a friction and the pulls of a slip test are given",
                "one of the two",
                "leave the friction out: it is worked out of the pulls",
            );
            return Err(("stand.slip_test".into(), error));
        }
    }
    Ok(())
}

/// Checks everything that the types alone cannot.
pub(super) fn check(o: &Outing) -> Result<(), Refusal> {
    let m = Length::of_m;
    if o.schema != SCHEMA {
        return Err((
            "schema".into(),
            Error::new(
                format!("the schema is `{}`", o.schema.chars().take(40).collect::<String>()),
                SCHEMA,
                "give an outing file of this version",
            ),
        ));
    }
    text("name", &o.name)?;
    text("beach.name", &o.beach.name)?;
    at("beach.latitude", Place::of_deg(o.beach.latitude, o.beach.longitude))?;
    at(
        "beach.zone",
        jiff::tz::TimeZone::get(&o.beach.zone).map_err(|_| {
            Error::new(
                format!("there is no time zone `{}`", o.beach.zone.chars().take(40).collect::<String>()),
                "an IANA name such as America/Chicago or Africa/Windhoek",
                "write the zone of the beach",
            )
        }),
    )?;
    longitude_fits(o)?;
    tide_table(o)?;
    known("beach.room_behind", o.beach.room_behind, Length::ZERO, m(5000.0))?;
    known("beach.shelter", o.beach.shelter, Span::ZERO, Span::of_h(24.0))?;
    known("beach.care", o.beach.care, Span::ZERO, Span::of_h(48.0))?;
    known("beach.faces", o.beach.faces, Angle::ZERO, Angle::of_deg(360.0))?;
    crate::outing::bathers::check(&o.beach.bather_counts)?;
    known("beach.bathers", o.beach.bathers, Length::ZERO, m(100_000.0))?;
    if let Known::Known(n) = o.night.baits_out {
        number("night.baits_out", f64::from(n), 0.0, 20.0)?;
    }
    sea_and_weather(o)?;
    reports(o)?;
    text("fish.species", &o.fish.species)?;
    at("fish.from", o.fish.from.sensible("size of the fish"))?;
    at("fish.to", o.fish.to.sensible("size of the fish"))?;
    let order = at("fish.to", o.fish.from.compare(o.fish.to))?;
    if order == core::cmp::Ordering::Greater {
        return Err((
            "fish.from".into(),
            Error::new("the size band begins above its end", "from at most to", "exchange from and to"),
        ));
    }
    known("bait.distance", o.bait.distance, Length::ZERO, m(3000.0))?;
    known("bait.depth", o.bait.depth, m(0.1), m(300.0))?;
    known("bait.soak", o.bait.soak, Span::of_min(1.0), Span::of_h(50.0))?;
    known("bait.rod_tension", o.bait.rod_tension, Force::of_n(0.5), Force::of_n(1000.0))?;
    known("bait.boats_watched", o.bait.boats_watched, Span::of_min(1.0), Span::of_h(1000.0))?;
    if let Known::Known(n) = o.bait.boats_per_hour {
        number("bait.boats_per_hour", n, 0.0, 1000.0)?;
    }
    known("landing.handling", o.landing.handling, Span::ZERO, Span::of_h(2.0))?;
    known("landing.air", o.landing.air, Span::ZERO, Span::of_h(1.0))?;
    known("landing.fight_limit", o.landing.fight_limit, Span::of_min(1.0), Span::of_h(6.0))?;
    stand(o)?;
    for (path, known) in [
        ("safety.contact", &o.safety.contact),
        ("safety.overdue_action", &o.safety.overdue_action),
        ("safety.drives_home", &o.safety.drives_home),
        ("beach.access", &o.beach.access),
        ("beach.emergency_number", &o.beach.emergency_number),
        ("beach.hospital", &o.beach.hospital),
    ] {
        if let Known::Known(t) = known {
            text(path, t)?;
        }
    }
    people(o)?;
    if o.outfit.is_empty() || o.outfit.len() > 20 {
        return Err((
            "outfit".into(),
            Error::new(
                format!("there are {} outfits", o.outfit.len()),
                "1 to 20",
                "write at least the outfit to be fished as [[outfit]]",
            ),
        ));
    }
    for (i, outfit) in o.outfit.iter().enumerate() {
        at(&format!("outfit[{i}]"), outfit.check())?;
    }
    at("rig", o.rig.check())?;
    for (i, e) in o.limit.iter().enumerate() {
        text(&format!("limit[{i}].who"), &e.who)?;
        text(&format!("limit[{i}].why"), &e.why)?;
    }
    Ok(())
}

/// A zone of the other side of the world means a lost minus sign: no zone is further than this from the sun.
const ZONE_OFF_H: f64 = 4.0;

fn longitude_fits(o: &Outing) -> Result<(), Refusal> {
    let Ok(zone) = jiff::tz::TimeZone::get(&o.beach.zone) else { return Ok(()) };
    let Ok(noon) = zone.to_ambiguous_timestamp(o.night.date.0.at(12, 0, 0, 0)).compatible() else {
        return Ok(());
    };
    let off = f64::from(zone.to_offset(noon).seconds()) / 3600.0 - o.beach.longitude / 15.0;
    // Around the world's back: 23 hours off is one hour off.
    let off = (off + 12.0).rem_euclid(24.0) - 12.0;
    if off.abs() <= ZONE_OFF_H {
        return Ok(());
    }
    Err((
        "beach.longitude".into(),
        Error::new(
            format!(
                "longitude {} does not fit the zone {}: they are {:.0} hours apart",
                o.beach.longitude,
                o.beach.zone,
                off.abs()
            ),
            "degrees east, west negative, in the zone of the beach",
            "check the sign of the longitude",
        ),
    ))
}

fn sea_and_weather(o: &Outing) -> Result<(), Refusal> {
    let m = Length::of_m;
    let sea = &o.sea;
    known("sea.wave_height", sea.wave_height, Length::ZERO, m(20.0))?;
    known("sea.wave_period", sea.wave_period, Span::of_s(1.0), Span::of_s(30.0))?;
    known("sea.water_temperature", sea.water_temperature, Temperature::of_c(-3.0), Temperature::of_c(40.0))?;
    known("sea.current", sea.current, Speed::ZERO, Speed::of_mps(5.0))?;
    known("sea.residual", sea.residual, m(-3.0), m(5.0))?;
    for (i, run) in sea.float_runs.iter().enumerate() {
        at(&format!("sea.float_runs[{i}]"), run.check())?;
    }
    if let Known::Known(w) = sea.wave_count {
        at("sea.wave_count", w.check())?;
    }
    if let Known::Known(w) = sea.wash_seen {
        at("sea.wash_seen.reach", w.reach.check())?;
        at("sea.wash_seen.watched", w.check())?;
    }
    let w = &o.weather;
    known("weather.wind", w.wind, Speed::ZERO, Speed::of_kn(150.0))?;
    known("weather.gust", w.gust, Speed::ZERO, Speed::of_kn(200.0))?;
    known("weather.air_temperature", w.air_temperature, Temperature::of_c(-50.0), Temperature::of_c(60.0))?;
    known("weather.visibility", w.visibility, Length::ZERO, m(200_000.0))?;
    if let Known::Known(h) = w.humidity {
        number("weather.humidity", h, 0.0, 100.0)?;
    }
    Ok(())
}

/// Most reports of one outing.
const MOST_REPORTS: usize = 40;

fn reports(o: &Outing) -> Result<(), Refusal> {
    if o.report.len() > MOST_REPORTS {
        let error = format!("there are {} reports", o.report.len());
        let remedy = "leave out what does not speak of these nights";
        return Err(("report".into(), Error::new(error, format!("at most {MOST_REPORTS}"), remedy)));
    }
    for (i, r) in o.report.iter().enumerate() {
        text(&format!("report[{i}].source"), &r.source)?;
        r.check().map_err(|(path, e)| (format!("report[{i}].{path}"), e))?;
    }
    Ok(())
}

fn people(o: &Outing) -> Result<(), Refusal> {
    if o.person.is_empty() || o.person.len() > 40 {
        return Err((
            "person".into(),
            Error::new(
                format!("there are {} people", o.person.len()),
                "1 to 40",
                "write each person as [[person]]",
            ),
        ));
    }
    for (i, p) in o.person.iter().enumerate() {
        text(&format!("person[{i}].name"), &p.name)?;
        at(&format!("person[{i}]"), p.check())?;
        if let Known::Known(buddy) = &p.buddy
            && !o.person.iter().any(|q| q.name != p.name && q.name.trim().eq_ignore_ascii_case(buddy.trim()))
        {
            return Err((
                format!("person[{i}].buddy"),
                Error::new(
                    format!("nobody else is called `{buddy}`"),
                    "a name of the people",
                    "name one of the people",
                ),
            ));
        }
        if o.person[..i].iter().any(|q| q.name.trim().eq_ignore_ascii_case(p.name.trim())) {
            return Err((
                format!("person[{i}].name"),
                Error::new(
                    format!("`{}` stands twice", p.name),
                    "each name once",
                    "give the second another name, or remove it",
                ),
            ));
        }
    }
    if let Known::Known(driver) = &o.safety.drives_home
        && !o.person.iter().any(|p| p.name.trim().eq_ignore_ascii_case(driver.trim()))
    {
        return Err((
            "safety.drives_home".into(),
            Error::new(
                format!("nobody is called `{driver}`"),
                "a name of the people",
                "name one of the people",
            ),
        ));
    }
    Ok(())
}
