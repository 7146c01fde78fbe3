//! The programme's sheets onto paper, set on a thread of their own.

use super::App;
use crate::background::{Job, Stop, Taken};
use crate::sheets::{Printer, Sheet, templates, today_of};
use backrow_core::evening::Evening;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Sheets that are being printed: the words for the bottom line when they are done, none when that was cancelled.
pub(super) type Printing = Job<Result<Option<Done>, String>>;

/// What was printed.
pub(super) struct Done {
    said: String,
    /// The file, or the folder of several.
    to: PathBuf,
}

/// What is to be printed, with a copy of all it needs.
struct Order {
    evening: Arc<Evening>,
    paper: backrow_print::Paper,
    plans: crate::sheets::Plans,
    /// The library's folder, for templates of its own.
    own: Option<PathBuf>,
    /// These alone, where they were chosen one by one.
    wanted: Option<Vec<Sheet>>,
    left_out: BTreeSet<Sheet>,
    in_one: bool,
    folder: PathBuf,
}

impl App {
    /// Begins to print into that folder; the window goes on meanwhile.
    pub(super) fn print(&mut self, ctx: &egui::Context, folder: &Path) {
        let library = self.history.now();
        let Some(programme) = self.view.programme.as_ref().and_then(|id| library.programme(id)) else {
            self.view.fails("Choose a programme first: there is nothing to print without one.");
            return;
        };
        if self.printing.is_some() {
            "The sheets asked for before are still being printed.".clone_into(&mut self.view.said);
            return;
        }
        self.settings.sheets = Some(folder.to_owned());
        let order = Order {
            evening: self.derived.evening_of(library, self.history.revision(), programme),
            paper: self.settings.paper.paper(),
            plans: self.settings.plans(),
            own: self.store.as_ref().map(|store| store.folder.clone()),
            wanted: self.shell.preview.wanted(),
            left_out: self.shell.preview.left_out().clone(),
            in_one: self.shell.preview.in_one,
            folder: folder.to_owned(),
        };
        match Job::start(ctx, "printer", move |stop| order.print(stop)) {
            Ok(job) => {
                "Printing …".clone_into(&mut self.view.said);
                self.view.printed_to = None;
                self.printing = Some(job);
            }
            Err(why) => self.view.fails(format!("Nothing can be printed now: {why}.")),
        }
    }

    /// Opens a file or a folder with what the desktop has for it.
    pub(super) fn show(&mut self, path: &Path) {
        let program = if cfg!(target_os = "windows") {
            "explorer"
        } else if cfg!(target_os = "macos") {
            "open"
        } else {
            "xdg-open"
        };
        let began = std::process::Command::new(program).arg(path).spawn();
        match began {
            Ok(mut child) => {
                self.view.said = format!("Opening {}.", path.display());
                // Waited for beside the window, so that nothing is left of it.
                let wait = std::thread::Builder::new().name("what opens it".to_owned());
                drop(wait.spawn(move || child.wait()));
            }
            Err(why) => self.view.fails(format!(
                "{} cannot be opened from here ({program}: {why}). Open it in your files.",
                path.display()
            )),
        }
    }

    /// Says in the bottom line what goes on beside the frame, and how far it has come.
    pub(super) fn tell_what_is_under_way(&mut self) {
        let printing = self.printing.as_ref().map(|job| match job.progress() {
            Some((done, of)) => format!("Printing: {done} of {of} sheets are set"),
            None => "Printing …".to_owned(),
        });
        let opening = self.opening.as_ref().map(|job| match job.progress() {
            Some((done, of)) => format!("Opening a library: {done} of {of} files are read"),
            None => "Opening a library …".to_owned(),
        });
        let reading = self.reading.as_ref().map(super::open::Reading::words);
        let copying = self.copying.as_ref().map(super::copying::Copying::words);
        self.view.under_way = printing.or(copying).or(opening).or(reading).or_else(|| self.places.search());
    }

    /// Ends what goes on beside the frame: what is being printed, else copied, else opened, else read, else worked out.
    pub(super) fn cancel_work(&mut self) {
        let words = if let Some(job) = &self.printing {
            job.cancel();
            "Printing ends after the current sheet."
        } else if let Some(copying) = &mut self.copying {
            copying.cancel()
        } else if self.opening.take().is_some() {
            "Cancelled: what was open stays open."
        } else if self.reading.take().is_some() {
            "Cancelled: the score is not imported."
        } else {
            let ended = self.places.cancel_search();
            ended.unwrap_or("Nothing is being printed, copied, opened, read or worked out.")
        };
        words.clone_into(&mut self.view.said);
    }

    /// Says what was printed, once it is.
    pub(super) fn take_printed(&mut self) {
        let Some(job) = &mut self.printing else { return };
        match job.take() {
            Taken::Working => return,
            Taken::Done(Ok(done)) => {
                self.view.has_printed |= done.is_some();
                let (said, to) = match done {
                    Some(Done { said, to }) => (said, Some(to)),
                    None => ("Cancelled: nothing was printed.".to_owned(), None),
                };
                self.view.said = said;
                self.view.printed_to = to;
            }
            Taken::Done(Err(why)) => self.view.fails(why),
            Taken::Failed => {
                self.view.fails("Printing stopped short; look into the folder before you use what is there.");
            }
        }
        self.printing = None;
    }
}

impl Order {
    fn print(self, stop: &Stop) -> Result<Option<Done>, String> {
        let (library, programme) = (self.evening.library(), self.evening.programme());
        let templates = templates(self.own.as_deref());
        let printer = Printer {
            evening: &self.evening,
            paper: self.paper,
            templates: &templates,
            today: today_of(library),
            remembers: self.own.as_deref(),
            plans: self.plans,
        };
        let all = || Sheet::of(library, programme).into_iter().filter(|sheet| !self.left_out.contains(sheet));
        let sheets = self.wanted.clone().unwrap_or_else(|| all().collect());
        let on_with = |done| stop.tell(done, sheets.len());
        let done =
            printer.print_while(&crate::sheets::press(), &sheets, (&self.folder, self.in_one), &on_with);
        let Some(printed) = done? else { return Ok(None) };
        let (what, to) = match printed.files.as_slice() {
            [one] => (one.display().to_string(), one.clone()),
            many => (format!("{} sheets into {}", many.len(), self.folder.display()), self.folder.clone()),
        };
        let remarks = printed.remarks.into_iter().map(|remark| remark.words);
        let said = std::iter::once(format!("Printed {what}.")).chain(printed.signs).chain(remarks);
        Ok(Some(Done { said: said.collect::<Vec<_>>().join(" "), to }))
    }
}
