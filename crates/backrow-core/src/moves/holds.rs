//! What a line puts into the hands that takes longer to take up and put down than ordinary beaters.

use crate::collection::{Family, Head, Kind};
use crate::id::BeaterId;
use crate::library::Library;
use crate::music::Line;
use crate::seconds::Hold;
use std::collections::{BTreeMap, BTreeSet};

/// More notes at once than that cannot be struck with two mallets.
const TWO: usize = 2;

/// What the line's kind, chords and beaters say.
pub(super) fn of(library: &Library, line: &Line, beaters: &[BeaterId]) -> BTreeSet<Hold> {
    let kind = line.kind.as_ref().and_then(|id| library.kinds.get(id));
    let heads = beaters.iter().filter_map(|id| library.beaters.get(id)).map(|beater| beater.head);
    let mut holds: BTreeSet<Hold> = heads
        .filter_map(|head| match head {
            Head::Bow => Some(Hold::Bow),
            Head::Glove => Some(Hold::Gloves),
            _ => None,
        })
        .collect();
    if kind.is_some_and(|kind| kind.held) {
        holds.insert(Hold::Cymbals);
    }
    if kind.is_some_and(|kind| is_for_mallets(kind)) && most_at_once(line) > TWO {
        holds.insert(Hold::FourMallets);
    }
    holds
}

/// Bars that are struck with mallets, and not from a keyboard or by hand.
fn is_for_mallets(kind: &Kind) -> bool {
    let struck = kind.usual.first().is_some_and(|usual| !matches!(usual.head, Head::Hand | Head::Bow));
    kind.family == Family::Keyboards && struck
}

/// The most notes that are struck at one moment, as far as moments are known.
fn most_at_once(line: &Line) -> usize {
    let mut counts: BTreeMap<u64, usize> = BTreeMap::new();
    let struck = line.passages.iter().flat_map(|passage| &passage.notes).filter_map(|note| note.struck);
    for struck in struck {
        *counts.entry(struck.at_us).or_default() += 1;
    }
    counts.into_values().max().unwrap_or(0)
}
