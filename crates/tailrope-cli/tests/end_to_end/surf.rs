use crate::run::tailrope;
use serde_json::Value;
use tailrope::math::ln;

fn surf(args: &str) -> Value {
    tailrope(&format!("surf {args} --format json")).answers().json("tailrope.surf/1")
}

fn near(got: &Value, want: f64, within: f64) {
    let x = got.as_f64().unwrap_or_else(|| panic!("{got} instead of {want}"));
    assert!((x - want).abs() <= within, "{x} instead of {want}");
}

#[test]
fn one_swell_and_a_slope_are_enough() {
    let j = surf("--hs 1.5m --period 9s --angle 15deg --slope 0.02");
    // By hand: 0.39 g^0.2 (9 x 1.5^2)^0.4; 0.043 sqrt(1.5 x g 81 / 2 pi) against the general equation.
    near(&j["breaker_height_m"]["central"], 2.0508, 5e-4);
    near(&j["trains"][0]["two_percent_m"], 0.5922, 5e-4);
    near(&j["run_up_m"]["central"], 0.5984, 5e-4);
    near(&j["dry"]["dry_above_still_m"], 1.5 * 0.59835, 5e-4);
    assert_eq!(j["trains"][0]["form"], "spilling");
    for key in ["breaker_height_m", "run_up_m", "surf_width_m", "longshore_m_s", "undertow_m_s"] {
        let f = &j[key];
        let [low, central, high] = ["low", "central", "high"].map(|k| f[k].as_f64().unwrap());
        assert!(low <= central && central <= high && low < high, "{key} {f}");
        assert!(!f["grade"].as_str().unwrap().is_empty() && !f["source"].as_str().unwrap().is_empty());
    }
    // The centre by hand: breakers 1.993 m of 0.78 of the depth and 2.027 m of Komar and Gaughan with the turned
    // height, 5.05 degrees to the beach; the ends at 5 and 25 degrees offshore with half and one and a half times it.
    let v = |args: &str| surf(&format!("--hs 1.5m --period 9s {args} --slope 0.02"))["longshore_m_s"].clone();
    let [five, fifteen, more] =
        [5, 15, 25].map(|a| v(&format!("--angle {a}deg"))["central"].as_f64().unwrap());
    near(&j["longshore_m_s"]["central"], fifteen, 1e-12);
    near(&j["longshore_m_s"]["low"], 0.5 * five, 1e-9);
    near(&j["longshore_m_s"]["high"], 1.5 * more, 1e-9);
    assert!(j["longshore_m_s"]["source"].as_str().unwrap().contains("+-10 deg"));
    // Square on is never no current, and nobody having said the angle is the worst of all.
    assert!(v("--angle 0deg")["high"].as_f64().unwrap() >= 0.5);
    let unsaid = v("");
    assert!(unsaid["high"].as_f64().unwrap() >= 1.5 * v("--angle 45deg")["central"].as_f64().unwrap());
    assert!(unsaid["source"].as_str().unwrap().contains("worst angle"));
    assert_eq!(surf("--hs 1.5m --period 9s --slope 0.02")["longshore_known"], false);
    assert_eq!(
        (&j["dark"], &j["rip"]["word"], &j["dry"]["still_water_m"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
}

#[test]
fn a_period_that_jumps_is_shown_twice_and_planned_on_the_longer() {
    let args = "--hs 0.7m --period 13s --or-period 4s --foreshore 1:10 --slope 1:50";
    let j = surf(args);
    assert_eq!((&j["mixed_sea"], &j["governing_train"]), (&true.into(), &0.into()));
    let train = |i: usize| &j["trains"][i];
    near(&train(0)["two_percent_m"], 1.26, 0.005);
    near(&train(0)["two_percent_reach_m"], 12.6, 0.05);
    near(&train(0)["breaker_height_m"]["central"], 1.29, 0.005);
    near(&train(1)["two_percent_m"], 0.39, 0.005);
    near(&train(1)["two_percent_reach_m"], 3.9, 0.05);
    near(&train(1)["breaker_height_m"]["central"], 0.81, 0.005);
    near(&j["dry"]["wash_reach_m"]["central"], 12.6, 0.05);
    near(&j["dry"]["dry_reach_m"]["central"], 18.9, 0.1);
    assert_eq!(j["weather"]["wind_m_s"], Value::Null, "no wind was said, so none is known");
    tailrope(&format!("surf {args} --units metric"))
        .answers()
        .says(&[
            "Mixed sea",
            "run-up 1.26 m, breakers 1.29 m, taken for the dry line",
            "run-up 0.39 m, breakers 0.81 m",
        ])
        .no_wider_than(80);
}

#[test]
fn the_wash_of_a_blow_and_its_wind() {
    for (slope, rise, reach) in [("0.05", 0.84, 17.0), ("0.03", 0.61, 20.0)] {
        let j = surf(&format!("--hs 2.0m --period 8s --slope {slope} --wind 25kn"));
        near(&j["trains"][0]["two_percent_m"], rise, 0.005);
        near(&j["trains"][0]["two_percent_reach_m"], reach, 0.5);
        let wind = j["verdicts"].as_array().unwrap().iter().find(|v| v["limit"] == "wind.kn").unwrap();
        assert_eq!(wind["verdict"], "stop");
    }
    tailrope("surf --hs 2.0m --period 8s --slope 0.05 --wind 25kn --level 0.3m --units metric")
        .answers()
        .says(&[
            "STOP: wind 25 kn",
            "tide table alone is not the water's edge",
            "1.57 m above the tide's datum",
        ]);
}

#[test]
fn how_deep_a_lone_caster_may_stand() {
    let args = "--wader 1.65m,60kg --depth 0.4m --current 0.6m/s --undertow 0.2m/s --water 51F --night";
    let j = surf(args);
    let hand = &j["handlers"][0];
    near(&hand["limit_m2_s"], 0.298, 1e-9);
    let at = &hand["at"][0];
    near(&at["bears_speed_m_s"], 0.745, 1e-9);
    near(&at["met_speed_m_s"], 0.8, 1e-9);
    assert_eq!((&at["within"], &at["governs"]), (&false.into(), &"flow".into()));
    assert_eq!((&hand["footing"], &hand["deepest_still_m"]), (&"poor".into(), &Value::Null));
    tailrope(&format!("surf {args}")).answers().says(&[
        "The waves are not known",
        "NOT THERE",
        "before any wave",
        "Nobody stands in the water alone at night",
        "no waders",
        "Gasping",
    ]);
    // The daylight branch would have let it pass; nobody saying anything does not.
    let day = surf(&args.replace("--night", "--day"));
    near(&day["handlers"][0]["karvonen_m2_s"], 0.596, 1e-9);
    assert_eq!(day["handlers"][0]["at"][0]["within"], true);
    assert_eq!(surf(&args.replace("--night", ""))["handlers"][0]["footing"], "poor");
}

#[test]
fn rips_get_a_number_and_never_a_word() {
    let args = "--hs 0.9m --period 8s --angle 10deg --slope 0.02 --after-big-sea no --mean 0m";
    let p = |more: &str| surf(&format!("{args} {more}"))["rip"].clone();
    let low = p("--hs-5m 0.9m --level=-0.4m");
    near(&low["chance"]["central"], 0.75, 0.005);
    assert_eq!(low["deep_water_height_used"], false);
    near(&p("--hs-5m 0.9m --level 0.4m")["chance"]["central"], 0.43, 0.005);
    let deep = p("--level=-0.4m");
    assert_eq!(deep["deep_water_height_used"], true);
    let page = tailrope(&format!("surf {args} --level=-0.4m")).answers().says(&[
        "likelihood 0.75",
        "the word for it comes from the official",
        "deep-water height stands in",
    ]);
    let rips = page.stdout.split("rips").nth(1).unwrap().split("set waves").next().unwrap();
    for word in ["high", "moderate", "low ris", "low lik"] {
        assert!(!rips.contains(word), "{word} in {rips}");
    }
    // What nobody said widens the figure.
    let open = surf("--hs 0.9m --period 8s --angle 10deg --slope 0.02 --level 0m")["rip"].clone();
    assert!(open["chance"]["high"].as_f64() > open["chance"]["low"].as_f64());
    assert_eq!((&open["level_known"], &open["event_known"]), (&false.into(), &false.into()));
}

#[test]
fn what_a_crew_measures_is_used_with_its_error() {
    let base = "--hs 1m --slope 1:40 --wader leader:1.80m,85kg --night";
    let j = surf(&format!(
        "{base} --waves 14:2min --float 10paces:12s --float 10paces:14s --float 8m:13s --wash 12paces:10min"
    ));
    assert_eq!(j["period_from"], "counted");
    // 120/14 s and one standard error of 0.1286, as long as it may be; times 1.4.
    near(&j["trains"][0]["period_s"], 13.77, 0.01);
    let v = &j["longshore_m_s"];
    assert_eq!(v["grade"], "measured");
    near(&v["central"], (7.5 / 12.0 + 7.5 / 14.0 + 8.0 / 13.0) / 3.0, 1e-6);
    near(&v["low"], 6.75 / 15.0, 1e-6);
    near(&v["high"], 8.25 / 11.0, 1e-6);
    assert!(j["run_up_seen_m"]["low"].as_f64() < j["run_up_seen_m"]["high"].as_f64());
    let one = surf(&format!("{base} --period 9s --float 10paces:12s"));
    near(&one["longshore_m_s"]["high"], 1.3 * 8.25 / 11.0, 1e-6);
    // A faster current lets the leader hand less deep.
    let deepest = |more: &str| {
        surf(&format!("{base} --period 9s {more}"))["handlers"][0]["deepest_still_m"].as_f64().unwrap()
    };
    assert!(deepest("--float 10paces:6s") < deepest("--float 10paces:40s"));
    tailrope(&format!("surf {base} --period 9s --float 10paces:12s")).answers().reads(&[
        "measured: one run of a float; three are better",
        "leader",
        "poor footing",
    ]);
}

#[test]
fn what_was_seen_from_the_sand_is_enough_to_start() {
    // A count, a wash and a float; no height of the sea, no slope.
    let seen = "--waves 8:1min --wash 12paces:10min --float 10paces:12s";
    let j = surf(seen);
    near(&j["counted_period_s"]["central"], 7.5, 1e-9);
    // sqrt(1/64 + 0.16/8) = 0.18875: 7.5/1.18875, and 7.5/0.81125 x 1.4.
    near(&j["counted_peak_period_s"]["low"], 6.309, 0.001);
    near(&j["counted_peak_period_s"]["high"], 12.943, 0.001);
    assert_eq!((&j["significant_height_m"], &j["breaker_height_m"]), (&Value::Null, &Value::Null));
    assert_eq!((&j["run_up_m"], &j["run_up_seen_m"]), (&Value::Null, &Value::Null), "no slope, no height");
    assert_eq!(j["dry"]["dry_above_still_m"], Value::Null);
    // Nine metres; of an unknown sea 20 s a wave, 30 waves in the watch: sqrt(ln 50 / ln 30), 10 % of pace, one
    // standard deviation of the highest of 30, half as much again for the dry line.
    let scale = (ln(50.0) / ln(30.0)).sqrt();
    let high = 9.0 * 1.1 * scale * (1.0 + 1.282_549_8 / (2.0 * ln(30.0)));
    near(&j["dry"]["wash_reach_m"]["high"], high, 1e-6);
    near(&j["dry"]["dry_reach_m"]["central"], 1.5 * high, 1e-6);
    assert_eq!(j["longshore_m_s"]["grade"], "measured");
    tailrope(&format!("surf {seen}")).exits(1).reads(&[
        "Counted 7.5 s from crest to crest, which is a peak period of 6.31 to 12.9 s.",
        "nothing here says go",
        "up the beach from the still-water line",
        "how high is not known without the slope",
        "Caution: breakers of a height not known",
        "Not known, so held against no row: wind, water temperature",
    ]);
    // With the slope it is a height, whatever slope is said.
    near(&surf(&format!("{seen} --foreshore 1:10"))["run_up_seen_m"]["central"], 0.9 * scale, 1e-6);
}

#[test]
fn breakers_judged_by_eye_stand_for_the_sea() {
    let rows = |args: &str, limit: &str| {
        let all = surf(args)["verdicts"].as_array().unwrap().clone();
        all.iter().find(|v| v["limit"] == limit).map_or(Value::Null, |v| v["verdict"].clone())
    };
    // Alone: the breaker's own row at the high end, and the shore break is not known.
    let j = surf("--breakers 1.2m");
    near(&j["breaker_height_m"]["central"], 1.56, 1e-9);
    near(&j["breakers_judged_m"]["low"], 0.84, 1e-9);
    assert_eq!((&j["run_up_m"], &j["significant_height_m"]), (&Value::Null, &Value::Null));
    assert_eq!(rows("--breakers 1.2m", "surf.height_m"), "stop");
    assert_eq!(rows("--breakers 0.2m", "surf.height_m"), "go");
    assert_eq!(rows("--breakers 0.2m", "landing.shore_break"), "caution", "a form nobody knows is no calm");
    tailrope("surf --breakers 1.2m").exits(2).reads(&[
        "by eye (2.8 ft to 5.1 ft), planned on the high end",
        "not known without the period (--waves 8:1min) and the slope (--slope 1:50)",
        "the high end of what was judged by eye",
        "how deep is not known without the waves",
    ]);
    // With a period and a slope all rows: the sea whose breakers are so high.
    let args = "--breakers 1.2m --period 9s --slope 1:40 --wader leader:1.80m,85kg";
    let j = surf(args);
    near(&j["trains"][0]["breaker_height_m"]["central"], 1.56, 1e-6);
    // By hand: (1.56 / (0.39 x 9.80665^0.2))^1.25 / 3.
    near(&j["significant_height_m"], 1.0654, 5e-4);
    let same = surf(&format!(
        "--hs {}m --period 9s --slope 1:40 --wader leader:1.80m,85kg",
        j["significant_height_m"].as_f64().unwrap()
    ));
    for key in ["run_up_m", "handlers", "rip"] {
        assert_eq!(j[key].to_string().len() > 4, same[key].to_string().len() > 4, "{key}");
    }
    near(&j["run_up_m"]["central"], same["run_up_m"]["central"].as_f64().unwrap(), 1e-6);
    // A count beside it, and a file's sea: the eye goes before the file.
    let counted = surf("--breakers 1.2m --waves 8:1min --slope 1:40");
    near(&counted["trains"][0]["period_s"], 12.943, 0.001);
    near(&counted["trains"][0]["breaker_height_m"]["central"], 1.56, 1e-6);
}

#[test]
fn a_count_is_shown_as_it_was_counted() {
    tailrope("surf --hs 1m --slope 1:40 --waves 8:1min").answers().reads(&[
        "Counted 7.5 s from crest to crest, which is a peak period of 6.31 to 12.9 s; the long end is taken.",
    ]);
}

#[test]
fn the_exit_code_is_that_of_the_worst_row() {
    tailrope("surf --hs 0.2m --period 4s --slope 0.005 --wind 5kn").exits(0);
    tailrope("surf --hs 0.2m --period 4s --slope 0.005 --wind 17kn").exits(1);
    let stop = tailrope("surf --hs 1.5m --period 9s --angle 15deg --slope 0.02 --format json").exits(2);
    stop.json("tailrope.surf/1");
    // What nobody said of the breakers is never a go.
    tailrope("surf --wind 5kn").exits(1).reads(&["Caution: breakers of a height not known"]);
}

#[test]
fn two_trains_apart_depths_and_a_soak() {
    let j = surf(
        "--hs 0.9m --period 13s --angle 5deg --hs2 1.2m --period2 6s --angle2=-20deg --slope 0.02 \
         --depth 0.3m --depth 4m --soak 2h --landing 10min",
    );
    near(&j["significant_height_m"], 1.5, 1e-9);
    assert_eq!(j["depths"].as_array().unwrap().len(), 2);
    let (shallow, deep) = (&j["depths"][0], &j["depths"][1]);
    assert_eq!((&shallow["inside_the_break"], &deep["inside_the_break"]), (&true.into(), &false.into()));
    assert!(shallow["bore_behind_m_s"].is_number() && deep["bore_behind_m_s"].is_null());
    let hold = &deep["hold"];
    assert!(hold["hold_peak_m_s"].as_f64() > hold["creep_peak_m_s"].as_f64());
    near(&hold["soak_s"], 7200.0, 1e-9);
    near(&j["set_wave"]["landing_s"], 600.0, 1e-9);
}

#[test]
fn cold_heat_and_thunder() {
    // The cases of the research: 5 C and 20 km/h are 1.07 C; 90 F and 80 % are 113.3 F, 45.17 C.
    let w = surf("--air 5C --wind 20km/h")["weather"].clone();
    near(&w["wind_chill_c"], 1.067, 0.001);
    let w = surf("--air 90F --humidity 80%")["weather"].clone();
    near(&w["heat_index_c"], (113.3 - 32.0) / 1.8, 0.03); // printed to a tenth of a degree F
    assert_eq!(w["wind_chill_c"], Value::Null);
    let w = surf("--water 4C --flash-to-bang 9s --last-thunder 2026-10-17T21:40-05:00")["weather"].clone();
    near(&w["flash_distance_m"], 3000.0, 1e-6);
    assert_eq!(w["come_back"], "2026-10-17T22:10:00-05:00");
    assert_eq!((&w["exhaustion_min"]["most"], &w["cold_shock"]), (&30.0.into(), &true.into()));
    // Past midnight by the same watch.
    let page = tailrope("surf --last-thunder 23:45").answers();
    page.says(&["00:15 by the same watch", "Shelter at the first thunder", "30 min"]);
}

#[test]
fn what_nobody_said_counts_at_its_stricter_row() {
    let row = |args: &str, rows: [&str; 2]| {
        let j = surf(args);
        let all = j["verdicts"].as_array().unwrap();
        let v = all.iter().find(|v| rows.contains(&v["limit"].as_str().unwrap())).unwrap();
        (v["limit"].as_str().unwrap().to_owned(), v["verdict"].as_str().unwrap().to_owned())
    };
    let cold = ["handlers.water_c", "handlers.water_bare_c"];
    assert_eq!(row("--water 12C", cold), ("handlers.water_bare_c".into(), "stop".into()));
    assert_eq!(row("--water 12C --dry-change", cold), ("handlers.water_c".into(), "caution".into()));
    let heat = ["heat.index_c", "heat.index_no_shade_c"];
    let air = "--air 33C --humidity 40";
    assert_eq!(row(air, heat), ("heat.index_no_shade_c".into(), "stop".into()));
    assert_eq!(row(&format!("{air} --shade"), heat), ("heat.index_c".into(), "caution".into()));
    tailrope("surf --water 12C").answers().reads(&["STOP: water 54 F, and nobody said --dry-change"]);
}

#[test]
fn a_flat_sea_is_no_promise_and_a_count_beside_a_period_is_no_comfort() {
    let flat = "--hs 0.05m --period 5s --slope 0.02 --wader 1.8m,85kg";
    assert_eq!(surf(flat)["nearly_flat"], true);
    assert_eq!(surf(&flat.replace("0.05m", "0.2m"))["nearly_flat"], false);
    tailrope(&format!("surf {flat}")).answers().reads(&["calm now is not calm tonight"]).no_wider_than(80);
    let sea = "--hs 1m --waves 14:2min --slope 1:40";
    let counted = surf(sea)["run_up_m"]["central"].as_f64().unwrap();
    let both = surf(&format!("{sea} --period 11s"));
    near(&both["run_up_m"]["central"], counted, 1e-9);
    assert_eq!((&both["period_from"], &both["mixed_sea"]), (&"said".into(), &false.into()));
    assert_eq!(both["trains"].as_array().unwrap().len(), 2);
    tailrope(&format!("surf {sea} --period 11s")).answers().reads(&["by the long end of the crew's count"]);
}

#[test]
fn a_crews_own_pack_counts() {
    let dir = tempfile::tempdir().unwrap();
    let shipped = include_str!("../../../../data/surf.toml");
    let own = shipped.replace("spare = { value = 1.5", "spare = { value = 2.0");
    assert_ne!(shipped, own);
    std::fs::write(dir.path().join("surf.toml"), own).unwrap();
    let j = tailrope("surf --hs 1m --period 9s --slope 0.05 --format json --data")
        .arg(dir.path())
        .answers()
        .json("tailrope.surf/1");
    near(&j["dry"]["dry_above_still_m"], 2.0 * j["dry"]["wash_above_still_m"].as_f64().unwrap(), 1e-9);
    std::fs::write(
        dir.path().join("surf.toml"),
        shipped.replace("knee = { value = 0.28", "knee = { value = 0.8"),
    )
    .unwrap();
    tailrope("surf --hs 1m --period 9s --slope 0.05 --data").arg(dir.path()).exits(3).complains(&[
        "surf.toml, line",
        "standing.knee",
        "0.35",
        "do:",
    ]);
}

#[test]
fn pages_are_narrow() {
    for more in ["", "--units metric", "--units si"] {
        tailrope(&format!(
            "surf --hs 1.2m --period 9s --or-period 5s --angle 15deg --slope 0.02 --foreshore 0.1 --wind 18kn \
             --wind-angle 60deg --water 12C --air 5C --humidity 80 --depth 0.3m --depth 3m --soak 2h \
             --wader leader:1.8m,85kg --wader tail-rope:1.7m,70kg --night --flash-to-bang 9s {more}"
        ))
        .answers()
        .says(&["Standing in the water", "Dry line", "Breakers", "Moving water", "tail-rope"])
        .no_wider_than(80);
    }
}

#[test]
fn refuses_half_a_sea_and_what_is_none() {
    for (args, parts) in [
        ("surf --hs 1m --slope 0.02", ["--period", "not said", "--waves 8:1min"]),
        ("surf --hs 1m --period 9s", ["--slope", "not said", "1:50"]),
        ("surf --hs 1 --period 9s --slope 0.02", ["--hs", "unit is missing", "2.4m"]),
        ("surf --hs 1m --period 90s --slope 0.02", ["period", "1 s to 30 s", "do:"]),
        ("surf --hs 1m --period 9s --slope 0.02 --angle 120deg", ["120 degrees", "-90 to 90", "do:"]),
        ("surf --wader 1.80m", ["--wader", "not a person", "1.80m,85kg"]),
        ("surf --wader 0.5m,85kg", ["--wader", "height is 0.5 m", "do:"]),
        ("surf --hs 1m --waves 3:1min --slope 0.02", ["--waves", "at least 5", "count on"]),
        ("surf --float 10paces", ["--float", "10paces in 12s", "do:"]),
        ("surf --air 30C --humidity 120", ["--humidity", "0 to 100", "80%"]),
        ("surf --last-thunder noon", ["--last-thunder", "no time", "21:40"]),
        ("surf --hs 20m --period 1s --slope 0.02", ["20.0 m", "1 in 7", "do:"]),
        ("surf --hs 1m --period 9s --or-period 1.5s --slope 0.02", ["1.0 m", "1 in 7", "0.50 m"]),
        ("surf --night --day", ["--day", "--night", "Usage"]),
        ("surf --breakers 1.2", ["--breakers", "unit is missing", "2.4m"]),
        ("surf --breakers 1.2m --hs 1m --period 9s --slope 0.02", ["--breakers", "--hs", "cannot be used"]),
        ("surf --breakers 12m", ["12 m", "breakers", "0 m to 10 m"]),
        ("surf --demo --breakers 1m", ["--demo", "does nothing", "plan --demo"]),
        ("surf --seed 3 --breakers 1m", ["--seed", "does nothing", "at random"]),
        ("surf --float 10:12s", ["--float", "10paces", "8m"]),
        ("surf --hs 1m --period 9s --slope 0.02 --depth 900m", ["depth", "200", "do:"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
