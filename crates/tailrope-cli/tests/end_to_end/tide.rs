use crate::run::tailrope;
use serde_json::Value;

/// Minutes since the beginning of the month of a UTC time (`2026-09-15T03:34`).
fn minutes(at: &str) -> f64 {
    let n = |r: std::ops::Range<usize>| at[r].parse::<f64>().unwrap();
    let seconds = at.get(17..19).and_then(|s| s.parse::<f64>().ok()).unwrap_or(0.0);
    (n(8..10) * 24.0 + n(11..13)) * 60.0 + n(14..16) + seconds / 60.0
}

fn tide(args: &str) -> Value {
    tailrope(&format!("tide {args} --format json")).exits(0).json("tailrope.tide/1")
}

fn list<'a>(j: &'a Value, key: &str) -> &'a Vec<Value> {
    j[key].as_array().unwrap_or_else(|| panic!("{key}: {j}"))
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("{v}"))
}

fn text(v: &Value) -> &str {
    v.as_str().unwrap_or_else(|| panic!("{v}"))
}

#[test]
fn agrees_with_the_agencys_printed_tide() {
    let printed: Value =
        serde_json::from_str(include_str!("../../../tailrope/tests/reference/fixtures/tide_official.json"))
            .unwrap();
    for (named, args) in [
        ("boston_ma", "--station 8443970 --from 2026-09-15 --days 2"),
        ("san_francisco_ca", "9414290 --date 2026-09-14 --days 4"),
        ("pensacola_fl", "--station noaa/8729840 --from 2026-09-15 --days 2"),
    ] {
        let j = tide(args);
        let (from, to) = (text(&j["from"]), text(&j["to"]));
        assert!(from.len() == 25 && to > from);
        let mut compared = 0;
        for line in printed["stations"][named]["extremes"].as_array().unwrap() {
            let at = line[0].as_str().unwrap();
            if !at.starts_with("2026-09-1") || at < "2026-09-15T04:00" {
                continue;
            }
            let water = if line[1] == "H" { "high" } else { "low" };
            let off = |p: &&Value| (minutes(text(&p["at_utc"])) - minutes(at)).abs();
            let nearest = list(&j, "turning_points")
                .iter()
                .filter(|p| p["water"] == water)
                .min_by(|a, b| off(a).total_cmp(&off(b)))
                .unwrap();
            let high = number(&nearest["level_m"]) - line[2].as_f64().unwrap();
            assert!(off(&nearest) <= 3.5 && high.abs() <= 0.008, "{named} {line}: {nearest}");
            compared += 1;
        }
        assert!(compared >= 4, "{named} {compared}");
    }
}

#[test]
fn the_nearest_fit_station_is_taken_for_a_beach() {
    let args = "--at 27.58,-97.22 --from 2026-12-05 --days 2";
    tailrope(&format!("tide {args}"))
        .exits(0)
        .says(&[
            "noaa/8775870",
            "heights above MLLW, local time",
            "(America/Chicago)",
            "Sat 2026-12-05, CST",
            "Sun 2026-12-06, CST",
            "No coastline is known here",
            "NOAA CO-OPS, station 8775870 (public domain)",
            "Packery Channel",
        ])
        .no_wider_than(80);
    let j = tide(args);
    assert!(number(&j["distance_km"]) < 1.0 && j["zone"] == "America/Chicago" && j["days"] == 2);
    assert_eq!(list(&j, "near").iter().filter(|n| n["taken"] == true).count(), 1);
    // Beside the pass stands its own gauge; the one on the open beach is taken all the same.
    let j = tide("--at 27.63,-97.24 --from 2026-12-05");
    let near = list(&j, "near");
    assert_eq!((text(&near[0]["id"]), near[0]["taken"].as_bool()), ("noaa/8775792", Some(false)));
    let doubts = near[0]["doubts"].to_string();
    assert!(doubts.contains("channel") && doubts.contains("behind an inlet"), "{doubts}");
    assert_eq!(j["station"], "noaa/8775870");
    assert!(near.windows(2).all(|w| number(&w[0]["distance_km"]) <= number(&w[1]["distance_km"])));
}

#[test]
fn a_far_station_is_said_to_be_far_and_a_farther_one_is_not_taken() {
    let far = "It is 1";
    let j = tide("--at -21.6,13.8 --date 2027-01-15");
    assert!(number(&j["distance_km"]) > 100.0, "{}", j["distance_km"]);
    let said = j["warnings"].to_string();
    assert!(said.contains(far) && said.contains("off by hours, and its heights may be"), "{said}");
    assert!(!tide("--at -22.9,14.5 --date 2027-01-15")["warnings"].to_string().contains(far));
    tailrope("tide --at -45,-120 --units metric").exits(3).complains(&[
        "--at",
        "no tide station lies within 500 km",
        "the nearest are ",
        "--table",
    ]);
}

#[test]
fn licence_and_attribution_stand_with_every_tide() {
    for (station, parts) in [
        ("ticon/walvis_bay-220-nam-uhslc_fd", ["TICON-4", "CC BY 4.0", "Hart-Davis"]),
        ("noaa/8443970", ["NOAA CO-OPS", "public domain", "tidesandcurrents.noaa.gov"]),
    ] {
        let j = tide(&format!("{station} --date 2027-01-15"));
        let said = [&j["source"], &j["licence"], &j["attribution"]].map(|v| text(v).to_owned()).join(" ");
        assert!(parts.iter().all(|p| said.contains(p)), "{said}");
        tailrope(&format!("tide {station} --date 2027-01-15")).exits(0).says(&parts).no_wider_than(80);
    }
    let j = tailrope("demo cold-coast --fights 16 --format json").out();
    let plan: Value = serde_json::from_str(&j.stdout).unwrap();
    let cite = list(&plan, "sources").iter().find(|s| s["id"] == "tide").unwrap()["cite"].to_string();
    assert!(cite.contains("CC BY 4.0") && cite.contains("Hart-Davis"), "{cite}");
    assert!(list(&plan, "packs").iter().any(|p| p["id"] == "stations.bin" && text(&p["hash"]).len() == 16));
}

#[test]
fn levels_above_and_turning_points_fit_together() {
    let j = tide("8779750 --date 2026-10-17 --above 1.2ft --below 1.2ft --step 10");
    let border = number(&j["above_m"]);
    assert!((border - 0.36576).abs() < 1e-9 && j["below_m"] == j["above_m"]);
    let within = |at: &str| list(&j, "above").iter().any(|s| text(&s["start"]) <= at && at < text(&s["end"]));
    let levels = list(&j, "levels");
    assert_eq!(levels.len(), 144);
    for level in levels {
        let x = number(&level["level_m"]);
        if (x - border).abs() > 0.005 {
            assert_eq!(within(text(&level["at"])), x > border, "{level}");
        }
    }
    let (above, below) = (number(&j["above_h"]), number(&j["below_h"]));
    assert!((above + below - 24.0).abs() < 1e-6 && above > 1.0 && below > 1.0, "{above} {below}");
    // A higher border is passed for a shorter time.
    assert_eq!(tide("8779750 --date 2026-10-17 --above 9ft")["above"], serde_json::json!([]));
    tailrope("tide 8779750 --date 2026-10-17 --above 1.2ft --below 9ft")
        .exits(0)
        .says(&["Above 1.2 ft: ", " h of 24 h", "Below 9.0 ft: 24 h of 24 h", "CDT"])
        .no_wider_than(80);
}

#[test]
fn a_diurnal_day_may_lack_a_high_water_and_small_turns_are_told() {
    let j = tide("noaa/8729840 --date 2026-09-01 --days 31");
    let all = tide("noaa/8729840 --date 2026-09-01 --days 31 --all");
    let (printed, every, small) =
        (list(&j, "turning_points"), list(&all, "turning_points"), list(&j, "left_out_points"));
    assert_eq!(printed.len() + small.len(), every.len());
    assert!(!small.is_empty() && list(&all, "left_out_points").is_empty());
    assert!(printed.windows(2).all(|w| w[0]["water"] != w[1]["water"]));
    tailrope("tide noaa/8729840 --date 2026-09-01 --days 31")
        .exits(0)
        .says(&["the water also turns", "on this day"])
        .no_wider_than(80);
}

#[test]
fn the_level_is_told_at_any_time() {
    let j = tide("8443970 --level-at 2026-09-15T19:00Z --level-at 2026-09-15T16:51 --date 2026-09-15");
    let at = list(&j, "level_at");
    assert_eq!(text(&at[0]["at"]), "2026-09-15T15:00:00-04:00");
    // Nine minutes after a printed high water of 3.095 m, and two hours later.
    assert!((number(&at[0]["level_m"]) - 3.09).abs() < 0.02, "{}", at[0]);
    assert!(number(&at[1]["level_m"]) < 2.6 && number(&at[1]["rate_m_per_h"]) < -0.3, "{}", at[1]);
    // Without --date the day is that of the time.
    let alone = tide("8443970 --level-at 2026-09-15T16:51");
    assert_eq!(alone["level_at"][0], at[1]);
    tailrope("tide 8443970 --level-at 2026-09-15T16:51").exits(0).says(&["16:51 EDT", "falls"]);
    tailrope("tide 8443970 --level-at 2026-09-15T16:51 --date 2026-10-01").exits(3).complains(&[
        "--level-at",
        "not known at 2026-09-15T16:51:00-04:00",
        "2026-10-01T00:00:00-04:00 to",
    ]);
}

#[test]
fn heights_above_mean_sea_level_and_no_other_datum() {
    let (own, mean) = (tide("8443970 --date 2026-09-15"), tide("8443970 --date 2026-09-15 --datum MSL"));
    assert_eq!((text(&mean["datum"]), number(&mean["mean_level_m"])), ("MSL", 0.0));
    for (a, b) in list(&own, "levels").iter().zip(list(&mean, "levels")) {
        assert!((number(&a["level_m"]) - number(&b["level_m"]) - 1.586).abs() < 1e-9);
    }
    tailrope("tide 8443970 --datum NAVD88").exits(3).complains(&["--datum", "NAVD88", "MLLW, MSL"]);
}

#[test]
fn a_gauge_lifts_every_level_and_its_worth_fades() {
    let plain = tide("9414290 --date 2026-07-01");
    let with = tide("9414290 --date 2026-07-01 --residual 0.2m@2026-06-30T20:00");
    for (a, b) in list(&plain, "levels").iter().zip(list(&with, "levels")) {
        assert!((number(&b["level_m"]) - number(&a["level_m"]) - 0.2).abs() < 1e-9);
    }
    let errors: Vec<f64> = list(&with, "turning_points").iter().map(|p| number(&p["error_m"])).collect();
    assert!(errors.windows(2).all(|w| w[0] <= w[1]) && errors[0] < *errors.last().unwrap(), "{errors:?}");
    assert!(number(&plain["turning_points"][0]["error_m"]) >= *errors.last().unwrap());
    // Levels read off a gauge: each less the prediction.
    let at = &plain["levels"][3];
    let read = number(&at["level_m"]) + 0.11;
    let j = tide(&format!("9414290 --date 2026-07-01 --observed {read}m@{}", text(&at["at"])));
    assert!((number(&j["residual"]["value_m"]) - 0.11).abs() < 1e-9, "{}", j["residual"]);
    // An agency's file, by the gauge's own tide; it must be told what it does not say.
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/coops_water_level_sf_2026-07-01.csv");
    let told = |words: &str| {
        tailrope("tide 9414290 --date 2026-07-01 --format json --conditions")
            .arg(file)
            .arg("--told")
            .arg(words)
    };
    let j = told("station=9414290, datum=MLLW, units=metric, zone=gmt, product=water_level").exits(0);
    let residual = &j.json("tailrope.tide/1")["residual"];
    assert!((number(&residual["value_m"]) - 0.158).abs() < 0.004, "{residual}");
    told("station=9414290, datum=NAVD, units=metric, zone=gmt, product=water_level")
        .exits(3)
        .complains(&["NAVD"]);
    told("station=9999999, datum=MLLW, units=metric, zone=gmt, product=water_level")
        .exits(3)
        .complains(&["no tide for the gauge 9999999"]);
    told("datum=MLLW, units=metric, zone=gmt, product=water_level")
        .exits(3)
        .complains(&["does not say its station", "--told station=9414290, if that is the gauge"]);
    tailrope("tide 9414290 --residual 9m").exits(3).complains(&["--residual", "at most 3 m"]);
    tailrope("tide 9414290 --observed 1m").exits(3).complains(&["--observed", "no time"]);
}

/// An agency's file of water levels, `HH:MM` after a date in UTC.
fn levels_csv(rows: impl IntoIterator<Item = (String, f64)>) -> String {
    let head = "Date Time, Water Level, Sigma, O or I (for verified), F, R, L, Quality \n";
    rows.into_iter()
        .fold(head.to_owned(), |text, (at, level)| text + &format!("{at},{level:.3},0.07,0,0,0,0,p\n"))
}

#[test]
fn a_gauge_of_another_water_is_refused() {
    let file = levels_csv((0..20).map(|i| (format!("2026-10-17 0{}:{:02}", i / 10, i % 10 * 6), 0.2)));
    let ask = |args: &str, gauge: &str| {
        tailrope(&format!("tide {args} --from 2026-10-17 --conditions -"))
            .arg("--told")
            .arg(format!("station={gauge}, datum=MLLW, units=metric, zone=gmt, product=water_level"))
            .stdin(&file)
            .exits(3)
    };
    ask("--at=26.62,-97.32", "8443970").complains(&["this gauge says nothing", "noaa/8443970", "km away"]);
    ask("--station 8778485", "8443970").complains(&["this gauge says nothing", "noaa/8443970", "km away"]);
    ask("--at=26.62,-97.32", "noaa/8779750").complains(&["the tide of noaa/8779750 is diurnal", "mixed"]);
    ask("--at=26.62,-97.32", "ticon/rincon_del_san_jose-8777812-usa-noaa")
        .complains(&["may not feel the open coast", "noaa/8778485"]);
    let dir = std::env::temp_dir().join(format!("tailrope-table-{}", std::process::id()));
    std::fs::create_dir_all(&dir).unwrap();
    std::fs::write(dir.join("table.toml"), TABLE).unwrap();
    tailrope("tide --conditions - --told station=8443970,datum=MLLW,units=metric,zone=gmt --table")
        .arg(dir.join("table.toml").to_str().unwrap())
        .stdin(&file)
        .exits(3)
        .complains(&["a table does not say where it is", "--residual"]);
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn water_below_the_prediction_is_not_carried_for_ever() {
    let days = "--station 8443970 --from 2026-09-15 --days 3 --above 2.6m --below 0.3m";
    let plain = tide(days);
    let low = tide(&format!("{days} --residual=-0.4m@2026-09-15T00:00"));
    let (a, b) = (list(&plain, "levels"), list(&low, "levels"));
    let apart = |i: usize| number(&b[i]["level_m"]) - number(&a[i]["level_m"]);
    assert!((apart(0) + 0.4).abs() < 1e-9 && (apart(12) + 0.2).abs() < 1e-9 && apart(24).abs() < 1e-9);
    assert_eq!(list(&low, "above").last(), list(&plain, "above").last());
    assert!(number(&low["above_h"]) < number(&plain["above_h"]));
    for j in [&plain, &low] {
        let h = |key: &str| number(&j[key]);
        assert!(h("above_at_low_end_h") < h("above_h") && h("above_h") < h("above_at_high_end_h"));
        assert!(h("below_at_high_end_h") < h("below_h") && h("below_h") < h("below_at_low_end_h"));
    }
    // Water that is doubted to stand so low is told and not reckoned with.
    let doubted = tide(&format!("{days} --residual=-0.5m@2026-09-15T00:00"));
    assert_eq!((&doubted["levels"], &doubted["above"]), (&plain["levels"], &plain["above"]));
    assert_eq!((&doubted["residual"]["used"], &low["residual"]["used"]), (&false.into(), &true.into()));
    let why = doubted["warnings"].to_string();
    assert!(why.contains("a wrong clock, zone or datum? It is not reckoned with"), "{why}");
    assert!(!low["warnings"].to_string().contains("datum?"), "{}", low["warnings"]);
    tailrope(&format!("tide {days} --residual=-0.4m@2026-09-15T00:00"))
        .exits(0)
        .reads(&[
            "at the high end of the error, ",
            "at the low end of the error, ",
            "at the prediction after a day",
        ])
        .no_wider_than(80);
    // The error told is the largest of the stretch, not that of its first hour.
    let fresh = tide("8443970 --date 2026-09-15 --residual=0.2m@2026-09-15T00:00");
    let largest = number(&fresh["largest_error_m"]);
    assert!(
        list(&fresh, "turning_points").iter().all(|p| number(&p["error_m"]) <= largest) && largest > 0.29
    );
    tailrope("tide 8443970 --date 2026-09-15 --residual=0.2m@2026-09-15T00:00 --units metric")
        .exits(0)
        .reads(&["With ordinary weather: within 0.30 m"]);
}

#[test]
fn a_reading_says_nothing_of_days_long_after_or_before_it() {
    let ask = |at: &str| tailrope(&format!("tide 8443970 --from 2026-09-15 --days 2 --residual=0.2m@{at}"));
    ask("2026-09-13T13:00").exits(0);
    ask("2026-09-16T20:00").exits(0);
    ask("2026-09-13T11:00").exits(3).complains(&["--residual", "37 h before the days", "at most 36 h"]);
    ask("2026-09-17T01:00").exits(3).complains(&["--residual", "after the days", "not after 2026-09-17"]);
    tailrope("tide 8443970 --from 2026-09-15 --observed 1m@2026-09-12T13:00")
        .exits(3)
        .complains(&["--observed", "before the days"]);
}

#[test]
fn a_file_read_by_a_wrong_clock_is_doubted() {
    let tide = tide("9414290 --date 2026-07-01 --step 6");
    let rows = |utc: bool| {
        let levels = list(&tide, "levels");
        // Five hours of the local morning, written in the local clock or in UTC.
        let rows = levels.iter().take(50).map(move |l| {
            let (at, hour) = (text(&l["at"]), text(&l["at"])[11..13].parse::<u8>().unwrap());
            let hour = if utc { hour + 7 } else { hour };
            (format!("2026-07-01 {hour:02}:{}", &at[14..16]), number(&l["level_m"]) + 0.1)
        });
        levels_csv(rows)
    };
    let read = |file: &str| {
        tailrope("tide 9414290 --date 2026-07-01 --format json --conditions - --told")
            .arg("station=9414290, datum=MLLW, units=metric, zone=gmt, product=water_level")
            .stdin(file)
            .exits(0)
            .json("tailrope.tide/1")
    };
    let (right, wrong) = (read(&rows(true)), read(&rows(false)));
    assert!(
        (number(&right["residual"]["value_m"]) - 0.1).abs() < 0.001
            && right["residual"]["clock_off_h"].is_null()
    );
    assert!((number(&wrong["residual"]["clock_off_h"]) - 7.0).abs() < 1e-9, "{}", wrong["residual"]);
    let why = wrong["warnings"].to_string();
    assert!(why.contains("fit the tide much better 7 h later"), "{why}");
}

#[test]
fn where_the_tide_is_small_the_wind_rules() {
    let rules = "wind and pressure rule it there";
    let small = "tide ticon/port_mansfield-8778490-usa-noaa --date 2026-10-17";
    tailrope(small).exits(0).reads(&["Look twice", rules]).no_wider_than(80);
    assert!(tide(&small[5..])["warnings"].to_string().contains("The tide moves the water by only 0."));
    assert!(!tide("8443970 --date 2026-10-17")["warnings"].to_string().contains(rules));
}

#[test]
fn node_factors_are_renewed_as_asked() {
    let (year, day) =
        (tide("8443970 --date 2026-12-20 --nodes middle"), tide("8443970 --date 2026-12-20 --nodes daily"));
    assert_eq!((text(&year["nodes"]), text(&day["nodes"])), ("mid-year", "daily"));
    let most = list(&year, "levels")
        .iter()
        .zip(list(&day, "levels"))
        .map(|(a, b)| (number(&a["level_m"]) - number(&b["level_m"])).abs())
        .fold(0.0, f64::max);
    assert!(most > 0.0005 && most < 0.03, "{most}");
    assert_eq!(tide("8443970 --date 2026-12-20")["levels"], year["levels"]);
}

const TABLE: &str = "datum = \"MLLW\"\nsource = \"the harbour office, page 12\"\nzone = \"America/Chicago\"\nwaters = [\n\
    { at = \"2026-10-17T12:00\", water = \"low\", height = \"0.1ft\" },\n\
    { at = \"2026-10-17T19:40\", water = \"high\", height = \"1.5ft\" },\n\
    { at = \"2026-10-18T03:10\", water = \"low\", height = \"0.3ft\" }]\n";

#[test]
fn a_table_that_leaves_a_water_out_is_warned_of() {
    let water = |at: &str, water: &str| {
        let height = if water == "high" { "1m" } else { "0.2m" };
        format!("{{ at = '2026-10-{at}', water = '{water}', height = '{height}' }}")
    };
    let table = |waters: &[String]| {
        format!(
            "datum = 'MLLW'\nsource = 'harbour office'\nzone = 'America/Chicago'\nwaters = [{}]",
            waters.join(", ")
        )
    };
    let gap = table(&[water("17T05:00", "low"), water("17T11:00", "high"), water("18T05:30", "low")]);
    tailrope("tide --table -").stdin(&gap).exits(0).says(&["seems to be missing between", "11:00", "05:30"]);
    let j = tailrope("tide --table - --format json").stdin(&gap).exits(0).json("tailrope.tide/1");
    assert_eq!(j["warnings"].as_array().unwrap().len(), 1, "{}", j["warnings"]);
    let whole = table(&[water("17T05:00", "low"), water("17T11:00", "high"), water("17T17:15", "low")]);
    let j = tailrope("tide --table - --format json").stdin(&whole).exits(0).json("tailrope.tide/1");
    assert!(j["warnings"].as_array().unwrap().is_empty(), "{}", j["warnings"]);
}

#[test]
fn a_typed_table_stands_in_for_a_station() {
    let run = |args: &str| tailrope(&format!("tide --table - {args}")).stdin(TABLE);
    let j = run("--level-at 2026-10-17T19:40 --above 1ft --format json").exits(0).json("tailrope.tide/1");
    assert_eq!((text(&j["station"]), text(&j["zone"])), ("table", "America/Chicago"));
    assert!((number(&j["level_at"][0]["level_m"]) - 1.5 * 0.3048).abs() < 1e-9);
    let h = number(&j["above_h"]);
    // Rising 7:40 h over 1.4 ft, falling 7:30 h over 1.2 ft, each by half a cosine.
    assert!((h - 6.476).abs() < 0.002, "{h}");
    let whole = run("--format json").exits(0).json("tailrope.tide/1");
    assert_eq!(list(&whole, "turning_points").len(), 3);
    assert_eq!(text(&whole["levels"][0]["at"]), "2026-10-17T12:00:00-05:00");
    run("").exits(0).says(&["the harbour office, page 12", "MLLW", "CDT", "typed-in"]).no_wider_than(80);
    run("--date 2026-10-20").exits(3).complains(&["--date", "2026-10-17 to 2026-10-18"]);
    let bad = TABLE.replace("19:40", "12:10");
    tailrope("tide --table -").stdin(&bad).exits(3).complains(&["waters[1]", "h lie between"]);
    let bare = TABLE.replace("zone = \"America/Chicago\"\n", "");
    tailrope("tide --table -").stdin(&bare).exits(3).complains(&["zone", "America/Chicago"]);
    let said = tailrope("tide --table - --zone America/Chicago --format json").stdin(&bare).exits(0);
    assert_eq!(said.json("tailrope.tide/1")["levels"], whole["levels"]);
}

#[test]
fn a_day_with_a_clock_change_has_25_or_23_hours_and_two_clocks() {
    for (date, hours, parts) in [
        ("2026-11-01", 25, ["CDT, then CST: the clocks change", "01:00 CDT", "01:00 CST"]),
        ("2027-03-14", 23, ["CST, then CDT: the clocks change", "01:00 CST", "03:00 CDT"]),
    ] {
        let j = tide(&format!("8779750 --date {date}"));
        assert_eq!(list(&j, "levels").len(), hours);
        tailrope(&format!("tide 8779750 --date {date}")).exits(0).says(&parts).no_wider_than(80);
    }
    // A zone whose clocks never change.
    let id = "ticon/walvis_bay-220-nam-uhslc_fd";
    for date in ["2026-11-01", "2027-03-14", "2027-04-04"] {
        assert_eq!(list(&tide(&format!("{id} --date {date}")), "levels").len(), 24);
        tailrope(&format!("tide {id} --date {date}")).exits(0).says(&["CAT", "Africa/Windhoek"]);
    }
    // Shown in another zone the day is another.
    let j = tide(&format!("{id} --date 2026-11-01 --zone America/Chicago"));
    assert_eq!((list(&j, "levels").len(), text(&j["zone"])), (25, "America/Chicago"));
}

#[test]
fn stations_are_found_by_words_and_by_place() {
    let j = tide("--find walvis");
    assert_eq!(
        (text(&j["stations"][0]["id"]), number(&j["count"])),
        ("ticon/walvis_bay-220-nam-uhslc_fd", 1.0)
    );
    // All words count, accents and case do not.
    assert_eq!(tide("--find TROMSØ")["stations"], tide("--find tromso")["stations"]);
    assert!(number(&tide("--find TROMSØ")["count"]) >= 1.0);
    let shown = tide("--list --limit 7");
    assert!(list(&shown, "stations").len() == 7 && number(&shown["count"]) > 5000.0);
    assert!(number(&tide("--list --aside")["count"]) > number(&shown["count"]) + 1000.0);
    tailrope("tide --list").exits(0).says(&["20 of ", "--find", "--near"]).no_wider_than(80);
    tailrope("tide --find nowhereatall").exits(0).says(&["No station is called so"]);
    let j = tide("--near -22.5,14.5");
    assert_eq!(j["stations"][0]["id"], "ticon/walvis_bay-220-nam-uhslc_fd");
    tailrope("tide --near 27.58,-97.22 --limit 3")
        .exits(0)
        .says(&["Packery Channel", "away"])
        .no_wider_than(80);
}

#[test]
fn a_crews_own_station_goes_before_the_shipped_ones() {
    let dir = std::env::temp_dir().join(format!("tailrope-tide-{}", std::process::id()));
    std::fs::create_dir_all(&dir).unwrap();
    let own = "schema = \"tailrope.stations/1\"\n[[subordinate]]\nid = \"our_bar\"\nname = \"Our Bar\"\n\
        place = { latitude_deg = 26.6, longitude_deg = -97.3 }\nzone = \"America/Chicago\"\nreference = \"noaa/8779750\"\n\
        high_later_min = 30\nlow_later_min = 40\nhigh = { ratio = 1.1 }\nlow = { ratio = 1.1 }\ngrade = \"estimate\"\n\
        source = \"the crew's own watch\"\nlicence = \"ours\"\nattribution = \"the crew\"\n";
    std::fs::write(dir.join("stations.toml"), own).unwrap();
    let with = |args: &str| tailrope(args).env("TAILROPE_DATA", &dir);
    with("tide our_bar --date 2026-10-17").exits(0).says(&[
        "Our Bar",
        "the crew's own watch",
        "noaa/8779750",
    ]);
    let near =
        with("tide --at 26.62,-97.32 --date 2026-10-17 --format json").exits(0).json("tailrope.tide/1");
    assert_eq!(near["near"][0]["id"], "our_bar");
    let plan = with("demo --fights 16 --format json").out();
    assert!(plan.stdout.contains("\"stations.toml\"") && plan.stdout.contains("\"stations.bin\""));
    std::fs::write(dir.join("stations.toml"), own.replace("noaa/8779750", "nowhere")).unwrap();
    with("tide our_bar").exits(3).complains(&["stations.toml", "subordinate[0].reference", "nowhere"]);
    // A broken world pack is refused, and what has no tide in it does not care.
    std::fs::remove_file(dir.join("stations.toml")).unwrap();
    std::fs::write(dir.join("stations.bin"), b"TAILTIDE\x01").unwrap();
    with("tide 8443970").exits(3).complains(&["stations.bin", "broken"]);
    with("law show us-tx").exits(0);
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn refuses_unknown_stations_days_and_levels() {
    for (args, parts) in [
        ("tide nowhere", ["no tide station `nowhere`", "noaa/8779750", "high and low waters"]),
        (
            "tide walvis",
            ["no tide station `walvis`", "ticon/walvis_bay-220-nam-uhslc_fd", "search by place or name"],
        ),
        ("tide 8443970 --date 2026-13-01", ["--date", "not a date", "2026-10-17"]),
        ("tide 8443970 --days 0", ["0 days", "1 to 62", "fewer"]),
        ("tide 8443970 --above 3", ["--above", "unit is missing", "2.4m"]),
        ("tide 8443970 --step 0", ["--step", "1 to 1440", "60"]),
        ("tide 8443970 --date 1850-01-01", ["1850", "1900 to 2099", "date"]),
        ("tide 8443970 --station 9414290", ["--station", "cannot be used", "Usage"]),
        ("tide", ["--at 27.58,-97.22", "--table", "--find"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}

#[test]
fn an_agencys_list_of_waters_takes_the_zone_that_is_told() {
    let list = r#"{"predictions": [{"t":"2026-10-17 01:00", "v":"0.100", "type":"L"},
        {"t":"2026-10-17 07:10", "v":"1.200", "type":"H"}, {"t":"2026-10-17 13:30", "v":"0.050", "type":"L"}]}"#;
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("coops.json");
    std::fs::write(&file, list).unwrap();
    let told = "station=8720218, datum=MLLW, units=metric, zone=lst_ldt America/New_York";
    tailrope("tide --table").arg(&file).arg("--told").arg(told).exits(0).says(&["America/New_York", "07:10"]);
}

#[test]
fn a_place_is_written_in_several_ways() {
    let at = |place: &str| {
        let out = tailrope("tide --from 2026-12-05 --format json --at").arg(place).exits(0);
        out.json("tailrope.tide/1").to_string()
    };
    let one = at("28.32,-80.60");
    for place in ["28.32 -80.60", "28.32N 80.60W"] {
        assert_eq!(at(place), one, "{place}");
    }
    tailrope("tide --at 28.32N").exits(3).complains(&["--at", "26.07N 97.16W"]);
}

#[test]
fn a_list_says_that_more_are_set_aside() {
    tailrope("tide --list --limit 1").exits(0).reads(&["set aside are left out: --aside names them too"]);
    let all = tailrope("tide --list --limit 1 --aside").exits(0);
    assert!(!all.stdout.contains("left out"), "{}", all.stdout);
}
