//! Writing back a crew's file: whole or not at all.

use crate::answer::Failure;
use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::Path;
use tailrope::Error;

/// Puts `text` in the place of the file at `path`, which held `before` when it was read: beside it first, then by one
/// renaming, so that a full disk or a fallen battery leaves the old file. Refuses a file that changed meanwhile.
pub fn replace(path: &Path, before: &str, text: &str) -> Result<(), Failure> {
    let place = path.display().to_string();
    let fails = |e: &io::Error| Failure::machine(&place, &format!("it cannot be written ({e})"));
    // Behind a link stands the file that is meant.
    let target = fs::canonicalize(path).map_err(|e| fails(&e))?;
    if fs::read(&target).map_err(|e| fails(&e))? != before.as_bytes() {
        let error = "the file changed while it was read";
        return Err(Error::new(error, "", "close what else writes it, then try again").within(&place).into());
    }
    let name = target.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let beside = target.with_file_name(format!(".{name}.{}.new", std::process::id()));
    let written = write_new(&beside, &target, text);
    if written.is_err() {
        // Only what was made here is taken away again; that it may fail as well changes nothing.
        let _ = fs::remove_file(&beside);
    }
    written.map_err(|e| fails(&e))
}

fn write_new(beside: &Path, target: &Path, text: &str) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(beside)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    fs::set_permissions(beside, fs::metadata(target)?.permissions())?;
    fs::rename(beside, target)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writes_whole_leaves_nothing_beside_and_refuses_a_changed_file() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("night.toml");
        fs::write(&path, "a = 1\n").unwrap();
        replace(&path, "a = 1\n", "a = 2\n").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2\n");
        assert!(
            matches!(replace(&path, "a = 1\n", "a = 3\n"), Err(Failure::Input(e)) if e.error.contains("changed"))
        );
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2\n");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
        assert!(matches!(replace(&dir.path().join("none"), "", "x"), Err(Failure::Machine(_))));
    }
}
