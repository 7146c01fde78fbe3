//! One instrument played by two players at once within the programme.

use super::{About, Case, Degree, Finding, Rule};
use crate::moves::Taken;

/// Pairs of lines of different players that share an instrument and overlap in time.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let lines: Vec<&Taken> = case.given().filter(|taken| !taken.instruments.is_empty()).collect();
    for (at, one) in lines.iter().enumerate() {
        for other in lines.iter().skip(at + 1) {
            if one.player == other.player || !one.same_movement(other) {
                continue;
            }
            let Some(shared) = one.instruments.iter().find(|id| other.instruments.contains(id)) else {
                continue;
            };
            let Some(measure) = overlap(one, other) else { continue };
            let what = format!("Two players need {} at m. {measure}", case.library.instrument_name(shared));
            let both = (case.line_words(&one.line), case.line_words(&other.line));
            found.push(
                Finding::new(Rule::TwoHands, Degree::Clash, what)
                    .why(format!("{} and {}.", both.0, both.1))
                    .remedy("Assign both to one player, or another instrument to one of them.")
                    .about([
                        About::Line(other.line.clone()),
                        About::Line(one.line.clone()),
                        About::Instrument(shared.clone()),
                    ]),
            );
        }
    }
    found
}

/// The measure in which both first sound at once.
fn overlap(one: &Taken, other: &Taken) -> Option<crate::music::MeasureName> {
    one.spans
        .iter()
        .flat_map(|a| other.spans.iter().map(move |b| (a, b)))
        .filter(|(a, b)| a.from_us < b.to_us && b.from_us < a.to_us)
        .map(|(a, b)| if a.from_us > b.from_us { a } else { b })
        .min_by_key(|later| later.from_us)
        .map(|later| later.from.clone())
}
