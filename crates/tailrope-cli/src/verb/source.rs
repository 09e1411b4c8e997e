//! Where a verb's outfit, rig or whole night comes from: a file, or a shipped scenario.

use crate::answer::Failure;
use crate::desk::Desk;
use crate::input;
use clap::Args;
use serde::Deserialize;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::PackText;
use tailrope::outing::Outing;
use tailrope::tackle::{self, Outfit, Rig, Tables};

/// The scenario that `demo` and a bare `--demo` mean.
pub const FIRST: &str = "pelican-bar";

/// An outfit and the rig on it.
#[derive(Args, Debug)]
pub struct FromFile {
    /// Outing file, or a file that holds only [[outfit]] tables and a [rig]; `-` reads standard input
    file: Option<PathBuf>,
    /// Which outfit of the file, by its name [default: the first]; without a file the outfit itself in trade words:
    /// "80W, 0.9 mm mono, ring guides"
    #[arg(long, value_name = "NAME|WORDS")]
    outfit: Option<String>,
}

/// What such a file holds.
#[derive(Debug)]
pub struct Tackle {
    /// Outfits.
    pub outfits: Vec<Outfit>,
    /// Rig.
    pub rig: Option<Rig>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Bare {
    #[serde(default)]
    outfit: Vec<Outfit>,
    rig: Option<Rig>,
}

impl FromFile {
    /// The outfit meant and the rig.
    pub fn read(&self, desk: &Desk) -> Result<(Outfit, Option<Rig>), Failure> {
        if let (None, None, Some(words)) = (&self.file, &desk.demo, &self.outfit) {
            let outfit = tackle::brief(words, &tables(desk)?).map_err(|e| e.within("--outfit"))?;
            return Ok((outfit, None));
        }
        let Tackle { outfits, rig } = self.all(desk)?;
        let outfit = match &self.outfit {
            None => outfits.into_iter().next(),
            Some(name) => {
                let names: Vec<String> = outfits.iter().map(|o| o.name.clone()).collect();
                let found = outfits.into_iter().find(|o| o.name.eq_ignore_ascii_case(name.trim()));
                if found.is_none() {
                    let error = format!("no outfit is called `{name}`");
                    return Err(Error::new(error, names.join(", "), "give one of these names")
                        .within("--outfit")
                        .into());
                }
                found
            }
        };
        let outfit = outfit.ok_or_else(|| {
            Error::new(
                "the file holds no outfit",
                "at least one [[outfit]] table",
                "see `tailrope demo --write DIR`",
            )
        })?;
        Ok((outfit, rig))
    }

    fn all(&self, desk: &Desk) -> Result<Tackle, Failure> {
        let (name, text) = text(self.file.as_ref(), desk)?;
        let pack = PackText::new(&name, &text);
        if is_outing(&text) {
            let outing = Outing::read(&pack)?;
            return Ok(Tackle { outfits: outing.outfit, rig: Some(outing.rig) });
        }
        let bare: Bare = pack.read()?;
        Ok(Tackle { outfits: bare.outfit, rig: bare.rig })
    }
}

/// Whether a text names the schema of an outing, in a line of its own before the first table.
pub fn is_outing(text: &str) -> bool {
    text.lines()
        .take_while(|l| !l.trim_start().starts_with('['))
        .any(|l| l.trim_start().starts_with("schema"))
}

/// Text and name of the file, or of the scenario that --demo names.
pub fn text(file: Option<&PathBuf>, desk: &Desk) -> Result<(String, String), Failure> {
    match (file, &desk.demo) {
        (Some(_), Some(_)) => Err(Error::new("a file and --demo are given", "one of them", "leave one out")
            .within("--demo")
            .into()),
        (Some(file), None) => {
            let text = input::read(file)?;
            let name = file.display().to_string();
            Ok((if name == "-" { "standard input".to_owned() } else { name }, text))
        }
        (None, Some(name)) => demo(desk, name),
        (None, None) => Err(Error::new(
            "no file is given",
            "an outing file, or --demo [NAME]",
            "start from `tailrope demo --write DIR`",
        )
        .into()),
    }
}

/// Name and text of a shipped scenario; an empty name means the first.
pub fn demo(desk: &Desk, name: &str) -> Result<(String, String), Failure> {
    let name = if name.is_empty() { FIRST } else { name };
    let all = demos(desk)?;
    if !all.iter().any(|n| n == name) {
        let error = format!("no scenario is called `{}`", name.chars().take(40).collect::<String>());
        return Err(Error::new(error, all.join(", "), "see `tailrope demo --list`").into());
    }
    let pack = desk.packs.get(&format!("demo/{name}.toml"))?;
    Ok((format!("{name}.toml"), pack.text().text.to_owned()))
}

/// Names of the shipped scenarios, the first one first.
pub fn demos(desk: &Desk) -> Result<Vec<String>, Failure> {
    let mut names: Vec<String> = desk
        .packs
        .names("demo")?
        .iter()
        .filter_map(|n| n.strip_prefix("demo/")?.strip_suffix(".toml").map(str::to_owned))
        .collect();
    names.sort_by_key(|n| (n != FIRST, n.clone()));
    Ok(names)
}

/// The tackle tables.
pub fn tables(desk: &Desk) -> Result<Tables, Failure> {
    let pack = desk.packs.get("tackle.toml")?;
    Ok(Tables::read(&pack.text())?)
}

#[cfg(test)]
mod tests {
    use super::is_outing;

    #[test]
    fn an_outing_names_its_schema_before_any_table() {
        assert!(is_outing("# night\nschema = \"tailrope.outing/1\"\n[night]\n"));
        assert!(!is_outing("[[outfit]]\nname = \"x\"\n[rig]\nschema = 1\n"));
    }
}
