//! The newest value of each quantity as a table: name, value, time, age, source.

use super::model::Report;
use super::series::{Reading, Series};
use crate::facts::Known;
use crate::quantity::{Angle, Length, Pressure, Span, Speed, Temperature, Units, significant};
use jiff::Timestamp;
use serde::Serialize;

/// The newest value of one quantity.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// What it is.
    pub name: &'static str,
    /// As the crew reads it.
    pub shown: String,
    /// The number; none for words.
    pub value: Option<f64>,
    /// Unit of `value`: SI, but angles in degrees, pressures in hPa.
    pub unit: &'static str,
    /// When it was taken or begins to hold.
    pub from: Timestamp,
    /// When it ceases to hold; `from` for an instant.
    pub to: Timestamp,
    /// Time from `from` to the instant asked.
    pub age: Span,
    /// Source, station and file.
    pub source: String,
}

struct Rows<'a> {
    at: Timestamp,
    units: Units,
    source: &'a str,
    out: Vec<Row>,
}

impl Rows<'_> {
    fn push<Q>(
        &mut self,
        name: &'static str,
        series: &Series<Q>,
        unit: &'static str,
        show: impl Fn(&Q) -> (String, Option<f64>),
    ) {
        if let Some(r) = series.newest(self.at) {
            let (shown, value) = show(&r.value);
            self.out.push(row(name, r, shown, value, unit, self.at, self.source));
        }
    }
    fn height(&mut self, name: &'static str, s: &Series<Length>) {
        let units = self.units;
        self.push(name, s, "m", |l| (units.height(*l), Some(l.m())));
    }
    fn span(&mut self, name: &'static str, s: &Series<Span>) {
        self.push(name, s, "s", |t| (format!("{} s", significant(t.s(), 3)), Some(t.s())));
    }
    fn angle(&mut self, name: &'static str, s: &Series<Angle>, within: Known<Angle>) {
        let units = self.units;
        let show = |a: &Angle| {
            let band = within.get().map_or(String::new(), |w| format!(" ±{}", units.angle(w)));
            (format!("{}{band}", units.angle(*a)), Some(a.deg()))
        };
        self.push(name, s, "deg", show);
    }
    fn speed(&mut self, name: &'static str, s: &Series<Speed>) {
        let units = self.units;
        self.push(name, s, "m/s", |v| (units.wind(*v), Some(v.mps())));
    }
    fn temperature(&mut self, name: &'static str, s: &Series<Temperature>) {
        let units = self.units;
        self.push(name, s, "C", |t| (units.temperature(*t), Some(t.c())));
    }
    fn pressure(&mut self, name: &'static str, s: &Series<Pressure>) {
        self.push(name, s, "hPa", |p| {
            (format!("{} hPa", significant(p.pa() / 100.0, 5)), Some(p.pa() / 100.0))
        });
    }
    fn percent(&mut self, name: &'static str, s: &Series<f64>, unit: &'static str) {
        self.push(name, s, unit, |x| {
            (format!("{} {unit}", significant(*x, 3)).trim_end().to_owned(), Some(*x))
        });
    }
    fn words(&mut self, name: &'static str, s: &Series<String>) {
        self.push(name, s, "", |w| (w.clone(), None));
    }
}

fn row<Q>(
    name: &'static str,
    r: &Reading<Q>,
    shown: String,
    value: Option<f64>,
    unit: &'static str,
    at: Timestamp,
    source: &str,
) -> Row {
    Row { name, shown, value, unit, from: r.from, to: r.to, age: r.age(at), source: source.into() }
}

impl Report {
    /// The newest value of each quantity that began at or before `at`, each with its own age. A quantity without one
    /// has no row: it is unknown.
    pub fn newest(&self, at: Timestamp, units: Units) -> Vec<Row> {
        let source = self.origin.words();
        let mut r = Rows { at, units, source: &source, out: Vec::new() };
        r.height("wave height", &self.wave_height);
        r.span("peak period", &self.peak_period);
        r.span("mean period", &self.mean_period);
        r.angle("waves from", &self.wave_from, Known::Unknown);
        r.height("swell height", &self.swell.height);
        r.span("swell period", &self.swell.period);
        r.angle("swell from", &self.swell.from, self.swell.from_within);
        r.height("second swell height", &self.second_swell.height);
        r.span("second swell period", &self.second_swell.period);
        r.angle("second swell from", &self.second_swell.from, self.second_swell.from_within);
        r.height("wind sea height", &self.wind_sea.height);
        r.span("wind sea period", &self.wind_sea.period);
        r.angle("wind sea from", &self.wind_sea.from, self.wind_sea.from_within);
        r.push("steepness", &self.steepness, "", |s| (s.word().into(), None));
        r.speed("wind", &self.wind);
        r.speed("gust", &self.gust);
        r.angle("wind from", &self.wind_from, Known::Unknown);
        r.temperature("air temperature", &self.air_temperature);
        r.temperature("water temperature", &self.water_temperature);
        r.temperature("dew point", &self.dew_point);
        r.pressure("air pressure", &self.pressure);
        r.pressure("pressure change", &self.pressure_change);
        r.push("visibility", &self.visibility, "m", |l| (units.distance(*l), Some(l.m())));
        r.percent("humidity", &self.humidity_percent, "%");
        r.percent("chance of thunder", &self.thunder_percent, "%");
        r.percent("lightning level", &self.lightning_level, "");
        for (name, levels) in [("water level", &self.water_level), ("predicted level", &self.predicted_level)]
        {
            if let Some(levels) = levels {
                let datum = levels.datum.as_ref().map_or("an unknown datum", |d| d.as_str());
                r.push(name, &levels.series, "m", |l| {
                    (format!("{} above {datum}", units.height(*l)), Some(l.m()))
                });
            }
        }
        r.push("current", &self.current, "m/s", |v| (units.current(*v), Some(v.mps())));
        r.angle("current toward", &self.current_toward, Known::Unknown);
        r.words("weather", &self.weather);
        r.words("hazards", &self.hazards);
        r.out
    }

    /// The newest time at or before `at` at which anything was read; what the report's age is counted from when it
    /// does not say when it was issued.
    pub fn newest_time(&self, at: Timestamp) -> Option<Timestamp> {
        self.newest(at, Units::Si).iter().map(|r| r.from).max()
    }

    /// What was told and asked, as sentences for the page: notes first, then what is still to be asked.
    pub fn told_words(&self) -> Vec<String> {
        let asked = self.questions.iter().map(|q| format!("ask: {q}"));
        let bad = self.bad_rows.iter().map(|b| format!("left out: {b}"));
        self.notes.iter().cloned().chain(bad).chain(asked).collect()
    }
}
