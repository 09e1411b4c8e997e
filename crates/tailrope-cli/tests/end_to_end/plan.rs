//! Whole plans. Few fights keep the tests quick; what is looked at does not hang on their number.

use crate::run::{Run, tailrope};
use serde_json::Value;
use std::fs;

const FEW: &str = "--fights 256 --format json";

fn verdict(code: i32) -> &'static str {
    ["go", "caution", "stop"][usize::try_from(code).unwrap()]
}

/// Runs a plan and wants the exit code to be its verdict.
fn plan(run: Run) -> Value {
    let out = run.out();
    assert!((0..=2).contains(&out.code), "{}{}", out.stdout, out.stderr);
    let j = out.json("tailrope.plan/1");
    assert_eq!(j["verdict"], verdict(out.code));
    j
}

#[test]
fn every_scenario_plans_and_every_finding_has_a_reason() {
    let list = tailrope("demo --list --format json").exits(0).json("tailrope.demo/1");
    let names: Vec<&str> =
        list["scenarios"].as_array().unwrap().iter().map(|s| s["name"].as_str().unwrap()).collect();
    assert!(names.contains(&"two-hands") && names.contains(&"cold-coast"), "{names:?}");
    for name in names {
        let j = plan(tailrope(&format!("demo {name} {FEW}")));
        let findings = j["findings"].as_array().unwrap();
        assert!(!findings.is_empty());
        for f in findings {
            let because = !f["because"].as_array().unwrap().is_empty();
            assert!(because || f["rule"].is_string(), "{name}: {f}");
        }
        let worst = if findings.iter().any(|f| f["severity"] == "stop") {
            "stop"
        } else if findings.iter().any(|f| f["severity"] == "caution") {
            "caution"
        } else {
            "go"
        };
        assert_eq!(j["verdict"], worst, "{name}: nothing is averaged away");
        assert!(!j["brief"].as_array().unwrap().is_empty() && !j["sources"].as_array().unwrap().is_empty());
    }
}

#[test]
fn two_hands_are_not_enough() {
    let j = plan(tailrope(&format!("demo two-hands {FEW}")));
    assert_eq!(j["verdict"], "stop");
    let topics: Vec<&Value> = j["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["severity"] == "stop")
        .map(|f| &f["topic"])
        .collect();
    assert!(topics.contains(&&"crew".into()), "{topics:?}");
}

#[test]
fn the_same_question_gives_the_same_bytes_on_any_number_of_threads() {
    let of = |threads: &str| {
        let run = tailrope("demo --fights 1024 --format json").env("RAYON_NUM_THREADS", threads);
        run.out().stdout
    };
    let one = of("1");
    assert_eq!(one, of("2"));
    assert_eq!(one, of("7"));
    assert_ne!(one, tailrope("demo --fights 1024 --seed 2 --format json").out().stdout);
}

#[test]
fn a_written_scenario_plans_as_the_shipped_one_on_its_eve() {
    let dir = tempfile::tempdir().unwrap();
    let written = tailrope("demo two-hands --format json --write").arg(dir.path().join("nights")).exits(0);
    let path = written.json("tailrope.demo/1")["written"][0].as_str().unwrap().to_owned();
    let shipped = tailrope(&format!("demo two-hands {FEW}")).out().stdout;
    let eve = shipped.split("\"read_on\": \"").nth(1).unwrap()[..10].to_owned();
    let own = tailrope(&format!("plan {FEW} --read-on {eve}")).arg(&path).out().stdout;
    assert_eq!(own, shipped);
    // And it is not written over.
    fs::write(&path, "mine").unwrap();
    tailrope("demo two-hands --write").arg(dir.path().join("nights")).exits(3).complains(&["there already"]);
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
}

#[test]
fn one_edit_changes_the_answer() {
    let dir = tempfile::tempdir().unwrap();
    tailrope("demo --write").arg(dir.path()).exits(0).says(&["is written"]);
    let path = dir.path().join("pelican-bar.toml");
    let shipped = fs::read_to_string(&path).unwrap();
    let rules = |from: &str, to: &str| -> Vec<String> {
        let edited = shipped.replacen(from, to, 1);
        assert_ne!(edited, shipped, "{from}");
        fs::write(&path, edited).unwrap();
        let j = plan(tailrope(&format!("plan {FEW} --read-on 2026-10-16")).arg(&path));
        let stops = j["findings"].as_array().unwrap().iter().filter(|f| f["severity"] == "stop");
        stops.filter_map(|f| f["rule"].as_str().map(str::to_owned)).collect()
    };
    assert!(rules("visibility = \"12km\"", "visibility = \"200m\"").contains(&"visibility.km".into()));
    assert!(rules("tip_up = \"1.1m\"", "tip_up = \"1.6m\"").contains(&"footing.drag".into()));
}

#[test]
fn several_nights_are_one_line_each_in_order() {
    let out = tailrope("plan --demo --nights 3 --fights 128 --format json").out();
    let j = out.json("tailrope.plans/1");
    let nights = j["nights"].as_array().unwrap();
    let dates: Vec<&str> = nights.iter().map(|n| n["date"].as_str().unwrap()).collect();
    assert_eq!(dates, ["2026-10-17", "2026-10-18", "2026-10-19"]);
    assert_eq!(nights[0]["known"], "all");
    assert_eq!(nights[1]["known"], "no sea, no weather");
    let least = nights
        .iter()
        .map(|n| ["go", "caution", "stop"].iter().position(|v| n["verdict"] == *v).unwrap())
        .min();
    assert_eq!(Some(usize::try_from(out.code).unwrap()), least, "exit code of the least bad night");
    // The first of them is the plan of that night.
    let first = plan(tailrope("plan --demo --fights 128 --format json"));
    assert_eq!(nights[0]["verdict"], first["verdict"]);
    assert_eq!(nights[0]["windows"], first["windows"]);
}

#[test]
fn text_fits_the_page_and_begins_with_the_verdict() {
    let out = tailrope("demo two-hands --fights 256").exits(2);
    assert!(out.stdout.starts_with("STOP:"), "{}", &out.stdout[..80]);
    out.says(&["Brief (read aloud", "Local law and the officer"]);
}

#[test]
fn the_schema_of_the_outing_file_names_its_sections() {
    let out = tailrope("plan --schema").exits(0);
    let j: Value = serde_json::from_str(&out.stdout).unwrap();
    for key in ["night", "beach", "person", "outfit", "rig", "limit"] {
        assert!(j["properties"][key].is_object(), "{key}");
    }
}

#[test]
fn bad_outings_are_refused_in_one_sentence_with_place_and_remedy() {
    let dir = tempfile::tempdir().unwrap();
    tailrope("demo --write").arg(dir.path()).exits(0);
    let path = dir.path().join("pelican-bar.toml");
    let shipped = fs::read_to_string(&path).unwrap();
    for (from, to, parts) in [
        ("mass = \"92kg\"", "mass = \"92 stones\"", ["mass", "92 stones"]),
        ("mass = \"92kg\"", "mass = \"0kg\"", ["mass", "0"]),
        ("fight = \"28lbf\"", "fight = \"-28lbf\"", ["fight", "-"]),
        ("to = \"2.6m total\"", "to = \"40m total\"", ["fish", "40"]),
        ("species = \"bull\"", "species = \"nessie\"", ["species", "nessie"]),
        ("tide_station = \"noaa/8779750\"", "tide_station = \"atlantis\"", ["tide_station", "atlantis"]),
        ("name = \"Bram\"", "name = \"Juno\"", ["Juno", "line"]),
        ("zone = \"America/Chicago\"", "zone = \"Texas\"", ["zone", "Texas"]),
        ("date = \"2026-10-17\"", "date = \"2026-10-37\"", ["date", "2026-10-37"]),
        ("[night]", "[nite]", ["nite", "allowed"]),
        ("current = \"0.15m/s\"", "current = nan", ["current", "line"]),
        ("from = \"18:00\"\n", "", ["from", "line"]),
    ] {
        let edited = shipped.replacen(from, to, 1);
        assert_ne!(edited, shipped, "{from}");
        fs::write(&path, edited).unwrap();
        let run = || tailrope("plan --fights 64").arg(&path);
        let out = run().exits(3).complains(&["pelican-bar.toml", "do:"]).complains(&parts);
        assert_eq!(out.stderr.matches("error: ").count(), 1, "{}", out.stderr);
        out.complains_no_wider_than(100);
        run().arg("--format").arg("json").exits(3).refusal();
    }
    for (bytes, part) in [
        (Vec::new(), "empty"),
        (vec![b'#'; 4 * 1024 * 1024 + 1], "at most"),
        (b"a = \"\xff\"".to_vec(), "UTF-8"),
    ] {
        fs::write(&path, bytes).unwrap();
        tailrope("plan").arg(&path).exits(3).complains(&["pelican-bar.toml", part]);
    }
    tailrope("plan").arg(dir.path()).exits(3).complains(&["that is a folder"]);
    tailrope("plan nowhere.toml").exits(3).complains(&["nowhere.toml", "no such file"]);
    tailrope("plan").exits(3).complains(&["no file is given", "demo --write"]);
    tailrope("plan --demo --fights 1").exits(3).complains(&["--fights", "2 to 1000000"]);
    tailrope("plan --demo --nights 0").exits(3).complains(&["--nights", "1 to 31"]);
}
