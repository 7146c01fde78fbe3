//! Does an instrument reach a call: whole, whole at another octave, in part, or not at all.

use super::PitchSet;

/// How far an instrument reaches the notes of a call.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// Every note has a sounding bar.
    Whole,
    /// Every note has one when all are put that many octaves higher (negative: lower); never 0.
    Octave(i8),
    /// Some notes have a bar at their own octave, and no octave holds them all.
    Part,
    /// No note has a bar at its own octave, and no octave holds them all.
    None,
}

/// The notes of a call that an instrument lacks, sounding.
pub type Missing = PitchSet;

/// The answer of an instrument to a call.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Reach {
    /// How well.
    pub fit: Fit,
    /// Notes with a bar at their own octave.
    pub reached: PitchSet,
    /// Notes without, that have one a whole number of octaves lower.
    pub lower: PitchSet,
    /// Notes without, and none lower, that have one a whole number of octaves higher.
    pub higher: PitchSet,
    /// Notes with a bar at no octave.
    pub missing: Missing,
}

impl Reach {
    /// All notes without a bar at their own octave.
    pub const fn lacking(&self) -> PitchSet {
        self.lower.union(self.higher).union(self.missing)
    }
}

/// What an instrument with sounding bars `has` makes of the sounding notes `asks`. Dead bars must not be in `has`.
///
/// The nearest octave wins, lower before higher at the same distance. A call without notes is reached whole.
pub fn fit(has: PitchSet, asks: PitchSet) -> Reach {
    let reached = asks.intersection(has);
    let rest = asks.minus(has);
    let mut below = PitchSet::EMPTY;
    let mut above = PitchSet::EMPTY;
    for octaves in 1..=10 {
        // A note x lies `octaves` above a bar when the bar's set, moved up, holds x.
        below = below.union(has.shifted(12 * octaves));
        above = above.union(has.shifted(-12 * octaves));
    }
    let lower = rest.intersection(below);
    let higher = rest.minus(below).intersection(above);
    let missing = rest.minus(below).minus(above);
    let fit = if rest.is_empty() {
        Fit::Whole
    } else if let Some(octaves) = whole_at_octave(has, asks) {
        Fit::Octave(octaves)
    } else if reached.is_empty() {
        Fit::None
    } else {
        Fit::Part
    };
    Reach { fit, reached, lower, higher, missing }
}

fn whole_at_octave(has: PitchSet, asks: PitchSet) -> Option<i8> {
    (1_i8..=10).flat_map(|n| [-n, n]).find(|&n| {
        let moved = asks.shifted(12 * i32::from(n));
        moved.len() == asks.len() && has.contains_all(moved)
    })
}
