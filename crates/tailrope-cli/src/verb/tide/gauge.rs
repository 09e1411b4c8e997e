//! What a gauge says beside the prediction: the residual, from the command line or from a file.

use super::asked::Source;
use super::{Tide, now};
use crate::answer::Failure;
use crate::desk::Desk;
use jiff::{SignedDuration, Timestamp};
use tailrope::Error;
use tailrope::facts::Known;
use tailrope::quantity::{Interval, Length};
use tailrope::sea::report::Report;
use tailrope::sea::tide::{Residual, Tide as Model};

impl Tide {
    /// The residual that was said, and whence it is.
    pub(super) fn residual(
        &self,
        tide: &Model,
        source: &Source,
        desk: &Desk,
    ) -> Result<Option<(Residual, String)>, Failure> {
        let zone = &source.zone;
        if let Some(said) = &self.residual {
            let at = said.at.map_or_else(|| Ok(now(desk, zone)), |at| at.at(zone))?;
            let residual = Residual::said(said.level, at).map_err(|e| e.within("--residual"))?;
            return Ok(Some((residual, "as said".to_owned())));
        }
        if !self.observed.is_empty() {
            let mut read = Vec::new();
            for o in &self.observed {
                read.push((o.at.map_or_else(|| Ok(now(desk, zone)), |at| at.at(zone))?, o.level));
            }
            let residual = Residual::from_gauge(tide, &read).map_err(|e| e.within("--observed"))?;
            return Ok(Some((residual, "levels read off a gauge".to_owned())));
        }
        if self.conditions.is_empty() {
            return Ok(None);
        }
        let mut newest: Option<(Residual, String)> = None;
        for report in &self.conditions.read()? {
            let found = of_file(report, tide, source).map_err(|e| e.within(&report.origin.name))?;
            if newest.as_ref().is_none_or(|(r, _)| r.at < found.0.at) {
                newest = Some(found);
            }
        }
        Ok(newest)
    }
}

/// The residual at the gauge of a file: its levels less the tide of the gauge itself.
fn of_file(report: &Report, tide: &Model, source: &Source) -> tailrope::Result<(Residual, String)> {
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
    let hour = SignedDuration::from_hours(1);
    let from = first.0.checked_sub(hour).unwrap_or(first.0);
    let to = last.0.checked_add(hour).unwrap_or(last.0);
    let gauge = match (&report.origin.station, &source.stations) {
        (Known::Known(id), Some(stations)) => {
            let found = stations.get(id).map_err(|e| Error {
                error: format!("we hold no tide for the gauge {id}"),
                remedy: "take a gauge that is one of the stations, or say the residual with --residual"
                    .into(),
                ..e
            })?;
            Model::of_found(&found, Interval::new(from, to)?)?
        }
        _ => match &source.found {
            Some(found) => Model::of_found(found, Interval::new(from, to)?)?,
            None => tide.clone(),
        },
    };
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
    Ok((residual, format!("{}, against the tide of {}", report.origin.words(), gauge.about().name)))
}
