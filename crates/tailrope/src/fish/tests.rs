use super::*;
use crate::facts::PackText;
use std::sync::LazyLock;

pub(super) const TEXT: &str = include_str!("../../../../data/species.toml");
pub(super) static PACK: LazyLock<SpeciesPack> =
    LazyLock::new(|| SpeciesPack::load(&PackText::new("species.toml", TEXT)).unwrap());

/// The refusal of the shipped pack with the first `from` turned into `to`.
fn spoiled(from: &str, to: &str) -> crate::Error {
    assert!(TEXT.contains(from), "{from}");
    let text = TEXT.replacen(from, to, 1);
    SpeciesPack::load(&PackText::new("species.toml", &text)).unwrap_err()
}

#[test]
fn the_shipped_pack_loads() {
    assert_eq!(PACK.all().len(), 33);
    assert_eq!(PACK.lookalikes.len(), 29);
    assert_eq!(PACK.hash.len(), 16);
}

#[test]
fn a_spoiled_pack_is_refused_with_file_line_and_key() {
    let line = |needle: &str| TEXT.lines().position(|l| l.contains(needle)).unwrap() + 1;
    let e = spoiled("max_length = { cm = 610,", "max_length = { cm = 6100,");
    assert_eq!(e.place, format!("species.toml, line {}, species[0].max_length", line("cm = 610,")));
    let e = spoiled("ventilation = \"ram\"", "ventilaton = \"ram\"");
    assert!(e.place.ends_with("ventilaton") && e.error.contains("unknown field"), "{e}");
    let e = spoiled("hook_mix = { jaw = 0.94", "hook_mix = { jaw = 0.93");
    assert!(e.error.contains("sum to 0.99") && e.place.contains("hook_mix"), "{e}");
    let e = spoiled("deep = 0.550, gill = 0.900", "deep = 0.550, gill = 0.500");
    assert!(e.error.contains("out of order"), "{e}");
    let e = spoiled("months = \"12-4\"", "months = \"12-13\"");
    assert!(e.error.contains("no months") && e.place.contains("line"), "{e}");
    let e = spoiled("head = { hammer_straight = 0.88", "head = { hammer_strait = 0.88");
    assert!(e.error.contains("no state `hammer_strait`"), "{e}");
    let e = spoiled("status = \"RECALLED\"", "status = \"HEARSAY\"");
    assert!(e.error.contains("HEARSAY"), "{e}");
    let e = spoiled("id = \"scalloped_hammerhead\"", "id = \"great_hammerhead\"");
    assert!(e.error.contains("stands twice"), "{e}");
    let e = spoiled("source = \"KOHLER95\"", "source = \"KOHLER96\"");
    assert!(e.error.contains("no source `KOHLER96`"), "{e}");
}

#[test]
fn finds_by_any_name_and_suggests_on_a_miss() {
    for (text, id) in [
        ("Great Hammerhead", "great_hammerhead"),
        ("sphyrna mokarran", "great_hammerhead"),
        ("ZAMBEZI", "bull"),
        ("Blacktip Shark", "blacktip"),
        ("bull_shark", "bull"),
        ("raggie", "sand_tiger"),
    ] {
        assert_eq!(PACK.find(text).unwrap().id, id, "{text}");
    }
    let e = PACK.find("hammerhed").unwrap_err();
    assert!(e.allowed.contains("hammerhead") || e.allowed.contains("fish list"), "{e}");
    let e = PACK.find("hammerhead").unwrap_err();
    assert!(e.allowed.contains("great hammerhead") && e.allowed.contains("smooth hammerhead"), "{e}");
    let e = PACK.find("blaktip").unwrap_err();
    assert!(e.allowed.contains("blacktip"), "{e}");
    let (s, named) = PACK.find_or_unknown("some big thing");
    assert!(!named && s.unidentified && s.presumed_protected() && s.cut_first() && s.law.is_empty());
    assert!(PACK.find("Unknown shark").unwrap().unidentified && PACK.find("unknown").unwrap().unidentified);
    assert!(PACK.find("").is_err());
    assert_eq!(PACK.by_law_code("NARROWTOOTH").unwrap().id, "copper");
}

mod laws {
    use super::*;
    use crate::quantity::{Density, Length, Mass, Span, Speed, Temperature};
    use proptest::prelude::*;

    fn any_species() -> impl Strategy<Value = &'static Species> {
        (0..=PACK.all().len()).prop_map(|i| PACK.all().get(i).unwrap_or(PACK.unknown_shark()))
    }

    fn any_large_shark() -> impl Strategy<Value = &'static Species> {
        let large: Vec<&Species> = PACK
            .all()
            .iter()
            .filter(|s| s.group == Group::Shark && s.max_length.value.length > Length::of_m(2.0))
            .collect();
        assert!(large.len() > 15);
        proptest::sample::select(large)
    }

    fn any_hook() -> impl Strategy<Value = Hook> {
        prop_oneof![
            Just(Hook::At(HookPlace::Jaw)),
            Just(Hook::At(HookPlace::Foul)),
            Just(Hook::At(HookPlace::Deep)),
            Just(Hook::At(HookPlace::Gill)),
            Just(Hook::Style(HookStyle::Circle)),
            Just(Hook::Style(HookStyle::JOrOffset)),
        ]
    }

    prop_compose! {
        fn any_event()(
            f in 0.0..400.0f64, a in 0.0..30.0f64, r in 0.0..30.0f64, still in 0.0..40.0f64,
            t in -2.0..40.0f64, hook in any_hook()
        ) -> Event {
            Event {
                fight: Span::of_min(f),
                air: Span::of_min(a),
                held: Span::of_min(r),
                held_still: Span::of_min(still),
                water: Temperature::of_c(t),
                hook,
            }
        }
    }

    fn rises(a: crate::facts::Band<f64>, b: crate::facts::Band<f64>) -> bool {
        let tiny = 1e-12;
        a.low <= b.low + tiny && a.central <= b.central + tiny && a.high <= b.high + tiny
    }

    proptest! {
        #[test]
        fn risk_is_three_ordered_chances(s in any_species(), e in any_event()) {
            let d = s.survival.death(&e);
            prop_assert!(0.0 <= d.low && d.low <= d.central && d.central <= d.high && d.high <= 1.0, "{d:?}");
            let shares = s.survival.risk(&e).unwrap().shares;
            let sum = shares.base + shares.fight + shares.air + shares.hook;
            prop_assert!((sum - d.central).abs() < 1e-12);
            prop_assert!(shares.base > 0.0 && shares.fight >= 0.0 && shares.air >= 0.0 && shares.hook >= -1e-12);
        }

        #[test]
        fn risk_rises_with_fight_air_holding(s in any_species(), e in any_event(), more in 0.1..60.0f64) {
            let d = s.survival.death(&e);
            let more = Span::of_min(more);
            let after = s.survival.death(&Event { fight: e.fight + more, ..e });
            prop_assert!(rises(d, after));
            let after = s.survival.death(&Event { air: e.air + more, ..e });
            prop_assert!(rises(d, after));
            let after = s.survival.death(&Event { held: e.held + more, ..e });
            prop_assert!(rises(d, after));
            let after = s.survival.death(&Event { held_still: e.held_still + more, ..e });
            prop_assert!(rises(d, after));
            // Strictly, where it is not yet certain.
            if d.central < 0.999 {
                let after = s.survival.death(&Event { fight: e.fight + more, ..e });
                prop_assert!(after.central > d.central);
                let after = s.survival.death(&Event { air: e.air + more, ..e });
                prop_assert!(after.central > d.central);
            }
        }

        /// Low and central everywhere; high above the cold floor, below which it stands at the reference's.
        #[test]
        fn risk_rises_with_warmth(s in any_species(), e in any_event(), more in 0.1..10.0f64) {
            let warmer = Event { water: e.water + Temperature::of_c(more), ..e };
            let (a, b) = (s.survival.death(&e), s.survival.death(&warmer));
            prop_assert!(a.low <= b.low + 1e-12 && a.central <= b.central + 1e-12);
            if !s.unidentified && e.water.c() >= s.survival.reference.water.c() - 8.0 {
                prop_assert!(a.high <= b.high + 1e-12);
            }
        }

        #[test]
        fn the_place_of_the_hook_orders_risk(s in any_species(), e in any_event()) {
            let at = |p| s.survival.death(&Event { hook: Hook::At(p), ..e });
            let (jaw, foul) = (at(HookPlace::Jaw), at(HookPlace::Foul));
            let (deep, gill) = (at(HookPlace::Deep), at(HookPlace::Gill));
            prop_assert!(rises(jaw, foul) && rises(foul, deep) && rises(deep, gill));
            prop_assert!(jaw.central < foul.central || jaw.central > 0.999);
            let style = |x| s.survival.death(&Event { hook: Hook::Style(x), ..e });
            prop_assert!(rises(style(HookStyle::Circle), style(HookStyle::JOrOffset)));
        }

        #[test]
        fn at_the_fight_limit_the_risk_is_the_line(
            s in any_species(), e in any_event(), line in 0.01..0.9f64,
        ) {
            match s.survival.fight_limit(line, &e).unwrap() {
                FightLimit::At(t) => {
                    let p = s.survival.death(&Event { fight: t, ..e }).central;
                    prop_assert!((p - line).abs() < 1e-9, "{p} {line}");
                }
                FightLimit::None => {
                    let at_once = s.survival.death(&Event { fight: Span::ZERO, ..e });
                    prop_assert!(at_once.central >= line - 1e-12);
                }
                FightLimit::Never => {
                    let day = s.survival.death(&Event { fight: Span::of_h(24.0), ..e });
                    prop_assert!(day.central <= line + 1e-12);
                }
            }
        }

        /// The unknown shark is at least as fragile as any shark that grows beyond two metres.
        #[test]
        fn nothing_large_is_more_fragile_than_the_unknown(e in any_event(), s in any_large_shark()) {
            prop_assert!(rises(s.survival.death(&e), PACK.unknown_shark().survival.death(&e)), "{}", s.id);
        }

        #[test]
        fn a_sign_at_release_moves_the_risk_its_way(p in 0.001..0.999f64) {
            let prior = crate::facts::Band { low: p * 0.5, central: p, high: p.sqrt() };
            let after = |c| PACK.conditions.update(prior, c);
            let order = [
                Condition::Strong, Condition::SlowButUpright, Condition::RolledOrNoTailBeat,
                Condition::NoJawOrEyelidReflex, Condition::Dead,
            ];
            for w in order.windows(2) {
                prop_assert!(after(w[0]).central < after(w[1]).central);
                prop_assert!(after(w[0]).low <= after(w[0]).central && after(w[0]).central <= after(w[0]).high);
            }
            prop_assert!((after(Condition::NotSeen).central - p).abs() < 1e-12);
            let odds = |p: f64| p / (1.0 - p);
            prop_assert!((odds(after(Condition::RolledOrNoTailBeat).central) / odds(p) - 3.0).abs() < 1e-9);
        }

        #[test]
        fn conversions_round_trip(s in any_species(), m in 0.6..5.0f64) {
            let kinds = [LengthKind::Total, LengthKind::Fork, LengthKind::Precaudal, LengthKind::DiscWidth];
            for from in kinds {
                for to in kinds {
                    let start = FishLength::new(from, Length::of_m(m));
                    let Ok(there) = s.convert(start, to) else { continue };
                    prop_assert_eq!(there.value.kind, to);
                    prop_assert_eq!(there.error > 0.0, from != to);
                    let back = s.convert(there.value, from).unwrap();
                    prop_assert!((back.value.length.m() - m).abs() < 1e-9, "{} {from:?} {to:?}", s.id);
                    if from == LengthKind::Total && to == LengthKind::Fork {
                        prop_assert!(there.value.length.m() < m);
                    }
                }
            }
        }

        #[test]
        fn a_longer_fish_is_heavier_and_its_ends_lie_around(s in any_species(), m in 0.3..5.0f64) {
            let kind = s.max_length.value.kind;
            let at = |m| s.mass_at(FishLength::new(kind, Length::of_m(m)));
            if let (Ok(a), Ok(b)) = (at(m), at(m * 1.05)) {
                prop_assert!(a.central < b.central && a.light < a.central && a.central < a.heavy);
                prop_assert!(a.factor >= 1.32 - 1e-12);
                let back = s.length_at(a.central);
                if let Ok(back) = back {
                    let want = s.convert(FishLength::new(kind, Length::of_m(m)), back.kind).unwrap();
                    prop_assert!((back.length.m() / want.value.length.m() - 1.0).abs() < 1e-9);
                }
            }
        }

        #[test]
        fn drag_and_power_rise(kg in 5.0..600.0f64, m in 1.0..4.5f64, v in 0.1..8.0f64) {
            let rho = Density::of_kg_m3(1025.0);
            let b = PACK.body.body(Mass::of_kg(kg), Length::of_m(m), Density::of_kg_m3(34.6));
            let at = |v| PACK.body.swimming_drag(&b, Speed::of_mps(v), rho);
            let (a, c) = (at(v), at(v * 1.1));
            prop_assert!(a.low < a.central && a.central < a.high && a.central < c.central);
            // Between v^1.7 and v^2: turbulent skin friction.
            let exponent = crate::math::ln(c.central / a.central) / crate::math::ln(1.1);
            prop_assert!((1.6..2.0).contains(&exponent), "{exponent}");
            let disc = PACK.body.tail_disc(Length::of_m(m));
            let cost = |v| power::thrust_power(a.central, Speed::of_mps(v), disc, rho).w();
            prop_assert!(cost(v) > a.central.n() * v && cost(v * 1.1) > cost(v));
            // Girth and mass are the same rule both ways.
            let back = PACK.unknown_shark().mass_from_girth(b.girth, FishLength::fork(Length::of_m(m)));
            if let Ok(back) = back {
                prop_assert!((back.central.kg() / kg - 1.0).abs() < 1e-9);
                prop_assert!(back.light < back.central && back.central < back.heavy);
            }
        }

        #[test]
        fn looking_up_never_panics(text in "\\PC{0,90}") {
            let _ = PACK.find(&text);
            let _ = PACK.find_or_unknown(&text);
            let _ = text.parse::<FishLength>();
        }

        #[test]
        fn a_mangled_pack_never_panics(at in 0usize..110_000, cut in 0usize..40, put in "[0-9.\"=a-z{}\\[\\]\n-]{0,6}") {
            let mut text = TEXT.to_owned();
            let mut i = at.min(text.len());
            while !text.is_char_boundary(i) { i -= 1; }
            let mut j = (i + cut).min(text.len());
            while !text.is_char_boundary(j) { j += 1; }
            text.replace_range(i..j, &put);
            if let Err(e) = SpeciesPack::load(&PackText::new("species.toml", &text)) {
                prop_assert!(e.place.starts_with("species.toml") && !e.error.is_empty());
            }
        }
    }
}

#[test]
fn the_unknown_shark_always_has_an_answer() {
    let s = PACK.unknown_shark();
    for text in ["3m total", "2.4m fork", "2m precaudal"] {
        let m = s.mass_at(text.parse().unwrap()).unwrap();
        assert!(m.factor >= 1.82 && m.basis == MassBasis::Fallback);
    }
    // Its heavy end lies above every shark's own of that length but the stoutest lines'.
    let three: FishLength = "3m total".parse().unwrap();
    for other in PACK.all().iter().filter(|o| o.group == Group::Shark) {
        if let Ok(m) = other.mass_at(three) {
            assert!(m.heavy <= s.mass_at(three).unwrap().heavy, "{}", other.id);
        }
    }
    assert!(s.mass_at("1m disc".parse().unwrap()).is_err());
    assert_eq!(s.air_limit().min_(), 0.0);
    assert!(s.release_asks(None).iter().any(|h| h.text.contains("protected")));
}

#[test]
fn refuses_what_no_line_answers() {
    let e = PACK.find("tarpon").unwrap().mass_at("2m fork".parse().unwrap()).unwrap_err();
    assert!(e.error.contains("no length gives the mass"), "{e}");
    let e = PACK.find("nurse").unwrap().convert("2m fork".parse().unwrap(), LengthKind::Total).unwrap_err();
    assert!(e.error.contains("fork length to total length"), "{e}");
    // Lines marked unusable are never taken: the copper shark's would make it shorter than its fork length.
    let copper = PACK.find("copper").unwrap();
    let total = copper.convert("2.5m fork".parse().unwrap(), LengthKind::Total).unwrap();
    assert!((total.value.length.m() - 2.5 / 0.83).abs() < 1e-12);
    let s = &copper.survival;
    let e = Event::fought(
        crate::quantity::Span::of_min(20.0),
        crate::quantity::Temperature::of_c(18.0),
        Hook::Style(HookStyle::Circle),
    );
    assert!(s.fight_limit(0.0, &e).is_err() && s.fight_limit(f64::NAN, &e).is_err());
    let hot = Event { water: crate::quantity::Temperature::of_c(60.0), ..e };
    assert!(s.risk(&hot).is_err());
}

#[test]
fn cold_and_length_are_said() {
    let s = &PACK.find("blacktip").unwrap().survival;
    let at = |min, c| {
        let e = Event::fought(
            crate::quantity::Span::of_min(min),
            crate::quantity::Temperature::of_c(c),
            Hook::Style(HookStyle::Circle),
        );
        s.risk(&e).unwrap()
    };
    assert!(at(100.0, 28.0).extrapolated && !at(90.0, 28.0).extrapolated);
    assert!(at(20.0, 19.0).cold && !at(20.0, 21.0).cold);
    // Far below the reference temperature the high value is that of the reference temperature.
    assert_eq!(at(20.0, 12.0).death.high, at(20.0, 28.0).death.high);
    assert!(at(20.0, 12.0).death.central < at(20.0, 28.0).death.central);
}

#[test]
fn alive_counts_every_ending() {
    let band = |low, central, high| crate::facts::Band { low, central, high };
    let landed = band(0.1, 0.2, 0.3);
    let lost = band(0.2, 0.3, 0.5);
    let alive = alive_whatever_the_ending(&[(0.75, landed), (0.25, lost)]).unwrap();
    assert!((alive.central - (0.75 * 0.8 + 0.25 * 0.7)).abs() < 1e-12);
    assert!((alive.low - (0.75 * 0.7 + 0.25 * 0.5)).abs() < 1e-12 && alive.low < alive.high);
    assert!(alive_whatever_the_ending(&[(0.75, landed)]).is_err());
    assert!(alive_whatever_the_ending(&[(1.5, landed), (-0.5, lost)]).is_err());
}

#[test]
fn release_asks_what_each_fish_needs() {
    let keys = |name: &str, hook| -> Vec<&'static str> {
        PACK.find(name).unwrap().release_asks(hook).iter().map(|h| h.key).collect()
    };
    assert!(keys("great hammerhead", None).contains(&"flow"));
    assert!(!keys("nurse", None).contains(&"flow"));
    assert!(keys("roughtail stingray", None).contains(&"ray"));
    assert!(keys("sawfish", None).contains(&"saw") && !keys("sawfish", None).contains(&"hook"));
    let text = |name: &str, hook| {
        PACK.find(name).unwrap().release_asks(hook).into_iter().find(|h| h.key == "hook").unwrap().text
    };
    assert!(text("great hammerhead", None).starts_with("Cut at first touch"));
    assert!(text("sandbar", None).starts_with("Unhook only"));
    assert!(text("sandbar", Some(HookPlace::Deep)).contains("leave it"));
    let min = |name: &str| PACK.find(name).unwrap().handling_limit().min_();
    assert_eq!((min("blacktip"), min("tiger"), min("white")), (2.5, 5.0, 2.5));
    let warm = crate::quantity::Temperature::of_c(30.5);
    assert!(PACK.find("blacktip").unwrap().too_warm(warm) && !PACK.find("tiger").unwrap().too_warm(warm));
}

#[test]
fn every_card_can_be_written_and_names_its_sources() {
    assert_eq!(PACK.list().len(), 33);
    for s in PACK.all() {
        let json = serde_json::to_value(PACK.card(s)).unwrap();
        assert_eq!(json["id"], s.id.as_str());
        assert!(!json["release"].as_array().unwrap().is_empty());
        assert!(!json["law"].as_array().unwrap().is_empty());
    }
    let card = PACK.card(PACK.find("bull").unwrap());
    assert_eq!(card.lookalikes.first().map(|l| l.name.as_str()), Some("pigeye shark"));
    assert!(card.sources.iter().any(|s| s.id == "BINSTOCK23"), "{:?}", card.sources);
    assert!(PACK.body.figures.values().all(|f| f.grade != crate::facts::Grade::Measured));
    serde_json::to_value(PACK.card(PACK.unknown_shark())).unwrap();
}

#[test]
fn holding_in_a_flow_is_not_holding_still() {
    use crate::quantity::{Span, Temperature};
    let moving = Event {
        held: Span::of_min(4.0),
        ..Event::fought(Span::of_min(12.0), Temperature::of_c(28.0), Hook::At(HookPlace::Jaw))
    };
    let still = Event { held_still: Span::of_min(4.0), ..moving };
    let longer = Event { fight: Span::of_min(16.0), held: Span::ZERO, ..moving };
    let central = |name: &str, e| PACK.find(name).unwrap().survival.death(e).central;
    for ram in ["blacktip", "great hammerhead", "bull"] {
        assert!(central(ram, &moving) < central(ram, &still), "{ram}");
        assert_eq!(central(ram, &moving), central(ram, &longer), "{ram}");
    }
    for pumps in ["nurse", "lemon", "sand tiger"] {
        assert_eq!(central(pumps, &moving), central(pumps, &still), "{pumps}");
    }
}

/// The gill hazards of robust species come from a small share of a near-zero rate, not from any gill-hooked fish.
#[test]
fn a_torn_gill_is_never_harmless() {
    use crate::quantity::{Span, Temperature};
    let e = Event::fought(Span::ZERO, Temperature::of_c(15.0), Hook::At(HookPlace::Gill));
    for s in PACK.all() {
        let d = s.survival.death(&e);
        assert!(
            d.central >= 1.0 - crate::math::exp(-0.55) && d.high >= 1.0 - crate::math::exp(-1.0),
            "{}",
            s.id
        );
    }
}

/// A hundred thousand calls are to fit into a sweep of fights; here only that they differ and stay ordered.
#[test]
fn many_fights_of_one_fish() {
    use crate::quantity::{Span, Temperature};
    let s = &PACK.find("tiger").unwrap().survival;
    let mut last = 0.0;
    for i in 0..100_000u32 {
        let fight = Span::of_s(f64::from(i));
        let d = s.lost(fight, Temperature::of_c(26.0), Hook::Style(HookStyle::Circle)).central;
        assert!(d > last, "{i}");
        last = d;
    }
}

#[test]
fn errors_of_a_conversion_add_and_widen_the_mass() {
    let bull = PACK.find("bull").unwrap();
    let at = |text: &str, to| bull.convert(text.parse().unwrap(), to).unwrap();
    let (line, ratio) = (at("1.5m pcl", LengthKind::Fork).error, at("1.6m fork", LengthKind::Total).error);
    assert!(
        (at("1.5m pcl", LengthKind::Total).error - line - ratio).abs() < 1e-12 && line > 0.0 && ratio > line
    );
    let factor = |text: &str| bull.mass_at(text.parse().unwrap()).unwrap().factor;
    assert!((factor("2m total") - 1.56).abs() < 1e-12);
    assert!(factor("2m total") < factor("1.6m fork") && factor("1.6m fork") < factor("1.5m pcl"));
}

#[test]
fn no_likely_fish_is_longer_than_the_longest_known() {
    let short = TEXT.replacen("max_length = { cm = 325,", "max_length = { cm = 300,", 1);
    let short = SpeciesPack::load(&PackText::new("species.toml", &short)).unwrap();
    let metres = |pack: &SpeciesPack| pack.likely_upper(pack.find("copper").unwrap()).length.m();
    assert!((metres(&PACK) - 3.24).abs() < 1e-12 && (metres(&short) - 3.0).abs() < 1e-12);
    for s in PACK.all() {
        let upper = PACK.likely_upper(s);
        if let Ok(max) = s.convert(s.max_length.value, upper.kind) {
            assert!(upper.length <= max.value.length, "{}", s.id);
        }
    }
}
