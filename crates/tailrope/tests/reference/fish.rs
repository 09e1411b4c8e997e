//! Fish: weights, conversions, survival and likely fish against an independent recomputation.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use tailrope::facts::{Band, PackText};
use tailrope::fish::power::{skin_friction, thrust_power};
use tailrope::fish::{
    Event, FightLimit, FishLength, Hook, HookPlace, HookStyle, LengthKind, Region, Species, SpeciesPack,
    largest,
};
use tailrope::quantity::{Density, Length, Mass, Quantity, Span, Speed, Temperature};

static PACK: LazyLock<SpeciesPack> = LazyLock::new(|| {
    let text = include_str!("../../../../data/species.toml");
    SpeciesPack::load(&PackText::new("species.toml", text)).unwrap()
});

#[derive(Deserialize)]
struct Fixture {
    weight: Vec<Weight>,
    survival: Vec<Row>,
}

#[derive(Deserialize)]
struct Weight {
    id: String,
    by_total_cm: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
struct Row {
    id: String,
    class: String,
    reference: [f64; 3],
    prm: [f64; 3],
    at_10: [f64; 3],
    at_20: [f64; 3],
    at_40: [f64; 3],
    air_4: f64,
    deep_20: f64,
    limit: String,
}

static FIXTURE: LazyLock<Fixture> =
    LazyLock::new(|| toml::from_str(include_str!("fixtures/fish.toml")).unwrap());

fn fish(id: &str) -> &'static Species {
    PACK.by_id(id).unwrap()
}

fn length(text: &str) -> FishLength {
    text.parse().unwrap()
}

fn event(fight: f64, air: f64, water: f64, hook: Hook) -> Event {
    Event { air: Span::of_min(air), ..Event::fought(Span::of_min(fight), Temperature::of_c(water), hook) }
}

const JAW: Hook = Hook::At(HookPlace::Jaw);
const CIRCLE: Hook = Hook::Style(HookStyle::Circle);

fn sea() -> Density {
    "1025kg/m3".parse().unwrap()
}

#[test]
fn weights_by_total_length() {
    let mut cells = 0;
    for row in &FIXTURE.weight {
        for (cm, want) in &row.by_total_cm {
            let at = FishLength::total(Length::of_cm(cm.parse().unwrap()));
            let got = fish(&row.id).mass_at(at).unwrap().central.kg();
            // The table prints whole kilograms.
            assert!((got - want).abs() <= 0.51, "{} {cm} cm: {got} for {want}", row.id);
            cells += 1;
        }
    }
    assert_eq!((FIXTURE.weight.len(), cells), (14, 70));
}

/// A printed chart of an agency: pounds at 6 ft fork length.
#[test]
fn the_six_foot_chart() {
    for (id, chart, model) in [
        ("mako", 147.0, 147.2),
        ("dusky", 144.0, 143.5),
        ("sandbar", 157.0, 156.6),
        ("tiger", 132.0, 132.3),
        ("white", 159.0, 158.9),
    ] {
        let got = fish(id).mass_at(length("6ft fork")).unwrap().central.lb();
        assert!((got - model).abs() < 0.08, "{id}: {got}");
        assert!((got - chart).abs() <= 0.55, "{id}: {got}");
    }
}

#[test]
fn an_eleven_foot_hammerhead_of_five_hundred_pounds_can_be_true() {
    let m = fish("great_hammerhead").mass_at(length("11ft total")).unwrap();
    assert!((m.central.kg() - 187.0).abs() < 0.6 && (m.central.lb() - 413.0).abs() < 1.0, "{m:?}");
    assert!((m.heavy.kg() - 247.0).abs() < 0.6 && (m.heavy.lb() - 545.0).abs() < 1.5, "{m:?}");
    assert!((m.factor - 1.32).abs() < 1e-12);
    assert!(m.heavy > Mass::of_lb(500.0));
    let big = fish("great_hammerhead").mass_at(length("4.4m total")).unwrap();
    assert!((big.central.kg() - 452.0).abs() < 0.6 && big.heavy > Mass::of_kg(580.0));
}

#[test]
fn fifty_four_inches_of_fork_length() {
    let sandbar = fish("sandbar").convert(length("64in total"), LengthKind::Fork).unwrap();
    assert!((sandbar.value.length.m() - 1.355).abs() < 0.0006, "{sandbar:?}");
    assert!((sandbar.value.length.inches() - 53.3).abs() < 0.06);
    assert!(sandbar.error > 0.0 && !sandbar.how.is_empty());
    for (id, cm) in [("sandbar", 164.6), ("blacktip", 170.3), ("tiger", 171.8)] {
        let total = fish(id).convert(length("54in fork"), LengthKind::Total).unwrap();
        assert!((total.value.length.m() * 100.0 - cm).abs() < 0.06, "{id}: {total:?}");
    }
    let e = length("64in total").compare(length("54in fork")).unwrap_err();
    assert!(e.error.contains("cannot be compared"), "{e}");
}

#[test]
fn reference_events_return_the_published_rate() {
    let mut off = Vec::new();
    for s in PACK.all() {
        let r = s.survival.reference;
        let e = Event { air: r.air, ..Event::fought(r.fight, r.water, CIRCLE) };
        let gap = (s.survival.death(&e).central - r.death.central) * 100.0;
        if gap.abs() > 0.5 {
            off.push((s.id.as_str(), gap));
        }
    }
    // The floor put under K lifts two of them by about a point.
    assert_eq!(off.iter().map(|(id, _)| *id).collect::<Vec<_>>(), ["sand_tiger", "mako"], "{off:?}");
    assert!(off.iter().all(|(_, gap)| (0.5..1.5).contains(gap)), "{off:?}");
}

/// Table 3.3 prints whole percents (one decimal for air), so half a unit is allowed.
#[test]
fn the_table_of_risks() {
    let mut wrong = Vec::new();
    for row in &FIXTURE.survival {
        let s = fish(&row.id);
        let [f, a, t] = row.reference;
        assert_eq!(format!("{:?}", s.survival_class), row.class);
        let r = s.survival.reference;
        assert_eq!((r.fight.min_(), r.air.min_(), r.water.c()), (f, a, t), "{}", row.id);
        for (got, want) in [r.death.low, r.death.central, r.death.high].into_iter().zip(row.prm) {
            assert!((got * 100.0 - want).abs() < 1e-9, "{}", row.id);
        }
        let mut check = |what: &str, got: f64, want: f64, slack: f64| {
            if (got * 100.0 - want).abs() > slack {
                wrong.push(format!("{} {what}: {:.2} for {want}", row.id, got * 100.0));
            }
        };
        for (minutes, want) in [(10.0, row.at_10), (20.0, row.at_20), (40.0, row.at_40)] {
            let Band { low, central, high } = s.survival.death(&event(minutes, 1.0, t, JAW));
            for (got, want) in [low, central, high].into_iter().zip(want) {
                check(&format!("at {minutes}"), got, want, 0.55);
            }
        }
        let one = s.survival.death(&event(20.0, 1.0, t, JAW)).central;
        let five = s.survival.death(&event(20.0, 5.0, t, JAW)).central;
        check("air", five - one, row.air_4, 0.06);
        let deep = s.survival.death(&event(20.0, 1.0, t, Hook::At(HookPlace::Deep))).central;
        check("deep", deep, row.deep_20, 0.55);
        let limit = s.survival.fight_limit(0.10, &event(0.0, 1.0, t, JAW)).unwrap();
        let got = match limit {
            FightLimit::None => "none".to_owned(),
            FightLimit::At(m) if m.min_() <= 90.0 => format!("{:.0}", m.min_()),
            FightLimit::At(_) | FightLimit::Never => ">90".to_owned(),
        };
        if got != row.limit {
            wrong.push(format!("{} limit: {got} for {}", row.id, row.limit));
        }
    }
    assert_eq!(FIXTURE.survival.len(), 33);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

fn central(id: &str, e: &Event) -> f64 {
    fish(id).survival.death(e).central * 100.0
}

#[test]
fn worked_survival_checks() {
    let near = |got: f64, want: f64| assert!((got - want).abs() < 0.55, "{got} for {want}");
    near(central("blacktip", &event(12.0, 2.0, 28.0, CIRCLE)), 19.0);
    near(central("blacktip", &event(12.0, 2.0, 24.0, JAW)), 13.0);
    near(central("blacktip", &event(12.0, 2.0, 32.0, JAW)), 22.0);
    // Past 90 min the fight term is linear.
    near(central("great_hammerhead", &event(210.0, 1.0, 27.0, JAW)), 92.0);
    near(central("blacktip", &event(180.0, 1.0, 28.0, JAW)), 88.0);
    // Held fish.
    let held = |fight, air, water, still: f64| Event {
        held: Span::of_min(still),
        held_still: Span::of_min(still),
        ..event(fight, air, water, JAW)
    };
    near(central("blacktip", &held(12.0, 1.0, 28.0, 0.0)), 14.0);
    near(central("blacktip", &held(12.0, 1.0, 28.0, 4.0)), 23.0);
    near(central("great_hammerhead", &held(20.0, 1.0, 27.0, 0.0)), 22.0);
    near(central("great_hammerhead", &held(20.0, 1.0, 27.0, 4.0)), 33.0);
    // Lost fish.
    let lost = fish("blacktip").survival.lost(Span::of_min(30.0), Temperature::of_c(28.0), CIRCLE);
    near(lost.central * 100.0, 28.0);
}

/// Safety's clock: the minute at which the central risk reaches 25 %, with the hook mix and 1 min of air, and
/// with a jaw hook and no air.
#[test]
fn the_fight_limits_of_the_time_budget() {
    let limit = |id: &str, air: f64, hook| {
        let s = &fish(id).survival;
        let e = event(0.0, air, s.reference.water.c(), hook);
        s.fight_limit(0.25, &e).unwrap().minutes().unwrap_or(f64::INFINITY)
    };
    for (ids, low, high) in [
        (&["spinner"][..], 13.0, 16.0),
        (&["scalloped_hammerhead", "bonnethead", "finetooth", "blacknose", "atlantic_sharpnose"], 15.0, 20.0),
        (&["smooth_hammerhead"], 21.0, 26.0),
        (&["blacktip"], 23.0, 28.0),
        (&["great_hammerhead"], 24.0, 30.0),
    ] {
        for id in ids {
            let (a, b) = (limit(id, 1.0, CIRCLE), limit(id, 0.0, JAW));
            // The upper ends agree to the minute; the lower ones were rounded up to 2.2 min too long there.
            assert!((b - high).abs() < 0.5 || (b < high && a > low - 0.5), "{id}: {a} to {b}");
            assert!(a < low + 2.0 && a > low - 2.3, "{id}: {a} to {b}");
        }
    }
}

#[test]
fn likely_fish_of_two_nights() {
    let lengths = |region, month| -> BTreeMap<String, String> {
        PACK.likely(region, month)
            .iter()
            .map(|l| (l.species.id.clone(), format!("{:.2} {}", l.length.length.m(), l.length.kind.short())))
            .collect()
    };
    let gulf = lengths(Region::GulfNw, 10);
    for (id, want) in [
        ("tiger", "4.14 TL"),
        ("great_hammerhead", "3.60 TL"),
        ("scalloped_hammerhead", "3.00 TL"),
        ("bull", "2.76 TL"),
        ("spinner", "1.85 PCL"),
    ] {
        assert_eq!(gulf.get(id).map(String::as_str), Some(want), "{gulf:?}");
    }
    for rare in ["lemon", "silky", "nurse", "mako"] {
        assert!(!gulf.contains_key(rare), "{rare}");
    }
    let nam = lengths(Region::Nam, 1);
    assert_eq!(nam.get("copper").map(String::as_str), Some("3.24 TL"));
    assert_eq!(nam.get("sevengill").map(String::as_str), Some("2.64 TL"));

    let most = largest(PACK.likely(Region::GulfNw, 10), None);
    assert_eq!(most.longest.as_ref().unwrap().species.id, "tiger");
    assert_eq!(most.heaviest.as_ref().unwrap().species.id, "tiger");
    assert!(most.unweighed.iter().any(|l| l.species.id == "tarpon" && l.outer_mass.is_some()));
    // The target may only raise it.
    let small = largest(PACK.likely(Region::GulfNw, 10), Some((fish("blacktip"), length("1.5m total"))));
    assert_eq!(small.longest.unwrap().species.id, "tiger");
    let big =
        largest(PACK.likely(Region::GulfNw, 10), Some((fish("great_hammerhead"), length("4.4m total"))));
    assert_eq!(big.longest.unwrap().species.id, "great_hammerhead");
}

/// Body depth: the water that covers the gills.
#[test]
fn body_depths() {
    for (id, at, depth_m) in [
        ("sandbar", "2.0m total", 0.31),
        ("bull", "2.4m total", 0.42),
        ("great_hammerhead", "3.5m total", 0.48),
        ("tiger", "4m total", 0.62),
    ] {
        let body = PACK.body.of_species(fish(id), length(at), false).unwrap();
        assert!((body.depth.m() - depth_m).abs() < 0.0055, "{id}: {body:?}");
    }
}

#[test]
fn drag_pull_and_store() {
    let fish_of = |kg: f64, m: f64| PACK.body.body(Mass::of_kg(kg), Length::of_m(m), Density::of_kg_m3(34.6));
    let within =
        |got: f64, want: f64, share: f64| assert!((got / want - 1.0).abs() < share, "{got} for {want}");
    for (kg, m, at_2, at_4, pull) in [
        (30.0, 1.55, 16.0, 57.0, [146.0, 232.0, 353.0]),
        (100.0, 2.3, 31.0, 111.0, [424.0, 673.0, 1024.0]),
        (200.0, 2.9, 48.0, 173.0, [786.0, 1248.0, 1897.0]),
    ] {
        let body = fish_of(kg, m);
        let drag = |v: &str| body.drag(v.parse::<Speed>().unwrap(), sea(), 2.0).n();
        // The note's 30 kg figure is 9 % above its own formula, the others 2 to 4 %.
        within(drag("2m/s"), at_2, if kg < 50.0 { 0.09 } else { 0.04 });
        within(drag("4m/s"), at_4, if kg < 50.0 { 0.09 } else { 0.04 });
        let t = PACK.body.static_thrust(Mass::of_kg(kg), Length::of_m(m), sea());
        for (got, want) in [t.low, t.central, t.high].into_iter().zip(pull) {
            within(got.n(), want, 0.004);
        }
    }
    let body = fish_of(100.0, 2.3);
    assert!((body.side.si() - 0.55).abs() < 0.005);
    let side = PACK.body.broadside_drag(&body, Speed::of_mps(1.0), sea());
    within(side.central.n(), 300.0, 0.08);
    let ratio = side.central.n() / body.drag(Speed::of_mps(1.0), sea(), 1.0).n();
    assert!((30.0..80.0).contains(&ratio), "{ratio}");
    within(PACK.body.store(Mass::of_kg(100.0)).central.j(), 90_000.0, 1e-9);
    within(PACK.body.aerobic_power(Mass::of_kg(100.0), false).central.w(), 12.0, 0.01);
    // Pull and power belong together: the pull at zero speed costs the power it came from.
    let disc = PACK.body.tail_disc(Length::of_m(2.3));
    let pull = PACK.body.static_thrust(Mass::of_kg(100.0), Length::of_m(2.3), sea()).central;
    within(thrust_power(pull, Speed::ZERO, disc, sea()).w(), 800.0, 1e-9);
    // Cf of a flat plate at Re 1e7 by the same line (Schlichting's table: 0.0030).
    within(skin_friction(1.0e7), 0.0030, 0.02);
}

/// No ridge felt: still 6.7 % sandbar, above the 5 % at which it is handled as one.
#[test]
fn a_record_bull_that_was_a_sandbar() {
    let p = |id: &str, state| PACK.features.likelihood(&fish(id).marks, "interdorsal_ridge", state).unwrap();
    let sandbar = |state| p("sandbar", state) / (p("sandbar", state) + p("bull", state));
    assert!((sandbar("no") - 0.067).abs() < 0.0005, "{}", sandbar("no"));
    assert!((1.0 - sandbar("yes") - 0.03).abs() < 0.002, "{}", 1.0 - sandbar("yes"));
}

/// By the store alone, 200 m of line at 17 lbf empty 16.8 kg of shark (10 to 30 kg); 100 kg could take 1190 m.
#[test]
fn what_a_small_reel_stops() {
    let pull = "17lbf".parse::<tailrope::quantity::Force>().unwrap();
    let work = pull.n() * 200.0;
    let per_kg = PACK.body.store(Mass::of_kg(1.0));
    assert!((work / per_kg.central.j() - 16.8).abs() < 0.05);
    assert!((work / per_kg.high.j() - 10.0).abs() < 0.2 && (work / per_kg.low.j() - 30.0).abs() < 0.4);
    let run = PACK.body.store(Mass::of_kg(100.0)).map(|e| e.j() / pull.n());
    assert!(
        (run.central - 1190.0).abs() < 1.5
            && (run.low - 661.0).abs() < 1.0
            && (run.high - 1984.0).abs() < 1.5
    );
}
