//! `tailrope fish`: species, their size and weight.

mod list;
mod show;
mod size;

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::packs::Pack;
use crate::word::spelled;
use clap::{Args, Subcommand};
use serde::Serialize;
use tailrope::Result;
use tailrope::fish::{LengthKind, Species, SpeciesPack};

/// Species: which there are, what one is like, how long and how heavy
#[derive(Args, Debug)]
pub struct Fish {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// All species, or those likely in a region and month
    #[command(after_help = "Example:\n  tailrope fish list --region gulf-nw --month 10")]
    List(list::List),
    /// One species: marks of its life, season, handling, sources
    #[command(after_help = "Example:\n  tailrope fish show great hammerhead")]
    Show(show::Show),
    /// Lengths of every kind and mass, from a length, a mass, or length and girth
    #[command(after_help = "Examples:\n  tailrope fish size bull --length \"2.4m total\"\n  \
                            tailrope fish size bull --length \"2.1m fork\" --girth 1.2m\n  \
                            tailrope fish size bull --mass 300lb")]
    Size(size::Size),
}

/// The species pack.
pub fn load(text: &Pack) -> Result<SpeciesPack> {
    SpeciesPack::load(&text.text())
}

/// A species by any of its names; `unknown` is the shark nobody named.
pub fn find<'a>(pack: &'a SpeciesPack, name: &str) -> Result<&'a Species> {
    if name.trim().eq_ignore_ascii_case("unknown") {
        return Ok(pack.unknown_shark());
    }
    pack.find(name).map_err(|e| e.within("species"))
}

impl Fish {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        let text = desk.packs.get("species.toml")?;
        let pack = load(&text)?;
        match &self.what {
            What::List(l) => l.run(desk, &pack),
            What::Show(s) => s.run(desk, &pack),
            What::Size(s) => s.run(desk, &pack),
        }
    }
}

fn row(s: &Species) -> RowJson<'_> {
    RowJson {
        id: &s.id,
        name: &s.name,
        scientific: &s.scientific,
        group: spelled(&s.group),
        max_length_m: s.max_length.value.length.m(),
        max_length_kind: s.max_length.value.kind,
        presumed_protected: s.presumed_protected(),
        cut_first: s.cut_first(),
        likely: None,
    }
}

#[derive(Serialize)]
struct RowJson<'a> {
    id: &'a str,
    name: &'a str,
    scientific: &'a str,
    group: String,
    max_length_m: f64,
    max_length_kind: LengthKind,
    presumed_protected: bool,
    cut_first: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    likely: Option<LikelyJson>,
}

#[derive(Serialize)]
struct LikelyJson {
    length_m: f64,
    length_kind: LengthKind,
    total_m: Option<f64>,
    heavy_kg: Option<f64>,
    outer_kg: Option<f64>,
    note: String,
}
