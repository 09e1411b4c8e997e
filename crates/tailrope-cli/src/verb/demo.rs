//! `tailrope demo`: a shipped scenario, end to end.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::verb::night::{Night, answer, facts, fights};
use crate::verb::source;
use clap::Args;
use serde::Serialize;
use std::fs::{File, create_dir_all};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use tailrope::Error;
use tailrope::facts::PackText;
use tailrope::outing::Outing;

/// Plans a shipped scenario end to end; touches nothing of your own
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope demo\n  \
                        tailrope demo two-hands\n  \
                        tailrope demo --write my-nights    # its outing file, to edit and plan\n\n\
                        A scenario is read on the day before its night, whatever today is; --read-on changes that.")]
pub struct Demo {
    /// Scenario, by the name that --list shows [default: the first]
    name: Option<String>,
    /// Name the scenarios
    #[arg(long)]
    list: bool,
    /// Write the outing file into this folder in place of planning it
    #[arg(long, value_name = "DIR", conflicts_with = "list")]
    write: Option<PathBuf>,
    /// Fights of the forecast
    #[arg(long, value_parser = fights, default_value = "10000", value_name = "N")]
    fights: u32,
}

impl Demo {
    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        if self.list {
            return list(desk);
        }
        let name = self.name.as_deref().or(desk.demo.as_deref()).unwrap_or_default();
        if let Some(dir) = &self.write {
            return write(desk, name, dir);
        }
        let night = Night::shipped(name, desk)?;
        let plan = night.plan(&facts(desk)?, &night.outing, &night.options(desk, self.fights)?)?;
        Ok(answer(&plan, desk))
    }
}

fn list(desk: &Desk) -> Result<Answer, Failure> {
    let mut scenarios = Vec::new();
    for name in source::demos(desk)? {
        let (file, text) = source::demo(desk, &name)?;
        let outing = Outing::read(&PackText::new(&file, &text))?;
        scenarios.push(Scenario {
            name,
            title: outing.name,
            date: outing.night.date.to_string(),
            beach: outing.beach.name,
        });
    }
    let rows: Vec<Vec<String>> =
        scenarios.iter().map(|s| vec![s.name.clone(), s.date.clone(), s.title.clone()]).collect();
    let mut page = desk.page();
    page.table(&["scenario", "night", "what"], &rows, &[0, 1, 2]);
    Answer::new(page.into_text(), &ListJson { schema: "tailrope.demo/1", scenarios })
}

/// Writes the outing file; never over a file that is there, which may be a crew's own work.
fn write(desk: &Desk, name: &str, dir: &Path) -> Result<Answer, Failure> {
    let (file, text) = source::demo(desk, name)?;
    let place = dir.display().to_string();
    if dir.exists() && !dir.is_dir() {
        return Err(Error::new("that is a file", "a folder", "name a folder").within(place).into());
    }
    create_dir_all(dir).map_err(|e| Failure::machine(&place, &format!("the folder cannot be made ({e})")))?;
    let path = dir.join(&file);
    let place = path.display().to_string();
    let mut to = File::create_new(&path).map_err(|e| match e.kind() {
        io::ErrorKind::AlreadyExists => {
            let error =
                Error::new("the file is there already", "", "rename or remove it, or name another folder");
            error.within(&place).into()
        }
        _ => Failure::machine(&place, &format!("it cannot be written ({e})")),
    })?;
    to.write_all(text.as_bytes())
        .and_then(|()| to.sync_all())
        .map_err(|e| Failure::machine(&place, &format!("it cannot be written ({e})")))?;
    let mut page = desk.page();
    page.say(&format!("{place} is written. Edit it, then: tailrope plan {place}"));
    Answer::new(page.into_text(), &WrittenJson { schema: "tailrope.demo/1", written: vec![place] })
}

#[derive(Serialize)]
struct ListJson {
    schema: &'static str,
    scenarios: Vec<Scenario>,
}

#[derive(Serialize)]
struct Scenario {
    name: String,
    title: String,
    date: String,
    beach: String,
}

#[derive(Serialize)]
struct WrittenJson {
    schema: &'static str,
    written: Vec<String>,
}
