//! What a reader could not take in: where, what, and what would mend it.

use std::fmt;

/// Something in a file that was left out or guessed at; the rest of the file goes on.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// A short stable word for scripts: `kind-word`, `note-range`.
    pub code: &'static str,
    /// File, and line or measure where known: `kinds.ron, line 12`.
    pub place: String,
    /// What is wrong, in one sentence without a full stop.
    pub what: String,
    /// What the reader of the message can do about it.
    pub remedy: String,
}

impl Problem {
    /// The same with long quotations of the file cut, so that no message is as long as the cell it speaks of.
    #[must_use]
    pub fn cut(mut self) -> Self {
        self.what = crate::limits::said(&self.what);
        self.place = crate::limits::said(&self.place);
        self.remedy = crate::limits::said(&self.remedy);
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.place, self.what, self.remedy)
    }
}

impl std::error::Error for Problem {}
