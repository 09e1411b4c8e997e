//! `tailrope rig`: parts, strengths, cut list, what the law asks, how it fits, a drawing.

mod asked;
mod examples;
mod page;

use crate::answer::{Answer, Exit, Failure};
use crate::desk::Desk;
use crate::drawn::Drawn;
use crate::verb::law::packs;
use crate::verb::night::facts;
use crate::verb::source::tables;
use clap::Args;
use serde::Serialize;
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::Known;
use tailrope::fish::{FishLength, LengthKind, SpeciesPack};
use tailrope::law::LawReport;
use tailrope::outing::limits::Limits;
use tailrope::outing::rig::{Shore, carried, judge, rig_law, rig_law_of, verdict_of};
use tailrope::outing::{Finding, Options, Verdict};
use tailrope::quantity::{Angle, Force, Length, Mass};
use tailrope::tackle::rig::{CutList, Fit, FitAsk, Made, Question, draw, leader_load, questions};
use tailrope::tackle::{LinePiece, LoadPath, Rig as WholeRig, Tables};

/// A rig proved: what it bears, what to cut, what the law asks of it, how it fits, drawn to scale
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  \
                        tailrope rig --list\n  \
                        tailrope rig --example long-rub --pull 28lbf --fish bull --length 2.4m --svg rig.svg\n  \
                        tailrope rig my-rig.toml --place us-ny\n  \
                        tailrope rig --hook 'circle 5.2mm inline gap 34mm point 27mm x1' \\\n      \
                        --bite '1.2m cable 480lb 1.59mm crimp' --rubbing '5m mono 400lb crimp swivel 1000lb'\n\n\
                        A rig file holds the keys of a rig, at the top or under [rig]; an outing file holds one too.\n\
                        With an outing or --place the rule packs are read for hook and leader, and the verdict counts\n\
                        them; the exit code is the verdict. What nobody measured is unknown: to be asked, never allowed.")]
pub struct Rig {
    /// Rig file or outing file; `-` reads standard input
    file: Option<PathBuf>,
    /// A shipped rig in place of a file
    #[arg(long, value_name = "NAME")]
    example: Option<String>,
    /// Name the shipped rigs, and say why each and what it lacks
    #[arg(long, conflicts_with_all = ["file", "example", "write"])]
    list: bool,
    /// Write the shipped rigs, or the one of --example, into this folder
    #[arg(long, value_name = "DIR", conflicts_with = "file")]
    write: Option<PathBuf>,
    /// Which outfit of the file it hangs on [default: the first]
    #[arg(long, value_name = "NAME")]
    outfit: Option<String>,
    /// What to call a rig of typed parts
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Hook: circle 18/0 5.2mm inline carbon-steel gap 34mm point 27mm x1
    #[arg(long, value_name = "WORDS")]
    hook: Option<String>,
    /// Hand section, next to the main line: 1m mono 600lb padded crimp swivel 1000lb
    #[arg(long, value_name = "WORDS")]
    hand: Vec<String>,
    /// Rubbing section: 5m mono 400lb 2.05mm crimp
    #[arg(long, value_name = "WORDS")]
    rubbing: Vec<String>,
    /// Bite section, next to the hook: 1.5m cable 480lb
    #[arg(long, value_name = "WORDS")]
    bite: Vec<String>,
    /// Sinker: 150g weak-link link 20lb arm 0.4m
    #[arg(long, value_name = "WORDS")]
    sinker: Option<String>,
    /// The line's pull when the leader is taken [default: the outfit's fight drag, started up]
    #[arg(long, allow_hyphen_values = true, value_name = "FORCE")]
    pull: Option<Force>,
    /// Line on the reel, for what flies back: 300m mono 80lb (again for each piece, inner end first)
    #[arg(long, value_name = "WORDS", value_parser = asked::line)]
    line: Vec<LinePiece>,
    /// Largest likely fish, by name or id
    #[arg(long, value_name = "NAME")]
    fish: Option<String>,
    /// Its length, total unless it says how it was measured (2.1m fork) [default: its likely upper one]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", value_parser = fish_length)]
    length: Option<FishLength>,
    /// Weight cast [default: the sinker's]
    #[arg(long, allow_hyphen_values = true, value_name = "MASS")]
    cast: Option<Mass>,
    /// Rod tip above the water when the swivel is at it [default: the pack's]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    tip_height: Option<Length>,
    /// Leader hand above the water [default: the pack's]
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    hand_height: Option<Length>,
    /// Leader below level there [default: the pack's band]
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE")]
    leader_angle: Option<Angle>,
    /// Rule pack of the place (again for several); `tailrope law show` names them
    #[arg(long, value_name = "PACK")]
    place: Vec<String>,
    /// Zone of those packs in which the stand lies (again for several)
    #[arg(long, value_name = "ZONE", requires = "place")]
    zone: Vec<String>,
    #[command(flatten)]
    drawn: Drawn,
}

/// A length of a fish; without a word it is the total length.
fn fish_length(text: &str) -> tailrope::Result<FishLength> {
    match text.trim().parse::<Length>() {
        Ok(l) => Ok(FishLength::new(LengthKind::Total, l)),
        Err(_) => text.parse(),
    }
}

/// Everything found.
struct Found {
    rig: WholeRig,
    from: Option<String>,
    outfit: Option<String>,
    made: Made,
    list: CutList,
    asks: Vec<Question>,
    fit: Fit,
    findings: Vec<Finding>,
    law: Option<LawReport>,
    verdict: Option<Verdict>,
    metal_with_eyes: Known<Length>,
}

impl Rig {
    fn typed(&self) -> bool {
        self.hook.is_some()
            || self.sinker.is_some()
            || self.name.is_some()
            || [&self.hand, &self.rubbing, &self.bite].iter().any(|v| !v.is_empty())
    }

    /// Answers.
    pub fn run(&self, desk: &Desk) -> Result<Answer, Failure> {
        if self.list {
            return examples::list(desk);
        }
        if let Some(dir) = &self.write {
            if self.typed() || desk.demo.is_some() {
                let error = Error::new(
                    "only shipped rigs are written",
                    "--example NAME, or none for all",
                    "drop the rest",
                );
                return Err(error.within("--write").into());
            }
            return examples::write(desk, self.example.as_deref(), dir);
        }
        let tables = tables(desk)?;
        let found = self.find(desk, &tables)?;
        self.drawn.write(&draw(&found.rig, &found.made, &tables, desk.units))?;
        let exit = found.verdict.map_or(Exit::Done, Exit::from);
        Ok(Answer::new(page::page(desk, &found), &json(&found))?.with_exit(exit))
    }

    fn find(&self, desk: &Desk, tables: &Tables) -> Result<Found, Failure> {
        let asked::Asked { rig, outfit, night, from } = asked::read(self, desk)?;
        let text = desk.packs.get("limits.toml")?;
        let mut limits = Limits::read(&text.text())?;
        if let Some(night) = &night {
            // The crew's own borders, as its plan takes them.
            limits = limits.edited(&night.outing.limit).map_err(|e| night.place(e))?;
        }
        // The pull at the leader: typed, else what the outfit's fight drag becomes at its start with a full spool.
        let planned = match (&outfit, self.pull) {
            (Some(o), None) => match o.drag.fight {
                Known::Known(drag) => {
                    let path = LoadPath::new(o, Some(&rig), tables)?;
                    let full = path.at_reel_full(drag, o.drag.at, Length::ZERO);
                    Some(path.leader_stage(full).line)
                }
                Known::Unknown => None,
            },
            (_, typed) => typed,
        };
        let line = match (&outfit, self.line.is_empty()) {
            (Some(o), true) => o.line.clone(),
            _ => self.line.clone(),
        };
        let ask = FitAsk {
            fish: self.fish(desk)?,
            cast: self.cast,
            carried: night.as_ref().is_some_and(|n| carried(&n.outing)),
            tip_height: self.tip_height,
            hand_height: self.hand_height,
            angle: self.leader_angle,
            pull: planned,
            line,
        };
        let fit = rig.fit(tables, &ask).map_err(|e| e.within("command line"))?;
        let made = rig.made(tables, planned.map(|p| leader_load(tables, p)).into())?;
        let (judged, findings) = judge(&limits, &made, &fit, desk.units);
        let law = match (&night, self.place.is_empty()) {
            (_, false) => {
                let shore = Shore {
                    packs: self.place.iter().map(|p| p.trim().to_lowercase().replace('_', "-")).collect(),
                    zones: if self.zone.is_empty() {
                        Known::Unknown
                    } else {
                        Known::Known(self.zone.clone())
                    },
                    sharks: self.sharks(desk)?,
                    read_on: desk.read_on(),
                };
                Some(rig_law(&packs(desk)?, tables, &rig, &shore).map_err(|e| e.within("--place"))?)
            }
            (Some(night), true) => {
                let options = night.options(desk, Options::FIGHTS)?;
                Some(rig_law_of(&facts(desk)?, &night.outing, &options).map_err(|e| night.place(e))?)
            }
            (None, true) => None,
        };
        // Without the law a rig is never *go*: what was found wrong with it is said, nothing else.
        let verdict = match &law {
            Some(l) => Some(judged.max(verdict_of(l.verdict))),
            None => Some(judged).filter(|v| *v != Verdict::Go),
        };
        Ok(Found {
            list: rig.cut_list(tables),
            asks: questions(&rig, tables),
            metal_with_eyes: rig.metal_with_eyes(tables),
            outfit: outfit.map(|o| o.name),
            rig,
            from,
            made,
            fit,
            findings,
            law,
            verdict,
        })
    }

    /// Total length of the fish asked about.
    fn fish(&self, desk: &Desk) -> Result<Option<Length>, Failure> {
        let Some(name) = &self.fish else {
            return match self.length {
                None => Ok(None),
                Some(l) if matches!(l.kind, LengthKind::Total | LengthKind::DiscWidth) => Ok(Some(l.length)),
                Some(_) => Err(Error::new(
                    "a fork or precaudal length without a fish",
                    "a total length, or --fish",
                    "name the fish, so that its total length can be told",
                )
                .within("--length")
                .into()),
            };
        };
        let text = desk.packs.get("species.toml")?;
        let pack = SpeciesPack::load(&text.text())?;
        let s = super::fish::find(&pack, name)?;
        let given = match self.length {
            Some(l) => l.sensible("length of the fish")?,
            None => pack.likely_upper(s),
        };
        Ok(Some(s.convert(given, LengthKind::Total).map_or(given.length, |c| c.value.length)))
    }

    fn sharks(&self, desk: &Desk) -> Result<Known<bool>, Failure> {
        let Some(name) = &self.fish else { return Ok(Known::Unknown) };
        let text = desk.packs.get("species.toml")?;
        let pack = SpeciesPack::load(&text.text())?;
        let s = super::fish::find(&pack, name)?;
        Ok(Known::Known(s.group == tailrope::fish::Group::Shark))
    }
}

#[derive(Serialize)]
struct Json<'a> {
    schema: &'static str,
    name: &'a str,
    file: Option<&'a str>,
    outfit: Option<&'a str>,
    /// What the exit code says. `null` where the law was not read and nothing else was found: never *go*.
    verdict: Option<Verdict>,
    findings: &'a [Finding],
    sections: usize,
    metal_length_m: Known<f64>,
    metal_with_eyes_m: Known<f64>,
    made: &'a Made,
    cut_list: &'a CutList,
    law_asks: &'a [Question],
    fit: &'a Fit,
    law: Option<&'a LawReport>,
}

fn json(f: &Found) -> Json<'_> {
    Json {
        schema: "tailrope.rig/1",
        name: &f.rig.name,
        file: f.from.as_deref(),
        outfit: f.outfit.as_deref(),
        verdict: f.verdict,
        findings: &f.findings,
        sections: f.rig.sections.len(),
        metal_length_m: f.rig.metal_length().get().map(Length::m).into(),
        metal_with_eyes_m: f.metal_with_eyes.get().map(Length::m).into(),
        made: &f.made,
        cut_list: &f.list,
        law_asks: &f.asks,
        fit: &f.fit,
        law: f.law.as_ref(),
    }
}
