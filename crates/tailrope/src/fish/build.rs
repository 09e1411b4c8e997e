//! From the checked file to the types the rest of the library uses.

use super::condition::ConditionFactors;
use super::convert::{Conversion, Ratios};
use super::hazard::{Hazard, Level};
use super::hook::HookMix;
use super::marks::{LookAlike, Marks};
use super::mass::{MassBasis, MassLine, MassRule};
use super::power::BodyFigures;
use super::raw;
use super::species::{Maturity, Season, Species, SurvivalClass, Ventilation, WaterRange};
use super::survival::{Reference, Survival};
use super::{FishLength, Group};
use crate::facts::{Band, Figure, Grade, Source};
use crate::math;
use crate::quantity::{Density, Length, Mass, Span, Temperature};

fn band(t: &raw::Triple) -> Band<f64> {
    Band { low: t.low, central: t.central, high: t.high }
}

fn densities(b: Band<f64>) -> Band<Density> {
    b.map(Density::of_kg_m3)
}

fn mix(h: &raw::Hooks) -> HookMix {
    HookMix { jaw: h.jaw, foul: h.foul, deep: h.deep, gill: h.gill }
}

pub(super) fn source(id: &str, row: &raw::SourceRow) -> Source {
    Source { id: id.to_owned(), cite: format!("{} [{}]", row.cite, row.status), url: String::new() }
}

pub(super) fn lookalike(l: &raw::LookAlike) -> LookAlike {
    LookAlike { pair: l.pair.clone(), overlap: l.overlap, places: l.places.clone(), tell: l.tell.clone() }
}

pub(super) fn conditions(c: &raw::ConditionFactor) -> ConditionFactors {
    ConditionFactors {
        strong: c.strong,
        slow: c.slow_but_upright,
        rolled: c.rolled_or_no_tail_beat,
        no_reflex: c.no_jaw_or_eyelid_reflex,
    }
}

pub(super) fn body(b: &raw::Body, p: &raw::Power) -> BodyFigures {
    let [wetted_low, wetted_high] = b.wetted_area_m2.range.unwrap_or([b.wetted_area_m2.coef; 2]);
    let shown = |t: &raw::Triple| Figure::new(band(t), t.status, t.note.clone());
    let law = |l: &raw::PowerLaw| {
        let [low, high] = l.range.unwrap_or([l.coef; 2]);
        Figure::new(Band { low, central: l.coef, high }, l.status, l.note.clone())
    };
    let tarpon = &b.girth_const_tarpon;
    BodyFigures {
        figures: [
            ("girth_const", shown(&b.girth_const)),
            (
                "girth_const_tarpon",
                Figure::new(Band::exact(tarpon.value), tarpon.status, tarpon.note.clone()),
            ),
            ("wetted_area_m2", law(&b.wetted_area_m2)),
            ("side_area_m2", law(&b.side_area_m2)),
            ("broadside_cd", shown(&b.broadside_cd)),
            ("swimming_drag_multiplier", shown(&b.swimming_drag_multiplier)),
            ("submerged_weight_fraction", shown(&b.submerged_weight_fraction)),
            ("anaerobic_thrust_work_j_per_kg", shown(&p.anaerobic_thrust_work_j_per_kg)),
            ("burst_thrust_w_per_kg", shown(&p.burst_thrust_w_per_kg)),
            ("aerobic_thrust_w_per_kg_at_1kg", shown(&p.aerobic_thrust_w_per_kg_at_1kg)),
        ]
        .into_iter()
        .collect(),
        wetted_m2: Band { low: wetted_low, central: b.wetted_area_m2.coef, high: wetted_high },
        wetted_exponent: b.wetted_area_m2.exponent,
        side_m2: b.side_area_m2.coef,
        side_exponent: b.side_area_m2.exponent,
        broadside_cd: band(&b.broadside_cd),
        swimming: band(&b.swimming_drag_multiplier),
        submerged_weight: band(&b.submerged_weight_fraction),
        store_j_per_kg: band(&p.anaerobic_thrust_work_j_per_kg),
        burst_w_per_kg: band(&p.burst_thrust_w_per_kg),
        aerobic_w_per_kg_at_1kg: band(&p.aerobic_thrust_w_per_kg_at_1kg),
        aerobic_mass_exponent: p.aerobic_mass_exponent,
        endotherm: p.endotherm.multiplier,
        tail_span_over_l: p.static_thrust.tail_span_over_l,
        tail_sweep_over_l: p.static_thrust.tail_sweep_over_l,
    }
}

fn water(w: &raw::Water) -> WaterRange {
    let c = Temperature::of_c;
    WaterRange { min: c(w.min), prefer: w.prefer.map(c), max: c(w.max), grade: w.status }
}

fn ratios(name: raw::RatioName, l: &raw::Lengths) -> Option<Ratios> {
    let grade = l.fl_over_tl.status.max(l.pcl_over_tl.status);
    let of = |fork_over_total, precaudal_over_total| Ratios { fork_over_total, precaudal_over_total, grade };
    match name {
        raw::RatioName::Whalers => Some(of(l.fl_over_tl.whalers, l.pcl_over_tl.whalers)),
        raw::RatioName::Hammerheads => Some(of(l.fl_over_tl.hammerheads, l.pcl_over_tl.hammerheads)),
        raw::RatioName::None => None,
    }
}

fn fallback(name: raw::FallbackName, m: &raw::MassRules) -> MassRule {
    let (line, words) = match name {
        raw::FallbackName::Slim => (&m.fallback_slim, "fallback for slim sharks"),
        raw::FallbackName::Stout => (&m.fallback_stout, "fallback for stout sharks"),
        raw::FallbackName::Ask => return MassRule::Ask,
    };
    MassRule::Line(MassLine {
        a: line.a,
        b: line.b,
        kind: line.length,
        basis: MassBasis::Fallback,
        factor: m.error_factor_2sd.fallback,
        grade: line.status,
        source: words.to_owned(),
    })
}

fn weight(w: &raw::Weight, m: &raw::MassRules) -> MassLine {
    let (basis, factor) = match w.kind {
        raw::LineKind::Regression => (MassBasis::Regression, m.error_factor_2sd.regression),
        raw::LineKind::Proxy => (MassBasis::Proxy, m.error_factor_2sd.proxy),
    };
    let n = w.n.map_or(String::new(), |n| format!(", n {n}"));
    let note = if w.note.is_empty() { String::new() } else { format!(": {}", w.note) };
    let source = format!("{}{n}{note}", w.source);
    MassLine { a: w.a, b: w.b, kind: w.length, basis, factor, grade: w.status, source }
}

fn hazard(row: &raw::Row, m: &raw::SurvivalModel) -> Option<Hazard> {
    let class = m.class.get(&row.survival_class)?;
    let s = &row.survival;
    let level = |k: f64, dp: f64, h: &raw::Hooks, gill_floor: f64, cold_floor: bool| Level {
        k,
        p: class.p + dp,
        hook: [h.jaw, h.foul, h.deep, h.gill.max(gill_floor)],
        cold_floor,
    };
    let circle = mix(&s.hook_mix);
    // A kind that swallows baits even on circle hooks is not spared by a J: whichever mix holds more deep hooks.
    let general = mix(&m.hook_mix_j);
    let j = if circle.deep > general.deep { circle } else { general };
    Some(Hazard {
        low: level(s.k.low, -m.exponent_spread, &s.h_hook_low, 0.0, false),
        central: level(s.k.central, 0.0, &s.h_hook_central, m.gill_floor.central, false),
        high: level(s.k.high, m.exponent_spread, &s.h_hook_high, m.gill_floor.high, true),
        w0: class.w0,
        wf: class.wf,
        wa: class.wa,
        q10_ln: math::ln(class.q10),
        f_ref_min: s.f_ref,
        a_ref_min: s.a_ref,
        t_ref_c: s.t_ref,
        ram: row.ventilation.needs_flow(),
        circle,
        j,
        linear_beyond_min: m.linear_beyond_min,
        still_as_air: m.still_held_as_air,
        cold_below_c: m.cold_floor_below_tref_c,
    })
}

pub(super) fn species(row: &raw::Row, f: &raw::File) -> Option<Species> {
    let cm = |kind, cm| FishLength::new(kind, Length::of_cm(cm));
    let mass = match row.mass_fallback {
        Some(name) => fallback(name, &f.mass),
        None => MassRule::Line(weight(row.lw.iter().find(|l| l.preferred)?, &f.mass)),
    };
    let s = &row.survival;
    let max = &row.max_length;
    let max_source =
        if max.note.is_empty() { max.source.clone() } else { format!("{}: {}", max.source, max.note) };
    let tarpon = f.body.girth_const_tarpon.value;
    let girth_const = if row.id == "tarpon" {
        Band {
            low: f.body.girth_const.central.min(tarpon),
            central: tarpon,
            high: f.body.girth_const.high.max(tarpon),
        }
    } else {
        band(&f.body.girth_const)
    };
    Some(Species {
        id: row.id.clone(),
        name: row.name.clone(),
        scientific: row.scientific.clone(),
        also: row.also.clone(),
        law: row.law.clone(),
        protected: row.protected.clone(),
        group: row.group,
        ventilation: row.ventilation,
        survival_class: row.survival_class,
        max_length: Figure::new(cm(max.kind, max.cm), max.status, max_source),
        max_mass: row.max_mass.as_ref().map(|m| Figure::new(Mass::of_kg(m.kg), m.status, m.source.clone())),
        maturity: row.maturity.as_ref().map(|m| Maturity {
            male: m.male_cm.map(|x| cm(m.kind, x)),
            female: m.female_cm.map(|x| cm(m.kind, x)),
            grade: m.status,
            source: m.source.clone(),
        }),
        water: water(&row.temperature_c),
        on_the_line: row.on_the_line.clone(),
        conversions: row.conv.iter().map(conversion).collect(),
        seasons: row
            .season
            .iter()
            .map(|x| Season {
                region: x.region,
                months: x.months,
                note: x.note.clone(),
                grade: if x.note.contains("SEEN") { Grade::Published } else { Grade::Recalled },
            })
            .collect(),
        marks: Marks(row.marks.clone()),
        survival: Survival {
            model: f.survival.model.clone(),
            class: row.survival_class,
            reference: Reference {
                fight: Span::of_min(s.f_ref),
                air: Span::of_min(s.a_ref),
                water: Temperature::of_c(s.t_ref),
                death: band(&s.prm_at_reference),
            },
            calibrated_on: s.calibrated_on.clone(),
            hazards: vec![hazard(row, &f.survival)?],
        },
        unidentified: false,
        endotherm: f.power.endotherm.species.contains(&row.id),
        mass,
        ratios: row.fl_over_tl.and_then(|r| ratios(r, &f.lengths)),
        conversion_error: (f.lengths.error_1sd.line, f.lengths.error_1sd.ratio),
        girth_const: densities(girth_const),
    })
}

fn conversion(c: &raw::Conv) -> Conversion {
    Conversion {
        from: c.from,
        to: c.to,
        preferred: c.preferred,
        usable: c.usable,
        slope: c.slope,
        intercept: Length::of_cm(c.intercept_cm),
        grade: c.status,
        source: c.source.clone(),
        n: c.n,
        note: c.note.clone(),
    }
}

/// The shark nobody named (`[unknown]`).
pub(super) fn unknown(f: &raw::File, all: &[Species]) -> Option<Species> {
    let u = &f.unknown;
    let of = |id: &String| all.iter().find(|s| &s.id == id);
    let biggest = of(&u.size_of)?;
    let worst: Vec<&Species> = u.worst_of.iter().map(of).collect::<Option<_>>()?;
    let first = worst.first()?;
    let hazards = worst.iter().flat_map(|s| s.survival.hazards.iter().cloned()).collect();
    let mut survival = Survival {
        model: f.survival.model.clone(),
        class: SurvivalClass::A,
        reference: first.survival.reference,
        calibrated_on: format!("the worst, event by event, of {}", u.worst_of.join(", ")),
        hazards,
    };
    survival.reference.death = survival.reference_death();
    Some(Species {
        id: "unknown_shark".to_owned(),
        name: u.name.clone(),
        scientific: String::new(),
        also: Vec::new(),
        law: Vec::new(),
        protected: Some("not named: treated as protected".to_owned()),
        group: Group::Shark,
        ventilation: Ventilation::Ram,
        survival_class: SurvivalClass::A,
        max_length: biggest.max_length.clone(),
        max_mass: None,
        maturity: None,
        water: water(&u.temperature_c),
        on_the_line: u.on_the_line.clone(),
        conversions: Vec::new(),
        seasons: Vec::new(),
        marks: Marks::default(),
        survival,
        unidentified: true,
        endotherm: false,
        mass: fallback(u.mass_fallback, &f.mass),
        ratios: ratios(u.fl_over_tl, &f.lengths),
        conversion_error: (f.lengths.error_1sd.line, f.lengths.error_1sd.ratio),
        girth_const: densities(band(&f.body.girth_const)),
    })
}
