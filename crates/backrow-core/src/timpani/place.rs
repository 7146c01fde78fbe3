//! The found way, laid out: a drum for each stroke, and each silent retuning in the longest rest that it can have.

use super::fewest::Fewest;
use super::groups::Group;
use super::search::{Found, Job, Kit};
use super::{Ask, Change, Plan, Stroke};
use crate::pitch::KeyNumber;

/// The plan as a player reads it.
pub(super) fn laid_out(
    ask: &Ask<'_>,
    groups: &[Group],
    kits: &[Kit],
    found: &Found,
    few: &Fewest,
    best: bool,
) -> Plan {
    let on: Vec<usize> = ask.strokes.iter().map(|stroke| drum_of(found, stroke.at_us, stroke.key)).collect();
    let mut jobs = found.jobs.clone();
    settle(ask, groups, kits, &on, &mut jobs);
    jobs.sort_by_key(|job| (job.start, job.drum));
    let changes = jobs.iter().map(|job| change(ask, groups, kits, &on, job)).collect();
    let start = (0..kits.len()).map(|drum| found.start.of(drum)).collect();
    Plan { start, on, changes, best, fewest_drums: few.drums, proof: few.proof.clone() }
}

/// The drum of a stroke: by the last group that began at or before it and has its pitch.
fn drum_of(found: &Found, at: i64, key: KeyNumber) -> usize {
    let index = found.played.partition_point(|(begun, _)| *begun <= at);
    let played = index.checked_sub(1).and_then(|index| found.played.get(index));
    let of_key = |played: &Vec<(KeyNumber, usize)>| played.iter().find(|(k, _)| *k == key).map(|(_, on)| *on);
    played.and_then(|(_, played)| of_key(played)).unwrap_or(0)
}

/// The time in which a drum is not struck, around a moment: from the end of its last stroke to its next one.
fn own_rest(ask: &Ask<'_>, on: &[usize], drum: usize, at: i64) -> (i64, i64) {
    let strokes = || ask.strokes.iter().zip(on).filter(|(_, on)| **on == drum).map(|(stroke, _)| stroke);
    let from = strokes().filter(|s| s.at_us <= at).map(Stroke::end_us).max();
    let to = strokes().filter(|s| s.at_us > at).map(|s| s.at_us).min();
    let from = from.map_or(at, |from| from.min(at));
    (from, to.unwrap_or(i64::MAX))
}

/// A rest of the line: after which group, from when to when.
fn rests(groups: &[Group]) -> impl Iterator<Item = (i64, i64)> {
    groups.windows(2).filter_map(|pair| match pair {
        [before, after] if after.at > before.end => Some((before.end, after.at)),
        _ => None,
    })
}

/// Moves each silent retuning to the longest rest between the strokes of its drum, the first of equal ones, where it
/// still has room beside the others. Rests in which something is heard are left as they are, and what the part itself writes
/// where it stands.
fn settle(ask: &Ask<'_>, groups: &[Group], kits: &[Kit], on: &[usize], jobs: &mut [Job]) {
    let need = |drum: usize| kits.get(drum).map_or(0, |kit| kit.need);
    for at in 0..jobs.len() {
        let Some(job) = jobs.get(at).copied().filter(|job| !job.heard && !job.written) else { continue };
        let (from, to) = own_rest(ask, on, job.drum, job.start);
        let room = |(begin, end): (i64, i64)| {
            let others = jobs.iter().enumerate().filter(|(other, _)| *other != at).map(|(_, other)| *other);
            let mut taken = 0;
            for other in others {
                let done = other.start + need(other.drum);
                if other.start < end && done > begin {
                    if other.heard || other.start < begin || done > end {
                        return None;
                    }
                    taken += need(other.drum);
                }
            }
            (begin + taken + need(job.drum) <= end).then_some(begin + taken)
        };
        let own = |(begin, end): &(i64, i64)| *begin >= from && *end <= to;
        let best = rests(groups)
            .filter(own)
            .filter_map(|rest| room(rest).map(|start| (rest.1 - rest.0, start)))
            .max_by_key(|(length, start)| (*length, std::cmp::Reverse(*start)));
        if let (Some((_, start)), Some(job)) = (best, jobs.get_mut(at)) {
            job.start = start;
        }
        close_up(groups, jobs, kits);
    }
}

/// Lets the silent retunings of one rest follow one another from its beginning.
fn close_up(groups: &[Group], jobs: &mut [Job], kits: &[Kit]) {
    for (begin, end) in rests(groups) {
        let mut inside: Vec<usize> = (0..jobs.len())
            .filter(|at| jobs.get(*at).is_some_and(|job| job.start >= begin && job.start < end))
            .collect();
        if inside.iter().any(|at| jobs.get(*at).is_some_and(|job| job.heard)) {
            continue;
        }
        // One that was begun before the rest and is done in it would be heard: it holds the ear until then.
        let held = jobs.iter().filter(|job| job.start < begin);
        let held = held.map(|job| job.start + kits.get(job.drum).map_or(0, |kit| kit.need)).max();
        let mut next = begin.max(held.unwrap_or(begin));
        inside.sort_by_key(|at| jobs.get(*at).map(|job| (job.start, job.drum)));
        for at in inside {
            if let Some(job) = jobs.get_mut(at) {
                job.start = next;
                next += kits.get(job.drum).map_or(0, |kit| kit.need);
            }
        }
    }
}

fn change(ask: &Ask<'_>, groups: &[Group], kits: &[Kit], on: &[usize], job: &Job) -> Change {
    let before = groups.iter().rev().find(|group| group.at <= job.start);
    let after = groups.iter().find(|group| group.at > job.start);
    let own = own_rest(ask, on, job.drum, job.start);
    let rest = before.zip(after).map(|(before, after)| (before.end, after.at));
    let (from, to) = if job.heard { own } else { rest.unwrap_or(own) };
    let named = |group: Option<&Group>, last: bool| {
        let group = group.or(groups.first());
        group.map_or_else(|| 1.into(), |group| if last { group.last.clone() } else { group.measure.clone() })
    };
    // Heard, it must be done when its own drum is struck again, which may be later than the next stroke.
    let until = if job.heard {
        let stroke = ask.strokes.iter().zip(on).find(|(s, on)| **on == job.drum && s.at_us >= to);
        stroke.map_or_else(|| named(after, false), |(stroke, _)| stroke.measure.clone())
    } else {
        named(after, false)
    };
    Change {
        drum: job.drum,
        from: job.from,
        to: job.to,
        at_us: job.start,
        measure: named(before, true),
        until,
        have_us: to - from,
        need_us: kits.get(job.drum).map_or(0, |kit| kit.need),
        heard: job.heard,
    }
}
