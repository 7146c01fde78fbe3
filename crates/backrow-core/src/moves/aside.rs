//! Single notes of a line that are played on another instrument than the rest of it: the move there and back, from stroke to stroke.

use super::timetable::{Taken, Timetable};
use crate::id::InstrumentId;
use crate::lacking::lacking;
use crate::library::Library;
use crate::music::MeasureName;
use crate::pitch::KeyNumber;
use crate::seconds;
use crate::sets::strokes_of;
use crate::week::{Assignment, Instead};
use std::collections::BTreeMap;

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

impl Timetable {
    /// Every move within a line to a note that was decided to be played on another instrument, and from it, in order of time. A move
    /// from it to another line is timed from the line’s own instruments.
    pub fn asides(&self, library: &Library, taken: &Taken, given: &Assignment) -> Vec<Aside> {
        let Some((_, line)) = library.line(&taken.line) else { return Vec::new() };
        let decided: BTreeMap<KeyNumber, Instead> = lacking(library, line, given)
            .into_iter()
            .filter_map(|lack| Some((lack.key, lack.decided?)))
            .collect();
        if decided.values().all(|instead| instead.on().is_none()) {
            return Vec::new();
        }
        let (strokes, estimated) = strokes_of(line);
        let played = strokes.into_iter().filter(|stroke| decided.get(&stroke.key) != Some(&Instead::LeftOut));
        let struck: Vec<(i64, Struck)> = played
            .map(|stroke| {
                let elsewhere = decided.get(&stroke.key).and_then(Instead::on).cloned();
                (stroke.at_us, Struck { key: stroke.key, measure: stroke.measure, elsewhere })
            })
            .collect();
        let pairs = struck.iter().zip(struck.iter().skip(1));
        let apart = pairs.filter(|((_, from), (_, to))| from.elsewhere != to.elsewhere);
        let aside = |((from_us, from), (to_us, to)): (&(i64, Struck), &(i64, Struck))| {
            let places = |struck: &Struck| {
                struck.elsewhere.as_ref().map_or_else(|| taken.instruments.clone(), |id| vec![id.clone()])
            };
            let step = seconds::Move {
                from: from.clone(),
                to: to.clone(),
                has_us: to_us.saturating_sub(*from_us),
                at_once: from_us == to_us,
                need: self.need_within(taken, &places(from), &places(to)),
            };
            Aside { step, estimated }
        };
        apart.map(aside).collect()
    }
}
