//! Reading and writing quantities as people type them.

use crate::{Error, Result};
use serde::{Deserializer, de};

/// One unit of a kind: how it may be spelled (lower case) and what it is in SI.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// Spellings in lower case, the preferred one first.
    pub spellings: &'static [&'static str],
    /// SI value of one.
    pub factor: f64,
    /// SI value of zero (temperatures only).
    pub offset: f64,
}

/// What all kinds of quantity share.
pub trait Quantity: Copy {
    /// Kind with its article: "a length".
    const WHAT: &'static str;
    /// Symbol of the SI unit in which it is kept.
    const SI: &'static str;
    /// Examples for refusals.
    const EXAMPLE: &'static str;
    /// Least value that a person can mean, SI.
    const MIN_SI: f64;
    /// Greatest value that a person can mean, SI.
    const MAX_SI: f64;
    /// All units accepted.
    const UNITS: &'static [Unit];
    /// Units of another kind, and what to say about them.
    const FOREIGN: &'static [(&'static [&'static str], &'static str)];
    /// From the SI number.
    fn from_si(value: f64) -> Self;
    /// The SI number.
    fn si(self) -> f64;

    /// Refuses a value outside `min..=max`, naming the quantity, the value and the range.
    ///
    /// `name` is what the crew calls it ("size of the fish").
    ///
    /// ```
    /// use tailrope::quantity::{Length, Quantity};
    /// let e = Length::of_m(40.0).within("size of the fish", Length::of_m(0.2), Length::of_m(8.0)).unwrap_err();
    /// assert_eq!(e.error, "size of the fish is 40 m");
    /// assert_eq!(e.allowed, "0.2 m to 8 m");
    /// ```
    fn within(self, name: &str, min: Self, max: Self) -> Result<Self> {
        if self.si() >= min.si() && self.si() <= max.si() {
            return Ok(self);
        }
        Err(Error::new(
            format!("{name} is {} {}", self.si(), Self::SI),
            format!("{} {} to {} {}", min.si(), Self::SI, max.si(), Self::SI),
            "check the number and its unit",
        ))
    }
}

fn refuse<Q: Quantity>(text: &str, why: &str, remedy: &str) -> Error {
    let units: Vec<&str> = Q::UNITS.iter().map(|u| u.spellings[0]).collect();
    let mut shown: String = text.chars().take(40).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    Error::new(
        format!("`{shown}` is not {}: {why}", Q::WHAT),
        format!("a number with one of {}", units.join(", ")),
        if remedy.is_empty() { format!("write it like {}", Q::EXAMPLE) } else { remedy.to_owned() },
    )
}

/// Splits a leading number off `text`. A comma followed by one or two digits, or by more than three, is a
/// decimal comma; `1,200` could be either and is refused by the caller.
fn leading_number(text: &str) -> Option<(f64, &str)> {
    let mut end = 0;
    let bytes = text.as_bytes();
    while end < bytes.len() {
        let c = bytes[end];
        let sign = (c == b'+' || c == b'-') && (end == 0 || matches!(bytes[end - 1], b'e' | b'E'));
        let exponent = matches!(c, b'e' | b'E')
            && end > 0
            && bytes.get(end + 1).is_some_and(|n| n.is_ascii_digit() || *n == b'-' || *n == b'+')
            && (bytes[end + 1].is_ascii_digit() || bytes.get(end + 2).is_some_and(u8::is_ascii_digit));
        if c.is_ascii_digit() || c == b'.' || c == b',' || sign || exponent {
            end += 1;
        } else {
            break;
        }
    }
    let number = text[..end].replace(',', ".");
    let value: f64 = number.parse().ok()?;
    Some((value, text[end..].trim_start()))
}

/// Whether `text` holds a comma that may be a thousands mark: refused rather than guessed.
fn ambiguous_comma(text: &str) -> bool {
    let digits_after = |i: usize| text[i + 1..].bytes().take_while(u8::is_ascii_digit).count();
    text.match_indices(',').any(|(i, _)| digits_after(i) == 3)
}

/// Reads one quantity: a number and a unit, or several of falling size (`8ft 6in`, `2h 30min`).
pub(super) fn parse<Q: Quantity>(text: &str) -> Result<Q> {
    let whole = text.trim();
    if whole.is_empty() {
        return Err(refuse::<Q>(text, "it is empty", ""));
    }
    if ambiguous_comma(whole) {
        return Err(refuse::<Q>(
            text,
            "the comma could mark thousands or decimals",
            "write it without the comma, decimals with a point",
        ));
    }
    let negative = whole.starts_with('-');
    let mut rest = whole;
    let mut sum = 0.0;
    let mut last_factor = f64::INFINITY;
    let mut parts = 0;
    while !rest.is_empty() {
        let Some((number, after)) = leading_number(rest) else {
            let why =
                if parts == 0 { "it does not begin with a number" } else { "something stands behind it" };
            return Err(refuse::<Q>(text, why, ""));
        };
        let unit_end = after
            .find(|c: char| c.is_ascii_digit() && !after.starts_with(c) || c == ' ' || c == '+')
            .map_or(after.len(), |i| {
                // `m2`, `kg/m3`, `m/s2`: a digit right behind letters belongs to the unit if such a unit exists.
                let with_digit =
                    &after[..after[i..].char_indices().nth(1).map_or(after.len(), |(n, _)| i + n)];
                if find_unit::<Q>(with_digit).is_some() { with_digit.len() } else { i }
            });
        let name = after[..unit_end].trim();
        if name.is_empty() {
            return Err(refuse::<Q>(text, "the unit is missing", ""));
        }
        let Some(unit) = find_unit::<Q>(name) else {
            let lower = name.to_lowercase();
            let hint = Q::FOREIGN.iter().find(|(names, _)| names.contains(&lower.as_str())).map(|(_, h)| *h);
            let why = match hint {
                Some(hint) => hint.to_owned(),
                None => format!("unknown unit `{}`", name.chars().take(20).collect::<String>()),
            };
            return Err(refuse::<Q>(text, &why, ""));
        };
        if parts > 0 && (unit.factor >= last_factor || number < 0.0 || unit.offset != 0.0) {
            return Err(refuse::<Q>(text, "its parts must go from the larger unit to the smaller", ""));
        }
        let magnitude = if parts > 0 && negative { -number } else { number };
        sum += magnitude * unit.factor + unit.offset;
        last_factor = unit.factor;
        parts += 1;
        rest = after[unit_end..].trim_start();
    }
    if !sum.is_finite() {
        return Err(refuse::<Q>(text, "it is no finite number", ""));
    }
    if sum < Q::MIN_SI || sum > Q::MAX_SI {
        return Err(refuse::<Q>(
            text,
            "it is beyond anything this can mean",
            "check the number and its unit",
        ));
    }
    Ok(Q::from_si(sum))
}

fn find_unit<Q: Quantity>(name: &str) -> Option<&'static Unit> {
    let lower = name.trim().to_lowercase();
    Q::UNITS.iter().find(|u| u.spellings.contains(&lower.as_str()))
}

/// SI text that reads back to the same bits.
pub(super) fn written<Q: Quantity>(q: Q) -> String {
    format!("{}{}", q.si(), Q::SI)
}

pub(super) fn deserialize<'de, Q: Quantity, D: Deserializer<'de>>(d: D) -> Result<Q, D::Error> {
    struct Visit<Q>(core::marker::PhantomData<Q>);
    impl<Q: Quantity> Visit<Q> {
        fn bare<T, E: de::Error>(number: impl core::fmt::Display) -> Result<T, E> {
            Err(E::custom(refuse::<Q>(
                &number.to_string(),
                "the unit is missing",
                &format!("put it in quotes with its unit, like {}", Q::EXAMPLE),
            )))
        }
    }
    impl<Q: Quantity> de::Visitor<'_> for Visit<Q> {
        type Value = Q;
        fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
            write!(f, "{} with its unit in quotes, like {}", Q::WHAT, Q::EXAMPLE)
        }
        fn visit_str<E: de::Error>(self, text: &str) -> Result<Q, E> {
            parse(text).map_err(E::custom)
        }
        fn visit_i64<E: de::Error>(self, v: i64) -> Result<Q, E> {
            Self::bare(v)
        }
        fn visit_u64<E: de::Error>(self, v: u64) -> Result<Q, E> {
            Self::bare(v)
        }
        fn visit_f64<E: de::Error>(self, v: f64) -> Result<Q, E> {
            Self::bare(v)
        }
    }
    d.deserialize_any(Visit(core::marker::PhantomData))
}

pub(super) fn schema<Q: Quantity>() -> schemars::Schema {
    schemars::json_schema!({
        "type": "string",
        "description": format!("{} with its unit, like {}", Q::WHAT, Q::EXAMPLE),
    })
}

#[cfg(test)]
mod tests {
    use super::super::*;
    use proptest::prelude::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-12 * b.abs().max(1.0)
    }

    #[test]
    fn reads_what_crews_write() {
        assert!(close("28lbf".parse::<Force>().unwrap().n(), 124.550205227294));
        assert!(close("80lb".parse::<Force>().unwrap().lbf(), 80.0));
        assert!(close("11,2 kg".parse::<Force>().unwrap().kgf(), 11.2));
        assert!(close("8ft 6in".parse::<Length>().unwrap().m(), 2.5908));
        assert!(close("8ft6in".parse::<Length>().unwrap().m(), 2.5908));
        assert!(close("5' 4\"".parse::<Length>().unwrap().m(), 1.6256));
        assert!(close("600 yd".parse::<Length>().unwrap().m(), 548.64));
        assert!(close("0.90mm".parse::<Length>().unwrap().m(), 0.0009));
        assert!(close("78F".parse::<Temperature>().unwrap().c(), 25.555555555555557));
        assert!(close("12kn".parse::<Speed>().unwrap().mps(), 6.173333333333333));
        assert!(close("2h 30min".parse::<Span>().unwrap().min_(), 150.0));
        assert!(close("-1ft 6in".parse::<Length>().unwrap().m(), -0.4572));
        assert!(close("0.5m2".parse::<Area>().unwrap().m2(), 0.5));
        assert!(close("1025 kg/m3".parse::<Density>().unwrap().kg_m3(), 1025.0));
        assert!(close("1e3m".parse::<Length>().unwrap().m(), 1000.0));
    }

    #[test]
    fn refuses_with_the_fix_named() {
        let say = |r: crate::Result<Mass>| r.unwrap_err().to_string();
        assert_eq!(
            say("85".parse()),
            "`85` is not a mass: the unit is missing; allowed: a number with one of kg, g, lb, oz, t; do: write it like 85kg, 190lb, 150g, 5oz"
        );
        assert!(say("187lbf".parse()).contains("that is a force"));
        assert!(say("12 stone".parse()).contains("write kilograms or pounds"));
        assert!(say("-3kg".parse()).contains("beyond anything"));
        assert!(say("NaNkg".parse()).contains("does not begin with a number"));
        assert!(say("1e999kg".parse()).contains("no finite number"));
        assert!(say("".parse()).contains("empty"));
        assert!("1,200kg".parse::<Mass>().unwrap_err().to_string().contains("comma"));
        assert!("6in 8ft".parse::<Length>().unwrap_err().to_string().contains("larger unit"));
        assert!("25m".parse::<Span>().unwrap_err().to_string().contains("write min"));
        assert!("1.2kN".parse::<Force>().unwrap_err().to_string().contains("newtons"));
        assert!("3m of it".parse::<Length>().is_err());
    }

    #[test]
    fn a_number_in_a_file_needs_its_unit() {
        #[derive(Debug, serde::Deserialize)]
        struct T {
            #[allow(dead_code)]
            mass: Mass,
        }
        let e = toml::from_str::<T>("mass = 85").unwrap_err().to_string();
        assert!(e.contains("the unit is missing") && e.contains("in quotes"), "{e}");
    }

    proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,24}") {
            let _ = text.parse::<Length>();
            let _ = text.parse::<Force>();
            let _ = text.parse::<Temperature>();
            let _ = text.parse::<Torque>();
        }

        #[test]
        fn mangled_numbers_never_panic(text in "[-+]?[0-9.,eE]{0,8} ?(ft|in|m|lbf|kg|°|m2|·)? ?[0-9]{0,3}(in|')?") {
            let _ = text.parse::<Length>();
            let _ = text.parse::<Area>();
        }

        #[test]
        fn written_reads_back_to_the_same_bits(x in -1.0e5..1.0e6f64) {
            let f = Force::of_n(x);
            prop_assert_eq!(super::written(f).parse::<Force>().unwrap().n().to_bits(), x.to_bits());
        }
    }
}
