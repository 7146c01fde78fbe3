//! A movement cut in two at a measure, and two movements made one.

use super::{CutError, Line, MeasureName, Movement, PlayedMeasure, Struck, TempoMark, Timeline, Work};
use crate::id::{LineId, MovementId};
use crate::seconds::micros;

/// Seconds nearer than this are one moment.
const MOMENT_S: f64 = 1e-9;

impl Timeline {
    /// What is played before the measure at that index, and the rest from second 0 on with the tempo that is in force there.
    fn cut(&self, index: usize) -> (Self, Self) {
        let at_s = self.measures.get(index).map_or(self.end_s, |measure| measure.at_s);
        let (before, after) = self.measures.split_at(index.min(self.measures.len()));
        let is_of = |measures: &[PlayedMeasure], mark: &TempoMark| {
            measures.iter().any(|measure| measure.name == mark.measure)
        };
        let first: Vec<TempoMark> = self.marks.iter().filter(|mark| is_of(before, mark)).cloned().collect();
        let mut second: Vec<TempoMark> =
            self.marks.iter().filter(|mark| is_of(after, mark) && !is_of(before, mark)).cloned().collect();
        let in_force =
            first.iter().rev().find_map(|mark| mark.quarters_per_minute.map(|tempo| (tempo, mark.beat)));
        if let (Some(begins), Some((tempo, beat))) = (after.first(), in_force)
            && !second.iter().any(|m| m.measure == begins.name && m.quarters_per_minute.is_some())
        {
            let mark = TempoMark {
                measure: begins.name.clone(),
                words: String::new(),
                quarters_per_minute: Some(tempo),
                beat,
                letter: None,
            };
            second.insert(0, mark);
        }
        let moved = |m: &PlayedMeasure| PlayedMeasure { at_s: (m.at_s - at_s).max(0.0), ..m.clone() };
        (
            Self { measures: before.to_vec(), end_s: at_s, marks: first },
            Self {
                measures: after.iter().map(moved).collect(),
                end_s: (self.end_s - at_s).max(0.0),
                marks: second,
            },
        )
    }

    /// This one and another after it.
    fn followed_by(&self, other: &Self) -> Self {
        let moved = |m: &PlayedMeasure| PlayedMeasure { at_s: m.at_s + self.end_s, ..m.clone() };
        Self {
            measures: self.measures.iter().cloned().chain(other.measures.iter().map(moved)).collect(),
            end_s: self.end_s + other.end_s,
            marks: self.marks.iter().chain(&other.marks).cloned().collect(),
        }
    }
}

impl Line {
    /// The same line so many seconds and played measures later, or earlier.
    fn moved(&self, by_s: f64, by_measures: i64) -> Self {
        let mut line = self.clone();
        let by_us = micros(by_s);
        let struck = |struck: &mut Struck| {
            let at_us = i64::try_from(struck.at_us).unwrap_or(i64::MAX).saturating_add(by_us).max(0);
            struck.at_us = u64::try_from(at_us).unwrap_or(0);
            let played = (i64::from(struck.played) + by_measures).max(0);
            struck.played = u32::try_from(played).unwrap_or(u32::MAX);
        };
        for passage in &mut line.passages {
            passage.from_s = (passage.from_s + by_s).max(0.0);
            passage.to_s = (passage.to_s + by_s).max(passage.from_s);
            let notes = passage.notes.iter_mut().filter_map(|note| note.struck.as_mut());
            notes.chain(passage.unpitched.iter_mut().flat_map(|plain| &mut plain.struck)).for_each(struck);
        }
        line
    }

    /// Whether two lines of two movements are one instrument's in one printed part.
    fn goes_on_in(&self, other: &Self) -> bool {
        (&self.kind, &self.part, &self.printed, self.octave)
            == (&other.kind, &other.part, &other.printed, other.octave)
    }
}

impl Work {
    /// The work with a movement cut in two before a measure (the first time that it is played). Lines that are played on one side
    /// alone stay whole and keep what they were given; the others are cut, and their second halves are new.
    ///
    /// # Errors
    /// A movement or a measure that is not there, the first measure, or a line that cannot be cut there.
    pub fn with_cut(&self, movement: &MovementId, at: &MeasureName) -> Result<Self, CutError> {
        let place = self.movements.iter().position(|one| one.id == *movement);
        let Some((place, own)) = place.and_then(|place| Some((place, self.movements.get(place)?))) else {
            return Err(CutError::new("the movement is not there".to_owned()));
        };
        let index = own.timeline.measures.iter().position(|measure| measure.name == *at);
        let Some(index) = index else {
            return Err(CutError::new(format!("the movement has no measure {at}")));
        };
        if index == 0 {
            return Err(CutError::new(format!("nothing is played before measure {at}")));
        }
        let own_timeline = own.timeline.clone();
        let (before, after) = own_timeline.cut(index);
        let (at_s, by) = (before.end_s, i64::try_from(index).unwrap_or(i64::MAX));
        let id = MovementId::fresh(movement.as_str(), |id| self.movement(id).is_some());
        let mut work = Self { lines: Vec::with_capacity(self.lines.len()), ..self.clone() };
        let mut later: Vec<Line> = Vec::new();
        let move_on = |line: Line| Line { movement: id.clone(), ..line.moved(-at_s, -by) };
        for line in &self.lines {
            let ends = |p: &super::Passage| p.to_s <= at_s + MOMENT_S;
            let begins = |p: &super::Passage| p.from_s >= at_s - MOMENT_S;
            if line.movement != *movement || line.passages.iter().all(ends) {
                work.lines.push(line.clone());
            } else if line.passages.iter().all(begins) {
                later.push(move_on(line.clone()));
            } else {
                let taken =
                    |id: &LineId| self.line(id).is_some() || later.iter().any(|other| other.id == *id);
                let own = LineId::fresh(line.id.as_str(), taken);
                let (first, second) = line.cut(at, &own_timeline, own)?;
                work.lines.push(first);
                later.push(move_on(second));
            }
        }
        work.lines.extend(later);
        let new = Movement { id, number: String::new(), title: String::new(), timeline: after };
        if let Some(here) = work.movements.get_mut(place) {
            here.timeline = before;
        }
        work.movements.insert(place + 1, new);
        work.in_order();
        Ok(work)
    }

    /// The work with a movement and the one after it as one, which keeps the first one's name. Lines of one kind in one printed part
    /// become one line, with what the first was given. `None` for the last movement.
    #[must_use]
    pub fn with_merged(&self, movement: &MovementId) -> Option<Self> {
        let place = self.movements.iter().position(|one| one.id == *movement)?;
        let (first, second) = (self.movements.get(place)?, self.movements.get(place + 1)?);
        let (by_s, by) =
            (first.timeline.end_s, i64::try_from(first.timeline.measures.len()).unwrap_or(i64::MAX));
        let mut work = self.clone();
        if let Some(here) = work.movements.get_mut(place) {
            here.timeline = first.timeline.followed_by(&second.timeline);
        }
        work.movements.remove(place + 1);
        work.lines.retain(|line| line.movement != second.id);
        for line in self.lines.iter().filter(|line| line.movement == second.id) {
            let moved = Line { movement: movement.clone(), ..line.moved(by_s, by) };
            let same = work.lines.iter_mut().find(|one| one.movement == *movement && one.goes_on_in(&moved));
            match same {
                Some(one) => {
                    let evidence = one.evidence.clone();
                    *one = one.joined(&moved);
                    // Two movements of one part are no guess.
                    one.evidence = evidence;
                    for words in &moved.evidence {
                        if !one.evidence.contains(words) {
                            one.evidence.push(words.clone());
                        }
                    }
                }
                None => work.lines.push(moved),
            }
        }
        let lines: Vec<LineId> = work.lines.iter().map(|line| line.id.clone()).collect();
        work.together.retain(|(a, b)| lines.contains(a) && lines.contains(b));
        work.in_order();
        Some(work)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::music::typed::{parse_line, parse_tempo};
    use crate::pitch::Reading;
    use crate::sample;

    fn line(id: &str, text: &str, timeline: &Timeline) -> Line {
        let ids = (LineId::new(id).unwrap(), MovementId::new("i").unwrap());
        parse_line(text, Reading::English).unwrap().line(ids, (None, None), timeline, None).unwrap()
    }

    /// Twenty measures of two seconds: a xylophone throughout, a drum before m. 9 and one after it.
    fn work() -> Work {
        let timeline = parse_tempo("1-20 4/4 1/4=120").unwrap();
        let lines = vec![
            line("x", "xylophone | 1-4 C5; 9-12 D5", &timeline),
            line("early", "drum | 3-4 *9", &timeline),
            line("late", "gong | 15-16 *2", &timeline),
        ];
        let mut work = sample::work("w", lines);
        work.movements[0].timeline = timeline;
        work
    }

    fn i() -> MovementId {
        MovementId::new("i").unwrap()
    }

    #[test]
    fn a_movement_is_cut_at_a_measure_and_its_lines_with_it() {
        let cut = work().with_cut(&i(), &9.into()).unwrap();
        let [first, second] = cut.movements.as_slice() else { panic!("two movements") };
        assert_eq!((first.timeline.measures.len(), second.timeline.measures.len()), (8, 12));
        assert!((first.timeline.end_s - 16.0).abs() < 1e-9 && (second.timeline.end_s - 24.0).abs() < 1e-9);
        assert_eq!(second.timeline.measures[0].name.as_str(), "9", "measures keep their names");
        let of = |id: &MovementId| cut.lines_of(id).map(|line| line.id.to_string()).collect::<Vec<_>>();
        assert_eq!(of(&first.id), ["x", "early"]);
        assert_eq!(of(&second.id).len(), 2);
        assert!(of(&second.id).contains(&"late".to_owned()), "what is played on one side keeps its id");
        let late = cut.line(&LineId::new("late").unwrap()).unwrap();
        assert!((late.passages[0].from_s - 12.0).abs() < 1e-9, "m. 15 is six measures after m. 9");
        let tempo = second.timeline.marks.first().and_then(|mark| mark.quarters_per_minute);
        assert_eq!(tempo, Some(120.0), "the tempo in force goes on");
    }

    #[test]
    fn what_is_cut_and_merged_is_whole_again() {
        let work = work();
        let back = work.with_cut(&i(), &9.into()).unwrap().with_merged(&i()).unwrap();
        assert_eq!(back.movements.len(), 1);
        assert_eq!(back.movements[0].timeline.measures, work.movements[0].timeline.measures);
        let passages = |work: &Work, id: &str| work.line(&LineId::new(id).unwrap()).unwrap().passages.clone();
        for id in ["x", "early", "late"] {
            assert_eq!(passages(&back, id), passages(&work, id), "{id}");
        }
        assert_eq!(back.lines.len(), 3);
        assert!(back.with_merged(&i()).is_none(), "nothing comes after it");
    }

    #[test]
    fn a_cut_that_is_none_says_why() {
        let why = |at: u32| work().with_cut(&i(), &at.into()).unwrap_err().to_string();
        assert!(why(99).contains("no measure 99") && why(1).contains("nothing is played before"));
        assert!(why(4).contains("before or after"), "the drum's strokes cannot be told apart: {}", why(4));
    }
}
