//! What changes in the hands between two passages, and the seconds that it takes.

use super::Habits;
use std::collections::BTreeSet;

/// What is in the hands beside ordinary beaters, and takes longer to take up and to put down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hold {
    /// A pair of cymbals, which must come down without a sound.
    Cymbals,
    /// Four mallets instead of two.
    FourMallets,
    /// A bow.
    Bow,
    /// Gloves.
    Gloves,
}

/// What is changed between two passages.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Change {
    /// Other beaters of the ordinary sort.
    Beaters,
    /// Something of this sort is taken up or put down.
    Take(Hold),
}

impl Hold {
    /// All, in order.
    pub const ALL: [Self; 4] = [Self::Cymbals, Self::FourMallets, Self::Bow, Self::Gloves];

    /// The word for files and tables of lines.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cymbals => "cymbals",
            Self::FourMallets => "four-mallets",
            Self::Bow => "bow",
            Self::Gloves => "gloves",
        }
    }

    /// The one of that word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|hold| hold.word() == word)
    }
}

impl Change {
    /// What changes between two passages: the slowest of all that differs, as the hands do one after the other what is
    /// nearest and both at once what they can. `differ` says whether the beaters are others.
    pub fn between(
        habits: &Habits,
        differ: bool,
        from: &BTreeSet<Hold>,
        to: &BTreeSet<Hold>,
    ) -> Option<Self> {
        let taken = from.symmetric_difference(to).copied().map(Self::Take);
        let plain = differ.then_some(Self::Beaters);
        taken.chain(plain).max_by(|a, b| a.seconds(habits).total_cmp(&b.seconds(habits)).then(a.cmp(b)))
    }

    /// How long it takes by the section's habits, seconds.
    pub const fn seconds(self, habits: &Habits) -> f64 {
        match self {
            Self::Beaters => habits.change_s,
            Self::Take(Hold::Cymbals) => habits.cymbals_s,
            Self::Take(Hold::FourMallets) => habits.four_mallets_s,
            Self::Take(Hold::Bow) => habits.bow_s,
            Self::Take(Hold::Gloves) => habits.gloves_s,
        }
    }

    /// In words: "a change of beaters", "two and four mallets to change".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Beaters => "a change of beaters",
            Self::Take(Hold::Cymbals) => "cymbals to pick up or put down",
            Self::Take(Hold::FourMallets) => "a change between two and four mallets",
            Self::Take(Hold::Bow) => "a bow to pick up or put down",
            Self::Take(Hold::Gloves) => "gloves to put on or take off",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    // The slowest of what differs; what is held in both passages is no change.
    #[rstest]
    #[case(false, &[], &[], None)]
    #[case(true, &[], &[], Some(Change::Beaters))]
    #[case(false, &[Hold::Cymbals], &[], Some(Change::Take(Hold::Cymbals)))]
    #[case(true, &[], &[Hold::FourMallets], Some(Change::Take(Hold::FourMallets)))]
    #[case(true, &[Hold::Bow], &[Hold::Bow], Some(Change::Beaters))]
    #[case(true, &[Hold::Bow], &[Hold::FourMallets], Some(Change::Take(Hold::FourMallets)))]
    #[case(false, &[Hold::Gloves], &[Hold::Gloves, Hold::Bow], Some(Change::Take(Hold::Bow)))]
    fn changes(
        #[case] differ: bool,
        #[case] from: &[Hold],
        #[case] to: &[Hold],
        #[case] change: Option<Change>,
    ) {
        let set = |holds: &[Hold]| holds.iter().copied().collect::<BTreeSet<_>>();
        let found = Change::between(&Habits::default(), differ, &set(from), &set(to));
        assert_eq!(found, change);
        assert_eq!(Change::between(&Habits::default(), differ, &set(to), &set(from)), change, "either way");
    }

    #[test]
    fn a_quick_bow_yields_to_slow_beaters() {
        let habits = Habits { bow_s: 0.5, change_s: 2.0, ..Habits::default() };
        let bow = BTreeSet::from([Hold::Bow]);
        assert_eq!(Change::between(&habits, true, &bow, &BTreeSet::new()), Some(Change::Beaters));
        assert_eq!(Change::between(&habits, false, &bow, &BTreeSet::new()), Some(Change::Take(Hold::Bow)));
    }

    #[test]
    fn words_of_files_are_read_back() {
        for hold in Hold::ALL {
            assert_eq!(Hold::of_word(hold.word()), Some(hold));
        }
        assert_eq!(Hold::of_word("sticks"), None);
    }
}
