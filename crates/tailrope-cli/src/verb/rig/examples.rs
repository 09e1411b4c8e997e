//! The shipped rigs: named, written out.

use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use serde::Serialize;
use std::fs::{File, create_dir_all};
use std::io::{self, Write as _};
use std::path::Path;
use tailrope::Error;
use tailrope::facts::PackText;
use tailrope::tackle::Rig;

/// Names of the shipped rigs and of the crew's own beside them.
pub fn names(desk: &Desk) -> Result<Vec<String>, Failure> {
    let all = desk.packs.names("rigs")?;
    Ok(all.iter().filter_map(|n| n.strip_prefix("rigs/")?.strip_suffix(".toml").map(str::to_owned)).collect())
}

/// File name and text of one of them.
pub fn text(desk: &Desk, name: &str) -> Result<(String, String), Failure> {
    let all = names(desk)?;
    let wanted = name.trim().to_lowercase();
    if !all.contains(&wanted) {
        let error = format!("no rig is called `{}`", name.chars().take(40).collect::<String>());
        return Err(Error::new(error, all.join(", "), "see `tailrope rig --list`")
            .within("--example")
            .into());
    }
    let pack = desk.packs.get(&format!("rigs/{wanted}.toml"))?;
    Ok((format!("{wanted}.toml"), pack.text().text.to_owned()))
}

/// Why and what it lacks: the words at the head of its file.
fn about(text: &str) -> String {
    let head = text.lines().take_while(|l| l.starts_with('#'));
    head.map(|l| l.trim_start_matches('#').trim()).collect::<Vec<_>>().join(" ")
}

/// Names them all.
pub fn list(desk: &Desk) -> Result<Answer, Failure> {
    let mut rigs = Vec::new();
    for name in names(desk)? {
        let (file, text) = text(desk, &name)?;
        let rig = Rig::read(&PackText::new(&file, &text))?;
        rigs.push(Listed { name, title: rig.name, about: about(&text) });
    }
    let mut page = desk.page();
    for r in &rigs {
        page.head(&format!("{}: {}", r.name, r.title)).under("  ", &r.about);
    }
    page.say("").say("What a shore allows is unknown until its agency is asked: `tailrope rig --example NAME --place PACK`.");
    Answer::new(page.into_text(), &ListJson { schema: "tailrope.rigs/1", rigs })
}

/// Writes one, or all of them, into a folder; never over a file that is there, which may be a crew's own work.
pub fn write(desk: &Desk, only: Option<&str>, dir: &Path) -> Result<Answer, Failure> {
    let place = dir.display().to_string();
    if dir.exists() && !dir.is_dir() {
        return Err(Error::new("that is a file", "a folder", "name a folder").within(place).into());
    }
    let wanted = match only {
        Some(name) => vec![name.to_owned()],
        None => names(desk)?,
    };
    let texts = wanted.iter().map(|n| text(desk, n)).collect::<Result<Vec<_>, _>>()?;
    create_dir_all(dir).map_err(|e| Failure::machine(&place, &format!("the folder cannot be made ({e})")))?;
    // All or none: what is there already is found before the first is written.
    for (file, _) in &texts {
        if dir.join(file).exists() {
            let error =
                Error::new("the file is there already", "", "rename or remove it, or name another folder");
            return Err(error.within(dir.join(file).display().to_string()).into());
        }
    }
    let mut written = Vec::new();
    for (file, text) in &texts {
        let path = dir.join(file);
        let place = path.display().to_string();
        let failed = |e: io::Error| Failure::machine(&place, &format!("it cannot be written ({e})"));
        let mut to = File::create_new(&path).map_err(failed)?;
        to.write_all(text.as_bytes()).and_then(|()| to.sync_all()).map_err(failed)?;
        written.push(place);
    }
    let mut page = desk.page();
    page.say("Written. Edit what your caliper says, then: tailrope rig FILE").points(&written);
    Answer::new(page.into_text(), &WrittenJson { schema: "tailrope.rigs/1", written })
}

#[derive(Serialize)]
struct ListJson {
    schema: &'static str,
    rigs: Vec<Listed>,
}

#[derive(Serialize)]
struct Listed {
    name: String,
    title: String,
    about: String,
}

#[derive(Serialize)]
struct WrittenJson {
    schema: &'static str,
    written: Vec<String>,
}
