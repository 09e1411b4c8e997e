//! A drag read on a warm day and fished on a cold night.

use super::support::*;
use tailrope::outing::{Finding, Plan, Severity};

fn check(p: &Plan) -> Option<&Finding> {
    p.findings.iter().find(|f| f.rule.as_deref() == Some("drag.check_pull_c"))
}
fn plan(text: &str) -> Plan {
    plan_of(text, &options(A_READ, 16))
}

#[test]
fn a_cold_night_asks_for_a_pull_on_the_beach_and_the_pull_settles_it() {
    // Read at 27 C; 25 C is near enough.
    assert!(check(&plan(&demo(A))).is_none());
    let cold = edit(&demo(A), "air_temperature = \"25C\"", "air_temperature = \"8C\"");
    let p = plan(&cold);
    let f = check(&p).expect("19 C colder");
    assert_eq!(f.severity, Severity::Caution);
    for part in
        ["read at 81 F", "has 46 F", "more drag", "28 lbf may be 23.8 lbf to 32.2 lbf", "at the upper end"]
    {
        assert!(f.sentence.contains(part), "no {part:?} in {}", f.sentence);
    }
    assert!(f.remedy.contains("check pull"));
    assert!(f.because.iter().any(|r| (r.value + 19.0).abs() < 1e-9 && r.unit == "C"), "{:?}", f.because);
    let pulled = edit(
        &cold,
        "readings = [\n",
        "readings = [\n  { date = \"2026-10-16\", setting = 0.80, value = \"28.5lbf\", at = \"reel\", temperature = \"9C\" },\n",
    );
    assert!(check(&plan(&pulled)).is_none(), "the newest reading counts");
}

#[test]
fn a_reading_without_its_temperature_is_never_go() {
    let silent = edit(&demo(A), ", temperature = \"27C\"", "");
    let p = plan(&silent);
    let f = check(&p).expect("nobody knows how warm it was");
    assert!(f.severity == Severity::Caution && f.sentence.starts_with("Not known"), "{f:?}");
    // A doubtful reading is evidence of nothing: the class band has its own finding.
    let p = plan(&edit(&silent, "at = \"reel\"", "at = \"reel\", doubtful = \"wet scale\""));
    assert!(check(&p).is_none());
    let says = |p: &Plan, part: &str| {
        let of = |f: &&Finding| f.rule.as_deref() == Some("drag.measured") && f.severity > Severity::Note;
        assert!(p.findings.iter().filter(of).any(|f| f.sentence.contains(part)), "no {part:?}");
    };
    says(&p, "None of the drag readings counts");
    let turned = edit(&demo(A), "soak = \"6lbf\" }", "soak = \"6lbf\", preset_turned = \"2026-10-12\" }");
    says(&plan(&turned), "the preset was turned since");
}
