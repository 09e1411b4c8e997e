//! What does not happen in a day, said in words, and the night that follows a day.
//!
//! Near the poles there are days without sunrise, sunset or some of the twilights, and about once a month there is a day
//! without moonrise, moonset or passage anywhere. An empty place in a table leaves a crew to guess; a sentence does not.

use super::event::{Day, What};
use super::moon::moon_above;
use super::sun::{Horizon, sun_above, sun_altitude};
use crate::Result;
use crate::quantity::{Interval, Place, shift};
use serde::Serialize;

/// Kinds of event that do not happen in a day, and what that means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Missing {
    /// The kinds that are not in the list.
    pub what: Vec<What>,
    /// In a sentence.
    pub words: String,
}

impl Day {
    /// All that does not happen in this day. Usually nothing.
    pub fn missing(&self, place: Place) -> Result<Vec<Missing>> {
        let mut list = Vec::new();
        let none = |w: What| self.all(w).next().is_none();
        for (horizon, up, down) in [
            (Horizon::Sea, What::Sunrise, What::Sunset),
            (Horizon::Civil, What::CivilDawn, What::CivilDusk),
            (Horizon::Nautical, What::NauticalDawn, What::NauticalDusk),
            (Horizon::Astronomical, What::AstronomicalDawn, What::AstronomicalDusk),
        ] {
            let what: Vec<What> = [up, down].into_iter().filter(|w| none(*w)).collect();
            if what.is_empty() {
                continue;
            }
            let words = if what.len() == 2 {
                let above = sun_above(place, horizon, self.when)?.iter().any(|s| s.seconds() > 0.0);
                never(horizon, above).to_owned()
            } else {
                one_missing(&what)
            };
            list.push(Missing { what, words });
        }
        let what: Vec<What> = [What::Moonrise, What::Moonset].into_iter().filter(|w| none(*w)).collect();
        if what.len() == 2 {
            let up = moon_above(place, self.when)?.iter().any(|s| s.seconds() > 0.0);
            let words = if up {
                "No moonrise and no moonset: the moon is up all day and all night."
            } else {
                "No moonrise and no moonset: the moon stays below the horizon all day and all night."
            };
            list.push(Missing { what, words: words.to_owned() });
        } else if !what.is_empty() {
            list.push(Missing { words: one_missing(&what), what });
        }
        for w in [What::SunTransit, What::MoonTransit, What::MoonLowerTransit] {
            if none(w) {
                list.push(Missing { words: one_missing(&[w]), what: vec![w] });
            }
        }
        Ok(list)
    }

    /// The night that begins in this day: from the sunset after its true noon to the next sunrise. Where the sun does
    /// not rise, the whole day from noon to noon; where it does not set, none.
    pub fn night(&self, place: Place) -> Result<Option<Interval>> {
        let noon = self.all(What::SunTransit).next().unwrap_or_else(|| shift(self.when.from(), 43_200.0));
        let round = Interval::new(noon, shift(noon, 86_400.0))?;
        let up = sun_above(place, Horizon::Sea, round)?;
        let mut below = Vec::new();
        let mut from = round.from();
        for s in &up {
            below.push(Interval::new(from, s.from().max(from))?);
            from = s.to();
        }
        below.push(Interval::new(from, round.to().max(from))?);
        let longest = below.into_iter().max_by(|a, b| a.seconds().total_cmp(&b.seconds()));
        Ok(longest.filter(|n| n.seconds() >= 60.0))
    }

    /// Whether the sun is below the sea horizon at true noon: polar night.
    pub fn is_polar_night(&self, place: Place) -> Result<bool> {
        let Some(noon) = self.all(What::SunTransit).next() else { return Ok(false) };
        Ok(sun_altitude(place, noon)? < Horizon::Sea.altitude())
    }
}

/// What it means that the sun crosses a height not once in a day.
fn never(horizon: Horizon, above: bool) -> &'static str {
    match (horizon, above) {
        (Horizon::Sea, false) => {
            "No sunrise and no sunset: the sun stays below the horizon all day (polar night)."
        }
        (Horizon::Sea, true) => {
            "No sunset and no sunrise: the sun stays above the horizon all day and all night."
        }
        (Horizon::Civil, false) => "No civil twilight: even at noon the sun is more than 6 degrees down.",
        (Horizon::Civil, true) => {
            "It does not get darker than civil twilight: no civil dusk and no civil dawn."
        }
        (Horizon::Nautical, false) => {
            "No nautical twilight: even at noon the sun is more than 12 degrees down."
        }
        (Horizon::Nautical, true) => {
            "No nautical dusk and no nautical dawn: the sun stays less than 12 degrees down."
        }
        (Horizon::Astronomical, false) => {
            "Full night all day: even at noon the sun is more than 18 degrees down."
        }
        (Horizon::Astronomical, true) => "No full night: the sun stays less than 18 degrees down.",
    }
}

fn one_missing(what: &[What]) -> String {
    let names: Vec<&str> = what.iter().map(|w| w.word()).collect();
    let moon = what
        .iter()
        .all(|w| matches!(w, What::Moonrise | What::Moonset | What::MoonTransit | What::MoonLowerTransit));
    let why = if moon { ": it comes about 50 minutes later each day and falls after midnight" } else { "" };
    format!("No {} in this day{why}.", names.join(" and no "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use jiff::tz::TimeZone;

    fn day(lat: f64, lon: f64, zone: &str, d: jiff::civil::Date) -> (Place, Day) {
        let place = Place::of_deg(lat, lon).unwrap();
        (place, Day::of(place, d, &TimeZone::get(zone).unwrap()).unwrap())
    }

    fn words(lat: f64, lon: f64, zone: &str, d: jiff::civil::Date) -> String {
        let (place, day) = day(lat, lon, zone, d);
        day.missing(place).unwrap().iter().map(|m| m.words.clone()).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn polar_days_are_said_in_words() {
        let (place, winter) = day(69.65, 18.96, "Europe/Oslo", date(2026, 12, 10));
        let missing = winter.missing(place).unwrap();
        assert_eq!(missing[0].what, [What::Sunrise, What::Sunset]);
        assert!(missing[0].words.contains("below the horizon all day"));
        assert!(winter.is_polar_night(place).unwrap());
        // All three twilights happen there.
        assert_eq!(winter.all(What::CivilDawn).count(), 1);
        assert_eq!(winter.all(What::AstronomicalDusk).count(), 1);
        assert_eq!(winter.night(place).unwrap().unwrap().length().h(), 24.0);
        let summer = words(69.65, 18.96, "Europe/Oslo", date(2026, 6, 21));
        for part in ["sun stays above the horizon", "not get darker than civil", "No full night"] {
            assert!(summer.contains(part), "{summer}");
        }
        let (place, summer) = day(69.65, 18.96, "Europe/Oslo", date(2026, 6, 21));
        assert_eq!(summer.night(place).unwrap(), None);
        assert!(words(78.22, 15.65, "Arctic/Longyearbyen", date(2026, 12, 21)).contains("No civil twilight"));
        // Sixty degrees north in June: the sun sets, full night does not come.
        let white = words(60.0, 5.0, "Europe/Oslo", date(2026, 6, 21));
        assert!(white.contains("less than 12 degrees down") && !white.contains("sunset"), "{white}");
    }

    #[test]
    fn an_ordinary_night_runs_from_sunset_to_sunrise_whatever_zone_is_shown() {
        for zone in ["America/Chicago", "UTC", "Pacific/Auckland"] {
            let (place, day) = day(26.0683, -97.1567, zone, date(2026, 10, 17));
            let night = day.night(place).unwrap().unwrap();
            assert!((night.length().h() - 12.5).abs() < 0.1, "{zone}");
            let up = |at| sun_altitude(place, at).unwrap().deg();
            assert!((up(night.from()) + 0.8333).abs() < 1e-3 && (up(night.to()) + 0.8333).abs() < 1e-3);
            assert!(!day.is_polar_night(place).unwrap());
        }
    }

    #[test]
    fn a_month_has_a_day_without_moonrise_and_says_so() {
        let place = Place::of_deg(26.0683, -97.1567).unwrap();
        let zone = TimeZone::get("America/Chicago").unwrap();
        let days: Vec<Day> = (1..=30).map(|d| Day::of(place, date(2026, 11, d), &zone).unwrap()).collect();
        let without: Vec<&Day> = days.iter().filter(|d| d.all(What::Moonrise).next().is_none()).collect();
        assert_eq!(without.len(), 1);
        let said = without[0].missing(place).unwrap();
        assert!(
            said.iter().any(|m| m.what == [What::Moonrise] && m.words.contains("No moonrise in this day"))
        );
        let full: Vec<&Day> = days.iter().filter(|d| d.missing(place).unwrap().is_empty()).collect();
        assert!(full.len() >= 24, "{}", full.len());
    }
}
