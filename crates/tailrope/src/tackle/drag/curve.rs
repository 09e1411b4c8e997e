//! From readings to a curve, and back.

use super::context::ReadingContext;
use super::knot::{Knot, knots};
use super::pchip::Pchip;
use super::reading::{Counted, Reading, ScalePlace, Setting};
use super::standing::{LeftOut, list, standing};
use crate::facts::Known;
use crate::quantity::{Force, Length, Torque};
use crate::tackle::ReelKind;
use crate::{Error, Result};

/// Drag against setting, from the crew's own readings.
///
/// Passes through the mean of each setting's readings; between them monotone and without overshoot; nothing
/// beyond them.
#[derive(Clone, Debug, PartialEq)]
pub struct DragCurve {
    /// Knots by rising setting.
    pub knots: Vec<Knot>,
    /// Where the scale was hooked.
    pub place: ScalePlace,
    /// Readings that do not count here, and why.
    pub left_out: Vec<LeftOut>,
    pub(super) full_radius: Length,
    pub(super) guide_factor: f64,
    strike_at: f64,
    counted: Counted,
    pub(super) curve: Option<Pchip>,
}

impl DragCurve {
    /// Fits the curve.
    ///
    /// `only` picks the readings of one place of the scale; without it readings from both places are refused,
    /// since they are different figures. Doubtful readings and those of another preset do not count and are told in
    /// `left_out`. Refuses: no reading that counts, readings of mixed presets, a reading that does not say where the
    /// scale was, places of a lever on a reel without one or mixed with clicks or turns, and settings whose drag does not
    /// rise (a forgotten half-empty spool, a stuck drag, a wrong unit). Places name the readings by index.
    pub fn fit(readings: &[Reading], only: Option<ScalePlace>, ctx: &ReadingContext<'_>) -> Result<Self> {
        let standing = standing(readings, only, ctx)?;
        let (used, place) = (standing.used, standing.place);
        for i in &used {
            readings[*i].check().map_err(|e| e.within(format!("readings[{i}]")))?;
        }
        let counted = one_axis(readings, &used, ctx)?;
        let knots = knots(readings, &used, place, ctx)?;
        for pair in knots.windows(2) {
            let [low, high] = pair else { continue };
            if low.torque >= high.torque {
                let at_full = |k: &Knot| Force::of_n(k.torque.nm() / ctx.spool.full_radius().m()).lbf();
                return Err(Error::new(
                    format!(
                        "the drag does not rise from {} ({:.1} lbf off the reel, full spool) to {} ({:.1} lbf)",
                        low.setting,
                        at_full(low),
                        high.setting,
                        at_full(high)
                    ),
                    "more drag at the higher setting",
                    "read both again: same scale and place, spool full, moving value; give a wrong one a `doubtful = \"why\"`",
                )
                .within(list(&[low.readings.as_slice(), high.readings.as_slice()].concat())));
            }
        }
        let points: Vec<(f64, f64)> = knots.iter().map(|k| (k.position, k.torque.nm())).collect();
        Ok(Self {
            curve: Pchip::rising(&points),
            knots,
            place,
            left_out: standing.left_out,
            full_radius: ctx.spool.full_radius(),
            guide_factor: ctx.guide_factor(),
            strike_at: ctx.strike_at,
            counted,
        })
    }

    /// Torque at a setting. Refuses a setting outside the readings: nothing is guessed beyond them.
    pub fn torque(&self, setting: Setting) -> Result<Torque> {
        let (x, counted) = setting.axis(self.strike_at);
        let inside = if counted == self.counted {
            match &self.curve {
                Some(curve) => curve.at(x),
                None => self.knots.iter().find(|k| k.position == x).map(|k| k.torque.nm()),
            }
        } else {
            None
        };
        inside.map(Torque::of_nm).ok_or_else(|| {
            Error::new(
                format!("no reading reaches {setting}"),
                format!("from {} to {}", self.first().setting, self.last().setting),
                "take a reading there",
            )
        })
    }

    /// Drag off the reel with a full spool at a setting.
    pub fn drag(&self, setting: Setting) -> Result<Force> {
        Ok(Force::of_n(self.torque(setting)?.nm() / self.full_radius.m()))
    }

    /// Drag beyond the tip with a full spool at a setting, line running out.
    pub fn drag_at_tip(&self, setting: Setting) -> Result<Force> {
        Ok(self.drag(setting)? * self.guide_factor)
    }

    /// Setting for a drag off the reel with a full spool. Refuses one below or above all readings.
    pub fn setting_for(&self, drag: Force) -> Result<Setting> {
        let Some(x) = self.position(drag) else {
            let full = |k: &Knot| k.torque.nm() / self.full_radius.m() / crate::quantity::N_PER_LBF;
            return Err(Error::new(
                format!("no reading reaches {:.1} lbf", drag.lbf()),
                format!("{:.1} to {:.1} lbf off the reel, full spool", full(self.first()), full(self.last())),
                "take a reading nearer to it, or ask for a drag between the readings",
            ));
        };
        if let Some(knot) = self.knots.iter().find(|k| k.position == x) {
            return Ok(knot.setting);
        }
        Ok(Setting::at(self.counted, x))
    }

    /// Place on the axis at which the drag off the reel with a full spool is this; nothing beyond the readings.
    pub(super) fn position(&self, drag: Force) -> Option<f64> {
        let wanted = drag.n() * self.full_radius.m();
        // What was read is reached, whatever the last bit of a unit says.
        let knot = self.knots.iter().find(|k| (k.torque.nm() - wanted).abs() <= 1e-9 * wanted);
        knot.map(|k| k.position).or_else(|| self.curve.as_ref()?.inverse(wanted))
    }

    /// The greatest start-up over running value that was read at a mark; `None` if it never was.
    pub fn start_up_most(&self) -> Option<f64> {
        self.knots.iter().filter_map(|k| k.start_up.get()).reduce(f64::max)
    }

    /// Start-up over running value: the mean of what was read, else unknown.
    pub fn start_up(&self) -> Known<f64> {
        let read: Vec<f64> = self.knots.iter().filter_map(|k| k.start_up.get()).collect();
        if read.is_empty() {
            return Known::Unknown;
        }
        Known::Known(read.iter().sum::<f64>() / read.len() as f64)
    }

    pub(super) fn first(&self) -> &Knot {
        &self.knots[0]
    }
    pub(super) fn last(&self) -> &Knot {
        &self.knots[self.knots.len() - 1]
    }
}

/// What the settings are counted in. Refuses two kinds, and places of a lever on a reel that has none.
fn one_axis(readings: &[Reading], used: &[usize], ctx: &ReadingContext<'_>) -> Result<Counted> {
    let counted = |i: &usize| readings[*i].setting.axis(ctx.strike_at).1;
    let first = used.first().map_or(Counted::Travel, counted);
    if let Some(odd) = used.iter().find(|i| counted(i) != first) {
        return Err(Error::new(
            format!("readings of two kinds of setting: {}", readings[*odd].setting),
            "places of the lever in all readings, or clicks in all, or turns in all",
            "note the same kind each time",
        )
        .within(format!("readings[{odd}].setting")));
    }
    let no_lever = matches!(ctx.kind, Known::Known(ReelKind::Star | ReelKind::Spinning | ReelKind::Casting));
    if let (true, Counted::Travel, Some(i)) = (no_lever, first, used.first()) {
        return Err(Error::new(
            format!("a star or knob has no place `{}`", readings[*i].setting),
            "clicks or turns from free: 7 clicks, 1.5 turns",
            "back it off until the spool runs free, then count how far it is turned in",
        )
        .within(format!("readings[{i}].setting")));
    }
    Ok(first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Angle;
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LinePiece, LineRole, Material, Outfit};
    use proptest::prelude::*;

    fn outfit() -> Outfit {
        let mut o = Outfit::named("left 80");
        o.reel.class = Known::Known("80".into());
        o.line = vec![LinePiece::new(
            LineRole::Main,
            Length::of_m(600.0),
            Material::Nylon,
            Force::of_lbf(80.0),
            Length::of_mm(0.9),
        )];
        o.guides.friction = Known::Known(0.16);
        o.guides.wrap = Known::Known(Angle::of_deg(60.0));
        o
    }

    fn with<T>(readings: &[Reading], only: Option<ScalePlace>, f: impl Fn(Result<DragCurve>) -> T) -> T {
        let (o, t) = (outfit(), shipped());
        let spool = o.loaded_spool(&t).unwrap().value;
        f(DragCurve::fit(readings, only, &ReadingContext::of(&o, &spool, &t)))
    }

    fn tip(setting: Setting, lbf: f64) -> Reading {
        Reading::new(setting, Force::of_lbf(lbf), ScalePlace::Tip)
    }

    /// The constructed sheet of question 30: three places, one decimal comma, a half-empty spool.
    fn sheet() -> Vec<Reading> {
        vec![
            tip(Setting::Strike, 24.0),
            tip(Setting::Strike, 25.5),
            tip(Setting::Strike, 26.0),
            Reading::new(Setting::Strike, "11,2 kg".parse().unwrap(), ScalePlace::Reel),
            tip(Setting::Lever(0.75), 27.0),
            tip(Setting::Lever(1.0), 26.0),
        ]
    }

    #[test]
    fn a_sheet_of_three_places_is_refused_by_index_and_its_good_part_used() {
        let s = sheet();
        let e = with(&s, None, |c| c.unwrap_err());
        assert!(e.error.contains("readings[3]") && e.error.contains("mixed"), "{e}");
        let e = with(&s, Some(ScalePlace::Tip), |c| c.unwrap_err());
        assert!(e.place.contains("readings[4]") && e.place.contains("readings[5]"), "{e}");
        assert!(e.error.contains("does not rise from 75%"), "{e}");
        with(&s[..3], None, |c| {
            let c = c.unwrap();
            let k = &c.knots[0];
            let mean = c.drag_at_tip(Setting::Strike).unwrap();
            assert!((mean.lbf() - 25.1667).abs() < 1e-4, "{}", mean.lbf());
            assert!((k.spread.unwrap() * mean.lbf() - 1.0408).abs() < 1e-4);
            assert_eq!(k.count, 3);
            // One mark says nothing of any other.
            assert!(c.setting_for(Force::of_lbf(25.0)).is_err());
            assert!(c.torque(Setting::Lever(1.0)).is_err());
        });
        with(&s[..4], Some(ScalePlace::Reel), |c| {
            let c = c.unwrap();
            let at = c.drag_at_tip(Setting::Strike).unwrap();
            // 109.8 N at the reel is 129.9 N at the tip.
            assert!((at.n() - 129.9).abs() < 0.05, "{}", at.n());
            let apart: Vec<usize> = c.left_out.iter().map(|l| l.reading).collect();
            assert_eq!(apart, vec![0, 1, 2]);
        });
    }

    #[test]
    fn what_does_not_fit_together_is_refused() {
        let clicks = [tip(Setting::Clicks(4.0), 10.0), tip(Setting::Strike, 20.0)];
        assert!(with(&clicks, None, |c| c.unwrap_err()).place.contains("readings[1]"));
        let mut nowhere = tip(Setting::Strike, 20.0);
        nowhere.at = Known::Unknown;
        assert!(with(&[nowhere], None, |c| c.unwrap_err()).place.contains("readings[0].at"));
        assert!(with(&[], None, |c| c.unwrap_err()).remedy.contains("scale"));
    }

    #[test]
    fn a_half_empty_spool_is_read_as_the_torque_it_is() {
        let full = tip(Setting::Strike, 20.0);
        let mut half = full.clone();
        half.line_out = Known::Known(Length::of_m(300.0));
        let drag = |r: Reading| with(&[r], None, |c| c.unwrap().drag(Setting::Strike).unwrap());
        assert!(drag(half) < drag(full));
    }

    #[test]
    fn start_up_is_kept_apart() {
        let mut r = tip(Setting::Strike, 20.0);
        r.start_up = Known::Known(Force::of_lbf(25.0));
        with(&[r, tip(Setting::Lever(1.0), 30.0)], None, |c| {
            let c = c.unwrap();
            assert_eq!(c.start_up(), Known::Known(1.25));
            assert!((c.drag_at_tip(Setting::Strike).unwrap().lbf() - 20.0).abs() < 1e-9);
        });
    }

    proptest! {
        #[test]
        fn the_setting_for_a_drag_gives_that_drag(
            steps in prop::collection::vec((0.05..0.2_f64, 0.5..9.0_f64), 2..6), s in 0.0..=1.0_f64,
        ) {
            let (mut x, mut f) = (0.0, 2.0);
            let readings: Vec<Reading> = steps.iter().map(|(dx, df)| {
                x += dx;
                f += df;
                tip(Setting::Lever(x.min(1.0)), f)
            }).collect();
            with(&readings, None, |c| {
                let c = c.unwrap();
                let low = c.drag(readings[0].setting).unwrap();
                let high = c.drag(readings[readings.len() - 1].setting).unwrap();
                let wanted = (low + (high - low) * s).max(low).min(high);
                let back = c.drag(c.setting_for(wanted).unwrap()).unwrap();
                assert!((back / wanted - 1.0).abs() < 1e-9);
            });
        }
    }
}
