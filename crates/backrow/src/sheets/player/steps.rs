//! Stations and the moves between them.

use super::super::names;
use super::{Case, SPARE_S, letters, mallets, shared, too_short, tuning};
use backrow_core::id::{InstrumentId, WorkId};
use backrow_core::lacking::{Lack, lacking};
use backrow_core::moves::{Arrival, AssignedLine, Edge, Move as Step0};
use backrow_core::music::{MeasureName, Movement, Timeline, Work};
use backrow_core::seconds::{Change, Round, tenths_s};
use backrow_print::player::{Move, MoveState, Passage, Station, Step, With};
use std::collections::BTreeSet;

/// Stations that were explained already in this work.
pub(super) type Seen = BTreeSet<Vec<InstrumentId>>;

/// Where the player is: the line of the station, what sounds together there now, and when the last of it ends.
struct Held<'a> {
    own: &'a AssignedLine,
    group: Vec<&'a AssignedLine>,
    end_us: i64,
}

impl<'a> Held<'a> {
    fn new(taken: &'a AssignedLine, passage: usize) -> Self {
        let end_us = taken.spans.get(passage).map_or(0, |span| span.to_us);
        Self { own: taken, group: vec![taken], end_us }
    }

    /// Whether a passage is played at the same time as what sounds here.
    fn takes_along(&self, taken: &AssignedLine, from_us: i64) -> bool {
        from_us < self.end_us && self.group.iter().any(|one| one.together.contains(&taken.line))
    }
}

/// Everything that the player does in a movement, in order; empty when silent. What is played at once stands in one bracket,
/// and the rest after it is counted from the end of the longer.
pub(super) fn steps(case: &Case<'_>, work: &Work, movement: &Movement, seen: &mut Seen) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut held: Option<Held<'_>> = None;
    for Arrival { to: at, tightest, since, together } in arrivals(case, &work.id, movement) {
        let Some(taken) = case.timetable.line(&at.line) else { continue };
        let Some(span) = taken.spans.get(at.passage) else { continue };
        if let Some(now) = held.as_mut() {
            if now.takes_along(taken, span.from_us) {
                // Whoever is in time for the one may be too late for the other: the way to the station is that with less to spare.
                if let Some(step) = tightest.filter(|_| !together) {
                    let rest = rest(&movement.timeline, &step, case);
                    tighten(&mut steps, way(case, &step, taken, (rest, false)));
                }
                if let Some(Step::Play(station)) = steps.last_mut()
                    && let Some(passage) = station.passages.last_mut()
                {
                    let mut with = with(case, taken, at.passage, seen);
                    let all = now.group.iter().chain([&taken]).flat_map(|one| &one.instruments);
                    if let Some(words) = out_of_reach(case, all) {
                        with.note = joined([words, with.note]);
                    }
                    passage.with.push(with);
                }
                now.end_us = now.end_us.max(span.to_us);
                now.group.push(taken);
                continue;
            }
            let station = steps.iter_mut().next_back();
            if let (Some(step), Some(since)) = (tightest, since) {
                let rest = rest(&movement.timeline, &since, case);
                // From what sounded beside the station there may be a way back to it.
                if same_station(now.own, taken) && (step.need.same_place || together) {
                    if let Some(Step::Play(station)) = station {
                        let mut passage = passage(case, taken, at.passage);
                        passage.rest_measures = rest;
                        passage.has_s = Some(tenths_s(since.has_us.max(0), Round::Down));
                        passage.words = straight_on(&since, rest);
                        station.passages.push(passage);
                    }
                    *now = Held { own: now.own, ..Held::new(taken, at.passage) };
                    continue;
                }
                steps.push(Step::Move(way(case, &step, taken, (rest, together))));
            }
        }
        steps.push(Step::Play(station(case, taken, at.passage, seen)));
        held = Some(Held::new(taken, at.passage));
    }
    tempo_once(&mut steps);
    steps
}

/// Puts a way in the place of the one before the last station where it leaves less time.
fn tighten(steps: &mut [Step], tighter: Move) {
    if let [.., Step::Move(before), Step::Play(_)] = steps {
        let spare = |way: &Move| way.has_s.zip(way.needs_s).map(|(has, needs)| has - needs);
        if spare(&tighter) < spare(before) {
            *before = tighter;
        }
    }
}

/// Tempo words stand where they change, not at every passage.
fn tempo_once(steps: &mut [Step]) {
    let mut last = String::new();
    let stations = steps.iter_mut().filter_map(|step| match step {
        Step::Play(station) => Some(station),
        Step::Move(_) => None,
    });
    for passage in stations.flat_map(|station| &mut station.passages) {
        if passage.tempo == last {
            passage.tempo.clear();
        } else {
            last.clone_from(&passage.tempo);
        }
    }
}

fn passage(case: &Case<'_>, taken: &AssignedLine, at: usize) -> Passage {
    let Some(span) = taken.spans.get(at) else { return Passage::default() };
    let measures =
        if span.from == span.to { span.from.to_string() } else { format!("{}–{}", span.from, span.to) };
    let work = case.library.works.get(&taken.line.work);
    let timeline = work.and_then(|work| work.movement(&taken.movement)).map(|movement| &movement.timeline);
    Passage {
        measures,
        letter: timeline.map_or_else(String::new, |timeline| letters::counted(timeline, &span.from)),
        tempo: timeline.map_or_else(String::new, |timeline| letters::tempo(timeline, &span.from)),
        mallets: mallets::words(case, taken, span),
        ..Passage::default()
    }
}

/// Less than that between two passages is no rest, microseconds. Ours: a last note is rarely held for its whole length.
const STRAIGHT_ON_US: i64 = 1_000_000;

/// How a passage of a station follows the one before where the rest alone does not say it: straight on, or over a repeat, as printed
/// measures go back. Whoever counted on would be lost.
fn straight_on(step: &Step0, rest: u32) -> String {
    let number = |name: &MeasureName| name.as_str().parse::<u32>().ok();
    let back = number(&step.from.measure).zip(number(&step.to.measure)).is_some_and(|(a, b)| b <= a);
    let is_rest = rest > 0 || step.has_us >= STRAIGHT_ON_US;
    match (back, is_rest, rest) {
        (false, true, _) => String::new(),
        (false, false, _) => "straight on".to_owned(),
        (true, false, _) => "the repeat, straight on".to_owned(),
        (true, true, 0) => "less than a measure’s rest, over the repeat".to_owned(),
        (true, true, 1) => "1 measure’s rest, over the repeat".to_owned(),
        (true, true, rest) => format!("{rest} measures’ rest, over the repeat"),
    }
}

/// A line that sounds together with a passage.
fn with(case: &Case<'_>, taken: &AssignedLine, at: usize, seen: &mut Seen) -> With {
    let station = station(case, taken, at, seen);
    let missing =
        if station.missing.is_empty() { String::new() } else { format!("missing: {}", station.missing) };
    let passage = passage(case, taken, at);
    let parts = [passage.mallets, station.stand, missing, station.shared, station.note, station.caution];
    With {
        measures: passage.measures,
        letter: passage.letter,
        number: station.number,
        instrument: station.instrument,
        beaters: station.beaters,
        note: joined(parts),
    }
}

/// What there is of these, with semicolons between.
fn joined(parts: impl IntoIterator<Item = String>) -> String {
    parts.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ")
}

/// "out of reach: 1.76 m from the best place, your reach is 0.90 m"; `None` where one place reaches all, or too little of it stands.
fn out_of_reach<'a>(case: &Case<'_>, things: impl Iterator<Item = &'a InstrumentId>) -> Option<String> {
    let things: BTreeSet<&InstrumentId> = things.collect();
    let (metres, reach_m) = (case.plan.reach_m(things)?, case.library.orchestra.habits.reach_m);
    (metres > reach_m).then(|| {
        format!(
            "out of reach: {metres:.2}\u{202F}m from the best place, the section’s reach is {reach_m:.2}\u{202F}m"
        )
    })
}

fn arrivals(case: &Case<'_>, work: &WorkId, movement: &Movement) -> Vec<Arrival> {
    let here = |arrival: &Arrival| {
        arrival.to.line.work == *work
            && case.timetable.line(&arrival.to.line).is_some_and(|taken| taken.movement == movement.id)
    };
    case.timetable.arrivals(&case.player.id).into_iter().filter(here).collect()
}

fn same_station(one: &AssignedLine, other: &AssignedLine) -> bool {
    let nothing = one.instruments.is_empty();
    one.line == other.line
        || (!nothing && one.instruments == other.instruments && one.beaters == other.beaters)
}

/// Whole measures between two passages, as they are played.
fn rest(timeline: &Timeline, step: &Step0, case: &Case<'_>) -> u32 {
    let span = |edge: &Edge| case.timetable.at(edge).and_then(|at| at.span());
    let (Some(from), Some(to)) = (span(&step.from), span(&step.to)) else { return 0 };
    let (end, begin) = (from.to_us as f64 / 1e6 - 1e-3, to.from_us as f64 / 1e6 + 1e-3);
    let (Some(last), Some(first)) = (timeline.index_at(end), timeline.index_at(begin)) else { return 0 };
    u32::try_from(first.saturating_sub(last).saturating_sub(1)).unwrap_or(u32::MAX)
}

fn way(case: &Case<'_>, step: &Step0, to: &AssignedLine, (rest_measures, together): (u32, bool)) -> Move {
    let (has, needs) = (tenths_s(step.has_us.max(0), Round::Down), tenths_s(step.need.us(), Round::Up));
    let spare = step.spare_us() as f64 / 1e6;
    let state = if !step.fits() && !together {
        MoveState::Clash
    } else if spare < SPARE_S {
        MoveState::Care
    } else {
        MoveState::Ok
    };
    let mut how = Vec::new();
    match step.need.steps {
        0 => {}
        1 => how.push("a step up or down on the route".to_owned()),
        n => how.push(format!("{n} steps up or down on the route")),
    }
    if let Some(change @ Change::Take(_)) = step.need.change {
        how.push(change.words().to_owned());
    }
    if step.need.assumed {
        how.push("assumed".to_owned());
    }
    if step.both_sound() {
        how.push("both sound at once".to_owned());
    }
    // The last note before may be one that was decided to be played on another instrument.
    let leaves = case.timetable.at(&step.from).and_then(|at| at.leaves());
    if let Some(id) = leaves.and_then(|post| post.elsewhere()).filter(|_| !step.need.same_place) {
        how.push(format!("from {}", case.library.instrument_name(id)));
    }
    // The metres are to one of a line's instruments: that one is named.
    let nearest = case.timetable.route(step).filter(|_| !step.need.same_place).map(|route| route.to);
    let comes = case.timetable.at(&step.to).and_then(|at| at.comes());
    let all = comes.map_or(to.instruments.as_slice(), |post| post.stance.instruments.as_slice());
    let number = names::numbers(case.programme, nearest.map_or(all, std::slice::from_ref));
    Move {
        to: if number == "–" { things_of(case, to, all) } else { number },
        metres: (!step.need.same_place).then_some(step.need.metres),
        change_beaters: step.need.change.is_some(),
        rest_measures,
        has_s: Some(has),
        needs_s: Some(needs),
        short_s: (needs - has).max(0.0),
        state,
        how: how.join("; "),
        changed: false,
    }
}

fn thing_of(case: &Case<'_>, taken: &AssignedLine) -> String {
    things_of(case, taken, &taken.instruments)
}

/// The names of what is stood at for a line, which need not be its own instruments.
fn things_of(case: &Case<'_>, taken: &AssignedLine, instruments: &[InstrumentId]) -> String {
    let names = names::instruments(case.library, instruments);
    if names.is_empty() { format!("{}, instrument open", taken.name) } else { names }
}

fn station(case: &Case<'_>, taken: &AssignedLine, at: usize, seen: &mut Seen) -> Station {
    let fresh = seen.insert(taken.instruments.clone());
    let loud = !taken.loud_kinds(case.library).is_empty();
    Station {
        number: names::numbers(case.programme, &taken.instruments),
        instrument: thing_of(case, taken),
        beaters: names::beaters(case.library, taken.beaters.iter()),
        stand: if fresh { stand(case, taken) } else { String::new() },
        shared: shared::words(case, taken, at),
        missing: missing(case, taken, at),
        note: joined([
            out_of_reach(case, taken.instruments.iter()).filter(|_| fresh).unwrap_or_default(),
            tuning::words(case, taken, at),
        ]),
        caution: if loud && fresh {
            "Loud: protect your ears and your neighbours’.".to_owned()
        } else {
            String::new()
        },
        changed: false,
        passages: vec![passage(case, taken, at)],
    }
}

/// Where to stand: behind which number, and beside which.
fn stand(case: &Case<'_>, taken: &AssignedLine) -> String {
    let mine: Vec<_> = taken.instruments.iter().filter_map(|id| case.plan.thing(id)).collect();
    let Some(first) = mine.first() else { return "not on the plan yet".to_owned() };
    let place = first.standing.place;
    let mut near: Vec<(f64, u32)> = case
        .plan
        .things
        .iter()
        .filter(|thing| !taken.instruments.contains(&thing.instrument))
        .map(|thing| (thing.placement.at.distance(place), thing.placement.number))
        .filter(|(metres, _)| *metres < NEAR_M)
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let behind = format!("behind {}", names::numbers(case.programme, &taken.instruments));
    match near.as_slice() {
        [] => behind,
        [one] => format!("{behind}, beside {}", one.1),
        [one, other, ..] => format!("{behind}, beside {} and {}", one.1.min(other.1), one.1.max(other.1)),
    }
}

/// As far as this a thing is named as standing beside one, metres. Ours.
const NEAR_M: f64 = 1.8;

/// Notes that the line's instruments do not have, with their measures and what was decided; told where the line begins.
fn missing(case: &Case<'_>, taken: &AssignedLine, at: usize) -> String {
    let Some((_, line)) = case.library.line(&taken.line).filter(|_| at == 0) else { return String::new() };
    let given = case.programme.assignment(&taken.line);
    let lacks = lacking(case.library, line, &given);
    let asides = case.timetable.asides(case.library, taken, &given);
    // The move to a note that is played elsewhere, or back, where the seconds lack: the worst of them.
    let short = |lack: &Lack| {
        let of_note = asides.iter().filter(|aside| aside.elsewhere().is_some() && aside.key() == lack.key);
        let worst = of_note.min_by_key(|aside| aside.step.spare_us());
        worst.map_or_else(String::new, too_short)
    };
    let word = |lack: &Lack| {
        let decided = lack.decided.as_ref().map_or_else(
            || "not decided yet".to_owned(),
            |instead| instead.words(|id| case.library.instrument_name(id)),
        );
        let dead = if lack.dead { ", dead" } else { "" };
        format!("{} ({}{dead}): {decided}{}", lack.written, lack.measures_words(), short(lack))
    };
    lacks.iter().map(word).collect::<Vec<_>>().join("; ")
}
