//! Saving, trying again, importing what others have changed, and leaving without losing anything.

use super::App;
use crate::actions::Action;
use crate::frame::versions::Pair;
use crate::intent::Leaving;
use crate::store::{Outcome, SaveState, Store};
use crate::words::done;
use backrow_files::library::{Clash, Earlier};
use std::time::Duration;

/// After so many seconds a save that failed is tried again.
const AGAIN_S: f64 = 5.0;

impl App {
    /// Writes what has changed, once the pointer is up; and again after a while what could not be written.
    pub(super) fn save_when_quiet(&mut self, ctx: &egui::Context) {
        let revision = self.history.revision();
        let time = ctx.input(|i| i.time);
        let again = matches!(self.saved, SaveState::Unsaved(_)) && time >= self.try_again;
        if (revision == self.saved_revision && !again) || ctx.input(|i| i.pointer.any_down()) {
            return;
        }
        let Some(store) = &mut self.store else { return };
        self.saved_revision = revision;
        let outcome = store.save(self.history.now());
        self.saved_as(ctx, outcome);
    }

    /// Writes everything now, and what has gone from the folder too.
    pub(super) fn save_now(&mut self, ctx: &egui::Context) {
        let Some(store) = &mut self.store else {
            self.view.fails("No library is open, so there is nothing to save.");
            return;
        };
        self.saved_revision = self.history.revision();
        let outcome = store.save_all(self.history.now());
        "Everything is saved.".clone_into(&mut self.view.said);
        self.saved_as(ctx, outcome);
    }

    fn saved_as(&mut self, ctx: &egui::Context, outcome: Outcome) {
        let Outcome { failed, told, beside, .. } = outcome;
        if let Some(why) = failed {
            // The same reason is said once, not with every try.
            if self.saved != SaveState::Unsaved(why.clone()) {
                self.view.said.clone_from(&why);
                ctx.request_repaint();
            }
            self.saved = SaveState::Unsaved(why);
            self.try_again = ctx.input(|i| i.time) + AGAIN_S;
            ctx.request_repaint_after(Duration::from_secs_f64(AGAIN_S));
            return;
        }
        let was_unsaved = matches!(self.saved, SaveState::Unsaved(_));
        let gone = self.store.as_ref().and_then(crate::store::Store::gone_words);
        self.saved = match (gone, beside) {
            (Some(why), _) => SaveState::Unsaved(why),
            (None, Some(which)) => SaveState::Beside(which),
            (None, None) => SaveState::Saved,
        };
        if was_unsaved {
            // The strip of this frame has been drawn already.
            ctx.request_repaint();
        }
        self.try_again = f64::INFINITY;
        if let Some(told) = told {
            self.view.said = told;
        } else if was_unsaved && self.saved == SaveState::Saved {
            "Everything is saved now.".clone_into(&mut self.view.said);
        }
    }

    /// How many forms hold something that is not in the library.
    pub(super) fn forms_unsaved(&self) -> usize {
        self.places.unsaved() + self.shell.unsaved() + self.view.lines.unsaved()
    }

    /// Saves the lines whose fields were left in this pass; without a pass all, as something is about to be closed.
    pub(super) fn save_lines(&mut self, ctx: &egui::Context, pass: Option<u64>) {
        // What cannot be saved stays in its field.
        if self.read_only().is_some() {
            return;
        }
        for edit in self.view.lines.left(self.history.now(), pass) {
            self.edit(ctx, &edit);
        }
        if pass.is_none() {
            self.save_when_quiet(ctx);
        }
    }

    /// Whether leaving now would lose something.
    pub(super) fn is_unsaved(&self) -> bool {
        self.is_library_unsaved() || (self.would_be_lost() > 0 && !self.shell.quits)
    }

    /// Whether leaving now would lose something of the library itself.
    pub(super) fn is_library_unsaved(&self) -> bool {
        let revision = self.history.revision();
        let pending = self.store.is_some() && revision != self.saved_revision;
        (pending || matches!(self.saved, SaveState::Unsaved(_))) && self.copied_revision != Some(revision)
    }

    /// Writes what has changed and would be written with the end of this frame.
    pub(super) fn save_what_is_pending(&mut self, ctx: &egui::Context) {
        let revision = self.history.revision();
        if revision == self.saved_revision {
            return;
        }
        let Some(store) = &mut self.store else { return };
        self.saved_revision = revision;
        let outcome = store.save(self.history.now());
        self.saved_as(ctx, outcome);
    }

    /// Why not everything is saved.
    pub(super) fn unsaved_why(&self) -> String {
        match &self.saved {
            SaveState::Unsaved(why) => why.clone(),
            _ if self.would_be_lost() > 0 => {
                "A form holds what is not in the library. Stay to save it, or to throw it away.".to_owned()
            }
            _ => "The last change has not been written yet.".to_owned(),
        }
    }

    /// Keeps the window open while something is not saved, and asks.
    pub(super) fn stay_while_unsaved(&mut self, ctx: &egui::Context) {
        if ctx.input(|i| i.viewport().close_requested()) {
            self.save_lines(ctx, None);
            self.keep_drafts_now();
        }
        if ctx.input(|i| i.viewport().close_requested()) && self.stays_for_copy() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        } else if ctx.input(|i| i.viewport().close_requested()) && self.is_unsaved() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.shell.leaving = Some(Leaving::Quit);
        }
    }

    /// Goes on with what was asked about, and leaves behind what is not saved.
    pub(super) fn leave(&mut self, ctx: &egui::Context, leaving: Leaving) {
        self.copied_revision = Some(self.history.revision());
        match leaving {
            Leaving::Quit => {
                self.shell.quits = true;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
            Leaving::Open(folder) => self.begin_to_open(ctx, &folder),
            Leaving::Begin(folder) => self.begin_library_now(&folder),
        }
    }

    /// Looks for what others have changed and takes it in.
    pub(super) fn import_from_elsewhere(&mut self, ctx: &egui::Context) {
        let front = ctx.input(|i| i.focused);
        let was_in_front = std::mem::replace(&mut self.in_front, front);
        let came_to_front = front && !was_in_front;
        let Some(store) = &mut self.store else { return };
        if let Some(watch) = store.watched(ctx)
            && came_to_front
        {
            watch.look();
        }
        if self.history.revision() != self.saved_revision {
            return;
        }
        let had = store.second_versions();
        let Some(noticed) = store.elsewhere(self.history.now()) else { return };
        let new: Vec<String> =
            store.second_versions().into_iter().filter(|file| !had.contains(file)).collect();
        self.derived.files.clone_from(&store.problems);
        self.derived.forget();
        match noticed {
            Err(why) => {
                self.view.said.clone_from(&why);
                self.saved = SaveState::Unsaved(why);
                // The folder may come back by itself; writing it anew is the user's to say.
                self.try_again = f64::INFINITY;
            }
            Ok(elsewhere) => {
                let files = elsewhere.files;
                let words = match files.as_slice() {
                    [] => String::new(),
                    [one] => format!("Import {one} as somebody else has changed it"),
                    [one, rest @ ..] => {
                        format!("Import {one} and {} more as somebody else has changed them", rest.len())
                    }
                };
                if self.history.take(elsewhere.library, words).is_some() {
                    let undo = Action::Undo.key_words();
                    let what = match files.as_slice() {
                        [one] => one.clone(),
                        many => format!("{} files", many.len()),
                    };
                    self.view.said = format!(
                        "Somebody else has changed {what}; it is shown as it is now. {undo} undoes it."
                    );
                    self.view.settle(self.history.now());
                }
                if let Some(first) = new.first() {
                    let keys = Action::ShowVersions.key_words();
                    self.view.said =
                        format!("{first} is a second version of a file. {keys} compares the two.");
                }
                self.saved_revision = self.history.revision();
                if let Some(why) = store.read_only.clone() {
                    self.taken_over(why);
                } else {
                    let outcome = store.save(self.history.now());
                    self.saved_as(ctx, outcome);
                }
            }
        }
        ctx.request_repaint();
    }

    /// Somebody's newer program has made the library its own: from now on it is looked at only.
    fn taken_over(&mut self, why: String) {
        if matches!(self.saved, SaveState::ReadOnly(_)) {
            return;
        }
        let copy = Action::SaveCopy.key_words();
        self.view.said =
            format!("The library is read-only from now on: {why}. {copy} saves a copy elsewhere.");
        // What could not be saved before stays unsaved, so that leaving asks.
        if !matches!(self.saved, SaveState::Unsaved(_)) {
            self.saved = SaveState::ReadOnly(why);
        }
    }

    /// Shows the files with two versions.
    pub(super) fn show_versions(&mut self) {
        let clashes = self.store.as_ref().map(Store::clashes).unwrap_or_default();
        if !self.shell.versions.open(clashes.into_iter().map(Pair::new).collect()) {
            "No file of this library has a second version.".clone_into(&mut self.view.said);
        }
    }

    /// Puts a text in the place of a file with two versions, as a step that undo takes back.
    pub(super) fn decide(&mut self, ctx: &egui::Context, clash: &Clash, text: &str) {
        let Some(store) = &mut self.store else { return };
        match store.decide(clash, text, self.history.now()) {
            Ok(library) => {
                let words = format!("Choose between two versions of {}", clash.file);
                self.derived.files.clone_from(&store.problems);
                self.derived.forget();
                let undo = Action::Undo.key_words();
                self.view.said = match self.history.take(library, words) {
                    Some(_) => format!(
                        "{} is as you chose; the other version is among the earlier versions. {undo} undoes it.",
                        clash.file
                    ),
                    None => format!(
                        "{} stays as it is; the other version is among the earlier versions.",
                        clash.file
                    ),
                };
                self.view.settle(self.history.now());
                let outcome = store.save(self.history.now());
                self.saved_revision = self.history.revision();
                self.saved_as(ctx, outcome);
                ctx.request_repaint();
            }
            Err(why) => self.view.fails(why),
        }
    }

    /// Shows the earlier versions of the files.
    pub(super) fn show_earlier(&mut self) {
        let Some(store) = &self.store else { return };
        let (folder, all) = (store.folder.clone(), store.earlier());
        if !self.shell.earlier.open(folder, all) {
            "No file of this library has an earlier version yet.".clone_into(&mut self.view.said);
        }
    }

    /// Brings an earlier version of a file back, as a step that undo takes back.
    pub(super) fn bring_back(&mut self, ctx: &egui::Context, earlier: &Earlier) {
        if let Some(why) = self.read_only() {
            self.view.said = format!("Nothing changed: the library is read-only. {why}");
            return;
        }
        let Some(store) = &self.store else { return };
        match store.bring_back(earlier, self.history.now()) {
            Ok(library) => {
                let days = self.history.now().days();
                let said = format!("{}, {}", days.day(earlier.until.date()), days.hour(earlier.until.time()));
                let words = format!("Bring back {} as it was until {}", earlier.file, said);
                self.view.said = match self.history.take(library, words) {
                    Some(words) => done(words),
                    None => format!("{} is as it was then already.", earlier.file),
                };
                self.view.settle(self.history.now());
                ctx.request_repaint();
            }
            Err(why) => self.view.said = why,
        }
    }
}
