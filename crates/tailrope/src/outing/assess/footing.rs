//! Can these people bear that drag? The angler and the relief angler, each on this sand in this stance; the
//! weaker of the two rules.

use super::Ctx;
use super::site::said;
use crate::Result;
use crate::facts::{Band, Grade, Known};
use crate::outing::file::Clip;
use crate::outing::finding::{Findings, Reason};
use crate::outing::plan::FootingView;
use crate::people::dry;
use crate::people::footing::footing;
use crate::people::margin::hands_needed;
use crate::people::{
    AnglerStand, Borne, Caps, Demand, Footing, HandsNeeded, HarnessHand, Margin, Person, RodTip, Sand, Stance,
};
use crate::quantity::{Force, Length};

/// What the anglers bear together: the weaker of them.
#[derive(Clone, Debug)]
pub(in crate::outing) struct Standing {
    /// Who was reckoned, the weakest of those who may hold the rod.
    pub angler: String,
    /// His or her stand.
    pub stand: AnglerStand,
    /// Harness hands offered.
    pub hands: Vec<HarnessHand>,
    /// The whole answer.
    pub footing: Footing,
    /// Shares allowed.
    pub caps: Caps,
    /// What each of those who may hold the rod bears, in the order in which they take it.
    pub bands: Vec<Band<Force>>,
}

impl Standing {
    /// What is borne without harness hands: hands are asked for only when this is not enough.
    pub fn alone(&self) -> &Borne {
        &self.footing.planned.alone
    }
    /// Limit with the hands offered.
    pub fn best(&self) -> &Borne {
        self.footing.planned.best()
    }
}

/// The stand of one person, unknown figures from the pack; `None` when the mass is unknown.
pub(in crate::outing) fn stand_of(ctx: &Ctx<'_>, person: &Person) -> Result<Option<AnglerStand>> {
    let s = &ctx.outing.stand;
    let Known::Known(mass) = person.mass else { return Ok(None) };
    let mut stand = AnglerStand::new(mass);
    stand.stance = s.stance.get().unwrap_or(Stance::Upright);
    stand.lean = s.lean.get();
    stand.base = s.feet_split.get();
    if let (Known::Known(up), Known::Known(ahead)) = (s.tip_up, s.tip_ahead) {
        stand.tip = Some(RodTip { up, ahead });
    }
    stand.line_angle = s.line_angle.get();
    stand.slope = ctx.outing.beach.stand_slope.get().map_or_else(
        // An unknown slope is taken as one in ten, a steep beach.
        || crate::quantity::Angle::of_deg(5.7),
        crate::quantity::Slope::angle,
    );
    stand.sand = s.sand.get().unwrap_or(Sand::Dry);
    stand.friction = match &s.slip_test {
        Some(test) => Some(test.found(&ctx.facts.footing).map_err(|e| e.within("stand.slip_test"))?.friction),
        None => s.friction.get().map(Band::exact),
    };
    stand.back_moment = s.back_moment.get();
    stand.clear_behind = s.clear_behind.get() == Some(true);
    Ok(Some(stand))
}

/// Works out who bears least of those who may hold the rod. `None` when no mass is known.
pub(in crate::outing) fn standing(
    ctx: &Ctx<'_>,
    anglers: &[&Person],
    hands: &[&Person],
) -> Result<Option<Standing>> {
    let caps =
        Caps::new(ctx.limits.figure("footing.strike_share"), ctx.limits.figure("footing.worst_share"))?;
    let offered: Vec<HarnessHand> = hands
        .iter()
        .filter_map(|p| {
            Some(HarnessHand { mass: p.mass.get()?, drilled: true, in_reach: true, grip: p.grip.get() })
        })
        .collect();
    let mut weakest: Option<Standing> = None;
    let mut bands = Vec::new();
    for person in anglers {
        let Some(stand) = stand_of(ctx, person)? else { return Ok(None) };
        let footing = footing(&ctx.facts.footing, &stand, &offered).map_err(|e| e.within("stand"))?;
        let this = Standing {
            angler: person.name.clone(),
            stand,
            hands: offered.clone(),
            footing,
            caps,
            bands: vec![],
        };
        // Harness hands are counted only where they are needed and have their role: everybody is ranked, and the card
        // and the fights reckon, alone.
        bands.push(this.alone().band);
        if weakest.as_ref().is_none_or(|w| this.alone().limit < w.alone().limit) {
            weakest = Some(this);
        }
    }
    if let Some(w) = &mut weakest {
        w.bands = bands;
    }
    Ok(weakest)
}

/// What arms hold at the tip; nothing where the angler is known to be clipped in. An unknown clip is no harness.
pub(in crate::outing) fn arms(ctx: &Ctx<'_>) -> Option<Force> {
    let clipped = ctx.outing.safety.clip.get().is_some_and(|c| c != Clip::NotClipped);
    (!clipped).then(|| Force::of_n(ctx.limits.figure("footing.no_harness_n")))
}

/// Demand at the rod tip that the drag makes.
#[derive(Clone, Copy, Debug)]
pub(in crate::outing) struct TipDrag {
    /// At strike, full spool.
    pub strike: Force,
    /// At the fight setting, full spool.
    pub fight: Force,
    /// At the worst line out, card followed.
    pub worst: Force,
    /// At the worst line out, lever left at fight.
    pub worst_unbacked: Force,
}

/// Judges footing and what belongs to it; gives the view.
pub(in crate::outing) fn assess(
    ctx: &Ctx<'_>,
    standing: Option<&Standing>,
    drag: Option<TipDrag>,
    f: &mut Findings,
) -> Result<FootingView> {
    let (l, u) = (&ctx.limits, ctx.options.units);
    around(ctx, f);
    let (Some(s), Some(drag)) = (standing, drag) else {
        f.judged(&l.word("footing.drag", Known::Unknown), "", vec![]);
        return Ok(FootingView::unknown());
    };
    let demand = Demand { strike: drag.strike, worst: drag.worst };
    let unbacked = Demand { strike: drag.strike, worst: drag.worst_unbacked };
    let needed = hands_needed(&ctx.facts.footing, &s.stand, &s.hands, demand, s.caps)?;
    // Judged with the hands offered only when they are needed: otherwise alone is the plainer promise.
    let borne = if needed == HandsNeeded::None { s.alone() } else { s.best() };
    let margin = Margin::of(borne, demand, s.caps);
    let left_alone = Margin::of(borne, unbacked, s.caps);
    let state = if s.footing.stop_if_harnessed && ctx.clipped() {
        "not-met"
    } else if left_alone.met() {
        "met"
    } else if margin.met() {
        "met-by-card"
    } else {
        "not-met"
    };
    let mut because = vec![
        limit_reason(&s.angler, borne),
        Reason::new("tip drag at strike", drag.strike.n(), "N", Grade::Derived, "torque law, guides"),
        Reason::new(
            "tip drag at the worst line out, card followed",
            drag.worst.n(),
            "N",
            Grade::Derived,
            "torque law, guides",
        ),
        Reason::new("share allowed at strike", s.caps.strike, "-", Grade::Default, "project default"),
        Reason::new("share allowed at the worst", s.caps.worst, "-", Grade::Default, "project default"),
    ];
    let sentence = if s.footing.stop_if_harnessed && ctx.clipped() {
        "The angler stands clipped in moving wash: nobody strapped to a reel belongs there.".to_owned()
    } else {
        let what = if state == "met-by-card" {
            "only because the lever is backed off as the card says"
        } else {
            "more than is allowed"
        };
        let hands = match needed {
            HandsNeeded::Hands(n) => format!(", with {n} harness hand(s)"),
            HandsNeeded::NoneSuffices(g) => {
                because.push(said("harness hands offered", count(s.hands.len()), "people"));
                format!("; no harness hand mends it ({} gives way first)", governs_word(g))
            }
            HandsNeeded::None => String::new(),
        };
        format!(
            "{} bears {} at the tip ({} first){hands}; strike asks {} of {} allowed, the worst line out {} of {}: {what}.",
            s.angler,
            u.force(borne.limit),
            governs_word(borne.governs),
            u.force(drag.strike),
            u.force(margin.cap_strike),
            u.force(drag.worst),
            u.force(margin.cap_worst),
        )
    };
    f.judged(&l.word("footing.drag", Known::Known(state)), sentence, because);
    bare_arms(ctx, drag, f);
    f.judged(
        &l.number("lean.unsupported_m", Known::Known(s.footing.planned.unsupported_lean.m().max(0.0))),
        format!(
            "The lean goes {} beyond the rear foot: if the line parts, the angler falls backward.",
            u.size(s.footing.planned.unsupported_lean)
        ),
        vec![said("unsupported lean", s.footing.planned.unsupported_lean.m(), "m")],
    );
    Ok(FootingView {
        needed_harness_hands: match needed {
            HandsNeeded::Hands(n) => u32::try_from(n).unwrap_or(u32::MAX),
            _ => 0,
        },
        limit_n: borne.limit.n(),
        governs: governs_word(borne.governs).to_owned(),
        cap_strike_n: margin.cap_strike.n(),
        cap_worst_n: margin.cap_worst.n(),
        dry_distance_m: s.footing.dry_distance.m(),
        strike_tip_n: drag.strike.n(),
        worst_tip_n: drag.worst.n(),
        angler: s.angler.clone(),
    })
}

/// Judges the drag against bare arms, where nobody says that the angler is clipped in.
fn bare_arms(ctx: &Ctx<'_>, drag: TipDrag, f: &mut Findings) {
    let Some(arms) = arms(ctx) else { return };
    let u = ctx.options.units;
    // The setting itself must be held, before the card eases anything for an emptier spool.
    let set = drag.strike.max(drag.fight);
    let (carded, unbacked) = (set.max(drag.worst), set.max(drag.worst_unbacked));
    let (state, most) = match (unbacked <= arms, carded <= arms) {
        (true, _) => ("met", unbacked),
        (_, true) => ("met-by-card", unbacked),
        _ => ("not-met", carded),
    };
    let row = ctx.limits.row("footing.no_harness_n");
    let because = vec![
        Reason::new(
            "arms hold at the tip",
            arms.n(),
            "N",
            row.map_or(Grade::Default, |r| r.grade),
            row.map_or("project default", |r| r.source.as_str()),
        ),
        Reason::new(
            "greatest drag at the tip",
            most.n(),
            "N",
            Grade::Derived,
            "torque law, guides, start-up",
        ),
    ];
    f.judged(
        &ctx.limits.word("footing.arms", Known::Known(state)),
        format!(
            "Without plate and harness arms hold about {} at the tip, one or two kilograms either way; the drag makes {}{}{}.",
            u.force(arms),
            u.force(most),
            if state == "met-by-card" { " where the lever is not backed off as the card says" } else { "" },
            if ctx.outing.safety.clip.is_unknown() { ", and nobody says that the angler is clipped in" } else { "" }
        ),
        because,
    );
}

#[allow(clippy::cast_precision_loss)] // a handful of people
fn count(n: usize) -> f64 {
    n as f64
}

fn limit_reason(angler: &str, borne: &Borne) -> Reason {
    Reason::new(
        format!("{angler} bears at the tip ({} first)", governs_word(borne.governs)),
        borne.limit.n(),
        "N",
        borne.grade,
        borne.sources.join(", "),
    )
}

/// The word of what gives way first.
pub(in crate::outing) const fn governs_word(g: crate::people::Governs) -> &'static str {
    match g {
        crate::people::Governs::Tip => "tip",
        crate::people::Governs::Slip => "slip",
        crate::people::Governs::Back => "back",
    }
}

/// Dry sand, room behind, clip.
fn around(ctx: &Ctx<'_>, f: &mut Findings) {
    let (l, u, s) = (&ctx.limits, ctx.options.units, &ctx.outing.stand);
    let toes = s.toes_above_wash.get();
    // Whoever sits first has to get up: so much more sand is asked for.
    let pack = &ctx.facts.footing;
    let stance = s.stance.get().unwrap_or(Stance::Upright);
    let up = dry::wanted(pack, stance) - dry::wanted(pack, Stance::Upright);
    let asked = l.row("footing.dry_m").and_then(|r| r.stop).map_or(6.0, super::super::limits::Border::at);
    f.judged(
        &l.number("footing.dry_m", toes.map(|d| (d - up).m()).into()),
        format!(
            "The toes are {} above the highest wash; {} are asked for{}.",
            toes.map_or_else(String::new, |d| u.size(d)),
            u.size(Length::of_m(asked) + up),
            if up > Length::ZERO { ", since a sitting angler has to get up first" } else { "" }
        ),
        toes.map(|d| said("dry sand before the toes", d.m(), "m")).into_iter().collect(),
    );
    let room = ctx.outing.beach.room_behind.get();
    f.judged(
        &l.number("room_behind.m", room.map(Length::m).into()),
        format!("Only {} of free sand behind the angler.", room.map_or_else(String::new, |d| u.size(d))),
        room.map(|d| said("room behind", d.m(), "m")).into_iter().collect(),
    );
    let clip = match ctx.outing.safety.clip {
        Known::Known(Clip::NotClipped) => Known::Known("not-clipped"),
        Known::Known(Clip::Tonight) => Known::Known("tonight"),
        // The clip is opened under load at set-up; planned before that, last trial of the season is a caution.
        Known::Known(Clip::ThisSeason) => Known::Known("before-phase"),
        Known::Known(Clip::Fails) => Known::Known("fails"),
        Known::Known(Clip::Untried) => Known::Known("untried"),
        Known::Unknown => Known::Unknown,
    };
    let sentence = match clip.get() {
        Some("before-phase") => "The harness clip was opened under load this season, not yet tonight.",
        Some("fails") => "The harness clip does not open under load.",
        _ => "Nobody has tried whether the harness clip opens under load.",
    };
    f.judged(&l.word("harness.release", clip), sentence, vec![]);
}
