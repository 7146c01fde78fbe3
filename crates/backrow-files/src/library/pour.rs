//! Files copied piece by piece: how far it has come is told, it can be ended between two pieces, and there is a limit to it all.

use super::problem::Problem;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Is told how many of how many kilobytes are copied; says whether to go on.
pub type GoesOn<'a> = dyn Fn(usize, usize) -> bool + 'a;

/// How much a library in one file may hold.
#[derive(Clone, Copy, Debug)]
pub(super) struct Most {
    /// Files.
    pub(super) files: usize,
    /// Bytes, unpacked.
    pub(super) bytes: u64,
}

/// Far beyond what a section has: fifty years of takes.
pub(super) const MOST: Most = Most { files: 60_000, bytes: 8 << 30 };

/// Bytes of a piece.
const PIECE: usize = 256 << 10;
/// Folders within folders that are gone into.
const DEEPEST: usize = 16;

/// How far it has come.
pub(super) struct Told<'a> {
    goes_on: &'a GoesOn<'a>,
    done: u64,
    of: u64,
}

impl<'a> Told<'a> {
    pub(super) const fn new(goes_on: &'a GoesOn<'a>, of: u64) -> Self {
        Self { goes_on, done: 0, of }
    }

    /// So many bytes more are copied; whether to go on.
    pub(super) fn went(&mut self, bytes: u64) -> bool {
        self.done = self.done.saturating_add(bytes);
        let kilo = |bytes: u64| usize::try_from(bytes >> 10).unwrap_or(usize::MAX);
        (self.goes_on)(kilo(self.done), kilo(self.of).max(1))
    }
}

/// Copies all that is there, at most `most` bytes and one more; how many they were. `None` when it was ended.
pub(super) fn pour(
    from: &mut impl Read,
    to: &mut impl Write,
    most: u64,
    told: &mut Told<'_>,
) -> io::Result<Option<u64>> {
    let mut piece = vec![0; PIECE];
    let mut from = from.take(most.saturating_add(1));
    let mut all = 0;
    loop {
        let read = match from.read(&mut piece) {
            Ok(0) => return Ok(Some(all)),
            Ok(read) => read,
            Err(why) if why.kind() == io::ErrorKind::Interrupted => continue,
            Err(why) => return Err(why),
        };
        to.write_all(piece.get(..read).unwrap_or_default())?;
        all += read as u64;
        if !told.went(read as u64) {
            return Ok(None);
        }
    }
}

/// A file that is to be copied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part {
    /// Where it goes, with `/` between folders.
    pub(super) name: String,
    /// Where it lies.
    pub(super) path: PathBuf,
    /// Its length now, bytes.
    pub(super) bytes: u64,
}

/// Every plain file in a folder and in those within it, in order; what is hidden stays behind. More than `most` files are an error.
pub(super) fn parts_of(folder: &Path, prefix: &str, most: usize) -> io::Result<Vec<Part>> {
    let mut parts = Vec::new();
    list(folder, prefix, most, (DEEPEST, &mut parts))?;
    parts.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(parts)
}

fn list(
    folder: &Path,
    prefix: &str,
    most: usize,
    (deeper, parts): (usize, &mut Vec<Part>),
) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else { continue };
        if name.starts_with('.') {
            continue;
        }
        // A link counts as what it leads to; one that leads nowhere, a pipe and a device are no part of a library.
        let Ok(what) = fs::metadata(entry.path()) else { continue };
        if what.is_dir() && deeper > 0 {
            list(&entry.path(), &format!("{prefix}{name}/"), most, (deeper - 1, parts))?;
        } else if what.is_file() {
            if parts.len() >= most {
                return Err(io::Error::new(io::ErrorKind::FileTooLarge, too_many(most)));
            }
            parts.push(Part { name: format!("{prefix}{name}"), path: entry.path(), bytes: what.len() });
        }
    }
    Ok(())
}

pub(super) fn too_many(files: usize) -> String {
    format!("it has more than {files} files")
}

pub(super) fn too_large(bytes: u64) -> String {
    if bytes >= 1 << 30 {
        format!("its files have more than {} GB together", bytes >> 30)
    } else {
        format!("its files have more than {bytes} bytes together")
    }
}

/// Copies files into a folder; `false` when it was ended.
pub(super) fn pour_into(folder: &Path, parts: &[Part], told: &mut Told<'_>) -> Result<bool, Problem> {
    for part in parts {
        let io = |error: &io::Error| Problem::io(part.name.clone(), "copy it", error);
        let path = part.name.split('/').fold(folder.to_owned(), |path, one| path.join(one));
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).map_err(|error| io(&error))?;
        }
        let mut from = fs::File::open(&part.path).map_err(|error| io(&error))?;
        let mut to = fs::File::create(&path).map_err(|error| io(&error))?;
        if pour(&mut from, &mut to, u64::MAX - 1, told).map_err(|error| io(&error))?.is_none() {
            return Ok(false);
        }
        to.sync_all().map_err(|error| io(&error))?;
    }
    Ok(true)
}
