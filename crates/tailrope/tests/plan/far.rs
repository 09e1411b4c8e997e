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
    assert_eq!(severity(&short, "far.marked"), Some(Severity::Caution));
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
fn no_boat_in_a_watch_of_unknown_length_is_no_empty_sea() {
    use tailrope::tackle::far_out::BoundBy;
    let said = "distance = \"300m\"\ndepth = \"9m\"\nlookout = true\nmarked = \"none\"\nboats_per_hour = 0.0";
    let p = with(said);
    assert_eq!(severity(&p, "far.marked"), Some(Severity::Caution));
    assert!(p.far_out.unwrap().bounds.iter().any(|b| b.by == BoundBy::BoatSeen));
    let p = with(&format!("{said}\nboats_watched = \"300h\""));
    assert_eq!(severity(&p, "far.marked"), None);
    assert!(p.far_out.unwrap().bounds.iter().all(|b| b.by != BoundBy::BoatSeen));
}

#[test]
fn nobody_looking_seaward_sees_no_light_a_mile_off() {
    use tailrope::tackle::far_out::BoundBy;
    for (lookout, by) in [
        ("lookout = true", BoundBy::BoatSeen),
        ("lookout = false", BoundBy::NoLookout),
        ("", BoundBy::NoLookout),
    ] {
        let p =
            with(&format!("distance = \"300m\"\nboats_per_hour = 0.01\nboats_watched = \"100h\"\n{lookout}"));
        let far = p.far_out.as_ref().unwrap();
        assert!(far.bounds.iter().any(|b| b.by == by), "{lookout}");
        assert_eq!(far.warning_s.unwrap().low > 0.0, by == BoundBy::BoatSeen);
        if by == BoundBy::NoLookout {
            assert_eq!((far.wise_m, severity(&p, "far.wise")), (Some(0.0), Some(Severity::Caution)));
        }
    }
}

#[test]
fn more_line_out_than_the_spool_holds_is_a_stop() {
    let at = |distance: &str, tension: &str| {
        with(&format!("distance = \"{distance}\"\ndepth = \"6m\"\nrod_tension = \"{tension}\""))
    };
    let tight = at("300m", "60N");
    let most = tight.hold.as_ref().unwrap().line_out_high_m;
    assert_eq!(severity(&tight, "far.spool"), None);
    assert!(most.is_some_and(|m| m > 301.0), "{most:?}");
    assert_eq!(Some(tight.far_out.as_ref().unwrap().line_out_m), most);
    // Straight it fits; so slack it streams away, and nothing is left on the spool.
    let slack = at("560m", "20N");
    assert!(slack.hold.as_ref().unwrap().line_out_central_m.is_none());
    assert_eq!(severity(&slack, "far.spool"), Some(Severity::Stop), "{:?}", slack.hold);
    // Only the loudest line would: a caution.
    let loud = at("560m", "34N");
    let h = loud.hold.as_ref().unwrap();
    assert!(h.line_out_central_m.is_some_and(|m| m < 900.0), "{h:?}");
    assert!(h.line_out_high_m.is_none_or(|m| m > 950.0), "{h:?}");
    assert_eq!(severity(&loud, "far.spool"), Some(Severity::Caution), "{h:?}");
    // The way alone is longer than the line.
    assert_eq!(severity(&at("1200m", "150N"), "far.spool"), Some(Severity::Stop));
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
