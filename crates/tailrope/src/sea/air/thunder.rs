//! Thunder.

use crate::quantity::{Length, Span, shift};
use jiff::Timestamp;

/// How long to stay sheltered after the last thunder (US weather service; recalled, high).
pub const WAIT_AFTER_THUNDER: Span = Span::of_min(30.0);

/// Distance of a flash from the time to its thunder: about a kilometre in three seconds. Thunder once heard is
/// near enough: the rule is shelter at the first, whatever this says.
pub fn thunder_distance(flash_to_bang: Span) -> Length {
    Length::of_km(flash_to_bang.s() / 3.0)
}

/// When a crew may come out again, if no more thunder is heard.
pub fn come_back_at(last_thunder: Timestamp) -> Timestamp {
    shift(last_thunder, WAIT_AFTER_THUNDER.s())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thirty_seconds_are_ten_kilometres_and_thirty_minutes_the_wait() {
        assert!((thunder_distance(Span::of_s(30.0)).km() - 10.0).abs() < 1e-9);
        let last: Timestamp = "2026-10-18T03:10:00Z".parse().unwrap();
        assert_eq!(come_back_at(last), "2026-10-18T03:40:00Z".parse().unwrap());
    }
}
