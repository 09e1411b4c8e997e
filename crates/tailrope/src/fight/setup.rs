//! What a forecast needs to know: fish, outfit, what ends the rig, people, limits. Plain quantities; the
//! outing fills it from the crew's own things and the packs.

use super::pack::Behaviour;
use crate::facts::Band;
use crate::quantity::{Force, Length, Mass, Quantity, Span};
use crate::{Error, Result};

/// Most pieces of line and most end parts that a set-up may have.
pub const MAX_PARTS: usize = 16;

/// The fish that takes the bait.
#[derive(Clone, Debug, PartialEq)]
pub struct Fish {
    /// Fork length (disc width of a ray): lowest, usual and highest expected; drawn by a triangle.
    pub length: Band<Length>,
    /// Mass at the central length.
    pub mass: Mass,
    /// Exponent of mass against length (the species' own; about 3).
    pub mass_exponent: f64,
    /// One standard deviation of mass at a given length, as a factor (1.18 to 1.6); 1 = known exactly.
    pub mass_factor: f64,
    /// How the species behaves on the line ([`super::Pack::behaviour`]).
    pub behaviour: Behaviour,
}

/// What a part bears, as it hangs in the water tonight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strength {
    /// A line by its label: breaking strength over label, joint and age are drawn from the pack, and the wet
    /// loss too where the material has one (nylon yes, HMPE no).
    Label {
        /// Strength on the label.
        label: Force,
        /// Whether water weakens it.
        wet: bool,
    },
    /// Known as a band (5, 50, 95 %), every factor in it.
    Band(Band<Force>),
    /// The `end_strength_N` of the pack: weakest of crimp, snell and hook, where the rig is not known.
    Usual,
    /// Never parts (checks and "what if nothing broke").
    Unbreakable,
}

/// One piece of line on the spool.
#[derive(Clone, Debug, PartialEq)]
pub struct LinePiece {
    /// What the crew calls it.
    pub name: String,
    /// Length; `None` for an innermost piece that fills the spool from the rim to the arbor.
    pub length: Option<Length>,
    /// Diameter.
    pub diameter: Length,
    /// Share of its lay that is line (`tackle`: nylon pi/4, braid about 0.70).
    pub packing: f64,
    /// Skin friction against that of monofilament (braid about 1.5: friction 0.006 against 0.004).
    pub skin_factor: f64,
    /// What it bears.
    pub strength: Strength,
}

/// A part between the line and the fish.
#[derive(Clone, Debug, PartialEq)]
pub struct EndPart {
    /// What the crew calls it.
    pub name: String,
    /// What it bears.
    pub strength: Strength,
    /// What the fish trails if this part lets go.
    pub trailing: Length,
}

/// A point of the drag card: with this much line out the lever stands at this share of the fight setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CardPoint {
    /// Line out.
    pub line_out: Length,
    /// Share of the fight setting, 0 to 1.
    pub share: f64,
}

/// Reel, line and drag.
#[derive(Clone, Debug, PartialEq)]
pub struct Outfit {
    /// Radius with all the line on the spool. With every length known it fixes the packing as a whole; with an
    /// innermost piece of unknown length the packing is drawn.
    pub radius: Length,
    /// Radius of the bare arbor.
    pub arbor: Length,
    /// Width between the flanges.
    pub width: Length,
    /// Line, the piece nearest the fish first (topshot, main line, backing).
    pub line: Vec<LinePiece>,
    /// Greatest drag of the reel, full spool.
    pub max_drag: Force,
    /// Fight setting at the reel, full spool.
    pub drag: Force,
    /// Strike setting (first run) as a share of the fight setting; `None` draws it from the pack.
    pub strike_share: Option<f64>,
    /// Breakaway over running drag, at least 1 (the crew's own readings).
    pub start_up: f64,
    /// Guide friction mu x wrap angle; `None` draws it from the pack.
    pub guide: Option<f64>,
    /// Turns of the spool a turn of the handle, high gear.
    pub gear_high: f64,
    /// The same in low gear; equal to `gear_high` for a reel with one gear.
    pub gear_low: f64,
    /// Back-off card by line out, rising; empty = the lever stays. Straight between points.
    pub card: Vec<CardPoint>,
}

/// One who holds the rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Angler {
    /// Power against the pack's (a 35-year-old): 1; see [`power_factor_of_age`].
    pub power_factor: f64,
    /// Tension at the rod tip that the planned stance bears, harness hands included: low, usual, high over
    /// friction and lean; `None` = `hold_limit_N` of the pack.
    pub hold: Option<Band<Force>>,
}

/// Who takes over, and how often they change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// The other angler.
    pub angler: Angler,
    /// Minutes between changes.
    pub every: Span,
}

/// The people.
#[derive(Clone, Debug, PartialEq)]
pub struct People {
    /// Who starts.
    pub angler: Angler,
    /// Who changes with the angler, if anybody.
    pub relief: Option<Relief>,
    /// How long the lever lags behind the card and behind a pull that is too strong (project default 3 s).
    pub lever_delay: Span,
    /// Pull of a fish that the landing crew can check at the leader; `None` = the pack's.
    pub crew_hold: Option<Band<Force>>,
    /// Landing minutes against the pack's (an undrilled or small crew above 1).
    pub landing_factor: f64,
}

/// When the crew stops, and what then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The fight limit: from here on the crew asks (`safety` 6). In reach: cut at the fish. Coming in: go on.
    /// Not gained on for `no_gain`: more drag inside `drag_cap`, then cut at the rod.
    pub fight: Span,
    /// How long without gaining line before something is done (project default 10 min).
    pub no_gain: Span,
    /// Cut at the rod whatever happens.
    pub end: Span,
    /// Cut at the rod at the fight limit, without asking.
    pub cut_at_once: bool,
    /// Greatest fight setting that footing and parts allow, reel, full spool.
    pub drag_cap: Force,
}

/// What is done with the fish at the leader.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtHand {
    /// Always cut at the fish (protected, or too much for the people at hand).
    pub always_cut: bool,
    /// Unhook only if the fish is secured within this time of the leader touch; else cut at the fish.
    pub unhook_within: Span,
}

/// Everything about one fight but chance.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// The fish.
    pub fish: Fish,
    /// The outfit.
    pub outfit: Outfit,
    /// Leader, crimps, swivel, snell, hook.
    pub ends: Vec<EndPart>,
    /// How far out the bait lies.
    pub bait: Length,
    /// The people.
    pub people: People,
    /// The limits.
    pub limits: Limits,
    /// What is done at the leader.
    pub at_hand: AtHand,
    /// Time step (default 0.5 s; 1 s gives the same tables).
    pub step: Span,
    /// Holds the fish in one mode from first to last (checks only).
    pub only: Option<super::Mode>,
}

/// Power of a person of `age` years against one of 35, from the first constant of the handbook line
/// P(hp) = A - B log10 t: A 0.40, 0.35, 0.30 at 20, 35, 60 years (recalled; `tackle` 5), straight between,
/// level outside.
pub fn power_factor_of_age(age: f64) -> f64 {
    let a = if age <= 35.0 {
        0.40 - (age.max(20.0) - 20.0) / 15.0 * 0.05
    } else {
        0.35 - (age.min(60.0) - 35.0) / 25.0 * 0.05
    };
    a / 0.35
}

impl Setup {
    /// The time step used unless told otherwise.
    pub const STEP: Span = Span::of_s(0.5);

    /// Refuses a set-up that no fight can be made of, with the field and what is allowed.
    pub fn check(&self) -> Result<()> {
        let f = &self.fish;
        band("fish.length", f.length.low.m(), f.length.central.m(), f.length.high.m(), 0.2, 12.0, "m")?;
        range("fish.mass", f.mass.kg(), 0.5, 10_000.0, "kg")?;
        range("fish.mass_exponent", f.mass_exponent, 1.0, 5.0, "")?;
        range("fish.mass_factor", f.mass_factor, 1.0, 5.0, "")?;
        if !f.behaviour.sound() {
            return Err(refuse("fish.behaviour", "a factor is out of range", "0 to 10"));
        }
        let o = &self.outfit;
        range("outfit.radius", o.radius.m(), 0.01, 0.5, "m")?;
        range("outfit.arbor", o.arbor.m(), 0.001, o.radius.m() * 0.98, "m")?;
        range("outfit.width", o.width.m(), 0.005, 0.5, "m")?;
        range("outfit.max_drag", o.max_drag.n(), 1.0, 5_000.0, "N")?;
        range("outfit.drag", o.drag.n(), 1.0, 5_000.0, "N")?;
        range("outfit.start_up", o.start_up, 1.0, 3.0, "")?;
        range("outfit.gear_high", o.gear_high, 0.3, 12.0, "")?;
        range("outfit.gear_low", o.gear_low, 0.3, o.gear_high, "")?;
        if let Some(s) = o.strike_share {
            range("outfit.strike_share", s, 0.05, 1.5, "")?;
        }
        if let Some(g) = o.guide {
            range("outfit.guide", g, 0.0, 1.0, "")?;
        }
        if o.line.is_empty() || o.line.len() > MAX_PARTS || self.ends.len() > MAX_PARTS {
            return Err(refuse(
                "outfit.line",
                &format!("{} pieces of line and {} end parts", o.line.len(), self.ends.len()),
                &format!("1 to {MAX_PARTS} pieces of line, at most {MAX_PARTS} end parts"),
            ));
        }
        for (i, p) in o.line.iter().enumerate() {
            range("outfit.line.diameter", p.diameter.mm(), 0.05, 10.0, "mm")?;
            range("outfit.line.packing", p.packing, 0.3, 0.91, "")?;
            range("outfit.line.skin_factor", p.skin_factor, 0.0, 10.0, "")?;
            strength("outfit.line.strength", p.strength)?;
            match p.length {
                Some(l) => range("outfit.line.length", l.m(), 0.5, 10_000.0, "m")?,
                None if i + 1 == o.line.len() => (),
                None => {
                    return Err(refuse(
                        "outfit.line.length",
                        &format!("`{}` has no length", p.name),
                        "a length for every piece but the innermost",
                    ));
                }
            }
        }
        if o.card.iter().any(|c| !(0.0..=1.0).contains(&c.share) || !c.line_out.m().is_finite())
            || o.card.windows(2).any(|w| matches!(w, [a, b] if a.line_out >= b.line_out))
        {
            return Err(refuse("outfit.card", "the card is out of order", "rising line out, shares 0 to 1"));
        }
        for e in &self.ends {
            strength("ends.strength", e.strength)?;
            range("ends.trailing", e.trailing.m(), 0.0, 1_000.0, "m")?;
        }
        range("bait", self.bait.m(), 7.0, 3_000.0, "m")?;
        for a in [Some(self.people.angler), self.people.relief.map(|r| r.angler)].into_iter().flatten() {
            range("people.power_factor", a.power_factor, 0.0, 5.0, "")?;
            if let Some(h) = a.hold {
                band("people.hold", h.low.n(), h.central.n(), h.high.n(), 0.0, 1e6, "N")?;
            }
        }
        if let Some(r) = self.people.relief {
            range("people.relief.every", r.every.s(), 30.0, 86_400.0, "s")?;
        }
        if let Some(h) = self.people.crew_hold {
            band("people.crew_hold", h.low.n(), h.central.n(), h.high.n(), 1.0, 1e6, "N")?;
        }
        range("people.lever_delay", self.people.lever_delay.s(), 0.0, 60.0, "s")?;
        range("people.landing_factor", self.people.landing_factor, 0.0, 20.0, "")?;
        range("limits.fight", self.limits.fight.s(), 10.0, 86_400.0, "s")?;
        range("limits.no_gain", self.limits.no_gain.s(), 10.0, 86_400.0, "s")?;
        range("limits.end", self.limits.end.s(), self.limits.fight.s(), 86_400.0, "s")?;
        range("limits.drag_cap", self.limits.drag_cap.n(), 0.0, 1e6, "N")?;
        range("at_hand.unhook_within", self.at_hand.unhook_within.s(), 0.0, 86_400.0, "s")?;
        range("step", self.step.s(), 0.05, 2.0, "s")
    }
}

fn refuse(place: &str, error: &str, allowed: &str) -> Error {
    Error::new(error, allowed, "correct the set-up of the fight").within(place)
}

fn range(place: &str, x: f64, low: f64, high: f64, unit: &str) -> Result<()> {
    if x >= low && x <= high {
        return Ok(());
    }
    Err(refuse(place, &format!("{x} {unit} is out of range"), &format!("{low} to {high} {unit}")))
}

fn band(place: &str, low: f64, central: f64, high: f64, min: f64, max: f64, unit: &str) -> Result<()> {
    range(place, low, min, max, unit)?;
    range(place, central, low, max, unit)?;
    range(place, high, central, max, unit)
}

fn strength(place: &str, s: Strength) -> Result<()> {
    match s {
        Strength::Label { label, .. } => range(place, label.n(), 1.0, Force::MAX_SI, "N"),
        Strength::Band(b) => band(place, b.low.n(), b.central.n(), b.high.n(), 1.0, Force::MAX_SI, "N"),
        Strength::Usual | Strength::Unbreakable => Ok(()),
    }
}
