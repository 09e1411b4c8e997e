//! A bait far out: both sides of every border, and what a near one is spared.

use super::support::*;
use tailrope::outing::{Plan, Severity, Topic};

const NEAR: &str = "distance = \"250m\"";

fn with(lines: &str) -> Plan {
    plan_of(&edit(&demo(A), NEAR, lines), &options(A_READ, 100))
}

fn severity(p: &Plan, rule: &str) -> Option<Severity> {
    p.findings.iter().filter(|f| f.rule.as_deref() == Some(rule)).map(|f| f.severity).max()
}

#[test]
fn a_near_bait_asks_nothing_about_boats() {
    let p = with("distance = \"299m\"");
    assert!(p.far_out.is_none());
    assert!(p.findings.iter().all(|f| !f.rule.as_deref().unwrap_or("").starts_with("far.")));
}

#[test]
fn a_far_bait_with_nothing_said_is_a_question_for_each() {
    let p = with("distance = \"300m\"");
    for rule in ["far.lookout", "far.marked", "far.boats"] {
        assert_eq!(severity(&p, rule), Some(Severity::Caution), "{rule}");
        assert!(
            p.findings.iter().any(|f| f.rule.as_deref() == Some(rule) && f.sentence.starts_with("Not known"))
        );
    }
    let far = p.far_out.unwrap();
    assert_eq!((far.boat_chance, far.distance_m), (None, 300.0));
    assert!(far.wise_m.is_some() && far.because.is_some());
}

#[test]
fn a_long_watch_without_a_boat_a_lookout_and_a_light_answer_it() {
    // Nothing in 300 hours: at most 0.01 an hour, over 4 h and the whole line, since floating line without a sinker may slacken.
    let p = with(
        "distance = \"300m\"\ndepth = \"9m\"\nlookout = true\nmarked = \"float-with-light\"\n\
         boats_per_hour = 0.0\nboats_watched = \"300h\"",
    );
    for rule in ["far.lookout", "far.marked", "far.boats"] {
        assert_eq!(severity(&p, rule), None, "{rule}");
    }
    let far = p.far_out.unwrap();
    assert!(far.boat_chance.unwrap().high < 0.05);
    assert!(far.bounds.iter().all(|b| b.by != tailrope::tackle::far_out::BoundBy::BoatSeen));
}

#[test]
fn a_short_watch_without_a_boat_is_a_caution_and_boats_are_a_stop() {
    let short = with(
        "distance = \"300m\"\ndepth = \"9m\"\nlookout = true\nmarked = \"none\"\nboats_per_hour = 0.0\nboats_watched = \"30h\"",
    );
    assert_eq!(severity(&short, "far.boats"), Some(Severity::Caution));
    assert_eq!(severity(&short, "far.marked"), None);
    let many = with(
        "distance = \"400m\"\ndepth = \"9m\"\nlookout = false\nmarked = \"float\"\nboats_per_hour = 1.0\nboats_watched = \"10h\"",
    );
    assert_eq!(severity(&many, "far.boats"), Some(Severity::Stop));
    assert_eq!(severity(&many, "far.lookout"), Some(Severity::Stop));
    assert_eq!(severity(&many, "far.marked"), Some(Severity::Caution));
    assert_eq!(severity(&many, "far.wise"), Some(Severity::Caution));
    assert!(many.findings.iter().any(|f| f.sentence.contains("is cut at the rod at once")));
    // Boats counted are judged at any distance.
    let near = with("distance = \"250m\"\nboats_per_hour = 2.0\nboats_watched = \"10h\"");
    assert_eq!(severity(&near, "far.boats"), Some(Severity::Stop));
    assert_eq!(severity(&near, "far.lookout"), None);
}

#[test]
fn nobody_looking_is_a_caution_where_no_boat_was_seen() {
    let p = with(
        "distance = \"300m\"\nlookout = false\nmarked = \"none\"\nboats_per_hour = 0.0\nboats_watched = \"300h\"",
    );
    assert_eq!(severity(&p, "far.lookout"), Some(Severity::Caution));
    let said = with("distance = \"300m\"\nlookout = true\nmarked = \"none\"");
    assert_eq!(severity(&said, "far.marked"), Some(Severity::Caution));
}

#[test]
fn a_sitting_angler_is_asked_for_more_dry_sand() {
    // Six metres standing; getting up takes three seconds at two metres a second.
    let at = |stance: &str, toes: &str| {
        let text = edit(&demo(A), "stance = \"lean\"", &format!("stance = \"{stance}\""));
        let text = edit(&text, "toes_above_wash = \"8m\"", &format!("toes_above_wash = \"{toes}\""));
        severity(&plan_of(&text, &options(A_READ, 50)), "footing.dry_m")
    };
    assert_eq!(at("lean", "8m"), None);
    assert_eq!(at("sitting", "11.9m"), Some(Severity::Stop));
    assert_eq!(at("sitting", "14m"), None);
}

#[test]
fn the_pulls_of_a_slip_test_take_the_place_of_the_friction() {
    let text = demo(A);
    let line = text.lines().find(|l| l.starts_with("friction = ")).unwrap().to_owned();
    let slippery =
        edit(&text, &line, "slip_test = { pulls = [\"20lbf\", \"21lbf\", \"19lbf\"], mass = \"90kg\" }");
    let p = plan_of(&slippery, &options(A_READ, 50));
    assert_eq!(p.footing.governs, "slip");
    assert!(p.findings.iter().any(|f| f.severity == Severity::Stop && f.topic == Topic::Footing));
    let both = edit(&text, &line, &format!("{line}\nslip_test = {{ pulls = [\"80lbf\"], mass = \"90kg\" }}"));
    let e = try_plan(&both, &options(A_READ, 50)).unwrap_err().to_string();
    assert!(e.contains("slip_test") && e.contains("one of the two"), "{e}");
}
