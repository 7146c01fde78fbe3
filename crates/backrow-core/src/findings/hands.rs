//! One instrument played by more players at once than can play it, within the programme.

use super::{About, Case, Degree, Finding, Rule};
use crate::moves::Crowd;

/// Sets of lines of different players that share an instrument and overlap in time.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    case.timetable.crowds(case.library).iter().map(|crowd| finding(case, crowd)).collect()
}

fn finding(case: &Case<'_>, crowd: &Crowd<'_>) -> Finding {
    let name = case.library.instrument_name(crowd.instrument);
    let many = if crowd.lines.len() > 2 { "Three players need" } else { "Two players need" };
    let lines: Vec<String> = crowd.lines.iter().map(|taken| case.line_words(&taken.line)).collect();
    let remedy = if lines.len() > 2 {
        "Two can play it at once. Assign two of them to one player, or another instrument to one of them."
    } else {
        "Assign both to one player, or another instrument to one of them."
    };
    let about = crowd.lines.iter().rev().map(|taken| About::Line(taken.line.clone()));
    Finding::new(Rule::SharedAtOnce, Degree::Clash, format!("{many} {name} at m. {}", crowd.measure))
        .why(format!("{}.", super::listed(&lines, "and")))
        .remedy(remedy)
        .about(about.chain([About::Instrument(crowd.instrument.clone())]))
}
