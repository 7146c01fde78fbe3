//! Search among 5,000 strikes: under 5 ms is wanted.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(clippy::expect_used, reason = "a bench may stop")]

use backrow_core::id::{InstrumentId, KindId, TakeId};
use backrow_core::sound::{Asked, Figure, Heard, Known, MadeOf, Measures, PitchHeard, Quality, StrikeKey};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::sync::Arc;

fn measures(seed: usize) -> Measures {
    let value = |times: usize, modulus: usize| ((seed * times) % modulus + 1) as f64 / modulus as f64;
    let figure = |value: f64| Figure::new(value, value * 0.01);
    let mut coarse = Measures::NOTHING.coarse;
    for (at, db) in coarse.iter_mut().enumerate() {
        *db = -70.0 * value(at * 2 + 7, 997);
    }
    Measures {
        pitch: figure(4000.0 * value(31, 4001))
            .zip(figure(0.5))
            .map(|(hz, clarity)| PitchHeard { hz, clarity }),
        brightness_hz: figure(8000.0 * value(17, 3001)),
        brightness_at_strike_hz: figure(9000.0 * value(17, 3001)),
        ring_s: figure(10.0 * value(13, 2003)),
        attack_s: figure(0.02 * value(11, 503)),
        flatness: figure(value(7, 701)),
        coarse,
        ..Measures::NOTHING
    }
}

fn strikes(count: usize) -> Vec<Known> {
    let slug = |text: String| InstrumentId::fresh(&text, |_| false);
    (0..count)
        .map(|seed| Known {
            key: StrikeKey {
                instrument: slug(format!("thing {}", seed / 10)),
                take: TakeId::fresh("take", |_| false),
                number: seed % 10,
            },
            kind: KindId::fresh(&format!("kind {}", seed / 100), |_| false),
            made_of: if seed.is_multiple_of(3) { MadeOf::Wood } else { MadeOf::Metal },
            names: vec![format!("thing {}", seed / 10), "plate".to_owned(), "platte".to_owned()],
            words: if seed.is_multiple_of(4) { vec!["dark".to_owned()] } else { Vec::new() },
            by_model: false,
            measures: Arc::new(measures(seed)),
        })
        .collect()
}

fn search(c: &mut Criterion) {
    let heard = Heard::new(strikes(5000), Vec::new());
    let it = heard.all().first().expect("a strike").clone();
    let like = Asked { like: Some(it.measures.clone()), itself: Some(it.key), ..Asked::default() };
    let but = Asked { but: vec![Quality::Brighter, Quality::Longer], ..like.clone() };
    let words = Asked { words: "metal plate, large and dull".to_owned(), ..Asked::default() };
    let all = Asked { words: words.words.clone(), ..but.clone() };
    let mut group = c.benchmark_group("search among 5,000 strikes");
    for (name, asked) in [("like", &like), ("like, but", &but), ("words", &words), ("all three", &all)] {
        group.bench_function(name, |b| b.iter(|| heard.ask(black_box(asked), 50)));
    }
    group.finish();
    c.bench_function("5,000 strikes made ready", |b| b.iter(|| Heard::new(strikes(5000), Vec::new())));
}

criterion_group!(benches, search);
criterion_main!(benches);
