//! The reading as the answer of `backrow read SCORE --json`.

use super::{Problem, ReadLine, ScoreReading};
use backrow_core::id::KindId;
use backrow_core::pitch::Octave;
use serde_json::{Value, json};

/// One object: title, measures (printed), `measures_played`, quarters (as printed), `quarters_played`, seconds, lines, problems.
///
/// Counts are attacks as notated; passages stand as played. Keys as the answer of the shell command promises them.
pub fn reading_json(reading: &ScoreReading) -> Value {
    json!({
        "title": reading.title,
        "composer": reading.composer,
        "movement": reading.movement_title,
        "measures": reading.measures,
        "measures_played": reading.timeline.measures.len(),
        "quarters": reading.quarters,
        "quarters_played": reading.quarters_played(),
        "seconds": reading.timeline.end_s,
        "lines": reading.lines.iter().map(line).collect::<Vec<_>>(),
        "problems": reading.problems.iter().map(problem).collect::<Vec<_>>(),
    })
}

fn line(line: &ReadLine) -> Value {
    let notes: Vec<Value> = line
        .notes
        .iter()
        .map(|note| {
            json!({
                "written": note.written.ascii(),
                "written_key": note.written.key().number(),
                "sounding": note.sounding.number(),
                "count": note.count,
            })
        })
        .collect();
    let unpitched: Vec<Value> =
        line.unpitched.iter().map(|note| json!({ "name": note.name, "count": note.count })).collect();
    let passages: Vec<Value> = line
        .passages
        .iter()
        .map(|p| {
            json!({
                "from": p.passage.from.as_str(),
                "to": p.passage.to.as_str(),
                "from_s": p.passage.from_s,
                "to_s": p.passage.to_s,
                "notes": p.attacks,
                "softest": p.passage.dynamics.map(|both| both.softest().sign()),
                "loudest": p.passage.dynamics.map(|both| both.loudest().sign()),
            })
        })
        .collect();
    json!({
        "kind": line.kind.as_ref().map(KindId::as_str),
        "candidates": line.candidates.iter().map(KindId::as_str).collect::<Vec<_>>(),
        "printed": line.printed,
        "part": line.part,
        "part_name": line.part_name,
        "octave": line.octave.map(Octave::semitones),
        "octave_offer": line.octave_offer.map(Octave::semitones),
        "notes": notes,
        "unpitched": unpitched,
        "passages": passages,
        "beaters": line.beaters,
        "evidence": line.evidence,
        "doubts": line.doubts,
        "degree": line.degree.word(),
    })
}

fn problem(problem: &Problem) -> Value {
    json!({
        "code": problem.code,
        "where": problem.place,
        "what": problem.what,
        "remedy": problem.remedy,
    })
}
