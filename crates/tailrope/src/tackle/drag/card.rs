//! The drag card: what the setting becomes with line out, told by what can be seen on the spool.
//!
//! Nobody on a beach knows the metres, so each row says how deep the line lies below the rim and which joint or
//! mark has just left. A row's setting holds until the next row comes into sight: it is the greatest drag
//! that keeps the weakest part's margin and the cap at the tip at that *next* row, the worse end of the
//! stretch. Settings only ever fall along the card. For the parts' sake they never fall below a share of the
//! fight's drag (the pack's two thirds, a project default): a lever eased further no longer fights the fish, and
//! no card makes a weak outfit strong; where even that is too much the card says so. For the people's sake the
//! lever is eased as far as it takes.

use super::curve::DragCurve;
use super::reading::ScalePlace;
use super::soak::{SoakCheck, soak_check};
use crate::facts::Known;
use crate::quantity::{Force, Length, Quantity, Speed};
use crate::tackle::Outfit;
use crate::tackle::path::LoadPath;
use crate::tackle::path::{as_m, as_mm, as_n, option_m, wet_of};
use crate::tackle::tables::Tables;
use crate::{Error, Result};
use serde::Serialize;

/// What is asked of a card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CardAsk {
    /// Drag wanted in the fight.
    pub drag: Force,
    /// Where that is meant, with a full spool.
    pub at: ScalePlace,
    /// Speed of the runs.
    pub run: Speed,
    /// Margin wanted of the weakest part.
    pub factor: f64,
    /// Greatest running drag beyond the tip that the people bear; none if not asked.
    pub tip_cap: Option<Force>,
    /// Distance between rows.
    pub step: Length,
    /// By how much the drag may exceed its setting: margins and the cap are kept at that upper end. 1 for a drag that was
    /// proved on the beach, the pack's upper drift until then.
    pub upper: f64,
    /// Least share of the fight's drag to which the lever is eased for the parts' sake; unknown takes the pack's.
    pub least_share: Known<f64>,
}

impl CardAsk {
    /// A card for a drag off the reel with a full spool: rows every 100 m, margin 1.5, runs of 5 m/s, no cap.
    pub fn at_reel(drag: Force) -> Self {
        Self {
            drag,
            at: ScalePlace::Reel,
            run: Speed::of_mps(5.0),
            factor: 1.5,
            tip_cap: None,
            step: Length::of_m(100.0),
            least_share: Known::Unknown,
            upper: 1.0,
        }
    }

    fn check(&self) -> Result<()> {
        self.drag.within("drag", Force::of_n(0.1), Force::of_n(5000.0)).map_err(|e| e.within("drag"))?;
        self.run.within("speed of the run", Speed::ZERO, Speed::of_mps(30.0)).map_err(|e| e.within("run"))?;
        self.step.within("step", Length::of_m(5.0), Length::of_km(2.0)).map_err(|e| e.within("step"))?;
        if let Some(cap) = self.tip_cap {
            cap.within("cap at the tip", Force::ZERO, Force::of_n(5000.0))
                .map_err(|e| e.within("tip_cap"))?;
        }
        if let Known::Known(s) = self.least_share {
            crate::tackle::strength::share("least_share", s)?;
        }
        if !(1.0..=2.0).contains(&self.upper) {
            return Err(Error::new(
                format!("a drag that may be {} times its setting", self.upper),
                "1 to 2",
                "take the pack's drift, 1.15",
            )
            .within("upper"));
        }
        if !(1.0..=10.0).contains(&self.factor) {
            return Err(Error::new(
                format!("a margin of {}", self.factor),
                "1 to 10",
                "ask for a margin such as 1.5",
            )
            .within("factor"));
        }
        Ok(())
    }
}

/// One row of the card, card followed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardRow {
    /// Line out.
    #[serde(rename = "line_out_m", serialize_with = "as_m")]
    pub line_out: Length,
    /// Depth of the line below the rim.
    #[serde(rename = "spool_depth_mm", serialize_with = "as_mm")]
    pub depth: Length,
    /// Joint or mark that has just left the spool; empty if only the depth tells.
    pub seen: String,
    /// Drag at the spool.
    #[serde(rename = "drag_spool_n", serialize_with = "as_n")]
    pub spool: Force,
    /// Drag beyond the tip.
    #[serde(rename = "drag_tip_n", serialize_with = "as_n")]
    pub tip: Force,
    /// Drag at the hook in a run.
    #[serde(rename = "drag_hook_n", serialize_with = "as_n")]
    pub hook: Force,
    /// Drag at the hook had the lever stayed where it was.
    #[serde(rename = "drag_hook_unbacked_n", serialize_with = "as_n")]
    pub hook_unbacked: Force,
    /// Setting from this row on, as the drag it would give off the reel with a full spool.
    #[serde(rename = "set_n", serialize_with = "as_n")]
    pub set: Force,
    /// The same as a share of the fight's setting.
    pub back_off_to: f64,
    /// Lever or clicks for it, if readings reach it.
    pub setting: Known<String>,
    /// Weakest loaded part.
    pub weakest: Option<String>,
    /// Its margin here with the setting of the row before, which is what the fish meets on arrival.
    pub margin: Known<f64>,
    /// Its margin here had the lever stayed where it was.
    pub margin_unbacked: Known<f64>,
}

/// Where to ease the lever.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BackOff {
    /// Line out when this comes into sight.
    #[serde(rename = "line_out_m", serialize_with = "as_m")]
    pub line_out: Length,
    /// Depth of the line below the rim then.
    #[serde(rename = "spool_depth_mm", serialize_with = "as_mm")]
    pub depth: Length,
    /// Joint or mark.
    pub seen: String,
    /// Drag to set, off the reel with a full spool.
    #[serde(rename = "set_n", serialize_with = "as_n")]
    pub set: Force,
    /// The same as a share of the fight's setting.
    pub share: f64,
    /// Lever or clicks for it, if readings reach it.
    pub setting: Known<String>,
}

/// One wanted drag and where to put the lever.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardSetting {
    /// `soak`, `strike` or `fight`.
    pub what: &'static str,
    /// Drag off the reel with a full spool.
    #[serde(rename = "drag_n", serialize_with = "as_n")]
    pub drag: Force,
    /// Drag beyond the tip with a full spool.
    #[serde(rename = "tip_n", serialize_with = "as_n")]
    pub tip: Force,
    /// Lever or clicks; unknown without readings that reach it.
    pub setting: Known<String>,
    /// Why it is unknown, and how to find and repeat it.
    pub note: String,
}

/// The card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DragCard {
    /// Soak, strike and fight, as far as they are wanted.
    pub settings: Vec<CardSetting>,
    /// Rows from a full spool to the arbor.
    pub rows: Vec<CardRow>,
    /// Where to ease the lever; empty if the setting may stay.
    pub back_offs: Vec<BackOff>,
    /// The soak setting, if one is wanted.
    pub soak: Option<SoakCheck>,
    /// Whether anything of this drag was measured.
    pub measured: bool,
    /// Line out from which even the least setting keeps the weakest part's margin or the cap no longer: the
    /// fish must not get there.
    #[serde(rename = "not_enough_from_m", serialize_with = "option_m")]
    pub not_enough_from: Option<Length>,
    /// Line out of the places at which nothing shows that the lever must be eased: a mark painted there would.
    #[serde(skip)]
    pub paint: Vec<Length>,
}

impl DragCard {
    /// Setting in force when the line out grows to `line_out`, card followed: that of the last row passed, as
    /// the drag that it gives off the reel with a full spool.
    pub fn set_at(&self, line_out: Length) -> Force {
        let passed = self.rows.iter().rev().find(|r| r.line_out < line_out);
        passed.or(self.rows.first()).map_or(Force::ZERO, |r| r.set)
    }
}

/// A setting that falls by less than this is not worth a move of the lever at night.
const WORTH_A_MOVE: f64 = 0.02;

/// Makes the card. `curve` gives the lever's places where readings reach them.
pub fn drag_card(
    path: &LoadPath,
    outfit: &Outfit,
    tables: &Tables,
    curve: Option<&DragCurve>,
    ask: &CardAsk,
) -> Result<DragCard> {
    ask.check()?;
    let fight = path.at_reel_full(ask.drag, ask.at, Length::ZERO);
    let stops = stops(path, outfit, ask.step);
    let place = |drag: Force| -> Known<String> {
        curve.and_then(|c| c.setting_for(drag).ok()).map(|s| s.to_string()).into()
    };
    let by_parts =
        |out: Length| path.greatest_drag(ask.factor, out, wet_of(out), ask.run).get().map(|d| d / ask.upper);
    let by_people =
        |out: Length| ask.tip_cap.map(|c| c / (path.guide_factor() * path.spool().growth(out) * ask.upper));
    let limit = |out: Length| match (by_parts(out), by_people(out)) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    let least = fight * ask.least_share.get().unwrap_or(tables.drag.back_off_least.value);
    // For the parts the lever is eased no further than the least share; for the people as far as it takes.
    let eased = |from: Force, out: Length| {
        let parts = from.min(by_parts(out).map_or(from, |d| d.max(least)));
        parts.min(by_people(out).unwrap_or(parts))
    };
    let mut rows = Vec::with_capacity(stops.len());
    let mut back_offs: Vec<BackOff> = Vec::new();
    let mut not_enough_from = None;
    let mut before = eased(fight, Length::ZERO);
    let mut told = fight;
    for (i, (out, seen)) in stops.iter().enumerate() {
        let next = stops.get(i + 1).map_or(*out, |s| s.0);
        let set = eased(before, next);
        let here = path.tensions(set, *out, wet_of(*out), ask.run);
        let unbacked = path.tensions(fight, *out, wet_of(*out), ask.run);
        let arriving = path.weakest(before * ask.upper, *out, wet_of(*out), ask.run);
        let depth = path.depth_mark(*out);
        let share = if fight > Force::ZERO { set / fight } else { 1.0 };
        if set < told * (1.0 - WORTH_A_MOVE) {
            told = set;
            back_offs.push(BackOff {
                line_out: *out,
                depth,
                seen: seen.clone(),
                set,
                share,
                setting: place(set),
            });
        }
        // A last bit of rounding is no lack.
        // Judged by the setting with which the fish arrives: easing it there comes too late.
        let enough = |l: Force| before <= l * (1.0 + 1e-9);
        if not_enough_from.is_none() && !limit(*out).is_none_or(enough) {
            not_enough_from = Some(*out);
        }
        rows.push(CardRow {
            line_out: *out,
            depth,
            seen: seen.clone(),
            spool: here.spool,
            tip: here.tip,
            hook: here.hook,
            hook_unbacked: unbacked.hook,
            set,
            back_off_to: share,
            setting: place(set),
            weakest: arriving.as_ref().map(|w| w.0.to_owned()),
            margin: arriving.map_or(Known::Unknown, |w| w.1),
            margin_unbacked: path
                .weakest(fight * ask.upper, *out, wet_of(*out), ask.run)
                .map_or(Known::Unknown, |w| w.1),
        });
        before = set;
    }
    let paint = back_offs
        .iter()
        .filter(|b| b.seen.is_empty() && b.line_out > Length::ZERO)
        .map(|b| b.line_out)
        .collect();
    Ok(DragCard {
        paint,
        settings: settings(path, outfit, fight, curve),
        rows,
        back_offs,
        soak: soak(path, outfit, tables, curve),
        measured: curve.is_some(),
        not_enough_from,
    })
}

/// Line out of the rows, and what is seen there: every step, every joint, every mark, the last fifth, the end.
fn stops(path: &LoadPath, outfit: &Outfit, step: Length) -> Vec<(Length, String)> {
    let spool = path.spool();
    let total = spool.line_length();
    let mut stops: Vec<(Length, String)> = Vec::new();
    let mut out = Length::ZERO;
    while out < total {
        stops.push((out, String::new()));
        out = out + step;
    }
    stops.push((total * 0.8, String::new()));
    stops.push((total, "bare arbor".into()));
    for joint in spool.joints() {
        let name = spool.pieces().get(joint.inner).map_or("next piece", |p| p.name.as_str());
        stops.push((joint.line_out, format!("joint to the {name} off the spool")));
    }
    for mark in &outfit.marks {
        if mark.line_out <= total {
            stops.push((mark.line_out, format!("mark: {}", mark.seen)));
        }
    }
    stops.sort_by(|a, b| a.0.m().total_cmp(&b.0.m()));
    stops.dedup_by(|later, kept| {
        let same = (later.0 - kept.0).m() < 1.0;
        if same && kept.1.is_empty() {
            kept.1 = core::mem::take(&mut later.1);
        } else if same && !later.1.is_empty() {
            kept.1 = format!("{}; {}", kept.1, later.1);
        }
        same
    });
    stops
}

fn settings(path: &LoadPath, outfit: &Outfit, fight: Force, curve: Option<&DragCurve>) -> Vec<CardSetting> {
    let at = outfit.drag.at;
    let full = |f: Force| path.at_reel_full(f, at, Length::ZERO);
    let strike = match outfit.drag.strike {
        Known::Known(super::ShareOrForce::Share(s)) => Some(fight * s),
        Known::Known(super::ShareOrForce::Force(f)) => Some(full(f)),
        Known::Unknown => None,
    };
    let wanted = [("soak", outfit.drag.soak.get().map(full)), ("strike", strike), ("fight", Some(fight))];
    wanted
        .into_iter()
        .filter_map(|(what, drag)| {
            let drag = drag?;
            let (setting, note) = match curve.map(|c| c.setting_for(drag)) {
                None => (
                    Known::Unknown,
                    "nothing measured: pull on a scale over the bent rod, and count the clicks from free"
                        .to_owned(),
                ),
                Some(Err(e)) => (Known::Unknown, format!("{}; {}", e.error, e.remedy)),
                Some(Ok(s)) => (
                    Known::Known(s.to_string()),
                    "count the clicks from free to it once by day, and repeat it by count".to_owned(),
                ),
            };
            Some(CardSetting { what, drag, tip: drag * path.guide_factor(), setting, note })
        })
        .collect()
}

fn soak(path: &LoadPath, outfit: &Outfit, tables: &Tables, curve: Option<&DragCurve>) -> Option<SoakCheck> {
    let soak = outfit.drag.soak.get()?;
    let tip = path.at_reel_full(soak, outfit.drag.at, Length::ZERO) * path.guide_factor();
    Some(soak_check(tip, curve, tables, Known::Unknown))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::path::demo::{demo, thin};
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LineMark, Setting};
    use proptest::prelude::*;

    fn card(ask: &CardAsk) -> DragCard {
        let (outfit, rig) = demo();
        let t = shipped();
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        drag_card(&path, &outfit, &t, None, ask).unwrap()
    }

    #[test]
    fn rows_run_from_the_full_spool_to_the_arbor_and_tell_joints() {
        let c = card(&CardAsk::at_reel(Force::of_lbf(28.0)));
        let (first, last) = (&c.rows[0], &c.rows[c.rows.len() - 1]);
        assert_eq!(first.line_out, Length::ZERO);
        assert_eq!(first.spool, first.set);
        assert_eq!(last.line_out, Length::of_m(950.0));
        assert!(last.seen.contains("arbor"));
        let joint = c.rows.iter().find(|r| r.seen.contains("joint to the main line")).unwrap();
        assert_eq!(joint.line_out, Length::of_m(100.0));
        assert!(!c.measured);
        assert!(c.rows.windows(2).all(|w| w[0].line_out < w[1].line_out && w[0].depth <= w[1].depth));
    }

    #[test]
    fn marks_and_soak_are_told() {
        let (mut outfit, rig) = demo();
        let t = shipped();
        outfit.marks.push(LineMark { line_out: Length::of_m(333.0), seen: "red".into() });
        outfit.drag.soak = Known::Known(Force::of_lbf(4.5));
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let c = drag_card(&path, &outfit, &t, None, &CardAsk::at_reel(Force::of_lbf(28.0))).unwrap();
        assert!(c.rows.iter().any(|r| r.seen == "mark: red"));
        let soak = c.soak.unwrap();
        assert!(soak.gives_line && !soak.too_loose);
        // 6 lbf may start at 10: nobody read its start-up.
        outfit.drag.soak = Known::Known(Force::of_lbf(6.0));
        let c = drag_card(&path, &outfit, &t, None, &CardAsk::at_reel(Force::of_lbf(28.0))).unwrap();
        let soak = c.soak.unwrap();
        assert!(!soak.gives_line && soak.start < Force::of_lbf(8.0));
        outfit.drag.soak = Known::Known(Force::of_lbf(20.0));
        let c = drag_card(&path, &outfit, &t, None, &CardAsk::at_reel(Force::of_lbf(28.0))).unwrap();
        assert!(!c.soak.unwrap().gives_line);
    }

    #[test]
    fn readings_put_the_lever_in_words() {
        let (mut outfit, rig) = demo();
        let t = shipped();
        let at = |s, lbf| super::super::Reading::new(s, Force::of_lbf(lbf), ScalePlace::Reel);
        outfit.readings = vec![
            at(Setting::Lever(0.2), 5.0),
            at(Setting::Strike, 20.0),
            at(Setting::Lever(0.8), 28.0),
            at(Setting::Lever(1.0), 36.0),
        ];
        outfit.drag.strike = Known::Known(super::super::ShareOrForce::Force(Force::of_lbf(20.0)));
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let ctx = super::super::ReadingContext::of(&outfit, path.spool(), &t);
        let curve = DragCurve::fit(&outfit.readings, None, &ctx).unwrap();
        let c = drag_card(&path, &outfit, &t, Some(&curve), &CardAsk::at_reel(Force::of_lbf(28.0))).unwrap();
        let said: Vec<(&str, String)> =
            c.settings.iter().map(|s| (s.what, s.setting.clone().get().unwrap())).collect();
        assert_eq!(said, vec![("strike", "strike".to_owned()), ("fight", "80%".to_owned())]);
        assert!(c.measured);
    }

    #[test]
    fn a_drag_that_was_not_proved_keeps_its_margins_at_the_upper_end() {
        let (outfit, rig) = thin();
        let t = shipped();
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let ask = CardAsk { tip_cap: Some(Force::of_n(150.0)), ..CardAsk::at_reel(Force::of_lbf(25.0)) };
        let of = |ask: &CardAsk| drag_card(&path, &outfit, &t, None, ask).unwrap();
        let (proved, cold) = (of(&ask), of(&CardAsk { upper: 1.15, ..ask }));
        for (a, b) in proved.rows.iter().zip(&cold.rows) {
            assert!(b.set <= a.set);
            // At the upper end the cap still holds.
            let tip = path.tensions(b.set * 1.15, b.line_out, wet_of(b.line_out), ask.run).tip;
            assert!(tip.n() <= 150.0 * (1.0 + 1e-9), "{tip:?}");
        }
        assert!(cold.rows.iter().zip(&proved.rows).any(|(b, a)| b.set < a.set));
        assert!(cold.back_offs.len() >= proved.back_offs.len());
        let e = drag_card(&path, &outfit, &t, None, &CardAsk { upper: 0.5, ..ask }).unwrap_err();
        assert_eq!(e.place, "upper");
    }

    #[test]
    fn a_mark_where_the_lever_must_be_eased_needs_no_paint() {
        let (mut outfit, rig) = thin();
        let t = shipped();
        let ask = CardAsk::at_reel(Force::of_lbf(25.0));
        let of =
            |o: &Outfit| drag_card(&LoadPath::new(o, Some(&rig), &t).unwrap(), o, &t, None, &ask).unwrap();
        let bare = of(&outfit);
        assert!(!bare.paint.is_empty() && bare.paint.iter().all(|l| l.m() > 0.0));
        outfit.marks = bare.paint.iter().map(|l| LineMark { line_out: *l, seen: "red".into() }).collect();
        assert_eq!(of(&outfit).paint, vec![]);
    }

    proptest! {
        #[test]
        fn who_follows_the_card_keeps_margin_and_cap(lbf in 8.0..45.0_f64, cap in 60.0..400.0_f64, heavy: bool) {
            let (outfit, rig) = if heavy { demo() } else { thin() };
            let t = shipped();
            let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
            let ask = CardAsk { tip_cap: Some(Force::of_n(cap)), ..CardAsk::at_reel(Force::of_lbf(lbf)) };
            let c = drag_card(&path, &outfit, &t, None, &ask).unwrap();
            let least = ask.drag * (2.0 / 3.0);
            for w in c.rows.windows(2) {
                let (row, next) = (&w[0], &w[1]);
                prop_assert!(next.set <= row.set);
                // Below the least share only for the people's sake: then the cap is just met at the next row.
                let arriving = path.tensions(row.set, next.line_out, wet_of(next.line_out), ask.run).tip.n();
                prop_assert!(row.set >= least * (1.0 - 1e-12) || arriving >= cap * (1.0 - 1e-9));
                // Anywhere up to the next row, not only at the rows.
                for s in [0.01, 0.5, 1.0] {
                    let out = row.line_out + (next.line_out - row.line_out) * s;
                    prop_assert_eq!(c.set_at(out), row.set);
                    let here = path.tensions(row.set, out, wet_of(out), ask.run);
                    let m = path.weakest(row.set, out, wet_of(out), ask.run).unwrap().1.get().unwrap();
                    prop_assert!(here.tip.n() <= cap * (1.0 + 1e-9), "the people's cap always holds");
                    let kept = m >= ask.factor * (1.0 - 1e-9);
                    prop_assert!(kept || row.set <= least * (1.0 + 1e-12), "{m}");
                    if s == 1.0 {
                        prop_assert!(kept || c.not_enough_from.is_some_and(|l| l <= next.line_out));
                    }
                }
            }
        }
    }
}
