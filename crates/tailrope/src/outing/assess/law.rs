//! What the rule packs say. Until they are read here, the law counts as not known: a question, never a *go*.

use super::Ctx;
use crate::Result;
use crate::facts::{Known, Source};
use crate::outing::finding::Findings;
use crate::outing::windows::Step;

/// What the law gives to the rest of the plan.
pub(in crate::outing) struct Judged {
    /// Rules cited.
    pub sources: Vec<Source>,
    /// Fish that stay in the water, by name.
    pub in_water_only: Vec<String>,
}

impl Judged {
    /// What the law adds to a step.
    pub fn at(&self, _step: usize, _to: &mut Step) {}
}

/// Judges the law.
pub(in crate::outing) fn assess(ctx: &Ctx<'_>, f: &mut Findings) -> Result<Judged> {
    f.judged(&ctx.limits.word("law.breach", Known::Unknown), "", vec![]);
    Ok(Judged { sources: Vec::new(), in_water_only: Vec::new() })
}
