//! The step machine: one fight from hook-up to its end.
//!
//! Forces are quasi-static (a fish of 100 kg at 3 m/s carries 450 J, half a per cent of its store). Each step:
//! what the fish has left, where the lever stands, what the fish does, what gives.

use super::draw::Draw;
use super::ending::{Ended, Ending};
use super::random::Stream;
use super::setup::Setup;
use super::spool::Spool;
use crate::math::{cos, exp, ln, log10, sin};
use serde::Serialize;

mod moves;
use moves::Move;

/// What the fish is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mode {
    /// Runs out or along the beach.
    Run,
    /// Stands against the pull.
    Hold,
    /// Swims in.
    Come,
}

/// One step as a watcher sees it, SI.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    pub t: f64,
    pub range: f64,
    pub bearing: f64,
    pub line_out: f64,
    pub mode: Mode,
    pub left: f64,
    pub stored: f64,
    pub tip: f64,
    pub hook: f64,
    /// Work of the fish's thrust in this step on line (tip pull and skin), body and water behind the tail.
    pub work_line: f64,
    pub work_body: f64,
    pub work_slip: f64,
    /// Aerobic energy used in this step, refilling included.
    pub aerobic: f64,
    /// Work of the angler in this step: whole, on towing, on skin, against the fish's thrust.
    pub angler: f64,
    pub tow: f64,
    pub skin: f64,
    pub against: f64,
    pub hazard: f64,
}

/// Sees every step; the empty one costs nothing.
pub(super) trait Watch {
    /// Whether this watcher wants anything.
    const ON: bool = true;
    fn see(&mut self, seen: &Seen);
}
/// Sees nothing.
pub(super) struct Blind;
impl Watch for Blind {
    const ON: bool = false;
    fn see(&mut self, _: &Seen) {}
}

/// Longest heading off the line, rad (69 degrees), and the bearing at which a fish turns from the beach.
const PSI_MAX: f64 = 1.2;
const BEARING_MAX: f64 = 1.3;
/// Handing the rod over, s (project default).
const CHANGE_S: f64 = 20.0;
/// Slowest pace at which a fish swims in, m/s (times its species' speed; estimate).
const COME_MIN: f64 = 0.2;
/// Share of the slip pull that people use while they wind: the spool must not slip back.
const BELOW_SLIP: f64 = 0.95;

/// One fight in progress.
#[allow(clippy::struct_excessive_bools)] // each is its own question
pub(super) struct Fight<'a> {
    d: &'a Draw,
    s: &'a Setup,
    spool: &'a Spool,
    chance: Stream,
    dt: f64,
    t: f64,
    range: f64,
    bearing: f64,
    line_out: f64,
    fast: f64,
    slow: f64,
    mode: Mode,
    mode_left: f64,
    first: bool,
    surge: bool,
    /// Of the present mode: heading, wanted speed of a run, share of the ceiling in a hold, speed in.
    psi: Heading,
    want: f64,
    share: f64,
    v_in: f64,
    slipping: bool,
    // Lever.
    past: Vec<f64>,
    setting: f64,
    too_much_s: f64,
    eased: bool,
    // People.
    angler: usize,
    since: f64,
    power: f64,
    power_until: f64,
    /// Last speed at which power was the limit: where the next root is sought.
    towed: f64,
    // Record.
    hazard: f64,
    hook_limit: f64,
    most_out: f64,
    peak: f64,
    moved: bool,
    gain_from: f64,
    gain_due: f64,
}

#[derive(Clone, Copy)]
struct Heading {
    cos: f64,
    sin: f64,
    side: f64,
}

impl<'a> Fight<'a> {
    pub fn new(d: &'a Draw, s: &'a Setup, spool: &'a Spool, chance: Stream) -> Self {
        let bait = s.bait.m().min(d.capacity);
        let mut f = Self {
            d,
            s,
            spool,
            chance,
            dt: s.step.s(),
            t: 0.0,
            range: bait,
            bearing: 0.0,
            line_out: bait,
            fast: d.fast0,
            slow: d.slow0,
            mode: Mode::Run,
            mode_left: 0.0,
            first: true,
            surge: false,
            psi: Heading { cos: 1.0, sin: 0.0, side: 1.0 },
            want: 0.0,
            share: 1.0,
            v_in: 0.0,
            slipping: false,
            past: Vec::new(),
            setting: d.t_fight,
            too_much_s: 0.0,
            eased: false,
            angler: 0,
            since: 0.0,
            power: 0.0,
            power_until: -1.0,
            towed: 1.0,
            hazard: 0.0,
            hook_limit: 0.0,
            most_out: bait,
            peak: 0.0,
            moved: false,
            gain_from: bait,
            gain_due: s.limits.no_gain.s(),
        };
        f.hook_limit = -ln(f.chance.uniform());
        if let Some(mode) = s.only {
            f.mode = mode;
            f.mode_left = f64::INFINITY;
            f.first = mode == Mode::Run;
            f.want = d.v_hot * d.first_speed;
            f.v_in = d.v_calm;
        } else {
            f.begin_run(d.run_first_s, d.first_speed);
        }
        f
    }

    fn duration(&mut self, middle: f64) -> f64 {
        middle * exp(self.d.duration_sd * self.chance.normal())
    }

    fn begin_run(&mut self, middle_s: f64, factor: f64) {
        self.mode = Mode::Run;
        self.mode_left = self.duration(middle_s);
        let psi = (self.chance.normal() * self.d.psi_sd).clamp(-PSI_MAX, PSI_MAX);
        let size = psi.abs();
        self.psi = Heading { cos: cos(size), sin: sin(size), side: if psi < 0.0 { -1.0 } else { 1.0 } };
        self.want = self.d.v_hot * factor * exp(0.3 * self.chance.normal());
        self.slipping = false;
    }

    fn next_mode(&mut self, left: f64) {
        if self.first {
            self.first = false;
        }
        self.surge = false;
        let d = self.d;
        let near = if self.range < d.near { d.near_add * left } else { 0.0 };
        let p_run = (d.p_run.at(left) + near).min(1.0);
        if self.chance.uniform() < p_run {
            self.begin_run(d.run_s.at(left), 1.0);
        } else if self.chance.uniform() < d.p_hold {
            self.mode = Mode::Hold;
            self.mode_left = self.duration(d.hold_s.at(left));
            self.share = 0.4 + 0.6 * self.chance.uniform();
        } else {
            self.mode = Mode::Come;
            self.mode_left = self.duration(d.come_s);
            self.v_in = (COME_MIN + 0.7 * self.chance.uniform()) * self.s.fish.behaviour.speed_factor;
            self.v_in = self.v_in.min(d.v_calm);
        }
    }

    /// What is left of the store, 0 to 1: the fast half counts twice as fast.
    fn left(&self) -> f64 {
        let share = |now: f64, full: f64| if full > 0.0 { now / full } else { 0.0 };
        0.5 * ((2.0 * share(self.fast, self.d.fast0)).min(1.0) + share(self.slow, self.d.slow0))
    }

    /// Share of the fight setting at which the lever stands: strike in the first run, then the card, late.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small number of steps
    fn lever(&mut self) -> f64 {
        let mut share = if self.first { self.d.strike } else { 1.0 };
        let card = &self.s.outfit.card;
        if !card.is_empty() {
            self.past.push(self.line_out);
            let lag = (self.s.people.lever_delay.s() / self.dt) as usize;
            let seen = self.past.len().checked_sub(lag + 1).and_then(|k| self.past.get(k));
            share *= card_share(card, seen.copied().unwrap_or(self.s.bait.m()));
        }
        share
    }

    /// Power of whoever holds the rod, renewed every half minute.
    fn people_power(&mut self) -> f64 {
        if self.t >= self.power_until {
            let minutes = ((self.t - self.since) / 60.0).max(0.1);
            self.power = human_power(self.d.power_a, self.d.power_b, minutes)
                * self.d.share_duty
                * self.d.anglers[self.angler].power;
            self.power_until = self.t + 10.0;
        }
        if let Some(relief) = self.s.people.relief {
            let on = self.t - self.since;
            if on >= relief.every.s() {
                self.angler = 1 - self.angler;
                self.since = self.t;
                self.power_until = self.t;
            }
            if self.since > 0.0 && self.t - self.since < CHANGE_S {
                return 0.0;
            }
        }
        self.power
    }

    /// Runs to the end.
    pub fn run<W: Watch>(mut self, watch: &mut W) -> Ending {
        loop {
            if let Some(ended) = self.step(watch) {
                return ended;
            }
        }
    }

    #[allow(clippy::too_many_lines)] // one step is read top to bottom
    fn step<W: Watch>(&mut self, watch: &mut W) -> Option<Ending> {
        let d = self.d;
        let dt = self.dt;
        if self.mode_left <= 0.0 {
            let left = self.left();
            self.next_mode(left);
        }
        let left = self.left();
        let ceiling = d.ceiling * (d.ceiling_tired + (1.0 - d.ceiling_tired) * left);
        let on_call = d.p_aerobic + d.p_burst * left;
        let radius2 = self.spool.radius2(self.line_out, d.phi);
        let radius = radius2.sqrt();
        let hold = d.anglers[self.angler].hold;
        let set = self.setting.min(d.t_max) * self.lever();
        let slip_raw = set * self.s.outfit.radius.m() / radius * d.guide;
        // The lever is eased off a pull that the people cannot hold, late.
        let delay = self.s.people.lever_delay.s();
        self.eased = slip_raw > hold && (self.eased || self.too_much_s >= delay);
        let slip = if self.eased { hold } else { slip_raw };
        let wet = (self.line_out - d.air).max(0.0);
        let skin_k = d.skin_k * self.spool.skin(wet);
        let power = self.people_power();

        let before = self.range;
        let out_before = self.line_out;
        let m = match self.mode {
            Mode::Run => self.go_run(slip, skin_k, wet, ceiling, on_call, left, radius, power),
            Mode::Hold => {
                let most = if self.s.only.is_some() { ceiling } else { self.share * ceiling };
                self.stand(most, slip, skin_k, on_call, left, radius, power)
            }
            Mode::Come => self.come(slip, skin_k, on_call, left, radius, power),
        };

        let aerobic = self.pay(m.price);

        // People.
        let start = if m.slipped && !self.slipping { self.s.outfit.start_up } else { 1.0 };
        self.slipping = m.slipped;
        if m.tip * start * d.peak > hold {
            self.moved = true;
        }
        if m.tip > hold {
            self.too_much_s += dt;
        } else {
            self.too_much_s = 0.0;
        }
        // Parts: jerks load everything; the start of a slip adds what the breakaway drag is above the running.
        let hook = m.hook + m.tip * (start - 1.0);
        self.peak = self.peak.max(hook);
        let per_s = d.hook_base + if m.slack { d.hook_slack } else { 0.0 } + d.hook_tension * m.hook * m.hook;
        self.hazard += per_s * dt;
        self.most_out = self.most_out.max(self.line_out);
        self.t += dt;
        self.mode_left -= dt;

        if W::ON {
            watch.see(&Seen {
                t: self.t,
                range: self.range,
                bearing: self.bearing,
                line_out: self.line_out,
                mode: self.mode,
                left,
                stored: self.fast + self.slow,
                tip: m.tip,
                hook,
                work_line: m.work_line,
                work_body: m.work_body,
                work_slip: m.price * dt - m.work_line - m.work_body,
                aerobic: aerobic * dt,
                angler: m.tip * m.wound * dt,
                tow: (m.hook - m.thrust).max(0.0) * m.wound * dt,
                skin: m.skin_force * m.wound * dt,
                against: m.thrust * m.wound * dt,
                hazard: self.hazard,
            });
        }
        self.ending(&m, hook, hold, ceiling, before, out_before)
    }

    fn ending(
        &mut self,
        m: &Move,
        hook: f64,
        hold: f64,
        ceiling: f64,
        before: f64,
        out_before: f64,
    ) -> Option<Ending> {
        let d = self.d;
        if hook.max(m.tip) * d.peak > d.weakest
            && let Some(part) = self.parted(m, hook)
        {
            let trailing = self.trailing(part);
            return Some(self.end(Ended::Parted { part }, self.t, trailing));
        }
        if self.hazard > self.hook_limit {
            return Some(self.end(Ended::HookPulled, self.t, 0.0));
        }
        if self.line_out >= d.capacity && self.line_out > out_before {
            let over = (self.line_out - d.capacity) / (self.line_out - out_before);
            self.most_out = d.capacity;
            return Some(self.end(Ended::Spooled, self.t - over * self.dt, d.capacity));
        }
        let limit = self.s.limits.fight.s();
        if self.range <= d.reach && !self.surge {
            let over = if before > d.reach { (d.reach - self.range) / (before - self.range) } else { 0.0 };
            let at = self.t - over * self.dt;
            if self.t >= limit && !self.s.limits.cut_at_once {
                return Some(self.end(Ended::CutAtFish, at, 0.0));
            }
            if self.chance.uniform() < (1.0 - ceiling / d.crew_hold).max(0.05) {
                let quick = d.landing_s <= self.s.at_hand.unhook_within.s();
                let ended =
                    if quick && !self.s.at_hand.always_cut { Ended::Unhooked } else { Ended::CutAtFish };
                return Some(self.end(ended, at, 0.0));
            }
            // A last surge out of reach.
            let seconds = 5.0 + 15.0 * self.chance.uniform();
            self.begin_run(1.0, 1.0);
            self.mode_left = seconds;
            self.first = false;
            self.surge = true;
        }
        if self.t >= limit && (self.s.limits.cut_at_once || self.t >= self.s.limits.end.s()) {
            return Some(self.end(Ended::CutAtRod, self.t, self.line_out));
        }
        if self.t >= self.gain_due {
            let gained = self.line_out < self.gain_from - 1.0;
            self.gain_from = self.line_out;
            self.gain_due = self.t + self.s.limits.no_gain.s();
            if self.t >= limit && !gained {
                let safe = m.tip <= hold;
                if safe && self.setting < d.t_cap {
                    self.setting = d.t_cap;
                } else {
                    return Some(self.end(Ended::CutAtRod, self.t, self.line_out));
                }
            }
        }
        None
    }

    /// The part that lets go: the one loaded most above its strength.
    fn parted(&self, m: &Move, hook: f64) -> Option<usize> {
        let d = self.d;
        let wet = (self.line_out - d.air).max(0.0);
        let whole = self.spool.skin(wet).max(1e-12);
        let lines = self.s.outfit.line.len();
        let load = |i: usize| {
            if i >= lines {
                return hook;
            }
            let start = self.spool.start(i);
            if start >= self.line_out {
                return 0.0;
            }
            // While the fish runs, pull falls from hook to tip; while it is wound in, it rises.
            let passed = self.spool.skin(start.min(wet)) / whole;
            if m.wound > 0.0 {
                let end = self.spool.end(i).min(self.line_out);
                hook + m.skin_force * self.spool.skin(end.min(wet)) / whole
            } else {
                hook - m.skin_force * passed
            }
        };
        d.strengths
            .iter()
            .enumerate()
            .map(|(i, strength)| (i, load(i) * d.peak / strength))
            .filter(|(_, ratio)| *ratio > 1.0)
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(i, _)| i)
    }

    /// Metres the fish trails if `part` lets go: of a line, its whole length that is out and all before it
    /// (it may part anywhere, so the longest).
    fn trailing(&self, part: usize) -> f64 {
        let lines = self.s.outfit.line.len();
        match part.checked_sub(lines) {
            Some(k) => self.s.ends.get(k).map_or(0.0, |e| e.trailing.m()),
            None => self.spool.end(part).min(self.line_out),
        }
    }

    fn end(&self, ended: Ended, t: f64, trailing: f64) -> Ending {
        let landed = matches!(ended, Ended::Unhooked | Ended::CutAtFish);
        Ending {
            ended,
            minutes: t / 60.0,
            landing_minutes: if landed { self.d.landing_s / 60.0 } else { 0.0 },
            line_out_m: self.most_out,
            trailing_m: trailing,
            peak_n: self.peak,
            moved: self.moved,
            left: (self.fast + self.slow) / (self.d.fast0 + self.d.slow0).max(1e-300),
            mass_kg: self.d.mass,
            length_m: self.d.length,
        }
    }
}

/// Power that can be kept up for `minutes`, W: P(hp) = A - B log10 t (handbook line after Krendel, recalled).
pub fn human_power(a_hp: f64, b_hp: f64, minutes: f64) -> f64 {
    (a_hp - b_hp * log10(minutes)).max(0.0) * 745.699_871_582_270_2
}

fn card_share(card: &[super::setup::CardPoint], line_out: f64) -> f64 {
    let mut last: Option<(f64, f64)> = None;
    for c in card {
        let (x, y) = (c.line_out.m(), c.share);
        if line_out <= x {
            return match last {
                Some((x0, y0)) => y0 + (y - y0) * (line_out - x0) / (x - x0),
                None => y,
            };
        }
        last = Some((x, y));
    }
    last.map_or(1.0, |(_, y)| y)
}
