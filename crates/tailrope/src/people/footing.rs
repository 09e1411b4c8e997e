//! Footing: can this person bear this drag, in this stance, on this sand, alone or with a harness hand?
//!
//! The answer is the largest pull at the rod tip before the person tips, slides, or the back gives way
//! ([`super::statics`]), for each stance, with and without harness hands ([`super::hands`]). Friction, lean,
//! back and grip are known only roughly, so each answer has a low, central and high value; the one to *plan*
//! with takes the sand at the low end of its band and the rest in the middle.
//!
//! Limits: no measurement of a foot on beach sand, and none of an angler's lean or back, was found. A result is
//! an estimate until the crew has pulled its own angler with the scale. Verdicts are not given here: the numbers
//! and flags are ([`Footing::stop_if_harnessed`]), the plan judges them.

use super::angler::AnglerStand;
use super::dry;
use super::hands::{Ground, HarnessHand, joint_band, joint_pull, one_pull};
use super::limits::{Governs, Limits, Resolved};
use super::pack::{FootingPack, Sand, Stance, StanceRow, Step};
use super::statics::{Pin, RodTip, Stand, unsupported_lean, wash_load, weight_on_feet};
use crate::facts::{Band, Figure, Grade};
use crate::quantity::{Angle, Density, Force, G_M_S2, Length, RHO_SEA_KG_M3, Span, Torque};
use crate::{Error, Result, water};
use serde::Serialize;

/// Body density used to turn mass into volume, kg/m3.
const BODY_KG_M3: f64 = 1000.0;

/// Largest pull at the rod tip that is borne.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Borne {
    /// The number to plan with: the least of the three below.
    pub limit: Force,
    /// Which one it is.
    pub governs: Governs,
    /// All three, planning values.
    pub limits: Limits,
    /// Least limit with every figure at its low, central and high end.
    pub band: Band<Force>,
    /// Weakest grade among the figures that make the limit.
    pub grade: Grade,
    /// Their sources.
    pub sources: Vec<String>,
}

/// One stance.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StanceFooting {
    /// Which.
    pub stance: Stance,
    /// Lean counted.
    pub lean: Length,
    /// Rod tip.
    pub tip: RodTip,
    /// Centre of mass behind the rearmost support at the lean taken; above 0 a parted line throws the angler
    /// backward.
    pub unsupported_lean: Length,
    /// Alone.
    pub alone: Borne,
    /// With the hands asked about; `None` when none were.
    pub with_hands: Option<Borne>,
    /// What those hands pull together (planning value).
    pub hands_pull: Force,
    /// Only above the dry line (sitting).
    pub dry_only: bool,
    /// What a dug heel step bears by itself, level (sitting; planning value): the next limit after the feet. Nothing
    /// when standing.
    pub step: Force,
    /// Dry sand wanted between toes and the highest wash in this stance.
    pub dry_distance: Length,
}

impl StanceFooting {
    /// With the hands if there are any, else alone.
    pub fn best(&self) -> &Borne {
        self.with_hands.as_ref().unwrap_or(&self.alone)
    }
    /// Whether a parted line throws the angler backward.
    pub fn falls_if_parted(&self) -> bool {
        self.unsupported_lean > Length::ZERO
    }
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Footing {
    /// The stance planned.
    pub planned: StanceFooting,
    /// The other stances of the pack, weakest first.
    pub others: Vec<StanceFooting>,
    /// Water moves about the feet: whatever the numbers say, nobody stands there in a harness.
    pub stop_if_harnessed: bool,
    /// Dry sand wanted between toes and the highest wash.
    pub dry_distance: Length,
}

/// Answers what the angler bears: in the planned stance, and in the others for comparison.
///
/// ```
/// use tailrope::facts::PackText;
/// use tailrope::people::{AnglerStand, FootingPack, RodTip, footing::footing};
/// use tailrope::quantity::{Angle, Length, Mass};
/// # let text = include_str!("../../../../data/footing.toml");
/// let pack = FootingPack::read(PackText::new("footing.toml", text))?;
/// let mut angler = AnglerStand::new(Mass::of_kg(85.0));
/// angler.lean = Some(Length::of_m(0.35));
/// angler.tip = Some(RodTip { up: Length::of_m(1.6), ahead: Length::of_m(1.3) });
/// angler.line_angle = Some(Angle::of_deg(10.0));
/// let tip = footing(&pack, &angler, &[])?.planned.alone.limits.tip.unwrap();
/// assert_eq!(tip.n().round(), 162.0);
/// # Ok::<(), tailrope::Error>(())
/// ```
///
/// # Errors
/// A number outside its range ([`AnglerStand`]); a pack without this stance or sand.
pub fn footing(pack: &FootingPack, angler: &AnglerStand, hands: &[HarnessHand]) -> Result<Footing> {
    angler.check()?;
    let planned_pin = pack.stance(angler.stance)?.pin();
    let mut others = Vec::new();
    let mut planned = None;
    for stance in Stance::ALL {
        let row = pack.stance(stance)?;
        if stance == angler.stance {
            planned = Some(one_stance(pack, row, angler, hands)?);
        } else {
            let mut other = *angler;
            // Lean and base were measured in the planned stance only.
            (other.stance, other.lean, other.base) = (stance, None, None);
            other.tip = angler.tip.map(|tip| carried(tip, planned_pin, row.pin()));
            others.push(one_stance(pack, row, &other, hands)?);
        }
    }
    let planned = planned.ok_or_else(|| {
        Error::new("the planned stance is not in the list", "upright, lean, sitting", "choose one of them")
    })?;
    let dry_distance = planned.dry_distance;
    Ok(Footing { planned, others, stop_if_harnessed: angler.in_moving_wash(), dry_distance })
}

/// Fills in every number of the planned stance at the planning values.
pub fn resolve(pack: &FootingPack, angler: &AnglerStand, hands: &[HarnessHand]) -> Result<Resolved> {
    angler.check()?;
    let row = pack.stance(angler.stance)?;
    let figures = Figures::of(pack, row, angler)?;
    let ground = figures.ground(angler, pack);
    let pull = planning_pull(pack, hands, ground.low, angler.after);
    Ok(figures.resolved(pack, row, angler, End::Plan, pull))
}

/// The tip after the body moves from one pin to another with the rod at the same angle; never below the knee,
/// so that a sitting angler is not promised a tip in the sand.
fn carried(tip: RodTip, from: Pin, to: Pin) -> RodTip {
    RodTip {
        up: (tip.up + to.up - from.up).max(Length::of_m(0.4)),
        ahead: (tip.ahead + from.behind - to.behind).max(Length::of_m(0.1)),
    }
}

#[derive(Clone, Copy, PartialEq)]
enum End {
    Low,
    Central,
    High,
    Plan,
}

impl End {
    fn of<T: Copy>(self, band: Band<T>) -> T {
        match self {
            Self::Low => band.low,
            Self::Central | Self::Plan => band.central,
            Self::High => band.high,
        }
    }
    /// The sand is planned at its low end.
    fn of_sand<T: Copy>(self, band: Band<T>) -> T {
        if self == Self::Plan { band.low } else { self.of(band) }
    }
}

/// The uncertain figures of one stance, the crew's own in place of the pack's where given.
struct Figures {
    lean: Band<Length>,
    lean_grade: (Grade, String),
    friction: Band<f64>,
    friction_grade: (Grade, String),
    moment: Band<Torque>,
    moment_grade: (Grade, String),
}

fn own_or<T: Copy>(own: Option<Band<T>>, pack: &Figure<Band<T>>) -> (Band<T>, (Grade, String)) {
    match own {
        Some(band) => (band, (Grade::Measured, "crew".to_owned())),
        None => (pack.value, (pack.grade, pack.source.clone())),
    }
}

impl Figures {
    fn of(pack: &FootingPack, row: &StanceRow, angler: &AnglerStand) -> Result<Self> {
        // Water that moves about the feet scours the sand, whatever it was before.
        let sand = if angler.in_moving_wash() { Sand::MovingWash } else { angler.sand };
        let (lean, lean_grade) = own_or(angler.lean.map(Band::exact), &row.lean);
        let shipped = pack.friction(sand)?;
        let (mut friction, mut friction_grade) = own_or(angler.friction, shipped);
        if angler.in_moving_wash() {
            // No pull on still sand promises a hold where water scours it: the least of both.
            let (own, wash) = (friction, shipped.value);
            friction = Band {
                low: own.low.min(wash.low),
                central: own.central.min(wash.central),
                high: own.high.min(wash.high),
            };
            if wash.low < own.low {
                friction_grade = (shipped.grade, shipped.source.clone());
            }
        }
        let (moment, mut moment_grade) = own_or(angler.back_moment.map(Band::exact), &pack.back.moment);
        let kept = pack.fade.kept(angler.after);
        let moment = Band {
            low: moment.low * kept.low,
            central: moment.central * kept.central,
            high: moment.high * kept.high,
        };
        if kept.low < 1.0 {
            moment_grade =
                (moment_grade.0.max(pack.fade.grade), format!("{}, {}", moment_grade.1, pack.fade.source));
        }
        let base = angler.base.unwrap_or(row.base);
        // A lean beyond the base is held up by the fish alone: it counts only with clear ground to fall on.
        let lean = if angler.clear_behind { lean } else { lean.map(|b| b.min(base)) };
        Ok(Self { lean, lean_grade, friction, friction_grade, moment, moment_grade })
    }

    fn ground(&self, angler: &AnglerStand, pack: &FootingPack) -> Band<Ground> {
        let (wash, wash_height, displaced_share) = wash_on(pack, angler);
        self.friction.map(|friction| Ground {
            friction,
            slope: angler.slope,
            wash,
            wash_height,
            displaced_share,
        })
    }

    fn resolved(
        &self,
        pack: &FootingPack,
        row: &StanceRow,
        angler: &AnglerStand,
        end: End,
        hands: Force,
    ) -> Resolved {
        let (wash, wash_height, displaced_share) = wash_on(pack, angler);
        let step = if row.stance == Stance::Sitting && !angler.in_moving_wash() {
            step_holds(&pack.step, end.of_sand(pack.step.sand_angle.value))
        } else {
            Force::ZERO
        };
        Resolved {
            stand: Stand {
                weight: weight_on_feet(angler.mass, angler.mass * displaced_share),
                lean: end.of(self.lean),
                friction: end.of_sand(self.friction),
                tip: angler.tip.unwrap_or_else(|| row.tip()),
                line_angle: angler.line_angle.unwrap_or(pack.line.angle.value),
                slope: angler.slope,
                wash,
                wash_height,
                hands,
                hands_height: pack.harness.height.value,
            },
            pin: row.pin(),
            moment: end.of(self.moment),
            step,
        }
    }
}

/// Backwash load, the height at which it acts, and the mass of water displaced per kilogram of body.
fn wash_on(pack: &FootingPack, angler: &AnglerStand) -> (Force, Length, f64) {
    let Some(wash) = angler.wash else { return (Force::ZERO, Length::ZERO, 0.0) };
    let legs = &pack.legs;
    let load = wash_load(
        Density::of_kg_m3(RHO_SEA_KG_M3),
        legs.drag_coefficient.value,
        legs.width.value,
        wash.depth,
        wash.flow,
    );
    (load, wash.depth / 2.0, legs.immersed_share(wash.depth) * RHO_SEA_KG_M3 / BODY_KG_M3)
}

/// What a heel step bears, level: three times the passive pressure on its face (Broms 1964, recalled),
/// (1/2)(3 Kp) gamma D z^2, over the planning divisor.
fn step_holds(step: &Step, sand_angle: Angle) -> Force {
    let sand = water::Sand { friction: sand_angle, density: Density::of_kg_m3(step.weight_n_m3 / G_M_S2) };
    water::buried_hold(sand, step.width, step.depth) / step.divisor
}

/// The hands' joint pull to plan with: grip in the middle, sand at the low end.
fn planning_pull(pack: &FootingPack, hands: &[HarnessHand], ground: Ground, after: Span) -> Force {
    let (grip, kept) = (pack.harness.grip.value.central, pack.fade.kept(after).central);
    let pulls: Vec<Force> = hands.iter().map(|h| one_pull(pack, h, ground, grip, kept).0).collect();
    joint_pull(pack, &pulls).0
}

fn one_stance(
    pack: &FootingPack,
    row: &StanceRow,
    angler: &AnglerStand,
    hands: &[HarnessHand],
) -> Result<StanceFooting> {
    let figures = Figures::of(pack, row, angler)?;
    let ground = figures.ground(angler, pack);
    let pull = planning_pull(pack, hands, ground.low, angler.after);
    let alone = borne(pack, row, angler, &figures, Force::ZERO, Band::exact(Force::ZERO))?;
    let with_hands = if hands.is_empty() {
        None
    } else {
        Some(borne(pack, row, angler, &figures, pull, joint_band(pack, hands, ground, angler.after))?)
    };
    let taken = angler.lean.unwrap_or(row.lean.value.central);
    Ok(StanceFooting {
        stance: row.stance,
        lean: figures.lean.central,
        tip: angler.tip.unwrap_or_else(|| row.tip()),
        unsupported_lean: unsupported_lean(taken, angler.base.unwrap_or(row.base)),
        alone,
        with_hands,
        hands_pull: pull,
        dry_only: row.stance == Stance::Sitting,
        step: figures.resolved(pack, row, angler, End::Plan, Force::ZERO).step,
        dry_distance: dry::wanted(pack, row.stance),
    })
}

fn borne(
    pack: &FootingPack,
    row: &StanceRow,
    angler: &AnglerStand,
    figures: &Figures,
    pull: Force,
    pull_band: Band<Force>,
) -> Result<Borne> {
    let at = |end, pull| figures.resolved(pack, row, angler, end, pull);
    let least_at = |end, pull| {
        at(end, pull).limits().least().ok_or_else(|| {
            Error::new(
                "the line pulls straight down on the feet: nothing limits this stand",
                "a line angle below 90 degrees, or a rod tip ahead of the feet",
                "give the rod tip and the line angle as they are in the fight",
            )
        })
    };
    let plan = at(End::Plan, pull);
    let (limit, governs) = least_at(End::Plan, pull)?;
    let band = Band {
        low: least_at(End::Low, pull_band.low)?.0,
        central: least_at(End::Central, pull_band.central)?.0,
        high: least_at(End::High, pull_band.high)?.0,
    };
    let mut made_of = vec![match governs {
        Governs::Tip => figures.lean_grade.clone(),
        Governs::Slip if plan.slip().1 => (pack.step.grade, pack.step.source.clone()),
        Governs::Slip => figures.friction_grade.clone(),
        Governs::Back => figures.moment_grade.clone(),
    }];
    if pull > Force::ZERO && governs != Governs::Back {
        made_of.push((pack.harness.grip.grade, pack.harness.grip.source.clone()));
    }
    if angler.wash.is_some() && governs != Governs::Back {
        made_of.push((pack.legs.width.grade, pack.legs.width.source.clone()));
    }
    Ok(Borne {
        limit,
        governs,
        limits: plan.limits(),
        band,
        grade: made_of.iter().map(|(g, _)| *g).max().unwrap_or(Grade::Estimate),
        sources: made_of.into_iter().map(|(_, s)| s).collect(),
    })
}

#[cfg(test)]
mod tests;
