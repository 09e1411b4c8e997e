//! Who does what: an exact assignment of people to the roles of the night.
//!
//! The roles wanted become *slots*, each with the phases in which it works. One person may hold two slots that
//! never work at the same time, and two that do only where the role pack allows the pair. People who are barred
//! ([`super::bars`]) hold nothing they are barred from. Among all assignments the one is taken that leaves the
//! fewest needed roles open, then the fewest optional ones, then costs least: drilled before undrilled before
//! newcomers, known before unknown, rested before tired, wishes last.
//!
//! Exact search by dynamic programming over sets of filled slots, one person after another: at most
//! 2^13 sets x some hundred sets of slots a person can hold, so twenty people take milliseconds. People are
//! taken in the order of their names: the order in the file changes nothing.
//!
//! Law: one more qualified person never makes a crew short that was complete.

use super::bars::{Tonight, Weight, bars};
use super::person::Person;
use super::role::{Phase, Place, Role};
use super::rules::{Needed, RoleRules};
use crate::facts::Known;
use crate::quantity::{Length, Mass, Span};
use crate::{Error, Result};
use serde::Serialize;

/// Most people in one call.
pub const MAX_PEOPLE: usize = 60;
/// Most harness hands that can be asked for.
pub const MAX_HARNESS_HANDS: u8 = 4;

/// What the night needs people for.
#[derive(Clone, Debug, PartialEq)]
pub struct Needs {
    /// A bait goes out by kayak or board.
    pub paddled: bool,
    /// The fish is roped, held, tagged or measured.
    pub roped: bool,
    /// Harness hands that footing asks for, 0 to 4.
    pub harness_hands: u8,
    /// Likely length of a fight; unknown counts as long.
    pub likely_fight: Known<Span>,
    /// Largest likely fish.
    pub length: Length,
    /// Its mass, heavy end.
    pub mass: Mass,
}

/// A reason from outside this module that keeps a person from a role (footing, law).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OuterBar {
    /// Whom.
    pub person: String,
    /// From what.
    pub role: Role,
    /// Why, one sentence.
    pub because: String,
}

/// A filled role.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Assigned {
    /// Which.
    pub role: Role,
    /// When.
    pub phases: Vec<Phase>,
    /// Who.
    pub person: String,
    /// Who else could take it without leaving another role that works at the same time, best first.
    pub alternates: Vec<String>,
    /// What warns of it or must be asked.
    pub cautions: Vec<super::bars::Bar>,
}

/// A role nobody fills.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unfilled {
    /// Which.
    pub role: Role,
    /// When.
    pub phases: Vec<Phase>,
    /// The night cannot do without it.
    pub needed: bool,
    /// Each person and why not.
    pub reasons: Vec<(String, String)>,
}

/// The whole assignment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Assignment {
    /// Filled roles, in the order in which they are read out.
    pub roles: Vec<Assigned>,
    /// Open ones.
    pub unfilled: Vec<Unfilled>,
    /// People without a role.
    pub spare: Vec<String>,
}

impl Assignment {
    /// Every needed role is filled.
    pub fn complete(&self) -> bool {
        self.unfilled.iter().all(|u| !u.needed)
    }

    /// Roles in the water held by someone who is new, or has not (or perhaps not) drilled them this season.
    pub fn undrilled_in_water(&self, rules: &RoleRules) -> Vec<&Assigned> {
        let wet = |role| rules.role(role).is_ok_and(|row| matches!(row.place, Place::Wash | Place::Sea));
        self.roles
            .iter()
            .filter(|r| wet(r.role))
            .filter(|r| r.cautions.iter().any(|b| ["crew.drilled", "crew.newcomer"].contains(&b.rule)))
            .collect()
    }
}

/// One role to be filled by one person.
#[derive(Clone, Debug)]
struct Slot {
    role: Role,
    phases: Vec<Phase>,
    needed: bool,
}

fn slots(rules: &RoleRules, needs: &Needs) -> Result<Vec<Slot>> {
    let small = rules.is_small(needs.length, needs.mass);
    let mut slots = Vec::new();
    for role in Role::ALL {
        let row = rules.role(role)?;
        let wanted = match role {
            Role::ReliefAngler => match needs.likely_fight {
                Known::Known(t) => t > rules.limits.relief_after.value,
                Known::Unknown => true,
            },
            Role::TailRopeHand => needs.roped,
            Role::BaitHand => needs.paddled,
            Role::HarnessHand => needs.harness_hands > 0,
            _ => true,
        };
        if !wanted {
            continue;
        }
        let needed = match row.needed {
            Needed::Always => true,
            Needed::UnlessSmall => !small,
            Needed::Wished => false,
        };
        let count = if role == Role::HarnessHand { needs.harness_hands } else { 1 };
        for _ in 0..count {
            slots.push(Slot { role, phases: row.phases.clone(), needed });
        }
    }
    // Two people ashore who do nothing else while someone paddles: the safety lead and watchers beside them.
    if needs.paddled {
        for _ in 1..rules.limits.watchers_ashore.value {
            slots.push(Slot { role: Role::Spotter, phases: vec![Phase::PaddleOut], needed: true });
        }
    }
    Ok(slots)
}

/// What the search knows of a person in a slot.
#[derive(Clone, Debug, Default)]
struct Fit {
    /// `None`: barred.
    cost: Option<u64>,
    cautions: Vec<super::bars::Bar>,
    against: String,
}

// Costs, each step larger than all of the steps below it together for any crew within bounds.
const NEEDED_OPEN: u64 = 10_000_000_000_000_000;
const OPTIONAL_OPEN: u64 = 100_000_000_000_000;
const NEWCOMER: u64 = 1_000_000_000_000;
const UNDRILLED: u64 = 10_000_000_000;
const ASKED: u64 = 10_000_000; // what is unknown may yet forbid, so it weighs more than a known caution
const WARNED: u64 = 100_000;
const DOUBLED: u64 = 1_000;
const NOT_WISHED: u64 = 10;

fn fit(
    rules: &RoleRules,
    person: &Person,
    slot: &Slot,
    tonight: &Tonight,
    outer: &[OuterBar],
) -> Result<Fit> {
    let all = bars(rules, person, slot.role, &slot.phases, tonight)?;
    if let Some(bar) = outer.iter().find(|b| b.person == person.name && b.role == slot.role) {
        return Ok(Fit { against: bar.because.clone(), ..Fit::default() });
    }
    if let Some(bar) = all.iter().find(|b| b.weight == Weight::Forbids) {
        return Ok(Fit { against: bar.sentence.clone(), ..Fit::default() });
    }
    let mut cost = 0;
    for bar in &all {
        cost += match (bar.rule, bar.weight) {
            ("crew.newcomer", _) => NEWCOMER,
            ("crew.drilled", _) => UNDRILLED,
            (_, Weight::Warns) => WARNED,
            (_, _) => ASKED,
        };
    }
    // The dearest wish costs nothing; a person with other wishes is asked last.
    cost += match person.wishes.iter().position(|w| *w == slot.role) {
        Some(place) => place.min(8) as u64,
        None if person.wishes.is_empty() => NOT_WISHED / 2 + 4,
        None => NOT_WISHED + 4,
    };
    Ok(Fit { cost: Some(cost), cautions: all, against: String::new() })
}

/// Whether one person may hold both slots.
fn compatible(rules: &RoleRules, a: &Slot, b: &Slot, fish: Length) -> bool {
    a.phases
        .iter()
        .filter(|phase| b.phases.contains(phase))
        .all(|phase| rules.may_double(a.role, b.role, *phase, fish))
}

/// All sets of slots that a person can hold together, with their cost, the empty set first.
fn holdings(fits: &[Fit], clashes: &[u32]) -> Vec<(u32, u64)> {
    let mut sets = vec![(0_u32, 0_u64)];
    for (i, (fit, clash)) in fits.iter().zip(clashes).enumerate() {
        let Some(cost) = fit.cost else { continue };
        let bit = 1_u32 << i;
        let grown: Vec<(u32, u64)> = sets
            .iter()
            .filter(|(set, _)| set & clash == 0)
            .map(|(set, sum)| (set | bit, sum + cost + if *set == 0 { 0 } else { DOUBLED }))
            .collect();
        sets.extend(grown);
    }
    sets
}

/// The cheapest choice of one holding a person; the set each person holds, in the order given.
fn search(slots: &[Slot], holdings: &[Vec<(u32, u64)>]) -> Vec<u32> {
    let full = 1_usize << slots.len();
    let mut best: Vec<Option<u64>> = vec![None; full];
    if let Some(start) = best.first_mut() {
        *start = Some(0);
    }
    // For each person and each set of filled slots: what this person holds in the cheapest way to it.
    let mut taken: Vec<Vec<u32>> = Vec::with_capacity(holdings.len());
    for sets in holdings {
        let mut next: Vec<Option<u64>> = vec![None; full];
        let mut choice = vec![0_u32; full];
        for (filled, cost) in best.iter().enumerate() {
            let Some(cost) = cost else { continue };
            for &(set, more) in sets {
                if filled & set as usize != 0 {
                    continue;
                }
                let to = filled | set as usize;
                if let (Some(slot), Some(chosen)) = (next.get_mut(to), choice.get_mut(to))
                    && slot.is_none_or(|c| cost + more < c)
                {
                    *slot = Some(cost + more);
                    *chosen = set;
                }
            }
        }
        best = next;
        taken.push(choice);
    }
    let open_cost = |filled: usize| -> u64 {
        slots
            .iter()
            .enumerate()
            .filter(|(i, _)| filled & (1 << i) == 0)
            .map(|(_, s)| if s.needed { NEEDED_OPEN } else { OPTIONAL_OPEN })
            .sum()
    };
    let mut filled = best
        .iter()
        .enumerate()
        .filter_map(|(set, cost)| cost.map(|c| (c + open_cost(set), set)))
        .min()
        .map_or(0, |(_, set)| set);
    let mut held = vec![0_u32; holdings.len()];
    for (choice, own) in taken.iter().zip(held.iter_mut()).rev() {
        *own = choice.get(filled).copied().unwrap_or(0);
        filled &= !(*own as usize);
    }
    held
}

/// Assigns people to the roles of the night.
///
/// # Errors
/// Two people of the same name, an empty name, more than [`MAX_PEOPLE`] people, more than
/// [`MAX_HARNESS_HANDS`] harness hands, or a pack without a role.
pub fn assign(
    rules: &RoleRules,
    people: &[Person],
    needs: &Needs,
    tonight: &Tonight,
    outer: &[OuterBar],
) -> Result<Assignment> {
    check(people, needs)?;
    let slots = slots(rules, needs)?;
    let mut crew: Vec<&Person> = people.iter().collect();
    crew.sort_by(|a, b| a.name.cmp(&b.name));
    let mut fits = Vec::with_capacity(crew.len());
    for person in &crew {
        let row: Result<Vec<Fit>> =
            slots.iter().map(|slot| fit(rules, person, slot, tonight, outer)).collect();
        fits.push(row?);
    }
    let clashes: Vec<u32> = slots
        .iter()
        .map(|a| {
            slots.iter().enumerate().fold(0, |mask, (i, b)| {
                if compatible(rules, a, b, needs.length) { mask } else { mask | 1 << i }
            })
        })
        .collect();
    let sets: Vec<Vec<(u32, u64)>> = fits.iter().map(|row| holdings(row, &clashes)).collect();
    let held = search(&slots, &sets);
    Ok(report(&slots, &crew, &fits, &clashes, &held))
}

fn check(people: &[Person], needs: &Needs) -> Result<()> {
    if people.len() > MAX_PEOPLE {
        return Err(Error::new(
            format!("{} people", people.len()),
            format!("at most {MAX_PEOPLE}"),
            "name only those who take part",
        ));
    }
    if needs.harness_hands > MAX_HARNESS_HANDS {
        return Err(Error::new(
            format!("{} harness hands", needs.harness_hands),
            format!("at most {MAX_HARNESS_HANDS}"),
            "less drag, a lower rod or another stance",
        ));
    }
    for (i, person) in people.iter().enumerate() {
        let place = format!("person[{i}].name");
        if person.name.trim().is_empty() {
            return Err(Error::new("a person without name", "a name", "write the name called on the beach")
                .within(place));
        }
        let same = |other: &Person| other.name.trim().eq_ignore_ascii_case(person.name.trim());
        if people.iter().take(i).any(same) {
            return Err(Error::new(
                format!("two people are called `{}`", person.name),
                "different names",
                "add an initial",
            )
            .within(place));
        }
    }
    Ok(())
}

fn report(slots: &[Slot], crew: &[&Person], fits: &[Vec<Fit>], clashes: &[u32], held: &[u32]) -> Assignment {
    let mut roles: Vec<Assigned> = Vec::new();
    let mut unfilled = Vec::new();
    for (i, (slot, clash)) in slots.iter().zip(clashes).enumerate() {
        let bit = 1_u32 << i;
        let busy = |set: u32| set & clash & !bit != 0;
        let holder = held.iter().position(|set| set & bit != 0);
        let candidates = || crew.iter().zip(fits).zip(held);
        if let Some((person, fit)) = holder.and_then(|h| Some((crew.get(h)?, fits.get(h)?.get(i)?))) {
            let mut others: Vec<(u64, &str)> = candidates()
                .filter(|((p, _), set)| p.name != person.name && *set & bit == 0 && !busy(**set))
                .filter_map(|((p, row), _)| Some((row.get(i)?.cost?, p.name.as_str())))
                .collect();
            others.sort_unstable();
            // A person who is spotter while someone paddles and in the fight is one row, not two.
            if let Some(same) = roles.iter_mut().find(|r| r.role == slot.role && r.person == person.name) {
                same.phases.extend(slot.phases.iter().copied());
                same.phases.sort_unstable();
                same.phases.dedup();
                same.alternates.retain(|name| others.iter().any(|(_, o)| o == name));
                continue;
            }
            roles.push(Assigned {
                role: slot.role,
                phases: slot.phases.clone(),
                person: person.name.clone(),
                alternates: others.into_iter().map(|(_, name)| name.to_owned()).collect(),
                cautions: fit.cautions.clone(),
            });
        } else {
            let reasons = candidates()
                .map(|((p, row), set)| {
                    let against = row.get(i).map_or("", |f| f.against.as_str());
                    let why = if !against.is_empty() {
                        against.to_owned()
                    } else if busy(*set) {
                        let other = slots
                            .iter()
                            .enumerate()
                            .find(|(k, _)| set & clash & (1 << k) != 0)
                            .map_or("another role", |(_, s)| s.role.word());
                        format!("is needed as {other} at the same time")
                    } else {
                        "is free, but taking it would leave another role open".to_owned()
                    };
                    (p.name.clone(), why)
                })
                .collect();
            unfilled.push(Unfilled {
                role: slot.role,
                phases: slot.phases.clone(),
                needed: slot.needed,
                reasons,
            });
        }
    }
    roles.sort_by_key(|r| r.role);
    let spare = crew
        .iter()
        .zip(held)
        .filter(|(p, set)| **set == 0 && !p.onlooker)
        .map(|(p, _)| p.name.clone())
        .collect();
    Assignment { roles, unfilled, spare }
}

#[cfg(test)]
mod tests;
