//! The answer: tensions, margins, the weakest part, limits, shares.

use super::ask::{PathAsk, wet_of};
use super::leader::LeaderStage;
use super::parts::{LoadPath, PartKind, Tensions};
use super::serial::{as_m, as_mm, as_n, known_si, option_n};
use crate::facts::{Band, Grade, Known};
use crate::quantity::{Force, Length};
use crate::tackle::fill::{Ends, SpoolReport};
use crate::tackle::spool::LoadedSpool;
use crate::tackle::strength::{Factor, weakest_grade};
use crate::{Error, Result};
use serde::Serialize;

/// One part of the path at the moment asked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartReport {
    /// What the crew calls it.
    pub name: String,
    /// Kind.
    pub kind: PartKind,
    /// What it bears, middle of its band.
    #[serde(rename = "capacity_n", serialize_with = "known_si")]
    pub capacity: Known<Force>,
    /// What it bears at the low end of every figure.
    #[serde(rename = "capacity_low_n", serialize_with = "known_si")]
    pub capacity_low: Known<Force>,
    /// What it feels; nothing while it lies on the spool.
    #[serde(rename = "demand_n", serialize_with = "option_n")]
    pub demand: Option<Force>,
    /// Capacity over demand; unknown if the capacity is or nothing pulls on it.
    pub margin: Known<f64>,
    /// The same at the low end of every strength.
    pub margin_low: Known<f64>,
    /// Line and leader that the fish trails if it parts at its outer end.
    #[serde(rename = "trails_m", serialize_with = "known_si")]
    pub trails: Known<Length>,
    /// The most that it can trail: parted at the inner end of what is off the spool.
    #[serde(rename = "trails_most_m", serialize_with = "known_si")]
    pub trails_most: Known<Length>,
    /// A sleeve whose batch nobody has pulled to destruction.
    pub untested_sleeve: bool,
    /// Weakest grade among the figures that move the margin by more than a tenth.
    pub grade: Grade,
    /// Figures behind the capacity.
    pub because: Vec<Factor>,
}

/// What each cause adds between the setting and the hook.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shares {
    /// As set: off the reel, full spool.
    #[serde(rename = "set_n", serialize_with = "as_n")]
    pub set: Force,
    /// What the emptier spool adds.
    #[serde(rename = "spool_n", serialize_with = "as_n")]
    pub spool: Force,
    /// What the guides add.
    #[serde(rename = "guides_n", serialize_with = "as_n")]
    pub guides: Force,
    /// What the water adds (with the sweep bound, if asked for).
    #[serde(rename = "water_n", serialize_with = "as_n")]
    pub water: Force,
    /// The four as shares of the tension at the hook: set, spool, guides, water.
    pub of_hook: [f64; 4],
}

/// Greatest drag off the reel, full spool, that keeps every margin at the crew's factor while the line runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DragLimits {
    /// With a full spool.
    #[serde(rename = "full_n", serialize_with = "known_si")]
    pub full: Known<Force>,
    /// With half of the line out.
    #[serde(rename = "half_n", serialize_with = "known_si")]
    pub half: Known<Force>,
    /// With four fifths of the line out.
    #[serde(rename = "last_fifth_n", serialize_with = "known_si")]
    pub last_fifth: Known<Force>,
}

/// The rod against the tension at its tip.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RodReport {
    /// Drag that it is built to work at, most of it.
    #[serde(rename = "working_n", serialize_with = "known_si")]
    pub working: Known<Force>,
    /// Tension at the tip over it; unknown if the rod is.
    pub load_share: Known<f64>,
    /// How far the figure can be trusted.
    pub grade: Grade,
}

/// Winding at one moment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Winding {
    /// Line won by a turn of the handle in each gear, m; empty where the gears are not known.
    pub per_turn_m: Vec<f64>,
    /// Greatest tension beyond the tip that can be wound in before the drag slips.
    #[serde(rename = "winnable_tip_n", serialize_with = "as_n")]
    pub winnable: Force,
}

/// The load path at one moment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PathReport {
    /// Line out.
    #[serde(rename = "line_out_m", serialize_with = "as_m")]
    pub line_out: Length,
    /// Line in the water.
    #[serde(rename = "wet_m", serialize_with = "as_m")]
    pub wet: Length,
    /// Speed of the run, m/s.
    pub run_mps: f64,
    /// Radius of the spool.
    #[serde(rename = "radius_mm", serialize_with = "as_mm")]
    pub radius: Length,
    /// Depth of the line below the rim.
    #[serde(rename = "spool_depth_mm", serialize_with = "as_mm")]
    pub depth: Length,
    /// Tension at the spool.
    #[serde(rename = "spool_n", serialize_with = "as_n")]
    pub spool: Force,
    /// Beyond the tip.
    #[serde(rename = "tip_n", serialize_with = "as_n")]
    pub tip: Force,
    /// Where the line meets the water.
    #[serde(rename = "water_n", serialize_with = "as_n")]
    pub water_entry: Force,
    /// Where the line meets the rig.
    #[serde(rename = "leader_n", serialize_with = "as_n")]
    pub leader: Force,
    /// At the hook.
    #[serde(rename = "hook_n", serialize_with = "as_n")]
    pub hook: Force,
    /// What each cause adds.
    pub shares: Shares,
    /// Parts from the reel to the hook.
    pub parts: Vec<PartReport>,
    /// Name of the weakest loaded part of known strength.
    pub weakest: Option<String>,
    /// Its margin; unknown if any loaded part's strength is.
    pub margin: Known<f64>,
    /// Its margin even if other parts are unknown: the true one is at most this.
    pub margin_of_known: Option<f64>,
    /// Loaded parts of unknown strength.
    pub unknown: Vec<String>,
    /// Weakest grade among the figures that move the margin by more than a tenth.
    pub grade: Grade,
    /// Greatest drags.
    pub limits: DragLimits,
    /// The rod.
    pub rod: RodReport,
    /// The spool: how full, its band, what to measure first.
    pub spool_fill: SpoolReport,
    /// Winding against this drag.
    pub winding: Winding,
    /// The leader stage, when hands and fish load the leader alone.
    pub leader_stage: LeaderStage,
    /// Bound of a sideways run, if it was asked for.
    #[serde(rename = "sweep_bound_n", serialize_with = "option_n")]
    pub sweep_bound: Option<Force>,
}

impl LoadPath {
    /// The path at one moment. Refuses an ask that cannot be (more line out than there is, a negative drag).
    pub fn at(&self, ask: &PathAsk) -> Result<PathReport> {
        ask.check(self.spool.line_length())?;
        if self.parts.is_empty() {
            return Err(Error::new("no part to look at", "line or rig", "describe the line"));
        }
        let set = self.at_reel_full(ask.drag, ask.drag_at, ask.set_with);
        let wet = ask.wet_length();
        let t = if ask.sweep_bound {
            self.tensions_with_sweep_bound(set, ask.line_out, wet, ask.run)
        } else {
            self.tensions(set, ask.line_out, wet, ask.run)
        };
        let moved = self.moved_by(&t, ask.drag_grade);
        let parts: Vec<PartReport> = self.parts.iter().map(|p| self.part_report(&t, p, moved)).collect();
        let loaded = || parts.iter().filter(|p| p.demand.is_some());
        let weakest =
            loaded().filter_map(|p| p.margin.get().map(|m| (m, p))).min_by(|a, b| a.0.total_cmp(&b.0));
        let unknown: Vec<String> =
            loaded().filter(|p| p.capacity.is_unknown()).map(|p| p.name.clone()).collect();
        let total = self.spool.line_length();
        let limit = |share: f64| {
            let out = total * share;
            let wet = wet_of(out);
            self.greatest_drag(ask.factor, out, wet, ask.run)
        };
        Ok(PathReport {
            line_out: ask.line_out,
            wet,
            run_mps: ask.run.mps(),
            radius: t.radius,
            depth: self.spool.depth_below_rim(ask.line_out),
            spool: t.spool,
            tip: t.tip,
            water_entry: t.tip,
            leader: t.leader,
            hook: t.hook,
            shares: shares(set, &t),
            weakest: weakest.map(|w| w.1.name.clone()),
            margin: match weakest {
                Some(w) if unknown.is_empty() => Known::Known(w.0),
                _ => Known::Unknown,
            },
            margin_of_known: weakest.map(|w| w.0),
            grade: weakest.map_or(Grade::Default, |w| w.1.grade),
            unknown,
            limits: DragLimits { full: limit(0.0), half: limit(0.5), last_fifth: limit(0.8) },
            rod: self.rod_report(t.tip),
            spool_fill: self.spool_report(set, &t),
            winding: self.winding(&t),
            leader_stage: self.leader_stage(set),
            sweep_bound: ask.sweep_bound.then_some(t.sweep),
            parts,
        })
    }

    /// Weakest grade of the figures on the side of the demand that move it by more than a tenth.
    fn moved_by(&self, t: &Tensions, drag_grade: Grade) -> Grade {
        let growth = Factor {
            name: "spool".into(),
            value: self.spool.growth(t.line_out),
            unit: "",
            grade: self.spool_grade,
            source: self.spool_source.clone(),
        };
        let mut grade = drag_grade.max(weakest_grade([&growth, &self.guides]));
        if (t.hook - t.tip).n() > 0.1 * t.hook.n() {
            grade = grade.max(self.skin.grade);
        }
        grade
    }

    fn part_report(&self, t: &Tensions, p: &super::PathPart, moved: Grade) -> PartReport {
        let demand = self.demand(t, p);
        let band: Known<Band<Force>> = p.strength.as_ref().map(|s| s.band).into();
        let margin = |of: Known<Force>| match (of, demand) {
            (Known::Known(c), Some(d)) if d > Force::ZERO => Known::Known(c / d),
            _ => Known::Unknown,
        };
        let (capacity, capacity_low) = match band {
            Known::Known(b) => (Known::Known(b.central), Known::Known(b.low)),
            Known::Unknown => (Known::Unknown, Known::Unknown),
        };
        let trails = |place: Length| match (self.rig_length, demand) {
            (Known::Known(rig), Some(_)) => Known::Known((place.min(t.line_out) + rig).max(Length::ZERO)),
            _ => Known::Unknown,
        };
        PartReport {
            name: p.name.clone(),
            kind: p.kind,
            capacity,
            capacity_low,
            demand,
            margin: margin(capacity),
            margin_low: margin(capacity_low),
            trails: trails(p.outer),
            trails_most: trails(p.inner),
            untested_sleeve: p.untested_sleeve,
            grade: p.grade.max(moved),
            because: p.strength.as_ref().map(|s| s.factors.clone()).unwrap_or_default(),
        }
    }

    /// The spool over its band at this moment.
    fn spool_report(&self, set: Force, t: &Tensions) -> SpoolReport {
        let (b, out) = (&self.band, t.line_out);
        let over = |of: &dyn Fn(&LoadedSpool) -> f64| Ends::of(of(&b.most), of(&b.central), of(&b.least));
        let holds = self
            .spool
            .pieces()
            .last()
            .map_or(Band::exact(Length::ZERO), |p| b.spool.capacity(p.diameter, p.packing));
        let bare = self.spool.spool();
        SpoolReport {
            on_spool: self.spool.line_length(),
            left: (self.spool.line_length() - out).max(Length::ZERO),
            rim: bare.rim,
            arbor: bare.arbor,
            width: bare.width,
            fill: self.spool.under_fill(),
            radius_mm: over(&|s| s.radius(out).mm()),
            depth_mm: over(&|s| s.depth_below_rim(out).mm()),
            turn_m: self.gears.first().map(|g| over(&|s| s.retrieve_per_crank(out, *g).m())),
            growth: over(&|s| s.growth(out)),
            hook_n: over(&|s| self.hook_with(s, set, t).n()),
            holds_m: Ends::of(holds.low.m(), holds.central.m(), holds.high.m()),
            grade: self.spool_grade,
            source: self.spool_source.clone(),
            told: b.spool.told.clone(),
            measure_first: b.spool.measure_first,
        }
    }

    /// What the handle wins now. Coming in, guides and line roller stand against the winder, so less than the drag
    /// can be won at the tip; the roller counts twice, since a drag off a spinning reel is meant behind it.
    fn winding(&self, t: &Tensions) -> Winding {
        Winding {
            per_turn_m: self
                .gears
                .iter()
                .map(|g| self.spool.retrieve_per_crank(t.line_out, *g).m())
                .collect(),
            winnable: t.spool / (self.guides.value * self.roller * self.roller),
        }
    }

    fn rod_report(&self, tip: Force) -> RodReport {
        RodReport {
            working: self.rod_working.get().map(|w| w.high).into(),
            load_share: self.rod_working.get().map(|w| tip / w.high).into(),
            grade: self.rod_grade,
        }
    }
}

fn shares(set: Force, t: &Tensions) -> Shares {
    let parts = [set, t.spool - set, t.tip - t.spool, t.hook - t.tip];
    let of = |f: Force| if t.hook > Force::ZERO { f / t.hook } else { 0.0 };
    Shares { set: parts[0], spool: parts[1], guides: parts[2], water: parts[3], of_hook: parts.map(of) }
}
