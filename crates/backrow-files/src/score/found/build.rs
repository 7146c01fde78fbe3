//! One part's lines: kinds told, counts as notated, passages as played.

use super::assign::{Assigner, Group};
use super::retunings::retunings;
use crate::score::names::{Context, NameTable, Resolved};
use crate::score::octave::{OctaveAnswer, outside, question, range_words};
use crate::score::passages::{Played, Stroke, passages};
use crate::score::problem::Problems;
use crate::score::raw::{Clef, Marks, NO_INSTRUMENT, RawNote, RawPart, RawPitch};
use crate::score::reading::{NoteCount, ReadLine, ReadOptions};
use backrow_core::collection::{Kind, Pitched};
use backrow_core::id::KindId;
use backrow_core::music::{Degree, MalletCount, MeasureName, UnpitchedNote, words_from};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use std::collections::{BTreeMap, BTreeSet};

/// What all parts share.
pub(crate) struct Around<'a> {
    pub(crate) file: &'a str,
    pub(crate) table: &'a NameTable,
    pub(crate) played: &'a Played<'a>,
    pub(crate) options: &'a ReadOptions,
    pub(crate) language: Option<usize>,
    /// Words that stand over several parts at one place.
    pub(crate) shared: &'a BTreeSet<(u32, &'a str)>,
}

/// A group whose kind is told.
struct Settled<'a> {
    kind: Option<KindId>,
    candidates: Vec<KindId>,
    printed: String,
    evidence: Vec<String>,
    degree: Degree,
    notes: Vec<&'a RawNote>,
    beaters: Vec<String>,
    doubts: Vec<String>,
}

/// The lines of a part; none for another instrument's.
pub(crate) fn lines_of(part: &RawPart, around: &Around<'_>, problems: &mut Problems) -> Vec<ReadLine> {
    let names = around.played.names;
    let measure_name = |m: u32| names.get(m as usize).map(ToString::to_string).unwrap_or_default();
    let shared = |measure: u32, text: &str| around.shared.contains(&(measure, text));
    let Some(assigner) = Assigner::new(around.table, part, &measure_name, &shared) else {
        name_beside(part, around, problems);
        return Vec::new();
    };
    let mut settled: Vec<Settled<'_>> = Vec::new();
    for group in assigner.groups() {
        let next = settle(group, part, around);
        let same = settled.iter_mut().find(|s| s.kind.is_some() && s.kind == next.kind);
        match same {
            Some(same) => {
                let begins = next.notes.first().map(|note| MeasureName::new(&measure_name(note.measure)));
                same.notes.extend(next.notes);
                same.degree = same.degree.max(next.degree);
                same.doubts.extend(next.doubts);
                for text in next.evidence {
                    if !same.evidence.contains(&text) {
                        same.evidence.push(text);
                    }
                }
                for words in next.beaters {
                    let words = from_there(words, begins.as_ref());
                    if !same.beaters.contains(&words) {
                        same.beaters.push(words);
                    }
                }
            }
            None => settled.push(next),
        }
    }
    let asked = retunings(part, &measure_name);
    for one in
        settled.iter_mut().filter(|one| one.kind.as_ref().is_some_and(|kind| kind.as_str() == "timpani"))
    {
        one.evidence.extend(asked.iter().cloned());
    }
    name_unplayed(&assigner, &settled, part, around, problems);
    if let Some((from, _, _)) = part.similes.first().filter(|_| !settled.is_empty()) {
        problems.add(
            "written-out",
            format!("{}, {}, m. {}", around.file, part_words(part), measure_name(*from)),
            "a sign repeats measures; where the file holds no notes under it they were written out",
            "compare the count of notes with the part",
        );
    }
    settled.into_iter().filter_map(|s| line(s, part, around, problems)).collect()
}

/// Words that count mallets from the beginning of what is joined to a line hold from there on.
fn from_there(words: String, begins: Option<&MeasureName>) -> String {
    let counts = MalletCount::said_by(&words).is_some_and(|said| said.from.is_none());
    match begins.filter(|_| counts) {
        Some(measure) => words_from(&words, measure),
        None => words,
    }
}

/// A part by its heading, or by its id where it has none: "Percussion 1", "part P9".
fn part_words(part: &RawPart) -> String {
    if part.name.is_empty() { format!("part {}", part.id) } else { format!("“{}”", part.name) }
}

/// Says that another instrument's heading names percussion as well: "Piano, Celesta".
fn name_beside(part: &RawPart, around: &Around<'_>, problems: &mut Problems) {
    let heading = around.table.heading(&part.name);
    let beside: Vec<&str> =
        heading.found.iter().filter(|f| !f.abbreviation).map(|f| f.printed.as_str()).collect();
    if !beside.is_empty() && !part.notes.is_empty() {
        problems.add(
            "named-beside",
            format!("{}, {}, heading", around.file, part_words(part)),
            format!(
                "“{}” names {} beside another instrument, and no words say where it plays",
                part.name,
                beside.join(", ")
            ),
            "add the line by hand",
        );
    }
}

/// Says which names in the part have no note of their own; a part that rests throughout is no matter.
fn name_unplayed(
    assigner: &Assigner<'_>,
    settled: &[Settled<'_>],
    part: &RawPart,
    around: &Around<'_>,
    problems: &mut Problems,
) {
    if settled.is_empty() {
        return;
    }
    let played: Vec<&KindId> = settled.iter().flat_map(|s| s.kind.iter().chain(&s.candidates)).collect();
    for (printed, measure) in assigner.unplayed(&played) {
        let place = measure.and_then(|m| around.played.names.get(m as usize)).map_or_else(
            || format!("{}, {}, heading", around.file, part_words(part)),
            |name| format!("{}, {}, m. {name}", around.file, part_words(part)),
        );
        problems.add(
            "named-unplayed",
            place,
            format!("the part names “{printed}” but has no notes for it"),
            "add a line by hand, or cut one at this measure, if it is to be played",
        );
    }
}

fn settle<'a>(group: Group<'a>, part: &RawPart, around: &Around<'_>) -> Settled<'a> {
    let context = context(&group.notes, part, around.language);
    let mut resolved = around.table.resolve(&group.candidates, &context);
    if !group.beaters.is_empty() {
        struck_with(&mut resolved);
    }
    let mut evidence = group.evidence;
    let name = |kind: &Option<KindId>| {
        kind.as_ref().and_then(|id| around.table.kind(id)).map_or("unclear", Kind::name).to_owned()
    };
    let asked = if group.unknown { Degree::Likely } else { Degree::Sure };
    let (kind, degree) = if group.open {
        (None, Degree::Unclear)
    } else if group.weak {
        (resolved.kind, resolved.degree.max(Degree::Likely))
    } else {
        (resolved.kind, resolved.degree.max(asked))
    };
    for text in &mut evidence {
        *text = format!("{text} → {}", name(&kind));
    }
    if !resolved.why.is_empty() && !group.open {
        evidence.push(resolved.why);
    }
    Settled {
        kind,
        candidates: resolved.candidates,
        printed: group.printed,
        evidence,
        degree,
        notes: group.notes,
        beaters: group.beaters,
        doubts: group.doubts,
    }
}

/// A cymbal that is struck with something is no pair.
fn struck_with(resolved: &mut Resolved) {
    let at = resolved.candidates.iter().position(|id| id.as_str() == "suspended_cymbal");
    let pair = resolved.kind.as_ref().is_some_and(|id| id.as_str() == "cymbals_pair");
    if let Some(at) = at.filter(|_| pair) {
        let suspended = resolved.candidates.remove(at);
        resolved.candidates.insert(0, suspended.clone());
        resolved.kind = Some(suspended);
        resolved.degree = Degree::Likely;
        "a beater is asked for, and a pair is clashed".clone_into(&mut resolved.why);
    }
}

/// What is known of a group's notes.
fn context(notes: &[&RawNote], part: &RawPart, language: Option<usize>) -> Context {
    let written = || {
        notes.iter().filter_map(|note| match note.pitch {
            RawPitch::Pitched(written) => Some(i32::from(written.key().number())),
            RawPitch::Unpitched(_) => None,
        })
    };
    let pitched = written().count();
    let first = notes.first();
    let clef = first.and_then(|first| {
        let before =
            |clef: &&crate::score::raw::RawClef| (clef.measure, clef.at) <= (first.measure, first.at + 1e-6);
        part.clefs.iter().rfind(before).or_else(|| part.clefs.first()).map(|clef| clef.sign)
    });
    Context {
        pitched: match pitched {
            0 => Some(false),
            n if n == notes.len() => Some(true),
            _ => None,
        },
        clef: clef.filter(|sign| *sign != Clef::Other),
        range: written().min().zip(written().max()),
        transpose: first.map_or(0, |note| i32::from(note.transpose)),
        language,
    }
}

/// Says of a count of mallets that comes within a line how long it holds.
fn counted(words: &str) -> Option<String> {
    MalletCount::said_by(words)?.from?;
    Some(format!("“{words}” holds until the part counts the mallets again"))
}

/// The notes of what has no pitch, as strokes: a bass drum on an ordinary staff is written on some line of it.
fn without_pitch(s: &Settled<'_>, around: &Around<'_>) -> Vec<RawNote> {
    let kind = s.kind.as_ref().and_then(|id| around.table.kind(id));
    if kind.is_none_or(|kind| kind.pitched != Pitched::No) {
        return Vec::new();
    }
    let stroke = |note: &&RawNote| match note.pitch {
        RawPitch::Pitched(written) => RawNote { pitch: RawPitch::Unpitched(Some(written)), ..**note },
        RawPitch::Unpitched(_) => **note,
    };
    s.notes.iter().map(stroke).collect()
}

fn line(s: Settled<'_>, part: &RawPart, around: &Around<'_>, problems: &mut Problems) -> Option<ReadLine> {
    let strokes = without_pitch(&s, around);
    let notes = if strokes.is_empty() { s.notes } else { strokes.iter().collect() };
    line_of(Settled { notes, ..s }, part, around, problems)
}

fn line_of(s: Settled<'_>, part: &RawPart, around: &Around<'_>, problems: &mut Problems) -> Option<ReadLine> {
    let first = *s.notes.first()?;
    let measure =
        around.played.names.get(first.measure as usize).map(ToString::to_string).unwrap_or_default();
    let place = format!("{}, {}, m. {measure}", around.file, part_words(part));
    let usual_octave = most_common_octave(&s.notes);
    let octaves_agree = pitched_transpositions(&s.notes).len() <= 1;
    let names = unpitched_names(part, &s.notes);
    let pedals = pedals_of(part);
    let strokes: Vec<Stroke<'_>> = s
        .notes
        .iter()
        .map(|note| Stroke {
            note,
            name: name_of(note, part, &names),
            shift: note.transpose.saturating_sub(i8::try_from(usual_octave.semitones()).unwrap_or(0)),
            until: until(note, &pedals, around.played.starts),
        })
        .collect();
    let (notes, unpitched) = counts(&strokes, &place, problems);
    let cues = s.notes.iter().filter(|note| note.marks.has(Marks::CUE)).count();
    if cues > 0 {
        problems.add(
            "cues",
            place.clone(),
            format!("{cues} notes in small print were counted with the others"),
            "drop them if they are another player’s",
        );
    }
    let mut line = ReadLine {
        part: part.id.clone(),
        part_name: if part.name.is_empty() { part.id.clone() } else { part.name.clone() },
        kind: s.kind,
        candidates: s.candidates,
        printed: s.printed,
        octave: (octaves_agree && !notes.is_empty()).then_some(usual_octave),
        usual_octave,
        octave_offer: None,
        notes,
        unpitched,
        passages: passages(&strokes, part, around.played, around.options),
        evidence: s.evidence.into_iter().chain(s.beaters.iter().filter_map(|words| counted(words))).collect(),
        beaters: s.beaters,
        doubts: s.doubts,
        degree: s.degree,
    };
    for doubt in &line.doubts {
        problems.add(
            "words",
            format!("{}, {}", around.file, part_words(part)),
            doubt.clone(),
            "change the kind in the review, or cut the line at that measure, if the words ask for another instrument",
        );
    }
    ask_octave(&mut line, around, &place, problems);
    if line.degree == Degree::Unclear {
        let heard: Vec<&str> =
            line.candidates.iter().filter_map(|id| around.table.kind(id)).map(Kind::name).collect();
        problems.add(
            "kind-unclear",
            place,
            format!("“{}” does not say which instrument is meant", line.printed),
            if heard.is_empty() {
                "choose the kind in the review".to_owned()
            } else {
                format!("choose in the review: {}", heard.join(", "))
            },
        );
    }
    Some(line)
}

fn ask_octave(line: &mut ReadLine, around: &Around<'_>, place: &str, problems: &mut Problems) {
    let Some(kind) = line.kind.as_ref().and_then(|id| around.table.kind(id)) else { return };
    let keys = || line.notes.iter().map(|note| i32::from(note.written.key().number()));
    let Some(range) = keys().min().zip(keys().max()) else { return };
    let step = line.usual_octave.semitones();
    let sounding = (range.0 + step, range.1 + step);
    let answer = question(kind, range, step);
    // A part without a transposition in the file is offered its kind's usual one, whole.
    let usual = matches!(answer, OctaveAnswer::Offer(octave) if step == 0 && kind.octave == Some(octave));
    let leaves = matches!(answer, OctaveAnswer::Offer(_) | OctaveAnswer::None);
    if leaves && !usual && few_outside(line, kind, place, problems) {
        return;
    }
    match answer {
        OctaveAnswer::Fine => {}
        OctaveAnswer::Either(usual) => line.evidence.push(format!(
            "the score sounds it as written; the usual convention, sounding {}, would fit as well",
            usual.words()
        )),
        OctaveAnswer::Offer(octave) => {
            let words = octave.words();
            line.doubts.push(format!(
                "sounding {} is outside every usual compass; sounding {words} would fit",
                range_words(sounding)
            ));
            problems.add(
                "octave",
                place,
                format!(
                    "{}: the notes sound {} by the score, outside every usual compass; written {} and sounding {words} they would fit",
                    kind.name(),
                    range_words(sounding),
                    range_words(range),
                ),
                format!("choose “{words}” in the review if the part is meant so"),
            );
            line.octave_offer = Some(octave);
        }
        OctaveAnswer::None => {
            line.doubts.push(format!(
                "the notes sound {} by the score, and no octave brings them into a usual compass: check the kind and the octave",
                range_words(sounding)
            ));
            problems.add(
                "range",
                place,
                format!(
                    "{}: the notes sound {} by the score, and no octave brings them into a usual compass",
                    kind.name(),
                    range_words(sounding)
                ),
                "check the kind and the octave; several instruments may be needed",
            );
        }
    }
}

/// A part of which only a few notes leave the compass is read in the right octave: these notes are named with their measures.
fn few_outside(line: &mut ReadLine, kind: &Kind, place: &str, problems: &mut Problems) -> bool {
    let notes: Vec<_> = line.passages.iter().flat_map(|p| &p.passage.notes).collect();
    let keys: Vec<i32> = notes.iter().map(|note| i32::from(note.written.key().number())).collect();
    let out = outside(kind, &keys, line.usual_octave.semitones());
    if out.is_empty() || out.len() * FEW > notes.len() {
        return false;
    }
    let mut measures: Vec<&str> =
        out.iter().filter_map(|at| notes.get(*at)).map(|n| n.measure.as_str()).collect();
    measures.dedup();
    let shown = measures.iter().take(6).copied().collect::<Vec<_>>().join(", ");
    let more = if measures.len() > 6 { " and more" } else { "" };
    let sign = if measures.len() == 1 { "m." } else { "mm." };
    let are = if out.len() == 1 { "is" } else { "are" };
    let words = format!(
        "{} of {} notes, {sign} {shown}{more}, {are} outside every usual compass of {}",
        out.len(),
        notes.len(),
        kind.name()
    );
    line.doubts.push(words.clone());
    problems.add(
        "some-outside",
        place,
        words,
        "look at these measures; the rest of the part fits as it is read",
    );
    true
}

/// So many notes must fit for each that does not, for a part to be in the right octave.
const FEW: usize = 3;

/// The pedal movements of a part in the order of the page: measure, quarters into it, whether down.
fn pedals_of(part: &RawPart) -> Vec<(u32, f64, bool)> {
    let mut pedals = part.pedals.clone();
    pedals.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    pedals
}

/// Where a note stops to keep the player: a ringing one to the end of its measure, a pedalled one to the pedal's end.
fn until(note: &RawNote, pedals: &[(u32, f64, bool)], starts: &[f64]) -> f64 {
    let start = |measure: usize| starts.get(measure).copied().unwrap_or(0.0);
    let measure = note.measure as usize;
    let mut until = note.at + note.quarters;
    if note.marks.has(Marks::RING) {
        until = until.max(start(measure + 1) - start(measure));
    }
    // The pedal that is down when the note is struck, and the next movement, which lifts it.
    let after = pedals.partition_point(|(m, at, _)| (*m, *at) <= (note.measure, note.at + 1e-6));
    let down = after.checked_sub(1).and_then(|at| pedals.get(at)).is_some_and(|(_, _, down)| *down);
    if down && let Some((m, at, _)) = pedals.get(after) {
        until = until.max(start(*m as usize) - start(measure) + at);
    }
    until
}

/// The transpositions of the pitched notes, with how many notes each.
fn pitched_transpositions(notes: &[&RawNote]) -> BTreeMap<i8, usize> {
    let mut counts = BTreeMap::new();
    for note in notes.iter().filter(|note| matches!(note.pitch, RawPitch::Pitched(_))) {
        *counts.entry(note.transpose).or_insert(0) += 1;
    }
    counts
}

fn most_common_octave(notes: &[&RawNote]) -> Octave {
    let counts = pitched_transpositions(notes);
    let most = counts.iter().max_by_key(|(_, count)| **count).map_or(0, |(semitones, _)| *semitones);
    Octave::new(i32::from(most)).unwrap_or(Octave::AS_WRITTEN)
}

/// Names for heads without an instrument: where they stand on the staff, if they stand in several places.
fn unpitched_names(part: &RawPart, notes: &[&RawNote]) -> BTreeMap<Option<Spelled>, String> {
    let mut places: BTreeMap<Option<Spelled>, String> = BTreeMap::new();
    for note in notes {
        if let RawPitch::Unpitched(place) = note.pitch
            && (note.instrument == NO_INSTRUMENT || part.instruments.is_empty())
        {
            places.entry(place).or_default();
        }
    }
    // Heads at one place of a part with one instrument are that one.
    if let ([one], 1) = (part.instruments.as_slice(), places.len()) {
        for name in places.values_mut() {
            name.clone_from(&one.name);
        }
    }
    if places.len() > 1 {
        for (place, name) in &mut places {
            *name = place.map_or_else(String::new, |place| format!("on {}", place.ascii()));
        }
    }
    places
}

fn name_of<'a>(note: &RawNote, part: &'a RawPart, places: &'a BTreeMap<Option<Spelled>, String>) -> &'a str {
    match note.pitch {
        RawPitch::Pitched(_) => "",
        RawPitch::Unpitched(place) => part
            .instruments
            .get(usize::from(note.instrument))
            .map(|i| i.name.as_str())
            .or_else(|| places.get(&place).map(String::as_str))
            .unwrap_or_default(),
    }
}

/// Attacks as notated.
fn counts(
    strokes: &[Stroke<'_>],
    place: &str,
    problems: &mut Problems,
) -> (Vec<NoteCount>, Vec<UnpitchedNote>) {
    let mut pitched: BTreeMap<(KeyNumber, Spelled), u32> = BTreeMap::new();
    let mut unpitched: BTreeMap<&str, u32> = BTreeMap::new();
    let mut beyond = 0;
    for stroke in strokes.iter().filter(|s| !s.note.marks.has(Marks::TIED)) {
        match stroke.note.pitch {
            RawPitch::Pitched(written) => match written.key().up(i32::from(stroke.note.transpose)) {
                Some(sounding) => *pitched.entry((sounding, written)).or_default() += 1,
                None => beyond += 1,
            },
            RawPitch::Unpitched(_) => *unpitched.entry(stroke.name).or_default() += 1,
        }
    }
    if beyond > 0 {
        problems.add(
            "beyond-keys",
            place,
            format!("{beyond} notes sound outside C-1 to G9 and were left out of the counts"),
            "check the transposition of the part",
        );
    }
    let notes = pitched
        .into_iter()
        .map(|((sounding, written), count)| NoteCount { written, sounding, count })
        .collect();
    let unpitched = unpitched.into_iter().map(|(name, count)| UnpitchedNote::new(name, count)).collect();
    (notes, unpitched)
}
