//! Whole set-ups that a newcomer could buy, and what they cost, from the tackle pack.
//!
//! A set-up is a reel, line, rod and guides in trade words ([`super::brief()`]), a leader of heavy nylon with a
//! bite section of cable, and whether plate and harness belong to it. Prices are bands of judgement in one
//! currency: no price page was read, and they are never shown as a price.

use super::brief::brief;
use super::hook::{Hook, HookMetal, HookStyle};
use super::joint::{Joint, JointKind};
use super::rig::{Connector, Rig, Section, SectionRole};
use super::tables::Tables;
use super::{Material, Outfit};
use crate::facts::{Grade, Known};
use crate::quantity::{Force, Length};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// How far the costs of the pack can be trusted (`[prices]`).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PricesRow {
    /// Currency.
    pub currency: String,
    /// Grade of every `[[cost]]`.
    pub grade: Grade,
    /// Where they come from.
    pub source: String,
}

/// A price band in the pack's currency.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Price {
    /// From.
    pub low: f64,
    /// To.
    pub high: f64,
}

impl Price {
    /// Middle of the band: what set-ups are put in order by.
    pub fn middle(self) -> f64 {
        0.5 * (self.low + self.high)
    }
    /// A share of it.
    #[must_use]
    pub fn times(self, k: f64) -> Self {
        Self { low: self.low * k, high: self.high * k }
    }
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { low: self.low + other.low, high: self.high + other.high }
    }
}

/// The leader of a set-up.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeaderRow {
    /// Strength of the rubbing section, nylon.
    pub rubbing: Force,
    /// Its length.
    pub length: Length,
    /// Strength of the bite section, cable.
    pub bite: Force,
    /// Its length.
    pub bite_length: Length,
    /// Wire of the hook.
    pub hook_wire: Length,
    /// Strength of the swivel.
    pub swivel: Force,
}

/// One set-up (`[[set_up]]` of the tackle pack).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetUpRow {
    /// What it is called here.
    pub name: String,
    /// Reel, line, guides and rod in trade words.
    pub outfit: String,
    /// Leader.
    pub leader: LeaderRow,
    /// Whether it is fought from plate and harness.
    pub harness: bool,
    /// Rod tip above the sand while fighting.
    pub tip_up: Length,
    /// Rod tip ahead of the toes.
    pub tip_ahead: Length,
    /// Items of `[[cost]]`, each bought once.
    pub costs: Vec<String>,
}

impl SetUpRow {
    /// The outfit and the rig. Line ends are joined as the trade joins them: an FG or double uni from braid, sleeves
    /// where both sides are heavy.
    pub fn outfit(&self, tables: &Tables) -> Result<(Outfit, Rig)> {
        let mut outfit = brief(&self.outfit, tables)?;
        outfit.name.clone_from(&self.name);
        for piece in &mut outfit.line {
            let heavy = piece.strength.get().is_some_and(|f| f >= Force::of_lbf(150.0));
            piece.outer = Joint::of(match piece.material.get() {
                Some(Material::HmpeBraid) => JointKind::Fg,
                _ if heavy => JointKind::Crimp,
                _ => JointKind::UniMono,
            });
        }
        Ok((outfit, self.rig()))
    }

    fn rig(&self) -> Rig {
        let l = &self.leader;
        let crimp = Joint::of(JointKind::Crimp);
        let mut rubbing = Section::new(SectionRole::Rubbing, Material::Nylon, l.rubbing, l.length);
        (rubbing.top, rubbing.bottom) = (crimp, crimp);
        let mut bite = Section::new(SectionRole::Bite, Material::Cable, l.bite, l.bite_length);
        bite.connector = Some(Connector { strength: Known::Known(l.swivel), tested: false });
        (bite.top, bite.bottom) = (crimp, crimp);
        let hook = Hook {
            style: Known::Known(HookStyle::Circle),
            offset: Known::Known(false),
            metal: Known::Known(HookMetal::CarbonSteel),
            wire: Known::Known(l.hook_wire),
            count: Known::Known(1),
            ..Hook::default()
        };
        Rig {
            name: format!("leader of the {}", self.name),
            sections: vec![rubbing, bite],
            hook,
            sinker: None,
        }
    }

    /// Price of the whole.
    pub fn price(&self, tables: &Tables) -> Result<Price> {
        let mut sum = Price::default();
        for item in &self.costs {
            sum = sum.plus(tables.cost(item)?);
        }
        Ok(sum)
    }
}

impl Tables {
    /// Price band of an item. Refuses one that the pack does not list.
    pub fn cost(&self, item: &str) -> Result<Price> {
        self.costs
            .iter()
            .find(|c| c.item == item)
            .map(|c| Price { low: c.usd[0], high: c.usd[1] })
            .ok_or_else(|| {
                Error::new(
                    format!("no cost is listed for `{item}`"),
                    self.costs.iter().map(|c| c.item.as_str()).collect::<Vec<_>>().join(", "),
                    "add a [[cost]] of this name",
                )
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;
    use crate::tackle::LoadPath;
    use crate::tackle::tables::tests::shipped;

    #[test]
    fn every_set_up_of_the_pack_can_be_laid_out_and_is_sound() {
        let t = shipped();
        assert!(t.set_ups.len() >= 8);
        for row in &t.set_ups {
            let (outfit, rig) = row.outfit(&t).unwrap();
            let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
            assert!(path.parts().iter().all(|p| !p.strength.is_unknown()), "{}", row.name);
            assert_eq!(outfit.clashes(Some(&rig), &t, Units::Si), vec![], "{}", row.name);
            let p = row.price(&t).unwrap();
            assert!(p.low > 0.0 && p.high > p.low, "{}", row.name);
        }
        assert!(t.prices.grade >= Grade::Estimate);
        assert!(t.cost("a boat").is_err());
    }
}
