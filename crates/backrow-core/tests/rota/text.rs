//! The rota on small programmes written as text: what goes in, what comes out.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use backrow_core::rota::text::read;
use backrow_core::rota::words::describe;
use backrow_core::rota::{
    Assignments, CanTake, Effort, LineNo, Obstacle, PassageNo, PlayerNo, Rota, in_words,
};
use rstest::rstest;

fn rota(text: &str) -> Rota {
    Rota::new(read(text).unwrap()).unwrap()
}

#[rstest]
#[case::nothing("extras 3", "0 players, moment: ")]
#[case::one_line("extras 3\nline a: 0-4", "1 player, moment at 0\u{202f}s: a")]
#[case::same_place_needs_no_walk(
    "extras 3\nline a at 0,0: 0-4\nline b at 0,0: 4-5",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::change_alone_just_enough(
    "extras 3\nline a at 0,0 with hard: 0-4\nline b at 0,0 with soft: 5.5-6",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::change_alone_too_short(
    "extras 3\nline a at 0,0 with hard: 0-4\nline b at 0,0 with soft: 5.499999-6",
    "2 players, moment at 5.499999\u{202f}s: a b"
)]
#[case::four_mallets_take_longer(
    // 4 s by the section's usual habits; the search and the checker that shares nothing with it agree.
    "extras 3\nheld four four-mallets\nline a at 0,0 with four: 0-4\nline b at 0,0 with soft: 7.999999-9",
    "2 players, moment at 7.999999\u{202f}s: a b"
)]
#[case::four_mallets_just_enough(
    "extras 3\nheld four four-mallets\nline a at 0,0 with four: 0-4\nline b at 0,0 with soft: 8-9",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::a_habit_of_its_own(
    "habits cymbals 2\nextras 3\nheld c cymbals\nline a at 0,0 with c: 0-4\nline b at 0,0 with c: 4-5\nline d at 0,0 with soft: 7-9",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::walk_and_change_just_enough(
    // 3-4-5: 6 m at 1.2 m/s is 5 s, settle 1 s, change 1.5 s.
    "extras 3\nline a at 0,0 with hard: 0-0.1\nline b at 3.6,4.8 with soft: 7.6-8",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::walk_and_change_too_short(
    "extras 3\nline a at 0,0 with hard: 0-0.1\nline b at 3.6,4.8 with soft: 7.599999-8",
    "2 players, moment at 7.599999\u{202f}s: a b"
)]
#[case::tenths_are_exact(
    // 0.3 - 0.1 is less than 0.2 in binary fractions.
    "habits settle 0.2 pace 100\nextras 3\nline a at 0,0: 0-0.1\nline b at 1e-9,0: 0.3-1",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::default_distance(
    // 2 m at 1.2 m/s and settling: 2.666667 s.
    "extras 3\nline a: 0-1\nline b: 3.666667-5\nline c: 3.7-5",
    "2 players, moment at 3.7\u{202f}s: b c"
)]
#[case::one_instrument_is_one_place(
    "extras 3\nline a on x: 0-1\nline b on x: 1-2",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::marks_allow_both(
    "extras 3\nline a: 0-4\nline b: 1-3\nplayable b a",
    "1 player, moment at 0\u{202f}s: a"
)]
#[case::ring(
    "extras 9\nline a: 0-1 90-91\nline b: 0-1 20-21\nline c: 20-21 40-41\nline d: 40-41 60-61\nline e: 60-61 90-91",
    "3 players, ring: a b c d e"
)]
#[case::ring_with_hub(
    "extras 9\nline a: 0-1 90-91\nline b: 0-1 20-21\nline c: 20-21 40-41\nline d: 40-41 60-61\nline e: 60-61 90-91\n\
     line h: 0.5-1 15-22 40-41 55-62\nline z: 200-201",
    "4 players, ring: a b c d e, beside it h"
)]
#[case::pins_force_one_more(
    "players Ana Ben\nextras 1\nline a: 0-1\nline b: 50-51\npin a Ana\npin b Ben",
    "2 players, core: a b; a stays with Ana; b stays with Ben"
)]
#[case::nobody_left(
    "players Ana Ben\nline a: 0-1\nline b: 0-1\nbar Ana a b because away on Friday",
    "2 players cannot do it: a, b; Ana cannot take a, b (away on Friday)"
)]
#[case::one_instrument_two_hands(
    "extras 4\nhands m 1\nline a on m: 0-5\nline b on m: 4-6\nline c on m: 9-10",
    "4 players cannot do it: a, b; one instrument for a, b takes 1 player at once"
)]
#[case::one_instrument_big_enough(
    "extras 4\nhands m 2\nline a on m: 0-5\nline b on m: 4-6",
    "2 players, moment at 4\u{202f}s: a b"
)]
#[case::three_at_an_instrument_for_two(
    "extras 4\nhands m 2\nline a on m: 0-5\nline b on m: 4-6\nline c on m: 4-5",
    "4 players cannot do it: a, b, c; one instrument for a, b, c takes 2 players at once"
)]
#[case::for_the_timpanist(
    "players Ana Ben\nextras 2\nline t: 0-9\nline u: 3-4\nonly Ben t u because timpanist alone",
    "4 players cannot do it: t, u; t, u only for Ben (timpanist alone)"
)]
fn fewest_in_words(#[case] text: &str, #[case] expected: &str) {
    let rota = rota(text);
    assert_eq!(describe(rota.problem(), &rota.fewest(Effort::default())), expected);
}

#[test]
fn every_no_has_its_seconds() {
    let rota = rota(
        "players Ana Ben Cy\nline a at 0,0 with hard: 0-4 20-22\nline b at 1.2,0 with soft: 25-26\nline c: 0-1\n\
         together b c\nbar Cy b because away",
    );
    let clash = rota.clash(LineNo(0), LineNo(1)).unwrap();
    assert_eq!(
        in_words(&clash),
        "gap 3.0\u{202f}s, walk 1.2\u{202f}m in 2.0\u{202f}s, change 1.5\u{202f}s, lacking 0.5\u{202f}s"
    );
    assert_eq!(
        (clash.from.line.0, clash.from.passage, clash.to.line.0, clash.to.passage),
        (0, PassageNo(1), 1, PassageNo(0))
    );
    let assignments = Assignments { players: vec![Some(PlayerNo(0)), None, Some(PlayerNo(1))].into() };
    let answers = rota.can_take(&assignments, LineNo(1));
    let yes: Vec<bool> = answers.iter().map(CanTake::yes).collect();
    assert_eq!(yes, [false, true, false]);
    assert!(matches!(answers[0].obstacles[0], Obstacle::Clash { with: LineNo(0), .. }));
    assert_eq!(answers[2].obstacles.len(), 2, "away, and the call it is kept with is elsewhere");
    assert_eq!(answers[1].tightest.unwrap().spare_us(), 24_000_000 - 2_666_667 - 1_500_000);
}

#[rstest]
#[case("line a: 4-0", "a, passage 1 ends before it starts.")]
#[case("line a: 4-5 1-2", "a, passage 2 stands before an earlier one: sort them.")]
#[case("habits pace 0", "The walking pace has to be at least 0.01 metres a second.")]
#[case("line a: 0-NaN", "a, passage 1: a time is not a number of seconds.")]
fn bad_input_is_told(#[case] text: &str, #[case] expected: &str) {
    let faults = Rota::new(read(text).unwrap()).unwrap_err();
    assert_eq!(faults[0].to_string(), expected);
}
