//! Writing the world pack: the same records give the same bytes, whatever their order.

use super::bytes::{crc32, put_count, put_number, put_signed, put_words};
use super::decode::{FIRST_YEAR, GRADES, MAX_MINUTES, MAX_NAME, MAX_NOTES, MAX_STEPS, MAX_TENTHS, MAX_WORDS};
use super::record::{Constants, Origin, Record};
use super::{FOLLOWS, MAGIC, MAX_ID, SET_ASIDE, VERSION};
use crate::quantity::{Angle, Length};
use crate::sea::tide::{HeightRule, NodeRule};
use crate::{Error, Result};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// A list of words without doubles, with their positions.
#[derive(Default)]
struct List<'a> {
    at: BTreeMap<&'a str, u32>,
}

impl<'a> List<'a> {
    fn of(words: impl Iterator<Item = &'a str>) -> Self {
        let sorted: BTreeSet<&str> = words.collect();
        Self { at: sorted.into_iter().zip(0..).collect() }
    }

    fn put(&self, out: &mut Vec<u8>) {
        put_count(out, self.at.len());
        for word in self.at.keys() {
            put_words(out, word);
        }
    }

    fn point(&self, out: &mut Vec<u8>, word: &str) {
        put_number(out, self.at.get(word).copied().unwrap_or_default());
    }
}

fn refuse(id: &str, error: impl Into<String>, allowed: &str) -> Error {
    Error::new(error, allowed, "correct it where the records are made").within(id)
}

/// A value in steps, rounded; refused where it does not fit.
fn steps(id: &str, what: &str, value: f64, step: f64, limit: u32) -> Result<i32> {
    let n = (value / step).round();
    if n.is_nan() || n.abs() > f64::from(limit) {
        return Err(refuse(id, format!("{what} is {value}"), "a finite value of ordinary size"));
    }
    #[allow(clippy::cast_possible_truncation)] // held against the limit above
    Ok(n as i32)
}

fn height(id: &str, what: &str, l: Length) -> Result<i32> {
    steps(id, what, l.m(), 1e-4, MAX_STEPS)
}

fn lag(id: &str, a: Angle) -> Result<u16> {
    let n = steps(id, "a phase lag", a.deg(), 0.01, MAX_STEPS)?.rem_euclid(36000);
    u16::try_from(n).map_err(|_| refuse(id, "a phase lag does not fit", "degrees"))
}

/// Packs records into the bytes that [`super::World::open`] reads.
///
/// Amplitudes and heights are rounded to 0.1 mm, lags to 0.01 degrees, places to 0.00001 degrees, offsets to whole
/// minutes and 0.0001 of a ratio.
///
/// # Errors
/// Two records of one id, a follower whose reference is not there or follows itself, values that do not fit.
pub fn encode(records: &[Record]) -> Result<Vec<u8>> {
    let mut sorted: Vec<&Record> = records.iter().collect();
    sorted.sort_by(|a, b| a.card.id.cmp(&b.card.id));
    for r in &sorted {
        let o = &r.origin;
        let words = [&r.card.name, &r.card.country, &r.card.region, &r.card.zone, &r.number];
        let words = words.into_iter().chain([&o.source, &o.url, &o.licence, &o.attribution]);
        let words = words.chain(&r.notes).chain(&r.card.set_aside);
        if words.into_iter().any(|w| w.len() > MAX_WORDS) || r.notes.len() > MAX_NOTES {
            return Err(refuse(&r.card.id, "its words are too long", "2000 bytes, 8 notes"));
        }
        if names(r).iter().any(|n| n.is_empty() || n.len() > MAX_NAME) {
            return Err(refuse(&r.card.id, "a constituent's name is empty or too long", "24 bytes"));
        }
    }
    for pair in sorted.windows(2) {
        if let [a, b] = pair
            && a.card.id == b.card.id
        {
            return Err(refuse(&a.card.id, "the id is there twice", "each station once"));
        }
    }
    let tables = Lists::of(&sorted);
    let mut index = Vec::new();
    tables.put(&mut index)?;
    let (mut body, mut last) = (Vec::new(), "");
    for r in &sorted {
        let start = body.len();
        tables.record(&mut body, r, &sorted)?;
        let sum = crc32(body.get(start..).unwrap_or_default());
        body.extend_from_slice(&sum.to_le_bytes());
        put_entry(&mut index, r, last, body.len() - start)?;
        last = &r.card.id;
    }
    let mut out = MAGIC.to_vec();
    out.push(VERSION);
    for n in [sorted.len(), index.len(), body.len()] {
        let n = u32::try_from(n).map_err(|_| refuse("", "the pack is too large", "4 GB"))?;
        out.extend_from_slice(&n.to_le_bytes());
    }
    out.extend_from_slice(&crc32(&index).to_le_bytes());
    out.extend_from_slice(&index);
    out.extend_from_slice(&body);
    Ok(out)
}

fn put_entry(index: &mut Vec<u8>, r: &Record, last: &str, length: usize) -> Result<()> {
    let id = &*r.card.id;
    if id.is_empty() || id.len() > MAX_ID || id.trim() != id {
        return Err(refuse(id, "the id is empty, too long or has blanks at its ends", "1 to 120 bytes"));
    }
    let shared = id
        .char_indices()
        .zip(last.chars())
        .take_while(|((_, a), b)| a == b)
        .map(|((at, c), _)| at + c.len_utf8())
        .last()
        .unwrap_or_default();
    put_count(index, shared);
    put_words(index, id.get(shared..).unwrap_or_default());
    let follows = if r.card.follows { FOLLOWS } else { 0 };
    index.push(if r.card.set_aside.is_some() { follows | SET_ASIDE } else { follows });
    for deg in [r.card.place.latitude_deg(), r.card.place.longitude_deg()] {
        index.extend_from_slice(&steps(id, "the place", deg, 1e-5, 20_000_000)?.to_le_bytes());
    }
    put_number(index, u32::try_from(length).unwrap_or(u32::MAX));
    Ok(())
}

struct Lists<'a> {
    zones: List<'a>,
    countries: List<'a>,
    regions: List<'a>,
    datums: List<'a>,
    notes: List<'a>,
    names: List<'a>,
    groups: BTreeMap<Vec<&'a str>, u32>,
    origins: Vec<&'a Origin>,
}

fn names(r: &Record) -> Vec<&str> {
    match &r.tide {
        Constants::Own { constituents, .. } => constituents.iter().map(|c| &*c.0).collect(),
        Constants::Follows { .. } => Vec::new(),
    }
}

impl<'a> Lists<'a> {
    fn of(all: &[&'a Record]) -> Self {
        let lists: BTreeSet<Vec<&str>> = all.iter().map(|r| names(r)).collect();
        let mut origins: Vec<&Origin> = Vec::new();
        for r in all {
            if !origins.contains(&&r.origin) {
                origins.push(&r.origin);
            }
        }
        let datum = |r: &&'a Record| match &r.tide {
            Constants::Own { datum, .. } => Some(&**datum),
            Constants::Follows { .. } => None,
        };
        Self {
            zones: List::of(all.iter().map(|r| &*r.card.zone)),
            countries: List::of(all.iter().map(|r| &*r.card.country)),
            regions: List::of(all.iter().map(|r| &*r.card.region)),
            datums: List::of(all.iter().filter_map(datum)),
            notes: List::of(all.iter().flat_map(|r| r.notes.iter().map(|n| &**n))),
            names: List::of(all.iter().flat_map(|r| names(r))),
            groups: lists.into_iter().zip(0..).collect(),
            origins,
        }
    }

    fn put(&self, out: &mut Vec<u8>) -> Result<()> {
        for list in [&self.zones, &self.countries, &self.regions, &self.datums, &self.notes, &self.names] {
            list.put(out);
        }
        put_count(out, self.groups.len());
        for list in self.groups.keys() {
            put_count(out, list.len());
            for name in list {
                self.names.point(out, name);
            }
        }
        put_count(out, self.origins.len());
        for o in &self.origins {
            for words in [&o.source, &o.url, &o.licence, &o.attribution] {
                put_words(out, words);
            }
            out.push(match o.nodes {
                NodeRule::MidYear => 0,
                NodeRule::Daily => 1,
            });
            put_number(out, height("origin", "the claimed error", o.level_error)?.unsigned_abs());
            put_number(
                out,
                steps("origin", "the claimed minutes", o.time_error_min, 0.1, MAX_TENTHS)?.unsigned_abs(),
            );
            put_number(out, GRADES.iter().zip(0..).find(|(g, _)| **g == o.grade).map_or(0, |(_, i)| i));
        }
        Ok(())
    }

    fn record(&self, out: &mut Vec<u8>, r: &Record, sorted: &[&Record]) -> Result<()> {
        let id = &*r.card.id;
        put_words(out, &r.card.name);
        self.countries.point(out, &r.card.country);
        self.regions.point(out, &r.card.region);
        self.zones.point(out, &r.card.zone);
        if let Some(why) = &r.card.set_aside {
            put_words(out, why);
        }
        put_number(out, self.origins.iter().zip(0..).find(|(o, _)| **o == &r.origin).map_or(0, |(_, i)| i));
        let tail = id.split_once('/').map_or(id, |(_, tail)| tail);
        put_words(out, if r.number == tail { "" } else { &r.number });
        out.push(u8::from(r.epoch.is_some()));
        if let Some((from, to)) = r.epoch {
            put_day(out, id, from)?;
            put_day(out, id, to)?;
        }
        put_count(out, r.notes.len());
        for note in &r.notes {
            self.notes.point(out, note);
        }
        match &r.tide {
            Constants::Own { datum, mean_level, constituents } => {
                if r.card.follows {
                    return Err(refuse(id, "it has constants and follows another", "one of the two"));
                }
                self.datums.point(out, datum);
                put_signed(out, height(id, "mean sea level", *mean_level)?);
                put_number(out, self.groups.get(&names(r)).copied().unwrap_or_default());
                for (name, amplitude, phase) in constituents {
                    let n = height(id, name, *amplitude)?;
                    let n = u32::try_from(n).map_err(|_| {
                        refuse(id, format!("the amplitude of {name} is negative"), "0 or more")
                    })?;
                    put_number(out, n);
                    if n > 0 {
                        out.extend_from_slice(&lag(id, *phase)?.to_le_bytes());
                    }
                }
            }
            Constants::Follows { reference, high_later_min, low_later_min, high, low } => {
                let at = sorted.binary_search_by(|s| s.card.id.as_str().cmp(reference)).ok();
                let own = at.and_then(|i| sorted.get(i)).is_some_and(|s| !s.card.follows);
                let (Some(at), true, true) = (at, own, r.card.follows) else {
                    return Err(refuse(
                        id,
                        format!("it follows `{reference}`"),
                        "a station with constants of its own",
                    ));
                };
                put_count(out, at);
                put_signed(out, steps(id, "the minutes", *high_later_min, 1.0, MAX_MINUTES)?);
                put_signed(out, steps(id, "the minutes", *low_later_min, 1.0, MAX_MINUTES)?);
                let (fixed, pair) = match (high, low) {
                    (HeightRule::Ratio(h), HeightRule::Ratio(l)) => (0, [*h, *l]),
                    (HeightRule::Add(h), HeightRule::Add(l)) => (1, [h.m(), l.m()]),
                    _ => return Err(refuse(id, "it has a ratio and a height", "two of one kind")),
                };
                out.push(fixed);
                for value in pair {
                    put_signed(out, steps(id, "the height offset", value, 1e-4, MAX_STEPS)?);
                }
            }
        }
        Ok(())
    }
}

fn put_day(out: &mut Vec<u8>, id: &str, day: Date) -> Result<()> {
    let year = u32::try_from(i32::from(day.year()) - i32::from(FIRST_YEAR))
        .map_err(|_| refuse(id, format!("the epoch is {day}"), "1700 and later"))?;
    put_number(out, year);
    out.push(day.month().unsigned_abs());
    out.push(day.day().unsigned_abs());
    Ok(())
}
