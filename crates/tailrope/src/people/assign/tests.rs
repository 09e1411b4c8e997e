use super::super::bars::{Counts, Ends, counts, driving};
use super::super::person::{AwakeSince, Drill};
use super::super::rules::shipped;
use super::*;
use jiff::Timestamp;
use jiff::civil::date;
use jiff::tz::TimeZone;
use proptest::prelude::*;

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// A night on 2026-10-17, zone UTC-4 for plain reading: fight to 22:30 local, landing to 22:45.
fn tonight(fish: f64) -> Tonight {
    Tonight {
        date: date(2026, 10, 17),
        zone: TimeZone::get("America/New_York").unwrap(),
        ends: Ends {
            paddle_out: at("2026-10-17T23:00:00Z"),
            soak: at("2026-10-18T01:30:00Z"),
            fight: at("2026-10-18T02:30:00Z"),
            landing: at("2026-10-18T02:45:00Z"),
        },
        fish: Length::of_m(fish),
        night: true,
    }
}

/// Fit for everything, drilled in everything.
fn fit_person(name: &str) -> Person {
    let drill = |role| Drill { role, on: date(2026, 10, 3) };
    Person {
        age: Known::Known(40),
        drills: Known::Known(Role::ALL.into_iter().map(drill).collect()),
        newcomer: Known::Known(false),
        awake_since: Known::Known("10:00".parse::<AwakeSince>().unwrap()),
        sober: Known::Known(true),
        swims_100m: Known::Known(true),
        open_wounds: Known::Known(false),
        blood_thinners: Known::Known(false),
        pregnant: Known::Known(false),
        heart_or_back: Known::Known(false),
        wears_float: Known::Known(true),
        ..Person::named(name)
    }
}

fn crew(n: usize) -> Vec<Person> {
    (0..n).map(|i| fit_person(&format!("P{i:02}"))).collect()
}

fn needs(fish: f64, mass: f64, roped: bool) -> Needs {
    Needs {
        paddled: false,
        roped,
        harness_hands: 0,
        likely_fight: Known::Known(Span::of_min(15.0)),
        length: Length::of_m(fish),
        mass: Mass::of_kg(mass),
    }
}

fn run(people: &[Person], needs: &Needs) -> Assignment {
    assign(&shipped(), people, needs, &tonight(needs.length.m()), &[]).unwrap()
}

fn who(a: &Assignment, role: Role) -> Vec<&str> {
    a.roles.iter().filter(|r| r.role == role).map(|r| r.person.as_str()).collect()
}

#[test]
fn the_least_crew_of_each_row_fills_every_needed_role() {
    use super::super::crew::{Landing, crew_needed};
    for (length, mass, roped) in [
        (1.2, 20.0, false),
        (1.2, 20.0, true),
        (2.0, 60.0, false),
        (2.0, 60.0, true),
        (2.6, 120.0, false),
        (2.6, 120.0, true),
        (3.2, 250.0, true),
    ] {
        let landing = Landing {
            length: Length::of_m(length),
            mass: Mass::of_kg(mass),
            roped,
            night: false,
            wave: Length::ZERO,
        };
        let least = crew_needed(&shipped(), &landing).count as usize;
        let n = needs(length, mass, roped);
        assert!(run(&crew(least), &n).complete(), "{length} m, {roped}: {least} people");
        // One fewer cannot, save where the table asks more hands than there are roles.
        if length < 3.0 {
            assert!(!run(&crew(least - 1), &n).complete(), "{length} m, {roped}: {} people", least - 1);
        }
    }
}

#[test]
fn the_safety_lead_spots_too_only_for_a_fish_below_two_point_four() {
    let small = run(&crew(3), &needs(2.3, 90.0, false));
    assert!(small.complete());
    assert_eq!(who(&small, Role::SafetyLead), who(&small, Role::Spotter));
    assert_eq!(who(&small, Role::LeaderHand), who(&small, Role::HookHand));
    let large = run(&crew(3), &needs(2.4, 90.0, false));
    assert!(!large.complete());
    assert_eq!(large.unfilled.len(), 1);
    assert_eq!(large.unfilled[0].reasons.len(), 3);
}

#[test]
fn two_watch_while_one_paddles() {
    let n = Needs { paddled: true, ..needs(2.0, 60.0, false) };
    let three = run(&crew(3), &n);
    assert!(three.complete(), "{:?}", three.unfilled);
    let out = |role| {
        three
            .roles
            .iter()
            .filter(move |r| r.role == role && r.phases.contains(&Phase::PaddleOut))
            .map(|r| r.person.as_str())
    };
    let mut ashore: Vec<&str> =
        out(Role::SafetyLead).chain(out(Role::Spotter)).chain(out(Role::BaitHand)).collect();
    ashore.sort_unstable();
    ashore.dedup();
    assert_eq!(ashore.len(), 3);
    let two = run(&crew(2), &Needs { paddled: true, ..needs(1.2, 20.0, false) });
    assert!(!two.complete());
}

#[test]
fn a_long_fight_needs_a_relief_who_may_also_be_a_hand_but_never_the_safety_lead() {
    let long = Needs { likely_fight: Known::Known(Span::of_min(25.0)), ..needs(2.0, 60.0, false) };
    let a = run(&crew(3), &long);
    assert!(a.complete());
    assert_eq!(who(&a, Role::ReliefAngler), who(&a, Role::LeaderHand));
    // Too few people: the relief is what stays open, and it is wished, not needed.
    let strict = Needs { length: Length::of_m(2.6), roped: true, ..long.clone() };
    let five = run(&crew(5), &strict);
    assert!(five.complete());
    let tired: Vec<Person> =
        crew(5).into_iter().map(|p| Person { refuses: vec![Role::ReliefAngler], ..p }).collect();
    let none = run(&tired, &strict);
    assert!(none.complete() && none.unfilled[0].role == Role::ReliefAngler && !none.unfilled[0].needed);
    let unknown = Needs { likely_fight: Known::Unknown, ..long.clone() };
    assert_eq!(who(&run(&crew(3), &unknown), Role::ReliefAngler).len(), 1);
    let exactly = Needs { likely_fight: Known::Known(Span::of_min(20.0)), ..long };
    assert!(who(&run(&crew(3), &exactly), Role::ReliefAngler).is_empty());
}

#[test]
fn minors_are_refused_where_they_may_not_be() {
    let mut people = crew(3);
    people[0].age = Known::Known(17);
    people[0].guardian_consents = Known::Known(true);
    let a = run(&people, &needs(2.0, 60.0, false));
    assert!(!a.complete());
    assert!(a.roles.iter().all(|r| r.person != "P00"));
    // For a short fish a sixteen-year-old may take the rod, and nothing in the wash.
    let a = run(&people, &needs(1.2, 20.0, false));
    for r in a.roles.iter().filter(|r| r.person == "P00") {
        assert!([Role::Angler, Role::Spotter].contains(&r.role), "{:?}", r.role);
    }
    people[0].age = Known::Known(15);
    let a = run(&people, &needs(1.2, 20.0, false));
    assert!(a.roles.iter().all(|r| r.person != "P00"), "{:?}", a.roles);
}

fn forbids(person: &Person, role: Role) -> Vec<&'static str> {
    let rules = shipped();
    let phases = rules.role(role).unwrap().phases.clone();
    super::super::bars::bars(&rules, person, role, &phases, &tonight(2.0))
        .unwrap()
        .into_iter()
        .filter(|b| b.weight == Weight::Forbids)
        .map(|b| b.rule)
        .collect()
}

#[test]
fn each_condition_bars_exactly_its_roles() {
    let wet = [Role::LeaderHand, Role::TailRopeHand, Role::HookHand, Role::BaitHand];
    let harness = [Role::Angler, Role::ReliefAngler, Role::HarnessHand];
    let ok = || fit_person("P");
    let cases: Vec<(Person, &str, Vec<Role>)> = vec![
        (Person { sober: Known::Known(false), ..ok() }, "crew.sober", Role::ALL.to_vec()),
        (Person { swims_100m: Known::Known(false), ..ok() }, "crew.swims", wet.to_vec()),
        (Person { open_wounds: Known::Known(true), ..ok() }, "crew.wounds", wet.to_vec()),
        (Person { blood_thinners: Known::Known(true), ..ok() }, "crew.blood-thinners", wet.to_vec()),
        (Person { pregnant: Known::Known(true), ..ok() }, "crew.pregnant", wet.to_vec()),
        (Person { wears_float: Known::Known(false), ..ok() }, "crew.float", wet.to_vec()),
        (Person { heart_or_back: Known::Known(true), ..ok() }, "crew.heart-or-back", harness.to_vec()),
        (Person { newcomer: Known::Known(true), ..ok() }, "crew.newcomer", wet.to_vec()),
        (Person { drills: Known::Known(vec![]), ..ok() }, "crew.drilled", vec![Role::HarnessHand]),
        (Person { onlooker: true, ..ok() }, "crew.onlooker", Role::ALL.to_vec()),
    ];
    for (person, rule, barred) in cases {
        for role in Role::ALL {
            let found = forbids(&person, role);
            let want: Vec<&str> = if barred.contains(&role) { vec![rule] } else { vec![] };
            assert_eq!(found, want, "{rule} {role:?}");
        }
    }
    let doctor = Person {
        blood_thinners: Known::Known(true),
        heart_or_back: Known::Known(true),
        doctor_agrees: Known::Known(true),
        ..ok()
    };
    assert!(Role::ALL.iter().all(|r| forbids(&doctor, *r).is_empty()));
}

#[test]
fn eighteen_hours_awake_is_the_line_at_the_end_of_the_role() {
    // Landing ends 22:45 local, the paddle-out at 19:00.
    let awake = |since: &str| Person { awake_since: Known::Known(since.parse().unwrap()), ..fit_person("P") };
    assert!(forbids(&awake("04:45"), Role::LeaderHand).is_empty());
    assert_eq!(forbids(&awake("04:44"), Role::LeaderHand), ["crew.awake_h"]);
    assert_eq!(forbids(&awake("04:44"), Role::Angler), ["crew.awake_h"]);
    assert!(forbids(&awake("04:44"), Role::BaitHand).is_empty());
    assert!(forbids(&awake("00:30"), Role::SafetyLead).is_empty());
    let rules = shipped();
    let leaves = at("2026-10-18T03:45:00Z"); // 23:45 local
    let drive = |since: &str| driving(&rules, &awake(since), &tonight(2.0), leaves).map(|b| b.weight);
    assert_eq!(drive("05:44"), Some(Weight::Forbids));
    assert_eq!(drive("05:45"), Some(Weight::Warns));
    assert_eq!(drive("09:46"), None);
}

#[test]
fn who_counts() {
    let rules = shipped();
    let day = date(2026, 10, 17);
    let of = |p: Person| counts(&rules, &p, day);
    assert_eq!(of(fit_person("P")), Counts::Yes);
    assert!(matches!(of(Person { age: Known::Known(17), ..fit_person("P") }), Counts::No(_)));
    assert!(matches!(of(Person { sober: Known::Known(false), ..fit_person("P") }), Counts::No(_)));
    assert!(matches!(of(Person { sober: Known::Unknown, ..fit_person("P") }), Counts::Open(_)));
    assert!(matches!(of(Person { onlooker: true, ..fit_person("P") }), Counts::No(_)));
    let raw = Person { drills: Known::Known(vec![]), ..fit_person("P") };
    assert!(matches!(of(raw.clone()), Counts::No(_)));
    let new = Person { newcomer: Known::Known(true), buddy: Known::Known("Q".into()), ..raw };
    assert_eq!(of(new), Counts::Yes);
    assert!(matches!(of(Person::named("P")), Counts::Open(_)));
}

#[test]
fn drilled_people_go_into_the_wash_before_newcomers_and_wishes_come_last() {
    let mut people = crew(4);
    people[0].newcomer = Known::Known(true);
    people[0].buddy = Known::Known("P01".into());
    people[0].drills = Known::Known(vec![]);
    people[0].wishes = vec![Role::LeaderHand];
    people[3].wishes = vec![Role::Angler];
    let a = run(&people, &needs(2.0, 60.0, false));
    assert!(a.complete());
    assert_ne!(who(&a, Role::LeaderHand), ["P00"]);
    assert_eq!(who(&a, Role::Angler), ["P03"]);
    let leader = a.roles.iter().find(|r| r.role == Role::LeaderHand).unwrap();
    assert!(leader.cautions.is_empty());
    assert!(a.undrilled_in_water(&shipped()).is_empty());
    // With one fewer the newcomer is needed, and is seen.
    people.remove(2);
    people.remove(2);
    let mut three = people;
    three.push(Person { refuses: vec![Role::LeaderHand, Role::HookHand], ..fit_person("P09") });
    three[1].refuses = vec![Role::LeaderHand, Role::HookHand];
    let a = run(&three, &needs(2.0, 60.0, false));
    assert!(a.complete());
    assert_eq!(who(&a, Role::LeaderHand), ["P00"]);
    let new: Vec<Role> = a.undrilled_in_water(&shipped()).iter().map(|r| r.role).collect();
    assert_eq!(new, [Role::LeaderHand, Role::HookHand]);
}

#[test]
fn footing_can_keep_a_person_from_the_rod() {
    let people = crew(3);
    let n = needs(2.0, 60.0, false);
    let outer: Vec<OuterBar> = ["P00", "P01", "P02"]
        .map(|p| OuterBar { person: p.into(), role: Role::Angler, because: "bears too little".into() })
        .to_vec();
    let a = assign(&shipped(), &people, &n, &tonight(2.0), &outer[..2]).unwrap();
    assert_eq!(who(&a, Role::Angler), ["P02"]);
    let a = assign(&shipped(), &people, &n, &tonight(2.0), &outer).unwrap();
    assert_eq!(a.unfilled[0].role, Role::Angler);
    assert!(a.unfilled[0].reasons.iter().all(|(_, why)| why == "bears too little"));
}

#[test]
fn alternates_are_free_at_that_time_and_fit() {
    let mut people = crew(5);
    people[4].swims_100m = Known::Known(false);
    let a = run(&people, &needs(2.0, 60.0, true));
    for r in &a.roles {
        for name in &r.alternates {
            let clash = a.roles.iter().filter(|o| &o.person == name).any(|o| {
                o.phases.iter().any(|p| r.phases.contains(p))
                    && !o
                        .phases
                        .iter()
                        .filter(|p| r.phases.contains(p))
                        .all(|p| shipped().may_double(o.role, r.role, *p, Length::of_m(2.0)))
            });
            assert!(!clash, "{name} for {:?}", r.role);
            if [Role::LeaderHand, Role::HookHand, Role::TailRopeHand].contains(&r.role) {
                assert_ne!(name, "P04");
            }
        }
    }
}

#[test]
fn refuses_twins_crowds_and_nobody_gets_nothing() {
    let r = shipped();
    let n = needs(2.0, 60.0, false);
    let t = tonight(2.0);
    let twins = vec![fit_person("Ash"), fit_person("ash ")];
    assert!(assign(&r, &twins, &n, &t, &[]).unwrap_err().error.contains("two people"));
    assert!(assign(&r, &crew(61), &n, &t, &[]).is_err());
    assert!(assign(&r, &crew(5), &Needs { harness_hands: 5, ..n.clone() }, &t, &[]).is_err());
    let none = assign(&r, &[], &n, &t, &[]).unwrap();
    assert!(!none.complete() && none.roles.is_empty());
}

#[test]
fn twenty_people_and_every_slot_are_quick() {
    let mut people = crew(20);
    for (i, p) in people.iter_mut().enumerate() {
        p.wishes = vec![Role::ALL[i % 9]];
    }
    let n =
        Needs { paddled: true, harness_hands: 4, likely_fight: Known::Unknown, ..needs(3.2, 250.0, true) };
    let a = run(&people, &n);
    assert!(a.complete());
    assert_eq!(who(&a, Role::HarnessHand).len(), 4);
}

/// A crew in which anything may be wrong with anybody.
fn any_crew() -> impl Strategy<Value = Vec<Person>> {
    proptest::collection::vec((10_u8..60, any::<[bool; 6]>(), 0_usize..9, 0_u8..24), 0..7).prop_map(|all| {
        all.into_iter()
            .enumerate()
            .map(|(i, (age, b, wish, hour))| Person {
                age: Known::Known(age),
                guardian_consents: Known::Known(true),
                sober: Known::Known(b[0] || b[1]),
                swims_100m: Known::Known(b[1]),
                heart_or_back: Known::Known(b[2] && b[3]),
                drills: if b[4] { fit_person("x").drills } else { Known::Unknown },
                open_wounds: if b[5] { Known::Known(false) } else { Known::Unknown },
                awake_since: Known::Known(AwakeSince::Time(jiff::civil::time(
                    i8::try_from(hour).unwrap().min(18),
                    0,
                    0,
                    0,
                ))),
                wishes: vec![Role::ALL[wish]],
                ..fit_person(&format!("P{i:02}"))
            })
            .collect()
    })
}

fn any_needs() -> impl Strategy<Value = Needs> {
    (any::<[bool; 3]>(), 0_u8..3, 0.8..4.0f64).prop_map(|([paddled, roped, long], hands, fish)| Needs {
        paddled,
        roped,
        harness_hands: hands,
        likely_fight: Known::Known(Span::of_min(if long { 40.0 } else { 10.0 })),
        length: Length::of_m(fish),
        mass: Mass::of_kg(fish * fish * fish * 10.0),
    })
}

/// Tries every way to fill the needed slots.
struct Everything<'a> {
    needed: &'a [&'a Slot],
    may: &'a [Vec<bool>],
    rules: &'a RoleRules,
    fish: Length,
    held: Vec<Vec<usize>>,
    least: usize,
}

impl Everything<'_> {
    fn walk(&mut self, k: usize, open: usize) {
        if open >= self.least {
            return;
        }
        if k == self.needed.len() {
            self.least = open;
            return;
        }
        for p in 0..self.held.len() {
            let fits = |o: &usize| compatible(self.rules, self.needed[*o], self.needed[k], self.fish);
            if self.may[p][k] && self.held[p].iter().all(fits) {
                self.held[p].push(k);
                self.walk(k + 1, open);
                self.held[p].pop();
            }
        }
        self.walk(k + 1, open + 1);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn never_a_barred_person_nor_a_forbidden_pair(people in any_crew(), n in any_needs()) {
        let rules = shipped();
        let t = tonight(n.length.m());
        let a = run(&people, &n);
        for r in &a.roles {
            let p = people.iter().find(|p| p.name == r.person).unwrap();
            let all = super::super::bars::bars(&rules, p, r.role, &r.phases, &t).unwrap();
            prop_assert!(all.iter().all(|b| b.weight != Weight::Forbids), "{} as {:?}", p.name, r.role);
            for o in a.roles.iter().filter(|o| o.person == r.person && o.role != r.role) {
                for phase in o.phases.iter().filter(|x| r.phases.contains(x)) {
                    prop_assert!(rules.may_double(r.role, o.role, *phase, n.length));
                }
            }
        }
    }

    #[test]
    fn one_more_qualified_person_never_leaves_a_complete_crew_short(people in any_crew(), n in any_needs()) {
        let before = run(&people, &n);
        let mut more = people.clone();
        more.push(fit_person("Zoe"));
        let after = run(&more, &n);
        let open = |a: &Assignment| a.unfilled.iter().filter(|u| u.needed).count();
        prop_assert!(open(&after) <= open(&before));
        prop_assert!(!before.complete() || after.complete());
    }

    #[test]
    fn the_order_in_the_file_changes_nothing(people in any_crew(), n in any_needs(), turn in 0_usize..7) {
        let mut turned = people.clone();
        if !turned.is_empty() {
            let by = turn % turned.len();
            turned.rotate_left(by);
            turned.reverse();
        }
        prop_assert_eq!(run(&people, &n), run(&turned, &n));
    }

    /// The search is exact: no other way to fill the slots leaves fewer needed ones open (brute force).
    #[test]
    fn as_good_as_trying_everything(people in any_crew(), n in any_needs()) {
        let rules = shipped();
        let t = tonight(n.length.m());
        let people: Vec<Person> = people.into_iter().take(4).collect();
        let wanted = slots(&rules, &n).unwrap();
        let needed: Vec<&Slot> = wanted.iter().filter(|s| s.needed).collect();
        let may: Vec<Vec<bool>> = people
            .iter()
            .map(|p| needed.iter().map(|s| fit(&rules, p, s, &t, &[]).unwrap().cost.is_some()).collect())
            .collect();
        let mut all = Everything { needed: &needed, may: &may, rules: &rules, fish: n.length, held: vec![Vec::new(); people.len()], least: needed.len() };
        all.walk(0, 0);
        let least = all.least;
        let a = run(&people, &n);
        prop_assert_eq!(a.unfilled.iter().filter(|u| u.needed).count(), least);
    }
}
