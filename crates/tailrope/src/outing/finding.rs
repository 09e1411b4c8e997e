//! Findings: what the plan found, with reason, evidence and remedy.

use super::limits::Judgement;
use super::verdict::{Severity, Topic, Verdict};
use crate::facts::Grade;
use serde::{Deserialize, Serialize};

/// One number behind a finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Reason {
    /// What it is.
    pub name: String,
    /// Its value in `unit`.
    pub value: f64,
    /// Its unit; `-` for a plain number.
    pub unit: String,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it comes from.
    pub source: String,
}

impl Reason {
    /// A reason from its parts.
    pub fn new(
        name: impl Into<String>,
        value: f64,
        unit: &str,
        grade: Grade,
        source: impl Into<String>,
    ) -> Self {
        Self { name: name.into(), value, unit: unit.to_owned(), grade, source: source.into() }
    }
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Finding {
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about.
    pub topic: Topic,
    /// One sentence a crew lead can read aloud.
    pub sentence: String,
    /// The numbers behind it.
    pub because: Vec<Reason>,
    /// What would change it.
    pub remedy: String,
    /// Id of the limit row or the legal rule.
    pub rule: Option<String>,
    /// How far the rule's border can be trusted; `default` is this project's own.
    pub rule_grade: Option<Grade>,
    /// Where the rule comes from.
    pub rule_source: Option<String>,
}

/// Collects findings; sorts them worst harm first; gives the verdict.
#[derive(Clone, Debug, Default)]
pub struct Findings {
    list: Vec<Finding>,
    unknown: Vec<String>,
}

impl Findings {
    /// Adds a finding as it stands.
    pub fn push(&mut self, finding: Finding) {
        self.list.push(finding);
    }

    /// Adds what a limit row says of a value; *go* adds nothing. An unknown answer becomes a question.
    pub fn judged(&mut self, j: &Judgement<'_>, sentence: impl Into<String>, because: Vec<Reason>) {
        self.judged_capped(j, Severity::Stop, sentence, because);
    }

    /// As [`Findings::judged`], but never worse than `cap` (fish that only may come along are judged so).
    pub fn judged_capped(
        &mut self,
        j: &Judgement<'_>,
        cap: Severity,
        sentence: impl Into<String>,
        mut because: Vec<Reason>,
    ) {
        let Some(severity) = j.severity() else { return };
        let row = j.row;
        if j.unknown {
            self.asks(&row.id);
        }
        let mut sentence = if j.unknown { format!("Not known: {}.", row.asks) } else { sentence.into() };
        for (name, border) in [("caution", row.caution), ("stop", row.stop)] {
            if let Some(b) = border
                && !j.unknown
                && j.verdict != Verdict::Go
            {
                let grade = if row.edited.is_some() { Grade::Default } else { row.grade };
                because.push(Reason::new(
                    format!("{name} {}", b.word()),
                    b.at(),
                    &row.unit,
                    grade,
                    &row.source,
                ));
            }
        }
        if let Some(edit) = &row.edited {
            sentence.push_str(&format!(" (Limit set by {}: {}.)", edit.who, edit.why.trim_end_matches('.')));
        }
        self.list.push(Finding {
            severity: severity.min(cap),
            topic: row.topic,
            sentence,
            because,
            remedy: if j.unknown { format!("find out: {}", row.asks) } else { row.remedy.clone() },
            rule: Some(row.id.clone()),
            rule_grade: Some(if row.edited.is_some() { Grade::Default } else { row.grade }),
            rule_source: Some(
                row.edited.as_ref().map_or_else(|| row.source.clone(), |e| format!("set by {}", e.who)),
            ),
        });
    }

    /// Marks a rule whose answer is unknown.
    pub fn asks(&mut self, rule: &str) {
        self.unknown.push(rule.to_owned());
    }

    /// Rules whose answer is unknown.
    pub fn unknown(&self) -> &[String] {
        &self.unknown
    }

    /// Says a way on with the newest finding, where it has a rule of this id.
    pub fn advise(&mut self, rule: &str, remedy: impl Into<String>) {
        if let Some(last) = self.list.last_mut().filter(|f| f.rule.as_deref() == Some(rule)) {
            last.remedy = remedy.into();
        }
    }

    /// A plain note.
    pub fn note(
        &mut self,
        topic: Topic,
        sentence: impl Into<String>,
        because: Vec<Reason>,
        rule: Option<&str>,
    ) {
        self.list.push(Finding {
            severity: Severity::Note,
            topic,
            sentence: sentence.into(),
            because,
            remedy: String::new(),
            rule: rule.map(str::to_owned),
            rule_grade: None,
            rule_source: None,
        });
    }

    /// The worst of all.
    pub fn verdict(&self) -> Verdict {
        self.list.iter().map(|f| f.severity.verdict()).max().unwrap_or(Verdict::Go)
    }

    /// All findings, stops first, then worst harm first; ties keep the order in which they were found.
    pub fn sorted(mut self) -> Vec<Finding> {
        self.list.sort_by_key(|f| (std::cmp::Reverse(f.severity), harm(f.topic)));
        self.list
    }

    /// All findings in the order in which they were found.
    pub fn into_list(self) -> Vec<Finding> {
        self.list
    }

    /// All findings so far.
    pub fn as_slice(&self) -> &[Finding] {
        &self.list
    }
}

/// Order in which topics are read out within a severity: what can hurt a person first.
const fn harm(topic: Topic) -> u8 {
    match topic {
        Topic::Footing => 0,
        Topic::Crew => 1,
        Topic::Sea => 2,
        Topic::Sky => 3,
        Topic::Site => 4,
        Topic::Law => 5,
        Topic::Tackle => 6,
        Topic::Fight => 7,
        Topic::Fish => 8,
        Topic::Hold => 9,
        Topic::Kit => 10,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::{Known, PackText};
    use crate::outing::limits::Limits;

    fn limits() -> Limits {
        Limits::read(&PackText::new("limits.toml", include_str!("../../../../data/limits.toml"))).unwrap()
    }

    #[test]
    fn the_worst_finding_is_the_verdict_and_comes_first() {
        let l = limits();
        let mut f = Findings::default();
        assert_eq!(f.verdict(), Verdict::Go);
        f.judged(&l.number("wind.kn", Known::Known(3.0)), "calm", vec![]);
        assert!(f.as_slice().is_empty(), "go adds nothing");
        f.note(Topic::Kit, "x", vec![], None);
        assert_eq!(f.verdict(), Verdict::Go);
        f.judged(&l.number("wind.kn", Known::Known(16.0)), "Wind 16 kn.", vec![]);
        f.judged(&l.number("crew.count", Known::Unknown), "-", vec![]);
        assert_eq!(f.verdict(), Verdict::Stop);
        let list = f.sorted();
        assert_eq!(list[0].rule.as_deref(), Some("crew.count"));
        assert!(list[0].sentence.starts_with("Not known"));
        assert_eq!(list[1].because.len(), 2, "both borders are evidence");
        assert_eq!(list[2].severity, Severity::Note);
    }

    #[test]
    fn a_fish_that_only_may_come_along_never_stops() {
        let l = limits();
        let mut f = Findings::default();
        f.judged_capped(&l.number("forecast.spooled", Known::Known(0.9)), Severity::Caution, "s", vec![]);
        assert_eq!(f.verdict(), Verdict::Caution);
    }
}
