//! How long a tuning plan takes: a long part of two pitches, of six pitches with rests, and one that needs heard retunings.
//!
//! Aim: the longest part of an orchestra's week under 50 ms.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(clippy::unwrap_used, reason = "a bench may stop")]

use backrow_core::collection::TunedBy;
use backrow_core::compass::PitchSet;
use backrow_core::pitch::KeyNumber;
use backrow_core::timpani::{Aim, Ask, Drum, Stroke, plan};
use criterion::{Criterion, criterion_group, criterion_main};

fn key(number: i32) -> KeyNumber {
    KeyNumber::new(number).unwrap()
}

/// 32, 29, 26, 23 and 20 in.
fn five() -> Vec<Drum> {
    let drum = |(name, low, high): (&str, i32, i32)| Drum {
        name: name.to_owned(),
        reach: PitchSet::range(key(low), key(high)),
        need_us: 2_000_000,
        by: TunedBy::Pedal,
    };
    [("32 in", 38, 45), ("29 in", 41, 48), ("26 in", 46, 53), ("23 in", 50, 57), ("20 in", 53, 60)]
        .map(drum)
        .to_vec()
}

/// So many strokes in phrases of twelve, a rest after each: two seconds, every fourth time nine. Each phrase has `wide`
/// pitches, and the phrases wander over the keys.
fn strokes(count: usize, wide: i32, step_us: i64) -> Vec<Stroke> {
    let keys = [43, 48, 50, 41, 53, 46, 45, 55];
    let mut at_us = 0;
    (0..count)
        .map(|nth| {
            let phrase = nth / 12;
            let within = i32::try_from(nth).unwrap_or(0) % wide;
            let place = (usize::try_from(within).unwrap_or(0) + phrase / 3) % keys.len();
            at_us += step_us;
            if nth % 12 == 0 {
                at_us += if phrase % 4 == 0 { 9_000_000 } else { 2_400_000 };
            }
            let key = key(keys.get(place).copied().unwrap_or(43));
            let measure = u32::try_from(nth / 4 + 1).unwrap_or(1).into();
            Stroke { key, at_us, until_us: at_us + step_us / 2, measure }
        })
        .collect()
}

fn timpani(c: &mut Criterion) {
    let drums = five();
    for (name, strokes) in [
        ("2,000 strokes, two pitches a phrase", strokes(2000, 2, 250_000)),
        ("2,000 strokes, four pitches a phrase", strokes(2000, 4, 250_000)),
        ("1,000 slow strokes, six pitches a phrase", strokes(1000, 6, 900_000)),
    ] {
        for aim in Aim::ALL {
            let ask = Ask { drums: &drums, strokes: &strokes, pins: &[], written: &[], aim };
            c.bench_function(&format!("tuning plan, {name}, five drums, {}", aim.word()), |b| {
                b.iter(|| plan(&ask));
            });
        }
    }
}

criterion_group!(benches, timpani);
criterion_main!(benches);
