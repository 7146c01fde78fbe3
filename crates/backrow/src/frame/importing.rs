//! What a file would bring in, shown with how it is matched before any of it enters the library.

mod calendar;
mod kept;
mod table;

use crate::drafts::shelf::Slip;
use crate::scene::Scene;
use crate::theme::dialog::dialog;
use crate::view::Place;
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::tables::collection::Subject;
use egui::Ui;
use kept::{Kept, Said};
use std::path::{Path, PathBuf};

/// What is shown.
pub enum Importing {
    /// A table of the collection.
    Table(Box<table::State>),
    /// A calendar.
    Calendar(Box<calendar::State>),
}

impl Importing {
    /// Shows a table with its columns matched; an error says why it cannot be read.
    pub fn table(
        library: &Library,
        path: PathBuf,
        bytes: Vec<u8>,
        how: (Option<Subject>, Reading),
    ) -> Result<Self, String> {
        Ok(Self::Table(Box::new(table::State::new(library, path, bytes, how)?)))
    }

    /// Whether this is another look at the same file, that still fits the library.
    fn goes_on_for(&self, fresh: &Self, library: &Library) -> bool {
        match (self, fresh) {
            (Self::Table(left), Self::Table(fresh)) => left.is_of_same(fresh),
            (Self::Calendar(left), Self::Calendar(fresh)) => left.is_of_same(fresh) && left.fits(library),
            _ => false,
        }
    }

    /// Shows a calendar with its events matched; an error says why it cannot be read.
    pub fn calendar(library: &Library, path: PathBuf, bytes: Vec<u8>) -> Result<Self, String> {
        Ok(Self::Calendar(Box::new(calendar::State::new(library, path, bytes)?)))
    }

    /// The file, and what tells its content apart.
    fn file(&self) -> (&Path, u64) {
        match self {
            Self::Table(table) => table.file(),
            Self::Calendar(calendar) => calendar.file(),
        }
    }

    /// Whether anything was changed here.
    fn is_changed(&self) -> bool {
        match self {
            Self::Table(table) => table.said().is_some(),
            Self::Calendar(calendar) => calendar.said().is_some(),
        }
    }

    /// What was changed here; `None` where nothing was.
    fn kept(&self) -> Option<Kept> {
        let (path, hash) = self.file();
        let said = match self {
            Self::Table(table) => Said::Table(table.said()?),
            Self::Calendar(calendar) => Said::Calendar(calendar.said()?.clone()),
        };
        Some(Kept::new(path, hash, said))
    }

    fn put_on(&mut self, library: &Library, kept: &Kept) {
        match (self, &kept.said) {
            (Self::Table(table), Said::Table(said)) => table.put_on(library, said),
            (Self::Calendar(calendar), Said::Calendar(said)) => calendar.put_on(library, said),
            _ => {}
        }
    }
}

/// What waits to be imported, and what was put aside before it was: what is changed in a review is typed too, is kept on disk, and
/// the same file shows it again.
#[derive(Default)]
pub struct State {
    open: Option<Importing>,
    /// The last that was put aside, as it was.
    aside: Option<Importing>,
    /// What was changed in others, and before the program was started.
    kept: Vec<Kept>,
}

impl State {
    /// Shows a file; as it was left, where the same was put aside. Whether it was.
    pub fn open(&mut self, mut importing: Importing, library: &Library) -> bool {
        self.close();
        if let Some(aside) = self.aside.take() {
            if aside.goes_on_for(&importing, library) {
                self.open = Some(aside);
                return true;
            }
            self.kept.extend(aside.kept());
        }
        let same = self.kept.iter().position(|kept| kept.is_of(&importing));
        if let Some(at) = same {
            let kept = self.kept.remove(at);
            importing.put_on(library, &kept);
        }
        self.open = Some(importing);
        same.is_some()
    }

    /// Whether something is shown.
    pub const fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Puts it aside.
    pub fn close(&mut self) {
        if let Some(open) = self.open.take() {
            let before = self.aside.replace(open);
            self.kept.extend(before.and_then(|before| before.kept()));
        }
    }

    /// What was changed and not imported.
    fn changed(&self) -> Vec<Kept> {
        let here = self.open.iter().chain(&self.aside).filter_map(Importing::kept);
        here.chain(self.kept.iter().cloned()).collect()
    }

    /// How many reviews hold something that is not in the library.
    pub fn unsaved(&self) -> usize {
        let here = self.open.iter().chain(&self.aside).filter(|importing| importing.is_changed());
        here.count() + self.kept.len()
    }

    /// They, as they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        self.changed().iter().filter_map(Kept::slip).collect()
    }

    /// What was kept on disk.
    pub fn take_slip(&mut self, slip: &Slip) -> bool {
        Kept::of_slip(slip).map(|kept| self.kept.push(kept)).is_some()
    }
}

/// A way back, in the place where its things are, to what was changed and not imported.
pub fn left(ui: &mut Ui, scene: &mut Scene<'_>, place: Place, state: &mut State) {
    if state.is_open() {
        return;
    }
    let aside = state.aside.as_ref().and_then(Importing::kept);
    let all: Vec<Kept> = aside.into_iter().chain(state.kept.iter().cloned()).collect();
    for kept in all.into_iter().filter(|kept| kept.place() == place) {
        let name = kept.path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let (mut resumes, mut throws) = (false, false);
        egui::Frame::new().inner_margin(egui::Margin { left: 16, right: 16, top: 8, bottom: 0 }).show(
            ui,
            |ui| {
                ui.horizontal(|ui| {
                    for (verb, clicked) in [("Resume", &mut resumes), ("Throw away", &mut throws)] {
                        let button = ui.small_button(verb);
                        let says = format!("{verb} the import of {name}");
                        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &says));
                        *clicked = button.clicked();
                    }
                    let words = format!("Draft, not saved: import of {name}");
                    ui.add(egui::Label::new(words).truncate()).on_hover_text(kept.path.display().to_string());
                });
            },
        );
        if resumes {
            scene.ask(kept.intent());
        }
        if throws {
            state.kept.retain(|other| *other != kept);
            if state.aside.as_ref().and_then(Importing::kept).is_some_and(|aside| aside == kept) {
                state.aside = None;
            }
        }
    }
}

/// Shows what waits to be imported, if anything does.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    let Some(importing) = &mut state.open else { return };
    let area = ui.ctx().content_rect().size() - egui::vec2(120.0, 96.0);
    let mut goes_on = true;
    let asked = scene.intents.len();
    let modal = dialog(ui, "importing in").show(ui.ctx(), |ui| {
        ui.set_width(area.x);
        ui.set_height(area.y);
        goes_on = match importing {
            Importing::Table(state) => table::ui(ui, scene, state),
            Importing::Calendar(state) => calendar::ui(ui, scene, state),
        };
    });
    if !goes_on && scene.intents.len() > asked {
        // It was imported.
        state.open = None;
    } else if !goes_on || modal.should_close() {
        state.close();
    }
}
