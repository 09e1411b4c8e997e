//! Where to put lever or clicks for a wanted drag, what that really gives, and how to find it again in the dark.

use super::curve::DragCurve;
use super::plan::ShareOrForce;
use super::reading::{ScalePlace, Setting};
use super::soak::{SoakCheck, soak_check};
use crate::facts::{Band, Grade, Known};
use crate::quantity::{Force, Length, Quantity};
use crate::tackle::path::{LoadPath, as_m, as_n};
use crate::tackle::tables::Tables;
use crate::tackle::{Outfit, ReelKind};
use crate::{Error, Result};
use serde::{Deserialize, Serialize};

/// For what a drag is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SetFor {
    /// While the bait lies out.
    Soak,
    /// When the fish takes.
    Strike,
    /// In the fight.
    Fight,
}

impl SetFor {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Soak => "soak",
            Self::Strike => "strike",
            Self::Fight => "fight",
        }
    }
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetAsk {
    /// The drag.
    pub drag: Force,
    /// Where it is meant, with a full spool.
    pub at: ScalePlace,
    /// For what; without it the drag is the fight's, and strike and soak follow from the outfit and the pack.
    pub only: Option<SetFor>,
    /// What current and surf pull on the line, if somebody knows.
    pub pull: Known<Force>,
}

/// What a setting gives with line out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WithLineOut {
    /// Line out.
    #[serde(rename = "line_out_m", serialize_with = "as_m")]
    pub line_out: Length,
    /// Drag off the spool.
    #[serde(rename = "drag_spool_n", serialize_with = "as_n")]
    pub spool: Force,
    /// Drag over the bent rod, beyond the tip.
    #[serde(rename = "drag_tip_n", serialize_with = "as_n")]
    pub tip: Force,
}

/// A drag and where to put the lever for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// For what.
    pub what: SetFor,
    /// Drag off the reel with a full spool.
    pub drag: Force,
    /// Drag beyond the tip with a full spool.
    pub tip: Force,
    /// How far the wish itself can be trusted: the crew's own word or a default of the pack.
    pub wish: Grade,
    /// Where lever, star or knob goes; unknown where no reading reaches or nothing was measured.
    pub setting: Known<Setting>,
    /// The setting between the marks read, in words; empty at a mark.
    pub between: String,
    /// Pulls at the marks on both sides, the fewer.
    pub pulls: usize,
    /// What a scale would show beyond the tip, as the reel was when it was read; unknown without readings.
    pub as_read: Known<Band<Force>>,
    /// What it may be some other night, beyond the tip; unknown without readings.
    pub band: Known<Band<Force>>,
    /// What people meet when it starts, beyond the tip.
    pub start: Force,
    /// With line out.
    pub with_line_out: Vec<WithLineOut>,
    /// How to find and repeat it, or why it is not known.
    pub notes: Vec<String>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct DragSet {
    /// Soak, strike and fight, as far as asked.
    pub placed: Vec<Placed>,
    /// The soak.
    pub soak: Option<SoakCheck>,
    /// Whether anything was measured.
    pub measured: bool,
}

/// Places a drag. `curve` is that of the readings that stand, none if nothing was ever read. Refuses a drag that no
/// reading reaches: nothing is guessed beyond them. Strike and soak that follow from it are told as not reached.
pub fn drag_set(
    path: &LoadPath,
    outfit: &Outfit,
    tables: &Tables,
    curve: Option<&DragCurve>,
    ask: &SetAsk,
) -> Result<DragSet> {
    ask.drag.within("drag", Force::of_n(0.1), Force::of_n(2000.0)).map_err(|e| e.within("drag"))?;
    let wishes = wishes(path, outfit, tables, ask);
    let named = ask.only.unwrap_or(SetFor::Fight);
    let mut placed = Vec::with_capacity(wishes.len());
    for (what, drag, wish) in wishes {
        let p = place(path, outfit, tables, curve, what, drag, wish);
        if what == named
            && let Some(curve) = curve
        {
            curve.setting_for(drag)?;
        }
        placed.push(p);
    }
    let soak =
        placed.iter().find(|p| p.what == SetFor::Soak).map(|p| soak_check(p.tip, curve, tables, ask.pull));
    Ok(DragSet { placed, soak, measured: curve.is_some() })
}

/// Wanted drags off the reel with a full spool.
fn wishes(path: &LoadPath, outfit: &Outfit, tables: &Tables, ask: &SetAsk) -> Vec<(SetFor, Force, Grade)> {
    let full = |f: Force, at| path.at_reel_full(f, at, Length::ZERO);
    let drag = full(ask.drag, ask.at);
    if let Some(only) = ask.only {
        return vec![(only, drag, Grade::Measured)];
    }
    let plan = &outfit.drag;
    let soak = match plan.soak {
        Known::Known(f) => (SetFor::Soak, full(f, plan.at), Grade::Measured),
        Known::Unknown => {
            let central = tables.drag.soak.value.central;
            (SetFor::Soak, full(central, ScalePlace::Tip), tables.drag.soak.grade)
        }
    };
    let strike = match plan.strike {
        Known::Known(ShareOrForce::Share(s)) => Some(drag * s),
        Known::Known(ShareOrForce::Force(f)) => Some(full(f, plan.at)),
        Known::Unknown => None,
    };
    let strike = strike.map(|s| (SetFor::Strike, s, Grade::Measured));
    [Some(soak), strike, Some((SetFor::Fight, drag, Grade::Measured))].into_iter().flatten().collect()
}

fn place(
    path: &LoadPath,
    outfit: &Outfit,
    tables: &Tables,
    curve: Option<&DragCurve>,
    what: SetFor,
    drag: Force,
    wish: Grade,
) -> Placed {
    let guides = path.guide_factor();
    let to_tip = |b: Band<Force>| b.map(|f| f * guides);
    let reached = curve.and_then(|c| c.setting_for(drag).ok().map(|s| (c, s)));
    let bracket = reached.and_then(|(c, _)| c.bracket(drag));
    let between =
        bracket.as_ref().filter(|b| b.below.setting != b.above.setting).map_or_else(String::new, |b| {
            format!("{:.0} % of the way from {} to {}", b.share * 100.0, b.below.setting, b.above.setting)
        });
    let start_up = curve.and_then(|c| c.start_up().get()).unwrap_or(tables.drag.start_up.value.central);
    let line = path.spool().line_length();
    let with_line_out = [0.0, 0.25, 0.5, 0.8]
        .map(|s| {
            let out = line * s;
            let spool = path.spool().drag(drag, out);
            WithLineOut { line_out: out, spool, tip: spool * guides }
        })
        .to_vec();
    Placed {
        what,
        drag,
        tip: drag * guides,
        wish,
        setting: reached.map(|(_, s)| s).into(),
        between,
        pulls: bracket.map_or(0, |b| b.below.count.min(b.above.count)),
        as_read: reached.map(|(c, _)| to_tip(c.as_read(drag))).into(),
        band: reached.map(|(c, _)| to_tip(c.band(drag, &tables.drag.drift))).into(),
        start: drag * guides * start_up,
        with_line_out,
        notes: notes(outfit, curve, drag, reached.map(|(_, s)| s)),
    }
}

/// How to find it again, or why it is not known.
fn notes(outfit: &Outfit, curve: Option<&DragCurve>, drag: Force, setting: Option<Setting>) -> Vec<String> {
    let (Some(curve), Some(setting)) = (curve, setting) else {
        return match curve.map(|c| c.setting_for(drag)) {
            Some(Err(e)) => vec![say(&e)],
            _ => vec!["nothing was measured: pull on a scale over the bent rod, and count from free".into()],
        };
    };
    let mut notes = Vec::new();
    match setting {
        Setting::Strike => notes.push("the button stops the lever there: no mark is needed".into()),
        Setting::Lever(_) => notes.push(
            "by day put tape on the frame beside the lever and mark the place; count the clicks from FREE to it, and in the dark repeat the count"
                .into(),
        ),
        Setting::Clicks(_) | Setting::Turns(_) => notes.push(
            "count from where the spool just runs free, always upwards; if it went too far, back off to free and count again"
                .into(),
        ),
    }
    if setting.is_of_lever() {
        let preset = outfit.drag.preset.get().or_else(|| {
            let read = curve.knots.iter().flat_map(|k| &k.readings).filter_map(|i| outfit.readings.get(*i));
            read.into_iter().find_map(|r| r.preset.get())
        });
        let unsaid = curve
            .knots
            .iter()
            .flat_map(|k| &k.readings)
            .filter(|i| outfit.readings.get(**i).is_some_and(|r| r.preset.is_unknown()))
            .count();
        notes.push(match preset {
            // Readings that do not say where it stood may have been taken at another.
            Some(p) if unsaid > 0 => format!(
                "{unsaid} of the readings do not say where the preset stood when they were taken: pull once at this mark with the preset at {p} before it is trusted; turn the preset only in FREE"
            ),
            Some(p) => format!("it holds with the preset at {p} and no other; turn the preset only in FREE"),
            None => "it holds for the preset as it stood at the readings; turn the preset only in FREE, and then read anew".into(),
        });
    }
    match outfit.reel.kind {
        Known::Known(ReelKind::Star) => notes.push(
            "a star has no marks and no stop: the count drifts as discs wear and warm, so prove it by one pull each night"
                .into(),
        ),
        Known::Known(ReelKind::Spinning | ReelKind::Casting) => notes.push(
            "a knob or star holds the line's torque only as it was at the readings: prove the count by one pull each night"
                .into(),
        ),
        _ => {}
    }
    notes
}

fn say(e: &Error) -> String {
    format!("{} (read so far: {}); {}", e.error, e.allowed, e.remedy)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::drag::{Preset, Reading, ReadingContext};
    use crate::tackle::path::demo::demo;
    use crate::tackle::tables::tests::shipped;
    use proptest::prelude::*;

    fn set(change: impl Fn(&mut Outfit), ask: SetAsk) -> Result<DragSet> {
        let (mut outfit, rig) = demo();
        let t = shipped();
        let at = |s, lbf| Reading::new(s, Force::of_lbf(lbf), ScalePlace::Reel);
        outfit.readings = vec![
            at(Setting::Lever(0.1), 4.0),
            at(Setting::Lever(0.35), 11.0),
            at(Setting::Strike, 21.0),
            at(Setting::Lever(0.8), 28.0),
            at(Setting::Lever(1.0), 36.0),
        ];
        outfit.drag.strike = Known::Known(ShareOrForce::Share(0.75));
        change(&mut outfit);
        let path = LoadPath::new(&outfit, Some(&rig), &t).unwrap();
        let ctx = ReadingContext::of(&outfit, path.spool(), &t);
        let curve = if outfit.readings.is_empty() {
            None
        } else {
            Some(DragCurve::fit(&outfit.readings, None, &ctx).unwrap())
        };
        drag_set(&path, &outfit, &t, curve.as_ref(), &ask)
    }
    fn ask(lbf: f64) -> SetAsk {
        SetAsk { drag: Force::of_lbf(lbf), at: ScalePlace::Reel, only: None, pull: Known::Unknown }
    }

    #[test]
    fn a_preset_that_some_readings_do_not_say_is_proved_by_a_pull() {
        let notes = |said: usize| {
            let s = set(
                |o| {
                    o.drag.preset = Known::Known(Preset::Turns(5.0));
                    for r in o.readings.iter_mut().take(said) {
                        r.preset = Known::Known(Preset::Turns(5.0));
                    }
                },
                ask(26.0),
            );
            s.unwrap().placed[2].notes.join(" ")
        };
        assert!(notes(5).contains("and no other"), "{}", notes(5));
        assert!(notes(3).contains("2 of the readings do not say") && !notes(3).contains("and no other"));
    }

    #[test]
    fn soak_strike_and_fight_each_have_their_place() {
        let s = set(|_| (), ask(28.0)).unwrap();
        let said: Vec<_> = s.placed.iter().map(|p| (p.what.word(), p.setting)).collect();
        assert_eq!(said[1], ("strike", Known::Known(Setting::Strike)), "three quarters of 28 is 21");
        assert_eq!(said[2], ("fight", Known::Known(Setting::Lever(0.8))));
        assert_eq!(s.placed[0].wish, Grade::Default, "the soak is the pack's");
        assert!(matches!(s.placed[0].setting, Known::Known(Setting::Lever(x)) if (0.1..0.35).contains(&x)));
        assert!(s.placed[0].between.contains("from 10% to 35%"), "{}", s.placed[0].between);
        assert!(s.placed[2].notes.iter().any(|n| n.contains("FREE")));
        assert!(s.soak.is_some_and(|s| !s.gives_line), "5 lbf may start at more than 8: nobody read it");
        let read = |o: &mut Outfit| o.readings[0].start_up = Known::Known(Force::of_lbf(4.4));
        assert!(set(read, ask(28.0)).unwrap().soak.is_some_and(|s| s.gives_line && !s.too_loose));
        let out = &s.placed[2].with_line_out;
        assert!(out.windows(2).all(|w| w[0].tip < w[1].tip));
        assert_eq!(out[0].tip, s.placed[2].tip);
    }

    #[test]
    fn what_no_reading_reaches_is_refused_when_asked_and_told_when_it_follows() {
        let e = set(|_| (), ask(40.0)).unwrap_err();
        assert!(e.error.contains("no reading reaches 40.0 lbf") && e.allowed.contains("36.0"), "{e}");
        let one = SetAsk { only: Some(SetFor::Soak), ..ask(3.0) };
        assert!(set(|_| (), one).unwrap_err().allowed.contains("4.0"));
        let s = set(|o| o.drag.soak = Known::Known(Force::of_lbf(2.0)), ask(28.0)).unwrap();
        assert!(s.placed[0].setting.is_unknown() && s.placed[0].notes[0].contains("no reading reaches 2.0"));
    }

    #[test]
    fn nothing_measured_gives_no_place() {
        let s = set(|o| o.readings.clear(), ask(28.0)).unwrap();
        assert!(!s.measured && s.placed.iter().all(|p| p.setting.is_unknown() && p.band.is_unknown()));
        assert!(s.placed[0].notes[0].contains("nothing was measured"));
    }

    #[test]
    fn a_pull_of_the_current_above_the_start_takes_line() {
        let with = |n| {
            let a = SetAsk { only: Some(SetFor::Soak), pull: Known::Known(Force::of_lbf(n)), ..ask(6.0) };
            set(|_| (), a).unwrap().soak.unwrap()
        };
        assert_eq!(with(3.0).sea_takes_line, Known::Known(false));
        assert_eq!(with(12.0).sea_takes_line, Known::Known(true));
    }

    #[test]
    fn a_star_is_told_to_count_and_prove() {
        let s = set(
            |o| {
                o.reel.kind = Known::Known(ReelKind::Star);
                for (i, r) in o.readings.iter_mut().enumerate() {
                    r.setting = Setting::Clicks(i as f64 * 3.0);
                }
            },
            ask(24.0),
        )
        .unwrap();
        let fight = &s.placed[2];
        assert!(
            matches!(fight.setting, Known::Known(Setting::Clicks(n)) if (6.0..9.0).contains(&n)),
            "{fight:?}"
        );
        assert!(fight.notes.iter().any(|n| n.contains("prove it by one pull")));
        assert!(!fight.notes.iter().any(|n| n.contains("preset")));
    }

    proptest! {
        #[test]
        fn the_band_holds_the_wish_and_wider_for_the_night(lbf in 4.0..36.0_f64, at_tip: bool) {
            let at = if at_tip { ScalePlace::Tip } else { ScalePlace::Reel };
            let Ok(s) = set(|_| (), SetAsk { at, ..ask(lbf) }) else { return Ok(()) };
            for p in &s.placed {
                let (Known::Known(a), Known::Known(b)) = (p.as_read, p.band) else { continue };
                prop_assert!(b.low <= a.low && a.low <= p.tip && p.tip <= a.high && a.high <= b.high);
            }
            if at_tip {
                let fight = s.placed.last().unwrap();
                prop_assert!((fight.tip.lbf() / lbf - 1.0).abs() < 1e-12);
            }
        }
    }
}
