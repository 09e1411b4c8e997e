//! What files of buoys and forecasts say of the moment: each figure with source, time and age, and what was made of it.
//!
//! What a hand typed counts before what a file says; of several files the worse for safety; what is too old is shown
//! and not used.

use super::Surf;
use crate::answer::Failure;
use crate::desk::Desk;
use crate::when;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Serialize;
use tailrope::Error;
use tailrope::facts::Known;
use tailrope::outing::limits::Limits;
use tailrope::quantity::{Angle, Length, Quantity, Span, Speed, Temperature, Units, significant};
use tailrope::sea::report::{Kind, Now, Report, TrainNow};
use tailrope::sea::surf::off_normal;

/// Most trains of one sea.
const MOST_TRAINS: usize = 4;

/// What was made of a figure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "use", content = "why")]
pub enum Taken {
    /// It counts.
    Used,
    /// A flag was typed, and counts in its place.
    Typed(&'static str),
    /// Older than a figure may be.
    TooOld,
    /// Another file says what is worse.
    OtherIsWorse,
    /// It does not reach the beach, or cannot be turned to it.
    NotUsed(&'static str),
}

impl Taken {
    fn words(&self) -> String {
        match self {
            Self::Used => String::new(),
            Self::Typed(flag) => format!("NOT USED: {flag} was typed and counts"),
            Self::TooOld => "NOT USED: too old, so it is unknown".to_owned(),
            Self::OtherIsWorse => "not used: another file says what is worse".to_owned(),
            Self::NotUsed(why) => format!("not used: {why}"),
        }
    }
}

/// A figure of a file.
#[derive(Clone, Debug, Serialize)]
pub struct FileFigure {
    /// What it is.
    pub name: &'static str,
    /// SI, but angles in degrees, temperatures in C.
    pub value: f64,
    /// Unit of `value`.
    pub unit: &'static str,
    /// Source, station and file.
    pub source: String,
    /// Measured or foretold.
    pub kind: Kind,
    /// When it was measured or issued, in the zone asked for.
    pub at: Option<String>,
    /// The same in UTC.
    pub at_utc: Option<String>,
    /// Age in hours.
    pub age_h: Option<f64>,
    /// What was made of it.
    #[serde(flatten)]
    pub taken: Taken,
    #[serde(skip)]
    pub shown: String,
}

impl FileFigure {
    /// As a line of the page.
    pub fn words(&self) -> String {
        let age =
            self.age_h.map_or_else(|| "age not known".to_owned(), |h| format!("{} h old", significant(h, 2)));
        let at = self.at.as_ref().map_or_else(String::new, |at| format!(" {at}"));
        let taken = match self.taken.words() {
            w if w.is_empty() => w,
            w => format!(" {w}."),
        };
        format!("{}, {}{at}, {age}.{taken}", self.shown, self.kind.word())
    }
}

/// A train of waves as a file gives it, turned to the beach.
#[derive(Clone, Copy, Debug)]
pub struct FileTrain {
    pub height: Length,
    pub period: Span,
    pub angle: Option<Angle>,
}

/// Everything the files say.
#[derive(Clone, Debug, Default)]
pub struct Files {
    /// Whether any file was read.
    pub read: bool,
    /// The moment, with its zone.
    pub at: String,
    /// Name of the zone.
    pub zone: String,
    /// Every figure heard.
    pub figures: Vec<FileFigure>,
    /// Trains to plan on, the worse for run-up first.
    pub trains: Vec<FileTrain>,
    /// What to say of a mixed sea and of figures that stand in for others.
    pub remarks: Vec<String>,
    /// What no file and no flag gives.
    pub unknown: Vec<&'static str>,
    /// What the files say of themselves.
    pub notes: Vec<String>,
    /// Age of the oldest figure of the sea that is used; none when none is.
    pub sea_age_h: Option<Known<f64>>,
    /// The same of the weather.
    pub weather_age_h: Option<Known<f64>>,
}

struct Hearing<'a> {
    reports: &'a [Report],
    at: Timestamp,
    zone: TimeZone,
    dead_h: f64,
    units: Units,
    files: Files,
}

impl Hearing<'_> {
    fn figure<Q>(
        &self,
        name: &'static str,
        n: &Now<Q>,
        (value, unit): (f64, &'static str),
        shown: String,
        taken: Taken,
    ) -> FileFigure {
        FileFigure {
            name,
            value,
            unit,
            source: n.source.clone(),
            kind: n.kind,
            at: n.at.get().map(|at| when::local(at, &self.zone)),
            at_utc: n.at.get().map(|at| at.to_string()),
            age_h: n.age.get().map(Span::h),
            taken,
            shown,
        }
    }

    fn dead<Q>(&self, n: &Now<Q>) -> bool {
        n.age.get().is_some_and(|a| a.h() > self.dead_h)
    }

    /// The worse of what the files say of a quantity, unless a flag was typed.
    fn pick<Q: Quantity>(
        &mut self,
        name: &'static str,
        typed: Option<&'static str>,
        weather: bool,
        of: impl Fn(&Report) -> &tailrope::sea::report::Series<Q>,
        key: impl Fn(Q) -> f64,
        show: impl Fn(Q) -> ((f64, &'static str), String),
    ) -> Option<(Q, usize)> {
        let all: Vec<(usize, Now<Q>)> =
            self.reports.iter().enumerate().filter_map(|(i, r)| Some((i, r.now(of(r), self.at)?))).collect();
        let mut best: Option<usize> = None;
        for (k, (_, n)) in all.iter().enumerate() {
            let worse = best.and_then(|b| all.get(b)).is_none_or(|(_, b)| key(n.value) > key(b.value));
            if !self.dead(n) && worse {
                best = Some(k);
            }
        }
        for (k, (_, n)) in all.iter().enumerate() {
            let taken = match typed {
                Some(flag) => Taken::Typed(flag),
                None if self.dead(n) => Taken::TooOld,
                None if best == Some(k) => Taken::Used,
                None => Taken::OtherIsWorse,
            };
            let (number, shown) = show(n.value);
            let figure = self.figure(name, n, number, shown, taken);
            self.files.figures.push(figure);
        }
        if typed.is_some() {
            return None;
        }
        let Some((i, n)) = best.and_then(|b| all.get(b)) else {
            self.files.unknown.push(name);
            return None;
        };
        self.used(weather, n);
        Some((n.value, *i))
    }

    fn used<Q>(&mut self, weather: bool, n: &Now<Q>) {
        let age: Known<f64> = n.age.get().map(Span::h).into();
        let oldest = if weather { &mut self.files.weather_age_h } else { &mut self.files.sea_age_h };
        *oldest = Some(match (*oldest, age) {
            (None, age) => age,
            (Some(Known::Known(a)), Known::Known(b)) => Known::Known(a.max(b)),
            _ => Known::Unknown,
        });
    }

    fn waves(&mut self, surf: &Surf) {
        let hs = surf.hs.map(|_| "--hs").or(surf.breakers.map(|_| "--breakers"));
        let angle = surf.angle.map(|_| "--angle");
        let period = surf.period.map(|_| "--period").or(surf.waves.map(|_| "--waves"));
        let u = self.units;
        for r in self.reports {
            let Some(sea) = r.sea_now(self.at) else { continue };
            for (i, n) in sea.trains.iter().enumerate() {
                let TrainNow { height, period: t, from } = n.value;
                let old = self.dead(n);
                let of = |typed: Option<&'static str>| match typed {
                    Some(flag) => Taken::Typed(flag),
                    None if old => Taken::TooOld,
                    None => Taken::Used,
                };
                let mut list = Vec::new();
                // Trains of one file have the height of the whole sea in common.
                if i == 0 {
                    list.push(self.figure("waves", n, (height.m(), "m"), u.height(height), of(hs)));
                }
                let shown = format!("{} s", significant(t.s(), 3));
                list.push(self.figure("period", n, (t.s(), "s"), shown, of(period)));
                let turned = from.zip(surf.faces).map(|(f, faces)| off_normal(f, faces));
                let usable = turned.filter(|a| a.deg().abs() <= 90.0);
                if let Some(from) = from {
                    let taken = match of(angle) {
                        Taken::Used if turned.is_none() => {
                            Taken::NotUsed("say how the beach faces with --faces")
                        }
                        Taken::Used if usable.is_none() => {
                            Taken::NotUsed("that is behind the beach: how they reach it is not known")
                        }
                        taken => taken,
                    };
                    list.push(self.figure("waves from", n, (from.deg(), "deg"), u.angle(from), taken));
                }
                self.files.figures.extend(list);
                if !old {
                    self.files.trains.push(FileTrain { height, period: t, angle: usable });
                    if hs.is_none() || period.is_none() {
                        self.used(false, n);
                    }
                }
            }
            if period.is_none() && sea.trains.iter().any(|n| !self.dead(n)) {
                self.files.remarks.extend(sea.mixed);
                self.files.remarks.extend(sea.remark.map(str::to_owned));
            }
        }
        if self.files.trains.is_empty() {
            if hs.is_none() {
                self.files.unknown.push("waves");
            }
            if period.is_none() {
                self.files.unknown.push("period");
            }
        }
        if angle.is_none() && self.files.trains.iter().all(|t| t.angle.is_none()) {
            self.files.unknown.push("the waves' angle to the beach");
        }
        let trains = &mut self.files.trains;
        let reach = |t: &FileTrain| t.period.s() * t.height.m().max(0.0).sqrt();
        trains.sort_by(|a, b| reach(b).total_cmp(&reach(a)));
        let highest = trains.iter().copied().max_by(|a, b| a.height.m().total_cmp(&b.height.m()));
        if trains.len() > MOST_TRAINS {
            trains.truncate(MOST_TRAINS - 1);
            trains.extend(highest);
        }
    }
}

/// The moment of which the files are asked: as said, else the machine's clock. Of a day alone its end, when every
/// reading is as old as it can be.
fn moment(desk: &Desk, zone: Option<&str>) -> Result<(Timestamp, TimeZone), Failure> {
    let tz = when::zone(zone.unwrap_or("UTC"))?;
    if zone.is_none() && matches!(desk.now_said(), Some(when::Now::Local(_))) {
        return Err(Error::new(
            "a clock of the beach is typed, and nobody said in which zone the beach lies",
            "an instant with its offset, or a zone beside it",
            "write it like 2026-10-17T20:00Z, or add --zone America/Chicago",
        )
        .within("--now")
        .into());
    }
    let at = match (desk.now_said(), desk.read_on_said()) {
        (Some(now), _) => now.at(&tz)?,
        (None, Some(day)) => tailrope::quantity::Interval::civil_day(day, &tz)?.to(),
        (None, None) => Timestamp::now(),
    };
    Ok((at, tz))
}

impl Surf {
    /// The flags, filled with what the files say where nothing was typed.
    pub(super) fn filled(&self, desk: &Desk, limits: &Limits) -> Result<Self, Failure> {
        let mut surf = self.clone();
        if self.conditions.is_empty() {
            return Ok(surf);
        }
        let (at, zone) = moment(desk, self.zone.as_deref())?;
        let reports = self.conditions.read()?;
        let files = Files {
            read: true,
            at: when::local(at, &zone),
            zone: self.zone.clone().unwrap_or_else(|| "UTC".to_owned()),
            ..Files::default()
        };
        let dead_h = limits.figure("conditions.dead_h");
        let u = desk.units;
        let mut h = Hearing { reports: &reports, at, zone, dead_h, units: u, files };
        h.waves(self);
        let degrees = |t: Temperature| ((t.c(), "C"), u.temperature(t));
        let speed = |v: Speed| ((v.mps(), "m/s"), u.wind(v));
        let wind = h.pick("wind", self.wind.map(|_| "--wind"), true, |r| &r.wind, Speed::mps, speed);
        surf.wind = self.wind.or(wind.map(|w| w.0));
        surf.turn_wind(&mut h, wind.map(|w| w.1));
        let typed = |t: Option<Temperature>, flag| t.map(|_| flag);
        let cold = |t: Temperature| -t.c();
        let water =
            h.pick("water", typed(self.water, "--water"), false, |r| &r.water_temperature, cold, degrees);
        surf.water = self.water.or(water.map(|w| w.0));
        // Cold or hot, whichever it is nearer to.
        let harsh = |t: Temperature| (t.c() - 18.0).abs();
        let air = h.pick("air", typed(self.air, "--air"), true, |r| &r.air_temperature, harsh, degrees);
        surf.air = self.air.or(air.map(|a| a.0));
        surf.humid(&mut h);
        for r in &reports {
            let said = r.notes.iter().chain(&r.questions);
            h.files.notes.extend(said.map(|n| format!("{}: {n}", r.origin.name)));
            if r.bad_row_count > 0 {
                let first = r.bad_rows.first().map(|b| format!(", the first {b}")).unwrap_or_default();
                let n = r.bad_row_count;
                h.files.notes.push(format!("{}: {n} rows left out{first}", r.origin.name));
            }
        }
        surf.files = h.files;
        Ok(surf)
    }

    /// Whence the wind of the file that is used blows, turned to the beach.
    fn turn_wind(&mut self, h: &mut Hearing<'_>, used: Option<usize>) {
        let only = h.reports.iter().position(|r| r.now(&r.wind_from, h.at).is_some());
        let Some(i) = used.or(only) else { return };
        let Some(r) = h.reports.get(i) else { return };
        let Some(n) = r.now(&r.wind_from, h.at) else { return };
        let taken = match (self.wind_angle, self.faces) {
            (Some(_), _) => Taken::Typed("--wind-angle"),
            (None, _) if h.dead(&n) => Taken::TooOld,
            (None, None) => Taken::NotUsed("say how the beach faces with --faces"),
            (None, Some(faces)) => {
                self.wind_angle = Some(off_normal(n.value, faces));
                h.used(true, &n);
                Taken::Used
            }
        };
        let figure = h.figure("wind from", &n, (n.value.deg(), "deg"), h.units.angle(n.value), taken);
        h.files.figures.push(figure);
    }

    /// Humidity makes a heat index only with an air temperature.
    fn humid(&mut self, h: &mut Hearing<'_>) {
        let heard: Vec<Now<f64>> =
            h.reports.iter().filter_map(|r| r.now(&r.humidity_percent, h.at)).collect();
        let live = heard.iter().filter(|n| !h.dead(n));
        let worst = live.max_by(|a, b| a.value.total_cmp(&b.value)).cloned();
        for n in &heard {
            let taken = match self.humidity {
                Some(_) => Taken::Typed("--humidity"),
                None if h.dead(n) => Taken::TooOld,
                None if worst.as_ref() == Some(n) => Taken::Used,
                None => Taken::OtherIsWorse,
            };
            let shown = format!("{} %", significant(n.value, 3));
            let figure = h.figure("humidity", n, (n.value, "%"), shown, taken);
            h.files.figures.push(figure);
        }
        if self.humidity.is_none() && self.air.is_some() {
            self.humidity = worst.map(|n| n.value.clamp(0.0, 100.0));
        }
    }
}
