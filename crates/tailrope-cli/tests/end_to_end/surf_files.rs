//! The surf as files of buoys and forecasts tell it.

use crate::run::{Out, Run, tailrope};
use serde_json::Value;
use std::path::Path;

const JUMPS: &str = "ndbc_realtime2_46253_2026-09-26.txt";
const SPECTRAL: &str = "ndbc_spec_46029_2019-04-02.txt";
const INLAND: &str = "nws_gridpoint_trimmed.json";

fn with(name: &str, args: &str) -> Run {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures").join(name);
    tailrope("surf --conditions").arg(file).args(args)
}

fn piped(text: &str, args: &str) -> Out {
    tailrope(&format!("surf --conditions - {args}")).stdin(text).answers()
}

fn near(got: &Value, want: f64, within: f64) {
    let x = got.as_f64().unwrap_or_else(|| panic!("{got} instead of {want}"));
    assert!((x - want).abs() <= within, "{x} instead of {want}");
}

fn figures<'a>(j: &'a Value, name: &str) -> Vec<&'a Value> {
    j["conditions"]["figures"].as_array().unwrap().iter().filter(|f| f["name"] == name).collect()
}

fn verdict(j: &Value, limit: &str) -> Value {
    let all = j["verdicts"].as_array().unwrap();
    all.iter().find(|v| v["limit"] == limit).map_or(Value::Null, |v| v["verdict"].clone())
}

fn unknown(j: &Value) -> Vec<&str> {
    j["conditions"]["unknown"].as_array().unwrap().iter().map(|v| v.as_str().unwrap()).collect()
}

#[test]
fn a_buoy_whose_peak_jumps_is_planned_on_the_longer_train_and_both_are_shown() {
    let args = "--foreshore 1:10 --slope 1:50 --now 2026-09-26T05:30Z --faces 230deg --units metric";
    let j = with(JUMPS, &format!("{args} --format json")).answers().json("tailrope.surf/1");
    assert_eq!((&j["mixed_sea"], &j["governing_train"]), (&true.into(), &0.into()));
    near(&j["trains"][0]["period_s"], 13.0, 1e-9);
    near(&j["trains"][1]["period_s"], 4.0, 1e-9);
    // By hand: 198 and 266 degrees on a beach that faces 230.
    near(&j["trains"][0]["angle_deg"], -32.0, 1e-9);
    near(&j["trains"][1]["angle_deg"], 36.0, 1e-9);
    near(&j["trains"][0]["two_percent_m"], 1.26, 0.005);
    near(&j["trains"][1]["two_percent_m"], 0.39, 0.005);
    near(&j["trains"][1]["breaker_height_m"]["central"], 0.81, 0.005);
    near(&j["dry"]["wash_reach_m"]["central"], 12.6, 0.05);
    near(&j["breaker_height_m"]["central"], 1.29, 0.005);
    // The wind columns hold MM: unknown, not calm.
    assert_eq!((&j["weather"]["wind_m_s"], verdict(&j, "wind.kn")), (&Value::Null, Value::Null));
    assert!(unknown(&j).contains(&"wind") && figures(&j, "wind").is_empty());
    near(&j["weather"]["water_c"], 22.6, 1e-9);
    let waves = figures(&j, "waves")[0];
    assert_eq!((&waves["at_utc"], &waves["use"]), (&"2026-09-26T04:56:00Z".into(), &"used".into()));
    near(&waves["age_h"], 34.0 / 60.0, 1e-6);
    assert!(waves["source"].as_str().unwrap().contains(JUMPS));
    with(JUMPS, args)
        .answers()
        .reads(&[
            "Mixed sea",
            "13 s",
            "4 s",
            "run-up 1.26 m, breakers 1.29 m, taken for the dry line",
            "never on a mean",
            "not taken as calm or mild: wind, air",
            "(UTC)",
        ])
        .no_wider_than(80);
}

#[test]
fn without_the_way_the_beach_faces_the_directions_are_shown_and_not_used() {
    let args = "--foreshore 1:10 --slope 1:50 --now 2026-09-26T05:30Z";
    let j = with(JUMPS, &format!("{args} --format json")).answers().json("tailrope.surf/1");
    assert_eq!(j["angle_known"], false);
    assert!(figures(&j, "waves from").iter().all(|f| f["use"] == "not-used"), "{}", j["conditions"]);
    // A beach that faces away: what comes from behind it is not taken as coming square on.
    let j = with(JUMPS, &format!("{args} --faces 20deg --format json")).answers().json("tailrope.surf/1");
    assert_eq!(j["angle_known"], false);
    with(JUMPS, &format!("{args} --faces 20deg")).answers().reads(&["behind the beach"]);
}

#[test]
fn water_that_the_newest_row_misses_is_the_older_one_with_its_age_or_unknown() {
    let rows = "#YY  MM DD hh mm WDIR WSPD GST  WVHT   DPD   APD MWD   PRES  ATMP  WTMP\n\
         #yr  mo dy hr mn degT m/s  m/s     m   sec   sec degT   hPa  degC  degC\n\
         2019 01 23 12 00  90  5.0   MM   0.6     9   4.2 134 1015.5  20.7    MM\n\
         2019 01 23 09 00  90  5.0   MM   0.6     9   4.2 134 1015.5  20.7  24.5\n";
    let args = "--slope 1:50 --now 2019-01-23T12:30Z --format json";
    let j = piped(rows, args).json("tailrope.surf/1");
    near(&j["weather"]["water_c"], 24.5, 1e-9);
    near(&figures(&j, "water")[0]["age_h"], 3.5, 1e-9);
    near(&figures(&j, "wind")[0]["age_h"], 0.5, 1e-9);
    let j = piped(&rows.replace("24.5", "  MM"), args).json("tailrope.surf/1");
    assert_eq!(j["weather"]["water_c"], Value::Null);
    assert!(unknown(&j).contains(&"water"));
    let page = piped(&rows.replace("24.5", "  MM"), "--slope 1:50 --now 2019-01-23T12:30Z");
    assert!(!page.stdout.contains("32 F"), "a missing temperature is not the freezing point");
}

#[test]
fn a_spectral_summary_is_read_newest_first() {
    let args = "--slope 1:50 --now 2019-04-02T17:00Z --units metric";
    let j = with(SPECTRAL, &format!("{args} --format json")).answers().json("tailrope.surf/1");
    near(&j["significant_height_m"], 1.8, 1e-9);
    near(&j["trains"][0]["period_s"], 14.8, 1e-9);
    near(&j["breaker_height_m"]["central"], 2.90, 0.005);
    assert_eq!((&j["mixed_sea"], verdict(&j, "surf.height_m")), (&false.into(), "stop".into()));
    assert_eq!(figures(&j, "waves")[0]["at_utc"], "2019-04-02T16:00:00Z");
    with(SPECTRAL, args).answers().reads(&["compass words", "STOP: breakers 2.90 m"]).no_wider_than(80);
}

#[test]
fn an_inland_cell_is_no_forecast_and_no_calm() {
    let args = "--slope 1:50 --now 2026-01-11T12:00Z";
    let j = with(INLAND, &format!("{args} --format json")).answers().json("tailrope.surf/1");
    assert_eq!(
        (&j["significant_height_m"], &j["breaker_height_m"], &j["run_up_m"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
    assert!(unknown(&j).contains(&"waves"));
    with(INLAND, args).answers().reads(&[
        "The waves are not known",
        "nothing here says go",
        "does not lie on the sea",
        "point on the water",
    ]);
}

#[test]
fn figures_grow_old_and_then_count_as_unknown() {
    let at = |now: &str| {
        with(JUMPS, &format!("--foreshore 1:10 --slope 1:50 --now {now} --format json"))
            .answers()
            .json("tailrope.surf/1")
    };
    // The newest row is of 04:56: 12 h are over at 16:56, 36 h at 16:56 of the day after.
    assert_eq!(verdict(&at("2026-09-26T16:20Z"), "conditions.age_h"), "go");
    let old = at("2026-09-26T17:30Z");
    assert_eq!(verdict(&old, "conditions.age_h"), "caution");
    near(&old["trains"][0]["period_s"], 13.0, 1e-9);
    let dead = at("2026-09-27T17:30Z");
    assert_eq!((&dead["significant_height_m"], &dead["weather"]["water_c"]), (&Value::Null, &Value::Null));
    assert_eq!(figures(&dead, "waves")[0]["use"], "too-old");
    assert!(unknown(&dead).contains(&"waves") && unknown(&dead).contains(&"water"));
    with(JUMPS, "--foreshore 1:10 --slope 1:50 --now 2026-09-27T17:30Z")
        .answers()
        .reads(&["too old, so it is unknown", "The waves are not known"]);
}

#[test]
fn what_a_hand_typed_counts_and_the_page_says_so() {
    let base = "--foreshore 1:10 --slope 1:50 --now 2026-09-26T05:30Z --faces 230deg";
    let j =
        with(JUMPS, &format!("{base} --hs 1.5m --water 18C --format json")).answers().json("tailrope.surf/1");
    // A compass word faces where its degrees do; breakers judged on the sand go before the buoy's height.
    let word = with(JUMPS, &format!("{} --format json", base.replace("230deg", "sw")))
        .answers()
        .json("tailrope.surf/1");
    near(&word["trains"][0]["angle_deg"], 198.0 - 225.0, 1e-9);
    let eye = with(JUMPS, &format!("{base} --breakers 1.2m --format json")).answers().json("tailrope.surf/1");
    near(&eye["breaker_height_m"]["central"], 1.56, 1e-9);
    near(&eye["trains"][0]["period_s"], 13.0, 1e-9);
    assert_eq!(figures(&eye, "waves")[0]["why"], "--breakers");
    near(&j["significant_height_m"], 1.5, 1e-9);
    near(&j["trains"][0]["period_s"], 13.0, 1e-9);
    near(&j["weather"]["water_c"], 18.0, 1e-9);
    assert_eq!(
        (&figures(&j, "waves")[0]["use"], &figures(&j, "waves")[0]["why"]),
        (&"typed".into(), &"--hs".into())
    );
    assert_eq!(figures(&j, "period")[0]["use"], "used");
    let j = with(JUMPS, &format!("{base} --period 9s --angle 5deg --format json"))
        .answers()
        .json("tailrope.surf/1");
    assert_eq!((&j["mixed_sea"], &j["trains"][0]["period_s"]), (&false.into(), &9.0.into()));
    near(&j["trains"][0]["angle_deg"], 5.0, 1e-9);
    near(&j["significant_height_m"], 0.7, 1e-9);
    // A count alone needs only the buoy's height.
    let j = with(JUMPS, &format!("{base} --waves 14:2min --format json")).answers().json("tailrope.surf/1");
    assert_eq!(j["period_from"], "counted");
    with(JUMPS, &format!("{base} --water 18C")).answers().reads(&["NOT USED: --water was typed and counts"]);
}

#[test]
fn of_two_files_the_worse_counts() {
    let calmer = "#YY  MM DD hh mm WDIR WSPD GST  WVHT   DPD   APD MWD   PRES  ATMP  WTMP\n\
         #yr  mo dy hr mn degT m/s  m/s     m   sec   sec degT   hPa  degC  degC\n\
         2026 09 26 05 00  90 15.0   MM   1.6     7   4.2 134 1015.5  20.7  19.0\n";
    let j = with(JUMPS, "- --foreshore 1:10 --slope 1:50 --now 2026-09-26T05:30Z --format json")
        .stdin(calmer)
        .answers()
        .json("tailrope.surf/1");
    // The long train still makes the wash, the other file the breakers, the wind and the colder water.
    near(&j["trains"][0]["period_s"], 13.0, 1e-9);
    let breakers: Vec<f64> = j["trains"]
        .as_array()
        .unwrap()
        .iter()
        .map(|t| t["breaker_height_m"]["central"].as_f64().unwrap())
        .collect();
    near(&j["breaker_height_m"]["central"], breakers.iter().copied().fold(0.0, f64::max), 1e-9);
    assert_eq!(breakers.len(), 3);
    near(&j["weather"]["water_c"], 19.0, 1e-9);
    near(&j["weather"]["wind_m_s"], 15.0, 1e-9);
    let uses: Vec<&str> = figures(&j, "water").iter().map(|f| f["use"].as_str().unwrap()).collect();
    assert_eq!(uses, ["other-is-worse", "used"]);
}

#[test]
fn refuses_what_it_cannot_read_or_place_in_time() {
    for (args, parts) in [
        ("--slope 1:50 --now 2026-09-26T05:30", vec!["--now", "--zone"]),
        ("--now 2026-09-26T05:30Z", vec!["--slope", "not said"]),
        ("--slope 1:50 --faces 400deg", vec!["--faces", "0 to 360"]),
        ("--slope 1:50 --faces seaward", vec!["--faces", "compass word"]),
        ("--slope 1:50 --told nothing", vec!["--told"]),
    ] {
        with(JUMPS, args).exits(3).complains(&parts);
    }
    tailrope("surf --faces 120deg").exits(3).complains(&["--conditions"]);
    tailrope("surf --period 9s --slope 0.02").exits(3).complains(&["--hs", "--conditions"]);
    let zoned = with(JUMPS, "--slope 1:50 --zone America/Los_Angeles --now 2026-09-25T22:30").answers();
    zoned.reads(&["2026-09-25T21:56:00-07:00", "(America/Los_Angeles)"]);
}
