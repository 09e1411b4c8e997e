//! One test for each wrong answer that a reviewer once got out of a plan.

use super::support::*;
use tailrope::outing::{Severity, Verdict};

#[test]
fn the_weaker_rod_holder_rules_though_harness_hands_are_drilled() {
    // Three drilled at the strap, the relief angler much lighter: the plan once judged the heavy one alone.
    let text = demo(A).replace(
        "  { role = \"spotter\", on",
        "  { role = \"harness-hand\", on = \"2026-09-26\" },\n  { role = \"spotter\", on",
    );
    let text = text.replacen(
        "name = \"Ottoline\"\nage = 35\nmass = \"78kg\"",
        "name = \"Ottoline\"\nage = 35\nmass = \"60kg\"",
        1,
    );
    let p = plan_of(&text, &options(A_READ, 200));
    assert_eq!(p.footing.angler, "Ottoline");
    assert!(p.footing.worst_tip_n <= p.footing.limit_n, "{:?}", p.footing);
}

#[test]
fn people_are_judged_for_the_largest_of_the_targets_own_kind_too() {
    // Tiger as the target at a modest size: the largest likely tiger still judges the people.
    let text = edit(&demo(A), "species = \"bull\"", "species = \"tiger\"");
    let p = plan_of(&text, &options(A_READ, 400));
    assert!(p.largest_likely.species == "tiger" && p.largest_likely.length_m > p.target.length_m + 1.0);
    assert!(rules(&p, Severity::Stop).iter().chain(&rules(&p, Severity::Caution)).any(|r| r == "crew.count"));
}

#[test]
fn an_empty_contact_is_no_contact() {
    for blank in ["\"\"", "\"  \""] {
        let text = edit(&demo(A), "contact = \"Wren, at home\"", &format!("contact = {blank}"));
        let e = try_plan(&text, &options(A_READ, 32)).unwrap_err();
        assert!(e.place.contains("safety.contact"), "{e}");
    }
}

#[test]
fn bathers_all_day_and_night_close_the_night() {
    let text = edit(&demo(A), "bathers_from = \"09:00\"", "bathers_from = \"00:00\"");
    let text = edit(&text, "bathers_until = \"17:00\"", "bathers_until = \"23:59\"");
    let p = plan_of(&text, &options(A_READ, 64));
    assert!(p.windows.is_empty(), "{:?}", p.windows);
    assert!(rules(&p, Severity::Stop).iter().any(|r| r == "windows"));
    // Part of the night closed: a caution says so.
    let text = edit(&demo(A), "bathers_until = \"17:00\"", "bathers_until = \"20:00\"");
    let p = plan_of(&text, &options(A_READ, 64));
    assert!(p.windows[0].start.contains("T20:00"), "{:?}", p.windows);
    assert!(rules(&p, Severity::Caution).iter().any(|r| r == "windows"));
}

#[test]
fn the_window_ends_with_the_last_bait_to_the_minute() {
    let p = plan_of(
        &edit(&demo(A), "last_bait_in = \"22:30\"", "last_bait_in = \"22:25\""),
        &options(A_READ, 64),
    );
    assert!(p.windows[0].end.contains("T22:25"), "{:?}", p.windows);
}

#[test]
fn a_crew_cannot_switch_off_the_law_nor_set_an_absurd_figure() {
    for row in [
        "id = \"law.breach\"\nwords = { breach = \"go\" }",
        "id = \"bathers.before_h\"\nvalue = 1e300",
        "id = \"crew.relief_min\"\nvalue = -1e300",
    ] {
        let text = format!("{}\n[[limit]]\n{row}\nwho = \"Juno\"\nwhy = \"in a hurry\"\n", demo(A));
        let e = try_plan(&text, &options(A_READ, 32)).unwrap_err();
        assert!(e.place.contains("limit[0]"), "{e}");
    }
}

#[test]
fn figures_of_the_wrong_day_are_no_figures() {
    let cautions = |from: &str, to: &str, read| {
        let p = plan_of(&demo(A).replace(from, to), &options(read, 64));
        p.findings.iter().filter(|f| f.rule.as_deref() == Some("conditions.age_h")).count()
    };
    assert_eq!(cautions("x", "x", A_READ), 0);
    assert_eq!(
        cautions("as_of = \"2026-10-16T12:00\"", "as_of = \"2026-12-16T11:00\"", A_READ),
        2,
        "from the future"
    );
    // A forecast of today for a night far ahead says nothing of it, and that is said.
    let p = plan_of(&demo(A).replace("2026-10-17", "2027-02-17"), &options(A_READ, 64));
    let of = |rule: &str| p.findings.iter().find(|f| f.rule.as_deref() == Some(rule));
    assert!(of("conditions.reach").is_some_and(|f| f.sentence.contains("plan again from 2027-02-16")));
    assert!(of("wind.kn").is_none() && p.beyond_forecast && p.known == "no sea, no weather");
    assert_ne!(p.verdict, Verdict::Go);
}

#[test]
fn rows_on_numbers_of_people_are_heeded() {
    let with = |row: &str| {
        let text = format!("{}\n[[limit]]\n{row}\nwho = \"Juno\"\nwhy = \"our own\"\n", demo(A));
        rules(&plan_of(&text, &options(A_READ, 64)), Severity::Stop)
    };
    assert!(with("id = \"paddle.watchers\"\nvalue = 3.0").iter().any(|r| r == "kayak.light"));
    let text = format!(
        "{}\n[[limit]]\nid = \"landing.night_crew\"\nvalue = 9.0\nwho = \"a\"\nwhy = \"b\"\n[[limit]]\nid = \"landing.night_wave_m\"\nvalue = 0.1\nwho = \"a\"\nwhy = \"b\"\n",
        demo(A)
    );
    assert!(rules(&plan_of(&text, &options(A_READ, 64)), Severity::Stop).iter().any(|r| r == "crew.count"));
}

#[test]
fn a_second_outfit_is_named_as_unjudged() {
    let at = demo(A).find("[rig]").unwrap();
    let text = format!("{}[[outfit]]\nname = \"the spare\"\n\n{}", &demo(A)[..at], &demo(A)[at..]);
    let p = plan_of(&text, &options(A_READ, 64));
    assert!(
        p.findings
            .iter()
            .any(|f| f.rule.as_deref() == Some("outfit.judged") && f.sentence.contains("the spare"))
    );
}

#[test]
fn a_lost_minus_sign_and_a_night_of_a_day_are_refused() {
    let e = try_plan(&edit(&demo(A), "longitude = -97.32", "longitude = 97.32"), &options(A_READ, 32))
        .unwrap_err();
    assert!(e.error.contains("does not fit the zone"), "{e}");
    for until in ["18:00", "17:00"] {
        let text = edit(&demo(A), "until = \"00:30\"", &format!("until = \"{until}\""));
        assert!(try_plan(&text, &options(A_READ, 32)).unwrap_err().error.contains("hours"));
    }
}

#[test]
fn a_rising_tide_asks_to_move_back() {
    let p = plan_of(
        &edit(&demo(A), "toes_above_wash = \"8m\"", "toes_above_wash = \"6m\""),
        &options(A_READ, 64),
    );
    let f = p.findings.iter().find(|f| f.rule.as_deref() == Some("footing.high_water_m")).unwrap();
    assert!(f.severity == Severity::Caution && f.sentence.contains("move back"), "{}", f.sentence);
    assert_ne!(p.verdict, Verdict::Go);
}
