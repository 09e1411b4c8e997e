//! `tailrope plan`: the whole plan of a night, or one line for each of the next nights.

use crate::answer::{Answer, Exit, Failure};
use crate::desk::Desk;
use crate::verb::night::{Night, answer, facts, fights};
use crate::when;
use clap::Args;
use jiff::civil::Date;
use serde::Serialize;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::outing::file::{Day, Sea, Weather};
use tailrope::outing::windows::Window;
use tailrope::outing::{Options, Outing, Plan as Made, Severity, Verdict};

/// Most nights that one call plans.
const MOST_NIGHTS: u16 = 31;

/// The whole plan of a night: verdict, reasons, windows, tackle, footing, fight, roles, kit, brief, sources
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope plan my-nights/pelican-bar.toml\n  \
                        tailrope plan my-nights/pelican-bar.toml --nights 7\n  \
                        tailrope plan --demo two-hands --format json\n\n\
                        The exit code is the verdict: 0 go, 1 caution, 2 stop. With --nights it is that of the least bad night.")]
pub struct Plan {
    /// Outing file, TOML or JSON; `-` reads standard input
    outing: Option<PathBuf>,
    /// Plan so many nights, from the outing's date on. Sea and weather count for the first only
    #[arg(long, default_value_t = 1, value_name = "N")]
    nights: u16,
    /// Plan another date than the outing's
    #[arg(long, value_parser = when::date, value_name = "DATE")]
    night: Option<Date>,
    /// Fights of the forecast
    #[arg(long, value_parser = fights, default_value = "10000", value_name = "N")]
    fights: u32,
    /// Print the JSON Schema of the outing file and stop
    #[arg(long)]
    schema: bool,
}

impl Plan {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        if self.schema {
            let schema = Outing::schema();
            return Ok(Answer::of_json(schema.clone() + "\n", schema));
        }
        if !(1..=MOST_NIGHTS).contains(&self.nights) {
            let error = format!("{} nights", self.nights);
            return Err(Error::new(error, format!("1 to {MOST_NIGHTS}"), "ask for fewer")
                .within("--nights")
                .into());
        }
        let mut night = Night::read(self.outing.as_ref(), desk)?;
        // Read before the date moves: a scenario is read on the eve of its own night.
        let options = night.options(desk, self.fights);
        if let Some(date) = self.night.filter(|d| *d != night.outing.night.date.0) {
            night.outing = moved(&night.outing, date);
        }
        let facts = facts(desk)?;
        if self.nights == 1 {
            return Ok(answer(&night.plan(&facts, &night.outing, &options)?, desk));
        }
        let first = night.outing.night.date.0;
        let mut made = Vec::new();
        for date in first.series(jiff::Span::new().days(1)).take(usize::from(self.nights)) {
            let outing = if date == first { night.outing.clone() } else { moved(&night.outing, date) };
            made.push((known(&outing), night.plan(&facts, &outing, &options)?));
        }
        several(desk, &made, &options)
    }
}

/// The same outing on another date. Sea and weather were typed for the first: elsewhere they are unknown.
fn moved(outing: &Outing, date: Date) -> Outing {
    let mut other = outing.clone();
    other.night.date = Day(date);
    other.sea = Sea::default();
    other.weather = Weather::default();
    other
}

fn known(outing: &Outing) -> &'static str {
    match (outing.sea == Sea::default(), outing.weather == Weather::default()) {
        (false, false) => "all",
        (true, false) => "no sea",
        (false, true) => "no weather",
        (true, true) => "no sea, no weather",
    }
}

fn several(desk: &Desk, made: &[(&'static str, Made)], options: &Options) -> Result<Answer, Failure> {
    let nights: Vec<NightJson<'_>> = made.iter().map(|(known, plan)| one(known, plan)).collect();
    let least = made.iter().map(|(_, p)| p.verdict).min().unwrap_or(Verdict::Stop);
    let mut page = desk.page();
    page.say(&format!(
        "{} nights, read on {}. Sea and weather are known for the first only.",
        made.len(),
        options.read_on
    ));
    page.say("");
    let rows: Vec<Vec<String>> = nights
        .iter()
        .map(|n| {
            let window = match n.windows {
                [] => "none".to_owned(),
                [w] => clocks(w),
                [w, more @ ..] => format!("{} +{}", clocks(w), more.len()),
            };
            vec![n.date.to_owned(), n.verdict.word().to_owned(), window, n.first_reason.to_owned()]
        })
        .collect();
    page.table(&["night", "verdict", "window", "first reason"], &rows, &[0, 1, 2, 3]);
    let json = NightsJson { schema: "tailrope.plans/1", nights };
    Ok(Answer::new(page.into_text(), &json)?.with_exit(Exit::from(least)))
}

fn clocks(w: &Window) -> String {
    let clock = |t: &str| t.get(11..16).unwrap_or(t).to_owned();
    format!("{}-{}", clock(&w.start), clock(&w.end))
}

fn one<'a>(known: &'static str, plan: &'a Made) -> NightJson<'a> {
    let count = |s| plan.findings.iter().filter(|f| f.severity == s).count();
    NightJson {
        beach: &plan.night.beach,
        date: &plan.night.date,
        verdict: plan.verdict,
        first_reason: plan.findings.first().map_or("", |f| f.sentence.as_str()),
        windows: &plan.windows,
        counts: Counts { stop: count(Severity::Stop), caution: count(Severity::Caution) },
        known,
    }
}

#[derive(Serialize)]
struct NightsJson<'a> {
    schema: &'static str,
    nights: Vec<NightJson<'a>>,
}

#[derive(Serialize)]
struct NightJson<'a> {
    beach: &'a str,
    date: &'a str,
    verdict: Verdict,
    first_reason: &'a str,
    windows: &'a [Window],
    counts: Counts,
    known: &'static str,
}

#[derive(Serialize)]
struct Counts {
    stop: usize,
    caution: usize,
}
