//! The survival parameters of one kind, and the arithmetic on them. The model is described in [`super::survival`].

use super::hook::{Hook, HookMix, HookPlace, HookStyle};
use super::survival::{Event, FightLimit};
use crate::facts::Band;
use crate::math;
use crate::quantity::Span;

/// One level (low, central or high) of one species' parameters, ready to evaluate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Level {
    pub(super) k: f64,
    pub(super) p: f64,
    /// Hook hazards, gill floor applied.
    pub(super) hook: [f64; 4],
    /// Whether cold far below Tref is not believed at this level.
    pub(super) cold_floor: bool,
}

/// The parameters of one published kind.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Hazard {
    pub(super) low: Level,
    pub(super) central: Level,
    pub(super) high: Level,
    pub(super) w0: f64,
    pub(super) wf: f64,
    pub(super) wa: f64,
    pub(super) q10_ln: f64,
    pub(super) f_ref_min: f64,
    pub(super) a_ref_min: f64,
    pub(super) t_ref_c: f64,
    pub(super) ram: bool,
    pub(super) circle: HookMix,
    pub(super) j: HookMix,
    pub(super) linear_beyond_min: f64,
    pub(super) still_as_air: f64,
    pub(super) cold_below_c: f64,
}

impl Hazard {
    pub(super) fn mix(&self, hook: Hook) -> Option<HookMix> {
        match hook {
            Hook::At(_) => None,
            Hook::Style(HookStyle::Circle) => Some(self.circle),
            Hook::Style(HookStyle::JOrOffset) => Some(self.j),
            Hook::Mix(m) => Some(m),
        }
    }

    pub(super) fn used(&self, e: &Event) -> (f64, f64) {
        let held = e.held.min_().max(0.0);
        let still = e.held_still.min_().clamp(0.0, held);
        let fight = e.fight.min_().max(0.0) + held;
        let air = e.air.min_().max(0.0) + if self.ram { self.still_as_air * still } else { 0.0 };
        (fight, air)
    }

    pub(super) fn warmth(&self, level: &Level, t_c: f64) -> f64 {
        let above = t_c - self.t_ref_c;
        if level.cold_floor && above < -self.cold_below_c {
            return 1.0;
        }
        math::exp(self.q10_ln * above / 10.0)
    }

    pub(super) fn fight_term(&self, p: f64, f_min: f64) -> f64 {
        let knee = self.linear_beyond_min;
        if f_min <= knee {
            math::pow(f_min / self.f_ref_min, p)
        } else {
            math::pow(knee / self.f_ref_min, p) * f_min / knee
        }
    }

    /// The fight minutes at which the fight term is `x`.
    fn minutes_of(&self, p: f64, x: f64) -> f64 {
        let knee = self.linear_beyond_min;
        let at_knee = math::pow(knee / self.f_ref_min, p);
        if x <= at_knee { self.f_ref_min * math::pow(x, 1.0 / p) } else { knee * x / at_knee }
    }

    /// Share that the hook alone spares.
    pub(super) fn spared(&self, level: &Level, hook: Hook) -> f64 {
        let [jaw, foul, deep, gill] = level.hook.map(|h| math::exp(-h));
        match (hook, self.mix(hook)) {
            (Hook::At(HookPlace::Jaw), _) => jaw,
            (Hook::At(HookPlace::Foul), _) => foul,
            (Hook::At(HookPlace::Deep), _) => deep,
            (Hook::At(HookPlace::Gill), _) => gill,
            (_, Some(m)) => m.jaw * jaw + m.foul * foul + m.deep * deep + m.gill * gill,
            (_, None) => jaw,
        }
    }

    pub(super) fn death(&self, level: &Level, e: &Event) -> f64 {
        let (f, a) = self.used(e);
        let h = level.k
            * self.warmth(level, e.water.c())
            * (self.w0 + self.wf * self.fight_term(level.p, f) + self.wa * a / self.a_ref_min);
        1.0 - math::exp(-h) * self.spared(level, e.hook)
    }

    pub(super) fn band(&self, e: &Event) -> Band<f64> {
        let (a, b, c) = (self.death(&self.low, e), self.death(&self.central, e), self.death(&self.high, e));
        // The exponents of the levels cross below the reference fight; the order must hold all the same.
        Band { low: a.min(b).min(c), central: b, high: a.max(b).max(c) }
    }

    pub(super) fn limit(&self, line: f64, e: &Event) -> FightLimit {
        let level = &self.central;
        let spared = self.spared(level, e.hook);
        let allowed = -math::ln(1.0 - line) + math::ln(spared);
        let (before, a) = self.used(&Event { fight: Span::ZERO, ..*e });
        let per = level.k * self.warmth(level, e.water.c());
        let x = (allowed / per - self.w0 - self.wa * a / self.a_ref_min) / self.wf;
        if x.is_nan() || x <= 0.0 {
            return FightLimit::None;
        }
        let minutes = self.minutes_of(level.p, x) - before;
        match minutes {
            m if m <= 0.0 => FightLimit::None,
            m if m > 24.0 * 60.0 => FightLimit::Never,
            m => FightLimit::At(Span::of_min(m)),
        }
    }
}
