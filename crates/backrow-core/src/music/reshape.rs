//! Lines made into others: two joined, one cut at a measure, seconds moved to another timeline.

use super::{Line, MeasureName, Passage, Struck, Timeline, UnpitchedNote};
use crate::id::LineId;
use std::fmt;

/// Why a line cannot be cut there, and what would do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutError(String);

impl CutError {
    pub(super) const fn new(why: String) -> Self {
        Self(why)
    }
}

impl fmt::Display for CutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for CutError {}

impl Line {
    /// This line with another's passages as well, in the order of time; what both say otherwise is this one's.
    ///
    /// Notes that the other reads by another convention keep their sounding pitch.
    #[must_use]
    pub fn joined(&self, other: &Self) -> Self {
        let mut joined = self.clone();
        let apart = other.octave.semitones() - self.octave.semitones();
        let moved = |passage: &Passage| {
            let mut passage = passage.clone();
            for note in &mut passage.notes {
                let shift = i32::from(note.shift) + apart;
                note.shift = i8::try_from(shift).unwrap_or(note.shift);
            }
            passage
        };
        joined.passages.extend(other.passages.iter().map(moved));
        joined.passages.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        for beater in other.beaters.iter().filter(|beater| !self.beaters.contains(beater)) {
            joined.beaters.push(beater.clone());
        }
        joined.degree = self.degree.max(other.degree);
        joined.exposed |= other.exposed;
        joined.evidence.push(format!("joined with “{}”", other.printed));
        joined.evidence.extend(other.evidence.iter().cloned());
        joined
    }

    /// Two lines: what is played before the measure (the first time it is played), and the rest under an id of its own.
    ///
    /// # Errors
    /// A measure that is not there, or within a stretch of strokes that cannot be told apart by measures; or a cut that
    /// leaves one side empty.
    pub fn cut(&self, at: &MeasureName, timeline: &Timeline, id: LineId) -> Result<(Self, Self), CutError> {
        let index = timeline.measures.iter().position(|m| m.name == *at);
        let Some((index, at_s)) = index.and_then(|i| Some((i, timeline.measures.get(i)?.at_s))) else {
            return Err(CutError(format!("the movement has no measure {at}")));
        };
        let mut first = Self { passages: Vec::new(), ..self.clone() };
        let mut second = Self { id, passages: Vec::new(), ..self.clone() };
        for passage in &self.passages {
            if passage.to_s <= at_s + 1e-9 {
                first.passages.push(passage.clone());
            } else if passage.from_s >= at_s - 1e-9 {
                second.passages.push(passage.clone());
            } else {
                let (before, after) = cut_passage(passage, (index, at_s), timeline)?;
                first.passages.push(before);
                second.passages.push(after);
            }
        }
        if first.passages.is_empty() || second.passages.is_empty() {
            return Err(CutError(format!("all of it is played on one side of measure {at}")));
        }
        for (line, word) in [(&mut first, "before"), (&mut second, "from")] {
            line.evidence.push(format!("cut by hand: {word} m. {at}"));
        }
        Ok((first, second))
    }

    /// The same line in the seconds of a timeline that has taken another's place.
    #[must_use]
    pub fn retimed(&self, old: &Timeline, new: &Timeline) -> Self {
        let mut line = self.clone();
        for passage in &mut line.passages {
            passage.from_s = new.retimed(old, passage.from_s);
            passage.to_s = new.retimed(old, passage.to_s).max(passage.from_s);
            let notes = passage.notes.iter_mut().filter_map(|note| note.struck.as_mut());
            for struck in notes.chain(passage.unpitched.iter_mut().flat_map(|plain| &mut plain.struck)) {
                *struck = struck.retimed(old, new);
            }
        }
        line
    }
}

fn cut_passage(
    passage: &Passage,
    (index, at_s): (usize, f64),
    timeline: &Timeline,
) -> Result<(Passage, Passage), CutError> {
    if passage.unpitched.iter().any(|plain| plain.struck.is_empty()) {
        return Err(CutError(format!(
            "its strokes in mm. {}–{} are one stretch that cannot be told apart; cut before or after it",
            passage.from, passage.to
        )));
    }
    let place = |name: &MeasureName| timeline.measures.iter().position(|m| m.name == *name);
    let (before, after): (Vec<_>, Vec<_>) =
        passage.notes.iter().cloned().partition(|note| match &note.struck {
            Some(struck) => (struck.played as usize) < index,
            None => place(&note.measure).is_some_and(|at| at < index),
        });
    let plain = |keep: &dyn Fn(&Struck) -> bool| -> Vec<UnpitchedNote> {
        let some = passage.unpitched.iter().filter_map(|plain| {
            let struck: Vec<Struck> = plain.struck.iter().filter(|struck| keep(struck)).copied().collect();
            let count = u32::try_from(struck.len()).ok().filter(|count| *count > 0)?;
            Some(UnpitchedNote { name: plain.name.clone(), count, struck })
        });
        some.collect()
    };
    let last = index.checked_sub(1).and_then(|at| timeline.measures.get(at));
    let here = timeline.measures.get(index);
    let first = Passage {
        to: last.map_or_else(|| passage.to.clone(), |m| m.name.clone()),
        to_s: at_s,
        notes: before,
        unpitched: plain(&|struck| (struck.played as usize) < index),
        ..passage.clone()
    };
    let second = Passage {
        from: here.map_or_else(|| passage.from.clone(), |m| m.name.clone()),
        from_s: at_s,
        notes: after,
        unpitched: plain(&|struck| struck.played as usize >= index),
        ..passage.clone()
    };
    Ok((first, second))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::MovementId;
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

    fn cut(line: &Line, at: u32) -> Result<(Line, Line), CutError> {
        line.cut(&at.into(), &timeline(), LineId::new("d").unwrap())
    }

    #[test]
    fn what_is_cut_and_joined_is_whole_again() {
        let whole = line("xylophone | 1-4 C5; 9-12 D5");
        let (first, second) = cut(&whole, 9).unwrap();
        assert_eq!((first.measures().as_str(), second.measures().as_str()), ("1–4", "9–12"));
        assert_eq!(first.joined(&second).passages, whole.passages);
        assert_eq!(second.joined(&first).passages, whole.passages, "in the order of time");
    }

    #[test]
    fn a_passage_is_cut_by_the_measures_of_its_notes() {
        let mut whole = line("xylophone | 1-4 C5*2");
        if let Some(note) = whole.passages.first_mut().and_then(|p| p.notes.last_mut()) {
            note.measure = 3.into();
        }
        let (first, second) = cut(&whole, 3).unwrap();
        let facts = |line: &Line| {
            let p = line.passages.first().unwrap();
            (p.from.to_string(), p.to.to_string(), p.from_s, p.to_s, p.notes.len())
        };
        assert_eq!(facts(&first), ("1".into(), "2".into(), 0.0, 4.0, 1));
        assert_eq!(facts(&second), ("3".into(), "4".into(), 4.0, 8.0, 1));
    }

    #[test]
    fn a_cut_that_is_none_says_why() {
        assert!(cut(&line("drum | 1-4 *9"), 3).unwrap_err().to_string().contains("before or after"));
        assert!(cut(&line("drum | 1-4 *9"), 5).unwrap_err().to_string().contains("one side"));
        assert!(cut(&line("drum | 1-4 *9"), 99).unwrap_err().to_string().contains("no measure 99"));
    }

    #[test]
    fn strokes_whose_moments_are_kept_are_cut_as_well() {
        let mut drum = line("drum | 1-4 *4");
        for plain in drum.passages.iter_mut().flat_map(|p| &mut p.unpitched) {
            let struck = |played: u32| Struck {
                at_us: u64::from(played) * 2_000_000,
                played,
                ticks: 0,
                lasts_us: None,
                dynamic: None,
                rolled: false,
            };
            plain.struck = (0..4).map(struck).collect();
        }
        let (first, second) = cut(&drum, 4).unwrap();
        let counts = |line: &Line| line.passages.first().unwrap().unpitched.first().map(|plain| plain.count);
        assert_eq!((counts(&first), counts(&second)), (Some(3), Some(1)));
    }

    #[test]
    fn joined_notes_keep_their_sound() {
        let (one, other) = (line("xylophone +12 | 1 C5"), line("glockenspiel +24 | 3 C5"));
        let joined = one.joined(&other);
        let sounds: Vec<String> = joined.sounding().iter().map(|key| key.to_string()).collect();
        assert_eq!(sounds, ["C6", "C7"]);
    }

    #[test]
    fn a_new_tempo_moves_the_seconds() {
        let slow = parse_tempo("1-20 4/4 1/4=60").unwrap();
        let line = line("drum | 3-4 @5-7.5 *9").retimed(&timeline(), &slow);
        let passage = line.passages.first().unwrap();
        assert_eq!((passage.from_s, passage.to_s), (10.0, 15.0), "half-way through m. 3 is still half-way");
        assert!((slow.retimed(&timeline(), 40.0) - 80.0).abs() < 1e-9, "and the end is the end");
    }
}
