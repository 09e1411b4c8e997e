//! Tests of the whole engine: calendar, nodes, new years, vanishing tides, and the fast way against the plain sum.
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // positions in short lists

use super::astro::{Arguments, speed_deg_h};
use super::*;
use crate::facts::PackText;
use proptest::prelude::*;

fn stations() -> Stations {
    Stations::read(&PackText::new("s", include_str!("../../../tests/reference/fixtures/stations.toml")))
        .unwrap()
}

fn seconds(text: &str) -> f64 {
    unix_s(text.parse().unwrap())
}

#[test]
fn arguments_run_on_over_every_new_year_from_1900_to_2099() {
    // A leap day missed or counted twice would turn K1 by one degree and M2 by 24.
    let lines: Vec<_> = (0..).map_while(constituent::get).collect();
    assert!(lines.len() > 140, "{}", lines.len());
    for year in 1900..2099 {
        let from = seconds(&format!("{year}-01-01T00:00Z"));
        let to = seconds(&format!("{}-01-01T00:00Z", year + 1));
        let (a, b) = (Arguments::at(from), Arguments::at(to));
        for c in &lines {
            let run = a.v_deg(c) + speed_deg_h(c) * (to - from) / 3600.0;
            let off = (run - b.v_deg(c) + 180.0).rem_euclid(360.0) - 180.0;
            assert!(off.abs() < 0.01, "{year} {} {off}", c.name);
        }
    }
}

#[test]
fn the_years_1900_to_2099_are_reckoned_and_no_others() {
    let all = stations();
    for (from, to, good) in [
        ("1900-01-01T00:00Z", "1900-03-02T00:00Z", true),
        ("2000-02-28T00:00Z", "2000-03-02T00:00Z", true),
        ("2099-10-31T00:00Z", "2099-12-31T23:00Z", true),
        ("1899-12-31T23:00Z", "1900-01-02T00:00Z", false),
        ("2099-12-31T00:00Z", "2100-01-01T00:00Z", false),
    ] {
        let when = Interval::new(from.parse().unwrap(), to.parse().unwrap()).unwrap();
        for s in &all.stations {
            let Ok(tide) = Tide::of_station(s, when) else {
                assert!(!good, "{from}");
                continue;
            };
            assert!(good, "{from}");
            let points = tide.turning_points(Turning::All);
            // A high and a low in most days at least, and not more than two of each.
            let days = when.length().h() / 24.0;
            assert!((days..=4.3 * days).contains(&(points.len() as f64)), "{} {from}", s.id);
        }
    }
}

#[test]
fn a_new_year_makes_no_tides_of_its_own() {
    let all = stations();
    let (mut near, mut moved) = (0, 0.0_f64);
    for year in 1901..2099 {
        let new_year = seconds(&format!("{year}-01-01T00:00Z"));
        let when =
            Interval::new(instant(new_year - 2.0 * 86400.0), instant(new_year + 2.0 * 86400.0)).unwrap();
        for s in &all.stations {
            let tide = Tide::of_station(s, when).unwrap();
            let ours = tide.turning_points(Turning::All);
            assert!(ours.windows(2).all(|w| w[0].water != w[1].water && w[0].at < w[1].at));
            // Nodes that are renewed every day make no step worth speaking of: the same tides, no more.
            let smooth = Tide::of_station_with(s, when, NodeRule::Daily).unwrap();
            let theirs = smooth.turning_points(Turning::All);
            for p in ours.iter().filter(|p| (unix_s(p.at) - new_year).abs() < 1800.0) {
                near += 1;
                let same = theirs.iter().filter(|q| q.water == p.water);
                let off = same.map(|q| (unix_s(q.at) - unix_s(p.at)).abs()).fold(f64::INFINITY, f64::min);
                // Half a year of node moves a tide by minutes, a flat diurnal one by an hour.
                assert!(off < 4000.0, "{} {year}: {p:?} {off}", s.id);
                moved = moved.max(off);
            }
            let count = |list: &[TurningPoint]| {
                list.iter().filter(|p| (unix_s(p.at) - new_year).abs() < 1800.0).count()
            };
            assert!(count(&ours) <= 1 || count(&theirs) > 1, "{} {year}: {ours:?}", s.id);
        }
    }
    assert!(near > 300, "{near} of the waters were near a new year; moved {moved} s");
}

#[test]
fn a_diurnal_place_has_days_without_high_water() {
    let all = stations();
    let Found::Station(s) = all.get("pensacola_fl").unwrap() else { panic!() };
    let from = seconds("2027-01-01T00:00Z");
    let when = Interval::new(instant(from), instant(from + 365.0 * 86400.0)).unwrap();
    let tide = Tide::of_station(&s, when).unwrap();
    let highs = |which| {
        let mut days = vec![0; 365];
        for p in tide.turning_points(which).iter().filter(|p| p.water == Water::High) {
            days[((unix_s(p.at) - from) / 86400.0) as usize] += 1;
        }
        days
    };
    let printed = highs(Turning::Printed);
    assert!(printed.iter().filter(|n| **n == 0).count() >= 9, "{printed:?}");
    // About the Moon's crossing of the equator the tide nearly vanishes: small pairs that no table prints.
    let (all, printed) = (highs(Turning::All).iter().sum::<i32>(), printed.iter().sum::<i32>());
    assert!(all > printed + 5 && printed > 330, "{all} {printed}");
}

#[test]
fn what_two_sources_call_differently_is_one_tide() {
    let pack = include_str!("../../../tests/reference/fixtures/tide_two_analyses.toml");
    let all = Stations::read(&PackText::new("two", pack)).unwrap();
    // The middle of the years analysed, since some lines differ by a turn in 20,000 years.
    let start = Arguments::at(seconds("2016-01-28T00:00Z"));
    let read = |id: &str| {
        let Found::Station(s) = all.get(id).unwrap() else { panic!("{id}") };
        harmonic::read(&s.constants, &s.source, Constituents::All)
    };
    let phase = |k: &(constituent::Constituent, harmonic::Constant)| start.v_deg(&k.0) - k.1.lag_deg;
    let twins = [
        ("M1", "NO1"),
        ("SGM", "SIGMA1"),
        ("S1", "S1_KV"),
        ("MA2", "ALPHA2"),
        ("MB2", "M(KS)2"),
        ("R3", "SK3"),
    ];
    let mut met = std::collections::BTreeMap::new();
    for gauge in ["andenes", "kabelvag", "ny_alesund", "rorvik"] {
        let (norway, ticon) = (read(&format!("{gauge}_agency")), read(&format!("{gauge}_ticon")));
        for theirs in &ticon {
            let name = theirs.0.name;
            let twin = twins.iter().find(|(t, _)| *t == name).map_or(name, |(_, n)| n);
            let Some(ours) = norway.iter().find(|k| k.0.name == twin) else { continue };
            if theirs.1.amplitude_m < 0.002 || ours.1.amplitude_m < 0.002 {
                continue;
            }
            let off = (phase(theirs) - phase(ours) + 180.0).rem_euclid(360.0) - 180.0;
            let ratio = theirs.1.amplitude_m / ours.1.amplitude_m;
            *met.entry(name).or_insert(0) += 1;
            assert!(off.abs() < 45.0 && (0.5..2.0).contains(&ratio), "{gauge} {name} {off} {ratio}");
        }
    }
    for name in ["M1", "SGM", "S1", "MA2", "MB2", "R3", "2MK5", "EPS2", "MKS2", "2MS6", "K1", "R2"] {
        assert!(met.contains_key(name), "{name}: {met:?}");
    }
}

#[test]
fn a_place_that_follows_a_vanishing_tide_by_added_heights() {
    let pack = format!(
        "{}\n[[subordinate]]\nid = 'bay'\nname = 'Bay'\nplace = {{ latitude_deg = 30.3, longitude_deg = -87.2 }}\nzone = 'America/Chicago'\n\
         reference = 'pensacola_fl'\nhigh_later_min = 47\nlow_later_min = 121\nhigh = {{ add = '0.07m' }}\n\
         low = {{ add = '-0.05m' }}\ngrade = 'estimate'\nsource = 's'\nlicence = 'l'\nattribution = 'a'\n",
        include_str!("../../../tests/reference/fixtures/stations.toml")
    );
    let all = Stations::read(&PackText::new("s", &pack)).unwrap();
    let Found::Subordinate(sub, reference) = all.get("bay").unwrap() else { panic!() };
    let when = Interval::new(instant(1.79e9), instant(1.79e9 + 300.0 * 86400.0)).unwrap();
    let followed = Tide::of_station(&reference, when).unwrap().turning_points(Turning::Printed);
    let tide = Tide::of_subordinate(&sub, &reference, when).unwrap();
    let ours = tide.turning_points(Turning::Printed);
    assert!(ours.windows(2).all(|w| w[0].water != w[1].water && w[0].at < w[1].at));
    // Nearly every water is there, moved and raised.
    let mut met = 0;
    for p in &ours {
        let (later_min, added) = if p.water == Water::High { (47.0, 0.07) } else { (121.0, -0.05) };
        let back = unix_s(p.at) - 60.0 * later_min;
        met += followed
            .iter()
            .filter(|q| q.water == p.water && (unix_s(q.at) - back).abs() < 0.1)
            .filter(|q| ((p.level - q.level).m() - added).abs() < 1e-9)
            .count();
    }
    assert!(
        met + 2 >= ours.len() && ours.len() + 8 >= followed.len(),
        "{met} {} {}",
        ours.len(),
        followed.len()
    );
    // Where the tide vanishes a water is left out, and the curve knows every hour all the same.
    let longest = ours.windows(2).map(|w| w[1].at.duration_since(w[0].at).as_secs_f64()).fold(0.0, f64::max);
    assert!(longest > 18.0 * 3600.0, "{longest}");
    let levels = tide.levels(when.from(), Span::of_h(1.0), 300 * 24).unwrap();
    assert!(levels.windows(2).all(|w| (w[1] - w[0]).m().abs() < 0.2));
    let (above, below) = (tide.above(Length::of_m(0.2)), tide.below(Length::of_m(0.2)));
    let total: f64 = above.iter().chain(&below).map(|i| i.length().s()).sum();
    assert!((total - when.length().s()).abs() < 1.0);
}

#[test]
fn a_list_of_levels_is_refused_as_one_level_is() {
    let all = stations();
    let when = Interval::new(instant(1.79e9), instant(1.79e9 + 86400.0)).unwrap();
    let tide = Tide::of_found(&all.get("boston_ma").unwrap(), when).unwrap();
    let ask = |step_s: f64, count| tide.levels(when.from(), Span::of_s(step_s), count);
    assert_eq!(ask(600.0, 145).unwrap().len(), 145);
    assert_eq!(ask(600.0, 0).unwrap().len(), 0);
    assert!(ask(600.0, 146).unwrap_err().error.contains("not known"));
    for step in [0.0, -600.0, 0.5, f64::NAN, f64::INFINITY] {
        assert!(ask(step, 10).unwrap_err().allowed.contains("one second"), "{step}");
    }
    assert!(ask(600.0, usize::MAX).unwrap_err().allowed.contains("one second"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn equal_steps_give_what_single_levels_give(
        which in 0usize..12, day in 0i64..60_000, step_s in 1.0..20_000.0f64, daily in any::<bool>(),
        pick in proptest::collection::vec(0.0..1.0f64, 20),
    ) {
        let all = stations();
        let from = -2.0e9 + day as f64 * 86400.0;
        let days = 40.0;
        let when = Interval::new(instant(from), instant(from + days * 86400.0)).unwrap();
        let rule = if daily { NodeRule::Daily } else { NodeRule::MidYear };
        let tide = match all.stations.get(which) {
            Some(s) => Tide::of_station_with(s, when, rule).unwrap(),
            None => Tide::of_found(&all.get("craney_island_va").unwrap(), when).unwrap(),
        };
        let count = ((days * 86400.0 / step_s) as usize).min(5000);
        let levels = tide.levels(when.from(), Span::of_s(step_s), count).unwrap();
        prop_assert_eq!(levels.len(), count);
        for x in pick {
            let i = (x * count as f64) as usize;
            let at_s = from + step_s * i as f64;
            // By the plain sum, at the same instant to the bit.
            let plain = match &tide.kind {
                Kind::Harmonic(h) => h.level_m(at_s),
                Kind::Curve(c) => c.level_m(at_s).unwrap(),
            };
            prop_assert!((levels[i].m() - plain).abs() < 1e-9, "{i} {} {plain}", levels[i].m());
        }
    }

    #[test]
    fn a_turning_point_is_level_and_highest_about_itself(
        which in 0usize..11, day in 0i64..60_000, daily in any::<bool>(),
    ) {
        let all = stations();
        let from = -2.0e9 + day as f64 * 86400.0;
        let when = Interval::new(instant(from), instant(from + 20.0 * 86400.0)).unwrap();
        let rule = if daily { NodeRule::Daily } else { NodeRule::MidYear };
        let tide = Tide::of_station_with(&all.stations[which], when, rule).unwrap();
        let Kind::Harmonic(h) = &tide.kind else { panic!() };
        let (from, to) = (unix_s(when.from()), unix_s(when.to()));
        for p in turning::all(h, from, to) {
            let renewed = h.epochs(from, to).any(|(_, a, b)| (a - p.at_s).abs() < 1.0 || (b - p.at_s).abs() < 1.0);
            if renewed { continue }
            prop_assert!((h.level_m(p.at_s) - p.level_m).abs() < 1e-7);
            // Within a second the rate has the other sign.
            let (a, b) = (h.rate_m_s(p.at_s - 1.0), h.rate_m_s(p.at_s + 1.0));
            prop_assert_eq!((a > 0.0, b > 0.0), (p.water == Water::High, p.water == Water::Low));
        }
    }

    #[test]
    fn a_level_is_passed_where_the_water_stands_at_it(
        which in 0usize..12, day in 0i64..60_000, level in -0.5..2.5f64, daily in any::<bool>(),
    ) {
        let all = stations();
        let from = -2.0e9 + day as f64 * 86400.0;
        let when = Interval::new(instant(from), instant(from + 6.0 * 86400.0)).unwrap();
        let rule = if daily { NodeRule::Daily } else { NodeRule::MidYear };
        let tide = match all.stations.get(which) {
            Some(s) => Tide::of_station_with(s, when, rule).unwrap(),
            None => Tide::of_found(&all.get("craney_island_va").unwrap(), when).unwrap(),
        };
        let level = Length::of_m(level);
        for span in tide.above(level) {
            for at in [span.from(), span.to()] {
                // At either end of the stretch, and where the node is renewed, the level jumps past.
                let s = unix_s(at);
                let border = at == when.from() || at == when.to() || (s / 86400.0).fract() == 0.0;
                let off = tide.level(at).unwrap() - level;
                prop_assert!(border || off.mm().abs() < 1.0, "{at} {off:?}");
            }
        }
    }
}
