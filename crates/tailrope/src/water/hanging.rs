//! Lines that hang by their own weight: the level catenary, and the elastic catenary between two ends, free,
//! stretched, slack or partly on the bed.
//!
//! Closed forms (Irvine, *Cable Structures*, 1981; bed contact with friction as in Jonkman 2007, NREL/TP-500-41958,
//! appendix B). Weight acts on each unstretched metre. Without current; in a current use [`super::Cable`].

use super::LineLoad;
use super::newton::solve;
use crate::math::{asinh, cosh, exp, hypot, ln, ln1p, sinh, sq, tanh};
use crate::quantity::{Force, Length};
use crate::{Error, Result};

/// An inextensible line hung between two ends of the same height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hanging {
    /// Horizontal tension over weight: the radius of the bend at the lowest point.
    pub a: Length,
    /// Depth of the lowest point below the ends.
    pub sag: Length,
    /// Length of line.
    pub length: Length,
    /// Tension at the ends, the greatest.
    pub greatest: Force,
}

impl Hanging {
    /// From the horizontal tension, the weight of a metre and the span. Refuses what hangs more than a
    /// hundred times deeper than its bend, and anything not above zero.
    pub fn level(horizontal: Force, weight: LineLoad, span: Length) -> Result<Self> {
        let a_m = horizontal.n() / weight.n_per_m().abs();
        let half = span.m() / (2.0 * a_m);
        if !(a_m.is_finite() && a_m > 0.0 && half > 0.0 && half < 100.0) {
            return Err(Error::new(
                format!(
                    "{} N cannot hold {} m of line of {} N/m",
                    horizontal.n(),
                    span.m(),
                    weight.n_per_m()
                ),
                "tension, weight and span above zero, and enough tension for the span",
                "raise the tension or shorten the span",
            ));
        }
        Ok(Self {
            a: Length::of_m(a_m),
            sag: Length::of_m(2.0 * a_m * sq(sinh(half / 2.0))),
            length: Length::of_m(2.0 * a_m * sinh(half)),
            greatest: horizontal * cosh(half),
        })
    }
}

/// Force that a line puts on one of its ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EndPull {
    /// Level part, positive from end A towards end B.
    pub level: Force,
    /// Upright part, positive upward.
    pub upright: Force,
}

impl EndPull {
    /// The tension there.
    pub fn tension(&self) -> Force {
        Force::of_n(hypot(self.level.n(), self.upright.n()))
    }
}

/// An elastic line between end A (the lower) and end B, at rest under its own weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElasticCatenary {
    /// What the line does to end A.
    pub at_a: EndPull,
    /// What the line does to end B.
    pub at_b: EndPull,
    /// Unstretched line that lies on the bed.
    pub on_bed: Length,
    /// Height of the lowest point above end A: 0 or below.
    pub lowest: Length,
}

impl ElasticCatenary {
    /// A line free to hang below end A. `span` is the level distance, `rise` the height of B above A (not
    /// below 0), `length` the unstretched line, `stiffness` E A, `weight` that of an unstretched metre.
    ///
    /// A line without weight is straight if stretched, and refused if slack: nothing gives it a shape.
    pub fn free(
        span: Length,
        rise: Length,
        length: Length,
        stiffness: Force,
        weight: LineLoad,
    ) -> Result<Self> {
        let (xf, zf, l, ea, w) = checked(span, rise, length, stiffness, weight)?;
        let chord = hypot(xf, zf);
        if w * l < 1e-12 * ea {
            if l > chord {
                return Err(Error::new(
                    format!("{l} m of weightless line over {chord} m is slack"),
                    "line with weight, or not longer than the distance",
                    "give the density of the line, or a shorter line",
                ));
            }
            let t = ea * (chord / l - 1.0);
            let (h, v) = (t * xf / chord, t * zf / chord);
            return Ok(Self::of(h, v, v, 0.0, 0.0));
        }
        let (h, v) = free_ends(xf, zf, l, ea, w).ok_or_else(|| no_shape(xf, zf, l))?;
        let va = v - w * l;
        let lowest = if va < 0.0 && v > 0.0 {
            let s = -va / w;
            (h - hypot(h, va)) / w + (va * s + 0.5 * w * s * s) / ea
        } else {
            0.0
        };
        Ok(Self::of(h, va, v, 0.0, lowest.min(0.0)))
    }

    /// A line whose end A lies on a level bed that carries it, with the given coefficient of friction.
    ///
    /// Falls back to [`Self::free`] where the line leaves A upward.
    pub fn on_bed(
        span: Length,
        rise: Length,
        length: Length,
        stiffness: Force,
        weight: LineLoad,
        friction: f64,
    ) -> Result<Self> {
        let (xf, zf, l, ea, w) = checked(span, rise, length, stiffness, weight)?;
        if w * l < 1e-12 * ea {
            return Self::free(span, rise, length, stiffness, weight);
        }
        // Straight up from the bed: w h^2/(2 EA) + h = zf.
        let upright = 2.0 * zf / (1.0 + (1.0 + 2.0 * w * zf / ea).sqrt());
        if l - upright >= xf {
            return Ok(Self::of(0.0, 0.0, w * upright, l - upright, 0.0));
        }
        if zf > 0.0
            && let Some((h, v)) = bed_ends(xf, zf, l, ea, w, friction.max(0.0))
        {
            let lying = l - v / w;
            let at_a = (h - friction.max(0.0) * w * lying).max(0.0);
            let mut shape = Self::of(h, 0.0, v, lying, 0.0);
            shape.at_a.level = Force::of_n(at_a);
            return Ok(shape);
        }
        let free = Self::free(span, rise, length, stiffness, weight)?;
        if free.lowest.m() < 0.0 {
            // Both ends on the bed, stretched: it lies.
            let t = ea * (xf / l - 1.0);
            return Ok(Self::of(t.max(0.0), 0.0, 0.0, l, 0.0));
        }
        Ok(free)
    }

    fn of(h: f64, va: f64, vb: f64, on_bed: f64, lowest: f64) -> Self {
        Self {
            at_a: EndPull { level: Force::of_n(h), upright: Force::of_n(va) },
            at_b: EndPull { level: Force::of_n(-h), upright: Force::of_n(-vb) },
            on_bed: Length::of_m(on_bed),
            lowest: Length::of_m(lowest),
        }
    }
}

fn checked(
    span: Length,
    rise: Length,
    length: Length,
    stiffness: Force,
    weight: LineLoad,
) -> Result<(f64, f64, f64, f64, f64)> {
    let (xf, zf, l, ea, w) = (span.m(), rise.m(), length.m(), stiffness.n(), weight.n_per_m());
    let ok = [xf, zf, l, ea, w].iter().all(|x| x.is_finite() && *x >= 0.0);
    if ok && xf > 0.0 && l > 0.0 && ea > 0.0 {
        return Ok((xf, zf, l, ea, w));
    }
    Err(Error::new(
        format!("a line of {l} m, {ea} N stiffness and {w} N/m, {xf} m out and {zf} m up"),
        "span, length and stiffness above zero, rise and weight not below zero",
        "name the lower end A; turn a floating line upside down",
    ))
}

fn no_shape(xf: f64, zf: f64, l: f64) -> Error {
    Error::new(
        format!("no shape found for {l} m of line {xf} m out and {zf} m up"),
        "a line that can reach",
        "check length, distance and stiffness",
    )
}

/// (asinh(v/h) - asinh(va/h), tb - ta) without losing digits when both are nearly the same.
fn spread(h: f64, v: f64, va: f64) -> (f64, f64) {
    let (tb, ta) = (hypot(h, v), hypot(h, va));
    let difference = (v - va) * (v + va) / (tb + ta);
    let turn = if v + va >= 0.0 {
        ln1p(((v - va) + difference) / (va + ta))
    } else {
        ln1p(((v - va) - difference) / (tb - v))
    };
    // Where the low end hangs straight down, va + ta vanishes: the plain form is then exact enough.
    let turn = if turn.is_finite() { turn } else { asinh(v / h) - asinh(va / h) };
    (turn, difference)
}

/// Level and upright tension at end B of a free elastic catenary. Newton on (ln H, V): the end force is the
/// gradient of a convex function of the ends, so the damped step always gains.
pub(super) fn free_ends(xf: f64, zf: f64, l: f64, ea: f64, w: f64) -> Option<(f64, f64)> {
    let chord = hypot(xf, zf);
    let miss = |h: f64, v: f64| {
        let (turn, difference) = spread(h, v, v - w * l);
        let x = h / w * turn + h * l / ea;
        let z = difference / w + (v - 0.5 * w * l) * l / ea;
        (x - xf, z - zf)
    };
    let (mut u, mut v) = if l > chord {
        let lambda = (3.0 * ((l * l - zf * zf) / sq(xf) - 1.0)).max(1e-9).sqrt();
        (ln(w * xf / (2.0 * lambda)), 0.5 * w * (zf / tanh(lambda) + l))
    } else {
        let t = (ea * (chord / l - 1.0)).max(w * l);
        (ln(t * xf / chord), t * zf / chord + 0.5 * w * l)
    };
    let mut f = miss(exp(u), v);
    for _ in 0..200 {
        let size = hypot(f.0, f.1);
        if size <= 1e-11 * chord.max(l) {
            return Some((exp(u), v));
        }
        let h = exp(u);
        let va = v - w * l;
        let (tb, ta) = (hypot(h, v), hypot(h, va));
        let (turn, _) = spread(h, v, va);
        let lean = (v / tb - va / ta) / w;
        let cross = h / w * (1.0 / tb - 1.0 / ta);
        let j = [[(turn / w - lean + l / ea) * h, cross], [cross * h, lean + l / ea]];
        let [du, dv] = solve(j, [f.0, f.1])?;
        let mut share = (2.0 / du.abs()).min(1.0);
        loop {
            let trial = miss(exp(u - share * du), v - share * dv);
            if hypot(trial.0, trial.1) < size {
                u -= share * du;
                v -= share * dv;
                f = trial;
                break;
            }
            share *= 0.5;
            if share < 1e-12 {
                // Rounding is all that is left.
                return (size <= 1e-7 * chord.max(l)).then(|| (exp(u), v));
            }
        }
    }
    None
}

/// The same for a line that partly lies on the bed: the height gives H from V, the distance gives V.
fn bed_ends(xf: f64, zf: f64, l: f64, ea: f64, w: f64, friction: f64) -> Option<(f64, f64)> {
    let at = |v: f64| {
        let q = w * (zf - v * v / (2.0 * ea * w));
        let h = ((v * v - q * q) / (2.0 * q)).max(0.0);
        let lying = l - v / w;
        let reach = if h > 0.0 { h / w * asinh(v / h) } else { 0.0 };
        // Stretch of the lying part: tension falls from H by friction, not below zero.
        let grip = friction * w;
        let held = if grip > 0.0 { (h / grip).min(lying) } else { lying };
        let lying_stretch = (h * held - 0.5 * grip * held * held) / ea;
        (lying + reach + h * (v / w) / ea + lying_stretch - xf, h)
    };
    // V from the upright line (H = 0) to where the whole line hangs or only stretch carries the height.
    let mut low = 2.0 * zf * w / (1.0 + (1.0 + 2.0 * w * zf / ea).sqrt());
    let mut high = (w * l).min((2.0 * ea * w * zf).sqrt() * (1.0 - 1e-12));
    if high <= low || at(high).0 < 0.0 {
        return None;
    }
    for _ in 0..200 {
        let mid = 0.5 * (low + high);
        if at(mid).0 < 0.0 { low = mid } else { high = mid }
    }
    let v = 0.5 * (low + high);
    Some((at(v).1, v))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn free(xf: f64, zf: f64, l: f64, ea: f64, w: f64) -> Result<ElasticCatenary> {
        let (x, z, l) = (Length::of_m(xf), Length::of_m(zf), Length::of_m(l));
        ElasticCatenary::free(x, z, l, Force::of_n(ea), LineLoad::of_n_per_m(w))
    }

    proptest! {
        #[test]
        fn weight_hangs_on_both_ends_and_a_heavier_line_never_pulls_less(
            xf in 5.0..400.0f64, zf in 0.0..30.0f64, slack in 0.97..1.4f64, ea in 500.0..1e5f64,
            w in 1e-4..2.0f64, more in 1.0..2.0f64,
        ) {
            let l = hypot(xf, zf) * slack;
            let c = free(xf, zf, l, ea, w).unwrap();
            prop_assert!(((c.at_a.upright + c.at_b.upright).n() + w * l).abs() < 1e-6 * (w * l + c.at_b.tension().n()));
            prop_assert!(c.lowest.m() <= 0.0);
            let heavy = free(xf, zf, l, ea, w * more).unwrap();
            prop_assert!(heavy.at_b.tension().n() >= c.at_b.tension().n() * (1.0 - 1e-9));
        }

        #[test]
        fn a_stiff_level_line_is_the_plain_catenary(h in 5.0..200.0f64, w in 0.05..3.0f64, b in 5.0..100.0f64) {
            prop_assume!(b * w / (2.0 * h) < 3.0 && b * w / (2.0 * h) > 0.05);
            let plain = Hanging::level(Force::of_n(h), LineLoad::of_n_per_m(w), Length::of_m(b)).unwrap();
            let elastic = free(b, 0.0, plain.length.m(), 1e12, w).unwrap();
            prop_assert!((elastic.at_a.level.n() / h - 1.0).abs() < 1e-6);
            prop_assert!((elastic.lowest.m() + plain.sag.m()).abs() < 1e-6 * b);
        }

        #[test]
        fn more_friction_on_the_bed_never_pulls_harder_at_the_anchor(
            slack in 1.0..1.02f64, f in 0.0..1.0f64, more in 0.0..1.0f64,
        ) {
            let at = |friction| ElasticCatenary::on_bed(
                Length::of_m(100.0), Length::of_m(5.0), Length::of_m(hypot(100.0, 5.0) * slack),
                Force::of_n(5e4), LineLoad::of_n_per_m(1.0), friction,
            ).unwrap();
            prop_assert!(at(f + more).at_a.tension().n() <= at(f).at_a.tension().n() * (1.0 + 1e-9));
            prop_assert!(at(f).on_bed.m() >= 0.0);
        }
    }

    /// A stretchy line on a rough bed, laid out again by slices from the forces found: it must reach its ends.
    #[test]
    fn slices_of_a_stretchy_line_on_the_bed_reach_from_end_to_end() {
        for (l, friction) in [(96.0, 0.3), (99.0, 0.3), (99.0, 0.9), (101.0, 0.5)] {
            let (xf, zf, ea, w) = (100.0, 4.0, 800.0, 1.0);
            let c = ElasticCatenary::on_bed(
                Length::of_m(xf),
                Length::of_m(zf),
                Length::of_m(l),
                Force::of_n(ea),
                LineLoad::of_n_per_m(w),
                friction,
            )
            .unwrap();
            let (h, v, lying) = (-c.at_b.level.n(), -c.at_b.upright.n(), c.on_bed.m());
            assert!(lying > 1.0 && lying < l, "the case must touch the bed: {lying}");
            let (mut x, mut z) = (0.0, 0.0);
            let n = 200_000;
            let ds = l / f64::from(n);
            for i in 0..n {
                let s = (f64::from(i) + 0.5) * ds;
                if s < lying {
                    x += ds * (1.0 + (h - friction * w * (lying - s)).max(0.0) / ea);
                } else {
                    let up = v - w * (l - s);
                    let t = hypot(h, up);
                    x += ds * (h / t) * (1.0 + t / ea);
                    z += ds * (up / t) * (1.0 + t / ea);
                }
            }
            assert!((x - xf).abs() < 1e-3 && (z - zf).abs() < 1e-3, "{l} {friction}: {x} {z}");
            assert!((c.at_a.level.n() - (h - friction * w * lying).max(0.0)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_weightless_line_is_straight_or_refused() {
        let c = free(30.0, 40.0, 48.0, 1000.0, 0.0).unwrap();
        assert!((c.at_a.tension().n() - 1000.0 * 2.0 / 48.0).abs() < 1e-9);
        assert!((c.at_a.upright.n() / c.at_a.level.n() - 4.0 / 3.0).abs() < 1e-9);
        assert!(free(30.0, 40.0, 52.0, 1000.0, 0.0).unwrap_err().error.contains("slack"));
        assert!(free(30.0, -1.0, 52.0, 1000.0, 1.0).is_err());
    }

    #[test]
    fn a_line_long_enough_lies_slack_and_hangs_upright() {
        let c = ElasticCatenary::on_bed(
            Length::of_m(50.0),
            Length::of_m(10.0),
            Length::of_m(70.0),
            Force::of_n(1e5),
            LineLoad::of_n_per_m(2.0),
            0.5,
        )
        .unwrap();
        assert_eq!(c.at_a.tension().n(), 0.0);
        assert!((c.at_b.tension().n() - 20.0).abs() < 0.01 && (c.on_bed.m() - 60.0).abs() < 0.01);
    }
}
