//! What was typed.

use crate::answer::Failure;
use crate::verb::Verb;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, Parser, ValueEnum};
use std::ffi::OsString;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::quantity::Units;

/// Plans a night of catch-and-release fishing for large fish from an ocean beach, and says go, caution or stop.
#[derive(Debug, Parser)]
#[command(
    name = "tailrope",
    version,
    max_term_width = 100,
    disable_help_subcommand = true,
    after_help = "Quantities carry their unit: 28lbf, 12.5kg, 600yd, 2.4m, 8ft6in, 0.90mm, 78F, 21C, 12kn.\n\
                  Exit codes: 0 go or done, 1 caution, 2 stop, 3 bad input or use, 4 the machine failed.\n\n\
                  A planning aid, not an instruction to fish. Local law and the officer on the beach decide."
)]
pub struct Cli {
    /// Flags of all verbs.
    #[command(flatten)]
    pub common: Common,
    /// The question.
    #[command(subcommand)]
    pub verb: Verb,
}

/// Flags that every verb takes.
#[derive(Args, Debug)]
pub struct Common {
    /// Text for people or JSON for programs
    #[arg(long, global = true, value_enum, default_value_t = Format::Text, value_name = "FORM")]
    pub format: Format,
    /// Units shown in text: lbf, yd, F; kgf, m, C; or N, m, C (JSON is always SI)
    #[arg(long, global = true, value_enum, default_value_t = UnitsArg::Us, value_name = "SYSTEM")]
    pub units: UnitsArg,
    /// Seed of everything drawn at random, for verbs that reckon fights [default: 1]
    #[arg(long, global = true, value_name = "N")]
    pub seed: Option<u64>,
    /// A shipped scenario in place of an outing file, for verbs that take one
    #[arg(long, global = true, num_args = 0..=1, default_missing_value = "", value_name = "NAME")]
    pub demo: Option<String>,
    /// The crew's book
    #[arg(long, global = true, hide = true, value_name = "FILE")]
    pub book: Option<PathBuf>,
    /// Day on which packs, papers, readings and conditions are read [default: today]
    #[arg(long, global = true, value_parser = crate::when::date, value_name = "DATE")]
    pub read_on: Option<jiff::civil::Date>,
    /// Moment of reading, from which ages of sea and weather are counted: 2026-10-17T15:00 is the beach's own time, one
    /// with an offset or Z is any [default: now; with --read-on or a scenario ages are whole days]
    #[arg(long, global = true, value_parser = crate::when::now, value_name = "TIME")]
    pub now: Option<crate::when::Now>,
    /// Folder whose packs replace shipped ones of the same name [default: the variable TAILROPE_DATA]
    #[arg(long, global = true, value_name = "DIR")]
    pub data: Option<PathBuf>,
}

impl Common {
    /// Refuses a flag that would do nothing: whoever types it believes that it does.
    pub fn fits(&self, verb: &Verb) -> Result<(), Failure> {
        let typed = [
            (
                "--demo",
                self.demo.is_some() && !verb.takes_outing(),
                "drop it; `tailrope plan --demo` plans a scenario",
            ),
            ("--seed", self.seed.is_some() && !verb.draws(), "drop it: nothing here is drawn at random"),
        ];
        match typed.into_iter().find(|(_, idle, _)| *idle) {
            Some((flag, _, remedy)) => {
                Err(Error::new("this verb does nothing with it", "", remedy).within(flag).into())
            }
            None => Ok(()),
        }
    }
}

/// Form of the output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    Text,
    Json,
}

/// System of units in text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsArg {
    Us,
    Metric,
    Si,
}

impl From<UnitsArg> for Units {
    fn from(u: UnitsArg) -> Self {
        match u {
            UnitsArg::Us => Self::Us,
            UnitsArg::Metric => Self::Metric,
            UnitsArg::Si => Self::Si,
        }
    }
}

/// Reads the arguments; beside them whether JSON was asked for, which must be known even if they are wrong.
pub fn read(args: impl Iterator<Item = OsString>) -> Result<(Cli, bool), (Failure, bool)> {
    let args: Vec<OsString> = args.collect();
    let json = asks_for_json(&args);
    match Cli::try_parse_from(&args) {
        Ok(cli) => Ok((cli, json)),
        Err(e) => Err((explain(&e), json)),
    }
}

fn asks_for_json(args: &[OsString]) -> bool {
    args.iter().any(|a| a == "--format=json")
        || args.windows(2).any(|w| matches!(w, [flag, form] if flag == "--format" && form == "json"))
}

/// Turns the parser's refusal into ours: exit 3 and, where the library refused a value, its own sentence.
fn explain(e: &clap::Error) -> Failure {
    match e.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => return Failure::Help(e.render().to_string()),
        _ => {}
    }
    let context = |kind| match e.get(kind) {
        Some(ContextValue::String(s)) => Some(s.clone()),
        Some(ContextValue::Strings(s)) => Some(s.join(", ")),
        _ => None,
    };
    // `--mass <MASS>` or `[OUTING]`: the flag or the name alone.
    let place = context(ContextKind::InvalidArg)
        .map(|a| a.split_once(" <").map_or(a.clone(), |(flag, _)| flag.to_owned()))
        .unwrap_or_default();
    if let Some(ours) = std::error::Error::source(e).and_then(|s| s.downcast_ref::<Error>()) {
        return Failure::Input(ours.clone().within(place));
    }
    let text = e.render().to_string();
    let error = match e.kind() {
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            "no question was asked".to_owned()
        }
        _ => text
            .lines()
            .take_while(|l| !l.trim_start().starts_with("Usage:"))
            .map(|l| l.trim().trim_start_matches("error: "))
            .filter(|l| !l.is_empty())
            .collect::<Vec<_>>()
            .join(" "),
    };
    let allowed = context(ContextKind::ValidValue)
        .or_else(|| context(ContextKind::ValidSubcommand))
        .unwrap_or_default();
    let error = Error::new(error, allowed, "see `tailrope --help` or `tailrope VERB --help`");
    Failure::Use { text, error: error.within(if place.is_empty() { "command line" } else { &place }) }
}
