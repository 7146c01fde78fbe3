//! The machine's own files.

use super::{Drive, Held, Look, Sort};
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// The machine's own files.
#[derive(Clone, Copy, Debug, Default)]
pub(in super::super) struct Real;

fn look_of(meta: &fs::Metadata) -> Look {
    let sort = match meta.file_type() {
        kind if kind.is_file() => Sort::File,
        kind if kind.is_dir() => Sort::Folder,
        kind if kind.is_symlink() => Sort::Link,
        _ => Sort::Other,
    };
    Look { sort, length: meta.len(), modified: meta.modified().ok() }
}

/// A drive that cannot flush says so with `EINVAL` or "not supported"; the bytes are then as safe as it can make them.
fn flushed(result: io::Result<()>) -> io::Result<()> {
    match result {
        Err(error) if matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Ok(()),
        other => other,
    }
}

/// Takes a free name where neither the system nor links can: it is claimed with an empty file, which every drive does in one step,
/// and renamed over.
fn claim(from: &Path, to: &Path) -> io::Result<()> {
    drop(OpenOptions::new().write(true).create_new(true).open(to)?);
    fs::rename(from, to).inspect_err(|_why| {
        fs::remove_file(to).unwrap_or_default();
    })
}

impl Drive for Real {
    fn look(&self, path: &Path) -> io::Result<Look> {
        fs::metadata(path).map(|meta| look_of(&meta))
    }

    fn look_at_name(&self, path: &Path) -> io::Result<Look> {
        fs::symlink_metadata(path).map(|meta| look_of(&meta))
    }

    fn real(&self, path: &Path) -> PathBuf {
        fs::canonicalize(path).unwrap_or_else(|_gone| path.to_owned())
    }

    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        crate::limits::read_plain(path, most)
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<io::Result<OsString>>> {
        Ok(fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.file_name())).collect())
    }

    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir(folder)
    }

    fn create(&self, path: &Path, bytes: &[u8], like: Option<&Path>) -> io::Result<Look> {
        let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
        if let Some(old) = like.and_then(|like| fs::metadata(like).ok()) {
            // Some drives know no rights; that must not keep the text from being saved.
            file.set_permissions(old.permissions()).unwrap_or_default();
        }
        let mut filled = || {
            file.write_all(bytes)?;
            flushed(file.sync_all())?;
            file.metadata().map(|meta| look_of(&meta))
        };
        filled().inspect_err(|_why| {
            fs::remove_file(path).unwrap_or_default();
        })
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        match with_flag(from, to, Flag::NoReplace) {
            Err(error) if error.kind() == ErrorKind::Unsupported => {}
            other => return other,
        }
        match fs::hard_link(from, to) {
            // With both names left, what was refused would be there all the same.
            Ok(()) => {
                return fs::remove_file(from).inspect_err(|_why| fs::remove_file(to).unwrap_or_default());
            }
            Err(error) if error.kind() == ErrorKind::AlreadyExists => return Err(error),
            Err(_no_links) => {}
        }
        claim(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn exchange(&self, one: &Path, other: &Path) -> io::Result<()> {
        with_flag(one, other, Flag::Exchange)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn flush_folder(&self, folder: &Path) {
        // Some drives cannot; the file's own bytes are flushed already, so that is no error.
        if let Ok(folder) = File::open(folder) {
            folder.sync_all().unwrap_or_default();
        }
    }

    fn hold(&self, path: &Path) -> io::Result<Held> {
        // Some drives lock only what may be written.
        let file = OpenOptions::new().read(true).write(true).open(path)?;
        Ok(match file.try_lock() {
            Ok(()) => Held::Ours(Box::new(file)),
            Err(TryLockError::WouldBlock) => Held::Theirs,
            Err(TryLockError::Error(_)) => Held::Unknown,
        })
    }

    fn now(&self) -> SystemTime {
        SystemTime::now()
    }
}

#[derive(Clone, Copy)]
enum Flag {
    NoReplace,
    Exchange,
}

/// A rename that the system knows two more sorts of; `Unsupported` where it, or the drive, does not.
#[cfg(any(target_os = "linux", target_os = "macos"))]
fn with_flag(from: &Path, to: &Path, flag: Flag) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    let flag = match flag {
        Flag::NoReplace => RenameFlags::NOREPLACE,
        Flag::Exchange => RenameFlags::EXCHANGE,
    };
    renameat_with(CWD, from, CWD, to, flag).map_err(|error| match error {
        Errno::INVAL | Errno::NOSYS | Errno::NOTSUP | Errno::PERM => ErrorKind::Unsupported.into(),
        other => other.into(),
    })
}

#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn with_flag(_from: &Path, _to: &Path, _flag: Flag) -> io::Result<()> {
    Err(ErrorKind::Unsupported.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_name_is_taken_only_where_it_is_free() {
        let dir = tempfile::tempdir().unwrap();
        let [one, other, free] = ["one", "other", "free"].map(|name| dir.path().join(name));
        Real.create(&one, b"one", None).unwrap();
        Real.create(&other, b"other", None).unwrap();
        assert_eq!(Real.create(&one, b"", None).unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(Real.rename_new(&one, &other).unwrap_err().kind(), ErrorKind::AlreadyExists);
        Real.rename_new(&one, &free).unwrap();
        assert_eq!(
            (fs::read(&free).unwrap(), fs::read(&other).unwrap()),
            (b"one".to_vec(), b"other".to_vec())
        );
        match Real.exchange(&free, &other) {
            Ok(()) => assert_eq!(fs::read(&free).unwrap(), b"other"),
            Err(error) => assert_eq!(error.kind(), ErrorKind::Unsupported),
        }
    }

    #[test]
    fn where_there_are_no_links_a_name_is_claimed_and_nothing_is_left_of_a_failed_claim() {
        let dir = tempfile::tempdir().unwrap();
        let [one, other, free] = ["one", "other", "free"].map(|name| dir.path().join(name));
        Real.create(&one, b"one", None).unwrap();
        Real.create(&other, b"other", None).unwrap();
        assert_eq!(claim(&one, &other).unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&other).unwrap(), b"other");
        claim(&one, &free).unwrap();
        assert_eq!((fs::read(&free).unwrap(), one.exists()), (b"one".to_vec(), false));
        let nowhere = dir.path().join("new");
        assert_eq!(claim(&one, &nowhere).unwrap_err().kind(), ErrorKind::NotFound);
        assert!(!nowhere.exists());
    }

    #[test]
    fn a_drive_that_cannot_flush_is_taken_at_its_word_and_a_full_one_is_not() {
        assert!(flushed(Err(ErrorKind::InvalidInput.into())).is_ok());
        assert!(flushed(Err(ErrorKind::Unsupported.into())).is_ok());
        assert_eq!(flushed(Err(ErrorKind::StorageFull.into())).unwrap_err().kind(), ErrorKind::StorageFull);
    }

    #[cfg(unix)]
    #[test]
    fn pipes_and_devices_are_not_read() {
        let device = Path::new("/dev/zero");
        assert_eq!(Real.read(device, 1 << 20).unwrap_err().kind(), ErrorKind::InvalidInput);
        let dir = tempfile::tempdir().unwrap();
        let pipe = dir.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
        assert!(made.success());
        assert_eq!(Real.read(&pipe, 1 << 20).unwrap_err().kind(), ErrorKind::InvalidInput);
        fs::write(dir.path().join("long"), [0; 100]).unwrap();
        assert_eq!(Real.read(&dir.path().join("long"), 99).unwrap_err().kind(), ErrorKind::FileTooLarge);
    }

    #[test]
    fn a_file_is_held_by_one_program() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("held");
        Real.create(&path, b"", None).unwrap();
        let first = Real.hold(&path).unwrap();
        if let Held::Ours(guard) = first {
            assert!(matches!(Real.hold(&path).unwrap(), Held::Theirs));
            drop(guard);
            assert!(matches!(Real.hold(&path).unwrap(), Held::Ours(_)));
        }
    }
}
