//! One angler on one beach: what is asked of the footing, before the pack fills in what is not known.

use super::pack::{Sand, Stance};
use super::statics::RodTip;
use crate::facts::Band;
use crate::quantity::{Angle, Length, Mass, Quantity, Span, Speed, Torque};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Backwash at the angler's legs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wash {
    /// Depth of the water.
    pub depth: Length,
    /// Speed of the backwash, seaward.
    pub flow: Speed,
}

/// One angler on one beach. What is `None` comes from the pack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnglerStand {
    /// Body mass, 25 to 250 kg.
    pub mass: Mass,
    /// Stance planned.
    pub stance: Stance,
    /// Centre of mass behind the pivot, measured level, 0 to 1.5 m.
    pub lean: Option<Length>,
    /// Pivot to the rearmost support.
    pub base: Option<Length>,
    /// Rod tip in the planned stance. In the other stances the rod keeps its angle, so the tip moves with the
    /// pin.
    pub tip: Option<RodTip>,
    /// Line below level at the tip, 0 to 90 degrees.
    pub line_angle: Option<Angle>,
    /// Fall of the beach seaward, 0 to 30 degrees.
    pub slope: Angle,
    /// What the feet stand on.
    pub sand: Sand,
    /// Friction measured by the crew, 0 to 1.5; planned at its low end ([`super::SlipTest`]). In moving wash the band of
    /// the pack counts where it is less.
    pub friction: Option<Band<f64>>,
    /// Water at the legs.
    pub wash: Option<Wash>,
    /// Moment the back bears, if the crew set its own.
    pub back_moment: Option<Torque>,
    /// Clear soft ground behind: only then may a lean beyond the base count.
    pub clear_behind: bool,
    /// How long the fight has lasted, 0 to 24 h: back and hands tire ([`super::fade`]).
    pub after: Span,
}

impl AnglerStand {
    /// An angler of this mass, upright on dry level sand, all else from the pack.
    pub fn new(mass: Mass) -> Self {
        Self {
            mass,
            stance: Stance::Upright,
            lean: None,
            base: None,
            tip: None,
            line_angle: None,
            slope: Angle::ZERO,
            sand: Sand::Dry,
            friction: None,
            wash: None,
            back_moment: None,
            clear_behind: false,
            after: Span::ZERO,
        }
    }

    /// Fall of the beach over its run.
    pub fn slope_tan(&self) -> f64 {
        crate::math::tan(self.slope.rad())
    }

    /// Whether water moves about the feet.
    pub fn in_moving_wash(&self) -> bool {
        self.sand == Sand::MovingWash
            || self.wash.is_some_and(|w| w.depth > Length::ZERO && w.flow.mps().abs() > 0.0)
    }

    pub(super) fn check(&self) -> Result<()> {
        let (m, deg) = (Length::of_m, Angle::of_deg);
        self.mass.within("mass of the angler", Mass::of_kg(25.0), Mass::of_kg(250.0))?;
        if let Some(lean) = self.lean {
            lean.within("lean", m(0.0), m(1.5))?;
        }
        if let Some(base) = self.base {
            base.within("base of the stance", m(0.0), m(1.5))?;
        }
        if let Some(tip) = self.tip {
            tip.up.within("height of the rod tip", m(0.1), m(6.0))?;
            tip.ahead.within("rod tip ahead of the feet", m(0.0), m(6.0))?;
        }
        if let Some(a) = self.line_angle {
            a.within("line angle", deg(0.0), deg(90.0))?;
        }
        self.slope.within("slope of the beach", deg(0.0), deg(30.0))?;
        if let Some(wash) = self.wash {
            wash.depth.within("depth of the wash", m(0.0), m(2.0))?;
            wash.flow.within("speed of the backwash", Speed::of_mps(0.0), Speed::of_mps(10.0))?;
        }
        if let Some(moment) = self.back_moment {
            moment.within("moment of the back", Torque::of_nm(1.0), Torque::of_nm(1000.0))?;
        }
        self.after.within("minutes of the fight", Span::ZERO, Span::of_h(24.0))?;
        match self.friction {
            Some(mu)
                if !(mu.low >= 0.0 && mu.low <= mu.central && mu.central <= mu.high && mu.high <= 1.5) =>
            {
                Err(Error::new(
                    format!("friction of the feet is {}", mu.central),
                    "0 to 1.5",
                    "write pull over weight at the first slip",
                ))
            }
            _ => Ok(()),
        }
    }
}
