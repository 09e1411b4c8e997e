//! Reading one record of the world pack.

use super::bytes::{Read, Reader};
use super::record::{Card, Constants, Origin, Record};
use super::{Entry, FOLLOWS, SET_ASIDE};
use crate::facts::Grade;
use crate::quantity::{Angle, Length};
use crate::sea::tide::{HeightRule, NodeRule};
use jiff::civil::Date;

/// Everything that records point at.
#[derive(Clone, Debug, Default)]
pub(super) struct Tables {
    pub zones: Vec<String>,
    pub countries: Vec<String>,
    pub regions: Vec<String>,
    pub datums: Vec<String>,
    pub notes: Vec<String>,
    pub names: Vec<String>,
    /// Lists of positions in `names`.
    pub lists: Vec<Vec<u32>>,
    pub origins: Vec<Origin>,
}

/// Grades by the number that stands for them.
pub(super) const GRADES: [Grade; 7] = [
    Grade::Measured,
    Grade::Published,
    Grade::SecondHand,
    Grade::Derived,
    Grade::Recalled,
    Grade::Estimate,
    Grade::Default,
];

/// Years of an epoch count from here.
pub(super) const FIRST_YEAR: i16 = 1700;

/// Longest words: a station's name, a reason, a note, an attribution.
pub(super) const MAX_WORDS: usize = 2000;
/// Longest name of a constituent.
pub(super) const MAX_NAME: usize = 24;
/// Most notes of one station.
pub(super) const MAX_NOTES: usize = 8;

/// Largest height either way (100 m) and largest ratio (100), in steps of 0.1 mm and of 0.0001.
pub(super) const MAX_STEPS: u32 = 1_000_000;
/// Largest offset in time, whole minutes: a week.
pub(super) const MAX_MINUTES: u32 = 10_000;
/// Largest claimed error of times, tenths of a minute.
pub(super) const MAX_TENTHS: u32 = 100_000;

fn tenth_mm(n: f64) -> Length {
    Length::of_m(n / 1e4)
}

impl Tables {
    pub fn read(r: &mut Reader<'_>) -> Read<Self> {
        let list = |r: &mut Reader<'_>| -> Read<Vec<String>> {
            (0..r.count(1)?).map(|_| r.words(MAX_WORDS).map(str::to_owned)).collect()
        };
        let mut t = Self {
            zones: list(r)?,
            countries: list(r)?,
            regions: list(r)?,
            datums: list(r)?,
            notes: list(r)?,
            names: (0..r.count(1)?)
                .map(|_| match r.words(MAX_NAME)? {
                    "" => r.broken("a constituent has no name"),
                    name => Ok(name.to_owned()),
                })
                .collect::<Read<_>>()?,
            ..Self::default()
        };
        for _ in 0..r.count(1)? {
            let list = (0..r.count(1)?)
                .map(|_| {
                    let i = r.number()?;
                    if t.names.get(i as usize).is_none() {
                        return r.broken("it points beyond a list");
                    }
                    Ok(i)
                })
                .collect::<Read<Vec<u32>>>()?;
            t.lists.push(list);
        }
        let words = |r: &mut Reader<'_>| r.words(MAX_WORDS).map(str::to_owned);
        for _ in 0..r.count(8)? {
            let (source, url, licence) = (words(r)?, words(r)?, words(r)?);
            let attribution = words(r)?;
            let nodes = match r.byte()? {
                0 => NodeRule::MidYear,
                1 => NodeRule::Daily,
                _ => return r.broken("there is no such node rule"),
            };
            let level_error = tenth_mm(f64::from(r.up_to(MAX_STEPS)?));
            let time_error_min = f64::from(r.up_to(MAX_TENTHS)?) / 10.0;
            let grade = *r.pick(&GRADES)?;
            t.origins.push(Origin {
                source,
                url,
                licence,
                attribution,
                nodes,
                level_error,
                time_error_min,
                grade,
            });
        }
        Ok(t)
    }

    /// The beginning of a record.
    pub fn card(&self, id: &str, entry: Entry, r: &mut Reader<'_>) -> Read<Card> {
        Ok(Card {
            id: id.to_owned(),
            place: entry.place,
            follows: entry.flags & FOLLOWS != 0,
            name: r.words(MAX_WORDS)?.to_owned(),
            country: r.pick(&self.countries)?.clone(),
            region: r.pick(&self.regions)?.clone(),
            zone: r.pick(&self.zones)?.clone(),
            set_aside: if entry.flags & SET_ASIDE == 0 { None } else { Some(r.words(MAX_WORDS)?.to_owned()) },
        })
    }

    /// What follows the card. `id_of` gives the id of a station by its position.
    pub fn rest(
        &self,
        card: Card,
        r: &mut Reader<'_>,
        id_of: impl Fn(usize) -> Option<String>,
    ) -> Read<Record> {
        let origin = r.pick(&self.origins)?.clone();
        let number = match r.words(MAX_WORDS)? {
            // Nearly always the id after its source.
            "" => card.id.split_once('/').map_or(&*card.id, |(_, tail)| tail).to_owned(),
            other => other.to_owned(),
        };
        let epoch = match r.byte()? {
            0 => None,
            1 => Some((day(r)?, day(r)?)),
            _ => return r.broken("an epoch is neither there nor not"),
        };
        let count = r.count(1)?;
        if count > MAX_NOTES {
            return r.broken("there are too many notes");
        }
        let notes = (0..count).map(|_| r.pick(&self.notes).cloned()).collect::<Read<Vec<String>>>()?;
        let tide = if card.follows {
            let i = r.number()? as usize;
            let Some(reference) = id_of(i) else { return r.broken("it follows no station of the pack") };
            let (high_later_min, low_later_min) =
                (f64::from(r.within(MAX_MINUTES)?), f64::from(r.within(MAX_MINUTES)?));
            let fixed = match r.byte()? {
                0 => false,
                1 => true,
                _ => return r.broken("there is no such height rule"),
            };
            let mut rule = || {
                let n = f64::from(r.within(MAX_STEPS)?);
                Ok(if fixed { HeightRule::Add(tenth_mm(n)) } else { HeightRule::Ratio(n / 1e4) })
            };
            Constants::Follows { reference, high_later_min, low_later_min, high: rule()?, low: rule()? }
        } else {
            let datum = r.pick(&self.datums)?.clone();
            let mean_level = tenth_mm(f64::from(r.within(MAX_STEPS)?));
            let mut constituents = Vec::new();
            for i in r.pick(&self.lists)? {
                let amplitude = r.up_to(MAX_STEPS)?;
                let lag = if amplitude == 0 { 0 } else { r.u16()? };
                if lag >= 36000 {
                    return r.broken("a phase lag is beyond 360 degrees");
                }
                let name = self.names.get(*i as usize).cloned().unwrap_or_default();
                constituents.push((
                    name,
                    tenth_mm(f64::from(amplitude)),
                    Angle::of_deg(f64::from(lag) / 100.0),
                ));
            }
            Constants::Own { datum, mean_level, constituents }
        };
        Ok(Record { card, origin, number, epoch, notes, tide })
    }
}

fn day(r: &mut Reader<'_>) -> Read<Date> {
    let year = r.number()?;
    let (month, day) = (r.byte()?, r.byte()?);
    let year = i16::try_from(year).ok().and_then(|y| y.checked_add(FIRST_YEAR));
    let date = year.zip(i8::try_from(month).ok()).zip(i8::try_from(day).ok());
    match date.and_then(|((y, m), d)| Date::new(y, m, d).ok()) {
        Some(date) => Ok(date),
        None => r.broken("an epoch is no date"),
    }
}
