//! Copies of the library, and libraries in one file: packed and unpacked beside the frame.

use super::App;
use crate::actions::Action;
use crate::background::{Job, Taken};
use std::cell::Cell;
use std::path::{Path, PathBuf};

/// A copy or an unpacking that is under way.
pub(super) struct Copying {
    what: What,
    /// Where it is in the end; `None` when it was ended.
    job: Job<Result<Option<PathBuf>, String>>,
    is_cancelled: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    /// A copy of the library at that revision.
    Copy(u64),
    /// A library out of one file, to be opened.
    Unpack,
}

impl Copying {
    /// "Saving a copy: 40 %".
    pub(super) fn words(&self) -> String {
        let verb = match self.what {
            What::Copy(_) => "Saving a copy",
            What::Unpack => "Unpacking a library",
        };
        match self.job.progress() {
            Some((done, of)) => format!("{verb}: {} %", done.saturating_mul(100) / of.max(1)),
            None => format!("{verb} …"),
        }
    }

    /// Ends it; what is said.
    pub(super) fn cancel(&mut self) -> &'static str {
        self.job.cancel();
        self.is_cancelled = true;
        match self.what {
            What::Copy(_) => "Cancelled: no copy is saved.",
            What::Unpack => "Cancelled: nothing is unpacked.",
        }
    }
}

impl App {
    /// Saves the library as it is in another folder, or in one file; what is current stays current.
    pub(super) fn save_copy(&mut self, ctx: &egui::Context, to: &Path) {
        let own = self.store.as_ref().map(|store| store.folder.clone());
        let (library, to) = (self.history.now().clone(), to.to_owned());
        let what = What::Copy(self.history.revision());
        self.copy(ctx, what, move |goes_on| crate::store::save_copy(&library, own.as_deref(), &to, goes_on));
    }

    /// Unpacks a library that is one file, to open it.
    pub(super) fn unpack(&mut self, ctx: &egui::Context, file: &Path, to: &Path) {
        let (file, to) = (file.to_owned(), to.to_owned());
        self.copy(ctx, What::Unpack, move |goes_on| {
            let whole = backrow_files::library::unpack(&file, &to, goes_on);
            whole.map(|whole| whole.then_some(to)).map_err(|problem| problem.to_string())
        });
    }

    fn copy(
        &mut self,
        ctx: &egui::Context,
        what: What,
        work: impl FnOnce(&backrow_files::library::GoesOn<'_>) -> Result<Option<PathBuf>, String> + Send + 'static,
    ) {
        if let Some(copying) = &self.copying {
            let keys = Action::CancelWork.key_words();
            let words = copying.words();
            let words = words.trim_end_matches(" …");
            self.view.fails(format!("{words}. Wait for its end, or {keys} cancels it."));
            return;
        }
        match Job::start(ctx, "copier", move |stop| {
            // A piece is copied in less than a millisecond: a frame for each would be all that is drawn.
            let told = Cell::new(None);
            work(&|done, of| {
                let hundredth = Some(done.saturating_mul(100) / of.max(1));
                if told.replace(hundredth) == hundredth { !stop.is_asked() } else { stop.tell(done, of) }
            })
        }) {
            Ok(job) => {
                self.copying = Some(Copying { what, job, is_cancelled: false });
                self.take_copied(ctx);
            }
            Err(why) => self.view.fails(format!("Nothing can be copied now: {why}.")),
        }
    }

    /// Says what has become of a copy, and opens what was unpacked.
    pub(super) fn take_copied(&mut self, ctx: &egui::Context) {
        let Some(Copying { what, job, is_cancelled }) = &mut self.copying else { return };
        let (what, cancelled, taken) = (*what, *is_cancelled, job.take());
        if taken == Taken::Working {
            return;
        }
        self.copying = None;
        match (taken, what) {
            (Taken::Done(Ok(Some(to))), What::Copy(revision)) => {
                self.copied_revision = Some(revision);
                let open = Action::OpenLibrary.key_words();
                self.view.said = format!(
                    "Saved a copy in {}. {open} opens it; you are still in the library you were in.",
                    to.display()
                );
            }
            (Taken::Done(Ok(Some(to))), What::Unpack) if cancelled => {
                self.view.said = format!("It was unpacked already: {} is not opened.", to.display());
            }
            (Taken::Done(Ok(Some(to))), What::Unpack) => self.open_path(ctx, &to),
            // It was said when it was cancelled.
            (Taken::Done(Ok(None)) | Taken::Working, _) => {}
            (Taken::Done(Err(why)), _) => self.view.fails(why),
            (Taken::Failed, _) => self.view.fails("The copy stopped short; nothing is left of it."),
        }
        ctx.request_repaint();
    }

    /// Whether the window stays open for a copy that is under way: ended in the middle, it would leave half a folder behind.
    pub(super) fn stays_for_copy(&mut self) -> bool {
        let Some(copying) = self.copying.as_ref().filter(|copying| !copying.is_cancelled) else {
            return false;
        };
        let keys = Action::CancelWork.key_words();
        let words = copying.words();
        let words = words.trim_end_matches(" …");
        self.view.said = format!("{words}. Close the window when it is done, or {keys} cancels it.");
        true
    }
}
