//! Whole set-ups that a newcomer could buy, and what they cost, from the tackle pack.
//!
//! A set-up is a reel, line, rod and guides in trade words ([`super::brief()`]), a leader of heavy nylon with a
//! bite section of cable, and whether plate and harness belong to it. Prices are the bands of judgement of
//! [`super::Prices`].

use super::brief::brief;
use super::hook::{Hook, HookMetal, HookStyle};
use super::joint::{Joint, JointKind};
use super::prices::PriceBand;
use super::rig::{Connector, Rig, Section, SectionRole};
use super::tables::Tables;
use super::{Material, Outfit};
use crate::facts::Known;
use crate::quantity::{Force, Length};
use crate::{Error, Result};
use serde::Deserialize;

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
    /// Items of `[[prices.item]]` beside the line, one packet of each.
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
        bite.connector = Some(Connector { strength: Known::Known(l.swivel), ..Connector::default() });
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

    /// Price of the whole: the things listed, and spools of line by the price of their mass; `None` where the price of a
    /// line is not known, for a part is no price of the whole.
    ///
    /// Refuses an item that the prices do not list, naming those that they do.
    pub fn price(&self, tables: &Tables) -> Result<Option<PriceBand>> {
        let mut sum = PriceBand::ZERO;
        for item in &self.costs {
            sum = sum
                + tables.prices.packet(item).ok_or_else(|| {
                    let listed: Vec<&str> = tables.prices.items.iter().map(|r| r.item.as_str()).collect();
                    Error::new(
                        format!("no price is listed for `{item}`"),
                        listed.join(", "),
                        "add a [[prices.item]] of this name",
                    )
                })?;
        }
        let (outfit, _) = self.outfit(tables)?;
        let line: Option<Vec<PriceBand>> = outfit.line.iter().map(|p| p.price(tables)).collect();
        Ok(line.map(|l| sum + l.into_iter().sum()))
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
            let p = row.price(&t).unwrap().unwrap();
            assert!(p.low > 0.0 && p.high > p.low, "{}", row.name);
        }
        let mut odd = t.set_ups[0].clone();
        odd.costs.push("boat".into());
        assert!(odd.price(&t).unwrap_err().allowed.contains("reel-80W"));
        // Line is in the price: a set-up costs more than the things listed.
        let listed: PriceBand = t.set_ups[0].costs.iter().filter_map(|c| t.prices.packet(c)).sum();
        assert!(t.set_ups[0].price(&t).unwrap().unwrap().low > listed.low);
        // A line whose price nobody knows: no price, never a lower one.
        let mut dear = t.clone();
        dear.set_ups[0].costs = vec!["hook".into()];
        dear.prices.items.retain(|i| i.item == "hook");
        assert_eq!(dear.set_ups[0].price(&dear).unwrap(), None);
    }
}
