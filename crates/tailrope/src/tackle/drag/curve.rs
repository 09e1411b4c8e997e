//! From readings to a curve, and back.

use super::pchip::Pchip;
use super::reading::{Reading, ScalePlace, Setting};
use crate::facts::{Band, Known};
use crate::quantity::{Angle, Force, Length, Torque};
use crate::tackle::guides::wrap_factor;
use crate::tackle::tables::{BandFigure, Tables};
use crate::tackle::{LoadedSpool, Outfit};
use crate::{Error, Result};
use serde::Serialize;

/// What turns a reading into a torque.
#[derive(Clone, Copy, Debug)]
pub struct ReadingContext<'a> {
    /// The spool as it was loaded.
    pub spool: &'a LoadedSpool,
    /// Friction of the guides.
    pub friction: f64,
    /// Turn of the line over the bent rod.
    pub wrap: Angle,
    /// Where STRIKE stands on the lever's travel.
    pub strike_at: f64,
}

impl<'a> ReadingContext<'a> {
    /// The context of an outfit.
    pub fn of(outfit: &Outfit, spool: &'a LoadedSpool, tables: &Tables) -> Self {
        let material = outfit.material_at(spool, Length::ZERO);
        Self {
            spool,
            friction: outfit.guides.friction(tables, material).value.central,
            wrap: outfit.guides.wrap(tables).value.central,
            strike_at: outfit.reel.strike_at(tables).value,
        }
    }

    fn torque(&self, r: &Reading, place: ScalePlace, value: Force) -> Torque {
        let at_reel = match place {
            ScalePlace::Reel => value,
            // A reading at the tip holds the guides already: take them out once.
            ScalePlace::Tip => value / wrap_factor(self.friction, r.bend.get().unwrap_or(self.wrap)),
        };
        self.spool.torque(at_reel, r.line_out.get().unwrap_or(Length::ZERO))
    }
}

/// All readings at one setting.
#[derive(Clone, Debug, PartialEq)]
pub struct Knot {
    /// Setting.
    pub setting: Setting,
    /// Mean torque.
    pub torque: Torque,
    /// Standard deviation of the torques over their mean; `None` from one reading.
    pub spread: Option<f64>,
    /// How many readings.
    pub count: usize,
    /// Start-up over running value, where it was read.
    pub start_up: Known<f64>,
    /// Indices of the readings.
    pub readings: Vec<usize>,
    position: f64,
}

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
    /// Indices of readings left out because another place was asked for.
    pub left_out: Vec<usize>,
    full_radius: Length,
    guide_factor: f64,
    strike_at: f64,
    clicks: bool,
    curve: Option<Pchip>,
}

fn list(indices: &[usize]) -> String {
    let names: Vec<String> = indices.iter().map(|i| format!("readings[{i}]")).collect();
    names.join(", ")
}

impl DragCurve {
    /// Fits the curve.
    ///
    /// `only` picks the readings of one place of the scale; without it readings from both places are refused,
    /// since they are different figures. Refuses: no readings, a reading that does not say where the scale
    /// was, levers mixed with clicks, and settings whose drag does not rise (a forgotten half-empty spool, a
    /// stuck drag, a wrong unit). Places name the readings by index.
    pub fn fit(readings: &[Reading], only: Option<ScalePlace>, ctx: &ReadingContext<'_>) -> Result<Self> {
        if readings.is_empty() {
            return Err(Error::new(
                "no scale reading",
                "at least one",
                "pull on a scale over the bent rod, three or four times, at each mark",
            ));
        }
        let place = one_place(readings, only)?;
        let used: Vec<usize> =
            (0..readings.len()).filter(|i| readings[*i].at == Known::Known(place)).collect();
        let left_out = (0..readings.len()).filter(|i| !used.contains(i)).collect();
        if used.is_empty() {
            return Err(Error::new(
                format!("no reading {}", place.words()),
                "at least one",
                "hook the scale there",
            ));
        }
        for i in &used {
            readings[*i].check().map_err(|e| e.within(format!("readings[{i}]")))?;
        }
        let axis = |i: usize| readings[i].setting.axis(ctx.strike_at);
        let clicks = axis(used[0]).1;
        if let Some(odd) = used.iter().find(|i| axis(**i).1 != clicks) {
            return Err(Error::new(
                format!("one reading counts clicks and another names a place: {}", readings[*odd].setting),
                "clicks in all readings, or places of the lever in all",
                "note the same kind each time",
            )
            .within(format!("readings[{odd}].setting")));
        }
        let mut knots = knots(readings, &used, place, ctx);
        knots.sort_by(|a, b| a.position.total_cmp(&b.position));
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
                    "read both again: same scale and place, spool full, moving value; mark wrong ones as withdrawn",
                )
                .within(list(&[low.readings.as_slice(), high.readings.as_slice()].concat())));
            }
        }
        let points: Vec<(f64, f64)> = knots.iter().map(|k| (k.position, k.torque.nm())).collect();
        Ok(Self {
            curve: Pchip::rising(&points),
            knots,
            place,
            left_out,
            full_radius: ctx.spool.full_radius(),
            guide_factor: wrap_factor(ctx.friction, ctx.wrap),
            strike_at: ctx.strike_at,
            clicks,
        })
    }

    /// Torque at a setting. Refuses a setting outside the readings: nothing is guessed beyond them.
    pub fn torque(&self, setting: Setting) -> Result<Torque> {
        let (x, clicks) = setting.axis(self.strike_at);
        let inside = if clicks == self.clicks {
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
        let wanted = drag.n() * self.full_radius.m();
        let at = match &self.curve {
            Some(curve) => curve.inverse(wanted),
            None => self
                .knots
                .iter()
                .find(|k| (k.torque.nm() - wanted).abs() <= 1e-9 * wanted)
                .map(|k| k.position),
        };
        let Some(x) = at else {
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
        Ok(if self.clicks { Setting::Clicks(x) } else { Setting::Lever(x) })
    }

    /// Start-up over running value: the mean of what was read, else unknown.
    pub fn start_up(&self) -> Known<f64> {
        let read: Vec<f64> = self.knots.iter().filter_map(|k| k.start_up.get()).collect();
        if read.is_empty() {
            return Known::Unknown;
        }
        Known::Known(read.iter().sum::<f64>() / read.len() as f64)
    }

    /// Band of a drag read from this curve: the spread of repeated readings (two standard deviations of the
    /// widest knot), or the drift of the pack where that is wider.
    pub fn band(&self, drag: Force, drift: &BandFigure<f64>) -> Band<Force> {
        let spread = self.knots.iter().filter_map(|k| k.spread).fold(0.0, f64::max) * 2.0;
        Band {
            low: drag * drift.value.low.min(1.0 - spread).max(0.0),
            central: drag,
            high: drag * drift.value.high.max(1.0 + spread),
        }
    }

    fn first(&self) -> &Knot {
        &self.knots[0]
    }
    fn last(&self) -> &Knot {
        &self.knots[self.knots.len() - 1]
    }
}

fn one_place(readings: &[Reading], only: Option<ScalePlace>) -> Result<ScalePlace> {
    if let Some(i) = readings.iter().position(|r| r.at.is_unknown()) {
        return Err(Error::new(
            "a reading that does not say where the scale was hooked",
            "at = \"reel\" or at = \"tip\"",
            "ask who took it; a reading at the tip holds the guides, one off the reel does not",
        )
        .within(format!("readings[{i}].at")));
    }
    if let Some(place) = only {
        return Ok(place);
    }
    let at =
        |p| -> Vec<usize> { (0..readings.len()).filter(|i| readings[*i].at == Known::Known(p)).collect() };
    let (reel, tip) = (at(ScalePlace::Reel), at(ScalePlace::Tip));
    match (reel.is_empty(), tip.is_empty()) {
        (false, false) => Err(Error::new(
            format!(
                "readings off the reel ({}) mixed with readings at the tip ({})",
                list(&reel),
                list(&tip)
            ),
            "readings of one place",
            "use those of one place; the others are kept apart and compared, not averaged",
        )
        .within("readings")),
        (false, true) => Ok(ScalePlace::Reel),
        _ => Ok(ScalePlace::Tip),
    }
}

fn knots(readings: &[Reading], used: &[usize], place: ScalePlace, ctx: &ReadingContext<'_>) -> Vec<Knot> {
    let mut knots: Vec<Knot> = Vec::new();
    for &i in used {
        let position = readings[i].setting.axis(ctx.strike_at).0;
        match knots.iter_mut().find(|k| k.position == position) {
            Some(k) => k.readings.push(i),
            None => knots.push(Knot {
                setting: readings[i].setting,
                torque: Torque::ZERO,
                spread: None,
                count: 0,
                start_up: Known::Unknown,
                readings: vec![i],
                position,
            }),
        }
    }
    for k in &mut knots {
        let torques: Vec<f64> =
            k.readings.iter().map(|i| ctx.torque(&readings[*i], place, readings[*i].value).nm()).collect();
        let n = torques.len() as f64;
        let mean = torques.iter().sum::<f64>() / n;
        k.count = torques.len();
        k.torque = Torque::of_nm(mean);
        if k.count > 1 && mean > 0.0 {
            let squares: f64 = torques.iter().map(|t| crate::math::sq(t - mean)).sum();
            k.spread = Some((squares / (n - 1.0)).sqrt() / mean);
        }
        let ratios: Vec<f64> = k
            .readings
            .iter()
            .filter_map(|i| readings[*i].start_up.get().map(|s| s / readings[*i].value))
            .collect();
        if !ratios.is_empty() {
            k.start_up = Known::Known(ratios.iter().sum::<f64>() / ratios.len() as f64);
        }
    }
    knots
}

/// What can be said of a drag that nobody measured.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassDrag {
    /// Greatest drag with a full spool, N.
    pub max_n: Known<[f64; 3]>,
    /// Always true: a caution goes with it, and nothing of how the lever divides it is known.
    pub nothing_measured: bool,
    /// Where the band comes from.
    pub source: String,
}

/// The band of an outfit's class, for a drag without readings.
pub fn class_drag(outfit: &Outfit, tables: &Tables) -> ClassDrag {
    match outfit.reel.max_drag(tables) {
        Known::Known(f) => ClassDrag {
            max_n: Known::Known([f.value.low.n(), f.value.central.n(), f.value.high.n()]),
            nothing_measured: true,
            source: f.source,
        },
        Known::Unknown => ClassDrag {
            max_n: Known::Unknown,
            nothing_measured: true,
            source: "nothing known of this reel".into(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LinePiece, LineRole, Material};
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
            assert_eq!(c.left_out, vec![0, 1, 2]);
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

    #[test]
    fn without_readings_there_is_only_the_class() {
        let (o, t) = (outfit(), shipped());
        let c = class_drag(&o, &t);
        assert!(c.nothing_measured && !c.max_n.is_unknown());
        assert!(class_drag(&Outfit::named("spinning"), &t).max_n.is_unknown());
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
