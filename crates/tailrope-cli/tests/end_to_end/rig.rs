use crate::run::tailrope;
use serde_json::Value;
use std::fs;

const SHIPPED: [&str; 5] = ["kayak-drop", "long-rub", "plain-bite", "ray-low", "short-cast"];

fn n(j: &Value, path: &str) -> f64 {
    j.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path}: {:?}", j.pointer(path)))
}

fn asked<'a>(j: &'a Value, fact: &str) -> &'a Value {
    let all = j["law_asks"].as_array().unwrap();
    &all.iter().find(|q| q["fact"] == fact).unwrap()["value"]
}

#[test]
fn every_shipped_rig_is_proved_and_fits_the_page() {
    let list = tailrope("rig --list --format json").exits(0).json("tailrope.rigs/1");
    let names: Vec<&str> =
        list["rigs"].as_array().unwrap().iter().map(|r| r["name"].as_str().unwrap()).collect();
    assert_eq!(names, SHIPPED);
    assert!(
        list["rigs"]
            .as_array()
            .unwrap()
            .iter()
            .all(|r| r["about"].as_str().unwrap().contains("What it lacks:"))
    );
    for name in SHIPPED {
        let j = tailrope(&format!("rig --example {name} --format json")).answers().json("tailrope.rig/1");
        assert_ne!(j["verdict"], "go", "{name}: nobody said where");
        let weakest: Vec<&Value> =
            j["made"]["parts"].as_array().unwrap().iter().filter(|p| p["weakest"] == true).collect();
        assert_eq!(weakest.len(), 1, "{name}");
        assert_eq!(weakest[0]["name"], j["made"]["weakest"]);
        assert_eq!(n(weakest[0], "/capacity_n"), n(&j, "/made/capacity_n"));
        for c in j["cut_list"]["cuts"].as_array().unwrap() {
            assert!(n(c, "/cut_m") > n(c, "/between_m"), "{name}");
        }
        assert!(n(&j, "/cut_list/mass_kg") > 0.01);
        assert_eq!(asked(&j, "gear.hook.gap_mm"), "unknown", "{name}: only a caliper tells");
        tailrope(&format!("rig --example {name} --pull 28lbf --units us"))
            .answers()
            .no_wider_than(100)
            .reads(&[
                "<- weakest",
                "Not read: nobody said where",
                "Order of assembly",
                "widest inside gap unknown",
            ]);
    }
}

#[test]
fn metal_beyond_the_law_is_a_stop_at_once() {
    let run = |bite: &str, more: &str| {
        tailrope("rig --hook circle,5.2mm --read-on 2026-11-01 --format json")
            .args(more)
            .arg("--bite")
            .arg(bite)
    };
    let stop = run("3m cable 480lb", "--place us-ny").exits(2).json("tailrope.rig/1");
    assert_eq!(stop["verdict"], "stop");
    let rules = stop["law"]["findings"].as_array().unwrap();
    assert!(rules.iter().any(|f| f["rule"] == "us-ny/metal-leader" && f["severity"] == "stop"));
    assert!(n(&stop, "/metal_length_m") == 3.0);
    // Eighteen inches between the joints are more from eye to eye: neither kept nor broken, and asked.
    let ask = run("18in cable 480lb", "--place us-ny").exits(1).json("tailrope.rig/1");
    assert_eq!(ask["verdict"], "caution");
    assert!((n(&ask, "/metal_with_eyes_m") - (0.4572 + 0.080 + 20.0 * 0.00159)).abs() < 1e-9);
    let metal = |j: &Value| {
        let all = j["law"]["findings"].as_array().unwrap().clone();
        all.iter().any(|f| f["rule"] == "us-ny/metal-leader" && f["verdict"] == "need-fact")
    };
    let short = run("13in cable 480lb", "--place us-ny").answers().json("tailrope.rig/1");
    assert!(metal(&ask) && !metal(&short), "asked only where the limit lies between the two");
    tailrope("rig --example long-rub --place us-zz").exits(3).complains(&["us-zz"]);
    tailrope("rig --example long-rub --zone x").exits(3);
}

/// The pair of gap and metal: 17 mm point to shank and 20 in of wire.
#[test]
fn wire_and_gap_count_together() {
    let run = |hook: &str, bite: &str| {
        let j = tailrope("rig --place us-ma --zone ma-white-shark-shore --read-on 2026-11-01 --format json")
            .arg("--hook")
            .arg(hook)
            .arg("--bite")
            .arg(bite)
            .answers()
            .json("tailrope.rig/1");
        let all = j["law"]["findings"].as_array().unwrap().clone();
        let closed = all.into_iter().find(|f| f["rule"] == "us-ma/closed-shore");
        (j["verdict"].clone(), closed.map(|f| f["severity"].clone()))
    };
    assert_eq!(
        run("circle point 17mm gap 20mm x1", "20in cable 480lb"),
        ("stop".into(), Some("stop".into()))
    );
    assert_eq!(run("circle point 17mm gap 20mm x1", "13in cable 480lb").1, None);
    assert_eq!(run("circle point 15.8mm gap 20mm x1", "20in cable 480lb").1, None);
    assert_eq!(run("circle gap 20mm x1", "20in cable 480lb"), ("caution".into(), Some("caution".into())));
}

#[test]
fn an_outing_brings_outfit_drag_and_law() {
    let j = tailrope("rig --demo --format json").answers().json("tailrope.rig/1");
    assert_eq!(j["outfit"], "the heavy outfit");
    let path = tailrope("path --demo --format json").exits(0).json("tailrope.path/1");
    // The same leader stage as the load path has.
    assert!((n(&j, "/made/load_n") - n(&path, "/leader_stage/load_n")).abs() < 1e-9);
    assert!((n(&j, "/made/margin") - n(&path, "/leader_stage/margin")).abs() < 1e-9);
    assert!(n(&j, "/fit/fliers/0/near_j") > 0.0);
    let law = tailrope("law check --demo --format json").answers().json("tailrope.law/1");
    let all: Vec<&Value> = law["findings"].as_array().unwrap().iter().map(|f| &f["rule"]).collect();
    let ours = j["law"]["findings"].as_array().unwrap();
    assert!(!ours.is_empty() && ours.len() < all.len());
    assert!(ours.iter().all(|f| all.contains(&&f["rule"])));
    assert_ne!(j["verdict"], "go", "a pack read long ago is asked about");
}

#[test]
fn what_is_asked_beside_the_rig_is_answered() {
    let run = |args: &str| {
        tailrope(&format!("rig --example short-cast --format json {args}")).answers().json("tailrope.rig/1")
    };
    let j = run("--fish bull --length 2.4m");
    assert!((n(&j, "/fit/leader_over_fish") - 1.1 / 2.4).abs() < 1e-9);
    assert!(j["findings"].as_array().unwrap().iter().any(|f| f["rule"] == "leader.length"));
    // A fork length is made a total one, which is longer.
    assert!(
        n(&run("--fish bull --length 2.4m --cast 150g"), "/fit/leader_over_fish") > {
            let j = tailrope("rig --example short-cast --format json --fish bull --length")
                .arg("2.4m fork")
                .answers();
            n(&j.json("tailrope.rig/1"), "/fit/leader_over_fish")
        }
    );
    // 150 g are 5.29 oz: 52.9 lbf wanted, and the link bears 55.
    assert!((n(&j, "/fit/cast_wants_n") - 52.91 * 4.44822).abs() < 0.05);
    assert!((n(&j, "/fit/cast_has_n") - 55.0 * 4.44822).abs() < 0.01);
    let steep = run("--leader-angle 30deg --tip-height 1.6m --hand-height 1.1m");
    assert!((n(&steep, "/fit/hand/0/swivel_to_hand_m") - 1.0).abs() < 1e-9);
    assert!((n(&steep, "/fit/hand/0/hand_to_hook_m") - 0.1).abs() < 1e-9);
    // The worked case of fly-back: 150 g, 100 m of 0.9 mm nylon, 100 N.
    let j = tailrope("rig --example short-cast --format json --pull 100N --line")
        .arg("100m mono 80lb 0.9mm")
        .answers();
    assert!((n(&j.json("tailrope.rig/1"), "/fit/fliers/0/snagged_j") - 312.2).abs() < 0.1);
}

#[test]
fn the_picture_is_a_file_and_says_the_same_in_words() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("rig.svg");
    tailrope("rig --example short-cast --svg").arg(&file).answers();
    let svg = fs::read_to_string(&file).unwrap();
    for part in ["<svg", "<title", "<desc", "WEAKEST", "on a weak link", "to one scale"] {
        assert!(svg.contains(part), "{part}");
    }
    tailrope("rig --example short-cast --theme print").exits(3);
    tailrope("rig --example short-cast --svg").arg(dir.path()).exits(4);
}

#[test]
fn shipped_rigs_are_written_and_read_back_and_mistakes_named() {
    let dir = tempfile::tempdir().unwrap();
    tailrope("rig --write").arg(dir.path()).exits(0);
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), SHIPPED.len());
    let file = dir.path().join("ray-low.toml");
    let whole = tailrope("rig --format json").arg(&file).answers().json("tailrope.rig/1");
    let shipped = tailrope("rig --example ray-low --format json").answers().json("tailrope.rig/1");
    assert_eq!(whole["made"], shipped["made"]);
    tailrope("rig --write").arg(dir.path()).exits(3).complains(&["there already"]);
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("length = \"3.0m\"", "length = \"300m\"")).unwrap();
    tailrope("rig").arg(&file).exits(3).complains(&["ray-low.toml, line", "length of the section is 300 m"]);
    tailrope("rig --example nothing").exits(3).complains(&["long-rub"]);
    tailrope("rig").exits(3).complains(&["--example"]);
    tailrope("rig --hook circle --example ray-low").exits(3);
    tailrope("rig --bite").arg("1m rope").exits(3).complains(&["rope", "--bite"]);
    tailrope("rig --example ray-low --pull=-5N").exits(3);
}

/// The exit code is the verdict, with the law read or not; an unknown part takes no stop away.
#[test]
fn the_verdict_in_json_is_the_exit_code() {
    let run = |args: &[&str]| {
        let mut t = tailrope("rig --hook circle,7mm,x1 --format json");
        for a in args {
            t = t.arg(a);
        }
        t
    };
    let weak = ["--rubbing", "3m mono 60lb crimp", "--pull", "28lbf"];
    assert_eq!(run(&weak).exits(2).json("tailrope.rig/1")["verdict"], "stop");
    let open = [&weak[..], &["--hand", "8m mono"]].concat();
    assert_eq!(run(&open).exits(2).json("tailrope.rig/1")["verdict"], "stop");
    let thin = run(&["--rubbing", "9m mono 150lb"]).exits(1).json("tailrope.rig/1");
    assert_eq!(thin["verdict"], "caution");
    let fine = run(&["--hand", "9m mono 600lb"]).exits(0).json("tailrope.rig/1");
    assert!(fine["verdict"].is_null() && fine["findings"].as_array().unwrap().is_empty(), "{fine}");
}

/// What a rig alone is told, the plan of its night tells as well.
#[test]
fn the_plan_asks_the_same_of_the_rig() {
    let rows = |j: &Value| -> Vec<[Value; 3]> {
        let all = j["findings"].as_array().unwrap();
        all.iter()
            .filter(|f| f["rule"].as_str().is_some_and(|r| r.starts_with("rig.")))
            .map(|f| [f["rule"].clone(), f["severity"].clone(), f["sentence"].clone()])
            .collect()
    };
    let mut some = 0;
    for name in ["pelican-bar", "two-hands", "cold-coast"] {
        let alone = tailrope(&format!("rig --demo {name} --format json")).answers().json("tailrope.rig/1");
        let night = tailrope(&format!("demo {name} --fights 64 --format json")).answers();
        let (alone, night) = (rows(&alone), rows(&night.json("tailrope.plan/1")));
        assert_eq!(alone, night, "{name}");
        some += alone.len();
    }
    assert!(some > 0, "a demo whose rig is told nothing tests nothing");
}
