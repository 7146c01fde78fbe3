//! Putting one file in its place, or importing it away, without ever losing what somebody else has written there.
//!
//! The new text is a file of its own, whole and flushed, before its name is touched. Then the two change names in one step,
//! and what came out is inspected: if it is not what was expected, somebody wrote in the moment between, and the step is
//! taken back. What came out as expected goes among the earlier versions, so that even a program that still has it open
//! writes into a file that is kept. Drives that cannot exchange names are looked at once more right before the rename.

use super::disk::{Stamp, hash, on_disk};
use super::drive::{Drive, Real, Sort, is_named};
use super::earlier;
use super::open::LARGEST;
use super::second::KEPT;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// How new files are called until they are in their place.
pub(super) const HALF: (&str, &str) = (".backrow-", ".tmp");

/// More tries than this at a file that others keep changing are given up.
const TRIES: u32 = 8;

/// One library's folder on one drive.
#[derive(Clone, Copy)]
pub(super) struct Writer<'a> {
    pub drive: &'a dyn Drive,
    pub dir: &'a Path,
}

/// How the file on the disk stands to what was read.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Now {
    /// Nothing is there.
    Missing,
    /// As it was read or written.
    Ours,
    /// Somebody else's, or never read; its bytes, or none where they cannot be had.
    Theirs(Vec<u8>),
}

/// What came of a write.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Put {
    /// The text is in its place, and looks so.
    Done(Stamp),
    /// Somebody else's stands there and stays; its bytes.
    Theirs(Vec<u8>),
}

impl Writer<'_> {
    fn path(&self, file: &str) -> PathBuf {
        on_disk(self.dir, file)
    }

    /// What stands there, against what was read.
    pub(super) fn now(&self, file: &str, known: Option<Stamp>) -> io::Result<Now> {
        let path = self.path(file);
        match self.drive.read(&path, LARGEST) {
            Ok(bytes) => {
                let ours = known.is_some_and(|known| known.is_of(&bytes));
                Ok(if ours { Now::Ours } else { Now::Theirs(bytes) })
            }
            // A link that leads nowhere is something, though it cannot be read.
            Err(error) if error.kind() == ErrorKind::NotFound => {
                Ok(if is_named(self.drive, &path) { Now::Theirs(Vec::new()) } else { Now::Missing })
            }
            // A folder, a pipe, a file without end: in the way, and nobody's to replace.
            Err(error)
                if matches!(
                    error.kind(),
                    ErrorKind::IsADirectory | ErrorKind::InvalidInput | ErrorKind::FileTooLarge
                ) =>
            {
                Ok(Now::Theirs(Vec::new()))
            }
            Err(error) => Err(error),
        }
    }

    /// Writes where nothing is, or over the file that looks like `known`.
    pub(super) fn put(&self, file: &str, text: &[u8], known: Option<Stamp>) -> io::Result<Put> {
        for _ in 0..TRIES {
            match self.now(file, known)? {
                Now::Theirs(bytes) if bytes == text => return self.same_already(file, text),
                Now::Theirs(bytes) => return Ok(Put::Theirs(bytes)),
                Now::Missing => match self.put_new(file, text) {
                    Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                    other => return other.map(Put::Done),
                },
                Now::Ours => {
                    if let Some(done) =
                        known.map(|known| self.put_over(file, text, known)).transpose()?.flatten()
                    {
                        return Ok(done);
                    }
                }
            }
        }
        Err(ErrorKind::ResourceBusy.into())
    }

    /// The same text was written there by somebody else.
    fn same_already(&self, file: &str, text: &[u8]) -> io::Result<Put> {
        self.drive.look(&self.path(file)).map(|look| Put::Done(Stamp::new(look, text)))
    }

    /// Writes where nothing is; `AlreadyExists` where something is by now.
    pub(super) fn put_new(&self, file: &str, text: &[u8]) -> io::Result<Stamp> {
        let path = self.path(file);
        let half = half_beside(self.drive, &path);
        let look = self.drive.create(&half, text, None)?;
        self.drive.rename_new(&half, &path).inspect_err(|_why| self.clear(&half))?;
        self.drive.flush_folder(folder_of(&path));
        Ok(Stamp::new(look, text))
    }

    /// Writes over the file that looks like `known`; `None` where it has meanwhile gone, and is to be looked at again.
    fn put_over(&self, file: &str, text: &[u8], known: Stamp) -> io::Result<Option<Put>> {
        // A link stays a link: the file that it leads to is replaced.
        let path = self.drive.real(&self.path(file));
        let half = half_over(self.drive, &path, known, Some(text));
        let look = self.drive.create(&half, text, Some(&path))?;
        let put = match self.drive.exchange(&half, &path) {
            Ok(()) => Ok(self.inspect(file, text, known, (&half, &path))),
            Err(error) if error.kind() == ErrorKind::Unsupported => {
                self.rename_over(file, known, (&half, &path))
            }
            Err(error) => Err(error),
        };
        self.drive.flush_folder(folder_of(&path));
        match put {
            Ok(None) => Ok(Some(Put::Done(Stamp::new(look, text)))),
            Ok(Some(theirs)) => Ok(Some(Put::Theirs(theirs))),
            Err(error) => {
                self.clear(&half);
                if error.kind() == ErrorKind::NotFound && !is_named(self.drive, &path) {
                    Ok(None)
                } else {
                    Err(error)
                }
            }
        }
    }

    /// Looks at what came out of an exchange; the bytes of somebody else's that was put back.
    fn inspect(
        &self,
        file: &str,
        text: &[u8],
        known: Stamp,
        (half, path): (&Path, &Path),
    ) -> Option<Vec<u8>> {
        let Ok(out) = self.drive.read(half, LARGEST) else {
            // It cannot be told what it was: it is kept, and what is written stands.
            earlier::park(self, half, file);
            return None;
        };
        if known.is_of(&out) {
            earlier::park(self, half, file);
            return None;
        }
        // Where it cannot be put back, it is kept beside, and ours stands.
        if self.drive.exchange(half, path).is_err() {
            self.beside_or_park(file, half, &out);
            return None;
        }
        // Ours came out again, unless a third has been there within the moment; that is kept too.
        match self.drive.read(half, LARGEST) {
            Ok(bytes) if bytes == text => self.clear(half),
            Ok(third) => self.beside_or_park(file, half, &third),
            Err(_unread) => earlier::park(self, half, file),
        }
        Some(out)
    }

    /// Keeps what nobody has seen yet as a second version of its file, so that it is offered; among the earlier versions where
    /// that cannot be done.
    pub(super) fn beside_or_park(&self, file: &str, half: &Path, bytes: &[u8]) {
        match self.keep_beside(file, bytes) {
            Ok(_) => self.clear(half),
            Err(_refused) => earlier::park(self, half, file),
        }
    }

    /// Where names cannot be exchanged: the old file gets a second name among the earlier versions, so that whoever writes into
    /// it later writes into a file that is kept; then it is looked at once more, and renamed over at once.
    fn rename_over(
        &self,
        file: &str,
        known: Stamp,
        (half, path): (&Path, &Path),
    ) -> io::Result<Option<Vec<u8>>> {
        earlier::keep(self, path, file);
        let old = self.drive.read(path, LARGEST)?;
        if !known.is_of(&old) {
            self.clear(half);
            return Ok(Some(old));
        }
        self.drive.rename(half, path).map(|()| None)
    }

    /// Takes a file away if it is as it was read, and keeps it among the earlier versions. `false`: it is somebody else's and
    /// stays.
    pub(super) fn take_away(&self, file: &str, known: Stamp) -> io::Result<bool> {
        let path = self.path(file);
        match self.now(file, Some(known))? {
            Now::Missing => return Ok(true),
            Now::Theirs(_) => return Ok(false),
            Now::Ours => {}
        }
        if self.drive.look_at_name(&path).is_ok_and(|look| look.sort == Sort::Link) {
            // The link goes; what it leads to is somewhere else's.
            self.drive.remove(&path)?;
            self.drive.flush_folder(folder_of(&path));
            return Ok(true);
        }
        let half = half_over(self.drive, &path, known, None);
        match self.drive.rename_new(&path, &half) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(true),
            other => other?,
        }
        match self.drive.read(&half, LARGEST) {
            Ok(bytes) if known.is_of(&bytes) => {}
            // Somebody else's, or not to be told: it goes back, unless the name has been taken again meanwhile.
            other => {
                if self.drive.rename_new(&half, &path).is_ok() {
                    return other.map(|_theirs| false);
                }
            }
        }
        earlier::park(self, &half, file);
        self.drive.flush_folder(folder_of(&path));
        Ok(true)
    }

    /// Writes a version beside a file that must not be touched; its name and looks.
    pub(super) fn keep_beside(&self, file: &str, text: &[u8]) -> io::Result<(String, Stamp)> {
        let stem = file.strip_suffix(".ron").unwrap_or(file);
        let mut number = 1_u32;
        loop {
            let beside = format!("{stem}{KEPT}{number}.ron");
            match self.put_new(&beside, text) {
                Err(error) if error.kind() == ErrorKind::AlreadyExists && number < u32::MAX => number += 1,
                other => return other.map(|stamp| (beside, stamp)),
            }
        }
    }

    /// Makes one of the library's folders, and those above it, where they are not there yet.
    pub(super) fn make_folder(&self, folder: &str) -> io::Result<()> {
        let mut path = self.dir.to_owned();
        for part in folder.split('/') {
            path.push(part);
            match self.drive.make_folder(&path) {
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                    if self.drive.look(&path)?.sort != Sort::Folder {
                        return Err(ErrorKind::NotADirectory.into());
                    }
                }
                other => {
                    other?;
                    self.drive.flush_folder(folder_of(&path));
                }
            }
        }
        Ok(())
    }

    /// Clears a file of ours that is of no more use; what cannot be cleared is cleared when the library is next opened.
    fn clear(&self, half: &Path) {
        self.drive.remove(half).unwrap_or_default();
    }
}

/// The folder that a file stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// A name beside a file that nobody has: with the file's own, so that what a power cut leaves can be told.
pub(super) fn half_beside(drive: &dyn Drive, path: &Path) -> PathBuf {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let nanos = drive.now().duration_since(std::time::UNIX_EPOCH).map_or(0, |since| since.as_nanos());
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let unique = format!("{:x}-{:x}-{count:x}", std::process::id(), nanos & 0xFFFF_FFFF_FFFF);
    folder_of(path).join(format!("{}{stem}.{unique}{}", HALF.0, HALF.1))
}

/// The same for what goes over or away from a file that looks like `known`: with the hashes of that and of the new text. When the
/// program is stopped with somebody else's text under this name, it is seen that it is neither.
fn half_over(drive: &dyn Drive, path: &Path, known: Stamp, text: Option<&[u8]>) -> PathBuf {
    let (_, old) = known.numbers();
    let new = text.map_or(old, hash);
    let half = half_beside(drive, path);
    let name = half.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let name = name.strip_suffix(HALF.1).unwrap_or(&name);
    folder_of(path).join(format!("{name}-{old:x}-{new:x}{}", HALF.1))
}

/// Whether a leftover of that name holds somebody else's text: neither what the stopped program had read nor what it wrote.
pub(super) fn is_somebody_elses(name: &str, bytes: &[u8]) -> bool {
    let Some(unique) = name.strip_suffix(HALF.1).and_then(|name| name.rsplit('.').next()) else {
        return false;
    };
    let mut parts = unique.split('-').skip(3).map(|part| u64::from_str_radix(part, 16));
    match (parts.next(), parts.next()) {
        (Some(Ok(old)), Some(Ok(new))) => ![old, new].contains(&hash(bytes)),
        _ => false,
    }
}

/// The stem of the file that a leftover was to become, or had been.
pub(super) fn stem_of_half(name: &str) -> Option<&str> {
    name.strip_prefix(HALF.0)?.strip_suffix(HALF.1)?.rsplit_once('.').map(|(stem, _)| stem)
}

/// Writes a file of any sort whole or not at all: a new file beside it, flushed, then renamed over it.
///
/// # Errors
/// What the disk said; the old file then stands as it was.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let path = Real.real(path);
    let half = half_beside(&Real, &path);
    Real.create(&half, bytes, Some(&path))?;
    Real.rename(&half, &path).inspect_err(|_why| Real.remove(&half).unwrap_or_default())?;
    Real.flush_folder(folder_of(&path));
    Ok(())
}
