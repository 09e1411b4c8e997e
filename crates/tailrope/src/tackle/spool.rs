//! The spool: capacity, radius with line out, and what that does to the drag.
//!
//! A drag gives a torque, not a force. The line leaves at the radius that is left, so the same lever mark
//! pulls harder the emptier the spool: `T = T_full R/r`.
//!
//! Model: line fills the annulus with a packing `phi` (share of its cross-section that is line), so a length
//! `L` of diameter `d` takes `L (pi d^2/4)/phi` of the volume `pi w (r^2 - r0^2)`. Each piece of a stack
//! (backing, main line, topshot) adds its own `L d^2/(4 phi w)`, in order. `phi` is `pi/4` for square lay
//! (nylon), about 0.70 for braid (estimate), 0.907 the hexagonal bound. Limits: a level lay across the whole
//! width; no bite of hard braid into softer turns; the width between straight flanges.
//! Source: geometry; an angling magazine's five-reel test (S19) measured about 0.5 lbf per 100 yd of 30-lb
//! line at 14 lbf, where this law gives 0.46 to 0.70.

use crate::quantity::{Force, Length, Torque};
use crate::{Error, Result, math};
use core::f64::consts::PI;
use serde::{Deserialize, Serialize};

/// Packing of square lay, the default for nylon and other single strands.
pub const PACKING_SQUARE: f64 = PI / 4.0;
/// Packing taken for braid (estimate; a tight machine wind reaches 0.80).
pub const PACKING_BRAID: f64 = 0.70;
/// Packing above which no round line can be laid.
pub const PACKING_MOST: f64 = 0.907;

/// The bare spool: three measures that a crew can take with a ruler.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spool {
    /// Radius of the line when the spool is filled as far as it should be (just below the flange's edge).
    pub rim: Length,
    /// Radius of the bare arbor.
    pub arbor: Length,
    /// Width between the flanges.
    pub width: Length,
}

impl Spool {
    /// A spool from its three measures; refuses what no reel has (rim 5 to 200 mm, arbor below the rim,
    /// width 5 to 300 mm).
    pub fn new(rim: Length, arbor: Length, width: Length) -> Result<Self> {
        let spool = Self { rim, arbor, width };
        spool.check()?;
        Ok(spool)
    }

    /// Refuses measures that no reel has, naming the field.
    pub fn check(&self) -> Result<()> {
        use crate::quantity::Quantity;
        self.rim
            .within("radius at the rim", Length::of_mm(5.0), Length::of_mm(200.0))
            .map_err(|e| e.within("rim"))?;
        self.width
            .within("width between the flanges", Length::of_mm(5.0), Length::of_mm(300.0))
            .map_err(|e| e.within("width"))?;
        self.arbor
            .within("radius of the arbor", Length::of_mm(1.0), Length::of_mm(200.0))
            .map_err(|e| e.within("arbor"))?;
        if self.arbor >= self.rim {
            return Err(Error::new(
                format!(
                    "the arbor has a radius of {} mm and the rim one of {} mm",
                    self.arbor.mm(),
                    self.rim.mm()
                ),
                "an arbor smaller than the rim",
                "measure both as radius: half of the width across",
            )
            .within("arbor"));
        }
        Ok(())
    }

    /// Length of one line that fills the spool to the rim: `4 phi w (R^2 - r0^2)/d^2`. Zero for a line
    /// without diameter.
    pub fn capacity(&self, diameter: Length, packing: f64) -> Length {
        let d2 = math::sq(diameter.m());
        if d2 <= 0.0 || packing.is_nan() || packing <= 0.0 {
            return Length::ZERO;
        }
        Length::of_m(
            4.0 * packing * self.width.m() * (math::sq(self.rim.m()) - math::sq(self.arbor.m())) / d2,
        )
    }
}

/// A piece of line as it lies on the spool.
#[derive(Clone, Debug, PartialEq)]
pub struct Wound {
    /// What the crew calls it.
    pub name: String,
    /// Its length.
    pub length: Length,
    /// Its diameter.
    pub diameter: Length,
    /// Share of the cross-section of the lay that is line, 0.3 to 0.907.
    pub packing: f64,
}

impl Wound {
    /// A piece of line with the packing of its lay.
    pub fn new(name: impl Into<String>, length: Length, diameter: Length, packing: f64) -> Self {
        Self { name: name.into(), length, diameter, packing }
    }

    /// Length of it that fills a difference of squares of radii (m2) at a width; zero for a line without diameter.
    pub(super) fn fills(&self, width: Length, squares_m2: f64) -> Length {
        let growth = self.growth_m(width);
        Length::of_m(if growth > 0.0 { squares_m2 / growth } else { 0.0 })
    }

    /// What one metre of it adds to the square of the radius, m.
    fn growth_m(&self, width: Length) -> f64 {
        math::sq(self.diameter.m()) / (4.0 * self.packing * width.m())
    }
}

/// Joint between two pieces of the stack, or the inner end of the last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointOff {
    /// Index of the piece inside of the joint (0 is wound on the arbor).
    pub inner: usize,
    /// Line out at which the joint leaves the spool.
    pub line_out: Length,
}

/// A spool with its line on it.
///
/// Pieces are kept in the order in which they were wound: the first lies on the arbor, the last goes out
/// first. Invariants: at least one piece; `radius(0)` is the full radius, not above the rim (half a
/// millimetre of slack allowed); `radius` falls without a jump to the arbor at [`LoadedSpool::line_length`].
#[derive(Clone, Debug, PartialEq)]
pub struct LoadedSpool {
    spool: Spool,
    pieces: Vec<Wound>,
    /// Square of the radius below and above each piece, m2: one longer than `pieces`.
    squares_m2: Vec<f64>,
    full: Length,
}

/// Refusal of a stack that stands over the rim. It names the piece with which the spool runs over: a backing that
/// is too long or too thick is not mended by winding less topshot.
fn over_full(spool: &Spool, pieces: &[Wound], squares_m2: &[f64], over: Length) -> Error {
    let rim = math::sq(spool.rim.m());
    let first = squares_m2.iter().skip(1).position(|s| *s > rim).unwrap_or(pieces.len() - 1);
    let piece = &pieces[first];
    let before = squares_m2[first];
    let total: Length = pieces.iter().map(|p| p.length).sum();
    if first + 1 < pieces.len() {
        return Error::new(
            format!(
                "{} alone fills the spool: {:.0} m of {} mm are wound, {:.0} m fit, and {} is still to come",
                piece.name,
                piece.length.m(),
                crate::quantity::significant(piece.diameter.mm(), 3),
                piece.fills(spool.width, (rim - before).max(0.0)).m().floor(),
                pieces[first + 1].name
            ),
            format!(
                "less than {:.0} m of {}",
                piece.fills(spool.width, (rim - before).max(0.0)).m().floor(),
                piece.name
            ),
            "wind less of it, take thinner line, or measure spool and line",
        );
    }
    let too_much = piece.fills(spool.width, squares_m2[pieces.len()] - rim);
    Error::new(
        format!("{:.0} m of line do not fit: they stand {:.1} mm over the rim", total.m(), over.mm()),
        format!("{:.0} m less of {}", too_much.m().ceil(), piece.name),
        "wind less, take thinner line, or measure spool and line: a label is often for thinner line",
    )
}

/// Line that stands proud of the rim by less than this is a matter of measuring.
const SLACK: Length = Length::of_mm(0.5);

impl LoadedSpool {
    /// Winds `pieces` on `spool`, the first on the arbor.
    ///
    /// Refuses an empty stack, a piece without length or with a diameter outside 0.05 to 10 mm, a packing
    /// outside 0.3 to 0.907, and a stack that does not fit below the rim: a label's capacity is often for a
    /// thinner line.
    pub fn wind(spool: Spool, pieces: Vec<Wound>) -> Result<Self> {
        use crate::quantity::Quantity;
        spool.check()?;
        if pieces.is_empty() {
            return Err(Error::new(
                "no line on the spool",
                "at least one piece of line",
                "say what is wound: length, diameter, material",
            ));
        }
        let mut squares_m2 = Vec::with_capacity(pieces.len() + 1);
        let mut square = math::sq(spool.arbor.m());
        squares_m2.push(square);
        for (i, piece) in pieces.iter().enumerate() {
            let at = |e: Error, field: &str| e.within(format!("[{i}].{field}"));
            piece
                .length
                .within(&format!("length of {}", piece.name), Length::of_m(0.1), Length::of_km(5.0))
                .map_err(|e| at(e, "length"))?;
            piece
                .diameter
                .within(&format!("diameter of {}", piece.name), Length::of_mm(0.05), Length::of_mm(10.0))
                .map_err(|e| at(e, "diameter"))?;
            if !(0.3..=PACKING_MOST).contains(&piece.packing) {
                return Err(Error::new(
                    format!("packing of {} is {}", piece.name, piece.packing),
                    format!("0.3 to {PACKING_MOST}"),
                    "measure it: wind a known length and read the radius",
                )
                .within(format!("[{i}].packing")));
            }
            square += piece.length.m() * piece.growth_m(spool.width);
            squares_m2.push(square);
        }
        let full = Length::of_m(square.sqrt());
        let over = full - spool.rim;
        if over > SLACK {
            return Err(over_full(&spool, &pieces, &squares_m2, over));
        }
        Ok(Self { spool, pieces, squares_m2, full })
    }

    /// The same stack with the packing of all pieces scaled so that the full radius is what the crew
    /// measured (depth of the line below the rim with all line on).
    ///
    /// Refuses a depth that would need a packing outside 0.3 to 0.907: then a length, a diameter or a measure
    /// of the spool is wrong.
    pub fn with_measured_depth(&self, below_rim: Length) -> Result<Self> {
        let full = self.spool.rim - below_rim;
        let room = math::sq(full.m()) - self.squares_m2[0];
        let needed = self.squares_m2[self.pieces.len()] - self.squares_m2[0];
        let scale = if full.m() > 0.0 && room > 0.0 { needed / room } else { f64::INFINITY };
        let pieces: Vec<Wound> =
            self.pieces.iter().map(|p| Wound { packing: p.packing * scale, ..p.clone() }).collect();
        Self::wind(self.spool, pieces).map_err(|_| {
            Error::new(
                format!(
                    "line that lies {:.1} mm below the rim does not agree with its lengths and diameters",
                    below_rim.mm()
                ),
                format!(
                    "about {:.1} mm for this line and spool",
                    (self.spool.rim - self.full).max(Length::ZERO).mm()
                ),
                "measure again: rim, arbor, width, diameter of the line, how much was wound",
            )
        })
    }

    /// The bare spool.
    pub fn spool(&self) -> &Spool {
        &self.spool
    }
    /// Pieces of line, that on the arbor first.
    pub fn pieces(&self) -> &[Wound] {
        &self.pieces
    }
    /// All line on the spool.
    pub fn line_length(&self) -> Length {
        self.pieces.iter().map(|p| p.length).sum()
    }
    /// Radius with all line on.
    pub fn full_radius(&self) -> Length {
        self.full
    }

    /// Radius with `line_out` off the spool. Below zero counts as zero; beyond the last of the line it is the
    /// arbor's.
    pub fn radius(&self, line_out: Length) -> Length {
        let mut left = line_out.m();
        if left.is_nan() || left <= 0.0 {
            return self.full;
        }
        for (i, piece) in self.pieces.iter().enumerate().rev() {
            if left < piece.length.m() {
                return Length::of_m(
                    (self.squares_m2[i + 1] - left * piece.growth_m(self.spool.width)).sqrt(),
                );
            }
            left -= piece.length.m();
        }
        self.spool.arbor
    }

    /// Line out at which the radius has fallen to `radius`; the inverse of [`LoadedSpool::radius`], clamped to
    /// what is on the spool.
    pub fn line_out_at(&self, radius: Length) -> Length {
        let square = math::sq(radius.m().max(0.0));
        let mut out = 0.0;
        for (i, piece) in self.pieces.iter().enumerate().rev() {
            let (below, above) = (self.squares_m2[i], self.squares_m2[i + 1]);
            if square >= above {
                break;
            }
            out += (above - square.max(below)) / piece.growth_m(self.spool.width);
        }
        Length::of_m(out)
    }

    /// Depth of the line below the rim: what a crew sees at night when nobody knows the metres.
    pub fn depth_below_rim(&self, line_out: Length) -> Length {
        self.spool.rim - self.radius(line_out)
    }

    /// `R/r`: by how much the drag has grown since the spool was full. Exactly 1 at no line out.
    pub fn growth(&self, line_out: Length) -> f64 {
        self.full / self.radius(line_out)
    }

    /// Drag at the spool with `line_out`, from what it is with a full spool.
    pub fn drag(&self, at_full: Force, line_out: Length) -> Force {
        at_full * self.growth(line_out)
    }

    /// Drag that a full spool would give, from what it is with `line_out`.
    pub fn drag_at_full(&self, drag: Force, line_out: Length) -> Force {
        drag / self.growth(line_out)
    }

    /// Torque of a drag felt at the spool with `line_out`.
    pub fn torque(&self, drag: Force, line_out: Length) -> Torque {
        Torque::of_nm(drag.n() * self.radius(line_out).m())
    }

    /// How fast the drag grows, in newtons for a metre of line: `T d^2/(8 phi w r^2)`. Zero when nothing is
    /// left on the spool.
    pub fn slope_n_per_m(&self, at_full: Force, line_out: Length) -> f64 {
        let Some(i) = self.leaving(line_out) else { return 0.0 };
        let r2 = math::sq(self.radius(line_out).m());
        self.drag(at_full, line_out).n() * self.pieces[i].growth_m(self.spool.width) / (2.0 * r2)
    }

    /// Index of the piece that is leaving (or about to leave) the spool at `line_out`; `None` when all is out.
    pub fn leaving(&self, line_out: Length) -> Option<usize> {
        let mut left = line_out.m().max(0.0);
        for (i, piece) in self.pieces.iter().enumerate().rev() {
            if left < piece.length.m() {
                return Some(i);
            }
            left -= piece.length.m();
        }
        None
    }

    /// Joints between pieces, in the order in which they leave the spool.
    pub fn joints(&self) -> Vec<JointOff> {
        let mut out = Length::ZERO;
        let mut joints = Vec::new();
        for (i, piece) in self.pieces.iter().enumerate().rev() {
            out = out + piece.length;
            if i > 0 {
                joints.push(JointOff { inner: i - 1, line_out: out });
            }
        }
        joints
    }

    /// Line won by one turn of the handle at `line_out` in a gear of `turns` turns of the spool: `2 pi r G`.
    pub fn retrieve_per_crank(&self, line_out: Length, turns: f64) -> Length {
        retrieve_per_crank(self.radius(line_out), turns)
    }
}

/// Line won by one turn of the handle at `radius` in a gear of `turns` turns of the spool: `2 pi r G`.
pub fn retrieve_per_crank(radius: Length, turns: f64) -> Length {
    radius * (2.0 * PI * turns)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn class_80w() -> Spool {
        Spool::new(Length::of_mm(57.0), Length::of_mm(19.0), Length::of_mm(78.0)).unwrap()
    }

    fn stack(backing_m: f64, top_m: f64) -> LoadedSpool {
        LoadedSpool::wind(
            class_80w(),
            vec![
                Wound::new("backing", Length::of_m(backing_m), Length::of_mm(0.55), PACKING_BRAID),
                Wound::new("topshot", Length::of_m(top_m), Length::of_mm(0.9), PACKING_SQUARE),
            ],
        )
        .unwrap()
    }

    #[test]
    fn a_thousand_yards_of_heavy_nylon_do_not_fit_a_130() {
        // Facts, question 18: 67/19/84 mm takes 782 m of 1.18 mm, not the label's 914 m; 640 m out is x2.01.
        let spool = Spool::new(Length::of_mm(67.0), Length::of_mm(19.0), Length::of_mm(84.0)).unwrap();
        let line = |m| Wound::new("main", Length::of_m(m), Length::of_mm(1.18), PACKING_SQUARE);
        let holds = spool.capacity(Length::of_mm(1.18), PACKING_SQUARE);
        assert!((holds.m() - 782.0).abs() < 0.5, "{holds:?}");
        let e = LoadedSpool::wind(spool, vec![line(914.0)]).unwrap_err();
        assert!(e.error.contains("do not fit") && e.allowed.contains("m less of main"), "{e}");
        let full = LoadedSpool::wind(spool, vec![line(holds.m())]).unwrap();
        assert!((full.growth(Length::of_m(640.0)) - 2.01).abs() < 0.005);
        assert!((full.growth(Length::of_m(457.0)) - 1.47).abs() < 0.005);
    }

    #[test]
    fn tells_which_piece_and_joint_leave() {
        let s = stack(400.0, 150.0);
        assert_eq!(s.leaving(Length::ZERO), Some(1));
        assert_eq!(s.leaving(Length::of_m(150.0)), Some(0));
        assert_eq!(s.leaving(Length::of_m(550.0)), None);
        assert_eq!(s.joints(), vec![JointOff { inner: 0, line_out: Length::of_m(150.0) }]);
        assert_eq!(s.radius(Length::of_m(600.0)), Length::of_mm(19.0));
    }

    #[test]
    fn a_measured_depth_corrects_the_packing_or_is_refused() {
        let s = stack(1000.0, 300.0);
        let deeper = s.with_measured_depth(s.depth_below_rim(Length::ZERO) - Length::of_mm(2.0)).unwrap();
        assert!(((deeper.full_radius() - s.full_radius()).mm() - 2.0).abs() < 1e-9);
        assert!(deeper.pieces()[0].packing < s.pieces()[0].packing);
        let e = s.with_measured_depth(Length::of_mm(30.0)).unwrap_err();
        assert!(e.error.contains("does not agree"), "{e}");
    }

    #[test]
    fn refuses_absurd_measures_by_name() {
        let mm = Length::of_mm;
        assert!(Spool::new(mm(57.0), mm(60.0), mm(78.0)).unwrap_err().place.contains("arbor"));
        assert!(Spool::new(mm(-57.0), mm(6.0), mm(78.0)).unwrap_err().place.contains("rim"));
        assert!(Spool::new(mm(57.0), mm(6.0), Length::of_m(f64::NAN)).is_err());
        assert!(LoadedSpool::wind(class_80w(), vec![]).is_err());
        let e = LoadedSpool::wind(class_80w(), vec![Wound::new("x", Length::of_m(9.0), mm(0.5), 2.0)])
            .unwrap_err();
        assert!(e.place.contains("packing"), "{e}");
    }

    proptest! {
        #[test]
        fn no_line_out_is_the_full_spool_exactly(b in 1.0..900.0_f64, t in 1.0..300.0_f64, n in 1.0..900.0_f64) {
            let s = stack(b, t);
            prop_assert_eq!(s.drag(Force::of_n(n), Length::ZERO), Force::of_n(n));
        }

        #[test]
        fn drag_only_grows_as_line_leaves(b in 1.0..900.0_f64, t in 1.0..300.0_f64, x in 0.0..1.0_f64, y in 0.0..1.0_f64) {
            let s = stack(b, t);
            let (near, far) = (s.line_length() * x.min(y), s.line_length() * x.max(y));
            prop_assert!(s.radius(far) <= s.radius(near));
            prop_assert!(s.growth(far) >= s.growth(near));
        }

        #[test]
        fn stacks_add(b in 1.0..900.0_f64, t in 1.0..300.0_f64) {
            // Two pieces of one line are one piece of both lengths.
            let d = Length::of_mm(0.6);
            let w = |m| Wound::new("l", Length::of_m(m), d, PACKING_BRAID);
            let two = LoadedSpool::wind(class_80w(), vec![w(b), w(t)]).unwrap();
            let one = LoadedSpool::wind(class_80w(), vec![w(b + t)]).unwrap();
            for share in [0.0, 0.3, 0.9] {
                let out = Length::of_m((b + t) * share);
                prop_assert!((two.radius(out) - one.radius(out)).m().abs() < 1e-12);
            }
        }

        #[test]
        fn line_out_is_the_inverse_of_the_radius(b in 50.0..900.0_f64, t in 50.0..300.0_f64, x in 0.0..1.0_f64) {
            let s = stack(b, t);
            let out = s.line_length() * x;
            prop_assert!((s.line_out_at(s.radius(out)) - out).m().abs() < 1e-6);
        }

        #[test]
        fn the_slope_is_the_derivative(b in 50.0..900.0_f64, t in 50.0..300.0_f64, x in 0.01..0.99_f64) {
            let s = stack(b, t);
            let (out, step) = (s.line_length() * x, Length::of_m(1e-3));
            prop_assume!(s.leaving(out - step) == s.leaving(out + step));
            let full = Force::of_n(150.0);
            let numeric = (s.drag(full, out + step) - s.drag(full, out - step)).n() / 2e-3;
            prop_assert!((numeric / s.slope_n_per_m(full, out) - 1.0).abs() < 1e-4);
        }
    }
}
