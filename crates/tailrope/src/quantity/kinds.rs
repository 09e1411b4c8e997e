//! The kinds of quantity, their SI unit, their other units and the bounds in which a number makes sense.

use super::parse::{Quantity, Unit};
use super::{G_M_S2, M_PER_FT, N_PER_LBF};

/// Defines one kind: the type, its constructors and getters, its table of units.
macro_rules! kind {
    (
        $(#[$doc:meta])*
        $name:ident, $what:literal, si = $si:literal, example = $example:literal, bounds = $min:expr, $max:expr;
        scales { $( $of:ident / $get:ident = $factor:expr, $unit_doc:literal; )+ }
        units { $( $($spelling:literal)|+ => $unit_factor:expr $(, + $offset:expr)? ; )+ }
        foreign { $( $($wrong:literal)|+ => $hint:literal; )* }
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            $(
                #[doc = concat!("From ", $unit_doc, ".")]
                pub const fn $of(value: f64) -> Self { Self(value * $factor) }
                #[doc = concat!("In ", $unit_doc, ".")]
                pub const fn $get(self) -> f64 { self.0 / $factor }
            )+
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
        }

        impl Quantity for $name {
            const WHAT: &'static str = $what;
            const SI: &'static str = $si;
            const EXAMPLE: &'static str = $example;
            const MIN_SI: f64 = $min;
            const MAX_SI: f64 = $max;
            const UNITS: &'static [Unit] = &[
                $( Unit { spellings: &[$($spelling),+], factor: $unit_factor, offset: 0.0 $( + $offset )? }, )+
            ];
            const FOREIGN: &'static [(&'static [&'static str], &'static str)] = &[ $( (&[$($wrong),+], $hint), )* ];
            fn from_si(value: f64) -> Self { Self(value) }
            fn si(self) -> f64 { self.0 }
        }

        impl core::ops::Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl core::ops::Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl core::ops::Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl core::ops::Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl core::ops::Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl core::ops::Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl core::iter::Sum for $name { fn sum<I: Iterator<Item = Self>>(it: I) -> Self { Self(it.map(|x| x.0).sum()) } }

        impl core::str::FromStr for $name {
            type Err = crate::Error;
            fn from_str(text: &str) -> crate::Result<Self> { super::parse::parse(text) }
        }
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> { super::parse::deserialize(d) }
        }
        /// Written as text in SI, in the shortest form that reads back to the same bits.
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.serialize_str(&super::parse::written(*self))
            }
        }
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> { stringify!($name).into() }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema { super::parse::schema::<Self>() }
        }
    };
}

kind! {
    /// A length, distance, height or depth; metres inside.
    Length, "a length", si = "m", example = "2.4m, 8ft 6in, 600yd, 0.90mm", bounds = -1.0e5, 1.0e7;
    scales {
        of_m / m = 1.0, "metres";
        of_cm / cm = 0.01, "centimetres";
        of_mm / mm = 0.001, "millimetres";
        of_km / km = 1000.0, "kilometres";
        of_ft / ft = M_PER_FT, "feet";
        of_in / inches = M_PER_FT / 12.0, "inches";
        of_yd / yd = 3.0 * M_PER_FT, "yards";
    }
    units {
        "m" | "metre" | "metres" | "meter" | "meters" => 1.0;
        "cm" => 0.01; "mm" => 0.001; "km" => 1000.0;
        "ft" | "foot" | "feet" | "'" => M_PER_FT;
        "in" | "inch" | "inches" | "\"" => M_PER_FT / 12.0;
        "yd" | "yds" | "yard" | "yards" => 3.0 * M_PER_FT;
        "mi" | "mile" | "miles" => 1609.344; "nmi" | "nm" => 1852.0;
    }
    foreign { "min" | "s" | "h" => "that is a time"; "kg" | "lb" => "that is a mass"; "lbf" | "n" | "kgf" => "that is a force"; }
}
kind! {
    /// A mass; kilograms inside. Refuses units of force.
    Mass, "a mass", si = "kg", example = "85kg, 190lb, 150g, 5oz", bounds = 0.0, 1.0e5;
    scales {
        of_kg / kg = 1.0, "kilograms";
        of_g / g = 0.001, "grams";
        of_lb / lb = 0.45359237, "pounds";
    }
    units { "kg" => 1.0; "g" => 0.001; "lb" | "lbs" => 0.45359237; "oz" => 0.45359237 / 16.0; "t" => 1000.0; }
    foreign { "n" | "lbf" | "kgf" | "kn" => "that is a force; a person, fish or sinker has a mass: write kg or lb";
              "st" | "stone" => "write kilograms or pounds"; "m" | "ft" => "that is a length"; }
}
kind! {
    /// A force, tension, drag or breaking strength; newtons inside. `lb` and `kg` are read as lbf and kgf.
    Force, "a force", si = "N", example = "28lbf, 125N, 12.7kgf; 80lb on a line is 80 lbf", bounds = -1.0e6, 1.0e6;
    scales {
        of_n / n = 1.0, "newtons";
        of_lbf / lbf = N_PER_LBF, "pounds-force";
        of_kgf / kgf = G_M_S2, "kilograms-force";
    }
    units { "n" => 1.0; "lbf" | "lb" | "lbs" => N_PER_LBF; "kgf" | "kg" => G_M_S2; }
    foreign { "kn" => "`kn` is a knot here; write newtons: 1200N"; "nm" => "that is a torque or a distance"; "m" | "ft" => "that is a length"; "g" => "that is a small mass; write N or lbf"; }
}
kind! {
    /// An angle; radians inside.
    Angle, "an angle", si = "rad", example = "10deg, 0.5rad", bounds = -1.0e3, 1.0e3;
    scales {
        of_rad / rad = 1.0, "radians";
        of_deg / deg = core::f64::consts::PI / 180.0, "degrees";
    }
    units { "rad" => 1.0; "deg" | "degree" | "degrees" | "°" => core::f64::consts::PI / 180.0; }
    foreign { "c" | "f" => "that is a temperature"; "%" => "write a slope as 1:50, an angle in degrees"; }
}
kind! {
    /// A speed; metres a second inside.
    Speed, "a speed", si = "m/s", example = "0.6m/s, 12kn, 10mph", bounds = -1.0e3, 1.0e3;
    scales {
        of_mps / mps = 1.0, "metres a second";
        of_kn / kn = 1852.0 / 3600.0, "knots";
    }
    units { "m/s" | "mps" => 1.0; "kn" | "kt" | "kts" | "knots" | "knot" => 1852.0 / 3600.0; "km/h" | "kmh" => 1.0 / 3.6;
            "mph" => 1609.344 / 3600.0; "ft/s" | "fps" => M_PER_FT; "m/min" => 1.0 / 60.0; }
    foreign { "m" | "ft" => "that is a length: say in what time"; }
}
kind! {
    /// A stretch of time; seconds inside.
    Span, "a stretch of time", si = "s", example = "5s, 25min, 3h, 2h 30min, 5d", bounds = 0.0, 1.0e10;
    scales {
        of_s / s = 1.0, "seconds";
        of_min / min_ = 60.0, "minutes";
        of_h / h = 3600.0, "hours";
        of_d / d = 86400.0, "days";
    }
    units { "s" | "sec" | "secs" | "second" | "seconds" => 1.0; "min" | "mins" | "minute" | "minutes" => 60.0;
            "h" | "hr" | "hrs" | "hour" | "hours" => 3600.0; "d" | "day" | "days" => 86400.0; }
    foreign { "m" => "`m` is metres: write min for minutes"; "ft" => "that is a length"; }
}
kind! {
    /// A temperature; degrees Celsius inside (the one kind whose units have an offset).
    Temperature, "a temperature", si = "C", example = "21C, 78F", bounds = -90.0, 100.0;
    scales {
        of_c / c = 1.0, "degrees Celsius";
    }
    units { "c" | "°c" | "degc" => 1.0; "f" | "°f" | "degf" => 5.0 / 9.0, + (-160.0 / 9.0); "k" => 1.0, + (-273.15); }
    foreign { "deg" | "°" => "say 21C or 70F"; }
}
kind! {
    /// A torque; newton metres inside.
    Torque, "a torque", si = "N·m", example = "150N·m", bounds = 0.0, 1.0e6;
    scales {
        of_nm / nm = 1.0, "newton metres";
    }
    units { "n·m" | "nm" | "n*m" | "n m" => 1.0; "lbf·ft" | "lbf*ft" | "lbfft" | "ftlbf" => N_PER_LBF * M_PER_FT; }
    foreign { "n" | "lbf" => "that is a force: say at what arm"; }
}
kind! {
    /// An energy; joules inside.
    Energy, "an energy", si = "J", example = "40J", bounds = 0.0, 1.0e12;
    scales {
        of_j / j = 1.0, "joules";
    }
    units { "j" => 1.0; "kj" => 1000.0; }
    foreign { }
}
kind! {
    /// A power; watts inside.
    Power, "a power", si = "W", example = "60W, 0.2hp", bounds = 0.0, 1.0e6;
    scales {
        of_w / w = 1.0, "watts";
        of_hp / hp = 745.6998715822702, "mechanical horsepower";
    }
    units { "w" => 1.0; "hp" => 745.6998715822702; }
    foreign { }
}
kind! {
    /// An area; square metres inside.
    Area, "an area", si = "m2", example = "0.5m2", bounds = 0.0, 1.0e9;
    scales {
        of_m2 / m2 = 1.0, "square metres";
    }
    units { "m2" | "m²" => 1.0; "cm2" | "cm²" => 1.0e-4; "mm2" | "mm²" => 1.0e-6; "ft2" | "ft²" => M_PER_FT * M_PER_FT; }
    foreign { }
}
kind! {
    /// A density; kilograms a cubic metre inside.
    Density, "a density", si = "kg/m3", example = "1025kg/m3", bounds = 0.0, 3.0e4;
    scales {
        of_kg_m3 / kg_m3 = 1.0, "kilograms a cubic metre";
    }
    units { "kg/m3" | "kg/m³" => 1.0; "g/cm3" => 1000.0; }
    foreign { }
}
kind! {
    /// A pressure or a stress; pascals inside.
    Pressure, "a pressure or stress", si = "Pa", example = "1013hPa, 540MPa", bounds = 0.0, 1.0e13;
    scales {
        of_pa / pa = 1.0, "pascals";
        of_mpa / mpa = 1.0e6, "megapascals";
        of_gpa / gpa = 1.0e9, "gigapascals";
    }
    units { "pa" => 1.0; "hpa" | "mbar" => 100.0; "kpa" => 1.0e3; "mpa" => 1.0e6; "gpa" => 1.0e9; }
    foreign { }
}
kind! {
    /// An acceleration; metres a second squared inside.
    Acceleration, "an acceleration", si = "m/s2", example = "20m/s2", bounds = -1.0e6, 1.0e6;
    scales {
        of_mps2 / mps2 = 1.0, "metres a second squared";
    }
    units { "m/s2" | "m/s²" => 1.0; }
    foreign { }
}

/// A water current is a speed; the name says what it means where it stands.
pub type Current = Speed;
