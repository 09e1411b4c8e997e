//! Prints the golden lines.
fn main() {
    print!("{}", tailrope_golden::golden());
}
