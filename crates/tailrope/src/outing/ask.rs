//! One part of a plan alone: the same reckoning as in the plan, for whoever asks only that.

use super::assess::fight::{self, RunFights};
use super::assess::{Ctx, crew, fish::Reckoned, footing, tackle};
use super::facts::Facts;
use super::file::Outing;
use super::finding::Findings;
use super::make::{Options, prepared};
use super::plan::{FishView, ForecastView};
use crate::facts::Known;
use crate::fight::{DragChoice, Forecast, Setup};
use crate::law::LawReport;
use crate::people::{AnglerStand, Demand, HarnessHand, Person};
use crate::quantity::{Force, Length, Slope, Span, Speed};
use crate::sea::surf::Swell;
use crate::{Error, Result};

/// What the rule packs say of the outing, at the moment of its wanted hours at which they leave most.
///
/// # Errors
/// As the plan: an unknown species, a level or a fact that the packs do not know.
pub fn law(facts: &Facts, outing: &Outing, options: &Options) -> Result<LawReport> {
    let ctx = prepared(facts, outing, options, &super::one_after_another)?;
    super::assess::law::at_best(&ctx)
}

/// The sea of the night as the plan takes it, for whoever asks of the bait alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BaitSea {
    /// Current along the beach, of all that is typed, reported and driven by the waves the worst.
    pub along: Known<Speed>,
    /// Waves offshore.
    pub swell: Known<Swell>,
    /// How far from people in the water a bait must stay.
    pub clear: Length,
}

/// The sea in which the bait lies, the worst of the wanted hours.
///
/// # Errors
/// As the plan.
pub fn bait_sea(facts: &Facts, outing: &Outing, options: &Options) -> Result<BaitSea> {
    let ctx = prepared(facts, outing, options, &super::one_after_another)?;
    let c = &ctx.conditions;
    Ok(BaitSea { along: c.along, swell: c.swell, clear: super::assess::hold::clear(&ctx.limits) })
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

/// One person of the outing with the rod in hand, as the plan reckons the footing.
#[derive(Clone, Debug)]
pub struct OnTheSand {
    /// Who.
    pub angler: String,
    /// The stand: mass, stance, sand, slope as the outing has them.
    pub stand: AnglerStand,
    /// Those drilled at the strap, by name.
    pub hands: Vec<(String, HarnessHand)>,
    /// Drag at the tip at strike and at the worst line out with the card followed, start-up included; `None` while the
    /// tackle is not known well enough.
    pub demand: Option<Demand>,
    /// Start-up over running drag.
    pub start_up: f64,
    /// What the weakest part of line and rig bears, where all are known.
    pub weakest: Option<Force>,
    /// Dry sand between toes and the highest wash.
    pub dry_sand: Known<Length>,
    /// Slope of the foreshore.
    pub foreshore: Known<Slope>,
}

/// The footing of one person of the outing: by name, else of the weaker of those who hold the rod in the plan. `None`:
/// nobody holds the rod, or the mass is not known.
///
/// # Errors
/// A name that nobody of the outing has; as the plan.
pub fn on_the_sand(
    facts: &Facts,
    outing: &Outing,
    options: &Options,
    who: Option<&str>,
) -> Result<Option<OnTheSand>> {
    let ctx = prepared(facts, outing, options, &super::one_after_another)?;
    let rules = crew::rules(&ctx);
    let assumed = Span::of_min(fight::fight_limit(&ctx, &ctx.fish.target));
    let first = crew::assigned(&ctx, &rules, assumed, Known::Unknown, 0, &[])?;
    let mut rod = crew::anglers(&ctx, &first);
    if let Some(name) = who {
        let wanted = name.trim().to_lowercase();
        let person = outing.person.iter().find(|p| p.name.to_lowercase() == wanted).ok_or_else(|| {
            let names: Vec<&str> = outing.person.iter().map(|p| p.name.as_str()).collect();
            let name: String = name.chars().take(40).collect();
            Error::new(format!("nobody here is called `{name}`"), names.join(", "), "give one of these names")
        })?;
        rod = vec![person];
    }
    let offered: Vec<&Person> = crew::harness_hands(&ctx, &rules, &first);
    let offered: Vec<&Person> =
        offered.into_iter().filter(|h| !rod.iter().any(|p| p.name == h.name)).collect();
    let Some(standing) = footing::standing(&ctx, &rod, &offered)? else { return Ok(None) };
    let named = offered.iter().filter(|p| !p.mass.is_unknown()).map(|p| p.name.clone());
    let hands = named.zip(standing.hands.iter().copied()).collect();
    let mut unheard = Findings::default();
    let path = tackle::path(&ctx, &mut unheard);
    let gear = tackle::gear(&ctx, path.as_ref(), Some(&standing))?;
    let tackled = tackle::assess(&ctx, path.as_ref(), gear.as_ref(), None, &mut unheard)?;
    let weakest = path.as_ref().and_then(|p| {
        let bears = p.parts().iter().map(|part| part.strength.as_ref().map(|s| s.band.central));
        bears.collect::<Option<Vec<Force>>>()?.into_iter().reduce(Force::min)
    });
    Ok(Some(OnTheSand {
        angler: standing.angler,
        stand: standing.stand,
        hands,
        demand: tackled.tip.map(|t| Demand { strike: t.strike, worst: t.worst.max(t.strike) }),
        start_up: gear.map_or(facts.tackle.drag.start_up.value.central, |g| g.gear.start_up).max(1.0),
        weakest,
        dry_sand: outing.stand.toes_above_wash,
        foreshore: outing.beach.foreshore_slope,
    }))
}
