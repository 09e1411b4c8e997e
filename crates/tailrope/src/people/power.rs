//! What a person can put into a reel: power that fades with minutes, force on the handle, line wound in, and
//! the rod as a lever.
//!
//! Power over minutes is the handbook line P(hp) = A - B log10 t(min) (Krendel, engineers' handbook, recalled;
//! A, B = 0.40, 0.10 at age 20, 0.35, 0.09 at 35, 0.30, 0.08 at 60), for healthy people on leg or leg-and-arm
//! machines; within the published range of champions and of ordinary people at 70-80 % of it (Wilkie 1960,
//! Ergonomics 3:1, abstract). Arms alone on a small handle give about half (estimate, 0.35-0.6). A tired angler
//! at night gives less: doubtful, and so stated. Cranking and rod are plain mechanics; a tension at the tip comes
//! to the spool through [`crate::tackle::guides::spool_winding_in`].

use crate::math::{cos, hypot, log10, sin};
use crate::quantity::{Angle, Force, Length, Power, Span, Speed, Torque};
use crate::tackle::spool::retrieve_per_crank;

/// Share of the whole body's power that arms put into a small handle (estimate, band 0.35 to 0.6).
pub const ARMS_SHARE: f64 = 0.5;

/// Two numbers of the handbook line P = A - B log10(minutes).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Endurance {
    /// Power at one minute by the line (the line itself holds from 4 minutes).
    pub a: Power,
    /// Power lost with each tenfold of the minutes.
    pub b: Power,
}

impl Endurance {
    /// The line of this age, 20 to 60 years; straight lines between the handbook's three ages, held beyond.
    pub fn of_age(years: f64) -> Self {
        const AGES: [(f64, f64, f64); 3] = [(20.0, 0.40, 0.10), (35.0, 0.35, 0.09), (60.0, 0.30, 0.08)];
        let mut last = AGES[0];
        for row in AGES {
            if years <= row.0 {
                let width = row.0 - last.0;
                let part = if width > 0.0 { (years - last.0) / width } else { 0.0 };
                return Self {
                    a: Power::of_hp(last.1 + (row.1 - last.1) * part),
                    b: Power::of_hp(last.2 + (row.2 - last.2) * part),
                };
            }
            last = row;
        }
        Self { a: Power::of_hp(last.1), b: Power::of_hp(last.2) }
    }

    /// Power kept up for this long by legs, or legs and arms. The line holds for 4 to 480 minutes; a shorter
    /// effort is given the power of 4 minutes (less than true: the safe side), a longer one that of 480.
    ///
    /// ```
    /// use tailrope::people::power::Endurance;
    /// use tailrope::quantity::Span;
    /// let p = Endurance::of_age(35.0).power(Span::of_min(30.0));
    /// assert!((p.w() - 161.9).abs() < 0.05);
    /// ```
    pub fn power(self, effort: Span) -> Power {
        let minutes = effort.min_().clamp(4.0, 480.0);
        (self.a - self.b * log10(minutes)).max(Power::ZERO)
    }
}

/// A reel as a winch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crank {
    /// Radius of the line on the spool now.
    pub radius: Length,
    /// Turns of the spool a turn of the handle.
    pub gear: f64,
    /// Length of the handle.
    pub handle: Length,
    /// Share of the work that reaches the line, 0 to 1.
    pub efficiency: f64,
}

impl Crank {
    /// Force on the handle that winds against this tension at the spool: T r G / (l eta).
    pub fn handle_force(&self, spool: Force) -> Force {
        spool * (self.radius.m() * self.gear / (self.handle.m() * self.efficiency))
    }
    /// Tension at the spool that this force on the handle can wind against.
    pub fn spool_force(&self, handle: Force) -> Force {
        handle * (self.handle.m() * self.efficiency / (self.radius.m() * self.gear))
    }
    /// Line won by one turn of the handle.
    pub fn line_per_turn(&self) -> Length {
        retrieve_per_crank(self.radius, self.gear)
    }
    /// Speed of the line at a turning rate, turns a second.
    pub fn line_speed(&self, turns_per_s: f64) -> Speed {
        Speed::of_mps(self.line_per_turn().m() * turns_per_s)
    }
    /// Power that the hand puts in to wind at this speed against this tension at the spool.
    pub fn power_in(&self, spool: Force, line: Speed) -> Power {
        line_power(spool, line) / self.efficiency
    }
    /// Speed at which line can be won against this tension: the least of what power and turning rate allow;
    /// nothing if the handle is too heavy for the hand (then line is won by pumping or by walking back).
    pub fn winding_speed(&self, spool: Force, power: Power, strongest: Force, turns_per_s: f64) -> Speed {
        if self.handle_force(spool) > strongest {
            return Speed::ZERO;
        }
        let fastest = self.line_speed(turns_per_s);
        if spool <= Force::ZERO {
            return fastest;
        }
        fastest.min(Speed::of_mps(power.w() * self.efficiency / spool.n()))
    }
}

/// Power at the line.
pub fn line_power(spool: Force, line: Speed) -> Power {
    Power::of_w(spool.n() * line.mps())
}

/// The rod held by a harness: a lever about the butt pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RodLever {
    /// Distance from the pin to the line's path.
    pub line_arm: Length,
    /// Distance from the pin to the harness strap.
    pub strap_arm: Length,
}

impl RodLever {
    /// Pull of the strap, level and backward, no hand on the rod: T p / a.
    pub fn strap(&self, line: Force) -> Force {
        line * (self.line_arm / self.strap_arm)
    }
    /// Moment the body bears.
    pub fn moment(&self, line: Force) -> Torque {
        Torque::of_nm(line.n() * self.line_arm.m())
    }
    /// Reaction of the pin on the rod: seaward positive along the beach, upward positive, and its size.
    ///
    /// The line pulls at `line_angle` below level, the strap level and backward.
    pub fn pin_reaction(&self, line: Force, line_angle: Angle) -> (Force, Force, Force) {
        let a = line_angle.rad();
        let along = self.strap(line).n() - line.n() * cos(a);
        let up = line.n() * sin(a);
        (Force::of_n(along), Force::of_n(up), Force::of_n(hypot(along, up)))
    }
    /// Pull at the fish that a fixed body moment gives: a longer arm costs force.
    pub fn pull_of(&self, moment: Torque) -> Force {
        Force::of_n(moment.nm() / self.line_arm.m())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LOW: Crank =
        Crank { radius: Length::of_mm(55.0), gear: 1.3, handle: Length::of_mm(110.0), efficiency: 0.85 };

    #[test]
    fn a_long_surf_rod_costs_more_than_half_the_pull() {
        let pull = |arm| {
            RodLever { line_arm: Length::of_m(arm), strap_arm: Length::of_m(0.5) }
                .pull_of(Torque::of_nm(150.0))
                .lbf()
                .round()
        };
        assert_eq!((pull(2.6), pull(1.1)), (13.0, 31.0));
    }

    #[test]
    fn winding_stops_where_the_hand_is_too_weak_and_slows_where_power_is_short() {
        let strongest = Force::of_n(170.0);
        let t = Force::of_n(200.0);
        // 60 W at the line: as CRANK-1, 0.2995 m/s at 40 turns a minute needs 70.5 W.
        let slow = LOW.winding_speed(t, Power::of_w(35.0), strongest, 40.0 / 60.0);
        assert!((slow.mps() - 0.14875).abs() < 1e-9);
        let full = LOW.winding_speed(t, Power::of_w(500.0), strongest, 40.0 / 60.0);
        assert!((full.mps() - 0.2995).abs() < 5e-5);
        let high = Crank { gear: 3.0, ..LOW };
        assert_eq!(high.winding_speed(t, Power::of_w(500.0), strongest, 1.0), Speed::ZERO);
        assert_eq!(LOW.winding_speed(Force::ZERO, Power::ZERO, strongest, 1.0), LOW.line_speed(1.0));
        assert!((LOW.spool_force(LOW.handle_force(t)).n() - 200.0).abs() < 1e-9);
    }

    #[test]
    fn ages_between_the_handbooks_lie_between() {
        let at = |y| Endurance::of_age(y).power(Span::of_min(30.0)).w();
        assert!(at(20.0) > at(27.0) && at(27.0) > at(35.0) && at(35.0) > at(50.0) && at(50.0) > at(60.0));
        assert_eq!((at(5.0), at(99.0)), (at(20.0), at(60.0)));
        let e = Endurance::of_age(35.0);
        assert_eq!(e.power(Span::of_s(5.0)), e.power(Span::of_min(4.0)));
        assert_eq!(e.power(Span::of_h(20.0)), e.power(Span::of_min(480.0)));
    }

    proptest! {
        #[test]
        fn power_fades_and_age_never_helps(y in 15.0..80.0f64, older in 0.0..30.0f64, t in 0.0..600.0f64, later in 0.0..600.0f64) {
            let at = |y, t| Endurance::of_age(y).power(Span::of_min(t)).w();
            prop_assert!(at(y, t + later) <= at(y, t) + 1e-9);
            prop_assert!(at(y + older, t) <= at(y, t) + 1e-9);
            prop_assert!(at(y, t) > 0.0);
        }
    }
}
