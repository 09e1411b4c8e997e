//! Bad input: one clear sentence with place and remedy, never a panic.

use super::support::*;
use proptest::prelude::*;
use tailrope::Outing;
use tailrope::facts::PackText;

fn refused(from: &str, to: &str) -> tailrope::Error {
    let text = edit(&demo(A), from, to);
    match try_plan(&text, &options(A_READ, 64)) {
        Ok(_) => panic!("`{to}` was taken"),
        Err(e) => e,
    }
}

#[test]
fn each_gives_place_and_remedy() {
    for (from, to, says) in [
        ("fight = \"28lbf\"", "fight = \"28 stone\"", "unknown unit"),
        ("mass = \"92kg\"", "mass = \"92lbf\"", "that is a force"),
        ("mass = \"92kg\"", "mass = 92", "unit is missing"),
        ("mass = \"92kg\"", "mass = \"0kg\"", "0 kg"),
        ("to = \"2.6m total\"", "to = \"40m total\"", "40"),
        ("fight = \"28lbf\"", "fight = \"-28lbf\"", "-"),
        ("species = \"bull\"", "species = \"bul shrak\"", "bul shrak"),
        ("tide_station = \"noaa/8779750\"", "tide_station = \"padre_iland\"", "padre_iland"),
        ("zone = \"America/Chicago\"", "zone = \"America/Padre\"", "time zone"),
        ("latitude = 26.62", "latitude = nan", "latitude"),
        ("friction = 0.50", "friction = nan", "friction"),
        ("humidity = 75.0", "humidity = -nan", "humidity"),
        ("date = \"2026-10-17\"", "date = \"2026-13-17\"", "day"),
        ("name = \"Kofi\"", "name = \"Juno\"", "twice"),
        ("drives_home = \"Juno\"", "drives_home = \"Otto\"", "nobody is called"),
        ("stance = \"lean\"", "stance = \"leaning\"", "unknown variant"),
        ("tip_up = \"1.1m\"", "tip_hup = \"1.1m\"", "unknown field"),
        ("manner = \"leader-only\"", "manner = 3", "invalid type"),
        ("from = \"1.8m total\"", "from = \"2.9m total\"", "begins above"),
        ("last_bait_in = \"22:30\"", "last_bait_in = \"02:30\"", "after the wanted end"),
        (
            "class = \"80W\"",
            "class = \"80W\"\nspool = { rim = \"10mm\", arbor = \"20mm\", width = \"60mm\" }",
            "rim",
        ),
    ] {
        let e = refused(from, to);
        let all = e.to_string();
        assert!(all.contains(says), "{to}: {all}");
        assert!(!e.place.is_empty(), "{to} has no place: {all}");
        assert!(!e.remedy.is_empty() && !e.allowed.is_empty(), "{to}: {all}");
        assert!(!all.contains('\n'), "{to} is more than a sentence: {all}");
    }
}

#[test]
fn a_missing_section_an_empty_file_and_a_flood_are_refused() {
    let say = |t: &str| Outing::read(&PackText::new("night.toml", t)).unwrap_err().to_string();
    assert!(say("").contains("empty"));
    assert!(say(&"# x\n".repeat(1_100_000)).contains("bytes"));
    assert!(say("schema = 'tailrope.outing/1'").contains("missing field"));
    assert!(say("\u{0}").contains("night.toml"));
    let other = demo(A).replace("tailrope.outing/1", "tailrope.outing/9");
    assert!(say(&other).contains("tailrope.outing/9"));
    let e = Outing::read_json("night.json", "{").unwrap_err();
    assert!(e.place.contains("night.json"));
}

#[test]
fn hours_over_midnight_and_a_clock_change_plan() {
    let text = edit(&demo(A), "date = \"2026-10-17\"", "date = \"2026-10-31\"");
    let text = edit(&text, "until = \"00:30\"", "until = \"03:30\"");
    let text = edit(&text, "last_bait_in = \"22:30\"", "last_bait_in = \"01:30\"");
    let text = edit(&text, "home_by = \"01:30\"", "home_by = \"04:30\"");
    let p = plan_of(&text, &options(jiff::civil::date(2026, 10, 30), 64));
    assert!(p.night.from.ends_with("-05:00") && p.night.until.ends_with("-06:00"), "{:?}", p.night);
    assert!(p.findings.iter().any(|f| f.rule.as_deref() == Some("clock-change")));
}

/// Every value of the scenario replaced by *unknown* one at a time: a plan or a sentence, never *go*.
#[test]
fn any_answer_may_be_unknown() {
    let text = demo(A);
    for (i, line) in text.lines().enumerate() {
        let Some((key, _)) = line.split_once(" = ") else { continue };
        if line.trim_end().ends_with(['[', '{', ','])
            || key.starts_with('#')
            || line.trim_start().starts_with('{')
        {
            continue;
        }
        let changed: Vec<String> = text
            .lines()
            .enumerate()
            .map(|(k, l)| if k == i { format!("{key} = \"unknown\"") } else { l.to_owned() })
            .collect();
        match try_plan(&changed.join("\n"), &options(A_READ, 32)) {
            Ok(p) => assert_ne!(p.verdict, tailrope::outing::Verdict::Go, "{line}"),
            Err(e) => assert!(!e.place.is_empty() && !e.remedy.is_empty(), "{line}: {e}"),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn a_mangled_file_is_planned_or_refused(
        lines in proptest::collection::vec(0usize..400, 0..4),
        byte in 0usize..9000, with in proptest::char::any(), change in any::<bool>(),
    ) {
        let text = demo(A);
        let kept: Vec<&str> = text.lines().enumerate().filter(|(i, _)| !lines.contains(i)).map(|(_, l)| l).collect();
        let mut text = kept.join("\n");
        if change {
            let at = text.char_indices().nth(byte % text.chars().count()).map_or(0, |(i, _)| i);
            let end = at + text[at..].chars().next().map_or(0, char::len_utf8);
            text.replace_range(at..end, &with.to_string());
        }
        match try_plan(&text, &options(A_READ, 16)) {
            Ok(p) => prop_assert!(!p.to_json().is_empty()),
            Err(e) => prop_assert!(!e.error.is_empty() && !e.place.is_empty(), "{}", e),
        }
    }

    #[test]
    fn a_mangled_number_is_planned_or_refused(which in 0usize..60, number in "(-?[0-9]{1,9}(\\.[0-9]{1,3})?|1e[0-9]{1,3}|nan|inf)") {
        let text = demo(A);
        let digits: Vec<(usize, usize)> = {
            let bytes = text.as_bytes();
            let mut all = Vec::new();
            let mut i = 0;
            while i < bytes.len() {
                if bytes[i].is_ascii_digit() {
                    let start = i;
                    while i < bytes.len() && (bytes[i].is_ascii_digit() || bytes[i] == b'.') { i += 1; }
                    all.push((start, i));
                } else { i += 1; }
            }
            all
        };
        let (start, end) = digits[(which * 7) % digits.len()];
        let text = format!("{}{number}{}", &text[..start], &text[end..]);
        match try_plan(&text, &options(A_READ, 16)) {
            Ok(p) => prop_assert!(!p.to_json().is_empty()),
            Err(e) => prop_assert!(!e.error.is_empty(), "{}", e),
        }
    }
}
