//! `works/<id>.ron`: a work, its movements in time, its lines, and what it remembers.

use super::kind::Semitones;
use super::memory::MemoryRecord;
use super::moments::Moments;
use super::notes::Notes;
use super::timeline::{MarkRecord, Measure, RunRecord, measures, runs};
use super::{Record, is_default};
use crate::library::text::Text;
use crate::library::version::FORMAT;
use backrow_core::id::{KindId, LineId, MovementId, WorkId};
use backrow_core::music::{Degree, Dynamics, Line, Movement, Passage, Timeline, UnpitchedNote, Work};
use serde::{Deserialize, Serialize};

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct WorkRecord {
    format: u32,
    id: Text<WorkId>,
    #[serde(default, skip_serializing_if = "is_default")]
    title: String,
    #[serde(default, skip_serializing_if = "is_default")]
    composer: String,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
    movements: Vec<MovementRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    together: Vec<(Text<LineId>, Text<LineId>)>,
    #[serde(default, skip_serializing_if = "is_default")]
    lines: Vec<LineRecord>,
    /// What was tried and decided.
    #[serde(default, skip_serializing_if = "is_default")]
    memory: MemoryRecord,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MovementRecord {
    id: Text<MovementId>,
    #[serde(default, skip_serializing_if = "is_default")]
    number: String,
    #[serde(default, skip_serializing_if = "is_default")]
    title: String,
    #[serde(default, skip_serializing_if = "is_default")]
    time: TimeRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    marks: Vec<MarkRecord>,
}

/// The timeline but for its marks; checked when read, so that an error has its line.
#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(into = "RunsRecord", try_from = "RunsRecord")]
struct TimeRecord(Timeline);

#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RunsRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    measures: Vec<RunRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    end_s: Option<f64>,
}

impl Clone for TimeRecord {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl From<TimeRecord> for RunsRecord {
    fn from(TimeRecord(timeline): TimeRecord) -> Self {
        let (measures, end_s) = runs(&timeline.measures, timeline.end_s);
        Self { measures, end_s }
    }
}

impl TryFrom<RunsRecord> for TimeRecord {
    type Error = String;

    fn try_from(record: RunsRecord) -> Result<Self, String> {
        let (measures, end) = measures(&record.measures)?;
        Ok(Self(Timeline { measures, end_s: record.end_s.unwrap_or(end), marks: Vec::new() }))
    }
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LineRecord {
    id: Text<LineId>,
    movement: Text<MovementId>,
    #[serde(default, skip_serializing_if = "is_default")]
    kind: Option<Text<KindId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    printed: String,
    #[serde(default, skip_serializing_if = "is_default")]
    part: String,
    /// Semitones sounding above written.
    #[serde(default, skip_serializing_if = "is_default")]
    octave: Semitones,
    #[serde(default, skip_serializing_if = "is_default")]
    beaters: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    degree: Text<Degree>,
    #[serde(default, skip_serializing_if = "is_default")]
    evidence: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    exposed: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    passages: Vec<PassageRecord>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PassageRecord {
    from: Measure,
    /// Left out where it is `from`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    to: Option<Measure>,
    from_s: f64,
    to_s: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    notes: Notes,
    /// Name and number of attacks.
    #[serde(default, skip_serializing_if = "is_default")]
    unpitched: Vec<(String, u32)>,
    /// When the notes are struck.
    #[serde(default, skip_serializing_if = "is_default")]
    struck: Moments,
    /// When the attacks under each name of `unpitched` are struck.
    #[serde(default, skip_serializing_if = "is_default")]
    unpitched_struck: Vec<Moments>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dynamics: Option<Text<Dynamics>>,
}

impl PassageRecord {
    fn of(passage: &Passage, timeline: Option<&Timeline>) -> Self {
        let Passage { from, to, from_s, to_s, notes, unpitched, dynamics } = passage;
        let plain = |note: &UnpitchedNote| Moments::of(note.struck.iter().map(Some), timeline);
        let known = unpitched.iter().any(|note| !note.struck.is_empty());
        Self {
            from: Measure(from.clone()),
            to: (from != to).then(|| Measure(to.clone())),
            from_s: *from_s,
            to_s: *to_s,
            notes: Notes(notes.clone()),
            unpitched: unpitched.iter().map(|note| (note.name.clone(), note.count)).collect(),
            struck: Moments::of(notes.iter().map(|note| note.struck.as_ref()), timeline),
            unpitched_struck: if known { unpitched.iter().map(plain).collect() } else { Vec::new() },
            dynamics: dynamics.map(Text),
        }
    }

    /// Moments that are fewer or more than the attacks, after somebody changed one of them by hand, are not believed.
    fn value(self, timeline: &Timeline) -> Passage {
        let mut struck = self.unpitched_struck.into_iter();
        let unpitched = self.unpitched.into_iter().map(|(name, count)| {
            let moments = struck.next().filter(|moments| moments.len() == count as usize).unwrap_or_default();
            UnpitchedNote { name, count, struck: moments.values(timeline).flatten().collect() }
        });
        let mut notes = self.notes.0;
        if self.struck.len() == notes.len() {
            for (note, struck) in notes.iter_mut().zip(self.struck.values(timeline)) {
                note.struck = struck;
            }
        }
        Passage {
            to: self.to.unwrap_or_else(|| self.from.clone()).0,
            from: self.from.0,
            from_s: self.from_s,
            to_s: self.to_s,
            notes,
            unpitched: unpitched.collect(),
            dynamics: self.dynamics.map(|both| both.0),
        }
    }
}

impl LineRecord {
    fn of(line: &Line, timeline: Option<&Timeline>) -> Self {
        Self {
            id: Text(line.id.clone()),
            movement: Text(line.movement.clone()),
            kind: line.kind.clone().map(Text),
            printed: line.printed.clone(),
            part: line.part.clone(),
            octave: Semitones(line.octave),
            beaters: line.beaters.clone(),
            degree: Text(line.degree),
            evidence: line.evidence.clone(),
            exposed: line.exposed,
            passages: line.passages.iter().map(|passage| PassageRecord::of(passage, timeline)).collect(),
        }
    }

    fn value(self, movements: &[Movement]) -> Line {
        let nowhere = Timeline::default();
        let movement = movements.iter().find(|movement| movement.id == self.movement.0);
        let timeline = movement.map_or(&nowhere, |movement| &movement.timeline);
        Line {
            id: self.id.0,
            movement: self.movement.0,
            kind: self.kind.map(|kind| kind.0),
            printed: self.printed,
            part: self.part,
            octave: self.octave.0,
            passages: self.passages.into_iter().map(|passage| passage.value(timeline)).collect(),
            beaters: self.beaters,
            degree: self.degree.0,
            evidence: self.evidence,
            exposed: self.exposed,
        }
    }
}

impl MovementRecord {
    fn of(movement: &Movement) -> Self {
        let Timeline { measures, end_s, marks } = &movement.timeline;
        let time = Timeline { measures: measures.clone(), end_s: *end_s, marks: Vec::new() };
        Self {
            id: Text(movement.id.clone()),
            number: movement.number.clone(),
            title: movement.title.clone(),
            time: TimeRecord(time),
            marks: marks.iter().map(MarkRecord::of).collect(),
        }
    }

    fn value(self) -> Movement {
        let marks = self.marks.into_iter().map(MarkRecord::value).collect();
        Movement {
            id: self.id.0,
            number: self.number,
            title: self.title,
            timeline: Timeline { marks, ..self.time.0 },
        }
    }
}

impl Record for WorkRecord {
    type Value = Work;

    fn of(work: &Work) -> Self {
        let pair = |(a, b): &(LineId, LineId)| (Text(a.clone()), Text(b.clone()));
        let line = |line: &Line| {
            LineRecord::of(line, work.movement(&line.movement).map(|movement| &movement.timeline))
        };
        Self {
            format: FORMAT,
            id: Text(work.id.clone()),
            title: work.title.clone(),
            composer: work.composer.clone(),
            remark: work.remark.clone(),
            movements: work.movements.iter().map(MovementRecord::of).collect(),
            together: work.together.iter().map(pair).collect(),
            lines: work.lines.iter().map(line).collect(),
            memory: MemoryRecord::of(&work.memory),
        }
    }

    fn value(self) -> Work {
        let movements: Vec<Movement> = self.movements.into_iter().map(MovementRecord::value).collect();
        Work {
            id: self.id.0,
            title: self.title,
            composer: self.composer,
            lines: self.lines.into_iter().map(|line| line.value(&movements)).collect(),
            movements,
            together: self.together.into_iter().map(|(a, b)| (a.0, b.0)).collect(),
            memory: self.memory.value(),
            remark: self.remark,
        }
    }
}
