//! Which readings to take next.
//!
//! The order is that in which a missing reading can hurt: nothing read, a wanted drag that no reading reaches, readings
//! that no longer stand, a wide gap where the drag is wanted, marks pulled too seldom, then what was never noted.

use super::check_pull::CheckPull;
use super::curve::DragCurve;
use super::reading::{Reading, ScalePlace};
use crate::facts::Known;
use crate::quantity::{Force, Temperature, Units};
use crate::tackle::tables::Tables;
use crate::tackle::{DragEvidence, Outfit, ReelKind};
use jiff::civil::Date;
use serde::Serialize;

/// What is wrong with the readings as they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ReadWhy {
    /// Nothing was read, or nothing that counts.
    Nothing,
    /// A wanted drag lies beyond all readings.
    OutOfReach,
    /// The preset was turned, or nobody says where it stands.
    Preset,
    /// The reel was opened since.
    Opened,
    /// The night is much colder or warmer.
    Temperature,
    /// Older than a reading counts.
    Old,
    /// Two marks lie far apart where the drag is wanted.
    Gap,
    /// Fewer pulls than asked for at a mark.
    Few,
    /// Never over the bent rod.
    Tip,
    /// Never with line out.
    LineOut,
    /// Start-up was never noted.
    StartUp,
    /// Something that tells whether the reading still stands was not noted.
    NotNoted,
}

/// One reading to take.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadNext {
    /// Why.
    pub why: ReadWhy,
    /// Where to put lever or clicks for it, if that can be said.
    pub setting: Known<String>,
    /// What to do, in words.
    pub sentence: String,
}

/// What the readings are wanted for.
#[derive(Clone, Copy, Debug)]
pub struct ReadFor<'a> {
    /// Wanted drags by name, off the reel with a full spool.
    pub wanted: &'a [(&'static str, Force)],
    /// The day on which they are read.
    pub on: Date,
    /// Days for which a reading counts.
    pub counts_days: f64,
    /// Air of the night.
    pub air: Known<Temperature>,
    /// Kelvins of difference from which a check pull is asked for.
    pub check_k: f64,
    /// Units of the sentences.
    pub units: Units,
}

/// The readings to take next, the most needed first; empty when there is nothing to ask.
pub fn read_next(
    outfit: &Outfit,
    curve: Option<&DragCurve>,
    tables: &Tables,
    ask: &ReadFor<'_>,
) -> Vec<ReadNext> {
    let mut next = Vec::new();
    let Some(curve) = curve else {
        next.push(ReadNext {
            why: ReadWhy::Nothing,
            setting: Known::Unknown,
            sentence: from_nothing(outfit),
        });
        return next;
    };
    let mut say = |why, setting: Option<String>, sentence: String| {
        next.push(ReadNext { why, setting: setting.into(), sentence });
    };
    let used: Vec<&Reading> =
        curve.knots.iter().flat_map(|k| &k.readings).filter_map(|i| outfit.readings.get(*i)).collect();
    out_of_reach(curve, ask, &mut say);
    stands(outfit, curve, &used, tables, ask, &mut say);
    gap(curve, tables.drag.gap.value, ask, &mut say);
    few(curve, tables.drag.pulls.value, ask, &mut say);
    never(curve, &used, ask, &mut say);
    next
}

type Say<'a> = dyn FnMut(ReadWhy, Option<String>, String) + 'a;

fn from_nothing(outfit: &Outfit) -> String {
    let marks = match outfit.reel.kind {
        Known::Known(ReelKind::Star) => {
            "a star has no marks: back it off until the spool runs free, and read at so many clicks or turns in"
        }
        Known::Known(ReelKind::Spinning | ReelKind::Casting) => {
            "back the knob off until the spool runs free, and read at so many clicks or turns in"
        }
        _ => "read at three or four marks of the lever: near the soak, at strike, at full, and one between",
    };
    format!(
        "line through the guides, rod in its bend, scale at the line: {marks}, three long steady pulls at each"
    )
}

fn out_of_reach(curve: &DragCurve, ask: &ReadFor<'_>, say: &mut Say<'_>) {
    let (first, last) = (curve.first(), curve.last());
    for (what, drag) in ask.wanted {
        if curve.position(*drag).is_some() {
            continue;
        }
        let low = drag.n() * curve.full_radius.m() < first.torque.nm();
        let (side, mark) = if low { ("below", first.setting) } else { ("above", last.setting) };
        say(
            ReadWhy::OutOfReach,
            None,
            format!(
                "no reading reaches {} for the {what}: pull {side} {mark} until the scale shows it, and note where the setting stands",
                ask.units.force(*drag)
            ),
        );
    }
}

/// Whether what was read still stands: preset, reel opened, temperature, age.
fn stands(
    outfit: &Outfit,
    curve: &DragCurve,
    used: &[&Reading],
    tables: &Tables,
    ask: &ReadFor<'_>,
    say: &mut Say<'_>,
) {
    let near = ask.wanted.last().and_then(|w| curve.setting_for(w.1).ok()).map(|s| s.to_string());
    if !curve.left_out.is_empty() && curve.left_out.iter().any(|l| l.why.contains("preset")) {
        say(
            ReadWhy::Preset,
            near.clone(),
            "some readings were taken at another preset: pull once more as it stands now".into(),
        );
    }
    let evidence = evidence(outfit, used, tables);
    match evidence.opened_since {
        Known::Known(true) => say(
            ReadWhy::Opened,
            near.clone(),
            "the reel was opened since: its marks no longer hold until they are pulled again".into(),
        ),
        Known::Unknown => say(
            ReadWhy::NotNoted,
            None,
            "nobody says whether the reel was opened since: write the day it was last opened (opened)".into(),
        ),
        Known::Known(false) => {}
    }
    let check = CheckPull::of(&outfit.readings, &outfit.drag, ask.air);
    match check.warmer_k() {
        Known::Known(k) if k.abs() >= ask.check_k => say(
            ReadWhy::Temperature,
            near.clone(),
            format!(
                "one check pull on the beach: the readings are of {}, the night is {}; {}",
                check.read_at.get().map_or_else(String::new, |t| ask.units.temperature(t)),
                check.air.get().map_or_else(String::new, |t| ask.units.temperature(t)),
                check.expect()
            ),
        ),
        Known::Unknown if check.read_at.is_unknown() => say(
            ReadWhy::NotNoted,
            None,
            "the newest readings carry no temperature: note the air, a drag moves with it".into(),
        ),
        _ => {}
    }
    match evidence.age_days(ask.on) {
        Some(d) if f64::from(d) > ask.counts_days => {
            say(
                ReadWhy::Old,
                near,
                format!("the newest reading is {d} days old: pull once more at each mark"),
            );
        }
        None => say(ReadWhy::NotNoted, None, "no reading carries a date: note the day".into()),
        Some(_) => {}
    }
}

/// What the readings that count are evidence of.
fn evidence(outfit: &Outfit, used: &[&Reading], tables: &Tables) -> DragEvidence {
    let only = Outfit { readings: used.iter().map(|r| (*r).clone()).collect(), ..outfit.clone() };
    only.drag_evidence(tables)
}

/// The widest gap at a wanted drag.
fn gap(curve: &DragCurve, most: f64, ask: &ReadFor<'_>, say: &mut Say<'_>) {
    let width = |drag: Force| {
        let (low, high) = curve.between(drag);
        high - low
    };
    let widest = ask
        .wanted
        .iter()
        .filter(|(_, d)| curve.position(*d).is_some())
        .map(|(what, d)| (*what, *d, width(*d)))
        .max_by(|a, b| a.2.total_cmp(&b.2));
    let Some((what, drag, width)) = widest else { return };
    if width <= most {
        return;
    }
    let (Some(b), Ok(setting)) = (curve.bracket(drag), curve.setting_for(drag)) else { return };
    let (low, high) = curve.between(drag);
    say(
        ReadWhy::Gap,
        Some(setting.to_string()),
        format!(
            "put it at {setting} for the {what} and pull: nobody read between {} and {}, and the drag there may be {} to {}",
            b.below.setting,
            b.above.setting,
            ask.units.force(drag * low),
            ask.units.force(drag * high)
        ),
    );
}

/// Marks pulled too seldom; those next to a wanted drag first.
fn few(curve: &DragCurve, pulls: f64, ask: &ReadFor<'_>, say: &mut Say<'_>) {
    let near =
        |drag: Force| ask.wanted.iter().map(|(_, w)| (*w / drag - 1.0).abs()).fold(f64::INFINITY, f64::min);
    let mut seldom: Vec<_> =
        curve.marks().into_iter().filter(|m| (m.count as f64) < pulls && m.drag > Force::ZERO).collect();
    seldom.sort_by(|a, b| near(a.drag).total_cmp(&near(b.drag)));
    let Some(first) = seldom.first() else { return };
    let list: Vec<String> = seldom.iter().map(|m| format!("{} ({})", m.setting, m.count)).collect();
    say(
        ReadWhy::Few,
        Some(first.setting.to_string()),
        format!("fewer than {pulls:.0} pulls, the most wanted mark first: {}", list.join(", ")),
    );
}

/// What was never read or noted.
fn never(curve: &DragCurve, used: &[&Reading], ask: &ReadFor<'_>, say: &mut Say<'_>) {
    let near = ask.wanted.last().and_then(|w| curve.setting_for(w.1).ok()).map(|s| s.to_string());
    if curve.place == ScalePlace::Reel {
        say(
            ReadWhy::Tip,
            near.clone(),
            "once over the bent rod, scale beyond the tip: how much the guides add is only reckoned so far"
                .into(),
        );
    }
    let with_line_out = |r: &&Reading| {
        r.line_out.get().is_some_and(|l| l.m() > 20.0) || r.depth.get().is_some_and(|d| d.mm() > 5.0)
    };
    if !used.iter().any(with_line_out) {
        say(
            ReadWhy::LineOut,
            near.clone(),
            "once with a third of the line out, the depth below the rim noted: it proves spool and line as they are written"
                .into(),
        );
    }
    if curve.start_up().is_unknown() {
        say(
            ReadWhy::StartUp,
            near,
            "note the value at which it starts as well: that is what people meet".into(),
        );
    }
    if !used.iter().any(|r| !r.preset.is_unknown()) && curve.knots.iter().any(|k| k.setting.is_of_lever()) {
        say(
            ReadWhy::NotNoted,
            None,
            "no reading says where the preset stood: count its turns with the lever in FREE, and note them"
                .into(),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tackle::drag::{Preset, ReadingContext, Setting};
    use crate::tackle::path::demo::demo;
    use crate::tackle::tables::tests::shipped;

    const WANTED: [(&str, Force); 2] = [("soak", Force::of_n(25.0)), ("fight", Force::of_n(110.0))];

    fn whys(outfit: &Outfit, change: impl Fn(&mut ReadFor<'_>)) -> Vec<ReadNext> {
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        let curve = DragCurve::fit(&outfit.readings, None, &ReadingContext::of(outfit, &spool, &t)).ok();
        let mut ask = ReadFor {
            wanted: &WANTED,
            on: "2026-10-17".parse().unwrap(),
            counts_days: 30.0,
            air: Known::Known(Temperature::of_c(20.0)),
            check_k: 8.0,
            units: Units::Us,
        };
        change(&mut ask);
        read_next(outfit, curve.as_ref(), &t, &ask)
    }
    fn has(next: &[ReadNext], why: ReadWhy) -> bool {
        next.iter().any(|n| n.why == why)
    }

    /// Everything read and noted as it should be.
    fn perfect() -> Outfit {
        let (mut o, _) = demo();
        o.opened = Known::Known("2026-01-02".parse().unwrap());
        for (x, n) in [(0.1, 25.0), (0.5, 68.0), (0.7, 90.0), (0.9, 112.0), (1.0, 123.0)] {
            for i in 0..3 {
                let mut r = Reading::new(Setting::Lever(x), Force::of_n(n), ScalePlace::Tip);
                r.date = Known::Known("2026-10-11".parse().unwrap());
                r.temperature = Known::Known(Temperature::of_c(22.0));
                r.preset = Known::Known(Preset::Turns(2.0));
                r.start_up = Known::Known(Force::of_n(n * 1.1));
                if i == 2 {
                    let t = shipped();
                    let spool = o.loaded_spool(&t).unwrap().value;
                    let out = crate::quantity::Length::of_m(300.0);
                    r.line_out = Known::Known(out);
                    r.value = spool.drag(r.value, out);
                    r.start_up = Known::Unknown;
                }
                o.readings.push(r);
            }
        }
        o
    }

    #[test]
    fn asks_nothing_of_a_perfect_set_and_each_lack_by_itself() {
        // 25 N and 110 N at the reel are reached: 25 N at the tip is 24 N there, so the soak needs its mark a little lower.
        let next = whys(&perfect(), |a| a.wanted = &WANTED[1..]);
        assert_eq!(next.iter().filter(|n| n.why != ReadWhy::OutOfReach).count(), 0, "{next:?}");
        let one = |change: fn(&mut Outfit), why| {
            let mut o = perfect();
            change(&mut o);
            let next = whys(&o, |a| a.wanted = &WANTED[1..]);
            assert!(has(&next, why), "{why:?}: {next:?}");
        };
        one(|o| o.readings.clear(), ReadWhy::Nothing);
        one(|o| o.opened = Known::Known("2026-10-12".parse().unwrap()), ReadWhy::Opened);
        one(|o| o.opened = Known::Unknown, ReadWhy::NotNoted);
        one(|o| drop(o.readings.remove(3)), ReadWhy::Few);
        one(|o| o.readings.iter_mut().for_each(|r| r.at = Known::Known(ScalePlace::Reel)), ReadWhy::Tip);
        one(|o| o.readings.retain(|r| r.line_out.is_unknown()), ReadWhy::LineOut);
        one(|o| o.readings.iter_mut().for_each(|r| r.start_up = Known::Unknown), ReadWhy::StartUp);
        one(|o| o.readings.iter_mut().for_each(|r| r.preset = Known::Unknown), ReadWhy::NotNoted);
        one(|o| o.readings.iter_mut().for_each(|r| r.date = Known::Unknown), ReadWhy::NotNoted);
        one(|o| o.readings.iter_mut().for_each(|r| r.temperature = Known::Unknown), ReadWhy::NotNoted);
        one(
            |o| o.readings.retain(|r| r.setting == Setting::Lever(0.1) || r.setting == Setting::Lever(1.0)),
            ReadWhy::Gap,
        );
        one(|o| o.readings.retain(|r| r.value.n() < 95.0), ReadWhy::OutOfReach);
    }

    #[test]
    fn a_cold_night_and_old_readings_ask_for_a_pull() {
        let o = perfect();
        let next = whys(&o, |a| a.air = Known::Known(Temperature::of_c(14.0)));
        let t = next.iter().find(|n| n.why == ReadWhy::Temperature).expect("8 K colder");
        assert!(t.sentence.contains("more drag"), "{t:?}");
        assert!(!has(&whys(&o, |a| a.air = Known::Known(Temperature::of_c(14.5))), ReadWhy::Temperature));
        assert!(has(&whys(&o, |a| a.on = "2026-11-11".parse().unwrap()), ReadWhy::Old));
        assert!(!has(&whys(&o, |a| a.on = "2026-11-10".parse().unwrap()), ReadWhy::Old));
    }

    #[test]
    fn the_mark_next_to_what_is_wanted_comes_first() {
        let mut o = perfect();
        o.readings.retain(|r| r.start_up.is_unknown());
        let few = whys(&o, |_| ()).into_iter().find(|n| n.why == ReadWhy::Few).unwrap();
        assert!(matches!(few.setting, Known::Known(ref s) if s == "90%" || s == "10%"), "{few:?}");
        assert!(few.sentence.contains("90% (1)"));
    }
}
