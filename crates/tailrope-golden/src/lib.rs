//! Golden lines: numbers of the library, bit for bit.
//!
//! Each line is a name, the number as people read it and its 64 bits. The native test and `ci/wasm` compare
//! the same file, `golden.txt`; a line that differs on one of them means that a phone and a laptop would give
//! two answers. After a wanted change: `cargo run -q -p tailrope-golden > crates/tailrope-golden/golden.txt`.
#![deny(missing_docs)]

mod drag;
mod lines;
mod models;

use std::sync::OnceLock;

/// All golden lines.
#[must_use]
pub fn golden() -> String {
    let mut out = lines::Lines::default();
    lines::all(&mut out);
    out.into_text()
}

fn kept() -> &'static str {
    static TEXT: OnceLock<String> = OnceLock::new();
    TEXT.get_or_init(golden)
}

/// Length of the golden text in bytes, for a caller on the other side of a WASM boundary.
#[allow(unsafe_code)] // the attribute only: the name must survive linking
#[unsafe(no_mangle)]
#[must_use]
pub extern "C" fn golden_len() -> usize {
    kept().len()
}

/// One byte of the golden text; 0 beyond its end. Byte by byte, so that no pointer crosses the boundary.
#[allow(unsafe_code)] // the attribute only: the name must survive linking
#[unsafe(no_mangle)]
#[must_use]
pub extern "C" fn golden_byte(at: usize) -> u8 {
    kept().as_bytes().get(at).copied().unwrap_or(0)
}
