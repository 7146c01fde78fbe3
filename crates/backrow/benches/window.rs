//! Frames of the window on the largest programme of the demo, run without a display: one while a thing is dragged over the
//! floor, and one after an edit of a full floor. What takes longer than a frame is worked out beside it and not measured here.

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::{Place, Selected};
use backrow_core::id::InstrumentId;
use criterion::{Criterion, criterion_group, criterion_main};
use egui::{Key, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::time::Duration;

fn window() -> (Harness<'static, App>, InstrumentId) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let kinds = backrow_files::kinds::standard().expect("kinds");
    let library = backrow_files::library::open(&folder, &kinds).library;
    let largest =
        library.programmes().map(|(_, p)| p).max_by_key(|p| p.lines().count()).expect("a programme");
    let (id, thing) = (largest.id.clone(), largest.setup.places().next().expect("a thing").0.clone());
    let mut app = App::on_library(library, Settings { place: Place::Floor, ..Settings::default() });
    app.view.programme = Some(id);
    app.view.selected = Some(Selected::Instrument(thing.clone()));
    let mut h =
        Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(|ui, app: &mut App| app.ui(ui), app);
    settle(&mut h);
    (h, thing)
}

fn settle(h: &mut Harness<'_, App>) {
    for _ in 0..200 {
        h.run_steps(1);
        if !backrow::background::is_working(&h.ctx) {
            h.run_steps(4);
            return;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
}

fn benches(c: &mut Criterion) {
    let mut group = c.benchmark_group("window");
    group.measurement_time(Duration::from_secs(8)).sample_size(30);

    let (mut h, thing) = window();
    let name = h.state().history.now().instrument_name(&thing);
    let of_thing = |node: &egui_kittest::Node<'_>| {
        node.accesskit_node()
            .label()
            .is_some_and(|label| label.contains(&name) && !label.starts_with("Place "))
    };
    let at = h.query_all_by_role(egui::Role::Button).find(of_thing).map(|node| node.rect().center());
    let at = at.unwrap_or_else(|| h.get_by_label_contains("Floor of ").rect().center());
    h.hover_at(at);
    h.run_steps(1);
    h.drag_at(at);
    h.run_steps(1);
    let mut turn = 0.0;
    group.bench_function("a frame of a drag over the floor", |b| {
        b.iter(|| {
            turn += 1.0;
            h.hover_at(at + vec2(20.0 + turn % 37.0, 10.0 + turn % 23.0));
            h.run_steps(1);
        });
    });
    drop(h);

    let (mut h, _) = window();
    let mut right = true;
    group.bench_function("an edit of a full floor and the next frame", |b| {
        b.iter(|| {
            h.key_press(if right { Key::ArrowRight } else { Key::ArrowLeft });
            right = !right;
            h.run_steps(1);
        });
    });
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
