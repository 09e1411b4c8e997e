//! Making the plan: one night from outing to verdict.
//!
//! Order matters only where one answer feeds another: fish and sea, then who holds the rod, then what they
//! bear, then what the tackle gives, then the fights, then the roles again with the fight's length known.

use super::assess::hourly::Spell;
use super::assess::{self, Ctx, Moment, crew, fight, footing, tackle};
use super::brief::{Place as BriefPlace, brief};
use super::conditions::voices::ReadAt;
use super::conditions::{self, Conditions, gauge};
use super::facts::Facts;
use super::file::Outing;
use super::finding::Findings;
use super::here::TideHere;
use super::hours::Hours;
use super::plan::{AlsoLikely, ForecastView, NightView, OptionsView, Plan, TideSource};
use super::{views, windows};
use crate::facts::{Known, Source};
use crate::people::Person;
use crate::quantity::{Interval, Length, Place, Span, Units};
use crate::sea::tide::Tide;
use crate::{Result, sky};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};

pub use super::assess::fight::{RunFights, one_after_another};

/// What is asked of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Day on which packs, papers, readings and conditions are read.
    pub read_on: Date,
    /// The moment of reading. Where it is known ages are true hours, else whole days.
    pub now: Option<Timestamp>,
    /// Units of all sentences.
    pub units: Units,
    /// Seed of the forecast.
    pub seed: u64,
    /// Fights of the forecast for the target.
    pub fights: u32,
}

impl Options {
    /// Fights unless told otherwise.
    pub const FIGHTS: u32 = 10_000;

    /// The usual options on a day.
    pub fn on(read_on: Date) -> Self {
        Self { read_on, now: None, units: Units::default(), seed: 1, fights: Self::FIGHTS }
    }
}

/// Fights for each fish that may come along, and for each drag of the sweep, as shares of the target's.
const ALSO_SHARE: u32 = 20;
const SWEEP_SHARE: u32 = 32;
/// The same for the largest likely fish.
const LARGEST_SHARE: u32 = 5;

/// The cautions that always stand there.
pub const ALWAYS: [&str; 4] = [
    "This is a planning aid, not an instruction to fish. Local law and the officer on the beach decide.",
    "Never alone. First aid as trained; call first.",
    "The numbers are models with errors; when in doubt, less drag, more people, cut sooner, go home.",
    "The rule packs are a reading aid: the agency's text decides.",
];

/// Makes the plan of one night.
///
/// Deterministic: the same facts, outing and options give the same plan, whatever `run` does with its threads.
///
/// # Errors
/// An outing that names an unknown species or station, or a number that no model can take. What is merely
/// unknown is never an error: it becomes a question.
pub fn plan(facts: &Facts, outing: &Outing, options: &Options, run: RunFights<'_>) -> Result<Plan> {
    let mut ctx = prepared(facts, outing, options, run)?;
    ctx.lies = assess::hold::lies(&ctx);
    let ctx = ctx;
    let mut f = Findings::default();

    let rules = crew::rules(&ctx);
    let assumed = Span::of_min(fight::fight_limit(&ctx, &ctx.fish.target));
    let first = crew::assigned(&ctx, &rules, assumed, Known::Unknown, 0, &[])?;
    let hands = crew::harness_hands(&ctx, &rules, &first);
    let rod = crew::anglers(&ctx, &first);
    let standing = footing::standing(&ctx, &rod, &hands)?;
    let path = tackle::path(&ctx, &mut f);
    let gear = tackle::gear(&ctx, path.as_ref(), standing.as_ref())?;

    let fought = fights(&ctx, gear.as_ref(), standing.as_ref(), &rod, &mut f)?;
    let told = fought.target;

    let tackled = tackle::assess(&ctx, path.as_ref(), gear.as_ref(), told.as_ref(), &mut f)?;
    assess::rig::assess(&ctx, path.as_ref(), gear.as_ref(), &mut f)?;
    let footed = footing::assess(&ctx, standing.as_ref(), tackled.tip, &mut f)?;
    let far_out = assess::far::assess(&ctx, gear.as_ref(), told.as_ref(), tackled.stop_from_m, &mut f)?;

    // Roles again, with the length of the fight and the harness hands known.
    let long = if fought.longest_min > 0.0 { Span::of_min(fought.longest_min) } else { assumed };
    let likely: Known<Span> =
        told.as_ref().and_then(|t| t.forecast.minutes).map(|m| Span::of_min(m.p50)).into();
    let hands_needed = u8::try_from(footed.needed_harness_hands).unwrap_or(u8::MAX);
    // The rod stays with those for whom footing, card and fights were reckoned.
    let roles = crew::assigned(&ctx, &rules, long, likely, hands_needed, &crew::pinned(&ctx, &first))?;
    let off_sand = off_sand(&ctx, long);
    crew::assess(&ctx, &rules, &roles, long, likely, off_sand, &mut f);
    assess::fish::assess(&ctx, &mut f);
    assess::sea::of_the_figures(&ctx, &mut f);
    let hourly = assess::hourly::Hourly::of(&ctx, &roles, long);
    hourly.assess(&ctx, &mut f);
    assess::sea::assess(&ctx, off_sand, &mut f);
    assess::site::assess(&ctx, &mut f);
    let hold = assess::bait::assess(&ctx, &mut f);
    let law = assess::law::assess(&ctx, &mut f)?;
    let (kit, kit_missing) = assess::kit::assess(&ctx, &mut f);
    said_of_the_plan(&ctx, &mut f);

    let steps = assess::steps::steps(&ctx, f.as_slice(), &law, &rules, &roles, &hourly);
    let (windows, closed) = windows::cut(&steps, &ctx.hours.zone_name, &ctx.hours.zone);
    assess::steps::assess(&ctx, &steps, &mut f);
    let (role_views, phases) = crew::views(&ctx, &roles);
    let verdict = f.verdict();
    let local = |at| windows::local(at, &ctx.hours.zone);
    let mut plan = Plan {
        schema: "tailrope.plan/1",
        tool: env!("CARGO_PKG_VERSION"),
        seed: options.seed,
        verdict,
        findings: f.sorted(),
        windows,
        path: tackled.path,
        drag_card: tackled.card,
        footing: footed,
        forecast: fought.forecast,
        hold,
        roles: role_views,
        kit_missing,
        sources: Vec::new(),
        night: NightView {
            name: outing.name.clone(),
            beach: outing.beach.name.clone(),
            date: outing.night.date.to_string(),
            zone: ctx.hours.zone_name.clone(),
            from: local(ctx.hours.from),
            until: local(ctx.hours.until),
            last_bait_in: ctx.hours.last_bait_said.then(|| local(ctx.hours.last_bait_in)),
            off_the_sand: Some(local(off_sand)),
        },
        largest_likely: {
            let mut v = ctx.fish.longest.view();
            v.heavy_kg = ctx.fish.judged_mass().kg();
            v
        },
        target: ctx.fish.target.view(),
        also_likely: fought.also_likely,
        phases,
        closed,
        tide: views::tide(&ctx),
        tide_source: ctx.here.tide.as_ref().map(|t| TideSource::of(t.about())),
        sky: views::sky(&ctx, Place::of_deg(outing.beach.latitude, outing.beach.longitude)?)?,
        conditions: ctx.conditions.view.clone(),
        known: ctx.known(),
        beyond_forecast: !ctx.spells.iter().all(|s| s.conditions.sea_judged && s.conditions.weather_judged),
        moon: views::moon(&ctx)?,
        steps: views::steps(&ctx, &steps),
        drag_settings: tackled.settings,
        card_stop_from_m: tackled.stop_from_m,
        far_out,
        kit,
        brief: Vec::new(),
        always: ALWAYS.to_vec(),
        packs: facts.packs.clone(),
        options: OptionsView {
            read_on: options.read_on.to_string(),
            now: options.now.map(local),
            fights: options.fights,
            seed: options.seed,
        },
    };
    plan.sources = sources(&plan, facts, &ctx, &law);
    plan.brief = brief(&plan, &brief_place(outing, &law), options.units);
    Ok(plan)
}

/// Which outfits were left out, and which limits the crew set itself.
fn said_of_the_plan(ctx: &Ctx<'_>, f: &mut Findings) {
    let others: Vec<&str> = ctx.outing.outfit.iter().skip(1).map(|o| o.name.as_str()).collect();
    f.judged(
        &ctx.limits.word("outfit.judged", Known::Known(if others.is_empty() { "all" } else { "first" })),
        format!("Only the first outfit is judged here, not: {}.", others.join(", ")),
        vec![],
    );
    for row in ctx.limits.rows() {
        if let Some(edit) = &row.edited {
            let text =
                format!("Limit {} was set by {}: {}.", row.id, edit.who, edit.why.trim_end_matches('.'));
            f.note(row.topic, text, vec![], Some(&row.id));
        }
    }
}

/// What every question about the night stands on.
pub(in crate::outing) fn prepared<'a>(
    facts: &'a Facts,
    outing: &'a Outing,
    options: &'a Options,
    run: RunFights<'a>,
) -> Result<Ctx<'a>> {
    let limits = facts.limits.clone().edited(&outing.limit)?;
    let hours = Hours::of(&outing.night, &outing.beach.zone)?;
    let fish = assess::fish::reckon(&facts.species, outing)?;
    let here = TideHere::of(facts, outing, &hours, &limits, options.units)?;
    let place = Place::of_deg(outing.beach.latitude, outing.beach.longitude)?;
    let read = ReadAt { now: options.now, day: options.read_on, zone: hours.zone.clone() };
    let night = Interval::new(hours.from, hours.until)?;
    let latest = read.latest();
    let trimmed = conditions::turns::trimmed(outing, night);
    let voices = conditions::voices(&trimmed, &facts.surf, &facts.stations, &limits, read, night);
    let gauges = gauge::gauges(&voices, facts, &limits, night);
    let near = Hours::hours_between(latest, hours.from) <= limits.figure("conditions.dead_h");
    let of = |hours| Conditions::of(&voices, &limits, hours, &gauges.residuals, near);
    let conditions = of(night)?;
    let turns = voices.turns(night);
    let mut spells = Vec::new();
    let mut from = night.from();
    for to in turns.iter().copied().chain([night.to()]) {
        let hours = Interval::new(from, to)?;
        spells.push(Spell { hours, conditions: of(hours)? });
        from = to;
    }
    let moments = moments(place, &hours, outing, here.tide.as_ref(), &conditions, &turns)?;
    let late = hours.last_bait_in.checked_add(SignedDuration::from_hours(2)).unwrap_or(hours.last_bait_in);
    let dark_late = sky::sun_altitude(place, late)?.deg() < assess::DARK_DEG;
    Ok(Ctx {
        facts,
        outing,
        options,
        limits,
        hours,
        conditions,
        spells,
        gauge_notes: gauges.notes,
        silent: if near { silent(&voices) } else { Vec::new() },
        fish,
        moments,
        dark_late,
        here,
        lies: assess::hold::Lies::default(),
        run,
    })
}

/// Reports that are too old to say anything, with their newest time and its age.
fn silent(voices: &conditions::voices::Voices<'_>) -> Vec<(String, Timestamp, f64)> {
    voices.silent().into_iter().map(|(r, at, h)| (r.source.clone(), at, h)).collect()
}

/// What the fights give.
struct Fought {
    forecast: ForecastView,
    also_likely: Vec<AlsoLikely>,
    target: Option<fight::Told>,
    /// The longest 90 % fight of all likely fish, min.
    longest_min: f64,
}

/// The fights: the target, then whatever else may come along, then the sweep over drags.
fn fights(
    ctx: &Ctx<'_>,
    gear: Option<&tackle::Laid<'_>>,
    standing: Option<&footing::Standing>,
    rod: &[&Person],
    f: &mut Findings,
) -> Result<Fought> {
    let options = ctx.options;
    let mut forecast = ForecastView::unknown();
    let mut also_likely = Vec::new();
    let mut told = None;
    if let (Some(gear), Some(standing)) = (gear, standing)
        && let Some(setup) = fight::setup(ctx, &gear.gear, standing, rod, &ctx.fish.target)
    {
        let t = fight::tell(ctx, setup.clone(), &ctx.fish.target, u64::from(options.fights))?;
        forecast = fight::view(&t);
        let sweep = u64::from((options.fights / SWEEP_SHARE).max(16));
        let (best, none) = fight::best_drag(ctx, &gear.gear, &setup, &ctx.fish.target, sweep)?;
        forecast.best_drag_n = best;
        forecast.none_enough = none;
        told = Some(t);
    }
    fight::assess(ctx, told.as_ref(), f);
    let mut longest_min = told.as_ref().map_or(0.0, |t| t.minutes_p90_any);
    if let (Some(gear), Some(standing)) = (gear, standing) {
        let n = u64::from((options.fights / ALSO_SHARE).max(32));
        for other in &ctx.fish.also {
            let Some(setup) = fight::setup(ctx, &gear.gear, standing, rod, other) else { break };
            let t = fight::tell(ctx, fight::coarse(setup), other, n)?;
            longest_min = longest_min.max(t.minutes_p90_any);
            also_likely.push(fight::also(ctx, other, &t, f));
        }
        // Rows on people belong to the largest likely fish, be it the target's own kind: it gets fights of its own,
        // enough of them for a border of one in a hundred.
        let n = u64::from((options.fights / LARGEST_SHARE).max(64));
        let mut largest = vec![&ctx.fish.longest];
        if ctx.fish.heaviest.species.id != ctx.fish.longest.species.id {
            largest.push(&ctx.fish.heaviest);
        }
        for fish in largest {
            let Some(setup) = fight::setup(ctx, &gear.gear, standing, rod, fish) else { break };
            let t = fight::tell(ctx, fight::coarse(setup), fish, n)?;
            longest_min = longest_min.max(t.minutes_p90_any);
            fight::assess_moved(ctx, fish, &t, f);
        }
    }
    Ok(Fought { forecast, also_likely, target: told, longest_min })
}

/// When the crew is off the sand at the latest: last bait in, long fight, pack-up.
fn off_sand(ctx: &Ctx<'_>, long: Span) -> Timestamp {
    let pack_up = ctx.limits.figure("way_out.pack_up_min") * 60.0;
    #[allow(clippy::cast_possible_truncation)] // a few hours in seconds
    let after = SignedDuration::from_secs((long.s() + pack_up) as i64);
    ctx.hours.last_bait_in.checked_add(after).unwrap_or(ctx.hours.last_bait_in)
}

/// Moments ten minutes apart, and those at which something begins or ends by the clock.
fn moments(
    place: Place,
    hours: &Hours,
    outing: &Outing,
    tide: Option<&Tide>,
    conditions: &Conditions,
    turns: &[Timestamp],
) -> Result<Vec<Moment>> {
    let mut all = windows::moments(hours.from, hours.until);
    all.push(hours.last_bait_in);
    all.extend(turns);
    for clock in [outing.beach.bathers_from, outing.beach.bathers_until].into_iter().filter_map(Known::get) {
        all.extend(hours.at(clock).ok().filter(|at| *at > hours.from && *at < hours.until));
    }
    all.sort_unstable();
    all.dedup();
    all.into_iter()
        .map(|at| {
            let tide = match tide {
                Some(t) => Some(t.level(at)?),
                None => None,
            };
            let light = sky::sky_light(place, at)?;
            Ok(Moment {
                at,
                sun_deg: light.sun_altitude_deg,
                moon_deg: light.moon_altitude_deg,
                lux: light.clear_sky_lux,
                moon_lux: light.moon_lux,
                level: tide.map(|t| t + conditions.level.expected(at).unwrap_or(Length::ZERO)),
                high: tide.map(|t| t + conditions.above_tide(at)),
            })
        })
        .collect()
}

/// Everything cited by the findings and models, once each, in order of first use.
fn sources(plan: &Plan, facts: &Facts, ctx: &Ctx<'_>, law: &assess::law::Judged) -> Vec<Source> {
    let mut all: Vec<Source> = Vec::new();
    let mut add = |s: Source| {
        if !all.iter().any(|known| known.id == s.id) {
            all.push(s);
        }
    };
    if let Some(tide) = &ctx.here.tide {
        let a = tide.about();
        add(Source {
            id: "tide".into(),
            cite: format!("{}, {}; licence {}; {}", a.name, a.source, a.licence, a.attribution),
            url: String::new(),
        });
    }
    for s in &law.sources {
        add(s.clone());
    }
    let cited: Vec<&str> =
        plan.findings.iter().flat_map(|f| f.because.iter()).map(|r| r.source.as_str()).collect();
    for s in facts.sources() {
        let names =
            |text: &&str| text.split(|c: char| !c.is_alphanumeric() && c != '-').any(|word| word == s.id);
        let used = cited.iter().any(names);
        if used {
            add(s.clone());
        }
    }
    for (id, cite) in [
        (
            "fight",
            "Fight model and parameters of this project: a calibrated guess with honest bands (data/fight.toml)",
        ),
        ("survival", "Survival model of this project, calibrated on the studies named in data/species.toml"),
        ("limits", "Limits of this project, row by row with grade and source (data/limits.toml)"),
    ] {
        add(Source { id: id.into(), cite: cite.into(), url: String::new() });
    }
    all
}

fn brief_place<'a>(outing: &'a Outing, law: &assess::law::Judged) -> BriefPlace<'a> {
    let text = |k: &'a Known<String>| k.as_ref().map(String::as_str);
    let s = &outing.safety;
    BriefPlace {
        coordinates: format!("{:.5}, {:.5}", outing.beach.latitude, outing.beach.longitude),
        access: text(&outing.beach.access),
        emergency_number: text(&outing.beach.emergency_number),
        hospital: text(&outing.beach.hospital),
        contact: s.contact.as_ref().map(|c| match (s.overdue_at, &s.overdue_action) {
            (Known::Known(at), Known::Known(what)) => format!("contact ashore {c}, acts at {at}: {what}"),
            (Known::Known(at), Known::Unknown) => format!("contact ashore {c}, acts at {at}"),
            _ => format!("contact ashore {c}, no time set"),
        }),
        driver: text(&s.drives_home),
        roped: outing.landing.manner != Known::Known(super::file::Manner::LeaderOnly),
        in_water_only: law.in_water_only.clone(),
    }
}
