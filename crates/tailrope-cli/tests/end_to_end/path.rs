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

#[test]
fn an_outfit_in_one_line_of_words_gives_path_1() {
    let j = tailrope("path --drag 120N --line-out 400m --in-water 350m --run 4m/s --format json --outfit")
        .arg("80W, 0.9 mm mono, ring guides")
        .exits(0)
        .json("tailrope.path/1");
    for (key, want) in [("hook_n", 216.7), ("radius_mm", 43.90), ("spool_n", 155.8), ("tip_n", 184.2)] {
        assert!((n(&j, key) / want - 1.0).abs() < 5e-4, "{key}: {}", j[key]);
    }
    assert!((j["shares"]["water_n"].as_f64().unwrap() / 32.46 - 1.0).abs() < 5e-4);
    let s = &j["spool_fill"];
    assert!((n(s, "on_spool_m") - 873.7).abs() < 0.2 && n(s, "room_left_m") < 0.1);
    assert!(n(s, "growth_last_fifth") > 1.8 && s["grade"] == "recalled", "{s}");
    assert!(s["growth"]["low"].as_f64() < s["growth"]["high"].as_f64());
    assert_eq!((&j["rig"], &j["contradictions"]), (&Value::Null, &Value::Array(vec![])));
}

#[test]
fn a_label_is_planned_at_its_safe_end_and_told_what_to_measure() {
    let label = "spinning, label 300m of 0.5mm mono, 22lbf drag, 0.5mm mono, ring guides";
    tailrope("path --drag 5lbf --line-out 100m --outfit")
        .arg(label)
        .exits(0)
        .reads(&["by the spool's band", "only a wide band", "radius of the bare arbor", "estimate"])
        .no_wider_than(100);
    let run = |words: &str| tailrope("path --drag 30lbf --format json --outfit").arg(words);
    let j = run("50, 0.7mm mono").exits(0).json("tailrope.path/1");
    assert_eq!(j["contradictions"], Value::Array(vec![]));
    run("50, string").exits(3).complains(&[
        "--outfit",
        "`string` is not understood",
        "ring guides or roller guides",
    ]);
    run("8000, 0.7mm mono").exits(3).complains(&["no class of reel is called `8000`", "measure the spool"]);
    // With a file it stays the name of an outfit.
    tailrope("path - --outfit")
        .arg("80W, 0.9 mm mono")
        .stdin(OUTFIT)
        .exits(3)
        .complains(&["no outfit is called"]);
}

#[test]
fn contradictions_are_told_at_once() {
    let told = |change: (&str, &str)| {
        let text = OUTFIT.replacen(change.0, change.1, 1);
        assert_ne!(text, OUTFIT, "{change:?}");
        let j = tailrope("path - --format json").stdin(&text).exits(0).json("tailrope.path/1");
        let all = j["contradictions"].as_array().unwrap().clone();
        tailrope("path -").stdin(&text).exits(0).says(&[if all[0]["impossible"] == true {
            "CONTRADICTION"
        } else {
            "DOUBTFUL"
        }]);
        (all[0]["field"].as_str().unwrap().to_owned(), all[0]["impossible"].as_bool().unwrap())
    };
    assert_eq!(told(("fight = \"100N\"", "fight = \"310N\"")), ("outfit.drag.fight".into(), true));
    assert_eq!(told(("\"480lb\"", "\"60lb\"")), ("rig.sections[0].strength".into(), false));
    assert_eq!(told(("kind = \"lever\"", "kind = \"star\"")), ("outfit.reel.kind".into(), false));
}

#[test]
fn a_drag_asked_for_is_among_the_contradictions() {
    let told = |outfit: &str, drag: &str| {
        let j = tailrope(&format!("path --drag {drag} --line-out 100m --format json --outfit"))
            .arg(outfit)
            .exits(0)
            .json("tailrope.path/1");
        let all = j["contradictions"].as_array().unwrap().clone();
        let of = |c: &Value| (c["field"].as_str().unwrap().to_owned(), c["impossible"].as_bool().unwrap());
        all.iter().map(of).collect::<Vec<_>>()
    };
    let label = "spinning, label 250yd of 20lb mono, 17lbf drag, 20lb mono";
    assert!(told(label, "40lbf").contains(&("--drag".into(), true)));
    assert_eq!(told(label, "4lbf"), vec![]);
    let wide = "80W, 200lb braid, rod 130lb";
    assert!(told(wide, "600N").iter().any(|c| c.0 == "--drag"));
    assert!(told(wide, "600N").contains(&("outfit.rod.line_class".into(), true)));
    assert_eq!(told(wide, "100N"), vec![]);
}

#[test]
fn compares_what_a_newcomer_could_buy() {
    let j = tailrope("path compare --fish bull --length 2.4m --fights 96 --format json")
        .exits(0)
        .json("tailrope.path-compare/1");
    let rows = j["set_ups"].as_array().unwrap();
    assert!(rows.len() >= 10 && j["standard_night"] == true && j["price_grade"] == "estimate");
    let row = |name: &str| rows.iter().find(|r| r["name"] == name).unwrap_or_else(|| panic!("{name}"));
    assert_eq!(row("80-wide, braid and topshot")["enough"], true);
    let small = row("small casting reel");
    assert!(small["enough"] == false && !small["lacks"].as_array().unwrap().is_empty());
    assert_eq!(j["none_enough"], false);
    tailrope("path compare --fish bull --length 2.4m --fights 96")
        .exits(0)
        .reads(&[
            "set-ups are enough for a bull shark",
            "standing upright",
            "Not judged: law, crew, sea",
            "asks for 4 people and 2 count",
            "may use",
            "What is lacking",
            "Prices: judgement",
            "ask a crew lead",
        ])
        .no_wider_than(100);
    tailrope("path compare --fish tiger --length 14ft --fights 16 --budget 50").exits(0).reads(&[
        "None of these",
        "Do not fish for it so",
        "No whole set-up within this budget",
    ]);
}

#[test]
fn compares_the_crews_own_outfits() {
    let j = tailrope("path compare --demo --over own --fights 64 --format json")
        .exits(0)
        .json("tailrope.path-compare/1");
    let rows = j["set_ups"].as_array().unwrap();
    assert_eq!(rows.len(), 1);
    assert!(rows[0]["own"] == true && rows[0]["price"].is_null() && rows[0]["enough"] == true, "{}", rows[0]);
    let j = tailrope("path compare --demo two-hands --over own --fights 64 --format json")
        .exits(0)
        .json("tailrope.path-compare/1");
    assert_eq!(j["none_enough"], true, "the old star drag");
    for (args, parts) in [
        ("path compare", ["no fish is named", "--fish bull --length 2.4m", "--fish"]),
        ("path compare --fish bull", ["no length is given", "--length 2.4m", "--length"]),
        (
            "path compare --fish bull --length 2.4m --over own",
            ["no outfits of your own", "--over table", "[[outfit]]"],
        ),
        ("path compare --demo --mass 80kg", ["says who holds the rod", "--mass", "outing file"]),
        ("path compare --fish bull --length 2.4m --budget lots", ["no sum of money", "--budget", "600"]),
        ("path compare --fish wyvern --length 2.4m", ["wyvern", "allowed", "do:"]),
        ("path compare --fish bull --length 90m", ["length of the fish", "--length", "do:"]),
    ] {
        tailrope(args).exits(3).complains(&parts);
    }
}
