//! The spool within the fight: radius and skin friction at any line out, cheap enough for every step.
//!
//! Law of `tackle` (line volume with packing phi): r^2 = R^2 - sum of L d^2/(4 phi w) over what is out, outermost
//! piece first; skin friction (1/2) rho Ct pi d L on the wet line.

use super::setup::Outfit;

/// Line out in pieces, nearest the fish first.
#[derive(Clone, Debug)]
pub(super) struct Spool {
    radius2: f64,
    arbor2: f64,
    pieces: Vec<Piece>,
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
            let thick = d * d / (4.0 * o.width.m());
            let skin = d * p.skin_factor;
            let end = p.length.map_or(f64::INFINITY, |l| start + l.m());
            pieces.push(Piece { start, end, thick, thick_before, skin, skin_before });
            thick_before += thick * (end - start);
            skin_before += skin * (end - start);
            start = end;
        }
        let (r, r0) = (o.radius.m(), o.arbor.m());
        Self { radius2: r * r, arbor2: r0 * r0, pieces }
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
