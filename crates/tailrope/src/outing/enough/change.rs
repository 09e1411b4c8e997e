//! Single changes to a set-up, with their price bands, and the cheapest of them that is enough.

use super::judge::Judge;
use super::{ChangeRow, Row, SetUp};
use crate::Result;
use crate::facts::Known;
use crate::people::Stance;
use crate::quantity::{Force, Length, significant};
use crate::tackle::{
    GuideKind, Joint, JointKind, LinePiece, LineRole, Material, PriceBand, SectionRole, Tables,
};

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// In words.
    pub what: String,
    /// What it costs.
    pub price: PriceBand,
    /// The set-up after it.
    pub after: SetUp,
}

/// Another stance in words.
const LEAN: &str = "a deep lean, feet split, rod low, once it was tried on this sand against a scale";
/// How much stronger a stronger piece is.
const STRONGER: f64 = 1.5;
/// Leader beyond the fish's length.
const BEYOND: Length = Length::of_m(0.5);
/// Topshot that is put on where there is none.
const TOPSHOT: Length = Length::of_m(100.0);

/// The cheapest single change within the budget that makes the set-up enough.
pub(super) fn cheapest(
    judge: &Judge<'_>,
    s: &SetUp,
    row: &Row,
    within: &dyn Fn(PriceBand) -> bool,
) -> Result<Option<ChangeRow>> {
    let who = judge.who()?;
    let mut all = changes(s, &judge.facts.tackle, who.length, who.stance);
    all.retain(|c| within(c.price) && may_help(c, row));
    all.sort_by(|a, b| a.price.middle().total_cmp(&b.price.middle()));
    for c in all {
        let after = judge.changed(&c.after, row.own)?;
        if after.enough {
            return Ok(Some(ChangeRow {
                what: c.what,
                price: c.price,
                may_n: after.drags.may_n,
                spooled: after.spooled,
            }));
        }
    }
    Ok(None)
}

/// Leaves out what plainly cannot help, to spare fights: a longer leader where the leader is no lack, harness and
/// hands where people do not hold the drag down.
fn may_help(c: &Change, row: &Row) -> bool {
    let people = matches!(row.drags.held_by, "people" | "arms");
    let only_leader = row.findings.iter().any(|f| f.rule.as_deref() == Some("leader.length"));
    match c.what.as_str() {
        w if w.starts_with("a longer leader") => only_leader,
        w if w == LEAN || w.starts_with("a drilled harness hand") || w.starts_with("plate and harness") => {
            people
        }
        _ => true,
    }
}

/// Every single change that can be made to a set-up.
pub(super) fn changes(s: &SetUp, tables: &Tables, fish: Length, stance: Stance) -> Vec<Change> {
    let mut all = Vec::new();
    let mut add = |what: String, price: Option<PriceBand>, after: SetUp| {
        if let Some(price) = price {
            all.push(Change { what, price, after });
        }
    };
    let cost = |item: &str| tables.prices.packet(item);
    let room = s.outfit.loaded_spool(tables).ok().map(|f| f.value);

    if let Some(spool) = &room {
        let more = spool.under_fill().room;
        if more > spool.line_length() * 0.05 {
            let mut after = s.clone();
            if let Some(main) = after.outfit.line.iter_mut().rev().find(|p| p.role() != LineRole::Topshot) {
                main.length = main.length + more * 0.99;
                add(
                    format!("{:.0} m more line, to fill the spool", more.m()),
                    LinePiece { length: more, ..main.clone() }.price(tables),
                    after,
                );
            }
        }
    }
    for (what, strength, material) in [
        ("braid of the same strength, to fill the spool", 1.0, Material::HmpeBraid),
        ("stronger line of its kind, to fill the spool", STRONGER, Material::Nylon),
        ("stronger braid, to fill the spool", STRONGER, Material::HmpeBraid),
    ] {
        if let Some((after, main)) = relined(s, tables, strength, material) {
            let label = main.strength.get().map_or(0.0, Force::lbf);
            add(
                format!("{what}: {} lb {}", significant(label, 3), material.word()),
                main.price(tables),
                after,
            );
        }
    }
    if let Some(after) = topshot(s, tables) {
        let label = after.outfit.line.last().and_then(|p| p.strength.get()).map_or(0.0, Force::lbf);
        add(
            format!("a thicker topshot: {} lb nylon", significant(label, 3)),
            after.outfit.line.last().and_then(|p| p.price(tables)),
            after,
        );
    }
    if s.outfit.guides.kind != Known::Known(GuideKind::Roller) && s.harness {
        let mut after = s.clone();
        after.outfit.guides.kind = Known::Known(GuideKind::Roller);
        add("roller guides (another rod)".to_owned(), cost("rod-roller"), after);
    }
    if let Some(after) = longer_leader(s, fish) {
        add("a longer leader, where the law lets you".to_owned(), cost("mono-leader"), after);
    }
    for row in &tables.reels {
        let class = row.class.as_str();
        if let Some(after) = other_reel(s, tables, class) {
            // A line without a price gives no price of the whole, and so no claim to be cheap.
            let line = after.outfit.line.first().and_then(|p| p.price(tables));
            add(
                format!("a reel of class {class} with the same line, filled"),
                tables.prices.reel(class).and_then(|p| line.map(|l| p + l)),
                after,
            );
        }
    }
    if s.stance.is_none() && stance != Stance::Lean {
        let after = SetUp { stance: Some(Stance::Lean), ..s.clone() };
        add(LEAN.to_owned(), Some(PriceBand::ZERO), after);
    }
    if s.more_hands == 0 {
        let after = SetUp { more_hands: 1, ..s.clone() };
        add("a drilled harness hand".to_owned(), Some(PriceBand::ZERO), after);
    }
    if !s.harness {
        let after = SetUp { harness: true, ..s.clone() };
        let both = cost("plate").and_then(|p| cost("harness").map(|h| p + h));
        add("plate and harness".to_owned(), both, after);
    }
    all
}

/// Strength on the label of a piece, or by its material and diameter.
fn label_of(p: &LinePiece, tables: &Tables) -> Option<Force> {
    p.strength.get().or_else(|| {
        let (m, d) = (p.material.get()?, p.diameter.get()?);
        Some(tables.strength_of(m, d).value.central)
    })
}

/// The spool filled anew: one main line of another strength or material, topshot kept.
fn relined(s: &SetUp, tables: &Tables, stronger: f64, material: Material) -> Option<(SetUp, LinePiece)> {
    let old = s.outfit.line.iter().find(|p| p.role() != LineRole::Topshot)?;
    let same = old.material.get() == Some(material);
    if same != (stronger > 1.0) && !(material == Material::HmpeBraid && stronger > 1.0 && !same) {
        return None;
    }
    let label = label_of(old, tables)? * stronger;
    let mut main = LinePiece::new(LineRole::Main, Length::of_m(1.0), material, label, Length::ZERO);
    main.diameter = Known::Unknown;
    main.outer = Joint::of(if material == Material::HmpeBraid { JointKind::Fg } else { JointKind::Crimp });
    let mut after = s.clone();
    after.outfit.line.retain(|p| p.role() == LineRole::Topshot);
    after.outfit.line.insert(0, main);
    after.outfit.depth_below_rim = Known::Unknown;
    fill(&mut after, tables)?;
    let main = after.outfit.line.first()?.clone();
    Some((after, main))
}

/// Fills the spool with the piece on the arbor.
fn fill(s: &mut SetUp, tables: &Tables) -> Option<()> {
    let spool = s.outfit.reel.spool(tables).ok()?.value;
    let (wound, _) = s.outfit.line.first()?.wound(tables).ok()?;
    let others =
        s.outfit.line.iter().skip(1).map(|p| p.wound(tables).map(|w| w.0)).collect::<Result<Vec<_>>>();
    let fits = spool.fits_on(&others.ok()?, wound.diameter, wound.packing, Length::ZERO);
    if fits < Length::of_m(20.0) {
        return None;
    }
    s.outfit.line.first_mut()?.length = fits * 0.999;
    Some(())
}

/// A topshot half as strong again, or one over a main line without.
fn topshot(s: &SetUp, tables: &Tables) -> Option<SetUp> {
    let mut after = s.clone();
    let last = after.outfit.line.last()?.clone();
    let label = label_of(&last, tables)? * STRONGER;
    let mut top = LinePiece::new(LineRole::Topshot, TOPSHOT, Material::Nylon, label, Length::ZERO);
    top.diameter = Known::Unknown;
    top.outer = Joint::of(JointKind::Crimp);
    if last.role() == LineRole::Topshot {
        top.length = last.length;
        after.outfit.line.pop();
    }
    after.outfit.line.push(top);
    after.outfit.depth_below_rim = Known::Unknown;
    fill(&mut after, tables)?;
    Some(after)
}

/// The rubbing section lengthened until the leader is longer than the fish.
fn longer_leader(s: &SetUp, fish: Length) -> Option<SetUp> {
    let leader = s.rig.leader_length().get()?;
    let missing = fish + BEYOND - leader;
    if missing <= Length::ZERO {
        return None;
    }
    let mut after = s.clone();
    let section = after.rig.sections.iter_mut().find(|x| x.role == SectionRole::Rubbing)?;
    section.length = Known::Known(section.length.get()? + missing);
    Some(after)
}

/// Another reel of the table, larger than this one, filled with the same line.
fn other_reel(s: &SetUp, tables: &Tables, class: &str) -> Option<SetUp> {
    let row = tables.reel(class).ok()?;
    if s.outfit.reel.class.as_ref().is_some_and(|c| c.eq_ignore_ascii_case(class)) {
        return None;
    }
    let now = s.outfit.reel.spool(tables).ok()?.value;
    let (d, phi) = (Length::of_mm(1.0), 0.785);
    if row.spool.capacity(d, phi) < now.capacity(d, phi) * 1.05 {
        return None;
    }
    let mut after = s.clone();
    after.outfit.reel = crate::tackle::Reel { class: Known::Known(row.class.clone()), ..Default::default() };
    after.outfit.readings.clear();
    after.outfit.depth_below_rim = Known::Unknown;
    fill(&mut after, tables)?;
    Some(after)
}
