//! Reading a data pack or an outing file: typed, checked, with the line in every refusal.

use crate::{Error, Result};
use serde::de::DeserializeOwned;
use toml::de::{DeTable, DeValue};

/// Largest pack or outing file accepted, bytes. The largest shipped pack has about 0.25 MB.
pub const MAX_BYTES: usize = 4 * 1024 * 1024;

/// The text of one TOML file and the name under which refusals speak of it.
#[derive(Clone, Copy, Debug)]
pub struct PackText<'a> {
    /// File name as the user knows it.
    pub file: &'a str,
    /// Its whole text.
    pub text: &'a str,
}

impl<'a> PackText<'a> {
    /// Names a text.
    pub const fn new(file: &'a str, text: &'a str) -> Self {
        Self { file, text }
    }

    /// Reads the whole text as a `T`. Refuses an empty or oversized file, broken TOML, unknown keys (where
    /// `T` says so), wrong types and whatever `T`'s fields refuse.
    pub fn read<T: DeserializeOwned>(&self) -> Result<T> {
        if self.text.len() > MAX_BYTES {
            return Err(Error::new(
                format!("the file has {} bytes", self.text.len()),
                format!("at most {MAX_BYTES} bytes"),
                "give the right file: no pack or outing is that large",
            )
            .within(self.file));
        }
        if self.text.trim().is_empty() {
            return Err(Error::new("the file is empty", "a TOML text", "start from a shipped example")
                .within(self.file));
        }
        toml::from_str(self.text).map_err(|e| self.explain(&e))
    }

    fn explain(&self, e: &toml::de::Error) -> Error {
        let line = e.span().map(|s| self.line_at(s.start));
        let key = e.span().and_then(|s| self.key_at(s.start));
        let message = e.message().trim().replace('\n', " ");
        // A refusal of a quantity already carries its own parts; take it apart again.
        let (error, rest) = message.split_once("; allowed: ").unwrap_or((message.as_str(), ""));
        let (allowed, remedy) = rest.split_once("; do: ").unwrap_or((rest, ""));
        let (error, allowed) = match error.split_once(", expected ") {
            Some((what, expected)) if allowed.is_empty() => (what, expected),
            _ => (error, allowed),
        };
        let remedy = if remedy.is_empty() { "correct this line" } else { remedy };
        let mut place = self.file.to_owned();
        if let Some(line) = line {
            place = format!("{place}, line {line}");
        }
        if let Some(key) = key {
            place = format!("{place}, {key}");
        }
        Error::new(error, allowed, remedy).within(place)
    }

    fn line_at(&self, byte: usize) -> usize {
        let end = byte.min(self.text.len());
        self.text.as_bytes()[..end].split(|b| *b == b'\n').count()
    }

    /// Name of the key on the line of `byte`.
    fn key_at(&self, byte: usize) -> Option<String> {
        let start = self.text.as_bytes()[..byte.min(self.text.len())]
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |i| i + 1);
        let line = self.text.get(start..)?.lines().next()?;
        let (key, _) = line.split_once('=')?;
        let key = key.trim().trim_matches('"');
        (!key.is_empty() && key.len() < 60).then(|| key.to_owned())
    }

    /// The line (from 1) of a dotted path with indices, like `species[3].mass.a`; the line of the deepest
    /// part that exists.
    pub fn line_of(&self, path: &str) -> Option<usize> {
        let table = DeTable::parse(self.text).ok()?;
        let mut at = table.span().start;
        let mut here: Option<&DeValue<'_>> = None;
        let mut root = Some(table.get_ref());
        for part in path.split(['.', '[']).map(|p| p.trim_end_matches(']')).filter(|p| !p.is_empty()) {
            let next = match (root.take(), here) {
                (Some(t), _) | (None, Some(DeValue::Table(t))) => {
                    t.iter().find(|(k, _)| k.get_ref().as_ref() == part).map(|(k, v)| (k.span().start, v))
                }
                (None, Some(DeValue::Array(a))) => {
                    part.parse().ok().and_then(|i: usize| a.get(i)).map(|v| (v.span().start, v))
                }
                _ => None,
            };
            let Some((start, value)) = next else { break };
            at = start;
            here = Some(value.get_ref());
        }
        Some(self.line_at(at))
    }

    /// A refusal of the value at `path`, with file and line.
    pub fn refuse(
        &self,
        path: &str,
        error: impl Into<String>,
        allowed: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Error {
        self.place(path, Error::new(error, allowed, remedy))
    }

    /// Puts file, line and `path` before an error that an inner check gave.
    pub fn place(&self, path: &str, error: Error) -> Error {
        let place = match self.line_of(path) {
            Some(line) => format!("{}, line {line}, {path}", self.file),
            None => format!("{}, {path}", self.file),
        };
        error.within(place)
    }

    /// Hash of the text, shown beside a pack's id so that two crews can tell whether they read the same.
    pub fn hash(&self) -> String {
        format!("{:016x}", fnv1a64(self.text.as_bytes()))
    }
}

/// FNV-1a, 64 bit: names a version of a pack. Not cryptographic, and nothing here needs that.
pub fn fnv1a64(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct Beach {
        name: String,
        width: Length,
    }

    const GOOD: &str = "name = 'x'\n\n[[row]]\na = 1\n[[row]]\na = 2\n  b = { c = 3 }\n";

    #[test]
    fn names_file_line_and_key() {
        let say = |t| PackText::new("beach.toml", t).read::<Beach>().unwrap_err();
        let e = say("name = 'x'\nwidth = '8 fathoms'\n");
        assert_eq!(e.place, "beach.toml, line 2, width");
        assert!(e.error.contains("unknown unit `fathoms`") && e.remedy.contains("2.4m"), "{e}");
        let e = say("name = 'x'\nwidht = '8m'\n");
        assert_eq!(
            (e.place.as_str(), e.error.as_str()),
            ("beach.toml, line 2, widht", "unknown field `widht`")
        );
        assert!(e.allowed.contains("`width`"), "{e}");
        assert!(say("name = 'x'").error.contains("missing field `width`"));
        assert!(say("  ").error.contains("empty"));
        assert!(say("name = = 3").place.starts_with("beach.toml, line 1"));
    }

    #[test]
    fn finds_the_line_of_a_path() {
        let p = PackText::new("f", GOOD);
        assert_eq!(p.line_of("row[1].b.c"), Some(7));
        assert_eq!(p.line_of("row[0].a"), Some(4));
        assert_eq!(p.line_of("row[0].nothing"), Some(3));
    }

    #[test]
    fn refuses_a_file_above_the_limit_by_size() {
        let text = "#".repeat(MAX_BYTES + 1);
        assert!(PackText::new("big", &text).read::<Beach>().unwrap_err().error.contains("bytes"));
    }
}
