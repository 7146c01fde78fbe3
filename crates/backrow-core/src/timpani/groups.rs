//! Strokes that fall together, and the rests between them.

use super::Stroke;
use crate::compass::PitchSet;
use crate::music::MeasureName;
use crate::pitch::KeyNumber;

/// What is struck at one moment, or, where the search has put several together, between two rests.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Group {
    /// The pitches; a roll that still sounds counts among them.
    pub(super) keys: PitchSet,
    /// The first onset, microseconds.
    pub(super) at: i64,
    /// The last onset, microseconds.
    pub(super) last_at: i64,
    /// When all that was struck so far has ended, and not after the next onset; microseconds.
    pub(super) end: i64,
    /// The pitches that were struck before and still sound: they stay on their drums.
    pub(super) held: PitchSet,
    /// When each pitch has ended, which may be after the next onset; microseconds.
    pub(super) ends: Vec<(KeyNumber, i64)>,
    /// The measure of the first onset.
    pub(super) measure: MeasureName,
    /// The measure of the last onset.
    pub(super) last: MeasureName,
}

impl Group {
    /// When a pitch has ended, and not after the next onset as far as `end` tells it; microseconds.
    pub(super) fn end_of(&self, key: KeyNumber) -> i64 {
        let ends = self.ends.iter().filter(|(of, _)| *of == key).map(|(_, end)| *end);
        ends.max().map_or(self.end, |end| end.min(self.end))
    }

    /// When the first of the pitches has ended, and not after the next onset; microseconds.
    pub(super) fn first_end(&self) -> i64 {
        self.keys.iter().map(|key| self.end_of(key)).min().unwrap_or(self.end)
    }
}

/// The moments of a line, in order.
pub(super) fn groups(strokes: &[Stroke]) -> Vec<Group> {
    let mut order: Vec<usize> = (0..strokes.len()).collect();
    order.sort_by_key(|at| strokes.get(*at).map_or(i64::MAX, |stroke| stroke.at_us));
    let mut groups: Vec<Group> = Vec::new();
    let mut sounding: Vec<&Stroke> = Vec::new();
    for at in order {
        let Some(stroke) = strokes.get(at) else { continue };
        sounding.retain(|other| other.end_us() > stroke.at_us);
        let held = sounding.iter().map(|other| other.key).collect();
        sounding.push(stroke);
        let end = sounding.iter().map(|other| other.end_us()).max().unwrap_or(stroke.at_us);
        if let Some(group) = groups.last_mut().filter(|group| group.at == stroke.at_us) {
            group.keys = group.keys.with(stroke.key);
            group.end = end;
            group.ends.push((stroke.key, stroke.end_us()));
            continue;
        }
        if let Some(before) = groups.last_mut() {
            before.end = before.end.min(stroke.at_us);
        }
        groups.push(Group {
            keys: sounding.iter().map(|other| other.key).collect(),
            at: stroke.at_us,
            last_at: stroke.at_us,
            end,
            held,
            ends: sounding.iter().map(|other| (other.key, other.end_us())).collect(),
            measure: stroke.measure.clone(),
            last: stroke.measure.clone(),
        });
    }
    groups
}

/// Groups with no rest of `least` microseconds between them as one: where nothing can be retuned in silence, all their
/// pitches must be there together.
pub(super) fn between_rests(groups: &[Group], least: i64) -> Vec<Group> {
    let mut joined: Vec<Group> = Vec::new();
    for group in groups {
        match joined.last_mut().filter(|before| group.at - before.end < least) {
            Some(before) => {
                before.keys = before.keys.union(group.keys);
                before.last_at = group.last_at;
                before.end = group.end;
                before.ends.extend_from_slice(&group.ends);
                before.last.clone_from(&group.last);
            }
            None => joined.push(group.clone()),
        }
    }
    joined
}
