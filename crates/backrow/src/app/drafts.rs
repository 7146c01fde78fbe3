//! Drafts on disk: read when a library opens, written while somebody types.

use super::App;
use crate::drafts::shelf::{Shelf, Slip};
use std::time::Duration;

/// Drafts are written at the most so often, seconds: a long work takes some milliseconds to write down.
const EVERY_S: f64 = 0.3;

/// Where drafts lie while the program does not run, and how they get there.
#[derive(Default)]
pub(super) struct Keeping {
    shelf: Option<Shelf>,
    /// When they were written last, in the window's seconds.
    at: Option<f64>,
    /// Whether something may have been typed since.
    waits: bool,
    /// Whether there were any then.
    had: bool,
    /// How many forms held something in the frame before.
    unsaved: usize,
    /// Drafts that cannot be shown now, as of an instrument that was removed: kept as they are until they can.
    homeless: Vec<Slip>,
}

impl App {
    /// Takes up the drafts of the library that was just opened.
    pub(super) fn take_up_drafts(&mut self) {
        let folder = self.store.as_ref().map(|store| store.folder.clone());
        let shelf = self.settings_file.as_deref().zip(folder.as_deref());
        self.drafts.shelf = shelf.and_then(|(settings, folder)| Shelf::new(settings, folder));
        self.shell.recording.keep_in(self.drafts.shelf.as_ref().map(Shelf::sounds));
        let Some(shelf) = &mut self.drafts.shelf else { return };
        let slips = shelf.read();
        self.drafts.had = !slips.is_empty();
        let (known, homeless): (Vec<_>, Vec<_>) = slips.into_iter().partition(|slip| self.take_up(slip));
        self.drafts.homeless = homeless;
        // A line is saved by itself.
        let count = known.iter().filter(|slip| slip.form != crate::drafts::lines::FORM).count();
        if count == 0 {
            return;
        }
        let drafts = if count == 1 { "1 draft".to_owned() } else { format!("{count} drafts") };
        self.view.said = format!("{} {drafts} from last time can be resumed.", self.view.said);
    }

    fn take_up(&mut self, slip: &Slip) -> bool {
        match slip.form.as_str() {
            "import" => self.shell.importing.take_slip(slip),
            crate::drafts::lines::FORM => self.view.lines.take_slip(slip),
            "remembered" => self.shell.remembering.take_slip(slip),
            crate::frame::recording::FORM => self.shell.recording.take_slip(slip, self.history.now()),
            crate::frame::comparing::FORM => self.shell.comparing.take_slip(slip, self.history.now()),
            _ => self.places.take_slip(slip, self.history.now()),
        }
    }

    /// Writes drafts while there are any, a moment after something was typed.
    pub(super) fn keep_drafts(&mut self, ctx: &egui::Context) {
        if self.drafts.shelf.is_none() {
            return;
        }
        let (time, something) = ctx.input(|i| (i.time, !i.events.is_empty()));
        // Some things are done beside the frame, as a take's way into the library.
        let unsaved = self.forms_unsaved();
        let before = std::mem::replace(&mut self.drafts.unsaved, unsaved);
        self.drafts.waits |= something || unsaved != before || !self.intents.is_empty();
        if !self.drafts.waits || (unsaved == 0 && !self.drafts.had) {
            self.drafts.waits = false;
            return;
        }
        let rest = self.drafts.at.map_or(0.0, |at| at + EVERY_S - time);
        if rest > 0.0 {
            ctx.request_repaint_after(Duration::from_secs_f64(rest));
            return;
        }
        self.drafts.at = Some(time);
        self.drafts.waits = false;
        self.keep_drafts_now();
    }

    /// Writes drafts at once: something is about to be closed.
    pub(super) fn keep_drafts_now(&mut self) {
        let mut slips = [self.places.slips(), self.shell.slips()].concat();
        slips.extend(self.view.lines.slips());
        slips.extend(self.drafts.homeless.iter().cloned());
        self.drafts.had = !slips.is_empty();
        if let Some(Err(why)) = self.drafts.shelf.as_mut().map(|shelf| shelf.keep(slips)) {
            self.drafts.shelf = None;
            self.view.fails(why);
        }
    }

    /// How many forms hold something that would be lost if the program ended now.
    pub(super) fn would_be_lost(&self) -> usize {
        // A recording is kept as soon as its sound is written, some moments after its end.
        if self.drafts.shelf.is_some() { self.shell.recording.would_be_lost() } else { self.forms_unsaved() }
    }
}
