//! Bytes that went wrong on the way: genuine files, cut, swapped, doubled and filled with each other's words. None may
//! end in a panic, and what is read must hold what `fuzz/harness.rs` says.
//!
//! The plain test takes a fixed number of files from fixed seeds. `TAILROPE_FUZZ_CASES=20000 cargo test --test mutated --
//! --ignored` takes so many for each reader, where no coverage-guided fuzzer is at hand (`ci/fuzz` does).

#[path = "../../../fuzz/harness.rs"]
mod harness;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

/// Splitmix64: plenty for choosing where to cut.
struct Rng(u64);

impl Rng {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(n.max(1)).unwrap()).unwrap()
    }
    fn span(&mut self, len: usize) -> (usize, usize) {
        let from = self.below(len + 1);
        (from, from + self.below((len - from).min(64) + 1))
    }
}

/// A genuine file, or one that a fuzzer found a new way with: its name and its bytes.
type Seed = (String, Vec<u8>);

/// Files of all kinds, in a fixed order, and the words of the dictionary.
fn seeds() -> (Vec<Seed>, Vec<Vec<u8>>) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for dir in ["tests/reference/fixtures/reports", "../../data/demo", "../../fuzz/seeds"] {
        let entries = std::fs::read_dir(root.join(dir)).unwrap();
        files.extend(entries.map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e != "md")));
    }
    files.sort();
    let dictionary = std::fs::read_to_string(root.join("../../fuzz/reports.dict")).unwrap();
    let words = dictionary.lines().filter(|l| l.starts_with('"')).map(|l| {
        let bare = l.trim_start_matches('"').strip_suffix('"').unwrap();
        bare.replace("\\x0a", "\n").replace("\\xef\\xbb\\xbf", "\u{feff}").replace("\\\"", "\"").into_bytes()
    });
    let named = |p: &std::path::PathBuf| {
        (p.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(p).unwrap())
    };
    (files.iter().map(named).collect(), words.collect())
}

/// Whether a file of this name is of the kind that a target reads. The names begin with it.
fn kin(target: &str, file: &str) -> bool {
    let begins = |all: &[&str]| all.iter().any(|b| file.starts_with(b));
    let spectral = file.contains("spec");
    let toml = Path::new(file).extension().is_some_and(|e| e == "toml");
    match target {
        "ndbc" => begins(&["ndbc", "eras"]) && !spectral,
        "spectral" => spectral,
        "coops" => begins(&["coops", "hilo", "wind"]),
        "gridpoint" => begins(&["nws", "gridpoint"]),
        "hourly" => begins(&["hourly"]),
        "stations" => begins(&["station"]),
        "outing" => toml,
        _ => !toml && !begins(&["station"]),
    }
}

/// A file of the target's own kind, one time in eight of any, changed in up to seven places.
fn mutated(rng: &mut Rng, own: &[&[u8]], all: &[Seed], words: &[Vec<u8>]) -> Vec<u8> {
    const BYTES: &[u8] = b"0123456789-+.eE \n\t#,:{}[]\"/TZMPN\xc3\xa9\0";
    let mut out = if rng.below(8) == 0 {
        all[rng.below(all.len())].1.clone()
    } else {
        own[rng.below(own.len())].to_vec()
    };
    for _ in 0..=rng.below(6) {
        let (a, b) = rng.span(out.len());
        match rng.below(9) {
            0 => out.truncate(a),
            1 => drop(out.drain(a..b)),
            2 => {
                let piece = out[a..b].to_vec();
                let at = rng.below(out.len() + 1);
                out.splice(at..at, piece);
            }
            3 => drop(out.splice(a..a, words[rng.below(words.len())].clone())),
            4 => drop(out.splice(a..b, words[rng.below(words.len())].clone())),
            5 => {
                let other = own[rng.below(own.len())];
                let (c, d) = rng.span(other.len());
                out.splice(a..b, other[c..d].to_vec());
            }
            6 => {
                let mut lines: Vec<Vec<u8>> = out.split(|x| *x == b'\n').map(<[u8]>::to_vec).collect();
                let (i, j) = (rng.below(lines.len()), rng.below(lines.len()));
                lines.swap(i, j);
                out = lines.join(&b'\n');
            }
            _ => {
                if let Some(x) = out.get_mut(a) {
                    *x = BYTES[rng.below(BYTES.len())];
                }
            }
        }
        out.truncate(1 << 16);
    }
    out
}

/// Runs one target on so many mutated files.
fn run(name: &str, target: fn(&[u8]), cases: u64) {
    let (seeds, words) = seeds();
    let own: Vec<&[u8]> = seeds.iter().filter(|s| kin(name, &s.0)).map(|s| s.1.as_slice()).collect();
    assert!(!own.is_empty(), "{name} has no file to begin with");
    // What a fuzzer once failed on is kept among the files: first they are taken as they stand.
    for data in &own {
        target(data);
    }
    for case in 0..cases {
        // The number of the file is its seed, so that a failure can be had again.
        let data = mutated(&mut Rng(case), &own, &seeds, &words);
        let held = catch_unwind(AssertUnwindSafe(|| target(&data))).is_ok();
        assert!(held, "target {name} fails on mutated file {case}:\n{}", String::from_utf8_lossy(&data));
    }
}

#[test]
fn a_thousand_mutated_files_for_each_reader() {
    for (name, target) in harness::TARGETS {
        run(name, target, 1000);
    }
}

#[test]
#[ignore = "takes as many files as TAILROPE_FUZZ_CASES says for each reader"]
fn many_mutated_files_for_each_reader() {
    let cases = std::env::var("TAILROPE_FUZZ_CASES").ok().and_then(|s| s.parse().ok()).unwrap_or(20_000);
    let only = std::env::var("TAILROPE_FUZZ_TARGET").ok();
    for (name, target) in harness::TARGETS {
        if only.as_ref().is_none_or(|o| o == name) {
            run(name, target, cases);
            println!("fuzz {name}: {cases} mutated files, nothing found");
        }
    }
}

#[test]
fn every_reader_takes_at_least_one_seed() {
    // A target that refuses all its seeds would search in the dark.
    use tailrope::sea::report::{Told, read};
    let (seeds, _) = seeds();
    let told: Told = "datum=MLLW, units=metric, zone=gmt".parse().unwrap();
    let named: Told = "station=1".parse().unwrap();
    let named = named.or(&told);
    let mut formats: Vec<&str> = seeds
        .iter()
        .filter_map(|s| std::str::from_utf8(&s.1).ok())
        .flat_map(|s| [read("f", s, &told), read("f", s, &named)])
        .flatten()
        .map(|r| r.origin.format.key())
        .collect();
    formats.sort_unstable();
    formats.dedup();
    assert_eq!(
        formats,
        ["coops-csv", "coops-json", "hourly-arrays", "ndbc-spectral", "ndbc-text", "nws-gridpoint"]
    );
}
