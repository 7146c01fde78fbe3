//! The shell around every place: top strip, rail, right panel, bottom line, the field that finds, the keyboard map.

pub mod asking;
pub mod comparing;
pub mod earlier;
pub mod finder;
pub mod first_steps;
pub mod foot;
pub mod guide;
pub mod importing;
pub mod keys;
pub mod leaving;
pub mod listening;
pub mod panel;
pub mod playing_on;
pub mod preview;
pub mod proposing;
pub mod rail;
pub mod recording;
pub mod remembering;
pub mod top_strip;
pub mod versions;
pub mod welcome;

use crate::drafts::Left;
use crate::drafts::shelf::Slip;
use crate::intent::Leaving;
use crate::view::Over;

/// What the shell holds open around and over the places.
#[derive(Default)]
pub struct Shell {
    /// The one field that finds or does anything.
    pub finder: finder::State,
    /// A question for a path that is open.
    pub asking: Option<asking::Asking>,
    /// An instrument of another kind than a line asks for, while it is asked about.
    pub playing_on: Option<playing_on::Question>,
    /// A file that waits to be taken in.
    pub importing: importing::State,
    /// Sheets looked at before they are printed.
    pub preview: preview::State,
    /// Two versions of a file, while they are shown.
    pub versions: versions::State,
    /// Earlier versions of the files, while they are shown.
    pub earlier: earlier::State,
    /// What would leave behind what is not saved, while it is asked about.
    pub leaving: Option<Leaving>,
    /// The guide.
    pub guide: guide::State,
    /// The keyboard map.
    pub keys: keys::State,
    /// Instruments and beaters proposed for every line.
    pub proposing: proposing::State,
    /// A take that is recorded.
    pub recording: recording::State,
    /// A decision or a trial that is entered.
    pub remembering: remembering::State,
    /// A trial that is listened to.
    pub comparing: comparing::State,
    /// The words of the first start.
    pub welcome: bool,
    /// Whether the window may close whatever is not saved: it was asked.
    pub quits: bool,
    /// What the right panel has open.
    pub panel: panel::State,
}

impl Shell {
    /// What lies over the places; the innermost, where one was opened from another.
    pub fn over(&self) -> Option<Over> {
        if self.asking.is_some() {
            Some(Over::Question)
        } else if self.playing_on.is_some() {
            Some(Over::OtherKind)
        } else if self.welcome {
            Some(Over::Welcome)
        } else if self.importing.is_open() {
            Some(Over::Importing)
        } else if self.leaving.is_some() {
            Some(Over::Leaving)
        } else if self.earlier.is_open() {
            Some(Over::Earlier)
        } else if self.versions.is_open() {
            Some(Over::Versions)
        } else if self.guide.is_open() {
            Some(Over::Guide)
        } else if self.keys.is_open() {
            Some(Over::KeyMap)
        } else if self.preview.is_open() {
            Some(Over::Sheets)
        } else if self.recording.is_open() {
            Some(Over::Recording)
        } else if self.proposing.is_open() {
            Some(Over::Proposing)
        } else if self.comparing.is_open() && !self.remembering.is_open() {
            Some(Over::Comparing)
        } else if self.remembering.is_open() {
            Some(Over::Remembering)
        } else if self.finder.open {
            Some(Over::Finder)
        } else {
            None
        }
    }

    /// How many forms over the places hold something that is not in the library.
    pub fn unsaved(&self) -> usize {
        let forms = self.remembering.unsaved() + self.recording.unsaved();
        forms + self.importing.unsaved() + self.comparing.unsaved()
    }

    /// The same as they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let takes = [self.recording.slips(), self.comparing.slips()].concat();
        [self.remembering.slips(), self.importing.slips(), takes].concat()
    }

    /// Closes the innermost; which it was, and what became of what was typed there.
    pub fn close_innermost(&mut self) -> Option<(Over, Left)> {
        let over = self.over()?;
        let mut left = Left::Nothing;
        match over {
            Over::Question => self.asking = None,
            Over::OtherKind => self.playing_on = None,
            Over::Welcome => self.welcome = false,
            Over::Importing => self.importing.close(),
            Over::Leaving => self.leaving = None,
            Over::Earlier => self.earlier.close(),
            Over::Versions => self.versions.close(),
            Over::Guide => self.guide.close(),
            Over::KeyMap => self.keys.close(),
            Over::Sheets => self.preview.close(),
            Over::Recording => left = self.recording.cancel(),
            Over::Proposing => self.proposing.close(),
            Over::Remembering => left = self.remembering.close(),
            Over::Comparing => left = self.comparing.close(),
            Over::Finder => self.finder.close(),
        }
        Some((over, left))
    }
}
