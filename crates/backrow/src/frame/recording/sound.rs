//! The sound of a take that is in no library yet, in a file beside the drafts.

use crate::background::{Job, Taken};
use backrow_files::sound::{Depth, flac};
use std::path::Path;
use std::sync::Arc;

/// The form of a slip that holds a take.
pub(crate) const FORM: &str = "take";

/// The sound of a recording that is in no library yet, on its way to a file or there.
pub(super) struct Sound {
    /// Its name in the folder of the drafts' sounds.
    pub(super) name: String,
    writing: Option<Job<Result<(), String>>>,
    is_there: bool,
}

impl Sound {
    /// Begins to write a recording; `None` where no thread can be started.
    pub(super) fn keep(
        ctx: &egui::Context,
        folder: &Path,
        samples: &Arc<[f32]>,
        rate_hz: u32,
    ) -> Option<Self> {
        // No two are ended in the same moment.
        let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let name = format!("{}.flac", since.map_or(0, |since| since.as_nanos()));
        let (samples, file) = (Arc::clone(samples), folder.join(&name));
        let write = move |_: &crate::background::Stop| write(&file, &samples, rate_hz);
        let writing = Job::start(ctx, "draft of a take", write).ok()?;
        Some(Self { name, writing: Some(writing), is_there: false })
    }

    /// One that lies there already.
    pub(super) fn there(name: &str) -> Self {
        Self { name: name.to_owned(), writing: None, is_there: true }
    }

    /// Whether it would be there after a kill.
    pub(super) const fn is_there(&self) -> bool {
        self.is_there
    }

    /// Looks whether it has been written; why it cannot be, once.
    pub(super) fn look(&mut self) -> Option<String> {
        let done = self.writing.as_mut().map(Job::take)?;
        let told = match done {
            Taken::Working => return None,
            Taken::Done(Ok(())) => {
                self.is_there = true;
                None
            }
            Taken::Done(Err(why)) => Some(why),
            Taken::Failed => Some("The recording could not be written.".to_owned()),
        };
        self.writing = None;
        told.map(|why| {
            format!("{why} Save the take before you close the program: until then it lies nowhere.")
        })
    }
}

fn write(file: &Path, samples: &[f32], rate_hz: u32) -> Result<(), String> {
    let bytes = flac(samples, rate_hz, Depth::TwentyFour).map_err(|problem| problem.to_string())?;
    let say = |why: std::io::Error| format!("{}: {why}.", file.display());
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder).map_err(say)?;
    }
    let beside = file.with_extension("new");
    std::fs::write(&beside, bytes).and_then(|()| std::fs::rename(&beside, file)).map_err(say)
}
