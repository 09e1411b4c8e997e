//! Whose reading it is: a gauge of another water, a report that does not say where it is, lists beside our own tide.

use super::support::*;
use jiff::Timestamp;
use tailrope::outing::file::Instant;
use tailrope::outing::{Finding, Options, Plan, Severity};
use tailrope::quantity::Interval;
use tailrope::sea::tide::{Tide, Turning, Water};

fn noon() -> Options {
    let now: Timestamp = "2026-10-17T12:00-05:00".parse().unwrap();
    Options { now: Some(now), ..options(jiff::civil::date(2026, 10, 17), 32) }
}

/// The scenario without a residual of its own, with a report of these rows.
fn with(kind: &str, rows: &str) -> Plan {
    let text = edit(&demo(A), "residual = \"0.05m\"\n", "")
        .replace("as_of = \"2026-10-16T11:00\"", "as_of = \"2026-10-17T09:00\"");
    plan_of(&format!("{text}\n[[report]]\nsource = \"the gauge\"\nkind = \"{kind}\"\n{rows}\n"), &noon())
}

fn rule<'a>(p: &'a Plan, id: &str) -> Option<&'a Finding> {
    p.findings.iter().find(|f| f.rule.as_deref() == Some(id))
}

fn notes(p: &Plan) -> String {
    let of = |f: &&Finding| f.rule.as_deref() == Some("report");
    p.findings.iter().filter(of).map(|f| f.sentence.as_str()).collect::<Vec<_>>().join(" | ")
}

fn residual(p: &Plan) -> Option<f64> {
    p.conditions.iter().find(|c| c.name == "residual").and_then(|c| c.value)
}

/// Two hours of levels by the hour, so much above the tide of a station.
fn levels(station: &str, above: f64) -> String {
    let (from, to) = ("2026-10-17T13:00Z", "2026-10-17T18:00Z");
    let when = Interval::new(from.parse().unwrap(), to.parse().unwrap()).unwrap();
    let tide = Tide::of_found(&facts().stations.get(station).unwrap(), when).unwrap();
    let row = |t: &str| {
        let level = tide.predicted(t.parse().unwrap()).unwrap().m() + above;
        format!("{{ value = \"{level:.4}m\", from = \"{t}\" }}")
    };
    let rows: Vec<String> = ["2026-10-17T15:00Z", "2026-10-17T16:00Z", "2026-10-17T16:50Z"].map(row).to_vec();
    format!("datum = \"{}\"\nwater_level = [{}]", tide.about().datum, rows.join(", "))
}

#[test]
fn a_gauge_of_the_beach_gives_its_residual_by_name_and_by_number() {
    for name in ["noaa/8779750", "8779750"] {
        let p = with("observed", &format!("station = \"{name}\"\n{}", levels("noaa/8779750", 0.21)));
        let found = residual(&p).unwrap();
        assert!((found - 0.21).abs() < 1e-3, "{name}: {found}");
        assert!(rule(&p, "report.place").is_none(), "a station that we hold stands somewhere");
    }
}

#[test]
fn a_gauge_of_another_coast_is_not_this_beachs_and_says_so() {
    for name in ["noaa/8443970", "8443970", "8638596"] {
        let station = if name == "8638596" { "noaa/8638596" } else { "noaa/8443970" };
        let p = with("observed", &format!("station = \"{name}\"\n{}", levels(station, -1.0)));
        assert_eq!(residual(&p), None, "{name}");
        assert!(notes(&p).contains("km from the beach"), "{}", notes(&p));
    }
    // Nor is it when somebody says that it stands at the beach.
    let rows = format!(
        "station = \"noaa/8443970\"\nlatitude = 26.6\nlongitude = -97.3\n{}",
        levels("noaa/8443970", -1.0)
    );
    let p = with("observed", &rows);
    assert_eq!(residual(&p), None);
    assert!(notes(&p).contains("no residual") && notes(&p).contains("km away"), "{}", notes(&p));
    // Its weather is not heard either.
    let wind = "station = \"8443970\"\nwind = [{ value = \"30kn\", from = \"2026-10-17T16:00Z\" }]";
    assert!(rule(&with("observed", wind), "wind.kn").is_none());
}

#[test]
fn a_gauge_that_does_not_say_which_it_is_gives_no_residual_and_is_asked() {
    let p = with("observed", &levels("noaa/8779750", -1.0));
    assert_eq!(residual(&p), None);
    assert!(notes(&p).contains("station=") && notes(&p).contains("no residual"), "{}", notes(&p));
    let level = |p: &Plan| p.steps[0].level_m;
    let bare = with("observed", "wind = [{ value = \"5kn\", from = \"2026-10-17T16:00Z\" }]");
    assert_eq!(level(&p), level(&bare), "the water stands as predicted");
}

#[test]
fn a_gauge_in_a_tide_of_another_type_gives_no_residual() {
    // A beach at Boston that was given the tide of Texas: one of the two is wrong, and the gauge tells.
    let text = edit(&demo(A), "residual = \"0.05m\"\n", "")
        .replace("as_of = \"2026-10-16T11:00\"", "as_of = \"2026-10-17T09:00\"")
        .replace("latitude = 26.62\nlongitude = -97.32", "latitude = 42.3\nlongitude = -71.0");
    let of = |text: &str| {
        let gauge = format!("station = \"noaa/8443970\"\n{}", levels("noaa/8443970", 0.2));
        plan_of(
            &format!("{text}\n[[report]]\nsource = \"the gauge\"\nkind = \"observed\"\n{gauge}\n"),
            &noon(),
        )
    };
    let p = of(&text);
    assert_eq!(residual(&p), None);
    assert!(notes(&p).contains("is semidiurnal, that of noaa/8779750 is diurnal"), "{}", notes(&p));
    let p = of(&edit(&text, "\"noaa/8779750\"", "\"noaa/8443970\""));
    assert!((residual(&p).unwrap() - 0.2).abs() < 1e-3);
}

#[test]
fn a_report_that_says_no_place_is_asked_for_one() {
    let wind = "wind = [{ value = \"5kn\", from = \"2026-10-17T16:00Z\" }]";
    let p = with("observed", wind);
    let asked = rule(&p, "report.place").unwrap();
    assert!(
        asked.severity == Severity::Caution && asked.sentence.contains("the gauge"),
        "{}",
        asked.sentence
    );
    assert!(
        rule(&with("observed", &format!("latitude = 26.9\nlongitude = -97.0\n{wind}")), "report.place")
            .is_none()
    );
    assert!(rule(&with("observed", "notes = [\"nothing was read\"]"), "report.place").is_none());
}

/// High and low waters of the beach's own station, moved in height and time.
fn listed(up: f64, later_min: i64, turned: bool) -> String {
    let when =
        Interval::new("2026-10-17T12:00Z".parse().unwrap(), "2026-10-18T10:00Z".parse().unwrap()).unwrap();
    let tide = Tide::of_found(&facts().stations.get("noaa/8779750").unwrap(), when).unwrap();
    let rows: Vec<String> = tide
        .turning_points(Turning::Printed)
        .iter()
        .map(|w| {
            let at = Instant(w.at.checked_add(jiff::SignedDuration::from_mins(later_min)).unwrap());
            let high = (w.water == Water::High) != turned;
            let word = if high { "high" } else { "low" };
            format!("{{ water = \"{word}\", level = \"{:.4}m\", at = \"{at}\" }}", w.level.m() + up)
        })
        .collect();
    assert!(!rows.is_empty());
    let datum = tide.about().datum.clone();
    format!("station = \"8779750\"\ndatum = \"{datum}\"\nlisted_waters = [{}]", rows.join(", "))
}

#[test]
fn listed_high_and_low_waters_are_held_against_ours() {
    let said = |up: f64, min: i64, turned: bool| notes(&with("predicted", &listed(up, min, turned)));
    assert_eq!(said(0.02, 10, false), "");
    assert!(said(0.25, 0, false).contains("up to 25 cm and 0 min"), "{}", said(0.25, 0, false));
    assert!(said(0.0, -45, false).contains("up to 0 cm and 45 min"), "{}", said(0.0, -45, false));
    assert!(said(0.0, 0, true).contains("no ") && said(0.0, 0, true).contains("water near that of"));
    let unsaid = with("predicted", &listed(0.25, 0, false).replace("station = \"8779750\"\n", ""));
    assert!(notes(&unsaid).contains("not compared"), "{}", notes(&unsaid));
}

#[test]
fn what_the_loaders_believe_a_plan_takes_too() {
    // At the very ends of what the loaders believe; a wet sensor reads beyond full.
    let text = r#"{ "latitude": 26.6, "longitude": -97.2, "utc_offset_seconds": 0,
        "hourly_units": { "time": "iso8601", "relative_humidity_2m": "%", "wind_gusts_10m": "m/s", "temperature_2m": "°C",
            "wave_height": "m", "wave_peak_period": "s", "ocean_current_velocity": "m/s", "sea_level_height_msl": "m" },
        "hourly": { "time": ["2026-10-18T00:00"], "relative_humidity_2m": [101], "wind_gusts_10m": [100],
            "temperature_2m": [-60], "wave_height": [30], "wave_peak_period": [40], "ocean_current_velocity": [12],
            "sea_level_height_msl": [-20] } }"#;
    let file = tailrope::sea::report::read("a.json", text, &tailrope::sea::report::Told::default()).unwrap();
    let night =
        Interval::new("2026-10-17T18:00-05:00".parse().unwrap(), "2026-10-18T00:30-05:00".parse().unwrap())
            .unwrap();
    let reports = tailrope::outing::conditions::sift(&file, &[night], "2026-10-17T20:30Z".parse().unwrap());
    assert_eq!(reports[0].humidity[0].value, 100.0);
    let outing = tailrope::Outing::read(&tailrope::facts::PackText::new("a.toml", &demo(A))).unwrap();
    outing.with_reports(reports).unwrap_or_else(|e| panic!("{e}"));
}

#[test]
fn water_below_the_prediction_elsewhere_or_far_below_it_promises_no_low_water() {
    let above = |p: &Plan| rule(p, "level.unread_m").unwrap().because[0].value;
    let of =
        |station: &str, m: f64| with("observed", &format!("station = \"{station}\"\n{}", levels(station, m)));
    let own = above(&of("noaa/8779750", -0.2));
    // Another open gauge near the beach: its high water counts, its low water does not.
    let near =
        facts().stations.nearest(facts().stations.get("noaa/8779750").unwrap().place(), 12, false).unwrap();
    let other = near
        .iter()
        .find(|n| n.is_fit() && n.found.id() != "noaa/8779750" && residual(&of(n.found.id(), 0.1)).is_some())
        .expect("a second open gauge");
    let id = other.found.id();
    assert!(above(&of(id, -0.2)) > own + 0.08, "{id}");
    assert!((above(&of(id, 0.2)) - above(&of("noaa/8779750", 0.2))).abs() < 0.02, "{id}");
    // A metre below it is a wrong clock, zone or datum until somebody looked.
    let p = of("noaa/8779750", -1.0);
    assert_eq!(residual(&p), None);
    assert!(notes(&p).contains("clock, zone and datum"), "{}", notes(&p));
    assert!(above(&p) > own + 0.2);
}

#[test]
fn a_gauge_behind_an_inlet_is_no_gauge_of_the_open_beach() {
    let p = with("observed", &format!("station = \"noaa/8779280\"\n{}", levels("noaa/8779280", -0.3)));
    assert_eq!(residual(&p), None);
    assert!(
        notes(&p).contains("no residual") && notes(&p).contains("may not feel the open coast"),
        "{}",
        notes(&p)
    );
}
