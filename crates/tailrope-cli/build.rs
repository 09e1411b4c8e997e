//! Embeds the data packs of the repository: every `.toml` under `data/`, by its path within it.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn packs(dir: &Path, found: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(dir)? {
        let path = entry?.path();
        if path.is_dir() {
            packs(&path, found)?;
        } else if path.extension().is_some_and(|e| e == "toml") {
            found.push(path);
        }
    }
    Ok(())
}

fn main() -> io::Result<()> {
    let home = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default());
    let data = home.join("../../data").canonicalize()?;
    println!("cargo:rerun-if-changed={}", data.display());
    let mut found = Vec::new();
    packs(&data, &mut found)?;
    found.sort();
    let mut list = String::from(
        "/// Shipped packs: path within `data/`, text.\npub static SHIPPED: &[(&str, &str)] = &[\n",
    );
    for path in found {
        println!("cargo:rerun-if-changed={}", path.display());
        let name = path.strip_prefix(&data).unwrap_or(&path).to_string_lossy().replace('\\', "/");
        // Writing to a String cannot fail.
        let _ = writeln!(list, "    ({name:?}, include_str!({:?})),", path.display().to_string());
    }
    list.push_str("];\n");
    fs::write(PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default()).join("shipped.rs"), list)
}
