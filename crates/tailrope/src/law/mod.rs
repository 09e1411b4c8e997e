//! Law: rule packs, three-valued logic, stacking, citation.
//!
//! Answers: may this outing be fished as planned, by whose rule, read where and when, and what would change
//! the answer. It is a reading aid: the packs paraphrase, the agency's own text decides.
//!
//! **Model.** A pack is one jurisdiction at one level. A rule bites when its `when` clauses hold and is kept
//! when its `check` clauses hold; every clause answers yes, no or unknown, and an unknown never passes for a
//! permission. Definitions are settled first. Packs are stacked from the nation to the site and all bite
//! together: the strictest wins, a lower level never loosens a higher one. What a pack does not cover, and a
//! level without a pack, is *ask the agency*. Evidence gates the verdict: what was only recalled never says
//! *comply* and never a bare *breach*; past its review day a pack says *stale* instead of *comply*. A fish
//! nobody can name is tested by its candidates, and a prohibited list bites unless none of them is on it.
//!
//! **Limits.** Paraphrases of pages of known, often old, date; no court knows them. Places are named zones,
//! not polygons: the site says in which it lies. Converted lengths are not measured lengths.
//!
//! **Sources.** Each rule carries its own.

mod change;
mod check;
mod clause;
mod drill;
mod eval;
mod fact_set;
mod lint;
mod pack;
mod packs;
mod query;
mod raw;
mod report;
mod show;
#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;
mod value;
mod vocab;
mod words;

pub use check::check;
pub use drill::{Duty, FishLaw, fish_law};
pub use fact_set::{FactSet, Spot};
pub use lint::lint;
pub use pack::{Atom, Cite, Pack, Rule};
pub use packs::LawPacks;
pub use query::{Confirmation, Query};
pub use report::{Ask, AskOne, Call, Finding, Input, LawReport, PackUsed, READING_AID};
pub use show::{Changed, Coverage, PackDiff, PackShown, RuleShown, coverage, diff, show, site_pack};
pub use value::{Given, Tri, Value};
pub use vocab::{FactKind, FactSpec, SpeciesName, Vocabulary};
pub use words::{Cover, Effect, Evidence, Kind, Level, Severity, Stage, Status, Verdict};
