//! A crew's own folder of packs.

use crate::run::tailrope;
use std::fs;

const SHIPPED: &str = include_str!("../../../../data/footing.toml");
const ASK: &str = "footing --mass 85kg --format json";

#[test]
fn a_file_of_the_same_name_shadows_the_shipped_one() {
    let own = tempfile::tempdir().unwrap();
    let shipped = tailrope(ASK).exits(0).json("tailrope.footing/1");
    let weaker =
        SHIPPED.replace("low = \"120N·m\", central = \"150N·m\"", "low = \"50N·m\", central = \"60N·m\"");
    assert_ne!(weaker, SHIPPED);
    fs::write(own.path().join("footing.toml"), weaker).unwrap();
    for run in [tailrope(ASK).arg("--data").arg(own.path()), tailrope(ASK).env("TAILROPE_DATA", own.path())] {
        let mine = run.exits(0).json("tailrope.footing/1");
        let (a, b) = (mine["limit_back_n"].as_f64().unwrap(), shipped["limit_back_n"].as_f64().unwrap());
        assert!((a / b - 0.4).abs() < 1e-9, "{a} {b}");
    }
}

#[test]
fn a_mistake_in_it_names_file_line_and_key() {
    let own = tempfile::tempdir().unwrap();
    fs::write(
        own.path().join("footing.toml"),
        SHIPPED.replace("base = \"0.70m\"", "base = \"0.70 fathoms\""),
    )
    .unwrap();
    let line = SHIPPED.lines().position(|l| l == "base = \"0.70m\"").unwrap() + 1;
    tailrope("footing --mass 85kg").arg("--data").arg(own.path()).exits(3).complains(&[
        "footing.toml",
        &format!("line {line}, base"),
        "unknown unit `fathoms`",
        "2.4m",
    ]);
    fs::write(own.path().join("footing.toml"), SHIPPED.replace("base =", "bsae =")).unwrap();
    tailrope("footing --mass 85kg").arg("--data").arg(own.path()).exits(3).complains(&["bsae", "allowed"]);
}

#[test]
fn each_way_in_which_a_file_cannot_be_read_is_one_sentence() {
    let own = tempfile::tempdir().unwrap();
    let file = own.path().join("footing.toml");
    let ask = || tailrope("footing --mass 85kg").arg("--data").arg(own.path());
    for (bytes, part) in [
        (Vec::new(), "the file is empty"),
        (b"a = '\xff'".to_vec(), "line 1: these bytes are no UTF-8 text"),
        (vec![b'#'; 4 * 1024 * 1024 + 1], "at most 4194304 bytes"),
        (b"a = = 1".to_vec(), "line 1"),
    ] {
        fs::write(&file, bytes).unwrap();
        let out = ask().exits(3).complains(&["footing.toml", part]);
        assert_eq!(out.stderr.matches("error: ").count(), 1, "{}", out.stderr);
        out.complains_no_wider_than(100);
    }
    fs::remove_file(&file).unwrap();
    fs::create_dir(&file).unwrap();
    ask().exits(3).complains(&["that is a folder"]);
    tailrope("footing --mass 85kg --data nowhere").exits(3).complains(&["--data", "no folder nowhere"]);
}
