//! How far a drag read off the curve can be trusted.
//!
//! Three things widen it, and each is told apart:
//!
//! * **between marks** nobody read. A drag that rises and bends one way lies between the chord of the two marks and the
//!   lines of the neighbouring chords, carried on: that is the stretch given, cut to what the two marks themselves gave
//!   (of two marks alone nothing but that cut is known). An inference, not a bound for a cam with a kink: hence the
//!   advice to pull at the wanted setting itself.
//! * **scatter**: two pooled standard deviations of repeated pulls, `sqrt(1 + 1/n)` wider for a mean of `n` (the usual
//!   prediction of one more pull); nothing is known of it while no mark was read twice.
//! * **drift** with temperature, runs and wear: the pack's band (S19: no formula was measured), until a check pull.

use super::curve::DragCurve;
use super::knot::{Pooled, pooled};
use super::reading::Setting;
use crate::facts::{Band, Known};
use crate::quantity::Force;
use crate::tackle::tables::BandFigure;

/// One mark of the curve, in the drag that it gives off the reel with a full spool.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Setting.
    pub setting: Setting,
    /// Mean drag.
    pub drag: Force,
    /// Standard deviation of its readings as a share of the mean; unknown from one.
    pub spread: Known<f64>,
    /// How many readings.
    pub count: usize,
    /// Start-up over running value, where it was read.
    pub start_up: Known<f64>,
}

/// The two marks between which a drag lies; twice the same at a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Bracket {
    /// The mark below.
    pub below: Mark,
    /// The mark above.
    pub above: Mark,
    /// How far from the one to the other the setting stands, 0 to 1.
    pub share: f64,
}

impl DragCurve {
    /// Scatter of repeated pulls over all marks; unknown while none was read twice.
    pub fn pooled(&self) -> Known<Pooled> {
        pooled(&self.knots)
    }

    /// The marks by rising setting.
    pub fn marks(&self) -> Vec<Mark> {
        (0..self.knots.len()).map(|i| self.mark(i)).collect()
    }

    fn mark(&self, i: usize) -> Mark {
        let k = &self.knots[i];
        Mark {
            setting: k.setting,
            drag: Force::of_n(k.torque.nm() / self.full_radius.m()),
            spread: k.spread.into(),
            count: k.count,
            start_up: k.start_up,
        }
    }

    /// The marks around a drag off the reel with a full spool; nothing beyond the readings.
    pub fn bracket(&self, drag: Force) -> Option<Bracket> {
        let x = self.position(drag)?;
        let (i, j) = self.around(x);
        let (a, b) = (self.knots[i].position, self.knots[j].position);
        let share = if b > a { (x - a) / (b - a) } else { 0.0 };
        Some(Bracket { below: self.mark(i), above: self.mark(j), share })
    }

    /// Indices of the knots around a place of the axis within the readings.
    fn around(&self, x: f64) -> (usize, usize) {
        if let Some(i) = self.knots.iter().position(|k| k.position == x) {
            return (i, i);
        }
        let above = self.knots.partition_point(|k| k.position <= x).clamp(1, self.knots.len().max(2) - 1);
        (above - 1, above.min(self.knots.len() - 1))
    }

    /// Where the drag may lie between two marks, as shares of the drag that the curve gives: exactly 1 at a mark.
    pub(super) fn between(&self, drag: Force) -> (f64, f64) {
        let Some(x) = self.position(drag) else { return (1.0, 1.0) };
        let (i, j) = self.around(x);
        if i == j {
            return (1.0, 1.0);
        }
        let at = |k: usize| (self.knots[k].position, self.knots[k].torque.nm());
        let ((x0, y0), (x1, y1)) = (at(i), at(j));
        let line = |(xa, ya): (f64, f64), (xb, yb): (f64, f64)| ya + (yb - ya) / (xb - xa) * (x - xa);
        let mut lines = Vec::with_capacity(4);
        if i > 0 {
            lines.push(line(at(i - 1), (x0, y0)));
        }
        if j + 1 < self.knots.len() {
            lines.push(line((x1, y1), at(j + 1)));
        }
        if lines.is_empty() {
            lines.extend([y0, y1]);
        } else {
            lines.push(line((x0, y0), (x1, y1)));
        }
        let here = drag.n() * self.full_radius.m();
        let low = lines.iter().copied().fold(here, f64::min).max(y0);
        let high = lines.iter().copied().fold(here, f64::max).min(y1);
        (low / here, high / here)
    }

    /// Scatter of one more pull around the curve at this drag, as a share; 0 while unknown.
    fn scatter(&self, drag: Force) -> f64 {
        let Known::Known(p) = self.pooled() else { return 0.0 };
        let n = self.bracket(drag).map_or(1, |b| b.below.count.min(b.above.count)).max(1);
        2.0 * p.share * (1.0 + 1.0 / n as f64).sqrt()
    }

    /// What a pull on the scale would show at the setting of this drag, as the reel was when it was read: between marks
    /// and scatter. `drag` is off the reel with a full spool.
    pub fn as_read(&self, drag: Force) -> Band<Force> {
        let ((low, high), scatter) = (self.between(drag), self.scatter(drag));
        Band {
            low: drag * (low * (1.0 - scatter)).max(0.0),
            central: drag,
            high: drag * (high * (1.0 + scatter)),
        }
    }

    /// The same some other night: drift where it is wider than the scatter.
    pub fn band(&self, drag: Force, drift: &BandFigure<f64>) -> Band<Force> {
        let ((low, high), scatter) = (self.between(drag), self.scatter(drag));
        Band {
            low: drag * (low * drift.value.low.min(1.0 - scatter)).max(0.0),
            central: drag,
            high: drag * (high * drift.value.high.max(1.0 + scatter)),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::facts::Known;
    use crate::quantity::{Force, Length};
    use crate::tackle::drag::{DragCurve, Reading, ReadingContext, ScalePlace, Setting};
    use crate::tackle::path::demo::demo;
    use crate::tackle::tables::tests::shipped;
    use proptest::prelude::*;

    fn fit(readings: &[Reading]) -> DragCurve {
        let (outfit, _) = demo();
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        DragCurve::fit(readings, None, &ReadingContext::of(&outfit, &spool, &t)).unwrap()
    }
    fn at(x: f64, n: f64) -> Reading {
        Reading::new(Setting::Lever(x), Force::of_n(n), ScalePlace::Reel)
    }

    #[test]
    fn scatter_is_pooled_by_degrees_of_freedom() {
        // Three pulls with s = 2 % and two with s = 1/sqrt(2) %: (2*4 + 1*0.5)/3 = 2.8333 (per cent squared).
        let c = fit(&[at(0.3, 98.0), at(0.3, 100.0), at(0.3, 102.0), at(0.6, 199.0), at(0.6, 201.0)]);
        let p = c.pooled().get().unwrap();
        assert_eq!(p.freedom, 3);
        assert!((p.share - (2.833_333_f64 / 1e4).sqrt()).abs() < 1e-6, "{}", p.share);
        // At a mark of three: 2 s sqrt(4/3) of 100 N.
        let b = c.as_read(Force::of_n(100.0));
        assert!((b.high.n() - 100.0 * (1.0 + 2.0 * p.share * (4.0_f64 / 3.0).sqrt())).abs() < 1e-9);
        assert!(fit(&[at(0.3, 100.0), at(0.6, 200.0)]).pooled().is_unknown());
    }

    #[test]
    fn between_two_marks_alone_anything_between_them_may_be() {
        let c = fit(&[at(0.2, 50.0), at(0.8, 150.0)]);
        let b = c.as_read(Force::of_n(100.0));
        assert!((b.low.n() - 50.0).abs() < 1e-9 && (b.high.n() - 150.0).abs() < 1e-9, "{b:?}");
        let at_mark = c.as_read(Force::of_n(50.0));
        assert!((at_mark.low.n() - 50.0).abs() < 1e-9 && (at_mark.high.n() - 50.0).abs() < 1e-9);
        // Drift is added to it.
        let night = c.band(Force::of_n(100.0), &shipped().drag.drift);
        assert!((night.low.n() - 42.5).abs() < 1e-9 && (night.high.n() - 172.5).abs() < 1e-9, "{night:?}");
    }

    #[test]
    fn a_straight_curve_leaves_no_doubt_between_its_marks() {
        let c = fit(&[at(0.2, 40.0), at(0.4, 80.0), at(0.6, 120.0), at(0.8, 160.0)]);
        let b = c.as_read(Force::of_n(100.0));
        assert!((b.low.n() - 100.0).abs() < 1e-9 && (b.high.n() - 100.0).abs() < 1e-9, "{b:?}");
        // 25 lbf and the pack's drift: 21 to 29.
        let night = c.band(Force::of_lbf(25.0), &shipped().drag.drift);
        assert!((night.low.lbf() - 21.25).abs() < 1e-6 && (night.high.lbf() - 28.75).abs() < 1e-6);
    }

    /// Readings by rising setting, one to three at each.
    fn rising() -> impl Strategy<Value = Vec<Reading>> {
        let step = (0.02..0.15_f64, 5.0..40.0_f64, prop::collection::vec(-0.5..0.5_f64, 1..4));
        prop::collection::vec(step, 2..7).prop_map(|steps| {
            let (mut x, mut n) = (0.0, 20.0);
            let mut all = Vec::new();
            for (dx, dn, off) in steps {
                x += dx;
                n += dn;
                all.extend(off.iter().map(|o| at(x, n + o)));
            }
            all
        })
    }

    proptest! {
        #[test]
        fn passes_through_means_rises_and_its_band_holds_them(r in rising(), s in 0.0..=1.0_f64, t in 0.0..=1.0_f64) {
            let c = fit(&r);
            let drift = shipped().drag.drift;
            for k in &c.knots {
                let mean = k.readings.iter().map(|i| r[*i].value.n()).sum::<f64>() / k.count as f64;
                let drag = c.drag(k.setting).unwrap();
                prop_assert!((drag.n() / mean - 1.0).abs() < 1e-12);
                for b in [c.as_read(drag), c.band(drag, &drift)] {
                    prop_assert!(b.low.n() <= mean * (1.0 + 1e-12) && mean <= b.high.n() * (1.0 + 1e-12));
                }
            }
            let (a, z) = (c.first().position, c.last().position);
            let x = |s: f64| (a + (z - a) * s).clamp(a, z);
            let drag = |s: f64| c.drag(Setting::Lever(x(s))).unwrap();
            let (near, far) = (drag(s.min(t)), drag(s.max(t)));
            prop_assert!(near.n() <= far.n() * (1.0 + 1e-12));
            let back = match c.setting_for(near).unwrap() {
                Setting::Lever(x) => x,
                other => return Err(TestCaseError::fail(format!("{other}"))),
            };
            prop_assert!((c.drag(Setting::Lever(back)).unwrap() / near - 1.0).abs() < 1e-9);
            let b = c.as_read(near);
            prop_assert!(b.low <= b.central && b.central <= b.high);
            let held = c.bracket(near).unwrap();
            prop_assert!(held.below.drag.n() <= near.n() * (1.0 + 1e-9) && near.n() <= held.above.drag.n() * (1.0 + 1e-9));
        }

        #[test]
        fn one_more_reading_at_a_mark_moves_no_other_mark(r in rising(), which in 0..6_usize, off in -0.4..0.4_f64) {
            let c = fit(&r);
            let k = &c.knots[which % c.knots.len()];
            let mean = k.readings.iter().map(|i| r[*i].value.n()).sum::<f64>() / k.count as f64;
            let Setting::Lever(x) = k.setting else { return Ok(()) };
            let mut more = r.clone();
            more.push(at(x, mean + off));
            let d = fit(&more);
            for (was, is) in c.marks().iter().zip(d.marks()) {
                if was.setting == k.setting {
                    prop_assert_eq!(is.count, was.count + 1);
                } else {
                    prop_assert_eq!(was, &is);
                }
            }
        }

        #[test]
        fn what_does_not_count_changes_nothing(r in rising(), n in 1.0..300.0_f64) {
            let mut more = r.clone();
            let mut odd = at(0.5, n);
            odd.doubtful = "stuck".into();
            more.push(odd);
            let (c, d) = (fit(&r), fit(&more));
            prop_assert_eq!(c.marks(), d.marks());
            prop_assert_eq!(d.left_out.len(), 1);
            prop_assert!(d.left_out[0].why.contains("stuck"));
        }
    }

    #[test]
    fn readings_of_another_preset_are_told_and_not_used() {
        use crate::tackle::drag::Preset;
        let (mut outfit, _) = demo();
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        let with = |x, n, p: f64| Reading { preset: Known::Known(Preset::Turns(p)), ..at(x, n) };
        let readings = [with(0.3, 40.0, 2.0), with(0.6, 80.0, 2.0), with(0.6, 120.0, 3.0)];
        let say =
            |o: &crate::tackle::Outfit| DragCurve::fit(&readings, None, &ReadingContext::of(o, &spool, &t));
        let e = say(&outfit).unwrap_err();
        assert!(
            e.error.contains("2 turns") && e.error.contains("3 turns") && e.remedy.contains("drag.preset"),
            "{e}"
        );
        outfit.drag.preset = Known::Known(Preset::Turns(2.0));
        let c = say(&outfit).unwrap();
        assert_eq!((c.knots.len(), c.left_out.len(), c.left_out[0].reading), (2, 1, 2));
        outfit.drag.preset = Known::Known(Preset::Turns(5.0));
        let e = say(&outfit).unwrap_err();
        assert!(e.error.contains("stands at 5 turns now") && e.remedy.contains("FREE"), "{e}");
    }

    #[test]
    fn a_preset_turned_since_makes_older_readings_stale() {
        let (mut outfit, _) = demo();
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        let on = |d: &str, n| Reading { date: Known::Known(d.parse().unwrap()), ..at(0.6, n) };
        let readings = [on("2026-10-01", 80.0), on("2026-10-12", 100.0)];
        outfit.drag.preset_turned = Known::Known("2026-10-11".parse().unwrap());
        let fit = |r: &[Reading]| DragCurve::fit(r, None, &ReadingContext::of(&outfit, &spool, &t));
        let c = fit(&readings).unwrap();
        assert_eq!(c.marks().len(), 1);
        assert!((c.marks()[0].drag.n() - 100.0).abs() < 1e-9);
        assert!(c.left_out[0].why.contains("turned on 2026-10-11"));
        assert!(fit(&readings[..1]).is_err());
        assert!(fit(&[at(0.6, 80.0)]).unwrap_err().error.contains("no date"));
    }

    #[test]
    fn a_depth_below_the_rim_is_read_as_the_radius_it_is() {
        let (outfit, _) = demo();
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        let out = Length::of_m(400.0);
        let mut by_metres = at(0.6, 100.0);
        by_metres.line_out = Known::Known(out);
        let mut by_depth = at(0.6, 100.0);
        by_depth.depth = Known::Known(spool.depth_below_rim(out));
        let drag = |r: Reading| fit(&[r]).marks()[0].drag.n();
        assert!((drag(by_metres.clone()) - drag(by_depth.clone())).abs() < 1e-9);
        assert!(drag(by_metres) < 100.0);
        by_depth.depth = Known::Known(Length::of_mm(140.0));
        let e = DragCurve::fit(&[by_depth], None, &ReadingContext::of(&outfit, &spool, &t)).unwrap_err();
        assert!(e.place.contains("readings[0], depth") && e.error.contains("140.0 mm"), "{e}");
    }

    #[test]
    fn a_star_has_no_places_of_a_lever() {
        let (mut outfit, _) = demo();
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        outfit.reel.kind = Known::Known(crate::tackle::ReelKind::Star);
        let fit = |s| {
            let r = [Reading::new(s, Force::of_n(80.0), ScalePlace::Reel)];
            DragCurve::fit(&r, None, &ReadingContext::of(&outfit, &spool, &t))
        };
        assert!(fit(Setting::Strike).unwrap_err().remedy.contains("count"));
        assert_eq!(fit(Setting::Turns(1.5)).unwrap().marks()[0].setting, Setting::Turns(1.5));
        assert!(fit(Setting::Clicks(7.0)).is_ok());
    }
}
