//! Notices what others change in the library's folder, on a thread of its own: a look at times, lengths and names every few
//! seconds, and only where they differ the folder is read again. The window is asked for a frame only then.

use backrow_files::library::{self, DiskState, Opened};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::Duration;

/// Between two looks.
const EVERY: Duration = Duration::from_secs(3);
/// What changes is read when it has not changed for so long, as a sync tool or version control changes much at once.
const QUIET: Duration = Duration::from_millis(300);

/// The folder as others have left it.
pub(crate) struct Noticed {
    /// Which state of the disk it was compared with.
    serial: u64,
    /// The folder, opened anew; `None` when everything is again as this program knows it.
    pub(crate) opened: Option<Box<Opened>>,
}

enum Word {
    /// What this program knows of the disk by now.
    Knows(u64, Box<DiskState>),
    /// Look at once.
    Look,
}

/// The thread and the ways to it; it ends when this is dropped.
pub(crate) struct Watch {
    words: Sender<Word>,
    noticed: Receiver<Noticed>,
    serial: u64,
}

impl Watch {
    /// Begins to look at a folder; `None` where no thread can be had.
    pub(crate) fn new(folder: PathBuf, disk: &DiskState, ctx: egui::Context) -> Option<Self> {
        let (words, listens) = channel();
        let (tells, noticed) = channel();
        let known = disk.clone();
        std::thread::Builder::new()
            .name("library watch".to_owned())
            .spawn(move || watch(&folder, known, &listens, &tells, &ctx))
            .ok()?;
        Some(Self { words, noticed, serial: 0 })
    }

    /// Tells what is known of the disk after a save.
    pub(crate) fn knows(&mut self, disk: &DiskState) {
        self.serial += 1;
        // A thread that has ended notices nothing more; saving does not need it.
        drop(self.words.send(Word::Knows(self.serial, Box::new(disk.clone()))));
    }

    /// Looks at once, as when the window comes to the front.
    pub(crate) fn look(&self) {
        drop(self.words.send(Word::Look));
    }

    /// What was noticed since the last save.
    pub(crate) fn noticed(&self) -> Option<Noticed> {
        self.noticed.try_iter().filter(|noticed| noticed.serial == self.serial).last()
    }
}

fn watch(
    folder: &std::path::Path,
    mut known: DiskState,
    words: &Receiver<Word>,
    tells: &Sender<Noticed>,
    ctx: &egui::Context,
) {
    let kinds = backrow_files::kinds::standard().unwrap_or_default();
    let mut serial = 0;
    let mut told: Vec<String> = Vec::new();
    loop {
        match words.recv_timeout(EVERY) {
            Ok(Word::Knows(next, disk)) => {
                (serial, known) = (next, *disk);
                told.clear();
                continue;
            }
            Ok(Word::Look) | Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return,
        }
        let mut changed = known.changed_elsewhere(folder);
        if changed == told {
            continue;
        }
        loop {
            std::thread::sleep(QUIET);
            let again = known.changed_elsewhere(folder);
            if again == changed {
                break;
            }
            changed = again;
        }
        let opened = (!changed.is_empty()).then(|| Box::new(library::open(folder, &kinds)));
        told = changed;
        if tells.send(Noticed { serial, opened }).is_err() {
            return;
        }
        ctx.request_repaint();
    }
}
