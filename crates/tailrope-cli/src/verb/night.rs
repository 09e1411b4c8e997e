//! What planning a night takes, for `plan`, `demo` and the fight: packs, outing, day, threads.

use crate::answer::{Answer, Exit, Failure};
use crate::desk::Desk;
use crate::verb::source;
use crate::when;
use jiff::Timestamp;
use jiff::civil::Date;
use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};
use std::path::PathBuf;
use tailrope::Error;
use tailrope::facts::PackText;
use tailrope::fight::{Fights, Part, chunks};
use tailrope::outing::facts::OWN_STATIONS;
use tailrope::outing::{Facts, Options, Outing, Plan, plan, text};
use tailrope::sea::tide::world::World;

/// Reads all packs, the crew's own before the shipped.
pub fn facts(desk: &Desk) -> Result<Facts, Failure> {
    let world = desk.packs.world()?;
    read(desk, |_| true, Some(world))
}

/// The same without tide stations, for questions in which there is no tide.
pub fn facts_without_tide(desk: &Desk) -> Result<Facts, Failure> {
    read(desk, |name| name != OWN_STATIONS, None)
}

fn read(desk: &Desk, wanted: fn(&str) -> bool, world: Option<World>) -> Result<Facts, Failure> {
    let all = desk.packs.all()?;
    let texts: Vec<PackText<'_>> = all
        .iter()
        .filter(|(name, _)| wanted(name))
        .map(|(name, p)| PackText::new(name, p.text().text))
        .collect();
    Facts::read(&texts, world).map_err(|e| desk.packs.place(e).into())
}

/// An outing, its text, and whether it is a shipped scenario.
pub struct Night {
    /// The outing.
    pub outing: Outing,
    /// Name of its file.
    pub file: String,
    text: String,
    demo: bool,
}

impl Night {
    /// From the file, or from the scenario that --demo names.
    pub fn read(file: Option<&PathBuf>, desk: &Desk) -> Result<Self, Failure> {
        let (name, text) = source::text(file, desk)?;
        Ok(Self { outing: parse(&name, &text)?, file: name, text, demo: file.is_none() })
    }

    /// From a text that was read already; `shipped` says whether it is a scenario.
    pub fn of(name: &str, text: &str, shipped: bool) -> Result<Self, Failure> {
        Ok(Self { outing: parse(name, text)?, file: name.to_owned(), text: text.to_owned(), demo: shipped })
    }

    /// A shipped scenario; an empty name means the first.
    pub fn shipped(name: &str, desk: &Desk) -> Result<Self, Failure> {
        let (file, text) = source::demo(desk, name)?;
        Ok(Self { outing: parse(&file, &text)?, file, text, demo: true })
    }

    /// The day and the moment at which things are read, at the beach: as said; for a scenario the day before its night,
    /// so that it answers the same for ever; else the machine's clock. With a day alone ages are whole days.
    pub fn read_at(&self, desk: &Desk) -> Result<(Date, Option<Timestamp>), Failure> {
        let zone = when::zone(&self.outing.beach.zone)?;
        let now = desk.now_said().map(|now| now.at(&zone)).transpose()?;
        if let (Some(said), Some(now)) = (desk.read_on_said(), now) {
            let date = zone.to_datetime(now).date();
            if date != said {
                let error = format!("--now is on {date} at the beach, --read-on says {said}");
                return Err(Error::new(error, "one day", "leave one of the two out").within("--now").into());
            }
        }
        let eve = self.outing.night.date.0.yesterday();
        Ok(match (desk.read_on_said(), now, eve) {
            (Some(said), now, _) => (said, now),
            (None, Some(now), _) => (zone.to_datetime(now).date(), Some(now)),
            (None, None, Ok(eve)) if self.demo => (eve, None),
            _ => {
                let now = Timestamp::now();
                (zone.to_datetime(now).date(), Some(now))
            }
        })
    }

    /// The plan of this night, or of the same outing with changes. A refusal names file and line.
    pub fn plan(&self, facts: &Facts, outing: &Outing, options: &Options) -> Result<Plan, Failure> {
        plan(facts, outing, options, &parallel).map_err(|e| self.place(e).into())
    }

    /// Puts file and line before a refusal whose place is a key of the outing.
    pub fn place(&self, e: Error) -> Error {
        let text = PackText::new(&self.file, &self.text);
        let known = !e.place.is_empty() && !e.place.contains(' ');
        if known {
            text.place(&e.place.clone(), Error { place: String::new(), ..e })
        } else {
            e.within(&self.file)
        }
    }

    /// What is asked of a plan.
    pub fn options(&self, desk: &Desk, fights: u32) -> Result<Options, Failure> {
        let (day, now) = self.read_at(desk)?;
        Ok(Options { units: desk.units, seed: desk.seed, fights, now, ..Options::on(day) })
    }
}

fn parse(name: &str, text: &str) -> Result<Outing, Failure> {
    let outing = if text.trim_start().starts_with('{') {
        Outing::read_json(name, text)
    } else {
        Outing::read(&PackText::new(name, text))
    };
    Ok(outing?)
}

/// Runs fights on all threads. Chunks come back in their order, so the bits do not depend on the threads.
pub fn parallel(fights: &Fights, n: u64) -> Part {
    let ranges: Vec<_> = chunks(n).collect();
    Part::merge(ranges.into_par_iter().map(|range| fights.chunk(range)).collect::<Vec<_>>())
}

/// A plan as an answer: its verdict is the exit code.
pub fn answer(plan: &Plan, desk: &Desk) -> Answer {
    let text = text::render(plan, desk.units, desk.width);
    Answer::of_json(text, plan.to_json()).with_exit(Exit::from(plan.verdict))
}

/// Fights of a forecast as a flag value.
pub fn fights(text: &str) -> tailrope::Result<u32> {
    match text.trim().parse() {
        Ok(n) if (2..=1_000_000).contains(&n) => Ok(n),
        _ => Err(tailrope::Error::new(
            format!("`{}` fights", text.chars().take(20).collect::<String>()),
            "2 to 1000000",
            "10000 is enough for a chance of one in a hundred",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::fights;

    #[test]
    fn a_forecast_wants_a_sensible_number_of_fights() {
        assert_eq!(fights("10000").unwrap(), 10_000);
        for bad in ["0", "1", "-5", "1e4", "99999999"] {
            assert!(fights(bad).unwrap_err().allowed.contains("2 to"), "{bad}");
        }
    }
}
