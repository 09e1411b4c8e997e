//! The side view: the angler from beside, drawn to scale, with the forces that decide.
//!
//! Toes (heels when sitting) stand at the origin, the sea lies to the right. Lengths are to one scale, forces to another:
//! weight, pull of the line, harness hands, backwash. The arm of the line about the toes, the lean, the rearmost support
//! and the dry sand are measured off in the picture, each with its number. The body is a plain outline: where its joints
//! are is judgement; what is reckoned with is the centre of mass alone, and that stands where the sums have it.

mod outline;

use self::outline::{Body, at, figure, harness_hand, rod_and_line};
use super::angler::AnglerStand;
use super::dry;
use super::footing::{Footing, footing, resolve};
use super::hands::HarnessHand;
use super::limits::Governs;
use super::pack::{FootingPack, Stance};
use super::statics::Stand;
use crate::Result;
use crate::math::{cos, sin, tan};
use crate::picture::{Anchor, At, Fill, Frame, PageBox, Pen, Picture, Voice};
use crate::quantity::{Force, Length, Units};

/// What beside the stand is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideView {
    /// Pull drawn at the tip; the limit itself where none is given.
    pub drag: Option<Force>,
    /// Dry sand between toes and the highest wash, where known.
    pub dry_sand: Option<Length>,
    /// Units of the labels.
    pub units: Units,
}

/// Page of the picture.
const WIDE: f64 = 860.0;
const HIGH: f64 = 540.0;
const EDGE: f64 = 16.0;
/// Height kept for the line that says what is borne, above, and for the strip of dry sand, below.
const HEAD: f64 = 66.0;
const STRIP: f64 = 96.0;

/// Draws the stand from the side.
///
/// # Errors
/// As [`footing`].
pub fn side_view(
    pack: &FootingPack,
    angler: &AnglerStand,
    hands: &[HarnessHand],
    view: &SideView,
) -> Result<Picture> {
    let whole = footing(pack, angler, hands)?;
    let r = resolve(pack, angler, hands)?;
    let u = view.units;
    let best = whole.planned.best();
    let pull = view.drag.unwrap_or(best.limit);
    let tip = r.stand.tip;
    let wanted = dry::wanted(pack, angler.stance);
    let right = (tip.ahead.m() + 2.0).max(3.2);
    let left = if hands.is_empty() { -2.0 } else { -2.9 };
    let fall = tan(angler.slope.rad());
    let top = (tip.up.m() + 0.3).max(2.0);
    let page = PageBox { left: EDGE, top: HEAD, width: WIDE - 2.0 * EDGE, height: HIGH - HEAD - STRIP };
    let frame = Frame::to_scale(page, (left, right), (-right * fall - 0.6, top));
    let mut p = Picture::new("footing-side", "Footing from the side", WIDE, HIGH);
    story(&mut p, &whole, &r.stand, angler, hands, pull, view, wanted);
    ground(&mut p, &frame, (left, right), fall, angler, view);
    let base = angler.base.unwrap_or(pack.stance(angler.stance)?.base).m();
    let lean = r.stand.lean.m();
    let body = Body::of(angler.stance, lean, base, fall);
    figure(&mut p, &frame, &body);
    rod_and_line(&mut p, &frame, &body, (r.pin.behind.m(), r.pin.up.m()), tip, &r.stand, right);
    let said = format!("Bears {} at the tip, then {}", u.force(best.limit), first(best.governs));
    p.text(At::new(EDGE, 30.0), Anchor::Start, &said, Voice::Head);
    if whole.stop_if_harnessed {
        p.text(At::new(EDGE, 56.0), Anchor::Start, "STOP: water moves about the feet", Voice::Head);
    }
    if !hands.is_empty() {
        harness_hand(&mut p, &frame, &body, r.stand.hands_height.m(), hands.len(), fall);
    }
    forces(&mut p, &frame, &body, &r.stand, pull, whole.planned.hands_pull, u);
    measures(&mut p, &frame, &r.stand, base, fall, &whole, u);
    dry_strip(&mut p, wanted, view);
    Ok(p)
}

/// Everything that is shown, in sentences.
#[allow(clippy::too_many_arguments)] // one telling of the whole picture
fn story(
    p: &mut Picture,
    whole: &Footing,
    stand: &Stand,
    angler: &AnglerStand,
    hands: &[HarnessHand],
    pull: Force,
    view: &SideView,
    wanted: Length,
) {
    let u = view.units;
    let best = whole.planned.best();
    p.say(&format!(
        "An angler of {} from the side, {}, toes at the origin, the sea to the right, sand falling seaward by {}.",
        u.mass(angler.mass),
        words(angler.stance),
        u.angle(angler.slope),
    ));
    p.say(&format!(
        "The centre of mass stands {} behind the toes and carries {}. The rod tip is {} up and {} ahead; the line leaves it {} below level and pulls {}, with an arm of {} about the toes.",
        u.size(stand.lean),
        u.force(stand.weight),
        u.size(stand.tip.up),
        u.size(stand.tip.ahead),
        u.angle(stand.line_angle),
        u.force(pull),
        u.size(stand.arm()),
    ));
    p.say(&format!(
        "Borne at the tip: {} ({} to {}); then {}.",
        u.force(best.limit),
        u.force(best.band.low),
        u.force(best.band.high),
        first(best.governs)
    ));
    if !hands.is_empty() {
        p.say(&format!(
            "{} drilled harness hand(s) pull {} landward at the strap: pull, never mass.",
            hands.len(),
            u.force(whole.planned.hands_pull)
        ));
    }
    if stand.wash > Force::ZERO {
        p.say(&format!("The backwash presses seaward with {}.", u.force(stand.wash)));
    }
    if whole.stop_if_harnessed {
        p.say("Stop: water moves about the feet; nobody in a harness stands there.");
    }
    if whole.planned.falls_if_parted() {
        p.say(&format!(
            "Caution: the lean goes {} beyond the rearmost support; if the line parts, the angler falls backward.",
            u.size(whole.planned.unsupported_lean)
        ));
    }
    p.say(&match view.dry_sand {
        Some(there) => format!(
            "Dry sand between the toes and the highest wash: {}; {} are wanted.",
            u.size(there),
            u.size(wanted)
        ),
        None => format!(
            "Dry sand wanted between the toes and the highest wash: {}; nobody said how much there is.",
            u.size(wanted)
        ),
    });
}

fn words(stance: Stance) -> &'static str {
    match stance {
        Stance::Upright => "standing upright",
        Stance::Lean => "leaning back",
        Stance::Sitting => "sitting with the heels dug in",
    }
}

fn first(g: Governs) -> &'static str {
    match g {
        Governs::Tip => "the angler goes over the toes",
        Governs::Slip => "the feet slide",
        Governs::Back => "the back gives way",
    }
}

fn ground(
    p: &mut Picture,
    f: &Frame,
    (left, right): (f64, f64),
    fall: f64,
    angler: &AnglerStand,
    view: &SideView,
) {
    let floor = f.ranges().1.0;
    let sand = |x: f64| -x * fall;
    p.shape(
        &[f.at(left, sand(left)), f.at(right, sand(right)), f.at(right, floor), f.at(left, floor)],
        Fill::Plain,
        None,
    );
    p.line(&[f.at(left, sand(left)), f.at(right, sand(right))], Pen::Thing);
    if angler.stance == Stance::Sitting {
        // The step for the heels.
        p.line(
            &[f.at(-0.05, 0.0), f.at(-0.02, -0.18), f.at(0.1, -0.18), f.at(0.12, sand(0.12))],
            Pen::Strong,
        );
    }
    let level = match (angler.wash, view.dry_sand) {
        (Some(w), _) if w.depth > Length::ZERO => Some(w.depth.m()),
        (_, Some(there)) if there.m() < right => Some(sand(there.m())),
        _ => None,
    };
    if let Some(level) = level {
        // A level sea over a falling beach; on a level one a film of water seaward of its edge.
        let edge = if fall > 1e-6 {
            (-level / fall).clamp(left, right)
        } else if level > 0.0 {
            left
        } else {
            view.dry_sand.map_or(left, Length::m)
        };
        let surface = if fall > 1e-6 || level > 0.0 { level } else { 0.04 };
        p.shape(
            &[f.at(edge, surface), f.at(right, surface), f.at(right, sand(right)), f.at(edge, sand(edge))],
            Fill::Water,
            None,
        );
        p.line(&[f.at(edge, surface), f.at(right, surface)], Pen::Sea);
    }
}

fn forces(p: &mut Picture, f: &Frame, b: &Body, stand: &Stand, pull: Force, hands: Force, u: Units) {
    // Page units for a newton: the largest force is a hundred and ten units long.
    let most = [stand.weight, pull, hands, stand.wash].into_iter().map(Force::n).fold(1.0, f64::max);
    let scale = 110.0 / most;
    let mass = at(f, b.mass);
    p.disc(mass, 5.0, Fill::Ink, None);
    p.arrow(mass, At::new(mass.x, mass.y + stand.weight.n() * scale), Pen::Strong);
    p.tag(
        At::new(mass.x, mass.y + 0.55 * stand.weight.n() * scale),
        &format!("weight {}", u.force(stand.weight)),
        Voice::Label,
    );
    let a = stand.line_angle.rad();
    let tip = f.at(stand.tip.ahead.m(), stand.tip.up.m());
    let end = At::new(tip.x + pull.n() * scale * cos(a), tip.y + pull.n() * scale * sin(a));
    p.arrow(tip, end, Pen::Strong);
    p.tag(end, &format!("line {} at {}", u.force(pull), u.angle(stand.line_angle)), Voice::Strong);
    if hands > Force::ZERO {
        let strap = f.at(b.hip.0 - 0.05, stand.hands_height.m());
        let back = At::new(strap.x - hands.n() * scale, strap.y);
        p.arrow(strap, back, Pen::Strong);
        p.tag(back, &format!("hands {}", u.force(hands)), Voice::Label);
    }
    if stand.wash > Force::ZERO {
        let leg = f.at(0.05, stand.wash_height.m());
        let out = At::new(leg.x + stand.wash.n() * scale, leg.y);
        p.arrow(leg, out, Pen::Caution);
        p.tag(out, &format!("backwash {}", u.force(stand.wash)), Voice::Label);
    }
}

fn measures(p: &mut Picture, f: &Frame, stand: &Stand, base: f64, fall: f64, whole: &Footing, u: Units) {
    let below = -0.28;
    if stand.lean > Length::ZERO {
        let words = format!("lean {}", u.size(stand.lean));
        p.dimension(f.at(-stand.lean.m(), below), f.at(0.0, below), &words);
    }
    let rear = f.at(-base, base * fall);
    p.line(&[rear, At::new(rear.x, rear.y + 12.0)], Pen::Thing);
    if whole.planned.falls_if_parted() {
        let over = whole.planned.unsupported_lean;
        let end = f.at(-base - over.m(), base * fall - 0.1);
        p.line(&[end, f.at(-base, base * fall - 0.1)], Pen::Caution);
        p.tag(end, &format!("{} beyond the rear foot", u.size(over)), Voice::Small);
    }
    let (a, arm) = (stand.line_angle.rad(), stand.arm().m());
    if arm > 0.05 {
        let middle = f.at(0.6 * arm * sin(a), 0.6 * arm * cos(a));
        p.tag(middle, &format!("arm {}", u.size(stand.arm())), Voice::Small);
    }
    p.disc(f.at(0.0, 0.0), 4.0, Fill::Ink, None);
}

/// The dry sand in a strip of its own along the lower edge: it is longer than the picture of a body.
fn dry_strip(p: &mut Picture, wanted: Length, view: &SideView) {
    let u = view.units;
    let there = view.dry_sand;
    let most = there.unwrap_or(wanted).max(wanted).m() * 1.25 + 1.0;
    let page = PageBox { left: EDGE, top: HIGH - STRIP + 10.0, width: WIDE - 2.0 * EDGE, height: 44.0 };
    let f = Frame::stretched(page, (-1.0, most), (0.0, 1.0));
    p.line(&[f.at(-1.0, 0.4), f.at(most, 0.4)], Pen::Thing);
    p.disc(f.at(0.0, 0.4), 4.0, Fill::Ink, None);
    if let Some(there) = there {
        let from = f.at(there.m().max(-1.0), 0.4);
        let to = f.at(most, 0.0);
        let sea = PageBox { left: from.x, top: from.y, width: to.x - from.x, height: to.y - from.y };
        p.rect(sea, Fill::Water, None);
        p.line(&[from, f.at(most, 0.4)], Pen::Sea);
    }
    let mark = f.at(wanted.m(), 0.4);
    p.line(&[At::new(mark.x, mark.y - 22.0), At::new(mark.x, mark.y + 12.0)], Pen::Dashed);
    let under = HIGH - 16.0;
    let words = match there {
        Some(there) if there < Length::ZERO => {
            format!(
                "the wash runs {} beyond the toes; {} of dry sand are wanted",
                u.size(-there),
                u.size(wanted)
            )
        }
        Some(there) => {
            let verdict = if there < wanted { "too little" } else { "enough" };
            format!(
                "dry sand, toes to the highest wash: {}, wanted {}: {verdict}",
                u.size(there),
                u.size(wanted)
            )
        }
        None => format!(
            "dry sand wanted, toes to the highest wash: {}; nobody said how much there is",
            u.size(wanted)
        ),
    };
    p.text(At::new(EDGE, under), Anchor::Start, &words, Voice::Label);
}

#[cfg(test)]
mod tests;
