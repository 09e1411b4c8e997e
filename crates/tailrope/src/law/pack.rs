//! A rule pack: one jurisdiction at one level, read and checked.

use super::clause::Clause;
use super::words::{Cover, Effect, Evidence, Kind, Level, Stage, Status};
use jiff::civil::Date;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Where a rule was read, as every finding shows it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cite {
    /// Section of the law; empty where it was not seen.
    pub section: String,
    /// Title of the page or section.
    pub title: String,
    /// Address of the page read.
    pub url: String,
    /// In force since, where it was seen.
    pub effective: Option<Date>,
    /// Date of the page read, where it had one.
    pub as_of: Option<Date>,
    /// What was read.
    pub evidence: Evidence,
    /// Confidence of whoever wrote the pack that the rule is right and in force, 0..1.
    pub confidence: f64,
    /// What is uncertain about the citation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// What the landing drill must keep to, so far as words in a pack can say it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Atom {
    /// Gills under and the whole fish in the water.
    InWater,
    /// In the water, but the head may be lifted briefly to free the hook.
    HeadLiftOnly,
    /// Let go at once: nothing beyond what removing the tackle takes.
    NoDelay,
    /// No picture, tape or tag that adds time.
    NoPhotoDelay,
    /// If the hook will not come quickly, cut the hook or the leader close to it.
    CutIfNotQuick,
    /// No rope on the fish.
    NoRope,
    /// No gaff.
    NoGaff,
    /// Never on dry sand.
    NoDrySand,
    /// Never on a deck.
    NoDeck,
    /// Nobody sits on it.
    NoSitting,
    /// The mouth is not held open.
    NoMouthHeld,
    /// No hand in the gills.
    NoHandInGills,
    /// The fish is let go.
    NotKept,
}

impl Atom {
    /// Atoms that a pack may add to a rule where no clause can say them.
    pub(super) const DRILL: &[(&'static str, Self)] = &[
        ("cut-if-not-quick", Self::CutIfNotQuick),
        ("no-rope", Self::NoRope),
        ("no-gaff", Self::NoGaff),
        ("no-hand-in-gills", Self::NoHandInGills),
        ("no-dry-sand", Self::NoDrySand),
        ("no-sitting", Self::NoSitting),
    ];

    /// The words a drill speaks.
    pub const fn says(self) -> &'static str {
        match self {
            Self::InWater => "the fish stays in the water, gills under",
            Self::HeadLiftOnly => {
                "the fish stays in the water; only the head may be lifted, briefly, to free the hook"
            }
            Self::NoDelay => "let it go at once",
            Self::NoPhotoDelay => "no picture, tape or tag that costs time",
            Self::CutIfNotQuick => "if the hook does not come at once, cut it or the leader close to it",
            Self::NoRope => "no rope on the fish",
            Self::NoGaff => "no gaff",
            Self::NoDrySand => "never on dry sand",
            Self::NoDeck => "never on a deck",
            Self::NoSitting => "nobody sits on it",
            Self::NoMouthHeld => "the mouth is not held open",
            Self::NoHandInGills => "no hand in the gills",
            Self::NotKept => "it is not kept",
        }
    }
}

/// One rule.
#[derive(Clone, Debug)]
pub struct Rule {
    /// `<pack>/<name>`.
    pub id: String,
    /// What it is about.
    pub kind: Kind,
    /// What it does.
    pub effect: Effect,
    /// When it is shown.
    pub stage: Stage,
    /// In own words.
    pub summary: String,
    /// Species it names, groups spelled out.
    pub species: BTreeSet<String>,
    /// Standing it gives those species.
    pub status: Option<Status>,
    /// Its limit as the law prints it.
    pub as_written: Option<String>,
    /// Another text of the same authority that differs.
    pub conflict: Option<String>,
    /// Whom to report to.
    pub report_to: Option<String>,
    /// Remark.
    pub note: Option<String>,
    /// Where it was read.
    pub cite: Cite,
    /// Pack whose presence strikes it.
    pub preempted_by: Option<String>,
    pub(super) species_from: Vec<String>,
    pub(super) defines: Option<String>,
    pub(super) assume_bites: bool,
    pub(super) drill: Vec<Atom>,
    pub(super) when: Vec<Clause>,
    pub(super) when_any: Vec<Vec<Clause>>,
    pub(super) check: Vec<Clause>,
    pub(super) check_any: Vec<Vec<Clause>>,
}

impl Rule {
    /// All clauses that say whether it bites.
    pub(super) fn whens(&self) -> impl Iterator<Item = &Clause> {
        self.when.iter().chain(self.when_any.iter().flatten())
    }
    /// All clauses that say whether it is kept.
    pub(super) fn checks(&self) -> impl Iterator<Item = &Clause> {
        self.check.iter().chain(self.check_any.iter().flatten())
    }
    /// All clauses.
    pub(super) fn clauses(&self) -> impl Iterator<Item = &Clause> {
        self.whens().chain(self.checks())
    }
}

/// One pack.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Id, also the file's name.
    pub id: String,
    /// Title.
    pub title: String,
    /// Whose rules they are.
    pub level: Level,
    /// Packs that always apply with it.
    pub parents: Vec<String>,
    /// The authority.
    pub authority: String,
    /// Whom to ask.
    pub contact: String,
    /// Where it applies.
    pub area: String,
    /// Newest page read.
    pub as_of: Option<Date>,
    /// After this day a *comply* is only *stale*.
    pub review_by: Date,
    /// Remark.
    pub note: Option<String>,
    /// Rules of other packs that it replaces.
    pub supersedes: Vec<String>,
    /// How far it covers each kind; a kind not named is not covered.
    pub coverage: BTreeMap<Kind, Cover>,
    /// Places it tests, with their bounds in words.
    pub zones: BTreeMap<String, String>,
    /// Its rules, in the order of the file.
    pub rules: Vec<Rule>,
    /// Hash of its text.
    pub hash: String,
    /// Whether it is the crew's own copy, shadowing a shipped one or beside them.
    pub own: bool,
}

impl Pack {
    /// How far it covers a kind; a kind not named counts as not covered.
    pub fn cover(&self, kind: Kind) -> Cover {
        self.coverage.get(&kind).copied().unwrap_or(Cover::None)
    }
    /// The rule of this id.
    pub fn rule(&self, id: &str) -> Option<&Rule> {
        self.rules.iter().find(|r| r.id == id)
    }
    /// Whether a comply read on `day` is stale.
    pub fn stale(&self, day: Date) -> bool {
        day > self.review_by
    }
}
