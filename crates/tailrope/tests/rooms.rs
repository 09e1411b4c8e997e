//! The rooms of the library import downwards only, and none touches the machine.
//!
//! The order is the table at the head of `src/lib.rs`, so that what a reader is told and what is checked are
//! the same list. Comments (doc links may point anywhere) and text in quotes are left out.

use std::path::{Path, PathBuf};

/// A Rust text without comments, strings and character literals; lines stay where they were.
fn bare(text: &str) -> String {
    let c: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut i = 0;
    while i < c.len() {
        let next = c.get(i + 1).copied().unwrap_or(' ');
        if c[i] == '/' && next == '/' {
            while i < c.len() && c[i] != '\n' {
                i += 1;
            }
        } else if c[i] == '/' && next == '*' {
            while i < c.len() && !(c[i] == '*' && c.get(i + 1) == Some(&'/')) {
                if c[i] == '\n' {
                    out.push('\n');
                }
                i += 1;
            }
            i += 2;
        } else if c[i] == 'r' && (next == '"' || next == '#' && matches!(c.get(i + 2), Some('"' | '#'))) {
            let hashes = c[i + 1..].iter().take_while(|h| **h == '#').count();
            let close: String = std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
            let body: String = c[i + 2 + hashes..].iter().collect();
            let end = body.find(&close).map_or(body.len(), |at| at + close.len());
            out.extend(body[..end].matches('\n').map(|_| '\n'));
            i += 2 + hashes + body[..end].chars().count();
        } else if c[i] == '"' {
            i += 1;
            while i < c.len() && c[i] != '"' {
                if c[i] == '\n' {
                    out.push('\n');
                }
                i += if c[i] == '\\' { 2 } else { 1 };
            }
            i += 1;
            out.push_str("\"\"");
        } else if c[i] == '\'' && (next == '\\' || c.get(i + 2) == Some(&'\'')) {
            i += if next == '\\' { 3 } else { 2 };
            while i < c.len() && c[i] != '\'' {
                i += 1;
            }
            i += 1;
        } else {
            out.push(c[i]);
            i += 1;
        }
    }
    out
}

/// First names behind a path prefix: of `{a, b::{c, d}}` they are `a` and `b`, of `a::b` it is `a`.
fn first_names(after: &str) -> Vec<String> {
    let ident = |s: &str| s.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let after = after.trim_start();
    let Some(group) = after.strip_prefix('{') else { return vec![ident(after)] };
    let (mut depth, mut item, mut names) = (0, String::new(), Vec::new());
    for c in group.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => names.push(ident(std::mem::take(&mut item).trim())),
            _ if depth == 0 => item.push(c),
            _ => {}
        }
    }
    names.push(ident(item.trim()));
    names.retain(|n| !n.is_empty());
    names
}

/// Rooms that a file reaches, with the line. `depth` is how many `super` lead from it to the crate's root.
fn reached(text: &str, depth: usize) -> Vec<(usize, String)> {
    let text = bare(text);
    let mut found = Vec::new();
    for (i, line) in text.lines().enumerate() {
        // From here to the end of the text, since a group may run over several lines.
        let from = text.lines().take(i).map(|l| l.len() + 1).sum::<usize>();
        for (at, _) in line.match_indices("crate::") {
            if line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
                continue; // `my_crate::`
            }
            let after = &text[from + at + "crate::".len()..];
            found.extend(first_names(after).into_iter().map(|n| (i + 1, n)));
        }
        let mut at = 0;
        while let Some(start) = line[at..].find("super::").map(|s| s + at) {
            let mut end = start;
            let mut climbed = 0;
            while line[end..].starts_with("super::") {
                end += "super::".len();
                climbed += 1;
            }
            if climbed >= depth {
                found.extend(first_names(&text[from + end..]).into_iter().map(|n| (i + 1, n)));
            }
            at = end;
        }
    }
    found
}

/// The rooms in their order, from the table at the head of lib.rs.
fn order(lib: &str) -> Vec<String> {
    lib.lines()
        .filter_map(|l| l.strip_prefix("//! | [`")?.split_once("`]"))
        .map(|(name, _)| name.to_owned())
        .collect()
}

/// What is wrong with the imports of one file; `inside` are the names of the room's own files.
fn wrong(order: &[String], room: &str, inside: &[String], depth: usize, text: &str) -> Vec<String> {
    let place = |name: &str| order.iter().position(|r| r == name);
    let own = place(room).unwrap_or_else(|| panic!("room `{room}` is not in the table of lib.rs"));
    reached(text, depth)
        .into_iter()
        .filter(|(_, name)| !inside.contains(name))
        .filter_map(|(line, name)| {
            let other = place(&name)?;
            (other > own).then(|| format!("line {line}: `{room}` uses `{name}`, which lies above it"))
        })
        .collect()
}

/// Words by which a file would touch the machine it runs on.
const MACHINE: [&str; 15] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::io",
    "std::process",
    "std::thread",
    "SystemTime",
    "Instant::now",
    "ZonedDateTime::now",
    "Timestamp::now",
    "static mut",
    "thread_local!",
    "OnceLock",
    "println!",
    "getrandom",
];

fn touches_machine(text: &str) -> Vec<String> {
    let text = bare(text);
    let shipped = text.split("#[cfg(test)]").next().unwrap_or("");
    MACHINE.iter().filter(|w| shipped.contains(**w)).map(|w| format!("uses `{w}`")).collect()
}

/// Whether `parent` takes the file in as `#[cfg(test)] mod stem;`: such a file is never shipped.
fn only_for_tests(parent: &str, stem: &str) -> bool {
    let lines: Vec<&str> = parent.lines().map(str::trim).collect();
    lines.windows(2).any(|w| {
        let module = w[1].strip_suffix(';').and_then(|l| l.rsplit_once("mod "));
        w[0] == "#[cfg(test)]" && module.is_some_and(|(_, name)| name == stem)
    })
}

/// The text in which a file is declared: `mod.rs` beside it, or the file called like its folder.
fn parent_of(path: &Path) -> String {
    let dir = path.parent().unwrap();
    std::fs::read_to_string(dir.join("mod.rs"))
        .or_else(|_| std::fs::read_to_string(dir.with_extension("rs")))
        .unwrap_or_default()
}

fn files(dir: &Path) -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = std::fs::read_dir(dir)
        .unwrap()
        .flat_map(|e| {
            let path = e.unwrap().path();
            if path.is_dir() { files(&path) } else { vec![path] }
        })
        .filter(|p| p.extension().is_some_and(|e| e == "rs"))
        .collect();
    all.sort();
    all
}

#[test]
fn imports_point_downwards_and_no_room_touches_the_machine() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let order = order(&std::fs::read_to_string(src.join("lib.rs")).unwrap());
    assert!(order.len() >= 13, "the table of lib.rs lists {order:?}");
    let mut seen = 0;
    let mut all = Vec::new();
    for path in files(&src) {
        let inner = path.strip_prefix(&src).unwrap();
        let parts: Vec<String> =
            inner.iter().map(|p| p.to_string_lossy().trim_end_matches(".rs").to_owned()).collect();
        if parts == ["lib"] {
            continue;
        }
        let room = &parts[0];
        let depth = if parts.last().is_some_and(|l| l == "mod") { parts.len() - 1 } else { parts.len() };
        let home = src.join(room);
        let inside: Vec<String> = if home.is_dir() { files(&home) } else { Vec::new() }
            .iter()
            .filter_map(|p| p.file_stem().map(|s| s.to_string_lossy().into_owned()))
            .collect();
        // A room's own file may have the name of another room; that is only clear behind `super::`.
        let text = std::fs::read_to_string(&path).unwrap();
        let local = wrong(&order, room, &inside, depth, &text);
        let outright = wrong(&order, room, &[], usize::MAX, &text);
        let stem = parts.last().map_or("", String::as_str);
        let machine =
            if only_for_tests(&parent_of(&path), stem) { Vec::new() } else { touches_machine(&text) };
        for w in local.into_iter().chain(outright).chain(machine) {
            all.push(format!("{}: {w}", inner.display()));
        }
        seen += 1;
    }
    assert!(seen > 10, "only {seen} files looked at");
    all.sort();
    all.dedup();
    assert!(all.is_empty(), "\n{}\n", all.join("\n"));
}

mod the_check_itself {
    use super::*;

    fn rooms() -> Vec<String> {
        order(
            "//! | module | answers |\n//! | [`math`] | a |\n//! | [`tackle`] | b |\n//! | [`fight`] | c |\n",
        )
    }

    #[test]
    fn finds_an_import_that_points_upwards() {
        let bad = |text| wrong(&rooms(), "tackle", &[], 2, text).len();
        assert_eq!(bad("use crate::fight::Fight;"), 1);
        assert_eq!(bad("use crate::{Error, math, fight::{Fight, Part}};"), 1);
        assert_eq!(bad("use crate::{\n    math::{sin, cos},\n    fight,\n};"), 1);
        assert_eq!(bad("fn f() -> crate::fight::Fight { todo() }"), 1);
        assert_eq!(bad("use super::super::fight::Fight;"), 1);
        assert_eq!(bad("pub(crate) use crate::fight as other;"), 1);
    }

    #[test]
    fn passes_what_points_down_sideways_or_stands_in_words() {
        let good = |text| wrong(&rooms(), "tackle", &[], 2, text);
        for text in [
            "use crate::math::sin;",
            "use crate::tackle::Line;",
            "use super::fight_line;",
            "// see crate::fight",
            "/// [`crate::fight`]\nfn a() {}",
            "let s = \"crate::fight\"; let r = r#\"use crate::fight;\"#;",
            "/* use crate::fight; */ let q = '\"'; use crate::math;",
        ] {
            assert_eq!(good(text), Vec::<String>::new(), "{text}");
        }
        // A file of the room's own that is called like a room above it.
        assert_eq!(
            wrong(&rooms(), "tackle", &["fight".into()], 1, "use super::fight::X;"),
            Vec::<String>::new()
        );
    }

    #[test]
    fn finds_the_machine_but_not_in_tests() {
        assert_eq!(touches_machine("use std::fs::File;"), ["uses `std::fs`"]);
        assert!(touches_machine("fn f() {}\n#[cfg(test)]\nmod tests { use std::fs; }").is_empty());
        assert!(touches_machine("// std::fs").is_empty());
        let parent = "mod a;\n#[cfg(test)]\nmod tests;\n#[cfg(test)]\npub(crate) mod demo;\n";
        assert!(only_for_tests(parent, "tests") && only_for_tests(parent, "demo"));
        assert!(!only_for_tests(parent, "a"));
    }
}
