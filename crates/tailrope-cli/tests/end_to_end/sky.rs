use crate::run::tailrope;
use serde_json::Value;

fn minutes(at: &str) -> i32 {
    at[11..13].parse::<i32>().unwrap() * 60 + at[14..16].parse::<i32>().unwrap()
}

#[test]
fn a_night_on_the_texas_shore() {
    let j = tailrope("sky 8779750 --date 2026-10-17 --format json").exits(0).json("tailrope.sky/1");
    let day = &j["days"][0];
    let at = |what: &str| {
        let event = day["events"].as_array().unwrap().iter().find(|e| e["what"] == what);
        event.unwrap_or_else(|| panic!("no {what}"))["at"].as_str().unwrap().to_owned()
    };
    // Almanac by hand: declination -9.1, latitude 26.07, longitude 97.16 W, equation of time +14.5 min, zone -5 h.
    // Half day arc 86.4 degrees with refraction: 7:29 and 18:59.
    assert!((minutes(&at("sunrise")) - 449).abs() <= 2, "{}", at("sunrise"));
    assert!((minutes(&at("sunset")) - 1139).abs() <= 2, "{}", at("sunset"));
    assert!(at("civil-dusk") > at("sunset") && at("astronomical-dusk") > at("nautical-dusk"));
    assert!(day["night"]["moon_up"].as_f64().unwrap() > 0.2);
}

#[test]
fn a_place_is_as_good_as_a_station() {
    let station = tailrope("sky 8779750 --date 2026-10-17 --format json").exits(0).json("tailrope.sky/1");
    let place =
        tailrope("sky --place 26.0683,-97.1567 --zone America/Chicago --date 2026-10-17 --format json")
            .exits(0)
            .json("tailrope.sky/1");
    assert_eq!(station["days"], place["days"]);
    let north =
        tailrope("sky --place 36.0683,-97.1567 --zone America/Chicago --date 2026-10-17 --format json")
            .exits(0)
            .json("tailrope.sky/1");
    assert_ne!(station["days"], north["days"]);
}

#[test]
fn licence_and_attribution_stand_where_a_station_is_used() {
    let of = |args: &str| {
        tailrope(&format!("sky {args} --date 2027-01-15 --format json")).exits(0).json("tailrope.sky/1")
    };
    for (args, parts) in [
        ("walvis_bay-220-nam-uhslc_fd", ["TICON-4", "CC BY 4.0", "Hart-Davis"]),
        ("--at -22.94,14.50", ["TICON-4", "CC BY 4.0", "Hart-Davis"]),
        ("8443970", ["NOAA CO-OPS", "public domain", "tidesandcurrents.noaa.gov"]),
    ] {
        let station = of(args)["station"].to_string();
        assert!(parts.iter().all(|p| station.contains(p)), "{station}");
        tailrope(&format!("sky {args} --date 2027-01-15")).exits(0).reads(&parts).no_wider_than(80);
    }
    // A zone that was said needs no station.
    assert!(of("--at -22.94,14.50 --zone Africa/Windhoek")["station"].is_null());
}

#[test]
fn a_midsummer_night_that_is_none() {
    tailrope("sky --place 69.65,18.96 --zone Europe/Oslo --date 2026-06-21")
        .exits(0)
        .says(&["none", "no night between"])
        .reads(&["the sun stays above the horizon all day and all night", "No full night"])
        .no_wider_than(80);
}

fn sky(args: &str) -> Value {
    tailrope(&format!("sky {args} --format json")).exits(0).json("tailrope.sky/1")
}

fn all<'a>(day: &'a Value, what: &str) -> Vec<&'a str> {
    let list = day["events"].as_array().unwrap().iter().filter(|e| e["what"] == what);
    list.map(|e| e["at"].as_str().unwrap()).collect()
}

fn missing(day: &Value) -> Vec<&str> {
    let list = day["missing"].as_array().unwrap().iter();
    list.flat_map(|m| m["what"].as_array().unwrap()).map(|w| w.as_str().unwrap()).collect()
}

#[test]
fn polar_night_has_no_sunrise_and_all_three_twilights() {
    let args = "--at 69.65,18.96 --from 2026-12-10 --days 1";
    let j = sky(args);
    let day = &j["days"][0];
    assert_eq!((&j["zone"], &j["zone_from"]), (&"Europe/Oslo".into(), &"nearest-station".into()));
    assert!(j["zone_station"]["distance_m"].as_f64().unwrap() < 20e3);
    assert!(all(day, "sunrise").is_empty() && all(day, "sunset").is_empty());
    assert_eq!(missing(day)[..2], ["sunrise", "sunset"]);
    // By hand: declination -22.9, so the sun's noon height is -2.55 degrees: civil twilight from 20.35 degrees of hour
    // angle ... cos H = (sin -6 - sin 69.65 sin -22.9) / (cos 69.65 cos -22.9), H = 34.8 degrees, 2 h 19 min about noon
    // at 11:37 (longitude 18.96 E, equation of time +7 min, zone +1 h).
    let civil = [all(day, "civil-dawn")[0], all(day, "civil-dusk")[0]].map(minutes);
    assert!((civil[0] - (697 - 139)).abs() <= 8 && (civil[1] - (697 + 139)).abs() <= 8, "{civil:?}");
    for what in ["nautical-dawn", "nautical-dusk", "astronomical-dawn", "astronomical-dusk"] {
        assert_eq!(all(day, what).len(), 1, "{what}");
    }
    let night = &day["night"];
    assert_eq!((&night["polar_night"], night["hours"].as_array().unwrap().len()), (&true.into(), 24));
    tailrope(&format!("sky {args}"))
        .exits(0)
        .reads(&[
            "No sunrise and no sunset: the sun stays below the horizon all day (polar night).",
            "civil twilight",
            "nautical twilight",
            "astronomical twilight",
            "(UTC+01:00)",
            "the sun is down from this noon to the next",
            "nearest tide station",
        ])
        .no_wider_than(80);
}

#[test]
fn the_night_is_a_number_hour_by_hour_with_a_comparison() {
    // New moon 2026-12-09, full moon 2026-12-24.
    let night = |date: &str| sky(&format!("--at 26.07,-97.16 --from {date}"))["days"][0]["night"].clone();
    let at_one = |n: &Value| {
        let hours = n["hours"].as_array().unwrap();
        hours.iter().find(|h| h["at"].as_str().unwrap().contains("T01:00")).unwrap().clone()
    };
    let (dark, light) = (night("2026-12-09"), night("2026-12-24"));
    assert!(at_one(&dark)["clear_sky_lux"].as_f64().unwrap() < 0.0015);
    assert!(at_one(&dark)["like"].as_str().unwrap().contains("starlight"));
    let full = at_one(&light);
    assert!((0.1..0.4).contains(&full["clear_sky_lux"].as_f64().unwrap()), "{full}");
    assert!(full["like"].as_str().unwrap().contains("full moon"));
    // Every whole hour from sunset to sunrise, in order.
    let hours = dark["hours"].as_array().unwrap();
    assert!((13..=14).contains(&hours.len()), "{}", hours.len());
    assert!(hours.iter().all(|h| h["at"].as_str().unwrap()[14..19] == *"00:00"));
    tailrope("sky --at 26.07,-97.16 --from 2026-12-24")
        .exits(0)
        .reads(&["about as bright as", "a high full moon", "Circular 171", "recalled", "factor of two"])
        .no_wider_than(100);
}

#[test]
fn a_day_of_the_month_has_no_moonrise_and_the_page_says_so() {
    let j = sky("--at 26.07,-97.16 --from 2026-11-01 --days 30");
    let days = j["days"].as_array().unwrap();
    let without: Vec<&Value> = days.iter().filter(|d| all(d, "moonrise").is_empty()).collect();
    assert_eq!(without.len(), 1);
    assert_eq!(missing(without[0]), ["moonrise"]);
    let date = without[0]["date"].as_str().unwrap();
    tailrope(&format!("sky --at 26.07,-97.16 --from {date}")).exits(0).reads(&["No moonrise in this day"]);
    // Transits and phases are there.
    assert!(days.iter().filter(|d| all(d, "moon-transit").len() == 1).count() >= 28);
    let phases: Vec<&str> =
        j["phases"].as_array().unwrap().iter().map(|p| p["phase"].as_str().unwrap()).collect();
    assert_eq!(phases.len(), 4, "{phases:?}");
}

#[test]
fn clocks_that_change_either_way_or_never() {
    let day = |args: &str| sky(args)["days"][0].clone();
    let back = day("--at 26.07,-97.16 --from 2026-11-01");
    assert_eq!((&back["hours_in_day"], &back["clock_change"]["forward"]), (&25.0.into(), &false.into()));
    let forward = day("--at 26.07,-97.16 --from 2027-03-14");
    assert_eq!((&forward["hours_in_day"], &forward["clock_change"]["forward"]), (&23.0.into(), &true.into()));
    let never = day("--at -22.94,14.50 --from 2026-11-01");
    assert_eq!((&never["hours_in_day"], &never["clock_change"]), (&24.0.into(), &Value::Null));
    assert_eq!(sky("--at -22.94,14.50 --from 2026-11-01")["zone"], "Africa/Windhoek");
    tailrope("sky --at 26.07,-97.16 --from 2026-11-01")
        .exits(0)
        .reads(&["The clocks go back at 02:00, to 01:00 (UTC-05:00 to UTC-06:00): this day has 25 h."])
        .no_wider_than(100);
    tailrope("sky --at 26.07,-97.16 --from 2027-03-14")
        .exits(0)
        .reads(&["The clocks go forward at 02:00, to 03:00 (UTC-06:00 to UTC-05:00): this day has 23 h."]);
    // The night before the change: seven hours after local midnight are not eight o'clock.
    let night = sky("--at 26.07,-97.16 --from 2026-10-31")["days"][0]["night"].clone();
    let hours = night["hours"].as_array().unwrap();
    let at: Vec<&str> = hours.iter().map(|h| &h["at"].as_str().unwrap()[11..]).collect();
    assert!(at.contains(&"01:00:00-05:00") && at.contains(&"01:00:00-06:00"), "{at:?}");
}

#[test]
fn where_no_station_is_near_times_are_utc_and_that_is_said() {
    let j = sky("--at -48.0,-123.0 --from 2026-12-10");
    assert_eq!((&j["zone"], &j["zone_from"]), (&"UTC".into(), &"none".into()));
    // True noon is at about 20:05 there and the day has 16 hours, so the night begins on the next day of UTC.
    let night = &j["days"][0]["night"];
    assert!(night["start"].as_str().unwrap().starts_with("2026-12-11T04:0"), "{night}");
    tailrope("sky --at -48.0,-123.0 --from 2026-12-10").exits(0).reads(&["times are UTC", "--zone"]);
    // A named zone goes before all.
    assert_eq!(sky("--at 69.65,18.96 --zone Europe/Helsinki --from 2026-12-10")["zone"], "Europe/Helsinki");
}

/// The clock that a local time of the JSON is shown as: to the nearest minute.
fn shown(at: &str) -> String {
    let up = i32::from(at[17..19].parse::<i32>().unwrap() >= 30);
    let m = (minutes(at) + up) % 1440;
    format!("{:02}:{:02}", m / 60, m % 60)
}

#[test]
fn the_plan_and_the_sky_show_the_same_minute() {
    let plan = |format: &str| tailrope(&format!("demo two-hands --fights 64 --format {format}")).out();
    let j = plan("json").json("tailrope.plan/1");
    let page = plan("text").stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    let events = j["sky"].as_array().unwrap();
    let mut rounded_up = 0;
    for e in events {
        let (at, what) = (e["at"].as_str().unwrap(), e["what"].as_str().unwrap());
        let clock = shown(at);
        rounded_up += usize::from(clock != at[11..16]);
        assert!(page.contains(&format!("{what} {clock}")), "{what} {at} in {page}");
    }
    assert!(!events.is_empty() && rounded_up > 0, "nothing here tells rounding from cutting: {events:?}");
    // Moonlight by height and phase.
    let moon = &j["moon"];
    assert!(moon["darkest_lux"].as_f64().unwrap() > 0.0 && moon["darkest_like"].is_string(), "{moon}");
    assert!(page.contains(moon["darkest_like"].as_str().unwrap()));
    let j = sky("8779750 --from 2026-10-17");
    let page = tailrope("sky 8779750 --from 2026-10-17").exits(0).stdout;
    for e in j["days"][0]["events"].as_array().unwrap() {
        if e["what"] != "moon-lower-transit" {
            assert!(page.contains(&shown(e["at"].as_str().unwrap())), "{e} in {page}");
        }
    }
}

#[test]
fn refuses_half_a_place() {
    for (args, parts) in [
        ("sky 8779750 --at 26.07,-97.16", ["--at", "cannot be used"]),
        ("sky --place 26.07 --zone America/Chicago", ["--at", "26.07,-97.16"]),
        ("sky --place 26.07,-97.16 --zone Texas", ["--zone", "America/Chicago"]),
        ("sky", ["whose sky", "--at 27.58,-97.22"]),
        ("sky 8779750 --date 3000-01-01", ["3000", "2099"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
