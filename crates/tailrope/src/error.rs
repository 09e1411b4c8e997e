//! One refusal for the whole library: what is wrong, where, what is allowed, what to do.
//!
//! A crew lead reads these in the dark, so each is one clear sentence with a place and a remedy. It is
//! deliberately not an enum: nobody branches on the kind of refusal, everybody prints it. [`Error::within`]
//! lets an upper layer say which file or field it was about.

use core::fmt;
use serde::Serialize;

/// Result whose error is a [`Error`].
pub type Result<T, E = Error> = core::result::Result<T, E>;

/// A refusal of an input.
///
/// `Display` gives one sentence: `where: error; allowed: ...; do: ...`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Error {
    /// What is wrong, with the value met.
    pub error: String,
    /// File, line, field: as far as known, outermost first (`night.toml, line 12, beach.slope`).
    #[serde(rename = "where")]
    pub place: String,
    /// What would have been accepted.
    pub allowed: String,
    /// What to do about it.
    #[serde(rename = "do")]
    pub remedy: String,
}

impl Error {
    /// A refusal without place; add it with [`Error::within`].
    pub fn new(error: impl Into<String>, allowed: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { error: error.into(), place: String::new(), allowed: allowed.into(), remedy: remedy.into() }
    }

    /// Puts `place` before the place already known.
    #[must_use]
    pub fn within(mut self, place: impl AsRef<str>) -> Self {
        let outer = place.as_ref();
        if self.place.is_empty() {
            outer.clone_into(&mut self.place);
        } else if !outer.is_empty() {
            self.place = format!("{outer}, {}", self.place);
        }
        self
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        write!(f, "{}", self.error)?;
        if !self.allowed.is_empty() {
            write!(f, "; allowed: {}", self.allowed)?;
        }
        if !self.remedy.is_empty() {
            write!(f, "; do: {}", self.remedy)?;
        }
        Ok(())
    }
}

impl core::error::Error for Error {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_as_one_sentence_outermost_place_first() {
        let e = Error::new("`12 stone` is no mass", "kg, g, lb, oz", "write 76kg")
            .within("mass")
            .within("night.toml");
        assert_eq!(
            e.to_string(),
            "night.toml, mass: `12 stone` is no mass; allowed: kg, g, lb, oz; do: write 76kg"
        );
        let j = serde_json::to_value(&e).unwrap();
        assert_eq!(j["where"], "night.toml, mass");
        assert_eq!(j["do"], "write 76kg");
    }
}
