//! The same question answered by trying everything, for tests: every stroke on every drum, every order of the
//! retunings, each one silent or heard.

use super::{Aim, Ask};
use crate::collection::TunedBy;
use crate::pitch::KeyNumber;

/// What a plan is worth, drums in the place that the aim gives them: (heard, retunings, drums, semitones) or
/// (drums, heard, retunings, semitones).
pub(crate) fn best(ask: &Ask<'_>) -> Option<(usize, usize, usize, usize)> {
    let mut on = vec![0; ask.strokes.len()];
    let mut best = None;
    loop {
        if let Some((drums, heard, retunings, moved)) = worth(ask, &on) {
            let cost = match ask.aim {
                Aim::FewestRetunings => (heard, retunings, drums, moved),
                Aim::FewestDrums => (drums, heard, retunings, moved),
            };
            best = Some(best.map_or(cost, |known| cost.min(known)));
        }
        let Some(at) = on.iter().position(|drum| drum + 1 < ask.drums.len()) else { return best };
        on[at] += 1;
        on[..at].fill(0);
    }
}

/// The same with what the part writes: heard, retunings and drums in the order of the aim, then how few of these retunings do not
/// stand where one is written.
pub(crate) fn best_written(ask: &Ask<'_>) -> Option<(usize, usize, usize, usize)> {
    let mut on = vec![0; ask.strokes.len()];
    let mut best: Option<(usize, usize, usize, usize)> = None;
    loop {
        if let Some((drums, heard, tasks)) = tasks(ask, &on) {
            let (one, two, three) = match ask.aim {
                Aim::FewestRetunings => (heard, tasks.len(), drums),
                Aim::FewestDrums => (drums, heard, tasks.len()),
            };
            if best.is_none_or(|(a, b, c, _)| (one, two, three) <= (a, b, c)) {
                let elsewhere = elsewhere(ask, &tasks, heard);
                let cost = (one, two, three, elsewhere);
                best = Some(best.map_or(cost, |known| cost.min(known)));
            }
        }
        let Some(at) = on.iter().position(|drum| drum + 1 < ask.drums.len()) else { return best };
        on[at] += 1;
        on[..at].fill(0);
    }
}

/// The fewest retunings that do not begin where the part writes one, with no more heard ones: each is held to one of the gaps that
/// it is written for, or left free.
fn elsewhere(ask: &Ask<'_>, tasks: &[Task], heard: usize) -> usize {
    let mut onsets: Vec<i64> = ask.strokes.iter().map(|stroke| stroke.at_us).collect();
    onsets.dedup();
    let gaps = |task: &Task| {
        let pairs = onsets.windows(2).map(|pair| (pair[0], pair[1]));
        let asked = pairs.filter(|(before, next)| {
            ask.written
                .iter()
                .any(|one| one.keys.contains(task.to) && *before < one.to_us && one.from_us <= *next)
        });
        asked.map(Some).chain([None]).collect::<Vec<_>>()
    };
    let choices: Vec<Vec<Option<(i64, i64)>>> = tasks.iter().map(gaps).collect();
    let mut chosen = vec![0; tasks.len()];
    let mut least = tasks.len();
    loop {
        let held: Vec<Task> = tasks
            .iter()
            .zip(&choices)
            .zip(&chosen)
            .map(|((task, gaps), at)| match gaps[*at] {
                Some((from, to)) => Task { free: task.free.max(from), before: to, ..*task },
                None => *task,
            })
            .collect();
        let free = choices.iter().zip(&chosen).filter(|(gaps, at)| gaps[**at].is_none()).count();
        if free < least && fewest_heard(ask, &held) == Some(heard) {
            least = free;
        }
        let Some(at) = (0..tasks.len()).find(|at| chosen[*at] + 1 < choices[*at].len()) else { return least };
        chosen[at] += 1;
        chosen[..at].fill(0);
    }
}

#[derive(Clone, Copy)]
struct Task {
    drum: usize,
    from: KeyNumber,
    to: KeyNumber,
    free: i64,
    due: i64,
    /// It must be begun before that.
    before: i64,
}

/// Drums, heard retunings, retunings, semitones of one way of giving strokes to drums.
fn worth(ask: &Ask<'_>, on: &[usize]) -> Option<(usize, usize, usize, usize)> {
    let (used, heard, tasks) = tasks(ask, on)?;
    let moved = tasks.iter().map(|task| usize::from(task.from.number().abs_diff(task.to.number()))).sum();
    Some((used, heard, tasks.len(), moved))
}

/// Drums, heard retunings, and all retunings of one way of giving strokes to drums.
fn tasks(ask: &Ask<'_>, on: &[usize]) -> Option<(usize, usize, Vec<Task>)> {
    let mut tasks: Vec<Task> = Vec::new();
    let mut used = 0;
    for (drum, what) in ask.drums.iter().enumerate() {
        let mut last: Option<(KeyNumber, i64, i64)> = None;
        for (stroke, _) in ask.strokes.iter().zip(on).filter(|(_, on)| **on == drum) {
            let pinned = ask.pins.iter().any(|(key, to)| *key == stroke.key && *to != drum);
            if !what.reach.contains(stroke.key) || pinned {
                return None;
            }
            if let Some((key, at, until)) = last {
                if at == stroke.at_us {
                    return None;
                }
                if key != stroke.key {
                    let (from, to, due) = (key, stroke.key, stroke.at_us);
                    tasks.push(Task { drum, from, to, free: until, due, before: i64::MAX });
                }
            } else {
                used += 1;
            }
            last = Some((stroke.key, stroke.at_us, stroke.end_us()));
        }
    }
    let heard = fewest_heard(ask, &tasks)?;
    Some((used, heard, tasks))
}

fn fewest_heard(ask: &Ask<'_>, tasks: &[Task]) -> Option<usize> {
    orders(tasks.len()).iter().filter_map(|order| heard_in(ask, tasks, order, i64::MIN)).min()
}

/// One retuning after the other, each as early as it can be.
fn heard_in(ask: &Ask<'_>, tasks: &[Task], order: &[usize], ready: i64) -> Option<usize> {
    let Some((first, rest)) = order.split_first() else { return Some(0) };
    let task = &tasks[*first];
    let need = ask.drums[task.drum].need_us;
    let begin = ready.max(task.free);
    let silent =
        silent_from(ask, begin, need).filter(|start| start + need <= task.due && *start < task.before);
    let silent = silent.and_then(|start| heard_in(ask, tasks, rest, start + need));
    let can = ask.drums[task.drum].by == TunedBy::Pedal && begin + need <= task.due && begin < task.before;
    let heard = if can { heard_in(ask, tasks, rest, begin + need).map(|count| count + 1) } else { None };
    silent.into_iter().chain(heard).min()
}

/// The first moment from `begin` on at which nothing is struck or sounds for so long.
fn silent_from(ask: &Ask<'_>, begin: i64, need: i64) -> Option<i64> {
    let mut starts: Vec<i64> = ask.strokes.iter().map(|stroke| stroke.end_us().max(begin)).collect();
    starts.push(begin);
    starts.sort_unstable();
    let quiet = |start: i64| {
        ask.strokes.iter().all(|stroke| stroke.end_us() <= start || stroke.at_us >= start + need)
    };
    starts.into_iter().find(|start| quiet(*start))
}

fn orders(count: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for at in 0..count {
        all = all
            .into_iter()
            .flat_map(|order: Vec<usize>| {
                (0..=order.len()).map(move |place| {
                    let mut order = order.clone();
                    order.insert(place, at);
                    order
                })
            })
            .collect();
    }
    all
}
