//! What one step of the fish and of the people comes to: a run, a stand, a swim in, the winding, the bill.

use super::{BEARING_MAX, BELOW_SLIP, COME_MIN, Fight, Mode};
use crate::fight::body::{Running, refill_power, static_thrust, tow_speed_from};

/// What one step of the fish and the people came to.
#[derive(Default)]
pub(super) struct Move {
    pub tip: f64,
    pub hook: f64,
    pub skin_force: f64,
    pub price: f64,
    pub thrust: f64,
    pub work_line: f64,
    pub work_body: f64,
    pub wound: f64,
    pub slack: bool,
    pub slipped: bool,
}

impl Fight<'_> {
    /// A run: as fast as wanted, ceiling and power allow; a stalled one becomes a hold at the ceiling.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn go_run(
        &mut self,
        slip: f64,
        skin_k: f64,
        wet: f64,
        ceiling: f64,
        on_call: f64,
        left: f64,
        radius: f64,
        power: f64,
    ) -> Move {
        let d = self.d;
        let dt = self.dt;
        let slack = self.line_out - self.range > 1e-9;
        let (cos, sin) = (self.psi.cos, self.psi.sin);
        let pull = if slack { 0.0 } else { slip * (cos + sin / d.lift_drag) };
        let skin_p = if slack { 0.0 } else { skin_k * cos * cos * cos };
        let sweep =
            if slack || d.sweep_k == 0.0 { 0.0 } else { d.sweep_k * self.spool.skin(wet) * sin * sin * sin };
        let drag = d.k_body + skin_p + sweep;
        let wanted = if self.s.only.is_some() {
            self.want
        } else {
            let alarm = if slack { 0.0 } else { slip / (slip + d.alarm) };
            let hot = self.want * (0.35 + 0.65 * left);
            d.v_calm + alarm * (hot - d.v_calm)
        };
        let run = Running { pull, drag, ceiling, power: on_call, k_disc: d.k_disc };
        let Some(v) = run.speed(wanted) else {
            return self.stand(ceiling, slip, skin_k, on_call, left, radius, power);
        };
        let thrust = pull + drag * v * v;
        let w = (0.25 * v * v + thrust / d.k_disc).sqrt() - 0.5 * v;
        let before = self.range;
        self.range += v * cos * dt;
        if sin > 0.0 {
            self.bearing += self.psi.side * v * sin * dt / before.max(5.0);
            if self.bearing.abs() > BEARING_MAX && self.bearing * self.psi.side > 0.0 {
                self.psi.side = -self.psi.side;
            }
        }
        if slack {
            self.line_out -= (d.wind_high * radius * dt).min(self.line_out - before);
        }
        let slipped = self.range > self.line_out;
        self.line_out = self.line_out.max(self.range);
        let along = v * cos;
        let skin_force = if slack { 0.0 } else { skin_k * along * along };
        let tip = if slack { 0.0 } else { slip };
        Move {
            tip,
            hook: tip + skin_force + sweep * v * v,
            skin_force,
            price: thrust * (v + w),
            thrust,
            work_line: (pull + (skin_p + sweep) * v * v) * v * dt,
            work_body: d.k_body * v * v * v * dt,
            wound: 0.0,
            slack,
            slipped: slipped && !slack,
        }
    }

    /// Stands against the pull with at most `most`, and is wound in if the people can.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn stand(
        &mut self,
        most: f64,
        slip: f64,
        skin_k: f64,
        on_call: f64,
        left: f64,
        radius: f64,
        power: f64,
    ) -> Move {
        let d = self.d;
        if self.line_out - self.range > 1e-9 {
            let taken = (d.wind_high * radius * self.dt).min(self.line_out - self.range);
            self.line_out -= taken;
            return Move { slack: true, ..Move::default() };
        }
        let usable = BELOW_SLIP * slip;
        let mut thrust = most.min(usable);
        let mut price = thrust * thrust.sqrt() * d.inv_sqrt_k_disc;
        if price > on_call {
            thrust = static_thrust(on_call, d.k_disc);
            price = on_call;
        }
        let k = self.tow_drag(left) + skin_k;
        // A ray holds the bottom only while it means to: not in a run that came to nothing.
        let suction = if self.mode == Mode::Hold { d.suction } else { 0.0 };
        let v = self.wind(k, thrust + suction, usable, radius, power);
        self.wind_in(v);
        let skin_force = skin_k * v * v;
        let hook = (thrust + suction).min(usable) + (k - skin_k) * v * v;
        Move {
            tip: hook + skin_force,
            hook,
            skin_force,
            price,
            thrust: thrust + suction,
            wound: v,
            ..Move::default()
        }
    }

    /// Swims in on its red muscle; the people only keep up, and where they cannot the line hangs slack. A fish
    /// too weak to come is wound in.
    pub(super) fn come(
        &mut self,
        slip: f64,
        skin_k: f64,
        on_call: f64,
        left: f64,
        radius: f64,
        power: f64,
    ) -> Move {
        let d = self.d;
        if self.v_in < 0.5 * COME_MIN {
            return self.stand(0.0, slip, skin_k, on_call, left, radius, power);
        }
        let price = d.k_body * self.v_in * self.v_in * self.v_in;
        let gather = if power > 0.0 { d.wind_high * radius } else { 0.0 };
        self.range = (self.range - self.v_in * self.dt).max(0.0);
        self.line_out = (self.line_out - gather * self.dt).max(self.range);
        Move {
            price,
            work_body: price * self.dt,
            slack: self.line_out - self.range > 1e-9,
            ..Move::default()
        }
    }

    /// Drag over speed squared of the towed body: nearly head first while it has strength, up to its drawn
    /// share of side-on when beaten.
    fn tow_drag(&self, left: f64) -> f64 {
        let d = self.d;
        let side = if self.s.only.is_some() { d.broadside } else { d.broadside * (1.0 - left) };
        d.k_body * (1.0 - side) + d.k_broad * side
    }

    /// Winding speed against resistance `f`, with at most `usable` at the tip.
    fn wind(&mut self, k: f64, f: f64, usable: f64, radius: f64, power: f64) -> f64 {
        let d = self.d;
        if f >= usable || power <= 0.0 {
            return 0.0;
        }
        let mut top = ((usable - f) / k).sqrt();
        if (k * top * top + f) * top > power {
            top = tow_speed_from(k, f, power, self.towed);
            self.towed = top;
        }
        for (gear, handle) in [(d.wind_high, d.reach_high), (d.wind_low, d.reach_low)] {
            let v = top.min(gear * radius);
            // A handle takes so much at the spool; the guides take their share while the line comes in.
            if f + k * v * v <= handle / (radius * d.guide) {
                return v;
            }
        }
        top.min(d.pump)
    }

    fn wind_in(&mut self, v: f64) {
        let by = v * self.dt;
        self.range = (self.range - by).max(0.0);
        self.line_out = (self.line_out - by).max(self.range);
    }

    /// Pays `price` W for this step: aerobic first, then fast and slow store; spare aerobic power refills the
    /// fast one. Gives the aerobic power used, W.
    pub(super) fn pay(&mut self, price: f64) -> f64 {
        let d = self.d;
        let aerobic = price.min(d.p_aerobic);
        let rest = (price - aerobic) * self.dt;
        if rest > 0.0 {
            let fast = (rest * d.fast_first).min(self.fast);
            let slow = (rest - fast).min(self.slow);
            let more = (rest - fast - slow).min(self.fast - fast);
            self.fast -= fast + more;
            self.slow -= slow;
            return aerobic;
        }
        let refill = refill_power(d.p_aerobic - aerobic, d.fast0 - self.fast, d.tau, self.dt);
        self.fast = (self.fast + refill * self.dt).min(d.fast0);
        aerobic + refill
    }
}
