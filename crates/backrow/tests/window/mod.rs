//! The window without a display, for tests.

#![allow(dead_code, reason = "each test file uses some of it")]

use backrow::app::App;
use egui::{Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

/// A window of 1280 by 800 on that program, with all worked out: what arrives later may move what a test is about to click.
pub(crate) fn harness(app: App) -> Harness<'static, App> {
    let mut h = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .with_theme(egui::Theme::Light)
        .with_max_steps(40)
        .build_ui_state(|ui, app: &mut App| app.ui(ui), app);
    settle(&mut h);
    h
}

/// The middle of the thing with that label.
pub(crate) fn centre(h: &Harness<'_, App>, label: &str) -> Pos2 {
    h.get_by_label(label).rect().center()
}

/// The middle of the first thing whose label, or value where it is text, fits.
pub(crate) fn in_view(h: &Harness<'_, App>, fits: impl Fn(&str) -> bool) -> Option<Pos2> {
    h.query_all(
        egui_kittest::kittest::by()
            .predicate(move |node| node.label().or_else(|| node.value()).is_some_and(|label| fits(&label))),
    )
    .next()
    .map(|node| node.rect().center())
}

/// Clicks at a place. One frame lies between press and release: each is a quarter of a second here, and with what a worker brings in
/// the meantime there would be so many that the press is held, and is no click.
pub(crate) fn click_at(h: &mut Harness<'_, App>, at: Pos2) {
    h.hover_at(at);
    settle(h);
    h.drag_at(at);
    h.step();
    h.drop_at(at);
    settle(h);
}

/// Presses at one place, moves, and lets go at the other.
pub(crate) fn drag(h: &mut Harness<'_, App>, from: Pos2, to: Pos2) {
    h.hover_at(from);
    h.run();
    h.drag_at(from);
    h.run();
    h.hover_at(from + (to - from) * 0.5);
    h.run();
    h.hover_at(to);
    h.run();
    h.drop_at(to);
    settle(h);
}

/// Runs frames until something that works in the background is done; gives up after a minute, as a busy machine may be slow.
pub(crate) fn wait_for(h: &mut Harness<'_, App>, done: impl Fn(&App) -> bool) {
    for _ in 0..3_000 {
        h.run();
        if done(h.state()) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("not done after a minute: {}", h.state().view.said);
}

/// Runs frames until the window shows something; gives up after a minute, as a busy machine may be slow.
pub(crate) fn wait_until(h: &mut Harness<'_, App>, shown: impl Fn(&Harness<'_, App>) -> bool) {
    for _ in 0..3_000 {
        h.run();
        if shown(h) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("not shown after a minute: {}", h.state().view.said);
}

/// Runs frames until nothing is being worked out any more; gives up after a minute, as a busy machine may be slow.
pub(crate) fn settle(h: &mut Harness<'_, App>) {
    for _ in 0..6_000 {
        h.run();
        if !backrow::background::is_working(&h.ctx) {
            // What was done last is taken by one more frame, which may begin something else.
            h.run();
            if !backrow::background::is_working(&h.ctx) {
                return;
            }
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("still working after a minute: {}", h.state().view.said);
}

/// The first of the demo’s scores.
pub(crate) fn score() -> std::path::PathBuf {
    let scores = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library/scores");
    let mut files: Vec<std::path::PathBuf> = std::fs::read_dir(scores)
        .expect("the demo's scores")
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "musicxml"))
        .collect();
    files.sort();
    files.first().expect("a score of our own").clone()
}
