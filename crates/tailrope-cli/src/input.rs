//! Reading a user's file: one clear sentence for each way in which that fails.

use crate::answer::Failure;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use tailrope::Error;
use tailrope::facts::MAX_BYTES;

/// Text of the file at `path` (`-`: standard input), no larger than a pack or an outing may be.
pub fn read(path: &Path) -> Result<String, Failure> {
    read_up_to(path, MAX_BYTES, "a TOML text")
}

/// The same up to a size of its own; `wanted` says what an empty file should hold.
pub fn read_up_to(path: &Path, most: usize, wanted: &str) -> Result<String, Failure> {
    let place = path.display().to_string();
    if place == "-" {
        return read_from(io::stdin().lock(), "standard input", most, wanted);
    }
    let about = std::fs::metadata(path).map_err(|e| explain(&place, &e))?;
    if about.is_dir() {
        return Err(refuse(&place, "that is a folder", "a file", "name the file in it"));
    }
    if about.len() > most as u64 {
        return Err(too_large(&place, about.len(), most));
    }
    read_from(File::open(path).map_err(|e| explain(&place, &e))?, &place, most, wanted)
}

/// Bytes of a file that is no text.
pub fn bytes(path: &Path, most: usize) -> Result<Vec<u8>, Failure> {
    let place = path.display().to_string();
    take(File::open(path).map_err(|e| explain(&place, &e))?, &place, most)
}

fn take(from: impl Read, place: &str, most: usize) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    // One more than allowed: enough to know that there is more, whatever the source claims about its size.
    from.take(most as u64 + 1).read_to_end(&mut bytes).map_err(|e| explain(place, &e))?;
    if bytes.len() > most {
        return Err(too_large(place, bytes.len() as u64, most));
    }
    Ok(bytes)
}

fn read_from(from: impl Read, place: &str, most: usize, wanted: &str) -> Result<String, Failure> {
    let bytes = take(from, place, most)?;
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = good.split(|b| *b == b'\n').count();
        refuse(
            &format!("{place}, line {line}"),
            "these bytes are no UTF-8 text",
            "text in UTF-8",
            "save the file as UTF-8, or give the right file",
        )
    })?;
    if text.trim().is_empty() {
        let remedy = if most == MAX_BYTES {
            "start from `tailrope demo --write DIR`"
        } else {
            "fetch the file again: nothing came"
        };
        return Err(refuse(place, "the file is empty", wanted, remedy));
    }
    Ok(text)
}

fn refuse(place: &str, error: &str, allowed: &str, remedy: &str) -> Failure {
    Error::new(error, allowed, remedy).within(place).into()
}

fn too_large(place: &str, bytes: u64, most: usize) -> Failure {
    refuse(
        place,
        &format!("the file has {bytes} bytes or more"),
        &format!("at most {most} bytes"),
        "give the right file: none of this kind is that large",
    )
}

/// A missing file is the user's; anything else that keeps us from reading is the machine's.
fn explain(place: &str, e: &io::Error) -> Failure {
    match e.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
            refuse(place, "there is no such file", "", "check the name and the folder")
        }
        io::ErrorKind::IsADirectory => refuse(place, "that is a folder", "a file", "name the file in it"),
        io::ErrorKind::PermissionDenied => Failure::Machine(
            Error::new(
                "this machine does not let us read it",
                "",
                "give yourself permission to read the file",
            )
            .within(place),
        ),
        _ => Failure::machine(place, &format!("it cannot be read ({e})")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn say(f: Failure) -> String {
        match f {
            Failure::Input(e) => format!("3 {e}"),
            Failure::Machine(e) => format!("4 {e}"),
            other => format!("{other:?}"),
        }
    }

    #[test]
    fn permission_is_the_machines_and_a_missing_file_the_users() {
        let of = |kind| say(explain("a.toml", &io::Error::from(kind)));
        assert!(of(io::ErrorKind::PermissionDenied).starts_with("4 a.toml: this machine does not let us"));
        assert!(of(io::ErrorKind::NotFound).starts_with("3 a.toml: there is no such file"));
        assert!(of(io::ErrorKind::TimedOut).starts_with("4 a.toml: it cannot be read"));
    }

    #[test]
    fn a_source_that_lies_about_its_size_is_cut_off() {
        assert!(
            say(read_from(io::repeat(b'#'), "pipe", MAX_BYTES, "").unwrap_err())
                .contains("at most 4194304 bytes")
        );
    }

    #[test]
    fn names_the_line_of_bad_bytes() {
        let e = say(read_from(&b"a = 1\nb = '\xff'\n"[..], "x.toml", MAX_BYTES, "").unwrap_err());
        assert!(e.starts_with("3 x.toml, line 2: these bytes are no UTF-8"), "{e}");
        assert!(say(read_from(&b" \n"[..], "x.toml", MAX_BYTES, "").unwrap_err()).contains("empty"));
    }
}
