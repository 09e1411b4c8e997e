//! The command `tailrope`.
fn main() {}
