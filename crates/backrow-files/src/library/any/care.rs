//! Tuning and care of any sort.

use super::{beater_id, date, instrument_id, key, number, reference, words};
use backrow_core::care::{
    Bar, BellBeater, BellEntry, Care, LogEntry, Reading, Resonators, Survey, Value, Work,
};
use backrow_core::collection::Mass;
use backrow_core::tuning::bell::{Partial, Partials};
use proptest::collection::{btree_map, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

fn bar() -> BoxedStrategy<Bar> {
    (key(), any::<bool>()).prop_map(|(key, second)| Bar { key, second }).boxed()
}

fn survey() -> BoxedStrategy<Survey> {
    let reading = (bar(), number(), option::of(number()), option::of(number()), words())
        .prop_map(|(bar, hz, second_hz, third_hz, remark)| Reading { bar, hz, second_hz, third_hz, remark });
    let head = (date(), option::of(number()), option::of(reference()), words(), words());
    (head, vec(reading, 0..4), words())
        .prop_map(|((on, celsius, a, who, how), readings, remark)| Survey {
            on,
            celsius,
            a,
            who,
            how,
            readings,
            remark,
        })
        .boxed()
}

fn entry() -> BoxedStrategy<LogEntry> {
    let what = (date(), select(Work::ALL.to_vec()), option::of(bar()), words(), words(), words());
    (what, option::of(number()), option::of(date()), option::of(date()))
        .prop_map(|((on, work, bar, part, words, who), cost, due, fixed)| LogEntry {
            on,
            work,
            bar,
            part,
            words,
            who,
            cost,
            due,
            fixed,
        })
        .boxed()
}

fn bell() -> BoxedStrategy<BellEntry> {
    let partials = btree_map(select(Partial::ALL.to_vec()), number(), 0..4).prop_map(Partials);
    let mass = option::of((number(), any::<bool>()).prop_map(|(kg, weighed)| Mass { kg, weighed }));
    let beater = (beater_id(), words()).prop_map(|(beater, does)| BellBeater { beater, does });
    let figures = (key(), partials, option::of(number()), mass, option::of(number()), vec(beater, 0..3));
    let said = proptest::array::uniform8(words());
    (figures, said)
        .prop_map(|((key, partials, warble_hz, mass, lip_m, beaters), said)| {
            let [founder, cast, profile, inscription, donor, hanging, lifting, remark] = said;
            BellEntry {
                key,
                partials,
                warble_hz,
                mass,
                lip_m,
                founder,
                cast,
                profile,
                inscription,
                donor,
                beaters,
                hanging,
                lifting,
                remark,
            }
        })
        .boxed()
}

/// What is known of an instrument, in whatever order.
pub(super) fn care() -> BoxedStrategy<Care> {
    let value =
        (number(), words(), option::of(date())).prop_map(|(amount, ground, on)| Value { amount, ground, on });
    let tubes = (number(), number()).prop_map(|(right_at_c, radius_m)| Resonators { right_at_c, radius_m });
    let lists = (vec(survey(), 0..3), vec(entry(), 0..3), vec(bell(), 0..3));
    (instrument_id(), lists, option::of(tubes), option::of(number()), option::of(value), words())
        .prop_map(|(instrument, (surveys, log, bells), resonators, tolerance_cents, value, irreplaceable)| {
            Care { instrument, surveys, log, bells, resonators, tolerance_cents, value, irreplaceable }
        })
        .boxed()
}
