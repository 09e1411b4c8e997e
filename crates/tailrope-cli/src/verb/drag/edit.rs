//! Scale readings into a crew's file: the new lines alone, everything else as it stands, comments too.

use tailrope::facts::Known;
use tailrope::quantity::{Angle, Force, Length, Temperature, significant};
use tailrope::tackle::Reading;
use tailrope::{Error, Result};
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, TableLike, Value};

/// The text with these readings behind those of the outfit at `index`.
pub fn append(text: &str, index: usize, readings: &[Reading]) -> Result<String> {
    let bom = text.starts_with('\u{feff}');
    let windows = text.contains("\r\n");
    let plain = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let mut doc: DocumentMut = plain.parse().map_err(|e: toml_edit::TomlError| {
        Error::new(e.message().replace('\n', " "), "a TOML text", "correct the file first")
    })?;
    let outfit: Option<&mut dyn TableLike> = match doc.get_mut("outfit") {
        Some(Item::ArrayOfTables(list)) => list.get_mut(index).map(|t| t as &mut dyn TableLike),
        Some(Item::Value(Value::Array(list))) => {
            list.get_mut(index).and_then(Value::as_inline_table_mut).map(|t| t as &mut dyn TableLike)
        }
        _ => None,
    };
    let outfit = outfit.ok_or_else(|| {
        Error::new("the outfit stands in no table of its own", "[[outfit]] tables", "write it as [[outfit]]")
    })?;
    match outfit.get_mut("readings") {
        Some(Item::ArrayOfTables(list)) => {
            for r in readings {
                list.push(table(r));
            }
        }
        Some(Item::Value(Value::Array(list))) => push(list, readings),
        Some(Item::None) | None => {
            let mut list = Array::new();
            push(&mut list, readings);
            outfit.insert("readings", Item::Value(Value::Array(list)));
        }
        Some(_) => {
            return Err(Error::new("`readings` is no list", "a list of readings", "write readings = []"));
        }
    }
    let mut text = doc.to_string();
    if windows {
        text = text.replace('\n', "\r\n");
    }
    Ok(if bom { format!("\u{feff}{text}") } else { text })
}

/// Behind the last reading, one a line; comments that stand between stay where they are.
fn push(list: &mut Array, readings: &[Reading]) {
    let mut between = list.trailing().as_str().unwrap_or("").trim_end().to_owned();
    if let Some(last) = list.iter_mut().last() {
        let decor = last.decor_mut();
        let behind = decor.suffix().and_then(|s| s.as_str()).unwrap_or("").trim_end().to_owned();
        decor.set_suffix("");
        between = format!("{behind}{between}");
    }
    for r in readings {
        let mut value = Value::InlineTable(inline(r));
        value.decor_mut().set_prefix(format!("{between}\n  "));
        list.push_formatted(value);
        between.clear();
    }
    list.set_trailing("\n");
    list.set_trailing_comma(true);
}

fn inline(r: &Reading) -> InlineTable {
    let mut t = InlineTable::new();
    for (key, value) in pairs(r) {
        t.insert(key, value);
    }
    t
}

fn table(r: &Reading) -> Table {
    let mut t = Table::new();
    for (key, value) in pairs(r) {
        t.insert(key, Item::Value(value));
    }
    t
}

/// Keys and values in the order in which a crew reads them; what is unknown is left out.
fn pairs(r: &Reading) -> Vec<(&'static str, Value)> {
    let setting = match r.setting {
        tailrope::tackle::Setting::Lever(x) => Value::from(x),
        other => Value::from(other.to_string()),
    };
    let mut all: Vec<(&'static str, Value)> = Vec::new();
    let mut text =
        |key, t: Option<String>| all.extend(t.filter(|t| !t.is_empty()).map(|t| (key, Value::from(t))));
    text("date", r.date.get().map(|d| d.to_string()));
    text("setting", Some(String::from("?")));
    text("value", Some(force(r.value)));
    text("start_up", r.start_up.get().map(force));
    text("at", r.at.get().map(|p| crate::word::spelled(&p)));
    text("bend", r.bend.get().map(angle));
    text("line_out", r.line_out.get().map(length));
    text("depth", r.depth.get().map(depth));
    text("temperature", r.temperature.get().map(temperature));
    text("preset", r.preset.get().map(|p| p.to_string()));
    text("who", r.who.as_ref().cloned());
    text("doubtful", Some(r.doubtful.clone()));
    text("note", Some(r.note.clone()));
    if let Known::Known(opened) = r.opened_since {
        all.push(("opened_since", Value::from(opened)));
    }
    if let Some(s) = all.iter_mut().find(|(k, _)| *k == "setting") {
        s.1 = setting;
    }
    all
}

/// The shortest text among these units that reads back to the same value but for the last bits.
fn shortest(units: &[(f64, &str)]) -> String {
    let mut best: Option<String> = None;
    for (x, unit) in units {
        for digits in 1..=15 {
            let text = significant(*x, digits);
            let same = text.parse::<f64>().is_ok_and(|t| (t - x).abs() <= 1e-12 * x.abs());
            if same {
                if best.as_ref().is_none_or(|b| text.len() + unit.len() < b.len()) {
                    best = Some(format!("{text}{unit}"));
                }
                break;
            }
        }
    }
    best.or_else(|| units.first().map(|(x, unit)| format!("{x}{unit}"))).unwrap_or_default()
}

fn force(f: Force) -> String {
    shortest(&[(f.lbf(), "lbf"), (f.kgf(), "kgf"), (f.n(), "N")])
}
fn length(l: Length) -> String {
    shortest(&[(l.m(), "m"), (l.yd(), "yd"), (l.ft(), "ft")])
}
fn depth(l: Length) -> String {
    shortest(&[(l.mm(), "mm"), (l.inches(), "in")])
}
fn angle(a: Angle) -> String {
    shortest(&[(a.deg(), "deg")])
}
fn temperature(t: Temperature) -> String {
    shortest(&[(t.c(), "C"), (t.c() * 1.8 + 32.0, "F")])
}

#[cfg(test)]
mod tests {
    use super::*;
    use tailrope::tackle::{ScalePlace, Setting};

    fn reading() -> Reading {
        let mut r = Reading::new(Setting::Lever(0.6), Force::of_lbf(24.0), ScalePlace::Tip);
        r.date = Known::Known("2026-10-11".parse().unwrap());
        r.temperature = Known::Known("75F".parse().unwrap());
        r
    }

    #[test]
    fn keeps_comments_and_order_and_adds_its_lines() {
        let text = "# ours\n[[outfit]]\nname = \"a\"   # the old one\nreadings = [\n  { setting = 0.5, value = \"20lbf\", at = \"tip\" }, # by day\n]\n\n[outfit.reel]\nclass = \"80W\"\n[[outfit]]\nname = \"b\"\n\n[rig] # x\n";
        let line = "  { date = \"2026-10-11\", setting = 0.6, value = \"24lbf\", at = \"tip\", temperature = \"75F\" },\n";
        let one = append(text, 0, &[reading()]).unwrap();
        assert_eq!(one, text.replace("# by day\n", &format!("# by day\n{line}")));
        let two = append(text, 1, &[reading(), reading()]).unwrap();
        assert_eq!(
            two,
            text.replace("name = \"b\"\n", &format!("name = \"b\"\nreadings = [\n{line}{line}]\n"))
        );
        // Once more: the same list grows.
        let grown = append(&two, 1, &[reading()]).unwrap();
        assert_eq!(grown.matches(line.trim()).count(), 3);
    }

    #[test]
    fn other_ways_of_writing_a_list_are_kept() {
        let tables =
            "[[outfit]]\nname = \"a\"\n[[outfit.readings]]\nsetting = 0.5\nvalue = \"20lbf\"\nat = \"tip\"\n";
        let t = append(tables, 0, &[reading()]).unwrap();
        assert!(t.starts_with(tables) && t.matches("[[outfit.readings]]").count() == 2, "{t}");
        let inline = "outfit = [{ name = \"a\", readings = [{ setting = 1, value = \"9lbf\" }] }]\n";
        let t = append(inline, 0, &[reading()]).unwrap();
        assert!(t.contains("\"9lbf\" },\n  { date"), "{t}");
        assert!(t.parse::<DocumentMut>().is_ok(), "{t}");
        let windows = "[[outfit]]\r\nname = \"a\"\r\n";
        let t = append(windows, 0, &[reading()]).unwrap();
        assert!(t.starts_with(windows) && !t.replace("\r\n", "").contains('\n'), "{t:?}");
        assert!(append("[rig]\n", 0, &[reading()]).is_err());
        assert!(append("[[outfit]]\nreadings = 3\n", 0, &[reading()]).unwrap_err().error.contains("no list"));
    }

    #[test]
    fn quantities_are_written_as_crews_write_them() {
        for (typed, written) in
            [("24 lb", "24lbf"), ("11,2 kg", "11.2kgf"), ("125N", "125N"), ("25.5lbf", "25.5lbf")]
        {
            assert_eq!(force(typed.parse().unwrap()), written);
        }
        assert_eq!(length("200yd".parse().unwrap()), "200yd");
        assert_eq!(depth("5mm".parse().unwrap()), "5mm");
        assert_eq!(temperature("21.5C".parse().unwrap()), "21.5C");
        assert_eq!(angle("60deg".parse().unwrap()), "60deg");
        assert_eq!(length(Length::ZERO), "0m");
    }
}
