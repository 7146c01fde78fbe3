//! One instrument in two players' hands at once within the programme.

use super::{About, Case, Degree, Finding, ShowsOn};
use crate::moves::Taken;

/// Pairs of calls of different players that share an instrument and overlap in time.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let calls: Vec<&Taken> = case.given().filter(|taken| !taken.instruments.is_empty()).collect();
    for (at, one) in calls.iter().enumerate() {
        for other in calls.iter().skip(at + 1) {
            if one.player == other.player || !one.same_movement(other) {
                continue;
            }
            let Some(shared) = one.instruments.iter().find(|id| other.instruments.contains(id)) else {
                continue;
            };
            let Some(measure) = overlap(one, other) else { continue };
            let name = case.library.instrument_name(shared);
            found.push(Finding {
                code: "two-hands",
                degree: Degree::Clash,
                shows_on: ShowsOn::Section,
                what: format!("{name} is in two hands at m. {measure}"),
                detail: format!(
                    "{} and {}. Give both to one player, or another instrument to one of them.",
                    case.call_words(&one.call),
                    case.call_words(&other.call)
                ),
                about: vec![
                    About::Call(other.call.clone()),
                    About::Call(one.call.clone()),
                    About::Instrument(shared.clone()),
                ],
                fix: None,
            });
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
