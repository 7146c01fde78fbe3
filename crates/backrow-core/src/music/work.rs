//! Works and movements, as printed in the programme.

use super::{Call, Timeline};
use crate::id::{CallId, MovementId, WorkId};

/// A work.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// Stable for ever.
    pub id: WorkId,
    /// As printed in the programme.
    pub title: String,
    /// As printed in the programme.
    pub composer: String,
    /// In order; at least one.
    pub movements: Vec<Movement>,
    /// In order of the parts.
    pub calls: Vec<Call>,
    /// Pairs of calls that one player plays at once: a triangle hung over a cymbal.
    pub together: Vec<(CallId, CallId)>,
    /// What it was read from, and anything else.
    pub remark: String,
}

/// A movement of a work.
#[derive(Clone, Debug, PartialEq)]
pub struct Movement {
    /// Stable within the work.
    pub id: MovementId,
    /// "II"; empty for a work in one movement.
    pub number: String,
    /// As printed; may be empty.
    pub title: String,
    /// Measures and seconds.
    pub timeline: Timeline,
}

impl Movement {
    /// Number and title as printed: "II Lamplighters"; empty for a nameless only movement.
    pub fn heading(&self) -> String {
        match (self.number.is_empty(), self.title.is_empty()) {
            (true, _) => self.title.clone(),
            (false, true) => self.number.clone(),
            (false, false) => format!("{} {}", self.number, self.title),
        }
    }
}

impl Work {
    /// One of its calls.
    pub fn call(&self, id: &CallId) -> Option<&Call> {
        self.calls.iter().find(|call| call.id == *id)
    }

    /// One of its movements.
    pub fn movement(&self, id: &MovementId) -> Option<&Movement> {
        self.movements.iter().find(|movement| movement.id == *id)
    }

    /// The calls of one movement, in order.
    pub fn calls_of<'a>(&'a self, movement: &'a MovementId) -> impl Iterator<Item = &'a Call> {
        self.calls.iter().filter(move |call| call.movement == *movement)
    }

    /// How long it lasts, seconds, without pauses between movements.
    pub fn seconds(&self) -> f64 {
        self.movements.iter().map(|movement| movement.timeline.end_s).sum()
    }

    /// Whether two of its calls are marked as playable together.
    pub fn are_together(&self, one: &CallId, other: &CallId) -> bool {
        self.together.iter().any(|(a, b)| (a == one && b == other) || (a == other && b == one))
    }
}
