//! The page of `tailrope footing`.

use super::{Held, Told};
use crate::answer::{Answer, Failure};
use crate::desk::Desk;
use crate::layout::Page;
use crate::word::spelled;
use serde::Serialize;
use tailrope::people::rod::Lowering;
use tailrope::people::{Borne, Governs, HandsNeeded, SlipFound, Stance, StanceFooting};
use tailrope::quantity::{Force, Span, Units, significant};

#[derive(Serialize)]
struct DrillJson<'a> {
    schema: &'static str,
    how_to_measure: &'a [&'static str],
}

/// The drill alone.
pub fn drill(desk: &Desk, steps: &[&'static str]) -> Result<Answer, Failure> {
    let mut page = desk.page();
    page.say("How a crew measures the load at which its own angler's feet slip");
    page.head("Drill").points(steps);
    Answer::new(page.into_text(), &DrillJson { schema: "tailrope.footing-drill/1", how_to_measure: steps })
}

/// All of it.
pub fn page(desk: &Desk, t: &Told) -> String {
    let u = desk.units;
    let best = t.footing.planned.best();
    let mut page = desk.page();
    head(&mut page, t, best, u);
    page.head("What gives way at which pull");
    let planned = &t.footing.planned;
    let mut rows = vec![row(planned, &planned.alone, " alone", u)];
    if let Some(with_hands) = &planned.with_hands {
        rows.push(row(planned, with_hands, " with hands", u));
    }
    for other in &t.footing.others {
        rows.push(row(other, other.best(), if other.with_hands.is_some() { " with hands" } else { "" }, u));
    }
    page.table(&["stance", "tips", "slides", "back", "bears"], &rows, &[0]);
    if !t.hands.is_empty() {
        page.say(&format!(
            "Hands pull {} together: pull, never mass. They raise what tips and slides, never the back.",
            u.force(planned.hands_pull)
        ));
    }
    page.head("Drag at the tip it allows").pairs(&[
        ("at strike", format!("{} (share {})", u.force(best.limit * t.caps.strike), t.caps.strike)),
        ("anywhere", format!("{} (share {})", u.force(best.limit * t.caps.worst), t.caps.worst)),
    ]);
    if let Some(held) = &t.held {
        drag(&mut page, held, best, u);
    }
    rod(&mut page, t, u);
    if let Some(slip) = &t.slip {
        slipped(&mut page, slip, t.stand.in_moving_wash(), u);
    }
    sand(&mut page, t, u);
    page.into_text()
}

fn head(page: &mut Page, t: &Told, best: &Borne, u: Units) {
    let with = match t.hands.len() {
        0 => "alone".to_owned(),
        1 => "with one harness hand".to_owned(),
        n => format!("with {n} harness hands"),
    };
    let who = t.who.as_ref().map_or_else(|| "An angler".to_owned(), |name| format!("{name}, an angler"));
    let after = if t.stand.after > Span::of_min(1.0) {
        format!(" after {} of fight", u.span(t.stand.after))
    } else {
        String::new()
    };
    page.say(&format!(
        "{who} of {}, {}, {with}: bears {} at the rod tip{after}; then {}. What is not known makes it {} to {}; grade: {}.",
        u.mass(t.stand.mass),
        stance_word(t.stand.stance),
        u.force(best.limit),
        governs_words(best.governs),
        u.force(best.band.low),
        u.force(best.band.high),
        best.grade.word(),
    ));
    if t.footing.stop_if_harnessed {
        page.say(
            "STOP: water moves about the feet. Whatever the numbers say, nobody in a harness stands there.",
        );
    }
    if t.footing.planned.falls_if_parted() {
        page.say(&format!(
            "Caution: leaning {} beyond the rear foot. If the line parts, the angler falls backward.",
            u.size(t.footing.planned.unsupported_lean)
        ));
    }
}

fn drag(page: &mut Page, held: &Held, best: &Borne, u: Units) {
    let (demand, surge) = (held.demand, held.surge);
    let verdict = if held.margin.met() { "is within both shares" } else { "is too much" };
    let worst = if demand.worst == demand.strike {
        String::new()
    } else {
        format!(" ({} at the worst place)", u.force(demand.worst))
    };
    page.say(&format!(
        "A running drag of {} begins with {}{worst}: that {verdict}. {}",
        u.force(surge.running),
        u.force(demand.strike),
        needed_words(held.needed)
    ));
    page.head("Surge at the tip").pairs(&[
        ("running", u.force(surge.running)),
        ("as it begins", u.force(surge.start_up)),
        (
            "spool jams",
            format!(
                "{}: {} what is borne",
                u.force(surge.jammed),
                if surge.jam_moves(best) { "more than" } else { "within" }
            ),
        ),
    ]);
    page.say("The share at strike holds the jerk already: do not count it twice.");
    page.head("How long that is borne");
    let say = |span: Option<Span>| match span {
        None => "as long as it takes".to_owned(),
        Some(s) if s <= Span::ZERO => "not in the first minute".to_owned(),
        Some(s) => u.span(s),
    };
    page.pairs(&[
        ("within the shares, with rests", say(held.lasts.rests)),
        ("within the shares, held", say(held.lasts.held)),
        ("until the angler gives way, held", say(held.lasts.bare)),
    ]);
    let relief = held.lasts.relief;
    let when =
        if relief > Span::ZERO { format!("after {}", u.span(relief)) } else { "before it starts".to_owned() };
    page.say(&format!(
        "Ease the lever or relieve the angler {when}; the next one is clipped last. Static endurance carried to an angler's back: estimate.",
    ));
}

fn rod(page: &mut Page, t: &Told, u: Units) {
    let pull = t.held.as_ref().map_or(t.footing.planned.best().limit, |h| h.demand.strike);
    page.head(&format!("Rod and harness at {}", u.force(pull))).pairs(&[
        ("arm about the toes", u.size(t.used.arm())),
        ("arm about the pin", u.size(t.rod.pin_arm)),
        ("on the back", u.torque(t.rod.moment)),
        ("strap pulls", u.force(t.rod.strap)),
        ("pin pushes", u.force(t.rod.pin)),
    ]);
    if let Some(lowering) = t.lowering {
        page.say(&lowering_words(lowering, u));
        let rows: Vec<Vec<String>> = t
            .elevations
            .iter()
            .map(|e| vec![u.angle(e.elevation), u.size(e.tip.up), u.force(e.limit), spelled(&e.governs)])
            .collect();
        page.table(&["rod up", "tip up", "bears", "first"], &rows, &[3]);
    } else {
        page.say("Lowering the rod helps while its angle above level and the line's below are 90° or less together.");
    }
}

fn lowering_words(l: Lowering, u: Units) -> String {
    match l {
        Lowering::Helps => {
            "Lowering the rod helps: its angle above level and the line's below are 90° or less together."
                .to_owned()
        }
        Lowering::WorseFirst { worst, even } => format!(
            "Lowering the rod from here is worse first, worst at {}: go below {} at once, or leave it.",
            u.angle(worst),
            u.angle(even)
        ),
        Lowering::NeverHelps { worst } => format!(
            "Lowering the rod does not help with the line so steep: it is worst at {}, and level is no better than here. Ease the drag, or walk back.",
            u.angle(worst)
        ),
    }
}

fn slipped(page: &mut Page, s: &SlipFound, in_wash: bool, u: Units) {
    page.head("Your own foot-slip load");
    let wet = if in_wash { ", but not where water moves: there the least of both counts" } else { "" };
    let like: Vec<String> = s.like.iter().map(spelled).collect();
    let like = if like.is_empty() { "none of the bands shipped".to_owned() } else { like.join(" and ") };
    page.say(&format!(
        "{} pull(s), middle {}: friction {} ({} to {}), like {like}. It takes the place of the shipped band{wet}; planned at its low end.",
        s.pulls,
        u.force(s.median),
        significant(s.friction.central, 2),
        significant(s.friction.low, 2),
        significant(s.friction.high, 2),
    ));
    if !s.enough() {
        page.say("Fewer than three pulls: the spread is widened. Pull again.");
    }
    if let Some(lean) = s.lean_asked {
        page.say(&format!("At that height the pull asked for a lean of {}.", u.size(lean)));
    }
    if s.tipped_rather {
        page.say("Caution: that is more lean than any stance has. The angler tipped or stood in a step; nothing slid. Pull lower.");
    }
}

fn sand(page: &mut Page, t: &Told, u: Units) {
    page.head("On the sand");
    let mut points =
        vec![format!("At least {} of dry sand between the toes and the highest wash.", u.size(t.dry_wanted))];
    if let Some(dry) = &t.dry {
        let verdict = if dry.enough() { "enough" } else { "too little: move back" };
        points.push(match dry.rise_left {
            Some(rise) if dry.enough() => format!(
                "There are {}: {verdict}; the water may run {} higher before you move back.",
                u.size(dry.there),
                u.height(rise)
            ),
            _ => format!("There are {}: {verdict}.", u.size(dry.there)),
        });
    }
    let seat = std::iter::once(&t.footing.planned).chain(&t.footing.others).find(|s| s.dry_only);
    if let Some(seat) = seat {
        points.push(format!(
            "Sitting: the dug step alone holds {}; getting up takes {}, so {} of dry sand, and never below the dry line.",
            u.force(seat.step),
            u.span(t.get_up),
            u.size(seat.dry_distance)
        ));
    }
    if t.slip.is_none() {
        points.push(
            "Pull your own angler with the drag scale, harness on (--how-to-measure): your number replaces these."
                .to_owned(),
        );
    }
    page.points(points);
}

fn stance_word(stance: Stance) -> &'static str {
    match stance {
        Stance::Upright => "standing upright",
        Stance::Lean => "leaning back",
        Stance::Sitting => "sitting dug in",
    }
}

fn governs_words(g: Governs) -> &'static str {
    match g {
        Governs::Tip => "goes over the toes",
        Governs::Slip => "the feet slide",
        Governs::Back => "the back gives way",
    }
}

fn needed_words(needed: HandsNeeded) -> String {
    match needed {
        HandsNeeded::None => "No harness hand is needed.".into(),
        HandsNeeded::Hands(1) => "One of the harness hands is needed.".into(),
        HandsNeeded::Hands(n) => format!("{n} of the harness hands are needed."),
        HandsNeeded::NoneSuffices(Governs::Back) => {
            "No harness hand helps: the back is in the way. Rod lower, or less drag.".into()
        }
        HandsNeeded::NoneSuffices(g) => format!(
            "The hands offered are not enough ({}): rod lower, deeper lean, another drilled hand, a heavier angler, or less drag.",
            spelled(&g)
        ),
    }
}

fn row(stance: &StanceFooting, borne: &Borne, with: &str, u: Units) -> Vec<String> {
    let force = |f: Option<Force>| f.map_or_else(|| "never".to_owned(), |f| u.force(f));
    vec![
        format!("{}{with}", stance.stance.word()),
        force(borne.limits.tip),
        force(borne.limits.slip),
        force(borne.limits.back),
        u.force(borne.limit),
    ]
}
