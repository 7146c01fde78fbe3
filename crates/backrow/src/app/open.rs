//! Opening libraries and reading scores.

use super::App;
use crate::background::{Job, Taken};
use crate::frame::Shell;
use crate::frame::asking::{Asking, For};
use crate::intent::Leaving;
use crate::pictures::Pictures;
use crate::places::Places;
use crate::settings::Settings;
use crate::store::SaveState;
use crate::store::Store;
use crate::view::{Place, View};
use crate::words::many;
use backrow_core::edit::History;
use backrow_files::score::ScoreReading;
use std::path::{Path, PathBuf};

/// A score that is being read on a thread of its own.
pub(super) struct Reading {
    pub(super) name: String,
    job: Job<Result<Option<ScoreReading>, String>>,
}

impl App {
    /// The program as it starts: on a library's folder; without one on the library opened last, or the user's copy of the demo.
    /// Anything else that was asked for is opened over that, as if it had been dropped on the window: a folder that is no library
    /// does not come in the place of the last one.
    pub fn start(asked: Option<PathBuf>, settings: Settings, settings_file: Option<PathBuf>) -> Self {
        Self::start_or_say(asked, settings, settings_file, None)
    }

    fn start_or_say(
        asked: Option<PathBuf>,
        settings: Settings,
        settings_file: Option<PathBuf>,
        unknown: Option<String>,
    ) -> Self {
        let (folder, other) = match asked {
            Some(path) if !is_library(&path) => (None, Some(std::path::absolute(&path).unwrap_or(path))),
            folder => (folder, None),
        };
        let first = folder.is_none() && settings.library.is_none();
        let folder = match &unknown {
            Some(why) if first => {
                let open = crate::actions::Action::OpenLibrary.key_words();
                Err(format!("{why} {open} opens your library."))
            }
            _ => crate::store::to_open(folder, settings.library.as_deref()),
        };
        let mut app = match folder {
            Ok(folder) => {
                let mut app = Self::open(&folder, settings, settings_file);
                if first {
                    app.welcome();
                }
                if let Some(why) = unknown {
                    app.view.said = format!("{why} {}", app.view.said);
                }
                app
            }
            Err(why) => Self::without_library(why, settings, settings_file),
        };
        if let Some(other) = other {
            app.ask_to_open(other);
        }
        app
    }

    /// The program on a library's folder.
    pub fn open(folder: &Path, settings: Settings, settings_file: Option<PathBuf>) -> Self {
        let (store, library) = Store::open(folder);
        let mut app = Self::on_library(library, settings);
        app.settings_file = settings_file;
        app.install(store);
        app
    }

    /// The same with the settings of a file. Where they cannot be read it is not known which library was opened last: then on none,
    /// with the reason, and not on the demo.
    pub fn start_with(asked: Option<PathBuf>, settings_file: Option<PathBuf>) -> Self {
        let read = settings_file.as_deref().map_or_else(|| Ok(Settings::default()), Settings::read);
        let (settings, unread) = match read {
            Ok(settings) => (settings, None),
            Err(why) => (Settings::default(), Some(why)),
        };
        // What could neither be read nor put aside is not written over.
        let file = settings_file.filter(|file| unread.is_none() || !file.exists());
        // Until a library has been opened again it is no first start either.
        let aside = file.as_deref().map(Settings::aside).filter(|aside| aside.exists());
        let is_first = settings.library.is_none() && asked.as_deref().is_none_or(|path| !is_library(path));
        let words = |aside: PathBuf| format!("Only {} says which library you had open.", aside.display());
        let unknown = unread.or_else(|| aside.filter(|_| is_first).map(words));
        Self::start_or_say(asked, settings, file, unknown)
    }

    /// Says why a library could not be opened, on an empty one.
    pub fn without_library(why: String, settings: Settings, settings_file: Option<PathBuf>) -> Self {
        let mut app = Self::on_library(backrow_core::library::Library::default(), settings);
        app.settings_file = settings_file;
        app.saved = SaveState::ReadOnly(why.clone());
        app.view.fails(why);
        app
    }

    /// Says that what is open is an invented orchestra, as at the first start.
    pub const fn welcome(&mut self) {
        self.shell.welcome = true;
    }

    /// Opens or reads what is at a path, as if it had been dropped on the window.
    pub fn ask_to_open(&mut self, path: PathBuf) {
        self.intents.push(crate::intent::Intent::Open(path));
    }

    fn install(&mut self, store: Store) {
        self.saved = store.read_only.clone().map_or(SaveState::Saved, SaveState::ReadOnly);
        self.saved_revision = self.history.revision();
        self.try_again = f64::INFINITY;
        self.settings.opened(&store.folder);
        let opened = match store.problems.len() {
            0 => format!("Opened {}.", store.folder.display()),
            1 => format!("Opened {} with one problem; see Findings.", store.folder.display()),
            n => format!("Opened {} with {n} problems; see Findings.", store.folder.display()),
        };
        let second = store.second_versions().first().map(|first| {
            let keys = crate::actions::Action::ShowVersions.key_words();
            format!("{first} is a second version of a file; {keys} compares the two.")
        });
        let said = store.recovered.iter().chain([&opened]).chain(&second).cloned();
        self.view.said = said.collect::<Vec<_>>().join(" ");
        self.copied_revision = None;
        self.derived.files.clone_from(&store.problems);
        self.derived.forget();
        self.pictures = Pictures::of(&store.folder);
        self.view.has_printed = store.folder.join("printed").is_dir();
        let wanted = self.settings.first_steps.get(&store.folder).copied();
        // Where nobody has said, the steps are for whoever begins.
        self.view.first_steps = wanted.unwrap_or_else(|| self.history.now().works.is_empty());
        self.store = Some(store);
        self.take_up_drafts();
    }

    pub(super) fn ask(&mut self, what: For) {
        let path = match what {
            For::Tables => self.store.as_ref().map(|s| s.folder.join("tables.xlsx")),
            For::Services => self.store.as_ref().map(|s| s.folder.join("services.ics")),
            For::Library => self.settings.library.clone(),
            For::Sheets => {
                self.settings.sheets.clone().or_else(|| self.store.as_ref().map(|s| s.folder.join("sheets")))
            }
            For::Copy
            | For::NewLibrary
            | For::Unpacked(_)
            | For::Picture
            | For::Score
            | For::Instruments
            | For::Calendar => None,
        };
        let path = path.map_or_else(String::new, |path| path.display().to_string());
        self.shell.asking = Some(Asking::new(what, path));
    }

    /// A folder, or a file of a library, is opened; anything else is read as a score.
    pub(super) fn open_path(&mut self, ctx: &egui::Context, path: &Path) {
        if !path.exists() {
            self.view.fails(format!("{} is not there.", path.display()));
        } else if path.is_dir() {
            if is_library(path) {
                self.open_library(ctx, path);
                return;
            }
            if crate::sound::import::is_of_recordings(path) {
                self.import_recordings(ctx, vec![path.to_owned()]);
                return;
            }
            let (kinds, options) = (self.history.now().kinds.clone(), self.settings.read_options());
            match self.places.works.read_folder(ctx, path, kinds, options) {
                Ok(left_out) => {
                    self.view.place = Place::Works;
                    if let Some(words) = left_out {
                        self.view.said = words;
                    }
                }
                Err(why) => self.view.fails(why),
            }
        } else if path.extension().is_some_and(|e| e == "ron") {
            match path.ancestors().skip(1).find(|folder| is_library(folder)) {
                Some(folder) => self.open_library(ctx, folder),
                None => {
                    self.view.fails(format!(
                        "{} belongs to no library: no folder above it has an orchestra.ron.",
                        path.display()
                    ));
                }
            }
        } else {
            match What::of(path) {
                What::Parcel => self.ask_to_unpack(path),
                What::Calendar => self.import_calendar(path),
                What::Table => self.import_table(path),
                What::Picture => self.take_picture(ctx, path),
                What::Recording(why) => self.view.fails(why),
                What::Score => self.read_score(ctx, path),
            }
        }
    }

    /// Asks for the folder into which a library that is one file is unpacked.
    fn ask_to_unpack(&mut self, file: &Path) {
        let name = crate::store::unpacked_name(file);
        self.shell.asking = Some(Asking::new(For::Unpacked(file.to_owned()), name));
    }

    /// Several scores at once, to be put together as works.
    pub(super) fn read_files(&mut self, ctx: &egui::Context, files: Vec<PathBuf>) {
        let (kinds, options) = (self.history.now().kinds.clone(), self.settings.read_options());
        match self.places.works.read_files(ctx, files, kinds, options) {
            Ok(()) => self.view.place = Place::Works,
            Err(why) => self.view.fails(why),
        }
    }

    /// Opens a library, unless that would leave behind what is not saved: then it asks first.
    fn open_library(&mut self, ctx: &egui::Context, folder: &Path) {
        if self.is_unsaved() {
            self.shell.leaving = Some(Leaving::Open(folder.to_owned()));
            return;
        }
        self.begin_to_open(ctx, folder);
    }

    /// Begins to read a library; what is open stays until the other is there.
    pub(super) fn begin_to_open(&mut self, ctx: &egui::Context, folder: &Path) {
        let path = folder.to_owned();
        match Job::start(ctx, "library reader", move |stop| {
            Store::open_while(&path, &|done, of| stop.tell(done, of))
        }) {
            Ok(job) => {
                self.view.said = format!("Opening {} …", folder.display());
                self.opening = Some(job);
                self.take_opened(ctx);
            }
            Err(why) => self.view.fails(format!("{} cannot be opened now: {why}.", folder.display())),
        }
    }

    /// Puts a library that has been read in the place of the one that is open.
    pub(super) fn take_opened(&mut self, ctx: &egui::Context) {
        let Some(job) = &mut self.opening else { return };
        match job.take() {
            Taken::Working => return,
            Taken::Done(Some((store, library))) => {
                // It may have been edited since the opening was asked for.
                self.save_what_is_pending(ctx);
                if self.is_library_unsaved() {
                    self.shell.leaving = Some(Leaving::Open(store.folder));
                    "Something has changed since, and is not saved; what was open stays open."
                        .clone_into(&mut self.view.said);
                } else {
                    self.replace(store, library);
                }
            }
            Taken::Done(None) => "Cancelled: what was open stays open.".clone_into(&mut self.view.said),
            Taken::Failed => self.view.fails("Opening stopped short; what was open stays open."),
        }
        self.opening = None;
    }

    /// Opens a folder at once: what is open is no longer what is on disk, and nothing may be written from it.
    fn open_library_now(&mut self, folder: &Path) {
        let (store, library) = Store::open(folder);
        self.replace(store, library);
    }

    fn replace(&mut self, store: Store, library: backrow_core::library::Library) {
        self.keep_drafts_now();
        self.history = History::new(backrow_core::library::Library { here: self.here, ..library });
        self.view = View { place: self.view.place, ..View::default() };
        (self.places, self.shell) = (Places::default(), Shell::default());
        self.view.settle(self.history.now());
        self.install(store);
    }

    /// Shows the first steps or closes them, and remembers it for this library.
    pub(super) fn show_first_steps(&mut self, shown: bool) {
        self.view.first_steps = shown;
        if shown {
            self.settings.panel_folded = false;
        }
        if let Some(store) = &self.store {
            self.settings.first_steps.insert(store.folder.clone(), shown);
        }
    }

    pub(super) fn begin_library(&mut self, folder: &Path) {
        if self.is_unsaved() {
            self.shell.leaving = Some(Leaving::Begin(folder.to_owned()));
            return;
        }
        self.begin_library_now(folder);
    }

    pub(super) fn begin_library_now(&mut self, folder: &Path) {
        let kinds = backrow_files::kinds::standard().unwrap_or_default();
        let library = backrow_core::library::Library { kinds: kinds.clone(), ..Default::default() };
        match backrow_files::library::create_from(folder, &library, &kinds) {
            Ok(_disk) => self.open_library_now(folder),
            Err(problem) => self.view.fails(problem.to_string()),
        }
    }

    fn read_score(&mut self, ctx: &egui::Context, path: &Path) {
        let name = path
            .file_name()
            .map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned());
        let kinds = self.history.now().kinds.clone();
        let (path, options) = (path.to_owned(), self.settings.read_options());
        let started = Job::start(ctx, "score reader", move |stop| {
            backrow_files::score::read_file_while(&path, &kinds, &options, &stop.halt())
        });
        match started {
            Ok(job) => {
                self.view.said = format!("Reading {name} …");
                self.reading = Some(Reading { name, job });
            }
            Err(why) => self.view.fails(format!("{name} cannot be read now: {why}.")),
        }
    }

    /// Puts a finished reading up for review.
    pub(super) fn take_reading(&mut self) {
        let Some(reading) = &mut self.reading else { return };
        match reading.job.take() {
            Taken::Working => return,
            Taken::Done(Ok(Some(score))) => {
                let lines = score.lines.len();
                let them = if lines == 1 { "it" } else { "them" };
                let lines = many(lines, "line");
                self.view.said =
                    format!("Read {}: {lines} found. Review {them}, then import {them}.", reading.name);
                self.places.works.review(&score, self.history.now());
                self.view.place = Place::Works;
            }
            Taken::Done(Ok(None)) => "Cancelled: the score is not imported.".clone_into(&mut self.view.said),
            Taken::Done(Err(why)) => self.view.fails(why),
            Taken::Failed => {
                let words = format!("Reading {} stopped short.", reading.name);
                self.view.fails(words);
            }
        }
        self.reading = None;
    }
}

impl Reading {
    /// "Reading tide.mxl: 40 %", where it is told how far it has come.
    pub(super) fn words(&self) -> String {
        match self.job.progress() {
            Some((done, of)) => format!("Reading {}: {} %", self.name, done * 100 / of.max(1)),
            None => format!("Reading {} …", self.name),
        }
    }
}

/// What a file is, by its ending; of plain tables by their headings.
#[derive(Clone, PartialEq, Eq)]
enum What {
    Calendar,
    Table,
    Picture,
    Parcel,
    /// One that is not read here, and what is said of it.
    Recording(String),
    Score,
}

impl What {
    fn of(path: &Path) -> Self {
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("ics") => Self::Calendar,
            Some("zip") => Self::Parcel,
            Some("xlsx" | "tsv") => Self::Table,
            _ if crate::pictures::is_one(path) => Self::Picture,
            Some("csv") => {
                let bytes = crate::tables::read(path).unwrap_or_default();
                let is_one = backrow_files::tables::collection::is_one(path, &bytes);
                if is_one { Self::Table } else { Self::Score }
            }
            _ => crate::sound::import::unread_words(path).map_or(Self::Score, Self::Recording),
        }
    }
}

/// Whether a folder holds a library of ours.
fn is_library(folder: &Path) -> bool {
    backrow_files::library::is_library(folder)
}
