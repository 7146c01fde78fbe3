//! How a player stands as a passage begins and as it ends: at what, and with what in the hands.

use super::holds::Holds;
use super::timetable::{AssignedLine, Span, Visit};
use crate::id::InstrumentId;
use crate::lacking::lacking;
use crate::library::Library;
use crate::music::{Line, MeasureName, Passage};
use crate::pitch::KeyNumber;
use crate::seconds::{Hold, micros};
use crate::sets::strokes_in;
use crate::timpani::Stroke;
use crate::week::{Assignment, Instead};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// At what a player stands, and what is in the hands beside ordinary beaters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stance {
    /// At any of these: what the line is played on, or what a note of it was decided to be played on.
    pub instruments: Vec<InstrumentId>,
    /// What takes longer to take up and put down.
    pub holds: BTreeSet<Hold>,
}

/// A line’s player in one of its stances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Post<'a> {
    /// The line.
    pub taken: &'a AssignedLine,
    /// The stance.
    pub stance: &'a Stance,
}

impl<'a> Post<'a> {
    /// The instrument, where it is none of those that the line is played on.
    pub fn elsewhere(&self) -> Option<&'a InstrumentId> {
        self.stance.instruments.iter().find(|id| !self.taken.instruments.contains(id))
    }
}

/// A passage of a line of a timetable.
#[derive(Clone, Copy, Debug)]
pub struct At<'a> {
    /// The line.
    pub taken: &'a AssignedLine,
    /// The passage within the line, from 0.
    pub passage: usize,
}

impl<'a> At<'a> {
    /// When it is played; `None` for a passage that is not there.
    pub fn span(&self) -> Option<&'a Span> {
        self.taken.spans.get(self.passage)
    }

    /// How its player stands as it begins.
    pub fn comes(&self) -> Option<Post<'a>> {
        Some(Post { taken: self.taken, stance: &self.span()?.begins })
    }

    /// How its player stands as it ends.
    pub fn leaves(&self) -> Option<Post<'a>> {
        Some(Post { taken: self.taken, stance: &self.span()?.ends })
    }

    /// When it ends, microseconds from the start of its movement.
    pub(super) fn end_us(&self) -> i64 {
        self.span().map_or(i64::MIN, |span| span.to_us)
    }
}

impl AssignedLine {
    /// One of its passages.
    pub const fn at(&self, passage: usize) -> At<'_> {
        At { taken: self, passage }
    }

    /// The stances in which its passages begin and end, each once.
    pub(crate) fn posts(&self) -> Vec<Post<'_>> {
        let mut found: Vec<&Arc<Stance>> = Vec::new();
        for stance in self.spans.iter().flat_map(|span| [&span.begins, &span.ends]) {
            // Most lines are played in one stance, which all their passages share.
            if !found.iter().any(|other| Arc::ptr_eq(other, stance) || *other == stance) {
                found.push(stance);
            }
        }
        found.into_iter().map(|stance| Post { taken: self, stance }).collect()
    }
}

/// The stances of a line that was given something to be played on.
pub(super) struct Stances<'a> {
    line: &'a Line,
    /// What it is played on.
    own: Vec<InstrumentId>,
    holds: Holds,
    /// What was decided about notes that its instruments do not have.
    decided: BTreeMap<KeyNumber, Instead>,
}

/// How a passage begins and ends.
pub(super) struct Ends {
    pub(super) begins: Arc<Stance>,
    pub(super) ends: Arc<Stance>,
}

impl<'a> Stances<'a> {
    pub(super) fn of(library: &Library, line: &'a Line, given: &Assignment) -> Self {
        let holds = Holds::of(library, line, &given.beaters);
        // Most lines have every note, and are not looked through.
        let lacks = if given.instead.is_empty() { Vec::new() } else { lacking(library, line, given) };
        let decided = lacks.into_iter().filter_map(|lack| Some((lack.key, lack.decided?))).collect();
        Self { line, own: given.instruments.clone(), holds, decided }
    }

    /// Whether all of the line is played in one stance.
    pub(super) fn is_one(&self) -> bool {
        self.holds.is_one() && self.decided.values().all(|instead| instead.on().is_none())
    }

    /// Whether a stroke is played at all.
    pub(super) fn is_played(&self, stroke: &Stroke) -> bool {
        self.decided.get(&stroke.key) != Some(&Instead::LeftOut)
    }

    /// What a stroke is played on, where that is none of the line’s own instruments.
    pub(super) fn elsewhere(&self, stroke: &Stroke) -> Option<&InstrumentId> {
        self.decided.get(&stroke.key).and_then(Instead::on)
    }

    /// How its player stands at a stroke.
    pub(super) fn at(&self, stroke: &Stroke) -> Stance {
        let instruments = self.elsewhere(stroke).map_or_else(|| self.own.clone(), |id| vec![id.clone()]);
        Stance { instruments, holds: self.holds.at(&stroke.measure) }
    }

    /// How its player stands for what has no notes, in a measure.
    fn in_measure(&self, measure: &MeasureName) -> Stance {
        Stance { instruments: self.own.clone(), holds: self.holds.at(measure) }
    }

    /// How its player stands at the first and at the last stroke of each of its passages.
    pub(super) fn of_passages(&self) -> Vec<Ends> {
        let passages = &self.line.passages;
        let (true, Some(first)) = (self.is_one(), passages.first()) else {
            return passages.iter().map(|passage| self.of_passage(passage)).collect();
        };
        let one = Arc::new(self.in_measure(&first.from));
        passages.iter().map(|_| Ends { begins: one.clone(), ends: one.clone() }).collect()
    }

    /// When notes of the line are played on instruments that are none of its own, each stretch once.
    pub(super) fn visits(&self) -> Vec<Visit> {
        if self.decided.values().all(|instead| instead.on().is_none()) {
            return Vec::new();
        }
        self.line.passages.iter().flat_map(|passage| self.visits_in(passage)).collect()
    }

    fn visits_in(&self, passage: &Passage) -> Vec<Visit> {
        let (mut strokes, _) = strokes_in(self.line, passage);
        strokes.retain(|stroke| self.is_played(stroke));
        let end_us = micros(passage.to_s);
        let mut found: Vec<Visit> = Vec::new();
        for (nth, stroke) in strokes.iter().enumerate() {
            let Some(on) = self.elsewhere(stroke) else { continue };
            let mut later = strokes.iter().skip(nth + 1).filter(|later| later.at_us > stroke.at_us);
            let leaves = later.find(|later| self.elsewhere(later) != Some(on));
            let to_us = leaves.map_or(end_us, |leaves| leaves.at_us).max(stroke.at_us);
            // A second note there before the player leaves begins no second stretch.
            if !found.iter().any(|known| known.instrument == *on && known.to_us == to_us) {
                let (instrument, from) = (on.clone(), stroke.measure.clone());
                found.push(Visit { instrument, from_us: stroke.at_us, to_us, from });
            }
        }
        found
    }

    fn of_passage(&self, passage: &Passage) -> Ends {
        let (strokes, _) = strokes_in(self.line, passage);
        let mut played = strokes.iter().filter(|stroke| self.is_played(stroke));
        let first = played.next();
        let last = played.next_back().or(first);
        let begins = first.map_or_else(|| self.in_measure(&passage.from), |stroke| self.at(stroke));
        let ends = last.map_or_else(|| self.in_measure(&passage.to), |stroke| self.at(stroke));
        Ends { begins: Arc::new(begins), ends: Arc::new(ends) }
    }
}

#[cfg(test)]
mod tests;
