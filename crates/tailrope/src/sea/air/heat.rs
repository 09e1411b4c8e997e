//! Heat.

use crate::quantity::Temperature;

/// Heat index of the US weather service: Rothfusz's regression (1990) with its two adjustments, and Steadman's
/// simple form below 80 F (recalled, high). What the shade feels like; full sun adds up to 8 C.
///
/// Relative humidity in per cent, held to 0 to 100; no number at all counts as 100, the safe side. Above 50 C the
/// regression is beyond its data and the answer says no more than "dangerous".
pub fn heat_index(air: Temperature, humidity_percent: f64) -> Temperature {
    let humidity = if humidity_percent.is_nan() { 100.0 } else { humidity_percent.clamp(0.0, 100.0) };
    let (t, r) = (air.c() * 1.8 + 32.0, humidity);
    let simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094);
    let mut index = simple;
    if f64::midpoint(simple, t) >= 80.0 {
        index = -42.379 + 2.04901523 * t + 10.14333127 * r
            - 0.22475541 * t * r
            - 6.83783e-3 * t * t
            - 5.481717e-2 * r * r
            + 1.22874e-3 * t * t * r
            + 8.5282e-4 * t * r * r
            - 1.99e-6 * t * t * r * r;
        if r < 13.0 && (80.0..=112.0).contains(&t) {
            index -= (13.0 - r) / 4.0 * ((17.0 - (t - 95.0).abs()) / 17.0).max(0.0).sqrt();
        } else if r > 85.0 && (80.0..=87.0).contains(&t) {
            index += (r - 85.0) / 10.0 * (87.0 - t) / 5.0;
        }
    }
    Temperature::of_c((index - 32.0) / 1.8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wet_heat_is_worse() {
        let index = |c, r| heat_index(Temperature::of_c(c), r).c();
        assert!(index(32.0, 80.0) > index(32.0, 50.0) && index(34.0, 80.0) > index(32.0, 80.0));
        assert!(index(15.0, 50.0) < 16.0);
        assert_eq!(index(30.0, f64::NAN), index(30.0, 100.0));
        assert_eq!(index(30.0, 130.0), index(30.0, 100.0));
    }
}
