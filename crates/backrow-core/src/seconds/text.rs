//! Seconds in tenths, for people: the one rounding that screens, sheets and tables use.

/// Which way a figure is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Round {
    /// What a player has: so that what is too short never reads as enough.
    Down,
    /// What a player needs, or lacks.
    Up,
}

fn tenths(micros: i64, round: Round) -> i64 {
    match round {
        Round::Down => micros.div_euclid(100_000),
        Round::Up => micros.saturating_add(99_999).div_euclid(100_000),
    }
}

/// Seconds with one decimal: "4.2", "−0.1".
pub fn text(micros: i64, round: Round) -> String {
    let tenths = tenths(micros, round);
    let sign = if tenths < 0 { "−" } else { "" };
    format!("{sign}{}.{}", tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10)
}

/// The same as a number, seconds, for those who set it themselves.
pub fn tenths_s(micros: i64, round: Round) -> f64 {
    tenths(micros, round) as f64 / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case(4_166_667, Round::Up, "4.2")]
    #[case(4_166_667, Round::Down, "4.1")]
    #[case(3_000_000, Round::Up, "3.0")]
    #[case(3_000_000, Round::Down, "3.0")]
    #[case(-50_000, Round::Down, "−0.1")]
    #[case(0, Round::Up, "0.0")]
    fn seconds(#[case] us: i64, #[case] round: Round, #[case] words: &str) {
        assert_eq!(text(us, round), words);
        assert_eq!(format!("{:.1}", tenths_s(us, round)).replace('-', "−"), words);
    }

    proptest! {
        #[test]
        fn what_is_too_short_never_reads_as_enough(has in 0_i64..1 << 40, lacks in 1_i64..1 << 30) {
            let (had, needed) = (tenths_s(has, Round::Down), tenths_s(has + lacks, Round::Up));
            prop_assert!(had < needed, "{had} {needed}");
        }
    }
}
