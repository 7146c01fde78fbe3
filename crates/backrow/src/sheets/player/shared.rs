//! Who else uses an instrument in the same movement.

use super::super::names;
use super::Case;
use backrow_core::moves::{AssignedLine, Span};
use backrow_core::music::stretch_words;

/// "SI plays 4 from m. 66"; who had it last before, and who has it next. Empty when nobody shares it.
pub(super) fn words(case: &Case<'_>, mine: &AssignedLine, passage: usize) -> String {
    let Some(here) = mine.spans.get(passage) else { return String::new() };
    let last = mine.spans.last().unwrap_or(here);
    let others: Vec<(&AssignedLine, &Span)> = case
        .timetable
        .lines
        .iter()
        .filter(|taken| taken.same_movement(mine) && taken.player.as_ref() != Some(&case.player.id))
        .filter(|taken| taken.player.is_some())
        .filter(|taken| taken.instruments.iter().any(|id| mine.instruments.contains(id)))
        .flat_map(|taken| taken.spans.iter().map(move |span| (taken, span)))
        .collect();
    let initials = |taken: &AssignedLine| {
        let player = taken.player.as_ref().and_then(|id| case.library.players.get(id));
        player.map_or_else(|| "another player".to_owned(), |player| player.initials.clone())
    };
    let number = |taken: &AssignedLine| {
        let common: Vec<_> =
            taken.instruments.iter().filter(|id| mine.instruments.contains(id)).cloned().collect();
        names::numbers(case.programme, &common)
    };
    let before =
        others.iter().filter(|(_, span)| span.to_us <= here.from_us).max_by_key(|(_, span)| span.to_us);
    let after =
        others.iter().filter(|(_, span)| span.from_us >= last.to_us).min_by_key(|(_, span)| span.from_us);
    let during = others.iter().find(|(_, span)| span.from_us < last.to_us && here.from_us < span.to_us);
    let mut words = Vec::new();
    if let Some((taken, span)) = before {
        words.push(format!("{} has {} until m. {}", initials(taken), number(taken), span.to));
    }
    if let Some((taken, span)) = during {
        words.push(format!(
            "{} plays on {} too, {}",
            initials(taken),
            number(taken),
            stretch_words(&span.from, &span.to)
        ));
    }
    if let Some((taken, span)) = after {
        words.push(format!(
            "{} needs {} from m. {}: leave it by then",
            initials(taken),
            number(taken),
            span.from
        ));
    }
    words.join("; ")
}
