//! Calls and their passages.

use super::{Dynamics, MeasureName};
use crate::compass::PitchSet;
use crate::id::{CallId, KindId, MovementId};
use crate::pitch::{KeyNumber, Octave, Spelled};
use std::collections::BTreeMap;

/// One instrument asked for in one movement of a work, with all that it must play.
#[derive(Clone, Debug, PartialEq)]
pub struct Call {
    /// Stable within the work.
    pub id: CallId,
    /// The movement it stands in.
    pub movement: MovementId,
    /// What is asked for; `None` where the part leaves it open.
    pub kind: Option<KindId>,
    /// How the part prints it: "Glsp.".
    pub printed: String,
    /// The printed part it stands in: "Percussion 2".
    pub part: String,
    /// From written to sounding.
    pub octave: Octave,
    /// In the order of time; a repeated stretch stands as often as it is played.
    pub passages: Vec<Passage>,
    /// Beaters that the part asks for, in its words.
    pub beaters: Vec<String>,
    /// Whether the section counts it as exposed: everybody hears it.
    pub exposed: bool,
    /// How sure the reading is; `Sure` for calls entered by hand.
    pub degree: Degree,
    /// What the reading goes by, a sentence each.
    pub evidence: Vec<String>,
}

/// How sure a reading is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Degree {
    /// The part says so outright.
    #[default]
    Sure,
    /// The usual reading.
    Likely,
    /// To be asked.
    Unclear,
}

impl Degree {
    /// "sure", "likely" or "unclear".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sure => "sure",
            Self::Likely => "likely",
            Self::Unclear => "unclear",
        }
    }
}

/// A stretch of a call without a rest long enough to leave.
#[derive(Clone, Debug, PartialEq)]
pub struct Passage {
    /// First measure, as printed.
    pub from: MeasureName,
    /// Last measure, as printed.
    pub to: MeasureName,
    /// When it begins, seconds from the start of the movement.
    pub from_s: f64,
    /// When the player is free, seconds from the start of the movement; not before `from_s`.
    pub to_s: f64,
    /// Pitched attacks in order; a chord from low to high.
    pub notes: Vec<CallNote>,
    /// Attacks without pitch, by name, in order of the name.
    pub unpitched: Vec<UnpitchedNote>,
    /// How soft and how loud, where the part says so.
    pub dynamics: Option<Dynamics>,
}

/// A pitched attack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CallNote {
    /// As on the page.
    pub written: Spelled,
    /// Semitones on top of the call's octave, where the page departs from it (an 8va line); mostly 0.
    pub shift: i8,
    /// The measure it stands in, as printed.
    pub measure: MeasureName,
}

/// Attacks without pitch under one name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnpitchedNote {
    /// As the part names it; may be empty.
    pub name: String,
    /// How many attacks.
    pub count: u32,
}

impl Call {
    /// The sounding pitch of one of its notes; `None` when it leaves the keys.
    pub fn sounding_of(&self, note: &CallNote) -> Option<KeyNumber> {
        note.written.key().up(self.octave.semitones() + i32::from(note.shift))
    }

    /// Every pitched attack in order.
    pub fn notes(&self) -> impl Iterator<Item = &CallNote> {
        self.passages.iter().flat_map(|p| &p.notes)
    }

    /// The pitches it needs, sounding.
    pub fn sounding(&self) -> PitchSet {
        self.notes().filter_map(|note| self.sounding_of(note)).collect()
    }

    /// Its written notes with the number of attacks of each, in order of pitch.
    pub fn written_counts(&self) -> Vec<(CallNote, u32)> {
        let mut counts: BTreeMap<(KeyNumber, Spelled, i8), (CallNote, u32)> = BTreeMap::new();
        for note in self.notes() {
            let entry =
                counts.entry((note.written.key(), note.written, note.shift)).or_insert((note.clone(), 0));
            entry.1 += 1;
        }
        counts.into_values().collect()
    }

    /// Whether it asks for pitches.
    pub fn is_pitched(&self) -> bool {
        self.notes().next().is_some()
    }

    /// From the softest to the loudest of its passages, where the part says so.
    pub fn dynamics(&self) -> Option<Dynamics> {
        self.passages.iter().filter_map(|passage| passage.dynamics).reduce(Dynamics::joined)
    }

    /// From its first measure to its last, as printed: "41–118".
    pub fn measures(&self) -> String {
        match (self.passages.first(), self.passages.last()) {
            (Some(first), Some(last)) if first.from == last.to => first.from.to_string(),
            (Some(first), Some(last)) => format!("{}–{}", first.from, last.to),
            _ => String::new(),
        }
    }
}
