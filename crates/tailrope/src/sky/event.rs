//! Lists of what happens in the sky over a stretch of time.

use super::sun::Horizon;
use super::{moon, sun};
use crate::Result;
use crate::quantity::{Interval, Place};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

/// What happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// Sun passes 18 degrees below the horizon upwards.
    AstronomicalDawn,
    /// Sun passes 12 degrees below upwards.
    NauticalDawn,
    /// Sun passes 6 degrees below upwards.
    CivilDawn,
    /// Upper limb of the Sun appears.
    Sunrise,
    /// Sun on the meridian: true noon.
    SunTransit,
    /// Upper limb of the Sun goes.
    Sunset,
    /// Sun passes 6 degrees below downwards.
    CivilDusk,
    /// Sun passes 12 degrees below downwards.
    NauticalDusk,
    /// Sun passes 18 degrees below downwards.
    AstronomicalDusk,
    /// Upper limb of the Moon appears.
    Moonrise,
    /// Moon on the meridian above the pole.
    MoonTransit,
    /// Upper limb of the Moon goes.
    Moonset,
    /// Moon on the meridian below the pole.
    MoonLowerTransit,
}

impl What {
    /// As shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::AstronomicalDawn => "astronomical dawn",
            Self::NauticalDawn => "nautical dawn",
            Self::CivilDawn => "civil dawn",
            Self::Sunrise => "sunrise",
            Self::SunTransit => "sun highest",
            Self::Sunset => "sunset",
            Self::CivilDusk => "civil dusk",
            Self::NauticalDusk => "nautical dusk",
            Self::AstronomicalDusk => "astronomical dusk",
            Self::Moonrise => "moonrise",
            Self::MoonTransit => "moon highest",
            Self::Moonset => "moonset",
            Self::MoonLowerTransit => "moon lowest",
        }
    }
}

/// One event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Event {
    /// When, to the millisecond (the reckoning is good to seconds, the air to a minute or two).
    pub at: Timestamp,
    /// What.
    pub what: What,
}

/// Everything that happens to Sun and Moon within `when`, in order of time.
///
/// An event that does not happen is not in the list: near the poles there are days without sunset, and about
/// once a month there is a day without moonrise anywhere. Ask for lists, never for "the" sunrise.
///
/// ```
/// use tailrope::{quantity::{Interval, Place}, sky::{What, events}};
/// let zone = jiff::tz::TimeZone::get("Europe/Oslo").unwrap();
/// let midsummer = Interval::civil_day(jiff::civil::date(2026, 6, 21), &zone)?;
/// let list = events(Place::of_deg(69.65, 18.96)?, midsummer)?;
/// assert!(list.iter().all(|e| e.what != What::Sunset && e.what != What::Sunrise));
/// # Ok::<(), tailrope::Error>(())
/// ```
pub fn events(place: Place, when: Interval) -> Result<Vec<Event>> {
    let mut list = sun_events(place, when)?;
    moon::push_risings(&mut list, place, when)?;
    moon::push_passages(&mut list, place, when)?;
    list.sort_by_key(|e| (e.at, e.what));
    Ok(list)
}

/// The Sun's part of [`events`] alone, which is all that law needs.
pub fn sun_events(place: Place, when: Interval) -> Result<Vec<Event>> {
    let mut list = Vec::new();
    for horizon in Horizon::ALL {
        sun::push_crossings(&mut list, place, when, horizon)?;
    }
    sun::push_noons(&mut list, place, when)?;
    list.sort_by_key(|e| (e.at, e.what));
    Ok(list)
}

/// A local civil day and what happens in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Day {
    /// Local midnight to local midnight.
    pub when: Interval,
    /// All events in order of time.
    pub events: Vec<Event>,
}

impl Day {
    /// The events of the civil day `date` in `zone`.
    pub fn of(place: Place, date: Date, zone: &TimeZone) -> Result<Self> {
        let when = Interval::civil_day(date, zone)?;
        Ok(Self { when, events: events(place, when)? })
    }

    /// The instants of one kind of event: usually one, sometimes none or two.
    pub fn all(&self, what: What) -> impl Iterator<Item = Timestamp> {
        self.events.iter().filter(move |e| e.what == what).map(|e| e.at)
    }
}
