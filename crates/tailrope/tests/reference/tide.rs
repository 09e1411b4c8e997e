//! Tide against a second engine, another engine's series, the agency's printed predictions and its own
//! subordinate. What each fixture is stands at its head.

use jiff::{SignedDuration, Timestamp};
use serde_json::Value;
use std::collections::BTreeMap;
use tailrope::facts::PackText;
use tailrope::quantity::{Interval, Length, Span};
use tailrope::sea::tide::{Constituents, NodeRule, Residual, Station, Stations, Tide, Turning, Water};

fn stations() -> Stations {
    Stations::read(&PackText::new("stations.toml", include_str!("fixtures/stations.toml"))).unwrap()
}

fn station<'a>(all: &'a Stations, id: &str) -> &'a Station {
    all.stations.iter().find(|s| s.id == id).unwrap()
}

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn stretch(from: &str, to: &str) -> Interval {
    Interval::new(at(from), at(to)).unwrap()
}

/// Both other engines reckoned 37 constituents, read as the agency reads them.
fn agency(station: &Station, when: Interval, rule: NodeRule) -> Tide {
    Tide::of_station_by(station, when, rule, Constituents::Agency).unwrap()
}

/// Differences ours less theirs in mm, by station.
fn compare(csv: &str, rule: NodeRule) -> BTreeMap<String, Vec<f64>> {
    let all = stations();
    let mut lines = csv.lines().filter(|l| !l.starts_with('#'));
    let names: Vec<&str> = lines.next().unwrap().split(',').skip(1).collect();
    let when = stretch("2026-12-01T00:00Z", "2027-02-01T00:10Z");
    let tides: Vec<Tide> = names.iter().map(|n| agency(station(&all, n), when, rule)).collect();
    let mut differences: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for line in lines {
        let mut cells = line.split(',');
        let t = at(cells.next().unwrap());
        for ((name, tide), cell) in names.iter().zip(&tides).zip(cells) {
            let theirs: f64 = cell.parse().unwrap();
            differences
                .entry((*name).into())
                .or_default()
                .push(tide.level(t).unwrap().mm() - 1000.0 * theirs);
        }
    }
    differences
}

fn worst(d: &[f64]) -> f64 {
    d.iter().fold(0.0, |w, x| w.max(x.abs()))
}

fn rms(d: &[f64]) -> f64 {
    (d.iter().map(|x| x * x).sum::<f64>() / d.len() as f64).sqrt()
}

#[test]
fn ten_minute_series_of_ten_stations_within_a_millimetre() {
    let differences = compare(include_str!("fixtures/tide_10min.csv"), NodeRule::MidYear);
    assert_eq!(differences.len(), 10);
    for (name, d) in &differences {
        println!("{name}: {} levels, worst {:.3} mm", d.len(), worst(d));
        assert!(d.len() > 8900);
        assert!(worst(d) <= 1.0, "{name}: {}", worst(d));
    }
}

#[test]
fn another_engine_agrees_within_its_node_rule() {
    let csv = include_str!("fixtures/tide_hourly_other_engine.csv");
    for (name, d) in compare(csv, NodeRule::MidYear) {
        assert!(worst(&d) <= 35.0, "{name}: {}", worst(&d));
    }
    for (name, d) in compare(csv, NodeRule::Daily) {
        println!("{name}: rms {:.2} mm with daily nodes", rms(&d));
        assert!(rms(&d) <= 1.5, "{name}: {}", rms(&d));
    }
}

#[test]
fn every_turning_point_of_two_months() {
    let data: Value = serde_json::from_str(include_str!("fixtures/tide_highlow.json")).unwrap();
    let all = stations();
    // At new year the frozen nodes step; a parabola on a grid across the step sees a high and a low that are not
    // there (Sydney and La Jolla, within half an hour).
    let new_year = at("2027-01-01T00:00Z");
    let away = |t: Timestamp| t.duration_since(new_year).as_secs_f64().abs() > 1800.0;
    let mut count = 0;
    for (name, list) in data["stations"].as_object().unwrap() {
        let when = stretch("2026-12-01T00:00Z", "2027-02-01T00:00Z");
        let tide = agency(station(&all, name), when, NodeRule::MidYear);
        let ours = tide.turning_points(Turning::All);
        assert!(ours.windows(2).all(|w| w[0].water != w[1].water && w[0].at < w[1].at));
        assert!(ours.iter().filter(|p| !away(p.at)).count() <= 1, "{name}");
        let ours: Vec<_> = ours.into_iter().filter(|p| away(p.at)).collect();
        let list: Vec<&Value> =
            list.as_array().unwrap().iter().filter(|e| away(at(e[0].as_str().unwrap()))).collect();
        assert_eq!(ours.len(), list.len(), "{name}");
        for (o, e) in ours.iter().zip(list) {
            let expected = at(e[0].as_str().unwrap());
            assert_eq!(o.water == Water::High, e[1] == "H", "{name} {expected}");
            let off = o.at.duration_since(expected).as_secs_f64().abs();
            // Their minute is rounded, and a parabola on a flat top errs by a second or two more.
            assert!(off <= 32.0, "{name} {expected}: {} off {off} s", o.at);
            assert!((o.level.m() - e[2].as_f64().unwrap()).abs() <= 0.000_501, "{name} {expected}");
            count += 1;
        }
        let printed = tide.turning_points(Turning::Printed);
        assert!(printed.len() <= ours.len() + 1, "{name}");
        assert!(printed.windows(2).all(|w| w[0].water != w[1].water), "{name}");
    }
    assert_eq!(count, 2196);
}

/// What the constituents beyond the agency's 37 do to a year. There are no official predictions for these places, so
/// this says how much it matters, not which is right. DESIGN.md quotes the printed lines.
#[test]
fn what_the_other_constituents_add() {
    let all = stations();
    let when = stretch("2027-01-01T00:00Z", "2028-01-01T00:00Z");
    let boston = station(&all, "boston_ma");
    let agency_s: Vec<&str> = boston.constituents().collect();
    for (id, expected_rms, expected_worst) in
        [("walvis_bay_na", 12.2, 38.1), ("sydney_au", 11.9, 38.8), ("durban_za", 8.6, 30.3)]
    {
        let s = station(&all, id);
        let levels = |which| {
            let tide = Tide::of_station_by(s, when, s.nodes, which).unwrap();
            let levels = tide.levels(when.from(), Span::of_min(10.0), 365 * 144).unwrap();
            (levels, tide.turning_points(Turning::Printed))
        };
        let (with, waters) = levels(Constituents::All);
        let (without, fewer) = levels(Constituents::Agency);
        let off: Vec<f64> = with.iter().zip(&without).map(|(a, b)| a.mm() - b.mm()).collect();
        // Waters that have a partner of their kind within two hours.
        let partners: Vec<(f64, f64)> = waters
            .iter()
            .filter_map(|p| {
                fewer
                    .iter()
                    .filter(|q| q.water == p.water)
                    .map(|q| {
                        (q.at.duration_since(p.at).as_secs_f64().abs() / 60.0, (q.level - p.level).mm().abs())
                    })
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .filter(|(min, _)| *min < 120.0)
            })
            .collect();
        let times: Vec<f64> = partners.iter().map(|p| p.0).collect();
        let heights: Vec<f64> = partners.iter().map(|p| p.1).collect();
        println!(
            "{id}: {} constituents against {}; levels rms {:.1} mm, at most {:.1} mm; {} high and low waters, {} without; \
             rms {:.1} min and {:.1} mm, at most {:.1} min and {:.1} mm",
            s.constituents().count(),
            s.constituents().filter(|c| agency_s.contains(c)).count(),
            rms(&off),
            worst(&off),
            waters.len(),
            fewer.len(),
            rms(&times),
            rms(&heights),
            worst(&times),
            worst(&heights),
        );
        assert!((rms(&off) - expected_rms).abs() < 0.1 && (worst(&off) - expected_worst).abs() < 0.1, "{id}");
    }
}

/// Norway's own analysis names tides of its gauges in one convention, TICON-4 those of the same gauges in another.
/// Read each as its source means it they give one tide; read as the agency reads names they do not.
#[test]
fn two_analyses_of_one_gauge_give_one_tide() {
    let text = include_str!("fixtures/tide_two_analyses.toml");
    let all = Stations::read(&PackText::new("tide_two_analyses.toml", text)).unwrap();
    let when = stretch("2026-06-01T00:00Z", "2028-06-01T00:00Z");
    for name in ["andenes", "kabelvag", "ny_alesund", "rorvik"] {
        let levels = |id: &str, which| {
            let s = station(&all, &format!("{name}_{id}"));
            let tide = Tide::of_station_by(s, when, NodeRule::Daily, which).unwrap();
            tide.levels(when.from(), Span::of_min(30.0), 730 * 48).unwrap()
        };
        let norway = levels("agency", Constituents::All);
        let off = |theirs: Vec<Length>| {
            let off: Vec<f64> = norway.iter().zip(&theirs).map(|(a, b)| a.mm() - b.mm()).collect();
            rms(&off)
        };
        let all_read = off(levels("ticon", Constituents::All));
        let agency_s = off(levels("ticon", Constituents::Agency));
        println!("{name}: rms {all_read:.1} mm with all constituents, {agency_s:.1} mm with the agency's");
        assert!(all_read < agency_s - 1.0 && all_read < 15.0, "{name}: {all_read} {agency_s}");
    }
}

#[test]
fn the_agency_s_own_predictions() {
    let data: Value = serde_json::from_str(include_str!("fixtures/tide_official.json")).unwrap();
    let all = stations();
    let mut count = 0;
    for (name, s) in data["stations"].as_object().unwrap() {
        for (from, to) in
            [("2026-09-15T00:00Z", "2026-09-17T00:00Z"), ("2027-06-15T00:00Z", "2027-06-17T00:00Z")]
        {
            let tide = Tide::of_station(station(&all, name), stretch(from, to)).unwrap();
            let ours = tide.turning_points(Turning::Printed);
            let theirs: Vec<&Value> = s["extremes"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|e| tide.when().contains(at(e[0].as_str().unwrap())))
                .collect();
            assert_eq!(ours.len(), theirs.len(), "{name} {from}: {ours:?}");
            for (o, e) in ours.iter().zip(theirs) {
                let off = o.at.duration_since(at(e[0].as_str().unwrap())).as_secs_f64().abs();
                assert!(off <= 210.0, "{name} {e}: {o:?}");
                assert!((o.level.m() - e[2].as_f64().unwrap()).abs() <= 0.008, "{name} {e}: {o:?}");
                assert_eq!(o.water == Water::High, e[1] == "H");
                count += 1;
            }
        }
    }
    assert_eq!(count, 40);
    // A fourth sample, about mean sea level.
    let pensacola = station(&all, "pensacola_fl");
    let tide = Tide::of_station(pensacola, stretch("2026-10-01T00:00Z", "2026-10-01T01:00Z")).unwrap();
    for v in data["six_minute_sample"]["values"].as_array().unwrap() {
        let ours = tide.level_about_mean(at(v[0].as_str().unwrap())).unwrap().unwrap();
        assert!((ours.m() - v[1].as_f64().unwrap()).abs() <= 0.002, "{v} {ours:?}");
    }
}

#[test]
fn the_agency_s_own_subordinate() {
    let data: Value = serde_json::from_str(include_str!("fixtures/tide_subordinate.json")).unwrap();
    let all = stations();
    let found = all.get("craney_island_va").unwrap();
    let tide = Tide::of_found(&found, stretch("2020-11-04T05:00Z", "2020-11-06T05:00Z")).unwrap();
    let ours = tide.turning_points(Turning::Printed);
    let theirs = data["official_local_feet"].as_array().unwrap();
    assert_eq!(ours.len(), theirs.len(), "{ours:?}");
    for (o, e) in ours.iter().zip(theirs) {
        let expected = at(&format!("{}-05:00", e[0].as_str().unwrap()));
        assert!(o.at.duration_since(expected).as_secs_f64().abs() <= 60.0, "{e}: {o:?}");
        assert!((o.level.m() - Length::of_ft(e[2].as_f64().unwrap()).m()).abs() <= 0.003, "{e}: {o:?}");
        assert_eq!(o.water == Water::High, e[1] == "H");
        // The curve passes through them, level.
        assert!((tide.level(o.at).unwrap() - o.level).m().abs() < 1e-6);
        assert!(tide.rate(o.at).unwrap().mps().abs() < 1e-8);
    }
}

#[test]
fn the_step_at_new_year_is_the_size_the_research_found() {
    let all = stations();
    let when = stretch("2026-12-31T00:00Z", "2027-01-02T00:00Z");
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    for s in all.stations.iter().filter(|s| s.id != "sewells_point_va") {
        let tide = Tide::of_station(s, when).unwrap();
        let new_year = at("2027-01-01T00:00Z");
        let before = tide.level(new_year - SignedDuration::from_millis(1)).unwrap();
        let step = tide.level(new_year).unwrap().mm() - before.mm();
        (low, high) = (low.min(step), high.max(step));
        let daily = Tide::of_station_with(s, when, NodeRule::Daily).unwrap();
        let smooth = daily.level(new_year).unwrap().mm()
            - daily.level(new_year - SignedDuration::from_millis(1)).unwrap().mm();
        assert!(smooth.abs() < 0.5, "{}: {smooth}", s.id);
    }
    assert!((-14.5..-13.5).contains(&low) && (8.5..9.5).contains(&high), "{low} {high}");
}

#[test]
fn a_gauge_shifts_the_level_and_its_age_widens_the_error() {
    let all = stations();
    let when = stretch("2026-10-17T00:00Z", "2026-10-19T00:00Z");
    let tide = Tide::of_station(station(&all, "padre_island_tx"), when).unwrap();
    let newest = at("2026-10-17T06:00Z");
    let readings: Vec<(Timestamp, Length)> = (0..60)
        .map(|i| {
            let t = newest - SignedDuration::from_mins(6 * i);
            (t, tide.predicted(t).unwrap() + Length::of_m(if i <= 30 { 0.21 } else { 0.9 }))
        })
        .collect();
    let residual = Residual::from_gauge(&tide, &readings).unwrap();
    assert!((residual.value.m() - 0.21).abs() < 1e-9 && residual.readings == 31, "{residual:?}");
    let shifted = tide.clone().with_residual(residual);
    let night = at("2026-10-18T03:00Z");
    assert!(((shifted.level(night).unwrap() - tide.level(night).unwrap()).m() - 0.21).abs() < 1e-9);
    assert!(shifted.error(newest).m() < shifted.error(night).m());
    assert!((tide.error(night).m() - 0.3).abs() < 0.001);
    let highest =
        |t: &Tide| t.turning_points(Turning::Printed).iter().map(|p| p.level.m()).fold(-9.0, f64::max);
    assert!((highest(&shifted) - highest(&tide) - 0.21).abs() < 1e-9);
    assert!(shifted.above(Length::of_m(0.5)).len() >= tide.above(Length::of_m(0.5)).len());
    // A gauge in feet read as metres, or above another datum, is not weather.
    let wrong = [(newest, Length::of_m(4.0))];
    assert!(Residual::from_gauge(&tide, &wrong).unwrap_err().remedy.contains("datum"));
}
