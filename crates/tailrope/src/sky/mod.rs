//! Sun, twilight, moon, and how dark a night is.
//!
//! Answers where the Sun and the Moon stand at an instant, which risings, settings, twilights and passages
//! fall into a stretch of time, and how much light a clear night leaves. Instants come in and go out as
//! `jiff::Timestamp`; a face shows them in the beach's own zone.
//!
//! Model: the Sun by the solar position algorithm, the Moon by the main terms of the lunar theory, both for a
//! level sea horizon and standard refraction; years 1900 to 2099. Checked against an independent ephemeris at
//! nine beaches and four hard places: Sun and twilights within seconds, Moon within seconds.
//!
//! Limits: no hills, dunes or clouds; the horizon seen from a high dune lies lower and the Sun sets later
//! there. Real refraction moves a rising or setting by a minute or more.

mod clock;
mod earth;
mod event;
mod lunar;
mod missing;
mod moon;
mod night;
mod phase;
mod sun;

pub use event::{Day, Event, What, events, sun_events};
pub use missing::Missing;
pub use moon::{MoonLight, moon_above, moon_altitude, moon_light};
pub use night::{Brightness, Darkness, LIGHT_SOURCE, SkyLight, as_bright_as, darkness, moonlight, sky_light};
pub use phase::{Phase, moon_phases, moon_shape};
pub use sun::{Horizon, sun_above, sun_altitude};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Interval, Place};
    use jiff::Timestamp;
    use jiff::civil::date;
    use jiff::tz::TimeZone;
    use proptest::prelude::*;

    fn day(latitude: f64, d: jiff::civil::Date) -> (Place, Interval) {
        let zone = TimeZone::get("Europe/Oslo").unwrap();
        (Place::of_deg(latitude, 18.96).unwrap(), Interval::civil_day(d, &zone).unwrap())
    }

    #[test]
    fn polar_day_and_polar_night_answer_none() {
        let (place, when) = day(69.65, date(2026, 6, 21));
        assert_eq!(sun_above(place, Horizon::Sea, when).unwrap(), [when]);
        let (place, when) = day(69.65, date(2026, 12, 21));
        assert!(sun_above(place, Horizon::Sea, when).unwrap().is_empty());
        assert_eq!(sun_above(place, Horizon::Civil, when).unwrap().len(), 1);
        let (pole, when) = day(90.0, date(2026, 12, 21));
        assert!(
            events(pole, when).unwrap().iter().all(|e| e.what != What::Sunrise && e.what != What::Moonrise)
        );
    }

    #[test]
    fn far_years_are_refused_not_guessed() {
        let place = Place::of_deg(10.0, 10.0).unwrap();
        for at in [Timestamp::MIN, Timestamp::MAX, "1850-01-01T00:00Z".parse().unwrap()] {
            assert!(sun_altitude(place, at).is_err() && moon_altitude(place, at).is_err());
            assert!(sky_light(place, at).is_err() && moon_light(at).is_err());
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        #[test]
        fn the_sun_alternates_and_stands_on_the_horizon_at_each_crossing(
            lat in -90.0..90.0f64, lon in -180.0..180.0f64, hour in 0i64..800_000,
        ) {
            let from = Timestamp::from_second(1_000_000_000 + hour * 3600).unwrap();
            let when = Interval::new(from, crate::quantity::shift(from, 3.0 * 86400.0)).unwrap();
            let place = Place::of_deg(lat, lon).unwrap();
            for horizon in Horizon::ALL {
                let stretches = sun_above(place, horizon, when).unwrap();
                prop_assert!(stretches.windows(2).all(|w| w[0].to() < w[1].from()));
                for at in stretches.iter().flat_map(|s| [s.from(), s.to()]) {
                    if at == when.from() || at == when.to() {
                        continue;
                    }
                    let off = sun_altitude(place, at).unwrap().deg() - horizon.altitude().deg();
                    prop_assert!(off.abs() < 1e-3, "{at} {off}");
                }
                // The middle of a stretch is above, the middle of a gap below.
                for s in &stretches {
                    let middle = s.after_s(s.seconds() / 2.0);
                    prop_assert!(sun_altitude(place, middle).unwrap().deg() >= horizon.altitude().deg() - 1e-6);
                }
                for w in stretches.windows(2) {
                    let gap = Interval::new(w[0].to(), w[1].from()).unwrap();
                    let middle = gap.after_s(gap.seconds() / 2.0);
                    prop_assert!(sun_altitude(place, middle).unwrap().deg() < horizon.altitude().deg() + 1e-6);
                }
            }
        }

        #[test]
        fn two_halves_hold_the_events_of_the_whole(
            lat in -80.0..80.0f64, lon in -180.0..180.0f64, hour in 0i64..800_000, cut in 0.05..0.95f64,
        ) {
            let from = Timestamp::from_second(1_000_000_000 + hour * 3600).unwrap();
            let to = crate::quantity::shift(from, 2.0 * 86400.0);
            let middle = crate::quantity::shift(from, cut * 2.0 * 86400.0);
            let place = Place::of_deg(lat, lon).unwrap();
            let list = |a, b| events(place, Interval::new(a, b).unwrap()).unwrap();
            let whole = list(from, to);
            let halves: Vec<Event> = [list(from, middle), list(middle, to)].concat();
            prop_assert_eq!(whole.len(), halves.len());
            for (a, b) in whole.iter().zip(&halves) {
                prop_assert_eq!(a.what, b.what);
                prop_assert!(a.at.duration_since(b.at).as_secs_f64().abs() < 0.1);
            }
        }
    }
}
