//! An outfit in one line of trade words: `80W, 0.9 mm mono, ring guides`.
//!
//! Items stand between commas. Pieces of line come in the order in which they are wound, the one on the arbor
//! first; one of them may leave out its length and then fills the spool to the rim. What is left out is unknown,
//! as in a file. Nothing is guessed: a word that is not understood is refused with those that are.

use super::joint::Joint;
use super::label::LabelCapacity;
use super::line::{LinePiece, LineRole};
use super::outfit::Outfit;
use super::reel::{GuideKind, ReelKind};
use super::spool::{Spool, Wound};
use super::tables::Tables;
use crate::facts::Known;
use crate::quantity::{Force, Length};
use crate::tackle::Material;
use crate::{Error, Result};

/// Longest description that is read.
const MOST: usize = 400;

/// The words understood, for refusals.
const WORDS: &str = "a class of reel (80W, 9/0), lever, star, spinning or casting, `spool 57/19/78mm` (rim, arbor, \
                     width), `label 250yd of 20lb mono`, `17lbf drag`, `gear 4.8`, `0.9mm mono 300m 80lb` with backing, \
                     main or topshot, ring guides or roller guides, `rod 80lb 1.8m`";

/// Least and greatest length that is a diameter and not a length of line.
const DIAMETER_MOST: Length = Length::of_mm(10.0);

/// Reads a description. `name` of the outfit is the description itself.
///
/// ```
/// use tailrope::facts::PackText;
/// use tailrope::tackle::{Tables, brief};
/// # let text = include_str!("../../../../data/tackle.toml");
/// let tables = Tables::read(&PackText::new("tackle.toml", text))?;
/// let outfit = brief("80W, 0.9 mm mono, ring guides", &tables)?;
/// assert_eq!(outfit.line[0].length.m().round(), 874.0);
/// # Ok::<(), tailrope::Error>(())
/// ```
///
/// # Errors
/// A word that is not understood, two reels, more than one piece of line without length, a spool that cannot be
/// told when a piece must fill it, and whatever [`Outfit::check`] refuses.
pub fn brief(text: &str, tables: &Tables) -> Result<Outfit> {
    if text.chars().count() > MOST {
        return Err(refuse("the description is too long", &format!("at most {MOST} characters")));
    }
    let mut outfit = Outfit::named(text.trim());
    let mut open: Option<usize> = None;
    for item in items(text) {
        let words = tokens(item);
        if words.is_empty() {
            continue;
        }
        read_item(&mut outfit, &mut open, item, &words, tables)?;
    }
    if outfit.line.is_empty() {
        return Err(refuse("the description names no line", "at least one line with its material"));
    }
    outfit.check()?;
    if let Some(i) = open {
        outfit.line[i].length = filling(&outfit, i, tables)?;
    }
    Ok(outfit)
}

fn refuse(error: impl Into<String>, allowed: &str) -> Error {
    Error::new(error, allowed, "write it like \"80W, 0.9 mm mono, ring guides\"")
}

fn not_understood(item: &str) -> Error {
    let shown: String = item.chars().take(60).collect();
    refuse(format!("`{shown}` is not understood"), WORDS)
}

/// Splits at commas that are not between two digits (`0,9 mm`).
fn items(text: &str) -> Vec<&str> {
    let bytes = text.as_bytes();
    let mut all = Vec::new();
    let mut from = 0;
    for (i, b) in bytes.iter().enumerate() {
        let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
        if *b == b',' && !(digit(i.checked_sub(1)) && digit(Some(i + 1))) {
            all.push(&text[from..i]);
            from = i + 1;
        }
    }
    all.push(&text[from..]);
    all.into_iter().map(str::trim).filter(|s| !s.is_empty()).collect()
}

/// Words of an item in lower case; a bare number takes the unit behind it.
fn tokens(item: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut number: Option<String> = None;
    for word in item.split_whitespace() {
        let word = word.to_lowercase();
        let bare = word.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',');
        match number.take() {
            Some(n) if word.chars().all(char::is_alphabetic) && !is_trade_word(&word) => all.push(n + &word),
            Some(n) => {
                all.push(n);
                number = bare.then_some(word.clone());
                if !bare {
                    all.push(word);
                }
            }
            None if bare => number = Some(word),
            None => all.push(word),
        }
    }
    all.extend(number);
    all
}

/// Whether a word behind a number is one of the trade and no unit.
fn is_trade_word(word: &str) -> bool {
    material_of(word).is_some()
        || kind_of(word).is_some()
        || matches!(
            word,
            "drag" | "of" | "backing" | "main" | "topshot" | "class" | "guides" | "rod" | "reel"
        )
}

fn kind_of(word: &str) -> Option<ReelKind> {
    Some(match word {
        "lever" => ReelKind::Lever,
        "star" => ReelKind::Star,
        "spinning" => ReelKind::Spinning,
        "casting" => ReelKind::Casting,
        _ => return None,
    })
}

fn material_of(word: &str) -> Option<Material> {
    match word {
        "fluoro" => Some(Material::Fluorocarbon),
        _ => Material::from_word(word).ok(),
    }
}

fn read_item(
    outfit: &mut Outfit,
    open: &mut Option<usize>,
    item: &str,
    words: &[String],
    tables: &Tables,
) -> Result<()> {
    let first = words[0].as_str();
    match first {
        "label" => {
            let l = label(&words[1..]).ok_or_else(|| not_understood(item))?;
            outfit.reel.label.push(l);
            return Ok(());
        }
        "spool" => {
            outfit.reel.spool =
                Known::Known(spool(&words[1..].concat()).ok_or_else(|| not_understood(item))??);
            return Ok(());
        }
        "gear" | "gears" => {
            for g in words[1..].concat().split('/') {
                outfit.reel.gears.push(g.parse().map_err(|_| not_understood(item))?);
            }
            return Ok(());
        }
        "rod" => return rod(outfit, item, &words[1..]),
        _ => {}
    }
    if words.iter().any(|w| w == "drag") {
        let rest: Vec<&String> =
            words.iter().filter(|w| !matches!(w.as_str(), "drag" | "max" | "greatest")).collect();
        let [force] = rest.as_slice() else { return Err(not_understood(item)) };
        outfit.reel.label_drag = Known::Known(force.parse()?);
        return Ok(());
    }
    if words.iter().any(|w| material_of(w).is_some()) {
        return line(outfit, open, item, words);
    }
    if let Some(kind) = guide_kind(words) {
        outfit.guides.kind = Known::Known(kind);
        return Ok(());
    }
    reel(outfit, item, words, tables)
}

fn guide_kind(words: &[String]) -> Option<GuideKind> {
    let kind = match words[0].as_str() {
        "ring" | "rings" => GuideKind::Ring,
        "roller" | "rollers" => GuideKind::Roller,
        _ => return None,
    };
    match words {
        [_] => Some(kind),
        [_, w] if w == "guides" => Some(kind),
        _ => None,
    }
}

/// `80W`, `80W lever`, `spinning reel`.
fn reel(outfit: &mut Outfit, item: &str, words: &[String], tables: &Tables) -> Result<()> {
    let mut any = false;
    for word in words {
        if let Some(kind) = kind_of(word) {
            outfit.reel.kind = Known::Known(kind);
        } else if let Ok(row) = tables.reel(word) {
            if let Known::Known(other) = &outfit.reel.class {
                return Err(refuse(format!("two reels: {other} and {}", row.class), "one reel"));
            }
            outfit.reel.class = Known::Known(row.class.clone());
        } else if !matches!(word.as_str(), "reel" | "class" | "wide") {
            // What looks like a class is refused with the classes that there are.
            return Err(if words.len() == 1 && word.chars().any(|c| c.is_ascii_digit()) {
                let e = tables.reel(word).err().unwrap_or_else(|| not_understood(item));
                Error { allowed: format!("{}; understood here: {WORDS}", e.allowed), ..e }
            } else {
                not_understood(item)
            });
        }
        any = true;
    }
    if any { Ok(()) } else { Err(not_understood(item)) }
}

/// `LENGTH [of] DIAMETER|STRENGTH [MATERIAL]`.
fn label(words: &[String]) -> Option<LabelCapacity> {
    let mut length = None;
    let (mut diameter, mut strength, mut material) = (Known::Unknown, Known::Unknown, Known::Unknown);
    for w in words.iter().filter(|w| *w != "of") {
        if let Ok(l) = w.parse::<Length>() {
            if l < DIAMETER_MOST {
                diameter = Known::Known(l);
            } else {
                length = Some(l);
            }
        } else if let Ok(f) = w.parse::<Force>() {
            strength = Known::Known(f);
        } else {
            material = Known::Known(material_of(w)?);
        }
    }
    Some(LabelCapacity { length: length?, diameter, strength, material })
}

/// `57/19/78mm`; a refusal of its own where the three make no spool.
fn spool(text: &str) -> Option<Result<Spool>> {
    let mm = text.strip_suffix("mm")?;
    let [rim, arbor, width] = mm.split('/').map(str::parse::<f64>).collect::<Result<Vec<_>, _>>().ok()?[..]
    else {
        return None;
    };
    Some(Spool::new(Length::of_mm(rim), Length::of_mm(arbor), Length::of_mm(width)))
}

/// `rod 80lb 1.8m ring guides`.
fn rod(outfit: &mut Outfit, item: &str, words: &[String]) -> Result<()> {
    for w in words {
        if let Ok(l) = w.parse::<Length>() {
            outfit.rod.length = Known::Known(l);
        } else if let Ok(f) = w.parse::<Force>() {
            outfit.rod.line_class = Known::Known(f);
        } else {
            return Err(not_understood(item));
        }
    }
    if words.is_empty() { Err(not_understood(item)) } else { Ok(()) }
}

/// A piece of line. Without length it is the one that fills the spool.
fn line(outfit: &mut Outfit, open: &mut Option<usize>, item: &str, words: &[String]) -> Result<()> {
    let mut piece =
        LinePiece::new(LineRole::Main, Length::of_m(1.0), Material::Nylon, Force::ZERO, Length::ZERO);
    (piece.role, piece.diameter, piece.strength) = (Known::Unknown, Known::Unknown, Known::Unknown);
    piece.outer = Joint::default();
    let mut length = None;
    for w in words {
        if let Ok(l) = w.parse::<Length>() {
            if l < DIAMETER_MOST {
                piece.diameter = Known::Known(l);
            } else {
                length = Some(l);
            }
        } else if let Ok(f) = w.parse::<Force>() {
            piece.strength = Known::Known(f);
        } else if let Some(m) = material_of(w) {
            piece.material = Known::Known(m);
        } else {
            match w.as_str() {
                "backing" => piece.role = Known::Known(LineRole::Backing),
                "main" => piece.role = Known::Known(LineRole::Main),
                "topshot" => piece.role = Known::Known(LineRole::Topshot),
                "class" => piece.class_line = true,
                "line" | "of" => {}
                _ => return Err(not_understood(item)),
            }
        }
    }
    if piece.diameter.is_unknown() && piece.strength.is_unknown() {
        return Err(refuse(
            format!("of `{item}` neither diameter nor strength is given"),
            "a diameter (0.9mm) or a strength (80lb)",
        ));
    }
    if let Some(l) = length {
        piece.length = l;
    } else if open.replace(outfit.line.len()).is_some() {
        return Err(refuse(
            format!("`{item}` has no length, and an earlier piece has none either"),
            "one piece without length: it fills the spool to the rim",
        ));
    }
    outfit.line.push(piece);
    Ok(())
}

/// Length of piece `open` that fills the spool to the rim beside all others.
fn filling(outfit: &Outfit, open: usize, tables: &Tables) -> Result<Length> {
    let spool = outfit.reel.spool(tables).map_err(|e| {
        let e = Error { remedy: format!("{}; or give the length of the line", e.remedy), ..e };
        e.within("reel")
    })?;
    let mut others: Vec<Wound> = Vec::new();
    let mut this = None;
    for (i, piece) in outfit.line.iter().enumerate() {
        let (wound, _) = piece.wound(tables)?;
        if i == open {
            this = Some(wound);
        } else {
            others.push(wound);
        }
    }
    let fits =
        this.map_or(Length::ZERO, |w| spool.value.fits_on(&others, w.diameter, w.packing, Length::ZERO));
    if fits < Length::of_m(1.0) {
        return Err(Error::new(
            format!("nothing of the {} fits: the other pieces fill the spool", outfit.line[open].title()),
            "room for every piece",
            "shorten the other pieces, or give this one its length",
        ));
    }
    // A hair less than the brim, so that rounding does not put it over the rim.
    Ok(fits * 0.999_999)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Quantity, Speed};
    use crate::tackle::tables::tests::shipped;
    use crate::tackle::{LoadPath, PathAsk};
    use proptest::prelude::*;

    fn read(text: &str) -> Result<Outfit> {
        brief(text, &shipped())
    }

    #[test]
    fn path_1_from_one_line_of_words() {
        let path = LoadPath::new(&read("80W, 0.9 mm mono, ring guides").unwrap(), None, &shipped()).unwrap();
        let ask = PathAsk {
            wet: Known::Known(Length::of_m(350.0)),
            ..PathAsk::at_reel(Force::of_n(120.0), Length::of_m(400.0), Speed::of_mps(4.0))
        };
        let r = path.at(&ask).unwrap();
        for (what, got, want) in [
            ("radius", r.radius.mm(), 43.90),
            ("spool", r.spool.n(), 155.8),
            ("tip", r.tip.n(), 184.2),
            ("skin", r.shares.water.n(), 32.46),
            ("hook", r.hook.n(), 216.7),
        ] {
            assert!((got / want - 1.0).abs() < 5e-4, "{what}: {got}");
        }
        assert!(r.spool_fill.fill.room.m() < 0.01 && r.spool_fill.fill.growth_last_fifth > 1.5);
        assert!(r.spool_fill.growth.low < r.spool_fill.growth.central);
        assert!(r.spool_fill.growth.central < r.spool_fill.growth.high);
        assert!(r.spool_fill.measure_first.is_some());
    }

    #[test]
    fn reads_the_words_of_the_trade() {
        let o = read("9/0 star, 0.36mm braid 50lb backing 300 m, 80lb mono, 200lb mono topshot 30yd, roller guides, rod 80lb 1.8m")
            .unwrap();
        assert_eq!(o.reel.class, Known::Known("9/0".to_owned()));
        assert_eq!(o.reel.kind, Known::Known(ReelKind::Star));
        let roles: Vec<LineRole> = o.line.iter().map(LinePiece::role).collect();
        assert_eq!(roles, [LineRole::Backing, LineRole::Main, LineRole::Topshot]);
        assert_eq!(o.line[0].length, Length::of_m(300.0));
        assert_eq!(o.line[2].length, Length::of_yd(30.0));
        assert!(o.line[1].length > Length::of_m(50.0), "fills what is left: {:?}", o.line[1].length);
        assert!(o.loaded_spool(&shipped()).unwrap().value.depth_below_rim(Length::ZERO).mm() < 1e-3);
        assert_eq!(o.guides.kind, Known::Known(GuideKind::Roller));
        assert_eq!(o.rod.line_class, Known::Known(Force::of_lbf(80.0)));
        assert_eq!(o.rod.length, Known::Known(Length::of_m(1.8)));
        let o = read("spool 57/19/78mm, gears 2.5/1.2, 0,9 mm mono 400m class").unwrap();
        assert_eq!(o.reel.gears, [2.5, 1.2]);
        assert!(o.line[0].class_line && o.line[0].diameter == Known::Known(Length::of_mm(0.9)));
        let o = read("casting, label 250yd of 20lb mono, 17lbf drag, 20 lb mono").unwrap();
        assert_eq!(o.reel.label_drag, Known::Known(Force::of_lbf(17.0)));
        assert!((o.reel.label[0].length.m() - 228.6).abs() < 1e-9);
    }

    #[test]
    fn refuses_what_it_does_not_understand_and_names_what_it_does() {
        for (text, says) in [
            ("", "names no line"),
            ("80W, ring guides", "names no line"),
            ("80W, string", "`string` is not understood"),
            ("80W, 50, 0.9mm mono", "two reels: 80W and 50"),
            ("8000, 0.9mm mono", "no class of reel is called `8000`"),
            ("80W, mono", "neither diameter nor strength"),
            ("80W, 0.9mm mono, 1.2mm mono", "an earlier piece has none"),
            ("0.9mm mono, ring guides", "neither the spool's measures nor"),
            ("80W, 900m 1.2mm mono, 0.9mm mono", "nothing of the main line fits"),
            ("30W spinning, 0.6mm mono", "the class is one of a lever reel"),
            ("80W, 17 drag, 0.9mm mono", "unit is missing"),
            ("80W, 0.9mm mono, ring of guides", "is not understood"),
            ("spool 57/19mm, 0.9mm mono", "is not understood"),
            ("spool 19/57/78mm, 0.9mm mono", "arbor"),
        ] {
            let e = read(text).unwrap_err();
            assert!(e.to_string().contains(says), "{text}: {e}");
            assert!(!e.allowed.is_empty() && !e.remedy.is_empty(), "{text}: {e}");
        }
        assert!(read("80W, string").unwrap_err().allowed.contains("roller guides"));
        assert!(read(&"80W, ".repeat(200)).unwrap_err().error.contains("too long"));
    }

    proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,60}") {
            let _ = read(&text);
        }

        #[test]
        fn mangled_trade_words_never_panic(
            a in "(80W|9/0|label|spool|gear|rod|mono|,|0\\.9 ?mm|300m|17lbf|drag|braid|/|é| ){1,12}",
        ) {
            let _ = read(&a);
        }

        #[test]
        fn filled_to_the_rim_whatever_stands_below(mm in 0.4..1.3_f64, back in 20.0..400.0_f64) {
            let text = format!("80W, 0.5mm braid backing {back}m, {mm}mm mono");
            let o = read(&text).unwrap();
            let s = o.loaded_spool(&shipped()).unwrap().value;
            prop_assert!((s.full_radius() - s.spool().rim).si().abs() < 1e-6);
        }
    }
}
