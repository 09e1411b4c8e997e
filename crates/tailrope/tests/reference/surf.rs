//! Surf, run-up, currents, standing and weather against recomputed cases (`surf_cases.json`, four significant
//! digits), and the crews' questions of the research.

use serde_json::Value;
use tailrope::facts::{Grade, PackText};
use tailrope::quantity::{Angle, G_M_S2, Length, Mass, RHO_SEA_KG_M3, Slope, Span, Speed, Temperature};
use tailrope::sea::air::{heat_index, wind_chill};
use tailrope::sea::surf::{
    Bed, Footing, Linear, MCCOWAN, Rule, RunUp, SurfPack, Swell, Wader, Waves, bed_orbital_rms, bore,
    breaker_height, breaking, dry_line, local_waves, longshore, longshore_band, longshore_by_slope,
    mean_signed_square, peak_speed, phase_factor, rip_chance, shallow_orbital, surf_similarity, undertow,
    weggel_index, worst_run_up,
};

fn m(x: f64) -> Length {
    Length::of_m(x)
}

fn s(x: f64) -> Span {
    Span::of_s(x)
}

fn deg(x: f64) -> Angle {
    Angle::of_deg(x)
}

fn slope(x: f64) -> Slope {
    Slope::of_rise_over_run(x).unwrap()
}

fn shipped() -> SurfPack {
    SurfPack::read(&PackText::new("surf.toml", include_str!("../../../../data/surf.toml"))).unwrap()
}

/// Our answer to one output of a case; `None` where the case's kind or key is unknown.
#[allow(clippy::too_many_lines)] // one arm a kind of case: a table, not logic
fn answer(kind: &str, input: &dyn Fn(&str) -> f64, key: &str) -> Option<f64> {
    let i = input;
    Some(match kind {
        "dispersion" => {
            let w = Linear::over(s(i("T_s")), m(i("h_m"))).unwrap();
            match key {
                "L0_m" => Linear::over(s(i("T_s")), m(5000.0)).unwrap().length().m(),
                "kh" => w.kh(),
                "L_m" => w.length().m(),
                "c_m_s" => w.speed().mps(),
                "n" => w.n(),
                "cg_m_s" => w.group_speed().mps(),
                "Ks" => w.shoaling(),
                _ => return None,
            }
        }
        "breaker from offshore H0,T,angle" => {
            let swell = Swell::new(m(i("H0_m")), s(i("T_s")), deg(i("theta0_deg"))).unwrap();
            let b = slope(i("tan_beta"));
            let fixed = breaking(swell, Rule::Fixed(MCCOWAN));
            let hb = breaker_height(swell);
            let gamma = weggel_index(b, hb, swell);
            let weggel = breaking(swell, Rule::Weggel(b));
            match key {
                "Hb_komar_gaughan_m" => hb.m(),
                "hb_komar_gaughan_at_gamma_0_78_m" => hb.m() / MCCOWAN,
                "hb_linear_m" => fixed.depth.m(),
                "Hb_linear_m" => fixed.height.m(),
                "theta_b_deg" => fixed.angle.deg(),
                "gamma_weggel_for_komar_gaughan_Hb" => gamma,
                "hb_weggel_for_komar_gaughan_Hb_m" => hb.m() / gamma,
                "gamma_weggel_refracted" => weggel.index,
                "hb_weggel_refracted_m" => weggel.depth.m(),
                "hb_goda2010_A017_unrefracted_m" => breaking(swell.squared(), Rule::Goda(b, 0.17)).depth.m(),
                "hb_goda2010_A017_refracted_m" => breaking(swell, Rule::Goda(b, 0.17)).depth.m(),
                "Hb_goda2010_A017_unrefracted_m" => breaking(swell.squared(), Rule::Goda(b, 0.17)).height.m(),
                "Hb_goda2010_A017_refracted_m" => breaking(swell, Rule::Goda(b, 0.17)).height.m(),
                "hb_goda2010_A012_unrefracted_m" => breaking(swell.squared(), Rule::Goda(b, 0.12)).depth.m(),
                "hb_goda2010_A012_refracted_m" => breaking(swell, Rule::Goda(b, 0.12)).depth.m(),
                "Hb_goda2010_A012_unrefracted_m" => breaking(swell.squared(), Rule::Goda(b, 0.12)).height.m(),
                "Hb_goda2010_A012_refracted_m" => breaking(swell, Rule::Goda(b, 0.12)).height.m(),
                _ => return None,
            }
        }
        "Goda 1975/2000 surf-zone Hs and Hmax at depth" => {
            let swell = Swell::square_on(m(i("H0_m")), s(i("T_s"))).unwrap();
            let local = local_waves(swell, m(i("h_m")), slope(i("tan_beta")));
            match key {
                "Hs_m" => local.significant.m(),
                "Hmax_m" => local.maximum.m(),
                "ratio_Hs_h" => local.significant.m() / i("h_m"),
                _ => return None,
            }
        }
        "Stockdon 2006 runup" => {
            let swell = Swell::square_on(m(i("H0_m")), s(i("Tp_s"))).unwrap();
            let r = RunUp::of(swell, slope(i("beta_f")));
            match key {
                "setup" => r.set_up.m(),
                "S_inc" => r.incident.m(),
                "S_ig" => r.infragravity.m(),
                "R2_eq19_general" => r.general.m(),
                // The unrounded coefficients, put together again from the parts.
                "R2_from_unrounded_parts" => {
                    let swash =
                        (r.incident.m() * r.incident.m() + r.infragravity.m() * r.infragravity.m()).sqrt();
                    1.1 * (r.set_up.m() + 0.5 * swash)
                }
                "R2_dissipative" => r.dissipative.m(),
                "xi0" => surf_similarity(swell, slope(i("beta_f"))).0,
                "R2_use" => r.two_percent.m(),
                _ => return None,
            }
        }
        "longshore current" => match key {
            "V_komar1979_m_s" => longshore(m(i("Hb_rms_m")), deg(i("alpha_b_deg"))).mps(),
            "V_SPM_longuet_higgins_m_s" => {
                longshore_by_slope(m(i("Hb_rms_m")), deg(i("alpha_b_deg")), slope(i("tan_beta"))).mps()
            }
            _ => return None,
        },
        "undertow" => {
            let u = undertow(m(i("Hrms_m")), s(i("T_s")), m(i("h_m")), i("breaking_fraction")).unwrap();
            match key {
                "stokes_flux" => u.stokes_m2_s,
                "roller_flux" => u.roller_m2_s,
                "U" => u.current.mps(),
                _ => return None,
            }
        }
        "bed orbital velocity (linear) and Soulsby rms" => {
            let w = Linear::over(s(i("T_s")), m(i("h_m"))).unwrap();
            match key {
                "u_bed_m_s" => w.orbital(m(i("H_m")), Length::ZERO).mps(),
                "u_1m_above_bed_m_s" => w.orbital(m(i("H_m")), m(1.0)).mps(),
                "u_shallow_limit_m_s" => shallow_orbital(m(i("H_m")), m(i("h_m"))).mps(),
                "Urms_soulsby_Hs_eq_H_Tz_eq_T_over_1_28" => {
                    bed_orbital_rms(m(i("H_m")), s(i("T_s") / 1.28), m(i("h_m"))).mps()
                }
                _ => return None,
            }
        }
        "Rayleigh extremes" => {
            let w = Waves::over(m(i("Hs_m")), s(i("Tz_s")), Span::of_min(i("minutes"))).unwrap();
            match key {
                "N_waves" => w.count(),
                "Hmax_most_probable_m" => w.most_probable_highest().m(),
                "Hmax_mean_m" => w.mean_highest().m(),
                "Hmax_90pct_m" => w.highest_below(0.9).m(),
                "P_at_least_one_over_1_5Hs" => w.chance_over(m(1.5 * i("Hs_m"))),
                "P_at_least_one_over_1_8Hs" => w.chance_over(m(1.8 * i("Hs_m"))),
                "P_at_least_one_over_2Hs" => w.chance_over(m(2.0 * i("Hs_m"))),
                _ => return None,
            }
        }
        "rip current hazard likelihood (NWS operational coefficients)" => rip_chance(
            m(i("Hs_m")),
            deg(i("wave_dir_minus_shore_normal_deg")),
            i("within_72h_after_peak_over_1m") > 0.5,
            m(i("water_level_above_MSL_m")),
        ),
        "depth x velocity limits for a standing person" => {
            let w = Wader::new(m(i("height_m")), Mass::of_kg(i("mass_kg"))).unwrap();
            match key {
                "height_x_mass" => (w.karvonen_m2_s(Footing::Poor) - 0.1) / 0.002,
                "hv_karvonen_poor" => w.karvonen_m2_s(Footing::Poor),
                "hv_karvonen_normal" => w.karvonen_m2_s(Footing::Normal),
                "hv_karvonen_good" => w.karvonen_m2_s(Footing::Good),
                "hv_abt" => w.abt_m2_s(),
                _ => return None,
            }
        }
        k if k.starts_with("wader force balance") => {
            let bed = if k.contains("mu 0.20") { Bed::SAND } else { Bed::FIRM };
            let w = Wader::new(m(i("height_m")), Mass::of_kg(i("mass_kg"))).unwrap();
            let b = w.balance(m(i("depth_m")), Speed::of_mps(i("velocity_m_s")), bed);
            match key {
                "normal_N" => b.normal.n(),
                "drag_N" => b.drag.n(),
                "slide_ratio" => b.slide_ratio,
                "topple_ratio" => b.topple_ratio,
                "v_slide" => b.slides_at.mps(),
                "v_topple" => b.topples_at.mps(),
                _ => return None,
            }
        }
        "wind chill (T degC, V10 km/h)" => {
            wind_chill(Temperature::of_c(i("T")), Speed::of_mps(i("V") / 3.6)).unwrap().c()
        }
        "heat index (degF, %)" => {
            let c: Temperature = format!("{}F", i("T_F")).parse().unwrap();
            heat_index(c, i("RH")).c() * 1.8 + 32.0
        }
        "mean signed square of current plus wave velocity (co-linear)" => {
            let (u, a) = (Speed::of_mps(i("U")), Speed::of_mps(i("ua")));
            match key {
                "mean_u_abs_u" => mean_signed_square(u, a),
                "peak" => {
                    let v = peak_speed(u, a, Angle::ZERO).mps();
                    v * v
                }
                _ => return None,
            }
        }
        "bait and line load, peak" => {
            let w = Linear::over(s(i("T_s")), m(i("h_m"))).unwrap();
            let orbital = |z: f64| w.orbital(m(i("H_m")), m(z));
            let u = Speed::of_mps(i("U_m_s"));
            let peak = |z: f64| peak_speed(u, orbital(z), deg(i("angle_deg"))).mps();
            let middle = i("h_m") / 2.0;
            // The case's own bare loads over our speeds: the product's loads stand on `water`.
            let push = |cd: f64, area: f64, v: f64| 0.5 * RHO_SEA_KG_M3 * cd * area * v * v;
            match key {
                "u_bed" => orbital(0.0).mps(),
                "u_mid" => orbital(middle).mps(),
                "V_peak_bed" => peak(0.0),
                "V_peak_mid" => peak(middle),
                "bait_drag_N" => push(1.0, i("bait_frontal_area_m2"), peak(0.0)),
                "line_normal_drag_N_per_m" => push(1.2, i("line_diameter_m"), peak(middle)),
                "line_normal_drag_total_N_if_square_to_flow" => {
                    push(1.2, i("line_diameter_m"), peak(middle)) * i("line_in_flow_m")
                }
                "steady_only_line_N" => push(1.2, i("line_diameter_m"), u.mps()) * i("line_in_flow_m"),
                _ => return None,
            }
        }
        "averaging factor of orbital velocity along a straight line lying in the wave direction" => {
            let w = Linear::over(s(i("T_s")), m(i("h_m"))).unwrap();
            match key {
                "L_m" => w.length().m(),
                "factor" => phase_factor(w, m(i("line_m")), Angle::ZERO).factor,
                _ => return None,
            }
        }
        k if k.starts_with("phase factor of orbital velocity") => {
            let w = Linear::over(s(i("T_s")), m(i("h_m"))).unwrap();
            let f = phase_factor(w, m(i("line_m")), deg(i("psi_deg")));
            match key {
                "factor" => f.factor,
                "square_on_share" => f.square_on,
                _ => return None,
            }
        }
        "bore over still depth (hydraulic jump)" => {
            let b = bore(m(i("H_bore_m")), m(i("h_front_m")));
            match key {
                "c_bore_m_s" => b.front.mps(),
                "u_behind_m_s" => b.behind.mps(),
                _ => return None,
            }
        }
        _ => return None,
    })
}

#[test]
fn all_recomputed_cases() {
    let data: Value = serde_json::from_str(include_str!("fixtures/surf_cases.json")).unwrap();
    let (mut cases, mut outputs) = (0, 0);
    for case in ["cases", "more_cases"].iter().flat_map(|k| data[*k].as_array().unwrap()) {
        let kind = case["case"].as_str().unwrap();
        let input = |key: &str| case["inputs"][key].as_f64().unwrap_or_else(|| panic!("{kind}: no {key}"));
        for (key, expected) in case["outputs"].as_object().unwrap() {
            let expected = expected.as_f64().unwrap();
            let ours = answer(kind, &input, key).unwrap_or_else(|| panic!("{kind}: {key} is not answered"));
            let tolerance = (5.1e-4 * expected.abs()).max(1e-9);
            assert!(
                (ours - expected).abs() <= tolerance,
                "{kind} {key}: {ours} {expected} {}",
                case["inputs"]
            );
            outputs += 1;
        }
        cases += 1;
    }
    assert_eq!((cases, outputs), (81, 384));
}

#[test]
fn a_period_that_jumps_is_planned_on_the_longer_swell() {
    // 0.7 m with 13 s, half an hour earlier 4 s; foreshore 1 in 10.
    let (long, short) =
        (Swell::square_on(m(0.7), s(13.0)).unwrap(), Swell::square_on(m(0.7), s(4.0)).unwrap());
    let (worse, r) = worst_run_up(&[short, long], slope(0.1)).unwrap();
    assert_eq!(worse, long);
    assert!((r.two_percent.m() - 1.26).abs() < 0.005, "{r:?}");
    let reach = dry_line(m(0.0), r.two_percent, slope(0.1), &shipped().run_up).wash_reach;
    assert!((reach.m() - 12.6).abs() < 0.05);
    assert!((breaker_height(long).m() - 1.29).abs() < 0.005);
    let low = RunUp::of(short, slope(0.1));
    assert!((low.two_percent.m() - 0.39).abs() < 0.005 && (breaker_height(short).m() - 0.81).abs() < 0.005);
}

#[test]
fn the_wash_of_a_blow_on_a_flat_beach() {
    let swell = Swell::square_on(m(2.0), s(8.0)).unwrap();
    let r = |tan: f64| RunUp::of(swell, slope(tan)).two_percent.m();
    assert!((r(0.05) - 0.84).abs() < 0.005 && (r(0.03) - 0.61).abs() < 0.005, "{} {}", r(0.05), r(0.03));
    let reach = |tan: f64| dry_line(m(0.3), m(r(tan)), slope(tan), &shipped().run_up).wash_reach.m();
    assert!((reach(0.05) - 17.0).abs() < 0.5 && (reach(0.03) - 20.0).abs() < 0.5);
    // The planning run-up does not use the drop at the switch.
    assert!(RunUp::of(swell, slope(0.03)).safe().m() > r(0.03));
}

#[test]
fn breakers_of_a_long_swell() {
    let swell = Swell::square_on(m(1.8), s(14.8)).unwrap();
    assert!((breaker_height(swell).m() - 2.90).abs() < 0.005);
}

#[test]
fn rip_figures_of_one_night() {
    let p = |level: f64| rip_chance(m(0.9), deg(10.0), false, m(level));
    assert!((p(-0.4) - 0.75).abs() < 0.005 && (p(0.4) - 0.43).abs() < 0.005);
}

#[test]
fn the_worked_waves_and_bores_of_the_text() {
    let w = Linear::over(s(8.0), m(3.0)).unwrap();
    assert!((w.length().m() - 42.02).abs() < 0.005 && (w.shoaling() - 1.125).abs() < 0.0005);
    assert!(
        (Linear::over(s(8.0), m(3000.0)).unwrap().length().m() - G_M_S2 * 64.0 / std::f64::consts::TAU).abs()
            < 1e-6
    );
    let band = longshore_band(m(0.71), deg(10.0), Speed::ZERO, &shipped().current);
    assert!((band.low.mps() - 0.264).abs() < 0.001 && (band.high.mps() - 0.792).abs() < 0.001);
    assert_eq!(shipped().current.wind_share.grade, Grade::Recalled);
}
