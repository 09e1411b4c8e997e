//! Lines of a sheet against each other and against what is already known of the drag.

use super::Sheet;
use crate::facts::{Band, Known};
use crate::quantity::{Force, Length};
use crate::tackle::drag::{Reading, ReadingContext, ScalePlace, Setting};
use crate::tackle::guides::wrap_factor;
use crate::tackle::tables::Tables;
use crate::tackle::{LoadedSpool, Outfit};

/// A line from the other place of the scale, carried over to that of the rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// Line of the sheet.
    pub line: u64,
    /// What was read.
    pub read: Force,
    /// What it would be at the place of the rest: friction and turn of the guides low, central and high.
    pub would_be: Band<Force>,
    /// Mean of the rest at the same setting; unknown if nobody read it there.
    pub mean: Known<Force>,
    /// Whether it lies outside two standard deviations of that mean (at least 5 % of it) for every guide factor; unknown
    /// without a mean, or if only some of the factors bring it inside.
    pub out_of_line: Known<bool>,
}

/// Least scatter that is granted to a mean, as a share of it: a scale in the hand is not read finer.
const GRANTED: f64 = 0.05;

/// Sets aside what does not go together, with line numbers: readings from the other place of the scale (kept apart, carried
/// over and compared), and settings whose drag does not rise. `outfit` brings the readings already known.
pub fn judge_sheet(sheet: &mut Sheet, outfit: &Outfit, spool: &LoadedSpool, tables: &Tables) -> Vec<Apart> {
    let ctx = ReadingContext::of(outfit, spool, tables);
    let place = place_of_most(sheet, outfit);
    one_kind(sheet, outfit, &ctx);
    rising(sheet, outfit, place, &ctx);
    let mut apart = Vec::new();
    for i in 0..sheet.lines.len() {
        let l = &sheet.lines[i];
        let Some(r) = l.reading.as_ref().filter(|r| r.at.get().is_some_and(|at| at != place)) else {
            continue;
        };
        let found = carried(l.line, r, place, sheet, outfit, &ctx, tables);
        let words = words(&found, place, r);
        sheet.lines[i].aside.push(words);
        apart.push(found);
    }
    apart
}

/// The place from which most readings are; of two as frequent the first met.
fn place_of_most(sheet: &Sheet, outfit: &Outfit) -> ScalePlace {
    let known = outfit.readings.iter().filter(|r| r.doubtful.is_empty());
    let all: Vec<ScalePlace> = known.chain(sheet.taken().map(|t| t.1)).filter_map(|r| r.at.get()).collect();
    let count = |p| all.iter().filter(|a| **a == p).count();
    let (reel, tip) = (count(ScalePlace::Reel), count(ScalePlace::Tip));
    if reel == tip {
        return all.first().copied().unwrap_or_default();
    }
    if reel > tip { ScalePlace::Reel } else { ScalePlace::Tip }
}

/// Sets aside settings of another kind than the first that is known: a count and a place of the lever have no order.
fn one_kind(sheet: &mut Sheet, outfit: &Outfit, ctx: &ReadingContext<'_>) {
    let kind = |r: &Reading| r.setting.axis(ctx.strike_at).1;
    let known = outfit.readings.iter().find(|r| r.doubtful.is_empty());
    let Some(first) = known.or_else(|| sheet.taken().next().map(|t| t.1)).map(|r| (kind(r), r.setting))
    else {
        return;
    };
    for l in &mut sheet.lines {
        if let Some(r) = l.reading.as_ref().filter(|r| kind(r) != first.0) {
            l.aside.push(format!(
                "`{}` and `{}` are two kinds of setting: note the same kind each time",
                r.setting, first.1
            ));
        }
    }
}

/// One mark while the order is looked at: lines of the sheet (by index) and values, off the reel with a full spool.
struct At {
    position: f64,
    setting: Setting,
    lines: Vec<usize>,
    sum: f64,
    count: usize,
}

/// Sets aside the lines of settings whose drag does not rise, until the rest does. A line whose only fault so far is the
/// spool is looked at as well: it shows which readings contradict each other.
fn rising(sheet: &mut Sheet, outfit: &Outfit, place: ScalePlace, ctx: &ReadingContext<'_>) {
    let mut out: Vec<usize> = Vec::new();
    loop {
        let marks = marks(sheet, outfit, place, ctx, &out);
        let bad = marks.windows(2).filter(|w| mean(&w[0]) >= mean(&w[1]));
        let mut found = Vec::new();
        for w in bad {
            let both: Vec<usize> = [w[0].lines.as_slice(), w[1].lines.as_slice()].concat();
            let side = |a: &At| {
                let lines: Vec<String> = a.lines.iter().map(|i| sheet.lines[*i].line.to_string()).collect();
                let whence = if lines.is_empty() {
                    "already known".to_owned()
                } else {
                    format!("line {}", lines.join(", "))
                };
                format!("{} ({whence}: {:.1} lbf off the reel)", a.setting, Force::of_n(mean(a)).lbf())
            };
            let why =
                format!("the drag does not rise from {} to {}: read both again", side(&w[0]), side(&w[1]));
            found.extend(both.into_iter().map(|i| (i, why.clone())));
        }
        if found.is_empty() {
            return;
        }
        for (i, why) in found {
            out.push(i);
            if let Some(l) = sheet.lines.get_mut(i)
                && !l.aside.contains(&why)
            {
                l.aside.push(why);
            }
        }
    }
}

fn mean(a: &At) -> f64 {
    a.sum / a.count.max(1) as f64
}

fn marks(
    sheet: &Sheet,
    outfit: &Outfit,
    place: ScalePlace,
    ctx: &ReadingContext<'_>,
    out: &[usize],
) -> Vec<At> {
    let mut marks: Vec<At> = Vec::new();
    let mut put = |r: &Reading, line: Option<usize>| {
        if r.at.get() != Some(place) {
            return;
        }
        let Ok(torque) = ctx.torque(r, place, r.value) else { return };
        let n = torque.nm() / ctx.spool.full_radius().m();
        let position = r.setting.axis(ctx.strike_at).0;
        let at = marks.iter().position(|m| m.position == position).unwrap_or_else(|| {
            marks.push(At { position, setting: r.setting, lines: Vec::new(), sum: 0.0, count: 0 });
            marks.len() - 1
        });
        marks[at].sum += n;
        marks[at].count += 1;
        marks[at].lines.extend(line);
    };
    for r in outfit.readings.iter().filter(|r| r.doubtful.is_empty()) {
        put(r, None);
    }
    for (i, l) in sheet.lines.iter().enumerate() {
        // The spool alone: what cannot be dated or is of another reel has no say.
        let only_spool = l.aside.iter().all(|a| a.starts_with("the spool was not full"));
        if let Some(r) = l.reading.as_ref().filter(|_| only_spool && !out.contains(&i)) {
            put(r, Some(i));
        }
    }
    marks.sort_by(|a, b| a.position.total_cmp(&b.position));
    marks
}

/// Carries a reading over to the other place by the guides.
fn carried(
    line: u64,
    r: &Reading,
    place: ScalePlace,
    sheet: &Sheet,
    outfit: &Outfit,
    ctx: &ReadingContext<'_>,
    tables: &Tables,
) -> Apart {
    let mu = outfit.guides.friction(tables, outfit.material_at(ctx.spool, Length::ZERO)).value;
    let turn = outfit.guides.wrap(tables).value;
    let factor = |f, t| match place {
        ScalePlace::Tip => wrap_factor(f, t),
        ScalePlace::Reel => 1.0 / wrap_factor(f, t),
    };
    let (a, b) = (factor(mu.low, turn.low), factor(mu.high, turn.high));
    let would_be = Band {
        low: r.value * a.min(b),
        central: r.value * factor(mu.central, turn.central),
        high: r.value * a.max(b),
    };
    let same: Vec<f64> = outfit
        .readings
        .iter()
        .filter(|o| o.doubtful.is_empty())
        .chain(sheet.taken().map(|t| t.1))
        .filter(|o| o.at.get() == Some(place) && o.setting == r.setting)
        .map(|o| o.value.n())
        .collect();
    if same.is_empty() {
        return Apart { line, read: r.value, would_be, mean: Known::Unknown, out_of_line: Known::Unknown };
    }
    let n = same.len() as f64;
    let mean = same.iter().sum::<f64>() / n;
    let squares: f64 = same.iter().map(|v| crate::math::sq(v - mean)).sum();
    let sd = if same.len() > 1 { (squares / (n - 1.0)).sqrt() } else { 0.0 };
    let room = (2.0 * sd).max(GRANTED * mean);
    let outside = |f: Force| (f.n() - mean).abs() > room;
    let one_side = (would_be.low.n() > mean) == (would_be.high.n() > mean);
    let out_of_line = match (outside(would_be.low), outside(would_be.central), outside(would_be.high)) {
        (true, true, true) if one_side => Known::Known(true),
        (false, false, false) => Known::Known(false),
        _ => Known::Unknown,
    };
    Apart { line, read: r.value, would_be, mean: Known::Known(Force::of_n(mean)), out_of_line }
}

fn words(a: &Apart, place: ScalePlace, r: &Reading) -> String {
    let read = r.at.get().map_or("", ScalePlace::words);
    let carried = format!(
        "{:.1} N {read} would be {:.1} N ({:.1} lbf) {}",
        a.read.n(),
        a.would_be.central.n(),
        a.would_be.central.lbf(),
        place.words()
    );
    let against = match (a.mean, a.out_of_line) {
        (Known::Known(m), Known::Known(true)) => format!("; out of line with {:.1} lbf there: ask", m.lbf()),
        (Known::Known(m), Known::Known(false)) => format!("; it agrees with {:.1} lbf there", m.lbf()),
        (Known::Known(m), Known::Unknown) => format!(
            "; beside {:.1} lbf there the guides' friction is not known well enough to tell whether it agrees: ask",
            m.lbf()
        ),
        (Known::Unknown, _) => "; nobody read this setting there".to_owned(),
    };
    format!("another place of the scale, kept apart: {carried}{against}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Angle;
    use crate::tackle::drag::{DateOrder, SheetAsk, SheetLine};
    use crate::tackle::path::demo::thin;
    use crate::tackle::tables::tests::shipped;
    use proptest::prelude::*;

    const SHEET: &str = include_str!("../../../../tests/reference/fixtures/drag_readings_constructed.csv");

    fn taken(lines: &[SheetLine]) -> Vec<u64> {
        lines.iter().filter(|l| l.taken()).map(|l| l.line).collect()
    }
    fn outfit() -> Outfit {
        let (mut o, _) = thin();
        o.guides = crate::tackle::Guides::default();
        o.guides.friction = Known::Known(0.16);
        o.guides.wrap = Known::Known(Angle::of_deg(60.0));
        o
    }
    fn judged(text: &str, outfit: &Outfit, ask: &SheetAsk) -> (Sheet, Vec<Apart>) {
        let t = shipped();
        let spool = outfit.loaded_spool(&t).unwrap().value;
        let mut sheet = Sheet::read("sheet.csv", text, ask).unwrap();
        let apart = judge_sheet(&mut sheet, outfit, &spool, &t);
        (sheet, apart)
    }
    fn why(s: &Sheet, line: u64) -> String {
        s.lines.iter().find(|l| l.line == line).unwrap().aside.join(" / ")
    }

    #[test]
    fn the_sheet_of_three_places_gives_three_good_lines() {
        let (s, apart) = judged(SHEET, &outfit(), &SheetAsk::default());
        assert_eq!(taken(&s.lines), vec![2, 3, 4]);
        let lbf: Vec<f64> = s.taken().map(|t| t.1.value.lbf()).collect();
        assert!(lbf.iter().zip([24.0, 25.5, 26.0]).all(|(a, b)| (a - b).abs() < 1e-9), "{lbf:?}");
        assert!(s.taken().all(|t| t.1.date == Known::Known("2026-06-14".parse().unwrap())));
        assert!(s.lines[2].notes[0].contains("`26` is read in lb"), "{:?}", s.lines[2].notes);
        assert!(
            why(&s, 5).contains("109.8 N off the reel would be 129.9 N (29.2 lbf) at the tip"),
            "{}",
            why(&s, 5)
        );
        assert!(why(&s, 5).contains("out of line with 25.2 lbf there: ask"), "{}", why(&s, 5));
        assert_eq!((apart.len(), apart[0].out_of_line), (1, Known::Known(true)));
        for line in [6, 7] {
            assert!(
                why(&s, line).contains("from 75% (line 6: ") && why(&s, line).contains("to full (line 7: ")
            );
        }
        assert!(why(&s, 6).contains("the spool was not full (`forgot spool half full`)"), "{}", why(&s, 6));
        assert!(s.notes[0].contains("day first: line 2 proves it"), "{:?}", s.notes);
        assert!(s.lines[5].notes[0].contains("moving value?"));
    }

    #[test]
    fn guides_that_nobody_measured_may_leave_it_open() {
        let mut o = outfit();
        o.guides = crate::tackle::Guides::default();
        let (s, apart) = judged(SHEET, &o, &SheetAsk::default());
        // Friction 0.12 to 0.25 over 30 to 90 degrees: 117 to 163 N, and 25.2 lbf is 112 N give or take 9.
        assert_eq!(apart[0].out_of_line, Known::Unknown, "{apart:?}");
        assert!(why(&s, 5).contains("not known well enough"));
    }

    #[test]
    fn nothing_is_guessed() {
        let head = "date,reel,lever,reading,where,note\n";
        let one = |row: &str| {
            let (s, _) = judged(&format!("{head}{row}\n"), &outfit(), &SheetAsk::default());
            assert_eq!(s.lines.len(), 1);
            why(&s, 2)
        };
        assert_eq!(one("14/06/26,a,strike,24 lb,tip,"), "");
        assert!(one("04/06/26,a,strike,24 lb,tip,").contains("day or month first"));
        assert!(one("14/06/26,a,strike,24,tip,").contains("no unit"));
        assert!(one("14/06/26,a,strike,24,tip,same scale").contains("no unit"), "there is no line above");
        assert!(one("14/06/26,a,strike,24 lb,,").contains("where the scale was hooked"));
        assert!(one("14/06/26,a,strike,24 lb,boat,").contains("no place of a scale"));
        assert!(one("14/06/26,a,strike,24 lb,tip,rod pointed").contains("which?"));
        assert!(one("14/06/26,a,,24 lb,tip,").contains("setting: the cell is empty"));
        assert!(one("14/06/26,a,half,24 lb,tip,").contains("no place of a lever"));
        assert!(one("14/06/26,a,strike,11,2 kg,off reel,x").contains("decimal comma without quotes"));
        assert!(one("14/06/26,a,strike,\"1,200 N\",tip,").contains("comma could mark"));
        assert!(one("14/06/26,a,strike,24 lb,tip,spool half full").contains("how much line was out"));
        let ask = SheetAsk {
            dates: Some(DateOrder::MonthFirst),
            unit: Some("kg".into()),
            at: Some(ScalePlace::Tip),
            ..SheetAsk::default()
        };
        let (s, _) = judged(&format!("{head}04/06/26,a,strike,11,,\n"), &outfit(), &ask);
        let r = s.taken().next().unwrap().1;
        assert!((r.value.kgf() - 11.0).abs() < 1e-9);
        assert_eq!(r.date, Known::Known("2026-04-06".parse().unwrap()));
    }

    #[test]
    fn heads_delimiters_reels_and_columns_of_its_own() {
        let text = "\u{feff}Reel;Clicks;Reading (kg);Where;Depth;Temp;Weather\nleft;4;5,0;tip;2mm;21C;calm\nright;4;9;tip;;;\nleft;8;11,2;tip;2mm;21C;\n";
        let two = judged(text, &outfit(), &SheetAsk::default()).0;
        assert!(why(&two, 2).contains("The sheet names left, right"));
        let ask = SheetAsk { reel: Some("LEFT".into()), ..SheetAsk::default() };
        let s = judged(text, &outfit(), &ask).0;
        assert_eq!(taken(&s.lines), vec![2, 4]);
        assert!(why(&s, 3).contains("another reel"));
        let r = s.taken().next().unwrap().1;
        assert_eq!((r.setting, r.note.as_str()), (Setting::Clicks(4.0), "Weather: calm"));
        assert!((r.value.kgf() - 5.0).abs() < 1e-9 && r.depth == Known::Known(Length::of_mm(2.0)));
        for (text, part) in [
            ("lever,where\nstrike,tip\n", "value (reading)"),
            ("reading,where\n24 lb,tip\n", "setting (lever, clicks)"),
            ("lever,reading,drag\n", "two columns"),
            ("", "empty"),
        ] {
            let e = Sheet::read("s.csv", text, &SheetAsk::default()).unwrap_err();
            assert!(e.error.contains(part) && e.place.contains("s.csv"), "{e}");
        }
        let bad = SheetAsk { unit: Some("fathoms".into()), ..SheetAsk::default() };
        assert!(Sheet::read("s.csv", text, &bad).is_err());
    }

    #[test]
    fn what_is_already_known_counts_in_the_order() {
        let mut o = outfit();
        o.readings = vec![Reading::new(Setting::Lever(1.0), Force::of_lbf(20.0), ScalePlace::Tip)];
        let (s, _) =
            judged("lever,reading,where\nstrike,24 lb,tip\n7 clicks,9 lb,tip\n", &o, &SheetAsk::default());
        assert!(why(&s, 2).contains("to full (already known: "), "{}", why(&s, 2));
        assert!(why(&s, 3).contains("two kinds of setting"), "{}", why(&s, 3));
    }

    proptest! {
        #[test]
        fn every_line_is_taken_or_told(text in "(date|lever|reading|where|note|,|;|\n|14/06/26|strike|0.5|24 lb|11,2|\"|tip|off reel| ){0,40}") {
            let text = format!("date,lever,reading,where,note\n{text}");
            let o = outfit();
            let t = shipped();
            let spool = o.loaded_spool(&t).unwrap().value;
            if let Ok(mut s) = Sheet::read("s.csv", &text, &SheetAsk::default()) {
                let _ = judge_sheet(&mut s, &o, &spool, &t);
                for l in &s.lines {
                    prop_assert!(l.taken() == l.aside.is_empty());
                }
            }
        }
    }
}
