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

struct Task {
    drum: usize,
    from: KeyNumber,
    to: KeyNumber,
    free: i64,
    due: i64,
}

/// Drums, heard retunings, retunings, semitones of one way of giving strokes to drums.
fn worth(ask: &Ask<'_>, on: &[usize]) -> Option<(usize, usize, usize, usize)> {
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
                    tasks.push(Task { drum, from: key, to: stroke.key, free: until, due: stroke.at_us });
                }
            } else {
                used += 1;
            }
            last = Some((stroke.key, stroke.at_us, stroke.end_us()));
        }
    }
    let heard = fewest_heard(ask, &tasks)?;
    let moved = tasks.iter().map(|task| usize::from(task.from.number().abs_diff(task.to.number()))).sum();
    Some((used, heard, tasks.len(), moved))
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
    let silent = silent_from(ask, begin, need).filter(|start| start + need <= task.due);
    let silent = silent.and_then(|start| heard_in(ask, tasks, rest, start + need));
    let can = ask.drums[task.drum].by == TunedBy::Pedal && begin + need <= task.due;
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
