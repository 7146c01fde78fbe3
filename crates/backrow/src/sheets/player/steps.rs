//! Stations and the moves between them.

use super::super::names;
use super::{Case, SPARE_S, shared, tuning};
use backrow_core::id::{InstrumentId, WorkId};
use backrow_core::moves::{Edge, Move as Step0, PassageRef, Taken};
use backrow_core::music::{Movement, Timeline, Work};
use backrow_core::seconds::{Round, tenths_s};
use backrow_print::player::{Move, MoveState, Passage, Station, Step};
use std::collections::BTreeSet;

/// Stations that were explained already in this work.
pub(super) type Seen = BTreeSet<Vec<InstrumentId>>;

/// Everything that the player does in a movement, in order; empty when silent.
pub(super) fn steps(case: &Case<'_>, work: &Work, movement: &Movement, seen: &mut Seen) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut before: Option<(&Taken, usize)> = None;
    for at in passages(case, &work.id, movement) {
        let Some(taken) = case.timetable.call(&at.call) else { continue };
        let Some(span) = taken.spans.get(at.passage) else { continue };
        let measures =
            if span.from == span.to { span.from.to_string() } else { format!("{}–{}", span.from, span.to) };
        let mut passage = Passage { measures, rest_measures: 0, has_s: None };
        if let Some(from) = before
            && let Some(step) = case.timetable.between(from, (taken, at.passage))
        {
            let rest = rest(&movement.timeline, &step, case);
            if same_station(from.0, taken) {
                passage.rest_measures = rest;
                passage.has_s = Some(tenths_s(step.has_us.max(0), Round::Down));
                if let Some(Step::Play(station)) = steps.last_mut() {
                    station.passages.push(passage);
                    before = Some((taken, at.passage));
                    continue;
                }
            } else if !from.0.together.contains(&taken.call) {
                steps.push(Step::Move(way(case, &step, taken, rest)));
            }
        }
        steps.push(Step::Play(station(case, taken, at.passage, passage, seen)));
        before = Some((taken, at.passage));
    }
    steps
}

fn passages(case: &Case<'_>, work: &WorkId, movement: &Movement) -> Vec<PassageRef> {
    let here = |at: &PassageRef| {
        at.call.work == *work
            && case.timetable.call(&at.call).is_some_and(|taken| taken.movement == movement.id)
    };
    case.timetable.passages(&case.player.id).into_iter().filter(here).collect()
}

fn same_station(one: &Taken, other: &Taken) -> bool {
    let nothing = one.instruments.is_empty();
    one.call == other.call
        || (!nothing && one.instruments == other.instruments && one.beaters == other.beaters)
}

/// Whole measures between two passages, as they are played.
fn rest(timeline: &Timeline, step: &Step0, case: &Case<'_>) -> u32 {
    let span = |at: &Edge| case.timetable.call(&at.call).and_then(|taken| taken.spans.get(at.passage));
    let (Some(from), Some(to)) = (span(&step.from), span(&step.to)) else { return 0 };
    let (end, begin) = (from.to_us as f64 / 1e6 - 1e-3, to.from_us as f64 / 1e6 + 1e-3);
    let (Some(last), Some(first)) = (timeline.index_at(end), timeline.index_at(begin)) else { return 0 };
    u32::try_from(first.saturating_sub(last).saturating_sub(1)).unwrap_or(u32::MAX)
}

fn way(case: &Case<'_>, step: &Step0, to: &Taken, rest_measures: u32) -> Move {
    let (has, needs) = (tenths_s(step.has_us.max(0), Round::Down), tenths_s(step.need.us(), Round::Up));
    let spare = step.spare_us() as f64 / 1e6;
    let state = if !step.fits() {
        MoveState::Clash
    } else if spare < SPARE_S {
        MoveState::Care
    } else {
        MoveState::Ok
    };
    let mut how = Vec::new();
    match step.need.steps {
        0 => {}
        1 => how.push("a step up or down on the way".to_owned()),
        n => how.push(format!("{n} steps up or down on the way")),
    }
    if step.need.assumed {
        how.push("no plan says how far".to_owned());
    }
    if step.both_sound() {
        how.push("both sound at once".to_owned());
    }
    let number = names::numbers(case.programme, &to.instruments);
    Move {
        to: if number == "–" { thing_of(case, to) } else { number },
        metres: (!step.need.same_place).then_some(step.need.metres),
        change_beaters: step.need.change,
        rest_measures,
        has_s: Some(has),
        needs_s: Some(needs),
        short_s: (needs - has).max(0.0),
        state,
        how: how.join("; "),
        changed: false,
    }
}

fn thing_of(case: &Case<'_>, taken: &Taken) -> String {
    let names = names::instruments(case.library, &taken.instruments);
    if names.is_empty() { format!("{}, instrument open", taken.name) } else { names }
}

fn station(case: &Case<'_>, taken: &Taken, at: usize, passage: Passage, seen: &mut Seen) -> Station {
    let fresh = seen.insert(taken.instruments.clone());
    let loud = taken.kind.as_ref().is_some_and(|kind| super::super::is_loud(kind.as_str()));
    Station {
        number: names::numbers(case.programme, &taken.instruments),
        instrument: thing_of(case, taken),
        beaters: names::beaters(case.library, taken.beaters.iter()),
        stand: if fresh { stand(case, taken) } else { String::new() },
        shared: shared::words(case, taken, at),
        note: tuning::words(case, taken, at),
        caution: if loud && fresh {
            "Loud: protect your ears and your neighbours’.".to_owned()
        } else {
            String::new()
        },
        changed: false,
        passages: vec![passage],
    }
}

/// Where to stand: behind which number, and beside which.
fn stand(case: &Case<'_>, taken: &Taken) -> String {
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
