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
use super::hazard::Hazard;
use super::hook::{Hook, HookMix, HookStyle};
use crate::facts::Band;
use crate::math;
use crate::quantity::{Quantity, Span, Temperature};
use crate::{Error, Result};
use serde::Serialize;

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
            .map(|h| h.limit(line, e))
            .fold(FightLimit::Never, |a, b| if order(b) < order(a) { b } else { a }))
    }

    /// The mix of hook places assumed for a style of hook.
    pub fn hook_mix(&self, style: HookStyle) -> Option<HookMix> {
        self.hazards.first().and_then(|h| h.mix(Hook::Style(style)))
    }
}
