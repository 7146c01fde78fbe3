//! Undo and redo: the history of library values.

use super::{Edit, EditError, apply, words};
use crate::library::Library;

/// One step of the history.
#[derive(Clone, Debug)]
pub struct Step {
    /// What was done, in words.
    pub words: String,
    before: Library,
    after: Library,
}

/// A library with its past and its undone future. Each change of the library has a new revision.
#[derive(Clone, Debug, Default)]
pub struct History {
    now: Library,
    revision: u64,
    past: Vec<Step>,
    future: Vec<Step>,
}

/// The oldest steps are forgotten beyond this many.
const LONGEST: usize = 1000;

impl History {
    /// A history that begins with `library`.
    pub fn new(library: Library) -> Self {
        Self { now: library, ..Self::default() }
    }

    /// The library as it is now.
    pub const fn now(&self) -> &Library {
        &self.now
    }

    /// A number that differs whenever the library does; never falls.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Makes a change. `Ok(None)` when it changes nothing; else the words of the step.
    pub fn make(&mut self, edit: &Edit) -> Result<Option<&str>, EditError> {
        let after = apply(&self.now, edit)?;
        let words = words(&self.now, edit);
        Ok(self.take(after, words))
    }

    /// Puts another state of the same library in the place of this one as a step of its own, as when somebody else has
    /// changed its files. `None` when it is the same; else the words of the step.
    pub fn take(&mut self, after: Library, words: String) -> Option<&str> {
        if after.is_same(&self.now) {
            return None;
        }
        let step = Step { words, before: self.now.clone(), after: after.clone() };
        self.now = after;
        self.revision += 1;
        self.future.clear();
        self.past.push(step);
        if self.past.len() > LONGEST {
            self.past.remove(0);
        }
        self.past.last().map(|step| step.words.as_str())
    }

    /// Takes the last step back; its words, or `None` at the beginning.
    pub fn undo(&mut self) -> Option<String> {
        let step = self.past.pop()?;
        self.now = step.before.clone();
        self.revision += 1;
        let words = step.words.clone();
        self.future.push(step);
        Some(words)
    }

    /// Makes the last step that was taken back again; its words, or `None`.
    pub fn redo(&mut self) -> Option<String> {
        let step = self.future.pop()?;
        self.now = step.after.clone();
        self.revision += 1;
        let words = step.words.clone();
        self.past.push(step);
        Some(words)
    }

    /// The words of the step that undo would take back.
    pub fn undoable(&self) -> Option<&str> {
        self.past.last().map(|step| step.words.as_str())
    }

    /// The words of the step that redo would make again.
    pub fn redoable(&self) -> Option<&str> {
        self.future.last().map(|step| step.words.as_str())
    }
}
