//! Bytes that went wrong on the way: genuine files, cut, swapped, doubled and filled with each other's words. None may
//! end in a panic, and what is read must hold what `fuzz/harness.rs` says.
//!
//! The plain test takes a fixed number of files from a fixed seed. `TAILROPE_FUZZ_SECONDS=20 cargo test --test mutated
//! -- --ignored` goes on for that long with each target, where no coverage-guided fuzzer is at hand.

#[path = "../../../fuzz/harness.rs"]
mod harness;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

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

/// Genuine files of all kinds, in a fixed order, and the words of the dictionary.
fn seeds() -> (Vec<Vec<u8>>, Vec<Vec<u8>>) {
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
    (files.iter().map(|p| std::fs::read(p).unwrap()).collect(), words.collect())
}

fn mutated(rng: &mut Rng, seeds: &[Vec<u8>], words: &[Vec<u8>]) -> Vec<u8> {
    const BYTES: &[u8] = b"0123456789-+.eE \n\t#,:{}[]\"/TZMPN\xc3\xa9\0";
    let mut out = seeds[rng.below(seeds.len())].clone();
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
                let other = &seeds[rng.below(seeds.len())];
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

/// Runs one target on mutated files until `enough` says so; how many there were.
fn run(name: &str, target: fn(&[u8]), enough: impl Fn(u64) -> bool) -> u64 {
    let (seeds, words) = seeds();
    let mut count = 0;
    while !enough(count) {
        // The number of the file is its seed, so that a failure can be had again.
        let data = mutated(&mut Rng(count), &seeds, &words);
        let held = catch_unwind(AssertUnwindSafe(|| target(&data))).is_ok();
        assert!(held, "target {name} fails on mutated file {count}:\n{}", String::from_utf8_lossy(&data));
        count += 1;
    }
    count
}

#[test]
fn a_thousand_mutated_files_for_each_reader() {
    for (name, target) in harness::TARGETS {
        run(name, target, |n| n >= 1000);
    }
}

#[test]
#[ignore = "takes as long as TAILROPE_FUZZ_SECONDS says for each reader"]
fn mutated_files_for_a_while() {
    let seconds = std::env::var("TAILROPE_FUZZ_SECONDS").ok().and_then(|s| s.parse().ok()).unwrap_or(20);
    let only = std::env::var("TAILROPE_FUZZ_TARGET").ok();
    std::thread::scope(|scope| {
        for (name, target) in harness::TARGETS {
            if only.as_ref().is_some_and(|o| o != name) {
                continue;
            }
            scope.spawn(move || {
                let since = Instant::now();
                let n = run(name, target, |_| since.elapsed() > Duration::from_secs(seconds));
                println!("fuzz {name}: {n} mutated files in {seconds} s, nothing found");
            });
        }
    });
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
        .filter_map(|s| std::str::from_utf8(s).ok())
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
