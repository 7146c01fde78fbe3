//! Timpani that cannot be retuned in time, too few drums, retunings that are heard, pins to drums that are not there.

use super::{About, Case, Degree, Finding, Rule};
use crate::edit::Edit;
use crate::moves::AssignedLine;
use crate::sets::{LinePlan, line_plan};
use crate::timpani::{Impossible, impossible_words, seconds};

/// Lines of timpani whose plan does not go, or goes with a retuning that is heard.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for taken in case.given().filter(|taken| !taken.instruments.is_empty()) {
        let Some((_, line)) = case.library.line(&taken.line) else { continue };
        let given = case.programme.assignment(&taken.line);
        let Some(row) = line_plan(case.library, line, &given) else { continue };
        let name = case.library.line_name(line);
        match &row.answer {
            // Notes that nothing reaches are told as lacking; here only those that a pin keeps from every drum.
            Err(Impossible::Unreached { .. }) if given.drums.is_empty() => {}
            Err(why) => found.push(impossible(case, taken, (&name, &row), why)),
            Ok(_) => found.extend(heard(case, taken, (&name, &row))),
        }
        found.extend(lost(case, taken, (&name, &row)));
    }
    found
}

fn impossible(
    case: &Case<'_>,
    taken: &AssignedLine,
    (name, line): (&str, &LinePlan),
    why: &Impossible,
) -> Finding {
    let what = match why {
        Impossible::TooFew { .. } => "has too few drums",
        Impossible::Stuck { .. } => "cannot be retuned in time",
        Impossible::NotFound { .. } => "has no tuning plan yet",
        Impossible::Unreached { .. } | Impossible::TooManyDrums { .. } => "cannot be tuned",
    };
    Finding::new(Rule::NoTuning, Degree::Clash, format!("{name} {what}"))
        .why(told(case, taken, line, &impossible_words(why, &line.spelling)))
        .remedy("Add a drum, free a pitch from its drum, or ask the conductor.")
        .about(about(taken))
}

fn heard(case: &Case<'_>, taken: &AssignedLine, (name, line): (&str, &LinePlan)) -> Option<Finding> {
    let heard: Vec<_> = line.changes().into_iter().filter(|(_, change)| change.heard).collect();
    let (one, first) = heard.first()?;
    let count = if heard.len() == 1 { "a drum".to_owned() } else { format!("drums {} times", heard.len()) };
    let why = format!(
        "The {}, {}: from {} to {} in {}, while other drums are struck.",
        one.drum.name,
        first.measures(),
        line.spelling.of(first.from),
        line.spelling.of(first.to),
        seconds(first.have_us)
    );
    let what = format!("{name} retunes {count} while others are struck");
    Some(
        Finding::new(Rule::HeardTuning, Degree::Note, what)
            .why(told(case, taken, line, &why))
            .remedy("One more drum may avoid it.")
            .about(about(taken)),
    )
}

fn lost(case: &Case<'_>, taken: &AssignedLine, (name, row): (&str, &LinePlan)) -> Option<Finding> {
    let pin = row.lost_pins.first()?;
    let what = format!("{name}: {} is fixed to a drum that is not there", row.spelling.of(pin.key));
    let why = format!("{}: the line has no drum {}.", case.line_words(&taken.line), pin.drum);
    let (programme, line) = (case.programme.id.clone(), taken.line.clone());
    let free = Edit::PinDrum { programme, line, key: pin.key, on: None };
    Some(
        Finding::new(Rule::DrumNotThere, Degree::Care, what)
            .why(why)
            .remedy("Fix it to another drum, or free it.")
            .about(about(taken))
            .fix(Some(case.words_of(free))),
    )
}

fn told(case: &Case<'_>, taken: &AssignedLine, row: &LinePlan, why: &str) -> String {
    let guessed = if row.estimated {
        " When each note is struck is not known, so notes are taken to be even within their measures."
    } else {
        ""
    };
    format!("{}: {why}{guessed}", case.line_words(&taken.line))
}

fn about(taken: &AssignedLine) -> Vec<About> {
    let instruments = taken.instruments.iter().cloned().map(About::Instrument);
    std::iter::once(About::Line(taken.line.clone())).chain(instruments).collect()
}
