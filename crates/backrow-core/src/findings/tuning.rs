//! Instruments that tonight’s music would let be heard out of tune: against the orchestra and against each other; and those that
//! are tuned to another A than the programme’s, where no notes are known that could tell whether it is heard.

use super::{About, Case, Degree, Finding, Rule};
use crate::collection::Instrument;
use crate::days::Days;
use crate::id::InstrumentId;
use crate::moves::AssignedLine;
use crate::music::{Dynamic, Line, Timeline};
use crate::pitch::{KeyNumber, signed};
use crate::tonight::{
    Between, Exposed, Ground, Hall, Heard, against_orchestra, better, between_notes, exposed, offset,
};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// Less than this is not worth a word, cents. Common practice; no source.
const LEAST_CENTS: f64 = 2.0;

/// From this distance on a soft or exposed note is worth care and not only a note, cents: an interval heard as off by amateur
/// musicians (Hill & Summers, J. Acoust. Soc. Am. 121, 2376 (2007)).
const CARE_CENTS: f64 = 10.0;

/// A line on one of its instruments.
struct On<'a> {
    taken: &'a AssignedLine,
    line: &'a Line,
    timeline: &'a Timeline,
    thing: &'a Instrument,
}

/// What is heard, and what is merely stated.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let hall = Hall::of(case.library, Some(case.programme));
    let all = pitched(case);
    let mut found = against(case, hall, &all);
    let told: BTreeSet<InstrumentId> =
        found.iter().flat_map(|finding| &finding.about).filter_map(thing_of).collect();
    found.extend(against_each_other(case, hall, &all));
    found.extend(other_a(case, hall, &told));
    found
}

fn thing_of(about: &About) -> Option<InstrumentId> {
    if let About::Instrument(id) = about { Some(id.clone()) } else { None }
}

/// Every line that is played on something with bars. Drums that are tuned by ear tonight are none of this.
fn pitched<'a>(case: &Case<'a>) -> Vec<On<'a>> {
    let on = |taken: &'a AssignedLine| {
        let library = case.library;
        let found = library.line(&taken.line);
        let timeline = found.and_then(|(work, line)| Some(&work.movement(&line.movement)?.timeline));
        let things =
            taken.instruments.iter().filter_map(|id| library.instruments.get(id)).map(|thing| &**thing);
        let things = things.filter(|thing| thing.is_pitched() && !thing.is_tuned_by_ear());
        found
            .zip(timeline)
            .into_iter()
            .flat_map(move |((_, line), timeline)| {
                things.clone().map(move |thing| On { taken, line, timeline, thing })
            })
            .collect::<Vec<_>>()
    };
    case.timetable.lines.iter().flat_map(on).collect()
}

/// One finding for each instrument that is heard against the orchestra, with its worst note.
fn against(case: &Case<'_>, hall: Hall, all: &[On<'_>]) -> Vec<Finding> {
    let mut by_thing: BTreeMap<&InstrumentId, Vec<(&On<'_>, Vec<Heard>)>> = BTreeMap::new();
    for on in all {
        let heard = against_orchestra(case.library, (on.line, on.timeline), on.thing, hall);
        if !heard.is_empty() {
            by_thing.entry(&on.thing.id).or_default().push((on, heard));
        }
    }
    by_thing.into_values().filter_map(|lines| one_thing(case, hall, &lines)).collect()
}

fn one_thing(case: &Case<'_>, hall: Hall, lines: &[(&On<'_>, Vec<Heard>)]) -> Option<Finding> {
    let worst = lines.iter().filter_map(|(on, heard)| Some((*on, heard.first()?)));
    let (on, heard) = worst.max_by(|a, b| a.1.swells().total_cmp(&b.1.swells()))?;
    let notes: usize = lines.iter().map(|(_, heard)| heard.len()).sum();
    let cents = heard.cents();
    let is_soft = heard.note.counted || heard.note.dynamic.is_some_and(|dynamic| dynamic <= Dynamic::P);
    let degree = if is_soft && cents.abs() >= CARE_CENTS { Degree::Care } else { Degree::Note };
    let way = if cents < 0.0 { "below" } else { "above" };
    let whom = if heard.offset.is_by_winds() { "the winds" } else { "the orchestra" };
    let own = matches!(heard.offset.ground, Ground::Measured(_) | Ground::Register);
    let bar = if own { format!("{} of ", heard.note.key) } else { String::new() };
    let what = format!("{bar}{} is {:.0} cents {way} {whom}", on.thing.name, cents.abs());
    let about = std::iter::once(About::Line(on.taken.line.clone()))
        .chain([About::Instrument(on.thing.id.clone())])
        .chain(
            lines
                .iter()
                .map(|(on, _)| About::Line(on.taken.line.clone()))
                .filter(|a| *a != About::Line(on.taken.line.clone())),
        );
    Some(
        Finding::new(Rule::OutOfTune, degree, what)
            .why(why(case.library.days(), heard, hall, notes))
            .remedy(remedy(case, hall, on))
            .about(about.collect::<Vec<_>>()),
    )
}

fn why(days: Days, heard: &Heard, hall: Hall, notes: usize) -> String {
    let offset = &heard.offset;
    let mut words = format!(
        "{}: {:.1} beats a second. Against the A {} cents, {}",
        heard.note.words(),
        heard.beats_hz,
        signed(offset.cents, 1),
        offset.ground.words(days)
    );
    // Writing to a string cannot fail.
    _ = match offset.drift {
        Some(drift) => write!(words, ", {} of it by {}\u{202F}°C", signed(drift, 1), hall.celsius),
        None => write!(words, "; how its material moves with the temperature is not known"),
    };
    if offset.is_by_winds() {
        _ = write!(
            words,
            ". Winds lie some {} cents from the A at {}\u{202F}°C if nobody holds them",
            signed(offset.winds, 0),
            hall.celsius
        );
    }
    words.push('.');
    if notes > 1 {
        _ = write!(words, " {notes} notes last long enough to be heard.");
    }
    words
}

/// Another instrument that sits better, or the tuner.
fn remedy(case: &Case<'_>, hall: Hall, on: &On<'_>) -> String {
    let alike =
        case.library.instruments.values().map(|thing| &**thing).filter(|thing| thing.kind == on.thing.kind);
    let fits = better(case.library, (on.line, on.timeline), alike, hall);
    let own = fits.iter().find(|fit| fit.instrument == on.thing.id);
    let nearer = fits.first().zip(own).filter(|(first, own)| {
        first.reached >= own.reached
            && first.cents.unwrap_or(f64::MAX) + LEAST_CENTS < own.cents.unwrap_or(f64::MAX)
    });
    match nearer {
        Some((first, _)) => format!(
            "{} is closer: {:.0} cents from {} in the middle.",
            case.library.instrument_name(&first.instrument),
            first.cents.unwrap_or(0.0),
            first.whom()
        ),
        None if on.thing.tuned_to.is_some_and(|a| (a.value() - hall.a.value()).abs() > 0.4) => {
            "None of ours is closer: shorten the notes, play it softer, or hire one at the concert’s A."
                .to_owned()
        }
        None => "None of ours is closer: tell the conductor, or let the tuner see it.".to_owned(),
    }
}

/// Pairs of instruments that strike one pitch at once and beat; each pair once, with its worst moment.
fn against_each_other(case: &Case<'_>, hall: Hall, all: &[On<'_>]) -> Vec<Finding> {
    let mut worst: BTreeMap<(&InstrumentId, &InstrumentId), (Between, &On<'_>, &On<'_>)> = BTreeMap::new();
    let notes = all.iter().map(|on| exposed(on.line, on.timeline, on.thing.material));
    let all: Vec<(&On<'_>, Vec<Exposed>)> = all.iter().zip(notes).collect();
    for (at, (one, mine)) in all.iter().enumerate() {
        let with = all.iter().skip(at + 1).filter(|(other, _)| {
            other.thing.id != one.thing.id
                && other.taken.line.work == one.taken.line.work
                && other.taken.movement == one.taken.movement
        });
        for (other, theirs) in with {
            let pair = ((mine.as_slice(), one.thing), (theirs.as_slice(), other.thing));
            let Some(found) = between_notes(case.library, pair.0, pair.1, hall).into_iter().next() else {
                continue;
            };
            let ids = (&one.thing.id, &other.thing.id);
            let pair = if ids.0 <= ids.1 { ids } else { (ids.1, ids.0) };
            if worst.get(&pair).is_none_or(|(old, ..)| old.beats_hz < found.beats_hz) {
                worst.insert(pair, (found, one, other));
            }
        }
    }
    worst.into_values().map(|(found, one, other)| pair_words(&found, one, other)).collect()
}

fn pair_words(found: &Between, one: &On<'_>, other: &On<'_>) -> Finding {
    let what = format!("{} and {} beat against each other", one.thing.name, other.thing.name);
    let apart = match found.octaves {
        0 => "in unison".to_owned(),
        1 => "an octave apart".to_owned(),
        n => format!("{n} octaves apart"),
    };
    let why = format!(
        "{}, {apart}: {:.1} cents between them, {:.1} beats a second.",
        found.note.words(),
        found.cents.abs(),
        found.beats_hz
    );
    Finding::new(Rule::BeatTogether, Degree::Note, what)
        .why(why)
        .remedy("Use two instruments of one tuning, or play one of the two lines softer.")
        .about([
            About::Line(one.taken.line.clone()),
            About::Instrument(one.thing.id.clone()),
            About::Line(other.taken.line.clone()),
            About::Instrument(other.thing.id.clone()),
        ])
}

/// Instruments of the programme that are said to be tuned elsewhere by [`LEAST_CENTS`] or more, in lines whose notes nobody has
/// entered: where the notes are known, they decide, and what they hide is not told. Nor is it where a survey, or the air, has them
/// nearer than that tonight.
fn other_a(case: &Case<'_>, hall: Hall, told: &BTreeSet<InstrumentId>) -> Vec<Finding> {
    let mut seen = told.clone();
    let unknown = case.given().filter(|taken| !has_notes(case, taken));
    let used = unknown.flat_map(|taken| taken.instruments.iter().map(move |id| (id, taken)));
    let mut found = Vec::new();
    for (id, taken) in used {
        let Some(thing) = case.library.instruments.get(id).filter(|_| seen.insert(id.clone())) else {
            continue;
        };
        let Some(a) = thing.tuned_to else { continue };
        let cents = a.frequency(KeyNumber::A4).cents_above(hall.a.frequency(KeyNumber::A4)).value();
        let known = offset(case.library, thing, None, hall).map_or(cents, |found| found.cents);
        if cents.abs().min(known.abs()) < LEAST_CENTS {
            continue;
        }
        let way = if cents < 0.0 { "below" } else { "above" };
        let what = format!("{} is tuned to A {}", thing.name, a.value());
        found.push(
            Finding::new(Rule::OtherA, Degree::Note, what)
                .why(format!(
                    "{:.1} cents {way} the orchestra’s A {}. The line’s notes are not entered, so nobody can tell yet whether it is heard.",
                    cents.abs(),
                    hall.a.value()
                ))
                .about([About::Instrument(id.clone()), About::Line(taken.line.clone())]),
        );
    }
    found
}

/// Whether a line has notes that say what is exposed.
fn has_notes(case: &Case<'_>, taken: &AssignedLine) -> bool {
    let found = case.library.line(&taken.line);
    found.is_some_and(|(work, line)| {
        let movement = work.movement(&line.movement);
        movement.is_some_and(|m| line.strokes(&m.timeline).iter().any(|stroke| stroke.note().is_some()))
    })
}
