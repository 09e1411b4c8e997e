//! Clauses answered yes, no or unknown.
//!
//! The logic is Kleene's: an answer given while facts are missing is never taken back by learning them, so
//! an unknown can never pass for a permission.

use super::clause::{Clause, Cmp, Hour, Test};
use super::fact_set::FactSet;
use super::pack::Rule;
use super::value::{Tri, Value, same};
use super::vocab::Vocabulary;
use super::words::Level;
use std::collections::{BTreeMap, BTreeSet};

/// An answer, and whether it stands only on recalled definitions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Answer {
    pub tri: Tri,
    pub recalled: bool,
}

impl Answer {
    const fn of(tri: Tri) -> Self {
        Self { tri, recalled: false }
    }
}

/// For whom, where and with which packs a rule is tested.
pub(super) struct Context<'a> {
    pub vocab: &'a Vocabulary,
    pub facts: &'a FactSet,
    pub person: Option<usize>,
    pub place: Option<&'a Value>,
    pub levels: &'a BTreeSet<Level>,
    pub terms: &'a BTreeMap<&'a str, Answer>,
}

impl<'a> Context<'a> {
    /// The value of a fact here.
    pub fn get(&self, fact: &str) -> Option<&'a Value> {
        if fact == "trip.place" { self.place } else { self.facts.of(self.person, fact) }
    }

    /// All must hold.
    pub fn all(&self, rule: &Rule, clauses: &[Clause]) -> Answer {
        let answers: Vec<Answer> = clauses.iter().map(|c| self.clause(rule, c)).collect();
        and(&answers)
    }

    /// One list must hold in full; no lists at all hold.
    pub fn any(&self, rule: &Rule, lists: &[Vec<Clause>]) -> Answer {
        if lists.is_empty() {
            return Answer::of(Tri::Yes);
        }
        let answers: Vec<Answer> = lists.iter().map(|l| self.all(rule, l)).collect();
        let with = |t: Tri| answers.iter().filter(move |a| a.tri == t);
        if with(Tri::Yes).next().is_some() {
            return Answer { tri: Tri::Yes, recalled: with(Tri::Yes).all(|a| a.recalled) };
        }
        if with(Tri::Unknown).next().is_some() {
            return Answer::of(Tri::Unknown);
        }
        Answer { tri: Tri::No, recalled: answers.iter().any(|a| a.recalled) }
    }

    /// Whether the rule bites.
    pub fn bites(&self, rule: &Rule) -> Answer {
        and(&[self.all(rule, &rule.when), self.any(rule, &rule.when_any)])
    }

    /// Whether it is kept.
    pub fn kept(&self, rule: &Rule) -> Answer {
        and(&[self.all(rule, &rule.check), self.any(rule, &rule.check_any)])
    }

    /// One clause.
    pub fn clause(&self, rule: &Rule, c: &Clause) -> Answer {
        if let Test::Defined(term) = &c.test {
            return self.terms.get(term.as_str()).copied().unwrap_or(Answer::of(Tri::Unknown));
        }
        Answer::of(self.test(rule, c))
    }

    fn test(&self, rule: &Rule, c: &Clause) -> Tri {
        let value = self.get(&c.fact);
        match (&c.test, value) {
            (Test::Always(b), _) => Tri::of(*b),
            (Test::PackLevel(levels), _) => Tri::of(levels.iter().any(|l| self.levels.contains(l))),
            (Test::Exists, v) => v.map_or(Tri::Unknown, |_| Tri::Yes),
            (Test::Flag(want), Some(Value::Flag(b))) => Tri::of(b == want),
            (Test::Number(cmp, limit), v) => {
                let (low, high) = self.range(&c.fact, v);
                number(*cmp, *limit, low, high)
            }
            (Test::InRuleSpecies, v) => self.species(v, &rule.species),
            (Test::Word { of, not }, v) if c.fact == "fish.species" => turn(self.species(v, of), *not),
            (Test::Word { of, not }, Some(Value::Code(w))) => turn(Tri::of(of.contains(w)), *not),
            (Test::List { of, all, not }, Some(Value::Codes { items, whole })) => {
                let here = |code: &String| match (items.contains(code), whole) {
                    (true, _) => Tri::Yes,
                    (false, true) => Tri::No,
                    (false, false) => Tri::Unknown,
                };
                let each: Vec<Tri> = of.iter().map(here).collect();
                let (end, other) = if *all { (Tri::No, Tri::Yes) } else { (Tri::Yes, Tri::No) };
                let found = if each.contains(&end) {
                    end
                } else if each.contains(&Tri::Unknown) {
                    Tri::Unknown
                } else {
                    other
                };
                turn(found, *not)
            }
            (Test::NoneInRuleSpecies, Some(Value::Codes { items, whole })) => {
                self.none_in(rule, items, *whole)
            }
            (Test::Hours { from, to, not }, Some(Value::Clock(now))) => {
                match (self.hour(*from), self.hour(*to)) {
                    (Some(a), Some(b)) => {
                        let inside = if a <= b { a <= *now && *now <= b } else { *now >= a || *now <= b };
                        turn(Tri::of(inside), *not)
                    }
                    _ => Tri::Unknown,
                }
            }
            (Test::Months { from, to }, Some(Value::Date(d))) => {
                let day = (d.month(), d.day());
                Tri::of(if from <= to { *from <= day && day <= *to } else { day >= *from || day <= *to })
            }
            (Test::Day(cmp, limit), Some(Value::Date(d))) => Tri::of(match cmp {
                Cmp::Eq => d == limit,
                Cmp::Ne => d != limit,
                Cmp::Lt => d < limit,
                Cmp::Le => d <= limit,
                Cmp::Gt => d > limit,
                Cmp::Ge => d >= limit,
            }),
            (Test::Days(a, b), Some(Value::Date(d))) => Tri::of(a <= d && d <= b),
            _ => Tri::Unknown,
        }
    }

    /// Between which numbers a fact lies, by itself or by a fact that bounds it.
    fn range(&self, fact: &str, value: Option<&Value>) -> (f64, f64) {
        if let Some(Value::Number { low, high }) = value {
            return (*low, *high);
        }
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        for (smaller, bound) in &self.vocab.bounds {
            if smaller == fact
                && let Some(Value::Number { high: h, .. }) = self.get(&bound.at_most)
            {
                high = high.min(*h);
            }
            if bound.at_most == fact
                && let Some(Value::Number { low: l, .. }) = self.get(smaller)
            {
                low = low.max(*l);
            }
        }
        (low, high)
    }

    /// Whether the fish is one of these: while its name is open, its candidates decide.
    fn species(&self, value: Option<&Value>, of: &BTreeSet<String>) -> Tri {
        match value {
            Some(Value::Code(c)) if c != "unknown" => Tri::of(of.contains(c)),
            _ => match self.get("fish.candidates") {
                Some(Value::Codes { items, whole: true }) if !items.is_empty() => {
                    let all: BTreeSet<String> =
                        items.iter().filter_map(|c| self.vocab.expand(c)).flatten().collect();
                    let inside = all.iter().filter(|c| of.contains(*c)).count();
                    match inside {
                        0 => Tri::No,
                        n if n == all.len() => Tri::Yes,
                        _ => Tri::Unknown,
                    }
                }
                _ => Tri::Unknown,
            },
        }
    }

    /// Whether the fish is one the rule names.
    pub fn names_fish(&self, rule: &Rule) -> Tri {
        self.species(self.get("fish.species"), &rule.species)
    }

    /// Whether none of a list is in the rule's list; a group half inside settles nothing.
    fn none_in(&self, rule: &Rule, items: &BTreeSet<String>, whole: bool) -> Tri {
        let mut open = !whole;
        for item in items {
            let some = self.vocab.expand(item).unwrap_or_default();
            let inside = some.iter().filter(|c| rule.species.contains(*c)).count();
            if inside > 0 && inside == some.len() {
                return Tri::No;
            }
            open |= inside > 0;
        }
        if open { Tri::Unknown } else { Tri::Yes }
    }

    fn hour(&self, h: Hour) -> Option<u16> {
        let sun = |fact: &str, offset: i32| match self.get(fact) {
            Some(Value::Clock(m)) => u16::try_from((i32::from(*m) + offset).rem_euclid(1440)).ok(),
            _ => None,
        };
        match h {
            Hour::At(m) => Some(m),
            Hour::Sunrise(o) => sun("sun.sunrise", o),
            Hour::Sunset(o) => sun("sun.sunset", o),
        }
    }

    /// Facts of these clauses that are known here, with the facts that bound or stand in for them.
    pub fn inputs<'c>(&self, clauses: impl Iterator<Item = &'c Clause>) -> Vec<(String, Value)> {
        let mut out: Vec<(String, Value)> = Vec::new();
        let mut add = |fact: &str| {
            if let Some(v) = self.get(fact)
                && !out.iter().any(|(f, _)| f == fact)
            {
                out.push((fact.to_owned(), v.clone()));
            }
        };
        for c in clauses {
            add(&c.fact);
            match &c.test {
                Test::Number(..) if self.get(&c.fact).is_none() => {
                    for (smaller, bound) in &self.vocab.bounds {
                        if *smaller == c.fact {
                            add(&bound.at_most);
                        }
                        if bound.at_most == c.fact {
                            add(smaller);
                        }
                    }
                }
                Test::InRuleSpecies | Test::Word { .. }
                    if c.fact == "fish.species"
                        && !matches!(self.get("fish.species"), Some(Value::Code(s)) if s != "unknown") =>
                {
                    add("fish.candidates");
                }
                Test::Hours { from, to, .. } => {
                    for h in [from, to] {
                        match h {
                            Hour::Sunrise(_) => add("sun.sunrise"),
                            Hour::Sunset(_) => add("sun.sunset"),
                            Hour::At(_) => {}
                        }
                    }
                }
                _ => {}
            }
        }
        out
    }

    /// Facts of these clauses that leave them unanswered.
    pub fn missing<'c>(&self, rule: &Rule, clauses: impl Iterator<Item = &'c Clause>) -> BTreeSet<String> {
        let mut out = BTreeSet::new();
        for c in clauses.filter(|c| self.clause(rule, c).tri == Tri::Unknown) {
            match &c.test {
                Test::Hours { from, to, .. } => {
                    if self.get(&c.fact).is_none() {
                        out.insert(c.fact.clone());
                    }
                    for (h, fact) in
                        [(from, "sun.sunrise"), (to, "sun.sunset"), (to, "sun.sunrise"), (from, "sun.sunset")]
                    {
                        let of = matches!(
                            (h, fact),
                            (Hour::Sunrise(_), "sun.sunrise") | (Hour::Sunset(_), "sun.sunset")
                        );
                        if of && self.get(fact).is_none() {
                            out.insert(fact.to_owned());
                        }
                    }
                }
                Test::Defined(_) => {}
                _ => {
                    out.insert(c.fact.clone());
                }
            }
        }
        out
    }
}

fn turn(t: Tri, not: bool) -> Tri {
    if not { t.not() } else { t }
}

fn and(answers: &[Answer]) -> Answer {
    let with = |t: Tri| answers.iter().filter(move |a| a.tri == t);
    if with(Tri::No).next().is_some() {
        return Answer { tri: Tri::No, recalled: with(Tri::No).all(|a| a.recalled) };
    }
    if with(Tri::Unknown).next().is_some() {
        return Answer::of(Tri::Unknown);
    }
    Answer { tri: Tri::Yes, recalled: answers.iter().any(|a| a.recalled) }
}

/// Compares everything between `low` and `high` with the limit; at the limit itself nothing is rounded.
fn number(cmp: Cmp, limit: f64, low: f64, high: f64) -> Tri {
    let below = |x: f64| x < limit && !same(x, limit);
    let above = |x: f64| x > limit && !same(x, limit);
    let ge = if !below(low) {
        Tri::Yes
    } else if below(high) {
        Tri::No
    } else {
        Tri::Unknown
    };
    let gt = if above(low) {
        Tri::Yes
    } else if !above(high) {
        Tri::No
    } else {
        Tri::Unknown
    };
    match cmp {
        Cmp::Ge => ge,
        Cmp::Lt => ge.not(),
        Cmp::Gt => gt,
        Cmp::Le => gt.not(),
        Cmp::Eq | Cmp::Ne => {
            let eq = match (ge, gt) {
                (Tri::Yes, Tri::No) => Tri::Yes,
                (Tri::No, _) | (_, Tri::Yes) => Tri::No,
                _ => Tri::Unknown,
            };
            turn(eq, cmp == Cmp::Ne)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_not_rounded_and_a_range_across_it_is_open() {
        assert_eq!(number(Cmp::Ge, 1371.6, 1371.6, 1371.6), Tri::Yes);
        assert_eq!(number(Cmp::Ge, 1371.6, 1371.599, 1371.599), Tri::No);
        assert_eq!(number(Cmp::Gt, 38.1, 38.1, 38.1), Tri::No);
        assert_eq!(number(Cmp::Gt, 38.1, 38.1 + 1e-12, 38.1 + 1e-12), Tri::No);
        assert_eq!(number(Cmp::Ge, 1371.6, 1360.0, 1380.0), Tri::Unknown);
        assert_eq!(number(Cmp::Gt, 15.875, f64::NEG_INFINITY, 15.0), Tri::No);
        assert_eq!(number(Cmp::Gt, 15.875, f64::NEG_INFINITY, 25.0), Tri::Unknown);
        assert_eq!(number(Cmp::Eq, 0.0, 0.0, 0.0), Tri::Yes);
        assert_eq!(number(Cmp::Ne, 0.0, 0.0, 1.0), Tri::Unknown);
        assert_eq!(number(Cmp::Eq, 3.0, 4.0, f64::INFINITY), Tri::No);
        for cmp in [Cmp::Eq, Cmp::Ne, Cmp::Lt, Cmp::Le, Cmp::Gt, Cmp::Ge] {
            assert_eq!(number(cmp, 3.0, f64::NEG_INFINITY, f64::INFINITY), Tri::Unknown);
        }
    }
}
