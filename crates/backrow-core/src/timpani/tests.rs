//! Plans by hand, against trying everything, and looked over again.

use super::plain::{best, best_written};
use super::*;
use crate::compass::naive::keys;
use crate::music::{MeasureName, Spelling};
use crate::pitch::KeyNumber;
use crate::sample::key;
use proptest::prelude::*;
use rstest::rstest;

const S: i64 = 1_000_000;

fn drum(name: &str, reach: &str, need_s: f64, by: TunedBy) -> Drum {
    #[expect(clippy::cast_possible_truncation, reason = "a few seconds")]
    let need_us = (need_s * 1e6) as i64;
    Drum { name: name.to_owned(), reach: keys(reach), need_us, by }
}

fn four() -> Vec<Drum> {
    [("32 in", "D2-A2"), ("29 in", "F2-C3"), ("26 in", "A#2-F3"), ("23 in", "D3-A3")]
        .map(|(name, reach)| drum(name, reach, 2.0, TunedBy::Pedal))
        .to_vec()
}

/// Strokes of a quarter of a second: `C3@1 G2@2.5`; a measure is two seconds long.
fn strokes(text: &str) -> Vec<Stroke> {
    let stroke = |word: &str| {
        let (name, at) = word.split_once('@').unwrap();
        #[expect(clippy::cast_possible_truncation, reason = "a few minutes")]
        let at_us = (at.parse::<f64>().unwrap() * 1e6) as i64;
        let measure = MeasureName::from(u32::try_from(at_us / (2 * S)).unwrap() + 1);
        Stroke { key: key(name), at_us, until_us: at_us + S / 4, measure }
    };
    text.split_whitespace().map(stroke).collect()
}

fn on(drums: &[Drum], music: &str, pins: &[(&str, usize)], aim: Aim) -> Result<Plan, Impossible> {
    let strokes = strokes(music);
    let pins: Vec<(KeyNumber, usize)> = pins.iter().map(|(name, drum)| (key(name), *drum)).collect();
    let ask = Ask { drums, strokes: &strokes, pins: &pins, written: &[], aim };
    let answer = plan(&ask);
    if let Ok(plan) = &answer {
        look_over(&ask, plan);
    }
    answer
}

/// "29 in C3>D3 mm. 3-9 has 12.0 needs 2.0".
fn told(drums: &[Drum], plan: &Plan) -> Vec<String> {
    let change = |c: &Change| {
        let heard = if c.heard { " heard" } else { "" };
        format!(
            "{} {}>{} m{}-{} {}/{}{heard}",
            drums[c.drum].name,
            c.from,
            c.to,
            c.measure,
            c.until,
            c.have_us as f64 / 1e6,
            c.need_us as f64 / 1e6
        )
    };
    plan.changes.iter().map(change).collect()
}

/// Goes over a plan with separate plain code: every stroke on a drum that is tuned to it, every retuning in its time.
fn look_over(ask: &Ask<'_>, plan: &Plan) {
    assert_eq!(plan.on.len(), ask.strokes.len());
    for (stroke, drum) in ask.strokes.iter().zip(&plan.on) {
        assert!(ask.drums[*drum].reach.contains(stroke.key), "{stroke:?} on {drum}");
        assert_eq!(plan.tuned_at(stroke.at_us)[*drum], Some(stroke.key), "{stroke:?} on {drum}: {plan:#?}");
        assert!(ask.pins.iter().all(|(key, to)| *key != stroke.key || to == drum));
    }
    let mut ear = i64::MIN;
    for change in &plan.changes {
        let (start, done) = (change.at_us, change.at_us + change.need_us);
        assert!(start >= ear, "one at a time: {plan:#?}");
        ear = done;
        assert!(change.have_us >= change.need_us, "{change:?}");
        for (stroke, drum) in ask.strokes.iter().zip(&plan.on) {
            let apart = stroke.end_us() <= start || stroke.at_us >= done;
            assert!(
                apart || *drum != change.drum,
                "struck while it is retuned: {stroke:?} {change:?} {plan:#?}"
            );
            assert!(apart || change.heard, "not silent: {stroke:?} {change:?}");
        }
        assert!(!change.heard || ask.drums[change.drum].by == TunedBy::Pedal);
    }
}

fn cost(plan: &Plan, aim: Aim) -> (usize, usize, usize, usize) {
    let moved = plan.changes.iter().map(|c| usize::from(c.from.number().abs_diff(c.to.number()))).sum();
    let (heard, all, drums) = (plan.heard(), plan.changes.len(), plan.used().len());
    match aim {
        Aim::FewestRetunings => (heard, all, drums, moved),
        Aim::FewestDrums => (drums, heard, all, moved),
    }
}

#[test]
fn two_pitches_close_together_need_two_drums_and_no_retuning() {
    let plan = on(&four(), "C3@0 G2@0.5 C3@1 G2@40 C3@41", &[], Aim::FewestDrums).unwrap();
    assert_eq!((plan.fewest_drums, plan.used().len(), plan.changes.len()), (2, 2, 0));
    let Proof::Moment { keys: held, .. } = &plan.proof else { panic!("{:?}", plan.proof) };
    assert_eq!(*held, keys("G2 C3"));
    assert!(
        proof_words(&plan.proof, &Spelling::default())
            .starts_with("Fewer drums are not enough: m.\u{a0}1, G2 and C3 leave 0.2")
    );
}

#[test]
fn a_long_rest_retunes_a_drum_in_silence() {
    // Three pitches on two drums: C3 goes up to D3 in the long rest.
    let pair = vec![
        drum("28 in", "F2-C3", 15.0, TunedBy::HandScrews),
        drum("25 in", "A#2-F3", 15.0, TunedBy::HandScrews),
    ];
    let plan = on(&pair, "G2@0 C3@0.5 G2@1 C3@1.5 D3@30 G2@30.5 D3@31", &[], Aim::default()).unwrap();
    assert_eq!(told(&pair, &plan), ["25 in C3>D3 m1-16 28.25/15"]);
    let short = on(&pair, "C3@0 G2@0.5 G2@10 D3@17 G2@17.5", &[], Aim::default()).unwrap_err();
    assert_eq!(
        impossible_words(&short, &Spelling::default()),
        "No way gets past m.\u{a0}9: D3 cannot be tuned in time. The rest before it is 6.7\u{202f}s, and the quickest drum needs 15.0\u{202f}s."
    );
}

#[test]
fn a_pedal_goes_while_another_drum_plays_but_only_if_it_must() {
    let two = || four().into_iter().skip(1).take(2).collect::<Vec<_>>();
    let music = "C3@0 G2@0.5 G2@1 G2@1.5 G2@2 G2@2.5 G2@3 D3@3.5";
    let plan = on(&two(), music, &[], Aim::default()).unwrap();
    assert_eq!(told(&two(), &plan), ["26 in C3>D3 m1-2 3.25/2 heard"]);
    let with_rest = on(&two(), "C3@0 G2@0.5 G2@1 G2@4 D3@4.5", &[], Aim::default()).unwrap();
    assert_eq!(told(&two(), &with_rest), ["26 in C3>D3 m1-3 2.75/2"]);
}

/// A pedal that is begun in a rest, after hand screws have been turned in it, and goes on under the next stroke.
#[rstest]
#[case::three_retunings("G2@0 F#2@0 G2@1.5 G#2@4.25 F#2@5.5", Aim::FewestRetunings, (1, 3, 2, 3))]
#[case::one_drum_less("F#2@0 A#2@0 G2@1.5 G#2@4.25", Aim::FewestDrums, (2, 1, 2, 3))]
fn a_pedal_goes_on_under_the_next_stroke_after_a_silent_retuning(
    #[case] music: &str,
    #[case] aim: Aim,
    #[case] worth: (usize, usize, usize, usize),
) {
    let pair =
        [drum("29 in", "E2-G2", 1.0, TunedBy::HandScrews), drum("26 in", "G2-A#2", 3.0, TunedBy::Pedal)];
    // 0.25 + 1 + 3 seconds: not a moment to spare before G#2.
    let plan = on(&pair, music, &[], aim).unwrap();
    assert_eq!(cost(&plan, aim), worth);
    assert_eq!(
        told(&pair, &plan)[..2],
        ["29 in F♯2>G2 m1-1 1.25/1", &format!("26 in {}>G♯2 m1-3 4/3 heard", plan.changes[1].from)]
    );
}

#[test]
fn a_pedal_goes_under_the_roll_of_another_drum() {
    let pair =
        [drum("29 in", "F2-A2", 1.0, TunedBy::Pedal), drum("26 in", "F2-G2", 1.0, TunedBy::HandScrews)];
    let mut strokes = strokes("F#2@0 G2@0 G#2@1.5");
    strokes[0].until_us = 4 * S;
    let ask = Ask { drums: &pair, strokes: &strokes, pins: &[], written: &[], aim: Aim::FewestRetunings };
    let plan = plan(&ask).unwrap();
    look_over(&ask, &plan);
    assert_eq!(told(&pair, &plan), ["29 in G2>G#2 m1-1 1.25/1 heard".replace('#', "♯")]);
}

#[test]
fn with_a_whole_set_every_drum_is_used_before_one_is_retuned() {
    let music = "F2@0 C3@30 D3@60 G3@90 F2@120";
    let all = on(&four(), music, &[], Aim::FewestRetunings).unwrap();
    assert_eq!((all.used().len(), all.changes.len()), (4, 0));
    let few = on(&four(), music, &[], Aim::FewestDrums).unwrap();
    assert_eq!((few.fewest_drums, few.used().len()), (2, 2));
    assert_eq!(all.fewest_drums, 2, "the plan with every drum says how few could do");
}

#[test]
fn each_retuning_takes_the_longest_rest_it_can_have() {
    let two: Vec<Drum> = four().into_iter().skip(1).take(2).collect();
    let plan = on(&two, "C3@0 G2@0.5 G2@10 G2@14 D3@14.5", &[], Aim::default()).unwrap();
    assert_eq!(told(&two, &plan), ["26 in C3>D3 m1-6 9.25/2"]);
}

#[rstest]
#[case::no_drum("B1@0", "No drum reaches it: B1.")]
#[case::too_few(
    "F2@0 G2@0.2 A2@0.4 C3@0.6 D3@0.8",
    "Too few drums: m.\u{a0}1, F2, G2, A2, C3 and D3 leave 0.6\u{202f}s from the end of the first to the last, and the drums hold 4 of these 5 pitches at once."
)]
#[case::both_on_one(
    "D2@0 E2@0.5",
    "Too few drums: m.\u{a0}1, D2 and E2 leave 0.2\u{202f}s from the end of the first to the last, and the drums hold 1 of these 2 pitches at once."
)]
fn where_and_why_it_cannot_go(#[case] music: &str, #[case] why: &str) {
    assert_eq!(
        impossible_words(&on(&four(), music, &[], Aim::default()).unwrap_err(), &Spelling::default()),
        why
    );
}

#[test]
fn a_pitch_that_is_pinned_stays_on_its_drum() {
    let free = on(&four(), "C3@0 A#2@0.5", &[], Aim::default()).unwrap();
    assert_eq!(free.changes.len(), 0);
    let pinned = on(&four(), "C3@0 A#2@0.5 A#2@1 C3@1.5", &[("A#2", 2)], Aim::default()).unwrap();
    assert_eq!(pinned.on, [1, 2, 2, 1]);
    let both = on(&four(), "C3@0 A#2@0.5", &[("C3", 1), ("A#2", 1)], Aim::default()).unwrap_err();
    assert!(matches!(both, Impossible::TooFew { held: 1, .. }));
}

#[test]
fn nothing_to_strike_needs_no_drum() {
    let plan = on(&four(), "", &[], Aim::default()).unwrap();
    assert_eq!((plan.used().len(), plan.fewest_drums, plan.proof), (0, 0, Proof::Nothing));
}

#[rstest]
#[case("muta in D", 10 * S, Said::Agrees)]
#[case("C in D", 2 * S, Said::Agrees)]
#[case("muta in G", 10 * S, Said::NotNeeded)]
#[case("muta in A", 10 * S, Said::NotNeeded)]
#[case("muta in D", 40 * S, Said::NotNeeded)]
fn words_of_the_part_are_held_against_the_plan(#[case] words: &str, #[case] at: i64, #[case] answer: Said) {
    let two: Vec<Drum> = four().into_iter().skip(1).take(2).collect();
    let music = "C3@0 G2@0.5 C3@1 D3@30 G2@30.5 D3@31";
    let plan = on(&two, music, &[], Aim::default()).unwrap();
    assert_eq!(said(&plan, &strokes(music), &muta(words).unwrap(), at), answer);
}

/// Drums, strokes, pins, aim.
type Small = (Vec<Drum>, Vec<Stroke>, Vec<(KeyNumber, usize)>, Aim);

/// Small lines with tight and long rests, chords and rolls, on up to three drums.
fn small() -> impl Strategy<Value = Small> {
    let drum = (40_u8..46, 1_u8..5, 1_i64..5, any::<bool>()).prop_map(|(low, wide, need, pedal)| Drum {
        name: String::new(),
        reach: crate::compass::PitchSet::range(
            KeyNumber::new(i32::from(low)).unwrap(),
            KeyNumber::new(i32::from(low + wide)).unwrap(),
        ),
        need_us: need * S,
        by: if pedal { TunedBy::Pedal } else { TunedBy::HandScrews },
    });
    let step = (0_i64..8, 0_i64..3, 42_u8..47);
    let pin = proptest::option::weighted(0.2, (42_u8..47, 0_usize..3));
    (proptest::collection::vec(drum, 1..=3), proptest::collection::vec(step, 0..=6), pin, any::<bool>())
        .prop_map(|(drums, steps, pin, few)| {
            let mut at = 0;
            let mut strokes: Vec<Stroke> = Vec::new();
            for (gap, length, number) in steps {
                let key = KeyNumber::new(i32::from(number)).unwrap();
                // No gap at all makes a chord, where the pitch differs and the one before does not last.
                if let Some(last) = strokes.last() {
                    let chord = gap == 0 && last.key != key;
                    at = if chord { last.at_us } else { last.end_us() + gap * S / 2 };
                }
                strokes.push(Stroke { key, at_us: at, until_us: at + length * S / 2, measure: 1.into() });
            }
            // A chord ends together, and no pitch twice in it.
            for at in (1..strokes.len()).rev() {
                if strokes[at - 1].at_us == strokes[at].at_us {
                    strokes[at - 1].until_us = strokes[at].until_us;
                }
            }
            let mut seen = std::collections::BTreeSet::new();
            strokes.retain(|stroke| seen.insert((stroke.at_us, stroke.key)));
            let pins = pin.filter(|(_, drum)| *drum < drums.len());
            let pins =
                pins.map(|(key, drum)| (KeyNumber::new(i32::from(key)).unwrap(), drum)).into_iter().collect();
            (drums, strokes, pins, if few { Aim::FewestDrums } else { Aim::FewestRetunings })
        })
}

/// Lines in which strokes fall under rolls, on up to three drums; a pitch that still sounds is not struck again.
fn rolls() -> impl Strategy<Value = Small> {
    let step = (0_i64..8, 0_i64..9, 42_u8..47);
    (small(), proptest::collection::vec(step, 0..=6)).prop_map(|((drums, _, pins, aim), steps)| {
        let mut at = 0;
        let mut strokes: Vec<Stroke> = Vec::new();
        for (gap, length, number) in steps {
            let key = KeyNumber::new(i32::from(number)).unwrap();
            at += gap * S / 2;
            let sounding = strokes.iter().filter(|stroke| stroke.key == key).map(Stroke::end_us).max();
            at = at.max(sounding.unwrap_or(at));
            strokes.push(Stroke { key, at_us: at, until_us: at + length * S / 2, measure: 1.into() });
        }
        (drums, strokes, pins, aim)
    })
}

/// Words of the part at some of the strokes of a line: each for a pitch of it, between two of its onsets.
fn with_words() -> impl Strategy<Value = (Small, Vec<Written>)> {
    let words = proptest::collection::vec((0_usize..6, 0_usize..3, 42_u8..47), 0..=3);
    (small(), words).prop_map(|((drums, mut strokes, pins, aim), words)| {
        strokes.truncate(5);
        let onset = |at: usize| strokes.get(at).map_or(i64::MAX, |stroke| stroke.at_us);
        let written = words.into_iter().map(|(from, long, number)| {
            let key = KeyNumber::new(i32::from(number)).unwrap();
            Written { from_us: onset(from), to_us: onset(from + long), keys: [key].into_iter().collect() }
        });
        let written = written.collect();
        ((drums, strokes, pins, aim), written)
    })
}

/// How many retunings of a plan do not begin where the part writes one.
fn elsewhere(ask: &Ask<'_>, plan: &Plan) -> usize {
    let stands = |change: &&Change| {
        let before = ask.strokes.iter().filter(|s| s.at_us <= change.at_us).map(|s| s.at_us).max();
        let next = ask.strokes.iter().filter(|s| s.at_us > change.at_us).map(|s| s.at_us).min();
        let (Some(before), Some(next)) = (before, next) else { return false };
        ask.written.iter().any(|one| one.keys.contains(change.to) && one.lies_between(before, next))
    };
    plan.changes.iter().filter(|change| !stands(change)).count()
}

/// What `plan` answers is worth what trying everything finds.
fn as_good(ask: &Ask<'_>) -> Result<(), TestCaseError> {
    match (plan(ask), best(ask)) {
        (Ok(plan), Some(best)) => {
            look_over(ask, &plan);
            prop_assert!(plan.best);
            prop_assert_eq!(cost(&plan, ask.aim), best, "{:#?}", plan);
            let few = Ask { aim: Aim::FewestDrums, ..*ask };
            prop_assert_eq!(Some(plan.fewest_drums), super::plain::best(&few).map(|cost| cost.0));
        }
        (Err(_), None) => {}
        (ours, theirs) => prop_assert!(false, "{:?} beside {:?}", ours, theirs),
    }
    Ok(())
}

/// 1500 cases, or more where more are asked for from outside.
fn often() -> ProptestConfig {
    let asked = ProptestConfig::default();
    ProptestConfig { cases: asked.cases.max(1500), ..asked }
}

proptest! {
    #![proptest_config(often())]
    #[test]
    fn as_good_as_trying_everything((drums, strokes, pins, aim) in small()) {
        as_good(&Ask { drums: &drums, strokes: &strokes, pins: &pins, written: &[], aim })?;
    }

    #[test]
    fn as_good_as_trying_everything_under_rolls((drums, strokes, pins, aim) in rolls()) {
        as_good(&Ask { drums: &drums, strokes: &strokes, pins: &pins, written: &[], aim })?;
    }
}

proptest! {
    #[test]
    fn what_the_part_writes_is_done_where_it_is_written_as_far_as_it_can_be(
        ((drums, strokes, pins, aim), written) in with_words()
    ) {
        let ask = Ask { drums: &drums, strokes: &strokes, pins: &pins, written: &written, aim };
        match (plan(&ask), best_written(&ask)) {
            (Ok(plan), Some(best)) => {
                look_over(&ask, &plan);
                let (one, two, three, _) = cost(&plan, aim);
                prop_assert_eq!((one, two, three, elsewhere(&ask, &plan)), best, "{:#?}", plan);
            }
            (Err(_), None) => {}
            (ours, theirs) => prop_assert!(false, "{:?} beside {:?}", ours, theirs),
        }
    }
}

/// C and G are struck, then D and G, then D and A: with two drums the G or the C may go up to D by what is nearest; the part says
/// which rest takes the A.
#[test]
fn a_retuning_stands_where_the_part_writes_it() {
    let two: Vec<Drum> = four().into_iter().skip(1).take(2).collect();
    let music = "C3@0 G2@0.5 C3@30 D3@60 G2@60.5";
    let strokes = strokes(music);
    let at = |written: &[Written]| {
        let ask = Ask { drums: &two, strokes: &strokes, pins: &[], written, aim: Aim::default() };
        let plan = plan(&ask).unwrap();
        look_over(&ask, &plan);
        (plan.changes.len(), elsewhere(&ask, &plan), plan.changes[0].at_us)
    };
    let (count, _, usual) = at(&[]);
    assert_eq!(count, 1);
    // Words over the rest after the second C: it cannot be before that, and is there in any case.
    let words = |from: i64, to: i64| Written { from_us: from * S, to_us: to * S, keys: keys("D3") };
    assert_eq!(at(&[words(60, 60)]), (1, 0, usual));
    // Where it cannot be done the plan stays as it is.
    assert_eq!(at(&[words(30, 30)]), (1, 1, usual));
}

#[test]
fn of_equal_plans_the_one_with_comfortable_heads_is_taken() {
    let plan = on(&four(), "C3@0 G2@0.5", &[], Aim::default()).unwrap();
    assert_eq!(plan.on, [2, 1], "C3 on the 26, G2 on the 29");
}

#[test]
fn a_line_without_a_rest_and_many_pitches_is_still_answered() {
    // Eight pitches, one after the other without a rest: far from any real part.
    let names = ["D2", "F2", "G2", "A2", "C3", "D3", "F3", "G3"];
    let music: Vec<String> = (0..160).map(|nth| format!("{}@{}", names[nth * 5 % 8], nth)).collect();
    let mut strokes = strokes(&music.join(" "));
    for stroke in &mut strokes {
        stroke.until_us = stroke.at_us + S;
    }
    let drums = four();
    let ask = Ask { drums: &drums, strokes: &strokes, pins: &[], written: &[], aim: Aim::default() };
    match plan(&ask) {
        Ok(plan) => look_over(&ask, &plan),
        Err(why) => assert!(
            matches!(why, Impossible::Stuck { .. } | Impossible::NotFound { .. } | Impossible::TooFew { .. }),
            "{why:?}"
        ),
    }
}
