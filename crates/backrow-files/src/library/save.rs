//! Writing what has changed, and never over anything that was not read.

use super::content::{Content, FOLDERS, contents};
use super::disk::{DiskState, Known, Over, Stamp, on_disk, write_safely};
use super::open::KEPT;
use super::problem::{Problem, shown};
use backrow_core::library::Library;
use std::fs;
use std::io;
use std::path::Path;

/// What came of a save. Whatever is in `problems` is not on the disk as it is in memory; the next save tries again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaveReport {
    /// Files that were written, relative to the library, in order.
    pub written: Vec<String>,
    /// Files that were deleted because their thing was removed.
    pub removed: Vec<String>,
    /// Versions that were kept beside a file which somebody else had changed, or which could not be read.
    pub kept: Vec<Kept>,
    /// What could not be done as asked.
    pub problems: Vec<Problem>,
}

/// Two versions of one thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The file that stays as somebody else left it.
    pub file: String,
    /// The file with this program's version, beside it.
    pub beside: String,
}

impl SaveReport {
    /// Whether everything in memory is on the disk, under its own name.
    pub fn is_clean(&self) -> bool {
        self.problems.is_empty()
    }
}

/// Saves a library into the folder that `disk` was opened from. Only what differs from what stands there is written,
/// each file whole or not at all, and one that fails costs that file only.
pub fn save(dir: &Path, disk: &mut DiskState, library: &Library) -> SaveReport {
    let mut saver = Saver { dir, disk, report: SaveReport::default() };
    if let Some(reason) = saver.disk.read_only.clone() {
        let remedy = "save a copy of the library elsewhere";
        let what = format!("nothing was saved, for the library is read-only: {reason}");
        saver.report.problems.push(Problem::new(shown(dir), "read-only", what, remedy));
        return saver.report;
    }
    if let Err(error) = fs::metadata(dir) {
        saver.report.problems.push(Problem::io(shown(dir), "save the library", &error));
        return saver.report;
    }
    saver.strike_out_kinds(library);
    let files = &saver.disk.files;
    let now = contents(library, &saver.disk.table, &saver.disk.without, |file| files.contains_key(file));
    for (path, content) in &now {
        let unchanged = |known: &Known| known.content.is_same(content);
        if !saver.disk.files.get(path).is_some_and(unchanged) {
            saver.write(path, content);
        }
    }
    let gone: Vec<String> =
        saver.disk.files.keys().filter(|path| !now.contains_key(*path)).cloned().collect();
    for path in gone {
        saver.remove(&path);
    }
    saver.report
}

struct Saver<'a> {
    dir: &'a Path,
    disk: &'a mut DiskState,
    report: SaveReport,
}

/// How the file on the disk stands to what was read.
enum Now {
    /// Nothing is there.
    Missing,
    /// As it was read or written.
    Ours,
    /// Somebody else's, or never read.
    Theirs(Vec<u8>),
}

impl Saver<'_> {
    /// Kinds of the table that were there and are gone have been struck out by the user.
    fn strike_out_kinds(&mut self, library: &Library) {
        let disk = &mut *self.disk;
        let gone =
            disk.kinds.keys().filter(|id| disk.table.contains_key(*id) && !library.kinds.contains_key(*id));
        disk.without.extend(gone.cloned());
        disk.without.retain(|id| !library.kinds.contains_key(id));
        disk.kinds = library.kinds.clone();
    }

    fn now(&self, file: &str, known: Option<Stamp>) -> io::Result<Now> {
        let path = on_disk(self.dir, file);
        match fs::read(&path) {
            Ok(bytes) => {
                let ours = known.is_some_and(|known| known.same_bytes(Stamp::new(&path, &bytes)));
                Ok(if ours { Now::Ours } else { Now::Theirs(bytes) })
            }
            // A link that leads nowhere is something, though it cannot be read.
            Err(error) if error.kind() == io::ErrorKind::NotFound && fs::symlink_metadata(&path).is_err() => {
                Ok(Now::Missing)
            }
            Err(error) if fs::symlink_metadata(&path).is_ok() => {
                // Something that cannot be read is in the way: it is kept like a file of somebody else's.
                if error.kind() == io::ErrorKind::IsADirectory || error.kind() == io::ErrorKind::NotFound {
                    Ok(Now::Theirs(Vec::new()))
                } else {
                    Err(error)
                }
            }
            Err(error) => Err(error),
        }
    }

    fn write(&mut self, path: &str, content: &Content) {
        let known = self.disk.files.get(path).cloned();
        let dress = known.as_ref().map(|known| known.dress.clone()).unwrap_or_default();
        let text = match content.text() {
            Ok(text) => dress.put_on(&text),
            Err(error) => {
                let what = format!("could not be put into words: {error}");
                return self.problem(Problem::new(path, "internal", what, "save a copy and report this"));
            }
        };
        if let Some((folder, _)) = path.split_once('/')
            && let Err(error) = make_folder(&self.dir.join(folder))
        {
            return self.problem(Problem::io(folder, "make the folder", &error));
        }
        let outcome = match &known {
            Some(known) if known.newer => self.keep_beside(path, &known.file, &text).map(Some),
            _ => self.write_text(path, known.as_ref(), &text),
        };
        match outcome {
            Ok(Some(file)) => {
                let stamp = Stamp::new(&on_disk(self.dir, &file), text.as_bytes());
                let known = Known { file, content: content.clone(), stamp, dress, newer: false };
                self.disk.files.insert(path.to_owned(), known);
            }
            Ok(None) => {}
            Err(error) => self.problem(Problem::io(path, "write it", &error)),
        }
    }

    /// Writes the text where it belongs, or beside what must not be touched; the file that was written.
    fn write_text(&mut self, path: &str, known: Option<&Known>, text: &str) -> io::Result<Option<String>> {
        // A file of another name goes back to its own as soon as that is free.
        let moved =
            known.filter(|known| known.file != path && matches!(self.now(path, None), Ok(Now::Missing)));
        let file = if moved.is_some() { path } else { known.map_or(path, |known| &known.file) };
        let stamp = if moved.is_some() { None } else { known.map(|known| known.stamp) };
        match self.now(file, stamp)? {
            Now::Missing => {
                if known.is_some() && moved.is_none() {
                    let what = "somebody else had taken the file away; it was written again as it is here";
                    let remedy = "remove it here too, if that is right";
                    self.problem(Problem::new(file, "removed-elsewhere", what, remedy));
                }
                write_safely(&on_disk(self.dir, file), text.as_bytes(), Over::Nothing)?;
                self.report.written.push(file.to_owned());
            }
            Now::Ours => {
                write_safely(&on_disk(self.dir, file), text.as_bytes(), Over::Old)?;
                self.report.written.push(file.to_owned());
            }
            // The same change was made elsewhere.
            Now::Theirs(bytes) if bytes == text.as_bytes() => {}
            Now::Theirs(_) => return self.keep_beside(path, file, text).map(Some),
        }
        if let Some(old) = moved {
            self.delete(&old.file, old.stamp);
        }
        Ok(Some(file.to_owned()))
    }

    /// Writes this program's version beside a file that must not be touched.
    fn keep_beside(&mut self, path: &str, file: &str, text: &str) -> io::Result<String> {
        let stem = path.strip_suffix(".ron").unwrap_or(path);
        let mut number = 1_u32;
        let beside = loop {
            let beside = format!("{stem}{KEPT}{number}.ron");
            match write_safely(&on_disk(self.dir, &beside), text.as_bytes(), Over::Nothing) {
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists && number < u32::MAX => {
                    number += 1;
                }
                Err(error) => return Err(error),
                Ok(()) => break beside,
            }
        };
        let what = format!(
            "it is not as it was when it was read (changed by somebody else, or not readable), so it was left alone; \
             what you have here is kept in {beside}"
        );
        let remedy =
            format!("compare the two, put what you want into {path}, delete {beside}, and open again");
        self.problem(Problem::new(file, "changed-elsewhere", what, remedy));
        self.report.kept.push(Kept { file: file.to_owned(), beside: beside.clone() });
        Ok(beside)
    }

    fn remove(&mut self, path: &str) {
        let Some(known) = self.disk.files.get(path).cloned() else { return };
        let done = if known.newer {
            let what = "it was made by a newer program and was not deleted";
            self.problem(Problem::new(
                &known.file,
                "newer-format",
                what,
                "delete the file with the newer program",
            ));
            true
        } else {
            self.delete(&known.file, known.stamp)
        };
        if done {
            self.disk.files.remove(path);
        }
    }

    /// Deletes a file if it is as it was read; whether the matter is closed.
    fn delete(&mut self, file: &str, stamp: Stamp) -> bool {
        let outcome = match self.now(file, Some(stamp)) {
            Ok(Now::Missing) => return true,
            Ok(Now::Ours) => fs::remove_file(on_disk(self.dir, file)),
            Ok(Now::Theirs(_)) => {
                let what = "somebody else has changed the file, so it was not deleted";
                let remedy = "open the library again to see it, and remove it then";
                self.problem(Problem::new(file, "changed-elsewhere", what, remedy));
                return true;
            }
            Err(error) => Err(error),
        };
        match outcome {
            Ok(()) => {
                self.report.removed.push(file.to_owned());
                true
            }
            Err(error) => {
                self.problem(Problem::io(file, "delete it", &error));
                false
            }
        }
    }

    fn problem(&mut self, problem: Problem) {
        self.report.problems.push(problem);
    }
}

/// Makes one of the library's folders where it is not there yet.
fn make_folder(folder: &Path) -> io::Result<()> {
    match fs::create_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            if folder.is_dir() {
                Ok(())
            } else {
                Err(io::ErrorKind::NotADirectory.into())
            }
        }
        other => other,
    }
}

/// Writes a whole library into an empty folder.
pub(super) fn save_new(dir: &Path, disk: &mut DiskState, library: &Library) -> SaveReport {
    let mut report = save(dir, disk, library);
    for folder in FOLDERS {
        if let Err(error) = make_folder(&dir.join(folder)) {
            report.problems.push(Problem::io(folder, "make the folder", &error));
        }
    }
    report
}
