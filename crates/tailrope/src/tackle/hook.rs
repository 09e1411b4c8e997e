//! Hooks: what the law asks of them, and at what pull they open.
//!
//! Model: plastic bending of the bend's wire, `F = F0 (d/d0)^n (gap0/gap)`, same steel and temper, `n = 3` by
//! theory and 3.35 from the one published pair (S01). A wider gap only lowers it. Limit: no load was found for
//! forged hooks of 18/0 to 24/0; a crew that pulls one open on a scale knows better.

use super::strength::Strength;
use super::tables::{BandFigure, Tables};
use crate::facts::{Band, Figure, Grade, Known};
use crate::math::pow;
use crate::quantity::{Force, Length, Mass, Quantity};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// Shape of a hook.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum HookStyle {
    /// Point turned back at the shank.
    Circle,
    /// J hook.
    J,
    /// Treble.
    Treble,
    /// Anything else.
    Other,
}

impl HookStyle {
    /// The word in files and rule packs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Circle => "circle",
            Self::J => "j",
            Self::Treble => "treble",
            Self::Other => "other",
        }
    }
}

/// Metal of a hook.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum HookMetal {
    /// Carbon steel of whatever finish.
    CarbonSteel,
    /// Stainless steel.
    Stainless,
}

/// A hook as the crew describes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hook {
    /// Shape.
    #[serde(default)]
    pub style: Known<HookStyle>,
    /// Size: the number before `/0`.
    #[serde(default)]
    pub size: Known<f64>,
    /// Whether the point stands out of the plane of the shank.
    #[serde(default)]
    pub offset: Known<bool>,
    /// Metal.
    #[serde(default)]
    pub metal: Known<HookMetal>,
    /// Diameter of the wire.
    #[serde(default)]
    pub wire: Known<Length>,
    /// Widest inside distance between any two points of the bend.
    #[serde(default)]
    pub gap: Known<Length>,
    /// Straight distance from the point across to the shank.
    #[serde(default)]
    pub point_to_shank: Known<Length>,
    /// Length of the shank.
    #[serde(default)]
    pub shank: Known<Length>,
    /// Outside width of the bend, shank and point included.
    #[serde(default)]
    pub width: Known<Length>,
    /// Mass of one.
    #[serde(default)]
    pub mass: Known<Mass>,
    /// Hooks on one line.
    #[serde(default)]
    pub count: Known<u8>,
    /// Whether hooks are joined point through eye.
    #[serde(default)]
    pub ganged: Known<bool>,
    /// Pull at which one of this batch opened or broke on the crew's scale.
    #[serde(default)]
    pub straightens_at: Known<Force>,
}

impl Hook {
    /// Refuses sizes that no hook has, and a point farther from the shank than the widest gap.
    pub fn check(&self) -> Result<()> {
        let mm = Length::of_mm;
        for (field, value, least, most) in [
            ("wire", self.wire, 0.5, 15.0),
            ("gap", self.gap, 3.0, 200.0),
            ("point_to_shank", self.point_to_shank, 1.0, 200.0),
            ("shank", self.shank, 5.0, 400.0),
            ("width", self.width, 3.0, 250.0),
        ] {
            if let Known::Known(l) = value {
                l.within(&format!("{field} of the hook"), mm(least), mm(most))
                    .map_err(|e| e.within(field))?;
            }
        }
        if let (Known::Known(p), Known::Known(g)) = (self.point_to_shank, self.gap)
            && p > g
        {
            return Err(Error::new(
                format!("point to shank {} mm is wider than the widest gap {} mm", p.mm(), g.mm()),
                "at most the gap",
                "gap is the widest inside distance anywhere in the bend: measure both again",
            )
            .within("point_to_shank"));
        }
        if let Known::Known(s) = self.size
            && !(1.0..=40.0).contains(&s)
        {
            return Err(Error::new(
                format!("size {s}"),
                "1 to 40 (16 for 16/0)",
                "write the number before /0",
            )
            .within("size"));
        }
        if let Known::Known(m) = self.mass {
            m.within("mass of the hook", Mass::of_g(0.1), Mass::of_kg(1.0)).map_err(|e| e.within("mass"))?;
        }
        if let (Known::Known(w), Known::Known(g)) = (self.width, self.gap)
            && w < g
        {
            return Err(Error::new(
                format!("outside width {} mm is less than the inside gap {} mm", w.mm(), g.mm()),
                "more than the gap",
                "the width is taken outside, wires included: measure both again",
            )
            .within("width"));
        }
        if let Known::Known(f) = self.straightens_at {
            f.within("pull that opens the hook", Force::of_n(10.0), Force::of_n(20_000.0))
                .map_err(|e| e.within("straightens_at"))?;
        }
        if self.count == Known::Known(0) {
            return Err(Error::new("no hook on the line", "1 or more", "count the hooks").within("count"));
        }
        Ok(())
    }

    /// Whether it is stainless.
    pub fn is_stainless(&self) -> Known<bool> {
        match self.metal {
            Known::Known(m) => Known::Known(m == HookMetal::Stainless),
            Known::Unknown => Known::Unknown,
        }
    }

    /// An upper bound of point to shank: itself, else the widest gap.
    pub fn point_to_shank_at_most(&self) -> Known<Length> {
        if self.point_to_shank.is_unknown() { self.gap } else { self.point_to_shank }
    }

    /// Mass of one: weighed, else by its wire and gap (an estimate of how long the wire is); unknown without wire.
    pub fn weight(&self, tables: &Tables) -> Known<BandFigure<Mass>> {
        if let Known::Known(m) = self.mass {
            return Known::Known(Figure::new(Band::exact(m), Grade::Measured, "weighed by the crew"));
        }
        let Known::Known(wire) = self.wire else { return Known::Unknown };
        let making = &tables.rig;
        let long = &making.hook_wire_in_gaps.value;
        let gap = match self.gap {
            Known::Known(g) => Band::exact(g),
            Known::Unknown => making.hook_gap_in_wires.value.map(|n| wire * n),
        };
        let per_m = making.hook_density.value.kg_m3() * super::material::area_m2(wire);
        let of = |gaps: f64, gap: Length| Mass::of_kg(per_m * gaps * gap.m());
        let band = Band {
            low: of(long.low, gap.low),
            central: of(long.central, gap.central),
            high: of(long.high, gap.high),
        };
        Known::Known(Figure::new(band, Grade::Estimate, making.hook_wire_in_gaps.source.clone()))
    }

    /// The least outside width of its size by the published definition, and whether this hook has it: `None` where
    /// the size is not listed, unknown where the width is not measured.
    pub fn keeps_definition(&self, tables: &Tables) -> Option<(Figure<Length>, Known<bool>)> {
        let size = self.size.get()?;
        let row = tables.hook.outside_width.iter().find(|r| (r.aught - size).abs() < 1e-9)?;
        Some((row.least.clone(), self.width.get().map(|w| w >= row.least.value).into()))
    }

    /// Pull at which it opens: the crew's own, else the law from the wire; unknown without either.
    pub fn strength(&self, tables: &Tables) -> Known<Strength> {
        if let Known::Known(f) = self.straightens_at {
            let own =
                Figure::new(Band::exact(f), Grade::Measured, "the crew's own pull on a hook of this batch");
            return Known::Known(Strength::of("opens at", &own));
        }
        let Known::Known(wire) = self.wire else { return Known::Unknown };
        let law = &tables.hook.law;
        let by_wire = |exponent| straightening(law.reference.value, law.reference_wire, wire, exponent);
        let ends = [by_wire(law.exponent.value.low), by_wire(law.exponent.value.high)];
        let figure: BandFigure<Force> = Figure::new(
            Band {
                low: ends[0].min(ends[1]),
                central: by_wire(law.exponent.value.central),
                high: ends[0].max(ends[1]),
            },
            law.reference.grade.max(law.exponent.grade),
            format!("{}; {}", law.reference.source, law.exponent.source),
        );
        let strength = Strength::of("opens at, by its wire", &figure).times("spread", &law.spread);
        Known::Known(match self.gap {
            Known::Known(gap) if gap > law.reference_gap.value => strength.times(
                "gap",
                &Figure::new(
                    Band::exact(law.reference_gap.value / gap),
                    law.reference_gap.grade,
                    law.reference_gap.source.clone(),
                ),
            ),
            _ => strength,
        })
    }
}

/// Pull that opens a hook of wire `d` when one of wire `d0`, same shape and steel, opens at `f0`:
/// `f0 (d/d0)^exponent`. Zero for a wire without diameter.
pub fn straightening(f0: Force, d0: Length, d: Length, exponent: f64) -> Force {
    if d0.m() > 0.0 && d.m() > 0.0 { f0 * pow(d / d0, exponent) } else { Force::ZERO }
}

/// Exponent that a pair of published loads gives: `ln(f1/f2)/ln(d1/d2)`. `None` if the wires are alike.
pub fn wire_exponent(f1: Force, d1: Length, f2: Force, d2: Length) -> Option<f64> {
    let n = crate::math::ln(f1 / f2) / crate::math::ln(d1 / d2);
    n.is_finite().then_some(n)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::tables::tests::shipped;

    fn opens(h: Hook) -> f64 {
        h.strength(&shipped()).get().unwrap().band.central.kgf()
    }

    #[test]
    fn thicker_wire_holds_more_and_a_wider_gap_less() {
        let h = Hook { wire: Known::Known(Length::of_mm(5.2)), ..Hook::default() };
        assert!((opens(h) - 212.9).abs() < 0.1);
        let wide = Hook { gap: Known::Known(Length::of_mm(45.0)), ..h };
        assert!(opens(wide) < opens(h));
        let narrow = Hook { gap: Known::Known(Length::of_mm(20.0)), ..h };
        assert_eq!(opens(narrow), opens(h));
        let own = Hook { straightens_at: Known::Known(Force::of_kgf(100.0)), ..h };
        assert!((opens(own) - 100.0).abs() < 1e-9);
        assert!(Hook::default().strength(&shipped()).is_unknown());
    }

    #[test]
    fn refuses_by_field() {
        let h = Hook {
            gap: Known::Known(Length::of_mm(38.0)),
            point_to_shank: Known::Known(Length::of_mm(39.0)),
            ..Hook::default()
        };
        assert_eq!(h.check().unwrap_err().place, "point_to_shank");
        assert_eq!(
            Hook { gap: h.gap, ..Hook::default() }.point_to_shank_at_most(),
            Known::Known(Length::of_mm(38.0))
        );
        assert!(Hook { size: Known::Known(160.0), ..Hook::default() }.check().is_err());
    }
}
