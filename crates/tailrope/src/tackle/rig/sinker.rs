//! Sinkers: how they hang, on what arm, behind which weak link.

use super::section::SectionRole;
use crate::facts::Known;
use crate::quantity::{Force, Length, Mass, Quantity};
use crate::tackle::Material;
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// How a sinker hangs in the rig.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SinkerHang {
    /// In the loaded path: flies back with it.
    Fixed,
    /// Slides on the line.
    Sliding,
    /// On a weak link that parts first.
    WeakLink,
}

impl SinkerHang {
    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Fixed => "fixed in the loaded path",
            Self::Sliding => "sliding",
            Self::WeakLink => "on a weak link",
        }
    }
}

/// The arm on which a sinker hangs off the leader.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Arm {
    /// Its length.
    #[serde(default)]
    pub length: Known<Length>,
    /// What it is made of.
    #[serde(default)]
    pub material: Known<Material>,
    /// Its diameter.
    #[serde(default)]
    pub diameter: Known<Length>,
    /// Strength on its label.
    #[serde(default)]
    pub strength: Known<Force>,
}

/// A sinker.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sinker {
    /// Mass.
    #[serde(default)]
    pub mass: Known<Mass>,
    /// How it hangs.
    #[serde(default)]
    pub hang: Known<SinkerHang>,
    /// Whether it has wires.
    #[serde(default)]
    pub wired: Known<bool>,
    /// Strength of the weak link.
    #[serde(default)]
    pub link: Known<Force>,
    /// Arm on which it hangs, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arm: Option<Arm>,
    /// The section above which it hangs; unknown counts as the first: at the main line.
    #[serde(default)]
    pub above: Known<SectionRole>,
    /// Median pull that moved it in wet sand in the crew's own test.
    #[serde(default)]
    pub hold_measured: Known<Force>,
}

impl Sinker {
    /// Refuses sizes that no sinker has, and a link that cannot be the weak one.
    pub(super) fn check(&self) -> Result<()> {
        if let Known::Known(m) = self.mass {
            m.within("mass of the sinker", Mass::of_g(1.0), Mass::of_kg(5.0))
                .map_err(|e| e.within("mass"))?;
        }
        for (field, f) in [("link", self.link), ("hold_measured", self.hold_measured)] {
            if let Known::Known(f) = f {
                f.within(field, Force::ZERO, Force::of_n(2000.0)).map_err(|e| e.within(field))?;
            }
        }
        let Some(arm) = self.arm else { return Ok(()) };
        if let Known::Known(l) = arm.length {
            l.within("length of the arm", Length::of_mm(10.0), Length::of_m(10.0))
                .map_err(|e| e.within("arm.length"))?;
        }
        if let Known::Known(d) = arm.diameter {
            d.within("diameter of the arm", Length::of_mm(0.05), Length::of_mm(10.0))
                .map_err(|e| e.within("arm.diameter"))?;
        }
        if let Known::Known(f) = arm.strength {
            f.within("strength of the arm", Force::of_n(5.0), Force::of_n(20_000.0))
                .map_err(|e| e.within("arm.strength"))?;
        }
        match (self.link, arm.strength) {
            (Known::Known(link), Known::Known(arm)) if link > arm => Err(Error::new(
                format!("the weak link of {:.0} N is stronger than its arm of {:.0} N", link.n(), arm.n()),
                "a link weaker than the arm",
                "a thinner link: it must part first",
            )
            .within("link")),
            _ => Ok(()),
        }
    }
}
