//! A beater that does damage to what it is to strike, as far as the trade agrees. It warns and does not forbid.

use super::{About, Case, Degree, Finding, ShowsOn};

/// Beaters given to a call whose instrument's kind they harm.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for taken in case.given() {
        let of_things = taken
            .instruments
            .iter()
            .filter_map(|id| case.library.instruments.get(id))
            .map(|thing| &thing.kind);
        let kinds: Vec<_> =
            if taken.instruments.is_empty() { taken.kind.iter().collect() } else { of_things.collect() };
        for beater in taken.beaters.iter().filter_map(|id| case.library.beaters.get(id)) {
            let harmed = kinds
                .iter()
                .filter_map(|id| case.library.kinds.get(*id))
                .find(|kind| kind.harmful.contains(&beater.head));
            let Some(kind) = harmed else { continue };
            found.push(Finding {
                code: "harmful-beater",
                degree: Degree::Care,
                shows_on: ShowsOn::Section,
                what: format!("{} may harm the {}", sentence(&beater.name), kind.name()),
                detail: format!(
                    "{} heads are not usual on it, in {}. Choose others, or agree with whoever owns it.",
                    sentence(beater.head.word()),
                    case.call_words(&taken.call)
                ),
                about: vec![About::Call(taken.call.clone())],
                fix: None,
            });
        }
    }
    found
}

fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
