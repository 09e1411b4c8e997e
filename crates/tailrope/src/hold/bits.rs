//! The line between bait and rod tip, piece by piece, as the water knows it.
//!
//! Density, stiffness and skin friction come from the tackle pack by material, the middle of each band: they hardly move
//! the load of a soaking line; how much it strums does, and that stands as a band of its own.

use crate::facts::Known;
use crate::quantity::{Force, Length, Pressure, Quantity};
use crate::tackle::{Material, Outfit, Tables};
use crate::water::{Cable, NormalLaw, Pieces, Strand};
use crate::{Error, Result};

/// A piece of line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bit {
    /// What it is made of.
    pub material: Material,
    /// Its diameter.
    pub diameter: Length,
    /// Its length; of the last piece, at the rod, it does not count.
    pub length: Length,
}

impl Bit {
    fn cable(&self, tables: &Tables, strum: f64) -> Result<Cable> {
        self.diameter.within("diameter of the line", Length::of_mm(0.05), Length::of_mm(10.0))?;
        let row = tables.material(self.material);
        let modulus: Pressure = row.modulus.value.central;
        let strand = Strand::new(self.diameter, row.density.value.central, modulus)?;
        Ok(Cable { strand, normal: NormalLaw::Current { strum }, ct: row.skin.value.central })
    }
}

/// The pieces as the cable takes them, from the bait to the rod.
///
/// # Errors
/// No piece, a diameter that no line has, a piece without length.
pub fn pieces(bits: &[Bit], tables: &Tables, strum: f64) -> Result<Pieces> {
    let Some((last, near)) = bits.split_last() else {
        return Err(Error::new(
            "no line is known",
            "diameter and material of the line in the water",
            "write it like --line 0.9mm",
        ));
    };
    let near = near.iter().map(|b| Ok((b.cable(tables, strum)?, b.length))).collect::<Result<Vec<_>>>()?;
    Pieces::new(near, last.cable(tables, strum)?)
}

/// The pieces of an outfit that lie between bait and rod when `out` of line is out: from the outer end of the spool's
/// line inwards. Refuses a piece of which neither diameter nor label is known.
pub fn of_outfit(outfit: &Outfit, tables: &Tables, out: Length) -> Result<Vec<Bit>> {
    let mut bits = Vec::new();
    let mut left = out.m().max(0.0);
    // The first piece of the file is the deepest on the spool, the last the one at the rig.
    for piece in outfit.line.iter().rev() {
        if left <= 0.0 {
            break;
        }
        let Known::Known(diameter) = piece.diameter(tables) else {
            return Err(Error::new(
                format!("the diameter of the {} is not known", piece.title()),
                "a diameter, or material and label",
                "measure it with a caliper, or over ten tight turns on a pencil",
            )
            .within("outfit.line"));
        };
        // Known by its label alone a line may be thicker than its middle: the thickest loads the most.
        // Nylon is the softest and heaviest of the usual lines; it hardly matters here.
        let material = piece.material.get().unwrap_or(Material::Nylon);
        bits.push(Bit { material, diameter: diameter.value.high, length: piece.length });
        left -= piece.length.m();
    }
    Ok(bits)
}

/// Greatest stretch that a pull makes in the softest piece, as a share of its length.
pub(super) fn most_stretch(bits: &[Bit], tables: &Tables, pull: Force) -> f64 {
    let of = |b: &Bit| {
        let area = core::f64::consts::PI / 4.0 * crate::math::sq(b.diameter.m());
        pull.n() / (tables.material(b.material).modulus.value.low.pa() * area)
    };
    bits.iter().map(of).fold(0.0, f64::max)
}
