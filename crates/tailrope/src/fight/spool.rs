//! The spool within the fight: radius and skin friction at any line out, cheap enough for every step.
//!
//! Law of [`crate::tackle::LoadedSpool`] (line volume with packing): r^2 = R^2 - sum of L d^2/(4 phi w) over
//! what is out, outermost piece first, tested against it; skin friction (1/2) rho Ct pi d L on the wet line.

use super::setup::Outfit;
use core::f64::consts::FRAC_PI_4;

/// Line out in pieces, nearest the fish first.
#[derive(Clone, Debug)]
pub(super) struct Spool {
    radius2: f64,
    arbor2: f64,
    pieces: Vec<Piece>,
    known: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
struct Piece {
    /// Line out at which this piece begins and ends.
    start: f64,
    end: f64,
    /// d^2/(4 w), m, and the sum of it over the length of the pieces before.
    thick: f64,
    thick_before: f64,
    /// Diameter times skin factor, and its sum over the length of the pieces before.
    skin: f64,
    skin_before: f64,
}

impl Spool {
    pub fn new(o: &Outfit) -> Self {
        let (mut start, mut thick_before, mut skin_before) = (0.0, 0.0, 0.0);
        let mut pieces = Vec::with_capacity(o.line.len());
        for p in &o.line {
            let d = p.diameter.m();
            // As if of square lay; the packing as a whole comes in as `phi`.
            let thick = d * d / (4.0 * o.width.m()) * (FRAC_PI_4 / p.packing);
            let skin = d * p.skin_factor;
            let end = p.length.map_or(f64::INFINITY, |l| start + l.m());
            pieces.push(Piece { start, end, thick, thick_before, skin, skin_before });
            thick_before += thick * (end - start);
            skin_before += skin * (end - start);
            start = end;
        }
        let (r, r0) = (o.radius.m(), o.arbor.m());
        let (radius2, arbor2) = (r * r, r0 * r0);
        let known = thick_before.is_finite().then(|| thick_before / (radius2 - arbor2));
        Self { radius2, arbor2, pieces, known }
    }

    /// The packing as a whole: what all the line takes of the room it fills, or the drawn one where the length
    /// of the innermost piece is not known.
    pub fn packing(&self, drawn: f64) -> f64 {
        self.known.unwrap_or(drawn)
    }

    fn piece(&self, line_out: f64) -> Option<&Piece> {
        self.pieces.iter().find(|p| line_out <= p.end).or(self.pieces.last())
    }

    /// Square of the radius with `line_out` m gone and packing `phi`; never below the arbor.
    pub fn radius2(&self, line_out: f64, phi: f64) -> f64 {
        let gone = self.piece(line_out).map_or(0.0, |p| p.thick_before + p.thick * (line_out - p.start));
        (self.radius2 - gone / phi).max(self.arbor2)
    }

    /// Diameter times length (m2) of the `wet` m nearest the fish, braid counted by its skin factor.
    pub fn skin(&self, wet: f64) -> f64 {
        self.piece(wet).map_or(0.0, |p| p.skin_before + p.skin * (wet - p.start))
    }

    /// All the line there is with packing `phi`, m.
    pub fn capacity(&self, phi: f64) -> f64 {
        self.pieces.last().map_or(0.0, |p| {
            if p.end.is_finite() {
                p.end
            } else {
                p.start + ((self.radius2 - self.arbor2) * phi - p.thick_before).max(0.0) / p.thick
            }
        })
    }

    /// Line out at which piece `i` begins to leave the spool.
    pub fn start(&self, i: usize) -> f64 {
        self.pieces.get(i).map_or(f64::INFINITY, |p| p.start)
    }

    /// Line out when all of piece `i` is off.
    pub fn end(&self, i: usize) -> f64 {
        self.pieces.get(i).map_or(f64::INFINITY, |p| p.end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fight::setup::{LinePiece, Strength};
    use crate::quantity::{Force, Length};
    use crate::tackle::{self, LoadedSpool, Wound};

    #[test]
    fn the_radius_is_that_of_the_load_path() {
        let bare = tackle::Spool::new(Length::of_mm(57.0), Length::of_mm(19.0), Length::of_mm(78.0)).unwrap();
        let wound = vec![
            Wound::new("main", Length::of_m(850.0), Length::of_mm(0.72), 0.70),
            Wound::new("top", Length::of_m(100.0), Length::of_mm(1.45), FRAC_PI_4),
        ];
        let loaded = LoadedSpool::wind(bare, wound.clone()).unwrap();
        let line = wound
            .iter()
            .rev()
            .map(|w| LinePiece {
                name: w.name.clone(),
                length: Some(w.length),
                diameter: w.diameter,
                packing: w.packing,
                skin_factor: 1.0,
                strength: Strength::Unbreakable,
            })
            .collect();
        let outfit = Outfit {
            radius: loaded.radius(Length::ZERO),
            arbor: bare.arbor,
            width: bare.width,
            line,
            max_drag: Force::of_n(300.0),
            drag: Force::of_n(100.0),
            strike_share: None,
            start_up: 1.0,
            guide: None,
            gear_high: 2.5,
            gear_low: 1.2,
            card: Vec::new(),
        };
        let spool = Spool::new(&outfit);
        let phi = spool.packing(0.6);
        assert!((phi - FRAC_PI_4).abs() < 1e-9, "{phi}");
        for out in [0.0, 40.0, 100.0, 100.1, 500.0, 949.0] {
            let r = spool.radius2(out, phi).sqrt();
            assert!((r - loaded.radius(Length::of_m(out)).m()).abs() < 1e-9, "{out}: {r}");
        }
        assert_eq!(spool.capacity(phi), 950.0);
        assert!((spool.skin(150.0) - (100.0 * 1.45e-3 + 50.0 * 0.72e-3)).abs() < 1e-12);
    }
}
