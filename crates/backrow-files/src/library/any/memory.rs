//! Trials and decisions of any sort.

use super::take_id;
use super::{beater_id, date, decision_id, instrument_id, kind_id, line_id, number, trial_id, words};
use backrow_core::trial::{About, Answer, Candidate, Choice, Decision, Grade, How, Listener, Memory, Trial};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

fn about() -> BoxedStrategy<About> {
    (line_id(), words(), option::of(kind_id()), words())
        .prop_map(|(line, name, kind, words)| About { line, name, kind, words })
        .boxed()
}

fn candidate() -> BoxedStrategy<Candidate> {
    let strike = option::of((take_id(), 0_usize..9));
    (vec(instrument_id(), 0..3), vec(beater_id(), 0..3), words(), strike, words())
        .prop_map(|(instruments, beaters, spot, strike, name)| Candidate {
            instruments,
            beaters,
            spot,
            strike,
            name,
        })
        .boxed()
}

fn answer() -> BoxedStrategy<Answer> {
    let at = || 0_usize..5;
    prop_oneof![
        at().prop_map(Answer::Best),
        (at(), at(), select(Choice::ALL.to_vec())).prop_map(|(one, other, said)| Answer::Pair {
            one,
            other,
            said
        }),
        (0_usize..2, 0_usize..2).prop_map(|(was, said)| Answer::Abx { was, said }),
        (at(), number(), any::<bool>()).prop_map(|(candidate, grade, again)| Answer::Grade(Grade {
            candidate,
            grade,
            again
        })),
    ]
    .boxed()
}

fn trial() -> BoxedStrategy<Trial> {
    let listener = (words(), words(), vec(answer(), 0..4), words())
        .prop_map(|(name, from, answers, words)| Listener { name, from, answers, words });
    let what = (trial_id(), about(), date(), words(), vec(candidate(), 0..4));
    let how = (select(How::ALL.to_vec()), any::<u32>(), any::<bool>(), any::<u64>());
    (what, how, vec(listener, 0..3), words(), words())
        .prop_map(
            |(
                (id, about, when, question, candidates),
                (how, rounds, blind, seed),
                listeners,
                verdict,
                conductor,
            )| Trial {
                id,
                about,
                when,
                question,
                candidates,
                how,
                rounds,
                blind,
                seed,
                listeners,
                verdict,
                conductor,
            },
        )
        .boxed()
}

/// What a work of any sort remembers.
pub(super) fn memory() -> BoxedStrategy<Memory> {
    let decision =
        (decision_id(), about(), candidate(), (words(), words(), words()), date(), option::of(trial_id()))
            .prop_map(|(id, about, chosen, (why, by, conductor), when, trial)| Decision {
                id,
                about,
                chosen,
                why,
                by,
                when,
                conductor,
                trial,
            });
    (vec(trial(), 0..3), vec(decision, 0..3))
        .prop_map(|(trials, decisions)| Memory { trials, decisions })
        .boxed()
}
