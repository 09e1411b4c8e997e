use super::*;
use crate::facts::PackText;
use std::sync::LazyLock;

pub(super) const TEXT: &str = include_str!("../../../../data/species.toml");
pub(super) static PACK: LazyLock<SpeciesPack> =
    LazyLock::new(|| SpeciesPack::load(&PackText::new("species.toml", TEXT)).unwrap());

/// The refusal of the shipped pack with the first `from` turned into `to`.
fn spoiled(from: &str, to: &str) -> crate::Error {
    assert!(TEXT.contains(from), "{from}");
    let text = TEXT.replacen(from, to, 1);
    SpeciesPack::load(&PackText::new("species.toml", &text)).unwrap_err()
}

#[test]
fn the_shipped_pack_loads() {
    assert_eq!(PACK.all().len(), 33);
    assert_eq!(PACK.lookalikes.len(), 29);
    assert_eq!(PACK.hash.len(), 16);
}

#[test]
fn a_spoiled_pack_is_refused_with_file_line_and_key() {
    let line = |needle: &str| TEXT.lines().position(|l| l.contains(needle)).unwrap() + 1;
    let e = spoiled("max_length = { cm = 610,", "max_length = { cm = 6100,");
    assert_eq!(e.place, format!("species.toml, line {}, species[0].max_length", line("cm = 610,")));
    let e = spoiled("ventilation = \"ram\"", "ventilaton = \"ram\"");
    assert!(e.place.ends_with("ventilaton") && e.error.contains("unknown field"), "{e}");
    let e = spoiled("hook_mix = { jaw = 0.94", "hook_mix = { jaw = 0.93");
    assert!(e.error.contains("sum to 0.99") && e.place.contains("hook_mix"), "{e}");
    let e = spoiled("deep = 0.550, gill = 0.900", "deep = 0.550, gill = 0.500");
    assert!(e.error.contains("out of order"), "{e}");
    let e = spoiled("months = \"12-4\"", "months = \"12-13\"");
    assert!(e.error.contains("no months") && e.place.contains("line"), "{e}");
    let e = spoiled("head = { hammer_straight = 0.88", "head = { hammer_strait = 0.88");
    assert!(e.error.contains("no state `hammer_strait`"), "{e}");
    let e = spoiled("status = \"RECALLED\"", "status = \"HEARSAY\"");
    assert!(e.error.contains("HEARSAY"), "{e}");
    let e = spoiled("id = \"scalloped_hammerhead\"", "id = \"great_hammerhead\"");
    assert!(e.error.contains("stands twice"), "{e}");
    let e = spoiled("source = \"KOHLER95\"", "source = \"KOHLER96\"");
    assert!(e.error.contains("no source `KOHLER96`"), "{e}");
}

#[test]
fn finds_by_any_name_and_suggests_on_a_miss() {
    for (text, id) in [
        ("Great Hammerhead", "great_hammerhead"),
        ("sphyrna mokarran", "great_hammerhead"),
        ("ZAMBEZI", "bull"),
        ("Blacktip Shark", "blacktip"),
        ("bull_shark", "bull"),
        ("raggie", "sand_tiger"),
    ] {
        assert_eq!(PACK.find(text).unwrap().id, id, "{text}");
    }
    let e = PACK.find("hammerhed").unwrap_err();
    assert!(e.allowed.contains("hammerhead") || e.allowed.contains("fish list"), "{e}");
    let e = PACK.find("hammerhead").unwrap_err();
    assert!(e.allowed.contains("great hammerhead") && e.allowed.contains("smooth hammerhead"), "{e}");
    let e = PACK.find("blaktip").unwrap_err();
    assert!(e.allowed.contains("blacktip"), "{e}");
    let (s, named) = PACK.find_or_unknown("some big thing");
    assert!(!named && s.unidentified && s.presumed_protected() && s.cut_first() && s.law.is_empty());
    assert_eq!(PACK.by_law_code("NARROWTOOTH").unwrap().id, "copper");
}
