//! A file that somebody else changes while the window has it open: both versions are kept, shown, and change places.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use egui::Key;
use egui_kittest::kittest::Queryable;
use window::{harness, in_view};

#[test]
fn both_are_kept_shown_and_change_places() {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let file = library.join("instruments/marimba-1.ron");
    let settings = Settings { place: Place::Collection, ..Settings::default() };
    let mut h = harness(App::open(&library, settings, None));
    h.key_press(Key::F2);
    h.run();
    assert!(h.state().view.said.contains("No file"), "{}", h.state().view.said);

    let theirs = std::fs::read_to_string(&file).unwrap().replace("Marimba 1", "Marimba of theirs");
    std::fs::write(&file, &theirs).unwrap();
    let id = InstrumentId::new("marimba-1").unwrap();
    let mut ours = (*h.state().history.now().instruments[&id]).clone();
    ours.name = "Marimba of ours".to_owned();
    h.state_mut().history.make(&Edit::PutInstrument(ours)).unwrap();
    h.run();
    assert!(h.state().view.said.contains("F2 compares them"), "{}", h.state().view.said);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), theirs, "never written over");

    h.key_press(Key::F2);
    h.run();
    let both = |label: &str| label.contains("Marimba of theirs") && label.contains("Marimba of ours");
    assert!(in_view(&h, both).is_some(), "the line that differs, both ways");
    h.get_by_label("Use the other version").click();
    h.run();
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba of ours"), "{}", h.state().view.said);
    assert_eq!(h.state().history.now().instruments[&id].name, "Marimba of ours");
    assert!(h.query_by_label("Use the other version").is_none(), "closed");
    let kept = backrow_files::library::kept_versions(&library);
    assert_eq!(kept.len(), 1, "theirs is kept in turn: {kept:?}");
}
