//! What a file would bring in, shown with how it is matched before any of it enters the library.

mod calendar;
mod table;

use crate::scene::Scene;
use crate::theme::dialog::dialog;
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::tables::collection::Subject;
use egui::Ui;
use std::path::PathBuf;

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
    pub fn calendar(library: &Library, name: String, bytes: Vec<u8>) -> Result<Self, String> {
        Ok(Self::Calendar(Box::new(calendar::State::new(library, name, bytes)?)))
    }
}

/// What waits to be imported, and what was put aside before it was: what is changed in a review is typed too, and the same file
/// shows it again.
#[derive(Default)]
pub struct State {
    open: Option<Importing>,
    aside: Option<Importing>,
}

impl State {
    /// Shows a file; as it was left, where the same was put aside. Whether it was.
    pub fn open(&mut self, importing: Importing, library: &Library) -> bool {
        let fits = self.aside.as_ref().is_some_and(|aside| aside.goes_on_for(&importing, library));
        let resumed = if fits { self.aside.take() } else { None };
        let is_resumed = resumed.is_some();
        self.open = Some(resumed.unwrap_or(importing));
        is_resumed
    }

    /// Whether something is shown.
    pub const fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Puts it aside.
    pub fn close(&mut self) {
        self.aside = self.open.take().or_else(|| self.aside.take());
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
