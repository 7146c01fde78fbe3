//! A save of several files is finished after a crash, never left half done.
//!
//! Before the first file is touched, everything that the save will do is written, whole and flushed, into a journal in the
//! library's own folder `.backrow`; after the last it is removed. Whoever opens a library and finds the journal of a program
//! that no longer runs does what is left of it. An order of the writes alone would not do: an edit may strike a player from one
//! file and from ten others, or move a programme from one week's file to another's, and whichever file comes first, a stop in
//! the middle leaves a library that never was. A save of one file needs no journal, as one rename is one step.

use super::disk::{Stamp, hash, on_disk};
use super::drive::{Guard, Held, is_named};
use super::earlier::{OWN, own_folder};
use super::open::{LARGEST, NEWER};
use super::problem::Problem;
use super::version::stated;
use super::writer::{Put, Writer, half_beside};
use serde::{Deserialize, Serialize};
use std::io;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

/// What a journal's name begins and ends with.
const NAME: (&str, &str) = ("save-", ".ron");
/// Today's format of a journal.
const FORMAT: u32 = 1;
/// What is added to the name of one that cannot be read.
const BROKEN: &str = ".broken";
/// Where a drive cannot tell whether a journal's program still runs, one of this age is taken for left behind.
const OLD: Duration = Duration::from_mins(2);

/// One thing that the save will do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Step {
    /// The file, relative to the library.
    pub file: String,
    /// How many bytes stood there, and their hash; nothing where nothing did.
    pub before: Option<(u64, u64)>,
    /// What will stand there; nothing where the file goes.
    pub after: Option<String>,
}

#[derive(Serialize, Deserialize)]
struct Journal {
    format: u32,
    steps: Vec<Step>,
}

/// A journal that stands on the disk and is held by this program.
#[derive(Clone, Debug)]
pub(super) struct Written {
    path: PathBuf,
    _guard: Option<Arc<Guard>>,
}

/// Writes the journal of a save.
pub(super) fn write(writer: &Writer<'_>, steps: Vec<Step>) -> io::Result<Written> {
    own_folder(writer)?;
    let text = ron::to_string(&Journal { format: FORMAT, steps }).map_err(io::Error::other)?;
    let half = half_beside(writer.drive, &on_disk(writer.dir, &format!("{OWN}/save.ron")));
    writer.drive.create(&half, text.as_bytes(), None)?;
    let guard = match writer.drive.hold(&half) {
        Ok(Held::Ours(guard)) => Some(Arc::new(guard)),
        _ => None,
    };
    let unique = half.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let unique = unique.rsplit('.').next().unwrap_or_default();
    let path = on_disk(writer.dir, &format!("{OWN}/{}{unique}{}", NAME.0, NAME.1));
    writer.drive.rename_new(&half, &path).inspect_err(|_why| {
        writer.drive.remove(&half).unwrap_or_default();
    })?;
    writer.drive.flush_folder(&on_disk(writer.dir, OWN));
    Ok(Written { path, _guard: guard })
}

/// Removes the journal of a save that is done; whether it is gone.
pub(super) fn done(writer: &Writer<'_>, journal: &Written) -> bool {
    let removed = writer.drive.remove(&journal.path);
    writer.drive.flush_folder(&on_disk(writer.dir, OWN));
    removed.is_ok() || !is_named(writer.drive, &journal.path)
}

/// Finishes the saves that a stopped program left half done, and says so.
pub(super) fn finish(writer: &Writer<'_>) -> Vec<Problem> {
    let mut told = Vec::new();
    let names = writer.drive.names(&on_disk(writer.dir, OWN)).unwrap_or_default();
    let mut names: Vec<String> = names.into_iter().filter_map(|name| name.ok()?.into_string().ok()).collect();
    names.retain(|name| name.starts_with(NAME.0) && name.ends_with(NAME.1));
    names.sort();
    for name in names {
        let file = format!("{OWN}/{name}");
        let path = on_disk(writer.dir, &file);
        let Ok(look) = writer.drive.look(&path) else { continue };
        let _guard = match writer.drive.hold(&path) {
            Ok(Held::Ours(guard)) => Some(guard),
            Ok(Held::Theirs) | Err(_) => continue,
            Ok(Held::Unknown) => {
                let age = look.modified.and_then(|time| writer.drive.now().duration_since(time).ok());
                if age.is_none_or(|age| age < OLD) {
                    continue;
                }
                None
            }
        };
        // The program that wrote it may have ended its save while we looked.
        let bytes = match writer.drive.read(&path, LARGEST * 4) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
            Err(error) => {
                told.push(Problem::io(&file, "read what a save that was cut short was to do", &error));
                continue;
            }
        };
        if bytes.is_empty() {
            // Its name was claimed, and the program stopped, or is about to put it there: nothing has begun.
            let age = look.modified.and_then(|time| writer.drive.now().duration_since(time).ok());
            if age.is_some_and(|age| age >= OLD) {
                writer.drive.remove(&path).unwrap_or_default();
            }
            continue;
        }
        let steps = match steps_of(&bytes) {
            Ok(steps) => steps,
            Err(unread) => {
                told.push(unread.left(writer, &file));
                continue;
            }
        };
        let mut finished = Finished::default();
        for step in &steps {
            finished.count(step, do_step(writer, step));
        }
        if finished.failed.is_none() {
            writer.drive.remove(&path).unwrap_or_default();
        }
        told.extend(finished.told(&file));
    }
    told
}

/// Why a journal's steps are not known.
#[derive(Debug, PartialEq, Eq)]
enum Unread {
    /// A newer program wrote it, in that format.
    Newer(u32),
    /// It is no journal, or is damaged; why.
    Broken(String),
}

/// What a journal says is to be done.
fn steps_of(bytes: &[u8]) -> Result<Vec<Step>, Unread> {
    let text = std::str::from_utf8(bytes).map_err(|why| Unread::Broken(why.to_string()))?;
    if let Some(format) = stated(text).filter(|format| *format > FORMAT) {
        return Err(Unread::Newer(format));
    }
    let journal = ron::from_str::<Journal>(text).map_err(|why| Unread::Broken(why.to_string()))?;
    match journal.steps.iter().find(|step| !is_of_a_library(&step.file)) {
        Some(step) => {
            Err(Unread::Broken(format!("it names {:?}, which does not belong to a library", step.file)))
        }
        None => Ok(journal.steps),
    }
}

/// Whether a save writes a file of that name: a record in the library's folder, or at most two folders down. Opening a library must
/// never write elsewhere, whatever a journal in it says.
fn is_of_a_library(file: &str) -> bool {
    let plain = |part: &str| !part.is_empty() && !part.starts_with('.') && !part.contains(['\\', ':', '\0']);
    let is_record = std::path::Path::new(file).extension().is_some_and(|ending| ending == "ron");
    is_record && file.split('/').all(plain) && file.split('/').count() <= 3
}

impl Unread {
    /// A newer program's stays for that program; what is broken is put aside, for the texts in it may be nowhere else.
    fn left(self, writer: &Writer<'_>, file: &str) -> Problem {
        match self {
            Self::Newer(format) => {
                let what = format!(
                    "a save of a newer Backrow was cut short (format {format}, here {FORMAT}), and is not finished yet"
                );
                Problem::new(file, NEWER, what, "open the library once with the newer program")
            }
            Self::Broken(why) => {
                let aside = format!("{file}{BROKEN}");
                let moved = writer.drive.rename_new(&on_disk(writer.dir, file), &on_disk(writer.dir, &aside));
                let place = if moved.is_ok() { aside } else { file.to_owned() };
                let what = format!("a save was cut short, and what it was to do cannot be read: {why}");
                let remedy = "compare the last changes with what is shown; the texts in the file may be copied from it, \
                              and then it may be deleted";
                Problem::new(place, "broken-journal", what, remedy)
            }
        }
    }
}

/// What one step came to.
enum Done {
    Already,
    Now,
    /// Somebody else has written there since; ours is kept beside it.
    Beside,
}

#[derive(Default)]
struct Finished {
    files: Vec<String>,
    failed: Option<Problem>,
}

impl Finished {
    fn count(&mut self, step: &Step, done: io::Result<Done>) {
        match done {
            Ok(Done::Already) => {}
            Ok(Done::Now | Done::Beside) => self.files.push(step.file.clone()),
            Err(error) => {
                self.failed.get_or_insert(Problem::io(
                    &step.file,
                    "finish the save that was cut short",
                    &error,
                ));
            }
        }
    }

    fn told(self, journal: &str) -> Vec<Problem> {
        let mut told = Vec::new();
        if !self.files.is_empty() {
            let what = format!(
                "the last save was cut short, and was finished now: {}",
                super::problem::some_of(&self.files)
            );
            told.push(Problem::new(journal, RECOVERED, what, "nothing need be done"));
        }
        told.extend(self.failed);
        told
    }
}

/// The code of what was brought back.
pub(super) const RECOVERED: &str = "recovered";

fn do_step(writer: &Writer<'_>, step: &Step) -> io::Result<Done> {
    let known = step.before.map(Stamp::of_numbers);
    match &step.after {
        None => match known {
            None => Ok(Done::Already),
            Some(known) => match writer.now(&step.file, Some(known))? {
                super::writer::Now::Ours => writer
                    .take_away(&step.file, known)
                    .map(|gone| if gone { Done::Now } else { Done::Already }),
                _ => Ok(Done::Already),
            },
        },
        Some(text) => {
            if let Some((folder, _)) = step.file.rsplit_once('/') {
                writer.make_folder(folder)?;
            }
            let mut known = known;
            match writer.now(&step.file, None)? {
                super::writer::Now::Theirs(bytes) if bytes == text.as_bytes() => return Ok(Done::Already),
                // The free name had been claimed with an empty file; what is no file at all is not written over all the same.
                super::writer::Now::Theirs(bytes) if bytes.is_empty() && known.is_none() => {
                    known = Some(Stamp::of_numbers((0, hash(&[]))));
                }
                _ => {}
            }
            match writer.put(&step.file, text.as_bytes(), known)? {
                Put::Done(_) => Ok(Done::Now),
                Put::Theirs(_) => writer.keep_beside(&step.file, text.as_bytes()).map(|_| Done::Beside),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("orchestra.ron", true)]
    #[case("weeks/2027-41.ron", true)]
    #[case("sounds/anvil-1/felt.ron", true)]
    #[case("../orchestra.ron", false)]
    #[case("weeks/../../out.ron", false)]
    #[case("/etc/out.ron", false)]
    #[case("C:\\\\out.ron", false)]
    #[case("c:out.ron", false)]
    #[case(".backrow/versions/out.ron", false)]
    #[case("sounds/a/b/c.ron", false)]
    #[case("weeks/run.sh", false)]
    #[case("", false)]
    fn a_journal_names_records_of_its_library(#[case] file: &str, #[case] fits: bool) {
        let steps = vec![Step { file: file.to_owned(), before: None, after: Some("()".to_owned()) }];
        let text = ron::to_string(&Journal { format: FORMAT, steps: steps.clone() }).unwrap();
        match steps_of(text.as_bytes()) {
            Ok(read) => assert!(fits && read == steps, "{file}"),
            Err(Unread::Broken(why)) => assert!(!fits && why.contains("does not belong"), "{why}"),
            Err(other) => panic!("{other:?}"),
        }
    }
}
