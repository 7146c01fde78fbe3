//! One row of Compass: an instrument, with its answer to the line.

use backrow_core::collection::Material;
use backrow_core::compass::{PitchSet, Reach};
use backrow_core::id::{InstrumentId, KindId};
use backrow_core::pitch::{KeyNumber, Octave};

/// One instrument.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) id: InstrumentId,
    pub(super) name: String,
    pub(super) kind: KindId,
    pub(super) beside: String,
    pub(super) material: Material,
    pub(super) bars: PitchSet,
    pub(super) dead: PitchSet,
    /// The kind's usual convention, for the hairline when no line is laid over.
    pub(super) octave: Octave,
    pub(super) reach: Option<Reach>,
    /// How far its kind is from the line's: 0 the same, then what is like it; the last for all others.
    pub(super) near: usize,
    /// Whether its kind is what a line without pitch asks for.
    pub(super) answers: bool,
    /// The answer in words, for labels and hovers.
    pub(super) answer: String,
    /// The lowest and the highest pitch of each of its drums.
    pub(super) drums: Vec<(KeyNumber, KeyNumber)>,
    /// Who has the line on it now: roster order and initials.
    pub(super) player: Option<(u32, String)>,
    /// Needed by another programme at the same time.
    pub(super) elsewhere: Option<String>,
    /// How many instruments of its kind are folded into it; 0 for a row of its own.
    pub(super) folds: usize,
    /// Whether a new kind begins with this row.
    pub(super) first_of_kind: bool,
    /// Distance of the row's top from the list's, points.
    pub(super) top: f32,
}
