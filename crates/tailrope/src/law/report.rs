//! What a check says: findings with their sources, what to ask, and what it comes to.

use super::pack::Cite;
use super::value::Value;
use super::words::{Effect, Kind, Level, Severity, Stage, Verdict};
use jiff::civil::Date;
use serde::Serialize;

/// The sentence that ends every report.
pub const READING_AID: &str =
    "This is a reading aid, not legal advice: the agency's own text and the officer on the beach decide.";

/// What a report comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Call {
    /// No rule that was read stands against it, and nothing is left to ask.
    Go,
    /// Something is to be asked or checked first.
    Caution,
    /// A rule bars it.
    Stop,
}

/// A fact with the value it had.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Input {
    /// Id of the fact.
    pub fact: String,
    /// Its value; a length in the unit of the fact's name.
    pub value: Value,
}

/// What one rule says of this outing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// Id of the rule.
    pub rule: String,
    /// Its pack.
    pub pack: String,
    /// What it is about.
    pub kind: Kind,
    /// What it does.
    pub effect: Effect,
    /// When it counts.
    pub stage: Stage,
    /// What it says.
    pub verdict: Verdict,
    /// Another text of the same authority that differs, if there is one: the stricter was applied.
    pub conflict: Option<String>,
    /// Whom it concerns, where it is about one person.
    pub person: Option<String>,
    /// The rule in own words.
    pub summary: String,
    /// What was known.
    pub inputs: Vec<Input>,
    /// What was not, and is needed.
    pub missing: Vec<String>,
    /// What would change the verdict.
    pub change: Option<String>,
    /// Remark.
    pub note: Option<String>,
    /// Whom to report to.
    pub report_to: Option<String>,
    /// Where the rule was read.
    pub cite: Cite,
    /// Whose rule it is.
    pub authority: String,
    /// Whom to ask.
    pub contact: String,
    /// Level of its pack.
    pub level: Level,
    /// What it means for the plan.
    pub severity: Severity,
    /// Whether it bites only because what is unknown is treated as protected.
    pub assumed: bool,
}

/// A pack that was used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PackUsed {
    /// Its id.
    pub id: String,
    /// Its level.
    pub level: Level,
    /// Newest page read for it.
    pub as_of: Option<Date>,
    /// Its review day.
    pub review_by: Date,
    /// Whether it was past that day when read.
    pub stale: bool,
    /// Hash of its text.
    pub hash: String,
    /// Whether it is the crew's own copy.
    pub own: bool,
}

/// A question the packs leave open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Ask {
    /// The pack that is silent; a level or a place where no pack is at hand.
    pub pack: String,
    /// What about.
    pub kind: String,
    /// Whom to ask.
    pub contact: String,
    /// Whose rules they are.
    pub authority: String,
}

/// Everything to ask one authority.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AskOne {
    /// The authority.
    pub authority: String,
    /// How to reach it.
    pub contact: String,
    /// About what kinds of rule.
    pub kinds: Vec<String>,
    /// About which rules, read only from memory.
    pub rules: Vec<String>,
    /// The whole question in a sentence.
    pub sentence: String,
}

/// A check of an outing against the law packs of its place; serialises as `tailrope.law/1`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LawReport {
    /// `tailrope.law/1`.
    pub schema: &'static str,
    /// The place, as the crew calls it.
    pub place: String,
    /// Packs used, in the order in which they are stacked.
    pub packs: Vec<PackUsed>,
    /// Day of the trip.
    pub trip_date: Option<Date>,
    /// Day on which the packs are read.
    pub read_on: Date,
    /// How far the night has gone.
    pub stage: Stage,
    /// What it comes to: the worst finding.
    pub verdict: Call,
    /// Findings by severity, then level, then rule.
    pub findings: Vec<Finding>,
    /// What the packs are silent about.
    pub ask: Vec<Ask>,
    /// Terms met by definition.
    pub defined: Vec<String>,
    /// The questions joined by authority.
    pub ask_joined: Vec<AskOne>,
    /// [`READING_AID`].
    pub reading_aid: &'static str,
}

impl LawReport {
    /// What a rule says here, worst over persons; silent if it does not bite or is not loaded.
    pub fn verdict_of(&self, rule: &str) -> Verdict {
        self.findings.iter().filter(|f| f.rule == rule).map(|f| f.verdict).min().unwrap_or(Verdict::Silent)
    }

    /// Findings of one severity, in order.
    pub fn of(&self, severity: Severity) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |f| f.severity == severity)
    }

    /// Facts that some rule needs now and nobody gave, with no doubles.
    pub fn missing(&self) -> Vec<&str> {
        let mut all: Vec<&str> = self
            .findings
            .iter()
            .filter(|f| f.verdict == Verdict::NeedFact)
            .flat_map(|f| f.missing.iter().map(String::as_str))
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The same report of these rules and these kinds of open questions alone, with a verdict of its own: what one
    /// part of the plan has to hear. A question about every rule stays.
    #[must_use]
    pub fn only(mut self, keep: impl Fn(&Finding) -> bool, kinds: &[Kind]) -> Self {
        self.findings.retain(keep);
        self.ask.retain(|a| a.kind == "every rule" || kinds.iter().any(|k| k.word() == a.kind));
        self.ask_joined.clear();
        self.verdict = Call::Caution;
        self.close();
        self
    }

    /// Joins what is open by authority and sets the verdict.
    pub(super) fn close(&mut self) {
        let mut joined: Vec<AskOne> = Vec::new();
        let mut of = |authority: &str, contact: &str, kind: Option<&str>, rule: Option<&str>| {
            let at = joined.iter().position(|a| a.authority == authority).unwrap_or_else(|| {
                joined.push(AskOne {
                    authority: authority.to_owned(),
                    contact: contact.to_owned(),
                    kinds: Vec::new(),
                    rules: Vec::new(),
                    sentence: String::new(),
                });
                joined.len() - 1
            });
            if let Some(one) = joined.get_mut(at) {
                for (list, item) in [(&mut one.kinds, kind), (&mut one.rules, rule)] {
                    if let Some(item) = item
                        && !list.iter().any(|x| x == item)
                    {
                        list.push(item.to_owned());
                    }
                }
            }
        };
        for f in self.findings.iter().filter(|f| f.verdict == Verdict::AskAgency) {
            of(&f.authority, &f.contact, None, Some(&f.rule));
        }
        for a in &self.ask {
            of(&a.authority, &a.contact, Some(&a.kind), None);
        }
        for one in &mut joined {
            let mut about = Vec::new();
            if !one.kinds.is_empty() {
                about.push(format!("the rules on {}", one.kinds.join(", ")));
            }
            if !one.rules.is_empty() {
                about.push(format!("whether this still holds: {}", one.rules.join(", ")));
            }
            one.sentence = format!("Ask {} ({}) about {}.", one.authority, one.contact, about.join("; and "));
        }
        self.ask_joined = joined;
        let worst = self.findings.iter().map(|f| f.severity).min();
        self.verdict = match worst {
            Some(Severity::Stop) => Call::Stop,
            Some(Severity::Caution) => Call::Caution,
            _ if !self.ask.is_empty() => Call::Caution,
            _ => Call::Go,
        };
    }
}
