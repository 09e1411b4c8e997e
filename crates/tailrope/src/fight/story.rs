//! One fight told step by step, with its energy account: for the eye, and for the checks.

use super::ending::Ending;
use super::step::{Mode, Seen, Watch};
use serde::Serialize;

/// One moment of a fight.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Moment {
    /// Seconds since the hook-up.
    pub t_s: f64,
    /// Metres straight out from the rod (negative never: the fish is kept off the beach).
    pub out_m: f64,
    /// Metres along the beach, to the right of the rod looking seaward.
    pub along_m: f64,
    /// Line off the spool, m.
    pub line_out_m: f64,
    /// Tension at the rod tip, N.
    pub tip_n: f64,
    /// Tension at the hook, N.
    pub hook_n: f64,
    /// What the fish has left of its store, 0 to 1.
    pub left: f64,
    /// What it is doing.
    pub mode: Mode,
}

/// Where the work went, joules.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Account {
    /// Taken from the stores, refilling subtracted.
    pub stores_j: f64,
    /// Aerobic work, refilling included.
    pub aerobic_j: f64,
    /// The fish's work on the line: pull at the tip and skin friction.
    pub line_j: f64,
    /// Its work on its own body's drag.
    pub body_j: f64,
    /// What went into the water behind its tail.
    pub slip_j: f64,
    /// The people's work at the rod tip.
    pub angler_j: f64,
    /// Of it: towing the body.
    pub tow_j: f64,
    /// Of it: skin friction of the line.
    pub skin_j: f64,
    /// Of it: against the fish's thrust.
    pub against_j: f64,
    /// Hazard of the hook pulling out, summed (dimensionless).
    pub hook_hazard: f64,
}

/// One fight, told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Story {
    /// How it ended.
    pub ending: Ending,
    /// Moments at the asked interval, and the last.
    pub moments: Vec<Moment>,
    /// Where the work went.
    pub account: Account,
}

/// Writes the story.
pub(super) struct Teller {
    every: f64,
    due: f64,
    stop: f64,
    full: f64,
    pub moments: Vec<Moment>,
    pub account: Account,
    last: Option<Moment>,
}

impl Teller {
    /// Keeps a moment every `every` s; accounts for steps up to `stop` s. `full` is the store at hook-up, J.
    pub fn new(every: f64, stop: f64, full: f64) -> Self {
        Self { every, due: 0.0, stop, full, moments: Vec::new(), account: Account::default(), last: None }
    }

    /// The story, with its last moment.
    pub fn told(mut self, ending: Ending) -> Story {
        if let Some(last) = self.last
            && self.moments.last() != Some(&last)
        {
            self.moments.push(last);
        }
        Story { ending, moments: self.moments, account: self.account }
    }
}

impl Watch for Teller {
    fn see(&mut self, s: &Seen) {
        if s.t > self.stop + 1e-9 {
            return;
        }
        let a = &mut self.account;
        a.stores_j = self.full - s.stored;
        a.aerobic_j += s.aerobic;
        a.line_j += s.work_line;
        a.body_j += s.work_body;
        a.slip_j += s.work_slip;
        a.angler_j += s.angler;
        a.tow_j += s.tow;
        a.skin_j += s.skin;
        a.against_j += s.against;
        a.hook_hazard = s.hazard;
        let moment = Moment {
            t_s: s.t,
            out_m: s.range * crate::math::cos(s.bearing),
            along_m: s.range * crate::math::sin(s.bearing),
            line_out_m: s.line_out,
            tip_n: s.tip,
            hook_n: s.hook,
            left: s.left,
            mode: s.mode,
        };
        if s.t >= self.due {
            self.moments.push(moment);
            self.due += self.every;
        }
        self.last = Some(moment);
    }
}
