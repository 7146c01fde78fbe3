//! Forms typed into, left, killed and resumed, for tests.

#![allow(dead_code, reason = "each test file uses some of it")]

use crate::window::{harness, in_view, settle};
use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::Place;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;

/// A form for a new thing of the collection with a name typed into it.
pub(crate) fn typed() -> Harness<'static, App> {
    let app = App::on_library(sample::small(), Settings { place: Place::Collection, ..Settings::default() });
    let mut h = harness(app);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Name").type_text("Borrowed xylophone");
    h.run();
    h
}

pub(crate) fn draft(h: &Harness<'_, App>) -> bool {
    in_view(h, |label| label.contains("Draft, not saved") && label.contains("Borrowed xylophone")).is_some()
}

/// The window on a library on disk, with settings of its own in that folder.
pub(crate) fn on_disk(home: &Path, place: Place) -> Harness<'static, App> {
    let library = home.join("library");
    if !library.is_dir() {
        let kinds = backrow_files::kinds::standard().expect("the kinds table");
        backrow_files::library::create_from(&library, &sample::small(), &kinds).expect("made here");
    }
    let settings = Settings { place, ..Settings::default() };
    harness(App::open(&library, settings, Some(home.join("settings.ron"))))
}

/// Ended without a word, as by a kill: nothing of the program gets a turn.
pub(crate) fn kill(h: Harness<'static, App>) {
    std::mem::forget(h);
}

/// Whether a draft with that in its title is offered to be resumed.
pub(crate) fn offered(h: &Harness<'_, App>, title: &str) -> bool {
    in_view(h, |label| label.starts_with("Resume the draft") && label.contains(title)).is_some()
}

pub(crate) fn resume(h: &mut Harness<'static, App>) {
    h.query_all_by_label_contains("Resume the draft").next().expect("the way back").click();
    h.run();
    h.run();
}

pub(crate) fn type_over(h: &mut Harness<'_, App>, label: &str, text: &str) {
    h.get_by_role_and_label(egui::Role::TextInput, label).focus();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text(text.to_owned()));
    settle(h);
}

/// Until something is read in the background.
pub(crate) fn until(h: &mut Harness<'_, App>, label: &str) {
    for _ in 0..3_000 {
        h.run();
        if in_view(h, |there| there == label).is_some() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("no {label} after a minute: {}", h.state().view.said);
}

pub(crate) fn value_of(h: &Harness<'_, App>, label: &str) -> String {
    let field = h.get_by_role_and_label(egui::Role::TextInput, label);
    egui_kittest::kittest::NodeT::accesskit_node(&field).value().unwrap_or_default()
}
