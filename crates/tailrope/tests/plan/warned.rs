//! What agencies warn of, and what their forecasters say in words, against the night.

use super::support::*;
use jiff::Timestamp;
use tailrope::outing::conditions::{sift, warned::Degree};
use tailrope::outing::file::Report;
use tailrope::outing::{Finding, Options, Plan, Severity};
use tailrope::quantity::Interval;
use tailrope::sea::report::{Told, read};

const HOURS: &str = "from = \"2026-10-17T17:00-05:00\", to = \"2026-10-18T03:00-05:00\"";

fn noon() -> Options {
    let now: Timestamp = "2026-10-17T12:00-05:00".parse().unwrap();
    Options { now: Some(now), ..options(jiff::civil::date(2026, 10, 17), 32) }
}

/// The scenario with a forecast of these rows.
fn with(rows: &str) -> Plan {
    let text = demo(A).replace("as_of = \"2026-10-16T12:00\"", "as_of = \"2026-10-17T09:00\"");
    let report = "source = \"the forecast\"\nkind = \"forecast\"\nissued = \"2026-10-17T09:00-05:00\"\nlatitude = 26.6\nlongitude = -97.3";
    plan_of(&format!("{text}\n[[report]]\n{report}\n{rows}\n"), &noon())
}

fn rule<'a>(p: &'a Plan, id: &str) -> Option<&'a Finding> {
    p.findings.iter().find(|f| f.rule.as_deref() == Some(id))
}

fn severity(p: &Plan, id: &str) -> Option<Severity> {
    rule(p, id).map(|f| f.severity)
}

fn hazard(what: &str) -> Plan {
    with(&format!("hazards = [{{ value = \"{what}\", {HOURS} }}]"))
}

#[test]
fn a_warning_stops_and_whatever_else_is_in_force_warns() {
    let bare = with(&format!("wind = [{{ value = \"5kn\", {HOURS} }}]"));
    assert!(rule(&bare, "weather.hazards").is_none());
    for (what, want) in [
        ("high surf warning (SU.W)", Severity::Stop),
        ("coastal flood warning", Severity::Stop),
        ("tsunami watch (TS.A)", Severity::Stop),
        ("small craft advisory (SC.Y)", Severity::Caution),
        ("hurricane watch (HU.A)", Severity::Caution),
        ("beach hazards statement (BH.S)", Severity::Caution),
        ("QQ.?", Severity::Caution),
    ] {
        let p = hazard(what);
        assert_eq!(severity(&p, "weather.hazards"), Some(want), "{what}");
        assert!(rule(&p, "weather.hazards").unwrap().sentence.contains(what), "{what}");
        assert!(p.verdict >= bare.verdict && p.verdict >= want.verdict());
        assert_eq!(p.windows.is_empty(), want == Severity::Stop, "{what}");
    }
    let both = hazard("small craft advisory (SC.Y); high surf warning (SU.W)");
    assert_eq!(severity(&both, "weather.hazards"), Some(Severity::Stop));
}

#[test]
fn a_warning_for_some_of_the_hours_closes_those() {
    let p = with(
        "hazards = [{ value = \"gale warning (GL.W)\", from = \"2026-10-17T22:00-05:00\", to = \"2026-10-18T06:00-05:00\" }]",
    );
    let f = rule(&p, "weather.hazards").unwrap();
    assert_eq!(f.severity, Severity::Caution, "{}", f.sentence);
    assert!(f.sentence.contains("closes") && !p.windows.is_empty(), "{}", f.sentence);
    assert!(p.windows.iter().all(|w| w.end.as_str() < "2026-10-17T22:00"), "{:?}", p.windows);
    let over = with(
        "hazards = [{ value = \"gale warning (GL.W)\", from = \"2026-10-17T02:00-05:00\", to = \"2026-10-17T12:00-05:00\" }]",
    );
    assert!(rule(&over, "weather.hazards").is_none(), "it ended before the night");
    // One of which nobody says when it ends does not end.
    let open = with("hazards = [{ value = \"gale warning\", from = \"2026-10-17T02:00-05:00\" }]");
    assert_eq!(severity(&open, "weather.hazards"), Some(Severity::Stop));
}

#[test]
fn a_warning_holds_however_old_its_file_is_and_of_a_night_without_forecast_too() {
    let rows = format!("hazards = [{{ value = \"high surf warning (SU.W)\", {HOURS} }}]");
    let old = format!(
        "{}\n[[report]]\nsource = \"old\"\nkind = \"forecast\"\nissued = \"2026-10-12T09:00-05:00\"\nlatitude = 26.6\nlongitude = -97.3\n{rows}\n",
        demo(A).replace("as_of = \"2026-10-16T12:00\"", "as_of = \"2026-10-17T09:00\"")
    );
    let p = plan_of(&old, &noon());
    assert_eq!(severity(&p, "weather.hazards"), Some(Severity::Stop));
    assert!(rule(&p, "conditions.age_h").is_none(), "the age of the other figures stays theirs");
    let far = Options { now: Some("2026-10-12T12:00-05:00".parse().unwrap()), ..noon() };
    let text = old.replace("as_of = \"2026-10-17T09:00\"", "as_of = \"2026-10-01T09:00\"");
    let p = plan_of(&text, &far);
    assert_eq!(severity(&p, "weather.hazards"), Some(Severity::Stop));
    assert!(p.beyond_forecast);
}

#[test]
fn rip_currents_that_are_warned_of_are_the_outlooks_high() {
    let p = hazard("rip currents statement (RP.S)");
    assert_eq!(severity(&p, "surf.rip_risk"), Some(Severity::Stop));
    // The crew's own low does not talk it down.
    assert!(demo(A).contains("rip_outlook = \"low\""));
    // Nor does it a statement for beaches, by which rip currents are announced too.
    let p = hazard("beach hazards statement (BH.S)");
    assert_eq!(severity(&p, "surf.rip_risk"), Some(Severity::Caution));
}

#[test]
fn thunder_in_words_in_levels_and_in_hazards_is_a_storm() {
    let sentence = |rows: &str| rule(&with(rows), "weather.thunder").map(|f| f.sentence.clone());
    let say = |what: &str| format!("weather = [{{ value = \"{what}\", {HOURS} }}]");
    assert_eq!(sentence(&say("chance light rain showers")), None);
    for what in ["slight chance light thunderstorms", "rain; isolated water spouts"] {
        let found = sentence(&say(what)).expect(what);
        assert!(found.starts_with("Storms are in the region: "), "{found}");
        assert!(found.contains(what.rsplit("; ").next().unwrap()), "{found}");
    }
    let level = |l: f64| sentence(&format!("lightning_level = [{{ value = {l:.1}, {HOURS} }}]"));
    assert_eq!(level(1.0), None);
    assert!(level(2.0).unwrap().contains("lightning activity level 2"));
    assert!(rule(&hazard("severe thunderstorm watch (SV.A)"), "weather.thunder").is_some());
    // A forecaster's low chance beside it does not talk it down.
    let rows = format!("thunder_chance = [{{ value = 0.0, {HOURS} }}]\n{}", say("thunderstorms"));
    assert!(sentence(&rows).is_some());
}

#[test]
fn fog_in_words_caps_what_one_can_see() {
    let shown = |rows: &str| {
        let p = with(rows);
        let c = p.conditions.iter().find(|c| c.name == "visibility").unwrap();
        (c.value, severity(&p, "visibility.km"), severity(&p, "kayak.light"))
    };
    let clear = format!("visibility = [{{ value = \"16km\", {HOURS} }}]");
    let say = |what: &str| format!("{clear}\nweather = [{{ value = \"{what}\", {HOURS} }}]");
    assert_eq!(shown(&say("patchy fog")), (Some(700.0), Some(Severity::Caution), Some(Severity::Stop)));
    assert_eq!(shown(&say("areas dense fog")), (Some(200.0), Some(Severity::Stop), Some(Severity::Stop)));
    let thick = clear.replace("16km", "100m");
    let rows = format!("{thick}\nweather = [{{ value = \"patchy fog\", {HOURS} }}]");
    assert_eq!(shown(&rows).0, Some(100.0), "the worse of both");
    assert_eq!(shown(&format!("hazards = [{{ value = \"MF.Y\", {HOURS} }}]")).0, Some(200.0));
}

#[test]
fn a_current_off_the_beach_is_a_voice_for_the_one_along_it() {
    let along = |mps: f64| {
        let p = with(&format!("current = [{{ value = \"{mps}m/s\", {HOURS} }}]"));
        p.conditions.iter().find(|c| c.name == "current along").and_then(|c| c.value).unwrap()
    };
    assert_eq!(along(1.5), 1.5);
    assert_eq!(along(0.6), 0.6);
    assert_eq!(along(0.01), 0.5, "what nobody measured counts at the pack's unknown");
    // Where waves drive more, the equation stays.
    let text = demo(A)
        .replace("current = \"0.15m/s\"\n", "")
        .replace("wave_angle = \"5deg\"", "wave_angle = \"40deg\"");
    let of = |rows: &str| {
        let text = format!(
            "{text}\n[[report]]\nsource = \"x\"\nkind = \"forecast\"\nissued = \"2026-10-16T09:00-05:00\"\nlatitude = 26.6\nlongitude = -97.3\n{rows}\n"
        );
        let p = plan_of(&text, &options(A_READ, 32));
        p.conditions.iter().find(|c| c.name == "current along").and_then(|c| c.value).unwrap()
    };
    let bare = of("");
    assert!(bare > 0.3, "{bare}");
    assert_eq!(of(&format!("current = [{{ value = \"0.05m/s\", {HOURS} }}]")), bare);
    assert_eq!(of(&format!("current = [{{ value = \"2.5m/s\", {HOURS} }}]")), 2.5);
}

/// One cell's answer with everything that an agency may warn of.
fn grid() -> String {
    let layer = |name: &str, uom: &str, value: &str| {
        format!(
            "\"{name}\": {{ {uom} \"values\": [{{ \"validTime\": \"2026-10-17T20:00:00+00:00/PT12H\", \"value\": {value} }}] }}"
        )
    };
    let layers = [
        layer("windSpeed", "\"uom\": \"wmoUnit:km_h-1\",", "8"),
        layer("lightningActivityLevel", "", "6"),
        layer(
            "hazards",
            "",
            "[{\"phenomenon\": \"SU\", \"significance\": \"W\"}, {\"phenomenon\": \"SV\", \"significance\": \"A\"}]",
        ),
        layer(
            "weather",
            "",
            "[{\"coverage\": \"likely\", \"weather\": \"thunderstorms\", \"intensity\": \"heavy\"}]",
        ),
    ];
    format!(
        "{{ \"properties\": {{ \"updateTime\": \"2026-10-17T15:00:00+00:00\", {} }} }}",
        layers.join(", ")
    )
}

#[test]
fn what_a_cell_warns_of_is_carried_to_the_outing() {
    let file = read("grid.json", &grid(), &Told::default()).unwrap();
    let night =
        Interval::new("2026-10-17T18:00-05:00".parse().unwrap(), "2026-10-18T00:30-05:00".parse().unwrap())
            .unwrap();
    let sifted = sift(&file, &[night], "2026-10-17T20:30Z".parse().unwrap());
    let [r]: &[Report] = &sifted[..] else { panic!("{sifted:?}") };
    assert_eq!(r.hazards[0].value, "high surf warning (SU.W); severe thunderstorm watch (SV.A)");
    assert_eq!(r.weather[0].value, "likely heavy thunderstorms");
    assert_eq!((r.lightning_level[0].value, r.hazards[0].to.is_some()), (6.0, true));
    assert!(Degree::Warning > Degree::Watch);
}
