//! The answer for people.

use super::Shown;
use crate::desk::Desk;
use crate::layout::Page;
use tailrope::facts::{Band, Known};
use tailrope::hold::{Answer, Drift, Held, Report, SinkerNeeded, WalkAt};
use tailrope::quantity::{Force, Length, Span, Units, significant};
use tailrope::water::Keep;

/// The page.
pub fn text(shown: &Shown<'_>, desk: &Desk) -> String {
    let (q, r, u) = (shown.question, shown.report, desk.units);
    let mut page = desk.page();
    page.say(&headline(shown, u));
    if let (Known::Known(at), Known::Known(reaches)) = (q.bathers_at, r.reaches_bathers) {
        let where_ =
            if q.either_side { format!("{} to either side of the rod", u.line(at)) } else { along(at, u) };
        page.say(&if reaches {
            format!(
                "STOP if anybody bathes {where_}: the bait may lie within {} of them, along the beach, by the end of the soak.",
                u.line(q.clear)
            )
        } else {
            format!("Bathers {where_} are more than {} beyond what this bait can get to.", u.line(q.clear))
        });
    }
    if r.reaches_next_rod == Known::Known(true) {
        page.say("A walked bait may get to the next rod: lines foul, and a fish on one takes the other.");
    }
    lies(shown, &mut page, u);
    holds(shown, &mut page, u);
    sea(shown, &mut page, u);
    if let Some(w) = &r.walked {
        page.head("If it walks, the lever locked");
        let rest = |d: Option<Drift>| match d {
            None => "stays where it is".to_owned(),
            Some(d) => format!(
                "{} {} down-current, {} off, after {} of creeping, {} at the least",
                if d.rests { "rests" } else { "creeps on beyond" },
                u.line(d.along),
                u.line(d.off),
                u.line(d.way),
                u.span(d.least)
            ),
        };
        let soak = q.soak.get().map_or_else(|| "12 h, no soak being said".to_owned(), |t| u.span(t));
        let mut rows = vec![];
        if !r.grip.is_unknown() {
            rows.push(("middle load, middle hold", rest(w.middle)));
            rows.push(("greatest load, least hold", rest(w.worst)));
        }
        rows.push((
            "never beyond",
            if w.reach.circle.m().is_finite() {
                format!("{}, the line being that long", u.line(w.reach.circle))
            } else {
                "all the line of the reel: it may stream away".to_owned()
            },
        ));
        rows.push(("by the end of the soak", format!("{} along at most ({soak})", u.line(w.reach.along))));
        if w.reach.back.m() > 0.5 {
            rows.push(("the other way", format!("{} at most, the current turning", u.line(w.reach.back))));
        }
        page.pairs(&rows);
        page.say("How fast a sinker creeps nobody measured: the bounds hold, the places between are a guess. Line that runs off the reel adds to them.");
    }
    needs(r, q.ask.keep, &mut page, u);
    for note in shown.notes {
        page.say(note);
    }
    page.into_text()
}

fn along(at: Length, u: Units) -> String {
    let way = if at.m() < 0.0 { "up-current" } else { "down-current" };
    format!("{} {way} of the rod", u.line(Length::of_m(at.m().abs())))
}

fn band(b: Band<Known<Force>>, u: Units) -> String {
    let say = |k: Known<Force>| {
        k.get().map_or_else(|| "no bound: the line streams away".to_owned(), |f| u.force(f))
    };
    match (b.low, b.high) {
        (Known::Known(l), Known::Known(h)) if (h.n() - l.n()).abs() < 0.005 * h.n() => u.force(l),
        _ => format!("{} ({} to {})", say(b.central), say(b.low), say(b.high)),
    }
}

fn headline(shown: &Shown<'_>, u: Units) -> String {
    let (q, r) = (shown.question, shown.report);
    let current = tailrope::quantity::Speed::of_mps({
        let (a, o) = (q.ask.along.mps(), q.ask.out.mps());
        (a * a + o * o).sqrt()
    });
    let load = band(r.load, u);
    let set = format!("{} out in {}", u.line(q.ask.distance), u.current(current));
    match r.answer {
        Answer::Holds => format!("Holds: {set} the sinker must bear {load}, and it holds more."),
        Answer::Doubtful if !r.doubts.is_empty() => {
            let why: Vec<&str> = r.doubts.iter().map(|d| d.words()).collect();
            format!("In doubt: {set} the sinker must bear {load}, but {}.", why.join("; "))
        }
        Answer::Doubtful => {
            format!("In doubt: {set} the sinker must bear {load}; what it holds is not known well enough.")
        }
        Answer::Walks => format!("Walks: {set} the sinker must bear {load}, more than it holds."),
        Answer::Unknown => format!(
            "Not known whether it holds: {set} the sinker must bear {load}. Say what sinker it is, or pull one: --pull-test."
        ),
    }
}

fn lies(shown: &Shown<'_>, page: &mut Page, u: Units) {
    let (q, r) = (shown.question, shown.report);
    page.head("How the line lies");
    let kept = match q.ask.keep {
        Keep::Tension(t) => format!("{} kept at the rod", u.force(t)),
        Keep::Length(l) => format!("{} out, lever locked", u.line(l)),
    };
    let lying = &r.lying;
    let mut rows = Vec::new();
    let factors = [lying.strum.low, lying.strum.central, lying.strum.high];
    let one = lying.strum.low >= lying.strum.high;
    for (k, held) in factors.iter().zip(&lying.held).take(if one { 1 } else { 3 }) {
        let name = significant(*k, 2);
        rows.push(match held.as_ref() {
            Some(h) => row(&name, h, u),
            None => {
                vec![name, "streams away".into(), String::new(), String::new(), String::new(), String::new()]
            }
        });
    }
    page.say(&format!(
        "{kept}; bait {} by {}, {}.",
        u.size(q.ask.bait.size.length()),
        u.size(q.ask.bait.size.width()),
        q.ask.bait.lies.words()
    ));
    page.table(&["strum", "belly", "comes in at", "line out", "down-current", "shoreward"], &rows, &[]);
    if q.ask.depth.is_unknown() {
        page.say("No depth was said: all of the line counts as in the water, which is the safe side.");
    }
    if lying.central().is_some_and(|h| h.on_bed) {
        page.say(
            "Part of the line would hang below the bait: it lies on the bed, and these numbers are rough.",
        );
    }
}

fn row(name: &str, h: &Held, u: Units) -> Vec<String> {
    vec![
        name.to_owned(),
        u.line(h.belly),
        u.angle(h.arrives),
        u.line(h.line_out),
        u.force(h.down_current),
        u.force(h.shoreward),
    ]
}

fn holds(shown: &Shown<'_>, page: &mut Page, u: Units) {
    let r = shown.report;
    page.head("The sinker");
    let Some(g) = r.grip.as_ref() else {
        page.say("Nobody knows what it holds. Set it in wet sand at the water's edge, pull with the scale at 5 to 10 degrees, five times, and give the median.");
        return;
    };
    let hold = format!("{} ({} to {})", u.force(g.hold.central), u.force(g.hold.low), u.force(g.hold.high));
    let mut rows = vec![
        ("holds", format!("{hold}; {}; grade: {}", g.by.words(), g.grade.word())),
        ("must bear", band(r.load, u)),
    ];
    if let Known::Known(m) = r.margin.central {
        let end = |k: Known<f64>| k.get().map_or_else(|| "none".to_owned(), |m| significant(m, 2));
        rows.push((
            "hold over load",
            format!("{} ({} to {})", significant(m, 2), end(r.margin.low), end(r.margin.high)),
        ));
    }
    if let Known::Known(own) = g.own_weight {
        rows.push(("own weight", format!("{} of it at most", u.force(own.high))));
    }
    if let Some([low, central, high]) = r.walks_at {
        let at = |w: WalkAt| match w {
            WalkAt::Already => "in still water, the rod alone pulls it".to_owned(),
            WalkAt::At(v) => u.current(v),
            WalkAt::Holds => "no current of a beach".to_owned(),
        };
        let words = if low == central && central == high {
            at(central)
        } else {
            format!("{}; at the worst {}, at the best {}", at(central), at(low), at(high))
        };
        rows.push(("walks at", words));
    }
    page.pairs(&rows);
    if r.lifted {
        page.say("The line lifts by more than the sinker weighs: it stands on its nose and comes out. More line, or a lower tip.");
    }
}

fn sea(shown: &Shown<'_>, page: &mut Page, u: Units) {
    let r = shown.report;
    if let Some(w) = &r.waves {
        page.head("Waves at the bait");
        page.pairs(&[
            (
                "at the bed",
                format!(
                    "{} under the significant wave, {} under the highest of the soak; {}",
                    u.current(w.speeds.significant),
                    u.current(w.speeds.hold),
                    w.bed.words()
                ),
            ),
            ("load at their peak", format!("{}, an upper bound", band(w.peak, u))),
            ("mean of their square", band(w.rms, u)),
        ]);
    }
    if let Some(t) = &r.through {
        page.head("Through the soak");
        if let Some(tide) = &shown.tide {
            page.say(&format!(
                "The current follows the rise and fall at {tide}. On open coasts it may turn hours before or after the level does: time a float."
            ));
        }
        let pct = |x: f64| format!("{:.0} %", 100.0 * x);
        let from =
            |t: Option<Span>| t.map_or_else(|| "not at all".to_owned(), |t| format!("from {} on", u.span(t)));
        page.pairs(&[
            (
                "holds in",
                format!(
                    "{} of the soak; {} at the worst, {} at the best of the bands (no chance: shares of a band)",
                    pct(t.share.central),
                    pct(t.share.low),
                    pct(t.share.high)
                ),
            ),
            ("walks", format!("{}; at the worst {}", from(t.walks_from.1), from(t.walks_from.0))),
        ]);
        let rows: Vec<Vec<String>> = t
            .steps
            .iter()
            .step_by(1 + t.steps.len() / 14)
            .map(|s| {
                let yes = |b: bool| if b { "holds" } else { "walks" };
                vec![
                    u.span(s.flow.at),
                    u.current(s.flow.along),
                    s.load.central.get().map_or_else(|| "streams away".to_owned(), |f| u.force(f)),
                    yes(s.holds.low).to_owned(),
                    yes(s.holds.central).to_owned(),
                    yes(s.holds.high).to_owned(),
                ]
            })
            .collect();
        page.table(&["after", "current", "load", "at worst", "middle", "at best"], &rows, &[]);
    }
}

fn needs(r: &Report, keep: Keep, page: &mut Page, u: Units) {
    page.head("What would hold");
    let sinker = match r.needs.sinker {
        SinkerNeeded::Plain => {
            let mass = r.needs.mass.get().map_or_else(String::new, |m| format!(" of {}", u.mass(m)));
            format!("a plain lead{mass} or more")
        }
        SinkerNeeded::WiredHalfSet => "wires, half set at the least".to_owned(),
        SinkerNeeded::WiredWellSet => "wires, well worked in; give them time before the line comes tight".to_owned(),
        SinkerNeeded::None => {
            "none that is sold: ease the line, put the bait nearer, fish thinner line, or let it walk where it does no harm"
                .to_owned()
        }
    };
    let mut rows = vec![("sinker", sinker)];
    if let Known::Known(pull) = r.needs.pull {
        rows.push(("proved by", format!("a pull test of {} or more", u.force(pull))));
    }
    if let Known::Known(e) = r.needs.ease {
        rows.push((
            "or ease to",
            format!(
                "{} at the rod: then {} of belly, {} of line out, in at {}",
                u.force(e.tension),
                u.line(e.belly),
                u.line(e.line_out),
                u.angle(e.arrives)
            ),
        ));
    } else if matches!(keep, Keep::Tension(_))
        && let Some(g) = r.grip.as_ref()
        && r.needs.pull.get().is_none_or(|pull| pull > g.hold.low)
    {
        rows.push((
            "easing",
            "does not help: the line streams away, or the waves alone pull as much, before it pulls so little".to_owned(),
        ));
    }
    page.pairs(&rows);
}
