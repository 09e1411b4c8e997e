//! What files, typed figures and the crew's own measurements make of a night.

use super::support::*;
use jiff::Timestamp;
use jiff::civil::date;
use tailrope::Outing;
use tailrope::facts::PackText;
use tailrope::outing::conditions::{latest, sift};
use tailrope::outing::hours::Hours;
use tailrope::outing::{Finding, Options, Plan, Severity, Verdict, one_after_another, plan};
use tailrope::quantity::Interval;
use tailrope::sea::report::{Told, read};

macro_rules! file {
    ($name:literal) => {
        ($name, include_str!(concat!("../reference/fixtures/reports/", $name)))
    };
}

const JUMPS: (&str, &str) = file!("ndbc_realtime2_46253_2026-09-26.txt");
const SPEC: (&str, &str) = file!("ndbc_spec_46029_2019-04-02.txt");
const GAUGE: (&str, &str) = file!("coops_water_level_sf_2026-07-01.csv");
const GRID: (&str, &str) = file!("nws_gridpoint_trimmed.json");
const PREDICTED: (&str, &str) = file!("coops_predictions_6min_msl_metric_gmt.json");

fn at(now: &str, zone: &str) -> Options {
    let now: Timestamp = now.parse().unwrap();
    let day = jiff::tz::TimeZone::get(zone).unwrap().to_datetime(now).date();
    Options { now: Some(now), ..options(day, 32) }
}

/// The scenario without its typed sea and weather.
fn untyped(text: &str) -> String {
    let (sea, fish) = (text.find("[sea]").unwrap(), text.find("[fish]").unwrap());
    format!("{}{}", &text[..sea], &text[fish..])
}

fn heard(text: &str, files: &[((&str, &str), &str)], options: &Options) -> Plan {
    let outing = Outing::read(&PackText::new("night.toml", text)).unwrap_or_else(|e| panic!("{e}"));
    let hours = Hours::of(&outing.night, &outing.beach.zone).unwrap();
    let night = Interval::new(hours.from, hours.until).unwrap();
    let mut reports = Vec::new();
    for ((name, body), told) in files {
        let told: Told = told.parse().unwrap();
        let file = read(name, body, &told).unwrap_or_else(|e| panic!("{e}"));
        reports.extend(sift(&file, &[night], latest(options, &hours.zone)));
    }
    let outing = outing.with_reports(reports).unwrap_or_else(|e| panic!("{e}"));
    // An outing with its reports is whole in itself.
    let text = outing.to_toml().unwrap();
    assert_eq!(
        Outing::read(&PackText::new("again.toml", &text)).unwrap_or_else(|e| panic!("{e}\n{text}")),
        outing
    );
    plan(facts(), &outing, options, &one_after_another).unwrap_or_else(|e| panic!("{e}"))
}

fn rule<'a>(p: &'a Plan, id: &str) -> Option<&'a Finding> {
    p.findings.iter().find(|f| f.rule.as_deref() == Some(id))
}

fn shown(p: &Plan, name: &str) -> Option<f64> {
    p.conditions.iter().find(|c| c.name == name).and_then(|c| c.value)
}

fn near(a: Option<f64>, b: f64, by: f64) {
    assert!(a.is_some_and(|a| (a - b).abs() <= by), "{a:?} is not {b}");
}

fn buoy_night() -> String {
    let text = edit(&untyped(&demo(A)), "date = \"2026-10-17\"", "date = \"2026-09-26\"");
    edit(&text, "foreshore_slope = \"1:30\"", "foreshore_slope = \"1:10\"")
}

#[test]
fn a_period_that_jumps_is_planned_on_the_longer_train() {
    let p = heard(&buoy_night(), &[(JUMPS, "")], &at("2026-09-26T05:30Z", "America/Chicago"));
    near(shown(&p, "period"), 13.0, 0.0);
    near(shown(&p, "run-up"), 1.26, 0.005);
    near(shown(&p, "breakers"), 1.29, 0.005);
    let mixed = rule(&p, "sea.mixed").unwrap();
    assert!(mixed.sentence.starts_with("Mixed sea"), "{}", mixed.sentence);
    let number = |name: &str| mixed.because.iter().find(|r| r.name == name).map(|r| r.value);
    near(number("train 1: run-up"), 1.26, 0.005);
    near(number("train 2: run-up"), 0.39, 0.005);
    near(number("train 2: breaker height"), 0.81, 0.005);
    // A wave buoy says nothing of the wind: unknown, never calm.
    assert!(shown(&p, "wind").is_none() && rule(&p, "wind.kn").unwrap().sentence.starts_with("Not known"));
    near(shown(&p, "water"), 22.6, 0.0);
    assert_eq!(p.known, "no weather");
    assert_ne!(p.verdict, Verdict::Go);
    // The newest row alone would have been the same sea without a word.
    let calm = JUMPS.1.replace("  13   4.4", "   4   4.4");
    let q = heard(&buoy_night(), &[((JUMPS.0, &calm), "")], &at("2026-09-26T05:30Z", "America/Chicago"));
    assert!(rule(&q, "sea.mixed").is_none());
    near(shown(&q, "run-up"), 0.39, 0.005);
}

#[test]
fn missing_water_is_the_newest_older_value_with_its_age() {
    let mut lines: Vec<String> = JUMPS.1.lines().map(str::to_owned).collect();
    lines[2] = lines[2].replace("22.6", "  MM");
    lines[4] = lines[4].replace("22.6", "21.5");
    let one = lines.join("\n") + "\n";
    let now = at("2026-09-26T05:26Z", "America/Chicago");
    let p = heard(&buoy_night(), &[((JUMPS.0, &one), "")], &now);
    let water = p.conditions.iter().find(|c| c.name == "water").unwrap();
    assert_eq!(
        (water.value.map(|c| (c * 10.0).round()), water.age_h.map(|h| (h * 100.0).round())),
        (Some(226.0), Some(1857.0)),
        "{water:?}"
    );
    let none = lines.join("\n").replace("22.6", "  MM").replace("21.5", "  MM") + "\n";
    let p = heard(&buoy_night(), &[((JUMPS.0, &none), "")], &now);
    assert!(shown(&p, "water").is_none());
    assert!(rule(&p, "handlers.water_c").unwrap().sentence.starts_with("Not known"));
}

#[test]
fn the_oldest_figure_that_counts_gives_the_age() {
    let row =
        "2026 09 25 14 56  MM   MM   MM    MM    MM    MM  MM     MM    MM  21.0    MM   MM   MM    MM\n";
    let text = JUMPS.1.replace("22.6", "  MM") + row;
    let p = heard(&buoy_night(), &[((JUMPS.0, &text), "")], &at("2026-09-26T05:56Z", "America/Chicago"));
    let water = p.conditions.iter().find(|c| c.name == "water").unwrap();
    assert_eq!(
        (water.value.map(f64::round), water.age_h.map(|h| (h * 100.0).round())),
        (Some(21.0), Some(3207.0))
    );
    let ages: Vec<&str> = p
        .findings
        .iter()
        .filter(|f| f.rule.as_deref() == Some("conditions.age_h"))
        .map(|f| f.sentence.as_str())
        .collect();
    assert!(ages.iter().any(|a| a.contains("sea are up to 32 h old")), "{ages:?}");
}

#[test]
fn a_long_swell_stops_the_night_by_its_breakers() {
    let text = edit(&untyped(&demo(A)), "date = \"2026-10-17\"", "date = \"2019-04-02\"");
    let p = heard(&text, &[(SPEC, "")], &at("2019-04-02T16:30Z", "America/Chicago"));
    near(shown(&p, "waves"), 1.8, 0.0);
    near(shown(&p, "period"), 14.8, 1e-9);
    near(shown(&p, "breakers"), 2.90, 0.005);
    assert_eq!(rule(&p, "surf.height_m").unwrap().severity, Severity::Stop);
    assert!(rule(&p, "sea.mixed").is_none(), "ripples on a swell are no second train");
}

#[test]
fn wind_and_a_way_out_under_water_stop_the_long_drive() {
    // Sixty miles down the sand: 25 kn on the shore, 2 m at 8 s, water a metre above the prediction.
    let text = demo(A);
    for (from, to) in [("wind = \"6kn\"", "wind = \"25kn\""), ("residual = \"0.05m\"", "residual = \"1.0m\"")]
    {
        let p = plan_of(&edit(&text, from, to), &options(A_READ, 32));
        assert_eq!(p.verdict, Verdict::Stop, "{to}");
        assert!(p.windows.is_empty(), "{to}: {:?}", p.windows);
    }
    let p = plan_of(&edit(&text, "residual = \"0.05m\"", "residual = \"1.0m\""), &options(A_READ, 32));
    assert_eq!(rule(&p, "way_out.h").unwrap().severity, Severity::Stop);
    let p = plan_of(&edit(&text, "wind = \"6kn\"", "wind = \"24kn\""), &options(A_READ, 32));
    assert_eq!(rule(&p, "wind.kn").unwrap().severity, Severity::Caution);
}

#[test]
fn an_inland_cell_says_nothing_of_the_sea() {
    let text = untyped(&demo("cold-coast"));
    let text = edit(
        &text,
        "latitude = -22.62\nlongitude = 14.52\nzone = \"Africa/Windhoek\"",
        "latitude = 39.9\nlongitude = -74.0\nzone = \"America/New_York\"",
    );
    let text = edit(&text, "tide_station = \"ticon/walvis_bay-220-nam-uhslc_fd\"\n", "");
    let file = read(GRID.0, GRID.1, &Told::default()).unwrap();
    let first = file.air_temperature.first().unwrap().from;
    let zone = jiff::tz::TimeZone::get("America/New_York").unwrap();
    let day = zone.to_datetime(first).date();
    let text = edit(
        &text,
        "from = \"09:00\"\nuntil = \"18:00\"\nlast_bait_in = \"16:00\"\nhome_by = \"20:00\"",
        "from = \"22:00\"\nuntil = \"01:00\"\nlast_bait_in = \"00:30\"\nhome_by = \"02:00\"",
    );
    let place = file.origin.place.get().unwrap();
    let text = edit(&text, "date = \"2027-01-09\"", &format!("date = \"{day}\""));
    let text = text
        .replace("39.9", &place.latitude_deg().to_string())
        .replace("-74.0", &place.longitude_deg().to_string());
    let now = Options { now: Some(first), ..options(zone.to_datetime(first).date(), 32) };
    let p = heard(&text, &[(GRID, "")], &now);
    assert!(shown(&p, "waves").is_none() && shown(&p, "breakers").is_none());
    let surf = rule(&p, "surf.height_m").expect("the sea of a near night is asked for");
    assert!(surf.sentence.starts_with("Not known"), "{}", surf.sentence);
    assert!(p.known.starts_with("no sea"), "{}", p.known);
    assert!(
        p.findings.iter().any(|f| f.rule.as_deref() == Some("report") && f.sentence.contains("sea")),
        "{:#?}",
        p.findings.iter().filter(|f| f.severity == Severity::Note).map(|f| &f.sentence).collect::<Vec<_>>()
    );
}

fn gauge_night() -> String {
    let text = demo(A);
    let text = edit(
        &text,
        "latitude = 26.62\nlongitude = -97.32\nzone = \"America/Chicago\"",
        "latitude = 37.76\nlongitude = -122.51\nzone = \"America/Los_Angeles\"",
    );
    let text = edit(&text, "tide_station = \"noaa/8779750\"", "tide_station = \"9414290\"");
    let text = edit(&text, "residual = \"0.05m\"\n", "");
    edit(&text, "date = \"2026-10-17\"", "date = \"2026-07-01\"")
}

#[test]
fn a_gauge_gives_the_weathers_share_of_the_level_and_only_in_its_own_terms() {
    let now = at("2026-07-01T01:00Z", "America/Los_Angeles");
    let told = "station=9414290, datum=MLLW, units=metric, zone=gmt, product=water_level";
    let with = heard(&gauge_night(), &[(GAUGE, told)], &now);
    near(shown(&with, "residual"), 0.158, 0.004);
    let bare = heard(&gauge_night(), &[], &now);
    let level = |p: &Plan| p.steps[0].level_m.unwrap();
    near(Some(level(&with) - level(&bare)), 0.158, 0.004);
    for (other, why) in [
        (told.replace("MLLW", "NAVD"), "above NAVD"),
        (told.replace("9414290", "9999999"), "no tide for the gauge 9999999"),
        // A gauge on the other side of the continent.
        (told.replace("9414290", "8443970"), "km from the beach"),
    ] {
        let p = heard(&gauge_night(), &[(GAUGE, &other)], &now);
        assert!(shown(&p, "residual").is_none(), "{other}");
        let note = rule(&p, "report").unwrap();
        assert!(note.sentence.contains(why) && note.severity == Severity::Note, "{}", note.sentence);
    }
    // Two days later it is too old.
    let later = at("2026-07-03T01:00Z", "America/Los_Angeles");
    let text = edit(&gauge_night(), "date = \"2026-07-01\"", "date = \"2026-07-03\"");
    let p = heard(&text, &[(GAUGE, told)], &later);
    assert!(shown(&p, "residual").is_none() && rule(&p, "report").unwrap().sentence.contains("too old"));
}

#[test]
fn an_agencys_prediction_is_compared_and_a_difference_told() {
    let text = edit(
        &demo(A),
        "latitude = 26.62\nlongitude = -97.32\nzone = \"America/Chicago\"",
        "latitude = 30.33\nlongitude = -87.2\nzone = \"America/Chicago\"",
    );
    let text = edit(&text, "tide_station = \"noaa/8779750\"", "tide_station = \"noaa/8729840\"");
    let text = edit(&text, "date = \"2026-10-17\"", "date = \"2026-09-30\"");
    let now = at("2026-09-30T20:00Z", "America/Chicago");
    let told =
        |datum: &str| format!("station=8729840, datum={datum}, zone=gmt, units=metric, product=predictions");
    // Levels above mean sea level taken for levels above low water: off by the height between the two.
    let p = heard(&text, &[(PREDICTED, &told("MLLW"))], &now);
    let note = rule(&p, "report").unwrap();
    assert!(note.sentence.contains("differs from ours by up to 19 cm"), "{}", note.sentence);
    let p = heard(&text, &[(PREDICTED, &told("MSL"))], &now);
    assert!(rule(&p, "report").unwrap().sentence.contains("not compared"));
    // The same levels put onto our datum differ by less than is told.
    let raised = PREDICTED.1.replace("0.11\"", "0.297\"").replace("0.116", "0.303").replace("0.122", "0.309");
    let p = heard(&text, &[((PREDICTED.0, &raised), &told("MLLW"))], &now);
    assert!(rule(&p, "report").is_none(), "{:?}", rule(&p, "report"));
}

fn with_forecast(rows: &str) -> String {
    format!(
        "{}\n[[report]]\nsource = \"the marine forecast\"\nkind = \"forecast\"\nissued = \"2026-10-17T09:00-05:00\"\n{rows}\n",
        demo(A).replace("as_of = \"2026-10-16T12:00\"", "as_of = \"2026-10-17T09:00\"")
    )
}

fn noon() -> Options {
    at("2026-10-17T12:00-05:00", "America/Chicago")
}

#[test]
fn a_wind_that_rises_closes_the_hours_and_not_the_night() {
    let wind = |late: &str| {
        with_forecast(&format!(
            "wind = [\n  {{ value = \"7kn\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-17T22:00-05:00\" }},\n  {{ value = \"{late}\", from = \"2026-10-17T22:00-05:00\", to = \"2026-10-18T03:00-05:00\" }},\n]"
        ))
    };
    let p = plan_of(&wind("26kn"), &noon());
    let f = rule(&p, "wind.kn").unwrap();
    assert_eq!(f.severity, Severity::Caution, "{}", f.sentence);
    assert!(f.sentence.contains("26 kn") && f.sentence.contains("to 22:30"), "{}", f.sentence);
    assert_eq!(p.verdict, Verdict::Caution);
    // A bait in the water at the end of the window must be a fish on the sand before the wind comes.
    let end: Timestamp = p.windows[0].end.parse().unwrap();
    let rise: Timestamp = "2026-10-17T22:00-05:00".parse().unwrap();
    let before = rise.duration_since(end).as_secs_f64() / 60.0;
    assert!((30.0..150.0).contains(&before), "{before} min: {:?}", p.windows);
    assert!(rule(&p, "windows").is_some_and(|f| f.severity == Severity::Caution));
    // Less wind closes nothing, more wind from the beginning stops the night.
    let q = plan_of(&wind("9kn"), &noon());
    assert!(rule(&q, "wind.kn").is_none() && q.windows[0].end.contains("T22:30"), "{:?}", q.windows);
    let all = with_forecast(
        "wind = [{ value = \"26kn\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]",
    );
    let s = plan_of(&all, &noon());
    assert_eq!(rule(&s, "wind.kn").unwrap().severity, Severity::Stop);
    assert!(s.windows.is_empty());
}

#[test]
fn of_two_voices_the_worse_is_planned_on_and_the_other_shown() {
    let text = with_forecast(
        "wind = [{ value = \"16kn\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]\nwave_height = [{ value = \"0.2m\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]\nvisibility = [{ value = \"900m\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]",
    );
    let p = plan_of(&text, &noon());
    let c = |name: &str| p.conditions.iter().find(|c| c.name == name).unwrap();
    let kn = |mps: f64| (mps * 3600.0 / 1852.0).round();
    assert_eq!((kn(c("wind").value.unwrap()), c("wind").kind), (16.0, "forecast"));
    assert_eq!(
        (c("wind").also.len(), kn(c("wind").also[0].value), c("wind").also[0].kind),
        (1, 6.0, "typed")
    );
    assert_eq!((c("wind").age_h, c("wind").source.as_str()), (Some(3.0), "the marine forecast"));
    assert_eq!((c("waves").value, c("waves").kind), (Some(0.35), "typed"), "the higher sea was typed");
    assert_eq!(c("visibility").value, Some(900.0));
    assert!(rule(&p, "wind.kn").unwrap().because[0].source.contains("marine forecast"));
    assert!(rule(&p, "visibility.km").is_some());
}

#[test]
fn storms_that_are_forecast_count_from_a_slight_chance_on() {
    let thunder = |p: f64| {
        let text = with_forecast(&format!(
            "thunder_chance = [{{ value = {p:.1}, from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }}]"
        ));
        let p = plan_of(&text, &noon());
        rule(&p, "weather.thunder").map(|f| f.sentence.clone())
    };
    assert_eq!(thunder(0.0), None);
    assert_eq!(thunder(1.0).as_deref(), Some("A slight chance of thunder is forecast."));
    assert_eq!(thunder(9.9).as_deref(), Some("A slight chance of thunder is forecast."));
    assert_eq!(thunder(10.0).as_deref(), Some("Storms are in the region."));
}

#[test]
fn directions_become_sides_of_the_beach_only_where_it_is_known_how_it_faces() {
    let rows = "wind = [{ value = \"7kn\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]\nwind_from = [{ value = \"280deg\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]";
    let text = with_forecast(rows).replace("wind_from = \"onshore\"\n", "");
    let p = plan_of(&text, &noon());
    assert!(rule(&p, "kayak.wind_offshore_kn").unwrap().sentence.contains("nobody said whence"));
    let east = edit(&text, "region = \"gulf-nw\"", "faces = \"100deg\"\nregion = \"gulf-nw\"");
    let p = plan_of(&east, &noon());
    assert!(rule(&p, "kayak.wind_offshore_kn").unwrap().sentence.contains("off the shore: it takes"));
    let west = edit(&text, "region = \"gulf-nw\"", "faces = \"270deg\"\nregion = \"gulf-nw\"");
    let p = plan_of(&west, &noon());
    assert!(rule(&p, "kayak.wind_offshore_kn").is_none() && rule(&p, "kayak.wind_kn").is_none());
    // Waves at an angle drive a current along the beach where none was measured.
    let waves = "waves_from = [{ value = \"140deg\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]";
    let text =
        with_forecast(waves).replace("current = \"0.15m/s\"\n", "").replace("wave_angle = \"5deg\"\n", "");
    let p = plan_of(&text, &noon());
    // Of a beach that faces nobody knows where the waves count at their worst angle.
    let worst = shown(&p, "current along").unwrap();
    let p =
        plan_of(&edit(&text, "region = \"gulf-nw\"", "faces = \"100deg\"\nregion = \"gulf-nw\""), &noon());
    let current = shown(&p, "current along").unwrap();
    assert!(current <= worst && (0.2..2.0).contains(&current), "{current} {worst}");
}

#[test]
fn what_the_crew_measured_rules_while_it_is_fresh() {
    let buoy = "\n[[report]]\nsource = \"the buoy\"\nkind = \"observed\"\nlatitude = 26.9\nlongitude = -97.0\nwave_period = [{ value = \"12s\", from = \"2026-10-17T04:30-05:00\" }]\n";
    let count = |as_of: &str| {
        with_forecast("").replacen(
            "as_of = \"2026-10-17T09:00\"",
            &format!("as_of = \"{as_of}\"\nwave_count = {{ waves = 12, over = \"60s\" }}"),
            1,
        ) + buoy
    };
    let period =
        |text: &str| plan_of(text, &noon()).conditions.into_iter().find(|c| c.name == "period").unwrap();
    let fresh = period(&count("2026-10-17T06:30"));
    assert_eq!(fresh.kind, "measured");
    assert!(fresh.value.unwrap() < 10.0, "{fresh:?}");
    // Thirteen hours before the night, or at no known time, it is one voice of several.
    for text in [count("2026-10-17T05:00"), count("x").replacen("as_of = \"x\"\n", "", 1)] {
        let old = period(&text);
        assert_eq!((old.kind, old.value), ("observed", Some(12.0)), "{old:?}");
        assert!(old.also.iter().any(|a| a.kind == "measured"));
    }
    // What the buoy read afterwards is heard too, and a forecast always.
    let later = count("2026-10-17T06:30").replace("T04:30", "T07:30");
    assert_eq!(period(&later).kind, "observed");
    let forecast = with_forecast("wave_period = [{ value = \"12s\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]")
        .replacen("as_of = \"2026-10-17T09:00\"", "as_of = \"2026-10-17T09:00\"\nwave_count = { waves = 12, over = \"60s\" }", 1);
    assert_eq!(period(&forecast).kind, "forecast");
}

#[test]
fn ages_are_hours_and_the_borders_are_exact() {
    let read = |now: &str| plan_of(&demo(A), &at(now, "America/Chicago"));
    // Typed at noon on the 16th.
    let age = |p: &Plan| rule(p, "conditions.age_h").map(|f| f.sentence.clone());
    assert_eq!(age(&read("2026-10-17T00:00-05:00")), None, "twelve hours");
    assert!(age(&read("2026-10-17T00:01-05:00")).unwrap().contains("12 h old"));
    let old = read("2026-10-17T23:59-05:00");
    assert!(age(&old).is_some() && shown(&old, "wind").is_some());
    let dead = read("2026-10-18T00:01-05:00");
    assert!(age(&dead).unwrap().contains("count as unknown") && shown(&dead, "wind").is_none());
    assert_eq!(rule(&dead, "wind.kn").unwrap().severity, Severity::Caution);
    assert!(!dead.beyond_forecast, "the night is now: what is not known is asked for");
}

#[test]
fn a_night_that_nothing_speaks_of_shows_law_and_tide_and_never_goes() {
    let far = plan_of(&untyped(&demo(A)), &options(date(2026, 10, 14), 32));
    assert!(far.beyond_forecast);
    let reach = rule(&far, "conditions.reach").unwrap();
    assert!(
        reach.severity == Severity::Caution && reach.sentence.contains("plan again from 2026-10-16"),
        "{}",
        reach.sentence
    );
    for left_out in [
        "surf.height_m",
        "wind.kn",
        "weather.thunder",
        "visibility.km",
        "conditions.age_h",
        "surf.rip_risk",
        "animals",
        "kayak.surf_m",
    ] {
        assert!(rule(&far, left_out).is_none(), "{left_out}");
    }
    assert!(!far.tide.is_empty() && !far.windows.is_empty() && !topics(&far, Severity::Caution).is_empty());
    // The same night from near: everything is asked.
    let near = plan_of(&untyped(&demo(A)), &options(A_READ, 32));
    assert!(!near.beyond_forecast && rule(&near, "conditions.reach").is_none());
    assert!(rule(&near, "weather.thunder").unwrap().sentence.starts_with("Nobody looked"));
    for asked in ["surf.height_m", "wind.kn", "visibility.km", "conditions.age_h"] {
        assert!(rule(&near, asked).unwrap().sentence.starts_with("Not known"), "{asked}");
    }
}

#[test]
fn a_report_of_another_coast_is_not_heard() {
    let rows =
        "wind = [{ value = \"26kn\", from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\" }]";
    let here = format!("latitude = 26.9\nlongitude = -97.0\n{rows}");
    let there = format!("latitude = 29.9\nlongitude = -85.0\n{rows}");
    assert_eq!(rule(&plan_of(&with_forecast(&here), &noon()), "wind.kn").unwrap().severity, Severity::Stop);
    let p = plan_of(&with_forecast(&there), &noon());
    assert!(rule(&p, "wind.kn").is_none());
    assert!(rule(&p, "report").unwrap().sentence.contains("not heard"));
}

#[test]
fn bathers_are_counted_or_guessed() {
    let text = edit(
        &demo(A),
        "bathers = \"1.5km\"\nbathers_from = \"09:00\"\nbathers_until = \"17:00\"",
        "bathers = \"400m\"",
    );
    let p = plan_of(&text, &options(A_READ, 32));
    let window = &p.windows[0];
    assert!(window.cautions.iter().any(|c| c.contains("our guess")), "{:?}", window.cautions);
    // In July the guess has people in the water until eight.
    let july = edit(&text, "date = \"2026-10-17\"", "date = \"2026-07-17\"");
    let q = plan_of(&july, &options(date(2026, 7, 16), 32));
    assert!(q.windows.is_empty() || q.windows[0].start.contains("T20:00"), "{:?}", q.windows);
    assert!(q.closed.iter().any(|c| c.stops.iter().any(|s| s.contains("our guess"))), "{:?}", q.closed);
    // The crew's own count goes before it, either way.
    let counted_on = |days: &[&str], people: u32| {
        let hours = days.iter().flat_map(|d| (18..24).map(move |h| format!("{d}T{h}:00")));
        let at: Vec<String> = hours.map(|t| format!("{{ at = \"{t}\", people = {people} }}")).collect();
        plan_of(
            &edit(
                &text,
                "bathers = \"400m\"",
                &format!("bathers = \"400m\"\nbather_counts = [{}]", at.join(", ")),
            ),
            &options(A_READ, 32),
        )
    };
    let cautions = |p: &Plan| p.windows[0].cautions.join("; ");
    let saturdays = ["2026-09-26", "2026-10-03", "2026-10-10"];
    let three = cautions(&counted_on(&saturdays, 0));
    assert!(
        !three.contains("guess") && !three.contains("not known") && !three.contains("counted"),
        "{three}"
    );
    // One evening, or three of another kind, are no proof: the hour warns still, but is not closed by a guess.
    let mondays = ["2026-09-28", "2026-10-05", "2026-10-12"];
    for (days, on) in [(&saturdays[2..], "one day of this kind"), (&mondays[..], "no day of this kind")] {
        let few = cautions(&counted_on(days, 0));
        assert!(few.contains(on), "{few}");
    }
    let many = counted_on(&saturdays[2..], 4);
    assert!(
        many.windows.is_empty() && many.closed[0].stops.iter().any(|s| s.contains("counted 4")),
        "{:?}",
        many.closed
    );
}
