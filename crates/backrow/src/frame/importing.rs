//! What a file would bring in, shown with how it is matched before any of it enters the library.

mod calendar;
mod table;

use crate::scene::Scene;
use crate::theme::dialog::dialog;
use backrow_files::calendar::Calendar;
use backrow_files::tables::collection::Grid;
use egui::Ui;

/// What is shown.
pub enum Importing {
    /// A table of instruments.
    Table(table::State),
    /// A calendar.
    Calendar(calendar::State),
}

impl Importing {
    /// Shows a table with its columns matched.
    pub fn table(grid: Grid) -> Self {
        Self::Table(table::State::new(grid))
    }

    /// Shows a calendar with its events matched.
    pub fn calendar(library: &backrow_core::library::Library, calendar: Calendar) -> Self {
        Self::Calendar(calendar::State::new(library, calendar))
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
