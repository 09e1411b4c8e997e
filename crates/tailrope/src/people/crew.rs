//! How many people a fish asks for, and how many hands to float it again.

use super::rules::RoleRules;
use crate::facts::Grade;
use crate::quantity::{G_M_S2, Length, Mass};
use serde::Serialize;

/// What the landing asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// Length of the largest likely fish.
    pub length: Length,
    /// Its mass, heavy end.
    pub mass: Mass,
    /// Roped, held, tagged or measured; else cut or unhooked at the leader.
    pub roped: bool,
    /// In the dark.
    pub night: bool,
    /// Height of the waves at the landing place.
    pub wave: Length,
}

/// Least crew.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CrewNeed {
    /// People needed. Below it: stop; exactly it: caution.
    pub count: u32,
    /// What makes it so many.
    pub because: Vec<String>,
    /// Hands to float the fish again, if it is roped and large enough to be grounded.
    pub float_hands: Option<u32>,
    /// Weakest grade in it.
    pub grade: Grade,
    /// Sources.
    pub sources: Vec<String>,
}

/// Least crew for a landing: the table by size, four at night in waves, and for a very large roped fish enough
/// to float it again.
///
/// A fish belongs to the last row that it reaches by length *or* by mass.
pub fn crew_needed(rules: &RoleRules, landing: &Landing) -> CrewNeed {
    let row = rules.crew.iter().rev().find(|row| {
        landing.length >= row.length_from
            || landing.mass > row.mass_from
            || (row.mass_from_included && landing.mass == row.mass_from)
    });
    let mut need = CrewNeed {
        count: 2,
        because: vec!["never alone".to_owned()],
        float_hands: None,
        grade: Grade::Default,
        sources: Vec::new(),
    };
    if let Some(row) = row {
        need.count = u32::from(if landing.roped { row.roped } else { row.leader_only });
        need.because = vec![format!(
            "largest likely fish of {:.1} m and {:.0} kg, {}",
            landing.length.m(),
            landing.mass.kg(),
            if landing.roped { "roped or held" } else { "cut or unhooked at the leader" }
        )];
        need.grade = row.grade;
        need.sources.push(row.source.clone());
        if landing.roped && row.float_again {
            let hands = float_hands(rules, landing.mass);
            need.float_hands = Some(hands);
            if hands > need.count {
                need.count = hands;
                need.because.push(format!("{hands} hands to float it again"));
                need.grade = need.grade.max(rules.float.friction.grade);
                need.sources.push(rules.float.friction.source.clone());
            }
        }
    }
    let limits = &rules.limits;
    let at_night = u32::from(limits.night_landing_crew.value);
    if landing.night && landing.wave >= limits.night_landing_wave.value && at_night > need.count {
        need.count = at_night;
        need.because.push(format!("a landing at night in waves of {:.1} m", landing.wave.m()));
        need.grade = need.grade.max(limits.night_landing_crew.grade);
        need.sources.push(limits.night_landing_crew.source.clone());
    }
    need
}

/// Hands to drag a grounded fish afloat: weight not carried by the water, times friction, over what a person
/// pulls, less what is lost to timing; about one for each 75 kg (derived). At least one.
pub fn float_hands(rules: &RoleRules, mass: Mass) -> u32 {
    let f = &rules.float;
    let drag = mass.kg() * G_M_S2 * (1.0 - f.afloat.value) * f.friction.value;
    let each = f.pull.value.n() * (1.0 - f.loss.value);
    let hands = (drag / each).ceil();
    if hands.is_finite() && hands < f64::from(u32::MAX) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked above, never negative
        let hands = hands as u32;
        hands.max(1)
    } else {
        u32::MAX
    }
}

#[cfg(test)]
mod tests {
    use super::super::rules::shipped;
    use super::*;
    use proptest::prelude::*;

    fn need(length: f64, mass: f64, roped: bool, night: bool, wave: f64) -> u32 {
        let landing = Landing {
            length: Length::of_m(length),
            mass: Mass::of_kg(mass),
            roped,
            night,
            wave: Length::of_m(wave),
        };
        crew_needed(&shipped(), &landing).count
    }

    #[test]
    fn the_table_and_its_borders() {
        let at = |l, m, r| need(l, m, r, false, 0.0);
        assert_eq!((at(1.49, 29.9, false), at(1.49, 29.9, true)), (2, 2));
        assert_eq!((at(1.5, 20.0, false), at(1.2, 30.0, false), at(2.0, 60.0, true)), (3, 3, 4));
        assert_eq!((at(2.39, 100.0, false), at(2.39, 100.1, false), at(2.4, 60.0, true)), (3, 4, 5));
        assert_eq!((at(2.9, 200.0, false), at(2.9, 200.1, false), at(3.0, 150.0, false)), (4, 5, 5));
        assert_eq!(at(3.0, 201.0, true), 6);
    }

    #[test]
    fn night_waves_and_floating_raise_it() {
        assert_eq!(need(1.2, 20.0, false, true, 0.6), 4);
        assert_eq!(need(1.2, 20.0, false, true, 0.59), 2);
        assert_eq!(need(1.2, 20.0, false, false, 2.0), 2);
        assert_eq!(need(3.5, 580.0, true, true, 1.0), 8);
        assert_eq!(need(3.5, 580.0, false, true, 1.0), 5);
    }

    #[test]
    fn about_one_hand_for_seventy_five_kilograms() {
        let r = shipped();
        // 73.4 kg a hand: 0.25 m g / 180 N.
        assert_eq!(float_hands(&r, Mass::of_kg(73.0)), 1);
        assert_eq!(float_hands(&r, Mass::of_kg(74.0)), 2);
        assert_eq!(float_hands(&r, Mass::of_kg(450.0)), 7);
        assert_eq!(float_hands(&r, Mass::ZERO), 1);
    }

    proptest! {
        #[test]
        fn larger_fish_and_rope_never_need_fewer(l in 0.1..6.0f64, m in 1.0..900.0f64, dl in 0.0..2.0f64, dm in 0.0..300.0f64, roped: bool, night: bool, w in 0.0..2.0f64) {
            let base = need(l, m, roped, night, w);
            prop_assert!(base >= 2);
            prop_assert!(need(l + dl, m, roped, night, w) >= base);
            prop_assert!(need(l, m + dm, roped, night, w) >= base);
            prop_assert!(need(l, m, true, night, w) >= base);
            prop_assert!(need(l, m, roped, true, w + 0.5) >= base);
        }
    }
}
