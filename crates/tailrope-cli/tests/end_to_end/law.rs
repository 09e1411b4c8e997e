use crate::run::tailrope;
use serde_json::Value;
use std::fs;

fn check(args: &str) -> (i32, Value) {
    let out = tailrope(&format!("law check {args} --format json")).out();
    (out.code, out.json("tailrope.law/1"))
}

#[test]
fn stale_packs_allow_no_go_and_each_finding_says_by_whose_rule() {
    let (code, j) = check("--demo");
    assert_eq!((code, &j["verdict"]), (1, &"caution".into()));
    let findings = j["findings"].as_array().unwrap();
    assert!(findings.iter().any(|f| f["verdict"] == "stale"), "{findings:?}");
    for f in findings {
        for key in ["rule", "pack", "kind", "effect", "stage", "summary", "authority", "contact"] {
            assert!(f[key].as_str().is_some_and(|s| !s.is_empty()), "{key}: {f}");
        }
        assert!(f["cite"]["evidence"].is_string() && f["inputs"].is_array() && f["missing"].is_array());
    }
    let order = |f: &Value| ["stop", "caution", "note"].iter().position(|s| f["severity"] == *s).unwrap();
    assert!(findings.windows(2).all(|w| order(&w[0]) <= order(&w[1])), "worst first");
    assert!(j["reading_aid"].as_str().unwrap().contains("agency"));
}

#[test]
fn read_before_the_review_day_nothing_is_stale() {
    let (_, j) = check("--demo --read-on 2026-06-01");
    assert!(j["findings"].as_array().unwrap().iter().all(|f| f["verdict"] != "stale"));
    assert_eq!(j["read_on"], "2026-06-01");
}

#[test]
fn a_forbidden_rig_is_a_stop_and_the_plan_agrees() {
    let (code, j) = check("--demo two-hands");
    assert_eq!((code, &j["verdict"]), (2, &"stop".into()));
    let dir = tempfile::tempdir().unwrap();
    tailrope("demo --write").arg(dir.path()).exits(0);
    let path = dir.path().join("pelican-bar.toml");
    let shipped = fs::read_to_string(&path).unwrap();
    fs::write(&path, shipped.replacen("style = \"circle\"", "style = \"j\"", 1)).unwrap();
    let run =
        |verb: &str| tailrope(&format!("{verb} --read-on 2026-10-16 --format json")).arg(&path).exits(2);
    let law = run("law check").json("tailrope.law/1");
    let barred: Vec<&Value> = law["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["severity"] == "stop")
        .map(|f| &f["rule"])
        .collect();
    assert!(barred.contains(&&"us-tx/circle-hook".into()), "{barred:?}");
    let plan = run("plan --fights 64").json("tailrope.plan/1");
    let stops = plan["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["severity"] == "stop" && f["topic"] == "law");
    let stops: Vec<&Value> = stops.map(|f| &f["rule"]).collect();
    assert!(barred.iter().all(|r| stops.contains(r)), "{barred:?} {stops:?}");
}

#[test]
fn a_pack_is_shown_with_those_above_it_and_what_it_is_silent_about() {
    tailrope("law show us-tx-padre-island").exits(0).says(&[
        "us-fed-general",
        "us-tx/circle-hook",
        "not read: ask",
        "PAST ITS REVIEW",
        "reading aid",
    ]);
    let j = tailrope("law show za --read-on 2026-01-01 --format json").exits(0).json("tailrope.law-show/1");
    assert_eq!(j["packs"][0]["id"], "za");
    assert_eq!(j["packs"][0]["stale"], false);
    assert_eq!(j["packs"][0]["coverage"]["leader"], "none");
    tailrope("law show").exits(0).says(&["na", "us-fl"]);
    tailrope("law show atlantis").exits(3).complains(&["atlantis", "do:"]);
    tailrope("law check").exits(3).complains(&["no file is given"]);
}

#[test]
fn an_own_pack_counts_and_is_named_as_own() {
    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join("law")).unwrap();
    let shipped = include_str!("../../../../data/law/us-tx.toml");
    let fresh = shipped.replacen("review_by = \"2026-06-30\"", "review_by = \"2027-06-30\"", 1);
    let fresh = if fresh == shipped {
        shipped.replacen("review_by = 2026-06-30", "review_by = 2027-06-30", 1)
    } else {
        fresh
    };
    assert_ne!(fresh, shipped);
    fs::write(dir.path().join("law/us-tx.toml"), fresh).unwrap();
    let out = tailrope("law check --demo --format json").arg("--data").arg(dir.path()).exits(1);
    let j = out.json("tailrope.law/1");
    let pack = j["packs"].as_array().unwrap().iter().find(|p| p["id"] == "us-tx").unwrap().clone();
    assert_eq!((&pack["own"], &pack["stale"]), (&true.into(), &false.into()));
    assert!(
        j["findings"].as_array().unwrap().iter().all(|f| f["pack"] != "us-tx" || f["verdict"] != "stale")
    );
    fs::write(dir.path().join("law/us-tx.toml"), shipped.replacen("\nsummary = ", "\nsumary = ", 1)).unwrap();
    tailrope("law check --demo").arg("--data").arg(dir.path()).exits(3).complains(&[
        "us-tx.toml",
        "line",
        "sumary",
    ]);
}

#[test]
fn three_metres_of_metal_where_18_inches_are_allowed_are_told_when_planning() {
    let dir = tempfile::tempdir().unwrap();
    tailrope("demo --write").arg(dir.path()).exits(0);
    let path = dir.path().join("pelican-bar.toml");
    let shipped = fs::read_to_string(&path).unwrap();
    let shipped =
        shipped.replacen("\"us-tx-padre-island\"", "\"us-ny\"", 1).replacen("[\"park\"]", "[\"state\"]", 1);
    let findings = |metal: &str| {
        let text = shipped.replacen("length = \"1.5m\"", &format!("length = \"{metal}\""), 1);
        assert!(text.contains(metal));
        fs::write(&path, text).unwrap();
        let out = tailrope("plan --read-on 2026-10-16 --fights 64 --format json").arg(&path).out();
        let plan = out.json("tailrope.plan/1");
        let all = plan["findings"].as_array().unwrap().clone();
        all.into_iter()
            .filter(|f| f["rule"].as_str().is_some_and(|r| r.starts_with("us-ny/")))
            .collect::<Vec<_>>()
    };
    let of_leader = |all: &[Value]| {
        all.iter().filter(|f| f["rule"] == "us-ny/metal-leader" && f["severity"] == "stop").count()
    };
    assert_eq!(of_leader(&findings("3m")), 1, "{:#?}", findings("3m"));
    assert_eq!(of_leader(&findings("0.45m")), 0, "{:#?}", findings("0.45m"));
}
