//! Where a verb's outfit, rig or whole night comes from: a file, or a shipped scenario.

use crate::answer::Failure;
use crate::desk::Desk;
use crate::input;
use clap::Args;
use serde::Deserialize;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::{Known, PackText};
use tailrope::outing::Outing;
use tailrope::quantity::Temperature;
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
    /// Air of the night, as the outing says it.
    pub air: Known<Temperature>,
}

impl Tackle {
    /// What a text holds: an outing, or outfits and a rig alone.
    pub fn of(name: &str, text: &str) -> Result<Self, Failure> {
        let pack = PackText::new(name, text);
        if is_outing(text) {
            let outing = Outing::read(&pack)?;
            let air = outing.weather.air_temperature;
            return Ok(Self { outfits: outing.outfit, rig: Some(outing.rig), air });
        }
        let bare: Bare = pack.read()?;
        Ok(Self { outfits: bare.outfit, rig: bare.rig, air: Known::Unknown })
    }

    /// Index of the outfit of this name; of the first without one.
    pub fn index(&self, name: Option<&String>) -> Result<usize, Failure> {
        if let Some(name) = name {
            let names: Vec<String> = self.outfits.iter().map(|o| o.name.clone()).collect();
            let found = self.outfits.iter().position(|o| o.name.eq_ignore_ascii_case(name.trim()));
            return found.ok_or_else(|| {
                let error = format!("no outfit is called `{name}`");
                Error::new(error, names.join(", "), "give one of these names").within("--outfit").into()
            });
        }
        if self.outfits.is_empty() {
            return Err(Error::new(
                "the file holds no outfit",
                "at least one [[outfit]] table",
                "see `tailrope demo --write DIR`",
            )
            .into());
        }
        Ok(0)
    }
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
        self.read_with_air(desk).map(|(outfit, rig, _)| (outfit, rig))
    }

    /// The same, and the air of the night where the file says it.
    pub fn read_with_air(&self, desk: &Desk) -> Result<(Outfit, Option<Rig>, Known<Temperature>), Failure> {
        if let (None, None, Some(words)) = (&self.file, &desk.demo, &self.outfit) {
            let outfit = tackle::brief(words, &tables(desk)?).map_err(|e| e.within("--outfit"))?;
            return Ok((outfit, None, Known::Unknown));
        }
        let (name, text) = text(self.file.as_ref(), desk)?;
        let mut all = Tackle::of(&name, &text)?;
        let outfit = all.outfits.swap_remove(all.index(self.outfit.as_ref())?);
        Ok((outfit, all.rig, all.air))
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
