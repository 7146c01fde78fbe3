//! Tables out, tables and calendars in.

use super::App;
use std::path::Path;

impl App {
    pub(super) fn save_tables(&mut self, to: &Path) {
        let library = self.history.now();
        let tables = crate::tables::all(library, self.view.programme_in(library));
        match crate::tables::save(&tables, to) {
            Ok(files) if files.len() == 1 => {
                self.view.said = format!("Saved {} tables in {}.", tables.len(), to.display());
            }
            Ok(files) => self.view.said = format!("Saved {} tables into {}.", files.len(), to.display()),
            Err(why) => self.view.fails(why),
        }
    }

    pub(super) fn import_table(&mut self, path: &Path) {
        let read = crate::tables::read(path);
        match read.and_then(|bytes| backrow_files::tables::collection::read(path, &bytes)) {
            Ok(grid) => self.shell.importing = Some(crate::frame::importing::Importing::table(grid)),
            Err(why) => self.view.fails(why),
        }
    }

    pub(super) fn import_calendar(&mut self, path: &Path) {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let read = crate::tables::read(path);
        let read = read.and_then(|bytes| {
            backrow_files::calendar::read(&name, &bytes, None).map_err(|problem| problem.to_string())
        });
        match read {
            Ok(calendar) => {
                let library = self.history.now();
                self.shell.importing = Some(crate::frame::importing::Importing::calendar(library, calendar));
            }
            Err(why) => self.view.fails(why),
        }
    }
}
