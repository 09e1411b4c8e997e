//! Both sides of every border, and *unknown* for every row. The expectations are written out here apart from
//! the pack, so that a border moved in the pack turns one of them red.

use super::*;
use Verdict::{Caution, Go, Stop};

const PACK: PackText<'static> = PackText::new("limits.toml", include_str!("../../../../../data/limits.toml"));

fn limits() -> Limits {
    Limits::read(&PACK).unwrap()
}

/// id, unknown, then values with their verdicts.
type Row = (&'static str, Verdict, &'static [(f64, Verdict)]);

const NUMBERS: &[Row] = &[
    ("far.boats", Caution, &[(0.049, Go), (0.05, Caution), (0.20, Caution), (0.201, Stop)]),
    ("far.spool", Caution, &[(0.99, Go), (1.0, Stop)]),
    ("far.wise", Caution, &[(1.0, Go), (1.01, Caution)]),
    ("weather.thunder_wait_min", Caution, &[(29.9, Stop), (30.0, Go)]),
    ("wind.kn", Caution, &[(14.9, Go), (15.0, Caution), (24.9, Caution), (25.0, Stop)]),
    ("wind.gust_kn", Caution, &[(33.9, Go), (34.0, Stop)]),
    ("heat.index_c", Caution, &[(31.9, Go), (32.0, Caution), (38.9, Caution), (39.0, Stop)]),
    ("heat.index_no_shade_c", Caution, &[(31.9, Go), (32.0, Caution), (32.1, Stop)]),
    ("visibility.km", Caution, &[(1.01, Go), (1.0, Caution), (0.3, Caution), (0.29, Stop)]),
    ("surf.height_m", Caution, &[(0.59, Go), (0.6, Caution), (1.49, Caution), (1.5, Stop)]),
    ("drag.check_pull_c", Caution, &[(0.0, Go), (7.9, Go), (8.0, Caution), (40.0, Caution)]),
    ("handlers.water_c", Caution, &[(15.1, Go), (15.0, Caution), (5.0, Caution)]),
    ("handlers.water_bare_c", Caution, &[(15.1, Go), (15.0, Caution), (14.9, Stop)]),
    ("way_out.h", Caution, &[(1.1, Go), (1.0, Caution), (0.0, Caution), (-0.1, Stop)]),
    ("kayak.surf_m", Caution, &[(0.29, Go), (0.3, Caution), (0.6, Caution), (0.61, Stop)]),
    ("kayak.wind_kn", Caution, &[(7.9, Go), (8.0, Caution), (12.0, Caution), (12.1, Stop)]),
    ("kayak.wind_offshore_kn", Caution, &[(0.0, Caution), (7.9, Caution), (8.0, Stop)]),
    ("kayak.water_c", Caution, &[(21.1, Go), (21.0, Caution), (10.0, Caution), (9.9, Stop)]),
    ("kayak.water_unsuited_c", Caution, &[(21.1, Go), (21.0, Caution), (15.0, Caution), (14.9, Stop)]),
    ("bathers.distance_m", Stop, &[(501.0, Go), (500.0, Caution), (301.0, Caution), (300.0, Stop)]),
    ("crew.count", Stop, &[(1.0, Go), (0.0, Caution), (-1.0, Stop)]),
    ("crew.awake_h", Stop, &[(13.9, Go), (14.0, Caution), (18.0, Caution), (18.1, Stop)]),
    ("care.trained_min", Caution, &[(19.9, Go), (20.0, Caution), (90.0, Caution)]),
    ("care.untrained_min", Caution, &[(19.9, Go), (20.0, Caution), (45.0, Caution), (45.1, Stop)]),
    ("footing.dry_m", Stop, &[(6.0, Go), (5.9, Stop)]),
    ("path.margin", Stop, &[(1.51, Go), (1.5, Caution), (1.2, Caution), (1.19, Stop)]),
    ("leader.length", Caution, &[(1.0, Go), (0.99, Caution)]),
    ("rig.margin", Caution, &[(1.51, Go), (1.5, Caution), (1.0, Caution), (0.99, Stop)]),
    ("rig.untested", Caution, &[(1.0, Go), (0.99, Caution)]),
    ("rig.fly_back_j", Caution, &[(4.9, Go), (5.0, Caution)]),
    ("rig.cast", Caution, &[(1.0, Go), (0.99, Caution)]),
    ("rig.link", Caution, &[(0.49, Go), (0.5, Caution)]),
    ("forecast.spooled", Caution, &[(0.049, Go), (0.05, Caution), (0.20, Caution), (0.201, Stop)]),
    ("forecast.parted", Caution, &[(0.049, Go), (0.05, Caution), (0.20, Caution), (0.201, Stop)]),
    ("forecast.cut_at_rod", Caution, &[(0.049, Go), (0.05, Caution), (0.20, Caution), (0.201, Stop)]),
    ("forecast.angler_moved", Caution, &[(0.009, Go), (0.01, Caution), (0.05, Caution), (0.051, Stop)]),
    ("fish.death", Caution, &[(0.099, Go), (0.10, Caution), (0.25, Caution), (0.251, Stop)]),
    ("footing.high_water_m", Caution, &[(6.0, Go), (5.9, Caution)]),
    ("room_behind.m", Caution, &[(15.0, Go), (14.9, Caution)]),
    ("lean.unsupported_m", Caution, &[(0.0, Go), (0.01, Caution)]),
    ("station.km", Caution, &[(100.0, Go), (100.1, Caution), (500.0, Caution), (500.1, Stop)]),
    ("baits.crews", Caution, &[(1.0, Go), (0.9, Stop)]),
    ("conditions.age_h", Caution, &[(12.0, Go), (12.1, Caution)]),
];

/// id, unknown, then states with their verdicts.
type WordRow = (&'static str, Verdict, &'static [(&'static str, Verdict)]);

const WORDS: &[WordRow] = &[
    ("far.lookout", Caution, &[("near", Go), ("kept", Go), ("none", Caution), ("none-and-boats", Stop)]),
    (
        "far.marked",
        Caution,
        &[("near", Go), ("lit", Go), ("none-no-boats", Go), ("none", Caution), ("unlit", Caution)],
    ),
    ("law.breach", Caution, &[("none", Go), ("open", Caution), ("breach", Stop)]),
    (
        "weather.thunder",
        Stop,
        &[
            ("none-shelter-near", Go),
            ("none-no-shelter", Caution),
            ("slight-shelter-near", Caution),
            ("slight-no-shelter", Caution),
            ("storm-shelter-near", Caution),
            ("lightning-shelter-near", Caution),
            ("unknown-shelter-near", Caution),
            ("lightning-no-shelter", Stop),
            ("storm-no-shelter", Stop),
            ("heard", Stop),
        ],
    ),
    ("surf.rip_risk", Caution, &[("low", Go), ("moderate", Caution), ("high", Stop)]),
    ("rig.lead", Caution, &[("sliding", Go), ("weak-link", Go), ("fixed", Caution)]),
    ("rig.hand", Caution, &[("holds", Go), ("thin", Caution), ("metal", Caution), ("none", Caution)]),
    ("landing.depth", Caution, &[("enough", Go), ("less", Caution), ("none", Stop)]),
    (
        "landing.shore_break",
        Caution,
        &[("spilling", Go), ("plunging-small", Caution), ("plunging-high", Stop)],
    ),
    ("animals", Caution, &[("none", Go), ("nearby", Caution), ("at-the-bait", Stop)]),
    (
        "kayak.light",
        Caution,
        &[
            ("day", Go),
            ("moon-and-watched", Go),
            ("no-moon", Caution),
            ("fog", Stop),
            ("no-two-watchers", Stop),
            ("no-white-light", Stop),
        ],
    ),
    (
        "bait.delivery",
        Caution,
        &[("cast", Go), ("afloat", Go), ("machine", Go), ("swim-by-day", Caution), ("swim-at-night", Stop)],
    ),
    ("kayak.float", Caution, &[("worn", Go), ("none", Stop)]),
    ("relief.angler", Caution, &[("short-fight", Go), ("there", Go), ("none", Caution)]),
    ("driver.fit", Caution, &[("named", Go), ("late", Caution)]),
    ("windows", Stop, &[("open", Go), ("part", Caution), ("none", Stop)]),
    (
        "bathers.hour",
        Caution,
        &[
            ("away", Go),
            ("counted-none", Go),
            ("counted-none-few-days", Caution),
            ("counted", Stop),
            ("there", Stop),
            ("few", Caution),
            ("some", Caution),
            ("likely", Stop),
        ],
    ),
    (
        "weather.hazards",
        Caution,
        &[
            ("none", Go),
            ("statement", Caution),
            ("advisory", Caution),
            ("watch", Caution),
            ("other", Caution),
            ("warning", Stop),
            ("tsunami", Stop),
        ],
    ),
    ("report.place", Caution, &[("said", Go), ("unsaid", Caution)]),
    ("conditions.reach", Caution, &[("within", Go), ("beyond", Caution)]),
    ("outfit.judged", Caution, &[("all", Go), ("first", Caution)]),
    (
        "station.doubt",
        Caution,
        &[("none", Go), ("inner", Caution), ("other-kind", Caution), ("nearer", Caution)],
    ),
    ("tide.table", Caution, &[("whole", Go), ("short", Caution), ("gap", Caution), ("apart", Caution)]),
    ("night.past", Caution, &[("ahead", Go), ("past", Caution)]),
    ("fish.named", Caution, &[("named", Go)]),
    ("fish.region", Caution, &[("known", Go)]),
    ("kit.safety", Caution, &[("packed", Go), ("missing", Caution)]),
    ("soak.line", Caution, &[("can", Go), ("cannot", Caution)]),
    (
        "hold.bait",
        Caution,
        &[
            ("holds", Go),
            ("doubt", Caution),
            ("walks", Caution),
            ("streams-away", Caution),
            ("to-bathers", Stop),
        ],
    ),
    ("line_side", Caution, &[("none", Go), ("few", Go), ("some", Caution), ("crowd", Stop)]),
    ("crew.roles", Stop, &[("filled", Go), ("unfilled", Stop)]),
    (
        "crew.drilled",
        Caution,
        &[
            ("all", Go),
            ("one-with-buddy", Caution),
            ("one-alone", Stop),
            ("several", Stop),
            ("newcomer-large-fish", Stop),
        ],
    ),
    ("crew.sober", Stop, &[("yes", Go), ("no", Stop)]),
    ("contact.ashore", Stop, &[("named-with-time", Go), ("named-no-time", Caution), ("none", Stop)]),
    (
        "phone.signal",
        Caution,
        &[("voice-and-data", Go), ("voice-or-text", Caution), ("none-with-beacon", Caution), ("none", Stop)],
    ),
    ("first_aid", Stop, &[("kit-and-trained", Go), ("kit-untrained", Caution), ("none", Stop)]),
    (
        "drag.measured",
        Stop,
        &[
            ("recent", Go),
            ("older", Caution),
            ("class-band", Caution),
            ("nothing-known", Stop),
            ("nothing-known-small-fish", Caution),
        ],
    ),
    ("tackle.contradiction", Caution, &[("none", Go), ("doubtful", Caution), ("impossible", Stop)]),
    ("footing.drag", Stop, &[("met", Go), ("met-by-card", Caution), ("not-met", Stop)]),
    ("footing.arms", Stop, &[("met", Go), ("met-by-card", Caution), ("not-met", Stop)]),
    (
        "harness.release",
        Stop,
        &[
            ("not-clipped", Go),
            ("tonight", Go),
            ("this-season", Caution),
            ("before-phase", Caution),
            ("fails", Stop),
            ("untried", Stop),
        ],
    ),
];

const FIGURES: &[(&str, f64)] = &[
    ("weather.shelter_min", 10.0),
    ("landing.shore_break_m", 0.6),
    ("handlers.one_spell_c", 10.0),
    ("way_out.pack_up_min", 45.0),
    ("bathers.before_h", 1.0),
    ("crew.newcomer_fish_m", 2.4),
    ("drag.reading_days", 30.0),
    ("drag.fish_m", 1.5),
    ("hold.soak_h", 3.0),
    ("footing.strike_share", 0.5),
    ("footing.worst_share", 0.8),
    ("footing.no_harness_n", 118.0),
    ("forecast.trailing_m", 50.0),
    ("crew.relief_min", 20.0),
    ("conditions.dead_h", 36.0),
    ("weather.thunder_percent", 10.0),
    ("station.nearer_km", 25.0),
    ("tide.table_m", 0.3),
    ("tide.table_min", 60.0),
    ("level.unread_m", 0.3),
    ("level.fades_h", 24.0),
    ("level.spread_m", 0.3),
    ("level.typed_m", 0.1),
    ("level.doubt_m", 0.4),
    ("far.line_m", 300.0),
    ("far.keel_m", 1.5),
    ("far.boat_fast_kn", 25.0),
    ("far.boat_slow_kn", 10.0),
    ("far.sight_m", 1852.0),
    ("far.react_s", 15.0),
    ("far.turns_s", 1.0),
    ("far.wind_in_min", 10.0),
    ("bathers.count_days", 30.0),
    ("bathers.count_min", 60.0),
    ("bathers.none_days", 3.0),
    ("kayak.offshore_deg", 80.0),
    ("landing.night_crew", 4.0),
    ("landing.night_wave_m", 0.6),
    ("paddle.watchers", 2.0),
    ("paddle.light_lux", 0.02),
    ("driver.drive_h", 1.0),
    ("conditions.span_d", 7.0),
    ("weather.lightning_level", 2.0),
    ("visibility.fog_km", 0.7),
    ("visibility.dense_fog_km", 0.2),
];

#[test]
fn every_number_row_on_both_sides_of_its_borders() {
    let l = limits();
    for (id, unknown, cases) in NUMBERS {
        assert_eq!(l.number(id, Known::Unknown).verdict, *unknown, "{id} unknown");
        assert!(l.number(id, Known::Unknown).unknown);
        for (x, want) in *cases {
            assert_eq!(l.number(id, Known::Known(*x)).verdict, *want, "{id} at {x}");
        }
        assert_ne!(l.number(id, Known::Known(f64::NAN)).verdict, Go, "{id} NaN");
    }
}

#[test]
fn every_state_of_every_word_row() {
    let l = limits();
    for (id, unknown, cases) in WORDS {
        assert_eq!(l.word(id, Known::Unknown).verdict, *unknown, "{id} unknown");
        assert_eq!(l.word(id, Known::Known("no such state")).verdict, *unknown, "{id} odd word");
        for (word, want) in *cases {
            assert_eq!(l.word(id, Known::Known(word)).verdict, *want, "{id} {word}");
        }
        assert_eq!(l.row(id).unwrap().words.len(), cases.len(), "{id}: a state without a test");
    }
}

#[test]
fn no_row_is_left_without_a_test() {
    let l = limits();
    for (id, want) in FIGURES {
        assert_eq!(l.figure(id), *want, "{id}");
    }
    let tested = NUMBERS.len() + WORDS.len() + FIGURES.len();
    assert_eq!(l.rows().count(), tested);
    assert_eq!(REQUIRED.len(), tested);
}

#[test]
fn refuses_a_broken_pack_with_the_line() {
    let e = |text: &str| Limits::read(&PackText::new("limits.toml", text)).unwrap_err().to_string();
    let good = PACK.text;
    let go = good.replacen("unknown = \"caution\"", "unknown = \"go\"", 1);
    assert!(e(&go).contains("law.breach") && e(&go).contains("unknown would be go"), "{}", e(&go));
    let swapped = good.replace("caution = { from = 15.0 }", "caution = { from = 35.0 }");
    assert!(e(&swapped).contains("stop lies before"), "{}", e(&swapped));
    let odd = good.replace("caution = { from = 15.0 }", "caution = { over = 15.0 }");
    assert!(e(&odd).starts_with("limits.toml, line"), "{}", e(&odd));
    let missing = good.replace("id = \"animals\"", "id = \"animalz\"");
    assert!(e(&missing).contains("`animals`"), "{}", e(&missing));
}

#[test]
fn an_edit_keeps_who_and_why_and_is_checked() {
    let edit = LimitEdit {
        id: "wind.kn".into(),
        caution: Some(Border::From(10.0)),
        stop: None,
        value: None,
        words: BTreeMap::new(),
        who: "the crew lead".into(),
        why: "short rods".into(),
    };
    let l = limits().edited(std::slice::from_ref(&edit)).unwrap();
    assert_eq!(l.number("wind.kn", Known::Known(10.0)).verdict, Caution);
    assert_eq!(l.row("wind.kn").unwrap().edited.as_ref().unwrap().why, "short rods");
    let refused = |change: fn(&mut LimitEdit)| {
        let mut e = edit.clone();
        change(&mut e);
        limits().edited(&[e]).unwrap_err().to_string()
    };
    assert!(refused(|e| e.id = "moon.phase".into()).contains("no limit"));
    assert!(refused(|e| e.id = "law.breach".into()).contains("not a limit of the crew"));
    assert!(refused(|e| e.caution = Some(Border::From(1e300))).contains("beyond anything"));
    assert!(refused(|e| e.why = " ".into()).contains("who and why"));
    assert!(refused(|e| e.caution = Some(Border::From(40.0))).contains("stop lies before"));
    assert!(refused(|e| e.words.extend([("calm".to_owned(), Go)])).contains("no state"));
}

#[test]
fn what_is_beyond_knowing_or_warned_of_is_never_go() {
    let to = |id: &str, word: &str, verdict| {
        let edit = LimitEdit {
            id: id.into(),
            caution: None,
            stop: None,
            value: None,
            words: [(word.to_owned(), verdict)].into(),
            who: "the crew lead".into(),
            why: "we know the place".into(),
        };
        limits().edited(&[edit])
    };
    for (id, words) in NEVER_GO {
        for word in *words {
            let e = to(id, word, Go).unwrap_err().to_string();
            assert!(e.contains("would be go") && e.contains(word) && e.contains(id), "{e}");
            // Stricter is the crew's to decide; so is a stop that becomes a caution.
            assert_eq!(to(id, word, Stop).unwrap().word(id, Known::Known(word)).verdict, Stop);
            assert_eq!(to(id, word, Caution).unwrap().word(id, Known::Known(word)).verdict, Caution);
        }
    }
    let pack = PACK.text.replace("beyond = \"caution\"", "beyond = \"go\"");
    assert!(
        Limits::read(&PackText::new("limits.toml", &pack)).unwrap_err().to_string().contains("would be go")
    );
}
