//! From a file that was read to what of it bears on the nights.
//!
//! A buoy's file holds six weeks of rows; of those a plan wants the newest of each quantity and the hours before it, in
//! which a second wave train shows. A forecast holds a week; of that each plan wants its own hours. Nothing is changed:
//! readings are kept or left out as they stand.

use crate::outing::file::{Instant, ListedWater, MOST_READINGS, Report, ReportKind, Said};
use crate::quantity::{Interval, Place};
use crate::sea::report::{Kind, ListedWaters, Reading, Report as File, Series};
use jiff::{SignedDuration, Timestamp};

/// Hours before the newest reading of an instrument that are kept.
const KEPT_H: i64 = 9;
/// Hours around the nights for which a forecast is kept.
const AROUND_H: i64 = 6;

/// What of a file bears on the nights of these hours, read no later than `latest`. Nothing where the file holds nothing
/// that a plan uses. A file with both observed and predicted levels gives two.
pub fn sift(file: &File, nights: &[Interval], latest: Timestamp) -> Vec<Report> {
    let kind = match file.kind {
        Kind::Observed => ReportKind::Observed,
        Kind::Forecast => ReportKind::Forecast,
        Kind::Predicted => ReportKind::Predicted,
    };
    let keep = Keep { kind, nights, latest };
    let mut r = Report::new(file.origin.words(), kind);
    r.issued = file.origin.issued.get().map(Instant).into();
    r.station = file.origin.station.clone();
    r.latitude = file.origin.place.get().map(Place::latitude_deg).into();
    r.longitude = file.origin.place.get().map(Place::longitude_deg).into();
    r.licence.clone_from(&file.origin.licence);
    r.wave_height = keep.of(&file.wave_height);
    r.wave_period = keep.of(&file.peak_period);
    r.mean_period = keep.of(&file.mean_period);
    r.waves_from = keep.of(&file.wave_from);
    r.swell_height = keep.of(&file.swell.height);
    r.swell_period = keep.of(&file.swell.period);
    r.second_swell_height = keep.of(&file.second_swell.height);
    r.second_swell_period = keep.of(&file.second_swell.period);
    r.wind_sea_height = keep.of(&file.wind_sea.height);
    r.wind_sea_period = keep.of(&file.wind_sea.period);
    r.water_temperature = keep.of(&file.water_temperature);
    r.wind = keep.of(&file.wind);
    r.gust = keep.of(&file.gust);
    r.wind_from = keep.of(&file.wind_from);
    r.air_temperature = keep.of(&file.air_temperature);
    r.visibility = keep.of(&file.visibility);
    r.humidity = keep.of(&file.humidity_percent);
    r.thunder_chance = keep.of(&file.thunder_percent);
    r.lightning_level = keep.of(&file.lightning_level);
    r.current = keep.of(&file.current);
    r.weather = keep.of(&file.weather);
    r.hazards = keep.of(&file.hazards);
    r.notes = file.notes.iter().chain(&file.questions).cloned().collect();
    if file.bad_row_count > 0 {
        let first = file.bad_rows.first().map(|b| format!(", the first {b}")).unwrap_or_default();
        r.notes.push(format!("{} rows could not be read and were left out{first}.", file.bad_row_count));
    }
    if let Some(levels) = &file.water_level {
        r.water_level = keep.of(&levels.series);
        r.datum = levels.datum.clone();
    }
    if let Some(listed) = &file.listed_waters {
        // Levels and waters of one file stand above one datum.
        r.listed_waters = keep.waters(listed);
        if r.water_level.is_empty() {
            r.datum = listed.datum.clone();
        }
    }
    let mut all = vec![r];
    if let Some(levels) = &file.predicted_level {
        let keep = Keep { kind: ReportKind::Predicted, nights, latest };
        let mut p = Report::new(file.origin.words(), ReportKind::Predicted);
        p.station = file.origin.station.clone();
        (p.latitude, p.longitude) = (all[0].latitude, all[0].longitude);
        p.licence.clone_from(&file.origin.licence);
        p.water_level = keep.of(&levels.series);
        p.datum = levels.datum.clone();
        all.push(p);
    }
    if all.iter().all(Report::says_nothing) {
        all[0].notes.push("nothing in this file speaks of these nights.".to_owned());
    }
    all.retain(|r| !r.says_nothing());
    all
}

struct Keep<'a> {
    kind: ReportKind,
    nights: &'a [Interval],
    latest: Timestamp,
}

impl Keep<'_> {
    /// Whether a span lies near the nights.
    fn near(&self, begin: Timestamp, end: Timestamp) -> bool {
        let hours = SignedDuration::from_hours;
        self.nights.iter().any(|n| {
            let from = n.from().checked_sub(hours(AROUND_H)).unwrap_or(n.from());
            let to = n.to().checked_add(hours(AROUND_H)).unwrap_or(n.to());
            begin < to && end >= from
        })
    }

    fn waters(&self, listed: &ListedWaters) -> Vec<ListedWater> {
        let near = listed.waters.iter().filter(|w| self.near(w.at, w.at));
        near.take(MOST_READINGS)
            .map(|w| ListedWater { water: w.water, level: w.level, at: Instant(w.at) })
            .collect()
    }

    fn of<Q: Clone>(&self, series: &Series<Q>) -> Vec<Said<Q>> {
        let said = |r: &Reading<Q>| Said {
            value: r.value.clone(),
            from: Instant(r.from),
            to: (r.to > r.from).then_some(Instant(r.to)),
        };
        let hours = SignedDuration::from_hours;
        let mut kept: Vec<Said<Q>> = match self.kind {
            ReportKind::Observed => {
                // An hour past the reading: clocks differ.
                let end = self.latest.checked_add(hours(1)).unwrap_or(self.latest);
                let Some(newest) = series.newest(end).map(|r| r.from) else { return Vec::new() };
                let first = newest.checked_sub(hours(KEPT_H)).unwrap_or(newest);
                series.iter().filter(|r| r.from >= first && r.from <= newest).map(said).collect()
            }
            ReportKind::Forecast | ReportKind::Predicted => {
                series.iter().filter(|r| self.near(r.from, r.to.max(r.from))).map(said).collect()
            }
        };
        let most = kept.len().saturating_sub(MOST_READINGS);
        match self.kind {
            // Of an instrument the newest stay, of a forecast the nearest nights.
            ReportKind::Observed => drop(kept.drain(..most)),
            _ => kept.truncate(MOST_READINGS),
        }
        kept
    }
}
