//! `tailrope fish list`: all species, or those likely in a region and month.

use super::{LikelyJson, RowJson, row};
use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use clap::Args;
use serde::Serialize;
use tailrope::fish::{Region, SpeciesPack};
use tailrope::quantity::{Length, Mass};
use tailrope::{Error, Result};

#[derive(Args, Debug)]
pub struct List {
    /// Stretch of coast
    #[arg(long, value_parser = region, requires = "month")]
    region: Option<Region>,
    /// Month, 1 to 12
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), requires = "region")]
    month: Option<u8>,
}

fn region(text: &str) -> Result<Region> {
    Region::read(text).ok_or_else(|| {
        let all: Vec<&str> = Region::ALL.iter().map(|r| r.code()).collect();
        Error::new(
            format!("no region `{}`", text.chars().take(40).collect::<String>()),
            all.join(", "),
            "choose one of them",
        )
    })
}

impl List {
    /// Answers.
    pub fn run(&self, desk: &Desk, pack: &SpeciesPack) -> Result<Answer, Failure> {
        let u = desk.units;
        let mut page = desk.page();
        let json = if let Some((region, month)) = self.region.zip(self.month) {
            let likely = pack.likely(region, month);
            page.say(&format!(
                "Likely in month {month}, {}, each at its likely upper size. Others may come.",
                region.words()
            ));
            page.say("");
            let rows: Vec<Vec<String>> = likely
                .iter()
                .map(|l| {
                    let heavy = l.heavy().map_or_else(|| "not known".to_owned(), |m| u.mass(m));
                    vec![l.species.name.clone(), l.length.show(u), heavy]
                })
                .collect();
            page.table(&["name", "likely upper length", "up to"], &rows, &[0, 1]);
            ListJson {
                schema: "tailrope.fish/1",
                region: Some(region.code()),
                month: Some(month),
                fish: likely
                    .iter()
                    .map(|l| {
                        let mut row = row(l.species);
                        row.likely = Some(LikelyJson {
                            length_m: l.length.length.m(),
                            length_kind: l.length.kind,
                            total_m: l.total.map(Length::m),
                            heavy_kg: l.heavy().map(Mass::kg),
                            outer_kg: l.outer_mass.map(Mass::kg),
                            note: l.note.to_owned(),
                        });
                        row
                    })
                    .collect(),
            }
        } else {
            let rows: Vec<Vec<String>> = pack
                .all()
                .iter()
                .map(|s| {
                    let care = if s.presumed_protected() {
                        "protected"
                    } else if s.cut_first() {
                        "cut first"
                    } else {
                        ""
                    };
                    let longest = s.max_length.value;
                    let longest = format!("{} {}", u.size(longest.length), longest.kind.short());
                    vec![s.id.clone(), s.name.clone(), longest, care.to_owned()]
                })
                .collect();
            page.table(&["id", "name", "longest believed", ""], &rows, &[0, 1, 2, 3]);
            page.say("");
            page.say("TL total length, FL fork length, PCL precaudal length, DW disc width. An empty last column says nothing about the law: ask `tailrope law`. A fish that nobody can name is treated as protected.");
            ListJson {
                schema: "tailrope.fish/1",
                region: None,
                month: None,
                fish: pack.all().iter().map(row).collect(),
            }
        };
        Answer::new(page.into_text(), &json)
    }
}

#[derive(Serialize)]
struct ListJson<'a> {
    schema: &'static str,
    region: Option<&'static str>,
    month: Option<u8>,
    fish: Vec<RowJson<'a>>,
}
