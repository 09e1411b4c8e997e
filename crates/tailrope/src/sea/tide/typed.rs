//! A printed tide table as a crew types it in: the way where no station is near.
//!
//! Times are by the clock of the beach (`2026-10-17T19:40`), or carry their offset (`2026-10-17T19:40-05:00`). On the
//! nights of a clock change an hour comes twice or never: such a time must carry its offset.

use super::table::{HighLow, TideTable};
use super::turning::Water;
use crate::quantity::{Length, Place};
use crate::{Error, Result};
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, TimeZone};
use serde::{Deserialize, Serialize};

/// One typed line of a tide table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TypedWater {
    /// When: `2026-10-17T19:40` by the beach's clock, or with its offset.
    pub at: String,
    /// High or low.
    pub water: Water,
    /// Height above the table's datum.
    pub height: Length,
}

/// A printed tide table, typed in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TypedTable {
    /// What heights are above, as the table says (`MLLW`, `LAT`, `chart datum`).
    pub datum: String,
    /// Where the table is from; shown beside every height.
    pub source: String,
    /// IANA zone of its clock; left out, the beach's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// Mean sea level above the datum, if the table gives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mean_level: Option<Length>,
    /// Degrees north of the place it is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latitude: Option<f64>,
    /// Degrees east.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longitude: Option<f64>,
    /// High and low waters in order of time.
    pub waters: Vec<TypedWater>,
}

impl TypedTable {
    /// The zone of its clock: its own, else the beach's.
    ///
    /// # Errors
    /// A name that is no zone, or none at all.
    pub fn zone(&self, beach: Option<&TimeZone>) -> Result<TimeZone> {
        let Some(name) = &self.zone else {
            return beach.cloned().ok_or_else(|| {
                Error::new(
                    "the table does not say by which clock its times are",
                    "an IANA name such as America/Chicago",
                    "write zone = \"...\" into it, or give --zone",
                )
                .within("zone")
            });
        };
        TimeZone::get(name).map_err(|_| {
            Error::new(
                format!("no time zone `{}`", name.chars().take(40).collect::<String>()),
                "an IANA name such as America/Chicago",
                "write the zone of the beach",
            )
            .within("zone")
        })
    }

    /// The place it is for, where that is said.
    ///
    /// # Errors
    /// One of latitude and longitude alone, or a place that is none.
    pub fn place(&self) -> Result<Option<Place>> {
        match (self.latitude, self.longitude) {
            (None, None) => Ok(None),
            (Some(north), Some(east)) => {
                Place::of_deg(north, east).map(Some).map_err(|e| e.within("latitude"))
            }
            (north, _) => Err(Error::new(
                "the place of the table is said by half",
                "latitude and longitude, in degrees north and east",
                "write both, or neither",
            )
            .within(if north.is_some() { "latitude" } else { "longitude" })),
        }
    }

    /// The table on instants. `beach` is the zone of times without offset, unless the table says its own.
    ///
    /// # Errors
    /// A time that is none, or that a clock change leaves out or repeats; an empty source.
    pub fn table(&self, beach: Option<&TimeZone>) -> Result<TideTable> {
        self.place()?;
        let timed = self.waters.iter().any(|w| w.at.trim().parse::<Timestamp>().is_err());
        let zone = if timed || self.zone.is_some() { Some(self.zone(beach)?) } else { None };
        if self.source.trim().is_empty() {
            return Err(Error::new(
                "the source is empty",
                "words, like `harbour office, table for 2026`",
                "say whose table it is: it stands beside every height",
            )
            .within("source"));
        }
        let waters = self
            .waters
            .iter()
            .enumerate()
            .map(|(i, w)| {
                let at = instant(&w.at, zone.as_ref()).map_err(|e| e.within(format!("waters[{i}].at")))?;
                Ok(HighLow { at, water: w.water, height: w.height })
            })
            .collect::<Result<_>>()?;
        Ok(TideTable {
            datum: self.datum.clone(),
            source: self.source.clone(),
            mean_level: self.mean_level,
            waters,
        })
    }
}

/// A time with its offset, or by a clock.
fn instant(text: &str, zone: Option<&TimeZone>) -> Result<Timestamp> {
    let text = text.trim();
    if let Ok(at) = text.parse::<Timestamp>() {
        return Ok(at);
    }
    let shown: String = text.chars().take(40).collect();
    let local = (text.len() > 10).then(|| text.parse::<DateTime>().ok()).flatten();
    let (Some(local), Some(zone)) = (local, zone) else {
        return Err(Error::new(
            format!("`{shown}` is not a time"),
            "a day with its clock time, like 2026-10-17T19:40",
            "write day and clock",
        ));
    };
    let found = zone.to_ambiguous_timestamp(local);
    let why = match found.offset() {
        AmbiguousOffset::Gap { .. } => "is left out by",
        AmbiguousOffset::Fold { .. } => "comes twice at",
        AmbiguousOffset::Unambiguous { .. } => {
            return found.unambiguous().map_err(|_| {
                Error::new(
                    format!("{shown} lies outside the calendar"),
                    "years 1900 to 2099",
                    "check the date",
                )
            });
        }
    };
    Err(Error::new(
        format!("{shown} {why} the change of the clocks"),
        "a time with its offset, like 2026-11-01T01:30-05:00",
        "write the offset behind it",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::PackText;

    const TABLE: &str = "datum = 'MLLW'\nsource = 'harbour office'\nzone = 'America/Chicago'\nwaters = [\n\
        { at = '2026-10-17T12:00', water = 'low', height = '0.1ft' },\n\
        { at = '2026-10-17T19:40-05:00', water = 'high', height = '1.5ft' },\n\
        { at = '2026-10-18T03:10', water = 'low', height = '0.3ft' }]";

    fn read(text: &str, beach: Option<&str>) -> Result<TideTable> {
        let zone = beach.map(|z| TimeZone::get(z).unwrap());
        PackText::new("t", text).read::<TypedTable>()?.table(zone.as_ref())
    }

    #[test]
    fn a_table_is_read_by_the_clock_of_the_beach() {
        let t = read(TABLE, None).unwrap();
        let at: Vec<String> = t.waters.iter().map(|w| w.at.to_string()).collect();
        assert_eq!(at, ["2026-10-17T17:00:00Z", "2026-10-18T00:40:00Z", "2026-10-18T08:10:00Z"]);
        let without = TABLE.replace("zone = 'America/Chicago'\n", "");
        assert_eq!(read(&without, Some("America/Chicago")).unwrap(), t);
        // Two hours later on the west coast, but for the time that carries its offset.
        let west = read(&without, Some("America/Los_Angeles")).unwrap();
        assert_eq!(west.waters[0].at.to_string(), "2026-10-17T19:00:00Z");
        assert_eq!(west.waters[1].at, t.waters[1].at);
        assert_eq!(read(&without, None).unwrap_err().place, "zone");
    }

    #[test]
    fn a_table_may_say_where_it_is_for() {
        let of = |keys: &str| PackText::new("t", &format!("{keys}{TABLE}")).read::<TypedTable>();
        assert_eq!(of("").unwrap().place().unwrap(), None);
        let place = of("latitude = 27.58\nlongitude = -97.22\n").unwrap().place().unwrap().unwrap();
        assert!((place.longitude_deg() + 97.22).abs() < 1e-9);
        assert_eq!(of("latitude = 27.58\n").unwrap().table(None).unwrap_err().place, "latitude");
        assert!(of("latitude = 97.2\nlongitude = 27.6\n").unwrap().table(None).is_err());
    }

    #[test]
    fn times_that_a_clock_change_repeats_or_leaves_out_ask_for_their_offset() {
        let on = |at: &str| read(&TABLE.replace("2026-10-18T03:10", at), None);
        let e = on("2026-11-01T01:30").unwrap_err();
        assert!(e.place == "waters[2].at" && e.error.contains("comes twice"), "{e}");
        assert!(on("2027-03-14T02:30").unwrap_err().error.contains("left out"));
        assert!(on("2026-11-01T01:30-06:00").is_ok() && on("2026-11-01T03:10").is_ok());
        for bad in ["2026-10-18", "03:10", "soon", ""] {
            assert!(on(bad).unwrap_err().error.contains("not a time"), "{bad}");
        }
    }

    #[test]
    fn a_table_without_source_or_with_a_strange_zone_is_refused() {
        assert_eq!(read(&TABLE.replace("harbour office", " "), None).unwrap_err().place, "source");
        let e = read(&TABLE.replace("America/Chicago", "America/Gulf"), None).unwrap_err();
        assert!(e.place == "zone" && e.error.contains("America/Gulf"), "{e}");
    }
}
