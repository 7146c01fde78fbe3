//! Sets of timpani: the drums that a line has, and its tuning plan.
//!
//! A set is an instrument with a frame a drum. A line may have a set, single drums, or both: what counts is the drums.

mod facts;
mod made;
mod said;
#[cfg(test)]
mod tests;

pub use facts::{Retuning, StartsOn, Tuning};
pub use made::made_one;
pub use said::{Asked, asked, asks};

use crate::collection::{Family, Frame, Instrument, Layout, Pitched, TunedBy};
use crate::compass::PitchSet;
use crate::id::{InstrumentId, KindId};
use crate::library::Library;
use crate::music::{Line, LineNote, Passage, Spelling};
use crate::pitch::KeyNumber;
use crate::timpani::{Aim, Ask, Change, Drum, Impossible, MOST_DRUMS, Plan, Stroke, Written, plan};
use crate::week::{Assignment, DrumPin};

/// A drum of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetDrum {
    /// The instrument that it belongs to.
    pub instrument: InstrumentId,
    /// Which of the instrument's frames it is.
    pub frame: usize,
    /// Its range, seconds and name: "29 in".
    pub drum: Drum,
}

/// A line of timpani on its drums.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LinePlan {
    /// From low to high.
    pub drums: Vec<SetDrum>,
    /// What is struck, in the order of time.
    pub strokes: Vec<Stroke>,
    /// How the part spells its pitches.
    pub spelling: Spelling,
    /// Whether moments are guessed, as the part's onsets are not known.
    pub estimated: bool,
    /// Pins to drums that the line does not have.
    pub lost_pins: Vec<DrumPin>,
    /// The plan; else where and why it cannot go.
    pub answer: Result<Plan, Impossible>,
}

/// Whether a kind is one whose drums are retuned between notes.
pub fn is_for_timpani(library: &Library, kind: &KindId) -> bool {
    library.kinds.get(kind).is_some_and(|kind| {
        kind.family == Family::Timpani && kind.layout == Layout::Drums && kind.pitched == Pitched::Yes
    })
}

/// What a line is played on when one more instrument is assigned to it: beside what it has, or in its place. A single drum comes
/// beside the single drums that are there, as a pair or four are put together one by one.
pub fn assigned(
    library: &Library,
    now: &[InstrumentId],
    id: &InstrumentId,
    beside: bool,
) -> Vec<InstrumentId> {
    let is_single_drum = |id: &InstrumentId| {
        let thing = library.instruments.get(id);
        thing.is_some_and(|thing| thing.frames.len() == 1 && is_for_timpani(library, &thing.kind))
    };
    let joins = is_single_drum(id) && !now.is_empty() && now.iter().all(is_single_drum);
    let mut all = if beside || joins { now.to_vec() } else { Vec::new() };
    if !all.contains(id) {
        all.push(id.clone());
    }
    all
}

/// The drums of some instruments, from low to high. Instruments that are no drums have none.
pub fn drums_of(library: &Library, instruments: &[InstrumentId]) -> Vec<SetDrum> {
    let things = instruments.iter().filter_map(|id| library.instruments.get(id));
    let things = things.filter(|thing| thing.layout == Layout::Drums);
    let mut drums: Vec<SetDrum> = things
        .flat_map(|thing| {
            thing.frames.iter().enumerate().map(|(at, frame)| set_drum(library, thing, at, frame))
        })
        .collect();
    drums.sort_by_key(|one| {
        (one.drum.reach.lowest(), one.drum.reach.highest(), one.instrument.clone(), one.frame)
    });
    drums
}

fn set_drum(library: &Library, thing: &Instrument, at: usize, frame: &Frame) -> SetDrum {
    let habits = library.orchestra.timpani;
    let usual_s = match frame.tuned_by {
        TunedBy::Pedal => habits.pedal_s,
        TunedBy::HandScrews => habits.screws_s,
    };
    let name = match (frame.name.is_empty(), thing.frames.len()) {
        (false, _) => frame.name.clone(),
        (true, 1) => thing.name.clone(),
        (true, _) => format!("drum {}", at + 1),
    };
    let drum = Drum {
        name,
        reach: frame.compass(),
        need_us: micros(frame.retune_s.unwrap_or(usual_s)).max(1),
        by: frame.tuned_by,
    };
    SetDrum { instrument: thing.id.clone(), frame: at, drum }
}

/// Whole microseconds; what is not a time at all is none, and a day is the most.
fn micros(seconds: f64) -> i64 {
    let seconds = if seconds.is_nan() { 0.0 } else { seconds.clamp(0.0, 86_400.0) };
    #[expect(clippy::cast_possible_truncation, reason = "clamped to a day")]
    let micros = (seconds * 1e6).round() as i64;
    micros
}

/// What a line strikes, in the order of time, and whether moments are guessed: a passage whose onsets are not known is
/// taken to go on evenly from measure to measure. (Unlike [`Line::strokes`], this needs no timeline.)
pub fn strokes_of(line: &Line) -> (Vec<Stroke>, bool) {
    let mut estimated = false;
    let mut strokes: Vec<Stroke> = Vec::new();
    for passage in &line.passages {
        let (here, guessed) = strokes_in(line, passage);
        estimated |= guessed;
        strokes.extend(here);
    }
    strokes.sort_by_key(|stroke| stroke.at_us);
    (strokes, estimated)
}

/// The same of one passage.
pub fn strokes_in(line: &Line, passage: &Passage) -> (Vec<Stroke>, bool) {
    let known = known(line, passage);
    let guessed = known.is_none();
    let mut strokes = known.unwrap_or_else(|| spread(line, passage));
    strokes.sort_by_key(|stroke| stroke.at_us);
    (strokes, guessed)
}

/// The notes of a passage at their own moments; `None` when one of them has none.
fn known(line: &Line, passage: &Passage) -> Option<Vec<Stroke>> {
    let mut strokes = Vec::with_capacity(passage.notes.len());
    for note in &passage.notes {
        let struck = note.struck?;
        let us = |us: u64| i64::try_from(us).unwrap_or(i64::MAX);
        let Some(key) = line.sounding_of(note) else { continue };
        let (at_us, until_us) = (us(struck.at_us), us(struck.end_us()));
        strokes.push(Stroke { key, at_us, until_us, measure: note.measure.clone() });
    }
    Some(strokes)
}

/// The notes of a passage, evenly over their measures, and the measures evenly over the passage.
fn spread(line: &Line, passage: &Passage) -> Vec<Stroke> {
    let (from, to) = (micros(passage.from_s), micros(passage.to_s));
    // The runs of notes of one measure; what lies between two of them is told by the measures' numbers.
    let mut runs: Vec<Vec<(KeyNumber, &LineNote)>> = Vec::new();
    for note in &passage.notes {
        let Some(key) = line.sounding_of(note) else { continue };
        match runs.last_mut().filter(|run| run.last().is_some_and(|(_, last)| last.measure == note.measure)) {
            Some(run) => run.push((key, note)),
            None => runs.push(vec![(key, note)]),
        }
    }
    let numbers: Vec<Option<u32>> =
        runs.iter().map(|run| run.first().and_then(|(_, note)| note.measure.number())).collect();
    let (first, last) = (passage.from.number(), passage.to.number());
    let rising = numbers.windows(2).all(|pair| matches!(pair, [Some(a), Some(b)] if a < b));
    let count = i64::try_from(runs.len()).unwrap_or(i64::MAX).max(1);
    let mut strokes = Vec::new();
    for (at, (run, number)) in runs.iter().zip(numbers).enumerate() {
        let at = i64::try_from(at).unwrap_or(0);
        let (begin, length) = match (first, last, number) {
            (Some(first), Some(last), Some(number)) if rising && first <= number && number <= last => {
                let measure = (to - from) / (i64::from(last - first) + 1);
                (from + measure * i64::from(number - first), measure)
            }
            _ => (from + (to - from) / count * at, (to - from) / count),
        };
        let each = length / i64::try_from(run.len()).unwrap_or(i64::MAX).max(1);
        for (nth, (key, note)) in run.iter().enumerate() {
            let at_us = begin + each * i64::try_from(nth).unwrap_or(0);
            strokes.push(Stroke { key: *key, at_us, until_us: at_us + each, measure: note.measure.clone() });
        }
    }
    strokes
}

/// The plan of a line of timpani on what it was given; `None` where there is nothing to plan: another kind, no pitch, or no
/// drums yet.
pub fn line_plan(library: &Library, line: &Line, given: &Assignment) -> Option<LinePlan> {
    let kind = line.kind.as_ref()?;
    if !is_for_timpani(library, kind) || !line.is_pitched() {
        return None;
    }
    let drums = drums_of(library, &given.instruments);
    if drums.is_empty() {
        return None;
    }
    let asked = |pin: &DrumPin| {
        let on = drums.iter().position(|one| one.instrument == pin.instrument && one.drum.name == pin.drum);
        on.map(|drum| (pin.key, drum))
    };
    let pins: Vec<(KeyNumber, usize)> = given.drums.iter().filter_map(asked).collect();
    let lost_pins = given.drums.iter().filter(|pin| asked(pin).is_none()).cloned().collect();
    let (strokes, estimated) = strokes_of(line);
    let written = said::written(line, &strokes);
    let answer = answer(&drums, &strokes, (&pins, &written), library.orchestra.timpani.aim);
    Some(LinePlan { drums, strokes, spelling: line.spelling(), estimated, lost_pins, answer })
}

fn answer(
    drums: &[SetDrum],
    strokes: &[Stroke],
    (pins, written): (&[(KeyNumber, usize)], &[Written]),
    aim: Aim,
) -> Result<Plan, Impossible> {
    let plain: Vec<Drum> = drums.iter().map(|one| one.drum.clone()).collect();
    plan(&Ask { drums: &plain, strokes, pins, written, aim })
}

/// The plan of a line on the drums of some instruments, whatever it was given.
pub fn try_on(library: &Library, line: &Line, instruments: &[InstrumentId]) -> Result<Plan, Impossible> {
    let (strokes, _) = strokes_of(line);
    let written = said::written(line, &strokes);
    answer(&drums_of(library, instruments), &strokes, (&[], &written), library.orchestra.timpani.aim)
}

/// Asks of one instrument after the other whether a line can be played on it. What stands on drums alike is asked once.
pub struct Tried<'a> {
    library: &'a Library,
    strokes: Vec<Stroke>,
    known: Vec<(Vec<Alike>, bool)>,
}

/// What of a drum decides what can be played on it: its range, the time to retune it, and whether a pedal does it.
type Alike = (PitchSet, i64, bool);

impl<'a> Tried<'a> {
    /// For a line.
    pub fn on(library: &'a Library, line: &Line) -> Self {
        Self { library, strokes: strokes_of(line).0, known: Vec::new() }
    }

    /// Whether it can be played on the drums of an instrument, retuned in time.
    pub fn can_play(&mut self, instrument: &InstrumentId) -> bool {
        let drums = drums_of(self.library, std::slice::from_ref(instrument));
        let alike: Vec<Alike> = drums
            .iter()
            .map(|one| (one.drum.reach, one.drum.need_us, one.drum.by == TunedBy::Pedal))
            .collect();
        if let Some((_, can)) = self.known.iter().find(|(known, _)| *known == alike) {
            return *can;
        }
        let can = answer(&drums, &self.strokes, (&[], &[]), self.library.orchestra.timpani.aim).is_ok();
        self.known.push((alike, can));
        can
    }
}

/// More single drums than this nobody chooses for one line: a player stands before five. Common practice.
const MOST_TOGETHER: usize = 5;

/// The single drums on which a line is best played together, by the orchestra's own aim; the fewest that can, where that takes
/// more than five. By name; empty when they cannot play it. Sets stay whole.
pub fn together(library: &Library, line: &Line, of_kind: &[&Instrument]) -> Vec<InstrumentId> {
    let mut single: Vec<&Instrument> = of_kind
        .iter()
        .copied()
        .filter(|thing| thing.layout == Layout::Drums && thing.frames.len() == 1)
        .collect();
    single.sort_by_key(|thing| (thing.name.clone(), thing.id.clone()));
    single.truncate(MOST_DRUMS);
    let ids: Vec<InstrumentId> = single.iter().map(|thing| thing.id.clone()).collect();
    let drums = drums_of(library, &ids);
    let (strokes, _) = strokes_of(line);
    let written = said::written(line, &strokes);
    let used = |aim| answer(&drums, &strokes, (&[], &written), aim).map(|plan| plan.used());
    let best = used(library.orchestra.timpani.aim).ok().filter(|used| used.len() <= MOST_TOGETHER);
    let Some(used) = best.or_else(|| used(Aim::FewestDrums).ok()) else { return Vec::new() };
    let on =
        |id: &InstrumentId| used.iter().any(|at| drums.get(*at).is_some_and(|one| one.instrument == *id));
    ids.into_iter().filter(on).collect()
}

/// Drums by their sizes under the kind's name: "Timpani 32, 29, 26"; by their names where a size is not known.
pub fn set_words<'a>(library: &Library, drums: impl Iterator<Item = &'a SetDrum>) -> String {
    let mut kind = String::new();
    let mut names: Vec<String> = Vec::new();
    for one in drums {
        let thing = library.instruments.get(&one.instrument);
        if kind.is_empty() {
            let name = thing.map_or_else(String::new, |thing| library.kind_name(&thing.kind));
            kind = crate::id::begun(&name);
        }
        let inches = thing.and_then(|thing| thing.frames.get(one.frame)).and_then(Frame::inches);
        names.push(inches.map_or_else(|| one.drum.name.clone(), |inches| inches.to_string()));
    }
    format!("{kind} {}", names.join(", ")).trim().to_owned()
}

/// What instruments are called: several single drums of one kind as one, by their sizes: "Timpani 32, 29, 26".
pub fn instrument_words(library: &Library, instruments: &[InstrumentId]) -> Vec<String> {
    let kind_of = |id: &InstrumentId| {
        let thing = library.instruments.get(id)?;
        let single = thing.layout == Layout::Drums && thing.frames.len() == 1;
        Some(thing.kind.clone()).filter(|kind| single && is_for_timpani(library, kind))
    };
    let mut words: Vec<String> = Vec::new();
    let mut told: Vec<KindId> = Vec::new();
    for id in instruments {
        let kind = kind_of(id);
        let same: Vec<InstrumentId> =
            instruments.iter().filter(|other| kind.is_some() && kind_of(other) == kind).cloned().collect();
        match kind {
            Some(kind) if same.len() > 1 => {
                if !told.contains(&kind) {
                    told.push(kind);
                    words.push(set_words(library, drums_of(library, &same).iter()));
                }
            }
            _ => words.push(library.instrument_name(id)),
        }
    }
    words
}

impl LinePlan {
    /// The drums that the plan uses; all of them where there is none.
    pub fn used(&self) -> Vec<&SetDrum> {
        match &self.answer {
            Ok(plan) => plan.used().into_iter().filter_map(|at| self.drums.get(at)).collect(),
            Err(_) => self.drums.iter().collect(),
        }
    }

    /// "Timpani 32, 29, 26".
    pub fn words(&self, library: &Library) -> String {
        set_words(library, self.used().into_iter())
    }

    /// What the drums that are played are tuned to at the start: "32 in: F2".
    pub fn starts(&self) -> Vec<(&SetDrum, KeyNumber)> {
        let Ok(plan) = &self.answer else { return Vec::new() };
        let start = self.drums.iter().zip(&plan.start);
        start.filter_map(|(drum, key)| key.map(|key| (drum, key))).collect()
    }

    /// The retunings with their drums.
    pub fn changes(&self) -> Vec<(&SetDrum, &Change)> {
        let Ok(plan) = &self.answer else { return Vec::new() };
        plan.changes.iter().filter_map(|change| Some((self.drums.get(change.drum)?, change))).collect()
    }
}

impl Change {
    /// "m. 41" or "mm. 41–52": between which measures it is done.
    pub fn measures(&self) -> String {
        crate::music::stretch_words(&self.measure, &self.until).replace(' ', "\u{a0}")
    }
}
