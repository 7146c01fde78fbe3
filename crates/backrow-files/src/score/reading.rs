//! What a reading holds.

use super::Problem;
use backrow_core::id::KindId;
use backrow_core::music::{Degree, Passage, Timeline, UnpitchedNote};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};

/// What was read from one file: one movement.
#[derive(Clone, Debug, PartialEq)]
pub struct ScoreReading {
    /// The file's name.
    pub file: String,
    /// As printed; the movement's title or the file's name where the score has none.
    pub title: String,
    /// Where the title comes from.
    pub title_from: TitleFrom,
    /// As printed; may be empty.
    pub composer: String,
    /// The movement's number as printed; may be empty.
    pub movement_number: String,
    /// The movement's title as printed; may be empty.
    pub movement_title: String,
    /// The measures in the order of playing, in seconds.
    pub timeline: Timeline,
    /// How many measures are printed.
    pub measures: usize,
    /// Quarter notes as printed, repeats not played out.
    pub quarters: f64,
    /// In order of the parts, within a part in order of the first note.
    pub lines: Vec<ReadLine>,
    /// What was not read, or was guessed.
    pub problems: Vec<Problem>,
}

/// Where a reading's title comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TitleFrom {
    /// The work's title in the score.
    Work,
    /// The movement's title: the score names no work.
    Movement,
    /// The file's name.
    File,
}

/// A line as read, before anybody has looked at it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadLine {
    /// The score's id of the part: "P9", "ch10".
    pub part: String,
    /// The part's heading: "Percussion 1".
    pub part_name: String,
    /// `None` where the part leaves it open.
    pub kind: Option<KindId>,
    /// Kinds that it could also be, the likelier first; to choose from.
    pub candidates: Vec<KindId>,
    /// How the part prints it: "Glsp.".
    pub printed: String,
    /// Sounding minus written where all its notes agree.
    pub octave: Option<Octave>,
    /// That of most of its notes; the notes' shifts count from it.
    pub usual_octave: Octave,
    /// Another convention that would fit the usual compasses of the kind where this one does not.
    pub octave_offer: Option<Octave>,
    /// Attacks as notated, each counted once however often it is repeated; in order of the sounding pitch.
    pub notes: Vec<NoteCount>,
    /// Attacks without pitch as notated, in order of the name.
    pub unpitched: Vec<UnpitchedNote>,
    /// As played: repeats stand as often as they are played.
    pub passages: Vec<ReadPassage>,
    /// Beaters in the part's words.
    pub beaters: Vec<String>,
    /// What the reading goes by, a sentence each.
    pub evidence: Vec<String>,
    /// Words in the part that were not taken for an instrument, with what was assumed, and notes outside every usual compass; a
    /// sentence each.
    pub doubts: Vec<String>,
    /// How sure the kind is.
    pub degree: Degree,
}

/// A written note and how often it is struck.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoteCount {
    /// As on the page.
    pub written: Spelled,
    /// As heard, by the score.
    pub sounding: KeyNumber,
    /// Attacks.
    pub count: u32,
}

/// A passage with what the review shows beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadPassage {
    /// Measures, seconds, notes.
    pub passage: Passage,
    /// Attacks, pitched and not.
    pub attacks: u32,
}

/// How to read; the defaults are the section's common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadOptions {
    /// A passage ends at a rest of at least so many seconds; 4 unless set.
    pub rest_s: f64,
    /// Whether that rest must also hold a whole measure; it must unless set.
    pub whole_measure: bool,
    /// What a fermata adds, seconds; 0 unless set.
    pub fermata_s: f64,
    /// The most that a compressed score may unpack to, bytes; 256 MiB unless set.
    pub most_bytes: u64,
}

impl Default for ReadOptions {
    fn default() -> Self {
        Self { rest_s: 4.0, whole_measure: true, fermata_s: 0.0, most_bytes: 256 << 20 }
    }
}

impl ScoreReading {
    /// Quarter notes as played.
    pub fn quarters_played(&self) -> f64 {
        self.timeline.quarters()
    }
}
