//! From the world's metres to the page.

use super::canvas::At;
use super::label::PageBox;

/// A window of the world on the page: x grows to the right, y upward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    page: PageBox,
    from: (f64, f64),
    scale: (f64, f64),
}

impl Frame {
    /// Fits the world's ranges into a box of the page, each axis with a scale of its own. A range without extent or
    /// not finite is widened to one unit, so that a picture always comes out.
    pub fn stretched(page: PageBox, x: (f64, f64), y: (f64, f64)) -> Self {
        let (x, y) = (sound(x), sound(y));
        let scale = (page.width / (x.1 - x.0), page.height / (y.1 - y.0));
        Self { page, from: (x.0, y.0), scale }
    }

    /// The same with one scale for both axes: a drawing to scale, in the middle of the box.
    pub fn to_scale(page: PageBox, x: (f64, f64), y: (f64, f64)) -> Self {
        let (x, y) = (sound(x), sound(y));
        let one = (page.width / (x.1 - x.0)).min(page.height / (y.1 - y.0));
        let (width, height) = (one * (x.1 - x.0), one * (y.1 - y.0));
        let left = page.left + 0.5 * (page.width - width);
        let top = page.top + 0.5 * (page.height - height);
        Self { page: PageBox { left, top, width, height }, from: (x.0, y.0), scale: (one, one) }
    }

    /// A point of the world on the page.
    pub fn at(&self, x: f64, y: f64) -> At {
        At {
            x: self.page.left + (x - self.from.0) * self.scale.0,
            y: self.page.top + self.page.height - (y - self.from.1) * self.scale.1,
        }
    }

    /// Page units for one of the world's along x and along y.
    pub fn scale(&self) -> (f64, f64) {
        self.scale
    }

    /// The box of the page that it fills.
    pub fn page(&self) -> PageBox {
        self.page
    }

    /// The world's range along x and along y.
    pub fn ranges(&self) -> ((f64, f64), (f64, f64)) {
        let (w, h) = (self.page.width / self.scale.0, self.page.height / self.scale.1);
        ((self.from.0, self.from.0 + w), (self.from.1, self.from.1 + h))
    }
}

fn sound(range: (f64, f64)) -> (f64, f64) {
    let (a, b) = range;
    let (a, b) = if a <= b { (a, b) } else { (b, a) };
    if !(a.is_finite() && b.is_finite()) {
        return (0.0, 1.0);
    }
    if b - a > 1e-9 { (a, b) } else { (a - 0.5, b + 0.5) }
}

/// Round numbers from `from` to `to`, about `wanted` of them (at most twice as many): steps of 1, 2 or 5 times a
/// power of ten.
pub fn ticks(from: f64, to: f64, wanted: usize) -> Vec<f64> {
    let (from, to) = sound((from, to));
    let rough = (to - from) / wanted.clamp(1, 50) as f64;
    let mut step = 1.0;
    while step > rough {
        step /= 10.0;
    }
    while step * 10.0 <= rough {
        step *= 10.0;
    }
    let step = [1.0, 2.0, 5.0, 10.0].map(|m| m * step).into_iter().find(|s| *s >= rough).unwrap_or(step);
    let first = (from / step - 1e-9).ceil();
    let last = (to / step + 1e-9).floor();
    // Counted, not added up: no drift. Adding zero turns -0 into 0.
    (0..4 * wanted.clamp(1, 50))
        .map(|i| first + i as f64)
        .take_while(|n| *n <= last)
        .map(|n| n * step + 0.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PAGE: PageBox = PageBox { left: 10.0, top: 20.0, width: 200.0, height: 100.0 };

    #[test]
    fn corners_meet_corners_and_up_is_up() {
        let f = Frame::stretched(PAGE, (0.0, 50.0), (-5.0, 5.0));
        assert_eq!(f.at(0.0, -5.0), At { x: 10.0, y: 120.0 });
        assert_eq!(f.at(50.0, 5.0), At { x: 210.0, y: 20.0 });
        assert_eq!(f.ranges(), ((0.0, 50.0), (-5.0, 5.0)));
    }

    #[test]
    fn to_scale_keeps_right_angles() {
        let f = Frame::to_scale(PAGE, (0.0, 10.0), (0.0, 10.0));
        assert_eq!(f.scale().0, f.scale().1);
        assert_eq!(f.page(), PageBox { left: 60.0, top: 20.0, width: 100.0, height: 100.0 });
    }

    #[test]
    fn ticks_are_round() {
        assert_eq!(ticks(0.0, 180.0, 5), vec![0.0, 50.0, 100.0, 150.0]);
        assert_eq!(ticks(-3.0, 3.0, 6), vec![-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0]);
        assert_eq!(ticks(0.0, 0.6, 3), vec![0.0, 0.2, 0.4, 0.6000000000000001]);
    }

    proptest! {
        #[test]
        fn ticks_lie_inside_and_are_few(a in -1e6..1e6f64, d in 1e-3..1e6f64, n in 1usize..12) {
            let t = ticks(a, a + d, n);
            prop_assert!(t.len() <= 2 * n + 2);
            prop_assert!(t.iter().all(|x| *x >= a - 1e-6 * d && *x <= a + d * (1.0 + 1e-6)));
        }

        #[test]
        fn any_range_gives_finite_points(a in any::<f64>(), b in any::<f64>()) {
            let f = Frame::to_scale(PAGE, (a, b), (b, a));
            let (x, _) = f.ranges();
            prop_assert!(f.at(x.0, 0.0).x.is_finite());
            let _ = ticks(a, b, 5);
        }
    }
}
