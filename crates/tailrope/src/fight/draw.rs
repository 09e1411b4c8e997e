//! One fight's draw: everything that stays the same from hook-up to the end.

use super::body::{Running, sweep_drag, swim_drag};
use super::pack::From;
use super::pack::{PARAMETERS, Pack, Par};
use super::random::{Stream, lognormal, normal, triangular};
use super::setup::{Angler, Setup, Strength};
use crate::facts::Band;
use crate::math::{exp, ln, pow};
use crate::quantity::{Force, G_M_S2};

/// Streams a fight uses; fights `2 k` and `2 k + 1` share the last one (what is unknown tonight).
const STREAMS: u64 = 4;

/// One drawn angler.
#[derive(Clone, Copy, Debug)]
pub(super) struct DrawnAngler {
    pub power: f64,
    pub hold: f64,
}

/// Everything drawn for one fight, SI.
#[derive(Clone, Debug)]
pub(super) struct Draw {
    // Fish.
    pub mass: f64,
    pub length: f64,
    pub k_disc: f64,
    pub inv_sqrt_k_disc: f64,
    pub k_body: f64,
    pub k_broad: f64,
    pub broadside: f64,
    pub ceiling: f64,
    pub ceiling_tired: f64,
    pub p_aerobic: f64,
    pub p_burst: f64,
    pub fast0: f64,
    pub slow0: f64,
    pub tau: f64,
    pub fast_first: f64,
    pub suction: f64,
    pub alarm: f64,
    pub v_calm: f64,
    pub v_hot: f64,
    pub first_speed: f64,
    pub run_first_s: f64,
    pub run_s: Ends,
    pub hold_s: Ends,
    pub come_s: f64,
    pub duration_sd: f64,
    pub p_run: Ends,
    pub p_hold: f64,
    pub near: f64,
    pub near_add: f64,
    pub psi_sd: f64,
    pub lift_drag: f64,
    // Line and reel.
    pub t_fight: f64,
    pub t_cap: f64,
    pub t_max: f64,
    pub strike: f64,
    pub phi: f64,
    pub guide: f64,
    pub capacity: f64,
    pub skin_k: f64,
    pub sweep_k: f64,
    pub air: f64,
    pub peak: f64,
    pub strengths: Vec<f64>,
    pub weakest: f64,
    // People.
    pub anglers: [DrawnAngler; 2],
    pub power_a: f64,
    pub power_b: f64,
    pub share_duty: f64,
    pub reach_high: f64,
    pub reach_low: f64,
    pub wind_high: f64,
    pub wind_low: f64,
    pub pump: f64,
    // Ends.
    pub hook_base: f64,
    pub hook_slack: f64,
    pub hook_tension: f64,
    pub reach: f64,
    pub crew_hold: f64,
    pub landing_s: f64,
}

/// A value for a fresh and for an emptied fish.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ends {
    pub fresh: f64,
    pub tired: f64,
}

impl Ends {
    pub fn at(self, left: f64) -> f64 {
        self.tired + (self.fresh - self.tired) * left
    }
}

impl Draw {
    /// Draws fight `i` of `seed`.
    #[allow(clippy::too_many_lines)] // one line a parameter
    pub fn new(pack: &Pack, s: &Setup, spool: &super::spool::Spool, seed: u64, i: u64) -> Self {
        let mut luck = Stream::new(seed, i * STREAMS);
        let mut parts = Stream::new(seed, i * STREAMS + 1);
        let mut unknown = Stream::new(seed, (i / 2) * 2 * STREAMS + 3);
        let mut u = [0.5; PARAMETERS];
        let mut value = [0.0; PARAMETERS];
        for (k, par) in Par::ALL.iter().enumerate() {
            let source = match pack.parameter(*par).from {
                From::Luck => &mut luck,
                From::Unknown => &mut unknown,
            };
            u[k] = source.uniform();
            value[k] = pack.value(*par, u[k]);
        }
        let p = |par: Par| value[par as usize];

        let fish = &s.fish;
        let b = &fish.behaviour;
        let length =
            triangular(luck.uniform(), fish.length.low.m(), fish.length.central.m(), fish.length.high.m());
        let mass = fish.mass.kg()
            * pow(length / fish.length.central.m(), fish.mass_exponent)
            * exp(luck.normal() * ln(fish.mass_factor));
        let rho = p(Par::Rho);
        let k_disc = 2.0 * rho * p(Par::DiscAreaPerL2) * length * length;
        let k_body = swim_drag(mass, length, p(Par::BodyDragMult), rho) * b.wetted_factor;
        let two_thirds = pow(mass / 100.0, 2.0 / 3.0);
        let p_aerobic = p(Par::AerobicW1kg) * pow(mass, 0.8);
        let store = p(Par::StoreJKg) * b.store_factor * mass;
        let v_calm = Running { pull: 0.0, drag: k_body, ceiling: f64::MAX, power: p_aerobic, k_disc }
            .speed(super::body::tow_speed(k_body, 0.0, p_aerobic))
            .unwrap_or(0.0);

        let o = &s.outfit;
        let phi = spool.packing(p(Par::Packing));
        // The first fight setting as set, and as it is; the crew's own readings replace the strike share.
        let error = {
            let par = pack.parameter(Par::DragError);
            exp(normal(u[Par::DragError as usize]) * ln(par.mid.max(1e-9)))
        };
        let capacity = spool.capacity(phi);
        let over_label = p(Par::LineOverLabel) * p(Par::LineAge);
        let mut strengths = Vec::with_capacity(o.line.len() + s.ends.len());
        let usual = p(Par::EndStrengthN);
        let joint = pack.parameter(Par::LineJoint);
        for (k, strength) in
            o.line.iter().map(|l| l.strength).chain(s.ends.iter().map(|e| e.strength)).enumerate()
        {
            let u = if k == 0 { u[Par::LineJoint as usize] } else { parts.uniform() };
            strengths.push(match strength {
                Strength::Label { label, wet } => {
                    label.n() * over_label * joint.at(u) * if wet { p(Par::LineWet) } else { 1.0 }
                }
                Strength::Band(b) => lognormal(normal(u), b.low.n(), b.central.n(), b.high.n()),
                Strength::Usual => usual,
                Strength::Unbreakable => f64::MAX,
            });
        }
        let weakest = strengths.iter().copied().fold(f64::MAX, f64::min);

        let hold_u = u[Par::HoldLimitN as usize];
        let angler = |a: &Angler| DrawnAngler {
            power: a.power_factor,
            hold: a.hold.map_or(p(Par::HoldLimitN), |h| at(h, hold_u)),
        };
        let first = angler(&s.people.angler);
        let handle = p(Par::HandleForce) * p(Par::HandleM) * p(Par::CrankEff);
        let turn = core::f64::consts::TAU * p(Par::CrankHz);
        Self {
            mass,
            length,
            k_disc,
            inv_sqrt_k_disc: 1.0 / k_disc.sqrt(),
            k_body,
            k_broad: 0.5 * rho * p(Par::BroadCd) * p(Par::BroadArea100kg) * two_thirds * b.wetted_factor,
            broadside: p(Par::Broadside).min(1.0),
            ceiling: p(Par::ThrustCeilingN) * pow(mass, 2.0 / 3.0),
            ceiling_tired: p(Par::CeilingTired),
            p_aerobic,
            p_burst: p(Par::BurstWKg) * mass,
            fast0: store * p(Par::FastShare),
            slow0: store * (1.0 - p(Par::FastShare)),
            tau: p(Par::FastTauS).max(1.0),
            fast_first: p(Par::FastFirst),
            suction: b.suction_per_weight * mass * G_M_S2,
            alarm: p(Par::AlarmN) * two_thirds,
            v_calm,
            v_hot: p(Par::RunSpeed) * b.speed_factor,
            first_speed: p(Par::FirstSpeedFactor),
            run_first_s: p(Par::RunFirstS) * b.first_run_factor,
            run_s: Ends { fresh: p(Par::RunSFresh), tired: p(Par::RunSTired) },
            hold_s: Ends { fresh: p(Par::HoldSFresh), tired: p(Par::HoldSTired) },
            come_s: p(Par::ComeS),
            duration_sd: p(Par::DurationSd),
            p_run: Ends { fresh: p(Par::PRunFresh) * b.run_factor, tired: p(Par::PRunTired) * b.run_factor },
            p_hold: (p(Par::PHoldOfRest) * b.hold_factor).min(1.0),
            near: p(Par::NearM),
            near_add: p(Par::NearRunAdd),
            psi_sd: b.psi_sd_deg.to_radians(),
            lift_drag: p(Par::LiftDrag).max(0.1),
            t_fight: o.drag.n() * error,
            t_cap: s.limits.drag_cap.n() * error,
            t_max: o.max_drag.n(),
            strike: o.strike_share.unwrap_or(p(Par::StrikeOverFight)),
            phi,
            guide: exp(o.guide.unwrap_or(p(Par::GuideMuTheta))),
            capacity,
            skin_k: 0.5 * rho * p(Par::LineCt) * core::f64::consts::PI,
            sweep_k: sweep_drag(rho, p(Par::LineCn), p(Par::SweepShare), 1.0),
            air: p(Par::AirM),
            peak: p(Par::PeakFactor),
            strengths,
            weakest,
            anglers: [first, s.people.relief.as_ref().map_or(first, |r| angler(&r.angler))],
            power_a: p(Par::AnglerA),
            power_b: p(Par::AnglerB),
            share_duty: p(Par::AnglerShare) * p(Par::Duty),
            reach_high: handle / o.gear_high,
            reach_low: handle / o.gear_low,
            wind_high: turn * o.gear_high,
            wind_low: turn * o.gear_low,
            pump: p(Par::PumpSpeed),
            hook_base: p(Par::HookBaseMin) / 60.0,
            hook_slack: p(Par::HookSlackMin) / 60.0,
            hook_tension: p(Par::HookTensionMin) / 60.0 / (300.0 * 300.0),
            reach: p(Par::ReachM),
            crew_hold: s.people.crew_hold.map_or(p(Par::CrewHoldN), |h| at(h, u[Par::CrewHoldN as usize])),
            landing_s: p(Par::LandingMin) * 60.0 * pow(mass / 100.0, 1.0 / 3.0) * s.people.landing_factor,
        }
    }

    /// The stream of what happens within fight `i`: modes, headings, hook and landing.
    pub fn within(seed: u64, i: u64) -> Stream {
        Stream::new(seed, i * STREAMS + 2)
    }
}

fn at(h: Band<Force>, u: f64) -> f64 {
    triangular(u, h.low.n(), h.central.n(), h.high.n())
}
