//! Typed tables that leave waters out or levels that may be above another datum, stations that may stand behind an
//! inlet, nights that are over.

use crate::support::{A, A_READ, demo, edit, facts, options, try_plan};
use jiff::Timestamp;
use tailrope::Outing;
use tailrope::facts::PackText;
use tailrope::outing::plans::following;
use tailrope::outing::{Finding, Nights, Options, Plan, Plans, Severity, one_after_another};

const STATION: &str = "tide_station = \"noaa/8779750\"\n";
const CUT: &str = "way_out = { cut_off_at = \"1.8m\" }";

fn plan_of(text: &str) -> Plan {
    try_plan(text, &options(A_READ, 16)).unwrap_or_else(|e| panic!("{e}"))
}

fn rule<'a>(p: &'a Plan, id: &str) -> Vec<&'a Finding> {
    p.findings.iter().filter(|f| f.rule.as_deref() == Some(id)).collect()
}

fn sentences(p: &Plan, id: &str) -> String {
    let said = |f: &&Finding| format!("{}: {}", f.severity.word(), f.sentence);
    rule(p, id).iter().map(said).collect::<Vec<_>>().join(" ")
}

/// The demo with a table above mean sea level typed in.
fn with_table(waters: &[(&str, &str, &str)], keys: &str) -> String {
    let waters: Vec<String> = waters
        .iter()
        .map(|(at, water, height)| {
            format!("{{ at = \"2026-10-{at}\", water = \"{water}\", height = \"{height}\" }}")
        })
        .collect();
    let table = format!(
        "{STATION}tide_table = {{ datum = \"MSL\", source = \"the harbour office\", waters = [{}] }}\n{keys}",
        waters.join(", ")
    );
    edit(&demo(A), STATION, &table)
}

const LOW: [(&str, &str, &str); 3] =
    [("17T05:00", "low", "-0.4m"), ("17T20:00", "high", "0.3m"), ("18T06:00", "low", "-0.4m")];
const WHOLE: [(&str, &str, &str); 5] = [
    ("17T05:00", "low", "0m"),
    ("17T11:00", "high", "2m"),
    ("17T17:00", "low", "0m"),
    ("17T23:15", "high", "2m"),
    ("18T05:30", "low", "0m"),
];

#[test]
fn a_level_of_the_way_out_is_never_held_against_a_datum_that_nobody_said() {
    // By the station alone the way out is under water.
    let low = |text: &str| edit(text, CUT, "way_out = { cut_off_at = \"0.78m\" }");
    let by_station = plan_of(&low(&demo(A)));
    assert_eq!(rule(&by_station, "way_out.h").len(), 1, "{}", sentences(&by_station, "way_out.h"));
    // A table above another datum makes of it a question, with what to write.
    let p = plan_of(&low(&with_table(&LOW, "")));
    let asked = rule(&p, "way_out.h");
    assert!(asked.len() == 1 && asked[0].severity == Severity::Caution, "{asked:?}");
    assert!(asked[0].sentence.starts_with("Not known") && asked[0].remedy.contains("beach.levels_above"));
    // Said, and the same as the table's: reckoned.
    let p = plan_of(&low(&with_table(&LOW, "levels_above = \"msl\"\n")));
    assert!(rule(&p, "way_out.h").iter().all(|f| !f.sentence.starts_with("Not known")));
    // Said, but nobody knows how it lies to the table's.
    let p = plan_of(&low(&with_table(&LOW, "levels_above = \"MLLW\"\n")));
    let asked = rule(&p, "way_out.h");
    assert!(asked.len() == 1 && asked[0].sentence.starts_with("Not known"), "{asked:?}");
    assert!(asked[0].remedy.contains("above MLLW") && asked[0].remedy.contains("above MSL"), "{asked:?}");
}

#[test]
fn a_level_above_mean_sea_level_is_turned_to_the_datum_of_the_station() {
    let of = |level: &str, above: &str| {
        let text = edit(&demo(A), CUT, &format!("way_out = {{ cut_off_at = \"{level}\" }}\n{above}"));
        sentences(&plan_of(&text), "way_out.h")
    };
    // The station's mean level lies some 0.27 m above its datum: so much higher is the same level above that.
    assert!(of("1.1m", "levels_above = \"MLLW\"").starts_with("stop"));
    assert_eq!(of("1.1m", ""), of("1.1m", "levels_above = \"MLLW\""));
    assert_eq!(of("1.1m", "levels_above = \"MSL\""), "");
}

#[test]
fn a_water_left_out_of_a_table_is_not_drawn_over() {
    let keys = "levels_above = \"MSL\"\n";
    let cut = |text: String| edit(&text, CUT, "way_out = { cut_off_at = \"1.9m\" }");
    let whole = plan_of(&cut(with_table(&WHOLE, keys)));
    assert!(sentences(&whole, "way_out.h").starts_with("stop"), "{}", sentences(&whole, "way_out.h"));
    let gap = [WHOLE[0], WHOLE[1], WHOLE[4]];
    let p = plan_of(&cut(with_table(&gap, keys)));
    let said = sentences(&p, "tide.table");
    assert!(said.starts_with("caution") && said.contains("2026-10-17 11:00"), "{said}");
    assert!(said.contains("2026-10-18 05:30") && said.contains("Padre Island (South End)"), "{said}");
    assert!(p.tide_source.as_ref().unwrap().source.contains("NOAA CO-OPS"));
    // Without a station no tide at all is taken from it.
    let p = plan_of(&edit(&cut(with_table(&gap, keys)), STATION, ""));
    assert!(p.tide.is_empty() && !rule(&p, "way_out.h").is_empty() && !rule(&p, "tide.table").is_empty());
}

#[test]
fn a_table_is_held_against_the_station_and_says_where_it_is_for() {
    let p = plan_of(&with_table(&WHOLE, ""));
    assert!(sentences(&p, "tide.table").contains("Padre Island (South End)"), "{p:?}");
    let asked = rule(&p, "station.km");
    assert!(asked.len() == 1 && asked[0].remedy.contains("latitude"), "{asked:?}");
    let here = |north: &str| {
        let place = format!("datum = \"MSL\", latitude = {north}, longitude = -97.32,");
        plan_of(&edit(&with_table(&WHOLE, ""), "datum = \"MSL\",", &place))
    };
    assert!(rule(&here("26.62"), "station.km").is_empty());
    // Two degrees further north it is another coast's.
    assert!(sentences(&here("28.62"), "station.km").contains("place of the tide table"));
}

#[test]
fn a_station_behind_an_inlet_is_a_caution_and_assures_no_way_out() {
    let inner = edit(&demo(A), "noaa/8779750", "noaa/8779280");
    let p = plan_of(&inner);
    let said = sentences(&p, "station.doubt");
    assert!(said.contains("caution: ") && said.contains("behind an inlet"), "{said}");
    let asked = rule(&p, "way_out.h");
    assert!(asked.len() == 1 && asked[0].severity == Severity::Caution, "{asked:?}");
    assert!(asked[0].remedy.contains("inlet"), "{asked:?}");
    // What it forbids stays forbidden.
    let p = plan_of(&edit(&inner, CUT, "way_out = { cut_off_at = \"0.1m\" }"));
    assert_eq!(rule(&p, "way_out.h")[0].severity, Severity::Stop);
}

#[test]
fn several_nights_say_whose_tide_each_has_and_its_licence() {
    let nights = |text: &str| {
        let outing = Outing::read(&PackText::new("night.toml", text)).unwrap();
        let planner = Nights::new(facts(), &one_after_another);
        let all = following(&outing, 2).unwrap();
        let made: Vec<Plan> = all.iter().map(|o| planner.plan(o, &options(A_READ, 16)).unwrap()).collect();
        Plans::of(&made)
    };
    let river = "ticon/arroyo_colorado_at_fm_106_rio_hondo_tx-8470500-usa-usgs";
    let plans = nights(&edit(&demo(A), "noaa/8779750", river));
    assert_eq!((plans.tide_sources.len(), plans.tide_sources[0].nights.len()), (1, 2));
    let json = plans.to_json();
    assert!(json.contains("Creative Commons") || json.contains("CC BY"), "{:?}", plans.tide_sources);
    assert_eq!(plans.tide_sources[0].tide.datum, "MLLW");
    // The table ends in the first night: the second falls back, and its line says so.
    let plans = nights(&with_table(&LOW, ""));
    let of: Vec<(&str, &str)> =
        plans.tide_sources.iter().map(|t| (t.tide.datum.as_str(), t.nights[0].date.as_str())).collect();
    assert_eq!(of, [("MSL", "2026-10-17"), ("MLLW", "2026-10-18")]);
    let own = &plans.nights[1].own_reasons;
    assert!(own.iter().any(|s| s.sentence.contains("does not cover this night: the tide")), "{own:?}");
}

#[test]
fn a_night_that_is_over_has_no_open_window() {
    let at = |t: &str| {
        let now: Timestamp = t.parse().unwrap();
        let zone = jiff::tz::TimeZone::get("America/Chicago").unwrap();
        let options = Options { now: Some(now), ..options(zone.to_datetime(now).date(), 16) };
        try_plan(&demo(A), &options).unwrap()
    };
    let during = at("2026-10-18T00:10:00-05:00");
    assert!(!during.windows.is_empty() && rule(&during, "night.past").is_empty());
    for over in ["2026-10-18T00:40:00-05:00", "2039-01-01T00:00:00Z"] {
        let p = at(over);
        assert!(p.windows.is_empty(), "{over}");
        assert!(sentences(&p, "night.past").contains("This night is over"), "{over}");
        assert!(p.closed.iter().all(|c| c.stops.contains(&"this night is over".to_owned())));
    }
    // What is twelve years old is said in years.
    let old = at("2039-01-01T00:00:00Z");
    let ages = sentences(&old, "conditions.age_h");
    assert!(ages.contains(" years old") && !ages.contains(" h old"), "{ages}");
}

#[test]
fn a_level_read_is_no_sea_that_is_known() {
    let sea = |s: &str| {
        let text = demo(A);
        let (from, to) = (text.find("[sea]").unwrap(), text.find("[weather]").unwrap());
        format!("{}[sea]\nas_of = \"2026-10-16T12:00\"\n{s}\n{}", &text[..from], &text[to..])
    };
    assert_eq!(plan_of(&sea("residual = \"0.05m\"")).known, "no sea");
    assert_eq!(plan_of(&sea("wave_height = \"0.5m\"\nwave_period = \"6s\"")).known, "all");
}
