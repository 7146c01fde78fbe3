//! Notes of lines for bells that none of ours has, or has in another octave than the line sounds.

use super::{About, Case, Degree, Finding, Rule};
use crate::music::Line;
use crate::tonight::{BellNote, Hall, bells_for, is_bell_kind};
use crate::week::LineRef;

/// One finding a line at the most.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let hall = Hall::of(case.library, Some(case.programme));
    let works = case.programme.works_in_order().filter_map(|(_, id)| case.library.works.get(id));
    works
        .flat_map(|work| work.lines.iter().map(move |line| (work, line)))
        .filter(|(_, line)| line.kind.as_ref().is_some_and(|kind| is_bell_kind(case.library, kind)))
        .filter_map(|(work, line)| {
            let at = LineRef { work: work.id.clone(), line: line.id.clone() };
            one(case, at, line, hall)
        })
        .collect()
}

fn one(case: &Case<'_>, at: LineRef, line: &Line, hall: Hall) -> Option<Finding> {
    let assignment = case.programme.assignment(&at);
    let on: Vec<_> =
        assignment.instruments.iter().filter_map(|id| case.library.instruments.get(id)).collect();
    // What it is assigned to may be no bell at all: a keyboard with bars stands in, and has the note.
    let is_played = |note: &BellNote| {
        let mut sounds =
            note.readings.iter().filter(|reading| reading.is_the_lines).map(|reading| reading.key);
        sounds.any(|key| on.iter().any(|thing| thing.compass().contains(key)))
    };
    let notes = bells_for(case.library, line, hall);
    let open = notes.iter().filter(|note| !note.is_given() && !is_played(note));
    let (lacking, elsewhere): (Vec<&BellNote>, Vec<&BellNote>) = open.partition(|note| note.is_to_borrow());
    let list = |notes: &[&BellNote]| {
        let one = |note: &&BellNote| format!("{} ({}×)", note.written, note.count);
        notes.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let name = case.line_words(&at);
    let about = [About::Line(at)];
    if lacking.is_empty() {
        let what = format!("{name}: our bells have some notes in other octaves only");
        let readings = elsewhere.iter().map(|note| format!("{}: {}", note.written, note.words(case.library)));
        return (!elsewhere.is_empty()).then(|| {
            Finding::new(Rule::BellElsewhere, Degree::Note, what)
                .why(format!("{}.", readings.collect::<Vec<_>>().join(". ")))
                .remedy("Bells are written and sound in ways that differ: ask the conductor which octave is meant.")
                .about(about)
        });
    }
    let what = format!("{name}: none of our bells has {}", list(&lacking));
    let more = if elsewhere.is_empty() {
        String::new()
    } else {
        format!(" In other octaves only: {}.", list(&elsewhere))
    };
    Some(
        Finding::new(Rule::BellToBorrow, Degree::Care, what)
            .why(format!("No cast bell, tube or plate of ours has it in any octave.{more}"))
            .remedy("Borrow or hire it, or assign something else that has the note.")
            .about(about),
    )
}
