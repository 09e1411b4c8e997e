//! Law: the scenarios of `fixtures/law-vectors.json`, whose verdicts were written by hand from each rule's
//! words (not by this code), against all shipped packs.

use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use tailrope::facts::PackText;
use tailrope::law::Given::{Length as Exact, LengthBetween};
use tailrope::law::{
    Call, Confirmation, FactSet, Finding, LawPacks, LawReport, Level, Query, Severity, Spot, Stage, Verdict,
    check,
};
use tailrope::quantity::Length;

fn data() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data")
}

/// Names and texts of all shipped packs.
fn shipped() -> BTreeMap<String, String> {
    std::fs::read_dir(data().join("law"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|p| (p.file_name().unwrap().to_str().unwrap().to_owned(), std::fs::read_to_string(&p).unwrap()))
        .collect()
}

fn facts_text() -> String {
    std::fs::read_to_string(data().join("law-facts.toml")).unwrap()
}

fn load(extra: &[(String, String)]) -> LawPacks {
    let (facts, packs) = (facts_text(), shipped());
    let texts: Vec<PackText<'_>> = packs.iter().map(|(f, t)| PackText::new(f, t)).collect();
    let own: Vec<PackText<'_>> = extra.iter().map(|(f, t)| PackText::new(f, t)).collect();
    LawPacks::load(&PackText::new("law-facts.toml", &facts), &texts, &own).unwrap()
}

fn vectors() -> Json {
    serde_json::from_str(include_str!("fixtures/law-vectors.json")).unwrap()
}

fn strings(v: &Json) -> Vec<String> {
    v.as_array().map(|a| a.iter().map(|s| s.as_str().unwrap().to_owned()).collect()).unwrap_or_default()
}

/// Base facts, overlaid with `set`, less `unset`.
fn facts_of(law: &LawPacks, base: &Json, vector: &Json) -> FactSet {
    let mut facts = FactSet::new(law.vocabulary());
    for from in [base, &vector["set"]] {
        for (k, v) in from.as_object().unwrap() {
            facts.set_json(k, v).unwrap();
        }
    }
    for k in strings(&vector["unset"]) {
        facts.unset(&k);
    }
    facts
}

fn run(law: &LawPacks, base: &Json, vector: &Json) -> LawReport {
    let packs = strings(&vector["packs"]);
    let packs: Vec<&str> = packs.iter().map(String::as_str).collect();
    let query = Query {
        stage: Stage::of_word(vector["stage"].as_str().unwrap()).unwrap(),
        ..Query::plan(&packs, vector["today"].as_str().unwrap().parse().unwrap())
    };
    check(law, &facts_of(law, base, vector), &query).unwrap()
}

fn extra_packs(vector: &Json) -> Vec<(String, String)> {
    vector["extra_packs"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|p| {
            let file = serde_json::json!({ "format": "rule-packs", "format_version": "0.2", "pack": [p] });
            (format!("{}.toml", p["id"].as_str().unwrap()), toml::to_string(&file).unwrap())
        })
        .collect()
}

/// The report of one scenario of the fixture, with changes to its facts.
fn scenario(id: &str, change: impl FnOnce(&mut Json)) -> LawReport {
    let all = vectors();
    let mut v = all["vectors"].as_array().unwrap().iter().find(|v| v["id"] == id).unwrap().clone();
    change(&mut v);
    run(&load(&extra_packs(&v)), &all["base"], &v)
}

fn breaches(report: &LawReport) -> BTreeSet<String> {
    report.findings.iter().filter(|f| f.verdict == Verdict::Breach).map(|f| f.rule.clone()).collect()
}

fn the<'a>(report: &'a LawReport, rule: &str) -> &'a Finding {
    report.findings.iter().find(|f| f.rule == rule).unwrap()
}

#[test]
fn every_scenario_gives_its_verdicts() {
    let all = vectors();
    let plain = load(&[]);
    let mut wrong = Vec::new();
    let list = all["vectors"].as_array().unwrap();
    assert_eq!(list.len(), 160);
    for v in list {
        let id = v["id"].as_str().unwrap();
        let extra = extra_packs(v);
        let with_extra;
        let law = if extra.is_empty() {
            &plain
        } else {
            with_extra = load(&extra);
            &with_extra
        };
        let report = run(law, &all["base"], v);
        for (rule, want) in v["expect"].as_object().unwrap() {
            assert!(law.rule(rule).is_some(), "{id}: no rule {rule}");
            let got = report.verdict_of(rule).word();
            if got != want {
                wrong.push(format!("{id}: {rule} is {got}, expected {want}"));
            }
        }
        if v["breaches"].is_array() {
            let want: BTreeSet<String> = strings(&v["breaches"]).into_iter().collect();
            if breaches(&report) != want {
                wrong.push(format!("{id}: breaches {:?}, expected {want:?}", breaches(&report)));
            }
        }
        for (pack, kinds) in v["ask_kinds"].as_object().into_iter().flatten() {
            for kind in strings(kinds) {
                if !report.ask.iter().any(|a| a.pack == *pack && a.kind == kind) {
                    wrong.push(format!("{id}: does not ask {pack} about {kind}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// The coverage table as the research counted it: rules by evidence, newest page, kinds covered in full.
#[test]
fn the_coverage_table_agrees_with_the_research() {
    let law = load(&[]);
    let rows = tailrope::law::coverage(&law, "2026-05-01".parse().unwrap());
    let mut seen = 0;
    for line in include_str!("fixtures/law-coverage.csv").lines().skip(2) {
        let f: Vec<&str> = line.split(';').collect();
        let row = rows.iter().find(|r| r.pack == f[0]).unwrap_or_else(|| panic!("no pack {}", f[0]));
        let counts = [row.rules, row.seen, row.second_hand, row.recalled].map(|n| n.to_string());
        assert_eq!(counts.each_ref().map(String::as_str), [f[2], f[3], f[4], f[5]], "{}", f[0]);
        assert_eq!(row.level.word(), f[1]);
        assert_eq!(row.as_of.map_or(String::new(), |d| d.to_string()), f[6], "{}", f[0]);
        let full: BTreeSet<&str> = row.full.iter().map(|k| k.word()).collect();
        assert_eq!(full, f[7].split(',').filter(|s| !s.is_empty()).collect(), "{}", f[0]);
        seen += 1;
    }
    assert_eq!((seen, rows.len()), (38, 38));
    assert_eq!(rows.iter().map(|r| r.rules).sum::<usize>(), 209);
}

/// Not after sharks, hook exactly at 1.5 in: outside the definition; at 39 mm inside it. A harness counts too.
#[test]
fn q04_the_gear_decides_not_the_target() {
    let with_gap = |mm: f64| scenario("fl-gap-at-limit", |v| v["set"]["gear.hook.gap_mm"] = mm.into());
    assert_eq!(with_gap(38.1).verdict_of("us-fl/permit"), Verdict::Silent);
    let bound = with_gap(39.0);
    assert_eq!(bound.verdict_of("us-fl/permit"), Verdict::Breach);
    assert_eq!(bound.defined, ["fl.shore_based_shark"]);
    assert_eq!(bound.verdict, Call::Stop);
    let harness = scenario("fl-gap-at-limit", |v| v["set"]["gear.harness"] = true.into());
    assert_eq!(harness.verdict_of("us-fl/permit"), Verdict::Breach);
    // The press notice that differs at exactly 1.5 in is shown with the definition.
    assert!(the(&bound, "us-fl/def-shore-based").note.as_ref().unwrap().contains("1.5 in or larger"));
}

/// Drone drops: stop anywhere in the country, with the conflict shown and the agency to ask.
#[test]
fn q06_a_drone_stops_the_plan_and_keeps_the_conflict() {
    let report = scenario("tx-plan-good", |v| v["set"]["bait.delivery"] = "drone".into());
    let drone = the(&report, "us-fed-general/drone-bait");
    assert_eq!((drone.verdict, drone.severity), (Verdict::Breach, Severity::Stop));
    assert!(drone.conflict.as_ref().unwrap().contains("state's statute"));
    assert!(report.ask.iter().any(|a| a.pack == "us-tx" && a.kind == "bait-delivery"));
    assert!(!breaches(&scenario("tx-plan-good", |_| ())).contains("us-fed-general/drone-bait"));
}

/// Whether a season-long ladder is a tournament is not defined: asked, never cleared.
#[test]
fn q08_what_may_be_a_tournament_is_asked() {
    let ladder = scenario("nc-tournament-1may", |v| {
        v["set"]["trip.date"] = "2026-07-10".into();
        v["set"]["trip.tournament"] = Json::Null;
        v["unset"] = serde_json::json!(["trip.tournament"]);
    });
    let f = the(&ladder, "us-nc/tournament");
    assert_eq!(f.verdict, Verdict::NeedFact);
    assert_eq!(f.missing, ["trip.tournament"]);
    assert!(f.change.as_ref().unwrap().contains("ladder"));
    let elsewhere = scenario("nc-tournament-1may", |v| v["set"]["trip.place"] = serde_json::json!([]));
    assert_eq!(elsewhere.verdict_of("us-nc/tournament"), Verdict::Silent);
    assert_ne!(elsewhere.verdict_of("us-nc/circle-hook"), Verdict::Silent);
}

/// Wire and gap together: both over, closed; either alone not; widest gap only: ask.
#[test]
fn q36_wire_and_gap_count_together() {
    let at = |gap: f64, wire: f64, other_fish: bool| {
        scenario("c6-ma-outer-cape", |v| {
            v["set"]["gear.hook.point_to_shank_mm"] = gap.into();
            v["set"]["gear.hook.gap_mm"] = 30.0.into();
            v["set"]["gear.leader.metal_length_mm"] = wire.into();
            if other_fish {
                v["set"]["trip.targets_sharks"] = false.into();
                v["set"]["trip.intent_species"] = serde_json::json!([]);
            }
        })
        .verdict_of("us-ma/closed-shore")
    };
    assert_eq!(at(17.0, 508.0, true), Verdict::Breach);
    assert_ne!(at(15.875, 508.0, true), Verdict::Breach);
    assert_ne!(at(17.0, 457.2, true), Verdict::Breach);
    let widest = |mm: f64| scenario("ma-wide-gap-not-enough", |v| v["set"]["gear.hook.gap_mm"] = mm.into());
    assert_eq!(widest(25.0).verdict_of("us-ma/closed-shore"), Verdict::NeedFact);
    assert_eq!(the(&widest(25.0), "us-ma/closed-shore").missing, ["gear.hook.point_to_shank_mm"]);
    assert_ne!(widest(15.8).verdict_of("us-ma/closed-shore"), Verdict::NeedFact);
}

/// Sand tiger or sandbar: whichever it is, it stays in the water, no tape, no picture.
#[test]
fn q56_two_candidates_on_the_list_settle_it() {
    let fish = |candidates: Json| {
        let all = vectors();
        let law = load(&[]);
        let mut v = all["vectors"]
            .as_array()
            .unwrap()
            .iter()
            .find(|v| v["id"] == "c6-ny-kayak-wire-sandtiger")
            .unwrap()
            .clone();
        v["set"]["fish.species"] = "unknown".into();
        v["set"]["fish.candidates"] = candidates;
        let facts = facts_of(&law, &all["base"], &v);
        let q = Query { stage: Stage::Landed, ..Query::plan(&["us-ny"], "2026-05-01".parse().unwrap()) };
        tailrope::law::fish_law(&law, &facts, &q).unwrap()
    };
    let listed = fish(serde_json::json!(["SAND_TIGER", "SANDBAR"]));
    assert_eq!(listed.status, Some(tailrope::law::Status::NoTarget));
    assert!(!listed.assumed && listed.in_water());
    assert!(listed.has(tailrope::law::Atom::NoPhotoDelay));
    let open = fish(serde_json::json!(["*SHARK"]));
    assert!(open.status <= Some(tailrope::law::Status::Prohibited) && open.assumed && open.in_water());
    let drum = fish(serde_json::json!(["RED_DRUM"]));
    assert_eq!(drum.status, None);
    assert!(!drum.has(tailrope::law::Atom::NoPhotoDelay));
}

/// Only a straight fork length decides: 64 in of total length is none, and a converted one leaves it open.
#[test]
fn q62_a_converted_length_is_asked_never_passed() {
    let all = vectors();
    let law = load(&[]);
    let v = all["vectors"].as_array().unwrap().iter().find(|v| v["id"] == "fl-bull-at-54").unwrap().clone();
    let report = |set: &dyn Fn(&mut FactSet)| {
        let mut facts = facts_of(&law, &all["base"], &v);
        facts.unset("fish.fork_length_mm");
        set(&mut facts);
        let q = Query { stage: Stage::Landed, ..Query::plan(&["us-fl"], "2026-05-01".parse().unwrap()) };
        check(&law, &facts, &q).unwrap().verdict_of("us-fl/size-54")
    };
    let set = |f: &mut FactSet, v: tailrope::law::Given| {
        f.set("fish.fork_length_mm", v).unwrap();
    };
    let of = |text: &str| text.parse::<Length>().unwrap();
    assert_eq!(report(&|f| set(f, Exact(of("54in")))), Verdict::Comply);
    assert_eq!(report(&|f| set(f, Exact(of("4ft 6in")))), Verdict::Comply);
    assert_eq!(report(&|f| set(f, Exact(of("135.5cm")))), Verdict::Breach);
    assert_eq!(report(&|f| set(f, LengthBetween(of("133cm"), of("138cm")))), Verdict::NeedFact);
    assert_eq!(report(&|f| set(f, LengthBetween(of("130cm"), of("137cm")))), Verdict::Breach);
    let total = |f: &mut FactSet| {
        f.set("fish.total_length_mm", of("64in")).unwrap();
    };
    assert_eq!(report(&total), Verdict::NeedFact);
}

/// A finding carries its source, what it used, and what would change it.
#[test]
fn a_finding_cites_and_says_what_would_change_it() {
    let report = scenario("c6-ny-kayak-wire-sandtiger", |_| ());
    let f = the(&report, "us-ny/metal-leader");
    assert_eq!(f.cite.section.split(' ').next(), Some("6"));
    assert_eq!(f.cite.effective.unwrap().to_string(), "2024-04-17");
    assert_eq!(f.cite.evidence.word(), "SEEN-SECONDARY");
    assert!(f.cite.url.starts_with("https://") && f.cite.confidence == 0.95);
    let change = f.change.as_ref().unwrap();
    assert!(
        change.contains("from 2000 mm down to 457.2 mm") && change.contains("artificial-lure"),
        "{change}"
    );
    let input = f.inputs.iter().find(|i| i.fact == "gear.leader.metal_length_mm").unwrap();
    assert_eq!(serde_json::to_value(input).unwrap()["value"], 2000.0);
    assert_eq!(report.verdict, Call::Stop);
    assert_eq!(report.findings[0].severity, Severity::Stop);
    assert!(report.reading_aid.contains("agency"));
    let chum = the(
        &scenario("c6-ny-kayak-wire-sandtiger", |v| {
            v["set"]["chum.used"] = true.into();
            v["set"]["chum.kind"] = "mollusc".into();
        }),
        "us-ny/chum-from-shore",
    )
    .clone();
    assert_eq!((chum.verdict, chum.severity), (Verdict::Comply, Severity::Caution));
}

/// The keys of `tailrope.law/1`, as the commands promise them.
#[test]
fn the_report_has_the_promised_keys() {
    let json = serde_json::to_value(scenario("c6-fl-no-permit", |_| ())).unwrap();
    assert_eq!(json["schema"], "tailrope.law/1");
    for key in [
        "place",
        "packs",
        "trip_date",
        "read_on",
        "stage",
        "verdict",
        "findings",
        "ask",
        "defined",
        "reading_aid",
    ] {
        assert!(json.get(key).is_some(), "{key}");
    }
    for key in ["id", "level", "as_of", "review_by", "stale", "hash"] {
        assert!(json["packs"][0].get(key).is_some(), "{key}");
    }
    let f = &json["findings"][0];
    for key in [
        "rule",
        "pack",
        "kind",
        "effect",
        "stage",
        "verdict",
        "conflict",
        "person",
        "summary",
        "inputs",
        "missing",
        "change",
        "note",
        "report_to",
        "cite",
        "authority",
        "contact",
    ] {
        assert!(f.get(key).is_some(), "{key}");
    }
    for key in ["section", "title", "url", "effective", "as_of", "evidence", "confidence"] {
        assert!(f["cite"].get(key).is_some(), "{key}");
    }
    assert_eq!((&json["verdict"], &f["verdict"]), (&"stop".into(), &"breach".into()));
    for key in ["pack", "kind", "contact"] {
        assert!(json["ask"][0].get(key).is_some(), "{key}");
    }
    let order: Vec<String> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["severity"].as_str().unwrap().to_owned())
        .collect();
    let rank = |s: &str| ["stop", "caution", "note"].iter().position(|x| *x == s).unwrap();
    assert!(order.windows(2).all(|w| rank(&w[0]) <= rank(&w[1])));
}

/// Each person is tested, minors by their own rules; an adult's permit answers for the minor.
#[test]
fn every_person_is_tested() {
    let law = load(&[]);
    let all = vectors();
    let v = all["vectors"].as_array().unwrap().iter().find(|v| v["id"] == "fl-harness").unwrap().clone();
    let mut facts = facts_of(&law, &all["base"], &v);
    facts.unset("crew.adult_with_documents").unset("person.age").unset("person.documents");
    facts
        .set_for("Ann", "person.age", 40)
        .unwrap()
        .set_for("Ann", "person.documents", ["fl-shore-shark-permit"])
        .unwrap();
    facts
        .set_for("Bo", "person.age", 22)
        .unwrap()
        .set_for("Bo", "person.documents", [] as [&str; 0])
        .unwrap();
    facts
        .set_for("Cy", "person.age", 12)
        .unwrap()
        .set_for("Cy", "person.documents", [] as [&str; 0])
        .unwrap();
    facts.add_person("Di");
    let q = Query::plan(&["us-fl"], "2026-05-01".parse().unwrap());
    let of = |facts: &FactSet, rule: &str| -> BTreeMap<String, Verdict> {
        let r = check(&law, facts, &q).unwrap();
        r.findings.iter().filter(|f| f.rule == rule).map(|f| (f.person.clone().unwrap(), f.verdict)).collect()
    };
    let permit = of(&facts, "us-fl/permit");
    assert_eq!(
        (permit["Ann"], permit["Bo"], permit["Di"]),
        (Verdict::Comply, Verdict::Breach, Verdict::NeedFact)
    );
    assert!(!permit.contains_key("Cy"));
    assert_eq!(of(&facts, "us-fl/education")["Cy"], Verdict::Comply);
    // Without Ann nobody's permit covers the minor; while Di is a riddle it stays open, then it is a breach.
    facts.set_for("Ann", "person.documents", [] as [&str; 0]).unwrap();
    assert_eq!(of(&facts, "us-fl/education")["Cy"], Verdict::NeedFact);
    facts
        .set_for("Di", "person.age", 30)
        .unwrap()
        .set_for("Di", "person.documents", [] as [&str; 0])
        .unwrap();
    assert_eq!(of(&facts, "us-fl/education")["Cy"], Verdict::Breach);
    assert!(facts.set_for("Di", "gear.harness", true).is_err());
}

/// Bait far out may lie in the state but outside the closed zone; the worst of the spots counts.
#[test]
fn each_spot_is_tested_against_its_own_place() {
    let law = load(&[]);
    let base = vectors()["base"].clone();
    let at = |stand: &str, bait: &str| {
        let mut facts = FactSet::new(law.vocabulary());
        for (k, v) in base.as_object().unwrap() {
            facts.set_json(k, v).unwrap();
        }
        facts.set("gear.leader.metal_length_mm", "0.6m".parse::<Length>().unwrap()).unwrap();
        facts.set("trip.bait_position.dist_from_shore_m", "300m".parse::<Length>().unwrap()).unwrap();
        facts.set_place(Spot::Stand, vec!["au-wa".into(), stand.into()]).unwrap();
        facts.set_place(Spot::Bait, vec!["au-wa".into(), bait.into()]).unwrap();
        let r = check(&law, &facts, &Query::plan(&["au-wa"], "2026-01-01".parse().unwrap())).unwrap();
        breaches(&r).iter().any(|b| b.contains("wire"))
    };
    assert!(at("wa-perth-metro", "wa-perth-metro"));
    assert!(at("wa-west-coast", "wa-perth-metro"));
    assert!(!at("wa-west-coast", "wa-west-coast"));
}

/// What no pack covers is asked: silent kinds, a level without a pack, a place no pack knows.
#[test]
fn silence_is_a_question() {
    let law = load(&[]);
    let mut facts = FactSet::new(law.vocabulary());
    let day = "2026-05-01".parse().unwrap();
    let q = Query { lies_in: vec![Level::State, Level::City], ..Query::plan(&["us-tx"], day) };
    let r = check(&law, &facts, &q).unwrap();
    assert!(r.ask.iter().any(|a| a.pack == "city") && !r.ask.iter().any(|a| a.pack == "state"));
    let texas = r.ask_joined.iter().find(|a| a.authority.contains("Texas")).unwrap();
    assert!(texas.sentence.contains("leader") && texas.sentence.contains("us-tx/") != texas.rules.is_empty());
    let authorities: BTreeSet<&str> = r.ask_joined.iter().map(|a| a.authority.as_str()).collect();
    assert_eq!(authorities.len(), r.ask_joined.len());
    assert_ne!(r.verdict, Call::Go);
    let none = check(&law, &facts, &Query::plan(&[], day)).unwrap();
    assert_eq!((none.verdict, none.ask.len()), (Call::Caution, 1));
    facts.set("trip.place", ["tx-padre-iland"]).unwrap();
    let lost = check(&law, &facts, &Query::plan(&["us-tx"], day)).unwrap();
    assert!(lost.ask.iter().any(|a| a.pack == "tx-padre-iland"));
    assert!(check(&law, &facts, &Query::plan(&["us-xx"], day)).unwrap_err().allowed.contains("us-"));
    assert!(!lost.missing().is_empty());
}

/// An agency's answer turns a likely breach on its own day only, and never a breach.
#[test]
fn a_confirmation_counts_for_its_day() {
    let law = load(&[]);
    let all = vectors();
    let of = |id: &str, pack: &str, rule: &str, on: &str, lawful: bool| {
        let v = all["vectors"].as_array().unwrap().iter().find(|v| v["id"] == id).unwrap().clone();
        let q = Query {
            confirmations: vec![Confirmation {
                about: rule.into(),
                on: on.parse().unwrap(),
                lawful,
                said: "the desk".into(),
            }],
            ..Query::plan(&[pack], "2026-05-01".parse().unwrap())
        };
        check(&law, &facts_of(&law, &all["base"], &v), &q).unwrap().verdict_of(rule)
    };
    assert_eq!(of("va-j-hook", "us-va", "us-va/circle-hook", "2026-05-01", true), Verdict::Inform);
    assert_eq!(of("va-j-hook", "us-va", "us-va/circle-hook", "2026-04-30", true), Verdict::LikelyBreach);
    assert_eq!(of("va-j-hook", "us-va", "us-va/circle-hook", "2026-05-01", false), Verdict::Breach);
    assert_eq!(of("c6-fl-no-permit", "us-fl", "us-fl/permit", "2026-05-01", true), Verdict::Breach);
    assert_eq!(of("ny-leader-at-18in", "us-ny", "us-ny/circle-hook", "2026-05-01", true), Verdict::Inform);
}
