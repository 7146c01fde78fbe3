//! A player in two places at once, or without the seconds to get from one to the other.

use super::{About, Case, Degree, Finding, Rule, sentence};
use crate::moves::{Aside, AssignedLine, Move, Post};
use crate::music::{MeasureName, stretch_words};
use crate::seconds::{Round, text};
use crate::week::LineRef;
use std::collections::BTreeSet;

/// Every pair of lines of one player that one player cannot take; the worst moment of each pair.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let players: BTreeSet<_> = case.given().filter_map(|taken| taken.player.as_ref()).collect();
    for player in players {
        let mine: Vec<&AssignedLine> =
            case.given().filter(|taken| taken.player.as_ref() == Some(player)).collect();
        for (at, one) in mine.iter().enumerate() {
            for other in mine.iter().skip(at + 1) {
                let conflicts = case.timetable.conflicts(one, other);
                let worst = conflicts.iter().min_by_key(|step| step.spare_us());
                if let Some(worst) = worst {
                    found.push(finding(case, player, worst));
                }
            }
        }
    }
    for taken in case.given() {
        let Some(given) = case.programme.given(&taken.line) else { continue };
        let mut asides = case.timetable.asides(case.library, taken, given);
        asides.retain(|aside| !aside.step.fits());
        found.extend(elsewhere(case, taken, &asides));
        found.extend(mallets(case, taken, &asides));
    }
    found
}

/// The worst change between two and four mallets within a line where the seconds lack.
fn mallets(case: &Case<'_>, taken: &AssignedLine, short: &[Aside]) -> Option<Finding> {
    let changes = short.iter().filter(|aside| aside.elsewhere().is_none());
    let worst = changes.min_by_key(|aside| aside.step.spare_us())?;
    let count = if worst.mallets()? == 4 { "four" } else { "two" };
    let step = &worst.step;
    let measures = (&step.from.measure, &step.to.measure);
    let place = place(case, &who(case, taken), &taken.line, measures);
    let lacking = text(-step.spare_us(), Round::Up);
    let why = format!(
        "In {} there are {count} mallets from m. {}. {}",
        case.line_words(&taken.line),
        step.to.measure,
        has_and_needs(worst)
    );
    let player = taken.player.iter().cloned().map(About::Player);
    Some(
        Finding::new(
            Rule::TooShort,
            Degree::Clash,
            format!("{lacking}\u{202F}s short to change to {count} mallets: {place}"),
        )
        .why(why)
        .remedy("Agree on a note to leave out for the change, or play on with four mallets.")
        .about([About::Line(taken.line.clone())].into_iter().chain(player)),
    )
}

/// "L. Brandt, Lanterns on the Estuary II, mm. 104–108": who and where. It stands after what lacks, as rows are cut at the end.
fn place(case: &Case<'_>, who: &str, line: &LineRef, (from, to): (&MeasureName, &MeasureName)) -> String {
    format!("{who}, {}, {}", case.movement_words(line), stretch_words(from, to))
}

/// The player of a line; the line itself while nobody plays it.
fn who(case: &Case<'_>, taken: &AssignedLine) -> String {
    taken.player.as_ref().map_or_else(|| sentence(&taken.name), |player| case.library.player_name(player))
}

/// "1.0 s from stroke to stroke; 2.7 s needed for 2.0 m."
fn has_and_needs(aside: &Aside) -> String {
    let step = &aside.step;
    let guessed = if aside.estimated {
        " When each note is struck is not known, so notes are taken to be even within their measures."
    } else {
        ""
    };
    format!(
        "{}\u{202F}s from stroke to stroke; {}\u{202F}s needed for {}.{guessed}",
        text(step.has_us, Round::Down),
        text(step.need.us(), Round::Up),
        step.need.words()
    )
}

/// The worst move of a line to a note that is played on another instrument, or back, where the seconds lack.
fn elsewhere(case: &Case<'_>, taken: &AssignedLine, short: &[Aside]) -> Option<Finding> {
    let moves = short.iter().filter(|aside| aside.elsewhere().is_some());
    let worst = moves.min_by_key(|aside| aside.step.spare_us())?;
    let (step, on) = (&worst.step, worst.elsewhere()?);
    let thing = case.library.instrument_name(on);
    let way = if step.to.elsewhere.is_some() { "to" } else { "back from" };
    let lacking = text(-step.spare_us(), Round::Up);
    let measures = (&step.from.measure, &step.to.measure);
    let place = place(case, &who(case, taken), &taken.line, measures);
    let what = format!("{lacking}\u{202F}s short {way} {thing}: {place}");
    let why = format!(
        "In {} {} is played on {thing}. {}",
        case.line_words(&taken.line),
        worst.key(),
        has_and_needs(worst)
    );
    let player = taken.player.iter().cloned().map(About::Player);
    let about = [About::Line(taken.line.clone()), About::Instrument(on.clone())].into_iter().chain(player);
    Some(
        Finding::new(Rule::NoteElsewhere, Degree::Clash, what)
            .why(why)
            .remedy("Decide otherwise about the note, or move the instruments closer together.")
            .about(about),
    )
}

fn finding(case: &Case<'_>, player: &crate::id::PlayerId, step: &Move) -> Finding {
    let name = case.library.player_name(player);
    let (mut from, mut to) = (case.line_words(&step.from.line), case.line_words(&step.to.line));
    // The walk is from there, and not from what the line is played on.
    let on = |post: Option<Post<'_>>| {
        post.and_then(|post| post.elsewhere()).map(|id| case.library.instrument_name(id))
    };
    if let Some(thing) = on(case.timetable.at(&step.from).and_then(|at| at.leaves())) {
        from = format!("{from}, which ends on {thing}");
    }
    if let Some(thing) = on(case.timetable.at(&step.to).and_then(|at| at.comes())) {
        to = format!("{to}, which begins on {thing}");
    }
    let (rule, what, how) = if step.both_sound() {
        (
            Rule::DoubleBooked,
            format!(
                "Two lines at once: {name}, {}, m. {}",
                case.movement_words(&step.to.line),
                step.to.measure
            ),
            "Both sound at once.".to_owned(),
        )
    } else {
        let lacking = text(-step.spare_us(), Round::Up);
        let place = place(case, &name, &step.to.line, (&step.from.measure, &step.to.measure));
        let how = format!(
            "{}\u{202F}s available; {}\u{202F}s needed for {}.",
            text(step.has_us, Round::Down),
            text(step.need.us(), Round::Up),
            step.need.words()
        );
        (Rule::TooShort, format!("{lacking}\u{202F}s short: {place}"), how)
    };
    Finding::new(rule, Degree::Clash, what)
        .why(format!("{from}, then {to}. {how}"))
        .remedy("Assign one to another player, or move the instruments closer together.")
        .about([
            About::Line(step.to.line.clone()),
            About::Line(step.from.line.clone()),
            About::Player(player.clone()),
        ])
        // The later line, else the earlier.
        .fix(case.to_another(&[&step.to.line, &step.from.line]))
}
