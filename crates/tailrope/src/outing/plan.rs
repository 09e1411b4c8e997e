//! The plan as data: what every face renders, with stable keys.
//!
//! Keys stand in the order of the promise in the documentation; numbers are SI and carry their unit in the
//! key; nothing in it depends on when or where it was made.

mod hours;

pub use hours::{ConditionSaid, ConditionView, MoonView, SkyView, StepView, TideSource, TideView};

use super::finding::Finding;
use super::verdict::Verdict;
use super::windows::{Closed, Window};
use crate::facts::{Band, Source};
use serde::Serialize;

/// A chance with its Monte Carlo error (one standard error).
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Chance {
    /// The chance, 0 to 1.
    pub p: f64,
    /// Its standard error.
    pub error: f64,
}

/// The whole plan of a night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// `tailrope.plan/1`.
    pub schema: &'static str,
    /// Version of the library.
    pub tool: &'static str,
    /// Seed of the forecast.
    pub seed: u64,
    /// The worst of the findings.
    pub verdict: Verdict,
    /// All findings, worst harm first.
    pub findings: Vec<Finding>,
    /// Stretches in which nothing forbids.
    pub windows: Vec<Window>,
    /// The load path.
    pub path: PathView,
    /// The drag card.
    pub drag_card: Vec<CardRow>,
    /// The footing.
    pub footing: FootingView,
    /// The forecast for the target at the upper end of its band.
    pub forecast: ForecastView,
    /// Whether the bait stays where it is put; nothing where too much is open to reckon it.
    pub hold: Option<HoldView>,
    /// Roles of all phases, each person once a role.
    pub roles: Vec<RoleView>,
    /// Kit that is asked for and not packed.
    pub kit_missing: Vec<String>,
    /// Everything cited.
    pub sources: Vec<Source>,
    /// What stands beside the promised keys.
    pub night: NightView,
    /// The largest likely fish, for which people and landing are judged.
    pub largest_likely: FishView,
    /// The target at the upper end of its band.
    pub target: FishView,
    /// Other fish that may come along.
    pub also_likely: Vec<AlsoLikely>,
    /// Roles phase by phase.
    pub phases: Vec<PhaseView>,
    /// Stretches in which something forbids.
    pub closed: Vec<Closed>,
    /// Turning points of the tide in the wanted hours and around.
    pub tide: Vec<TideView>,
    /// Whose tide it is; nothing without one.
    pub tide_source: Option<TideSource>,
    /// Sun and moon events of the night.
    pub sky: Vec<SkyView>,
    /// Sea and weather as understood.
    pub conditions: Vec<ConditionView>,
    /// What of sea and weather is known in all hours: `all`, `no sea`, `no weather` or `no sea, no weather`; `sea in part`
    /// and `weather in part` where something speaks of some of the hours only.
    pub known: &'static str,
    /// Whether sea or weather lie beyond what was forecast, so that they were not judged.
    pub beyond_forecast: bool,
    /// The moon.
    pub moon: MoonView,
    /// The wanted hours step by step.
    pub steps: Vec<StepView>,
    /// How to repeat the drag.
    pub drag_settings: Vec<DragSetting>,
    /// Line out before which the fish must be stopped or cut: beyond it no setting of the card keeps margin and
    /// footing, m.
    pub card_stop_from_m: Option<f64>,
    /// A line far out; nothing where the bait is near and no boats were counted.
    pub far_out: Option<FarView>,
    /// Kit that is asked for, in packing order.
    pub kit: Vec<String>,
    /// The brief, to be read aloud, line by line.
    pub brief: Vec<String>,
    /// The cautions that always stand there.
    pub always: Vec<&'static str>,
    /// Data packs read, with the hash of their text.
    pub packs: Vec<PackView>,
    /// What was asked.
    pub options: OptionsView,
}

/// A pack and its hash.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PackView {
    /// File or pack id.
    pub id: String,
    /// Hash of its text.
    pub hash: String,
}

/// The options a plan was made with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OptionsView {
    /// Day on which packs, papers, readings and conditions are read.
    pub read_on: String,
    /// The moment of reading, where it is known: ages are true hours then.
    pub now: Option<String>,
    /// Fights of the forecast.
    pub fights: u32,
    /// Seed.
    pub seed: u64,
}

/// Name, place and hours.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NightView {
    /// Name of the outing.
    pub name: String,
    /// Name of the beach.
    pub beach: String,
    /// Local date.
    pub date: String,
    /// IANA zone of the beach, of all clocks.
    pub zone: String,
    /// Wanted begin, local time with offset.
    pub from: String,
    /// Wanted end.
    pub until: String,
    /// Last bait in.
    pub last_bait_in: Option<String>,
    /// When the crew is off the sand at the latest: last bait in, long fight, pack-up.
    pub off_the_sand: Option<String>,
}

/// A fish as the plan reckons it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FishView {
    /// Id of the species pack.
    pub species: String,
    /// Name.
    pub name: String,
    /// Total length, m (disc width for rays).
    pub length_m: f64,
    /// Mass, kg: central and heavy end.
    pub mass_kg: f64,
    /// Heavy end, kg.
    pub heavy_kg: f64,
}

/// A fish that may come along.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AlsoLikely {
    /// The fish at its likely upper size.
    pub fish: FishView,
    /// Chance of an empty spool.
    pub spooled: Chance,
    /// Chance of a parting with much line trailing.
    pub parted_trailing: Chance,
    /// Chance that the crew cuts at the rod.
    pub cut_at_rod: Chance,
    /// Chance of death after release, low, central, high.
    pub death_after_release: Band<f64>,
    /// Minute by which the crew cuts if it is such a fish.
    pub fight_limit_min: Option<f64>,
    /// What to do when it takes.
    pub advice: String,
}

/// One part of the load path.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartView {
    /// What it is.
    pub name: String,
    /// What it bears, N.
    pub capacity_n: f64,
    /// What it feels with a full spool, N.
    pub demand_full_n: f64,
    /// Margin with a full spool.
    pub margin_full: f64,
    /// What it feels at the worst line out, card followed, N.
    pub demand_worst_n: f64,
    /// Margin there.
    pub margin_worst: f64,
    /// Metres of line the fish trails if it parts there.
    pub trailing_m: f64,
    /// Weakest grade among the figures that move it.
    pub grade: crate::facts::Grade,
}

/// The load path.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PathView {
    /// Weakest part at the worst place.
    pub weakest: String,
    /// Its margin with a full spool.
    pub margin_full: f64,
    /// The smallest margin at the worst line out, card followed.
    pub margin_low_spool: f64,
    /// The same with the lever left at fight.
    pub margin_low_spool_unbacked: f64,
    /// Worst line out, m.
    pub worst_line_out_m: f64,
    /// Greatest drag at the reel (full spool) that keeps every margin at the worst place, N.
    pub greatest_drag_n: f64,
    /// Part by part from the spool to the hook.
    pub parts: Vec<PartView>,
}

/// One row of the drag card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardRow {
    /// Line out, m.
    pub line_out_m: f64,
    /// Depth of the line below the rim, mm.
    pub spool_depth_mm: f64,
    /// What shows on the spool.
    pub seen: String,
    /// Drag at the tip, N.
    pub drag_tip_n: f64,
    /// Drag at the hook, N.
    pub drag_hook_n: f64,
    /// Share of the fight setting to which the lever is backed off here (1 = not at all).
    pub back_off_to: f64,
}

/// A line far out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FarView {
    /// Distance of the bait, m.
    pub distance_m: f64,
    /// Line reckoned as out, its belly counted, m.
    pub line_out_m: f64,
    /// Farthest that is wise, m; nothing where the tackle is not known well enough.
    pub wise_m: Option<f64>,
    /// Why not farther.
    pub because: Option<String>,
    /// All bounds, nearest first.
    pub bounds: Vec<FarBoundView>,
    /// Boats an hour over the line's water: the crew's count and its 90 % band.
    pub boats_per_h: Option<Band<f64>>,
    /// Hours of soak.
    pub soak_h: Option<f64>,
    /// Length of line shallower than a propeller, m.
    pub shallow_m: Option<Band<f64>>,
    /// Chance of a boat over the line in the soak.
    pub boat_chance: Option<Band<f64>>,
    /// Minutes to wind the bait in.
    pub wind_in_min: Option<f64>,
    /// Seconds from the sight of a boat's lights until it is over the line, reaction taken off: fast, middling, slow boat.
    pub warning_s: Option<Band<f64>>,
    /// Seconds until a boat that has the line has stripped the spool.
    pub stripped_s: Option<f64>,
    /// Most that a strike of two metres adds at the hook, N.
    pub strike_at_hook_n: Option<f64>,
}

/// One bound on the distance of a bait.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FarBoundView {
    /// By what.
    pub by: crate::tackle::far_out::BoundBy,
    /// Farthest bait that keeps it, m.
    pub most_m: f64,
}

/// Where to put the lever.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DragSetting {
    /// Soak, strike or fight.
    pub what: String,
    /// Drag at the reel, full spool, N.
    pub drag_n: f64,
    /// Where to put it, in words.
    pub lever: String,
}

/// Sinker, line and bait in the strongest current of the night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoldView {
    /// Whether the sinker holds.
    pub answer: crate::hold::Answer,
    /// Straight distance to the bait, m.
    pub distance_m: f64,
    /// Current along the beach, m/s.
    pub current_mps: f64,
    /// Least load on the sinker, N: a still line.
    pub sinker_load_low_n: Option<f64>,
    /// Load in the middle of the strumming, N.
    pub sinker_load_central_n: Option<f64>,
    /// Greatest load, N; nothing where the line streams away.
    pub sinker_load_high_n: Option<f64>,
    /// Least hold, N.
    pub hold_low_n: Option<f64>,
    /// Middle hold, N.
    pub hold_central_n: Option<f64>,
    /// Greatest hold, N.
    pub hold_high_n: Option<f64>,
    /// Whence the hold.
    pub hold_by: Option<crate::hold::GripBy>,
    /// Belly of the line, m.
    pub belly_m: Option<f64>,
    /// Angle at which it comes in, degrees.
    pub arrival_deg: Option<f64>,
    /// Line out, m.
    pub line_out_m: Option<f64>,
    /// Line out of a still line, the least, m.
    pub line_out_low_m: Option<f64>,
    /// Line out in the middle of the strumming, m; nothing where it streams away.
    pub line_out_central_m: Option<f64>,
    /// Line out of the loudest line, the most, m; nothing where it streams away: then all of the reel may be out.
    pub line_out_high_m: Option<f64>,
    /// How far along the beach a walked bait may get by the end of the soak, m; nothing where it holds.
    pub walk_bound_m: Option<f64>,
    /// Pull test that would prove a sinker, N.
    pub pull_test_n: Option<f64>,
    /// Tension at the rod at which the sinker there is would hold, N.
    pub ease_to_n: Option<f64>,
    /// The line from above, from bait to rod: out to sea and along the beach, m.
    pub line_xy_m: Vec<[f64; 2]>,
}

/// The footing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct FootingView {
    /// Drilled harness hands needed.
    pub needed_harness_hands: u32,
    /// Greatest drag at the tip that the angler bears, N.
    pub limit_n: f64,
    /// What gives way first: tip, slip or back.
    pub governs: String,
    /// Cap at strike, N.
    pub cap_strike_n: f64,
    /// Cap at the worst line out, N.
    pub cap_worst_n: f64,
    /// Dry sand asked for between toes and highest wash, m.
    pub dry_distance_m: f64,
    /// Drag at the tip at strike, N.
    pub strike_tip_n: f64,
    /// Drag at the tip at the worst line out, card followed, N.
    pub worst_tip_n: f64,
    /// Who was reckoned.
    pub angler: String,
}

/// 10, 50 and 90 per cent points.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Spread {
    /// 10 % point.
    pub p10: f64,
    /// Middle.
    pub p50: f64,
    /// 90 % point.
    pub p90: f64,
}

/// Trailing line of lost fish.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Trailing {
    /// Middle, m.
    pub p50: f64,
    /// 90 % point, m.
    pub p90: f64,
}

/// How fights end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Outcomes {
    /// Leader in hand.
    pub to_hand: Chance,
    /// Spool empty.
    pub spooled: Chance,
    /// A part broke.
    pub parted: Chance,
    /// The hook pulled out.
    pub hook_pulled: Chance,
    /// The crew cut the main line.
    pub cut_at_rod: Chance,
}

/// How fish in hand leave it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct AtHand {
    /// Hook out.
    pub unhooked: Chance,
    /// Leader or hook cut.
    pub cut_at_fish: Chance,
}

/// The forecast.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ForecastView {
    /// Fights drawn.
    pub fights: u32,
    /// How they end.
    pub outcomes: Outcomes,
    /// Chance that the angler is moved off the feet.
    pub angler_moved: Chance,
    /// How fish in hand leave it.
    pub at_hand: AtHand,
    /// Trailing line of lost fish, m.
    pub trailing_m: Trailing,
    /// Minute of the crew's decision.
    pub fight_limit_min: f64,
    /// Fight minutes of fish brought to hand.
    pub minutes: Spread,
    /// Greatest line out, m.
    pub line_out_m: Spread,
    /// Peak tension at the hook, N.
    pub peak_n: Spread,
    /// Chance of death after release.
    pub death_after_release: Option<Band<f64>>,
    /// Chance that the hooked fish is alive, whatever the ending.
    pub alive: Option<Band<f64>>,
    /// Chance of a parting with more trailing line than the limit.
    pub parted_trailing: Chance,
    /// Best drag at the reel with a full spool, N; nothing when none is enough.
    pub best_drag_n: Option<f64>,
    /// No drag of this outfit is enough for this fish.
    pub none_enough: bool,
    /// Share of the spread of the fight minutes that comes from what we do not know (the rest is luck).
    pub unknown_share: Option<f64>,
}

/// A role and its person.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoleView {
    /// Role.
    pub role: String,
    /// Person, or nothing.
    pub person: Option<String>,
    /// Who could take it as well.
    pub alternates: Vec<String>,
}

/// Roles of one phase.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhaseView {
    /// `paddle-out`, `soak`, `fight`, `landing`.
    pub phase: String,
    /// Its roles.
    pub roles: Vec<RoleView>,
}

/// No number: `null` in JSON, a stroke in text. What could not be worked out must not look like nothing.
pub const NO_NUMBER: f64 = f64::NAN;

impl Chance {
    /// Not worked out.
    pub const UNKNOWN: Self = Self { p: NO_NUMBER, error: NO_NUMBER };
}

impl PathView {
    /// Not worked out.
    pub fn unknown() -> Self {
        Self {
            margin_full: NO_NUMBER,
            margin_low_spool: NO_NUMBER,
            margin_low_spool_unbacked: NO_NUMBER,
            worst_line_out_m: NO_NUMBER,
            greatest_drag_n: NO_NUMBER,
            ..Self::default()
        }
    }
}

impl FootingView {
    /// Not worked out.
    pub fn unknown() -> Self {
        Self {
            limit_n: NO_NUMBER,
            cap_strike_n: NO_NUMBER,
            cap_worst_n: NO_NUMBER,
            dry_distance_m: NO_NUMBER,
            strike_tip_n: NO_NUMBER,
            worst_tip_n: NO_NUMBER,
            governs: "unknown".to_owned(),
            ..Self::default()
        }
    }
}

impl ForecastView {
    /// Not made.
    pub fn unknown() -> Self {
        let (chance, spread) = (Chance::UNKNOWN, Spread { p10: NO_NUMBER, p50: NO_NUMBER, p90: NO_NUMBER });
        Self {
            outcomes: Outcomes {
                to_hand: chance,
                spooled: chance,
                parted: chance,
                hook_pulled: chance,
                cut_at_rod: chance,
            },
            angler_moved: chance,
            at_hand: AtHand { unhooked: chance, cut_at_fish: chance },
            trailing_m: Trailing { p50: NO_NUMBER, p90: NO_NUMBER },
            fight_limit_min: NO_NUMBER,
            minutes: spread,
            line_out_m: spread,
            peak_n: spread,
            parted_trailing: chance,
            ..Self::default()
        }
    }
}

impl Plan {
    /// The plan as JSON text: keys in declared order, numbers in the shortest form that reads back.
    pub fn to_json(&self) -> String {
        // A struct of numbers, texts and lists always serialises; a non-finite number becomes null.
        serde_json::to_string_pretty(self).unwrap_or_default()
    }
}
