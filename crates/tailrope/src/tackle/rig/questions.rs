//! What the law asks of a rig: each figure with how it is measured, or that nobody knows it.
//!
//! The figures carry the names under which the rule packs ask for them (`gear.hook.gap_mm`). An unknown figure is a
//! question to be answered with a caliper or a tape, never a permission. How each is measured follows the wording
//! of the rules that use it (sources stand with the rules, in the law packs): the widest inside gap and the straight
//! distance from point to shank are two measures, and the second is never larger than the first.

use super::Rig;
use crate::facts::Known;
use crate::quantity::Length;
use crate::tackle::hook::HookMetal;
use crate::tackle::tables::Tables;
use crate::tackle::{HookStyle, Material};
use serde::Serialize;

/// A figure that a rule may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Asked {
    /// A word.
    Word(&'static str),
    /// Yes or no.
    Flag(bool),
    /// A length, mm.
    #[serde(rename = "mm", serialize_with = "crate::tackle::path::as_mm")]
    Length(Length),
    /// A count or a size.
    Count(f64),
}

/// One question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Question {
    /// Name under which rule packs ask for it.
    pub fact: &'static str,
    /// What it is.
    pub what: &'static str,
    /// The answer; unknown is to be measured.
    pub value: Known<Asked>,
    /// How it is measured.
    pub how: &'static str,
}

/// Everything a rule pack may ask of this rig, in the order in which an officer would look at it.
pub fn questions(rig: &Rig, tables: &Tables) -> Vec<Question> {
    let hook = &rig.hook;
    let length = |l: Known<Length>| -> Known<Asked> { l.get().map(Asked::Length).into() };
    let flag = |f: Known<bool>| -> Known<Asked> { f.get().map(Asked::Flag).into() };
    let q = |fact, what, value, how| Question { fact, what, value, how };
    let ganged = match (hook.ganged, hook.count) {
        (Known::Known(g), _) => Known::Known(g),
        (_, Known::Known(1)) => Known::Known(false),
        _ => Known::Unknown,
    };
    vec![
        q(
            "gear.hook.style",
            "shape of the hook",
            hook.style.get().map(HookStyle::word).map(Asked::Word).into(),
            "a circle's point is turned back at the shank, at about a right angle",
        ),
        q(
            "gear.hook.size_aught",
            "size, the number before /0",
            hook.size.get().map(Asked::Count).into(),
            "on the packet; makers differ, so measure as well",
        ),
        q("gear.hook.offset", "offset", flag(hook.offset), "lay it flat: no part of the point may rise"),
        q(
            "gear.hook.stainless",
            "stainless",
            flag(hook.metal.get().map(|m| m == HookMetal::Stainless).into()),
            "on the packet; a magnet that clings hard speaks for carbon steel, and proves nothing",
        ),
        q(
            "gear.hook.gap_mm",
            "widest inside gap",
            length(hook.gap),
            "caliper, inside: the widest distance anywhere in the bend",
        ),
        q(
            "gear.hook.point_to_shank_mm",
            "point to shank",
            length(hook.point_to_shank),
            "caliper, straight across from the point to the shank; never more than the widest gap",
        ),
        q("gear.hook.shank_mm", "length of the shank", length(hook.shank), "from under the eye to the bend"),
        q(
            "gear.hook.count_with_natural_bait",
            "hooks on the line",
            hook.count.get().map(|n| Asked::Count(f64::from(n))).into(),
            "count every point with natural bait",
        ),
        q("gear.hook.ganged", "hooks joined to each other", flag(ganged), "point through eye"),
        q(
            "gear.leader.metal_length_mm",
            "length of metal",
            length(rig.metal_with_eyes(tables)),
            "all wire and cable of the finished rig, stretched straight, from eye to eye; reckoned here with the longest eyes",
        ),
        q(
            "",
            "metal between its joints",
            length(rig.metal_length()),
            "the shorter reading: no eye, no turn, no sleeve; a limit between the two is to be asked",
        ),
        q(
            "gear.leader.metal_diameter_mm",
            "thickness of metal",
            length(rig.metal_diameter(tables)),
            "caliper across the thickest wire or cable, coating included",
        ),
        q(
            "gear.leader.mono_diameter_mm",
            "thickness of nylon",
            length(rig.mono_diameter(tables)),
            "caliper across the thickest single filament",
        ),
        q(
            "",
            "length of the whole leader",
            length(rig.leader_length()),
            "from the main line to the eye of the hook, stretched straight",
        ),
    ]
}

impl Rig {
    /// Whether any part of it is metal; unknown while a material is.
    pub fn has_metal(&self) -> Known<bool> {
        if self.sections.iter().any(|s| s.material.get().is_some_and(Material::is_metal)) {
            return Known::Known(true);
        }
        let unknown = self.sections.iter().any(|s| s.material.is_unknown());
        if unknown { Known::Unknown } else { Known::Known(false) }
    }
}
