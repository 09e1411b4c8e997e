//! Worked cases of tackle and force that belong to line, spool, guides, joints, hooks and the load path.
//!
//! Every row of the fixture must be computed here, and every output of a row compared: an unknown row or an
//! output nobody computed fails the test.

use std::collections::BTreeMap;
use tailrope::facts::{Known, PackText};
use tailrope::quantity::{Angle, Force, Length, Mass, Speed};
use tailrope::tackle::drag::drag_heat;
use tailrope::tackle::guides::{
    mu_of_efficiency, reel_of_tip_reading, spool_winding_in, tip_running_out, tip_won_against, wrap_factor,
    wrap_product,
};
use tailrope::tackle::hook::{straightening, wire_exponent};
use tailrope::tackle::material::stress;
use tailrope::tackle::{
    Hook, Joint, JointKind, LinePiece, LineRole, LoadPath, LoadedSpool, Material, Outfit, PathAsk, Rig,
    Section, SectionRole, Spool, Tables, Wear, Wound,
};
use toml::{Table, Value};

const FIXTURE: &str = include_str!("fixtures/tackle_checks_tackle.toml");
const PACK: &str = include_str!("../../../../data/tackle.toml");
/// Four significant digits, as the fixture says of itself.
const TOLERANCE: f64 = 5e-4;

struct Row<'a> {
    id: &'a str,
    table: &'a Table,
}

impl Row<'_> {
    fn value(&self, name: &str) -> &Value {
        self.table["inputs"].get(name).unwrap_or_else(|| panic!("{}: no input {name}", self.id))
    }
    fn number(&self, name: &str) -> f64 {
        number(self.value(name))
    }
    fn m(&self, name: &str) -> Length {
        Length::of_m(self.number(name))
    }
    fn mm(&self, name: &str) -> Length {
        Length::of_mm(self.number(name))
    }
    fn n(&self, name: &str) -> Force {
        Force::of_n(self.number(name))
    }
    fn lbf(&self, name: &str) -> Force {
        Force::of_lbf(self.number(name))
    }
    fn kgf(&self, name: &str) -> Force {
        Force::of_kgf(self.number(name))
    }
    fn theta(&self) -> Angle {
        Angle::of_deg(self.number("theta_deg"))
    }
    /// Factors of a text like `200*1.0*0.90*0.90`.
    fn factors(&self, name: &str) -> Vec<f64> {
        self.value(name).as_str().unwrap().split('*').map(|f| f.parse().unwrap()).collect()
    }
    /// A spool filled to the rim with the row's line; an arbor where the row gives none.
    fn full_spool(&self) -> LoadedSpool {
        let arbor =
            if self.table["inputs"].get("r0_m").is_some() { self.m("r0_m") } else { self.m("R_m") * 0.3 };
        let spool = Spool::new(self.m("R_m"), arbor, self.m("w_m")).unwrap();
        let (d, phi) = (self.m("d_m"), self.number("phi"));
        LoadedSpool::wind(spool, vec![Wound::new("line", spool.capacity(d, phi), d, phi)]).unwrap()
    }
}

fn number(v: &Value) -> f64 {
    v.as_float().or_else(|| v.as_integer().map(|i| i as f64)).expect("a number")
}

fn tables() -> Tables {
    Tables::read(&PackText::new("tackle.toml", PACK)).unwrap()
}

type Out = BTreeMap<&'static str, f64>;

fn path(row: &Row<'_>) -> Out {
    let mut outfit = Outfit::named(row.id);
    let spool = Spool::new(row.m("R_m"), row.m("R_m") / 3.0, row.m("w_m")).unwrap();
    let (d, phi) = (row.m("d_m"), row.number("phi"));
    outfit.reel.spool = Known::Known(spool);
    let mut line =
        LinePiece::new(LineRole::Main, spool.capacity(d, phi), Material::Nylon, Force::of_lbf(80.0), d);
    line.packing = Known::Known(phi);
    outfit.line = vec![line];
    outfit.guides.friction = Known::Known(row.number("mu"));
    outfit.guides.wrap = Known::Known(row.theta());
    // The skin coefficient of the pack is the row's.
    let t = tables();
    assert_eq!(t.material(Material::Nylon).skin.value.central, row.number("Ct"));
    let ask = PathAsk {
        wet: Known::Known(row.m("L_in_water_m")),
        ..PathAsk::at_reel(row.n("T_set_full_at_reel_N"), row.m("L_out_m"), Speed::of_mps(row.number("V")))
    };
    let r = LoadPath::new(&outfit, None, &t).unwrap().at(&ask).unwrap();
    Out::from([
        ("r_m", r.radius.m()),
        ("T_spool_N", r.spool.n()),
        ("T_tip_N", r.tip.n()),
        ("F_skin_N", r.shares.water.n()),
        ("T_hook_N", r.hook.n()),
        ("T_hook_lbf", r.hook.lbf()),
    ])
}

/// The whole of LINK-1 as outfit and rig: braid, topshot, leader, wire, hook, each with its own joint.
fn link(row: &Row<'_>) -> Out {
    let t = tables();
    let piece = |role, material, factors: &[f64], d_mm| {
        let [nominal, wet, joint, age] = factors else { panic!("four factors") };
        let mut p =
            LinePiece::new(role, Length::of_m(100.0), material, Force::of_lbf(*nominal), Length::of_mm(d_mm));
        assert_eq!(t.material(material).wet_kept.value.central, *wet);
        p.outer.kept = Known::Known(*joint);
        p.age_kept = Known::Known(*age);
        p.wear = Known::Known(Wear::Sound);
        p
    };
    let braid = piece(LineRole::Main, Material::HmpeBraid, &row.factors("braid"), 0.72);
    let top = piece(LineRole::Topshot, Material::Nylon, &row.factors("topshot"), 1.15);
    let section = |role, material, factors: &[f64]| {
        let mut s = Section::new(role, material, Force::of_lbf(factors[0]), Length::of_m(2.0));
        s.age_kept = Known::Known(1.0);
        s.bottom.kept = Known::Known(factors[factors.len() - 1]);
        s
    };
    let (leader, wire) = (row.factors("leader"), row.factors("wire"));
    assert_eq!(t.material(Material::Nylon).wet_kept.value.central, leader[1]);
    let rig = Rig {
        name: "link".into(),
        sections: vec![
            section(SectionRole::Rubbing, Material::Nylon, &leader),
            section(SectionRole::Bite, Material::SingleStrand, &wire),
        ],
        hook: Hook { straightens_at: Known::Known(row.kgf("hook_kgf")), ..Hook::default() },
        sinker: None,
    };
    let mut outfit = Outfit::named("link");
    outfit.reel.class = Known::Known("80W".into());
    let alone = braid.strength_at_joint(&t).get().unwrap().band.central.lbf();
    outfit.line = vec![braid, top];
    let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
    let ask = PathAsk::at_reel(Force::of_n(100.0), Length::of_m(150.0), Speed::ZERO);
    let r = path.at(&ask).unwrap();
    let part =
        |name: &str| r.parts.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no part {name}"));
    let lbf = |name: &str| part(name).capacity.get().unwrap().lbf();
    // The braid's own joint is held by the weaker topshot: its own strength is asked of the braid alone.
    assert!(r.weakest.as_deref().unwrap().contains("topshot"), "{:?}", r.weakest);
    let weakest = lbf(r.weakest.as_deref().unwrap());
    Out::from([
        ("braid_lbf", alone),
        ("topshot_lbf", lbf("joint topshot to rubbing section")),
        ("leader_lbf", lbf("joint rubbing section to bite section")),
        ("wire_lbf", lbf("joint bite section to hook")),
        ("hook_lbf", lbf("hook")),
        ("drag_33pct_N", Force::of_lbf(weakest).n() / 3.0),
    ])
}

fn compute(row: &Row<'_>) -> Out {
    match row.id {
        "SPOOL-1" | "SPOOL-2" => {
            let spool = Spool::new(row.m("R_m"), row.m("r0_m"), row.m("w_m")).unwrap();
            let l = spool.capacity(row.m("d_m"), row.number("phi"));
            Out::from([("L_m", l.m()), ("L_yd", l.yd())])
        }
        "SPOOL-3" => {
            let (s, full, out) = (row.full_spool(), row.n("T_full_N"), row.m("L_out_m"));
            Out::from([
                ("r_m", s.radius(out).m()),
                ("T_N", s.drag(full, out).n()),
                ("ratio", s.growth(out)),
                ("dTdL_N_per_m", s.slope_n_per_m(full, out)),
            ])
        }
        "SPOOL-4a" | "SPOOL-4b" => {
            let full = row.lbf("T_full_lbf");
            let t = row.full_spool().drag(full, row.m("L_out_m"));
            Out::from([("T_lbf", t.lbf()), ("rise_lbf", (t - full).lbf())])
        }
        "SPOOL-5" => {
            let spool = Spool::new(Length::of_mm(57.0), row.m("r0_m"), row.m("w_m")).unwrap();
            let wound = |l, d, phi| Wound::new("piece", row.m(l), row.m(d), row.number(phi));
            let backing = wound("backing_L_m", "backing_d_m", "backing_phi");
            let top = wound("top_L_m", "top_d_m", "top_phi");
            let out = top.length;
            let s = LoadedSpool::wind(spool, vec![backing, top]).unwrap();
            Out::from([("r_after_backing_m", s.radius(out).m()), ("r_full_m", s.full_radius().m())])
        }
        "CAP-1" => {
            let theta = Angle::of_rad(row.number("theta_rad"));
            Out::from([("mu", mu_of_efficiency(row.number("eff"), theta))])
        }
        "CAP-2" => {
            let tip = tip_running_out(row.n("T_reel_N"), row.number("mu"), row.theta());
            Out::from([("T_tip_N", tip.n()), ("ratio", wrap_factor(row.number("mu"), row.theta()))])
        }
        "CAP-3" => Out::from([
            ("T_tip_N", tip_running_out(row.n("T_reel_N"), row.number("mu"), row.theta()).n()),
            ("mu_equiv", mu_of_efficiency(0.89, Angle::of_deg(180.0))),
        ]),
        "CAP-4" => {
            Out::from([("T_reel_N", spool_winding_in(row.n("T_tip_N"), row.number("mu"), row.theta()).n())])
        }
        "CAP-5" => {
            Out::from([("T_tip_N", tip_won_against(row.n("T_spool_N"), row.number("mu"), row.theta()).n())])
        }
        "MEAS-1" => {
            let tip = row.n("scale_at_tip_N");
            let reel = reel_of_tip_reading(tip, row.number("mu"), row.theta());
            Out::from([("T_reel_N", reel.n()), ("straight_pull_pct", 100.0 * (reel / tip))])
        }
        "HOIST-1" => Out::from([
            ("mu_theta_lo", wrap_product(row.number("lo"))),
            ("mu_theta_hi", wrap_product(row.number("hi"))),
        ]),
        "HEAT-1" => {
            let h = drag_heat(
                row.n("T_N"),
                row.m("x_m"),
                Speed::of_mps(row.number("v")),
                Mass::of_kg(row.number("m_kg")),
                row.number("c_J_kgK"),
            );
            Out::from([("E_J", h.work.j()), ("P_W", h.power.w()), ("dTemp_K", h.rise_k)])
        }
        "HOOK-1" => {
            let (d1, f1) = (row.mm("d1_mm"), row.kgf("F1_kgf"));
            let (d2, f2) = (row.mm("d2_mm"), row.kgf("F2_kgf"));
            Out::from([
                ("n", wire_exponent(f1, d1, f2, d2).unwrap()),
                ("cube_prediction_kgf", straightening(f2, d2, d1, 3.0).kgf()),
            ])
        }
        "HOOK-2" => {
            let at = |n| straightening(row.kgf("F0_kgf"), row.mm("d0_mm"), row.mm("d_mm"), n).kgf();
            // The shipped law takes the cube; the pair's own exponent is its high end.
            let hook = Hook { wire: Known::Known(row.mm("d_mm")), ..Hook::default() };
            let law = hook.strength(&tables()).get().unwrap();
            assert!((law.band.central.kgf() / at(3.0) - 1.0).abs() < 1e-12);
            Out::from([("F_kgf", at(3.35)), ("F_cube_kgf", at(3.0))])
        }
        id if id.starts_with("STR-") => {
            Out::from([("sigma_MPa", stress(row.lbf("F_lbf"), row.mm("d_mm")).mpa())])
        }
        "LINK-1" => link(row),
        "PATH-1" | "PATH-2" => path(row),
        id => panic!("nobody computes {id}"),
    }
}

#[test]
fn every_row_is_computed_and_holds() {
    let fixture: Table = toml::from_str(FIXTURE).unwrap();
    let rows = ["check", "check_more"]
        .iter()
        .flat_map(|key| fixture.get(*key).and_then(Value::as_array).cloned().unwrap_or_default());
    let mut seen = 0;
    for value in rows {
        let table = value.as_table().unwrap();
        let row = Row { id: table["id"].as_str().unwrap(), table };
        let out = compute(&row);
        for (name, wanted) in table["outputs"].as_table().unwrap() {
            if let Some(word) = wanted.as_str() {
                assert_eq!((row.id, name.as_str(), word), ("LINK-1", "weakest", "top"));
                continue;
            }
            let got = *out.get(name.as_str()).unwrap_or_else(|| panic!("{}: nobody computes {name}", row.id));
            let wanted = number(wanted);
            assert!(
                (got - wanted).abs() <= TOLERANCE * wanted.abs(),
                "{} {name}: {got} instead of {wanted}",
                row.id
            );
        }
        seen += 1;
    }
    assert_eq!(seen, 25, "rows of the fixture");
}

#[test]
fn a_whole_outfit_reads_from_the_crews_words() {
    let text = "
        name = 'heavy'
        opened = '2026-05-01'
        depth_below_rim = '0.2mm'
        [reel]
        class = '80W'
        kind = 'lever'
        [[line]]
        name = 'main line'
        material = 'hmpe'
        diameter = '0.72mm'
        strength = '200lb'
        length = '850m'
        outer = { kind = 'bury-splice' }
        [[line]]
        name = 'topshot'
        material = 'nylon'
        diameter = '1.45mm'
        strength = '200lb'
        length = '100m'
        [guides]
        kind = 'roller'
        [drag]
        fight = '28lbf'
        strike_share = 0.75
        soak = '6lbf'
        [[readings]]
        date = '2026-06-14'
        setting = 'strike'
        value = '25lbf'
        at = 'tip'
        start_up = 'unknown'
        temperature = '78F'
    ";
    let outfit: Outfit = PackText::new("outfit.toml", text).read().unwrap();
    outfit.check().unwrap();
    let t = tables();
    assert_eq!(outfit.line[1].role(), LineRole::Topshot);
    assert_eq!(outfit.line[0].outer, Joint::of(JointKind::BurySplice));
    let e = outfit.drag_evidence(&t);
    assert!(e.is_measured());
    assert_eq!(e.opened_since, Known::Known(false));
    assert_eq!(e.age_days("2026-07-01".parse().unwrap()), Some(17));
    assert!(LoadPath::new(&outfit, None, &t).is_ok());
    // Back to text and again.
    let again: Outfit = toml::from_str(&toml::to_string(&outfit).unwrap()).unwrap();
    assert_eq!(again, outfit);
    let e = PackText::new("outfit.toml", &text.replace("setting =", "lever =")).read::<Outfit>().unwrap_err();
    assert!(e.error.contains("lever"), "{e}");
    let negative: Outfit = toml::from_str(&text.replace("fight = '28lbf'", "fight = '-28lbf'")).unwrap();
    assert_eq!(negative.check().unwrap_err().place, "drag, fight");
}
