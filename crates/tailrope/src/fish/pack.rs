//! The species pack: read, checked, looked up.

use super::check::Checker;
use super::condition::ConditionFactors;
use super::likely::LikelyFigures;
use super::marks::{Features, LookAlike};
use super::power::BodyFigures;
use super::raw;

use super::{Species, build};
use crate::facts::{PackText, Source};
use crate::{Error, Result};

/// All species and what is common to them. Built once by [`SpeciesPack::load`], then only read.
#[derive(Clone, Debug)]
pub struct SpeciesPack {
    /// Date of the pack.
    pub date: String,
    /// Hash of its text.
    pub hash: String,
    /// The features a fish can be named by.
    pub features: Features,
    /// Kinds that are taken for each other, the hardest first.
    pub lookalikes: Vec<LookAlike>,
    /// Where figures were read; a figure's `source` begins with one of these handles or says it in words.
    pub sources: Vec<Source>,
    /// Factors on the odds of death by condition at release.
    pub conditions: ConditionFactors,
    /// Drag, power and girth figures.
    pub body: BodyFigures,
    pub(super) likely: LikelyFigures,
    species: Vec<Species>,
    unknown: Species,
}

/// Schema of the pack this code reads.
pub const SCHEMA: &str = "tailrope.species/1";

impl SpeciesPack {
    /// Reads and checks `species.toml`. A refusal names file, line and key.
    pub fn load(text: &PackText<'_>) -> Result<Self> {
        let file: raw::File = text.read()?;
        Checker::new(text).file(&file)?;
        let species: Vec<Species> =
            file.species.iter().map(|row| build::species(row, &file)).collect::<Option<_>>().ok_or_else(
                || text.refuse("species", "a species could not be built", "a checked file", "report this"),
            )?;
        for (i, s) in species.iter().enumerate() {
            // A slip in K or a hook hazard shows here.
            let r = s.survival.reference;
            let gap = s.survival.reference_death().central - r.death.central;
            if gap.abs() > 0.015 {
                return Err(text.refuse(
                    &format!("species[{i}].survival.k"),
                    format!("the reference event of the {} misses its rate by {:.1} %", s.name, 100.0 * gap),
                    "prm_at_reference within 1.5 %",
                    "correct k or the hook hazards",
                ));
            }
        }
        let unknown = build::unknown(&file, &species).ok_or_else(|| {
            text.refuse("unknown", "the unknown shark could not be built", "a checked file", "report this")
        })?;
        let mut lookalikes: Vec<LookAlike> = file.lookalike.iter().map(build::lookalike).collect();
        lookalikes.sort_by(|a, b| b.overlap.total_cmp(&a.overlap));
        Ok(Self {
            date: file.date.clone(),
            hash: text.hash(),
            features: Features { all: file.id.feature.clone(), floor: file.id.floor, trust: file.id.trust },
            lookalikes,
            sources: file.source.iter().map(|(id, s)| build::source(id, s)).collect(),
            conditions: build::conditions(&file.survival.condition_factor),
            body: build::body(&file.body, &file.power),
            likely: LikelyFigures::from_raw(&file.likely),
            species,
            unknown,
        })
    }

    /// All species, in the order of the pack.
    pub fn all(&self) -> &[Species] {
        &self.species
    }

    /// A shark nobody named: treated as protected, cut first, and at the worst of everything. Its law codes are
    /// empty, so every rule about a species stays a question.
    pub fn unknown_shark(&self) -> &Species {
        &self.unknown
    }

    /// By its handle alone, the unknown shark's included.
    pub fn by_id(&self, id: &str) -> Option<&Species> {
        self.species.iter().chain([&self.unknown]).find(|s| s.id == id)
    }

    /// By a code of the rule packs.
    pub fn by_law_code(&self, code: &str) -> Option<&Species> {
        self.species.iter().find(|s| s.law.iter().any(|c| c == code))
    }

    /// By handle, English or scientific name, or another name, in any case and spacing. A miss, or a name that
    /// several kinds share, is refused with suggestions.
    pub fn find(&self, text: &str) -> Result<&Species> {
        let wanted = plain(text);
        if wanted.is_empty() {
            return Err(Error::new("no name was given", "a name", "see `fish list`"));
        }
        if ["unknown", "unknownshark", "unknownfish"].contains(&all_of(text).as_str()) {
            return Ok(&self.unknown);
        }
        let main = |s: &&Species| [&s.id, &s.name, &s.scientific].iter().any(|n| plain(n) == wanted);
        if let Some(s) = self.species.iter().find(main) {
            return Ok(s);
        }
        let others: Vec<&Species> =
            self.species.iter().filter(|s| s.also.iter().any(|n| plain(n) == wanted)).collect();
        match others.as_slice() {
            [one] => Ok(one),
            [] => Err(self.miss(text, &wanted)),
            several => Err(Error::new(
                format!("`{}` is a name of several kinds", short(text)),
                names(several.iter().copied()),
                "give the full name",
            )),
        }
    }

    /// Never fails: what nobody can name is the unknown shark. The flag says whether the name was found.
    pub fn find_or_unknown(&self, text: &str) -> (&Species, bool) {
        self.find(text).map_or((&self.unknown, false), |s| (s, true))
    }

    fn miss(&self, text: &str, wanted: &str) -> Error {
        let distance = |s: &Species| {
            [&s.id, &s.name, &s.scientific]
                .into_iter()
                .chain(&s.also)
                .map(|n| {
                    let n = plain(n);
                    if n.contains(wanted) || wanted.contains(&n) { 0 } else { edits(&n, wanted) }
                })
                .min()
                .unwrap_or(usize::MAX)
        };
        let mut near: Vec<(usize, &Species)> = self.species.iter().map(|s| (distance(s), s)).collect();
        near.sort_by_key(|(d, _)| *d);
        let limit = (wanted.chars().count() / 3).max(1);
        let close: Vec<&Species> =
            near.into_iter().filter(|(d, _)| *d <= limit).map(|(_, s)| s).take(4).collect();
        let allowed = if close.is_empty() {
            "a name shown by `fish list`".to_owned()
        } else {
            names(close.into_iter())
        };
        Error::new(
            format!("no species is called `{}`", short(text)),
            allowed,
            "give one of these, or leave it unknown: an unknown fish is treated as protected",
        )
    }

    /// Kinds that this one is taken for, the hardest first.
    pub fn lookalikes_of<'a>(&'a self, id: &'a str) -> impl Iterator<Item = &'a LookAlike> {
        self.lookalikes.iter().filter(move |l| l.pair.iter().any(|p| p == id))
    }
}

fn names<'a>(species: impl Iterator<Item = &'a Species>) -> String {
    species.map(|s| s.name.as_str()).collect::<Vec<_>>().join(", ")
}

fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

/// Lower case, letters and digits only.
fn all_of(text: &str) -> String {
    text.chars().take(80).filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// The same, without the word shark: `Blacktip Shark`, `black-tip` and `blacktip` agree.
fn plain(text: &str) -> String {
    let all = all_of(text);
    match all.strip_suffix("shark") {
        Some(rest) if !rest.is_empty() => rest.to_owned(),
        _ => all,
    }
}

/// Levenshtein distance; names are at most 80 characters.
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (slot, cb) in row.iter_mut().skip(1).zip(&b) {
            let up = *slot;
            let here = (diagonal + usize::from(ca != *cb)).min(up + 1).min(left + 1);
            diagonal = up;
            left = here;
            *slot = here;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}
