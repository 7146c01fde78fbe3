//! From notes as notated to passages as played: stretches of the page without a rest long enough to leave.

use super::clock::Clock;
use super::raw::{Marks, RawNote, RawPart, RawPitch};
use super::reading::{ReadOptions, ReadPassage};
use backrow_core::music::{
    Dynamic, Dynamics, LineNote, MeasureName, Passage, Struck, Timeline, UnpitchedNote, micros, ticks,
};
use std::cell::Cell;
use std::collections::BTreeMap;

/// The music as played: which printed measure each played one is, and when.
pub(crate) struct Played<'a> {
    /// Indices of printed measures.
    pub(crate) order: &'a [usize],
    pub(crate) timeline: &'a Timeline,
    pub(crate) clock: &'a Clock,
    pub(crate) names: &'a [MeasureName],
    /// Where each printed measure begins on the page, quarter notes, and where the last ends.
    pub(crate) starts: &'a [f64],
    /// How many strokes may still be played out.
    pub(crate) strokes_left: &'a Cell<usize>,
}

/// One note of a line, with what the line makes of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stroke<'a> {
    pub(crate) note: &'a RawNote,
    /// The name under which an unpitched attack is counted.
    pub(crate) name: &'a str,
    /// Semitones on top of the line's octave.
    pub(crate) shift: i8,
    /// Where it stops to keep the player, quarters into its measure; at least its own end.
    pub(crate) until: f64,
}

/// A stroke at one of the times it is played.
struct Event<'a> {
    from_s: f64,
    /// When the player is free.
    to_s: f64,
    /// When the written length ends.
    end_s: f64,
    measure: usize,
    /// Index of the played measure.
    played: usize,
    stroke: Stroke<'a>,
}

/// The passages of a line; `strokes` in any order.
pub(crate) fn passages(
    strokes: &[Stroke<'_>],
    part: &RawPart,
    played: &Played<'_>,
    options: &ReadOptions,
) -> Vec<ReadPassage> {
    let mut by_measure: BTreeMap<usize, Vec<Stroke<'_>>> = BTreeMap::new();
    for stroke in strokes {
        by_measure.entry(stroke.note.measure as usize).or_default().push(*stroke);
    }
    for strokes in by_measure.values_mut() {
        strokes.sort_by(|a, b| a.note.at.total_cmp(&b.note.at).then(a.note.pitch.cmp(&b.note.pitch)));
    }
    let mut groups: Vec<Vec<Event<'_>>> = Vec::new();
    let mut busy_s = f64::NEG_INFINITY;
    for (index, measure) in played.order.iter().enumerate() {
        let Some(strokes) = by_measure.get(measure) else { continue };
        let start_s = played.timeline.measures.get(index).map_or(0.0, |m| m.at_s);
        for stroke in strokes {
            let Some(left) = played.strokes_left.get().checked_sub(1) else { break };
            played.strokes_left.set(left);
            let from_s = start_s + played.clock.seconds(*measure, stroke.note.at);
            let end = stroke.until.max(stroke.note.at + stroke.note.quarters);
            let at = |quarters: f64| (start_s + played.clock.seconds(*measure, quarters)).max(from_s);
            let (to_s, end_s) = (at(end), at(stroke.note.at + stroke.note.quarters));
            // What goes straight back to a repeat is two stretches of the page: "128–151" and "1–27", never "128–27".
            let last = groups.last().and_then(|group| group.last());
            let goes_back =
                last.is_some_and(|last| *measure < last.measure) && !stroke.note.marks.has(Marks::TIED);
            if groups.is_empty() || goes_back || leaves(busy_s, from_s, played.timeline, options) {
                groups.push(Vec::new());
            }
            busy_s = busy_s.max(to_s);
            if let Some(group) = groups.last_mut() {
                group.push(Event { from_s, to_s, end_s, measure: *measure, played: index, stroke: *stroke });
            }
        }
    }
    let marks = DynamicMarks::new(part);
    groups.iter().map(|group| passage(group, played, &marks)).collect()
}

/// Whether the rest between two moments is long enough to leave.
fn leaves(busy_s: f64, next_s: f64, timeline: &Timeline, options: &ReadOptions) -> bool {
    const TINY: f64 = 1e-6;
    if next_s - busy_s + TINY < options.rest_s {
        return false;
    }
    if !options.whole_measure {
        return true;
    }
    // The first measure that begins within the rest must also end within it.
    let first = timeline.measures.partition_point(|m| m.at_s < busy_s - TINY);
    first < timeline.measures.len() && timeline.end_of(first) <= next_s + TINY
}

fn passage(group: &[Event<'_>], played: &Played<'_>, marks: &DynamicMarks) -> ReadPassage {
    let name = |measure: usize| played.names.get(measure).cloned().unwrap_or_else(|| MeasureName::new(""));
    let mut notes = Vec::new();
    let mut unpitched: BTreeMap<&str, Vec<Struck>> = BTreeMap::new();
    let mut attacks = 0;
    for event in group {
        let note = event.stroke.note;
        if note.marks.has(Marks::TIED) {
            lengthen(event, &mut notes, &mut unpitched);
            continue;
        }
        attacks += 1;
        let struck = struck(event, marks);
        match note.pitch {
            RawPitch::Pitched(written) => {
                let (shift, measure) = (event.stroke.shift, name(event.measure));
                notes.push(LineNote { written, shift, measure, struck: Some(struck) });
            }
            RawPitch::Unpitched(_) => unpitched.entry(event.stroke.name).or_default().push(struck),
        }
    }
    let from_s = group.first().map_or(0.0, |event| event.from_s);
    let to_s = group.iter().map(|event| event.to_s).fold(from_s, f64::max);
    let passage = Passage {
        from: name(group.first().map_or(0, |event| event.measure)),
        to: name(group.last().map_or(0, |event| event.measure)),
        from_s,
        to_s,
        notes,
        unpitched: unpitched
            .into_iter()
            .map(|(name, struck)| UnpitchedNote {
                name: name.to_owned(),
                count: u32::try_from(struck.len()).unwrap_or(u32::MAX),
                struck,
            })
            .collect(),
        dynamics: Dynamics::spanned(group.iter().flat_map(|event| marks.during(event.stroke.note))),
    };
    ReadPassage { passage, attacks }
}

/// The moment of an attack.
fn struck(event: &Event<'_>, marks: &DynamicMarks) -> Struck {
    let note = event.stroke.note;
    let lasts_us = micros(event.end_s).saturating_sub(micros(event.from_s));
    Struck {
        at_us: micros(event.from_s),
        played: u32::try_from(event.played).unwrap_or(u32::MAX),
        ticks: ticks(note.at),
        lasts_us: Some(u32::try_from(lasts_us).unwrap_or(u32::MAX)),
        dynamic: marks.during(note).next(),
        rolled: note.marks.has(Marks::ROLL),
    }
}

/// A tied head lengthens the attack before it on the same note.
fn lengthen(event: &Event<'_>, notes: &mut [LineNote], unpitched: &mut BTreeMap<&str, Vec<Struck>>) {
    let tied = event.stroke.note;
    let before = match tied.pitch {
        RawPitch::Pitched(written) => {
            let same = |note: &&mut LineNote| note.written == written;
            notes.iter_mut().rev().find(same).and_then(|note| note.struck.as_mut())
        }
        RawPitch::Unpitched(_) => unpitched.get_mut(event.stroke.name).and_then(|all| all.last_mut()),
    };
    if let Some(before) = before {
        let lasts_us = micros(event.end_s).saturating_sub(before.at_us);
        before.lasts_us = Some(u32::try_from(lasts_us).unwrap_or(u32::MAX));
        before.rolled |= tied.marks.has(Marks::ROLL);
    }
}

/// The dynamics of a part in the order of the page.
struct DynamicMarks(Vec<(u32, f64, Dynamic)>);

impl DynamicMarks {
    fn new(part: &RawPart) -> Self {
        let mut marks: Vec<_> = part.dynamics.iter().map(|d| (d.measure, d.at, d.level)).collect();
        marks.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        Self(marks)
    }

    /// The dynamic in force when a note begins, and those within its length.
    fn during(&self, note: &RawNote) -> impl Iterator<Item = Dynamic> {
        let end = note.at + note.quarters;
        let after = self.0.partition_point(|(m, at, _)| (*m, *at) <= (note.measure, note.at + 1e-6));
        let first = after.saturating_sub(1);
        let last = self
            .0
            .partition_point(|(m, at, _)| (*m, *at) < (note.measure, end - 1e-6))
            .max(after)
            .min(after + 50);
        self.0.get(first..last).unwrap_or_default().iter().map(|(_, _, level)| *level)
    }
}
