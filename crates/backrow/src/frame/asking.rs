//! Asking for a path: a field to type in, always, and the desktop's own dialog beside it where there is one.

use crate::intent::Intent;
use crate::paths::{self, Homes};
use crate::scene::Scene;
use crate::theme::dialog::{actions, dialog};
use crate::theme::serif;
use crate::theme::tokens::size;
use crate::theme::widgets::{primary, trouble};
use crate::view::View;
use egui::{Key, RichText, Ui};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, channel};

/// What a path is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum For {
    /// A library's folder to open.
    Library,
    /// A folder for a new library with nothing in it.
    NewLibrary,
    /// A folder for a copy of the library.
    Copy,
    /// A folder for a library that is unpacked from that file.
    Unpacked(PathBuf),
    /// A score to read.
    Score,
    /// A folder for sheets.
    Sheets,
    /// A workbook or a folder for tables.
    Tables,
    /// A file for the services as a calendar.
    Services,
    /// A picture of an instrument.
    Picture,
    /// A table of the collection to import.
    Instruments,
    /// A calendar to take in.
    Calendar,
}

impl For {
    const fn words(&self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Library => (
                "Open a library",
                "The folder of a library, any file in it, or a copy that ends with .backrow.zip",
                "Open",
            ),
            Self::Copy => (
                "Save a copy of the library",
                "A folder that is not there yet, or one file that ends with .backrow.zip; a bare name is made in your documents",
                "Save the copy",
            ),
            Self::Unpacked(_) => (
                "Unpack a library",
                "A folder that is not there yet; a bare name is made in your documents",
                "Unpack and open",
            ),
            Self::NewLibrary => {
                ("Begin a new library", "A name, for a folder in your documents; or a whole path", "Begin")
            }
            Self::Score => (
                "Read a score",
                "A score (.musicxml, .xml, .mxl, .mid), a table of lines (.csv), or a folder of them",
                "Read",
            ),
            Self::Tables => {
                ("Save tables", "A workbook that ends with .xlsx, or a folder for .csv files", "Save")
            }
            Self::Instruments => (
                "Import a table",
                "A table (.csv, .tsv, .xlsx) of instruments, beaters, players or stores",
                "Show",
            ),
            Self::Services => (
                "Save services as a calendar",
                "An iCalendar file (.ics) of all services; a bare name is made in your documents",
                "Save",
            ),
            Self::Picture => {
                ("Choose a picture", "A picture (.jpg, .png); a copy is kept in the library", "Choose")
            }
            Self::Calendar => ("Import a calendar", "An iCalendar file (.ics)", "Show"),
            Self::Sheets => {
                ("Print the sheets", "The folder for the PDFs; it is made if it is not there", "Print")
            }
        }
    }

    /// The endings that a dialog shows.
    const fn endings(&self) -> (&'static str, &'static [&'static str]) {
        match self {
            Self::Instruments => ("Tables", &["csv", "tsv", "txt", "xlsx"]),
            Self::Calendar => ("Calendars", &["ics"]),
            Self::Picture => ("Pictures", &crate::pictures::ENDINGS),
            _ => ("Scores", backrow_files::score::ENDINGS),
        }
    }

    const fn wants_folder(&self) -> bool {
        !matches!(self, Self::Score | Self::Instruments | Self::Calendar | Self::Picture)
    }
}

/// A question that is open.
pub struct Asking {
    what: For,
    path: String,
    fresh: bool,
    dialog: Option<Receiver<Option<PathBuf>>>,
    note: String,
    homes: Homes,
    /// A path with a file that was there before, of which was said that it would be replaced.
    warned: Option<PathBuf>,
}

impl Asking {
    /// Asks, with a path to begin from.
    pub fn new(what: For, path: String) -> Self {
        let homes = Homes::of_account();
        Self { what, path, fresh: true, dialog: None, note: String::new(), homes, warned: None }
    }
}

impl Asking {
    /// The whole path that what was typed stands for.
    fn path_meant(&self) -> Result<PathBuf, String> {
        if self.path.trim().is_empty() {
            return Err("Type a path, or browse for it.".to_owned());
        }
        match self.what {
            For::NewLibrary | For::Copy | For::Unpacked(_) | For::Services => {
                paths::for_new(&self.path, &self.homes)
            }
            _ => paths::whole(&self.path, &self.homes),
        }
    }

    /// What will be made, before it is; `None` where nothing is, or where what was typed is no path yet.
    fn made(&self) -> Option<String> {
        let path = self.path_meant().ok()?;
        match self.what {
            For::NewLibrary | For::Unpacked(_) => Some(format!("Makes {}", path.display())),
            For::Copy => Some(format!("Makes {}", crate::store::copy_goes_to(&path).display())),
            For::Services => Some(format!("Makes {}", crate::tables::services_file(&path).display())),
            For::Tables => Some(format!("Saves in {}", path.display())),
            For::Sheets => Some(format!("Prints into {}", path.display())),
            For::Library | For::Score | For::Picture | For::Instruments | For::Calendar => None,
        }
    }

    /// The file that would be replaced, where there is one.
    fn in_the_way(&self, scene: &Scene<'_>, view: &View, path: &std::path::Path) -> Option<PathBuf> {
        match self.what {
            For::Services => Some(crate::tables::services_file(path)).filter(|file| file.exists()),
            For::Tables => {
                let tables = crate::tables::all(scene.library, view.programme_in(scene.library));
                crate::tables::in_the_way(&tables, path)
            }
            _ => None,
        }
    }

    /// What stands there is replaced only when that was said and asked for once more.
    fn replaces(&mut self, scene: &Scene<'_>, view: &View, path: PathBuf) -> Result<PathBuf, String> {
        match self.in_the_way(scene, view, &path) {
            Some(file) if self.warned.as_ref() != Some(&path) => {
                self.warned = Some(path);
                Err(format!("{} is there already. Replace it, or choose another name.", file.display()))
            }
            _ => Ok(path),
        }
    }

    /// The path where it will do; what is plainly wrong is said here, where it was typed.
    fn allowed(&self, path: PathBuf) -> Result<PathBuf, String> {
        let reads =
            matches!(self.what, For::Library | For::Score | For::Instruments | For::Calendar | For::Picture);
        if reads && !path.exists() {
            return Err(format!("{} is not there.", path.display()));
        }
        if self.what == For::Library && path.is_dir() && !backrow_files::library::is_library(&path) {
            return Err(format!("{} is not a library: there is no orchestra.ron in it.", path.display()));
        }
        let full = || std::fs::read_dir(&path).is_ok_and(|mut entries| entries.next().is_some());
        if matches!(self.what, For::NewLibrary | For::Copy | For::Unpacked(_)) && (path.is_file() || full()) {
            return Err(format!("{} is there already and not empty.", path.display()));
        }
        Ok(path)
    }
}

fn select_all(ctx: &egui::Context, field: egui::Id, text: &str) {
    let mut state = egui::TextEdit::load_state(ctx, field).unwrap_or_default();
    let ends = [0, text.chars().count()].map(egui::text::CCursor::new);
    let [first, last] = ends;
    state.cursor.set_char_range(Some(egui::text::CCursorRange::two(first, last)));
    state.store(ctx, field);
}

/// Shows the question that is open, if one is.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, open: &mut Option<Asking>) {
    let Some(asking) = open else { return };
    take_answer(asking);
    let (title, hint, verb) = asking.what.words();
    let tokens = scene.tokens;
    let mut done = false;
    let mut chosen = None;
    let modal = dialog(ui, "path question").show(ui.ctx(), |ui| {
        ui.set_width(520.0);
        ui.label(RichText::new(title).font(serif(size::TITLE)).color(tokens.ink));
        let label = ui.label(RichText::new(hint).color(tokens.ink2));
        let field =
            ui.add(egui::TextEdit::singleline(&mut asking.path).desired_width(500.0)).labelled_by(label.id);
        if std::mem::take(&mut asking.fresh) {
            field.request_focus();
            // What stands there already is replaced by what is typed.
            select_all(ui.ctx(), field.id, &asking.path);
        }
        if field.changed() {
            asking.note.clear();
            asking.warned = None;
        }
        let enter = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        if !asking.note.is_empty() {
            trouble(ui, &tokens, &asking.note);
        } else if let Some(words) = asking.made() {
            ui.add(egui::Label::new(RichText::new(words).color(tokens.ink2)).wrap());
        }
        recent(ui, scene, asking);
        actions(ui, |ui| {
            let verb = if asking.warned.is_some() { "Replace it" } else { verb };
            // Enter does not replace: it may be the second of a double stroke.
            if primary(ui, &scene.tokens, verb).clicked() || enter && asking.warned.is_none() {
                let meant = asking.path_meant().and_then(|path| asking.allowed(path));
                match meant.and_then(|path| asking.replaces(scene, view, path)) {
                    Ok(path) => chosen = Some(path),
                    Err(why) => {
                        asking.note = why;
                        asking.fresh = true;
                    }
                }
            }
            if ui.button("Browse …").clicked() {
                browse(asking, ui.ctx());
            }
            if ui.button("Cancel").clicked() {
                done = true;
            }
        });
    });
    if let Some(path) = chosen {
        scene.ask(match asking.what.clone() {
            For::Library | For::Score => Intent::Open(path),
            For::NewLibrary => Intent::NewLibrary(path),
            For::Unpacked(file) => Intent::Unpack(file, path),
            For::Copy => Intent::SaveCopy(path),
            For::Sheets => Intent::Print(path),
            For::Tables => Intent::SaveTables(path),
            For::Services => Intent::SaveServices(path),
            For::Picture => Intent::TakePicture(path),
            For::Instruments => Intent::ImportTable(path),
            For::Calendar => Intent::ImportCalendar(path),
        });
        done = true;
    }
    if done || modal.should_close() {
        *open = None;
    }
}

fn recent(ui: &mut Ui, scene: &Scene<'_>, asking: &mut Asking) {
    if asking.what != For::Library || scene.settings.recent.is_empty() {
        return;
    }
    ui.add_space(4.0);
    ui.label(RichText::new("Recent libraries").color(scene.tokens.ink2));
    for folder in &scene.settings.recent {
        if ui.link(folder.display().to_string()).clicked() {
            asking.path = folder.display().to_string();
        }
    }
}

/// Opens the desktop's dialog on a thread of its own, as it waits for the user.
fn browse(asking: &mut Asking, ctx: &egui::Context) {
    let (send, receive) = channel();
    let (what, ctx) = (asking.what.clone(), ctx.clone());
    let started = std::thread::Builder::new().name("file dialog".to_owned()).spawn(move || {
        let dialog = rfd::FileDialog::new().set_title(what.words().0);
        let path = if what.wants_folder() {
            dialog.pick_folder()
        } else {
            let (word, endings) = what.endings();
            dialog.add_filter(word, endings).pick_file()
        };
        // The window may have been closed meanwhile; then nobody listens.
        drop(send.send(path));
        ctx.request_repaint();
    });
    match started {
        Ok(_thread) => asking.dialog = Some(receive),
        Err(why) => asking.note = format!("No dialog can be opened: {why}. Type the path instead."),
    }
}

fn take_answer(asking: &mut Asking) {
    use std::sync::mpsc::TryRecvError;
    let Some(dialog) = &asking.dialog else { return };
    match dialog.try_recv() {
        Ok(Some(path)) => {
            asking.path = path.display().to_string();
            asking.note.clear();
            asking.warned = None;
        }
        Ok(None) => {
            "No file was chosen. If no dialog appeared, this desktop offers none: type the path instead."
                .clone_into(&mut asking.note);
        }
        Err(TryRecvError::Empty) => return,
        Err(TryRecvError::Disconnected) => {
            "The dialog did not open. Type the path instead.".clone_into(&mut asking.note);
        }
    }
    asking.dialog = None;
}
