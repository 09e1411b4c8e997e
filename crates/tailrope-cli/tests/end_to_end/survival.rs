use crate::run::tailrope;

fn death(args: &str) -> [f64; 3] {
    let j = tailrope(&format!("survival {args} --format json")).exits(0).json("tailrope.survival/1");
    ["low", "central", "high"].map(|k| j["death"][k].as_f64().unwrap())
}

#[test]
fn longer_warmer_and_deeper_hooked_is_worse() {
    let base = death("bull --fight 25min --water 26C --hook jaw");
    assert!(base[0] < base[1] && base[1] < base[2] && base[2] < 1.0, "{base:?}");
    for worse in [
        "bull --fight 60min --water 26C --hook jaw",
        "bull --fight 25min --water 31C --hook jaw",
        "bull --fight 25min --water 26C --hook deep",
        "bull --fight 25min --water 26C --hook jaw --air 5min",
        "bull --fight 25min --water 26C --hook jaw --held 20min",
        "great_hammerhead --fight 25min --water 26C --hook jaw",
    ] {
        assert!(death(worse)[1] > base[1], "{worse}");
    }
}

#[test]
fn the_clock_runs_out_sooner_for_a_hammerhead() {
    let limit = |name: &str| {
        let j = tailrope(&format!("survival {name} --fight 10min --water 26C --format json")).exits(0);
        j.json("tailrope.survival/1")["fight_limit_min"].as_f64().unwrap_or(f64::INFINITY)
    };
    assert!(limit("great_hammerhead") < limit("bull"));
    // At the limit itself the central risk is the line.
    let at = limit("blacktip");
    let c = death(&format!("blacktip --fight {at}min --water 26C"))[1];
    assert!((c - 0.25).abs() < 1e-6, "{c}");
}

#[test]
fn a_shark_nobody_named_is_protected_and_the_worst() {
    let out = tailrope("survival unknown --fight 20min --water 26C").exits(0).no_wider_than(80);
    out.says(&["treated as protected", "cut at first touch"]);
    let unknown = death("unknown --fight 20min --water 26C --hook jaw");
    assert!(unknown[1] >= death("great_hammerhead --fight 20min --water 26C --hook jaw")[1]);
}

#[test]
fn how_it_left_moves_the_answer() {
    let seen = |words: &str| {
        let j =
            tailrope(&format!("survival bull --fight 40min --water 28C --condition {words} --format json"));
        j.exits(0).json("tailrope.survival/1")["death_seen"]["central"].as_f64().unwrap()
    };
    assert!(
        seen("strong") < seen("slow-but-upright")
            && seen("slow-but-upright") < seen("rolled-or-no-tail-beat")
    );
    assert_eq!(seen("dead"), 1.0);
}

#[test]
fn refuses_what_no_night_brings() {
    for (args, parts) in [
        ("survival bull --fight 30h --water 26C", ["fight is", "86400"]),
        ("survival bull --fight 25m --water 26C", ["--fight", "write min for minutes"]),
        ("survival bull --fight 25min --water 60C", ["water temperature", "-2"]),
        ("survival bull --fight 25min", ["--water", "required"]),
        ("survival nessie --fight 25min --water 26C", ["no species is called", "treated as protected"]),
        ("survival bull --fight 25min --water 26C --hook lip", ["--hook", "jaw, foul, deep, gill"]),
        ("survival bull --fight 25min --water 26C --line 2", ["risk of 2", "below 1"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
