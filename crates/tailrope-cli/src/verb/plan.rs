//! `tailrope plan`: the whole plan of a night, or one line for each of several nights and beaches.

mod list;

use crate::answer::{Answer, Exit, Failure};
use crate::conditions::Conditions;
use crate::desk::Desk;
use crate::verb::night::{Night, answer, facts, fights, parallel};
use crate::when;
use clap::Args;
use jiff::civil::Date;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::outing::file::Day;
use tailrope::outing::hours::Hours;
use tailrope::outing::plans::{MOST_NIGHTS, following, moved};
use tailrope::outing::{Nights, Options, Outing, Plan as Made, Plans, conditions};
use tailrope::quantity::Interval;

/// Most beaches that one call compares.
const MOST_BEACHES: usize = 20;

/// The whole plan of a night: verdict, reasons, windows, tackle, footing, fight, roles, kit, brief, sources
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope plan my-nights/pelican-bar.toml\n  \
                        tailrope plan my-nights/pelican-bar.toml --conditions 42020.txt forecast.json --nights 7\n  \
                        tailrope plan north.toml south.toml --nights 14\n  \
                        tailrope plan north.toml south.toml --night 2026-10-19 --at south\n  \
                        tailrope plan --demo two-hands --format json\n\n\
                        Sea and weather written in an outing file were written for its own night and count for no other; \
                        what a file of --conditions says counts for the hours it speaks of. Of several that speak the worse \
                        for safety is planned on. Nights that nothing speaks of show law, tide and moon, and say so.\n\n\
                        The exit code is the verdict: 0 go, 1 caution, 2 stop. Of several nights it is that of the least bad \
                        of those whose sea and weather are known.")]
pub struct Plan {
    /// Outing files, TOML or JSON; `-` reads standard input
    outing: Vec<PathBuf>,
    /// Plan so many nights, from each outing's date on
    #[arg(long, default_value_t = 1, value_name = "N")]
    nights: u16,
    /// Plan another date than the outing's
    #[arg(long, value_parser = when::date, value_name = "DATE")]
    night: Option<Date>,
    /// Of several beaches this one: its name, a part of it, or its file's
    #[arg(long, value_name = "BEACH")]
    at: Option<String>,
    #[command(flatten)]
    conditions: Conditions,
    /// Fights of the forecast
    #[arg(long, value_parser = fights, default_value = "10000", value_name = "N")]
    fights: u32,
    /// Print the JSON Schema of the outing file and stop
    #[arg(long)]
    schema: bool,
}

/// One night at one beach, to be planned.
struct Wanted {
    /// Which of the files it comes from.
    file: usize,
    outing: Outing,
    options: Options,
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
        let nights = self.read(desk)?;
        let wanted = self.wanted(&nights, desk)?;
        let facts = facts(desk)?;
        let planner = Nights::new(&facts, &parallel);
        let mut made: Vec<Made> = Vec::new();
        for w in &wanted {
            let plan = planner.plan(&w.outing, &w.options);
            made.push(match nights.get(w.file) {
                Some(night) => plan.map_err(|e| night.place(e))?,
                None => plan?,
            });
        }
        match made.as_slice() {
            [one] => Ok(answer(one, desk)),
            all => {
                let plans = Plans::of(all);
                let text = list::page(&plans, all, desk);
                Ok(Answer::of_json(text, plans.to_json()).with_exit(Exit::from(plans.least_bad())))
            }
        }
    }

    fn read(&self, desk: &Desk) -> Result<Vec<Night>, Failure> {
        if self.outing.len() > MOST_BEACHES {
            let error = format!("{} outing files", self.outing.len());
            return Err(
                Error::new(error, format!("at most {MOST_BEACHES}"), "compare fewer at a time").into()
            );
        }
        let piped = self.outing.iter().filter(|f| f.as_os_str() == "-").count();
        if piped + usize::from(self.conditions.reads_standard_input()) > 1 {
            let error = "standard input is named more than once";
            return Err(Error::new(error, "`-` once", "give the others as files").into());
        }
        let mut nights = Vec::new();
        if self.outing.is_empty() {
            nights.push(Night::read(None, desk)?);
        }
        for file in &self.outing {
            nights.push(Night::read(Some(file), desk)?);
        }
        let Some(at) = &self.at else { return Ok(nights) };
        let named = |n: &Night| {
            let at = at.trim().to_lowercase();
            let stem = std::path::Path::new(&n.file).file_stem().map(|s| s.to_string_lossy().to_lowercase());
            n.outing.beach.name.to_lowercase().contains(&at) || stem.is_some_and(|s| s == at) || n.file == *at
        };
        let names: Vec<String> = nights.iter().map(|n| n.outing.beach.name.clone()).collect();
        let found: Vec<Night> = nights.into_iter().filter(|n| named(n)).collect();
        if found.len() == 1 {
            return Ok(found);
        }
        let error = format!(
            "{} of the beaches is called `{}`",
            if found.is_empty() { "none" } else { "more than one" },
            at.chars().take(40).collect::<String>()
        );
        Err(Error::new(error, names.join("; "), "name one of them").within("--at").into())
    }

    /// Every night at every beach, with what the files say of it.
    fn wanted(&self, nights: &[Night], desk: &Desk) -> Result<Vec<Wanted>, Failure> {
        let mut all = Vec::new();
        for (file, night) in nights.iter().enumerate() {
            // Read before the date moves: a scenario is read on the eve of its own night.
            let options = night.options(desk, self.fights)?;
            let first = self.night.map_or_else(|| night.outing.clone(), |d| moved(&night.outing, Day(d)));
            for outing in following(&first, self.nights).map_err(|e| night.place(e))? {
                // Typed for the outing's own night, which may be a later one than the first that is asked for.
                let own = outing.night.date == night.outing.night.date;
                let outing = if own { night.outing.clone() } else { outing };
                all.push(Wanted { file, outing, options: options.clone() });
            }
        }
        if self.conditions.is_empty() {
            return Ok(all);
        }
        let reports = self.conditions.read()?;
        for w in &mut all {
            let hours = Hours::of(&w.outing.night, &w.outing.beach.zone)?;
            let night = Interval::new(hours.from, hours.until)?;
            let latest = conditions::latest(&w.options, &hours.zone);
            let sifted = reports.iter().flat_map(|r| conditions::sift(r, &[night], latest)).collect();
            w.outing = w.outing.clone().with_reports(sifted).map_err(|e| e.within("--conditions"))?;
        }
        Ok(all)
    }
}
