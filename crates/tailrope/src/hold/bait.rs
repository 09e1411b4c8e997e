//! The bait: how large it is, how it lies to the current, what that costs.
//!
//! Drag on the face that the water meets (Cd as in [`crate::water`]): a bait across the stream by width times length, a
//! chunk by its largest face, one that keeps its nose to the stream by its round front. A dead bait on a hook does not keep
//! its nose to the stream for long, so nobody's word on how it lies counts as across.

use super::pack::HoldPack;
use crate::facts::{Band, Known};
use crate::math::sq;
use crate::quantity::{Area, Length};
use crate::water::{CD_BROADSIDE, CD_CHUNK, cd_nose_on};
use crate::{Error, Result};
use core::fmt;
use core::str::FromStr;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Smallest and largest side of a bait, mm.
const SIDES_MM: (f64, f64) = (5.0, 2000.0);

/// Length and width of a bait, read from `350x90mm`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BaitSize {
    length: Length,
    width: Length,
}

impl BaitSize {
    /// The longer side is the length. Each 5 mm to 2 m.
    pub fn new(a: Length, b: Length) -> Result<Self> {
        let (least, most) = SIDES_MM;
        for side in [a, b] {
            if !(least..=most).contains(&side.mm()) {
                return Err(Error::new(
                    format!("a bait of {} x {} mm", a.mm(), b.mm()),
                    format!("sides of {least} to {most} mm"),
                    "write length and width like 350x90mm",
                ));
            }
        }
        Ok(Self { length: a.max(b), width: a.min(b) })
    }
    /// The longer side.
    pub fn length(self) -> Length {
        self.length
    }
    /// The shorter side.
    pub fn width(self) -> Length {
        self.width
    }
}

impl FromStr for BaitSize {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let shown: String = text.chars().take(40).collect();
        let what = "length x width with a unit, like 350x90mm or 14x3.5in";
        let refuse = || Error::new(format!("`{shown}` is no size of a bait"), what, "measure both sides");
        let (first, second) = text.trim().split_once(['x', 'X', '×']).ok_or_else(refuse)?;
        let second = second.trim();
        let width: Length = second.parse().map_err(|e: Error| Error { allowed: what.to_owned(), ..e })?;
        // `350x90mm`: the unit of the second holds for both.
        let unit = second.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ' ');
        let first = first.trim();
        let bare = first.chars().all(|c| c.is_ascii_digit() || c == '.');
        let length = if bare { format!("{first}{unit}") } else { first.to_owned() };
        let length: Length = length.parse().map_err(|e: Error| Error { allowed: what.to_owned(), ..e })?;
        Self::new(length, width)
    }
}

impl fmt::Display for BaitSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}mm", self.length.mm(), self.width.mm())
    }
}

impl Serialize for BaitSize {
    fn serialize<S: Serializer>(&self, s: S) -> core::result::Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for BaitSize {
    fn deserialize<D: Deserializer<'de>>(d: D) -> core::result::Result<Self, D::Error> {
        String::deserialize(d)?.parse().map_err(de::Error::custom)
    }
}

impl schemars::JsonSchema for BaitSize {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "BaitSize".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "Length and width of a bait, like 350x90mm."
        })
    }
}

/// How a bait lies to the current.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum BaitLies {
    /// Across it.
    Broadside,
    /// Nose to it.
    NoseOn,
    /// A cut piece.
    Chunk,
}

impl BaitLies {
    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Broadside => "across the current",
            Self::NoseOn => "nose to the current",
            Self::Chunk => "a chunk",
        }
    }
}

/// A bait in the current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bait {
    /// Its size.
    pub size: BaitSize,
    /// How it lies.
    pub lies: BaitLies,
}

impl Bait {
    /// From what is known; an unknown size counts as the pack's, an unknown lie as across the current.
    pub fn of(size: Known<BaitSize>, lies: Known<BaitLies>, pack: &HoldPack) -> Self {
        let unknown = BaitSize { length: pack.bait.length.value, width: pack.bait.width.value };
        Self { size: size.get().unwrap_or(unknown), lies: lies.get().unwrap_or(BaitLies::Broadside) }
    }

    /// Drag coefficient and the area on which it counts.
    pub fn drag(&self) -> (Band<f64>, Area) {
        let face = self.size.length.m() * self.size.width.m();
        match self.lies {
            BaitLies::Broadside => (Band::exact(CD_BROADSIDE), Area::of_m2(face)),
            BaitLies::Chunk => (Band::exact(CD_CHUNK), Area::of_m2(face)),
            BaitLies::NoseOn => {
                let front = core::f64::consts::PI / 4.0 * sq(self.size.width.m());
                (cd_nose_on().value, Area::of_m2(front))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_as_they_are_said() {
        for text in ["350x90mm", "350mm x 90mm", "35x9cm", "90X350mm", "0.35m×90mm"] {
            let s: BaitSize = text.parse().unwrap();
            assert!((s.length().mm() - 350.0).abs() < 1e-9 && (s.width().mm() - 90.0).abs() < 1e-9, "{text}");
        }
        let s: BaitSize = "350x90mm".parse().unwrap();
        assert_eq!(s.to_string().parse::<BaitSize>().unwrap(), s);
        for bad in ["350", "350x90", "x90mm", "350x90kg", "9000x90mm", "350x-90mm", "", "nanxnanmm"] {
            assert!(bad.parse::<BaitSize>().is_err(), "{bad}");
        }
    }

    #[test]
    fn across_the_current_costs_most() {
        let of = |lies| {
            let bait = Bait { size: "350x90mm".parse().unwrap(), lies };
            let (cd, area) = bait.drag();
            cd.high * area.m2()
        };
        assert!(of(BaitLies::Broadside) > of(BaitLies::Chunk) && of(BaitLies::Chunk) > of(BaitLies::NoseOn));
        // BAIT-2 of the worked cases: 0.352 N at 0.6 m/s with the middle coefficient.
        let nose = Bait { size: "350x90mm".parse().unwrap(), lies: BaitLies::NoseOn };
        let (cd, area) = nose.drag();
        assert!((0.5 * 1025.0 * cd.central * area.m2() * 0.36 - 0.3522).abs() < 1e-3);
    }
}
