//! Figures of trials against scipy 1.17.1 (`stats.binomtest`, `stats.binom`, and a likelihood maximised by `optimize.minimize`: values
//! stored here) and against a published example.

use approx::assert_relative_eq;
use backrow_core::trial::{
    Chance, LEVEL, Preferred, at_least, by_guessing, passes, preference, rank, right_needed,
};
use rstest::rstest;

/// `binomtest(right, trials, 0.5, alternative="greater").pvalue`
#[rstest]
#[case(16, 12, 0.038_406_372_070_312_5)]
#[case(16, 11, 0.105_056_762_695_312_5)]
#[case(8, 7, 0.035_156_25)]
#[case(12, 10, 0.019_287_109_375)]
#[case(10, 9, 0.010_742_187_5)]
#[case(20, 15, 0.020_694_732_666_015_625)]
#[case(24, 17, 0.031_957_328_319_549_56)]
#[case(100, 59, 0.044_313_040_057_033_79)]
#[case(500, 280, 0.004_130_710_908_487_261)]
fn right_by_guessing(#[case] trials: u32, #[case] right: u32, #[case] scipy: f64) {
    assert_relative_eq!(by_guessing(right, trials), scipy, max_relative = 1e-10);
}

/// The fewest right for 5 % and for 1 %, and `binom.sf(right - 1, trials, 0.8)`.
#[rstest]
#[case(8, 7, 8, 0.503_316_48)]
#[case(10, 9, 10, 0.375_809_638_4)]
#[case(12, 10, 11, 0.558_345_748_48)]
#[case(16, 12, 14, 0.798_245_441_765_376_2)]
#[case(20, 15, 16, 0.804_207_785_459_549_5)]
#[case(24, 17, 19, 0.910_828_741_226_492)]
fn who_passes(#[case] trials: u32, #[case] five: u32, #[case] one: u32, #[case] power: f64) {
    assert_eq!((right_needed(trials, LEVEL), right_needed(trials, 0.01)), (Some(five), Some(one)));
    assert_relative_eq!(at_least(five, trials, 0.8), power, max_relative = 1e-10);
    assert_relative_eq!(passes(trials, LEVEL, 0.8), power, max_relative = 1e-10);
}

/// `binomtest(one, one + other).pvalue`, two-sided.
#[rstest]
#[case(9, 2, 0.065_429_687_5)]
#[case(5, 5, 1.0)]
#[case(13, 3, 0.021_270_751_953_125)]
#[case(20, 9, 0.061_428_345_739_841_46)]
fn preferred_by_chance(#[case] one: u32, #[case] other: u32, #[case] scipy: f64) {
    assert_relative_eq!(preference(one, other), scipy, max_relative = 1e-10);
    assert_relative_eq!(preference(other, one), scipy, max_relative = 1e-10);
}

fn preferred(rows: &[&[u32]]) -> Preferred {
    let mut all = Preferred::among(rows.len());
    for (one, row) in rows.iter().enumerate() {
        for (other, times) in row.iter().enumerate() {
            all.prefer(one, other, *times);
        }
    }
    all
}

#[test]
fn four_candidates_as_scipy_has_them() {
    let ranking = rank(&preferred(&[&[0, 7, 3, 9], &[4, 0, 6, 5], &[8, 2, 0, 7], &[1, 5, 4, 0]])).unwrap();
    let strengths = [0.303_923_01, 0.053_058_50, 0.200_472_84, -0.557_454_35];
    let sds = [0.273_699_49, 0.284_466_96, 0.281_602_90, 0.288_582_34];
    for (candidate, (strength, sd)) in strengths.into_iter().zip(sds).enumerate() {
        let place = ranking.of(candidate).unwrap();
        assert_relative_eq!(place.strength, strength, epsilon = 1e-6);
        assert_relative_eq!(place.sd, sd, epsilon = 1e-6);
    }
    let (difference, sd) = ranking.above(0, 1).unwrap();
    assert_relative_eq!(difference, 0.250_864_51, epsilon = 1e-6);
    assert_relative_eq!(sd, 0.448_909_80, epsilon = 1e-6);
}

/// Halves for "neither" as fractional counts of the same likelihood.
#[test]
fn neither_as_scipy_has_it() {
    let mut some = preferred(&[&[0, 4, 2], &[1, 0, 5], &[3, 1, 0]]);
    some.neither(0, 1);
    some.neither(0, 2);
    let ranking = rank(&some).unwrap();
    let strengths = [0.227_194_46, 0.113_624_71, -0.340_819_18];
    let sds = [0.392_905_6, 0.390_154_6, 0.397_686_2];
    for (candidate, (strength, sd)) in strengths.into_iter().zip(sds).enumerate() {
        let place = ranking.of(candidate).unwrap();
        assert_relative_eq!(place.strength, strength, epsilon = 1e-6);
        assert_relative_eq!(place.sd, sd, epsilon = 1e-6);
    }
}

/// A. Agresti, *Categorical Data Analysis*, 2nd edition (Wiley 2002), section 10.6, table 10.11: seven baseball teams of 1987. Counts
/// and estimates were read in the data and tests of the R package that reproduces the example (home and away put together); the last
/// team is the reference. The standard errors are "about 0.3" there.
#[test]
fn a_published_example() {
    let ranking = rank(&preferred(&[
        &[0, 7, 9, 7, 7, 9, 11],
        &[6, 0, 7, 5, 11, 9, 9],
        &[4, 6, 0, 7, 7, 8, 12],
        &[6, 8, 6, 0, 6, 7, 10],
        &[6, 2, 6, 7, 0, 7, 12],
        &[4, 4, 5, 6, 6, 0, 6],
        &[2, 4, 1, 3, 1, 7, 0],
    ]))
    .unwrap();
    for (team, published) in [1.58, 1.44, 1.29, 1.25, 1.11, 0.68].into_iter().enumerate() {
        let (estimate, sd) = ranking.above(team, 6).unwrap();
        assert_relative_eq!((estimate * 100.0).round() / 100.0, published, epsilon = 1e-9);
        assert_relative_eq!((sd * 10.0).round() / 10.0, 0.3, epsilon = 1e-9);
    }
    assert!(!ranking.held);
}

/// The first numbers of the generator for one seed, as commonly published for it (from memory).
#[test]
fn numbers_by_chance() {
    let mut chance = Chance::new(1_234_567);
    let first: Vec<u64> = (0..5).map(|_| chance.draw()).collect();
    let published = [
        6_457_827_717_110_365_317,
        3_203_168_211_198_807_973,
        9_817_491_932_198_370_423,
        4_593_380_528_125_082_431,
        16_408_922_859_458_223_821,
    ];
    assert_eq!(first, published);
}
