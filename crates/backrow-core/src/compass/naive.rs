//! Plain slow models that the compass is tested against, and sets from text.

use super::{Fit, PitchSet};
use crate::pitch::{KeyNumber, Reading, parse_note};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// The set of `C4-F5 A5`.
pub(crate) fn keys(text: &str) -> PitchSet {
    let key = |name: &str| parse_note(name, Reading::English).unwrap().key();
    text.split_whitespace()
        .map(|run| match run.split_once('-') {
            Some((low, high)) => PitchSet::range(key(low), key(high)),
            None => PitchSet::EMPTY.with(key(run)),
        })
        .fold(PitchSet::EMPTY, PitchSet::union)
}

pub(crate) fn set_of(set: PitchSet) -> BTreeSet<i32> {
    set.iter().map(|key| i32::from(key.number())).collect()
}

/// Sets of every size, mostly with holes, often small: instruments and lines alike.
pub(crate) fn some_set() -> impl Strategy<Value = PitchSet> {
    let number = |low, high| (low..high).prop_map(|n: i32| KeyNumber::new(n).unwrap());
    prop_oneof![
        proptest::collection::vec(number(0, 128), 0..6).prop_map(|keys| keys.into_iter().collect()),
        proptest::collection::vec(number(48, 80), 0..20).prop_map(|keys| keys.into_iter().collect()),
        (number(30, 90), 0..60, proptest::collection::vec(number(30, 120), 0..4)).prop_map(
            |(low, wide, gaps)| {
                let range = PitchSet::range(low, low.up(wide).unwrap_or(KeyNumber::MAX));
                gaps.into_iter().fold(range, PitchSet::without)
            }
        ),
    ]
}

/// The definitions in words, set by set: whole; else the nearest octave, lower first; else part when any note is there.
pub(crate) fn model_fit(has: &BTreeSet<i32>, asks: &BTreeSet<i32>) -> Fit {
    if asks.is_subset(has) {
        return Fit::Whole;
    }
    for octaves in 1..=10_i8 {
        for way in [-octaves, octaves] {
            if asks.iter().all(|note| has.contains(&(note + 12 * i32::from(way)))) {
                return Fit::Octave(way);
            }
        }
    }
    if asks.iter().any(|note| has.contains(note)) { Fit::Part } else { Fit::None }
}

/// How many sets it takes at the least, trying all 2^n choices.
pub(crate) fn model_fewest(has: &[PitchSet], asks: PitchSet) -> Option<u32> {
    (0_u32..1 << has.len())
        .filter(|choice| {
            let chosen = has.iter().enumerate().filter(|(at, _)| choice >> at & 1 == 1);
            chosen.fold(PitchSet::EMPTY, |sum, (_, set)| sum.union(*set)).contains_all(asks)
        })
        .map(u32::count_ones)
        .min()
}
