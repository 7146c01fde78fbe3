//! Writing what has changed, and never over anything that was not read.

use super::content::{
    BEATERS, CARE, Content, FOLDERS, INSTRUMENTS, KINDS, ORCHESTRA, PLACES, PLAYERS, SOUNDS, VENUES, WEEKS,
    WORKS,
};
use super::disk::{DiskState, Known, Stamp};
use super::journal::{self, Step, Written};
use super::open::NEWER;
use super::problem::{COPY, Problem, shown};
use super::writer::{Now, Put, Writer};
use backrow_core::library::Library;
use std::io;
use std::path::Path;
use std::sync::Arc;

/// What came of a save.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaveReport {
    /// Files that were written, relative to the library, in order.
    pub written: Vec<String>,
    /// Files that were deleted because their thing was removed.
    pub removed: Vec<String>,
    /// Versions that were kept beside a file which somebody else had changed, or which could not be read.
    pub kept: Vec<Kept>,
    /// What could not be done as asked, or what a person should know.
    pub problems: Vec<Problem>,
    /// Whether something is not on the disk as it is in memory, under whatever name; the next save tries again.
    pub failed: bool,
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
/// each file whole or not at all, what is referred to before what refers to it; one that fails costs that file only, and a save
/// of several that is cut short is finished when the library is next opened.
pub fn save(dir: &Path, disk: &mut DiskState, library: &Library) -> SaveReport {
    save_with(dir, disk, library, true)
}

/// Writes a whole library into an empty folder that nobody knows yet.
pub(super) fn save_new(dir: &Path, disk: &mut DiskState, library: &Library) -> SaveReport {
    let mut report = save_with(dir, disk, library, false);
    let drive = disk.drive.clone();
    for folder in FOLDERS {
        if let Err(error) = (Writer { drive: &*drive, dir }).make_folder(folder) {
            report.problems.push(Problem::io(folder, "make the folder", &error));
        }
    }
    report
}

fn save_with(dir: &Path, disk: &mut DiskState, library: &Library, journalled: bool) -> SaveReport {
    let drive = disk.drive.clone();
    let writer = Writer { drive: &*drive, dir };
    let mut saver = Saver { writer, disk, report: SaveReport::default() };
    if let Some(reason) = saver.disk.read_only.clone() {
        let what = format!("nothing was saved, for the library is read-only: {reason}");
        saver.failed(Problem::new(shown(dir), "read-only", what, COPY));
        return saver.report;
    }
    if let Err(error) = drive.look(dir) {
        saver.failed(Problem::io(shown(dir), "save the library", &error));
        return saver.report;
    }
    if saver.disk.is_away(dir) {
        // The place where a drive belongs stays as an empty folder while the drive is away.
        let what = "nothing was saved, for none of the library’s files is in its folder any more";
        let remedy =
            "connect the drive that they are on, or press \"Save now\" to write all of them there again";
        saver.failed(Problem::new(shown(dir), "missing", what, remedy));
        return saver.report;
    }
    saver.strike_out_kinds(library);
    let plan = saver.plan(library);
    let journal = match if journalled { saver.journal(&plan) } else { Ok(None) } {
        Ok(journal) => journal,
        Err(problem) => {
            saver.failed(problem);
            return saver.report;
        }
    };
    for change in plan {
        match change.what {
            What::Write { content, text } => saver.write(&change.path, content, &text),
            What::Remove => saver.remove(&change.path),
        }
    }
    // What could not be done stays in the journal until a later save has done it.
    let before = saver.disk.unfinished.take();
    let (stays, goes) = match (saver.report.failed, journal) {
        (true, Some(journal)) => (Some(journal), [before, None]),
        (true, None) => (before, [None, None]),
        (false, journal) => (None, [before, journal]),
    };
    // One that cannot be removed yet is held until it can: found later it would be taken for half done.
    let left = goes.into_iter().flatten().filter(|journal| !journal::done(&writer, journal)).last();
    saver.disk.unfinished = stays.or(left);
    saver.report
}

/// One file that is to change.
struct Change {
    path: String,
    what: What,
}

enum What {
    Write {
        content: Content,
        /// In its dress.
        text: String,
    },
    Remove,
}

/// What is referred to comes before what refers to it.
fn rank(path: &str) -> usize {
    const ORDER: [&str; 11] =
        [KINDS, PLACES, BEATERS, PLAYERS, ORCHESTRA, VENUES, INSTRUMENTS, CARE, SOUNDS, WORKS, WEEKS];
    let head = path.split_once('/').map_or(path, |(folder, _)| folder);
    ORDER.iter().position(|one| *one == head).unwrap_or(ORDER.len())
}

struct Saver<'a> {
    writer: Writer<'a>,
    disk: &'a mut DiskState,
    report: SaveReport,
}

impl Saver<'_> {
    /// Kinds of the table that were there and are gone have been struck out by the user.
    fn strike_out_kinds(&mut self, library: &Library) {
        let disk = &mut *self.disk;
        if Arc::ptr_eq(&disk.kinds, &library.kinds) {
            return;
        }
        let gone =
            disk.kinds.keys().filter(|id| disk.table.contains_key(*id) && !library.kinds.contains_key(*id));
        disk.without.extend(gone.cloned());
        disk.without.retain(|id| !library.kinds.contains_key(id));
        disk.kinds = library.kinds.clone();
    }

    /// Everything that differs from the disk: what is written first, in order, then what is removed, in the reverse order.
    fn plan(&mut self, library: &Library) -> Vec<Change> {
        let files = &self.disk.files;
        let now = self.disk.contents(library);
        let mut gone: Vec<String> = files.keys().filter(|path| !now.contains_key(*path)).cloned().collect();
        gone.sort_by_key(|path| std::cmp::Reverse(rank(path)));
        let unchanged = |path: &String, content: &Content| {
            files.get(path).is_some_and(|known| known.content.is_same(content))
        };
        let mut changed: Vec<(String, Content)> =
            now.into_iter().filter(|(path, content)| !unchanged(path, content)).collect();
        changed.sort_by_key(|(path, _)| rank(path));
        let mut plan = Vec::new();
        for (path, content) in changed {
            let dress = self.disk.files.get(&path).map(|known| known.dress.clone()).unwrap_or_default();
            match content.text() {
                Ok(text) => {
                    let text = dress.put_on(&text);
                    plan.push(Change { path, what: What::Write { content, text } });
                }
                Err(error) => {
                    let what = format!("could not be put into words: {error}");
                    self.failed(Problem::new(path, "internal", what, COPY));
                }
            }
        }
        plan.extend(gone.into_iter().map(|path| Change { path, what: What::Remove }));
        plan
    }

    /// Writes down what is to be done, where it is more than one thing.
    fn journal(&self, plan: &[Change]) -> Result<Option<Written>, Problem> {
        if plan.is_empty() || (plan.len() == 1 && self.disk.unfinished.is_none()) {
            return Ok(None);
        }
        let step = |change: &Change| {
            let known = self.disk.files.get(&change.path);
            if known.is_some_and(|known| known.newer) {
                return None;
            }
            let file = known.map_or(&change.path, |known| &known.file).clone();
            let after = match &change.what {
                What::Write { text, .. } => Some(text.clone()),
                What::Remove => None,
            };
            Some(Step { file, before: known.map(|known| known.stamp.numbers()), after })
        };
        match journal::write(&self.writer, plan.iter().filter_map(step).collect()) {
            Ok(written) => Ok(Some(written)),
            Err(error)
                if matches!(error.kind(), io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded) =>
            {
                Err(Problem::io(shown(self.writer.dir), "save the library", &error))
            }
            // Where no journal can be had each file is still written whole.
            Err(_none) => Ok(None),
        }
    }

    fn write(&mut self, path: &str, content: Content, text: &str) {
        let known = self.disk.files.get(path).cloned();
        if let Some((folder, _)) = path.rsplit_once('/')
            && let Err(error) = self.writer.make_folder(folder)
        {
            return self.failed(Problem::io(folder, "make the folder", &error));
        }
        let outcome = match &known {
            Some(known) if known.newer => self.keep_beside(path, &known.file, text),
            _ => self.write_text(path, known.as_ref(), text),
        };
        match outcome {
            Ok((file, stamp)) => {
                let dress = known.map(|known| known.dress).unwrap_or_default();
                let known = Known { file, content, stamp, dress, newer: false };
                self.disk.files.insert(path.to_owned(), known);
            }
            Err(error) => self.failed(Problem::io(path, "write it", &error)),
        }
    }

    /// Writes the text where it belongs, or beside what must not be touched; the file that was written, and its looks.
    fn write_text(&mut self, path: &str, known: Option<&Known>, text: &str) -> io::Result<(String, Stamp)> {
        // A file of another name goes back to its own as soon as that is free.
        let moved = known
            .filter(|known| known.file != path && matches!(self.writer.now(path, None), Ok(Now::Missing)));
        let file = if moved.is_some() { path } else { known.map_or(path, |known| &known.file) };
        let stamp = if moved.is_some() { None } else { known.map(|known| known.stamp) };
        let was = self.writer.now(file, stamp)?;
        if was == Now::Missing && known.is_some() && moved.is_none() {
            let what = "somebody else had removed the file; it was written again as it is here";
            let remedy = "remove it here too, if that is right";
            self.told(Problem::new(file, "removed-elsewhere", what, remedy));
        }
        let stamp = match self.writer.put(file, text.as_bytes(), stamp)? {
            Put::Done(stamp) => stamp,
            Put::Theirs(_) => return self.keep_beside(path, file, text),
        };
        if !matches!(was, Now::Theirs(bytes) if bytes == text.as_bytes()) {
            self.report.written.push(file.to_owned());
        }
        if let Some(old) = moved {
            self.delete(&old.file, old.stamp);
        }
        Ok((file.to_owned(), stamp))
    }

    /// Writes this program's version beside a file that must not be touched.
    fn keep_beside(&mut self, path: &str, file: &str, text: &str) -> io::Result<(String, Stamp)> {
        let (beside, stamp) = self.writer.keep_beside(path, text.as_bytes())?;
        let what = format!(
            "it is not as it was when it was read (changed by somebody else, or not readable), so it was left alone; \
             what you have here is kept in {beside}"
        );
        let remedy = "compare them with \"Show two versions of a file\", and choose which to use";
        self.told(Problem::new(file, "changed-elsewhere", what, remedy));
        self.report.kept.push(Kept { file: file.to_owned(), beside: beside.clone() });
        Ok((beside, stamp))
    }

    fn remove(&mut self, path: &str) {
        let Some(known) = self.disk.files.get(path).cloned() else { return };
        let done = if known.newer {
            let what = "it was made by a newer program and was not deleted";
            let remedy = "delete the file with the newer program";
            self.told(Problem::new(&known.file, NEWER, what, remedy));
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
        let was_there = !matches!(self.writer.now(file, None), Ok(Now::Missing));
        match self.writer.take_away(file, stamp) {
            Ok(true) if was_there => {
                self.report.removed.push(file.to_owned());
                true
            }
            Ok(true) => true,
            Ok(false) => {
                let what = "somebody else has changed the file, so it was not deleted";
                let remedy = "open the library again to see it, and remove it then";
                self.told(Problem::new(file, "changed-elsewhere", what, remedy));
                true
            }
            Err(error) => {
                self.failed(Problem::io(file, "delete it", &error));
                false
            }
        }
    }

    /// What a person should know though all is on the disk.
    fn told(&mut self, problem: Problem) {
        self.report.problems.push(problem);
    }

    /// What is not on the disk as it is in memory.
    fn failed(&mut self, problem: Problem) {
        self.report.failed = true;
        self.report.problems.push(problem);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_referred_to_comes_before_what_refers_to_it() {
        let mut files = [
            "weeks/w.ron",
            "works/x.ron",
            "sounds/i/t.ron",
            "care/i.ron",
            "instruments/i.ron",
            "players.ron",
            "kinds.ron",
        ];
        files.sort_by_key(|file| rank(file));
        assert_eq!(
            files,
            [
                "kinds.ron",
                "players.ron",
                "instruments/i.ron",
                "care/i.ron",
                "sounds/i/t.ron",
                "works/x.ron",
                "weeks/w.ron"
            ]
        );
    }
}
