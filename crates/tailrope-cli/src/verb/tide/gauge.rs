//! What a gauge says beside the prediction: the residual, from the command line or from a file, and whether it is
//! believed.

use super::asked::{Source, borders_km, limits};
use super::{Tide, now};
use crate::answer::Failure;
use crate::desk::Desk;
use crate::when;
use jiff::{SignedDuration, Timestamp};
use tailrope::Error;
use tailrope::facts::Known;
use tailrope::outing::limits::Limits;
use tailrope::quantity::{Interval, Length, Place, Span};
use tailrope::sea::report::Report;
use tailrope::sea::tide::{Found, Residual, Stations, Tide as Model, better_clock};

/// A clock may be wrong by the whole offset of a zone: the tide is reckoned as far beyond the readings, h.
const BEYOND_H: i64 = 15;

/// What weather adds, as it was said or read.
pub struct Heard {
    /// The residual.
    pub residual: Residual,
    /// Whence it is.
    pub whence: String,
    /// Whether it is so large that clock, zone or datum may be wrong.
    pub doubted: bool,
    /// Whether it is used. Water that is doubted to stand so low is not.
    pub used: bool,
    /// By how much the clock of a file must be wrong for its levels to fit much better.
    pub clock: Option<Span>,
}

impl Heard {
    fn of(residual: Residual, whence: String, clock: Option<Span>) -> Self {
        Self { doubted: false, used: true, residual, whence, clock }
    }
}

impl Tide {
    /// What was said or read of the water over a stretch, and whence it is.
    pub(super) fn heard(&self, tide: &Model, source: &Source, desk: &Desk) -> Result<Option<Heard>, Failure> {
        let mut heard = self.residual(tide, source, desk)?;
        if let Some(h) = &mut heard {
            let limits = limits(desk)?;
            let most = Length::of_m(limits.figure("level.doubt_m"));
            (h.doubted, h.used) = (h.residual.is_doubted(most), h.residual.is_usable(most));
            let flag = match (&self.residual, self.observed.is_empty()) {
                (Some(_), _) => "--residual",
                (None, false) => "--observed",
                (None, true) => "--conditions",
            };
            still_counts(h.residual.at, tide.when(), source, &limits).map_err(|e| e.within(flag))?;
        }
        Ok(heard)
    }

    fn residual(&self, tide: &Model, source: &Source, desk: &Desk) -> Result<Option<Heard>, Failure> {
        let zone = &source.zone;
        if let Some(said) = &self.residual {
            let at = said.at.map_or_else(|| Ok(now(desk, zone)), |at| at.at(zone))?;
            let residual = Residual::said(said.level, at).map_err(|e| e.within("--residual"))?;
            return Ok(Some(Heard::of(residual, "as said".to_owned(), None)));
        }
        if !self.observed.is_empty() {
            let mut read = Vec::new();
            for o in &self.observed {
                read.push((o.at.map_or_else(|| Ok(now(desk, zone)), |at| at.at(zone))?, o.level));
            }
            let residual = Residual::from_gauge(tide, &read).map_err(|e| e.within("--observed"))?;
            return Ok(Some(Heard::of(residual, "levels read off a gauge".to_owned(), None)));
        }
        if self.conditions.is_empty() {
            return Ok(None);
        }
        let (Some(stations), Some(place)) = (&source.stations, source.place()) else {
            return Err(Error::new(
                "a table does not say where it is: whether a gauge stands on its water is not known",
                "files of gauges beside a station or a place",
                "read the gauge off with --observed, or say with --residual how much it stands above the table",
            )
            .within("--conditions")
            .into());
        };
        let beach =
            Beach { stations, place, own: source.found.as_ref(), far_km: borders_km(&limits(desk)?).0 };
        let mut newest: Option<Heard> = None;
        for report in &self.conditions.read().map_err(|f| beach.ask(f))? {
            let heard = beach.hear(report).map_err(|e| e.within(&report.origin.name))?;
            if newest.as_ref().is_none_or(|h| h.residual.at < heard.residual.at) {
                newest = Some(heard);
            }
        }
        Ok(newest)
    }
}

/// Refuses a reading from after a stretch, or so long before it that it says nothing of it any more.
fn still_counts(at: Timestamp, stretch: Interval, source: &Source, limits: &Limits) -> tailrope::Result<()> {
    let dead_h = limits.figure("conditions.dead_h");
    let before_h = stretch.from().duration_since(at).as_secs_f64() / 3600.0;
    if before_h <= dead_h && at <= stretch.to() {
        return Ok(());
    }
    let local = |at: Timestamp| when::local(at, &source.zone);
    let why = if at > stretch.to() {
        "after the days that are asked for".to_owned()
    } else {
        format!("{before_h:.0} h before the days that are asked for")
    };
    Err(Error::new(
        format!("the water was read at {}, {why}", local(at)),
        format!(
            "at most {dead_h:.0} h before {}, and not after {}",
            local(stretch.from()),
            local(stretch.to())
        ),
        "ask for the days about the reading, say when it was read (0.16m@2026-10-17T15:00), or leave it out",
    ))
}

/// Whose water a gauge is to speak of.
struct Beach<'a> {
    stations: &'a Stations,
    place: Place,
    own: Option<&'a Found>,
    far_km: f64,
}

impl Beach<'_> {
    /// The residual at the gauge of a file: its levels less the tide of the gauge itself.
    fn hear(&self, report: &Report) -> tailrope::Result<Heard> {
        let Some(levels) = &report.water_level else {
            return Err(Error::new(
                "the file holds no observed water levels",
                "a gauge's water levels",
                "leave it out",
            ));
        };
        let readings: Vec<(Timestamp, Length)> = levels.series.iter().map(|r| (r.from, r.value)).collect();
        let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
            return Err(Error::new("the file holds no readings", "at least one", "fetch it again"));
        };
        let found = self.gauge(report)?;
        let beyond = SignedDuration::from_hours(BEYOND_H);
        let from = first.0.checked_sub(beyond).unwrap_or(first.0);
        let to = last.0.checked_add(beyond).unwrap_or(last.0);
        let gauge = Model::of_found(&found, Interval::new(from, to)?)?;
        let gauge = match &levels.datum {
            Known::Known(datum) => gauge.above_datum(datum)?,
            Known::Unknown => {
                return Err(Error::new(
                    "it is not said what its levels are above",
                    "the datum that was asked for, like MLLW",
                    "tell it: --told 'datum=MLLW'",
                ));
            }
        };
        let residual = Residual::from_gauge(&gauge, &readings)?;
        let clock = better_clock(&gauge, &readings, &offsets(&found, last.0))?;
        let whence = format!("{}, against the tide of {}", report.origin.words(), gauge.about().name);
        Ok(Heard::of(residual, whence, clock))
    }

    /// The number of the station the tide is for, as it is told of a file.
    fn own_number(&self) -> &str {
        self.own.and_then(|f| f.id().rsplit('/').next()).unwrap_or("8779750")
    }

    /// A reader's refusal of a file without a station, with what is to be told: that the tide is asked for at a station
    /// does not say that the file is of it.
    fn ask(&self, failure: Failure) -> Failure {
        match failure {
            Failure::Input(e) if e.allowed.contains("station=") => {
                let remedy = format!(
                    "{}; --told station={}, if that is the gauge of the file",
                    e.remedy,
                    self.own_number()
                );
                Failure::Input(Error { remedy, ..e })
            }
            other => other,
        }
    }

    /// The station of a file, if its weather is the beach's.
    fn gauge(&self, report: &Report) -> tailrope::Result<Found> {
        let own = self.own_number();
        let Known::Known(id) = &report.origin.station else {
            return Err(Error::new(
                "it is not said at which station its levels were read",
                "the number of the gauge; --station and --at say whose tide is meant, not whose the file is",
                format!("tell it: --told station={own}, if that is the gauge of the file"),
            ));
        };
        let found = self.stations.get(id).map_err(|e| Error {
            error: format!("we hold no tide for the gauge {id}"),
            remedy: "take a gauge that is one of the stations, or say the residual with --residual".into(),
            ..e
        })?;
        match self.stations.same_water(&found, self.place, self.own, self.far_km) {
            Ok(()) => Ok(found),
            Err(why) => Err(Error::new(
                format!("this gauge says nothing of the water there: {why}"),
                format!(
                    "a gauge within {:.0} km, of the same kind of tide, not behind an inlet",
                    self.far_km
                ),
                format!("take a file of {own}, or leave it out"),
            )),
        }
    }
}

/// By how much a clock of a gauge's place may be taken for UTC, or UTC for it.
fn offsets(found: &Found, at: Timestamp) -> Vec<Span> {
    let Ok(zone) = when::zone(found.zone()) else { return Vec::new() };
    let offset = zone.to_offset_info(at);
    let wall = f64::from(offset.offset().seconds());
    let winter = if offset.dst().is_dst() { wall - 3600.0 } else { wall };
    [wall, -wall, winter, -winter].into_iter().map(Span::of_s).collect()
}
