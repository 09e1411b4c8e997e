use crate::run::tailrope;

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
fn a_midsummer_night_that_is_none() {
    tailrope("sky --place 69.65,18.96 --zone Europe/Oslo --date 2026-06-21")
        .exits(0)
        .says(&["none", "no night between"])
        .no_wider_than(80);
}

#[test]
fn refuses_half_a_place() {
    for (args, parts) in [
        ("sky --place 26.07,-97.16", ["--zone", "required"]),
        ("sky --place 26.07 --zone America/Chicago", ["--place", "26.07,-97.16"]),
        ("sky --place 26.07,-97.16 --zone Texas", ["--zone", "America/Chicago"]),
        ("sky", ["<STATION>", "required"]),
        ("sky 8779750 --date 3000-01-01", ["3000", "2099"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
