//! One station as the world pack keeps it.

use crate::facts::Grade;
use crate::quantity::{Angle, Length, Place};
use crate::sea::tide::{HeightRule, NodeRule};
use jiff::civil::Date;

/// What all stations of one agency or collection share.
#[derive(Clone, Debug, PartialEq)]
pub struct Origin {
    /// Whose constants; `{}` stands for the station's own number there.
    pub source: String,
    /// Address; `{}` as above.
    pub url: String,
    /// Licence in words.
    pub licence: String,
    /// Text that must be shown.
    pub attribution: String,
    /// When node factors are renewed.
    pub nodes: NodeRule,
    /// Claimed error of a level, without weather.
    pub level_error: Length,
    /// Claimed error of a turning point's time, minutes.
    pub time_error_min: f64,
    /// Grade of the constants.
    pub grade: Grade,
}

/// What a search needs to know of a station.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Id: source and number, as `noaa/8779750`.
    pub id: String,
    /// Name in words.
    pub name: String,
    /// Country.
    pub country: String,
    /// State or province; may be empty.
    pub region: String,
    /// Where the gauge stands, to a metre.
    pub place: Place,
    /// IANA time zone.
    pub zone: String,
    /// It follows another station.
    pub follows: bool,
    /// Why the collection's own review set it aside; such a station is never offered, only given when named.
    pub set_aside: Option<String>,
}

/// One station.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// What a search needs.
    pub card: Card,
    /// What it shares with others.
    pub origin: Origin,
    /// Its number at the source.
    pub number: String,
    /// First and last day of what its constants and datums stand on.
    pub epoch: Option<(Date, Date)>,
    /// What must be said with it.
    pub notes: Vec<String>,
    /// Constants or offsets.
    pub tide: Constants,
}

/// How the tide of a record is made.
#[derive(Clone, Debug, PartialEq)]
pub enum Constants {
    /// Its own constituents.
    Own {
        /// What heights are above.
        datum: String,
        /// Mean sea level above it.
        mean_level: Length,
        /// Name, amplitude, Greenwich phase lag; sorted by name.
        constituents: Vec<(String, Length, Angle)>,
    },
    /// Offsets from another.
    Follows {
        /// Id of the other.
        reference: String,
        /// Minutes by which its high water comes later.
        high_later_min: f64,
        /// The same for low water.
        low_later_min: f64,
        /// Height of its high water.
        high: HeightRule,
        /// Height of its low water.
        low: HeightRule,
    },
}
