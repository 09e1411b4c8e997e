//! How long the tide takes: a month of ten-minute heights and a year of turning points, with all that must be
//! prepared for them. The places are Boston (37 constituents) and Walvis Bay (all that its station carries).

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::Timestamp;
use tailrope::facts::PackText;
use tailrope::quantity::{Interval, Length, Span};
use tailrope::sea::tide::{NodeRule, Station, Stations, Tide, Turning};

/// Heights in 31 days, one each ten minutes.
const MONTH: usize = 31 * 144;

fn stretch(from: &str, to: &str) -> Interval {
    Interval::new(from.parse().unwrap(), to.parse().unwrap()).unwrap()
}

fn station<'a>(all: &'a Stations, id: &str) -> &'a Station {
    all.stations.iter().find(|s| s.id == id).unwrap()
}

fn heights(station: &Station, when: Interval, nodes: NodeRule) -> Vec<Length> {
    let tide = Tide::of_station_with(station, when, nodes).unwrap();
    tide.levels(when.from(), Span::of_min(10.0), MONTH).unwrap()
}

fn turning(station: &Station, when: Interval, nodes: NodeRule) -> usize {
    Tide::of_station_with(station, when, nodes).unwrap().turning_points(Turning::Printed).len()
}

fn tide(c: &mut Criterion) {
    let text = include_str!("../tests/reference/fixtures/stations.toml");
    let all = Stations::read(&PackText::new("stations.toml", text)).unwrap();
    let month = stretch("2026-10-01T00:00Z", "2026-11-01T00:00Z");
    let year = stretch("2026-01-01T00:00Z", "2027-01-01T00:00Z");
    for id in ["boston_ma", "walvis_bay_na"] {
        let s = station(&all, id);
        let mut group = c.benchmark_group(format!("tide/{id}"));
        for (rule, word) in [(NodeRule::MidYear, "yearly nodes"), (NodeRule::Daily, "daily nodes")] {
            group.bench_function(format!("month of ten-minute heights, {word}"), |b| {
                b.iter(|| heights(s, month, rule));
            });
            group.bench_function(format!("year of turning points, {word}"), |b| {
                b.iter(|| turning(s, year, rule));
            });
        }
        let tide = Tide::of_station(s, month).unwrap();
        let at: Timestamp = "2026-10-17T03:00Z".parse().unwrap();
        group.bench_function("one height", |b| b.iter(|| tide.level(at).unwrap()));
        group.bench_function("month of times above the mean", |b| b.iter(|| tide.above(s.mean_level)));
        group.finish();
    }
}

criterion_group!(benches, tide);
criterion_main!(benches);
