//! What drums are tuned to and when they are retuned, as no keyboard can show it.

use super::Case;
use backrow_core::collection::Layout;
use backrow_core::moves::AssignedLine;
use backrow_core::sets::{LinePlan, line_plan};
use backrow_core::timpani::{impossible_words, seconds};

/// Where the line begins, the tunings and every retuning; where it goes on, what the drums are tuned to by then.
pub(super) fn words(case: &Case<'_>, taken: &AssignedLine, at: usize) -> String {
    let Some((_, line)) = case.library.line(&taken.line) else { return String::new() };
    let given = case.programme.assignment(&taken.line);
    let Some(row) = line_plan(case.library, line, &given) else { return notes(case, taken, line) };
    if at == 0 {
        return whole(&row);
    }
    let begin = taken.spans.get(at).map_or(0, |span| span.from_us);
    let Ok(plan) = &row.answer else { return String::new() };
    let tuned = plan.tuned_at(begin);
    let tuned = row
        .drums
        .iter()
        .zip(tuned)
        .filter_map(|(one, key)| Some(format!("{} drum {}", one.drum.name, row.spelling.of(key?))));
    format!("Tuned: {}.", tuned.collect::<Vec<_>>().join("; "))
}

fn whole(line: &LinePlan) -> String {
    if let Err(why) = &line.answer {
        return impossible_words(why, &line.spelling);
    }
    let starts: Vec<String> = line
        .starts()
        .iter()
        .map(|(one, key)| format!("{} drum {}", one.drum.name, line.spelling.of(*key)))
        .collect();
    let mut words = vec![format!("Tune: {}.", starts.join("; "))];
    for (one, change) in line.changes() {
        let heard = if change.heard { ", while others are struck" } else { "" };
        words.push(format!(
            "{}: {} drum from {} to {}{heard} ({}, needs {}).",
            change.measures(),
            one.drum.name,
            line.spelling.of(change.from),
            line.spelling.of(change.to),
            seconds(change.have_us),
            seconds(change.need_us)
        ));
    }
    words.join(" ")
}

/// Other drums with pitches: which.
fn notes(case: &Case<'_>, taken: &AssignedLine, line: &backrow_core::music::Line) -> String {
    let mut things = taken.instruments.iter().filter_map(|id| case.library.instruments.get(id)).peekable();
    let drums = things.peek().is_some() && things.all(|thing| thing.layout == Layout::Drums);
    if drums && line.is_pitched() { format!("notes {}", line.sounding_words()) } else { String::new() }
}
