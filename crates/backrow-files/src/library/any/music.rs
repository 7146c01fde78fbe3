//! Works of any sort: notes, measures, tempo, lines.

use super::{kind_id, line_id, movement_id, number, words, work_id};
use backrow_core::music::{
    Degree, Dynamic, Dynamics, Line, LineNote, MeasureName, Movement, Passage, PlayedMeasure, Struck,
    TempoMark, Timeline, UnpitchedNote, Work,
};
use backrow_core::pitch::{Accidental, Letter, Octave, Spelled};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

fn measure() -> BoxedStrategy<MeasureName> {
    prop_oneof![
        3 => (0_u32..200).prop_map(MeasureName::from),
        1 => "[0-9a-z'\" ]{0,5}".prop_map(|name| MeasureName::new(&name)),
    ]
    .boxed()
}

fn spelled() -> BoxedStrategy<Spelled> {
    let accidental = (-2_i32..=2).prop_map(|n| Accidental::from_semitones(n).unwrap());
    (select(Letter::ALL.to_vec()), accidental, -2_i32..=9)
        .prop_filter_map("outside the keys", |(letter, accidental, octave)| {
            Spelled::new(letter, accidental, octave).ok()
        })
        .boxed()
}

/// Notes of a passage, with runs of equal ones.
pub(in crate::library) fn notes() -> BoxedStrategy<Vec<LineNote>> {
    let shift = prop_oneof![4 => Just(0_i8), 1 => any::<i8>()];
    let run = (spelled(), shift, measure(), 1_usize..5);
    vec(run, 0..30)
        .prop_map(|runs| {
            let note = |(written, shift, measure, count)| {
                std::iter::repeat_n(LineNote { shift, ..LineNote::new(written, measure) }, count)
            };
            runs.into_iter().flat_map(note).collect()
        })
        .boxed()
}

/// A moment of any sort.
pub(in crate::library) fn struck() -> BoxedStrategy<Struck> {
    let dynamic = option::of(select(Dynamic::ALL.to_vec()));
    let at = prop_oneof![0_u64..10_000_000_000, any::<u64>()];
    (at, 0_u32..200, any::<u32>(), option::of(any::<u32>()), dynamic, any::<bool>())
        .prop_map(|(at_us, played, ticks, lasts_us, dynamic, rolled)| Struck {
            at_us,
            played,
            ticks,
            lasts_us,
            dynamic,
            rolled,
        })
        .boxed()
}

/// Runs of measures at a tempo, summed or even, and stray ones.
pub(in crate::library) fn timeline() -> BoxedStrategy<Timeline> {
    let run =
        (measure(), 1_u32..30, select(vec![1.0, 3.0, 4.0, 1.5]), 30.0..200.0_f64, any::<bool>(), number());
    let beat = option::of(select(vec![0.5, 1.5, 2.0, 3.0]));
    let mark = (measure(), words(), option::of(number()), beat, option::of(words())).prop_map(
        |(measure, words, quarters_per_minute, beat, letter)| TempoMark {
            measure,
            words,
            quarters_per_minute,
            beat,
            letter,
        },
    );
    (vec(run, 0..6), vec(mark, 0..3), option::of(number()))
        .prop_map(|(runs, marks, end)| {
            let mut measures = Vec::new();
            let mut at_s = 0.0_f64;
            for (name, count, quarters, tempo, even, stray) in runs {
                let of = if even { 8 } else { 4 };
                let start = at_s;
                for n in 0..count {
                    let name = name.number().map_or(name.clone(), |first| (first + n).into());
                    measures.push(PlayedMeasure { name, at_s, quarters, of });
                    at_s = if even {
                        start + f64::from(n + 1) * quarters * 60.0 / tempo.round()
                    } else {
                        at_s + quarters * 60.0 / tempo
                    };
                }
                if stray > 0.0 && stray.is_finite() {
                    measures.push(PlayedMeasure { name: name.clone(), at_s: stray, quarters: stray, of });
                }
            }
            Timeline { measures, end_s: end.unwrap_or(at_s), marks }
        })
        .boxed()
}

pub(super) fn work() -> BoxedStrategy<Work> {
    let movement = (movement_id(), words(), words(), timeline())
        .prop_map(|(id, number, title, timeline)| Movement { id, number, title, timeline });
    let unpitched = prop_oneof![
        (words(), any::<u32>()).prop_map(|(name, count)| UnpitchedNote::new(name, count)),
        (words(), vec(struck(), 1..4)).prop_map(|(name, struck)| UnpitchedNote {
            name,
            count: u32::try_from(struck.len()).unwrap(),
            struck,
        }),
    ];
    let notes = (notes(), option::of(vec(option::of(struck()), 4))).prop_map(|(mut notes, struck)| {
        for (note, struck) in notes.iter_mut().zip(struck.into_iter().flatten().cycle()) {
            note.struck = struck;
        }
        notes
    });
    let level = || select(Dynamic::ALL.to_vec());
    let dynamics = option::of((level(), level()).prop_map(|(one, other)| Dynamics::new(one, other)));
    let passage = (measure(), measure(), number(), number(), notes, vec(unpitched, 0..3), dynamics).prop_map(
        |(from, to, from_s, to_s, notes, unpitched, dynamics)| Passage {
            from,
            to,
            from_s,
            to_s,
            notes,
            unpitched,
            dynamics,
        },
    );
    let octave = (-48_i32..=48).prop_map(|n| Octave::new(n).unwrap());
    let what = (line_id(), movement_id(), option::of(kind_id()), words(), words(), octave);
    let degree = select(vec![Degree::Sure, Degree::Likely, Degree::Unclear]);
    let line = (what, vec(passage, 0..3), vec(words(), 0..3), degree, vec(words(), 0..3), any::<bool>())
        .prop_map(
            |((id, movement, kind, printed, part, octave), passages, beaters, degree, evidence, exposed)| {
                Line {
                    exposed,
                    id,
                    movement,
                    kind,
                    printed,
                    part,
                    octave,
                    passages,
                    beaters,
                    degree,
                    evidence,
                }
            },
        );
    let together = vec((line_id(), line_id()), 0..3);
    let remembered = (super::memory::memory(), words());
    (work_id(), words(), words(), vec(movement, 0..3), vec(line, 0..3), together, remembered)
        .prop_map(|(id, title, composer, movements, lines, together, (memory, remark))| Work {
            id,
            title,
            composer,
            movements,
            lines,
            together,
            memory,
            remark,
        })
        .boxed()
}
