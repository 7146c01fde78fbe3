//! Can a difference be heard at all? The exact binomial figure for answers that are right or wrong by chance alone.
//!
//! The test is the one-sided exact binomial test at one half (any textbook of statistics; 12 right of 16 are wanted for one in
//! twenty). How many sounds are compared is fixed beforehand: who stops when it looks good makes the figure false.

/// The level that a test has to pass: one in twenty.
pub const LEVEL: f64 = 0.05;

/// The chance of just so many right answers of `trials` where each is right with `chance`.
fn just(right: u32, trials: u32, chance: f64) -> f64 {
    let miss = 1.0 - chance;
    let (few, many) = (right.min(trials - right), right.max(trials - right));
    // The factors are kept near one another, so that neither side leaves the range of the numbers.
    let mut value = 1.0_f64;
    let mut powers = (right, trials - right);
    for at in 1..=few {
        value *= f64::from(many + at) / f64::from(at);
        while value > 1.0 && powers != (0, 0) {
            value *= next_power(&mut powers, chance, miss);
        }
    }
    while powers != (0, 0) {
        value *= next_power(&mut powers, chance, miss);
    }
    value
}

fn next_power(powers: &mut (u32, u32), chance: f64, miss: f64) -> f64 {
    if powers.0 > 0 {
        powers.0 -= 1;
        chance
    } else {
        powers.1 -= 1;
        miss
    }
}

/// The chance of at least `right` right answers of `trials` where each is right with `chance` (0 to 1).
pub fn at_least(right: u32, trials: u32, chance: f64) -> f64 {
    if right == 0 {
        return 1.0;
    }
    if right > trials || !chance.is_finite() {
        return 0.0;
    }
    let sum: f64 = (right..=trials).rev().map(|count| just(count, trials, chance.clamp(0.0, 1.0))).sum();
    sum.min(1.0)
}

/// The chance of at least so many right answers for somebody who hears no difference and guesses.
pub fn by_guessing(right: u32, trials: u32) -> f64 {
    at_least(right, trials, 0.5)
}

/// The fewest right answers that somebody who guesses reaches no more often than `level`; `None` where all right would not do.
pub fn right_needed(trials: u32, level: f64) -> Option<u32> {
    (0..=trials).find(|right| by_guessing(*right, trials) <= level)
}

/// How often somebody passes who is right with `chance` each time; 0 where the test is too short to be passed.
pub fn passes(trials: u32, level: f64, chance: f64) -> f64 {
    right_needed(trials, level).map_or(0.0, |right| at_least(right, trials, chance))
}

/// The two-sided chance of a preference as clear as this one where there is none: the sign test. Answers for neither are left out.
pub fn preference(one: u32, other: u32) -> f64 {
    (2.0 * by_guessing(one.max(other), one + other)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case(16, Some(12))]
    #[case(8, Some(7))]
    #[case(5, Some(5))]
    #[case(4, None)]
    #[case(0, None)]
    fn right_answers_for_one_in_twenty(#[case] trials: u32, #[case] right: Option<u32>) {
        assert_eq!(right_needed(trials, LEVEL), right);
    }

    #[test]
    fn by_hand() {
        // Two right of two: a quarter. At least two of three: 4 of 8 ways.
        assert_relative_eq!(by_guessing(2, 2), 0.25);
        assert_relative_eq!(by_guessing(2, 3), 0.5);
        assert_relative_eq!(preference(3, 0), 0.25);
        assert_relative_eq!(preference(2, 2), 1.0);
        assert_relative_eq!(at_least(1, 2, 0.9), 0.99, epsilon = 1e-12);
    }

    proptest! {
        #[test]
        fn all_counts_together_are_certain(trials in 0_u32..600, chance in 0.0..=1.0_f64) {
            let sum: f64 = (0..=trials).map(|right| just(right, trials, chance)).sum();
            prop_assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        }

        #[test]
        fn more_right_answers_are_less_likely(trials in 1_u32..200, right in 0_u32..200) {
            prop_assert!(by_guessing(right + 1, trials) <= by_guessing(right, trials));
        }
    }
}
