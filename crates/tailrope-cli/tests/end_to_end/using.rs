//! Use of the command as such: help, exit codes, refusals as JSON, pipes.

use crate::run::tailrope;
use std::io::Read;
use std::process::{Command, Stdio};

#[test]
fn help_and_version_are_answers() {
    tailrope("--help").exits(0).says(&["Exit codes: 0 go or done", "footing", "--units"]);
    tailrope("--version").exits(0).says(&["tailrope 0."]);
    tailrope("footing --help").exits(0).says(&["Example", "tailrope footing --mass 85kg"]);
}

#[test]
fn bad_use_exits_three_never_two() {
    for args in [
        "",
        "nothing",
        "footing --nothing",
        "footing --mass 85kg --units stones",
        "footing --mass 85kg extra",
    ] {
        tailrope(args).exits(3);
    }
}

#[test]
fn refusals_are_json_when_json_is_asked_for() {
    let e = tailrope("footing --format json --mass 12lbf").exits(3).refusal();
    assert_eq!(e["where"], "--mass");
    assert!(e["error"].as_str().unwrap().contains("that is a force"), "{e}");
    assert!(e["do"].as_str().unwrap().contains("85kg"), "{e}");
    for args in ["--format=json", "nothing --format json", "footing --format json --mass 85kg --units stones"]
    {
        tailrope(args).exits(3).refusal();
    }
    let e = tailrope("footing --mass 85kg --units stones --format json").exits(3).refusal();
    assert_eq!(e["allowed"], "us, metric, si");
}

#[test]
fn a_reader_that_had_enough_is_no_failure() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_tailrope"))
        .args(["footing", "--mass", "85kg"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut said = String::new();
    child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    assert_eq!((child.wait().unwrap().code(), said.as_str()), (Some(0), ""));
}

#[test]
fn text_off_a_terminal_has_no_colour() {
    let out = tailrope("footing --mass 85kg").env("COLORTERM", "truecolor").exits(0);
    assert!(!out.stdout.contains('\u{1b}'));
    let out = tailrope("footing").env("CLICOLOR", "1").exits(3);
    assert!(!out.stderr.contains('\u{1b}'));
}

#[test]
fn the_book_is_not_silently_ignored() {
    tailrope("footing --mass 85kg --book x.jsonl").exits(3).complains(&["--book", "no verb of this version"]);
}
