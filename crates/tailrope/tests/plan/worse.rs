//! What is worse, or is not known, never makes a night look better.

use super::support::*;
use jiff::Timestamp;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use tailrope::Outing;
use tailrope::facts::PackText;
use tailrope::outing::{Finding, Nights, Options, Plan, Severity, Verdict, one_after_another};

fn noon() -> Options {
    Options {
        now: Some("2026-10-17T12:00-05:00".parse().unwrap()),
        ..options("2026-10-17".parse().unwrap(), 16)
    }
}

/// Plans that share their fights.
fn planned(text: &str, options: &Options) -> Plan {
    static NIGHTS: OnceLock<Nights<'static>> = OnceLock::new();
    let nights = NIGHTS.get_or_init(|| Nights::new(facts(), &one_after_another));
    let outing = Outing::read(&PackText::new("night.toml", text)).unwrap_or_else(|e| panic!("{e}\n{text}"));
    nights.plan(&outing, options).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

fn at_noon(text: &str) -> Plan {
    planned(text, &noon())
}

/// The scenario with these sea and weather sections, on a beach that faces east.
fn night(sea: &str, weather: &str) -> String {
    let text = edit(&demo(A), "region = \"gulf-nw\"", "faces = \"100deg\"\nregion = \"gulf-nw\"");
    let (a, b) = (text.find("[sea]").unwrap(), text.find("[fish]").unwrap());
    format!("{}[sea]\n{sea}\n[weather]\n{weather}\n\n{}", &text[..a], &text[b..])
}

const SEA: &str = "as_of = \"2026-10-17T09:00\"\nwave_height = \"0.3m\"\nwave_period = \"6s\"\nwave_angle = \"5deg\"\nwater_temperature = \"26C\"\ncurrent = \"0.15m/s\"\nrip_outlook = \"low\"\nresidual = \"0.05m\"\nanimals = \"none\"";
const WEATHER: &str = "as_of = \"2026-10-17T09:00\"\nwind = \"6kn\"\nwind_from = \"onshore\"\ngust = \"9kn\"\nair_temperature = \"25C\"\nhumidity = 75.0\nthunder = \"none\"\nvisibility = \"12km\"";

fn report(kind: &str, rows: &str) -> String {
    let issued = if kind == "forecast" { "issued = \"2026-10-17T09:00-05:00\"\n" } else { "" };
    format!(
        "\n[[report]]\nsource = \"{kind} {}\"\nkind = \"{kind}\"\nlatitude = 26.7\nlongitude = -97.2\n{issued}{rows}\n",
        rows.len()
    )
}

/// A row from one clock of the night to another.
fn row(column: &str, value: &str, from: &str, to: &str) -> String {
    let day = |clock: &str| if clock < "12" { 18 } else { 17 };
    format!(
        "{column} = [{{ value = {value}, from = \"2026-10-{}T{from}-05:00\", to = \"2026-10-{}T{to}-05:00\" }}]\n",
        day(from),
        day(to)
    )
}

fn all_night(column: &str, value: &str) -> String {
    row(column, value, "16:00", "03:00")
}

fn read_at(column: &str, value: &str, at: &str) -> String {
    format!("{column} = [{{ value = {value}, from = \"{at}\" }}]\n")
}

fn rule<'a>(p: &'a Plan, id: &str) -> Option<&'a Finding> {
    p.findings.iter().find(|f| f.rule.as_deref() == Some(id))
}

fn sentence<'a>(p: &'a Plan, id: &str) -> &'a str {
    rule(p, id).map_or("", |f| &f.sentence)
}

fn shown(p: &Plan, name: &str) -> f64 {
    p.conditions.iter().find(|c| c.name == name).and_then(|c| c.value).unwrap_or(f64::NAN)
}

#[test]
fn a_report_that_covers_part_of_the_night_leaves_the_rest_unknown() {
    let columns = |from: &str, to: &str| {
        let part = |c: &str, v: &str| row(c, v, from, to);
        [
            part("wave_height", "\"0.3m\""),
            part("wave_period", "\"5s\""),
            part("wind", "\"4kn\""),
            part("visibility", "\"12km\""),
            part("thunder_chance", "0.0"),
        ]
        .concat()
    };
    let p = at_noon(&(night("", "") + &report("forecast", &columns("16:00", "18:30"))));
    assert_eq!(p.known, "sea in part, weather in part");
    for id in ["surf.height_m", "wind.kn", "visibility.km"] {
        assert!(
            sentence(&p, id).starts_with("Not known from 18:30 to 00:30: "),
            "{id}: {}",
            sentence(&p, id)
        );
    }
    assert!(
        sentence(&p, "weather.thunder").contains("not known from 18:30 to 00:30"),
        "{:?}",
        rule(&p, "weather.thunder")
    );
    // With all the night covered nothing of it is asked.
    let q = at_noon(&(night("", "") + &report("forecast", &columns("16:00", "03:00"))));
    assert_eq!(q.known, "all");
    assert!(!q.findings.iter().any(|f| f.sentence.starts_with("Not known from")));
    assert!(rule(&q, "wind.kn").is_none() && rule(&q, "weather.thunder").is_none());
    // Days ahead, the rest lies beyond the forecast, and says from when.
    let early = Options {
        now: Some("2026-10-13T12:00-05:00".parse().unwrap()),
        ..options("2026-10-13".parse().unwrap(), 16)
    };
    let ahead = (night("", "") + &report("forecast", &columns("16:00", "19:00")))
        .replace("2026-10-17T09:00", "2026-10-13T09:00");
    let p = planned(&ahead, &early);
    assert!(p.beyond_forecast);
    assert!(
        sentence(&p, "conditions.reach").contains("beyond what was forecast from 19:00 on"),
        "{}",
        sentence(&p, "conditions.reach")
    );
    // A gap of some minutes is none.
    let gap = columns("16:00", "20:02").trim_end().to_owned() + "\n";
    let rest = columns("20:05", "03:00");
    let p = at_noon(
        &(night("", "")
            + &report("forecast", &gap)
            + &report("forecast", &(rest + &all_night("humidity", "70.0")))),
    );
    assert_eq!(p.known, "all");
    assert!(rule(&p, "wind.kn").is_none());
}

#[test]
fn forecasts_of_many_turns_are_judged_in_steps_of_ten_minutes() {
    let minutes: Vec<String> = (0..360)
        .map(|i| {
            let at = |i: i64| {
                "2026-10-17T18:00-05:00".parse::<Timestamp>().unwrap() + jiff::SignedDuration::from_mins(i)
            };
            format!("{{ value = \"{}kn\", from = \"{}\", to = \"{}\" }}", 4 + i % 7, at(i), at(i + 1))
        })
        .collect();
    let text = night(SEA, WEATHER) + &report("forecast", &format!("wind = [{}]\n", minutes.join(", ")));
    let p = at_noon(&text);
    assert!(p.steps.len() <= 41, "{}", p.steps.len());
    // Each step has the worst of its minutes.
    assert!(
        p.steps.iter().take(30).all(|s| s.wind_mps.is_some_and(|w| (w - 5.144).abs() < 0.01)),
        "{:?}",
        p.steps[3]
    );
}

#[test]
fn a_rising_forecast_is_not_silenced_by_the_mornings_measures() {
    let measured = "as_of = \"2026-10-17T06:30\"\nwave_height = \"0.4m\"\nwave_period = \"5s\"\nwave_count = \"15 in 1min\"\nfloat_runs = [\"10paces in 60s\", \"10paces in 60s\", \"10paces in 60s\"]\nwash_seen = \"8paces in 10min\"\nwater_temperature = \"26C\"\nrip_outlook = \"low\"\nresidual = \"0m\"\nanimals = \"none\"";
    let calm = at_noon(&night(measured, WEATHER));
    assert!(shown(&calm, "current along") < 0.2 && shown(&calm, "period") < 8.0);
    let rising = [
        all_night("wave_height", "\"1.4m\""),
        all_night("wave_period", "\"10s\""),
        all_night("waves_from", "\"140deg\""),
    ];
    let p = at_noon(&(night(measured, WEATHER) + &report("forecast", &rising.concat())));
    assert_eq!((shown(&p, "waves"), shown(&p, "period")), (1.4, 10.0));
    assert!(shown(&p, "current along") > 0.6, "{}", shown(&p, "current along"));
    assert!(shown(&p, "run-up") > shown(&calm, "run-up"));
    assert!(shown(&p, "breakers") > 1.5);
    assert_eq!(rule(&p, "surf.height_m").unwrap().severity, Severity::Stop);
    // The same sea seen by a buoy before the float was thrown is what the float measured.
    let seen = [
        read_at("wave_height", "\"1.4m\"", "2026-10-17T06:00-05:00"),
        read_at("wave_period", "\"10s\"", "2026-10-17T06:00-05:00"),
        read_at("waves_from", "\"140deg\"", "2026-10-17T06:00-05:00"),
    ];
    let q = at_noon(&(night(measured, WEATHER) + &report("observed", &seen.concat())));
    assert!(shown(&q, "current along") < 0.2 && shown(&q, "period") < 8.0 && shown(&q, "waves") == 1.4);
}

#[test]
fn an_undated_or_old_measure_rules_nothing() {
    let buoy = report(
        "observed",
        &[
            read_at("wave_height", "\"1.0m\"", "2026-10-17T11:00-05:00"),
            read_at("wave_period", "\"12s\"", "2026-10-17T11:00-05:00"),
        ]
        .concat(),
    );
    let sea = |as_of: &str| {
        format!(
            "{as_of}\nwave_count = \"15 in 1min\"\nfloat_runs = [\"10paces in 60s\"]\nwave_angle = \"30deg\""
        )
    };
    let undated = at_noon(&(night(&sea(""), "") + &buoy));
    assert_eq!(shown(&undated, "period"), 12.0);
    assert!(shown(&undated, "current along") > 0.5);
    // A float of five days before says nothing; a forecast typed then still does.
    let old = at_noon(&night(
        &format!("{}\nwind = \"6kn\"", sea("as_of = \"2026-10-12T08:00\""))
            .replace("\nwind = \"6kn\"", "\nrip_outlook = \"low\""),
        "",
    ));
    assert!(shown(&old, "current along").is_nan() && shown(&old, "period").is_nan());
}

#[test]
fn what_was_seen_ages_until_the_night() {
    let buoy = report(
        "observed",
        &[
            read_at("wave_height", "\"0.3m\"", "2026-10-17T11:50-05:00"),
            read_at("wave_period", "\"5s\"", "2026-10-17T11:50-05:00"),
        ]
        .concat(),
    );
    let next = (night("", WEATHER) + &buoy).replace("date = \"2026-10-17\"", "date = \"2026-10-18\"");
    let p = at_noon(&next);
    let waves = p.conditions.iter().find(|c| c.name == "waves").unwrap();
    assert!((waves.age_h.unwrap() - 30.17).abs() < 0.01, "{waves:?}");
    assert!(p.findings.iter().any(|f| f.sentence.contains("sea are up to 30 h old")));
    // What follows from it is as old.
    let breakers = p.conditions.iter().find(|c| c.name == "breakers").unwrap();
    assert_eq!((breakers.age_h, breakers.kind), (waves.age_h, "model"));
    // The night after that it is too old, and that is said with its time.
    let third = (night("", "") + &buoy).replace("date = \"2026-10-17\"", "date = \"2026-10-19\"");
    let eve = Options {
        now: Some("2026-10-19T12:00-05:00".parse().unwrap()),
        ..options("2026-10-19".parse().unwrap(), 16)
    };
    let p = planned(&third, &eve);
    assert!(shown(&p, "waves").is_nan());
    let told = p.findings.iter().find(|f| f.sentence.contains("too old to say anything")).unwrap();
    assert!(
        told.severity == Severity::Caution && told.sentence.contains("2026-10-17T11:50"),
        "{}",
        told.sentence
    );
    assert!(
        p.findings.iter().any(|f| f.sentence.contains("figures of the sea are 54 h old")),
        "{:#?}",
        p.findings.iter().map(|f| &f.sentence).collect::<Vec<_>>()
    );
}

#[test]
fn without_a_moment_the_day_is_over() {
    let buoy = report("observed", &read_at("wind", "\"4kn\"", "2026-10-17T04:00-05:00"));
    let day = options("2026-10-17".parse().unwrap(), 16);
    let p = planned(&(night("", "") + &buoy), &day);
    assert_eq!(p.conditions.iter().find(|c| c.name == "wind").unwrap().age_h, Some(20.0));
}

#[test]
fn run_up_and_shore_break_grow_with_the_sea() {
    let slope = |text: String, slope: &str| {
        edit(&text, "foreshore_slope = \"1:30\"", &format!("foreshore_slope = \"{slope}\""))
    };
    let sea = |h: f64, t: f64| SEA.replace("0.3m", &format!("{h}m")).replace("6s", &format!("{t}s"));
    let up = |h: f64| shown(&at_noon(&slope(night(&sea(h, 8.0), WEATHER), "1:20")), "run-up");
    assert!(
        (up(2.0) - 0.844).abs() < 0.002 && up(3.0) > up(2.0) && up(4.0) > up(3.0),
        "{} {}",
        up(2.0),
        up(3.0)
    );
    // Half a metre plunges on this beach; that a second voice says two metres, which spill, takes nothing back.
    let low = at_noon(&slope(night(&sea(0.5, 8.0), WEATHER), "1:20"));
    assert_eq!(rule(&low, "landing.shore_break").unwrap().severity, Severity::Stop);
    let both = slope(night(&sea(0.5, 8.0), WEATHER), "1:20")
        + &report("forecast", &all_night("wave_height", "\"2.0m\""));
    assert_eq!(rule(&at_noon(&both), "landing.shore_break").unwrap().severity, Severity::Stop);
    // A longer period makes the low sea of the first voice plunge, whoever says it.
    let calm = night(SEA, WEATHER);
    assert!(rule(&at_noon(&calm), "landing.shore_break").is_none());
    let longer = at_noon(&(calm + &report("forecast", &all_night("wave_period", "\"12s\""))));
    assert_eq!(rule(&longer, "landing.shore_break").unwrap().severity, Severity::Stop);
    // Nor does the higher sea alone: its lower waves plunge as before.
    let high = at_noon(&slope(night(&sea(1.4, 8.0), WEATHER), "1:20"));
    let f = rule(&high, "landing.shore_break").unwrap();
    assert!(
        f.severity == Severity::Stop && f.sentence.starts_with("The highest waves spill"),
        "{}",
        f.sentence
    );
}

#[test]
fn a_long_low_swell_runs_further_than_the_sea_that_hides_it() {
    let trains = [
        all_night("wave_height", "\"1.12m\""),
        all_night("wave_period", "\"5s\""),
        all_night("swell_height", "\"0.5m\""),
        all_night("swell_period", "\"16s\""),
        all_night("wind_sea_height", "\"1.0m\""),
        all_night("wind_sea_period", "\"5s\""),
    ];
    let short = at_noon(&(night("", "") + &report("forecast", &trains[..2].concat())));
    let both = at_noon(&(night("", "") + &report("forecast", &trains.concat())));
    assert!(
        shown(&both, "run-up") > 1.2 * shown(&short, "run-up"),
        "{} {}",
        shown(&both, "run-up"),
        shown(&short, "run-up")
    );
}

#[test]
fn one_train_is_not_the_sea() {
    let swell = |h: &str| {
        let rows = [all_night("swell_height", &format!("\"{h}\"")), all_night("swell_period", "\"10s\"")];
        at_noon(&(night("", "") + &report("forecast", &rows.concat())))
    };
    let low = swell("0.2m");
    assert!(shown(&low, "waves").is_nan());
    assert!(sentence(&low, "surf.height_m").starts_with("Not known"), "{}", sentence(&low, "surf.height_m"));
    let high = swell("2.5m");
    let f = rule(&high, "surf.height_m").unwrap();
    assert!(f.severity == Severity::Stop && f.sentence.starts_with("Breakers of at least"), "{}", f.sentence);
}

#[test]
fn the_current_is_the_faster_of_what_is_typed_and_what_waves_and_wind_drive() {
    let sea = |current: &str, angle: &str| {
        SEA.replace("0.3m", "1.4m")
            .replace("6s", "10s")
            .replace("current = \"0.15m/s\"\n", current)
            .replace("5deg", angle)
    };
    let along = |sea: &str, weather: &str| shown(&at_noon(&night(sea, weather)), "current along");
    let driven = along(&sea("", "40deg"), WEATHER);
    assert!(driven > 1.0, "{driven}");
    assert_eq!(along(&sea("current = \"0.05m/s\"\n", "40deg"), WEATHER), driven);
    assert_eq!(along(&sea("current = \"2m/s\"\n", "40deg"), WEATHER), 2.0);
    // Square on is said with an error, and a current that nobody measured is never none.
    assert!(along(&sea("", "0deg"), WEATHER) >= 0.5);
    // Wind adds its share.
    let windy = WEATHER.replace("wind = \"6kn\"", "wind = \"20kn\"");
    assert!(along(&sea("", "40deg"), &windy) > driven + 0.1);
    let p = at_noon(&night(&sea("", "40deg"), WEATHER));
    let shown = p.conditions.iter().find(|c| c.name == "current along").unwrap();
    assert!(shown.source.contains("+-") && shown.age_h == Some(3.0), "{shown:?}");
}

#[test]
fn a_direction_belongs_to_the_wind_it_was_read_with() {
    let buoy = |from: &str| {
        report(
            "observed",
            &[
                read_at("wind", "\"10kn\"", "2026-10-17T11:00-05:00"),
                read_at("wind_from", "\"100deg\"", from),
                read_at("gust", "\"12kn\"", "2026-10-17T11:00-05:00"),
            ]
            .concat(),
        )
    };
    let p = at_noon(&(night(SEA, "") + &buoy("2026-10-17T09:00-05:00")));
    assert!(
        rule(&p, "kayak.wind_offshore_kn").is_none()
            && sentence(&p, "kayak.wind_kn").contains("on the paddler")
    );
    let old = at_noon(&(night(SEA, "") + &buoy("2026-10-16T05:00-05:00")));
    assert!(sentence(&old, "kayak.wind_offshore_kn").contains("nobody said whence"));
}

#[test]
fn the_way_out_is_reckoned_with_the_weathers_share_known_or_not() {
    let cut = |text: String, m: f64| edit(&text, "cut_off_at = \"1.8m\"", &format!("cut_off_at = \"{m}m\""));
    let h = |p: &Plan| {
        let f = rule(p, "way_out.h").unwrap_or_else(|| panic!("{:#?}", p.findings));
        f.because[0].value
    };
    // The tide rises to 0.64 m at one o'clock.
    let unread = SEA.replace("residual = \"0.05m\"\n", "");
    let p = at_noon(&cut(night(&unread, WEATHER), 0.8));
    assert!(h(&p) < 0.0 && rule(&p, "way_out.h").unwrap().severity == Severity::Stop);
    let note = rule(&p, "level.unread_m").unwrap();
    assert!(
        note.sentence.contains("weather's share is not known") && note.sentence.contains("wash"),
        "{}",
        note.sentence
    );
    // A high residual counts in full and with its error; a low one fades and never opens what an unread one shuts by more
    // than it may.
    let read = |m: f64| at_noon(&cut(night(&SEA.replace("0.05m", &format!("{m}m")), WEATHER), 0.8));
    assert!(h(&read(0.3)) <= h(&read(0.1)));
    // A gauge stands in still water: whoever reads it still has the wash to add.
    let above = |p: &Plan| rule(p, "level.unread_m").unwrap().because[0].value;
    let wash = shown(&read(0.05), "run-up");
    let share = above(&read(0.05)) - wash;
    assert!(wash > 0.1 && share > 0.05 + 0.1 && share < 0.05 + 0.3, "{share}");
    let calm = SEA.replace("0.05m", "0.0m");
    let rough = calm.replace("wave_height = \"0.3m\"", "wave_height = \"0.6m\"");
    let of = |sea: &str| at_noon(&cut(night(sea, WEATHER), 0.8));
    assert!(above(&of(&rough)) > above(&of(&calm)) + 0.05);
    // One train alone is no whole sea: the way out is not known to be dry.
    let lone = calm.replace("wave_height = \"0.3m\"\nwave_period = \"6s\"", "")
        + &report(
            "forecast",
            &(all_night("swell_height", "\"0.2m\"") + &all_night("swell_period", "\"9s\"")),
        );
    let (sea, reports) = lone.split_at(lone.find("\n[[report]]").unwrap());
    let p = at_noon(&(cut(night(sea, WEATHER), 3.0) + reports));
    assert_eq!(rule(&p, "way_out.h").map(|f| f.severity), Some(Severity::Caution));
    assert!(rule(&of(&calm.replace("0.3m", "0.2m")), "level.unread_m").is_some());
    let shut = |p: &Plan| p.steps.iter().filter(|s| s.state == "closed").count();
    assert!(shut(&read(0.4)) >= shut(&read(0.0)));
}

fn severities(p: &Plan) -> BTreeMap<String, Severity> {
    let mut all = BTreeMap::new();
    for f in &p.findings {
        // Fights are drawn, not reckoned from sea and weather.
        let Some(rule) = f.rule.clone().filter(|r| !r.starts_with("forecast.") && r != "fish.death") else {
            continue;
        };
        all.entry(rule).and_modify(|s: &mut Severity| *s = (*s).max(f.severity)).or_insert(f.severity);
    }
    all
}

fn open_minutes(p: &Plan) -> f64 {
    let at = |t: &str| t.parse::<Timestamp>().unwrap();
    p.windows.iter().map(|w| at(&w.end).duration_since(at(&w.start)).as_secs_f64() / 60.0).sum()
}

/// The second is nowhere better than the first.
fn no_better(before: &Plan, after: &Plan, but: &[&str]) -> Result<(), TestCaseError> {
    let (a, b) = (severities(before), severities(after));
    for (rule, severity) in a {
        if severity.verdict() == Verdict::Go || but.contains(&rule.as_str()) {
            continue;
        }
        let then = b.get(&rule).copied();
        // The paddler's wind is judged by one of two rows: where each closes its part of the hours no window is left.
        let off_shore = b.get("kayak.wind_offshore_kn").copied().filter(|_| rule == "kayak.wind_kn");
        let shared = b.get("windows").copied().filter(|_| then.is_some() && off_shore.is_some());
        let then = then.max(off_shore).max(shared);
        // What closes part of the hours warns; what closes all of them forbids.
        prop_assert!(then >= Some(severity), "{}: {:?} became {:?}", rule, severity, then);
    }
    prop_assert!(
        open_minutes(after) <= open_minutes(before) + 1e-6,
        "{:?} {:?}",
        before.windows,
        after.windows
    );
    let worst =
        |p: &Plan| severities(p).iter().filter(|(r, _)| !but.contains(&r.as_str())).map(|(_, s)| *s).max();
    prop_assert!(worst(after) >= worst(before));
    Ok(())
}

/// A voice of one to three columns over some of the hours, or read by an instrument on that day.
fn voice() -> impl Strategy<Value = String> {
    let column = prop_oneof![
        (0.05..2.5f64).prop_map(|x| ("wave_height", format!("\"{x:.2}m\""))),
        (2.0..16.0f64).prop_map(|x| ("wave_period", format!("\"{x:.1}s\""))),
        (2.0..9.0f64).prop_map(|x| ("mean_period", format!("\"{x:.1}s\""))),
        (0.0..360.0f64).prop_map(|x| ("waves_from", format!("\"{x:.0}deg\""))),
        (0.05..2.0f64).prop_map(|x| ("swell_height", format!("\"{x:.2}m\""))),
        (6.0..18.0f64).prop_map(|x| ("swell_period", format!("\"{x:.1}s\""))),
        (0.05..2.0f64).prop_map(|x| ("wind_sea_height", format!("\"{x:.2}m\""))),
        (2.0..8.0f64).prop_map(|x| ("wind_sea_period", format!("\"{x:.1}s\""))),
        (8.0..25.9f64).prop_map(|x| ("water_temperature", format!("\"{x:.1}C\""))),
        (0.0..40.0f64).prop_map(|x| ("wind", format!("\"{x:.1}kn\""))),
        (0.0..45.0f64).prop_map(|x| ("gust", format!("\"{x:.1}kn\""))),
        (0.0..360.0f64).prop_map(|x| ("wind_from", format!("\"{x:.0}deg\""))),
        (15.0..38.0f64).prop_map(|x| ("air_temperature", format!("\"{x:.1}C\""))),
        (0.1..20.0f64).prop_map(|x| ("visibility", format!("\"{x:.2}km\""))),
        (10.0..100.0f64).prop_map(|x| ("humidity", format!("{x:.1}"))),
        (0..40u8).prop_map(|x| ("thunder_chance", format!("{x}.0"))),
    ];
    let columns = prop::collection::vec((column, 0..13u32, 1..13u32), 1..4);
    (columns, any::<bool>(), 0..1000u32).prop_map(|(columns, forecast, mark)| {
        let start: Timestamp = "2026-10-17T17:00-05:00".parse().unwrap();
        let at = |half: u32| start + jiff::SignedDuration::from_mins(30 * i64::from(half));
        let mut rows = BTreeMap::new();
        for ((name, value), from, long) in columns {
            let when = if forecast {
                format!("from = \"{}\", to = \"{}\"", at(from), at(from + long))
            } else {
                let read = start - jiff::SignedDuration::from_mins(300 + 60 * i64::from(from));
                format!("from = \"{read}\"")
            };
            rows.insert(name, format!("{name} = [{{ value = {value}, {when} }}]\n"));
        }
        let rows: String = rows.into_values().collect();
        let kind = if forecast { "forecast" } else { "observed" };
        report(kind, &rows).replace("source = \"", &format!("source = \"{mark} "))
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, max_shrink_iters: 64, ..ProptestConfig::default() })]

    #[test]
    fn another_voice_never_makes_a_night_better(first in voice(), second in voice()) {
        let base = night(SEA, WEATHER);
        let none = at_noon(&base);
        let one = at_noon(&(base.clone() + &first));
        // The age that is judged is that of the figures planned on: a fresher one that is worse makes it younger.
        let but = ["conditions.age_h"];
        no_better(&none, &one, &but)?;
        let two = at_noon(&(base + &first + &second));
        no_better(&one, &two, &but)?;
    }

    #[test]
    fn a_worse_figure_never_makes_a_night_better(
        which in 0..10usize, less in 0.0..1.0f64, more in 0.0..1.0f64, h in 0.1..1.6f64, t in 4.0..12.0f64, deg in 0.0..40.0f64,
    ) {
        let (less, more) = (less.min(more), less.max(more));
        let text = |x: f64| {
            let mut sea = SEA.replace("0.3m", &format!("{h:.2}m")).replace("\"6s\"", &format!("\"{t:.1}s\"")).replace("5deg", &format!("{deg:.0}deg"));
            let mut weather = WEATHER.to_owned();
            let span = |low: f64, high: f64| low + x * (high - low);
            let mut set = |sea_from: &str, to: String| sea = sea.replace(sea_from, &to);
            match which {
                0 => set(&format!("wave_height = \"{h:.2}m\""), format!("wave_height = \"{:.3}m\"", span(0.05, 3.0))),
                1 => set(&format!("wave_period = \"{t:.1}s\""), format!("wave_period = \"{:.3}s\"", span(2.0, 18.0))),
                2 => set("current = \"0.15m/s\"", format!("current = \"{:.3}m/s\"", span(0.0, 2.0))),
                3 => set("residual = \"0.05m\"", format!("residual = \"{:.3}m\"", span(-0.5, 1.0))),
                4 => set("\"26C\"", format!("\"{:.2}C\"", span(26.0, 5.0))),
                5 => weather = weather.replace("\"6kn\"", &format!("\"{:.2}kn\"", span(0.0, 40.0))),
                6 => weather = weather.replace("\"9kn\"", &format!("\"{:.2}kn\"", span(0.0, 50.0))),
                7 => weather = weather.replace("\"25C\"", &format!("\"{:.2}C\"", span(15.0, 40.0))),
                8 => weather = weather.replace("\"12km\"", &format!("\"{:.3}km\"", span(12.0, 0.05))),
                _ => weather = weather.replace("75.0", &format!("{:.2}", span(10.0, 100.0))),
            }
            night(&sea, &weather)
        };
        let (a, b) = (at_noon(&text(less)), at_noon(&text(more)));
        // Of a sea so low that even its plunging waves are small, a higher one may spill: the row of the breakers knows.
        let spills = severities(&a).get("landing.shore_break") == Some(&Severity::Caution) && which == 0;
        if spills {
            let but = ["landing.shore_break"];
            let sa = severities(&a);
            for (rule, s) in sa.iter().filter(|(r, _)| !but.contains(&r.as_str())) {
                prop_assert!(severities(&b).get(rule) >= Some(s) || s.verdict() == Verdict::Go, "{}", rule);
            }
        } else {
            // A warmer night may lie nearer to the day of the drag's reading. Longer waves of the same height come in
            // straighter and drive less current along the beach: the line bellies less.
            let but = if which == 1 { &["drag.check_pull_c", "far.spool"][..] } else { &["drag.check_pull_c"] };
            no_better(&a, &b, but)?;
        }
    }
}
