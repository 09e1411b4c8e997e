//! Several nights and beaches beside one another.
//!
//! Answers: which of the wanted nights forbids what, and when is something open. Model: the plan of each night as it
//! would be made alone; nothing is weighed against anything, nights stand in the order of their dates, beaches in the
//! order in which they were given. Limits: sea and weather typed into an outing were typed for its own night and count
//! for no other; what was not forecast for a night is said to be so ([`crate::outing::conditions`]).
//!
//! Fights are costly and hang only on tackle, people, fish and water: the same set-up under the same seed gives the
//! same endings, so each set-up is fought once and shared by all nights, bit for bit the same as alone.

use super::facts::Facts;
use super::file::{Day, Outing, Sea, Weather};
use super::make::{Options, RunFights, plan};
use super::plan::{MoonView, Plan, TideSource, TideView};
use super::verdict::{Severity, Verdict};
use super::windows::Window;
use crate::fight::{Fights, Part, Setup};
use crate::{Error, Result};
use jiff::Timestamp;
use serde::Serialize;
use std::sync::{Arc, Mutex, PoisonError};

/// Most nights of one outing.
pub const MOST_NIGHTS: u16 = 31;

/// The same outing on its own date and the nights after it, `count` in all.
///
/// Sea and weather typed for the first night are not carried over; reports are, since each of their figures says for
/// which hours it speaks.
///
/// # Errors
/// More than [`MOST_NIGHTS`], none, or a date beyond the calendar.
pub fn following(outing: &Outing, count: u16) -> Result<Vec<Outing>> {
    if !(1..=MOST_NIGHTS).contains(&count) {
        let error = format!("{count} nights");
        return Err(Error::new(error, format!("1 to {MOST_NIGHTS}"), "ask for fewer"));
    }
    let mut all = vec![outing.clone()];
    let mut date = outing.night.date.0;
    for _ in 1..count {
        date = date.tomorrow().map_err(|_| {
            Error::new("the nights run beyond the calendar", "years 1900 to 2100", "check the date")
                .within("night.date")
        })?;
        all.push(moved(outing, Day(date)));
    }
    Ok(all)
}

/// The same outing on another date, without what was typed for its own.
#[must_use]
pub fn moved(outing: &Outing, date: Day) -> Outing {
    let mut other = outing.clone();
    if date != other.night.date {
        other.night.date = date;
        other.sea = Sea::default();
        other.weather = Weather::default();
    }
    other
}

/// One set of fights: what it was fought with, and how it ended.
struct Fought {
    setup: Setup,
    seed: u64,
    fights: u64,
    part: Arc<Part>,
}

/// Plans nights one after another and fights each set-up once.
pub struct Nights<'a> {
    facts: &'a Facts,
    run: RunFights<'a>,
    known: Mutex<Vec<Fought>>,
}

impl<'a> Nights<'a> {
    /// With these packs; `run` runs the fights that are not known yet.
    pub fn new(facts: &'a Facts, run: RunFights<'a>) -> Self {
        Self { facts, run, known: Mutex::new(Vec::new()) }
    }

    /// The plan of one night, the same as [`plan`] makes.
    ///
    /// # Errors
    /// As [`plan`].
    pub fn plan(&self, outing: &Outing, options: &Options) -> Result<Plan> {
        plan(self.facts, outing, options, &|fights, n| self.fight(fights, n))
    }

    fn fight(&self, fights: &Fights, n: u64) -> Part {
        let lock = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |f: &&Fought| f.fights == n && f.seed == fights.seed() && f.setup == *fights.setup();
        let known = lock().iter().find(same).map(|f| Arc::clone(&f.part));
        if let Some(part) = known {
            return (*part).clone();
        }
        let part = Arc::new((self.run)(fights, n));
        lock().push(Fought {
            setup: fights.setup().clone(),
            seed: fights.seed(),
            fights: n,
            part: Arc::clone(&part),
        });
        (*part).clone()
    }

    /// Sets of fights that were really fought.
    pub fn fought(&self) -> usize {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).len()
    }
}

/// Several nights, one line each.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plans {
    /// `tailrope.plans/1`.
    pub schema: &'static str,
    /// The nights in order of date, beaches of one date in the order given.
    pub nights: Vec<NightLine>,
    /// What forbids or warns in every one of them, in the same words; empty for one night.
    pub in_every_night: Vec<Said>,
    /// Whose tides the nights show, with what must stand beside their heights.
    pub tide_sources: Vec<TideOf>,
}

/// The tide of some of the nights.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TideOf {
    /// Whose tide it is.
    #[serde(flatten)]
    pub tide: TideSource,
    /// Beach and local date of the nights.
    pub nights: Vec<NightOf>,
}

/// A night by its beach and date.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NightOf {
    /// Beach.
    pub beach: String,
    /// Local date of the evening.
    pub date: String,
}

/// A finding that forbids or warns, in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Said {
    /// How much it weighs.
    pub severity: Severity,
    /// Its sentence.
    pub sentence: String,
}

/// One night at one beach.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NightLine {
    /// Beach.
    pub beach: String,
    /// Local date of the evening.
    pub date: String,
    /// Verdict of the whole plan of that night.
    pub verdict: Verdict,
    /// Its first finding, worst harm first. Of a night that no forecast reaches and nothing forbids, that it is not known.
    pub first_reason: String,
    /// What forbids or warns in this night but not, in the same words, in every one: what tells the nights apart.
    pub own_reasons: Vec<Said>,
    /// Stretches in which nothing forbids.
    pub windows: Vec<Window>,
    /// How much was found.
    pub counts: Counts,
    /// What of sea and weather is known in all hours: `all`, `no sea`, `no weather` or `no sea, no weather`; `sea in part`
    /// and `weather in part` where something speaks of some of the hours only.
    pub known: &'static str,
    /// Name of the outing.
    pub name: String,
    /// Whether sea or weather lie beyond what was forecast, so that they were not judged: `counts` leaves out what would
    /// be said of them, and is not to be compared with that of a night that was judged.
    pub beyond_forecast: bool,
    /// What was not judged, in words: `sea and weather not known`; empty where all was.
    pub not_known: &'static str,
    /// High and low water within the wanted hours.
    pub tide: Vec<TideView>,
    /// The moon of that night.
    pub moon: MoonView,
}

/// How many findings forbid and warn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Findings that forbid.
    pub stop: usize,
    /// Findings that warn.
    pub caution: usize,
}

impl Plans {
    /// Lines of these plans. Of two with one date the one given first comes first.
    pub fn of(plans: &[Plan]) -> Self {
        let said: Vec<Vec<Said>> = plans.iter().map(said).collect();
        let in_every_night: Vec<Said> = match said.as_slice() {
            [first, others @ ..] if !others.is_empty() => {
                first.iter().filter(|s| others.iter().all(|o| o.contains(s))).cloned().collect()
            }
            _ => Vec::new(),
        };
        let own = |all: Vec<Said>| all.into_iter().filter(|s| !in_every_night.contains(s)).collect();
        let mut nights: Vec<NightLine> = plans.iter().zip(said).map(|(p, all)| line(p, own(all))).collect();
        nights.sort_by(|a, b| a.date.cmp(&b.date));
        Self { schema: "tailrope.plans/1", nights, in_every_night, tide_sources: tide_sources(plans) }
    }

    /// Verdict of the least bad night of those whose sea and weather were judged; of all where none was; *stop* without
    /// any. That fewer things are known of a night does not make it better.
    pub fn least_bad(&self) -> Verdict {
        let least = |judged: bool| {
            self.nights.iter().filter(|n| n.beyond_forecast != judged).map(|n| n.verdict).min()
        };
        least(true).or(least(false)).unwrap_or(Verdict::Stop)
    }

    /// As JSON text.
    pub fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).unwrap_or_default()
    }
}

/// The tides of these plans, each once.
fn tide_sources(plans: &[Plan]) -> Vec<TideOf> {
    let mut all: Vec<TideOf> = Vec::new();
    for p in plans {
        let Some(tide) = &p.tide_source else { continue };
        let night = NightOf { beach: p.night.beach.clone(), date: p.night.date.clone() };
        match all.iter_mut().find(|t| t.tide == *tide) {
            Some(known) => known.nights.push(night),
            None => all.push(TideOf { tide: tide.clone(), nights: vec![night] }),
        }
    }
    all
}

/// What forbids or warns in a plan, in its order.
fn said(plan: &Plan) -> Vec<Said> {
    let weighs = |s| matches!(s, Severity::Stop | Severity::Caution);
    let all = plan.findings.iter().filter(|f| weighs(f.severity));
    all.map(|f| Said { severity: f.severity, sentence: f.sentence.clone() }).collect()
}

fn first_reason(plan: &Plan) -> String {
    let reach = || plan.findings.iter().find(|f| f.rule.as_deref() == Some("conditions.reach"));
    let first = plan.findings.first();
    // What is known of such a night warns of little, and must not stand before what is not known.
    let found = first.filter(|f| f.severity == Severity::Stop).or_else(reach).or(first);
    found.map(|f| f.sentence.clone()).unwrap_or_default()
}

/// What nothing speaks of, be the night beyond the forecast or so near that something should.
fn not_known(plan: &Plan) -> &'static str {
    match plan.known {
        "all" => "",
        "no sea" => "sea not known",
        "no weather" => "weather not known",
        "sea in part" => "sea not known in all hours",
        "weather in part" => "weather not known in all hours",
        "no sea, weather in part" => "sea not known, weather not in all hours",
        "sea in part, no weather" => "weather not known, sea not in all hours",
        "sea in part, weather in part" => "sea and weather not known in all hours",
        _ => "sea and weather not known",
    }
}

fn line(plan: &Plan, own_reasons: Vec<Said>) -> NightLine {
    let count = |s| plan.findings.iter().filter(|f| f.severity == s).count();
    let at = |t: &str| t.parse::<Timestamp>().ok();
    let within = |t: &str| at(t) >= at(&plan.night.from) && at(t) <= at(&plan.night.until);
    NightLine {
        beach: plan.night.beach.clone(),
        date: plan.night.date.clone(),
        verdict: plan.verdict,
        first_reason: first_reason(plan),
        own_reasons,
        windows: plan.windows.clone(),
        counts: Counts { stop: count(Severity::Stop), caution: count(Severity::Caution) },
        known: plan.known,
        name: plan.night.name.clone(),
        beyond_forecast: plan.beyond_forecast,
        not_known: not_known(plan),
        tide: plan.tide.iter().filter(|t| within(&t.at)).cloned().collect(),
        moon: plan.moon.clone(),
    }
}
