//! Ten minutes of 48 kHz with a strike every 2.4 seconds: under 10 s on one core is wanted.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use backrow_sound::{Analyser, SENSITIVITY_DB};
use criterion::{Criterion, criterion_group, criterion_main};
use std::f64::consts::TAU;
use std::hint::black_box;

const RATE_HZ: f64 = 48_000.0;

/// Frequency in Hz, level in dB, seconds for a fall by 60 dB: a bar, a drum, a bell, a block, and a wash of forty partials.
fn kinds() -> Vec<Vec<(f64, f64, f64)>> {
    let wash = (0..40).map(|n| (310.0 * 1.09_f64.powi(n), -f64::from(n % 7), 2.0)).collect();
    vec![
        vec![(220.0, 0.0, 1.4), (875.6, -12.0, 0.45), (2134.0, -18.0, 0.15)],
        vec![
            (98.0, 0.0, 3.5),
            (147.4, -6.0, 4.0),
            (170.7, -10.0, 1.2),
            (196.0, -9.0, 2.5),
            (239.0, -14.0, 1.8),
        ],
        vec![
            (330.0, -8.0, 9.0),
            (518.0, -4.0, 8.0),
            (749.0, 0.0, 7.0),
            (1023.0, -2.0, 5.0),
            (1327.0, -6.0, 3.5),
        ],
        vec![(1100.0, 0.0, 0.09), (1793.0, -3.0, 0.07), (2761.0, -8.0, 0.06)],
        wash,
    ]
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "samples")]
fn minutes(minutes: f64) -> Vec<f32> {
    let mut sound = vec![0.0_f32; (minutes * 60.0 * RATE_HZ) as usize];
    let mut chance = 1_u32;
    for value in &mut sound {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        *value = ((f64::from(chance) / 2_f64.powi(32) - 0.5) * 6e-4) as f32;
    }
    let kinds = kinds();
    let step = (2.4 * RATE_HZ) as usize;
    for (at, kind) in (step / 4..sound.len()).step_by(step).zip(kinds.iter().cycle()) {
        for (n, value) in sound.iter_mut().skip(at).take(3 * 48_000).enumerate() {
            let time = n as f64 / RATE_HZ;
            let one = |(hz, db, t60): &(f64, f64, f64)| {
                10_f64.powf(db / 20.0) * (-1000_f64.ln() * time / t60).exp() * (TAU * hz * time).sin()
            };
            // A sound cut off while it rings would click, and the click is a strike.
            let fade = (time * 1000.0).min(3.0 - time).min(1.0);
            *value += (0.1 * fade * kind.iter().map(one).sum::<f64>()) as f32;
        }
    }
    sound
}

fn analysis(c: &mut Criterion) {
    let sound = minutes(10.0);
    let mut group = c.benchmark_group("ten minutes at 48 kHz");
    group.sample_size(10);
    let mut strikes = 0;
    group.bench_function("strikes found", |b| {
        b.iter(|| {
            let analyser = Analyser::new(black_box(&sound), RATE_HZ);
            strikes = analyser.map_or(0, |analyser| analyser.strikes(SENSITIVITY_DB).len());
        });
    });
    group.bench_function("found and measured", |b| {
        b.iter(|| backrow_sound::analyse(black_box(&sound), RATE_HZ));
    });
    group.finish();
    assert!((240..=270).contains(&strikes), "{strikes} strikes");
}

criterion_group!(benches, analysis);
criterion_main!(benches);
