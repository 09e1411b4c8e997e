//! A tide station: constants or offsets, and what must be said with them.

use super::constituent;
use super::harmonic::{Constant, NodeRule};
use crate::facts::Grade;
use crate::quantity::{Angle, Length, Place};
use serde::{Deserialize, Serialize};

/// A station with harmonic constants of its own.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Station {
    /// Short name in the pack.
    pub id: String,
    /// Name in words.
    pub name: String,
    /// Country.
    pub country: String,
    /// State or province, where known.
    pub region: String,
    /// Where the gauge stands.
    pub place: Place,
    /// IANA time zone of the beach.
    pub zone: String,
    /// What heights are above (`MLLW`, `LAT`). Shown beside every height.
    pub datum: String,
    /// Mean sea level above the datum.
    pub mean_level: Length,
    /// When node factors are renewed.
    pub nodes: NodeRule,
    /// Claimed error of level and time of a predicted high or low, without weather.
    pub level_error: Length,
    /// The same in time, minutes.
    pub time_error_min: f64,
    /// Grade of the constants.
    pub grade: Grade,
    /// Whose constants, with their own number.
    pub source: String,
    /// Address of the source.
    pub url: String,
    /// Licence of the constants.
    pub licence: String,
    /// Text that must be shown with them.
    pub attribution: String,
    /// First and last day of what constants and datums stand on, where known.
    pub epoch: Option<String>,
    /// What must be said with its tide.
    pub notes: Vec<String>,
    /// Why the collection's own review set it aside: such a station is never offered, only given when named.
    pub set_aside: Option<String>,
    /// Constituents in the pack that are not reckoned here, with the sum of their amplitudes.
    pub left_out: LeftOut,
    #[serde(skip)]
    pub(super) constants: Vec<Constant>,
}

/// Constituents that a station gives and this model does not carry.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct LeftOut {
    /// Their names.
    pub names: Vec<String>,
    /// Root of half the sum of their squared amplitudes: the rms error of leaving them out.
    pub rms: Length,
}

/// A place whose high and low waters are those of a station, moved and stretched.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Subordinate {
    /// Short name in the pack.
    pub id: String,
    /// Name in words.
    pub name: String,
    /// Country, where known.
    pub country: String,
    /// State or province, where known.
    pub region: String,
    /// Where.
    pub place: Place,
    /// IANA time zone of the beach.
    pub zone: String,
    /// The station it follows.
    pub reference: String,
    /// Minutes by which its high water comes later than the reference's.
    pub high_later_min: f64,
    /// Minutes by which its low water comes later.
    pub low_later_min: f64,
    /// How its high water's height follows from the reference's, both above chart datum.
    pub high: HeightRule,
    /// The same for low water.
    pub low: HeightRule,
    /// Grade of the offsets.
    pub grade: Grade,
    /// Whose offsets.
    pub source: String,
    /// Address of the source, where known.
    pub url: String,
    /// Licence.
    pub licence: String,
    /// Text that must be shown.
    pub attribution: String,
    /// What must be said with its tide.
    pub notes: Vec<String>,
    /// Why the collection's own review set it aside.
    pub set_aside: Option<String>,
}

/// Height at a subordinate from the height at its reference.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum HeightRule {
    /// Times this.
    Ratio(f64),
    /// Plus this.
    Add(Length),
}

impl HeightRule {
    pub(super) fn apply_m(self, level_m: f64) -> f64 {
        match self {
            Self::Ratio(k) => level_m * k,
            Self::Add(l) => level_m + l.m(),
        }
    }
}

impl Station {
    /// Amplitude of a constituent by any usual spelling; nothing if the station does not give it.
    pub fn amplitude(&self, name: &str) -> Length {
        let index = constituent::find(name);
        let found = self.constants.iter().find(|c| Some(c.index) == index);
        Length::of_m(found.map_or(0.0, |c| c.amplitude_m))
    }

    /// Greenwich phase lag of a constituent that is reckoned.
    pub fn lag(&self, name: &str) -> Option<Angle> {
        let index = constituent::find(name)?;
        self.constants.iter().find(|c| c.index == index).map(|c| Angle::of_deg(c.lag_deg))
    }

    /// Names of the constituents reckoned.
    pub fn constituents(&self) -> impl Iterator<Item = &'static str> {
        self.constants.iter().filter_map(|c| constituent::name(c.index))
    }

    /// Form number (K1 + O1) / (M2 + S2) and its word (recalled, in every tide manual). Without M2 and S2 the
    /// number is infinite and the tide diurnal.
    pub fn form(&self) -> (f64, &'static str) {
        let a = |name| self.amplitude(name).m();
        let semi = a("M2") + a("S2");
        let form = if semi > 0.0 { (a("K1") + a("O1")) / semi } else { f64::INFINITY };
        let word = match form {
            f if f < 0.25 => "semidiurnal",
            f if f < 1.5 => "mixed, mainly semidiurnal",
            f if f < 3.0 => "mixed, mainly diurnal",
            _ => "diurnal",
        };
        (form, word)
    }
}

/// The constituents that are reckoned, in the order of the agency's table so that sums come out the same whatever the
/// order in the file, and those that are not: unknown here, or there already under another spelling.
pub(super) fn sort_out<'a>(all: impl Iterator<Item = (&'a str, Length, Angle)>) -> (Vec<Constant>, LeftOut) {
    let mut constants: Vec<Constant> = Vec::new();
    let mut left_out = LeftOut::default();
    let mut half_squares = 0.0;
    for (name, amplitude, lag) in all {
        let new = constituent::find(name).filter(|index| constants.iter().all(|c| c.index != *index));
        if let Some(index) = new {
            constants.push(Constant { index, amplitude_m: amplitude.m(), lag_deg: lag.deg() });
        } else {
            left_out.names.push(name.to_owned());
            half_squares += amplitude.m() * amplitude.m() / 2.0;
        }
    }
    constants.sort_by_key(|c| c.index);
    left_out.rms = Length::of_m(half_squares.sqrt());
    (constants, left_out)
}
