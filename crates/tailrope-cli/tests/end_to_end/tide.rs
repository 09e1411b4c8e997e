use crate::run::tailrope;

/// Minutes since the beginning of the month of a UTC time (`2026-09-15T03:34`).
fn minutes(at: &str) -> f64 {
    let n = |r: std::ops::Range<usize>| at[r].parse::<f64>().unwrap();
    let seconds = at.get(17..19).and_then(|s| s.parse::<f64>().ok()).unwrap_or(0.0);
    (n(8..10) * 24.0 + n(11..13)) * 60.0 + n(14..16) + seconds / 60.0
}

#[test]
fn agrees_with_the_agencys_printed_tide() {
    let printed: serde_json::Value =
        serde_json::from_str(include_str!("../../../tailrope/tests/reference/fixtures/tide_official.json"))
            .unwrap();
    let mut compared = 0;
    for line in printed["stations"]["san_francisco_ca"]["extremes"].as_array().unwrap() {
        let at = line[0].as_str().unwrap();
        if !at.starts_with("2026-09-1") {
            continue;
        }
        let j = tailrope("tide 9414290 --date 2026-09-14 --days 4 --format json").exits(0);
        let j = j.json("tailrope.tide/1");
        let water = if line[1] == "H" { "high" } else { "low" };
        let nearest = j["turning_points"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|p| p["water"] == water)
            .min_by(|a, b| {
                let off =
                    |p: &serde_json::Value| (minutes(p["at_utc"].as_str().unwrap()) - minutes(at)).abs();
                off(a).total_cmp(&off(b))
            })
            .unwrap();
        let late = minutes(nearest["at_utc"].as_str().unwrap()) - minutes(at);
        let high = nearest["level_m"].as_f64().unwrap() - line[2].as_f64().unwrap();
        assert!(late.abs() <= 3.5 && high.abs() <= 0.008, "{line}: {late} min, {high} m");
        compared += 1;
    }
    assert!(compared >= 8, "{compared}");
}

#[test]
fn levels_above_and_turning_points_fit_together() {
    let j = tailrope("tide 8779750 --date 2026-10-17 --above 1.2ft --step 10 --format json")
        .exits(0)
        .json("tailrope.tide/1");
    let border = j["above_m"].as_f64().unwrap();
    assert!((border - 0.36576).abs() < 1e-9);
    let within = |at: &str| {
        j["above"]
            .as_array()
            .unwrap()
            .iter()
            .any(|s| s["start"].as_str().unwrap() <= at && at < s["end"].as_str().unwrap())
    };
    let levels = j["levels"].as_array().unwrap();
    assert_eq!(levels.len(), 144);
    for level in levels {
        let x = level["level_m"].as_f64().unwrap();
        if (x - border).abs() > 0.005 {
            assert_eq!(within(level["at"].as_str().unwrap()), x > border, "{level}");
        }
    }
    // A higher border is passed for a shorter time.
    let higher = tailrope("tide 8779750 --date 2026-10-17 --above 9ft --format json").exits(0);
    assert_eq!(higher.json("tailrope.tide/1")["above"], serde_json::json!([]));
}

#[test]
fn a_day_with_a_clock_change_has_25_hours() {
    let j = tailrope("tide 8779750 --date 2026-11-01 --format json").exits(0).json("tailrope.tide/1");
    assert_eq!(j["levels"].as_array().unwrap().len(), 25);
}

#[test]
fn stations_are_listed_and_the_nearest_comes_first() {
    tailrope("tide --list").exits(0).says(&[
        "padre_island_tx",
        "ticon/walvis_bay-220-nam-uhslc_fd",
        "Africa/Windhoek",
    ]);
    let j = tailrope("tide --near -22.5,14.5 --format json").exits(0).json("tailrope.tide/1");
    assert_eq!(j["stations"][0]["id"], "ticon/walvis_bay-220-nam-uhslc_fd");
    tailrope("tide ticon/walvis_bay-220-nam-uhslc_fd --date 2027-01-15")
        .exits(0)
        .says(&["LAT", "CC BY 4.0", "Hart-Davis"])
        .no_wider_than(80);
}

#[test]
fn refuses_unknown_stations_days_and_levels() {
    for (args, parts) in [
        ("tide nowhere", ["no tide station `nowhere`", "padre_island_tx", "high and low waters"]),
        ("tide 8443970 --date 2026-13-01", ["--date", "not a date", "2026-10-17"]),
        ("tide 8443970 --days 0", ["0 days", "1 to 62", "fewer"]),
        ("tide 8443970 --above 3", ["--above", "unit is missing", "2.4m"]),
        ("tide 8443970 --step 0", ["--step", "1 to 1440", "60"]),
        ("tide 8443970 --date 1850-01-01", ["1850", "1900 to 2099", "date"]),
        ("tide", ["<STATION>", "required", "Usage"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
