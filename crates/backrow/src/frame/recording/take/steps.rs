//! Steps back and forth among the strikes of a take in hand.

use backrow_core::sound::Strike;

/// So many steps are kept.
const MOST: usize = 200;

/// The strikes as they were, and as they would be again.
#[derive(Default)]
pub(in super::super) struct Steps {
    now: Vec<Strike>,
    before: Vec<Vec<Strike>>,
    after: Vec<Vec<Strike>>,
}

impl Steps {
    /// Begins with these strikes; there is no step before them.
    pub(super) fn begin(&mut self, strikes: &[Strike]) {
        *self = Self { now: strikes.to_vec(), ..Self::default() };
    }

    /// What differs from the last time is one step.
    pub(super) fn settle(&mut self, strikes: &[Strike]) {
        if self.now == strikes {
            return;
        }
        self.after.clear();
        self.before.push(std::mem::replace(&mut self.now, strikes.to_vec()));
        if self.before.len() > MOST {
            self.before.remove(0);
        }
    }

    /// Whether there is a step.
    pub(super) fn can_step(&self, back: bool, strikes: &[Strike]) -> bool {
        if back { !self.before.is_empty() || self.now != strikes } else { !self.after.is_empty() }
    }

    /// The strikes one step back or forth; `None` where there is no step.
    pub(super) fn step(&mut self, back: bool, strikes: &[Strike]) -> Option<Vec<Strike>> {
        self.settle(strikes);
        let (from, to) =
            if back { (&mut self.before, &mut self.after) } else { (&mut self.after, &mut self.before) };
        let next = from.pop()?;
        to.push(std::mem::replace(&mut self.now, next));
        Some(self.now.clone())
    }
}
