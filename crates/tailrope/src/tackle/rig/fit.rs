//! Whether a rig fits: the fish's length, the weight cast, the hand that takes the leader, what flies back.
//!
//! * Leader against fish: a leader shorter than the fish lets its tail and skin reach the main line.
//! * Casting leader: the trade asks 10 lb of strength for each ounce cast (second-hand). The sections above the sinker,
//!   its arm and its link all bear the cast: what parts in it flies over the beach.
//! * The hand: with the swivel at the rod tip the leader runs straight from the tip, `h` above the water, down at an
//!   angle `a` below level. It meets the water after `h/sin a` of leader; a hand at height `z` meets it after
//!   `(h - z)/sin a`, stands `z/tan a` from where it enters the water, and holds it `z/sin a` of leader from there.
//!   Below the hand `L - (h - z)/sin a` of leader is left to the hook. Plane geometry of a taut leader; a slack or
//!   sagging one is nearer to the water, never farther.
//! * Fly-back: [`crate::water::fly_back`] of each weight on the main line, with the leader in (10 m out) and with all
//!   line out and snagged. The line is taken as its stretchiest piece over the whole length: an upper bound.

use super::{Rig, SectionRole, SinkerHang};
use crate::Result;
use crate::facts::{Band, Known};
use crate::math::{sin, tan};
use crate::quantity::{Angle, Energy, Force, Length, Mass, Quantity, Speed};
use crate::tackle::path::{as_m, known_si};
use crate::tackle::tables::Tables;
use crate::tackle::{LinePiece, Material};
use crate::water::{Strand, fly_back};
use serde::{Serialize, Serializer};

/// What a rig is held against; whatever is left open is not judged, or takes the pack's figure.
#[derive(Clone, Debug, Default)]
pub struct FitAsk {
    /// Length of the largest likely fish.
    pub fish: Option<Length>,
    /// Weight cast; the sinker's if left open.
    pub cast: Option<Mass>,
    /// The bait is taken out, not cast: the sinker is no weight cast.
    pub carried: bool,
    /// Rod tip above the water with the swivel at it.
    pub tip_height: Option<Length>,
    /// Hand above the water.
    pub hand_height: Option<Length>,
    /// Leader below level there.
    pub angle: Option<Angle>,
    /// Drag planned, at the leader.
    pub pull: Option<Force>,
    /// Line on the reel, inner end first; empty if nobody knows it.
    pub line: Vec<LinePiece>,
}

/// The leader hand when the swivel is at the tip.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HandAt {
    /// Leader below level.
    #[serde(rename = "angle_deg", serialize_with = "as_deg")]
    pub angle: Angle,
    /// Rod tip above the water.
    #[serde(rename = "tip_height_m", serialize_with = "as_m")]
    pub tip_height: Length,
    /// Hand above the water.
    #[serde(rename = "hand_height_m", serialize_with = "as_m")]
    pub hand_height: Length,
    /// Leader from the tip to the water.
    #[serde(rename = "leader_in_air_m", serialize_with = "as_m")]
    pub in_air: Length,
    /// Leader left beyond the water; below zero: the hook leaves the water before the swivel meets the tip.
    #[serde(rename = "leader_in_water_m", serialize_with = "known_si")]
    pub in_water: Known<Length>,
    /// Leader from the swivel to the hand.
    #[serde(rename = "swivel_to_hand_m", serialize_with = "as_m")]
    pub to_hand: Length,
    /// Level distance of the hand from where the leader enters the water.
    #[serde(rename = "hand_to_water_level_m", serialize_with = "as_m")]
    pub to_water: Length,
    /// Leader from the hand to the water.
    #[serde(rename = "hand_to_water_along_m", serialize_with = "as_m")]
    pub along_to_water: Length,
    /// Leader from the hand to the hook; unknown with the leader's length; below zero: the hand finds none.
    #[serde(rename = "hand_to_hook_m", serialize_with = "known_si")]
    pub to_hook: Known<Length>,
    /// What is in the hand there; `None`: nothing of the rig, or nobody knows.
    pub section: Option<SectionRole>,
    /// Material there.
    pub material: Known<Material>,
    /// Diameter there.
    #[serde(rename = "diameter_m", serialize_with = "known_si")]
    pub diameter: Known<Length>,
    /// Whether a hand can hold it under load: thick enough or padded, and no metal.
    pub holds: Known<bool>,
}

/// A weight that flies back.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Flier {
    /// What.
    pub what: String,
    /// Its mass.
    #[serde(rename = "mass_kg", serialize_with = "known_si")]
    pub mass: Known<Mass>,
    /// Whether it is fixed in the loaded path.
    pub fixed: Known<bool>,
    /// Its speed with the leader in.
    #[serde(rename = "near_mps", serialize_with = "known_si")]
    pub near_speed: Known<Speed>,
    /// Its energy then.
    #[serde(rename = "near_j", serialize_with = "known_si")]
    pub near: Known<Energy>,
    /// Its energy with all line out and snagged.
    #[serde(rename = "snagged_j", serialize_with = "known_si")]
    pub snagged: Known<Energy>,
}

/// How a rig fits.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// Length of the leader.
    #[serde(rename = "leader_m", serialize_with = "known_si")]
    pub leader: Known<Length>,
    /// Leader over fish; `None` without a fish.
    pub leader_over_fish: Option<Known<f64>>,
    /// Weight cast.
    #[serde(rename = "cast_kg", serialize_with = "known_si")]
    pub cast: Known<Mass>,
    /// Label strength the trade asks of the casting leader for it.
    #[serde(rename = "cast_wants_n", serialize_with = "known_si")]
    pub cast_wants: Known<Force>,
    /// Label strength of the weakest thing that the cast loads: section, arm or link; unknown while one of them is.
    #[serde(rename = "cast_has_n", serialize_with = "known_si")]
    pub cast_has: Known<Force>,
    /// The second over the first.
    pub cast_share: Known<f64>,
    /// The leader hand at the flat, the middle and the steep end of the leader's angle.
    pub hand: Vec<HandAt>,
    /// Pull at which things fly.
    #[serde(rename = "pull_n", serialize_with = "known_si")]
    pub pull: Known<Force>,
    /// Weights.
    pub fliers: Vec<Flier>,
    /// How the sinker hangs; `None` without a sinker.
    pub sinker_hang: Option<Known<SinkerHang>>,
    /// Strength of the weak link over the weakest part of the rig; `None` without a weak link. Less than 1, or it is
    /// not the weak one.
    pub link_share: Option<Known<f64>>,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde hands over references
fn as_deg<S: Serializer>(a: &Angle, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(a.deg())
}

/// Strength that the trade asks of a casting leader for a mass cast: 10 lb an ounce (second-hand).
pub fn casting_leader(tables: &Tables, cast: Mass) -> Force {
    tables.leader_stage.casting_leader_per_oz.value * (cast.lb() * 16.0)
}

impl FitAsk {
    fn check(&self) -> Result<()> {
        if let Some(l) = self.fish {
            l.within("length of the fish", Length::of_m(0.1), Length::of_m(20.0))
                .map_err(|e| e.within("fish"))?;
        }
        if let Some(m) = self.cast {
            m.within("weight cast", Mass::of_g(1.0), Mass::of_kg(5.0)).map_err(|e| e.within("cast"))?;
        }
        if let Some(l) = self.tip_height {
            l.within("height of the tip", Length::of_m(0.1), Length::of_m(20.0))
                .map_err(|e| e.within("tip_height"))?;
        }
        if let Some(l) = self.hand_height {
            l.within("height of the hand", Length::of_m(0.1), Length::of_m(5.0))
                .map_err(|e| e.within("hand_height"))?;
        }
        if let Some(a) = self.angle {
            a.within("angle of the leader", Angle::of_deg(5.0), Angle::of_deg(90.0))
                .map_err(|e| e.within("angle"))?;
        }
        if let Some(f) = self.pull {
            f.within("pull", Force::of_n(1.0), Force::of_n(5000.0)).map_err(|e| e.within("pull"))?;
        }
        for p in &self.line {
            p.check().map_err(|e| e.within("line"))?;
        }
        Ok(())
    }
}

impl Rig {
    /// How the rig fits. Refuses what cannot be: a fish of no length, an angle below 5 degrees.
    pub fn fit(&self, tables: &Tables, ask: &FitAsk) -> Result<Fit> {
        ask.check()?;
        let cast: Known<Mass> =
            ask.cast.or_else(|| self.sinker.filter(|_| !ask.carried).and_then(|s| s.mass.get())).into();
        let cast_wants: Known<Force> = cast.get().map(|m| casting_leader(tables, m)).into();
        let cast_has = self.cast_has();
        let weakest = self.made(tables, Known::Unknown)?;
        let link = self.sinker.filter(|s| s.hang == Known::Known(SinkerHang::WeakLink));
        Ok(Fit {
            leader: self.leader_length(),
            leader_over_fish: ask.fish.and_then(|f| self.leader_over_fish(f)),
            cast,
            cast_wants,
            cast_has,
            cast_share: match (cast_has, cast_wants) {
                (Known::Known(has), Known::Known(wants)) if wants > Force::ZERO => Known::Known(has / wants),
                _ => Known::Unknown,
            },
            hand: self.hands(tables, ask),
            pull: ask.pull.into(),
            fliers: self.fliers(tables, ask),
            sinker_hang: self.sinker.map(|s| s.hang),
            link_share: link.map(|s| match (s.link, weakest.capacity) {
                (Known::Known(l), Known::Known(c)) if c > Force::ZERO => Known::Known(l / c),
                _ => Known::Unknown,
            }),
        })
    }

    /// What a cast loads: the sections down to where the sinker hangs, the first one at least, and its arm and link.
    fn cast_has(&self) -> Known<Force> {
        let hangs = self.sinker.and_then(|s| s.above.get());
        let until = hangs.and_then(|r| self.sections.iter().position(|s| s.role == r)).unwrap_or(1).max(1);
        let sections = self.sections.iter().take(until).map(|s| s.strength);
        let link = self.sinker.and_then(|s| match (s.hang, s.link) {
            // A sinker on no weak link has none, unless somebody said one.
            (Known::Known(SinkerHang::Fixed | SinkerHang::Sliding), Known::Unknown) => None,
            (_, link) => Some(link),
        });
        let arm = self.sinker.and_then(|s| s.arm).map(|a| a.strength);
        let all: Option<Vec<Force>> = sections.chain(link).chain(arm).map(Known::get).collect();
        all.and_then(|f| f.into_iter().reduce(Force::min)).into()
    }

    /// The hand at each end and in the middle of the leader's angle: the given one, or the pack's band.
    fn hands(&self, tables: &Tables, ask: &FitAsk) -> Vec<HandAt> {
        let making = &tables.rig;
        let tip_height = ask.tip_height.unwrap_or(making.tip_height.value.central);
        let hand_height = ask.hand_height.unwrap_or(making.hand_height.value.central).min(tip_height);
        let Band { low, central, high } = making.leader_angle.value;
        let angles = ask.angle.map_or_else(|| vec![low, central, high], |a| vec![a]);
        angles.into_iter().map(|a| self.hand_at(tables, tip_height, hand_height, a)).collect()
    }

    fn hand_at(&self, tables: &Tables, tip_height: Length, hand_height: Length, angle: Angle) -> HandAt {
        let (s, t) = (sin(angle.rad()), tan(angle.rad()));
        let leader = self.leader_length();
        let in_air = tip_height / s;
        let to_hand = (tip_height - hand_height) / s;
        let left = |used: Length| -> Known<Length> { leader.get().map(|l| l - used).into() };
        let found = self.section_at(to_hand);
        let diameter: Known<Length> = found.and_then(|s| s.diameter(tables).get()).into();
        let material: Known<Material> = found.and_then(|s| s.material.get()).into();
        let holds = match (found, material, diameter) {
            (None, ..) if leader.is_unknown() => Known::Unknown,
            (None, ..) => Known::Known(false),
            (Some(_), Known::Known(m), _) if m.is_metal() => Known::Known(false),
            (Some(s), Known::Known(_), _) if s.padded == Known::Known(true) => Known::Known(true),
            (Some(_), Known::Known(_), Known::Known(d)) => Known::Known(d >= tables.rig.hand_least.value),
            _ => Known::Unknown,
        };
        HandAt {
            angle,
            tip_height,
            hand_height,
            in_air,
            in_water: left(in_air),
            to_hand,
            to_water: if t.is_finite() { hand_height / t } else { Length::ZERO },
            along_to_water: hand_height / s,
            to_hook: left(to_hand),
            section: found.map(|s| s.role),
            material,
            diameter,
            holds,
        }
    }

    /// The section in which a place lies, measured along the leader from its upper end; `None` beyond its end, or
    /// behind a section of unknown length.
    pub fn section_at(&self, along: Length) -> Option<&super::Section> {
        let mut at = Length::ZERO;
        for s in &self.sections {
            at = at + s.length.get()?;
            if along < at {
                return Some(s);
            }
        }
        None
    }

    fn fliers(&self, tables: &Tables, ask: &FitAsk) -> Vec<Flier> {
        let strand = |p: &LinePiece| -> Option<Strand> {
            let row = tables.material(p.material.get()?);
            let d = p.diameter(tables).get()?.value.central;
            Strand::new(d, row.density.value.central, row.modulus.value.central).ok()
        };
        let outer = ask.line.last().and_then(strand);
        // The stretchiest piece over all of it holds more than the pieces do.
        let all: Option<Vec<Strand>> = ask.line.iter().map(strand).collect();
        let soft =
            all.and_then(|a| a.into_iter().min_by(|a, b| a.stiffness().n().total_cmp(&b.stiffness().n())));
        let whole: Length = ask.line.iter().map(|p| p.length).sum();
        let near = tables.rig.near.value;
        let at = |mass: Known<Mass>, strand: Option<Strand>, length: Length| {
            let (Known::Known(m), Some(s), Some(pull)) = (mass, strand, ask.pull) else { return None };
            Some(fly_back(&s, length, pull, m))
        };
        let flier = |what: String, mass: Known<Mass>, fixed| {
            let (a, b) = (at(mass, outer, near), at(mass, soft, whole.max(near)));
            Flier {
                what,
                mass,
                fixed,
                near_speed: a.map(|f| f.speed).into(),
                near: a.map(|f| f.energy).into(),
                snagged: b.map(|f| f.energy).into(),
            }
        };
        let mut all = Vec::new();
        if let Some(s) = self.sinker {
            all.push(flier("sinker".to_owned(), s.mass, self.weight_in_path()));
        }
        for s in &self.sections {
            if let Some(c) = &s.connector {
                let mass = c.mass(&tables.rig).get().map(|m| m.value.central).into();
                all.push(flier(
                    format!("{} above the {}", c.word(), s.role.word()),
                    mass,
                    Known::Known(true),
                ));
            }
        }
        let hook = self.hook.weight(tables).get().map(|m| m.value.central).into();
        all.push(flier("hook".to_owned(), hook, Known::Known(true)));
        all
    }
}
