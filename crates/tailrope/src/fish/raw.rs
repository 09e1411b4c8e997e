//! The shape of `species.toml`, as it stands in the file. Bare numbers carry their unit by the file's head.

use super::marks::Feature;
use super::species::{Group, SurvivalClass, Ventilation};
use super::{LengthKind, Region};
use crate::facts::Grade;
use serde::{Deserialize, Deserializer, de};
use std::collections::BTreeMap;

/// Grade as the research marks it (`SEEN`, `DERIVED` ...).
pub(super) fn mark<'de, D: Deserializer<'de>>(d: D) -> Result<Grade, D::Error> {
    let text = String::deserialize(d)?;
    Grade::from_mark(&text).ok_or_else(|| {
        de::Error::custom(format!(
            "unknown status `{text}`, expected SEEN, SEEN-2, DERIVED, RECALLED, ESTIMATE, judgement or PD"
        ))
    })
}

fn grade_default() -> Grade {
    Grade::Default
}

/// Months of a season: `4-10`, `12-4` (over the year's end), `3-5, 9-12`. Bit 0 is January.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Months(pub(super) u16);

impl Months {
    /// Whether month 1 to 12 lies in it; any other number does not.
    pub fn holds(self, month: u8) -> bool {
        (1..=12).contains(&month) && self.0 & (1 << (month - 1)) != 0
    }
    /// The months as numbers.
    pub fn list(self) -> Vec<u8> {
        (1..=12).filter(|m| self.holds(*m)).collect()
    }
    fn read(text: &str) -> Option<Self> {
        let mut bits = 0;
        for span in text.split(',') {
            let (from, to) = span.split_once('-').unwrap_or((span, span));
            let (from, to): (u8, u8) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
            if !(1..=12).contains(&from) || !(1..=12).contains(&to) {
                return None;
            }
            let mut m = from;
            loop {
                bits |= 1 << (m - 1);
                if m == to {
                    break;
                }
                m = m % 12 + 1;
            }
        }
        Some(Self(bits))
    }
}

impl<'de> Deserialize<'de> for Months {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        Self::read(&text).ok_or_else(|| {
            de::Error::custom(format!("`{text}` are no months, expected like 4-10, 12-4 or 3-5, 9-12"))
        })
    }
}

macro_rules! table {
    ($(#[$doc:meta])* $name:ident { $( $(#[$m:meta])* $field:ident : $ty:ty, )+ }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(super) struct $name { $( $(#[$m])* pub(super) $field: $ty, )+ }
    };
}

table! {
    /// The whole file.
    File {
        schema: String,
        date: String,
        lengths: Lengths,
        mass: MassRules,
        likely: LikelyRules,
        body: Body,
        power: Power,
        survival: SurvivalModel,
        id: Id,
        unknown: Unknown,
        lookalike: Vec<LookAlike>,
        source: BTreeMap<String, SourceRow>,
        species: Vec<Row>,
    }
}
table! { Lengths { fl_over_tl: Ratios, pcl_over_tl: Ratios, error_1sd: LengthError, } }
table! {
    Ratios {
        whalers: f64, hammerheads: f64, #[serde(default)] lamnids: Option<f64>,
        #[serde(deserialize_with = "mark")] status: Grade,
        #[serde(default, rename = "note")] _note: String,
    }
}
table! {
    LengthError {
        line: f64, ratio: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
        #[serde(default, rename = "note")] _note: String,
    }
}
table! { MassRules { error_factor_2sd: MassErrors, fallback_slim: Line, fallback_stout: Line, } }
table! {
    MassErrors {
        regression: f64, proxy: f64, fallback: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
        #[serde(default, rename = "note")] _note: String,
    }
}
table! { Line { a: f64, b: f64, length: LengthKind, #[serde(deserialize_with = "mark")] status: Grade, } }
table! {
    LikelyRules {
        not_likely_words: Vec<String>,
        upper_of_female_maturity: f64,
        upper_of_max_length: f64,
        own_log_after_nights: u32,
        own_log_share_above: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
    }
}
table! {
    Triple {
        low: f64, central: f64, high: f64,
        #[serde(deserialize_with = "mark", default = "grade_default")] status: Grade,
        #[serde(default)] note: String,
    }
}
table! {
    Single {
        value: f64,
        #[serde(deserialize_with = "mark")] status: Grade,
        #[serde(default)] note: String,
    }
}
table! {
    PowerLaw {
        coef: f64, exponent: f64, #[serde(default)] range: Option<[f64; 2]>,
        #[serde(deserialize_with = "mark")] status: Grade,
        #[serde(default)] note: String,
    }
}
table! {
    Body {
        girth_const: Triple, girth_const_tarpon: Single, wetted_area_m2: PowerLaw, side_area_m2: PowerLaw,
        broadside_cd: Triple, swimming_drag_multiplier: Triple, submerged_weight_fraction: Triple,
    }
}
table! {
    Power {
        anaerobic_thrust_work_j_per_kg: Triple, burst_thrust_w_per_kg: Triple,
        aerobic_thrust_w_per_kg_at_1kg: Triple, aerobic_mass_exponent: f64,
        endotherm: Endotherm, static_thrust: StaticThrust,
    }
}
table! {
    Endotherm {
        species: Vec<String>, multiplier: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
        #[serde(default, rename = "note")] _note: String,
    }
}
table! {
    StaticThrust {
        tail_span_over_l: f64, tail_sweep_over_l: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
        #[serde(default, rename = "note")] _note: String,
    }
}
table! {
    SurvivalModel {
        model: String, exponent_spread: f64, linear_beyond_min: f64, still_held_as_air: f64,
        cold_floor_below_tref_c: f64, hook_mix_circle: Hooks, hook_mix_j: Hooks, gill_floor: GillFloor,
        condition_factor: ConditionFactor, class: BTreeMap<SurvivalClass, Class>,
    }
}
table! {
    Hooks {
        jaw: f64, foul: f64, deep: f64, gill: f64,
        #[serde(deserialize_with = "mark", default = "grade_default", rename = "status")] _status: Grade,
    }
}
table! { GillFloor { central: f64, high: f64, #[serde(deserialize_with = "mark", rename = "status")] _status: Grade, } }
table! {
    ConditionFactor {
        strong: f64, slow_but_upright: f64, rolled_or_no_tail_beat: f64, no_jaw_or_eyelid_reflex: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
    }
}
table! {
    Class {
        name: String, w0: f64, wf: f64, wa: f64, p: f64, q10: f64,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
    }
}
table! { Id { floor: f64, trust: f64, feature: BTreeMap<String, Feature>, } }
table! {
    Unknown {
        name: String, worst_of: Vec<String>, size_of: String, mass_fallback: FallbackName, fl_over_tl: RatioName,
        temperature_c: Water, on_the_line: String,
        #[serde(deserialize_with = "mark", rename = "status")] _status: Grade,
    }
}
table! {
    LookAlike {
        pair: [String; 2], overlap: f64, #[serde(rename = "where")] places: Vec<String>, tell: String,
    }
}
table! { SourceRow { #[serde(rename = "ref")] cite: String, status: String, } }

/// Fallback weight line of a species without its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum FallbackName {
    Slim,
    Stout,
    Ask,
}
/// Group whose mean length ratios a species takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum RatioName {
    Whalers,
    Hammerheads,
    None,
}

table! {
    Row {
        id: String, scientific: String, name: String, #[serde(default)] also: Vec<String>,
        group: Group, ventilation: Ventilation, survival_class: SurvivalClass,
        law: Vec<String>, #[serde(default)] protected: Option<String>,
        #[serde(default)] mass_fallback: Option<FallbackName>,
        #[serde(default)] fl_over_tl: Option<RatioName>,
        max_length: MaxLength, #[serde(default)] max_mass: Option<MaxMass>,
        #[serde(default)] maturity: Option<MaturityRow>,
        temperature_c: Water, on_the_line: String,
        #[serde(default)] conv: Vec<Conv>, #[serde(default)] lw: Vec<Weight>, season: Vec<SeasonRow>,
        survival: SurvivalRow, marks: BTreeMap<String, BTreeMap<String, f64>>,
    }
}
table! {
    MaxLength {
        cm: f64, #[serde(rename = "type")] kind: LengthKind,
        #[serde(deserialize_with = "mark")] status: Grade, source: String, #[serde(default)] note: String,
    }
}
table! { MaxMass { kg: f64, #[serde(deserialize_with = "mark")] status: Grade, source: String, } }
table! {
    MaturityRow {
        male_cm: [f64; 2], female_cm: [f64; 2], #[serde(rename = "type")] kind: LengthKind,
        #[serde(deserialize_with = "mark")] status: Grade, source: String,
    }
}
table! { Water { min: f64, prefer: [f64; 2], max: f64, #[serde(deserialize_with = "mark")] status: Grade, } }
table! {
    Conv {
        from: LengthKind, to: LengthKind, #[serde(default)] preferred: bool, #[serde(default = "yes")] usable: bool,
        slope: f64, intercept_cm: f64, source: String, #[serde(deserialize_with = "mark")] status: Grade,
        #[serde(default)] n: Option<u32>, #[serde(default)] note: String,
    }
}
table! {
    Weight {
        kind: LineKind, a: f64, b: f64, length: LengthKind, preferred: bool, source: String,
        #[serde(deserialize_with = "mark")] status: Grade, #[serde(default)] n: Option<u32>,
        #[serde(default)] note: String,
    }
}
/// What a weight line is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum LineKind {
    Regression,
    Proxy,
}
table! { SeasonRow { region: Region, months: Months, #[serde(default)] note: String, } }
table! {
    SurvivalRow {
        f_ref: f64, a_ref: f64, t_ref: f64, prm_at_reference: Triple, k: Triple,
        h_hook_low: Hooks, h_hook_central: Hooks, h_hook_high: Hooks, hook_mix: Hooks, calibrated_on: String,
    }
}

fn yes() -> bool {
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_wrap_the_year_and_may_come_in_pieces() {
        assert_eq!(Months::read("12-4").unwrap().list(), [1, 2, 3, 4, 12]);
        assert_eq!(Months::read("3-5, 9-12").unwrap().list(), [3, 4, 5, 9, 10, 11, 12]);
        assert_eq!(Months::read("1-12").unwrap().list().len(), 12);
        assert!(!Months::read("4-10").unwrap().holds(13) && !Months::read("1-12").unwrap().holds(0));
        for bad in ["", "0-3", "4-13", "May", "4-"] {
            assert!(Months::read(bad).is_none(), "{bad}");
        }
    }
}
