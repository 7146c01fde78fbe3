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

    /// Shows a calendar with its events matched; an error says why it cannot be read.
    pub fn calendar(library: &Library, name: String, bytes: Vec<u8>) -> Result<Self, String> {
        Ok(Self::Calendar(Box::new(calendar::State::new(library, name, bytes)?)))
    }
}

/// Shows what waits to be taken in, if anything does.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, open: &mut Option<Importing>) {
    let Some(importing) = open else { return };
    let area = ui.ctx().content_rect().size() - egui::vec2(120.0, 96.0);
    let mut goes_on = true;
    let modal = dialog(ui, "importing in").show(ui.ctx(), |ui| {
        ui.set_width(area.x);
        ui.set_height(area.y);
        goes_on = match importing {
            Importing::Table(state) => table::ui(ui, scene, state),
            Importing::Calendar(state) => calendar::ui(ui, scene, state),
        };
    });
    if !goes_on || modal.should_close() {
        *open = None;
    }
}
