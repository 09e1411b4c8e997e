//! Where the Moon is: the main terms of the lunar theory.
//!
//! Apparent geocentric position by Jean Meeus, *Astronomical Algorithms*, 2nd edition 1998, chapter 47 (60
//! terms in longitude and distance, 60 in latitude, after the ELP-2000/82 theory of Chapront-Touze and
//! Chapront): about 10" in longitude and 4" in latitude, which is below a second of time in a rising.

use super::clock::{Instant, turn_deg};
use super::earth::Nutation;
use crate::math::{asin, atan2, cos, sin, tan};

/// Multiples of D, M, M', F; 1e-6 degrees of longitude (sine); metres of distance (cosine).
#[rustfmt::skip]
const LONGITUDE: [(i8, i8, i8, i8, i32, i32); 60] = [
    (0, 0, 1, 0, 6_288_774, -20_905_355),
    (2, 0, -1, 0, 1_274_027, -3_699_111),
    (2, 0, 0, 0, 658_314, -2_955_968),
    (0, 0, 2, 0, 213_618, -569_925),
    (0, 1, 0, 0, -185_116, 48_888),
    (0, 0, 0, 2, -114_332, -3_149),
    (2, 0, -2, 0, 58_793, 246_158),
    (2, -1, -1, 0, 57_066, -152_138),
    (2, 0, 1, 0, 53_322, -170_733),
    (2, -1, 0, 0, 45_758, -204_586),
    (0, 1, -1, 0, -40_923, -129_620),
    (1, 0, 0, 0, -34_720, 108_743),
    (0, 1, 1, 0, -30_383, 104_755),
    (2, 0, 0, -2, 15_327, 10_321),
    (0, 0, 1, 2, -12_528, 0),
    (0, 0, 1, -2, 10_980, 79_661),
    (4, 0, -1, 0, 10_675, -34_782),
    (0, 0, 3, 0, 10_034, -23_210),
    (4, 0, -2, 0, 8_548, -21_636),
    (2, 1, -1, 0, -7_888, 24_208),
    (2, 1, 0, 0, -6_766, 30_824),
    (1, 0, -1, 0, -5_163, -8_379),
    (1, 1, 0, 0, 4_987, -16_675),
    (2, -1, 1, 0, 4_036, -12_831),
    (2, 0, 2, 0, 3_994, -10_445),
    (4, 0, 0, 0, 3_861, -11_650),
    (2, 0, -3, 0, 3_665, 14_403),
    (0, 1, -2, 0, -2_689, -7_003),
    (2, 0, -1, 2, -2_602, 0),
    (2, -1, -2, 0, 2_390, 10_056),
    (1, 0, 1, 0, -2_348, 6_322),
    (2, -2, 0, 0, 2_236, -9_884),
    (0, 1, 2, 0, -2_120, 5_751),
    (0, 2, 0, 0, -2_069, 0),
    (2, -2, -1, 0, 2_048, -4_950),
    (2, 0, 1, -2, -1_773, 4_130),
    (2, 0, 0, 2, -1_595, 0),
    (4, -1, -1, 0, 1_215, -3_958),
    (0, 0, 2, 2, -1_110, 0),
    (3, 0, -1, 0, -892, 3_258),
    (2, 1, 1, 0, -810, 2_616),
    (4, -1, -2, 0, 759, -1_897),
    (0, 2, -1, 0, -713, -2_117),
    (2, 2, -1, 0, -700, 2_354),
    (2, 1, -2, 0, 691, 0),
    (2, -1, 0, -2, 596, 0),
    (4, 0, 1, 0, 549, -1_423),
    (0, 0, 4, 0, 537, -1_117),
    (4, -1, 0, 0, 520, -1_571),
    (1, 0, -2, 0, -487, -1_739),
    (2, 1, 0, -2, -399, 0),
    (0, 0, 2, -2, -381, -4_421),
    (1, 1, 1, 0, 351, 0),
    (3, 0, -2, 0, -340, 0),
    (4, 0, -3, 0, 330, 0),
    (2, -1, 2, 0, 327, 0),
    (0, 2, 1, 0, -323, 1_165),
    (1, 1, -1, 0, 299, 0),
    (2, 0, 3, 0, 294, 0),
    (2, 0, -1, -2, 0, 8_752),
];

/// Multiples of D, M, M', F; 1e-6 degrees of latitude (sine).
#[rustfmt::skip]
const LATITUDE: [(i8, i8, i8, i8, i32); 60] = [
    (0, 0, 0, 1, 5_128_122),
    (0, 0, 1, 1, 280_602),
    (0, 0, 1, -1, 277_693),
    (2, 0, 0, -1, 173_237),
    (2, 0, -1, 1, 55_413),
    (2, 0, -1, -1, 46_271),
    (2, 0, 0, 1, 32_573),
    (0, 0, 2, 1, 17_198),
    (2, 0, 1, -1, 9_266),
    (0, 0, 2, -1, 8_822),
    (2, -1, 0, -1, 8_216),
    (2, 0, -2, -1, 4_324),
    (2, 0, 1, 1, 4_200),
    (2, 1, 0, -1, -3_359),
    (2, -1, -1, 1, 2_463),
    (2, -1, 0, 1, 2_211),
    (2, -1, -1, -1, 2_065),
    (0, 1, -1, -1, -1_870),
    (4, 0, -1, -1, 1_828),
    (0, 1, 0, 1, -1_794),
    (0, 0, 0, 3, -1_749),
    (0, 1, -1, 1, -1_565),
    (1, 0, 0, 1, -1_491),
    (0, 1, 1, 1, -1_475),
    (0, 1, 1, -1, -1_410),
    (0, 1, 0, -1, -1_344),
    (1, 0, 0, -1, -1_335),
    (0, 0, 3, 1, 1_107),
    (4, 0, 0, -1, 1_021),
    (4, 0, -1, 1, 833),
    (0, 0, 1, -3, 777),
    (4, 0, -2, 1, 671),
    (2, 0, 0, -3, 607),
    (2, 0, 2, -1, 596),
    (2, -1, 1, -1, 491),
    (2, 0, -2, 1, -451),
    (0, 0, 3, -1, 439),
    (2, 0, 2, 1, 422),
    (2, 0, -3, -1, 421),
    (2, 1, -1, 1, -366),
    (2, 1, 0, 1, -351),
    (4, 0, 0, 1, 331),
    (2, -1, 1, 1, 315),
    (2, -2, 0, -1, 302),
    (0, 0, 1, 3, -283),
    (2, 1, 1, -1, -229),
    (1, 1, 0, -1, 223),
    (1, 1, 0, 1, 223),
    (0, 1, -2, -1, -220),
    (2, 1, -1, -1, -220),
    (1, 0, 1, 1, -185),
    (2, -1, -2, -1, 181),
    (0, 1, 2, 1, -177),
    (4, 0, -2, -1, 176),
    (4, -1, -1, -1, 166),
    (1, 0, 1, -1, -164),
    (4, 0, 1, -1, 132),
    (1, 0, -1, -1, -119),
    (4, -1, 0, -1, 115),
    (2, -2, 0, 1, 107),
];

/// Apparent geocentric place of the Moon, true equator and equinox of date.
#[derive(Clone, Copy, Debug)]
pub(super) struct Apparent {
    /// Ecliptic longitude, degrees.
    pub longitude_deg: f64,
    /// Ecliptic latitude, degrees.
    pub latitude_deg: f64,
    /// Right ascension, radians.
    pub right_ascension: f64,
    /// Declination, radians.
    pub declination: f64,
    /// Distance of the centres, km.
    pub distance_km: f64,
}

/// The Moon at an instant.
pub(super) fn apparent(at: Instant) -> Apparent {
    let t = at.century_tt();
    let rad = |degrees: f64| turn_deg(degrees).to_radians();
    let mean = 218.3164477 + t * (481267.88123421 + t * (-0.0015786 + t * (1.0 / 538841.0 - t / 65194000.0)));
    let d =
        rad(297.8501921 + t * (445267.1114034 + t * (-0.0018819 + t * (1.0 / 545868.0 - t / 113065000.0))));
    let m = rad(357.5291092 + t * (35999.0502909 + t * (-0.0001536 + t / 24490000.0)));
    let m1 = rad(134.9633964 + t * (477198.8675055 + t * (0.0087414 + t * (1.0 / 69699.0 - t / 14712000.0))));
    let f =
        rad(93.272095 + t * (483202.0175233 + t * (-0.0036539 + t * (-1.0 / 3526000.0 + t / 863310000.0))));
    let (a1, a2, a3) = (rad(119.75 + 131.849 * t), rad(53.09 + 479264.29 * t), rad(313.45 + 481266.484 * t));
    // The Earth's orbit rounds itself, and with it every term that carries the Sun's anomaly.
    let e = 1.0 - t * (0.002516 + t * 0.0000074);
    let fade = |m: i8| match m.abs() {
        0 => 1.0,
        1 => e,
        _ => e * e,
    };
    let angle = |(kd, km, km1, kf): (i8, i8, i8, i8)| {
        f64::from(kd) * d + f64::from(km) * m + f64::from(km1) * m1 + f64::from(kf) * f
    };

    let (mut l, mut r, mut b) = (0.0, 0.0, 0.0);
    for (kd, km, km1, kf, sine, cosine) in LONGITUDE {
        let x = angle((kd, km, km1, kf));
        l += f64::from(sine) * fade(km) * sin(x);
        r += f64::from(cosine) * fade(km) * cos(x);
    }
    for (kd, km, km1, kf, sine) in LATITUDE {
        b += f64::from(sine) * fade(km) * sin(angle((kd, km, km1, kf)));
    }
    // Venus, the flattening of the Earth, Jupiter.
    let lm = rad(mean);
    l += 3958.0 * sin(a1) + 1962.0 * sin(lm - f) + 318.0 * sin(a2);
    b += -2235.0 * sin(lm) + 382.0 * sin(a3) + 175.0 * (sin(a1 - f) + sin(a1 + f)) + 127.0 * sin(lm - m1)
        - 115.0 * sin(lm + m1);

    let nutation = Nutation::at(at);
    let longitude_deg = turn_deg(mean + l / 1e6 + nutation.longitude_deg);
    let latitude_deg = b / 1e6;
    let (lambda, beta) = (longitude_deg.to_radians(), latitude_deg.to_radians());
    let obliquity = nutation.obliquity_deg.to_radians();
    Apparent {
        longitude_deg,
        latitude_deg,
        right_ascension: atan2(sin(lambda) * cos(obliquity) - tan(beta) * sin(obliquity), cos(lambda)),
        declination: asin(
            (sin(beta) * cos(obliquity) + cos(beta) * sin(obliquity) * sin(lambda)).clamp(-1.0, 1.0),
        ),
        distance_km: 385000.56 + r / 1000.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_example_of_the_book() {
        // Meeus (1998), example 47.a: 1992 April 12, 0 h terrestrial time.
        let ut = Instant::of("1992-04-12T00:00Z".parse().unwrap()).unwrap();
        let m = apparent(ut.after_s(-ut.delta_t_s()));
        // The book adds a nutation of 63 terms: ours of four differs by half a second of arc at most.
        let nutation = Nutation::at(ut).longitude_deg;
        assert!((m.longitude_deg - nutation - 133.162655).abs() < 2e-6, "{}", m.longitude_deg - nutation);
        assert!((m.latitude_deg + 3.229126).abs() < 2e-6, "{}", m.latitude_deg);
        assert!((m.distance_km - 368409.7).abs() < 0.1, "{}", m.distance_km);
        assert!((m.longitude_deg - 133.167265).abs() < 1.5e-4);
        assert!((m.right_ascension.to_degrees().rem_euclid(360.0) - 134.688470).abs() < 2e-4);
        assert!((m.declination.to_degrees() - 13.768368).abs() < 2e-4);
    }
}
