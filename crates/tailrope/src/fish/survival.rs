//! If it is released, does it live?
//!
//! Model (fish.md 3.2, this project's own): hazards add, `P = 1 - exp(-H)`,
//! `H = K Q10^((T - Tref)/10) [w0 + wF (F/Fref)^p + wA (A/Aref)] + Hhook`, with fight minutes F, minutes A with gills
//! in air, water T and the place of the hook. K is set so that the reference event of a species meets its
//! published rate. Held minutes count as fight, and for ram ventilators half of the still ones as air as well.
//!
//! Limits: no study gives a regression of death on fight minutes for beach-caught fish, so w, p and Q10 are
//! judgement; every answer is three values (low, central, high), never the centre alone. Past 90 min the fight
//! term grows linearly: extrapolation. Cold lowers the hazard; far below Tref the high value stays at Tref's.
//!
//! Sources: rates by Weber 2020, Mohan 2020, Binstock 2023, Kneebone 2024, Kilfoil 2017, French 2015, Gallagher
//! 2014 and others named in each species' `calibrated_on`; hook mix by Vecchio & Wenner 2007.

use super::SurvivalClass;
use crate::facts::Band;
use crate::math;
use crate::quantity::{Quantity, Span, Temperature};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Where the hook sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HookPlace {
    /// Hinge of the jaw or lip.
    Jaw,
    /// Outside the mouth: fin, body, eye.
    Foul,
    /// Throat or gut.
    Deep,
    /// Gill arch, or a bleeding gill.
    Gill,
}

impl HookPlace {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Jaw => "in the jaw",
            Self::Foul => "outside the mouth",
            Self::Deep => "in throat or gut",
            Self::Gill => "in the gills",
        }
    }
}

/// Which hook is fished: it decides the chance of each place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HookStyle {
    /// Circle hook, not offset.
    Circle,
    /// J hook, or an offset circle hook.
    JOrOffset,
}

/// Chance of each hook place. Sums to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HookMix {
    pub(super) jaw: f64,
    pub(super) foul: f64,
    pub(super) deep: f64,
    pub(super) gill: f64,
}

impl HookMix {
    /// A crew's own counts of places. Refuses all zero.
    pub fn from_counts(jaw: u32, foul: u32, deep: u32, gill: u32) -> Result<Self> {
        let total = f64::from(jaw) + f64::from(foul) + f64::from(deep) + f64::from(gill);
        if total < 1.0 {
            return Err(Error::new("no hook place was counted", "at least one fish", "use the pack's mix"));
        }
        let share = |n: u32| f64::from(n) / total;
        Ok(Self { jaw: share(jaw), foul: share(foul), deep: share(deep), gill: share(gill) })
    }
    /// Chance of a place.
    pub const fn share(&self, place: HookPlace) -> f64 {
        match place {
            HookPlace::Jaw => self.jaw,
            HookPlace::Foul => self.foul,
            HookPlace::Deep => self.deep,
            HookPlace::Gill => self.gill,
        }
    }
}

/// What is known of the hook's place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hook {
    /// Seen.
    At(HookPlace),
    /// Not seen: the mix of the species for this style of hook.
    Style(HookStyle),
    /// Not seen: this mix, for instance the crew's own counts.
    Mix(HookMix),
}

/// What happens to one fish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// Hook-up to leader in hand.
    pub fight: Span,
    /// With gills out of the water; broken wash over the gills counts as half.
    pub air: Span,
    /// Leader in hand to release with gills covered.
    pub held: Span,
    /// The part of `held` without forward flow over the gills; more than `held` counts as `held`.
    pub held_still: Span,
    /// Water temperature.
    pub water: Temperature,
    /// Where the hook sits.
    pub hook: Hook,
}

impl Event {
    /// A fish fought, not held and not aired.
    pub fn fought(fight: Span, water: Temperature, hook: Hook) -> Self {
        Self { fight, air: Span::ZERO, held: Span::ZERO, held_still: Span::ZERO, water, hook }
    }

    /// Refuses what no night can bring: more than 24 h in any part, or water outside -2 to 40 C.
    pub fn sensible(&self) -> Result<()> {
        let day = Span::of_h(24.0);
        for (name, span) in
            [("fight", self.fight), ("air", self.air), ("held", self.held), ("held still", self.held_still)]
        {
            span.within(name, Span::ZERO, day)?;
        }
        self.water.within("water temperature", Temperature::of_c(-2.0), Temperature::of_c(40.0))?;
        Ok(())
    }
}

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

/// Survival of a species after release.
#[derive(Clone, Debug, PartialEq)]
pub struct Survival {
    /// Version of the model, to be written into each log entry.
    pub model: String,
    /// Its class.
    pub class: SurvivalClass,
    /// The reference event at which the published rate is met.
    pub reference: Reference,
    /// Studies behind it.
    pub calibrated_on: String,
    /// One set of parameters; several for the unknown shark, of which the worst counts.
    pub(super) hazards: Vec<Hazard>,
}

/// The event at which a species' published rate is met.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Reference {
    /// Fight.
    pub fight: Span,
    /// Gills in air.
    pub air: Span,
    /// Water.
    pub water: Temperature,
    /// Chance of death there, with the circle-hook mix.
    pub death: Band<f64>,
}

/// Where the central risk of one event comes from. The parts sum to the central risk.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shares {
    /// Being caught at all.
    pub base: f64,
    /// Minutes of fight and of holding.
    pub fight: f64,
    /// Minutes in air, and held still where that counts as air.
    pub air: f64,
    /// Place of the hook.
    pub hook: f64,
}

/// Chance of death with what must be said beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Risk {
    /// Chance of death after release: always shown together.
    pub death: Band<f64>,
    /// Where the centre comes from.
    pub shares: Shares,
    /// Fight and holding are longer than the model's range: extrapolated.
    pub extrapolated: bool,
    /// So cold that the high value is that of the reference temperature.
    pub cold: bool,
}

/// The minute of the fight at which the central risk reaches a line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FightLimit {
    /// Already over the line at hook-up: no fight meets it.
    None,
    /// Reached after this long.
    At(Span),
    /// Not reached within a day.
    Never,
}

impl FightLimit {
    /// The limit as a time, `None` meaning no time at all.
    pub fn minutes(self) -> Option<f64> {
        match self {
            Self::None => Some(0.0),
            Self::At(t) => Some(t.min_()),
            Self::Never => None,
        }
    }
}

impl Hazard {
    fn mix(&self, hook: Hook) -> Option<HookMix> {
        match hook {
            Hook::At(_) => None,
            Hook::Style(HookStyle::Circle) => Some(self.circle),
            Hook::Style(HookStyle::JOrOffset) => Some(self.j),
            Hook::Mix(m) => Some(m),
        }
    }

    fn used(&self, e: &Event) -> (f64, f64) {
        let held = e.held.min_().max(0.0);
        let still = e.held_still.min_().clamp(0.0, held);
        let fight = e.fight.min_().max(0.0) + held;
        let air = e.air.min_().max(0.0) + if self.ram { self.still_as_air * still } else { 0.0 };
        (fight, air)
    }

    fn warmth(&self, level: &Level, t_c: f64) -> f64 {
        let above = t_c - self.t_ref_c;
        if level.cold_floor && above < -self.cold_below_c {
            return 1.0;
        }
        math::exp(self.q10_ln * above / 10.0)
    }

    fn fight_term(&self, p: f64, f_min: f64) -> f64 {
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
    fn spared(&self, level: &Level, hook: Hook) -> f64 {
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

    fn death(&self, level: &Level, e: &Event) -> f64 {
        let (f, a) = self.used(e);
        let h = level.k
            * self.warmth(level, e.water.c())
            * (self.w0 + self.wf * self.fight_term(level.p, f) + self.wa * a / self.a_ref_min);
        1.0 - math::exp(-h) * self.spared(level, e.hook)
    }

    fn band(&self, e: &Event) -> Band<f64> {
        let (a, b, c) = (self.death(&self.low, e), self.death(&self.central, e), self.death(&self.high, e));
        // The exponents of the levels cross below the reference fight; the order must hold all the same.
        Band { low: a.min(b).min(c), central: b, high: a.max(b).max(c) }
    }

    fn limit_min(&self, line: f64, e: &Event) -> FightLimit {
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

fn worse(a: Band<f64>, b: Band<f64>) -> Band<f64> {
    Band { low: a.low.max(b.low), central: a.central.max(b.central), high: a.high.max(b.high) }
}

impl Survival {
    /// Chance of death after release: low, central, high. Cheap enough for a hundred thousand fights; takes any
    /// event as it comes (negative times count as none), so check with [`Event::sensible`] what a person typed.
    pub fn death(&self, e: &Event) -> Band<f64> {
        self.hazards.iter().map(|h| h.band(e)).fold(Band::exact(0.0), worse)
    }

    /// The same, with where it comes from and what must be said beside it.
    pub fn risk(&self, e: &Event) -> Result<Risk> {
        e.sensible()?;
        let death = self.death(e);
        let mut shares = Shares { base: 0.0, fight: 0.0, air: 0.0, hook: 0.0 };
        let (mut extrapolated, mut cold) = (false, false);
        let worst =
            self.hazards.iter().map(|h| (h, h.death(&h.central, e))).max_by(|(_, p), (_, q)| p.total_cmp(q));
        if let Some((h, p)) = worst {
            let (f, a) = h.used(e);
            let scale = h.central.k * h.warmth(&h.central, e.water.c());
            let base = scale * h.w0;
            let fight = scale * h.wf * h.fight_term(h.central.p, f);
            let air = scale * h.wa * a / h.a_ref_min;
            let hook = -math::ln(h.spared(&h.central, e.hook));
            let sum = base + fight + air + hook;
            let part = |x: f64| if sum > 0.0 { p * x / sum } else { 0.0 };
            shares = Shares { base: part(base), fight: part(fight), air: part(air), hook: part(hook) };
            extrapolated = f > h.linear_beyond_min;
            cold = e.water.c() - h.t_ref_c < -h.cold_below_c;
        }
        Ok(Risk { death, shares, extrapolated, cold })
    }

    /// Chance of death at the reference event with the mix of circle hooks, by the model.
    pub fn reference_death(&self) -> Band<f64> {
        let r = self.reference;
        let hook = Hook::Style(HookStyle::Circle);
        self.death(&Event { air: r.air, ..Event::fought(r.fight, r.water, hook) })
    }

    /// A fish lost with the hook in (line parted, cut at the rod, spooled): minutes to the loss, no air. A *floor*:
    /// no figure for the harm of trailing line was found, so show the trailing length beside it.
    pub fn lost(&self, fight: Span, water: Temperature, hook: Hook) -> Band<f64> {
        self.death(&Event::fought(fight, water, hook))
    }

    /// The fight minute at which the central risk reaches `line` (0 to 1, exclusive), air, holding, water and
    /// hook as in `e`, whatever `e.fight` says. Refuses a line outside 0 to 1.
    pub fn fight_limit(&self, line: f64, e: &Event) -> Result<FightLimit> {
        if !(line > 0.0 && line < 1.0) {
            return Err(Error::new(
                format!("a risk of {line} is no line to keep"),
                "above 0 and below 1",
                "give the share of released fish that may die, like 0.25",
            ));
        }
        e.sensible()?;
        let order = |l: FightLimit| l.minutes().unwrap_or(f64::INFINITY);
        Ok(self
            .hazards
            .iter()
            .map(|h| h.limit_min(line, e))
            .fold(FightLimit::Never, |a, b| if order(b) < order(a) { b } else { a }))
    }

    /// The mix of hook places assumed for a style of hook.
    pub fn hook_mix(&self, style: HookStyle) -> Option<HookMix> {
        self.hazards.first().and_then(|h| h.mix(Hook::Style(style)))
    }
}

/// How the fish left, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// Kicked off strongly.
    Strong,
    /// Slow but upright.
    SlowButUpright,
    /// Rolled, or no tail beat.
    RolledOrNoTailBeat,
    /// No reflex of jaw or eyelid.
    NoJawOrEyelidReflex,
    /// Dead at release.
    Dead,
    /// Not seen.
    NotSeen,
}

/// Factors on the odds of death by condition at release.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ConditionFactors {
    pub(super) strong: f64,
    pub(super) slow: f64,
    pub(super) rolled: f64,
    pub(super) no_reflex: f64,
}

impl ConditionFactors {
    /// Chance of death after the release was seen: posterior odds = prior odds x factor (judgement, after Musyl &
    /// Gilman 2018 and Jerome 2018). `SlowButUpright` and `NotSeen` leave it as it was.
    pub fn update(&self, prior: Band<f64>, seen: Condition) -> Band<f64> {
        let factor = match seen {
            Condition::Strong => self.strong,
            Condition::SlowButUpright => self.slow,
            Condition::RolledOrNoTailBeat => self.rolled,
            Condition::NoJawOrEyelidReflex => self.no_reflex,
            Condition::NotSeen => 1.0,
            Condition::Dead => return Band::exact(1.0),
        };
        prior.map(|p| {
            let p = p.clamp(0.0, 1.0);
            p * factor / (1.0 - p + p * factor)
        })
    }
}

/// Chance that the hooked fish is alive whatever the ending: the sum over endings of chance x (1 - death). This
/// is the figure a plan is judged by; chances must sum to 1 within a thousandth.
pub fn alive_whatever_the_ending(endings: &[(f64, Band<f64>)]) -> Result<Band<f64>> {
    let total: f64 = endings.iter().map(|(chance, _)| chance).sum();
    if (total - 1.0).abs() > 1e-3 || endings.iter().any(|(c, _)| !(0.0..=1.001).contains(c)) {
        return Err(Error::new(
            format!("the chances of the endings sum to {total}"),
            "chances between 0 and 1 that sum to 1",
            "count every ending once",
        ));
    }
    let alive = |death: fn(&Band<f64>) -> f64| endings.iter().map(|(c, d)| c * (1.0 - death(d))).sum();
    Ok(Band { low: alive(|d| d.high), central: alive(|d| d.central), high: alive(|d| d.low) })
}
