//! Tables out, tables and calendars in.

use super::App;
use crate::background::{Job, Taken};
use crate::frame::importing::Importing;
use crate::intent::Intent;
use crate::view::{Place, Selected};
use backrow_core::collection::Instrument;
use backrow_core::edit::Edit;
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

    /// Takes a picture in for the instrument whose form is open, or for the one that is selected.
    pub(super) fn take_picture(&mut self, ctx: &egui::Context, path: &Path) {
        let Some(folder) = self.store.as_ref().map(|store| store.folder.clone()) else {
            self.view.fails("There is no library for the picture.");
            return;
        };
        let selected = match &self.view.selected {
            Some(Selected::Instrument(id)) => Some(id.clone()),
            _ => None,
        };
        if let Some(why) = self.read_only() {
            self.view.fails(format!("Nothing changed: the library is read-only. {why}"));
        } else if let Some(of) = self.places.collection.wants_picture().or(selected) {
            let path = path.to_owned();
            match Job::start(ctx, "picture reader", move |_| crate::pictures::take(&path, &folder)) {
                // Whatever is open or selected when it has been read, it belongs to the instrument that it was given to.
                Ok(job) => self.picture = Some((of, job)),
                Err(why) => self.view.fails(format!("The picture cannot be read now: {why}.")),
            }
        } else {
            self.view.fails("Select an instrument first, or open its form: a picture belongs to one.");
        }
    }

    /// Gives a picture that has been read to its instrument.
    pub(super) fn take_taken_picture(&mut self, ctx: &egui::Context) {
        let Some((of, job)) = &mut self.picture else { return };
        match job.take() {
            Taken::Working => return,
            Taken::Done(Ok(name)) => {
                if self.places.collection.set_picture(of, &name) {
                    ctx.request_repaint();
                } else if let Some(thing) = self.history.now().instruments.get(of) {
                    let thing = Instrument { picture: name, ..(**thing).clone() };
                    self.intents.push(Intent::Edit(Edit::PutInstrument(thing)));
                    ctx.request_repaint();
                } else {
                    self.view
                        .fails("The form of the picture was left before it was read. Choose it once more.");
                }
            }
            Taken::Done(Err(why)) => self.view.fails(why),
            Taken::Failed => self.view.fails("The picture could not be read."),
        }
        self.picture = None;
    }

    pub(super) fn save_services(&mut self, to: &Path) {
        let library = self.history.now();
        match crate::tables::save_services(library, to) {
            Ok(file) => self.view.said = format!("Saved the services in {}.", file.display()),
            Err(why) => self.view.fails(why),
        }
    }

    pub(super) fn import_table(&mut self, path: &Path) {
        let read = crate::tables::read(path);
        let library = self.history.now();
        let subject = self.places.collection.subject().filter(|_| self.view.place == Place::Collection);
        let how = (subject, self.settings.note_reading());
        match read.and_then(|bytes| Importing::table(library, path.to_owned(), bytes, how)) {
            Ok(importing) => {
                if self.shell.importing.open(importing, library) {
                    "Shown as you left it.".clone_into(&mut self.view.said);
                }
            }
            Err(why) => self.view.fails(why),
        }
    }

    pub(super) fn import_calendar(&mut self, path: &Path) {
        let library = self.history.now();
        match crate::tables::read(path).and_then(|bytes| Importing::calendar(library, path.to_owned(), bytes))
        {
            Ok(importing) => {
                if self.shell.importing.open(importing, library) {
                    "Shown as you left it.".clone_into(&mut self.view.said);
                }
            }
            Err(why) => self.view.fails(why),
        }
    }
}
