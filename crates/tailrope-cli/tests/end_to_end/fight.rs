use crate::run::tailrope;
use serde_json::Value;

fn fight(args: &str) -> Value {
    tailrope(&format!("fight --demo --format json {args}")).exits(0).json("tailrope.fight/1")
}
fn p(j: &Value, key: &str) -> f64 {
    j["outcomes"][key]["p"].as_f64().unwrap()
}

#[test]
fn the_endings_sum_to_one_and_repeat_with_the_seed() {
    let j = fight("--fights 512");
    let sum: f64 =
        ["to_hand", "spooled", "parted", "hook_pulled", "cut_at_rod"].iter().map(|k| p(&j, k)).sum();
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
    assert_eq!(j["fights"], 512);
    assert_eq!(j, fight("--fights 512"));
    assert_ne!(j["outcomes"], fight("--fights 512 --seed 2")["outcomes"]);
}

#[test]
fn four_times_the_fights_halve_the_error() {
    let error = |n: u32| fight(&format!("--fights {n}"))["outcomes"]["to_hand"]["error"].as_f64().unwrap();
    let ratio = error(512) / error(2048);
    assert!((1.6..2.5).contains(&ratio), "{ratio}");
}

#[test]
fn it_is_the_forecast_of_the_plan() {
    let j = fight("--fights 256");
    let plan = tailrope("demo --fights 256 --format json").out().json("tailrope.plan/1");
    assert_eq!(j["outcomes"], plan["forecast"]["outcomes"]);
    assert_eq!(j["line_out_m"]["p90"], plan["forecast"]["line_out_m"]["p90"]);
    assert_eq!(j["fight_limit_min"], plan["forecast"]["fight_limit_min"]);
}

#[test]
fn more_drag_empties_fewer_spools_and_moves_more_anglers() {
    let j = tailrope("fight drags --demo --fights 256 --format json").exits(0).json("tailrope.fight-drags/1");
    let rows = j["drags"].as_array().unwrap();
    let of = |r: &Value, k: &str| r[k].as_f64().unwrap();
    assert!(rows.len() >= 8);
    assert!(rows.windows(2).all(|w| of(&w[0], "drag_n") < of(&w[1], "drag_n")));
    let (first, last) = (rows.first().unwrap(), rows.last().unwrap());
    assert!(of(first, "spooled") > of(last, "spooled") && of(first, "moved") < of(last, "moved"));
    let best = j["best_drag_n"].as_f64();
    let eligible = rows.iter().filter(|r| r["against"].as_array().unwrap().is_empty());
    assert_eq!(best.is_some(), eligible.count() > 0);
    assert_eq!(j["none_enough"], best.is_none());
}

#[test]
fn outfits_are_compared_by_name() {
    let j =
        tailrope("fight compare --demo --fights 128 --format json").exits(0).json("tailrope.fight-compare/1");
    assert!(j["outfits"][0]["forecast"]["outcomes"]["to_hand"]["p"].as_f64().unwrap() > 0.0);
    tailrope("fight compare --demo --fights 128").exits(0).says(&["best drag"]).no_wider_than(100);
    tailrope("fight --demo --fights 128")
        .exits(0)
        .says(&["How it ends", "angler moved", "dies after release", "What moves it"])
        .no_wider_than(80);
}

#[test]
fn refuses_a_forecast_without_a_night() {
    tailrope("fight").exits(3).complains(&["no file is given", "--demo"]);
    tailrope("fight drags nowhere.toml").exits(3).complains(&["nowhere.toml"]);
    tailrope("fight --demo --fights none").exits(3).complains(&["--fights", "2 to 1000000"]);
}
