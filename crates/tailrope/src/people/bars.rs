//! What forbids a person a role, what warns of it, and what must be asked first.
//!
//! Rules on age, water, harness, hours awake, sobriety and drill. Nearly all are project defaults (no public
//! standard for such crews was found); each bar carries the handle of its rule, its grade and its source.
//! Nothing here is a verdict: a bar that *asks* becomes what the plan's limits say of that unknown.

use super::person::Person;
use super::role::{Phase, Place, Role};
use super::rules::{RoleRow, RoleRules};
use crate::Result;
use crate::facts::{Grade, Known};
use crate::quantity::{Length, Span};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

/// How much a bar weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// Not known: ask before the role is taken.
    Asks,
    /// May, with a caution.
    Warns,
    /// May not.
    Forbids,
}

/// One reason against a person in a role.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Bar {
    /// Handle of the rule (`crew.awake_h`).
    pub rule: &'static str,
    /// How much it weighs.
    pub weight: Weight,
    /// One sentence.
    pub sentence: String,
    /// What would lift it.
    pub remedy: String,
    /// Grade of the rule.
    pub grade: Grade,
    /// Its source.
    pub source: String,
}

/// When each phase ends tonight; the hours awake are counted to there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ends {
    /// Last bait out.
    pub paddle_out: Timestamp,
    /// Last bait in.
    pub soak: Timestamp,
    /// Long end of a fight begun with the last bait.
    pub fight: Timestamp,
    /// Release after it.
    pub landing: Timestamp,
}

/// What the night asks, as far as the bars need it.
#[derive(Clone, Debug)]
pub struct Tonight {
    /// Date of the outing, on which drills and waking times are read.
    pub date: Date,
    /// Zone of the beach.
    pub zone: TimeZone,
    /// Ends of the phases.
    pub ends: Ends,
    /// Largest likely fish.
    pub fish: Length,
    /// Any part of it in the dark.
    pub night: bool,
}

impl Tonight {
    /// End of the last of these phases.
    pub fn end_of(&self, phases: &[Phase]) -> Timestamp {
        phases
            .iter()
            .map(|phase| match phase {
                Phase::PaddleOut => self.ends.paddle_out,
                Phase::Soak => self.ends.soak,
                Phase::Fight => self.ends.fight,
                Phase::Landing => self.ends.landing,
            })
            .max()
            .unwrap_or(self.ends.landing)
    }
}

/// Grade and source handle of the rules on fitness that have no row of their own in the pack.
const FITNESS: (Grade, &str) = (Grade::Default, "fitness");

/// Collects bars in the order of the rules.
struct Bars<'a> {
    person: &'a Person,
    list: Vec<Bar>,
}

impl Bars<'_> {
    fn add(&mut self, rule: &'static str, weight: Weight, says: &str, remedy: &str, by: (Grade, &str)) {
        self.list.push(Bar {
            rule,
            weight,
            sentence: format!("{} {says}", self.person.name),
            remedy: remedy.to_owned(),
            grade: by.0,
            source: by.1.to_owned(),
        });
    }

    /// A rule on a fact that may be unknown: `bad` forbids, its absence asks.
    fn fact(
        &mut self,
        rule: &'static str,
        bad: Known<bool>,
        says: &str,
        asks: &str,
        remedy: &str,
        by: (Grade, &str),
    ) {
        match bad {
            Known::Known(true) => self.add(rule, Weight::Forbids, says, remedy, by),
            Known::Known(false) => {}
            Known::Unknown => self.add(rule, Weight::Asks, asks, "ask, and enter the answer", by),
        }
    }
}

fn not(known: Known<bool>) -> Known<bool> {
    match known {
        Known::Known(v) => Known::Known(!v),
        Known::Unknown => Known::Unknown,
    }
}

/// Bad only while no doctor agrees; a doctor's yes settles an unknown condition too.
fn unless_doctor(bad: Known<bool>, doctor: Known<bool>) -> Known<bool> {
    if doctor == Known::Known(true) { Known::Known(false) } else { bad }
}

/// Everything that stands against this person in this role during these phases.
///
/// Empty: fit for it as far as these rules see. The phases are those in which the person would hold the role
/// (usually those of the role's row).
///
/// # Errors
/// A pack without the role.
pub fn bars(
    rules: &RoleRules,
    person: &Person,
    role: Role,
    phases: &[Phase],
    tonight: &Tonight,
) -> Result<Vec<Bar>> {
    let row = rules.role(role)?;
    let mut it = Bars { person, list: Vec::new() };
    let by = FITNESS;
    if person.onlooker {
        it.add("crew.onlooker", Weight::Forbids, "only looks on", "count them in, sober and drilled", by);
    }
    if person.refuses.contains(&role) {
        it.add("crew.refuses", Weight::Forbids, "does not want this role", "respect it", by);
    }
    ages(&mut it, rules, row, tonight);
    it.fact(
        "crew.sober",
        not(person.sober),
        "is not sober",
        "may have drunk or taken something",
        "no role until lines are in and rigs stowed",
        by,
    );
    if matches!(row.place, Place::Wash | Place::Sea) {
        water(&mut it, row, tonight);
    }
    if row.clips_in {
        let heart = unless_doctor(person.heart_or_back, person.doctor_agrees);
        it.fact(
            "crew.heart-or-back",
            heart,
            "has a heart or back condition and no doctor's say for harness work",
            "has not said whether heart or back forbid harness work",
            "a doctor's say, or another person",
            by,
        );
        if tonight.night && person.wears_float == Known::Known(false) && role != Role::HarnessHand {
            it.add(
                "crew.float",
                Weight::Warns,
                "would be clipped in at night without a float",
                "put on a float",
                by,
            );
        }
    }
    awake(&mut it, rules, row, phases, tonight);
    drilled(&mut it, rules, row, tonight);
    Ok(it.list)
}

fn ages(it: &mut Bars<'_>, rules: &RoleRules, row: &RoleRow, tonight: &Tonight) {
    let limits = &rules.limits;
    let by = (limits.adult_age.grade, limits.adult_age.source.as_str());
    let adult = limits.adult_age.value;
    let person = it.person;
    let clip = row.clips_in || matches!(row.role, Role::LeaderHand | Role::TailRopeHand);
    let least = if matches!(row.place, Place::Wash | Place::Sea) {
        row.min_age.max(adult)
    } else if clip {
        row.min_age.max(limits.clip_age.value)
    } else {
        row.min_age
    };
    it.fact(
        "crew.minor.role",
        person.younger_than(least),
        &format!("is under {least}"),
        &format!("may be under {least}"),
        "give the role to someone older",
        by,
    );
    let minor = person.younger_than(adult);
    if row.lands && tonight.fish >= limits.minor_landing_below.value && least < adult {
        it.fact(
            "crew.minor.landing",
            minor,
            "is a minor and the fish may be too long for a minor's part in landing it",
            "may be a minor, and the fish may be too long for a minor's part in landing it",
            "give the role to an adult",
            by,
        );
    }
    if minor == Known::Known(true) {
        it.fact(
            "crew.minor.consent",
            not(person.guardian_consents),
            "has no guardian's consent",
            "is a minor: does a guardian consent?",
            "ask the guardian",
            by,
        );
        if row.place == Place::Ankle {
            it.add(
                "crew.minor.ankle",
                Weight::Warns,
                "is a minor at the water",
                "an adult within arm's reach, never deeper than the ankles",
                by,
            );
        }
    }
}

fn water(it: &mut Bars<'_>, row: &RoleRow, tonight: &Tonight) {
    let p = it.person;
    let by = FITNESS;
    let dry = "a role on dry sand";
    it.fact(
        "crew.swims",
        not(p.swims_100m),
        "cannot swim 100 m",
        "has not said whether they swim 100 m",
        dry,
        by,
    );
    it.fact(
        "crew.wounds",
        p.open_wounds,
        "has open wounds",
        "has not said whether they have open wounds",
        dry,
        by,
    );
    it.fact(
        "crew.blood-thinners",
        unless_doctor(p.blood_thinners, p.doctor_agrees),
        "takes blood thinners and has no doctor's say",
        "has not said whether they take blood thinners",
        dry,
        by,
    );
    it.fact("crew.pregnant", p.pregnant, "is pregnant", "has not said whether they are pregnant", dry, by);
    if row.place == Place::Sea || tonight.night {
        it.fact(
            "crew.float",
            not(p.wears_float),
            "goes into the water without a float",
            "may go into the water without a float",
            "put on a float",
            by,
        );
    }
}

fn awake(it: &mut Bars<'_>, rules: &RoleRules, row: &RoleRow, phases: &[Phase], tonight: &Tonight) {
    let limits = &rules.limits;
    let by = (limits.awake_stop.grade, limits.awake_stop.source.as_str());
    let worn = row.clips_in || matches!(row.place, Place::Wash | Place::Sea);
    let Known::Known(since) = it.person.awake_since else {
        it.add(
            "crew.awake_h",
            Weight::Asks,
            "has not said since when they are awake",
            "ask, and enter the waking time",
            by,
        );
        return;
    };
    match since.until(tonight.date, &tonight.zone, tonight.end_of(phases)) {
        Err(e) => it.add(
            "crew.awake_h",
            Weight::Asks,
            &format!("gave no usable waking time: {}", e.error),
            &e.remedy,
            by,
        ),
        Ok(h) => {
            let says = format!("is awake {:.1} h at the end of this role", h.h());
            if h > limits.awake_stop.value && worn {
                it.add(
                    "crew.awake_h",
                    Weight::Forbids,
                    &says,
                    "a dry role without harness, or sleep first",
                    by,
                );
            } else if h >= limits.awake_caution.value {
                it.add("crew.awake_h", Weight::Warns, &says, "swap early, rest before", by);
            }
        }
    }
}

fn drilled(it: &mut Bars<'_>, rules: &RoleRules, row: &RoleRow, tonight: &Tonight) {
    let limits = &rules.limits;
    let by = (row.grade, row.source.as_str());
    let known = it.person.drilled_in(row.role, tonight.date, limits.drill_holds.value);
    if row.drilled_only {
        it.fact(
            "crew.drilled",
            not(known),
            "has not drilled this role this season",
            "has not said whether they drilled this role",
            "drill it on dry sand first",
            by,
        );
    } else if matches!(row.place, Place::Wash | Place::Sea) || row.clips_in {
        match known {
            Known::Known(true) => {}
            Known::Known(false) => {
                it.add(
                    "crew.drilled",
                    Weight::Warns,
                    "has not drilled this role this season",
                    "drill it on dry sand first",
                    by,
                );
            }
            Known::Unknown => {
                it.add(
                    "crew.drilled",
                    Weight::Asks,
                    "has not said whether they drilled this role",
                    "ask, or drill it first",
                    by,
                );
            }
        }
    }
    if it.person.newcomer == Known::Known(true) && row.place != Place::Dry {
        match &it.person.buddy {
            Known::Known(_) => it.add(
                "crew.newcomer",
                Weight::Warns,
                "is new to the crew",
                "the named buddy stays beside them",
                by,
            ),
            Known::Unknown => it.add(
                "crew.newcomer",
                Weight::Forbids,
                "is new to the crew and has no buddy",
                "name a buddy, or give them a dry role",
                by,
            ),
        }
    }
}

/// Whether a person is too long awake to drive home at this moment, with the reason.
pub fn driving(rules: &RoleRules, person: &Person, tonight: &Tonight, leaves: Timestamp) -> Option<Bar> {
    let limits = &rules.limits;
    let mut it = Bars { person, list: Vec::new() };
    let by = (limits.awake_stop.grade, limits.awake_stop.source.as_str());
    match person.awake_since {
        Known::Unknown => {
            it.add(
                "crew.driver",
                Weight::Asks,
                "drives and has not said since when they are awake",
                "ask",
                by,
            );
        }
        Known::Known(since) => match since.until(tonight.date, &tonight.zone, leaves) {
            Err(e) => it.add("crew.driver", Weight::Asks, &e.error, &e.remedy, by),
            Ok(h) => {
                let says = format!("would drive after {:.1} h awake", h.h());
                if h > limits.awake_stop.value {
                    it.add("crew.driver", Weight::Forbids, &says, "another driver, or sleep first", by);
                } else if h >= limits.awake_caution.value {
                    it.add("crew.driver", Weight::Warns, &says, "nap or swap", by);
                }
            }
        },
    }
    if person.sober == Known::Known(false) {
        it.add(
            "crew.sober",
            Weight::Forbids,
            "is not sober and would drive",
            "another driver",
            (Grade::Default, "fitness"),
        );
    }
    it.list.into_iter().max_by_key(|bar| bar.weight)
}

/// Whether somebody counts for the crew's number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "counts", content = "why")]
pub enum Counts {
    /// Adult, sober and shown the drill.
    Yes,
    /// Does not, and why.
    No(String),
    /// Not known: the question.
    Open(String),
}

/// Whether this person counts: adults, sober, shown the drill (drilled in any role this season, or a newcomer
/// with a named buddy). Sleepers, onlookers and minors do not.
pub fn counts(rules: &RoleRules, person: &Person, day: Date) -> Counts {
    let adult = rules.limits.adult_age.value;
    if person.onlooker {
        return Counts::No("only looks on".into());
    }
    let buddied = person.newcomer == Known::Known(true) && !person.buddy.is_unknown();
    let shown = match person.drilled_at_all(day, rules.limits.drill_holds.value) {
        Known::Known(v) => Known::Known(v || buddied),
        Known::Unknown if buddied => Known::Known(true),
        Known::Unknown => Known::Unknown,
    };
    let mut open = Vec::new();
    for (good, bad, question) in [
        (
            not(person.younger_than(adult)),
            format!("is under {adult}"),
            format!("is {} {adult} or older?", person.name),
        ),
        (person.sober, "is not sober".to_owned(), format!("is {} sober?", person.name)),
        (
            shown,
            "was not shown the drill this season".to_owned(),
            format!("was {} shown the drill?", person.name),
        ),
    ] {
        match good {
            Known::Known(true) => {}
            Known::Known(false) => return Counts::No(bad),
            Known::Unknown => open.push(question),
        }
    }
    if open.is_empty() { Counts::Yes } else { Counts::Open(open.join(" ")) }
}

/// How long a person has been awake at the end of the night, if known.
pub fn awake_at(person: &Person, tonight: &Tonight, end: Timestamp) -> Known<Span> {
    match person.awake_since {
        Known::Known(since) => since.until(tonight.date, &tonight.zone, end).ok().into(),
        Known::Unknown => Known::Unknown,
    }
}
