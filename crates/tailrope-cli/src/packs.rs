//! The data packs: shipped inside the program, each shadowed by a file of the same name in the crew's folder.

use crate::answer::Failure;
use crate::input;
use std::borrow::Cow;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::PackText;
use tailrope::outing::facts::{OWN_STATIONS, WORLD};
use tailrope::sea::tide::Stations;
use tailrope::sea::tide::world::World;

/// Largest pack of tide stations that is read.
const MOST_WORLD: usize = 32 * 1024 * 1024;

include!(concat!(env!("OUT_DIR"), "/shipped.rs"));

/// The shipped pack of tide stations.
static SHIPPED_WORLD: &[u8] = include_bytes!("../../../data/stations.bin");

/// Where packs are looked for.
#[derive(Debug)]
pub struct Packs {
    own: Option<PathBuf>,
}

/// One pack's text and the name under which refusals speak of it.
#[derive(Clone, Debug)]
pub struct Pack {
    file: String,
    text: Cow<'static, str>,
    own: bool,
}

impl Pack {
    /// As the library reads it.
    pub fn text(&self) -> PackText<'_> {
        PackText::new(&self.file, &self.text)
    }
}

impl Packs {
    /// With the crew's own folder, from the flag or else the variable `TAILROPE_DATA`.
    pub fn open(flag: Option<PathBuf>) -> Result<Self, Failure> {
        let said = if flag.is_some() { "--data" } else { "TAILROPE_DATA" };
        let own =
            flag.or_else(|| std::env::var_os("TAILROPE_DATA").filter(|v| !v.is_empty()).map(PathBuf::from));
        if let Some(dir) = &own
            && !dir.is_dir()
        {
            return Err(Error::new(
                format!("there is no folder {}", dir.display()),
                "a folder that holds packs by the names of the shipped ones",
                "make it, or leave the setting out to use the shipped packs",
            )
            .within(said)
            .into());
        }
        Ok(Self { own })
    }

    /// The pack `name` (path within `data/`, as `limits.toml`), the crew's own before the shipped one.
    pub fn get(&self, name: &str) -> Result<Pack, Failure> {
        if let Some(own) = self.own.as_ref().map(|dir| dir.join(name))
            && own.exists()
        {
            return Ok(Pack {
                file: own.display().to_string(),
                text: Cow::Owned(input::read(&own)?),
                own: true,
            });
        }
        SHIPPED
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(n, text)| Pack { file: format!("data/{n}"), text: Cow::Borrowed(text), own: false })
            .ok_or_else(|| {
                Error::new(format!("there is no pack {name}"), "", "put it into the folder named by --data")
                    .into()
            })
    }

    /// The pack of tide stations, the crew's own before the shipped one.
    pub fn world(&self) -> Result<World, Failure> {
        if let Some(own) = self.own.as_ref().map(|dir| dir.join(WORLD)).filter(|own| own.exists()) {
            return Ok(World::open(&own.display().to_string(), input::bytes(&own, MOST_WORLD)?)?);
        }
        Ok(World::open(&format!("data/{WORLD}"), SHIPPED_WORLD)?)
    }

    /// Every tide station: the crew's own, then those of the world pack.
    pub fn stations(&self) -> Result<Stations, Failure> {
        let world = self.world()?;
        if !self.own.as_ref().is_some_and(|dir| dir.join(OWN_STATIONS).exists()) {
            return Ok(Stations::of_world(world));
        }
        let own = self.get(OWN_STATIONS)?;
        Ok(Stations::read_beside(&own.text(), Some(world))?)
    }

    /// Every pack a plan reads, by its bare name: the shipped ones, then the crew's own, which count.
    pub fn all(&self) -> Result<Vec<(String, Pack)>, Failure> {
        let mut all: Vec<(String, Pack)> = SHIPPED
            .iter()
            .filter(|(n, _)| !n.contains('/') || n.starts_with("law/"))
            .map(|(n, text)| {
                ((*n).to_owned(), Pack { file: (*n).to_owned(), text: Cow::Borrowed(text), own: false })
            })
            .collect();
        let mut names: Vec<String> = all.iter().map(|(n, _)| n.clone()).collect();
        names.extend(self.names("law")?);
        if self.own.as_ref().is_some_and(|dir| dir.join(OWN_STATIONS).exists()) {
            names.push(OWN_STATIONS.to_owned());
        }
        names.sort();
        names.dedup();
        for name in names {
            let pack = self.get(&name)?;
            if pack.own {
                all.push((name, pack));
            }
        }
        Ok(all)
    }

    /// Says of a refusal about a pack by its bare name whether it is the crew's own file.
    pub fn place(&self, e: Error) -> Error {
        let name = e.place.split(',').next().unwrap_or("").to_owned();
        match self.own.as_ref().map(|dir| dir.join(&name)) {
            Some(own) if !name.is_empty() && own.is_file() => {
                let rest = e.place[name.len()..].to_owned();
                Error { place: format!("{}{rest}", own.display()), ..e }
            }
            _ => e,
        }
    }

    /// Names of all packs of a folder, sorted.
    pub fn names(&self, folder: &str) -> Result<Vec<String>, Failure> {
        let prefix = format!("{folder}/");
        let mut names: Vec<String> =
            SHIPPED.iter().map(|(n, _)| (*n).to_owned()).filter(|n| n.starts_with(&prefix)).collect();
        if let Some(dir) = self.own.as_ref().map(|d| d.join(folder)).filter(|d| d.is_dir()) {
            let fail = |e: std::io::Error| {
                Failure::machine(&dir.display().to_string(), &format!("it cannot be listed ({e})"))
            };
            for entry in std::fs::read_dir(&dir).map_err(fail)? {
                let name = entry.map_err(fail)?.file_name().to_string_lossy().into_owned();
                if std::path::Path::new(&name).extension().is_some_and(|e| e == "toml") {
                    names.push(format!("{prefix}{name}"));
                }
            }
        }
        names.sort();
        names.dedup();
        Ok(names)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shipped_packs_are_found_and_unknown_ones_refused() {
        let packs = Packs { own: None };
        assert!(packs.get("limits.toml").unwrap().text().text.contains("[[limit]]"));
        assert!(matches!(packs.get("nothing.toml"), Err(Failure::Input(_))));
    }
}
