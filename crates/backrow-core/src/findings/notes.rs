//! An instrument that was chosen and lacks notes of its line, or is of another kind.

use super::{About, Case, Degree, Finding, Rule};
use crate::compass::{Fit, PitchSet, fit};

/// Lines whose instruments together lack notes, and lines played on another kind.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for taken in case.given().filter(|taken| !taken.instruments.is_empty()) {
        let Some((_, line)) = case.library.line(&taken.line) else { continue };
        let things: Vec<_> =
            taken.instruments.iter().filter_map(|id| case.library.instruments.get(id)).collect();
        let Some(first) = things.first() else { continue };
        let about = || vec![About::Line(taken.line.clone()), About::Instrument(first.id.clone())];
        if line.is_pitched() {
            let has = things.iter().fold(PitchSet::EMPTY, |sum, thing| sum.union(thing.compass()));
            let dead = things.iter().fold(PitchSet::EMPTY, |sum, thing| sum.union(thing.dead()));
            let asks = line.sounding();
            let reach = fit(has, asks);
            if reach.fit != Fit::Whole {
                found.push(lacking(case, (taken, line), &first.name, (asks, dead), &reach, about()));
            }
        }
        if let Some(kind) = &taken.kind
            && let Some(other) = things.iter().find(|thing| thing.kind != *kind)
        {
            let (asked, given) = (case.library.kind_name(kind), case.library.kind_name(&other.kind));
            let what = format!("{} plays a line for {asked}", other.name);
            found.push(
                Finding::new(Rule::OtherKind, Degree::Note, what)
                    .why(format!("{} asks for {asked}; it is on {given}.", case.line_words(&taken.line)))
                    .remedy("The sound will differ: ask the conductor.")
                    .about(about()),
            );
        }
    }
    found
}

fn lacking(
    case: &Case<'_>,
    (taken, line): (&crate::moves::AssignedLine, &crate::music::Line),
    name: &str,
    (asks, dead): (PitchSet, PitchSet),
    reach: &crate::compass::Reach,
    about: Vec<About>,
) -> Finding {
    let lacks = reach.lacking();
    let broken = lacks.intersection(dead);
    let rule = if broken == lacks { Rule::DeadBar } else { Rule::LacksNotes };
    let what = if broken.is_empty() {
        format!("{name} lacks {} of {} notes", lacks.len(), asks.len())
    } else {
        format!("{name} has a dead note that is needed, {}", line.spelling().words(broken))
    };
    let octave = match reach.fit {
        Fit::Octave(n) => {
            format!(" The whole line fits {} {}.", octaves(n), if n < 0 { "lower" } else { "higher" })
        }
        _ => String::new(),
    };
    Finding::new(rule, Degree::Care, what)
        .why(format!("{} needs {}.{octave}", case.line_words(&taken.line), line.spelling().words(lacks)))
        .remedy("Add an instrument that has them, choose another, or ask the conductor.")
        .about(about)
}

fn octaves(n: i8) -> String {
    match n.unsigned_abs() {
        1 => "an octave".to_owned(),
        n => format!("{n} octaves"),
    }
}
