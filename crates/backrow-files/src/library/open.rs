//! Reading a library: what can be read is read, what cannot is named.

mod folder;
mod lists;
mod one;
mod progress;

use super::content::{CARE, INSTRUMENTS, ORCHESTRA, VENUES, WEEKS, WORKS, contents, folders, tells_library};
use super::dangling;
use super::disk::{DiskState, Known, on_disk};
use super::drive::{Drive, Real, Sort, is_named};
use super::earlier::{Cleared, OWN, clear_leftovers};
use super::journal;
use super::problem::{Problem, shown, some_of};
use super::record::{CareRecord, InstrumentRecord, Record, VenueRecord, WeekRecord, WorkRecord};
use super::second::is_record;
use super::version::BEFORE_2;
use super::writer::{Writer, half_beside};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::{Library, Shared};
use one::{One, Source, line_of, read_one};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

pub(super) use one::decode;
pub use progress::OnWith;
use progress::Progress;

/// The largest file that is read, bytes; a work of an evening's length has well under a hundredth of it.
pub(super) const LARGEST: u64 = 64 << 20;

/// The code of a file that a newer program made.
pub(super) const NEWER: &str = "newer-format";

/// What helps with a file of a newer program.
pub(super) const FORMAT_REMEDY: &str = "get the newer program to change it; here it can be looked at only";

/// What came of opening a library.
#[derive(Debug)]
pub struct Opened {
    /// What could be read; empty where nothing could.
    pub library: Library,
    /// What could not, and what a person should look at.
    pub problems: Vec<Problem>,
    /// What stands on the disk, for `save`.
    pub disk: DiskState,
    /// Why nothing can be saved here, where that is so.
    pub read_only: Option<String>,
}

/// Opens the library in a folder. `kinds` is the kinds table: the orchestra's own kinds come on top of it, and it is never
/// written to the library.
///
/// There is always an answer: a folder that is missing or holds no library gives an empty one with its problem
/// (`missing`, `not-a-library`), and nothing is written by opening but what finishes a save that a stopped program left half
/// done (`recovered`).
pub fn open(dir: &Path, kinds: &Shared<KindId, Kind>) -> Opened {
    let drive: Arc<dyn Drive> = Arc::new(Real);
    open_on(&drive, dir, kinds)
}

/// The same, telling how many of how many files are read, for as long as `on_with` says so; `None` when it was ended.
pub fn open_while(dir: &Path, kinds: &Shared<KindId, Kind>, on_with: &OnWith<'_>) -> Option<Opened> {
    let drive: Arc<dyn Drive> = Arc::new(Real);
    let progress = Progress::new(on_with);
    let opened = read_on(&drive, dir, kinds, &progress);
    (!progress.is_ended()).then_some(opened)
}

/// The same on any drive.
pub(super) fn open_on(drive: &Arc<dyn Drive>, dir: &Path, kinds: &Shared<KindId, Kind>) -> Opened {
    read_on(drive, dir, kinds, &Progress::new(&|_, _| true))
}

fn read_on(
    drive: &Arc<dyn Drive>,
    dir: &Path,
    kinds: &Shared<KindId, Kind>,
    progress: &Progress<'_>,
) -> Opened {
    let mut reader = Reader {
        dir,
        library: Library { kinds: kinds.clone(), ..Library::default() },
        problems: Vec::new(),
        disk: DiskState {
            drive: drive.clone(),
            table: kinds.clone(),
            kinds: kinds.clone(),
            ..DiskState::default()
        },
        drive: &**drive,
        progress,
        texts: BTreeMap::new(),
        read: BTreeMap::new(),
    };
    match drive.look(dir) {
        Ok(look) if look.sort == Sort::Folder => reader.read_all(),
        Ok(_) => {
            let error = std::io::Error::from(std::io::ErrorKind::NotADirectory);
            reader.give_up(Problem::io(shown(dir), "open the library", &error));
        }
        Err(error) => reader.give_up(Problem::io(shown(dir), "open the library", &error)),
    }
    reader.finish()
}

struct Reader<'a> {
    drive: &'a dyn Drive,
    progress: &'a Progress<'a>,
    dir: &'a Path,
    library: Library,
    problems: Vec<Problem>,
    disk: DiskState,
    /// The texts of files that were read, to find the lines of unknown ids.
    texts: BTreeMap<String, Arc<str>>,
    /// Sources by the path that their thing's file has by rights.
    read: BTreeMap<String, Source>,
}

impl Reader<'_> {
    fn give_up(&mut self, problem: Problem) {
        self.disk.read_only = Some(format!("{}; {}", problem.what, problem.remedy));
        self.problems.push(problem);
    }

    fn read_all(&mut self) {
        if !self.looks_like_a_library() {
            let file = shown(self.dir);
            let remedy = "open the folder that holds orchestra.ron, or make a new library";
            return self.give_up(Problem::new(file, "not-a-library", "the folder holds no library", remedy));
        }
        self.recover();
        self.progress.expects(self.records());
        self.orchestra();
        self.players();
        self.beaters();
        self.places();
        self.kinds();
        self.folder::<VenueRecord, _, _>(VENUES, |venue| venue.id.clone(), |library| &mut library.venues);
        self.folder::<InstrumentRecord, _, _>(
            INSTRUMENTS,
            |thing| thing.id.clone(),
            |library| &mut library.instruments,
        );
        self.folder::<CareRecord, _, _>(CARE, |care| care.instrument.clone(), |library| &mut library.care);
        self.folder::<WorkRecord, _, _>(WORKS, |work| work.id.clone(), |library| &mut library.works);
        self.folder::<WeekRecord, _, _>(WEEKS, |week| week.id.clone(), |library| &mut library.weeks);
        self.takes();
        self.second_versions("");
        if self.disk.read_only.is_none()
            && let Err(error) = self.can_write()
        {
            let problem = Problem::io(shown(self.dir), "write to the library’s folder", &error);
            self.give_up(problem);
        }
    }

    /// About how many files there are to read: what lies in the folders with one file a thing.
    fn records(&self) -> usize {
        let within = folders(self.drive, self.dir);
        let many =
            |folder: String| self.drive.names(&on_disk(self.dir, &folder)).map_or(0, |names| names.len());
        within.into_iter().map(many).sum()
    }

    fn looks_like_a_library(&self) -> bool {
        // What a save that was cut short has left is put in its place below.
        let begun = self.drive.look(&self.dir.join(OWN)).is_ok_and(|look| look.sort == Sort::Folder);
        begun || tells_library(self.dir, |file| is_named(self.drive, file))
    }

    /// Finishes what a stopped program left half done, and clears what else it left.
    fn recover(&mut self) {
        let writer = Writer { drive: self.drive, dir: self.dir };
        self.problems.extend(journal::finish(&writer));
        let cleared: Vec<Cleared> = ["", OWN]
            .into_iter()
            .map(str::to_owned)
            .chain(folders(self.drive, self.dir))
            .map(|folder| clear_leftovers(&writer, &folder))
            .collect();
        let placed: Vec<String> = cleared.iter().flat_map(|one| one.placed.iter().cloned()).collect();
        if !placed.is_empty() {
            let what = format!("a save was cut short, and was finished now: {}", some_of(&placed));
            self.problems.push(Problem::new(
                shown(self.dir),
                journal::RECOVERED,
                what,
                "nothing need be done",
            ));
        }
        let kept: usize = cleared.iter().map(|one| one.kept).sum();
        if kept > 0 {
            let what = format!(
                "a save had been cut short; {kept} of the texts that it left are kept among the earlier versions"
            );
            let remedy = "look at the earlier versions where something seems to be missing";
            self.problems.push(Problem::new(shown(self.dir), journal::RECOVERED, what, remedy));
        }
    }

    /// Whether a file can be made in the folder; found by making one, for rights alone do not tell.
    fn can_write(&self) -> std::io::Result<()> {
        let probe = half_beside(self.drive, &self.dir.join("probe"));
        self.drive.create(&probe, b"", None)?;
        self.drive.remove(&probe)
    }

    fn finish(mut self) -> Opened {
        let known = |file: &str| self.read.contains_key(file);
        let held = contents(&self.library, &self.disk.table, &self.disk.without, known);
        self.disk.kinds = self.library.kinds.clone();
        if !self.read.contains_key(ORCHESTRA) {
            self.disk.usual = Some(self.library.orchestra.clone());
        }
        for (path, content) in held {
            if let Some(source) = self.read.remove(&path) {
                let Source { file, stamp, dress, newer, .. } = source;
                let newer = newer.is_some();
                self.disk.files.insert(path, Known { file, content, stamp, dress, newer });
            }
        }
        self.remember_unread();
        let texts = &self.texts;
        let actual =
            |path: &str| self.disk.files.get(path).map_or(path.to_owned(), |known| known.file.clone());
        self.problems.extend(dangling::problems(&self.library, &|path, id| {
            let file = actual(path);
            let line = texts.get(&file).and_then(|text| line_of(text, &format!("\"{id}\"")));
            (file, line)
        }));
        let read_only = self.disk.read_only.clone();
        Opened { library: self.library, problems: self.problems, disk: self.disk, read_only }
    }

    /// What a file that could not be read looked like, so that it is read again as soon as somebody has mended it.
    fn remember_unread(&mut self) {
        let files: BTreeSet<&str> = self.problems.iter().map(|problem| problem.file.as_str()).collect();
        let known: BTreeSet<&str> = self.disk.files.values().map(|known| known.file.as_str()).collect();
        let unread = files.difference(&known).filter(|file| is_record(file));
        let looks: Vec<_> =
            unread.map(|file| ((*file).to_owned(), self.drive.look(&on_disk(self.dir, file)).ok())).collect();
        self.disk.unread = looks.into_iter().collect();
    }

    /// Reads a file, or a version beside it where its own cannot be read.
    fn record<R: Record>(&mut self, file: &str) -> Option<(Source, R::Value)> {
        let one = read_one::<R>(self.drive, self.dir, file);
        self.taken::<R>(file, one)
    }

    /// Takes what was read of a file, or reads a version beside it where its own could not be read.
    fn taken<R: Record>(&mut self, file: &str, one: One<R::Value>) -> Option<(Source, R::Value)> {
        if let Some(found) = self.told(one) {
            return Some(found);
        }
        let second = self.latest_second(file)?;
        let one = read_one::<R>(self.drive, self.dir, &second);
        let found = self.told(one)?;
        let what = format!("{second} is read in its place");
        let remedy = format!("correct {file} and delete {second}, or use {second} instead");
        self.problems.push(Problem::new(file, "kept-in-place", what, remedy));
        Some(found)
    }

    /// Remembers what is wrong with a file and its text; what it holds.
    fn told<V>(&mut self, one: One<V>) -> Option<(Source, V)> {
        self.problems.extend(one.problems);
        let source = one.source?;
        self.texts.insert(source.file.clone(), source.text.clone());
        if let Some(version) = source.newer
            && (source.file == ORCHESTRA || source.file == BEFORE_2)
        {
            self.disk.read_only = Some(format!("the library was made by a newer Backrow (format {version})"));
        }
        Some((source, one.value?))
    }
}
