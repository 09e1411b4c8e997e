//! Thunder.

use crate::quantity::{Length, Span, shift};
use jiff::Timestamp;

/// Distance of a flash from the time to its thunder: about a kilometre in three seconds. Thunder once heard is
/// near enough: the rule is shelter at the first, whatever this says.
pub fn thunder_distance(flash_to_bang: Span) -> Length {
    Length::of_km(flash_to_bang.s() / 3.0)
}

/// When a crew may come out again, if no more thunder is heard: a wait after the last (30 min by the weather service's
/// advice; the limits pack holds it as `weather.thunder_wait_min`).
pub fn come_back_at(last_thunder: Timestamp, wait: Span) -> Timestamp {
    shift(last_thunder, wait.s())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thirty_seconds_are_ten_kilometres_and_thirty_minutes_the_wait() {
        assert!((thunder_distance(Span::of_s(30.0)).km() - 10.0).abs() < 1e-9);
        let last: Timestamp = "2026-10-18T03:10:00Z".parse().unwrap();
        let back = come_back_at(last, Span::of_min(30.0));
        assert_eq!(back, "2026-10-18T03:40:00Z".parse().unwrap());
    }
}
