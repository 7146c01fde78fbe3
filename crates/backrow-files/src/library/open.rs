//! Reading a library: what can be read is read, what cannot is named.

use super::content::{
    BEATERS, CARE, FOLDERS, INSTRUMENTS, KINDS, ORCHESTRA, PLACES, PLAYERS, SOUNDS, VENUES, WEEKS, WORKS,
    contents, folders, path_of,
};
use super::dangling;
use super::disk::{DiskState, Dress, Known, Stamp, on_disk};
use super::drive::{Drive, Real, Sort, is_named};
use super::earlier::{OWN, clear_leftovers};
use super::journal;
use super::problem::{Problem, shown};
use super::record::{
    BeatersRecord, CareRecord, InstrumentRecord, KindsRecord, OrchestraRecord, PlacesRecord, PlayersRecord,
    Record, TakeRecord, VenueRecord, WeekRecord, WorkRecord,
};
use super::ron_text;
use super::version::{BEFORE_2, FORMAT, STEPS, Version, bring_forward};
use super::writer::{Writer, half_beside};
use backrow_core::collection::Kind;
use backrow_core::id::{BeaterId, KindId, PlaceId, PlayerId};
use backrow_core::library::{Library, Shared};
use backrow_core::sound::Take;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Display;
use std::path::Path;
use std::sync::Arc;

/// The largest file that is read, bytes; a work of an evening's length has well under a hundredth of it.
pub(super) const LARGEST: u64 = 64 << 20;

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

/// The same on any drive.
pub(super) fn open_on(drive: &Arc<dyn Drive>, dir: &Path, kinds: &Shared<KindId, Kind>) -> Opened {
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

/// A file that has been read and is in today's format.
struct Source {
    file: String,
    text: String,
    stamp: Stamp,
    dress: Dress,
    newer: bool,
}

struct Reader<'a> {
    drive: &'a dyn Drive,
    dir: &'a Path,
    library: Library,
    problems: Vec<Problem>,
    disk: DiskState,
    /// The texts of files that were read, to find the lines of unknown ids.
    texts: BTreeMap<String, String>,
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
        self.kept_beside("");
        if self.disk.read_only.is_none()
            && let Err(error) = self.can_write()
        {
            let problem = Problem::io(shown(self.dir), "write to the library's folder", &error);
            self.give_up(problem);
        }
    }

    fn looks_like_a_library(&self) -> bool {
        let list = [ORCHESTRA, BEFORE_2, PLAYERS, BEATERS, PLACES, KINDS].map(|file| self.dir.join(file));
        let folders = FOLDERS.map(|folder| self.dir.join(folder));
        let is_folder =
            |path: &std::path::PathBuf| self.drive.look(path).is_ok_and(|look| look.sort == Sort::Folder);
        list.iter().any(|file| is_named(self.drive, file)) || folders.iter().any(is_folder)
    }

    /// Finishes what a stopped program left half done, and clears what else it left.
    fn recover(&mut self) {
        let writer = Writer { drive: self.drive, dir: self.dir };
        self.problems.extend(journal::finish(&writer));
        let kept: usize = ["", OWN]
            .into_iter()
            .map(str::to_owned)
            .chain(folders(self.drive, self.dir))
            .map(|folder| clear_leftovers(&writer, &folder))
            .sum();
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
        for (path, content) in held {
            if let Some(source) = self.read.remove(&path) {
                let Source { file, stamp, dress, newer, .. } = source;
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

    /// Reads a file of text and brings it forward; `None`, with its problem, where it cannot be.
    fn source(&mut self, file: &str) -> Option<Source> {
        match self.text(file) {
            Ok((stamp, text)) => {
                let dress = Dress::of(&text);
                let (text, newer) = match bring_forward(file, &text, FORMAT, STEPS) {
                    Version::Readable(text) => (text, false),
                    Version::Newer(version) => {
                        self.newer(file, version);
                        (text, true)
                    }
                    Version::Unknown(what) => {
                        // Where the text cannot be read at all, that is the better news.
                        let problem = ron_text::read::<ron::Value>(file, &text).err().unwrap_or_else(|| {
                            let remedy =
                                format!("begin it with \"(format: {FORMAT},\" if it is of today's format");
                            Problem::new(file, "unknown-format", what, remedy).at(Some(1))
                        });
                        self.problems.push(problem);
                        return None;
                    }
                };
                self.texts.insert(file.to_owned(), text.clone());
                Some(Source { file: file.to_owned(), text, stamp, dress, newer })
            }
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    fn newer(&mut self, file: &str, version: u32) {
        let what = format!("it was made by a newer Backrow (format {version}, here {FORMAT})");
        let remedy = FORMAT_REMEDY;
        if file == ORCHESTRA || file == BEFORE_2 {
            self.disk.read_only = Some(format!("the library was made by a newer Backrow (format {version})"));
        }
        self.problems.push(Problem::new(file, "newer-format", what, remedy).at(Some(1)));
    }

    fn text(&self, file: &str) -> Result<(Stamp, String), Problem> {
        let path = on_disk(self.dir, file);
        let io = |error: &std::io::Error| Problem::io(file, "read it", error);
        // Looked at before it is read: what is written in between then looks changed, and is read again.
        let look = self.drive.look(&path).map_err(|error| io(&error))?;
        if look.length > LARGEST {
            let what = format!("it is {} MB, far larger than any library file", look.length >> 20);
            return Err(Problem::new(
                file,
                "too-large",
                what,
                "move it away, or take the file from a backup",
            ));
        }
        let bytes = self.drive.read(&path, LARGEST).map_err(|error| io(&error))?;
        let text = decode(file, &bytes)?;
        Ok((Stamp::new(look, &bytes), text))
    }

    /// Reads a file at the top of the folder; `None` where it is not there or, with its problem, not readable.
    fn list<R: Record>(&mut self, file: &str) -> Option<R::Value> {
        if !is_named(self.drive, &self.dir.join(file)) && self.latest_kept(file).is_none() {
            return None;
        }
        let (source, value) = self.record::<R>(file)?;
        self.read.insert(file.to_owned(), source);
        Some(value)
    }

    /// Reads a record, from a version kept beside it where its own file cannot be read.
    fn record<R: Record>(&mut self, file: &str) -> Option<(Source, R::Value)> {
        if let Some(found) = self.own_record::<R>(file) {
            return Some(found);
        }
        let kept = self.latest_kept(file)?;
        let found = self.own_record::<R>(&kept)?;
        let what = format!("{kept} is read in its place");
        let remedy = format!("correct {file} and delete {kept}, or use {kept} instead");
        self.problems.push(Problem::new(file, "kept-in-place", what, remedy));
        Some(found)
    }

    fn own_record<R: Record>(&mut self, file: &str) -> Option<(Source, R::Value)> {
        let source = self.source(file)?;
        if source.newer {
            // That it is newer has been said; what cannot be read of it is not shown.
            let record = ron_text::read_newer::<R>(&source.text)?;
            return Some((source, record.value()));
        }
        self.comments(&source);
        match ron_text::read::<R>(file, &source.text) {
            Ok(record) => Some((source, record.value())),
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    /// Comments above the first bracket are kept when a file is written again; those further down cannot be.
    fn comments(&mut self, source: &Source) {
        if let Some(line) = source.dress.comment_within(&source.text) {
            let what = "there is a comment in it, which will be lost when the file is next written";
            let remedy = "move it above the first bracket, each line beginning with //, or into a remark";
            self.problems.push(Problem::new(&source.file, "comment", what, remedy).at(Some(line)));
        }
    }

    fn orchestra(&mut self) {
        let is_there = |file: &str| is_named(self.drive, &self.dir.join(file));
        if !is_there(ORCHESTRA) && is_there(BEFORE_2) {
            if let Some((source, orchestra)) = self.record::<OrchestraRecord>(BEFORE_2) {
                self.read.insert(ORCHESTRA.to_owned(), source);
                self.library.orchestra = Arc::new(orchestra);
            }
            return;
        }
        if !is_there(ORCHESTRA) {
            let what = "the file is missing, so the usual figures are used instead of the orchestra's own";
            let remedy = "enter the orchestra's name and figures, or take the file from a backup";
            self.problems.push(Problem::new(ORCHESTRA, "missing", what, remedy));
        }
        if let Some(orchestra) = self.list::<OrchestraRecord>(ORCHESTRA) {
            self.library.orchestra = Arc::new(orchestra);
        }
    }

    fn players(&mut self) {
        let players = self.list::<PlayersRecord>(PLAYERS).unwrap_or_default();
        self.library.players = self.unique(
            PLAYERS,
            players,
            |player| &mut player.id,
            |name, taken| PlayerId::fresh(name, taken),
        );
    }

    fn beaters(&mut self) {
        let beaters = self.list::<BeatersRecord>(BEATERS).unwrap_or_default();
        self.library.beaters = self.unique(
            BEATERS,
            beaters,
            |beater| &mut beater.id,
            |name, taken| BeaterId::fresh(name, taken),
        );
    }

    fn places(&mut self) {
        let places = self.list::<PlacesRecord>(PLACES).unwrap_or_default();
        self.library.places =
            self.unique(PLACES, places, |place| &mut place.id, |name, taken| PlaceId::fresh(name, taken));
    }

    fn kinds(&mut self) {
        let Some((kinds, without)) = self.list::<KindsRecord>(KINDS) else { return };
        let own = self.unique(KINDS, kinds, |kind| &mut kind.id, |name, taken| KindId::fresh(name, taken));
        for kind in own.values() {
            for (what, remedy) in crate::kinds::faults(kind) {
                let what = format!("kind \"{}\": {what}", kind.id);
                self.problems.push(Problem::new(KINDS, "kind-fault", what, remedy));
            }
        }
        let all = Arc::make_mut(&mut self.library.kinds);
        for id in &without {
            all.remove(id);
        }
        all.extend(own.iter().map(|(id, kind)| (id.clone(), kind.clone())));
        self.disk.without = without.into_iter().collect();
    }

    /// A list as a map. A second thing of the same id is given a fresh one, so that neither is lost.
    fn unique<K, V>(
        &mut self,
        file: &str,
        mut values: Vec<V>,
        id: impl Fn(&mut V) -> &mut K,
        fresh: impl Fn(&str, &dyn Fn(&K) -> bool) -> K,
    ) -> Shared<K, V>
    where
        K: Ord + Clone + Display,
    {
        let stated: BTreeSet<K> = values.iter_mut().map(|value| id(value).clone()).collect();
        let mut map: BTreeMap<K, Arc<V>> = BTreeMap::new();
        for mut value in values {
            let wanted = id(&mut value).clone();
            let mut own = wanted.clone();
            if map.contains_key(&own) {
                own = fresh(&wanted.to_string(), &|id| map.contains_key(id) || stated.contains(id));
                *id(&mut value) = own.clone();
                let what =
                    format!("the id \"{wanted}\" appears twice; the second is called \"{own}\" for now");
                let remedy = "give one of the two an id of its own";
                let second = |text: &String| {
                    let (at, _) = text.match_indices(&format!("id: \"{wanted}\"")).nth(1)?;
                    Some(line_at(text, at))
                };
                let line = self.texts.get(file).and_then(second);
                self.problems.push(Problem::new(file, "double-id", what, remedy).at(line));
            }
            map.insert(own, Arc::new(value));
        }
        Arc::new(map)
    }

    /// Reads a folder with one file a thing.
    fn folder<R, K, V>(
        &mut self,
        folder: &str,
        id_of: impl Fn(&V) -> K,
        map: impl Fn(&mut Library) -> &mut Shared<K, V>,
    ) where
        R: Record<Value = V>,
        K: Ord + Clone + Display,
        V: Clone,
    {
        let files = self.files_in(folder);
        self.things::<R, K, V>(folder, files, id_of, map);
        self.kept_beside(folder);
    }

    /// Reads the takes, a folder an instrument.
    fn takes(&mut self) {
        let within: Vec<String> =
            folders(self.drive, self.dir).into_iter().filter(|folder| folder.starts_with(SOUNDS)).collect();
        let files = within.iter().flat_map(|folder| self.files_in(folder)).collect();
        self.things::<TakeRecord, _, _>(SOUNDS, files, Take::key, |library| &mut library.takes);
        for folder in within {
            self.kept_beside(&folder);
        }
    }

    /// Reads files with one thing each.
    fn things<R, K, V>(
        &mut self,
        folder: &str,
        files: Vec<String>,
        id_of: impl Fn(&V) -> K,
        map: impl Fn(&mut Library) -> &mut Shared<K, V>,
    ) where
        R: Record<Value = V>,
        K: Ord + Clone + Display,
        V: Clone,
    {
        let mut found: Vec<(Source, K, V)> = Vec::new();
        for file in files {
            if let Some((source, value)) = self.record::<R>(&file) {
                found.push((source, id_of(&value), value));
            }
        }
        // A file of the right name goes before one that was renamed or copied.
        found.sort_by_key(|(source, id, _)| source.file != path_of(folder, id));
        for (source, id, value) in found {
            let path = path_of(folder, &id);
            if let Some(first) = self.read.get(&path) {
                let what =
                    format!("it holds \"{id}\", and so does {}, which is the one that was read", first.file);
                let remedy =
                    "give it an id of its own, the same as the file's name, or delete one of the two";
                let line = line_of(&source.text, &format!("\"{id}\""));
                self.problems.push(Problem::new(source.file, "double-id", what, remedy).at(line));
                continue;
            }
            if source.file != path && !is_kept(&source.file) {
                let what = format!("it holds \"{id}\", which belongs in {path}");
                let remedy = "rename the file, or change the id in it; it is read as it stands";
                let line = line_of(&source.text, &format!("\"{id}\""));
                self.problems.push(Problem::new(source.file.clone(), "file-name", what, remedy).at(line));
            }
            self.read.insert(path, source);
            Arc::make_mut(map(&mut self.library)).insert(id, Arc::new(value));
        }
    }

    /// The files of a folder that may hold a thing, in order of their names.
    fn files_in(&mut self, folder: &str) -> Vec<String> {
        let mut names = self.names_in(folder);
        // Where only a kept version is left, its own name stands for it.
        let kept: Vec<String> = names.iter().filter(|name| is_kept(name)).cloned().collect();
        names.retain(|name| !is_kept(name));
        for name in kept {
            let own = kept_stem(&name).map(|stem| format!("{stem}.ron"));
            if let Some(own) = own.filter(|own| !names.contains(own)) {
                names.push(own);
            }
        }
        names.sort();
        names.into_iter().map(|name| format!("{folder}/{name}")).collect()
    }

    /// Names of files in a folder that end in `.ron`; hidden ones are nobody's.
    fn names_in(&mut self, folder: &str) -> Vec<String> {
        let entries = match self.drive.names(&on_disk(self.dir, folder)) {
            Ok(entries) => entries,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Vec::new(),
            Err(error) => {
                self.problems.push(Problem::io(folder, "read the folder", &error));
                return Vec::new();
            }
        };
        let mut names = Vec::new();
        for entry in entries {
            match entry.map(std::ffi::OsString::into_string) {
                Ok(Ok(name)) => names.push(name),
                Ok(Err(name)) => {
                    let what = format!("the name of the file {} cannot be read", name.display());
                    let remedy = "rename it with small letters, digits and -";
                    self.problems.push(Problem::new(folder, "file-name", what, remedy));
                }
                Err(error) => self.problems.push(Problem::io(folder, "read the folder", &error)),
            }
        }
        names.retain(|name| name.strip_suffix(".ron").is_some_and(|stem| !stem.starts_with('.')));
        names.sort();
        names
    }

    /// Names the versions that an earlier save kept beside the files of a folder.
    fn kept_beside(&mut self, folder: &str) {
        let names: Vec<String> = self.names_in(folder).into_iter().filter(|name| is_kept(name)).collect();
        for name in names {
            let (own, prefix) =
                (kept_stem(&name).unwrap_or_default(), if folder.is_empty() { "" } else { "/" });
            let file = format!("{folder}{prefix}{name}");
            let own = format!("{folder}{prefix}{own}.ron");
            let what = format!("it is a second version of {own}, saved when both had been changed");
            let remedy = format!("compare the two, put what you want into {own}, and delete {file}");
            self.problems.push(Problem::new(file, "two-versions", what, remedy));
        }
    }

    /// The version kept last beside a file.
    fn latest_kept(&mut self, file: &str) -> Option<String> {
        let (folder, name) = file.rsplit_once('/').unwrap_or(("", file));
        let stem = name.strip_suffix(".ron")?;
        let number = |kept: &String| {
            let digits = kept.strip_prefix(stem)?.strip_prefix(KEPT)?.strip_suffix(".ron")?;
            digits.parse::<u32>().ok()
        };
        let names = self.drive.names(&on_disk(self.dir, folder)).ok()?;
        let names = names.into_iter().filter_map(|name| name.ok()?.into_string().ok());
        let last = names.filter_map(|name| number(&name).map(|n| (n, name))).max()?;
        Some(if folder.is_empty() { last.1 } else { format!("{folder}/{}", last.1) })
    }
}

/// What stands between the name of a file and the number of a version kept beside it.
pub(super) const KEPT: &str = ".kept-";

/// The name that a kept version was kept beside, without its ending.
pub(super) fn kept_stem(name: &str) -> Option<&str> {
    let (stem, number) = name.strip_suffix(".ron")?.rsplit_once(KEPT)?;
    (!number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())).then_some(stem)
}

/// Whether a file's name is one of a library's records.
pub(super) fn is_record(file: &str) -> bool {
    file.strip_suffix(".ron").is_some()
}

pub(super) fn is_kept(file: &str) -> bool {
    kept_stem(file).is_some()
}

/// The text of a file: UTF-8, with or without a byte order mark.
fn decode(file: &str, bytes: &[u8]) -> Result<String, Problem> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.is_empty() {
        let remedy =
            "the file was cut off when it was written or copied: take it from a backup, or delete it";
        return Err(Problem::new(file, "empty", "there is nothing in it", remedy));
    }
    let remedy = "save it as UTF-8 in your editor";
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        return Err(Problem::new(file, "not-utf-8", "it is written in UTF-16, not in UTF-8", remedy));
    }
    std::str::from_utf8(bytes).map(ToOwned::to_owned).map_err(|error| {
        let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let line = before.split(|b| *b == b'\n').count();
        Problem::new(file, "not-utf-8", "a letter in it is not written in UTF-8", remedy)
            .at(u32::try_from(line).ok())
    })
}

/// The line, from 1, in which a text first stands.
fn line_of(text: &str, wanted: &str) -> Option<u32> {
    text.find(wanted).map(|at| line_at(text, at))
}

/// The line, from 1, of a byte of the text.
fn line_at(text: &str, at: usize) -> u32 {
    let breaks = text.bytes().take(at).filter(|b| *b == b'\n').count();
    u32::try_from(breaks).unwrap_or(u32::MAX).saturating_add(1)
}
