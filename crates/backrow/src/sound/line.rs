//! A line ready to be heard: its candidates, and what sounds along with them. Runs beside the frame.

use super::along;
use super::candidates::Beyond;
use super::prepare::{Asked, Ready, gains_db, notes, one};
use super::stretches::stretches;
use crate::background::Stop;
use backrow_sound::level;
use backrow_sound::mix::Track;
use std::sync::Arc;

/// A line, ready to be heard.
#[derive(Clone, Debug, Default)]
pub(super) struct HeardLine {
    /// Which measures.
    pub measures: String,
    /// Its candidates, a dozen at the most.
    pub ready: Vec<Ready>,
    /// How many more there are.
    pub beyond: Beyond,
    /// What sounds with the player's other lines, mixed; `None` where the line sounds alone.
    mixed: Option<Vec<Track>>,
    /// What is to be said of the places that they sound from.
    pub said: Option<String>,
}

impl HeardLine {
    /// The tracks: matched in loudness or as recorded. Those that sound with other lines were mixed as they were asked for.
    pub(super) fn tracks(&self, as_recorded: bool) -> Vec<Track> {
        if let Some(mixed) = &self.mixed {
            return mixed.clone();
        }
        let track = |(ready, db): (&Ready, f64)| Track::new(Arc::clone(&ready.sound), level::factor(db));
        self.ready.iter().zip(gains_db(&self.ready, as_recorded)).map(track).collect()
    }
}

/// Makes a line ready; what is not wanted any more ends early.
pub(super) fn line(asked: &Asked, stop: &Stop) -> HeardLine {
    let library = &asked.library;
    let Some((work, row)) = library.line(&asked.line) else { return HeardLine::default() };
    let Some(movement) = work.movement(&row.movement) else { return HeardLine::default() };
    let stretches = stretches(row, &movement.timeline, asked.how.whole);
    let Some(stretch) = stretches.get(asked.how.passage).or_else(|| stretches.first()) else {
        return HeardLine { measures: "The line has no passages yet.".to_owned(), ..HeardLine::default() };
    };
    let span = stretch.span;
    let notes = notes(row, &movement.timeline, span);
    let mut ready = Vec::new();
    for candidate in &asked.candidates {
        if stop.is_asked() {
            break;
        }
        ready.push(one(asked, candidate, &notes));
    }
    let measures = stretch.words.clone();
    let (mixed, said) = if asked.how.together {
        let mixed = along::mixed(asked, (row, &movement.timeline, span), &ready, stop);
        (Some(mixed.tracks), mixed.said)
    } else {
        (None, None)
    };
    HeardLine { measures, ready, beyond: asked.beyond, mixed, said }
}
