//! Footing, rod, power and cranking against the rows of `fixtures/tackle_checks_people.toml`, each through a
//! public function, to 4 significant digits.

use std::collections::BTreeMap;
use tailrope::facts::{Band, PackText};
use tailrope::people::footing::{footing, resolve};
use tailrope::people::hands::{joint_pull, timing_loss};
use tailrope::people::power::{Crank, Endurance, RodLever, line_power};
use tailrope::people::rod::{Lowering, lowering, rod_at, rod_tip};
use tailrope::people::statics::{unsupported_lean, wash_load, weight_on_feet};
use tailrope::people::{AnglerStand, FootingPack, HarnessHand, RodTip, Stance, Stand, Wash};
use tailrope::quantity::{Angle, Density, Force, Length, Mass, Power, RHO_SEA_KG_M3, Span, Speed, Torque};
use tailrope::tackle::guides::spool_winding_in;

const ROWS: &str = include_str!("fixtures/tackle_checks_people.toml");

#[derive(serde::Deserialize)]
struct Row {
    id: String,
    #[allow(dead_code)]
    formula: String,
    inputs: BTreeMap<String, f64>,
    outputs: BTreeMap<String, f64>,
}

#[derive(serde::Deserialize)]
struct Rows {
    check: Vec<Row>,
    check_more: Vec<Row>,
}

fn pack() -> FootingPack {
    let text = include_str!("../../../../data/footing.toml");
    FootingPack::read(PackText::new("footing.toml", text)).unwrap()
}

/// The computed outputs of one row, under the row's own keys.
#[allow(clippy::too_many_lines)] // one arm a kind of row
fn compute(row: &Row, inputs: &BTreeMap<String, f64>) -> BTreeMap<&'static str, f64> {
    let has = |k: &str| inputs.contains_key(k);
    let i = |k: &str| *inputs.get(k).unwrap_or_else(|| panic!("{} has no input {k}", row.id));
    let or = |k: &str, d: f64| inputs.get(k).copied().unwrap_or(d);
    let m = |k: &str| Length::of_m(i(k));
    let alpha = || Angle::of_deg(i("alpha_deg"));
    let displaced =
        || if has("immersed_m3") { Mass::of_kg(i("immersed_m3") * RHO_SEA_KG_M3) } else { Mass::ZERO };
    let wash = || {
        if !has("u") {
            return Force::ZERO;
        }
        let rho = Density::of_kg_m3(or("rho", RHO_SEA_KG_M3));
        wash_load(rho, i("Cd"), m("width_m"), m("depth_m"), Speed::of_mps(i("u")))
    };
    let hands = || {
        let n = or("n", 1.0);
        let each = Force::of_n(or("P_each_N", or("P_N", 0.0)));
        each * n * (1.0 - or("loss", 0.0))
    };
    // Every footing row is one stand with what it names, and neutral values for what it leaves out.
    let stand = || Stand {
        weight: weight_on_feet(Mass::of_kg(i("m_kg")), displaced()),
        lean: Length::of_m(or("b_m", 0.0)),
        friction: or("mu", 0.0),
        tip: RodTip { up: Length::of_m(or("h_m", 1.0)), ahead: Length::of_m(or("x_m", 1.0)) },
        line_angle: alpha(),
        slope: Angle::of_deg(or("beta_deg", 0.0)),
        wash: wash(),
        wash_height: Length::of_m(or("depth_m", 0.0) / 2.0),
        hands: hands(),
        hands_height: Length::of_m(or("zh_m", 0.0)),
    };
    let crank = || Crank { radius: m("r_m"), gear: i("G"), handle: m("handle_m"), efficiency: i("eta") };
    let mut out = BTreeMap::new();
    match row.id.as_str() {
        "ANG-5" => {
            let drag = Force::of_n(i("T_N"));
            out.insert("b_m", stand().lean_needed(drag).m());
        }
        id if id.starts_with("ANG-") || id.starts_with("FOOT-") && id != "FOOT-7" => {
            let s = stand();
            let (tip, slip) = (s.tip_limit().unwrap(), s.slip_limit().unwrap());
            out.insert("T_tip_N", tip.n());
            out.insert("T_slip_N", slip.n());
            out.insert("lbf", if id == "ANG-1" { slip.lbf() } else { tip.lbf() });
            out.insert("N_N", s.weight.n());
            out.insert("B_N", (weight_on_feet(Mass::of_kg(i("m_kg")), Mass::ZERO) - s.weight).n());
            out.insert("Fw_N", s.wash.n());
            out.insert("P_N", s.hands.n());
            let without = Stand { hands: Force::ZERO, ..s }.tip_limit().unwrap();
            out.insert("tip_gain_per_N", (tip - without) / s.hands.max(Force::of_n(1e-9)));
        }
        "FOOT-7" => {
            out.insert("unsupported_m", unsupported_lean(m("b_m"), m("s_m")).m());
        }
        "WASH-1" => {
            let f = wash();
            out.insert("F_N", f.n());
            out.insert("F_lbf", f.lbf());
        }
        "ROD-1" | "ROD-2" => {
            let rod = RodLever { line_arm: m("p_m"), strap_arm: m("a_m") };
            let line = Force::of_n(i("T_N"));
            out.insert("H_N", rod.strap(line).n());
            out.insert("M_Nm", rod.moment(line).nm());
            if has("alpha_deg") {
                let (x, z, size) = rod.pin_reaction(line, alpha());
                out.insert("R_x_N", x.n());
                out.insert("R_z_N", z.n());
                out.insert("R_N", size.n());
            }
        }
        "ROD-3" => {
            let pull = |arm| {
                RodLever { line_arm: m(arm), strap_arm: Length::of_m(0.5) }
                    .pull_of(Torque::of_nm(i("M_Nm")))
                    .n()
            };
            out.insert("T_short_N", pull("p_short_m"));
            out.insert("T_long_N", pull("p_long_m"));
        }
        id if id.starts_with("HUM-") => {
            let by_row = Endurance { a: Power::of_hp(i("A")), b: Power::of_hp(i("B")) };
            let by_age = Endurance::of_age(i("age"));
            if inputs == &row.inputs {
                assert!(
                    (by_row.a.w() - by_age.a.w()).abs() < 1e-9 && (by_row.b.w() - by_age.b.w()).abs() < 1e-9
                );
            }
            out.insert("P_W", by_row.power(Span::of_min(i("t_min"))).w());
        }
        "CRANK-3" => {
            let at = |radius| Crank { radius, gear: i("G"), handle: Length::of_m(0.1), efficiency: 1.0 };
            out.insert("ipc_full_m", at(m("R_m")).line_per_turn().m());
            out.insert("ipc_at_r_m", at(m("r_m")).line_per_turn().m());
        }
        id if id.starts_with("CRANK-") => {
            let spool = if has("T_tip_N") {
                spool_winding_in(Force::of_n(i("T_tip_N")), i("mu"), Angle::of_deg(i("theta_deg")))
            } else {
                Force::of_n(i("T_N"))
            };
            let speed = crank().line_speed(or("crank_rpm", 0.0) / 60.0);
            out.insert("T_spool_N", spool.n());
            out.insert("F_handle_N", crank().handle_force(spool).n());
            out.insert("v_m_s", speed.mps());
            out.insert("P_out_W", line_power(spool, speed).w());
            out.insert("P_in_W", crank().power_in(spool, speed).w());
        }
        id => panic!("no computation for {id}"),
    }
    out
}

fn rows() -> Vec<Row> {
    let rows: Rows = toml::from_str(ROWS).unwrap();
    rows.check.into_iter().chain(rows.check_more).collect()
}

#[test]
fn every_row_to_four_digits() {
    let rows = rows();
    assert_eq!(rows.len(), 24);
    for row in &rows {
        let got = compute(row, &row.inputs);
        for (key, want) in &row.outputs {
            let got = got.get(key.as_str()).unwrap_or_else(|| panic!("{} gives no {key}", row.id));
            assert!((got - want).abs() <= 5e-4 * want.abs(), "{} {key}: {got}, want {want}", row.id);
        }
    }
}

/// A formula that ignores an input would pass its row by luck: each input, moved by a tenth, must move an output.
#[test]
fn every_input_moves_an_output() {
    // Age only names the row's A and B; `compute` checks that they are the ones of that age.
    let idle = |key: &str| key == "age";
    for row in rows() {
        let base = compute(&row, &row.inputs);
        for key in row.inputs.keys().filter(|k| !idle(k)) {
            let mut moved = row.inputs.clone();
            let value = moved.get_mut(key).unwrap();
            *value = if *value == 0.0 { 1.0 } else { *value * 1.1 };
            if row.id == "FOOT-3" && key != "u" {
                continue; // stays at 0: the water alone wins
            }
            let changed = compute(&row, &moved);
            assert!(
                row.outputs.keys().any(|k| changed[k.as_str()] != base[k.as_str()]),
                "{} does not feel {key}",
                row.id
            );
        }
    }
}

fn angler(lean: f64, up: f64, ahead: f64) -> AnglerStand {
    AnglerStand {
        stance: Stance::Lean,
        lean: Some(Length::of_m(lean)),
        tip: Some(RodTip { up: Length::of_m(up), ahead: Length::of_m(ahead) }),
        line_angle: Some(Angle::of_deg(10.0)),
        ..AnglerStand::new(Mass::of_kg(85.0))
    }
}

fn near(got: Force, want: f64) {
    assert!((got.n() - want).abs() <= 5e-4 * want, "{} want {want}", got.n());
}

/// The same rows through the whole question, with hands, wash and heel step from the pack.
#[test]
fn the_whole_answer_agrees_with_the_rows() {
    let pack = pack();
    let ask = |a: &AnglerStand, hands: &[HarnessHand]| footing(&pack, a, hands).unwrap().planned;
    let ang2 = angler(0.35, 1.6, 1.3);
    near(ask(&ang2, &[]).alone.limits.tip.unwrap(), 162.0);
    near(ask(&angler(0.6, 1.4, 1.2), &[]).alone.limits.tip.unwrap(), 315.1);
    let foot1 = AnglerStand { friction: Some(Band::exact(0.6)), slope: Angle::of_deg(6.0), ..ang2 };
    near(ask(&foot1, &[]).alone.limits.slip.unwrap(), 429.3);
    let foot2 = AnglerStand {
        friction: Some(Band::exact(0.2)),
        wash: Some(Wash { depth: Length::of_m(0.5), flow: Speed::of_mps(1.0) }),
        ..ang2
    };
    // The row's own 0.2 gives 72.34 (above). In moving wash the sand may be scoured to the low end of its band, whatever
    // was measured elsewhere: then the water alone is too much.
    assert_eq!(ask(&foot2, &[]).alone.limits.slip.unwrap(), Force::ZERO);
    near(ask(&foot2, &[]).alone.limits.tip.unwrap(), 130.8);
    // A hand's default pull is 150 N, less than it can stand for at friction 0.6: FOOT-4, FOOT-5.
    let firm = AnglerStand { friction: Some(Band::exact(0.6)), ..ang2 };
    let hand = HarnessHand::drilled(Mass::of_kg(80.0));
    let one = ask(&firm, &[hand]).with_hands.unwrap();
    near(one.limits.tip.unwrap(), 245.2);
    near(one.limits.slip.unwrap(), 738.3);
    let two = ask(&firm, &[hand, hand]);
    near(two.hands_pull, 273.5);
    near(two.with_hands.unwrap().limits.tip.unwrap(), 313.8);
    let seat = AnglerStand { stance: Stance::Sitting, ..angler(0.75, 1.0, 1.2) };
    near(ask(&seat, &[]).alone.limits.tip.unwrap(), 524.0);
    // The one the fight uses holds the same numbers.
    near(resolve(&pack, &firm, &[hand]).unwrap().limits().tip.unwrap(), 245.2);
}

#[test]
fn timing_loss_runs_through_the_published_pair() {
    let pack = pack();
    assert_eq!((timing_loss(&pack, 1), timing_loss(&pack, 2), timing_loss(&pack, 8)), (0.0, 0.0882, 0.1974));
    near(joint_pull(&pack, &[Force::of_n(150.0); 2]).0, 273.5);
    // A feeble third hand would cost more in timing than it adds, so it is left out.
    let (pull, used) = joint_pull(&pack, &[Force::of_n(150.0), Force::of_n(1.0), Force::of_n(150.0)]);
    near(pull, 273.5);
    assert_eq!(used, 2);
}

/// Pulled in, still clipped: 70 kg at 0.35 m of lean bear 133 N; half of it at strike is 15 lbf, of 85 kg 18.
#[test]
fn a_light_angler_is_pulled_over_at_thirty_pounds() {
    let pack = pack();
    let of = |kg, lean| {
        let a = AnglerStand { stance: Stance::Upright, ..angler(lean, 1.6, 1.3) };
        footing(&pack, &AnglerStand { mass: Mass::of_kg(kg), ..a }, &[])
            .unwrap()
            .planned
            .alone
            .limits
            .tip
            .unwrap()
    };
    near(of(70.0, 0.35), 133.4);
    let lbf = |f: Force, share: f64| (f * share).lbf().round();
    assert_eq!((lbf(of(70.0, 0.35), 0.5), lbf(of(70.0, 0.35), 0.8)), (15.0, 24.0));
    assert_eq!((lbf(of(85.0, 0.35), 0.5), lbf(of(85.0, 0.35), 0.8)), (18.0, 29.0));
    assert_eq!(lbf(of(70.0, 0.30), 0.5), 13.0);
}

/// Two hours on a surf rod: 150 N m over an arm of 2.6 m are 58 N (13 lbf), over 1.1 m 136 N (31 lbf).
#[test]
fn a_long_rod_is_no_remedy() {
    let pack = pack();
    let stand = AnglerStand { line_angle: Some(Angle::of_deg(30.0)), ..AnglerStand::new(Mass::of_kg(95.0)) };
    let back = |rod| {
        let tip = rod_tip(&pack, &stand, Length::of_m(rod), Angle::of_deg(60.0)).unwrap();
        footing(&pack, &AnglerStand { tip: Some(tip), ..stand }, &[])
            .unwrap()
            .planned
            .alone
            .limits
            .back
            .unwrap()
    };
    near(back(2.6), 57.69);
    near(back(1.1), 136.4);
    assert_eq!((back(2.6).lbf().round(), back(1.1).lbf().round()), (13.0, 31.0));
}

/// Why not stand high and hold: 162 N with a high tip, 315 N deep and low; but close under a high rod lowering is worse.
#[test]
fn lower_helps_only_within_a_right_angle() {
    let pack = pack();
    let tip = |a: &AnglerStand| footing(&pack, a, &[]).unwrap().planned.alone.limits.tip.unwrap();
    near(tip(&angler(0.35, 1.6, 1.3)), 162.0);
    near(tip(&angler(0.6, 1.4, 1.2)), 315.1);
    assert_eq!(tip(&angler(0.6, 1.4, 1.2)).lbf().round(), 71.0);
    let deg = Angle::of_deg;
    assert_eq!(lowering(deg(80.0), deg(10.0)), Lowering::Helps);
    assert!(matches!(lowering(deg(80.0), deg(60.0)), Lowering::NeverHelps { .. }));
    let close = AnglerStand { line_angle: Some(deg(60.0)), ..AnglerStand::new(Mass::of_kg(85.0)) };
    let at = |e| rod_at(&pack, &close, &[], Length::of_m(1.7), deg(e)).unwrap().limit;
    assert!(at(30.0) < at(80.0) && at(0.0) < at(80.0));
}

/// Shares of static endurance as published: 7.9 % of the greatest effort held for an hour, 14 % with rests; and what the
/// textbook curve says of 15 %, which is not in the model, is met by its held line within a minute.
#[test]
fn minutes_fade_as_the_studies_say() {
    let fade = pack().fade;
    let at = |min| fade.kept(Span::of_min(min)).map(|kept| kept * 0.50);
    assert!((at(60.0).low - 0.079).abs() < 1e-12 && (at(60.0).central - 0.14).abs() < 1e-12);
    assert!(at(15.5).low < 0.15 && at(13.5).low > 0.15, "{:?}", at(15.0));
}
