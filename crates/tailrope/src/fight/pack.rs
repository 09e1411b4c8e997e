//! The data pack of the fight: a band, a law and a grade for each parameter; behaviour factors by species.
//!
//! Source: `data/fight.toml`; every row carries its grade and reason. Nothing in it was fitted to measured
//! fights, because none with thrust, power or mode changes were found.

use super::random::{lognormal, normal, triangular};
use crate::facts::{Grade, PackText};
use crate::{Error, Result};
use serde::Deserialize;
use std::collections::BTreeMap;

macro_rules! parameters {
    ($($name:ident = $key:literal, $unit:literal;)+) => {
        /// One parameter of the fight. The unit is part of its meaning; the reason stands in the pack.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Par { $(
            #[doc = concat!("`", $key, "`, unit: ", $unit, ".")]
            $name,
        )+ }

        impl Par {
            /// Every parameter, in the order of the pack.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];
            /// Its key in the pack.
            pub const fn key(self) -> &'static str { match self { $(Self::$name => $key),+ } }
            /// The parameter of a key in the pack.
            pub fn of_key(key: &str) -> Option<Self> { Self::ALL.iter().copied().find(|p| p.key() == key) }
        }
        /// How many parameters there are.
        pub const PARAMETERS: usize = [$($key),+].len();
    };
}

parameters! {
    Rho = "rho", "kg/m3";
    StoreJKg = "store_J_kg", "J thrust work per kg fish";
    FastShare = "fast_share", "of the store";
    FastTauS = "fast_tau_s", "s";
    FastFirst = "fast_first", "-";
    BurstWKg = "burst_W_kg", "W thrust per kg";
    AerobicW1kg = "aerobic_W_1kg", "W thrust at 1 kg, times m^0.8";
    ThrustCeilingN = "thrust_ceiling_N", "N per kg^(2/3), fresh, standing";
    CeilingTired = "ceiling_tired", "of the fresh ceiling";
    DiscAreaPerL2 = "disc_area_per_L2", "m2 per m2 of length";
    BodyDragMult = "body_drag_mult", "-";
    BroadCd = "broad_cd", "-";
    BroadArea100kg = "broad_area_100kg", "m2 at 100 kg, times (m/100)^(2/3)";
    Broadside = "broadside", "share of full side-on drag, beaten fish";
    RunSpeed = "run_speed", "m/s wanted in a run by a fresh fish";
    AlarmN = "alarm_N", "N at 100 kg, times (m/100)^(2/3)";
    FirstSpeedFactor = "first_speed_factor", "-";
    RunFirstS = "run_first_s", "s";
    RunSFresh = "run_s_fresh", "s";
    RunSTired = "run_s_tired", "s";
    HoldSFresh = "hold_s_fresh", "s";
    HoldSTired = "hold_s_tired", "s";
    ComeS = "come_s", "s";
    DurationSd = "duration_sd", "ln units";
    PRunFresh = "p_run_fresh", "-";
    PRunTired = "p_run_tired", "-";
    PHoldOfRest = "p_hold_of_rest", "-";
    NearM = "near_m", "m";
    NearRunAdd = "near_run_add", "-";
    DragError = "drag_error", "geometric sd";
    StrikeOverFight = "strike_over_fight", "-";
    Packing = "packing", "-";
    GuideMuTheta = "guide_mu_theta", "mu x angle";
    LineCt = "line_ct", "-";
    LineCn = "line_cn", "-";
    LiftDrag = "lift_drag", "-";
    SweepShare = "sweep_share", "of D L / 4";
    LineOverLabel = "line_over_label", "-";
    AirM = "air_m", "m";
    HoldLimitN = "hold_limit_N", "N at the rod tip";
    AnglerA = "angler_A", "hp";
    AnglerB = "angler_B", "hp per decade";
    AnglerShare = "angler_share", "-";
    Duty = "duty", "-";
    HandleForce = "handle_force", "N";
    HandleM = "handle_m", "m";
    CrankEff = "crank_eff", "-";
    CrankHz = "crank_hz", "turns/s";
    PumpSpeed = "pump_speed", "m/s";
    LineWet = "line_wet", "-";
    LineJoint = "line_joint", "-";
    LineAge = "line_age", "-";
    EndStrengthN = "end_strength_N", "N";
    PeakFactor = "peak_factor", "-";
    HookBaseMin = "hook_base_min", "per min";
    HookSlackMin = "hook_slack_min", "per min of slack";
    HookTensionMin = "hook_tension_min", "per min at 300 N, with tension squared";
    ReachM = "reach_m", "m";
    CrewHoldN = "crew_hold_N", "N";
    LandingMin = "landing_min", "min at 100 kg, times (m/100)^(1/3)";
}

/// Shape of the band of a parameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Law {
    /// Median `mid`; the spread of the logarithm is that of 5-95 % at `low`-`high`.
    Lognormal,
    /// Ends `low` and `high`, mode `mid`.
    Triangular,
    /// Always `mid`.
    Fixed,
}

/// Whether a parameter differs from fight to fight, or is one unknown number tonight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum From {
    /// Differs from fight to fight.
    Luck,
    /// The same for every fight tonight, but we do not know it.
    Unknown,
}

/// One parameter's band.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Parameter {
    /// Shape of the band.
    pub law: Law,
    /// Low end.
    pub low: f64,
    /// Middle.
    pub mid: f64,
    /// High end.
    pub high: f64,
    /// Unit in words.
    pub unit: String,
    /// Luck or ignorance.
    pub from: From,
    /// How far the band can be trusted.
    pub grade: Grade,
    /// Why it is this band.
    pub reason: String,
    /// The value used in answers, where it differs from the drawn one.
    #[serde(default)]
    pub product: Option<f64>,
}

impl Parameter {
    /// The value at cumulative probability `u` of the band, `0 < u < 1`.
    pub fn at(&self, u: f64) -> f64 {
        match self.law {
            Law::Fixed => self.mid,
            Law::Triangular => triangular(u, self.low, self.mid, self.high),
            Law::Lognormal => lognormal(normal(u), self.low, self.mid, self.high),
        }
    }

    fn fault(&self) -> Option<&'static str> {
        let Self { low, mid, high, .. } = *self;
        if ![low, mid, high].iter().all(|x| x.is_finite()) {
            Some("low, mid and high must be finite numbers")
        } else if !(low <= mid && mid <= high) {
            Some("low <= mid <= high")
        } else if low < 0.0 || (self.law == Law::Lognormal && low <= 0.0) {
            Some("a lognormal band above zero, any other not below zero")
        } else if self.product.is_some_and(|p| !p.is_finite() || p < 0.0) {
            Some("a finite product value, not below zero")
        } else {
            None
        }
    }
}

/// How a species behaves on the line, as factors on the parameters.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Behaviour {
    /// On the wanted speed of a run.
    pub speed_factor: f64,
    /// On the chance that the next mode is a run.
    pub run_factor: f64,
    /// On the share of holds among the rest.
    pub hold_factor: f64,
    /// On the length of the first run.
    pub first_run_factor: f64,
    /// On the energy store.
    pub store_factor: f64,
    /// Standard deviation of the heading of a run off the line, degrees.
    pub psi_sd_deg: f64,
    /// Suction of a ray on the bottom while it holds, as a share of its weight.
    pub suction_per_weight: f64,
    /// On wetted and side area (a flat body has more).
    pub wetted_factor: f64,
}

impl Default for Behaviour {
    fn default() -> Self {
        Self {
            speed_factor: 1.0,
            run_factor: 1.0,
            hold_factor: 1.0,
            first_run_factor: 1.0,
            store_factor: 1.0,
            psi_sd_deg: 40.0,
            suction_per_weight: 0.0,
            wetted_factor: 1.0,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BehaviourRow {
    species: String,
    speed_factor: Option<f64>,
    run_factor: Option<f64>,
    hold_factor: Option<f64>,
    first_run_factor: Option<f64>,
    store_factor: Option<f64>,
    psi_sd_deg: Option<f64>,
    suction_per_weight: Option<f64>,
    wetted_factor: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    schema: String,
    #[serde(rename = "date")]
    _date: String,
    parameter: BTreeMap<String, Parameter>,
    default_behaviour: Behaviour,
    behaviour: Vec<BehaviourRow>,
}

/// The whole pack.
#[derive(Clone, Debug, PartialEq)]
pub struct Pack {
    parameters: Vec<Parameter>,
    default_behaviour: Behaviour,
    behaviour: BTreeMap<String, Behaviour>,
    reproduce: bool,
}

impl Pack {
    /// Reads and checks the pack. Refuses a missing, unknown or ill-ordered parameter, a behaviour factor
    /// outside 0-10 (heading 0-90 degrees) and a foreign schema, with file, line and key.
    pub fn read(text: &PackText<'_>) -> Result<Self> {
        let mut file: File = text.read()?;
        if file.schema != "fight/1" {
            return Err(text.refuse(
                "schema",
                format!("`{}` is not a schema of the fight pack", file.schema),
                "fight/1",
                "give the fight pack, or update the program",
            ));
        }
        let mut parameters = Vec::with_capacity(PARAMETERS);
        for par in Par::ALL {
            let Some(p) = file.parameter.remove(par.key()) else {
                return Err(text.refuse(
                    "parameter",
                    format!("the parameter `{}` is missing", par.key()),
                    "every parameter of the shipped pack",
                    "copy the row from the shipped pack",
                ));
            };
            if let Some(allowed) = p.fault() {
                return Err(text.refuse(
                    &format!("parameter.{}", par.key()),
                    format!("low {}, mid {}, high {} is no band", p.low, p.mid, p.high),
                    allowed,
                    "correct this row",
                ));
            }
            parameters.push(p);
        }
        if let Some(key) = file.parameter.keys().next() {
            return Err(text.refuse(
                &format!("parameter.{key}"),
                format!("unknown parameter `{key}`"),
                "the parameters of the shipped pack",
                "correct the spelling or remove the row",
            ));
        }
        let default_behaviour = file.default_behaviour;
        let mut behaviour = BTreeMap::new();
        for (i, row) in file.behaviour.into_iter().enumerate() {
            let b = row.over(default_behaviour);
            if !b.sound() {
                return Err(text.refuse(
                    &format!("behaviour[{i}].species"),
                    format!("a factor of `{}` is out of range", row.species),
                    "factors 0 to 10, heading spread 0 to 90 degrees",
                    "correct this row",
                ));
            }
            behaviour.insert(row.species, b);
        }
        Ok(Self { parameters, default_behaviour, behaviour, reproduce: false })
    }

    /// The band of a parameter.
    pub fn parameter(&self, par: Par) -> &Parameter {
        &self.parameters[par as usize]
    }

    /// How `species` (its id in the species pack) behaves; the default where nothing is known of it.
    pub fn behaviour(&self, species: &str) -> Behaviour {
        self.behaviour.get(species).copied().unwrap_or(self.default_behaviour)
    }

    /// Whether the pack has a row for `species`.
    pub fn knows(&self, species: &str) -> bool {
        self.behaviour.contains_key(species)
    }

    /// The same pack with one parameter known exactly (a crew's own figure, or a check).
    pub fn fixed(mut self, par: Par, value: f64) -> Result<Self> {
        if !value.is_finite() || value < 0.0 {
            return Err(Error::new(
                format!("{value} is no value of a fight parameter"),
                "a finite number not below zero",
                "give the parameter in the unit of the pack",
            )
            .within(par.key()));
        }
        let p = &mut self.parameters[par as usize];
        (p.law, p.low, p.mid, p.high, p.product) = (Law::Fixed, value, value, value, None);
        Ok(self)
    }

    /// The same pack with every parameter at its middle: what is left is the luck of modes, headings, hook
    /// and landing.
    #[must_use]
    pub fn at_mid(mut self) -> Self {
        for (par, p) in Par::ALL.iter().zip(&mut self.parameters) {
            p.law = Law::Fixed;
            if *par == Par::DragError {
                // A spread, not a value: without spread there is no error.
                (p.low, p.mid, p.high) = (1.0, 1.0, 1.0);
            }
        }
        self
    }

    /// The same pack with the drawn value of every parameter, also where answers use another (`product`):
    /// reproduces older reference tables, never an answer.
    #[must_use]
    pub fn as_drawn(mut self) -> Self {
        self.reproduce = true;
        self
    }

    /// The value of a parameter at cumulative probability `u`.
    pub(super) fn value(&self, par: Par, u: f64) -> f64 {
        let p = self.parameter(par);
        match p.product {
            Some(v) if !self.reproduce => v,
            _ => p.at(u),
        }
    }
}

impl BehaviourRow {
    fn over(&self, d: Behaviour) -> Behaviour {
        Behaviour {
            speed_factor: self.speed_factor.unwrap_or(d.speed_factor),
            run_factor: self.run_factor.unwrap_or(d.run_factor),
            hold_factor: self.hold_factor.unwrap_or(d.hold_factor),
            first_run_factor: self.first_run_factor.unwrap_or(d.first_run_factor),
            store_factor: self.store_factor.unwrap_or(d.store_factor),
            psi_sd_deg: self.psi_sd_deg.unwrap_or(d.psi_sd_deg),
            suction_per_weight: self.suction_per_weight.unwrap_or(d.suction_per_weight),
            wetted_factor: self.wetted_factor.unwrap_or(d.wetted_factor),
        }
    }
}

impl Behaviour {
    pub(super) fn sound(&self) -> bool {
        let factors = [
            self.speed_factor,
            self.run_factor,
            self.hold_factor,
            self.first_run_factor,
            self.store_factor,
            self.suction_per_weight,
            self.wetted_factor,
        ];
        factors.iter().all(|f| (0.0..=10.0).contains(f)) && (0.0..=90.0).contains(&self.psi_sd_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHIPPED: &str = include_str!("../../../../data/fight.toml");

    #[test]
    fn reads_the_shipped_pack() {
        let p = Pack::read(&PackText::new("fight.toml", SHIPPED)).unwrap();
        assert_eq!(p.parameters.len(), PARAMETERS);
        assert_eq!(p.parameter(Par::StoreJKg).mid, 900.0);
        assert_eq!(p.behaviour("great_hammerhead").psi_sd_deg, 50.0);
        assert_eq!(p.behaviour("nobody knows"), Behaviour::default());
        assert_eq!(p.value(Par::SweepShare, 0.5), 0.0);
        assert!(p.clone().as_drawn().value(Par::SweepShare, 0.5) > 0.3);
        assert_eq!(p.at_mid().value(Par::BurstWKg, 0.01), 8.0);
    }

    #[test]
    fn refuses_with_line_and_key() {
        let say = |t: String| Pack::read(&PackText::new("fight.toml", &t)).unwrap_err();
        let e = say(SHIPPED.replacen("mid = 900", "mid = 90", 1));
        assert!(e.place.contains("parameter.store_J_kg") && e.place.contains("line"), "{e}");
        let e = say(SHIPPED.replacen("[parameter.reach_m]", "[parameter.reech_m]", 1));
        assert!(e.error.contains("reach_m") && e.error.contains("missing"), "{e}");
        assert!(say(SHIPPED.replacen("\nlow = ", "\nlwo = ", 1)).error.contains("lwo"));
        assert!(say(SHIPPED.replacen("fight/1", "fight/9", 1)).place.contains("schema"));
        assert!(
            say(SHIPPED.replacen("speed_factor = 1.3", "speed_factor = -1", 1)).error.contains("blacktip")
        );
    }

    #[test]
    fn a_band_returns_its_ends_and_middle() {
        let p = Pack::read(&PackText::new("fight.toml", SHIPPED)).unwrap();
        let broad = p.parameter(Par::Broadside);
        assert!((broad.at(0.5) - 0.3).abs() < 1e-12);
        assert!((broad.at(0.95) / broad.at(0.05) - 8.0).abs() < 1e-6);
        let duty = p.parameter(Par::Duty);
        assert!((duty.at(1e-12) - 0.5).abs() < 1e-5 && (duty.at(1.0 - 1e-12) - 0.9).abs() < 1e-5);
        assert!((duty.at(0.5) - 0.7).abs() < 1e-12);
    }
}
