//! How heavy is it?
//!
//! Model: `W = a L^b` by the species' preferred line, its own length type; a fallback line for sharks without
//! one; nothing for rays, sawfish, wedgefish and bony fish, whose mass the crew types (a bony fish by girth).
//! Girth rule: `W = c G^2 L`, c = 34.6 kg/m3 (32 to 40; tarpon 40).
//!
//! Limits: the error factors (2 sd: regression 1.32, proxy or assumed length type 1.56, fallback 1.82) are
//! DERIVED; a length that was converted first widens them. Wherever weight is the danger (tackle, footing,
//! spool, hands) use [`MassEstimate::heavy`]. Sources: Kohler, Casey & Turner 1995 and each line's own; Ault & Luo
//! 2013 for tarpon.

use super::{FishLength, LengthKind, Species};
use crate::facts::{Band, Grade};
use crate::math;
use crate::quantity::{Density, Length, Mass, Quantity};
use crate::{Error, Result};
use serde::Serialize;

/// What a mass rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MassBasis {
    /// A published regression of the species.
    Regression,
    /// A line whose length type is assumed, or one fitted through few points.
    Proxy,
    /// A line of the group, not of the species.
    Fallback,
    /// Girth and length.
    Girth,
}

impl MassBasis {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Regression => "length-weight line of the species",
            Self::Proxy => "length-weight line with an assumed length type or few fish behind it",
            Self::Fallback => "length-weight line of its group: wide error",
            Self::Girth => "girth and length",
        }
    }
}

/// A mass with its ends, two standard deviations each way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MassEstimate {
    /// Light end.
    pub light: Mass,
    /// Centre; never used alone where weight is the danger.
    pub central: Mass,
    /// Heavy end: for tackle, footing, spool and hands.
    pub heavy: Mass,
    /// `heavy = central * factor`, `light = central / factor`.
    pub factor: f64,
    /// What it rests on.
    pub basis: MassBasis,
    /// Weakest grade on the way.
    pub grade: Grade,
    /// Source and what it adds.
    pub source: String,
}

/// `W_kg = a * L_cm^b`.
#[derive(Clone, Debug, PartialEq)]
pub struct MassLine {
    /// Factor, kg and cm.
    pub a: f64,
    /// Exponent.
    pub b: f64,
    /// Length type it wants.
    pub kind: LengthKind,
    /// What it is worth.
    pub basis: MassBasis,
    /// Error factor, 2 sd.
    pub factor: f64,
    /// How far it can be trusted.
    pub grade: Grade,
    /// Where it was read and what that adds.
    pub source: String,
}

impl MassLine {
    fn mass_kg(&self, length: Length) -> f64 {
        self.a * math::pow(length.m() * 100.0, self.b)
    }
}

/// Where the mass of a species comes from.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum MassRule {
    Line(MassLine),
    Ask,
}

impl Species {
    /// The line its mass comes from; `None` where no length gives a mass.
    pub fn mass_line(&self) -> Option<&MassLine> {
        match &self.mass {
            MassRule::Line(line) => Some(line),
            MassRule::Ask => None,
        }
    }

    /// Mass at a length of 0.1 to 8 m. Refuses species for which no length gives a mass, and lengths that cannot
    /// be converted to the line's type.
    pub fn mass_at(&self, length: FishLength) -> Result<MassEstimate> {
        length.sensible("length of the fish")?;
        let MassRule::Line(line) = &self.mass else {
            return Err(Error::new(
                format!("no length gives the mass of a {}", self.name),
                "a mass typed by the crew, or girth and length for a bony fish",
                "give the mass, heavy rather than light",
            ));
        };
        let at = self.convert(length, line.kind)?;
        let central = line.mass_kg(at.value.length);
        // ln of the 2 sd factor, with the 2 sd of the converted length carried through the exponent.
        let spread = math::hypot(math::ln(line.factor), 2.0 * line.b * at.error);
        let factor = math::exp(spread);
        let source = if at.how.is_empty() {
            line.source.clone()
        } else {
            format!("{}; length converted: {}", line.source, at.how)
        };
        Ok(MassEstimate {
            light: Mass::of_kg(central / factor),
            central: Mass::of_kg(central),
            heavy: Mass::of_kg(central * factor),
            factor,
            basis: line.basis,
            grade: if at.how.is_empty() { line.grade } else { line.grade.max(at.grade) },
            source,
        })
    }

    /// The length, of the line's own type, at which the central mass is `mass` (the line turned round).
    pub fn length_at(&self, mass: Mass) -> Result<FishLength> {
        mass.within("mass of the fish", Mass::of_kg(0.1), Mass::of_kg(2000.0))?;
        let MassRule::Line(line) = &self.mass else {
            return Err(Error::new(
                format!("no mass gives the length of a {}", self.name),
                "a measured length",
                "measure or estimate the length",
            ));
        };
        let cm = math::pow(mass.kg() / line.a, 1.0 / line.b);
        Ok(FishLength::new(line.kind, Length::of_cm(cm)))
    }

    /// Mass from girth (behind the pectorals, in front of the dorsal) and length: low, central, high constant.
    pub fn mass_from_girth(&self, girth: Length, length: FishLength) -> Result<MassEstimate> {
        girth.within("girth", Length::of_m(0.05), Length::of_m(5.0))?;
        length.sensible("length of the fish")?;
        let at = self.body_length(length)?;
        let c = self.girth_const;
        let mass = c.map(|c| Mass::of_kg(c.kg_m3() * math::sq(girth.m()) * at.value.length.m()));
        let factor = (mass.high.kg() / mass.central.kg()).max(1.15);
        Ok(MassEstimate {
            light: mass.low,
            central: mass.central,
            heavy: mass.central * factor,
            factor,
            basis: MassBasis::Girth,
            grade: if at.how.is_empty() { Grade::SecondHand } else { Grade::SecondHand.max(at.grade) },
            source: format!("W = {} G^2 L", c.central.kg_m3()),
        })
    }

    /// The constant of the girth rule.
    pub fn girth_constant(&self) -> Band<Density> {
        self.girth_const
    }
}
