//! Parts of a rig from a few words, in any order: `1.5m cable 480lb`, `circle,5.2mm,gap 34mm`, `150g weak-link`.
//!
//! Words are separated by blanks or commas. A length in millimetres is a diameter, any other the length of the
//! section; a force is the strength on the label. `#` and words of the trade otherwise follow the rig file: material,
//! kind of joint (for both ends), style and metal of the hook. What is not said stays unknown.

use super::{Arm, Connector, Section, SectionRole, Sinker, SinkerHang};
use crate::facts::Known;
use crate::quantity::{Force, Length, Mass};
use crate::tackle::hook::{Hook, HookMetal};
use crate::tackle::{HookStyle, Joint, JointKind, Material};
use crate::{Error, Result};

/// The words of a part, with `name value` and `name=value` alike.
fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| c.is_whitespace() || c == ',' || c == '=').filter(|w| !w.is_empty()).collect()
}

/// Whether a word is a number with the unit of a diameter.
fn is_diameter(word: &str) -> bool {
    word.to_ascii_lowercase().ends_with("mm") && word.starts_with(|c: char| c.is_ascii_digit() || c == '.')
}

fn starts_as_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))
}

fn refuse(word: &str, allowed: &str, remedy: &str) -> Error {
    let shown: String = word.chars().take(40).collect();
    Error::new(format!("`{shown}` says nothing about this part"), allowed, remedy)
}

/// The value behind a name, or a refusal.
fn value<'a>(name: &str, rest: &mut impl Iterator<Item = &'a str>) -> Result<&'a str> {
    rest.next().ok_or_else(|| {
        Error::new(format!("`{name}` has no value"), "a quantity behind it", "write it like `gap 34mm`")
    })
}

/// A section: `1.5m cable 480lb 1.59mm crimp`, with `swivel 800lb` for what hangs above it and `padded` for a hand
/// section under a hose. Refuses a word it does not know.
pub fn section(role: SectionRole, text: &str) -> Result<Section> {
    let mut s = Section {
        role,
        material: Known::Unknown,
        diameter: Known::Unknown,
        strength: Known::Unknown,
        length: Known::Unknown,
        wet_break: Known::Unknown,
        age_kept: Known::Unknown,
        wear: Known::Unknown,
        wear_kept: Known::Unknown,
        padded: Known::Unknown,
        connector: None,
        top: Joint::default(),
        bottom: Joint::default(),
    };
    let mut rest = words(text).into_iter();
    while let Some(w) = rest.next() {
        let lower = w.to_ascii_lowercase();
        if lower == "swivel" {
            let strength: Force = value(w, &mut rest)?.parse()?;
            s.connector = Some(Connector { strength: Known::Known(strength), ..Connector::default() });
        } else if lower == "padded" {
            s.padded = Known::Known(true);
        } else if let Ok(m) = Material::from_word(&lower) {
            s.material = Known::Known(m);
        } else if let Ok(k) = JointKind::from_word(&lower) {
            (s.top, s.bottom) = (Joint::of(k), Joint::of(k));
        } else if is_diameter(w) {
            s.diameter = Known::Known(w.parse()?);
        } else if let Ok(l) = w.parse::<Length>() {
            s.length = Known::Known(l);
        } else if starts_as_number(w) {
            s.strength = Known::Known(w.parse::<Force>()?);
        } else {
            return Err(refuse(
                w,
                "a length, a diameter in mm, a strength, a material, a kind of joint, swivel STRENGTH, padded",
                "write it like `1.5m cable 480lb crimp`",
            ));
        }
    }
    Ok(s)
}

/// A hook: `circle 18/0 5.2mm inline carbon-steel gap 34mm point 27mm shank 60mm x1`. A bare diameter is the wire.
/// Refuses a word it does not know.
pub fn hook(text: &str) -> Result<Hook> {
    let mut h = Hook::default();
    let mut rest = words(text).into_iter();
    while let Some(w) = rest.next() {
        let lower = w.to_ascii_lowercase();
        let count = lower.strip_prefix('x').and_then(|n| n.parse::<u8>().ok());
        match lower.as_str() {
            "circle" => h.style = Known::Known(HookStyle::Circle),
            "j" => h.style = Known::Known(HookStyle::J),
            "treble" => h.style = Known::Known(HookStyle::Treble),
            "offset" => h.offset = Known::Known(true),
            "inline" | "in-line" | "non-offset" => h.offset = Known::Known(false),
            "stainless" => h.metal = Known::Known(HookMetal::Stainless),
            "carbon-steel" | "carbon" => h.metal = Known::Known(HookMetal::CarbonSteel),
            "gap" => h.gap = Known::Known(value(w, &mut rest)?.parse()?),
            "point" => h.point_to_shank = Known::Known(value(w, &mut rest)?.parse()?),
            "shank" => h.shank = Known::Known(value(w, &mut rest)?.parse()?),
            "width" => h.width = Known::Known(value(w, &mut rest)?.parse()?),
            "opens" => h.straightens_at = Known::Known(value(w, &mut rest)?.parse()?),
            _ if count.is_some() => h.count = count.into(),
            _ if lower.ends_with("/0") => {
                let size = lower.trim_end_matches("/0").parse::<f64>();
                h.size = Known::Known(size.map_err(|_| refuse(w, "18/0", "write the size like 18/0"))?);
            }
            _ if is_diameter(w) => h.wire = Known::Known(w.parse()?),
            _ => {
                return Err(refuse(
                    w,
                    "circle, j, treble, inline, offset, carbon-steel, stainless, a wire in mm, 18/0, gap, point, shank, width, opens, x1",
                    "write it like `circle 5.2mm inline carbon-steel gap 34mm point 27mm x1`",
                ));
            }
        }
    }
    Ok(h)
}

/// A sinker: `150g weak-link link 20lb arm 0.5m wired`. Refuses a word it does not know.
pub fn sinker(text: &str) -> Result<Sinker> {
    let mut s = Sinker {
        mass: Known::Unknown,
        hang: Known::Unknown,
        wired: Known::Unknown,
        link: Known::Unknown,
        arm: None,
        above: Known::Unknown,
        hold_measured: Known::Unknown,
    };
    let mut rest = words(text).into_iter();
    while let Some(w) = rest.next() {
        match w.to_ascii_lowercase().as_str() {
            "fixed" => s.hang = Known::Known(SinkerHang::Fixed),
            "sliding" => s.hang = Known::Known(SinkerHang::Sliding),
            "weak-link" => s.hang = Known::Known(SinkerHang::WeakLink),
            "wired" => s.wired = Known::Known(true),
            "plain" => s.wired = Known::Known(false),
            "link" => s.link = Known::Known(value(w, &mut rest)?.parse()?),
            "arm" => {
                let length = Known::Known(value(w, &mut rest)?.parse()?);
                s.arm = Some(Arm { length, ..Arm::default() });
            }
            "hold" => s.hold_measured = Known::Known(value(w, &mut rest)?.parse()?),
            _ if starts_as_number(w) => s.mass = Known::Known(w.parse::<Mass>()?),
            _ => {
                return Err(refuse(
                    w,
                    "a mass, fixed, sliding, weak-link, wired, plain, link FORCE, arm LENGTH, hold FORCE",
                    "write it like `150g weak-link link 20lb`",
                ));
            }
        }
    }
    Ok(s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_few_words_make_a_part() {
        let s = section(SectionRole::Bite, "1.5m cable 480lb 1.59mm crimp swivel 800lb").unwrap();
        assert_eq!(s.length, Known::Known(Length::of_m(1.5)));
        assert_eq!(s.diameter, Known::Known(Length::of_mm(1.59)));
        assert_eq!(s.strength, Known::Known(Force::of_lbf(480.0)));
        assert_eq!((s.top, s.bottom), (Joint::of(JointKind::Crimp), Joint::of(JointKind::Crimp)));
        assert_eq!(s.connector.unwrap().strength, Known::Known(Force::of_lbf(800.0)));
        assert_eq!(
            section(SectionRole::Hand, "18in,mono").unwrap().length,
            Known::Known(Length::of_in(18.0))
        );
        let h = hook("circle,5.2mm,inline,gap=34mm,point 27mm,18/0,x1").unwrap();
        assert_eq!(h.wire, Known::Known(Length::of_mm(5.2)));
        assert_eq!((h.gap, h.count), (Known::Known(Length::of_mm(34.0)), Known::Known(1)));
        assert_eq!((h.size, h.offset), (Known::Known(18.0), Known::Known(false)));
        let k = sinker("150g,weak-link,link 20lb,arm 0.5m").unwrap();
        assert_eq!(k.mass, Known::Known(Mass::of_g(150.0)));
        assert_eq!(k.arm.unwrap().length, Known::Known(Length::of_m(0.5)));
    }

    #[test]
    fn a_word_that_says_nothing_is_refused_by_name() {
        for (text, word) in [("1.5m string", "string"), ("1.5m cable 480", "480"), ("swivel", "swivel")] {
            let e = section(SectionRole::Bite, text).unwrap_err();
            assert!(e.error.contains(word), "{text}: {e}");
        }
        assert!(hook("circle x0x").unwrap_err().error.contains("x0x"));
        assert!(sinker("heavy").unwrap_err().allowed.contains("weak-link"));
        assert!(sinker("link").is_err() && hook("gap").is_err());
    }

    proptest! {
        #[test]
        fn no_text_is_a_panic(text in "\\PC{0,40}") {
            let _ = (section(SectionRole::Hand, &text), hook(&text), sinker(&text));
        }
    }
}
