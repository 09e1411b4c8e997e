//! The world pack: thousands of tide stations in one file of a megabyte, read one station at a time.
//!
//! What it holds and how it is made: `crates/tailrope-stations`. Opening reads the head and the index (ids and
//! places); a station's constants are decoded when it is asked for. Amplitudes are kept to 0.1 mm, phase lags to
//! 0.01 degrees, places to 0.00001 degrees, heights to 0.1 mm: finer than what is published, or than a
//! millimetre of tide.
//!
//! The file, all numbers little-endian, "number" in groups of seven bits:
//! - head: `TAILTIDE`, a version byte, `u32` count of stations, length of the index, length of the records,
//!   CRC-32 of the index;
//! - index: lists of words (zones, countries, regions, datums, notes, constituents), lists of constituents,
//!   origins; then one entry for each station in order of id: letters shared with the id before, the others, flags,
//!   latitude and longitude as `i32` in 0.00001 degrees, length of its record;
//! - records, each closed by its own CRC-32.
//!
//! Any bytes are safe to open: counts are held against what is left, and what does not fit is refused.

mod bytes;
mod decode;
mod encode;
mod record;

pub use encode::encode;
pub use record::{Card, Constants, Origin, Record};

use crate::facts::fnv1a64;
use crate::quantity::Place;
use crate::{Error, Result};
use bytes::{Broken, Reader, crc32};
use decode::Tables;
use std::borrow::Cow;
use std::sync::Arc;

/// First bytes of every such file.
const MAGIC: &[u8; 8] = b"TAILTIDE";
/// The form that is written and read.
const VERSION: u8 = 1;
/// Bytes of the head.
const HEAD: usize = 8 + 1 + 4 * 4;
/// Largest file read.
const MAX_BYTES: usize = 32 * 1024 * 1024;
/// Longest id.
const MAX_ID: usize = 120;
/// An entry of the index has at least two numbers, flags, a place and a length.
const LEAST_ENTRY: usize = 12;

const FOLLOWS: u8 = 1;
const SET_ASIDE: u8 = 2;

/// An opened world pack. Cloning it copies no data.
#[derive(Clone)]
pub struct World {
    inner: Arc<Inner>,
}

struct Inner {
    file: String,
    bytes: Cow<'static, [u8]>,
    tables: Tables,
    ids: String,
    entries: Vec<Entry>,
}

#[derive(Clone, Copy)]
struct Entry {
    id: (usize, usize),
    flags: u8,
    place: Place,
    record: (usize, usize),
}

impl core::fmt::Debug for World {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "World({}, {} stations)", self.inner.file, self.len())
    }
}

impl PartialEq for World {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.inner, &other.inner) || self.inner.bytes == other.inner.bytes
    }
}

fn refuse(file: &str, b: Broken) -> Error {
    Error::new(
        format!("the pack of tide stations is broken: {} (byte {})", b.what, b.at),
        "the file as it is shipped",
        "copy it again, or take it out of the data folder to use the shipped one",
    )
    .within(file)
}

impl World {
    /// Opens the bytes of a pack; `file` is the name under which refusals speak of it. Reads head and index only.
    ///
    /// # Errors
    /// Bytes that are no such pack, of another version, cut short or changed in head or index.
    pub fn open(file: &str, bytes: impl Into<Cow<'static, [u8]>>) -> Result<Self> {
        let bytes = bytes.into();
        let (tables, ids, entries) = Self::index(&bytes).map_err(|b| refuse(file, b))?;
        Ok(Self { inner: Arc::new(Inner { file: file.to_owned(), bytes, tables, ids, entries }) })
    }

    fn index(all: &[u8]) -> bytes::Read<(Tables, String, Vec<Entry>)> {
        let mut head = Reader::new(all);
        if all.len() > MAX_BYTES {
            return head.broken("it is larger than any such pack");
        }
        if head.take(MAGIC.len())? != MAGIC {
            return Err(Broken { what: "it does not begin as one", at: 0 });
        }
        if head.byte()? != VERSION {
            return head.broken("it is of another version");
        }
        let (count, index, records) = (head.u32()? as usize, head.u32()? as usize, head.u32()? as usize);
        let sum = head.u32()?;
        let index = head.take(index)?;
        let first = head.at();
        head.take(records)?;
        head.end()?;
        if crc32(index) != sum {
            return Err(Broken { what: "the index does not match its checksum", at: HEAD });
        }
        let mut r = Reader::new(index);
        let tables = Tables::read(&mut r)?;
        if count > r.left() / LEAST_ENTRY {
            return r.broken("a count is larger than what follows");
        }
        let mut ids = String::new();
        let mut entries: Vec<Entry> = Vec::with_capacity(count);
        let mut last = String::new();
        let mut start = first;
        for _ in 0..count {
            let shared = r.number()? as usize;
            let rest = r.words(MAX_ID)?;
            let Some(kept) = last.get(..shared).filter(|k| k.len() + rest.len() <= MAX_ID) else {
                return r.broken("an id does not fit the one before");
            };
            let id = format!("{kept}{rest}");
            // Whoever asks for an id types no blanks at its ends, and would never find it.
            if id.trim() != id {
                return r.broken("an id has blanks at its ends");
            }
            if id.is_empty() || (id <= last && !entries.is_empty()) {
                return r.broken("ids are not in order");
            }
            let flags = r.byte()?;
            let (north, east) = (r.i32()?, r.i32()?);
            let Ok(place) = Place::of_deg(f64::from(north) / 1e5, f64::from(east) / 1e5) else {
                return r.broken("a place is not on the globe");
            };
            let length = r.number()? as usize;
            let record = (start, start.saturating_add(length));
            if record.1 > all.len() {
                return r.broken("a record lies beyond the end");
            }
            start = record.1;
            let at = ids.len();
            ids.push_str(&id);
            entries.push(Entry { id: (at, ids.len()), flags, place, record });
            last = id;
        }
        r.end()?;
        if start != all.len() {
            return Err(Broken { what: "the records do not fill it", at: start });
        }
        Ok((tables, ids, entries))
    }

    /// How many stations it holds.
    pub fn len(&self) -> usize {
        self.inner.entries.len()
    }

    /// Whether it holds none.
    pub fn is_empty(&self) -> bool {
        self.inner.entries.is_empty()
    }

    /// Name under which refusals speak of it.
    pub fn file(&self) -> &str {
        &self.inner.file
    }

    /// Hash of all bytes, as of every pack.
    pub fn hash(&self) -> String {
        format!("{:016x}", fnv1a64(&self.inner.bytes))
    }

    /// Id of a station by its position; empty beyond the end.
    pub fn id(&self, i: usize) -> &str {
        self.inner.entries.get(i).and_then(|e| self.inner.ids.get(e.id.0..e.id.1)).unwrap_or_default()
    }

    /// Place of a station by its position.
    pub fn place(&self, i: usize) -> Option<Place> {
        self.inner.entries.get(i).map(|e| e.place)
    }

    /// Whether the collection's own review set it aside.
    pub fn is_set_aside(&self, i: usize) -> bool {
        self.inner.entries.get(i).is_some_and(|e| e.flags & SET_ASIDE != 0)
    }

    /// Position of a whole id.
    pub fn find(&self, id: &str) -> Option<usize> {
        let by_id = |i: &Entry| self.inner.ids.get(i.id.0..i.id.1).unwrap_or_default();
        self.inner.entries.binary_search_by(|e| by_id(e).cmp(id)).ok()
    }

    /// Positions of all whose id ends so after its source: `8779750` for `noaa/8779750`, whatever the case.
    pub fn with_tail(&self, tail: &str) -> Vec<usize> {
        let ends = |i: &usize| self.id(*i).split_once('/').is_some_and(|(_, t)| t.eq_ignore_ascii_case(tail));
        (0..self.len()).filter(ends).collect()
    }

    fn bytes_of(&self, i: usize) -> bytes::Read<(Entry, &[u8])> {
        let none = Broken { what: "there is no such station in it", at: 0 };
        let entry = *self.inner.entries.get(i).ok_or(none)?;
        let whole = self.inner.bytes.get(entry.record.0..entry.record.1).ok_or(none)?;
        let (body, sum) = whole
            .split_last_chunk::<4>()
            .ok_or(Broken { what: "a record is too short", at: entry.record.0 })?;
        if crc32(body) != u32::from_le_bytes(*sum) {
            return Err(Broken { what: "a record does not match its checksum", at: entry.record.0 });
        }
        Ok((entry, body))
    }

    /// What a search needs to know of a station. Refuses a broken record.
    pub fn card(&self, i: usize) -> Result<Card> {
        self.bytes_of(i)
            .and_then(|(entry, body)| self.inner.tables.card(self.id(i), entry, &mut Reader::new(body)))
            .map_err(|b| refuse(&self.inner.file, b).within(self.id(i)))
    }

    /// All of a station. Refuses a broken record.
    pub fn record(&self, i: usize) -> Result<Record> {
        self.bytes_of(i)
            .and_then(|(entry, body)| {
                let mut r = Reader::new(body);
                let card = self.inner.tables.card(self.id(i), entry, &mut r)?;
                let record = self
                    .inner
                    .tables
                    .rest(card, &mut r, |i| (i < self.len()).then(|| self.id(i).to_owned()))?;
                r.end()?;
                Ok(record)
            })
            .map_err(|b| refuse(&self.inner.file, b).within(self.id(i)))
    }
}
