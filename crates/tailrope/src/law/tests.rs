//! Laws that must hold for any facts and any pack, and every refusal of the linter.

use super::testing::{FACTS, PACKS, law, vocabulary};
use super::value::Value;
use super::*;
use crate::facts::PackText;
use crate::quantity::{Length, Speed};
use jiff::civil::{Date, Time, date, time};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

static LAW: LazyLock<LawPacks> = LazyLock::new(law);

const GOOD: &str = include_str!("../../../../data/law/us-fl.toml");

/// A value of any fact, from a seed; numbers fall on and beside the limits that packs print.
fn any_value(v: &Vocabulary, id: &str, spec: &FactSpec, seed: u64) -> Given {
    const LIMITS: &[f64] = &[
        0.0, 1.0, 2.0, 12.0, 15.24, 15.875, 16.0, 18.0, 23.0, 38.1, 56.0, 457.2, 700.0, 1219.2, 1371.6,
        1500.0, 1852.0, 2514.6,
    ];
    let pick = |n: usize| usize::try_from(seed % n as u64).unwrap_or(0);
    let limit = LIMITS[pick(LIMITS.len())] + [-0.1, 0.0, 0.1][usize::try_from(seed / 7 % 3).unwrap_or(0)];
    let some = |all: Vec<String>| -> Vec<String> {
        all.into_iter().enumerate().filter(|(i, _)| seed >> (i % 60) & 1 == 1).map(|(_, w)| w).collect()
    };
    let species: Vec<String> = v.expand("*SHARK_OR_RAY").unwrap().into_iter().collect();
    match spec.kind {
        FactKind::Bool => Given::Flag(seed % 2 == 1),
        FactKind::Number => match spec.unit.as_str() {
            "mm" => Given::Length(Length::of_mm(limit.max(0.0))),
            "m" => Given::Length(Length::of_m(limit.max(0.0))),
            "km/h" => Given::Speed(Speed::of_mps(limit.max(0.0) / 3.6)),
            _ => Given::Count((seed % 24) as f64),
        },
        FactKind::Code => Given::Code(spec.allowed[pick(spec.allowed.len())].clone()),
        FactKind::Species => Given::Code(species[pick(species.len())].clone()),
        FactKind::CodeList => Given::List(some(spec.allowed.clone())),
        FactKind::SpeciesList if id == "fish.candidates" => Given::List(species),
        FactKind::SpeciesList => Given::List(some(species).into_iter().take(3).collect()),
        FactKind::Documents => Given::List(some(v.documents.keys().cloned().collect())),
        FactKind::Kit => Given::List(some(v.kit.keys().cloned().collect())),
        FactKind::Places => Given::List(some(LAW.packs().flat_map(|p| p.zones.keys().cloned()).collect())),
        FactKind::Date => Given::Date(
            Date::new(2026, 1 + i8::try_from(seed % 12).unwrap(), 1 + i8::try_from(seed / 12 % 28).unwrap())
                .unwrap(),
        ),
        FactKind::Clock => Given::Clock(
            Time::new(i8::try_from(seed % 24).unwrap(), i8::try_from(seed / 24 % 60).unwrap(), 0, 0).unwrap(),
        ),
    }
}

/// Facts from seeds; a seed of `None` leaves the fact unknown.
fn facts_from(seeds: &[Option<u64>]) -> FactSet {
    let v = LAW.vocabulary();
    let mut facts = FactSet::new(v);
    for ((id, spec), seed) in v.facts().zip(seeds) {
        if let Some(seed) = seed {
            facts.set(id, any_value(v, id, spec, *seed)).unwrap();
        }
    }
    // The widest gap is never less than point to shank: keep drawn hooks possible.
    let hook = |f: &FactSet, id: &str| match f.get(id) {
        Some(Value::Number { low, .. }) => Some(*low),
        _ => None,
    };
    if let (Some(gap), Some(shank)) =
        (hook(&facts, "gear.hook.gap_mm"), hook(&facts, "gear.hook.point_to_shank_mm"))
        && gap < shank
    {
        facts.set("gear.hook.gap_mm", Length::of_mm(shank)).unwrap();
    }
    facts
}

fn seeds() -> impl Strategy<Value = Vec<Option<u64>>> {
    let n = LAW.vocabulary().facts().count();
    proptest::collection::vec(proptest::option::weighted(0.85, any::<u64>()), n)
}

fn ids() -> Vec<&'static str> {
    LAW.packs().map(|p| p.id.as_str()).collect()
}

fn stages() -> impl Strategy<Value = Stage> {
    (0..Stage::ALL.len()).prop_map(|i| Stage::ALL[i])
}

fn verdicts(facts: &FactSet, packs: &[&str], stage: Stage) -> BTreeMap<String, Verdict> {
    let q = Query { stage, ..Query::plan(packs, date(2026, 3, 1)) };
    let r = check(&LAW, facts, &q).unwrap();
    let mut out: BTreeMap<String, Verdict> = BTreeMap::new();
    for f in &r.findings {
        let worst = out.entry(f.rule.clone()).or_insert(f.verdict);
        *worst = (*worst).min(f.verdict);
    }
    out
}

fn barred(v: &BTreeMap<String, Verdict>, worst: Verdict) -> BTreeSet<String> {
    v.iter().filter(|(_, v)| **v <= worst).map(|(r, _)| r.clone()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Law: another pack never takes a breach away.
    #[test]
    fn a_further_pack_never_removes_a_breach(s in seeds(), a in 0..38usize, b in 0..38usize, stage in stages()) {
        let (ids, facts) = (ids(), facts_from(&s));
        let one = verdicts(&facts, &[ids[a]], stage);
        let two = verdicts(&facts, &[ids[a], ids[b]], stage);
        for worst in [Verdict::Breach, Verdict::LikelyBreach] {
            let (one, two) = (barred(&one, worst), barred(&two, worst));
            prop_assert!(one.is_subset(&two), "{:?}", one.difference(&two).collect::<Vec<_>>());
        }
    }

    /// Law: what was only recalled neither complies nor breaches.
    #[test]
    fn a_recalled_rule_never_says_comply(s in seeds(), stage in stages()) {
        for (rule, verdict) in verdicts(&facts_from(&s), &ids(), stage) {
            if LAW.rule(&rule).unwrap().cite.evidence == Evidence::Recalled {
                prop_assert!(!matches!(verdict, Verdict::Comply | Verdict::Stale | Verdict::Breach), "{rule}: {verdict}");
            }
        }
    }

    /// Law: where knowing a fact would show a breach, not knowing it never gives leave.
    #[test]
    fn an_unknown_never_hides_a_breach(s in seeds(), hide in proptest::collection::vec(any::<bool>(), 61), stage in stages()) {
        let known = verdicts(&facts_from(&s), &ids(), stage);
        let fewer: Vec<Option<u64>> = s.iter().zip(&hide).map(|(s, h)| s.filter(|_| !h)).collect();
        let mut facts = facts_from(&fewer);
        // The drawn gap may have been raised to the shank; hiding must not draw another one.
        let whole = facts_from(&s);
        for id in ["gear.hook.gap_mm"] {
            if facts.get(id).is_some() && let Some(Value::Number { low, .. }) = whole.get(id) {
                facts.set(id, Length::of_mm(*low)).unwrap();
            }
        }
        let guessed = verdicts(&facts, &ids(), stage);
        for rule in barred(&known, Verdict::LikelyBreach) {
            let v = guessed.get(&rule).copied().unwrap_or(Verdict::Silent);
            prop_assert!(matches!(v, Verdict::Breach | Verdict::LikelyBreach | Verdict::NeedFact | Verdict::Reminder), "{rule} is {v}");
        }
    }

    /// Law: a fish nobody can name is protected by every list that protects any fish it may be.
    #[test]
    fn an_unknown_fish_is_protected(s in seeds(), n in any::<prop::sample::Index>()) {
        let species: Vec<String> = LAW.vocabulary().expand("*SHARK_OR_RAY").unwrap().into_iter().collect();
        let mut named = facts_from(&s);
        named.set("fish.species", n.get(&species).as_str()).unwrap().set("fish.retain", true).unwrap();
        let mut unnamed = named.clone();
        unnamed.unset("fish.candidates").set("fish.species", "unknown").unwrap();
        let mut shark = unnamed.clone();
        shark.set("fish.candidates", ["*SHARK_OR_RAY"]).unwrap();
        let named = barred(&verdicts(&named, &ids(), Stage::Landed), Verdict::LikelyBreach);
        for open in [unnamed, shark] {
            let open = verdicts(&open, &ids(), Stage::Landed);
            for rule in named.iter().filter_map(|r| LAW.rule(r)).filter(|r| r.status == Some(Status::Prohibited) && r.assume_bites) {
                prop_assert!(open[&rule.id] <= Verdict::NeedFact, "{}", rule.id);
                if rule.when.len() == 1 {
                    prop_assert!(open[&rule.id] <= Verdict::LikelyBreach, "{}", rule.id);
                }
            }
        }
    }

    /// Law: a wider range of a length never turns an open answer or a breach into leave.
    #[test]
    fn a_vaguer_length_gives_no_leave(mm in 400.0..2700.0f64, spread in 0.0..400.0f64) {
        let with = |given: Given| {
            let mut f = FactSet::new(LAW.vocabulary());
            f.set("fish.species", "BULL").unwrap().set("fish.retain", true).unwrap().set("fish.fork_length_mm", given).unwrap();
            verdicts(&f, &["us-fl"], Stage::Landed)["us-fl/size-54"]
        };
        let exact = with(Given::Length(Length::of_mm(mm)));
        let vague = with(Given::LengthBetween(Length::of_mm((mm - spread).max(0.0)), Length::of_mm(mm + spread)));
        prop_assert!(vague == exact || vague == Verdict::NeedFact);
        prop_assert_eq!(exact == Verdict::Comply, mm >= 1371.6);
    }

    /// A mangled pack is read or refused, never more.
    #[test]
    fn a_mangled_pack_never_panics(pack in 0..38usize, lines in proptest::collection::vec(any::<prop::sample::Index>(), 0..4), bytes in proptest::collection::vec((any::<prop::sample::Index>(), 32u8..127), 0..4)) {
        let source = PACKS[pack];
        let mut all: Vec<&str> = source.text.lines().collect();
        for l in &lines {
            if !all.is_empty() {
                all.remove(l.index(all.len()));
            }
        }
        let mut text = all.join("\n").into_bytes();
        for (at, b) in &bytes {
            if !text.is_empty() {
                let i = at.index(text.len());
                text[i] = *b;
            }
        }
        let text = String::from_utf8_lossy(&text).into_owned();
        let mangled = PackText::new(source.file, &text);
        for e in lint(LAW.vocabulary(), &mangled) {
            prop_assert!(e.place.starts_with(source.file), "{e}");
        }
        let mut packs = PACKS.to_vec();
        packs[pack] = mangled;
        let _ = LawPacks::load(&FACTS, &packs, &[]);
    }
}

#[test]
fn every_shipped_pack_lints() {
    let v = vocabulary();
    for p in PACKS {
        assert_eq!(lint(&v, p), [], "{}", p.file);
    }
    assert_eq!(PACKS.len(), 38);
    assert_eq!(
        std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/law")).unwrap().count(),
        38
    );
}

/// Each change of a sound pack is refused at its line, for its own reason.
#[test]
fn the_linter_refuses_what_it_must() {
    let v = vocabulary();
    let cases: &[(&str, &str, &str)] = &[
        ("url = \"http://flrules.elaws.us/far/4/19/2019/21762646\"\n", "", "missing field `url`"),
        (
            "\"trip.targets_sharks\", op = \"eq\"",
            "\"trip.target_sharks\", op = \"eq\"",
            "no rule knows a fact `trip.target_sharks`",
        ),
        ("\"BULL\",\"NURSE\"", "\"BULLY\",\"NURSE\"", "no species or group `BULLY`"),
        ("min_mm = 1371.6", "min_mm = 1371", "is not tested"),
        (
            "as_written = \"54 in fork length\"",
            "as_written = \"54 fork length\"",
            "printed figure with its unit",
        ),
        (
            "as_written = \"54 in fork length\"",
            "as_written = \"55 in fork length\"",
            "is not the printed limit",
        ),
        ("review_by = 2026-06-30", "review_by = 2025-02-09", "before as_of"),
        ("url = \"https://lawserver.com/?p=28512069\"", "url = \"\"", "SEEN without an address"),
        ("id = \"us-fl\"\n", "id = \"us-fla\"\n", "lies in the file"),
        ("id = \"us-fl/permit\"", "id = \"fl/permit\"", "does not begin with the pack's id"),
        ("id = \"us-fl/permit\"", "id = \"us-fl/cutter\"", "a second rule"),
        ("[pack.coverage]", "[pack.zones]\nfl-x = \"y\"\n[pack.coverage]", ""),
        (
            "op = \"has_pack_level\", value = \"city|county|park\"",
            "op = \"has\", value = \"fl-nowhere\"",
            "zone `fl-nowhere` is not declared",
        ),
        (
            "value = \"fl-shore-shark-permit\" }]",
            "value = \"fl-permit\" }]",
            "`fl-permit` is no value of `person.documents`",
        ),
        ("[\"bolt-cutter\",", "[\"boltcutter\",", "`boltcutter` is no value of `kit`"),
        ("cutter = \"full\"", "cutter = \"none\"", "coverage is none"),
        ("licence = \"partial\"", "licence = \"full\"", "without a rule that was read"),
        ("measure = \"fork\"", "measure = \"total\"", "is not tested on `fish.total_length_mm`"),
        ("measure = \"fork\"\n", "", "needs its measure named"),
        ("op = \"le\", value = 1 }]", "op = \"le\", value = \"1\" }]", "cannot be tested"),
        ("op = \"ge\", value = 1371.6", "op = \"has\", value = 1371.6", "cannot be tested"),
        ("op = \"gt\", value = 38.1", "op = \"over\", value = 38.1", "no operator `over`"),
        ("evidence = \"SEEN\"", "evidence = \"HEARD\"", "no evidence `HEARD`"),
        ("confidence = 0.93", "confidence = 93", "confidence is 93"),
        ("stage = \"landed\"", "stage = \"ashore\"", "no stage `ashore`"),
        ("level = \"state\"", "level = \"nation\"", "no level `nation`"),
        ("on_unknown = \"assume-bites\"", "on_unknown = \"guess\"", "no on_unknown `guess`"),
        ("effective = 2019-07-01", "effective = \"July\"", "is no date"),
        ("max_per_person_day = 1", "max_per_person_day = 2", "is not tested"),
        ("drill = [\"cut-if-not-quick\"]", "drill = [\"cut\"]", "no drill word"),
        ("format_version = \"0.2\"", "format_version = \"9\"", "format is"),
        ("effect = \"require\"", "efect = \"require\"", "unknown field `efect`"),
    ];
    for (from, to, want) in cases {
        assert!(GOOD.contains(from), "{from}");
        let text = GOOD.replacen(from, to, 1);
        let errors = lint(&v, &PackText::new("my/us-fl.toml", &text));
        if want.is_empty() {
            assert_eq!(errors, []);
            continue;
        }
        let hit = errors.iter().find(|e| e.error.contains(want));
        let hit = hit.unwrap_or_else(|| panic!("{to}: {want} not in {errors:?}"));
        assert!(hit.place.starts_with("my/us-fl.toml, line "), "{hit}");
        assert!(!hit.allowed.is_empty() || hit.error.contains("missing field"), "{hit}");
    }
}

#[test]
fn a_refusal_names_the_line_and_key_of_the_clause() {
    let text = GOOD.replacen("value = \"fl-shore-shark-permit\" }]", "value = \"fl-permit\" }]", 1);
    let line = text.lines().position(|l| l.contains("fl-permit")).unwrap() + 1;
    let e = lint(&vocabulary(), &PackText::new("us-fl.toml", &text)).remove(0);
    assert_eq!(e.place, format!("us-fl.toml, line {line}, pack[0].rule[4].check[0]"));
    assert!(e.allowed.contains("fl-shore-shark-permit"), "{e}");
}

#[test]
fn packs_must_fit_together() {
    let without = |id: &str| {
        let some: Vec<PackText<'_>> =
            PACKS.iter().filter(|p| p.file != format!("law/{id}.toml")).copied().collect();
        LawPacks::load(&FACTS, &some, &[])
    };
    let e = without("us-fed-general").unwrap_err();
    assert!(e.error.contains("parent pack `us-fed-general`") && e.place.contains("us-fed"), "{e}");
    assert!(without("us-hi").is_ok());
    let with = |text: &str| LawPacks::load(&FACTS, PACKS, &[PackText::new("us-fl.toml", text)]);
    let e = with(&GOOD.replace("value = \"fl.shore_based_shark\"", "value = \"fl.shore\"")).unwrap_err();
    assert!(e.error.contains("definition of `fl.shore`"), "{e}");
    let e =
        with(&GOOD.replace("species_from = \"us-fl/prohibited-list\"", "species_from = \"us-fl/no-list\""))
            .unwrap_err();
    assert!(e.error.contains("us-fl/no-list"), "{e}");
    let e =
        with(&GOOD.replace("parents = [\"us-fed-atlantic\"]", "parents = [\"us-sc-horry\"]")).unwrap_err();
    assert!(e.error.contains("us-sc-horry"), "{e}");
    let own = with(&GOOD.replace("review_by = 2026-06-30", "review_by = 2027-06-30")).unwrap();
    let pack = own.pack("us-fl").unwrap();
    assert!(pack.own && pack.review_by == date(2027, 6, 30) && !own.pack("us-tx").unwrap().own);
}

#[test]
fn species_are_borrowed_across_rules() {
    let list = &LAW.rule("us-ny/prohibited").unwrap().species;
    assert_eq!(&LAW.rule("us-ny/prohibited-no-keep").unwrap().species, list);
    assert_eq!(list.len(), 23);
}

#[test]
fn facts_are_checked_as_they_are_set() {
    let mut f = FactSet::new(LAW.vocabulary());
    let no = |r: crate::Result<&mut FactSet>| r.unwrap_err();
    assert!(no(f.set("gear.hook.gap", true)).allowed.contains("gear.hook.gap_mm"));
    assert!(no(f.set("gear.hook.gap_mm", 38)).error.contains("a bare number"));
    assert!(no(f.set("gear.hook.gap_mm", "wide")).error.contains("the word `wide`"));
    assert!(no(f.set("gear.hook.style", "circular")).allowed.contains("circle"));
    assert!(no(f.set("fish.species", "*SHARK")).error.contains("no value"));
    assert!(no(f.set("person.age", Length::of_m(2.0))).error.contains("a length"));
    assert!(no(f.set("gear.hook.gap_mm", Length::of_m(-1.0))).error.contains("is -1000"));
    assert!(no(f.set("gear.hook.gap_mm", Length::of_m(f64::NAN))).error.contains("NaN"));
    assert!(f.set("gear.hook.gap_mm", Length::of_in(1.5)).is_ok());
    assert!(f.set_moment(date(2026, 7, 4).at(23, 0, 0, 0)).is_ok());
    assert_eq!(f.get("trip.clock").unwrap().to_string(), "23:00");
    assert_eq!(f.get("gear.hook.gap_mm").unwrap().to_string(), "38.1");
}

/// A window over midnight and the minute of sunset.
#[test]
fn both_ends_of_a_window_belong_to_it() {
    let at = |clock: Time| {
        let mut f = FactSet::new(LAW.vocabulary());
        f.set("craft.launches", ["kayak"]).unwrap().set("kit", [] as [&str; 0]).unwrap();
        f.set_sun(time(5, 30, 0, 0), time(20, 30, 0, 0)).unwrap().set("trip.clock", clock).unwrap();
        verdicts(&f, &["us-fed-general"], Stage::Plan).get("us-fed-general/kayak-light").copied()
    };
    assert_eq!(at(time(20, 29, 59, 0)), None);
    assert_eq!(at(time(20, 30, 0, 0)), Some(Verdict::Breach));
    assert_eq!(at(time(2, 0, 0, 0)), Some(Verdict::Breach));
    assert_eq!(at(time(5, 30, 0, 0)), Some(Verdict::Breach));
    assert_eq!(at(time(5, 31, 0, 0)), None);
}

/// A term that only a recalled rule feeds makes what hangs on it recalled.
#[test]
fn a_recalled_definition_weakens_what_hangs_on_it() {
    let recalled = GOOD.replacen("evidence = \"SEEN\"", "evidence = \"RECALLED\"", 1);
    assert_ne!(recalled, GOOD);
    let law = LawPacks::load(&FACTS, PACKS, &[PackText::new("us-fl.toml", &recalled)]).unwrap();
    let permit = |harness: bool| {
        let mut f = FactSet::new(law.vocabulary());
        f.set("trip.mode", "shore").unwrap().set("trip.targets_sharks", true).unwrap();
        f.set("person.age", 30).unwrap().set("person.documents", [] as [&str; 0]).unwrap();
        f.set("gear.harness", harness).unwrap();
        check(&law, &f, &Query::plan(&["us-fl"], date(2026, 5, 1))).unwrap().verdict_of("us-fl/permit")
    };
    assert_eq!(permit(false), Verdict::LikelyBreach);
    assert_eq!(permit(true), Verdict::Breach);
}

#[test]
fn a_sawfish_drill_has_no_rope_and_somebody_to_tell() {
    let of = |code: &str| {
        let mut f = FactSet::new(LAW.vocabulary());
        f.set("fish.species", code)
            .unwrap()
            .set("trip.mode", "shore")
            .unwrap()
            .set("fish.retain", false)
            .unwrap();
        f.set("trip.water", "state").unwrap().set("person.documents", [] as [&str; 0]).unwrap();
        fish_law(&LAW, &f, &Query::plan(&["us-fl"], date(2026, 5, 1))).unwrap()
    };
    let saw = of("SMALLTOOTH_SAWFISH");
    for atom in [Atom::InWater, Atom::NoRope, Atom::NoGaff, Atom::CutIfNotQuick, Atom::NoDelay, Atom::NotKept]
    {
        assert!(saw.has(atom), "{atom:?}");
    }
    assert!(!saw.has(Atom::HeadLiftOnly), "the stricter duty stands alone");
    assert!(saw.report_to[0].contains("SAWFISH"));
    assert_eq!(saw.status, Some(Status::Prohibited));
    let tiger = of("TIGER");
    assert!(tiger.has(Atom::HeadLiftOnly) && !tiger.has(Atom::NoRope) && tiger.has(Atom::NoDrySand));
    let bull = of("BULL");
    assert_eq!(bull.status, None);
    assert!(!bull.has(Atom::NoDelay) && bull.has(Atom::NoDrySand));
}

#[test]
fn two_versions_are_compared_rule_by_rule() {
    let v = vocabulary();
    let new = GOOD
        .replacen("as_of = 2025-02-10\nreview_by", "as_of = 2025-03-01\nreview_by", 1)
        .replacen("confidence = 0.95", "confidence = 0.9", 1)
        .replacen("us-fl/local-access", "us-fl/local", 1);
    let d = diff(&v, &PackText::new("a/us-fl.toml", GOOD), &PackText::new("b/us-fl.toml", &new)).unwrap();
    assert_eq!((d.added, d.removed), (vec!["us-fl/local".into()], vec!["us-fl/local-access".into()]));
    let keys: Vec<(&str, &str)> = d.changed.iter().map(|c| (c.rule.as_str(), c.key.as_str())).collect();
    assert_eq!(keys, [("", "as_of"), ("us-fl/permit", "cite.confidence")]);
    assert_eq!(d.changed[1].is.as_deref(), Some("0.9"));
    assert_ne!(d.old_hash, d.new_hash);
}

#[test]
fn a_new_site_pack_lints_and_asks_about_everything() {
    let text = site_pack("us-tx-my-beach", "My \"own\" beach", &["us-tx"], date(2026, 5, 1)).unwrap();
    let own = PackText::new("us-tx-my-beach.toml", &text);
    assert_eq!(lint(&vocabulary(), &own), []);
    let law = LawPacks::load(&FACTS, PACKS, &[own]).unwrap();
    let r = check(&law, &FactSet::new(law.vocabulary()), &Query::plan(&["us-tx-my-beach"], date(2026, 5, 2)))
        .unwrap();
    assert_eq!(r.packs.last().unwrap().id, "us-tx-my-beach");
    assert!(r.ask.iter().filter(|a| a.pack == "us-tx-my-beach").count() > 20);
    assert!(site_pack("../etc", "x", &[], date(2026, 5, 1)).is_err());
}

#[test]
fn a_place_is_shown_pack_by_pack() {
    let shown = show(&LAW, &["us-tx-padre-island".into()], date(2027, 1, 1)).unwrap();
    let ids: Vec<&str> = shown.iter().map(|p| p.id).collect();
    assert_eq!(ids, ["us-fed-atlantic", "us-fed-general", "us-tx", "us-tx-padre-island"]);
    assert!(shown.iter().all(|p| p.stale && !p.rules.is_empty()));
    assert!(
        show(&LAW, &["us-tx-padre-iland".into()], date(2027, 1, 1)).unwrap_err().allowed.contains("padre")
    );
}

/// The review day itself still counts; the day after does not.
#[test]
fn a_pack_goes_stale_the_day_after_its_review() {
    let hook = |read_on: Date| {
        let mut f = FactSet::new(LAW.vocabulary());
        f.set("trip.targets_sharks", true).unwrap().set("kit", ["bolt-cutter"]).unwrap();
        check(&LAW, &f, &Query::plan(&["us-fl"], read_on)).unwrap().verdict_of("us-fl/cutter")
    };
    assert_eq!(hook(date(2026, 6, 30)), Verdict::Comply);
    assert_eq!(hook(date(2026, 7, 1)), Verdict::Stale);
}

#[test]
fn the_call_is_the_worst_finding() {
    use super::{Call, FactSet, Query, check};
    let packs = super::testing::law();
    let day = jiff::civil::date(2026, 5, 1);
    let with = |style: &str| {
        let mut f = FactSet::new(packs.vocabulary());
        f.set("trip.targets_sharks", true).unwrap().set("gear.hook.style", style).unwrap();
        f.set("gear.hook.offset", false).unwrap().set("gear.hook.stainless", false).unwrap();
        check(&packs, &f, &Query::plan(&["us-tx"], day)).unwrap().verdict
    };
    assert_eq!(with("j"), Call::Stop);
    assert_eq!(with("circle"), Call::Caution, "kinds that nobody read are to be asked");
}
