//! Packs and demo scenarios from the data folder.

use std::path::{Path, PathBuf};
use tailrope::facts::PackText;
use tailrope::outing::Facts;

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data")
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// All shipped packs.
pub fn facts() -> Facts {
    let mut files: Vec<(String, String)> = Vec::new();
    for (folder, prefix) in [(data(), ""), (data().join("law"), "law/")] {
        let Ok(entries) = std::fs::read_dir(&folder) else { continue };
        for entry in entries {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "toml") {
                files.push((format!("{prefix}{}", path.file_name().unwrap().to_string_lossy()), read(&path)));
            }
        }
    }
    files.sort();
    let texts: Vec<PackText<'_>> = files.iter().map(|(name, text)| PackText::new(name, text)).collect();
    Facts::read(&texts).unwrap_or_else(|e| panic!("{e}"))
}

/// Text of a demo scenario.
pub fn demo(name: &str) -> String {
    read(&data().join("demo").join(format!("{name}.toml")))
}
