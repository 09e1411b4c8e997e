//! The quantities a file may hold, and the range in which a number of each makes sense.
//!
//! A number outside its range is a misread column, a broken sensor or a wrong unit. The ranges are wide on purpose:
//! they refuse a wave of 900 m, not a bad day. Records that stand behind them (recalled): significant height about
//! 19 m, sea level pressure 870 to 1084 hPa. Winds and frosts beyond anything one fishes in (gusts to 113 m/s, air to
//! -68 °C) lie outside: such a file is refused, which is no worse an answer than the plan's *stop*.

use crate::facts::Grade;
use crate::quantity::{Angle, Length, Pressure, Quantity, Span, Speed, Temperature};

/// One quantity of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Field {
    WaveHeight,
    PeakPeriod,
    MeanPeriod,
    WaveFrom,
    SwellHeight,
    SwellPeriod,
    SwellFrom,
    SecondSwellHeight,
    SecondSwellPeriod,
    SecondSwellFrom,
    WindSeaHeight,
    WindSeaPeriod,
    WindSeaFrom,
    Wind,
    Gust,
    WindFrom,
    Air,
    Water,
    Dew,
    Pressure,
    PressureChange,
    Visibility,
    Humidity,
    Thunder,
    Lightning,
    WaterLevel,
    PredictedLevel,
    Current,
    CurrentToward,
}

/// How many quantities there are.
pub(super) const COUNT: usize = Field::CurrentToward as usize + 1;

/// What a quantity is called and in which range a number of it is believed.
pub(super) struct Plausible {
    pub name: &'static str,
    /// Unit in which the range is said, and its SI value.
    pub unit: &'static str,
    pub si: f64,
    pub min: f64,
    pub max: f64,
    /// How far the range can be trusted.
    pub grade: Grade,
}

const fn row(name: &'static str, unit: &'static str, si: f64, min: f64, max: f64, grade: Grade) -> Plausible {
    Plausible { name, unit, si, min, max, grade }
}

/// Humidity up to this is read, as 100 %.
const HUMIDITY_READ_MOST: f64 = 110.0;

const DEG: f64 = core::f64::consts::PI / 180.0;

impl Field {
    pub fn plausible(self) -> Plausible {
        use Grade::{Derived, Estimate, Recalled};
        match self {
            Self::WaveHeight => row("wave height", "m", 1.0, 0.0, 30.0, Recalled),
            Self::PeakPeriod => row("peak period", "s", 1.0, 0.5, 40.0, Estimate),
            Self::MeanPeriod => row("mean period", "s", 1.0, 0.5, 40.0, Estimate),
            Self::WaveFrom => row("waves from", "°", DEG, 0.0, 360.0, Derived),
            Self::SwellHeight => row("swell height", "m", 1.0, 0.0, 30.0, Recalled),
            Self::SwellPeriod => row("swell period", "s", 1.0, 0.5, 40.0, Estimate),
            Self::SwellFrom => row("swell from", "°", DEG, 0.0, 360.0, Derived),
            Self::SecondSwellHeight => row("second swell height", "m", 1.0, 0.0, 30.0, Recalled),
            Self::SecondSwellPeriod => row("second swell period", "s", 1.0, 0.5, 40.0, Estimate),
            Self::SecondSwellFrom => row("second swell from", "°", DEG, 0.0, 360.0, Derived),
            Self::WindSeaHeight => row("wind sea height", "m", 1.0, 0.0, 30.0, Recalled),
            Self::WindSeaPeriod => row("wind sea period", "s", 1.0, 0.5, 40.0, Estimate),
            Self::WindSeaFrom => row("wind sea from", "°", DEG, 0.0, 360.0, Derived),
            Self::Wind => row("wind", "m/s", 1.0, 0.0, 100.0, Recalled),
            Self::Gust => row("gust", "m/s", 1.0, 0.0, 100.0, Recalled),
            Self::WindFrom => row("wind from", "°", DEG, 0.0, 360.0, Derived),
            Self::Air => row("air temperature", "C", 1.0, -60.0, 60.0, Recalled),
            Self::Water => row("water temperature", "C", 1.0, -3.0, 45.0, Estimate),
            Self::Dew => row("dew point", "C", 1.0, -80.0, 45.0, Estimate),
            Self::Pressure => row("air pressure", "hPa", 100.0, 850.0, 1100.0, Recalled),
            Self::PressureChange => row("pressure change", "hPa", 100.0, -50.0, 50.0, Estimate),
            Self::Visibility => row("visibility", "km", 1000.0, 0.0, 400.0, Estimate),
            Self::Humidity => row("humidity", "%", 1.0, 0.0, 100.0, Derived),
            Self::Thunder => row("chance of thunder", "%", 1.0, 0.0, 100.0, Derived),
            Self::Lightning => row("lightning level", "", 1.0, 0.0, 6.0, Recalled),
            Self::WaterLevel => row("water level", "m", 1.0, -20.0, 30.0, Estimate),
            Self::PredictedLevel => row("predicted level", "m", 1.0, -20.0, 30.0, Estimate),
            Self::Current => row("current", "m/s", 1.0, 0.0, 12.0, Estimate),
            Self::CurrentToward => row("current toward", "°", DEG, 0.0, 360.0, Derived),
        }
    }

    /// Whether a number of this quantity stands for none: a period of nothing is how an absent one is filled.
    pub fn filled(self, value: f64) -> bool {
        value == 0.0
            && matches!(
                self,
                Self::PeakPeriod
                    | Self::MeanPeriod
                    | Self::SwellPeriod
                    | Self::SecondSwellPeriod
                    | Self::WindSeaPeriod
            )
    }

    /// The value to keep of a number read, or why it is one that this quantity cannot have. `value` is SI.
    pub fn believe(self, value: f64) -> Result<f64, String> {
        let p = self.plausible();
        // Wet sensors and rounded forecasts go a little beyond full.
        if self == Self::Humidity && value > p.max && value <= HUMIDITY_READ_MOST {
            return Ok(p.max);
        }
        let shown = value / p.si;
        // A breath of room for the conversion of the unit.
        let room = 1.0e-9 * p.max;
        if shown >= p.min - room && shown <= p.max + room {
            return Ok(value);
        }
        Err(format!(
            "{} of {} {} is outside {} to {} {} ({})",
            p.name,
            crate::quantity::significant(shown, 4),
            p.unit,
            p.min,
            p.max,
            p.unit,
            p.grade.word()
        ))
    }
}

/// The ranges in which numbers of a file are believed, for whoever checks the same numbers again: what was read here is
/// within them.
pub mod believed {
    use super::{Angle, Field, Length, Pressure, Quantity, Span, Speed, Temperature};

    fn range<Q: Quantity>(field: Field) -> (Q, Q) {
        let p = field.plausible();
        (Q::from_si(p.min * p.si), Q::from_si(p.max * p.si))
    }

    /// Significant height of the sea or of one train.
    pub fn wave_height() -> (Length, Length) {
        range(Field::WaveHeight)
    }

    /// Peak or mean period.
    pub fn wave_period() -> (Span, Span) {
        range(Field::PeakPeriod)
    }

    /// Where waves or wind come from, where a current runs to.
    pub fn direction() -> (Angle, Angle) {
        range(Field::WaveFrom)
    }

    /// Wind and gusts.
    pub fn wind() -> (Speed, Speed) {
        range(Field::Wind)
    }

    /// Current.
    pub fn current() -> (Speed, Speed) {
        range(Field::Current)
    }

    /// Air.
    pub fn air_temperature() -> (Temperature, Temperature) {
        range(Field::Air)
    }

    /// Water at the surface.
    pub fn water_temperature() -> (Temperature, Temperature) {
        range(Field::Water)
    }

    /// Pressure at sea level.
    pub fn pressure() -> (Pressure, Pressure) {
        range(Field::Pressure)
    }

    /// How far one sees.
    pub fn visibility() -> (Length, Length) {
        range(Field::Visibility)
    }

    /// Water level above any datum.
    pub fn water_level() -> (Length, Length) {
        range(Field::WaterLevel)
    }

    /// Humidity and chances, percent.
    pub const PERCENT: (f64, f64) = (0.0, 100.0);

    /// Lightning activity level.
    pub const LIGHTNING_LEVEL: (f64, f64) = (0.0, 6.0);
}

/// A unit as one format writes it, and what one of it is in SI.
#[derive(Clone, Copy, Debug)]
pub(super) struct Unit {
    pub text: &'static str,
    factor: f64,
    offset: f64,
}

impl Unit {
    pub const fn of(text: &'static str, factor: f64) -> Self {
        Self { text, factor, offset: 0.0 }
    }

    /// Fahrenheit.
    pub const fn fahrenheit(text: &'static str) -> Self {
        Self { text, factor: 5.0 / 9.0, offset: -160.0 / 9.0 }
    }

    /// In degrees.
    pub const fn degrees(text: &'static str) -> Self {
        Self::of(text, DEG)
    }

    pub fn si(self, value: f64) -> f64 {
        value * self.factor + self.offset
    }
}

/// Metres in a foot, in a nautical and in a statute mile; metres a second in a knot (all exact).
pub(super) const M_PER_FT: f64 = crate::quantity::M_PER_FT;
pub(super) const M_PER_NMI: f64 = 1852.0;
pub(super) const M_PER_MI: f64 = 1609.344;
pub(super) const MPS_PER_KN: f64 = 1852.0 / 3600.0;

/// A number as files write it. Nothing for a missing code that stands in any column: empty, `MM`, NaN, `null`.
pub(super) fn number(text: &str) -> Result<Option<f64>, String> {
    let t = text.trim();
    let missing = ["", "MM", "NaN", "nan", "NAN", "null", "N/A"];
    if missing.contains(&t) {
        return Ok(None);
    }
    // Only digits, sign, point and exponent: Rust would also read `inf`.
    let plain = t.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.' | b'e' | b'E'));
    match t.parse::<f64>() {
        Ok(x) if plain && x.is_finite() => Ok(Some(x)),
        _ => Err("this is no number".into()),
    }
}

/// Degrees of the sixteen compass words; each covers 11.25 degrees either side.
pub(super) fn compass_deg(word: &str) -> Option<f64> {
    const WORDS: [&str; 16] =
        ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];
    WORDS.iter().position(|w| *w == word).map(|i| 22.5 * i as f64)
}

/// Half of what a compass word covers, degrees.
pub(super) const COMPASS_WITHIN_DEG: f64 = 11.25;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wave_of_900_m_is_no_wave() {
        assert_eq!(Field::WaveHeight.believe(19.0), Ok(19.0));
        let why = Field::WaveHeight.believe(900.0).unwrap_err();
        assert_eq!(why, "wave height of 900 m is outside 0 to 30 m (recalled)");
        assert!(Field::WaveHeight.believe(f64::NAN).is_err());
        assert!(Field::WaveFrom.believe(Unit::degrees("degT").si(360.0)).is_ok());
        assert!(Field::WaveFrom.believe(Unit::degrees("degT").si(361.0)).is_err());
        assert!(Field::Pressure.believe(Unit::of("hPa", 100.0).si(999.0)).is_ok());
        assert!((Unit::fahrenheit("F").si(32.0)).abs() < 1e-12);
    }

    #[test]
    fn damp_beyond_full_is_full() {
        assert_eq!(Field::Humidity.believe(100.4), Ok(100.0));
        assert_eq!(Field::Humidity.believe(110.0), Ok(100.0));
        assert_eq!(Field::Humidity.believe(99.6), Ok(99.6));
        assert!(Field::Humidity.believe(110.5).is_err() && Field::Humidity.believe(-1.0).is_err());
        // No other quantity is bent into its range.
        assert!(Field::Thunder.believe(100.4).is_err() && Field::Gust.believe(101.0).is_err());
    }

    #[test]
    fn ranges_told_to_others_are_the_ones_applied() {
        use super::believed;
        use Field as F;
        fn si<Q: Quantity>(r: (Q, Q)) -> (f64, f64) {
            (r.0.si(), r.1.si())
        }
        let same = |field: Field, (min, max): (f64, f64)| {
            let p = field.plausible();
            assert!((min - p.min * p.si).abs() < 1e-9 && (max - p.max * p.si).abs() < 1e-9, "{}", p.name);
        };
        for f in [F::WaveHeight, F::SwellHeight, F::SecondSwellHeight, F::WindSeaHeight] {
            same(f, si(believed::wave_height()));
        }
        for f in [F::PeakPeriod, F::MeanPeriod, F::SwellPeriod, F::SecondSwellPeriod, F::WindSeaPeriod] {
            same(f, si(believed::wave_period()));
        }
        for f in
            [F::WaveFrom, F::SwellFrom, F::SecondSwellFrom, F::WindSeaFrom, F::WindFrom, F::CurrentToward]
        {
            same(f, si(believed::direction()));
        }
        for f in [F::Wind, F::Gust] {
            same(f, si(believed::wind()));
        }
        for f in [F::WaterLevel, F::PredictedLevel] {
            same(f, si(believed::water_level()));
        }
        for f in [F::Humidity, F::Thunder] {
            same(f, believed::PERCENT);
        }
        same(F::Lightning, believed::LIGHTNING_LEVEL);
        same(F::Current, si(believed::current()));
        same(F::Air, si(believed::air_temperature()));
        same(F::Water, si(believed::water_temperature()));
        same(F::Pressure, si(believed::pressure()));
        same(F::Visibility, si(believed::visibility()));
    }

    #[test]
    fn numbers_are_numbers_and_missing_is_missing() {
        assert_eq!(number(" +0.3 "), Ok(Some(0.3)));
        assert_eq!(number("6"), Ok(Some(6.0)));
        for t in ["", "MM", "NaN", "null", "  "] {
            assert_eq!(number(t), Ok(None), "{t}");
        }
        for t in ["inf", "1e999", "0x10", "1,5", "--3", "SWELL", "MM5", "infinity"] {
            assert!(number(t).is_err(), "{t}");
        }
    }

    #[test]
    fn compass_words_go_round_in_sixteen_steps() {
        assert_eq!(
            [compass_deg("N"), compass_deg("WNW"), compass_deg("NNE")],
            [Some(0.0), Some(292.5), Some(22.5)]
        );
        assert_eq!([compass_deg("n"), compass_deg("NWN"), compass_deg("")], [None; 3]);
    }
}
