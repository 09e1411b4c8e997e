//! What a file says of one moment: each figure with its source, its time and its age.
//!
//! An instrument speaks through its newest reading, however old: whoever asks looks at the age. A forecast speaks where
//! it holds, and is as old as its issue. A figure without a value is not there; nothing stands in for it.
//!
//! Rules (ours): a clock that runs ahead by an hour is still a clock; a forecast for instants holds three hours at most;
//! where a file gives only the mean period of the waves the peak is taken as 1.4 times that, its long end (recalled, as
//! for waves counted); where it gives only trains their energies add.

use super::mixed::{LEAST_M, SeaTrain};
use super::model::{Kind, Report, Train};
use super::series::{Reading, Series};
use crate::facts::Known;
use crate::quantity::{Angle, Length, Span};
use jiff::{SignedDuration, Timestamp};

/// A clock that runs ahead by so much is still a clock, h.
const CLOCKS_DIFFER_H: i64 = 1;
/// A forecast given for an instant holds for so long at most, h.
const HOLDS_H: f64 = 3.0;
/// Peak over mean period at most.
const PEAK_OF_MEAN: f64 = 1.4;

/// A figure that speaks of a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Now<Q> {
    /// The figure.
    pub value: Q,
    /// Source, station and file.
    pub source: String,
    /// Measured or foretold.
    pub kind: Kind,
    /// When it was measured, or its forecast issued.
    pub at: Known<Timestamp>,
    /// Time from then to the moment; unknown where a forecast does not say when it was issued, or says later.
    pub age: Known<Span>,
}

/// A train of waves that speaks of a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrainNow {
    /// Height to plan on.
    pub height: Length,
    /// Peak period.
    pub period: Span,
    /// Where it comes from, degrees true.
    pub from: Option<Angle>,
}

/// The sea of a moment as one file tells it.
#[derive(Clone, Debug, PartialEq)]
pub struct SeaNow {
    /// Its trains, the worse for run-up first. Each has the height of the whole sea: they are alternatives.
    pub trains: Vec<Now<TrainNow>>,
    /// What to say of a sea of two trains.
    pub mixed: Option<String>,
    /// What stands in for a figure that the file does not give.
    pub remark: Option<&'static str>,
}

impl Report {
    /// What one of its series says of the moment `at`.
    pub fn now<Q: Copy>(&self, series: &Series<Q>, at: Timestamp) -> Option<Now<Q>> {
        let r = self.live(series, at)?;
        Some(self.dressed(r.value, r.from, at))
    }

    /// The sea of the moment `at`; nothing where the file gives no height, or no period at all.
    pub fn sea_now(&self, at: Timestamp) -> Option<SeaNow> {
        let Some(height) = self.live(&self.wave_height, at) else { return self.of_trains_alone(at) };
        let moment = self.moment(at);
        let dress = |t: &SeaTrain| {
            let train =
                TrainNow { height: t.height.value, period: t.period.value, from: t.from.map(|f| f.value) };
            // As old as the older of the two figures that make it.
            self.dressed(train, t.period.from.min(t.height.from), at)
        };
        if let Some(mixed) = self.mixed_sea(moment) {
            let trains = mixed.trains.iter().map(dress).collect();
            return Some(SeaNow { trains, mixed: Some(mixed.words), remark: None });
        }
        let peak_speaks = self.peak_period.is_empty() || self.live(&self.peak_period, at).is_some();
        if let Some(train) = self.sea(moment).filter(|_| peak_speaks) {
            return Some(SeaNow { trains: vec![dress(&train)], mixed: None, remark: None });
        }
        let mean = self.live(&self.mean_period, at)?;
        let from = self.live(&self.wave_from, at).map(|f| f.value);
        let train = TrainNow { height: height.value, period: mean.value * PEAK_OF_MEAN, from };
        let remark = Some("the peak period is taken as 1.4 times the mean period that is given");
        let trains = vec![self.dressed(train, mean.from.min(height.from), at)];
        Some(SeaNow { trains, mixed: None, remark })
    }

    /// A sea told only by its trains: the height of the whole from their energies, with the period of each that has at
    /// least half the energy of the strongest, and of the one above 0.2 m that runs up furthest.
    fn of_trains_alone(&self, at: Timestamp) -> Option<SeaNow> {
        let of = |t: &Train| -> Option<(Reading<Length>, Reading<Span>, Option<Angle>)> {
            let from = self.live(&t.from, at).map(|f| f.value);
            Some((*self.live(&t.height, at)?, *self.live(&t.period, at)?, from))
        };
        let all: Vec<_> =
            [&self.swell, &self.second_swell, &self.wind_sea].into_iter().filter_map(of).collect();
        let energy = |h: &Reading<Length>| h.value.m() * h.value.m();
        let whole: f64 = all.iter().map(|(h, ..)| energy(h)).sum();
        let most = all.iter().map(|(h, ..)| energy(h)).fold(0.0, f64::max);
        let height = Length::of_m(whole.sqrt());
        let reach = |h: &Reading<Length>, t: &Reading<Span>| {
            if h.value.m() < LEAST_M { 0.0 } else { t.value.s() * h.value.m().sqrt() }
        };
        let furthest = all.iter().map(|(h, t, _)| reach(h, t)).fold(f64::MIN_POSITIVE, f64::max);
        let mut trains: Vec<Now<TrainNow>> = all
            .iter()
            .filter(|(h, t, _)| energy(h) > 0.0 && (2.0 * energy(h) >= most || reach(h, t) >= furthest))
            .map(|(h, t, from)| {
                let train = TrainNow { height, period: t.value, from: *from };
                self.dressed(train, h.from.min(t.from), at)
            })
            .collect();
        trains.sort_by(|a, b| b.value.period.s().total_cmp(&a.value.period.s()));
        let remark = Some("the height of the whole sea is that of its trains' energies together");
        (!trains.is_empty()).then_some(SeaNow { trains, mixed: None, remark })
    }

    fn moment(&self, at: Timestamp) -> Timestamp {
        match self.kind {
            Kind::Observed => ahead(at),
            Kind::Forecast | Kind::Predicted => at,
        }
    }

    fn live<'a, Q>(&self, series: &'a Series<Q>, at: Timestamp) -> Option<&'a Reading<Q>> {
        let newest = series.newest(self.moment(at))?;
        match self.kind {
            Kind::Observed => Some(newest),
            Kind::Forecast => {
                let instant = newest.from == newest.to && newest.age(at).h() < HOLDS_H;
                (newest.holds(at) || instant).then_some(newest)
            }
            Kind::Predicted => None,
        }
    }

    fn dressed<Q>(&self, value: Q, taken: Timestamp, at: Timestamp) -> Now<Q> {
        let since = match self.kind {
            Kind::Observed => Known::Known(taken),
            Kind::Forecast | Kind::Predicted => self.origin.issued,
        };
        let age = since.get().filter(|s| *s <= ahead(at)).map(|s| {
            let s = at.duration_since(s).as_secs_f64();
            Span::of_s(s.max(0.0))
        });
        Now { value, source: self.origin.words(), kind: self.kind, at: since, age: age.into() }
    }
}

/// The latest time that a clock may show at this moment.
fn ahead(at: Timestamp) -> Timestamp {
    at.checked_add(SignedDuration::from_hours(CLOCKS_DIFFER_H)).unwrap_or(at)
}

#[cfg(test)]
mod tests {
    use super::super::{Told, read};
    use super::*;

    fn t(text: &str) -> Timestamp {
        text.parse().unwrap()
    }

    const BUOY: &str = "#YY  MM DD hh mm WDIR WSPD GST  WVHT   DPD   APD MWD   PRES  ATMP  WTMP\n\
         #yr  mo dy hr mn degT m/s  m/s     m   sec   sec degT   hPa  degC  degC\n\
         2026 10 07 02 30 300   MM   MM   0.6     9   4.2 134 1015.5  20.7    MM\n\
         2026 10 07 01 30 300  3.0   MM   0.6     9   4.2 134 1015.5  20.7  24.1\n";

    #[test]
    fn the_newest_value_of_each_quantity_keeps_its_own_age() {
        let r = read("b.txt", BUOY, &Told::default()).unwrap();
        let at = t("2026-10-07T03:00Z");
        let hours = |n: Known<Span>| n.get().unwrap().h();
        let wind = r.now(&r.wind, at).unwrap();
        assert_eq!((wind.value.mps(), hours(wind.age), wind.kind), (3.0, 1.5, Kind::Observed));
        assert_eq!(r.now(&r.water_temperature, at).unwrap().value.c(), 24.1);
        assert!(r.now(&r.gust, at).is_none(), "a missing value is none");
        let sea = r.sea_now(at).unwrap();
        assert_eq!((sea.trains.len(), hours(sea.trains[0].age), sea.mixed), (1, 0.5, None));
        // Readings later than the moment by more than a clock's error are not heard.
        assert_eq!(hours(r.now(&r.wave_height, t("2026-10-07T01:40Z")).unwrap().age), 0.0);
        assert!(r.now(&r.wave_height, t("2026-10-07T00:20Z")).is_none());
    }

    #[test]
    fn a_mean_period_stands_in_at_its_long_end_and_says_so() {
        let r = read("b.txt", &BUOY.replace("   9 ", "  MM "), &Told::default()).unwrap();
        let sea = r.sea_now(t("2026-10-07T03:00Z")).unwrap();
        assert!((sea.trains[0].value.period.s() - 5.88).abs() < 1e-9);
        assert!(sea.remark.unwrap().contains("1.4 times"));
    }

    #[test]
    fn a_forecast_speaks_only_where_it_holds_and_is_as_old_as_its_issue() {
        let text = r#"{"latitude":1,"longitude":2,"utc_offset_seconds":0,"hourly_units":{"time":"iso8601",
            "swell_wave_height":"m","swell_wave_peak_period":"s","wind_wave_height":"m","wind_wave_peak_period":"s"},
            "hourly":{"time":["2026-10-07T00:00","2026-10-07T01:00"],"swell_wave_height":[0.9,1.2],
            "swell_wave_peak_period":[13,12],"wind_wave_height":[1.2,0.5],"wind_wave_peak_period":[6,4]}}"#;
        let r = read("f.json", text, &Told::default()).unwrap();
        let sea = r.sea_now(t("2026-10-07T00:30Z")).unwrap();
        let of: Vec<(f64, f64)> =
            sea.trains.iter().map(|t| (t.value.height.m(), t.value.period.s())).collect();
        assert_eq!(of, [(1.5, 13.0), (1.5, 6.0)]);
        assert_eq!(sea.trains[0].age, Known::Unknown, "nobody says when it was issued");
        let one = r.sea_now(t("2026-10-07T01:30Z")).unwrap();
        assert_eq!(one.trains.len(), 1);
        let long = read("f.json", &text.replace("[1.2,0.5]", "[1.2,2.4]"), &Told::default()).unwrap();
        let of: Vec<f64> =
            long.sea_now(t("2026-10-07T01:30Z")).unwrap().trains.iter().map(|t| t.value.period.s()).collect();
        assert_eq!(of, [12.0, 4.0], "a quarter of the energy, and the run-up to plan on");
        assert!(r.sea_now(t("2026-10-07T05:00Z")).is_none() && r.sea_now(t("2026-10-06T23:00Z")).is_none());
    }
}
