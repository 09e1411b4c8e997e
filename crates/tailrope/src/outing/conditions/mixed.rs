//! A sea of two trains, as a report of the outing shows it: the rule is [`crate::sea::report`]'s own
//! ([`File::mixed_sea`]), put to the readings that stand in the outing.

use crate::facts::Known;
use crate::outing::file::{Report, ReportKind, Said};
use crate::quantity::{Length, Span};
use crate::sea::report::{Format, Kind, MixedSea, Origin, Reading, Report as File, SeaTrain, Series, Train};
use jiff::Timestamp;

/// Two trains at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixed {
    /// Who said so.
    pub source: String,
    /// Height of the whole sea with the period of each train, the worse for run-up first.
    pub trains: Vec<(Length, Span)>,
}

impl Mixed {
    /// Period of the longest train: the one that is planned on.
    pub fn long(&self) -> Option<Span> {
        self.trains.iter().map(|t| t.1).reduce(Span::max)
    }
}

fn series<Q: Copy>(said: &[Said<Q>], kind: ReportKind) -> Series<Q> {
    let readings = said.iter().enumerate().map(|(i, s)| {
        // A forecast holds over a stretch, an instrument speaks of an instant.
        let to = match kind {
            ReportKind::Forecast => super::turns::holds(said, i).1,
            _ => s.from.0,
        };
        Reading { value: s.value, from: s.from.0, to }
    });
    Series::new(readings.collect())
}

/// The waves of a report as the reader of files holds them.
fn sea_of(report: &Report) -> File {
    let origin = Origin {
        format: Format::HourlyArrays,
        name: String::new(),
        source: report.source.clone(),
        station: report.station.clone(),
        station_name: Known::Unknown,
        place: Known::Unknown,
        issued: Known::Unknown,
        zone: "UTC".to_owned(),
        licence: String::new(),
    };
    let kind = match report.kind {
        ReportKind::Observed => Kind::Observed,
        ReportKind::Forecast => Kind::Forecast,
        ReportKind::Predicted => Kind::Predicted,
    };
    let train = |height: &[Said<Length>], period: &[Said<Span>]| Train {
        height: series(height, report.kind),
        period: series(period, report.kind),
        ..Train::default()
    };
    let mut file = File::empty(origin, kind);
    file.wave_height = series(&report.wave_height, report.kind);
    file.peak_period = series(&report.wave_period, report.kind);
    file.mean_period = series(&report.mean_period, report.kind);
    file.swell = train(&report.swell_height, &report.swell_period);
    file.second_swell = train(&report.second_swell_height, &report.second_swell_period);
    file.wind_sea = train(&report.wind_sea_height, &report.wind_sea_period);
    file
}

/// What a report tells of the trains of its sea at some moments.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Seas {
    /// Two trains of like energy or a peak that jumps; of several moments the longest.
    pub mixed: Option<Mixed>,
    /// Where it gives only trains, the longest of the periods of the strongest ones.
    pub strongest: Option<Span>,
    /// The longest peak of an instrument's last hours: a swell that its newest row does not name is still there.
    pub longest_peak: Option<Span>,
    /// All trains that it tells apart at each moment, with their own heights.
    pub trains: Vec<Vec<(Length, Span)>>,
}

/// The trains of a report at these moments.
pub fn of_report(report: &Report, at: &[Timestamp]) -> Seas {
    let file = sea_of(report);
    let mut seas = Seas::default();
    for moment in at {
        if let Some(MixedSea { trains, .. }) = file.mixed_sea(*moment) {
            let trains: Vec<(Length, Span)> =
                trains.iter().map(|t: &SeaTrain| (t.height.value, t.period.value)).collect();
            let found = Mixed { source: report.source.clone(), trains };
            if seas.mixed.as_ref().is_none_or(|w| found.long() > w.long()) {
                seas.mixed = Some(found);
            }
        }
        if let Some(sea) = file.sea(*moment) {
            seas.strongest = Some(seas.strongest.map_or(sea.period.value, |l| l.max(sea.period.value)));
        }
        let trains = file.trains(*moment);
        if !trains.is_empty() && seas.trains.last() != Some(&trains) {
            seas.trains.push(trains);
        }
        if report.kind == ReportKind::Observed {
            let longest = file.longest_peak(*moment).map(|r| r.value);
            seas.longest_peak = seas.longest_peak.into_iter().chain(longest).reduce(Span::max);
        }
    }
    seas
}

#[cfg(test)]
mod tests {
    use super::*;

    fn buoy(rows: &[(&str, f64, f64, f64)]) -> (Report, Timestamp) {
        let mut r = Report::new("a buoy", ReportKind::Observed);
        for (at, h, t, mean) in rows {
            let from = at.parse().unwrap();
            r.wave_height.push(Said { value: Length::of_m(*h), from, to: None });
            r.wave_period.push(Said { value: Span::of_s(*t), from, to: None });
            r.mean_period.push(Said { value: Span::of_s(*mean), from, to: None });
        }
        let last = r.wave_height.last().unwrap().from.0;
        (r, last)
    }

    #[test]
    fn a_peak_that_jumps_while_the_mean_stays_is_two_trains() {
        let of = |rows: &[_]| {
            let (r, at) = buoy(rows);
            of_report(&r, &[at]).mixed.map(|m| m.trains.iter().map(|t| t.1.s()).collect::<Vec<_>>())
        };
        let jumps = [
            ("2026-09-26T03:56Z", 0.7, 4.0, 4.0),
            ("2026-09-26T04:26Z", 0.7, 4.0, 4.2),
            ("2026-09-26T04:56Z", 0.7, 13.0, 4.4),
        ];
        assert_eq!(of(&jumps), Some(vec![13.0, 4.0]));
        let wanders = [("2019-04-02T13:00Z", 1.7, 17.4, 10.1), ("2019-04-02T14:00Z", 1.5, 13.8, 9.1)];
        assert_eq!(of(&wanders), None);
        let rises = [("2026-09-26T04:26Z", 0.4, 4.0, 3.5), ("2026-09-26T04:56Z", 0.7, 13.0, 9.0)];
        assert_eq!(of(&rises), None, "a new swell that comes in is another sea, not a mixed one");
    }

    #[test]
    fn of_trains_alone_the_strongest_gives_the_period() {
        let mut r = Report::new("a buoy", ReportKind::Observed);
        let from = "2019-04-02T16:00Z".parse().unwrap();
        let (h, t) = (
            |m| vec![Said { value: Length::of_m(m), from, to: None }],
            |s| vec![Said { value: Span::of_s(s), from, to: None }],
        );
        (r.wave_height, r.swell_height, r.wind_sea_height) = (h(1.8), h(1.8), h(0.2));
        (r.swell_period, r.wind_sea_period) = (t(14.8), t(3.4));
        let seas = of_report(&r, &[from.0]);
        assert_eq!((seas.mixed, seas.strongest.map(Span::s)), (None, Some(14.8)));
        let apart: Vec<(f64, f64)> = seas.trains[0].iter().map(|t| (t.0.m(), t.1.s())).collect();
        assert_eq!(apart, [(1.8, 14.8), (0.2, 3.4)]);
        r.wind_sea_height = h(1.5);
        assert_eq!(of_report(&r, &[from.0]).mixed.unwrap().long().unwrap().s(), 14.8);
    }
}
