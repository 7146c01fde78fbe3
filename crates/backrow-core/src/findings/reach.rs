//! What one player plays at once, and stands further apart than the arms reach: two lines or more that are marked as playable
//! together, and a line on several instruments.

use super::{About, Case, Degree, Finding, Rule, listed};
use crate::id::{InstrumentId, WorkId};
use crate::moves::AssignedLine;
use std::collections::BTreeSet;

/// Pairs of lines of one player that sound at once, and lines on several instruments, where no one place reaches all.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    // Once a work: what is told of one is no news of another.
    let mut told: BTreeSet<(&WorkId, BTreeSet<&InstrumentId>)> = BTreeSet::new();
    let lines: Vec<&AssignedLine> = case.given().collect();
    for (at, one) in lines.iter().enumerate() {
        let work = &one.line.work;
        if one.instruments.len() > 1 {
            let name = format!("One line, {}", case.line_words(&one.line));
            found.extend(
                far(case, &[one], &name).filter(|_| told.insert((work, one.instruments.iter().collect()))),
            );
        }
        for other in lines.iter().skip(at + 1) {
            let one_player = one.player.is_some() && one.player == other.player;
            if !one_player || !one.together.contains(&other.line) || !sound_at_once(one, other) {
                continue;
            }
            let name = format!("{} and {} at once", case.line_words(&one.line), case.line_words(&other.line));
            let all = one.instruments.iter().chain(&other.instruments).collect();
            found.extend(far(case, &[one, other], &name).filter(|_| told.insert((work, all))));
        }
        for all in at_once(one, &lines).into_iter().filter(|all| all.len() > 2) {
            let things: BTreeSet<&InstrumentId> = all.iter().flat_map(|taken| &taken.instruments).collect();
            // Where two of them are told to be too far apart, all of them are.
            if told.iter().any(|(known_of, known)| *known_of == work && known.is_subset(&things)) {
                continue;
            }
            let names: Vec<String> = all.iter().map(|taken| case.line_words(&taken.line)).collect();
            let name = format!("{} at once", listed(&names, "and"));
            found.extend(far(case, &all, &name).filter(|_| told.insert((work, things))));
        }
    }
    found
}

/// For each passage of a line, the line with all that its player plays as it begins.
fn at_once<'a>(one: &'a AssignedLine, lines: &[&'a AssignedLine]) -> Vec<Vec<&'a AssignedLine>> {
    let sounds = |other: &AssignedLine, at: i64| {
        other.spans.iter().any(|span| span.from_us == at || span.from_us < at && at < span.to_us)
    };
    let beside = |other: &&&AssignedLine, at: i64| {
        one.player.is_some()
            && one.player == other.player
            && one.together.contains(&other.line)
            && sounds(other, at)
    };
    let set =
        |at: i64| std::iter::once(one).chain(lines.iter().filter(move |other| beside(other, at)).copied());
    one.spans.iter().map(|span| set(span.from_us).collect()).collect()
}

fn sound_at_once(one: &AssignedLine, other: &AssignedLine) -> bool {
    let pairs = one.spans.iter().flat_map(|a| other.spans.iter().map(move |b| (a, b)));
    pairs.into_iter().any(|(a, b)| (a.from_us < b.to_us && b.from_us < a.to_us) || a.from_us == b.from_us)
}

/// The finding where even the best place is too far from one of the things; `None` unless two or more are on the floor.
fn far(case: &Case<'_>, lines: &[&AssignedLine], name: &str) -> Option<Finding> {
    let first = lines.first()?;
    let plan = case.evening.floor(Some(&first.line.work)).plan();
    let things: BTreeSet<&InstrumentId> = lines.iter().flat_map(|taken| &taken.instruments).collect();
    let (metres, reach_m) = (plan.reach_m(things.iter().copied())?, case.library.orchestra.habits.reach_m);
    if metres <= reach_m {
        return None;
    }
    let number = |id: &&InstrumentId| plan.thing(id).map(|stood| stood.placement.number.to_string());
    let numbers: Vec<String> = things.iter().filter_map(number).collect();
    let what = format!("{} are too far apart to reach together", listed(&numbers, "and"));
    let why = format!(
        "{name}: from the best place between them one is {metres:.2}\u{202F}m away; the section’s reach is {reach_m:.2}\u{202F}m."
    );
    let mut about: Vec<About> = lines.iter().map(|taken| About::Line(taken.line.clone())).collect();
    about.extend(things.into_iter().cloned().map(About::Instrument));
    Some(
        Finding::new(Rule::OutOfReach, Degree::Care, what)
            .why(why)
            .remedy("Move them closer together, or assign one to another player.")
            .about(about),
    )
}
