//! Opening libraries, reading scores, saving, printing.

use super::App;
use crate::frame::Shell;
use crate::frame::asking::{Asking, For};
use crate::frame::versions::Pair;
use crate::intent::Leaving;
use crate::places::Places;
use crate::settings::{PaperSize, Settings};
use crate::sheets::{Printer, Sheet};
use crate::store::SaveState;
use crate::store::Store;
use crate::view::{Place, View};
use backrow_core::edit::History;
use backrow_core::evening::Evening;
use backrow_files::score::ScoreReading;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// A score that is being read on a thread of its own.
pub(super) struct Reading {
    name: String,
    answer: Receiver<Result<ScoreReading, String>>,
}

impl App {
    /// The program on a library's folder.
    pub fn open(folder: &Path, settings: Settings, settings_file: Option<PathBuf>) -> Self {
        let (store, library) = Store::open(folder);
        let mut app = Self::on_library(library, settings);
        app.settings_file = settings_file;
        app.install(store);
        app
    }

    /// Says why a library could not be opened, on an empty one.
    pub fn without_library(why: String, settings: Settings, settings_file: Option<PathBuf>) -> Self {
        let mut app = Self::on_library(backrow_core::library::Library::default(), settings);
        app.settings_file = settings_file;
        app.saved = SaveState::ReadOnly(why.clone());
        app.view.said = why;
        app
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
        self.view.said = store.recovered.iter().chain([&opened]).cloned().collect::<Vec<_>>().join(" ");
        self.copied_revision = None;
        self.derived.files.clone_from(&store.problems);
        self.derived.forget();
        self.store = Some(store);
    }

    /// Shows the files of which a second version was kept.
    pub(super) fn show_versions(&mut self) {
        let kept = self.store.as_ref().map(Store::versions).unwrap_or_default();
        let pairs = kept.into_iter().map(|(kept, stands, beside)| Pair::new(kept, &stands, &beside));
        if !self.shell.versions.open(pairs.collect()) {
            "No file of this library has a second version.".clone_into(&mut self.view.said);
        }
    }

    /// Puts a kept version in the place of its file, and opens the library as it then stands.
    pub(super) fn put_in_place(&mut self, ctx: &egui::Context, kept: &backrow_files::library::Kept) {
        let Some(folder) = self.store.as_ref().map(|store| store.folder.clone()) else { return };
        match backrow_files::library::put_in_place(&folder, kept) {
            Ok(_other) => self.open_path(ctx, &folder),
            Err(problem) => self.view.said = problem.to_string(),
        }
    }

    pub(super) fn ask(&mut self, what: For) {
        let path = match what {
            For::Tables => self.store.as_ref().map(|s| s.folder.join("tables.xlsx")),
            For::Library => self.settings.library.clone(),
            For::Sheets => {
                self.settings.sheets.clone().or_else(|| self.store.as_ref().map(|s| s.folder.join("sheets")))
            }
            For::Copy | For::NewLibrary | For::Score | For::Instruments | For::Calendar => None,
        };
        let path = path.map_or_else(String::new, |path| path.display().to_string());
        self.shell.asking = Some(Asking::new(what, path));
    }

    /// A folder, or a file of a library, is opened; anything else is read as a score.
    pub(super) fn open_path(&mut self, ctx: &egui::Context, path: &Path) {
        if path.is_dir() {
            if path.join("house.ron").exists() || !holds_music(path) {
                self.open_library(path);
                return;
            }
            let (kinds, options) = (self.history.now().kinds.clone(), self.settings.read_options());
            match self.places.works.read_folder(ctx, path, kinds, options) {
                Ok(()) => self.view.place = Place::Works,
                Err(why) => self.view.said = why,
            }
        } else if path.extension().is_some_and(|e| e == "ron") {
            match path.ancestors().skip(1).find(|folder| folder.join("house.ron").is_file()) {
                Some(folder) => self.open_library(folder),
                None => {
                    self.view.said = format!(
                        "{} belongs to no library: no folder above it has a house.ron.",
                        path.display()
                    );
                }
            }
        } else {
            self.read_score(ctx, path);
        }
    }

    /// Several scores at once, to be put together as works.
    pub(super) fn read_files(&mut self, ctx: &egui::Context, files: Vec<PathBuf>) {
        let (kinds, options) = (self.history.now().kinds.clone(), self.settings.read_options());
        match self.places.works.read_files(ctx, files, kinds, options) {
            Ok(()) => self.view.place = Place::Works,
            Err(why) => self.view.said = why,
        }
    }

    /// Opens a library, unless that would leave behind what is not saved: then it asks first.
    fn open_library(&mut self, folder: &Path) {
        if self.is_unsaved() {
            self.shell.leaving = Some(Leaving::Open(folder.to_owned()));
            return;
        }
        self.open_library_now(folder);
    }

    pub(super) fn open_library_now(&mut self, folder: &Path) {
        let (store, library) = Store::open(folder);
        self.history = History::new(library);
        self.view = View { place: self.view.place, ..View::default() };
        (self.places, self.shell) = (Places::default(), Shell::default());
        self.view.settle(self.history.now());
        self.install(store);
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
            Err(problem) => self.view.said = problem.to_string(),
        }
    }

    fn read_score(&mut self, ctx: &egui::Context, path: &Path) {
        let name = path
            .file_name()
            .map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned());
        let kinds = self.history.now().kinds.clone();
        let (send, answer) = channel();
        let (path, ctx) = (path.to_owned(), ctx.clone());
        let options = self.settings.read_options();
        let started = std::thread::Builder::new().name("score reader".to_owned()).spawn(move || {
            let read = backrow_files::score::read_file(&path, &kinds, &options);
            // The window may have been closed meanwhile; then nobody listens.
            drop(send.send(read));
            ctx.request_repaint();
        });
        match started {
            Ok(_thread) => {
                self.view.said = format!("Reading {name} …");
                self.reading = Some(Reading { name, answer });
            }
            Err(why) => self.view.said = format!("{name} cannot be read now: {why}."),
        }
    }

    /// Puts a finished reading up for review.
    pub(super) fn take_reading(&mut self) {
        let Some(reading) = &self.reading else { return };
        match reading.answer.try_recv() {
            Ok(Ok(score)) => {
                let calls = score.calls.len();
                self.view.said =
                    format!("Read {}: {calls} lines found. Look them over, then take them in.", reading.name);
                self.places.works.review(&score, self.history.now());
                self.view.place = Place::Works;
            }
            Ok(Err(why)) => self.view.said = why,
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => {
                self.view.said = format!("Reading {} stopped short.", reading.name);
            }
        }
        self.reading = None;
    }

    pub(super) fn print(&mut self, folder: &Path) {
        let Some(programme) = self.view.programme.clone() else {
            "Choose a programme first: there is nothing to print without one."
                .clone_into(&mut self.view.said);
            return;
        };
        let paper = match self.settings.paper {
            PaperSize::A4 => backrow_print::Paper::A4,
            PaperSize::Letter => backrow_print::Paper::Letter,
        };
        self.settings.sheets = Some(folder.to_owned());
        let library = self.history.now();
        let templates = crate::sheets::templates(self.store.as_ref().map(|store| store.folder.as_path()));
        let wanted = self.shell.preview.wanted();
        let in_one = self.shell.preview.in_one;
        let done = crate::sheets::programme(library, &programme).and_then(|programme| {
            let evening = Evening::of(library, programme);
            let printer = Printer {
                evening: &evening,
                paper,
                templates: &templates,
                today: crate::sheets::today(),
                plans: self.settings.plans(),
            };
            let all = || {
                Sheet::of(library, programme)
                    .into_iter()
                    .filter(|sheet| !self.shell.preview.leaves_out(sheet))
            };
            let sheets = wanted.unwrap_or_else(|| all().collect());
            printer.print(&crate::sheets::press(), &sheets, folder, in_one)
        });
        self.view.said = match done {
            Ok(printed) => {
                let what = match printed.files.as_slice() {
                    [one] => one.display().to_string(),
                    many => format!("{} sheets into {}", many.len(), folder.display()),
                };
                let remarks = printed.remarks.into_iter().map(|remark| remark.words);
                let said = std::iter::once(format!("Printed {what}.")).chain(printed.signs).chain(remarks);
                said.collect::<Vec<_>>().join(" ")
            }
            Err(why) => why,
        };
    }
}

/// Whether a folder holds scores, itself or in folders within it.
fn holds_music(folder: &Path) -> bool {
    backrow_files::score::music_in(folder).is_ok_and(|files| !files.is_empty())
}
