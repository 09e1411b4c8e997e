//! The tide of a plan: by a station, by a typed table, by neither.

use crate::support::{A, A_READ, demo, edit, options, try_plan};
use tailrope::outing::{Finding, Plan, Severity};

const STATION: &str = "tide_station = \"noaa/8779750\"\n";

fn plan_of(text: &str) -> Plan {
    try_plan(text, &options(A_READ, 16)).unwrap_or_else(|e| panic!("{e}"))
}

fn rule<'a>(p: &'a Plan, id: &str) -> Vec<&'a Finding> {
    p.findings.iter().filter(|f| f.rule.as_deref() == Some(id)).collect()
}

fn cite(p: &Plan) -> String {
    p.sources.iter().find(|s| s.id == "tide").map_or_else(String::new, |s| s.cite.clone())
}

fn table(waters: &str) -> String {
    format!(
        "{STATION}tide_table = {{ datum = \"MLLW\", source = \"the harbour office, page 12\", waters = [{waters}] }}\nlevels_above = \"MLLW\"\n"
    )
}

const WATERS: &str = "{ at = \"2026-10-17T12:00\", water = \"low\", height = \"0.1ft\" }, \
    { at = \"2026-10-17T19:40\", water = \"high\", height = \"1.5ft\" }, \
    { at = \"2026-10-18T03:10\", water = \"low\", height = \"0.3ft\" }";

#[test]
fn without_a_station_the_three_nearest_are_named() {
    let p = plan_of(&edit(&demo(A), STATION, ""));
    let asked = rule(&p, "station.km");
    assert_eq!(asked.len(), 1);
    assert_eq!(asked[0].severity, Severity::Caution);
    let remedy = &asked[0].remedy;
    assert_eq!(remedy.matches(" mi").count(), 3, "{remedy}");
    assert!(
        remedy.contains("noaa/8778485 (Padre Island) 4.") && remedy.contains("beach.tide_table"),
        "{remedy}"
    );
    assert!(p.tide.is_empty() && cite(&p).is_empty());
}

#[test]
fn a_nearer_station_and_what_speaks_against_the_named_one_are_told() {
    let notes: Vec<String> =
        rule(&plan_of(&demo(A)), "station.doubt").iter().map(|f| f.sentence.clone()).collect();
    assert!(notes.iter().any(|n| n.contains("Padre Island (noaa/8778485) is nearer")), "{notes:?}");
    // A gauge in the pass behind the beach.
    let text = edit(&demo(A), "8779750", "8779280");
    let notes: Vec<String> =
        rule(&plan_of(&text), "station.doubt").iter().map(|f| f.sentence.clone()).collect();
    assert!(notes.iter().any(|n| n.contains("perhaps it stands behind an inlet")), "{notes:?}");
}

#[test]
fn a_typed_table_goes_before_the_station_on_the_nights_it_covers() {
    let p = plan_of(&edit(&demo(A), STATION, &table(WATERS)));
    let high: Vec<_> = p.tide.iter().filter(|t| t.what == "high").collect();
    assert!(high.len() == 1 && (high[0].height_m - 1.5 * 0.3048).abs() < 1e-9, "{:?}", p.tide);
    assert!(high[0].at.starts_with("2026-10-17T19:40:00-05:00"), "{}", high[0].at);
    assert!(cite(&p).contains("the harbour office, page 12"), "{}", cite(&p));
    assert!(rule(&p, "station").iter().any(|f| f.sentence.contains("typed table")));
    // One that ends before the night does is not used, and that is said.
    let short = WATERS.replace("2026-10-18T03:10", "2026-10-17T23:10");
    let p = plan_of(&edit(&demo(A), STATION, &table(&short)));
    assert!(cite(&p).contains("NOAA CO-OPS"), "{}", cite(&p));
    assert!(rule(&p, "tide.table").iter().any(|f| f.sentence.contains("does not cover this night")));
}

#[test]
fn a_way_out_is_not_dry_beyond_the_end_of_a_table() {
    // The last water is at 00:50, half an hour after the crew is off the sand: no more is known to be dry.
    let soon = WATERS.replace("2026-10-18T03:10", "2026-10-18T00:50");
    let p = plan_of(&edit(&demo(A), STATION, &table(&soon)));
    assert!(cite(&p).contains("harbour office"), "{}", cite(&p));
    let asked = rule(&p, "way_out.h");
    assert!(asked.len() == 1 && asked[0].severity == Severity::Caution, "{asked:?}");
    assert!(asked[0].because[0].value < 1.0, "{asked:?}");
    assert!(rule(&plan_of(&demo(A)), "way_out.h").is_empty());
    // Two hours more are known, and dry.
    assert!(rule(&plan_of(&edit(&demo(A), STATION, &table(WATERS))), "way_out.h").is_empty());
}

#[test]
fn a_table_that_cannot_be_one_is_refused_with_its_line() {
    for (from, to, place) in [
        ("19:40", "12:10", "beach.tide_table.waters[1]"),
        ("\"high\"", "\"low\"", "beach.tide_table.waters[1]"),
        ("2026-10-17T19:40", "evening", "beach.tide_table.waters[1].at"),
    ] {
        let text = edit(&demo(A), STATION, &table(&WATERS.replace(from, to)));
        let e = try_plan(&text, &options(A_READ, 16)).unwrap_err();
        assert!(e.place.contains(place) && e.place.contains("line"), "{e}");
    }
}
