//! Showing quantities in the units the crew reads, never with more digits than a model deserves.

use super::{Angle, Area, Energy, Force, Length, Mass, Power, Quantity, Span, Speed, Temperature, Torque};
use serde::{Deserialize, Serialize};

/// In which units a crew reads its numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// Pounds-force, yards, feet and inches, Fahrenheit, knots.
    #[default]
    Us,
    /// Kilograms-force, metres, Celsius, knots.
    Metric,
    /// Newtons, metres, Celsius, metres a second.
    Si,
}

/// `x` to `digits` significant digits, without exponent and without trailing zeros behind the point.
///
/// ```
/// assert_eq!(tailrope::quantity::significant(124.5502, 3), "125");
/// assert_eq!(tailrope::quantity::significant(0.04567, 3), "0.0457");
/// assert_eq!(tailrope::quantity::significant(1240.4, 3), "1240");
/// ```
pub fn significant(x: f64, digits: i32) -> String {
    if x == 0.0 || !x.is_finite() {
        return if x == 0.0 { "0".into() } else { "unknown".into() };
    }
    #[allow(clippy::cast_possible_truncation)] // log10 of a finite f64 is within +-324
    let magnitude = crate::math::log10(x.abs()).floor() as i32;
    let decimals = digits - 1 - magnitude;
    if decimals <= 0 {
        let step = crate::math::pow(10.0, f64::from(-decimals));
        let rounded = (x / step).round() * step;
        return format!("{rounded:.0}");
    }
    #[allow(clippy::cast_sign_loss)] // positive in this branch
    let mut text = format!("{x:.*}", decimals as usize);
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    text
}

impl Units {
    /// Drag, tension, strength.
    pub fn force(self, f: Force) -> String {
        match self {
            Self::Us => format!("{} lbf", significant(f.lbf(), 3)),
            Self::Metric => format!("{} kgf", significant(f.kgf(), 3)),
            Self::Si => format!("{} N", significant(f.n(), 3)),
        }
    }
    /// Line out, distance to a bait: yards or metres, whole.
    pub fn line(self, l: Length) -> String {
        match self {
            Self::Us => format!("{:.0} yd", l.yd()),
            Self::Metric | Self::Si => format!("{:.0} m", l.m()),
        }
    }
    /// Sizes a person can see: feet and inches, or metres; below half a metre inches or centimetres.
    pub fn size(self, l: Length) -> String {
        if self != Self::Us {
            return if l.m().abs() < 0.1 {
                format!("{} mm", significant(l.mm(), 3))
            } else {
                format!("{} m", significant(l.m(), 3))
            };
        }
        if l.inches().abs() < 1.0 {
            return format!("{} in", significant(l.inches(), 2));
        }
        let inches = l.inches().round();
        let (sign, inches) = if inches < 0.0 { ("-", -inches) } else { ("", inches) };
        let feet = (inches / 12.0).floor();
        let rest = inches - 12.0 * feet;
        match (feet > 0.0, rest > 0.0) {
            (true, true) => format!("{sign}{feet:.0} ft {rest:.0} in"),
            (true, false) => format!("{sign}{feet:.0} ft"),
            _ => format!("{sign}{rest:.0} in"),
        }
    }
    /// Diameters of line, wire and hooks: always millimetres, the trade's own unit.
    pub fn diameter(self, l: Length) -> String {
        format!("{} mm", significant(l.mm(), 3))
    }
    /// Water levels and wave heights.
    pub fn height(self, l: Length) -> String {
        let (number, unit) = match self {
            Self::Us => (format!("{:.1}", l.ft()), "ft"),
            Self::Metric | Self::Si => (format!("{:.2}", l.m()), "m"),
        };
        // A little below nothing is nothing.
        let nothing = number.starts_with('-') && number.bytes().all(|b| b"-0.".contains(&b));
        let number = if nothing { &number[1..] } else { &number };
        format!("{number} {unit}")
    }
    /// Distances along the coast.
    pub fn distance(self, l: Length) -> String {
        match self {
            Self::Us => format!("{} mi", significant(l.m() / 1609.344, 3)),
            Self::Metric | Self::Si => format!("{} km", significant(l.km(), 3)),
        }
    }
    /// Bodies and fish.
    pub fn mass(self, m: Mass) -> String {
        match self {
            Self::Us => format!("{} lb", significant(m.lb(), 3)),
            Self::Metric | Self::Si => format!("{} kg", significant(m.kg(), 3)),
        }
    }
    /// Wind.
    pub fn wind(self, v: Speed) -> String {
        match self {
            Self::Us | Self::Metric => format!("{} kn", significant(v.kn(), 2)),
            Self::Si => format!("{} m/s", significant(v.mps(), 2)),
        }
    }
    /// Currents and swimming.
    pub fn current(self, v: Speed) -> String {
        match self {
            Self::Us => format!("{} kn", significant(v.kn(), 2)),
            Self::Metric | Self::Si => format!("{} m/s", significant(v.mps(), 2)),
        }
    }
    /// Water and air.
    pub fn temperature(self, t: Temperature) -> String {
        match self {
            Self::Us => format!("{:.0} F", t.c() * 1.8 + 32.0),
            Self::Metric | Self::Si => format!("{} C", significant(t.c(), 3)),
        }
    }
    /// Angles, in degrees for everybody.
    pub fn angle(self, a: Angle) -> String {
        format!("{}°", significant(a.deg(), 3))
    }
    /// Stretches of time as a crew says them.
    pub fn span(self, t: Span) -> String {
        if t.s() < 90.0 {
            format!("{} s", significant(t.s(), 2))
        } else if t.min_() < 100.0 {
            format!("{:.0} min", t.min_())
        } else if t.h() < 48.0 {
            format!("{} h", significant(t.h(), 2))
        } else {
            format!("{} days", significant(t.d(), 2))
        }
    }
    /// Moments.
    pub fn torque(self, t: Torque) -> String {
        match self {
            Self::Us => format!("{} lbf·ft", significant(t.nm() / (super::N_PER_LBF * super::M_PER_FT), 3)),
            Self::Metric | Self::Si => format!("{} N·m", significant(t.nm(), 3)),
        }
    }
    /// Energies.
    pub fn energy(self, e: Energy) -> String {
        format!("{} J", significant(e.j(), 2))
    }
    /// Powers.
    pub fn power(self, p: Power) -> String {
        format!("{} W", significant(p.w(), 2))
    }
    /// Areas.
    pub fn area(self, a: Area) -> String {
        format!("{} {}", significant(a.si(), 3), Area::SI)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shows_what_each_crew_reads() {
        let f = Force::of_lbf(28.0);
        assert_eq!(
            [Units::Us.force(f), Units::Metric.force(f), Units::Si.force(f)],
            ["28 lbf", "12.7 kgf", "125 N"]
        );
        let l = Length::of_m(2.6);
        assert_eq!([Units::Us.size(l), Units::Metric.size(l)], ["8 ft 6 in", "2.6 m"]);
        assert_eq!(Units::Us.size(Length::of_in(12.0)), "1 ft");
        assert_eq!(Units::Us.size(Length::of_in(11.6)), "1 ft");
        assert_eq!(Units::Us.line(Length::of_m(400.0)), "437 yd");
        assert_eq!(Units::Us.temperature(Temperature::of_c(26.0)), "79 F");
        assert_eq!(Units::Us.span(Span::of_s(45.0)), "45 s");
        assert_eq!(Units::Us.span(Span::of_min(150.0)), "2.5 h");
    }

    #[test]
    fn no_height_is_less_than_nothing_by_nothing() {
        let of = |m: f64| [Units::Us, Units::Metric].map(|u| u.height(Length::of_m(m)));
        assert_eq!(of(-0.004), ["0.0 ft", "0.00 m"]);
        assert_eq!(of(-0.01), ["0.0 ft", "-0.01 m"]);
        assert_eq!(of(-0.2), ["-0.7 ft", "-0.20 m"]);
        assert_eq!(of(0.2), ["0.7 ft", "0.20 m"]);
    }

    #[test]
    fn rounds_to_significant_digits() {
        for (x, want) in [
            (0.0, "0"),
            (999.6, "1000"),
            (0.0999, "0.0999"),
            (-12.34, "-12.3"),
            (5.0, "5"),
            (f64::NAN, "unknown"),
        ] {
            assert_eq!(significant(x, 3), want, "{x}");
        }
    }
}
