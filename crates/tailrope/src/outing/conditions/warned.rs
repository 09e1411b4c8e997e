//! What an agency warns of, and what its forecasters say in words: hazards in force, storms, fog.
//!
//! Model: a report's hazards are read for the degree that stands in them, by word or by the agency's code of
//! phenomenon and significance (`SU.W`; its directive on event codes, recalled); a hazard counts in every hour in which
//! it is in force, however old the file is: what was warned of holds until somebody reads that it was lifted. Words of
//! the weather are searched for thunder and fog. Both can only make a night worse: that nothing is warned of, or that no
//! word names thunder, clears nothing.
//!
//! Limits: English words and the codes of one agency. A degree that is not understood counts as `other`, which warns.
//! Rip currents are warned of where the risk is high or raised: the statement stands for the outlook's *high*.

use super::turns::holds;
use super::voices::{Voice, Voices, Whence};
use crate::facts::Known;
use crate::outing::file::{Report, ReportKind, Said};
use crate::outing::limits::Limits;
use crate::quantity::{Interval, Length};
use jiff::Timestamp;

/// How strongly an agency warns, the weakest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Degree {
    /// A statement.
    Statement,
    /// Something is in force, and its degree is not understood.
    Other,
    /// An advisory.
    Advisory,
    /// A watch: it may come.
    Watch,
    /// A warning: it is there or about to be.
    Warning,
    /// A tsunami, in any degree: nobody stays on a beach for it.
    Tsunami,
}

impl Degree {
    /// State word of the row `weather.hazards`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Statement => "statement",
            Self::Other => "other",
            Self::Advisory => "advisory",
            Self::Watch => "watch",
            Self::Warning => "warning",
            Self::Tsunami => "tsunami",
        }
    }
}

/// Something an agency warns of.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::struct_excessive_bools)] // each says of one danger whether it is named
pub struct Hazard {
    /// In its words.
    pub what: String,
    /// How strongly.
    pub degree: Degree,
    /// Who said so.
    pub whence: Whence,
    /// Whether thunderstorms are part of it.
    pub storms: bool,
    /// Whether dense fog is.
    pub fog: bool,
    /// Whether rip currents are.
    pub rips: bool,
    /// Whether it is a statement for beaches, by which rip currents are announced too.
    pub beach: bool,
}

impl Hazard {
    /// Reads one, as a report names it.
    pub fn read(text: &str, whence: Whence) -> Self {
        let what = text.trim();
        let lower = what.to_ascii_lowercase();
        let says = |word: &str| lower.contains(word);
        let code = code(what);
        let is = |phenomena: &[&str]| code.is_some_and(|(p, _)| phenomena.contains(&p));
        let by_code = code.and_then(|(_, significance)| match significance {
            "W" => Some(Degree::Warning),
            "A" => Some(Degree::Watch),
            "Y" => Some(Degree::Advisory),
            "S" => Some(Degree::Statement),
            _ => None,
        });
        let by_word = [
            ("warning", Degree::Warning),
            ("watch", Degree::Watch),
            ("advisory", Degree::Advisory),
            ("statement", Degree::Statement),
        ]
        .into_iter()
        .find(|(word, _)| says(word));
        let degree = if says("tsunami") || is(&["TS"]) {
            Degree::Tsunami
        } else {
            by_code.max(by_word.map(|w| w.1)).unwrap_or(Degree::Other)
        };
        Self {
            what: what.to_owned(),
            degree,
            whence,
            // Special marine warnings are issued for storms over the water.
            storms: storms(&lower) || says("special marine") || is(&["SV", "TO", "MA"]),
            fog: says("fog") || is(&["FG", "MF", "ZF"]),
            rips: says("rip current") || is(&["RP"]),
            beach: says("beach hazard") || is(&["BH"]),
        }
    }
}

/// Phenomenon and significance of a code like `SU.W`, wherever it stands in the text.
fn code(text: &str) -> Option<(&str, &str)> {
    text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '.')).find_map(|word| {
        let (phenomenon, significance) = word.split_once('.')?;
        let two = phenomenon.len() == 2 && phenomenon.bytes().all(|b| b.is_ascii_uppercase());
        (two && significance.len() == 1).then_some((phenomenon, significance))
    })
}

/// Whether words of the weather name a thunderstorm or what comes with one.
fn storms(lower: &str) -> bool {
    ["thunder", "tstm", "lightning", "tornado", "funnel", "waterspout", "water spout", "hail"]
        .iter()
        .any(|word| lower.contains(word))
}

/// How far a hazard reaches in time: to its end, and where it says none for good.
fn in_force(s: &Said<String>) -> (Timestamp, Timestamp) {
    (s.from.0, s.to.filter(|to| *to > s.from).map_or(Timestamp::MAX, |to| to.0))
}

/// Moments at which hazards begin or end.
pub(super) fn edges(said: &[Said<String>], all: &mut Vec<Timestamp>) {
    all.extend(said.iter().map(in_force).flat_map(|(from, to)| [from, to]));
}

fn meets((from, to): (Timestamp, Timestamp), hours: Interval) -> bool {
    from < hours.to() && to > hours.from()
}

/// Whence a reading that is no number comes: of a forecast its issue counts, of an observation its own time.
fn whence(v: &Voices<'_>, r: &Report, from: Timestamp) -> Whence {
    let at = match r.kind {
        ReportKind::Observed => Known::Known(from),
        _ => r.issued.get().map(|i| i.0).into(),
    };
    let age_h = at.get().map_or(Known::Unknown, |at| v.read.age_h(at));
    Whence { source: r.source.clone(), kind: r.kind.word(), at, age_h }
}

/// What is in force in these hours, each once, the strongest first.
pub fn hazards(v: &Voices<'_>, hours: Interval) -> Vec<Hazard> {
    let mut all: Vec<Hazard> = Vec::new();
    for r in v.reports() {
        for s in r.hazards.iter().filter(|s| meets(in_force(s), hours)) {
            for text in s.value.split(';').filter(|t| !t.trim().is_empty()) {
                let h = Hazard::read(text, whence(v, r, s.from.0));
                if !all.iter().any(|known| known.what == h.what) {
                    all.push(h);
                }
            }
        }
    }
    all.sort_by_key(|h| core::cmp::Reverse(h.degree));
    all
}

/// What words say of storms and sight in these hours.
#[derive(Clone, Debug, Default)]
pub(super) struct Words {
    /// Who speaks of storms, and in which words.
    pub storms: Vec<(String, Whence)>,
    /// How far one can see at most, by words of fog.
    pub sight: Vec<Voice<Length>>,
}

/// Reads the words, the levels of lightning and the hazards.
pub(super) fn words(v: &Voices<'_>, hours: Interval, limits: &Limits, hazards: &[Hazard]) -> Words {
    let mut all = Words::default();
    let [fog, dense] =
        ["visibility.fog_km", "visibility.dense_fog_km"].map(|id| Length::of_km(limits.figure(id)));
    for r in v.reports() {
        let spoken = r.weather.iter().enumerate().filter(|(i, _)| meets(holds(&r.weather, *i), hours));
        for (_, s) in spoken {
            let whence = whence(v, r, s.from.0);
            if v.dead(whence.age_h) {
                continue;
            }
            for part in s.value.split(';').map(str::trim) {
                let lower = part.to_ascii_lowercase();
                if storms(&lower) {
                    all.storms.push((part.to_owned(), whence.clone()));
                }
                if lower.contains("fog") {
                    let value = if lower.contains("dense") { dense } else { fog };
                    all.sight.push(Voice { value, whence: whence.clone() });
                }
            }
        }
        let least = limits.figure("weather.lightning_level");
        for level in v.of_report(r, &r.lightning_level, hours).into_iter().filter(|l| l.value >= least) {
            all.storms.push((format!("lightning activity level {:.0}", level.value), level.whence));
        }
    }
    for h in hazards {
        if h.storms {
            all.storms.push((h.what.clone(), h.whence.clone()));
        }
        if h.fog {
            all.sight.push(Voice { value: dense, whence: h.whence.clone() });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whence() -> Whence {
        Whence { source: "x".into(), kind: "forecast", at: Known::Unknown, age_h: Known::Unknown }
    }

    #[test]
    fn the_degree_is_read_by_word_and_by_code_and_the_worse_counts() {
        let of = |text: &str| Hazard::read(text, whence()).degree;
        for (text, degree) in [
            ("high surf warning (SU.W)", Degree::Warning),
            ("Small Craft Advisory", Degree::Advisory),
            ("rip currents statement (RP.S)", Degree::Statement),
            ("severe thunderstorm watch (SV.A)", Degree::Watch),
            ("XX.W", Degree::Warning),
            ("XX.?", Degree::Other),
            ("something in force", Degree::Other),
            ("warning (SU.Y)", Degree::Warning),
            ("advisory (SU.W)", Degree::Warning),
            ("tsunami watch (TS.A)", Degree::Tsunami),
            ("TS.Y", Degree::Tsunami),
        ] {
            assert_eq!(of(text), degree, "{text}");
        }
    }

    #[test]
    fn storms_fog_and_rips_are_known_by_word_and_by_code() {
        let of = |text: &str| {
            let h = Hazard::read(text, whence());
            (h.storms, h.fog, h.rips)
        };
        assert_eq!(of("SV.A"), (true, false, false));
        assert_eq!(of("special marine warning"), (true, false, false));
        assert_eq!(of("MF.Y"), (false, true, false));
        assert_eq!(of("dense fog advisory"), (false, true, false));
        assert_eq!(of("rip currents statement (RP.S)"), (false, false, true));
        assert_eq!(of("high surf warning (SU.W)"), (false, false, false));
        assert!(
            storms("slight chance thunderstorms")
                && storms("isolated water spouts")
                && !storms("rain showers")
        );
    }
}
