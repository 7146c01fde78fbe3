//! Works and movements, as printed in the programme.

use super::{Line, Timeline};
use crate::id::{LineId, MovementId, WorkId};
use crate::trial::Memory;

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
    pub lines: Vec<Line>,
    /// Pairs of lines that one player plays at once: a triangle hung over a cymbal.
    pub together: Vec<(LineId, LineId)>,
    /// What was tried and decided for its lines.
    pub memory: Memory,
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
    /// One of its lines.
    pub fn line(&self, id: &LineId) -> Option<&Line> {
        self.lines.iter().find(|line| line.id == *id)
    }

    /// One of its movements.
    pub fn movement(&self, id: &MovementId) -> Option<&Movement> {
        self.movements.iter().find(|movement| movement.id == *id)
    }

    /// The lines of one movement, in order.
    pub fn lines_of<'a>(&'a self, movement: &'a MovementId) -> impl Iterator<Item = &'a Line> {
        self.lines.iter().filter(move |line| line.movement == *movement)
    }

    /// How long it lasts, seconds, without pauses between movements.
    pub fn seconds(&self) -> f64 {
        self.movements.iter().map(|movement| movement.timeline.end_s).sum()
    }

    /// Whether two of its lines are marked as playable together.
    pub fn are_together(&self, one: &LineId, other: &LineId) -> bool {
        self.together.iter().any(|(a, b)| (a == one && b == other) || (a == other && b == one))
    }
}
