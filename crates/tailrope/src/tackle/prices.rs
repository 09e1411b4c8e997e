//! What things cost new: bands of judgement from the tackle pack, for "what would the next step cost".
//!
//! Model: a row of the pack gives from and to for a piece or a packet. Line and leader of another strength or
//! length than a row's cost what their mass costs (strength times length, one material, one stress), at the
//! nearest row. Limits: no price page was read; every figure is an estimate and says so wherever it is shown.

use super::material::Material;
use crate::facts::{Grade, Known, PackText};
use crate::quantity::{Force, Length, Quantity};
use crate::{Error, Result};
use core::iter::Sum;
use core::ops::{Add, Mul};
use serde::{Deserialize, Serialize};

/// From and to, in the currency of the pack (US dollars in the shipped one).
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct PriceBand {
    /// From.
    pub low: f64,
    /// To.
    pub high: f64,
}

impl PriceBand {
    /// Nothing.
    pub const ZERO: Self = Self { low: 0.0, high: 0.0 };

    /// Middle of the band: what things are put in order by.
    pub const fn middle(self) -> f64 {
        0.5 * (self.low + self.high)
    }
}

impl Add for PriceBand {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { low: self.low + other.low, high: self.high + other.high }
    }
}

impl Mul<f64> for PriceBand {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self { low: self.low * times, high: self.high * times }
    }
}

impl Sum for PriceBand {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

const fn one() -> u32 {
    1
}

/// A thing and what it costs.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriceRow {
    /// Its key: `reel-80W`, `harness`, `swivel`.
    pub item: String,
    /// In words.
    pub name: String,
    /// Pieces sold together.
    #[serde(default = "one")]
    pub pack: u32,
    /// Material, of a line or leader.
    #[serde(default)]
    pub material: Known<Material>,
    /// Label of that line.
    #[serde(default)]
    pub strength: Known<Force>,
    /// Length sold together.
    #[serde(default)]
    pub length: Known<Length>,
    /// From and to.
    pub usd: [f64; 2],
}

impl PriceRow {
    /// From and to, of one packet.
    pub const fn band(&self) -> PriceBand {
        PriceBand { low: self.usd[0], high: self.usd[1] }
    }
}

/// The prices of the pack.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// Currency of all of them, by its three letters.
    pub currency: String,
    /// How far they can be trusted.
    pub grade: Grade,
    /// Where they come from.
    pub source: String,
    /// Things.
    #[serde(rename = "item")]
    pub items: Vec<PriceRow>,
}

impl Prices {
    /// The row of a key, upper or lower case; `None` if the pack has none.
    pub fn row(&self, item: &str) -> Option<&PriceRow> {
        self.items.iter().find(|r| r.item.eq_ignore_ascii_case(item.trim()))
    }

    /// One packet of a thing.
    pub fn packet(&self, item: &str) -> Option<PriceBand> {
        self.row(item).map(PriceRow::band)
    }

    /// So many pieces, as their share of a packet: what is used up, not what a shop sells.
    pub fn pieces(&self, item: &str, count: u32) -> Option<PriceBand> {
        self.row(item).map(|r| r.band() * (f64::from(count) / f64::from(r.pack.max(1))))
    }

    /// The reel of a class of the pack.
    pub fn reel(&self, class: &str) -> Option<PriceBand> {
        self.packet(&format!("reel-{}", class.trim()))
    }

    /// A length of line or leader, as the price of its mass at the row of that material whose strength is
    /// nearest (by ratio). `None` if the pack has no row of the material, or strength or length is not above
    /// zero.
    pub fn line(&self, material: Material, strength: Force, length: Length) -> Option<PriceBand> {
        let (row, s, l) = self.line_row(material, strength)?;
        (length.m() > 0.0).then(|| row.band() * ((strength / s) * (length / l)))
    }

    /// The spools or coils of a line that must be bought for a length: whole ones, priced as [`Prices::line`].
    pub fn line_bought(&self, material: Material, strength: Force, length: Length) -> Option<PriceBand> {
        let (_, _, sold) = self.line_row(material, strength)?;
        let coils = (length / sold).ceil().max(1.0);
        self.line(material, strength, sold * coils)
    }

    fn line_row(&self, material: Material, strength: Force) -> Option<(&PriceRow, Force, Length)> {
        if strength.n().is_nan() || strength.n() <= 0.0 {
            return None;
        }
        let away = |s: Force| {
            let ratio = strength / s;
            ratio.max(1.0 / ratio)
        };
        self.items
            .iter()
            .filter(|r| r.material == Known::Known(material))
            .filter_map(|r| Some((r, r.strength.get()?, r.length.get()?)))
            .min_by(|a, b| away(a.1).total_cmp(&away(b.1)))
    }

    /// Refuses a crossed band, a packet of nothing, a row twice, a line without strength or length.
    pub(super) fn check(&self, text: &PackText<'_>) -> Result<()> {
        if self.currency.len() != 3 || !self.currency.bytes().all(|b| b.is_ascii_uppercase()) {
            return Err(text.refuse(
                "prices.currency",
                format!("currency `{}`", self.currency),
                "three capital letters, such as USD",
                "name the currency of all prices of the pack",
            ));
        }
        for (i, r) in self.items.iter().enumerate() {
            let refuse = |what: String, allowed: &str| -> Error {
                text.refuse(&format!("prices.item[{i}]"), what, allowed, "correct the row")
            };
            let [low, high] = r.usd;
            if !(low >= 0.0 && low <= high && high <= 1e6) {
                return Err(refuse(format!("{} costs {low} to {high}", r.item), "from 0, low before high"));
            }
            if r.pack == 0 {
                return Err(refuse(format!("a packet of no {}", r.item), "1 piece or more"));
            }
            if self.row(&r.item).is_some_and(|first| !core::ptr::eq(first, r)) {
                return Err(refuse(format!("{} stands there twice", r.item), "each thing once"));
            }
            let line = [r.material.is_unknown(), r.strength.is_unknown(), r.length.is_unknown()];
            let whole = line.iter().all(|u| *u == line[0]);
            let sold = |si: f64| si.is_finite() && si > 0.0;
            if !whole
                || r.strength.get().is_some_and(|s| !sold(s.si()))
                || r.length.get().is_some_and(|l| !sold(l.si()))
            {
                return Err(refuse(
                    format!("{} is a line of which something is missing or zero", r.item),
                    "material, strength and length together",
                ));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::Tables;
    use crate::tackle::tables::tests::{TEXT, shipped};

    #[test]
    fn every_class_of_reel_has_a_price_and_line_costs_its_mass() {
        let t = shipped();
        for r in &t.reels {
            let p = t.prices.reel(&r.class).unwrap_or_else(|| panic!("{}", r.class));
            assert!(p.low > 0.0 && p.low < p.high, "{}", r.class);
        }
        for m in Material::ALL {
            let of = |lb, m_len| t.prices.line(m, Force::of_lbf(lb), Length::of_m(m_len)).unwrap();
            assert!((of(200.0, 20.0).high / of(200.0, 10.0).high - 2.0).abs() < 1e-12, "{m:?}");
            let bought = t.prices.line_bought(m, Force::of_lbf(200.0), Length::of_m(2.0)).unwrap();
            assert!(bought.low > of(200.0, 2.0).low, "{m:?}");
        }
        let five_m = t.prices.line(Material::Nylon, Force::of_lbf(400.0), Length::of_m(5.0)).unwrap();
        assert!((five_m.low - 1.75).abs() < 1e-9 && (five_m.high - 5.5).abs() < 1e-9);
        assert!((t.prices.pieces("sleeves", 10).unwrap().high - 3.6).abs() < 1e-9);
        assert!(t.prices.packet("submarine").is_none());
        assert!(t.prices.line(Material::Nylon, Force::ZERO, Length::of_m(1.0)).is_none());
    }

    #[test]
    fn refuses_what_cannot_be_a_price() {
        for (from, to) in [
            ("usd = [220.0, 600.0]", "usd = [620.0, 600.0]"),
            ("pack = 50", "pack = 0"),
            ("item = \"plate\"", "item = \"harness\""),
            ("strength = \"200lbf\"\nlength = \"1000m\"", "strength = \"200lbf\""),
            ("currency = \"USD\"", "currency = \"dollars\""),
        ] {
            assert!(TEXT.contains(from), "{from}");
            let broken = TEXT.replacen(from, to, 1);
            assert!(Tables::read(&PackText::new("tackle.toml", &broken)).is_err(), "{to}");
        }
    }
}
