//! A set of sounding pitches in 128 bits.

use crate::pitch::KeyNumber;
use std::fmt;

/// A set of key numbers; bit n stands for key n. Cheap to copy, compare, join and shift.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct PitchSet(u128);

impl PitchSet {
    /// No pitch.
    pub const EMPTY: Self = Self(0);

    /// From `low` to `high`, both included; empty when `high` is lower.
    pub fn range(low: KeyNumber, high: KeyNumber) -> Self {
        low.through(high).collect()
    }

    /// The raw bits, bit n for key n.
    pub const fn bits(self) -> u128 {
        self.0
    }

    /// Whether there is none.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many.
    pub const fn len(self) -> u32 {
        self.0.count_ones()
    }

    /// Whether `key` is in it.
    pub const fn contains(self, key: KeyNumber) -> bool {
        self.0 >> key.number() & 1 == 1
    }

    /// Whether all of `other` is in it.
    pub const fn contains_all(self, other: Self) -> bool {
        other.0 & !self.0 == 0
    }

    /// With `key` put in.
    #[must_use]
    pub const fn with(self, key: KeyNumber) -> Self {
        Self(self.0 | 1 << key.number())
    }

    /// With `key` taken out.
    #[must_use]
    pub const fn without(self, key: KeyNumber) -> Self {
        Self(self.0 & !(1 << key.number()))
    }

    /// All in either.
    #[must_use]
    pub const fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// All in both.
    #[must_use]
    pub const fn intersection(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// All in `self` and not in `other`.
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Every pitch moved by that many semitones; what leaves the keys is dropped.
    #[must_use]
    pub const fn shifted(self, semitones: i32) -> Self {
        match semitones {
            0..=127 => Self(self.0 << semitones.unsigned_abs()),
            -127..=-1 => Self(self.0 >> semitones.unsigned_abs()),
            _ => Self(0),
        }
    }

    /// The lowest pitch.
    pub fn lowest(self) -> Option<KeyNumber> {
        // An empty set has 128 of them, which is no key.
        i32::try_from(self.0.trailing_zeros()).ok().and_then(|n| KeyNumber::new(n).ok())
    }

    /// The highest pitch.
    pub fn highest(self) -> Option<KeyNumber> {
        self.0.checked_ilog2().and_then(|n| i32::try_from(n).ok()).and_then(|n| KeyNumber::new(n).ok())
    }

    /// The pitches missing between the lowest and the highest.
    #[must_use]
    pub fn gaps(self) -> Self {
        match (self.lowest(), self.highest()) {
            (Some(low), Some(high)) => Self::range(low, high).minus(self),
            _ => Self::EMPTY,
        }
    }

    /// From low to high.
    pub fn iter(self) -> impl DoubleEndedIterator<Item = KeyNumber> + Clone {
        KeyNumber::MIN.through(KeyNumber::MAX).filter(move |key| self.contains(*key))
    }
}

impl FromIterator<KeyNumber> for PitchSet {
    fn from_iter<I: IntoIterator<Item = KeyNumber>>(keys: I) -> Self {
        keys.into_iter().fold(Self::EMPTY, Self::with)
    }
}

impl PitchSet {
    /// Runs of three neighbours or more as a range, under names of one's own: `F4–C8`, `C4–F5 A5`, `C♯7 D7`, `none`.
    pub fn words(self, name: impl Fn(KeyNumber) -> String) -> String {
        let mut runs: Vec<(KeyNumber, KeyNumber)> = Vec::new();
        for key in self.iter() {
            match runs.last_mut().filter(|(_, high)| high.up(1) == Some(key)) {
                Some((_, high)) => *high = key,
                None => runs.push((key, key)),
            }
        }
        if runs.is_empty() {
            return "none".to_owned();
        }
        let run = |(low, high): (KeyNumber, KeyNumber)| match (low, high) {
            (low, high) if low == high => name(low),
            (low, high) if low.up(1) == Some(high) => format!("{} {}", name(low), name(high)),
            (low, high) => format!("{}–{}", name(low), name(high)),
        };
        runs.into_iter().map(run).collect::<Vec<_>>().join(" ")
    }
}

impl fmt::Display for PitchSet {
    /// Runs of three neighbours or more as a range: `F4–C8`, `C4–F5 A5`, `C♯7 D7`, `none`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words(|key| key.to_string()))
    }
}

impl fmt::Debug for PitchSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{{{self}}}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compass::naive::{keys, set_of, some_set};
    use proptest::prelude::*;
    use rstest::rstest;
    use std::collections::BTreeSet;

    #[rstest]
    #[case("", "none")]
    #[case("C4", "C4")]
    #[case("C4-F5 A5", "C4–F5 A5")]
    #[case("C-1-G9", "C-1–G9")]
    #[case("B4 C5", "B4 C5")]
    #[case("A#4 B4 C5", "A♯4–C5")]
    fn shown_as_runs(#[case] set: &str, #[case] shown: &str) {
        let set = if set == "C-1-G9" { PitchSet::range(KeyNumber::MIN, KeyNumber::MAX) } else { keys(set) };
        assert_eq!(set.to_string(), shown);
    }

    #[test]
    fn gaps_lie_between_the_ends() {
        assert_eq!(keys("C4 D4 F4").gaps(), keys("C#4 D#4 E4"));
        assert_eq!(PitchSet::EMPTY.gaps(), PitchSet::EMPTY);
        assert_eq!(PitchSet::range(KeyNumber::A4, KeyNumber::MIDDLE_C), PitchSet::EMPTY);
    }

    proptest! {
        #[test]
        fn behaves_as_a_set(one in some_set(), other in some_set()) {
            let (a, b) = (set_of(one), set_of(other));
            prop_assert_eq!(set_of(one.union(other)), a.union(&b).copied().collect::<BTreeSet<_>>());
            prop_assert_eq!(set_of(one.intersection(other)), a.intersection(&b).copied().collect::<BTreeSet<_>>());
            prop_assert_eq!(set_of(one.minus(other)), a.difference(&b).copied().collect::<BTreeSet<_>>());
            prop_assert_eq!(one.contains_all(other), b.is_subset(&a));
            prop_assert_eq!(usize::try_from(one.len()).unwrap(), a.len());
            prop_assert_eq!(one.lowest().map(|k| i32::from(k.number())), a.first().copied());
            prop_assert_eq!(one.highest().map(|k| i32::from(k.number())), a.last().copied());
            prop_assert_eq!(one.iter().collect::<PitchSet>(), one);
        }

        #[test]
        fn moving_moves_each(set in some_set(), by in -200_i32..=200) {
            let moved: BTreeSet<i32> =
                set_of(set).into_iter().map(|n| n + by).filter(|n| (0..=127).contains(n)).collect();
            prop_assert_eq!(set_of(set.shifted(by)), moved);
        }

        #[test]
        fn put_in_and_taken_out(set in some_set(), n in 0..128) {
            let key = KeyNumber::new(n).unwrap();
            prop_assert!(set.with(key).contains(key));
            prop_assert!(!set.without(key).contains(key));
            prop_assert_eq!(set.with(key).without(key), set.without(key));
        }
    }

    #[test]
    fn bits_are_keys() {
        // C4 is key 60.
        assert_eq!(keys("C4 D4").bits(), 0b101 << 60);
        assert_eq!(
            (PitchSet::EMPTY.bits(), PitchSet::EMPTY.is_empty(), keys("C4").is_empty()),
            (0, true, false)
        );
        assert_eq!(format!("{:?}", keys("C4")), "{C4}");
    }
}
