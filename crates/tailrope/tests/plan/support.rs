//! Packs and demo scenarios from the data folder, edits of their text, plans.

use jiff::civil::{Date, date};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tailrope::facts::PackText;
use tailrope::outing::{Facts, Options, Plan, Severity, Topic, one_after_another, plan};
use tailrope::sea::tide::world::World;
use tailrope::{Outing, Result};

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data")
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// All shipped packs, read once.
pub fn facts() -> &'static Facts {
    static FACTS: OnceLock<Facts> = OnceLock::new();
    FACTS.get_or_init(|| {
        let mut files: Vec<(String, String)> = Vec::new();
        for (folder, prefix) in [(data(), ""), (data().join("law"), "law/")] {
            let Ok(entries) = std::fs::read_dir(&folder) else { continue };
            for entry in entries {
                let path = entry.unwrap().path();
                if path.extension().is_some_and(|e| e == "toml") {
                    files.push((
                        format!("{prefix}{}", path.file_name().unwrap().to_string_lossy()),
                        read(&path),
                    ));
                }
            }
        }
        files.sort();
        let texts: Vec<PackText<'_>> = files.iter().map(|(name, text)| PackText::new(name, text)).collect();
        let world = std::fs::read(data().join("stations.bin")).unwrap_or_else(|e| panic!("{e}"));
        let world = World::open("stations.bin", world).unwrap_or_else(|e| panic!("{e}"));
        Facts::read(&texts, Some(world)).unwrap_or_else(|e| panic!("{e}"))
    })
}

/// Text of a demo scenario.
pub fn demo(name: &str) -> String {
    read(&data().join("demo").join(format!("{name}.toml")))
}

/// The scenario whose plan is a caution: a mid-October night in south Texas.
pub const A: &str = "pelican-bar";
/// The day before its night.
pub const A_READ: Date = date(2026, 10, 16);

/// One edit of a text; what is to be replaced must be there.
pub fn edit(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "`{from}` is not in the text");
    text.replace(from, to)
}

/// The text without the `[[person]]` of a name.
pub fn without(text: &str, name: &str) -> String {
    let at = text.find(&format!("[[person]]\nname = \"{name}\"")).expect("that person");
    let rest = &text[at + 1..];
    let end = rest.find("[[person]]").or_else(|| rest.find("[stand]")).expect("what follows") + at + 1;
    format!("{}{}", &text[..at], &text[end..])
}

/// Options with so many fights.
pub fn options(read_on: Date, fights: u32) -> Options {
    Options { fights, ..Options::on(read_on) }
}

/// Reads and plans a text.
pub fn try_plan(text: &str, options: &Options) -> Result<Plan> {
    let outing = Outing::read(&PackText::new("night.toml", text))?;
    plan(facts(), &outing, options, &one_after_another)
}

/// The same, for a text that must be good.
pub fn plan_of(text: &str, options: &Options) -> Plan {
    try_plan(text, options).unwrap_or_else(|e| panic!("{e}"))
}

/// Topics of the findings of a severity.
pub fn topics(plan: &Plan, severity: Severity) -> Vec<Topic> {
    plan.findings.iter().filter(|f| f.severity == severity).map(|f| f.topic).collect()
}

/// Rules of the findings of a severity.
pub fn rules(plan: &Plan, severity: Severity) -> Vec<String> {
    plan.findings.iter().filter(|f| f.severity == severity).filter_map(|f| f.rule.clone()).collect()
}
