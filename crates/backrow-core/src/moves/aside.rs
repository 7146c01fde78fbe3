//! What a player has to do within a line, from stroke to stroke: the move to a note that is played on another instrument than the rest
//! of it, and back; the change between two and four mallets where the part says so.

use super::stance::{Post, Stance, Stances};
use super::timetable::{AssignedLine, Timetable};
use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::MeasureName;
use crate::pitch::KeyNumber;
use crate::seconds::{self, Hold};
use crate::sets::strokes_of;
use crate::timpani::Stroke;
use crate::week::Assignment;

/// A stroke that such a move leads from or to.
#[derive(Clone, Debug, PartialEq)]
pub struct Struck {
    /// The note, as it sounds.
    pub key: KeyNumber,
    /// When, microseconds from the start of the movement.
    pub at_us: i64,
    /// The measure, as printed.
    pub measure: MeasureName,
    /// What it is struck on, where that is none of the line’s own instruments.
    pub elsewhere: Option<InstrumentId>,
    /// Whether four mallets are in the hands.
    pub four_mallets: bool,
}

/// A move within a line: to a note that is played elsewhere or from it, or to another number of mallets. What one has is from stroke
/// to stroke: a note rings on while its player goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Aside {
    /// What is there, and what is needed.
    pub step: seconds::Move<Struck>,
    /// Whether the moments of the strokes are guessed, even within their measures.
    pub estimated: bool,
}

impl Aside {
    /// The instrument that the player leaves the line’s own for, or comes back from.
    pub fn elsewhere(&self) -> Option<&InstrumentId> {
        self.step.to.elsewhere.as_ref().or(self.step.from.elsewhere.as_ref())
    }

    /// The note that is played there; of a change of mallets the note before it.
    pub const fn key(&self) -> KeyNumber {
        if self.step.to.elsewhere.is_some() { self.step.to.key } else { self.step.from.key }
    }

    /// How many mallets are in the hands after it, where they are not so many before.
    pub fn mallets(&self) -> Option<u8> {
        let (from, to) = (self.step.from.four_mallets, self.step.to.four_mallets);
        (from != to).then_some(if to { 4 } else { 2 })
    }
}

/// A stroke with how its player stands.
struct Beat {
    struck: Struck,
    stance: Stance,
}

impl Timetable {
    /// Every move within a line to a note that was decided to be played on another instrument, and from it, and every change between
    /// two and four mallets, in order of time. Moves to other lines begin and end there too: [`super::At::leaves`].
    pub fn asides(&self, library: &Library, taken: &AssignedLine, given: &Assignment) -> Vec<Aside> {
        let Some((_, line)) = library.line(&taken.line) else { return Vec::new() };
        let stances = Stances::of(library, line, given);
        if stances.is_one() {
            return Vec::new();
        }
        let (strokes, estimated) = strokes_of(line);
        let played = strokes.into_iter().filter(|stroke| stances.is_played(stroke));
        let beats: Vec<Beat> = played.map(|stroke| Beat::of(&stances, stroke)).collect();
        let pairs = beats.iter().zip(beats.iter().skip(1));
        let apart = pairs.filter(|(from, to)| from.stance != to.stance);
        apart.map(|(from, to)| Aside { step: self.step_within(taken, from, to), estimated }).collect()
    }

    fn step_within(&self, taken: &AssignedLine, from: &Beat, to: &Beat) -> seconds::Move<Struck> {
        let (from_us, to_us) = (from.struck.at_us, to.struck.at_us);
        seconds::Move {
            from: from.struck.clone(),
            to: to.struck.clone(),
            has_us: to_us.saturating_sub(from_us),
            at_once: from_us == to_us,
            need: self.need_within(Post { taken, stance: &from.stance }, Post { taken, stance: &to.stance }),
        }
    }
}

impl Beat {
    fn of(stances: &Stances<'_>, stroke: Stroke) -> Self {
        let stance = stances.at(&stroke);
        let struck = Struck {
            key: stroke.key,
            at_us: stroke.at_us,
            elsewhere: stances.elsewhere(&stroke).cloned(),
            four_mallets: stance.holds.contains(&Hold::FourMallets),
            measure: stroke.measure,
        };
        Self { struck, stance }
    }
}
