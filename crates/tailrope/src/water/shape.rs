//! Places, pulls, and a line solved between its ends.

use super::vector::{V3, dot, minus, norm, times};
use crate::math::sq;
use crate::quantity::{Force, Length};

/// A place: x and y level, z above the surface.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// Along x.
    pub x: Length,
    /// Along y.
    pub y: Length,
    /// Height above the surface; below it negative.
    pub z: Length,
}

impl Place {
    /// A place by its coordinates.
    pub const fn new(x: Length, y: Length, z: Length) -> Self {
        Self { x, y, z }
    }
    pub(super) fn m(self) -> V3 {
        [self.x.m(), self.y.m(), self.z.m()]
    }
    pub(super) fn of(r: V3) -> Self {
        Self::new(Length::of_m(r[0]), Length::of_m(r[1]), Length::of_m(r[2]))
    }
}

/// A force by its three parts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pull {
    /// Along x.
    pub x: Force,
    /// Along y.
    pub y: Force,
    /// Upward.
    pub z: Force,
}

impl Pull {
    pub(super) fn of(f: V3) -> Self {
        Self { x: Force::of_n(f[0]), y: Force::of_n(f[1]), z: Force::of_n(f[2]) }
    }
    /// Its size.
    pub fn size(&self) -> Force {
        Force::of_n(norm([self.x.n(), self.y.n(), self.z.n()]))
    }
    /// Size of its level part.
    pub fn level(&self) -> Force {
        Force::of_n(norm([self.x.n(), self.y.n(), 0.0]))
    }
}

/// A place on a solved line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Unstretched line from end A.
    pub along: Length,
    /// Where it is.
    pub place: Place,
    /// Tension there.
    pub tension: Force,
}

/// A line at rest between its ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// From A to B, at even distances along the line.
    pub points: Vec<LinePoint>,
    /// What the line does to end A.
    pub at_a: Pull,
    /// What the line does to end B.
    pub at_b: Pull,
    /// Unstretched length of line between the ends.
    pub length: Length,
}

impl Shape {
    /// What current, wind and net weight put on the whole line: what both ends together carry.
    pub fn total(&self) -> Pull {
        Pull { x: self.at_a.x + self.at_b.x, y: self.at_a.y + self.at_b.y, z: self.at_a.z + self.at_b.z }
    }
    /// Greatest tension.
    pub fn greatest(&self) -> Force {
        self.points.iter().map(|p| p.tension).fold(Force::ZERO, Force::max)
    }
    /// Lowest height of the line: below the bed there, the line lies on it and the model does not hold.
    pub fn lowest(&self) -> Length {
        self.points.iter().map(|p| p.place.z).fold(Length::of_m(f64::INFINITY), Length::min)
    }
    /// Unstretched length under the surface.
    pub fn wet(&self) -> Length {
        let mut wet_m = 0.0;
        for pair in self.points.windows(2) {
            let [a, b] = pair else { continue };
            let (za, zb) = (a.place.z.m(), b.place.z.m());
            let share = if za <= 0.0 && zb <= 0.0 {
                1.0
            } else if za > 0.0 && zb > 0.0 {
                0.0
            } else {
                za.min(zb).abs() / (za - zb).abs()
            };
            wet_m += share * (b.along - a.along).m();
        }
        Length::of_m(wet_m)
    }
    /// Greatest distance of the line from the straight one between its ends.
    pub fn belly(&self) -> Length {
        let (Some(a), Some(b)) = (self.points.first(), self.points.last()) else { return Length::ZERO };
        let (a, b) = (a.place.m(), b.place.m());
        let chord = minus(b, a);
        let length = norm(chord);
        let off = |p: &LinePoint| {
            let d = minus(p.place.m(), a);
            let k = dot(d, chord) / sq(length);
            norm(minus(d, times(chord, k)))
        };
        Length::of_m(self.points.iter().map(off).fold(0.0, f64::max))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_what_is_wet_low_and_off_the_straight_line() {
        let point = |along, x, y, z| LinePoint {
            along: Length::of_m(along),
            place: Place::of([x, y, z]),
            tension: Force::of_n(10.0 + along),
        };
        let points = vec![
            point(0.0, 0.0, 0.0, -1.0),
            point(8.0, 6.0, 3.0, -1.5),
            point(16.0, 12.0, 0.0, 2.5),
            point(20.0, 16.0, 0.0, -1.0),
        ];
        let pull = Pull { x: Force::of_n(3.0), y: Force::of_n(4.0), z: Force::of_n(12.0) };
        let s = Shape { points, at_a: pull, at_b: pull, length: Length::of_m(20.0) };
        assert!((s.wet().m() - (8.0 + 8.0 * 1.5 / 4.0 + 4.0 * 1.0 / 3.5)).abs() < 1e-12);
        assert_eq!((s.lowest().m(), s.greatest().n()), (-1.5, 30.0));
        assert_eq!((pull.size().n(), pull.level().n(), s.total().z.n()), (13.0, 5.0, 24.0));
        assert!((s.belly().m() - 3.5).abs() < 1e-12);
        let one = Shape { points: Vec::new(), ..s };
        assert_eq!((one.belly(), one.wet()), (Length::ZERO, Length::ZERO));
    }
}
