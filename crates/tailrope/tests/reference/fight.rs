//! The fight against closed forms, and against two result grids of an independent array implementation.

use std::collections::BTreeMap;
use tailrope::facts::{Band, PackText};
use tailrope::fight::*;
use tailrope::quantity::{Force, Length, Mass, RHO_SEA_KG_M3, Span};

const SHIPPED: &str = include_str!("../../../../data/fight.toml");
const FIXTURE: &str = include_str!("fixtures/fight.toml");

struct Reference(toml::Table);

impl Reference {
    fn new() -> Self {
        Self(FIXTURE.parse().unwrap())
    }
    fn row(&self, table: &str, id: &str) -> &toml::Table {
        self.0[table]
            .as_array()
            .unwrap()
            .iter()
            .map(|r| r.as_table().unwrap())
            .find(|r| r["id"].as_str() == Some(id))
            .unwrap()
    }
}

fn num(v: &toml::Value) -> f64 {
    v.as_float().or(v.as_integer().map(|i| i as f64)).unwrap()
}

fn pack() -> Pack {
    Pack::read(&PackText::new("fight.toml", SHIPPED)).unwrap()
}

/// The set-up of a cell: parts as drawn, or with nothing to break and nobody to move.
fn setup(r: &Reference, fish: &str, outfit: &str, bait_m: f64, drag_lbf: f64, limits: bool) -> Setup {
    let f = r.row("fish", fish);
    let o = r.row("outfit", outfit);
    let mm = |key: &str| Length::of_mm(num(&o[key]));
    let strength = |s| if limits { s } else { Strength::Unbreakable };
    Setup {
        fish: Fish {
            length: Band::exact(Length::of_m(num(&f["length_m"]))),
            mass: Mass::of_kg(num(&f["mass_kg"])),
            mass_exponent: 3.0,
            mass_factor: num(&f["mass_factor"]),
            behaviour: pack().behaviour(f["species"].as_str().unwrap()),
        },
        outfit: Outfit {
            radius: mm("R_mm"),
            arbor: mm("r0_mm"),
            width: mm("w_mm"),
            line: vec![LinePiece {
                name: "line".into(),
                length: None,
                diameter: mm("line_d_mm"),
                packing: core::f64::consts::FRAC_PI_4,
                skin_factor: 1.0,
                strength: strength(Strength::Label {
                    label: Force::of_n(num(&o["line_strength_N"])),
                    wet: true,
                }),
            }],
            max_drag: Force::of_lbf(num(&o["max_drag_lbf"])),
            drag: Force::of_lbf(drag_lbf),
            strike_share: None,
            start_up: 1.0,
            guide: None,
            gear_high: num(&o["gear_high"]),
            gear_low: num(&o["gear_low"]),
            card: Vec::new(),
        },
        ends: vec![EndPart {
            name: "end".into(),
            strength: strength(Strength::Usual),
            trailing: Length::of_m(4.0),
        }],
        bait: Length::of_m(bait_m),
        people: People {
            angler: Angler { power_factor: 1.0, hold: (!limits).then(|| Band::exact(Force::of_n(1e6))) },
            relief: None,
            // The reference eases the lever at once.
            lever_delay: Span::ZERO,
            crew_hold: None,
            landing_factor: 1.0,
        },
        limits: Limits {
            fight: Span::of_min(120.0),
            no_gain: Span::of_min(10.0),
            end: Span::of_min(120.0),
            cut_at_once: true,
            drag_cap: Force::ZERO,
        },
        at_hand: AtHand { always_cut: false, unhook_within: Span::of_h(1.0) },
        step: Setup::STEP,
        only: None,
    }
}

/// A stepper case: every parameter at its middle but those given, nothing that breaks, one mode throughout.
fn case(r: &Reference, inputs: &toml::Table, extra: &[(&str, f64)]) -> Fights {
    let mut p = pack().at_mid();
    let over = inputs.get("over").and_then(|o| o.as_table());
    let given: Vec<(String, f64)> = over
        .into_iter()
        .flatten()
        .map(|(k, v)| (k.clone(), num(v)))
        .chain(extra.iter().map(|(k, v)| ((*k).to_owned(), *v)))
        .collect();
    for (key, value) in given {
        p = p.fixed(Par::of_key(&key).unwrap(), value).unwrap();
    }
    let text = |k: &str| inputs[k].as_str().unwrap();
    let mut s =
        setup(r, text("fish"), text("outfit"), num(&inputs["bait_m"]), num(&inputs["drag_lbf"]), false);
    s.fish.mass_factor = 1.0;
    s.only = Some(if text("force") == "run" { Mode::Run } else { Mode::Hold });
    if let Some(minutes) = inputs.get("limit_min") {
        s.limits.fight = Span::of_min(num(minutes));
        s.limits.end = s.limits.fight;
    }
    Fights::new(&p, s, 1).unwrap()
}

fn outcome(e: Ended) -> f64 {
    match e {
        Ended::Unhooked | Ended::CutAtFish => 1.0,
        Ended::Spooled => 2.0,
        Ended::Parted { .. } => 3.0,
        Ended::HookPulled => 4.0,
        Ended::CutAtRod => 6.0,
    }
}

/// What our functions give for a check case, and how far it may lie from the expected value, relative.
#[allow(clippy::too_many_lines)] // one line a case
fn answer(r: &Reference, id: &str, what: &str, inputs: Option<&toml::Table>) -> (f64, f64) {
    const FOUR_DIGITS: f64 = 5e-4;
    let tell = |extra: &[(&str, f64)], stop_s: f64| {
        case(r, inputs.unwrap(), extra).story_until(0, Span::of_s(1.0), Span::of_s(stop_s))
    };
    let hold_1 = || {
        let list = r.0["check"].as_array().unwrap();
        list.iter().find(|c| c["id"].as_str() == Some("HOLD-1")).unwrap()["inputs"].as_table().unwrap()
    };
    let run = Running { pull: 150.0, drag: 12.0, ceiling: 1e9, power: 812.0, k_disc: 287.0 };
    let value = match id {
        "DISC-1" => slip_speed(200.0, 2.0, 287.0),
        "DISC-2" => static_thrust(812.0, 287.0),
        "DISC-3" => thrust_power(150.0, 0.0, 287.0),
        // Expected is a rounded figure (31 N at 2 m/s); the reference itself is 0.35 % off it.
        "BODY-1" => return (swim_drag(100.0, 2.0, 2.0, RHO_SEA_KG_M3), 5e-3),
        "RUN-1" => {
            let v = run.speed(9.0).unwrap();
            thrust_power(150.0 + 12.0 * v * v, v, 287.0)
        }
        "RUN-2" => Running { ceiling: 300.0, power: 1e9, ..run }.speed(9.0).unwrap(),
        "RUN-3" => Running { ceiling: 149.0, ..run }.speed(9.0).unwrap_or(0.0),
        "CAP-50W" | "CAP-80W" | "CAP-130" => {
            // A fish that nothing stops takes all the line; what is out then is what was on.
            let list = r.0["check"].as_array().unwrap();
            let empty = list.iter().find(|c| c["id"].as_str() == Some("EMPTY-1")).unwrap();
            let mut inputs = empty["inputs"].as_table().unwrap().clone();
            inputs.insert("outfit".into(), id.trim_start_matches("CAP-").into());
            case(r, &inputs, &[]).one(0).line_out_m
        }
        "POWER-4" | "POWER-30" | "POWER-120" => {
            0.5 * human_power(0.35, 0.09, id.trim_start_matches("POWER-").parse().unwrap())
        }
        "TOW-1" => {
            let v = tow_speed(90.0, 60.0, 50.0);
            90.0 * v * v * v + 60.0 * v
        }
        "REFILL-1" => {
            let mut deficit = 20_000.0;
            for _ in 0..3600 {
                deficit -= 0.5 * refill_power(11.0, deficit, 480.0, 0.5);
            }
            deficit
        }
        "SWEEP-1" => sweep_drag(RHO_SEA_KG_M3, 1.070, 1.0, 250.0 * 0.9e-3) * 2.0 * 2.0,
        "HAND-1" | "CRANK-1" | "WALL-1" | "GEAR-1" if what.contains("outcome") => {
            outcome(tell(&[], 1e9).ending.ended)
        }
        // The closed form is of the winding alone: the hand at the leader holds whatever comes.
        "HAND-1" | "CRANK-1" | "WALL-1" | "GEAR-1" => tell(&[("crew_hold_N", 1e12)], 1e9).ending.minutes,
        "RUN-4" if what.starts_with("body") => return (tell(&[], 100.0).account.body_j, 1e-3),
        "RUN-4" => return (tell(&[], 100.0).account.line_j, 1e-3),
        "EMPTY-1" if what.contains("outcome") => outcome(tell(&[], 1e9).ending.ended),
        "EMPTY-1" if what.contains("line out") => tell(&[], 1e9).ending.line_out_m,
        "EMPTY-1" => tell(&[], 1e9).ending.minutes,
        "HOLD-1" => {
            let a = tell(&[], 1e9).account;
            a.stores_j + a.aerobic_j
        }
        "CUT-1" => {
            let e = case(r, hold_1(), &[]).one(0);
            if what.contains("outcome") { outcome(e.ended) } else { e.minutes }
        }
        "HOOK-1" => {
            let f = case(r, hold_1(), &[("hook_base_min", 2e-6), ("hook_tension_min", 1.5e-6)]);
            f.story(0, Span::of_s(60.0)).account.hook_hazard
        }
        "MC-1" => {
            let s = setup(r, "bull_2.6", "80W", 300.0, 60.0, false);
            Fights::new(&pack(), s, 1).unwrap().run(100, no_death).outcomes.parted.p
        }
        "MC-2" | "MC-3" => {
            let f = Fights::new(&pack(), setup(r, "bull_2.2", "80W", 300.0, 25.0, true), 1).unwrap();
            let gap = (0..40)
                .map(|i| {
                    let a = f.story(i, Span::of_s(60.0)).account;
                    let (paid, done) = if id == "MC-2" {
                        (a.stores_j + a.aerobic_j, a.line_j + a.body_j + a.slip_j)
                    } else {
                        (a.angler_j, a.tow_j + a.skin_j + a.against_j)
                    };
                    (paid - done).abs() / done.max(1.0)
                })
                .fold(0.0, f64::max);
            f64::from(u8::from(gap < 1e-3))
        }
        "MC-4" => {
            let spooled = |lbf| {
                let s = setup(r, "tiger_3.0", "50W", 300.0, lbf, false);
                Fights::new(&pack(), s, 1).unwrap().run(200, no_death).outcomes.spooled.p
            };
            f64::from(u8::from(spooled(15.0) > 0.2 && spooled(25.0) <= spooled(15.0)))
        }
        "MC-5" => {
            let f = || Fights::new(&pack(), setup(r, "bull_2.2", "80W", 300.0, 25.0, true), 1).unwrap();
            f64::from(u8::from(f().chunk(0..40) == f().chunk(0..40)))
        }
        "MC-6" => {
            let f = Fights::new(&pack(), setup(r, "tiger_3.8", "130", 150.0, 5.0, false), 1).unwrap();
            f.chunk(0..40).endings.iter().filter(|e| e.minutes > 120.001).count() as f64
        }
        other => panic!("no answer to {other}"),
    };
    (value, FOUR_DIGITS)
}

fn no_death(_: &Ending) -> Band<f64> {
    Band::exact(0.0)
}

#[test]
fn all_36_check_cases() {
    let r = Reference::new();
    let mut wrong = Vec::new();
    let list = r.0["check"].as_array().unwrap();
    assert_eq!(list.len(), 36);
    for c in list {
        let (id, what) = (c["id"].as_str().unwrap(), c["what"].as_str().unwrap());
        let inputs = c.get("inputs").and_then(|i| i.as_table());
        let (got, tolerance) = answer(&r, id, what, inputs);
        let expected = num(&c["expected"]);
        let off = if expected == 0.0 { got.abs() } else { (got / expected - 1.0).abs() };
        if off.is_nan() || off > tolerance {
            wrong.push(format!("{id} {what}: expected {expected}, got {got}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// How our fights lie against one cell of a grid.
struct Against {
    key: String,
    /// Largest distance of a chance, in standard errors of both sides.
    worst_z: f64,
    /// ln(ours/theirs) of minutes and line out at 10, 50, 90 %, peak tension at 50 %; and how many of theirs
    /// were landed.
    minutes: Option<[f64; 3]>,
    landed: f64,
    line: [f64; 3],
    peak: f64,
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // an index within the list
fn quantiles(mut x: Vec<f64>) -> [f64; 3] {
    x.sort_by(f64::total_cmp);
    [0.1, 0.5, 0.9].map(|p| {
        let at = p * (x.len() - 1) as f64;
        let k = at as usize;
        x[k] + (x[(k + 1).min(x.len() - 1)] - x[k]) * (at - k as f64)
    })
}

fn against(r: &Reference, pack: &Pack, row: &toml::Value, n: u64, limits: bool) -> Against {
    let list = |v: &toml::Value| v.as_array().unwrap().iter().map(num).collect::<Vec<f64>>();
    let (fish, outfit) = (row[0].as_str().unwrap(), row[1].as_str().unwrap());
    let (bait, drag) = (num(&row[2]), num(&row[3]));
    let s = setup(r, fish, outfit, bait, drag, limits);
    let part = Fights::new(pack, s, 1).unwrap().chunk(0..n);
    let e = &part.endings;
    let share = |is: &dyn Fn(&Ending) -> bool| e.iter().filter(|x| is(x)).count() as f64 / n as f64;
    let ours = [
        share(&|x| x.ended.to_hand()),
        share(&|x| x.ended == Ended::Spooled),
        share(&|x| matches!(x.ended, Ended::Parted { .. })),
        share(&|x| x.ended == Ended::HookPulled),
        share(&|x| x.ended == Ended::CutAtRod),
    ];
    let theirs = list(&row[6]);
    let n = n as f64;
    let worst_z = ours
        .iter()
        .zip(&theirs)
        .map(|(a, b)| {
            let p = (a * n + b * 200.0 + 0.5) / (n + 201.0);
            // Ours come in pairs that share unknowns, so they count for somewhat fewer.
            (a - b).abs() / (p * (1.0 - p) * (1.0 / 200.0 + 1.3 / n)).sqrt()
        })
        .fold(0.0, f64::max);
    let ln = |ours: [f64; 3], theirs: &[f64]| [0, 1, 2].map(|k| tailrope::math::ln(ours[k] / theirs[k]));
    let minutes = list(&row[4]);
    let landed: Vec<f64> = e.iter().filter(|x| x.ended.to_hand()).map(|x| x.minutes).collect();
    Against {
        key: format!("{fish}, {outfit}, {bait} m, {drag} lbf"),
        worst_z,
        minutes: (minutes.len() == 3 && landed.len() >= 20).then(|| ln(quantiles(landed), &minutes)),
        landed: theirs[0] * 200.0,
        line: ln(quantiles(e.iter().map(|x| x.line_out_m).collect()), &list(&row[5])),
        peak: ln(quantiles(e.iter().map(|x| x.peak_n).collect()), &list(&row[9]))[1],
    }
}

/// Compares every `step`-th cell and refuses what is beyond sampling error.
fn compare(grid: &str, kind: &str, pack: &Pack, first: usize, step: usize, n: u64) {
    let r = Reference::new();
    let rows = r.0[grid][kind].as_array().unwrap();
    let cells: Vec<Against> = rows
        .iter()
        .skip(first)
        .step_by(step)
        .map(|row| against(&r, pack, row, n, kind == "as_drawn"))
        .collect();
    let mut wrong = Vec::new();
    for c in &cells {
        if c.worst_z > 4.0 {
            wrong.push(format!("{}: a chance is {:.1} standard errors off", c.key, c.worst_z));
        }
        if let Some(m) = c.minutes {
            // Error of a middle about 1.25 sd/sqrt(n), of an outer tenth about 1.7; sd of ln minutes 0.35,
            // for rays 0.9 (two-humped).
            let sd = if c.key.starts_with("roughtail") { 0.9 } else { 0.35 };
            let se = sd / c.landed.min(200.0).sqrt();
            if m[1].abs() > 0.06 + 4.0 * 1.25 * se || m[0].abs().max(m[2].abs()) > 0.08 + 4.0 * 1.9 * se {
                wrong.push(format!("{}: ln ratio of minutes {m:.3?} ({:.0} landed)", c.key, c.landed));
            }
        }
        if c.line[1].abs() > 0.16 || c.peak.abs() > 0.12 {
            wrong.push(format!("{}: line {:.3?}, peak {:.3}", c.key, c.line, c.peak));
        }
    }
    let mean = |x: Vec<f64>| x.iter().sum::<f64>() / x.len() as f64;
    let z2 = mean(cells.iter().map(|c| c.worst_z * c.worst_z).collect());
    let middle = mean(cells.iter().filter_map(|c| c.minutes.map(|m| m[1])).collect());
    let line = mean(cells.iter().map(|c| c.line[1]).collect());
    println!(
        "{grid}.{kind}: {} cells, rms worst z {:.2}, ln minutes {middle:+.3}, ln line {line:+.3}",
        cells.len(),
        z2.sqrt()
    );
    // Among some hundred cells one in a hundred may lie beyond its bound by chance; in a small sample none.
    assert!(wrong.len() * 100 <= cells.len(), "{} of {}: {wrong:#?}", wrong.len(), cells.len());
    // No drift over all cells: our guides also load the handle, which theirs do not, hence a little longer.
    assert!(middle.abs() < 0.06 && line.abs() < 0.03, "drift {middle} {line}");
    assert!(z2.sqrt() < 2.0, "spread {}", z2.sqrt());
}

#[test]
fn answers_agree_with_the_grid_without_sweep() {
    compare("result_no_sweep", "as_drawn", &pack(), 0, 8, 400);
}

#[test]
fn fights_without_limits_agree_with_the_grid() {
    compare("result_no_sweep", "no_limits", &pack(), 3, 12, 400);
}

#[test]
#[ignore = "every cell: two minutes"]
fn every_cell_of_the_grids_without_sweep() {
    compare("result_no_sweep", "as_drawn", &pack(), 0, 1, 400);
    compare("result_no_sweep", "no_limits", &pack(), 0, 1, 400);
}

#[test]
fn the_drawn_sweep_reproduces_the_older_grid() {
    let r = Reference::new();
    let pack = pack().as_drawn();
    let rows = r.0["result"]["as_drawn"].as_array().unwrap();
    let (mut off, mut cells) = (0, 0);
    for row in rows.iter().step_by(16) {
        let c = against(&r, &pack, row, 300, true);
        cells += 1;
        // How the reference let the swept load act at the hook is not written down; one in ten may be out.
        off += usize::from(c.worst_z > 4.0 || c.minutes.is_some_and(|m| m[1].abs() > 0.3));
    }
    assert!(off * 10 <= cells, "{off} of {cells}");
}

#[test]
fn middle_fights_lie_within_a_factor_of_two_of_the_reference_events() {
    let r = Reference::new();
    let mut out = BTreeMap::new();
    for e in r.0["reference_event"].as_array().unwrap() {
        let fish = e["fish"].as_str().unwrap();
        let s = setup(&r, fish, e["outfit"].as_str().unwrap(), num(&e["bait_m"]), num(&e["drag_lbf"]), true);
        let f = Fights::new(&pack(), s, 1).unwrap().run(200, no_death);
        let ratio = f.minutes.unwrap().p50 / num(&e["target_min"]);
        if !(0.5..=2.0).contains(&ratio) {
            out.insert(fish.to_owned(), ratio);
        }
    }
    assert!(out.is_empty(), "{out:?}");
}

#[test]
fn a_longer_step_gives_the_same_tables() {
    let r = Reference::new();
    let run = |step: f64| {
        let mut s = setup(&r, "bull_2.2", "80W", 300.0, 25.0, true);
        s.step = Span::of_s(step);
        Fights::new(&pack(), s, 1).unwrap().run(1000, no_death)
    };
    let (half, one) = (run(0.5), run(1.0));
    let (a, b) = (half.minutes.unwrap(), one.minutes.unwrap());
    assert!((a.p50 / b.p50 - 1.0).abs() < 0.05, "{a:?} {b:?}");
    assert!((half.outcomes.to_hand.p - one.outcomes.to_hand.p).abs() < 4.0 * half.outcomes.to_hand.error);
}
