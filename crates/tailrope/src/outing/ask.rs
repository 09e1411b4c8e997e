//! One part of a plan alone: the same reckoning as in the plan, for whoever asks only that.

use super::assess::fight::{self, RunFights};
use super::assess::{Ctx, crew, fish::Reckoned, footing, tackle};
use super::facts::Facts;
use super::file::Outing;
use super::finding::Findings;
use super::make::{Options, prepared};
use super::plan::{FishView, ForecastView};
use crate::Result;
use crate::facts::Known;
use crate::fight::{DragChoice, Forecast, Setup};
use crate::law::LawReport;
use crate::quantity::Span;

/// What the rule packs say of the outing, at the moment of its wanted hours at which they leave most.
///
/// # Errors
/// As the plan: an unknown species, a level or a fact that the packs do not know.
pub fn law(facts: &Facts, outing: &Outing, options: &Options) -> Result<LawReport> {
    let ctx = prepared(facts, outing, options, &super::one_after_another)?;
    super::assess::law::at_best(&ctx)
}

/// The fight with the target, at the upper end of its band.
#[derive(Clone, Debug)]
pub struct Told {
    /// The fish.
    pub fish: FishView,
    /// Fight setting at the reel with a full spool, N.
    pub drag_n: f64,
    /// As the plan shows it; without the best drag.
    pub view: ForecastView,
    /// All of it.
    pub forecast: Forecast,
}

/// The forecast alone. `None`: spool, line, drag or angler are not known well enough to fight with.
pub fn forecast(
    facts: &Facts,
    outing: &Outing,
    options: &Options,
    run: RunFights<'_>,
) -> Result<Option<Told>> {
    with_setup(facts, outing, options, run, |ctx, _, setup, fish| {
        let drag_n = setup.outfit.drag.n();
        let told = fight::tell(ctx, setup, fish, u64::from(options.fights))?;
        Ok(Told { fish: fish.view(), drag_n, view: fight::view(&told), forecast: told.forecast })
    })
}

/// The same fish at every drag worth trying with the outfit.
pub fn drags(
    facts: &Facts,
    outing: &Outing,
    options: &Options,
    run: RunFights<'_>,
) -> Result<Option<DragChoice>> {
    with_setup(facts, outing, options, run, |ctx, gear, setup, fish| {
        fight::drags(ctx, gear, &setup, fish, u64::from(options.fights))
    })
}

fn with_setup<T>(
    facts: &Facts,
    outing: &Outing,
    options: &Options,
    run: RunFights<'_>,
    answer: impl Fn(&Ctx<'_>, &fight::Gear<'_>, Setup, &Reckoned<'_>) -> Result<T>,
) -> Result<Option<T>> {
    let ctx = prepared(facts, outing, options, run)?;
    let rules = crew::rules(&ctx);
    let assumed = Span::of_min(fight::fight_limit(&ctx, &ctx.fish.target));
    let first = crew::assigned(&ctx, &rules, assumed, Known::Unknown, 0, &[])?;
    let hands = crew::harness_hands(&ctx, &rules, &first);
    let rod = crew::anglers(&ctx, &first);
    let standing = footing::standing(&ctx, &rod, &hands)?;
    let path = tackle::path(&ctx, &mut Findings::default());
    let gear = tackle::gear(&ctx, path.as_ref(), standing.as_ref())?;
    let (Some(gear), Some(standing)) = (&gear, &standing) else { return Ok(None) };
    match fight::setup(&ctx, &gear.gear, standing, &rod, &ctx.fish.target) {
        Some(setup) => answer(&ctx, &gear.gear, setup, &ctx.fish.target).map(Some),
        None => Ok(None),
    }
}
