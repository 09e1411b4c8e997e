//! The path laid out once: parts with strength and place, water on each piece.

use crate::facts::{Band, Grade, Known};
use crate::quantity::{Density, Force, Length, RHO_SEA_KG_M3, Speed};
use crate::tackle::drag::ScalePlace;
use crate::tackle::fill::LoadedBand;
use crate::tackle::line::{LinePiece, joined};
use crate::tackle::rig::{Connector, Section};
use crate::tackle::strength::{Factor, Strength};
use crate::tackle::tables::Tables;
use crate::tackle::{Joint, LoadedSpool, Material, Outfit, Rig};
use crate::{Result, water};
use serde::Serialize;

/// Kind of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Body of a piece of line.
    Line,
    /// Knot, splice, sleeve.
    Joint,
    /// Swivel or shackle.
    Connector,
    /// Body of a section of leader.
    Leader,
    /// Hook.
    Hook,
}

/// A part of the path.
///
/// Places are lengths from the outer end of the line on the reel: above zero towards the reel, below zero
/// along the rig towards the hook.
#[derive(Clone, Debug, PartialEq)]
pub struct PathPart {
    /// What the crew calls it.
    pub name: String,
    /// Kind.
    pub kind: PartKind,
    /// Its end towards the hook.
    pub outer: Length,
    /// Its end towards the reel; the same for a joint.
    pub inner: Length,
    /// What it bears.
    pub strength: Known<Strength>,
    /// Grade of that.
    pub grade: Grade,
    /// A sleeve whose batch nobody has pulled to destruction.
    pub untested_sleeve: bool,
}

/// A piece of the path in the water.
#[derive(Clone, Copy, Debug)]
struct Wet {
    outer: Length,
    inner: Length,
    diameter: Length,
    ct: f64,
}

/// Tensions along the path at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tensions {
    /// Line out.
    pub line_out: Length,
    /// Line in the water.
    pub wet: Length,
    /// Speed of the run.
    pub run: Speed,
    /// Radius of the spool.
    pub radius: Length,
    /// At the spool.
    pub spool: Force,
    /// Beyond the tip, and as far as the water.
    pub tip: Force,
    /// Where line and rig meet.
    pub leader: Force,
    /// At the hook.
    pub hook: Force,
    /// Bound across the line, zero unless asked for.
    pub sweep: Force,
}

/// Outfit and rig laid out as one path; cheap to ask many times.
#[derive(Clone, Debug)]
pub struct LoadPath {
    pub(super) spool: LoadedSpool,
    pub(super) spool_grade: Grade,
    pub(super) spool_source: String,
    pub(super) band: LoadedBand,
    pub(super) gears: Vec<f64>,
    pub(super) roller: f64,
    pub(super) guides: Factor,
    pub(super) skin: Factor,
    pub(super) parts: Vec<PathPart>,
    pub(super) rod_working: Known<Band<Force>>,
    pub(super) rod_grade: Grade,
    pub(super) rig_length: Known<Length>,
    pub(super) stage: crate::tackle::tables::LeaderStageRow,
    pub(super) start_up: Factor,
    pub(super) bad_sleeve: f64,
    wet: Vec<Wet>,
}

impl LoadPath {
    /// Lays out the path. Refuses an outfit or rig that is absurd, and a spool that cannot be told; a part
    /// whose strength is unknown is kept as unknown.
    pub fn new(outfit: &Outfit, rig: Option<&Rig>, tables: &Tables) -> Result<Self> {
        outfit.check().map_err(|e| e.within(format!("outfit {}", outfit.name)))?;
        if let Some(rig) = rig {
            rig.check().map_err(|e| e.within(format!("rig {}", rig.name)))?;
        }
        let band = outfit.loaded_band(tables).map_err(|e| e.within(format!("outfit {}", outfit.name)))?;
        let guides = outfit
            .line
            .iter()
            .map(|p| outfit.guides.factor(tables, p.material))
            .max_by(|a, b| a.value.total_cmp(&b.value))
            .unwrap_or_else(|| outfit.guides.factor(tables, Known::Unknown));
        let (wet, skin) = wet_pieces(outfit, rig, tables);
        let working = outfit.rod.working_drag(tables);
        Ok(Self {
            parts: parts(outfit, rig, tables),
            spool_grade: band.grade,
            spool_source: band.source.clone(),
            spool: band.planned.clone(),
            gears: outfit.reel.gears(tables),
            roller: outfit.reel.line_roller(tables).get().map_or(1.0, |f| f.value),
            band,
            guides,
            skin,
            rod_grade: working.as_ref().map_or(Grade::Default, |w| w.grade),
            rod_working: working.get().map(|w| w.value).into(),
            rig_length: rig.map_or(Known::Known(Length::ZERO), Rig::leader_length),
            stage: tables.leader_stage.clone(),
            start_up: Factor::share("start-up", &tables.drag.start_up),
            bad_sleeve: tables.joint(crate::tackle::JointKind::CrimpBad).kept.value.central
                / tables.joint(crate::tackle::JointKind::Crimp).kept.value.central,
            wet,
        })
    }

    /// The loaded spool.
    pub fn spool(&self) -> &LoadedSpool {
        &self.spool
    }
    /// Depth below the rim by which a crew may know that so much line is out, see [`LoadedBand::depth_mark`].
    pub fn depth_mark(&self, line_out: Length) -> Length {
        self.band.depth_mark(line_out)
    }
    /// Parts from the reel to the hook.
    pub fn parts(&self) -> &[PathPart] {
        &self.parts
    }
    /// Factor from reel to tip while line runs out.
    pub fn guide_factor(&self) -> f64 {
        self.guides.value
    }
    /// Length of the rig.
    pub fn rig_length(&self) -> Known<Length> {
        self.rig_length
    }

    /// The drag off the reel with a full spool that means the same as a drag set elsewhere or with line out.
    pub fn at_reel_full(&self, drag: Force, at: ScalePlace, set_with: Length) -> Force {
        let at_reel = match at {
            ScalePlace::Reel => drag,
            ScalePlace::Tip => drag / self.guides.value,
        };
        self.spool.drag_at_full(at_reel, set_with)
    }

    /// Tension at the hook with another spool in place of the planned one, drag set at a full spool.
    pub(super) fn hook_with(&self, spool: &LoadedSpool, full: Force, t: &Tensions) -> Force {
        spool.drag(full, t.line_out) * self.guides.value + (t.hook - t.tip)
    }

    /// Skin friction between the place `from` and the farther place `to` (both as in [`PathPart`]).
    fn skin_between(&self, from: Length, to: Length, run: Speed) -> Force {
        let density = Density::of_kg_m3(RHO_SEA_KG_M3);
        self.wet
            .iter()
            .map(|w| {
                let length = w.inner.min(from) - w.outer.max(to);
                if length <= Length::ZERO {
                    return Force::ZERO;
                }
                water::skin_drag(w.ct, w.diameter, length, run, density)
            })
            .sum()
    }

    /// Tensions with `full` set off the reel at a full spool.
    pub fn tensions(&self, full: Force, line_out: Length, wet: Length, run: Speed) -> Tensions {
        let spool = self.spool.drag(full, line_out);
        let tip = spool * self.guides.value;
        let mut t = Tensions {
            line_out,
            wet,
            run,
            radius: self.spool.radius(line_out),
            spool,
            tip,
            leader: tip,
            hook: tip,
            sweep: Force::ZERO,
        };
        t.leader = self.tension_at(&t, Length::ZERO);
        t.hook = self.tension_at(&t, self.hook_place());
        t
    }

    /// The same with the rigid-bar bound of a sideways run at the same speed.
    pub fn tensions_with_sweep_bound(
        &self,
        full: Force,
        line_out: Length,
        wet: Length,
        run: Speed,
    ) -> Tensions {
        let mut t = self.tensions(full, line_out, wet, run);
        let widest = self
            .wet
            .iter()
            .filter(|w| w.inner > Length::ZERO && w.outer < wet)
            .fold(Length::ZERO, |d, w| d.max(w.diameter));
        if widest > Length::ZERO {
            t.sweep = water::sweep_bound(widest, wet, run, 1.0, water::Water::SEA).at_fish;
        }
        t.leader = self.tension_at(&t, Length::ZERO);
        t.hook = self.tension_at(&t, self.hook_place());
        t
    }

    fn hook_place(&self) -> Length {
        self.parts.iter().map(|p| p.outer).fold(Length::ZERO, Length::min)
    }

    /// Tension at a place of the path that is off the spool.
    pub fn tension_at(&self, t: &Tensions, place: Length) -> Force {
        if place >= t.wet || t.wet <= Length::ZERO {
            return t.tip;
        }
        let skin = self.skin_between(t.wet, place, t.run);
        if t.sweep > Force::ZERO { water::with_sweep_bound(t.tip, skin, t.sweep) } else { t.tip + skin }
    }

    /// What a part feels: the tension at its outer end; `None` while it lies wholly on the spool.
    pub fn demand(&self, t: &Tensions, part: &PathPart) -> Option<Force> {
        (part.outer < t.line_out || part.outer <= Length::ZERO).then(|| self.tension_at(t, part.outer))
    }

    /// Weakest loaded part of known strength and its margin, with `full` set off the reel at a full spool. The
    /// margin is unknown if any loaded part's strength is, or nothing pulls; `None` if no strength is known.
    pub fn weakest(
        &self,
        full: Force,
        line_out: Length,
        wet: Length,
        run: Speed,
    ) -> Option<(&str, Known<f64>)> {
        let t = self.tensions(full, line_out, wet, run);
        let mut least: Option<(&str, f64)> = None;
        let mut all_known = true;
        for part in &self.parts {
            let Some(demand) = self.demand(&t, part) else { continue };
            let Known::Known(strength) = &part.strength else {
                all_known = false;
                continue;
            };
            let margin = strength.band.central / demand;
            if least.is_none_or(|l| margin < l.1) {
                least = Some((&part.name, margin));
            }
        }
        least.map(|(name, m)| {
            (name, if all_known && m.is_finite() { Known::Known(m) } else { Known::Unknown })
        })
    }

    /// Greatest drag off the reel, full spool, that keeps the margin of every part at `factor` with that line
    /// out; unknown while a loaded part's strength is. Without parts it is unknown too.
    pub fn greatest_drag(&self, factor: f64, line_out: Length, wet: Length, run: Speed) -> Known<Force> {
        let mut least: Option<f64> = None;
        let none = self.tensions(Force::ZERO, line_out, wet, run);
        let gain = self.spool.growth(line_out) * self.guides.value;
        for part in &self.parts {
            let Some(skin) = self.demand(&none, part) else { continue };
            let Known::Known(strength) = &part.strength else { return Known::Unknown };
            let drag = (strength.band.central.n() / factor - skin.n()) / gain;
            least = Some(least.map_or(drag, |l| l.min(drag)));
        }
        least.map(|n| Force::of_n(n.max(0.0))).into()
    }
}

/// Water on each piece of line and leader, and the skin coefficient as a figure.
fn wet_pieces(outfit: &Outfit, rig: Option<&Rig>, tables: &Tables) -> (Vec<Wet>, Factor) {
    let mut wet = Vec::new();
    let mut skin = Factor::share("skin", &tables.material(Material::Nylon).skin);
    let mut inner = Length::ZERO;
    for piece in outfit.line.iter().rev() {
        let outer = inner;
        inner = inner + piece.length;
        let row = tables.material(piece.material.get().unwrap_or(Material::HmpeBraid));
        let f = Factor::share("skin", &row.skin);
        if f.grade >= skin.grade {
            skin = f;
        }
        if let Known::Known(d) = piece.diameter(tables) {
            wet.push(Wet { outer, inner, diameter: d.value.central, ct: row.skin.value.central });
        }
    }
    let mut at = Length::ZERO;
    for s in rig.map(|r| r.sections.as_slice()).unwrap_or_default() {
        let Known::Known(length) = s.length else { continue };
        let row = tables.material(s.material.get().unwrap_or(Material::HmpeBraid));
        if let Known::Known(diameter) = s.diameter(tables) {
            wet.push(Wet { outer: at - length, inner: at, diameter, ct: row.skin.value.central });
        }
        at = at - length;
    }
    (wet, skin)
}

fn part(
    name: String,
    kind: PartKind,
    outer: Length,
    inner: Length,
    strength: Known<Strength>,
    untested_sleeve: bool,
) -> PathPart {
    let grade = strength.as_ref().map_or(Grade::Default, Strength::grade);
    PathPart { name, kind, outer, inner, strength, grade, untested_sleeve }
}

/// One side of a junction: what the crew calls it, its material and strength, its joint there.
struct Side<'a> {
    name: &'a str,
    material: Known<Material>,
    strength: Known<Strength>,
    joint: &'a Joint,
}

/// Joints (and connector) where two sides meet at a place of the path.
///
/// With a connector each side has its own joint to it. Without, an end that the crew did not describe takes
/// part in the joint of the other; two described ends are two loops, each with its own strength.
fn junction(
    tables: &Tables,
    all: &mut Vec<PathPart>,
    at: Length,
    above: &Side<'_>,
    below: Option<&Side<'_>>,
    connector: Option<&Connector>,
) {
    let mut joint = |side: &Side<'_>, other: Option<&Side<'_>>, name: String| {
        let outer = other.map(|o| (o.material, o.strength.clone()));
        let strength = joined(tables, side.joint, (side.material, side.strength.clone()), outer);
        all.push(part(name, PartKind::Joint, at, at, strength, side.joint.is_untested_sleeve()));
    };
    let alone = |side: &Side<'_>, to: &str| format!("joint {} to {to}", side.name);
    match (below, connector) {
        (None, _) => joint(above, None, alone(above, "hook")),
        (Some(below), Some(connector)) => {
            joint(above, None, alone(above, "swivel"));
            joint(below, None, format!("joint swivel to {}", below.name));
            let strength = connector.strength();
            let name = format!("swivel above {}", below.name);
            all.push(part(name, PartKind::Connector, at, at, strength, false));
        }
        (Some(below), None) => {
            let both = format!("joint {} to {}", above.name, below.name);
            let given = |s: &Side<'_>| *s.joint != Joint::default();
            match (given(above), given(below)) {
                (true, true) => {
                    joint(above, None, both);
                    joint(below, None, alone(below, above.name));
                }
                (false, true) => joint(below, Some(above), both),
                (_, false) => joint(above, Some(below), both),
            }
        }
    }
}

/// Parts from the reel to the hook. The knot on the arbor is left out: it is loaded when all is lost anyway.
fn parts(outfit: &Outfit, rig: Option<&Rig>, tables: &Tables) -> Vec<PathPart> {
    let sections = rig.map(|r| r.sections.as_slice()).unwrap_or_default();
    let mut all = Vec::new();
    let of_piece = |p: &'_ LinePiece| (p.material, p.strength(tables));
    let of_section = |s: &'_ Section| (s.material, s.stock().strength(tables));
    let section_top =
        |s: &'static str, (material, strength), joint| Side { name: s, material, strength, joint };
    let mut inner: Length = outfit.line.iter().map(|p| p.length).sum();
    for (i, piece) in outfit.line.iter().enumerate() {
        let next = outfit.line.get(i + 1);
        let outer = if next.is_some() { inner - piece.length } else { Length::ZERO };
        let (material, strength) = of_piece(piece);
        all.push(part(piece.title().to_owned(), PartKind::Line, outer, inner, strength.clone(), false));
        let above = Side { name: piece.title(), material, strength, joint: &piece.outer };
        let nothing = Joint::default();
        let below = match (next, sections.first()) {
            (Some(n), _) => {
                let (material, strength) = of_piece(n);
                Some(Side { name: n.title(), material, strength, joint: &nothing })
            }
            (None, Some(s)) => Some(section_top(s.role.word(), of_section(s), &s.top)),
            (None, None) => None,
        };
        if below.is_some() || rig.is_some() {
            let connector =
                if next.is_none() { sections.first().and_then(|s| s.connector.as_ref()) } else { None };
            junction(tables, &mut all, outer, &above, below.as_ref(), connector);
        }
        inner = outer;
    }
    below_the_line(tables, &mut all, rig);
    all
}

/// Parts of a rig alone, from its upper end to the hook.
pub(in crate::tackle) fn rig_parts(rig: &Rig, tables: &Tables) -> Vec<PathPart> {
    let mut all = Vec::new();
    if let Some(s) = rig.sections.first() {
        let (material, strength) = (s.material, s.stock().strength(tables));
        let side = (material, strength);
        let bears = joined(tables, &s.top, side, None);
        let at = Length::ZERO;
        if let Some(c) = &s.connector {
            let name = format!("{} above {}", c.word(), s.role.word());
            all.push(part(name, PartKind::Connector, at, at, c.strength(), false));
        }
        let name = format!("upper end of the {}", s.role.word());
        all.push(part(name, PartKind::Joint, at, at, bears, s.top.is_untested_sleeve()));
    }
    below_the_line(tables, &mut all, Some(rig));
    all
}

/// Sections, the joints below each, and the hook.
fn below_the_line(tables: &Tables, all: &mut Vec<PathPart>, rig: Option<&Rig>) {
    let Some(rig) = rig else { return };
    let of_section = |s: &'_ Section| (s.material, s.stock().strength(tables));
    let mut at = Length::ZERO;
    for (i, s) in rig.sections.iter().enumerate() {
        let below = at - s.length.get().unwrap_or(Length::ZERO);
        let (material, strength) = of_section(s);
        all.push(part(s.role.word().to_owned(), PartKind::Leader, below, at, strength.clone(), false));
        at = below;
        let above = Side { name: s.role.word(), material, strength, joint: &s.bottom };
        let next = rig.sections.get(i + 1);
        let side = next.map(|n| {
            let (material, strength) = of_section(n);
            Side { name: n.role.word(), material, strength, joint: &n.top }
        });
        junction(tables, all, at, &above, side.as_ref(), next.and_then(|n| n.connector.as_ref()));
    }
    all.push(part("hook".to_owned(), PartKind::Hook, at, at, rig.hook.strength(tables), false));
}
