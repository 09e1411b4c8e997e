//! The three demo scenarios give the verdicts they are written for.

use super::support::*;
use jiff::civil::date;
use tailrope::outing::text::render;
use tailrope::outing::{Severity, Topic, Verdict};
use tailrope::quantity::Units;

#[test]
fn pelican_bar_is_a_caution_with_true_cautions_and_no_stop() {
    let p = plan_of(&demo(A), &options(A_READ, 3000));
    let stops: Vec<&str> =
        p.findings.iter().filter(|f| f.severity == Severity::Stop).map(|f| f.sentence.as_str()).collect();
    assert!(stops.is_empty(), "{stops:#?}");
    assert_eq!(p.verdict, Verdict::Caution);
    assert!(topics(&p, Severity::Caution).len() >= 3);
    assert!(topics(&p, Severity::Caution).contains(&Topic::Law), "stale or silent packs allow no go");
    assert_eq!(p.windows.len(), 1, "{:?}", p.windows);
    assert!(p.roles.iter().all(|r| r.person.is_some()));
    assert!(p.path.margin_low_spool >= 1.2 && p.path.margin_full > p.path.margin_low_spool);
    assert!(p.drag_card.len() > 5 && p.drag_card[0].line_out_m == 0.0);
    assert!(p.forecast.outcomes.to_hand.p > 0.4 && p.forecast.death_after_release.is_some());
    assert!(
        p.largest_likely.length_m > p.target.length_m,
        "the largest likely fish is not the hoped-for one"
    );
}

#[test]
fn two_hands_is_a_stop_for_people_tackle_and_law_each_with_remedy() {
    let p = plan_of(&demo("two-hands"), &options(A_READ, 1000));
    assert_eq!(p.verdict, Verdict::Stop);
    let stops = topics(&p, Severity::Stop);
    for topic in [Topic::Crew, Topic::Tackle, Topic::Law] {
        assert!(stops.contains(&topic), "{topic:?} is not among {stops:?}");
    }
    for f in p.findings.iter().filter(|f| f.severity != Severity::Note) {
        assert!(!f.remedy.is_empty(), "{}", f.sentence);
    }
}

#[test]
fn cold_coast_is_a_caution_with_the_law_partly_unknown() {
    let p = plan_of(&demo("cold-coast"), &options(date(2027, 1, 8), 2000));
    let stops: Vec<&str> =
        p.findings.iter().filter(|f| f.severity == Severity::Stop).map(|f| f.sentence.as_str()).collect();
    assert!(stops.is_empty(), "{stops:#?}");
    assert_eq!(p.verdict, Verdict::Caution);
    let cautions = rules(&p, Severity::Caution);
    assert!(cautions.iter().any(|r| r == "visibility.km"), "{cautions:?}");
    assert!(cautions.iter().any(|r| r == "handlers.water_c"), "cold water: {cautions:?}");
    assert!(topics(&p, Severity::Caution).contains(&Topic::Law));
}

#[test]
fn every_finding_gives_evidence_or_a_rule() {
    for (name, read) in [(A, A_READ), ("two-hands", A_READ), ("cold-coast", date(2027, 1, 8))] {
        let p = plan_of(&demo(name), &options(read, 200));
        for f in &p.findings {
            assert!(f.rule.is_some() || !f.because.is_empty(), "{name}: {}", f.sentence);
            assert!(f.sentence.len() > 10 && !f.sentence.contains("NaN"), "{name}: {}", f.sentence);
        }
        let ranks: Vec<Severity> = p.findings.iter().map(|f| f.severity).collect();
        assert!(ranks.windows(2).all(|w| w[0] >= w[1]), "{name}: not sorted");
        assert!(p.brief.len() == 8 && p.brief[0].contains(p.verdict.word()));
    }
}

#[test]
fn text_says_the_verdict_first_and_keeps_the_width() {
    let p = plan_of(&demo(A), &options(A_READ, 200));
    for width in [60, 80, 120] {
        let text = render(&p, Units::Us, width);
        assert!(text.starts_with("CAUTION: Pelican Bar"), "{}", &text[..80]);
        let long: Vec<&str> = text
            .lines()
            .filter(|l| l.chars().count() > width && !l.contains("http"))
            // Tables keep their columns; a face scrolls or turns them.
            .filter(|l| !l.starts_with("  ") || l.trim_start().split("  ").count() < 3)
            .collect();
        assert!(long.is_empty(), "{width}: {long:#?}");
        assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
    }
    let metric = render(&p, Units::Metric, 80);
    assert!(metric.contains("kgf") && metric.contains(" m"));
}

#[test]
fn json_has_the_promised_keys_and_no_time_of_making() {
    let p = plan_of(&demo(A), &options(A_READ, 200));
    let v: serde_json::Value = serde_json::from_str(&p.to_json()).unwrap();
    assert_eq!(v["schema"], "tailrope.plan/1");
    for key in [
        "tool",
        "seed",
        "verdict",
        "findings",
        "windows",
        "path",
        "drag_card",
        "footing",
        "forecast",
        "roles",
        "kit_missing",
        "sources",
        "packs",
        "options",
    ] {
        assert!(!v[key].is_null(), "{key}");
    }
    for key in [
        "outcomes",
        "angler_moved",
        "at_hand",
        "trailing_m",
        "fight_limit_min",
        "minutes",
        "line_out_m",
        "death_after_release",
    ] {
        assert!(!v["forecast"][key].is_null(), "forecast.{key}");
    }
    for key in ["to_hand", "spooled", "parted", "hook_pulled", "cut_at_rod"] {
        assert!(v["forecast"]["outcomes"][key]["error"].is_number(), "{key}");
    }
    for key in ["needed_harness_hands", "limit_n", "governs", "cap_strike_n", "cap_worst_n", "dry_distance_m"]
    {
        assert!(!v["footing"][key].is_null(), "footing.{key}");
    }
    for key in ["line_out_m", "spool_depth_mm", "seen", "drag_tip_n", "drag_hook_n"] {
        assert!(!v["drag_card"][0][key].is_null(), "drag_card.{key}");
    }
    assert!(v["packs"].as_array().unwrap().len() > 8);
}
