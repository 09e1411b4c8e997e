//! Several nights and beaches, files of conditions, the moment of reading.

use crate::run::tailrope;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures").join(name)
}

const BUOY: &str = "ndbc_realtime2_46253_2026-09-26.txt";
const GAUGE: &str = "coops_water_level_sf_2026-07-01.csv";
const DOWN: &str = "coops_error_predictions_status200.json";

fn value<'a>(plan: &'a Value, name: &str) -> &'a Value {
    plan["conditions"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["name"] == name)
        .map_or(&Value::Null, |c| &c["value"])
}

fn rules(plan: &Value) -> Vec<String> {
    let findings = plan["findings"].as_array().unwrap();
    findings.iter().filter_map(|f| f["rule"].as_str().map(str::to_owned)).collect()
}

#[test]
fn fourteen_nights_with_a_buoys_file() {
    let run =
        |args: &str| tailrope(args).arg("--conditions").arg(fixture(BUOY)).arg("--nights").arg("14").out();
    let out = run("plan --demo --fights 128 --night 2026-09-26 --now 2026-09-26T05:30Z --format json");
    let j = out.json("tailrope.plans/1");
    let nights = j["nights"].as_array().unwrap();
    assert_eq!(nights.len(), 14);
    let dates: Vec<&str> = nights.iter().map(|n| n["date"].as_str().unwrap()).collect();
    assert!(dates.is_sorted() && dates[0] == "2026-09-26" && dates[13] == "2026-10-09");
    // The buoy speaks of the night after it, a day and a half at most; of later nights nothing does.
    assert_eq!(
        (&nights[0]["known"], &nights[0]["beyond_forecast"]),
        (&Value::from("no weather"), &Value::from(false))
    );
    for n in &nights[2..] {
        assert_eq!(
            (&n["known"], &n["beyond_forecast"]),
            (&Value::from("no sea, no weather"), &Value::from(true)),
            "{n}"
        );
        assert_ne!(n["verdict"], "go");
    }
    assert!(nights.iter().all(|n| n["moon"]["phase"].is_string() && n["windows"].is_array()));
    let text = run("plan --demo --fights 128 --night 2026-09-26 --now 2026-09-26T05:30Z");
    assert_eq!(text.code, out.code);
    let text = text
        .says(&["America/Chicago", "full moon", "beyond what was forecast", "09-26", "10-09"])
        .no_wider_than(100);
    // What is not known stands first, and no count invites to compare it.
    let lines: Vec<&str> = text.stdout.lines().collect();
    let under = |night: &str| {
        let row = lines.iter().position(|l| l.trim_start().starts_with(night)).unwrap();
        (lines[row], lines[row + 1].trim())
    };
    let (row, reason) = under("10-05");
    assert!(row.contains(" *") && reason.starts_with("sea and weather not known"), "{row}\n{reason}");
    assert!(!reason.contains("caution]"), "{reason}");
    assert!(under("09-26").1.starts_with("weather not known. "), "{}", under("09-26").1);
    assert!(text.stdout.contains("caution]"), "the nights that are known are counted");
    // Once a day high or low: hours without either are no hours without a tide.
    run("plan --demo --fights 128 --night 2026-12-01 --now 2026-12-01T05:30Z").says(&["no turn", "high 21:"]);
    // The scenario's own eve: the buoy of three weeks before says nothing.
    let eve = run("plan --demo --fights 128 --format json").json("tailrope.plans/1");
    assert_eq!(eve["nights"][0]["known"], "all");
}

#[test]
fn one_night_of_the_list_is_the_plan_of_that_night() {
    let call = |more: &str| {
        let args = format!("plan --demo --fights 128 --now 2026-10-16T05:30Z --format json {more}");
        tailrope(&args).arg("--conditions").arg(fixture(BUOY)).out()
    };
    let list = call("--nights 5").json("tailrope.plans/1");
    for n in list["nights"].as_array().unwrap() {
        let one = call(&format!("--night {}", n["date"].as_str().unwrap())).json("tailrope.plan/1");
        assert_eq!(
            (&one["verdict"], &one["windows"], &one["known"]),
            (&n["verdict"], &n["windows"], &n["known"])
        );
        if n["beyond_forecast"] == true && n["verdict"] != "stop" {
            assert!(n["first_reason"].as_str().unwrap().contains("beyond what was forecast"), "{n}");
        } else {
            assert_eq!(one["findings"][0]["sentence"], n["first_reason"]);
        }
    }
}

#[test]
fn a_buoys_file_is_read_with_its_age_and_nothing_is_made_up() {
    let plan = |now: &str| {
        let args = format!("plan --demo --fights 64 --night 2026-09-26 --now {now} --format json");
        tailrope(&args).arg("--conditions").arg(fixture(BUOY)).out().json("tailrope.plan/1")
    };
    let fresh = plan("2026-09-26T05:30Z");
    assert_eq!((value(&fresh, "waves"), value(&fresh, "period")), (&Value::from(0.7), &Value::from(13.0)));
    assert!(value(&fresh, "wind").is_null(), "MM is no calm");
    assert!(rules(&fresh).contains(&"sea.mixed".to_owned()));
    assert_eq!(fresh["options"]["now"], "2026-09-26T00:30:00-05:00");
    let waves = &fresh["conditions"][0];
    assert!(
        waves["age_h"].as_f64().is_some_and(|h| (h - 18.07).abs() < 0.01),
        "its age when the night begins: {waves}"
    );
    assert!(waves["source"].as_str().unwrap().contains(BUOY) && waves["at"] == "2026-09-25T23:56:00-05:00");
    assert!(!rules(&fresh).contains(&"conditions.age_h".to_owned()) || value(&fresh, "wind").is_null());
    // A day and a half later it is dead.
    let dead = plan("2026-09-27T17:00Z");
    assert!(value(&dead, "waves").is_null());
    assert!(rules(&dead).contains(&"surf.height_m".to_owned()), "unknown breakers are asked for");
}

#[test]
fn conditions_come_from_standard_input_too_and_only_once() {
    let text = fs::read_to_string(fixture(BUOY)).unwrap();
    let args =
        "plan --demo --fights 64 --night 2026-09-26 --now 2026-09-26T05:30Z --format json --conditions -";
    let piped = tailrope(args).stdin(&text).out().json("tailrope.plan/1");
    assert_eq!(value(&piped, "waves"), 0.7);
    tailrope("plan - --conditions -").stdin(&text).exits(3).complains(&["more than once"]);
}

#[test]
fn what_a_gauge_does_not_say_is_asked_and_told() {
    let dir = tempfile::tempdir().unwrap();
    tailrope("demo --write").arg(dir.path()).exits(0);
    let path = dir.path().join("pelican-bar.toml");
    let text = fs::read_to_string(&path).unwrap();
    let text = text
        .replace(
            "latitude = 26.62\nlongitude = -97.32\nzone = \"America/Chicago\"",
            "latitude = 37.76\nlongitude = -122.51\nzone = \"America/Los_Angeles\"",
        )
        .replace("tide_station = \"noaa/8779750\"", "tide_station = \"9414290\"")
        .replace("residual = \"0.05m\"\n", "")
        .replace("date = \"2026-10-17\"", "date = \"2026-07-01\"");
    fs::write(&path, text).unwrap();
    let run = || {
        tailrope("plan --fights 64 --now 2026-07-01T01:00Z --format json")
            .arg(&path)
            .arg("--conditions")
            .arg(fixture(GAUGE))
    };
    let e = run().exits(3).refusal();
    assert!(e["where"].as_str().unwrap().contains(GAUGE), "{e}");
    let told = format!("{GAUGE}: station=9414290, datum=MLLW, units=metric, zone=gmt, product=water_level");
    let j = run().arg("--told").arg(&told).out().json("tailrope.plan/1");
    let residual = value(&j, "residual").as_f64().unwrap();
    assert!((residual - 0.158).abs() < 0.004, "{residual}");
    // The wrong unit is another level, and seen as such.
    let feet = told.replace("metric", "english");
    let j = run().arg("--told").arg(&feet).out().json("tailrope.plan/1");
    assert!(value(&j, "residual").as_f64().is_none_or(|r| r < -0.5));
    run().arg("--told").arg("other.csv: datum=MLLW").exits(3).refusal();
    run().arg("--told").arg("datums=MLLW").exits(3).refusal();
}

#[test]
fn a_refusal_that_an_agency_sent_is_shown_as_one() {
    let out = tailrope("plan --demo --fights 64").arg("--conditions").arg(fixture(DOWN)).exits(3);
    out.complains(&[DOWN, "do:"]);
    tailrope("plan --demo --conditions nowhere.txt").exits(3).complains(&["nowhere.txt", "no such file"]);
}

#[test]
fn bad_rows_are_refused_by_line_or_left_out_when_told() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bad.txt");
    let text = fs::read_to_string(fixture(BUOY))
        .unwrap()
        .replace("2026 09 26 04 26  MM   MM   MM   0.7", "2026 09 26 04 26  MM   MM   MM   x.7");
    fs::write(&path, text).unwrap();
    let run = || {
        tailrope("plan --demo --fights 64 --night 2026-09-26 --now 2026-09-26T05:30Z --format json")
            .arg("--conditions")
            .arg(&path)
    };
    let e = run().exits(3).refusal();
    assert!(e["where"] == "bad.txt" && e["error"].as_str().unwrap().contains("line 4"), "{e}");
    let j = run().arg("--skip-bad-rows").out().json("tailrope.plan/1");
    let notes: Vec<&str> = j["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["rule"] == "report")
        .filter_map(|f| f["sentence"].as_str())
        .collect();
    assert!(notes.iter().any(|n| n.contains("line 4")), "{notes:?}");
}

#[test]
fn beaches_are_compared_by_date_and_one_is_picked() {
    let dir = tempfile::tempdir().unwrap();
    for name in ["pelican-bar", "two-hands"] {
        tailrope(&format!("demo {name} --write")).arg(dir.path()).exits(0);
    }
    let run = |more: &str| {
        tailrope(&format!("plan --fights 64 --read-on 2026-10-16 --format json {more}"))
            .arg(dir.path().join("two-hands.toml"))
            .arg(dir.path().join("pelican-bar.toml"))
    };
    let out = run("--nights 2").out();
    let j = out.json("tailrope.plans/1");
    let verdicts: Vec<(&str, &str)> = j["nights"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| (n["date"].as_str().unwrap(), n["verdict"].as_str().unwrap()))
        .collect();
    assert_eq!(verdicts[0], ("2026-10-17", "stop"), "two hands, given first");
    assert_eq!(verdicts[1], ("2026-10-17", "caution"));
    assert_eq!((verdicts[2].0, verdicts.len(), out.code), ("2026-10-18", 4, 1));
    let one = run("--night 2026-10-18 --at pelican-bar").out().json("tailrope.plan/1");
    assert_eq!(
        (&one["night"]["date"], &one["verdict"]),
        (&Value::from("2026-10-18"), &Value::from("caution"))
    );
    run("--at atlantis").exits(3).refusal();
}

#[test]
fn the_moment_of_reading_counts_ages_in_hours() {
    let age = |args: &str| {
        let j =
            tailrope(&format!("plan --demo --fights 64 --format json {args}")).out().json("tailrope.plan/1");
        j["conditions"][0]["age_h"].as_f64()
    };
    // Typed at noon on the 16th at the beach.
    assert_eq!(age("--now 2026-10-16T15:30"), Some(3.5));
    assert_eq!(age("--now 2026-10-16T16:30Z"), Some(0.0), "half an hour before, by a clock that may differ");
    assert_eq!(age("--read-on 2026-10-17"), Some(36.0), "a day alone is over when the plan is read");
    assert_eq!(age(""), Some(12.0));
    tailrope("plan --demo --now 2026-10-16T15:30 --read-on 2026-10-17")
        .exits(3)
        .complains(&["--now", "--read-on"]);
    tailrope("plan --demo --now yesterday").exits(3).complains(&["--now", "clock time"]);
}

#[test]
fn several_nights_show_datum_licence_and_attribution_of_their_tide() {
    let demo = include_str!("../../../../data/demo/pelican-bar.toml");
    let river = "ticon/arroyo_colorado_at_fm_106_rio_hondo_tx-8470500-usa-usgs";
    let text = demo.replace("noaa/8779750", river);
    assert_ne!(text, demo);
    let run = |more: &str| {
        let args = format!("plan - --nights 2 --fights 128 --read-on 2026-10-16 {more}");
        tailrope(&args).stdin(&text).out()
    };
    let page = run("").says(&["Sources", "heights above MLLW", "CC BY"]).no_wider_than(100);
    let json = run("--format json").json("tailrope.plans/1");
    let tide = &json["tide_sources"][0];
    assert_eq!((&tide["datum"], tide["nights"].as_array().unwrap().len()), (&Value::from("MLLW"), 2));
    let words = format!("{} {}", tide["licence"], tide["attribution"]);
    assert!(words.contains("CC BY"), "{words}");
    let _ = page;
}
