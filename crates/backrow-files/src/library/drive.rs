//! The few things that the library does with files, behind one trait, so that tests can fail, stop or lose any of them.

#[cfg(test)]
pub(super) mod faults;
mod real;

pub(super) use real::Real;

use std::ffi::OsString;
use std::fmt::Debug;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What stands under a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// A file of bytes.
    File,
    /// A folder.
    Folder,
    /// A link; only where it was not followed.
    Link,
    /// A pipe, a device or the like: it may never end, and is not read.
    Other,
}

/// What a file looks like without being read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Look {
    /// What it is.
    pub sort: Sort,
    /// Bytes.
    pub length: u64,
    /// When it was last written, where the drive knows.
    pub modified: Option<SystemTime>,
}

/// Whether somebody holds a file while they work with it.
#[derive(Debug)]
pub(super) enum Held {
    /// It was free and is now ours until the guard is dropped.
    Ours(Guard),
    /// Another program holds it.
    Theirs,
    /// The drive cannot tell.
    Unknown,
}

/// Holds a file until it is dropped or its program ends.
pub(super) type Guard = Box<dyn Debug + Send + Sync>;

/// Files and folders of one machine. Every line is one step that may fail by itself.
pub(super) trait Drive: Debug + Send + Sync {
    /// Looks at what a name leads to.
    fn look(&self, path: &Path) -> io::Result<Look>;
    /// Looks at the name itself: a link is not followed.
    fn look_at_name(&self, path: &Path) -> io::Result<Look>;
    /// Where a name really leads, links followed; itself where that cannot be found out.
    fn real(&self, path: &Path) -> PathBuf;
    /// The bytes of a file; refused where it is no plain file or has more than `most`.
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>>;
    /// The names in a folder, in no order.
    fn names(&self, folder: &Path) -> io::Result<Vec<io::Result<OsString>>>;
    /// Makes a folder where its parent is there.
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
    /// Makes a file where nothing is, writes it whole and flushes it; with the rights of the file `like`. What fails midway
    /// leaves nothing unless the machine stops.
    fn create(&self, path: &Path, bytes: &[u8], like: Option<&Path>) -> io::Result<Look>;
    /// Puts a file under another name, over what is there.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Puts a file under another name; refused with `AlreadyExists` where something is there.
    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file a second name; `Unsupported` or another refusal where the drive cannot.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Lets two files change names in one step; `Unsupported` where the drive cannot.
    fn exchange(&self, one: &Path, other: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Flushes what was made, renamed and removed in a folder, where the drive can.
    fn flush_folder(&self, folder: &Path);
    /// Holds a file against other programs.
    fn hold(&self, path: &Path) -> io::Result<Held>;
    /// The time of the clock.
    fn now(&self) -> SystemTime;
}

/// Whether something has that name, were it a link that leads nowhere.
pub(super) fn is_named(drive: &dyn Drive, path: &Path) -> bool {
    drive.look_at_name(path).is_ok()
}
