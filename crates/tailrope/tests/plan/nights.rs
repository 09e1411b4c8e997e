//! Several nights and beaches, and the strip of a night.

use super::support::*;
use tailrope::Outing;
use tailrope::facts::PackText;
use tailrope::outing::plans::{MOST_NIGHTS, following};
use tailrope::outing::strip::strip;
use tailrope::outing::text::render;
use tailrope::outing::{Nights, Plan, Plans, Verdict, one_after_another, plan};
use tailrope::quantity::Units;

fn outing(text: &str) -> Outing {
    Outing::read(&PackText::new("night.toml", text)).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn nights_share_their_fights_and_are_the_plans_they_would_be_alone() {
    let options = options(A_READ, 64);
    let nights = Nights::new(facts(), &one_after_another);
    let all = following(&outing(&demo(A)), 14).unwrap();
    let mut plans = Vec::new();
    let mut fought = Vec::new();
    for o in &all {
        plans.push(nights.plan(o, &options).unwrap());
        fought.push(nights.fought());
    }
    for (o, p) in all.iter().zip(&plans) {
        assert_eq!(plan(facts(), o, &options, &one_after_another).unwrap().to_json(), p.to_json());
    }
    // One set of fights with the water known, one without, however many nights.
    assert_eq!(fought[1], fought[13], "{fought:?}");
    assert!(fought[13] <= 2 * fought[0], "{fought:?}");
    // Another drag is another set.
    nights.plan(&outing(&edit(&demo(A), "fight = \"28lbf\"", "fight = \"26lbf\"")), &options).unwrap();
    assert!(nights.fought() > fought[13]);
}

#[test]
fn lines_stand_by_date_and_agree_with_their_plans() {
    let options = options(A_READ, 32);
    let nights = Nights::new(facts(), &one_after_another);
    let other = edit(&demo(A), "name = \"Pelican Bar, the long island\"", "name = \"Another Bar\"");
    let mut made: Vec<Plan> = Vec::new();
    for text in [other, demo(A)] {
        for o in following(&outing(&text), 3).unwrap() {
            made.push(nights.plan(&o, &options).unwrap());
        }
    }
    let plans = Plans::of(&made);
    let order: Vec<(&str, &str)> = plans.nights.iter().map(|n| (&n.date[8..], &n.beach[..3])).collect();
    assert_eq!(
        order,
        [("17", "Ano"), ("17", "Pel"), ("18", "Ano"), ("18", "Pel"), ("19", "Ano"), ("19", "Pel")]
    );
    for n in &plans.nights {
        let p = made.iter().find(|p| p.night.date == n.date && p.night.beach == n.beach).unwrap();
        assert_eq!((n.verdict, &n.windows, n.known), (p.verdict, &p.windows, p.known));
        if n.beyond_forecast && p.verdict != Verdict::Stop {
            assert!(n.first_reason.contains("beyond what was forecast"), "{}", n.first_reason);
            assert_eq!(n.not_known, "sea and weather not known");
        } else {
            assert_eq!(n.first_reason, p.findings[0].sentence);
            assert_eq!(n.not_known.is_empty(), p.known == "all", "{}", p.known);
        }
        // What is its own and what is everybody's are together what was found, and apart.
        assert_eq!(n.own_reasons.len() + plans.in_every_night.len(), n.counts.stop + n.counts.caution);
        assert!(n.own_reasons.iter().all(|s| !plans.in_every_night.contains(s)));
        assert_eq!(
            n.counts.stop + n.counts.caution,
            p.findings.iter().filter(|f| f.severity.verdict() != Verdict::Go).count()
        );
    }
    // The sea is known for the first date only: that is what tells it apart.
    assert!(plans.in_every_night.iter().all(|s| !s.sentence.contains("beyond what was forecast")));
    assert!(
        plans.nights[2].own_reasons.iter().any(|s| s.sentence.contains("forecast")),
        "{:?}",
        plans.nights[2]
    );
    assert!(Plans::of(&made[..1]).in_every_night.is_empty());
    assert_eq!(plans.nights[0].known, "all");
    assert_eq!((plans.nights[2].known, plans.nights[2].beyond_forecast), ("no sea, no weather", true));
    assert!(
        plans.nights.iter().all(|n| n.verdict == Verdict::Caution),
        "typed for one night, a stop for none"
    );
    assert_eq!(plans.least_bad(), Verdict::Caution);
    assert_eq!(Plans::of(&[]).least_bad(), Verdict::Stop);
    // A night of which little is known is no better than one that is known to be bad.
    let mut bad = made.clone();
    for p in bad.iter_mut().filter(|p| !p.beyond_forecast) {
        p.verdict = Verdict::Stop;
    }
    assert!(bad.iter().any(|p| p.verdict == Verdict::Caution));
    assert_eq!(Plans::of(&bad).least_bad(), Verdict::Stop);
    bad.retain(|p| p.beyond_forecast);
    assert_eq!(Plans::of(&bad).least_bad(), Verdict::Caution, "of nothing but such nights their own");
    let json: serde_json::Value = serde_json::from_str(&plans.to_json()).unwrap();
    for key in ["beach", "date", "verdict", "first_reason", "windows", "counts", "known"] {
        assert!(!json["nights"][0][key].is_null(), "{key}");
    }
}

#[test]
fn nights_are_counted() {
    let o = outing(&demo(A));
    assert_eq!(following(&o, 1).unwrap(), std::slice::from_ref(&o));
    let all = following(&o, MOST_NIGHTS).unwrap();
    assert_eq!(all.last().unwrap().night.date.to_string(), "2026-11-16");
    assert!(all[1].sea.as_of.is_unknown() && !all[0].sea.as_of.is_unknown());
    assert!(following(&o, 0).is_err() && following(&o, MOST_NIGHTS + 1).is_err());
}

fn night(zone: (&str, f64, f64), day: &str) -> Plan {
    let text = edit(
        &demo(A),
        "latitude = 26.62\nlongitude = -97.32\nzone = \"America/Chicago\"",
        &format!("latitude = {:.2}\nlongitude = {:.2}\nzone = \"{}\"", zone.1, zone.2, zone.0),
    );
    let text = edit(&text, "date = \"2026-10-17\"", &format!("date = \"{day}\""));
    let text = edit(
        &text,
        "from = \"18:00\"\nuntil = \"00:30\"\nlast_bait_in = \"22:30\"\nhome_by = \"01:30\"",
        "from = \"22:00\"\nuntil = \"05:00\"\nlast_bait_in = \"04:00\"\nhome_by = \"06:00\"",
    );
    plan_of(&text, &options(day.parse().unwrap(), 16))
}

/// Mark of the ruler's column at which an hour stands, each time it does.
fn columns(ruler: &str, hour: &str) -> Vec<usize> {
    let marks: String = ruler.chars().skip(12).collect();
    marks.match_indices(hour).map(|(i, _)| i).collect()
}

#[test]
fn a_night_across_a_clock_change_keeps_true_hours() {
    let chicago = ("America/Chicago", 26.62, -97.32);
    // Clocks go back: the night is eight hours long and has two o'clock once, one o'clock twice.
    let back = night(chicago, "2026-10-31");
    let lines = strip(&back, Units::Us, 80);
    assert_eq!(columns(&lines[0], "01"), [18, 24]);
    assert_eq!(columns(&lines[0], "02"), [30]);
    assert!(
        lines.last().unwrap().contains("UTC-06:00") || lines.iter().any(|l| l.contains("UTC-06:00")),
        "{lines:#?}"
    );
    assert_eq!(lines[1].chars().skip(12).count(), 48, "{:?}", lines[1]);
    // Forward: seven hours less one, and no two o'clock.
    let forward = night(chicago, "2026-03-07");
    let lines = strip(&forward, Units::Us, 80);
    assert_eq!(
        (columns(&lines[0], "01"), columns(&lines[0], "02"), columns(&lines[0], "03")),
        (vec![18], vec![], vec![24])
    );
    assert_eq!(lines[1].chars().skip(12).count(), 36);
    // A zone without a change: seven hours.
    let none = night(("Africa/Windhoek", -22.62, 14.52), "2026-10-31");
    let lines = strip(&none, Units::Us, 80);
    assert_eq!(columns(&lines[0], "02"), [24]);
    assert_eq!(lines[1].chars().skip(12).count(), 42);
    assert!(lines.iter().any(|l| l.contains("UTC+02:00)")), "{lines:#?}");
    // Steps, windows and the table's clocks have the offset of their own moment.
    for (p, hours) in [(&back, 8.0), (&forward, 6.0), (&none, 7.0)] {
        let at = |t: &str| t.parse::<jiff::Timestamp>().unwrap();
        let long = at(&p.night.until).duration_since(at(&p.night.from)).as_secs_f64() / 3600.0;
        assert_eq!(long, hours, "{:?}", p.night);
        assert_eq!(p.steps.len() as f64, hours * 6.0 + 1.0);
        let ends: Vec<_> =
            p.windows.iter().map(|w| at(&w.end)).chain(p.closed.iter().map(|c| at(&c.end))).collect();
        assert_eq!(ends.iter().max(), Some(&at(&p.night.until)));
    }
    assert!(back.night.from.ends_with("-05:00") && back.night.until.ends_with("-06:00"));
    assert!(forward.night.from.ends_with("-06:00") && forward.night.until.ends_with("-05:00"));
}

#[test]
fn the_strip_fits_and_says_what_the_plan_says() {
    let p = plan_of(&demo(A), &options(A_READ, 32));
    for width in [48, 60, 80, 100, 160] {
        for line in strip(&p, Units::Us, width) {
            assert!(line.chars().count() <= width.clamp(48, 100), "{width}: {line:?}");
        }
    }
    let lines = strip(&p, Units::Us, 80);
    let marks = |name: &str| {
        lines
            .iter()
            .find(|l| l.trim_start().starts_with(name))
            .map(|l| l.chars().skip(12).collect::<String>())
            .unwrap()
    };
    // Open to the last bait at 22:30, 27 marks of ten minutes after 18:00; closed to the end.
    assert_eq!(marks("fishing"), format!("{}{}", "~".repeat(27), "x".repeat(12)));
    // Sunset 18:58, the end of civil twilight 19:22.
    assert!(marks("light").starts_with("......:::#"), "{}", marks("light"));
    assert!(marks("moon").ends_with("o-"), "the moon sets at 00:15: {}", marks("moon"));
    assert!(marks("water").chars().all(|c| c == '/'), "high water is at 01:01: {}", marks("water"));
    assert!(
        !lines.iter().any(|l| l.trim_start().starts_with("wind")),
        "one figure for the night needs no line"
    );
    let text = render(&p, Units::Us, 80);
    assert!(text.contains(&lines[1]));
    // Perturbed: another last bait moves the border.
    let q = plan_of(
        &edit(&demo(A), "last_bait_in = \"22:30\"", "last_bait_in = \"21:30\""),
        &options(A_READ, 32),
    );
    let line = strip(&q, Units::Us, 80)[1].clone();
    assert_eq!(line.matches('~').count(), 21, "{line}");
}

#[test]
fn the_strip_writes_what_changes_hour_by_hour() {
    let row = |from: u8, to: u8, kn: u8| {
        format!(
            "{{ value = \"{kn}kn\", from = \"2026-10-17T{from}:00-05:00\", to = \"2026-10-17T{to}:00-05:00\" }}"
        )
    };
    let text = format!(
        "{}\n[[report]]\nsource = \"f\"\nkind = \"forecast\"\nissued = \"2026-10-16T12:00-05:00\"\nwind = [{}]\n",
        demo(A),
        [row(18, 19, 4), row(19, 20, 9), row(20, 23, 12)].join(", ")
    );
    let p = plan_of(&text, &options(A_READ, 16));
    let lines = strip(&p, Units::Us, 80);
    let wind =
        lines.iter().find(|l| l.trim_start().starts_with("wind kn")).unwrap_or_else(|| panic!("{lines:#?}"));
    let marks: String = wind.chars().skip(12).collect();
    // The typed 6 kn holds where the forecast has less.
    assert_eq!(marks.split_whitespace().collect::<Vec<_>>()[..3], ["6", "9", "12"], "{marks}");
    assert_eq!(&marks[6..7], "9");
}
