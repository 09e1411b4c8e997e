//! Law: the scenarios of `fixtures/law-vectors.json`, whose verdicts were written by hand from each rule's
//! words (not by this code), against all shipped packs.

use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use tailrope::facts::PackText;
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
