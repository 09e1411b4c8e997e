//! Compounds read by their letters: `2MK5` is twice M2 and once K1, with 5 cycles a day.
//!
//! The rule (IHO, standard list of tidal constituents, annex B, 2017): add what the letters stand for; while that
//! makes too many cycles a day, turn the signs of the letters round from the right. Arguments and node angles are
//! added with their signs, node factors are multiplied whatever the sign. K is K2 where that fits, else K1. A name
//! of one letter is an overtide (`N4`, `M10`).

use super::constituent::{CONSTITUENTS, Constituent};
use std::borrow::Cow;

/// What a letter stands for.
fn letter(letter: u8, k: &'static str) -> Option<&'static Constituent> {
    let name = match letter {
        b'M' => "M2",
        b'S' => "S2",
        b'N' => "N2",
        b'L' => "L2",
        b'T' => "T2",
        b'R' => "R2",
        b'O' => "O1",
        b'P' => "P1",
        b'K' => k,
        _ => return None,
    };
    CONSTITUENTS.iter().find(|c| c.name == name)
}

/// The constituent of a name, if its letters make the cycles a day it ends with.
pub(super) fn compound(name: &'static str) -> Option<Constituent> {
    ["K2", "K1"].iter().find_map(|k| read(name, k))
}

fn read(name: &'static str, k: &'static str) -> Option<Constituent> {
    let body = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let cycles: i32 = name.get(body.len()..)?.parse().ok()?;
    let mut parts: Vec<(i32, &Constituent)> = Vec::new();
    let mut times = 0;
    for b in body.bytes() {
        if b.is_ascii_digit() {
            times = 10 * times + i32::from(b - b'0');
        } else {
            parts.push((times.max(1), letter(b, k)?));
            times = 0;
        }
    }
    if let [(times, c)] = &mut parts[..] {
        *times = cycles / i32::from(c.v[0]);
    }
    let sum =
        |parts: &[(i32, &Constituent)]| -> i32 { parts.iter().map(|(n, c)| n * i32::from(c.v[0])).sum() };
    for i in (0..parts.len()).rev() {
        if sum(&parts) <= cycles {
            break;
        }
        parts.get_mut(i)?.0 *= -1;
    }
    if sum(&parts) != cycles {
        return None;
    }
    let mut made = Constituent { name, v: [0; 5], constant_deg: 0.0, node: Cow::Borrowed(&[]), scale: 1.0 };
    let mut node: Vec<_> = Vec::new();
    for (n, c) in parts {
        for (sum, v) in made.v.iter_mut().zip(c.v) {
            *sum = i8::try_from(i32::from(*sum) + n * i32::from(v)).ok()?;
        }
        made.constant_deg += f64::from(n) * c.constant_deg;
        for (base, power, multiple) in c.node.iter() {
            let (power, multiple) = (power * f64::from(n.abs()), multiple * f64::from(n));
            match node.iter_mut().find(|(b, _, _)| b == base) {
                Some((_, p, m)) => {
                    *p += power;
                    *m += multiple;
                }
                None => node.push((*base, power, multiple)),
            }
        }
    }
    made.node = Cow::Owned(node);
    Some(made)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sea::tide::astro::Base;

    #[test]
    fn letters_give_what_the_agency_s_table_says() {
        // The table was written down by itself, from Schureman's compounds.
        for name in ["MK3", "M4", "M6", "M8", "S4", "S6", "MN4", "2SM2", "2MK3", "MS4"] {
            let table = CONSTITUENTS.iter().find(|c| c.name == name).unwrap();
            let read = compound(name).unwrap();
            assert_eq!((read.v, read.constant_deg), (table.v, table.constant_deg), "{name}");
            let mut node = read.node.into_owned();
            node.sort_by_key(|(b, _, _)| *b == Base::K1);
            assert_eq!(node, table.node.to_vec(), "{name}");
        }
    }

    #[test]
    fn signs_turn_from_the_right_until_the_cycles_fit() {
        let of = |name| compound(name).unwrap();
        // 2 S + N - M - K2.
        assert_eq!(of("2SNMK2").v, [2, -1, -2, 1, 0]);
        // f multiplied for each letter, u added with its sign.
        assert_eq!(of("3MS4").node.to_vec(), [(Base::M2, 3.0, 3.0)]);
        assert_eq!(of("MSN2").node.to_vec(), [(Base::M2, 2.0, 0.0)]);
        // K is K1 in an odd species, and in 3KM5 three of it.
        assert_eq!((of("3KM5").v, of("3KM5").constant_deg), ([5, -2, 5, 0, 0], -270.0));
        assert_eq!(of("MSK6").node.last().map(|n| n.0), Some(Base::K2));
        for nonsense in ["", "5", "M", "MX4", "M2S", "99M5", "2MS8"] {
            assert_eq!(compound(nonsense), None, "{nonsense}");
        }
    }
}
