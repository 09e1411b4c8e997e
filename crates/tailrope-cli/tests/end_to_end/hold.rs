use crate::run::tailrope;
use serde_json::Value;

const BAIT: &str =
    "hold --distance 180m --line 0.9mm --current 0.6m/s --rod-tension 25N --bait 350x90mm --format json";
const FIVE: &str =
    "hold --distance 150m --current 0.5m/s --lies nose-on --sinker 5oz --wires 4 --format json";

fn near(got: &Value, want: f64, share: f64) {
    let x = got.as_f64().unwrap_or_else(|| panic!("{got} instead of {want}"));
    assert!((x - want).abs() <= share * want, "{x} instead of {want}");
}

/// BAIT-3 and BAIT-4 of the worked cases.
#[test]
fn the_worked_bait_is_a_band_and_one_number_where_the_line_is_still() {
    let still = tailrope(&format!("{BAIT} --strum 1")).exits(0).json("tailrope.hold/1");
    near(&still["sinker_load_n"], 29.3, 2e-3);
    near(&still["down_current_n"], 21.36, 5e-3);
    assert_eq!(still["strum_fixed"], true);
    let band = tailrope(BAIT).exits(0).json("tailrope.hold/1");
    near(&band["sinker_load_low_n"], 29.28, 2e-3);
    near(&band["sinker_load_central_n"], 30.49, 2e-3);
    assert!(band["sinker_load_high_n"].as_f64() > band["sinker_load_central_n"].as_f64());
    assert_eq!(band["sinker_load_n"], band["sinker_load_central_n"]);
    near(&band["belly_m"], 59.22, 0.01);
    near(&band["arrival_deg"], 55.66, 0.01);
    assert_eq!((&band["answer"], &band["hold_low_n"]), (&"unknown".into(), &Value::Null));
    assert_eq!(band["strums"].as_array().unwrap().len(), 3);
}

/// Five ounces on wires, 150 m of thin braid.
#[test]
fn five_ounces_on_wires_walk_at_twenty_newtons() {
    let of = |more: &str| {
        tailrope(&format!("{FIVE} {more}")).arg("--line").arg("0.40mm braid").exits(0).json("tailrope.hold/1")
    };
    let set = of("--rod-tension 20N --set well");
    near(&set["sinker_load_n"], 20.1, 5e-3);
    near(&set["belly_m"], 16.2, 0.01);
    near(&set["arrival_deg"], 23.7, 0.01);
    near(&set["own_weight_hold_n"], 0.8, 0.02);
    assert_eq!(set["answer"], "walks");
    assert!(set["hold_high_n"].as_f64().unwrap() < 16.0 && set["hold_low_n"].as_f64().unwrap() > 8.0);
    assert_eq!(set["walks_at"]["already_central"], true);
    assert!(set["needs"]["ease_to_n"].as_f64().unwrap() < 15.0);
    let eased = of("--rod-tension 10N --set well");
    near(&eased["sinker_load_n"], 10.2, 0.01);
    near(&eased["belly_m"], 34.0, 0.02);
    assert_eq!(eased["answer"], "doubtful", "it holds only when it is well buried");
    assert_eq!(of("--rod-tension 10N --set half")["answer"], "walks");
    let test = of("--rod-tension 10N --pull-test 16N");
    assert_eq!((&test["answer"], &test["hold_grade"]), (&"holds".into(), &"measured".into()));
}

/// Three hundred yards and 0.9 mm.
#[test]
fn three_hundred_yards_belly_and_walk_to_the_bathers() {
    let far = "hold --distance 274m --current 0.5m/s --rod-tension 25N --bait 350x90mm --lies nose-on --wires 4 --set well \
               --soak 4h --format json";
    let still = tailrope(&format!("{far} --line 0.9mm --strum 1")).exits(0).json("tailrope.hold/1");
    near(&still["belly_m"], 53.0, 0.01);
    near(&still["arrival_deg"], 39.0, 0.01);
    near(&still["sinker_load_n"], 25.2, 0.01);
    let sung = tailrope(&format!("{far} --line 0.9mm --bathers-at 300m down-current")).exits(0);
    let sung = sung.json("tailrope.hold/1");
    near(&sung["belly_m"], 99.0, 0.01);
    near(&sung["arrival_deg"], 58.0, 0.01);
    near(&sung["sinker_load_n"], 25.3, 0.01);
    near(&sung["down_current_n"], 21.7, 0.01);
    // What is paid out stretches to 354 m; the loudest line takes more, and bounds the walk.
    near(&sung["line_out_m"], 354.0, 0.03);
    assert!(sung["walk"]["circle_m"].as_f64().unwrap() > 400.0);
    assert_eq!((&sung["answer"], &sung["reaches_bathers"]), (&"walks".into(), &true.into()));
    let brief = far.replace("4h", "5min");
    let brief = tailrope(&format!("{brief} --line 0.9mm --bathers-at 500m")).exits(0).json("tailrope.hold/1");
    assert_eq!(brief["reaches_bathers"], false, "five minutes carry it 150 m at most, and 300 m are asked");
    near(&brief["walk"]["bound_along_m"], 150.0, 1e-6);
    let thin = tailrope(far).arg("--line").arg("0.40mm braid").exits(0).json("tailrope.hold/1");
    near(&thin["belly_m"], 44.0, 0.02);
    near(&thin["arrival_deg"], 34.0, 0.02);
}

#[test]
fn waves_tide_and_a_run_of_currents_are_followed() {
    let base =
        "hold --distance 120m --rod-tension 8N --wires 4 --set well --depth 5m --soak 6h --format json";
    let of = |more: &str| {
        tailrope(&format!("{base} {more}")).arg("--line").arg("0.40mm braid").exits(0).json("tailrope.hold/1")
    };
    let calm = of("--current 0.3m/s");
    let rough = of("--current 0.3m/s --waves 1.2m,8s");
    assert!(rough["soak_load_high_n"].as_f64() > calm["soak_load_high_n"].as_f64());
    assert!(rough["waves"]["bed_highest_mps"].as_f64() > rough["waves"]["bed_significant_mps"].as_f64());
    assert_eq!(rough["sinker_load_n"], calm["sinker_load_n"], "waves stand apart");
    let run = of("--currents 0h:0.05m/s,3h:0.3m/s,6h:0.05m/s");
    let steps = run["through"]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 37);
    near(&run["current_along_mps"], 0.3, 1e-9);
    let tide = of("--current 0.3m/s --tide-station noaa/8779750 --at 2026-10-17T19:00");
    let all = tide["through"]["steps"].as_array().unwrap();
    let most = all.iter().map(|s| s["along_mps"].as_f64().unwrap().abs()).fold(0.0, f64::max);
    assert!(most > 0.05 && most <= 0.3 + 1e-9, "{most}");
    assert!(tide["tide"].as_str().unwrap().contains("2026-10-17T19:00"));
}

#[test]
fn an_outing_gives_what_flags_leave_out() {
    let demo = tailrope("hold --demo --format json").exits(0).json("tailrope.hold/1");
    assert_eq!(demo["distance_m"], 250.0);
    assert_eq!(demo["answer"], "unknown", "the demo says nothing of a sinker");
    assert!(demo["line"].as_array().unwrap().len() == 2, "topshot, then main line");
    // The current is the plan's, of all voices the worst, and the bathers those of the file.
    let plan = tailrope("plan --demo --fights 64 --format json").out().json("tailrope.plan/1");
    assert_eq!(demo["current_along_mps"], plan["hold"]["current_mps"]);
    assert_eq!((&demo["bathers_at_m"], &demo["doubts"]), (&1500.0.into(), &serde_json::json!(["waves"])));
    let hold = "--distance 60m --rod-tension 8N --current 0.1m/s --pull-test 80N --format json";
    let of = |more: &str| tailrope(&format!("hold --demo {hold} {more}")).exits(0).json("tailrope.hold/1");
    assert_eq!(of("--sinker 170g")["answer"], "doubtful", "without a depth nobody knows what the waves add");
    assert_eq!(
        of("--depth 12m --sinker 170g")["doubts"],
        serde_json::json!(["lifted"]),
        "a steep line, a light sinker"
    );
    let deep = of("--depth 12m --sinker 600g");
    assert_eq!((&deep["answer"], &deep["doubts"]), (&"holds".into(), &serde_json::json!([])));
    let soaked = include_str!("../../../../data/demo/pelican-bar.toml").replacen(
        "[bait]\n",
        "[bait]\nsoak = \"5min\"\n",
        1,
    );
    let soaked =
        tailrope("hold - --format json --read-on 2026-10-16").stdin(&soaked).exits(0).json("tailrope.hold/1");
    near(&soaked["walk"]["bound_along_m"], 150.0, 1e-6);
}

#[test]
fn the_page_says_it_and_the_picture_shows_it() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("hold.svg");
    tailrope("hold --distance 274m --line 0.9mm --current 0.5m/s --rod-tension 25N --wires 4 --soak 4h --units metric")
        .args("--bathers-at 300m --next-rod-at 50m up-current --depth 6m --tip-height 4m --svg")
        .arg(&file)
        .exits(0)
        .reads(&["Walks:", "STOP if anybody bathes 300 m down-current"])
        .reads(&["comes in at", "never beyond", "What would hold", "none that is sold"])
        .no_wider_than(100);
    let svg = std::fs::read_to_string(&file).unwrap();
    for part in ["<svg", "From the side", "From above", "bathers", "belly", "<title", "<desc"] {
        assert!(svg.contains(part), "{part}");
    }
    tailrope("hold --distance 100m --line 0.4mm --material braid --current 0.1m/s --rod-tension 3N --pull-test 20N --sinker 5oz --bathers-at 5m")
        .exits(0)
        .reads(&["Holds:", "STOP if anybody bathes 5 yd", "the crew's own pull test", "all of the line counts as in the water"])
        .no_wider_than(100);
}

#[test]
fn refuses_what_nobody_means() {
    for (args, parts) in [
        ("hold", ["--distance", "not known", "180m"]),
        ("hold --distance 180m --current 0.6m/s --line 0.9mm", ["--rod-tension", "not known", "25N"]),
        ("hold --distance 180m --rod-tension 25N --line 0.9mm", ["--current", "not known", "float"]),
        ("hold --distance 180m --rod-tension 25N --current 0.6m/s", ["--line", "not known", "0.9mm"]),
        ("hold --distance 180 --rod-tension 25N", ["--distance", "unit is missing", "do:"]),
        ("hold --distance 1m --rod-tension 25N --current 0.6m/s --line 0.9mm", ["--distance", "1 m", "do:"]),
        ("hold --distance 180m --rod-tension 25N --current 6m/s --line 0.9mm", ["--current", "6 m/s", "do:"]),
        (
            "hold --distance 180m --rod-tension 2N --current 1.5m/s --line 0.9mm",
            ["2 N at the rod", "cannot hold", "more tension"],
        ),
        (
            "hold --distance 180m --rod-tension 25N --current 0.6m/s --line 0.9mm --strum 0.2",
            ["--strum", "0.2", "1.7"],
        ),
        (
            "hold --distance 180m --rod-tension 25N --current 0.6m/s --line 0.9mm --waves 1m,8s",
            ["--depth", "required", "Usage"],
        ),
        (
            "hold --distance 180m --rod-tension 25N --current 0.6m/s --line 0.9mm --bathers-at 500m sideways",
            ["--bathers-at", "sideways", "down-current"],
        ),
        (
            "hold --distance 180m --rod-tension 25N --current 0.6m/s --line 0.9mm --bait 350x90",
            ["--bait", "unit is missing", "350x90mm"],
        ),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}

/// The demo's night with a sinker, and other things said of the bait.
fn night(changes: &[(&str, &str)]) -> Value {
    let mut text = include_str!("../../../../data/demo/pelican-bar.toml").to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let out = tailrope("plan - --fights 64 --format json --read-on 2026-10-16").stdin(&text).out();
    assert!((0..=2).contains(&out.code), "{}", out.stderr);
    out.json("tailrope.plan/1")
}

fn of_hold(plan: &Value) -> Option<&Value> {
    plan["findings"].as_array().unwrap().iter().find(|f| f["rule"] == "hold.bait")
}

const BAIT_SECTION: &str = "[bait]\n";
const EASED: &str = "[bait]\nrod_tension = \"20N\"\nsize = \"350x90mm\"\nlies = \"broadside\"\n";
const SINKER: &str =
    "[rig.sinker]\nmass = \"170g\"\nhang = \"sliding\"\nwired = true\nhold_measured = \"60N\"\n\n[bait]\n";

#[test]
fn a_plan_says_whether_the_bait_stays() {
    let unknown = night(&[]);
    assert_eq!(of_hold(&unknown).unwrap()["severity"], "caution");
    assert_eq!(unknown["hold"]["answer"], "unknown");
    // Sixty metres of the thick topshot in the half metre a second that such a beach may have.
    let strong = SINKER.replace("60N", "120N").replace("170g", "1kg");
    let eased = EASED.replacen(BAIT_SECTION, &strong, 1);
    // Nobody said how deep it lies: what the waves add is not known.
    let shore = night(&[(BAIT_SECTION, &eased), ("distance = \"250m\"", "distance = \"60m\"")]);
    let found = of_hold(&shore).unwrap();
    assert_eq!((&shore["hold"]["answer"], &found["severity"]), (&"doubtful".into(), &"caution".into()));
    assert!(found["sentence"].as_str().unwrap().contains("what the waves add is not known"), "{found}");
    assert!(found.to_string().contains("worst voice of the night"), "{found}");
    let eased = format!("{eased}depth = \"6m\"\n");
    let holds = night(&[(BAIT_SECTION, &eased), ("distance = \"250m\"", "distance = \"60m\"")]);
    assert_eq!((of_hold(&holds), &holds["hold"]["answer"]), (None, &"holds".into()));
    assert!(holds["hold"]["hold_low_n"].as_f64() >= holds["hold"]["sinker_load_high_n"].as_f64());
    // Kept as tight as the soak drag the same sinker is in doubt or walks; not as far as the bathers.
    let weak = SINKER.replace("60N", "12N");
    let walks = night(&[(BAIT_SECTION, &weak)]);
    let found = of_hold(&walks).unwrap();
    assert_eq!((&found["severity"], &found["topic"]), (&"caution".into(), &"hold".into()));
    assert!(found["remedy"].as_str().unwrap().contains("ease the line"), "{found}");
    // People bathe within the circle of the line.
    let near = night(&[(BAIT_SECTION, &weak), ("bathers = \"1.5km\"", "bathers = \"240m\"")]);
    let found = of_hold(&near).unwrap();
    assert_eq!(found["severity"], "stop");
    assert!(found["sentence"].as_str().unwrap().contains("people in the water"), "{found}");
    assert_eq!(near["verdict"], "stop");
}

#[test]
fn an_outing_with_an_absurd_bait_is_refused() {
    for (line, part) in [
        ("[bait]\nsize = \"9mx9m\"\n", "size"),
        ("[bait]\nrod_tension = \"9kN\"\n", "rod_tension"),
        ("[bait]\ndepth = \"-4m\"\n", "depth"),
        ("[bait]\nlies = \"sideways\"\n", "lies"),
    ] {
        let text = include_str!("../../../../data/demo/pelican-bar.toml").replacen(BAIT_SECTION, line, 1);
        tailrope("plan -").stdin(&text).exits(3).complains(&[part]);
    }
}
