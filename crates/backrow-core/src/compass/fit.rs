//! Does an instrument reach a line: whole, whole at another octave, in part, or not at all.

use super::PitchSet;
use crate::pitch::KeyNumber;

/// How far an instrument reaches the notes of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// Every note has a sounding bar.
    Whole,
    /// Every note has one when all are put that many octaves higher (negative: lower); never 0.
    Octave(i8),
    /// Some notes have a bar at their own octave, and no octave holds them all.
    Part,
    /// No note has a bar at its own octave, and no octave holds them all.
    None,
}

/// The notes of a line that an instrument lacks, sounding.
pub type Missing = PitchSet;

/// The answer of an instrument to a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Reach {
    /// How well.
    pub fit: Fit,
    /// Notes with a bar at their own octave.
    pub reached: PitchSet,
    /// Notes without, that have one a whole number of octaves lower.
    pub lower: PitchSet,
    /// Notes without, and none lower, that have one a whole number of octaves higher.
    pub higher: PitchSet,
    /// Notes with a bar at no octave.
    pub missing: Missing,
}

impl Reach {
    /// All notes without a bar at their own octave.
    pub const fn lacking(&self) -> PitchSet {
        self.lower.union(self.higher).union(self.missing)
    }
}

/// What an instrument with sounding bars `has` makes of the sounding notes `asks`. Dead bars must not be in `has`.
///
/// The nearest octave wins, lower before higher at the same distance. A line without notes is reached whole.
pub fn fit(has: PitchSet, asks: PitchSet) -> Reach {
    let reached = asks.intersection(has);
    let rest = asks.minus(has);
    if rest.is_empty() {
        let none = PitchSet::EMPTY;
        return Reach { fit: Fit::Whole, reached, lower: none, higher: none, missing: none };
    }
    // A note lies above a bar of its name when the bars, moved up by octaves, hold it.
    let lower = rest.intersection(octaves_from(has, 12));
    let higher = rest.minus(lower).intersection(octaves_from(has, -12));
    let missing = rest.minus(lower).minus(higher);
    // A note with a bar at no octave cannot be put right by moving all of them.
    let moved = if missing.is_empty() { whole_at_octave(has, asks) } else { None };
    let fit = match moved {
        Some(octaves) => Fit::Octave(octaves),
        None if reached.is_empty() => Fit::None,
        None => Fit::Part,
    };
    Reach { fit, reached, lower, higher, missing }
}

/// Every pitch one or more octaves above a bar (`step` 12) or below one (`step` -12); 1, 2, 4, 8 octaves at a time.
fn octaves_from(has: PitchSet, step: i32) -> PitchSet {
    [step, 2 * step, 4 * step, 8 * step]
        .into_iter()
        .fold(has.shifted(step), |sum, by| sum.union(sum.shifted(by)))
}

fn whole_at_octave(has: PitchSet, asks: PitchSet) -> Option<i8> {
    let number = |key: KeyNumber| i32::from(key.number());
    // Only so many octaves bring the lowest and the highest note among the bars, and none of these leaves the keys.
    let lowest = number(has.lowest()?) - number(asks.lowest()?);
    let highest = number(has.highest()?) - number(asks.highest()?);
    let can = |n: i8| (lowest..=highest).contains(&(12 * i32::from(n)));
    (1_i8..=10).flat_map(|n| [-n, n]).find(|&n| can(n) && has.contains_all(asks.shifted(12 * i32::from(n))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compass::naive::{keys, model_fit, set_of, some_set};
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case::whole("F4-C8", "C5 E6 C8", Fit::Whole, "")]
    #[case::an_octave_lower("C4-C7", "C5 C8", Fit::Octave(-1), "C8")]
    #[case::two_octaves_higher("F5-E8", "F3 C6", Fit::Octave(2), "F3")]
    #[case::lower_wins_at_the_same_distance("C4 C6", "C5", Fit::Octave(-1), "C5")]
    #[case::nearer_wins_over_lower("C3 C6", "C5", Fit::Octave(1), "C5")]
    #[case::part("C4-F5", "C4 G5", Fit::Part, "G5")]
    #[case::scattered_octaves_are_no_whole("C3 E6", "C4 E4", Fit::None, "C4 E4")]
    #[case::a_gap("C4-D4 E4-C5", "D#4 E4", Fit::Part, "D#4")]
    #[case::none("C4 D4", "F4", Fit::None, "F4")]
    #[case::nothing_asked("C4", "", Fit::Whole, "")]
    #[case::nothing_there("", "C4", Fit::None, "C4")]
    fn fits(#[case] has: &str, #[case] asks: &str, #[case] expected: Fit, #[case] lacking: &str) {
        let reach = fit(keys(has), keys(asks));
        assert_eq!((reach.fit, reach.lacking()), (expected, keys(lacking)));
    }

    #[test]
    fn what_lies_beyond_the_top_key_is_not_moved_out_of_sight() {
        // G9 moved up would leave the keys; it must not count as reached.
        assert_eq!(fit(keys("C5"), keys("C4 G9")).fit, Fit::None);
    }

    proptest! {
        #[test]
        fn agrees_with_the_plain_model(has in some_set(), asks in some_set()) {
            let reach = fit(has, asks);
            prop_assert_eq!(reach.fit, model_fit(&set_of(has), &set_of(asks)));
        }

        #[test]
        fn the_four_answers_part_the_notes(has in some_set(), asks in some_set()) {
            let reach = fit(has, asks);
            let parts = [reach.reached, reach.lower, reach.higher, reach.missing];
            prop_assert_eq!(parts.iter().fold(PitchSet::EMPTY, |sum, part| sum.union(*part)), asks);
            prop_assert_eq!(parts.iter().map(|part| part.len()).sum::<u32>(), asks.len());
            for note in reach.lower.iter() {
                prop_assert!((1..=10).any(|n| note.up(-12 * n).is_some_and(|bar| has.contains(bar))));
            }
            for note in reach.higher.iter() {
                prop_assert!((1..=10).any(|n| note.up(12 * n).is_some_and(|bar| has.contains(bar))));
                prop_assert!(!(1..=10).any(|n| note.up(-12 * n).is_some_and(|bar| has.contains(bar))));
            }
            for note in reach.missing.iter() {
                prop_assert!(!has.iter().any(|bar| bar.pitch_class() == note.pitch_class()));
            }
        }

        #[test]
        fn more_bars_never_fit_worse(has in some_set(), more in some_set(), asks in some_set()) {
            let rank = |fit: Fit| match fit { Fit::Whole => 0, Fit::Octave(n) => n.unsigned_abs(), Fit::Part => 20, Fit::None => 21 };
            prop_assert!(rank(fit(has.union(more), asks).fit) <= rank(fit(has, asks).fit));
        }
    }
}
