//! The line from rod to sinker in the current, drawn: from the side with its depth, and from above with belly, angle of
//! arrival, the circle that a walked bait cannot leave, and who lies along the beach.
//!
//! From the side height and distance have scales of their own, so that a few metres of water can be seen; from above both
//! are to scale. The middle strumming is the strong line, still and loudest the hatched band about it.

use super::lie::Held;
use super::report::{Question, Report};
use super::walk::Answer;
use crate::facts::Known;
use crate::math::{cos, sin};
use crate::picture::{Anchor, At, Fill, Frame, PageBox, Pen, Picture, Voice};
use crate::quantity::{Length, Units};

/// Width of the page.
const WIDTH: f64 = 760.0;
/// Height of the view from the side, heading included.
const SIDE: f64 = 330.0;
/// Height of the view from above.
const ABOVE: f64 = 560.0;
/// Points of an arc.
const ARC: usize = 48;

/// Both views of a soak, one above the other.
pub fn draw(q: &Question, r: &Report, units: Units) -> Picture {
    let mut p = Picture::new("hold", "The line in the current", WIDTH, SIDE + ABOVE);
    if let Some(held) = r.lying.central() {
        side(&mut p, q, held, units);
        above(&mut p, q, r, held, units);
    }
    story(&mut p, q, r, units);
    p
}

fn story(p: &mut Picture, q: &Question, r: &Report, u: Units) {
    p.say(&format!("The bait lies {} from the rod.", u.line(q.ask.distance)));
    if q.ask.depth.is_unknown() {
        p.say("Its depth is not known: all of the line counts as in the water.");
    }
    if let Some(h) = r.lying.central() {
        p.say(&format!(
            "The line bellies {} down-current and comes in at {}; {} of line is out.",
            u.line(h.belly),
            u.angle(h.arrives),
            u.line(h.line_out)
        ));
        p.say(&format!("It pulls {} at the sinker.", u.force(h.level)));
    }
    p.say(match r.answer {
        Answer::Holds => "The sinker holds it.",
        Answer::Doubtful => "The sinker may hold it or not.",
        Answer::Walks => "The sinker does not hold it: the bait walks.",
        Answer::Unknown => "Nobody knows what the sinker holds.",
    });
    if let Some(w) = &r.walked {
        p.say(&format!(
            "By the end of the soak a walked bait may lie {} along the beach.",
            u.line(w.reach.along)
        ));
    }
}

fn points(held: &Held, frame: &Frame, of: impl Fn(&crate::water::Place) -> (f64, f64)) -> Vec<At> {
    held.load
        .line
        .points
        .iter()
        .map(|l| {
            let (x, y) = of(&l.place);
            frame.at(x, y)
        })
        .collect()
}

/// From the side: the line from the tip through air and water to the sinker.
fn side(p: &mut Picture, q: &Question, held: &Held, u: Units) {
    let (rod, bait) = q.ask.ends();
    let known = !q.ask.depth.is_unknown();
    p.text(At::new(20.0, 30.0), Anchor::Start, "From the side", Voice::Head);
    let (tip_m, bed_m) = (rod.z.m(), bait.z.m());
    let far_m = q.ask.distance.m();
    let page = PageBox { left: 70.0, top: 70.0, width: WIDTH - 110.0, height: SIDE - 140.0 };
    let (low, high) = if known { (bed_m * 1.15 - 0.2, tip_m.max(0.0) + 0.6) } else { (-2.0, 0.6) };
    let frame = Frame::stretched(page, (0.0, far_m * 1.06), (low, high));
    let (left, right) = (frame.at(0.0, 0.0), frame.at(far_m * 1.06, 0.0));
    // Water below its surface; the bed rises towards the rod as any beach does, its shape between is not known.
    let bed = if known { bed_m } else { -1.6 };
    let corners = [(0.0, 0.0), (far_m * 1.06, 0.0), (far_m * 1.06, bed), (far_m, bed)];
    let water: Vec<At> = corners.iter().map(|(x, z)| frame.at(*x, *z)).collect();
    p.shape(&water, Fill::Water, None);
    p.line(&[left, right], Pen::Sea);
    let bed_line = [frame.at(0.0, 0.0), frame.at(far_m, bed), frame.at(far_m * 1.06, bed)];
    p.line(&bed_line, Pen::Thin);
    let line = points(held, &frame, |l| (l.x.m(), if known { l.z.m() } else { -0.8 }));
    p.line(&line, Pen::Strong);
    let (tip, end) =
        (frame.at(0.0, if known { tip_m } else { -0.8 }), frame.at(far_m, if known { bed_m } else { -0.8 }));
    p.disc(end, 5.0, Fill::Ink, None);
    p.disc(tip, 3.0, Fill::Ink, None);
    // Axes first: their words stand where they must, and labels find room beside them.
    p.axis_below(&frame, 6, "m out", |m| format!("{m:.0}"));
    if known {
        p.axis_left(&frame, 4, "m up from the water", |m| format!("{m:.0}"));
    }
    p.tag(tip, if known && !q.ask.tip.is_unknown() { "rod tip" } else { "rod" }, Voice::Label);
    p.tag(end, &format!("sinker, {} at it", u.force(held.level)), Voice::Strong);
    p.tag(frame.at(far_m * 0.55, 0.0), "surface", Voice::Small);
    if known {
        p.tag(frame.at(far_m * 0.8, bed * 0.8), "bed (its slope between is not known)", Voice::Small);
    } else {
        p.tag(
            frame.at(far_m * 0.3, -1.2),
            "depth not known: all of the line counts as in the water",
            Voice::Small,
        );
    }
}

/// From above: belly, arrival, the circle, who lies along the beach.
fn above(p: &mut Picture, q: &Question, r: &Report, held: &Held, u: Units) {
    let down = if q.ask.along.mps() < 0.0 { -1.0 } else { 1.0 };
    let far = q.ask.distance.m();
    let circle = r.walked.as_ref().map(|w| w.reach);
    let zones = [(q.bathers_at, "bathers", true), (q.next_rod_at, "next rod", false)];
    let along_most = held.load.line.points.iter().map(|l| l.place.y.m() * down).fold(0.0, f64::max);
    let mut right = along_most.max(far * 0.3);
    let mut left = 0.0_f64.min(-far * 0.15);
    if let Some(reach) = circle {
        right = right.max(reach.along.m());
        left = left.min(-reach.back.m());
    }
    for (at, _, _) in zones {
        if let Known::Known(at) = at {
            // What lies far beyond the circle would only make the line small.
            let at = at.m().clamp(-2.5 * far, 2.5 * far);
            (left, right) = (left.min(at), right.max(at));
        }
    }
    let page = PageBox { left: 60.0, top: SIDE + 60.0, width: WIDTH - 110.0, height: ABOVE - 130.0 };
    p.text(At::new(20.0, SIDE + 30.0), Anchor::Start, "From above, the sea at the top", Voice::Head);
    let span = right - left;
    let frame = Frame::to_scale(page, (left - 0.06 * span, right + 0.06 * span), (-0.06 * far, far * 1.12));
    let ((x0, x1), (y0, _)) = frame.ranges();
    let sand = [(x0, 0.0), (x1, 0.0), (x1, y0), (x0, y0)];
    let sand: Vec<At> = sand.iter().map(|(x, y)| frame.at(*x, *y)).collect();
    p.shape(&sand, Fill::Plain, None);
    p.line(&[frame.at(x0, 0.0), frame.at(x1, 0.0)], Pen::Sea);
    p.axis_below(&frame, 6, "m along the beach, down-current to the right", |m| format!("{m:.0}"));
    if let Some(reach) = circle {
        // A circle without bound is none: the water's run is told alone.
        let radius = reach.circle.m().min(1e6);
        let arc = |to: f64, side: f64| -> Vec<At> {
            // From the side of the beach to straight out, no further along than the water runs.
            let from = (to / radius).clamp(0.0, 1.0);
            let most = crate::math::asin(from);
            (0..=ARC)
                .map(|i| {
                    let a = most * (1.0 - i as f64 / ARC as f64);
                    frame.at(side * radius * sin(a), (radius * cos(a)).min(far * 1.12))
                })
                .collect()
        };
        p.line(&arc(reach.along.m(), 1.0), Pen::Dashed);
        if reach.back.m() > 0.0 {
            p.line(&arc(reach.back.m(), -1.0), Pen::Dashed);
        }
        let at = frame.at(reach.along.m(), 0.0);
        p.line(&[at, frame.at(reach.along.m(), far * 0.12)], Pen::Caution);
        p.tag(at, &format!("a walked bait gets no further than {}", u.line(reach.along)), Voice::Label);
        if let Some(rest) = r.walked.as_ref().and_then(|w| w.middle) {
            let at = frame.at(rest.along.m(), rest.off.m());
            p.disc(at, 5.0, Fill::Ground, Some(Pen::Dashed));
            p.tag(
                at,
                if rest.rests { "it may come to rest here" } else { "it creeps on from here" },
                Voice::Label,
            );
        }
    }
    let rod = frame.at(0.0, 0.0);
    let sinker = frame.at(0.0, far);
    p.line(&[rod, sinker], Pen::Thin);
    // Still and loudest line: the band of what nobody measured.
    if let (Some(still), Some(loud)) = (r.lying.held[0].as_ref(), r.lying.held[2].as_ref()) {
        let flat = |h: &Held| points(h, &frame, |l| (l.y.m() * down, l.x.m()));
        let mut band = flat(still);
        band.extend(flat(loud).into_iter().rev());
        p.shape(&band, Fill::Hatch, Some(Pen::Thin));
    }
    let line = points(held, &frame, |l| (l.y.m() * down, l.x.m()));
    p.line(&line, Pen::Strong);
    p.disc(sinker, 5.0, Fill::Ink, None);
    p.disc(rod, 4.0, Fill::Ink, None);
    p.tag(rod, "rod", Voice::Label);
    p.tag(sinker, &format!("bait and sinker; the line comes in at {}", u.angle(held.arrives)), Voice::Strong);
    let widest =
        held.load.line.points.iter().max_by(|a, b| (a.place.y.m() * down).total_cmp(&(b.place.y.m() * down)));
    if let Some(w) = widest.filter(|_| held.belly > Length::of_m(1.0)) {
        let at = (w.place.y.m() * down, w.place.x.m());
        p.dimension(frame.at(0.0, at.1), frame.at(at.0, at.1), &format!("belly {}", u.line(held.belly)));
    }
    current(p, q, &frame, far, u);
    for (at, name, worst) in zones {
        let Known::Known(at) = at else { continue };
        let x = at.m();
        let pen = if worst { Pen::Stop } else { Pen::Caution };
        let way = if x < 0.0 { "up-current" } else { "down-current" };
        let far_along = format!("{} {way}", u.line(Length::of_m(x.abs())));
        if x < x0 || x > x1 {
            let edge = if x < x0 { x0 } else { x1 };
            p.tag(frame.at(edge, far * 0.02), &format!("{name} {far_along}, off the picture"), Voice::Label);
            continue;
        }
        p.line(&[frame.at(x, 0.0), frame.at(x, far * 0.2)], pen);
        p.tag(frame.at(x, far * 0.2), &format!("{name}, {far_along}"), Voice::Strong);
    }
}

/// The current as an arrow.
fn current(p: &mut Picture, q: &Question, frame: &Frame, far: f64, u: Units) {
    let (along, out) = (q.ask.along.mps().abs(), q.ask.out.mps());
    let size = (along * along + out * out).sqrt();
    if size <= 0.0 {
        return;
    }
    let ((x0, x1), _) = frame.ranges();
    let length = 0.16 * (x1 - x0).min(far);
    let from = (x0 + 0.03 * (x1 - x0), far * 0.62);
    let to = (from.0 + length * along / size, from.1 + length * out / size);
    p.arrow(frame.at(from.0, from.1), frame.at(to.0, to.1), Pen::Sea);
    let speed = crate::quantity::Speed::of_mps(size);
    p.tag(frame.at(from.0, from.1), &format!("current {}", u.current(speed)), Voice::Label);
}

#[cfg(test)]
mod tests {
    use super::super::report::tests::{answered, five_ounces};
    use super::*;
    use crate::picture::Theme;

    #[test]
    fn both_views_say_what_they_show_and_labels_keep_off_each_other() {
        let mut q = five_ounces(20.0);
        for depth in [Known::Unknown, Known::Known(Length::of_m(5.0))] {
            q.ask.depth = depth;
            q.ask.tip = Known::Known(Length::of_m(3.0));
            let r = answered(&q);
            let p = draw(&q, &r, Units::Si);
            let file = p.svg(Theme::Day);
            for part in ["From the side", "From above", "belly", "bathers", "current", "bait and sinker"] {
                assert!(file.contains(part), "{part}");
            }
            assert!(p.words().contains("150 m from the rod") && p.words().contains("walks"), "{}", p.words());
            assert!(file.contains("hatch"), "the band of the strumming is hatched");
            assert_eq!(p.words().contains("depth is not known"), depth.is_unknown());
            let boxes = p.label_boxes();
            for (i, a) in boxes.iter().enumerate() {
                assert!(boxes.iter().skip(i + 1).all(|b| !a.meets(b)), "label {i} lies on another");
            }
        }
    }

    #[test]
    fn a_current_the_other_way_is_drawn_down_to_the_right_as_well() {
        let q = five_ounces(20.0);
        let mut west = q.clone();
        west.ask.along = west.ask.along * -1.0;
        let (a, b) = (draw(&q, &answered(&q), Units::Us), draw(&west, &answered(&west), Units::Us));
        assert_eq!(a.words(), b.words());
    }
}
