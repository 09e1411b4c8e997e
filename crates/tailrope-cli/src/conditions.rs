//! Files of buoys, gauges and forecasts, as they are given on a command line.

use crate::answer::Failure;
use crate::input;
use clap::Args;
use std::path::{Path, PathBuf};
use tailrope::Error;
use tailrope::sea::report::{Report, Told, read};

/// Largest file of an agency that is read: a year of six-minute levels is far below it.
const MOST_BYTES: usize = 16 * 1024 * 1024;

/// Flags of every verb that reads such files.
#[derive(Args, Clone, Debug, Default)]
pub struct Conditions {
    /// Files of buoys, gauges and forecasts: NDBC text, NOAA CO-OPS, NWS gridpoint, hourly-array JSON; `-` reads
    /// standard input
    #[arg(id = "conditions", long = "conditions", num_args = 1.., value_name = "FILE")]
    files: Vec<PathBuf>,
    /// What a file does not say itself, as `FILE: station=9414290, datum=MLLW, units=metric, zone=gmt,
    /// at=37.8 -122.5`; without FILE it holds for all, and what is said of a FILE goes before it
    #[arg(long, value_name = "[FILE:]WORDS")]
    told: Vec<String>,
    /// Leave out rows that cannot be read, and say which, instead of refusing the file
    #[arg(long)]
    skip_bad_rows: bool,
}

impl Conditions {
    /// Whether no file is given.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// Whether standard input is one of the files.
    pub fn reads_standard_input(&self) -> bool {
        self.files.iter().any(|f| f.as_os_str() == "-")
    }

    /// Reads all files.
    pub fn read(&self) -> Result<Vec<Report>, Failure> {
        let told = self.told()?;
        let mut all = Vec::new();
        for file in &self.files {
            let mut told = told_of(&told, file);
            told.skip_bad_rows |= self.skip_bad_rows;
            let text = input::read_up_to(file, MOST_BYTES, "a file of a buoy, gauge or forecast")?;
            let name = if file.as_os_str() == "-" {
                "standard input".to_owned()
            } else {
                // The name alone: what is shown and kept must not depend on where the file lay.
                file.file_name()
                    .map_or_else(|| file.display().to_string(), |n| n.to_string_lossy().into_owned())
            };
            all.push(read(&name, &text, &told)?);
        }
        Ok(all)
    }

    /// What is told of a file that another flag names.
    pub fn told_of(&self, file: &Path) -> Result<Told, Failure> {
        let mut all = Vec::new();
        for text in &self.told {
            all.push(ToldOf::parse(text).map_err(|e| e.within("--told"))?);
        }
        let mut told =
            all.iter().rev().find(|t| t.is_of(file)).map_or_else(Told::default, |t| t.told.clone());
        told.skip_bad_rows |= self.skip_bad_rows;
        Ok(told)
    }

    fn told(&self) -> Result<Vec<ToldOf>, Failure> {
        let mut all = Vec::new();
        for text in &self.told {
            let said = ToldOf::parse(text).map_err(|e| e.within("--told"))?;
            if let Some(of) = &said.file
                && !self.files.iter().any(|f| said.is_of(f))
            {
                let given: Vec<String> = self.files.iter().map(|f| f.display().to_string()).collect();
                return Err(Error::new(
                    format!("no file of --conditions is called `{of}`"),
                    given.join(", "),
                    "name one of the files, or leave the name out to say it of all",
                )
                .within("--told")
                .into());
            }
            all.push(said);
        }
        Ok(all)
    }
}

/// What is told of a file: key by key what was said of it by name before what was said of all, the last word first.
fn told_of(all: &[ToldOf], file: &Path) -> Told {
    let of = |named: bool| all.iter().rev().filter(move |t| t.file.is_some() == named && t.is_of(file));
    of(true).chain(of(false)).fold(Told::default(), |told, t| told.or(&t.told))
}

/// What is told of one file, or of all.
struct ToldOf {
    file: Option<String>,
    told: Told,
}

impl ToldOf {
    /// `FILE: key=value, ...`: the name ends at the last colon before the first equals sign.
    fn parse(text: &str) -> tailrope::Result<Self> {
        let keys = text.find('=').unwrap_or(text.len());
        let (file, words) = match text[..keys].rfind(':') {
            Some(colon) => (Some(text[..colon].trim().to_owned()), &text[colon + 1..]),
            None => (None, text),
        };
        Ok(Self { file: file.filter(|f| !f.is_empty()), told: words.parse()? })
    }

    fn is_of(&self, file: &Path) -> bool {
        let Some(of) = &self.file else { return true };
        Path::new(of) == file || file.file_name().is_some_and(|n| n.to_string_lossy() == *of)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_of_one_file_is_added_to_what_is_told_of_all() {
        let told = |texts: &[&str], file: &str| {
            let all: Vec<ToldOf> = texts.iter().map(|t| ToldOf::parse(t).unwrap()).collect();
            told_of(&all, Path::new(file))
        };
        let both = ["a.csv: datum=MLLW, station=1234567", "zone=gmt, units=metric, datum=NAVD"];
        for texts in [both, [both[1], both[0]]] {
            let a = told(&texts, "dir/a.csv");
            assert_eq!((a.datum.as_deref(), a.station.as_deref()), (Some("MLLW"), Some("1234567")));
            assert!(a.zone.is_some() && a.units.is_some(), "what holds for all still holds");
            let b = told(&texts, "b.csv");
            assert_eq!((b.datum.as_deref(), b.station), (Some("NAVD"), None));
        }
        assert_eq!(told(&["datum=MLLW", "datum=MSL"], "a").datum.as_deref(), Some("MSL"), "the last word");
        assert_eq!(told(&[], "a"), Told::default());
    }

    #[test]
    fn what_is_told_names_its_file_or_holds_for_all() {
        let t = ToldOf::parse("water.csv: station=9414290, datum=MLLW, zone=lst_ldt America/Los_Angeles")
            .unwrap();
        assert_eq!((t.file.as_deref(), t.told.station.as_deref()), (Some("water.csv"), Some("9414290")));
        assert!(t.is_of(Path::new("down/loads/water.csv")) && !t.is_of(Path::new("other.csv")));
        let t = ToldOf::parse("zone=lst:America/Chicago").unwrap();
        assert!(t.file.is_none() && t.told.zone.is_some() && t.is_of(Path::new("any")));
        assert_eq!(
            ToldOf::parse("c:/tides/a.csv: units=english").unwrap().file.as_deref(),
            Some("c:/tides/a.csv")
        );
        assert!(ToldOf::parse("water.csv: unit=english").is_err());
    }
}
