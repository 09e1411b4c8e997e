//! What `tailrope rig` is asked about: a file, an example, a scenario, or parts typed as flags.

use super::{Rig as Flags, examples};
use crate::answer::Failure;
use crate::desk::Desk;
use crate::verb::night::Night;
use crate::verb::source::{self, is_outing};
use serde::Deserialize;
use tailrope::Error;
use tailrope::facts::{Known, PackText};
use tailrope::tackle::rig::piece;
use tailrope::tackle::{Hook, LinePiece, LineRole, Outfit, Rig, SectionRole};

/// A rig, and what is known of what it hangs on.
pub struct Asked {
    /// The rig.
    pub rig: Rig,
    /// Outfit it hangs on.
    pub outfit: Option<Outfit>,
    /// The night it is for.
    pub night: Option<Night>,
    /// File or example it comes from.
    pub from: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Bare {
    outfit: Vec<Outfit>,
    rig: Rig,
}

/// Reads it.
pub fn read(flags: &Flags, desk: &Desk) -> Result<Asked, Failure> {
    if flags.typed() {
        if flags.file.is_some() || flags.example.is_some() || desk.demo.is_some() {
            return Err(Error::new(
                "parts are typed and a file, an example or a scenario is named",
                "one of them",
                "leave one out, or write the file and edit it",
            )
            .within("command line")
            .into());
        }
        return Ok(Asked { rig: typed(flags)?, outfit: None, night: None, from: None });
    }
    let (name, text) = match (&flags.example, &flags.file) {
        (Some(example), None) if desk.demo.is_none() => examples::text(desk, example)?,
        (Some(_), _) => {
            return Err(Error::new(
                "an example and a file or scenario are named",
                "one of them",
                "leave one out",
            )
            .within("--example")
            .into());
        }
        (None, None) if desk.demo.is_none() => {
            return Err(Error::new(
                "no rig is given",
                "a rig file, an outing file, --example NAME, --demo, or parts as --hook, --bite, --rubbing, --hand",
                "see `tailrope rig --list`",
            )
            .into());
        }
        (None, _) => source::text(flags.file.as_ref(), desk)?,
    };
    let pack = PackText::new(&name, &text);
    let from = Some(name.clone());
    if is_outing(&text) || text.trim_start().starts_with('{') {
        let night = Night::of(&name, &text, flags.file.is_none())?;
        let mut outfits = night.outing.outfit.clone();
        let outfit = match &flags.outfit {
            None if outfits.is_empty() => None,
            None => Some(outfits.swap_remove(0)),
            Some(wanted) => Some(pick(outfits, wanted)?),
        };
        return Ok(Asked { rig: night.outing.rig.clone(), outfit, night: Some(night), from });
    }
    let outfits = text.lines().any(|l| l.trim_start().starts_with("[[outfit]]"));
    if outfits {
        let bare: Bare = pack.read()?;
        bare.rig.check().map_err(|e| e.within(&name))?;
        let outfit = match &flags.outfit {
            None => bare.outfit.into_iter().next(),
            Some(wanted) => Some(pick(bare.outfit, wanted)?),
        };
        return Ok(Asked { rig: bare.rig, outfit, night: None, from });
    }
    if flags.outfit.is_some() {
        return Err(Error::new("the file holds no outfit", "a file with [[outfit]]", "drop it")
            .within("--outfit")
            .into());
    }
    Ok(Asked { rig: Rig::read(&pack)?, outfit: None, night: None, from })
}

fn pick(all: Vec<Outfit>, wanted: &str) -> Result<Outfit, Failure> {
    let names: Vec<String> = all.iter().map(|o| o.name.clone()).collect();
    all.into_iter().find(|o| o.name.eq_ignore_ascii_case(wanted.trim())).ok_or_else(|| {
        let error = format!("no outfit is called `{wanted}`");
        Error::new(error, names.join(", "), "give one of these names").within("--outfit").into()
    })
}

fn typed(flags: &Flags) -> Result<Rig, Failure> {
    let mut sections = Vec::new();
    for (flag, role, words) in [
        ("--hand", SectionRole::Hand, &flags.hand),
        ("--rubbing", SectionRole::Rubbing, &flags.rubbing),
        ("--bite", SectionRole::Bite, &flags.bite),
    ] {
        for text in words {
            sections.push(piece::section(role, text).map_err(|e| e.within(flag))?);
        }
    }
    let hook = match &flags.hook {
        Some(text) => piece::hook(text).map_err(|e| e.within("--hook"))?,
        None => Hook::default(),
    };
    let sinker = flags.sinker.as_deref().map(piece::sinker).transpose().map_err(|e| e.within("--sinker"))?;
    let rig = Rig { name: flags.name.clone().unwrap_or_else(|| "rig".to_owned()), sections, hook, sinker };
    rig.check().map_err(|e| e.within("command line"))?;
    Ok(rig)
}

/// A line from the words of a section: `300m mono 80lb 0.9mm`.
pub fn line(text: &str) -> tailrope::Result<LinePiece> {
    let s = piece::section(SectionRole::Rubbing, text)?;
    let (Known::Known(length), Known::Known(material)) = (s.length, s.material) else {
        return Err(Error::new(
            "length or material of the line is missing",
            "both, with a strength or a diameter",
            "write it like `300m mono 80lb`",
        ));
    };
    Ok(LinePiece {
        strength: s.strength,
        diameter: s.diameter,
        ..LinePiece::new(
            LineRole::Main,
            length,
            material,
            tailrope::quantity::Force::ZERO,
            tailrope::quantity::Length::ZERO,
        )
    })
}
