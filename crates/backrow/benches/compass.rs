//! A frame of Compass with 1,000 instruments of 60 bars and a line laid over, run and tessellated without a display, beside
//! the frame of egui's own demo windows.

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::collection::{Footprint, Frame, Instrument, Layout, Material, Owner, Shape};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{InstrumentId, KindId, LineId, WorkId};
use backrow_core::library::Library;
use backrow_core::pitch::KeyNumber;
use backrow_core::week::LineRef;
use criterion::{Criterion, criterion_group, criterion_main};
use egui::{Context, RawInput, Rect, pos2, vec2};

fn thousand() -> Library {
    let library = backrow::sample::small();
    let key = |number| KeyNumber::new(number).expect("made here");
    let edits = (0..1000).map(|n| {
        Edit::PutInstrument(Instrument {
            id: InstrumentId::new(&format!("marimba-{n}")).expect("made here"),
            kind: KindId::new("marimba").expect("made here"),
            name: format!("Marimba {n}"),
            owner: Owner::Orchestra,
            place: None,
            frames: vec![Frame { range: Some((key(36), key(95))), ..Frame::default() }],
            layout: Layout::TwoRows,
            material: Material::Rosewood,
            mass: None,
            pieces: Vec::new(),
            footprint: Footprint {
                shape: Shape::Keyboard { width_m: 2.6, low_m: 1.1, high_m: 0.6 },
                height_m: 0.9,
            },
            tuned_to: None,
            character: Vec::new(),
            for_two: false,
            condition: String::new(),
            picture: String::new(),
            remark: String::new(),
        })
    });
    apply(&library, &Edit::Together { words: "a thousand".to_owned(), edits: edits.collect() })
        .expect("made here")
}

fn input() -> RawInput {
    RawInput {
        screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(1600.0, 1000.0))),
        ..RawInput::default()
    }
}

fn frame(ctx: &Context, mut ui: impl FnMut(&mut egui::Ui)) -> usize {
    let out = ctx.run_ui(input(), &mut ui);
    ctx.tessellate(out.shapes, out.pixels_per_point).len()
}

fn benches(c: &mut Criterion) {
    let mut app = App::on_library(thousand(), Settings { place: Place::Compass, ..Settings::default() });
    let line = LineRef {
        work: WorkId::new("lanterns").expect("made here"),
        line: LineId::new("marimba").expect("made here"),
    };
    let library = app.history.now().clone();
    app.view.turn_to_line(&library, &line);
    let ctx = Context::default();
    for _ in 0..5 {
        frame(&ctx, |ui| app.ui(ui));
    }
    c.bench_function("compass, 1,000 instruments x 60 bars", |b| b.iter(|| frame(&ctx, |ui| app.ui(ui))));

    let mut demos = egui_demo_lib::DemoWindows::default();
    let ctx = Context::default();
    backrow::theme::fonts::install(&ctx);
    for _ in 0..5 {
        frame(&ctx, |ui| demos.ui(ui));
    }
    c.bench_function("egui's demo windows", |b| b.iter(|| frame(&ctx, |ui| demos.ui(ui))));
}

criterion_group!(compass, benches);
criterion_main!(compass);
