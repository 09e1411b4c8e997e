//! If such a fish takes this bait tonight: the forecast, and what it means for fish and people.

use super::Ctx;
use super::fish::Reckoned;
use super::footing::Standing;
use crate::Result;
use crate::facts::{Band, Grade, Known};
use crate::fight::{
    Angler, AtHand, CardPoint, DragChoice, EndPart, Ended, Ending, Fights, Fish, Forecast,
    Limits as FightLimits, LinePiece, Outfit, Part, People, Relief, Setup, Strength, choose_drag,
    drags_to_try, power_factor_of_age, with_drag,
};
use crate::fish::{Event, FightLimit, Hook, HookStyle as MixStyle};
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::{
    AlsoLikely, AtHand as AtHandView, Chance, ForecastView, NO_NUMBER, Outcomes, Spread, Trailing,
};
use crate::outing::{Severity, Topic};
use crate::people::Person;
use crate::quantity::{Force, Length, Span, Temperature};
use crate::tackle::path::PartKind;
use crate::tackle::{HookStyle, LoadPath, Material};

/// Runs so many fights; the face decides on how many threads. The result must not depend on it.
pub type RunFights<'r> = &'r (dyn Fn(&Fights, u64) -> Part + Sync);

/// Runs them one after another.
pub fn one_after_another(fights: &Fights, n: u64) -> Part {
    Part::merge(crate::fight::chunks(n).map(|r| fights.chunk(r)))
}

/// Longest fight that is followed, min.
const END_MIN: f64 = 120.0;
/// Minute of a fresh decision for the people's sake, when the crew set none (project default).
const PEOPLE_MIN: f64 = 45.0;
/// Without gaining line for so long something is done (project default).
const NO_GAIN_MIN: f64 = 10.0;
/// Minutes from the leader in hand to the fish secured where no fight tells them (fight pack, `landing_min`, middle;
/// estimate).
const LANDING_MIN: f64 = 1.6;
/// Delay of the lever behind the card (project default).
const LEVER_S: f64 = 3.0;

/// What the set-ups of all fish share.
pub(in crate::outing) struct Gear<'a> {
    /// The load path.
    pub path: &'a LoadPath,
    /// Fight setting at the reel, full spool.
    pub fight: Force,
    /// Strike as a share of it.
    pub strike_share: Option<f64>,
    /// Greatest drag of the reel.
    pub max_drag: Force,
    /// Gears, fastest first.
    pub gears: Vec<f64>,
    /// Breakaway over running drag.
    pub start_up: f64,
    /// Back-off card.
    pub card: Vec<CardPoint>,
    /// Greatest drag that footing and parts allow at the reel, full spool.
    pub drag_cap: Force,
    /// Drag that footing alone allows.
    pub footing_cap: Force,
    /// Drag that bare arms allow; nothing where the angler is clipped in.
    pub arms_cap: Option<Force>,
    /// Drag that the parts alone allow.
    pub parts_cap: Force,
    /// Minutes of landing against the usual.
    pub landing_factor: f64,
}

/// The set-up of fights with one fish. `None` when the bait's distance is unknown.
pub(in crate::outing) fn setup(
    ctx: &Ctx<'_>,
    gear: &Gear<'_>,
    standing: &Standing,
    rod: &[&Person],
    fish: &Reckoned<'_>,
) -> Option<Setup> {
    let bait = ctx.outing.bait.distance.get()?;
    let body = fish.species.body_length(fish.length).map_or(fish.length.length, |c| c.value.length);
    let limit = fight_limit(ctx, fish);
    let angler = |i: usize, p: &Person| Angler {
        power_factor: p.age.get().map_or(0.9, |a| power_factor_of_age(f64::from(a))),
        hold: standing.bands.get(i).copied(),
    };
    let (first, second) = (rod.first()?, rod.get(1));
    Some(Setup {
        fish: Fish {
            length: Band::exact(body),
            // Parts and spool are judged at the heavy end: the mass is taken there and not drawn again.
            mass: fish.heavy,
            mass_exponent: 3.0,
            mass_factor: 1.0,
            behaviour: ctx.facts.fight.behaviour(&fish.species.id),
        },
        outfit: Outfit {
            radius: gear.path.spool().full_radius(),
            arbor: gear.path.spool().spool().arbor,
            width: gear.path.spool().spool().width,
            line: line(ctx, gear.path),
            max_drag: gear.max_drag,
            drag: gear.fight,
            strike_share: gear.strike_share,
            start_up: gear.start_up,
            guide: Some(crate::math::ln(gear.path.guide_factor())),
            gear_high: gear.gears.iter().copied().fold(0.3, f64::max),
            gear_low: gear.gears.iter().copied().fold(12.0, f64::min).max(0.3),
            card: gear.card.clone(),
        },
        ends: ends(gear.path),
        bait: bait.max(Length::of_m(7.5)),
        people: People {
            angler: angler(0, first),
            relief: second.map(|p| Relief {
                angler: angler(1, p),
                every: Span::of_min(ctx.limits.figure("crew.relief_min")),
            }),
            lever_delay: Span::of_s(LEVER_S),
            crew_hold: None,
            landing_factor: gear.landing_factor,
        },
        limits: FightLimits {
            fight: Span::of_min(limit),
            no_gain: Span::of_min(NO_GAIN_MIN),
            end: Span::of_min(END_MIN.max(limit)),
            cut_at_once: false,
            drag_cap: gear.drag_cap,
        },
        at_hand: AtHand {
            always_cut: fish.species.presumed_protected(),
            unhook_within: Span::of_min(if fish.species.cut_first() { 0.4 } else { 5.0 }),
        },
        step: Setup::STEP,
        only: None,
    })
}

/// Line on the reel, the piece nearest the fish first, each with the weaker of its body and its outer joint.
fn line(ctx: &Ctx<'_>, path: &LoadPath) -> Vec<LinePiece> {
    let pieces = path.spool().pieces();
    let outfit = ctx.main_outfit();
    let mut place = Length::ZERO;
    let mut all = Vec::new();
    for (i, wound) in pieces.iter().enumerate().rev() {
        let (outer, inner) = (place, place + wound.length);
        place = inner;
        let strength = path
            .parts()
            .iter()
            .filter(|p| {
                (p.kind == PartKind::Line && (p.outer - outer).m().abs() < 1e-6 && p.inner > outer)
                    || (p.kind == PartKind::Joint && (p.outer - outer).m().abs() < 1e-6)
            })
            .filter_map(|p| p.strength.as_ref())
            .min_by(|a, b| a.band.central.n().total_cmp(&b.band.central.n()))
            .map_or(Strength::Usual, |s| Strength::Band(s.band));
        let braid =
            outfit.line.get(i).and_then(|l| l.material.get()).is_some_and(|m| m == Material::HmpeBraid);
        all.push(LinePiece {
            name: wound.name.clone(),
            length: Some(wound.length),
            diameter: wound.diameter,
            packing: wound.packing,
            skin_factor: if braid { 1.5 } else { 1.0 },
            strength,
        });
    }
    all
}

/// Parts of the rig, each with what the fish trails if it lets go.
fn ends(path: &LoadPath) -> Vec<EndPart> {
    let rig = path.rig_length().get().unwrap_or(Length::ZERO);
    path.parts()
        .iter()
        .filter(|p| p.outer < Length::ZERO || (p.outer <= Length::ZERO && p.kind == PartKind::Connector))
        .filter_map(|p| {
            let strength = Strength::Band(p.strength.as_ref()?.band);
            Some(EndPart { name: p.name.clone(), strength, trailing: (rig + p.outer).max(Length::ZERO) })
        })
        .take(crate::fight::MAX_PARTS)
        .collect()
}

/// Water temperature for the survival model: unknown water counts as the warm end of what the fish likes.
fn water(ctx: &Ctx<'_>, fish: &Reckoned<'_>) -> Temperature {
    ctx.conditions.water_of_fish.get().unwrap_or(fish.species.water.prefer[1])
}

/// Which mix of hook places the rig gives.
fn hook(ctx: &Ctx<'_>) -> Hook {
    let circle = ctx.outing.rig.hook_style() == Known::Known(HookStyle::Circle)
        && ctx.outing.rig.hook_offset() == Known::Known(false);
    Hook::Style(if circle { MixStyle::Circle } else { MixStyle::JOrOffset })
}

/// The event after the leader is in hand, for a fight of so many minutes.
fn event(ctx: &Ctx<'_>, fish: &Reckoned<'_>, minutes: f64, landing_minutes: f64) -> Event {
    let l = &ctx.outing.landing;
    let handling = l.handling.get().unwrap_or(Span::of_min(5.0));
    let held = Span::of_min(landing_minutes + handling.min_());
    // Unknown air counts as the two minutes that are the most a fish should bear.
    let air = l.air.get().unwrap_or(Span::of_min(2.0));
    Event {
        fight: Span::of_min(minutes),
        air,
        held,
        held_still: held,
        water: water(ctx, fish),
        hook: hook(ctx),
    }
}

/// Chance of death of a fish after each ending.
fn death(ctx: &Ctx<'_>, fish: &Reckoned<'_>, e: &Ending) -> Band<f64> {
    if e.ended.to_hand() {
        fish.species.survival.death(&event(ctx, fish, e.minutes, e.landing_minutes))
    } else {
        fish.species.survival.lost(Span::of_min(e.minutes), water(ctx, fish), hook(ctx))
    }
}

/// Minute of the crew's decision: its own limit (or the people's minute), never later than the minute at which
/// the fish's central risk reaches the crew's line.
pub(in crate::outing) fn fight_limit(ctx: &Ctx<'_>, fish: &Reckoned<'_>) -> f64 {
    let people = ctx.outing.landing.fight_limit.get().map_or(PEOPLE_MIN, Span::min_);
    let line =
        ctx.limits.row("fish.death").and_then(|r| r.stop).map_or(0.25, super::super::limits::Border::at);
    let limit = fish
        .species
        .survival
        .fight_limit(line, &event(ctx, fish, 0.0, LANDING_MIN))
        .ok()
        .and_then(FightLimit::minutes);
    people.min(limit.unwrap_or(f64::INFINITY)).max(1.0)
}

/// A forecast and what the plan reads of it.
pub(in crate::outing) struct Told {
    pub forecast: Forecast,
    pub parted_trailing: Chance,
    pub minutes_p80: Option<f64>,
    pub minutes_p90_any: f64,
    pub limit_min: f64,
}

/// Runs the fights with one fish.
pub(in crate::outing) fn tell(ctx: &Ctx<'_>, setup: Setup, fish: &Reckoned<'_>, n: u64) -> Result<Told> {
    let limit_min = setup.limits.fight.min_();
    let fights = Fights::new(&ctx.facts.fight, setup, ctx.options.seed)?;
    let all = (ctx.run)(&fights, n);
    let forecast = fights.forecast(&all, |e| death(ctx, fish, e));
    let far = ctx.limits.figure("forecast.trailing_m");
    let count =
        all.endings.iter().filter(|e| matches!(e.ended, Ended::Parted { .. }) && e.trailing_m > far).count();
    let total = all.endings.len().max(1) as f64;
    let p = count as f64 / total;
    let q = (count as f64 + 0.5) / (total + 1.0);
    let mut minutes: Vec<f64> = all.endings.iter().filter(|e| e.ended.to_hand()).map(|e| e.minutes).collect();
    minutes.sort_by(f64::total_cmp);
    let minutes_p80 = (minutes.len() >= 10).then(|| minutes[(minutes.len() * 4 / 5).min(minutes.len() - 1)]);
    Ok(Told {
        parted_trailing: Chance { p, error: (q * (1.0 - q) / total).sqrt() },
        minutes_p80,
        minutes_p90_any: forecast.minutes_any.p90,
        limit_min,
        forecast,
    })
}

const fn chance(c: crate::fight::Chance) -> Chance {
    Chance { p: c.p, error: c.error }
}

/// The view of a forecast.
pub(in crate::outing) fn view(t: &Told) -> ForecastView {
    let f = &t.forecast;
    let spread = |s: crate::fight::Spread| Spread { p10: s.p10, p50: s.p50, p90: s.p90 };
    ForecastView {
        fights: u32::try_from(f.fights).unwrap_or(u32::MAX),
        outcomes: Outcomes {
            to_hand: chance(f.outcomes.to_hand),
            spooled: chance(f.outcomes.spooled),
            parted: chance(f.outcomes.parted),
            hook_pulled: chance(f.outcomes.hook_pulled),
            cut_at_rod: chance(f.outcomes.cut_at_rod),
        },
        angler_moved: chance(f.angler_moved),
        at_hand: AtHandView {
            unhooked: chance(f.at_hand.unhooked),
            cut_at_fish: chance(f.at_hand.cut_at_fish),
        },
        trailing_m: f.trailing_m.map_or(Trailing::default(), |t| Trailing { p50: t.p50, p90: t.p90 }),
        fight_limit_min: t.limit_min,
        minutes: f.minutes.map_or(Spread { p10: NO_NUMBER, p50: NO_NUMBER, p90: NO_NUMBER }, spread),
        line_out_m: spread(f.line_out_m),
        peak_n: spread(f.peak_n),
        death_after_release: f.death_after_release,
        alive: Some(f.alive),
        parted_trailing: t.parted_trailing,
        best_drag_n: None,
        none_enough: false,
        unknown_share: f.doubt_minutes.map(|d| {
            let (u, l) = (d.unknown * d.unknown, d.luck * d.luck);
            if u + l > 0.0 { u / (u + l) } else { 0.0 }
        }),
    }
}

/// The best drag for the target within what people, parts and spool allow.
pub(in crate::outing) fn best_drag(
    ctx: &Ctx<'_>,
    gear: &Gear<'_>,
    setup: &Setup,
    fish: &Reckoned<'_>,
    n: u64,
) -> Result<(Option<f64>, bool)> {
    let choice = drags(ctx, gear, setup, fish, n)?;
    Ok((choice.best_drag_n, choice.none_enough))
}

/// The drags of this outfit one by one.
pub(in crate::outing) fn drags(
    ctx: &Ctx<'_>,
    gear: &Gear<'_>,
    setup: &Setup,
    fish: &Reckoned<'_>,
    n: u64,
) -> Result<DragChoice> {
    let mut forecasts = Vec::new();
    for drag in drags_to_try(setup) {
        forecasts.push((drag, tell(ctx, coarse(with_drag(setup, drag)), fish, n)?.forecast));
    }
    let stop = |id: &str, otherwise: f64| {
        ctx.limits.row(id).and_then(|r| r.stop).map_or(otherwise, super::super::limits::Border::at)
    };
    let limits = crate::fight::DragLimits {
        footing_cap: gear.arms_cap.map_or(gear.footing_cap, |a| a.min(gear.footing_cap)),
        parts_cap: gear.parts_cap,
        spooled_at_most: stop("forecast.spooled", 0.2),
        parted_at_most: stop("forecast.parted", 0.2),
        moved_at_most: stop("forecast.angler_moved", 0.05),
        ..crate::fight::DragLimits::default()
    };
    Ok(choose_drag(&forecasts, &limits))
}

/// Judges the forecast of the target. `None`: it could not be made.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, told: Option<&Told>, f: &mut Findings) {
    let l = &ctx.limits;
    let Some(t) = told else {
        for id in [
            "forecast.spooled",
            "forecast.parted",
            "forecast.cut_at_rod",
            "forecast.angler_moved",
            "fish.death",
        ] {
            f.judged(&l.number(id, Known::Unknown), "", vec![]);
        }
        return;
    };
    let o = &t.forecast.outcomes;
    let a_name = article(&ctx.fish.target.species.name, true);
    let size = ctx.options.units.size(ctx.fish.target.total);
    let reason = |what: &str, c: Chance| {
        vec![
            Reason::new(what, c.p, "-", Grade::Estimate, "fight model"),
            Reason::new("its Monte Carlo error", c.error, "-", Grade::Derived, "fight model"),
        ]
    };
    let say = |c: Chance| crate::outing::text::chance(c);
    let spooled = chance(o.spooled);
    f.judged(
        &l.number("forecast.spooled", Known::Known(spooled.p)),
        format!("{a_name} of {size} empties the spool in {} of fights.", say(spooled)),
        reason("chance of an empty spool", spooled),
    );
    let parted = t.parted_trailing;
    f.judged(
        &l.number("forecast.parted", Known::Known(parted.p)),
        format!("{a_name} of {size} breaks off with much line in {} of fights.", say(parted)),
        reason("chance of a parting with much line", parted),
    );
    let cut = chance(o.cut_at_rod);
    f.judged(
        &l.number("forecast.cut_at_rod", Known::Known(cut.p)),
        format!(
            "A fight with {} of {size} ends by a cut at the rod in {}.",
            article(&ctx.fish.target.species.name, false),
            say(cut)
        ),
        reason("chance of a cut at the rod", cut),
    );
    fish_death(ctx, t, f);
}

/// The same set-up in steps of a second: half the work, the same tables.
pub(in crate::outing) fn coarse(mut setup: Setup) -> Setup {
    setup.step = Span::of_s(1.0);
    setup
}

/// *Angler moved* is judged for the largest likely fish.
pub(in crate::outing) fn assess_moved(ctx: &Ctx<'_>, fish: &Reckoned<'_>, t: &Told, f: &mut Findings) {
    let moved = chance(t.forecast.angler_moved);
    f.judged(
        &ctx.limits.number("forecast.angler_moved", Known::Known(moved.p)),
        format!(
            "The largest likely fish ({}, {}) moves the angler in {} of fights.",
            fish.species.name,
            ctx.options.units.size(fish.total),
            crate::outing::text::chance(moved)
        ),
        vec![
            Reason::new("chance that the angler is moved", moved.p, "-", Grade::Estimate, "fight model"),
            Reason::new("its Monte Carlo error", moved.error, "-", Grade::Derived, "fight model"),
        ],
    );
}

/// Chance of death of the target after the 80 % fight; where hardly any is brought to hand, at the crew's decision.
pub(in crate::outing) fn death_at_80(ctx: &Ctx<'_>, t: &Told) -> Band<f64> {
    let fish = &ctx.fish.target;
    fish.species.survival.death(&event(ctx, fish, t.minutes_p80.unwrap_or(t.limit_min), LANDING_MIN))
}

fn fish_death(ctx: &Ctx<'_>, t: &Told, f: &mut Findings) {
    let fish = &ctx.fish.target;
    let (p, minutes) = (death_at_80(ctx, t), t.minutes_p80.unwrap_or(t.limit_min));
    f.judged(
        &ctx.limits.number("fish.death", Known::Known(p.central)),
        format!(
            "{} released after the 80 % fight ({}) dies in {:.0} % (low {:.0}, high {:.0}).",
            article(&fish.species.name, true),
            ctx.options.units.span(Span::of_min(minutes)),
            p.central * 100.0,
            p.low * 100.0,
            p.high * 100.0
        ),
        vec![
            Reason::new("chance of death, central", p.central, "-", Grade::Estimate, "survival model"),
            Reason::new("low", p.low, "-", Grade::Estimate, "survival model"),
            Reason::new("high", p.high, "-", Grade::Estimate, "survival model"),
            Reason::new("80 % fight", minutes, "min", Grade::Estimate, "fight model"),
        ],
    );
    if let Some(alive) = Some(t.forecast.alive) {
        f.note(
            Topic::Fish,
            format!(
                "Whatever the ending, the hooked fish is alive in {:.0} % (low {:.0}, high {:.0}); the harm of trailing line is not in it.",
                alive.central * 100.0,
                alive.low * 100.0,
                alive.high * 100.0
            ),
            vec![Reason::new("alive, central", alive.central, "-", Grade::Estimate, "fight and survival model")],
            Some("fish.alive"),
        );
    }
}

/// Judges a fish that may come along: at most *caution*.
pub(in crate::outing) fn also(ctx: &Ctx<'_>, fish: &Reckoned<'_>, t: &Told, f: &mut Findings) -> AlsoLikely {
    let l = &ctx.limits;
    let o = &t.forecast.outcomes;
    let mut against: Vec<String> = Vec::new();
    let mut because = Vec::new();
    let mut worst = None;
    for (id, c, words) in [
        ("forecast.spooled", chance(o.spooled), "empties the spool"),
        ("forecast.parted", t.parted_trailing, "breaks off with much line"),
        ("forecast.cut_at_rod", chance(o.cut_at_rod), "ends by a cut at the rod"),
    ] {
        if l.number(id, Known::Known(c.p)).severity().is_some() {
            against.push(format!("{words} in {}", crate::outing::text::chance(c)));
            because.push(Reason::new(words, c.p, "-", Grade::Estimate, "fight model"));
            worst = worst.or(Some(id));
        }
    }
    let dead = t.minutes_p80.map_or_else(
        || fish.species.survival.death(&event(ctx, fish, t.limit_min, LANDING_MIN)),
        |m| fish.species.survival.death(&event(ctx, fish, m, LANDING_MIN)),
    );
    if l.number("fish.death", Known::Known(dead.central)).severity().is_some() {
        against.push(format!(
            "dies after release in {:.0} % (low {:.0}, high {:.0})",
            dead.central * 100.0,
            dead.low * 100.0,
            dead.high * 100.0
        ));
        because.push(Reason::new(
            "chance of death, central",
            dead.central,
            "-",
            Grade::Estimate,
            "survival model",
        ));
        worst = worst.or(Some("fish.death"));
    }
    let limit = t.limit_min;
    let advice = if against.is_empty() {
        "nothing more than for the target".to_owned()
    } else if l.number("forecast.spooled", Known::Known(o.spooled.p)).severity().is_some() {
        format!(
            "this outfit cannot stop it: cut at the rod while little line is out, by minute {limit:.0} at the latest"
        )
    } else {
        format!("cut at the fish at first touch; cut at the rod by minute {limit:.0}")
    };
    if let Some(id) = worst {
        f.push(crate::outing::Finding {
            severity: Severity::Caution,
            topic: Topic::Fight,
            sentence: format!(
                "{} of {} may come along: {}.",
                article(&fish.species.name, true),
                ctx.options.units.size(fish.total),
                against.join("; ")
            ),
            because,
            remedy: advice.clone(),
            rule: Some(id.to_owned()),
            rule_grade: ctx.limits.row(id).map(|r| r.grade),
            rule_source: ctx.limits.row(id).map(|r| r.source.clone()),
        });
    }
    AlsoLikely {
        fish: fish.view(),
        spooled: chance(o.spooled),
        parted_trailing: t.parted_trailing,
        cut_at_rod: chance(o.cut_at_rod),
        death_after_release: dead,
        fight_limit_min: Some(limit),
        advice,
    }
}

/// The name with its article: `A bull shark`, `an Atlantic sharpnose shark`.
fn article(name: &str, capital: bool) -> String {
    let vowel = name.chars().next().is_some_and(|c| "aeiouAEIOU".contains(c));
    let article = match (capital, vowel) {
        (true, true) => "An",
        (true, false) => "A",
        (false, true) => "an",
        (false, false) => "a",
    };
    format!("{article} {name}")
}
