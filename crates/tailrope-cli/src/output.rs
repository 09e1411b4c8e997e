//! Writing a user's file: whole or not at all.

use crate::answer::Failure;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// Replaces the file at `path` by `bytes`, or leaves what was there: it is written beside it, brought to the disk, and
/// then moved into its place. A link is followed; permissions of an old file are kept.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let place = path.display().to_string();
    put(path, bytes).map_err(|e| {
        let what = match e.kind() {
            io::ErrorKind::NotFound => "the folder does not exist".to_owned(),
            io::ErrorKind::PermissionDenied => "writing is not permitted".to_owned(),
            _ => format!("writing failed ({e})"),
        };
        Failure::machine(&place, &what)
    })
}

fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // `-` is a name like any other here: text and JSON go to standard output, files to their name.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    if target.is_dir() {
        return Err(io::Error::other("that is a folder"));
    }
    let folder = match target.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut beside = builder().tempfile_in(folder)?;
    beside.write_all(bytes)?;
    beside.as_file().sync_all()?;
    if let Ok(old) = fs::metadata(&target) {
        beside.as_file().set_permissions(old.permissions())?;
    }
    beside.persist(&target).map_err(|e| e.error)?;
    Ok(())
}

fn builder() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tailrope-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As for any new file: the user's own mask takes away from it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_else_is_left() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("night.toml");
        write(&path, b"one").unwrap();
        write(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
        assert!(write(&dir.path().join("none/night.toml"), b"x").is_err());
        assert!(write(dir.path(), b"x").is_err());
    }

    #[cfg(unix)]
    #[test]
    fn links_are_followed_and_permissions_kept() {
        use std::os::unix::fs::PermissionsExt as _;
        let dir = tempfile::tempdir().unwrap();
        let (real, link) = (dir.path().join("real.toml"), dir.path().join("link.toml"));
        fs::write(&real, "old").unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        write(&link, b"new").unwrap();
        assert_eq!(fs::read(&real).unwrap(), b"new");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
    }
}
