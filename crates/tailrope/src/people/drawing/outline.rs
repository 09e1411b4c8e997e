//! The outline of the side view: body, rod and line, and the hand at the strap, drawn where the sums put their ends.

use crate::math::{cos, sin, tan};
use crate::people::pack::Stance;
use crate::people::statics::{RodTip, Stand};
use crate::picture::{At, Fill, Frame, PageBox, Pen, Picture, Voice};

/// Joints of the body in the plane of the line, m from the pivot.
pub(super) struct Body {
    feet: [(f64, f64); 2],
    knees: [(f64, f64); 2],
    pub(super) hip: (f64, f64),
    neck: (f64, f64),
    head: (f64, f64),
    pub(super) mass: (f64, f64),
    fall: f64,
}

impl Body {
    /// A body whose centre of mass stands `lean` behind the pivot and whose rearmost support is `base` behind it.
    pub(super) fn of(stance: Stance, lean: f64, base: f64, fall: f64) -> Self {
        match stance {
            Stance::Sitting => Self {
                feet: [(0.0, 0.0), (0.0, 0.0)],
                knees: [(-0.38, 0.42), (-0.38, 0.42)],
                hip: (-lean - 0.08, 0.12),
                neck: (-lean - 0.24, 0.66),
                head: (-lean - 0.26, 0.84),
                mass: (-lean, 0.34),
                fall: 0.0,
            },
            Stance::Upright | Stance::Lean => {
                let low = if stance == Stance::Lean { 0.82 } else { 0.92 };
                let back = if stance == Stance::Lean { 0.24 } else { 0.06 };
                Self {
                    feet: [(0.0, 0.0), (-base + 0.25, (base - 0.25) * fall)],
                    knees: [(-0.35 * lean + 0.06, 0.52 * low), (-0.75 * base + 0.1, 0.50 * low)],
                    hip: (-lean, low),
                    neck: (-lean - back, low + 0.52),
                    head: (-lean - back - 0.04, low + 0.70),
                    mass: (-lean, low + 0.08),
                    fall,
                }
            }
        }
    }
}

pub(super) fn at(f: &Frame, p: (f64, f64)) -> At {
    f.at(p.0, p.1)
}

pub(super) fn figure(p: &mut Picture, f: &Frame, b: &Body) {
    for (foot, knee) in b.feet.iter().zip(b.knees) {
        p.line(&[at(f, *foot), at(f, knee), at(f, b.hip)], Pen::Strong);
        p.line(&[f.at(foot.0 - 0.25, foot.1 + 0.25 * b.fall), at(f, *foot)], Pen::Strong);
    }
    p.line(&[at(f, b.hip), at(f, b.neck)], Pen::Strong);
    let (head, hip) = (at(f, b.head), at(f, b.hip));
    let round = 0.11 * f.scale().0;
    p.disc(head, round, Fill::Ground, Some(Pen::Strong));
    // Labels keep off the body.
    let (left, right) = (head.x.min(hip.x) - round, head.x.max(hip.x) + round);
    p.keep_clear(PageBox { left, top: head.y - round, width: right - left, height: hip.y - head.y + round });
}

pub(super) fn rod_and_line(
    p: &mut Picture,
    f: &Frame,
    b: &Body,
    (behind, up): (f64, f64),
    tip: RodTip,
    stand: &Stand,
    right: f64,
) {
    let butt = (-behind, up);
    let end = (tip.ahead.m(), tip.up.m());
    let grip = (butt.0 + 0.35 * (end.0 - butt.0), butt.1 + 0.35 * (end.1 - butt.1));
    let strap = (butt.0 + 0.25 * (end.0 - butt.0), butt.1 + 0.25 * (end.1 - butt.1));
    p.line(&[at(f, b.neck), at(f, grip)], Pen::Thing);
    p.line(&[at(f, b.hip), at(f, strap)], Pen::Dashed);
    p.line(&[at(f, butt), at(f, end)], Pen::Strong);
    p.disc(at(f, butt), 3.5, Fill::Ink, None);
    // The line to the edge of the picture, or to the sand under it.
    let a = stand.line_angle.rad();
    let reach = (right - end.0).max(0.0);
    let far = if tan(a) * reach > end.1 {
        (end.0 + end.1 / tan(a).max(1e-6), 0.0)
    } else {
        (right, end.1 - tan(a) * reach)
    };
    p.line(&[at(f, end), at(f, far)], Pen::Thin);
    // The arm about the toes: square to the line.
    let arm = stand.arm().m();
    if arm > 0.05 {
        p.line(&[f.at(0.0, 0.0), f.at(arm * sin(a), arm * cos(a))], Pen::Dashed);
    }
}

pub(super) fn harness_hand(p: &mut Picture, f: &Frame, b: &Body, height: f64, n: usize, fall: f64) {
    let x = b.hip.0 - 0.95;
    let sand = |x: f64| -x * fall;
    let body = Body {
        feet: [(x, sand(x)), (x - 0.5, sand(x - 0.5))],
        knees: [(x - 0.1, sand(x) + 0.45), (x - 0.4, sand(x) + 0.45)],
        hip: (x - 0.30, sand(x) + 0.85),
        neck: (x - 0.36, sand(x) + 1.36),
        head: (x - 0.38, sand(x) + 1.55),
        mass: (x - 0.30, sand(x) + 0.95),
        fall,
    };
    for (foot, knee) in body.feet.iter().zip(body.knees) {
        p.line(&[at(f, *foot), at(f, knee), at(f, body.hip)], Pen::Thing);
    }
    p.line(&[at(f, body.hip), at(f, body.neck)], Pen::Thing);
    p.disc(at(f, body.head), 0.11 * f.scale().0, Fill::Ground, Some(Pen::Thing));
    p.line(&[at(f, body.neck), f.at(b.hip.0 - 0.05, height)], Pen::Thing);
    let who = if n == 1 { "harness hand".to_owned() } else { format!("{n} harness hands") };
    p.tag(at(f, body.head), &who, Voice::Small);
}
