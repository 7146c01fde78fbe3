//! Any take.

use super::{beater_id, instrument_id, key, number, take_id, time, words};
use backrow_core::music::Dynamic;
use backrow_core::sound::{Strike, Take, TakeFault};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

fn fault() -> BoxedStrategy<TakeFault> {
    prop_oneof![
        any::<u64>().prop_map(TakeFault::Clipped),
        Just(TakeFault::TooQuiet),
        any::<u64>().prop_map(TakeFault::Lost),
        Just(TakeFault::CutShort),
    ]
    .boxed()
}

fn strike() -> BoxedStrategy<Strike> {
    let how_hard = option::of(select(Dynamic::ALL.to_vec()));
    (number(), number(), option::of(key()), option::of(beater_id()), how_hard, words(), vec(words(), 0..3))
        .prop_map(|(from_s, to_s, bar, beater, how_hard, spot, words)| Strike {
            from_s,
            to_s,
            bar,
            beater,
            how_hard,
            spot,
            words,
        })
        .boxed()
}

pub(super) fn take() -> BoxedStrategy<Take> {
    let names = (take_id(), instrument_id(), words(), words(), option::of(time()), words());
    let rest = (any::<u32>(), number(), words(), vec(fault(), 0..3), any::<bool>(), vec(strike(), 0..4));
    (names, rest)
        .prop_map(
            |(
                (id, instrument, file, content, when, device),
                (rate_hz, length_s, note, faults, by_model, strikes),
            )| Take {
                id,
                instrument,
                file,
                content,
                when,
                device,
                rate_hz,
                length_s,
                note,
                faults,
                by_model,
                strikes,
            },
        )
        .boxed()
}
