//! Steps back in the review of several scores: what was changed about the guess, ticked or chosen.

use super::{FolderReading, take};
use backrow_core::id::VenueId;
use backrow_files::score::Gathered;
use std::collections::BTreeSet;

/// So many steps back are kept.
const STEPS: usize = 60;

/// What can be changed in the review.
#[derive(Clone, Debug, PartialEq)]
struct Look {
    gathered: Gathered,
    taken: Vec<bool>,
    corrected: BTreeSet<String>,
    programme: take::Into,
    title: String,
    venue: Option<VenueId>,
}

impl Look {
    fn of(reading: &FolderReading) -> Self {
        Self {
            gathered: reading.gathered.clone(),
            taken: reading.taken.clone(),
            corrected: reading.corrected.clone(),
            programme: reading.programme,
            title: reading.title.clone(),
            venue: reading.venue.clone(),
        }
    }

    fn is(&self, reading: &FolderReading) -> bool {
        self.gathered == reading.gathered
            && self.taken == reading.taken
            && self.corrected == reading.corrected
            && (self.programme, &self.title, &self.venue)
                == (reading.programme, &reading.title, &reading.venue)
    }

    fn put_on(self, reading: &mut FolderReading) {
        (reading.gathered, reading.taken, reading.corrected) = (self.gathered, self.taken, self.corrected);
        (reading.programme, reading.title, reading.venue) = (self.programme, self.title, self.venue);
    }
}

/// Where one can step to from here.
#[derive(Default)]
pub(super) struct Steps {
    before: Vec<Look>,
    after: Vec<Look>,
    /// How it stood after the last step.
    now: Option<Look>,
}

impl Steps {
    pub(super) const fn can_go_back(&self) -> bool {
        !self.before.is_empty()
    }
}

impl FolderReading {
    /// Keeps what was changed since the last step as one. While a text is typed it is not yet a step.
    pub(super) fn note_step(&mut self, types: bool) {
        if types || self.answers.is_some() || self.steps.now.as_ref().is_some_and(|now| now.is(self)) {
            return;
        }
        if let Some(was) = self.steps.now.replace(Look::of(self)) {
            self.steps.before.push(was);
            self.steps.after.clear();
            if self.steps.before.len() > STEPS {
                self.steps.before.remove(0);
            }
        }
    }

    /// One step back, or forth again; whether there was one.
    pub(in crate::places::works) fn step(&mut self, back: bool) -> bool {
        // What has just been changed is a step before any other.
        self.note_step(false);
        let Steps { before, after, now } = &mut self.steps;
        let (from, onto) = if back { (before, after) } else { (after, before) };
        let Some(look) = from.pop() else { return false };
        onto.extend(now.replace(look.clone()));
        look.put_on(self);
        self.stale = true;
        true
    }
}
