//! The tackle pack: typed tables of lines, joints, hooks, reels, guides.
//!
//! Shipped as `data/tackle.toml`; a crew's own copy shadows it. Reading refuses an unknown key, a band whose
//! ends are crossed, a figure outside its physical bounds, a missing material or kind of joint, a row twice.

use super::joint::JointKind;
use super::label::{LabelRow, LineRoller, ReelShape};
use super::material::{Material, pull_at_stress};
use super::prices::Prices;
use super::reel::{GuideKind, ReelKind};
use super::rig::RigTables;
use super::set_up::SetUpRow;
use super::spool::Spool;
use crate::facts::{Band, Figure, Grade, Known, PackText, Source};
use crate::quantity::{Angle, Density, Force, Length, Pressure, Quantity};
use crate::{Error, Result};
use serde::Deserialize;

/// A band with grade and source.
pub type BandFigure<T> = Figure<Band<T>>;

/// Properties of a material.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialRow {
    /// Which.
    pub name: Material,
    /// Density.
    pub density: BandFigure<Density>,
    /// Share of a dry nominal strength that is kept wet.
    pub wet_kept: BandFigure<f64>,
    /// Share kept after one season.
    pub age_kept: BandFigure<f64>,
    /// Packing on a spool.
    pub packing: BandFigure<f64>,
    /// Tangential drag coefficient on wetted area.
    pub skin: BandFigure<f64>,
    /// Nominal strength over nominal area.
    pub stress: BandFigure<Pressure>,
    /// Secant modulus.
    pub modulus: BandFigure<Pressure>,
}

/// One line or leader of the trade.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineRow {
    /// Material.
    pub material: Material,
    /// Number of the wire or lay of the cable, where it has one.
    #[serde(default)]
    pub name: String,
    /// Strength on the label.
    pub strength: Force,
    /// Diameters met under that label.
    pub diameter: BandFigure<Length>,
}

/// A class of line that must break below it when wet.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineClassRow {
    /// Class.
    pub class: Force,
    /// What the trade calls it.
    pub nominal: Force,
    /// Ceiling of its wet strength.
    pub test: Figure<Force>,
}

/// One kind of joint.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointRow {
    /// Which.
    pub kind: JointKind,
    /// In words.
    pub name: String,
    /// Share of the weaker side's strength that it keeps.
    pub kept: BandFigure<f64>,
    /// Line that one side of it uses up.
    pub takes: TakesRow,
}

/// Line that one side of a joint uses up: `fixed + diameters x diameter`.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakesRow {
    /// Whatever the line.
    pub fixed: Length,
    /// For each diameter of the line.
    pub diameters: f64,
    /// How far this can be trusted.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
}

/// Shares kept by worn line.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WearRow {
    /// Topshot of which nobody said how it is.
    pub topshot_unseen: BandFigure<f64>,
    /// Sound to the fingers, used some nights.
    pub used: BandFigure<f64>,
    /// With a nick or a rough place.
    pub nicked: BandFigure<f64>,
    /// Braid that ran on a bare sinker.
    pub braid_on_bare_sinker: BandFigure<f64>,
    /// Braid that ran on a slider.
    pub braid_on_slider: BandFigure<f64>,
}

/// Sleeve for a leader.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SleeveRow {
    /// Inside diameter.
    pub inside: Length,
    /// Weakest nylon that it fits.
    pub from: Force,
    /// Strongest nylon that it fits.
    pub to: Force,
    /// How far this can be trusted.
    pub grade: Grade,
    /// Where it was read.
    pub source: String,
}

/// Hooks.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HookTables {
    /// The straightening law.
    pub law: HookLawRow,
    /// Published loads.
    pub straightened: Vec<StraightenedRow>,
    /// Outside widths by size.
    pub outside_width: Vec<WidthRow>,
    /// What is known of hooks left in a fish.
    pub left_in: Vec<LeftInRow>,
}

/// Constants of the straightening law.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HookLawRow {
    /// Load at which the reference hook opened.
    pub reference: Figure<Force>,
    /// Its wire.
    pub reference_wire: Length,
    /// Its gap.
    pub reference_gap: Figure<Length>,
    /// Exponent of the wire's diameter.
    pub exponent: BandFigure<f64>,
    /// Spread between hooks of the same wire.
    pub spread: BandFigure<f64>,
    /// Wire of a legally weak hook.
    pub weak_hook_wire: Figure<Length>,
}

/// A published load.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StraightenedRow {
    /// Which hook.
    pub name: String,
    /// Its wire, where given.
    #[serde(default)]
    pub wire: Known<Length>,
    /// At what load.
    pub load: BandFigure<Force>,
}

/// Least outside width of a size.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WidthRow {
    /// Size: the number before `/0`.
    pub aught: f64,
    /// Least width.
    pub least: Figure<Length>,
}

/// A published statement on hooks left in a fish.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftInRow {
    /// What was found.
    pub what: String,
    /// By whom.
    pub source: String,
}

/// A class of reel.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReelRow {
    /// Name of the class.
    pub class: String,
    /// Kind of drag.
    pub kind: ReelKind,
    /// Model spool.
    pub spool: Spool,
    /// What it is remembered to hold.
    pub model_line: ModelLine,
    /// Turns of the spool for one of the handle.
    pub gears: Vec<f64>,
    /// Line won by a turn with a full spool, in each gear.
    pub retrieve: Vec<Length>,
    /// Greatest drag at STRIKE.
    #[serde(default)]
    pub max_drag_strike: Option<BandFigure<Force>>,
    /// Greatest drag.
    pub max_drag_full: BandFigure<Force>,
    /// How far this can be trusted.
    pub grade: Grade,
    /// Where it was read.
    pub source: String,
}

/// What a class is remembered to hold.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ModelLine {
    /// Label.
    pub strength: Force,
    /// Diameter.
    pub diameter: Length,
    /// How much of it.
    pub length: Length,
}

/// Figures of drags.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DragRow {
    /// Band of a drag between readings.
    pub drift: BandFigure<f64>,
    /// Least gain on cooling.
    pub cold_gain: Figure<Force>,
    /// Gain after a run.
    pub after_run: BandFigure<Force>,
    /// Share of the line's strength at strike.
    pub strike_share: BandFigure<f64>,
    /// The same with the rod pointed at the scale.
    pub pointed_rod_share: Figure<f64>,
    /// Where STRIKE stands on the lever's travel.
    pub strike_at: Figure<f64>,
    /// Start-up over running drag.
    pub start_up: BandFigure<f64>,
    /// Least share of the fight's drag to which the card eases the lever.
    pub back_off_least: Figure<f64>,
    /// How often to pull at each mark.
    pub pulls: Figure<f64>,
    /// How wide the drag between two marks may stay, as a share of it.
    pub gap: Figure<f64>,
    /// Pull that moves a bait.
    pub soak: BandFigure<Force>,
}

/// Friction of guides.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GuideRow {
    /// Rollers or rings.
    pub kind: GuideKind,
    /// For which line; all if not given.
    #[serde(default)]
    pub material: Option<Material>,
    /// Friction.
    pub friction: BandFigure<f64>,
}

/// Figures of rods.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RodRow {
    /// Turn of the line over a rod in its fighting curve.
    pub wrap: BandFigure<Angle>,
    /// Working drag as a share of the rod's line class.
    pub working_share: BandFigure<f64>,
}

/// Figures of the leader stage.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeaderStageRow {
    /// What one hand holds.
    pub hand: BandFigure<Force>,
    /// How many hands on the leader.
    pub hands: u8,
    /// Strength of a casting leader for an ounce cast.
    pub casting_leader_per_oz: Figure<Force>,
}

/// The whole pack.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tables {
    /// `tackle`.
    pub format: String,
    /// Version of the format.
    pub version: u32,
    /// Sources by handle.
    #[serde(rename = "source")]
    pub sources: Vec<Source>,
    /// Materials, each once.
    #[serde(rename = "material")]
    pub materials: Vec<MaterialRow>,
    /// Lines and leaders of the trade.
    #[serde(rename = "line")]
    pub lines: Vec<LineRow>,
    /// Line classes.
    #[serde(rename = "line_class")]
    pub line_classes: Vec<LineClassRow>,
    /// Kinds of joint, each once.
    #[serde(rename = "joint")]
    pub joints: Vec<JointRow>,
    /// Wear.
    pub wear: WearRow,
    /// Sleeves.
    #[serde(rename = "sleeve")]
    pub sleeves: Vec<SleeveRow>,
    /// Making and holding rigs.
    pub rig: RigTables,
    /// Hooks.
    pub hook: HookTables,
    /// Classes of reel.
    #[serde(rename = "reel")]
    pub reels: Vec<ReelRow>,
    /// Shapes of spools by kind of reel, each once.
    #[serde(rename = "reel_shape")]
    pub reel_shapes: Vec<ReelShape>,
    /// How far labels can be trusted.
    pub label: LabelRow,
    /// Line roller of a spinning reel.
    pub line_roller: LineRoller,
    /// Drags.
    pub drag: DragRow,
    /// Guides.
    pub guides: Vec<GuideRow>,
    /// Rods.
    pub rod: RodRow,
    /// Leader stage.
    pub leader_stage: LeaderStageRow,
    /// What things cost new: judgement.
    pub prices: Prices,
    /// Set-ups that a newcomer could buy.
    #[serde(rename = "set_up", default)]
    pub set_ups: Vec<SetUpRow>,
}

/// Collects the first refusal with its place.
struct Checker<'a> {
    text: &'a PackText<'a>,
}

impl Checker<'_> {
    fn ordered(&self, path: &str, low: f64, central: f64, high: f64, min: f64, max: f64) -> Result<()> {
        if low <= central && central <= high && low >= min && high <= max {
            return Ok(());
        }
        Err(self.text.refuse(
            path,
            format!("band {low} to {central} to {high}"),
            format!("low, central and high in that order, from {min} to {max}"),
            "correct the figure",
        ))
    }
    fn share(&self, path: &str, f: &BandFigure<f64>) -> Result<()> {
        self.ordered(path, f.value.low, f.value.central, f.value.high, 0.0, 1.0)
    }
    fn band<Q: Quantity>(&self, path: &str, f: &BandFigure<Q>, min: f64, max: f64) -> Result<()> {
        self.ordered(path, f.value.low.si(), f.value.central.si(), f.value.high.si(), min, max)
    }
    fn number(&self, path: &str, f: &BandFigure<f64>, min: f64, max: f64) -> Result<()> {
        self.ordered(path, f.value.low, f.value.central, f.value.high, min, max)
    }
    fn once<T: PartialEq + core::fmt::Debug>(&self, table: &str, all: &[T], met: &[T]) -> Result<()> {
        for wanted in all {
            if met.iter().filter(|m| *m == wanted).count() != 1 {
                return Err(self.text.refuse(
                    table,
                    format!("{wanted:?} does not stand once in {table}"),
                    "each kind exactly once",
                    "add the row, or take the second one out",
                ));
            }
        }
        Ok(())
    }
}

impl Tables {
    /// Reads and checks the pack.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let t: Self = text.read()?;
        t.check(text)?;
        Ok(t)
    }

    fn check(&self, text: &PackText<'_>) -> Result<()> {
        let c = Checker { text };
        if self.format != "tackle" || self.version != 1 {
            return Err(text.refuse(
                "format",
                format!("format {} version {}", self.format, self.version),
                "format \"tackle\", version 1",
                "take a pack made for this program",
            ));
        }
        c.once("material", &Material::ALL, &self.materials.iter().map(|m| m.name).collect::<Vec<_>>())?;
        for (i, m) in self.materials.iter().enumerate() {
            let p = |field: &str| format!("material[{i}].{field}");
            c.band(&p("density"), &m.density, 500.0, 25_000.0)?;
            c.share(&p("wet_kept"), &m.wet_kept)?;
            c.share(&p("age_kept"), &m.age_kept)?;
            c.number(&p("packing"), &m.packing, 0.3, super::spool::PACKING_MOST)?;
            c.number(&p("skin"), &m.skin, 0.0, 0.05)?;
            c.band(&p("stress"), &m.stress, 1e8, 5e9)?;
            c.band(&p("modulus"), &m.modulus, 1e8, 3e11)?;
        }
        for (i, l) in self.lines.iter().enumerate() {
            c.band(&format!("line[{i}].diameter"), &l.diameter, 5e-5, 1e-2)?;
        }
        c.once("joint", &JointKind::ALL, &self.joints.iter().map(|j| j.kind).collect::<Vec<_>>())?;
        for (i, j) in self.joints.iter().enumerate() {
            c.share(&format!("joint[{i}].kept"), &j.kept)?;
            let (fixed, per) = (j.takes.fixed.m(), j.takes.diameters);
            c.ordered(&format!("joint[{i}].takes.fixed"), fixed, fixed, fixed, 0.0, 10.0)?;
            c.ordered(&format!("joint[{i}].takes.diameters"), per, per, per, 0.0, 2000.0)?;
        }
        let w = &self.wear;
        for (name, f) in [
            ("topshot_unseen", &w.topshot_unseen),
            ("used", &w.used),
            ("nicked", &w.nicked),
            ("braid_on_bare_sinker", &w.braid_on_bare_sinker),
            ("braid_on_slider", &w.braid_on_slider),
        ] {
            c.share(&format!("wear.{name}"), f)?;
        }
        c.number("hook.law.exponent", &self.hook.law.exponent, 1.0, 5.0)?;
        c.number("hook.law.spread", &self.hook.law.spread, 0.1, 3.0)?;
        let classes: Vec<_> = self.reels.iter().map(|r| r.class.clone()).collect();
        c.once("reel", &classes, &classes)?;
        for (i, r) in self.reels.iter().enumerate() {
            r.spool.check().map_err(|e| text.place(&format!("reel[{i}].spool"), e))?;
            c.band(&format!("reel[{i}].max_drag_full"), &r.max_drag_full, 1.0, 2000.0)?;
            if r.gears.is_empty() || r.gears.iter().any(|g| !(0.3..=10.0).contains(g)) {
                return Err(text.refuse(
                    &format!("reel[{i}].gears"),
                    format!("gears {:?}", r.gears),
                    "one or two of 0.3 to 10 turns of the spool for one of the handle",
                    "correct the row",
                ));
            }
        }
        self.labels(&c)?;
        c.number("drag.drift", &self.drag.drift, 0.3, 3.0)?;
        c.number("drag.start_up", &self.drag.start_up, 1.0, 3.0)?;
        c.share("drag.strike_share", &self.drag.strike_share)?;
        let (least, strike_at) = (self.drag.back_off_least.value, self.drag.strike_at.value);
        c.ordered("drag.back_off_least", least, least, least, 0.0, 1.0)?;
        c.ordered("drag.strike_at", strike_at, strike_at, strike_at, 0.0, 1.0)?;
        c.band("drag.soak", &self.drag.soak, 0.0, 200.0)?;
        let (pulls, gap) = (self.drag.pulls.value, self.drag.gap.value);
        c.ordered("drag.pulls", pulls, pulls, pulls, 1.0, 20.0)?;
        c.ordered("drag.gap", gap, gap, gap, 0.01, 1.0)?;
        for (i, g) in self.guides.iter().enumerate() {
            c.number(&format!("guides[{i}].friction"), &g.friction, 0.0, 1.0)?;
        }
        if !self.guides.iter().any(|g| g.kind == GuideKind::Ring)
            || !self.guides.iter().any(|g| g.kind == GuideKind::Roller)
        {
            return Err(text.refuse(
                "guides",
                "a kind of guide is missing",
                "rollers and rings",
                "add the row",
            ));
        }
        c.band("rod.wrap", &self.rod.wrap, 0.0, 3.2)?;
        c.share("rod.working_share", &self.rod.working_share)?;
        c.band("leader_stage.hand", &self.leader_stage.hand, 0.0, 2000.0)?;
        self.rig(&c)?;
        self.prices.check(text)?;
        for (i, s) in self.set_ups.iter().enumerate() {
            let at = |field: &str, e: Error| text.place(&format!("set_up[{i}].{field}"), e);
            s.outfit(self).map_err(|e| at("outfit", e))?;
            s.price(self).map_err(|e| at("costs", e))?;
        }
        Ok(())
    }

    fn labels(&self, c: &Checker<'_>) -> Result<()> {
        c.once("reel_shape", &ReelKind::ALL, &self.reel_shapes.iter().map(|r| r.kind).collect::<Vec<_>>())?;
        for (i, r) in self.reel_shapes.iter().enumerate() {
            c.number(&format!("reel_shape[{i}].arbor_over_rim"), &r.arbor_over_rim, 0.05, 0.95)?;
            c.number(&format!("reel_shape[{i}].width_over_rim"), &r.width_over_rim, 0.1, 5.0)?;
            c.number(&format!("reel_shape[{i}].gear"), &r.gear, 0.3, 10.0)?;
        }
        c.number("label.capacity", &self.label.capacity, 0.3, 3.0)?;
        c.number("label.class", &self.label.class, 0.3, 3.0)?;
        c.number("label.drag", &self.label.drag, 0.1, 1.5)?;
        let disagree = self.label.disagree.value;
        c.ordered("label.disagree", disagree, disagree, disagree, 1.0, 5.0)?;
        c.number("line_roller.friction", &self.line_roller.friction, 0.0, 1.0)?;
        c.band("line_roller.wrap", &self.line_roller.wrap, 0.0, 3.2)
    }

    fn rig(&self, c: &Checker<'_>) -> Result<()> {
        let r = &self.rig;
        for (name, f, most) in [
            ("tip_height", &r.tip_height, 10.0),
            ("hand_height", &r.hand_height, 3.0),
            ("swivel_length", &r.swivel_length, 0.5),
            ("sleeve_wall", &r.sleeve_wall, 0.01),
        ] {
            c.band(&format!("rig.{name}"), f, 1e-5, most)?;
        }
        for (name, l, most) in [
            ("hand_least", r.hand_least.value, 0.01),
            ("near", r.near.value, 100.0),
            ("trim", r.trim.value, 1.0),
            ("test_piece", r.test_piece.value, 5.0),
        ] {
            c.ordered(&format!("rig.{name}"), l.m(), l.m(), l.m(), 0.0, most)?;
        }
        for (name, d) in [("hook_density", r.hook_density.value), ("copper_density", r.copper_density.value)]
        {
            let d = d.kg_m3();
            c.ordered(&format!("rig.{name}"), d, d, d, 500.0, 25_000.0)?;
        }
        // A leader that lies level never meets the water.
        c.band("rig.leader_angle", &r.leader_angle, 0.01, 1.571)?;
        c.band("rig.swivel_per_kn", &r.swivel_per_kn, 0.0, 0.1)?;
        c.number("rig.hook_wire_in_gaps", &r.hook_wire_in_gaps, 1.0, 20.0)?;
        c.number("rig.hook_gap_in_wires", &r.hook_gap_in_wires, 1.0, 30.0)?;
        c.number("rig.sleeve_length_in_bores", &r.sleeve_length_in_bores, 1.0, 30.0)
    }

    /// Properties of a material.
    ///
    /// # Panics
    /// Never for tables that [`Tables::read`] gave: each material stands there once.
    pub fn material(&self, material: Material) -> &MaterialRow {
        self.materials.iter().find(|m| m.name == material).unwrap_or(&self.materials[0])
    }

    /// The shape of the spool of a kind of reel (each stands in the pack once; the reader sees to it).
    pub fn shape(&self, kind: ReelKind) -> &ReelShape {
        self.reel_shapes.iter().find(|r| r.kind == kind).unwrap_or(&self.reel_shapes[0])
    }

    /// A kind of joint (each stands in the pack once; the reader sees to it).
    pub fn joint(&self, kind: JointKind) -> &JointRow {
        self.joints.iter().find(|j| j.kind == kind).unwrap_or(&self.joints[0])
    }

    /// A class of reel. Refuses one that the pack does not list, naming those that it does.
    pub fn reel(&self, class: &str) -> Result<&ReelRow> {
        let wanted = class.trim();
        self.reels.iter().find(|r| r.class.eq_ignore_ascii_case(wanted)).ok_or_else(|| {
            let known: Vec<&str> = self.reels.iter().map(|r| r.class.as_str()).collect();
            Error::new(
                format!("no class of reel is called `{wanted}`"),
                format!("{}; spinning and casting reels have no class here", known.join(", ")),
                "measure the spool: rim, arbor and width, with a ruler; or write what the reel's label says",
            )
            .within("class")
        })
    }

    /// Friction of guides for a line: the row of that material, else any row of the kind.
    pub fn guide_friction(&self, kind: GuideKind, material: Known<Material>) -> BandFigure<f64> {
        let of_kind = || self.guides.iter().filter(|g| g.kind == kind);
        of_kind()
            .find(|g| g.material.is_some() && g.material == material.get())
            .or_else(|| of_kind().next())
            .map_or_else(
                || Figure::new(Band::exact(0.16), Grade::Default, "no row for such guides"),
                |g| g.friction.clone(),
            )
    }

    /// Diameter met under a label, by the rows of the trade; between rows by the square root of the strength
    /// (equal stress), beyond them by the stress of the nearest row. `None` if the pack lists no such line.
    pub fn diameter_of(&self, material: Material, strength: Force) -> Option<BandFigure<Length>> {
        let rows: Vec<&LineRow> = self.lines.iter().filter(|l| l.material == material).collect();
        let wanted = strength.n();
        if wanted.is_nan() || wanted <= 0.0 {
            return None;
        }
        let below = rows
            .iter()
            .filter(|l| l.strength.n() <= wanted)
            .max_by(|a, b| a.strength.n().total_cmp(&b.strength.n()));
        let above = rows
            .iter()
            .filter(|l| l.strength.n() >= wanted)
            .min_by(|a, b| a.strength.n().total_cmp(&b.strength.n()));
        let root = |f: Force| f.n().sqrt();
        let (a, b) = (below.or(above)?, above.or(below)?);
        let grade = a.diameter.grade.max(b.diameter.grade);
        let at = |pick: fn(&Band<Length>) -> Length| {
            let (da, db) = (pick(&a.diameter.value), pick(&b.diameter.value));
            if a.strength == b.strength {
                return da * (strength.n().sqrt() / root(a.strength));
            }
            let share = (strength.n().sqrt() - root(a.strength)) / (root(b.strength) - root(a.strength));
            da + (db - da) * share
        };
        let band = Band { low: at(|d| d.low), central: at(|d| d.central), high: at(|d| d.high) };
        Some(Figure::new(
            band,
            grade.max(Grade::Derived),
            format!("trade table of {}, {}", material.word(), a.diameter.source),
        ))
    }

    /// Nominal strength of a line of which only the diameter is known: by the material's stress.
    pub fn strength_of(&self, material: Material, diameter: Length) -> BandFigure<Force> {
        let row = self.material(material);
        Figure::new(
            row.stress.value.map(|s| pull_at_stress(s, diameter)),
            row.stress.grade.max(Grade::Derived),
            format!("diameter and the usual stress of {}, {}", material.word(), row.stress.source),
        )
    }

    /// The smallest sleeve listed whose bore a line of this diameter passes: what is measured goes before what a
    /// packet says. `None` if it passes none of them.
    pub fn sleeve_passing(&self, diameter: Length) -> Option<&SleeveRow> {
        self.sleeves
            .iter()
            .filter(|s| diameter.m() > 0.0 && s.inside >= diameter)
            .min_by(|a, b| a.inside.m().total_cmp(&b.inside.m()))
    }

    /// The smallest sleeve listed for a nylon leader of this strength.
    pub fn sleeve_for(&self, strength: Force) -> Option<&SleeveRow> {
        let hair = Force::of_n(0.01);
        self.sleeves
            .iter()
            .filter(|s| s.from - hair <= strength && strength <= s.to + hair)
            .min_by(|a, b| a.inside.m().total_cmp(&b.inside.m()))
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    pub(crate) const TEXT: &str = include_str!("../../../../data/tackle.toml");

    pub(crate) fn shipped() -> Tables {
        Tables::read(&PackText::new("tackle.toml", TEXT)).unwrap()
    }

    #[test]
    fn the_shipped_pack_reads_and_says_where_it_is_wrong() {
        shipped();
        let broken = |from: &str, to: &str| {
            assert!(TEXT.contains(from), "{from}");
            Tables::read(&PackText::new("tackle.toml", &TEXT.replacen(from, to, 1))).unwrap_err()
        };
        let e = broken("kind = \"fg\"", "kind = \"uni-mono\"");
        assert!(e.error.contains("Fg"), "{e}");
        let e = broken("low = 0.8, central = 0.85, high = 0.95", "low = 0.9, central = 0.85, high = 0.95");
        assert!(e.place.contains("line ") && e.place.contains("wet_kept"), "{e}");
        let e = broken("class = \"80W\"", "class = \"80\"");
        assert!(e.error.contains("80"), "{e}");
        let e = broken("rim = \"57mm\"", "rim = \"57m\"");
        assert!(e.place.contains("spool"), "{e}");
        let e = broken("wet_kept = ", "wet = ");
        assert!(e.error.contains("unknown field"), "{e}");
    }

    #[test]
    fn every_handle_of_a_source_is_listed() {
        let t = shipped();
        let listed: Vec<&str> = t.sources.iter().map(|s| s.id.as_str()).collect();
        for line in TEXT.lines() {
            let Some((_, source)) = line.split_once("source = \"") else { continue };
            for word in source.split(|c: char| !c.is_ascii_alphanumeric()) {
                let handle = word.len() == 3
                    && word.starts_with(['S', 'R'])
                    && word[1..].bytes().all(|b| b.is_ascii_digit());
                assert!(!handle || listed.contains(&word), "{word}");
            }
        }
    }

    #[test]
    fn the_model_spools_hold_what_they_are_remembered_to_hold() {
        let t = shipped();
        for r in &t.reels {
            let packing = t.material(Material::Nylon).packing.value.central;
            let holds = r.spool.capacity(r.model_line.diameter, packing);
            assert!((holds / r.model_line.length - 1.0).abs() < 0.005, "{}: {holds:?}", r.class);
            for (gear, retrieve) in r.gears.iter().zip(&r.retrieve) {
                let won = super::super::spool::retrieve_per_crank(r.spool.rim, *gear);
                assert!((won - *retrieve).m().abs() < 0.006, "{}: {won:?}", r.class);
            }
        }
    }

    #[test]
    fn fills_in_a_diameter_from_a_label() {
        let t = shipped();
        let d = t.diameter_of(Material::Nylon, Force::of_lbf(80.0)).unwrap();
        assert!((d.value.central.mm() - 0.93).abs() < 1e-9);
        let d = t.diameter_of(Material::Nylon, Force::of_lbf(90.0)).unwrap();
        assert!(d.value.central.mm() > 0.93 && d.value.central.mm() < 1.04);
        assert_eq!(d.grade, Grade::Recalled);
        let thin = t.diameter_of(Material::HmpeBraid, Force::of_lbf(20.0)).unwrap();
        assert!(thin.value.central.mm() < 0.28);
        assert!(t.diameter_of(Material::Nylon, Force::ZERO).is_none());
        assert_eq!(t.sleeve_for(Force::of_lbf(400.0)).unwrap().inside, Length::of_mm(2.2));
        assert!(t.reel("8000 spinning").unwrap_err().remedy.contains("measure the spool"));
    }
}
