//! The golden file holds on this machine.

#[test]
fn native_gives_the_golden_lines() {
    let want = include_str!("../golden.txt");
    let got = tailrope_golden::golden();
    for (i, (got, want)) in got.lines().zip(want.lines()).enumerate() {
        assert_eq!(got, want, "line {}; if wanted, write the file anew (see src/lib.rs)", i + 1);
    }
    assert_eq!(got.lines().count(), want.lines().count(), "lines were added or lost");
}
