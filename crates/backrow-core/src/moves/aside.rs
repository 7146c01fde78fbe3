//! Single notes of a line that are played on another instrument than the rest of it: the move there and back, from stroke to stroke.

use super::stance::{Post, Stance, Stances};
use super::timetable::{Taken, Timetable};
use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::MeasureName;
use crate::pitch::KeyNumber;
use crate::seconds;
use crate::sets::strokes_of;
use crate::timpani::Stroke;
use crate::week::Assignment;
use std::sync::Arc;

/// A stroke that such a move leads from or to.
#[derive(Clone, Debug, PartialEq)]
pub struct Struck {
    /// The note, as it sounds.
    pub key: KeyNumber,
    /// The measure, as printed.
    pub measure: MeasureName,
    /// What it is struck on, where that is none of the line’s own instruments.
    pub elsewhere: Option<InstrumentId>,
}

/// A move within a line, to a note that is played elsewhere or from it. What one has is from stroke to stroke: a note rings on while
/// its player goes.
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

    /// The note that is played there.
    pub const fn key(&self) -> KeyNumber {
        if self.step.to.elsewhere.is_some() { self.step.to.key } else { self.step.from.key }
    }
}

/// A stroke with its moment and how its player stands.
struct Beat {
    at_us: i64,
    struck: Struck,
    stance: Arc<Stance>,
}

impl Timetable {
    /// Every move within a line to a note that was decided to be played on another instrument, and from it, in order of time.
    /// Moves to other lines begin and end there too: [`super::At::leaves`].
    pub fn asides(&self, library: &Library, taken: &Taken, given: &Assignment) -> Vec<Aside> {
        let Some((_, line)) = library.line(&taken.line) else { return Vec::new() };
        let stances = Stances::of(library, line, given);
        if stances.is_one() {
            return Vec::new();
        }
        let (strokes, estimated) = strokes_of(line);
        let played = strokes.into_iter().filter(|stroke| stances.is_played(stroke));
        let beat = |stroke: Stroke| Beat {
            stance: stances.at(&stroke),
            at_us: stroke.at_us,
            struck: Struck {
                key: stroke.key,
                elsewhere: stances.elsewhere(&stroke).cloned(),
                measure: stroke.measure,
            },
        };
        let beats: Vec<Beat> = played.map(beat).collect();
        let pairs = beats.iter().zip(beats.iter().skip(1));
        let apart = pairs.filter(|(from, to)| from.stance != to.stance);
        apart.map(|(from, to)| Aside { step: self.step_within(taken, from, to), estimated }).collect()
    }

    fn step_within(&self, taken: &Taken, from: &Beat, to: &Beat) -> seconds::Move<Struck> {
        seconds::Move {
            from: from.struck.clone(),
            to: to.struck.clone(),
            has_us: to.at_us.saturating_sub(from.at_us),
            at_once: from.at_us == to.at_us,
            need: self.need_within(Post { taken, stance: &from.stance }, Post { taken, stance: &to.stance }),
        }
    }
}
