//! A reading as a work of the library.

use super::ScoreReading;
use backrow_core::id::{CallId, MovementId, WorkId};
use backrow_core::music::{Call, Movement, Work};

/// The work that a reading makes: one movement, a call for each call, ids from the names.
///
/// The ids are fresh within the work; whoever takes it into a library sees to the work's own id.
pub fn work_of(reading: &ScoreReading) -> Work {
    let movement = MovementId::fresh(
        &if reading.movement_number.is_empty() { "1".to_owned() } else { reading.movement_number.clone() },
        |_| false,
    );
    let mut calls: Vec<Call> = Vec::with_capacity(reading.calls.len());
    for call in &reading.calls {
        let name = call.kind.as_ref().map_or(call.printed.as_str(), |kind| kind.as_str());
        let name = if name.is_empty() { "open" } else { name };
        let id = CallId::fresh(name, |id| calls.iter().any(|other| other.id == *id));
        calls.push(Call {
            id,
            movement: movement.clone(),
            kind: call.kind.clone(),
            printed: call.printed.clone(),
            part: call.part_name.clone(),
            octave: call.usual_octave,
            passages: call.passages.iter().map(|p| p.passage.clone()).collect(),
            beaters: call.beaters.clone(),
            degree: call.degree,
            exposed: false,
            evidence: call.evidence.clone(),
        });
    }
    Work {
        id: WorkId::fresh(&reading.title, |_| false),
        title: reading.title.clone(),
        composer: reading.composer.clone(),
        movements: vec![Movement {
            id: movement,
            number: reading.movement_number.clone(),
            title: reading.movement_title.clone(),
            timeline: reading.timeline.clone(),
        }],
        calls,
        together: Vec::new(),
        remark: format!("Read from {}.", reading.file),
    }
}
