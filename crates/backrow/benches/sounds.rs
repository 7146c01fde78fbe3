//! A frame of Sounds with 5,000 strikes on the map and one of them chosen, run and tessellated without a display: under 2 ms is wanted.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(clippy::expect_used, reason = "a bench may stop")]

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{InstrumentId, TakeId};
use backrow_core::library::Library;
use backrow_core::sound::{Figure, Measures, PitchHeard, Strike, Take};
use criterion::{Criterion, criterion_group, criterion_main};
use egui::{Context, RawInput, Rect, pos2, vec2};
use std::collections::BTreeMap;
use std::sync::Arc;

const INSTRUMENTS: usize = 100;
const STRIKES: usize = 50;

fn library() -> Library {
    let library = backrow::sample::small();
    let like = library.instruments.values().next().expect("the sample has instruments").clone();
    let edits = (0..INSTRUMENTS).flat_map(|n| {
        let id = InstrumentId::new(&format!("thing-{n}")).expect("made here");
        let thing = backrow_core::collection::Instrument {
            id: id.clone(),
            name: format!("Thing {n}"),
            ..(*like).clone()
        };
        let strike = |at: usize| Strike { from_s: at as f64, to_s: at as f64 + 0.9, ..Strike::default() };
        let take = Take {
            id: TakeId::new("take").expect("made here"),
            instrument: id,
            file: "take.flac".to_owned(),
            content: String::new(),
            when: None,
            device: String::new(),
            rate_hz: 48_000,
            length_s: STRIKES as f64,
            note: String::new(),
            faults: Vec::new(),
            by_model: false,
            strikes: (0..STRIKES).map(strike).collect(),
        };
        [Edit::PutInstrument(thing), Edit::PutTake(take)]
    });
    let edits = edits.collect();
    apply(&library, &Edit::Together { words: "a hundred".to_owned(), edits }).expect("made here")
}

fn measures(seed: usize) -> Arc<Measures> {
    let value = |times: usize, modulus: usize| ((seed * times) % modulus + 1) as f64 / modulus as f64;
    let figure = |value: f64| Figure::new(value, value * 0.01);
    Arc::new(Measures {
        pitch: figure(4000.0 * value(31, 4001))
            .zip(figure(0.5))
            .map(|(hz, clarity)| PitchHeard { hz, clarity }),
        brightness_hz: figure(8000.0 * value(17, 3001)),
        ring_s: figure(10.0 * value(13, 2003)),
        attack_s: figure(0.02 * value(11, 503)),
        ..Measures::NOTHING
    })
}

fn benches(c: &mut Criterion) {
    let library = library();
    let keys = library.takes.values().flat_map(|take| take.keyed().map(|(key, _)| key).collect::<Vec<_>>());
    let measured: BTreeMap<_, _> = keys.enumerate().map(|(seed, key)| (key, measures(seed))).collect();
    assert_eq!(measured.len(), INSTRUMENTS * STRIKES);
    let mut app = App::on_library(library, Settings { place: Place::Sounds, ..Settings::default() });
    app.places.sounds.measured(&measured, &[], true);
    let ctx = Context::default();
    let frame = |app: &mut App, events: Vec<egui::Event>| {
        let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(1600.0, 1000.0));
        let input = RawInput { screen_rect: Some(screen), events, ..RawInput::default() };
        let mut out = ctx.run_ui(input, |ui| app.ui(ui));
        // There is no screen to bring them to.
        out.textures_delta.clear();
        ctx.tessellate(out.shapes, out.pixels_per_point).iter().map(triangles).sum::<usize>()
    };
    let mut drawn = 0;
    for _ in 0..400 {
        drawn = frame(&mut app, Vec::new());
        if drawn > 2 * INSTRUMENTS * STRIKES {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    assert!(drawn > 2 * INSTRUMENTS * STRIKES, "the map is drawn: {drawn}");
    c.bench_function("sounds, 5,000 strikes", |b| b.iter(|| frame(&mut app, Vec::new())));
    let mut x = 300.0;
    c.bench_function("sounds, 5,000 strikes, the pointer moving over them", |b| {
        b.iter(|| {
            x = if x > 1000.0 { 300.0 } else { x + 7.0 };
            frame(&mut app, vec![egui::Event::PointerMoved(pos2(x, 400.0))])
        });
    });
}

fn triangles(clipped: &egui::ClippedPrimitive) -> usize {
    match &clipped.primitive {
        egui::epaint::Primitive::Mesh(mesh) => mesh.indices.len() / 3,
        egui::epaint::Primitive::Callback(_) => 0,
    }
}

criterion_group!(all, benches);
criterion_main!(all);
