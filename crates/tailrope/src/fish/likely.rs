//! Which fish may come tonight besides the target, and how big?
//!
//! Rule (fish.md 5, a project default): a species is likely where a season line holds region and month and its
//! note does not call it rare, few or scarce. Its likely upper length is 1.2 x the upper female maturity length,
//! in that figure's length type, never above the longest known; without maturity 0.8 x the longest known.
//!
//! Limits: seasons are recalled; the crew's own log replaces them after 20 nights (then: above 5 %). The target's
//! own size band may only raise what is found here.

use super::{FishLength, LengthKind, MassEstimate, Region, Species, SpeciesPack, raw};
use crate::quantity::{Length, Mass};

/// The figures of the rule.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LikelyFigures {
    words: Vec<String>,
    of_maturity: f64,
    of_max: f64,
    nights: u32,
    share: f64,
}

impl LikelyFigures {
    pub(super) fn from_raw(r: &raw::LikelyRules) -> Self {
        Self {
            words: r.not_likely_words.iter().map(|w| w.to_lowercase()).collect(),
            of_maturity: r.upper_of_female_maturity,
            of_max: r.upper_of_max_length,
            nights: r.own_log_after_nights,
            share: r.own_log_share_above,
        }
    }
}

/// A species that may come, at its likely upper size.
#[derive(Clone, Debug)]
pub struct Likely<'a> {
    /// Which.
    pub species: &'a Species,
    /// Its likely upper length, in the type its maturity is given in.
    pub length: FishLength,
    /// The same as total length; `None` for rays measured across the disc and where no conversion is known.
    pub total: Option<Length>,
    /// Its mass there; `None` where no length gives a mass. Use the heavy end.
    pub mass: Option<MassEstimate>,
    /// Where no length gives a mass: the heaviest known, an outer bound to ask about, not to plan with.
    pub outer_mass: Option<Mass>,
    /// What the season's note says.
    pub note: &'a str,
}

impl<'a> Likely<'a> {
    /// A species at a length, with what follows from it.
    pub fn at(species: &'a Species, length: FishLength, note: &'a str) -> Self {
        let mass = species.mass_at(length).ok();
        let outer_mass = if mass.is_none() { species.max_mass.as_ref().map(|m| m.value) } else { None };
        let total = species.convert(length, LengthKind::Total).ok().map(|c| c.value.length);
        Self { species, length, total, mass, outer_mass, note }
    }

    /// Heavy end of its mass.
    pub fn heavy(&self) -> Option<Mass> {
        self.mass.as_ref().map(|m| m.heavy)
    }
}

/// The largest likely fish: by length and by weight they may be two.
#[derive(Clone, Debug)]
pub struct Largest<'a> {
    /// Longest by total length.
    pub longest: Option<Likely<'a>>,
    /// Heaviest by the heavy end of its mass.
    pub heaviest: Option<Likely<'a>>,
    /// Likely fish to which no length gives a mass: ask, and see their outer mass.
    pub unweighed: Vec<Likely<'a>>,
}

impl Species {
    fn upper(&self, f: &LikelyFigures) -> FishLength {
        let max = self.max_length.value;
        let Some(mature) = self.maturity.as_ref().map(|m| m.female[0].length.max(m.female[1].length)) else {
            return FishLength::new(max.kind, max.length * f.of_max);
        };
        let kind = self.maturity.as_ref().map_or(max.kind, |m| m.female[1].kind);
        let upper = mature * f.of_maturity;
        let cap = self.convert(max, kind).map_or(upper, |c| c.value.length);
        FishLength::new(kind, upper.min(cap))
    }
}

impl SpeciesPack {
    /// Likely upper length of a species, wherever it is met.
    pub fn likely_upper(&self, species: &Species) -> FishLength {
        species.upper(&self.likely)
    }

    /// The species likely in a region and month (1 to 12), in the order of the pack, each at its likely upper size.
    pub fn likely(&self, region: Region, month: u8) -> Vec<Likely<'_>> {
        let certain = |note: &str| {
            let note = note.to_lowercase();
            !note.split(|c: char| !c.is_alphanumeric()).any(|w| self.likely.words.iter().any(|x| x == w))
        };
        self.all()
            .iter()
            .filter_map(|s| {
                let season = s
                    .seasons
                    .iter()
                    .find(|x| x.region == region && x.months.holds(month) && certain(&x.note))?;
                Some(Likely::at(s, s.upper(&self.likely), &season.note))
            })
            .collect()
    }

    /// After how many nights the crew's own log replaces the seasons, and above which share a species is then likely.
    pub fn own_log_rule(&self) -> (u32, f64) {
        (self.likely.nights, self.likely.share)
    }
}

/// The longest and heaviest of the likely fish and the target at the upper end of its band, which may only raise them.
pub fn largest<'a>(likely: Vec<Likely<'a>>, target: Option<(&'a Species, FishLength)>) -> Largest<'a> {
    let mut all = likely;
    if let Some((species, length)) = target {
        all.push(Likely::at(species, length, ""));
    }
    let best = |key: fn(&Likely<'a>) -> Option<f64>| {
        all.iter()
            .filter_map(|l| key(l).map(|x| (x, l)))
            .max_by(|(a, _), (b, _)| a.total_cmp(b))
            .map(|(_, l)| l.clone())
    };
    let longest = best(|l| l.total.map(Length::m));
    let heaviest = best(|l| l.heavy().map(Mass::kg));
    let unweighed = all.into_iter().filter(|l| l.mass.is_none()).collect();
    Largest { longest, heaviest, unweighed }
}
