//! A library's folder on disk, as the window and the shell commands open and keep it.

use crate::watch::Watch;
use backrow_core::id::begun;
use backrow_core::library::Library;
use backrow_files::library::{self, Clash, DiskState, Earlier};
use std::path::{Path, PathBuf};

/// Whether all is on disk.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum SaveState {
    /// All is on disk.
    #[default]
    Saved,
    /// All is on disk, but some of it beside its file, which is somebody else's; which.
    Beside(String),
    /// Something could not be written, and why.
    Unsaved(String),
    /// Nothing is written, and why.
    ReadOnly(String),
}

/// One open folder.
pub struct Store {
    /// The folder.
    pub folder: PathBuf,
    disk: DiskState,
    /// What could not be read, with file, line and remedy.
    pub problems: Vec<library::Problem>,
    /// Why nothing may be written.
    pub read_only: Option<String>,
    /// What a stopped program had left half done and was brought to its end.
    pub recovered: Option<String>,
    /// Files that went all at once, which is taken for an accident.
    gone: usize,
    watch: Option<Watch>,
}

/// What came of a save.
#[derive(Clone, Debug, Default)]
pub struct Outcome {
    /// The files that were written.
    pub written: Vec<String>,
    /// What is not on disk as it is in memory, and what helps.
    pub failed: Option<String>,
    /// What a person should know though all is on disk.
    pub told: Option<String>,
    /// That some of what is here lies beside its file, which is somebody else's.
    pub beside: Option<String>,
}

/// What others have changed.
pub struct Elsewhere {
    /// The library with it.
    pub library: Library,
    /// The files.
    pub files: Vec<String>,
}

impl Store {
    /// Opens a folder; a library that cannot be read whole opens with what could be read, and its problems.
    pub fn open(folder: &Path) -> (Self, Library) {
        let kinds = backrow_files::kinds::standard().unwrap_or_default();
        Self::of(folder, library::open(folder, &kinds))
    }

    /// The same, telling how many of how many files are read, for as long as `on_with` says so; `None` when it was ended.
    pub fn open_while(folder: &Path, on_with: &library::OnWith<'_>) -> Option<(Self, Library)> {
        let kinds = backrow_files::kinds::standard().unwrap_or_default();
        Some(Self::of(folder, library::open_while(folder, &kinds, on_with)?))
    }

    /// A folder that has been opened, and its library.
    pub(crate) fn of(folder: &Path, opened: library::Opened) -> (Self, Library) {
        let recovered = opened.problems.iter().filter(|problem| problem.code == "recovered");
        let recovered: Vec<String> = recovered.map(|problem| sentence(&problem.what)).collect();
        let store = Self {
            folder: folder.to_owned(),
            disk: opened.disk,
            problems: opened.problems,
            read_only: opened.read_only,
            recovered: (!recovered.is_empty()).then(|| recovered.join(" ")),
            gone: 0,
            watch: None,
        };
        (store, opened.library)
    }

    /// The files with two versions, wherever the other one comes from.
    pub fn clashes(&self) -> Vec<Clash> {
        library::clashes(&self.folder, &self.disk)
    }

    /// The second versions that were there when the folder was last read.
    pub(crate) fn second_versions(&self) -> Vec<String> {
        let second = self.problems.iter().filter(|problem| problem.code == "two-versions");
        second.map(|problem| problem.file.clone()).collect()
    }

    /// Puts a text in the place of a file with two versions; the library with it. An error says what helps.
    pub fn decide(&mut self, clash: &Clash, text: &str, now: &Library) -> Result<Library, String> {
        let decided = library::decide(&self.folder, &mut self.disk, clash, text, now);
        if let Some(watch) = &mut self.watch {
            watch.knows(&self.disk);
        }
        let decided = decided.map_err(|problem| sentence(&problem.to_string()))?;
        let gone = |problem: &library::Problem| {
            problem.file == clash.file || Some(problem.file.as_str()) == clash.other_file()
        };
        self.problems.retain(|problem| !gone(problem));
        Ok(decided)
    }

    /// The earlier versions of every file.
    pub fn earlier(&self) -> Vec<Earlier> {
        library::earlier_versions(&self.folder)
    }

    /// The library with an earlier version of a file; the next save writes it. An error says what helps.
    pub fn bring_back(&self, earlier: &Earlier, now: &Library) -> Result<Library, String> {
        library::bring_back(&self.folder, &self.disk, earlier, now).map_err(|problem| problem.to_string())
    }

    /// Writes what has changed.
    pub fn save(&mut self, library: &Library) -> Outcome {
        let report = library::save(&self.folder, &mut self.disk, library);
        if let Some(watch) = &mut self.watch {
            watch.knows(&self.disk);
        }
        let keys = crate::actions::Action::ShowVersions.key_words();
        let beside = report.kept.iter().map(|kept| {
            format!(
                "{} was also changed by someone else; your version is saved beside it. {keys} compares them.",
                kept.file
            )
        });
        // What the two versions say already is not said twice.
        let told = |problem: &&library::Problem| report.kept.iter().all(|kept| kept.file != problem.file);
        let problems = report.problems.iter().filter(told).map(|problem| sentence(&problem.to_string()));
        let all: Vec<String> = beside.chain(problems).collect();
        let all = (!all.is_empty()).then(|| all.join(" "));
        let (failed, told) = if report.failed { (all, None) } else { (None, all) };
        Outcome { written: report.written, failed, told, beside: self.beside() }
    }

    /// Writes what has changed, and what is no longer in the folder.
    pub fn save_all(&mut self, library: &Library) -> Outcome {
        if self.folder.is_dir() {
            self.disk.forget_missing(&self.folder);
            self.gone = 0;
        }
        self.save(library)
    }

    fn beside(&self) -> Option<String> {
        let both = self.disk.two_versions();
        let first = both.first()?;
        let keys = crate::actions::Action::ShowVersions.key_words();
        let more = if both.len() > 1 { format!(" and {} more", both.len() - 1) } else { String::new() };
        Some(format!(
            "What you change goes into {}{more}, because {} was changed by somebody else. {keys} shows both; choose \
             the one to use.",
            first.beside, first.file
        ))
    }

    /// That files have gone all at once, and what helps.
    pub(crate) fn gone_words(&self) -> Option<String> {
        (self.gone > 0).then(|| {
            let (again, copy) = (crate::actions::Action::SaveNow, crate::actions::Action::SaveCopy);
            format!(
                "{} of the library’s files are no longer in its folder. {} writes them there again; {} saves a copy elsewhere.",
                self.gone,
                again.key_words(),
                copy.key_words()
            )
        })
    }

    /// Begins to watch the folder, once.
    pub(crate) fn watched(&mut self, ctx: &egui::Context) -> Option<&Watch> {
        if self.watch.is_none() && self.read_only.is_none() {
            self.watch = Watch::new(self.folder.clone(), &self.disk, ctx.clone());
        }
        self.watch.as_ref()
    }

    /// What others have changed since the last look, taken into `now`; and whether files have gone all at once, which they are
    /// taken not to have meant.
    pub(crate) fn elsewhere(&mut self, now: &Library) -> Option<Result<Elsewhere, String>> {
        let noticed = self.watch.as_ref()?.noticed()?;
        let Some(opened) = noticed.opened else {
            self.gone = 0;
            return Some(Ok(Elsewhere { library: now.clone(), files: Vec::new() }));
        };
        let problems = opened.problems.clone();
        let taken = library::import(&self.folder, &mut self.disk, *opened, now);
        self.gone = taken.gone.len();
        if let Some(words) = self.gone_words() {
            return Some(Err(words));
        }
        self.problems = problems;
        if taken.read_only.is_some() {
            self.read_only = taken.read_only;
        }
        if let Some(watch) = &mut self.watch {
            watch.knows(&self.disk);
        }
        Some(Ok(Elsewhere { library: taken.library, files: taken.files }))
    }
}

/// With a capital and a stop.
fn sentence(words: &str) -> String {
    let stop = if words.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{}{stop}", begun(words))
}

/// Where the user's own copy of the demo library belongs, by the desktop's custom.
pub fn home() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "backrow").map(|dirs| dirs.data_dir().join("library"))
}

/// Where the user's settings belong.
pub fn settings_file() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "backrow").map(|dirs| dirs.config_dir().join("settings.ron"))
}

/// What the name of a library in one file ends with: by this a desktop tells it from other zips (`packaging`, the type's glob).
const PARCEL: &str = ".backrow.zip";

/// The name of a library in one file without its ending, where it is one: any zip may be.
fn parcel_name(file: &Path) -> Option<String> {
    let name = file.file_name()?.to_string_lossy().into_owned();
    let lower = name.to_lowercase();
    let ending =
        [PARCEL, ".zip"].into_iter().find(|ending| lower.len() == name.len() && lower.ends_with(ending))?;
    name.get(..name.len() - ending.len()).map(str::to_owned)
}

/// What a library in one file would be called as a folder.
pub fn unpacked_name(file: &Path) -> String {
    parcel_name(file).unwrap_or_default()
}

/// Where a copy goes: a name that ends with .zip gets the whole ending by which desktops know a library; any other is a folder.
pub fn copy_goes_to(path: &Path) -> PathBuf {
    parcel_name(path).map_or_else(|| path.to_owned(), |name| path.with_file_name(format!("{name}{PARCEL}")))
}

/// Saves a library in a folder that is missing or empty, or in one file ([`copy_goes_to`]), with what lies beside its records in
/// `own`; where it is then, `None` when it was ended. An error says what helps.
pub fn save_copy(
    library: &Library,
    own: Option<&Path>,
    to: &Path,
    goes_on: &library::GoesOn<'_>,
) -> Result<Option<PathBuf>, String> {
    let to = copy_goes_to(to);
    let kinds = backrow_files::kinds::standard().unwrap_or_default();
    let copy = if parcel_name(&to).is_some() { library::copy_to_file } else { library::copy_to_folder };
    let whole = copy(library, &kinds, own, &to, goes_on).map_err(|problem| problem.to_string())?;
    Ok(whole.then_some(to))
}

/// The folder to open when the program begins: the one that was asked for, the library opened last, or at the very first
/// start the user's own copy of the demo. An error says why there is none; a library that is away is never replaced.
pub fn to_open(asked: Option<PathBuf>, last: Option<&Path>) -> Result<PathBuf, String> {
    let whole = |folder: &Path| std::path::absolute(folder).unwrap_or_else(|_why| folder.to_owned());
    match (asked, last) {
        (Some(asked), _) => Ok(whole(&asked)),
        (None, Some(last)) if last.is_dir() => Ok(last.to_owned()),
        (None, Some(last)) => Err(format!(
            "The library opened last, {}, is not there. Connect its drive and press {} to open it again; nothing has been \
             changed.",
            last.display(),
            crate::actions::Action::OpenLibrary.key_words()
        )),
        (None, None) => first_start(),
    }
}

/// Makes the user's own copy of the demo library at the first start; the folder to open.
pub fn first_start() -> Result<PathBuf, String> {
    let home = home().ok_or("This account has no home folder. Give the library’s folder: backrow FOLDER.")?;
    let empty = std::fs::read_dir(&home).map_or(true, |mut entries| entries.next().is_none());
    if empty {
        library::copy_demo(&home).map_err(|problem| problem.to_string())?;
    }
    Ok(home)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_library_that_is_away_is_not_replaced_and_paths_are_whole() {
        let dir = tempfile::tempdir().unwrap();
        let last = dir.path().join("away");
        let why = to_open(None, Some(&last)).unwrap_err();
        assert!(why.contains("away") && why.contains("Ctrl O"), "{why}");
        std::fs::create_dir(&last).unwrap();
        assert_eq!(to_open(None, Some(&last)), Ok(last.clone()));
        assert!(to_open(Some("some/library".into()), Some(&last)).unwrap().is_absolute());
    }
}
