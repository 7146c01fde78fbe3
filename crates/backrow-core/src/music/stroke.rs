//! Strokes: when each attack of a line comes, how long it is written to last, and how loud.
//!
//! A score says it to the tick; music typed by hand says only in which measures. One place answers for both:
//! [`Line::strokes`], where a stroke that is spread over its measures by us says that it is not known.

use super::{Dynamic, Line, LineNote, MeasureName, Passage, Timeline, UnpitchedNote};
use crate::pitch::{KeyNumber, Spelled};

/// Ticks to a quarter note: divided without a rest by 2 to the 5th, 3 to the 2nd, 5 and 7, so that the tuplets of real
/// parts are exact.
pub const TICKS: u32 = 10_080;

/// Microseconds in a second.
const US: f64 = 1e6;

/// When one attack is struck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Struck {
    /// Microseconds from the start of the movement.
    pub at_us: u64,
    /// Index of the played measure in the movement's timeline.
    pub played: u32,
    /// How far into that measure, [`TICKS`] to a quarter note.
    pub ticks: u32,
    /// How long it is written to last, with what is tied to it; 0 for a grace note, `None` where it is not known.
    pub lasts_us: Option<u32>,
    /// The dynamic in force, where the part says one.
    pub dynamic: Option<Dynamic>,
    /// A roll, trill or tremolo.
    pub rolled: bool,
}

impl Struck {
    /// When it is struck, seconds from the start of the movement.
    pub fn at_s(&self) -> f64 {
        // A movement lasts far less than 2^53 microseconds.
        self.at_us as f64 / US
    }

    /// When its written length ends, microseconds from the start of the movement; its beginning where that is not known.
    pub fn end_us(&self) -> u64 {
        self.at_us.saturating_add(u64::from(self.lasts_us.unwrap_or(0)))
    }

    /// The beat it falls on, from 1, in quarter notes: 2.5 is the second half of the second quarter.
    pub fn quarter(&self) -> f64 {
        1.0 + f64::from(self.ticks) / f64::from(TICKS)
    }

    /// The same place of the music in a timeline that has taken another's place.
    #[must_use]
    pub fn retimed(&self, old: &Timeline, new: &Timeline) -> Self {
        let at_us = micros(new.retimed(old, self.at_s()));
        let end_us = micros(new.retimed(old, self.end_us() as f64 / US)).max(at_us);
        let length = |length: u64| u32::try_from(length).unwrap_or(u32::MAX);
        let played = old.turn(self.played as usize).and_then(|(name, turn)| new.played(name, turn));
        Self {
            at_us,
            played: played.and_then(|at| u32::try_from(at).ok()).unwrap_or(self.played),
            lasts_us: self.lasts_us.map(|_| length(end_us - at_us)),
            ..*self
        }
    }
}

/// Seconds as whole microseconds; what is not a time is 0.
pub fn micros(seconds: f64) -> u64 {
    let us = (seconds * US).round();
    if !(us.is_finite() && us > 0.0 && us < 9e15) {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 0 to 9e15"
    )]
    let us = us as u64;
    us
}

/// Quarter notes as [`TICKS`]; what is none is 0.
pub fn ticks(quarters: f64) -> u32 {
    let ticks = (quarters * f64::from(TICKS)).round().clamp(0.0, f64::from(u32::MAX));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped; no number becomes 0"
    )]
    let ticks = ticks as u32;
    ticks
}

/// An attack of a line with all that is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke<'a> {
    /// When.
    pub struck: Struck,
    /// `false` where the music was typed by hand and the strokes were spread evenly over their measures by us.
    pub known: bool,
    /// Measure as printed.
    pub measure: &'a MeasureName,
    /// The passage that it stands in.
    pub passage: usize,
    /// What is struck.
    pub what: Attack<'a>,
}

/// What is struck.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Attack<'a> {
    /// A note: as on the page, and as heard; `None` where that leaves the keys.
    Note(Spelled, Option<KeyNumber>),
    /// No pitch; the name of the head, which may be empty.
    Plain(&'a str),
}

impl Stroke<'_> {
    /// The written and the sounding note, where it has pitch and stays within the keys.
    pub fn note(&self) -> Option<(Spelled, KeyNumber)> {
        match self.what {
            Attack::Note(written, sounding) => sounding.map(|key| (written, key)),
            Attack::Plain(_) => None,
        }
    }
}

impl Line {
    /// Every attack in the order of time, chords from low to high; `timeline` is that of its movement.
    ///
    /// A note whose moment is not kept is spread evenly over its measure; where a passage names one measure for all its
    /// notes and lasts for several, over the passage.
    pub fn strokes<'a>(&'a self, timeline: &'a Timeline) -> Vec<Stroke<'a>> {
        let mut strokes = Vec::new();
        for (at, passage) in self.passages.iter().enumerate() {
            self.pitched_strokes((at, passage), timeline, &mut strokes);
            plain_strokes((at, passage), timeline, &mut strokes);
        }
        strokes.sort_by_key(|stroke| stroke.struck.at_us);
        strokes
    }

    fn pitched_strokes<'a>(
        &'a self,
        (index, passage): (usize, &'a Passage),
        timeline: &'a Timeline,
        strokes: &mut Vec<Stroke<'a>>,
    ) {
        let one_measure = passage.notes.iter().all(|note| note.measure == passage.from);
        let groups: Vec<&[LineNote]> = if one_measure && passage.from != passage.to {
            vec![&passage.notes]
        } else {
            passage.notes.chunk_by(|a, b| a.measure == b.measure).collect()
        };
        let mut from_s = passage.from_s;
        for group in groups {
            let span = group.first().map_or((from_s, passage.to_s), |note| {
                if one_measure && passage.from != passage.to {
                    (passage.from_s, passage.to_s)
                } else {
                    measure_within(&note.measure, (from_s, passage.to_s), timeline)
                }
            });
            from_s = span.0;
            for (n, note) in group.iter().enumerate() {
                let struck = note.struck.unwrap_or_else(|| spread(span, (n, group.len()), passage, timeline));
                strokes.push(Stroke {
                    struck,
                    known: note.struck.is_some(),
                    measure: &note.measure,
                    passage: index,
                    what: Attack::Note(note.written, self.sounding_of(note)),
                });
            }
        }
    }
}

fn plain_strokes<'a>(
    (index, passage): (usize, &'a Passage),
    timeline: &'a Timeline,
    strokes: &mut Vec<Stroke<'a>>,
) {
    let name =
        |struck: &Struck| timeline.measures.get(struck.played as usize).map_or(&passage.from, |m| &m.name);
    for UnpitchedNote { name: head, count, struck } in &passage.unpitched {
        let known = !struck.is_empty();
        // A count that somebody typed may be any number; past this many nobody counts strokes.
        let count = (*count).min(MOST_SPREAD) as usize;
        let all = if known {
            struck.clone()
        } else {
            let span = (passage.from_s, passage.to_s);
            (0..count).map(|n| spread(span, (n, count), passage, timeline)).collect()
        };
        strokes.extend(all.into_iter().map(|struck| Stroke {
            struck,
            known,
            measure: name(&struck),
            passage: index,
            what: Attack::Plain(head),
        }));
    }
}

/// The most strokes without a moment of their own that are spread over a passage.
const MOST_SPREAD: u32 = 100_000;

/// The span of the first playing of a measure at or after `from_s`, within the passage.
fn measure_within(name: &MeasureName, (from_s, to_s): (f64, f64), timeline: &Timeline) -> (f64, f64) {
    let first = timeline.index_at(from_s + 1e-9).unwrap_or(0);
    let found = (first..timeline.measures.len())
        .take_while(|at| timeline.measures.get(*at).is_some_and(|m| m.at_s < to_s))
        .find(|at| timeline.measures.get(*at).is_some_and(|m| m.name == *name));
    match found.and_then(|at| Some((timeline.measures.get(at)?.at_s, timeline.end_of(at)))) {
        Some((start_s, end_s)) => (start_s.max(from_s), end_s.min(to_s).max(from_s)),
        None => (from_s, to_s),
    }
}

/// The `n`th of `count` strokes that share a span evenly.
fn spread(
    (from_s, to_s): (f64, f64),
    (n, count): (usize, usize),
    passage: &Passage,
    timeline: &Timeline,
) -> Struck {
    let share = n as f64 / count.max(1) as f64;
    let at_s = from_s + (to_s - from_s).max(0.0) * share;
    let at_us = micros(at_s);
    let played = timeline.index_at(at_s + 1e-9).unwrap_or(0);
    let within = timeline.measures.get(played).map_or(0.0, |measure| {
        let length_s = timeline.end_of(played) - measure.at_s;
        let share = if length_s > 0.0 { ((at_s - measure.at_s) / length_s).clamp(0.0, 1.0) } else { 0.0 };
        share * measure.quarters
    });
    Struck {
        at_us,
        played: u32::try_from(played).unwrap_or(u32::MAX),
        ticks: ticks(within),
        lasts_us: None,
        dynamic: passage.dynamics.map(super::Dynamics::loudest),
        rolled: false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::{LineId, MovementId};
    use crate::music::typed::{parse_line, parse_tempo};
    use crate::pitch::Reading;

    fn timeline() -> Timeline {
        parse_tempo("1-20 4/4 1/4=120").unwrap()
    }

    fn line(text: &str) -> Line {
        let ids = (LineId::new("c").unwrap(), MovementId::new("m").unwrap());
        let typed = parse_line(text, Reading::English).unwrap();
        typed.line(ids, (None, None), &timeline(), None).unwrap()
    }

    fn at(seconds: f64, played: u32, quarters: u32) -> Struck {
        let (at_us, ticks) = (micros(seconds), quarters * TICKS);
        Struck { at_us, played, ticks, lasts_us: Some(250_000), dynamic: None, rolled: false }
    }

    #[test]
    fn typed_notes_are_spread_and_say_so() {
        let (line, timeline) = (line("xylophone | 3-4 C5*4; 6 *2"), timeline());
        let strokes = line.strokes(&timeline);
        let facts: Vec<(f64, u32, f64, bool)> =
            strokes.iter().map(|s| (s.struck.at_s(), s.struck.played, s.struck.quarter(), s.known)).collect();
        assert_eq!(
            facts,
            [
                (4.0, 2, 1.0, false),
                (5.0, 2, 3.0, false),
                (6.0, 3, 1.0, false),
                (7.0, 3, 3.0, false),
                (10.0, 5, 1.0, false),
                (11.0, 5, 3.0, false),
            ]
        );
        assert_eq!(strokes.last().map(|s| s.what), Some(Attack::Plain("")));
        assert_eq!(strokes.last().map(|s| s.measure.as_str()), Some("6"));
    }

    #[test]
    fn kept_moments_come_in_the_order_of_time() {
        let (mut line, timeline) = (line("xylophone | 3-4 C5 E5"), timeline());
        for (note, struck) in
            line.passages.iter_mut().flat_map(|p| &mut p.notes).zip([at(6.5, 3, 1), at(4.0, 2, 0)])
        {
            note.struck = Some(struck);
        }
        let strokes = line.strokes(&timeline);
        let notes: Vec<String> =
            strokes.iter().filter_map(Stroke::note).map(|(note, _)| note.to_string()).collect();
        assert_eq!(notes, ["E5", "C5"]);
        assert!(strokes.iter().all(|stroke| stroke.known));
    }

    #[test]
    fn a_new_tempo_moves_the_moments() {
        let slow = parse_tempo("1-20 4/4 1/4=60").unwrap();
        let moved = at(4.5, 2, 1).retimed(&timeline(), &slow);
        assert_eq!(
            (moved.at_us, moved.lasts_us, moved.played, moved.ticks),
            (9_000_000, Some(500_000), 2, TICKS)
        );
    }

    #[test]
    fn a_stroke_in_the_wrong_place_moves_with_its_measure() {
        let longer = parse_tempo("0 1/4 1/4=120\n1-20 4/4").unwrap();
        let moved = at(4.5, 2, 1).retimed(&timeline(), &longer);
        assert_eq!((moved.at_us, moved.played), (5_000_000, 3), "a pickup before it");
    }

    #[test]
    fn no_time_is_none() {
        assert_eq!(
            [micros(f64::NAN), micros(-1.0), micros(f64::INFINITY), micros(0.000_001_4)],
            [0, 0, 0, 1]
        );
    }
}
