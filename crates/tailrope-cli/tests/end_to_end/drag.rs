//! Drag by measurement: read, set, card.

use crate::run::{Out, tailrope};
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

const OUTFIT: &str = r#"# what hangs in the shed
[[outfit]]
name = "left 80"        # the older one
drag = { fight = "24lbf", strike = 0.75, soak = "5lbf", at = "tip" }
readings = [
  { date = "2026-10-11", setting = 0.1, value = "4lbf", at = "tip" }, # by daylight
  { date = "2026-10-11", setting = 0.6, value = "20lbf", at = "tip", start_up = "22lbf" },
  { date = "2026-10-11", setting = 0.6, value = "21lbf", at = "tip" },
  { date = "2026-10-11", setting = 1.0, value = "33lbf", at = "tip" },
]

[outfit.reel]
class = "80"
kind = "lever"
[outfit.guides]
friction = 0.16
wrap = "60deg"
[[outfit.line]]
role = "main"
material = "nylon"
diameter = "0.9mm"
strength = "80lb"
length = "600m"

[[outfit]]
name = "right star"
reel = { class = "9/0", kind = "star" }
line = [{ role = "main", material = "nylon", diameter = "0.7mm", strength = "50lb", length = "300m" }]

[rig]
name = "short"
"#;

const SHEET: &str = include_str!("../../../tailrope/tests/reference/fixtures/drag_readings_constructed.csv");

struct Shed {
    _dir: tempfile::TempDir,
    file: PathBuf,
    sheet: PathBuf,
}

fn shed(outfit: &str) -> Shed {
    let dir = tempfile::tempdir().unwrap();
    let (file, sheet) = (dir.path().join("shed.toml"), dir.path().join("readings.csv"));
    fs::write(&file, outfit).unwrap();
    fs::write(&sheet, SHEET).unwrap();
    Shed { _dir: dir, file, sheet }
}

impl Shed {
    fn text(&self) -> String {
        fs::read_to_string(&self.file).unwrap()
    }
    fn read(&self, args: &str) -> crate::run::Run {
        tailrope("drag read").arg(&self.file).args(args)
    }
    fn json(&self, args: &str) -> Value {
        self.read(args).args("--format json").exits(0).json("tailrope.drag-read/1")
    }
    fn sheet(&self, args: &str) -> crate::run::Run {
        self.read(args).arg("--sheet").arg(&self.sheet)
    }
}

/// The same shed with nothing read yet.
fn unread() -> String {
    let (a, rest) = OUTFIT.split_once("readings = [").unwrap();
    format!("{a}{}", rest.split_once("]\n").unwrap().1)
}

fn close(v: &Value, x: f64, within: f64) -> bool {
    v.as_f64().is_some_and(|v| (v - x).abs() <= within)
}

#[test]
fn a_reading_goes_into_the_file_and_nothing_else_changes() {
    let shed = shed(OUTFIT);
    let out = shed
        .read("--setting 80% --value 26lbf --value 26.5lbf --at tip --temperature 75F --date 2026-10-12 --read-on 2026-10-13")
        .arg("--preset")
        .arg("2 turns")
        .exits(0)
        .no_wider_than(80);
    out.reads(&["2 readings written to", "80%", "Pulls scatter by", "Read next"]);
    let line = |v: &str| {
        format!(
            "  {{ date = \"2026-10-12\", setting = 0.8, value = \"{v}\", at = \"tip\", temperature = \"75F\", preset = \"2 turns\" }},\n"
        )
    };
    let expected = OUTFIT.replace(
        "\"33lbf\", at = \"tip\" },\n",
        &format!("\"33lbf\", at = \"tip\" }},\n{}{}", line("26lbf"), line("26.5lbf")),
    );
    assert_eq!(shed.text(), expected);
    assert_eq!(fs::read_dir(shed.file.parent().unwrap()).unwrap().count(), 2, "nothing is left beside it");
    // The day of reading is the date, where none is said.
    shed.read("--setting strike --value 22.5lbf --at tip --read-on 2026-10-14").exits(0);
    assert!(
        shed.text()
            .contains("{ date = \"2026-10-14\", setting = \"strike\", value = \"22.5lbf\", at = \"tip\" },")
    );
}

#[test]
fn what_does_not_fit_is_refused_before_writing_or_kept_as_doubtful() {
    let shed = shed(OUTFIT);
    for (args, parts) in [
        ("--setting 80% --value 40lbf --at tip", vec!["does not rise", "80%", "--keep"]),
        ("--setting 80% --value 26lbf --at reel", vec!["mixed", "readings[4]", "--keep"]),
        ("--setting 7clicks --value 26lbf --at tip", vec!["two kinds of setting", "7 clicks"]),
        (
            "--setting 80% --value 26lbf --start-up 27lbf --start-up 28lbf --at tip",
            vec!["2 start-up values for 1 pulls"],
        ),
        ("--setting 80% --value 26lbf --start-up 200lbf --at tip", vec!["start_up", "pull 1"]),
        ("--setting 80% --value 26lbf", vec!["--at"]),
        ("--setting 180% --value 26lbf --at tip", vec!["180%", "--setting"]),
        ("--setting 80% --value 26 --at tip", vec!["unit is missing", "--value"]),
        ("--setting 80% --value 26lbf --at tip --depth 90mm", vec!["below the rim", "readings[4]"]),
        ("--setting 80% --value 26lbf --at tip --outfit none", vec!["no outfit is called `none`", "left 80"]),
        ("--setting 60% --value 9lbf --at tip --outfit right --keep", vec!["no outfit is called"]),
    ] {
        shed.read(args).exits(3).complains(&parts);
        assert_eq!(shed.text(), OUTFIT, "{args}");
    }
    let j = shed.json("--setting 80% --value 40lbf --at tip --keep --read-on 2026-10-13");
    assert!(j["added"][0]["doubtful"].as_str().unwrap().contains("does not rise"), "{j}");
    assert_eq!(j["curve"]["marks"].as_array().unwrap().len(), 3, "it does not count");
    assert!(j["curve"]["left_out"][0]["why"].as_str().unwrap().contains("doubtful"));
    assert!(shed.text().contains("doubtful = \"the drag does not rise"));
    tailrope("drag read - --setting 80% --value 26lbf --at tip")
        .stdin(OUTFIT)
        .exits(3)
        .complains(&["file of the crew"]);
    shed.read("--demo --setting 80% --value 26lbf --at tip").exits(3).complains(&["demo --write"]);
}

#[test]
fn a_dry_run_writes_nothing_and_a_star_counts() {
    let shed = shed(OUTFIT);
    let j = shed.json("--setting 80% --value 26lbf --at tip --dry-run");
    assert_eq!((&j["written"], shed.text().as_str()), (&false.into(), OUTFIT));
    shed.read("--outfit")
        .arg("right star")
        .args("--setting strike --value 9lbf --at tip")
        .exits(3)
        .complains(&["a star or knob has no place `strike`", "clicks or turns"]);
    shed.read("--outfit")
        .arg("right star")
        .args("--setting 1.5turns --value 9lbf --at tip")
        .exits(0)
        .says(&["1.5 turns"]);
    assert!(shed.text().contains("setting = \"1.5 turns\", value = \"9lbf\""));
}

#[test]
fn a_sheet_of_three_places_gives_three_pulls_and_says_why_not_more() {
    let shed = shed(&unread());
    let out = shed.sheet("--read-on 2026-07-01").exits(0).no_wider_than(80);
    out.reads(&[
        "3 readings written",
        "taken: line 2, 3, 4",
        "dates are read day first: line 2 proves it",
        "line 5",
        "109.8 N off the reel would be 129.9 N (29.2 lbf) at the tip; out of line with 25.2 lbf there: ask",
        "the drag does not rise from 75% (line 6:",
        "to full (line 7:",
        "the spool was not full (`forgot spool half full`)",
    ]);
    let text = shed.text();
    assert!(text.contains("readings = [\n  { date = \"2026-06-14\", setting = \"strike\", value = \"24lbf\", at = \"tip\", note = \"rod in holder\" },\n"));
    assert_eq!(
        text.matches("at = \"tip\", ").count() + text.matches("at = \"tip\" ").count(),
        4,
        "three readings and the plan:\n{text}"
    );
    // Once more for the figures, from a fresh shed.
    let again = shed_json(&unread(), "--read-on 2026-07-01");
    let mark = &again["curve"]["marks"][0];
    assert_eq!((&mark["setting"], &mark["readings"]), (&"strike".into(), &3.into()));
    assert!(close(&mark["tip_n"], 25.166_667 * 4.448_222, 1e-3), "mean 25.2 lbf: {mark}");
    let sd = mark["spread"].as_f64().unwrap() * mark["tip_n"].as_f64().unwrap() / 4.448_222;
    assert!((sd - 1.040_83).abs() < 1e-4, "{sd}");
    let apart = &again["sheet"]["apart"][0];
    assert_eq!((&apart["line"], &apart["out_of_line"]), (&5.into(), &true.into()));
    assert!(close(&apart["read_n"], 109.8, 0.05) && close(&apart["would_be_n"][1], 129.9, 0.05), "{apart}");
    let taken: Vec<bool> =
        again["sheet"]["lines"].as_array().unwrap().iter().map(|l| l["taken"].as_bool().unwrap()).collect();
    assert_eq!(taken, [true, true, true, false, false, false]);
}

fn shed_json(outfit: &str, args: &str) -> Value {
    shed(outfit).sheet(args).args("--format json").exits(0).json("tailrope.drag-read/1")
}

#[test]
fn what_a_sheet_set_aside_can_be_kept_and_does_not_count() {
    let shed = shed(&unread());
    let j = shed.sheet("--keep --read-on 2026-07-01 --format json").exits(0).json("tailrope.drag-read/1");
    assert_eq!(j["added"].as_array().unwrap().len(), 6);
    assert_eq!(j["curve"]["marks"].as_array().unwrap().len(), 1);
    assert!(
        shed.text()
            .contains("value = \"11.2kgf\", at = \"reel\", doubtful = \"line 5 of a sheet: another place")
    );
    // 25 lbf was asked of one mark alone: no place is guessed.
    tailrope("drag set 25lbf")
        .arg(&shed.file)
        .args("--at-tip")
        .exits(3)
        .complains(&["no reading reaches", "take a reading nearer"]);
}

fn set(text: &str, args: &str) -> Out {
    tailrope(&format!("drag set {args}")).stdin(text).exits(0)
}

#[test]
fn a_drag_is_set_for_soak_strike_and_fight() {
    set(OUTFIT, "24lbf - --at-tip --read-on 2026-10-13").no_wider_than(80).reads(&[
        "Fight: 20.3 lbf off the reel, 24 lbf at the tip",
        "of the way from 60% to full",
        "as it was read",
        "some other night, until a check pull",
        "A fish on the soak setting",
        "tape on the frame",
        "only in FREE",
        "Read next",
        "put it at",
    ]);
    let j = set(OUTFIT, "24lbf - --at-tip --format json").json("tailrope.drag-set/1");
    let s = &j["settings"];
    let whats: Vec<&str> = s.as_array().unwrap().iter().map(|s| s["what"].as_str().unwrap()).collect();
    assert_eq!(whats, ["soak", "strike", "fight"]);
    assert!(close(&s[2]["tip_n"], 24.0 * 4.448_222, 1e-3) && close(&s[1]["tip_n"], 18.0 * 4.448_222, 1e-3));
    for p in s.as_array().unwrap() {
        let (read, night) = (&p["tip_as_read_n"], &p["tip_band_n"]);
        assert!(night[0].as_f64() <= read[0].as_f64() && read[2].as_f64() <= night[2].as_f64(), "{p}");
        let out = p["with_line_out"].as_array().unwrap();
        assert!(out.windows(2).all(|w| w[0]["drag_tip_n"].as_f64() < w[1]["drag_tip_n"].as_f64()));
    }
    assert_eq!(j["soak"]["gives_line"], true);
    let j = set(OUTFIT, "6lbf - --at-tip --for soak --pull 9lbf --format json").json("tailrope.drag-set/1");
    assert_eq!((&j["settings"].as_array().unwrap().len(), &j["soak"]["sea_takes_line"]), (&1, &true.into()));
    set(OUTFIT, "12lbf - --at-tip --for soak").reads(&["CAUTION: too tight"]);
    set(&unread(), "24lbf -").reads(&[
        "CAUTION: nothing was measured; reels of its class give at most 50 lbf to 80 lbf",
        "no mark known",
    ]);
}

#[test]
fn refuses_beyond_the_readings_and_after_a_turned_preset() {
    let refuse = |text: &str, args: &str, parts: &[&str]| {
        tailrope(&format!("drag set {args}")).stdin(text).exits(3).complains(parts);
    };
    refuse(OUTFIT, "40lbf - --at-tip", &["no reading reaches 33.8 lbf", "3.4 to 27.9 lbf", "take a reading"]);
    refuse(OUTFIT, "24 -", &["unit is missing"]);
    let turned = OUTFIT
        .replace("at = \"tip\" }\nreadings", "at = \"tip\", preset_turned = \"2026-10-12\" }\nreadings");
    refuse(&turned, "24lbf -", &["no reading counts", "turned on 2026-10-12", "in FREE turn it back"]);
    let other = OUTFIT
        .replace("at = \"tip\" }\nreadings", "at = \"tip\", preset = \"3 turns\" }\nreadings")
        .replace("value = \"33lbf\",", "value = \"33lbf\", preset = \"2 turns\",");
    let j = set(&other, "15lbf - --format json").json("tailrope.drag-set/1");
    assert_eq!(j["curve"]["left_out"][0]["reading"], 3);
    assert!(j["read_next"].as_array().unwrap().iter().any(|n| n["why"] == "preset"), "{}", j["read_next"]);
    refuse(&other, "27lbf -", &["no reading reaches"]);
}

/// A rig of which everything is known, so that margins are.
const RIG: &str = r#"[rig]
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

fn card(text: &str, args: &str) -> Out {
    let text = text.replace("[rig]\nname = \"short\"\n", RIG);
    tailrope(&format!("drag card - {args}")).stdin(&text).exits(0)
}

#[test]
fn the_card_of_a_cold_night_asks_for_a_pull_and_keeps_the_upper_end() {
    // Read at noon at 65 F.
    let noon = OUTFIT
        .replace("fight = \"24lbf\"", "fight = \"25lbf\"")
        .replace("at = \"tip\" },", "at = \"tip\", temperature = \"65F\" },")
        .replace("at = \"tip\", start_up", "at = \"tip\", temperature = \"65F\", start_up");
    card(&noon, "--air 40F").no_wider_than(80).reads(&[
        "CAUTION: read at 65 F, fished at 40 F; colder: expect more drag than was read",
        "Until then 25 lbf may be 21.2 lbf to 28.8 lbf",
        "changed by 1.5 lbf or more",
        "after a run add 0.25 lbf to 0.5 lbf",
    ]);
    let json =
        |text: &str, args: &str| card(text, &format!("--format json {args}")).json("tailrope.drag-card/1");
    let (cold, near) = (json(&noon, "--air 40F"), json(&noon, "--air 60F"));
    assert_eq!((&cold["check_pull"]["asked"], &near["check_pull"]["asked"]), (&true.into(), &false.into()));
    assert_eq!((cold["upper"].as_f64(), near["upper"].as_f64()), (Some(1.15), Some(1.0)));
    assert!(close(&cold["check_pull"]["warmer_k"], -13.888_889, 1e-5));
    let margins = |j: &Value| -> Vec<f64> {
        j["drag_card"].as_array().unwrap().iter().filter_map(|r| r["margin_unbacked"].as_f64()).collect()
    };
    let (c, n) = (margins(&cold), margins(&near));
    assert!(c.len() > 5 && c.len() == n.len() && c.iter().zip(&n).all(|(c, n)| c < n), "{c:?} {n:?}");
    // Unknown on either side is told, and nothing is promised.
    card(&noon, "").reads(&["the air of the night is not known", "pull once on the beach"]);
    card(OUTFIT, "--air 40F").reads(&["the newest readings carry no temperature"]);
    assert_eq!(json(OUTFIT, "--air 40F")["check_pull"]["asked"], "unknown");
    assert!(json(&unread(), "--air 40F")["check_pull"].is_null());
    // An outing tells its own air.
    tailrope("drag card --demo --format json").exits(0).json("tailrope.drag-card/1");
}

#[test]
fn where_nothing_shows_a_mark_is_to_be_painted_and_a_short_card_keeps_what_is_seen() {
    let json = |text: &str, args: &str| {
        card(text, &format!("--format json --drag 30lbf --tip-cap 180N --step 50m {args}"))
            .json("tailrope.drag-card/1")
    };
    let j = json(OUTFIT, "");
    let paint = j["paint_m"].as_array().unwrap();
    assert!(!paint.is_empty(), "{j}");
    card(OUTFIT, "--drag 30lbf --tip-cap 180N --step 50m")
        .no_wider_than(80)
        .reads(&["paint a mark of its own colour", " m)"]);
    let at = paint[0].as_f64().unwrap();
    let marked = OUTFIT.replacen(
        "readings = [",
        &format!("marks = [{{ line_out = \"{at}m\", seen = \"red\" }}]\nreadings = ["),
        1,
    );
    let marked = json(&marked, "");
    assert_eq!(marked["paint_m"].as_array().unwrap().len(), paint.len() - 1);
    assert!(marked["back_offs"].to_string().contains("mark: red"));
    let rows = |j: &Value| j["drag_card"].as_array().unwrap().clone();
    let (all, short) = (rows(&j), rows(&json(OUTFIT, "--short")));
    assert!(short.len() < all.len());
    assert_eq!((short.first(), short.last()), (all.first(), all.last()));
    assert!(all.iter().filter(|r| r["seen"] != "").all(|r| short.contains(r)));
}
