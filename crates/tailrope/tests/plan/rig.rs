//! The night asks of its rig what a rig alone is asked.

use super::support::*;
use tailrope::outing::{Plan, Severity, Verdict};

fn has(p: &Plan, severity: Severity, rule: &str) -> bool {
    rules(p, severity).iter().any(|r| r == rule)
}

fn planned(text: &str) -> Plan {
    plan_of(text, &options(A_READ, 64))
}

/// Hands and drag together on a leader that the drag alone does not part.
#[test]
fn the_leader_is_loaded_with_hands() {
    let weak = edit(&demo(A), "strength = \"400lb\"", "strength = \"80lb\"");
    let p = planned(&edit(&weak, "diameter = \"2.05mm\"", "diameter = \"0.9mm\""));
    assert!(has(&p, Severity::Stop, "rig.margin"), "{:?}", rules(&p, Severity::Stop));
    // One unknown part beside it is no way out.
    let open = edit(&weak, "strength = \"480lb\"\n", "");
    assert!(has(&planned(&open), Severity::Stop, "rig.margin"));
    let good = planned(&demo(A));
    assert_ne!(good.verdict, Verdict::Stop);
    assert!(!has(&good, Severity::Stop, "rig.margin"));
}

#[test]
fn a_fixed_lead_and_a_cast_beyond_its_link_are_told() {
    let with = |sinker: &str, delivery: &str| {
        let text = edit(&demo(A), "[rig.hook]", &format!("[rig.sinker]\n{sinker}\n[rig.hook]"));
        planned(&edit(&text, "delivery = \"kayak\"", &format!("delivery = \"{delivery}\"")))
    };
    let fixed = with("mass = \"150g\"\nhang = \"fixed\"", "kayak");
    for rule in ["rig.lead", "rig.fly_back_j"] {
        assert!(has(&fixed, Severity::Caution, rule), "{rule}: {:?}", rules(&fixed, Severity::Caution));
    }
    assert!(has(&with("mass = \"150g\"", "kayak"), Severity::Caution, "rig.lead"), "unknown is never go");
    assert!(!has(&with("mass = \"150g\"\nhang = \"sliding\"", "kayak"), Severity::Caution, "rig.lead"));
    let link = "mass = \"150g\"\nhang = \"weak-link\"\nlink = \"12lb\"";
    assert!(has(&with(link, "cast"), Severity::Caution, "rig.cast"));
    assert!(!has(&with(link, "kayak"), Severity::Caution, "rig.cast"), "what is paddled out is not cast");
}

/// At the flattest of the leader's angles the hand may meet another section than in the middle.
#[test]
fn the_hand_meets_wire() {
    let p = planned(&edit(&demo(A), "length = \"5.0m\"", "length = \"1.5m\""));
    assert!(has(&p, Severity::Caution, "rig.hand"), "{:?}", rules(&p, Severity::Caution));
    assert!(!has(&planned(&demo(A)), Severity::Caution, "rig.hand"));
}
