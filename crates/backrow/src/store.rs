//! A library's folder on disk, as the window and the shell commands open and keep it.

use backrow_core::library::Library;
use backrow_files::library::{self, DiskState};
use std::path::{Path, PathBuf};

/// Whether all is on disk.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum SaveState {
    /// All is on disk.
    #[default]
    Saved,
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
    /// What could not be read, a sentence each, with file, line and remedy.
    pub problems: Vec<String>,
    /// Why nothing may be written.
    pub read_only: Option<String>,
}

impl Store {
    /// Opens a folder; a library that cannot be read whole opens with what could be read, and its problems.
    pub fn open(folder: &Path) -> (Self, Library) {
        let kinds = backrow_files::kinds::standard().unwrap_or_default();
        let opened = library::open(folder, &kinds);
        let store = Self {
            folder: folder.to_owned(),
            disk: opened.disk,
            problems: opened.problems.iter().map(ToString::to_string).collect(),
            read_only: opened.read_only,
        };
        (store, opened.library)
    }

    /// The files of which a second version was kept, each with the text that stands and the one kept beside it.
    pub fn versions(&self) -> Vec<(library::Kept, String, String)> {
        let texts = |kept: library::Kept| {
            let (stands, beside) = kept.texts(&self.folder);
            (kept, stands, beside)
        };
        library::kept_versions(&self.folder).into_iter().map(texts).collect()
    }

    /// Writes what has changed. An error says which files are not on disk as they are in memory, and what helps.
    pub fn save(&mut self, library: &Library) -> Result<Vec<String>, String> {
        let report = library::save(&self.folder, &mut self.disk, library);
        if report.is_clean() {
            return Ok(report.written);
        }
        let keys = crate::actions::Action::ShowVersions.key_words();
        let beside = report.kept.iter().map(|kept| {
            format!(
                "{} was changed by somebody else too; yours is kept beside it. {keys} shows both.",
                kept.file
            )
        });
        // What the two versions say already is not said twice.
        let told = |problem: &&library::Problem| report.kept.iter().all(|kept| kept.file != problem.file);
        let problems = report.problems.iter().filter(told).map(ToString::to_string);
        let all: Vec<String> = beside.chain(problems).collect();
        Err(all.join(" "))
    }
}

/// Where the user's own copy of the demo library belongs, by the desktop's custom.
pub fn home() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "backrow").map(|dirs| dirs.data_dir().join("library"))
}

/// Where the user's settings belong.
pub fn settings_file() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "backrow").map(|dirs| dirs.config_dir().join("settings.ron"))
}

/// Makes the user's own copy of the demo library at the first start; the folder to open.
pub fn first_start() -> Result<PathBuf, String> {
    let home = home().ok_or("This account has no home folder. Give the library's folder: backrow FOLDER.")?;
    let empty = std::fs::read_dir(&home).map_or(true, |mut entries| entries.next().is_none());
    if empty {
        library::copy_demo(&home).map_err(|problem| problem.to_string())?;
    }
    Ok(home)
}
