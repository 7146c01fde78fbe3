//! The fewest drums, and why not fewer.

use super::groups::Group;
use super::search::{Field, Found, Kit, Outcome};
use super::{Impossible, Proof, Written};
use crate::compass::PitchSet;
use crate::pitch::KeyNumber;

/// The fewest drums, the best plan on so few, and the proof.
pub(super) struct Fewest {
    pub(super) drums: usize,
    pub(super) found: Found,
    /// Whether it is proven that no plan on so few is better.
    pub(super) best: bool,
    pub(super) proof: Proof,
}

/// A stretch in which no drum can be retuned between two strokes, with the pitches that fall in it.
struct Moment {
    keys: PitchSet,
    first: usize,
    last: usize,
}

/// Goes up from what the tightest moment needs, one drum at a time. With silent retunings first, as that is quick.
pub(super) fn fewest(groups: &[Group], kits: &[Kit], written: &[Written]) -> Result<Fewest, Impossible> {
    let need_us = kits.iter().map(|kit| kit.need).min().unwrap_or(0);
    let moments = moments(groups, need_us);
    if let Some((moment, held)) =
        moments.iter().map(|moment| (moment, held(moment.keys, kits))).find(|(m, held)| *held < m.keys.len())
    {
        let (from, to, within_us) = around(groups, moment);
        let held = usize::try_from(held).unwrap_or(0);
        return Err(Impossible::TooFew { keys: moment.keys, from, to, within_us, held });
    }
    let tightest = moments.iter().max_by_key(|moment| (moment.keys.len(), std::cmp::Reverse(moment.first)));
    let least = tightest.map_or(0, |moment| usize::try_from(moment.keys.len()).unwrap_or(0));
    let mut proof = match (tightest, least) {
        (None, _) | (_, 0) => Proof::Nothing,
        (_, 1) => Proof::One,
        (Some(moment), _) => {
            let (from, to, within_us) = around(groups, moment);
            Proof::Moment { keys: moment.keys, from, to, within_us, need_us }
        }
    };
    for drums in least..=kits.len() {
        let silent = Field { groups, kits, written, most: drums, heard: false };
        let tried = match silent.run() {
            found @ Outcome::Found(..) => found,
            _ => Field { heard: true, ..silent }.run(),
        };
        match tried {
            Outcome::Found(found, best) => return Ok(Fewest { drums, found, best, proof }),
            Outcome::Stuck(at) if drums == kits.len() => return Err(stuck(groups, kits, at)),
            Outcome::Open if drums == kits.len() => return Err(Impossible::NotFound { drums }),
            Outcome::Stuck(at) if !matches!(proof, Proof::Open { .. }) => {
                let group = groups.iter().find(|group| group.at >= at).or(groups.last());
                if let Some(group) = group {
                    proof = Proof::Tried { drums, measure: group.measure.clone() };
                }
            }
            Outcome::Open if !matches!(proof, Proof::Open { .. }) => proof = Proof::Open { drums },
            Outcome::Stuck(_) | Outcome::Open => {}
        }
    }
    // No drums at all, and nothing to strike: anything else has been told as unreached.
    Ok(Fewest { drums: 0, found: nothing(), best: true, proof: Proof::Nothing })
}

fn nothing() -> Found {
    Found { start: super::search::Tuned::default(), played: Vec::new(), jobs: Vec::new() }
}

fn stuck(groups: &[Group], kits: &[Kit], at: i64) -> Impossible {
    let index = groups.partition_point(|group| group.at < at);
    let group = groups.get(index).or(groups.last());
    let before = index.checked_sub(1).and_then(|before| groups.get(before));
    Impossible::Stuck {
        measure: group.map_or_else(|| 1.into(), |group| group.measure.clone()),
        keys: group.map(|group| group.keys).unwrap_or_default(),
        have_us: group.zip(before).map_or(0, |(group, before)| group.at - before.end),
        need_us: kits.iter().map(|kit| kit.need).min().unwrap_or(0),
    }
}

/// For each group, it and what is struck before the shortest retuning could be done: two of these pitches are never on
/// one drum.
fn moments(groups: &[Group], need: i64) -> Vec<Moment> {
    let all = groups.iter().fold(PitchSet::EMPTY, |all, group| all.union(group.keys));
    groups
        .iter()
        .enumerate()
        .map(|(first, group)| {
            let near = groups.iter().enumerate().skip(first + 1);
            let near = near.take_while(|(_, other)| other.at - group.first_end() < need);
            let mut moment = Moment { keys: group.keys, first, last: first };
            for (last, other) in near {
                // Nothing more can come, however many strokes follow.
                if moment.keys == all {
                    break;
                }
                let keys = moment.keys.union(other.keys);
                if keys != moment.keys {
                    moment = Moment { keys, first, last };
                }
            }
            moment
        })
        .collect()
}

fn around(groups: &[Group], moment: &Moment) -> (crate::music::MeasureName, crate::music::MeasureName, i64) {
    match (groups.get(moment.first), groups.get(moment.last)) {
        (Some(first), Some(last)) => {
            (first.measure.clone(), last.measure.clone(), (last.at - first.end).max(0))
        }
        _ => (1.into(), 1.into(), 0),
    }
}

/// How many of the pitches the drums can hold together: the largest matching.
fn held(keys: PitchSet, kits: &[Kit]) -> u32 {
    let mut on: Vec<Option<KeyNumber>> = vec![None; kits.len()];
    let mut count = 0;
    for key in keys.iter() {
        let mut seen = vec![false; kits.len()];
        count += u32::from(take(key, kits, &mut on, &mut seen));
    }
    count
}

/// Finds the pitch a drum, moving others where that makes room.
fn take(key: KeyNumber, kits: &[Kit], on: &mut [Option<KeyNumber>], seen: &mut [bool]) -> bool {
    for (drum, kit) in kits.iter().enumerate() {
        if !kit.reach.contains(key) || seen.get(drum).copied().unwrap_or(true) {
            continue;
        }
        if let Some(seen) = seen.get_mut(drum) {
            *seen = true;
        }
        let other = on.get(drum).copied().flatten();
        if other.is_none_or(|other| take(other, kits, on, seen)) {
            if let Some(place) = on.get_mut(drum) {
                *place = Some(key);
            }
            return true;
        }
    }
    false
}
