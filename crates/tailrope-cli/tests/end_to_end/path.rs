use crate::run::tailrope;
use serde_json::Value;

/// An outfit file as the help promises: outfit tables and a rig, nothing else.
const OUTFIT: &str = r#"
[[outfit]]
name = "bench"
drag = { fight = "100N" }
reel = { class = "80W", kind = "lever", max_drag = "300N" }
guides = { kind = "roller" }
[[outfit.line]]
name = "main line"
material = "nylon"
diameter = "1.0mm"
strength = "100lb"
length = "500m"
[rig]
name = "short"
[[rig.sections]]
role = "bite"
material = "cable"
strength = "480lb"
length = "1.5m"
[rig.hook]
style = "circle"
wire = "5.2mm"
"#;

fn path(args: &str) -> Value {
    tailrope(&format!("path - --format json {args}")).stdin(OUTFIT).exits(0).json("tailrope.path/1")
}
fn n(j: &Value, key: &str) -> f64 {
    j[key].as_f64().unwrap_or_else(|| panic!("{key}: {}", j[key]))
}

#[test]
fn at_a_full_spool_the_spool_feels_what_was_set() {
    let j = path("");
    assert!((n(&j, "spool_n") - 100.0).abs() < 1e-9);
    assert!(n(&j, "tip_n") > n(&j, "spool_n") && n(&j, "hook_n") >= n(&j, "tip_n"));
    assert_eq!((&j["outfit"], &j["rig"], &j["drag_at"]), (&"bench".into(), &"short".into(), &"reel".into()));
    // Set at the tip, the guides are in it already.
    assert!((n(&path("--drag 100N --at-tip"), "tip_n") - 100.0).abs() < 1e-9);
}

#[test]
fn line_out_water_and_drag_eat_the_margin() {
    let margin = |args| n(&path(args), "margin");
    assert!(margin("--line-out 300m") < margin("--line-out 100m"));
    assert!(margin("--line-out 300m --run 8m/s") < margin("--line-out 300m --run 2m/s"));
    assert!(margin("--line-out 300m --wet 10m") > margin("--line-out 300m"));
    assert!(margin("--drag 150N --line-out 300m") < margin("--line-out 300m"));
    let j = path("--line-out 400m");
    assert!((n(&j, "margin") - n(&j, "margin_low_spool")).abs() < 1e-9, "400 m of 500 m is the last fifth");
    assert!(n(&j, "margin_full") > n(&j, "margin_low_spool"));
    // The drag that the limit allows with a full spool leaves just the margin asked for.
    let most = j["limits"]["full_n"].as_f64().unwrap();
    let j = path(&format!("--drag {most}N"));
    assert!((n(&j, "margin") - 1.5).abs() < 1e-6, "{}", j["margin"]);
}

#[test]
fn a_scenario_gives_outfit_and_rig() {
    tailrope("path --demo --line-out 400yd")
        .exits(0)
        .says(&["weakest part", "margin", "Parts, reel to hook", "last fifth", "At the leader"])
        .no_wider_than(80);
    tailrope("drag card --demo").exits(0).says(&["Ease the lever", "below rim", "fight"]).no_wider_than(80);
    tailrope("drag card -").stdin(OUTFIT).exits(0).says(&["CAUTION: nothing was measured", "no mark known"]);
}

#[test]
fn the_card_never_rises_and_keeps_margin_and_cap() {
    let card = |args: &str| {
        let run = tailrope(&format!("drag card - --format json {args}")).stdin(OUTFIT);
        run.exits(0).json("tailrope.drag-card/1")
    };
    let j = card("--drag 120N --tip-cap 160N --step 50m");
    let rows = j["drag_card"].as_array().unwrap();
    assert!(rows.len() >= 10);
    for w in rows.windows(2) {
        assert!(n(&w[1], "set_n") <= n(&w[0], "set_n") + 1e-9, "{w:?}");
        assert!(n(&w[1], "spool_depth_mm") >= n(&w[0], "spool_depth_mm"), "{w:?}");
    }
    let tightest = rows.iter().map(|r| n(r, "drag_tip_n")).fold(0.0, f64::max);
    assert!(tightest <= 160.0 + 1e-6, "{tightest}");
    let free = card("--drag 120N --step 50m");
    assert!(free["back_offs"].as_array().unwrap().len() <= j["back_offs"].as_array().unwrap().len());
    assert_eq!(j["measured"], false);
}

#[test]
fn scale_readings_give_the_lever_its_marks() {
    let measured = OUTFIT.replace(
        "[[outfit.line]]",
        r#"readings = [
  { setting = 0.2, value = "40N", at = "reel" },
  { setting = "strike", value = "100N", at = "reel" },
  { setting = 1.0, value = "200N", at = "reel" },
]
[[outfit.line]]"#,
    );
    let measured = measured.replacen("guides = { kind = \"roller\" }\n", "", 1);
    let measured = measured.replacen("[rig]", "[outfit.guides]\nkind = \"roller\"\n[rig]", 1);
    let j = tailrope("drag card - --format json").stdin(&measured).exits(0).json("tailrope.drag-card/1");
    assert_eq!(j["measured"], true);
    let fight = j["settings"].as_array().unwrap().iter().find(|s| s["what"] == "fight").unwrap();
    assert_ne!(fight["setting"], "unknown", "{fight}");
}

#[test]
fn refuses_what_cannot_be_and_says_where() {
    for (args, parts) in [
        ("path - --drag -28lbf", ["drag", "-124", "do:"]),
        ("path - --line-out 900m", ["900 m of line out", "500 m on the spool", "do:"]),
        ("path - --outfit other", ["no outfit is called `other`", "bench", "--outfit"]),
        ("path - --demo", ["a file and --demo", "--demo", "leave one out"]),
        ("path", ["no file is given", "--demo", "tailrope demo --write"]),
        ("path --demo nowhere", ["no scenario is called `nowhere`", "pelican-bar", "demo --list"]),
        ("path nowhere.toml", ["nowhere.toml", "no such file", "check the name"]),
        ("drag card - --step 1m", ["step", "5 m", "do:"]),
        ("drag card - --factor 0", ["a margin of 0", "1 to 10", "factor"]),
    ] {
        tailrope(args).stdin(OUTFIT).exits(3).complains(&parts);
    }
    let broken = OUTFIT.replace("strength = \"100lb\"", "strength = \"100lbs of force\"");
    tailrope("path -").stdin(&broken).exits(3).complains(&["standard input, line", "strength"]);
    let misspelt = OUTFIT.replace("material = \"nylon\"", "materiel = \"nylon\"");
    tailrope("path -").stdin(&misspelt).exits(3).complains(&["materiel", "allowed"]);
    tailrope("path -").stdin("").exits(3).complains(&["standard input", "empty"]);
    tailrope("path -").stdin("[rig]\nname = \"x\"\n").exits(3).complains(&["no outfit"]);
}
