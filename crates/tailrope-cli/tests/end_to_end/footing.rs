use crate::run::tailrope;

const WORKED: &str =
    "footing --mass 85kg --lean 0.35m --tip-height 1.6m --tip-ahead 1.3m --line-angle 10deg --format json";

fn near(got: &serde_json::Value, want: f64) {
    let x = got.as_f64().unwrap();
    assert!((x - want).abs() <= 5e-4 * want, "{x} instead of {want}");
}

#[test]
fn the_worked_case_tips_at_162_newtons() {
    let j = tailrope(WORKED).exits(0).json("tailrope.footing/1");
    // 85 kg x 9.80665 m/s2 x 0.35 m / (1.6 m cos 10 + 1.3 m sin 10), by hand.
    near(&j["limit_tip_n"], 161.95);
    near(&j["mass_kg"], 85.0);
    near(&j["line_angle_deg"], 10.0);
    assert_eq!(j["stance"], "upright");
    assert_eq!(j["met"], serde_json::Value::Null);
}

#[test]
fn units_on_the_command_line_change_nothing_but_the_spelling() {
    let feet = "footing --mass 187.3929lb --lean 35cm --tip-height 5ft2.992126in --tip-ahead 1300mm \
                --line-angle 0.17453292519943295rad --format json";
    let (a, b) = (tailrope(WORKED).exits(0), tailrope(feet).exits(0));
    let (a, b) = (a.json("tailrope.footing/1"), b.json("tailrope.footing/1"));
    near(&b["limit_tip_n"], a["limit_tip_n"].as_f64().unwrap());
    near(&b["limit_slip_n"], a["limit_slip_n"].as_f64().unwrap());
}

#[test]
fn a_lower_rod_a_hand_and_less_drag_do_what_they_should() {
    let of = |more: &str| {
        tailrope(&format!("footing --mass 60kg --stance lean --tip-ahead 1.3m --format json {more}"))
            .exits(0)
            .json("tailrope.footing/1")
    };
    let high = of("--tip-height 1.6m --drag 28lbf");
    assert_eq!((&high["met"], &high["none_suffices"]), (&false.into(), &true.into()));
    let low = of("--tip-height 1.1m --drag 28lbf");
    assert!(low["limit_n"].as_f64() > high["limit_n"].as_f64());
    let hand = of("--tip-height 1.1m --drag 140N --worst-drag 200N --hand 80kg");
    assert_eq!((&hand["met"], &hand["needed_harness_hands"]), (&true.into(), &1.into()));
    assert!(hand["limit_n"].as_f64() > hand["alone"]["limit_n"].as_f64());
}

#[test]
fn moving_water_is_a_stop_in_words() {
    tailrope("footing --mass 90kg --wash-depth 0.4m --wash-flow 1.5m/s")
        .exits(0)
        .says(&["STOP: water moves about the feet", "What gives way at which pull", "sitting"])
        .no_wider_than(80);
}

#[test]
fn refuses_what_nobody_is_or_means() {
    for (args, parts) in [
        ("footing --mass 85", ["--mass", "the unit is missing", "85kg"]),
        ("footing --mass 0kg", ["mass of the angler is 0 kg", "25 kg to 250 kg", "do:"]),
        ("footing --mass 85kg --drag -28lbf", ["--drag", "do not fit together", "--worst-drag"]),
        ("footing --mass NaNkg", ["--mass", "does not begin with a number", "do:"]),
        ("footing --mass 85kg --lean 3kg", ["--lean", "that is a mass", "2.4m"]),
        ("footing --mass 85kg --stance standing", ["--stance", "not in the list", "upright, lean, sitting"]),
        ("footing --mass 85kg --tip-height 1m", ["--tip-ahead", "required", "Usage"]),
        ("footing", ["--mass", "required", "Usage"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
