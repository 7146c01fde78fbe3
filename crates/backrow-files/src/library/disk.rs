//! What is known of the files on the disk, and writing them safely.

use super::content::Content;
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use std::collections::hash_map::DefaultHasher;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::hash::{Hash, Hasher};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;
use tempfile::NamedTempFile;

/// What stands on the disk as far as this program has read or written it. It goes with one folder and one history of
/// one library: made by `open` or `create_from`, kept up by `save`.
#[derive(Clone, Debug, Default)]
pub struct DiskState {
    /// By the path that the thing's file has by rights, relative to the library, with `/` between folders.
    pub(super) files: BTreeMap<String, Known>,
    /// The kinds table, which is not written.
    pub(super) table: Shared<KindId, Kind>,
    /// Kinds of the table that the house has struck out.
    pub(super) without: BTreeSet<KindId>,
    /// The kinds of the library as last read or written, to see which were struck out.
    pub(super) kinds: Shared<KindId, Kind>,
    /// Why nothing may be written.
    pub(super) read_only: Option<String>,
}

impl DiskState {
    /// Why nothing may be written, where that is so.
    pub fn read_only(&self) -> Option<&str> {
        self.read_only.as_deref()
    }

    /// Files that somebody else has changed, or taken away, since they were read or written here; a quick look at
    /// times and lengths that reads nothing. Relative to the library.
    pub fn changed_elsewhere(&self, dir: &Path) -> Vec<String> {
        let changed = self.files.values().filter(|known| !known.stamp.looks_same(&dir.join(&known.file)));
        changed.map(|known| known.file.clone()).collect()
    }
}

/// One file as it was last read or written.
#[derive(Clone, Debug)]
pub(super) struct Known {
    /// Where it really stands, relative to the library.
    pub file: String,
    /// What it holds.
    pub content: Content,
    /// What it looked like.
    pub stamp: Stamp,
    /// What else of its looks is kept when it is written again.
    pub dress: Dress,
    /// Never written, because a newer program made it.
    pub newer: bool,
}

/// What a file looked like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    length: u64,
    hash: u64,
    modified: Option<SystemTime>,
}

impl Stamp {
    /// The stamp of a file with those bytes that has just been read or written there.
    pub(super) fn new(path: &Path, bytes: &[u8]) -> Self {
        let mut hasher = DefaultHasher::new();
        bytes.hash(&mut hasher);
        let modified = fs::metadata(path).and_then(|meta| meta.modified()).ok();
        Self { length: bytes.len() as u64, hash: hasher.finish(), modified }
    }

    /// Whether the bytes are the same, whatever the clock says.
    pub(super) fn same_bytes(self, other: Self) -> bool {
        (self.length, self.hash) == (other.length, other.hash)
    }

    fn looks_same(self, path: &Path) -> bool {
        fs::metadata(path)
            .is_ok_and(|meta| meta.len() == self.length && meta.modified().ok() == self.modified)
    }
}

/// What a person may have given a file that its thing does not hold: comments above the first bracket, and the line
/// ends of another system.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Dress {
    header: String,
    crlf: bool,
}

impl Dress {
    pub(super) fn of(text: &str) -> Self {
        let header = text.split_once('(').map_or("", |(before, _)| before);
        // A bracket within a comment would cut it short: such a header is given up rather than broken.
        let whole = header.lines().all(|line| line.trim().is_empty() || line.trim_start().starts_with("//"))
            && (header.is_empty() || header.ends_with('\n'));
        Self {
            header: if whole { header.replace("\r\n", "\n") } else { String::new() },
            crlf: text.contains("\r\n"),
        }
    }

    /// The line of the first comment that would be lost when the file is written again.
    pub(super) fn comment_within(&self, text: &str) -> Option<u32> {
        let mut quoted = false;
        let mut before = ' ';
        let mut line = 1_u32;
        let kept = self.header.matches('\n').count();
        for c in text.chars() {
            match c {
                '\n' => line = line.saturating_add(1),
                '"' if before != '\\' => quoted = !quoted,
                '/' | '*' if before == '/' && !quoted && line as usize > kept => return Some(line),
                _ => {}
            }
            // Two backslashes are one, and escape nothing.
            before = if c == '\\' && before == '\\' { ' ' } else { c };
        }
        None
    }

    /// The text in its dress.
    pub(super) fn put_on(&self, text: &str) -> String {
        let text = format!("{}{text}", self.header);
        if self.crlf { text.replace('\n', "\r\n") } else { text }
    }
}

/// Where a write is to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Over {
    /// Over the file that is there.
    Old,
    /// Only where nothing is.
    Nothing,
}

/// Writes a file whole or not at all: a new file beside it, flushed to the disk, then renamed. A link stays a link:
/// the file that it leads to is replaced.
pub(super) fn write_safely(path: &Path, bytes: &[u8], over: Over) -> io::Result<()> {
    let path = match over {
        Over::Old => fs::canonicalize(path).unwrap_or_else(|_gone| path.to_owned()),
        Over::Nothing => path.to_owned(),
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".backrow-").suffix(".tmp");
    let mut file = new_file(&mut builder, &path, folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    match over {
        Over::Old => file.persist(&path).map_err(|error| error.error)?,
        Over::Nothing => file.persist_noclobber(&path).map_err(|error| error.error)?,
    };
    sync_folder(folder);
    Ok(())
}

/// Gives a new file the rights of the one that it replaces, or those of any new file. A temporary file would else be
/// the writer's alone, and shut the rest of the section out of a shared drive.
#[cfg(unix)]
fn new_file(
    builder: &mut tempfile::Builder<'_, '_>,
    path: &Path,
    folder: &Path,
) -> io::Result<NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    let file = builder.permissions(fs::Permissions::from_mode(0o666)).tempfile_in(folder)?;
    if let Ok(old) = fs::metadata(path) {
        // Some drives know no rights; that must not keep the text from being saved.
        fs::set_permissions(file.path(), old.permissions()).unwrap_or_default();
    }
    Ok(file)
}

#[cfg(not(unix))]
fn new_file(
    builder: &mut tempfile::Builder<'_, '_>,
    _path: &Path,
    folder: &Path,
) -> io::Result<NamedTempFile> {
    builder.tempfile_in(folder)
}

/// Flushes the rename itself. Some drives cannot; the file's own bytes are flushed already, so that is no error.
fn sync_folder(folder: &Path) {
    if let Ok(folder) = fs::File::open(folder) {
        folder.sync_all().unwrap_or_default();
    }
}

/// Whether a file can be made in a folder; found by making one, for rights alone do not tell.
pub(super) fn can_write(folder: &Path) -> io::Result<()> {
    tempfile::Builder::new().prefix(".backrow-").suffix(".tmp").tempfile_in(folder).map(drop)
}

/// The path of a file of the library on this system.
pub(super) fn on_disk(dir: &Path, file: &str) -> PathBuf {
    file.split('/').fold(dir.to_owned(), |path, part| path.join(part))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("(format: 1)", "", false)]
    #[case("// ours\n\n(format: 1)", "// ours\n\n", false)]
    #[case("// ours\r\n(format: 1)\r\n", "// ours\n", true)]
    #[case("// ours (really)\n(format: 1)", "", false)]
    #[case("/* ours */ (format: 1)", "", false)]
    fn headers_are_kept_where_they_are_whole(#[case] text: &str, #[case] header: &str, #[case] crlf: bool) {
        assert_eq!(Dress::of(text), Dress { header: header.to_owned(), crlf });
    }

    #[rstest]
    #[case("// ours\n(format: 1, url: \"a//b \\\" //\")", None)]
    #[case("// ours\n(format: 1, // theirs\n)", Some(2))]
    #[case("/* ours */ (format: 1)", Some(1))]
    #[case("(a: \"\\\\\", /* b */)", Some(1))]
    fn comments_within_are_found(#[case] text: &str, #[case] line: Option<u32>) {
        assert_eq!(Dress::of(text).comment_within(text), line);
    }

    #[test]
    fn a_write_leaves_nothing_beside_it() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.ron");
        write_safely(&path, b"one", Over::Nothing).unwrap();
        assert!(write_safely(&path, b"two", Over::Nothing).is_err());
        write_safely(&path, b"three", Over::Old).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"three");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }
}
