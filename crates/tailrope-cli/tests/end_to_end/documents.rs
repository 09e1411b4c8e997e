//! The documents say what is so.

use crate::run::tailrope;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}
fn read(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}
const ALL: [&str; 6] =
    ["README.md", "FILES.md", "ARCHITECTURE.md", "DESIGN.md", "CONTRIBUTING.md", "CHANGELOG.md"];

/// Text without fenced blocks.
fn prose(text: &str) -> String {
    text.split("```").step_by(2).collect()
}

#[test]
fn links_lead_to_files_that_are_there() {
    for name in ALL {
        for link in prose(&read(name)).split("](").skip(1).filter_map(|s| s.split(')').next()) {
            if !link.starts_with("http") && !link.starts_with('#') {
                assert!(root().join(link).exists(), "{name}: {link}");
            }
        }
    }
}

#[test]
fn headings_begin_at_one_and_skip_no_level() {
    for name in ALL {
        let text = prose(&read(name));
        let levels: Vec<usize> = text
            .lines()
            .filter(|l| l.starts_with('#'))
            .map(|l| l.chars().take_while(|c| *c == '#').count())
            .collect();
        assert_eq!(levels.iter().filter(|l| **l == 1).count(), 1, "{name}: one title");
        assert!(levels.windows(2).all(|w| w[1] <= w[0] + 1), "{name}: {levels:?}");
    }
}

#[test]
fn what_is_said_to_lie_somewhere_lies_there() {
    let text = read("ARCHITECTURE.md");
    let table = text.split("## Where is ...").nth(1).unwrap().split("\n## ").next().unwrap();
    let paths: Vec<&str> = table
        .lines()
        .filter(|l| l.starts_with("| "))
        .flat_map(|l| l.split('`').skip(1).step_by(2))
        .filter(|p| p.contains('/') || p.contains('.'))
        .collect();
    assert!(paths.len() > 25, "{paths:?}");
    for path in paths {
        let there = root().join("crates/tailrope/src").join(path).exists() || root().join(path).exists();
        assert!(there, "{path}");
    }
}

#[test]
fn the_surf_line_of_the_readme_answers() {
    let text = read("README.md");
    let line = text.lines().find_map(|l| l.strip_prefix("tailrope surf ")).unwrap();
    tailrope(&format!("surf {line}")).answers().says(&["Counted 7.5 s", "by eye", "Moving water"]);
}

#[test]
fn ages_in_the_files_page_are_those_of_the_limits() {
    let (files, limits) = (read("FILES.md"), read("data/limits.toml"));
    let row = |id: &str, key: &str| {
        let row = limits.split(&format!("id = \"{id}\"")).nth(1).unwrap();
        let value = row.lines().find(|l| l.starts_with(key)).unwrap();
        value.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect::<String>().parse::<f64>().unwrap()
    };
    let (old, dead) = (row("conditions.age_h", "caution"), row("conditions.dead_h", "value"));
    assert!(files.contains(&format!("more than {old} hours old")), "{old}");
    assert!(files.contains(&format!("beyond {dead} hours")), "{dead}");
}

#[test]
fn every_verb_of_the_readme_answers_help() {
    let text = read("README.md");
    let verbs = [
        "demo",
        "plan",
        "path",
        "drag card",
        "rig",
        "footing",
        "fight drags",
        "survival",
        "fish list",
        "tide",
        "sky",
        "surf",
        "law check",
    ];
    for verb in verbs {
        let first = verb.split(' ').next().unwrap();
        assert!(text.contains(&format!("`tailrope {first}")), "README: no {verb}");
        tailrope(&format!("{verb} --help")).exits(0).says(&["Usage"]);
    }
}

#[test]
fn the_readme_shows_what_the_demo_prints() {
    let text = read("README.md");
    let block =
        text.split("<!-- demo-begin -->").nth(1).and_then(|s| s.split("<!-- demo-end -->").next()).unwrap();
    let shown: Vec<&str> = block.trim().trim_matches('`').trim().lines().collect();
    assert!(shown.len() > 12, "{shown:?}");
    let real = tailrope("demo").out().stdout;
    let mut lines = real.lines();
    for line in shown.iter().filter(|l| l.trim() != "...") {
        assert!(
            lines.any(|r| r.trim_end() == line.trim_end()),
            "README: the demo no longer prints, in this order: {line:?}; do: fill the block anew"
        );
    }
}
