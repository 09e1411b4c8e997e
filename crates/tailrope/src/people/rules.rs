//! The role pack (`data/roles.toml`): what each role does and where, which two one person may hold at once, the
//! least crew, ages and hours, each with grade and source.

use super::pack::Meta;
use super::role::{Phase, Place, Role};
use crate::facts::{Figure, Grade, PackText, Source};
use crate::quantity::{Force, Length, Mass, Span};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// The whole pack.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoleRules {
    /// Name and date.
    pub meta: Meta,
    /// One row a role.
    pub role: Vec<RoleRow>,
    /// Pairs that one person may hold at once.
    pub double: Vec<Double>,
    /// Least crew by the largest likely fish, smallest first.
    pub crew: Vec<CrewRow>,
    /// Fish that two adults can deal with.
    pub small: Small,
    /// Thresholds. The plan may overwrite them with its own before it asks.
    pub limits: RoleLimits,
    /// Hands to float a grounded fish.
    pub float: Float,
    /// Sources by handle.
    pub source: Vec<Source>,
}

/// Whether the night can do without a role for which it has work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Needed {
    /// It cannot.
    Always,
    /// It can for a small fish ([`Small`]).
    UnlessSmall,
    /// It can: filled if there are people for it.
    Wished,
}

/// One role.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoleRow {
    /// Which.
    pub role: Role,
    /// What it does, one line.
    pub does: String,
    /// How near the water.
    #[serde(rename = "where")]
    pub place: Place,
    /// When it works.
    pub phases: Vec<Phase>,
    /// Wears the harness or holds its strap.
    pub clips_in: bool,
    /// Has a part in landing the fish.
    pub lands: bool,
    /// Least age, years.
    pub min_age: u8,
    /// Only a person drilled in it can do it at all.
    pub drilled_only: bool,
    /// Whether the night can do without it.
    pub needed: Needed,
    /// Grade.
    pub grade: Grade,
    /// Source.
    pub source: String,
}

/// Two roles that one person may hold at the same time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Double {
    /// The pair.
    pub roles: [Role; 2],
    /// Only for a largest likely fish shorter than this.
    #[serde(default)]
    pub fish_below: Option<Length>,
    /// In these phases only.
    pub phases: Vec<Phase>,
    /// Grade.
    pub grade: Grade,
    /// Source.
    pub source: String,
}

/// One row of the least crew.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrewRow {
    /// From this length on.
    pub length_from: Length,
    /// Or from this mass on.
    pub mass_from: Mass,
    /// Whether a fish of exactly that mass belongs here.
    pub mass_from_included: bool,
    /// People when the fish is cut or unhooked at the leader.
    pub leader_only: u8,
    /// People when it is roped, held, tagged or measured.
    pub roped: u8,
    /// A roped fish also needs hands enough to float it again.
    pub float_again: bool,
    /// Grade.
    pub grade: Grade,
    /// Source.
    pub source: String,
}

/// Below both, two adults can deal with the fish.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Small {
    /// Shorter than this.
    pub length_below: Length,
    /// And lighter than this.
    pub mass_below: Mass,
    /// Grade.
    pub grade: Grade,
    /// Source.
    pub source: String,
}

/// Thresholds on people.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoleLimits {
    /// Least crew for any landing at night in waves of `night_landing_wave` or more.
    pub night_landing_crew: Figure<u8>,
    /// Wave height at the landing place from which that holds.
    pub night_landing_wave: Figure<Length>,
    /// People ashore who do nothing else while someone paddles.
    pub watchers_ashore: Figure<u8>,
    /// A fight likely longer than this needs a relief angler.
    pub relief_after: Figure<Span>,
    /// Awake this long or longer at the end of the role: caution.
    pub awake_caution: Figure<Span>,
    /// Awake longer than this at the end of the role: no harness, water, kayak or wheel.
    pub awake_stop: Figure<Span>,
    /// Below this age nobody clips in, takes leader or tail rope.
    pub clip_age: Figure<u8>,
    /// From this age on a person is an adult.
    pub adult_age: Figure<u8>,
    /// Minors take part only in landing fish shorter than this.
    pub minor_landing_below: Figure<Length>,
    /// How long a drill counts.
    pub drill_holds: Figure<Span>,
    /// From this length on no wash role may be held by an undrilled person.
    pub undrilled_fish_below: Figure<Length>,
}

/// Hands to float a grounded fish.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Float {
    /// Share of the weight that the water carries.
    pub afloat: Figure<f64>,
    /// Friction of the fish on the sand.
    pub friction: Figure<f64>,
    /// Pull of one person.
    pub pull: Figure<Force>,
    /// Share lost to timing.
    pub loss: Figure<f64>,
}

impl RoleRules {
    /// Reads and checks the pack.
    pub fn read(text: PackText<'_>) -> Result<Self> {
        let rules: Self = text.read()?;
        rules.check(text)?;
        Ok(rules)
    }

    /// The row of a role.
    pub fn role(&self, role: Role) -> Result<&RoleRow> {
        self.role.iter().find(|row| row.role == role).ok_or_else(|| {
            Error::new(
                format!("the role pack has no row for {}", role.word()),
                "one row a role",
                "restore the shipped pack",
            )
        })
    }

    /// Whether one person may hold both in this phase with this largest likely fish.
    pub fn may_double(&self, a: Role, b: Role, phase: Phase, fish: Length) -> bool {
        self.double.iter().any(|d| {
            (d.roles == [a, b] || d.roles == [b, a])
                && d.phases.contains(&phase)
                && d.fish_below.is_none_or(|below| fish < below)
        })
    }

    /// Whether two adults can deal with a fish of this size.
    pub fn is_small(&self, length: Length, mass: Mass) -> bool {
        length < self.small.length_below && mass < self.small.mass_below
    }

    fn check(&self, text: PackText<'_>) -> Result<()> {
        for role in Role::ALL {
            let rows = self.role.iter().filter(|row| row.role == role).count();
            if rows != 1 {
                return Err(text.refuse(
                    "role",
                    format!("{} has {rows} rows", role.word()),
                    "one row a role",
                    "add or remove rows",
                ));
            }
        }
        for (i, row) in self.role.iter().enumerate() {
            let path = format!("role[{i}].phases");
            if row.phases.is_empty() {
                return Err(text.refuse(
                    &path,
                    "a role without a phase",
                    "paddle-out, soak, fight, landing",
                    "name its phases",
                ));
            }
            self.source_ok(text, &format!("role[{i}].source"), &row.source)?;
        }
        for (i, double) in self.double.iter().enumerate() {
            let [a, b] = double.roles;
            if a == b {
                return Err(text.refuse(
                    &format!("double[{i}].roles"),
                    "a role paired with itself",
                    "two different roles",
                    "correct the pair",
                ));
            }
            self.source_ok(text, &format!("double[{i}].source"), &double.source)?;
        }
        if self.crew.is_empty() {
            return Err(text.refuse("crew", "no rows", "at least one row", "restore the shipped table"));
        }
        for (i, row) in self.crew.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|i| self.crew.get(i));
            let rises = before.is_none_or(|b| {
                b.length_from < row.length_from
                    && b.mass_from < row.mass_from
                    && b.leader_only <= row.leader_only
                    && b.roped <= row.roped
            });
            let starts = i > 0 || (row.length_from.m() <= 0.0 && row.mass_from.kg() <= 0.0);
            // Never alone, and a roped fish never needs fewer people than one cut at the leader.
            if !rises || !starts || row.leader_only < 2 || row.roped < row.leader_only {
                return Err(text.refuse(
                    &format!("crew[{i}]"),
                    "the crew table does not rise from nothing, or leaves somebody alone",
                    "first row from 0 m and 0 kg; then longer, heavier, never fewer people; at least 2",
                    "order the rows by size",
                ));
            }
            self.source_ok(text, &format!("crew[{i}].source"), &row.source)?;
        }
        let l = &self.limits;
        for (path, x, min, max) in [
            ("limits.night_landing_crew", f64::from(l.night_landing_crew.value), 2.0, 20.0),
            ("limits.watchers_ashore", f64::from(l.watchers_ashore.value), 1.0, 4.0),
            ("limits.awake_stop", l.awake_stop.value.h(), l.awake_caution.value.h(), 24.0),
            ("limits.adult_age", f64::from(l.adult_age.value), f64::from(l.clip_age.value), 25.0),
            ("float.afloat", self.float.afloat.value, 0.0, 0.95),
            ("float.friction", self.float.friction.value, 0.05, 1.5),
            ("float.pull", self.float.pull.value.n(), 10.0, 1000.0),
            ("float.loss", self.float.loss.value, 0.0, 0.6),
        ] {
            if !(x >= min && x <= max) {
                return Err(text.refuse(
                    path,
                    format!("{path} is {x}"),
                    format!("{min} to {max}"),
                    "correct this figure",
                ));
            }
        }
        for (path, source) in [
            ("small.source", &self.small.source),
            ("limits.night_landing_crew", &l.night_landing_crew.source),
            ("limits.night_landing_wave", &l.night_landing_wave.source),
            ("limits.watchers_ashore", &l.watchers_ashore.source),
            ("limits.relief_after", &l.relief_after.source),
            ("limits.awake_caution", &l.awake_caution.source),
            ("limits.awake_stop", &l.awake_stop.source),
            ("limits.clip_age", &l.clip_age.source),
            ("limits.adult_age", &l.adult_age.source),
            ("limits.minor_landing_below", &l.minor_landing_below.source),
            ("limits.drill_holds", &l.drill_holds.source),
            ("limits.undrilled_fish_below", &l.undrilled_fish_below.source),
            ("float.afloat", &self.float.afloat.source),
            ("float.friction", &self.float.friction.source),
            ("float.pull", &self.float.pull.source),
            ("float.loss", &self.float.loss.source),
        ] {
            self.source_ok(text, path, source)?;
        }
        Ok(())
    }

    fn source_ok(&self, text: PackText<'_>, path: &str, source: &str) -> Result<()> {
        super::pack::source_listed(text, path, source, &self.source)
    }
}

#[cfg(test)]
pub(super) fn shipped() -> RoleRules {
    RoleRules::read(PackText::new("roles.toml", include_str!("../../../../data/roles.toml"))).unwrap()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_pack_reads_and_doubles_only_what_is_marked() {
        let r = shipped();
        let m = Length::of_m;
        assert!(r.may_double(Role::Spotter, Role::SafetyLead, Phase::Fight, m(2.39)));
        assert!(!r.may_double(Role::Spotter, Role::SafetyLead, Phase::Fight, m(2.4)));
        assert!(!r.may_double(Role::Spotter, Role::SafetyLead, Phase::PaddleOut, m(1.0)));
        assert!(r.may_double(Role::LeaderHand, Role::HookHand, Phase::Landing, m(4.0)));
        assert!(!r.may_double(Role::Angler, Role::Spotter, Phase::Fight, m(1.0)));
        assert!(!r.may_double(Role::SafetyLead, Role::ReliefAngler, Phase::Fight, m(1.0)));
    }

    #[test]
    fn refuses_a_broken_pack_with_its_line() {
        let text = include_str!("../../../../data/roles.toml");
        let say = |from: &str, to: &str| {
            assert!(text.contains(from), "{from}");
            let t = text.replacen(from, to, 1);
            RoleRules::read(PackText::new("roles.toml", &t)).unwrap_err().to_string()
        };
        assert!(say("role = \"spotter\"", "role = \"angler\"").contains("angler has 2 rows"));
        assert!(
            say("roles = [\"leader-hand\", \"hook-hand\"]", "roles = [\"hook-hand\", \"hook-hand\"]")
                .contains("itself")
        );
        assert!(say("leader_only = 2", "leader_only = 1").contains("crew[0]"));
        assert!(say("length_from = \"2.4m\"", "length_from = \"1.2m\"").contains("crew[2]"));
        assert!(say("source = \"awake\"", "source = \"rumour\"").contains("no source `rumour`"));
        assert!(say("role = \"hook-hand\"", "role = \"hook-man\"").contains("hook-man"));
        assert!(
            say("awake_stop = { value = \"18h\"", "awake_stop = { value = \"12h\"")
                .contains("limits.awake_stop")
        );
    }
}
